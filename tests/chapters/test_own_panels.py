"""The panels of the chapters with somebody's own plan: any tank, crop, place and water, and the demo one click away."""

import html
import re
import shutil
from pathlib import Path

import pytest
from makers import makers
from stilltank.chapters.flowering_schedules import panels as flowering
from stilltank.chapters.mixing import panels as mixing_panels
from stilltank.chapters.ph import panels as ph_panels
from stilltank.chapters.root_zones import panels as root_panels
from stilltank.chapters.water_budget import panels as water_panels
from stilltank.science import mixing, tank
from stilltank.season import own_tank
from stilltank.season.plan import Plan
from stilltank.show.panels import Exploration, Row
from stilltank.units import Problem, Q

OWN_PLAN = Path(__file__).parents[1] / "own-plan.toml"
PANELS = {name: one for name, one in sorted(makers().items()) if isinstance(one, Exploration)}
FROM_A_PLAN = {name: one for name, one in PANELS.items() if not one.alone}
POTS = {"net_pot_depth": Q(2.5, "inch")}
TOTE = tank.TaperedBox(*(Q(size, "inch") for size in (18, 12, 22, 15.5, 15.5)), **POTS)
JUGS = tank.Measured(
    Q([4.0, 7.8, 14.8, 21.3, 27.3, 30.0], "cm"), Q([5, 10, 20, 30, 40, 45], "L"), net_pot_depth=Q(7, "cm")
)
PAIL = tank.TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(36.3, "cm"), net_pot_depth=Q(5.1, "cm"))
JAR = tank.Cylinder(Q(14.2, "cm"), Q(22, "cm"), net_pot_depth=Q(5, "cm"))
WELL = mixing.Water({"Ca": Q(41.5, "mg/L")}, alkalinity=Q(118, "mg/L"), ph=7.65, name="our well")
SOFT = mixing.Water({}, alkalinity=Q(12, "mg/L"), ph=7.2, name="our rain butt")
OWN = {
    "inch tote": {"tank": TOTE, "crop": "basil", "count": 3, "water": WELL, "site": "new-york"},
    "measured tub": {"tank": JUGS, "crop": "snapdragon", "count": 4, "start": "2028-02-29"},
    "tapered pail": {"tank": PAIL, "crop": "zinnia", "count": 2, "water": SOFT, "acid": "citric acid 5 %"},
    "round jar": {"tank": JAR, "crop": "lettuce", "count": 1, "target_ph": 5.2, "start": "2027-03-10"},
}


OWNERS = [*OWN, "a file"]
# Every panel begins with every tank; what takes long is tried with two tanks a panel, by turns.
BY_TURNS = pytest.mark.parametrize(
    ("exploration", "draft"),
    [
        pytest.param(one, owner, id=f"{name}-{owner}")
        for number, (name, one) in enumerate(FROM_A_PLAN.items())
        for owner in (OWNERS[number % 5], OWNERS[(number + 2) % 5])
    ],
    indirect=True,
)


