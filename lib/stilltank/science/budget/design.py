"""Answers to the questions of a design: how many plants, how large a tank."""

from dataclasses import dataclass, replace

import numpy as np
import pint

from stilltank.science.roots import fill_level as usual_level
from stilltank.science.tank import Tank, preset, presets
from stilltank.tables import number
from stilltank.units import Problem, Q

from ._balance import reached, rules_of, run
from ._checks import certainty_share, shown
from .scenario import Scenario
from .skies import draw


@dataclass(frozen=True, kw_only=True)
class PlantCount:
    """How many plants a tank carries; made by `how_many_plants`.

    Parameters
    ----------
    count : int
        The smaller of the next two; 0 where not even one lasts.
    by_water : int
        How many do not run dry in so many of the seasons.
    by_room : int
        How many fit on the lid at the crop's spacing; None where no spacing is known.
    days : int
        How long the season is.
    certainty : float
        What was asked.
    share_dry : float
        Share of the seasons that run dry with ``count`` plants.

    Examples
    --------
    >>> print(PlantCount(count=4, by_water=4, by_room=5, days=75, certainty=0.95, share_dry=0.03))
    4 plants: water for 4 lasts 75 days in 95% of the seasons. There is room for 5.
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
        plants = "1 plant" if self.count == 1 else f"{self.count} plants"
        return (
            f"{plants}: water for {self.by_water} lasts {self.days} days in {self.certainty:.0%} of the "
            f"seasons.{room}"
        )


def how_many_plants(scenario: Scenario, certainty: float | None = None) -> PlantCount:
    """Find how many plants of a crop the water of a tank carries to the end of a season.

    Parameters
    ----------
    scenario : Scenario
        With one planting; how many plants it has does not matter. Rain and its top-ups count.
    certainty : float
        Share of the seasons in which the water lasts, 0.5 to 0.99; 0.95 when left out.

    Returns
    -------
    PlantCount
        By water, by room on the lid, and the smaller of the two.

    Raises
    ------
    OutOfRange
        A certainty that is none.
    Unreadable
        A certainty that is no number.
    Problem
        No scenario, or one with several plantings; a record with no days near the season.

    Notes
    -----
    Water and room only: oxygen, light and the height of the plants may allow fewer. It carries all that is uncertain
    about the use of water (see `Scenario.make`), so most seasons end with water to spare.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> one = budget.Scenario.make("quillgate-tub", crops.Plants("lettuce", 1), "quillgate", start="2027-05-10")
    >>> found = how_many_plants(one)
    >>> found.count == min(found.by_water, found.by_room)
    True
    """
    share, checked = certainty_share(certainty), _scenario(scenario)
    if len(checked.plants) != 1:
        raise Problem(
            f"This scenario has {len(checked.plants)} plantings. Ask for one crop: "
            "scenario.change(plants=Plants('basil', 1))."
        )
    planting = replace(checked.plants[0], count=1)
    setting = checked.change(plants=planting, age=None, days=checked.days).plain
    drawn = draw(setting)
    rules = rules_of(setting.top_up, setting, drawn.rain)

    def share_dry(count: int) -> float:
        volume = run(setting, count * drawn.thirst, drawn.rain_in, rules).volume
        return float(reached(volume, setting.unusable).any(axis=1).mean())

    low, high = 0, int(number("plausible", "plants", "most", "1")) + 1  # more plants never leave more water
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if share_dry(middle) <= 1 - share + 1e-12 else (low, middle)
    room, spacing = None, planting.crop.spacing
    if spacing is not None:
        room = int(setting.tank.lid_area.m_as("m^2") / spacing.m_as("m") ** 2 + 1e-9)
    count = low if room is None else min(low, room)
    return PlantCount(
        count=count,
        by_water=low,
        by_room=room,
        days=checked.days,
        certainty=share,
        share_dry=share_dry(count) if count else 0.0,
    )


@dataclass(frozen=True, kw_only=True)
class TankSize:
    """The water that plants use while nobody comes; made by `how_large_a_tank`.

    Parameters
    ----------
    use : quantity, L
        The plants use no more than that in so many of the seasons.
    median_use : quantity, L
        What they use in half of them.
    days : int
        How long.
    certainty : float
        What was asked.
    fitting : tuple of str
        Ready-made tanks that hold it between their usual fill level and the shortage depth.

    Examples
    --------
    >>> print(TankSize(use=Q(18, "L"), median_use=Q(14.5, "L"), days=14, certainty=0.95, fitting=("tote-60",)))
    18.0 L for 14 days in 95% of the seasons (14.5 L in half of them). Held by: tote-60.
    """

    use: pint.Quantity
    median_use: pint.Quantity
    days: int
    certainty: float
    fitting: tuple[str, ...]

    def __str__(self) -> str:
        held = f"Held by: {', '.join(self.fitting)}." if self.fitting else "No ready-made tank holds so much."
        return (
            f"{self.use.magnitude:.1f} L for {self.days} days in {self.certainty:.0%} of the seasons "
            f"({self.median_use.magnitude:.1f} L in half of them). {held}"
        )


def how_large_a_tank(scenario: Scenario, certainty: float | None = None) -> TankSize:
    """Find how much water must be in a tank so that nobody need come, on a holiday for example.

    Parameters
    ----------
    scenario : Scenario
        Plants, place, first day and ``days`` count; its tank, level and top-ups do not. With ``age="thirstiest"`` the
        plants are at the age at which they drink most.
    certainty : float
        Share of the seasons in which the water lasts, 0.5 to 0.99; 0.95 when left out.

    Returns
    -------
    TankSize
        The volume, and the ready-made tanks that hold it. No rain is counted on.

    Raises
    ------
    OutOfRange
        A certainty that is none.
    Unreadable
        A certainty that is no number.
    Problem
        No scenario; a record with no days near the season.

    Notes
    -----
    The tank must be full to its usual level on the first day, and roots that already live in moist air do not bear such
    a filling: fill for a holiday at planting, or a little at each visit before.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> holiday = budget.Scenario.make("tote-60", crops.Plants("lettuce", 6), "quillgate", start="2027-07-01", days=14,
    ...                                age="thirstiest")
    >>> found = how_large_a_tank(holiday)
    >>> 10 < found.median_use.magnitude < found.use.magnitude < 30, "tote-60" in found.fitting
    (True, True)
    """
    share, checked = certainty_share(certainty), _scenario(scenario)
    totals = draw(checked.plain).thirst.sum(axis=1)
    use = float(np.quantile(totals, share, method="higher"))
    fitting = tuple(name for name in presets() if _holds(preset(name)) >= use)
    return TankSize(
        use=Q(use, "L"),
        median_use=Q(float(np.median(totals)), "L"),
        days=checked.days,
        certainty=share,
        fitting=fitting,
    )


def _scenario(given: object) -> Scenario:
    if not isinstance(given, Scenario):
        raise Problem(
            f"Ask about a scenario: Scenario.make(tank, plants, weather, start='2027-05-10'). You gave {shown(given)}."
        )
    return given


def _holds(tank: Tank) -> float:
    """Litres between the usual fill level and the depth below which plants get less."""
    if tank.net_pot_depth is None:
        return 0.0
    low = min(number("budget", "tank", "shortage depth", "m"), float(tank.height.m_as("m")))
    return float((tank.volume(usual_level(tank)) - tank.volume(Q(low, "m"))).m_as("L"))
