"""What chemistry takes: concentrations, a Water or a Solution; temperatures with their unit; and what it says."""

import numpy as np
import pytest
from stilltank.science.chemistry import (
    Solution,
    Water,
    conductivity,
    conductivity_from_cations,
    free_ions,
    gypsum_precipitated,
    gypsum_saturation_index,
    litres,
    log_henry_constant,
    log_k,
    osmotic_pressure,
    reagent_to_ph,
    saturation_index,
    solve,
    strength_at_gypsum,
)
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

ROOM = Q(20, "degC")
WATER = Water({"Ca": Q(48, "mg/L"), "SO4": Q(30, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
SOLUTION = Solution(Q(1, "gallon"), {"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, water=WATER)


@pytest.mark.parametrize("given", [WATER, SOLUTION])
@pytest.mark.parametrize(
    "function",
    [conductivity, gypsum_saturation_index, strength_at_gypsum, gypsum_precipitated, osmotic_pressure],
)
def test_a_water_or_a_solution_stands_for_its_ions(function, given):
    assert function(given, ROOM) == function(given.ions, ROOM)


def test_the_hand_rule_takes_a_solution_too():
    assert conductivity_from_cations(SOLUTION) == conductivity_from_cations(SOLUTION.ions)


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: log_k("HCO3-", 25), UnitNeeded, r"a temperature .* Q\(20, \"degC\"\)"),
        (lambda: log_k("HCO3-", Q(-300, "degC")), OutOfRange, "absolute zero"),
        (lambda: log_k("HCO4-", ROOM), Unreadable, "takes for `species`"),
        (lambda: log_henry_constant(298.15), UnitNeeded, "a temperature"),
        (lambda: conductivity(None, ROOM), UnitNeeded, "conductivity needs its ions as .* You gave None"),
        (lambda: conductivity(["Ca"], ROOM), UnitNeeded, "needs its ions as"),
        (lambda: conductivity({"Ca": 5}, ROOM), UnitNeeded, "for `Ca`"),
        (
            lambda: strength_at_gypsum(SOLUTION, Q([10, 20], "degC")),
            Problem,
            "one solution at one temperature",
        ),
        (lambda: gypsum_precipitated({"Ca": Q([1, 2], "mmol/L")}, ROOM), Problem, "one solution"),
        (lambda: free_ions({"Xx": 1}, 20), Unreadable, "knows no ion 'Xx'"),
        (lambda: solve({"Ca": Q(1, "mmol/L")}), OutOfRange, "plain numbers; Ca"),
        (lambda: solve({"Ca": "much"}), OutOfRange, "plain numbers; Ca"),
        (lambda: solve({"Ca": np.zeros(2), "K": np.zeros(3)}), Problem, "do not fit"),
        (lambda: reagent_to_ph({}, 5.8, {"P": [1, 2]}), Unreadable, "one number of P"),
        (lambda: saturation_index(solve({}), "gypsum", 25), Unreadable, '"calcite" or "brushite"'),
        (lambda: Solution(Q(1, "L"), {}, masses=5), Unreadable, "`masses`"),
        (lambda: Solution(Q(1, "L"), None), UnitNeeded, "Solution needs its ions as"),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: Water(temperature=Q(150, "degF")), "150 °F is outside 32 °F to 104 °F"),
        (lambda: Water(temperature=Q(65, "degC")), "65 °C is outside 0 °C to 40 °C"),
        (lambda: litres(Q(-3, "gallon"), "mix"), "−3 US gal cannot be"),
        (lambda: litres(Q(-3, "L"), "mix"), "−3 L cannot be"),
    ],
)
def test_a_refusal_speaks_in_the_units_that_were_given(call, says):
    with pytest.raises(OutOfRange, match=says):
        call()
