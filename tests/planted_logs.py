"""Planted logs: what a visitor would have written of tubs whose truth is known.

Made by a simulation that shares nothing with the water budget: canopies follow a logistic curve, sun and wind are
hidden from the fit, and each log has one or two of the faults that real ones have. What is drawn, and how widely, is
judgement.
"""

import math
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

import numpy as np
from planted import CROPS, PLACES, Noise, _coefficient
from stilltank.science import crops, demand, tank, weather
from stilltank.units import Q

TUBS = (
    tank.preset("quillgate-tub"),
    tank.Box(Q(55, "cm"), Q(36, "cm"), Q(28, "cm"), net_pot_depth=Q(5, "cm")),
    tank.Cylinder(Q(40, "cm"), Q(42, "cm"), net_pot_depth=Q(6, "cm")),
)
FAULTS = (
    "growth",
    "wind",
    "wrong reading",
    "blocked hole",
    "unwritten top-up",
    "stick off",
    "stems cut",
    "none",
)
AFTER = 60  # days that are followed after the last visit
ROUGH = replace(
    Noise(), factor=0.5, timing=0.25, shared=0.24, drift=0.05
)  # twice the daily noise, 2.5 times the drift


@dataclass
class PlantedLog:
    """What is known of a tub, what was written, and what was there on the mornings from the last visit on."""

    tub: object
    place: str
    crop: str
    count: int
    start: date
    faults: tuple[str, ...]
    observations: list[dict] = field(default_factory=list)
    levels: list[float] = field(default_factory=list)  # cm, mornings from the last visit on
    litres: list[float] = field(default_factory=list)
    held: list[float] = field(default_factory=list)  # litres on the mornings of the visits
    factor: float = 0.0  # logarithm, on the first day

    @property
    def last(self):
        return self.observations[-1]["day"]


def plant_log(rng, noise=None, visits=None, fault=None, like=None, factor=None):
    """Grow one tub, and write its log.

    ``visits`` asks for so many, ``like`` for the tub, place and crop of another log, ``factor`` for its logarithm.
    """
    noise = noise or Noise()
    while True:
        made = _grown(rng, noise, visits, fault, like, factor)
        if made is not None:
            return made


def weighed(one, rng):
    """The same tub, weighed with its lid and without its plants in place of reading the stick."""
    rows = []
    for row, litres in zip(one.observations, one.held, strict=True):
        rest = {name: value for name, value in row.items() if name not in ("level", "doubt")}
        scale = max(round(5 * (litres + rng.normal(0, 0.2))) / 5, 0.0)  # shows 200 g
        rows.append({**rest, "volume": Q(scale, "L"), "doubt": Q(0.2, "L"), "stick": False})
    return replace(one, observations=rows)


