"""The dipstick in its true size, read back from its page and the PDF."""

import base64
import re
import xml.etree.ElementTree as ElementTree
from fractions import Fraction

import numpy as np
import pytest
from printed import NASTY, Page, words_of
from stilltank.science import tank
from stilltank.science.tank import Box, Bricks, Measured, TaperedBox, TaperedCylinder, with_contents
from stilltank.show import pages
from stilltank.show.figures import MarkedHeight
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB = tank.preset("quillgate-tub")
SVG = "{http://www.w3.org/2000/svg}"


def drawings(page):
    """The sheets of a page, as SVG, in order."""
    found = re.findall(r'src="data:image/svg\+xml;base64,([^"]*)"', page.read_text(encoding="utf-8"))
    return [base64.b64decode(one).decode() for one in found]


def svg_lines(page, sheet=0):
    """Named lines of a sheet: name to (x, y) in mm from the lower left; and the size of the sheet in mm."""
    root = ElementTree.fromstring(drawings(page)[sheet])
    wide, high = (float(root.get(side).removesuffix("pt")) * 25.4 / 72 for side in ("width", "height"))
    view = [float(number) for number in root.get("viewBox").split()]
    scale = wide / view[2]  # mm for each unit of the drawing
    assert scale == pytest.approx(high / view[3])
    lines = {}
    for group in root.iter(f"{SVG}g"):
        path_inside = group.find(f"{SVG}path")
        if (
            re.match(r"(mark|ruler|base|top|rule|height|gauge)-", group.get("id") or "")
            and path_inside is not None
        ):
            x, y = re.match(r"M (\S+) (\S+)", path_inside.get("d")).groups()
            lines[group.get("id")] = (float(x) * scale, high - float(y) * scale)
    return lines, (wide, high)


def heights(lines, piece_height=200.0):
    """Height of each mark above the floor in mm, measured on the sheet from the base of its piece."""
    found = {}
    for name, (_, y) in lines.items():
        if name.startswith("mark-"):
            _, piece, volume = name.split("-", 2)
            found[float(volume)] = int(piece) * piece_height + y - lines[f"base-{piece}"][1]
    return found


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    return pages.dipstick(TUB, tmp_path_factory.mktemp("stick") / "my-dipstick.html")


def test_the_ruler_and_the_page_are_true(printed):
    lines, page = svg_lines(printed[0])
    assert page == pytest.approx((210, 297), abs=0.01)
    assert lines["ruler-100"][1] - lines["ruler-0"][1] == pytest.approx(100, abs=0.01)
    assert lines["ruler-50"][1] - lines["ruler-20"][1] == pytest.approx(30, abs=0.01)


def test_each_litre_stands_where_the_tank_holds_it(printed):
    lines, _ = svg_lines(printed[0])
    marks = heights(lines)
    assert sorted(marks) == list(range(1, 45))
    for litres, height in marks.items():
        # a hundredth of a millimetre: SVG keeps six digits
        assert TUB.volume(Q(height, "mm")).m_as("L") == pytest.approx(litres, abs=0.16 * 0.02)
    assert lines["top-1"][1] - lines["base-1"][1] == pytest.approx(100, abs=0.01)  # 30 cm less a piece of 20
    assert lines["top-0"][1] - lines["base-0"][1] == pytest.approx(200, abs=0.01)
    assert lines["rule-1-25"][1] - lines["base-1"][1] == pytest.approx(50, abs=0.01)


def test_a_box_by_hand(tmp_path):
    # 24 L for each 10 cm: marks of 6 L lie 25 mm apart
    svg, _ = pages.dipstick(
        Box(Q(60, "cm"), Q(40, "cm"), Q(19, "cm")), tmp_path / "box", Q(6, "L"), paper="Letter"
    )
    lines, page = svg_lines(svg)
    assert page == pytest.approx((215.9, 279.4), abs=0.01)
    marks = heights(lines)
    assert [marks[litres] for litres in (6, 12, 18, 24, 30, 36, 42)] == pytest.approx(
        25 * np.arange(1, 8), abs=0.01
    )
    assert "base-1" not in lines


