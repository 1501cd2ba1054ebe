"""Answers to the questions of a design: how many plants, how large a tank, how long alone."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.crops import Plants
from stilltank.science.crops import crop as crop_of
from stilltank.science.demand import crop_coefficient, season_length
from stilltank.science.roots import fill_level as usual_level
from stilltank.science.tank import Box, Tank, preset, presets
from stilltank.tables import load, number
from stilltank.units import Problem, Q, pure_number, whole_number, within

from ._balance import _canopy, plant_groups, reached, run
from ._skies import draw


@dataclass(frozen=True)
class PlantCount:
    """How many plants a tank carries.

    Attributes
    ----------
    count : int, the smaller of the next two; 0 where not even one lasts
    by_water : int, that do not run dry in so many of the seasons
    by_room : int or None, that fit on the lid at the crop's spacing; None where no spacing is known
    days, certainty : what was asked
    share_dry : float, of the seasons that run dry with ``count`` plants
    """

    count: int
    by_water: int
    by_room: int | None
    days: int
    certainty: float
    share_dry: float

    def __str__(self) -> str:
        room = "" if self.by_room is None else f" There is room for {self.by_room}."
        if not self.by_water:
            return f"Not one plant lasts {self.days} days in {self.certainty:.0%} of the seasons.{room}"
        return (
            f"{self.count} plants: water for {self.by_water} lasts {self.days} days in {self.certainty:.0%} of the "
            f"seasons.{room}"
        )


def how_many_plants(
    tank: Tank | str,
    crop: Any,
    site: Any,
    days: int | None = None,
    *,
    start: Any = None,
    certainty: Any = None,
    fill_level: Any = None,
    members: int | None = None,
    seed: int = 1,
) -> PlantCount:
    """Find how many plants of a crop one filling of a tank carries to the end without a top-up.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    crop : Crop, or the name of one
    site : Site, its name, or a Weather
    days : int; to the end of the crop's last stage when left out
    start : ISO text or date of planting; the first day of the weather when left out
    certainty : plain number, 0.5 to 0.99; 0.95 when left out
    fill_level, members, seed : see `ensemble`; rain counts, through the site's usual share

    Returns
    -------
    PlantsFor

    Raises
    ------
    Problem                              see `ensemble`
    UnitNeeded, OutOfRange, Unreadable   a certainty that is none; see `ensemble`

    Example
    -------
    >>> from stilltank.science import tank, weather
    >>> print(how_many_plants(tank.preset("quillgate-tub"), "lettuce", weather.site("quillgate"), start="2027-05-10"))
    4 plants: water for 4 lasts 75 days in 95% of the seasons. There is room for 5.

    Limits
    ------
    Water and room only: oxygen, light and the height of the plants may allow fewer. It carries all that is uncertain
    about the use of water (see `ensemble`), so most seasons will end with water to spare.
    """
    tank, what = preset(tank), crop_of(crop)
    certainty = certainty_share(certainty, "how_many_plants")
    drawn = draw(
        "how_many_plants",
        tank,
        Plants(what, 1),
        site,
        start=start,
        days=days,
        members=members,
        seed=seed,
        fill_level=fill_level,
    )
    setting = drawn.setting

    def share_dry(count: int) -> float:
        volume, _, _ = run(setting, count * drawn.thirst, drawn.rain_in)
        return float(reached(volume, setting.unusable).any(axis=1).mean())

    low, high = 0, int(number("plausible", "plants", "most", "1")) + 1  # more plants never leave more water
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if share_dry(middle) <= 1 - certainty + 1e-12 else (low, middle)
    room = None
    if what.spacing is not None:
        room = int(tank.lid_area.m_as("m^2") / what.spacing.m_as("m") ** 2 + 1e-9)
    count = low if room is None else min(low, room)
    return PlantCount(count, low, room, len(setting.dates), certainty, share_dry(count) if count else 0.0)


@dataclass(frozen=True)
class TankSize:
    """The water that a holiday takes.

    Attributes
    ----------
    use : quantity in L, the plants drink no more than that in so many of the holidays
    median_use : quantity in L, in half of them
    days, certainty : what was asked
    fitting : tuple of str, ready-made tanks that hold it between their usual fill level and the shortage depth
    """

    use: Any
    median_use: Any
    days: int
    certainty: float
    fitting: tuple[str, ...]

    def __str__(self) -> str:
        held = f"Held by: {', '.join(self.fitting)}." if self.fitting else "No ready-made tank holds so much."
        return (
            f"{self.use.magnitude:.1f} L for {self.days} days in {self.certainty:.0%} of the seasons "
            f"({self.median_use.magnitude:.1f} L in half of them). {held}"
        )


def how_large_a_tank(
    days: int,
    plants: Any,
    site: Any,
    *,
    start: Any = None,
    age: int | None = None,
    certainty: Any = None,
    members: int | None = None,
    seed: int = 1,
) -> TankSize:
    """Find how much water must stand in a tank so that nobody need come for a holiday.

    Parameters
    ----------
    days : int, of the holiday
    plants : Plants, or a list of them
    site : Site, its name, or a Weather
    start : ISO text or date of the first day; the first day of the weather when left out
    age : int, days since planting on that day; the age at which they drink most when left out
    certainty : plain number, 0.5 to 0.99; 0.95 when left out
    members, seed : see `ensemble`

    Returns
    -------
    TankFor. No rain is counted on.

    Raises
    ------
    Problem, UnitNeeded, OutOfRange, Unreadable   see `ensemble`

    Example
    -------
    >>> from stilltank.science import crops, weather
    >>> found = how_large_a_tank(14, crops.Plants("lettuce", 6), weather.site("quillgate"), start="2027-07-01")
    >>> 10 < found.median_use.magnitude < found.use.magnitude < 30, "tote-60" in found.fitting
    (True, True)

    Limits: the tank must be full to its usual level on the first day, and roots that already live in moist air do not
    bear such a filling: fill for a holiday at planting, or a little at each visit before.
    """
    certainty = certainty_share(certainty, "how_large_a_tank")
    days = whole_number(
        days, 1, 366, "how_large_a_tank: a holiday of 1 to 366 whole days; {value!r} is not possible."
    )
    # a tank that nothing can empty, so that what is used is what is asked for
    endless = Box(Q(9, "m"), Q(9, "m"), Q(9, "m"))
    groups = plant_groups(plants)
    if age is None:
        age = _thirstiest(groups, days)
    drawn = draw(
        "how_large_a_tank",
        endless,
        groups,
        site,
        start=start,
        days=days,
        age=age,
        members=members,
        seed=seed,
        fill_level=Q(1, "m"),
    )
    totals = drawn.thirst.sum(axis=1)
    use = float(np.quantile(totals, certainty, method="higher"))
    fitting = tuple(name for name in presets() if _holds(preset(name)) >= use)
    return TankSize(Q(use, "L"), Q(float(np.median(totals)), "L"), days, certainty, fitting)


def _thirstiest(groups: list[Any], days: int) -> int:
    """Age at the start of the ``days`` in which the plants ask for most under the same sky."""
    ages = np.arange(1, max(season_length(group.crop) for group in groups) + days)
    canopy = sum(_canopy(group) * crop_coefficient(group.crop, ages) for group in groups)
    sums = np.convolve(canopy, np.ones(days), "valid")
    return int(np.argmax(sums > sums.max() * (1 - 1e-12)))


def _holds(tank: Tank) -> float:
    """Litres between the usual fill level and the depth below which plants get less."""
    if tank.net_pot_depth is None:
        return 0.0
    low = min(number("budget", "tank", "shortage depth", "m"), tank._height)
    return float((tank.volume(usual_level(tank)) - tank.volume(Q(low, "m"))).m_as("L"))


def certainty_share(given: Any, function: str) -> float:
    """The certainty as given or usual, plain; refuses what is none.

    Raises Unreadable, OutOfRange, Problem.
    """
    entry = load("budget")["certainty", "usual"]
    usual, (low, high) = float(entry.quantity), map(float, entry.range)
    plain = pure_number(usual if given is None else given, usual, "certainty", function)
    if np.ndim(plain):
        raise Problem(f"{function} takes one certainty; you gave {np.size(plain)}.")
    within(
        plain,
        low,
        high,
        f"{function}: a certainty of {{value:g}}; write {low:g} to {high:g}. Nothing drawn from a record is surer than "
        "that.",
    )
    return float(plain)
