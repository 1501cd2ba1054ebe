"""Ranges side by side: bars from low to high with their words, days that do not come, and one figure for all."""

from datetime import date

import pytest
from stilltank.show.figures import Ranges, RangeStrips
from stilltank.units import Problem

STEMS = Ranges("stems", [8.0, 10.0], [20.0, 12.0], [30.0, 16.0], ["8 to 30", "10 to 16"])
STOP = Ranges(
    "stop level",
    [date(2027, 6, 10), None],
    [date(2027, 7, 1), None],
    [None, None],
    ["from 10 June, or not at all", "in fewer than 1 of 10 seasons"],
)


def bars(axes):
    return [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in axes.patches]


def words(axes):
    return [one.get_text() for one in axes.texts]


def test_bars_run_from_low_to_high_and_say_so():
    drawing = RangeStrips()
    drawing.show(["as planned", "two plants"], [STEMS], "Two plans.")
    axes = drawing.figure.axes[0]
    assert bars(axes) == [(8.0, 30.0), (10.0, 16.0)]
    assert words(axes) == ["8 to 30", "10 to 16"]
    assert [label.get_text() for label in axes.get_yticklabels()] == ["as planned", "two plants"]
    assert [one.get_visible() for one in drawing.figure.axes] == [True, False, False]


def test_a_day_that_may_not_come_runs_to_the_edge_and_one_that_does_not_has_no_bar():
    drawing = RangeStrips()
    drawing.show(["as planned", "two plants"], [STEMS, STOP], "Two plans.")
    axes = drawing.figure.axes[1]
    assert [end for _, end in bars(axes)] == [axes.get_xlim()[1]]
    assert words(axes)[1] == "in fewer than 1 of 10 seasons"


def test_days_that_never_come_at_all_leave_an_empty_strip_with_words():
    never = Ranges("tank dry", [None], [None], [None], ["in fewer than 1 of 10 seasons"])
    drawing = RangeStrips(large=True)
    assert drawing.show(["as planned"], [never], "One plan.").sentence == "One plan."
    assert bars(drawing.figure.axes[0]) == []


def test_it_is_updated_in_place():
    drawing = RangeStrips()
    first = drawing.show(["a", "b"], [STEMS], "One.")
    second = drawing.show(["a", "b"], [STEMS, STOP], "Two.")
    assert first.figure is second.figure
    assert 'alt="Two."' in second.html()


def test_a_sentence_that_is_none_is_refused():
    with pytest.raises(Problem, match="sentence"):
        RangeStrips().show(["a"], [STEMS], None)
