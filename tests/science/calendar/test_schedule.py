"""Schedules against a plain day-by-day loop, forwards against backwards, and the odd corners of the calendar."""

import dataclasses
import datetime

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from stilltank.science import calendar, crops, heat, weather
from stilltank.science.sky import ONE_DAY
from stilltank.science.weather import Site, Weather, record, site
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

NEW_YORK = site("new-york")
DAY = datetime.timedelta(days=1)
NEVER = Q(-90, "degC")


def bare(name):
    """The crop as if no cold could hurt it and no heat or day length mattered: warmth and days alone decide."""
    free = dict.fromkeys(
        (
            "warmest_mean",
            "warmest_mean_to_bud",
            "shortest_day",
            "shortest_day_to_plant",
            "longest_day_to_plant",
        )
    )
    return dataclasses.replace(
        crops.crop(name), planting_night=NEVER, killing_cold=NEVER, coldest_mean=NEVER, **free
    )


def steady(degrees, start="2013-01-01", end="2016-01-01", swing=8.0, season=0.0, latitude=40.0):
    """An invented site: one temperature, or a yearly wave of ``season`` degC with its peak on 15 July."""
    dates = np.arange(start, end, dtype="datetime64[D]")
    of_year = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)
    mean = degrees + season * np.cos(2 * np.pi * (of_year - 195) / 365.25)
    weather = Weather(dates, Q(mean + swing / 2, "degC"), Q(mean - swing / 2, "degC"))
    return Site("test", Q(latitude, "degree"), Q(10, "m"), weather)


def loop(name, sow, years_of_weather, total):
    """First flower by plain Python: one start year, one thermal total; crops counted from transplant or sowing."""
    one = crops.crop(name)
    base, upper = one.base_temperature.m_as("degC"), one.optimum_temperature
    upper = np.inf if upper is None else upper.m_as("degC")
    seedling = int(one.seedling_days.m_as("day"))
    day, gained = sow + seedling * DAY, 0.0
    if one.thermal_phase == "sowing":
        gained = seedling * (20 - base)
    while gained < total:
        mean = years_of_weather(day)
        gained += max(min(mean, upper) - base, 0)
        day += DAY
    return day


@pytest.mark.parametrize("name", ["snapdragon", "zinnia"])
@pytest.mark.parametrize(
    "sow", ["2026-01-10", "2026-04-01", "2026-07-20", "2026-11-15", "2027-12-20", "2028-02-01"]
)
def test_forwards_is_a_loop_over_days(name, sow):
    """The range's ends are the earliest of all years with the least, the latest with the largest thermal total."""
    weather = record("new-york")
    means = dict(zip(weather.dates.tolist(), weather.temperature_mean.magnitude, strict=True))
    years = weather.years
    begin = datetime.date.fromisoformat(sow)
    low, _, high = heat.thermal_time_range(crops.crop(name))

    def year_by_year(shift):
        def mean(day):
            year = years[(day.year + shift) % len(years)]
            feb_29 = (day.month, day.day) == (2, 29) and year % 4
            return means[day.replace(year=year, day=28 if feb_29 else day.day)]

        return mean

    early = min(loop(name, begin, year_by_year(k), low) for k in range(len(years)))
    late = max(loop(name, begin, year_by_year(k), high) for k in range(len(years)))
    found = calendar.schedule(bare(name), NEW_YORK, sow=sow).first_flower
    assert (found.early, found.late) == (early, late)
    assert early <= found.expected <= late


def test_a_steady_site_by_hand():
    """Snapdragon at 20 degC: 681/(20 - 4.59) = 44.2, so 45 days from a transplant 27 days after sowing."""
    plan = calendar.schedule("snapdragon", steady(20), sow="2026-05-01")
    assert plan.transplant == datetime.date(2026, 5, 28)
    assert plan.first_flower.expected == datetime.date(2026, 5, 28) + 45 * DAY
    assert plan.first_flower.early == datetime.date(2026, 5, 28) + 42 * DAY  # 641/15.41 = 41.6
    assert plan.first_flower.late == datetime.date(2026, 5, 28) + 48 * DAY  # 725/15.41 = 47.05
    assert plan.end == plan.first_flower.expected + 35 * DAY  # five weeks