def _grown(rng, noise, visits, fault, like, asked_factor):
    tub = TUBS[rng.integers(len(TUBS))]
    place, crop = PLACES[rng.integers(len(PLACES))], CROPS[rng.integers(len(CROPS))]
    if like is not None:
        tub, place, crop = like.tub, like.place, like.crop
    count = int(rng.integers(2, 7))
    faults = (fault,) if fault else tuple(rng.choice(FAULTS, rng.integers(1, 3), replace=False))
    record = weather.record(place)
    years = [year for year in record.years if np.datetime64(f"{year}-12-31") <= record.dates[-1]]
    first = np.datetime64(f"{rng.choice(years)}-05-01") + np.timedelta64(int(rng.integers(0, 60)), "D")
    begin = int((first - record.dates[0]).astype(int))
    if begin < 0:
        return None
    start = date.fromisoformat(f"2027-{str(first)[5:]}")
    length = int(rng.integers(20, 62))
    days = length + AFTER
    et = demand.reference_et(record).m_as("mm/day")[begin : begin + days]
    rain = record.precipitation.m_as("mm")[begin : begin + days]
    if len(et) < days:
        return None
    height = lambda litres: float(tub.level(Q(litres, "L")).m_as("cm"))  # noqa: E731
    volume = lambda depth: float(tub.volume(Q(depth, "cm")).m_as("L"))  # noqa: E731
    rim, pots = tub.height.m_as("cm"), tub.height.m_as("cm") - tub.net_pot_depth.m_as("cm")
    full = pots + 2
    hole = float(rng.uniform(full, min(full + 1.5, rim)))
    brim_at = volume(rim) if "blocked hole" in faults else volume(hole)
    low, dry = volume(3), volume(1)
    leaves = count * crops.crop(crop).canopy_area.m_as("m^2")
    lid = tub.lid_area.m_as("m^2")
    grown = demand.full_cover_day(crop)
    factor = rng.normal(noise.factor_mean, noise.factor) if asked_factor is None else asked_factor
    stretch = math.exp(rng.normal(0, noise.timing * (1.6 if "growth" in faults else 1)))
    share = 1 / (1 + math.exp(-rng.normal(-1.6, 0.9)))
    own = math.exp(rng.normal(noise.multiplier_mean, noise.multiplier))
    offset = rng.choice((-1.0, 1.0)) * 1.2 if "stick off" in faults else rng.normal(0, 0.3)
    wind = np.convolve(rng.standard_normal(days + 6), np.ones(7) / math.sqrt(7), "valid")
    error = rng.normal(0, 0.8 * noise.shared / math.sqrt(1 - noise.memory**2))
    by_inch = rng.random() < 0.3
    gauge = rng.random() < 0.6
    now = volume(full) * (1 + rng.normal(0, 0.01))
    made = PlantedLog(tub, place, crop, count, start, faults, factor=factor)
    coming = sorted({int(day) for day in np.cumsum(rng.integers(2, 11, 40)) if day < length} | {length})
    if visits:
        coming = sorted({round(each) for each in np.linspace(length / visits, length, visits)})
    wrong = rng.choice(coming[:-1]) if "wrong reading" in faults and len(coming) > 2 else None
    hidden = int(rng.integers(3, length - 2)) if "unwritten top-up" in faults else None
    fallen = 0.0
    for day in range(days):
        if day in coming:
            depth = height(now) + offset + rng.normal(0, 0.3)
            depth = round(depth / 0.3175) * 0.3175 if by_inch else round(2 * depth) / 2
            if day == wrong:
                depth = max(depth + rng.choice((-1, 1)) * rng.uniform(4, 9), 0.5)
            made.held.append(now)
            row = {
                "day": start + timedelta(days=day),
                "level": Q(min(max(depth, 0.1), rim), "cm"),
                "doubt": Q(4, "mm"),
            }
            if gauge:
                row["rain"] = Q(round(fallen), "mm")
            fallen = 0.0
            if day < length and height(now) < 0.6 * full and rng.random() < 0.7:
                most = min(max(now, volume(min(height(now) + rng.choice((2, 5)), full))), volume(full))
                poured = round(2 * (most - now)) / 2
                if poured > 0:
                    row["poured"] = Q(poured, "L")
                    now += poured * (1 + rng.normal(0, 0.05))
            cutting = "stems cut" in faults and length / 2 < day < length and made.observations
            if cutting and "stems_cut" not in made.observations[-1]:
                row["stems_cut"] = 4
                factor -= rng.uniform(0, 0.3)
            made.observations.append(row)
        if day >= length:
            made.levels.append(max(height(now), 0.0))
            made.litres.append(now)
        if hidden == day:
            now += rng.uniform(3, 8)
        fallen += rain[day]
        now = min(now + share * rain[day] * lid, brim_at)
        breeze = 0.15 * wind[day] if "wind" in faults else 0
        asked = et[day] * leaves * _coefficient(crop, (day + 1) / stretch, grown)
        asked *= math.exp(factor + error + breeze + rng.normal(0, noise.own * noise.shared * own))
        left = max(now - dry, 0.0)
        if now < low:
            asked *= 0.3 + 0.7 * left / (low - dry)
        now -= min(asked, left)
        factor += rng.normal(0, noise.drift * own)
        error = noise.memory * error + rng.normal(0, 0.8 * noise.shared)
        if day < length and now <= dry + 0.2:
            return None  # a tank that ran dry unseen is another story
    return made
