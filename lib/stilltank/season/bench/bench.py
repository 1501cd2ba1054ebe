"""Several tanks together: one weather, one shopping list, one round, one calendar, one page for the wall."""

import os
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from types import MappingProxyType

from stilltank.files import write_atomically
from stilltank.science import products
from stilltank.science.calendar import Task
from stilltank.season import shelf as shelves
from stilltank.season.plan import Plan, day_from
from stilltank.show.given import known_system, of_kind, quoted
from stilltank.show.pages import calendar_file, named_file
from stilltank.units import Problem, Quantity
from stilltank.units.types import Day

from .common_weather import differences, under_one_sky
from .rounds import Round, Watering
from .shopping_list import ShoppingList, shopping_list
from .tasks import tasks
from .wall_page import wall_page
from .weekly_numbers import weekly_numbers

ShelfLike = products.Shelf | str | Path | None
_LONGEST = 20  # letters of a tank's name: it heads a column


@dataclass(frozen=True, eq=False)
class Bench:
    """Several tanks that one person looks after. Make it with ``Bench.of`` or ``Bench.load``.

    Parameters
    ----------
    plans : mapping of str to Plan
        By a short name of the tank, in the order of the round; under one weather where place and days agree.
    together : mapping of str to tuple of str
        For each tank the tanks that share its weather.
    shelf : Shelf, optional
        With bags, rests and prices for the shopping list; the one that the plans share, None where the shelf of each
        counts.
    faults : mapping of str to str
        For each file that could not be used, what is wrong with it.

    Notes
    -----
    What is uncertain about place and plants is drawn alike for all tanks, as is the weather: a season in which one
    tank drinks much is one in which all do. So the range of a total is wide rather than narrow.

    Examples
    --------
    >>> bench = Bench.of([Plan.make(count=4), Plan.make(crop="basil", count=4)])
    >>> list(bench.plans)
    ['A', 'B']
    """

    plans: Mapping[str, Plan]
    together: Mapping[str, tuple[str, ...]]
    shelf: products.Shelf | None = None
    faults: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    @classmethod
    def of(cls, plans: Mapping[str, Plan] | Iterable[Plan], shelf: ShelfLike = None) -> "Bench":
        """Put tanks onto a bench.

        Parameters
        ----------
        plans : mapping of str to Plan, or sequence of Plan
            By short names; a sequence is named A, B, C.
        shelf : Shelf, str or Path, optional
            With bags, rests and prices for the shopping list; the shelf of each plan when left out. What is weighed
            follows from the plans.

        Returns
        -------
        Bench
            The tanks in the order given.

        Raises
        ------
        Problem
            There are no plans, or something is none; or a name is empty, too long or given twice.

        Examples
        --------
        >>> print(Bench.of({"tub": Plan.make(count=4)}))
        1 tank: tub (4 snapdragon)
        """
        return cls._made(_named(plans), shelf, {})

    @classmethod
    def load(cls, folder: str | Path, only: Iterable[str] | None = None, shelf: ShelfLike = None) -> "Bench":
        """Read the plans of a folder; nothing there changes.

        Parameters
        ----------
        folder : str or Path
            Holds plan files, such as my-tank.toml and tub-b.toml. Other files are passed over.
        only : iterable of str, optional
            Names of the files to take, with or without their ending; all plans when left out.
        shelf : Shelf, str or Path, optional
            With bags, rests and prices for the shopping list; the shelf of each plan when left out. What is weighed
            follows from the plans.

        Returns
        -------
        Bench
            Each tank has the name of its file. What is wrong with a file is in ``faults``.

        Raises
        ------
        Problem
            There is no such folder, no plan in it that can be used, or no file of a name in ``only``.

        Examples
        --------
        >>> import tempfile
        >>> folder = Path(tempfile.mkdtemp())
        >>> _ = Plan.make(count=4).save(folder / "tub-b.toml")
        >>> list(Bench.load(folder).plans)
        ['tub-b']
        """
        files = plan_files(folder)
        if only is not None:
            files = _chosen(files, only, Path(folder))
        plans: dict[str, Plan] = {}
        faults: dict[str, str] = {}
        held: dict[str, products.Shelf | None] = {}
        for path in files:
            try:
                plan = Plan.load(path)
                _ = plan.outlook.days, plan.scenario()
            except Problem as problem:
                faults[path.name] = str(problem)
            else:
                if plan.shelf_file is not None:  # one shelf that several tanks name is one
                    plan = replace(plan, shelf=held.setdefault(os.path.realpath(plan.shelf_file), plan.shelf))
                plans[path.stem] = plan
        if not plans:
            why = " ".join(faults.values()) or "Save a plan there first."
            raise Problem(f"{Path(folder)} holds no plan that can be used. {why}")
        return cls._made(plans, shelf, faults)

    @classmethod
    def _made(cls, plans: Mapping[str, Plan], shelf: ShelfLike, faults: Mapping[str, str]) -> "Bench":
        if isinstance(shelf, (str, Path)):
            shelf = shelves.load(shelf)
        elif shelf is not None:
            of_kind(shelf, products.Shelf, "The shelf of a bench is one, such as season.shelf.load(...)")
        else:
            shelf = _common_shelf(plans)
        shared, together = under_one_sky(plans)
        return cls(
            MappingProxyType(shared), MappingProxyType(together), shelf, MappingProxyType(dict(faults))
        )

    @property
    def differences(self) -> tuple[str, ...]:
        """Sentences on where the tanks do not share place, water, shelf or weather; empty where all is shared."""
        return differences(self.plans, self.together)

    def shopping_list(self, enough: float | None = None) -> ShoppingList:
        """Add up what to buy for all tanks for the season.

        Parameters
        ----------
        enough : float, optional
            Share of the simulated seasons in which the top-ups must be enough, 0.5 to 0.99; 0.9 when left out.

        Returns
        -------
        ShoppingList
            Fertilisers and acids with what is left and how many bags to buy, plants, pots and seeds, and costs.

        Raises
        ------
        OutOfRange
            A share that is none.
        Problem
            A solution cannot be made.

        Notes
        -----
        Each tank: the filling by its recipe, with acid to hold the target pH once carbon dioxide has left; its top-ups
        at their strength, with the acid of ``ph.acid_for_top_up``. A tank that begins with a reading is not filled
        again.

        Examples
        --------
        >>> found = Bench.of([Plan.make(count=4) for _ in range(4)]).shopping_list()
        >>> round(sum(item.needed.m_as("g") for item in found.items if item.needed.check("[mass]")), -1)
        130.0
        """
        return shopping_list(self.plans, self.shelf, enough)

    @cached_property
    def _watering(self) -> Watering:
        return Watering(self.plans)

    @property
    def round_days(self) -> tuple[date, ...]:
        """The days on which a tank takes water by its plan, in 1 of 10 seasons or more."""
        return self._watering.days

    def round(self, day: Day, can: Quantity | None = None) -> Round:
        """Plan the watering round of a day.

        Parameters
        ----------
        day : date or str
            The day.
        can : Quantity, optional
            What a can holds; 10 L when left out.

        Returns
        -------
        Round
            The tanks in order, litres with their range, cans by strength, and who only needs a look.

        Raises
        ------
        Problem
            The day is no date.
        UnitNeeded
            The can has no unit of volume.
        OutOfRange
            Nobody carries a can of that size.

        Notes
        -----
        What a tank takes follows from its routine, day by day, in the simulated seasons; it is held to the refill limit
        once the pots have hung clear. At the tank the mark and the limit count, not the litres.

        Examples
        --------
        >>> from stilltank.science import budget
        >>> from stilltank.units import Q
        >>> tended = Plan.make(count=6, top_up=budget.by_hand(3, strength=0.5))
        >>> found = Bench.of({"A": tended, "B": Plan.make()}).round("2027-07-22", can=Q(5, "L"))
        >>> [stop.tank for stop in found.stops], [load.cans for load in found.loads]
        (['A'], [1])
        """
        return self._watering.round(day_from(day), can)

    def tasks(self, system: str = "metric") -> dict[str, tuple[Task, ...]]:
        """List what is to be done at each tank, and on the rounds, from the sowing to the empty tank.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        dict of str to tuple of Task
            By the name of the tank; rounds and weekly looks, which are for all tanks, under an empty name.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> [task.title for task in Bench.of({"A": Plan.make(count=4)}).tasks()["A"]][-1]
        'Empty and clean the tank: Snapdragon'
        """
        return tasks(self.plans, self._watering, system)

    def calendar(self, path: str | Path, *, made: date | str | None = None, system: str = "metric") -> Path:
        """Write one calendar file for all tanks: crops, rounds, looks, the end.

        Parameters
        ----------
        path : str or Path
            The file to write, whole or not at all; the ending .ics is added when there is none.
        made : date or str, optional
            When it was made, as a date, a time with its zone, or ISO text; now when left out. A calendar program takes
            the later of two.
        system : {"metric", "US"}
            The units.

        Returns
        -------
        Path
            The file that was written. A task keeps its identifier, so reading the file again doubles nothing.

        Raises
        ------
        Problem
            The folder cannot be written.
        Unreadable
            The path names no file, or ``made`` cannot be understood.
        UnitNeeded
            Another system.

        Examples
        --------
        >>> import tempfile
        >>> Bench.of({"A": Plan.make(count=4)}).calendar(Path(tempfile.mkdtemp()) / "my-bench").name
        'my-bench.ics'
        """
        return calendar_file(self.tasks(system), path, datetime.now(UTC) if made is None else made)

    def page(
        self,
        path: str | Path,
        *,
        system: str = "metric",
        paper: str = "A4",
        since: Day | None = None,
    ) -> Path:
        """Write one page for the wall: all tanks, their rules, and what is next in each week.

        Parameters
        ----------
        path : str or Path
            The file to write, whole or not at all; the ending .html is added when there is none.
        system : {"metric", "US"}
            The units.
        paper : {"A4", "Letter"}
            The paper.
        since : date or str, optional
            The week with which the list begins; that of the first filling when left out.

        Returns
        -------
        Path
            The file that was written. It needs no other file, and no network.

        Raises
        ------
        Problem
            There is no such system or paper, the day is no date, or the folder cannot be written.
        Unreadable
            The path names no file.

        Examples
        --------
        >>> import tempfile
        >>> Bench.of({"A": Plan.make(count=4)}).page(Path(tempfile.mkdtemp()) / "my-bench").name
        'my-bench.html'
        """
        known_system(system)
        begin = None if since is None else day_from(since)
        text = wall_page(self.plans, self.tasks(system), system, paper, begin)
        target = named_file(path, "Bench.page", "my-bench", ".html", ".htm")
        write_atomically(target, text)
        return target

    def numbers(self, path: str | Path, *, system: str = "metric") -> Path:
        """Write the weekly levels, litres and dates of all tanks as a CSV.

        Parameters
        ----------
        path : str or Path
            The file to write, whole or not at all; the ending .csv is added when there is none.
        system : {"metric", "US"}
            The units.

        Returns
        -------
        Path
            The file that was written, for a spreadsheet: a row for each tank and week.

        Raises
        ------
        Problem
            There is no such system, or the folder cannot be written.
        Unreadable
            The path names no file.

        Examples
        --------
        >>> import tempfile
        >>> path = Bench.of({"A": Plan.make(count=4)}).numbers(Path(tempfile.mkdtemp()) / "my-bench")
        >>> path.read_text().splitlines()[0][:34]
        'tank,week,from,to,level low (cm),l'
        """
        known_system(system)
        target = named_file(path, "Bench.numbers", "my-bench", ".csv")
        write_atomically(target, weekly_numbers(self.plans, self.tasks(system), system))
        return target

    def __str__(self) -> str:
        each = ", ".join(f"{name} ({_plants(plan)})" for name, plan in self.plans.items())
        faulty = f"; not usable: {', '.join(self.faults)}" if self.faults else ""
        return f"{len(self.plans)} {'tank' if len(self.plans) == 1 else 'tanks'}: {each}{faulty}"


