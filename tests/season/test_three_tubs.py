"""A season as its grower would judge it: three odd tubs, mixed crops, hard tap water, two bags, a drop test.

The ranges are what growers of this kind know by heart (common practice), fixed before the workbook was asked. Tubs,
bags and prices are invented; the weather is that of Seattle on record, a place with wet springs.
"""

import re
import shutil
from pathlib import Path

import pytest
from stilltank.science import budget, mixing, tank
from stilltank.season.bench import Bench
from stilltank.season.paper import bottle_labels, log_sheet, neighbour_sheet, tank_card
from stilltank.season.plan import Group, Loss, Plan, Reading
from stilltank.season.review import review
from stilltank.units import Q

ROOT = Path(__file__).resolve().parents[2]
TAP = mixing.Water(
    {"Ca": Q(1.6, "mmol/L"), "Mg": Q(0.4, "mmol/L"), "Na": Q(0.5, "mmol/L"), "Cl": Q(0.5, "mmol/L")},
    alkalinity=Q(180, "mg/L"),
    ph=7.5,
    name="our tap",
)
TOTE = tank.TaperedBox(
    *(Q(size, "inch") for size in (17.5, 12, 21, 15, 14.5)), net_pot_depth=Q(2.5, "inch"), name="tote"
)
JUGS = tank.Measured(
    Q([4, 7.8, 14.8, 21.3, 27.3, 30], "cm"),
    Q([5, 10, 20, 30, 40, 45], "L"),
    net_pot_depth=Q(6, "cm"),
    name="odd tub",
)
BUCKET = tank.TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(38, "cm"), net_pot_depth=Q(7, "cm"), name="bucket")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    found = tmp_path_factory.mktemp("bench")
    shutil.copy(ROOT / "data/demo/shelf-quillgate.toml", found / "my-shelf.toml")
    usual = {
        "site": "seattle",
        "water": TAP,
        "shelf": found / "my-shelf.toml",
        "acid": "citric acid from the kitchen",
    }
    often = budget.by_hand(3, Q(14, "cm"), Q(1, "cm"), 0.5)
    tote = Plan.make(
        TOTE,
        "basil",
        start="2027-06-19",
        until="2027-09-30",
        count=3,
        beside=[Group("lettuce", 2)],
        top_up=often,
        **usual,
    )
    jugs = Plan.make(
        JUGS,
        "zinnia",
        start="2027-05-20",
        until="2027-09-30",
        count=2,
        beside=[Group("snapdragon", 1, pot_depth=Q(5, "cm"))],
        **usual,
    )
    bucket = Plan.make(
        BUCKET, "lettuce", start="2027-05-01", count=1, losses=[Loss("2027-05-20", 1, True)], **usual
    )
    for name, plan in (("my-tote", tote), ("my-odd-tub", jugs), ("my-bucket", bucket)):
        plan.save(found / f"{name}.toml")
    return found


@pytest.fixture(scope="module")
def bench(folder):
    return Bench.load(folder)


def grams_a_litre(plan):
    recipe = plan.outlook.recipe
    return {name: float((mass / recipe.volume).m_as("g/L")) for name, mass in recipe.masses.items()}


def test_two_bags_are_weighed_as_growers_weigh_them(bench):
    """About half a gram to a gram of each bag in a litre; hard water needs no Epsom salt."""
    for plan in bench.plans.values():
        weighed = grams_a_litre(plan)
        assert 0.25 <= weighed["leaf bag"] <= 1.2
        assert 0.2 <= weighed["calcium bag"] <= 1.0
        assert weighed["Epsom salt"] <= 0.1
        assert 1.0 <= plan.outlook.recipe.solution.conductivity().m_as("mS/cm") <= 2.0


def test_hard_water_takes_grams_of_acid_and_not_kilograms(bench):
    """180 mg/L as CaCO3 is 3.6 meq/L; citric acid gives about 2.5 of its 3 protons near pH 5.8, and 192 g is a mole."""
    for plan in bench.plans.values():
        at_most = 3.6e-3 / 2 * 192 * plan.outlook.volume.m_as("L")
        dose = plan.outlook.doses["open"].mass.m_as("g")
        assert 0.4 * at_most <= dose <= at_most


def test_the_shopping_list_is_small_and_stands_on_the_shelf(bench):
    needed = {item.name: item for item in bench.shopping_list().items}
    total = sum(item.needed.m_as("g") for item in needed.values() if item.needed.check("[mass]"))
    assert 60 <= total <= 500  # three tubs and their top-ups
    assert needed["leaf bag"].needed.m_as("g") < 400  # what is left of it
    assert "To pay: 0.00 coins" in str(bench.shopping_list())


def test_a_round_is_a_can_or_two(bench):
    day = bench.round("2027-08-02").day
    for _ in range(10):
        found = bench.round(day)
        assert (
            sum(
                stop.litres.m_as("L")[1] if stop.litres.shape else stop.litres.m_as("L")
                for stop in found.stops
            )
            <= 12
        )
        day = found.next_day
        if day is None:
            break


def test_the_review_says_what_a_grower_would(bench):
    said = {name: {flag.name for flag in review(plan)} for name, plan in bench.plans.items()}
    assert all("weight" in names for names in said.values())
    assert not any({"acid", "cold", "weather", "high hole"} & names for names in said.values())


def test_a_lower_reading_in_mid_season_shortens_what_is_left(bench):
    plan = bench.plans["my-odd-tub"]
    dry = [
        plan.change(reading=Reading("2027-07-10", Q(level, "cm"))).outlook.season.share_of("run_dry")
        for level in (8, 18)
    ]
    assert dry[0] >= dry[1]


def test_all_papers_of_all_tanks_can_be_made(bench, folder):
    for name, plan in bench.plans.items():
        card = tank_card(plan)
        assert "leaf bag" in card
        assert "citric acid from the kitchen" in card
        log_sheet(plan, folder / f"{name}-log.html")
        bottle_labels(plan, folder / f"{name}-labels.html")
    sheet = neighbour_sheet(
        bench.plans["my-tote"], "2027-08-02", "2027-08-16", folder / "my-tote-neighbour.html"
    )
    words = re.sub(r"<style.*?</style>|<[^>]+>", " ", sheet.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert "Add nothing" in words
    assert "Call" in words
    assert "Do not fill it up" in words
    bench.page(folder / "wall.html")
    bench.calendar(folder / "all.ics")
    bench.numbers(folder / "numbers.csv")
