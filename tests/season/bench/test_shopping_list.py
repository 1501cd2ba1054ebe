"""The shopping list of a bench, worked by hand: grams of two tanks, what is left, bags, prices, cost of a piece.

All prices, bags and rests here are invented.
"""

import math

import numpy as np
import pytest
from stilltank.science import budget, products
from stilltank.season.bench import Bench
from stilltank.season.plan import Group, Loss, Plan, Reading
from stilltank.units import OutOfRange, Problem, Q

TENDED = budget.by_hand(3, strength=0.5)


def two_tanks(**shelf):
    return {
        "A": Plan.make("quillgate-tub", "snapdragon", count=6, top_up=TENDED),
        "B": Plan.make("tote-60", "basil", start="2027-05-10", count=4),
    }


def bags(left=10.0, price=8.0):
    """A bag of 1 kg of each of the workbook's salts, and a litre of the acid; invented."""
    return products.Shelf.make(
        *(
            products.Stocked(products.salt(name), bag=Q(1, "kg"), left=Q(left, "g"), price=price)
            for name in products.usual_salts()
        ),
        products.Stocked(products.acid("nitric acid 0.5 mol/L"), bag=Q(1, "L"), left=Q(100, "mL"), price=6.0),
        currency="coins",
    )


def test_grams_are_the_filling_of_each_tank_and_half_of_the_recipe_in_what_is_added():
    bench = Bench.of(two_tanks())
    found = {item.name: item for item in bench.shopping_list().items}
    a, b = (plan.outlook for plan in bench.plans.values())
    added = np.quantile(a.season.top_up.m_as("L").sum(axis=1), 0.9)
    for name in ("potassium nitrate", "calcium nitrate fertiliser", "iron DTPA"):
        gram_a, gram_b = (float(one.recipe.masses[name].m_as("g")) for one in (a, b))
        by_hand = gram_a + 0.5 * added * gram_a / float(a.volume.m_as("L")) + gram_b
        assert found[name].needed.m_as("g") == pytest.approx(by_hand, rel=1e-3)
        assert found[name].tanks["B"].m_as("g") == pytest.approx(gram_b)


def test_what_is_left_is_subtracted_and_bags_are_whole():
    found = Bench.of(two_tanks(), bags(left=10)).shopping_list()
    for item in found.items:
        unit = "g" if item.needed.check("[mass]") else "mL"
        left = 10 if unit == "g" else 100
        lacking = max(item.needed.m_as(unit) - left, 0)
        assert item.lacking.m_as(unit) == pytest.approx(lacking)
        assert item.bags == math.ceil(lacking / 1000)
        assert item.to_pay == item.bags * (8 if unit == "g" else 6)
    assert found.to_pay == math.fsum(item.to_pay for item in found.items)
    assert any(item.bags == 0 for item in found.items)
    assert any(item.bags for item in found.items)
    full = Bench.of(two_tanks(), bags(left=1000)).shopping_list()
    assert [item.bags for item in full.items if item.needed.check("[mass]")] == [0] * (len(full.items) - 1)


def test_a_tank_costs_its_part_of_each_bag_and_a_stem_costs_cents():
    found = Bench.of(two_tanks(), bags()).shopping_list()
    for tank, cost in found.costs.items():
        gram = sum(
            item.tanks[tank].m_as("g")
            for item in found.items
            if tank in item.tanks and item.needed.check("[mass]")
        )
        acid = sum(item.tanks[tank].m_as("mL") for item in found.items if not item.needed.check("[mass]"))
        assert cost == pytest.approx(gram * 8 / 1000 + acid * 6 / 1000)
    stems = next(one for one in found.harvests if one.piece == "stem")
    low, middle, high = stems.pieces
    assert low < middle < high
    assert stems.cost == pytest.approx([found.costs["A"] / each for each in (high, middle, low)])
    assert 0.005 < stems.cost[1] < 0.5  # cents, not coins: common practice


def test_four_tubs_of_45_litres_take_some_200_grams_of_salts():
    """Common practice: a gram or so of salts in each litre of a fresh solution, less what hard water brings."""
    found = Bench.of([Plan.make(count=4, top_up=TENDED) for _ in range(4)]).shopping_list()
    gram = sum(item.needed.m_as("g") for item in found.items if item.needed.check("[mass]"))
    assert 150 < gram < 300


def test_without_a_shelf_there_are_grams_and_no_prices():
    found = Bench.of(two_tanks()).shopping_list()
    assert found.to_pay is None
    assert set(found.costs.values()) == {None}
    assert all(one.cost is None for one in found.harvests)
    assert found.unpriced == tuple(item.name for item in found.items)
    assert all(row[4] == "" for row in found.rows())


def test_something_that_is_not_on_the_shelf_leaves_the_sum_open_and_is_named():
    shelf = bags().without("potassium nitrate")
    found = Bench.of(two_tanks(), shelf).shopping_list()
    assert found.unpriced == ("potassium nitrate",)
    assert found.to_pay is None


