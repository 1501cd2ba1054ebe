"""The sheet for a neighbour who looks after a tank: when to come, what the stick says to do, and what not to do."""

import html
from datetime import date
from pathlib import Path
from typing import overload

from stilltank import __version__
from stilltank.files import write_atomically
from stilltank.science.budget import Absence, AbsenceSummary, Pour
from stilltank.season.plan import Plan
from stilltank.show.figures import day_text
from stilltank.show.given import known_system
from stilltank.show.pages import cautions, known_paper, named_file, sheet, table
from stilltank.tables import load
from stilltank.units import Q, Quantity, capital, figure, on_ruler, ruler_range, write
from stilltank.units.types import Day

from .plan_given import a_plan
from .routine import drip_words, what_is_added

_ROWS = 14  # visits that one page has room for, in two columns
_SHORT = 7  # visits that go in one column
_NUMBERS = ("no", "one", "two", "three", "four")
# Marks beside the words: nothing, a bottle, a telephone; drawn, because not every font has them.
_MARKS = {
    "nothing": '<circle cx="12" cy="12" r="8"/><path d="M6 18 18 6"/>',
    "pour": '<path d="M10 2h4v4l2 4v11a1 1 0 0 1-1 1H9a1 1 0 0 1-1-1V10l2-4z"/><path d="M8 14h8"/>',
    "call": '<path d="M5 4c0 9 6 15 15 15l1-4-5-2-2 2c-2-1-4-3-5-5l2-2-2-5z"/>',
}


@overload
def neighbour_sheet(
    plan: Plan,
    leave: Day,
    back: Day,
    path: None = None,
    *,
    level: Quantity | None = None,
    system: str = "metric",
    paper: str = "A4",
) -> str: ...
@overload
def neighbour_sheet(
    plan: Plan,
    leave: Day,
    back: Day,
    path: str | Path,
    *,
    level: Quantity | None = None,
    system: str = "metric",
    paper: str = "A4",
) -> Path: ...
def neighbour_sheet(
    plan: Plan,
    leave: Day,
    back: Day,
    path: str | Path | None = None,
    *,
    level: Quantity | None = None,
    system: str = "metric",
    paper: str = "A4",
) -> str | Path:
    """Write the one-page sheet for someone who looks after the tank while its grower is away.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    leave, back : date or str
        The last day on which the grower looks at the tank, and the first one again.
    path : str or Path, optional
        The file to write, whole or not at all; the ending .html is added when there is none. Without a path, nothing
        is written.
    level : Quantity, optional
        Read on the day of leaving; what the plan expects when left out.
    system : {"metric", "US"}
        The units of the sheet.
    paper : {"A4", "Letter"}
        The size of the paper.

    Returns
    -------
    Path or str
        The file that was written; without a path, the sheet itself: an HTML page that needs no other file.

    Raises
    ------
    Problem
        This is no plan, there is no such system or paper, nothing that could be poured is safe, or the folder cannot
        be written.
    OutOfRange
        The days are not within the plan, or the level is too low to leave the tank at.
    UnitNeeded
        The level has no unit.
    Unreadable
        A day is no date, or the path names no file.

    See Also
    --------
    stilltank.science.budget.Scenario.absence : Finds what the neighbour has to do.

    Examples
    --------
    >>> plan = Plan.make(count=4)
    >>> "Nothing to do, only look" in neighbour_sheet(plan, "2027-05-20", "2027-05-30")
    True
    """
    a_plan(plan, "A neighbour sheet")
    known_system(system)
    known_paper(paper)
    ruler = Q(0.5, "cm") if system == "metric" else Q(0.25, "inch")
    found = plan.scenario().absence(leave, back, level, ruler=ruler)
    text = _text(plan, found, system, paper)
    if path is None:
        return text
    target = named_file(path, "neighbour_sheet", "my-neighbour-sheet", ".html", ".htm")
    write_atomically(target, text)
    return target


