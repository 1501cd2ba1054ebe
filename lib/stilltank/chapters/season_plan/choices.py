"""Questions with options, for a vote in class or at the end of the page."""

from functools import cache
from typing import Any

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science.budget import Scenario
from stilltank.science.crops import Plants
from stilltank.science.crops import crop as crop_of
from stilltank.science.products import element_price

from ..draws import quantities
from .shared import CHAPTER, START, TUB

_MEMBERS = 100  # so that a share is a number of seasons


@cache
def _seasons(crop: str, count: int, days: int) -> int:
    """In how many of a hundred simulated seasons the demo tub runs dry."""
    scenario = Scenario.make(
        TUB, Plants(crop_of(crop), count), "quillgate", start=START, days=days, members=_MEMBERS
    )
    return round(_MEMBERS * scenario.ensemble().share_of("run_dry"))


def _too_many(n: Numbers) -> dict[str, Any]:
    before, after = (_seasons(n.crop, count, 75) for count in (n.count, n.fewer))
    return {"before": before, "after": after}


TOO_MANY = ChoiceQuestion(
    id="season-too-many",
    chapter=CHAPTER,
    text="A review says: with {count} {crop} plants the tub runs dry in {before} of 100 simulated seasons. Nobody can "
    "come to top up. Which change makes it safer, and harms no roots?",
    options=(
        Option(
            "Set {fewer} plants, and not {count}",
            "All plants share one filling. With {fewer} the tub runs dry in {after} of 100 simulated seasons.",
        ),
        Option(
            "Fill above the fill line at planting",
            "This fits when more water is thought to be always better. The fill line leaves the roots their moist air.",
            "fill line thought too low",
        ),
        Option(
            "Use more fertiliser, so that they grow before it is dry",
            "This fits when salts are thought to save water. Larger plants drink more, not less.",
            "fertiliser for water",
        ),
        Option(
            "Drill the hole higher, so that more rain stays in",
            "This fits when rain is counted on. A lid keeps nearly all rain out, and a high hole lets roots go under "
            "water.",
            "rain counted on",
        ),
    ),
    hint="What sets how fast the water goes: the tub, or those who drink from it?",
    route="One filling is shared out over all plants. With {count} it is gone in {before} of 100 simulated seasons, "
    "with {fewer} in {after} of 100. The other changes leave the thirst as it is.",
    draws={"crop": ("basil", "lettuce"), "count": (8, 9, 10), "fewer": (3, 4)},
    work=_too_many,
    sources=(f"tanks/{TUB}/height",),
)

_RANGES = (((52, 78), (60, 88)), ((40, 66), (48, 71)), ((30, 58), (41, 64)), ((61, 90), (70, 96)))
"""Stems of two plans, low and high: invented for the question."""


def _overlap(n: Numbers) -> dict[str, Any]:
    (low, high), (other_low, other_high) = n.ranges
    return {
        "low": low,
        "high": high,
        "other_low": other_low,
        "other_high": other_high,
        "middle": (low + high) / 2,
        "other_middle": (other_low + other_high) / 2,
    }


OVERLAP = ChoiceQuestion(
    id="season-overlap",
    chapter=CHAPTER,
    text="Two plans side by side. Plan A gives {low} to {high} stems, and plan B gives {other_low} to {other_high}, "
    "each in 8 of 10 simulated seasons. What do you know?",
    options=(
        Option(
            "Not which one is better: many seasons would fit both",
            "The ranges share most of their stems. Choose by something else, such as work or cost.",
        ),
        Option(
            "Plan B is better: its numbers are higher",
            "This fits when the ends of two ranges are compared one by one. In one season B may well give less than A.",
            "ends compared",
        ),
        Option(
            "Plan B gives {other_middle} stems and plan A {middle}",
            "This fits when the middle of a range is taken for what will come. It is the middle, and no promise.",
            "middle taken for certain",
        ),
        Option(
            "Both give the same number of stems",
            "This fits when “not shown to differ” is taken for “equal”. They may differ. These ranges do not tell.",
            "overlap taken for equal",
        ),
    ),
    hint="Name a number of stems that fits both plans. How many such numbers are there?",
    route="From {other_low} to {high} stems fit both plans. A single season does not tell one plan from the other, so "
    "the ranges alone do not choose for you.",
    draws={"ranges": _RANGES},
    work=_overlap,
)


def _cheaper_bag(n: Numbers) -> dict[str, Any]:
    small, large = (
        element_price(price, bag, share)
        for price, bag, share in ((n.price, n.bag, n.share), (n.large_price, n.large_bag, n.large_share))
    )
    return {"small": float(small.m_as("1/kg")), "large": float(large.m_as("1/kg"))}


CHEAPER_BAG = ChoiceQuestion(
    id="season-cheaper-bag",
    chapter=CHAPTER,
    text="You need potassium (K). Bag A holds {bag}, is {share} potassium and costs {price} coins. Bag B holds "
    "{large_bag}, is {large_share} potassium and costs {large_price} coins. Which one is the cheaper potassium?",
    options=(
        Option(
            "Bag B: a kilogram of potassium costs {large:3} coins there, and {small:3} in A",
            "Share the price out over the potassium, and not over the bag.",
        ),
        Option(
            "Bag A: it costs fewer coins",
            "This fits when the bags are compared as they stand. A holds less, and less of it is potassium.",
            "bags taken as equal",
        ),
        Option(
            "Neither: what counts is which one dissolves faster",
            "This fits when price and use are mixed up. Both dissolve. What does the element cost?",
            "speed for price",
        ),
        Option(
            "It cannot be said without the size of the tank",
            "This fits when price and amount are mixed up. A larger tank needs more of both bags alike.",
            "amount for price",
        ),
    ),
    hint="How many grams of potassium does one coin buy from each bag?",
    route="Price, shared out over kilograms times the share of potassium: {small:3} coins a kilogram in A, and "
    "{large:3} in B.",
    draws={
        "bag": quantities((1, 2), "kg"),
        "share": quantities((10, 12, 15), "percent"),
        "price": (6, 8, 10),
        "large_bag": quantities((5, 10), "kg"),
        "large_share": quantities((38.7, 44.9), "percent"),
        "large_price": (18, 24, 30),
    },
    work=_cheaper_bag,
)


LATE_BATCH = ChoiceQuestion(
    id="season-late-batch",
    chapter=CHAPTER,
    text="A plan has zinnias in flower from {flower} October. At Quillgate the first frost comes by 10 October in 1 of "
    "10 years on record, and by 24 October in half of them. What does the plan promise?",
    options=(
        Option(
            "Hardly any stems, and in some years none",
            "Zinnias die in a light frost. A few days of flowers are not worth a tank: sow sooner, or sow something "
            "hardy.",
        ),
        Option(
            "The usual stems, if the tank stays full",
            "This fits when water is thought to be all they need. The frost ends zinnias, however full the tank is.",
            "frost left out",
        ),
        Option(
            "Flowers in 9 of 10 years, as the frost comes in 1 of 10",
            "This fits when the frost of one day is counted. Each later day brings more years with frost.",
            "one day for all days",
        ),
        Option(
            "Stems later on, once it is warm again",
            "This fits plants that wait for spring. Zinnias live for one summer, and a frost kills them.",
            "annual taken as perennial",
        ),
    ),
    hint="How many days lie between the first flower and the frost, in half of the years?",
    route="The first flower is due on {flower} October. In half of the years the frost is there by 24 October, in some "
    "by 10 October. That leaves days of cutting, and not weeks.",
    draws={"flower": (8, 10, 12, 14, 16)},
    work=lambda n: {},
)
