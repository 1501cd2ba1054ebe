"""Salts: what each releases, how much dissolves, and dissolving them in water."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from stilltank.science.chemistry import Solution, Water, litres
from stilltank.science.products import salt
from stilltank.units import Q, UnitNeeded, check_shapes, magnitude, within
from stilltank.units.types import Plain


def mix(masses: Mapping[Any, Any], volume: Any, water: Water | None = None) -> Solution:
    """Dissolve weighed salts and make up to a volume.

    Parameters
    ----------
    masses : mapping of salt to quantity, mass, arrays allowed
        Names or formulas as for ``salt``, or Salt objects.
    volume : quantity
        Of the finished solution, not of the water poured in first.
    water : Water, default pure water

    Returns
    -------
    Solution

    Raises
    ------
    Unreadable   no such salt
    UnitNeeded   a mass or volume without a unit
    OutOfRange   a negative mass, a volume of zero or less
    Problem      arrays that do not fit each other

    Example
    -------
    >>> solution = mix({"Ca(NO3)2.4H2O": Q(1, "g")}, Q(1, "L"))
    >>> round(solution.elements["N"].m_as("mg/L"), 1), round(solution.elements["Ca"].m_as("mg/L"), 1)
    (118.6, 169.7)

    Limits: everything is taken to dissolve and to stay dissolved; the mass of all atoms is kept exactly.
    """
    if not isinstance(masses, Mapping):
        raise UnitNeeded('mix needs the salts as {"KNO3": Q(5, "g"), ...}; you gave ' + f"{masses!r}.")
    whole = litres(volume, "mix")
    shapes = {"volume": np.shape(whole)}
    added: dict[str, Plain] = {}
    weighed: dict[str, Any] = {}
    for name, mass in masses.items():
        each = salt(name)
        grams = magnitude(mass, "g", each.name, "mix")
        within(grams, 0, np.inf, f"mix: {{value:g}} g of {each.name} cannot be; a mass is zero or more.")
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
