"""A scenario: what it fills in, seasons that begin half-way, several crops, top-ups on dates; all by hand sums."""

import dataclasses
from datetime import date

import numpy as np
import pytest
from demo_tank import ALL, CROP, NONE, TANK
from stilltank.science import budget, crops, demand, roots, tank, weather
from stilltank.science.budget import Planting, Scenario, Uncertain, by_hand, drip, float_valve, on_dates
from stilltank.science.crops import Plants
from stilltank.science.sky import ONE_DAY
from stilltank.science.weather import Weather
from stilltank.tables import load
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB, SITE = tank.preset("quillgate-tub"), weather.site("quillgate")
# the demo tank: 1 L is 1 cm, and one plant uses 0.5 L a day at 5 mm/day
STEADY = {
    "start": "2027-06-01",
    "first_level": Q(10, "cm"),
    "reference_et": Q(5, "mm/day"),
    "exposure": ALL,
    "coefficient_factor": ALL,
    "growth_timing": ALL,
    "daily_variation": NONE,
    "rain_share": ALL,
}
ONE = Plants(CROP, 1)
# 20, 30, 15 and 10 days, coefficients of 0.15, 0.9 and 0.9 (FAO-56, Tables 11 and 17)
LETTUCE = dataclasses.replace(demand.field_crop("lettuce"), canopy_area=Q(0.04, "m^2"))


def steady(plants=ONE, **choices):
    return Scenario.make(TANK, plants, None, **STEADY | choices)


def volumes(scenario):
    return scenario.season().table["volume (L)"].tolist()


def test_what_is_left_out_is_filled_in():
    made = Scenario.make("quillgate-tub", Plants(LETTUCE, 4), "quillgate", start="2027-05-10")
    assert made.tank == TUB
    assert made.plants == (Planting(LETTUCE, 4, first_day="2027-05-10"),)
    assert (made.start, made.days) == (date(2027, 5, 10), 75)  # the four stages of FAO-56, Table 11
    assert made.first_level == roots.fill_level(TUB)
    assert made.overflow_height == TUB.height
    assert made.top_up.way == "nothing"
    assert (made.members, made.seed) == (200, 1)
    rain = load("budget")["open", "rain share"]
    assert made.uncertain["rain_share"].plain == (rain.value, rain.low, rain.high)
    assert "assumption" in made.uncertain["rain_share"].origin


def test_a_season_is_the_usual_member_of_its_ensemble():
    """With nothing uncertain and a demand that is given, all members are the one season."""
    made = steady(days=15, members=3)
    assert (made.ensemble().volume.magnitude == np.array(volumes(made))).all()


def test_the_doors_are_the_scenario():
    given = {"start": "2027-06-20", "age": 40, "first_level": Q(15, "cm"), "members": 30, "seed": 4}
    made = Scenario.make(TUB, Plants("basil", 6), SITE, **given)
    assert (budget.ensemble(TUB, Plants("basil", 6), SITE, **given).volume == made.ensemble().volume).all()
    assert budget.latest_look(TUB, Plants("basil", 6), SITE, 0.8, **given).date == made.latest_look(0.8).date
    both = (budget.compare(TUB, Plants("basil", 6), SITE, **given), made.compare())
    assert both[0].table.equals(both[1].table)


# how long


@pytest.mark.parametrize(
    ("choices", "days"),
    [
        ({"days": 9}, 9),
        ({"until": "2027-06-09"}, 9),  # both days counted
        ({"until": "2027-06-01"}, 1),
        ({"until": "last stage"}, 75),  # lettuce
        ({"until": "last stage", "age": 70}, 5),
        ({}, 75),
    ],
)
def test_a_season_lasts_so_many_days_or_to_a_date(choices, days):
    made = steady(**choices)
    assert made.days == len(made.season()) == days


def cold(first_frosts):
    """Years of days at 10 degC with one frost in autumn, on the days of October given; no frost in spring."""
    dates = np.arange("2019-01-01", f"{2019 + len(first_frosts)}-01-01", dtype="datetime64[D]")
    low = np.full(dates.size, 10.0)
    for year, day in enumerate(first_frosts, 2019):
        low[dates == np.datetime64(f"{year}-10-{day:02}")] = -1
    low[dates == np.datetime64("2019-02-01")] = -1
    return Weather(
        dates,
        Q(np.full(dates.size, 20.0), "degC"),
        Q(low, "degC"),
        latitude=Q(41.5, "degree"),
        altitude=Q(0, "m"),
    )


