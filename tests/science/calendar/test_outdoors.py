"""Cold, day length and heat: each rule by hand on an invented climate, then what growers would and would not sow.

The climates by hand: one temperature all year, or a wave with its peak on 15 July, nights 8 degC below the days.
"""

import dataclasses
import datetime
import re

import numpy as np
import pytest
from stilltank.science import calendar, crops
from stilltank.science.weather import Site, Weather
from stilltank.units import Problem, Q

NEVER = Q(-90, "degC")


def climate(mean, season=0.0, frosts=(), latitude=41.5, years=4):
    """A site of so many years; ``frosts`` are (year, month-day, night) that are colder than the wave."""
    dates = np.arange("2012-01-01", f"{2012 + years}-01-01", dtype="datetime64[D]")
    of_year = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int)
    middle = mean + season * np.cos(2 * np.pi * (of_year - 195) / 365.25)
    low = middle - 4
    for year, day, night in frosts:
        low[dates == np.datetime64(f"{year}-{day}")] = night
    return Site(
        "test", Q(latitude, "degree"), Q(10, "m"), Weather(dates, Q(middle + 4, "degC"), Q(low, "degC"))
    )


def crop(name="cosmos", **changes):
    """A crop that nothing stops but what is asked: 60 days from sowing (50 to 90), 16 of them as a seedling."""
    free = dict.fromkeys(
        (
            "warmest_mean",
            "warmest_mean_to_bud",
            "shortest_day",
            "shortest_day_to_plant",
            "longest_day_to_plant",
        )
    )
    none = {"planting_night": NEVER, "killing_cold": NEVER, "coldest_mean": NEVER}
    days = {
        "seedling_days": Q(16, "day"),
        "days_to_flower": Q(60, "day"),
        "days_to_flower_low": Q(50, "day"),
        "days_to_flower_high": Q(90, "day"),
        "harvest_weeks": Q(5, "week"),
    }
    return dataclasses.replace(crops.crop(name), **(free | none | days | changes))


def test_a_tender_plant_waits_for_warm_nights():
    """Nights of the wave reach 8 degC where 11 + 12 cos = 8 + 4, so cos = 1/12: 85 days before 15 July, 21 April."""
    plan = calendar.schedule(crop(planting_night=Q(8, "degC")), climate(11, 12), "2026-03-15")
    assert abs((plan.transplant - datetime.date(2026, 4, 21)).days) <= 3
    assert any("wait indoors" in reason for reason in plan.reasons)
    ready = calendar.schedule(crop(planting_night=Q(8, "degC")), climate(11, 12), "2026-05-10")
    assert ready.transplant == datetime.date(2026, 5, 26), "16 days as a seedling, and no wait"


def test_a_wait_holds_the_flowers_back():
    """60 days from sowing at 20 degC; seedlings that wait for a night in May flower 0.67 of the wait later."""
    sixty = {"days_to_flower": Q(60, "day"), "seedling_days": Q(16, "day")}
    free = calendar.schedule(crop(**sixty), climate(20), "2026-03-20")
    assert (free.first_flower.expected - free.sow).days == 60
    nights = [
        (year, f"{month:02d}-{day:02d}", 4.0)
        for year in range(2012, 2016)
        for month in (3, 4)
        for day in range(1, 31)
    ]
    held = calendar.schedule(
        crop(**sixty, planting_night=Q(8, "degC")), climate(24, frosts=nights), "2026-03-20"
    )
    waited = (held.transplant - held.sow).days - 16
    assert waited > 15
    late = (held.first_flower.expected - held.sow).days - 60 - round(0.67 * waited)
    assert late in (0, 1), "the last cold nights of April come after planting, and each costs 0.16 of a day"


def test_seedlings_that_would_wait_too_long_are_refused_with_the_season():
    with pytest.raises(Problem, match=r"waits for nights of 8 °C.*about \d+ April to \d+ October"):
        calendar.schedule(crop(planting_night=Q(8, "degC")), climate(11, 12), "2026-10-01")
    with pytest.raises(Problem, match="This place has none"):
        calendar.schedule(crop(planting_night=Q(30, "degC")), climate(11, 12), "2026-05-01")


def test_a_frost_in_one_spring_of_four_takes_its_part_of_the_chance():
    """Of that year the seven slowest of 21 steps, more than 70 days, come after 10 June: 1 - 7/84."""
    frosts = [(2013, "06-10", -1.0)]
    tender = crop(killing_cold=Q(0, "degC"))
    plan = calendar.schedule(tender, climate(20, frosts=frosts), "2026-04-01")
    assert plan.frost_share == 0.25
    assert plan.chance_by("2026-12-31") == pytest.approx(1 - 7 / 84)
    assert plan.first_flower.expected.month in (5, 6)
    assert any(reason.startswith("Frost: in 1 of 4 years") for reason in plan.reasons)


def test_planting_waits_where_frost_soon_is_likely():
    """In two springs of four there is a frost on 10 May: nothing tender goes out in the month before it."""
    frosts = [(2012, "05-10", -1.0), (2014, "05-10", -1.0)]
    plan = calendar.schedule(crop(killing_cold=Q(0, "degC")), climate(20, frosts=frosts), "2026-04-10")
    assert plan.transplant == datetime.date(2026, 5, 11)


def test_no_flower_before_the_cold_is_an_answer():
    frosts = [(year, "09-01", -5.0) for year in range(2012, 2016)]
    tender = crop(killing_cold=Q(0, "degC"))
    with pytest.raises(Problem, match=r"comes to no first flower before the cold: .*by 2026-09-01"):
        calendar.schedule(tender, climate(20, frosts=frosts), "2026-07-10")
    plan = calendar.schedule(tender, climate(20, frosts=frosts), "2026-06-20")
    assert plan.end == datetime.date(2026, 8, 31), "the harvest ends the day before"
    assert any(reason.startswith("Cold") for reason in plan.reasons)


