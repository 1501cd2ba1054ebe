"""How long a tank may be left alone."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.tank import Tank, preset
from stilltank.units import Q

from ._balance import reached, run
from ._skies import draw
from .design import certainty_share


@dataclass(frozen=True, eq=False)
class LatestLook:
    """How long a tank may be left alone.

    Attributes
    ----------
    date : the last day at whose end the solution stands above the shortage depth in so many of the seasons; None
        where it is too low on the first day already
    days : int, from the first day to that one, both counted; 0 with None
    median_days : int, the same in half of the seasons
    ends : bool, True where the season ends before the tank is low
    certainty : what was asked
    dates : numpy array of the days that were followed
    levels : quantity array in cm, [3, days]; at the end of each day the level that so few seasons stay under as the
        certainty leaves, then half of them, then as many as it asks for
    lowest : quantity in cm, the shortage depth
    """

    date: Any
    days: int
    median_days: int
    ends: bool
    certainty: float
    dates: Any
    levels: Any
    lowest: Any

    def __str__(self) -> str:
        if self.date is None:
            return "Look today: the solution may be too low by this evening."
        if self.ends:
            return (
                f"No look is needed for the water before the season ends on {self.date}, in {self.certainty:.0%} of "
                "the seasons."
            )
        return (
            f"Look by {self.date}, after {self.days} days: until then it lasts in {self.certainty:.0%} of the seasons "
            f"({self.median_days} days in half of them)."
        )


def latest_look(
    tank: Tank | str,
    plants: Any,
    site: Any,
    *,
    start: Any = None,
    level: Any = None,
    age: int = 0,
    days: int | None = None,
    certainty: Any = None,
    members: int | None = None,
    seed: int = 1,
) -> LatestLook:
    """Find the latest day on which somebody must look at the level again.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    plants : Plants, or a list of them
    site : Site, its name, or a Weather
    start : ISO text or date of today; the first day of the weather when left out
    level : quantity, of the solution today; the usual fill level when left out
    age : int, days since planting
    days : int, to look ahead; to the end of the crop's last stage when left out
    certainty : plain number, 0.5 to 0.99; 0.95 when left out
    members, seed : see `ensemble`

    Returns
    -------
    LatestLook

    Raises
    ------
    Problem, UnitNeeded, OutOfRange, Unreadable   see `ensemble`

    Example
    -------
    >>> from stilltank.science import crops, tank, weather
    >>> from stilltank.units import Q
    >>> found = latest_look(tank.preset("quillgate-tub"), crops.Plants("basil", 6), weather.site("quillgate"),
    ...                     start="2027-06-20", level=Q(15, "cm"), age=40)
    >>> 5 < found.days < found.median_days, found.ends
    (True, False)

    Limits: the model knows of no leak, heat wave beyond the record, tipped tank or sick plant. A look at plants,
    insects and pH may be due sooner.
    """
    tank, share = preset(tank), certainty_share(certainty, "latest_look")
    drawn = draw(
        "latest_look",
        tank,
        plants,
        site,
        start=start,
        days=days,
        age=age,
        members=members,
        seed=seed,
        fill_level=level,
    )
    setting = drawn.setting
    volume, _, _ = run(setting, drawn.thirst, drawn.rain_in)
    low = reached(volume, setting.shortage)
    length = len(setting.dates)
    # days that go well from the first on; what is low once counts as low, whatever rain does later
    good = np.where(low.any(axis=1), low.argmax(axis=1), length)
    safe = int(np.quantile(good, 1 - share, method="lower"))
    return LatestLook(
        date=setting.dates[safe - 1].item() if safe else None,
        days=safe,
        median_days=int(np.quantile(good, 0.5, method="lower")),
        ends=safe == length,
        certainty=share,
        dates=setting.dates,
        levels=tank.level(Q(np.quantile(volume, [1 - share, 0.5, share], axis=0), "L")),
        lowest=tank.level(Q(setting.shortage, "L")),
    )
