"""Boxes for the twelve months of a place without a daily weather record."""

import dataclasses
import re

import ipywidgets as widgets

from stilltank.season.plan import Months, Plan, latitude_text
from stilltank.show.panels import Status, choice, lines_box
from stilltank.units import Problem, Q, Quantity, write

from .draft import Draft, a_draft

_UNITS = {
    "metric": ("°C and mm", {"degrees": "degC", "depth": "mm"}),
    "US": ("°F and inches", {"degrees": "degF", "depth": "inch"}),
}
_SIGNS = {"degC": "°C", "degF": "°F", "mm": "mm", "inch": "inches"}
_ROWS = {"highs": ("Mean highs", "degrees"), "lows": ("Mean lows", "degrees"), "rain": ("Rain", "depth")}
_EXAMPLES = {
    "metric": {
        "highs": "6, 8, 11, 15, 19, 22, 25, 25, 21, 16, 10, 7",
        "lows": "1, 1, 3, 5, 9, 12, 14, 14, 11, 8, 4, 2",
        "rain": "60, 50, 50, 50, 60, 60, 70, 60, 60, 70, 70, 70",
    },
    "US": {
        "highs": "43, 46, 52, 59, 66, 72, 77, 77, 70, 61, 50, 45",
        "lows": "34, 34, 37, 41, 48, 54, 57, 57, 52, 46, 39, 36",
        "rain": "2.4, 2, 2, 2, 2.4, 2.4, 2.8, 2.4, 2.4, 2.8, 2.8, 2.8",
    },
}
_WORDS = {  # what may stand beside a number, and the unit it says
    **dict.fromkeys(("c", "°c", "degc", "celsius"), "degC"),
    **dict.fromkeys(("f", "°f", "degf", "fahrenheit"), "degF"),
    "mm": "mm",
    **dict.fromkeys(("in", "inch", "inches", '"'), "inch"),
}
_MONTH = re.compile(r"\b(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?", re.I)
_NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)")
_MONTHS = 12


def twelve_from(text: str, label: str, unit: str) -> Quantity:
    """Read twelve numbers as people type or paste them.

    Parameters
    ----------
    text : str
        Numbers apart by commas, semicolons, spaces or line ends; a unit may stand beside them.
    label : str
        What they are, for the sentence.
    unit : str
        Their unit where the text says none.

    Returns
    -------
    Quantity
        Twelve values.

    Raises
    ------
    Problem
        There are not twelve, one is no number, or the text says another kind of unit.

    Examples
    --------
    >>> twelve_from("6, 8, 11, 15, 19, 22, 25, 25, 21, 16, 10, 7", "Mean highs", "degC").magnitude[:2].tolist()
    [6.0, 8.0]
    """
    plain = _MONTH.sub(" ", text.replace("−", "-").replace("\u00a0", " "))
    words = {word.lower() for word in re.findall(r"°?[a-zA-Z]+|\"", plain)}
    said = {_WORDS[word] for word in words if word in _WORDS}
    if (strange := sorted(words - set(_WORDS))) or len(said) > 1:
        raise Problem(
            f'{label}: "{(strange or sorted(words))[0]}" is no number. Type twelve numbers, January first, such as '
            "6, 8, 11 and so on."
        )
    meant = said.pop() if said else unit
    if _temperature(meant) != _temperature(unit):
        raise Problem(f"{label}: you typed {_SIGNS[meant]}. Type {_SIGNS[unit]} here.")
    bare = re.sub(r"°?[a-zA-Z]+|\"|°", " ", plain)
    parts = [part.rstrip(",") for part in re.split(r"[;\s]+", bare) if part.strip(",")]
    if len(parts) == _MONTHS:  # a comma that is left is a decimal comma
        parts = [part.replace(",", ".") for part in parts]
    else:
        parts = [part for part in re.split(r"[,;\s]+", bare) if part]
    if wrong := next((part for part in parts if not _NUMBER.fullmatch(part)), None):
        raise Problem(f'{label}: "{wrong}" is no number. Type twelve numbers, January first.')
    if len(parts) != _MONTHS:
        count = f"{len(parts)} number{'s' * (len(parts) != 1)}"
        raise Problem(f"{label}: you typed {count}. Type twelve, one for each month, January first.")
    return Q([float(part) for part in parts], meant)


