"""Whatever these rooms are handed, a person is told in one sentence; nothing of Python's own gets out."""

import datetime
import math
import tempfile
from pathlib import Path

import numpy as np
import pytest
from stilltank import lessons
from stilltank.chapters import asking, bank, keys
from stilltank.learning import checks, predictions
from stilltank.learning.codes import learner_code
from stilltank.learning.predictions import PredictionQuestion
from stilltank.learning.progress import Progress
from stilltank.learning.progress.file import ProgressFile
from stilltank.learning.questions import draw, fill, judge
from stilltank.units import Problem, Q

BAD = (
    None, "", "x", "\0", "é" * 5000, -1, 10**400, math.nan, [], {"a": 1}, object(), b"x", True, Q(1, "L"),
    Q([1, 2], "L"), datetime.date(2027, 1, 1), np.array([1.0]), ..., [("a", "b")], [("2027-01-01", 3)], Path("x"),
)  # fmt: skip
DRINK = PredictionQuestion(id="03-d", chapter="03", text="?", kind="volume")
LEVEL = PredictionQuestion(id="03-l", chapter="03", text="?", kind="length")
DOSE, VOTE = bank.ask("mixing-dose", "A1"), bank.ask("mixing-double-dose", "A1")
WEEKS = ["2027-05-24", "2027-06-24"]


def folder():
    return tempfile.mkdtemp(dir=Path.cwd())


def work():
    return Progress.open("A1", folder())


def said(question, typed, **more):
    progress = Progress()
    predictions.record(progress, question, typed, **more)
    return progress


def guess(kind, typed):
    choices = ("a", "b") if kind == "choice" else ()
    return said(PredictionQuestion(id="03-d", chapter="03", text="?", kind=kind, choices=choices), typed)


def sketch(**told):
    start = {"start": ("2027-05-10", Q(25, "cm")), "days": WEEKS, "outcome": lambda: None}
    return asking.sketch(lessons.Learner(), "03-level", **(start | told))


