"""Ranges of the re-fit over 200 planted logs, and over 200 of a truth twice as rough; with its time.

Coverage of the 80 % ranges, their mean width and their mean interval score: for the re-fit, for one who knows today's
level and nothing else (wide), and for a straight line through the last five readings (line).
"""

import os
import platform
import sys
from collections import defaultdict
from dataclasses import replace
from pathlib import Path
from time import perf_counter

import numpy as np
from stilltank.science import budget, crops, refit
from stilltank.units import Q

sys.path.insert(0, str(Path(__file__).parents[1]))
from planted_logs import ROUGH, plant_log

LOGS, HORIZON = 200, 60


def main() -> None:
    """Print a table for each truth."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    for title, noise, seed, visits in (
        ("as assumed", None, 1001, None),
        ("twice as rough", ROUGH, 1002, None),
        ("after four visits", None, 1003, 4),
    ):
        _report(title, *_scores(noise, seed, visits))
    _bench_of_four()


def _scores(noise, seed, visits):
    rng, found, seconds = np.random.default_rng(seed), defaultdict(list), 0.0
    for number in range(LOGS):
        one = plant_log(rng, noise, visits)
        begin = perf_counter()
        coming = _forecast(one, number)
        seconds += perf_counter() - begin
        last = one.observations[-1]
        only = {**last, "replaced": True, "poured_to": last["level"], "after_adding": True}
        wide = _forecast(replace(one, observations=[only]), number)
        line = _line(one)
        for day in (7, 21):
            truth = max(one.levels[day], 1.0)
            for who, ahead in (("re-fit", coming), ("wide", wide)):
                low, _, high = (max(each.m_as("cm"), 1.0) for each in ahead.level(ahead.dates[day]))
                found[f"{day} days, cm", who].append(_one(low, high, truth))
            if line is not None:
                found[f"{day} days, cm", "line"].append(_one(*line(day), truth))
                found[f"{day} days, cm, same logs", "re-fit"].append(found[f"{day} days, cm", "re-fit"][-1])
        litres, levels = np.array(one.litres), np.array(one.levels)
        for name, hit in (
            ("run dry, days", litres <= coming.unusable.m_as("L") + 0.2),
            ("next top-up, days", levels <= coming.top_up_level.m_as("cm")),
        ):
            truth = min(int(hit.argmax()) if hit.any() else HORIZON, HORIZON)
            if truth == 0:
                continue
            for who, ahead in (("re-fit", coming), ("wide", wide)):
                picked = ahead.run_dry if name.startswith("run") else ahead.next_top_up
                ends = [HORIZON if day is None else (day - ahead.dates[0].item()).days for day in picked]
                found[name, who].append(_one(ends[0] - 0.5, ends[2] + 0.5, truth))
    return found, seconds / LOGS


def _forecast(one, seed):
    scenario = budget.Scenario.make(one.tub, crops.Plants(one.crop, one.count), one.place, start=one.start)
    seen = [refit.Observation(**row) for row in one.observations]
    return refit.refit(scenario, seen, seed=seed).forecast(HORIZON)


def _line(one):
    """A straight line through the last five readings, with the scatter about it growing with the days."""
    last = one.observations[-5:]
    if len(last) < 3:
        return None
    days = [(row["day"] - last[-1]["day"]).days for row in last]
    levels = [float(row["level"].m_as("cm")) for row in last]
    slope = np.polyfit(days, levels, 1)
    scatter = float(np.std(np.polyval(slope, days) - levels)) + 0.3

    def ends(ahead):
        middle, half = max(np.polyval(slope, ahead), 1.0), 1.28 * scatter * np.sqrt(1 + ahead / 7)
        return max(middle - half, 1.0), max(middle + half, 1.0)

    return ends


def _one(low, high, truth):
    return low - 1e-6 <= truth <= high + 1e-6, high - low, float(refit.interval_score(low, high, truth))


def _report(title, found, seconds):
    print(f"\n{title}: {LOGS} logs, {1000 * seconds:.0f} ms for a fit and its forecast")
    print(f"{'':28}{'':8}{'held':>7}{'width':>8}{'score':>8}{'logs':>6}")
    for (what, who), rows in sorted(found.items()):
        held, width, score = np.mean(np.array(rows, float), axis=0)
        print(f"{what:28}{who:8}{held:7.2f}{width:8.1f}{score:8.1f}{len(rows):6}")


def _bench_of_four() -> None:
    """Four tanks of 60 visits each, as a ratio to 200 simulated seasons of one of them."""
    from datetime import date, timedelta

    scenario = budget.Scenario.make(
        "quillgate-tub", crops.Plants("basil", 4), "quillgate", start="2027-05-10"
    )
    rows = [
        refit.Observation(day=date(2027, 5, 11) + timedelta(days=day), level=Q(24.5 - 0.25 * day, "cm"))
        for day in range(60)
    ]
    refit.refit(scenario, rows)
    begin = perf_counter()
    scenario.ensemble()
    peer = perf_counter() - begin
    begin = perf_counter()
    for seed in range(4):
        refit.refit(scenario, rows, seed=seed).forecast(HORIZON)
    took = perf_counter() - begin
    print(f"\nfour tanks of 60 visits: {took:.2f} s, {took / peer:.0f} times one plan's 200 seasons")