def test_a_season_may_end_before_frost():
    # frosts on 10, 12, 14, 16 and 18 October: mean 14, deviation 3.162; one in ten before 14 - 1.2816 x 3.162 = 9.95;
    # whole days to the safe side: a frost on the 10th counts from 9.5, so the last day is the 10th
    record = cold([10, 12, 14, 16, 18])
    made = Scenario.make(TUB, Plants("basil", 4), record, start="2027-09-01", until="frost")
    assert made.days == (date(2027, 10, 10) - date(2027, 9, 1)).days + 1
    with pytest.raises(OutOfRange, match="frosts are usual there since 2027-10-10"):
        made.change(start="2027-11-01")
    spring = made.change(start="2028-04-01")
    assert spring.days == (date(2028, 10, 10) - date(2028, 4, 1)).days + 1


# who drinks, and when


def test_plants_that_come_later_drink_from_their_first_day_on():
    """One plant from the start, two more from the fourth day on, the first gone after the sixth."""
    made = steady(
        [Planting(CROP, 1, last_day="2027-06-06"), Planting(CROP, 2, first_day="2027-06-04")], days=8
    )
    # 0.5 L a plant: 0.5, 0.5, 0.5, then 1.5 three times, then 1.0 twice; below 3 L they get less, so it ends above
    assert made.season().table["demand (L)"].tolist() == pytest.approx([0.5] * 3 + [1.5] * 3 + [1.0] * 2)
    assert volumes(made)[:6] == pytest.approx([9.5, 9, 8.5, 7, 5.5, 4])


def test_replaced_plants_begin_as_seedlings():
    """Lettuce of 75 days is replaced: on its first day the new one has the first coefficient of FAO-56, 0.15."""
    old = Planting(LETTUCE, 1, last_day="2027-07-10")
    new = Planting(LETTUCE, 1, first_day="2027-07-11")
    asked = steady([old, new], days=60).season().table["demand (L)"]
    by_hand = 0.15 * 5 * 0.04  # coefficient x mm/day x m^2 of canopy, in L
    assert asked["2027-06-01"] == pytest.approx(by_hand)
    assert asked["2027-07-10"] > 3 * by_hand
    # the 35th day is halfway up from 0.15 at the 20th to 0.9 at the 50th (stages of FAO-56, Table 11): 0.525
    assert asked["2027-07-05"] == pytest.approx(0.525 * 5 * 0.04)
    assert asked["2027-07-11"] == pytest.approx(by_hand)


def test_an_age_is_the_same_as_a_first_day_in_the_past():
    by_age = steady(Plants(LETTUCE, 2), age=30)
    by_day = steady(Planting(LETTUCE, 2, first_day="2027-05-02"))  # 30 days before 1 June
    assert by_age.days == by_day.days == 45
    assert volumes(by_age) == volumes(by_day)


def test_several_crops_end_with_the_last_of_them():
    made = steady([Planting(LETTUCE, 2), Planting(LETTUCE, 2, first_day="2027-06-21")])
    assert made.days == 20 + 75


# a season that is on its way


def test_a_season_taken_up_half_way_goes_on():
    whole = steady(Plants(LETTUCE, 2))
    level = Q(whole.season().table["level (cm)"].iloc[29], "cm")
    rest = steady(Plants(LETTUCE, 2), start="2027-07-01", age=30, first_level=level)
    assert volumes(rest) == pytest.approx(volumes(whole)[30:])


def test_a_season_begins_with_what_the_meter_reads():
    """The recipe at half its strength: half the nitrate, and twice that when half the water is gone without salt."""
    recipe = "Hoagland 1"
    full = budget.nutrients(steady(days=10).season(), recipe, {})
    reading = Q(full.table["EC (mS/cm)"].iloc[0] * 9.5 / 10, "mS/cm")  # roughly that of the mixed recipe
    later = budget.nutrients(steady(days=10, first_conductivity=reading).season(), recipe, {})
    assert later.balance["N"]["filled (mg)"] == pytest.approx(full.balance["N"]["filled (mg)"], rel=0.02)
    half = steady(days=10, first_conductivity=reading / 2)
    found = budget.nutrients(half.season(), recipe, {})
    # conductivity bends a little with strength: half the reading is 0.45 to 0.5 of the salts
    assert 0.44 < found.balance["N"]["filled (mg)"] / full.balance["N"]["filled (mg)"] < 0.5
    assert found.table["N (mg/L)"].iloc[9] == pytest.approx(found.balance["N"]["filled (mg)"] / 5)
    # the first reading of the season, before any water is used, is the one that was typed
    still = half.change(reference_et=Q(0, "mm/day")).season()
    assert budget.nutrients(still, recipe, {}).table["EC (mS/cm)"].iloc[0] == pytest.approx(
        reading.magnitude / 2, rel=1e-4
    )
    nothing = half.compare([budget.nothing()], recipe, uptake={}).table.iloc[0]
    assert nothing["EC at the stop (mS/cm)"] == pytest.approx(found.table["EC (mS/cm)"].iloc[-1])
    with pytest.raises(OutOfRange, match="9 mS/cm: with this solution a meter reads"):
        budget.nutrients(steady(first_conductivity=Q(9, "mS/cm")).season(), recipe)


