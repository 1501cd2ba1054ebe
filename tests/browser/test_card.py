"""The printed card: one page on A4 and on Letter, whatever the plan, and nothing asked of another computer."""

import os
import re
from pathlib import Path

import pytest
from stilltank.science import budget, mixing, tank
from stilltank.season.paper import tank_card
from stilltank.season.plan import Group, Plan, Reading
from stilltank.units import Q

SCREENSHOTS = os.environ.get("SCREENSHOTS")
HARD = mixing.Water(
    {"Ca": Q(150, "mg/L")},
    alkalinity=Q(400, "mg/L"),
    ph=7.5,
    name="Well behind the old greenhouse, north side",
)
PURE = mixing.Water({}, alkalinity=Q(5, "mg/L"), ph=7, name="rain")
LONG = "Year nine, second group on Thursday afternoons, the tub beside the sundial under the plane tree"
PLANS = {
    "demo": {"count": 4},
    "longest season": {"start": "2027-09-01"},
    "over new year": {"start": "2027-12-20", "crop": "zinnia"},
    "most salts": {"water": PURE, "crop": "lettuce"},
    "too much phosphorus": {"water": HARD, "acid": "phosphoric acid 75 %", "count": 40},
    "long names": {"name": LONG, "water": HARD, "crop": "basil"},
    "solid acid, jar": {"tank": "jar-4", "crop": "sunflower", "acid": "citric acid monohydrate"},
    "flat bed": {"tank": "bed-90"},
    "tall tank": {
        "tank": tank.Cylinder(Q(30, "cm"), Q(90, "cm"), net_pot_depth=Q(7, "cm")),
        "crop": "calendula",
    },
    "everything": {
        "start": "2027-12-20",
        "name": LONG,
        "water": HARD,
        "count": 40,
        "acid": "phosphoric acid 85 %",
    },
    "mixed, topped up": {
        "count": 3,
        "beside": (Group("basil", 2), Group("lettuce", 2, transplanted="2027-05-20")),
        "top_up": budget.by_hand(3, strength=0.5),
        "name": LONG,
    },
    "read in mid-season": {
        "crop": "basil",
        "count": 3,
        "until": "frost",
        "top_up": budget.drip(Q(20, "mL/hour"), Q(24, "hour")),
        "reading": Reading("2027-06-20", Q(14, "cm")),
    },
}


def pages_of(printed):
    """The page tree's own count; the objects are not packed away in the PDFs that Chromium writes."""
    (count,) = re.findall(rb"/Type\s*/Pages\b[^>]*?/Count\s+(\d+)", printed) or re.findall(
        rb"/Count\s+(\d+)", printed
    )
    assert int(count) == len(re.findall(rb"/Type\s*/Page\b", printed))
    return int(count)


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("name", PLANS)
def test_a_card_prints_on_one_page(page, tmp_path, name, system):
    card = tank_card(Plan.make(**PLANS[name]), tmp_path / "card.html", system=system)
    page.set_viewport_size({"width": 1024, "height": 768})
    asked, complaints = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: complaints.append(message.text))
    page.goto(card.as_uri())
    page.wait_for_function("[...document.images].every(one => one.complete && one.naturalWidth)")
    stem = f"card-{name.replace(' ', '-').replace(',', '')}-{system}"
    if SCREENSHOTS:
        Path(SCREENSHOTS).mkdir(parents=True, exist_ok=True)
        page.screenshot(path=Path(SCREENSHOTS, f"{stem}.png"), full_page=True)
    wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
    found = {}
    for paper in ("A4", "Letter"):
        for prefer in (False, True):
            printed = page.pdf(format=paper, print_background=True, prefer_css_page_size=prefer)
            found[paper, prefer] = pages_of(printed)
            if SCREENSHOTS:
                Path(SCREENSHOTS, f"{stem}-{paper}.pdf").write_bytes(printed)
    assert found == dict.fromkeys(found, 1)
    assert not wide, "wider than the screen"
    assert complaints == []
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []


@pytest.mark.parametrize(("mix", "ph_test"), [("bottles", "drops"), ("spoons", "strips")])
@pytest.mark.parametrize("name", ["everything", "mixed, topped up", "solid acid, jar"])
def test_a_card_by_bottles_or_spoons_prints_on_one_page(page, tmp_path, name, mix, ph_test):
    card = tank_card(Plan.make(**PLANS[name]), tmp_path / "card.html", mix=mix, ph_test=ph_test)
    page.goto(card.as_uri())
    found = [pages_of(page.pdf(format=paper, prefer_css_page_size=True)) for paper in ("A4", "Letter")]
    assert found == [1, 1]


@pytest.mark.parametrize("width", [360, 800])
def test_a_card_can_be_read_on_a_small_screen(page, tmp_path, width):
    card = tank_card(Plan.make(**PLANS["everything"]), tmp_path / "card.html")
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(card.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
