"""What an answer gets back: every state, what is said in it, and what counts as right."""

import pytest
from stilltank.learning.questions import Question, Slip, State, judge
from stilltank.units import Problem, Q

CODES = [
    f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)
]  # 540 codes


def test_a_draw_on_which_a_slip_is_right_is_passed_over():
    """Where 3 is drawn, the slip gives the right answer; the next trial is taken, by the code alone."""
    question = toy(
        draws={"mass": (Q(2, "g"), Q(3, "g"))},
        slips=[Slip("three", "three is taken", "Look.", lambda n, solve: [Q(3, "g")])],
    )
    assert {question.numbers(code).mass.m_as("g") for code in CODES} == {2}
    free = toy(draws={"mass": (Q(2, "g"), Q(3, "g"))})
    assert {free.numbers(code).mass.m_as("g") for code in CODES} == {2, 3}


def test_a_question_without_sound_numbers_says_so():
    question = toy(slips=[Slip("same", "it is the same", "Look.", lambda n, solve: [solve(n)])])
    with pytest.raises(Problem, match="no sound numbers"):
        question.numbers("A1")


def toy(**changes):
    fields = {
        "id": "toy",
        "chapter": "00",
        "text": "How much is {mass}?",
        "draws": {"mass": (Q(29, "g"),)},
        "work": lambda n: {"answer": n.mass},
        "kind": "mass",
        "unit": "g",
        "slips": (),
        "check": ("Size: {mass}.", "Unit: g.", "Direction: up."),
        "steps": (("mass", "It is {mass}."),),
        "why": "It is {mass}.",
    }
    return Question(**(fields | changes))


TWICE = Slip("twice", "it is counted twice", "Count once.", lambda n, solve: [2 * solve(n)])


BOTH = Slip("both", "both bags are weighed", "Weigh one.", lambda n, solve: [2 * solve(n)])


KILO = Slip("kilo", "kilograms are taken", "Look at the bag.", lambda n, solve: [1000 * solve(n)])


@pytest.mark.parametrize(
    ("typed", "state"),
    [
        ("", State.BLANK),
        ("   ", State.BLANK),
        (None, State.BLANK),
        (..., State.BLANK),
        ("...", State.BLANK),
        ("____", State.BLANK),
        ("?", State.BLANK),
        ("no idea", State.UNREADABLE),
        ("12", State.UNREADABLE),
        ("12 L", State.UNREADABLE),
        ("-29 g", State.UNREADABLE),
        ("28-30 g", State.UNREADABLE),
        (True, State.UNREADABLE),
        ("29,123 g", State.RIGHT),  # the question settles it: a decimal comma, and the answer says so
        ("29 gr", State.UNCLEAR),  # grains or grams
        ("29 g", State.RIGHT),
        ("29.5 g", State.RIGHT),
        ("29,0 g", State.RIGHT),
        ("about 29 g", State.RIGHT),
        (Q(29, "g"), State.RIGHT),
        (Q(0.029, "kg"), State.OTHER_UNIT),
        ("0.029 kg", State.OTHER_UNIT),
        ("1.02 oz", State.OTHER_UNIT),
        ("29", State.UNIT),
        (29, State.UNIT),
        ("29 L", State.UNIT),
        (Q(29, "L"), State.UNIT),
        ("29 kg", State.UNIT),
        ("29 oz", State.UNIT),
        ("30 g", State.ROUNDED),
        ("58 g", State.SLIP),
        ("58.5 g", State.SLIP),
        ("0.058 kg", State.SLIP),
        ("77 g", State.OTHER),
    ],
)
def test_each_state_of_an_answer(typed, state):
    question = toy(slips=[TWICE, KILO])
    feedback = judge(question.ask("A1"), typed)
    assert feedback.state == state, feedback
    assert feedback.sentence
    assert feedback.good == (state in (State.RIGHT, State.OTHER_UNIT))
    assert len(State) == 9


