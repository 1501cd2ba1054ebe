"""What a forecast says to do: amounts that a jug shows, whole days, days that come, in the person's units."""

import re

import pytest
from stilltank.science.budget import float_valve
from stilltank.science.refit import Week
from stilltank.season import log
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    path = tmp_path_factory.mktemp("log") / "my-log.csv"
    path.write_text("date,level (cm)\n2027-06-14,18\n2027-06-18,15.5\n2027-06-21,13\n", encoding="utf-8")
    plan = Plan.make(crop="basil", count=4, start="2027-05-10")
    return log.refit(plan, log.read(path, plan), members=1000)


def test_what_is_to_add_is_no_more_than_is_safe_and_what_a_jug_shows(found):
    for system, step, unit in (("metric", 0.1, "L"), ("US", 0.25, "quart")):
        made = log.forecast(found, system=system)
        steps = made.safe_amount.m_as(unit) / step
        assert steps == pytest.approx(round(steps))
        assert 0 < made.safe_amount <= made.coming.safe_amount
        assert made.safe_days > made.safe_days_alone
        assert made.words[0].startswith("Add ")
        assert made.headline.startswith("Add ")
    assert " cm" not in str(made)
    assert " L" not in str(made)


def test_no_sentence_is_long_and_no_day_has_passed(found):
    for on in (None, "2027-06-16", "2027-06-24"):
        made = log.forecast(found, on)
        for sentence in re.split(r"(?<=[.;:]) ", str(made).replace("\n", " ")):
            assert len(sentence.split()) <= 30
        assert made.next_top_up[0] >= made.on


def test_the_turning_point_turns_what_to_do(found):
    made = log.forecast(found, "2027-06-16")
    look = made.next_look
    assert look.changes
    assert f"on {look.day:%A} {look.day.day} {look.day:%B}: if it reads under" in str(made)
    low, _, high = made.level(look.day)
    assert low < look.turning_point < high + Q(1, "cm")


def test_a_hot_week_falls_further_and_is_said(found):
    hot = log.forecast(found, week=Week(warmth="hot", rain=Q(0, "mm")))
    assert hot.level("2027-06-28")[1] < log.forecast(found).level("2027-06-28")[1]
    assert "the next 7 days hot, no rain." in str(hot)


def test_a_last_reading_that_surprised_is_asked_for_once_more(found, tmp_path):
    path = tmp_path / "my-log.csv"
    path.write_text(f"{found.log.path.read_text()}2027-06-22,8.5\n", encoding="utf-8")
    odd = log.forecast(log.refit(found.planned, log.read(path), members=1000))
    assert odd.words[1] == (
        "The last reading, 8.5 cm, was not expected, and nothing contradicts it yet. Please read once more."
    )
    assert "read once more" not in str(log.forecast(found))


def test_a_routine_is_not_called_left_alone(found):
    made = log.forecast(found, top_up=float_valve(Q(14, "cm")))
    assert "Left alone" not in str(made)
    assert "if nothing is added" not in str(made)


@pytest.mark.parametrize(
    "words", [{"on": "tomorrow"}, {"on": "2027-05-01"}, {"system": "old"}, {"tank": "Z"}]
)
def test_what_cannot_be_asked_is_refused_in_words(found, words):
    with pytest.raises(Problem):
        log.forecast(found, **words)
