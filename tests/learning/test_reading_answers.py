"""Answers as people type them: sums, so much in a day, whole days, a day without its year."""

from datetime import date

import pytest
from stilltank.chapters.bank import ask
from stilltank.learning.predictions import read_day
from stilltank.learning.questions import State, judge
from stilltank.learning.questions.answers import worked_out
from stilltank.units import Unreadable


@pytest.mark.parametrize(
    ("typed", "result"),
    [
        ("36000 × 0.0073", "262.8"),
        ("36 000 × 0.0073 g", "262.8 g"),
        ("36 * 0.2 g", "7.2 g"),
        ("36 g × 0.2", "7.2 g"),
        ("45000 ÷ 100 mL", "450 mL"),
        ("45000 mL / 100 × 2", "900 mL"),
        ("45 x 10 mL", "450 mL"),
        ("2 + 3 L", "5 L"),
        ("10 - 4 × 2 L", "2 L"),
        ("10 – 4 + 1 L", "7 L"),
        ("6,2 × 2 L", "12.4 L"),
        ("0.2 × 36 g/L", "7.2 g/L"),
        ("36 × 0.2 = 7.2 g", "7.2 g"),
    ],
)
def test_a_sum_with_clear_signs_is_worked_out(typed, result):
    assert worked_out(typed)[0] == result


@pytest.mark.parametrize(
    "typed",
    [
        "5-6 L",
        "3/4 gal",
        "2 L + 3 L",
        "2**3 L",
        "1 / 0 × 3 L",
        "1,500 × 2 mL",
        "9e9 × 9e300 g",
        "a × b",
        "5 × -3 L",
    ],
)
def test_what_is_no_clear_sum_is_left_as_it_is(typed):
    assert worked_out(typed) == (typed, "")


def test_a_sum_counts_and_is_said():
    asked = ask("mixing-dose", "A1")  # 45 L / 100 = 450 mL
    found = judge(asked, "45000 ÷ 100 mL")
    assert found.state == State.RIGHT
    assert "45000 ÷ 100 worked out as 450" in found.sentence


@pytest.mark.parametrize(
    ("id", "typed", "state"),
    [  # A1: 3.2 cm of 0.15 m² in 3 days: 4.8 L / 3 = 1.6 L a day
        ("water-use-a-day", "1.6 L", State.RIGHT),
        ("water-use-a-day", "1600 mL", State.RIGHT),
        ("water-use-a-day", "1.6 L a day", State.RIGHT),
        ("water-use-a-day", "1.6 kg", State.UNIT),
        # A1: 40 mm on 0.2 m² in an hour: 8 L / 60 = 0.133 L a minute
        ("water-storm-flow", "0.133 L", State.RIGHT),
        ("water-storm-flow", "192 L", State.OTHER),
        # A1: 3 mm × 0.552 × 4 × 0.04 m² = 0.265 L today
        ("water-daily-use", "0.265 L", State.RIGHT),
        ("water-daily-use", "0.265 L a day", State.RIGHT),
        ("water-daily-use", "0.265 L/h", State.OTHER),
        # A1: no time is named in the question
        ("mixing-dose", "450 mL/day", State.UNIT),
        ("flowering-lamp-hours", "2.4 h a day", State.RIGHT),
    ],
)
def test_so_much_in_the_time_that_is_asked_for(id, typed, state):
    assert judge(ask(id, "A1"), typed).state == state


@pytest.mark.parametrize(
    ("id", "typed", "right"),
    [  # by hand, A1: 9 L / (8 × 0.25 L) = 4.5 days; 52.6 L lasts 4 whole days and not 5
        ("water-days-left", "4 days", True),
        ("water-days-left", "5 days", False),
        # 16 + (838 - 16 × 15.9) / 16.9 + 6 = 56.5 days before: 57 is early enough, 55 is not
        ("flowering-sow-before", "57 days", True),
        ("flowering-sow-before", "55 days", False),
        ("flowering-sow-before", "58 days", False),
    ],
)
def test_whole_days_on_the_safe_side_count(id, typed, right):
    assert judge(ask(id, "A1"), typed).good == right


def test_whole_days_are_said():
    assert (
        "in whole days on the safe side; the sum gives 4.5 days"
        in judge(ask("water-days-left", "A1"), "4 days").sentence
    )


def test_the_chosen_system_counts_for_an_answer():
    asked = ask("start-gallons", "A1")  # 18.93 L = 5 US gal
    assert judge(asked, "5 gal").state == State.UNCLEAR
    assert judge(asked, "5 gal", system="US").good


@pytest.mark.parametrize(
    "text", ["24 June", "June 24", "24th June", "Jun 24", "the 24th of June", "24 June 2027"]
)
def test_a_day_without_its_year_where_the_question_names_it(text):
    assert read_day(text, year=2027) == date(2027, 6, 24)


@pytest.mark.parametrize("text", ["24 June", "24/6", "6/24", "June", "24"])
def test_a_day_without_its_year_is_refused_where_none_is_known(text):
    with pytest.raises(Unreadable):
        read_day(text)


@pytest.mark.parametrize("text", ["24/6", "6/24", "June", "24", "31 June", "29 February"])
def test_what_is_no_day_of_the_year_is_refused(text):
    with pytest.raises(Unreadable):
        read_day(text, year=2027)


@pytest.mark.parametrize(
    ("question", "typed"),
    [
        ("mixing-element-from-salt", "{:.3f} ppm"),  # what is counted is settled by the question
        ("ph-titration", "{:.3f} mg per litre"),
        ("ph-alkalinity", "{:.3f} mmol per litre"),
    ],
)
def test_what_the_question_settles_is_not_asked_again(question, typed):
    asked = ask(question, "A1")
    assert judge(asked, typed.format(asked.value)).state in (State.RIGHT, State.OTHER_UNIT)


def test_a_decimal_comma_before_three_digits_is_read_by_the_size_that_fits():
    """13,376 days are thirteen days and a bit, where the answer is about a fortnight."""
    asked = ask("flowering-days-saved", "A1")
    found = judge(asked, f"{asked.value:.3f} days".replace(".", ","))
    assert found.state == State.RIGHT
    assert f"read as {asked.value:.3f} days" in found.sentence
    assert judge(asked, f"{asked.value * 3:.3f} days".replace(".", ",")).state not in (
        State.RIGHT,
        State.UNCLEAR,
    )
