"""Carbon dioxide leaving in time: its two ends, an independent integration, and what it keeps."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from stilltank.science.chemistry import Solution, Water
from stilltank.science.chemistry.equilibrium import log_pco2_of_air, solve
from stilltank.science.mixing import recipe_solution
from stilltank.science.ph import acid_dose, degas, degassing, degassing_rate, ph_after, ph_of
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

HARD = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(200, "mg/L"), ph=7.4, temperature=Q(20, "degC"), name="hard")
SOFT = Water({"Na": Q(12, "mg/L")}, alkalinity=Q(25, "mg/L"), ph=7.0, temperature=Q(12, "degC"), name="soft")
NITRIC = "nitric acid 61.4 %"
DAYS = Q(np.array([0.0, 0.1, 0.5, 1, 2, 4, 8, 16, 40]), "day")
CASES = {
    "hard water just dosed": (HARD, NITRIC, acid_dose(HARD, 5.8, NITRIC).amount),
    "past the end of its alkalinity": (HARD, NITRIC, Q(4.2, "mmol/L")),
    "phosphoric acid": (HARD, "phosphoric acid 75 %", Q(3.5, "mmol/L")),
    "nutrients in soft water": (recipe_solution("Hoagland 1", water=SOFT), None, None),
    "takes carbon dioxide up": (recipe_solution("Hoagland 1"), None, None),
}
LYE = Solution(Q(1, "L"), {"Na+": Q(1, "mmol/L")}, water=Water.pure(Q(25, "degC")))  # charge without anion


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_it_begins_closed_ends_open_and_never_turns_back(case):
    solution, acid, amount = case
    found = degas(solution, DAYS, acid=acid, amount=amount)
    ends = [
        ph_of(solution, air) if acid is None else ph_after(solution, acid, amount, air)
        for air in ("closed", "open")
    ]
    assert [found.closed, found.open] == pytest.approx(ends, abs=1e-9)
    assert found.ph[0] == pytest.approx(found.closed, abs=1e-9)
    later = degas(solution, Q(1000, "day"), acid=acid, amount=amount)
    assert later.ph == pytest.approx(found.open, abs=1e-7)
    way = np.sign(found.open - found.closed)
    assert np.all(way * np.diff(found.ph) > 0)
    assert np.all((found.low <= found.ph) & (found.ph <= found.high))


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_against_a_general_integrator(case):
    """scipy's stiff integrator on the same rate law, one closed equilibrium for each step it takes."""
    solution, acid, amount = case
    rate = 1.35
    state = dict(solution.state())
    if acid:
        state = dict(degassing._started(state, acid, amount.m_as("mmol/L")))
    rest = solve(state, log_pco2_of_air()).species["CO2"]

    def leaving(_, carbonate):
        held = {**state, "DIC": max(carbonate[0], 0.0)}
        return [-rate * (solve(held).species.get("CO2", 0.0) - rest)]

    days = DAYS.m_as("day")
    theirs = solve_ivp(leaving, (0, days[-1]), [state["DIC"]], "LSODA", days, rtol=1e-9, atol=1e-13)
    expected = solve({**state, "DIC": theirs.y[0]}).ph
    ours = degas(solution, DAYS, rate=Q(rate, "1/day"), acid=acid, amount=amount)
    assert ours.ph == pytest.approx(expected, abs=0.001)


def test_carbon_dioxide_alone_by_hand():
    """Below pH 4 all carbonate is carbon dioxide: its surplus falls as exp(-rate x time)."""
    found = degas(HARD, Q([0, 1, 2], "day"), rate=Q(0.7, "1/day"), acid=NITRIC, amount=Q(6, "mmol/L"))
    assert found.closed < 3
    start = solve(HARD.state()).dic
    rest = 10 ** log_pco2_of_air() * 10**-1.407  # Henry's constant at 20 °C: pKH 1.407 (Weiss 1974)
    litre = 0.998207
    expected = 1000 * litre * (rest + (start - rest) * np.exp(-0.7 * np.arange(3)))
    assert found.carbonate.m_as("mmol/L") == pytest.approx(expected, rel=0.001)  # 0.03 % is bicarbonate


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_halving_the_steps_makes_no_difference(case):
    solution, acid, amount = case
    plain = None if amount is None else amount.m_as("mmol/L")
    state = degassing._flat(degassing._started(solution.state(), acid, plain), ())
    spans = np.array([[0.05, 0.2, 0.6, 1.5, 4.0, 9.0, 30.0]])
    rest = degassing._rest(solve(state, log_pco2_of_air()))
    found = [degassing._along(state, rest, spans, steps) for steps in (9, 18, degassing._STEPS, 576)]
    missed = [
        np.abs(solve({**state, "DIC": dic}).ph - solve({**state, "DIC": found[-1]}).ph) for dic in found
    ]
    coarse, half, chosen = (miss.max() for miss in missed[:3])
    assert chosen < 0.0005
    assert chosen <= half <= coarse


