"""How many plants, how large a tank, how long alone: against whole ensembles of the same seasons."""

import datetime
from dataclasses import replace

import numpy as np
import pytest
from stilltank.science import budget, crops, tank, weather
from stilltank.science.budget import Scenario, latest_look
from stilltank.science.crops import Plants
from stilltank.science.roots import fill_level
from stilltank.science.tank import Box
from stilltank.units import Problem, Q

TUB, SITE = tank.preset("quillgate-tub"), weather.site("quillgate")
DRAWS = {"start": "2027-05-10", "members": 200, "seed": 11}


def how_many_plants(tub, crop, place, certainty=None, **choices):
    return budget.how_many_plants(Scenario.make(tub, Plants(crop, 1), place, **choices), certainty)


def how_large_a_tank(days, plants, place, certainty=None, age="thirstiest", **choices):
    return budget.how_large_a_tank(
        Scenario.make(TUB, plants, place, days=days, age=age, **choices), certainty
    )


def share_dry(count, days=None, what="lettuce"):
    return budget.ensemble(TUB, Plants(what, count), SITE, days=days, **DRAWS).share_of("run_dry")


@pytest.mark.parametrize("certainty", [0.5, 0.8, 0.95])
def test_one_plant_more_would_be_too_many(certainty):
    found = how_many_plants(TUB, "lettuce", SITE, certainty=certainty, **DRAWS)
    assert share_dry(found.by_water) <= 1 - certainty < share_dry(found.by_water + 1)
    assert found.share_dry == pytest.approx(share_dry(found.count))


def test_the_lid_has_room_for_five_heads():
    # a lid of 0.2 m2 and a square of 20 cm for each
    found = how_many_plants(TUB, "lettuce", SITE, days=20, **DRAWS)
    assert (found.by_room, found.count) == (5, 5)
    assert found.by_water > 5
    assert "room for 5" in str(found)
    assert (
        how_many_plants(TUB, replace(crops.crop("lettuce"), spacing=None), SITE, days=20, **DRAWS).by_room
        is None
    )


def test_a_jar_in_full_sun_may_carry_none():
    thirsty = replace(crops.crop("cosmos"), canopy_area=Q(0.3, "m^2"))
    found = how_many_plants(tank.preset("jar-4"), thirsty, SITE, **DRAWS)
    assert (found.count, found.by_water) == (0, 0)
    assert str(found).startswith("Not one plant lasts")


def test_a_holiday_takes_what_the_plants_drink_in_it():
    found = how_large_a_tank(14, Plants("lettuce", 6), SITE, age=30, **DRAWS)
    pond = Box(Q(5, "m"), Q(5, "m"), Q(2, "m"))  # never short, but its lid would catch rain
    many = budget.ensemble(pond, Plants("lettuce", 6), SITE, days=14, age=30, first_level=Q(1, "m"), **DRAWS)
    totals = many.transpired.magnitude.sum(axis=1)
    assert found.median_use.magnitude == pytest.approx(np.median(totals))
    # 95 % of 200 are 190; the sample quantile may lie one farther
    assert (totals <= found.use.magnitude + 1e-9).sum() in (190, 191)


def test_twice_the_plants_take_twice_the_water_and_surer_takes_more():
    single, double = (how_large_a_tank(10, Plants("basil", n), SITE, **DRAWS).use.magnitude for n in (3, 6))
    assert double == pytest.approx(2 * single)
    uses = [
        how_large_a_tank(10, Plants("basil", 3), SITE, certainty=share, **DRAWS).use.magnitude
        for share in (0.5, 0.8, 0.95, 0.99)
    ]
    assert uses == sorted(uses)
    assert uses[0] < uses[-1]


def test_the_thirstiest_age_is_taken_where_none_is_given():
    given = how_large_a_tank(10, Plants("lettuce", 3), SITE, **DRAWS).use.magnitude
    ages = [
        how_large_a_tank(10, Plants("lettuce", 3), SITE, age=age, **DRAWS).use.magnitude
        for age in range(0, 66, 5)
    ]
    assert given == pytest.approx(max(ages))
    assert ages[0] < given / 3


def test_a_tank_fits_that_holds_it_above_the_shortage():
    found = how_large_a_tank(14, Plants("lettuce", 6), SITE, **DRAWS)
    for name in tank.presets():
        one = tank.preset(name)
        between = one.volume(fill_level(one)) - one.volume(Q(3, "cm"))  # shortage depth of data/budget.csv
        assert (name in found.fitting) == (between.magnitude >= found.use.magnitude)
    assert 0 < len(found.fitting) < len(tank.presets())
    assert "No ready-made tank" in str(how_large_a_tank(60, Plants("lettuce", 60), SITE, **DRAWS))


