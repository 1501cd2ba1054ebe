"""How the pH of a still tank moves from the closed answer to the open one, as carbon dioxide leaves."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import Equilibrium, State, log_pco2_of_air, solve
from stilltank.science.products import Acid
from stilltank.tables import load, number
from stilltank.units import Q, Unreadable, check_shapes, magnitude, one_value, takes, within

from ._state import Settled, dosed, litre_of, settle, state_of
from .doses import Dose, acid_dose, bottle_of
from .uptake_drift import ph_after_uptake

_STEPS = 36  # of the path to rest; halving them moves no pH by more than 0.0005
_PATH = 9.0  # the path ends where exp(-9), a ten thousandth, of the surplus is left; from there on it is exponential


@dataclass(frozen=True, eq=False)
class DegassingRate:
    """Share of its surplus of dissolved carbon dioxide that water loses in a day, at the start of that day."""

    low: Any
    middle: Any
    high: Any

    def __str__(self) -> str:
        low, middle, high = (value.m_as("1/day") for value in (self.low, self.middle, self.high))
        return f"{middle:.2g} a day ({low:.2g} to {high:.2g}); never measured in a lidded tub"


@dataclass(frozen=True, eq=False)
class Degassing:
    """pH along times while carbon dioxide leaves, or comes in."""

    times: Any
    """As they were given."""
    ph: Any
    """pH at the rate taken; one row for each solution where there are several."""
    low: Any
    """The lowest pH within the stated range of rates."""
    high: Any
    """The highest pH within the stated range of rates."""
    closed: Any
    """pH at the start, before any carbon dioxide has moved."""
    open: Any
    """pH at rest with the air."""
    rate: Any
    """The rate taken, a day."""
    range: DegassingRate
    """The stated range of rates for this depth."""
    carbonate: Any
    """All dissolved inorganic carbon along times at the rate taken, mmol/L; the alkalinity stays."""

    def __str__(self) -> str:
        if np.ndim(self.closed) or not np.size(self.ph):
            return f"pH of {np.size(self.closed)} solutions at {np.size(self.times)} times."
        ph, low, high = (np.ravel(row)[-1] for row in (self.ph, self.low, self.high))
        days = np.ravel(self.times.m_as("day"))[-1]
        return (
            f"pH {self.closed:.1f} at the start, about {ph:.1f} ({low:.1f} to {high:.1f}) after {days:.3g} days, "
            f"{self.open:.1f} once at rest with the air."
        )


def degassing_rate(depth: Any = None) -> DegassingRate:
    """How fast a still tank loses its surplus of carbon dioxide: film coefficient over depth, with its range.

    Parameters
    ----------
    depth : quantity; of the water, 20 cm when left out

    Returns
    -------
    DegassingRate, each in 1/day

    Raises
    ------
    UnitNeeded   a depth without a unit
    OutOfRange   a depth of nothing, or beyond 10 m

    Example
    -------
    >>> print(degassing_rate(Q(20, "cm")))
    1.4 a day (0.4 to 3); never measured in a lidded tub

    Limits: not measured for a lidded tub. The range is that of the film coefficient of oxygen in
    data/oxygen.csv, an assumption, times what carbon dioxide is slower. A lid that keeps the gas in makes it slower
    still; stirring, pouring or bubbling much faster.
    Source: mixed water under a film; the coefficients of data/oxygen.csv and data/equilibrium.csv.
    """
    usual = number("equilibrium", "degassing", "depth", "m")
    metres = usual if depth is None else one_value(depth, "m", "depth", "degassing_rate")
    within(metres, 0.001, 10, "The water of a tank is 1 mm to 10 m deep; {value:g} m is not.")
    film = load("oxygen")["film", "coefficient"]
    share = load("equilibrium")["degassing", "film share"]
    (slow, fast), (least, most) = film.range, share.range
    rates = slow * least, film.quantity * share.quantity, fast * most
    return DegassingRate(*(Q(rate.m_as("m/day") / metres, "1/day") for rate in rates))


def degas(
    solution: Any,
    times: Any,
    rate: Any = None,
    acid: Acid | str | None = None,
    amount: Any = None,
    depth: Any = None,
) -> Degassing:
    """Follow the pH of a solution in time while carbon dioxide leaves, or comes in from the air.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    times : quantity, one or a row of them, counted from the dose
    rate : quantity, 1/day; the middle one of ``degassing_rate`` when left out
    acid, amount : Acid or its name, and mmol of it for each litre, given at the start; none when left out
    depth : quantity, of the water; 20 cm when left out

    Returns
    -------
    Degassing
        ``ph`` follows ``rate``; ``low`` and ``high`` follow the whole stated range of ``degassing_rate``.

    Raises
    ------
    UnitNeeded   times, a rate, an amount or a depth without a unit
    OutOfRange   a time or a rate below zero, and as ``ph_after``
    Unreadable, Problem   as ``ph_after``; an acid without its amount

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> print(degas(tap, Q([1, 3], "day"), acid="nitric acid 0.5 mol/L", amount=Q(2, "mmol/L")))
    pH 5.8 at the start, about 7.4 (6.3 to 7.9) after 3 days, 7.9 once at rest with the air.

    Limits: the rate is the weak part; see ``degassing_rate``. The water counts as mixed. That bicarbonate turns
    into carbon dioxide within the film itself, which may double the rate above pH 8, is left out; so are roots,
    which give carbon dioxide off, and solids.
    Source: carbon dioxide moves at a rate proportional to its surplus over that of air, with ``equilibrium`` at every
    moment; solved by quadrature along the path to rest.
    """
    state = _started(state_of(solution), acid, amount)
    days = magnitude(times, "day", "times", "degas")
    within(days, 0, np.inf, "Times count from the start; {value:g} days lies before it.")
    spread = degassing_rate(depth)
    chosen = spread.middle if rate is None else Q(one_value(rate, "1/day", "rate", "degas"), "1/day")
    fastest = number("equilibrium", "degassing", "greatest rate", "1/day")
    within(
        chosen.magnitude,
        0,
        fastest,
        f"A rate of degassing lies between 0 and {fastest:g} a day; {{value:g}} does not.",
    )
    rates = np.array([value.m_as("1/day") for value in (chosen, spread.low, spread.high)])
    opened = solve(state, log_pco2_of_air())
    shape = np.shape(opened.ph)
    flat = _flat(state, shape)
    spans = np.multiply.outer(rates, np.append(days, 0.0))  # the start comes last
    dic = _along(flat, _rest(opened), spans, _STEPS)
    ph = solve({**flat, "DIC": dic}).ph  # rate, solution, time
    whole = (*shape, *np.shape(days))

    def shaped(values: Any) -> Any:
        return values[:, :-1].reshape(whole)[()]

    litre = np.reshape(litre_of(flat), (-1, 1))
    return Degassing(
        times,
        shaped(ph[0]),
        shaped(ph[1:].min(axis=0)),
        shaped(ph[1:].max(axis=0)),
        ph[0, :, -1].reshape(shape)[()],
        opened.ph,
        chosen,
        spread,
        Q(shaped(dic[0] * 1000 * litre), "mmol/L"),
    )


def _started(state: State, acid: Acid | str | None, amount: Any) -> State:
    """The state just after the acid went in."""
    if (acid is None) != (amount is None):
        raise Unreadable(
            "degas takes an acid and its amount together, or neither; one of the two is missing."
        )
    if acid is None:
        return state
    added = magnitude(amount, "mmol/L", "amount", "degas")
    within(added, 0, np.inf, "An amount of acid cannot be below zero; {value:g} mmol/L is.")
    check_shapes({"solution": np.shape(solve(state).ph), "amount": np.shape(added)}, "degas")
    return dosed(state, bottle_of(acid), added)


def _flat(state: State, shape: tuple[int, ...]) -> dict[str, Any]:
    """Every value as a column: one row for each solution, or one for all."""
    columns = {}
    for key, value in {"DIC": 0.0, "temperature": 25.0, **state}.items():
        one = np.size(value) == 1
        columns[key] = np.reshape(value if one else np.broadcast_to(value, shape), (-1, 1)).astype(float)
    return columns


def _rest(opened: Equilibrium) -> tuple[Any, Any]:
    """DIC and dissolved carbon dioxide at rest with the air, mol/kg, as columns."""
    return np.reshape(opened.dic, (-1, 1)), np.reshape(opened.species["CO2"], (-1, 1))


def _along(state: State, rest: tuple[Any, Any], spans: Any, steps: int) -> Any:
    """DIC, mol/kg, of each solution after ``spans`` of rate times time.

    With C the DIC, S its dissolved carbon dioxide and r = -ln of the surplus left of C, first order in S is
    dr/dt = rate/g with g = (C - C at rest)/(S - S at rest): smooth, above 1, and known at any r from one
    equilibrium. So time is the integral of g over r, the same for all rates, and rest is never overshot.
    """
    rest_dic, rest_gas = rest
    surplus = state["DIC"] - rest_dic
    path = np.linspace(0, _PATH, 2 * steps + 1)
    left = rest_dic + surplus * np.exp(-path)
    gas = solve({**state, "DIC": left}).species["CO2"] - rest_gas
    moving = np.abs(surplus) > 1e-9 * rest_dic  # else it is at rest already
    slope = np.divide(left - rest_dic, gas, out=np.ones_like(left), where=moving & (gas != 0))
    width = path[2]
    areas = width / 6 * (slope[:, :-2:2] + 4 * slope[:, 1:-1:2] + slope[:, 2::2])  # Simpson
    reached = np.concatenate([np.zeros((len(areas), 1)), np.cumsum(areas, axis=1)], axis=1)
    return rest_dic + surplus * np.exp(-_inverted(spans, reached, path[::2], slope[:, ::2]))


def _inverted(spans: Any, reached: Any, path: Any, slope: Any) -> Any:
    """The path covered after each span, shape (rates, solutions, times): cubic between nodes, straight beyond."""
    found = np.empty((len(spans), len(reached), spans.shape[1]))
    for row, (knots, slopes) in enumerate(zip(reached, slope, strict=True)):
        at = np.clip(np.searchsorted(knots, spans, side="right") - 1, 0, len(knots) - 2)
        width = knots[at + 1] - knots[at]
        u = np.minimum((spans - knots[at]) / width, 1.0)
        ends = path[at], path[at + 1]
        turns = width / slopes[at], width / slopes[at + 1]
        found[:, row] = (
            (1 + 2 * u) * (1 - u) ** 2 * ends[0]
            + u * (1 - u) ** 2 * turns[0]
            + u**2 * (3 - 2 * u) * ends[1]
            - u**2 * (1 - u) * turns[1]
            + np.maximum(spans - knots[-1], 0.0) / slopes[-1]
        )
    return found


@dataclass(frozen=True, eq=False)
class AfterDosing:
    """The pH in the days after a dose, for several acids that all gave the same pH at first."""

    target: float
    days: Any
    """A row of times from the dose on."""
    doses: tuple[Dose, ...]
    course: Degassing
    """Its arrays have a row for each dose."""

    @takes(day="day")
    def on(self, day: Any) -> tuple[tuple[float, float, float], ...]:
        """For each acid the pH expected on a day, and the lowest and highest that the unknown rate leaves.

        Read between the days of the row, in a straight line.

        Example
        -------
        >>> from stilltank.science.chemistry import Water
        >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
        >>> after = ph_after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L"], Q(14, "day"))
        >>> [f"{ph:.1f}" for ph, _, _ in after.on(Q(0, "day"))]
        ['5.8', '5.8']
        """
        row, course = self.days.m_as("day"), self.course
        return tuple(
            (
                float(np.interp(day, row, ph)),
                float(np.interp(day, row, low)),
                float(np.interp(day, row, high)),
            )
            for ph, low, high in zip(course.ph, course.low, course.high, strict=True)
        )


@takes(most="day")
def ph_after_dosing(
    solution: Any, target: float, acids: Sequence[Acid | str], most: Any, depth: Any = None, points: int = 56
) -> AfterDosing:
    """Follow the pH after the dose for a pH now, with several acids.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    target : number, the pH just after the dose
    acids : Acids, or names of them
    most : quantity, how long to follow it
    depth : quantity, of the water; as for ``degas``
    points : int, how many steps the row of times has

    Returns
    -------
    AfterDosing

    Raises
    ------
    OutOfRange, UnitNeeded, Unreadable, Problem   as ``acid_dose`` and ``degas``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> after = ph_after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L"], Q(14, "day"))
    >>> [f"{ph:.1f}" for ph in after.course.open]
    ['7.9', '6.8']

    Limits and source: as ``degas``.
    """
    solution = settle(solution)
    days = Q(np.linspace(0, most, points + 1), "day")
    doses = tuple(acid_dose(solution, target, acid) for acid in acids)
    return AfterDosing(target, days, doses, degas(_dosed(solution, doses), days, depth=depth))


def _dosed(solution: Any, doses: Sequence[Dose]) -> Settled:
    """The solution after each of several doses, as one: followed together they take half the time."""
    state = solution.state()
    for dose, own in zip(doses, np.eye(len(doses)), strict=True):
        state = dosed(state, dose.acid, dose.amount.m_as("mmol/L") * own)
    return Settled(state)


_NETS = ("nitrate", "ammonium")


@dataclass(frozen=True, eq=False)
class Drift:
    """The pH along net uptake: of anions, as with nitrate, and of cations, as with ammonium."""

    solution: Any
    start: float
    amounts: Any
    """mmol taken net out of each litre, a row from 0."""
    nitrate: Any
    """pH where that much more nitrate is taken than cations."""
    ammonium: Any
    """pH where that much more ammonium is taken than anions."""

    def at(self, net: str, amount: Any) -> float:
        """pH where plants take one amount more of ``"nitrate"``, or of ``"ammonium"``: read off the row."""
        if net not in _NETS:
            raise Unreadable(f'A drift is by "nitrate" or by "ammonium"; {net!r} is neither.')
        row, taken = self.amounts.m_as("mmol/L"), one_value(amount, "mmol/L", "amount", "at")
        within(taken, 0, row[-1], f"This drift runs from 0 to {row[-1]:g} mmol/L; {{value:g}} is outside.")
        return float(np.interp(taken, row, getattr(self, net)))


@takes(most="mmol/L")
def drift_by_uptake(solution: Any, most: Any, points: int = 60) -> Drift:
    """How far plants drive the pH of a solution at rest with the air, both ways.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
        Holding at least that much nitrate and ammonium.
    most : quantity, mmol taken net out of each litre, the end of the row
    points : int, how many steps the row has

    Returns
    -------
    Drift

    Raises
    ------
    OutOfRange, UnitNeeded, Unreadable, Problem   as ``ph_after_uptake``

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Hoagland 2")
    >>> found = drift_by_uptake(tank, Q(0.5, "mmol/L"))
    >>> bool(found.ammonium[-1] < found.start < found.nitrate[-1])
    True

    Limits and source: as ``ph_after_uptake``.
    """
    settled = settle(solution)
    row = most * np.linspace(0, 1, points + 1) ** 2  # closest where the pH moves fastest
    none = np.zeros_like(row)
    both = ph_after_uptake(
        settled, nitrate=Q(np.append(row, none), "mmol/L"), ammonium=Q(np.append(none, row), "mmol/L")
    )
    nitrate, ammonium = np.split(both, 2)
    return Drift(settled, float(nitrate[0]), Q(row, "mmol/L"), nitrate, ammonium)
