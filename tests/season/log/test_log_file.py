"""Answers that are typed: what was understood counts, what was not is asked again and lost by nobody."""

import pytest
from stilltank.season import log
from stilltank.season.plan import Plan
from stilltank.units import Problem


@pytest.fixture(scope="module")
def plan():
    return Plan.make("quillgate-tub", "basil", start="2027-05-10", count=4)


@pytest.mark.parametrize(
    ("text", "nonsense", "answer", "read"),
    [
        ("date,level (cm),plants\n2027-06-01,20,lots\n", "abc", "4", lambda one: one.plants == 4),
        ("date,level (cm),pH\n2027-06-01,20,62\n", "sour", "6.2", lambda one: one.ph == (6.2, 6.2)),
        ("date,level (cm)\n2027-06-01,soon\n", "later", "20 cm", lambda one: one.level.m_as("cm") == 20),
        ("date,level (cm)\nlast week,20\n", "then", "2027-06-02", lambda one: one.day.day == 2),
        ("date,level (cm)\n,20\n", "3/4/27", "2027-06-02", lambda one: one.day.day == 2),
        ("date,level (cm)\n2027-04-01,20\n", "2027-04-02", "1 June", lambda one: one.day.month == 6),
        ("date,lift\n2027-06-01,huge\n", "abc", "light", lambda one: one.between is not None),
        ("date,level (cm)\n2027-06-04,42.1\n", "43 cm", "21.4 cm", lambda one: one.level.m_as("cm") == 21.4),
        (
            "date,level (cm),event\n2027-06-04,18,topped up\n",
            "some",
            "2 L",
            lambda one: one.added_water.m_as("L") == 2,
        ),
    ],
)
def test_a_typed_answer_is_understood_or_asked_for_again(tmp_path, plan, text, nonsense, answer, read):
    path = tmp_path / "my-log.csv"
    path.write_text(text, encoding="utf-8")
    found = log.read(path, plan)
    (question,) = found.questions
    with pytest.raises(Problem, match="does not answer this question"):
        found.answered(question, nonsense)
    assert [each.key for each in log.read(path, plan).questions] == [question.key]
    after = found.answered(question, answer)
    assert not after.questions
    assert read(after.visits[0])
    assert path.read_text(encoding="utf-8") == text
