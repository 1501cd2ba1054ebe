"""What several tanks of a log teach each other, and when a tank is news."""

import dataclasses
from datetime import date

import pytest
from stilltank.season import log
from stilltank.season.bench import Bench
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q

A = "2027-06-07,A,22.5\n2027-06-11,A,20.5\n2027-06-15,A,17.5\n2027-06-18,A,15\n2027-06-21,A,12.5\n"
FEW_B = "2027-06-21,B,14\n"


@pytest.fixture(scope="module")
def plan():
    return Plan.make(crop="basil", count=4, start="2027-05-10")


def read(tmp_path, text, plans, heading="date,tank,level (cm)"):
    path = tmp_path / "my-log.csv"
    path.write_text(f"{heading}\n{text}", encoding="utf-8")
    return log.read(path, plans)


def test_alike_neighbours_teach_a_tank_with_few_readings_more_than_unlike_ones(tmp_path, plan):
    plans = {"A": plan, "B": plan}
    kept = read(tmp_path, A + FEW_B, plans)
    found = {
        together: log.refit(plans, kept, members=1000, together=together)
        for together in (None, "unlike", "alike")
    }
    spreads = [found[together].fits["B"].prior.spread for together in (None, "unlike", "alike")]
    assert spreads[0] > spreads[1] > spreads[2]
    assert found["alike"].fits["A"].prior == found[None].fits["A"].prior
    assert any("learned from A, taken as alike" in each for each in found["alike"].words)
    with pytest.raises(Problem, match="alike"):
        log.refit(plans, kept, together="joint")


def test_a_bench_or_a_list_of_plans_gives_what_plans_by_code_give(tmp_path, plan):
    plans = {"A": plan, "B": plan.change(count=3)}
    kept = read(tmp_path, A + FEW_B, plans)
    found = [
        log.refit(given, kept, members=200).factors for given in (plans, [*plans.values()], Bench.of(plans))
    ]
    assert found[0] == found[1] == found[2]


def test_tanks_with_their_own_readings_learn_nothing_from_each_other(tmp_path, plan):
    plans = {"A": plan, "B": plan}
    kept = read(tmp_path, A + A.replace(",A,", ",B,"), plans)
    alone, beside = (log.refit(plans, kept, members=200, together=each) for each in (None, "alike"))
    assert alone.factors == beside.factors
    assert "none learned from its neighbours" in beside.words[-1]


def test_a_rain_gauge_of_one_tank_serves_all_of_the_place(tmp_path, plan):
    elsewhere = plan.change(site=dataclasses.replace(plan.site, name="elsewhere"))
    plans = {"A": plan, "B": plan, "C": elsewhere}
    rows = "2027-06-07,{0},22.5,{1}\n2027-06-11,{0},20.5,{2}\n"
    text = rows.format("A", 4, 30) + rows.format("B", "", "") + rows.format("C", "", "")
    found = log.refit(plans, read(tmp_path, text, plans, "date,tank,level (cm),rain (mm)"), members=200)
    rain = {
        code: [None if each.rain is None else each.rain.m_as("mm") for each in fit.observations]
        for code, fit in found.fits.items()
    }
    assert rain == {"A": [4, 30], "B": [4, 30], "C": [None, None]}


def test_a_tank_that_parts_company_is_news_once_and_the_greater_drinker_is_named(tmp_path, plan):
    plans = {"A": plan, "B": plan}
    slow = "2027-06-07,B,24.5\n2027-06-11,B,24\n2027-06-15,B,23.5\n2027-06-18,B,23\n2027-06-21,B,22.5\n"
    found = log.refit(plans, read(tmp_path, A + slow, plans), members=1000)
    (news,) = [each for each in found.words if "as much as" in each]
    assert news.startswith("Tank A drinks ")
    other = {"A": plan, "B": plan.change(crop="zinnia", count=4)}
    found = log.refit(other, read(tmp_path, A + slow, other), members=1000)
    assert not any("as much as" in each for each in found.words)


def test_plans_go_on_from_the_last_visit_with_what_was_poured(tmp_path, plan):
    kept = read(tmp_path, "2027-06-18,15,\n2027-06-21,13,3\n", plan, "date,level (cm),added water (L)")
    found = log.refit(plan, kept, members=500)
    reading = found.plans[""].reading
    assert reading.day == date(2027, 6, 21)
    poured = plan.tank.volume(reading.level) - plan.tank.volume(Q(13, "cm"))
    assert 2 < poured.m_as("L") < 4
    assert found.planned[""] is plan
