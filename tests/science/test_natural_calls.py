"""The names outside checks call, as a stranger would call them; and what is refused in a sentence."""

import copy
import datetime
import pickle

import numpy as np
import pandas as pd
import pytest
from stilltank.science import (
    budget,
    calendar,
    chemistry,
    crops,
    demand,
    heat,
    mixing,
    oxygen,
    ph,
    products,
    roots,
    sky,
    tank,
    weather,
)
from stilltank.tables import load, where_from
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
LETTUCE = crops.Plants("lettuce", 4)
TAP = mixing.Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
SOLUTION = mixing.mix({"KNO3": Q(5, "g"), "KH2PO4": Q(1, "g")}, Q(10, "L"), TAP)
RECIPE = mixing.weigh_out({"N": Q(150, "mg/L"), "Ca": Q(100, "mg/L")}, ["KNO3", "Ca(NO3)2.4H2O"], Q(10, "L"))
FIVE = ["2025-05-01", "2025-05-02", "2025-05-03", "2025-05-04", "2025-05-05"]
CELSIUS = Q([20, 21, 22, 23, 24], "degC"), Q([10, 11, 12, 13, 14], "degC")


def column(depth, temperature, demand=Q(1, "g/m^2/day")):  # noqa: B008
    return oxygen.WaterColumn(depth=depth, temperature=temperature, demand=demand)


def five(**more):
    return weather.Weather(FIVE, *CELSIUS, **more)


@pytest.mark.parametrize(
    "date",
    [
        datetime.date(2025, 6, 21),
        datetime.datetime(2025, 6, 21, 23, 59),
        pd.Timestamp("2025-06-21"),
        pd.Timestamp("2025-06-21", tz="UTC"),
        np.datetime64("2025-06-21T12"),
        np.str_("2025-06-21"),
        np.int32(172),
        172.0,
    ],
)
def test_one_day_however_it_is_written(date):
    assert sky.day_length(Q(40, "degree"), date) == sky.day_length(Q(40, "degree"), "2025-06-21")


@pytest.mark.parametrize(
    "date", [pd.NaT, None, float("nan"), np.datetime64("NaT", "D"), "2025-02-29", "2025", True]
)
def test_what_is_no_date(date):
    with pytest.raises(Unreadable, match="date"):
        sky.day_length(Q(40, "degree"), date)


@pytest.mark.parametrize("dates", [[1, 2, 3, 4, 5], ["2025-05", *FIVE[1:]], [None, *FIVE[1:]]])
def test_weather_takes_days_only(dates):
    with pytest.raises(Unreadable, match="date"):
        weather.Weather(dates, *CELSIUS)


def test_a_year_that_is_a_slip():
    with pytest.raises(OutOfRange, match="year 9999"):
        calendar.schedule("snapdragon", "new-york", sow="9999-12-01")


def test_several_quantities_in_a_list_are_an_array():
    listed = [Q(10, "cm"), Q(0.2, "m")]
    assert TUB.volume(listed).magnitude == pytest.approx([24, 48])
    assert type(TUB.volume(Q(np.array(10), "cm")).magnitude) is float


def test_names_do_where_objects_do():
    named = budget.season("quillgate-tub", LETTUCE, "new-york", start="2013-05-01")
    same = budget.season(
        tank.preset("quillgate-tub"), LETTUCE, weather.site("new-york"), start=datetime.date(2013, 5, 1)
    )
    pd.testing.assert_frame_equal(named.table, same.table)
    assert str(budget.ensemble(TUB, LETTUCE, "new-york", members=3).dates[0]) == "2012-01-01"
    assert crops.crop(LETTUCE.crop) is LETTUCE.crop
    by_site = demand.reference_et(weather.site("new-york"))
    assert np.array_equal(by_site.magnitude, demand.reference_et(weather.record("new-york")).magnitude)