@pytest.fixture(scope="module", params=OWNERS)
def draft(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("own")
    if request.param == "a file":
        shutil.copy(OWN_PLAN, folder / "my-tank.toml")
        return own_tank.Draft(folder / "my-tank.toml")
    return own_tank.Draft(folder / "my-tank.toml", **OWN[request.param])


@pytest.fixture(scope="module", params=FROM_A_PLAN.values(), ids=list(FROM_A_PLAN))
def exploration(request):
    return request.param


@pytest.fixture
def panel(exploration, draft):
    made = exploration(draft)
    yield made
    draft._told.clear()
    draft.system = "metric"


def words(shown):
    return html.unescape(re.sub(r"<[^>]+>", " ", shown)).strip()


def shown(panel):
    return panel.answer.key, panel.answer.sentence, panel.answer.picture


def right(panel):
    """Whether the panel has an answer, and not a problem."""
    said = words(panel.answer.key) + words(panel.answer.sentence)
    return (
        "Problem:" not in said
        and "No answer" not in said
        and "nan" not in said.split()
        and panel.answer.picture
    )


def rows(panel):
    return {name: row for name, row in panel.rows.items() if isinstance(row, Row)}


def test_it_begins_with_the_plan_and_the_demo_is_one_click_away(panel, exploration):
    assert right(panel), words(panel.answer.sentence)
    first = shown(panel)
    whose, *others = panel.rows.values()
    assert whose.description == "Begin with"
    assert 1 <= len(others) <= 4
    whose.value = "demo"
    demo = exploration()
    assert shown(panel) == shown(demo)
    assert [row.description for row in panel.rows.values() if hasattr(row, "description")][1:] == [
        row.description for row in demo.rows.values() if hasattr(row, "description")
    ]
    whose.value = "own"
    assert shown(panel) == first
    whose.value = "demo"
    panel.again.click()
    assert (whose.value, shown(panel)) == ("own", first)


@BY_TURNS
def test_every_control_works_from_end_to_end(panel, exploration, draft):
    system = "US" if draft.plan.site.name == "New York City" or "shed" in draft.plan.name else "metric"
    panel.system.value = system
    for name, row in rows(panel).items():
        good = row.known
        for end in (row.slider.min, row.slider.max):
            row.box.value = end
            assert right(panel), (name, end, words(panel.answer.sentence))
        row.show(good, system)
        panel.reset()
    panel.system.value = "metric"
    panel.reset()


@BY_TURNS
def test_units_there_and_back_keep_what_is_shown(panel, exploration, draft):
    before, amounts = shown(panel), {name: row.known for name, row in rows(panel).items()}
    panel.system.value = "US"
    assert draft.system == "US"
    assert right(panel)
    for name, row in rows(panel).items():
        assert row.system == "US"
        assert row.known == amounts[name]
        assert len(f"{row.box.value:g}") == len(repr(row.box.value).removesuffix(".0")), "few figures"
    panel.system.value = "metric"
    assert shown(panel) == before


@BY_TURNS
def test_the_picture_is_that_of_the_panel(panel, exploration, draft):
    picture = exploration.picture(draft.plan)
    assert picture.sentence == words(panel.answer.sentence)
    assert exploration.key(exploration.result(draft.plan), "metric") == words(panel.answer.key)


def test_all_ask_a_plan_or_say_why_not():
    plan = Plan.make(TOTE, "zinnia", "new-york", WELL, "2027-05-03", count=3)
    for name, one in PANELS.items():
        own = {control.name: control.first for control in one.start(plan)}
        demo = {control.name: control.first for control in one.start()}
        takes = own != demo or one.given(None) != one.given(plan)
        assert takes != bool(one.alone), name
        assert not one.alone or one.alone.endswith("your plan."), name


@pytest.mark.parametrize("name", [name for name, one in PANELS.items() if one.alone])
def test_a_panel_without_a_part_in_a_plan_says_so(name, tmp_path):
    panel = PANELS[name](own_tank.Draft(tmp_path / "my-tank.toml"))
    assert words(panel.children[1].value) == PANELS[name].alone
    assert shown(panel) == shown(PANELS[name]())
    assert "begin" not in panel.rows
    panel.draft.show_in("US")
    assert panel.system.value == "US"


def test_a_panel_follows_the_plan_and_keeps_what_was_typed(tmp_path):
    draft = own_tank.Draft(tmp_path / "my-tank.toml", **OWN["inch tote"])
    storm, away = water_panels.storm_panel(draft), water_panels.away_panel(draft)
    storm.rows["intensity"].box.value = 43.3
    before = shown(storm)
    draft.change(target_ph=6.1)
    assert shown(storm) == before, "nothing of this panel has changed"
    draft.change(tank=PAIL)
    assert shown(storm) != before
    assert storm.rows["intensity"].box.value == 43.3
    assert away.rows["level"].known.m_as("cm") == pytest.approx(
        0.6 * draft.plan.outlook.fill_level.m_as("cm"), abs=0.06
    )
    draft.show_in("US")
    assert (storm.system.value, away.system.value) == ("US", "US")
    storm.rows["begin"].value = "demo"
    demo = shown(storm)
    draft.change(tank=TOTE)
    assert shown(storm) == demo


# What each of them takes, worked out here from the plan alone.


@pytest.fixture(scope="module")
def plan():
    return Plan.make(TOTE, "basil", "new-york", WELL, count=3)


def test_amounts_for_the_solution_of_the_own_tank(plan):
    litres = plan.outlook.volume.m_as("L")
    solution = mixing_panels.salt_panel.result(plan, mass=Q(20, "g"))
    # calcium nitrate fertiliser of the shelf: the demo's 20 g in 36 L, scaled by the litres
    demo = mixing_panels.salt_panel.result(mass=Q(20, "g")).elements["N"].m_as("mg/L")
    assert solution.elements["N"].m_as("mg/L") == pytest.approx(demo * 36 / litres, rel=1e-9)
    # a dose goes with the litres, and the well with its alkalinity is like the demo's tap water with that alkalinity
    own = ph_panels.dose_panel.result(plan, target=5.8).now.m_as("mL") / litres
    same = ph_panels.dose_panel.result(alkalinity=Q(118, "mg/L")).now.m_as("mL") / 36
    assert own == pytest.approx(same, rel=0.05)
    alkalinity = ph_panels.dose_panel.start(plan)[1].first
    assert alkalinity.m_as("mg/L") == pytest.approx(118, rel=1e-12)


def test_the_level_is_that_of_the_plan(plan):
    found = water_panels.level_panel.result(plan)
    assert found.outlook.season.share_of("stop") == plan.outlook.season.share_of("stop")
    assert found.tank == plan.tank
    assert water_panels.level_panel.result(plan, tank="quillgate-tub").tank == tank.preset("quillgate-tub")


def test_a_storm_over_the_own_tank(plan):
    storms, hole, of = water_panels.storm_panel.result(plan)
    assert of == plan.tank
    assert storms[0].start.m_as("cm") < hole.height.m_as("cm") < (TOTE.height - TOTE.net_pot_depth).m_as("cm")
    # by hand: 50 mm an hour for 2 hours on the lid, a tenth of it or so through the gaps, over the area of the water
    area = TOTE.area(storms[1].start).m_as("m^2")
    rise = storms[1].rain_in.m_as("m^3") / area
    assert storms[1].rise.m_as("m") == pytest.approx(rise, rel=0.03)  # the tote widens on the way up


def test_a_refill_of_the_own_tank(plan):
    of, found = root_panels.refill_panel.result(plan, rise=Q(2, "cm"))
    level = root_panels.refill_panel.start(plan)[0].first
    assert found.volume.m_as("L") == pytest.approx(
        (of.volume(level + Q(2, "cm")) - of.volume(level)).m_as("L"), rel=1e-6
    )
    assert not found.too_far
    assert root_panels.refill_panel.result(plan, rise=Q(3, "cm"))[1].too_far


def test_the_tank_day_by_day_runs_in_a_year_on_record(plan):
    of, course, day = root_panels.zones_panel.result(plan)
    assert of == plan.tank
    assert course.air_zone.size == plan.outlook.days
    assert 1 <= day <= plan.outlook.days


def test_two_ways_for_the_own_crop(plan):
    of, found = water_panels.strategies_panel.result(plan, second="valve")
    assert of == plan.tank
    assert "float valve, holds 60% of the first level" in found.table.index


def test_today_follows_the_age_of_the_own_plants(plan):
    found = water_panels.away_panel.result(plan, age=Q(10, "day"))
    assert (found.date - plan.start).days == 10 + found.days - 1 or found.ends


def test_dates_of_the_own_sowing(plan):
    found = flowering.dates_panel.result(plan)
    assert str(found) == str(plan.outlook.schedule)
    schedule, wanted = flowering.in_time_panel.result(plan)
    assert wanted == schedule.first_flower.expected == plan.outlook.schedule.first_flower.expected


@pytest.mark.parametrize("wrong", [5, "my-tank.toml", float("nan"), [], Plan, own_tank.Draft])
def test_what_is_no_draft_is_refused(wrong):
    with pytest.raises(Problem, match="draft"):
        water_panels.storm_panel(wrong)


WRONG = (
    None,
    "much",
    [],
    [1, 2],
    float("nan"),
    10**400,
    10**5000,
    Q(5, "kg"),
    Q([1, 2], "g"),
    Plan,
    b"x",
    {},
)


@pytest.mark.parametrize("name", PANELS)
def test_wrong_choices_are_refused_in_words(name):
    for control in PANELS[name].start():
        for value in WRONG:
            with pytest.raises(Problem):
                PANELS[name].result(**{control.name: value})
    with pytest.raises(Problem):
        PANELS[name].result(colour="green")
    for system in ("imperial", None, [], 10**5000):
        with pytest.raises(Problem):
            PANELS[name].picture(system=system)


def test_a_calculation_and_its_key_need_no_widget(monkeypatch):
    import ipywidgets

    def none(*_, **__):
        raise AssertionError("a widget was made")

    monkeypatch.setattr(ipywidgets.Widget, "__init__", none)
    solution = mixing_panels.salt_panel.calculate(volume=Q(36, "L"), salt="calcium nitrate", mass=Q(20, "g"))
    # by the formula Ca(NO3)2 · 4H2O of 236.15 g/mol, or the fertiliser's label: near 0.155 of nitrogen
    assert solution.elements["N"].m_as("mg/L") == pytest.approx(0.155 * 20 / 36 * 1000, rel=0.01)
    assert mixing_panels.salt_panel.key(solution, "metric").startswith("N 86.1 mg/L")
    assert "N 86.1" in mixing_panels.salt_panel.picture().sentence
    for one in PANELS.values():
        assert one.key(one.result(), "US")
