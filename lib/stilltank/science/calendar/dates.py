"""What a schedule says: one sowing and what follows."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from stilltank.science import crops
from stilltank.science.sky import day_of
from stilltank.units.types import Day, Days

from ...units import Q, Quantity, instance_of


@dataclass(frozen=True)
class Window:
    """A day with its range: dates."""

    early: datetime.date
    expected: datetime.date
    late: datetime.date

    def __str__(self) -> str:
        return f"{self.expected} ({self.early} to {self.late})"


@dataclass(frozen=True)
class Schedule:
    """One sowing and what follows; all are dates.

    Attributes
    ----------
    crop : Crop
    sow, transplant : into seed compost, and into the tank
    first_flower : Window; of a leaf crop the first harvest, as ``event`` says. The range covers the years of the
        weather record and the range of the crop's own time
    end : last harvest, when the tank comes free: the crop's harvest time after the first flower expected, and never
        before the late first flower. A crop cut once keeps its tank for its harvest time after the late one
    reasons : sentences on where the dates come from and what they leave out
    outdoors : whether the tank stands in the weather of a site, and not in a room
    frost_share : share of the years of the record with a frost between transplant and end; None in a room
    """

    crop: crops.Crop
    sow: datetime.date
    transplant: datetime.date
    first_flower: Window
    end: datetime.date
    reasons: tuple[str, ...]
    _outcomes: Days = field(repr=False, compare=False)
    outdoors: bool = True
    frost_share: float | None = None

    @property
    def event(self) -> str:
        """What ``first_flower`` means for this crop: "first flower" or "first harvest"."""
        return self.crop.event

    @property
    def time_in_tank(self) -> Quantity:
        """From transplant to the last harvest, in days."""
        return Q((self.end - self.transplant).days, "day")

    def chance_by(self, date: Day) -> float:
        """Share of the outcomes, years of weather times the crop's own range, that flower by a date."""
        return float(np.mean(self._outcomes <= day_of(date)))

    def by_rank(self, count: int) -> Days:
        """Dates of the first flower at evenly spaced ranks of all outcomes, from the earliest to the latest."""
        ordered = np.sort(self._outcomes)
        return ordered[np.round(np.linspace(0, ordered.size - 1, count)).astype(int)]

    def __str__(self) -> str:
        return (
            f"{self.crop.label}: sow {self.sow}, into the tank {self.transplant}, "
            f"{self.event} {self.first_flower}, until {self.end}"
        )


def several_schedules(given: Schedule | Iterable[Schedule], function: str) -> tuple[Schedule, ...]:
    """One schedule, a succession or several, as a tuple; raises Problem for anything else."""
    try:
        found = (given,) if isinstance(given, (Schedule, str)) else tuple(given)
    except TypeError:  # a number, or a quantity of one
        found = (given,)  # type: ignore[assignment]
    return tuple(instance_of(one, Schedule, "schedules", function) for one in found)