def plan_files(folder: str | Path) -> list[Path]:
    """Find the plan files of a folder; nothing there changes.

    Parameters
    ----------
    folder : str or Path
        The folder.

    Returns
    -------
    list of Path
        Plans, and files that may be one and cannot be read, by name. Copies of older formats are passed over.

    Raises
    ------
    Problem
        There is no such folder.

    Examples
    --------
    >>> import tempfile
    >>> plan_files(tempfile.mkdtemp())
    []
    """
    if not isinstance(folder, (str, Path)) or not Path(folder).is_dir():
        raise Problem(f'A bench is a folder with plan files, such as "."; {quoted(folder)} is no folder.')
    try:
        found = sorted(Path(folder).glob("*.toml"))
    except OSError as error:
        raise Problem(f"{Path(folder)} cannot be read: {error.strerror}.") from None
    return [path for path in found if ".format-" not in path.name and _may_be_a_plan(path)]


def _may_be_a_plan(path: Path) -> bool:
    """Whether a file holds a tank and its plants, or cannot be read so that nobody knows."""
    try:
        values = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return not path.name.startswith(("my-progress", "my-work"))
    return "tank" in values and "plants" in values


def _chosen(files: list[Path], only: Iterable[str], folder: Path) -> list[Path]:
    if isinstance(only, str) or not isinstance(only, Iterable):
        raise Problem(
            f'`only` is a list of file names, such as ["my-tank", "tub-b"]; {quoted(only)} is not one.'
        )
    found = []
    for name in only:
        path = next((path for path in files if name in (path.name, path.stem)), None)
        if path is None:
            held = ", ".join(path.name for path in files) or "none"
            raise Problem(f"{quoted(name)} is no plan in {folder}. Plans there: {held}.")
        found.append(path)
    return found


