"""What a pH meter should show in its calibration bottles."""

from typing import Any

from stilltank.science.chemistry import ZERO_CELSIUS, solve
from stilltank.tables import load, number
from stilltank.units import Unreadable, takes, within


def calibration_buffers() -> tuple[str, ...]:
    """The buffers of ``calibration_ph``.

    Example
    -------
    >>> calibration_buffers()
    ('phthalate', 'phosphate', 'borax', 'carbonate')
    """
    return load("buffers").items_named


@takes(temperature="degC")
def calibration_ph(buffer: str, temperature: Any = None) -> Any:
    """Find the pH of a calibration buffer at the temperature it has.

    Parameters
    ----------
    buffer : str
        One of ``calibration_buffers()``: the bottles called 4.01, 6.86, 9.18 and 10.01 after their pH at 25 degC.
    temperature : quantity, one or an array; 25 degC when left out

    Returns
    -------
    number or array

    Raises
    ------
    Unreadable   another buffer
    UnitNeeded   a temperature without a unit
    OutOfRange   outside 0 to 40 degC

    Example
    -------
    >>> [round(float(calibration_ph("phosphate", Q(celsius, "degC"))), 1) for celsius in (5, 25)]
    [7.0, 6.9]

    Limits: within 0.03 of the standards of NIST from 0 to 40 degC. The table
    on the bottle is surer, and most meters hold it. Trade buffers of 7.00 are made otherwise: go by their label.
    Source: phthalate, the equation of Hamer, Pinching and Acree (1946); the others, ``equilibrium``.
    """
    names = calibration_buffers()
    if buffer not in names:
        raise Unreadable(f"A calibration buffer is one of {', '.join(names)}; {buffer!r} is none of them.")
    celsius = 25.0 if temperature is None else temperature
    low, high = (number("equilibrium", "solver", f"{end} temperature", "1") for end in ("lowest", "highest"))
    within(
        celsius, low, high, f"A buffer is known from {low:g} to {high:g} degC; {{value:g}} degC is outside."
    )
    made = load("buffers").of(buffer)
    if "pH constant" in made:
        a, b, c = (
            number("buffers", buffer, f"pH {term}", unit)
            for term, unit in (("over T", "K"), ("constant", "1"), ("per T", "1/K"))
        )
        kelvin = celsius + ZERO_CELSIUS
        return a / kelvin + b + c * kelvin
    totals = {key: number("buffers", buffer, key, "mol/kg") for key in made if key != "label"}
    charge = sum(totals.get(metal, 0.0) for metal in ("K", "Na"))
    return solve({**totals, "strong_charge": charge, "temperature": celsius}).ph
