"""Light that finds its way into a tank, and the oxygen that algae could make of it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import load, number
from stilltank.units import Problem, Q, pure_number, takes, within


@dataclass(frozen=True, eq=False)
class Algae:
    """What algae could do with the light inside: ``light`` in mol/m^2/day, ``oxygen`` at most, in g/m^2/day by day."""

    light: Any
    oxygen: Any

    def __str__(self) -> str:
        if np.ndim(self.oxygen.magnitude):
            most = self.oxygen.magnitude.max()
            return f"{np.size(self.oxygen.magnitude)} kinds of light, at most {most:.2g} g/m²/day"
        return (
            f"{self.light.magnitude:.2g} mol/m² of light a day inside: algae could make up to "
            f"{self.oxygen.magnitude:.2g} g/m² of oxygen by day, and use much of it again at night"
        )


@takes(daily_light="mol/m^2/day", solar_radiation="MJ/m^2/day")
def algal_oxygen(daily_light: Any = None, let_in: Any = None, solar_radiation: Any = None) -> Algae:
    """Bound the oxygen that algae could make of the light that gets into a tank.

    Parameters
    ----------
    daily_light : quantity, on the tank, mol/m^2/day; or
    solar_radiation : quantity, on a level area, MJ/m^2/day, as weather records hold it
    let_in : plain number, share of the light that passes lid, walls and pots; 0.01 when left out, an example

    Returns
    -------
    Algae

    Raises
    ------
    UnitNeeded, Unreadable   a bare light, a share that is no plain number
    OutOfRange               negative light, a share outside 0 to 1
    Problem                  not exactly one of ``daily_light`` and ``solar_radiation``

    Example
    -------
    >>> print(algal_oxygen(solar_radiation=Q(20, "MJ/m^2/day")))
    0.41 mol/m² of light a day inside: algae could make up to 1.6 g/m² of oxygen by day, and use much of it ...

    Limits: an upper bound; algae also need time, and take nutrients and raise the pH. No threshold of light below
    which there are none was found in any source, so the advice of all of them stands: keep the light out. The share
    that a wall lets in is not known until it is measured: hold a lamp behind it in a dark room.
    Source: eight photons for one oxygen, from memory; measured at best some nine hundredths (Emerson & Lewis 1943).
    """
    if (daily_light is None) == (solar_radiation is None):
        raise Problem("algal_oxygen takes the daily_light or the solar_radiation, and not both.")
    usual = number("roots", "light", "let in", "1")
    share = pure_number(usual if let_in is None else let_in, usual, "let_in", "algal_oxygen")
    within(share, 0, 1, "let_in is the share of light that passes, 0 to 1; {value:g} is not.")
    given = solar_radiation if daily_light is None else daily_light
    within(given, 0, np.inf, "Light is not negative; {value:g} is.")
    if daily_light is None:
        given = given * number("roots", "light", "photons in sunshine", "mol/MJ")
    inside = given * share
    most = load("roots")["light", "oxygen from photons"].range[1].m_as("dimensionless")
    return Algae(
        Q(inside, "mol/m^2/day"),
        Q(inside * most * number("oxygen", "oxygen", "molar mass", "g/mol"), "g/m^2/day"),
    )
