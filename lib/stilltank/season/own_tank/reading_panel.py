"""The panel that finds how much is left in the own tank: by a stick, a scale or a tilt; the plan can go on from it."""

import dataclasses
import datetime
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets
import numpy as np

from stilltank.science import budget, tank
from stilltank.season.plan import Plan, Reading
from stilltank.show.figures import ALONE, Picture, TankSection, day_text, short_day
from stilltank.show.given import of_kind, quoted
from stilltank.show.panels import Day, Number, Panel, Pick, Row, Scale, Status, row
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, Quantity, one_value, write, write_range

from .draft import Draft, a_draft

_WAYS = (
    ("with a ruler or stick: the level", "level"),
    ("with the dipstick: its litres", "litres"),
    ("with a scale: the weight", "weight"),
    ("by tilting: the wet part of the floor", "tilt"),
)
_METHODS = {
    "level": "By the stick",
    "litres": "By the dipstick",
    "weight": "By the scale",
    "tilt": "By the tilt",
}
_NEEDED = {
    "level": ("level",),
    "litres": ("litres",),
    "weight": ("mass", "empty", "plants"),
    "tilt": ("raised", "wet"),
}
_UNITS = {
    "level": "cm",
    "litres": "L",
    "mass": "kg",
    "empty": "kg",
    "plants": "kg",
    "raised": "cm",
    "wet": "cm",
}
_VOLUMES = Scale("L", 0, 5, 0.5), Scale("gallon", 0, 1, 0.125)


@dataclass(frozen=True)
class Left:
    """How much is left in a tank, and how long it lasts.

    Parameters
    ----------
    plan : Plan
        Whose tank it is, with the reading as its own.
    way : {"level", "litres", "weight", "tilt"}
        How it was found.
    volume, doubt : Quantity
        What is left, and by how much that may be off either way.
    look : LatestLook
        How long it lasts.

    Examples
    --------
    >>> from stilltank.season.plan import Plan
    >>> found = left(Plan.make(count=4), "level", datetime.date(2027, 6, 20), level=Q(15, "cm"))
    >>> found.reading.level.m_as("cm")
    15.0
    """

    plan: Plan
    way: str
    volume: Quantity
    doubt: Quantity
    look: budget.LatestLook

    @property
    def reading(self) -> Reading:
        """The reading as a plan takes it."""
        assert self.plan.reading is not None  # it was made with one
        return self.plan.reading

    @property
    def share(self) -> float:
        """Part of the filling that is left."""
        return float((self.volume / self.plan.outlook.volume).m_as("dimensionless"))


def left(plan: Plan, way: str, day: datetime.date, **read: Quantity) -> Left:
    """Find how much is left, from what was read, and how long it lasts.

    Parameters
    ----------
    plan : Plan
        Whose tank it is.
    way : {"level", "litres", "weight", "tilt"}
        How it was read.
    day : date
        When.
    **read : Quantity
        ``level``; or ``litres``; or ``mass``, ``empty`` and ``plants``; or ``raised`` and ``wet``.

    Returns
    -------
    Left
        Litres with their doubt, and the latest day to look.

    Raises
    ------
    Problem
        What was read does not fit the tank.

    Examples
    --------
    >>> found = left(Plan.make(count=4), "level", datetime.date(2027, 6, 20), level=Q(15, "cm"))
    >>> write(found.volume)
    '20.3 L'
    """
    of_kind(plan, Plan, "What is left is found for a plan, such as Plan.make(count=4)")
    if not isinstance(way, str) or way not in _NEEDED:
        raise Problem(f"A tank is read by {', '.join(_NEEDED)}; {quoted(way)} is none of them.")
    if set(read) != set(_NEEDED[way]):
        raise Problem(f"To read a tank by {way}, give {', '.join(_NEEDED[way])}, and nothing else.")
    given = {
        name: Q(one_value(value, _UNITS[name], name, "left"), _UNITS[name]) for name, value in read.items()
    }
    finders: dict[str, Callable[..., tuple[Quantity, Quantity]]] = {
        "level": _by_level,
        "litres": _by_litres,
        "weight": _by_weight,
        "tilt": _by_tilt,
    }
    volume, doubt = finders[way](plan.tank, **given)
    level = read.get("level")
    if level is None:  # to a tenth of a millimetre: nobody reads it finer
        level = Q(round(float(plan.tank.level(volume).m_as("cm")), 2), "cm")
    if level < Q(0.1, "cm"):
        raise OutOfRange(f"{_METHODS[way]} the tank is empty. Fill it, or read again.")
    going_on = plan.change(reading=Reading(day, level))
    return Left(going_on, way, volume, doubt, going_on.scenario().latest_look())


