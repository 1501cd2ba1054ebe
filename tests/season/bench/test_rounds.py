"""The watering round, held against the season's own table of what is added."""

import re
from datetime import date, timedelta

import numpy as np
import pytest
from stilltank.science import budget
from stilltank.season.bench import Bench
from stilltank.season.plan import Plan
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

START = date(2027, 4, 26)


def tended(**more):
    return Plan.make(**{"count": 6, "top_up": budget.by_hand(3, strength=0.5), **more})


@pytest.fixture(scope="module")
def bench():
    return Bench.of(
        {
            "A": tended(),
            "B": Plan.make(crop="basil", start="2027-05-10"),
            "C": tended(crop="basil", top_up=budget.by_hand(2)),
            "D": tended(crop="basil", top_up=budget.drip(Q(0.5, "L/hour"), Q(1, "hour"))),
        }
    )


def test_litres_are_those_of_the_season_on_that_day(bench):
    day = START + timedelta(days=90)  # a multiple of 2 and of 3: both are visited
    found = bench.round(day)
    assert [stop.tank for stop in found.stops] == ["A", "C"]
    for stop in found.stops:
        added = bench.plans[stop.tank].outlook.season.top_up.m_as("L")[:, 90]
        np.testing.assert_allclose(stop.litres.m_as("L"), np.quantile(added, [0.1, 0.5, 0.9]))
    assert [load.strength for load in found.loads] == [0.0, 0.5]  # carried apart
    assert found.looks == {"B": "nothing is added by its plan", "D": "its drip tops it up"}
    assert found.next_day in (day + timedelta(days=2), day + timedelta(days=3), None)


def test_a_drip_says_what_its_reservoir_needs_for_a_week(bench):
    found = bench.round(START + timedelta(days=90))
    assert found.reservoirs["D"].m_as("L") == pytest.approx(7 * 0.5)  # half a litre an hour for an hour a day
    assert "For a week, have in the reservoir of D 3.5 L." in found.sentences()


def test_one_strength_is_added_up_season_by_season():
    bench = Bench.of({"A": tended(), "B": tended(count=4)})
    day = next(day for day in bench.round_days if len(bench.round(day).stops) == 2)
    found = bench.round(day)
    at = (day - START).days
    together = sum(plan.outlook.season.top_up.m_as("L")[:, at] for plan in bench.plans.values())
    np.testing.assert_allclose(found.loads[0].litres.m_as("L"), np.quantile(together, [0.1, 0.5, 0.9]))


@pytest.mark.parametrize(("can", "cans"), [(1, 3), (2, 2), (3, 1)])
def test_cans_hold_enough_in_9_of_10_seasons(can, cans):
    bench = Bench.of({"A": tended(), "B": tended()})
    day = max(bench.round_days, key=lambda day: bench.round(day).loads[0].litres.magnitude[-1])
    most = bench.round(day).loads[0].litres.m_as("L")[-1]
    assert 2 < most < 3  # two tanks of a centimetre each: 1.2 to 1.4 L by the size of the tub
    assert bench.round(day, can=Q(can, "L")).loads[0].cans == cans


def test_nobody_carries_more_than_two_cans_at_a_time():
    found = Bench.of([tended() for _ in range(20)])
    day = max(found.round_days, key=lambda day: len(found.round(day).stops))
    busy = found.round(day)
    assert busy.trips == -(-busy.loads[0].cans // 2)
    assert busy.trips > 1
    assert f"Walk {busy.trips} times" in str(busy)
    assert sum(load.litres.m_as("L")[1] for load in busy.loads) < 60  # common practice: nobody carries that


def test_no_tank_takes_more_than_its_refill_limit():
    greedy = Plan.make(count=6, crop="basil", top_up=budget.by_hand(14, Q(20, "cm"), Q(15, "cm")))
    bench = Bench.of({"A": greedy})
    plan = bench.plans["A"]
    season, tub = plan.outlook.season, plan.tank
    held = 0
    for day in bench.round_days:
        stop = bench.round(day).stops[0]
        at = (day - START).days
        before = tub.level(season.volume[:, at - 1])
        limit = (tub.volume(before + Q(2, "cm")) - season.volume[:, at - 1]).m_as("L")
        hung = (before < tub.height - tub.net_pot_depth).all()
        if hung:
            assert stop.litres.m_as("L")[-1] <= limit.max() + 1e-6  # 2 cm: Kratky 2004, abstract
        held += stop.held_back
    assert held
    assert "Come more often" in " ".join(bench.round(bench.round_days[-1]).sentences())


def test_a_day_without_a_round_says_when_the_next_is(bench):
    day = bench.round_days[0] - timedelta(days=1)
    found = bench.round(day)
    assert found.stops == ()
    assert found.next_day == bench.round_days[0]
    assert found.sentences()[0] == "No tank takes water."


def test_tanks_out_of_season_are_idle(bench):
    before = bench.round("2027-04-01")
    assert set(before.idle) == {"A", "B", "C", "D"}
    assert before.idle["B"] == "it is filled on 10 May"
    assert "its season ended" in bench.round("2028-01-01").idle["A"]


def test_us_units_are_said_in_us_units(bench):
    said = " ".join(bench.round(START + timedelta(days=90), can=Q(2, "gallon")).sentences("US"))
    assert "US gal" in said
    assert not re.search(r"\d (L|cm)\b", said)


@pytest.mark.parametrize(
    ("day", "can", "kind", "says"),
    [
        ("tomorrow", None, Problem, "Write the year first"),
        ("2027-06-20", 10, UnitNeeded, "10"),
        ("2027-06-20", Q(100, "L"), OutOfRange, "1 L to 20 L|not carried"),
        ("2027-06-20", Q(10, "kg"), UnitNeeded, "can"),
    ],
)
def test_what_is_no_day_or_can_is_refused(bench, day, can, kind, says):
    with pytest.raises(kind, match=says):
        bench.round(day, can)
