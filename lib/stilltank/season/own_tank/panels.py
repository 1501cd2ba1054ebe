"""The panels of chapter 0: reading a measure, the crop, the place, the water, the season."""

import dataclasses
import html
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from stilltank.science import heat, mixing, products, weather
from stilltank.season import pictures
from stilltank.season.plan import Plan, grown
from stilltank.show.figures import (
    ElementBars,
    SeasonDates,
    SeasonLevel,
    YearWeather,
    day_text,
    short_day,
)
from stilltank.show.given import of_kind, quoted
from stilltank.show.pages import folded
from stilltank.show.panels import (
    Day,
    Number,
    PartDrawn,
    Pick,
    Scale,
    Status,
    choice,
    known_crops,
    text_box,
)
from stilltank.units import Problem, Q, Quantity, read_with_notes, value_text, write

from .draft import Draft, a_draft
from .plan_panel import Bound, PlanPanel
from .saving import Keep

_COLOURS = [(words, name) for name, words in pictures.COLOURS.items()]
_KINDS = ("volume", "mass", "length", "temperature", "conductivity", "alkalinity", "pH")


def reading(text: str = "1 1/2 US gal", kind: str = "volume") -> widgets.VBox:
    """Show a box for a measure as it stands on a jug, a label or a report, and how it is read.

    Parameters
    ----------
    text : str
        What stands in the box at first.
    kind : str
        What it measures, such as "volume" or "length".

    Returns
    -------
    VBox
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        The text is none, or there is no such kind.

    Examples
    --------
    >>> reading("45 L").children[-1].value
    '<p role="status" ...>Read as 45 L (11.9 US gal).</p>'
    """
    of_kind(text, str, 'A measure is typed as a text, such as "45 L"')
    if not isinstance(kind, str) or kind not in _KINDS:
        raise Problem(f"A measure is of the kind {', '.join(_KINDS)}; {quoted(kind)} is none of them.")
    typed = text_box("What you read", text, "45 L")
    kinds = choice("It measures a", _KINDS, kind)
    status = Status()

    def show(_: Any = None) -> None:
        if not typed.value.strip():
            status.say("Type a measure with its unit, for example 45 L.")
            return
        try:
            found = read_with_notes(typed.value, kinds.value)
        except Problem as problem:
            status.complain(problem)
            return
        assumed = f" Assumed: {'; '.join(found.assumed)}." if found.assumed else ""
        status.say(f"Read as {write(found.quantity, 'both')}.{assumed}")

    for control in (typed, kinds):
        control.observe(show, "value")
    show()
    return widgets.VBox([typed, kinds, status])


def _named(name: str, word: str) -> Callable[[Plan, Any], dict[str, Any]]:
    """A choice from a list whose empty entry stands for what is there already."""
    return lambda _, value: {word: value} if value else {}


def _by_value(names: Iterable[str], make: Callable[[str], Any]) -> dict[str, str]:
    """The name of each ready-made thing by what it is: a plan that was saved and opened again is no longer the same
    object, and a name alone may have been given to something else."""
    return {value_text(make(name)): name for name in names}


def _season_dates(system: str, large: bool) -> PartDrawn:
    return PartDrawn(
        SeasonDates(large),
        lambda figure, plan: figure.show(plan.outlook.schedule, plan.start, plan.outlook.crowded),
    )


def _why_these_dates(plan: Plan, system: str) -> str:
    return folded("Where these dates come from, and what they leave out", plan.outlook.schedule.reasons)


def crop_panel(draft: Draft) -> PlanPanel:
    """Show the crop, how many plants and when, and the dates that follow.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Returns
    -------
    PlanPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> crop_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>First flower about 21 June 2027</p>'
    """

    names = known_crops()
    return PlanPanel(
        "Your crop",
        draft,
        [
            Bound(
                Pick("crop", "Crop", names[0][1], names, "plants"),
                lambda plan: plan.plants.crop.name,
                lambda _, name: {"crop": name, "count": None},
            ),
            Bound(
                Number("count", "Plants in the tank", None, Scale("1", 1, 24, 1), place="plants"),
                lambda plan: plan.plants.count,
                lambda _, value: {"count": value},
            ),
            Bound(
                Day("start", "Fill and plant on"),
                lambda plan: plan.start,
                lambda _, day: {"start": day} if day else {},
            ),
        ],
        _season_dates,
        lambda plan, system: (
            f"{plan.outlook.schedule.event.capitalize()} about {day_text(plan.outlook.schedule.first_flower.expected)}"
        ),
        follows=["plants", "site", "start", "until", "outlook.crowded"],
        choices=["crop", "count", "start"],
        more=_why_these_dates,
    )


