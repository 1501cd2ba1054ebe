"""Degree-day methods against hourly sums over a year.

Greensboro, North Carolina, TMY3 (NREL, public domain) as pvlib carries it. A typical year is made of months of
several years: good for a sum, no real year.
"""

from pathlib import Path

import numpy as np
import pytest
from stilltank.science import heat
from stilltank.units import Q

pvlib = pytest.importorskip("pvlib")

BASE = Q(10, "degC")


@pytest.fixture(scope="module")
def hours():
    path = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    table, _ = pvlib.iotools.read_tmy3(path, map_variables=True)
    return table["temp_air"].to_numpy().reshape(365, 24)


def test_the_methods_are_off_by_what_the_docstring_says(hours):
    """Stated from an earlier comparison: hourly 2481 degC day; average -2.9, clipped +6.7, sine +1.9 percent."""
    true = np.maximum(hours - 10, 0).mean(axis=1).sum()
    assert true == pytest.approx(2481, abs=1)
    tmin, tmax = Q(hours.min(axis=1), "degC"), Q(hours.max(axis=1), "degC")
    for method, stated in (("average", -2.9), ("clipped", 6.7), ("sine", 1.9)):
        ours = heat.degree_days(tmin, tmax, BASE, method=method).sum().m_as("delta_degC*day")
        assert 100 * (ours / true - 1) == pytest.approx(stated, abs=0.2)


def test_sine_is_the_nearest_day_by_day(hours):
    """Daily rmse at base 10: sine 0.56, average 0.85, clipped 0.85 degC day."""
    true = np.maximum(hours - 10, 0).mean(axis=1)
    tmin, tmax = Q(hours.min(axis=1), "degC"), Q(hours.max(axis=1), "degC")
    for method, stated in (("average", 0.85), ("clipped", 0.85), ("sine", 0.56)):
        ours = heat.degree_days(tmin, tmax, BASE, method=method).m_as("delta_degC*day")
        assert np.sqrt(np.mean((ours - true) ** 2)) == pytest.approx(stated, abs=0.02)
