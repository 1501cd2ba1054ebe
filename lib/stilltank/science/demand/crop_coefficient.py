"""From the reference grass to a crop: coefficients over its life, and for another climate."""

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.sky import fao56_value
from stilltank.units import PlainNumber, Quantity, takes, within
from stilltank.units.types import Numbers, Plain, PlainLike

from .stages import named, plain, stage_lengths

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
    Coefficients of FAO-56 belong to large fields, and it lists few flowers. The stages follow the crop's own days:
    full cover at the first flower or harvest, and the end at the last. Where a schedule is known, `fit_stages` first.

    References
    ----------
    FAO56, equation 66.

    Examples
    --------
    >>> crop_coefficient("lettuce", [1, 21, 35]).round(2).tolist()
    [0.15, 0.52, 0.9]
    """
    within(day, 0, np.inf, "crop_coefficient: day {value:g} lies before transplanting; the first day is 1.")
    crop = named(crop)
    initial, mid, end = (plain(crop, name, "dimensionless") for name in _COEFFICIENTS)
    corners = np.cumsum([0.0, *stage_lengths(crop)])
    found = np.interp(day, corners, [initial, initial, mid, mid, end])
    return float(found) if np.ndim(day) == 0 else found


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
