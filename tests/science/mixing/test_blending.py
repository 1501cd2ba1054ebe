"""Blends, dilution and partial replacement: what is kept, and what the meter shows."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry import ions, water_in_a_litre
from stilltank.science.chemistry.equilibrium import titration_alkalinity
from stilltank.science.mixing import Water, blend, demo_water, diluted, mix, recipe_solution, replace_part
from stilltank.science.ph import ph_of
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

HOAGLAND = recipe_solution("Hoagland 1", Q(10, "L"))
SALTS = ("KNO3", "Ca(NO3)2.4H2O", "MgSO4.7H2O", "KH2PO4", "NH4NO3", "KHCO3")


def waters(draw):
    return Water(
        {"Ca": Q(draw(st.floats(0, 150)), "mg/L"), "Cl": Q(draw(st.floats(0, 100)), "mg/L")},
        alkalinity=Q(draw(st.floats(20, 300)), "mg/L"),
        ph=draw(st.floats(6.5, 8.3)),
        temperature=Q(draw(st.floats(5, 30)), "degC"),
    )


@st.composite
def solutions(draw):
    grams = draw(st.lists(st.floats(0, 1), min_size=len(SALTS), max_size=len(SALTS)))
    return mix(
        {s: Q(g, "g") for s, g in zip(SALTS, grams, strict=True)},
        Q(draw(st.floats(1, 50)), "L"),
        waters(draw),
    )


def carried(solution, litres):
    """mol of each total, of strong charge, carbon and alkalinity in so many litres of it."""
    state = solution.state()
    kilograms = litres * water_in_a_litre(state["temperature"])
    moles = {key: value * kilograms for key, value in state.items() if key != "temperature"}
    return moles | {"alkalinity": titration_alkalinity(state) * kilograms}


@settings(max_examples=40, deadline=None)
@given(solutions(), solutions(), st.floats(0.1, 100), st.floats(0.1, 100))
def test_a_blend_keeps_mass_charge_alkalinity_and_carbon(a, b, one, other):
    both = blend(a, Q(one, "L"), b, Q(other, "L"))
    assert both.volume.m_as("L") == pytest.approx(one + other)
    for key in {*a.amounts, *b.amounts} & set(ions()):
        kept = one * a.amounts.get(key, 0.0) + other * b.amounts.get(key, 0.0)
        assert both.amounts.get(key, 0.0) * (one + other) == pytest.approx(kept, rel=1e-9, abs=1e-12)
    gap = one * a.charge_balance.difference + other * b.charge_balance.difference
    assert both.charge_balance.difference.m_as("mmol/L") * (one + other) == pytest.approx(
        gap.m_as("mmol/L"), abs=1e-9 * (one + other) + 1e-9
    )
    first, second, after = carried(a, one), carried(b, other), carried(both, one + other)
    for key in after:
        assert after[key] == pytest.approx(first[key] + second[key], rel=1e-6, abs=1e-9 * (one + other))


@settings(max_examples=15, deadline=None)
@given(solutions(), st.floats(0.1, 100), st.floats(0.1, 100))
def test_a_solution_blended_with_itself_stays_as_it_is(a, one, other):
    both = blend(a, Q(one, "L"), a, Q(other, "L"))
    assert ph_of(both) == pytest.approx(ph_of(a), abs=1e-6)
    for element, value in a.elements.items():
        assert both.elements[element].m_as("mg/L") == pytest.approx(value.m_as("mg/L"), rel=1e-9)


def test_the_ph_of_a_blend_is_no_average():
    hard = Water({"Ca": Q(100, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.2, temperature=Q(25, "degC"))
    soft = Water({"Na": Q(5, "mg/L")}, alkalinity=Q(10, "mg/L"), ph=6.0, temperature=Q(25, "degC"))
    both = blend(hard, Q(1, "L"), soft, Q(1, "L"))
    assert both.water.alkalinity.m_as("mg/L") == pytest.approx(130, rel=1e-6)
    assert both.water.ph > 6.9  # 6.6 would be the average
    assert blend(hard, Q(1, "L"), Water.pure(), Q(1, "L")).water.alkalinity.m_as("mg/L") == pytest.approx(125)


def test_tap_water_is_not_pure_water():
    # 10 L at 2.0 mS/cm and 5 L of tap water at 0.4: 1.47, not 1.33, if readings were in proportion; a little above
    strong = diluted(HOAGLAND, 1.1)
    tap = Water(
        {"Ca": Q(45, "mg/L"), "Na": Q(20, "mg/L"), "Cl": Q(35, "mg/L")}, alkalinity=Q(110, "mg/L"), ph=7.5
    )
    readings = [each.conductivity().m_as("mS/cm") for each in (strong, tap)]
    both = blend(strong, Q(10, "L"), tap, Q(5, "L")).conductivity().m_as("mS/cm")
    straight = (10 * readings[0] + 5 * readings[1]) / 15
    assert straight < both < 1.05 * straight


def test_half_and_quarter_strength_against_phreeqc():
    # PHREEQC 3.8.6: 2163, 1138 and 593 uS/cm for the whole, a half and a quarter: 0.526 and 0.274 of the whole
    whole, half, quarter = diluted(HOAGLAND, np.array([1.0, 2.0, 4.0])).conductivity().m_as("uS/cm")
    assert half / whole == pytest.approx(1138.2 / 2163.2, abs=0.005)
    assert quarter / whole == pytest.approx(593.3 / 2163.2, abs=0.005)


def test_replacing_a_share_or_a_volume_is_the_same():
    by_share = replace_part(HOAGLAND, Q(25, "percent"), Water.pure())
    by_volume = replace_part(HOAGLAND, Q(2.5, "L"), Water.pure())
    for each in (by_share, by_volume):
        assert each.volume.m_as("L") == pytest.approx(10)
        assert each.elements["K"].m_as("mg/L") == pytest.approx(0.75 * 234.59, rel=1e-3)
        assert each.masses["potassium nitrate"].m_as("g") == pytest.approx(
            0.75 * HOAGLAND.masses["potassium nitrate"].m_as("g")
        )
    assert replace_part(HOAGLAND, Q(0, "L"), Water.pure()).elements["K"].m_as("mg/L") == pytest.approx(
        234.59, rel=1e-3
    )


def test_replacing_again_and_again_fades_by_powers():
    tank = HOAGLAND
    for _ in range(3):
        tank = replace_part(tank, Q(50, "percent"), Water.pure())
    assert tank.elements["Ca"].m_as("mg/L") == pytest.approx(200.39 / 8, rel=1e-3)


def test_unknown_alkalinity_stays_unknown():
    unknown = Water({"Ca": Q(48, "mg/L")}, name="somebody's well")
    both = blend(unknown, Q(1, "L"), demo_water("quillgate-tap"), Q(1, "L"))
    assert both.water.alkalinity is None
    assert "somebody's well" in both.water.name


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: blend("tap", Q(1, "L"), HOAGLAND, Q(1, "L")), UnitNeeded, "Solution or a Water"),
        (lambda: blend(HOAGLAND, 1, HOAGLAND, Q(1, "L")), UnitNeeded, "volume_a"),
        (lambda: blend(HOAGLAND, Q(-1, "L"), HOAGLAND, Q(2, "L")), OutOfRange, "−1 L"),
        (lambda: blend(HOAGLAND, Q(0, "L"), HOAGLAND, Q(0, "L")), OutOfRange, "more than zero"),
        (lambda: diluted(HOAGLAND, 0.5), OutOfRange, "no dilution"),
        (lambda: diluted(Water.pure(), 2), Unreadable, "Solution"),
        (lambda: replace_part(HOAGLAND, Q(11, "L"), Water.pure()), OutOfRange, "cannot be taken out"),
        (lambda: replace_part(HOAGLAND, Q(120, "percent"), Water.pure()), OutOfRange, "cannot be taken out"),
        (lambda: replace_part(HOAGLAND, 2, Water.pure()), UnitNeeded, "taken_out"),
    ],
)
def test_what_cannot_be_poured_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


def test_masses_of_a_blend_of_unequal_volumes_by_hand():
    # 2 of 10 L that hold 10 g bring 2 g, 6 of 5 L that hold 30 g would be 36 g: 38 g in 8 L, whichever comes first
    thin = mix({"KNO3": Q(10, "g")}, Q(10, "L"))
    strong = mix({"KNO3": Q(30, "g"), "KH2PO4": Q(5, "g")}, Q(5, "L"))
    for parts in ((thin, Q(2, "L"), strong, Q(6, "L")), (strong, Q(6, "L"), thin, Q(2, "L"))):
        both = blend(*parts)
        assert both.volume.m_as("L") == pytest.approx(8)
        assert both.masses["potassium nitrate"].m_as("g") == pytest.approx(38)
        assert both.masses["monopotassium phosphate"].m_as("g") == pytest.approx(6)
        # and the solution holds what was weighed: 38 g x 0.3867 = 14.69 g K of the nitrate, 6 g x 0.2873 = 1.724 g
        assert mg_in(both, "K") == pytest.approx((14.69 + 1.724) / 8 * 1000, rel=1e-3)


def test_conductivity_after_blending_is_that_of_what_is_in_it():
    # 3 L of 4 mmol/L KNO3 and 1 L of 12 make 4 L of (12 + 12)/4 = 6 mmol/L, 6 x 101.10 mg of it in a litre
    def of(millimoles):
        return mix({"KNO3": Q(101.103 * millimoles, "mg")}, Q(1, "L"))

    both = blend(of(4), Q(3, "L"), of(12), Q(1, "L"))
    assert both.ions["K+"].m_as("mmol/L") == pytest.approx(6, rel=1e-4)
    assert both.conductivity().m_as("mS/cm") == pytest.approx(of(6).conductivity().m_as("mS/cm"), rel=1e-6)
    # limiting conductivities 73.5 + 71.4 S cm2/mol (CRC): 0.87 mS/cm, a few percent less among ions
    assert 0.80 < both.conductivity().m_as("mS/cm") < 0.87


def mg_in(solution, element):
    return solution.elements[element].m_as("mg/L")
