"""Ranges of the re-fit over 200 planted logs, and over 200 of a truth twice as rough; with its time.

Coverage of the 80 % ranges, their mean width and their mean interval score: for the re-fit, for one who knows today's
level and nothing else (wide), and for a straight line through the last five readings, as read (line) and with what
was poured in between added back (sharp line). Then by kind of fault, by weights, and with neighbours. The seeds are
not those that the numbers in data/refit.csv were chosen on.
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
from planted import Noise
from planted_logs import FAULTS, ROUGH, plant_log, weighed

LOGS, HORIZON = 300, 60
EACH = 80  # logs of a kind of fault


def main() -> None:
    """Print a table for each truth."""
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    for title, noise, seed, visits in (
        ("as assumed", None, 7001, None),
        ("twice as rough", ROUGH, 7002, None),
        ("after four visits", None, 7003, 4),
        ("four visits, twice as rough", ROUGH, 7004, 4),
    ):
        _report(title, *_scores(noise, seed, visits))
    _faults()
    _neighbours()
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
        lines = {"line": _line(one), "sharp line": _sharp_line(one)}
        for day in (7, 21):
            truth = max(one.levels[day], 1.0)
            for who, ahead in (("re-fit", coming), ("wide", wide)):
                low, _, high = (max(each.m_as("cm"), 1.0) for each in ahead.level(ahead.dates[day]))
                found[f"{day} days, cm", who].append(_one(low, high, truth))
            for who, line in lines.items():
                if line is not None:
                    found[f"{day} days, cm, long logs", who].append(_one(*line(day), truth))
            if lines["line"] is not None:
                found[f"{day} days, cm, long logs", "re-fit"].append(found[f"{day} days, cm", "re-fit"][-1])
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


def _fit(one, seed, prior=None):
    scenario = budget.Scenario.make(one.tub, crops.Plants(one.crop, one.count), one.place, start=one.start)
    seen = [refit.Observation(**row) for row in one.observations]
    return refit.refit(scenario, seen, seed=seed, prior=prior)


def _forecast(one, seed):
    return _fit(one, seed).forecast(HORIZON)


def _ahead(coming, one, day):
    """Whether a level lay inside, with the width and the score of the range."""
    low, _, high = (max(each.m_as("cm"), 1.0) for each in coming.level(coming.dates[day]))
    return _one(low, high, max(one.levels[day], 1.0))


def _faults():
    """Each kind of fault alone, and readings by a scale."""
    print(f"\nby kind, {EACH} logs each{'':14}7 days: held, width, score    21 days: held, width, score")
    for number, kind in enumerate((*FAULTS, "weighed")):
        rng, rows = np.random.default_rng(7100 + number), {7: [], 21: []}
        for seed in range(EACH):
            one = plant_log(rng, fault="none" if kind == "weighed" else kind)
            if kind == "weighed":
                one = weighed(one, rng)
            coming = _forecast(one, seed)
            for day, into in rows.items():
                into.append(_ahead(coming, one, day))
        told = [np.mean(np.array(each, float), axis=0) for each in rows.values()]
        print(f"{kind:36}" + "".join(f"{held:14.2f}{width:7.1f}{score:7.1f}" for held, width, score in told))


def _neighbours():
    """A tank with one reading beside two with whole logs: alone and with them, where tanks are alike and unlike."""
    noise = Noise()
    print(f"\na new tank beside two others, 21 days, {EACH} benches{'':6}held  width  score")
    for number, (title, share) in enumerate((("unlike", 0.15), ("alike", 0.8))):
        rng = np.random.default_rng(7200 + number)
        rows = defaultdict(list)
        for seed in range(EACH):
            common = rng.normal(0, noise.factor * np.sqrt(share))
            drawn = noise.factor_mean + common + rng.normal(0, noise.factor * np.sqrt(1 - share), 3)
            new = plant_log(rng, visits=1, fault="none", factor=drawn[0])
            beside = [plant_log(rng, fault="none", like=new, factor=each) for each in drawn[1:]]
            alone = _fit(new, seed)
            fits = [_fit(each, seed + place) for place, each in enumerate(beside, 1)]
            for who, told in (("told 0.15", 0.15), ("told 0.8", 0.8)):
                prior = refit.from_neighbours(alone.prior, fits, told)
                rows[who].append(_ahead(_fit(new, seed, prior).forecast(22), new, 21))
            rows["alone"].append(_ahead(alone.forecast(22), new, 21))
        for who, each in sorted(rows.items()):
            held, width, score = np.mean(np.array(each, float), axis=0)
            print(f"  tanks {title:10}{who:36}{held:7.2f}{width:7.1f}{score:7.1f}")


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


def _sharp_line(one):
    """A straight line in litres, through the last five readings, as if nothing had been poured in between."""
    last = one.observations[-5:]
    if len(last) < 3:
        return None
    litres = np.array([one.tub.volume(row["level"]).m_as("L") for row in last])
    poured = [row["poured"].m_as("L") if "poured" in row else 0.0 for row in last]
    without = litres - np.concatenate(([0.0], np.cumsum(poured[:-1])))
    days = np.array([(row["day"] - last[-1]["day"]).days for row in last])
    slope, height = np.polyfit(days, without, 1)
    spare = np.sum((slope * days + height - without) ** 2) / (len(days) - 2)
    moved = np.sum((days - days.mean()) ** 2)
    start = litres[-1] + poured[-1]

    def ends(ahead):
        off = 1.28 * np.sqrt(spare * (1 + 1 / len(days) + (ahead - days.mean()) ** 2 / moved))
        most = one.tub.capacity.m_as("L")
        low, high = (np.clip(start + slope * ahead + side * off, 0, most) for side in (-1, 1))
        return tuple(max(float(one.tub.level(Q(float(each), "L")).m_as("cm")), 1.0) for each in (low, high))

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
