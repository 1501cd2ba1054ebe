"""Exercises on shopping: salt for a bench, whole bags, and what a gram of an element costs."""

import math
from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    compound_for_element,
    percent_for_share,
    ratio_upside_down,
    tenfold,
    thousandfold,
)
from stilltank.science.products import element_price
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, bag_of_bags, left_out


def _salt_for_bench(n: Numbers) -> dict[str, Any]:
    needed = (n.tubs * n.volume * n.dose).to("g")
    return {"one": (n.volume * n.dose).to("g"), "needed": needed, "answer": needed - n.left}


SALT_FOR_BENCH = Question(
    id="season-salt-for-bench",
    chapter=CHAPTER,
    text="{tubs} tubs are filled with {volume} each. The card says {dose:g/L} of calcium nitrate. {left} of it are "
    "left from last year. How much more do you need?",
    draws={
        "tubs": (3, 4, 5, 6),
        "volume": quantities((24, 30, 36, 40, 45), "L"),
        "dose": quantities((0.5, 0.6, 0.7, 0.8, 0.9), "g/L"),
        "left": quantities((20, 25, 30, 40), "g"),
    },
    work=_salt_for_bench,
    kind="mass",
    unit="g",
    between=(Q(20, "g"), Q(220, "g")),
    slips=(
        Slip(
            "one tub for all",
            "the salt of one tub is counted",
            "How many tubs stand on the bench?",
            lambda n, _: [abs(n.volume * n.dose - n.left)],
        ),
        left_out(
            "shelf left out",
            "what is left on the shelf is not taken off",
            "Look at the shelf before you shop.",
            {"left": Q(0, "g")},
        ),
        Slip(
            "shelf for each tub",
            "what is left is taken off once for each tub",
            "The rest is there once, and all tubs share it.",
            lambda n, _: [abs(n.tubs * (n.volume * n.dose - n.left))],
        ),
        Slip(
            "shelf added",
            "what is left is added, and not taken off",
            "Does salt on the shelf mean more to buy, or less?",
            lambda n, solve: [solve(n) + 2 * n.left],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: grams in each litre times litres are grams.",
        "Direction: more tubs need more, and a fuller shelf leaves less to buy.",
    ),
    steps=(
        ("salt of one tub", "{volume} times {dose:g/L} is {one:4 g}."),
        ("salt of the bench", "{tubs} times {one:4 g} is {needed:4 g}."),
        ("what is missing", "{needed:4 g} less {left} is {answer:4 g}."),
    ),
    why="The bench takes {needed:3 g}, and {left} are there.",
)


def _left_in_bags(n: Numbers) -> dict[str, Any]:
    bags = math.ceil((n.need / n.bag).m_as("dimensionless") - 1e-9)
    return {"bags": bags, "bought": bags * n.bag, "answer": (bags * n.bag - n.need).to("g")}


LEFT_IN_BAGS = Question(
    id="season-left-in-bags",
    chapter=CHAPTER,
    text="You need {need:g} of Epsom salt for the summer. The shop sells bags of {bag:g}. You buy whole bags, and as "
    "few as will do. How much is left at the end?",
    draws={
        "need": quantities((620, 780, 860, 1150, 1320, 1480, 1700, 1850, 2150, 2600), "g"),
        "bag": quantities((400, 500, 750, 1000), "g"),
    },
    work=_left_in_bags,
    kind="mass",
    unit="g",
    between=(Q(100, "g"), Q(700, "g")),
    slips=(
        *bag_of_bags(lambda n: n.need, lambda n: n.bag),
        Slip(
            "all that is bought",
            "all that is bought is given, and not what is left of it",
            "How much of it goes into the tanks?",
            lambda n, _: [_left_in_bags(n)["bought"]],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: less than one bag is left. Expect between {least} and {most} here.",
        "Unit: grams less grams are grams.",
        "Direction: bags are rounded up, so some is left.",
    ),
    steps=(
        ("bags", "{need:g} fit into {bags} bags of {bag:g}, and not into one less."),
        ("what is left", "{bags} bags hold {bought:g}. Less {need:g} that is {answer:4 g}."),
    ),
    why="{bags} bags hold {bought:g}. Keep nitrate salts dry and locked; Epsom salt keeps for years when dry.",
)


def _element_for_coin(n: Numbers) -> dict[str, Any]:
    return {
        "held": (n.bag * n.share).to("g"),
        "answer": (1 / element_price(n.price, n.bag, n.share)).to("g"),
    }


ELEMENT_FOR_COIN = Question(
    id="season-nitrogen-for-coin",
    chapter=CHAPTER,
    text="A bag of {bag} costs {price} coins. Its label says {share} of nitrogen (N). How much nitrogen does one coin "
    "buy?",
    draws={
        "bag": quantities((1, 2, 5, 10), "kg"),
        "price": (4, 5, 6, 8, 9, 12, 15),
        "share": quantities((12, 13.5, 15.5, 20, 26), "percent"),
    },
    work=_element_for_coin,
    kind="mass",
    unit="g",
    between=(Q(20, "g"), Q(320, "g")),
    slips=(
        compound_for_element(lambda n: n.share),
        Slip(
            "price left out",
            "all the nitrogen of the bag is given",
            "One coin buys a part of the bag. How many coins does it cost?",
            lambda n, _: [_element_for_coin(n)["held"]],
        ),
        Slip(
            "multiplied by the price",
            "the nitrogen is multiplied by the price, and not shared out over it",
            "Does one coin buy more than the bag, or less?",
            lambda n, solve: [solve(n) * n.price**2],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:g} and {most:g} here.",
        "Unit: grams in the bag, shared out over coins.",
        "Direction: a dearer bag gives less for a coin.",
    ),
    steps=(
        ("part that is the element", "{share} of {bag} is {held:4 g} of nitrogen."),
        ("for one coin", "{held:4 g} shared out over {price} coins is {answer:4 g} for each."),
    ),
    why="The bag holds {held:3 g} of nitrogen for {price} coins.",
)


def _times_as_dear(n: Numbers) -> dict[str, Any]:
    here, there = (
        element_price(cost, held, part)
        for cost, held, part in ((n.price, n.bag, n.share), (n.other_price, n.other_bag, n.other_share))
    )
    return {
        "held": (n.bag * n.share).to("g"),
        "other_held": (n.other_bag * n.other_share).to("g"),
        "cheap": float(here.m_as("1/kg")),
        "dear": float(there.m_as("1/kg")),
        "answer": float((there / here).m_as("dimensionless")),
    }


TIMES_AS_DEAR = Question(
    id="season-times-as-dear",
    chapter=CHAPTER,
    text="A bag of {bag} with {share} nitrogen costs {price} coins. A tin of {other_bag:g} with {other_share} nitrogen "
    "costs {other_price} coins. How many times as dear is a gram of nitrogen from the tin?",
    draws={
        "bag": quantities((5, 10, 25), "kg"),
        "share": quantities((13.5, 15.5), "percent"),
        "price": (14, 18, 24, 30),
        "other_bag": quantities((0.5, 0.8, 1), "kg"),
        "other_share": quantities((6, 8, 20, 24), "percent"),
        "other_price": (6, 8, 9),
    },
    work=_times_as_dear,
    kind="ratio",
    unit="dimensionless",
    between=(Q(2, "dimensionless"), Q(60, "dimensionless")),
    slips=(
        Slip(
            "label left out",
            "the prices of a kilogram of fertiliser are compared, and not of nitrogen",
            "How much of each kilogram is nitrogen?",
            lambda n, solve: [solve(n.but(share=n.other_share))],
        ),
        Slip(
            "bags taken as equal",
            "the prices of bag and tin are compared, whatever they hold",
            "How many kilograms does each hold?",
            lambda n, _: [n.other_price / n.price],
        ),
        ratio_upside_down(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: coins for a kilogram, divided by coins for a kilogram, is a plain number.",
        "Direction: the tin is the dearer one, so the number is above 1.",
    ),
    steps=(
        ("coins for a kilogram from the bag", "{price} coins for {held:4 g} are {cheap:4} for a kilogram."),
        ("the same from the tin", "{other_price} coins for {other_held:4 g} are {dear:4}."),
        ("times as dear", "{dear:4} divided by {cheap:4} is {answer:4}."),
    ),
    why="Compare the price of what the plants take up, not of bags.",
)


def _share_of_stem(n: Numbers) -> dict[str, Any]:
    stems = n.count * n.stems
    return {
        "all": stems,
        "earned": stems * n.sells,
        "answer": Q(n.cost / (stems * n.sells), "dimensionless").to("percent"),
    }


SHARE_OF_STEM = Question(
    id="season-salt-in-a-stem",
    chapter=CHAPTER,
    text="The salts for a tub cost {cost} coins. {count} plants give {stems} stems each, and a stem is sold for "
    "{sells} coins. What share of that pays for the salts? Give it in per cent.",
    draws={
        "cost": (0.4, 0.5, 0.6, 0.8),
        "count": (3, 4, 5, 6),
        "stems": (6, 8, 10, 12),
        "sells": (0.25, 0.4, 0.5),
    },
    work=_share_of_stem,
    kind="share",
    unit="percent",
    between=(Q(1, "percent"), Q(15, "percent")),
    slips=(
        Slip(
            "one plant for all",
            "the stems of one plant are counted",
            "How many plants share the tub?",
            lambda n, solve: [solve(n) * n.count],
        ),
        Slip(
            "one stem for all",
            "one stem of each plant is counted",
            "How many stems does each plant give?",
            lambda n, solve: [solve(n) * n.stems],
        ),
        percent_for_share(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: coins divided by coins, and 100 times that is per cent.",
        "Direction: more stems from the same tub make the share smaller.",
    ),
    steps=(
        ("stems of the tub", "{count} times {stems} is {all}."),
        ("what they bring", "{all} times {sells} coins is {earned:4} coins."),
        ("share", "{cost} of {earned:4} is {answer:4}."),
    ),
    why="{all} stems bring {earned:3} coins. Work, tubs and plants cost far more than salts.",
)
