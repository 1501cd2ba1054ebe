"""How much is left in the own tank: by stick, dipstick, scale and tilt, worked out here by hand."""

import datetime
import html
import re

import pytest
from stilltank.science import tank
from stilltank.season import own_tank
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q

BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"), empty_mass=Q(2.8, "kg"))
JUGS = tank.Measured(
    Q([4, 7.8, 14.8, 21.3, 27.3, 30], "cm"), Q([5, 10, 20, 30, 40, 45], "L"), net_pot_depth=Q(7, "cm")
)
ROUND = tank.Cylinder(Q(11.8, "inch"), Q(15.3, "inch"), net_pot_depth=Q(2.75, "inch"))
DAY = datetime.date(2027, 6, 15)


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml", tank=BOX, crop="basil", count=3)


@pytest.fixture
def panel(draft):
    return own_tank.reading_panel(draft)


def words(shown):
    return html.unescape(re.sub(r"<[^>]+>", " ", shown)).strip()


def said(panel):
    return words(panel.answer.key) + " | " + words(panel.answer.sentence)


def type_in(panel, way, **texts):
    panel.rows["way"].value = way
    for name, text in texts.items():
        panel.rows[name].box.value = text


def test_by_a_stick(panel):
    """60 by 40 cm: 2.4 L a centimetre; the stick may be off by 2 mm."""
    type_in(panel, "level", level="12.5")
    assert said(panel).startswith("30 L left (29.5 to 30.5 L)")
    panel.system.value = "US"
    type_in(panel, "level", level="4 7/8")
    assert panel._found.volume.m_as("L") == pytest.approx(4.875 * 2.54 * 2.4)


def test_by_the_dipstick(panel):
    type_in(panel, "litres", litres="30")
    assert panel._found.reading.level.m_as("cm") == pytest.approx(12.5)
    type_in(panel, "litres", litres="6 US gal")
    assert panel._found.volume.m_as("L") == pytest.approx(6 * 3.785411784)


def test_by_a_scale_without_plants_and_with_them(panel):
    """30 L at 20 °C weigh 30 times 0.9982 kg."""
    type_in(panel, "weight", mass=f"{2.8 + 30 * 0.9982:.4f}", empty="2.8")
    assert said(panel).startswith("30 L left (29.8 to 30.2 L)")
    type_in(panel, "weight", mass=f"{2.8 + 1.6 + 30 * 0.9982:.4f}", plants="1.6")
    assert panel._found.volume.m_as("L") == pytest.approx(30, abs=0.01)
    assert panel._found.doubt.m_as("L") == pytest.approx((0.4**2 + 0.4**2) ** 0.5), (
        "0.4 kg, and a quarter of 1.6 kg"
    )


def test_by_a_tilt(panel):
    """One end 6 cm up over 60 cm of floor, wet for 24 cm: a wedge 24 cm long and 24 tan(asin 0.1) deep, 40 cm wide."""
    type_in(panel, "tilt", raised="6", wet="24")
    slope = 0.1 / (1 - 0.1**2) ** 0.5
    by_hand = 40 * 24 * 24 * slope / 2 / 1000
    assert panel._found.volume.m_as("L") == pytest.approx(by_hand, rel=1e-9)
    assert panel._found.doubt.m_as("L") == 1


@pytest.mark.parametrize(
    ("way", "texts", "told"),
    [
        ("level", {"level": "40"}, "32 cm"),
        ("level", {"level": "0"}, "empty"),
        ("level", {"level": "half"}, "half"),
        ("litres", {"litres": "90"}, "outside"),
        ("weight", {"mass": "2"}, "less than tank and plants"),
        ("weight", {"empty": "0"}, "Weigh tub and lid once"),
        ("weight", {"mass": "99"}, "full"),
        ("tilt", {"raised": "0"}, "higher"),
        ("tilt", {"wet": "70"}, "0 to 60 cm"),
    ],
)
def test_what_does_not_fit_is_said(panel, draft, way, texts, told):
    type_in(panel, way, **texts)
    assert "Problem:" in said(panel)
    assert told in said(panel)
    before = draft.plan
    panel.take.click()
    assert draft.plan is before, "there is no reading to go on from"


