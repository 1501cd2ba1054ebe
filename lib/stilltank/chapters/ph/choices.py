"""Questions with options, for a vote in class or at the end of the page."""

from functools import cache
from typing import Any

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science.chemistry import Water, element_share
from stilltank.science.ph import acid_dose, ph_after
from stilltank.units import Q

from .shared import CHAPTER

_ACID = "nitric acid 0.1 mol/L"
_FRESH = 5.8


def _tap(alkalinity: float, ph: float) -> Water:
    """A tap water whose alkalinity comes with as much calcium: as from limestone."""
    calcium = element_share("CaCO3", "Ca").m_as("dimensionless") * alkalinity
    return Water(
        {"Ca": Q(calcium, "mg/L")},
        alkalinity=Q(alkalinity, "mg/L"),
        ph=ph,
        temperature=Q(20, "degC"),
    )


def _escaping_gas(n: Numbers) -> dict[str, Any]:
    return _now_and_later(n.alkalinity.m_as("mg/L"))


@cache
def _now_and_later(alkalinity: float) -> dict[str, Any]:
    water = _tap(alkalinity, 7.6)
    now, later = (acid_dose(water, _FRESH, _ACID, air).amount for air in ("closed", "open"))
    return {
        "fresh": _FRESH,
        "now": now,
        "later": later,
        "less": now - (later - now),
        "twice": 2 * now,
        "drifted": float(ph_after(water, _ACID, now, "open")),
    }


ESCAPING_GAS = ChoiceQuestion(
    id="ph-escaping-gas",
    chapter=CHAPTER,
    text="Tap water with an alkalinity of {alkalinity:alkalinity} takes {now} of nitric acid to pH {fresh}. The "
    "gas that forms, carbon dioxide, then leaves for days. How much acid in all holds pH {fresh}?",
    options=(
        Option(
            "More: {later}",
            "The rest of the bicarbonate turns into gas too, and each takes one more H+. "
            "With no more acid the pH climbs to about {drifted}.",
        ),
        Option(
            "The same: {now}",
            "This fits when the first reading is thought to hold. As the gas leaves, the pH climbs to about {drifted}.",
            "first reading thought to hold",
        ),
        Option(
            "Less: {less}",
            "This fits when the water is thought to grow more acid. But the gas is the acid part: as it leaves, "
            "the pH climbs.",
            "wrong direction",
        ),
        Option(
            "Twice as much: {twice}",
            "This fits when the dose is thought to be used up and needed once more. "
            "Only what stayed as bicarbonate still has to go.",
            "dose counted twice",
        ),
    ),
    hint="Which is the acid: the gas in the water, or the bicarbonate? What is left when it has gone?",
    route="At pH {fresh} a part stays as bicarbonate, held in check by the gas. When the gas leaves, bicarbonate "
    "follows it, and takes up H+. So {now} now, and {later} in all.",
    draws={"alkalinity": (Q(100, "mg/L"), Q(130, "mg/L"), Q(160, "mg/L"), Q(200, "mg/L"))},
    work=_escaping_gas,
    sources=(f"acids/{_ACID}/concentration",),
)


def _low_tap(n: Numbers) -> dict[str, Any]:
    return _two_taps(n.hard.m_as("mg/L"), n.soft.m_as("mg/L"), n.low, n.high)


@cache
def _two_taps(hard: float, soft: float, low: float, high: float) -> dict[str, Any]:
    first, second = (acid_dose(_tap(a, ph), _FRESH, _ACID).amount for a, ph in ((hard, low), (soft, high)))
    return {"fresh": _FRESH, "first": first, "second": second}


LOW_TAP = ChoiceQuestion(
    id="ph-low-tap",
    chapter=CHAPTER,
    text="Two taps. Spring water: pH {low}, alkalinity {hard:alkalinity}. Town water: pH {high}, alkalinity "
    "{soft:alkalinity}. Both shall get pH {fresh}. Which needs more acid?",
    options=(
        Option(
            "The spring water, for its alkalinity is higher",
            "It needs {first}, and the town water {second}. Alkalinity says how much acid a water takes up.",
        ),
        Option(
            "The town water, for its pH is higher",
            "This fits when pH is taken for the amount. pH says where the water stands, and not how much acid "
            "it takes to move it.",
            "pH taken for alkalinity",
        ),
        Option(
            "Both the same, for the target is the same",
            "This fits when the target alone is thought to set the dose. The way to it counts as well.",
            "target taken for the dose",
        ),
        Option(
            "Neither, for the nutrient salts bring both to the target",
            "This fits when the salts are thought to hold the pH. Most of them are neither acid nor base, "
            "and the alkalinity stays.",
            "salts thought to hold the pH",
        ),
    ),
    hint="Which number of a report says how much acid a water takes up?",
    route="Acid is used up by bicarbonate, and the alkalinity counts it. The spring water takes {first}, the town "
    "water {second}, though it starts from the higher pH.",
    draws={
        "hard": (Q(180, "mg/L"), Q(220, "mg/L"), Q(260, "mg/L")),
        "soft": (Q(40, "mg/L"), Q(60, "mg/L"), Q(80, "mg/L")),
        "low": (7.0, 7.2),
        "high": (8.0, 8.3),
    },
    work=_low_tap,
    sources=(f"acids/{_ACID}/concentration",),
)


NITRATE_DRIFT = ChoiceQuestion(
    id="ph-nitrate-drift",
    chapter=CHAPTER,
    text="All the nitrogen in a tank is nitrate. The plants take up more nitrate than potassium, calcium and magnesium "
    "together, counted by charge. Nobody adds a thing. Which way does the pH go?",
    options=(
        Option(
            "It rises",
            "For each nitrate too many the root gives back a base, so that the water stays neutral.",
        ),
        Option(
            "It falls",
            "This fits when roots are thought to give off acid for whatever they take. They do so for ammonium; "
            "for nitrate they give back a base.",
            "wrong direction",
        ),
        Option(
            "It stays, for the nutrient salts hold it",
            "This fits when all salts are thought to hold the pH. Only the phosphate holds it a little, "
            "and there is not much of it.",
            "salts thought to hold the pH",
        ),
        Option(
            "It stays, for plants take up neither acid nor base",
            "This fits when charge is left out. The water stays neutral, so for each charge taken "
            "something comes back.",
            "charge left out",
        ),
    ),
    hint="The water stays neutral. What must the root give back for each negative ion too many?",
    route="Nitrate carries negative charge. The root gives back as much, as bicarbonate or hydroxide, and both are "
    "bases: the pH rises. Where there is much ammonium it is the other way round.",
    draws={},
    work=lambda n: {},
)
