"""Schedules against a plain day-by-day loop, forwards against backwards, and the odd corners of the calendar."""

import dataclasses
import datetime
import re

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
    _, middle, _ = heat.thermal_time_range(crops.crop(name))
    low, high = 0.8 * middle, 1.2 * middle  # as wide as kinds differ: wider than one kind's own range

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
    """Snapdragon at 20 degC: 681/(20 - 4.59) = 44.2, so 45 days from a transplant 27 days after sowing.

    Kinds differ by a fifth to either side: 0.8 x 44.2 = 35.4 and 1.2 x 44.2 = 53.03 days.
    """
    plan = calendar.schedule("snapdragon", steady(20), sow="2026-05-01")
    assert plan.transplant == datetime.date(2026, 5, 28)
    assert plan.first_flower.expected == datetime.date(2026, 5, 28) + 45 * DAY
    assert plan.first_flower.early == datetime.date(2026, 5, 28) + 36 * DAY
    assert plan.first_flower.late == datetime.date(2026, 5, 28) + 54 * DAY
    assert plan.end == plan.first_flower.late + 35 * DAY, "nothing ends it there, so five weeks of harvest do"


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
    once = crops.crop(name).cut == "once" and name not in crops.names("flower")
    cut_short = any(reason.startswith(("Cool", "Cold")) for reason in plan.reasons)
    assert (window.expected if once or cut_short else window.late) <= plan.end
    assert plan.harvest_end.early <= plan.end <= plan.harvest_end.late
    assert plan.event == ("first flower" if name in crops.names("flower") else "first harvest")
    assert plan.event in str(plan)
    assert plan.time_in_tank.m_as("day") == (plan.end - plan.transplant).days


def test_weeks_of_harvest_count_from_the_late_plants():
    """Flowers cut once or for weeks are cut until the late plants are done; lettuce is cleared as it is ready."""
    nigella = calendar.schedule(bare("nigella"), steady(15), sow="2026-04-20")
    assert nigella.end == nigella.first_flower.late + 14 * DAY
    assert nigella.harvest_end.late == nigella.first_flower.late + 21 * DAY
    sunflower = calendar.schedule(bare("sunflower"), steady(15), sow="2026-04-20")
    assert sunflower.end == sunflower.first_flower.late + 7 * DAY
    lettuce = calendar.schedule(bare("lettuce"), steady(15), sow="2026-04-20")
    assert lettuce.end == lettuce.first_flower.expected + 7 * DAY
    assert lettuce.harvest_end.late >= lettuce.first_flower.late


def wave(cold=None):
    """Four years of 12 + 12 cos, the peak on 15 July, nights 4 degC below the mean; ``cold`` by year is one night."""
    here = steady(12, "2012-01-01", "2016-01-01", season=12)
    record = here.weather
    low = record.temperature_min.magnitude.copy()
    for day, degrees in (cold or {}).items():
        low[record.dates == np.datetime64(day)] = degrees
    return dataclasses.replace(here, weather=Weather(record.dates, record.temperature_max, Q(low, "degC")))


def test_a_crop_cut_until_the_cold_ends_with_it_in_each_year():
    """A night of -5 degC on 1, 5, 9 and 13 September of four years: the second year of four is half of them."""
    nights = {
        f"{year}-09-{day:02d}": -5.0 for year, day in zip(range(2012, 2016), (1, 5, 9, 13), strict=True)
    }
    dates = (datetime.date(2026, 8, 31), datetime.date(2026, 9, 4), datetime.date(2026, 9, 12))
    tender = dataclasses.replace(bare("zinnia"), killing_cold=Q(0, "degC"), harvest_until="cold")
    plan = calendar.schedule(tender, wave(nights), sow="2026-05-01")
    assert (plan.harvest_end.early, plan.end, plan.harvest_end.late) == dates
    assert any(reason.startswith("Cold") for reason in plan.reasons)
    for_weeks = dataclasses.replace(tender, harvest_until="weeks", harvest_weeks=Q(3, "week"))
    assert calendar.schedule(for_weeks, wave(nights), "2026-05-01").end == plan.first_flower.late + 21 * DAY
    indoors = calendar.schedule(tender, wave(nights), "2026-05-01", Q(20, "degC"))
    assert indoors.end == indoors.first_flower.late + round(tender.harvest_weeks.m_as("day")) * DAY


def test_a_crop_cut_until_the_cold_stops_where_it_is_too_cool():
    """12 + 12 cos = 9 where cos = -0.25: 105.8 days after 15 July, 29 October; a week's mean moves it little."""
    cool = dataclasses.replace(bare("zinnia"), coldest_mean=Q(9, "degC"), harvest_until="cold")
    plan = calendar.schedule(cool, wave(), sow="2026-05-01")
    assert abs((plan.end - datetime.date(2026, 10, 29)).days) <= 2
    assert any(reason.startswith("Cool") for reason in plan.reasons)


def test_heat_ends_a_harvest_but_leaves_late_plants_their_shortest():
    """12 + 12 cos = 22 where cos = 0.833: 34 days before 15 July, 11 June; a fortnight's mean is a week later."""
    cool = dataclasses.replace(
        bare("calendula"), warmest_mean=Q(22, "degC"), warmest_mean_high=Q(30, "degC"), harvest_until="heat"
    )
    early = calendar.schedule(cool, wave(), sow="2026-01-20", decided=True)
    assert early.first_flower.late + 21 * DAY < early.end
    assert abs((early.end - datetime.date(2026, 6, 18)).days) <= 2
    late = calendar.schedule(cool, wave(), sow="2026-04-20")
    assert late.end == late.first_flower.late + 21 * DAY, "three weeks are the shortest of its range"
    autumn = calendar.schedule(cool, wave(), sow="2026-08-01", decided=True)
    assert autumn.end > autumn.first_flower.late + 21 * DAY, "heat is over, and it goes on"


