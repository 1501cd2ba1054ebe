"""pH of calibration buffers against the standards of NIST."""

import numpy as np
import pytest
from buffers import STANDARDS
from stilltank.science import ph
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

# Standards at 0, 10, 20, 25, 30 and 40 degC: Bates (1962), Staples and Bates (1969); third decimals from memory.
CELSIUS = Q(np.array([0, 10, 20, 25, 30, 40.0]), "degC")


@pytest.mark.parametrize("buffer", STANDARDS)
def test_a_buffer_shows_its_standard(buffer):
    assert ph.calibration_ph(buffer, CELSIUS) == pytest.approx(STANDARDS[buffer], abs=0.03)


def test_every_buffer_is_tried():
    assert set(STANDARDS) == set(ph.calibration_buffers())


def test_a_bottle_is_called_after_its_ph_at_25_degrees():
    from stilltank import tables

    for buffer in ph.calibration_buffers():
        label = tables.number("buffers", buffer, "label", "1")
        assert ph.calibration_ph(buffer) == pytest.approx(label, abs=0.02)


@pytest.mark.parametrize(
    ("wrong", "problem"),
    [
        (("vinegar",), Unreadable),
        ((7,), Unreadable),
        (("borax", 25), UnitNeeded),
        (("borax", Q(60, "degC")), OutOfRange),
        (("borax", Q(1, "L")), Problem),
    ],
)
def test_what_is_no_buffer_is_refused_in_words(wrong, problem):
    with pytest.raises(problem, match=r"\w+ \w+"):
        ph.calibration_ph(*wrong)