def _by_level(body: tank.Tank, level: Quantity) -> tuple[Quantity, Quantity]:
    return body.volume(level), body.uncertainty(level)


def _by_litres(body: tank.Tank, litres: Quantity) -> tuple[Quantity, Quantity]:
    return _by_level(body, body.level(litres))


def _by_weight(
    body: tank.Tank, mass: Quantity, empty: Quantity, plants: Quantity
) -> tuple[Quantity, Quantity]:
    if empty <= Q(0, "kg"):
        raise Problem("What the tank weighs empty is not known yet. Weigh tub and lid once, and type that.")
    without = empty + plants
    if mass < without:
        raise OutOfRange(
            f"The whole weighs {write(mass)}, less than tank and plants alone, {write(without)}. Weigh again, or "
            "put the weight without solution right."
        )
    on = plants > Q(0, "kg")
    scale = Q(number("measuring", "scale", f"reading doubt{' with plants' if on else ''}", "kg"), "kg")
    growth = number("measuring", "scale", "doubt of the plants", "1") * plants
    doubt = np.sqrt(scale.m_as("kg") ** 2 + growth.m_as("kg") ** 2)
    return tank.volume_from_weight(body, mass, without), Q(
        float(doubt), "L"
    )  # a kilogram is a litre, near enough


def _by_tilt(body: tank.Tank, raised: Quantity, wet: Quantity) -> tuple[Quantity, Quantity]:
    if not isinstance(body, tank.Box):
        raise Problem(
            f"Tilting works for a box with upright walls. In this {body.called} the wet edge is no straight line: use "
            "a stick or a scale."
        )
    rise, length = raised.m_as("cm"), body.length.m_as("cm")
    if not 0 < rise < length:
        raise OutOfRange(
            f"One end cannot stand {write(raised)} higher in a box {write(body.length)} long. Measure at the two ends "
            "of the floor."
        )
    volume = tank.volume_from_tilt(body, Q(float(np.degrees(np.arcsin(rise / length))), "degree"), wet)
    least = Q(number("measuring", "tilt", "least doubt", "L"), "L")
    return volume, max(number("measuring", "tilt", "reading doubt", "1") * volume, least)


def _controls(plan: Plan) -> dict[str, list[Number]]:
    """What is typed for each way; it begins where the plan may stand in mid-season."""
    body = plan.tank
    start = plan.reading.level if plan.reading else _mid_season(plan)
    empty = body.empty_mass if body.empty_mass is not None else Q(0, "kg")
    kg, lb = Scale("kg", 0, 100, 0.5), Scale("lb", 0, 220, 1)
    cm, inches = Scale("cm", 0, 5, 0.5), Scale("inch", 0, 2, 0.25)
    across = getattr(body, "length", Q(50, "cm"))
    return {
        "level": [
            Number("level", "Level above the floor", 5, cm.upto(Q(5, "cm")), inches, "tank", "length")
            .starting(body.height)
            .starting(start, rounded=plan.reading is None)
        ],
        "litres": [
            Number("litres", "Read on the dipstick", 5, *_VOLUMES, "tank", "volume")
            .starting(body.capacity)
            .starting(body.volume(start), rounded=True)
        ],
        "weight": [
            Number("mass", "All of it weighs", 10, kg, lb, "tank", "mass").starting(
                Q(round(body.volume(start).m_as("L") + empty.m_as("kg")), "kg")
            ),
            Number("empty", "Empty, with lid, it weighs", 0, kg, lb, "tank", "mass").starting(empty),
            Number(
                "plants",
                "Plants and pots that are on it",
                0,
                Scale("kg", 0, 10, 0.1),
                Scale("lb", 0, 20, 0.25),
                "tank",
                "mass",
            ),
        ],
        "tilt": [
            Number(
                "raised",
                "One end stands higher by",
                10,
                Scale("cm", 0, 50, 0.5),
                Scale("inch", 0, 20, 0.25),
                "tank",
                "length",
            ),
            Number("wet", "The floor is wet for", 5, cm, inches, "tank", "length")
            .starting(across)
            .starting(Q(round(across.m_as("cm") / 2), "cm")),
        ],
    }


