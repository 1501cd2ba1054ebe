"""Water use under lamps, and the little that leaves by the gap around a net pot."""

from typing import Any

import numpy as np

from stilltank.science.sky import (
    fao56_value,
    latent_heat_of_vaporisation,
    saturation_vapour_pressure,
)
from stilltank.units import PlainNumber, Quantity, takes, within
from stilltank.units.types import Plain

_KELVIN = 273.15


@takes(light="umol/m^2/s", returns="s/m")
def stomatal_resistance(light: Quantity) -> Quantity:
    """Resistance of lettuce leaves to vapour, by light.

    Parameters
    ----------
    light : Quantity
        Photosynthetic photon flux density at the canopy, up to 3000 umol/m^2/s; one value or an array.

    Returns
    -------
    Quantity
        In s/m.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    For lettuce.

    References
    ----------
    GRAAMANS2017, as attributed in open-source code; the paper was not read.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(stomatal_resistance(Q(140, "umol/m^2/s")).magnitude, 1)
    289.4
    """
    within(light, 0, 3000, "stomatal_resistance: a light of {value:g} umol/m^2/s; write 0 to 3000.")
    top = fao56_value("indoor", "stomatal light", "umol/m^2/s") + light
    return (
        fao56_value("indoor", "stomatal scale", "s/m")
        * top
        / (fao56_value("indoor", "stomatal half light", "umol/m^2/s") + light)
    )


@takes(leaf_length="m", air_speed="m/s", leaf_area_index=PlainNumber(3), returns="s/m")
def aerodynamic_resistance(leaf_length: Quantity, air_speed: Quantity, leaf_area_index: Plain) -> Quantity:
    """Resistance of the still air at the leaves.

    Parameters
    ----------
    leaf_length : Quantity
        Length of a leaf along the air stream.
    air_speed : Quantity
        Between the leaves, above 0.
    leaf_area_index : float or ndarray
        Leaf area over the area covered.

    Returns
    -------
    Quantity
        In s/m.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    References
    ----------
    GRAAMANS2017, as attributed in open-source code; the paper was not read.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(aerodynamic_resistance(Q(11, "cm"), Q(0.3, "m/s"), 3).magnitude, 1)
    70.6
    """
    within(leaf_length, 0.001, 1, "aerodynamic_resistance: a leaf of {value}; write {low} to {high}.", "m")
    within(
        air_speed, 0.01, 5, "aerodynamic_resistance: an air speed of {value}; write {low} to {high}.", "m/s"
    )
    within(leaf_area_index, 0.01, 12, "A leaf area index of {value:g} is not possible; write 0.01 to 12.")
    return fao56_value("indoor", "boundary factor") * np.sqrt(leaf_length / air_speed) / leaf_area_index


@takes(
    temperature="degC",
    relative_humidity="percent",
    light="umol/m^2/s",
    photoperiod="hour",
    air_speed="m/s",
    leaf_length="m",
    leaf_area_index=PlainNumber(3),
    returns="mm/day",
)
def indoor_transpiration(
    temperature: Quantity,
    relative_humidity: Quantity,
    light: Quantity,
    photoperiod: Quantity,
    air_speed: Quantity,
    leaf_length: Quantity,
    leaf_area_index: Plain = 3.0,
) -> Quantity:
    """Water use of a closed canopy under lamps.

    Parameters
    ----------
    temperature, relative_humidity : Quantity
        Of the air, the same day and night.
    light : Quantity
        Photon flux density at the canopy while the lamps are on.
    photoperiod : Quantity
        Hours of lamps a day.
    air_speed, leaf_length : Quantity
        Speed of the air between the leaves.
    leaf_area_index : float or ndarray, default 3.0
        Leaf area over the area covered.

    Returns
    -------
    Quantity
        In mm/day: litres for each square metre of canopy a day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    First form: solves the energy balance of the leaves for their temperature, lamps on and lamps off. The
    formulas are for lettuce; the light's energy and the reflection of the leaves are rough.

    References
    ----------
    GRAAMANS2017, as attributed in open-source code; the paper was not read.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> room = Q(21, "degC"), Q(70, "percent"), Q(200, "umol/m^2/s"), Q(16, "hour"), Q(0.3, "m/s"), Q(11, "cm")
    >>> 1 < indoor_transpiration(*room).magnitude < 5
    True
    """
    within(
        relative_humidity, 0, 100, "A relative humidity lies between 0 and 100 percent; {value:g} does not."
    )
    within(photoperiod, 0, 24, "A day has 0 to 24 hours of lamps; {value:g} is not possible.")
    within(
        temperature,
        0,
        45,
        "indoor_transpiration holds for rooms of {low} to {high}; {value} lies outside.",
        "degC",
    )
    still = aerodynamic_resistance.plain(leaf_length, air_speed, leaf_area_index)
    on, off = (
        _transpiration(temperature, relative_humidity, photons, still, leaf_area_index)
        for photons in (light, 0 * light)
    )
    return 3600 * (photoperiod * on + (24 - photoperiod) * off)


