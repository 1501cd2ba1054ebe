"""Stages that fit the calendar: full cover at the first flower or harvest, the end at the last."""

import dataclasses

import numpy as np
import pytest
from stilltank.science import calendar, crops, demand
from stilltank.season.plan import Plan
from stilltank.tables import load
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

SHORT = dataclasses.replace(
    crops.crop("lettuce"),
    name="short",
    days_to_harvest=Q(60, "day"),
    days_phase="sowing",
    seedling_days=Q(10, "day"),
    harvest_weeks=Q(2, "week"),
)


def days(crop, *stages):
    return [getattr(crop, f"stage_{stage}").m_as("day") for stage in stages]


def test_by_hand():
    # 0.4 of 60 days from sowing are 24, of which 10 were in the pot: 14 initial, 36 rising, 14 of harvest
    assert demand.full_cover_day(SHORT) == 50
    assert demand.season_length(SHORT) == 64
    found = demand.crop_coefficient(SHORT, np.array([1, 14, 32, 50, 64]))
    assert found == pytest.approx([0.15, 0.15, 0.525, 0.9, 0.9])


def test_a_seedling_that_stood_long_in_its_pot_still_roots_for_a_week():
    # 0.4 x 60 days are over after 30 days in the pot; the week of settling stays
    old = dataclasses.replace(SHORT, seedling_days=Q(30, "day"))
    assert days(demand.fit_stages(old, Q(30, "day"), Q(44, "day")), "initial", "development") == [7, 23]
    # and of ten days to the first harvest it takes no more than its share
    assert days(demand.fit_stages(old, Q(10, "day"), Q(20, "day")), "initial", "development") == [4, 6]


def test_days_from_transplanting_and_from_heat():
    """Zinnia: 838 degree-days above 4.1 at 20 °C are 52.7 days from sowing; 16 were in the pot."""
    planted = dataclasses.replace(SHORT, days_phase="transplant")
    assert demand.full_cover_day(planted) == 60
    hot = dataclasses.replace(
        crops.crop("zinnia"),
        thermal_time=Q(838, "delta_degC*day"),
        base_temperature=Q(4.1, "degC"),
        optimum_temperature=None,
        ceiling_temperature=None,
        thermal_phase="sowing",
        thermal_method="average",
        seedling_days=Q(16, "day"),
        harvest_weeks=Q(5, "week"),
    )
    assert demand.full_cover_day(hot) == 37
    assert demand.season_length(hot) == 72
    emerged = dataclasses.replace(hot, thermal_phase="emergence", emergence_days=Q(6, "day"))
    assert demand.full_cover_day(emerged) == 43  # six days fewer of warmth in the pot


@pytest.mark.parametrize("name", crops.names())
def test_every_crop_is_grown_when_it_is_cut(name):
    """At the first flower or harvest the coefficient is that of mid season; before half of the way it is well below."""
    one, full = crops.crop(name), demand.full_cover_day(name)
    assert demand.crop_coefficient(one, full + 1) == pytest.approx(one.kcb_mid, abs=0.03)
    assert demand.crop_coefficient(one, full / 2) < 0.65 * one.kcb_mid
    last = demand.season_length(name)
    assert last - full == pytest.approx(one.harvest_weeks.m_as("day"), abs=1)
    assert demand.crop_coefficient(one, last + 1) == pytest.approx(one.kcb_end, abs=0.03)


def test_a_plan_drinks_by_its_own_schedule():
    plan = Plan.make(crop="zinnia", site="new-york", start="2027-05-17", count=4)
    schedule, grown = plan.outlook.schedule, plan.outlook.plants.crop
    assert demand.full_cover_day(grown) == (schedule.first_flower.expected - plan.start).days
    assert demand.season_length(grown) == (schedule.end - plan.start).days
    assert plan.plants.crop == crops.crop("zinnia")  # what is kept in the file is the crop of the table
    assert plan.scenario().plants[0].crop == grown
    cool = Plan.make(crop="zinnia", site="seattle", start="2027-05-17", count=4).outlook.plants.crop
    assert demand.full_cover_day(cool) > demand.full_cover_day(grown)
    cut = calendar.schedule("zinnia", "new-york", sow=schedule.sow).first_flower
    assert schedule.first_flower.expected == cut.expected


def test_the_shares_are_those_of_the_table():
    """Middle, lowest and highest of the seven crops whose lengths FAO-56 prints, in data/field-crops.csv."""
    table = load("field-crops")
    printed = [name for name in table.items_named if (name, "stage late") in table]
    assert len(printed) == 7
    lengths = np.array([days(demand.field_crop(n), "initial", "development", "mid", "late") for n in printed])
    for which, shares in (
        ("initial share", lengths[:, 0] / lengths[:, :2].sum(axis=1)),
        ("late share", lengths[:, 3] / lengths[:, 2:].sum(axis=1)),
    ):
        entry = load("evapotranspiration")["stages", which]
        found = np.median(shares), shares.min(), shares.max()
        assert (entry.value, entry.low, entry.high) == pytest.approx(found, abs=0.006), which


@pytest.mark.parametrize(
    ("make", "error", "words"),
    [
        (lambda: demand.fit_stages("lettuce", 30, Q(40, "day")), UnitNeeded, "`first`"),
        (lambda: demand.fit_stages("lettuce", Q(40, "day"), Q(30, "day")), OutOfRange, "Exchange the two"),
        (lambda: demand.fit_stages("lettuce", Q(-1, "day"), Q(30, "day")), OutOfRange, "write 0 d"),
        (lambda: demand.fit_stages("lettuse", Q(30, "day"), Q(40, "day")), Problem, "Did you mean"),
        (lambda: demand.season_length(crops.Crop(name="mine")), Problem, "mine: no days to harvest is known"),
    ],
)
def test_what_cannot_be_is_said(make, error, words):
    with pytest.raises(error, match=words):
        make()
