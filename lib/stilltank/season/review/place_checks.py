"""Checks on tank and place: weight, overflow hole, room on the lid, dates, warmth, weather."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import count as counting

import numpy as np

from stilltank import tables
from stilltank.science import calendar, roots, weather
from stilltank.science.tank import lifting_index
from stilltank.season.plan import Course, Plan, latitude_text, seedling_time
from stilltank.show.figures import day_text, short_day
from stilltank.units import Problem, Q, Quantity, whole_degrees, write

from .checks import Check, Family, Finding, as_on_a_ruler, listed, on_a_mark, percent, rain_text, threshold
from .flags import Remedy
from .water_checks import fewer_plants

_WEEK = timedelta(days=7)


def _weight(plan: Plan) -> Finding | None:
    lift = lifting_index(plan.tank.weight(plan.outlook.fill_level))
    if lift.index <= 1:
        return None
    source = tables.load("lifting")["load", "constant"].address
    return Finding(lift.load, lift.limit, source, {"times": float(lift.index)})


def _say_weight(plan: Plan, found: Finding, system: str) -> str:
    return (
        f"Filled, the tank weighs {_mass(found.number, system)}: {found.details['times']:.2g} times the "
        f"{_mass(found.limit, system)} that a careful adult may lift from the floor to a bench."
    )


def _mass(given: Quantity | None, system: str) -> str:
    return "" if given is None else write(given, system, 2)


def load_check(bears: Quantity) -> Check:
    """Make the check on what the tank is to stand on.

    Parameters
    ----------
    bears : quantity, mass
        What bench, shelf or balcony may carry there.

    Returns
    -------
    Check
        For this load.

    Examples
    --------
    >>> load_check(Q(30, "kg")).find(Plan.make()).limit.magnitude
    30.0
    """

    def find(plan: Plan) -> Finding | None:
        weight = plan.tank.weight(plan.outlook.fill_level)
        source = tables.load("constants")["water", "standard gravity"].address
        return Finding(weight, bears, source) if weight > bears else None

    return Check(
        "load",
        "Too heavy for where it is to stand",
        "people",
        find,
        lambda plan, found, system: (
            f"Filled, the tank weighs {_mass(found.number, system)}, and you say that the place bears "
            f"{_mass(found.limit, system)}."
        ),
        "A bench or a balcony that gives way hurts people.",
        at_tank=lambda plan, found, system: (
            "Stand it on the ground, or take a smaller tank. Ask the owner of the building what a balcony may carry."
        ),
    )


def _most_above() -> Quantity:
    return tables.load("roots")["overflow", "freeboard"].range[1]


def _high_hole(plan: Plan) -> Finding | None:
    if plan.hole is None or plan.site.cover != "open" or plan.reading is not None:
        return None
    entry = tables.load("roots")["overflow", "freeboard"]
    if float((plan.hole - plan.outlook.fill_level).m_as("cm")) <= float(_most_above().m_as("cm")) + 1e-6:
        return None
    return Finding(plan.hole, plan.outlook.overflow.height, entry.address)


def _say_high_hole(plan: Plan, found: Finding, system: str) -> str:
    above = found.number - plan.outlook.fill_level
    rain = roots.rain_for_rise(plan.tank, plan.outlook.fill_level, above, rain_share=1)
    return (
        f"The hole at {write(found.number, system)} is {write(above, system, 2)} above the fill line. "
        f"{rain_text(rain, system)} of rain, if all that falls on the lid gets in, lift the level to the hole."
    )


def _drill(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    usual = plan.outlook.overflow.height
    mark = on_a_mark(usual, system)
    words = as_on_a_ruler(mark, system)
    if mark < plan.outlook.pots.fill_level:
        mark, words = usual, write(usual, system)
    yield (Remedy(f"Drill the hole with its lower edge at {words}", {"hole": mark}),)


def _low_hole(plan: Plan) -> Finding | None:
    if not plan.outlook.low_hole:
        return None
    source = tables.load("roots")["pot", "immersion"].address
    return Finding(plan.hole, plan.outlook.pots.fill_level, source)


def _say_low_hole(plan: Plan, found: Finding, system: str) -> str:
    bottoms = plan.tank.height - plan.outlook.pots.tank.net_pot_depth
    return (
        f"The hole at {write(found.number, system)} is below the fill line of {write(found.limit, system)} that the "
        f"net pots need: their bottoms hang {write(bottoms, system)} above the floor."
    )


def _hang_lower(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    yield from _drill(plan, found, system)
    pots = plan.outlook.pots
    wet = pots.fill_level - (plan.tank.height - pots.tank.net_pot_depth)
    unit, step = ("cm", 0.5) if system == "metric" else ("inch", 0.25)
    needed = float((plan.tank.height - plan.hole + wet).m_as(unit))
    depth = Q(step * float(np.ceil(needed / step - 1e-6)), unit)
    if depth <= tables.load("review")["low hole", "deepest pots"].quantity:
        yield (
            Remedy(
                f"Take net pots that reach {as_on_a_ruler(depth, system)} below the rim",
                {"tank": replace(plan.tank, net_pot_depth=depth)},
            ),
        )


def _crowded(plan: Plan) -> Finding | None:
    if not plan.outlook.crowded:
        return None
    crop, outlook = plan.plants.crop, plan.outlook
    if plan.slots is not None and outlook.most_at_once > plan.slots:
        counted = Q(outlook.most_at_once, "dimensionless"), Q(plan.slots, "dimensionless")
        return Finding(*counted, threshold("slots", "plants in each")[1], {"said": outlook.crowded})
    return Finding(
        outlook.spread * plan.tank.lid_area, plan.tank.lid_area, crop.where_from("canopy_area").address
    )


def _say_crowded(plan: Plan, found: Finding, system: str) -> str:
    if "said" in found.details:
        return str(found.details["said"])
    return (
        f"{plan.outlook.most_at_once} plants spread over {write(found.number, system, 2)} when grown, and the lid has "
        f"{write(found.limit, system, 2)}."
    )


def _reached(course: Course) -> float:
    return course.schedule.share_reached


def _cold(plan: Plan) -> Finding | None:
    limit, source = threshold("cold", "share of outcomes")
    course = min(plan.outlook.courses, key=_reached)
    if _reached(course) >= limit:
        return None
    return Finding(percent(_reached(course)), percent(limit), source, {"course": course})


def _say_cold(plan: Plan, found: Finding, system: str) -> str:
    course, share = found.details["course"], 100 * _reached(found.details["course"])
    return (
        f"Set in on {day_text(course.transplanted)}, {course.crop.spoken} comes to its {course.schedule.event} before "
        f"the cold ends it in {share:.0f} of 100 outcomes of past weather."
    )


def _advised_against(course: Course) -> str:
    """What the calendar says against the dates of a crop; empty where it has nothing against them."""
    says = (reason for reason in course.schedule.reasons if reason.startswith("Not advised:"))
    return next(says, "").removeprefix("Not advised:").strip()


def _dates(plan: Plan) -> Finding | None:
    if plan.reading is not None or _cold(plan) is not None:  # planted is planted
        return None
    for course in plan.outlook.courses:
        if said := _advised_against(course):
            source = tables.load("calendar")["planting out", "risk"].address
            return Finding(None, None, source, {"course": course, "said": said})
    return None


def _say_dates(plan: Plan, found: Finding, system: str) -> str:
    said = found.details["said"]
    return f"{said[:1].upper()}{said[1:]}"


def _other_start(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    """The nearest earlier and the nearest later start at which the calendar has nothing against the crop."""
    if plan.reading is not None:
        return
    course = found.details["course"]
    alone = course is not plan.outlook.courses[0]
    words = f"Set the {course.crop.spoken} in" if alone else "Fill and plant"

    def changed(day: date) -> dict[str, object]:
        if not alone:
            return {"start": day}
        return {
            "beside": tuple(
                replace(group, transplanted=day) if group is course.group else group for group in plan.beside
            )
        }

    for way, word in ((-1, "by"), (1, "on or after")):
        day = _nearest(plan, course, way)
        if day is not None:
            said = day_text(day) if day.year != course.transplanted.year else short_day(day)
            now, sow = short_day(course.transplanted), sow_text(course, day)
            yield (Remedy(f"{words} {word} {said} instead of {now} (sow on {sow})", changed(day)),)


def sow_text(course: Course, planted: date) -> str:
    """Say when to sow for a day of planting.

    Parameters
    ----------
    course : Course
        The crop.
    planted : date
        The day.

    Returns
    -------
    str
        The day of sowing, in words.

    Examples
    --------
    >>> plan = Plan.make("quillgate-tub", "snapdragon")
    >>> sow_text(plan.outlook.courses[0], date(2027, 5, 10))
    '13 April'
    """
    return short_day(planted - seedling_time(course.crop))


def _nearest(plan: Plan, course: Course, way: int) -> date | None:
    """The nearest good day of planting in one direction: week by week, then day by day."""
    farthest = int(threshold("cold", "farthest start")[0])
    need = threshold("cold", "share of outcomes")[0]

    def good(day: date) -> bool:
        try:
            one = calendar.schedule(course.crop, plan.site, day - seedling_time(course.crop), decided=True)
        except Problem:
            return False
        return one.share_reached >= need and not any(each.startswith("Not advised:") for each in one.reasons)

    bad = course.transplanted
    for weeks in counting(1):
        day = course.transplanted + way * weeks * _WEEK
        if abs((day - course.transplanted).days) > farthest:
            return None
        if good(day):
            break
        bad = day
    while abs((day - bad).days) > 1:
        middle = bad + timedelta(days=(day - bad).days // 2) if way > 0 else day + (bad - day) // 2
        day, bad = (middle, bad) if good(middle) else (day, middle)
    return day


def _early_end(plan: Plan) -> Finding | None:
    if plan.until is None or plan.until == "dry":
        return None
    limit, source = threshold("early end", "share of outcomes")
    for course in plan.outlook.courses:
        share = course.schedule.chance_by(course.end)
        if share < limit * min(1.0, _reached(course)):
            return Finding(percent(share), percent(limit), source, {"course": course})
    return None


def _say_early_end(plan: Plan, found: Finding, system: str) -> str:
    course = found.details["course"]
    return (
        f"The tank is emptied on {day_text(course.end)}. By then {course.crop.spoken} has come to its "
        f"{course.schedule.event} in {found.number.m_as('percent'):.0f} of 100 outcomes of past weather."
    )


def _later_end(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    schedule = found.details["course"].schedule
    day = schedule.by_rank(101)[min(int(found.limit.m_as("percent")) + 1, 100)]
    if day <= np.datetime64(schedule.first_flower.late):
        last = day.astype("datetime64[D]").item()
        yield (Remedy(f"Empty the tank on {day_text(last)} at the earliest", {"until": last}),)
    yield (Remedy("Leave the plants in until their harvest is over", {"until": None}),)


def _warm_roots(plan: Plan) -> Finding | None:
    weeks = plan.outlook.warm_weeks
    if weeks is None or not weeks.harmful:
        return None
    slow, die = (tables.load("solution-heat")["roots", name] for name in ("slow above", "die above"))
    if weeks.hottest[1] > die.quantity:
        return Finding(weeks.hottest[1], die.quantity, die.address)
    return Finding(weeks.afternoon[1], slow.quantity, slow.address)


def _say_warm_roots(plan: Plan, found: Finding, system: str) -> str:
    weeks = plan.outlook.warm_weeks
    if weeks is None:
        return ""

    die = tables.load("solution-heat")["roots", "die above"].quantity

    def said(value: Quantity) -> str:
        return write(whole_degrees(value, system), system)

    return (
        f"From {short_day(weeks.first)} to {short_day(weeks.last)} the solution reaches about "
        f"{said(weeks.afternoon[1])} on most afternoons, and {said(weeks.hottest[1])} on the hottest of {weeks.years} "
        f"years. Roots are slow above {said(weeks.slow_above)} and can die above about {said(die)}."
    )


def _brighter(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    def families() -> Iterator[Remedy]:
        bright = plan.colour in ("white", "foil")
        if not bright:
            yield Remedy("Paint or cover tank and lid white", {"colour": "white"})
        for shade in listed("warm roots", "shade cloth"):
            if shade > plan.shade:
                cloth = f"shade cloth of {100 * shade:.0f} %"
                if bright:
                    yield Remedy(f"Hang {cloth} over the tank", {"shade": shade})
                else:
                    words = f"Paint or cover tank and lid white, and hang {cloth} over it"
                    yield Remedy(words, {"colour": "white", "shade": shade})

    yield families()


def _far_weather(plan: Plan) -> Finding | None:
    record = plan.site.weather
    if not plan.outlook.far_weather or record is None or record.latitude is None:
        return None
    entry = tables.load("plausible")["weather", "largest latitude gap"]
    gap = abs(float((record.latitude - plan.site.latitude).m_as("degree")))
    return Finding(Q(gap, "degree"), entry.quantity, entry.address)


def _nearer_weather(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    def gap(name: str) -> float:
        return abs(float((weather.site(name).latitude - plan.site.latitude).m_as("degree")))

    real = [
        name
        for name in weather.sites()
        if tables.load("sites")[name, "label"].kind != "invented for the demo"
    ]
    for name in sorted(real, key=gap)[:1]:
        there = weather.site(name)
        where = latitude_text(float(there.latitude.m_as("degree")))
        words = f"Take the weather of {there.name}, {where}, until you have a record of your own"
        yield (Remedy(words, {"record": name}),)


def _room(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    return fewer_plants(plan)


SAFETY_CHECKS = (
    Check(
        "weight",
        "Too heavy to carry",
        "people",
        _weight,
        _say_weight,
        "Water moves while it is carried, so the true limit is lower still; the method is for adults.",
        at_tank=lambda plan, found, system: (
            "Put the empty tank in its place first, fill it there with a jug or a hose, and siphon it out. To move it, "
            "empty it."
        ),
    ),
)
PLACE_CHECKS = (
    Check(
        "low hole",
        "Overflow hole below the fill line",
        "crop",
        _low_hole,
        _say_low_hole,
        "Young plants whose pots do not touch the solution dry out within a day or two.",
        _hang_lower,
        keeps=("high hole",),
    ),
    Check(
        "high hole",
        "Overflow hole too high",
        "crop",
        _high_hole,
        _say_high_hole,
        "The hole is to keep rain from lifting the solution over the pots and the first air roots.",
        _drill,
    ),
    Check(
        "cold",
        "The cold comes before the flowers",
        "crop",
        _cold,
        _say_cold,
        "A plant that meets its killing cold, or days too cool to come on, gives nothing.",
        _other_start,
        lambda plan, found, system: "Fleece or a move indoors on cold nights can win some weeks.",
    ),
    Check(
        "dates",
        "Dates that the calendar advises against",
        "crop",
        _dates,
        _say_dates,
        "The crop is known to do badly then.",
        _other_start,
        lambda plan, found, system: "Shelter the tank, and keep a note of how it goes.",
        keeps=("cold",),
    ),
    Check(
        "early end",
        "Emptied before it flowers",
        "crop",
        _early_end,
        _say_early_end,
        "The plants would leave the tank with nothing cut.",
        _later_end,
        keeps=("water",),
    ),
    Check(
        "warm roots",
        "Roots too warm",
        "crop",
        _warm_roots,
        _say_warm_roots,
        "Warm roots are slow, and warm water feeds root rot.",
        _brighter,
        lambda plan, found, system: (
            "Shade in the afternoon and a tank that is kept full help too. Measure in it at three o'clock on a hot day."
        ),
    ),
    Check(
        "crowded",
        "Too many plants for the lid",
        "crop",
        _crowded,
        _say_crowded,
        "Crowded plants shade each other and stay wet, and the numbers of the plan do not know it.",
        _room,
    ),
    Check(
        "weather",
        "Weather from far away",
        "numbers",
        _far_weather,
        lambda plan, found, system: plan.outlook.far_weather.rpartition(" Take ")[0],
        "Dates, water and warmth all follow from the weather.",
        _nearer_weather,
        lambda plan, found, system: (
            "Best is a daily record, or the twelve monthly means, of a station near you."
        ),
    ),
)
