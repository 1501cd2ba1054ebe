"""The card to hang beside the tank: one page of HTML, no address outside."""

import html
from dataclasses import replace
from pathlib import Path
from typing import Any, overload

from stilltank import __version__
from stilltank.files import write_atomically
from stilltank.science.ph import ph_tests
from stilltank.season.plan import Course, Plan
from stilltank.show.figures import TankSection, day_text
from stilltank.show.given import known_system, quoted
from stilltank.show.pages import cautions, named_file, sheet, table
from stilltank.units import (
    Quantity,
    Unreadable,
    all_of,
    on_ruler,
    ruler_range,
    whole_degrees,
    write,
    write_range,
)

from .mix import mix_section, portions_section, usual_mix, usual_ph_test
from .plan_given import a_plan
from .routine import routine_words

_RARE = 0.05  # of the seasons: what comes less often is not printed
_MOST_WEEKS = 12  # rows of levels that a card has room for; a longer season leaves weeks out, never the last


@overload
def tank_card(
    plan: Plan,
    path: None = None,
    *,
    system: str = "metric",
    mix: str | None = None,
    ph_test: str | None = None,
) -> str: ...
@overload
def tank_card(
    plan: Plan,
    path: str | Path,
    *,
    system: str = "metric",
    mix: str | None = None,
    ph_test: str | None = None,
) -> Path: ...
def tank_card(
    plan: Plan,
    path: str | Path | None = None,
    *,
    system: str = "metric",
    mix: str | None = None,
    ph_test: str | None = None,
) -> str | Path:
    """Write the one-page card to hang beside the tank, or return its text.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    path : str or Path, optional
        The file to write, whole or not at all; the ending .html is added when there is none. Without a path, nothing
        is written.
    system : {"metric", "US"}
        The units of the card.
    mix : {"salts", "bottles", "spoons"}, optional
        How to mix: salts weighed for one filling, two stock solutions, or level teaspoons beside the grams; by the
        plan's shelf when left out.
    ph_test : {"meter", "drops", "strips"}, optional
        What the pH is read with; drops and strips get portions of acid that they can see. By the plan's shelf when
        left out.

    Returns
    -------
    Path or str
        The file that was written; without a path, the card itself: an HTML page with its styles and its picture, for
        A4 and Letter, that needs no other file.

    Raises
    ------
    Problem
        This is no plan, the system or the way to mix is another one, or the folder cannot be written.
    Unreadable
        The path names no file, or there is no such test of pH.

    Examples
    --------
    >>> import tempfile
    >>> plan = Plan.make(count=4)
    >>> tank_card(plan, Path(tempfile.mkdtemp()) / "my-card").name
    'my-card.html'
    >>> tank_card(plan, system="US").count("US gal") > 3
    True
    """
    a_plan(plan, "A card")
    known_system(system)
    mix, ph_test = (
        usual_mix(plan) if mix is None else mix,
        usual_ph_test(plan) if ph_test is None else ph_test,
    )
    if not isinstance(ph_test, str) or ph_test not in ph_tests():
        raise Unreadable(
            f"A pH is read with {', '.join(ph_tests())}; you gave {quoted(ph_test)}. Write one of these."
        )
    if path is None:
        return _text(plan, system, mix, ph_test)
    target = named_file(path, "tank_card", "my-tank-card", ".html", ".htm")
    write_atomically(target, _text(plan, system, mix, ph_test))
    return target


def _text(plan: Plan, system: str, mix: str, ph_test: str) -> str:
    notes = ""
    invented = [
        word for word in (plan.tank.name, plan.site.name, plan.water.name) if "invented" in word.lower()
    ]
    if invented or plan.record == "quillgate":
        notes = "<p><strong>Invented demo:</strong> a made-up school, water and weather, to try the workbook with.</p>"
    if plan.outlook.crowded:
        notes += f"<p><strong>Crowded:</strong> {html.escape(plan.outlook.crowded)}</p>"
    reading = plan.reading
    subtitle = (
        f"{_plants(plan)}, {plan.site.name} ({plan.site.cover}), {plan.water.name or 'water'}. Sow "
        f"{day_text(plan.outlook.schedule.sow)}, fill and plant {day_text(plan.start)}."
    )
    if reading is not None:
        subtitle += f" From {on_ruler(reading.level, system)} read on {day_text(reading.day)}."
    footer = (
        f"Computed by the Still Tank Workbook {__version__}. Ranges hold 8 of 10 seasons computed from "
        f"{len(plan.outlook.season.run_dry)} mixes of past weather with ranges for growth and water use; they are no "
        f"promise. "
        f"{_weak(plan)}"
    )
    short = (mix, ph_test) == ("salts", "meter")
    body = (
        f"<header><h1>{html.escape(plan.name)}</h1><p>{html.escape(subtitle)}</p>{notes}</header>"
        f'<main>{_heights(plan, system)}<div class="flow">{_dates(plan, system)}{_levels(plan, system, short)}'
        f"{_look(plan, system)}{_section('Mix', mix_section(plan, system, mix))}{_acid(plan, system, ph_test)}"
        f"{_cautions(plan)}</div></main>"
        f'<footer class="small">{html.escape(footer)}</footer>'
    )
    return sheet(f"Tank card: {plan.name}", body, "card")


