"""Oxygen in still water: how much it holds, how slowly it moves, how deep it reaches."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..tables import number
from ..units import OutOfRange, Problem, Q, takes, ureg, within


@takes(temperature="degC", pressure="kPa", conductivity="uS/cm")
def saturation(temperature: Any, pressure: Any = None, conductivity: Any = None, salinity: Any = None) -> Any:
    """Oxygen that water holds when it is in balance with moist air.

    Parameters
    ----------
    temperature : quantity, of the water; one or an array, as all that follow
    pressure : quantity, of the air; 1 atm when left out. See `pressure_at`
    conductivity : quantity, at 25 degC; fresh water when left out
    salinity : plain number, practical salinity, in place of ``conductivity``

    Returns
    -------
    quantity, mg/L of oxygen

    Raises
    ------
    UnitNeeded   a bare number, or a unit of another kind
    OutOfRange   water below 0 or above 40 degC, or another value the equation does not hold for
    Problem      both conductivity and salinity are given

    Example
    -------
    >>> saturation(Q([0, 8, 24], "degC")).magnitude.round(3).tolist()
    [14.621, 11.843, 8.418]

    Limits: 0 to 40 degC, practical salinity 0 to 40. Nutrient salts hardly matter: -0.6 percent at 2 mS/cm.
    Source: Benson & Krause (1984), equations 24 and 32; salinity from conductivity: USGS (2011), from memory.
    """
    _check_water(temperature)
    if conductivity is not None:
        if salinity is not None:
            raise Problem("saturation takes conductivity or salinity, not both.")
        salinity = _salinity(conductivity)
    salinity = np.asarray(0.0 if salinity is None else salinity, dtype=float)
    most = _n("saturation", "most saline")
    within(salinity, 0, most, f"A practical salinity lies between 0 and {most:g} here; {{value:g}} does not.")
    kelvin = temperature + 273.15
    log = _n("saturation", "a0") + sum(_n("saturation", f"a{i}", f"K^{i}") / kelvin**i for i in (1, 2, 3, 4))
    log = log - salinity * (
        _n("saturation", "s0")
        + _n("saturation", "s1", "K") / kelvin
        + _n("saturation", "s2", "K^2") / kelvin**2
    )
    return Q(np.exp(log)[()] * (1.0 if pressure is None else _pressure_factor(temperature, pressure)), "mg/L")


@takes(temperature="degC")
def vapour_pressure(temperature: Any) -> Any:
    """Pressure of water vapour over water.

    Parameters
    ----------
    temperature : quantity, one or an array

    Returns
    -------
    quantity, kPa

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   outside 0 to 40 degC

    Example
    -------
    >>> round(vapour_pressure(Q(25, "degC")).magnitude, 3)
    3.168

    Source: the form in APHA method 4500-O, made for `saturation`.
    """
    _check_water(temperature)
    return Q(_vapour(temperature), "atm").to("kPa")


@takes(altitude="m")
def pressure_at(altitude: Any) -> Any:
    """Mean pressure of the air at an altitude.

    Parameters
    ----------
    altitude : quantity, above the sea; one or an array

    Returns
    -------
    quantity, kPa

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   below the Dead Sea or above the highest mountain

    Example
    -------
    >>> round(pressure_at(Q(1500, "m")).to("atm").magnitude, 4)
    0.8345

    Limits: the standard atmosphere; weather moves it by some 3 percent.
    Source: U.S. Standard Atmosphere (1976), from memory.
    """
    low, high = _n("atmosphere", "lowest altitude", "m"), _n("atmosphere", "highest altitude", "m")
    within(altitude, low, high, f"An altitude lies between {low:g} and {high:g} m; {{value:g}} m does not.")
    share = (1 - _n("atmosphere", "lapse", "1/m") * altitude) ** _n("atmosphere", "exponent")
    return Q(share, "atm").to("kPa")


@takes(temperature="degC")
def diffusivity(temperature: Any, medium: str = "water") -> Any:
    """Diffusion coefficient of oxygen.

    Parameters
    ----------
    temperature : quantity, one or an array
    medium : str
        "water", or "air" at 1 atm.

    Returns
    -------
    quantity, m^2/s

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   outside 0 to 40 degC
    Problem      another medium

    Example
    -------
    >>> round((diffusivity(Q(25, "degC")) * 1e9).magnitude, 3)
    1.998

    Limits: sources for water disagree by up to 20 percent; carry that either way.
    Source: water: Han & Bartels (1996), abstract. Air: Fuller, Schettler & Giddings (1966), from memory.
    """
    _check_water(temperature)
    kelvin = temperature + 273.15
    if medium == "water":
        return Q(_diffusivity(temperature), "m^2/s")
    if medium == "air":
        item = "diffusivity in air"
        sizes = sum(np.cbrt(_n(item, f"volume of {gas}", "cm^3/mol")) for gas in ("oxygen", "air"))
        masses = sum(1 / _n(gas, "molar mass", "g/mol") for gas in ("oxygen", "air"))
        return Q(_n(item, "factor") * kelvin ** _n(item, "exponent") * np.sqrt(masses) / sizes**2, "m^2/s")
    raise Problem(f'diffusivity knows "water" and "air", not {medium!r}.')


@takes(temperature="degC", pressure="kPa")
def in_moist_air(temperature: Any, pressure: Any = None) -> Any:
    """Oxygen in air that is saturated with vapour, such as the air under the lid.

    Parameters
    ----------
    temperature : quantity, one or an array
    pressure : quantity; 1 atm when left out

    Returns
    -------
    quantity, g/m^3

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   outside 0 to 40 degC, or a pressure that cannot be

    Example
    -------
    >>> round(in_moist_air(Q(25, "degC")).magnitude, 1)
    265.4

    Source: ideal gas, 20.95 percent oxygen in dry air.
    """
    _check_water(temperature)
    if pressure is not None:
        _check_pressure(pressure)
    total = Q(101.325 if pressure is None else pressure, "kPa")  # 1 atm by definition
    dry = total - Q(_vapour(temperature), "atm").to("kPa")
    warmth = Q(temperature + 273.15, "K")
    mass = Q(_n("oxygen", "molar mass", "g/mol"), "g/mol")
    return (dry * _n("air", "oxygen share") * mass / (ureg.molar_gas_constant * warmth)).to("g/m^3")


@takes(difference="g/m^3", thickness="m", temperature="degC")
def still_layer_flux(difference: Any, thickness: Any, temperature: Any) -> Any:
    """Oxygen that diffuses through a still layer of water.

    Parameters
    ----------
    difference : quantity, concentration at the top less that at the base
    thickness : quantity, of the layer, above zero
    temperature : quantity
        One or an array each.

    Returns
    -------
    quantity, g/m^2/day, downwards

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a thickness of zero or less, or water outside 0 to 40 degC

    Example
    -------
    >>> round(still_layer_flux(saturation(Q(25, "degC")), Q(10, "mm"), Q(25, "degC")).magnitude, 4)
    0.1426

    Source: Fick's first law.
    """
    _check_positive(thickness, "The thickness of a layer")
    _check_water(temperature)
    return Q(_per_day(temperature) * difference / thickness, "g/m^2/day")


@takes(thickness="m", temperature="degC")
def film_coefficient(thickness: Any, temperature: Any) -> Any:
    """Speed at which a still film passes oxygen: diffusivity over thickness, in m/day.

    Parameters
    ----------
    thickness, temperature : quantity, one or an array each

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a thickness of zero or less, or water outside 0 to 40 degC

    Example
    -------
    >>> round(film_coefficient(Q(0.16, "mm"), Q(25, "degC")).magnitude, 3)
    1.079

    Limits: nobody knows the film of a lidded still tank; 0.1 to 0.6 m/day is assumed. Measure your own.
    """
    _check_positive(thickness, "The thickness of a film")
    _check_water(temperature)
    return Q(_per_day(temperature) / thickness, "m/day")


@takes(temperature="degC", film_coefficient="m/day", keep="g/m^3", pressure="kPa")
def film_supply(
    temperature: Any, film_coefficient: Any = None, keep: Any = None, pressure: Any = None
) -> Any:
    """Most oxygen that the surface passes to mixed water that is to keep a given concentration.

    Parameters
    ----------
    temperature : quantity, one or an array, as all that follow
    film_coefficient : quantity; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6
    keep : quantity, concentration to keep in the water; none when left out
    pressure : quantity, of the air; 1 atm when left out

    Returns
    -------
    quantity, g/m^2/day; negative where ``keep`` is above saturation

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a film coefficient of zero or less, or water outside 0 to 40 degC

    Example
    -------
    >>> supply = film_supply(Q(25, "degC"), Q(0.3, "m/day"), keep=Q(2.1, "mg/L"))
    >>> round((supply / Q(2.8, "g/m^2/day")).magnitude, 2)
    0.66

    Source: steady balance of a film; the coefficient decides more than anything else.
    """
    k = _film(film_coefficient)
    top = _saturated(temperature, pressure)
    return Q(k * (top - (0.0 if keep is None else keep)), "g/m^2/day")


@takes(demand="g/m^3/day", depth="m", temperature="degC", film_coefficient="m/day", pressure="kPa")
def film_balance(
    demand: Any, depth: Any, temperature: Any, film_coefficient: Any = None, pressure: Any = None
) -> Any:
    """Steady oxygen in mixed water whose roots use it and whose surface lets it in.

    Parameters
    ----------
    demand : quantity, use in each volume of water a day; one or an array, as all that follow
    depth : quantity, of the water
    temperature : quantity
    film_coefficient : quantity; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6
    pressure : quantity, of the air; 1 atm when left out

    Returns
    -------
    quantity, mg/L; 0 where the surface cannot carry the demand

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative demand, a depth or film coefficient of zero or less, water outside 0 to 40 degC

    Example
    -------
    >>> round(film_balance(Q(1.5, "g/m^3/day"), Q(10, "cm"), Q(25, "degC"), Q(0.3, "m/day")).magnitude, 2)
    7.76

    Limits: well mixed water; roots in moist air are left out, and a crop floated on its solution for the whole
    time lost only 19 percent (Kratky 2005, abstract). Read it as a risk.
    Source: balance of mass.
    """
    within(demand, 0, np.inf, "A demand for oxygen is not negative; {value:g} is.")
    _check_positive(depth, "The depth of the water")
    left = _saturated(temperature, pressure) - demand * depth / _film(film_coefficient)
    return Q(np.maximum(left, 0), "mg/L")


@takes(surface="g/m^3", demand="g/m^3/day", temperature="degC")
def penetration_depth(surface: Any, demand: Any, temperature: Any) -> Any:
    """Depth that oxygen reaches by diffusion when roots use it at a constant rate.

    Parameters
    ----------
    surface : quantity, concentration at the surface; one or an array, as all that follow
    demand : quantity, use in each volume of water a day, above zero
    temperature : quantity

    Returns
    -------
    quantity, mm

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative concentration, a demand of zero or less, water outside 0 to 40 degC

    Example
    -------
    >>> round(penetration_depth(saturation(Q(25, "degC")), Q(20, "g/m^3/day"), Q(25, "degC")).magnitude, 2)
    11.94

    Limits: deep still water, use that does not slow as oxygen runs short.
    Source: sqrt(2 D C / R), the classical result for sediments and biofilms, from memory.
    """
    within(surface, 0, np.inf, "A concentration is not negative; {value:g} is.")
    _check_positive(demand, "The demand for oxygen")
    _check_water(temperature)
    return Q(1000 * np.sqrt(2 * _per_day(temperature) * surface / demand), "mm")


@dataclass(frozen=True)
class Profile:
    """Steady oxygen over ``depth``: ``concentration``, ``flux`` through the surface, how deep it ``reaches``."""

    depth: Any
    concentration: Any
    flux: Any
    reaches: Any

    def __str__(self) -> str:
        return (
            f"{self.flux.m_as('g/m^2/day'):.3g} g of oxygen a square metre and day passes the surface; "
            f"it reaches {self.reaches.m_as('mm'):.3g} mm deep"
        )


@takes(depth="m", surface="g/m^3", water_depth="m", temperature="degC", demand="g/m^3/day", rate="1/day")
def profile(
    depth: Any, surface: Any, water_depth: Any, temperature: Any, demand: Any = None, rate: Any = None
) -> Profile:
    """Steady oxygen over depth in still water above a closed floor, by diffusion alone.

    Parameters
    ----------
    depth : quantity, below the surface; an array
    surface : quantity, concentration at the surface; one value, as all that follow
    water_depth : quantity, of the whole water
    temperature : quantity
    demand : quantity, constant use in each volume of water a day (zero order), or
    rate : quantity, use a day for each unit of oxygen there (first order)

    Returns
    -------
    Profile

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a depth outside the water, a negative concentration, a demand, rate or depth of zero or less
    Problem      not exactly one of ``demand`` and ``rate``

    Example
    -------
    >>> top = saturation(Q(25, "degC"))
    >>> still = profile(Q([0, 6, 12], "mm"), top, Q(14, "cm"), Q(25, "degC"), demand=Q(20, "g/m^3/day"))
    >>> still.concentration.magnitude.round(2).tolist(), round(still.flux.magnitude, 3)
    ([8.26, 2.05, 0.0], 0.239)

    Limits: a tank that cools from the top turns over, so it is mixed far more than this says.
    Source: classical slab (Thiele) and zero-order solutions, from memory.
    """
    if (demand is None) == (rate is None):
        raise Problem("profile takes a demand (constant use) or a rate (use in proportion), and not both.")
    _check_positive(water_depth, "The depth of the water")
    within(depth, 0, water_depth, f"A depth lies between 0 and {water_depth:g} m; {{value:g}} m does not.")
    within(surface, 0, np.inf, "A concentration is not negative; {value:g} is.")
    _check_water(temperature)
    d = _per_day(temperature)
    if rate is not None:
        _check_positive(rate, "The rate of use")
        m = np.sqrt(rate / d)
        # cosh(m(h - z))/cosh(mh), written so that deep water does not overflow
        c = (
            surface
            * (np.exp(-m * depth) + np.exp(m * (depth - 2 * water_depth)))
            / (1 + np.exp(-2 * m * water_depth))
        )
        flux, reach = surface * np.sqrt(d * rate) * np.tanh(m * water_depth), water_depth
    else:
        _check_positive(demand, "The demand for oxygen")
        reach = min(np.sqrt(2 * d * surface / demand), water_depth)
        z = np.minimum(depth, reach)
        c = np.maximum(surface - demand / d * (reach * z - z**2 / 2), 0)
        flux = demand * reach
    return Profile(Q(depth, "m").to("mm"), Q(c, "mg/L"), Q(flux, "g/m^2/day"), Q(reach, "m").to("mm"))


def _n(item: str, prop: str, unit: str = "1") -> float:
    return number("oxygen", item, prop, unit)


def _salinity(conductivity: Any) -> Any:
    """Practical salinity from conductivity at 25 degC in uS/cm."""
    most = _n("salinity", "highest conductivity", "uS/cm")
    within(
        conductivity,
        0,
        most,
        f"A conductivity lies between 0 and {most / 1000:g} mS/cm here; {{value:g}} uS/cm does not.",
    )
    return conductivity * (_n("salinity", "c1", "cm/uS") + _n("salinity", "c2", "cm^2/uS^2") * conductivity)


def _vapour(temperature: Any) -> Any:
    """Vapour pressure in atm."""
    kelvin = temperature + 273.15
    item = "vapour pressure"
    return np.exp(_n(item, "b0") + _n(item, "b1", "K") / kelvin + _n(item, "b2", "K^2") / kelvin**2)


def _pressure_factor(temperature: Any, pressure: Any) -> Any:
    """Saturation at a pressure in kPa over that at 1 atm."""
    _check_pressure(pressure)
    p = pressure / 101.325  # 1 atm by definition
    u = _vapour(temperature)
    theta = sum(_n("saturation", f"theta{i}") * temperature**i for i in (0, 1, 2))
    return (p - u) * (1 - theta * p) / ((1 - u) * (1 - theta))


def _saturated(temperature: Any, pressure: Any) -> Any:
    pressure = None if pressure is None else Q(pressure, "kPa")
    return saturation(Q(temperature, "degC"), pressure).m_as("g/m^3")


def _diffusivity(temperature: Any) -> Any:
    """Of oxygen in water, in m^2/s."""
    kelvin = temperature + 273.15
    item = "diffusivity"
    log = _n(item, "d0") + _n(item, "d1", "K") / kelvin - (_n(item, "d2", "K") / kelvin) ** 2
    return 10**log / 1e4


def _per_day(temperature: Any) -> Any:
    """Diffusivity in water in m^2/day."""
    return _diffusivity(temperature) * 86400


def _film(coefficient: Any) -> Any:
    if coefficient is None:
        return _n("film", "coefficient", "m/day")
    _check_positive(coefficient, "A film coefficient")
    return coefficient


def _check_water(temperature: Any) -> None:
    low, high = _n("saturation", "coldest", "degC"), _n("saturation", "warmest", "degC")
    within(
        temperature, low, high, f"Water here is between {low:g} and {high:g} degC; {{value:g}} degC is not."
    )


def _check_pressure(pressure: Any) -> None:
    low, high = _n("atmosphere", "lowest pressure", "kPa"), _n("atmosphere", "highest pressure", "kPa")
    within(
        pressure, low, high, f"Air pressure lies between {low:g} and {high:g} kPa; {{value:g}} kPa does not."
    )


def _check_positive(value: Any, what: str) -> None:
    if np.any(np.asarray(value) <= 0):
        raise OutOfRange(f"{what} must be above zero.")
