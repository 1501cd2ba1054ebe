"""What is wrong with it? Signs on a plant or a tank, their likely cause, what to look at next, and when to ask."""

import difflib
import re
from dataclasses import dataclass
from functools import cache
from typing import Literal

from stilltank import tables
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q, Quantity, one_value, pure_number, write

Part = Literal["leaf", "stem", "flower", "root", "tank"]
PARTS: tuple[Part, ...] = ("leaf", "stem", "flower", "root", "tank")
_USUAL = (1.0, 2.5)  # mS/cm, where nothing is known of a crop
_STILL = {
    "yes": "This comes from the still tank.",
    "partly": "The still tank has a part in it.",
    "no": "This does not come from the still tank.",
}
_HIGH_PH, _LOW_EC = "young leaves yellow with green veins", "whole plant pale, old leaves yellow first"
_HIGH_EC, _WARM = "dark small plant with brown leaf edges", "brown slimy roots and wilting at noon"


@dataclass(frozen=True)
class Sign:
    """Something seen on a plant or in a tank.

    Parameters
    ----------
    name : str
        What is seen.
    part : {"leaf", "stem", "flower", "root", "tank"}
        Where.
    cause : str
        What it likely is.
    still_tank : {"yes", "partly", "no"}
        Whether the still tank has to do with it.
    look : str
        What to measure or to look at next.
    do : str
        What helps.
    ask : str
        When to ask the local extension service; empty where there is no need.
    source : str
        Address of the cause in data/, for ``tables.where_from``.

    Examples
    --------
    >>> signs("mosquito")[0].still_tank
    'yes'
    """

    name: str
    part: Part
    cause: str
    still_tank: str
    look: str
    do: str
    ask: str
    source: str

    def __str__(self) -> str:
        asked = f" Ask your local extension service when {self.ask}." if self.ask else ""
        return (
            f"{self.name[:1].upper()}{self.name[1:]}: likely {self.cause}. {_STILL[self.still_tank]} "
            f"{self.look} What helps: {self.do}.{asked}"
        )


def signs(seen: str | None = None, part: Part | None = None) -> tuple[Sign, ...]:
    """Find signs by what is seen, and where.

    Parameters
    ----------
    seen : str, optional
        In plain words, such as "white powder" or "yellow leaves"; all when left out.
    part : {"leaf", "stem", "flower", "root", "tank"}, optional
        Where it is seen.

    Returns
    -------
    tuple of Sign
        Those that fit best.

    Raises
    ------
    Problem
        Nothing fits these words, or there is no such part.

    Notes
    -----
    A sign has several possible causes; this table names the likely one of each and does not judge a plant. Spraying
    follows the label and local rules.

    Examples
    --------
    >>> [sign.name for sign in signs("sticky")]
    ['sticky leaves and curled tips']
    """
    if part is not None and part not in PARTS:
        raise Problem(f"A sign is seen on one of {', '.join(PARTS)}; {part!r} is none of them.")
    of_part = [each for each in _all() if part is None or each[0].part == part]
    if seen is None:
        return tuple(sign for sign, _ in of_part)
    if not isinstance(seen, str) or not seen.strip():
        raise Problem('Say in a word or two what is seen, such as "white powder".')
    asked = set(re.findall(r"[a-z]+", seen.lower())) - {
        "the",
        "a",
        "on",
        "of",
        "and",
        "with",
        "leaves",
        "leaf",
    }
    scored = [(len(_known(asked, words)), sign) for sign, words in of_part]
    best = max((score for score, _ in scored), default=0)
    if not best:
        raise Problem(
            f'Nothing here is known as "{seen[:40]}". Try one word, such as powder, sticky, yellow, slime, wilts or '
            "leaning; or ask your local extension service."
        )
    return tuple(sign for score, sign in scored if score == best)


def measured(
    plan: Plan,
    ph: float | None = None,
    conductivity: Quantity | None = None,
    solution_temperature: Quantity | None = None,
) -> tuple[str, ...]:
    """Say what readings of the tank make likely, against what its crop likes.

    Parameters
    ----------
    plan : Plan
        Of the tank.
    ph : float, optional
        Of the solution.
    conductivity : quantity, mS/cm at 25 °C, optional
        Of the solution.
    solution_temperature : quantity, optional
        Of the solution.

    Returns
    -------
    tuple of str
        A sentence for each reading.

    Raises
    ------
    Problem
        Nothing was measured.
    UnitNeeded
        A reading without its unit.

    Examples
    --------
    >>> print(measured(Plan.make(crop="basil"), ph=7.4)[0])
    A pH of 7.4 is high: young leaves yellow with green veins become likely.
    """
    found = []
    if ph is not None:
        value = float(pure_number(ph, 6.0, "ph", "measured"))
        if value > 6.8:
            found.append(f"A pH of {value:g} is high: {_HIGH_PH} become likely.")
        elif value < 5:
            found.append(
                f"A pH of {value:g} is low: roots suffer. Bring it up before you look for anything else."
            )
        else:
            found.append(
                f"A pH of {value:g} is in range: if young leaves are yellow, ask your extension service."
            )
    if conductivity is not None:
        value = one_value(conductivity, "mS/cm", "conductivity", "measured")
        crop = plan.plants.crop
        ends = crop.conductivity_low, crop.conductivity_high
        low, high = (
            float(end.m_as("mS/cm")) if end is not None else other
            for end, other in zip(ends, _USUAL, strict=True)
        )
        shown, liked = write(Q(value, "mS/cm"), digits=2), f"{low:g} to {high:g} mS/cm"
        if value < 0.7 * low:
            found.append(f"An EC of {shown} is low for {plan.plants.crop.spoken} ({liked}): {_LOW_EC} fits.")
        elif value > 1.3 * high:
            found.append(
                f"An EC of {shown} is high for {plan.plants.crop.spoken} ({liked}): {_HIGH_EC} fits."
            )
        else:
            found.append(
                f"An EC of {shown} is what {plan.plants.crop.spoken} likes ({liked}); look elsewhere."
            )
    if solution_temperature is not None:
        warm = one_value(solution_temperature, "degC", "solution_temperature", "measured")
        warning = f"warm enough for root rot: look for {_WARM}" if warm > 26 else "not too warm for roots"
        found.append(f"A solution of {warm:.0f} °C is {warning}.")
    if not found:
        raise Problem("Measure pH, EC or the temperature of the solution first, and give one of them.")
    return tuple(found)


def _known(asked: set[str], words: frozenset[str]) -> set[str]:
    return {each for each in asked if difflib.get_close_matches(each, words, n=1, cutoff=0.84)}


@cache
def _all() -> tuple[tuple[Sign, frozenset[str]], ...]:
    table = tables.load("signs")
    found = []
    for name in dict.fromkeys(entry.item for entry in table.values()):
        row = {prop: str(entry.value) for prop, entry in table.of(name).items()}
        sign = Sign(
            name=name,
            part=row["seen on"],  # type: ignore[arg-type]
            cause=row["likely cause"],
            still_tank=row["from the tank"],
            look=row["look next"],
            do=row["do"],
            ask=row.get("ask the extension service when", ""),
            source=f"signs/{name}/likely cause",
        )
        words = frozenset(re.findall(r"[a-z]+", f"{name} {row['words']}".lower()))
        found.append((sign, words))
    return tuple(found)
