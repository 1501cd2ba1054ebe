"""Questions: the same numbers everywhere, every state of an answer, slips that never meet the right answer."""

import itertools
import math
import os
import re
import subprocess
import sys
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stilltank.chapters import water_budget
from stilltank.chapters.bank import CHAPTERS, ask, examples, find, find_example, questions
from stilltank.learning import checks
from stilltank.learning.codes import learner_code
from stilltank.learning.questions import Asked, ChoiceQuestion, Numbers, Question, Slip, State, judge
from stilltank.science.chemistry import Water, gypsum_precipitated
from stilltank.science.chemistry.equilibrium import solve
from stilltank.science.mixing import mix, recipe_solution, weigh_out
from stilltank.science.ph import acid_dose
from stilltank.tables import where_from
from stilltank.units import Problem, Q, Quantity, Unreadable, write

CODES = [
    f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)
]  # 540 codes
NUMERIC = {id: each for id, each in questions().items() if isinstance(each, Question)}
VOTES = {id: each for id, each in questions().items() if isinstance(each, ChoiceQuestion)}
STEPS = {each.id: (example, each) for example in examples().values() for each in example.questions}
ALL = {**NUMERIC, **{id: step for id, (_, step) in STEPS.items()}}


@cache
def drawn(id):
    """The different numbers that 540 codes get; of a step, over the stages of its example."""
    if id in STEPS:
        example, _ = STEPS[id]
        found = [example.stage(stage, code).numbers for code in CODES for stage in (1, 3)]
    else:
        found = [ALL[id].numbers(code) for code in CODES]
    return list({str(sorted(numbers.items())): numbers for numbers in found}.values())


_POSED = {}


def posed(question, numbers):
    """A question with these numbers, made once; the entry holds both, so their ids stay theirs."""
    key = id(question), id(numbers)
    if key not in _POSED:
        _POSED[key] = Asked(question, "A1", numbers)
    return _POSED[key]


def value(question, numbers):
    return Asked(question, "A1", numbers).value


UNITS = {
    "charge": "meq/L",
    "alkalinity": "mg/L as CaCO3",
}  # where people write another unit than is computed in


def said(value, question):
    unit = UNITS.get(question.kind, "" if question.unit == "dimensionless" else question.unit)
    unit = unit.replace("delta_deg", "°").replace("*", " ")  # degree-days as people write them: °F day
    return f"{value:.10g} {unit}".strip()


@pytest.mark.parametrize("chapter", CHAPTERS[1:], ids=lambda chapter: chapter.__name__.rpartition(".")[2])
def test_the_chapter_has_its_questions(chapter):
    """Enough of each kind, and all of one chapter; the first, start here, has only what later ones open with."""
    kinds = [type(each) for each in chapter.QUESTIONS]
    assert [type(each) for each in chapter.EXERCISES].count(Question) >= 8
    assert kinds.count(Question) >= 11, "three for the next chapter to open with"
    assert kinds.count(ChoiceQuestion) >= 2
    assert len(chapter.EXAMPLES) >= 2
    assert len({each.chapter for each in (*chapter.QUESTIONS, *chapter.EXAMPLES)}) == 1
    assert set(chapter.EXERCISES) <= set(chapter.QUESTIONS)


def test_the_codes_are_as_many_as_a_school_needs():
    assert len(CODES) >= 500


# The digest worked out beside the library: printf '%s\n%s\n%s\n0' CODE ID NAME | sha256sum, as a number, over the
# count of the values. The first trial of each of these is sound.
GOLDEN = {
    ("A1", "mixing-dose"): {"parts": "100", "volume": "45 L"},
    ("A2", "mixing-dose"): {"parts": "50", "volume": "30 L"},
    ("7B-12", "mixing-dose"): {"parts": "200", "volume": "60 L"},
    ("7B-12", "mixing-label-phosphorus"): {"label": "18 %"},
    ("F5", "mixing-label-phosphorus"): {"label": "30 %"},
}


@pytest.mark.parametrize(("code", "id"), GOLDEN)
def test_a_code_gets_the_same_numbers_for_all_time(code, id):
    assert {name: write(value) for name, value in ask(id, code).numbers.items()} == GOLDEN[code, id]


def test_numbers_do_not_depend_on_the_run():
    line = "from stilltank.chapters.bank import ask; print(ask('mixing-two-salts', 'C3'))"
    texts = {
        subprocess.check_output(
            [sys.executable, "-c", line], env=os.environ | {"PYTHONHASHSEED": seed}, encoding="utf-8"
        )
        for seed in ("1", "2")
    }
    assert len(texts) == 1


def test_codes_differ_in_their_numbers():
    for id in NUMERIC:
        assert len(drawn(id)) >= 6, id


@pytest.mark.parametrize("typed", ["7B-12", " 7b-12 ", "7b 12", "7B – 12", "7b_12", "７Ｂ-12"])
def test_a_code_is_read_as_people_write_it(typed):
    assert learner_code(typed) == "7B-12"


@pytest.mark.parametrize("typed", ["Marta", "marta k", "Jo", "Anneke-3", "Ольга1", "李小龍"])
def test_a_name_is_answered_with_a_nudge(typed):
    with pytest.raises(Unreadable, match="name"):
        learner_code(typed)


