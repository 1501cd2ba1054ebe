"""The yield that salt leaves: the line of FAO-56 by hand, and its two ends."""

import numpy as np
import pytest
from stilltank.science import demand
from stilltank.units import OutOfRange, Q, UnitNeeded

SLOPE = Q(12, "percent/(mS/cm)")


def test_the_line_by_hand():
    """12 percent for each mS/cm above 1.3: nothing at 1.3, 12 at 2.3; at 1.3 + 100/12 = 9.63 all is lost."""
    found = demand.salt_limited_yield(Q([0, 1.3, 2.3, 9.7, 20], "mS/cm"), Q(1.3, "mS/cm"), SLOPE)
    assert found.m_as("percent") == pytest.approx(np.array([100, 100, 88, 0, 0]))


def test_units_are_read_and_nonsense_refused():
    in_other_words = demand.salt_limited_yield(Q(2500, "uS/cm"), Q(1.3, "dS/m"), SLOPE)
    assert in_other_words.m_as("percent") == pytest.approx(85.6)
    with pytest.raises(OutOfRange, match="conductivity is below 0"):
        demand.salt_limited_yield(Q(-1, "mS/cm"), Q(1.3, "mS/cm"), SLOPE)
    with pytest.raises(UnitNeeded):
        demand.salt_limited_yield(2.5, Q(1.3, "mS/cm"), SLOPE)
