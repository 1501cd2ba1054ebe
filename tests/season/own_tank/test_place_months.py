"""Twelve months typed or pasted: how they are read, and what becomes of the plan."""

import ipywidgets as widgets
import pytest
from stilltank.science import weather
from stilltank.season import own_tank
from stilltank.season.own_tank.place_months import twelve_from
from stilltank.units import Problem

HIGHS = "9, 10, 13, 16, 19, 22, 24, 24, 22, 18, 13, 10"
LOWS = "4\n4\n6\n8\n11\n14\n16\n16\n14\n11\n7\n5\n"
RAIN = "120;90;80;70;60;60;50;70;80;110;130;130"


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        (HIGHS, 9, 10),
        (LOWS, 4, 5),
        (RAIN, 120, 130),
        ("9,10,13,16,19,22,24,24,22,18,13,10", 9, 10),
        ("9,5 10,1 13,2 16,0 19,4 22,1 24,0 24,6 22,3 18,8 13,1 10,9", 9.5, 10.9),
        ("9,5; 10,1; 13,2; 16; 19,4; 22,1; 24; 24,6; 22,3; 18,8; 13,1; 10,9", 9.5, 10.9),
        (
            "Jan\t9\nFeb\t10\nMar\t13\nApr\t16\nMay\t19\nJun\t22\nJul\t24\nAug\t24\nSept 22\nOct 18\nNov 13\nDec 10",
            9,
            10,
        ),
        ("−9 °C, -8, -3, 4, 11, 16, 19, 18, 12, 6, 0, −6", -9, -6),
        ("48 F, 50, 55, 61, 66, 72, 75, 75, 72, 64, 55, 50", 48, 50),
    ],
)
def test_rows_as_people_write_them(text, first, last):
    found = twelve_from(text, "Mean highs", "degC").magnitude
    assert (len(found), found[0], found[-1]) == (12, first, last)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1, 2, 3", "you typed 3 numbers"),
        ("", "you typed 0 numbers"),
        (HIGHS + ", 4", "13 numbers"),
        (HIGHS.replace("16", "warm"), '"warm" is no number'),
        (HIGHS.replace("16", "1-6"), '"1-6" is no number'),
        (HIGHS + " mm", "you typed mm. Type °C"),
        (HIGHS.replace("16", "16 °F").replace("19", "19 °C"), "no number"),
    ],
)
def test_rows_that_are_none_get_a_sentence(text, words):
    with pytest.raises(Problem, match="Mean highs") as refused:
        twelve_from(text, "Mean highs", "degC")
    assert words in str(refused.value)


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml", count=4)


def typed(draft, system="metric"):
    made = own_tank.PlaceMonths(draft)
    made.opener.value = True
    made.units.value = system
    for name, text in (("highs", HIGHS), ("lows", LOWS), ("rain", RAIN)):
        made.rows[name].value = text
    return made


def test_from_the_hand_to_the_weather(draft):
    place = own_tank.place_panel(draft)
    made = typed(draft)
    made.button.click()
    plan = draft.plan
    assert "Made 30 years of weather" in made.status.value
    assert plan.site.name == "your own place"
    assert weather.monthly_means(plan.site.weather).temperature_max.m_as("degC")[0] == pytest.approx(9)
    assert "Made from twelve monthly means" in place.more.value
    assert place.rows["record"].value == ""
    assert made.rows["lows"].value == LOWS  # as it was typed


def test_inches_and_fahrenheit(draft):
    made = own_tank.PlaceMonths(draft)
    made.units.value = "US"
    assert made.rows["highs"].description.endswith("°F")
    made.rows["highs"].value = "48, 50, 55, 61, 66, 72, 75, 75, 72, 64, 55, 50"
    made.rows["lows"].value = "39, 39, 43, 46, 52, 57, 61, 61, 57, 52, 45, 41"
    made.rows["rain"].value = "4.7, 3.5, 3.1, 2.8, 2.4, 2.4, 2, 2.8, 3.1, 4.3, 5.1, 5.1"
    made.button.click()
    found = weather.monthly_means(draft.plan.site.weather)
    assert found.temperature_max.m_as("degF")[0] == pytest.approx(48)
    assert found.precipitation.m_as("inch")[6] == pytest.approx(2)


def test_a_row_that_does_not_fit_leaves_the_plan(draft):
    before, made = draft.plan, typed(draft)
    made.rows["lows"].value = HIGHS
    made.rows["highs"].value = LOWS
    made.button.click()
    assert draft.plan is before
    assert "January: the low" in made.status.value
    assert 'role="alert"' in made.status.value


def test_a_saved_place_is_shown_again(draft):
    made = typed(draft)
    made.button.click()
    draft.save()
    again = own_tank.Draft("my-tank.toml")
    shown = own_tank.PlaceMonths(again)
    assert shown.opener.value
    assert shown.rows["rain"].value.replace(" ", "") == RAIN.replace(";", ",")
    assert shown.rows["highs"].value == HIGHS


def test_another_record_and_back_to_the_start(draft):
    place = own_tank.place_panel(draft)
    typed(draft).button.click()
    place.rows["record"].value = "new-york"
    assert draft.plan.months is None
    place.reset()
    assert draft.plan.record == "quillgate"


def test_a_moved_place_makes_its_weather_again(draft):
    place = own_tank.place_panel(draft)
    typed(draft).button.click()
    place.rows["latitude"].box.value = 50
    assert draft.plan.months is not None
    assert draft.plan.site.weather.latitude.m_as("degree") == 50


def test_every_box_has_words(draft):
    made = typed(draft)
    boxes = [one for one in made.children if isinstance(one, (widgets.Textarea, widgets.Dropdown))]
    assert len(boxes) == 5
    assert all(len(one.description) > 8 for one in boxes)