@pytest.mark.parametrize("typed", ["", "   ", "7B/12/3/4/5", "<b>1</b>", None, 12, "1" * 40])
def test_what_is_no_code_is_refused(typed):
    with pytest.raises(Unreadable):
        learner_code(typed)


def test_an_unknown_question_names_near_ones():
    with pytest.raises(Problem, match="mixing-dose"):
        ask("mixing-doze", "A1")


@pytest.mark.parametrize("id", ALL)
def test_no_slip_comes_near_the_right_answer(id):
    question = ALL[id]
    for numbers in drawn(id):
        asked = posed(question, numbers)
        right, span = asked.value, asked.span
        for slip, wrong in posed(question, numbers).wrongs:
            # neither answer's range reaches into the other's
            assert abs(wrong - right) > span + question.span_at(wrong), (slip.name, numbers)


@pytest.mark.parametrize("id", ALL)
def test_every_planted_slip_is_named(id):
    question, planted = ALL[id], set()
    for numbers in drawn(id):
        for slip, wrong in posed(question, numbers).wrongs:
            feedback = judge(posed(question, numbers), said(wrong, question))
            assert feedback.state == State.SLIP, (slip.name, numbers, feedback)
            assert slip.name in feedback.slips
            assert slip.check in feedback.hint
            planted.add(slip.name)
    assert planted == {slip.name for slip in question.slips}, "a slip that never gives a possible number"


@pytest.mark.parametrize("id", ALL)
def test_right_answers_are_right_in_any_unit(id):
    question = ALL[id]
    others = {
        "mass": ("mg", "g", "kg", "lb"),
        "volume": ("mL", "L", "US gal", "imp gal"),
        "concentration": ("g/L", "mg/L", "µg/L"),
        "length": ("cm", "mm", "m", "in"),
        "share": ("%",),
        "amount": ("mol", "mmol"),
        "charge": ("meq/L", "µeq/L", "mmol/L"),
        "alkalinity": (),
        "pH": ("",),
        "ratio": ("", "times", "x", "-fold"),
        "time": ("days", "h", "min"),
        "flow": ("L/day", "mL/day", "L/h", "L/min", "US gal/day"),
        "conductivity": ("mS/cm", "µS/cm", "dS/m"),
        "speed": ("m/day", "cm/day", "mm/day", "m/h"),
        "degree-days": ("°C day", "°F day"),
        "temperature": ("°C", "°F"),
        "light": ("mol/m²/day", "µmol/m²/s"),
    }[question.kind]
    if question.unit in ("mol/L", "mmol/L") and question.kind == "concentration":
        others = ("mol/L", "mmol/L")
    names = {"US gal": "gallon", "imp gal": "imperial_gallon", "%": "percent", "µg/L": "ug/L", "in": "inch"}
    names |= {
        "meq/L": "mmol/L",
        "µeq/L": "umol/L",
        "µS/cm": "uS/cm",
        "US gal/day": "gallon/day",
        "m/h": "m/hour",
        "°C day": "delta_degC*day",
        "°F day": "delta_degF*day",
        "°C": "degC",
        "°F": "degF",
        "mol/m²/day": "mol/m^2/day",
        "µmol/m²/s": "umol/m^2/s",
        "days": "day",
    }
    names |= dict.fromkeys(("", "times", "x", "-fold"), "dimensionless")
    if question.kind == "alkalinity":  # 1 meq/L is 50.0435 mg/L as CaCO3, 1 °fH is 10 (from memory)
        for numbers in drawn(id)[:40]:
            right = question.answer(numbers).m_as("mg/L")
            for text in (
                f"{right} mg/L",
                f"{right} ppm CaCO3",
                f"{right / 50.0435} meq/L",
                f"{right / 10} °fH",
            ):
                assert judge(posed(question, numbers), text).state == State.RIGHT, text
        return
    for numbers in drawn(id)[:40]:
        answer = question.answer(numbers)
        assert judge(posed(question, numbers), answer).good
        answer = answer if isinstance(answer, Quantity) else Q(answer, "dimensionless")
        for other in others:
            text = f"{answer.m_as(names.get(other, other)):.10f} {other}"
            feedback = judge(posed(question, numbers), text)
            assert feedback.good, text
            same = Q(1, names.get(other, other)).units == Q(1, question.unit).units
            assert feedback.state == (State.RIGHT if same else State.OTHER_UNIT), text


@pytest.mark.parametrize("id", ALL)
def test_the_ends_of_the_tolerance(id):
    question = ALL[id]
    for numbers in drawn(id)[:25]:
        asked = posed(question, numbers)
        right, span = asked.value, asked.span
        for sign in (-1, 1):
            assert judge(posed(question, numbers), said(right + sign * 0.99 * span, question)).good
            outside = judge(posed(question, numbers), said(right + sign * 1.5 * span, question))
            assert outside.state == State.ROUNDED


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


@given(st.text(max_size=30), st.integers(1, 3))
def test_nothing_a_learner_types_raises(text, attempt):
    for id in ("mixing-element-from-salt", "mixing-label-phosphorus", "mixing-double-dose"):
        assert judge(asked_once(id), text, attempt).sentence


