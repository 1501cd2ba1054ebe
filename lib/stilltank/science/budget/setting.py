"""A scenario in plain numbers, ready to be followed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from stilltank.science.tank import Tank
from stilltank.science.weather import Weather
from stilltank.units.types import Array, Days, Plain, PlainLike, Quantity

from .routines import TopUp


@dataclass(frozen=True, eq=False, kw_only=True)
class Setting:
    """A scenario in plain numbers, for use between rooms of science; ``Scenario.plain`` makes it.

    Parameters
    ----------
    tank : Tank
        The tank.
    record : Weather, optional
        The weather record.
    cover : str
        What is over the tank.
    dates : array of datetime64[D], [days]
        The days.
    filled, filling, brim, unusable, shortage : float
        Litres on the first day, when the tank was filled, at the overflow hole, that no root reaches, below which
        fewer roots reach the solution.
    least_uptake : float
        Share of the full use that is left when the unusable rest is reached.
    grown : callable
        m^2 of leaves times crop coefficient, [days] or [members, days], by the stretch of time and a slice of the days.
    catch : float
        m^2 of lid.
    top_up : TopUp
        The routine.
    added : array, [days]
        Litres of top-ups on dates.
    uncertain : mapping of str to tuple of float
        Value, low and high; drawn in this order.
    reference_et : array, [days], optional
        mm, where it is given.
    first_conductivity : quantity, optional
        What the meter read on the first day.
    members, seed : int
        Of the ensemble.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> scenario = budget.Scenario.make("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10")
    >>> round(scenario.plain.filled, 1) < scenario.plain.brim
    True
    """

    tank: Tank
    record: Weather | None
    cover: str
    dates: Days
    filled: float
    filling: float
    brim: float
    unusable: float
    shortage: float
    least_uptake: float
    grown: Callable[..., Array]
    catch: float
    top_up: TopUp
    added: Array
    uncertain: Mapping[str, tuple[float, float, float]]
    reference_et: Array | None
    first_conductivity: Quantity | None
    members: int
    seed: int

    def usual(self, name: str) -> float:
        """Look up the value of something uncertain where it is not drawn.

        Parameters
        ----------
        name : str
            Its name, such as "exposure".

        Returns
        -------
        float
            The usual value.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("lettuce", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> scenario.plain.usual("exposure")
        1.0
        """
        return self.uncertain[name][0]

    def drink(self, now: PlainLike, thirst: PlainLike) -> PlainLike:
        """Find what plants get out of a tank: less than they ask for near the floor.

        Parameters
        ----------
        now, thirst : float or array
            Litres in the tank, and litres that the plants ask for.

        Returns
        -------
        float or array
            Litres.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("lettuce", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> float(scenario.plain.drink(30.0, 1.0))
        1.0
        """
        left: Plain = np.maximum(now - self.unusable, 0)
        reach = max(self.shortage - self.unusable, 1e-9)
        share = self.least_uptake + (1 - self.least_uptake) * np.minimum(left / reach, 1)
        return np.minimum(thirst * share, left)
