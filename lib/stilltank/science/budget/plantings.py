"""Who drinks from the tank: plants of one or several crops, each from its first to its last day."""

from collections.abc import Iterable, Mapping
from dataclasses import KW_ONLY, dataclass, replace
from datetime import date
from typing import Any

import numpy as np

from stilltank.science.crops import Crop, Plants
from stilltank.science.demand import crop_coefficient, season_length
from stilltank.science.sky import ONE_DAY
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Quantity, magnitude

from ._checks import one_day, plain_date, shown, whole

_EXAMPLE = "Write Plants('lettuce', 6), or Planting('lettuce', 6, first_day='2027-06-10')."


def whole_age(given: object) -> int:
    """Whole days since planting."""
    return whole(given, 0, 3660, "An age is 0 to 3660 whole days since planting; {value} is not possible.")


@dataclass(frozen=True)
class Planting:
    """Plants of one crop in a tank, from a first to a last day.

    Parameters
    ----------
    crop : Crop or str
        The crop, or the name of one.
    count : int
        How many plants.
    first_day : date
        When they were set into the tank, as a date or ISO text; the first day of the scenario when left out. It may
        be before the scenario begins: then the plants have that age.
    last_day : date
        When they leave it; they stay to the end when left out.
    age : int
        Days since transplanting when they were set into this tank; 0 when left out.

    Raises
    ------
    OutOfRange
        A number of plants or an age that cannot be, a last day before the first.
    Unreadable
        A day that is no date.
    Problem
        A crop that is not known.

    Examples
    --------
    >>> print(Planting("lettuce", 4, first_day="2027-05-10", last_day="2027-07-01"))
    4 lettuce from 2027-05-10 to 2027-07-01
    """

    crop: Crop
    count: int
    _: KW_ONLY
    first_day: date | None = None
    last_day: date | None = None
    age: int = 0

    def __post_init__(self):
        if not isinstance(self.crop, (Crop, str)):
            raise Problem(f"A planting is of a crop, such as 'lettuce'; you gave {shown(self.crop)}.")
        most = int(number("plausible", "plants", "most", "1"))
        plants = Plants(
            self.crop,
            whole(
                self.count, 1, most, f"A number of plants is whole, 1 to {most}; {{value}} is not possible."
            ),
        )
        found: dict[str, object] = {
            "crop": plants.crop,
            "count": plants.count,
            "age": whole_age(self.age),
        }
        for name in ("first_day", "last_day"):
            given = getattr(self, name)
            if given is not None:
                found[name] = plain_date(one_day(given, f"The {name.replace('_', ' ')} of a planting"))
        for name, value in found.items():
            object.__setattr__(self, name, value)
        if self.first_day is not None and self.last_day is not None and self.last_day < self.first_day:
            raise OutOfRange(
                f"These {self.count} {self.crop.name} leave on {self.last_day}, before they come on {self.first_day}. "
                "Exchange the two days."
            )

    @property
    def canopy(self) -> float:
        """Plain m^2 of leaves seen from above."""
        area = self.crop.canopy_area
        if area is None:
            raise Problem(
                f"{self.crop.name}: no canopy area is known, so its use of water cannot be calculated. Give it one: "
                'dataclasses.replace(crop, canopy_area=Q(0.04, "m^2")).'
            )
        return self.count * magnitude(area, "m^2", "canopy_area", self.crop.name)

    def __str__(self) -> str:
        when = f" from {self.first_day}" if self.first_day else ""
        return f"{self.count} {self.crop.name}{when}" + (f" to {self.last_day}" if self.last_day else "")


def plantings_of(plants: object, start: np.datetime64, age: int | None) -> tuple[Planting, ...]:
    """Plantings with their first days; ``age`` is that of plain `Plants`."""
    several = isinstance(plants, Iterable) and not isinstance(plants, (str, Mapping, Quantity))
    groups: list[Any] = list(plants) if several else [plants]  # type: ignore[call-overload]
    if not groups:
        raise Problem(f"A water budget needs plants. {_EXAMPLE}")
    for group in groups:
        if not isinstance(group, (Plants, Planting)):
            raise Problem(f"{shown(group)} is not a number of plants. {_EXAMPLE}")
    if age and not any(isinstance(group, Plants) for group in groups):
        raise Problem("These plantings know their own age. Leave `age` out, or write Plants('lettuce', 6).")
    return tuple(
        Planting(group.crop, group.count, first_day=plain_date(start), age=age or 0)
        if isinstance(group, Plants)
        else replace(group, first_day=group.first_day or plain_date(start))
        for group in groups
    )


def last_stage(plantings: tuple[Planting, ...]) -> np.datetime64:
    """The day on which the last of the plants end their last stage, or leave."""
    ends = []
    for one in plantings:
        end = np.datetime64(one.first_day, "D") + (season_length(one.crop) - one.age - 1) * ONE_DAY
        ends.append(end if one.last_day is None else min(end, np.datetime64(one.last_day, "D")))
    return max(ends)


def canopy_by_day(
    plantings: tuple[Planting, ...],
    dates: np.ndarray,
    stretch: float | np.ndarray = 1.0,
    part: slice | None = None,
) -> np.ndarray:
    """m^2 of leaves times crop coefficient, [days], or [members, days] for one ``stretch`` of time a member.

    A ``part`` is asked for of a season that was checked as a whole.
    """
    checked = part is not None
    if part is not None:
        dates = dates[part]
    slower = np.asarray(stretch)[..., None]
    total = np.zeros(len(dates))
    for one in plantings:
        since = (dates - np.datetime64(one.first_day, "D")).astype(int)
        there = since >= 0
        if one.last_day is not None:
            there &= dates <= np.datetime64(one.last_day, "D")
        if not there.any():
            if checked:
                continue
            raise OutOfRange(
                f"{one}: they are in the tank on no day from {dates[0]} to {dates[-1]}. Change their days, or those "
                "of the season."
            )
        days = np.maximum(since + one.age + 1, 1) / slower
        total = total + np.where(there, one.canopy * crop_coefficient(one.crop, days), 0.0)
    return total


def thirstiest_age(plants: object, days: int) -> int:
    """Age at the start of the ``days`` in which the plants ask for most under the same sky."""
    groups = plantings_of(plants, np.datetime64("2000-01-01"), None)
    ages = np.arange(1, max(season_length(group.crop) for group in groups) + days)
    canopy = sum(group.canopy * crop_coefficient(group.crop, ages) for group in groups)
    sums = np.convolve(canopy, np.ones(days), "valid")
    return int(np.argmax(sums > sums.max() * (1 - 1e-12)))
