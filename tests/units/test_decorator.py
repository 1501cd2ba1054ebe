"""The door of a function: what it lets in, what it says, and in whose units."""

import numpy as np
import pytest
from stilltank.units import (
    OutOfRange,
    PlainNumber,
    Problem,
    Q,
    UnitNeeded,
    Unreadable,
    read,
    said,
    speaking_of,
    takes,
    within,
)


class Water:
    """Stands for something that is made elsewhere."""


@takes(
    level="m",
    ph=PlainNumber(5.8),
    latitude="latitude",
    air=("closed", "open"),
    water=Water,
    height="m",
    returns="m",
)
def example(level, ph=7.0, latitude=None, air="closed", water=None, height=None):
    within(level, 0, 0.5, "This tank has no level of {value}. Write {low} to {high}.", "m")
    return level * 2


def test_quantities_go_in_and_come_out():
    assert example(Q(20, "cm")).m_as("cm") == pytest.approx(40)
    assert example(Q([10, 20], "cm")).m_as("cm") == pytest.approx([20, 40])
    assert example.plain(0.2) == pytest.approx(0.4)
    assert example(Q(20, "cm"), 5, Q(-30, "degree"), "open", Water()).check("[length]")


@pytest.mark.parametrize(
    ("call", "problem", "sentence"),
    [
        (lambda: example(20), UnitNeeded, "example needs a length for `level`"),
        (lambda: example(Q(1, "kg")), UnitNeeded, "which is a mass"),
        (lambda: example(Q(1, "cm"), Q(5, "cm")), Unreadable, "a plain number such as 5.8"),
        (lambda: example(Q(1, "cm"), latitude=Q(95, "degree")), OutOfRange, "-90 and 90"),
        (lambda: example(Q(1, "cm"), latitude=40), UnitNeeded, "a latitude in degrees"),
        (lambda: example(Q(1, "cm"), air="shut"), Unreadable, '"closed" or "open"'),
        (lambda: example(Q(1, "cm"), air=[1]), Unreadable, '"closed" or "open"'),
        (lambda: example(Q(1, "cm"), water=3), Unreadable, "needs a Water for `water`"),
        (lambda: example(Q([1, 2], "cm"), [5, 6, 7]), Problem, "do not fit"),
        (lambda: example(np.array([1, 2])), UnitNeeded, "2 values with no unit"),
    ],
)
def test_anything_else_gets_a_sentence(call, problem, sentence):
    with pytest.raises(problem) as caught:
        call()
    assert sentence in str(caught.value)


@pytest.mark.parametrize(
    ("level", "sentence"),
    [
        (Q(60, "cm"), "no level of 60 cm. Write 0 cm to 50 cm."),
        (Q(24, "inch"), "no level of 24 in. Write 0 in to 19.69 in."),
    ],
)
def test_a_refusal_is_in_the_units_of_whoever_asked(level, sentence):
    with pytest.raises(OutOfRange) as caught:
        example(level)
    assert sentence in str(caught.value)


def test_what_is_asked_inside_is_answered_in_the_units_of_the_first():
    @takes(level="m")
    def outer(level):
        return inner(Q(level, "m")), said(Q(level, "m"))

    @takes(level="m")
    def inner(level):
        return said(Q(level, "m"))

    assert outer(Q(10, "inch")) == ("10 in", "10 in")
    assert outer(Q(10, "cm")) == ("10 cm", "10 cm")
    assert said(Q(10, "inch")) == "25.4 cm", "nobody is asking now"


def test_a_refusal_leaves_no_units_behind():
    with pytest.raises(OutOfRange):
        example(Q(24, "inch"))
    assert said(Q(10, "inch")) == "25.4 cm"


def test_a_wrong_declaration_stops_the_import():
    with pytest.raises(TypeError, match="no argument depth"):
        takes(depth="m")(lambda level: level)
    with pytest.raises(AttributeError, match="what"):
        takes(level="metres per what")(lambda level: level)


def test_a_method_has_a_door_too():
    class Tub:
        @takes(level="m", returns="L")
        def volume(self, level):
            return 200 * level

    assert Tub().volume(Q(10, "cm")).m_as("L") == pytest.approx(20)
    assert Tub.volume.plain(Tub(), 0.1) == pytest.approx(20)


def test_a_range_is_refused_in_units_that_fit_each_other():
    with pytest.raises(OutOfRange, match="70 m/s; write 0 m/s to 60 m/s"):
        within(70.0, 0, 60, "{value}; write {low} to {high}", "m/s")
    with speaking_of(Q(1, "mile/hour")), pytest.raises(OutOfRange, match=r"write 0 mph to 134\.2 mph"):
        within(70.0, 0, 60, "{value}; write {low} to {high}", "m/s")
    with speaking_of(Q(50, "degF")), pytest.raises(OutOfRange, match="write 32 °F to 104 °F"):
        within(-3.0, 0, 40, "{value}; write {low} to {high}", "degC")


def test_what_is_read_is_refused_in_the_units_in_which_it_was_typed():
    with pytest.raises(OutOfRange, match="at most 10 US gal"):
        read("12 US gal", "volume", most=Q(10, "gallon"))
    with pytest.raises(OutOfRange, match="at most 45 L"):
        read("50 L", "volume", most=Q(45, "L"))