def test_a_record_without_a_place_is_taken_to_be_from_the_site():
    here = weather.Site("Balcony", Q(-33.9, "degree"), Q(20, "m"), five())
    stated = demand.reference_et(five(), Q(-33.9, "degree"), Q(20, "m"))
    assert np.array_equal(demand.reference_et(here).magnitude, stated.magnitude)
    elsewhere = weather.Site("Balcony", Q(-33.9, "degree"), Q(20, "m"), five(latitude=Q(10, "degree")))
    assert elsewhere.weather.latitude == Q(10, "degree")


def test_two_concentrates_come_apart():
    both = mixing.stocks(RECIPE, np.float32(100), Q(1, "L"))
    a, b = both
    assert (a, b) == (both.calcium, both.sulfate_and_phosphate)
    assert a.strength == 100


def test_label_shares_may_be_arrays():
    phosphorus = chemistry.from_label(p2o5=Q([52, 0], "percent"))["P"].m_as("percent")
    assert phosphorus == pytest.approx([22.69, 0], abs=0.005)  # 52 * 0.4364, Mattson (2018)
    with pytest.raises(OutOfRange, match="120 percent"):
        chemistry.from_label(n=Q([10, 80], "percent"), k2o=Q([10, 40], "percent"))


def test_degree_days_below_the_base_are_exactly_none():
    gained = heat.degree_days(Q([1, 2], "degC"), Q([3, 9], "degC"), Q(10, "degC"))
    assert gained.magnitude.tolist() == [0, 0]


def test_no_oxygen_at_all_below_its_reach():
    found = oxygen.profile(
        Q([0, 5], "cm"), Q(8, "mg/L"), Q(10, "cm"), Q(20, "degC"), demand=Q(20, "g/m^3/day")
    )
    assert found.concentration.magnitude[1] == 0


@pytest.mark.parametrize(
    "made",
    [
        TAP,
        SOLUTION,
        RECIPE,
        mixing.stocks(RECIPE, 100, Q(1, "L")),
        products.salt("KNO3"),
        ph.acid_dose(SOLUTION, [5.8, 6], "nitric acid 38 %"),
        ph.portions(SOLUTION, 5.8, "nitric acid 38 %"),
        ph.next_portion(SOLUTION, 5.8, "nitric acid 38 %", Q(2, "mL"), 4.0),
        ph.dose_range(SOLUTION, 5.8, "nitric acid 38 %"),
        ph.serial_dilution("nitric acid 38 %", Q(0.1, "mol/L"), Q(1, "L")),
        ph.recipe_with_acid({"N": Q(99, "mg/L")}, ["KNO3"], Q(9, "L"), TAP, "nitric acid 38 %", 5.8),
        products.base("potassium carbonate"),
        ph.doses_now_and_to_hold(SOLUTION, 5.8, "nitric acid 38 %"),
        ph.rule_of_thumb(),
        TUB,
        tank.Measured(Q([10, 20], "cm"), Q([20, 45], "L")),
        roots.zones(TUB, Q([1, 2], "cm")),
        roots.root_course(TUB, Q([24, 23], "cm")),
        roots.refill(TUB, Q(15, "cm"), Q(2, "L")),
        roots.oxygen_risk(Q([1, 5], "mg/L")),
        roots.warming_effect(Q(30, "degC")),
        roots.root_oxygen(TUB, Q([24, 23], "cm"), Q(20, "degC"), members=2),
        roots.solution_temperature(TUB, Q(20, "cm"), five(latitude=Q(40, "degree"))),
        oxygen.mixed_water(column(Q([13, 12], "cm"), Q(20, "degC"))),
        LETTUCE,
        weather.site("new-york"),
        calendar.schedule("snapdragon", "new-york", "2027-03-30"),
    ],
    ids=lambda made: type(made).__name__,
)
def test_what_is_made_can_be_copied_and_stored(made):
    for again in (copy.deepcopy(made), pickle.loads(pickle.dumps(made))):
        assert type(again) is type(made)
        assert str(again) == str(made)


