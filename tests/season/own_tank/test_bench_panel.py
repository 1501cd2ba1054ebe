"""The panel for several tanks, driven as a person would: ticks, a further tank, list, round, files, refusals."""

import re

import pytest
from stilltank.science import budget
from stilltank.season import own_tank
from stilltank.season.plan import Group, Plan
from stilltank.units import Problem


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    basil = Plan.make(crop="basil", count=4, beside=[Group("lettuce", 2)], top_up=budget.by_hand(7))
    basil.save("tub-a.toml")
    return tmp_path


@pytest.fixture
def draft(folder):
    return own_tank.Draft("my-tank.toml", count=6, top_up=budget.by_hand(3, strength=0.5))


@pytest.fixture
def panel(draft):
    return own_tank.bench_panel(draft)


def words(html):
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def ticked(panel):
    return [name for name, tick in panel.ticks.items() if tick.value]


def press(panel, button):
    """What a press says where it is refused; empty where it is done."""
    button.click()
    return words(panel.status.value)


def test_the_plans_of_the_folder_are_listed_and_the_one_of_the_page_first(panel):
    assert [tick.description for tick in panel.ticks.values()] == [
        "my-tank: 6 snapdragon, Quillgate courtyard tub, 45 litres",
        "tub-a: 4 basil, 2 lettuce, Quillgate courtyard tub, 45 litres",
    ]
    assert ticked(panel) == ["my-tank", "tub-a"]
    assert "2 plans" in panel.faults.value


def test_list_and_round_are_shown_for_what_is_ticked(panel):
    assert press(panel, panel.show) == ""
    shown = words(panel.shown.value)
    assert "potassium nitrate" in shown
    assert "my-tank Snapdragon 6 6 18" in shown
    assert re.search(r"Round on \d+ \w+ 2027", shown)
    assert "Carry" in shown
    panel.ticks["tub-a"].value = False
    press(panel, panel.show)
    assert "Basil" not in words(panel.shown.value)
    panel.ticks["my-tank"].value = False
    assert "No tank is ticked" in press(panel, panel.show)


def test_prices_are_shown_where_there_is_a_shelf(panel, draft, folder):
    text = """format = 1
currency = "coins"  # invented
[fertilisers."potassium nitrate"]
salt = "KNO3"
bag = "1 kg"
price = 8.0
"""
    (folder / "my-shelf.toml").write_text(text)
    draft.change(shelf="my-shelf.toml")
    press(panel, panel.show)
    shown = words(panel.shown.value)
    assert "8.00 coins" in shown
    assert "1 bag of 1 kg" in shown
    assert "Not the same shelf" in shown
    assert "Without a price on the shelf" in shown


def test_a_further_tank_is_a_copy_that_replaces_nothing(panel, folder):
    panel.source.value = "tub-a"
    panel.name.value = "tub-b"
    assert press(panel, panel.further) == ""
    assert Plan.load("tub-b.toml").beside == Plan.load("tub-a.toml").beside
    assert Plan.load("tub-b.toml").name == "tub-b, copy of tub-a"
    assert ticked(panel) == ["my-tank", "tub-a", "tub-b"]
    assert panel.name.value == "my-tub-b"  # one that is free
    before = (folder / "tub-a.toml").read_bytes()
    panel.name.value = "tub-a"
    assert "there already and stays as it is" in press(panel, panel.further)
    assert (folder / "tub-a.toml").read_bytes() == before


@pytest.mark.parametrize("name", ["", "../up", "3 tubs", "a" * 21, "tub\0", "con/sole", "tub.b"])
def test_a_name_that_no_file_should_have_is_refused(panel, folder, name):
    panel.name.value = name
    files = sorted(folder.iterdir())
    assert "cannot name a tank" in press(panel, panel.further)
    assert sorted(folder.iterdir()) == files


def test_a_faulty_file_is_named_and_the_others_stay(panel, folder):
    (folder / "tub-x.toml").write_text("[tank\n")
    press(panel, panel.again)
    assert "tub-x.toml, line 1" in words(panel.faults.value)
    assert ticked(panel) == ["my-tank", "tub-a"]
    assert press(panel, panel.show) == ""


def test_files_are_made_beside_the_plans(panel, folder):
    panel.paper.value = "Letter"
    for button in (panel.calendar, panel.page, panel.numbers):
        assert press(panel, button) == ""
    assert "BEGIN:VCALENDAR" in (folder / "my-bench-calendar.ics").read_text()
    assert "size: Letter" in (folder / "my-bench-wall.html").read_text()
    assert (folder / "my-bench-numbers.csv").read_text().startswith("tank,week")
    assert not (folder / "my-tank.toml").exists()  # nobody has saved it


def test_a_change_of_the_plan_is_followed_and_marks_what_was_shown(panel, draft):
    press(panel, panel.show)
    draft.change(count=3)
    assert panel.ticks["my-tank"].description.startswith("my-tank: 3 snapdragon")
    assert "From before" in words(panel.shown.value)
    press(panel, panel.show)
    assert "From before" not in words(panel.shown.value)
    assert "my-tank Snapdragon 3 3 9" in words(panel.shown.value)


def test_us_units_come_with_the_page(panel, draft):
    draft.show_in("US")
    assert panel.can.value == "2.5 US gal"
    press(panel, panel.show)
    assert not re.search(r"\d (cm|L)\b", words(panel.shown.value))
    panel.can.value = "1 US gal"
    draft.show_in("metric")
    assert panel.can.value == "1 US gal"  # what was typed stays


@pytest.mark.parametrize(
    ("box", "typed", "says"),
    [
        ("day", "soon", "Write the year first"),
        ("can", "10", "no unit"),
        ("can", "10 kg", "volume|kg"),
        ("can", "300 L", "not carried"),
        ("can", "", "volume|empty|type"),
    ],
)
def test_what_cannot_be_read_is_said(panel, box, typed, says):
    getattr(panel, box).value = typed
    assert re.search(says, press(panel, panel.show), re.I)


def test_plans_of_other_codes_begin_without_a_tick(folder):
    for name in ("my-tank", "my-tank-B2", "tub-c-B2"):
        Plan.make(count=2).save(f"{name}.toml")
    panel = own_tank.bench_panel(own_tank.Draft("my-tank.toml"))
    assert ticked(panel) == ["my-tank", "tub-a"]
    assert list(panel.ticks) == ["my-tank", "my-tank-B2", "tub-a", "tub-c-B2"]


def test_a_folder_alone_is_a_bench_too(folder):
    panel = own_tank.bench_panel(folder)
    assert ticked(panel) == ["tub-a"]
    panel.system.value = "US"
    assert press(panel, panel.page) == ""
    assert "US gal" in (folder / "my-bench-wall.html").read_text()
    with pytest.raises(Problem, match="is no folder"):
        own_tank.bench_panel(folder / "nowhere")


def test_each_control_has_words(panel):
    controls = [
        panel.again,
        panel.source,
        panel.name,
        panel.further,
        panel.day,
        panel.can,
        panel.show,
        panel.paper,
    ]
    controls += [panel.calendar, panel.page, panel.numbers, *panel.ticks.values()]
    assert all(control.description for control in controls)
