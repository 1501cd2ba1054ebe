"""The trade's rule for lowering a pH, and the water it was made for.

"Half a millilitre to one millilitre of a dilute liquid for a US gallon" says neither how strong the liquid is nor what
water it goes into. Both can be worked out, and the same millilitre that is right for rain water does next to nothing
in hard water.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import Solution, Water, caco3_equivalent_mass, reagent_to_ph
from stilltank.science.products import Acid, acid_names, figures
from stilltank.science.products import acid as _acid
from stilltank.tables import number
from stilltank.units import OutOfRange, PlainNumber, Q, UnitNeeded, magnitude, only, takes, within
from stilltank.units.types import Air, Array, Plain, Quantity

from ._state import (
    AIR,
    acid_named,
    carbon_dioxide_pressure,
    litre_of,
    one_ph,
    possible_alkalinity,
)
from .doses import acid_dose

_POINTS = 65  # taken twice, the second time within a step of the first; straight lines between


@dataclass(frozen=True)
class RuleOfThumb:
    """What the trade says; common practice, no source.

    Parameters
    ----------
    lowest : float
        Lower end of the working range of pH.
    highest : float
        Upper end of the working range of pH.
    smallest : Quantity
        In mL of the liquid for a US gallon, the smaller dose.
    largest : Quantity
        In mL of the liquid for a US gallon, the larger dose.

    See Also
    --------
    rule_of_thumb : Makes one.

    Examples
    --------
    >>> str(rule_of_thumb())[:31]
    'Keep the pH between 5.5 and 7; '
    """

    lowest: float
    highest: float
    smallest: Quantity
    largest: Quantity

    def __str__(self) -> str:
        low, high = (figures(dose.m_as("mL/gallon")) for dose in (self.smallest, self.largest))
        return (
            f"Keep the pH between {self.lowest:g} and {self.highest:g}; {low} to {high} mL of a dilute pH-lowering "
            "liquid for each US gallon. Common practice: it leaves out how strong the liquid is, and the alkalinity "
            "of the water."
        )


def rule_of_thumb() -> RuleOfThumb:
    """Return the trade's working range of pH and its dose for a US gallon.

    Returns
    -------
    RuleOfThumb
        From data/dosing.csv.

    See Also
    --------
    alkalinity_for_rule : The water for which it is right.
    strength_for_rule : The liquid for which it is right.

    Examples
    --------
    >>> rule = rule_of_thumb()
    >>> rule.lowest, rule.highest, rule.largest.m_as("mL/gallon")
    (5.5, 7.0, 1.0)
    """
    smallest, largest = (
        Q(number("dosing", "rule", f"{end} dose", "mL/gallon"), "mL/gallon")
        for end in ("smallest", "largest")
    )
    lowest, highest = (number("dosing", "rule", f"{end} pH", "1") for end in ("lowest", "highest"))
    return RuleOfThumb(lowest, highest, smallest, largest)


@takes(target=PlainNumber(5.8), air=AIR, returns="mol/L")
def strength_for_rule(
    solution: Solution | Water,
    target: Plain,
    acid: Acid | str,
    volume_per_volume: Quantity,
    air: Air = "closed",
) -> Quantity:
    """Find how concentrated a liquid must be for a rule such as "one millilitre for a US gallon" to hold.

    Parameters
    ----------
    solution : Solution or Water
        What is dosed.
    target : float or array
        The pH wanted.
    acid : Acid or str
        The acid, its name, or its formula such as "H3PO4". Only which acid it is counts.
    volume_per_volume : Quantity
        Volume in a volume, such as ``Q(1, "mL/gallon")``, one or an array. That is a US gallon; an imperial one is
        ``imperial_gallon``.
    air : {"closed", "open"}
        As for `acid_dose`.

    Returns
    -------
    Quantity
        In mol/L, with the shape of what was given.

    Raises
    ------
    UnitNeeded
        A dose that has no unit, or is no volume in a volume.
    OutOfRange
        No dose, more than a tenth of the tank, or a pH that acid does not reach.
    Unreadable
        No solution, a target that is not a number, an unknown acid, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known.

    See Also
    --------
    alkalinity_for_rule : The other way round.

    Notes
    -----
    The answer may be more concentrated than any bottle; 85 % phosphoric acid has 14.6 mol/L.

    Examples
    --------
    >>> soft, hard = (Water({}, alkalinity=Q(mg, "mg/L"), ph=7.6) for mg in (30, 250))
    >>> round(strength_for_rule(soft, 5.8, "H3PO4", Q(1, "mL/gallon")).m_as("mol/L"), 1)
    1.7
    >>> round(strength_for_rule(hard, 5.8, "H3PO4", Q(1, "mL/gallon")).m_as("mol/L"), 1)
    14.3
    """
    share = _share(volume_per_volume, "strength_for_rule")
    dose = acid_dose(solution, target, _which(acid), air)
    return dose.amount.m_as("mol/L") / share


@takes(target=PlainNumber(5.8), ph=PlainNumber(7.6), temperature="degC", air=AIR, returns="mg/L")
def alkalinity_for_rule(
    acid: Acid | str,
    volume_per_volume: Quantity,
    target: float,
    ph: float | None = None,
    temperature: Quantity | None = None,
    air: Air = "closed",
) -> Quantity:
    """Find the alkalinity of the water for which a rule of thumb is right.

    Parameters
    ----------
    acid : Acid or str
        A liquid, or its name: its concentration counts.
    volume_per_volume : Quantity
        Volume of the acid in a volume of the water, such as ``Q(1, "mL/gallon")``; one or an array.
    target : float
        The pH wanted.
    ph : float, optional
        The pH of the water before; that of data/dosing.csv when left out.
    temperature : Quantity, optional
        Temperature of the water, one value; that of a Water when left out.
    air : {"closed", "open"}
        As for `acid_dose`.

    Returns
    -------
    Quantity
        In mg/L as CaCO3, with the shape of ``volume_per_volume``.

    Raises
    ------
    UnitNeeded
        A dose or a temperature that has no unit.
    OutOfRange
        A solid, no dose, a target above the pH of the water, or more acid than any water needs.
    Unreadable
        A pH that is not a number, an unknown acid, or another word for ``air``.
    Problem
        Several targets, pH values or temperatures.

    See Also
    --------
    strength_for_rule : The other way round.

    Notes
    -----
    For water with sodium hydrogen carbonate and nothing else; nutrient salts in it change the answer by some
    percent.

    Examples
    --------
    >>> suits = alkalinity_for_rule("phosphoric acid 0.5 mol/L", Q([0.5, 1], "mL/gallon"), 5.8)
    >>> suits.m_as("mg/L").round(1).tolist()
    [4.2, 8.6]
    """
    name = "alkalinity_for_rule"
    bottle = acid_named(acid, name)
    if bottle.concentration is None:
        raise OutOfRange(f"{name}: {bottle.name} is a solid; a rule in millilitres needs a liquid.")
    share = _share(volume_per_volume, name)
    before = number("dosing", "rule", "usual pH", "1") if ph is None else one_ph(ph, "ph", name)
    aim = one_ph(target, "target", name)
    warmth = None if temperature is None else Q(only(temperature, "temperature", name), "degC")
    if aim >= before:
        raise OutOfRange(
            f"{name}: a water at pH {before:g} needs no acid for pH {aim:g}. Choose a lower target."
        )
    wanted = share * bottle.concentration.m_as("mmol/L")  # mmol of acid in each litre
    warm: dict[str, Any] = {} if warmth is None else {"temperature": warmth}
    like = Water({}, alkalinity=Q(0, "mg/L"), **warm)
    low, high = possible_alkalinity(like, before)
    low = low * 1.01 + 1e-3  # its own sodium moves the least a little
    for _ in range(2):
        row = np.linspace(low, high, _POINTS)
        doses = _doses(row, before, warmth, aim, bottle, air)
        within(
            wanted, doses[0], doses[-1],
            f"{name}: {{value:.3g}} mmol/L of acid suits no water: at pH {before:g} the softest takes "
            f"{max(doses[0], 0):.2g}, the hardest {doses[-1]:.3g}. Check the dose and the strength.",
        )  # fmt: skip
        high = (
            float(np.interp(np.max(wanted), doses, row)) * 1.02 + 1e-3
        )  # nearly straight, so once more and closer
    return np.interp(wanted, doses, row)


def _doses(
    row: Array, ph: float, temperature: Quantity | None, target: float, bottle: Acid, air: Air
) -> Array:
    """mmol/L of acid for waters of these alkalinities, plain mg/L; below zero where one needs a base."""
    sodium = Q(row / caco3_equivalent_mass(), "mmol/L")
    warm: dict[str, Any] = {} if temperature is None else {"temperature": temperature}
    state = Water({"Na+": sodium}, alkalinity=Q(row, "mg/L"), ph=ph, **warm).state()
    return (
        reagent_to_ph(state, target, bottle.reagent, carbon_dioxide_pressure(air)).dose
        * 1000
        * litre_of(state)
    )


def _share(volume_per_volume: Quantity, name: str) -> Plain:
    if not isinstance(volume_per_volume, Quantity) or not volume_per_volume.check("[]"):
        raise UnitNeeded(
            f'{name} needs a volume in each gallon or litre for `volume_per_volume`, such as Q(1, "mL/gallon") '
            f"(US). You gave {volume_per_volume!r}."
        )
    share = magnitude(volume_per_volume, "L/L", "volume_per_volume", name)
    within(
        share, 1e-9, 0.1,
        f"{name}: a dose is more than nothing and at most a tenth of the tank, such as Q(1, \"mL/gallon\"); "
        "{value:g} L in a litre is not.",
    )  # fmt: skip
    return share


def _which(acid: Acid | str) -> Acid:
    """An acid by its name, or any bottle of a formula: only the kind counts."""
    if isinstance(acid, str) and acid.strip() in Acid.kinds:
        return next(_acid(item) for item in acid_names() if _acid(item).formula == acid.strip())
    return acid_named(acid, "strength_for_rule")
