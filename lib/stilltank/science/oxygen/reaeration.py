"""The film coefficient of a tank of one's own, from the recovery of its oxygen."""

import csv
from dataclasses import dataclass
from os import PathLike
from typing import Any

import numpy as np

from stilltank.files import read_text
from stilltank.tables import DATA
from stilltank.units import OutOfRange, PlainNumber, Problem, Q, Unreadable, one_value, takes, within
from stilltank.units.types import Quantities, Quantity

from ._formulas import check_concentration, check_positive, check_water, n
from .solubility import saturation

_COLUMNS = {"time": "time (h)", "concentration": "oxygen (mg/L)", "temperature": "temperature (°C)"}


@dataclass(frozen=True, eq=False)
class FilmFit:
    """A film coefficient fitted to the recovery of oxygen.

    Parameters
    ----------
    coefficient : Quantity
        The film coefficient, in m/day.
    low, high : Quantity
        Its range, in m/day: it holds the true one in ``certainty`` of such trials, if the water was mixed and nothing
        in it used oxygen.
    by_hand : Quantity
        The same from the straight line through the logarithm of what is missing, in m/day.
    start, plateau : Quantity
        Oxygen at the first reading, and where the recovery ends, in mg/L.
    scatter : Quantity
        Typical distance of a reading from the curve, in mg/L.
    readings : int
        How many there were.
    certainty : float
        Of the range.

    See Also
    --------
    fit_film_coefficient : Fits it.

    Examples
    --------
    >>> trial = reaeration_readings()
    >>> fit = fit_film_coefficient(trial.time, trial.concentration, Q(13, "cm"), trial.temperature)
    >>> bool(fit.low < fit.coefficient < fit.high), fit.readings
    (True, 15)
    """

    coefficient: Quantity
    low: Quantity
    high: Quantity
    by_hand: Quantity
    start: Quantity
    plateau: Quantity
    scatter: Quantity
    readings: int
    certainty: float

    def __str__(self) -> str:
        k, low, high = (value.m_as("m/day") for value in (self.coefficient, self.low, self.high))
        return (
            f"film coefficient {k:.2g} m/day ({low:.2g} to {high:.2g}) from {self.readings} readings, "
            f"typical error {self.scatter.m_as('mg/L'):.2g} mg/L"
        )


@dataclass(frozen=True, eq=False)
class ReaerationReadings:
    """Readings of a recovery of oxygen; arrays of one length.

    Parameters
    ----------
    time : Quantity
        Of each reading since any moment, in hours.
    concentration : Quantity
        Oxygen read, in mg/L.
    temperature : Quantity
        Of the water, in degC.

    See Also
    --------
    reaeration_readings : Reads them from a file.

    Examples
    --------
    >>> ReaerationReadings(Q([0, 5], "hour"), Q([1, 4], "mg/L"), Q([19, 20], "degC")).time.m_as("hour").tolist()
    [0.0, 5.0]
    """

    time: Quantity
    concentration: Quantity
    temperature: Quantity

    def __str__(self) -> str:
        hours, oxygen = self.time.m_as("hour"), self.concentration.m_as("mg/L")
        return (
            f"{hours.size} readings over {np.ptp(hours):.3g} h, {oxygen.min():.1f} to {oxygen.max():.1f} mg/L"
        )


