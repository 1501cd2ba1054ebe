"""Day length as a plant counts it, against a count of minutes; critical photoperiods against the almanac."""

import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import sky
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

NORTH_40 = Q(40, "degree")
TIMES = st.integers(0, 1439)


def clock(minute):
    return f"{minute // 60:02d}:{minute % 60:02d}"


def minutes_counted(day_hours, lamps, noon):
    """24 hours less the longest run of dark minutes on a ring of 1440, the day in the middle of each minute."""
    at = np.arange(1440) + 0.5
    lit = np.abs((at - noon * 60 + 720) % 1440 - 720) < day_hours * 30
    for start, end in lamps:
        lit |= (at - start) % 1440 < (end - start) % 1440
    if not lit.any():
        return 0.0
    ring = np.roll(lit, -int(np.flatnonzero(lit)[0]))
    longest = max((len(run) for run in "".join("1" if on else "0" for on in ring).split("1")), default=0)
    return 24 - longest / 60


@given(
    st.floats(-89, 89),
    st.dates(datetime.date(2024, 1, 1), datetime.date(2026, 12, 31)),
    st.lists(st.tuples(TIMES, TIMES).filter(lambda pair: pair[0] != pair[1]), max_size=3),
    st.integers(0, 23),
)
@settings(deadline=None, max_examples=200)
def test_a_count_of_minutes_says_the_same(latitude, date, lamps, noon):
    """Both ends of the day fall between minutes: two minutes at most."""
    here = Q(latitude, "degree")
    ours = sky.effective_day_length(here, date, [(clock(a), clock(b)) for a, b in lamps], Q(noon, "hour"))
    day = sky.day_length(here, date, "twilight").m_as("hour")
    assert ours.m_as("hour") == pytest.approx(minutes_counted(day, lamps, noon), abs=2.01 / 60)


def test_a_night_break_by_hand():
    """A day of d hours about 12, lamps 22 to 2: the evening is dark for 10 - d/2, the morning as long.

    With noon at 13 the sun sets an hour later and rises at 13 - d/2: the morning is dark for 11 - d/2.
    """
    day = sky.day_length(NORTH_40, "2025-12-21").m_as("hour")
    lamps = [("22:00", "02:00")]
    lit = sky.effective_day_length(NORTH_40, "2025-12-21", lamps, method="cbm")
    assert lit.m_as("hour") == pytest.approx(24 - (10 - day / 2))
    late = sky.effective_day_length(NORTH_40, "2025-12-21", lamps, Q(13, "hour"), "cbm")
    assert late.m_as("hour") == pytest.approx(24 - (11 - day / 2))


def test_without_lamps_the_day_itself_is_counted():
    dates = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
    latitudes = Q(np.array([[-70.0], [0], [40], [75]]), "degree")
    ours = sky.effective_day_length(latitudes, dates, method="cbm")
    assert ours.shape == (4, 365)
    assert ours.m_as("hour") == pytest.approx(sky.day_length(latitudes, dates).m_as("hour"))
    assert isinstance(sky.effective_day_length(NORTH_40, "2025-06-21").magnitude, float)


def test_polar_night_and_polar_day():
    north = Q(80, "degree")
    assert sky.effective_day_length(north, "2025-12-21").magnitude == 0
    assert sky.effective_day_length(north, "2025-12-21", [("08:00", "16:00")]).magnitude == 8
    assert sky.effective_day_length(north, "2025-06-21", [("22:00", "02:00")]).magnitude == 24


def test_long_days_of_the_almanac():
    """40 N, 14 h: 4 May to 8 August 2025 (skyfield, DE421); FAO-56 equation 34: 9 May to 3 August."""
    one = sky.inductive_periods(NORTH_40, 2025, Q(14, "hour"), method="almanac")
    assert [str(spell) for spell in one] == ["2025-05-04 to 2025-08-08"]
    two = sky.inductive_periods(NORTH_40, 2025, Q(14, "hour"), method="fao56")
    assert [str(spell) for spell in two] == ["2025-05-09 to 2025-08-03"]


@given(st.floats(-80, 80), st.floats(1, 23), st.integers(2020, 2030))
@settings(deadline=None, max_examples=40)
def test_long_and_short_days_share_the_year(latitude, critical, year):
    def dates(response):
        found = set()
        for spell in sky.inductive_periods(Q(latitude, "degree"), year, Q(critical, "hour"), response):
            days = (spell.last - spell.first).days + 1
            found |= {spell.first + datetime.timedelta(days=i) for i in range(days)}
        return found

    length = 366 if year % 4 == 0 else 365
    together = dates("long-day") | dates("short-day")
    assert len(together) == length == len(dates("day-neutral"))
    assert len(dates("long-day") & dates("short-day")) <= 2  # a day of exactly the critical length suits both


