"""The sheet for a neighbour: its marks by hand, its words, and what it refuses."""

import re

import pytest
from printed import NASTY, Page, words_of
from stilltank.science import budget
from stilltank.science.budget import Pour
from stilltank.season.paper import neighbour_sheet
from stilltank.season.paper.neighbour import of_100, pour_words
from stilltank.season.plan import Plan, Reading
from stilltank.units import OutOfRange, Problem, Q, Unreadable, read

THIRSTY = Plan.make(crop="basil", count=6)
AWAY = ("2027-05-31", "2027-06-14")


@pytest.fixture(scope="module")
def found():
    return THIRSTY.scenario().absence(*AWAY, Q(12, "cm"))


@pytest.fixture(scope="module")
def text():
    return neighbour_sheet(THIRSTY, *AWAY, level=Q(12, "cm"))


@pytest.fixture(scope="module")
def said(text):
    return words_of(text)


def test_a_bottle_of_a_litre_and_a_half_raises_this_tub_by_so_much(found):
    """Four corners and straight walls apart, volume over area: the tub holds 45 L at 30 cm, 14.4 L between marks of
    10 cm; worked as (V(12 cm) + bottle) back to a level, by bisection on the tub's own volume."""
    tub, mark = THIRSTY.tank, found.help.mark
    wanted = tub.volume(mark).m_as("L") + found.help.pour.volume.m_as("L")
    low, high = mark.m_as("cm"), 30.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if tub.volume(Q(middle, "cm")).m_as("L") < wanted else (low, middle)
    assert found.help.rise.m_as("cm") == pytest.approx(low - mark.m_as("cm"), abs=1e-3)
    assert found.help.rise <= Q(2, "cm")


def test_a_straight_box_by_hand():
    """2400 cm2: 1.5 L are 1500 cm3, 6.25 mm; in US units the ruler shows 1/4 in."""
    from stilltank.science.tank import Box

    box = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    plan = Plan.make(box, "basil", count=10)
    help_ = plan.scenario().absence("2027-06-20", "2027-07-04", Q(10, "cm")).help
    assert help_.rise.m_as("mm") == pytest.approx(help_.pour.volume.m_as("mL") / 240)


def test_the_stick_has_every_height_once_and_what_to_do(found, said):
    mark, call, above = (one.m_as("cm") for one in (found.help.mark, found.call_below, found.call_above))
    assert call < mark <= above
    assert f"above {above:g} cm Call. Add nothing." in said
    assert f"{mark:g} cm to {above:g} cm Add nothing." in said
    assert f"{call:g} cm to just under {mark:g} cm One bottle." in said
    assert f"below {call:g} cm One bottle, then call." in said
    assert "One bottle of 1.5 L , of plain water, Quillgate tap water (invented)." in said


def test_each_visit_has_its_row(found, said):
    for day in found.help.visits:
        assert f"{day:%a} {day.day} {day:%b}" in said
    assert (found.help.visits[0] - found.leave).days == found.help.every
    assert f"Come every {'day' if found.help.every == 1 else f'{found.help.every} days'}" in said


def test_the_odds_are_those_of_the_absence(found, text):
    rows = re.findall(
        r"<tr><td>([^<]*)</td><td class=\"number\">([^<]*)</td><td class=\"number\">([^<]*)</td>", text
    )
    wanted = [
        (name, of_100(one.dry), of_100(one.above))
        for name, one in (
            ("nobody comes", found.nobody),
            ("you come", found.neighbour),
            ("you come, the hole is blocked", found.blocked),
        )
    ]
    assert rows == wanted
    assert found.neighbour.dry < found.nobody.dry


def test_a_page_for_paper_and_phone_that_asks_for_nothing(text):
    page = Page(text)
    assert {"charset": "utf-8"} in page.all("meta")
    assert any("default-src 'none'" in meta.get("content", "") for meta in page.all("meta"))
    assert {"script", "link", "iframe", "a", "form", "img"}.isdisjoint(tag for tag, _ in page.found)
    for header in page.all("th"):
        assert header["scope"] in ("col", "row")
    said = words_of(text)
    for words in ("telephone", "Do not fill it up", "Do not lift or move the tank", "no promise"):
        assert words in said
    for word in ("None", "nan", "inf ", "Quantity", "unknown"):
        assert word not in said