def test_phases_by_hand():
    """At 20 degC all the way, seedlings too: bedding zinnia 838/15.9 = 52.7; sunflower 8 + 1351.7/21.3 = 71.5."""
    zinnia = calendar.schedule("bedding-zinnia", steady(20), sow="2026-05-01")
    assert zinnia.first_flower.expected == datetime.date(2026, 5, 1) + 53 * DAY
    sunflower = calendar.schedule("sunflower", steady(20), sow="2026-05-01")
    assert sunflower.first_flower.expected == datetime.date(2026, 5, 1) + 72 * DAY


def test_a_room_counts_its_own_temperature():
    outside = calendar.schedule("snapdragon", steady(5), "2026-05-01", temperature=Q(20, "degC"))
    assert outside.first_flower == calendar.schedule("snapdragon", steady(20), "2026-05-01").first_flower
    indoors = Site("room", Q(40, "degree"), Q(10, "m"), None, "indoors")
    inside = calendar.schedule("snapdragon", indoors, "2026-05-01")
    assert inside.first_flower == outside.first_flower
    assert any("20 degC in the room" in reason for reason in inside.reasons)


@pytest.mark.parametrize("name", crops.names())
def test_every_crop_gives_a_schedule(name):
    sow = "2026-02-20" if name in ("stock", "pansy", "spinach") else "2026-04-20"
    plan = calendar.schedule(name, NEW_YORK, sow=sow)
    window = plan.first_flower
    assert plan.sow < plan.transplant <= window.early <= window.expected <= window.late
    assert window.late <= plan.end
    assert plan.event == ("first flower" if name in crops.names("flower") else "first harvest")
    assert plan.event in str(plan)
    assert plan.time_in_tank.m_as("day") == (plan.end - plan.transplant).days


def test_the_tank_is_free_only_after_the_late_first_flower():
    """Lettuce is cut once, nine weeks from sowing at the latest (common practice) and a week to eat it."""
    lettuce = calendar.schedule("lettuce", NEW_YORK, sow="2026-04-20")
    assert lettuce.end == lettuce.sow + (63 + 7) * DAY
    # at a steady 9 degC snapdragon spreads little: five weeks of harvest reach beyond the late first flower
    steadily = calendar.schedule("snapdragon", steady(9), sow="2026-07-15")
    assert steadily.end == steadily.first_flower.expected + 35 * DAY > steadily.first_flower.late
    # in autumn a slow year of a plant that nothing kills waits for spring, long after an early one has gone
    autumn = calendar.schedule(bare("snapdragon"), NEW_YORK, sow="2026-08-20")
    assert autumn.first_flower.late > autumn.first_flower.expected + 35 * DAY
    assert autumn.end == autumn.first_flower.late


def test_a_crop_is_cut_once_or_again():
    again = dataclasses.replace(crops.crop("lettuce"), cut="again")
    plan = calendar.schedule(again, NEW_YORK, sow="2026-04-20")
    assert plan.end == plan.first_flower.late == plan.sow + 63 * DAY  # 49 + 7 days would be earlier
    with pytest.raises(Problem, match='"once" or "again"'):
        dataclasses.replace(again, cut="often")


def test_crops_without_thermal_time_say_so():
    plan = calendar.schedule("cosmos", NEW_YORK, sow="2026-04-20")
    assert plan.first_flower.early == plan.sow + 60 * DAY
    assert plan.first_flower.late == plan.sow + 100 * DAY
    assert any("No thermal time is published" in reason for reason in plan.reasons)


dates = st.dates(datetime.date(2023, 1, 1), datetime.date(2032, 12, 31))


@given(dates, st.sampled_from(["snapdragon", "zinnia", "sunflower"]), st.floats(0.05, 1))
@settings(max_examples=60, deadline=None)
def test_backwards_is_the_last_sowing_in_time(wanted, name, chance):
    name = bare(name)
    try:
        found = calendar.sow_for(name, NEW_YORK, wanted, chance)
    except Problem:  # those in time are over by then: test_outdoors.py
        assume(False)
    assert found.chance_by(wanted) >= chance - 1e-9
    later = calendar.schedule(name, NEW_YORK, found.sow + DAY)
    assert later.chance_by(wanted) < chance
    again = calendar.schedule(name, NEW_YORK, found.sow)
    assert again.first_flower == found.first_flower


