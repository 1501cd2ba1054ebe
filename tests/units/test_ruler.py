"""Lengths as a ruler shows them, by hand, and read back."""

import pytest
from stilltank.units import Q, UnitNeeded, on_ruler, read, ruler_range


@pytest.mark.parametrize(
    ("length", "metric", "us"),
    [
        (Q(25, "cm"), "25 cm", "9 7/8 in"),  # 9.84: 78.7 eighths
        (Q(25.5, "cm"), "25.5 cm", "10 in"),  # 10.04
        (Q(2, "cm"), "2 cm", "13/16 in"),  # 0.787: 12.6 sixteenths
        (Q(6.25, "mm"), "6 mm", "1/4 in"),
        (Q(0, "cm"), "0 cm", "0 in"),
        (Q(12, "inch"), "30.5 cm", "12 in"),
        (Q(1.999, "inch"), "5.1 cm", "2 in"),
        (Q(130, "cm"), "130 cm", "51 1/8 in"),  # 51.18: never feet
    ],
)
def test_lengths_on_a_ruler(length, metric, us):
    assert on_ruler(length) == metric
    assert on_ruler(length, "US") == us
    assert on_ruler(length, "both") == f"{metric} ({us})"


def test_a_limit_is_never_rounded_up():
    assert on_ruler(Q(2, "cm"), "US", down=True) == "3/4 in"
    assert on_ruler(Q(19.9, "mm"), down=True) == "1.9 cm"
    assert on_ruler(Q(0.3 - 0.28, "m"), down=True) == "2 cm"  # 1.99999... by binary arithmetic


@pytest.mark.parametrize("sixteenths", range(1, 400, 7))
def test_what_is_written_is_read_back_to_the_mark(sixteenths):
    length = Q(sixteenths / 16, "inch")
    apart = abs(read(on_ruler(length, "US"), "length").m_as("inch") - sixteenths / 16)
    assert apart <= (1 / 16 if sixteenths > 32 else 0) + 1e-9


def test_ranges_have_one_unit_where_they_can():
    assert ruler_range(Q(3, "cm"), Q(5.8, "cm"), "both") == "3 to 5.8 cm (1 3/16 to 2 1/4 in)"
    assert ruler_range(Q(4, "mm"), Q(3, "cm")) == "4 mm to 3 cm"
    assert ruler_range(Q(9.99, "cm"), Q(10.01, "cm")) == "10 cm"


@pytest.mark.parametrize("wrong", [25, "25 cm", Q(3, "L"), Q(-1, "cm"), Q(float("nan"), "cm"), None])
def test_what_is_no_length_is_refused(wrong):
    with pytest.raises(UnitNeeded):
        on_ruler(wrong)
    with pytest.raises(UnitNeeded):
        on_ruler(Q(1, "cm"), "imperial")
