"""The review of the learner's plan as buttons: each change clears its flag, and can be taken back."""

import asyncio
import html
import re

import pytest
from stilltank.season import own_tank
from stilltank.season.own_tank import review_list
from stilltank.season.review import review
from stilltank.units import Problem, Q

HURRIED = {
    "crop": "zinnia",
    "start": "2027-08-16",
    "count": 6,
    "acid": "nitric acid 1 mol/L",
    "hole": Q(29, "cm"),
}


@pytest.fixture
def draft(tmp_path):
    return own_tank.Draft(tmp_path / "my-tank.toml", **HURRIED)


@pytest.fixture
def found(draft):
    return own_tank.Review(draft)


def words(widget):
    return html.unescape(re.sub(r"<[^>]+>", " ", widget.value))


def names(found):
    return [flag.name for flag in found.flags]


def test_it_says_each_flag_with_its_sentence_and_its_changes(found):
    blocks = " ".join(words(one) for one in found._list.children if hasattr(one, "value"))
    assert {"acid", "cold", "water", "high hole", "crowded", "weight"} <= set(names(found))
    for flag in found.flags:
        assert flag.sentence in blocks
        assert flag.at_tank in blocks
        assert flag.reason in blocks
        assert f"data/{flag.source}" in blocks
        for number, remedy in enumerate(flag.remedies):
            assert found.changes[flag.name, number].description == remedy.words
    assert words(found.status).strip().startswith(f"{len(found.flags)} flags")
    assert len(found.changes) == sum(len(flag.remedies) for flag in found.flags)


@pytest.mark.parametrize("name", ["acid", "cold", "water", "high hole", "warm roots", "crowded"])
def test_a_button_clears_its_flag_and_undo_brings_it_back(draft, found, name):
    before = draft.plan.text()
    assert found.undo.disabled
    found.changes[name, 0].click()
    assert name not in names(found)
    assert name not in [flag.name for flag in review(draft.plan)]
    assert not found.undo.disabled
    found.undo.click()
    assert draft.plan.text() == before
    assert name in names(found)
    assert found.undo.disabled


def test_it_looks_again_when_another_panel_has_changed_the_plan(draft, found):
    found.changes["acid", 0].click()
    assert not found.undo.disabled
    draft.change(count=2)
    assert "crowded" not in names(found)
    assert found.undo.disabled, "what was done before cannot be taken back past another change"


def test_it_waits_until_a_change_has_come_to_rest(draft, found, monkeypatch):
    """As in a notebook, where a loop runs: three quick moves are one review."""
    monkeypatch.setattr(review_list, "_REST", 0.05)
    seen = []
    monkeypatch.setattr(review_list, "review", lambda plan, system: seen.append(plan) or ())

    async def move():
        again = own_tank.Review(draft)
        for count in (5, 4, 3):
            draft.change(count=count)
        assert len(seen) == 1
        assert again.flags == ()
        await asyncio.sleep(0.4)

    asyncio.run(move())
    assert [plan.plants.count for plan in seen if plan is seen[-1]] == [3]
    assert len([plan for plan in seen if plan.plants.count in (5, 4)]) == 0


def test_a_button_of_a_plan_that_is_gone_does_nothing_but_say_so(draft, found):
    before = found.changes["acid", 0]
    found._at_rest.later = lambda act: True
    draft.change(count=2)
    before.click()
    assert "just changed" in words(found.status)
    assert draft.plan.acid == HURRIED["acid"]


def test_it_speaks_in_the_units_of_the_draft(draft, found):
    draft.show_in("US")
    weight = next(flag for flag in found.flags if flag.name == "weight")
    assert "lb" in weight.sentence


@pytest.mark.parametrize("wrong", [None, "my-tank.toml", 5, own_tank.Draft])
def test_what_is_no_draft_is_refused(wrong):
    with pytest.raises(Problem, match="draft"):
        own_tank.Review(wrong)