@given(dates, st.sampled_from(["snapdragon", "sunflower"]))
@settings(max_examples=60, deadline=None)
def test_forwards_then_backwards_comes_home(sow, name):
    """Wanting the latest day of a sowing with certainty gives that sowing, or a later one just as good."""
    name = bare(name)
    there = calendar.schedule(name, NEW_YORK, sow)
    back = calendar.sow_for(name, NEW_YORK, there.first_flower.late, chance=1)
    assert back.sow >= sow
    assert back.first_flower.late <= there.first_flower.late


@given(dates, st.sampled_from(["snapdragon", "zinnia"]))
@settings(max_examples=40, deadline=None)
def test_later_sown_is_never_earlier_in_flower(sow, name):
    one, two = (calendar.schedule(bare(name), NEW_YORK, day) for day in (sow, sow + DAY))
    for which in ("early", "expected", "late"):
        assert getattr(one.first_flower, which) <= getattr(two.first_flower, which)


def test_more_certainty_is_an_earlier_sowing():
    sowings = [
        calendar.sow_for("snapdragon", NEW_YORK, "2026-07-01", chance=c).sow for c in (0.5, 0.8, 0.95, 1)
    ]
    assert sowings == sorted(sowings, reverse=True)
    assert sowings[0] > sowings[-1]


def test_the_south_has_its_summer_in_january():
    south = steady(15, season=-9, latitude=-38)
    spring, autumn = (calendar.schedule("zinnia", south, sow=day) for day in ("2026-10-01", "2026-04-01"))
    assert (spring.first_flower.expected - spring.sow) < (autumn.first_flower.expected - autumn.sow)
    north = calendar.schedule("zinnia", steady(15, season=9), sow="2026-04-01")
    half_a_year = north.first_flower.expected - north.sow - (spring.first_flower.expected - spring.sow)
    assert abs(half_a_year.days) <= 2  # the same wave, half a year apart


def test_over_new_year_and_leap_day():
    """At a steady 10 degC the days do not depend on the date: 681/5.41 = 125.9."""
    for sow in ("2027-11-20", "2028-02-01", "2028-02-29", "2023-12-31"):
        plan = calendar.schedule("snapdragon", steady(10), sow=sow)
        assert (plan.first_flower.expected - plan.transplant).days == 126


def test_frost_is_said_and_only_when_there_is_one():
    tender = dataclasses.replace(crops.crop("calendula"), killing_cold=Q(0, "degC"), planting_night=NEVER)
    some = calendar.schedule(tender, NEW_YORK, sow="2026-03-18")  # ready on 8 April
    late = [weather.frost_dates(NEW_YORK.weather)[0].dates[year] for year in NEW_YORK.weather.years]
    after = [day.replace(year=2026) >= some.transplant for day in late]
    assert some.frost_share == sum(after) / 4
    assert any(reason.startswith("Frost") for reason in some.reasons) == (some.frost_share > 0)
    assert calendar.schedule("calendula", NEW_YORK, "2026-03-10", Q(20, "degC")).frost_share is None
    warm = calendar.schedule("snapdragon", NEW_YORK, sow="2026-05-01")
    assert not any("Frost" in reason for reason in warm.reasons)
    assert warm.frost_share == 0


def test_succession_is_even_in_flower_and_uneven_in_sowing():
    plan = calendar.succession("snapdragon", NEW_YORK, "2026-06-25", "2026-08-20", every=Q(14, "day"))
    assert len(plan) == 5
    for batch, wanted in zip(
        plan, np.arange("2026-06-25", "2026-08-21", 14, dtype="datetime64[D]"), strict=True
    ):
        assert batch == calendar.sow_for("snapdragon", NEW_YORK, wanted)
    steps = np.diff([batch.sow.toordinal() for batch in plan])
    assert steps[0] > steps[-1] >= 14 - 3  # a spring sowing gains little warmth, so it must lie well ahead
    assert str(plan).endswith(f"5 sowings, {plan.tanks} tanks")


def test_five_weeks_in_the_tank_and_one_harvest_a_week_need_five_tanks():
    starts = np.arange("2026-05-01", "2026-09-01", 7, dtype="datetime64[D]")
    ends = starts + 35 * ONE_DAY
    assert calendar.tanks_needed(starts, ends, Q(0, "day")) == 5
    assert calendar.tanks_needed(starts, ends) == 6  # a day of cleaning, and the next batch waits
    assert calendar.tanks_needed(starts[:1], ends[:1]) == 1


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(0, 40)), min_size=1, max_size=12))
@settings(deadline=None)
def test_tanks_needed_counts_the_fullest_day(batches):
    day0 = np.datetime64("2026-01-01")
    days = day0 + np.arange(101).astype("timedelta64[D]")
    starts = [days[start] for start, _ in batches]
    ends = [days[start + length] for start, length in batches]
    fullest = max(sum(s <= day < e for s, e in zip(starts, ends, strict=True)) for day in days)
    assert calendar.tanks_needed(starts, ends, Q(0, "day")) == fullest


