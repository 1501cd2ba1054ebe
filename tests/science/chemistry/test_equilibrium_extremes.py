"""The equilibrium far from any tank: it must solve, or say in a sentence what it refuses."""

import re
import warnings

import numpy as np
import pytest
from stilltank.science.chemistry.equilibrium import reagent_to_ph, solve
from stilltank.units import OutOfRange

STRONG = {"K": 1, "Na": 1, "Ca": 2, "Mg": 2, "NO3": -1, "Cl": -1, "SO4": -2}
TOTALS = (*STRONG, "NH4", "P", "B", "DIC", "citrate")
REAGENTS = (
    {"NO3": 1, "strong_charge": -1},
    {"K": 1, "strong_charge": 1},
    {"P": 1},
    {"citrate": 1},
    {"SO4": 1, "strong_charge": -2},
    {"K": 2, "DIC": 1, "strong_charge": 2},
)
REFUSALS = (
    "from pH 1 to 13; this solution is near pH",
    "too strong for this method: its ionic strength is",
    "No amount of this reagent brings",
    "mol of reagent in a kg of water, more than",
    "No equilibrium was found",
)


def states(count, seed):
    """Amounts from none to a quarter mol, over up to 120 powers of ten, charges from those of lye to those of acid."""
    random = np.random.default_rng(seed)
    for number in range(count):
        state = {}
        for key in TOTALS:
            scales = 10 ** random.uniform(-9, -0.6), 10 ** random.uniform(-5, -2)
            scales += random.choice([1e-120, 1e-30, 1e-12, 1e-3, 0.05, 0.2]), random.uniform(0, 0.1)
            state[key] = 0.0 if random.random() < 0.35 else float(scales[number % 4])
        charges = sum(z * state[key] for key, z in STRONG.items()), random.uniform(-0.1, 0.3)
        charges += state["P"] * random.uniform(0, 3), state["DIC"] * random.uniform(0, 2), 0.0
        state["strong_charge"] = float(random.choice(charges))
        state["temperature"] = float(random.choice([0.0, 40.0, random.uniform(0, 40)]))
        yield state, random.choice([None, None, -3.4, 0.0, -8.0])


def attempt(action, *asked):
    """The answer, or None for a refusal that says why."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")  # an overflow on the way is a fault too
        try:
            return action(*asked)
        except OutOfRange as refusal:
            if any(words in str(refusal) for words in REFUSALS):
                return None
            raise


def charge_left(found):
    """Sum of all charges over the sum of their sizes: how well an answer solves its own equations."""
    total = size = 0.0
    for name, amount in found.species.items():
        assert np.isfinite(amount), name
        assert amount >= 0, name
        sign, number = re.search(r"([+-]?)(\d*)$", name).groups()
        charge = int(f"{sign}{number or 1}") if sign else 0
        total, size = total + charge * amount, size + abs(charge) * amount
    return abs(total) / size


def test_any_state_is_solved_or_refused():
    solved = []
    for state, pressure in states(600, seed=1):
        found = attempt(solve, state, pressure)
        if found is None:
            continue
        solved.append((state, pressure, found.ph))
        assert 1 <= found.ph <= 13
        if state["strong_charge"] == sum(z * state[key] for key, z in STRONG.items()):
            assert charge_left(found) < 1e-8, state
    assert len(solved) > 540  # the rest is too strong, or beyond pH 1 to 13
    closed = [(state, ph) for state, pressure, ph in solved if pressure is None]
    together = {key: np.array([state[key] for state, _ in closed]) for key in closed[0][0]}
    assert solve(together).ph == pytest.approx([ph for _, ph in closed], abs=1e-6)


def test_any_dose_is_found_or_refused():
    random = np.random.default_rng(2)
    found_doses = unsolved = 0
    for number, (state, pressure) in enumerate(states(600, seed=3)):
        ph, reagent = random.uniform(1, 13), REAGENTS[number % len(REAGENTS)]
        found = attempt(reagent_to_ph, state, ph, reagent, pressure)
        if found is None or found.dose < 0:
            continue
        after = dict(state)
        for key, share in reagent.items():
            after[key] = after[key] + share * found.dose
        back = attempt(solve, after, pressure)
        if back is None:  # a total above half a mol is refused where a dose is not
            unsolved += 1
            continue
        found_doses += 1
        assert back.ph == pytest.approx(ph, abs=1e-5), (state, reagent)
    assert found_doses > 150
    assert unsolved < 30


@pytest.mark.parametrize("celsius", [0, 20, 40])
def test_the_whole_range_of_ph_and_ionic_strength(celsius):
    """Acid and lye from pH 1 to 13 in salt up to an ionic strength of 0.5 mol/kg: no gap, and always rising."""
    ph = np.linspace(1, 12.5 if celsius == 40 else 13, 97)  # lye of pH 13 at 40 °C holds a third of a mol
    for salt in (0.0, 0.01, 0.1, 0.3):
        state = {"Na": salt, "Cl": salt, "P": 0.005, "DIC": 0.005, "NH4": 0.002, "Ca": 0.002, "Mg": 0.001}
        state |= {"strong_charge": 0.006, "temperature": float(celsius)}
        doses = reagent_to_ph(state, ph, {"Na": 1, "strong_charge": 1}).dose
        assert np.all(np.diff(doses) > 0)
        back = {**state, "strong_charge": 0.006 + doses, "Na": np.maximum(salt + doses, 0.0)}
        inside = doses >= 0
        back = {key: np.broadcast_to(value, ph.shape)[inside] for key, value in back.items()}
        assert solve(back).ph == pytest.approx(ph[inside], abs=1e-6)