CALLS = {
    "learner_code": lambda b: learner_code(b),
    "compare id": lambda b: checks.compare(b, Q(1, "gallon")),
    "compare value": lambda b: checks.compare("M-UN01", b),
    "compare plain": lambda b: checks.compare("M-OX01", b),
    "Checks": lambda b: checks.Checks()(b, 1),
    "judge typed": lambda b: judge(DOSE, b),
    "judge typed choice": lambda b: judge(VOTE, b),
    "judge DOSE": lambda b: judge(b, "1"),
    "judge attempt": lambda b: judge(DOSE, "1 L", b),
    "judge attempt slip": lambda b: judge(DOSE, DOSE.right * 1000, b),
    "judge attempt choice": lambda b: judge(VOTE, "A", b),
    "judge system": lambda b: judge(DOSE, "1 gal", 1, b),
    "question.ask": lambda b: bank.find("mixing-dose").ask(b),
    "choice.ask": lambda b: bank.find("mixing-double-dose").ask(b),
    "stage": lambda b: bank.find_example("mixing-worked-magnesium").stage(b, "A1"),
    "stage code": lambda b: bank.find_example("mixing-worked-magnesium").stage(1, b),
    "bank.find": bank.find,
    "bank.find_example": bank.find_example,
    "bank.find_prediction": bank.find_prediction,
    "bank.exercises": bank.exercises,
    "bank.ask": lambda b: bank.ask(b, "A1"),
    "bank.ask code": lambda b: bank.ask("mixing-dose", b),
    "work_through": lambda b: bank.work_through(b, "A1"),
    "work_through code": lambda b: bank.work_through("mixing-worked-magnesium", b),
    "key code": lambda b: keys.key(b, "01"),
    "key chapter": lambda b: keys.key("A1", b) if b is not None else None,
    "asking.questions": lambda b: asking.questions(b, "mixing-dose"),
    "asking.questions id": lambda b: asking.questions(lessons.Learner(), b),
    "asking.exercises": lambda b: asking.exercises(b, "01"),
    "asking.exercises ch": lambda b: asking.exercises(lessons.Learner(), b),
    "asking.worked": lambda b: asking.worked(b, "mixing-worked-magnesium"),
    "asking.worked id": lambda b: asking.worked(lessons.Learner(), b),
    "asking.predict": lambda b: asking.predict(b, "01-half-strength", outcome=lambda: 1),
    "asking.predict id": lambda b: asking.predict(lessons.Learner(), b, outcome=lambda: 1),
    "asking.predict outcome": lambda b: asking.predict(lessons.Learner(), "01-half-strength", outcome=b),
    "sketch start": lambda b: sketch(start=b),
    "sketch start day": lambda b: sketch(start=(b, Q(25, "cm"))),
    "sketch start level": lambda b: sketch(start=("2027-05-10", b)),
    "sketch days": lambda b: sketch(days=b),
    "sketch days2": lambda b: sketch(days=[b, b]),
    "Learner code": lambda b: lessons.Learner(b, folder()),
    "Learner folder": lambda b: lessons.Learner("A1", b),
    "Learner chapter": lambda b: lessons.Learner("A1", folder(), chapter=b),
    "paragraph": lambda b: lessons.paragraph(b),
    "Progress.open": lambda b: Progress.open(b),
    "Progress.open folder": lambda b: Progress.open("A1", b),
    "Progress.load": Progress.load,
    "record_answer id": lambda b: work().record_answer(b, "1", "right"),
    "record_answer typed": lambda b: work().record_answer("q", b, "right"),
    "record_answer state": lambda b: work().record_answer("q", "1", b),
    "record_answer hints": lambda b: work().record_answer("q", "1", "right", hints=b),
    "record_answer chapter": lambda b: work().record_answer("q", "1", "right", chapter=b),
    "record_answer based": lambda b: work().record_answer("q", "1", "right", based_on=b),
    "record_answer based v": lambda b: work().record_answer("q", "1", "right", based_on={"a": b}),
    "changes id": lambda b: work().changes(b, {}),
    "changes v": lambda b: work().changes("q", b),
    "set_chapter": lambda b: work().set_chapter(b, "done"),
    "set_chapter s": lambda b: work().set_chapter("01", b),
    "start_again": lambda b: work().start_again(b, datetime.date(2027, 1, 1)),
    "start_again on": lambda b: work().start_again("01", b),
    "answers_to": lambda b: work().answers_to(b),
    "dated": lambda b: work().dated_name(b),
    "export": lambda b: work().export(b),
    "import": lambda b: work().import_from(b),
    "what": lambda b: work().what_comes(b),
    "PQ id": lambda b: PredictionQuestion(id=b, chapter="03", text="?", kind="volume"),
    "PQ kind": lambda b: PredictionQuestion(id="a", chapter="03", text="?", kind=b),
    "PQ choices": lambda b: PredictionQuestion(id="a", chapter="03", text="?", kind="choice", choices=b),
    "PQ year": lambda b: said(
        PredictionQuestion(id="a", chapter="03", text="?", kind="day", year=b), "4 May"
    ),
    "PQ gallon": lambda b: said(
        PredictionQuestion(id="a", chapter="03", text="?", kind="volume", gallon=b), "4 gal"
    ),
    "record q": lambda b: said(b, "1"),
    "record progress": lambda b: predictions.record(b, DRINK, "2 L"),
    "record system": lambda b: predictions.record(Progress(), DRINK, "2 gal", system=b),
    "record on": lambda b: predictions.record(work(), DRINK, "2 L", on=b),
    "read_day": predictions.read_day,
    "read_day year": lambda b: predictions.read_day("4 May", b),
    "get": lambda b: predictions.get(Progress(), b),
    "get p": lambda b: predictions.get(b, "x"),
    "compare p": lambda b: predictions.compare(b, 1),
    "compare system": lambda b: predictions.compare(
        predictions.get(said(DRINK, "2 L"), "03-d"), Q(1, "L"), b
    ),
    "close id": lambda b: predictions.close(Progress(), b, 1),
    "close on": lambda b: predictions.close(said(DRINK, "2 L"), "03-d", Q(1, "L"), on=b),
    "cover id": lambda b: predictions.cover(1, b, Progress()),
    "cover p": lambda b: predictions.cover(1, "x", b),
    "cover result": lambda b: predictions.cover(b, "03-d", said(DRINK, "2 L"), outcome=Q(1, "L")),
    "cover outcome": lambda b: predictions.cover(1, "03-d", said(DRINK, "2 L"), outcome=b),
    "ledger": predictions.ledger,
    "bundle": predictions.bundle_of,
    "fill": lambda b: fill(b, {}),
    "draw code": lambda b: draw(b, "x", {"a": (1, 2)}, lambda n: True),
}
for kind, typed in (
    ("volume", "2 L"),
    ("pH", "6"),
    ("day", "2027-05-05"),
    ("direction", "up"),
    ("choice", "a"),
):
    CALLS["outcome " + kind] = lambda b, k=kind, t=typed: predictions.close(guess(k, t), "03-d", b)
    CALLS["record " + kind] = lambda b, k=kind: guess(k, b)
