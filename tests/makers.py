"""The panels of the house, as the chapters and the own tank show them."""

import importlib
import importlib.util

from stilltank.chapters import bank
from stilltank.season import own_tank


def makers():
    """Every function that makes a panel, by its name, chapter by chapter."""
    homes = [own_tank]
    for chapter in bank.CHAPTERS:
        if importlib.util.find_spec(f"{chapter.__name__}.panels"):
            homes.append(importlib.import_module(f"{chapter.__name__}.panels"))
    return {
        name: maker
        for home in homes
        for name, maker in vars(home).items()
        if name.endswith("_panel") and callable(maker) and maker.__module__.startswith(home.__name__)
    }