@given(
    st.tuples(
        st.sampled_from(["", "about ", "-", "1/", "1e", "0,"]),
        st.floats(allow_nan=True, allow_infinity=True).map(lambda value: f"{value:.4g}"),
        st.sampled_from(
            ["", " g", " mg/L NO3", " mmol/L", " mg/L CaCO3", " %", " ppm K", " g/L Xx", " oz", "–3 g"]
        ),
    ).map("".join)
)
def test_no_number_raises(text):
    for id in ("mixing-element-from-salt", "mixing-tap-water", "mixing-dose", "mixing-in-each-litre"):
        assert judge(asked_once(id), text).sentence


@cache
def asked_once(id):
    return ask(id, "A1")


@pytest.mark.parametrize("id", ALL)
def test_the_texts_of_a_question_can_be_filled(id):
    question = ALL[id]
    for numbers in drawn(id)[:25]:
        route = posed(question, numbers).route
        assert len(route.splitlines()) == len(question.steps)
        texts = [question.text, question.why, *question.check, *(working for _, working in question.steps)]
        assert not [
            text for text in texts if re.search(r"[{}]|nan|unknown", posed(question, numbers).words(text))
        ]
        # the route ends at the answer, and the reason stands on it
        right = posed(question, numbers).value
        figures = [float(text) for text in re.findall(r"\d+(?:\.\d+)?", route.replace("\u202f", ""))]
        answer = question.answer(numbers)
        weighed = isinstance(answer, Quantity) and answer.check("[mass]")
        ends = [right, *(answer.m_as(unit) for unit in ("mg", "g") if weighed)]
        assert any(figure == pytest.approx(end, rel=1e-3) for figure in figures for end in ends), route


def test_every_number_of_a_question_says_where_it_comes_from():
    for each in [*questions().values(), *examples().values()]:
        for address in each.sources:
            assert where_from(address)


def test_the_tolerance_is_stated():
    for id, question in NUMERIC.items():
        assert f"within {write(question.tolerance)}" in ask(id, "A1").text


def stated(id, value):
    comparison = checks.compare(id, value)
    assert comparison.good, comparison


def test_the_questions_agree_with_published_examples():
    """Mattson (2018): 100 mg/L N from 15.5 % calcium nitrate; 12 % P2O5; 5.5 oz of magnesium sulfate of 9.7 % Mg."""
    litre = Numbers(target=Q(100, "mg/L"), volume=Q(1, "L"))
    stated("M-EG01", find("mixing-salt-for-target").answer(litre) / Q(1, "L"))
    example = find_example("mixing-worked-calcium-nitrate")
    shown = example.work(example.shown)
    stated("M-EG01", shown["mass"] / example.shown.volume)
    stated("M-EG02", shown["calcium"])
    example = find_example("mixing-worked-magnesium")
    stated("M-EG03", example.work(example.shown)["mass"] / example.shown.volume)
    hundred = example.shown.but(volume=Q(100, "gallon"))
    stated("M-EG06", example.work(hundred)["mass"])
    stated("M-EG07", find("mixing-label-phosphorus").answer(Numbers(label=Q(12, "percent"))))


def test_nitrogen_of_a_gram_of_calcium_nitrate():
    """1 g of Ca(NO3)2.4H2O in a litre: 2 x 14.007 / 236.146 = 118.6 mg of nitrogen."""
    numbers = Numbers(salt="calcium nitrate tetrahydrate", mass=Q(1, "g"), volume=Q(1, "L"))
    assert value(find("mixing-element-from-salt"), numbers) == pytest.approx(
        2000 * 14.007 / 236.146, rel=5e-4
    )


def test_tap_water_and_ounces_against_hand_working():
    # (120 - 48) mg/L x 45 L = 3240 mg; over 0.19 = 17 053 mg
    numbers = Numbers(target=Q(120, "mg/L"), water=Q(48, "mg/L"), volume=Q(45, "L"))
    assert value(find("mixing-tap-water"), numbers) == pytest.approx(17.053, abs=1e-3)
    # 40 mg/L x 378.54 L = 15 142 mg; over 24.305 / 246.466 = 153.55 g; over 28.3495 = 5.416 oz
    numbers = Numbers(target=Q(40, "mg/L"), volume=Q(100, "gallon"))
    assert value(find("mixing-ounces-for-gallons"), numbers) == pytest.approx(5.416, abs=2e-3)


def test_parts_and_doses():
    """One in a hundred of 45 L is 450 mL; one and a hundred make 101 parts: 445.5 mL; they differ by 0.99 %."""
    numbers = Numbers(parts=100.0, volume=Q(45, "L"))
    assert value(find("mixing-dose"), numbers) == pytest.approx(450)
    assert value(find("mixing-one-plus-many"), numbers) == pytest.approx(445.54, abs=0.01)
    short = 1 - value(find("mixing-one-plus-many"), numbers) / value(find("mixing-dose"), numbers)
    stated("M-SK03", Q(100 * short, "percent"))


def test_two_solutions_keep_their_nitrogen():
    """20 L at 80 and 5 L at 140 mg/L: 1600 and 700 mg in 25 L, 92 mg/L."""
    numbers = Numbers(left=Q(20, "L"), added=Q(5, "L"), old=Q(80, "mg/L"), new=Q(140, "mg/L"))
    assert value(find("mixing-two-solutions"), numbers) == pytest.approx(92)


