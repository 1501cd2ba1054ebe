"""What lists in panels offer: tanks and crops by their names for people."""

from stilltank.science import crops, tank
from stilltank.tables import load


def ready_made_tanks() -> list[tuple[str, str]]:
    """List the ready-made tanks.

    Returns
    -------
    list of tuple of str
        Label and name of each.

    Examples
    --------
    >>> "quillgate-tub" in dict(ready_made_tanks()).values()
    True
    """
    return [(str(load("tanks")[name, "label"].value), name) for name in tank.presets()]


def known_crops(use: str | None = None) -> list[tuple[str, str]]:
    """List the crops.

    Parameters
    ----------
    use : str, optional
        What the crops are grown for; all crops when left out.

    Returns
    -------
    list of tuple of str
        Label and name of each.

    Raises
    ------
    Problem
        There is no such use.

    Examples
    --------
    >>> ("Snapdragon", "snapdragon") in known_crops()
    True
    """
    return [(crops.crop(name).label, name) for name in crops.names(use)]
