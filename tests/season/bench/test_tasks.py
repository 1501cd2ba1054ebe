"""The calendar of a bench, read back: each crop and group, rounds, looks, the end; read twice, nothing doubles."""

import itertools
import re
from collections import Counter
from datetime import timedelta

import pytest
from stilltank.science import budget
from stilltank.season.bench import Bench
from stilltank.season.plan import Group, Plan, Reading
from stilltank.units import Problem, Q, Unreadable


def plans():
    return {
        "A": Plan.make(count=6, top_up=budget.by_hand(7, strength=0.5)),
        "B": Plan.make(crop="basil", count=4, beside=[Group("lettuce", 2)]),
        "C": Plan.make(crop="basil", count=4),
    }


@pytest.fixture(scope="module")
def bench():
    return Bench.of(plans())


def titles(bench, name):
    return [task.title for task in bench.tasks()[name]]


def uids(path):
    return re.findall(r"^UID:(.+?)\r?$", path.read_text(), re.M)


def test_a_tank_is_emptied_once_when_its_last_crop_ends(bench):
    todo = bench.tasks()["B"]
    empty = [task for task in todo if task.kind == "empty"]
    assert [task.date for task in empty] == [bench.plans["B"].outlook.end]
    out = next(task for task in todo if task.kind == "clear")
    assert out.title == "Take out: Lettuce"
    assert out.date == bench.plans["B"].outlook.courses[1].end < empty[0].date


def test_each_group_is_sown_and_set_in(bench):
    for kind in ("Sow", "Put into the tank", "Cut"):
        assert {f"{kind}: Basil", f"{kind}: Lettuce"} <= set(titles(bench, "B"))


def test_rounds_are_those_of_the_routine_and_looks_those_of_the_plan(bench):
    todo = bench.tasks()
    rounds = [task.date for task in todo[""] if task.kind == "round"]
    assert tuple(rounds) == bench.round_days
    start = bench.plans["A"].start
    assert all((day - start).days % 7 == 0 for day in rounds)
    looks = {task.date for task in todo["A"] if task.kind in ("look", "fill")}
    assert looks == {look.day for look in bench.plans["A"].outlook.check_days}


def test_no_week_of_the_season_goes_by_without_a_look(bench):
    days = sorted(
        task.date for each in bench.tasks().values() for task in each if task.kind in ("look", "round")
    )
    gaps = [later - earlier for earlier, later in itertools.pairwise(days)]
    assert max(gaps) < timedelta(days=14)


def test_a_calendar_that_is_read_twice_doubles_nothing(bench, tmp_path):
    once = uids(bench.calendar(tmp_path / "once", made="2027-01-01"))
    assert max(Counter(once).values()) == 1
    again = Bench.of(plans()).calendar(tmp_path / "again.ics", made="2027-02-01", system="US")
    assert uids(again) == once
    assert len(once) == sum(len(each) for each in bench.tasks().values())


def test_one_more_tank_leaves_the_tasks_of_the_others_as_they_are(bench, tmp_path):
    more = Bench.of({**plans(), "D": Plan.make(crop="basil", count=2)})
    before = {
        (task.date, task.title)
        for name in "ABC"
        for task in bench.tasks()[name]
        if task.kind not in ("look",)
    }
    after = {(task.date, task.title) for name in "ABC" for task in more.tasks()[name]}
    assert before <= after
    old, new = (
        set(uids(one.calendar(tmp_path / name, made="2027-01-01")))
        for one, name in ((bench, "a"), (more, "b"))
    )
    assert len(old & new) > 0.9 * len(old)


def test_a_round_says_in_a_few_words_where_and_how_much(bench):
    day = bench.round_days[-1]
    task = next(task for task in bench.tasks()[""] if task.date == day)
    litres = bench.round(day).stops[0].litres.m_as("L")[1]
    assert task.text.startswith("Tank A. Carry ")
    assert f" A {litres:.2g} L. Up to the mark" in task.text
    assert len(task.text) < 250


def test_titles_name_their_tank(bench, tmp_path):
    text = bench.calendar(tmp_path / "all", made="2027-01-01").read_text()
    assert "SUMMARY:A: Sow: Snapdragon" in text
    assert "SUMMARY:C: Sow: Basil" in text
    assert "SUMMARY:Watering round" in text


def test_a_tank_in_mid_season_is_not_sown_again():
    running = Bench.of({"A": Plan.make(reading=Reading("2027-06-20", Q(18, "cm")))})
    kinds = {task.kind for task in running.tasks()["A"]}
    assert "sow" not in kinds
    assert "fill" not in kinds
    assert "empty" in kinds


def test_what_cannot_be_written_is_said(bench, tmp_path):
    with pytest.raises(Unreadable, match="is no time"):
        bench.calendar(tmp_path / "all", made="yesterday")
    with pytest.raises(Problem):
        bench.calendar(tmp_path / "no such folder" / "all")
    with pytest.raises(Problem, match="metric"):
        bench.calendar(tmp_path / "all", system="imperial")