def _plants(plan: Plan) -> str:
    """All plants in the tank, the leading crop first; those that come later with their day."""
    found = []
    for group in plan.groups:
        later = ""
        if group.transplanted is not None and group.transplanted != plan.start:
            later = f" from {group.transplanted.day} {group.transplanted:%B}"
        some = "plant" if group.count == 1 else "plants"
        found.append(f"{group.count} {group.crop.spoken} {some}{later}")
    return all_of(found)


def _section(title: str, body: str, wide: bool = False) -> str:
    kind = ' class="wide"' if wide else ""
    return f"<section{kind}><h2>{html.escape(title)}</h2>{body}</section>"


def _heights(plan: Plan, system: str) -> str:
    picture = TankSection(system, width=6.3, tallest=2.7).show(
        plan.tank, plan.outlook.fill_level, plan.outlook.hole
    )
    inch = "both" if system == "metric" else system
    outlook, tank = plan.outlook, plan.tank
    rows = [
        ("Fill line", f"{on_ruler(outlook.fill_level, inch)} above the floor: {write(outlook.volume, inch)}"),
        ("Overflow hole", f"lower edge {on_ruler(outlook.hole, inch)}, meshed"),
        (
            "Air zone at the start",
            f"{on_ruler(tank.height - outlook.fill_level, inch)}; it grows as the level falls",
        ),
        (
            "Top up at most",
            f"{on_ruler(outlook.refill.rise, inch, down=True)} = {write(outlook.refill.volume, inch)} at once, after "
            "the pots hang clear; more may injure",
        ),
        *([("Top-ups", words)] if (words := routine_words(plan, system)) else []),
        ("End the crop at", f"{ruler_range(*outlook.stop_levels, inch)} above the floor"),
        *(
            [
                (
                    "Rain",
                    f"{_rain(outlook.storm, system)} on the lid does the same if all runs in: cover it"
                    f"{_rises(plan, system)}",
                )
            ]
            if plan.site.cover == "open"
            else []
        ),
        ("Full weight", f"{write(tank.weight(outlook.fill_level), inch, 2)}: never carry it"),
    ]
    body = "".join(
        f'<tr><th scope="row">{html.escape(a)}</th><td>{html.escape(b)}</td></tr>' for a, b in rows
    )
    return _section(
        "Heights",
        f'<div class="tank beside">{replace(picture, caption="").html()}<table><tbody>{body}</tbody></table></div>',
        wide=True,
    )


def _rises(plan: Plan, system: str) -> str:
    """How often rain alone lifts the level further, and by how much; nothing where it is rare."""
    share, rise = plan.outlook.rain_rises
    if share < _RARE:
        return ""
    return f"; in {100 * share:.0f} of 100 seasons rain does more, half of them {on_ruler(rise, system)}"


def _rain(depth: Any, system: str) -> str:
    """Rain in mm, as every gauge shows it, not in cm."""
    inches = write(depth, "US", 2)
    return f"{depth.m_as('mm'):.0f} mm ({inches})" if system == "metric" else inches


def _dates(plan: Plan, system: str) -> str:
    season = plan.outlook.season
    early, late = plan.outlook.pots_clear
    several = len(plan.outlook.courses) > 1
    rows = [
        ("Pots hang clear", _between(early, late)),
        *(_event(course, several) for course in plan.outlook.courses),
        ("Level to end the crop", _between(*season.date_range("stop")[::2])),
        ("Run dry", _between(*season.date_range("run_dry")[::2])),
        ("Tank free again", f"about {day_text(plan.outlook.end)}"),
    ]
    body = "".join(
        f'<tr><th scope="row">{html.escape(a)}</th><td>{html.escape(b)}</td></tr>' for a, b in rows
    )
    return _section("When, in 8 of 10 seasons", f"<table><tbody>{body}</tbody></table>")


def _event(course: Course, named: bool) -> tuple[str, str]:
    """First flower or harvest of a crop, by its name where there are several."""
    window, event = course.schedule.first_flower, course.schedule.event
    words = f"{course.group.crop.spoken}: {event}" if named else event
    said = f"{_between(window.early, window.late)}, about {window.expected.day} {window.expected:%B}"
    return words[:1].upper() + words[1:], said


def _between(early: Any, late: Any) -> str:
    if early is None:
        return "not expected within the season"
    if late is None:
        return f"{day_text(early)} at the earliest, or not at all"
    if early == late:
        return day_text(early)
    first = f"{early.day} {early:%B}" if early.year == late.year else day_text(early)
    return f"{first} to {day_text(late)}"