def test_lye_in_air_turns_into_bicarbonate():
    """The hardest path: next to no dissolved carbon dioxide until the hydroxide is used up."""
    found = degas(LYE, Q(np.array([0, 1, 10, 30, 60, 90, 400]), "day"))
    assert found.closed == pytest.approx(11, abs=0.05)
    assert np.all(np.diff(found.ph) < 0)
    assert found.ph[-1] == pytest.approx(found.open, abs=1e-6)
    # By hand, while there is no surplus in the water: rate x CO2 of air, 10^-(3.37675 + 1.468) mol/kg, x time.
    taken = found.carbonate.m_as("mmol/L")[1:3]
    assert taken == pytest.approx(1.35 * 1000 * 10**-4.84475 * 0.99705 * np.array([1, 10]), rel=0.003)


def test_the_alkalinity_stays():
    state = HARD.state()
    found = degas(HARD, DAYS)
    dic = found.carbonate.m_as("mol/L") / 0.998207
    species = solve({**state, "DIC": dic}).species
    pairs = species["CaHCO3+"] + 2 * species["CaCO3"] + species["CaOH+"]
    alkalinity = species["HCO3-"] + 2 * species["CO3-2"] + pairs + species["OH-"] - species["H+"]
    assert 1000 * 0.998207 * alkalinity == pytest.approx(200 / 50.043, rel=1e-4)
    assert dic[0] == pytest.approx(state["DIC"])
    assert np.all(np.diff(dic) < 0)


def test_many_solutions_at_once():
    amounts = Q(np.array([1.0, 2.0, 3.0]), "mmol/L")
    many = degas(HARD, DAYS, acid=NITRIC, amount=amounts)
    assert many.ph.shape == many.low.shape == (3, 9)
    for one, ph in zip(amounts, many.ph, strict=True):
        assert degas(HARD, DAYS, acid=NITRIC, amount=one).ph == pytest.approx(ph, abs=1e-9)
    assert np.ndim(degas(HARD, Q(3, "day")).ph) == 0
    assert "3 solutions at 9 times" in str(many)


def test_the_rate_is_a_film_over_a_depth():
    # By hand: 0.3 m/day x 0.9 over 0.2 m; 0.1 x 0.8 and 0.6 x 1.0 over 0.2 m.
    rates = degassing_rate(Q(20, "cm"))
    assert [r.m_as("1/day") for r in (rates.low, rates.middle, rates.high)] == pytest.approx([0.4, 1.35, 3])
    half = degassing_rate(Q(10, "cm"))
    assert half.middle.m_as("1/day") == pytest.approx(2.7)
    # twice the rate for half the time is the same, whatever the depth
    slow, fast = degas(HARD, Q(4, "day"), depth=Q(20, "cm")), degas(HARD, Q(2, "day"), depth=Q(10, "cm"))
    assert slow.ph == pytest.approx(fast.ph, abs=1e-9)
    own = degas(HARD, Q(2, "day"), rate=Q(1.35, "1/day"))
    assert own.ph == pytest.approx(degas(HARD, Q(2, "day")).ph, abs=1e-9)


def test_water_at_rest_with_the_air_stays_as_it_is():
    state = HARD.state()
    ph = float(ph_of(HARD, "open"))
    settled = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(200, "mg/L"), ph=ph, temperature=Q(20, "degC"))
    assert degas(settled, DAYS).ph == pytest.approx(np.full(9, ph), abs=1e-4)
    assert state["DIC"] > settled.state()["DIC"]
    assert degas(HARD, DAYS, rate=Q(0, "1/day")).ph == pytest.approx(np.full(9, 7.4), abs=1e-6)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: degas(HARD, 3), UnitNeeded, "times"),
        (lambda: degas(HARD, Q(-3, "day")), OutOfRange, "-3 days is before it"),
        (lambda: degas(HARD, Q(3, "day"), rate=1), UnitNeeded, "rate"),
        (lambda: degas(HARD, Q(3, "day"), rate=Q(-1, "1/day")), OutOfRange, "-1 is not"),
        (lambda: degas(HARD, Q(3, "day"), rate=Q(1, "1/s")), OutOfRange, "86400"),
        (lambda: degas(HARD, Q(3, "day"), acid=NITRIC), Unreadable, "together"),
        (lambda: degas(HARD, Q(3, "day"), acid=NITRIC, amount=Q(-1, "mmol/L")), OutOfRange, "below zero"),
        (lambda: degas("tap", Q(3, "day")), Unreadable, "Solution or a Water"),
        (lambda: degas(Water({}, ph=7.0), Q(3, "day")), Problem, "alkalinity"),
        (lambda: degassing_rate(Q(0, "cm")), OutOfRange, "0 cm deep"),
        (lambda: degassing_rate(20), UnitNeeded, "depth"),
    ],
)
def test_wrong_questions_get_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
