"""A ladder of dilutions: from a bottle that only the teacher touches to one that a class may use."""

import itertools
import math
from dataclasses import dataclass

from stilltank.science.products import (
    Reagent,
    caution_for,
    dilution_hazard,
    figures,
    learners_limit,
)
from stilltank.tables import load, number
from stilltank.units import OutOfRange, PlainNumber, Q, only, takes, within
from stilltank.units.types import Quantity

from ._state import bottle_of

_ROUND = (1, 2, 5, 10)  # strengths that one writes on a bottle


@dataclass(frozen=True, eq=False)
class DilutionStep:
    """One dilution: what goes into the jug, in this order.

    Parameters
    ----------
    water : Quantity
        In L, the water put into the jug first.
    take : Quantity
        In mL, the more concentrated liquid, poured slowly into it.
    made : Quantity
        In L, what it is made up to, once cool.
    before : Quantity
        In mol/L, the concentration of that liquid.
    strength : Quantity
        In mol/L, the concentration reached.
    caution : str
        For whoever handles the more concentrated liquid.
    adult_only : bool
        True if that liquid is for the teacher or another trained adult only.

    See Also
    --------
    serial_dilution : Makes them.

    Examples
    --------
    >>> step = serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(1, "L")).steps[-1]
    >>> print(str(step)[:51])
    Put 800 mL of cold water in the jug first, pour 200
    """

    water: Quantity
    take: Quantity
    made: Quantity
    before: Quantity
    strength: Quantity
    caution: str
    adult_only: bool

    def __str__(self) -> str:
        return (
            f"Put {_volume(self.water)} of cold water in the jug first, pour {_volume(self.take)} of the "
            f"{figures(self.before.m_as('mol/L'))} mol/L slowly into it, stirring, let it cool, and make up to "
            f"{_volume(self.made)}: {figures(self.strength.m_as('mol/L'))} mol/L."
            f"{' Teacher or trained adult only.' if self.adult_only else ''}"
        )


@dataclass(frozen=True, eq=False)
class SerialDilution:
    """The steps of a dilution, from the bottle down.

    Parameters
    ----------
    steps : tuple of DilutionStep
        One after the other.
    acid : Acid or Base
        The bottle at the top.
    strength : Quantity
        In mol/L, the concentration at the end.
    volume : Quantity
        In L, how much there is at the end.
    for_learners : bool
        True if learners may handle what there is at the end.

    See Also
    --------
    serial_dilution : Makes one.

    Examples
    --------
    >>> serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(1, "L")).for_learners
    True
    """

    steps: tuple[DilutionStep, ...]
    acid: Reagent
    strength: Quantity
    volume: Quantity
    for_learners: bool

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


@takes(to="mol/L", volume="L", step=PlainNumber(10))
def serial_dilution(
    acid: Reagent | str, to: Quantity, volume: Quantity, step: float | None = None
) -> SerialDilution:
    """Find the dilutions that lead from a concentrated bottle to a dilute one, water first each time.

    As few steps as the greatest step allows; concentrations on the way are round where they can be. All of what one
    step makes goes into the next, so nothing concentrated is left over.

    Parameters
    ----------
    acid : Acid, Base or str
        A liquid, or its name.
    to : Quantity
        Amount in each litre, such as mol/L, one value: the concentration wanted.
    volume : Quantity
        Volume wanted of it, one value.
    step : float, optional
        How many times more dilute one step may be; default and range in data/dosing.csv.

    Returns
    -------
    SerialDilution
        The steps, from the bottle down.

    Raises
    ------
    Unreadable
        An unknown acid or base, or a step that is not a number.
    UnitNeeded
        A concentration or a volume that has no unit.
    OutOfRange
        A concentration not below that of the bottle, a solid, no volume, or a step outside its range.
    Problem
        Several concentrations, volumes or steps.

    Notes
    -----
    Volumes are taken to add up; sulfuric and nitric acid shrink a little, hence the making up. It grows warm: sulfuric
    acid and potassium hydroxide can boil the water they meet.

    Examples
    --------
    >>> found = serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(1, "L"))
    >>> [f'{step.take.m_as("mL"):.1f} mL to {step.strength.m_as("mol/L"):g} mol/L' for step in found.steps]
    ['7.5 mL to 2 mol/L', '50.0 mL to 0.5 mol/L', '200.0 mL to 0.1 mol/L']
    >>> [step.adult_only for step in found.steps], found.for_learners
    ([True, True, False], True)
    """
    bottle = bottle_of(acid)
    if bottle.concentration is None:
        raise OutOfRange(
            f"{bottle.name} is a solid; weigh it and dissolve it in water. A ladder starts from a liquid."
        )
    top = bottle.concentration.m_as("mol/L")
    foot, whole = only(to, "to", "serial_dilution"), only(volume, "volume", "serial_dilution")
    within(whole, 1e-6, 1e7, "serial_dilution: a volume must be more than zero; {value} does not fit.", "L")
    within(foot, 1e-6, math.inf, "serial_dilution: a strength is more than zero; {value:g} mol/L is not.")
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


def _greatest(step: float | None) -> float:
    entry = load("dosing")["ladder", "greatest step"]
    if step is None:
        return number("dosing", "ladder", "greatest step", "1")
    low, high = (end.magnitude for end in entry.range)
    plain = only(step, "step", "serial_dilution")
    within(
        plain,
        low,
        high,
        f"serial_dilution: one step may be {low:g} to {high:g} times more dilute; {{value:g}} is outside.",
    )
    return plain


def _volume(quantity: Quantity) -> str:
    millilitres = quantity.m_as("mL")
    return f"{figures(millilitres)} mL" if millilitres < 1000 else f"{millilitres / 1000:.3g} L"