def test_arguments_are_left_as_they_were_and_results_are_ones_own():
    lows = np.array([10.0, 11, 12, 13, 14])
    lows.flags.writeable = False
    record = weather.Weather(FIVE, CELSIUS[0], Q(lows, "degC"))
    with pytest.raises(ValueError, match="read-only"):
        record.temperature_min.magnitude[0] = -5
    with pytest.raises(ValueError, match="read-only"):
        weather.record("new-york").dates[0] = np.datetime64("1999-01-01")
    level = np.array([10.0, 20.0])
    zones = roots.zones(TUB, Q(level, "cm"))
    zones.level.magnitude[:] = 0
    assert level.tolist() == [10, 20]
    with pytest.raises(TypeError):
        SOLUTION.elements["N"] = Q(0, "mg/L")
    with pytest.raises(TypeError):
        load("salts").of("potassium nitrate")["formula"] = None
    with pytest.raises(TypeError):
        products.acid("citric acid").reagent["citrate"] = 2


def test_a_season_and_an_ensemble_go_from_budget_to_roots_to_oxygen():
    season = budget.season(TUB, LETTUCE, "quillgate", start="2019-05-10", days=12)
    table = season.table
    for water in (season, budget.ensemble(TUB, LETTUCE, "quillgate", start="2027-05-10", days=12, members=3)):
        grown = roots.root_course(TUB, water.levels)
        level = water.levels.level
        course = oxygen.mixed_water(column(level, Q(20, "degC"), Q(1, "g/m^2/day") * (1 - grown.share)))
        assert roots.oxygen_risk(course.lowest).zone.shape == np.shape(level.magnitude)
    warm = roots.solution_temperature(TUB, season.levels, "quillgate", colour="white", shade=0.5)
    by_hour = oxygen.mixed_water(column(Q(table["level (cm)"].to_numpy(), "cm"), warm.water))
    by_day = oxygen.still_water(column(Q(table["level (cm)"].to_numpy(), "cm"), warm.daily_mean), cells=9)
    assert by_hour.mean.shape == by_day.mean.shape
    with pytest.raises(UnitNeeded, match="`depth`"):
        column(table["level (cm)"], Q(20, "degC"))


