"""Looks along the time of a log, against plan and rain: what does not fit is asked about."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise

from stilltank.season.plan import Plan
from stilltank.tables import number
from stilltank.units import Problem, Q, Quantity, read, write

from .answers import key_of
from .days import dates_of
from .evidence import reading_doubt
from .questions import Choice, Question
from .visits import Visit

Looked = tuple[tuple[Visit, ...], tuple[Question, ...], tuple[str, ...]]
_RIGHT = Choice(name="right", words="It is right as it stands.")
_OUT = Choice(name="leave out", words="Leave the reading out.")
_ADDED = Choice(name="water was added", words="Water was added; nobody wrote how much.")
_BLOCKED = Choice(name="hole blocked", words="The overflow hole was blocked.")


def looks(visits: Sequence[Visit], plan: Plan, answers: Mapping[str, str]) -> Looked:
    """Look along the visits to one tank, and ask about what plan and rain do not explain.

    Parameters
    ----------
    visits : sequence of Visit
        Of one tank, by day.
    plan : Plan
        Of that tank.
    answers : mapping of str to str
        What was answered before, by key of the question.

    Returns
    -------
    tuple
        Visits without what waits for an answer, the questions, and notes of what was answered.

    Examples
    --------
    >>> from datetime import date
    >>> high = Visit(row=2, day=date(2027, 6, 1), level=Q(60, "cm"))
    >>> found, asked, _ = looks([high], Plan.make(count=4), {})
    >>> found[0].level is None, asked[0].kind
    (True, 'above the rim')
    """
    return _Look(plan, answers).along(visits)


class _Look:
    def __init__(self, plan: Plan, answers: Mapping[str, str]):
        self.plan, self.answers = plan, answers
        self.questions: list[Question] = []
        self.notes: list[str] = []
        self.tank = plan.tank
        self.rim = float(self.tank.height.m_as("cm"))
        self.hole = float(plan.outlook.hole.m_as("cm"))
        self.fill = float(plan.outlook.fill_level.m_as("cm"))

    def along(self, visits: Sequence[Visit]) -> Looked:
        kept: list[Visit] = []
        before: Visit | None = None
        for visit in visits:
            seen = self._day(visit)
            if seen.day is None:
                continue
            seen = self._height(seen)
            seen = self._zero(seen) if before is None else self._change(before, seen, kept)
            seen = self._amount(seen)
            kept.append(seen)
            if seen.level is not None:
                before = seen
        self._observers(kept)
        return tuple(kept), tuple(self.questions), tuple(self.notes)

    def _ask(
        self,
        kind: str,
        visits: Sequence[Visit],
        sentence: str,
        choices: Sequence[Choice],
        typed: str = "",
        understood: Callable[[str], object] | None = None,
    ) -> str | None:
        """The answer, where there is one that is understood; else the question is asked."""
        key = key_of(kind, [each.cells.values() or (str(each.day), str(each.level)) for each in visits])
        answer = self.answers.get(key)
        chosen = answer in {choice.name for choice in choices}
        if answer is not None and (chosen or understood is None or understood(answer) is not None):
            return answer
        rows = tuple(each.row for each in visits)
        self.questions.append(
            Question(key=key, kind=kind, rows=rows, sentence=sentence, choices=tuple(choices), typed=typed)
        )
        return None

    def _day(self, visit: Visit) -> Visit:
        day = visit.day
        if day is None or day >= self.plan.start:
            return visit
        sentence = f"Row {visit.row}: {day} is before planting, {self.plan.start}. Which day was it? Type it."
        answer = self._ask("before planting", [visit], sentence, [_OUT], "date", self._typed_day)
        return replace(visit, day=None if answer is None else self._typed_day(answer))

    def _height(self, visit: Visit) -> Visit:
        if visit.level is None:
            return visit
        level, shown = float(visit.level.m_as("cm")), write(visit.level)
        if level > self.rim + 0.05:
            offers = []
            turned = _turned(visit.level)
            if turned is not None and float(turned.m_as("cm")) <= self.rim:
                offers.append(Choice(name=write(turned), words=f"It was {write(turned)}."))
            rim = write(self._like(self.rim, visit.level))
            sentence = (
                f"Row {visit.row}: {shown} is above the rim, at {rim}. Type what it was, with its unit."
            )
            answer = self._ask("above the rim", [visit], sentence, [*offers, _OUT], "level", self._typed)
            return replace(visit, level=self._typed(answer))
        if level > self.hole + 0.9 and not {"hole blocked", "hole cleared"} & set(visit.events):
            hole = write(self._like(self.hole, visit.level))
            sentence = (
                f"Row {visit.row}: {shown} is above the overflow hole, at {hole}. Was the hole blocked?"
            )
            answer = self._ask("above the hole", [visit], sentence, [_BLOCKED, _RIGHT, _OUT])
            if answer == "leave out":
                return replace(visit, level=None)
            if answer == "hole blocked":
                return replace(visit, events=(*visit.events, "hole blocked"))
        return visit

    def _zero(self, visit: Visit) -> Visit:
        if visit.level is None or visit.day != self.plan.start:
            return visit
        off = float(visit.level.m_as("cm")) - self.fill
        if abs(off) > number("log", "look", "other zero", "cm"):
            line = write(self._like(self.fill, visit.level))
            sentence = (
                f"Row {visit.row}: filled to {write(visit.level)}, and the plan says {line}. Which is right? "
                "The stick may start from another mark."
            )
            answer = self._ask("another zero", [visit], sentence, [_RIGHT, _OUT])
            if answer in (None, "leave out"):
                return replace(visit, level=None)
        return visit

    def _change(self, before: Visit, visit: Visit, kept: list[Visit]) -> Visit:
        if visit.level is None or before.level is None or visit.day is None or before.day is None:
            return visit
        days = max((visit.day - before.day).days, 0)
        now, then = (float(self.tank.volume(each).m_as("L")) for each in (visit.level, before.level))
        between = [each for each in kept if each.row == before.row or (each.day or before.day) > before.day]
        unknown = any(
            each.added_unknown or each.added_to is not None or "replaced" in each.events for each in between
        )
        added = sum(
            float(each.m_as("L"))
            for one in between
            for each in (one.added_water, one.added_mix)
            if each is not None
        )
        slack = float(self.tank.volume(Q(number("log", "look", "rise", "cm"), "cm")).m_as("L"))
        slack += 2 * abs(
            float(self.tank.volume(visit.level).m_as("L"))
            - float(self.tank.volume(max(visit.level - reading_doubt(visit), Q(0, "cm"))).m_as("L"))
        )
        lid = float(self.tank.lid_area.m_as("m^2"))
        rain = (
            float(visit.rain.m_as("mm")) * lid
            if visit.rain is not None
            else 60.0 * lid * min(max(days, 1), 2)
        )
        if self.plan.site.cover != "open":
            rain = 0.0
        if now - then - added - rain > slack and not unknown and "replaced" not in visit.events:
            sentence = (
                f"Row {visit.row}: the level rose to {write(visit.level)} from {write(before.level)}, more than rain "
                "and what was added explain. Was water added?"
            )
            answer = self._ask("rose", [visit], sentence, [_ADDED, _RIGHT, _OUT])
            if answer in (None, "leave out"):
                return replace(visit, level=None)
            if answer == "water was added":
                self.notes.append(f"Row {visit.row}: water was added before it, as you answered.")
                kept[-1] = replace(kept[-1], added_unknown=True)
            return visit
        leaves = float(sum(each.canopy * (each.crop.kcb_mid or 1.0) for each in self.plan.outlook.plantings))
        most = (
            number("log", "look", "thirst", "1")
            * number("log", "look", "evapotranspiration", "mm/day")
            * leaves
        ) * max(days, 1)
        if then + added - now > most + slack and not {"leak", "replaced"} & set(visit.events):
            sentence = (
                f"Row {visit.row}: {write(visit.level)} is {write(Q(then + added - now, 'L'), digits=2)} less than "
                f"{days} days before, more than these plants can drink. What happened?"
            )
            choices = [
                Choice(name="wrong reading", words="One reading is wrong; leave this one out."),
                Choice(name="spilled", words="Solution was spilled, leaked or taken out."),
                _RIGHT,
            ]
            answer = self._ask("fell fast", [visit], sentence, choices)
            if answer in (None, "wrong reading", "leave out"):
                return replace(visit, level=None)
        return visit

    def _amount(self, visit: Visit) -> Visit:
        if not visit.added_unknown:
            return visit
        sentence = (
            f"Row {visit.row}: topped up, and no amount is written. Type the litres, or the level it was filled to; "
            "until then it counts as unknown."
        )
        unknown = Choice(name="unknown", words="Nobody knows.")
        answer = self._ask("topped up", [visit], sentence, [unknown], "amount", _typed_amount)
        found = None if answer is None else _typed_amount(answer)
        return visit if found is None else replace(visit, added_unknown=False, **found)  # type: ignore[arg-type]

    def _observers(self, visits: Sequence[Visit]) -> None:
        limit = number("log", "look", "observers", "1")
        for first, second in pairwise(visits):
            if first.day != second.day or first.level is None or second.level is None:
                continue
            poured = first.added_water is not None or first.added_mix is not None or first.added_unknown
            if poured or first.observer == second.observer:
                continue
            apart = abs(float(first.level.m_as("cm")) - float(second.level.m_as("cm")))
            if apart > limit * float(reading_doubt(first).m_as("cm")):
                sentence = (
                    f"Rows {first.row} and {second.row}: {first.observer or 'one'} read {write(first.level)} and "
                    f"{second.observer or 'another'} {write(second.level)} on one day. Read again together; both count."
                )
                self._ask("observers differ", [first, second], sentence, [_RIGHT])

    def _like(self, level: float, given: Quantity) -> Quantity:
        """A level in the unit that somebody wrote."""
        unit = "in" if str(given.units) == "inch" else "cm"
        return Q(round(float(Q(level, "cm").m_as(unit)), 1), unit)

    def _typed_day(self, answer: str) -> date | None:
        found = dates_of({0: answer}, self.plan.start.year).days.get(0)
        return found if found is not None and found >= self.plan.start else None

    def _typed(self, answer: str | None) -> Quantity | None:
        if answer is None or answer == "leave out":
            return None
        try:
            found = read(answer, "length")
        except Problem:
            return None
        return found if 0 <= float(found.m_as("cm")) <= self.rim else None


def _typed_amount(answer: str) -> dict[str, Quantity] | None:
    """What was poured, or the level it was filled to."""
    for kind, name in (("volume", "added_water"), ("length", "added_to")):
        try:
            return {name: read(answer, kind)}
        except Problem:
            continue
    return None


def _turned(level: Quantity) -> Quantity | None:
    """The level with its first two digits exchanged: 42.1 for 24.1."""
    text = f"{level.magnitude:g}"
    if len(text.split(".")[0]) != 2:
        return None
    return Q(float(text[1] + text[0] + text[2:]), str(level.units))