def test_a_night_break_makes_every_day_long():
    lit = sky.inductive_periods(NORTH_40, 2025, Q(14, "hour"), lamps=sky.night_break())
    assert [str(spell) for spell in lit] == ["2025-01-01 to 2025-12-31"]
    assert not sky.inductive_periods(NORTH_40, 2025, Q(14, "hour"), "short-day", lamps=[("22:00", "02:00")])


def test_the_south_has_its_long_days_over_new_year():
    first, second = sky.inductive_periods(Q(-40, "degree"), 2025, Q(14, "hour"))
    assert (first.first, second.last) == (datetime.date(2025, 1, 1), datetime.date(2025, 12, 31))


def test_lamps_to_add():
    december = sky.day_extension(NORTH_40, "2025-12-21", Q(16, "hour"), "almanac").m_as("hour")
    assert december == pytest.approx(16 - 9.327, abs=0.003)  # 9.327 h: skyfield
    assert sky.day_extension(NORTH_40, "2025-06-21", Q(14, "hour")).magnitude == 0


def test_daily_light():
    """200 umol/m2/s for 16 h: 200e-6 * 57600 = 11.52 mol/m2; 17 mol need 295."""
    assert sky.daily_light_integral(Q(200, "umol/m^2/s"), Q(16, "hour")).m_as("mol/m^2") == pytest.approx(
        11.52
    )
    many = sky.daily_light_integral(Q([200, 295.14], "umol/m^2/s"), Q(16, "hour"))
    assert many.m_as("mol/m^2") == pytest.approx([11.52, 17], abs=1e-3)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: sky.effective_day_length(40, "2025-06-21"), UnitNeeded, "latitude"),
        (lambda: sky.effective_day_length(NORTH_40, "soon"), Unreadable, "year, month and day"),
        (
            lambda: sky.effective_day_length(NORTH_40, "2025-06-21", [("22", "2:00")]),
            Unreadable,
            "clock time",
        ),
        (
            lambda: sky.effective_day_length(NORTH_40, "2025-06-21", [("25:00", "2:00")]),
            Unreadable,
            "'25:00'",
        ),
        (
            lambda: sky.effective_day_length(NORTH_40, "2025-06-21", [("22:00", 2)]),
            Unreadable,
            "2 is no clock",
        ),
        (lambda: sky.effective_day_length(NORTH_40, "2025-06-21", ["22:00"]), Unreadable, "a pair"),
        (
            lambda: sky.effective_day_length(NORTH_40, "2025-06-21", [("22:00", "22:00")]),
            Problem,
            "whole day",
        ),
        (lambda: sky.effective_day_length(NORTH_40, "2025-06-21", noon=13), UnitNeeded, "noon"),
        (
            lambda: sky.effective_day_length(NORTH_40, "2025-06-21", noon=Q(25, "hour")),
            OutOfRange,
            "clock time",
        ),
        (lambda: sky.effective_day_length(NORTH_40, "2025-06-21", method="lamp"), Problem, "twilight"),
        (lambda: sky.inductive_periods(NORTH_40, 2025.5, Q(14, "hour")), OutOfRange, "A year"),
        (lambda: sky.inductive_periods(NORTH_40, None, Q(14, "hour")), OutOfRange, "A year"),
        (lambda: sky.inductive_periods(NORTH_40, 2025, 14), UnitNeeded, "critical"),
        (lambda: sky.inductive_periods(NORTH_40, 2025, Q(14, "day")), OutOfRange, "critical photoperiod"),
        (lambda: sky.inductive_periods(NORTH_40, 2025, Q(np.nan, "hour")), OutOfRange, "not a number"),
        (
            lambda: sky.inductive_periods(NORTH_40, 2025, Q(14, "hour"), "dark"),
            Problem,
            '"long-day", "short-day"',
        ),
        (lambda: sky.inductive_periods(Q([40, 50], "degree"), 2025, Q(14, "hour")), Problem, "one latitude"),
        (lambda: sky.day_extension(NORTH_40, "2025-06-21", Q(30, "hour")), OutOfRange, "0 to 24"),
        (lambda: sky.daily_light_integral(200, Q(16, "hour")), UnitNeeded, "intensity"),
        (lambda: sky.daily_light_integral(Q(-2, "umol/m^2/s"), Q(16, "hour")), OutOfRange, "not negative"),
        (lambda: sky.daily_light_integral(Q(200, "umol/m^2/s"), Q(2, "day")), OutOfRange, "0 to 24"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