def _temperature(unit: str) -> bool:
    return unit in ("degC", "degF")


class PlaceMonths(widgets.VBox):
    """Twelve highs, lows and rainfalls to type or paste, and a button that makes weather from them.

    Latitude and altitude are those of the plan, as the panel above shows them.

    Parameters
    ----------
    draft : Draft
        The plan that gets the weather.

    Attributes
    ----------
    rows : dict of str to Textarea
        "highs", "lows" and "rain".

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> PlaceMonths(Draft("no-such-plan.toml", count=4)).button.description
    'Make weather from these months'
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        self.opener = widgets.ToggleButton(description="No daily record? Type twelve months")
        self.opener.layout = widgets.Layout(width="auto", align_self="flex-start")
        self.units = choice(
            "These numbers are in", [(words, key) for key, (words, _) in _UNITS.items()], "metric"
        )
        self.units.value = draft.system
        self.rows = {name: lines_box(label, "", "") for name, (label, _) in _ROWS.items()}
        self.coast = choice("Air from a sea or a large lake", [("no", "no"), ("yes", "yes")], "no")
        self.button = widgets.Button(
            description="Make weather from these months", layout=widgets.Layout(width="20em")
        )
        self.status = Status()
        self._shown: Months | None = None
        super().__init__()
        self.opener.observe(lambda _: self._arrange(), "value")
        self.units.observe(lambda _: self._label(), "value")
        self.button.on_click(lambda _: self._make())
        draft.watch(self._follow, "months")
        self._label()
        self._follow()
        self._arrange()

    def _arrange(self) -> None:
        inside = [self.units, *self.rows.values(), self.coast, self.button, self.status]
        self.children = (self.opener, *(inside if self.opener.value else []))

    def _label(self) -> None:
        for name, (label, kind) in _ROWS.items():
            self.rows[name].description = f"{label} of the months, {_SIGNS[self._unit(kind)]}"
            self.rows[name].placeholder = _EXAMPLES[self.units.value][name]

    def _unit(self, kind: str) -> str:
        return _UNITS[self.units.value][1][kind]

    def _follow(self) -> None:
        """Show the months of the plan, where it has others than are shown."""
        months = self._draft.plan.months
        if months is self._shown:
            return
        self._shown, self.status.value = months, ""
        if months is None:
            return
        for name, (_, kind) in _ROWS.items():
            values = getattr(months, name).m_as(self._unit(kind))
            self.rows[name].value = ", ".join(f"{value:.4g}" for value in values)
        self.coast.value = "yes" if months.coast else "no"
        self.opener.value = True

    def _make(self) -> None:
        try:
            read = {
                name: twelve_from(self.rows[name].value, label, self._unit(kind))
                for name, (label, kind) in _ROWS.items()
            }
            months = Months(**read, coast=self.coast.value == "yes")
            plan = self._draft.plan
            own = plan.record is None and plan.months is not None
            site = plan.site if own else dataclasses.replace(plan.site, name="your own place")
            before, self._shown = self._shown, months  # what was typed stays as it was typed
            try:
                self._draft.change(site=site, months=months)
            except Problem:
                self._shown = before
                raise
        except Problem as problem:
            self.status.complain(problem)
            return
        self.status.say(_made(self._draft.plan, self._draft.system))


def _made(plan: Plan, system: str) -> str:
    years = len(plan.site.weather.years) if plan.site.weather else 0
    where = f"{latitude_text(float(plan.site.latitude.m_as('degree')))}, {write(plan.site.altitude, system)}"
    return (
        f"Made {years} years of weather from your twelve months, for {where}. Change these above if your place is "
        "elsewhere. It is not a record: its frost dates can be off by three weeks."
    )