def growing_panel(draft: Draft) -> PlanPanel:
    """Show how the crop is grown, until when it is cut, and the dates that follow.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Returns
    -------
    PlanPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> growing_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>Cut from 21 June to 27 July 2027</p>'
    """

    def pinch(plan: Plan, word: str) -> dict[str, Any]:
        crop = plan.plants.crop
        return {"crop": grown(crop.name, word == "yes", crop.packet_days, crop.packet_phase)}

    def packet(plan: Plan, days: Quantity) -> dict[str, Any]:
        return {"crop": grown(plan.plants.crop.name, plan.plants.crop.pinched, days)}

    def days(plan: Plan) -> Quantity | None:
        crop = plan.plants.crop
        if crop.packet_days is not None:
            return crop.packet_days if crop.packet_phase == "sowing" else None
        usual = heat.usual_days(crop)
        return None if usual is None else Q(round(usual.m_as("day")), "day")

    def cut(plan: Plan, system: str) -> str:
        dates = plan.outlook.schedule
        return f"Cut from {short_day(dates.first_flower.expected)} to {day_text(dates.end)}"

    return PlanPanel(
        "How you grow it",
        draft,
        [
            Bound(
                Number(
                    "packet_days",
                    "Packet: time from sowing",
                    None,
                    Scale("day", 40, 180, 1),
                    place="plants",
                ),
                days,
                packet,
            ),
            Bound(
                Pick("pinched", "Tips pinched out", "no", [("no", "no"), ("yes", "yes")], "plants"),
                lambda plan: (
                    None
                    if plan.plants.crop.pinch_delay is None
                    else "yes"
                    if plan.plants.crop.pinched
                    else "no"
                ),
                pinch,
            ),
            Bound(
                Day("until", "Last harvest"),
                lambda plan: plan.until if isinstance(plan.until, date) else plan.outlook.schedule.end,
                lambda _, day: {"until": day},
            ),
        ],
        _season_dates,
        cut,
        follows=["plants", "site", "start", "until", "outlook.crowded"],
        choices=["crop", "until"],
        more=_why_these_dates,
    )


def _records(draft: Draft) -> list[tuple[str, str]]:
    """The weather records to choose from: those that ship, those in this folder, the one the plan has."""
    a_draft(draft)
    names = [(weather.record(name).name, name) for name in weather.sites()]
    names += [(f"your own record, {path.name}", path.name) for path in sorted(Path().glob("my-weather*.csv"))]
    if draft.plan.record and draft.plan.record not in [value for _, value in names]:
        names.append((draft.plan.record, draft.plan.record))
    typed = draft.plan.record is not None or draft.plan.months is not None
    names.append(("made from twelve months, typed below" if typed else "the plan's own", ""))
    return names


def place_panel(draft: Draft) -> PlanPanel:
    """Show where the tank stands, and the weather record for it.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Returns
    -------
    PlanPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> place_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>July days reach 29 °C, a dark tub 31 °C</p>'
    """

    def move(plan: Plan, record: str) -> dict[str, Any]:
        """Take a record; one that ships brings its own place with it."""
        if not record:
            return {}
        if record in weather.sites():
            site = dataclasses.replace(weather.site(record), cover=plan.site.cover)
            return {"site": site, "record": record}
        return {"record": record}

    def place(name: str) -> Callable[[Plan, Any], dict[str, Any]]:
        def change(plan: Plan, value: Any) -> dict[str, Any]:
            site = dataclasses.replace(plan.site, name="your own place", **{name: value})
            return {"site": site, "record": plan.record}

        return change

    def july(plan: Plan, system: str) -> str:
        warmest, solution = pictures.warmest_month(plan, system), pictures.warm_afternoon(plan, system)
        return f"{warmest}, a {plan.colour} tub {solution}" if solution else warmest

    records = _records(draft)
    covers = [(words, name) for name, words in pictures.COVERS.items()]
    return PlanPanel(
        "Your place",
        draft,
        [
            Bound(
                Pick("record", "Weather record", records[0][1], records, "weather"),
                lambda plan: plan.record or "",
                move,
            ),
            Bound(
                Number(
                    "latitude",
                    "Latitude (south: minus)",
                    None,
                    Scale("degree", -60, 60, 0.5),
                    place="weather",
                ),
                lambda plan: plan.site.latitude,
                place("latitude"),
            ),
            Bound(
                Number(
                    "altitude",
                    "Altitude",
                    None,
                    Scale("m", 0, 2500, 10),
                    Scale("ft", 0, 8000, 50),
                    place="weather",
                ),
                lambda plan: plan.site.altitude,
                place("altitude"),
            ),
            Bound(
                Pick("cover", "The tank stands", "open", covers, "weather"),
                lambda plan: plan.site.cover,
                place("cover"),
            ),
            Bound(
                Pick("colour", "Colour of lid and walls", "dark", _COLOURS, "weather"),
                lambda plan: plan.colour,
                lambda _, colour: {"colour": colour},
            ),
            Bound(
                Number("shade", "Shade cloth", None, Scale("percent", 0, 90, 10), place="weather"),
                lambda plan: Q(100 * plan.shade, "percent"),
                lambda _, value: {"shade": float(value.m_as("dimensionless"))},
            ),
        ],
        lambda system, large: PartDrawn(
            YearWeather(system, large),
            lambda figure, plan: pictures.weather_picture(plan, system, figure),
        ),
        july,
        follows=[
            "site",
            "record",
            "months",
            "outlook.far_weather",
            "tank",
            "groups",
            "start",
            "until",
            "colour",
            "shade",
            "hole",
            "top_up",
            "reading",
        ],
        choices=["site", "record", "months", "colour", "shade"],
        more=lambda plan, system: (
            f"<p>{html.escape(pictures.warmth_sentence(plan, system))}</p>"
            f"<p>{html.escape(str(plan.site.weather))}</p>"
        ),
    )


