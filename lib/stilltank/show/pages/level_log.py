"""The level log of a tank: rows to fill in by hand, and the litres of each level."""

import datetime
import html
from pathlib import Path
from string import Template

from stilltank import __version__
from stilltank.files import write_atomically
from stilltank.science.sky import day_of
from stilltank.science.tank import Tank, dipstick, preset
from stilltank.show.figures import day_text
from stilltank.units import Problem, Q, Quantity, one_value, whole_number, within, write
from stilltank.units.types import Day

from ..given import quoted
from .parts import SHARED, cautions, named_file, table

_MOST_LEVELS = 40  # rows of the conversion table that one page has room for
_STEPS = (0.5, 1, 2, 5, 10, 20, 50, 100)


def level_log(
    tank: Tank | str,
    path: str | Path,
    start: Day | None = None,
    *,
    rows: int = 20,
    every: Quantity | None = None,
    system: str = "metric",
) -> Path:
    """Write a page to note levels on by hand, with the litres of each level beside it, as HTML to print.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    path : str or Path
        Where to write; the ending .html is added when there is none.
    start : date or str, optional
        The date of the first row; all dates stay blank when left out.
    rows : int
        1 to 25.
    every : Quantity, optional
        Whole days from row to row; 3 days when left out.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    Path
        The file that was written.

    Raises
    ------
    Problem
        There is no such tank or system, or the folder cannot be written.
    Unreadable
        The path names no file, or the start is no date.
    UnitNeeded
        The days between rows have no unit.
    OutOfRange
        The rows, or the days between them, are too many or not whole.

    Examples
    --------
    >>> import tempfile
    >>> level_log("quillgate-tub", Path(tempfile.mkdtemp()) / "my-log", "2027-05-01").name
    'my-log.html'
    """
    tank = preset(tank)
    if not isinstance(system, str) or system not in ("metric", "US"):
        raise Problem(f'level_log knows the systems "metric" and "US"; you gave {quoted(system)}.')
    target = named_file(path, "level_log", "my-log", ".html", ".htm")
    count = whole_number(rows, 1, 25, "A level log has 1 to 25 rows on its page; {value!r} is not possible.")
    page = {
        "name": html.escape(tank.name or tank.called.capitalize()),
        "subtitle": html.escape(_subtitle(tank, system)),
        "log": _rows(_dates(start, count, every), system),
        "litres": _litres(tank, system),
        "cautions": html.escape(" ".join(cautions()[name]["short"] for name in ("lifting", "open_water"))),
        "footer": html.escape(
            f"Computed by the Still Tank Workbook {__version__} from the sizes of the tank."
        ),
    }
    template = Template((SHARED / "level-log.html").read_text(encoding="utf-8"))
    write_atomically(target, template.substitute(page))
    return target


def _subtitle(tank: Tank, system: str) -> str:
    return (
        f"Holds {write(tank.capacity, system)} to the rim, {write(tank.height, system)} high. Stand the stick upright "
        "on the floor, read it where the solution ends, always at the same place and with the tank level."
    )


def _dates(start: Day | None, count: int, every: Quantity | None) -> list[str]:
    days = 3.0 if every is None else one_value(every, "day", "every", "level_log")
    within(days, 1, 366, "level_log: rows every {value:g} days; write 1 to 366 whole days.")
    step = whole_number(days, 1, 366, "level_log: rows stand whole days apart; {value!r} days are not.")
    if start is None:
        return [""] * count
    first = day_of(start).astype(object)
    return [day_text(first + datetime.timedelta(days=step * row)) for row in range(count)]


def _rows(dates: list[str], system: str) -> str:
    length, volume = ("cm", "L") if system == "metric" else ("in", "US gal")
    measured = ("date", f"level, {length}", f"volume, {volume}", f"added, {volume}", "mS/cm", "pH")
    heads = (*measured, "larvae, roots, leaves", "who")
    return table("Readings", heads, [(date, *[""] * (len(heads) - 1)) for date in dates])


def _litres(tank: Tank, system: str) -> str:
    length, volume, shown = ("cm", "L", "L") if system == "metric" else ("inch", "gallon", "US gal")
    top = tank.height.m_as(length)
    step = next((size for size in _STEPS if top / size <= _MOST_LEVELS), top / _MOST_LEVELS)
    stick = dipstick(tank, Q(min(step, top), length))
    rows = [
        (f"{level:g}", f"{held:.1f}")
        for level, held in zip(stick.levels.m_as(length).round(6), stick.volumes.m_as(volume), strict=True)
    ]
    name = "in" if length == "inch" else length
    return table("Level and volume", (name, shown), rows, numbers=(0, 1))
