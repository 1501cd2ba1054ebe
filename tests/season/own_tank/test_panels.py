"""Panels without a browser: labels, nonsense, refreshing, saving, and files that are not to be lost."""

import asyncio
import re
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import date

import ipywidgets as widgets
import matplotlib
import pytest
from boxes import number_in
from own_plan import OWN_PLAN
from stilltank import lessons
from stilltank.science import tank
from stilltank.season import own_tank
from stilltank.season.own_tank.plan_panel import PlanPanel
from stilltank.season.plan import Plan
from stilltank.show.figures.picture import _look, house_style
from stilltank.show.panels import cells
from stilltank.show.panels import panel as panel_module
from stilltank.show.panels.controls import Row, _Reading

MAKERS = (
    own_tank.tank_panel,
    own_tank.crop_panel,
    own_tank.growing_panel,
    own_tank.place_panel,
    own_tank.water_panel,
    own_tank.season_panel,
)
BOXES = (widgets.FloatText, _Reading)


@pytest.fixture
def draft(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Draft("my-tank.toml", count=4)


@pytest.fixture
def built(draft):
    return {maker.__name__: maker(draft) for maker in MAKERS}


def everything(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from everything(child)


def controls(panel):
    return [
        one
        for one in everything(panel)
        if isinstance(one, (*BOXES, widgets.Dropdown, widgets.DatePicker, widgets.Text))
    ]


def box(panel, label):
    return next(one for one in controls(panel) if one.description.startswith(label))


def push(widget, label):
    next(
        one for one in everything(widget) if isinstance(one, widgets.Button) and one.description == label
    ).click()


def keep(built):
    return next(one for one in everything(built["season_panel"]) if isinstance(one, own_tank.Keep))


def said(one):
    """What a panel says, or the line under a button."""
    return one.answer.sentence if isinstance(one, PlanPanel) else one.status.value


def problem(one):
    return "Problem:" in said(one) and 'role="alert"' in said(one)


def words(one):
    return re.sub(r"<[^>]+>", "", said(one))


def test_every_panel_is_built_and_says_something(built):
    for name, panel in built.items():
        assert isinstance(panel, PlanPanel)
        assert not problem(panel), name
        assert len(words(panel).split()) >= 5, name


def test_every_control_has_a_label_with_its_unit(built):
    with_unit = re.compile(r", (cm|inches|m|percent|mg/L as CaCO3|days)$|°|Plants in the tank|pH")
    for panel in built.values():
        for one in controls(panel):
            assert re.search(r"[A-Za-z]{2}", one.description)
            if isinstance(one, BOXES):
                assert with_unit.search(one.description), one.description
        for one in everything(panel):
            if isinstance(one, widgets.Button):
                assert len(one.description) > 5


def test_the_controls_show_the_plan(built, draft):
    plan = draft.plan
    assert number_in(box(built["tank_panel"], "Height")) == 30
    assert box(built["crop_panel"], "Plants").value == plan.plants.count == 4
    assert box(built["crop_panel"], "Fill and plant").value == plan.start
    assert box(built["place_panel"], "Latitude").value == 41.5
    assert box(built["water_panel"], "Alkalinity").value == 130
    assert box(built["water_panel"], "Target").value == 5.8
    for panel in built.values():
        for one in controls(panel):
            if isinstance(one, widgets.Dropdown):
                assert one.value in [value for _, value in one._options_full]


NONSENSE = (-1.0, 0.0, 1e9, float("nan"), float("inf"))


@pytest.mark.parametrize("maker", MAKERS[:4], ids=lambda maker: maker.__name__)
def test_nonsense_is_said_in_words_and_can_be_corrected(draft, maker):
    panel = maker(draft)
    for label in [one.description for one in controls(panel) if isinstance(one, BOXES)]:
        for value in NONSENSE:
            one, good = box(panel, label), draft.plan
            right = one.value
            one.value = value
            if not problem(panel):  # 0 degrees, 0 m, -1 degree, 0 mg/L and 0 percent are possible
                assert label.split(",")[0] in (
                    "Latitude (south: minus)",
                    "Altitude",
                    "Alkalinity",
                    "Corner radius",
                    "Shade cloth",
                ), (label, value)
                draft.change(
                    tank=good.tank, site=good.site, record=good.record, water=good.water, shade=good.shade
                )
                continue
            assert draft.plan is good, (label, value)
            assert len(words(panel).split()) > 5
            box(panel, label).value = right
            assert not problem(panel), (label, value)
            assert str(draft.plan) == str(good)


def test_a_size_that_is_refused_stays_and_is_taken_as_soon_as_it_fits(built, draft):
    """6 cm are too low for pots of 7 cm, and not for pots of 3 cm; the other boxes can be used meanwhile."""
    panel = built["tank_panel"]
    height = box(panel, "Height")
    height.value = 6
    assert problem(panel)
    box(panel, "Floor length").value = 43.3
    assert number_in(height) == 6
    assert problem(panel)
    assert draft.plan.tank.bottom_length.m_as("cm") == 43.3
    assert draft.plan.tank.height.m_as("cm") == 30
    box(panel, "Net pot").value = 3
    assert not problem(panel)
    assert draft.plan.tank.height.m_as("cm") == number_in(height) == 6


def test_a_size_that_is_refused_goes_with_another_tank_and_another_code(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    learner = lessons.Learner(chapter="00")
    draft = own_tank.Draft("my-tank.toml", learner)
    panel = own_tank.tank_panel(draft)
    learner._box.value = "7B-12"
    box(panel, "Height").value = 6
    learner._box.value = "7B-13"
    assert number_in(box(panel, "Height")) == 30
    assert not problem(panel)
    box(panel, "Height").value = 6
    assert problem(panel)
    box(panel, "Tank").value = "tote-60"
    assert not problem(panel)
    assert (
        number_in(box(panel, "Height"))
        == draft.plan.tank.height.m_as("cm")
        == tank.preset("tote-60").height.m_as("cm")
    )


def test_choices_that_only_fail_when_reckoned_are_refused_too(built, draft):
    good = draft.plan
    panel = built["water_panel"]
    box(panel, "pH of the water").value = 8.5
    box(panel, "Alkalinity").value = 0.01
    assert problem(panel)
    assert draft.plan.water.alkalinity.m_as("mg/L") == good.water.alkalinity.m_as("mg/L")


@pytest.mark.parametrize("maker", MAKERS, ids=lambda maker: maker.__name__)
def test_every_option_of_every_list_works(draft, maker):
    panel = maker(draft)
    for one in [one for one in controls(panel) if isinstance(one, widgets.Dropdown)]:
        for _, value in one._options_full:
            one.value = value
            assert not problem(panel), (one.description, value, words(panel))


def test_an_emptied_date_changes_nothing(built, draft):
    one = box(built["crop_panel"], "Fill and plant")
    one.value = None
    assert draft.plan.start == date(2027, 4, 26)
    one.value = date(2027, 5, 3)
    assert draft.plan.start == date(2027, 5, 3)
    one.value = date(1500, 1, 1)
    assert problem(built["crop_panel"])
    assert draft.plan.start == date(2027, 5, 3)


def test_a_change_refreshes_every_panel(built, draft):
    before = {name: (panel.answer.sentence, panel.answer.picture) for name, panel in built.items()}
    draft.change(tank="bed-90", crop="lettuce", site="new-york", water="quillgate-rain")
    for name, panel in built.items():
        assert (panel.answer.sentence, panel.answer.picture) != before[name], name
    assert box(built["crop_panel"], "Crop").value == "lettuce"
    assert box(built["place_panel"], "Weather record").value == "new-york"
    assert [one.description for one in controls(built["tank_panel"]) if isinstance(one, BOXES)] == [
        "Length inside, cm",
        "Width inside, cm",
        "Height inside, cm",
        "Net pot height, cm",
    ]


def drawn(built, monkeypatch):
    """The names of the panels that are drawn from now on."""
    found = []
    for name, panel in built.items():
        real = panel.draw
        monkeypatch.setattr(panel, "draw", lambda *given, r=real, n=name: (found.append(n), r(*given))[1])
    return found


@pytest.mark.parametrize(
    ("change", "affected"),
    [
        ({"count": 3}, {"crop_panel", "growing_panel", "place_panel", "season_panel", "water_panel"}),
        ({"target_ph": 6.0}, {"water_panel"}),
        ({"tank": "tote-60"}, {"tank_panel", "place_panel", "water_panel", "season_panel"}),
        (
            {"start": "2027-05-03"},
            {"crop_panel", "growing_panel", "place_panel", "season_panel", "water_panel"},
        ),
        ({"colour": "white"}, {"place_panel"}),
        ({"shade": 0.3}, {"place_panel"}),
        ({"name": "Tub A"}, set()),
    ],
    ids=lambda case: "-".join(case) if isinstance(case, dict) else None,
)
def test_only_what_a_change_affects_is_drawn_again(built, draft, monkeypatch, change, affected):
    """And what is not drawn again shows what it would show: a fresh panel of it is the same."""
    names = drawn(built, monkeypatch)
    draft.change(**change)
    assert sorted(names) == sorted(affected), "each once"
    for maker in MAKERS:
        fresh, panel = maker(draft), built[maker.__name__]
        for part in ("answer", "more"):
            assert getattr(panel, part).value == getattr(fresh, part).value, (maker.__name__, part)


def test_in_a_notebook_the_panel_in_hand_is_drawn_first(built, draft, monkeypatch):
    """The others follow when the change has come to rest, once for many steps of a slider."""

    async def session():
        row = built["tank_panel"].rows["height"]
        for height in (31, 32, 33):
            row.slider.value = height
        assert names == ["tank_panel"] * 3
        assert box(built["tank_panel"], "Tank").value == ""
        assert "33 cm" not in words(built["season_panel"])
        assert behind(built) == {
            "crop_panel",
            "growing_panel",
            "place_panel",
            "water_panel",
            "season_panel",
        }, "the page can tell"
        await asyncio.sleep(4 * panel_module.REST)
        assert names == ["tank_panel"] * 3 + ["place_panel", "water_panel", "season_panel"]
        assert behind(built) == set()

    names = drawn(built, monkeypatch)
    asyncio.run(session())
    assert draft.plan.tank.height.m_as("cm") == 33


def behind(built):
    return {name for name, panel in built.items() if panel_module.BEHIND in panel._dom_classes}


def test_a_panel_that_is_moved_while_it_is_behind_catches_up_at_once(built):
    async def session():
        built["tank_panel"].rows["height"].slider.value = 31
        assert "season_panel" in behind(built)
        built["season_panel"].again.click()
        assert "season_panel" not in behind(built)
        assert "tank_panel" in behind(built), "it had been moved; now it follows"

    asyncio.run(session())


def test_a_cell_that_runs_again_takes_the_place_of_its_old_panel(draft, monkeypatch):
    cell = ["a"]
    monkeypatch.setattr(cells, "_this_cell", lambda: cell[0])
    old, new = own_tank.tank_panel(draft), own_tank.tank_panel(draft)
    cell[0] = "b"
    other = own_tank.tank_panel(draft)
    before = old.answer.value
    draft.change(tank="jar-4")
    assert old.answer.value == before
    assert new.answer.value == other.answer.value != before


def test_a_size_beyond_the_slider_is_taken_and_stays(built, draft):
    row = built["tank_panel"].rows["height"]
    row.box.value = 90.3
    assert not problem(built["tank_panel"])
    for system, value in (("metric", 90.3), ("US", 35.55), ("metric", 90.3)):
        draft.show_in(system)
        scale = row.number.scale(system)
        assert (row.slider.value, row.slider.max) == (scale.high, scale.high)
        assert number_in(row.box) == value
        row.slider.value = row.slider.max  # what a browser may send back
        assert draft.plan.tank.height.m_as("cm") == 90.3
    row.slider.value = 40
    assert draft.plan.tank.height.m_as("cm") == number_in(row.box) == 40
    push(built["tank_panel"], "Back to the start")
    assert number_in(row.box) == 30


def test_units_go_there_and_back_without_changing_the_plan(built, draft, tmp_path):
    plan = draft.plan
    shown = {name: panel.answer.picture for name, panel in built.items()}
    box(built["season_panel"], "Numbers in").value = "US"
    assert draft.plan is plan
    assert all(panel.system.value == "US" for panel in built.values())
    assert "Height inside, inches" in [one.description for one in controls(built["tank_panel"])]
    assert number_in(box(built["tank_panel"], "Height")) == pytest.approx(30 / 2.54, abs=0.005)
    assert "US gal" in words(built["tank_panel"])
    box(built["tank_panel"], "Numbers in").value = "metric"
    assert draft.plan is plan
    assert {name: panel.answer.picture for name, panel in built.items()} == shown


def test_inches_are_taken_as_inches(built, draft):
    draft.show_in("US")
    box(built["tank_panel"], "Height").value = 10
    assert draft.plan.tank.height.m_as("cm") == pytest.approx(25.4)


def test_a_tank_of_ones_own_keeps_its_own_water_and_crop(built, draft):
    box(built["tank_panel"], "Height").value = 40
    assert draft.plan.tank.name == "your own tub"
    box(built["crop_panel"], "Crop").value = "basil"
    assert draft.plan.tank.height.m_as("cm") == 40
    box(built["place_panel"], "Latitude").value = 35
    assert draft.plan.site.name == "your own place"
    assert draft.plan.record == "quillgate"
    box(built["water_panel"], "Alkalinity").value = 60
    assert draft.plan.water.name.endswith("with your reading")


def test_the_place_is_said_and_so_is_weather_from_far_off(built):
    said = built["place_panel"].answer
    box(built["place_panel"], "Altitude").value = 189
    assert "at 41.5° north, 189 m above the sea" in said.value
    assert "half of the earth" not in said.value
    box(built["place_panel"], "Latitude").value = -30
    assert "at 30° south" in said.value
    assert "the other half of the earth has its summer half a year later" in said.value


def test_back_to_the_demo(built, draft):
    first = now(draft)
    draft.change(tank="jar-4", crop="basil", count=1, site="new-york", water="quillgate-rain")
    for name, gone in (("tank", "jar-4"), ("crop", "basil"), ("place", "new-york"), ("water", "rain")):
        assert gone in now(draft), name
        push(built[f"{name}_panel"], "Back to the start")
        assert gone not in now(draft), "only its own part"
    assert now(draft) == first
    assert box(built["crop_panel"], "Crop").value == "snapdragon"
    draft.change(tank="jar-4", crop="basil", site="new-york", record="quillgate", start="2027-05-03")
    push(built["season_panel"], "Back to the start")
    assert now(draft) == first


def test_a_saved_plan_is_what_the_start_is(draft):
    draft.change(tank="jar-4", crop="basil")
    draft.save()
    again = own_tank.Draft("my-tank.toml", count=4)
    panel = own_tank.tank_panel(again)
    box(panel, "Tank").value = "bed-90"
    push(panel, "Back to the start")
    assert box(panel, "Tank").value == "jar-4"


def now(draft):
    """The names of all that is chosen."""
    plan = draft.plan
    preset = next((name for name in tank.presets() if tank.preset(name) == plan.tank), plan.tank.name)
    chosen = (preset, plan.plants.crop.name, plan.plants.count, plan.record, plan.water.name, plan.start)
    return " ".join(map(str, (*chosen, plan.acid, plan.target_ph, plan.site.name)))


def save(built):
    keep(built).button.click()


def test_saving_writes_plan_and_card(built, draft, tmp_path):
    draft.change(count=3)
    save(built)
    assert not problem(keep(built))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["my-tank-card.html", "my-tank.toml"]
    assert Plan.load(tmp_path / "my-tank.toml").plants.count == 3
    assert "3 snapdragon plants" in (tmp_path / "my-tank-card.html").read_text(encoding="utf-8")
    draft.change(count=2)
    save(built)  # again, over its own file
    assert Plan.load(tmp_path / "my-tank.toml").plants.count == 2
    assert own_tank.Draft("my-tank.toml").plan.plants.count == 2


def test_a_card_is_saved_in_the_units_that_are_shown(built, draft, tmp_path):
    draft.show_in("US")
    save(built)
    assert "level, in" in (tmp_path / "my-tank-card.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "raw", [b"height = 30 cm\n", b"\x00\x01", b"format = 2\n", b""], ids=["toml", "binary", "newer", "empty"]
)
def test_a_file_that_cannot_be_read_is_kept_and_explained(tmp_path, monkeypatch, raw):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-tank.toml").write_bytes(raw)
    draft = own_tank.Draft("my-tank.toml")
    assert "The file was left as it is" in draft.trouble
    built = {maker.__name__: maker(draft) for maker in MAKERS}
    assert problem(built["tank_panel"])
    assert "my-tank.toml" in words(built["tank_panel"])
    box(built["crop_panel"], "Plants").value = 3
    save(built)
    assert problem(keep(built))
    assert "was not replaced" in words(keep(built))
    assert (tmp_path / "my-tank.toml").read_bytes() == raw
    assert [path.name for path in tmp_path.iterdir()] == ["my-tank.toml"]


def test_a_file_changed_meanwhile_is_not_overwritten(built, draft, tmp_path):
    save(built)
    path = tmp_path / "my-tank.toml"
    mine = path.read_text(encoding="utf-8").replace("count = 4", "count = 5")
    path.write_text(mine, encoding="utf-8")
    save(built)
    assert problem(keep(built))
    assert "was changed after this page had opened it" in words(keep(built))
    assert path.read_text(encoding="utf-8") == mine
    assert own_tank.Draft("my-tank.toml").plan.plants.count == 5


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    draft = own_tank.Draft(tmp_path / "none" / "my-tank.toml")
    panel = own_tank.season_panel(draft)
    built = {"season_panel": panel}
    save(built)
    assert problem(keep(built))
    assert "could not be saved" in words(keep(built))


def test_files_of_ones_own_are_listed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-water-well.csv").write_text(
        "item,value,unit\nalkalinity,90,mg/L as CaCO3\npH,7.2,\n", encoding="utf-8"
    )
    (tmp_path / "my-water-bad.csv").write_text("item,value,unit\npH,7.2,\n", encoding="utf-8")
    rows = "".join(f"2021-{m:02}-{d:02},20,10,1\n" for m in range(1, 13) for d in range(1, 29))
    (tmp_path / "my-weather.csv").write_text(
        "date,temp_max (°C),temp_min (°C),rain (mm)\n" + rows, encoding="utf-8"
    )
    draft = own_tank.Draft("my-tank.toml")
    place, water = own_tank.place_panel(draft), own_tank.water_panel(draft)
    box(water, "Water").value = "my-water-well.csv"
    assert draft.plan.water.alkalinity.m_as("mg/L") == pytest.approx(90)
    good = draft.plan
    box(water, "Water").value = "my-water-bad.csv"
    assert problem(water)
    assert "alkalinity" in words(water)
    assert draft.plan is good
    box(place, "Weather record").value = "my-weather.csv"  # a gap after each 28th
    assert problem(place)
    assert "missing" in words(place)
    assert draft.plan is good


def test_reading_asks_and_answers():
    panel = own_tank.reading()
    typed, kinds, status = panel.children
    assert "Read as" in status.value
    for text in ("", "8 oz", "2 gal", "5 ML", "nonsense", "45", "-3 L", "1e99 L", "<b>"):
        typed.value = text
        assert 'role="' in status.value
        assert "<b>" not in status.value
    for kind in kinds.options:
        kinds.value = kind
        assert status.value


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A plan of one's own, with numbers that lie on no step."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-tank.toml").write_text(OWN_PLAN, encoding="utf-8")
    draft = own_tank.Draft("my-tank.toml", count=4)
    assert draft.trouble == ""
    return draft


def boxes(built):
    return {name: [(one.description, one.value) for one in controls(panel)] for name, panel in built.items()}


def echo(built):
    """What a browser sends back of itself when sliders are made: their values, with traces of rounding."""
    for panel in built.values():
        for row in panel.rows.values():
            if isinstance(row, Row):
                row.slider.value = min(row.slider.value + 1e-9, row.slider.max)


def test_an_own_plan_is_shown_as_it_is_and_saved_as_it_was(own, tmp_path):
    """Byte for byte, after opening it, looking at it in both systems, and going back to the start."""
    plan, built = own.plan, {maker.__name__: maker(own) for maker in MAKERS}
    assert box(built["water_panel"], "Alkalinity").value == 118
    assert box(built["water_panel"], "pH of").value == 7.65
    assert box(built["water_panel"], "Target").value == 5.85
    assert number_in(box(built["tank_panel"], "Width")) == 43.3
    assert number_in(box(built["tank_panel"], "Length")) == pytest.approx(27.125 * 2.54, abs=0.005)
    assert box(built["place_panel"], "Latitude").value == 51.48
    echo(built)
    first = boxes(built)
    own.show_in("US")
    echo(built)
    assert number_in(box(built["tank_panel"], "Length")) == 27.125
    assert number_in(box(built["tank_panel"], "Width")) == 17.05  # 43.3 / 2.54 = 17.047
    assert box(built["place_panel"], "Altitude").value == 397
    own.show_in("metric")
    echo(built)
    assert boxes(built) == first
    assert own.plan is plan
    save(built)
    assert (tmp_path / "my-tank.toml").read_text(encoding="utf-8") == OWN_PLAN
    box(built["tank_panel"], "Height").value = 33.33
    box(built["place_panel"], "Latitude").value = -12
    for panel in built.values():
        push(panel, "Back to the start")
    assert boxes(built) == first
    save(built)
    assert (tmp_path / "my-tank.toml").read_text(encoding="utf-8") == OWN_PLAN


def test_of_an_own_plan_only_what_was_changed_is_saved(own, tmp_path):
    before, built = own.plan, {maker.__name__: maker(own) for maker in MAKERS}
    own.show_in("US")
    box(built["tank_panel"], "Height").value = 12.6
    save(built)
    after = Plan.load(tmp_path / "my-tank.toml")
    assert after.tank.height.m_as("inch") == pytest.approx(12.6, rel=1e-9)
    for part in ("length", "width", "net_pot_depth"):
        assert getattr(after.tank, part).m_as("cm") == pytest.approx(
            getattr(before.tank, part).m_as("cm"), rel=1e-9
        )
    assert after.site.latitude == before.site.latitude
    assert after.water.alkalinity.m_as("mg/L") == pytest.approx(118, rel=1e-9)
    assert (after.water.name, after.water.ph, after.target_ph) == ("Our well", 7.65, 5.85)


def test_a_ready_made_choice_stays_itself(built, draft):
    """Rain water has an alkalinity of 2.1, which lies on no step; it stays in the list, also in a saved plan."""
    own = {"tank_panel": ("Tank", "tote-60"), "water_panel": ("Water", "quillgate-rain")}
    for panel, (label, value) in own.items():
        box(built[panel], label).value = value
    for system in ("US", "metric"):
        echo(built)
        draft.show_in(system)
    save(built)
    again = own_tank.Draft("my-tank.toml")
    for panel, (label, value) in own.items():
        assert box(built[panel], label).value == value
        assert box(getattr(own_tank, panel)(again), label).value == value
    assert box(built["water_panel"], "Alkalinity").value == 2.1


def test_small_numbers_are_shown(built, draft):
    alkalinity = box(built["water_panel"], "Alkalinity")
    box(built["water_panel"], "pH of").value = 6
    for value in (0.125, 1.0625, 2.34567):
        alkalinity.value = value
        assert not problem(built["water_panel"])
        assert alkalinity.value == value
        assert draft.plan.water.alkalinity.m_as("mg/L") == value


def test_threads_take_turns(built, draft, monkeypatch):
    """JupyterLab lets controls be answered in one thread while a cell runs in another."""
    inside = []

    def draw(*_):
        inside.append(1)
        assert len(inside) == 1, "another panel was being drawn"
        time.sleep(0.05)
        inside.clear()

    for panel in built.values():
        monkeypatch.setattr(panel, "draw", draw)
    height, latitude = box(built["tank_panel"], "Height"), box(built["place_panel"], "Latitude")
    with ThreadPoolExecutor() as pool:
        work = [
            *(pool.submit(setattr, height, "value", value) for value in (31.1, 32.2)),
            *(pool.submit(setattr, latitude, "value", value) for value in (33.3, 34.4)),
            pool.submit(draft.show_in, "US"),
        ]
    for one in work:
        one.result()


def test_a_picture_in_one_thread_keeps_its_look(monkeypatch):
    """Matplotlib's settings are those of the whole process."""
    usual = {large: _look(large)["font.size"] for large in (False, True)}
    begun = threading.Barrier(2, timeout=30)

    def look(large):
        begun.wait()
        with house_style(large):
            time.sleep(0.05)
            return matplotlib.rcParams["font.size"]

    with ThreadPoolExecutor() as pool:
        for _ in range(3):
            found = list(pool.map(look, (False, True)))
            assert found == [usual[False], usual[True]]