def _measured(name: str) -> Callable[[Plan, Any], dict[str, Any]]:
    def change(plan: Plan, value: Any) -> dict[str, Any]:
        water = plan.water
        called = water.name if "your reading" in water.name else f"{water.name}, with your reading"
        return {"water": dataclasses.replace(water, **{name: value}, name=called)}

    return change


def known_waters() -> list[tuple[str, str]]:
    """List the waters that ship, and the reports in this folder.

    Returns
    -------
    list of tuple
        What a person reads, and the name.

    Examples
    --------
    >>> "quillgate-tap" in [name for _, name in known_waters()]
    True
    """
    found = sorted(path for path in Path().glob("my-water*") if path.suffix in (".csv", ".toml"))
    return [
        *((mixing.demo_water(name).name, name) for name in mixing.demo_waters()),
        *((f"your own report, {path.name}", path.name) for path in found),
    ]


def _waters() -> list[tuple[str, str]]:
    """The waters to choose from: those that ship, the reports in this folder, the one the plan has."""
    return [*known_waters(), ("as typed or read", "")]


def water_panel(draft: Draft) -> PlanPanel:
    """Show the water, and what to weigh and pour for it.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Returns
    -------
    PlanPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> water_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>140 mL of nitric acid 0.5 mol/L now</p>'
    """

    known = _by_value(mixing.demo_waters(), mixing.demo_water)

    def acid(plan: Plan, system: str) -> str:
        if "closed" in plan.outlook.doses:
            return f"{pictures.acid_measure(plan.outlook.doses['closed'])} of {plan.acid} now"
        return "No acid now"

    def more(plan: Plan, system: str) -> str:
        return (
            f"<p>{html.escape(pictures.acid_sentence(plan))}</p>"
            + pictures.mixing_table(plan, system)
            + folded("What the meter should show", [pictures.salt_sentence(plan)])
            + folded("Why some targets are missed", plan.outlook.missed.values())
            + folded("What your shelf lacks, and what was taken for granted", plan.outlook.shelf_words)
        )

    acids = [(name, name) for name in products.acid_names()]
    return PlanPanel(
        "Your water, salts and acid",
        draft,
        [
            Bound(
                Pick("water", "Water", "", _waters()),
                lambda plan: known.get(value_text(plan.water), ""),
                _named("water", "water"),
            ),
            Bound(
                Number("alkalinity", "Alkalinity", None, Scale("mg/L as CaCO3", 0, 400, 5)),
                lambda plan: plan.water.alkalinity,
                _measured("alkalinity"),
            ),
            Bound(
                Number("ph", "pH of the water", None, Scale("1", 6, 9, 0.1)),
                lambda plan: plan.water.ph,
                _measured("ph"),
            ),
            Bound(
                Pick("acid", "Acid at hand", acids[0][1], acids),
                lambda plan: plan.acid,
                lambda _, name: {"acid": name},
                lambda plan: [
                    *([] if plan.shelf is None else [(name, name) for name in plan.shelf.acids]),
                    *acids,
                ],
            ),
            Bound(
                Number("target_ph", "Target pH of the solution", None, Scale("1", 4.5, 7, 0.1)),
                lambda plan: plan.target_ph,
                lambda _, value: {"target_ph": value},
            ),
        ],
        lambda system, large: PartDrawn(
            ElementBars(large), lambda figure, plan: pictures.elements_picture(plan, figure)
        ),
        acid,
        follows=[
            *(
                "tank",
                "hole",
                "water",
                "shelf",
                "acid",
                "target_ph",
                "groups",
                "site",
                "start",
                "until",
                "top_up",
                "reading",
            ),
            "outlook.targets",
        ],
        choices=["water", "acid", "target_ph"],
        more=more,
    )


def season_panel(draft: Draft, keep: bool = True) -> PlanPanel:
    """Show the level through the season.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.
    keep : bool
        Whether the button that saves plan and card stands under it.

    Returns
    -------
    PlanPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> season_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>Pots clear from ... to ...</p>'
    """

    def clear(plan: Plan, system: str) -> str:
        early, late = plan.outlook.pots_clear
        if early is None:
            return "The pots stay in the solution"
        return f"Pots clear from {short_day(early)}" + (
            f" to {short_day(late)}" if late else ", or not at all"
        )

    return PlanPanel(
        "Your season",
        draft,
        [],
        lambda system, large: PartDrawn(
            SeasonLevel(system, large=large),
            lambda figure, plan: pictures.season_picture(plan, system, figure),
        ),
        clear,
        follows=["tank", "groups", "site", "start", "until", "hole", "top_up", "reading"],
        choices=[],
        last=[Keep(draft)] if keep is True else [],
    )
