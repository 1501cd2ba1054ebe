"""The equilibrium and the doses against PHREEQC 3.7.3 with phreeqc.dat, live in phreeqpython 1.6.2.

Only initial-solution calculations, so that no redox sets in (a reaction step would turn ammonium and nitrate
into N2). This database differs from the one the stated checks use in CaHCO3+ (log K 1.106 against 0.58), a pair
the workbook leaves out: hence tolerances of 1 percent in carbonate water and 2 percent with nutrients.
"""

import itertools

import numpy as np
import pytest
from scipy.optimize import brentq
from stilltank.science.density import water_density
from stilltank.science.equilibrium import log_pco2_of_air, solve
from stilltank.science.ph import acid_dose, ph_after, ph_of, titrate
from stilltank.science.solution import Solution, Water
from stilltank.units import Q

phreeqpython = pytest.importorskip("phreeqpython")

ACIDS = {"nitric acid 61.4 %": "N(5)", "sulfuric acid 93 %": "S(6)", "phosphoric acid 85 %": "P"}
IONS = {
    "K+": "K", "Ca+2": "Ca", "Mg+2": "Mg", "NO3-": "N(5)", "H2PO4-": "P", "SO4-2": "S(6)", "Na+": "Na", "Cl-": "Cl",
}  # fmt: skip
HOAGLAND_1 = {"K+": 6, "Ca+2": 5, "Mg+2": 2, "NO3-": 15, "H2PO4-": 1, "SO4-2": 2}
STEINER = {"K+": 7, "Ca+2": 4.5, "Mg+2": 2, "NO3-": 12, "H2PO4-": 1, "SO4-2": 3.5}
OUTPUT = """SELECTED_OUTPUT 1
 -reset false
USER_PUNCH 1
 -headings pH DIC
 10 PUNCH -LA("H+"), TOT("C(4)")*1e3
END
"""


@pytest.fixture(scope="module")
def engine():
    return phreeqpython.PhreeqPython(database="phreeqc.dat").ip


def run(engine, totals, celsius, ph="7 charge", carbon=None):
    """pH and DIC (mmol/kg) of one solution of totals in mmol/kg."""
    lines = [f" {name} {amount:.10f}" for name, amount in totals.items() if amount > 0]
    lines += [f" C(4) {carbon}"] if carbon else []
    engine.run_string(
        f"{OUTPUT}SOLUTION 1\n temp {celsius}\n units mmol/kgw\n pH {ph}\n" + "\n".join(lines) + "\nEND"
    )
    return engine.get_selected_output_array()[-1]


def carbon_line(air, dic):
    if air == "open":
        return f"1 CO2(g) {log_pco2_of_air()}"
    return f"{dic:.10f}" if dic > 0 else None


def both(base, caco3, ph, celsius, recipe=None):
    """A water or solution here, and its totals and DIC for the reference, in mmol in a kg of water."""
    litre = water_density(Q(celsius, "degC")).m_as("kg/L")
    charge = caco3 / 50.04345
    totals = {base: charge / {"Na": 1, "Ca": 2}[base]}
    water = Water(
        {base: Q(totals[base] * litre, "mmol/L")},
        alkalinity=Q(charge * litre, "mmol/L"),
        ph=ph,
        temperature=Q(celsius, "degC"),
    )
    if not recipe:
        return water, totals
    for ion, amount in recipe.items():
        totals[IONS[ion]] = totals.get(IONS[ion], 0) + amount
    return (
        Solution(
            Q(1, "L"), {ion: Q(amount * litre, "mmol/L") for ion, amount in recipe.items()}, water=water
        ),
        totals,
    )


WATERS = [
    ("Na", 50, 7.4, 10),
    ("Na", 100, 8.0, 25),
    ("Ca", 100, 7.6, 15),
    ("Ca", 200, 7.5, 20),
    ("Ca", 300, 7.8, 35),
]


@pytest.mark.parametrize("water", WATERS, ids=str)
@pytest.mark.parametrize("name", ACIDS)
@pytest.mark.parametrize("air", ["closed", "open"])
def test_doses_for_carbonate_water(engine, water, name, air):
    _, caco3, ph, celsius = water
    ours, totals = both(*water)
    _, dic = run(engine, totals, celsius, ph, carbon="1.0 charge")

    def miss(dose):
        dosed = totals | {ACIDS[name]: dose}
        return run(engine, dosed, celsius, carbon=carbon_line(air, dic))[0] - 5.8

    theirs = brentq(miss, 0.01, 3 * caco3 / 50, xtol=1e-7)
    litre = water_density(Q(celsius, "degC")).m_as("kg/L")
    assert acid_dose(ours, 5.8, name, air).amount.m_as("mmol/L") / litre == pytest.approx(theirs, rel=0.01)