def _mid_season(plan: Plan) -> Quantity:
    part = number("plan", "panel", "part of the level", "1")
    return Q(round(part * plan.outlook.fill_level.m_as("cm"), 1), "cm")


def _mid_day(plan: Plan) -> datetime.date:
    if plan.reading:
        return plan.reading.day
    return plan.start + datetime.timedelta(
        days=round(number("plan", "panel", "part of the season", "1") * plan.outlook.days)
    )


def _sentence(found: Left, system: str) -> str:
    doubt = write(found.doubt, system, digits=2)
    level, share = write(found.reading.level, system, digits=3), 100 * found.share
    said = f"{_METHODS[found.way]} {write(found.volume, system)} is left, give or take {doubt}: "
    said += f"a level of {level}, and {share:.0f} % of the filling. "
    look, sure = found.look, f"{100 * found.look.certainty:.0f} of 100 simulated seasons"
    if look.date is None:
        return f"{said}That is low: look today, and top up."
    if look.ends:
        return f"{said}In {sure} it lasts to the end, {day_text(look.date)}."
    lasting = f"{look.days} days, and in half of them {look.median_days}"
    return f"{said}In {sure} it lasts until {day_text(look.date)}, {lasting}."


class _Drawn:
    """The tank from the side at the level that was found."""

    def __init__(self, system: str, large: bool):
        self._system, self._section = system, TankSection(system, large=large)
        self.figure = self._section.figure

    def show(self, found: Left) -> Picture:
        """Draw it."""
        outlook = found.plan.outlook
        drawn = self._section.show(found.plan.tank, outlook.fill_level, outlook.hole, found.reading.level)
        return dataclasses.replace(drawn, sentence=_sentence(found, self._system))


def _key(found: Left, system: str) -> str:
    low = max(found.volume - found.doubt, Q(0, "L"))
    high = min(found.volume + found.doubt, found.plan.tank.capacity)
    return f"{write(found.volume, system)} left ({write_range(low, high, system)})"


