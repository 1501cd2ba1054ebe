"""What growers know by heart, against the workbook: data/grower-ranges.csv, written before the outputs were run."""

import datetime
from functools import cache

import numpy as np
import pytest
from scipy.optimize import brentq
from stilltank.science import budget, calendar, crops, demand, mixing, products, roots, tank, weather
from stilltank.tables import load
from stilltank.units import Problem, Q

ROWS = list(load("grower-ranges").values())
TUB = tank.preset("quillgate-tub")


@cache
def plan(crop, sow):
    return calendar.schedule(crop, "new-york", sow=sow)


def days(crop, sow, of):
    """Days from the sowing to something of the schedule."""
    day = getattr(plan(crop, sow), of)
    return Q((getattr(day, "expected", day) - datetime.date.fromisoformat(sow)).days, "day")


def flowers(crop, sow):
    """1 where a first flower or harvest is promised, 0 where the answer is: not then."""
    try:
        return Q(float(plan(crop, sow).first_flower is not None), "dimensionless")
    except Problem:
        return Q(0, "dimensionless")


def july():
    """Reference evapotranspiration of the Julys of New York, one value a day."""
    record = weather.record("new-york")
    in_july = record.dates.astype("datetime64[M]").astype(int) % 12 == 6
    return demand.reference_et(weather.site("new-york"))[in_july]


def used(crop, sow, to, start_year="2014"):
    """Water of one plant from planting out to a day of its schedule, by the daily budget of one year."""
    dates = plan(crop, sow)
    begin = np.datetime64(f"{start_year}-{dates.transplant:%m-%d}")
    count = (getattr(dates, to).expected - dates.transplant).days
    table = budget.season(
        TUB, crops.Plants(crops.crop(crop), 1), "new-york", start=str(begin), days=count
    ).table
    return Q(table["transpired (L)"].sum(), "L")


def afternoon():
    """The warmest hour of the middle day of July in a dark tub that is half full."""
    record = weather.record("new-york").between("2014-07-01", "2014-07-31")
    level = Q(np.full(record.days, 13.0), "cm")
    course = roots.solution_temperature(
        TUB, level, weather.Site("here", Q(40.7, "degree"), Q(10, "m"), record)
    )
    return Q(float(np.median(course.daily_max.m_as("degC"))), "degC")


OUTPUTS = {
    "lettuce to its first harvest, water": lambda: used("lettuce", "2027-05-01", "first_flower"),
    "full-grown zinnia on a July day, water": lambda: Q(
        float(july().m_as("mm/day").mean())
        * float(demand.crop_coefficient("zinnia", 60))
        * crops.crop("zinnia").canopy_area.m_as("m^2"),
        "L",
    ),
    "cut sunflower from planting to cutting, water": lambda: demand.water_to_harvest(
        "sunflower", Q(5, "mm/day")
    ),
    "lettuce sown 1 May, days to harvest": lambda: days("lettuce", "2027-05-01", "first_flower"),
    "lettuce sown 30 March, tank free again": lambda: days("lettuce", "2027-03-30", "end"),
    "cut zinnia sown 1 May, days to flower": lambda: days("zinnia", "2027-05-01", "first_flower"),
    "cut zinnia sown 1 May, end of cutting": lambda: days("zinnia", "2027-05-01", "end"),
    "basil sown 30 March, planted out": lambda: days("basil", "2027-03-30", "transplant"),
    "rudbeckia sown 1 July, first flower this year": lambda: flowers("rudbeckia", "2027-07-01"),
    "lisianthus sown 1 July, first flower outdoors this year": lambda: flowers("lisianthus", "2027-07-01"),
    "stock sown 1 July, first flower outdoors this year": lambda: flowers("stock", "2027-07-01"),
    "spinach sown 1 May, a harvest worth having": lambda: flowers("spinach", "2027-05-01"),
    "zinnia, stems a plant": lambda: crops.crop("zinnia").stems_per_plant,
    "gomphrena, stems a plant": lambda: crops.crop("gomphrena").stems_per_plant,
    "snapdragon, stems a plant": lambda: crops.crop("snapdragon").stems_per_plant,
    "half a tub of solution after 5 L of rain, conductivity": lambda: thinned(),
    "45-litre tub filled to 36 litres, mass": lambda: TUB.weight(TUB.level(Q(36, "L"))),
    "all-in-one or three-salt mix for leaves, salts in a litre": lambda: Q(
        sum(mass.m_as("g") for mass in leafy().masses.values()) / 36, "g/L"
    ),
    "mix of nitrate salts, conductivity for each gram in a litre": lambda: (
        leafy().solution.conductivity() / (sum(mass.m_as("g") for mass in leafy().masses.values()) / 36)
    ),
    "reference evapotranspiration in July, New York": lambda: july().mean(),
    "dark tub in a hot July, afternoon temperature of the solution": afternoon,
    "full tub of four zinnias in July, days to the next look": lambda: Q(
        budget.latest_look(
            TUB,
            crops.Plants(crops.crop("zinnia"), 4),
            "new-york",
            start="2027-07-10",
            first_level=Q(25, "cm"),
            age=50,
        ).days,
        "day",
    ),
}


@cache
def leafy():
    return mixing.weigh_out("leafy", products.usual_salts(), Q(36, "L"))


def thinned():
    """A solution of 1.8 mS/cm, 22.5 L of it, after 5 L of rain; the recipe's strength is found by the meter."""
    whole = mixing.recipe_solution("Hoagland 1")
    factor = brentq(lambda part: mixing.diluted(whole, part).conductivity().m_as("mS/cm") - 1.8, 1, 3)
    half_tub = mixing.diluted(whole, factor)
    return mixing.diluted(half_tub, 27.5 / 22.5).conductivity()


def name(entry):
    return f"{entry.item}, {entry.prop}"


def test_every_row_has_its_output():
    assert {name(entry) for entry in ROWS} == set(OUTPUTS)


@pytest.mark.parametrize("entry", ROWS, ids=name)
def test_an_output_is_one_that_a_grower_would_believe(entry):
    found = OUTPUTS[name(entry)]()
    plain = float(found.m_as(entry.unit)) if hasattr(found, "m_as") else float(found)
    assert entry.low <= plain <= entry.high, f"{plain:.3g} {entry.unit}, not {entry.low:g} to {entry.high:g}"
