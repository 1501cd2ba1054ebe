"""One page for the wall: all tanks of a bench, their rules, and what is next in each week."""

import html
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from stilltank import __version__
from stilltank.science.calendar import Task
from stilltank.season.plan import Plan, strength_words
from stilltank.show.figures import short_day
from stilltank.show.pages import cautions, known_paper, sheet
from stilltank.units import on_ruler, write

from .rounds import mark_of

_WEEK = timedelta(days=7)
_CAUTIONS = ("lifting", "acids", "open_water", "emptying")
_KINDS = ("plant", "fill", "look", "cut", "clear", "empty")  # what is done at the tank itself
_FEW = 5  # tanks in the usual size of type; more are set smaller, to stay on one page
_SPLIT = 8  # weeks; a longer list stands in two columns
_BLANKS = (
    "A tank is dry, leaks or overflows: call",
    "Plants wilt though there is water: call",
    "Acid or fertiliser in eyes or mouth: rinse with water, and call",
)


def wall_page(
    plans: Mapping[str, Plan],
    todo: Mapping[str, Iterable[Task]],
    system: str,
    paper: str,
    since: date | None = None,
) -> str:
    """Write the page for the wall.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank.
    todo : mapping of str to iterable of Task
        What is to be done, as ``Bench.tasks`` gives it.
    system : {"metric", "US"}
        The units.
    paper : {"A4", "Letter"}
        The paper.
    since : date, optional
        The week with which the list begins; that of the first filling when left out.

    Returns
    -------
    str
        HTML that needs no other file.

    Raises
    ------
    Problem
        There is no such paper.
    UnitNeeded
        Another system.

    Examples
    --------
    >>> "default-src 'none'" in wall_page({"A": Plan.make(count=4)}, {}, "metric", "A4")
    True
    """
    known_paper(paper)
    first = min(plan.outlook.first_day for plan in plans.values()) if since is None else since
    place = next(iter(plans.values())).site
    title = f"{len(plans)} {'tank' if len(plans) == 1 else 'tanks'}: {place.name}"
    invented = any(
        plan.record == "quillgate" or "invented" in plan.site.name.lower() for plan in plans.values()
    )
    body = (
        f"<header><h1>{html.escape(title)}</h1><p>Fill and add up to the marks; litres are a forecast.</p>"
        f"{'<p><strong>Invented demo:</strong> a made-up school, water and weather.</p>' if invented else ''}</header>"
        f'<main class="{"few" if len(plans) <= _FEW else "many"}">{_tanks(plans, system)}'
        f"{_weeks(_by_week(plans, todo, first))}"
        f'<div class="beside">{_call()}{_cautions()}</div></main>'
        f'<footer class="small">Computed by the Still Tank Workbook {__version__}. Dates and litres follow from '
        "simulated seasons and are no promise: look at the tank.</footer>"
    )
    return sheet(title, body, "wall-page", page=paper)


def _tanks(plans: Mapping[str, Plan], system: str) -> str:
    heads = ("Tank", "Fill line, overflow hole", "Top-up", "Emptied")
    rows = "".join(
        f'<tr><th scope="row"><strong class="tank">{html.escape(name)}</strong> {html.escape(_plants(plan))}</th>'
        + "".join(f"<td>{html.escape(text)}</td>" for text in _row(plan, system))
        + "</tr>"
        for name, plan in plans.items()
    )
    head = "".join(f'<th scope="col">{each}</th>' for each in heads)
    caption = "Heights are above the floor of the tank. What is at most at once counts when the net pots hang clear."
    return (
        f"<section><h2>The tanks</h2><table><caption>{caption}</caption><thead><tr>{head}</tr></thead>"
        f"<tbody>{rows}</tbody></table></section>"
    )


def _row(plan: Plan, system: str) -> tuple[str, str, str]:
    outlook = plan.outlook
    limit = outlook.refill
    return (
        f"fill to {on_ruler(outlook.fill_level, system)} ({write(outlook.volume, system)}); hole at "
        f"{on_ruler(outlook.hole, system)}",
        f"{routine_words(plan, system)}; at most {on_ruler(limit.rise, system, down=True)} "
        f"({write(limit.volume, system, 2)}) at once",
        short_day(outlook.end),
    )


