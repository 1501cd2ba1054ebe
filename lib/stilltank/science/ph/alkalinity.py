"""Alkalinity: measured with drops of acid, brought down with rain water, and the pH where its titration ends."""

from typing import Any

import numpy as np

from stilltank.science.chemistry import Water, caco3_equivalent_mass, solve, water_in_a_litre
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    UnitNeeded,
    Unreadable,
    check_shapes,
    magnitude,
    pure_number,
    takes,
    within,
)

from ...tables import number


@takes(acid_volume="mL", acid_strength="mmol/L", sample_volume="mL", each="mL")
def alkalinity_by_titration(
    acid_volume: Any = None,
    acid_strength: Any = None,
    sample_volume: Any = None,
    drops: Any = None,
    each: Any = None,
) -> Any:
    """Find the alkalinity of a sample from the acid it took to its end point.

    Parameters
    ----------
    acid_volume : quantity, one or an array
        Acid used; leave it out where drops were counted.
    acid_strength : quantity, mmol of H+ in a litre
        The normality of the acid: sulfuric acid of 0.01 mol/L has 20 mmol/L.
    sample_volume : quantity
        Of the water titrated.
    drops : number or array
        Drops counted, in place of a volume.
    each : quantity, volume of a drop, default that of data/units.csv

    Returns
    -------
    quantity, mg/L as CaCO3

    Raises
    ------
    UnitNeeded   a volume or strength without a unit, or none
    Unreadable   drops that are no plain number, or both drops and a volume
    OutOfRange   a negative volume, no sample, acid without strength, or an alkalinity no water has

    Example
    -------
    >>> used = alkalinity_by_titration(Q(10, "mL"), Q(20, "mmol/L"), Q(100, "mL"))
    >>> counted = alkalinity_by_titration(drops=13, acid_strength=Q(100, "mmol/L"), sample_volume=Q(25, "mL"))
    >>> round(used.m_as("mg/L"), 1), round(counted.m_as("mg/L"), 1)
    (100.1, 130.1)

    Limits: a drop is 0.03 to 0.06 mL, so count the drops of one millilitre of your dropper first. One drop too
    many is the usual error: titrate twice.
    Source: the definition; one mole of H+ counts as half a mole of CaCO3.
    """
    name = "alkalinity_by_titration"
    for what, given in (("acid_strength", acid_strength), ("sample_volume", sample_volume)):
        if given is None:
            raise UnitNeeded(f"{name} needs `{what}`, such as {what}={_EXAMPLES[what]}. You gave nothing.")
        within(given, 1e-9, np.inf, f"{name}: {what} must be more than zero; {{value:g}} is not.")
    if (drops is None) == (acid_volume is None):
        which = "neither" if drops is None else "both"
        raise Unreadable(f"{name} needs the acid used as a volume, or as drops; you gave {which}.")
    if drops is None:
        if each is not None:
            raise Unreadable(f"{name}: `each` is the volume of a drop; give drops=... with it.")
        used = acid_volume
    else:
        drop = number("units", "drop", "size", "mL") if each is None else each
        within(drop, 1e-3, 1, f"{name}: a drop of {{value:g}} mL cannot be; twenty make a millilitre.")
        used = pure_number(drops, 13, "drops", name) * drop
    within(used, 0, np.inf, f"{name}: an acid volume cannot be below zero; {{value:g}} mL is.")
    check_shapes({"acid_strength": np.shape(acid_strength), "sample_volume": np.shape(sample_volume),
             "drops" if acid_volume is None else "acid_volume": np.shape(used)}, name)  # fmt: skip
    found = used * acid_strength / sample_volume * caco3_equivalent_mass()
    _believable(found, name)
    return Q(found, "mg/L")


_EXAMPLES = {"acid_strength": 'Q(20, "mmol/L")', "sample_volume": 'Q(100, "mL")'}


