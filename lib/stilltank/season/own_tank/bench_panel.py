"""The panel for several tanks: which belong together, one more, the shopping list, the round, and what is printed."""

import html
import re
from datetime import date
from pathlib import Path

import ipywidgets as widgets

from stilltank import tables
from stilltank.season.bench import Bench, Round, ShoppingList, plan_files
from stilltank.season.plan import Plan
from stilltank.show.figures import day_text
from stilltank.show.pages import listed, table
from stilltank.show.panels import SYSTEMS, Status, choice, in_a_row, text_box
from stilltank.units import Problem, Quantity, read, write

from .draft import Draft
from .saving import PAPERS, Writing, link

_BUTTON = widgets.Layout(width="20em")
_TICK = widgets.Layout(width="auto")
_NAME = re.compile(r"[A-Za-z][A-Za-z0-9 _-]{0,19}")


def bench_panel(of: Draft | str | Path) -> "BenchPanel":
    """Show the plans of a folder as a bench: what to buy, what to carry, what to print.

    Parameters
    ----------
    of : Draft, str or Path
        The draft of this page, whose plan stands for its file as it is shown here; or a folder with plan files.

    Returns
    -------
    BenchPanel
        A widget.

    Raises
    ------
    Problem
        There is no such folder.

    Examples
    --------
    >>> bench_panel(Draft("no-such-plan.toml", count=4)).show.description
    'Show list and round'
    """
    return BenchPanel(of)


