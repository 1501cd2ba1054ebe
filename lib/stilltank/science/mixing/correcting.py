"""Correcting a tank: from what the meter shows and what is left to water, concentrate, or a fresh start."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

import numpy as np

from ... import tables
from ...units import OutOfRange, Problem, Q, UnitNeeded, single, within
from .. import conductivity
from ..solution import litres
from .recipes import Recipe, _grams
from .stocks import Stocks

_POINTS = (
    129  # taken twice, the second time in one step of the first; a straight line between two is exact to 1e-8
)
LIMITS = (
    "Conductivity counts all ions: it cannot say which nutrient is short, and salts the plants leave behind count too.",
    "The amounts hold for a tank that still has the proportions of its recipe; after weeks it has not.",
)


@dataclass(frozen=True, eq=False)
class Correction:
    """What to do with a tank, and what it should read afterwards."""

    action: str
    """"nothing", "water", "concentrate", "replace" (take some out first) or "start again"."""
    reason: str
    strength: float
    """Of what is in the tank, times the recipe."""
    wanted: float
    """Times the recipe."""
    take_out: Any
    """L to take out first."""
    water: Any
    """L of the recipe's water to add."""
    concentrate: Mapping[str, Any]
    """mL of each concentrate, where concentrates were given; A and B never together undiluted."""
    masses: Mapping[str, Any]
    """g of each salt that does the same, dissolved in a jug first; for "start again" of the whole fresh solution."""
    volume: Any
    """L in the tank afterwards."""
    expected: Any
    """mS/cm at 25 °C afterwards."""
    limits: tuple[str, ...] = field(default=LIMITS)

    def __str__(self) -> str:
        steps = []
        if self.take_out.magnitude > 0:
            steps.append(f"Take out {self.take_out.m_as('L'):.1f} L.")
        if self.water.magnitude > 0:
            steps.append(f"Add {self.water.m_as('L'):.1f} L of water.")
        if self.concentrate:
            each = [f"{value.m_as('mL'):.0f} mL of {name}" for name, value in self.concentrate.items()]
            steps.append(f"Add {', stir, then '.join(each)}.")
        elif self.masses:
            each = [f"{_grams(mass)} {name}" for name, mass in self.masses.items()]
            steps.append(f"Add {', '.join(each)}: each dissolved in its own jug of water first.")
        after = f"Then {self.volume.m_as('L'):.1f} L at about {self.expected.m_as('mS/cm'):.2f} mS/cm."
        return "\n".join([self.reason, *steps, after, *self.limits])


def correct(
    recipe: Recipe,
    volume: Any,
    measured: Any,
    wanted: Any = None,
    concentrates: Stocks | None = None,
    most: Any = None,
) -> Correction:
    """Find what brings a tank back to its recipe, from the conductivity and the volume that is left.

    The reading is turned into a strength by the recipe's own curve: its salts scaled, in its water.

    Parameters
    ----------
    recipe : Recipe
        What the tank was filled with, in its water.
    volume : quantity
        Left in the tank.
    measured : quantity, mS/cm at 25 °C
        As a compensating meter shows; else ``compensated(reading, temperature)`` first.
    wanted : quantity, mS/cm at 25 °C, default that of the recipe
    concentrates : Stocks, optional
        Made of this recipe; without them the answer is in grams of salts.
    most : quantity, optional
        The highest volume the tank may hold: a raised level drowns the roots that live in moist air; see
        ``roots.refill_limit``.

    Returns
    -------
    Correction

    Raises
    ------
    UnitNeeded   no recipe, or a value without a unit
    OutOfRange   a reading below that of the water alone or far above the recipe, or no volume; a limit below the volume
    Problem      concentrates too weak for what is wanted, several values

    Example
    -------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> found = correct(recipe, Q(30, "L"), Q(2.75, "mS/cm"))
    >>> found.action, round(found.strength, 2), round(found.water.m_as("L"), 1)
    ('water', 1.28, 8.3)

    Limits: see ``Correction.limits``. Within ``difference worth acting`` of data/mixing.csv nothing is done.
    """
    if not isinstance(recipe, Recipe):
        raise UnitNeeded(f"correct needs a Recipe from weigh_out; you gave {recipe!r}.")
    if concentrates is not None and not isinstance(concentrates, Stocks):
        raise UnitNeeded(
            f"correct needs Stocks from stocks(...) for `concentrates`; you gave {concentrates!r}."
        )
    left = litres(volume, "correct", single)
    room = np.inf if most is None else litres(most, "correct", single)
    if room < left:
        raise OutOfRange(f"correct: the tank holds {left:g} L already, more than the {room:g} L it may.")
    shown = single(measured, "mS/cm", "measured", "correct")
    now = strength_at(recipe, Q(shown, "mS/cm"))
    aim = 1.0 if wanted is None else strength_at(recipe, wanted)
    within(aim, 1e-6, np.inf, "correct: the conductivity wanted is that of the water alone. Use water.")
    aimed = _reading(recipe, aim)
    if abs(shown / aimed - 1) <= _limit("difference worth acting"):
        reason = (
            f"The meter shows {shown:.2f} mS/cm, and {aimed:.2f} is wanted: no further apart than model and "
            "meter can tell. Leave it."
        )
        return _answer(recipe, "nothing", reason, now, aim, left, after=now)
    if now > aim:
        return _thinned(recipe, now, aim, left, room, shown, aimed)
    return _strengthened(recipe, now, aim, left, room, shown, aimed, concentrates)


