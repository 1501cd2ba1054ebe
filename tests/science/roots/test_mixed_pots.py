"""Net pots of different depth in one lid, by hand: a box 32 cm high, pots of 5, 7 and 9 cm."""

import numpy as np
import pytest
from stilltank.science import roots, tank
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
SHAPES = {
    "box": BOX,
    "measured": tank.Measured(
        Q([4, 7.8, 14.8, 21.3, 27.3, 32], "cm"), Q([5, 10, 20, 30, 40, 48], "L"), net_pot_depth=Q(7, "cm")
    ),
    "round": tank.Cylinder(Q(30, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")),
    "bucket": tank.TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")),
}


@pytest.mark.parametrize("body", SHAPES.values(), ids=SHAPES)
def test_the_shallowest_pot_says_how_high_to_fill(body):
    """Its bottom hangs 32 - 5 = 27 cm above the floor and stands 2 cm in the solution: 29 cm. The others hang lower."""
    found = roots.mixed_pots(body, Q([9, 5, 7], "cm"))
    assert found.fill_level.m_as("cm") == pytest.approx(29)
    assert found.immersion.m_as("cm").tolist() == pytest.approx([6, 2, 4])
    assert found.clear_below.m_as("cm").tolist() == pytest.approx([23, 27, 25])
    assert "9 cm stand 6 cm in it" in found.too_deep
    assert roots.overflow_height(found.tank).height.m_as("cm") == pytest.approx(29.5)


def test_the_refill_limit_begins_where_the_first_pots_hang_clear():
    """At 26 cm the pots of 5 cm hang 1 cm clear, those of 7 cm still stand 1 cm deep: 2 cm is the most."""
    found = roots.mixed_pots(BOX, Q([5, 7], "cm"))
    limit = roots.refill_limit(found.tank, Q(26, "cm"))
    assert limit.rise.m_as("cm") == pytest.approx(2)
    assert "hung clear" in limit.reason
    wrong = roots.refill_limit(BOX, Q(26, "cm"))  # the pots of 7 cm alone
    assert wrong.rise.m_as("cm") == pytest.approx(1)
    at_28 = roots.refill_limit(found.tank, Q(28, "cm"))
    assert at_28.rise.m_as("cm") == pytest.approx(1), "up to the level of planting: nothing hangs clear yet"
    assert "still stand" in at_28.reason


def test_alike_pots_are_one_kind():
    found = roots.mixed_pots(BOX, [Q(7, "cm"), Q(7, "cm")])
    assert found.fill_level == roots.fill_level(BOX)
    assert found.too_deep == ""
    assert np.ptp(found.immersion.m_as("cm")) == 0


@pytest.mark.parametrize(
    ("depths", "error"),
    [
        (Q([], "cm"), Problem),
        (Q([5, 40], "cm"), OutOfRange),
        (Q([0.2, 5], "cm"), OutOfRange),
        ([5, 7], UnitNeeded),
        (Q([5, 7], "kg"), UnitNeeded),
        ("deep", Problem),
        (None, Problem),
    ],
)
def test_what_is_no_depth_is_refused(depths, error):
    with pytest.raises(error):
        roots.mixed_pots(BOX, depths)
