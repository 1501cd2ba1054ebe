"""Light that finds its way into a tank, and the oxygen that algae could make of it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import load, number
from stilltank.units import PlainNumber, Problem, Q, takes, within
from stilltank.units.types import Plain, Quantity


@dataclass(frozen=True, eq=False)
class Algae:
    """What algae could do with the light inside a tank.

    Parameters
    ----------
    light : Quantity
        Inside, in mol/m^2/day.
    oxygen : Quantity
        That they could make of it at most, by day, in g/m^2/day.

    See Also
    --------
    algal_oxygen : Works it out.

    Examples
    --------
    >>> algal_oxygen(Q(20, "mol/m^2/day"), let_in=0.05).light.magnitude
    1.0
    """

    light: Quantity
    oxygen: Quantity

    def __str__(self) -> str:
        if np.ndim(self.oxygen.magnitude):
            most = self.oxygen.magnitude.max()
            return f"{np.size(self.oxygen.magnitude)} kinds of light, at most {most:.2g} g/m²/day"
        return (
            f"{self.light.magnitude:.2g} mol/m² of light a day inside: algae could make up to "
            f"{self.oxygen.magnitude:.2g} g/m² of oxygen by day, and use much of it again at night"
        )


@takes(daily_light="mol/m^2/day", let_in=PlainNumber(0.01), solar_radiation="MJ/m^2/day")
def algal_oxygen(
    daily_light: Quantity | None = None,
    let_in: Plain | None = None,
    solar_radiation: Quantity | None = None,
) -> Algae:
    """Bound the oxygen that algae could make of the light that gets into a tank.

    Parameters
    ----------
    daily_light : Quantity, optional
        Light on the tank in a day; one or an array.
    let_in : float or array, optional
        Share of the light that passes lid, walls and pots, 0 to 1; 0.01 when left out, an example.
    solar_radiation : Quantity, optional
        On level ground, as weather records hold it, in place of ``daily_light``.

    Returns
    -------
    Algae
        The light inside, and the most that algae could make of it.

    Raises
    ------
    UnitNeeded
        The light has no unit, or one of another kind.
    Unreadable
        The share is no plain number.
    OutOfRange
        The light is negative, or the share lies outside 0 to 1.
    Problem
        Not exactly one of ``daily_light`` and ``solar_radiation`` is given.

    Notes
    -----
    An upper bound: eight photons for one oxygen, from memory; measured at best some nine hundredths. Algae also need
    time, and take nutrients and raise the pH. No threshold of light below which there are none was found in any
    source, so the advice of all of them stands: keep the light out. The share that a wall lets in is not known until
    it is measured: hold a lamp behind it in a dark room.

    References
    ----------
    EMERSONLEWIS1943

    Examples
    --------
    >>> print(algal_oxygen(solar_radiation=Q(20, "MJ/m^2/day")))
    0.41 mol/m² of light a day inside: algae could make up to 1.6 g/m² of oxygen by day, and use much of it ...
    """
    if (daily_light is None) == (solar_radiation is None):
        raise Problem("algal_oxygen takes the daily_light or the solar_radiation, and not both.")
    share = number("roots", "light", "let in", "1") if let_in is None else let_in
    within(share, 0, 1, "let_in is the share of light that passes, 0 to 1; {value:g} is not.")
    unit = "MJ/m^2/day" if daily_light is None else "mol/m^2/day"
    given: Any = solar_radiation if daily_light is None else daily_light
    within(given, 0, np.inf, "Light is not negative; {value} is.", unit)
    if daily_light is None:
        given = given * number("roots", "light", "photons in sunshine", "mol/MJ")
    inside = given * share
    most = load("roots")["light", "oxygen from photons"].range[1].m_as("dimensionless")
    return Algae(
        Q(inside, "mol/m^2/day"),
        Q(inside * most * number("oxygen", "oxygen", "molar mass", "g/mol"), "g/m^2/day"),
    )