def test_marks_by_height_by_gallon_and_for_what_stands_inside(tmp_path):
    by_height, _ = pages.dipstick(TUB, tmp_path / "h", Q(1, "cm"))
    found = sorted(heights(svg_lines(by_height)[0]).values())
    assert found == pytest.approx(10 * np.arange(1, 31), abs=0.01)
    box = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    gallons, _ = pages.dipstick(box, tmp_path / "g", Q(1, "gallon"), system="US")
    assert heights(svg_lines(gallons)[0])[5] == pytest.approx(5 * 37.85411784 / 2.4, abs=0.01)
    assert svg_lines(gallons)[0]["rule-0-3"][1] - svg_lines(gallons)[0]["base-0"][1] == pytest.approx(
        76.2, abs=0.01
    )
    assert "US gallons" in drawings(gallons)[0]
    held = with_contents(box, bricks=Bricks(2, Q(2, "L"), Q(7, "cm")))
    inside, _ = pages.dipstick(held, tmp_path / "b", Q(20, "L"))
    assert heights(svg_lines(inside)[0])[20] == pytest.approx(100, abs=0.01)
    jug = Measured(Q([10, 20], "cm"), Q([20, 45], "L"))
    measured, _ = pages.dipstick(jug, tmp_path / "j", Q(20, "L"))
    assert heights(svg_lines(measured)[0])[20] == pytest.approx(100, abs=0.01)


def test_the_pdf_is_as_large_and_has_the_same_marks(printed, tmp_path):
    svg, pdf = printed
    head = pdf.read_bytes()
    box = [float(number) for number in re.search(rb"/MediaBox \[([^\]]+)\]", head)[1].split()]
    assert np.array(box) * 25.4 / 72 == pytest.approx([0, 0, 210, 297], abs=0.01)
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", head, re.DOTALL)
    import zlib

    drawing = max((zlib.decompress(one) for one in streams if one[:1] == b"x"), key=len).decode("latin-1")
    drawn = np.array([[float(a), float(b)] for a, b in re.findall(r"^(\S+) (\S+) m$", drawing, re.MULTILINE)])
    for name, place in svg_lines(svg)[0].items():
        apart = np.abs(drawn * 25.4 / 72 - place).max(axis=1).min()
        assert apart < 0.02, name


def test_two_prints_are_the_same_bytes(printed, tmp_path):
    again = pages.dipstick(TUB, tmp_path / "again")
    assert [file.read_bytes() for file in again] == [file.read_bytes() for file in printed]
    assert again[0].name == "again.html"


def test_a_sheet_asks_for_nothing_outside_and_says_how_to_print(printed):
    (text,) = drawings(printed[0])
    assert "Print at 100 %" in text
    for part in (text, printed[0].read_text(encoding="utf-8")):
        assert not re.search(r"<script|<image|@import|href=\"http", part)


def test_a_dipstick_that_cannot_be_printed_says_why(tmp_path):
    for call, error, words in (
        (lambda: pages.dipstick(TUB, tmp_path / "x", paper="A3"), Problem, "'A3' is neither"),
        (lambda: pages.dipstick(TUB, tmp_path / "x", paper=None), Problem, "None is neither"),
        (lambda: pages.dipstick(TUB, tmp_path / "x", system="imperial"), Problem, "imperial"),
        (lambda: pages.dipstick(TUB, tmp_path / "x", Q(50, "mL")), OutOfRange, "run together"),
        (lambda: pages.dipstick(TUB, tmp_path / "x", heights=[Q(5, "cm")]), Problem, "MarkedHeight"),
        (lambda: pages.dipstick(TUB, tmp_path / "x", 1), UnitNeeded, "you gave 1"),
        (lambda: pages.dipstick(None, tmp_path / "x"), Problem, "None is none"),
        (lambda: pages.dipstick(TUB, None), Unreadable, "name of a file"),
        (lambda: pages.dipstick(TUB, ""), Unreadable, "name of a file"),
        (lambda: pages.dipstick(TUB, tmp_path / "nowhere" / "x"), Problem, "could not be saved"),
    ):
        with pytest.raises(error, match=words):
            call()
    assert not list(tmp_path.iterdir())


