"""Oxygen in water whose surface falls: all members of an ensemble advanced together, in plain numbers.

The coordinate is depth over current depth. Plants draw water evenly over the depth, so water keeps its place in it:
the grid does not move, and only h, the depth, changes in

    h dC/dt = (D/h) C'' - demand C/(K + C),   -(D/h) C' = k (S - C) at the surface, C' = 0 at the floor.

Finite volumes in depth, finest at the surface: there the roots' use makes oxygen fall within a centimetre, however
deep the tank. In time a diagonally implicit Runge-Kutta method of second order that damps what is too
fast to follow (Alexander 1977): Crank-Nicolson would ring. A use of R(C) is taken as (R/C) C with R/C at a
concentration foreseen, so each stage is one tridiagonal system, and all members are one system with gaps.
"""

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

GAMMA = 1 - np.sqrt(0.5)  # makes the method second order and damp completely
_BLOCK = 500_000  # numbers of one kind held at once, 4 MB
_FEW = 150  # members below which one call for all is faster than row by row


class Grid:
    """Cells as shares of the depth, from the surface down, and what makes their equations symmetric.

    Edges lie at sinh(a s)/sinh(a) for even s, so that more cells cut each cell finer where their number divides.
    """

    def __init__(self, cells: int, stretch: float):
        edges = np.sinh(stretch * np.linspace(0, 1, cells + 1)) / np.sinh(stretch)
        self.width, self.middle = np.diff(edges), (edges[1:] + edges[:-1]) / 2
        apart = np.diff(self.middle)
        # Unknowns are divided and rows multiplied by this: what stands beside the diagonal is then the same everywhere
        self.scale = np.sqrt(np.full(cells, apart[0] if cells > 1 else 1.0))
        for i in range(1, cells):
            self.scale[i] = apart[i - 1] / self.scale[i - 1]
        self.row = self.scale * self.width
        self.diagonal = self.scale * self.row
        ways = np.concatenate([[0.0], 1 / apart, [0.0]])  # to the neighbours; none through surface and floor
        self.beside = self.scale**2 * (ways[1:] + ways[:-1])


@dataclass(frozen=True, eq=False)
class Steps:
    """What drives the run, time first: [steps, members]; depths [steps + 1, members]. In m, day, g."""

    length: float  # of a step, day
    depth: Any  # at the ends of the steps, before what is added
    raised: Any  # depth right after what was added at the start of the step, and after the overflow
    gained: Any  # depth added at the start of the step
    richness: Any  # oxygen in what is added, g/m^3
    surface: Any  # saturation, g/m^3
    film: Any  # k, m/day
    diffusivity: Any  # m^2/day; inf for mixed water
    demand: Any  # g/m^2/day
    half: float  # g/m^3


@dataclass(frozen=True, eq=False)
class Run:
    """Concentrations, g/m^3, and amounts in each step, g/m^2; time first."""

    mean: Any
    top: Any
    floor: Any
    inflow: Any
    used: Any
    drawn: Any
    gained: Any
    spilled: Any
    cells: Any  # at the end of each kept step, [kept, cells, members]


