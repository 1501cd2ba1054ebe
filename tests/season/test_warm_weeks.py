"""The temperature of the solution in a plan: what colour, cloth and leaves do, and that older plan files stay."""

import datetime

import numpy as np
import pytest
from stilltank.science import tank, weather
from stilltank.season.paper import tank_card
from stilltank.season.plan import Plan, PlanFault
from stilltank.units import OutOfRange, Problem, Q

JAR = tank.Cylinder(Q(14.2, "cm"), Q(22, "cm"), net_pot_depth=Q(5, "cm"))


def usual(**choices):
    return Plan.make(**{"count": 4} | choices).outlook.warm_weeks.afternoon[1].m_as("degC")


def test_a_dark_tub_in_summer_is_as_warm_as_nursery_pots_show_and_no_warmer():
    """Black pots of 11.3 L were above 38 degC for a fifth of the time in bare sun: most afternoons of a tub are below.

    30 to 36 degC for a dark tub with leaves over it, and up to 7 degC less for a white one.
    """
    dark, white = (
        usual(crop="zinnia", start="2027-05-20"),
        usual(crop="zinnia", start="2027-05-20", colour="white"),
    )
    assert 28 < dark < 36
    assert 2 < dark - white <= 7


@pytest.mark.parametrize("site", ["quillgate", "new-york", "seattle"])
def test_white_paint_cloth_and_leaves_each_cool(site):
    bare = usual(site=site, count=1)
    assert usual(site=site) < bare
    assert usual(site=site, count=1, colour="white") < usual(site=site, count=1, colour="grey") < bare
    assert usual(site=site, count=1, shade=0.6) < usual(site=site, count=1, shade=0.3) < bare


def test_the_weeks_are_the_warmest_of_the_season():
    found = Plan.make(count=4).outlook.warm_weeks
    assert (found.last - found.first).days == 27
    assert found.first.month in (6, 7)
    assert found.years == 10
    early = Plan.make(count=4, crop="spinach", start="2027-04-05").outlook.warm_weeks
    assert early.last < datetime.date(2027, 7, 1)
    for ends in (found.afternoon, found.hottest):
        assert ends[0] <= ends[1] <= ends[2]
    assert found.hottest[1] > found.afternoon[1]


@pytest.mark.parametrize("shape", [tank.preset("tote-60"), JAR], ids=["tote", "jar"])
@pytest.mark.parametrize("system", ["metric", "US"])
def test_it_is_said_in_the_units_of_the_reader(shape, system):
    plan = Plan.make(shape, "lettuce", count=1, site="new-york")
    said = plan.outlook.warm_weeks.sentence(system)
    assert ("°F" in said, "°C" in said) == (system == "US", system == "metric")
    assert ("97 °F" if system == "US" else "36 °C") in said
    assert "no published temperature" in " ".join(plan.outlook.weaknesses)


def test_the_card_says_it_where_roots_suffer_only():
    dark = Plan.make(count=4, crop="zinnia", start="2027-05-20")
    white = dark.change(colour="white", shade=0.3)
    assert "cover it white" in tank_card(dark)
    assert "cover it white" not in tank_card(white)


def test_indoors_nothing_is_said():
    site = weather.site("quillgate")
    indoors = weather.Site(site.name, site.latitude, site.altitude, site.weather, "indoors")
    plan = Plan.make(count=4, site=indoors, record="quillgate")
    assert plan.outlook.warm_weeks is None
    assert "cover it white" not in tank_card(plan)


def test_a_file_keeps_them_and_one_without_them_reads_as_before(tmp_path):
    plain = Plan.make(count=4)
    assert "colour" not in plain.text()
    assert "shade" not in plain.text()
    path = tmp_path / "my-tank.toml"
    path.write_text(plain.text(), encoding="utf-8")
    again = Plan.load(path)
    assert (again.colour, again.shade, again.text()) == ("dark", 0, plain.text())
    chosen = plain.change(colour="white", shade=0.3)
    chosen.save(path)
    assert (Plan.load(path).colour, Plan.load(path).shade) == ("white", 0.3)
    assert Plan.load(path).text() == chosen.text()


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('colour = "white"', 'colour = "pink"', "white stands for white paint"),
        ("shade = 0.3", "shade = 30", "Write 0.3 for 30 %"),
        ("shade = 0.3", 'shade = "much"', "shade"),
    ],
)
def test_a_faulty_line_is_named(tmp_path, old, new, words):
    text = Plan.make(count=4, colour="white", shade=0.3).text()
    assert old in text
    path = tmp_path / "my-tank.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(PlanFault, match=words):
        Plan.load(path)


@pytest.mark.parametrize(
    ("choices", "error", "words"),
    [
        ({"colour": "pink"}, Problem, "pink"),
        ({"colour": 3}, Problem, "no colour"),
        ({"shade": 30}, OutOfRange, "0.3 for 30 %"),
        ({"shade": -0.1}, OutOfRange, "0 to 0.9"),
        ({"shade": "half"}, Problem, "plain number"),
        ({"shade": float("nan")}, Problem, "plain number"),
        ({"shade": np.array([0.1, 0.2])}, Problem, "plain number"),
    ],
)
def test_bad_choices_get_a_sentence(choices, error, words):
    with pytest.raises(error, match=words):
        Plan.make(count=4, **choices)