@takes(
    time="day",
    concentration="g/m^3",
    temperature="degC",
    certainty=PlainNumber(0.95),
)
def fit_film_coefficient(
    time: Quantities,
    concentration: Quantities,
    depth: Quantity,
    temperature: Quantities,
    *,
    pressure: Quantity | None = None,
    plateau: Quantity | None = None,
    fit_plateau: bool = False,
    certainty: float = 0.95,
) -> FilmFit:
    """Fit the film coefficient to the recovery of oxygen in water that was stripped of it.

    Parameters
    ----------
    time : Quantity
        Of the readings since any moment, [readings].
    concentration : Quantity
        Oxygen read, [readings].
    depth : Quantity
        Of the water.
    temperature : Quantity
        Of the water, 0 to 40 degC; one, or [readings].
    pressure : Quantity, optional
        Of the air; 1 atm when left out.
    plateau : Quantity, optional
        Where the recovery ends; saturation at the mean temperature when left out.
    fit_plateau : bool, optional
        True to find the plateau from the readings too, for a meter that is off; needs readings near it.
    certainty : float, optional
        Of the range, 0.5 to 0.99.

    Returns
    -------
    FilmFit
        The coefficient with its range, and how well the curve fits.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        A concentration is negative, the depth nothing, the water below 0 or above 40 degC, or the certainty too high.
    Problem
        There are fewer than five readings, lengths differ, the oxygen does not rise, or it stands above the plateau.
    Unreadable
        The certainty is no plain number.

    See Also
    --------
    reaeration_readings : Reads such a trial from a file.
    mixed_water : What the coefficient is for.

    Notes
    -----
    Nonlinear least squares, with the range by Student's t, of

    .. math:: C = S - (S - C_0) e^{-k t / h}

    Mixed water with nothing in it that uses oxygen, and a temperature that holds: a change of 1 degC moves the
    saturation by 2 percent. It is the coefficient of that water, lid and day. The meter's own errors that all readings
    share are not in the range.

    Examples
    --------
    >>> trial = reaeration_readings()
    >>> print(fit_film_coefficient(trial.time, trial.concentration, Q(13, "cm"), trial.temperature))
    film coefficient 0.22 m/day (0.21 to 0.23) from 15 readings, typical error 0.087 mg/L
    """
    from scipy.optimize import curve_fit
    from scipy.special import stdtrit

    days, oxygen, warm = np.atleast_1d(time), np.atleast_1d(concentration), np.asarray(temperature)
    if days.shape != oxygen.shape or days.ndim != 1 or np.size(warm) not in (1, days.size):
        raise Problem(
            f"fit_film_coefficient: {days.size} times, {oxygen.size} concentrations and {np.size(warm)} "
            "temperatures. Give as many of each; the temperature may be one."
        )
    least = int(n("recovery", "fewest readings"))
    if np.unique(days).size < least:
        raise Problem(
            f"fit_film_coefficient needs readings at {least} times or more; it got {np.unique(days).size}."
        )
    check_concentration(oxygen)
    check_water(warm)
    deep = one_value(depth, "m", "depth", "fit_film_coefficient")
    check_positive(deep, "The depth of the water")
    if np.ndim(certainty) or not isinstance(fit_plateau, (bool, np.bool_)):
        raise Problem(
            "fit_film_coefficient takes one certainty, such as 0.95, and fit_plateau True or False."
        )
    share = certainty
    within(share, 0.5, 0.99, "A certainty lies between 0.5 and 0.99 here; {value:g} does not.")
    if plateau is not None and fit_plateau:
        raise Problem("fit_film_coefficient takes a plateau, or finds it with fit_plateau=True, not both.")
    if plateau is None:
        air = None if pressure is None else one_value(pressure, "kPa", "pressure", "fit_film_coefficient")
        end = float(saturation.plain(float(np.mean(warm)), air))
    else:
        end = one_value(plateau, "g/m^3", "plateau", "fit_film_coefficient")
        check_positive(end, "The plateau")
    order = np.argsort(days, kind="stable")
    days, oxygen = days[order] - days.min(), oxygen[order]
    slope, missing = _line(days, oxygen, end)

    def course(t: Any, log_rate: float, start: float, last: float = end) -> Any:
        return last - (last - start) * np.exp(-np.exp(log_rate) * t)

    first = [np.log(slope), end - missing] + [end] * fit_plateau
    try:
        found, spread = curve_fit(course, days, oxygen, first)
    except RuntimeError:
        raise Problem(
            "fit_film_coefficient found no curve through these readings. Plot them: they should rise fast, then slower."
        ) from None
    if not np.all(np.isfinite(spread)):
        raise Problem(
            "fit_film_coefficient: these readings do not tell how fast the oxygen comes back. Read for longer."
        )
    left = oxygen - course(days, *found)
    freedom = days.size - found.size
    reach = stdtrit(freedom, 0.5 + share / 2) * np.sqrt(spread[0, 0])
    k, low, high = (deep * np.exp(found[0] + way * reach) for way in (0, -1, 1))
    return FilmFit(
        coefficient=Q(k, "m/day"),
        low=Q(low, "m/day"),
        high=Q(high, "m/day"),
        by_hand=Q(slope * deep, "m/day"),
        start=Q(found[1], "mg/L"),
        plateau=Q(found[2] if fit_plateau else end, "mg/L"),
        scatter=Q(np.sqrt(left @ left / freedom), "mg/L"),
        readings=days.size,
        certainty=share,
    )