def test_ph_is_counted_in_steps_of_ten():
    """From pH 6.5 to 5.5 ten times the H+; equal volumes of pH 5 and pH 7, unbuffered, make pH 5.30."""
    assert value(find("ph-times-more"), Numbers(before=6.5, after=5.5)) == pytest.approx(10)
    assert value(find("ph-from-times"), Numbers(start=7.5, times=100.0)) == pytest.approx(5.5)
    # (1e-5 + 1e-7) / 2 = 5.05e-6 mol/L; -log10 of it
    assert value(find("ph-two-waters"), Numbers(first=5.0, second=7.0)) == pytest.approx(5.297, abs=5e-4)


def test_two_soft_waters_mix_as_the_solver_says():
    """The solver counts hydroxide too: at most 1e-7 of the 3.3e-6 mol/L of acid, 3 %, which is 0.013 pH.

    The question accepts 0.05.
    """
    for first, second in itertools.product(*find("ph-two-waters").draws.values()):
        # the strong acid that makes each pH: H+ less OH-, 1e-14 the product of both at 25 degC
        acid = [10**-each - 1e-14 / 10**-each for each in (first, second)]
        mixed = solve({"strong_charge": -sum(acid) / 2, "temperature": 25.0}, None).ph
        assert value(find("ph-two-waters"), Numbers(first=first, second=second)) == pytest.approx(
            mixed, abs=0.015
        )


def test_alkalinity_against_hand_working():
    """One meq of CaCO3 is 100.087 / 2 = 50.04 mg (CIAAW abridged weights, from memory)."""
    assert value(find("ph-alkalinity"), Numbers(report=Q(130, "mg/L"))) == pytest.approx(
        130 / 50.0435, rel=1e-4
    )
    # 2.6 mL x 0.1 mol/L = 0.26 mmol in 100 mL: 2.6 meq/L
    numbers = Numbers(sample=Q(100, "mL"), strength=Q(0.1, "mol/L"), used=Q(2.6, "mL"))
    assert value(find("ph-titration"), numbers) == pytest.approx(2.6 * 50.0435, rel=1e-4)


def test_bottles_against_hand_working():
    """H3PO4 97.994 g/mol: 1.575 g/mL x 1000 x 0.75 / 97.994 = 12.054 mol/L; 1 L of 2 mol/L takes 165.9 mL."""
    assert value(find("ph-bottle"), Numbers(bottle="phosphoric acid 75 %")) == pytest.approx(12.054, abs=2e-3)
    numbers = Numbers(bottle="phosphoric acid 75 %", weak=Q(2, "mol/L"), volume=Q(1, "L"))
    assert value(find("ph-dilution"), numbers) == pytest.approx(165.9, abs=0.1)
    # 1.8 mmol/L x 14.007 = 25.2 mg/L of nitrogen; 150 less that
    assert value(
        find("ph-nitrogen-left"), Numbers(dose=Q(1.8, "mmol/L"), target=Q(150, "mg/L"))
    ) == pytest.approx(124.79, abs=0.01)
    assert value(find("ph-phosphorus"), Numbers(dose=Q(0.5, "mmol/L"))) == pytest.approx(15.487, abs=1e-3)
    # 2 meq/L x 36 L = 72 mmol, over 0.25 mol/L
    numbers = Numbers(alkalinity=Q(2, "mmol/L"), volume=Q(36, "L"), strength=Q(0.25, "mol/L"))
    assert value(find("ph-at-rest"), numbers) == pytest.approx(288)


def test_the_ladder_keeps_its_acid():
    """Every draw is two rungs, and the same amount is in the bottle's share, in the first jug and in the last."""
    example = find_example("ph-worked-ladder")
    for code in CODES[:60]:
        numbers = example.stage(3, code).numbers
        shown = example.work(numbers)
        amount = numbers.volume * numbers.weak
        for held in (shown["take"] * shown["strong"], shown["jug"] * shown["middle"], shown["amount"]):
            assert held.m_as("mmol") == pytest.approx(amount.m_as("mmol"))
        assert (shown["second_water"] + shown["jug"]).m_as("L") == pytest.approx(numbers.volume.m_as("L"))
        assert "Water first" in example.questions[3].why
        assert "teacher" in shown["caution"]


@pytest.mark.parametrize("report", [80, 130, 240])
@pytest.mark.parametrize("target", [5.5, 5.6, 5.8])
def test_the_dose_by_hand_accepts_the_hand_and_the_solver(report, target):
    """Three per cent let in pK1 rounded to 6.35 with 50 for 50.04 mg/L, and the solver's dose for a tap at pH 8."""
    numbers = Numbers(report=Q(report, "mg/L"), target=target, volume=Q(36, "L"), strength=Q(0.1, "mol/L"))
    asked = Asked(find("ph-acid-for-tank"), "A1", numbers)
    share = 1 / (1 + 10 ** (6.35 - target))
    by_hand = report / 50 * (1 - share) * 36 / (2 * 0.1)
    assert judge(asked, f"{by_hand:.3g} mL").good
    tap = Water({"Ca": Q(0.4 * report, "mg/L")}, alkalinity=numbers.report, ph=8.0, temperature=Q(25, "degC"))
    dose = acid_dose(tap, target, "nitric acid 0.1 mol/L").amount.m_as("mmol/L")
    assert judge(asked, f"{dose * 36 / (2 * 0.1):.4g} mL").good


