"""The acid for a pH now and for keeping it, beside the trade's rule that knows neither acid nor water."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from stilltank.science.chemistry import Solution
from stilltank.science.products import Acid
from stilltank.units import PlainNumber, Problem, Q, only, takes, within
from stilltank.units.types import Quantity

from ._state import AIR, acid_named, one_ph, settle
from .doses import acid_dose
from .rule_of_thumb import rule_of_thumb
from .titration import ph_of


@dataclass(frozen=True, eq=False)
class BothDoses:
    """How much of a liquid acid a tank needs, both ways, and what the rule of thumb would give.

    Parameters
    ----------
    volume : Quantity
        Of the solution.
    start : float
        The pH before any acid.
    target : float
        The pH wanted.
    acid : Acid
        The bottle.
    now : Quantity
        In mL, for the target in the minutes after dosing, before carbon dioxide has left.
    to_hold : Quantity
        In mL in all, for the target once the tank is at rest with the air.
    adds : Mapping
        In mg/L, each element that the dose to hold adds.
    rule : tuple of Quantity
        In mL by the rule of thumb, least and most.

    See Also
    --------
    doses_now_and_to_hold : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Solution, Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> doses = doses_now_and_to_hold(Solution(Q(36, "L"), {}, water=tap), 5.8, "nitric acid 0.5 mol/L")
    >>> round(doses.rule_short_by)
    20
    """

    volume: Quantity
    start: float
    target: float
    acid: Acid
    now: Quantity
    to_hold: Quantity
    adds: Mapping[str, Quantity]
    rule: tuple[Quantity, Quantity]

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
    def for_volume(self, volume: Quantity) -> "BothDoses":
        """Find the doses for the same water in another tank.

        Parameters
        ----------
        volume : Quantity
            Volume of that tank's solution, one value.

        Returns
        -------
        BothDoses
            The doses in proportion.

        Raises
        ------
        UnitNeeded
            A volume that has no unit.
        OutOfRange
            A volume of nothing or less.
        Problem
            Several volumes.

        Examples
        --------
        >>> from stilltank.science.chemistry import Solution, Water
        >>> litre = Solution(Q(1, "L"), {}, water=Water({}, alkalinity=Q(130, "mg/L"), ph=7.6))
        >>> doses = doses_now_and_to_hold(litre, 5.8, "nitric acid 0.5 mol/L")
        >>> round((doses.for_volume(Q(36, "L")).now / doses.now).magnitude, 6)
        36.0
        """
        plain = only(volume, "volume", "for_volume")
        within(plain, 1e-9, np.inf, "for_volume: a volume of {value} does not fit. Write one above 0.", "L")
        times = plain / self.volume.m_as("L")
        return replace(
            self, volume=Q(plain, "L"), now=self.now * times, to_hold=self.to_hold * times,
            rule=dose_by_rule_of_thumb(Q(plain, "L")),
        )  # fmt: skip

    def __str__(self) -> str:
        now, hold, low, high = (f"{value.m_as('mL'):.3g}" for value in (self.now, self.to_hold, *self.rule))
        return (
            f"{now} mL of {self.acid.name} for pH {self.target:g} now, {hold} mL to hold it; "
            f"by the trade's rule {low} to {high} mL. {self.acid.caution}"
        )


@takes(volume="L")
def dose_by_rule_of_thumb(volume: Quantity) -> tuple[Quantity, Quantity]:
    """Find the dose by the rule of thumb: half to one millilitre of a dilute acid for each US gallon.

    Parameters
    ----------
    volume : Quantity
        Volume of the solution, one or an array.

    Returns
    -------
    least, most : Quantity
        In mL, with the shape of ``volume``.

    Raises
    ------
    UnitNeeded
        A volume that has no unit.

    See Also
    --------
    acid_dose : Knows the acid and the water.

    Notes
    -----
    Common practice. It leaves out the strength of the liquid and the alkalinity of the water, so it can be wrong by a
    factor of a hundred either way.

    Examples
    --------
    >>> [round(dose.m_as("mL"), 2) for dose in dose_by_rule_of_thumb(Q(36, "L"))]
    [4.76, 9.51]
    """
    rule = rule_of_thumb()
    return (rule.smallest * Q(volume, "L")).to("mL"), (rule.largest * Q(volume, "L")).to("mL")


@takes(target=PlainNumber(5.8))
def doses_now_and_to_hold(solution: Solution, target: float, acid: Acid | str) -> BothDoses:
    """Find the dose of a liquid acid for a pH now and the dose to hold it, beside the rule of thumb.

    A solution that is at the target or below needs none: the dose is then 0 mL, not a problem.

    Parameters
    ----------
    solution : Solution
        One solution, with its volume.
    target : float
        The pH wanted.
    acid : Acid or str
        A liquid, or its name.

    Returns
    -------
    BothDoses
        The two doses and the two of the rule.

    Raises
    ------
    OutOfRange
        A target outside 0 to 14 or out of reach, or a solution outside the limits of the equilibrium.
    Unreadable
        No solution, a target that is not a number, or an unknown acid.
    Problem
        A water without a volume, several solutions or targets, or an acid that is a solid.

    See Also
    --------
    acid_dose : One of the two; its limits hold here too.
    dose_by_rule_of_thumb : The rule.

    Examples
    --------
    >>> from stilltank.science.chemistry import Solution, Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> print(doses_now_and_to_hold(Solution(Q(36, "L"), {}, water=tap), 5.8, "nitric acid 0.5 mol/L"))
    144 mL of nitric acid 0.5 mol/L for pH 5.8 now, 187 mL to hold it; by the trade's rule 4.76 to 9.51 mL. \
Caution: goggles and gloves; acid into water. The safety data sheet and local rules come first.
    """
    name = "doses_now_and_to_hold"
    volume = getattr(solution, "volume", None)
    if not isinstance(volume, Quantity):
        raise Problem(f'{name} needs a Solution, which has a volume: Solution(Q(36, "L"), {{}}, water=tap).')
    wanted = one_ph(target, "target", name)
    settled = settle(solution, name)
    start, rest = (only(ph_of(settled, air), "solution", name) for air in AIR)
    bottle = acid_named(acid, name)
    first = acid_dose(settled, wanted, bottle, "closed") if start > wanted else None
    kept = acid_dose(settled, wanted, bottle, "open") if rest > wanted else None
    if bottle.concentration is None:
        raise Problem(
            f"{bottle.name} is a solid, and the trade's rule counts millilitres. Name a liquid acid, such as "
            '"citric acid 5 %".'
        )
    # a liquid's dose has a volume
    now, hold = (Q(0, "mL") if dose is None else cast(Quantity, dose.volume) for dose in (first, kept))
    return BothDoses(
        volume,
        start,
        wanted,
        bottle,
        now,
        hold,
        {} if kept is None else kept.adds,
        dose_by_rule_of_thumb(volume),
    )
