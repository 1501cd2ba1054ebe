"""Steady and transient oxygen in still water: closed forms, limits, and a solver of another kind."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import oxygen
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

T25 = Q(25, "degC")
TOP = oxygen.saturation(T25)
D = oxygen.diffusivity(T25).m_as("m^2/day")
USE = Q(20, "g/m^3/day")


def slowed(depth, water, half, demand=USE, surface=TOP):
    return oxygen.profile(depth, surface, water, T25, demand=demand, half_saturation=half)


# Michaelis-Menten


@pytest.mark.parametrize("half", [0.001, 0.05, 0.5, 2])
def test_deep_water_follows_the_first_integral(half):
    """J^2 = 2 D R (C - K ln(1 + C/K)): the classical first integral, from memory; deep means no oxygen below."""
    top = TOP.m_as("g/m^3")
    expected = np.sqrt(2 * D * 20 * (top - half * np.log1p(top / half)))
    found = slowed(Q([0], "mm"), Q(1, "m"), Q(half, "mg/L"))
    assert found.flux.m_as("g/m^2/day") == pytest.approx(expected, rel=1e-9)


def test_michaelis_menten_is_not_zero_order():
    """Half saturation 0.5 mg/L takes a tenth off the flux: 0.9092 (root zones table, computed with numpy)."""
    constant = oxygen.profile(Q([0], "mm"), TOP, Q(14, "cm"), T25, demand=USE)
    ratio = slowed(Q([0], "mm"), Q(14, "cm"), Q(0.5, "mg/L")).flux / constant.flux
    assert ratio.m_as("") == pytest.approx(0.9092, abs=1e-4)


@pytest.mark.parametrize("water", [5, 20, 140])
def test_a_tiny_half_saturation_is_zero_order(water):
    depth = Q(np.linspace(0, water, 7), "mm")
    constant = oxygen.profile(depth, TOP, Q(water, "mm"), T25, demand=USE)
    found = slowed(depth, Q(water, "mm"), Q(1e-6, "mg/L"))
    assert found.concentration.m_as("mg/L") == pytest.approx(constant.concentration.m_as("mg/L"), abs=2e-5)
    assert found.flux.m_as("g/m^2/day") == pytest.approx(constant.flux.m_as("g/m^2/day"), rel=1e-4)


@pytest.mark.parametrize("water", [0.1, 5, 50, 300])
def test_a_huge_half_saturation_is_first_order(water):
    depth = Q(np.linspace(0, water, 7), "mm")
    first = oxygen.profile(depth, TOP, Q(water, "mm"), T25, rate=Q(2, "1/day"))
    found = slowed(depth, Q(water, "mm"), Q(1e6, "mg/L"), Q(2e6, "g/m^3/day"))
    assert found.concentration.m_as("mg/L") == pytest.approx(first.concentration.m_as("mg/L"), abs=1e-4)
    assert found.flux.m_as("g/m^2/day") == pytest.approx(first.flux.m_as("g/m^2/day"), rel=1e-5)


def test_between_the_limits_against_a_boundary_value_solver():
    """scipy's collocation solver for D C'' = R C/(K + C), C(0) = 8, C'(L) = 0."""
    from scipy.integrate import solve_bvp

    start = np.linspace(0, 0.02, 400)
    peer = solve_bvp(
        lambda z, y: np.vstack([y[1], 30 / D * y[0] / (0.7 + y[0])]),
        lambda top, floor: np.array([top[0] - 8, floor[1]]),
        start,
        np.vstack([np.linspace(8, 0.1, 400), np.full(400, -400.0)]),
        tol=1e-8,
        max_nodes=100_000,
    )
    assert peer.success
    at = np.array([0, 2, 5, 10, 20])
    found = slowed(Q(at, "mm"), Q(20, "mm"), Q(0.7, "mg/L"), Q(30, "g/m^3/day"), Q(8, "mg/L"))
    assert found.concentration.m_as("mg/L") == pytest.approx(peer.sol(at / 1000)[0], abs=2e-6)
    assert found.flux.m_as("g/m^2/day") == pytest.approx(-D * peer.sol(0)[1], rel=1e-8)


@given(st.floats(0.01, 20), st.floats(0.5, 200), st.floats(1, 400))
@settings(deadline=None, max_examples=60)
def test_roots_use_what_the_surface_passes(half, use, water):
    """Integral of R C/(K + C) over the depth is the flux through the surface."""
    depth = np.linspace(0, water, 4001)
    found = slowed(Q(depth, "mm"), Q(water, "mm"), Q(half, "mg/L"), Q(use, "g/m^3/day"))
    c = found.concentration.m_as("g/m^3")
    assert np.all(np.diff(c) <= 0)
    assert np.all(c >= 0)
    used = np.trapezoid(use * c / (half + c), depth / 1000)
    assert used == pytest.approx(found.flux.m_as("g/m^2/day"), rel=2e-3)


def test_no_oxygen_above_none_below():
    found = slowed(Q([0, 5], "mm"), Q(1, "cm"), Q(0.5, "mg/L"), surface=Q(0, "mg/L"))
    assert found.concentration.m_as("mg/L").tolist() == [0, 0]
    assert found.flux.m_as("g/m^2/day") == 0


# In time


def test_sudden_contact():
    """Crank's half space: 4.88 mg/L at 10 mm after a day (table of the root zones notes); erfc from a table.

    z/(2 sqrt(Dt)) = 10/(2*13.14) = 0.3806; erfc(0.38) = 0.5910, erfc(0.39) = 0.5813 (handbook table, from memory).
    """
    found = oxygen.unsteady_oxygen(Q(10, "mm"), Q(1, "day"), TOP, T25).m_as("mg/L")
    assert found == pytest.approx(4.879, abs=0.001)
    assert found / TOP.m_as("mg/L") == pytest.approx(0.5910 - 0.06 * 0.0097, abs=3e-4)


@pytest.mark.parametrize(("age", "stated"), [(0.197, 0.50), (0.848, 0.90)])
def test_a_slab_fills_as_terzaghis_table_says(age, stated):
    """Terzaghi's table of one-sided consolidation (course notes): U = 0.50 at 0.197, 0.90 at 0.848."""
    water = Q(14, "cm")
    time = (age * water**2 / oxygen.diffusivity(T25)).to("day")
    points, weights = np.polynomial.legendre.leggauss(40)
    inside = oxygen.unsteady_oxygen(7 * (1 + points) * Q(1, "cm"), time, TOP, T25, water)
    assert (inside / TOP).m_as("") @ weights / 2 == pytest.approx(stated, abs=5e-4)


