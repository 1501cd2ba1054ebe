"""What lists in panels offer: tanks and crops by their names for people."""

from stilltank.science import crops, tank
from stilltank.tables import load


def ready_made_tanks() -> list[tuple[str, str]]:
    """Label and name of each ready-made tank."""
    return [(str(load("tanks")[name, "label"].value), name) for name in tank.presets()]


def known_crops(use: str | None = None) -> list[tuple[str, str]]:
    """Label and name of each crop, or of those of one use."""
    return [(crops.crop(name).label, name) for name in crops.names(use)]
