"""A person's log: read from its file, asked about where it is odd, never changed."""

import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, time
from pathlib import Path

from stilltank.season.bench import Bench
from stilltank.season.plan import Plan
from stilltank.units import Problem, Quantity

from .answers import keep_answer, key_of, load_answers
from .cells import Cell, blank, cell_of, ph_of, rough_share, time_of
from .columns import EVENTS, LIFTS, METHODS, STATUSES, WEIGHED_WITH
from .days import dates_of
from .grid import Grid, grid_of, read_bytes, text_of
from .looks import looks
from .questions import Choice, Question
from .visits import Visit

PlansLike = Plan | Mapping[str, Plan] | Sequence[Plan] | Bench | None
_QUANTITIES = ("level", "volume", "weight", "tilt", "wet length", "water temperature", "rain")
_COUNTS = ("plants", "stems cut", "heads cut")
_FIELDS = {"wet length": "wet_length", "water temperature": "water_temperature"}
_TOTAL = re.compile(r"(total|sum|average|mean|all)\b.*", re.I)
_LEFT_OUT = "It is left out until you answer."


@dataclass(frozen=True, eq=False, kw_only=True)
class Log:
    """The log of one tank, or of a bench; `read` makes it.

    Parameters
    ----------
    path : Path
        The file, which is never changed.
    rows : tuple of Visit
        All rows that name a visit, as they stand in the file.
    visits : tuple of Visit
        Those that count, by day and time; what waits for an answer is None in them.
    questions : tuple of Question
        What is asked, each once.
    notes : tuple of str
        What was read with an assumption.
    _again : callable
        Reads the file again.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-01,24.5\\n2027-06-05,forgot\\n")
    >>> log = read(path)
    >>> len(log.visits), log.visits[0].level.m_as("cm"), log.questions
    (1, 24.5, ())
    """

    path: Path
    rows: tuple[Visit, ...]
    visits: tuple[Visit, ...]
    questions: tuple[Question, ...]
    notes: tuple[str, ...]
    _again: Callable[[], "Log"] = field(repr=False)

    @property
    def tanks(self) -> tuple[str, ...]:
        """Codes of the tanks, in order; one empty code where the log has no such column."""
        return tuple(sorted({visit.tank for visit in self.visits}))

    @property
    def first_day(self) -> date | None:
        """The day of the first visit."""
        return min((visit.day for visit in self.visits if visit.day), default=None)

    @property
    def last_day(self) -> date | None:
        """The day of the last visit."""
        return max((visit.day for visit in self.visits if visit.day), default=None)

    def of(self, tank: str) -> "Log":
        """Take the visits to one tank.

        Parameters
        ----------
        tank : str
            Its code.

        Returns
        -------
        Log
            With the visits and rows of that tank.

        Raises
        ------
        Problem
            The log has no such tank.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
        >>> _ = path.write_text("date,tank,level (cm)\\n2027-06-01,A,24\\n2027-06-01,B,22\\n")
        >>> len(read(path).of("A").visits)
        1
        """
        if tank not in self.tanks:
            listed = ", ".join(each or "(no code)" for each in self.tanks[:6])
            raise Problem(f'The log has no tank "{tank}". It has: {listed or "no visits"}.')
        visits, rows = (
            tuple(each for each in many if each.tank == tank) for many in (self.visits, self.rows)
        )
        return replace(self, visits=visits, rows=rows)

    def answered(self, question: Question | str, answer: str) -> "Log":
        """Answer a question; the answer is kept beside the log, and the log read again.

        Parameters
        ----------
        question : Question or str
            The question, or its key.
        answer : str
            The name of one of its choices, or what was typed.

        Returns
        -------
        Log
            Without that question.

        Raises
        ------
        Problem
            There is no such question, no such choice where nothing can be typed, or what was typed cannot be read.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
        >>> _ = path.write_text("date,level (cm)\\n3/4/27,24\\n")
        >>> log = read(path)
        >>> log.answered(log.questions[0], "month first").visits[0].day.isoformat()
        '2027-03-04'
        """
        key = question if isinstance(question, str) else question.key
        asked = next((each for each in self.questions if each.key == key), None)
        if asked is None:
            raise Problem("This log asks no such question any more. Read it again.")
        if not asked.typed and answer not in {choice.name for choice in asked.choices}:
            listed = ", ".join(f'"{choice.name}"' for choice in asked.choices)
            raise Problem(f'"{answer}" is no answer to this question. Choose {listed}.')
        keep_answer(self.path, key, answer)
        found = self._again()
        if any(each.key == key for each in found.questions):
            raise Problem(f'"{answer[:30]}" does not answer this question. {asked.sentence}')
        return found

    def __str__(self) -> str:
        if not self.visits:
            return f"{self.path.name}: no visits yet."
        tanks = f" to {len(self.tanks)} tanks" if len(self.tanks) > 1 else ""
        waiting = f" {len(self.questions)} to answer." if self.questions else ""
        return f"{self.path.name}: {len(self.visits)} visits{tanks}, {self.first_day} to {self.last_day}.{waiting}"