def pour_words(pour: Pour, system: str = "metric") -> str:
    """Say what is poured in on a visit.

    Parameters
    ----------
    pour : Pour
        Cups or bottles.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        Such as ``one bottle of 1.5 L``; in US units the fluid ounces are beside.

    Examples
    --------
    >>> pour_words(Pour("bottle", Q(1.5, "L"), 2)), pour_words(Pour("cup", Q(250, "mL")), "US")
    ('two bottles of 1.5 L', 'one cup, filled to the mark for 250 mL (8.5 US fl oz)')
    """
    size = write(pour.size)
    if system == "US":
        size += f" ({figure(float(pour.size.m_as('fluid_ounce')), 2)} US fl oz)"
    what = f"{_NUMBERS[pour.count]} {pour.vessel}{'s' if pour.count > 1 else ''}"
    return f"{what}, filled to the mark for {size}" if pour.vessel == "cup" else f"{what} of {size}"


def of_100(share: float) -> str:
    """Say a share of the simulated seasons as so many of 100.

    Parameters
    ----------
    share : float
        0 to 1.

    Returns
    -------
    str
        A whole number; words where it is more than none and rounds to none, or less than all and rounds to all.

    Examples
    --------
    >>> of_100(0.12), of_100(0.002), of_100(0.0), of_100(0.998)
    ('12', 'fewer than 1', '0', 'more than 99')
    """
    if 0 < share < 0.01:
        return "fewer than 1"
    return "more than 99" if 0.99 < share < 1 else f"{100 * share:.0f}"


def _text(plan: Plan, found: Absence, system: str, paper: str) -> str:
    until = f"{found.leave:%A} {day_text(found.leave)} to {found.back:%A} {day_text(found.back)}"
    header = (
        f"<header><p>Please look after this tank</p><h1>{html.escape(plan.name)}</h1>"
        f"<p>{until}. Thank you.</p></header>"
    )
    left = _pouring(plan, found, system) + _drip(found) + _never()
    body = (
        f"{header}<main>{_task(found)}{_stick(found, system)}<div>{left}</div>"
        f"<div>{_call()}{_visits(found, system)}</div>{_odds(found, system)}</main>{_footer(found, system)}"
    )
    return sheet(f"Neighbour sheet: {plan.name}", body, "neighbour-sheet", page=paper)


