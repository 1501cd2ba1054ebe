"""From the hand to the litres: tubs of every shape, typed as people have them, and worked out here by hand."""

import html
import math
import re

import pytest
from boxes import number_in
from stilltank.science import tank
from stilltank.season import own_tank
from stilltank.season.paper import tank_card
from stilltank.season.plan import Plan
from stilltank.units import Q

IN = 2.54  # cm, exactly: the international inch


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml")


@pytest.fixture
def panel(draft):
    return own_tank.tank_panel(draft)


def said(panel):
    return html.unescape(re.sub(r"<[^>]+>", " ", panel.answer.key + panel.answer.sentence))


def right(panel):
    return "Problem" not in said(panel)


def put(panel, **sizes):
    for name, value in sizes.items():
        panel.rows[name].box.value = value
        assert right(panel), (name, said(panel))


def test_a_round_bucket_in_inches(panel, draft):
    """11.8 in across and 15.3 in high, net pots of 2 3/4 in: by hand, with pi r² h."""
    panel.system.value = "US"
    panel.rows["shape"].value = "cylinder"
    put(panel, diameter="11.8", height="15.3", net_pot_depth="2 3/4")
    litres = math.pi * (11.8 * IN / 2) ** 2 * 15.3 * IN / 1000
    assert draft.plan.tank.capacity.m_as("L") == pytest.approx(litres, rel=1e-9)
    assert litres == pytest.approx(27.42, abs=0.005)
    fill = (15.3 - 2.75) * IN + 2  # cm: the pots stand 2 cm in the solution
    assert draft.plan.outlook.fill_level.m_as("cm") == pytest.approx(fill, rel=1e-9)
    assert draft.plan.tank.lid_area.m_as("cm^2") == pytest.approx(math.pi * (11.8 * IN / 2) ** 2, rel=1e-9)
    panel.system.value = "metric"
    assert panel.rows["net_pot_depth"].box.value == "6.985"
    panel.system.value = "US"
    assert panel.rows["net_pot_depth"].box.value == "2 3/4"


def test_a_bucket_wider_at_the_top(panel, draft):
    panel.rows["shape"].value = "tapered cylinder"
    put(panel, bottom_diameter="26", top_diameter="30", height="36")
    by_hand = math.pi * 36 / 12 * (26**2 + 26 * 30 + 30**2) / 1000  # a truncated cone
    assert draft.plan.tank.capacity.m_as("L") == pytest.approx(by_hand, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("27 1/8", 27.125),
        ("27 1/8 in", 27.125),
        ('27 1/8"', 27.125),
        ("27⅛ in", 27.125),
        ("68,9 cm", 68.9 / IN),
    ],
)
def test_a_size_as_the_ruler_has_it(panel, draft, text, inches):
    panel.system.value = "US"
    put(panel, top_length=text)
    assert draft.plan.tank.top_length.m_as("inch") == pytest.approx(inches, rel=1e-12)


def test_43_3_stays_43_3(panel, draft):
    put(panel, top_length="43.3")
    for _ in range(3):
        panel.system.value = "US"
        assert number_in(panel.rows["top_length"].box) == pytest.approx(43.3 / IN, abs=0.005)
        panel.system.value = "metric"
        assert panel.rows["top_length"].box.value == "43.3"
    draft.save()
    again = own_tank.tank_panel(own_tank.Draft("my-tank.toml"))
    assert again.rows["top_length"].box.value == "43.3"
    assert draft.plan.tank.top_length.m_as("cm") == 43.3


@pytest.mark.parametrize("text", ["wide", "27 1/8 kg", "", "30 or so", "1e", "-4"])
def test_what_is_no_length_is_refused_and_stays_to_be_put_right(panel, draft, text):
    before = draft.plan
    panel.rows["height"].box.value = text
    assert not right(panel)
    assert draft.plan is before
    assert panel.rows["height"].box.value == text
    put(panel, height="31")