def test_a_salt_is_found_under_the_name_that_it_has_on_the_shelf():
    own = products.Stocked(products.salt("KNO3"), bag=Q(2, "kg"), price=9.0).named("saltpetre of the chemist")
    item = next(
        one
        for one in Bench.of(two_tanks(), products.Shelf.make(own)).shopping_list().items
        if one.name == "potassium nitrate"
    )
    assert item.bags == 1
    assert item.to_pay == 9.0


def test_acid_holds_the_filling_and_what_is_added():
    bench = Bench.of(two_tanks())
    item = next(one for one in bench.shopping_list().items if "acid 0.5" in one.name)
    outlook = bench.plans["A"].outlook
    added = np.quantile(outlook.season.top_up.m_as("L").sum(axis=1), 0.9)
    # 130 mg/L as CaCO3 down to 20, over 50.04 mg/mmol, and 0.5 mmol in each mL of the bottle
    top_ups = added * (130 - 20) / 50.04 / 0.5
    assert item.tanks["A"].m_as("mL") == pytest.approx(
        outlook.doses["open"].volume.m_as("mL") + top_ups, rel=0.01
    )
    assert item.tanks["B"].m_as("mL") == pytest.approx(
        bench.plans["B"].outlook.doses["open"].volume.m_as("mL")
    )


def test_top_ups_from_another_water_are_mixed_with_that_water():
    rain = two_tanks()["A"].change(top_up_water="quillgate-rain")
    tap, other = (
        {item.name: item.needed for item in Bench.of({"A": plan}).shopping_list().items}
        for plan in (two_tanks()["A"], rain)
    )
    assert other["nitric acid 0.5 mol/L"] < tap["nitric acid 0.5 mol/L"]
    assert other["calcium nitrate fertiliser"] > tap["calcium nitrate fertiliser"]  # rain brings no calcium


def test_plants_pots_and_seeds_are_counted():
    plan = Plan.make(
        crop="snapdragon",
        count=4,
        losses=[Loss("2027-06-10", 1, replaced=True), Loss("2027-06-20", 1)],
        beside=[Group("basil", 2)],
    )
    found = Bench.of({"A": plan}).shopping_list().planted
    assert [(one.crop, one.plants, one.pots) for one in found] == [("Snapdragon", 5, 4), ("Basil", 2, 2)]
    assert found[0].seeds == 5 * 3  # three to a pot: data/calendar.csv, common practice


def test_a_tank_in_mid_season_is_not_filled_or_planted_again():
    running = two_tanks()["A"].change(reading=Reading("2027-06-20", Q(18, "cm")))
    found = Bench.of({"A": running}).shopping_list()
    assert found.litres["A"][0].m_as("L") == 0
    assert found.planted == ()
    assert found.items  # its top-ups


def test_lettuce_gives_heads_and_shares_the_cost_by_its_ground():
    plan = Plan.make(crop="basil", count=2, beside=[Group("lettuce", 2)])
    found = Bench.of({"A": plan}, bags()).shopping_list()
    basil, lettuce = found.harvests
    assert (basil.piece, lettuce.piece, lettuce.pieces) == ("plant", "head", (2.0, 2.0, 2.0))
    assert basil.cost[1] * 2 + lettuce.cost[1] * 2 == pytest.approx(found.costs["A"])


@pytest.mark.parametrize("share", [0.2, 1.0, "much", True])
def test_a_share_that_is_none_is_refused(share):
    with pytest.raises(OutOfRange, match=r"such as 0\.9"):
        Bench.of(two_tanks()).shopping_list(enough=share)


def test_more_certainty_buys_more():
    bench = Bench.of(two_tanks())
    usual, safe = (bench.shopping_list(share).litres["A"][1] for share in (0.5, 0.95))
    assert safe > usual


def test_a_shelf_can_be_a_file_and_plans_bring_their_own(tmp_path):
    path = tmp_path / "my-shelf.toml"
    text = """format = 1
currency = "coins"
[fertilisers."potassium nitrate"]
salt = "KNO3"
bag = "1 kg"
price = 8.0
"""
    path.write_text(text, encoding="utf-8")
    given = Bench.of(two_tanks(), path).shopping_list()
    assert given.currency == "coins"
    assert next(one.to_pay for one in given.items if one.name == "potassium nitrate") == 8.0
    own = {name: plan.change(shelf=path) for name, plan in two_tanks().items()}
    brought = Bench.of(own)
    assert brought.differences == ()
    assert brought.shopping_list().currency == "coins"
    assert {one.name for one in brought.shopping_list().items} == {
        "potassium nitrate",
        "nitric acid 0.5 mol/L",
    }
    mixed = Bench.of({"A": own["A"], "B": two_tanks()["B"]})
    assert "A has my-shelf.toml, B has the salts of the workbook" in mixed.differences[0]


def test_another_thing_than_a_shelf_is_refused():
    with pytest.raises(Problem, match=r"such as season\.shelf\.load"):
        Bench.of(two_tanks(), {"bag": 3})
