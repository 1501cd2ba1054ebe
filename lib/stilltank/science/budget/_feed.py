"""A solution carried along with the water: plain numbers for `nutrients` and for comparing routines."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science import chemistry
from stilltank.science.chemistry import Solution, Water, ions, molar_mass
from stilltank.science.mixing import Recipe, recipe_solution
from stilltank.tables import load, number
from stilltank.units import Problem, Q, Quantity, UnitNeeded, within

from ._balance import reached
from ._checks import between, one_number, one_size, shown

_STAYING = ("HCO3-", "CO3-2")  # counted in the conductivity; no nutrient


@dataclass(frozen=True, eq=False)
class Feed:
    """A solution as the balance needs it: plain mmol/L of each ion that is followed, and what plants take."""

    names: tuple[str, ...]
    elements: tuple[str, ...]
    water: Any  # [ions]
    poured: Any  # [ions], of the water that is topped up with
    salts: Any  # [ions], at full strength
    belongs: Any  # [ions, elements], 1 where the ion carries the element
    uptake: Any  # [elements], mmol for each litre used

    def mixed(self, strength: Any) -> Any:
        """mmol/L of each ion where the salts are at a share of their strength."""
        return self.water + np.asarray(strength)[..., None] * self.salts

    def added(self, strength: float) -> Any:
        """mmol/L of each ion in what is topped up with."""
        return self.poured + strength * self.salts


@dataclass(frozen=True, eq=False)
class Followed:
    """Plain mmol, with seasons as first axis; ``history`` in mmol/L, [days, seasons, ions], or None."""

    filled: Any
    added: Any
    taken: Any
    washed: Any
    left: Any
    short: (
        Any  # [seasons, elements], first day index on which plants wanted more than there was; -1 for never
    )
    history: Any
    daily: Any  # [days, seasons, elements] taken up, or None


def prepare_feed(
    solution: Any, uptake: Any, factor: Any, cover: str, top_up_water: Water | None = None
) -> Feed:
    """Check what was given and strip the units; what is topped up with is the water of the filling if not given."""
    if isinstance(solution, str):
        solution = recipe_solution(solution)
    if isinstance(solution, Recipe):
        solution = solution.solution
    if not isinstance(solution, Solution):
        raise UnitNeeded(
            "The nutrients need the solution in the tank: one from mix(...), a Recipe from weigh_out(...), or the "
            f'name of a recipe by salts, such as "Hoagland 1". You gave {shown(solution)}.'
        )
    usual = {element: entry.quantity for element, entry in load("uptake").of("with the water").items()}
    given = usual if uptake is None else uptake
    if not isinstance(given, Mapping):
        raise UnitNeeded(
            'The uptake is written as {"N": Q(10, "mmol/L")}, an element and what a litre of used water takes with '
            f"it. You gave {shown(given)}."
        )
    for element in given:
        if element not in usual:
            raise Problem(f"{shown(element)} is not followed; these are: {', '.join(usual)}.")
    share = _factor(factor, cover) if uptake is None or factor is not None else 1.0
    poured = _water_to_pour(top_up_water, solution)
    names = tuple(
        key
        for key, mmol in {**poured, **solution.amounts}.items()
        if (ions()[key].element in usual or key in _STAYING) and np.ndim(mmol) == 0
    )
    elements = tuple(e for e in usual if any(ions()[key].element == e for key in names))
    if not elements:
        raise Problem("Nothing that plants take is dissolved in this solution.")
    salts = {key: value.m_as("mmol/L") for key, value in solution.added.items()}
    each = np.array([salts.get(key, 0.0) for key in names])
    return Feed(
        names=names,
        elements=elements,
        water=np.array([float(solution.amounts.get(key, 0.0)) for key in names]) - each,
        poured=np.array([float(poured.get(key, 0.0)) for key in names]),
        salts=each,
        belongs=np.array([[float(ions()[key].element == e) for e in elements] for key in names]),
        uptake=np.array([share * _mmol(given[e], e) if e in given else 0.0 for e in elements]),
    )


def _water_to_pour(given: object, solution: Solution) -> Mapping[str, Any]:
    if given is None:
        return solution.water.amounts
    if not isinstance(given, Water):
        raise Problem(f"The top-up water is a Water, such as read_water(...) gives; you gave {shown(given)}.")
    return given.amounts


def _factor(given: Any, cover: str) -> float:
    if given is None:
        return number("uptake", cover, "factor", "1")
    plain = one_number(given, "uptake_factor")
    within(plain, 0, 10, "An uptake factor of {value:g} is not possible; write 0 to 10.")
    return plain


def _mmol(value: Any, element: str) -> float:
    by_mass = isinstance(value, Quantity) and value.check("[mass]/[length]**3")
    weighed = value / molar_mass(element) if by_mass else value
    plain = one_size(weighed, "mmol/L", f"uptake of {element}")
    low, high = 0.0, 1000.0
    sentence = f"An uptake of {{value}} of {element} is not possible. Write {{low}} to {{high}}."
    if by_mass:
        grams = molar_mass(element).m_as("g/mol")
        between(value, plain * grams, "mg/L", low, high * grams, sentence)
    else:
        between(value, plain, "mmol/L", low, high, sentence)
    return plain


def first_strength(feed: Feed, reading: Any) -> float:
    """How many times the recipe's salts are in the water when the meter reads so; 1 where nothing was read."""
    if reading is None:
        return 1.0
    shown_by_meter = float(reading.m_as("mS/cm"))
    steps = np.linspace(0.0, number("mixing", "correct", "strongest", "1"), 241)
    readings = conductivity_of(feed, feed.mixed(steps))
    steps, readings = steps[np.isfinite(readings)], readings[np.isfinite(readings)]
    between(
        reading,
        shown_by_meter,
        "mS/cm",
        float(readings[0]),
        float(readings[-1]),
        "A first conductivity of {value}: with this solution a meter reads {low} (the water alone) to {high}. Check "
        "the meter in its standard solution, and which solution the tank was filled with.",
    )
    place = int(np.clip(np.searchsorted(readings, shown_by_meter), 1, len(steps) - 1))
    fine = np.linspace(steps[place - 1], steps[place], 241)
    return float(np.interp(shown_by_meter, conductivity_of(feed, feed.mixed(fine)), fine))