def test_a_hardy_crop_stands_what_kills_a_tender_one():
    frosts = [(year, "09-01", -5.0) for year in range(2012, 2016)]
    here = climate(20, frosts=frosts)
    assert calendar.schedule(crop(killing_cold=Q(-7, "degC")), here, "2026-07-10").end > datetime.date(
        2026, 9, 1
    )


def test_a_crop_by_days_does_not_come_on_in_the_cool():
    with pytest.raises(Problem, match="grows too cool"):
        calendar.schedule(crop(coldest_mean=Q(12, "degC")), climate(11, 12), "2026-09-10")


@pytest.mark.parametrize("wanted", ["2027-01-15", "2027-04-01"])
def test_no_date_is_sought_across_a_winter(wanted):
    """A sowing of the summer before would be in time, and long dead."""
    with pytest.raises(Problem, match=r"it is gone by 2026-.*The next sowing, on 2027-"):
        calendar.sow_for("zinnia", "new-york", wanted)


def test_day_length_refuses_with_its_season():
    """At 41.5 degrees the day is 13.5 h long from about 22 April to 19 August (almanac, from memory: within days)."""
    needs_long = crop(shortest_day=Q(13.5, "hour"))
    with pytest.raises(Problem, match=r"longer than 13.5 hours.*about (19|2\d) April to (19|2\d) August"):
        calendar.schedule(needs_long, climate(20), "2026-08-01")
    assert calendar.schedule(needs_long, climate(20), "2026-05-01").first_flower.expected.month == 6
    needs_short = crop(longest_day_to_plant=Q(14, "hour"))
    with pytest.raises(Problem, match="shorter than 14 hours"):
        calendar.schedule(needs_short, climate(20), "2026-06-01")
    assert calendar.schedule(needs_short, climate(20), "2026-06-01", Q(20, "degC")), "a room may have lamps"


def test_heat_warns_and_then_refuses():
    wants_cool = crop(warmest_mean=Q(20, "degC"), warmest_mean_high=Q(24, "degC"))
    assert not any(
        "Heat" in reason for reason in calendar.schedule(wants_cool, climate(19), "2026-05-01").reasons
    )
    assert any(
        "Heat" in reason for reason in calendar.schedule(wants_cool, climate(22), "2026-05-01").reasons
    )
    with pytest.raises(Problem, match=r"Not then.*mean of 26 °C.*at most 20 °C, kinds for warmth 24 °C"):
        calendar.schedule(wants_cool, climate(26), "2026-05-01")


# What growers would and would not sow, in three climates: verdicts of growers' pages (common practice).
WOULD = [
    ("lettuce", "2027-03-30"),
    ("basil", "2027-05-01"),
    ("zinnia", "2027-05-01"),
    ("sunflower", "2027-05-01"),
    ("calendula", "2027-03-30"),
    ("snapdragon", "2027-03-30"),
    ("spinach", "2027-03-10"),
    ("chard", "2027-05-01"),
    ("parsley", "2027-03-30"),
    ("rudbeckia", "2027-03-30"),
]
WOULD_NOT = [
    ("rudbeckia", "2027-07-01"),
    ("lisianthus", "2027-07-01"),
    ("spinach", "2027-05-01"),
    ("spinach", "2027-07-01"),
    ("zinnia", "2027-10-01"),
    ("basil", "2027-10-01"),
    ("dahlia", "2027-09-20"),
    ("china-aster", "2027-09-01"),
    ("cosmos", "2027-11-01"),
    ("celosia", "2027-09-15"),
]
PLACES = ["quillgate", "new-york", "seattle"]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("name", "sow"), WOULD)
def test_what_growers_sow_gives_dates_of_the_same_year(name, sow, place):
    plan = calendar.schedule(name, place, sow)
    assert plan.end.year == 2027
    assert plan.chance_by("2027-11-01") >= 0.75


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(("name", "sow"), WOULD_NOT)
def test_what_growers_would_not_sow_is_refused_in_words(name, sow, place):
    with pytest.raises(Problem) as caught:
        calendar.schedule(name, place, sow)
    assert len(str(caught.value).split()) <= 60


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(
    "name", ["basil", "purple-basil", "marigold", "ageratum", "dahlia", "amaranth", "zinnia"]
)
def test_no_tender_plant_stands_outdoors_in_april(name, place):
    """Sown 30 March: nine tender crops used to go out from 15 April on, at 0 to 4 degC.

    Where the nights are cold for long, they would wait more than a month in their pots: then the answer is when to sow.
    """
    planted, refusal = None, ""
    try:
        planted = calendar.schedule(name, place, "2027-03-30").transplant
    except Problem as problem:
        refusal = str(problem)
    later = re.search(r"waits for nights of .* come from about \d+ (May|June)", refusal)
    assert later if planted is None else planted >= datetime.date(2027, 4, 29)
    assert calendar.schedule(name, place, "2027-05-15").transplant >= datetime.date(2027, 5, 20)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("name", crops.names())
@pytest.mark.parametrize("sow", ["2027-03-30", "2027-05-01", "2027-07-01"])
def test_no_harvest_outlives_the_cold(name, sow, place):
    """The last harvest is not after the day by which half of the years had the cold that kills the crop."""
    try:
        plan = calendar.schedule(name, place, sow)
    except Problem:
        return
    assert plan.frost_share <= 0.5
    assert plan.first_flower.expected <= plan.end
