"""Dissolving weighed salts in water."""

from collections.abc import Mapping
from reprlib import repr as short

import numpy as np

from stilltank.science.chemistry import Solution, Water, litres
from stilltank.science.products import Salt, salt
from stilltank.units import Q, Quantity, UnitNeeded, check_shapes, magnitude, takes, within
from stilltank.units.types import Plain


@takes(water=Water)
def mix(
    masses: Mapping[str, Quantity] | Mapping[Salt, Quantity] | Mapping[str | Salt, Quantity],
    volume: Quantity,
    water: Water | None = None,
) -> Solution:
    """Dissolve weighed salts and make up to a volume.

    Parameters
    ----------
    masses : mapping of str or Salt to Quantity
        Mass of each salt, single values or arrays; names or formulas as for ``salt``.
    volume : Quantity
        Of the finished solution, not of the water poured in first; one value or an array.
    water : Water, optional
        Pure water when left out.

    Returns
    -------
    Solution
        With what the water and the salts bring.

    Raises
    ------
    Unreadable
        There is no such salt, or the water is none.
    UnitNeeded
        A mass or the volume has no unit.
    OutOfRange
        A mass is below zero, or the volume is not above it.
    Problem
        The arrays do not fit each other.

    See Also
    --------
    weigh_out : Which masses make a recipe.

    Notes
    -----
    Everything is taken to dissolve and to stay dissolved; the mass of all atoms is kept exactly.

    Examples
    --------
    >>> solution = mix({"Ca(NO3)2.4H2O": Q(1, "g")}, Q(1, "L"))
    >>> round(solution.elements["N"].m_as("mg/L"), 1), round(solution.elements["Ca"].m_as("mg/L"), 1)
    (118.6, 169.7)
    """
    if not isinstance(masses, Mapping):
        raise UnitNeeded('mix needs the salts as {"KNO3": Q(5, "g"), ...}; you gave ' + f"{short(masses)}.")
    whole = litres(volume, "mix")
    shapes = {"volume": np.shape(whole)}
    added: dict[str, Plain] = {}
    weighed: dict[str, Quantity] = {}
    for name, mass in masses.items():
        each = salt(name)
        grams = magnitude(mass, "g", each.name, "mix")
        within(grams, 0, np.inf, f"mix: {{value}} of {each.name} cannot be; a mass is zero or more.", "g")
        shapes[each.name] = np.shape(grams)
        check_shapes(shapes, "mix")
        weighed[each.name] = weighed.get(each.name, Q(0, "g")) + Q(grams, "g")
        for key, mmol in each.release.items():
            added[key] = added.get(key, 0.0) + grams * mmol / whole
    return Solution(
        Q(whole, "L"),
        {key: Q(value, "mmol/L") for key, value in added.items()},
        weighed,
        Water.pure() if water is None else water,
    )
