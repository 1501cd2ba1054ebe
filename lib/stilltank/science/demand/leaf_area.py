"""Leaf area from the crop coefficient: what a stand shades is read from how much it drinks."""

from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.crops import crop as crop_of
from stilltank.science.sky import fao56_value
from stilltank.units import PlainNumber, Problem, takes
from stilltank.units.types import Numbers, Plain, PlainLike

from .crop_coefficient import crop_coefficient
from .stands import full_cover_coefficient


@takes(day=PlainNumber(35))
def leaf_area_index(crop: Crop | str, day: Plain | Numbers) -> PlainLike:
    """Estimate the leaf area of a stand over its own ground, on each day of its life.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    day : float or ndarray
        Day after transplanting, 1 on the first.

    Returns
    -------
    float or ndarray
        Leaf area index, without a unit; of the shape of ``day``.

    Raises
    ------
    Problem
        No crop of that name, or one that lacks its height, a coefficient or a stage length.
    OutOfRange
        A day before the first.
    Unreadable
        Days that are no numbers.

    See Also
    --------
    crop_coefficient : From which it is calculated.

    Notes
    -----
    The equation by which FAO-56 finds the coefficient of a stand that does not cover its ground, solved for the leaf
    area:

    .. math:: K_{cb} = K_{min} + (K_{full} - K_{min}) (1 - e^{-0.7 LAI}), \\quad K_{full} = 1.0 + 0.1 h

    Rough: the coefficients of most crops here are assumptions, and a leaf area of 2 and one of 4 drink nearly alike.

    References
    ----------
    FAO56, equations 97 and 101.

    Examples
    --------
    >>> round(leaf_area_index("lettuce", 60), 1)
    2.7
    """
    coefficient: Any = crop_coefficient(crop, day)
    what = crop_of(crop) if isinstance(crop, str) else crop
    if what.height is None:
        raise Problem(f"{what.name}: no height is known, so its leaf area cannot be calculated.")
    full: Any = full_cover_coefficient.plain(float(what.height.m_as("m")))
    bare = fao56_value("partial cover", "bare")
    slope, most = fao56_value("partial cover", "leaf slope"), fao56_value("leaf area", "most")
    cover = np.clip((coefficient - bare) / (full - bare), 0, 1 - np.exp(-slope * most))
    found = -np.log1p(-cover) / slope + 0.0  # no minus before a zero
    return float(found) if np.ndim(day) == 0 else found
