"""The learner's plan beside others: another number of plants, another start, another routine, another tank."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import ipywidgets as widgets

from stilltank.science import budget, tank
from stilltank.season import pictures
from stilltank.season.plan import Plan
from stilltank.season.review import Alternatives, alternatives, headline
from stilltank.show.figures import RangeStrips, day_text
from stilltank.show.pages import folded, listed, table
from stilltank.show.panels import (
    Day,
    Number,
    Panel,
    PartDrawn,
    Pick,
    Row,
    Scale,
    ready_made_tanks,
    row,
)
from stilltank.units import Problem, Quantity

from .draft import Draft, a_draft
from .top_up_panel import usual_mark

_LEFT_OUT = ("nothing here", "")
_ORDINALS = ("First", "Second", "Third")
_VARY = (
    ("the number of plants", "count"),
    ("the day of planting", "start"),
    ("the way of topping up", "top_up"),
    ("the tank", "tank"),
)


@dataclass(frozen=True)
class _Kind:
    """One thing to vary: its controls, and what a chosen value changes, by the name of the alternative."""

    controls: tuple[Number | Pick | Day, ...]
    firsts: tuple[Any, ...]  # of days, which no control holds
    change: Callable[[Plan, Any], tuple[str, dict[str, Any]] | None]


class SideBySide(Panel[Alternatives]):
    """Hold the plan beside up to three others over the same simulated seasons.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on; it is not changed.

    Attributes
    ----------
    draft : Draft
        The plan.
    found : Alternatives or None
        What is shown; None where there is nothing to compare.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> panel = SideBySide(Draft("no-such-plan.toml", count=4))
    >>> panel.found.names
    ('as planned', '2 plants', '3 plants', '5 plants')
    """

    def __init__(self, draft: Draft):
        self.draft = a_draft(draft)
        self.found: Alternatives | None = None
        super().__init__(
            "Your plan beside others",
            lambda system, large: PartDrawn(
                RangeStrips(large=large),
                lambda figure, found: pictures.alternatives_picture(found, system, figure),
            ),
            lambda found, system: headline(found),
            _details,
        )
        self._vary = row(Pick("vary", "What to vary", "count", list(_VARY), "plants"), self._turned)
        self._values: dict[str, list[Any]] = {}
        self._kinds = _kinds(draft.plan)
        self._shown: tuple[Any, ...] = ()
        draft.watch(self._told, "side by side")
        self.refresh()

    def reset(self) -> None:
        """Begin again with values that lie around those of the plan."""
        self._kinds, self._values, self._shown = _kinds(self.draft.plan), {}, ()
        self._vary.value = "count"
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
        """Show the plan as it now is beside the values that were chosen."""
        self._busy = True
        try:
            kind = self._vary.value
            if kind not in self._values:
                made = [row(control, self.refresh_once) for control in self._kinds[kind].controls]
                for one, first in zip(made, self._kinds[kind].firsts, strict=False):
                    if isinstance(one, widgets.DatePicker):
                        one.value = first
                self._values[kind] = made
            self.arrange(
                {"vary": self._vary, **{f"{kind} {n}": one for n, one in enumerate(self._values[kind])}}
            )
            self.system.value = self.draft.system
        finally:
            self._busy = False
        self.attempt(self._draw)

    def refresh_once(self) -> None:
        """Draw after a choice here, unless it was the panel itself that made it."""
        if not self._busy:
            self.attempt(self._draw)

    def _turned(self) -> None:
        if not self._busy:
            self.refresh()

    def _told(self) -> None:
        self.catch_up(self.refresh)

    def _draw(self) -> None:
        plan, system, kind = self.draft.plan, self.draft.system, self._kinds[self._vary.value]
        changes: dict[str, Mapping[str, object]] = {}
        for one in self._values[self._vary.value]:
            made = kind.change(plan, one.value() if isinstance(one, Row) else one.value)
            if made is not None:
                changes[made[0]] = made[1]
        if not changes:
            raise Problem("Every value here is that of your plan, or left out. Choose one that differs.")
        now = (plan, system, self.large.value, tuple(changes), self._vary.value)
        if now == self._shown:
            self.stand()
            return
        self._shown = ()
        self.found = alternatives(plan, changes)
        self.draw(self.found, system)
        self._shown = now


def _details(found: Alternatives, system: str) -> str:
    plans = found.rows(system)
    lines = [[what, *(plan[what] for plan in plans)] for what in plans[0] if what != "plan"]
    heads = ["", *(plan["plan"] for plan in plans)]
    main = [says for says in found.compared() if says.startswith(("Stems", "Heads", "Stop level"))]
    ranges = table("8 of 10 simulated seasons lie in each range", heads, lines)
    return (
        listed(main).html
        + f'<div style="overflow-x:auto">{ranges}</div>'
        + folded("All that was compared, season by season", found.compared())
    )


def _kinds(plan: Plan) -> dict[str, _Kind]:
    """What can be varied, beginning around the plan's own values."""
    count = plan.plants.count
    counts = sorted(
        [each for each in (count - 1, count - 2, count + 1, count + 2, count + 3) if each > 0][:3]
    )
    ways, tanks = _ways(plan), dict(ready_made_tanks())
    others = [name for name in tanks.values() if tank.preset(name).height != plan.tank.height][:2]
    routines = [name for name in ways if ways[name].name != plan.top_up.name]
    return {
        "count": _Kind(
            tuple(
                Number(
                    f"count{place}",
                    f"{word} other number of plants",
                    value,
                    Scale("1", 1, 24, 1),
                    place="plants",
                )
                for place, (word, value) in enumerate(zip(_ORDINALS, counts, strict=False))
            ),
            (),
            lambda now, value: (
                None
                if value == now.plants.count
                else (f"{value:g} plant{'s' * (value != 1)}", {"count": _whole(value)})
            ),
        ),
        "start": _Kind(
            tuple(
                Day(f"start{place}", f"{word} other day of planting") for place, word in enumerate(_ORDINALS)
            ),
            tuple(plan.start + timedelta(days=days) for days in (-14, 7, 14)),
            lambda now, day: None if day in (None, now.start) else (f"from {day_text(day)}", {"start": day}),
        ),
        "top_up": _Kind(
            tuple(
                Pick(
                    f"way{place}",
                    f"{word} other way of topping up",
                    routines[place] if place < 2 else "",
                    [_LEFT_OUT, *((name, name) for name in ways)],
                    "water",
                )
                for place, word in enumerate(_ORDINALS)
            ),
            (),
            lambda now, name: None if not name or name == now.top_up.name else (name, {"top_up": ways[name]}),
        ),
        "tank": _Kind(
            tuple(
                Pick(
                    f"tank{place}",
                    f"{word} other tank",
                    others[place] if place < len(others) else "",
                    [_LEFT_OUT, *ready_made_tanks()],
                    "tank",
                )
                for place, word in enumerate(_ORDINALS)
            ),
            (),
            lambda now, name: None if not name else (tank.preset(name).name, {"tank": name}),
        ),
    }


def _whole(value: Any) -> int:
    if not float(value).is_integer():
        raise Problem(f"You typed {value:g} plants. Type a whole number, such as 4.")
    return int(value)


def _ways(plan: Plan) -> dict[str, budget.TopUp]:
    """Routines by name, with the level at which a tended tank is held."""
    level = usual_mark(plan)
    found = [
        budget.nothing(),
        *(budget.by_hand(days, level, strength=0.5) for days in (1, 2, 3, 7)),
        budget.by_hand(3, level, strength=0.0),
        budget.float_valve(level, strength=0.5),
    ]
    return {one.name: one for one in found}


def _cm(height: Quantity) -> float:
    return float(height.m_as("cm"))