def test_the_latest_look():
    given = {"start": "2027-06-20", "age": 40, "members": 200, "seed": 11}
    found = latest_look(TUB, Plants("basil", 6), SITE, first_level=Q(15, "cm"), **given)
    many = budget.ensemble(TUB, Plants("basil", 6), SITE, first_level=Q(15, "cm"), **given)
    first_low = sorted(next(iter(np.flatnonzero(row <= 3 + 1e-9)), row.size) for row in many.level.magnitude)
    # 5 % of 200: at most 10 seasons may be low by then; the eleventh is the first that must not
    assert first_low[9] <= found.days <= first_low[10]
    assert found.date == datetime.date(2027, 6, 20) + datetime.timedelta(found.days - 1)
    # half of them: at most 100 of 200 are low by then; and what the range of each evening is made of
    assert first_low[99] <= found.median_days <= first_low[100]
    evenings = np.sort(many.level.m_as("cm"), axis=0)
    for level, (under, over) in zip(found.levels.m_as("cm"), ((9, 10), (99, 100), (189, 190)), strict=True):
        assert np.all((level >= evenings[under] - 1e-6) & (level <= evenings[over] + 1e-6))
    assert found.lowest.m_as("cm") == pytest.approx(3)  # the shortage depth, an assumption of data/
    assert not found.ends
    assert str(found.date) in str(found)


def test_a_look_may_be_due_at_once_or_never():
    low = latest_look(TUB, Plants("basil", 6), SITE, first_level=Q(3, "cm"), age=40, **DRAWS)
    assert (low.date, low.days) == (None, 0)
    assert "today" in str(low)
    full = latest_look(TUB, Plants("lettuce", 1), SITE, days=10, **DRAWS)
    assert full.ends
    assert full.days == 10
    assert "before the season ends" in str(full)


def test_a_season_on_its_way_goes_on_as_the_whole_one():
    whole = budget.season(TUB, Plants("lettuce", 2), SITE, start="2019-05-10", days=42).table
    level = Q(whole["level (cm)"].iloc[29], "cm")
    rest = budget.season(
        TUB, Plants("lettuce", 2), SITE, start="2019-06-09", age=30, first_level=level, days=12
    ).table
    assert rest["demand (L)"].to_numpy() == pytest.approx(whole["demand (L)"].iloc[30:].to_numpy())
    assert rest["volume (L)"].to_numpy() == pytest.approx(whole["volume (L)"].iloc[30:].to_numpy())


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: how_many_plants("bath", "lettuce", SITE), "bath"),
        (lambda: how_many_plants(3, "lettuce", SITE), "A tank is a Box"),
        (lambda: how_many_plants(TUB, "lettuse", SITE), "Did you mean 'lettuce'"),
        (lambda: how_many_plants(TUB, None, SITE), "no crop 'None'"),
        (lambda: how_many_plants(TUB, "lettuce", "atlantis"), "atlantis"),
        (lambda: how_many_plants(TUB, "lettuce", SITE, certainty=95), "write 0.5 to 0.99"),
        (
            lambda: how_many_plants(TUB, "lettuce", SITE, certainty=Q(95, "percent")),
            "a plain number such as 0.95",
        ),
        (lambda: how_many_plants(TUB, "lettuce", SITE, certainty=[0.9, 0.95]), "takes one certainty"),
        (lambda: how_many_plants(TUB, "lettuce", SITE, days="long"), "whole days"),
        (lambda: how_large_a_tank(0, Plants("basil", 3), SITE), "1 to 3660 whole days"),
        (lambda: how_large_a_tank(Q(14, "day"), Plants("basil", 3), SITE), "1 to 3660 whole days"),
        (lambda: how_large_a_tank(14, "basil", SITE), "is not a number of plants"),
        (lambda: how_large_a_tank(14, [], SITE), "needs plants"),
        (lambda: how_large_a_tank(14, Plants("basil", 3), SITE, age="old"), "days since planting"),
        (lambda: latest_look(TUB, Plants("basil", 3), SITE, first_level=15), "needs a length"),
        (lambda: latest_look(TUB, Plants("basil", 3), SITE, first_level=Q(40, "cm")), "30 cm high"),
        (lambda: latest_look(TUB, Plants("basil", 3), SITE, age=400), "past their last stage"),
        (lambda: latest_look(TUB, Plants("basil", 3), None), "needs a weather"),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(Problem, match=words):
        make()
