"""The cheapest mixture against an independent formulation, and weights of the least squares."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog, nnls
from stilltank.science.mixing import Water, demo_prices, demo_water, least_cost, weigh_out
from stilltank.science.products import salt, usual_salts
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

LITRE = Q(1, "L")
NUTRIENTS = ("N", "P", "K", "Ca", "Mg")
SHELF = ("calcium nitrate", "KNO3", "KH2PO4", "MgSO4.7H2O", "K2SO4", "NH4H2PO4", "Mg(NO3)2.6H2O")
TARGETS = st.lists(st.floats(5, 400), min_size=5, max_size=5)
NAMES = st.lists(st.sampled_from(SHELF), min_size=2, max_size=7, unique=True)
PRICES = st.lists(st.floats(0.1, 20), min_size=7, max_size=7)


def shares(names):
    """mg/L that a gram in a litre brings, from the shares of the salts."""
    return np.array([[10 * salt(s).share(n).m_as("percent") for s in names] for n in NUTRIENTS])


def asked(wanted):
    return {n: Q(w, "mg/L") for n, w in zip(NUTRIENTS, wanted, strict=True)}


def vertices(matrix, low, high, prices):
    """Cheapest by brute force: a linear programme has its best answer in a corner, where as many limits hold
    with equality as there are salts."""
    many = matrix.shape[1]
    sides = np.vstack([matrix, matrix, np.eye(many)])
    ends = np.concatenate([low, high, np.zeros(many)])
    best = np.inf
    for rows in itertools.combinations(range(len(sides)), many):
        try:
            corner = np.linalg.solve(sides[list(rows)], ends[list(rows)])
        except np.linalg.LinAlgError:
            continue
        if (
            (corner >= -1e-9).all()
            and (matrix @ corner >= low - 1e-6).all()
            and (matrix @ corner <= high + 1e-6).all()
        ):
            best = min(best, prices @ corner)
    return best


def test_cheapest_is_the_cheapest_corner():
    names = ("calcium nitrate", "KNO3", "KH2PO4", "MgSO4.7H2O", "K2SO4")
    wanted, prices = np.array([150.0, 31, 210, 90, 24]), np.array([1.2, 3, 4.5, 1, 2.8])
    found = least_cost(asked(wanted), names, LITRE, dict(zip(names, prices, strict=True)), Q(10, "percent"))
    assert not found.missed
    corner = vertices(shares(names), 0.9 * wanted, 1.1 * wanted, prices / 1000)
    assert found.cost == pytest.approx(corner, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(TARGETS, NAMES, PRICES, st.floats(1, 60))
def test_cheapest_against_the_dual_programme(wanted, names, money, tolerance):
    """An independent formulation: by strong duality the cost equals the best of the dual, built from the shares."""
    prices = {name: price for name, price in zip(SHELF, money, strict=True) if name in names}
    found = least_cost(asked(wanted), names, LITRE, prices, Q(tolerance, "percent"))
    matrix, want = shares(names) / np.array(wanted)[:, None], np.ones(5)
    low, high = want * (1 - tolerance / 100), want * (1 + tolerance / 100)
    cost = np.array([prices[name] for name in names]) / 1000
    # dual: low y - high z at most, matrix' (y - z) <= cost, y and z not below zero; unbounded where nothing is feasible
    dual = linprog(np.r_[-low, high], A_ub=np.hstack([matrix.T, -matrix.T]), b_ub=cost, bounds=(0, None))
    if dual.status == 0 and not found.missed:
        assert found.cost == pytest.approx(-dual.fun, rel=1e-5, abs=1e-9)
    elif dual.status == 0:  # on the edge of what can be met
        assert all(t.m_as("percent") < tolerance + 0.01 for t in found.needed.values())
    else:
        assert found.missed


@settings(max_examples=40, deadline=None)
@given(TARGETS, NAMES, PRICES)
def test_never_dearer_than_weighing_out_within_the_same_tolerances(wanted, names, money):
    prices = {name: price for name, price in zip(SHELF, money, strict=True) if name in names}
    targets = asked(wanted)
    close = weigh_out(targets, names, LITRE)
    off = {
        n: 100 * abs(v.m_as("mg/L") / targets[n].m_as("mg/L") - 1) + 1e-6 for n, v in close.reached.items()
    }
    tolerances = {n: Q(min(share, 100), "percent") for n, share in off.items()}
    if max(off.values()) > 100:
        return
    by_name = {salt(name).name: price for name, price in prices.items()}
    spent = sum(by_name[name] * mass.m_as("kg") for name, mass in close.masses.items())
    found = least_cost(targets, names, LITRE, prices, tolerances)
    assert not found.missed
    assert found.cost <= spent * (1 + 1e-6) + 1e-12
    for name, value in found.recipe.reached.items():
        share = abs(value.m_as("mg/L") / targets[name].m_as("mg/L") - 1)
        assert 100 * share <= tolerances[name].m_as("percent") + 1e-4


def test_what_cannot_be_met_says_why_and_how_much_it_lacks():
    tap = Water({"Ca": Q(120, "mg/L")}, name="our tap")
    found = least_cost(
        {"Ca": Q(90, "mg/L"), "K": Q(100, "mg/L")}, ["KNO3"], LITRE, {"KNO3": 3}, Q(10, "percent"), tap
    )
    # 120 of 90 mg/L is 33.3 % too much whatever is weighed
    assert found.needed["Ca"].m_as("percent") == pytest.approx(100 / 3, rel=1e-4)
    assert "our tap already brings 120 mg/L" in found.missed["Ca"]
    assert "33.3 % instead of 10" in found.missed["Ca"]
    assert set(found.missed) == {"Ca"}
    each = least_cost(
        {"Ca": Q(90, "mg/L"), "K": Q(100, "mg/L")},
        ["KNO3"],
        LITRE,
        {"KNO3": 3},
        {"Ca": Q(40, "percent")},
        tap,
    )
    # as asked for Ca; the usual 10 % (assumption: recipes for one crop differ by so much) for what is not named
    assert {name: t.m_as("percent") for name, t in each.tolerances.items()} == pytest.approx(
        {"Ca": 40, "K": 10}
    )
    # 90 mg/L of K, a tenth less, is the cheapest: 90/0.3867 = 232.7 mg of KNO3 at 3 the kilogram
    assert each.cost == pytest.approx(232.7e-6 * 3, rel=1e-3)
    nothing = least_cost({"Mg": Q(24, "mg/L")}, ["KNO3"], LITRE, {"KNO3": 3})
    assert nothing.needed["Mg"].m_as("percent") == pytest.approx(100)
    assert "none of these salts holds it" in nothing.missed["Mg"]


@settings(max_examples=25, deadline=None)
@given(TARGETS, st.lists(st.sampled_from(SHELF), min_size=1, max_size=3, unique=True))
def test_the_relaxation_is_the_smallest(wanted, names):
    """No mixture needs less widening in all: compared with many drawn ones."""
    found = least_cost(asked(wanted), names, LITRE, dict.fromkeys(names, 1.0), Q(5, "percent"))
    widened = sum(need.m_as("percent") - 5 for need in found.needed.values())
    matrix, rng = shares(names), np.random.default_rng(1)
    for grams in rng.uniform(0, 1, (200, len(names))) * max(wanted) / matrix.sum(axis=0):
        off = 100 * np.abs(matrix @ grams / np.array(wanted) - 1)
        assert np.maximum(off - 5, 0).sum() >= widened - 1e-3


def test_trace_elements_and_prices_of_the_demo():
    prices, currency = demo_prices()
    found = least_cost(
        "leafy", usual_salts(), Q(45, "L"), prices, Q(15, "percent"), demo_water("quillgate-tap"), currency
    )
    assert not found.missed
    assert found.recipe.reached["Mo"].m_as("mg/L") == pytest.approx(0.024, rel=0.15 + 1e-6)
    assert found.cost == pytest.approx(sum(found.costs.values()))
    assert "coins" in str(found)


@pytest.mark.parametrize(
    ("changes", "error", "words"),
    [
        ({"prices": 3}, Unreadable, "prices for a kilogram"),
        ({"prices": {}}, Problem, "a price for a kilogram of potassium nitrate"),
        ({"prices": {"KNO3": Q(3, "1/kg")}}, Unreadable, "plain number"),
        ({"prices": {"KNO3": -3}}, OutOfRange, "-3"),
        ({"prices": {"sugar": 3}}, Unreadable, "sugar"),
        ({"tolerances": 10}, UnitNeeded, "tolerances"),
        ({"tolerances": Q(130, "percent")}, OutOfRange, "130"),
        ({"tolerances": {"Fe": Q(5, "percent")}}, Unreadable, "no target"),
        ({"targets": {"N": 150}}, UnitNeeded, "least_cost"),
        ({"salts": []}, OutOfRange, "at least one salt"),
    ],
)
def test_wrong_questions_get_a_sentence(changes, error, words):
    usual = {"targets": {"N": Q(100, "mg/L")}, "salts": ["KNO3"], "volume": LITRE, "prices": {"KNO3": 3}}
    with pytest.raises(error, match=words):
        least_cost(**{**usual, **changes})


# Weights of the least squares


@settings(max_examples=40, deadline=None)
@given(TARGETS, NAMES, st.lists(st.floats(0.01, 100), min_size=5, max_size=5))
def test_weighted_weighing_is_nonnegative_least_squares_with_those_weights(wanted, names, weights):
    recipe = weigh_out(asked(wanted), names, LITRE, weights=dict(zip(NUTRIENTS, weights, strict=True)))
    root = np.sqrt(weights)
    _, norm = nnls(shares(names) / np.array(wanted)[:, None] * root[:, None], root)
    misses = [v.m_as("mg/L") / w - 1 for v, w in zip(recipe.reached.values(), wanted, strict=True)]
    assert np.dot(weights, np.square(misses)) == pytest.approx(norm**2, rel=1e-6, abs=1e-10)


def test_a_heavy_weight_pulls_its_nutrient_to_its_target():
    targets = {"N": Q(200, "mg/L"), "Ca": Q(50, "mg/L")}
    even = weigh_out(targets, ["Ca(NO3)2.4H2O"], LITRE, weights={"N": 1, "Ca": 1})
    pulled = weigh_out(targets, ["Ca(NO3)2.4H2O"], LITRE, weights={"Ca": 1e6})
    # by hand, c mg/L Ca with 0.699 c of N: least (0.699 c/200 - 1)^2 + (c/50 - 1)^2 at c = 57.0
    assert even.reached["Ca"].m_as("mg/L") == pytest.approx(57.0, abs=0.05)
    assert pulled.reached["Ca"].m_as("mg/L") == pytest.approx(50, rel=1e-3)


@pytest.mark.parametrize(
    ("weights", "error", "words"),
    [({"Mg": 2}, Unreadable, "no target"), ({"N": -1}, OutOfRange, "-1"), (3, Unreadable, "weights such as"),
     ({"N": "much"}, Unreadable, "plain number")],
)  # fmt: skip
def test_wrong_weights_get_a_sentence(weights, error, words):
    with pytest.raises(error, match=words):
        weigh_out({"N": Q(100, "mg/L")}, ["KNO3"], LITRE, weights=weights)