def advance(steps: Steps, grid: Grid, begun: Any, kept: Any) -> Run:
    """Run from ``begun``, [members]; ``kept`` says after which steps the cells are stored."""
    count, cells, members = len(steps.demand), len(grid.width), len(begun)
    start = np.repeat(begun[None], cells, axis=0)
    mean, top, floor, inflow, used, drawn, gained, spilled = (np.zeros((count, members)) for _ in range(8))
    kept_cells = np.empty((int(kept.sum()), cells, members))
    run = Run(mean, top, floor, inflow, used, drawn, gained, spilled, kept_cells)
    length = max(1, min(count, _BLOCK // start.size))  # steps whose cells are held at once
    stepper, stored = _Stepper(steps, grid, start), 0
    for begin in range(0, count, length):
        span = slice(begin, min(begin + length, count))
        held = stepper.run(span, run)
        keep = kept[span]
        run.cells[stored : stored + keep.sum()] = held.last[keep]
        stored += int(keep.sum())
    return run


class _Held:
    """Both stages of some steps with all their cells, [steps, cells, members]: oxygen, and use relative to it."""

    def __init__(self, count: int, shape: tuple[int, int]):
        self.before, self.first, self.last, self.one, self.two = (np.empty((count, *shape)) for _ in range(5))
        self.early, self.late = np.full((count, shape[1]), (1 - GAMMA) / GAMMA), np.ones((count, shape[1]))


class _Stepper:
    """The equations of all steps, and where the run stands."""

    def __init__(self, steps: Steps, grid: Grid, start: Any):
        self.steps, self.grid, self.now, self.cells = steps, grid, start, len(start)
        self.middle = (steps.raised + steps.depth[1:]) / 2
        resistance = self.middle * grid.middle[0] / steps.diffusivity  # of half a cell; none in mixed water
        self.through = 1 / (1 / steps.film + resistance)
        share = GAMMA * steps.length / self.middle
        spread = share / self.middle * (steps.diffusivity if self.cells > 1 else 0.0)
        enter = grid.scale[0] * share * self.through
        self.equations = (spread, grid.scale[0] * enter, enter * steps.surface, share * steps.demand)
        self.columns = tuple(part[:, None] for part in (grid.row, grid.diagonal, grid.beside, grid.scale))
        self.added = (steps.gained > 0).any(axis=1).tolist()
        self.change = np.zeros_like(start)
        self.foreseen, self.diagonal, self.ways = (np.empty_like(start) for _ in range(3))
        self.beside = np.zeros(start.shape[::-1])  # the diagonals beside it of all members, with gaps between

    def run(self, span: slice, run: Run) -> _Held:
        """Take the steps of ``span`` and write what crossed each border."""
        held = _Held(span.stop - span.start, self.now.shape)
        for i, at in enumerate(range(span.start, span.stop)):
            if self.added[at]:
                self.now, run.gained[at], run.spilled[at] = _poured(self.steps, self.grid, at, self.now)
                self.change[:] = 0  # what was foreseen from the step before no longer holds
            held.before[i] = self.now
            self.now = self._step(held, i, at)
        self.now = self.now.copy()
        self._count(held, span, run)
        return held

    def _step(self, held: _Held, i: int, at: int) -> Any:
        now, first, last, foreseen = held.before[i], held.first[i], held.last[i], self.foreseen
        equations = [part[at] for part in self.equations]
        self.beside[:, :-1] = -equations[0][:, None]
        np.multiply(self.change, GAMMA, out=foreseen)
        foreseen += now
        first[:] = now
        self._solve(first, held.one[i], equations)
        np.subtract(first, now, out=last)
        last /= GAMMA  # the change of the whole step at the speed of the first stage
        np.add(now, last, out=foreseen)
        last *= 1 - GAMMA
        last += now
        self._solve(last, held.two[i], equations)
        if last.min() < 0:
            self._again(held, i, at)
        np.subtract(last, now, out=self.change)
        return last

    def _solve(self, right: Any, relative: Any, equations: Any) -> None:
        """One implicit stage in place of its right side, with the use relative to the oxygen foreseen."""
        spread, edge, brought, use = equations
        foreseen, diagonal, (row, weight, ways, scale) = self.foreseen, self.diagonal, self.columns
        np.maximum(foreseen, 0, out=foreseen)
        foreseen += self.steps.half
        np.divide(use, foreseen, out=relative)
        right *= row
        right[0] += brought
        np.add(relative, 1, out=diagonal)
        diagonal *= weight
        np.multiply(ways, spread, out=self.ways)
        diagonal += self.ways
        diagonal[0] += edge
        if self.cells == 1:
            right /= diagonal
        else:
            _tridiagonal(diagonal, spread, self.beside, right)
            right *= scale

    def _again(self, held: _Held, i: int, at: int) -> None:
        """Backward Euler for members whose oxygen crashes within the step: it never goes below zero."""
        crashed = (held.last[i] < 0).any(axis=0)
        whole, relative = held.before[i].copy(), np.empty_like(self.foreseen)
        self.foreseen[:] = whole
        self.beside /= GAMMA
        self._solve(whole, relative, [part[at] / GAMMA for part in self.equations])
        held.last[i][:, crashed], held.two[i][:, crashed] = whole[:, crashed], GAMMA * relative[:, crashed]
        held.early[i][crashed], held.late[i][crashed] = 0, 1 / GAMMA

    def _count(self, held: _Held, span: slice, run: Run) -> None:
        surface, height, through = self.steps.surface[span], self.middle[span], self.through[span]
        lack = held.early * (surface - held.first[:, 0]) + held.late * (surface - held.last[:, 0])
        run.inflow[span] = GAMMA * self.steps.length * through * lack
        early, late = (
            np.einsum("c,scm,scm->sm", self.grid.width, *two)
            for two in ((held.one, held.first), (held.two, held.last))
        )
        run.used[span] = height * (held.early * early + held.late * late)
        run.mean[span], run.floor[span] = self.grid.width @ held.last, held.last[:, -1]
        fall = self.steps.raised[span] - self.steps.depth[1:][span]
        run.drawn[span] = (self.grid.width @ held.before + run.mean[span]) / 2 * fall
        run.top[span] = surface - through / self.steps.film[span] * (surface - held.last[:, 0])


def _tridiagonal(diagonal: Any, apart: Any, beside: Any, right: Any) -> None:
    """Solve for all members, in place of the right side.

    What stands beside the diagonal is -``apart``, [members], and once more in ``beside`` for all members in one row.
    """
    cells, members = right.shape
    if members < _FEW:
        solved = _solver()(diagonal.T.ravel(), beside.ravel()[:-1], right.T.ravel())[2]
        right[:] = solved.reshape(members, cells).T
        return
    diagonal /= apart  # what stands beside it is then -1, which saves a quarter of the calls
    right /= apart
    rows, tops = list(right), list(diagonal)
    product = np.empty(members)
    np.divide(1, tops[0], out=tops[0])
    rows[0] *= tops[0]
    for i in range(1, cells):
        np.subtract(tops[i], tops[i - 1], out=tops[i])
        np.divide(1, tops[i], out=tops[i])
        np.add(rows[i], rows[i - 1], out=rows[i])
        np.multiply(rows[i], tops[i], out=rows[i])
    for i in range(cells - 2, -1, -1):
        np.multiply(tops[i], rows[i + 1], out=product)
        np.add(rows[i], product, out=rows[i])


@cache
def _solver() -> Any:
    from scipy.linalg.lapack import dptsv

    return dptsv


def _poured(steps: Steps, grid: Grid, at: int, now: Any) -> tuple[Any, Any, Any]:
    """Water added is mixed in, then what stands above the overflow leaves; and the oxygen in both, g/m^2."""
    was, gained = steps.depth[at], steps.gained[at]
    spilled = was + gained - steps.raised[at]
    mixed = now + gained / (was + gained) * (steps.richness[at] - now)
    return mixed, gained * steps.richness[at], spilled * (grid.width @ mixed)
