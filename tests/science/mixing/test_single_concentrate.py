"""Clouding: brushite and gypsum against PHREEQC, the two bottles, and the advice with its kind."""

import numpy as np
import pytest
from stilltank.science import chemistry
from stilltank.science.mixing import (
    brushite_ph,
    brushite_saturation,
    demo_water,
    gypsum_by_strength,
    mix,
    mixing_advice,
    recipe_solution,
    single_concentrate,
    stocks,
    weigh_out,
)
from stilltank.science.ph import ph_of
from stilltank.science.products import usual_salts
from stilltank.tables import KINDS
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

ROOM = Q(20, "degC")
HOAGLAND = weigh_out("Hoagland 1", ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"], Q(10, "L"))


@pytest.mark.parametrize(
    ("recipe", "celsius", "stated"),
    # PHREEQC 3.8.6, phreeqc.dat, brushite log K -6.60 (from memory), pH set with K; computed there
    [("Hoagland 1", 20, 6.527), ("Steiner", 20, 6.619), ("Sonneveld lettuce", 20, 6.150), ("Cooper", 20, 6.218),
     ("Hoagland 1", 25, 6.536), ("Steiner", 25, 6.629), ("Sonneveld lettuce", 25, 6.149), ("Cooper", 25, 6.219)],
)  # fmt: skip
def test_ph_of_saturation_with_brushite(recipe, celsius, stated):
    found = brushite_ph(recipe_solution(recipe), Q(celsius, "degC"))
    assert found == pytest.approx(stated, abs=0.03)  # pH of simple solutions agrees to 0.04 with PHREEQC
    assert float(brushite_saturation(recipe_solution(recipe), found, Q(celsius, "degC"))) == pytest.approx(
        0, abs=1e-4
    )


@pytest.mark.parametrize(
    ("recipe", "stated"),
    # the same at 25 °C and the solution's own pH (4.925, 4.948, 4.809, 4.809)
    [("Hoagland 1", -1.390), ("Steiner", -1.430), ("Sonneveld lettuce", -1.241), ("Cooper", -1.291)],
)
def test_saturation_at_the_own_ph(recipe, stated):
    solution = recipe_solution(recipe)
    found = brushite_saturation(solution, temperature=Q(25, "degC"))
    assert float(found) == pytest.approx(stated, abs=0.05)


def test_more_ph_calcium_or_phosphate_bring_it_nearer():
    solution = recipe_solution("Hoagland 1")
    row = brushite_saturation(solution, np.array([5.0, 5.5, 6.0, 6.5]))
    assert (np.diff(row) > 0.3).all()
    richer = brushite_saturation(solution.plus({"Ca+2": Q(3, "mmol/L"), "Cl-": Q(6, "mmol/L")}), 6.0)
    assert richer > brushite_saturation(solution, 6.0)
    hard = recipe_solution("Hoagland 1", water=demo_water("quillgate-tap"))
    assert brushite_ph(hard) < brushite_ph(solution)
    assert brushite_saturation(hard, float(ph_of(hard))) == pytest.approx(
        float(brushite_saturation(hard)), abs=1e-6
    )


def test_without_calcium_or_phosphate_nothing_falls_out():
    assert brushite_ph(mix({"KH2PO4": Q(0.2, "g")}, Q(1, "L"))) is None
    assert brushite_ph(mix({"Ca(NO3)2.4H2O": Q(1, "g")}, Q(1, "L"))) is None
    assert brushite_saturation(mix({"KNO3": Q(1, "g")}, Q(1, "L"))) == -np.inf


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: brushite_saturation("Steiner"), Unreadable, "Solution or a Water"),
        (lambda: brushite_saturation(recipe_solution("Steiner"), "6"), Unreadable, "plain number"),
        (lambda: brushite_saturation(recipe_solution("Steiner"), 15), OutOfRange, "15"),
        (lambda: brushite_saturation(recipe_solution("Steiner"), 6, 20), UnitNeeded, "temperature"),
        (
            lambda: brushite_saturation(stocks(HOAGLAND, 100, Q(1, "L")).calcium.solution),
            OutOfRange,
            "method holds for",
        ),
        (lambda: single_concentrate("leafy", 100), Unreadable, "Recipe"),
        (lambda: single_concentrate(HOAGLAND, "1:100"), Unreadable, "two ways"),
        (lambda: mixing_advice("weather"), Problem, "order of mixing"),
    ],
)
def test_wrong_questions_get_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


# One bottle or two


def test_one_bottle_of_hoagland_loses_its_sulfate():
    found = single_concentrate(HOAGLAND, 100)
    # PHREEQC 3.8.6: 0.1904 mol/kg, 95 % of the sulfate, 38 % of the calcium, 32.8 g of gypsum in a kg of water
    assert found.sulfate_lost.m_as("percent") == pytest.approx(95, abs=1)
    assert found.calcium_lost.m_as("percent") == pytest.approx(38, abs=1)
    assert found.gypsum.m_as("g/L") == pytest.approx(32.8, rel=0.05)
    assert "two bottles" in str(found)


def test_where_clouding_begins():
    found = single_concentrate(HOAGLAND, 100)
    # PHREEQC 3.8.6: saturation at 8.03 times; 0.1 in the index, the error of the model, are 1.6 times
    assert found.highest == pytest.approx(8.03, abs=1.6)
    assert not single_concentrate(HOAGLAND, 0.98 * found.highest).gypsum.magnitude
    assert single_concentrate(HOAGLAND, 1.02 * found.highest).gypsum.magnitude > 0
    assert gypsum_by_strength(recipe_solution("Hoagland 1"), 100).from_times == pytest.approx(
        found.highest, rel=1e-9
    )
    strongest = recipe_solution("Hoagland 1").plus({"Ca+2": Q(60, "mmol/L"), "SO4-2": Q(60, "mmol/L")})
    assert gypsum_by_strength(strongest, 2).from_times == 1.0  # cloudy before it is a concentrate
    assert gypsum_by_strength(recipe_solution("Hoagland 1"), 100, bottles=2).from_times is None


def test_a_recipe_without_sulfate_keeps_in_one_bottle():
    nitrates = weigh_out({"Ca": Q(100, "mg/L"), "K": Q(100, "mg/L")}, ["Ca(NO3)2.4H2O", "KNO3"], Q(10, "L"))
    found = single_concentrate(nitrates, 100)
    assert found.highest == np.inf
    assert "stay dissolved" in str(found)


def test_two_bottles_of_the_usual_recipes_hold_no_gypsum():
    for name in ("leafy", "flowering"):
        both = stocks(weigh_out(name, usual_salts(), Q(45, "L")), 100, Q(1, "L"))
        assert all(chemistry.gypsum_precipitated(each.solution.ions, ROOM).magnitude == 0 for each in both)


def test_advice_says_who_says_so():
    steps = mixing_advice("order of mixing")
    assert len(steps) == 5
    words = [each.text for each in steps]
    assert "acid into water" in " ".join(words)
    assert next(i for i, w in enumerate(words) if "sulfate and phosphate stock" in w) < next(
        i for i, w in enumerate(words) if "calcium stock" in w
    )
    for each in (*steps, *mixing_advice("shelf")):
        assert each.kind in KINDS
        assert f"({each.kind})" in str(each)
