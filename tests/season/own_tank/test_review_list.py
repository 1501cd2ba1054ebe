"""The review of the learner's plan as buttons: each change clears its flag, and can be taken back."""

import html
import re

import pytest
from stilltank.season import own_tank
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
        assert all(remedy.words in blocks for remedy in flag.remedies)
    assert words(found.status).strip().startswith(f"{len(found.flags)} flags.")
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


def test_what_another_panel_changes_makes_the_review_one_of_before(draft, found):
    flags = found.flags
    draft.change(count=2)
    assert found.flags == flags
    assert "has changed since" in words(found.status)
    found.again.click()
    assert "crowded" not in names(found)
    assert "has changed since" not in words(found.status)


def test_it_speaks_in_the_units_of_the_draft(draft, found):
    draft.show_in("US")
    found.again.click()
    weight = next(flag for flag in found.flags if flag.name == "weight")
    assert "lb" in weight.sentence


@pytest.mark.parametrize("wrong", [None, "my-tank.toml", 5, own_tank.Draft])
def test_what_is_no_draft_is_refused(wrong):
    with pytest.raises(Problem, match="draft"):
        own_tank.Review(wrong)
