"""How long a tank may be left alone."""

from dataclasses import dataclass
from datetime import date

import numpy as np
import pint

from stilltank.units import Q

from ._balance import reached, rules_of, run
from ._checks import certainty_share
from .setting import Setting
from .skies import Skies, draw


@dataclass(frozen=True, eq=False, kw_only=True)
class LatestLook:
    """How long a tank may be left alone; made by `latest_look` or ``Scenario.latest_look()``.

    Parameters
    ----------
    date : datetime.date
        The last day at whose end the solution is above the shortage depth in so many of the seasons; None where it is
        too low on the first day already.
    days : int
        From the first day to that one, both counted; 0 with None.
    median_days : int
        The same in half of the seasons.
    ends : bool
        True where the season ends before the tank is low.
    certainty : float
        What was asked.
    dates : numpy array of datetime64[D], [days]
        The days that were followed.
    levels : quantity, cm, [3, days]
        At the end of each day the level that so few seasons stay under as the certainty leaves, then half of them,
        then as many as it asks for.
    lowest : quantity, cm
        The shortage depth.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> found = budget.latest_look("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10",
    ...                            members=20, days=5)
    >>> found.days, found.ends
    (5, True)
    """

    date: date | None
    days: int
    median_days: int
    ends: bool
    certainty: float
    dates: np.ndarray
    levels: pint.Quantity
    lowest: pint.Quantity

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


def latest_look_of(setting: Setting, certainty: float | None, sky: Skies | None) -> LatestLook:
    """Follow the drawn seasons until they are low."""
    share, drawn = certainty_share(certainty), draw(setting, sky)
    volume = run(setting, drawn.thirst, drawn.rain_in, rules_of(setting.top_up, setting, drawn.rain)).volume
    low = reached(volume, setting.shortage)
    length, tank = len(setting.dates), setting.tank
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
