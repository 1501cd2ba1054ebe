"""When a harvest ends: after its weeks, in the heat, in the cold, or on a day of one's own."""

from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.sky import ONE_DAY
from stilltank.units import Problem, said

from ._outdoors import YEAR, Ends, Outdoors
from .dates import Window, three


def harvest(
    crop: Crop, flowers: Window, ends: Ends | None, open_air: Outdoors | None
) -> tuple[Window, str, bool]:
    """When the harvest ends, the sentence that says why then, and whether the cold is why."""
    leaves = crop.use != "flower" and crop.cut == "once"
    first = np.datetime64(flowers.expected if leaves else flowers.late)
    short, usual, long = (
        round(days) * ONE_DAY
        for days in ((0.0, 0.0, 0.0) if crop.harvest_weeks is None else three(crop, "harvest_weeks", "day"))
    )
    by_weeks = first + short, first + usual, max(np.datetime64(flowers.late), first) + long
    weeks = (
        f"It is cut for about {usual / (7 * ONE_DAY):.2g} weeks after the "
        f"{'expected' if leaves else 'late'} {crop.event}."
    )
    if crop.cut == "once":
        weeks = f"It is cut once, and cleared by {by_weeks[1]}."
    if ends is None or open_air is None:
        return _window(*by_weeks), weeks, False
    early, late = (np.datetime64(day) for day in (flowers.early, flowers.late))
    earliest, _ = _stopped(early, short, flowers, ends, open_air)
    usually, causes = _stopped(first, short, flowers, ends, open_air)
    latest, _ = _stopped(late, usual, flowers, ends, open_air)
    member = np.argsort(usually)[(usually.size - 1) // 2]
    early, middle, late = earliest.min(), usually[member], latest.max()
    goes_on = crop.cut == "again" and crop.harvest_until != "weeks" and middle < first + YEAR * ONE_DAY
    if not goes_on and by_weeks[1] <= middle:
        return _window(min(by_weeks[0], early), by_weeks[1], min(by_weeks[2], late)), weeks, False
    if not goes_on:
        early, late = min(by_weeks[0], early), max(min(by_weeks[2], late), middle)
    why = (
        f"Cold: the air falls to {open_air.deadly}, which kills this crop, by {middle + ONE_DAY} in half of the "
        "years; the harvest ends there.",
        f"Cool: from about {middle} it is too cool here for this crop to come on; the harvest ends there.",
        f"Heat: from about {middle} a fortnight has a mean above {_warmest(crop)}; the harvest ends there.",
    )[causes[member]]
    return _window(early, middle, late), why, bool(causes[member] == 0)


def _stopped(flower: Any, least: Any, flowers: Window, ends: Ends, open_air: Outdoors) -> tuple[Any, Any]:
    """For each year, the day on which cold, cool or heat stops the harvest, and which of these; heat waits so long."""
    lives = ends.cold > flower  # where the cold came first there was no harvest to end
    if not lives.any():
        lives = np.ones_like(lives)
    causes = [ends.cold[lives] - ONE_DAY, ends.cool[lives], open_air.hot(flower + least)[lives]]
    return np.maximum(np.min(causes, axis=0), np.datetime64(flowers.expected)), np.argmin(causes, axis=0)


def _window(early: Any, expected: Any, late: Any) -> Window:
    return Window(min(early, expected).item(), expected.item(), max(expected, late).item())


def _warmest(crop: Any) -> str:
    return "any limit" if crop.warmest_mean is None else said(crop.warmest_mean)


def own_end(until: Any, transplant: Any, flowers: Window, harvest: Window) -> tuple[Window, str]:
    """The end that somebody chose, and what it costs."""
    day = until.item()
    if until <= transplant:
        raise Problem(f"The plants go into the tank on {transplant}; an end on {day} is not after that.")
    chosen = Window(day, day, day)
    if day < flowers.late:
        return chosen, f"Your own end, {day}, comes before the late plants are ready, about {flowers.late}."
    if day > harvest.late:
        return chosen, f"Your own end, {day}; the harvest itself is over about {harvest.expected}."
    return chosen, f"Your own end, {day}; the harvest would go on until about {harvest.expected}."
