"""The members of a fit: possible tanks that lose weight where they would have shown another level; plain litres."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.budget import Setting
from stilltank.science.tank import LevelTable
from stilltank.tables import number
from stilltank.units.types import PlainLike

from .observations import Observation, Prior

_FIXED = ("growth", "rain", "offset", "noise")  # unknowns that do not move by themselves


def _of(item: str, name: str, unit: str = "1") -> float:
    return float(number("refit", item, name, unit))


@dataclass(eq=False)
class Members:
    """Possible tanks side by side, [members]; they change from day to day."""

    volume: Any  # L
    factor: Any  # logarithm
    growth: Any  # logarithm of the stretch of time
    rain: Any  # logit of the rain share
    offset: Any  # m
    noise: Any  # logarithm
    weight: Any  # sums to 1

    @property
    def count(self) -> int:
        """How many."""
        return len(self.volume)

    @property
    def effective(self) -> float:
        """How many equal members would know as much."""
        return float(1 / np.sum(self.weight**2))

    def pick(self, rng: np.random.Generator) -> None:
        """Copy those that fit, so that all weigh the same; systematic: one random number for all picks."""
        places = (rng.random() + np.arange(self.count)) / self.count
        summed = np.cumsum(self.weight)
        rows = np.searchsorted(summed / summed[-1], places)
        for name in ("volume", "factor", *_FIXED):
            setattr(self, name, getattr(self, name)[rows])
        self.weight = np.full(self.count, 1 / self.count)
        keep = _of("shrinkage", "keep")
        for name in _FIXED:
            values = getattr(self, name)
            mean, spread = values.mean(), values.std()
            fresh = np.sqrt(1 - keep**2) * spread * rng.standard_normal(self.count)
            setattr(self, name, keep * values + (1 - keep) * mean + fresh)


@dataclass(frozen=True, eq=False)
class Predicted:
    """What the members expected of a reading, in its own unit (m or L), and how far off it was."""

    low: float
    middle: float
    high: float
    read: float
    distance: float  # in doubts of members and reading together


def first_members(setting: Setting, prior: Prior, count: int, rng: np.random.Generator) -> Members:
    """Draw possible tanks on the day of planting."""
    normal = rng.standard_normal
    return Members(
        volume=np.minimum(setting.filled * (1 + _of("prior", "filling") * normal(count)), setting.brim),
        factor=prior.mean + prior.spread * normal(count),
        growth=prior.growth_spread * normal(count),
        rain=prior.rain_mean + prior.rain_spread * normal(count),
        offset=_of("prior", "stick offset", "m") * rng.standard_t(4, count),
        noise=_of("prior", "own noise mean") + _of("prior", "own noise spread") * normal(count),
        weight=np.full(count, 1 / count),
    )


class Follower:
    """Follow members through the days of a setting; ``et`` and ``rain`` are mm, [days, members]."""

    def __init__(self, setting: Setting, et: Any, rain: Any, brim: Any, rng: np.random.Generator):
        self.setting, self.et, self.rain, self.brim, self.rng = setting, et, rain, brim, rng
        self.table = LevelTable(setting.tank)
        self._leaves: Any = None
        self._from = 0
        self.share = 1.0  # of the plants that still stand

    def grow(self, members: Members, first: int, last: int) -> None:
        """Work out the leaves of the days from ``first`` up to before ``last``."""
        leaves = self.setting.grown(np.exp(members.growth), slice(first, last))
        self._leaves, self._from = np.ascontiguousarray(leaves.T), first

    def step(self, members: Members, day: int) -> None:
        """One day: rain, overflow, then the plants."""
        normal, count = self.rng.standard_normal, members.count
        own = np.exp(members.noise)
        caught = self.rain[day] * self.setting.catch / (1 + np.exp(-members.rain))
        now = np.minimum(members.volume + caught, self.brim[day])
        today = members.factor + _of("day", "own") * own * normal(count)
        thirst = self.et[day] * self._leaves[day - self._from] * self.share * np.exp(today)
        members.volume = now - self.setting.drink(now, thirst)
        members.factor = members.factor + _of("day", "drift") * own * normal(count)

    def shown(self, members: Members, seen: Observation) -> PlainLike:
        """What each member would show, in m for a level and in L otherwise."""
        if seen.level is None:
            return members.volume
        level = self.table.level(members.volume)
        return level + members.offset if seen.stick else level

    def weigh(self, members: Members, seen: Observation) -> Predicted:
        """Let a reading change the weights; some members jump first, for what nobody wrote down."""
        setting, rng = self.setting, self.rng
        jumping = rng.random(members.count) < _of("jump", "chance")
        jump = _of("jump", "share of filling") * setting.filling * rng.standard_normal(members.count)
        before = self.shown(members, seen)
        rim = float(self.table.litres[-1])
        members.volume = np.where(
            jumping, np.clip(members.volume + jump, setting.unusable, rim), members.volume
        )
        after = self.shown(members, seen)
        wrong = _of("reading", "chance of a wrong one")
        if seen.between is not None and seen.level is None and seen.volume is None:
            low, high = (float(end.m_as("L")) for end in seen.between)
            soft = max((high - low) / 8, 0.01 * setting.filling)
            fit = 1 / ((1 + np.exp(-(after - low) / soft)) * (1 + np.exp((after - high) / soft)))
            read, doubt, width = (low + high) / 2, (high - low) / 4, 0.1
        else:
            read = float(seen.level.m_as("m") if seen.level is not None else seen.volume.m_as("L"))  # type: ignore[union-attr]
            doubt = doubt_of(seen, setting)
            height = float(self.table.heights[-1]) if seen.level is not None else rim
            fit = np.exp(-0.5 * ((read - after) / doubt) ** 2)
            width = 1.25 * doubt / height
        low, middle, high = weighted_quantiles(before, members.weight, (0.1, 0.5, 0.9))
        mean = float(np.sum(members.weight * before))
        spread = float(np.sqrt(np.sum(members.weight * (before - mean) ** 2) + doubt**2))
        weight = members.weight * ((1 - wrong) * fit + wrong * width)
        members.weight = weight / weight.sum()
        return Predicted(low, middle, high, read, (read - mean) / spread)

    def pour(self, members: Members, seen: Observation) -> None:
        """Add what was poured in, with its doubt; what nobody measured lies somewhere up to the fill line."""
        rng, count = self.rng, members.count
        full = self.setting.filling
        if seen.replaced:
            target = full if seen.poured_to is None else float(self.table.volume(seen.poured_to.m_as("m")))
            members.volume = target * (1 + _of("prior", "filling") * rng.standard_normal(count))
            return
        if seen.poured is not None:
            share = 1 + _of("poured", "share") * rng.standard_normal(count)
            members.volume = members.volume + float(seen.poured.m_as("L")) * np.maximum(share, 0)
        elif seen.poured_to is not None:
            read = float(seen.poured_to.m_as("m")) - (members.offset if seen.stick else 0)
            to = self.table.volume(read + _of("prior", "stick offset", "m") * rng.standard_normal(count))
            members.volume = np.maximum(members.volume, to)
        elif seen.poured_unknown:
            room = np.maximum(full - members.volume, 0)
            members.volume = members.volume + room * rng.random(count)

    def cut(self, members: Members, seen: Observation, standing: int) -> None:
        """Stems that were cut drink no more."""
        if seen.plants is not None and standing:
            self.share = min(seen.plants / standing, 1.0)
        if seen.stems_cut:
            change = _of("stems cut", "change")
            members.factor = members.factor + change + abs(change) * self.rng.standard_normal(members.count)


def doubt_of(seen: Observation, setting: Setting) -> float:
    """One standard deviation of a reading, in m for a level and in L for a volume."""
    if seen.level is not None:
        return float(seen.doubt.m_as("m")) if seen.doubt is not None else _of("prior", "stick offset", "m")
    return float(seen.doubt.m_as("L")) if seen.doubt is not None else 0.02 * setting.filling


def weighted_quantiles(values: PlainLike, weights: PlainLike, shares: Sequence[float]) -> list[float]:
    """Values below which these shares of the weight lie."""
    order = np.argsort(values)
    summed = np.cumsum(weights[order])
    places = np.searchsorted(summed, np.asarray(shares) * summed[-1])
    return [float(each) for each in values[order][np.minimum(places, len(values) - 1)]]