def _section(title: str, body: str, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f"<section{named}><h2>{html.escape(title)}</h2>{body}</section>"


def _mark(kind: str) -> str:
    return f'<svg class="mark" viewBox="0 0 24 24" aria-hidden="true">{_MARKS[kind]}</svg>'


def _times(found: Absence) -> str:
    if not found.looks:
        return "You do not have to come."
    if len(found.looks) == 1:
        return f"Come once, on {_day(found.looks[0])}."
    apart = (found.looks[1] - found.looks[0]).days
    every = {1: "every day", 2: "every second day", 7: "once a week"}.get(apart, f"every {apart} days")
    return f"Come {every}, the first time on {_day(found.looks[0])}."


def _day(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"


def _task(found: Absence) -> str:
    if found.help is None:
        words = f"Nothing to do, only look. {_times(found)}"
    else:
        words = (
            f"{_times(found)} Look at the stick. It says: add nothing, {_short(found.help.pour)}, or call."
        )
    return f'<section class="task"><p><strong>{html.escape(words)}</strong></p></section>'


def _short(pour: Pour) -> str:
    return f"{_NUMBERS[pour.count]} {pour.vessel}{'s' if pour.count > 1 else ''}"


def _stick(found: Absence, system: str) -> str:
    above, below = on_ruler(found.call_above, system), on_ruler(found.call_below, system)
    rows = [("call", f"above {above}", "Call. Add nothing.", "Rain gets in, or somebody has poured.")]
    if found.help is None:
        rows.append(("nothing", f"{below} to {above}", "Add nothing.", "All is well."))
        rows.append(("call", f"below {below}", "Call.", "So low is rare: there may be a leak."))
    else:
        mark, pour = on_ruler(found.help.mark, system), capital(_short(found.help.pour))
        rows.append(("nothing", f"{mark} to {above}", "Add nothing.", "There is enough."))
        rows.append(
            ("pour", f"{below} to just under {mark}", f"{pour}.", "No more, even if it seems little.")
        )
        rows.append(("call", f"below {below}", f"{pour}, then call.", "So low is rare: there may be a leak."))
    body = "".join(
        f'<tr class="{kind}"><th scope="row">{html.escape(where)}</th><td>{_mark(kind)}</td>'
        f"<td><strong>{html.escape(do)}</strong> {html.escape(why)}</td></tr>"
        for kind, where, do, why in rows
    )
    how = "Stand the stick upright on the floor of the tank, take it out, and read where it is wet."
    return _section(
        "What the stick says",
        f'<p>{how}</p><table class="stick"><caption>Height of the solution</caption><tbody>{body}</tbody></table>',
        "wide",
    )


def _pouring(plan: Plan, found: Absence, system: str) -> str:
    if found.help is None:
        return ""
    helped, pour = found.help, found.help.pour
    most, lifts = on_ruler(helped.never_above, system, down=True), on_ruler(helped.rise, system)
    return _section(
        capital(_short(pour)),
        f"<p><strong>{html.escape(capital(pour_words(pour, system)))}</strong>, of "
        f"{html.escape(what_is_added(plan))}. It lifts the solution by {lifts}, <strong>never above {most}</strong> on "
        "the stick. Pour slowly, at the edge; then close the lid again.</p>",
    )


def _drip(found: Absence) -> str:
    if found.daily is None:
        return ""
    words = (
        f"A drip gives this tank {drip_words(found.daily)}. Count for a minute. If nothing drips, or it runs as a "
        "stream, call."
    )
    return _section("The drip", f"<p>{html.escape(words)}</p>")


def _call() -> str:
    return _section(
        "Call",
        '<p class="line">telephone</p><p class="line">or, if nobody answers</p>',
    )


def _visits(found: Absence, system: str) -> str:
    if not found.looks:
        return ""
    shown = found.looks[:_ROWS]
    length, did = ("cm" if system == "metric" else "in"), "added" if found.help else "seen"
    half = len(shown) if len(shown) <= _SHORT else (len(shown) + 1) // 2
    columns = "".join(
        table(
            "Your visits" if part[0] == shown[0] else "and then",
            ("day", f"height, {length}", did),
            [(f"{day:%a} {day.day} {day:%b}", "", "") for day in part],
        )
        for part in (shown[:half], shown[half:])
        if part
    )
    more = "" if len(found.looks) <= _ROWS else "<p>Then go on in the same way, and write on the back.</p>"
    kind = "visits beside" if half < len(shown) else "visits"
    return _section("When to come", f'<div class="{kind}">{columns}</div>{more}')


def _never() -> str:
    do_not = (
        "Do not fill it up: the upper roots live in air.",
        "Do not lift or move the tank.",
        "Do not leave the lid open.",
        "Do not add fertiliser or acid.",
    )
    items = "".join(f"<li>{html.escape(words)}</li>" for words in do_not)
    return _section("Please do not", f"<ul>{items}</ul>")


def _odds(found: Absence, system: str) -> str:
    limit = on_ruler(load("roots")["refill", "rise"].quantity, system, down=True)
    cases: list[tuple[str, AbsenceSummary]] = [("nobody comes", found.nobody)]
    if found.help is None:
        cases.append(("the hole is blocked", found.blocked))
    else:
        cases += [("you come", found.neighbour), ("you come, the hole is blocked", found.blocked)]
    rows = [(name, of_100(one.dry), of_100(one.above), _ends(one, system)) for name, one in cases]
    heads = ("if", "runs dry", f"rises over {limit}", "height at the end")
    caption = "In how many of 100 simulated seasons"
    body = table(caption, heads, rows, numbers=(1, 2))
    if found.help is not None and not found.help.enough:
        body += (
            '<p class="caution"><strong>Not safe enough.</strong> No help that we tried keeps this tank from running '
            "low or rising too far as rarely as we ask. Call early.</p>"
        )
    return _section("How often it goes wrong", body, "wide")


def _ends(one: AbsenceSummary, system: str) -> str:
    low, _, high = (Q(float(end), "cm") for end in one.level.m_as("cm"))
    return ruler_range(low, high, system)


def _footer(found: Absence, system: str) -> str:
    low, _, high = (Q(float(each), "cm") for each in found.expected.m_as("cm"))
    told = " ".join(cautions()[name]["short"] for name in ("lifting", "open_water"))
    words = (
        f"For the grower: made for {on_ruler(found.level, system)} on {day_text(found.leave)} (the plan expects "
        f"{ruler_range(low, high, system)} in 8 of 10 seasons). If "
        "the stick shows less on that day, make this sheet again with what it shows. Heights at the end hold 8 of 10 "
        f"of {found.seasons} simulated seasons; they are no promise. Still Tank Workbook {__version__}."
    )
    return f'<footer class="small"><p>{html.escape(told)}</p><p>{html.escape(words)}</p></footer>'