def test_a_crop_of_ones_own():
    own = dataclasses.replace(crops.crop("calendula"), days_to_flower=Q(55, "day"))
    assert calendar.schedule(own, NEW_YORK, "2026-05-01").first_flower.expected <= datetime.date(2026, 7, 1)


def test_a_site_may_be_named():
    assert calendar.schedule("zinnia", "new-york", "2026-05-01") == calendar.schedule(
        "zinnia", NEW_YORK, "2026-05-01"
    )
    with pytest.raises(Problem, match="new-york"):
        calendar.schedule("zinnia", "new-yerk", "2026-05-01")


SHORT = steady(20, "2013-03-01", "2014-02-01")


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: calendar.schedule("snapdragon", NEW_YORK, "soon"), Unreadable, "year, month and day"),
        (lambda: calendar.schedule("snapdragon", NEW_YORK, "2026-02-29"), Unreadable, "2026-02-29"),
        (lambda: calendar.schedule("snapdragon", NEW_YORK, ["2026-02-01"]), Unreadable, "One date"),
        (lambda: calendar.schedule("snapdragon", NEW_YORK, 120), Unreadable, "date is needed"),
        (lambda: calendar.schedule("snapdragon", SHORT, "2026-02-01"), Problem, "whole calendar year"),
        (lambda: calendar.schedule("snapdragon", steady(2, swing=0), "2026-02-01"), Problem, "too cold"),
        (
            lambda: calendar.schedule("snapdragon", NEW_YORK, "2026-02-01", temperature=20),
            UnitNeeded,
            "temperature",
        ),
        (
            lambda: calendar.schedule("basil", NEW_YORK, "2026-02-01", Q(200, "degC")),
            OutOfRange,
            "room for plants",
        ),
        (lambda: calendar.schedule("basil", NEW_YORK, "2026-02-01", Q([20], "degC")), Problem, "not a list"),
        (
            lambda: calendar.schedule(crops.Crop(name="weed"), NEW_YORK, "2026-02-01"),
            Problem,
            "days_to_flower=",
        ),
        (lambda: calendar.sow_for("snapdragon", NEW_YORK, "2026-06-01", chance=0), OutOfRange, "chance"),
        (lambda: calendar.sow_for("snapdragon", NEW_YORK, "2026-06-01", chance=80), OutOfRange, "chance"),
        (lambda: calendar.sow_for("snapdragon", steady(2), "2026-06-01"), Problem, "No sowing"),
        (
            lambda: calendar.succession("zinnia", NEW_YORK, "2026-07-01", "2026-06-01"),
            Problem,
            "before the first",
        ),
        (
            lambda: calendar.succession("zinnia", NEW_YORK, "2026-06-01", "2026-07-01", every=Q(0.5, "day")),
            OutOfRange,
            "whole number of days",
        ),
        (
            lambda: calendar.succession("zinnia", NEW_YORK, "2026-06-01", "2036-07-01", every=Q(1, "day")),
            OutOfRange,
            "batches",
        ),
        (lambda: calendar.tanks_needed(["2026-06-01"], ["2026-05-01"]), Problem, "later"),
        (lambda: calendar.tanks_needed(["2026-06-01"], ["2026-07-01"], Q(-1, "day")), OutOfRange, "cleaning"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


@pytest.mark.parametrize("days", [0, 0.5, 1e19, float("nan"), float("inf")])
def test_a_step_or_a_cleaning_that_cannot_be_is_refused_in_words(days):
    with pytest.raises(OutOfRange, match=r"whole number of days|not a number"):
        calendar.succession("zinnia", "quillgate", "2027-07-01", "2027-08-01", every=Q(days, "day"))
    if days > 1 or days != days:
        with pytest.raises(OutOfRange):
            calendar.tanks_needed(["2027-05-01"], ["2027-06-01"], Q(days, "day"))
