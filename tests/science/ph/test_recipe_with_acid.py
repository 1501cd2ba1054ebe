"""Recipes whose acid brings nutrients, and the trade's rule for lowering a pH."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry import Water
from stilltank.science.mixing import mix, weigh_out
from stilltank.science.ph import (
    acid_dose,
    alkalinity_for_rule,
    ph_after,
    ph_of,
    recipe_with_acid,
    rule_of_thumb,
    strength_for_rule,
)
from stilltank.science.products import acid
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TAP = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
WANTED = {"N": Q(150, "mg/L"), "P": Q(50, "mg/L"), "K": Q(200, "mg/L"), "Ca": Q(150, "mg/L")}
SALTS = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "K2SO4", "CaCl2.2H2O", "NH4NO3"]


def bare(found):
    """The solution of the salts alone, made afresh from the masses."""
    return mix(found.recipe.masses, found.recipe.volume, TAP)


@given(
    st.sampled_from(["nitric acid 38 %", "phosphoric acid 75 %", "sulfuric acid 35 %"]), st.floats(5.5, 6.3)
)
@settings(max_examples=9, deadline=None)
def test_masses_and_dose_belong_together(name, target):
    found = recipe_with_acid(WANTED, SALTS, Q(40, "L"), TAP, name, target)
    # the dose is that of the salts weighed, and the tank then stands at the target, asked in two ways
    assert found.dose.amount.m_as("mmol/L") == pytest.approx(
        acid_dose(bare(found), target, name).amount.m_as("mmol/L"), rel=1e-6
    )
    assert ph_of(found.recipe.solution) == pytest.approx(target, abs=1e-5)
    # salts, water and acid together hold what was wanted
    element = acid(name).element
    sums = bare(found).elements[element].m_as("mg/L") + found.adds[element].m_as("mg/L")
    assert sums == pytest.approx(found.recipe.solution.elements[element].m_as("mg/L"), rel=1e-6)
    if element in WANTED and element not in found.recipe.missed:
        assert sums == pytest.approx(WANTED[element].m_as("mg/L"), rel=0.02)


def test_what_forgetting_costs():
    found = recipe_with_acid(WANTED, SALTS, Q(40, "L"), TAP, "nitric acid 38 %", 5.8)
    # by hand: 14.007 mg of N for each mmol, on top of the 150 that the salts alone were weighed for
    brings = found.dose.amount.m_as("mmol/L") * 14.007
    assert found.adds["N"].m_as("mg/L") == pytest.approx(brings, rel=1e-4)
    assert found.over["N"].m_as("percent") == pytest.approx(100 * brings / 150, rel=0.02)
    without = weigh_out(WANTED, SALTS, Q(40, "L"), TAP)
    assert found.without.masses["potassium nitrate"] == without.masses["potassium nitrate"]
    assert found.recipe.reached["N"].m_as("mg/L") == pytest.approx(150, rel=0.01)
    assert 2 <= found.rounds < 10


def test_an_acid_that_feeds_nothing_changes_nothing():
    found = recipe_with_acid(WANTED, SALTS, Q(40, "L"), TAP, "citric acid", 5.8)
    assert found.rounds == 1
    assert dict(found.over) == {}
    assert found.recipe is found.without


def test_more_than_the_target_from_the_acid_alone_is_said():
    hard = Water({}, alkalinity=Q(300, "mg/L"), ph=7.4, name="well")
    found = recipe_with_acid(WANTED, SALTS, Q(40, "L"), hard, "phosphoric acid 75 %", 5.8)
    assert "phosphoric acid 75 % alone brings" in found.recipe.missed["P"]
    assert "well already brings" not in str(found)


def test_it_reads_as_a_recipe_with_its_dose():
    text = str(recipe_with_acid(WANTED, SALTS, Q(40, "L"), TAP, "nitric acid 38 %", 5.8))
    assert text.startswith("For 40 L made up with tap, weigh:")
    assert "N is counted in; forgotten, it would make the N" in text
    assert "mL of nitric acid 38 % in 40 L for pH 5.8" in text
    assert text.endswith(acid("nitric acid 38 %").caution)


# The rule


def water(alkalinity):
    charge = Q(alkalinity / 50.04, "mmol/L")
    return Water({"Na": charge}, alkalinity=Q(alkalinity, "mg/L"), ph=7.6)


def per_gallon(millilitres):
    return Q(millilitres, "mL/gallon")


def test_a_strength_by_hand():
    # Notes: alkalinity 2.0 meq/L, pH 7.8, 25 degC, closed, to 5.8 takes 1.53 mmol/L. For 3.785 L that is 5.79 mmol,
    # so one millilitre for a US gallon must be 5.79 mol/L. Tolerance: 2 % on the dose.
    two = Water({"Na": Q(2, "mmol/L")}, alkalinity=Q(2, "mmol/L"), ph=7.8, temperature=Q(25, "degC"))
    assert strength_for_rule(two, 5.8, "HNO3", per_gallon(1)).m_as("mol/L") == pytest.approx(5.79, rel=0.02)
    both = strength_for_rule(two, 5.8, "nitric acid 0.1 mol/L", per_gallon([0.5, 1]))
    assert both.m_as("mol/L")[0] == pytest.approx(2 * both.m_as("mol/L")[1])
    # an imperial gallon is a fifth larger
    large = strength_for_rule(two, 5.8, "HNO3", Q(1, "mL/imperial_gallon"))
    assert large.m_as("mol/L") == pytest.approx(1.20095 * both.m_as("mol/L")[1], rel=1e-4)


@given(st.floats(3, 400), st.floats(0.2, 3), st.sampled_from(["closed", "open"]))
@settings(max_examples=20, deadline=None)
def test_strength_and_alkalinity_are_two_sides_of_one_rule(alkalinity, millilitres, air):
    like = water(alkalinity)
    strength = strength_for_rule(like, 5.8, "H3PO4", per_gallon(millilitres), air)
    one = acid("phosphoric acid 1 mol/L")
    as_much = per_gallon(millilitres) * strength / one.concentration
    found = alkalinity_for_rule(one, as_much, 5.8, ph=7.6, air=air)
    assert found.m_as("mg/L") == pytest.approx(alkalinity, rel=0.01)


def test_the_rule_suits_soft_water_and_a_dilute_acid():
    # What "dilute" must mean: with one mol/L the rule keeps waters from about 20 to 60 mg/L in the working range.
    rule = rule_of_thumb()
    for alkalinity in (20, 30, 60):
        for dose in (rule.smallest, rule.largest):
            amount = dose * acid("phosphoric acid 1 mol/L").concentration
            landed = ph_after(water(alkalinity), "phosphoric acid 1 mol/L", amount.to("mmol/L"))
            assert rule.lowest <= landed <= rule.highest + 0.05


def test_where_the_rule_fails():
    rule = rule_of_thumb()
    amount = (rule.largest * acid("phosphoric acid 1 mol/L").concentration).to("mmol/L")
    soft, hard, rain = (ph_after(water(mg), "phosphoric acid 1 mol/L", amount) for mg in (30, 250, 5))
    assert rule.lowest < soft < rule.highest
    assert hard > rule.highest  # the same millilitre hardly moves it
    assert rain < 4.5  # and is far too much here
    # by hand: 0.264 mmol/L of one H+ against 5.0 meq/L: a twentieth of the alkalinity
    assert amount.m_as("mmol/L") == pytest.approx(1 / 3.785411784, rel=1e-9)
    # after days in air even the soft water is out of the range again
    assert ph_after(water(30), "phosphoric acid 1 mol/L", amount, "open") > rule.highest
    # to suit hard water the "dilute" liquid would have to be as strong as the strongest bottle sold
    assert (
        strength_for_rule(water(250), 5.8, "H3PO4", rule.largest)
        > 0.9 * acid("phosphoric acid 85 %").concentration
    )


def test_the_rule_says_what_it_leaves_out():
    text = str(rule_of_thumb())
    assert "between 5.5 and 7; 0.5 to 1 mL" in text
    assert "Common practice" in text
    assert "alkalinity" in text


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: strength_for_rule(TAP, 5.8, "H3PO4", 1), UnitNeeded, "mL/gallon"),
        (lambda: strength_for_rule(TAP, 5.8, "H3PO4", None), UnitNeeded, "mL/gallon"),
        (lambda: strength_for_rule(TAP, 5.8, "H3PO4", Q(1, "mL")), UnitNeeded, "mL/gallon"),
        (lambda: strength_for_rule(TAP, 5.8, "H3PO4", per_gallon(0)), OutOfRange, "more than nothing"),
        (lambda: strength_for_rule(TAP, 5.8, "H3PO4", per_gallon(-1)), OutOfRange, "more than nothing"),
        (lambda: strength_for_rule(TAP, 5.8, "H3PO4", per_gallon(1e4)), OutOfRange, "tenth of the tank"),
        (lambda: strength_for_rule(TAP, 9, "H3PO4", per_gallon(1)), OutOfRange, "needs no acid"),
        (lambda: strength_for_rule(TAP, 5.8, None, per_gallon(1)), Unreadable, "has a name"),
        (
            lambda: strength_for_rule("tap", 5.8, "H3PO4", per_gallon(1)),
            Unreadable,
            "needs a Solution or a Water",
        ),
        (lambda: alkalinity_for_rule("citric acid", per_gallon(1), 5.8), OutOfRange, "needs a liquid"),
        (lambda: alkalinity_for_rule("nitric acid 1 mol/L", 1, 5.8), UnitNeeded, "mL/gallon"),
        (
            lambda: alkalinity_for_rule("nitric acid 61.4 %", per_gallon(300), 5.8),
            OutOfRange,
            "suits no water",
        ),
        (
            lambda: alkalinity_for_rule("nitric acid 1 mol/L", per_gallon(1), 8),
            OutOfRange,
            "Choose a lower target",
        ),
        (lambda: alkalinity_for_rule("nitric acid 1 mol/L", per_gallon(1), 5.8, ph="7"), Unreadable, "`ph`"),
        (
            lambda: alkalinity_for_rule("nitric acid 1 mol/L", per_gallon(1), [5, 6]),
            Problem,
            "one value for `target`",
        ),
        (
            lambda: alkalinity_for_rule("nitric acid 1 mol/L", per_gallon(1), 5.8, 7.6, 20),
            UnitNeeded,
            "temperature",
        ),
        (lambda: recipe_with_acid(None, SALTS, Q(9, "L"), TAP, "citric acid", 5.8), UnitNeeded, "targets"),
        (lambda: recipe_with_acid(WANTED, None, Q(9, "L"), TAP, "citric acid", 5.8), UnitNeeded, "salts"),
        (lambda: recipe_with_acid(WANTED, SALTS, 9, TAP, "citric acid", 5.8), UnitNeeded, "`volume`"),
        (lambda: recipe_with_acid(WANTED, SALTS, Q(9, "L"), TAP, None, 5.8), Unreadable, "has a name"),
        (lambda: recipe_with_acid(WANTED, SALTS, Q(9, "L"), TAP, "citric acid", "5"), Unreadable, "`target`"),
        (lambda: recipe_with_acid(WANTED, SALTS, Q(9, "L"), TAP, "citric acid", [5, 6]), Problem, "`target`"),
        (
            lambda: recipe_with_acid(WANTED, SALTS, Q(9, "L"), Water({}), "citric acid", 5),
            Problem,
            "alkalinity",
        ),
        (
            lambda: recipe_with_acid(WANTED, SALTS, Q(9, "L"), None, "citric acid", 7),
            OutOfRange,
            "needs no acid",
        ),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()