SEASON = {"start": "2013-05-01"}


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: TUB.volume(None), UnitNeeded, "You gave nothing"),
        (lambda: mixing.Water([("Ca", Q(48, "mg/L"))]), UnitNeeded, "needs its ions as"),
        (lambda: mixing.Water({5: Q(48, "mg/L")}), Unreadable, "5 is not one"),
        (
            lambda: mixing.mix({"KNO3": Q([1, 2], "g")}, Q([1, 2, 3], "L")),
            Problem,
            "3 values of `volume` and 2",
        ),
        (
            lambda: mixing.mix({"KNO3": Q([1, 2], "g")}, Q(1, "L")).conductivity(Q([10, 20, 25], "degC")),
            Problem,
            "do not fit",
        ),
        (lambda: mixing.mix({"KNO3": Q(500, "g")}, Q(1, "L")).conductivity(), OutOfRange, "ionic strength"),
        (lambda: mixing.recipe_targets(None), Problem, "has no None"),
        (
            lambda: ph.acid_dose(
                mixing.mix({"KNO3": Q([1, 2, 3], "g")}, Q(1, "L"), TAP), [5, 6], "citric acid"
            ),
            Problem,
            "do not fit",
        ),
        (lambda: where_from(None), Problem, "No table for None"),
        (lambda: chemistry.molar_mass(["KNO3"]), Unreadable, "A formula is a text"),
        (lambda: weather.read(None), Unreadable, "None is none"),
        (lambda: weather.generate(seed="a"), OutOfRange, "seed"),
        (
            lambda: sky.extraterrestrial_radiation(Q(40, "degree"), "2025-06-21"),
            Unreadable,
            "day_of_year",
        ),
        (lambda: sky.extraterrestrial_radiation(Q([1, 2], "degree"), [1, 2, 3]), Problem, "do not fit"),
        (lambda: TUB.volume(pd.Series([1.0, 2.0])), UnitNeeded, "You gave 2 values with no unit"),
        (lambda: oxygen.saturation(Q(20, "delta_degC")), UnitNeeded, "difference of temperatures"),
        (lambda: oxygen.saturation(Q([1, 2], "degC"), Q([90, 95, 99], "kPa")), Problem, "2 values of"),
        (lambda: oxygen.saturation(Q(20, "degC"), salinity=Q(5, "g/kg")), Unreadable, "plain number"),
        (lambda: oxygen.saturation(Q(20, "degC"), salinity=float("nan")), Unreadable, "plain number"),
        (
            lambda: oxygen.profile(
                Q(1, "cm"), Q([8, 7], "mg/L"), Q(9, "cm"), Q(20, "degC"), rate=Q(1, "1/day")
            ),
            Problem,
            "one value for `surface`; you gave 2",
        ),
        (lambda: tank.Box(Q([60, 50], "cm"), Q(40, "cm"), Q(32, "cm")), Problem, "one value for `length`"),
        (lambda: tank.preset(None), Problem, "None is none of them"),
        (lambda: weather.site(["new-york"]), Problem, "list is neither"),
        (lambda: weather.Site("x", Q(40, "degree"), Q(1, "m"), "rainy"), Problem, "needs a Weather"),
        (lambda: five(latitude=Q([40, 50], "degree")), Problem, "one value for `latitude`"),
        (lambda: demand.reference_et(None, Q(40, "degree"), Q(1, "m")), Problem, "You gave a NoneType"),
        (lambda: demand.hargreaves("new-york"), Problem, "hargreaves needs a Weather"),
        (lambda: demand.reference_et(five(), Q([40, 50], "degree"), Q(1, "m")), Problem, "you gave 2"),
        (lambda: crops.crop(["lettuce"]), Problem, "There is no crop"),
        (lambda: crops.Plants(None, 4), Problem, "There is no crop"),
        (lambda: crops.Plants("lettuce", "4"), OutOfRange, "'4' is not"),
        (lambda: crops.Plants("lettuce", np.array([1, 2])), OutOfRange, "whole"),
        (lambda: budget.season(TUB, "lettuce", "new-york", **SEASON), Problem, "'lettuce' is not a number"),
        (
            lambda: budget.season(TUB, LETTUCE, "new-york", days=Q(9, "day"), **SEASON),
            OutOfRange,
            "whole days",
        ),
        (lambda: budget.season(TUB, LETTUCE, "new-york", days=float("nan"), **SEASON), OutOfRange, "nan"),
        (lambda: budget.season(TUB, LETTUCE, "new-york", top_up=[1], **SEASON), Problem, "written as"),
        (
            lambda: budget.season(TUB, LETTUCE, "new-york", rain_share=Q([0.1, 0.2], ""), **SEASON),
            Problem,
            "one value for `rain_share`",
        ),
        (lambda: budget.ensemble(TUB, LETTUCE, "new-york", members="20"), OutOfRange, "whole seasons"),
        (lambda: budget.ensemble(TUB, LETTUCE, "new-york", members=2, seed=-1), OutOfRange, "seed"),
        (lambda: budget.ensemble(TUB, LETTUCE, "new-york", members=2).share_of("flood"), Problem, "flood"),
        (lambda: budget.ensemble(TUB, LETTUCE, "new-york", members=2).weekly(high=7), OutOfRange, "share"),
        (
            lambda: budget.ensemble(TUB, LETTUCE, "new-york", members=2).quantile(float("nan")),
            OutOfRange,
            "share",
        ),
        (lambda: mixing.weigh_out({"N": Q(9, "mg/L")}, None, Q(1, "L")), UnitNeeded, "needs salts"),
        (lambda: mixing.weigh_out({"N": Q(9, "mg/L")}, ["KNO3"], Q([1, 2], "L")), Problem, "`volume`"),
        (lambda: mixing.weigh_out({"N": Q([9, 8], "mg/L")}, ["KNO3"], Q(1, "L")), Problem, "`N`"),
        (lambda: mixing.stocks(RECIPE, float("nan"), Q(1, "L")), OutOfRange, "1 to 1000 times"),
        (lambda: mixing.Water({}, alkalinity=Q(9, "mg/L"), ph=float("nan")), Unreadable, "plain number"),
        (lambda: ph.acid_dose(SOLUTION, 5.8, "HNO3"), Unreadable, "how strong.*nitric acid 38 %"),
        (lambda: ph.acid_dose(SOLUTION, 5.8, "hydrochloric acid"), Unreadable, "how strong"),
        (lambda: ph.acid_dose(SOLUTION, 58, "citric acid"), OutOfRange, "between 0 and 14; 58 is not"),
        (lambda: ph.acid_dose(SOLUTION, ["a"], "citric acid"), Unreadable, "plain number such as 5.8"),
        (lambda: ph.titrate(SOLUTION, "citric acid", np.linspace(0, 3, 5)), UnitNeeded, "titrate.*5 values"),
        (lambda: roots.refill_limit(None, Q(9, "cm")), Problem, "needs a tank for `tank`"),
        (lambda: roots.refill_limit(TUB, Q(9, "cm"), hung_clear="no"), Problem, "True or False"),
        (lambda: roots.refill_limit(TUB, Q(9, "cm"), Q([1, 2], "cm")), Problem, "`immersion`"),
        (lambda: roots.day_pots_clear(TUB, Q([], "cm")), Problem, "it got 0"),
        (lambda: roots.rain_for_rise(TUB, Q(9, "cm"), rain_share="all"), Unreadable, "plain number"),
        (lambda: roots.rain_for_rise(TUB, Q(9, "cm"), rain_share=float("nan")), Unreadable, "plain number"),
        (lambda: sky.day_length(Q([10, 20], "degree"), [1, 2, 3]), Problem, "do not fit"),
        (lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), Q(500, "degC")), OutOfRange, "air is between"),
        (lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), None), UnitNeeded, "`base`"),
        (lambda: heat.days_to_flower(None, Q(20, "degC")), Problem, "There is no crop"),
        (lambda: calendar.schedule("zinnia", weather.record("new-york"), "2027-05-01"), Problem, "A site is"),
        (lambda: calendar.sow_for("zinnia", "new-york", "2027-07-01", chance="0.8"), Unreadable, "chance"),
        (lambda: calendar.sow_for("zinnia", "new-york", "2027-07-01", chance=80), OutOfRange, "chance"),
        (
            lambda: calendar.succession(
                "zinnia", "new-york", "2027-07-01", "2027-08-01", every=Q([7, 9], "day")
            ),
            Problem,
            "`every`",
        ),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()


