"""Bases by the bottle, and the doses that raise a pH."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry import Solution, Water
from stilltank.science.mixing import recipe_solution
from stilltank.science.ph import acid_dose, base_dose, ph_after, ph_of, titrate
from stilltank.science.products import Base, Reagent, acid, acid_names, base, base_names
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

RAIN = Water.pure(Q(25, "degC"))
TAP = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)


def test_hydroxide_for_a_finished_solution():
    # Reference case P-G13 (PHREEQC 3.8.6): Hoagland 1 without carbonate, 25 degC, KOH to pH 5.8: 0.1063 mmol/kg.
    solution = recipe_solution("Hoagland 1", Q(40, "L"), RAIN)
    dose = base_dose(solution, 5.8, "potassium hydroxide 0.1 mol/L")
    assert dose.amount.m_as("mmol/L") == pytest.approx(0.1063 * 0.997047, rel=0.02)
    # by hand: 40 L of it in 0.1 mol/L, and 39.098 mg of K for each mmol
    assert dose.volume.m_as("mL") == pytest.approx(dose.amount.m_as("mmol/L") * 40 / 0.1)
    assert dose.adds["K"].m_as("mg/L") == pytest.approx(dose.amount.m_as("mmol/L") * 39.098, rel=1e-4)
    assert dose.protons == pytest.approx(1)


def test_phosphate_is_the_buffer_of_a_nutrient_solution():
    # Notes (computed): half-strength Hoagland 1 at pH 5.8 takes 0.20 mmol/L base to 6.8; 0.1 mmol/L lifts it to 6.4.
    # Tolerance: their rounding.
    half = recipe_solution("Hoagland 1", Q(1, "L"), RAIN)
    half = Solution(half.volume, {key: value / 2 for key, value in half.added.items()}, water=RAIN)
    name = "potassium hydroxide 1 mol/L"
    first, second = (base_dose(half, target, name).amount for target in (5.8, 6.8))
    assert (second - first).m_as("mmol/L") == pytest.approx(0.20, abs=0.005)
    assert ph_after(half, name, first + Q(0.1, "mmol/L")) == pytest.approx(6.4, abs=0.05)
    # without phosphate the same base runs away
    ions = {key: value for key, value in half.added.items() if key != "H2PO4-"}
    ions["NO3-"] = ions["NO3-"] + half.added["H2PO4-"]
    assert ph_after(Solution(half.volume, ions, water=RAIN), name, Q(0.1, "mmol/L")) > 9.5


def test_masses_and_potassium_by_hand():
    # molar masses from atomic weights (CIAAW, abridged): KOH 56.105, K2CO3 138.204, KHCO3 100.114
    pellets = base("potassium hydroxide pellets 85 %")
    assert pellets.mass(Q(1000, "mmol")).m_as("g") == pytest.approx(56.105 / 0.85, rel=1e-4)
    assert base("potassium carbonate").mass(Q(1000, "mmol")).m_as("g") == pytest.approx(138.204, rel=1e-4)
    assert base("potassium hydrogen carbonate").mass(Q(10, "mmol")).m_as("g") == pytest.approx(
        1.00114, rel=1e-4
    )
    assert base("potassium carbonate").adds(Q(1, "mmol/L"))["K"].m_as("mg/L") == pytest.approx(
        78.196, rel=1e-4
    )
    better = base("potassium hydroxide pellets 85 %", strength=Q(90, "percent"))
    assert better.mass(Q(1000, "mmol")).m_as("g") == pytest.approx(56.105 / 0.9, rel=1e-4)
    assert better.name == "potassium hydroxide pellets, 90 %"


@given(
    st.floats(0, 1.5),
    st.floats(5, 100),
    st.floats(1, 39),
    st.floats(0.1, 1.0),
    st.sampled_from(base_names()),
    st.sampled_from(["closed", "open"]),
)
@settings(max_examples=40, deadline=None)
def test_dosing_reaches_the_target(strength, alkalinity, celsius, part, name, air):
    water = Water({}, alkalinity=Q(alkalinity, "mg/L"), ph=7.2, temperature=Q(celsius, "degC"))
    ions = {"K+": 6, "Ca+2": 5, "Mg+2": 2, "NO3-": 15, "H2PO4-": 1, "SO4-2": 2}
    acidified = {"NO3-": Q(0.9 * alkalinity / 50.04, "mmol/L")}
    solution = Solution(Q(10, "L"), {k: Q(strength * v, "mmol/L") for k, v in ions.items()}, water=water)
    solution = solution.plus(acidified)
    now = ph_of(solution, air)
    target = now + part * (7.5 - now)
    if target <= now:
        return
    dose = base_dose(solution, target, name, air)
    assert dose.amount.m_as("mmol/L") > 0
    assert 0 < dose.protons <= base(name).protons + 1e-9
    assert ph_after(solution, name, dose.amount, air) == pytest.approx(target, abs=1e-6)


def test_a_carbonate_goes_on_raising_as_carbon_dioxide_leaves():
    solution = recipe_solution("Hoagland 1", Q(40, "L"), RAIN)
    for name, climbs in (("potassium hydroxide 1 mol/L", 0.1), ("potassium hydrogen carbonate", 0.5)):
        dose = base_dose(solution, 6.5, name)
        later = ph_after(solution, name, dose.amount, "open")
        assert (later - 6.5 > climbs) == ("carbonate" in name)


def test_base_then_acid_comes_back():
    dosed = titrate(TAP, "potassium hydroxide 1 mol/L", Q([0, 0.5, 1.0], "mmol/L"))
    assert np.all(np.diff(dosed) > 0)
    # a strong base and as much strong acid leave their salt: only the activities differ, by under 0.02 pH
    raised = TAP.state()
    raised["K"] = raised["K"] + 0.0005
    raised["strong_charge"] = raised["strong_charge"] + 0.0005

    class Raised:
        volume = None

        @staticmethod
        def state():
            return raised

    assert ph_after(Raised(), "nitric acid 1 mol/L", Q(0.5, "mmol/L")) == pytest.approx(7.6, abs=0.02)


def test_each_base_says_its_danger_to_the_eyes_and_defers_to_the_data_sheet():
    for name in base_names():
        words = base(name).caution
        assert "Caution" in words
        assert "eyes" in words or "blinds" in words
        assert "goggles" in words
        assert "safety data sheet and local rules come first" in words
        assert "acid into water" not in words
    assert base("potassium hydroxide 1 mol/L").adult_only
    assert base("potassium hydroxide pellets 85 %").adult_only
    assert not base("potassium hydrogen carbonate").adult_only
    dose = base_dose(recipe_solution("Steiner", Q(40, "L"), RAIN), 6, "potassium hydroxide 1 mol/L")
    assert "mL of potassium hydroxide 1 mol/L in 40 L for pH 6" in str(dose)
    assert str(dose).endswith(base("potassium hydroxide 1 mol/L").caution)
    assert acid("nitric acid 61.4 %").adult_only
    assert not acid("nitric acid 0.1 mol/L").adult_only
    assert all(isinstance(acid(name), Reagent) for name in acid_names())


def test_mistakes_are_named():
    steiner = recipe_solution("Steiner", Q(40, "L"), RAIN)
    with pytest.raises(OutOfRange, match=r"at pH 7.60 already; it needs no base.*use an acid"):
        base_dose(TAP, 6, "potassium hydrogen carbonate")
    with pytest.raises(
        OutOfRange, match=r"Potassium hydrogen carbonate cannot raise this solution to pH 9.5"
    ):
        base_dose(RAIN, 9.5, "potassium hydrogen carbonate")
    with pytest.raises(OutOfRange, match="Choose a nearer pH"):
        base_dose(steiner, 11, "potassium hydrogen carbonate", "open")
    with pytest.raises(Unreadable, match="base_dose needs a base, and nitric acid 1 mol/L is an acid"):
        base_dose(steiner, 6, "nitric acid 1 mol/L")
    with pytest.raises(Unreadable, match="acid_dose needs an acid, and potassium carbonate is a base"):
        acid_dose(TAP, 6, base("potassium carbonate"))
    with pytest.raises(Unreadable, match=r"does not say how strong.*pellets"):
        base("KOH")
    with pytest.raises(Unreadable, match=r"does not say how strong.*pellets"):
        ph_after(steiner, "potassium hydroxide", Q(1, "mmol/L"))
    with pytest.raises(Unreadable, match="No base is called 'soda'"):
        base("soda")
    with pytest.raises(Unreadable, match="A base has a name"):
        base(None)
    with pytest.raises(Unreadable, match=r"base_dose needs for `target` a plain number"):
        base_dose(steiner, "6", "potassium carbonate")
    with pytest.raises(OutOfRange, match="no density"):
        base("potassium carbonate", density=Q(1.1, "g/mL"))
    with pytest.raises(OutOfRange, match="strength of a base"):
        base("potassium carbonate", strength=Q(120, "percent"))
    with pytest.raises(UnitNeeded):
        base("potassium carbonate", strength=99)
    assert isinstance(base(" Potassium  Carbonate"), Base)