def test_heights_are_marked_where_they_are_and_told_apart_by_word_and_line(tmp_path):
    heights = (
        MarkedHeight("overflow hole", Q(25.5, "cm"), "dashed"),
        MarkedHeight("fill line", Q(25, "cm"), "solid"),
        MarkedHeight("end by here", Q(3, "cm"), "dash-dot"),
    )
    page, _ = pages.dipstick(TUB, tmp_path / "marked", heights=heights, gauge=Q(2, "cm"), system="US")
    lines, _ = svg_lines(page)
    assert lines["height-1-fill-line"][1] - lines["base-1"][1] == pytest.approx(50, abs=0.01)
    assert lines["height-1-overflow-hole"][1] - lines["base-1"][1] == pytest.approx(55, abs=0.01)
    assert lines["height-0-end-by-here"][1] - lines["base-0"][1] == pytest.approx(30, abs=0.01)
    assert lines["gauge-top"][1] - lines["gauge-base"][1] == pytest.approx(20, abs=0.01)
    drawing = drawings(page)[0]
    for words in ("overflow hole 10 in", "fill line 9 7/8 in", "end by here 1 3/16 in", "hold this edge"):
        assert words in drawing  # 25.5 / 2.54 = 10.04, 25 / 2.54 = 9.84, 3 / 2.54 = 1.18
    styles = re.findall(r'id="height-[^"]*">\s*<path[^>]*?style="([^"]*)"', drawing)
    dashes = {(re.search(r"stroke-dasharray: ([^;\"]*)", style) or [None])[0] for style in styles}
    assert len(styles) == len(dashes) == 3
    said = words_of(page.read_text(encoding="utf-8"))
    assert "fill line 9 7/8 in solid line" in said
    (picture,) = Page(page.read_text(encoding="utf-8")).all("img")
    assert "A dashed line: overflow hole 10 in." in picture["alt"]


def test_a_long_stick_goes_over_several_sheets(tmp_path):
    """110 cm are five pieces of 20 cm and one of 10; an A4 sheet has room for four."""
    tall = Box(Q(60, "cm"), Q(40, "cm"), Q(110, "cm"))
    page, pdf = pages.dipstick(
        tall, tmp_path / "tall", Q(12, "L"), heights=[MarkedHeight("fill line", Q(1, "m"))]
    )
    first, _ = svg_lines(page, 0)
    second, size = svg_lines(page, 1)
    assert size == pytest.approx((210, 297), abs=0.01)
    assert len(drawings(page)) == 2
    assert len(re.findall(rb"/Type /Page\b", pdf.read_bytes())) == 2
    marks = heights(first) | heights(second)
    assert [marks[12.0 * number] for number in range(1, 23)] == pytest.approx(50 * np.arange(1, 23), abs=0.01)
    assert {name for name in second if name.startswith("base")} == {"base-4", "base-5"}
    assert second["height-5-fill-line"][1] == pytest.approx(second["base-5"][1], abs=0.01)
    assert not any(name.startswith("height") for name in first)


BUCKET = TaperedCylinder(Q(25, "cm"), Q(31, "cm"), Q(30, "cm"), name="Bucket")


def litres_by_hand(depth):
    """A cone without its tip, 25 cm across at the floor, 31 at 30 cm; in L."""
    wide = 25 + 6 * depth / 30
    return np.pi * depth * (25**2 + 25 * wide + wide**2) / 12 / 1000


@pytest.mark.parametrize(
    ("system", "length", "volume", "count"), [("metric", 1, 1, 30), ("US", 2.54, 3.785411784, 24)]
)
def test_the_table_beside_the_stick_by_hand(system, length, volume, count, tmp_path):
    """30 cm are 60 steps of half a centimetre, too many for 40 rows, so steps of 1; 11.8 in are 24 of half an inch."""
    page, _ = pages.dipstick(BUCKET, tmp_path / "stick", system=system)
    text = page.read_text(encoding="utf-8")
    found = re.findall(r'<td class="number">([\d./ ]+)</td><td class="number">([\d.]+)</td>', text)
    levels = [float(sum(Fraction(part) for part in level.split())) for level, _ in found]
    assert len(levels) in (count, count - 1)  # with the rim or without
    assert levels[:3] == ([1, 2, 3] if system == "metric" else [0.5, 1, 1.5])
    for level, (_, held) in zip(levels, found, strict=True):
        assert float(held) == pytest.approx(litres_by_hand(level * length) / volume, abs=0.051)
    # to the rim 18.5 L or 4.9 US gallons
    held = (
        "Holds 18.5 L to the rim, 30 cm high"
        if system == "metric"
        else "Holds 4.9 US gal to the rim, 11 3/4 in"
    )
    assert held in words_of(text)


def test_a_nasty_name_is_text(tmp_path):
    odd = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), name=NASTY)
    page = Page(pages.dipstick(odd, tmp_path / "stick")[0].read_text(encoding="utf-8"))
    assert page.words["h1"] == f"Dipstick: {NASTY}"
    assert not page.all("script")
