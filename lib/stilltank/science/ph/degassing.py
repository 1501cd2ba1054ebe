"""How the pH of a still tank moves from the closed answer to the open one, as carbon dioxide leaves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import Equilibrium, State, log_pco2_of_air, solve
from stilltank.science.products import Acid, Reagent
from stilltank.tables import load, number
from stilltank.units import PlainNumber, Q, Unreadable, check_shapes, magnitude, only, takes, within
from stilltank.units.types import Array, Plain, Quantity

from ._state import (
    Settled,
    SolutionLike,
    bottle_of,
    dosed,
    litre_of,
    one_ph,
    settle,
    state_of,
    steps_of,
)
from .doses import Dose, acid_dose

_STEPS = 36  # of the path to rest; halving them moves no pH by more than 0.0005
_PATH = 9.0  # the path ends where exp(-9), a ten thousandth, of the surplus is left; from there on it is exponential


@dataclass(frozen=True, eq=False)
class DegassingRate:
    """Share of its surplus of dissolved carbon dioxide that water loses in a day, at the start of that day.

    Parameters
    ----------
    low : Quantity
        In 1/day, the slowest that is likely.
    middle : Quantity
        In 1/day, the usual rate.
    high : Quantity
        In 1/day, the fastest that is likely.

    See Also
    --------
    degassing_rate : Makes one.

    Examples
    --------
    >>> degassing_rate(Q(10, "cm")).middle > degassing_rate(Q(20, "cm")).middle
    True
    """

    low: Quantity
    middle: Quantity
    high: Quantity

    def __str__(self) -> str:
        low, middle, high = (value.m_as("1/day") for value in (self.low, self.middle, self.high))
        return f"{middle:.2g} a day ({low:.2g} to {high:.2g}); never measured in a lidded tub"


@dataclass(frozen=True, eq=False)
class Degassing:
    """The pH along times while carbon dioxide leaves, or comes in.

    Parameters
    ----------
    times : Quantity
        In days, one or a row.
    ph : float or array
        The pH at the rate taken; one row for each solution where there are several.
    low : float or array
        The lowest pH within the stated range of rates.
    high : float or array
        The highest pH within the stated range of rates.
    closed : float or array
        The pH at the start, before any carbon dioxide has moved.
    open : float or array
        The pH at rest with the air.
    rate : Quantity
        In 1/day, the rate taken.
    range : DegassingRate
        The stated range of rates for this depth.
    carbonate : Quantity
        In mmol/L, all dissolved inorganic carbon along times at the rate taken; the alkalinity stays.

    See Also
    --------
    degas : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> course = degas(tap, Q([0, 1], "day"))
    >>> course.ph.round(1).tolist(), course.carbonate.magnitude.round(2).tolist()
    ([7.6, 8.0], [2.73, 2.63])
    """

    times: Quantity
    ph: Any
    low: Any
    high: Any
    closed: Plain
    open: Any
    rate: Quantity
    range: DegassingRate
    carbonate: Quantity

    def __str__(self) -> str:
        if np.ndim(self.closed) or not np.size(self.ph):
            return f"pH of {np.size(self.closed)} solutions at {np.size(self.times)} times."
        ph, low, high = (np.ravel(row)[-1] for row in (self.ph, self.low, self.high))
        days = np.ravel(self.times.m_as("day"))[-1]
        return (
            f"pH {self.closed:.1f} at the start, about {ph:.1f} ({low:.1f} to {high:.1f}) after {days:.3g} days, "
            f"{self.open:.1f} once at rest with the air."
        )


@takes(depth="m")
def degassing_rate(depth: Quantity | None = None) -> DegassingRate:
    """Find how fast a still tank loses its surplus of carbon dioxide, with its range.

    Parameters
    ----------
    depth : Quantity, optional
        Length, the depth of the water, one value from 1 mm to 10 m; 20 cm when left out.

    Returns
    -------
    DegassingRate
        The rate with its range, in 1/day.

    Raises
    ------
    UnitNeeded
        A depth that has no unit.
    OutOfRange
        A depth of nothing, or beyond 10 m.
    Problem
        Several depths.

    See Also
    --------
    degas : The pH that comes of it.

    Notes
    -----
    The film coefficient of mixed water over its depth. Nobody has measured it in a lidded tub. The range is that of
    the film coefficient of oxygen in data/oxygen.csv, an assumption, times what carbon dioxide is slower
    (data/equilibrium.csv). A lid that keeps the gas in makes it slower still; stirring, pouring or bubbling much
    faster.

    Examples
    --------
    >>> print(degassing_rate(Q(20, "cm")))
    1.4 a day (0.4 to 3); never measured in a lidded tub
    """
    usual = number("equilibrium", "degassing", "depth", "m")
    metres = usual if depth is None else only(depth, "depth", "degassing_rate")
    within(metres, 0.001, 10, "The water of a tank cannot be {value} deep. Write {low} to {high}.", "m")
    film = load("oxygen")["film", "coefficient"]
    share = load("equilibrium")["degassing", "film share"]
    (slow, fast), (least, most) = film.range, share.range
    rates = slow * least, film.quantity * share.quantity, fast * most
    return DegassingRate(*(Q(rate.m_as("m/day") / metres, "1/day") for rate in rates))


@takes(rate="1/day", amount="mmol/L", depth="m")
def degas(
    solution: SolutionLike,
    times: Quantity,
    rate: Quantity | None = None,
    acid: Reagent | str | None = None,
    amount: Quantity | None = None,
    depth: Quantity | None = None,
) -> Degassing:
    """Follow the pH of a solution in time while carbon dioxide leaves, or comes in from the air.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    times : Quantity
        Time since the dose, one or a row.
    rate : Quantity, optional
        In 1/day, one value; the middle one of `degassing_rate` when left out.
    acid : Acid, Base or str, optional
        The acid or base that is given at the start, or its name; none when left out.
    amount : Quantity, optional
        Amount of it for each litre, such as mmol/L; one or an array.
    depth : Quantity, optional
        Length, the depth of the water, one value; 20 cm when left out.

    Returns
    -------
    Degassing
        Its ``ph`` follows ``rate``; ``low`` and ``high`` follow the whole stated range of `degassing_rate`.

    Raises
    ------
    UnitNeeded
        Times, a rate, an amount or a depth that has no unit.
    OutOfRange
        A time, a rate or an amount below zero, or a solution outside the limits of the equilibrium.
    Unreadable
        No solution, an unknown acid, or an acid without its amount.
    Problem
        Several rates or depths, arrays that do not fit, or a water whose alkalinity or pH is not known.

    See Also
    --------
    ph_after_dosing : Several acids side by side.

    Notes
    -----
    Carbon dioxide moves at a rate proportional to its surplus over that of the air, with the equilibrium at every
    moment; it is solved by quadrature along the path to rest. The rate is the weak part; see `degassing_rate`. The
    water counts as mixed. That bicarbonate turns into carbon dioxide within the film itself, which may double the
    rate above pH 8, is left out; so are roots, which give off carbon dioxide, and solids.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> print(degas(tap, Q([1, 3], "day"), acid="nitric acid 0.5 mol/L", amount=Q(2, "mmol/L")))
    pH 5.8 at the start, about 7.4 (6.3 to 7.9) after 3 days, 7.9 once at rest with the air.
    """
    state = _started(state_of(solution, "degas"), acid, amount)
    days = magnitude(
        times, "day", "times", "degas"
    )  # not at the door: a row of times need not fit the solutions
    within(days, 0, np.inf, "Times count from the start; {value:g} days is before it. Write 0 or more.")
    spread = degassing_rate.plain(depth)
    usual = spread.middle.m_as("1/day")
    chosen = usual if rate is None else only(rate, "rate", "degas")
    fastest = number("equilibrium", "degassing", "greatest rate", "1/day")
    within(chosen, 0, fastest, "A rate of degassing is between 0 and {high:g} a day; {value:g} is not.")
    rates = np.array([chosen, spread.low.m_as("1/day"), spread.high.m_as("1/day")])
    opened = solve(state, log_pco2_of_air())
    shape = np.shape(opened.ph)
    flat = _flat(state, shape)
    spans = np.multiply.outer(rates, np.append(days, 0.0))  # the start comes last
    dic = _along(flat, _rest(opened), spans, _STEPS)
    ph = solve({**flat, "DIC": dic}).ph  # rate, solution, time
    whole = (*shape, *np.shape(days))

    def shaped(values: Array) -> Any:
        return values[:, :-1].reshape(whole)[()]

    litre = np.reshape(litre_of(flat), (-1, 1))
    return Degassing(
        Q(days, "day"),
        shaped(ph[0]),
        shaped(ph[1:].min(axis=0)),
        shaped(ph[1:].max(axis=0)),
        ph[0, :, -1].reshape(shape)[()],
        opened.ph,
        Q(chosen, "1/day"),
        spread,
        Q(shaped(dic[0] * 1000 * litre), "mmol/L"),
    )


def _started(state: State, acid: Reagent | str | None, amount: Any) -> State:
    """The state just after the acid went in."""
    if (acid is None) != (amount is None):
        raise Unreadable(
            "degas takes an acid and its amount together, or neither; one of the two is missing."
        )
    if acid is None:
        return state
    within(amount, 0, np.inf, "An amount of acid cannot be below zero; {value:g} mmol/L is.")
    check_shapes({"solution": np.shape(solve(state).ph), "amount": np.shape(amount)}, "degas")
    return dosed(state, bottle_of(acid), amount)


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
    """The pH in the days after a dose, for several acids that all gave the same pH at first.

    Parameters
    ----------
    target : float
        The pH just after the dose.
    days : Quantity
        In days, a row of times from the dose on.
    doses : tuple of Dose
        One for each acid.
    course : Degassing
        Its arrays have a row for each dose.

    See Also
    --------
    ph_after_dosing : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> after = ph_after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L"], Q(14, "day"))
    >>> after.doses[0].acid.name, after.course.ph.shape
    ('nitric acid 0.5 mol/L', (1, 57))
    """

    target: float
    days: Quantity
    doses: tuple[Dose, ...]
    course: Degassing

    @takes(day="day")
    def on(self, day: Quantity) -> tuple[tuple[float, float, float], ...]:
        """Find the pH expected on a day, and the lowest and highest that the unknown rate leaves.

        Parameters
        ----------
        day : Quantity
            Time since the dose, one value within the row.

        Returns
        -------
        tuple of (float, float, float)
            For each acid the expected, the lowest and the highest pH, read between the days of the row in a straight
            line.

        Raises
        ------
        UnitNeeded
            A day that has no unit.
        OutOfRange
            A day before the dose, or after the end of the row.
        Problem
            Several days.

        Examples
        --------
        >>> from stilltank.science.chemistry import Water
        >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
        >>> after = ph_after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L"], Q(14, "day"))
        >>> [f"{ph:.1f}" for ph, _, _ in after.on(Q(0, "day"))]
        ['5.8', '5.8']
        """
        row, course = self.days.m_as("day"), self.course
        plain = only(day, "day", "on")
        within(
            plain,
            0,
            row[-1] * (1 + 1e-12),
            "This course runs from 0 to {high:g} days after the dose; day {value:g} is outside.",
        )
        return tuple(
            (
                float(np.interp(plain, row, ph)),
                float(np.interp(plain, row, low)),
                float(np.interp(plain, row, high)),
            )
            for ph, low, high in zip(course.ph, course.low, course.high, strict=True)
        )


@takes(target=PlainNumber(5.8), most="day", depth="m")
def ph_after_dosing(
    solution: SolutionLike,
    target: float,
    acids: Sequence[Acid | str],
    most: Quantity,
    depth: Quantity | None = None,
    points: int = 56,
) -> AfterDosing:
    """Follow the pH after the dose for a pH now, with several acids.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``.
    target : float
        The pH just after the dose.
    acids : list of Acid or str
        The acids, or their names.
    most : Quantity
        Time, one value: how long to follow it.
    depth : Quantity, optional
        Length, the depth of the water, one value; 20 cm when left out.
    points : int
        How many steps the row of times has.

    Returns
    -------
    AfterDosing
        The doses, and the course after each.

    Raises
    ------
    OutOfRange
        A target above the present pH or out of reach, a time below zero, or no number of steps.
    UnitNeeded
        A time or a depth that has no unit.
    Unreadable
        No solution, a target that is not a number, no list of acids, or an unknown acid.
    Problem
        Several targets, times or depths, or a water whose alkalinity or pH is not known.

    See Also
    --------
    degas : One solution; its limits hold here too.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> after = ph_after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L"], Q(14, "day"))
    >>> [f"{ph:.1f}" for ph in after.course.open]
    ['7.9', '6.8']
    """
    name = "ph_after_dosing"
    if isinstance(acids, (str, bytes)) or not isinstance(acids, Sequence) or not acids:
        raise Unreadable(
            f'{name} needs a list of acids for `acids`, such as ["nitric acid 0.5 mol/L"]. You gave {acids!r}.'
        )
    wanted = one_ph(target, "target", name)
    settled = settle(solution, name)
    days = Q(np.linspace(0, only(most, "most", name), steps_of(points, name) + 1), "day")
    doses = tuple(acid_dose(settled, wanted, acid) for acid in acids)
    metres = None if depth is None else Q(depth, "m")
    return AfterDosing(wanted, days, doses, degas(_dosed(settled, doses), days, depth=metres))


def _dosed(solution: Settled, doses: Sequence[Dose]) -> Settled:
    """The solution after each of several doses, as one: followed together they take half the time."""
    state: Mapping[str, Any] = solution.state()
    for dose, own in zip(doses, np.eye(len(doses)), strict=True):
        state = dosed(state, dose.acid, dose.amount.m_as("mmol/L") * own)
    return Settled(state)