def read(path: str | os.PathLike[str], plans: PlansLike = None) -> Log:
    """Read the log of a tank or of a bench.

    Parameters
    ----------
    path : str or path
        A CSV file: one row a visit, the unit in the heading. Only ``date`` and one measurement are needed.
    plans : Plan, or mapping of str to Plan, optional
        The plan of the tank, or one for each code: then words such as "half" are read, and what plan and rain do not
        explain is asked about.

    Returns
    -------
    Log
        Its visits, and questions about what is odd.

    Raises
    ------
    Unreadable
        The file is not there, is no text, or names no date or nothing measured.
    Problem
        The answers beside it cannot be read.

    Notes
    -----
    An entry is read, with a note where something was assumed; or it is asked about, and left out until answered.
    Nothing is filled in.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("Date;Water level (cm)\\n1.6.2027;24,5\\n")
    >>> read(path).visits[0].level.m_as("cm")
    24.5
    """
    text, notes = text_of(read_bytes(path))
    grid = grid_of(text)
    given = plans_of(plans)
    lead = next(iter(given.values()), None)
    reader = _Reader(
        Path(path),
        grid,
        load_answers(Path(path)),
        notes,
        None if lead is None else lead.outlook.volume,
        None if lead is None else lead.start.year,
    )
    return reader.log(given, lambda: read(path, plans))


def log_of(path: Path, grid: Grid, answers: Mapping[str, str]) -> Log:
    """Read rows without a plan, before they are written.

    Parameters
    ----------
    path : Path
        The file they are for.
    grid : Grid
        The rows.
    answers : mapping of str to str
        Answers that hold for the whole file, by the key of their question.

    Returns
    -------
    Log
        As `read` would give it.

    Examples
    --------
    >>> log_of(Path("my-log.csv"), grid_of("date,pH\\n2027-06-01,62\\n"), {}).questions[0].kind
    'pH unclear'
    """
    return _Reader(path, grid, answers, (), None, None).log({}, lambda: log_of(path, grid, answers))


def plans_of(plans: PlansLike) -> dict[str, Plan]:
    """Bring plans into one form, by the code of their tank.

    Parameters
    ----------
    plans : Plan, mapping of str to Plan, sequence of Plan, or Bench, optional
        One plan belongs to a log without codes; those of a list belong to A, B and so on.

    Returns
    -------
    dict of str to Plan
        One plan stands under the empty code.

    Raises
    ------
    Problem
        These are no plans.

    Examples
    --------
    >>> list(plans_of({"A": Plan.make(count=4)}))
    ['A']
    """
    if plans is None:
        return {}
    if isinstance(plans, Plan):
        return {"": plans}
    if isinstance(plans, (list, tuple)) and plans and all(isinstance(each, Plan) for each in plans):
        plans = Bench.of(plans)
    if isinstance(plans, Bench):
        return dict(plans.plans)
    if isinstance(plans, Mapping) and all(isinstance(each, Plan) for each in plans.values()):
        return {str(code): plan for code, plan in plans.items()}
    raise Problem('A log goes with a plan, or with one for each tank: {"A": plan, "B": another}.')


