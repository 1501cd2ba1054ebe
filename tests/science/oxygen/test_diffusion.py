"""One root, water that turns over, wind: closed forms by hand."""

import math

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from stilltank.science import oxygen
from stilltank.tables import number
from stilltank.units import OutOfRange, Q, UnitNeeded


def test_a_root_by_hand():
    """0.0448 (2.5e-4)^2/(4e-9) = 0.700 g/m3; times ln 3/(2*1.9976e-9)*... = 0.770 across 0.5 mm (root zones notes)."""
    found = oxygen.root_need()
    assert found.core.m_as("mg/L") == pytest.approx(0.0448 * 6.25e-8 / 4e-9)
    assert found.film.m_as("mg/L") == pytest.approx(
        0.0448 * 6.25e-8 / (2 * 1.9976e-9) * math.log(3), rel=1e-3
    )
    assert found.whole.m_as("mg/L") == pytest.approx(1.47, abs=0.01)


def test_a_root_against_a_boundary_value_solver():
    """D (r C')' = R r inside, (r C')' = 0 in the film; the centre is to have just none."""
    a, d, use, inner, outer = 3e-4, 7e-4, 0.06, 1.0e-9, oxygen.diffusivity(Q(20, "degC")).m_as("m^2/s")
    r = np.linspace(1e-9, a, 200)
    core = solve_bvp(
        lambda r, y: np.vstack([y[1], use / inner - y[1] / r]),
        lambda left, right: np.array([left[1], left[0]]),
        r,
        np.zeros((2, r.size)),
        tol=1e-8,
    )
    assert core.success
    found = oxygen.root_need(Q(a, "m"), Q(d, "m"), Q(use, "g/m^3/s"), Q(20, "degC"))
    assert found.core.m_as("g/m^3") == pytest.approx(core.sol(a)[0], rel=1e-4)
    s = np.linspace(a, a + d, 200)
    film = solve_bvp(
        lambda r, y: np.vstack([y[1], -y[1] / r]),
        lambda left, right: np.array([left[0], left[1] - use * a / (2 * outer)]),  # what the root takes in
        s,
        np.zeros((2, s.size)),
        tol=1e-8,
    )
    assert film.success
    assert found.film.m_as("g/m^3") == pytest.approx(film.sol(a + d)[0], rel=1e-4)


def test_roots_in_arrays_and_without_a_film():
    found = oxygen.root_need(Q([0.1, 0.2], "mm"), Q(0, "mm"))
    assert found.whole.m_as("mg/L") == pytest.approx(found.core.m_as("mg/L"))
    assert found.core[1] / found.core[0] == pytest.approx(4)
    assert str(found) == "2 roots"


def test_rayleigh():
    """9.80665*2.57e-4*0.1*0.14^3/(0.893e-6*1.46e-7) = 5.30e6; depth counts with its third power."""
    step = Q(0.1, "delta_degC")
    found = oxygen.rayleigh_number(Q(14, "cm"), step).m_as("")
    assert found == pytest.approx(5.304e6, rel=1e-3)
    assert oxygen.rayleigh_number(Q(7, "cm"), step).m_as("") == pytest.approx(found / 8)
    assert number("oxygen", "convection", "critical under a lid", "1") < found
    assert oxygen.rayleigh_number(Q(14, "cm"), Q(0, "delta_degC")).m_as("") == 0


def test_wind():
    """Gelda et al. (1996), abstract: 0.2 U up to 3.5 m/s, 0.057 U^2 above."""
    found = oxygen.film_by_wind(Q([0, 1, 3.5, 5], "m/s")).m_as("m/day")
    assert found == pytest.approx([0, 0.2, 0.7, 1.425])


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: oxygen.root_need(0.25), UnitNeeded, "radius"),
        (lambda: oxygen.root_need(Q(0, "mm")), OutOfRange, "radius"),
        (lambda: oxygen.root_need(film=Q(-1, "mm")), OutOfRange, "film"),
        (lambda: oxygen.root_need(demand=Q(-1, "g/m^3/s")), OutOfRange, "demand"),
        (lambda: oxygen.root_need(temperature=Q(99, "degC")), OutOfRange, "between 0 and 40"),
        (lambda: oxygen.rayleigh_number(Q(14, "cm"), 0.1), UnitNeeded, "difference"),
        (lambda: oxygen.rayleigh_number(Q(14, "cm"), Q(-1, "delta_degC")), OutOfRange, "calm"),
        (lambda: oxygen.rayleigh_number(Q(0, "cm"), Q(1, "delta_degC")), OutOfRange, "above zero"),
        (lambda: oxygen.film_by_wind(Q(-1, "m/s")), OutOfRange, "wind"),
        (lambda: oxygen.film_by_wind(Q(np.nan, "m/s")), OutOfRange, "not a number"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