def test_an_alkalinity_is_taken_as_the_question_asks():
    """The question names CaCO3, so mg/L alone means that; bicarbonate is turned; degrees and meq/L are read."""
    asked = ask("ph-titration", "A1")
    right = asked.right.m_as("mg/L")
    for text in (f"{right} mg/L", f"{right} ppm", f"{right} mg/L HCO3", right, f"{right}"):
        state = judge(asked, text).state
        if "HCO3" in str(text):
            assert judge(asked, text).slips == ("bicarbonate for CaCO3",)
        else:
            assert state == (State.RIGHT if "mg" in str(text) or "ppm" in str(text) else State.UNIT), text
    charge = ask("ph-alkalinity", "A1")
    assert judge(charge, charge.right).state == judge(charge, f"{charge.value} mmol/l").state == State.RIGHT
    assert judge(charge, f"{charge.value} mg/L").state == State.UNIT


def test_levels_and_rain_against_hand_working():
    """60 x 40 x 18 cm = 43 200 cm3; 24 x 16 x 1.5 = 576 in3, and 231 of them are a US gallon."""
    tub = Numbers(length=Q(60, "cm"), width=Q(40, "cm"), height=Q(30, "cm"), level=Q(18, "cm"))
    assert value(find("water-litres-for-level"), tub) == pytest.approx(43.2)
    inches = Numbers(length=Q(24, "inch"), width=Q(16, "inch"), drop=Q(1.5, "inch"))
    assert value(find("water-inch-of-level"), inches) == pytest.approx(576 / 231)
    # 1.8 cm on 0.2 m2 = 3.6 L; 1.2 L of rain and 2 L by hand came in and went: 6.8 L
    week = Numbers(
        before=Q(18.2, "cm"), after=Q(16.4, "cm"), water=Q(0.2, "m^2"), rain=Q(1.2, "L"), added=Q(2, "L")
    )
    assert value(find("water-used-in-week"), week) == pytest.approx(6.8)
    # 30 mm x 0.25 m2 = 7.5 L; a fifth is 1.5 L; over 0.15 m2 that is 10 mm
    storm = Numbers(rain=Q(30, "mm"), lid=Q(0.25, "m^2"), share=Q(20, "percent"), water=Q(0.15, "m^2"))
    assert value(find("water-rain-rise"), storm) == pytest.approx(10)
    all_in = storm.but(rain=Q(10, "mm"), lid=Q(0.24, "m^2"), share=Q(100, "percent"), water=Q(0.2, "m^2"))
    stated("W67b", find("water-rain-rise").answer(all_in))
    # 24 mm x 0.2 m2 = 4.8 L in 4 days; 100 mm/h x 0.24 m2 = 24 L/h = 0.4 L/min
    assert value(
        find("water-use-a-day"), Numbers(days=Q(4, "day"), drop=Q(2.4, "cm"), water=Q(0.2, "m^2"))
    ) == pytest.approx(1.2)
    assert value(find("water-storm-flow"), Numbers(rain=Q(100, "mm"), lid=Q(0.24, "m^2"))) == pytest.approx(
        0.4
    )


def test_use_and_days_against_hand_working():
    """Six basil plants, fully grown: 0.9 x 5 mm x 6 x 0.04 m2 = 1.08 L; over 75 days one lettuce as FAO-56 says."""
    grown = Numbers(crop="basil", count=6, day=60, asked=Q(5, "mm/day"))
    assert value(find("water-daily-use"), grown) == pytest.approx(1.08)
    one = Numbers(crop="lettuce", count=1, asked=Q(4, "mm/day"))
    season = sum(value(find("water-daily-use"), one.but(day=day)) for day in range(1, 76))
    stated("W48b", Q(season, "L"))
    # (12 - 1) cm x 0.2 m2 = 22 L; 5 x 0.22 L = 1.1 L a day; 20 days
    tub = Numbers(floor=Q(0.2, "m^2"), level=Q(12, "cm"), count=5, use=Q(220, "mL"))
    assert value(find("water-days-left"), tub) == pytest.approx(20)
    # 30 L x 1.8 = 54, less 15 L x 1.2 = 18, leaves 36 in 15 L; 40 x 1.2 - 20 x 1.6 = 16 in 20 L: it falls
    rising = Numbers(before=Q(30, "L"), left=Q(15, "L"), start=Q(1.8, "mS/cm"), uptake=Q(1.2, "mS/cm"))
    assert value(find("water-strength-after-use"), rising) == pytest.approx(2.4)
    falling = Numbers(before=Q(40, "L"), left=Q(20, "L"), start=Q(1.2, "mS/cm"), uptake=Q(1.6, "mS/cm"))
    assert value(find("water-strength-after-use"), falling) == pytest.approx(0.8)
    # the root of 0.4 / 10 is 0.2; 4 L/h x 0.2 = 0.8 L/h; 1.2 L take 1.5 h
    emitter = Numbers(rated=Q(4, "L/hour"), high=Q(10, "m"), head=Q(0.4, "m"), volume=Q(1.2, "L"))
    assert value(find("water-drip-time"), emitter) == pytest.approx(1.5)


