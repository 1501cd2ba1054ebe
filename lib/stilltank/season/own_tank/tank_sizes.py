"""A tank with other sizes, or of another shape: what can stay as it was stays."""

import dataclasses
from typing import Any, cast

import numpy as np

from stilltank.science import tank
from stilltank.tables import number
from stilltank.units import Problem, Q, Quantity

SHAPES = {
    "box": ("box, upright walls", tank.Box),
    "tapered box": ("box, wider at the top", tank.TaperedBox),
    "cylinder": ("round, upright walls", tank.Cylinder),
    "tapered cylinder": ("round, wider at the top", tank.TaperedCylinder),
    "measured": ("any other: measured with jugs", tank.Measured),
}
_PARTS = 4  # readings a measured tank begins with
_SAME = 1e-9


def shape_of(body: tank.Tank) -> str:
    """Name the shape of a tank.

    Parameters
    ----------
    body : Tank
        The tank.

    Returns
    -------
    str
        A key of ``SHAPES``; empty for a tank of another kind.

    Examples
    --------
    >>> shape_of(tank.preset("bucket-20"))
    'tapered cylinder'
    """
    return next((word for word, (_, kind) in SHAPES.items() if type(body) is kind), "")


def own_name(kind: type[tank.Tank]) -> str:
    """Name a tank whose sizes somebody typed.

    Parameters
    ----------
    kind : class
        Its shape.

    Returns
    -------
    str
        What the panels call it.

    Examples
    --------
    >>> own_name(tank.TaperedCylinder)
    'your own bucket'
    """
    return f"your own {kind.called}"


def own_lid(body: tank.Tank) -> bool:
    """Tell whether the lid was measured: it is not just the opening.

    Parameters
    ----------
    body : Tank
        The tank.

    Returns
    -------
    bool
        False where the opening at the rim is the area of the lid.

    Examples
    --------
    >>> own_lid(tank.preset("quillgate-tub")), own_lid(tank.preset("box-30"))
    (True, False)
    """
    return abs(_lid_share(body, body) - 1) > _SAME


def resized(body: tank.Tank, **sizes: Quantity) -> tank.Tank:
    """Give a tank other sizes; a lid that still fits the opening stays.

    Parameters
    ----------
    body : Tank
        The tank as it was.
    **sizes : Quantity
        By the names of its sizes.

    Returns
    -------
    Tank
        With a measured lid where it covers the new opening and is not far larger; else with the opening as its lid.

    Raises
    ------
    Problem
        The sizes make no tank.

    Examples
    --------
    >>> tub = tank.preset("quillgate-tub")
    >>> resized(tub, net_pot_depth=Q(5, "cm")).lid_area.m_as("m^2")
    0.2
    >>> own_lid(resized(tub, top_length=Q(90, "cm")))
    False
    """
    return _lidded(
        dataclasses.replace(body, **cast(Any, sizes), lid_area=None, name=own_name(type(body))), body
    )


def reshaped(body: tank.Tank, shape: str) -> tank.Tank:
    """Make a tank of another shape to begin with: as high, and with an opening as large.

    Parameters
    ----------
    body : Tank
        The tank as it was.
    shape : str
        A key of ``SHAPES``.

    Returns
    -------
    Tank
        With the pots, the lid and the empty mass of the other. A measured one begins with readings that the other
        shape would have given, for the person's own to take their place.

    Raises
    ------
    Problem
        There is no such shape.

    Examples
    --------
    >>> bucket = reshaped(tank.preset("box-30"), "tapered cylinder")
    >>> bucket.height.m_as("cm") == tank.preset("box-30").height.m_as("cm")
    True
    """
    if shape not in SHAPES:
        raise Problem(f"A tank is a {', '.join(SHAPES)}; {shape!r} is none of them.")
    kind: Any = SHAPES[shape][1]
    kept = {name: getattr(body, name) for name in ("net_pot_depth", "empty_mass")}
    if kind is tank.Measured:
        levels = np.round(np.linspace(0, body.height.m_as("cm"), _PARTS + 1)[1:], 1)
        levels[-1] = body.height.m_as("cm")
        litres = np.round(body.volume(Q(levels, "cm")).m_as("L"), 1)
        return _lidded(tank.Measured(Q(levels, "cm"), Q(litres, "L"), **kept, name=own_name(kind)), body)
    made = kind(
        **{name: _size(body, name) for name in _own_sizes(kind)},
        height=body.height,
        **kept,
        name=own_name(kind),
    )
    return _lidded(made, body)


def _own_sizes(kind: type) -> list[str]:
    """The sizes of a shape besides its height."""
    return [
        one.name
        for one in dataclasses.fields(kind)
        if one.default is dataclasses.MISSING and one.name != "height"
    ]


def _size(body: tank.Tank, name: str) -> Any:
    """A length, width or diameter to begin with, at the floor or the rim, as a ruler shows it."""
    plain = name.removeprefix("bottom_").removeprefix("top_")
    end = "bottom" if name.startswith("bottom") else "top"
    for found in (name, f"{end}_{plain}", plain):
        if hasattr(body, found):
            return getattr(body, found)
    area = float(body.plain.area(0.0 if end == "bottom" else body.plain.height)) * 1e4  # cm²
    across = np.sqrt(area * 4 / np.pi) if plain == "diameter" else np.sqrt(area)
    return Q(round(float(across), 1), "cm")


def _lid_share(body: tank.Tank, opening: tank.Tank) -> float:
    """The lid of one tank over the opening of another."""
    return float(body.lid_area.m_as("m^2")) / float(opening.plain.area(opening.plain.height))


def _lidded(made: tank.Tank, before: tank.Tank) -> tank.Tank:
    """A tank with the lid that another had, where it was measured and still fits."""
    if not own_lid(before):
        return made
    most = number("plan", "panel", "largest lid kept", "1")
    as_before = abs(_lid_share(before, made) - _lid_share(before, before)) < _SAME
    if as_before or 1 <= _lid_share(before, made) <= most:
        return dataclasses.replace(made, lid_area=before.lid_area)
    return made