def test_an_odd_tub_by_jugs(panel, draft):
    panel.rows["shape"].value = "measured"
    levels, litres = panel.rows["readings"].boxes
    assert levels.description.endswith(", cm")
    assert litres.description.endswith(", litres")
    levels.value = "4, 7.8, 14.8, 21.3, 27.3, 30 cm"
    assert "6 levels" in said(panel), "each needs its litres: said, and waits for them"
    litres.value = "5, 10, 20, 30, 40, 45"
    assert right(panel), said(panel)
    assert "36 L of solution" in said(panel), "drawn anew, though lid and pots are as before"
    body = draft.plan.tank
    assert body.volume(Q([7.8, 21.3, 30], "cm")).m_as("L").tolist() == pytest.approx([10, 30, 45])
    assert body.height.m_as("cm") == 30
    draft.save()
    again = own_tank.tank_panel(own_tank.Draft("my-tank.toml"))
    assert [box.value for box in again.rows["readings"].boxes] == [
        "4, 7.8, 14.8, 21.3, 27.3, 30",
        "5, 10, 20, 30, 40, 45",
    ]
    again.system.value = "US"
    assert again.rows["readings"].boxes[0].description.endswith(", inches")
    again.system.value = "metric"
    assert again.rows["readings"].boxes[0].value == "4, 7.8, 14.8, 21.3, 27.3, 30"
    straight = 30 + 10 * (25 - 21.3) / (
        27.3 - 21.3
    )  # L to the fill line at 25 cm, on a line between two readings
    assert draft.plan.outlook.volume.m_as("L") == pytest.approx(straight, abs=0.2)


def test_a_tub_that_narrows_keeps_an_opening():
    """By jugs 5 L in 4 cm twice, then only 5 L in 23 cm: the rule of the curve's end alone gives a lid of nothing."""
    neck = tank.Measured(Q([4, 8, 31], "cm"), Q([5, 10, 15], "L"), net_pot_depth=Q(5, "cm"))
    assert neck.lid_area.m_as("cm^2") == pytest.approx(5000 / 23)
    assert neck.volume(Q([4, 8, 31], "cm")).m_as("L").tolist() == pytest.approx([5, 10, 15])


@pytest.mark.parametrize(
    ("levels", "litres", "words"),
    [
        ("4; 8; 12", "5; 10", "3 levels and 2 volumes"),
        ("4; 8; 7", "5; 10; 15", "must rise"),
        ("4; 8; 12", "5; 10; 10", "must rise"),
        ("4,8,12,5", "5; 10", "Type ;"),
        ("4; 8; twelve", "5; 10; 15", "twelve"),
        ("", "5; 10", "0 levels"),
        ("12", "15", "two readings"),
        ("4 L; 8 L", "5; 10", "length"),
        ("4; 3000", "5; 10", "between"),
    ],
)
def test_readings_that_do_not_fit_are_refused_in_words(panel, draft, levels, litres, words):
    panel.rows["shape"].value = "measured"
    before = draft.plan
    first, second = panel.rows["readings"].boxes
    first.value, second.value = levels, litres
    assert words in said(panel)
    assert draft.plan is before
    first.value, second.value = "4; 8; 31", "5; 10; 40"
    assert right(panel), said(panel)


def test_a_tub_with_four_feet_by_jugs(panel, draft):
    """A box 50 by 40 cm on hollow feet of 6 by 6 cm, 2 cm deep: by hand, 288 mL in the feet, then 2 L a centimetre."""
    feet = 4 * 6 * 6 * 2 / 1000

    def litres(level):
        return feet * min(level, 2) / 2 + 2.0 * max(level - 2, 0)

    panel.rows["shape"].value = "measured"
    levels = [2, 4.5, 7, 12, 17, 22, 27, 32]
    first, second = panel.rows["readings"].boxes
    first.value = ", ".join(map(str, levels))
    second.value = ", ".join(f"{litres(level):.3f}" for level in levels)
    assert right(panel), said(panel)
    body = draft.plan.tank
    for level in (4.5, 10, 20, 30):
        doubt = body.uncertainty(Q(level, "cm")).m_as("L")
        assert body.volume(Q(level, "cm")).m_as("L") == pytest.approx(litres(level), abs=doubt)
    assert "low parts" in panel.more.value, "it is said how"


