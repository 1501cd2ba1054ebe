"""What is wrong with it: signs found by the words people use, with source, cause and next step."""

import pytest
from stilltank import tables
from stilltank.season import own_tank
from stilltank.season.plan import Plan
from stilltank.season.signs import measured, signs
from stilltank.units import Problem, Q, UnitNeeded

MUST = {
    "mildew": "white powder",
    "aphids": "sticky",
    "algae": "green film",
    "slime": "brown slimy roots",
    "yellow leaves": "yellow",
    "tip burn": "brown edge",
    "leaning stems": "lean",
    "mosquito larvae": "wrigglers",
    "weeds": "not the crop",
}


@pytest.mark.parametrize(("asked", "part"), MUST.items())
def test_what_people_ask_is_found(asked, part):
    assert any(part in sign.name for sign in signs(asked))


def test_each_sign_says_cause_tank_next_step_and_its_source():
    for sign in signs():
        assert sign.cause and sign.look and sign.do  # noqa: PT018
        assert sign.still_tank in ("yes", "no", "partly")
        entry = tables.where_from(sign.source)
        assert entry.kind == "common practice" or entry.source


def test_readings_speak_for_or_against():
    basil = Plan.make(crop="basil")
    assert "become likely" in measured(basil, ph=7.4)[0]
    assert "extension service" in measured(basil, ph=5.8)[0]
    assert "high for basil" in measured(basil, conductivity=Q(6, "mS/cm"))[0]
    assert "root rot" in measured(basil, solution_temperature=Q(29, "degC"))[0]


def test_unknown_words_and_nothing_measured_are_said():
    with pytest.raises(Problem, match="extension service"):
        signs("qqqq")
    with pytest.raises(Problem, match="one of"):
        signs(part="lid")
    with pytest.raises(Problem, match="first"):
        measured(Plan.make())
    with pytest.raises(UnitNeeded):
        measured(Plan.make(), conductivity=3)


def test_the_form_answers(tmp_path):
    panel = own_tank.signs_panel(own_tank.Draft(tmp_path / "my-tank.toml"))
    panel.seen.value, panel.ph.value = "yellow leaves", "7,4"
    panel.answer.click()
    assert "7.4 is high" in panel._list.value
    panel.seen.value = "xyzzy"
    panel.answer.click()
    assert "extension service" in panel.status.value
