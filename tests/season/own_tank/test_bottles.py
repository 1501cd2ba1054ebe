"""How to mix, chosen and printed without a line of code."""

import pytest
from printed import words_of
from stilltank.science import mixing
from stilltank.season import own_tank, paper
from stilltank.units import Problem, write


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml", count=4)


def test_it_shows_the_way_that_is_chosen_and_follows_the_plan(draft):
    bottles = own_tank.Bottles(draft)
    assert "Calcium stock, made up to 1 L" in words_of(bottles.shown.value)
    bottles.mix.value = "spoons"
    assert "Level teaspoons" in words_of(bottles.shown.value)
    bottles.test.value = "drops"
    assert "the test shows pH" in words_of(bottles.shown.value)
    bottles.mix.value = "bottles"
    before = write(mixing.two_bottles(draft.plan.outlook.recipe).dose)
    draft.change(tank="jar-4")
    after = write(mixing.two_bottles(draft.plan.outlook.recipe).dose)
    assert before != after
    assert f"Put {after} of each into the tank" in words_of(bottles.shown.value)


def test_labels_and_card_are_made_in_the_folder_of_the_plan(draft, tmp_path):
    bottles = own_tank.Bottles(draft)
    bottles.paper.value = "Letter"
    bottles.labels.click()
    text = (tmp_path / "my-tank-labels.html").read_text(encoding="utf-8")
    assert "size: Letter" in text
    assert text.count("<article>") == 4
    bottles.mix.value = "bottles"
    bottles.test.value = "strips"
    bottles.card.click()
    card = words_of((tmp_path / "my-tank-card.html").read_text(encoding="utf-8"))
    assert words_of(paper.mix_section(draft.plan, mode="bottles")) in card
    assert "pH read by strips" in card


def test_the_card_that_is_saved_goes_by_the_same_way(draft, tmp_path):
    bottles, keep = own_tank.Bottles(draft), own_tank.Keep(draft)
    bottles.mix.value = "spoons"
    keep.button.click()
    path = tmp_path / "my-tank-card.html"
    assert "Level teaspoons" not in path.read_text(encoding="utf-8")  # not before it was asked for
    bottles.card.click()
    keep.button.click()
    assert "Level teaspoons" in path.read_text(encoding="utf-8")


def test_a_plan_without_bottles_is_said(draft, monkeypatch):
    bottles = own_tank.Bottles(draft)
    monkeypatch.setattr("stilltank.season.own_tank.bottles.labels_for", lambda *_, **__: ())
    bottles.labels.click()
    assert "needs no bottles" in bottles.status.value
    with pytest.raises(Problem):
        own_tank.Bottles("my-tank.toml")
