"""Ready-made tanks."""

from stilltank.tables import load
from stilltank.units import Problem

from .shapes import Box, Cylinder, TaperedBox, TaperedCylinder
from .tank import Tank

SHAPES = {shape.__name__: shape for shape in (Box, TaperedBox, Cylinder, TaperedCylinder)}


def presets() -> tuple[str, ...]:
    """Names of the ready-made tanks: one invented for the demo, the others generic sizes.

    Returns
    -------
    tuple of str
        In the order of the table.

    See Also
    --------
    preset : Makes one of them.

    Examples
    --------
    >>> "quillgate-tub" in presets()
    True
    """
    return load("tanks").items_named


def preset(name: str | Tank) -> Tank:
    """Make a ready-made tank.

    Parameters
    ----------
    name : str or Tank
        One of `presets`. A tank comes back as it is.

    Returns
    -------
    Tank
        Of the shape and sizes in data/tanks.csv.

    Raises
    ------
    Problem
        There is no such tank; the sentence names near ones.

    See Also
    --------
    presets : All the names.

    Examples
    --------
    >>> round(preset("quillgate-tub").capacity.magnitude)
    45
    """
    if isinstance(name, Tank):
        return name
    if not isinstance(name, str):
        raise Problem(
            f"A tank is a Box(...), another shape, or one of {', '.join(presets())}; {name!r} is none of them."
        )
    values = {prop: entry.quantity for prop, entry in load("tanks").of(name).items()}
    shape, label = values.pop("shape"), values.pop("label")
    if shape not in SHAPES:
        raise Problem(f"data/tanks.csv: {name} has the shape {shape!r}; known are {', '.join(SHAPES)}.")
    return SHAPES[shape](**{prop.replace(" ", "_"): value for prop, value in values.items()}, name=label)