@pytest.mark.parametrize("body", [JUGS, ROUND], ids=["measured", "round"])
def test_other_shapes_are_told_why_they_cannot_be_tilted(panel, draft, body):
    draft.change(tank=body)
    panel.rows["way"].value = "tilt"
    assert "box with upright walls" in said(panel)
    type_in(panel, "weight", mass="20", empty="1.5")
    assert panel._found.volume.m_as("L") == pytest.approx(18.5 / 0.9982, rel=1e-4)


def test_the_plan_goes_on_from_the_reading_and_back(panel, draft):
    season = own_tank.season_panel(draft, keep=False)
    first = words(season.answer.sentence)
    panel.rows["day"].value = DAY
    type_in(panel, "level", level="12.5")
    looked = panel._found.look
    panel.take.click()
    assert draft.plan.reading.day == DAY
    assert draft.plan.reading.level.m_as("cm") == pytest.approx(12.5)
    assert draft.plan.start == datetime.date(2027, 4, 26), "the plants keep their age"
    assert "on 15 June 2027" in words(season.answer.sentence)
    assert "goes on from 12.5 cm" in words(panel.said.value)
    assert panel._found.look.date == looked.date
    draft.save()
    again = own_tank.Draft("my-tank.toml")
    assert again.plan.reading.level.m_as("cm") == pytest.approx(12.5)
    assert own_tank.reading_panel(again).rows["day"].value == DAY
    panel.drop.click()
    assert draft.plan.reading is None
    assert words(season.answer.sentence) == first
    assert panel.drop.disabled


def test_a_lower_hole_drilled_in_mid_season_leaves_the_filling_as_it_was():
    """And no young plant hangs dry: they have roots by then."""
    plan = Plan.make(BOX, "basil", count=3)
    later = plan.change(
        reading=own_tank.left(plan, "level", DAY, level=Q(12.5, "cm")).reading, hole=Q(13.5, "cm")
    )
    assert later.outlook.volume.m_as("L") == pytest.approx(27 * 2.4)
    assert later.outlook.low_hole == ""
    assert plan.change(hole=Q(13.5, "cm")).outlook.low_hole != ""
    most = later.outlook.season.levels.level.m_as("cm").max()
    assert most <= 13.5 + 1e-9


def test_another_tank_begins_anew_and_units_there_and_back_keep_what_was_typed(panel, draft):
    type_in(panel, "level", level="11.3")
    shown = panel.answer.value
    panel.system.value = "US"
    assert panel.rows["level"].box.value == "4.449"
    panel.system.value = "metric"
    assert (panel.rows["level"].box.value, panel.answer.value) == ("11.3", shown)
    draft.change(target_ph=6.1)
    assert panel.rows["level"].box.value == "11.3"
    draft.change(tank=ROUND)
    assert panel.rows["level"].box.value != "11.3"
    assert "Problem" not in said(panel)


def test_no_day_is_no_reading(panel):
    panel.rows["day"].value = None
    assert "day" in said(panel)
    panel.rows["day"].value = datetime.date(2027, 4, 1)
    assert "before the tank was planted" in said(panel)


def test_what_is_no_draft_is_refused():
    with pytest.raises(Problem, match="draft"):
        own_tank.reading_panel("my-tank.toml")


@pytest.mark.parametrize(
    ("way", "read"),
    [
        ("sonar", {"level": Q(5, "cm")}),
        (None, {}),
        ("level", {}),
        ("level", {"level": 5}),
        ("level", {"level": Q(5, "kg")}),
        ("level", {"level": Q([5, 6], "cm")}),
        ("weight", {"mass": Q(5, "kg")}),
        ("weight", {"mass": Q(5, "kg"), "empty": 2, "plants": Q(0, "kg")}),
        ("tilt", {"raised": Q(5, "L"), "wet": Q(5, "cm")}),
    ],
)
def test_wrong_readings_from_code_are_refused_in_words(way, read):
    plan = Plan.make(BOX, "basil", count=3)
    with pytest.raises(Problem):
        own_tank.left(plan, way, DAY, **read)
    with pytest.raises(Problem):
        own_tank.left("my-tank.toml", "level", DAY, level=Q(5, "cm"))
    with pytest.raises(Problem):
        own_tank.left(plan, "level", "yesterday", level=Q(5, "cm"))
