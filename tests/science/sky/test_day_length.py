"""Day length against FAO-56 and the almanac's rules, and dates as people hold them."""

import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import sky
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable


def h(latitude, date, method="cbm"):
    return sky.day_length(Q(latitude, "degree"), date, method).m_as("hour")


def test_fao56_example():
    """FAO-56, example 9: 20 degrees south, 3 September (J = 246): 11.7 h; 11.66559 in a copy's output."""
    assert h(-20, 246, "fao56") == pytest.approx(11.66559, abs=5e-5)


@pytest.mark.parametrize(("day", "stated"), [(172, 15.016), (355, 9.324)])
def test_cbm_at_40_north(day, stated):
    """Forsythe et al. (1995), CBM with p = 0.8333, evaluated from copies of the formula; last digit 0.001."""
    assert h(40, day) == pytest.approx(stated, abs=0.0015)


def test_first_and_last_long_day_of_equation_34():
    """40 N, at least 14 h by FAO-56 equation 34: 9 May to 3 August, J = 129 to 215."""
    long_days = np.flatnonzero(h(40, np.arange(1, 366), "fao56") >= 14) + 1
    assert (long_days[0], long_days[-1]) == (129, 215)


def test_polar_day_and_night():
    assert h(75, "2025-06-21") == 24
    assert h(75, "2025-12-21") == 0
    assert h(-75, "2025-12-21") == 24
    assert h([90, -90], "2025-06-21").tolist() == [24, 0]
    assert h(75, [172, 355], "fao56").tolist() == [24, 0]


@given(
    st.floats(-90, 90),
    st.dates(datetime.date(1950, 1, 1), datetime.date(2080, 12, 31)),
    st.sampled_from(sorted(sky.DAY_LENGTH_METHODS)),
)
@settings(deadline=None)
def test_a_day_has_0_to_24_hours(latitude, day, method):
    assert 0 <= h(latitude, day, method) <= 24


@given(st.floats(-60, 60), st.dates(datetime.date(1990, 1, 1), datetime.date(2060, 12, 31)))
@settings(deadline=None)
def test_the_short_formula_stays_near_the_almanac_in_any_year(latitude, day):
    """Its largest error at 60 degrees in 2025 is 7.8 minutes; leap years shift the date by up to a day more, 5.8."""
    assert abs(h(latitude, day) - h(latitude, day, "almanac")) * 60 < 7.8 + 5.8


def test_the_almanac_knows_polar_day_and_night():
    assert h([75, -75], "2025-06-21", "almanac").tolist() == [24, 0]
    assert h([90, -90], ["2025-06-21", "2025-06-21"], "almanac").tolist() == [24, 0]
    assert h(80, "2025-12-21", "almanac twilight") == 0
    assert 0 < h(68, "2025-12-21", "almanac twilight") < 6  # no sunrise, yet some light at noon
    assert h(68, "2025-12-21", "almanac") == 0


@given(st.floats(-65, 65), st.integers(1, 365))
@settings(deadline=None)
def test_definitions_keep_their_order(latitude, day):
    """Twilight is longer than sunrise to sunset."""
    assert h(latitude, day, "twilight") > h(latitude, day)


@given(st.floats(0, 89), st.integers(1, 365))
@settings(deadline=None)
def test_north_and_south_share_the_day_by_equation_34(latitude, day):
    assert h(latitude, day, "fao56") + h(-latitude, day, "fao56") == pytest.approx(24, abs=1e-6)


def test_civil_twilight_adds_about_an_hour_at_40_north():
    added = h(40, np.arange(1, 366), "twilight") - h(40, np.arange(1, 366))
    assert 0.8 < added.min() < added.max() < 1.2


@pytest.mark.parametrize(
    "date",
    [
        "2025-06-21",
        datetime.date(2025, 6, 21),
        datetime.datetime(2025, 6, 21, 23, 59),
        np.datetime64("2025-06-21T23:00"),
        172,
        np.int32(172),
    ],
)
def test_dates_as_people_hold_them(date):
    assert sky.day_of_year(date) == 172
    assert h(40, date) == h(40, 172)


def test_leap_years():
    assert sky.day_of_year("2024-02-29") == 60
    assert sky.day_of_year(["2024-03-01", "2025-03-01"]).tolist() == [61, 60]
    assert sky.day_of_year("2024-12-31") == 366


def test_arrays_combine():
    dates = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
    table = sky.day_length(Q(np.array([[-40.0], [0], [40]]), "degree"), dates)
    assert table.shape == (3, 365)
    assert isinstance(h(40, "2025-06-21"), float)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: h(95, 172), OutOfRange, "latitude lies between -90 and 90 degrees; 95 does not"),
        (lambda: sky.day_length(41.5, 172), UnitNeeded, "latitude"),
        (lambda: sky.day_length(Q(41.5, "cm"), 172), UnitNeeded, "latitude"),
        (lambda: h(40, 0), OutOfRange, "day of the year"),
        (lambda: h(40, 367), OutOfRange, "day of the year"),
        (lambda: h(40, "2025-02-30"), Unreadable, "2025-02-30"),
        (lambda: h(40, "21.6.2025"), Unreadable, "year, month and day"),
        (lambda: h(40, "2025"), Unreadable, "year, month and day"),
        (lambda: h(40, 172.5), Unreadable, "date is needed"),
        (lambda: h(40, None), Unreadable, "date is missing"),
        (lambda: h(40, np.datetime64("NaT", "D")), Unreadable, "missing"),
        (lambda: h(40, 172, "lamp"), Problem, '"cbm", "fao56", "twilight"'),
        (lambda: h(40, 172, "almanac"), Unreadable, "date is needed"),
        (lambda: h([40, 50], ["2025-06-21"] * 3, "almanac"), Problem, "do not fit"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