class _Reader:
    """Reads one grid, with the answers that were given."""

    def __init__(
        self,
        path: Path,
        grid: Grid,
        answers: Mapping[str, str],
        notes: tuple[str, ...],
        filling: Quantity | None,
        year: int | None,
    ):
        self.path, self.grid, self.answers, self.filling, self.year = path, grid, answers, filling, year
        self.notes = [*notes, *grid.notes]
        self.questions: list[Question] = []
        self.by_name: dict[str, int] = {}
        for place, column in enumerate(grid.columns):
            if column.name and column.name not in self.by_name:
                self.by_name[column.name] = place
        self.units = {column.name: column.unit for column in grid.columns if column.name}
        self.overruled: dict[tuple[int, str], str] = {}
        self.waiting: dict[str, list[tuple[int, str, Cell]]] = {}

    def log(self, plans: Mapping[str, Plan], again: Callable[[], Log]) -> Log:
        rows = dict(self.grid.rows)
        for number_ in list(rows):
            if _TOTAL.fullmatch(rows[number_][0]) or self._total(rows[number_]):
                self.notes.append(f"Row {number_} holds a total and was left out.")
                del rows[number_]
        for number_ in self.grid.too_long:
            if number_ in rows:
                self._too_long(number_, rows)
        days = self._days(rows)
        found = [self._visit(number_, rows[number_], days.get(number_)) for number_ in sorted(rows)]
        visits = [each for each in found if each is not None]
        self._ask_faults(rows)
        counting = self._once(
            [each for each in visits if each.counts and each.day is not None and _says(each)]
        )
        counting.sort(key=lambda each: (each.day, each.at or time(12), each.row))
        counting = self._along(counting, plans)
        return Log(
            path=self.path,
            rows=tuple(visits),
            visits=tuple(counting),
            questions=tuple(self.questions),
            notes=tuple(dict.fromkeys(self.notes)),
            _again=again,
        )

    def _along(self, visits: list[Visit], plans: Mapping[str, Plan]) -> list[Visit]:
        """Look along the visits to each tank, with its plan."""
        if not plans:
            return visits
        alone = plans.get("") if len(plans) == 1 else None
        found: list[Visit] = []
        for code in sorted({each.tank for each in visits}):
            plan = plans.get(code, alone)
            mine = [each for each in visits if each.tank == code]
            if plan is None:
                listed = ", ".join(plans)
                self.notes.append(f'No plan is given for tank "{code}"; there are plans for {listed}.')
                found += mine
                continue
            seen, questions, notes = looks(mine, plan, self.answers)
            found += [each for each in seen if each.day is not None]
            self.questions += questions
            self.notes += notes
        return sorted(found, key=lambda each: (each.day, each.at or time(12), each.row))

    def _cell(self, number_: int, row: tuple[str, ...], name: str) -> str:
        if (number_, name) in self.overruled:
            return self.overruled[number_, name]
        place = self.by_name.get(name)
        return "" if place is None or place >= len(row) else row[place]

    def _total(self, row: tuple[str, ...]) -> bool:
        place = self.by_name["date"]
        return bool(place < len(row) and _TOTAL.fullmatch(row[place]))

    def _too_long(self, number_: int, rows: dict[int, tuple[str, ...]]) -> None:
        row, width = rows[number_], len(self.grid.columns)
        joined = None
        if len(row) == width + 1:
            for place in range(1, width):
                if re.fullmatch(r"\d+", row[place]) and re.fullmatch(r"\d{1,2}", row[place + 1]):
                    joined = (place, f"{row[place]}.{row[place + 1]}")
                    break
        key = key_of("too many cells", [row])
        answer = self.answers.get(key)
        if joined and answer == "joined":
            place, text = joined
            rows[number_] = (*row[:place], text, *row[place + 2 :])
            return
        if answer == "leave out":
            del rows[number_]
            return
        choices = [Choice(name="leave out", words="Leave this row out.")]
        said = ""
        if joined:
            choices.insert(
                0, Choice(name="joined", words=f"Read {joined[1]} {self.grid.columns[joined[0]].heading}.")
            )
            said = f" Is {row[joined[0]]},{row[joined[0] + 1]} one number, {joined[1]}?"
        self._ask(
            "too many cells",
            (number_,),
            key,
            f"Row {number_} has more cells than headings.{said} {_LEFT_OUT}",
            choices,
        )
        del rows[number_]

    def _days(self, rows: Mapping[int, tuple[str, ...]]) -> dict[int, date]:
        cells = {number_: self._cell(number_, row, "date") for number_, row in rows.items()}
        written = {number_: cell for number_, cell in cells.items() if cell}
        for number_ in rows:
            if not cells[number_] and any(rows[number_]):
                self._typed_cell(
                    "no date",
                    number_,
                    "date",
                    rows,
                    f"Row {number_} has no date. Type the day, such as 2027-06-14.",
                )
                if (number_, "date") in self.overruled:
                    written[number_] = self.overruled[number_, "date"]
        found = dates_of(written, self.year)
        if found.undecided:
            key = key_of("slash dates", [(written[each],) for each in found.undecided])
            answer = self.answers.get(key)
            if answer in ("month first", "day first"):
                found = dates_of(written, self.year, month_first=answer == "month first")
                self.notes.append(f"Dates with slashes were read {answer}, as you answered.")
            else:
                first = written[found.undecided[0]]
                sentence = (
                    f"Row {found.contradicting[0]} has the month first, row {found.contradicting[1]} the day. "
                    f'Which holds for "{first}"?'
                    if found.contradicting
                    else f'Is "{first}" (row {found.undecided[0]}) month first or day first? '
                    "These dates wait for your answer."
                )
                choices = [
                    Choice(name="month first", words="The month stands first."),
                    Choice(name="day first", words="The day stands first."),
                ]
                self._ask("slash dates", found.undecided, key, sentence, choices)
        self.notes += found.notes
        days = dict(found.days)
        for number_ in found.impossible:
            sentence = (
                f'Row {number_}: "{written[number_][:20]}" is no day. Type the day, such as 2027-06-14.'
            )
            self._typed_cell("no such day", number_, "date", rows, sentence)
            typed = self.overruled.get((number_, "date"))
            if typed is not None:
                days |= dates_of({number_: typed}, self.year).days
        return days

    def _typed_cell(
        self, kind: str, number_: int, name: str, rows: Mapping[int, tuple[str, ...]], sentence: str
    ) -> None:
        key = key_of(kind, [rows[number_]])
        answer = self.answers.get(key)
        if answer == "leave out":
            return
        if answer is not None and _understood(name, answer, self.year):
            self.overruled[number_, name] = answer
            return
        self._ask(
            kind, (number_,), key, sentence, [Choice(name="leave out", words="Leave it out.")], typed=name
        )

    def _ask(
        self,
        kind: str,
        rows: tuple[int, ...],
        key: str,
        sentence: str,
        choices: list[Choice],
        typed: str = "",
    ) -> None:
        self.questions.append(
            Question(key=key, kind=kind, rows=rows, sentence=sentence, choices=tuple(choices), typed=typed)
        )

    def _quantity(self, number_: int, row: tuple[str, ...], name: str) -> Cell:
        text = self._cell(number_, row, name)
        if name not in self.by_name or blank(text):
            return Cell()
        key = key_of(f"{name} unclear", [(text, self._cell(number_, row, "date"))])
        kind = f"{name} unclear"
        group = self.answers.get(key_of(kind, [(text,)]))
        answer = self.answers.get(key, group)
        if answer == "leave out":
            return Cell()
        unit = self.units.get(name, "")
        if answer is not None and not cell_of(answer, name, unit, self.answers.get("gallon: all")).fault:
            text = answer
        whole_unit = self.answers.get(key_of("no unit", [(name,)]))
        if not unit and whole_unit:
            unit = whole_unit
        found = cell_of(text, name, unit, self.answers.get("gallon: all"))
        if found.fault:
            self.waiting.setdefault(name, []).append((number_, text, found))
            return Cell()
        for note in found.notes:
            self.notes.append(f"{name}: {note}.")
        return found

    def _ask_faults(self, rows: Mapping[int, tuple[str, ...]]) -> None:
        """One question for one fault, however many rows have it."""
        for name, faults in self.waiting.items():
            without = [each for each in faults if "has no unit" in each[2].fault]
            if len(without) > 0:
                options = tuple(offer.split(" ", 1)[1] for offer in without[0][2].offers)
                sentence = f'No unit is written for "{name}". What is {without[0][1]} in row {without[0][0]}?'
                choices = [Choice(name=unit, words=f"{without[0][1]} {unit}") for unit in options]
                self._ask(
                    "no unit",
                    tuple(each[0] for each in without),
                    key_of("no unit", [(name,)]),
                    sentence,
                    choices,
                )
            gallons = [
                each
                for each in faults
                if each not in without and re.search(r"\bgal", f"{each[1]} {self.units.get(name)}", re.I)
            ]
            if gallons and not any(each.key == "gallon: all" for each in self.questions):
                self._ask(
                    "which gallon",
                    tuple(each[0] for each in gallons),
                    "gallon: all",
                    f'Which gallon is "{gallons[0][1]}" (row {gallons[0][0]})? It holds for the whole log.',
                    [
                        Choice(name="US", words="US gallon, 3.785 L"),
                        Choice(name="imperial", words="Imperial gallon, 4.546 L"),
                    ],
                )
            for number_, text, cell in faults:
                if (number_, text, cell) in without or (number_, text, cell) in gallons:
                    continue
                key = key_of(f"{name} unclear", [(text, self._cell(number_, rows[number_], "date"))])
                choices = [Choice(name=offer, words=f"It means {offer}.") for offer in cell.offers]
                choices.append(Choice(name="leave out", words="Leave it out."))
                sentence = f"Row {number_}, {name}: {cell.fault} Type what it should be, with its unit."
                self._ask(f"{name} unclear", (number_,), key, sentence, choices, typed=name)

    def _count(self, number_: int, row: tuple[str, ...], name: str) -> int | None:
        text = self._cell(number_, row, name)
        if blank(text):
            return None
        if found := re.fullmatch(r"(\d{1,5})(?:[.,]0+)?(?: ?(?:plants|stems|heads))?", text.lower()):
            return int(found[1])
        sentence = f'Row {number_}, {name}: "{text[:20]}" is no count. Type a whole number.'
        self._typed_cell(f"{name} unclear", number_, name, self.grid.rows, sentence)
        typed = self.overruled.get((number_, name), "")
        return int(typed) if typed.isdigit() else None

    def _visit(self, number_: int, row: tuple[str, ...], day: date | None) -> Visit | None:
        get = lambda name: self._cell(number_, row, name)  # noqa: E731
        cells = {column.heading: text for column, text in zip(self.grid.columns, row, strict=False) if text}
        status = get("status").strip().lower()
        if status in STATUSES:
            return Visit(row=number_, day=day, tank=get("tank"), status=status, note=get("note"), cells=cells)
        values: dict[str, object] = {}
        doubt, between = None, None
        for name in _QUANTITIES:
            share = rough_share(get(name)) if name in ("level", "volume") else None
            if share is not None:
                between = self._rough(number_, share, get(name))
                continue
            cell = self._quantity(number_, row, name)
            values[_FIELDS.get(name, name)] = cell.middle
            if (
                name in ("level", "volume")
                and cell.low is not None
                and cell.high is not None
                and cell.low < cell.high
            ):
                doubt = (cell.high - cell.low) / 4
        lift = get("lift").strip().lower()
        if lift not in LIFTS and not blank(lift):
            sentence = (
                f'Row {number_}, lift: "{lift[:20]}" is none of light, half and heavy. Type one of them.'
            )
            self._typed_cell("lift unclear", number_, "lift", self.grid.rows, sentence)
            lift = self.overruled.get((number_, "lift"), "").strip().lower()
        if lift in LIFTS:
            between = self._rough(number_, rough_share(lift) or (0.0, 1.0), lift)
        water, mix = (self._quantity(number_, row, name).middle for name in ("added water", "added mix"))
        events, unknown = self._events(number_, get("event"))
        poured = water is not None or mix is not None
        method, weighed = (get(name).strip().lower() for name in ("method", "weighed with"))
        ph = self._ph(number_, row)
        conductivity = self._quantity(number_, row, "EC" if not blank(get("EC")) else "EC lights")
        return Visit(
            row=number_,
            day=day,
            at=time_of(get("time")),
            tank=get("tank").strip(),
            observer=get("observer").strip(),
            doubt=doubt,
            between=between,
            ph=ph,
            conductivity=None
            if conductivity.low is None or conductivity.high is None
            else (conductivity.low, conductivity.high),
            added_water=water,
            added_mix=mix,
            mix_strength=self._strength(number_, row, mix),
            added_unknown="topped up" in events and not poured,
            **{name.replace(" ", "_"): self._count(number_, row, name) for name in _COUNTS},  # type: ignore[arg-type]
            events=events,
            method=method if method in METHODS else "",
            weighed_with=weighed if weighed in WEIGHED_WITH else "",
            note="; ".join(each for each in (get("note"), *unknown) if each),
            cells=cells,
            **values,  # type: ignore[arg-type]
        )

    def _rough(self, number_: int, share: tuple[float, float], text: str) -> tuple[Quantity, Quantity] | None:
        if self.filling is None:
            self.notes.append(
                f'"{text}" (row {number_}) is not used yet: what full means is known with a plan.'
            )
            return None
        self.notes.append(
            f'"{text}" was read as {100 * share[0]:.0f} to {100 * share[1]:.0f} % of the filling.'
        )
        return self.filling * share[0], self.filling * share[1]

    def _events(self, number_: int, text: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
        found, unknown = [], []
        for each in re.split(r"[;,]", text):
            plain = re.sub(r"[_\s]+", " ", each).strip().lower()
            if plain in EVENTS:
                found.append(plain)
            elif plain and plain not in ("none", "-"):
                unknown.append(each.strip())
        if unknown:
            self.notes.append(
                f'Row {number_}: "{unknown[0][:30]}" is no event of the list; it was kept as a note.'
            )
        return tuple(found), tuple(unknown)

    def _ph(self, number_: int, row: tuple[str, ...]) -> tuple[float, float] | None:
        name = "pH" if not blank(self._cell(number_, row, "pH")) else "pH colour"
        text = self._cell(number_, row, name)
        if blank(text):
            return None
        found = ph_of(text)
        if isinstance(found, tuple):
            return found
        offer = (
            f" If you meant {text[0]}.{text[1:]}, type it."
            if re.fullmatch(r"\d{2,3}", text)
            else " Type the pH."
        )
        self._typed_cell("pH unclear", number_, name, self.grid.rows, f"Row {number_}: {found}{offer}")
        typed = self.overruled.get((number_, name))
        again = ph_of(typed) if typed else None
        return again if isinstance(again, tuple) else None

    def _strength(self, number_: int, row: tuple[str, ...], mix: Quantity | None) -> float:
        text = self._cell(number_, row, "mix strength")
        if blank(text):
            if mix is not None:
                self.notes.append("Where no strength is written, what was added was read as full strength.")
            return 1.0
        found = re.fullmatch(r"(\d+(?:[.,]\d+)?) ?%?", text)
        if not found:
            words = {"full": 1.0, "half": 0.5, "quarter": 0.25, "water": 0.0}
            return words.get(text.strip().lower(), 1.0)
        value = float(found[1].replace(",", "."))
        return value / 100 if value > 3 or "%" in text or "%" in self.units.get("mix strength", "") else value

    def _once(self, visits: list[Visit]) -> list[Visit]:
        """The same row written twice counts once."""
        seen: dict[tuple[tuple[str, str], ...], int] = {}
        kept = []
        for each in visits:
            content = tuple(sorted(each.cells.items()))
            if content in seen:
                self.notes.append(f"Rows {seen[content]} and {each.row} are the same and count once.")
                continue
            seen[content] = each.row
            kept.append(each)
        return kept


def _understood(name: str, answer: str, year: int | None) -> bool:
    """Whether what was typed says what was asked for."""
    if name == "date":
        return 0 in dates_of({0: answer}, year).days
    if name in _COUNTS:
        return answer.strip().isdigit()
    if name == "lift":
        return answer.strip().lower() in LIFTS
    return isinstance(ph_of(answer), tuple)


def _says(visit: Visit) -> bool:
    """Whether a visit says more than its day."""
    empty = Visit(
        row=visit.row,
        day=visit.day,
        at=visit.at,
        tank=visit.tank,
        observer=visit.observer,
        method=visit.method,
    )
    return replace(visit, cells={}) != replace(empty, cells={})
