"""Correcting a tank: what is advised is done to the tank, and the tank then reads what was wanted."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.mixing import (
    Solution,
    blend,
    correct,
    demo_water,
    replaced,
    stocks,
    strength_at,
    usual_salts,
    weigh_out,
)
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

TAP = demo_water("quillgate-tap")
RECIPE = weigh_out("leafy", usual_salts(), Q(45, "L"), TAP)
BOTTLES = stocks(RECIPE, 100, Q(1, "L"))


def tank(strength, litres, recipe=RECIPE):
    added = {key: value * strength for key, value in recipe.solution.added.items()}
    return Solution(Q(litres, "L"), added, water=recipe.water)


def carried_out(found, solution):
    """Do what the correction says, with the solutions themselves."""
    litres = solution.volume.m_as("L") - found.take_out.m_as("L")
    litres = max(litres, 1e-9)  # emptied: the fresh solution is all there is
    now = solution
    if found.water.magnitude > 0:
        now = blend(now, Q(litres, "L"), TAP, found.water)
        litres += found.water.m_as("L")
    for name, each in found.concentrate.items():
        bottle = BOTTLES.a if name == "A" else BOTTLES.b
        now = blend(now, Q(litres, "L"), bottle.solution, each)
        litres += each.m_as("L")
    if found.masses:
        salts = {s.name: s for s in RECIPE.salts}
        extra = {}
        for name, mass in found.masses.items():
            for key, mmol in salts[name].release.items():
                extra[key] = extra.get(key, Q(0, "mmol/L")) + Q(mass.m_as("g") * mmol / litres, "mmol/L")
        now = now.plus(extra)
    return now, litres


STRENGTHS = st.floats(0.05, 3.9)


@settings(max_examples=30, deadline=None)
@given(STRENGTHS, st.floats(0.2, 2), st.floats(5, 45), st.one_of(st.none(), st.floats(0, 10)), st.booleans())
def test_doing_what_is_advised_gives_what_was_wanted(now, aim, litres, room, with_bottles):
    solution = tank(now, litres)
    wanted = tank(aim, 1).conductivity()
    most = None if room is None else Q(litres + room, "L")
    found = correct(
        RECIPE, Q(litres, "L"), solution.conductivity(), wanted, BOTTLES if with_bottles else None, most
    )
    assert found.strength == pytest.approx(now, rel=1e-6)
    after, volume = carried_out(found, solution)
    assert volume == pytest.approx(found.volume.m_as("L"), rel=1e-6)
    assert most is None or volume <= most.m_as("L") * (1 + 1e-9)
    reading = after.conductivity().m_as("mS/cm")
    assert reading == pytest.approx(found.expected.m_as("mS/cm"), rel=1e-4)
    slack = 1e-4 if found.action != "nothing" else 0.05 + 1e-9
    assert reading == pytest.approx(wanted.m_as("mS/cm"), rel=slack)
    for amount in (found.take_out, found.water, *found.concentrate.values(), *found.masses.values()):
        assert amount.magnitude >= 0
    if found.action == "nothing":
        assert volume == pytest.approx(litres)
        assert not found.masses


@settings(max_examples=15, deadline=None)
@given(STRENGTHS)
def test_strength_is_read_back_from_the_meter(strength):
    assert strength_at(RECIPE, tank(strength, 1).conductivity()) == pytest.approx(
        strength, rel=1e-6, abs=1e-8
    )


def test_water_for_a_concentrated_tank_by_hand():
    # 30 L at 1.5 times the recipe hold the salts of 45 L: 15 L of water
    found = correct(RECIPE, Q(30, "L"), tank(1.5, 30).conductivity())
    assert found.action == "water"
    assert found.water.m_as("L") == pytest.approx(15, rel=1e-6)
    assert "Add 15.0 L of water" in str(found)
    assert "cannot say which nutrient" in str(found)


def test_a_reading_in_proportion_would_be_wrong():
    # half the reading above the water's is less than half the strength, for ions hinder each other less when few
    assert strength_at(RECIPE, 0.5 * RECIPE.solution.conductivity() + 0.5 * TAP.conductivity()) < 0.5


def test_concentrate_by_hand():
    # 20 L at half strength lack the salts of 10 L: with 100 times strong bottles 10/(100 - 2) L of each
    found = correct(RECIPE, Q(20, "L"), tank(0.5, 20).conductivity(), concentrates=BOTTLES)
    assert found.concentrate["A"].m_as("mL") == pytest.approx(10000 / 98, rel=1e-6)
    assert found.concentrate["A"] == found.concentrate["B"]
    grams = correct(RECIPE, Q(20, "L"), tank(0.5, 20).conductivity()).masses
    for name, mass in grams.items():
        assert mass.m_as("g") == pytest.approx(RECIPE.masses[name].m_as("g") * 10 / 45, rel=1e-6)


def test_no_room_means_taking_out_or_starting_again():
    strong = tank(1.5, 30).conductivity()
    # no room: what stays is 1/1.5 of the tank, so a third goes out
    found = correct(RECIPE, Q(30, "L"), strong, most=Q(30, "L"))
    assert found.action == "replace"
    assert found.take_out.m_as("L") == pytest.approx(10, rel=1e-6)
    after = replaced(tank(1.5, 30), found.take_out, TAP)
    assert after.conductivity().m_as("mS/cm") == pytest.approx(found.expected.m_as("mS/cm"), rel=1e-6)
    again = correct(RECIPE, Q(30, "L"), tank(3, 30).conductivity(), most=Q(30, "L"))  # two thirds would go
    assert again.action == "start again"
    assert again.masses["potassium nitrate"].m_as("g") == pytest.approx(
        RECIPE.masses["potassium nitrate"].m_as("g") * 30 / 45, rel=1e-6
    )


def test_small_differences_are_left_alone():
    worth = number("mixing", "correct", "difference worth acting", "dimensionless")
    reading = RECIPE.solution.conductivity()
    assert correct(RECIPE, Q(30, "L"), reading * (1 + 0.9 * worth)).action == "nothing"
    assert correct(RECIPE, Q(30, "L"), reading * (1 + 1.1 * worth)).action == "water"
    assert correct(RECIPE, Q(30, "L"), reading * (1 - 1.1 * worth)).action == "concentrate"


def test_a_recipe_without_sulfur_and_phosphate_uses_one_bottle():
    recipe = weigh_out({"Ca": Q(100, "mg/L")}, ["calcium nitrate"], Q(10, "L"))
    bottles = stocks(recipe, 50, Q(1, "L"))
    weak = Solution(Q(10, "L"), {k: v * 0.5 for k, v in recipe.solution.added.items()})
    found = correct(recipe, Q(10, "L"), weak.conductivity(), concentrates=bottles)
    assert set(found.concentrate) == {"A"}
    assert found.concentrate["A"].m_as("mL") == pytest.approx(5000 / 49, rel=1e-6)


@pytest.mark.parametrize(
    ("changes", "error", "words"),
    [
        ({"recipe": "leafy"}, UnitNeeded, "Recipe"),
        ({"measured": 1.8}, UnitNeeded, "a conductivity"),
        ({"measured": Q([1.0, 2.0], "mS/cm")}, Problem, "one value"),
        ({"measured": Q(0.05, "mS/cm")}, OutOfRange, "below the .* alone. Check the meter"),
        ({"measured": Q(1600, "mS/cm")}, OutOfRange, "Check the unit"),
        ({"wanted": TAP.conductivity()}, OutOfRange, "Use water"),
        ({"volume": Q(0, "L")}, OutOfRange, "more than zero"),
        ({"volume": 30}, UnitNeeded, "a volume"),
        ({"most": Q(20, "L")}, OutOfRange, "holds 30 L already"),
        ({"concentrates": "A and B"}, UnitNeeded, "Stocks"),
        ({"measured": Q(1, "mS/cm"), "concentrates": stocks(RECIPE, 2, Q(1, "L"))}, Problem, "stronger ones"),
    ],
)
def test_wrong_questions_get_a_sentence(changes, error, words):
    usual = {"recipe": RECIPE, "volume": Q(30, "L"), "measured": Q(1.8, "mS/cm")}
    with pytest.raises(error, match=words):
        correct(**{**usual, **changes})
