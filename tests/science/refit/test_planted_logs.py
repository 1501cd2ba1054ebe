"""The stated 80 % ranges, held against planted logs; the large run stands in tests/benchmarks/bench_log.py."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from planted_logs import ROUGH, plant_log
from stilltank.science import budget, crops, refit


def forecast_of(one, seed, **options):
    scenario = budget.Scenario.make(one.tub, crops.Plants(one.crop, one.count), one.place, start=one.start)
    seen = [refit.Observation(**row) for row in one.observations]
    return refit.refit(scenario, seen, seed=seed, members=2000, **options).forecast(22)


@cache
def drawn(noise, seed, count=40):
    """Low, middle and high end and truth, cm, of levels after 7 and 21 days."""
    rng, rows = np.random.default_rng(seed), []
    for number in range(count):
        one = plant_log(rng, noise)
        coming = forecast_of(one, number)
        for day in (7, 21):
            ends = (each.m_as("cm") for each in coming.level(coming.dates[day]))
            rows.append([max(each, 1.0) for each in (*ends, one.levels[day])])
    return np.array(rows).T


def held(noise, seed, stretch=1.0):
    """Share of the levels inside the ranges; ``stretch`` widens these on purpose."""
    low, middle, high, truth = drawn(noise, seed)
    least, most = (middle + stretch * (end - middle) for end in (low, high))
    return float(np.mean((least - 1e-6 <= truth) & (truth <= most + 1e-6)))


@pytest.mark.parametrize(("noise", "seed"), [(None, 31), (ROUGH, 32)])
def test_eight_of_ten_lie_inside(noise, seed):
    # 80 levels of 40 tanks; two of one tank hang together, so one standard error is about 0.06
    assert 0.68 <= held(noise, seed) <= 0.93


def test_ranges_half_or_twice_as_wide_would_be_noticed():
    assert held(None, 31, stretch=0.5) < 0.68
    assert held(None, 31, stretch=2.0) > 0.93


def test_four_visits_narrow_the_range_against_one_who_only_knows_the_level_today():
    rng, alone, looked = np.random.default_rng(33), [], []
    for number in range(12):
        one = plant_log(rng, visits=4, fault="none")
        last = one.observations[-1]
        blind = replace(
            one, observations=[{**last, "replaced": True, "poured_to": last["level"], "after_adding": True}]
        )
        for each, into in ((blind, alone), (one, looked)):
            coming = forecast_of(each, number)
            low, _, high = coming.level(coming.dates[21])
            into.append(float((high - low).m_as("cm")))
    assert np.mean(looked) < 0.7 * np.mean(alone)