@pytest.mark.parametrize("recipe", [HOAGLAND_1, STEINER], ids=["Hoagland 1", "Steiner"])
@pytest.mark.parametrize("water", [("Na", 100, 8.0, 25), ("Ca", 250, 7.6, 18)], ids=str)
@pytest.mark.parametrize("name", ACIDS)
@pytest.mark.parametrize("air", ["closed", "open"])
def test_doses_for_nutrient_solutions(engine, recipe, water, name, air):
    _, caco3, ph, celsius = water
    ours, totals = both(*water, recipe)
    plain = both(*water)[1]
    _, dic = run(engine, plain, celsius, ph, carbon="1.0 charge")

    def miss(dose):
        dosed = totals | {ACIDS[name]: totals.get(ACIDS[name], 0) + dose}
        return run(engine, dosed, celsius, carbon=carbon_line(air, dic))[0] - 5.8

    theirs = brentq(miss, 0.01, 3 * caco3 / 50, xtol=1e-7)
    litre = water_density(Q(celsius, "degC")).m_as("kg/L")
    assert acid_dose(ours, 5.8, name, air).amount.m_as("mmol/L") / litre == pytest.approx(theirs, rel=0.02)


def test_degassed_ph_after_a_closed_dose(engine):
    # Tolerance 0.06, the notes' own for degassed pH; the pH there hangs on pairs of carbonate left out here.
    for water, recipe in itertools.product(WATERS, (None, HOAGLAND_1)):
        _, caco3, _, celsius = water
        ours, totals = both(*water, recipe)
        litre = water_density(Q(celsius, "degC")).m_as("kg/L")
        dose = 0.75 * caco3 / 50
        dosed = totals | {"N(5)": totals.get("N(5)", 0) + dose}
        theirs, _ = run(engine, dosed, celsius, carbon=carbon_line("open", 0))
        after = ph_after(ours, "nitric acid 61.4 %", Q(dose * litre, "mmol/L"), "open")
        assert after == pytest.approx(theirs, abs=0.06), (water, recipe)


def test_titration_of_sodium_bicarbonate_water(engine):
    ours, totals = both("Na", 100, 8.0, 25)
    _, dic = run(engine, totals, 25, 8.0, carbon="1.0 charge")
    acid = np.linspace(0, 2.2, 23)
    theirs = [run(engine, totals | {"N(5)": a}, 25, carbon=carbon_line("closed", dic))[0] for a in acid]
    litre = water_density(Q(25, "degC")).m_as("kg/L")
    assert titrate(ours, "nitric acid 1 mol/L", Q(acid * litre, "mmol/L")) == pytest.approx(theirs, abs=0.01)


def test_random_solutions_without_carbonate(engine):
    # Tolerance 0.04 (the notes' for simple solutions) from pH 3.5 to 8.5, where hydroxide and Na and K pairs are
    # small.
    random = np.random.default_rng(11)
    compared = 0
    for _ in range(60):
        totals = {name: random.uniform(0, 8) for name in ("K", "Ca", "Mg")}
        totals |= {"S(6)": random.uniform(0, 4), "P": random.uniform(0.3, 3)}
        charge = totals["K"] + 2 * totals["Ca"] + 2 * totals["Mg"] - 2 * totals["S(6)"]
        totals["N(5)"] = charge - totals["P"] * random.uniform(0.95, 1.9)
        celsius = random.uniform(5, 35)
        if totals["N(5)"] < 0:
            continue
        theirs, _ = run(engine, totals, celsius)
        if not 3.5 < theirs < 8.5:
            continue
        keys = {"N(5)": "NO3", "S(6)": "SO4"}
        state = {keys.get(name, name): amount / 1000 for name, amount in totals.items()}
        state["strong_charge"] = (charge - totals["N(5)"]) / 1000
        assert solve(state | {"temperature": celsius}).ph == pytest.approx(theirs, abs=0.04), totals
        compared += 1
    assert compared > 30


def test_ph_of_finished_solutions(engine):
    for water, recipe in itertools.product(WATERS, (HOAGLAND_1, STEINER)):
        _, _, ph, celsius = water
        ours, totals = both(*water, recipe)
        _, dic = run(engine, both(*water)[1], celsius, ph, carbon="1.0 charge")
        theirs, _ = run(engine, totals, celsius, carbon=carbon_line("closed", dic))
        assert ph_of(ours) == pytest.approx(theirs, abs=0.04), (water, recipe)