def test_what_is_said_in_each_state():
    asked = toy(slips=[TWICE, KILO]).ask("A1")
    assert "such as 36 g" in judge(asked, "").sentence
    assert "12 L" in judge(asked, "12 L").sentence
    assert "such as 36 g" in judge(asked, "12 L").sentence
    assert judge(asked, "29,123 g").sentence == "Right. It is 29 g. 29,123 g read as 29.123 g."
    assert "grain" in judge(asked, "29 gr").sentence
    assert judge(asked, "29 g").sentence == "Right. It is 29 g."
    assert judge(asked, "0.029 kg").sentence == "Right: 0.029 kg is 29 g. It is 29 g."
    assert "unit is missing" in judge(asked, "29").sentence
    assert "L does not" in judge(asked, "29 L").sentence
    assert judge(asked, "29 kg").slips == ("kilo",)
    assert "one more figure" in judge(asked, "30 g").sentence
    assert judge(asked, "58 g").sentence == "58 g is the number you get when it is counted twice."
    assert judge(asked, "77 g").hint == "Size: 29 g. Unit: g. Direction: up. Then try again."


def test_the_second_hint_is_the_route_with_ones_own_numbers():
    asked = toy(slips=[TWICE]).ask("A1")
    for typed in ("58 g", "77 g", "30 g", "29 kg"):
        assert judge(asked, typed, attempt=2).hint == "mass: It is 29 g.", typed
    assert judge(asked, "29 g", attempt=2).hint == ""


def test_two_slips_that_fit_are_both_named():
    feedback = judge(toy(slips=[TWICE, BOTH]).ask("A1"), "58 g")
    assert feedback.slips == ("twice", "both")
    assert "counted twice" in feedback.sentence
    assert "both bags" in feedback.sentence
    assert "Count once. Weigh one." in feedback.hint


def test_a_number_of_one_figure_is_close_only_near_by():
    asked = toy(draws={"mass": (Q(31.5, "g"),)}).ask("A1")
    assert judge(asked, "30 g").state == State.ROUNDED  # 5 % off: 31.5 to one figure
    asked = toy(draws={"mass": (Q(34.9, "g"),)}).ask("A1")
    assert judge(asked, "30 g").state == State.OTHER  # 14 % off, though 34.9 to one figure


def test_a_concentration_of_something_else():
    """0.01 mol/L of nitrate holds 140 mg/L of nitrogen: 62.0 and 14.0 g/mol."""
    question = toy(kind="concentration", unit="mg/L", of="N", work=lambda n: {"answer": Q(140, "mg/L")})
    asked = question.ask("A1")
    assert judge(asked, "140 mg/L N").state == State.RIGHT
    assert judge(asked, "140 mg/L NO3-N").state == State.RIGHT
    assert judge(asked, "10 mmol/L").state == State.OTHER_UNIT
    assert judge(asked, "620 mg/L NO3").state == State.OTHER_UNIT
    assert judge(asked, "140 mg/L Ca").state == State.UNIT
    assert "names Ca, and N is asked for" in judge(asked, "140 mg/L Ca").sentence
    assert judge(asked, "140 ppm N").good
    assert "read as 140 milligrams in each litre of N" in judge(asked, "140 ppm").sentence
    of_what = toy(kind="concentration", unit="mg/L", work=lambda n: {"answer": Q(140, "mg/L")}).ask("A1")
    assert judge(of_what, "140 ppm").state == State.UNCLEAR


def test_other_kinds_of_tolerance():
    """A pH within 0.1, a temperature within 1 °C, a date within a day: not relative."""
    ph = toy(
        kind="pH", unit="dimensionless", tolerance=Q(0.1, "dimensionless"), work=lambda n: {"answer": 6.2}
    )
    assert [judge(ph.ask("A1"), text).good for text in ("6.2", "pH 6.3", "6.31", 6.15)] == [
        True,
        True,
        False,
        True,
    ]
    warm = toy(
        kind="temperature",
        unit="degC",
        tolerance=Q(1, "delta_degC"),
        work=lambda n: {"answer": Q(20, "degC")},
    )
    assert [judge(warm.ask("A1"), text).good for text in ("21 °C", "68 °F", "22 °C", "20 C")] == [
        True,
        True,
        False,
        True,
    ]
    assert warm.allowed == "An answer within 1 °C counts as right."
    time = toy(kind="time", unit="day", tolerance=Q(0.5, "day"), work=lambda n: {"answer": Q(14, "day")})
    assert [judge(time.ask("A1"), text).good for text in ("14 days", "2 weeks", "15 days")] == [
        True,
        True,
        False,
    ]
