"""What a pH meter should show in its calibration bottles."""

from typing import Any

from stilltank.science.chemistry import ZERO_CELSIUS, solve
from stilltank.tables import load, number
from stilltank.units import Unreadable, takes, within
from stilltank.units.types import Plain, Quantity


def calibration_buffers() -> tuple[str, ...]:
    """Return the names of the buffers that `calibration_ph` knows.

    Returns
    -------
    tuple of str
        The bottles called 4.01, 6.86, 9.18 and 10.01 after their pH at 25 °C.

    See Also
    --------
    calibration_ph : The pH of one.

    Examples
    --------
    >>> calibration_buffers()
    ('phthalate', 'phosphate', 'borax', 'carbonate')
    """
    return load("buffers").items_named


@takes(buffer=str, temperature="degC")
def calibration_ph(buffer: str, temperature: Quantity | None = None) -> Plain:
    """Find the pH of a calibration buffer at the temperature it has.

    Parameters
    ----------
    buffer : str
        One of `calibration_buffers`.
    temperature : Quantity, optional
        Temperature, 0 to 40 °C, one or an array; 25 °C when left out.

    Returns
    -------
    float or array
        The pH, with the shape of ``temperature``.

    Raises
    ------
    Unreadable
        Another buffer.
    UnitNeeded
        A temperature that has no unit.
    OutOfRange
        A temperature outside 0 to 40 °C.

    See Also
    --------
    calibration_buffers : The names.

    Notes
    -----
    Within 0.03 of the standards of NIST from 0 to 40 °C. The table on the bottle is surer, and most meters hold it.
    Trade buffers of 7.00 are made otherwise: go by their label. Phthalate follows an equation of its own, the others
    the equilibrium of `stilltank.science.chemistry`.

    References
    ----------
    Hamer1946 for phthalate, StaplesBates1969 for borax and carbonate, Bates1962 for phosphate.

    Examples
    --------
    >>> calibration_ph("phosphate", Q([5, 25], "degC")).round(1).tolist()
    [7.0, 6.9]
    """
    names = calibration_buffers()
    if buffer not in names:
        raise Unreadable(f'We do not know a calibration buffer called "{buffer}". Write {", ".join(names)}.')
    celsius = 25.0 if temperature is None else temperature
    low, high = (number("equilibrium", "solver", f"{end} temperature", "1") for end in ("lowest", "highest"))
    within(
        celsius, low, high, "The pH of a buffer is known from {low} to {high}; {value} is outside.", "degC"
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
    state: dict[str, Any] = {**totals, "strong_charge": charge, "temperature": celsius}
    return solve(state).ph