class BenchPanel(Writing):
    """Tick the tanks that belong together, make one more, and see and print what all of them need.

    Parameters
    ----------
    of : Draft, str or Path
        The draft of this page, or a folder with plan files.

    Raises
    ------
    Problem
        There is no such folder.

    Examples
    --------
    >>> panel = BenchPanel(Draft("no-such-plan.toml", count=4))
    >>> [tick.description for tick in panel.ticks.values()]
    ['no-such-plan: 4 snapdragon, Quillgate courtyard tub, 45 litres']
    """

    def __init__(self, of: Draft | str | Path):
        if not isinstance(of, (Draft, str, Path)):
            raise Problem(f"A bench is a draft, or a folder with plan files; {of!r} is neither.")
        self._draft = of if isinstance(of, Draft) else None
        self._at = Path(".") if isinstance(of, Draft) else Path(of)
        plan_files(self._folder)  # refused now, where there is no such folder
        self.ticks: dict[str, widgets.Checkbox] = {}
        self.which = widgets.VBox()
        self.faults = Status()
        self.again = widgets.Button(description="Look for plans again", layout=_BUTTON)
        self.source = choice("Copy of", [("", "")], "")
        self.name = text_box("Name of a further tank", "", "my-tub-b")
        self.further = widgets.Button(description="Make a further tank", layout=_BUTTON)
        self.system = choice("Units", SYSTEMS, "metric")
        self.day = text_box("Round on", "", "empty: the first round")
        self.can = text_box("A can holds", write(_can("metric")), "10 L")
        self.show = widgets.Button(description="Show list and round", layout=_BUTTON)
        self.shown = widgets.HTML()
        self.paper = choice("Paper", PAPERS, "A4")
        self.calendar = widgets.Button(description="Make the calendar file", layout=_BUTTON)
        self.page = widgets.Button(description="Make the page for the wall", layout=_BUTTON)
        self.numbers = widgets.Button(description="Make the table of numbers", layout=_BUTTON)
        for button, act in (
            (self.again, self._look),
            (self.further, self._make_further),
            (self.show, self._show),
            (self.calendar, self._make_calendar),
            (self.page, self._make_page),
            (self.numbers, self._make_numbers),
        ):
            button.on_click(lambda _, act=act: self.attempt(act))
        self.system.observe(lambda _: self._in_units(), "value")
        self._was = "metric"
        super().__init__(
            _heading("Which tanks belong together?"),
            self.which,
            self.faults,
            self.again,
            _heading("One more tank"),
            self.source,
            self.name,
            self.further,
            _heading("What to buy, what to carry, what to print"),
            *([] if self._draft else [self.system]),
            self.day,
            self.can,
            self.paper,
            in_a_row(self.show, self.page, self.calendar, self.numbers),
        )
        # long, and so last: what is said stays near the buttons
        self.children = (*self.children, self.shown)  # type: ignore[has-type]
        self._find()
        if self._draft is not None:
            self._draft.watch(self._follow, "bench")
            self._in_units()

    @property
    def _folder(self) -> Path:
        return self._at if self._draft is None else self._draft.path.parent

    @property
    def _system(self) -> str:
        return str(self.system.value) if self._draft is None else self._draft.system

    def bench(self) -> Bench:
        """The tanks that are ticked, in the order of the list.

        Returns
        -------
        Bench
            Read again from the files; the plan of this page as it is here.

        Raises
        ------
        Problem
            None is ticked, or a file cannot be used any more.
        """
        chosen = [name for name, tick in self.ticks.items() if tick.value]
        if not chosen:
            raise Problem("No tank is ticked. Tick those that belong together.")
        return Bench.of({name: self._plan(name) for name in chosen})

    def _plan(self, name: str) -> Plan:
        if self._draft is not None and name == self._draft.path.stem:
            return self._draft.plan
        return Plan.load(self._folder / f"{name}.toml")

    def _find(self) -> None:
        """List the plans there are; those of another code begin without a tick."""
        ticks: dict[str, widgets.Checkbox] = {}
        faults: list[str] = []
        names = [path.stem for path in plan_files(self._folder)]
        mine = None if self._draft is None else self._draft.path.stem
        if mine is not None:
            names = [mine, *(name for name in names if name != mine)]
        for name in names:
            try:
                plan = self._plan(name)
                plan.scenario()
            except Problem as problem:
                faults.append(str(problem))
                continue
            old = self.ticks.get(name)
            ticks[name] = widgets.Checkbox(
                value=self._begins_ticked(name) if old is None else old.value,
                description=_line(name, plan),
                indent=False,
                layout=_TICK,
            )
        self.ticks, self._shows = ticks, None if self._draft is None else self._draft.path
        self.which.children = tuple(ticks.values())
        self.source.options = [(name, name) for name in ticks] or [("", "")]
        self.name.value = self.name.value or self._free_name()
        if faults:
            self.faults.complain(Problem(f"Not usable, and left out: {' '.join(faults)}"))
        else:
            self.faults.say(f"{len(ticks)} {'plan' if len(ticks) == 1 else 'plans'} in this folder.")

    def _begins_ticked(self, name: str) -> bool:
        """A tank of the code that is typed; without a code those of no code."""
        if self._draft is None or name == self._draft.path.stem:
            return True
        codes = {
            path.stem.removeprefix(start)
            for start in ("my-progress-", "my-tank-")
            for path in self._folder.glob(f"{start}*.toml")
        }
        code = self._draft.code
        whose = max(
            (each for each in {*codes, code} if each and name.endswith(f"-{each}")), key=len, default=""
        )
        return whose == code

    def _free_name(self) -> str:
        held = {path.stem for path in plan_files(self._folder)}
        end = f"-{self._draft.code}" if self._draft is not None and self._draft.code else ""
        return next(
            (
                f"my-tub-{letter}{end}"
                for letter in "bcdefghijklmnopqrstuvwxyz"
                if f"my-tub-{letter}{end}" not in held
            ),
            "",
        )

    def _follow(self) -> None:
        """The plan of this page changed: its line follows, and what was shown is from before."""
        assert self._draft is not None
        self._in_units()
        if self._draft.path.stem in self.ticks and self._shows == self._draft.path:
            self.ticks[self._draft.path.stem].description = _line(self._draft.path.stem, self._draft.plan)
        else:  # the plan of another code
            self.ticks, self.name.value = {}, ""
            self._find()
        if self.shown.value and "stilltank-before" not in self.shown.value:
            self.shown.value = (
                '<div class="stilltank-before"><p>From before: press "Show list and round" again.</p>'
                f"{self.shown.value}</div>"
            )

    def _in_units(self) -> None:
        """The can as people of this system buy it, where nobody has typed another."""
        now = self._system
        if self.can.value == write(_can(self._was), self._was):
            self.can.value = write(_can(now), now)
        self._was = now

    def _look(self) -> str:
        self._find()
        return "The list of plans is as the folder is now."

    def _make_further(self) -> str:
        typed = self.name.value.strip().removesuffix(".toml")
        if not _NAME.fullmatch(typed):
            raise Problem(
                f'"{typed[:40]}" cannot name a tank. Type a letter first, then letters, digits or -, at most 20, as in '
                "my-tub-b."
            )
        if not self.source.value:
            raise Problem("There is no plan to copy. Save one first.")
        path = self._folder / f"{typed}.toml"
        if path.exists():
            raise Problem(f"{path.name} is there already and stays as it is. Type another name.")
        plan = self._plan(str(self.source.value)).change(name=f"{typed}, copy of {self.source.value}")
        plan.save(path, expected=None)
        self.name.value = ""
        self._find()
        if typed in self.ticks:
            self.ticks[typed].value = True
        return (
            f"Made: {link(path)}, the same tank once more. Change it in the file, or open it with "
            f'own_tank.Draft("{html.escape(path.name)}").'
        )

    def _show(self) -> str:
        bench = self.bench()
        day, can = self._day_and_can(bench)
        found, system = bench.shopping_list(), self._system
        differ = listed(bench.differences).html if bench.differences else ""
        self.shown.value = f"{differ}{_list_of(found, system)}{_round_of(bench.round(day, can), system)}"
        tanks = len(bench.plans)
        return f"Shown: list and round of {tanks} {'tank' if tanks == 1 else 'tanks'}."

    def _day_and_can(self, bench: Bench) -> tuple[str, Quantity]:
        if not self.day.value.strip():
            self.day.value = _first_round(bench).isoformat()
        return self.day.value, read(self.can.value, "volume")

    def _make_calendar(self) -> str:
        bench = self.bench()
        made = bench.calendar(self._beside("calendar.ics"), system=self._system)
        count = sum(len(each) for each in bench.tasks(self._system).values())
        return f"Made: {link(made)} with {count} tasks. Read in again, it doubles no task."

    def _make_page(self) -> str:
        made = self.bench().page(self._beside("wall.html"), system=self._system, paper=self.paper.value)
        return f"Made: {link(made, new_tab=True)}, the page to print and hang up."

    def _make_numbers(self) -> str:
        made = self.bench().numbers(self._beside("numbers.csv"), system=self._system)
        return f"Made: {link(made)}, levels, litres and days of each week, for a spreadsheet."

    def _beside(self, what: str) -> Path:
        end = f"-{self._draft.code}" if self._draft is not None and self._draft.code else ""
        return self._folder / f"my-bench{end}-{what}"


