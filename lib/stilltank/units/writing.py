"""Writing quantities for people: the one place for digits, symbols and the choice of unit."""

import math
from typing import Any

import numpy as np

from stilltank.problems import UnitNeeded
from stilltank.registry import Q, Quantity, ureg

from .types import Plain

# For each kind of quantity, by one unit of it: the steps of each system, smallest first, as (from, unit, symbol).
# A step is used from the size given in the step's own unit upwards; what is smaller than the first uses the first.
_STEPS: dict[str, dict[str, list[tuple[float, str, str]]]] = {
    "L": {
        "metric": [(0, "uL", "µL"), (0.1, "mL", "mL"), (1, "L", "L"), (100, "m^3", "m³")],
        # below an ounce a syringe measures, in mL; from a quart on a jug does, in quarts
        "US": [
            (0, "mL", "mL"),
            (1, "fluid_ounce", "US fl oz"),
            (1, "quart", "US qt"),
            (1, "gallon", "US gal"),
        ],
    },
    "g": {
        "metric": [(0, "ug", "µg"), (1, "mg", "mg"), (1, "g", "g"), (1, "kg", "kg")],
        "US": [(0, "mg", "mg"), (1, "g", "g"), (0.1, "oz", "oz"), (1, "lb", "lb")],
    },
    "cm": {
        "metric": [(0, "um", "µm"), (0.1, "mm", "mm"), (1, "cm", "cm"), (2, "m", "m"), (1, "km", "km")],
        "US": [(0, "inch", "in"), (4, "foot", "ft"), (1, "mile", "miles")],
    },
    "m^2": {
        "metric": [(0, "cm^2", "cm²"), (0.01, "m^2", "m²")],
        "US": [(0, "inch^2", "in²"), (1, "foot^2", "ft²")],
    },
    "degC": {"metric": [(0, "degC", "°C")], "US": [(0, "degF", "°F")]},
    "mg/L": {
        "metric": [(0, "ug/L", "µg/L"), (0.001, "mg/L", "mg/L"), (10, "g/L", "g/L")],
    },
    "mmol/L": {
        "metric": [(0, "umol/L", "µmol/L"), (0.01, "mmol/L", "mmol/L"), (1, "mol/L", "mol/L")],
    },
    "mmol": {"metric": [(0, "umol", "µmol"), (0.01, "mmol", "mmol"), (1, "mol", "mol")]},
    "mS/cm": {"metric": [(0, "uS/cm", "µS/cm"), (0.1, "mS/cm", "mS/cm")]},
    "kPa": {"metric": [(0, "Pa", "Pa"), (0.1, "kPa", "kPa")]},
    "day": {
        "metric": [(0, "s", "s"), (1, "minute", "min"), (1, "hour", "h"), (1, "day", "days")],
    },
    "L/day": {
        "metric": [(0, "mL/day", "mL/day"), (1, "L/day", "L/day")],
        "US": [
            (0, "fluid_ounce/day", "US fl oz/day"),
            (1, "quart/day", "US qt/day"),
            (1, "gallon/day", "US gal/day"),
        ],
    },
    # rain and evaporation are slow, wind is fast: the size tells them apart
    "mm/day": {
        "metric": [(0, "mm/day", "mm/day"), (0.001, "m/s", "m/s")],
        "US": [(0, "inch/day", "in/day"), (0.001, "mile/hour", "mph")],
    },
}
_USUAL_US = {"L": "gallon", "g": "oz", "cm": "inch", "m^2": "foot^2"}  # for nothing at all: "0 US gal"
_LADDERS = {ureg.Unit(unit).dimensionality: (unit, steps) for unit, steps in _STEPS.items()}
# Ratios lose their dimension, so they go by their unit; a difference in degrees is no temperature.
_DIFFERENCE = {"metric": [(0.0, "delta_degC", "°C")], "US": [(0.0, "delta_degF", "°F")]}
_BY_UNIT: dict[Any, dict[str, list[tuple[float, str, str]]]] = {
    ureg.Unit("dimensionless"): {"metric": [(0, "dimensionless", "")]},
    ureg.Unit("percent"): {"metric": [(0, "percent", "%")]},
    ureg.Unit("degree"): {"metric": [(0, "degree", "°")]},
    ureg.Unit("delta_degC"): _DIFFERENCE,
    ureg.Unit("delta_degF"): _DIFFERENCE,
}
# A volume in a volume and a mass in a mass have no dimension left; what they are made of tells.
_RATIOS = {
    frozenset([ureg.Unit("L").dimensionality]): {"metric": [(0.0, "mL/L", "mL/L")]},
    frozenset([ureg.Unit("g").dimensionality]): {"metric": [(0.0, "g/kg", "g/kg")]},
}
_SYMBOLS = {
    "degree_Celsius": "°C",
    "delta_degree_Celsius": "°C",
    "degree_Fahrenheit": "°F",
    "delta_degree_Fahrenheit": "°F",
    "gallon": "US gal",
    "quart": "US qt",
    "fluid_ounce": "US fl oz",
    "day": "day",
    "hour": "h",
    "percent": "%",
}
_RAISED = str.maketrans("0123456789-.", "⁰¹²³⁴⁵⁶⁷⁸⁹⁻·")
_SMALL, _LARGE = 1e-3, 1e7  # beyond these, zeros are hard to count
_ENDLESS, _BOTTOMLESS = "unlimited", "without a lower end"
_TIMES = {"day", *(symbol for _, _, symbol in _STEPS["day"]["metric"])}
_MANY = 8  # an array longer than this is shown by its range


