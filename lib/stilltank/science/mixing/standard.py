"""The potassium chloride solution that meters are set with."""

from functools import cache
from typing import Any

import numpy as np

from ... import tables
from ...units import Problem, Q, takes, within
from .. import conductivity
from ..density import density

_BOTTLE = "0.01 mol/kg KCl"


@cache
def _points() -> tuple[Any, Any]:
    """Temperatures, °C, and conductivities, µS/cm, of data/conductivity-standard.csv."""
    table = tables.load("conductivity-standard")
    celsius = [float(name.split()[0]) for name in table.items_named]
    return np.array(celsius), np.array([table[name, _BOTTLE].value for name in table.items_named])


@takes(temperature="degC")
def meter_standard(temperature: Any = None, each: str = "kilogram") -> Any:
    """What the usual calibration bottle conducts at a temperature.

    Parameters
    ----------
    temperature : quantity, array; 25 degC when left out
    each : "kilogram", a hundredth of a mole of KCl in a kilogram of water (1408 µS/cm at 25 °C); or "litre", in
        a litre of solution (1413). Both bottles are sold and both labels are right: they are different solutions.

    Returns
    -------
    quantity, µS/cm

    Raises
    ------
    OutOfRange   outside 0 to 35 °C
    Problem      another word for ``each``

    Example
    -------
    >>> round(meter_standard(Q(25, "degC"), "litre").m_as("uS/cm"))
    1413

    Limits: between the table's temperatures runs a smooth curve. A meter that compensates shows the value of 25 °C.
    Source: CRC Handbook, standard KCl solutions; 20 and 25 °C read in a secondary copy, the others from memory. By the
    litre: scaled with the ion model, whose own error drops out of the ratio.
    """
    from scipy.interpolate import PchipInterpolator

    if each not in ("kilogram", "litre"):
        raise Problem(
            f'The standard holds 0.01 mol in each "kilogram" of water or "litre" of solution; not {each!r}.'
        )
    celsius, values = _points()
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
    room = 0.01 * tables.number(
        "mixing", "KCl", "apparent molar volume", "L/mol"
    )  # L of a litre that is salt
    stronger = 1 / ((1 - room) * density(at) / 1000)  # moles in a kilogram of water, over 0.01

    def model(times: Any) -> Any:
        amount = Q(10 * times * density(at) / 1000, "mmol/L")
        return conductivity.of({"K+": amount, "Cl-": amount}, Q(at, "degC")).m_as("uS/cm")

    return Q((by_kilogram * model(stronger) / model(1.0))[()], "uS/cm")
