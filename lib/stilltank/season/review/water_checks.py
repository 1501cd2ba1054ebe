"""Checks on the water: does it last, and does rain or a top-up lift it too far over the roots."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import budget
from stilltank.season.plan import Course, Loss, Plan, strength_words
from stilltank.show.figures import day_text, short_day
from stilltank.units import Quantity, write

from .checks import (
    Check,
    Family,
    Finding,
    Largest,
    as_on_a_ruler,
    in_seasons,
    listed,
    on_a_mark,
    percent,
    rain_text,
    threshold,
)
from .flags import Remedy

_RANKS = 99  # of the outcomes of a schedule


def _stops(plan: Plan) -> Any:
    """The day of each season on which the level to end the crop is reached; far away where it is not."""
    stop = plan.outlook.season.stop
    return np.where(np.isnat(stop), np.datetime64("9999-01-01"), stop)


def share_before_flower(plan: Plan, course: Course) -> float:
    """Find the share of seasons in which the level to end a crop comes before its first flower or harvest.

    Parameters
    ----------
    plan : Plan
        The plan.
    course : Course
        The crop with its dates.

    Returns
    -------
    float
        0 to 1, over all pairs of a season and an outcome of the schedule.

    Examples
    --------
    >>> plan = Plan.make(count=1)
    >>> share_before_flower(plan, plan.outlook.courses[0])
    0.0
    """
    flowers = course.schedule.by_rank(_RANKS)
    come = flowers[flowers <= np.datetime64(course.schedule.first_flower.late)]
    return float(np.mean(_stops(plan)[:, None] < come))


def _too_many(plan: Plan) -> Finding | None:
    limit, source = threshold("water", "share of seasons")
    shares = [share_before_flower(plan, course) for course in plan.outlook.courses]
    worst = int(np.argmax(shares))
    if shares[worst] <= limit:
        return None
    return Finding(percent(shares[worst]), percent(limit), source, {"course": plan.outlook.courses[worst]})


def _say_too_many(plan: Plan, found: Finding, system: str) -> str:
    course, flower = found.details["course"], found.details["course"].schedule.first_flower
    count = sum(group.count for group in plan.groups)
    each = plan.outlook.volume / count
    plants = "1 plant" if count == 1 else f"{count} plants, {write(each, system, 2)} for each"
    topped = "" if plan.top_up.way == "nothing" else ", topped up as planned,"
    of = f" of the {course.crop.spoken}" if plan.beside else ""
    return (
        f"{write(plan.outlook.volume, system)} of solution for {plants}. {in_seasons(_share(found))} the tank{topped} "
        f"is down to the level to stop at before the {course.schedule.event}{of}, which comes between "
        f"{short_day(flower.early)} and {day_text(flower.late)}."
    )


def _share(found: Finding) -> float:
    return 0.0 if found.number is None else float(found.number.m_as("dimensionless"))


def fewer_plants(plan: Plan) -> Iterator[Family]:
    """Make the family of remedies with fewer plants.

    Parameters
    ----------
    plan : Plan
        The plan.

    Yields
    ------
    Largest
        By the number of plants that stay; none where there is one of each crop.

    Examples
    --------
    >>> [family.remedy(2).words for family in fewer_plants(Plan.make(count=3))]
    ['Plant 2 instead of 3']
    """
    now = [group.count if plan.reading is None else group.standing(plan.reading.day) for group in plan.groups]
    if sum(now) > len(now):
        yield Largest(sum(now), partial(_fewer, plan, now))


def _fewer(plan: Plan, now: list[int], total: int) -> Remedy:
    """Plant fewer, or take some out once they stand: always of the crop with the most plants, and leave one of each."""
    counts = list(now)
    while sum(counts) > max(total, len(counts)):
        counts[counts.index(max(counts))] -= 1
    groups = []
    for group, before, count in zip(plan.groups, now, counts, strict=True):
        if before == count:
            groups.append(group)
        elif plan.reading is None:
            groups.append(replace(group, count=count, losses=()))
        else:
            losses = (*group.losses, Loss(plan.reading.day, before - count))
            groups.append(replace(group, losses=losses))
    leading, *beside = groups
    each = [f"{count} {group.crop.spoken}" for group, count in zip(plan.groups, counts, strict=True)]
    kept = f"{', '.join(each[:-1])} and {each[-1]}" if beside else f"{counts[0]}"
    if plan.reading is not None:
        words = f"Take out {sum(now) - sum(counts)} and keep {kept}"
        changes: dict[str, object] = {"losses": leading.losses}
    else:
        words = f"Plant {kept} instead of {sum(now)}{' plants' if beside else ''}"
        changes = {} if now[0] == counts[0] else {"count": counts[0]}
    if beside:
        changes["beside"] = tuple(beside)
    return Remedy(words, changes)


def _holding(plan: Plan, system: str) -> Quantity:
    """The level at which a tended tank is held, on a mark that is easy to draw."""
    share = tables.number("budget", "top-up", "holding level", "1")
    return on_a_mark(share * plan.outlook.fill_level, system, steps=5 if system == "metric" else 4)


def _by_hand(plan: Plan, system: str) -> Iterator[Remedy]:
    level = _holding(plan, system)
    rise = on_a_mark(tables.load("budget")["top-up", "small rise"].quantity, system)
    mark, step = as_on_a_ruler(level, system), as_on_a_ruler(rise, system)
    for strength in listed("top-up", "strength"):
        for days in (int(each) for each in listed("top-up", "days between visits")):
            often = "every day" if days == 1 else f"every {days} days"
            yield Remedy(
                f"Top up by hand {often} to {mark}, each time by {step} at most, with {strength_words(strength)}",
                {"top_up": budget.by_hand(days, level, rise, strength)},
            )


def _by_valve(plan: Plan, system: str) -> Iterator[Remedy]:
    level = _holding(plan, system)
    for strength in listed("top-up", "strength"):
        mark = as_on_a_ruler(level, system)
        yield Remedy(
            f"Hold the level at {mark} with a float valve and a reservoir of {strength_words(strength)}",
            {"top_up": budget.float_valve(level, strength)},
        )


def top_ups(plan: Plan, system: str) -> Iterator[Family]:
    """Make families of remedies that top a tank up.

    Parameters
    ----------
    plan : Plan
        The plan.
    system : str
        "metric" or "US".

    Yields
    ------
    iterable of Remedy
        By hand, the fewest visits first; then by a float valve.

    Examples
    --------
    >>> next(iter(next(top_ups(Plan.make(count=4), "metric")))).words
    'Top up by hand every 3 days to 15 cm, each time by 1 cm at most, with half-strength solution'
    """
    yield _by_hand(plan, system)
    yield _by_valve(plan, system)


def _for_water(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    yield from fewer_plants(plan)
    yield from top_ups(plan, system)


def _dry(plan: Plan) -> Finding | None:
    if plan.until == "dry":
        return None
    limit, source = threshold("dry", "share of seasons")
    early = timedelta(days=round(threshold("dry", "time before the end")[0]))
    share = float(np.mean(_stops(plan) <= np.datetime64(plan.outlook.end - early)))
    return Finding(percent(share), percent(limit), source, {"early": early}) if share > limit else None


def _say_dry(plan: Plan, found: Finding, system: str) -> str:
    weeks = found.details["early"].days // 7
    nobody = "nobody tops it up" if plan.top_up.way == "nothing" else "the top-up of the plan is not enough"
    return (
        f"{in_seasons(_share(found))} the tank is down to the level to stop at {weeks} weeks or more before the "
        f"harvest is over on {day_text(plan.outlook.end)}, and {nobody}."
    )


def _earlier_end(plan: Plan, found: Finding) -> Iterator[Remedy]:
    """End the harvest so early that the water lasts in enough seasons."""
    limit = 0.0 if found.limit is None else float(found.limit.m_as("dimensionless"))
    stops = np.sort(_stops(plan))
    day = stops[int(limit * stops.size + 1e-9)].astype("datetime64[D]").item() + found.details["early"]
    last = day - timedelta(days=1)
    if (
        last < plan.outlook.end
        and last >= plan.outlook.schedule.first_flower.expected + found.details["early"]
    ):
        yield Remedy(f"End the harvest on {day_text(last)}", {"until": last})


def _for_dry(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    yield from top_ups(plan, system)
    yield from fewer_plants(plan)
    yield _earlier_end(plan, found)


def _rain_alone(plan: Plan) -> float:
    """Share of the seasons in which rain rises above the caution, with nothing added."""
    if plan.site.cover != "open":
        return 0.0
    bare = plan if plan.top_up.way == "nothing" else plan.change(top_up=budget.nothing())
    return bare.outlook.rain_rises[0]


def _rain(plan: Plan) -> Finding | None:
    limit, source = threshold("rise", "share of seasons")
    share = _rain_alone(plan)
    return Finding(percent(share), percent(limit), source) if share > limit else None


def _say_rain(plan: Plan, found: Finding, system: str) -> str:
    rise = tables.load("roots")["refill", "rise"].quantity
    return (
        f"{in_seasons(_share(found))} rain lifts the level by more than {write(rise, system, 2)} after the pots hang "
        f"clear. If all that falls on the lid gets in, {rain_text(plan.outlook.storm, system)} of rain do that."
    )


def _under_a_roof(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    yield (Remedy("Put the tank under a clear roof", {"site": replace(plan.site, cover="roof")}),)


def _top_up(plan: Plan) -> Finding | None:
    if plan.top_up.way == "nothing":
        return None
    most = tables.load("roots")["refill", "rise"]
    rise = plan.top_up.rise
    to_a_mark = rise is not None and plan.top_up.level is not None and rise >= plan.top_up.level
    if rise is not None and not to_a_mark and rise.m_as("cm") > most.quantity.m_as("cm") * (1 + 1e-9):
        return Finding(rise, most.quantity, most.address)
    limit, source = threshold("rise", "share of seasons")
    share = plan.outlook.rain_rises[0]
    own = share - _rain_alone(plan) if share > limit else 0.0
    return (
        Finding(percent(share), percent(limit), source)
        if own > threshold("rise", "share from topping up")[0]
        else None
    )


def _say_top_up(plan: Plan, found: Finding, system: str) -> str:
    rise = tables.load("roots")["refill", "rise"].quantity
    if found.number is not None and found.number.check("[length]"):
        return (
            f"One visit lifts the level by up to {write(found.number, system, 2)}. Once the pots hang clear, "
            f"{write(rise, system, 2)} is the most: {write(plan.outlook.refill.volume, system, 2)} of water."
        )
    lifts = "the top-up and rain together lift" if _rain_alone(plan) > 0 else "the top-up lifts"
    return (
        f"{in_seasons(_share(found))} {lifts} the level by more than {write(rise, system, 2)} "
        "within three days, after the pots hang clear."
    )


def _gentler(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    yield from top_ups(plan, system)
    yield (Remedy("Leave the tank without a top-up", {"top_up": budget.nothing()}),)


WATER_CHECKS = (
    Check(
        "water",
        "Too many plants for the water",
        "crop",
        _too_many,
        _say_too_many,
        "A tank that is empty before the plants flower gives nothing to cut.",
        _for_water,
        keeps=("top-up",),
    ),
    Check(
        "top-up",
        "Top-up too large",
        "crop",
        _top_up,
        _say_top_up,
        "Roots that live in moist air can be harmed when the level rises over them.",
        _gentler,
        keeps=("water", "dry"),
    ),
    Check(
        "rain",
        "Rain lifts the level too far",
        "crop",
        _rain,
        _say_rain,
        "Roots that live in moist air can be harmed when the level rises over them. An overflow hole at the first fill "
        "line cannot help then.",
        _under_a_roof,
        lambda plan, found, system: (
            "Seal the lid around the stems, and open a second hole lower down as the level falls."
        ),
        keeps=("dry",),
    ),
    Check(
        "dry",
        "The water ends before the harvest",
        "crop",
        _dry,
        _say_dry,
        "In the last centimetres the roots reach little water, and the salts of the whole filling are in it.",
        _for_dry,
        keeps=("top-up", "early end", "water"),
    ),
)
