"""The sowing for a wished-for day, sought among all sowings before it."""

import contextlib
import dataclasses
from typing import Any

import numpy as np

from stilltank.science.sky import ONE_DAY
from stilltank.tables import number
from stilltank.units import Problem, pure_number, within

from ._years import Clock
from .dates import Schedule


def backwards(clock: Clock, wanted: Any, chance: float | None) -> Schedule:
    share = number("calendar", "sowing", "chance", "1")
    if chance is not None:
        share = pure_number(chance, 0.8, "chance", "sow_for")
        within(share, 1e-9, 1, "A chance lies above 0 and goes up to 1, such as 0.8; {value:g} does not.")
    good = _latest_in_time(clock, wanted, share)
    if good is None:
        raise Problem(
            f"No sowing in the {clock.longest} days before {wanted} brings {clock.crop.name} to its {clock.crop.event} "
            f"by then with a chance of {share:g} at this site."
        )
    found = clock.schedule(good)
    if found.end < wanted.item():
        crop = clock.crop
        start = f"No sowing has {crop.spoken} in its {crop.event} by {wanted} with a chance of {share:g} here"
        best = _best_of_the_season(clock, wanted)
        if best is not None and best.chance_by(wanted) < share - 1e-12:
            raise Problem(
                f"{start}: the best, on {best.sow}, has {best.chance_by(wanted):.3g}. Ask for less, or for a later day."
            )
        if best is None:
            raise Problem(
                f"{start} and not over: sown on {found.sow}, it is gone by {found.end}. "
                f"{_say_next(clock, good, wanted)}"
            )
        found = best
    reached = found.chance_by(wanted)
    reason = (
        f"Latest sowing of which {100 * share:.0f} percent of the outcomes are in time for {wanted}; "
        f"{100 * reached:.0f} percent are."
    )
    return dataclasses.replace(found, reasons=(reason, *found.reasons))


def _latest_in_time(clock: Clock, wanted: Any, share: float) -> Any:
    """The latest sowing of which such a share is in time, or None; winters part one run of sowings from the next."""

    def in_time(day: Any) -> bool:
        try:
            return bool(np.mean(clock.outcomes(day) <= wanted) >= share - 1e-12)
        except Problem:  # nothing is planted then
            return False

    step = int(number("calendar", "search", "step", "day"))
    bad = wanted + ONE_DAY
    for good in wanted - np.arange(0, clock.longest, step) * ONE_DAY:
        if in_time(good):
            break
        bad = good
    else:
        return None
    while bad - good > ONE_DAY:  # within a run, a later sowing is never earlier in flower
        middle = good + (bad - good) // 2
        good, bad = (middle, bad) if in_time(middle) else (good, middle)
    return good


def _best_of_the_season(clock: Clock, wanted: Any) -> Schedule | None:
    """The sowing of the year before that is likeliest in flower by a day and not over by then; else None."""
    best, most = None, 0.0
    for days in range(1, 367, 3):
        with contextlib.suppress(Problem):
            one = clock.schedule(wanted - days * ONE_DAY)
            if one.end >= wanted.item() and (chance := one.chance_by(wanted)) > most:
                best, most = one, chance
    return best


def _say_next(clock: Clock, good: Any, wanted: Any) -> str:
    """When the next sowing flowers."""
    for days in range(1, 367, 3):
        with contextlib.suppress(Problem):
            later = clock.schedule(good + days * ONE_DAY)
            if later.first_flower.expected > wanted.item():
                flower = later.first_flower.expected
                return f"The next sowing, on {later.sow}, has its {clock.crop.event} about {flower}."
    return "Keep the tank in a room, and give temperature=."