def test_the_weight_and_the_lifting_equation_against_hand_working():
    """40 L at 20 degC weigh 40 x 0.998207 kg (IAPWS-95, as check W79b); 23 kg x 25/40 x (1 - 0.003 x 55)
    x (0.82 + 4.5/55) x 0.95 = 10.284 kg (NIOSH 94-110)."""
    tub = Numbers(length=Q(50, "cm"), width=Q(40, "cm"), level=Q(20, "cm"), empty=Q(2.4, "kg"))
    assert value(find("water-full-weight"), tub) == pytest.approx(39.928 + 2.4, abs=1e-3)
    example = find_example("water-worked-lifting")
    shown = example.work(example.shown)
    assert shown["reach"].m_as("percent") == pytest.approx(62.5)
    assert shown["limit"].m_as("kg") == pytest.approx(10.284, abs=1e-3)
    stated("SL01", shown["limit"])
    stated("SL02", (Q(20, "kg") / shown["limit"]).m_as("dimensionless"))
    assert shown["index"] == pytest.approx((39.928 + 4) / 10.284, abs=1e-3)
    # nearer and higher: 23 kg x 25/32 x (1 - 0.003 x 45) x (0.82 + 4.5/50) x 0.95 = 13.437 kg
    nearer = example.shown.but(hold=Q(32, "cm"), hands=Q(30, "cm"), bench=Q(80, "cm"))
    assert example.work(nearer)["limit"].m_as("kg") == pytest.approx(13.437, abs=1e-3)
    assert "siphon it out" in example.stage(0, "A1").text


def test_a_drop_of_the_level_is_shared_among_days_and_plants():
    """28 mm x 0.2 m2 = 5.6 L, and 1.4 L were added: 7 L in 7 days, by 5 plants: 200 mL a day each."""
    example = find_example("water-worked-use-per-plant")
    shown = example.work(example.shown)
    found = [shown[name].magnitude for name in ("missing", "drunk", "daily", "each")]
    assert found == pytest.approx([5.6, 7, 1, 200])


def quillgate_area(level):
    """cm2 of water in the Quillgate tub: 44 x 28 cm below, 52 x 35 cm at 30 cm, corners of 4.5 cm."""
    return (44 + 8 * level / 30) * (28 + 7 * level / 30) - (4 - math.pi) * 4.5**2


def test_what_the_choices_on_water_say_against_hand_working():
    # basil climbs from 0.15 on day 15 to 0.9 on day 40: 0.45 in the middle of the week from day 22, 0.66 of the next
    weeks = find("water-hot-week").work(Numbers(crop="basil", count=4, day=22, asked=Q(5, "mm/day")))
    assert weeks["used"].m_as("L") == pytest.approx(0.45 * 7 * 5 * 4 * 0.04)
    assert weeks["later"].m_as("L") == pytest.approx(0.66 * 7 * 5 * 4 * 0.04)
    # 50 mm on 0.2 m2 are 10 L, a fifth is 2 L; the area half way up the rise is near enough the mean
    storm = find("water-lidded-storm").work(Numbers(rain=Q(50, "mm"), level=Q(12, "cm")))
    assert storm["let_in"].m_as("L") == pytest.approx(2)
    assert storm["rise"].m_as("cm") == pytest.approx(2000 / quillgate_area(12.7), abs=0.01)
    assert storm["rimmed"].m_as("cm") == pytest.approx(10_000 / quillgate_area(15.3), abs=0.05)
    # 40 mm on a lid of 0.2 m2 with a rim: 8 L; to the hole, a centimetre up, all but 1 cm of it
    blocked = find("water-blocked-hole").work(Numbers(level=Q(12, "cm"), rain=Q(40, "mm"), daily=Q(1, "L")))
    assert blocked["blocked"].m_as("cm") == pytest.approx(8000 / quillgate_area(14.7), abs=0.01)
    assert blocked["out"].m_as("L") == pytest.approx(8 - quillgate_area(12.5) / 1000, abs=0.01)
    assert blocked["wait"].m_as("day") == pytest.approx(8 - quillgate_area(12.5) / 1000, abs=0.01)
    # pots end 7 cm below a rim of 30 cm and stood 2 cm deep: 25 cm; more than 2 cm may injure: Kratky (2004), abstract
    ways = find("water-drowning-way").work(Numbers(now=Q(12, "cm")))
    assert ways["rise"].m_as("cm") == pytest.approx(25 - 12)
    assert ways["added"].m_as("L") == pytest.approx(13 * quillgate_area(18.5) / 1000, abs=0.02)
    assert ways["most"].m_as("L") == pytest.approx(2 * quillgate_area(13) / 1000, abs=0.01)


def below(one, other, unit):
    return one.m_as(unit) < other.m_as(unit)