# what is added


def test_volumes_on_dates():
    made = steady(days=5, top_up={"2027-06-03": Q(4, "L"), date(2027, 6, 5): Q(1000, "mL")})
    assert volumes(made) == pytest.approx([9.5, 9, 12.5, 12, 12.5])
    assert made.ensemble().top_up.magnitude[0].tolist() == [0, 0, 4, 0, 1]
    assert str(made.top_up) == "5 L on 2 days, plain water"


def test_a_season_is_topped_up_by_a_routine():
    """By hand, as `compare` has it: on the 5th and 9th day 1 cm more, before the plants drink."""
    made = steady(days=10, top_up=by_hand(4, Q(10, "cm"), Q(1, "cm")))
    assert volumes(made) == pytest.approx([9.5, 9, 8.5, 8, 8.5, 8, 7.5, 7, 7.5, 7], abs=1e-6)
    valve = steady(days=4, top_up=float_valve(Q(9, "cm")))
    assert volumes(valve) == pytest.approx([9.5, 9, 9, 9], abs=1e-6)
    assert valve.season().table["top-up (L)"].tolist() == pytest.approx([0, 0, 0.5, 0.5], abs=1e-6)
    dripped = steady(days=3, top_up=drip(Q(1, "L/hour"), Q(15, "minute")))
    assert volumes(dripped) == pytest.approx([9.75, 9.5, 9.25])


def test_the_highest_level_of_a_day_is_that_before_the_plants_drink():
    poured = steady(days=2, top_up={"2027-06-02": Q(2, "L")}).season().levels
    assert poured.first_level.m_as("cm") == pytest.approx(10)
    assert poured.highest.m_as("cm") == pytest.approx([10, 11.5])
    assert poured.level.m_as("cm") == pytest.approx([9.5, 11])
    # a valve makes up for what was used, so the day's highest level is that of its morning
    valve = steady(days=4, top_up=float_valve(Q(9, "cm"))).ensemble().levels
    assert valve.highest.m_as("cm")[0] == pytest.approx([10, 9.5, 9, 9], abs=1e-6)


def test_the_ensemble_and_the_comparison_say_the_same_of_a_routine():
    routine = by_hand(3, rise=Q(2, "cm"))
    made = Scenario.make(TUB, Plants("basil", 5), SITE, start="2027-05-10", members=50, top_up=routine)
    row = made.compare([routine]).table.iloc[0]
    many = made.ensemble()
    assert row["added (L)"] == pytest.approx(np.median(many.top_up.magnitude.sum(axis=1)))
    assert row["runs dry (%)"] == pytest.approx(100 * many.share_of("run_dry"))
    submerged = roots.root_course(TUB, many.levels).too_far.any(axis=1).mean()
    assert row["above caution (%)"] == pytest.approx(100 * submerged)


def test_a_tank_that_is_topped_up_can_be_left_longer():
    alone = Scenario.make(TUB, Plants("basil", 6), SITE, start="2027-06-20", age=40, first_level=Q(15, "cm"))
    held = alone.change(top_up=float_valve(Q(14, "cm")))
    assert held.latest_look().ends
    assert not alone.latest_look().ends


def test_strength_of_what_is_added_goes_with_the_water():
    # 2 L at half strength of 15 mmol/L nitrate (Hoagland 1) bring 15 mmol, 210.1 mg of nitrogen
    made = steady(days=5, top_up=on_dates({"2027-06-02": Q(2, "L")}, 0.5))
    assert budget.nutrients(made.season(), "Hoagland 1").balance["N"]["added (mg)"] == pytest.approx(
        210.1, rel=1e-3
    )
    # a valve from the third day on: 3 x 0.5 L at full strength bring 22.5 mmol
    valve = steady(days=5, top_up=float_valve(Q(9, "cm"), 1))
    found = budget.nutrients(valve.season(), "Hoagland 1", {})
    assert found.balance["N"]["added (mg)"] == pytest.approx(22.5 * 14.007, rel=1e-3)
    # 10 L of 15 mmol/L and what the valve brought, in 9 L
    assert found.table["N (mg/L)"].iloc[-1] == pytest.approx((150 + 22.5) / 9 * 14.007, rel=1e-3)
    # of 150 mmol plants want 0.5 L x 304 mmol/L on the first day; the valve's 7.5 mmol come too late for it
    thirsty = steady(days=5, top_up=float_valve(Q(10, "cm"), 1)).season()
    assert budget.nutrients(thirsty, "Hoagland 1", {"N": Q(304, "mmol/L")}).short["N"] == date(2027, 6, 1)


