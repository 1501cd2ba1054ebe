"""Litres to harvest: from the field model, and beside what others have published."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.crops import crop as crop_of
from stilltank.tables import Entry, load, number
from stilltank.units import OutOfRange, Problem, Q, Quantity, one_value, takes, within

from .crop_coefficient import crop_coefficient
from .stages import season_length


def on_soil(crop: Crop | str) -> Crop:
    """A crop with the single coefficients of a field, wet soil included.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.

    Returns
    -------
    Crop
        For showing what a lid saves; not for a tank.

    Raises
    ------
    Problem
        No such crop, or no single coefficients in data/litres.csv.

    References
    ----------
    FAO56, Table 12.

    Examples
    --------
    >>> on_soil("lettuce").kcb_mid
    1.0
    """
    what = crop_of(crop)
    table = load("litres")
    if (what.name, "Kc mid") not in table:
        known = ", ".join(name for name in table.items_named if (name, "Kc mid") in table)
        raise Problem(f"on_soil: no single crop coefficients are known for {what.name}; only for {known}.")
    initial, mid, end = (
        number("litres", what.name, f"Kc {stage}", "1") for stage in ("initial", "mid", "end")
    )
    return replace(what, kcb_initial=initial, kcb_mid=mid, kcb_end=end)


@takes(reference_et="mm/day")
def water_to_harvest(crop: Crop | str, reference_et: Quantity, days: int | None = None) -> Quantity:
    """Water that one plant uses from transplanting to its last harvest, by the field model.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name; `on_soil` makes one with the soil counted.
    reference_et : Quantity
        One value, or one a day from transplanting on, up to 30 mm/day.
    days : int, optional
        As many as there are values, or to the last harvest when left out; `full_cover_day` is the first.

    Returns
    -------
    Quantity
        In L, for one plant.

    Raises
    ------
    Problem
        No canopy area or coefficients, other than one value or one a day.
    UnitNeeded
        No evapotranspiration.
    OutOfRange
        An evapotranspiration below 0 or above 30 mm/day, or no days.

    Notes
    -----
    The coefficients belong to fields: a tub that stands alone uses more, one in shade less. For lettuce the water to
    the first harvest lies among the litres of `published_water_use`; the crop of a field, `field_crop`, is there twice
    as long and takes twice as much. For cut flowers in still tanks no litres were found: weigh yours.

    References
    ----------
    FAO56, equation 58 with the basal coefficient, and equation 66.

    Examples
    --------
    >>> from .stages import full_cover_day
    >>> one, to_first = Q(4, "mm/day"), full_cover_day("lettuce")
    >>> 2 < water_to_harvest("lettuce", one, to_first).m_as("L") < water_to_harvest("lettuce", one).m_as("L") < 4
    True
    """
    what = crop_of(crop)
    if what.canopy_area is None:
        raise Problem(f"{what.name}: no canopy area is known, so its use of water cannot be computed.")
    daily: Any = reference_et
    within(
        daily,
        0,
        30,
        "water_to_harvest: an evapotranspiration of {value}; write {low} to {high}.",
        "mm/day",
    )
    if np.ndim(daily) > 1 or np.size(daily) == 0:
        raise Problem(
            "water_to_harvest needs one reference evapotranspiration, or one for each day in a row."
        )
    length = days if days is not None else (np.size(daily) if np.ndim(daily) else season_length(what))
    whole = isinstance(length, (int, np.integer)) and not isinstance(length, bool) and 1 <= length <= 3660
    if not whole:
        raise OutOfRange(f"water_to_harvest: 1 to 3660 whole days; {length!r} is not possible.")
    if np.ndim(daily) and np.size(daily) != length:
        raise Problem(
            f"water_to_harvest: {np.size(daily)} values of reference_et for {length} days. Give one, or one a day."
        )
    area = one_value(what.canopy_area, "m^2", "canopy_area", what.name)
    return Q(float(np.sum(crop_coefficient(what, np.arange(1, length + 1)) * daily)) * area, "L")


@takes(fresh_mass="g")
def published_water_use(
    crop: Crop | str = "lettuce", fresh_mass: Quantity | None = None
) -> Mapping[str, Quantity]:
    """What others have published for the water of one plant.

    Parameters
    ----------
    crop : Crop or str, default "lettuce"
        The crop, or its name: "lettuce" or "basil".
    fresh_mass : Quantity, optional
        Of a lettuce, 1 g to 2 kg; its harvest weight when left out, 150 g.

    Returns
    -------
    Mapping of str to Quantity
        In L, by a short name of the work; data/litres.csv says who and where. A depth of water counts on the canopy
        area of the crop.

    Raises
    ------
    UnitNeeded
        No mass.
    OutOfRange
        A mass outside 1 g to 2 kg.
    Problem
        More than one mass; a crop that is not known, or of which no figure was found.

    Notes
    -----
    The sources disagree: under lamps a litre grew 71 and 75 g of lettuce, while 42 to 62 g were worked out for the dry
    air of Arizona. Basil in lysimeters in the open used 2.5 times as much as in a greenhouse. No figure was found for
    spinach and for cut flowers: weigh yours.

    Examples
    --------
    >>> {name: round(litres.magnitude, 1) for name, litres in published_water_use().items()}
    {'literature for Arizona': 3.0, 'LED and 215 umol/m2/s': 2.0, 'LED and 11.5 mol/m2/d': 2.1}
    """
    what = crop_of(crop)
    table = load("litres")
    works = [name for (name, prop), entry in table.items() if prop == "crop" and entry.value == what.name]
    if not works:
        known = dict.fromkeys(str(entry.value) for (_, prop), entry in table.items() if prop == "crop")
        raise Problem(
            f"published_water_use: no figure was found for {what.name}; only for {', '.join(known)}. Weigh your tank."
        )
    grams: Any = number("crops", "lettuce", "harvest weight", "g") if fresh_mass is None else fresh_mass
    if np.ndim(grams):
        raise Problem("published_water_use takes one mass, not a list of them.")
    within(grams, 1, 2000, "published_water_use: a head of {value}; write {low} to {high}.", "g")
    return MappingProxyType({name: _litres(table.of(name), Q(grams, "g"), what) for name in works})


def _litres(entries: Mapping[str, Entry], mass: Quantity, crop: Crop) -> Quantity:
    """Litres of one plant, from whatever a work states."""
    if "water for a mass" in entries:
        return (entries["water for a mass"].quantity * mass).to("L")
    if "mass for water" in entries:
        return (mass / entries["mass for water"].quantity).to("L")
    area = one_value(crop.canopy_area, "m^2", "canopy_area", crop.name)
    return Q(entries["depth of water"].quantity.m_as("mm") * area, "L")
