"""Questions: the same numbers everywhere, every state of an answer, slips that never meet the right answer."""

import os
import re
import subprocess
import sys
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stilltank.chapters.bank import CHAPTERS, ask, examples, questions
from stilltank.learning.questions import Asked, ChoiceQuestion, Question, State, judge
from stilltank.tables import where_from
from stilltank.units import Problem, Q, Quantity, write

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