def write(quantity: Quantity | Plain, system: str = "metric", digits: int = 3) -> str:
    """Write a quantity for people: sensible unit, significant digits, no trailing zeros, no powers of ten.

    Parameters
    ----------
    quantity : Quantity or Plain
        One number or an array; or a plain number such as a pH.
    system : str, default "metric"
        "metric", "US", or "both": metric, with US in brackets where it differs.
    digits : int, default 3
        Significant digits.

    Returns
    -------
    str
        An array is written in one unit; a long one as its range; an empty one as ``none``. ``unknown`` stands for a
        missing number, ``never`` for a time without end, ``unlimited`` for anything else without end.

    Raises
    ------
    UnitNeeded
        ``system`` or ``digits`` is none of these, or ``quantity`` is no number.

    See Also
    --------
    read : Read it back.
    write_range : Write both ends of a range in one unit.

    Notes
    -----
    Kinds without customary US units in this trade (mg/L, mS/cm, kPa) stay as they are; so do masses and volumes too
    small for a kitchen measure.

    Examples
    --------
    >>> write(Q(45000, "mL")), write(Q(45, "L"), system="both")
    ('45 L', '45 L (11.9 US gal)')
    >>> write(Q([2, 2.5], "mg/L")), write(Q(-5, "degC"), system="US")
    ('2, 2.5 mg/L', '23 °F')
    """
    if system not in ("metric", "US", "both"):
        raise UnitNeeded(f'write knows the systems "metric", "US" and "both"; you gave {system!r}.')
    _check_digits(digits)
    if not isinstance(quantity, Quantity):
        quantity = _plain_number(quantity)
    if system == "both":
        metric, us = write(quantity, "metric", digits), write(quantity, "US", digits)
        return metric if metric == us else f"{metric} ({us})"
    numbers, symbol = _in_steps(quantity, system, digits)
    if numbers.ndim == 0:
        return _join(figure(float(numbers), digits), symbol)
    values = numbers.ravel()
    if not values.size:
        return "none"
    finite = np.isfinite(values)
    if values.size > _MANY and finite.any():
        low, high = (figure(float(f(values[finite])), digits) for f in (np.min, np.max))
        odd = [_join(figure(float(value), digits), symbol) for value in values[~finite]]
        others = "".join(f", {odd.count(word)} of them {word}" for word in dict.fromkeys(odd))
        return f"{_join(f'{low} to {high}', symbol)} ({values.size} values{others})"
    each = [figure(float(value), digits) for value in values]
    return _join(", ".join(each), symbol) if finite.all() else ", ".join(_join(one, symbol) for one in each)


def write_kind(quantity: Quantity | Plain, kind: str, system: str = "metric", digits: int = 3) -> str:
    """Write a quantity so that ``read`` with this kind reads it back.

    A charge is written in meq/L, an alkalinity as CaCO3.

    Parameters
    ----------
    quantity : Quantity or Plain
        One number or an array; or a plain number.
    kind : str
        A name of data/kinds.csv, as for ``read``.
    system, digits : str and int
        As for `write`.

    Returns
    -------
    str
        The text.

    Raises
    ------
    UnitNeeded
        As ``write``.

    Examples
    --------
    >>> write_kind(Q(2.6, "mmol/L"), "charge"), write_kind(Q(130, "mg/L"), "alkalinity")
    ('2.6 meq/L', '130 mg/L as CaCO3')
    >>> write_kind(Q(45, "L"), "volume")
    '45 L'
    """
    if not isinstance(kind, str):
        raise UnitNeeded(
            f'write_kind needs the name of a kind, such as "volume"; {type(kind).__name__} is none.'
        )
    text = write(quantity, system, digits)
    if kind == "charge":
        return text.replace("mol/L", "eq/L")
    return f"{text} as CaCO3" if kind in ("alkalinity", "hardness") else text


