"""Alkalinity: measured with drops of acid, brought down with rain water, and the pH where its titration ends."""

from typing import Any

import numpy as np

from stilltank.science.chemistry import Water, caco3_equivalent_mass, solve, water_in_a_litre
from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    PlainNumber,
    Problem,
    UnitNeeded,
    Unreadable,
    check_shapes,
    magnitude,
    takes,
    within,
)
from stilltank.units.types import Plain, Quantity


@takes(
    acid_volume="mL",
    acid_strength="mmol/L",
    sample_volume="mL",
    drops=PlainNumber(13),
    each="mL",
    returns="mg/L",
)
def alkalinity_by_titration(
    acid_volume: Quantity | None = None,
    acid_strength: Quantity | None = None,
    sample_volume: Quantity | None = None,
    drops: Plain | None = None,
    each: Quantity | None = None,
) -> Quantity:
    """Find the alkalinity of a sample from the acid it took to its end point.

    Parameters
    ----------
    acid_volume : Quantity, optional
        Volume of the acid used, one or an array; leave it out where drops were counted.
    acid_strength : Quantity
        Amount of H+ in each litre, such as mmol/L. This is the normality of the acid: sulfuric acid of 0.01 mol/L has
        20 mmol/L.
    sample_volume : Quantity
        Volume of the water titrated.
    drops : float or array, optional
        Drops counted, in place of a volume.
    each : Quantity, optional
        Volume of a drop; that of data/units.csv when left out.

    Returns
    -------
    Quantity
        In mg/L as CaCO3, with the shape of what was given.

    Raises
    ------
    UnitNeeded
        A volume or a strength that has no unit, or is missing.
    Unreadable
        Drops that are no plain number, or both drops and a volume.
    OutOfRange
        A negative volume, no sample, acid without strength, or an alkalinity that no water has.

    See Also
    --------
    endpoint_ph : The pH where the titration ends.

    Notes
    -----
    One mole of H+ counts as half a mole of CaCO3. A drop is 0.03 to 0.06 mL, so count the drops of one millilitre of
    your dropper first. One drop too many is the usual error: titrate twice.

    Examples
    --------
    >>> used = alkalinity_by_titration(Q(10, "mL"), Q(20, "mmol/L"), Q(100, "mL"))
    >>> counted = alkalinity_by_titration(drops=13, acid_strength=Q(100, "mmol/L"), sample_volume=Q(25, "mL"))
    >>> round(used.m_as("mg/L"), 1), round(counted.m_as("mg/L"), 1)
    (100.1, 130.1)
    """
    name = "alkalinity_by_titration"
    if acid_strength is None or sample_volume is None:
        what = "acid_strength" if acid_strength is None else "sample_volume"
        raise UnitNeeded(f"{name} needs `{what}`, such as {what}={_EXAMPLES[what]}. You gave nothing.")
    within(acid_strength, 1e-9, np.inf, f"{name}: acid_strength must be more than zero; {{value:g}} is not.")
    within(
        sample_volume, 1e-9, np.inf, f"{name}: sample_volume must be more than zero; {{value}} is not.", "mL"
    )
    if (drops is None) == (acid_volume is None):
        which = "neither" if drops is None else "both"
        raise Unreadable(f"{name} needs the acid used as a volume, or as drops; you gave {which}.")
    if drops is None:
        if each is not None:
            raise Unreadable(f"{name}: `each` is the volume of a drop; give drops=... with it.")
        used: Any = acid_volume
    else:
        drop = number("units", "drop", "size", "mL") if each is None else each
        within(drop, 1e-3, 1, f"{name}: a drop of {{value}} does not fit; twenty make a millilitre.", "mL")
        used = drops * drop
    within(used, 0, np.inf, f"{name}: an acid volume cannot be below zero; {{value}} is.", "mL")
    found = used * acid_strength / sample_volume * caco3_equivalent_mass()
    _believable(found, name)
    return found


_EXAMPLES = {"acid_strength": 'Q(20, "mmol/L")', "sample_volume": 'Q(100, "mL")'}


@takes(temperature="degC")
def endpoint_ph(alkalinity: Quantity, temperature: Quantity | None = None) -> Plain:
    """Find the pH at which a titration of alkalinity is over, if no carbon dioxide escapes.

    There the acid equals the alkalinity, and all bicarbonate has become carbon dioxide. The more there was, the
    lower the pH. Add acid until the meter shows it, and calculate with `alkalinity_by_titration`.

    Parameters
    ----------
    alkalinity : Quantity
        In mg/L as CaCO3, or in mmol/L of charge; one or an array. A first guess is enough.
    temperature : Quantity, optional
        Temperature, 0 to 40 °C, one or an array; 25 °C when left out.

    Returns
    -------
    float or array
        The pH, with the shape of the alkalinities and temperatures.

    Raises
    ------
    UnitNeeded
        An alkalinity or a temperature that has no unit.
    OutOfRange
        No alkalinity, more than a water has, or a temperature outside 0 to 40 °C.
    Problem
        Arrays that do not fit.

    See Also
    --------
    alkalinity_by_titration : What to do with the acid used.

    Notes
    -----
    The charge is balanced with the activities of the equilibrium, for water with bicarbonate only. Stirring drives
    out carbon dioxide and moves the end point up; stopping 0.1 pH early costs about one percent, less where there is
    more alkalinity.

    Examples
    --------
    >>> endpoint_ph(Q([30, 150, 500], "mg/L")).round(2).tolist()
    [4.79, 4.44, 4.18]
    """
    plain = alkalinity_in(alkalinity, "alkalinity", "endpoint_ph")
    within(plain, 1e-3, np.inf, "endpoint_ph: {value:g} mg/L as CaCO3 is no alkalinity to titrate.")
    usual = number("dosing", "endpoint", "usual temperature", "degC")
    celsius = np.asarray(usual if temperature is None else temperature)[()]
    check_shapes({"alkalinity": np.shape(plain), "temperature": np.shape(celsius)}, "endpoint_ph")
    molal = plain / caco3_equivalent_mass() / 1000 / water_in_a_litre(celsius)
    return solve({"Na": molal, "Cl": molal, "DIC": molal, "temperature": celsius}).ph


