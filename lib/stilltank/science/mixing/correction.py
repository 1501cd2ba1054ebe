"""Correcting a tank: from the meter's reading and the level to water, concentrate, or a fresh start."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import chemistry
from stilltank.science.roots import RefillLimit, fill_level, refill_limit
from stilltank.science.tank import Tank
from stilltank.units import OutOfRange, Problem, Q, Quantity, one_value, takes, within

from .recipes import Recipe, grams_of
from .stocks import Stocks

_POINTS = (
    129  # taken twice, the second time in one step of the first; a straight line between two is exact to 1e-8
)
LIMITS = (
    "Conductivity counts all ions: it cannot say which nutrient is short, and salts the plants leave behind count too.",
    "The amounts hold for a tank that still has the proportions of its recipe; after weeks it has not.",
)


@dataclass(frozen=True, eq=False)
class WaterPortion:
    """Water that may be added on one day.

    Parameters
    ----------
    day : int
        Days from now; 0 is today.
    water : Quantity
        What goes in, L.
    level : Quantity
        cm above the floor afterwards.
    expected : Quantity
        mS/cm at 25 degC afterwards.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> correct_tank(recipe, tub, Q(15, "cm"), Q(2.75, "mS/cm")).portions[1].day
    3
    """

    day: int
    water: Quantity
    level: Quantity
    expected: Quantity


@dataclass(frozen=True, eq=False)
class Correction:
    """What to do with a tank, and what it should read afterwards.

    Parameters
    ----------
    action : str
        "nothing", "water", "water over days", "concentrate", "replace" (take some out first) or "start
        again".
    reason : str
        A sentence saying why.
    strength : float
        Of what is in the tank, times the recipe.
    wanted : float
        Times the recipe.
    take_out : Quantity
        L to take out first.
    water : Quantity
        L of the recipe's water to add, in all.
    concentrate : mapping of str to Quantity
        mL of each stock solution, by its name, where stock solutions were given; never together undiluted.
    masses : mapping of str to Quantity
        g of each salt that does the same, dissolved in a jug first; for "start again" of the whole fresh
        solution.
    volume : Quantity
        L in the tank afterwards.
    level : Quantity
        cm above the floor afterwards.
    expected : Quantity
        mS/cm at 25 degC afterwards.
    limit : RefillLimit
        How far the level may be raised today.
    portions : tuple of WaterPortion, optional
        The water day by day, where it may not all go in today.
    limits : tuple of str, optional
        Sentences on what the reading cannot tell.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> correct_tank(recipe, tub, Q(15, "cm"), Q(2.2, "mS/cm")).action
    'nothing'
    """

    action: str
    reason: str
    strength: float
    wanted: float
    take_out: Quantity
    water: Quantity
    concentrate: Mapping[str, Quantity]
    masses: Mapping[str, Quantity]
    volume: Quantity
    level: Quantity
    expected: Quantity
    limit: RefillLimit
    portions: tuple[WaterPortion, ...] = ()
    limits: tuple[str, ...] = field(default=LIMITS)

    def __str__(self) -> str:
        steps = []
        if self.take_out.magnitude > 0:
            steps.append(f"Take out {self.take_out.m_as('L'):.1f} L.")
        if self.portions:
            each = [
                f"{'today' if p.day == 0 else f'day {p.day}'} {p.water.m_as('L'):.1f} L "
                f"(to {p.level.m_as('cm'):.1f} cm, about {p.expected.m_as('mS/cm'):.2f} mS/cm)"
                for p in self.portions
            ]
            steps.append(
                f"Add water: {'; '.join(each)}. Measure before each portion: the plants drink meanwhile."
            )
        elif self.water.magnitude > 0:
            steps.append(f"Add {self.water.m_as('L'):.1f} L of water.")
        if self.concentrate:
            each = [f"{value.m_as('mL'):.0f} mL of {name}" for name, value in self.concentrate.items()]
            steps.append(f"Add {', stir, then '.join(each)}.")
        elif self.masses:
            least = tables.number("mixing", "weigh out", "smallest mass", "g")
            each = [
                f"{grams_of(mass)} {name}" for name, mass in self.masses.items() if mass.m_as("g") >= least
            ]
            small = [
                f"{grams_of(mass)} {name}" for name, mass in self.masses.items() if mass.m_as("g") < least
            ]
            if each:
                steps.append(f"Add {', '.join(each)}: each dissolved in its own jug of water first.")
            if small:
                steps.append(
                    f"Too little for a kitchen scale, so measure from a concentrate: {', '.join(small)}."
                )
        after = (
            f"Then {self.volume.m_as('L'):.1f} L, {self.level.m_as('cm'):.1f} cm deep, at about "
            f"{self.expected.m_as('mS/cm'):.2f} mS/cm."
        )
        # in a full tank what goes in takes the place of what came out: "add nothing" would contradict it
        raised = [self.limit.reason] if self.water.magnitude > 0 and self.limit.rise.magnitude > 0 else []
        return "\n".join([self.reason, *steps, after, *raised, *self.limits])


@takes(recipe=Recipe, concentrates=Stocks)
def correct_tank(
    recipe: Recipe,
    tank: Tank,
    level: Quantity,
    measured: Quantity,
    wanted: Quantity | None = None,
    concentrates: Stocks | None = None,
    hung_clear: bool | None = None,
    immersion: Quantity | None = None,
) -> Correction:
    """Find what brings a tank back to its recipe, from its level and the conductivity.

    The reading is turned into a strength by the recipe's own curve: its salts scaled, in its water. Nothing raises
    the level above the fill line, or further than ``roots.refill_limit`` allows at once: what does not fit today is
    spread over days, or some of the solution is taken out first.

    Parameters
    ----------
    recipe : Recipe
        What the tank was filled with, in its water.
    tank : Tank
        With a ``net_pot_depth``.
    level : Quantity
        Length, of the solution now above the floor.
    measured : Quantity
        mS/cm at 25 degC, as a compensating meter shows; else ``specific_conductance(reading, temperature)`` first.
    wanted : Quantity, optional
        mS/cm at 25 degC; that of the recipe when left out.
    concentrates : Stocks, optional
        Made of this recipe; without them the answer is in grams of salts.
    hung_clear : bool, optional
        True if the pots have hung clear of the solution before, as for ``roots.refill_limit``.
    immersion : Quantity, optional
        Length of pot that stood in the solution at planting, as for ``roots.refill_limit``.

    Returns
    -------
    Correction
        What to do, and what the tank should read afterwards.

    Raises
    ------
    Unreadable
        There is no recipe, or the concentrates are none.
    UnitNeeded
        A value has no unit.
    OutOfRange
        The reading is below that of the water alone or far above the recipe, or the level is outside the tank.
    Problem
        The concentrates are too weak for what is wanted, there are several values, or the tank is empty or has no net
        pots.

    See Also
    --------
    strength_from_conductivity : The strength alone.
    stilltank.science.roots.refill_limit : How far the level can be raised at once.

    Notes
    -----
    See ``Correction.limits``. Within ``difference worth acting`` of data/mixing.csv nothing is done. Portions
    are as many days apart as a rise counts for the roots (budget/top-up/root memory), an assumption.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> from stilltank.science.tank import Box
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> found = correct_tank(recipe, tub, Q(15, "cm"), Q(2.75, "mS/cm"))
    >>> found.action, round(found.strength, 2), round(found.water.m_as("L"), 1)
    ('water over days', 1.28, 9.9)
    >>> [(each.day, round(each.water.m_as("L"), 1), round(each.level.m_as("cm"), 1)) for each in found.portions]
    [(0, 4.8, 17.0), (3, 4.8, 19.0), (6, 0.3, 19.1)]
    """
    at = Q(one_value(level, "cm", "level", "correct_tank"), "cm")
    place = _Place(tank, at, fill_level(tank, immersion), refill_limit(tank, at, immersion, hung_clear), immersion,
                   hung_clear)  # fmt: skip
    if place.left <= 0:
        raise Problem("correct_tank: the tank is empty. Mix a fresh solution with weigh_out.")
    shown = one_value(measured, "mS/cm", "measured", "correct_tank")
    now = strength_from_conductivity(recipe, Q(shown, "mS/cm"))
    aim = 1.0 if wanted is None else strength_from_conductivity(recipe, wanted)
    within(aim, 1e-6, np.inf, "correct_tank: the conductivity wanted is that of the water alone. Use water.")
    aimed = _reading(recipe, aim)
    if abs(shown / aimed - 1) <= _limit("difference worth acting"):
        reason = (
            f"The meter shows {shown:.2f} mS/cm, and {aimed:.2f} is wanted: no further apart than model and "
            "meter can tell. Leave it."
        )
        return _answer(recipe, place, "nothing", reason, now, aim, after=now)
    if now > aim:
        return _thinned(recipe, place, now, aim, shown, aimed)
    return _strengthened(recipe, place, now, aim, shown, aimed, concentrates)


@dataclass(frozen=True, eq=False)
class _Place:
    """The tank, the level in it, and how far that may be raised today."""

    tank: Tank
    level: Quantity
    line: Quantity
    """The level at planting, where the tank is full."""
    limit: RefillLimit
    immersion: Quantity | None
    hung_clear: bool | None

    @property
    def left(self) -> float:
        """L in the tank now."""
        return float(self.tank.volume(self.level).m_as("L"))

    @property
    def room(self) -> float:
        """L that may be in the tank today; less than now where it stands above its line."""
        return min(
            self.left + float(self.limit.volume.m_as("L")), float(self.tank.volume(self.line).m_as("L"))
        )

    def level_of(self, volume: float) -> Quantity:
        """The level of so many litres, cm."""
        level: Quantity = self.tank.level(Q(volume, "L")).to("cm")
        return level

    def portions(self, water: float) -> list[tuple[float, float]]:
        """L to add on each day, and L then in the tank; fewer than ``water`` where the fill line ends it."""
        found: list[tuple[float, float]] = []
        held, limit = self.left, self.limit
        clear = self.hung_clear
        if clear is None:  # once clear, always clear: the roots are used to the air
            pots: Any = self.tank.net_pot_depth  # refill_limit has refused a tank without
            clear = self.level < self.tank.height - pots
        while water > 1e-9 and (add := min(water, float(limit.volume.m_as("L")))) > 1e-9:
            held, water = held + add, water - add
            found.append((add, held))
            limit = refill_limit(self.tank, self.level_of(held), self.immersion, bool(clear))
        return found


@takes(recipe=Recipe)
def strength_from_conductivity(recipe: Recipe, measured: Quantity) -> float:
    """How many times the recipe's salts are in its water when the meter shows a conductivity.

    Parameters
    ----------
    recipe : Recipe
        What the tank was filled with, in its water.
    measured : Quantity
        mS/cm at 25 degC, one value.

    Returns
    -------
    float
        Times the recipe; 0 for the water alone.

    Raises
    ------
    Unreadable
        There is no recipe.
    UnitNeeded
        The reading has no unit.
    OutOfRange
        The reading is below that of the water, or above 4 times the recipe.
    Problem
        There are several readings.

    See Also
    --------
    correct_tank : What to do about it.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> round(strength_from_conductivity(recipe, recipe.solution.conductivity()), 6)
    1.0
    """
    shown = one_value(measured, "mS/cm", "measured", "strength_from_conductivity")
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
    return chemistry.conductivity({k: Q(v, "mmol/L") for k, v in found.items()}, Q(25, "degC")).m_as("mS/cm")


def _limit(item: str) -> float:
    return tables.number("mixing", "correct", item, "dimensionless")


def _thinned(recipe: Recipe, place: _Place, now: float, aim: float, shown: float, aimed: float) -> Correction:
    """Water, over days where the roots need them; where there is no room, in place of some of the solution."""
    water = place.left * (now / aim - 1)
    why = f"The meter shows {shown:.2f} mS/cm, and {aimed:.2f} is wanted: too strong, {now:.2f} times the recipe"
    if place.left + water <= place.room * (1 + 1e-12):
        return _answer(recipe, place, "water", f"{why}. Water alone mends it.", now, aim, water=water)
    parts = place.portions(water)
    if sum(add for add, _ in parts) >= water - 1e-6 and len(parts) <= _limit("most portions"):
        days = int(tables.number("budget", "top-up", "root memory", "day"))
        portions = tuple(
            WaterPortion(
                days * index, Q(add, "L"), place.level_of(held),
                Q(_reading(recipe, now * place.left / held), "mS/cm"),
            )
            for index, (add, held) in enumerate(parts)
        )  # fmt: skip
        reason = (
            f"{why}. Water mends it, but not all at once: the roots in the air zone would come under water."
        )
        return _answer(recipe, place, "water over days", reason, now, aim, water=water, portions=portions)
    out = (
        place.left - aim / now * place.room
    )  # what stays must hold all the salt of the tank as it may be filled
    share = out / place.left
    if share > _limit("share to start again"):
        reason = (
            f"{why}, and {100 * share:.0f} % would have to go to make room for water. Empty the tank and start again "
            f"with {place.room:.1f} L of fresh solution."
        )
        return _fresh(recipe, place, reason, now, aim)
    spare = place.room - place.left
    room = f"there is room for {spare:.1f} L only today" if spare > 0.05 else "the tank is full"
    reason = f"{why}, and {room}. Take some out first, then add water."
    return _answer(recipe, place, "replace", reason, now, aim, out=out, water=spare + out)


def _strengthened(
    recipe: Recipe,
    place: _Place,
    now: float,
    aim: float,
    shown: float,
    aimed: float,
    concentrates: Stocks | None,
) -> Correction:
    """Concentrates, or the salts themselves, which take no room."""
    left, room = place.left, place.room
    why = (
        f"The meter shows {shown:.2f} mS/cm, and {aimed:.2f} is wanted: too weak, {now:.2f} times the recipe."
    )
    if concentrates is None:
        return _answer(recipe, place, "concentrate", why, now, aim, salts=(aim - now) * left)
    times, bottles = concentrates.strength, [stock.name for stock in concentrates if stock.masses]
    if times <= len(bottles) * aim:
        raise Problem(
            f"correct_tank: concentrates {times:g} times as strong cannot make {aim:g} times. "
            "Use stronger ones, or salts."
        )
    each, out = left * (aim - now) / (times - len(bottles) * aim), 0.0
    if left + len(bottles) * each > room:  # then the tank ends up full, and as much goes out as has no room
        each = room * (aim - now) / (times - len(bottles) * now)
        out = left + len(bottles) * each - room
    action = "replace" if out > 0 else "concentrate"
    return _answer(recipe, place, action, why, now, aim, out=out, bottles=dict.fromkeys(bottles, each))


def _fresh(recipe: Recipe, place: _Place, reason: str, now: float, aim: float) -> Correction:
    nothing: Mapping[str, Quantity] = MappingProxyType({})
    return Correction(
        "start again", reason, now, aim, Q(place.left, "L"), Q(place.room, "L"), nothing,
        _masses(recipe, aim * place.room), Q(place.room, "L"), place.level_of(place.room),
        Q(_reading(recipe, aim), "mS/cm"), place.limit,
    )  # fmt: skip


def _masses(recipe: Recipe, full_litres: float) -> Mapping[str, Quantity]:
    """The recipe's salts for so many litres at its own strength."""
    share = full_litres / recipe.volume.m_as("L")
    return MappingProxyType({n: m * share for n, m in recipe.masses.items() if m.m_as("g") > 0})


def _answer(
    recipe: Recipe,
    place: _Place,
    action: str,
    reason: str,
    now: float,
    aim: float,
    *,
    out: float = 0.0,
    water: float = 0.0,
    bottles: Mapping[str, float] | None = None,
    salts: float = 0.0,
    after: float | None = None,
    portions: tuple[WaterPortion, ...] = (),
) -> Correction:
    bottles = bottles or {}
    volume = place.left - out + water + sum(bottles.values())
    return Correction(
        action,
        reason,
        now,
        aim,
        Q(out, "L"),
        Q(water, "L"),
        MappingProxyType({name: Q(1000 * each, "mL") for name, each in bottles.items()}),
        _masses(recipe, salts) if salts else MappingProxyType({}),
        Q(volume, "L"),
        place.level_of(volume),
        Q(_reading(recipe, aim if after is None else after), "mS/cm"),
        place.limit,
        portions,
    )
