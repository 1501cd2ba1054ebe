"""What is printed beside the card: neighbour sheet, log, dipstick, in a browser, on paper and on a phone."""

import os
from pathlib import Path

import pytest
from own_plan import OWN_PLAN
from stilltank.science import budget, tank
from stilltank.season.paper import log_sheet, neighbour_sheet, tank_card, tank_dipstick
from stilltank.season.plan import Plan
from stilltank.units import Q
from test_card import LONG, pages_of

SCREENSHOTS = os.environ.get("SCREENSHOTS")
PHONE = 360


def own(folder):
    path = folder / "own-plan.toml"
    path.write_text(OWN_PLAN, encoding="utf-8")
    return Plan.load(path)


def thirsty(**changes):
    return Plan.make(crop="basil", count=6, **changes)


def drip():
    return budget.drip(Q(30, "mL/hour"), Q(24, "hour"))


def tall():
    return Plan.make(tank.Cylinder(Q(40, "cm"), Q(110, "cm"), net_pot_depth=Q(7, "cm")), "calendula")


# Each makes a page for a paper; how many sheets it may take, None for as many as it needs.
SHEETS = {
    "neighbour alone": (
        lambda path, paper: neighbour_sheet(
            own(path.parent), "2027-07-10", "2027-07-24", path, system="US", paper=paper
        ),
        1,
    ),
    "neighbour every day": (
        lambda path, paper: neighbour_sheet(
            thirsty(), "2027-06-05", "2027-06-19", path, level=Q(9, "cm"), paper=paper
        ),
        1,
    ),
    "neighbour everything": (
        lambda path, paper: neighbour_sheet(
            thirsty(name=LONG, top_up=drip()),
            "2027-06-10",
            "2027-07-15",
            path,
            level=Q(7, "cm"),
            system="US",
            paper=paper,
        ),
        1,
    ),
    "log": (lambda path, paper: log_sheet(own(path.parent), path, system="US", paper=paper), None),
    "dipstick": (
        lambda path, paper: tank_dipstick(own(path.parent), path, system="US", paper=paper)[0],
        2,  # the stick, and its heights as tables
    ),
    "tall dipstick": (lambda path, paper: tank_dipstick(tall(), path, paper=paper)[0], 3),
    "card": (lambda path, paper: tank_card(own(path.parent), path, system="US"), 1),
}


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", SHEETS)
def test_a_page_prints_whole_and_is_read_on_a_phone(page, tmp_path, name, paper):
    make, most = SHEETS[name]
    made = make(tmp_path / "page.html", paper)
    asked, complaints = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: complaints.append(message.text))
    page.set_viewport_size({"width": PHONE, "height": 740})
    page.goto(made.as_uri())
    page.wait_for_function("[...document.images].every(one => one.complete && one.naturalWidth)")
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll('h1, h2, p, td, th, li, caption')]
        .filter(one => one.textContent.trim()).map(one => parseFloat(getComputedStyle(one).fontSize)))"""
    )
    if SCREENSHOTS:
        Path(SCREENSHOTS).mkdir(parents=True, exist_ok=True)
        stem = f"{name.replace(' ', '-')}-{paper}"
        page.screenshot(path=Path(SCREENSHOTS, f"{stem}-phone.png"), full_page=True)
    printed = page.pdf(format=paper, print_background=True, prefer_css_page_size=True)
    if SCREENSHOTS:
        Path(SCREENSHOTS, f"{stem}.pdf").write_bytes(printed)
    if most is not None:
        assert pages_of(printed) == most
    assert not wide, "wider than a phone"
    assert smallest >= 10, "too small for a phone"
    assert complaints == []
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []


@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 186, 279), ("Letter", 191.9, 261.4)])
@pytest.mark.parametrize("name", ["neighbour every day", "neighbour everything"])
def test_a_neighbour_sheet_is_not_shrunk_to_fit(page, tmp_path, name, paper, width, height):
    """Chromium makes a page smaller that is too wide. Margins of 9 and 12 mm are left on each side."""
    made = SHEETS[name][0](tmp_path / "page.html", paper)
    page.set_viewport_size({"width": int(width / 25.4 * 96), "height": 300})
    page.emulate_media(media="print")
    page.goto(made.as_uri())
    size = page.evaluate("[document.documentElement.scrollWidth, document.body.scrollHeight]")
    assert size[0] <= width / 25.4 * 96
    assert size[1] <= height / 25.4 * 96


def test_the_heads_of_a_log_come_again_on_each_page(page, tmp_path):
    made = log_sheet(own(tmp_path), tmp_path / "log.html", system="US")
    page.goto(made.as_uri())
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.querySelector('thead')).display") == "table-header-group"
    assert page.evaluate("getComputedStyle(document.querySelector('tbody tr')).breakInside") == "avoid"


def test_a_dipstick_is_printed_in_its_true_size(page, tmp_path):
    made = tank_dipstick(own(tmp_path), tmp_path / "stick", paper="A4")[0]
    page.goto(made.as_uri())
    page.emulate_media(media="print")
    wide, high = page.evaluate(
        """(() => { const box = document.querySelector('.sheet img').getBoundingClientRect();
        return [box.width, box.height]; })()"""
    )
    assert wide / 96 * 25.4 == pytest.approx(210, abs=0.1)
    assert high / 96 * 25.4 == pytest.approx(297, abs=0.1)
