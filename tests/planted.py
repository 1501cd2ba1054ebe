"""Planted tanks: what happens to tubs by a simulation that shares nothing with the water budget.

Each tub has a factor, a rain share and a timing that nobody knows, hidden errors of the weather, days of its own, and
the weather of one year of a record. The canopy grows along a logistic curve and not between corners. What is drawn,
and how widely, is judgement: other tubs than these may behave otherwise.
"""

import math
from dataclasses import dataclass

import numpy as np
from stilltank.science import crops, demand, tank, weather
from stilltank.units import Q

TUB = tank.preset("quillgate-tub")
CROPS = ("lettuce", "basil", "zinnia", "snapdragon", "calendula", "chard", "cosmos", "marigold")
PLACES = ("new-york", "seattle", "quillgate")
LONGEST = 21  # days that are followed


@dataclass(frozen=True)
class Noise:
    """How widely the hidden things spread; logarithms where they are factors."""

    factor: float = 0.40
    factor_mean: float = -0.05
    timing: float = 0.20
    shared: float = 0.12  # of the weather error
    memory: float = 0.5
    own: float = 0.6  # the tank's own day, as a part of ``shared``
    drift: float = 0.02
    multiplier: float = 0.7  # of what is the tank's own
    multiplier_mean: float = 0.2


@dataclass(frozen=True)
class PlantedTank:
    """What is known of a tub at the start, and the litres it really held in the evenings."""

    place: str
    crop: str
    count: int
    start: str
    age: int
    filled: float
    litres: list[float]


def plant(rng, noise=None):
    """Grow one tub for three weeks."""
    noise = noise or Noise()
    place, crop = PLACES[rng.integers(len(PLACES))], CROPS[rng.integers(len(CROPS))]
    grown = demand.full_cover_day(crop)
    age, count = int(rng.integers(0, 2 * grown)), int(rng.integers(2, 7))
    filled = float(rng.uniform(14, 36))
    record = weather.record(place)
    year = int(rng.choice(record.years))
    first = np.datetime64(f"{year}-05-10") + np.timedelta64(int(rng.integers(0, 110)), "D")
    litres = _grow(rng, noise, _weather(record, first), crop, count, age, grown, filled)
    return PlantedTank(place, crop, count, f"2027-{str(first)[5:]}", age, filled, litres)


def _weather(record, first):
    """Evapotranspiration and rain, mm, of the days from ``first`` on."""
    begin = int((first - record.dates[0]).astype(int))
    days = slice(begin, begin + LONGEST)
    return demand.reference_et(record).m_as("mm/day")[days], record.precipitation.m_as("mm")[days]


def _coefficient(crop, age, grown):
    """Logistic from 0.15 to the full one: half of the way at 0.7 of the time to the first flower or harvest."""
    full = crops.crop(crop).kcb_mid
    return 0.15 + (full - 0.15) / (1 + math.exp(-(age / grown - 0.7) / 0.14))


def _grow(rng, noise, sky, crop, count, age, grown, filled):
    factor = rng.normal(noise.factor_mean, noise.factor)
    rain_share = 1 / (1 + math.exp(-rng.normal(-1.6, 0.9)))
    stretch = math.exp(rng.normal(0, noise.timing))
    own = math.exp(rng.normal(noise.multiplier_mean, noise.multiplier))
    leaves = count * crops.crop(crop).canopy_area.m_as("m^2")
    lid = TUB.lid_area.m_as("m^2")
    brim, low, dry = (_litres(depth) for depth in (TUB.height.m_as("cm"), 3, 1))
    error = rng.normal(0, 0.8 * noise.shared / math.sqrt(1 - noise.memory**2))
    now, evenings = filled, []
    for day, (evaporation, rain) in enumerate(zip(*sky, strict=True), start=1):
        now = min(now + rain_share * rain * lid, brim)
        today = rng.normal(0, noise.own * noise.shared * own)
        asked = evaporation * leaves * _coefficient(crop, (age + day) / stretch, grown)
        asked *= math.exp(factor + error + today)
        left = max(now - dry, 0.0)
        if now < low:
            asked *= 0.3 + 0.7 * left / (low - dry)
        now -= min(asked, left)
        evenings.append(now)
        factor += rng.normal(0, noise.drift * own)
        error = noise.memory * error + rng.normal(0, 0.8 * noise.shared)
    return evenings


def _litres(depth):
    return float(TUB.volume(Q(depth, "cm")).m_as("L"))


def coverage(ensemble_of, count, seed, noise=None):
    """Share of planted tanks inside the 80 % band after 7 and after 21 days, and the mean width of the band, L."""
    rng = np.random.default_rng(seed)
    inside, widths = np.zeros(2), np.zeros(2)
    for number in range(count):
        one = plant(rng, noise)
        low, high = ensemble_of(one, seed + number)
        for place, day in enumerate((7, 21)):
            truth, least, most = one.litres[day - 1], low[day - 1], high[day - 1]
            inside[place] += least - 1e-6 <= truth <= most + 1e-6
            widths[place] += most - least
    return inside / count, widths / count
