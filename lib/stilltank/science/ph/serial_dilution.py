"""A ladder of dilutions: from a bottle that only the teacher touches to one that a class may use."""

import itertools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import litres
from stilltank.science.products import (
    Base,
    Reagent,
    acid,
    base,
    caution_for,
    dilution_hazard,
    figures,
    known,
    learners_limit,
)
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Q, Unreadable, one_value, pure_number, within

_ROUND = (1, 2, 5, 10)  # strengths that one writes on a bottle


@dataclass(frozen=True, eq=False)
class DilutionStep:
    """One dilution: what goes into the jug, in this order."""

    water: Any
    """L of water put into the jug first."""
    take: Any
    """mL of the stronger liquid, poured slowly into it."""
    made: Any
    """L it is made up to, once cool."""
    before: Any
    """mol/L of the stronger liquid."""
    strength: Any
    """mol/L reached."""
    caution: str
    """For whoever handles the stronger liquid."""
    adult_only: bool
    """Whether the stronger liquid is for the teacher or another trained adult only."""

    def __str__(self) -> str:
        return (
            f"Put {_volume(self.water)} of cold water in the jug first, pour {_volume(self.take)} of the "
            f"{figures(self.before.m_as('mol/L'))} mol/L slowly into it, stirring, let it cool, and make up to "
            f"{_volume(self.made)}: {figures(self.strength.m_as('mol/L'))} mol/L."
            f"{' Teacher or trained adult only.' if self.adult_only else ''}"
        )


@dataclass(frozen=True, eq=False)
class SerialDilution:
    """The steps of a dilution, from the bottle down."""

    steps: tuple[DilutionStep, ...]
    acid: Reagent
    """The bottle at the top: an Acid, or a Base."""
    strength: Any
    """mol/L at the foot."""
    volume: Any
    """L at the foot."""
    for_learners: bool
    """Whether learners may handle what stands at the foot."""

    def __str__(self) -> str:
        lines = [f"{self.acid}, diluted to {figures(self.strength.m_as('mol/L'))} mol/L:"]
        for index, step in enumerate(self.steps, start=1):
            lines.append(f"{index}. {step}")
            if index == 1 or step.caution != self.steps[index - 2].caution:
                lines.append(f"   {step.caution}")
        lines.append(
            "Label each bottle with name, strength, date and hazard. "
            + (
                f"Learners may handle the last one. {caution_for(dilution_hazard(self.acid, 0, 0))[0]}"
                if self.for_learners
                else f"The last one is still too strong for learners: they handle "
                f"{learners_limit(self.acid):g} mol/L or less."
            )
        )
        return "\n".join(lines)


def serial_dilution(acid: Reagent | str, to: Any, volume: Any, step: Any = None) -> SerialDilution:
    """Find the dilutions that lead from a strong bottle to a weak one, water first each time.

    As few steps as the greatest step allows; strengths on the way are round where they can be. All of what one
    step makes goes into the next, so nothing strong is left over.

    Parameters
    ----------
    acid : Acid or Base, or the name of one
        A liquid.
    to : quantity, mol/L
        The strength wanted.
    volume : quantity
        How much of it.
    step : number, optional
        How many times weaker one dilution may be; default and range in data/dosing.csv.

    Returns
    -------
    Ladder

    Raises
    ------
    Unreadable   an unknown acid or base
    UnitNeeded   a strength or volume without a unit
    OutOfRange   a strength not below that of the bottle, a solid, no volume, or a step outside its range
    Problem      several strengths or volumes

    Example
    -------
    >>> ladder = serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(1, "L"))
    >>> [f'{step.take.m_as("mL"):.1f} mL to {step.strength.m_as("mol/L"):g} mol/L' for step in ladder.steps]
    ['7.5 mL to 2 mol/L', '50.0 mL to 0.5 mol/L', '200.0 mL to 0.1 mol/L']
    >>> [step.adult_only for step in ladder.steps], ladder.for_learners
    ([True, True, False], True)

    Limits: volumes are taken to add up; sulfuric and nitric acid shrink a little, hence the making up. It grows
    warm: sulfuric acid and potassium hydroxide can boil the water they meet.
    """
    bottle = _bottle(acid)
    if bottle.concentration is None:
        raise OutOfRange(
            f"{bottle.name} is a solid; weigh it and dissolve it in water. A ladder starts from a liquid."
        )
    top = bottle.concentration.m_as("mol/L")
    foot = one_value(to, "mol/L", "to", "serial_dilution")
    whole = litres(volume, "serial_dilution", single=True)
    within(foot, 1e-6, np.inf, "serial_dilution: a strength is more than zero; {value:g} mol/L is not.")
    if foot >= top:
        raise OutOfRange(
            f"serial_dilution: {bottle.name} has {top:.3g} mol/L, and water cannot make it {foot:g}. "
            "A ladder leads downwards: choose a weaker strength, or a stronger bottle."
        )
    strengths = _strengths(top, foot, _greatest(step))
    amount = whole * foot  # mol, the same on every rung
    limit = learners_limit(bottle)
    steps = []
    for before, after in itertools.pairwise(strengths):
        take, made = amount / before, amount / after
        hazard = bottle.hazard if before == top else dilution_hazard(bottle, before, limit)
        steps.append(
            DilutionStep(
                Q(made - take, "L"),
                Q(1000 * take, "mL"),
                Q(made, "L"),
                Q(before, "mol/L"),
                Q(after, "mol/L"),
                *caution_for(hazard),
            )
        )
    return SerialDilution(tuple(steps), bottle, Q(foot, "mol/L"), Q(whole, "L"), foot <= limit)


def _strengths(top: float, foot: float, greatest: float) -> list[float]:
    """From the bottle down: even steps, moved to round strengths where no step then grows too great."""
    count = max(1, math.ceil(math.log(top / foot) / math.log(greatest) - 1e-9))
    even = [top * (foot / top) ** (rung / count) for rung in range(count + 1)]
    even[-1] = foot
    rounded = [top, *(_nearest(strength) for strength in even[1:-1]), foot]
    fits = all(1 < high / low <= greatest * (1 + 1e-9) for high, low in itertools.pairwise(rounded))
    return rounded if fits else even


def _nearest(strength: float) -> float:
    power = 10.0 ** math.floor(math.log10(strength))
    return power * min(_ROUND, key=lambda one: abs(math.log(strength / power / one)))


def _greatest(step: Any) -> float:
    entry = load("dosing")["ladder", "greatest step"]
    if step is None:
        return number("dosing", "ladder", "greatest step", "1")
    low, high = (end.magnitude for end in entry.range)
    plain = pure_number(step, 10, "step", "serial_dilution")
    if np.ndim(plain):
        raise Unreadable(f"serial_dilution takes one `step`, such as 10; you gave {np.size(plain)}.")
    within(
        plain, low, high,
        f"dilution_ladder: one step may be {low:g} to {high:g} times weaker; {{value:g}} is outside.",
    )  # fmt: skip
    return plain


def _bottle(name: Any) -> Reagent:
    if isinstance(name, Reagent):
        return name
    return base(name) if known(Base, name) else acid(name)


def _volume(quantity: Any) -> str:
    millilitres = quantity.m_as("mL")
    return f"{figures(millilitres)} mL" if millilitres < 1000 else f"{millilitres / 1000:.3g} L"