def strength_at(recipe: Recipe, measured: Any) -> float:
    """How many times the recipe's salts are in its water when the meter shows a conductivity.

    Parameters
    ----------
    recipe : Recipe
    measured : quantity, mS/cm at 25 °C

    Returns
    -------
    float, 0 for the water alone

    Raises
    ------
    UnitNeeded   a reading without a unit
    OutOfRange   below the reading of the water, or above 4 times the recipe

    Example
    -------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> round(strength_at(recipe, recipe.solution.conductivity()), 6)
    1.0
    """
    shown = single(measured, "mS/cm", "measured", "strength_at")
    strongest = tables.number("mixing", "correct", "strongest", "1")
    row = np.linspace(0.0, strongest, _POINTS)
    readings = _reading(recipe, row)
    least, top = readings[0], readings[-1]
    if shown < least * (1 - _limit("difference worth acting")):
        raise OutOfRange(
            f"A reading of {shown:.2f} mS/cm is below the {least:.2f} of {recipe.water.name or 'the water'} alone. "
            "Check the meter in its standard solution, and which water the tank was filled with."
        )
    within(
        shown, 0, top,
        f"A reading of {{value:.3g}} mS/cm is more than {strongest:g} times this recipe gives ({top:.2f}). Check the "
        "unit the meter shows; if it is right, start again with a fresh solution.",
    )  # fmt: skip
    above = int(np.clip(np.searchsorted(readings, shown), 1, _POINTS - 1))  # the curve rises throughout
    row = np.linspace(row[above - 1], row[above], _POINTS)
    return float(np.interp(shown, _reading(recipe, row), row))


def _reading(recipe: Recipe, strength: Any) -> Any:
    """mS/cm at 25 °C of the recipe's salts, so many times, in its water; in the shape of ``strength``."""
    found = {key: value + 0 * strength for key, value in recipe.water.amounts.items()}
    for key, value in recipe.solution.added.items():
        found[key] = found.get(key, 0.0) + strength * float(value.m_as("mmol/L"))
    return conductivity.of({k: Q(v, "mmol/L") for k, v in found.items()}, Q(25, "degC")).m_as("mS/cm")


def _limit(item: str) -> float:
    return tables.number("mixing", "correct", item, "dimensionless")


def _thinned(recipe, now, aim, left, room, shown, aimed) -> Correction:
    """Water; if there is no room for it, in place of some of the solution."""
    water = left * (now / aim - 1)
    why = f"The meter shows {shown:.2f} mS/cm, and {aimed:.2f} is wanted: too strong, {now:.2f} times the recipe"
    if left + water <= room:
        return _answer(recipe, "water", f"{why}. Water alone mends it.", now, aim, left, water=water)
    out = left - aim / now * room  # what stays must hold all the salt of a full tank
    share = out / left
    if share > _limit("share to start again"):
        reason = f"{why}, and {100 * share:.0f} % would have to go to make room for water. Start again."
        return _fresh(recipe, reason, now, aim, left, room)
    reason = f"{why}, and there is room for {room - left:.1f} L only. Take some out first."
    return _answer(recipe, "replace", reason, now, aim, left, out=out, water=room - left + out)


def _strengthened(recipe, now, aim, left, room, shown, aimed, concentrates) -> Correction:
    """Concentrates, or the salts themselves, which take no room."""
    why = (
        f"The meter shows {shown:.2f} mS/cm, and {aimed:.2f} is wanted: too weak, {now:.2f} times the recipe."
    )
    if concentrates is None:
        return _answer(recipe, "concentrate", why, now, aim, left, salts=(aim - now) * left)
    times, bottles = concentrates.strength, [stock.name for stock in concentrates if stock.masses]
    if times <= len(bottles) * aim:
        raise Problem(
            f"correct: concentrates {times:g} times as strong cannot make {aim:g} times. Use stronger ones, or salts."
        )
    each, out = left * (aim - now) / (times - len(bottles) * aim), 0.0
    if left + len(bottles) * each > room:  # then the tank ends up full, and as much goes out as has no room
        each = room * (aim - now) / (times - len(bottles) * now)
        out = left + len(bottles) * each - room
    action = "replace" if out > 0 else "concentrate"
    return _answer(recipe, action, why, now, aim, left, out=out, bottles=dict.fromkeys(bottles, each))


def _fresh(recipe, reason, now, aim, left, room) -> Correction:
    whole = left if np.isinf(room) else room
    masses = _masses(recipe, aim * whole)
    nothing: Mapping[str, Any] = MappingProxyType({})
    return Correction(
        "start again", reason, now, aim, Q(left, "L"), Q(whole, "L"), nothing, masses, Q(whole, "L"),
        Q(_reading(recipe, aim), "mS/cm"),
    )  # fmt: skip


def _masses(recipe: Recipe, full_litres: float) -> Mapping[str, Any]:
    """The recipe's salts for so many litres at its own strength."""
    share = full_litres / recipe.volume.m_as("L")
    return MappingProxyType({n: m * share for n, m in recipe.masses.items() if m.m_as("g") > 0})


def _answer(
    recipe, action, reason, now, aim, left, *, out=0.0, water=0.0, bottles=None, salts=0.0, after=None
) -> Correction:
    bottles = bottles or {}
    return Correction(
        action,
        reason,
        now,
        aim,
        Q(out, "L"),
        Q(water, "L"),
        MappingProxyType({name: Q(1000 * each, "mL") for name, each in bottles.items()}),
        _masses(recipe, salts) if salts else MappingProxyType({}),
        Q(left - out + water + sum(bottles.values()), "L"),
        Q(_reading(recipe, aim if after is None else after), "mS/cm"),
    )