def _vapour_density(celsius: Any) -> Any:
    """Saturated vapour in kg/m^3."""
    gas = fao56_value("indoor", "gas constant of vapour", "J/kg/kelvin")
    return 1000 * saturation_vapour_pressure.plain(celsius) / (gas * (celsius + _KELVIN))


def _transpiration(celsius: Any, humidity: Any, light: Any, still: Any, leaves: Any) -> Any:
    """kg/m^2/s at the leaf temperature at which radiation in equals heat and vapour out."""
    stomata = stomatal_resistance.plain(light)
    absorbed = (
        (1 - fao56_value("indoor", "leaf reflectance"))
        * fao56_value("indoor", "energy of light", "J/umol")
        * light
    )
    heat = fao56_value("indoor", "air density", "kg/m^3") * fao56_value(
        "indoor", "air heat capacity", "J/kg/delta_degC"
    )
    around = humidity / 100 * _vapour_density(celsius)

    def vapour(leaf: Any) -> Any:
        return leaves * (_vapour_density(leaf) - around) / (stomata + still)

    low, high = celsius - 30.0 + 0 * light, celsius + 30.0 + 0 * light
    for _ in range(50):  # both losses rise with the leaf's temperature, so halving finds the one balance
        leaf = (low + high) / 2
        lost = leaves * heat * (leaf - celsius) / still + 1e6 * latent_heat_of_vaporisation.plain(
            leaf
        ) * vapour(leaf)
        low, high = np.where(lost < absorbed, leaf, low), np.where(lost < absorbed, high, leaf)
    return vapour((low + high) / 2)


@takes(
    pot_diameter="m",
    gap="m",
    lid_thickness="m",
    temperature="degC",
    relative_humidity="percent",
    returns="g/day",
)
def vapour_through_gap(
    pot_diameter: Quantity,
    gap: Quantity,
    lid_thickness: Quantity,
    temperature: Quantity,
    relative_humidity: Quantity,
) -> Quantity:
    """Water that leaves as vapour by the gap around one net pot.

    Parameters
    ----------
    pot_diameter : Quantity
        Outer width of the net pot.
    gap : Quantity
        Width of the gap between pot and lid.
    lid_thickness : Quantity
        Length of the way through the gap.
    temperature : Quantity
        Temperature of air and solution.
    relative_humidity : Quantity
        Outside; the air in the tank is saturated.

    Returns
    -------
    Quantity
        In g/day; next to the hundreds of grams of a plant it can be left out.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    Diffusion straight through the gap. Wind over the lid and a warm tank make it more.

    Fick's law, with the diffusivity scaled by the absolute temperature.

    References
    ----------
    CRC, for the diffusivity; a secondary copy was read.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(vapour_through_gap(Q(5, "cm"), Q(1, "mm"), Q(5, "mm"), Q(25, "degC"), Q(50, "percent")).magnitude, 1)
    0.8
    """
    within(pot_diameter, 0.005, 1, "vapour_through_gap: a pot {value} wide; write {low} to {high}.", "m")
    within(gap, 0, 0.1, "vapour_through_gap: a gap of {value}; write {low} to {high}.", "m")
    within(lid_thickness, 0.0005, 0.2, "vapour_through_gap: a lid {value} thick; write {low} to {high}.", "m")
    within(
        relative_humidity, 0, 100, "A relative humidity lies between 0 and 100 percent; {value:g} does not."
    )
    warmer = (temperature + _KELVIN) / (20 + _KELVIN)
    diffusivity = fao56_value("leak", "diffusivity at 20 degC", "m^2/s") * warmer ** fao56_value(
        "leak", "diffusivity exponent"
    )
    ring = np.pi * gap * (pot_diameter + gap)
    drop = _vapour_density(temperature) * (1 - relative_humidity / 100)
    return 1000 * 86400 * diffusivity * drop / lid_thickness * ring
