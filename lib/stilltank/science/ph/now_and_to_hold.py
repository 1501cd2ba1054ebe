"""The acid for a pH now and for keeping it, beside the trade's rule that knows neither acid nor water."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from stilltank.science.products import Acid
from stilltank.science.products import acid as named_acid
from stilltank.units import Problem, Q, takes

from ._state import settle
from .doses import acid_dose
from .rule_of_thumb import rule_of_thumb
from .titration import ph_of


@dataclass(frozen=True, eq=False)
class BothDoses:
    """How much of a liquid acid a tank needs, both ways, and what the trade's rule would give."""

    volume: Any
    """Of the solution."""
    start: Any
    """pH before any acid."""
    target: float
    acid: Acid
    now: Any
    """mL for the target in the minutes after dosing, before carbon dioxide has left."""
    to_hold: Any
    """mL in all for the target once the tank is at rest with the air."""
    adds: Mapping[str, Any]
    """mg/L of each element that the dose to hold brings."""
    rule: tuple[Any, Any]
    """mL by the trade's rule, least and most."""

    @property
    def rule_short_by(self) -> float:
        """How many times the larger dose is of the most that the rule gives; below 1 where the rule gives more."""
        return float(max(self.now, self.to_hold) / self.rule[1])

    @property
    def rule_over_by(self) -> float:
        """How many times the least that the rule gives is of the larger dose; infinite where none is needed."""
        need = max(self.now, self.to_hold).m_as("mL")
        return float(self.rule[0].m_as("mL") / need) if need > 0 else np.inf

    @takes(volume="L")
    def for_volume(self, volume: Any) -> "BothDoses":
        """The same water in another tank.

        Example
        -------
        >>> from stilltank.science.chemistry import Solution, Water
        >>> litre = Solution(Q(1, "L"), {}, water=Water({}, alkalinity=Q(130, "mg/L"), ph=7.6))
        >>> doses = doses_now_and_to_hold(litre, 5.8, "nitric acid 0.5 mol/L")
        >>> round((doses.for_volume(Q(36, "L")).now / doses.now).magnitude, 6)
        36.0
        """
        times = volume / self.volume.m_as("L")
        return replace(
            self, volume=Q(volume, "L"), now=self.now * times, to_hold=self.to_hold * times,
            rule=dose_by_rule_of_thumb(Q(volume, "L")),
        )  # fmt: skip

    def __str__(self) -> str:
        now, hold, low, high = (f"{value.m_as('mL'):.3g}" for value in (self.now, self.to_hold, *self.rule))
        return (
            f"{now} mL of {self.acid.name} for pH {self.target:g} now, {hold} mL to hold it; "
            f"by the trade's rule {low} to {high} mL. {self.acid.caution}"
        )


@takes(volume="L")
def dose_by_rule_of_thumb(volume: Any) -> tuple[Any, Any]:
    """What the trade's rule gives: half to one millilitre of a dilute pH-lowering liquid for each US gallon.

    Parameters
    ----------
    volume : quantity
        Of the solution.

    Returns
    -------
    (least, most), quantities, mL

    Raises
    ------
    UnitNeeded   a volume without a unit

    Example
    -------
    >>> [round(dose.m_as("mL"), 2) for dose in dose_by_rule_of_thumb(Q(36, "L"))]
    [4.76, 9.51]

    Limits: common practice. It knows neither the strength of the liquid nor the alkalinity of the water, so it
    can be wrong by a factor of a hundred either way; ``acid_dose`` knows both.
    """
    rule = rule_of_thumb()
    return (rule.smallest * Q(volume, "L")).to("mL"), (rule.largest * Q(volume, "L")).to("mL")


def doses_now_and_to_hold(solution: Any, target: float, acid: Acid | str) -> BothDoses:
    """Find the dose of a liquid acid for a pH now and the dose to hold it, beside the trade's rule.

    A solution that is at the target or below needs none: the dose is then 0 mL, not a problem.

    Parameters
    ----------
    solution : Solution
    target : number, the pH wanted
    acid : Acid, or the name of one
        A liquid.

    Returns
    -------
    BothDoses

    Raises
    ------
    OutOfRange, Unreadable   as ``acid_dose``
    Problem                  a water without a volume, or an acid that is a solid

    Example
    -------
    >>> from stilltank.science.chemistry import Solution, Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> print(doses_now_and_to_hold(Solution(Q(36, "L"), {}, water=tap), 5.8, "nitric acid 0.5 mol/L"))
    144 mL of nitric acid 0.5 mol/L for pH 5.8 now, 187 mL to hold it; by the trade's rule 4.76 to 9.51 mL. \
Caution: goggles and gloves; acid into water. The safety data sheet and local rules come first.

    Limits: as ``acid_dose`` and ``dose_by_rule_of_thumb``.
    """
    if getattr(solution, "volume", None) is None:
        raise Problem('This needs a Solution, which has a volume: Solution(Q(36, "L"), {}, water=tap).')
    solution = settle(solution)
    start = ph_of(solution)
    bottle = acid if isinstance(acid, Acid) else named_acid(acid)
    doses = {
        air: acid_dose(solution, target, bottle, air) if ph > target else None
        for air, ph in (("closed", start), ("open", ph_of(solution, "open")))
    }
    if bottle.concentration is None:
        raise Problem(
            f"{bottle.name} is a solid, and the trade's rule counts millilitres. Name a liquid acid, such as "
            '"citric acid 5 %".'
        )
    now, hold = (Q(0, "mL") if dose is None else dose.volume for dose in doses.values())
    kept = doses["open"]
    return BothDoses(
        solution.volume, start, target, bottle, now, hold, {} if kept is None else kept.adds,
        dose_by_rule_of_thumb(solution.volume),
    )  # fmt: skip