def test_a_tank_that_lasts_says_only_look():
    said = words_of(neighbour_sheet(Plan.make(count=4), "2027-05-20", "2027-05-30"))
    assert "Nothing to do, only look. Come once, on" in said
    assert "bottle" not in said


def test_help_that_is_not_enough_says_so():
    plan = THIRSTY.change(count=14)
    found = plan.scenario().absence("2027-06-05", "2027-06-26", Q(9, "cm"))
    assert not found.help.enough
    assert "Not safe enough." in words_of(neighbour_sheet(plan, "2027-06-05", "2027-06-26", level=Q(9, "cm")))


def test_a_drip_is_told_by_its_drops():
    plan = THIRSTY.change(top_up=budget.drip(Q(50, "mL/hour"), Q(24, "hour")))
    said = words_of(neighbour_sheet(plan, "2027-06-10", "2027-06-24", level=Q(12, "cm")))
    assert "1.2 L a day: 50 mL an hour, about 17 drops a minute" in said  # 50 x 20 / 60


def test_it_begins_with_the_plans_reading():
    plan = THIRSTY.change(reading=Reading("2027-06-10", Q(14, "cm")))
    said = words_of(neighbour_sheet(plan, "2027-06-11", "2027-06-14"))
    level = float(re.search(r"made for ([\d.]+) cm on 11 June 2027", said)[1])
    assert 11 < level < 14


def test_solution_of_the_plan_is_poured_where_the_plan_adds_it():
    plan = THIRSTY.change(top_up=budget.by_hand(3, strength=0.5))
    assert "half-strength solution" in words_of(neighbour_sheet(plan, *AWAY, level=Q(12, "cm")))


def test_us_units_as_a_ruler_and_a_bottle_show_them():
    said = words_of(neighbour_sheet(THIRSTY, *AWAY, level=Q(12, "cm"), system="US", paper="Letter"))
    assert not re.search(r"\d (cm|mm|mL)\b", said)
    assert re.search(r"bottles? of 1.5 L \(51 US fl oz\)", said)  # 1500 / 29.57 = 50.7
    heights = re.findall(r"above ((?:\d+ )?(?:\d+/\d+|\d+)) in Call", said)
    assert (read(f"{heights[0]} in", "length").m_as("inch") * 4) % 1 == 0  # marks lie on quarters


def test_numbers_of_100_are_never_rounded_to_none():
    assert [of_100(share) for share in (0, 0.005, 0.01, 0.126, 0.995, 1)] == [
        "0", "fewer than 1", "1", "13", "more than 99", "100",
    ]  # fmt: skip


def test_what_is_poured_in_words():
    assert pour_words(Pour("cup", Q(250, "mL"))) == "one cup, filled to the mark for 250 mL"
    assert pour_words(Pour("bottle", Q(1.5, "L"), 3)) == "three bottles of 1.5 L"


def test_names_are_text_and_nothing_else():
    text = neighbour_sheet(THIRSTY.change(name=NASTY), *AWAY, level=Q(12, "cm"))
    assert Page(text).words["h1"] == NASTY
    assert not Page(text).all("script")


def test_it_is_written_whole_or_refused(text, tmp_path):
    written = neighbour_sheet(THIRSTY, *AWAY, tmp_path / "sheet", level=Q(12, "cm"))
    assert written == tmp_path / "sheet.html"
    assert written.read_text(encoding="utf-8") == text
    for call, error, words in (
        (lambda: neighbour_sheet(None, *AWAY), Problem, "needs a plan"),
        (lambda: neighbour_sheet(THIRSTY, *AWAY, paper="A5"), Problem, "A5"),
        (lambda: neighbour_sheet(THIRSTY, *AWAY, system="old"), Problem, "old"),
        (lambda: neighbour_sheet(THIRSTY, "2027-06-14", "2027-06-14"), OutOfRange, "later day"),
        (lambda: neighbour_sheet(THIRSTY, "soon", "2027-06-14"), Unreadable, "soon"),
        (lambda: neighbour_sheet(THIRSTY, *AWAY, 7, level=Q(12, "cm")), Unreadable, "name of a file"),
    ):
        with pytest.raises(error, match=words):
            call()
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.html"]
