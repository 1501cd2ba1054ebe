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


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: ph.calibration_ph("borax", Q(60, "degC")), "0 °C to 40 °C; 60 °C is outside"),
        (lambda: ph.calibration_ph("borax", Q(140, "degF")), "32 °F to 104 °F; 140 °F is outside"),
        (lambda: ph.degassing_rate(Q(12, "m")), "12 m deep. Write 1 mm to 10 m"),
        (lambda: ph.degassing_rate(Q(40, "foot")), "40 ft deep. Write 0.03937 in to 32.81 ft"),
        (lambda: titrated(Q(10, "mL"), Q(-1, "L")), "−1 L is not"),
        (lambda: titrated(Q(10, "mL"), Q(-2, "gallon")), "−2 US gal is not"),
        (lambda: ph.serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(-3, "L")), "−3 L does not fit"),
        (
            lambda: ph.serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(-3, "gallon")),
            "−3 US gal does not fit",
        ),
    ],
)
def test_a_refusal_speaks_in_the_units_of_the_person(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()


def titrated(acid, sample):
    return ph.alkalinity_by_titration(acid, Q(20, "mmol/L"), sample)
