"""Setting other crops in, noting plants that died, and taking both back, as the hand does it."""

from datetime import date

import pytest
from stilltank.season import own_tank


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml", crop="basil", count=3, start="2027-05-10")


@pytest.fixture
def panel(draft):
    return own_tank.plants_panel(draft)


def set_in(panel, crop, count, day=None, depth=""):
    panel.crop.value, panel.count.value, panel.day.value, panel.depth.value = crop, count, day, depth
    panel.add.click()


def test_another_crop_is_set_in_with_its_day_and_its_pots(panel, draft):
    set_in(panel, "lettuce", "2", date(2027, 5, 20), "2 in")
    (group,) = draft.plan.beside
    assert (group.crop.name, group.count, group.transplanted) == ("lettuce", 2, date(2027, 5, 20))
    assert group.pot_depth.m_as("cm") == pytest.approx(5.08)
    assert "3 basil, 2 lettuce" in panel.shown.value
    assert "Set in: 2 lettuce from 2027-05-20" in panel.status.value
    assert panel.count.value == ""


@pytest.mark.parametrize(
    ("count", "depth", "words"),
    [
        ("", "", '"Plants" is empty'),
        ("2.5", "", '"Plants" reads "2.5"'),
        ("-1", "", '"Plants" reads "-1"'),
        ("0", "", "Type a whole number"),
        ("2", "5", "5"),
        ("2", "90 cm", "A pot depth lies between"),
    ],
)
def test_what_does_not_fit_stays_in_its_box(panel, draft, count, depth, words):
    before = draft.plan.text()
    set_in(panel, "lettuce", count, None, depth)
    assert words.replace('"', "&quot;") in panel.status.value or words in panel.status.value
    assert (panel.count.value, panel.depth.value) == (count, depth)
    assert draft.plan.text() == before


def test_a_death_is_noted_and_taken_back(panel, draft):
    panel.whose.value, panel.dead.value, panel.died.value = 0, "1", date(2027, 6, 10)
    panel.note.click()
    assert [str(one) for one in draft.plan.losses] == ["1 on 2027-06-10"]
    panel.forget.click()
    assert draft.plan.losses == ()


def test_more_deaths_than_plants_are_refused(panel, draft):
    panel.dead.value, panel.died.value = "4", date(2027, 6, 10)
    panel.note.click()
    assert "3 plants are left, and 4 cannot die" in panel.status.value
    assert draft.plan.losses == ()


def test_a_death_needs_its_day(panel):
    panel.dead.value = "1"
    panel.note.click()
    assert "Choose the day" in panel.status.value


def test_a_crop_is_taken_out_and_the_leading_one_stays(panel, draft):
    set_in(panel, "lettuce", "2")
    panel.whose.value = 1
    panel.out.click()
    assert draft.plan.beside == ()
    panel.whose.value = 0
    panel.out.click()
    assert "This is the leading crop" in panel.status.value


def test_slots_are_counted_and_too_many_plants_for_them_said(panel, draft):
    panel.slots.value = "4"
    panel.counted.click()
    assert draft.plan.slots == 4
    assert "3 of its 4 slots are taken at once" in panel.shown.value
    set_in(panel, "lettuce", "2")
    assert "5 plants stand in the tank at once, and its lid has 4 slots" in panel.shown.value
    set_in(panel, "lettuce", "2", date(2027, 8, 1))  # the first lettuces are out by then
    assert draft.plan.outlook.most_at_once == 5


def test_what_another_panel_changes_is_shown(panel, draft):
    draft.change(count=2)
    assert "2 basil" in panel.shown.value


def test_the_end_until_frost_does_not_upset_the_panel_of_how_it_is_grown(draft):
    growing = own_tank.growing_panel(draft)
    draft.change(until="frost")
    assert draft.plan.until == "frost"
    assert growing.rows["until"].value == draft.plan.outlook.schedule.end