def _named(plans: Mapping[str, Plan] | Iterable[Plan]) -> dict[str, Plan]:
    example = 'Write Bench.of({"A": Plan.make(count=4), "B": Plan.make(crop="basil")}).'
    if isinstance(plans, Plan):
        plans = [plans]
    if isinstance(plans, str) or not isinstance(plans, Iterable):
        raise Problem(f"A bench is of plans; {quoted(plans)} is not one. {example}")
    if isinstance(plans, Mapping):
        found = dict(plans)
    else:
        several = list(plans)
        found = {_letters(number): plan for number, plan in enumerate(several)}
    if not found:
        raise Problem(f"A bench has at least one tank. {example}")
    names: dict[str, Plan] = {}
    for name, plan in found.items():
        if (
            not isinstance(name, str)
            or not name.strip()
            or len(name.strip()) > _LONGEST
            or not name.isprintable()
            or not name.strip()[0].isalnum()
        ):
            raise Problem(
                f"A tank on a bench has a short name of at most {_LONGEST} letters that begins with a letter, such as "
                f"A; {quoted(name)} does not fit."
            )
        if name.strip() in names:
            raise Problem(f'Two tanks are called "{name.strip()}". Give one of them another name.')
        if not isinstance(plan, Plan):
            raise Problem(f"Tank {name} needs a plan; {quoted(plan)} is not one. {example}")
        names[name.strip()] = plan
    return names


def _letters(number: int) -> str:
    """A to Z, then AA, AB, as columns of a sheet are called."""
    name = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(65 + rest) + name
    return name


def _plants(plan: Plan) -> str:
    return ", ".join(f"{group.count} {group.crop.spoken}" for group in plan.groups)


def _common_shelf(plans: Mapping[str, Plan]) -> products.Shelf | None:
    """The shelf that plans share, by its file; None where they have none, or several."""
    held = {
        str(Path(plan.shelf_file).resolve()) if plan.shelf_file else str(id(plan.shelf)): plan.shelf
        for plan in plans.values()
        if plan.shelf is not None
    }
    return next(iter(held.values())) if len(held) == 1 else None
