"""Names: one for one thing, and modules named for what they hold."""

import importlib
from collections import defaultdict

from structure import modules
from test_imports import agree

# Nouns and the trade's own words, or what a package is about.
NOUNS = {
    "asking",
    "blending",
    "degassing",
    "dissolving",
    "drawing",
    "flowering",
    "setting",
    "judging",
    "learning",
    "lifting",
    "mixing",
    "reading",
    "recording",
    "saving",
    "warming",
    "weighing",
    "wording",
    "writing",
}


def faces_of_science():
    """The rooms of science, each with the public names on its face."""
    rooms = {name for name in modules() if name.startswith("stilltank.science.") and name.count(".") == 2}
    return {room: getattr(importlib.import_module(room), "__all__", ()) for room in sorted(rooms)}


def test_no_two_rooms_of_science_use_one_name():
    homes = defaultdict(set)
    for room, names in faces_of_science().items():
        for name in names:
            thing = getattr(importlib.import_module(room), name)
            homes[name].add(getattr(thing, "__module__", room))
    agree((name for name, where in homes.items() if len(where) > 1), "one name")


def test_no_module_is_called_by_a_bare_verb():
    """Holding, moving, reaching: what is it that does so? A noun says it."""
    agree(
        (
            name
            for name in modules()
            if (last := name.rpartition(".")[2].strip("_")).endswith("ing") and last not in NOUNS
        ),
        "modules called by a verb",
    )