class ReadingPanel(Panel[Left]):
    """How much is left in the own tank; made by ``reading_panel``.

    Parameters
    ----------
    draft : Draft
        The plan, shared with the other panels.

    Attributes
    ----------
    draft : Draft
        The plan.
    take, drop : Button
        To let the plan go on from the reading, and to take it out again.

    Examples
    --------
    >>> ReadingPanel(Draft("no-such-plan.toml", count=4)).take.description
    'Go on from this reading'
    """

    def __init__(self, draft: Draft):
        self.draft = a_draft(draft)
        self.take = widgets.Button(description="Go on from this reading", layout=widgets.Layout(width="16em"))
        self.drop = widgets.Button(
            description="Take the reading out of the plan", layout=widgets.Layout(width="18em")
        )
        self.take.on_click(lambda _: self._press(self._take))
        self.drop.on_click(lambda _: self._press(lambda: self.draft.change(reading=None)))
        self.said = Status()
        buttons = widgets.HBox(
            [self.take, self.drop], layout=widgets.Layout(flex_flow="row wrap", grid_gap="0.6em")
        )
        super().__init__("How much is left in your tank?", _Drawn, _key, last=[buttons, self.said])
        self._way = row(Pick("way", "Read", "level", _WAYS, "tank"), self._moved)
        self._day = row(Day("day", "On"), self._moved)
        self._found: Left | None = None
        self._seen: Any = None
        self._set_out()
        self.draft.watch(self._told, "reading")
        self.refresh()
        if draft.unsaid:
            self.answer.note(Problem(draft.unsaid))
            draft.unsaid = ""

    def reset(self) -> None:
        """Begin again with the plan as it is."""
        with ALONE:
            self._busy = True
            self._way.value = "level"
            self._busy = False
            self._set_out()
            self.refresh()

    def switch(self, system: str) -> None:
        """Show the whole draft in another system.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.
        """
        self.acting(lambda: self.draft.show_in(system))

    def refresh(self) -> None:
        """Find what is left by what is typed."""
        with ALONE:
            self.attempt(self._draw)

    def _set_out(self) -> None:
        """Make the boxes for the tank of the plan."""
        self._busy = True
        plan = self.draft.plan
        self._boxes = {
            way: {one.name: row(one, self._moved) for one in several}
            for way, several in _controls(plan).items()
        }
        self._day.value = _mid_day(plan)
        self._seen = (plan.tank, plan.start, plan.reading)
        self._follow_system()
        self._busy = False
        self._say()

    def _follow_system(self) -> None:
        self.system.value = self.draft.system
        for several in self._boxes.values():
            for made in several.values():
                made.switch(self.draft.system)
        self._arrange()

    def _arrange(self) -> None:
        self.arrange({"way": self._way, **self._boxes[self._way.value], "day": self._day})

    def _moved(self) -> None:
        if not self._busy:
            self._arrange()
            self.refresh()

    def _told(self) -> None:
        self.catch_up(self._catch_up_with_plan)

    def _catch_up_with_plan(self) -> None:
        with ALONE:
            plan = self.draft.plan
            tank_, start, reading = self._seen
            if (
                plan.tank != tank_
                or plan.start != start
                or (plan.reading is not None and plan.reading != reading)
            ):
                self._set_out()  # what was typed was of another tank, or another season
            else:
                self._seen = (plan.tank, plan.start, plan.reading)
                self._busy = True
                self._follow_system()
                self._busy = False
                self._say()
            self.refresh()

    def _draw(self) -> None:
        self._found = None
        day, way = self._day.value, self._way.value
        if day is None:
            raise Problem("Choose the day on which you read it.")
        read = {name: _value(made) for name, made in self._boxes[way].items()}
        self._found = left(self.draft.plan, way, day, **read)
        self.draw(self._found, self.draft.system)

    def _press(self, act: Callable[[], object]) -> None:
        self.acting(act)

    def _take(self) -> None:
        if self._found is None:
            raise Problem("There is no reading to go on from yet. Put right what is said above.")
        self._seen = (self._seen[0], self._seen[1], self._found.reading)
        self.draft.change(reading=self._found.reading)

    def _say(self) -> None:
        reading = self.draft.plan.reading
        self.drop.disabled = reading is None
        if reading is None:
            self.said.say(
                "The plan runs from the planting. Press the button to let it go on from this reading."
            )
        else:
            self.said.say(
                f"The plan goes on from {write(reading.level, self.draft.system, digits=3)} on "
                f"{short_day(reading.day)}. Save it to keep that."
            )


def _value(made: Row) -> Any:
    return made.value()


def reading_panel(draft: Draft) -> ReadingPanel:
    """Show how much is left in the own tank, by a stick, a scale or a tilt, and let the plan go on from it.

    Parameters
    ----------
    draft : Draft
        The plan that this panel reads and changes, shared with other panels.

    Returns
    -------
    ReadingPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> reading_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>20.3 L left (20 to 20.6 L)</p>'
    """
    return ReadingPanel(draft)