def test_both_series_meet():
    around = Q(np.array([0.2 - 1e-9, 0.2 + 1e-9]) * 0.01 / D, "day")
    at = Q([[0], [0.3], [1]], "dm")
    profile = oxygen.unsteady_oxygen(at, around, Q(8, "mg/L"), T25, Q(10, "cm")).m_as("mg/L")
    assert profile[:, 1] == pytest.approx(profile[:, 0], abs=1e-7)


def test_start_end_and_direction():
    depth = Q([0, 1, 10], "cm")
    at_once = oxygen.unsteady_oxygen(depth, Q(0, "day"), Q(8, "mg/L"), T25, Q(10, "cm"), Q(2, "mg/L"))
    assert at_once.m_as("mg/L") == pytest.approx([8, 2, 2], rel=1e-14)
    late = oxygen.unsteady_oxygen(depth, Q(9, "year"), Q(8, "mg/L"), T25, Q(10, "cm"), Q(2, "mg/L"))
    assert late.m_as("mg/L") == pytest.approx([8, 8, 8])
    losing = oxygen.unsteady_oxygen(depth, Q(1, "day"), Q(2, "mg/L"), T25, start=Q(8, "mg/L")).m_as("mg/L")
    gaining = oxygen.unsteady_oxygen(depth, Q(1, "day"), Q(8, "mg/L"), T25, start=Q(2, "mg/L")).m_as("mg/L")
    assert losing == pytest.approx(10 - gaining)
    table = oxygen.unsteady_oxygen(depth, Q([[1], [2]], "day"), Q(8, "mg/L"), T25)
    assert table.shape == (2, 3)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: slowed(Q([1], "mm"), Q(1, "cm"), 0.5), UnitNeeded, "half_saturation"),
        (lambda: slowed(Q([1], "mm"), Q(1, "cm"), Q(0, "mg/L")), OutOfRange, "half saturation"),
        (lambda: slowed(Q([1], "mm"), Q(1, "cm"), Q([1, 2], "mg/L")), Problem, "one value"),
        (
            lambda: oxygen.profile(
                Q([1], "mm"), TOP, Q(1, "cm"), T25, rate=Q(1, "1/day"), half_saturation=Q(1, "mg/L")
            ),
            Problem,
            "in proportion",
        ),
        (lambda: oxygen.unsteady_oxygen(Q(1, "mm"), Q(-1, "day"), TOP, T25), OutOfRange, "not negative"),
        (lambda: oxygen.unsteady_oxygen(Q(-1, "mm"), Q(1, "day"), TOP, T25), OutOfRange, "not negative"),
        (
            lambda: oxygen.unsteady_oxygen(Q(2, "cm"), Q(1, "day"), TOP, T25, Q(1, "cm")),
            OutOfRange,
            "below its floor",
        ),
        (lambda: oxygen.unsteady_oxygen(Q(2, "cm"), 1, TOP, T25), UnitNeeded, "time"),
        (
            lambda: oxygen.unsteady_oxygen(Q([1, 2], "cm"), Q([1, 2, 3], "day"), TOP, T25),
            Problem,
            "do not fit",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