# what is uncertain


def test_an_uncertain_number_is_drawn_between_its_ends():
    share = Uncertain(Q(30, "percent"), Q(20, "percent"), Q(40, "percent"), "three storms on this lid")
    made = Scenario.make(TUB, ONE, SITE, start="2027-06-01", days=3, members=3000, rain_share=share)
    drawn = made.ensemble().drawn["rain_share"]
    assert 0.2 <= drawn.min() < 0.21
    assert 0.39 < drawn.max() <= 0.4
    assert drawn.mean() == pytest.approx(0.3, abs=0.003)  # a triangle's mean: (20 + 30 + 40)/3 percent
    assert "three storms" in str(made.uncertain["rain_share"])


def test_tanks_share_a_sky():
    one = Scenario.make(TUB, Plants(LETTUCE, 4), SITE, start="2027-05-10", members=20)
    sky = one.skies()
    assert sky.rain.magnitude.shape == (20, 75)
    assert sky.members == 20
    alone, shared = one.ensemble(), one.ensemble(sky)
    assert (alone.volume == shared.volume).all()  # its own sky changes nothing
    # another tank, later and shorter, has the same rain on the same days
    other = one.change(plants=Plants("basil", 2), start="2027-05-20", days=30, seed=9)
    found = other.ensemble(sky)
    ratio = found.rain_in.magnitude / (sky.rain.magnitude[:, 10:40] * TUB.lid_area.m_as("m^2") + 1e-300)
    wet = sky.rain.magnitude[:, 10:40] > 0
    assert all(np.ptp(row[there]) < 1e-12 for row, there in zip(ratio, wet, strict=True) if there.any())
    assert other.latest_look(sky=sky).dates.tolist() == found.dates.tolist()
    assert other.compare([budget.nothing()], sky=sky).seasons == 20


def test_a_change_keeps_what_was_chosen_and_fills_in_the_rest_anew():
    made = Scenario.make(TUB, Plants(LETTUCE, 4), SITE, start="2027-05-10", first_level=Q(20, "cm"), days=30)
    assert made.change(seed=3).first_level == Q(20, "cm")
    assert made.change(until="2027-05-19").days == 10
    assert made.change(until="2027-05-19").change(days=4).days == 4
    assert made.change(days=None).days == 75
    assert made.change(first_level=None, tank="tote-60").first_level == roots.fill_level(
        tank.preset("tote-60")
    )
    assert made.days == 30


def test_what_a_scenario_says_of_itself():
    made = Scenario.make(TUB, Plants(LETTUCE, 4), SITE, start="2027-05-10", first_level=Q(8, "inch"))
    assert str(made) == "4 lettuce from 2027-05-10: 75 days, first level 8 in, no top-up; 200 seasons"
    assert "75 days from 2019-05-10 to 2019-07-23" in str(made.change(start="2019-05-10").season())
    assert "200 seasons from 2027-05-10" in str(made.skies())


BARE = dataclasses.replace(crops.crop("lettuce"), canopy_area=None)


