"""From the reference grass to a crop: coefficients over its life, and for another climate."""

from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.crops import crop as crop_of
from stilltank.science.sky import fao56_value
from stilltank.units import OutOfRange, PlainNumber, Problem, Quantity, takes, within
from stilltank.units.types import Numbers, Plain, PlainLike

_STAGES = ("stage_initial", "stage_development", "stage_mid", "stage_late")
_COEFFICIENTS = ("kcb_initial", "kcb_mid", "kcb_end")


@takes(day=PlainNumber(35))
def crop_coefficient(crop: Crop | str, day: Plain | Numbers) -> PlainLike:
    """Coefficient of a crop on each day of its life: flat, rising, flat, falling.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    day : float or ndarray
        Day after transplanting, 1 on the first. After the last stage the coefficient stays as it is.

    Returns
    -------
    float or ndarray
        The basal coefficient, since a lid keeps wet soil out of the sum; of the shape of ``day``.

    Raises
    ------
    Problem
        No crop of that name, or one that lacks a coefficient or a stage length.
    OutOfRange
        A day before the first.
    Unreadable
        Days that are no numbers.

    Notes
    -----
    Coefficients of FAO-56 belong to large fields, its stage lengths are examples, and it lists few flowers.

    References
    ----------
    FAO56, equation 66.

    Examples
    --------
    >>> round(crop_coefficient("lettuce", 35), 3)
    0.525
    """
    within(day, 0, np.inf, "crop_coefficient: day {value:g} lies before transplanting; the first day is 1.")
    crop = _named(crop)
    initial, mid, end = (_plain(crop, name, "dimensionless") for name in _COEFFICIENTS)
    lengths = [_plain(crop, name, "day") for name in _STAGES]
    corners = np.cumsum([0.0, *lengths])
    found = np.interp(day, corners, [initial, initial, mid, mid, end])
    return float(found) if np.ndim(day) == 0 else found


def season_length(crop: Crop | str) -> int:
    """Days from transplanting to the end of the last stage.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.

    Returns
    -------
    int
        Whole days.

    Raises
    ------
    Problem
        No crop of that name, or a stage length is missing.

    Examples
    --------
    >>> season_length("lettuce")
    75
    """
    crop = _named(crop)
    return round(sum(_plain(crop, name, "day") for name in _STAGES))


def _named(crop: Any) -> Any:
    return crop_of(crop) if isinstance(crop, str) else crop


def _plain(crop: Any, name: str, unit: str) -> float:
    found = getattr(crop, name, None)
    if found is None:
        who = getattr(crop, "name", crop)
        raise Problem(f"{who}: no {name.replace('_', ' ')} is known, so its use of water cannot be computed.")
    plain = float(found.m_as(unit)) if isinstance(found, Quantity) else float(found)
    if plain < 0:
        raise OutOfRange(
            f"{getattr(crop, 'name', crop)}: {name.replace('_', ' ')} is {plain:g}; it cannot be negative."
        )
    return plain


@takes(
    wind_speed="m/s",
    relative_humidity_min="percent",
    height="m",
    coefficient=PlainNumber(1.15),
    returns="dimensionless",
)
def adjusted_crop_coefficient(
    coefficient: Plain, wind_speed: Quantity, relative_humidity_min: Quantity, height: Quantity
) -> Quantity:
    """Middle or end coefficient of a crop in another climate than that of the table.

    Parameters
    ----------
    coefficient : float or ndarray
        From the table; adjust only those above 0.45.
    wind_speed : Quantity
        At 2 m, mean of the stage, 1 m/s to 6 m/s.
    relative_humidity_min : Quantity
        Mean of the daily lowest, 20 to 80 percent.
    height : Quantity
        Of the plants, 0.1 m to 10 m.

    Returns
    -------
    Quantity
        Dimensionless quantity.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        Outside what the equation was made for.

    References
    ----------
    FAO56, equation 62, and equation 70 for basal coefficients.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(adjusted_crop_coefficient(1.2, Q(4.6, "m/s"), Q(44, "percent"), Q(2, "m")).magnitude, 2)
    1.3
    """
    within(
        wind_speed,
        1,
        6,
        "adjusted_crop_coefficient holds for a wind of {low} to {high}; {value} lies outside.",
        "m/s",
    )
    within(
        relative_humidity_min,
        20,
        80,
        "adjusted_crop_coefficient holds for 20 to 80 percent humidity; not for {value:g}.",
    )
    within(
        height,
        0.1,
        10,
        "adjusted_crop_coefficient holds for plants of {low} to {high}; {value} lies outside.",
        "m",
    )
    drier = fao56_value("crop coefficient", "wind slope") * (
        wind_speed - fao56_value("crop coefficient", "usual wind", "m/s")
    ) - fao56_value("crop coefficient", "humidity slope") * (
        relative_humidity_min - fao56_value("crop coefficient", "usual humidity", "percent")
    )
    tall = (height / fao56_value("crop coefficient", "usual height", "m")) ** fao56_value(
        "crop coefficient", "height exponent"
    )
    return coefficient + drier * tall
