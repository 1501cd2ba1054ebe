"""The trade's rule for lowering a pH, and the water it was made for.

"Half a millilitre to one millilitre of a dilute liquid for a US gallon" says neither how strong the liquid is nor what
water it goes into. Both can be worked out, and the same millilitre that is right for rain water does next to nothing
in hard water.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import Water, caco3_equivalent_mass, reagent_to_ph
from stilltank.science.products import Acid, acid_names, figures
from stilltank.science.products import acid as _acid
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, Quantity, UnitNeeded, magnitude, pure_number, within

from ._state import carbon_dioxide_pressure, litre_of, possible_alkalinity, reagent_named, target_ph
from .doses import acid_dose

_POINTS = 65  # taken twice, the second time within a step of the first; straight lines between


@dataclass(frozen=True)
class RuleOfThumb:
    """What the trade says; common practice, no source."""

    lowest: float
    """pH of the working range."""
    highest: float
    smallest: Any
    """mL of the liquid for a US gallon."""
    largest: Any

    def __str__(self) -> str:
        low, high = (figures(dose.m_as("mL/gallon")) for dose in (self.smallest, self.largest))
        return (
            f"Keep the pH between {self.lowest:g} and {self.highest:g}; {low} to {high} mL of a dilute pH-lowering "
            "liquid for each US gallon. Common practice: it leaves out how strong the liquid is, and the alkalinity "
            "of the water."
        )


def rule_of_thumb() -> RuleOfThumb:
    """The trade's working range of pH and its dose for a US gallon.

    Example
    -------
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


def strength_for_rule(
    solution: Any, target: Any, acid: Acid | str, volume_per_volume: Any, air: str = "closed"
) -> Any:
    """Find how strong a liquid must be for a rule such as "one millilitre for a US gallon" to hold.

    Parameters
    ----------
    solution : Solution or Water
    target : number
        The pH wanted.
    acid : Acid, the name of one, or its formula such as "H3PO4"
        Only which acid it is counts.
    volume_per_volume : quantity, such as ``Q(1, "mL/gallon")``
        A US gallon; an imperial one is ``imperial_gallon``. One or an array.
    air : "closed" or "open"

    Returns
    -------
    quantity, mol/L

    Raises
    ------
    UnitNeeded   a dose without a unit
    OutOfRange   no dose, or more than a tenth of the tank; else as ``acid_dose``
    Unreadable, Problem   as ``acid_dose``

    Example
    -------
    >>> water = {mg: Water({}, alkalinity=Q(mg, "mg/L"), ph=7.6) for mg in (30, 250)}
    >>> [round(strength_for_rule(w, 5.8, "H3PO4", Q(1, "mL/gallon")).m_as("mol/L"), 1) for w in water.values()]
    [1.7, 14.3]

    Limits: what comes out may be stronger than any bottle; 85 % phosphoric acid has 14.6 mol/L.
    """
    share = _share(volume_per_volume, "strength_for_rule")
    dose = acid_dose(solution, target, _which(acid), air)
    return Q(dose.amount.m_as("mol/L") / share, "mol/L")


def alkalinity_for_rule(
    acid: Acid | str,
    volume_per_volume: Any,
    target: Any,
    ph: Any = None,
    temperature: Any = None,
    air: str = "closed",
) -> Any:
    """Find the alkalinity of the water for which a rule of thumb is right.

    Parameters
    ----------
    acid : Acid, or the name of one
        A liquid: its strength counts.
    volume_per_volume : quantity, such as ``Q(1, "mL/gallon")``
        Of the acid in the water; one or an array.
    target : number
        The pH wanted.
    ph : number, default that of data/dosing.csv
        Of the water before.
    temperature : quantity, default that of a Water
    air : "closed" or "open"

    Returns
    -------
    quantity, mg/L as CaCO3

    Raises
    ------
    UnitNeeded   a dose without a unit
    OutOfRange   a solid, no dose, a target above the pH of the water, or more acid than any water needs
    Unreadable, Problem   as ``acid_dose``

    Example
    -------
    >>> suits = alkalinity_for_rule("phosphoric acid 0.5 mol/L", Q([0.5, 1], "mL/gallon"), 5.8)
    >>> suits.m_as("mg/L").round(1).tolist()
    [4.2, 8.6]

    Limits: water with sodium hydrogen carbonate and nothing else; nutrient salts in it change the answer by some
    percent.
    """
    name = "alkalinity_for_rule"
    bottle = reagent_named(Acid, acid, name)
    if bottle.concentration is None:
        raise OutOfRange(f"{name}: {bottle.name} is a solid; a rule in millilitres needs a liquid.")
    share = _share(volume_per_volume, name)
    before = number("dosing", "rule", "usual pH", "1") if ph is None else pure_number(ph, 7.6, "ph", name)
    aim = target_ph(target, name)
    if np.ndim(before) or np.ndim(aim):
        raise Problem(f"{name} takes one pH of the water and one target.")
    if aim >= before:
        raise OutOfRange(
            f"{name}: a water at pH {before:g} needs no acid for pH {aim:g}. Choose a lower target."
        )
    wanted = share * bottle.concentration.m_as("mmol/L")  # mmol of acid in each litre
    like = Water({}, alkalinity=Q(0, "mg/L"), temperature=temperature)
    low, high = possible_alkalinity(like, before)
    low = low * 1.01 + 1e-3  # its own sodium moves the least a little
    for _ in range(2):
        row = np.linspace(low, high, _POINTS)
        doses = _doses(row, before, temperature, aim, bottle, air)
        within(
            wanted, doses[0], doses[-1],
            f"{name}: {{value:.3g}} mmol/L of acid suits no water: at pH {before:g} the softest takes "
            f"{max(doses[0], 0):.2g}, the hardest {doses[-1]:.3g}. Check the dose and the strength.",
        )  # fmt: skip
        high = (
            float(np.interp(np.max(wanted), doses, row)) * 1.02 + 1e-3
        )  # nearly straight, so once more and closer
    return Q(np.interp(wanted, doses, row), "mg/L")


def _doses(row: Any, ph: float, temperature: Any, target: float, bottle: Acid, air: str) -> Any:
    """mmol/L of acid for waters of these alkalinities, plain mg/L; below zero where one needs a base."""
    sodium = Q(row / caco3_equivalent_mass(), "mmol/L")
    state = Water({"Na+": sodium}, alkalinity=Q(row, "mg/L"), ph=ph, temperature=temperature).state()
    return (
        reagent_to_ph(state, target, bottle.reagent, carbon_dioxide_pressure(air)).dose
        * 1000
        * litre_of(state)
    )


def _share(volume_per_volume: Any, name: str) -> Any:
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


def _which(acid: Any) -> Acid:
    """An acid by its name, or any bottle of a formula: only the kind counts."""
    if isinstance(acid, str) and acid.strip() in Acid.kinds:
        return next(_acid(item) for item in acid_names() if _acid(item).formula == acid.strip())
    return reagent_named(Acid, acid, "strength_for_rule")
