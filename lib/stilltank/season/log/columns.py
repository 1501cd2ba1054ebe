"""What a log asks for: its columns, events and ways of measuring."""

from stilltank.units import Problem

EVENTS = (
    "filled",
    "topped up",
    "replaced",
    "hole blocked",
    "hole cleared",
    "lid off",
    "moved",
    "leak",
    "pest",
    "flower",
    "stems cut",
    "harvest",
    "plant died",
)
METHODS = ("ruler", "dipstick", "scale", "tilt", "lift", "meter", "strip", "drops", "eye")
LIFTS = ("light", "half", "heavy")
WEIGHED_WITH = ("lid and plants", "lid", "nothing")
STATUSES = ("struck", "corrected")  # a row that counts has none


def log_columns(system: str = "metric") -> tuple[str, ...]:
    """Name the columns of a log kept in a spreadsheet; the unit is in the heading.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of level, weight, temperature, rain and what is added.

    Returns
    -------
    tuple of str
        The headings, in order. Only the date and one measurement have to be filled in.

    Raises
    ------
    Problem
        There is no such system.

    Examples
    --------
    >>> log_columns()[:4]
    ('date', 'tank', 'level (cm)', 'weight (kg)')
    >>> "rain (in)" in log_columns("US")
    True
    """
    if system not in ("metric", "US"):
        raise Problem(f'{system!r} is no system of units. Choose "metric" or "US".')
    metric = system == "metric"
    length, mass, degree, depth, volume = (
        ("cm", "kg", "°C", "mm", "L") if metric else ("in", "lb", "°F", "in", "US gal")
    )
    return (
        "date",
        "tank",
        f"level ({length})",
        f"weight ({mass})",
        "weighed with",
        "pH",
        "EC (mS/cm)",
        f"water temperature ({degree})",
        f"rain ({depth})",
        f"added water ({volume})",
        f"added mix ({volume})",
        "mix strength (%)",
        "plants",
        "stems cut",
        "heads cut",
        "event",
        "method",
        "note",
    )
