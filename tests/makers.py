"""The panels of the house, as the chapters and the own tank show them."""

import importlib
import importlib.util
from typing import get_type_hints

from stilltank.chapters import bank
from stilltank.season import own_tank
from stilltank.show.panels import Exploration
from stilltank.show.panels.panel import Panel


def homes():
    """The modules that have panels: the learner's own tank, and the panels of each chapter."""
    found = [own_tank]
    for chapter in bank.CHAPTERS:
        if importlib.util.find_spec(f"{chapter.__name__}.panels"):
            found.append(importlib.import_module(f"{chapter.__name__}.panels"))
    return found


# Their controls follow the way of reading, or the tanks of a log; tests/season/own_tank tries them.
APART = {"reading_panel", "forecast_panel"}


def makers():
    """Every panel, or the function that makes it, by its name, chapter by chapter; without those tried apart."""
    return {
        name: maker
        for home in homes()
        for name, maker in vars(home).items()
        if name.endswith("_panel") and callable(maker) and name not in APART and answers(maker)
    }


def answers(maker):
    """Whether a panel answers with a figure; a form, such as that of the shelf, has tests of its own."""
    return isinstance(maker, Exploration) or issubclass(get_type_hints(maker)["return"], Panel)
