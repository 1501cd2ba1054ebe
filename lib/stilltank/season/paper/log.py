"""The log of a tank to keep by hand: a sheet to print, and the same columns as a file for a spreadsheet."""

import csv
import html
import io
import math
from datetime import date
from pathlib import Path
from typing import overload

from stilltank import __version__
from stilltank.files import write_atomically
from stilltank.season.log import EVENTS, log_columns
from stilltank.season.plan import Plan
from stilltank.show.figures import day_text
from stilltank.show.given import known_system
from stilltank.show.pages import cautions, known_paper, named_file, sheet, table

from .card import height
from .plan_given import a_plan

_MOST_BLANK = 3  # rows between two dated ones


@overload
def log_sheet(plan: Plan, path: None = None, *, system: str = "metric", paper: str = "A4") -> str: ...
@overload
def log_sheet(plan: Plan, path: str | Path, *, system: str = "metric", paper: str = "A4") -> Path: ...
def log_sheet(
    plan: Plan, path: str | Path | None = None, *, system: str = "metric", paper: str = "A4"
) -> str | Path:
    """Write the log of a tank to its end, to print and to fill in by hand, or return its text.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    path : str or Path, optional
        The file to write, whole or not at all; the ending .html is added when there is none. Without a path, nothing
        is written.
    system : {"metric", "US"}
        The units of the log.
    paper : {"A4", "Letter"}
        The size of the paper, which lies on its side.

    Returns
    -------
    Path or str
        The file that was written; without a path, the log itself: an HTML page with a dated row a week, the level to
        expect on it, and empty rows between them.

    Raises
    ------
    Problem
        This is no plan, there is no such system or paper, or the folder cannot be written.
    Unreadable
        The path names no file.

    See Also
    --------
    log_template : The same columns as a file for a spreadsheet.

    Examples
    --------
    >>> "weighed with" in log_sheet(Plan.make(count=4))
    True
    """
    a_plan(plan, "A log")
    known_system(system)
    known_paper(paper)
    text = _text(plan, system, paper)
    if path is None:
        return text
    target = named_file(path, "log_sheet", "my-log", ".html", ".htm")
    write_atomically(target, text)
    return target


@overload
def log_template(plan: Plan, path: None = None, *, system: str = "metric") -> str: ...
@overload
def log_template(plan: Plan, path: str | Path, *, system: str = "metric") -> Path: ...
def log_template(plan: Plan, path: str | Path | None = None, *, system: str = "metric") -> str | Path:
    """Write the empty log of a tank as a file for a spreadsheet, or return its text.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    path : str or Path, optional
        The file to write, whole or not at all; the ending .csv is added when there is none. Without a path, nothing is
        written.
    system : {"metric", "US"}
        The units in the headings.

    Returns
    -------
    Path or str
        The file that was written; without a path, its text: the headings of `log_columns`, and a row for the first day
        and for each week, empty but for its date.

    Raises
    ------
    Problem
        This is no plan, there is no such system, or the folder cannot be written.
    Unreadable
        The path names no file.

    Examples
    --------
    >>> print(log_template(Plan.make(count=4)).splitlines()[1])
    2027-04-26,,,,,,,,,,,,,,,,,
    """
    a_plan(plan, "A log")
    heads = log_columns(system)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(heads)
    for day in _days(plan):
        writer.writerow([day.isoformat(), *[""] * (len(heads) - 1)])
    if path is None:
        return text.getvalue()
    target = named_file(path, "log_template", "my-log", ".csv")
    write_atomically(target, text.getvalue())
    return target


def _days(plan: Plan) -> list[date]:
    """The first day and the last one of each week."""
    return [plan.outlook.first_day, *(week["day"] for week in plan.outlook.weekly)]


def _text(plan: Plan, system: str, paper: str) -> str:
    length = "cm" if system == "metric" else "in"
    heads = [f"expected, {length}" if name == "tank" else _head(name) for name in log_columns(system)]
    left_out = [heads.index(name) for name in ("plants", "method")]
    heads = [name for place, name in enumerate(heads) if place not in left_out]
    blank = [""] * (len(heads) - 2)
    levels = [height(plan.outlook.first_level, system)]
    levels += [
        f"{height(week['low'], system)} to {height(week['high'], system)}" for week in plan.outlook.weekly
    ]
    rows: list[list[str]] = []
    for number, (day, level) in enumerate(zip(_days(plan), levels, strict=True)):
        if number:
            rows += [["", "", *blank]] * _between(plan)
        rows.append([f"{day:%a} {day.day} {day:%b}", level, *blank])
    body = (
        f"<header><h1>Log: {html.escape(plan.name)}</h1><p>{html.escape(_subtitle(plan))}</p></header><main>"
        '<div class="wide-table" tabindex="0" role="region" aria-label="Readings">'
        f"{table('Readings', heads, rows)}</div>{_how(plan)}</main>{_footer(plan)}"
    )
    return sheet(f"Log: {plan.name}", body, "log-sheet", page=f"{paper} landscape")


def _head(name: str) -> str:
    """A heading of the file as it is printed: short, with a comma before the unit."""
    short = name.replace("water temperature", "water").replace("mix strength", "strength")
    return short.replace(" (", ", ").removesuffix(")")


def _between(plan: Plan) -> int:
    """Empty rows in a week: one, or as many as a routine by hand has visits."""
    every = plan.top_up.every if plan.top_up.way == "by hand" else 4
    return min(max(math.ceil(7 / every) - 1, 1), _MOST_BLANK)


def _subtitle(plan: Plan) -> str:
    outlook = plan.outlook
    plants = ", ".join(f"{group.count} {group.crop.spoken}" for group in plan.groups)
    last = outlook.weekly[-1]["day"]
    return f"{plants}. {day_text(outlook.first_day)} to {day_text(last)}."


def _how(plan: Plan) -> str:
    listed = ", ".join(EVENTS)
    sentences = (
        "Read the level before you add anything, with the stick upright on the floor of the level tank.",
        "Expected: what 8 of 10 seasons hold on the evening of that day. A level outside is worth a second look.",
        "Weighed with: lid and plants, lid, or nothing. Rain: in the gauge since the last visit, 0 if it is empty.",
        "Strength: of the recipe, 50 for half. An indicator gives a range: write both ends.",
        f"Event: {listed}.",
    )
    items = "".join(f"<li>{html.escape(each)}</li>" for each in sentences)
    return f"<section><h2>How to fill it in</h2><ul>{items}</ul></section>"


def _footer(plan: Plan) -> str:
    told = " ".join(cautions()[name]["short"] for name in ("lifting", "open_water"))
    return (
        f'<footer class="small"><p>{html.escape(told)}</p><p>Still Tank Workbook {__version__}, with '
        f"{plan.outlook.season.members} simulated seasons.</p></footer>"
    )
