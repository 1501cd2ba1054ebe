"""The panel on topping up: until when, how, how strong, with which water, and what comes of it."""

import html
from collections.abc import Callable
from datetime import date
from typing import Any

from stilltank.science import budget, mixing
from stilltank.season import pictures
from stilltank.season.plan import Plan
from stilltank.show.figures import SeasonLevel, short_day
from stilltank.show.panels import Day, Number, PartDrawn, Pick, Scale
from stilltank.tables import number
from stilltank.units import Q, Quantity, value_text, write

from .draft import Draft, a_draft
from .panels import known_waters
from .plan_panel import Bound, PlanPanel

_ENDS = (
    ("the crop's own end", ""),
    ("a date", "date"),
    ("the last day before frost", "frost"),
    ("until the tank is dry", "dry"),
)
_WAYS = (
    ("nobody tops it up", "nothing"),
    ("by hand, up to a mark", "mark"),
    ("by hand, a little each time", "little"),
    ("from a rain barrel, up to a mark", "rain caught"),
    ("a drip each day", "drip"),
    ("a float valve", "float valve"),
    ("on dates, as the plan's file says", "on dates"),
)
_SAID = {
    "mark": "by hand, to a mark",
    "little": "by hand",
    "rain caught": "from the barrel",
    "drip": "by drip",
    "float valve": "by float valve",
    "on dates": "on dates",
}
_MARK = Scale("cm", 2, 40, 0.5), Scale("inch", 1, 16, 0.25)
_FIRST_AREA, _FIRST_BARREL = Q(2, "m^2"), Q(100, "L")  # a small roof and a usual barrel, to begin with
_RAIN = "rain"


def _way(plan: Plan) -> str:
    """How the plan is topped up, as the list says it."""
    routine = plan.top_up
    if routine.way != "by hand":
        return routine.way
    whole = routine.level is not None and routine.rise is not None and routine.rise >= routine.level
    return "mark" if whole else "little"


def _level(plan: Plan) -> Quantity:
    """The mark, or the usual height to hold a tank at, to a half centimetre."""
    return usual_mark(plan) if plan.top_up.level is None else plan.top_up.level


def usual_mark(plan: Plan) -> Quantity:
    """Find the usual height to hold a tank at, to a half centimetre.

    Parameters
    ----------
    plan : Plan
        The plan.

    Returns
    -------
    Quantity
        In cm.

    Examples
    --------
    >>> usual_mark(Plan.make(count=4)).m_as("cm")
    15.0
    """
    part = number("budget", "top-up", "holding level", "1")
    return Q(round(2 * part * plan.outlook.fill_level.m_as("cm")) / 2, "cm")


def _daily(plan: Plan) -> Quantity:
    """What a drip gives, or what the plants drink on an average day."""
    if plan.top_up.daily is not None:
        return plan.top_up.daily
    drunk = float(plan.outlook.season.transpired.m_as("L").mean())
    return Q(max(round(drunk, 1), 0.1), "L")


def _made(plan: Plan, way: str, **given: Any) -> budget.TopUp:
    """A routine of a way, with what is not given as the plan has it."""
    now, barrel = plan.top_up, plan.top_up.barrel
    strength = given.get("strength", now.strength)
    every = given.get("every", now.every if _way(plan) in ("mark", "little", "rain caught") else None)
    level = given.get("level", _level(plan))
    if way == "mark":
        return budget.to_a_mark(level, every, strength)
    if way == "little":
        return budget.by_hand(every, given.get("level", now.level), given.get("rise"), strength)
    if way == "rain caught":
        area = given.get("area", barrel.area if barrel else _FIRST_AREA)
        size = given.get("size", barrel.size if barrel else _FIRST_BARREL)
        kept = (
            {"share": barrel.share, "first_flush": barrel.first_flush, "first": min(barrel.first, size)}
            if barrel
            else {}
        )
        return budget.rain_caught(area, size, every, level, strength=strength, **kept)
    if way == "drip":
        return budget.drip(given.get("daily", _daily(plan)) / Q(24, "hour"), Q(24, "hour"), strength)
    return budget.float_valve(level, strength) if way == "float valve" else budget.nothing()


def _set(name: str) -> Callable[[Plan, Any], dict[str, Any]]:
    """A number of the routine: what else it is made of stays."""

    def change(plan: Plan, value: Any) -> dict[str, Any]:
        return {"top_up": _made(plan, _way(plan), **{name: value})}

    return change


def _only(ways: tuple[str, ...], shown: Callable[[Plan], Any]) -> Callable[[Plan], Any]:
    """What only some ways have."""
    return lambda plan: shown(plan) if _way(plan) in ways else None


def _waters() -> list[tuple[str, str]]:
    return [
        ("that of the filling", ""),
        ("rain, or pure water", _RAIN),
        *known_waters(),
        ("as the plan's file says", "other"),
    ]


def _water_shown(known: dict[str, str]) -> Callable[[Plan], str | None]:
    def shown(plan: Plan) -> str | None:
        if _way(plan) == "nothing":
            return None
        water = plan.outlook.top_up_water
        if plan.top_up_water is None and plan.top_up.barrel is None:
            return ""
        if not water.ions and not water.alkalinity:
            return _RAIN
        return known.get(value_text(water), "other")

    return shown