def test_the_lid_stays_when_pots_change_and_goes_when_it_no_longer_fits(panel, draft):
    (area,), (mass,) = panel.rows["lid"].boxes, panel.rows["empty_mass"].boxes
    assert area.value == "2000", "the demo's lid, larger than its opening"
    put(panel, net_pot_depth="5.5")
    assert draft.plan.tank.lid_area.m_as("cm^2") == pytest.approx(2000)
    area.value = "54 x 37.5"
    mass.value = "5 lb 3 oz"
    assert draft.plan.tank.lid_area.m_as("cm^2") == pytest.approx(54 * 37.5)
    assert draft.plan.tank.empty_mass.m_as("kg") == pytest.approx(5.1875 * 0.45359237)
    put(panel, height="33")
    assert draft.plan.tank.lid_area.m_as("cm^2") == pytest.approx(54 * 37.5)
    put(panel, top_length="80")  # an opening of 80 by 35 cm: the lid does not cover it
    assert area.value == ""
    assert draft.plan.tank.lid_area.m_as("cm^2") == pytest.approx(
        draft.plan.tank.area(draft.plan.tank.height).m_as("cm^2")
    )
    assert "as large as the opening" in panel.more.value
    mass.value = ""
    assert draft.plan.tank.empty_mass is None


def test_a_small_tub_does_not_keep_the_lid_of_a_large_one(panel, draft):
    panel.rows["tank"].value = "tote-60"
    panel.rows["lid"].boxes[0].value = "62 x 42"
    panel.rows["shape"].value = "cylinder"
    put(panel, diameter="25")
    assert draft.plan.tank.lid_area.m_as("cm^2") == pytest.approx(math.pi * 12.5**2)


@pytest.mark.parametrize("before", ["quillgate-tub", "box-30", "bucket-20", "jar-4"])
@pytest.mark.parametrize("shape", ["box", "tapered box", "cylinder", "tapered cylinder", "measured"])
def test_each_shape_begins_near_the_one_before_it(panel, draft, before, shape):
    panel.rows["tank"].value = before
    was = draft.plan.tank
    panel.rows["shape"].value = shape
    assert right(panel), said(panel)
    now = draft.plan.tank
    assert now.height.m_as("cm") == pytest.approx(was.height.m_as("cm"))
    assert now.net_pot_depth == was.net_pot_depth
    assert now.empty_mass == was.empty_mass
    assert now.area(now.height).m_as("cm^2") == pytest.approx(was.area(was.height).m_as("cm^2"), rel=0.05)
    assert now.capacity.m_as("L") == pytest.approx(was.capacity.m_as("L"), rel=0.35)


TUBS = {
    "measured": tank.Measured(
        Q([4, 7.8, 14.8, 21.3, 27.3, 30], "cm"), Q([5, 10, 20, 30, 40, 45], "L"), net_pot_depth=Q(7, "cm")
    ),
    "round": tank.Cylinder(
        Q(11.8, "inch"), Q(15.3, "inch"), net_pot_depth=Q(2.75, "inch"), empty_mass=Q(1, "kg")
    ),
    "bucket": tank.TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(36.3, "cm"), net_pot_depth=Q(5.1, "cm")),
}


@pytest.mark.parametrize("body", TUBS.values(), ids=TUBS)
def test_every_shape_has_its_table_its_stick_its_card_and_its_weights(body, tmp_path):
    table = tank.LevelTable(body)
    assert 100 * table.level(body.volume(Q(12.5, "cm")).m_as("L")) == pytest.approx(12.5, abs=1e-4)
    plan = Plan.make(body, "basil", count=1)
    page = tank_card(plan, tmp_path / "card.html").read_text()
    assert f"{plan.outlook.volume.m_as('L'):.3g} L" in page
    stick = tank.dipstick(body)
    assert body.volume(stick.levels).m_as("L").tolist() == pytest.approx(stick.volumes.m_as("L").tolist())
    empty = body.empty_mass if body.empty_mass is not None else Q(1.2, "kg")
    whole = Q(body.volume(Q(15, "cm")).m_as("L") * 0.9982, "kg") + empty  # kg/L at 20 °C, by the tables
    assert tank.volume_from_weight(body, whole, empty).m_as("L") == pytest.approx(
        body.volume(Q(15, "cm")).m_as("L"), rel=1e-4
    )