SENSIBLE = {
    "water-litres-for-level": lambda n, w: below(n.level, n.height, "cm"),
    "water-inch-of-level": lambda n, w: below(w["inch"], Q(3, "gallon"), "gallon"),
    "water-used-in-week": lambda n, w: (
        below(n.after, n.before, "cm") and not below(Q(2, "cm"), n.added / n.water, "cm")
    ),
    "water-rain-rise": lambda n, w: below(w["answer"], Q(20, "mm"), "mm"),
    "water-daily-use": lambda n, w: 0.15 <= w["coefficient"] <= 0.9,
    "water-days-left": lambda n, w: below(w["rest"], n.level, "cm"),
    "water-strength-after-use": lambda n, w: below(n.left, n.before, "L") and w["stay"] > 0,
    "water-drip-time": lambda n, w: below(n.head, n.high, "m") and below(w["flow"], n.rated, "L/hour"),
    "water-full-weight": lambda n, w: below(n.level, Q(30, "cm"), "cm"),
    "water-use-a-day": lambda n, w: below(n.drop, Q(4, "cm"), "cm"),
    "water-storm-flow": lambda n, w: below(w["answer"], Q(1, "L/min"), "L/min"),
    "water-worked-use-per-plant-step-4": lambda n, w: (
        below(Q(40, "mL/day"), w["each"], "mL/day") and below(w["each"], Q(700, "mL/day"), "mL/day")
    ),
    "water-worked-lifting-step-4": lambda n, w: (
        below(n.level, Q(30, "cm"), "cm") and below(n.hands, n.bench, "cm") and w["index"] > 1.5
    ),
    "water-hot-week": lambda n, w: below(w["used"], w["later"], "L") and below(w["later"], w["twice"], "L"),
    "water-lidded-storm": lambda n, w: (
        below(w["rise"], w["allowed"], "cm")
        and below(w["allowed"], w["rimmed"], "cm")
        and below(w["allowed"], n.rain, "cm")
    ),
    "water-blocked-hole": lambda n, w: (
        below(w["clean"], w["allowed"], "cm")
        and below(w["allowed"], w["blocked"], "cm")
        and below(n.level + w["blocked"], Q(23, "cm"), "cm")  # the pots still hang clear
        and below(Q(2, "day"), w["wait"], "day")
    ),
    "water-drowning-way": lambda n, w: below(w["allowed"], w["rise"], "cm"),
}


def test_what_is_looked_at_for_sense_is_asked():
    assert set(SENSIBLE) <= {each.id for each in water_budget.QUESTIONS} | set(STEPS)


@pytest.mark.parametrize("id", SENSIBLE)
def test_no_tub_runs_over_and_no_plant_drinks_backwards(id):
    if id in VOTES:
        drawn_numbers = [VOTES[id].numbers(code) for code in CODES]
        question = VOTES[id]
    else:
        drawn_numbers, question = drawn(id), ALL[id]
    for numbers in drawn_numbers:
        assert SENSIBLE[id](numbers, question.work(numbers)), numbers


def test_an_answer_is_shown_in_the_unit_that_is_asked_for():
    shown = {"water-inch-of-level": "such as 3 US gal.", "water-storm-flow": "Type a flow, such as 3 L/min."}
    for id, end in shown.items():
        assert judge(ask(id, "A1"), "").sentence.endswith(end)


def test_two_salts_agree_with_the_recipe_solver():
    """The exercise by hand, the solver by least squares, and mixing it back."""
    numbers = Numbers(calcium=Q(90, "mg/L"), nitrogen=Q(160, "mg/L"), volume=Q(45, "L"))
    pair = "calcium nitrate fertiliser", "potassium nitrate"
    recipe = weigh_out({"Ca": numbers.calcium, "N": numbers.nitrogen}, pair, numbers.volume)
    grams = value(find("mixing-two-salts"), numbers)
    assert recipe.masses[pair[1]].m_as("g") == pytest.approx(grams, rel=1e-6)
    first = find("mixing-two-salts").work(numbers)["first_mass"]
    made = mix({pair[0]: first, pair[1]: Q(grams, "g")}, numbers.volume).elements
    assert made["N"].m_as("mg/L") == pytest.approx(160)
    assert made["Ca"].m_as("mg/L") == pytest.approx(90)


@pytest.mark.parametrize("id", VOTES)
def test_options_are_explained(id):
    for code in CODES[:60]:
        asked = VOTES[id].ask(code)
        assert list(asked.options) == ["A", "B", "C", "D"]
        for letter, text in asked.options.items():
            for typed in (letter, letter.lower(), f"{letter})", f" {letter}. ", text):
                feedback = judge(asked, typed)
                assert feedback.good == (letter == asked.right)
                assert bool(feedback.slips) == (not feedback.good)
            assert judge(asked, letter, attempt=2).hint == ("" if feedback.good else asked.route)
        assert judge(asked, "").state == State.BLANK
        assert judge(asked, "E").state == judge(asked, "AB").state == State.UNREADABLE
    rights = {VOTES[id].ask(code).right for code in CODES[:60]}
    assert rights == set("ABCD")
    assert len({option.slip for option in VOTES[id].options}) == 4


def test_double_dose_reads_less_than_double():
    """Half-strength Hoagland reads 1.14 and full 2.16 mS/cm: PHREEQC 3.8.6, within the model's 5 %."""
    work = find("mixing-double-dose").work(Numbers(share=0.5))
    assert work["weak"].m_as("mS/cm") == pytest.approx(1.14, rel=0.05)
    stated("M-ECR-H1", work["strong"])
    for share in find("mixing-double-dose").draws["share"]:
        work = find("mixing-double-dose").work(Numbers(share=share))
        assert 1.01 < (work["twice"] / work["strong"]).m_as("dimensionless") < 1.1