def write_range(
    low: Quantity | float, high: Quantity | float, system: str = "metric", digits: int = 3
) -> str:
    """Write a range in one unit, such as ``2 to 3 L``.

    Parameters
    ----------
    low, high : Quantity or float
        Of one kind, one value each.
    system, digits : str and int
        As for `write`.

    Returns
    -------
    str
        One value where both ends look the same.

    Raises
    ------
    UnitNeeded
        The ends are not of one kind, or no numbers.

    Examples
    --------
    >>> write_range(Q(900, "mL"), Q(2.5, "L"))
    '0.9 to 2.5 L'
    """
    low, high = (end if isinstance(end, Quantity) else _plain_number(end) for end in (low, high))
    if np.ndim(low.magnitude) or np.ndim(high.magnitude):
        raise UnitNeeded("write_range needs one value at each end; you gave several.")
    if not low.is_compatible_with(high):
        raise UnitNeeded(
            f"write_range needs two values of one kind; you gave {write(low)} and {write(high)}."
        )
    ends = Quantity(np.array([low.magnitude, high.m_as(low.units)], dtype=float), low.units)
    if system == "both":
        metric, us = (write_range(low, high, one, digits) for one in ("metric", "US"))
        return metric if metric == us else f"{metric} ({us})"
    numbers, symbol = _in_steps(ends, system, digits)
    first, last = (figure(float(number), digits) for number in numbers)
    if not np.all(np.isfinite(numbers)) and first != last:
        return f"{_join(first, symbol)} to {_join(last, symbol)}"
    return _join(first if first == last else f"{first} to {last}", symbol)


def whole_degrees(temperature: Quantity, system: str = "metric") -> Quantity:
    """Round a temperature to whole degrees of the system's own scale, as weather reports do.

    Parameters
    ----------
    temperature : Quantity
        One temperature.
    system : str, default "metric"
        "metric" for degC, "US" for degF.

    Returns
    -------
    Quantity
        In whole degrees, to be written or to begin or end a range.

    Raises
    ------
    UnitNeeded
        This is no temperature, or there is no such system.

    Examples
    --------
    >>> write(whole_degrees(Q(40.2, "degC"), "US"), "US")
    '104 °F'
    """
    if not isinstance(system, str) or system not in ("metric", "US"):
        raise UnitNeeded(f'The systems are "metric" and "US"; {system!r} is neither.')
    if not isinstance(temperature, Quantity) or not temperature.check("[temperature]"):
        raise UnitNeeded(f'A temperature has a unit, such as Q(21, "degC"); {temperature!r} has none.')
    unit = "degC" if system == "metric" else "degF"
    return Q(float(round(float(temperature.m_as(unit)))), unit)


def _check_digits(digits: object) -> None:
    if isinstance(digits, bool) or not isinstance(digits, int) or not 1 <= digits <= 15:
        raise UnitNeeded(f"write needs 1 to 15 significant digits; you gave {digits!r}.")


def _plain_number(value: Any) -> Any:
    try:
        if value is None or isinstance(value, str):
            raise TypeError
        return Quantity(np.asarray(value, dtype=float)[()], "dimensionless")
    except OverflowError:
        raise UnitNeeded(
            "write got a number with more than 308 digits, which is too large to compute with."
        ) from None
    except (TypeError, ValueError):
        raise UnitNeeded(f"write needs a quantity or a number; you gave {value!r}.") from None