def _first_round(bench: Bench) -> date:
    """The first day on which a tank surely takes water, or else the first day of all."""
    days = bench.round_days
    return next(
        (day for day in days if any(stop.litres.magnitude[1] > 0 for stop in bench.round(day).stops)),
        days[0] if days else min(plan.outlook.first_day for plan in bench.plans.values()),
    )


def _list_of(found: ShoppingList, system: str) -> str:
    """The list as tables: without a shelf what is needed, with one what is left, to buy and to pay too."""
    heads = ("fertiliser or acid", "needed", "on the shelf", "to buy", "price")
    shelf = any(one.stocked is not None for one in found.items)
    width = len(heads) if shelf else 2
    said = table(
        "Shopping list for the season",
        heads[:width],
        [row[:width] for row in found.rows(system)],
        numbers={1, 2, 4} & set(range(width)),
    )
    plants = [(one.tank, one.crop, one.plants, one.pots, one.seeds) for one in found.planted]
    if plants:
        heads = ("tank", "crop", "plants", "net pots", "seeds")
        said += table("Plants to raise", heads, plants, numbers=(2, 3, 4))
    return said + listed(found.cost_sentences()).html


def _round_of(found: Round, system: str) -> str:
    title = f"<p><strong>Round on {html.escape(day_text(found.day))}</strong></p>"
    return title + listed(found.sentences(system)).html


def _can(system: str) -> Quantity:
    """What a can usually holds."""
    return tables.load("plan")["bench", "can US" if system == "US" else "can"].quantity


def _heading(words: str) -> widgets.HTML:
    return widgets.HTML(f'<p style="font-weight:bold;margin:0.6em 0 0">{html.escape(words)}</p>')


def _line(name: str, plan: Plan) -> str:
    plants = ", ".join(f"{group.count} {group.crop.spoken}" for group in plan.groups)
    return f"{name}: {plants}, {plan.tank.name or plan.tank.called}"
