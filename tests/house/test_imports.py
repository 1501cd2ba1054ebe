"""What may import what: floors, circles, faces. DEVELOPERS.md shows the same lists."""

import re
import tomllib
from pathlib import Path

import pytest
from structure import ROOT, Arrow, arrows, circles, inside, modules

# From the bottom up. Rooms of one floor do not know each other.
FLOORS = (
    ("problems",),
    ("files", "registry"),
    ("tables",),
    ("units", "glossary"),
    ("documents",),
    ("science",),
    ("learning", "run_order"),
    ("show", "shipped"),
    ("lessons", "season"),
    ("chapters",),
    ("installation",),
    ("__main__",),
)
SCIENCE = (
    ("pure_water", "sky", "crops", "oxygen"),
    ("chemistry", "tank", "weather", "heat"),
    ("products", "demand", "roots", "hydraulics", "calendar"),
    ("mixing",),
    ("ph", "budget"),
    ("refit",),
)
SEASON = (
    ("shelf",),
    ("plan",),
    ("review", "bench", "signs"),
    ("log",),
    ("paper", "pictures", "log_pictures"),
    ("own_tank",),
)
EXCEPTIONS = tomllib.loads(Path(__file__).with_name("exceptions.toml").read_text(encoding="utf-8"))


def agree(found, rule):
    """Hold what was found against the exceptions of a rule: nothing new, and none that is mended by now."""
    found, allowed = set(found), set(EXCEPTIONS.get(rule, ()))
    assert not found - allowed, f"against the rule of {rule}: {sorted(found - allowed)}"
    assert not allowed - found, f"mended; take it out of exceptions.toml: {sorted(allowed - found)}"


def heights(floors):
    return {room: height for height, rooms in enumerate(floors) for room in rooms}


def upwards(pairs, floors, above):
    """The pairs of modules of which the first lies no higher than the second, below the package ``above``."""
    height = heights(floors)
    place = len(above.split("."))
    found = []
    for source, target in pairs:
        if not (source.startswith(above + ".") and target.startswith(above + ".")):
            continue
        home, other = source.split(".")[place], target.split(".")[place]
        if home != other and height[home] <= height[other]:
            found.append(f"{source} -> {target}")
    return found


PAIRS = sorted({(arrow.source, arrow.target) for arrow in arrows()})


@pytest.mark.parametrize(
    ("floors", "above"),
    [(FLOORS, "stilltank"), (SCIENCE, "stilltank.science"), (SEASON, "stilltank.season")],
)
def test_every_room_has_its_floor(floors, above):
    place = len(above.split("."))
    rooms = {name.split(".")[place] for name in modules() if name.startswith(above + ".")}
    assert rooms == set(heights(floors))


def test_imports_lead_downwards():
    agree(upwards(PAIRS, FLOORS, "stilltank"), "floors")


def test_imports_lead_downwards_in_science():
    agree(upwards(PAIRS, SCIENCE, "stilltank.science"), "floors of science")


def test_imports_lead_downwards_in_season():
    agree(upwards(PAIRS, SEASON, "stilltank.season"), "floors of season")


def test_no_import_leads_back_to_where_it_began():
    agree((" ".join(group) for group in circles(set(PAIRS))), "circles")


def test_nobody_reaches_past_a_face():
    agree((f"{arrow.source} -> {arrow.target}" for arrow in arrows() if inside(arrow)), "faces")


def test_nobody_takes_a_private_name():
    agree(
        (
            f"{arrow.source} -> {arrow.target}.{name}"
            for arrow in arrows()
            for name in arrow.names
            if name.startswith("_") and not name.startswith("__")
        ),
        "private names",
    )


def test_the_guide_shows_the_same_floors():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for floors in (FLOORS, SCIENCE, SEASON):
        for rooms in floors:
            assert re.search(r"\s*·\s*".join(rf"`{room}`" for room in rooms), guide), rooms


def test_the_rules_see_a_wrong_import(tmp_path):
    """A test of the tests: an import upwards is seen in each of the ways to write it, and so is a circle."""
    house = tmp_path / "stilltank"
    for name in ("__init__", "show/__init__", "show/figures", "science/__init__", "science/tank"):
        path = house / f"{name}.py"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text("", encoding="utf-8")
    for number, line in enumerate(
        (
            "import stilltank.show.figures",
            "from stilltank.show import figures",
            "from stilltank import show",
            "from .. import show",
            "from ..show.figures import Picture",
            "def late():\n    from ..show import figures",
        )
    ):
        library = tmp_path / str(number) / "stilltank"
        library.parent.mkdir()
        house.rename(library)
        (library / "science" / "tank.py").write_text(line, encoding="utf-8")
        pairs = {(arrow.source, arrow.target) for arrow in arrows(library)}
        assert upwards(pairs, FLOORS, "stilltank"), line
        library.rename(house)
    assert circles({("a", "b"), ("b", "c"), ("c", "a"), ("c", "d")}) == [("a", "b", "c")]
    assert inside(Arrow("stilltank.show.pages.x", "stilltank.units.reading", ())) == "stilltank.units"