def test_an_end_of_ones_own():
    own = calendar.schedule("zinnia", NEW_YORK, "2026-05-01", until="2026-09-01")
    free = calendar.schedule("zinnia", NEW_YORK, "2026-05-01")
    assert own.end == datetime.date(2026, 9, 1) < free.end
    assert own.first_flower == free.first_flower
    assert any(f"would go on until about {free.end}" in reason for reason in own.reasons)
    hasty = calendar.schedule("zinnia", NEW_YORK, "2026-05-01", until=free.first_flower.early)
    assert any("before the late plants are ready" in reason for reason in hasty.reasons)
    tardy = calendar.schedule("zinnia", NEW_YORK, "2026-05-01", until="2026-12-30")
    assert any("is over about" in reason for reason in tardy.reasons)
    with pytest.raises(Problem, match="go into the tank on 2026-05-17; an end on 2026-05-10"):
        calendar.schedule("zinnia", NEW_YORK, "2026-05-01", until="2026-05-10")


def test_crops_without_thermal_time_say_so():
    """At 20 degC a crop takes the days that are known of it; at 10 degC each day in the tank counts 0.6."""
    cosmos = bare("cosmos")
    low, middle, high = (
        round(getattr(cosmos, f"days_to_flower{end}").m_as("day")) for end in ("_low", "", "_high")
    )
    plan = calendar.schedule(cosmos, steady(20), sow="2026-04-20")
    window = plan.first_flower
    assert [(day - plan.sow).days for day in (window.early, window.expected, window.late)] == [
        low,
        middle,
        high,
    ]
    assert any("No thermal time is published" in reason for reason in plan.reasons)
    cool = calendar.schedule(cosmos, steady(10), sow="2026-04-20").first_flower
    raised = round(cosmos.seedling_days.m_as("day"))
    assert (cool.expected - plan.sow).days == raised + np.ceil((middle - raised) / 0.6 - 1e-9)
    warm = calendar.schedule(cosmos, steady(26), sow="2026-04-20").first_flower
    assert warm == window, "warmth beyond that of the seedlings gains nothing"


def test_a_packet_replaces_the_days_and_keeps_the_slope():
    """60 days on a packet of sunflowers: 60 - 8 to emerge, times 20 + 1.3, 1107.6 degC day; 42.1 days at 25 degC."""
    quick = heat.with_packet_days("sunflower", Q(60, "day"))
    assert quick.thermal_time.m_as("delta_degC*day") == pytest.approx(52 * 21.3)
    assert heat.days_to_flower(quick, Q(25, "degC")).expected.m_as("day") == pytest.approx(52 * 21.3 / 26.3)
    plan = calendar.schedule(quick, steady(20), sow="2026-05-01").first_flower
    assert (plan.expected - datetime.date(2026, 5, 1)).days == 60
    assert (plan.early, plan.late) == (
        plan.expected - 5 * DAY,
        plan.expected + 6 * DAY,
    )  # 52 x 0.1, whole days
    wide = calendar.schedule("sunflower", steady(20), sow="2026-05-01").first_flower
    assert wide.late - wide.early > plan.late - plan.early
    potted = heat.with_packet_days("sunflower", Q(44, "day"), "transplant")
    assert potted.thermal_time == quick.thermal_time, "16 days as a seedling"
    cosmos = heat.with_packet_days(bare("cosmos"), Q(70, "day"))
    assert (
        calendar.schedule(cosmos, steady(20), "2026-05-01").first_flower.expected
    ).isoformat() == "2026-07-10"
    with pytest.raises(OutOfRange, match="Look whether it counts from sowing"):
        heat.with_packet_days("sunflower", Q(20, "day"))
    with pytest.raises(Problem, match="Neither a thermal time nor days"):
        heat.with_packet_days(crops.Crop(name="weed"), Q(50, "day"))


def test_a_pinched_crop_flowers_later_and_bears_more():
    """Sunflower: 6, 8 or 10 days later in equal parts of the range, so the middle moves by 8; 3.6 stems for one."""
    plain, pinched = (
        calendar.schedule(one, steady(20), "2026-05-01")
        for one in (crops.crop("sunflower"), crops.pinched("sunflower"))
    )
    assert pinched.first_flower.expected == plain.first_flower.expected + 8 * DAY
    assert pinched.crop.stems_per_plant == 3.6
    assert pinched.crop.stems_per_plant_high == 4.6
    assert any("40 percent narrower" in reason for reason in pinched.reasons)
    assert crops.pinched(pinched.crop) is pinched.crop, "a tip is taken once"
    with pytest.raises(Problem, match="Pinching is not for stock"):
        crops.pinched("stock")


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


def test_too_much_certainty_names_the_best_sowing():
    """Seedlings wait for mild nights, so no earlier sowing helps: the refusal says what can be had, and it can."""
    with pytest.raises(Problem, match=r"the best, on 2027-0[1-4]-\d\d, has 0\.\d+") as caught:
        calendar.sow_for("dahlia", "quillgate", "2027-07-01", chance=0.95)
    day, chance = re.search(r"on (\S+), has ([\d.]+)\.", str(caught.value)).groups()
    assert calendar.schedule("dahlia", "quillgate", day).chance_by("2027-07-01") == pytest.approx(
        float(chance), abs=0.01
    )


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
        taken_over = dataclasses.replace(crops.crop("snapdragon"), harvest_until="weeks")
        assert batch == calendar.sow_for(taken_over, NEW_YORK, wanted)
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
