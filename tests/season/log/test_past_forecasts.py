"""A past forecast knows nothing of what came later."""

from dataclasses import replace
from datetime import date

import pytest
from stilltank.season import log
from stilltank.season.plan import Plan
from stilltank.units import Q

ROWS = "2027-06-07,22.5\n2027-06-11,20.5\n2027-06-15,18\n2027-06-18,16\n"


@pytest.fixture(scope="module")
def plan():
    return Plan.make(count=4, start="2027-05-10")


def fitted(tmp_path, plan, rows, **words):
    path = tmp_path / "my-log.csv"
    path.write_text(f"date,level (cm)\n{rows}", encoding="utf-8")
    return log.refit(plan, log.read(path, plan), members=800, **words)


def test_a_later_row_does_not_change_an_earlier_forecast(tmp_path, plan):
    before = log.past_forecasts(fitted(tmp_path, plan, ROWS))
    after = log.past_forecasts(fitted(tmp_path, plan, ROWS + "2027-06-21,11\n"))
    assert [each.made for each in before] == [date(2027, 6, day) for day in (7, 11, 15)]
    assert [(each.low, each.high) for each in before] == [(each.low, each.high) for each in after[:3]]
    assert not after[-1].held
    assert "of the last 4 forecasts held" in log.held_words(after)


def test_an_earlier_day_is_asked_with_what_was_known_then(tmp_path, plan):
    found = fitted(tmp_path, plan, ROWS)
    then = log.forecast(found, "2027-06-11")
    alone = log.forecast(fitted(tmp_path, plan, ROWS[:32]))
    assert then.on == alone.on == date(2027, 6, 11)
    assert then.words == alone.words


def test_a_day_after_the_last_visit_begins_wider(tmp_path, plan):
    found = fitted(tmp_path, plan, ROWS)
    now, later = log.forecast(found), log.forecast(found, "2027-06-24")
    assert later.on == date(2027, 6, 24)
    widths = [high - low for low, _, high in (now.level(now.on), later.level(later.on))]
    assert widths[1] > 2 * widths[0]
    assert later.level(later.on)[1] < now.level(now.on)[1]


def test_a_reading_at_the_end_of_a_range_as_it_is_told_lies_in_it():
    ends = {name: Q(value, "cm") for name, value in {"low": 24.0, "middle": 24.8, "high": 25.6}.items()}
    seen = log.PastForecast(made=date(2027, 6, 1), day=date(2027, 6, 4), read=Q(24, "cm"), **ends)
    assert seen.held
    assert not replace(seen, read=Q(23.9, "cm")).held
