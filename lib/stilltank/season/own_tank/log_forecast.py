"""The panel that says where a tank goes, from its log."""

import html
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from stilltank.science.refit import Week
from stilltank.season import log_pictures
from stilltank.season.log import Forecast, Refit, forecast, held_words, past_forecasts, read, refit
from stilltank.season.plan import Plan
from stilltank.show.figures import ALONE
from stilltank.show.pages import folded
from stilltank.show.panels import Panel, PartDrawn, Pick, Status, button, row
from stilltank.units import Problem, Q

from .draft import Draft, a_draft
from .visit_panel import given_log, log_path

_WARMTHS = (("as usual", "usual"), ("hot", "hot"), ("cool", "cool"))
_RAINS = (
    ("nobody knows", None),
    ("none", 0.0),
    ("10 mm (0.4 in)", 10.0),
    ("25 mm (1 in)", 25.0),
    ("50 mm (2 in)", 50.0),
)
_TOGETHER = (
    ("each from its own log", None),
    ("alike: one crop, one place", "alike"),
    ("unlike", "unlike"),
)


@dataclass(frozen=True)
class _Shown:
    """One tank of a fitted log, and what comes for it."""

    fitted: Refit
    coming: Forecast
    tank: str


class ForecastPanel(Panel[_Shown]):
    """Where a tank goes, from its log: what to do, the cloud of levels, and how well earlier forecasts held.

    Parameters
    ----------
    draft : Draft
        The plan of the tank, shared with other panels.
    path : str or Path, optional
        The log; that beside the plan when left out.
    plans : mapping of str to Plan, optional
        One plan for each tank of the log, in place of the draft's.

    Attributes
    ----------
    fitted : Refit or None
        What the log taught.
    coming : Forecast or None
        What comes for the tank that is shown.
    tank, warmth, rain, together : Dropdown
        Which tank, the coming week, and whether a tank with few readings learns from the others.
    read_again, hold : Button
        To read the log again, and to hold earlier forecasts against what was read later.
    status : Status
        How many of them held.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> ForecastPanel(Draft("no-such-plan.toml")).coming is None
    True
    """

    def __init__(self, draft: Draft, path: str | Path | None = None, plans: Mapping[str, Plan] | None = None):
        self.draft, self._given, self._plans = a_draft(draft), given_log(path, "forecast_panel"), plans
        self.fitted: Refit | None = None
        self.coming: Forecast | None = None
        self._read: tuple[Any, ...] = ()
        self.status = Status()
        self.read_again = button("Read the log again", self._read_afresh)
        self.hold = button("Hold earlier forecasts against readings", lambda: self.attempt(self._hold))
        super().__init__(
            "Where does your tank go?",
            lambda system, large: PartDrawn(
                log_pictures.LevelCloud(system, large),
                lambda figure, shown: log_pictures.cloud_picture(
                    shown.fitted, shown.coming, shown.tank, system, figure
                ),
            ),
            lambda shown, system: shown.coming.headline,
            _details,
            [self.read_again, self.hold, self.status],
        )
        self.tank = row(Pick("tank", "Tank", "", [("the one of the log", "")], "tank"), self._moved)
        self.warmth = row(Pick("warmth", "The coming week", "usual", list(_WARMTHS), "weather"), self._moved)
        self.rain = row(Pick("rain", "Rain in it", None, list(_RAINS), "weather"), self._moved)
        self.together = row(Pick("together", "Tanks of this log", None, list(_TOGETHER), "tank"), self._moved)
        self.arrange({"warmth": self.warmth, "rain": self.rain})
        self.draft.watch(self._told, "forecast")
        self.refresh()

    @property
    def path(self) -> Path:
        """The log."""
        return log_path(self.draft) if self._given is None else self._given

    def reset(self) -> None:
        """Begin again with the usual week, and each tank from its own log."""
        with ALONE:
            self._busy = True
            self.warmth.value, self.rain.value, self.together.value = "usual", None, None
            self._busy = False
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
        """Show what the log as it now is, and the week as it was chosen, say."""
        with ALONE:
            self._busy = True
            self.system.value = self.draft.system
            self._busy = False
            self.attempt(self._draw)

    def _told(self) -> None:
        self.catch_up(self.refresh)

    def _moved(self) -> None:
        if not self._busy:
            self.refresh()

    def _read_afresh(self) -> None:
        self._read = ()
        self.refresh()

    def _fit(self) -> Refit:
        """Fit the log again where it, its answers, the plans or the choice of neighbours have changed."""
        path = self.path
        if not path.exists():
            self.fitted = self.coming = None
            raise Problem(f"{path.name} is not there yet. Add a visit first.")
        plans = self.draft.plan if self._plans is None else self._plans
        answers = path.with_name(f"{path.stem}.answers.toml")
        files = tuple(each.read_bytes() if each.exists() else b"" for each in (path, answers))
        now = (path, files, plans, self.together.value)
        if (
            self.fitted is None
            or self._read[:2] != now[:2]
            or self._read[2] is not now[2]
            or self._read[3:] != now[3:]
        ):
            self.fitted = self.coming = None
            self.fitted = refit(plans, read(path, plans), together=self.together.value)
            self._read = now
            self.status.value = ""
            self._offer([*self.fitted.fits])
        return self.fitted

    def _offer(self, codes: list[str]) -> None:
        self._busy = True
        kept = self.tank.value
        self.tank.options = [(each or "the one of the log", each) for each in codes]
        self.tank.value = kept if kept in codes else codes[0]
        several = {"tank": self.tank} if len(codes) > 1 else {}
        neighbours = {"together": self.together} if len(codes) > 1 else {}
        self.arrange({**several, "warmth": self.warmth, "rain": self.rain, **neighbours})
        self._busy = False

    def _draw(self) -> None:
        fitted, system = self._fit(), self.draft.system
        rain = None if self.rain.value is None else Q(self.rain.value, "mm")
        heard = self.warmth.value != "usual" or rain is not None
        week = Week(warmth=self.warmth.value, rain=rain) if heard else None
        self.coming = forecast(fitted, tank=self.tank.value, week=week, system=system)
        self.draw(_Shown(fitted, self.coming, self.tank.value), system)

    def _hold(self) -> None:
        past = past_forecasts(self._fit(), self.tank.value)
        lines = [each.said(self.draft.system) for each in past]
        self.status.say(f"{html.escape(held_words(past))} {html.escape(' '.join(lines))}")


def _details(shown: _Shown, system: str) -> str:
    coming, fitted = shown.coming, shown.fitted
    asked = [each.sentence for each in fitted.questions]
    return "".join(f"<p>{html.escape(each)}</p>" for each in coming.words) + folded(
        "What the log taught", [*fitted.words, *asked]
    )


def forecast_panel(
    draft: Draft, path: str | Path | None = None, plans: Mapping[str, Plan] | None = None
) -> ForecastPanel:
    """Show where a tank goes, from its log.

    Parameters
    ----------
    draft : Draft
        The plan of the tank, shared with other panels.
    path : str or Path, optional
        The log; that beside the plan when left out.
    plans : mapping of str to Plan, optional
        One plan for each tank of the log, in place of the draft's.

    Returns
    -------
    ForecastPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> forecast_panel(Draft("no-such-plan.toml")).warmth.value
    'usual'
    """
    return ForecastPanel(draft, path, plans)
