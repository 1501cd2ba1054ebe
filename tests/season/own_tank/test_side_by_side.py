"""The learner's plan beside others: what is varied, what is refused, and that the plan itself stays as it is."""

import html
import re
from datetime import date

import ipywidgets as widgets
import pytest
from own_plan import OWN_PLAN
from stilltank.season import own_tank
from stilltank.units import Problem


@pytest.fixture
def draft(tmp_path):
    return own_tank.Draft(tmp_path / "my-tank.toml", count=4)


@pytest.fixture
def panel(draft):
    return own_tank.SideBySide(draft)


def said(panel):
    return html.unescape(re.sub(r"<[^>]+>", " ", panel.answer.sentence))


@pytest.mark.parametrize("kind", ["count", "start", "top_up", "tank"])
def test_each_kind_begins_with_two_to_four_plans_and_leaves_the_plan_alone(draft, panel, kind):
    before = draft.plan.text()
    panel._vary.value = kind
    assert 2 <= len(panel.found.names) <= 4
    assert "Problem" not in said(panel)
    for name in panel.found.names[1:]:
        assert name in panel.more.value
    assert f'alt="{panel.found.sentence()[:20]}' in html.unescape(panel.answer.picture)
    assert draft.plan.text() == before


def test_a_value_like_the_plans_is_left_out_and_none_at_all_is_said(draft, panel):
    for one in panel._values["count"]:
        one.box.value = "4" if isinstance(one.box, widgets.Text) else 4
    assert "differs" in said(panel)
    draft.change(count=3)
    assert panel.found.names == ("as planned", "4 plants")


def test_half_a_plant_is_refused_in_plain_words(panel):
    one = panel._values["count"][0]
    one.box.value = "2.5" if isinstance(one.box, widgets.Text) else 2.5
    assert "whole number" in said(panel)
    panel.reset()
    assert "Problem" not in said(panel)


def test_a_day_that_was_chosen_is_named(panel):
    panel._vary.value = "start"
    panel._values["start"][0].value = date(2027, 5, 10)
    assert "from 10 May 2027" in panel.found.names
    panel._values["start"][1].value = panel._values["start"][2].value = None
    assert panel.found.names == ("as planned", "from 10 May 2027")


def test_it_speaks_in_the_units_of_the_draft(draft, panel):
    assert " L" in panel.more.value
    draft.show_in("US")
    assert "US gal" in panel.more.value
    assert not re.search(r"\d L\b", panel.more.value + said(panel))


def test_with_a_plan_of_ones_own(tmp_path):
    path = tmp_path / "my-tank.toml"
    path.write_text(OWN_PLAN, encoding="utf-8")
    panel = own_tank.SideBySide(own_tank.Draft(path))
    assert panel.found.names[0] == "as planned"
    assert "first harvest" in said(panel)


@pytest.mark.parametrize("wrong", [None, "my-tank.toml", own_tank.Draft])
def test_what_is_no_draft_is_refused(wrong):
    with pytest.raises(Problem, match="draft"):
        own_tank.SideBySide(wrong)