def endpoint_ph(alkalinity: Any, temperature: Any = None) -> Any:
    """The pH at which a titration of alkalinity is over, if no carbon dioxide escapes.

    There the acid equals the alkalinity, and all bicarbonate has become carbon dioxide. The more there was, the
    lower the pH. Add acid until the meter shows it, and compute with ``alkalinity_by_titration``.

    Parameters
    ----------
    alkalinity : quantity, mg/L as CaCO3, or mmol/L of charge; one or an array
        A first guess is enough.
    temperature : quantity, default 25 degC

    Returns
    -------
    number or array

    Raises
    ------
    UnitNeeded   no unit
    OutOfRange   no alkalinity, or more than a water has; a temperature outside 0 to 40 degC

    Example
    -------
    >>> [float(f'{endpoint_ph(Q(mg, "mg/L")):.2f}') for mg in (30, 150, 500)]
    [4.79, 4.44, 4.18]

    Limits: water with bicarbonate only. Stirring drives out carbon dioxide and moves the end point up; stopping 0.1
    pH early costs about one percent, less where there is more alkalinity.
    Source: charge balance with the activities of ``equilibrium``.
    """
    plain = alkalinity_in(alkalinity, "alkalinity", "endpoint_ph")
    within(plain, 1e-3, np.inf, "endpoint_ph: {value:g} mg/L as CaCO3 is no alkalinity to titrate.")
    celsius = (
        number("dosing", "endpoint", "usual temperature", "degC")
        if temperature is None
        else magnitude(temperature, "degC", "temperature", "endpoint_ph")
    )
    check_shapes({"alkalinity": np.shape(plain), "temperature": np.shape(celsius)}, "endpoint_ph")
    molal = plain / caco3_equivalent_mass() / 1000 / water_in_a_litre(celsius)
    return solve({"Na": molal, "Cl": molal, "DIC": molal, "temperature": celsius}).ph


def rain_share_for_alkalinity(hard: Water, rain: Water, alkalinity: Any) -> Any:
    """Find the share of rain water that brings a hard water down to an alkalinity.

    Alkalinity mixes by volume; pH does not. For the pH of the blend pour both together with ``mixing.blend``.

    Parameters
    ----------
    hard, rain : Water
        Each with its alkalinity; that of pure water is zero.
    alkalinity : quantity, mg/L as CaCO3, or mmol/L of charge; one or an array
        The one wanted.

    Returns
    -------
    quantity, percent of the blend

    Raises
    ------
    UnitNeeded   no Water, or an alkalinity without a unit
    Problem      a water whose alkalinity is not known
    OutOfRange   an alkalinity outside those of the two waters, or two waters that are equal in it

    Example
    -------
    >>> from stilltank.science.mixing import blend
    >>> tap = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.6, name="tap")
    >>> share = rain_share_for_alkalinity(tap, Water.pure(), Q(75, "mg/L"))
    >>> blended = blend(Water.pure(), share * Q(40, "L"), tap, (1 - share) * Q(40, "L")).water
    >>> f'{share.m_as("percent"):.0f} percent rain, pH {blended.ph:.1f}'
    '70 percent rain, pH 7.6'

    Limits: real rain has an alkalinity of a few mg/L, and collects more from roofs; measure it.
    """
    known = {}
    for name, water in (("hard", hard), ("rain", rain)):
        if not isinstance(water, Water):
            raise UnitNeeded(f"rain_share_for_alkalinity needs a Water for `{name}`; you gave {water!r}.")
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
    return Q(100 * np.clip(share, 0, 1), "percent")


def alkalinity_in(value: Any, name: str, function: str) -> Any:
    """Plain mg/L as CaCO3 of an alkalinity stated so, or in mmol of charge in a litre.

    Raises UnitNeeded, OutOfRange.
    """
    if isinstance(value, Quantity) and value.check("[substance]/[length]**3"):
        plain = magnitude(value, "mmol/L", name, function) * caco3_equivalent_mass()
    else:
        plain = magnitude(value, "mg/L", name, function)
    _believable(plain, function)
    return plain


def _believable(plain: Any, function: str) -> None:
    most = number("mixing", "water report", "alkalinity highest", "mg/L")
    within(
        plain, 0, most,
        f"{function}: an alkalinity of {{value:g}} mg/L as CaCO3 cannot be right; hard tap water has about 300.",
    )  # fmt: skip