def _in_steps(quantity: Any, system: str, digits: int) -> tuple[np.ndarray, str]:
    """The numbers in the unit that suits the largest of them, and the unit's symbol."""
    if quantity.units in _BY_UNIT:
        ladders, usual = _BY_UNIT[quantity.units], ""
    elif quantity.dimensionless:
        ladders, usual = _RATIOS.get(_parts(quantity.units), {}), ""
    elif quantity.dimensionality in _LADDERS:
        usual, ladders = _LADDERS[quantity.dimensionality]
    else:
        ladders, usual = {}, ""
    if not ladders:
        return _in_powers(np.asarray(quantity.magnitude, dtype=float), _symbol(quantity.units))
    steps = ladders.get(system) or ladders["metric"]
    if "US" in ladders and system == "US":
        usual = _USUAL_US.get(usual, usual)
    chosen = next((step for step in steps if step[1] == usual), steps[0])
    largest = np.abs(np.asarray(quantity.m_as(chosen[1]), dtype=float))
    largest = largest[np.isfinite(largest)]
    if largest.size and (top := float(largest.max())) > 0 and len(steps) > 1:
        top_in = Quantity(top, chosen[1])
        chosen = steps[0]
        for step in steps[1:]:
            if _round(float(top_in.m_as(step[1])), digits) >= step[0]:
                chosen = step
    numbers = np.asarray(quantity.m_as(chosen[1]), dtype=float)
    symbol = chosen[2]
    if numbers.ndim == 0 and symbol in ("days", "miles") and _round(float(numbers), digits) == 1:
        symbol = symbol[:-1]
    return numbers, symbol


def _parts(units: Any) -> frozenset[Any]:
    return frozenset(ureg.Unit(name).dimensionality for name in units._units)


def _in_powers(numbers: np.ndarray, symbol: str) -> tuple[np.ndarray, str]:
    """Very small and very large numbers of units without steps: 2 × 10⁻⁹ m²/s."""
    sizes = np.abs(numbers[np.isfinite(numbers) & (numbers != 0)])
    if not sizes.size or _SMALL <= sizes.max() < _LARGE:
        return numbers, symbol
    power = math.floor(math.log10(sizes.max()))
    half = power // 2  # 10 to the whole power may be too large or too small for a number
    return numbers / 10.0**half / 10.0 ** (power - half), f"× 10{str(power).translate(_RAISED)} {symbol}"


def _round(value: float, digits: int) -> float:
    return float(f"{value:.{digits - 1}e}")


def figure(value: float, digits: int) -> str:
    """A number with significant digits.

    Parameters
    ----------
    value : float
        The number.
    digits : int
        Significant digits.

    Returns
    -------
    str
        No exponent, no trailing zeros, a true minus, spaces from 10 000 on; words for what is missing or without end.

    Examples
    --------
    >>> figure(0.04567, 2), figure(float("nan"), 3)
    ('0.046', 'unknown')
    """
    _check_digits(digits)
    if not isinstance(value, float):
        found = _plain_number(value).magnitude
        if np.ndim(found):
            raise UnitNeeded(f"figure writes one number; you gave {np.size(found)}.")
        value = float(found)
    if math.isnan(value):
        return "unknown"
    if math.isinf(value):
        return _ENDLESS if value > 0 else _BOTTOMLESS
    value = _round(value, digits)
    if value == 0:
        return "0"
    decimals = max(digits - 1 - math.floor(math.log10(abs(value))), 0)
    grouping = "," if abs(value) >= 10_000 else ""
    text = f"{abs(value):{grouping}.{decimals}f}".replace(",", "\u202f")
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"−{text}" if value < 0 else text


def _join(figures: str, symbol: str) -> str:
    if figures in ("unknown", _ENDLESS, _BOTTOMLESS):  # words, which take no unit
        return "never" if figures == _ENDLESS and symbol in _TIMES else figures
    return f"{figures}{'' if symbol in ('', '°') else ' '}{symbol}"


def _symbol(units: Any) -> str:
    """Our own text for a unit that has no steps: capital L, µ as U+00B5, raised powers, one slash a divisor.

    The order is that of the alphabet, with time last, however the unit was made: MJ/m²/day.
    """
    above: list[str] = []
    below: list[str] = []
    for name, power in sorted(units._units.items(), key=_place):
        symbol = _SYMBOLS.get(name) or ureg.get_symbol(name).replace("μ", "µ")
        size = abs(power)
        raised = "" if size == 1 else f"{size:g}".translate(_RAISED)
        (above if power > 0 else below).append(symbol + raised)
    return "/".join([" ".join(above), *below]) if above else f"per {'/'.join(below)}"


def _place(part: tuple[str, float]) -> tuple[bool, str]:
    return ureg.Unit(part[0]).dimensionality == ureg.second.dimensionality, part[0]
