"""Coefficients of stands that no table lists: by height, by cover, by leaf area, alone; and what the tables list."""

from dataclasses import replace
from typing import Any

import numpy as np

from stilltank.science.crops import Crop, names
from stilltank.science.crops import crop as crop_of
from stilltank.science.sky import fao56_value
from stilltank.tables import load
from stilltank.units import PlainNumber, Problem, Quantity, takes, within
from stilltank.units.types import Plain


@takes(height="m", returns="dimensionless")
def full_cover_coefficient(height: Quantity) -> Quantity:
    """Basal coefficient of a crop that FAO-56 does not list, once its leaves cover the ground.

    Parameters
    ----------
    height : Quantity
        Of the plants, above 0 and up to 10 m; one value or an array.

    Returns
    -------
    Quantity
        Dimensionless: 1.0 at the ground, 0.1 more for each metre, at most 1.2.

    Raises
    ------
    UnitNeeded
        A height without a unit of length.
    OutOfRange
        A height that no such plant has.

    See Also
    --------
    partial_cover_coefficient : Before the leaves cover the ground.
    adjusted_crop_coefficient : For another wind and humidity.

    Notes
    -----
    For a wind of 2 m/s and a lowest humidity of 45 % of the day.

    References
    ----------
    FAO56, equation 101, page 189.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> full_cover_coefficient(Q([0.3, 0.8, 2.5], "m")).magnitude.round(2).tolist()
    [1.03, 1.08, 1.2]
    """
    within(height, 1e-6, 10, "full_cover_coefficient: plants of {value}; write heights up to {high}.", "m")
    rising = fao56_value("full cover", "at the ground") + (
        fao56_value("full cover", "rise with height", "1/m") * height
    )
    return np.minimum(rising, fao56_value("full cover", "highest"))


@takes(
    full=PlainNumber(1.08),
    cover="dimensionless",
    height="m",
    effective_cover="dimensionless",
    returns="dimensionless",
)
def partial_cover_coefficient(
    full: Plain, cover: Quantity, height: Quantity, effective_cover: Quantity | None = None
) -> Quantity:
    """Basal coefficient of a stand whose leaves do not cover the ground.

    Parameters
    ----------
    full : float or ndarray
        The coefficient at full cover, such as that of `full_cover_coefficient`.
    cover : Quantity
        Share of the ground under leaves, seen from above.
    height : Quantity
        Of the plants, above 0 and up to 10 m.
    effective_cover : Quantity, optional
        Share of the ground that the leaves shade when the sun is low, which is more; ``cover`` when left out.

    Returns
    -------
    Quantity
        Dimensionless, from that of the bare dry surface to ``full``.

    Raises
    ------
    UnitNeeded
        A share or a height without a unit.
    OutOfRange
        A share outside 0 to 100 percent, a height that no such plant has, a coefficient outside 0 to 3.

    See Also
    --------
    leaf_area_coefficient : The same from the area of the leaves.

    References
    ----------
    FAO56, equation 98; example 41.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(partial_cover_coefficient(1.08, Q(50, "percent"), Q(0.8, "m")).magnitude, 2)
    0.78
    """
    _within_full(full)
    within(height, 1e-6, 10, "partial_cover_coefficient: plants of {value}; write heights up to {high}.", "m")
    shade = cover if effective_cover is None else effective_cover
    for share in (cover, shade):
        within(share, 0, 1, "A share of the ground of {value:g} is not possible; write 0 to 100 percent.")
    reached = np.minimum(fao56_value("partial cover", "cover factor") * cover, shade ** (1 / (1 + height)))
    return _above_bare(full, np.minimum(reached, 1))


@takes(full=PlainNumber(1.08), leaf_area_index=PlainNumber(2), returns="dimensionless")
def leaf_area_coefficient(full: Plain, leaf_area_index: Plain) -> Quantity:
    """Basal coefficient of a stand by the area of its leaves.

    Parameters
    ----------
    full : float or ndarray
        The coefficient at full cover, such as that of `full_cover_coefficient`.
    leaf_area_index : float or ndarray
        Leaf area over the ground that it stands on, 0 to 12.

    Returns
    -------
    Quantity
        Dimensionless, from that of the bare dry surface to ``full``.

    Raises
    ------
    Unreadable
        What is no plain number.
    OutOfRange
        A leaf area index or a coefficient that cannot be.

    See Also
    --------
    partial_cover_coefficient : The same from the cover of the ground.

    References
    ----------
    FAO56, equation 97.

    Examples
    --------
    >>> leaf_area_coefficient(1.08, [1, 2, 3]).magnitude.round(2).tolist()
    [0.62, 0.85, 0.97]
    """
    _within_full(full)
    within(leaf_area_index, 0, 12, "A leaf area index of {value:g} is not possible; write 0 to 12.")
    slope = fao56_value("partial cover", "leaf slope")
    return _above_bare(full, 1 - np.exp(-slope * np.asarray(leaf_area_index)))


