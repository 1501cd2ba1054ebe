"""The potassium chloride solution that meters are set with."""

from functools import cache
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import chemistry
from stilltank.science.pure_water import density
from stilltank.units import OutOfRange, Problem, Q, takes, within

_BOTTLES = {0.01: "0.01 mol/kg KCl", 0.1: "0.1 mol/kg KCl", 1.0: "1 mol/kg KCl"}


@cache
def _points(moles: float) -> tuple[Any, Any]:
    """Temperatures, °C, and conductivities, µS/cm, of data/conductivity-standard.csv."""
    table = tables.load("conductivity-standard")
    celsius = [float(name.split()[0]) for name in table.items_named]
    return np.array(celsius), np.array([table[name, _BOTTLES[moles]].value for name in table.items_named])


@takes(temperature="degC")
def calibration_standard(temperature: Any = None, each: str = "kilogram", moles: float = 0.01) -> Any:
    """What a calibration bottle of potassium chloride conducts at a temperature.

    Parameters
    ----------
    temperature : quantity, array; 25 degC when left out
    each : "kilogram", so many moles of KCl in a kilogram of water (0.01: 1408 µS/cm at 25 °C); or "litre", in
        a litre of solution (1413). Both bottles are sold and both labels are right: they are different solutions.
    moles : 0.01, the usual bottle; 0.1 or 1

    Returns
    -------
    quantity, µS/cm

    Raises
    ------
    OutOfRange   outside 0 to 35 °C; a whole mole in a litre, which nobody tabulates
    Problem      another word for ``each``, another number of moles

    Example
    -------
    >>> round(calibration_standard(Q(25, "degC"), "litre").m_as("uS/cm"))
    1413

    Limits: by the kilogram this is the table itself, so it can be no check of it; between the table's temperatures
    runs a smooth curve. A meter that compensates shows the value of 25 °C.
    Source: CRC Handbook, standard KCl solutions; 25 °C, and 20 °C of the usual bottle, read in a secondary copy, the
    others from memory. By the litre: scaled with the ion model, whose own error drops out of the ratio.
    """
    from scipy.interpolate import PchipInterpolator

    if each not in ("kilogram", "litre"):
        raise Problem(
            f'The standard holds its KCl in each "kilogram" of water or "litre" of solution; not {each!r}.'
        )
    if moles not in _BOTTLES:
        raise Problem(f"The standards hold 0.01, 0.1 or 1 mol of KCl; {moles!r} is none of them.")
    celsius, values = _points(float(moles))
    at = 25.0 if temperature is None else temperature
    within(
        at,
        celsius[0],
        celsius[-1],
        "The table of the standard runs from 0 to 35 °C; {value:g} °C is outside.",
    )
    by_kilogram = PchipInterpolator(celsius, values)(at)
    if each == "kilogram":
        return Q(by_kilogram[()], "uS/cm")
    if moles == 1:
        raise OutOfRange(
            "No standard with a whole mole in each litre is tabulated, and it is too strong for the ion model to "
            'scale. Ask for each="kilogram", or for 0.1 mol.'
        )
    room = moles * tables.number(
        "mixing", "KCl", "apparent molar volume", "L/mol"
    )  # L of a litre that is salt
    stronger = 1 / ((1 - room) * density(at) / 1000)  # in a kilogram of water, over ``moles``

    def model(times: Any) -> Any:
        amount = Q(1000 * moles * times * density(at) / 1000, "mmol/L")
        return chemistry.conductivity({"K+": amount, "Cl-": amount}, Q(at, "degC")).m_as("uS/cm")

    return Q((by_kilogram * model(stronger) / model(1.0))[()], "uS/cm")
