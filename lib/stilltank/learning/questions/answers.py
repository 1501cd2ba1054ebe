"""Reading an answer as the question asks for it: sums worked out, a day's volume as a flow, whole days."""

import math
import re
from typing import Any

from stilltank.units import Problem, Q, Reading, Unclear, figure, read_with_notes, scientific

from .question import Asked

_NUMBER = r"\d{1,3}(?:[ \u00a0\u202f]\d{3})+(?:[.,]\d+)?(?!\d)|\d+(?:[.,]\d+)?(?:e-?\d+)?"
_UNIT = r"(?: ?(?:[^\W\d]|[°%µ])[^\d×*·÷+=]*?)?"
_SIGN = r"(?:[×*·÷/]| x | : | \+ | [-−–] )"
_SUM = re.compile(rf"({_NUMBER})({_UNIT})((?: ?{_SIGN} ?(?:{_NUMBER}){_UNIT})+)", re.I)
_STEP = re.compile(rf" ?({_SIGN}) ?({_NUMBER})({_UNIT})(?= ?{_SIGN} ?\d|$)", re.I)
_THOUSANDS = re.compile(r"(?<!\d)[1-9]\d{0,2},\d{3}(?!\d)")  # 1,500: is it 1500 or 1.5?
_TIMES = re.compile(r"[×*·÷]| x | \+ ")
_MULTIPLY, _DIVIDE = "×*·x", "÷/:"
# A flow or a speed asked for, and what people answer: so much, in the time that the question names.
_OF_A_TIME = {"flow": "volume", "speed": "length", "volume": "flow", "length": "speed"}
_ASKED_TIME = re.compile(
    r"\b(?:(?:a|an|one|each|every|per|in) (day|hour|minute|week)|(to)day|(dai)ly)\b", re.I
)
_A_DAY = re.compile(r"(?: (?:a|per|each|every) day| ?/ ?d(?:ay)?)$", re.I)


def worked_out(text: str) -> tuple[str, str]:
    """A sum with clear signs as its result, and a sentence that says so; any other text as it is.

    Examples
    --------
    >>> worked_out("36000 × 0.0073")
    ('262.8', '36000 × 0.0073 worked out as 262.8')
    >>> worked_out("36 * 0.2 g"), worked_out("36 × 0.2 = 7.2 g")
    (('7.2 g', '36 * 0.2 worked out as 7.2'), ('7.2 g', ''))
    >>> worked_out("5-6 L"), worked_out("3/4 gal")
    (('5-6 L', ''), ('3/4 gal', ''))
    """
    text = scientific(" ".join(text.split())).strip()
    if re.search(r"\d.*=", text):
        return worked_out(text.rpartition("=")[2])
    match = _SUM.fullmatch(text)
    if not match or not _TIMES.search(text) or _THOUSANDS.search(text):
        return text, ""
    units = [match[2].strip()]
    terms, signs = [_plain(match[1])], [1.0]
    for sign, number, unit in _STEP.findall(match[3]):
        units.append(unit.strip())
        value, sign = _plain(number), sign.strip()
        if sign.lower() in _MULTIPLY:
            terms[-1] *= value
        elif sign in _DIVIDE:
            if not value:
                return text, ""
            terms[-1] /= value
        else:
            terms.append(value)
            signs.append(1.0 if sign == "+" else -1.0)
    named = [unit for unit in units if unit]
    if len(named) > 1:  # 2 L × 3 g/L: whoever types units works with them
        return text, ""
    total = sum(sign * term for sign, term in zip(signs, terms, strict=True))
    if not math.isfinite(total):
        return text, ""
    unit = named[0] if named else ""
    shown = text.replace(unit, "").strip() if unit else text
    return f"{total:.12g} {unit}".strip(), f"{shown} worked out as {figure(total, 6)}"


def _plain(number: str) -> float:
    return float(re.sub(r"\s", "", number).replace(",", "."))


def understood(asked: Asked, text: str, system: str | None) -> tuple[Reading, str]:
    """What was answered, in the kind that is asked for, and what was taken for granted.

    Raises Problem when it cannot be read as that kind.
    """
    question = asked.question
    sure: dict[str, Any] = {"gallon": question.gallon, "system": system}
    if question.kind == "time":
        text = _A_DAY.sub("", text)
    try:
        return read_with_notes(text, question.kind, **sure), ""
    except Unclear as unclear:
        taken = _comma(asked, unclear, text)
        if taken is None:
            raise
        return read_with_notes(taken, question.kind, **sure), f"{text} read as {taken}"
    except Problem as problem:
        other, time = _OF_A_TIME.get(question.kind), _asked_time(asked)
        if other is None or time is None:
            raise
        try:
            reading = read_with_notes(text, other, **sure)
            quantity = _over(reading.quantity, time, question.unit)
        except Unclear:
            raise
        except Problem:
            raise problem from None
        if quantity is None or reading.low is not None:
            raise
    said = f"{reading.text} read as that of {'an' if time == 'hour' else 'a'} {time}"
    return Reading(quantity, reading.text, question.kind, reading.assumed, reading.approximate), said


def _comma(asked: Asked, unclear: Unclear, text: str) -> str | None:
    """What to read where only a comma is in doubt, 13,376 days: of two sizes a thousand times apart the nearer one."""
    if len(unclear.choices) != 2 or not _THOUSANDS.search(text):
        return None
    sizes = [abs(asked.question.plain(choice.quantity)) for choice in unclear.choices]
    if not min(sizes) or not asked.value or not math.isclose(max(sizes) / min(sizes), 1000, rel_tol=1e-6):
        return None
    far = [abs(math.log(size / abs(asked.value))) for size in sizes]
    return unclear.choices[far.index(min(far))].text


def _asked_time(asked: Asked) -> str | None:
    """The time that the sentence with the question mark names: in a day, each minute, today."""
    sentence = re.split(r"(?<=[.?]) ", asked.words(asked.question.text))
    questions = [each for each in sentence if each.endswith("?")]
    match = _ASKED_TIME.search(questions[-1]) if questions else None
    return (match[1] or "day").lower() if match else None


def _over(quantity: Any, time: str, unit: str) -> Any:
    """So much in a time as a flow, or a flow as so much in the time; None where that is not what is asked."""
    wanted = Q(1, unit)
    found = [
        each for each in (quantity / Q(1, time), quantity * Q(1, time)) if each.is_compatible_with(wanted)
    ]
    return found[0].to(wanted.units) if found else None