@takes(hard=Water, rain=Water, returns="percent")
def rain_share_for_alkalinity(hard: Water, rain: Water, alkalinity: Quantity) -> Quantity:
    """Find the share of rain water that brings a hard water down to an alkalinity.

    Alkalinity mixes by volume; pH does not. For the pH of the blend pour both together with
    `stilltank.science.mixing.blend`.

    Parameters
    ----------
    hard : Water
        The hard water, with its alkalinity.
    rain : Water
        The rain water, with its alkalinity; that of pure water is zero.
    alkalinity : Quantity
        The alkalinity wanted, in mg/L as CaCO3 or in mmol/L of charge; one or an array.

    Returns
    -------
    Quantity
        In percent of the blend, with the shape of ``alkalinity``.

    Raises
    ------
    UnitNeeded
        An alkalinity that has no unit.
    Unreadable
        Something else than a Water.
    Problem
        A water whose alkalinity is not known, or arrays that do not fit.
    OutOfRange
        An alkalinity outside those of the two waters, or two waters that are equal in it.

    See Also
    --------
    stilltank.science.mixing.blend : The blend itself.

    Notes
    -----
    Real rain has an alkalinity of a few mg/L, and collects more from roofs; measure it.

    Examples
    --------
    >>> from stilltank.science.mixing import blend
    >>> tap = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.6, name="tap")
    >>> share = rain_share_for_alkalinity(tap, Water.pure(), Q(75, "mg/L"))
    >>> blended = blend(Water.pure(), share * Q(40, "L"), tap, (1 - share) * Q(40, "L")).water
    >>> f'{share.m_as("percent"):.0f} percent rain, pH {blended.ph:.1f}'
    '70 percent rain, pH 7.6'
    """
    known = {}
    for name, water in (("hard", hard), ("rain", rain)):
        if water.alkalinity is None:
            raise Problem(
                f"rain_share_for_alkalinity: the alkalinity of {water.name or f'the {name} water'} is not known. "
                "Measure it with a drop test."
            )
        known[name] = water.alkalinity.m_as("mg/L")
    wanted = alkalinity_in(alkalinity, "alkalinity", "rain_share_for_alkalinity")
    check_shapes({"hard": np.shape(known["hard"]), "rain": np.shape(known["rain"]), "alkalinity": np.shape(wanted)},
            "rain_share_for_alkalinity")  # fmt: skip
    if np.any(known["hard"] <= known["rain"]):
        raise OutOfRange(
            f"rain_share_for_alkalinity: the hard water has {np.min(known['hard']):g} mg/L as CaCO3 and the rain "
            f"{np.max(known['rain']):g}. The first must have more; check which is which."
        )
    low, high, asked = np.broadcast_arrays(known["rain"], known["hard"], wanted)
    slack = 1e-9 * high  # the rounding of a unit is no reason to refuse
    outside = (asked < low - slack) | (asked > high + slack)
    if np.any(outside):
        first = np.argmax(outside.ravel())
        raise OutOfRange(
            f"rain_share_for_alkalinity: a blend of these waters has {low.flat[first]:g} to {high.flat[first]:g} mg/L "
            f"as CaCO3; {asked.flat[first]:g} is outside. Below it acid helps, above it nothing is needed."
        )
    share = (known["hard"] - wanted) / (known["hard"] - known["rain"])
    return 100 * np.clip(share, 0, 1)


def alkalinity_in(value: Quantity, name: str, function: str) -> Plain:
    """Plain mg/L as CaCO3 of an alkalinity stated so, or in mmol of charge in a litre.

    Raises UnitNeeded, OutOfRange.
    """
    if isinstance(value, Quantity) and value.check("[substance]/[length]**3"):
        plain = magnitude(value, "mmol/L", name, function) * caco3_equivalent_mass()
    else:
        plain = magnitude(value, "mg/L", name, function)
    _believable(plain, function)
    return plain


def _believable(plain: Plain | Quantity, function: str) -> None:
    most = number("mixing", "water report", "alkalinity highest", "mg/L")
    within(
        plain, 0, most,
        f"{function}: an alkalinity of {{value:g}} mg/L as CaCO3 cannot be right; hard tap water has about 300.",
    )  # fmt: skip
