"""How somebody grows a crop: pinched or not, by the seed packet, until a day of their own; in plan, file and panel."""

from datetime import date

import ipywidgets as widgets
import pytest
from stilltank.chapters.flowering_schedules import panels
from stilltank.science import crops, heat
from stilltank.season import own_tank
from stilltank.season.plan import Plan, PlanFault, grown
from stilltank.show.figures import short_day
from stilltank.units import Problem, Q


def made(**choices):
    return Plan.make(
        "quillgate-tub", **{"crop": "sunflower", "site": "new-york", "start": "2027-05-17"} | choices
    )


def test_a_plan_is_read_as_it_was_written(tmp_path):
    crop = crops.pinched(heat.with_packet_days("sunflower", Q(44, "day"), "transplant"))
    plan = made(crop=crop, count=2, until="2027-08-10")
    plan.save(tmp_path / "my-tank.toml")
    text = (tmp_path / "my-tank.toml").read_text()
    for line in (
        'packet_days = "44 days"',
        'packet_counted_from = "transplant"',
        "pinched = true",
        "until = 2027-08-10",
    ):
        assert line in text
    again = Plan.load(tmp_path / "my-tank.toml")
    assert again.plants.crop == crop
    assert again.until == date(2027, 8, 10)
    assert again.text(tmp_path) == plan.text(tmp_path)
    assert str(again.outlook.schedule) == str(plan.outlook.schedule)


def test_a_plan_without_them_says_nothing_of_them(tmp_path):
    text = made(count=2).text(tmp_path)
    assert not any(word in text for word in ("packet", "pinched", "until"))


@pytest.mark.parametrize(
    ("line", "instead", "words"),
    [
        ("count = 2", 'count = 2\npacket_days = "20 days"', "Look whether it counts from sowing"),
        ("count = 2", 'count = 2\npacket_days = "60 kg"', "packet_days"),
        ("count = 2", 'count = 2\npinched = "yes"', "pinched = true"),
        ('crop = "sunflower"', 'crop = "stock"\npinched = true', "Pinching is not for stock"),
        ("target_ph", 'until = "August"\ntarget_ph', "write the year first: 2027-04-26".capitalize()),
    ],
)
def test_a_line_that_cannot_be_used_is_named(tmp_path, line, instead, words):
    path = tmp_path / "my-tank.toml"
    path.write_text(made(count=2).text(tmp_path).replace(line, instead, 1))
    with pytest.raises(PlanFault, match=words) as caught:
        Plan.load(path)
    assert "line" in str(caught.value)


def test_the_end_that_was_chosen_is_the_end_of_the_season():
    """Planted on 17 May and cleared on 10 August: 86 days with both."""
    plan = made(until="2027-08-10", count=2)
    assert plan.outlook.schedule.end == date(2027, 8, 10)
    assert plan.outlook.days == 86
    assert plan.outlook.season.dates[-1].item() == date(2027, 8, 10)
    free = plan.change(until=None)
    assert free.outlook.schedule.end != date(2027, 8, 10)
    assert free.outlook.days != 86
    assert plan.change(count=1).until == date(2027, 8, 10), "another choice leaves it"


def test_another_crop_is_grown_as_in_the_table():
    plan = made(crop=grown("sunflower", True, Q(60, "day")), count=2)
    other = plan.change(crop="zinnia").plants.crop
    assert other == crops.crop("zinnia")


# The panel, from the hand to the number


@pytest.fixture
def panel(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    draft = own_tank.Draft("my-tank.toml", crop="sunflower", site="new-york", start="2027-05-17", count=2)
    return own_tank.growing_panel(draft)


def control(panel, label):
    def all_of(widget):
        yield widget
        for child in getattr(widget, "children", ()):
            yield from all_of(child)

    kinds = (widgets.FloatText, widgets.Dropdown, widgets.DatePicker)
    return next(one for one in all_of(panel) if isinstance(one, kinds) and one.description.startswith(label))


def test_the_packet_moves_the_dates(panel):
    """Sunflower takes 8 + 1351.7 / 21.3 = 71.5 days from sowing at 20 degC; a packet of 55 brings it sooner."""
    packet = control(panel, "Packet")
    assert packet.value == 71 or packet.value == 72
    before = panel.draft.plan.outlook.schedule.first_flower.expected
    packet.value = 55
    assert panel.draft.plan.plants.crop.packet_days == Q(55, "day")
    assert 10 <= (before - panel.draft.plan.outlook.schedule.first_flower.expected).days <= 18
    packet.value = 5
    assert "Problem" in panel.answer.sentence
    assert panel.draft.plan.plants.crop.packet_days == Q(55, "day"), "what was refused changes nothing"
    panel.reset()
    assert panel.draft.plan.plants.crop == crops.crop("sunflower")


def test_a_pinch_keeps_the_packet(panel):
    control(panel, "Packet").value = 60
    first = panel.draft.plan.outlook.schedule.first_flower.expected
    control(panel, "Tips").value = "yes"
    crop = panel.draft.plan.plants.crop
    assert crop.pinched
    assert crop.packet_days == Q(60, "day")
    assert (panel.draft.plan.outlook.schedule.first_flower.expected - first).days in (8, 9), (
        "in the middle of its range, give or take a whole day"
    )
    control(panel, "Tips").value = "no"
    assert panel.draft.plan.outlook.schedule.first_flower.expected == first


def test_the_last_harvest_is_set_and_given_back(panel):
    last = control(panel, "Last harvest")
    free = panel.draft.plan.outlook.schedule.end
    assert last.value == free
    last.value = date(2027, 9, 1)
    assert panel.draft.plan.until == panel.draft.plan.outlook.schedule.end == date(2027, 9, 1)
    assert "1 September 2027" in panel.answer.key
    last.value = None
    assert panel.draft.plan.until is None
    assert panel.draft.plan.outlook.schedule.end == free
    last.value = date(2027, 5, 1)
    assert "Problem" in panel.answer.sentence


def test_a_crop_that_is_not_pinched_has_no_such_choice(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    panel = own_tank.growing_panel(own_tank.Draft("my-tank.toml", crop="lettuce", count=2))
    with pytest.raises(StopIteration):
        control(panel, "Tips")


def test_a_crop_of_ones_own_cannot_be_written_to_a_file(tmp_path):
    import dataclasses

    own = dataclasses.replace(crops.pinched("sunflower"), stems_per_plant=9.0)
    with pytest.raises(Problem, match="changed from the table"):
        made(crop=own, count=2).text(tmp_path)


def test_chapter_5_asks_about_the_crop_as_it_is_grown(tmp_path, monkeypatch):
    """The panels of the chapter begin with the plan: its packet and its pinch move their dates too."""
    monkeypatch.chdir(tmp_path)
    draft = own_tank.Draft(
        "my-tank.toml",
        site="new-york",
        start="2027-05-17",
        count=2,
        crop=grown("sunflower", True, Q(60, "day")),
    )
    dates = draft.plan.outlook.schedule.first_flower
    panel = panels.in_time_panel(draft)
    assert f"expected on {short_day(dates.expected)}" in panel.answer.sentence
    free = panels.in_time_panel(
        own_tank.Draft("my-other.toml", site="new-york", start="2027-05-17", count=2, crop="sunflower")
    )
    assert f"expected on {short_day(dates.expected)}" not in free.answer.sentence
