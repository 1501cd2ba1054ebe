"""Frost dates against a plain loop, risks against the normal curve of a handbook table, both hemispheres."""

import datetime

import numpy as np
import pytest
from stilltank.science import weather
from stilltank.science.sky import ONE_DAY
from stilltank.science.weather import Weather, record
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

NEW_YORK = record("new-york")
DAY = datetime.timedelta(days=1)


def years_with(spring_days, autumn_days, latitude=40.0, start="2011-01-01"):
    """An invented record: 10 degC at night but for a frost on these days of each half year, counted from 0."""
    first = np.datetime64(start, "D")
    halves = [
        (f"{2011 + i}-{'01' if latitude > 0 else '07'}-01", day) for i, day in enumerate(spring_days)
    ] + [(f"{2011 + i}-{'07' if latitude > 0 else '01'}-01", day) for i, day in enumerate(autumn_days)]
    dates = np.arange(first, np.datetime64(f"{2011 + len(spring_days)}-01-01"))
    low = np.full(dates.shape, 10.0)
    for begin, day in halves:
        if day is not None:
            low[((np.datetime64(begin, "D") + day * ONE_DAY) - first).astype(int)] = -1
    return Weather(dates, Q(low + 8, "degC"), Q(low, "degC"), latitude=Q(latitude, "degree"))


def test_new_york_by_a_loop():
    spring, autumn = weather.frost_dates(NEW_YORK)
    lows = dict(zip(NEW_YORK.dates.tolist(), NEW_YORK.temperature_min.m_as("degC"), strict=True))
    for year in NEW_YORK.years:
        cold = [day for day, low in lows.items() if day.year == year and low <= 0]
        assert spring.dates[year] == max(day for day in cold if day.month < 7)
        assert autumn.dates[year] == min(day for day in cold if day.month > 6)
    assert spring.years == autumn.years == 4
    assert "a risk takes 30" in str(spring)


def test_risks_by_the_normal_table():
    """Dates 90, 100, 110: mean 100, sd 10. z(0.90) = 1.2816, z(0.8413) = 1: standard normal table."""
    spring, autumn = weather.frost_dates(years_with([90, 100, 110], [90, 100, 110]))
    new_year = datetime.date(2027, 1, 1)
    assert spring.date(0.5, 2027) == new_year + 100 * DAY
    assert spring.date(0.1, 2027) == new_year + 113 * DAY  # 112.8: the next whole day
    assert spring.risk(new_year + 110 * DAY) == pytest.approx(1 - 0.8531, abs=1e-3)  # z = 1.05
    july = datetime.date(2027, 7, 1)
    assert autumn.date(0.1, 2027) == july + 87 * DAY  # 87.2: the whole day before
    assert autumn.risk(july + 90 * DAY) == pytest.approx(0.1469, abs=1e-3)  # z = -1.05
    assert weather.frost_free(spring, autumn, 0.1, 2027).magnitude == (july - new_year).days + 87 - 113


def test_the_risk_at_the_date_is_the_risk_asked_for():
    """Whole days: one day to the other side is over it, or as much as a half day moves it."""
    for season in weather.frost_dates(NEW_YORK):
        for risk in (0.05, 0.1, 0.3, 0.5, 0.8):
            day = season.date(risk, 2027)
            back = -DAY if season.name == "spring" else DAY
            assert season.risk(day) <= risk + 1e-9
            assert season.risk(day + back) > risk


def test_years_without_frost_are_kept_apart():
    """Frost in 3 springs of 6: a risk of 0.6 needs no date, one of 0.25 is the middle of the three."""
    spring, autumn = weather.frost_dates(years_with([90, None, 100, None, 110, None], [None] * 6))
    assert spring.share_with_frost == 0.5
    assert spring.date(0.6, 2027) is None
    assert spring.date(0.25, 2027) == datetime.date(2027, 1, 1) + 100 * DAY
    assert spring.risk(datetime.date(2027, 1, 1) + 100 * DAY) == pytest.approx(
        0.5 * 0.4801, abs=1e-3
    )  # z = 0.05
    assert autumn.share_with_frost == 0
    assert autumn.date(0.1, 2027) is None
    assert str(autumn) == "No frost in autumn in 6 years."
    assert weather.frost_free(spring, autumn, 0.25, 2027).magnitude == np.inf


def test_the_south_has_its_spring_in_the_second_half():
    spring, autumn = weather.frost_dates(years_with([60, 70, 80], [130, 140, 150], latitude=-38.0))
    assert spring.dates[2012] == datetime.date(2012, 7, 1) + 70 * DAY
    assert autumn.dates[2012] == datetime.date(2012, 1, 1) + 140 * DAY
    free = weather.frost_free(spring, autumn, 0.5, 2026).magnitude
    assert free == (datetime.date(2027, 1, 1) + 140 * DAY - datetime.date(2026, 7, 1) - 70 * DAY).days
    turned = weather.frost_dates(years_with([60, 70, 80], [130, 140, 150], latitude=-38.0), south=False)
    assert turned[0].dates == autumn.dates  # one frost a half: the last is the first


def test_half_a_year_that_is_not_whole_does_not_count():
    cut = NEW_YORK.between("2012-03-01", "2014-09-30")
    spring, autumn = weather.frost_dates(cut)
    assert set(spring.dates) == {2013, 2014}
    assert set(autumn.dates) == {2012, 2013}


def test_another_threshold():
    hard = weather.frost_dates(NEW_YORK, Q(28, "degF"))[0]
    light = weather.frost_dates(NEW_YORK, Q(2, "degC"))[0]
    assert all(hard.dates[year] <= light.dates[year] for year in NEW_YORK.years)


SPRING = weather.frost_dates(NEW_YORK)[0]
ONCE = weather.frost_dates(years_with([90, None], [100, 100]))


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: weather.frost_dates("new-york"), Problem, "needs a Weather"),
        (lambda: weather.frost_dates(NEW_YORK, 0), UnitNeeded, "threshold"),
        (lambda: weather.frost_dates(NEW_YORK.between("2012-02-01", "2012-05-30")), Problem, "whole half"),
        (lambda: SPRING.risk("2026-09-01"), Problem, "January to June"),
        (lambda: SPRING.risk("spring"), Unreadable, "year, month and day"),
        (lambda: SPRING.date(0, 2026), OutOfRange, "A risk"),
        (lambda: SPRING.date(10, 2026), OutOfRange, "A risk"),
        (lambda: SPRING.date("often", 2026), Unreadable, "risk"),
        (lambda: SPRING.date(0.1, 2026.5), OutOfRange, "A year"),
        (lambda: ONCE[0].risk("2026-04-01"), Problem, "at least two spring frosts"),
        (lambda: ONCE[1].date(0.1, 2026), Problem, "different days"),
        (
            lambda: weather.frost_dates(years_with([10, 180, 90], [100, 100, 100]))[0].date(0.01, 2026),
            OutOfRange,
            "leaves the spring half",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