@takes(height="m", width="m", stomatal_share=PlainNumber(1), returns="dimensionless")
def isolated_stand_coefficient(height: Quantity, width: Quantity, stomatal_share: Plain = 1.0) -> Quantity:
    """Coefficient of a small stand that the wind reaches from all sides, as on a terrace.

    Parameters
    ----------
    height : Quantity
        Of the plants, above 0 and up to 10 m; one value or an array.
    width : Quantity
        Of the stand, 5 cm to 1 km.
    stomatal_share : float or ndarray, default 1.0
        How freely the leaves let vapour out, above 0 and up to 1 for those of a field crop.

    Returns
    -------
    Quantity
        Dimensionless, at most 2.5.

    Raises
    ------
    UnitNeeded
        A length without its unit.
    OutOfRange
        A height, a width or a share that cannot be.

    See Also
    --------
    full_cover_coefficient : The same plants in a field.

    Notes
    -----
    An upper bound rather than an expectation: most tanks have walls, hedges or other tanks around them. A large field
    stays below 1.4.

    References
    ----------
    FAO56, equation 105, pages 202 to 203.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(isolated_stand_coefficient(Q(0.5, "m"), Q(0.6, "m")).magnitude, 2)
    2.03
    """
    within(
        height, 1e-6, 10, "isolated_stand_coefficient: plants of {value}; write heights up to {high}.", "m"
    )
    within(width, 0.05, 1000, "isolated_stand_coefficient: a width of {value}; write {low} to {high}.", "m")
    within(stomatal_share, 1e-6, 1, "A stomatal share of {value:g} is not possible; write up to 1.")
    alone = fao56_value("isolated stand", "flat") + np.asarray(stomatal_share) * height / width
    return np.minimum(alone, fao56_value("isolated stand", "highest"))


def _within_full(full: Plain) -> None:
    within(full, 0, 3, "A coefficient at full cover of {value:g} is not possible; write 0 to 3.")


def _above_bare(full: Plain, share: Any) -> Any:
    bare = np.minimum(fao56_value("partial cover", "bare"), full)
    return bare + (np.asarray(full) - bare) * share


_FIELDS = {
    "kcb_initial": "Kcb initial",
    "kcb_mid": "Kcb mid",
    "kcb_end": "Kcb end",
    "stage_initial": "stage initial",
    "stage_development": "stage development",
    "stage_mid": "stage mid",
    "stage_late": "stage late",
}


def field_crop(name: str) -> Crop:
    """A crop as FAO-56 tabulates it, with the basal coefficients and stage lengths of a field.

    Parameters
    ----------
    name : str
        An item of data/field-crops.csv.

    Returns
    -------
    Crop
        For comparing with a field: a tank is planted and cut by another calendar. One that the workbook grows too has
        all else from data/crops.csv.

    Raises
    ------
    Problem
        No crop of that name.

    See Also
    --------
    stilltank.science.crops.crop : A crop as it grows in a tank.

    References
    ----------
    FAO56, Table 11, pages 104 to 106, and Table 17, pages 137 to 138.

    Examples
    --------
    >>> spinach = field_crop("spinach")
    >>> spinach.kcb_mid, spinach.stage_mid.m_as("day")
    (0.9, 15.0)
    """
    table = load("field-crops")
    if not isinstance(name, str) or name not in table.items_named:
        raise Problem(f"field_crop: {name!r} is not in the table. Choose {', '.join(table.items_named)}.")
    entries = table.of(name)
    values: dict[str, Any] = {
        field: entries[prop].value if field.startswith("kcb") else entries[prop].quantity
        for field, prop in _FIELDS.items()
        if prop in entries
    }
    return replace(
        crop_of(name) if name in names() else Crop(name=name, label=name.capitalize(), use="salad"), **values
    )