def _water_taken(plan: Plan, name: str) -> dict[str, Any]:
    if name == "other":
        return {}
    if name == _RAIN:
        # from a barrel it is rain anyway
        return {"top_up_water": None if plan.top_up.barrel else _pure()}
    if name == "" and plan.top_up.barrel is not None:
        return {"top_up_water": plan.water}
    return {"top_up_water": name or None}


def _pure() -> mixing.Water:
    return mixing.Water({}, alkalinity=Q(0, "mg/L"), ph=7.0, name=_RAIN)


def _strengthened(plan: Plan, value: Quantity) -> dict[str, Any]:
    share = float(value.m_as("dimensionless"))
    if _way(plan) == "on dates":
        return {"top_up": budget.on_dates(dict((plan.top_up.volumes or {}).items()), share)}
    return {"top_up": _made(plan, _way(plan), strength=share)}


def _end_taken(plan: Plan, word: str) -> dict[str, Any]:
    return {"until": plan.outlook.end if word == "date" else word or None}


def _way_taken(plan: Plan, way: str) -> dict[str, Any]:
    return {} if way == "on dates" else {"top_up": _made(plan, way)}


def _until(plan: Plan) -> str:
    """When the season ends, and what it waits for."""
    day = short_day(plan.outlook.end)
    if isinstance(plan.until, date):
        return f"Emptied on {day}"
    return f"Until {day}" if plan.until is None else f"Until {plan.until}, or {day}"


def top_up_panel(draft: Draft) -> PlanPanel:
    """Show how the tank is topped up, and the level, the litres and the pH that follow.

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
    >>> top_up_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>Until 27 July: dry in ... of 100 seasons if nobody comes</p>'
    """
    draft = a_draft(draft)
    known = {value_text(mixing.demo_water(name)): name for name in mixing.demo_waters()}
    by_hand = ("mark", "little", "rain caught")

    def key(plan: Plan, system: str) -> str:
        found = plan.outlook.top_ups
        if _way(plan) == "nothing":
            said = f"dry in {100 * found.season.share_of('run_dry'):.0f} of 100 seasons if nobody comes"
        else:
            said = f"{write(found.carried, system, digits=2)} to add {_SAID[_way(plan)]}"
        return f"{_until(plan)}: {said}"

    def more(plan: Plan, system: str) -> str:
        return "".join(f"<p>{html.escape(words)}</p>" for words in plan.outlook.top_ups.words(system))

    def percent(plan: Plan) -> Quantity | None:
        return None if _way(plan) == "nothing" else Q(100 * plan.top_up.strength, "percent")

    # dates are written in the file alone, and offered where the plan of this page has them
    dated = draft.plan.top_up.way == "on dates"
    ways = [(words, name) for words, name in _WAYS if dated or name != "on dates"]
    return PlanPanel(
        "Topping up",
        draft,
        [
            Bound(
                Pick("ends", "Until when", "", _ENDS, "plants"),
                lambda plan: "date" if isinstance(plan.until, date) else plan.until or "",
                _end_taken,
            ),
            Bound(
                Day("end", "Empty the tank on"),
                lambda plan: plan.until if isinstance(plan.until, date) else None,
                lambda _, day: {"until": day} if day else {},
            ),
            Bound(
                Pick("way", "How it is topped up", "nothing", ways),
                lambda plan: way if (way := _way(plan)) in dict(ways).values() else None,
                _way_taken,
            ),
            Bound(
                Number("every", "Visit every", None, Scale("day", 1, 21, 1)),
                _only(by_hand, lambda plan: Q(plan.top_up.every, "day")),
                lambda plan, value: _set("every")(plan, value.m_as("day")),
            ),
            Bound(
                Number("level", "Mark, above the floor", None, *_MARK),
                _only(("mark", "rain caught", "float valve"), _level),
                _set("level"),
            ),
            Bound(
                Number("daily", "Drip in a day", None, Scale("L", 0, 10, 0.1), Scale("gallon", 0, 2.5, 0.05)),
                _only(("drip",), _daily),
                _set("daily"),
            ),
            Bound(
                Number(
                    "area",
                    "Roof or sheet",
                    None,
                    Scale("m^2", 0.2, 20, 0.2),
                    Scale("ft^2", 2, 200, 2),
                ),
                _only(("rain caught",), lambda plan: plan.top_up.barrel.area),  # type: ignore[union-attr]
                _set("area"),
            ),
            Bound(
                Number("size", "Barrel holds", None, Scale("L", 5, 300, 5), Scale("gallon", 1, 80, 1)),
                _only(("rain caught",), lambda plan: plan.top_up.barrel.size),  # type: ignore[union-attr]
                _set("size"),
            ),
            Bound(
                Number(
                    "strength",
                    "Recipe strength",
                    None,
                    Scale("percent", 0, 100, 50),
                ),
                percent,
                _strengthened,
            ),
            Bound(Pick("water", "Water for it", "", _waters()), _water_shown(known), _water_taken),
        ],
        lambda system, large: PartDrawn(
            SeasonLevel(system, large=large),
            lambda figure, plan: pictures.season_picture(plan, system, figure),
        ),
        key,
        follows=[
            *("tank", "groups", "site", "start", "until", "hole", "top_up", "top_up_water", "reading"),
            *("water", "acid", "target_ph"),
        ],
        choices=["until", "top_up", "top_up_water"],
        more=more,
    )