def routine_words(plan: Plan, system: str) -> str:
    """Say the top-up routine of a plan in its units.

    Parameters
    ----------
    plan : Plan
        The plan.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        A part of a sentence.

    Raises
    ------
    UnitNeeded
        Another system.

    Examples
    --------
    >>> routine_words(Plan.make(), "metric")
    'nothing is added'
    """
    routine, what = plan.top_up, strength_words(plan.top_up.strength)
    when = "every day" if routine.every == 1 else f"every {routine.every} days"
    mark = mark_of(plan)
    up_to = "" if mark is None else f", up to {on_ruler(mark, system)}"
    match routine.way:
        case "nothing":
            return "nothing is added"
        case "by hand":
            return f"{when} {what}{up_to}"
        case "rain caught":
            return f"{when} rain from the barrel{up_to}"
        case "float valve":
            return f"float valve, {what}{up_to}"
        case "drip" if routine.daily is not None:
            return f"drip of {write(routine.daily, system, 2)} a day, {what}"
    days = ", ".join(short_day(day) for day in sorted(routine.volumes or {}))
    return f"{what} on {days}"


_Week = tuple[date, date, dict[str, list[str]]]  # first and last Monday; words, and who when


def _by_week(plans: Mapping[str, Plan], todo: Mapping[str, Iterable[Task]], first: date) -> list[_Week]:
    """What is to be done in each week; weeks that are alike are one."""
    monday = first - timedelta(days=first.weekday())
    weeks: dict[date, dict[str, list[str]]] = {}
    for name, several in todo.items():
        for task in several:
            with_filling = task.kind == "plant" and task.date == plans[name].start
            if task.date < monday or (name and (task.kind not in _KINDS or with_filling)):
                continue
            begin = task.date - timedelta(days=task.date.weekday())
            who = f"{name} {_weekday(task.date)}" if name else f"{task.date:%a}"
            weeks.setdefault(begin, {}).setdefault(_words(task), []).append(who)
    found: list[_Week] = []
    for week, items in sorted(weeks.items()):
        if found and found[-1][2] == items and found[-1][1] + _WEEK == week:
            found[-1] = (found[-1][0], week, items)
        else:
            found.append((week, week, items))
    return found


def _weeks(weeks: list[_Week]) -> str:
    half = len(weeks)
    if half > _SPLIT:
        sizes = [
            1 + sum(len(words) + len(", ".join(who)) for words, who in items.items()) / 55
            for *_, items in weeks
        ]
        half = next(n for n in range(1, len(weeks) + 1) if sum(sizes[:n]) >= sum(sizes) / 2)
    tables = "".join(
        _table_of(part, caption)
        for part, caption in ((weeks[:half], "Tank, day and what to do"), (weeks[half:], "Later"))
        if part
    )
    return (
        "<section><h2>Next, by week</h2><p>Every week, at each tank: level, leaves, larvae, lid closed.</p>"
        f'<div class="beside">{tables}</div></section>'
    )


def _table_of(weeks: list[_Week], caption: str) -> str:
    rows = "".join(
        f'<tr><th scope="row">{_dates(first, last)}</th><td>'
        + "; ".join(
            f"<strong>{html.escape(', '.join(who))}</strong> {html.escape(what)}"
            for what, who in items.items()
        )
        + "</td></tr>"
        for first, last, items in weeks
    )
    return (
        f'<table class="weeks"><caption>{caption}</caption><thead><tr><th scope="col">Week from</th>'
        f'<th scope="col">What</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _dates(first: date, last: date) -> str:
    return f"{first.day} {first:%b}" if first == last else f"{first.day} {first:%b} to {last.day} {last:%b}"


def _words(task: Task) -> str:
    """A task in a few words: the title, or the text of a look, which says more."""
    if task.kind in ("round", "empty") or task.title == "Look at all tanks":
        text = task.title.partition(":")[0]
    elif task.kind in ("look", "fill"):
        text = task.text.rstrip(".")
    else:
        text = task.title.replace(":", "")
    return f"{text[0].lower()}{text[1:]}"


def _weekday(day: date) -> str:
    return f"{day:%a} {day.day}"


def _call() -> str:
    lines = "".join(
        f'<p class="line"><span>{html.escape(each)}</span><span class="blank"></span></p>' for each in _BLANKS
    )
    return f"<section><h2>Whom to call</h2>{lines}</section>"


def _cautions() -> str:
    words = " ".join(
        f"<strong>{html.escape(cautions()[name]['title'])}.</strong> {html.escape(cautions()[name]['short'])}"
        for name in _CAUTIONS
    )
    return f'<section><h2>Cautions</h2><p class="small">{words}</p></section>'


def _plants(plan: Plan) -> str:
    return ", ".join(f"{group.count} {group.crop.spoken}" for group in plan.groups)
