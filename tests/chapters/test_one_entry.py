"""An exercise or a worked example is one entry in the folder of its chapter: everything else follows it."""

import dataclasses

import pytest
from stilltank import lessons
from stilltank.chapters import asking, bank, keys
from stilltank.learning.questions import Question, judge
from stilltank.units import Problem, Quantity

CODE = "7B-12"
EXERCISED = [each for each in bank.CHAPTERS if each.EXERCISES]
EACH = pytest.mark.parametrize("chapter", EXERCISED, ids=lambda chapter: chapter.__name__.rpartition(".")[2])


def planted(monkeypatch, chapter):
    """One exercise more: the last one with a number, under a new id and with a text of its own."""
    last = [each for each in chapter.EXERCISES if isinstance(each, Question)][-1]
    new = dataclasses.replace(last, id=f"{last.id}-again", text=f"Once more. {last.text}")
    rest = [each for each in chapter.QUESTIONS if each not in chapter.EXERCISES]
    monkeypatch.setattr(chapter, "EXERCISES", (*chapter.EXERCISES, new))
    monkeypatch.setattr(chapter, "QUESTIONS", (*chapter.EXERCISES, *rest))
    return new


def shown(asked):
    return [child.value for child in asked.children if hasattr(child, "value")]


@EACH
def test_a_new_exercise_is_asked_kept_and_in_the_key(monkeypatch, chapter, tmp_path):
    before = len(bank.exercises(chapter.EXERCISES[0].chapter))
    new = planted(monkeypatch, chapter)
    number = new.chapter
    assert bank.find(new.id) is new
    assert bank.exercises(number)[-1] is new
    assert new.id in [line.id for line in keys.key(CODE, number)]

    page = asking.exercises(lessons.Learner(CODE, tmp_path), chapter=number)
    assert len(page.children) == 2 * (before + 1), "a text and a box for each"
    assert f"{before + 1}. Once more." in shown(page)[-1]
    asked = bank.ask(new.id, CODE)
    page.children[-1].children[0].children[0].value = (
        f"{asked.right:.6g~P}" if isinstance(asked.right, Quantity) else f"{asked.right:.6g}"
    )
    assert judge(asked, asked.right).good
    assert new.id in lessons.Learner(CODE, tmp_path).progress.answers_to(number)


@EACH
def test_a_new_worked_example_is_worked_and_in_the_key(monkeypatch, chapter):
    last = chapter.EXAMPLES[-1]
    new = dataclasses.replace(last, id=f"{last.id}-again")
    monkeypatch.setattr(chapter, "EXAMPLES", (*chapter.EXAMPLES, new))
    assert bank.find_example(new.id) is new
    assert [line for line in keys.key(CODE, new.chapter) if line.id.startswith(new.id + ",")]
    page = asking.worked(lessons.Learner(), new.id)
    assert len(page.children) > len(new.steps)
    assert {each.id for each in new.questions} == {f"{new.id}-step-{n + 1}" for n in range(len(new.steps))}


def test_two_entries_of_one_id_are_refused(monkeypatch):
    chapter = EXERCISED[0]
    monkeypatch.setattr(chapter, "QUESTIONS", (*chapter.QUESTIONS, chapter.QUESTIONS[0]))
    with pytest.raises(Problem, match=chapter.QUESTIONS[0].id):
        bank.questions()