def test_a_concentrate_is_described_without_a_conductivity():
    # Far above its range the equation turns negative; it was once shown as 0.00 mS/cm.
    assert "too strong to compute" in str(mixing.mix({"KNO3": Q(5, "kg")}, Q(10, "L")))


def test_many_volumes_and_waters_at_once():
    doses = ph.acid_dose(mixing.mix({"KNO3": Q(5, "g")}, Q([10, 20], "L"), TAP), 5.8, "nitric acid 38 %")
    assert doses.volume.magnitude[1] == pytest.approx(2 * doses.volume.magnitude[0], rel=0.01)
    assert str(doses).startswith("2 doses")
    two = mixing.Water({}, alkalinity=Q(130, "mg/L"), ph=[7.6, 7.8], temperature=Q([10, 20], "degC"))
    assert "pH 7.6 to 7.8, 10 to 20 °C" in str(two)
    assert calendar.tanks_needed([], []) == 0


def test_empty_series_are_said_to_be_empty():
    assert str(roots.zones(TUB, Q([], "cm"))) == "no levels"
    assert str(roots.refill_limit(TUB, Q([], "cm"))) == "no levels"
    assert TUB.level(Q([], "L")).magnitude.size == 0


def test_a_trace_too_small_to_count_does_not_stop_the_search():
    # Hypothesis found 5e-324 mol/kg of Mg beside citrate: its share in the pairs has no digits left.
    from stilltank.science.chemistry.equilibrium import solve

    state = {"Ca": 1 / 64, "citrate": 1 / 64, "strong_charge": 1 / 32, "temperature": 0.0}
    assert solve(state | {"Mg": 5e-324}).ph == solve(state).ph