CALLS["outcome sketch"] = lambda b: predictions.close(
    said(LEVEL, [("2027-05-05", "2 cm"), ("2027-06-05", "1 cm")]), "03-l", b
)
CALLS["record sketch"] = lambda b: said(LEVEL, b)
CALLS["record sketch2"] = lambda b: said(LEVEL, [(b, "2 cm"), ("2027-01-01", b)])


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("name", CALLS)
def test_a_wrong_call_is_answered_in_one_sentence(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for bad in BAD:
        try:
            CALLS[name](bad)
        except Problem as problem:
            words = str(problem).strip()
            assert words.endswith((".", "?")), words
            assert len(words) < 600, words[:80]
            assert "Error" not in words, words


def test_most_of_these_are_wrong():
    """A test of the test: a call that takes anything would prove nothing."""
    refused = 0
    for bad in BAD:
        try:
            checks.compare(bad, 1.0)
        except Problem:
            refused += 1
    assert refused == len(BAD)


FILE = """format = {newest}
code = "A1"
library = "1"
[{section}]
{lines}
"""
ANSWER = {"typed": '["1"]', "hints": "0", "state": '"right"'}
GUESS = {
    "question": '"?"',
    "kind": '"volume"',
    "typed": '"1 L"',
    "chapter": '"03"',
    "value": "1",
    "unit": '"L"',
}


@pytest.mark.parametrize(
    ("section", "change", "words"),
    [
        ("answers.q", {"hints": '"a"'}, "Write: hints = 0. The file stays as it is."),
        (
            "answers.q",
            {"hints": "9" * 6000},
            "line 6: this cannot be read: a number has thousands of digits.",
        ),
        ("answers.q", {"typed": "3"}, 'Write: typed = ["36 g"]. The file stays'),
        ("predictions.03-d", {"value": "9" * 400}, "is no number that can be used."),
        ("predictions.03-d", {"value": "nan"}, "nan is no number that can be used."),
        ("predictions.03-d", {"kind": '"weight"'}, "its kind 'weight' is not known."),
        ("predictions.03-d", {"choices": "3"}, "its choices are not a list."),
        ("predictions.03-d", {"days": "3"}, "its days are not a list."),
        ("predictions.03-d", {"days": '["a", "b"]', "value": "[1, 2]"}, "its days are not all days."),
    ],
)
def test_a_file_changed_by_hand_is_answered_in_one_sentence(section, change, words, tmp_path):
    lines = (ANSWER if section.startswith("answers") else GUESS) | change
    text = FILE.format(
        newest=ProgressFile.newest, section=section, lines="\n".join(f"{k} = {v}" for k, v in lines.items())
    )
    (tmp_path / "my-progress-A1.toml").write_text(text, encoding="utf-8")
    with pytest.raises(Problem) as problem:
        predictions.ledger(Progress.open("A1", tmp_path))
    assert words in str(problem.value)
    assert (tmp_path / "my-progress-A1.toml").read_text(encoding="utf-8") == text
