"""The panel on topping up: from the hand to the litres."""

import re

import ipywidgets as widgets
import pytest
from stilltank.season import own_tank
from stilltank.units import Q


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml", crop="basil", count=4, start="2027-05-10")


@pytest.fixture
def panel(draft):
    return own_tank.top_up_panel(draft)


def problem(panel):
    return 'role="alert"' in panel.answer.sentence


def shown(panel):
    return set(panel.rows)


def key(panel):
    return re.sub(r"<[^>]+>", "", panel.answer.key)


def test_at_first_nobody_comes(panel):
    assert shown(panel) == {"ends", "way"}
    assert "if nobody comes" in key(panel)


@pytest.mark.parametrize(
    ("way", "rows"),
    [
        ("mark", {"every", "level"}),
        ("little", {"every"}),
        ("rain caught", {"every", "level", "area", "size"}),
        ("drip", {"daily"}),
        ("float valve", {"level"}),
    ],
)
def test_each_way_has_its_own_controls_and_answers(panel, draft, way, rows):
    panel.rows["way"].value = way
    assert not problem(panel), panel.answer.sentence
    assert shown(panel) == {"ends", "way", "strength", "water"} | rows
    assert "to add" in key(panel)
    assert draft.plan.outlook.top_ups.carried.m_as("L") > 1
    assert "of 100 simulated seasons the tank runs dry" in panel.more.value
    panel.rows["strength"].box.value = 50
    assert draft.plan.top_up.strength == 0.5
    assert panel.rows["way"].value == way
    panel.rows["way"].value = "nothing"
    assert shown(panel) == {"ends", "way"}


def test_a_mark_in_inches_every_three_days(panel, draft):
    panel.rows["way"].value = "mark"
    panel.system.value = "US"
    panel.rows["level"].box.value = 6
    panel.rows["every"].box.value = 3
    assert draft.plan.top_up.name == "by hand every 3 days to 6 in, plain water"
    assert "US gal" in key(panel)


def test_a_barrel_of_ones_own(panel, draft):
    panel.rows["way"].value = "rain caught"
    before = draft.plan.outlook.season.share_of("run_dry")
    panel.rows["area"].box.value = 0.2
    panel.rows["size"].box.value = 10
    barrel = draft.plan.top_up.barrel
    assert (barrel.area.m_as("m^2"), barrel.size.m_as("L")) == (0.2, 10)
    assert draft.plan.outlook.season.share_of("run_dry") > before
    assert panel.rows["water"].value == "rain"
    panel.rows["water"].value = ""
    assert draft.plan.outlook.top_up_water is draft.plan.water or draft.plan.top_up_water is draft.plan.water


def test_until_when(panel, draft):
    own = draft.plan.outlook.end
    panel.rows["ends"].value = "frost"
    assert draft.plan.until == "frost"
    panel.rows["ends"].value = "date"
    assert draft.plan.until == panel.rows["end"].value
    panel.rows["ends"].value = ""
    assert draft.plan.outlook.end == own
    assert "end" not in panel.rows


def test_every_option_and_every_end_of_a_slider_works(panel, draft):
    for way in ("mark", "rain caught", "drip"):
        panel.rows["way"].value = way
        for name in list(panel.rows):
            made = panel.rows[name]
            if isinstance(made, widgets.Dropdown) and name != "way":
                for _, value in made._options_full:
                    made.value = value
                    assert not problem(panel), (name, value, panel.answer.sentence)
        for name in [one for one in panel.rows if hasattr(panel.rows[one], "box")]:
            made = panel.rows[name]
            for end in (made.slider.min, made.slider.max):
                made.box.value = end
                if problem(panel):  # a mark above the hole, or no drip at all, is said in words
                    assert name in ("level", "daily"), (way, name, end, panel.answer.sentence)
                    made.box.value = 15 if name == "level" else 0.5
                assert not problem(panel)


def test_nonsense_is_said_in_words(panel, draft):
    panel.rows["way"].value = "rain caught"
    for name, right in (("every", 3), ("level", 15), ("area", 2), ("size", 100), ("strength", 0)):
        for value in (-1.0, float("nan"), 1e9):
            good = draft.plan
            panel.rows[name].box.value = value
            assert problem(panel), (name, value)
            assert draft.plan is good
            panel.rows[name].box.value = right
            assert not problem(panel)


def test_hard_water_is_said_with_the_acid(panel, draft):
    panel.rows["way"].value = "mark"
    assert "Acid for the top-up" in panel.more.value
    panel.rows["water"].value = "rain"
    assert "Acid for the top-up" not in panel.more.value


def test_a_saved_routine_opens_again(panel, draft):
    panel.rows["way"].value = "rain caught"
    panel.rows["strength"].box.value = 50
    draft.save()
    again = own_tank.top_up_panel(own_tank.Draft("my-tank.toml"))
    assert again.rows["way"].value == "rain caught"
    assert again.rows["strength"].box.value == 50
    assert not problem(again)


def test_back_to_the_start(panel, draft):
    panel.rows["way"].value = "float valve"
    panel.rows["ends"].value = "frost"
    panel.reset()
    assert draft.plan.top_up.way == "nothing"
    assert draft.plan.until is None


def test_a_lower_tank_says_that_the_mark_is_too_high(panel, draft):
    panel.rows["way"].value = "mark"
    panel.rows["level"].box.value = Q(33, "cm").magnitude
    assert problem(panel)
    assert "cm" in panel.answer.sentence
