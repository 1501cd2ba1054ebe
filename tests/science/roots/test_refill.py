"""What a refill does: centimetres, litres, roots under water, oxygen; by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import roots
from stilltank.science.tank import Box, TaperedBox
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

TUB = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))  # 0.24 m2, 2.4 L a centimetre
TAPERED = TaperedBox(
    Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")
)


def test_by_hand():
    """12 L on 0.24 m2 are 5 cm: from 15 to 20 cm, and 5 of the 10 cm of air roots are under water."""
    found = roots.refill(TUB, Q(15, "cm"), Q(12, "L"))
    assert found.rise.m_as("cm") == pytest.approx(5)
    assert found.after.level.m_as("cm") == pytest.approx(20)
    assert found.before.below_pot.m_as("cm") == pytest.approx(10)
    assert found.submerged.m_as("cm") == pytest.approx(5)
    assert found.share_submerged.m_as("percent") == pytest.approx(50)
    assert found.too_far is True
    assert found.oxygen is None
    assert "more than the limit of 2.0 cm" in str(found)


def test_a_tub_that_widens_by_hand():
    """50 x 32 cm at the floor, 60 x 40 at 32 cm: sections of 19.54 dm2 at 15 cm, 20.47 at 17.5 and 21.41 at 20.

    Prismatoid rule: 15/6 (16 + 4 x 17.73 + 19.54) = 26.6 L below, 5/6 (19.54 + 4 x 20.47 + 21.41)/10 = 10.2 L more.
    """
    area = [(5 + z / 3.2) * (3.2 + 0.8 * z / 3.2) for z in (0, 0.75, 1.5, 1.75, 2)]  # dm2, z in dm
    below, more = 1.5 / 6 * (area[0] + 4 * area[1] + area[2]), 0.5 / 6 * (area[2] + 4 * area[3] + area[4])
    found = roots.refill(TAPERED, Q(15, "cm"), Q(5, "cm"), oxygen=Q(1, "mg/L"))
    assert found.volume.m_as("L") == pytest.approx(more)
    assert found.oxygen.m_as("mg/L") == pytest.approx(
        (below + more * 9.092) / (below + more), abs=1e-3
    )  # APHA, 20 degC
    assert roots.refill(TAPERED, Q(15, "cm"), Q(more, "L")).rise.m_as("cm") == pytest.approx(5)


def test_two_centimetres_are_within_the_limit():
    found = roots.refill(TUB, Q(15, "cm"), Q(2, "cm"))
    assert found.volume.m_as("L") == pytest.approx(4.8)  # Kratky (2004): 2 cm on 0.24 m2
    assert found.too_far is False
    assert found.submerged.m_as("cm") == pytest.approx(2)


def test_only_roots_used_to_air_are_counted():
    """3 cm below the pots are used to air, 10 cm are bare: a rise of 5 cm leaves 5 cm, and those 3 stay dry."""
    assert roots.refill(TUB, Q(15, "cm"), Q(5, "cm"), air_roots=Q(3, "cm")).submerged.m_as("cm") == 0
    assert roots.refill(TUB, Q(15, "cm"), Q(9, "cm"), air_roots=Q(3, "cm")).submerged.m_as(
        "cm"
    ) == pytest.approx(2)
    fresh = roots.refill(TUB, Q(15, "cm"), Q(5, "cm"), air_roots=Q(0, "cm"))
    assert fresh.share_submerged.m_as("") == 0


def test_oxygen_mixes():
    """15 cm with 1 mg/L and 5 cm with 9.092 mg/L (APHA, 20 degC): (15 + 45.46)/20 = 3.023 mg/L."""
    found = roots.refill(TUB, Q(15, "cm"), Q(5, "cm"), oxygen=Q(1, "mg/L"))
    assert found.oxygen.m_as("mg/L") == pytest.approx(3.023, abs=0.001)
    stale = roots.refill(TUB, Q(15, "cm"), Q(5, "cm"), oxygen=Q(1, "mg/L"), added_oxygen=Q(1, "mg/L"))
    assert stale.oxygen.m_as("mg/L") == pytest.approx(1)


@given(st.floats(1, 24), st.floats(0, 6))
@settings(deadline=None)
def test_litres_and_centimetres_say_the_same(level, rise):
    by_length = roots.refill(TAPERED, Q(level, "cm"), Q(rise, "cm"))
    by_volume = roots.refill(TAPERED, Q(level, "cm"), by_length.volume)
    assert by_volume.rise.m_as("cm") == pytest.approx(rise, abs=1e-6)
    limit = roots.refill_limit(TAPERED, Q(level, "cm"))
    assert by_length.limit.rise == limit.rise
    assert not roots.refill(TAPERED, Q(level, "cm"), limit.volume).too_far


def test_arrays():
    found = roots.refill(TUB, Q([15, 20, 24], "cm"), Q(2, "cm"))
    assert found.submerged.m_as("cm") == pytest.approx([2, 2, 1])
    assert found.too_far.tolist() == [False, False, False]
    many = roots.refill(TUB, Q(15, "cm"), Q([1, 2, 5], "cm"), oxygen=Q(1, "mg/L"))
    assert many.too_far.tolist() == [False, False, True]
    assert many.oxygen.shape == (3,)
    assert "3 refills" in str(many)
    by_zones = roots.refill(TUB, roots.zones(TUB, Q(15, "cm")), Q(2, "cm"))
    assert by_zones.rise.m_as("cm") == pytest.approx(2)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: roots.refill(TUB, Q(15, "cm"), 12), UnitNeeded, "amount"),
        (lambda: roots.refill(TUB, Q(15, "cm"), Q(2, "kg")), UnitNeeded, "amount"),
        (lambda: roots.refill(TUB, Q(15, "cm"), Q(-2, "L")), OutOfRange, "not negative"),
        (lambda: roots.refill(TUB, Q(15, "cm"), Q(np.inf, "L")), OutOfRange, "not a number"),
        (lambda: roots.refill(TUB, Q(30, "cm"), Q(5, "cm")), OutOfRange, "3 cm of it would run over"),
        (lambda: roots.refill(TUB, Q(30, "cm"), Q(12, "L")), OutOfRange, "7.2 L of it would run over"),
        (lambda: roots.refill(TUB, Q([1, 2], "cm"), Q([1, 2, 3], "L")), Problem, "do not fit"),
        (
            lambda: roots.refill(TUB, Q(15, "cm"), Q(1, "L"), oxygen=Q(-1, "mg/L")),
            OutOfRange,
            "concentration",
        ),
        (lambda: roots.refill(TUB, Q(15, "cm"), Q(1, "L"), air_roots=Q(-1, "cm")), OutOfRange, "air roots"),
        (lambda: roots.refill(None, Q(15, "cm"), Q(1, "L")), Problem, "needs a tank for `tank`"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
