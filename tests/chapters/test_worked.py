"""Worked examples: the same labelled steps, ever more of them blank, with numbers of one's own."""

import pytest
from stilltank.chapters.bank import examples, work_through
from stilltank.learning.questions import State, judge
from stilltank.learning.worked import STAGES
from stilltank.units import Problem, Unreadable

IDS = list(examples())


@pytest.mark.parametrize("id", IDS)
def test_steps_fade_from_the_end(id):
    stages = work_through(id, "7B-12")
    labels = [[line.label for line in stage.lines] for stage in stages]
    assert all(each == labels[0] for each in labels)
    if id.startswith("mixing-"):
        assert labels[0][:3] == ["amount wanted", "part that is the element", "mass of salt"]
    for stage, blank in zip(stages, (0, 1, 2, len(labels[0])), strict=True):
        asked = [line.asked is not None for line in stage.lines]
        assert asked == [False] * (len(asked) - blank) + [True] * blank
        assert len(stage.blanks) == blank
    assert [stage.name for stage in stages] == list(STAGES)


@pytest.mark.parametrize("id", IDS)
def test_the_whole_example_is_the_same_for_all_and_the_rest_is_ones_own(id):
    whole = {str(work_through(id, code)[0]) for code in ("A1", "A2", "7B-12")}
    assert len(whole) == 1
    for stage in (1, 2, 3):
        own = {str(sorted(work_through(id, f"A{n}")[stage].numbers.items())) for n in range(1, 21)}
        assert len(own) > 5
        for code in ("A1", "B2"):
            one, again = work_through(id, code)[stage], work_through(id, code)[stage]
            assert str(one) == str(again)
            assert one.numbers != examples()[id].shown


@pytest.mark.parametrize("id", IDS)
def test_a_blank_is_answered_like_a_question(id):
    for stage in work_through(id, "C4"):
        for blank in stage.blanks:
            assert judge(blank, "").state == State.BLANK
            assert judge(blank, blank.right).good
            assert judge(blank, blank.right / 1000).slips == ("thousandfold",)
            far = next(f for f in (1.37, 1.53, 1.71) if judge(blank, f * blank.right).state != State.SLIP)
            first, second = (judge(blank, far * blank.right, attempt) for attempt in (1, 2))
            assert first.state == second.state == State.OTHER
            assert second.hint == blank.route != first.hint


def test_the_worked_examples_own_number_is_known():
    """100 mg/L in 10 L: 1 g of nitrogen, 6.452 g of calcium nitrate."""
    for stage in work_through("mixing-worked-calcium-nitrate", "7B-12")[1:]:
        by_label = {line.label: line.asked for line in stage.lines}
        if asked := by_label["mass of salt"]:
            assert "the example's number" in judge(asked, "6.45 g").slips


def test_a_blank_does_not_show_its_answer():
    for id in IDS:
        for stage in work_through(id, "7B-12"):
            shown = str(stage)
            for blank in stage.blanks:
                assert blank.route.partition(": ")[2] not in shown


def test_calls_that_cannot_be():
    with pytest.raises(Problem, match="mixing-worked"):
        work_through("mixing-worked-iron", "A1")
    with pytest.raises(Unreadable, match="name"):
        work_through(IDS[0], "Marta")
    with pytest.raises(Problem, match="stages 0 to 3"):
        examples()[IDS[0]].stage(4, "A1")
