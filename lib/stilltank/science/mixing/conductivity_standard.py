"""The potassium chloride solution that meters are set with."""

from functools import cache
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import chemistry
from stilltank.science.chemistry import water_in_a_litre
from stilltank.units import OutOfRange, PlainNumber, Problem, Q, Quantity, takes, within
from stilltank.units.types import Array, Plain

_BOTTLES = {0.01: "0.01 mol/kg KCl", 0.1: "0.1 mol/kg KCl", 1.0: "1 mol/kg KCl"}


@cache
def _points(moles: float) -> tuple[Array, Array]:
    """Temperatures, °C, and conductivities, µS/cm, of data/conductivity-standard.csv."""
    table = tables.load("conductivity-standard")
    celsius = [float(name.split()[0]) for name in table.items_named]
    return np.array(celsius), np.array([table[name, _BOTTLES[moles]].value for name in table.items_named])


@takes(temperature="degC", each=("kilogram", "litre"), moles=PlainNumber(0.01), returns="uS/cm")
def calibration_standard(
    temperature: Quantity | None = None, each: str = "kilogram", moles: float = 0.01
) -> Quantity:
    """What a calibration bottle of potassium chloride conducts at a temperature.

    Parameters
    ----------
    temperature : Quantity, optional
        From 0 to 35 degC, one value or an array; 25 degC when left out.
    each : str, optional
        "kilogram", so many moles of KCl in a kilogram of water (0.01: 1408 µS/cm at 25 degC); or "litre", in
        a litre of solution (1413). Both bottles are sold and both labels are right: they are different solutions.
    moles : float, optional
        0.01, the usual bottle; 0.1 or 1.

    Returns
    -------
    Quantity
        µS/cm, in the shape of ``temperature``.

    Raises
    ------
    UnitNeeded
        The temperature has no unit.
    Unreadable
        There is another word for ``each``.
    OutOfRange
        The temperature is outside 0 to 35 degC, or it is a whole mole in a litre, which nobody tabulates.
    Problem
        There is another number of moles.

    Notes
    -----
    By the kilogram this is the table itself, so it can be no check of it; between the table's temperatures runs a
    smooth curve. A meter that compensates shows the value of 25 degC. Of the table 25 degC, and 20 degC of the usual
    bottle, were read in a secondary copy, the others are from memory. By the litre it is scaled with the ion model,
    whose own error drops out of the ratio.

    References
    ----------
    CRC, standard KCl solutions.

    Examples
    --------
    >>> round(calibration_standard(Q(25, "degC"), "litre").m_as("uS/cm"))
    1413
    """
    from scipy.interpolate import PchipInterpolator

    if np.ndim(moles) or moles not in _BOTTLES:
        raise Problem(f"The standards hold 0.01, 0.1 or 1 mol of KCl; {moles!r} is none of them.")
    celsius, values = _points(float(moles))
    at: Any = 25.0 if temperature is None else temperature
    within(
        at,
        celsius[0],
        celsius[-1],
        "The table of the standard runs from {low} to {high}; {value} is outside.",
        "degC",
    )
    by_kilogram = PchipInterpolator(celsius, values)(at)
    if each == "kilogram":
        return by_kilogram[()]
    if moles == 1:
        raise OutOfRange(
            "No standard with a whole mole in each litre is tabulated, and it is too strong for the ion model to "
            'scale. Ask for each="kilogram", or for 0.1 mol.'
        )
    water = water_in_a_litre.plain(at)
    room = moles * tables.number(
        "mixing", "KCl", "apparent molar volume", "L/mol"
    )  # L of a litre that is salt
    stronger = 1 / ((1 - room) * water)  # in a kilogram of water, over ``moles``

    def model(times: Plain) -> Any:
        amount = Q(1000 * moles * times * water, "mmol/L")
        return chemistry.conductivity({"K+": amount, "Cl-": amount}, Q(at, "degC")).m_as("uS/cm")

    return (by_kilogram * model(stronger) / model(1.0))[()]