def _acid(plan: Plan, system: str, ph_test: str) -> str:
    now = (
        f"The solution mixes to about pH {plan.outlook.ph_before_acid:.1f}, and {plan.target_ph:g} is wanted"
    )
    if not plan.outlook.doses:
        return _section("pH", f"<p>{now}: no acid.</p>")
    meter = ph_test == "meter"
    if "closed" in plan.outlook.doses:
        first = plan.outlook.doses["closed"]
        body = (
            f"<p><strong>{html.escape(_measure(first))} {html.escape(first.acid.name)}</strong> brings the tank to "
            f"pH {plan.target_ph:g}. "
            + (
                "Add three quarters, stir, wait, measure, then add the rest bit by bit.</p>"
                if meter
                else "</p>"
            )
            + ("" if meter else portions_section(plan, ph_test))
        )
    else:
        body = f"<p>{now}: no acid on the first day.</p>"
    if "open" in plan.outlook.doses:
        more = plan.outlook.doses["open"]
        body += (
            "<p>As carbon dioxide leaves over the next days the pH climbs; "
            f"up to {html.escape(_measure(more))} {html.escape(more.acid.name)} in all holds it at "
            f"{plan.target_ph:g}.</p>"
        )
    if bottle := plan.outlook.top_ups.bottle_dose(system):
        body += f"<p>Top-up water: {html.escape(bottle)}.</p>"
    short = cautions()["acids"]["short"]
    return _section("pH", f'{body}<p class="caution"><strong>Caution.</strong> {html.escape(short)}</p>')


def _measure(dose: Any) -> str:
    """In mL or g in both systems: jugs and scales for acids are marked so."""
    return write(dose.mass if dose.volume is None else dose.volume)


def _levels(plan: Plan, system: str, short: bool) -> str:
    unit = "cm" if system == "metric" else "in"
    last = len(plan.outlook.weekly) - 1
    # each further crop has a row of its own, and bottles, spoons and portions need more words than salts
    taken = 3 * min(len(plan.outlook.courses) - 1, 2) + (0 if short else 4)
    taken += 1 if not short and plan.outlook.top_ups.worth_acid else 0  # a line on the top-up water
    step = 1 + last // (_MOST_WEEKS - taken)
    shown = [item for number, item in enumerate(plan.outlook.weekly) if (last - number) % step == 0]
    rows = [
        (
            item["week"],
            f"{item['day']:%d %b}",
            height(item["median"], system),
            f"{height(item['low'], system)} to {height(item['high'], system)}",
            "",
        )
        for item in shown
    ]
    heads = ("week", "day", f"level, {unit}", f"range, {unit}", "measured")
    return _section("Level by week", table("Height above the floor, evening", heads, rows, numbers=(0, 2, 3)))


def height(level: Quantity, system: str) -> str:
    """Write a level without its unit, for a table.

    Parameters
    ----------
    level : Quantity
        A height.
    system : {"metric", "US"}
        Centimetres to a millimetre, or inches as a ruler shows them.

    Returns
    -------
    str
        The figures alone.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> height(Q(25, "cm"), "metric"), height(Q(25, "cm"), "US")
    ('25.0', '9 7/8')
    """
    return f"{level.m_as('cm'):.1f}" if system == "metric" else on_ruler(level, "US").removesuffix(" in")


def _look(plan: Plan, system: str) -> str:
    items = "".join(
        f'<li><span class="box"></span>{day.day:%a %d %b}: {html.escape(day.what)}</li>'
        for day in plan.outlook.looks(system)
    )
    warm = plan.outlook.warm_weeks
    if warm and warm.harmful:
        low, high, slow = (whole_degrees(each, system) for each in (*warm.afternoon[::2], warm.slow_above))
        items += (
            f'<li><span class="box"></span>{warm.first:%a %d %b} to {warm.last:%d %b}: solution '
            f"{write_range(low, high, system)} in the afternoon, roots slow above {write(slow, system)}: "
            f"{'' if warm.colour == 'white' else 'cover it white, '}shade it</li>"
        )
    every = '<li><span class="box"></span>every week: level, larvae, lid closed</li>'
    meters = f'<p class="small"><strong>Meter.</strong> {html.escape(plan.outlook.meter_words)}</p>'
    return _section("Look at the tank on", f"<ul>{items}{every}</ul>{meters}")


def _cautions(plan: Plan) -> str:
    words = " ".join(
        f"<strong>{html.escape(cautions()[name]['title'])}.</strong> {html.escape(cautions()[name]['short'])}"
        for name in plan.outlook.cautions
        if name != "acids"
    )
    return _section("Cautions", f'<p class="small">{words}</p>')


def _weak(plan: Plan) -> str:
    kinds = {plan.plants.crop.where_from(field).kind for field in ("kcb_mid", "canopy_area")}
    use = "assumed, not measured" if "assumption" in kinds else "from field tables"
    return f"Water use of {plan.plants.crop.spoken} in a still tank is {use}; weigh or dip your own tank."
