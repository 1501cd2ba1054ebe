"""Units at the door: what is taken, what is refused, and in which words."""

import re

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    UnitNeeded,
    Unreadable,
    check_shapes,
    magnitude,
    one_value,
    pure_number,
    takes,
    ureg,
    whole_number,
    within,
)


@takes(area="m^2", rise="m", temperature="degC")
def refill_volume(area, rise, temperature=None):
    """A function as the science floor has them."""
    return Q(area * rise * 1000, "L") if temperature is None else temperature


def test_plain_numbers_arrive_in_the_declared_units():
    """By hand: 0.24 m² × 0.02 m = 0.0048 m³ = 4.8 L."""
    assert refill_volume(Q(0.24, "m^2"), Q(2, "cm")).m_as("L") == pytest.approx(4.8)
    assert refill_volume(area=Q(2400, "cm^2"), rise=Q(0.02, "m")).m_as("L") == pytest.approx(4.8)
    assert refill_volume.__wrapped__(0.24, 0.02).m_as("L") == pytest.approx(4.8)


def test_arrays_go_through():
    answer = refill_volume(Q([0.24, 0.48], "m^2"), Q(2, "cm"))
    np.testing.assert_allclose(answer.m_as("L"), [4.8, 9.6])
    np.testing.assert_allclose(refill_volume(Q(1, "m^2"), Q(np.array([1, 2]), "cm")).m_as("L"), [10, 20])


def test_temperatures_keep_their_zero():
    """32 °F is 0 °C, 212 °F is 100 °C: NIST SP 811, B.9 (from memory)."""
    assert refill_volume(Q(1, "m^2"), Q(1, "m"), Q(212, "degF")) == pytest.approx(100)


def test_a_bare_number_is_refused_with_what_to_write():
    with pytest.raises(UnitNeeded) as caught:
        refill_volume(0.24, Q(2, "cm"))
    assert str(caught.value) == (
        'refill_volume needs an area for `area`, such as Q(0.24, "m^2"). You gave 0.24 with no unit.'
    )


def test_text_is_sent_to_read():
    with pytest.raises(UnitNeeded, match=r"You gave the text '0.24 m²'. Text goes through read\('0.24 m²'\)"):
        refill_volume("0.24 m²", Q(2, "cm"))


def test_a_wrong_dimension_is_refused_with_both_named():
    with pytest.raises(UnitNeeded, match=r"needs a length for `rise`.*You gave 2 L, which is a volume"):
        refill_volume(Q(0.24, "m^2"), Q(2, "L"))
    with pytest.raises(UnitNeeded, match="needs an area for `area`"):
        refill_volume(Q([1, 2], "kg"), Q(2, "cm"))


@pytest.mark.parametrize(
    ("unit", "what"),
    # the plain word for each kind of quantity, and an example in a unit of that kind
    [("inch", "a length"), ("foot^2", "an area"), ("gallon", "a volume"), ("lb", "a mass"),
     ("g/L", "a mass in each litre"), ("mol/L", "an amount in each litre"), ("mol", "an amount of substance"),
     ("kg/mol", "a molar mass"), ("degF", "a temperature"), ("hour", "a time"), ("m/s", "a depth a day or a speed"),
     ("uS/cm", "a conductivity"), ("mmHg", "a pressure"), ("W/m^2*hour/day", "a radiation"),
     ("percent", "a share or an angle"), ("gallon/week", "a volume a day"),
     ("mol/m^2/day", "a light intensity"), ("W/m^2/K", "a quantity")],
)  # fmt: skip
def test_each_kind_is_asked_for_by_its_word_and_an_example_of_it(unit, what):
    with pytest.raises(UnitNeeded) as caught:
        magnitude(3, unit, "it", "some_function")
    asked, example = re.fullmatch(
        r"some_function needs (.+) for `it`, such as Q\((.+)\)\. You gave 3 with no unit\.", str(caught.value)
    ).groups()
    assert asked == what
    number, written = example.split(", ")
    assert Q(float(number), written.strip('"')).is_compatible_with(unit)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), [1.0, float("nan")]])
def test_what_is_not_finite_is_refused(bad):
    with pytest.raises(OutOfRange, match="`area` has a value that is not a number"):
        refill_volume(Q(bad, "m^2"), Q(2, "cm"))