@pytest.mark.parametrize(
    ("make", "error", "words"),
    [
        (
            lambda: steady(first_level=Q(20, "inch")),
            OutOfRange,
            "first level of 20 in: this tank is 11.81 in high",
        ),
        (
            lambda: steady(overflow_height=Q(1, "foot")),
            OutOfRange,
            "height of 1 ft: this tank is 0.9843 ft high",
        ),
        (
            lambda: steady(first_level=Q(4, "inch"), overflow_height=Q(3, "inch")),
            OutOfRange,
            "hole at 3 in is below the first level of 4 in",
        ),
        (
            lambda: steady(rain_share=Q(150, "percent")),
            OutOfRange,
            "150 % is not possible. Write 0 % to 100 %",
        ),
        (lambda: steady(reference_et=Q(9, "inch/day")), OutOfRange, "9 in/d is not possible"),
        (lambda: steady(reference_et=Q([1, -2, 3], "mm/day"), days=3), OutOfRange, "-2 mm/d"),
        (lambda: steady(top_up={"2027-06-02": Q(-1, "gallon")}), OutOfRange, "-1 US gal on 2027-06-02"),
        (lambda: by_hand(2, Q(-2, "inch")), OutOfRange, "level of -2 in is not possible"),
        (lambda: drip(Q(1, "L/hour"), Q(2000, "minute")), OutOfRange, "2000 min a day"),
        (
            lambda: steady(top_up=float_valve(Q(20, "inch"))).season(),
            OutOfRange,
            "level of 20 in is above the overflow hole or rim, at 11.81 in",
        ),
        (lambda: steady(first_conductivity=Q(-1, "mS/cm")), OutOfRange, "-1 mS/cm"),
        (lambda: steady(first_conductivity=1.5), UnitNeeded, "first_conductivity"),
        (lambda: steady(days=5, until="2027-07-01"), Problem, "not both"),
        (lambda: steady(until="2027-05-01"), OutOfRange, "2027-05-01, is before the first"),
        (lambda: steady(until="snow"), Unreadable, "The last day: 'snow' is no date"),
        (lambda: steady(until="frost"), Problem, "needs a weather record"),
        (lambda: steady(age="thirstiest"), Problem, "in how many days"),
        (lambda: steady(age="old"), OutOfRange, "days since planting; 'old'"),
        (lambda: steady(Planting(CROP, 1), age=3), Problem, "know their own age"),
        (
            lambda: steady(Planting(CROP, 1, first_day="2028-01-01"), days=9),
            OutOfRange,
            "in the tank on no day",
        ),
        (lambda: steady(Planting(CROP, 1, last_day="2027-05-01"), days=9), OutOfRange, "leave on 2027-05-01"),
        (lambda: steady(Plants(BARE, 1)), Problem, "no canopy area"),
        (lambda: steady(frost=3), Problem, "has no `frost`"),
        (lambda: steady(fist_level=Q(3, "cm")), Problem, "Did you mean `first_level`"),
        (lambda: steady(members=100_000, days=3660), OutOfRange, "Take at most 5464 seasons"),
        (lambda: steady(top_up=3), Problem, "A top-up is nothing"),
        (lambda: steady().ensemble("grey"), Problem, "what scenario.skies"),
        (lambda: steady().ensemble(steady(members=3).skies()), Problem, "3 seasons and this scenario 200"),
        (
            lambda: steady().ensemble(steady(days=3).skies()),
            Problem,
            "The sky runs from 2027-06-01 to 2027-06-03",
        ),
        (lambda: Uncertain(Q(3, ""), Q(4, ""), Q(5, "")), OutOfRange, "not between 4 and 5"),
        (lambda: Uncertain(0.3), UnitNeeded, "value"),
        (lambda: Planting("lettuce", 0), OutOfRange, "1 to 10000; 0 is not possible"),
        (
            lambda: Planting("lettuce", 1, first_day="2027-06-02", last_day="2027-06-01"),
            OutOfRange,
            "before they come",
        ),
        (lambda: dataclasses.replace(steady(), chosen={}), Problem, "Scenario.make"),
        (lambda: steady(growth_timing=Q(0, "percent")), OutOfRange, "`growth_timing` of 0"),
        (lambda: steady(daily_variation=Q(3, "dimensionless")), OutOfRange, "`daily_variation` of 3"),
        (
            lambda: steady(exposure=Uncertain(Q(1, "dimensionless"), Q(0, "dimensionless"))),
            OutOfRange,
            "Write a low end above 0",
        ),
        (lambda: budget.how_many_plants(steady([ONE, ONE])), Problem, "2 plantings"),
        (lambda: budget.how_many_plants("tub"), Problem, "Ask about a scenario"),
        (lambda: budget.TopUp("mine", "by magic"), Problem, "no way of topping up"),
    ],
)
def test_what_cannot_be_is_said_in_the_unit_of_the_person(make, error, words):
    with pytest.raises(error, match=words):
        make()


def test_a_day_of_a_dated_volume_is_inside_the_season():
    with pytest.raises(OutOfRange, match="2027-07-01 is outside the season, 2027-06-01 to 2027-06-05"):
        steady(days=5, top_up={"2027-07-01": Q(1, "L")})
    last = np.datetime64("2027-06-05")
    assert volumes(steady(days=5, top_up={last: Q(1, "L")}))[-1] == pytest.approx(8.5)
    with pytest.raises(OutOfRange):
        steady(days=5, top_up={last + ONE_DAY: Q(1, "L")})