def _line(days: Any, oxygen: Any, end: float) -> tuple[float, float]:
    """Rate a day and what was missing at the start, by the logarithm of what is missing; checks the readings."""
    above = n("recovery", "most above")
    if oxygen.max() > end * above:
        raise Problem(
            f"fit_film_coefficient: a reading of {oxygen.max():.3g} mg/L lies far above the plateau of {end:.3g} mg/L. "
            "Check the temperature, the pressure and the meter's calibration, or use fit_plateau=True."
        )
    clear = oxygen < n("recovery", "by hand up to") * end  # near the plateau a logarithm is made of errors
    if np.unique(days[clear]).size < 2:
        raise Problem(
            f"fit_film_coefficient: almost all readings are already near the plateau of {end:.3g} mg/L. Start "
            "with water that holds little oxygen, and take readings while it rises."
        )
    slope, start = np.polyfit(days[clear], np.log(end - oxygen[clear]), 1)
    if slope >= 0:
        raise Problem(
            "fit_film_coefficient: the oxygen does not rise in these readings, so nothing can be fitted."
        )
    return -float(slope), float(np.exp(start))


def reaeration_readings(path: str | PathLike[str] | None = None) -> ReaerationReadings:
    """Read the readings of a recovery of oxygen from a CSV file.

    Parameters
    ----------
    path : str or path, optional
        Of a file with the columns time (h), oxygen (mg/L) and temperature (°C); lines that begin with # are remarks.
        An invented trial of Quillgate School when left out.

    Returns
    -------
    ReaerationReadings
        Of one length, in the order of the file.

    Raises
    ------
    Unreadable
        There is no such file, its heading is another, or a cell is no number; the sentence names the line.
    OutOfRange
        A concentration is negative.

    See Also
    --------
    fit_film_coefficient : What they are for.

    Examples
    --------
    >>> print(reaeration_readings())
    15 readings over 30 h, 0.8 to 8.1 mg/L
    """
    text = read_text(
        DATA / "demo" / "oxygen-recovery-quillgate.csv" if path is None else path, "the recovery"
    )
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line and not line.startswith("#")
    ]
    rows = list(csv.reader(line for _, line in lines))
    if not rows or [cell.strip() for cell in rows[0]] != list(_COLUMNS.values()):
        raise Unreadable(f"The first line of a recovery reads: {','.join(_COLUMNS.values())}.")
    values = []
    for (number, line), row in zip(lines[1:], rows[1:], strict=True):
        try:
            values.append([float(cell) for cell in row])
        except ValueError:
            values.append([])
        if len(values[-1]) != len(_COLUMNS) or not np.all(np.isfinite(values[-1])):
            raise Unreadable(
                f"Line {number} of the recovery reads {line!r}; it needs three numbers such as 2,3.4,19.5."
            )
    if not values:
        raise Unreadable("The recovery has a heading and no readings.")
    hours, oxygen, warm = np.array(values).T
    if oxygen.min() < 0:
        raise OutOfRange(f"A concentration of {oxygen.min():g} mg/L is not possible.")
    return ReaerationReadings(Q(hours, "hour"), Q(oxygen, "mg/L"), Q(warm, "degC"))