def follow(
    feed: Feed,
    filled: float,
    rain: Any,
    added: Any,
    after: Any,
    spilled: Any,
    used: Any,
    strength: float,
    first_strength: float = 1.0,
    keep: bool = False,
) -> Followed:
    """Carry the ions through seasons; litres are [seasons, days], ``after`` is what comes after the plants drank.

    The order within a day is that of the water: rain and top-ups, overflow of the mixture, uptake.
    """
    seasons, days = np.shape(used)
    now = np.full(seasons, filled)
    have = np.tile(filled * feed.mixed(first_strength), (seasons, 1))
    first, brought = have.copy(), feed.added(strength)
    gained, lost = np.zeros_like(have), np.zeros_like(have)
    taken = np.zeros((seasons, len(feed.elements)))
    short = np.full(taken.shape, -1)
    history = np.empty((days, *have.shape)) if keep else None
    daily = np.empty((days, *taken.shape)) if keep else None
    for day in range(days):
        new = added[:, day, None] * brought
        have, gained = have + new, gained + new
        full = now + rain[:, day] + added[:, day]
        gone = have * (spilled[:, day] / full)[:, None]
        have, lost = have - gone, lost + gone
        there = have @ feed.belongs
        want = used[:, day, None] * feed.uptake
        eaten = np.minimum(want, there)
        short = np.where((short < 0) & (want > there), day, short)
        share = np.divide(eaten, there, out=np.zeros_like(there), where=there > 0)
        have = have * (1 - share @ feed.belongs.T)
        taken = taken + eaten
        new = after[:, day, None] * brought
        have, gained = have + new, gained + new
        now = full - spilled[:, day] - used[:, day] + after[:, day]
        if history is not None and daily is not None:
            history[day], daily[day] = have / now[:, None], eaten
    return Followed(first, gained, taken, lost, have, short, history, daily)


def conductivity_of(feed: Feed, mmol_per_litre: Any) -> Any:
    """Plain mS/cm at 25 °C of ions along the last axis; nan where the solution is too strong for the model."""
    strength = mmol_per_litre @ np.array([ions()[key].charge ** 2 / 2 for key in feed.names])
    # a margin, since the model counts per kg of water
    most = 1000 * 0.99 * number("plausible", "conductivity", "highest ionic strength", "mol/kg")
    weak = strength <= most
    tame = np.where(weak[..., None], mmol_per_litre, 0.0)
    found = chemistry.conductivity(
        {key: Q(tame[..., place], "mmol/L") for place, key in enumerate(feed.names)}, Q(25, "degC")
    ).m_as("mS/cm")
    return np.where(weak, found, np.nan)


def at_filling(found: Followed, volume: Any, filled: float, litres: float) -> Any:
    """mmol/L of each ion when so many litres are first left, [seasons, ions]; nan where a season keeps more.

    Between the evenings before and after, ions and water are taken to change evenly.
    """
    below = reached(volume, litres)
    day = below.argmax(axis=1)
    rows = np.arange(len(volume))
    held = found.history * volume.T[..., None]  # mmol, [days, seasons, ions]
    first = day[:, None] == 0
    after, left = held[day, rows], volume[rows, day]
    before = np.where(first, found.filled, held[np.maximum(day - 1, 0), rows])
    had = np.where(first[:, 0], filled, volume[rows, np.maximum(day - 1, 0)])
    fall = had - left
    part = np.divide(had - litres, fall, out=np.ones_like(fall), where=fall > 0)
    there = (before + part[:, None] * (after - before)) / litres
    return np.where(below.any(axis=1)[:, None], there, np.nan)


def stated_fillings() -> tuple[float, float]:
    """Shares of the filling at which a conductivity is told: half, and that at which a crop is ended."""
    return number("budget", "conductivity", "share left", "1"), number("budget", "stop", "share left", "1")


def readings(feed: Feed, mmol_per_litre: Any) -> Any:
    """Plain mS/cm of seasons, [seasons]; nan where a season has none, inf where it is too strong for the model."""
    there = np.isfinite(mmol_per_litre).all(axis=-1)
    # what is too strong for the model is the strongest, and a quantile must not slip between it and a number
    found = conductivity_of(feed, np.where(there[:, None], mmol_per_litre, 0.0))
    return np.where(there, np.where(np.isnan(found), np.inf, found), np.nan)


def told(feed: Feed, found: Followed, volume: Any, filled: float, end: Any) -> tuple[Any, Any, Any]:
    """Plain mS/cm of seasons, [seasons]: half left; at the stop, or at the ``end`` where more is left; at the dry end.

    The dry end is nan where a season does not go on below the stop.
    """
    half, stop = (
        readings(feed, at_filling(found, volume, filled, share * filled)) for share in stated_fillings()
    )
    last, stopped = readings(feed, end), ~np.isnan(stop)
    return half, np.where(stopped, stop, last), np.where(stopped, last, np.nan)


def spread(values: Any) -> Any:
    """The reading that 10, 50 and 90 of 100 of the seasons that have one stay under; nan where half have none."""
    some = values[~np.isnan(values)]
    if some.size * 2 < values.size or not some.size:
        return np.full(3, np.nan)
    return np.quantile(some, [0.1, 0.5, 0.9], method="nearest")