def test_a_declaration_is_checked_on_import():
    with pytest.raises(TypeError, match="has no argument rize"):
        takes(rize="m")(lambda rise: rise)
    with pytest.raises(pint.UndefinedUnitError):
        takes(rise="metrrre")(lambda rise: rise)


@pytest.mark.parametrize(
    ("value", "unit", "error"),
    [(5, "litrrre", UnitNeeded), ("5", "L", Unreadable), (["a"], "L", Unreadable)],
)
def test_q_refuses_in_sentences(value, unit, error):
    with pytest.raises(error, match=r"\.$"):
        Q(value, unit)


def test_q_converts_a_quantity_or_says_why_not():
    assert Q(Q(1, "L"), "mL").magnitude == pytest.approx(1000)
    with pytest.raises(UnitNeeded, match="cannot be turned into"):
        Q(Q(1, "L"), "g")


def test_within_names_the_first_bad_value():
    within([1.0, 90.0], -90, 90, "no {value}")
    with pytest.raises(OutOfRange, match="not 95"):
        within([1.0, 95.0], -90, 90, "not {value:g}")


def test_one_registry_for_the_whole_process():
    assert pint.get_application_registry().get() is ureg
    assert (pint.Quantity(1, "L") + Q(1, "L")).m_as("L") == pytest.approx(2)


def test_one_value_is_asked_for():
    assert one_value(Q([4.5], "L"), "mL", "volume", "test") == pytest.approx(4500)
    for several in (Q([1, 2], "L"), Q([], "L")):
        with pytest.raises(Problem, match=f"takes one value for `volume`; you gave {len(several)}"):
            one_value(several, "mL", "volume", "test")


def test_a_whole_number_lies_between_its_ends():
    for number in (1, 6.0, 100):
        assert whole_number(number, 1, 100, "{value!r} is not") == number
    for wrong in (0, 101, 2.5, True, "6", float("nan"), float("inf"), None):
        with pytest.raises(OutOfRange, match="is not"):
            whole_number(wrong, 1, 100, "{value!r} is not")


def test_a_plain_number_carries_no_unit():
    assert pure_number(5, 5.8, "target", "test") == 5.0
    np.testing.assert_array_equal(pure_number([5, 6], 5.8, "target", "test"), [5.0, 6.0])
    for wrong in (Q(5, "L"), "5", None, float("nan"), float("inf"), [1, float("nan")], True):
        with pytest.raises(Unreadable, match=r"needs for `target` a plain number such as 5\.8"):
            pure_number(wrong, 5.8, "target", "test")


def test_arrays_that_do_not_fit_are_named():
    check_shapes({"tmin": (3,), "tmax": (3,), "base": ()}, "test")
    with pytest.raises(Problem, match="3 values of `tmin` and 2 of `tmax` do not fit"):
        check_shapes({"tmin": (3,), "tmax": (2,), "base": ()}, "test")


def test_within_takes_both_ends():
    within([-90.0, 90.0], -90, 90, "no {value}")
    within([], -90, 90, "no {value}")
    for bad in (-90.1, 90.1, float("nan")):
        with pytest.raises(OutOfRange, match="not "):
            within([0.0, bad], -90, 90, "not {value:g}")


FINITE = st.floats(-1e9, 1e9)


@settings(max_examples=100, deadline=None)
@given(st.one_of(FINITE, st.integers(-(10**9), 10**9), st.lists(FINITE, min_size=1, max_size=5)))
def test_a_magnitude_is_the_number_in_the_unit(number):
    plain = magnitude(Q(number, "L"), "mL", "volume", "test")
    np.testing.assert_allclose(plain, np.asarray(number, dtype=float) * 1000, rtol=1e-12)
    assert isinstance(plain, float) or plain.dtype == float


@settings(max_examples=100, deadline=None)
@given(
    st.one_of(
        st.none(),
        st.booleans(),
        FINITE,
        st.text(max_size=5),
        st.lists(FINITE, max_size=3),
        st.binary(max_size=3),
    )
)
def test_anything_without_a_unit_is_a_problem(thing):
    with pytest.raises(Problem):
        magnitude(thing, "mL", "volume", "test")
