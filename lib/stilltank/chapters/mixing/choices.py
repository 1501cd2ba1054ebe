"""Questions with options, for a vote in class or at the end of the page."""

from functools import cache
from typing import Any

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science.mixing import mix, recipe_solution
from stilltank.units import Q

from .shared import CHAPTER


def _double_dose(n: Numbers) -> dict[str, Any]:
    return _doubled(n.share)


@cache
def _doubled(part: float) -> dict[str, Any]:
    full = recipe_solution("Hoagland 1", Q(1, "L"))
    room = Q(25, "degC")
    weak, strong = (
        mix({name: mass * share for name, mass in full.masses.items()}, Q(1, "L")).conductivity(room)
        for share in (part, 2 * part)
    )
    return {"weak": weak, "strong": strong, "twice": 2 * weak, "more": 2 * weak + (2 * weak - strong)}


DOUBLE_DOSE = ChoiceQuestion(
    id="mixing-double-dose",
    chapter=CHAPTER,
    text="A weak tank solution reads {weak} on the meter. You put in the same salts once more, so there is twice as "
    "much of each. What will the meter read?",
    options=(
        Option(
            "A bit less than twice as much: {strong}",
            "Ions hinder each other more when there are more of them. Some pair up and carry no current.",
        ),
        Option(
            "Twice as much: {twice}",
            "This is the number you get when EC is taken to grow in step with the dose. "
            "It is near, but ions hinder each other more in a strong solution.",
            "EC taken as proportional",
        ),
        Option(
            "More than twice as much: {more}",
            "This fits when ions are thought to help each other. They hinder each other, so each counts for less.",
            "ions thought to help each other",
        ),
        Option(
            "The same: {weak}",
            "This fits when EC is thought to tell the kind of salt. It tells how many ions there are.",
            "EC taken for the kind of salt",
        ),
    ),
    hint="Think of a crowd. Can each person walk as freely as on an empty street?",
    route="With twice the salt there are twice the ions. But each moves less freely, and some form pairs. "
    "So the meter reads {strong}, and not {twice}.",
    draws={"share": (0.25, 0.4, 0.5)},
    work=_double_dose,
    sources=("recipes/Hoagland 1/potassium nitrate",),
)


ONE_BOTTLE = ChoiceQuestion(
    id="mixing-one-bottle",
    chapter=CHAPTER,
    text="A full recipe stays clear in the tank. Someone puts all its salts, {times} times as strong, into one "
    "bottle of concentrate. What happens in the bottle?",
    options=(
        Option(
            "Gypsum falls out: calcium and sulfate turn solid",
            "In the bottle both are so strong that most of the sulfate falls out with calcium. "
            "That is why there are two bottles.",
        ),
        Option(
            "It stays clear, as it does in the tank",
            "This fits when strength is left out. In the tank the salts are thin, and there they stay dissolved.",
            "strength left out",
        ),
        Option(
            "It stays clear if it is stirred long enough",
            "This fits when dissolving is thought to be a matter of time. Stirring makes it faster, "
            "but does not let more stay dissolved.",
            "stirring for solubility",
        ),
        Option(
            "The nitrate falls out, for there is most of it",
            "This fits when the largest amount is thought to fall out first. Nitrates dissolve very well; "
            "it is the pair that counts.",
            "most of it falls out first",
        ),
    ),
    hint="Which two of the ions make a stone or plaster when they meet?",
    route="Calcium and sulfate make gypsum. In the tank none forms. In one bottle at {times} times the strength, "
    "roughly nine tenths of the sulfate falls out. In two bottles they cannot meet undiluted.",
    draws={"times": (100.0,)},
    work=lambda n: {},
    sources=("recipes/Hoagland 1/magnesium sulfate heptahydrate",),
)