def test_one_bottle_loses_most_of_its_sulfate_and_the_tank_none():
    """Nine tenths, roughly, of the sulfate: PHREEQC 3.8.6 gives 95 %, and only the order of magnitude counts."""
    room, full = Q(20, "degC"), recipe_solution("Hoagland 1").ions
    assert gypsum_precipitated(full, room).magnitude == 0
    bottle = {ion: 100 * amount for ion, amount in full.items()}
    sulfate = bottle["SO4-2"].m_as("mol/L")  # near enough mol in a kilogram of water
    assert 0.85 < gypsum_precipitated(bottle, room).m_as("mol/kg") / sulfate < 1


@cache
def texts():
    """Everything a learner may read, with numbers in it."""
    found = {}
    for id, question in ALL.items():
        numbers = drawn(id)[0]
        asked = {"text": question.text, "why": question.why}
        asked["check"] = " ".join(question.check)
        asked |= {f"step {label}": working for label, working in question.steps}
        found |= {f"{id} {name}": posed(question, numbers).words(text) for name, text in asked.items()}
        for slip, wrong in posed(question, numbers).wrongs:
            feedback = judge(posed(question, numbers), said(wrong, question))
            found[f"{id} slip {slip.name}"] = str(feedback)
        for typed in ("", "elephant", "3 cm", said(1.7 * posed(question, numbers).value, question), "29"):
            found[f"{id} typed {typed}"] = str(judge(posed(question, numbers), typed))
    for id, vote in VOTES.items():
        plain = [vote.text, vote.hint, vote.route]
        plain += [text for option in vote.options for text in (option.text, option.why)]
        found |= {f"{id} {place}": vote.ask("A1").words(text) for place, text in enumerate(plain)}
    for id, example in examples().items():
        found[id] = example.stage(0, "A1").text
    return found


SENTENCE_ENDS = re.compile(r"(?<=[.?:])\s+|\n")
# Words of the trade count as one plain word: they are taught, and no sentence gets easier without them.
TRADE = re.compile(
    r"(?:calcium|potassium|magnesium|ammonium) (?:nitrate|sulfate)(?: (?:fertiliser|tetrahydrate|hexahydrate))?"
    r"|calcium|potassium|magnesium|oxygen|nitrogen|phosphorus|sulfur|sulfate|nitrate-N|ammonium-N|nitrates?|gypsum"
    r"|(?:nitric|phosphoric|sulfuric) acid|alkalinity|bicarbonate|carbon dioxide|molecules?|meq/L|mm?ol(?:/L)?|pH|H\+"
    r"|fertiliser|concentrates?|solution|millilitres?|milligrams?|kilograms?|millimetres?|imperial gallons?"
    r"|reference evapotranspiration|(?:milli|micro)siemens per centimetre|calendula|snapdragon"
    r"|[A-Z][A-Za-z0-9]*\d[A-Za-z0-9.]*|\S*\d\S*|mg/L|mS/cm|mL|US gal|US fl oz|oz|%|degrees (?:Fahrenheit|Celsius)"
)


def sentences(text):
    return [part for part in SENTENCE_ENDS.split(TRADE.sub("salt", text).strip()) if re.search("[a-z]", part)]


def syllables(word):
    groups = len(re.findall(r"[aeiouy]+", re.sub(r"(?<=[^aeiou])e$|(?<=[^td])ed$", "", word.lower())))
    return max(groups, 1)


def grade(text):
    """The grade of Flesch and Kincaid (1975, formula from memory): crude, but it sees long words and sentences."""
    parts = sentences(text)
    words = [word for part in parts for word in re.findall(r"[A-Za-z']+", part)]
    return 0.39 * len(words) / len(parts) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def test_the_grade_tells_plain_from_stiff():
    assert grade("The cat sat on the mat. It was warm.") < 2
    assert (
        grade(
            "Stoichiometric considerations necessitate proportional supplementation of deficient macronutrients."
        )
        > 16
    )


def test_sentences_are_short_and_plain():
    long = {part for text in texts().values() for part in SENTENCE_ENDS.split(text) if len(part.split()) > 30}
    assert not long
    assert not {name: (round(grade(text), 1), text) for name, text in texts().items() if grade(text) > 6}


def test_no_text_scolds_or_shouts():
    bad = re.compile(
        r"!|\b(?:wrong|just|simply|obviously|easy|you did|you forgot|you should|mistake)\b", re.I
    )
    assert not {name: text for name, text in texts().items() if bad.search(text)}


def test_a_slip_speaks_of_the_number_and_not_of_the_person():
    for question in ALL.values():
        for slip in question.slips:
            assert not re.search(r"\byou (?:forgot|took|used|made|mixed)", f"{slip.when} {slip.check}")
            assert re.search(r"[^.?]$", slip.when), slip.when  # the end of a sentence
            assert slip.check.endswith((".", "?"))


def test_quantities_stay_quantities():
    for id, question in NUMERIC.items():
        assert isinstance(ask(id, "A1").right, Quantity) == (question.kind not in ("pH", "ratio"))
