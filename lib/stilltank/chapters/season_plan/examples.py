"""Worked examples of chapter 6: a shopping list for a bench, and two weeks away."""

import math
from functools import cache
from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Slip,
    per_day_for_total,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.learning.worked import Step, WorkedExample
from stilltank.science.crops import Plants, crop
from stilltank.science.demand import crop_coefficient
from stilltank.science.tank import preset
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, TUB, bag_of_bags


def _shopping(n: Numbers) -> dict[str, Any]:
    filling = (n.tubs * n.volume * n.dose).to("g")
    added = (n.topped * n.dose / 2).to("g")
    buy = filling + added - n.left
    bags = math.ceil((buy / n.bag).m_as("dimensionless") - 1e-9)
    return {
        "litres": n.tubs * n.volume,
        "half": n.dose / 2,
        "filling": filling,
        "added": added,
        "buy": buy,
        "bags": bags,
        "bought": bags * n.bag,
        "over": (bags * n.bag - buy).to("g"),
    }


SHOPPING = WorkedExample(
    id="season-worked-shopping",
    chapter=CHAPTER,
    title="From the card to the bag",
    text="{tubs} tubs are filled with {volume} each. The card says {dose:g/L} of calcium nitrate. Through the summer "
    "{topped} are topped up at half of that. {left:g} are left from last year. The shop sells bags of {bag:g}.",
    shown=Numbers(
        tubs=12, volume=Q(36, "L"), dose=Q(0.6, "g/L"), topped=Q(400, "L"), left=Q(80, "g"), bag=Q(250, "g")
    ),
    draws={
        "tubs": (10, 14, 15, 16, 18, 20),
        "volume": quantities((24, 30, 36, 40), "L"),
        "dose": quantities((0.5, 0.7, 0.8, 0.9), "g/L"),
        "topped": quantities((250, 300, 350, 450, 500), "L"),
        "left": quantities((60, 75, 90, 120), "g"),
        "bag": quantities((200, 250, 300, 500), "g"),
    },
    work=_shopping,
    tolerance=Q(1, "percent"),
    steps=(
        Step(
            label="salt for the fillings",
            working="{tubs} times {volume} is {litres}. Times {dose:g/L} that is {filling:4 g}.",
            prompt="How much salt do the fillings of all tubs take?",
            result="filling",
            kind="mass",
            unit="g",
            check=(
                "Size: each tub takes tens of grams.",
                "Unit: grams in each litre times litres are grams.",
                "Direction: more tubs take more.",
            ),
            slips=(
                Slip(
                    "one tub for all",
                    "the salt of one tub is given for all of them",
                    "How many tubs stand on the bench?",
                    lambda n, solve: [solve(n) / n.tubs],
                ),
                us_gallon_for_litre("volume"),
                thousandfold(),
                tenfold(),
            ),
        ),
        Step(
            label="salt for the top-ups",
            working="Half of {dose:g/L} is {half:3 g/L}. Times {topped} that is {added:4 g}.",
            prompt="How much salt do the top-ups take?",
            result="added",
            kind="mass",
            unit="g",
            check=(
                "Size: it is of the size of the filling, or less.",
                "Unit: grams in each litre times litres are grams.",
                "Direction: half as strong takes half the salt.",
            ),
            slips=(
                Slip(
                    "full strength for half",
                    "the top-ups are mixed at full strength",
                    "The text says how strong a top-up is.",
                    lambda n, solve: [2 * solve(n)],
                ),
                Slip(
                    "litres of the fillings",
                    "the litres of the fillings are used",
                    "How many litres are topped up?",
                    lambda n, _: [_shopping(n)["filling"] / 2],
                ),
                thousandfold(),
                tenfold(),
            ),
        ),
        Step(
            label="what is missing",
            working="{filling:4 g} and {added:4 g}, less {left:g} on the shelf, is {buy:4 g}.",
            prompt="How much salt is missing?",
            result="buy",
            kind="mass",
            unit="g",
            check=(
                "Size: less than fillings and top-ups together.",
                "Unit: grams and grams are grams.",
                "Direction: what is on the shelf leaves less to buy.",
            ),
            slips=(
                Slip(
                    "shelf left out",
                    "what is left on the shelf is not taken off",
                    "Look at the shelf before you shop.",
                    lambda n, solve: [solve(n) + n.left],
                ),
                Slip(
                    "shelf added",
                    "what is left is added, and not taken off",
                    "Does salt on the shelf mean more to buy, or less?",
                    lambda n, solve: [solve(n) + 2 * n.left],
                ),
                Slip(
                    "top-ups left out",
                    "the fillings alone are counted",
                    "A summer is one filling and many top-ups.",
                    lambda n, solve: [solve(n) - _shopping(n)["added"]],
                ),
                thousandfold(),
                tenfold(),
            ),
        ),
        Step(
            label="what is left over",
            working="{bags} bags of {bag:g} hold {bought:g}. Less {buy:4 g} that leaves {over:4 g}.",
            prompt="You buy whole bags. How much is left over?",
            result="over",
            kind="mass",
            unit="g",
            check=(
                "Size: less than one bag.",
                "Unit: grams less grams are grams.",
                "Direction: bags are rounded up, so some is left.",
            ),
            slips=(
                *bag_of_bags(lambda n: _shopping(n)["buy"], lambda n: n.bag),
                Slip(
                    "all that is bought",
                    "all that is bought is given, and not what is left of it",
                    "How much of it goes into the tanks?",
                    lambda n, _: [_shopping(n)["bought"]],
                ),
                thousandfold(),
            ),
        ),
    ),
)


@cache
def _coefficient(name: str, age: int) -> float:
    return float(crop_coefficient(crop(name), age))


def _two_weeks(n: Numbers) -> dict[str, Any]:
    plants = Plants(crop("basil"), n.count)
    coefficient = _coefficient("basil", 60)
    tub = preset(TUB)
    daily = (n.asked * Q(1, "day") * coefficient * plants.canopy_area).to("L")
    used = daily * n.days.m_as("day")
    gives = (tub.volume(n.level) - tub.volume(n.lowest)).to("L")
    return {
        "coefficient": coefficient,
        "leaf": crop("basil").canopy_area,
        "area": plants.canopy_area,
        "surface": tub.area((n.level + n.lowest) / 2).to("m^2"),
        "fall": n.level - n.lowest,
        "daily": daily,
        "used": used,
        "gives": gives,
        "missing": used - gives,
        "drip": ((used - gives) / n.days).to("L/day"),
    }


TWO_WEEKS = WorkedExample(
    id="season-worked-two-weeks",
    chapter=CHAPTER,
    title="Two weeks away",
    text="{count} grown basil plants stand in a Quillgate tub. Each covers {leaf}, and its coefficient is "
    "{coefficient:2}. The weather asks for {asked:mm/day}. You leave at a level of {level:cm}, and you want no less "
    "than {lowest:cm} when you are back after {days}. The water has a surface of {surface:4}.",
    shown=Numbers(count=5, asked=Q(5, "mm/day"), level=Q(14, "cm"), lowest=Q(9, "cm"), days=Q(14, "day")),
    draws={
        "count": (4, 5),
        "asked": quantities((5.5, 6, 6.5, 7), "mm/day"),
        "level": quantities((12, 12.5, 13, 13.5), "cm"),
        "lowest": quantities((8, 8.5, 9.5, 10), "cm"),
        "days": quantities((10, 12, 13, 16), "day"),
    },
    work=_two_weeks,
    steps=(
        Step(
            label="used in a day",
            working="{count} plants cover {area:3}. {asked:mm/day} times {coefficient:2} on that is {daily:4 L}.",
            prompt="How much do all plants use in one day?",
            result="daily",
            kind="volume",
            unit="L",
            check=(
                "Size: about a litre.",
                "Unit: 1 mm on 1 m² is 1 L.",
                "Direction: more plants and drier weather use more.",
            ),
            slips=(
                Slip(
                    "one plant for all",
                    "one plant is counted",
                    "How many plants drink from the tub?",
                    lambda n, solve: [solve(n) / n.count],
                ),
                Slip(
                    "coefficient upside down",
                    "the coefficient is divided by, and not multiplied",
                    "Do these plants use more than grass does, or less?",
                    lambda n, solve: [solve(n) / _coefficient("basil", 60) ** 2],
                ),
                Slip(
                    "water for leaves",
                    "the surface of the water is used, and not the leaves",
                    "The leaves drink. How much do they cover?",
                    lambda n, solve: [
                        solve(n) * (_two_weeks(n)["surface"] / _two_weeks(n)["area"]).m_as("dimensionless")
                    ],
                ),
                thousandfold(),
                tenfold(),
            ),
        ),
        Step(
            label="used while you are away",
            working="{daily:4 L} a day for {days} is {used:4 L}.",
            prompt="How much do they use in the whole time?",
            result="used",
            kind="volume",
            unit="L",
            check=(
                "Size: more than ten litres.",
                "Unit: litres a day times days are litres.",
                "Direction: a longer time uses more.",
            ),
            slips=(
                per_day_for_total("days"),
                Slip(
                    "one week for all",
                    "seven days are counted",
                    "How long are you away?",
                    lambda n, solve: [solve(n) * 7 / n.days.m_as("day")],
                ),
                us_gallon_for_litre(),
                thousandfold(),
                tenfold(),
            ),
        ),
        Step(
            label="what the tub gives",
            working="The level falls by {fall:cm}. On {surface:4} that is {gives:4 L}.",
            prompt="How much does the tub give, down to the level that you want?",
            result="gives",
            kind="volume",
            unit="L",
            check=(
                "Size: some litres.",
                "Unit: 1 cm on 1 m² is 10 L.",
                "Direction: a larger fall gives more.",
            ),
            slips=(
                Slip(
                    "area left out",
                    "centimetres are counted as litres",
                    "A volume is a depth times an area.",
                    lambda n, _: [Q((n.level - n.lowest).m_as("cm"), "L")],
                ),
                Slip(
                    "emptied to the floor",
                    "all the water down to the floor is counted",
                    "Which level do you want when you are back?",
                    lambda n, _: [preset(TUB).volume(n.level).to("L")],
                ),
                us_gallon_for_litre(),
                thousandfold(),
                tenfold(),
            ),
        ),
        Step(
            label="what a drip gives each day",
            working="{used:4 L} less {gives:4 L} is {missing:4 L}. Over {days} that is {drip:4 L/day}.",
            prompt="How much must a drip give each day?",
            result="drip",
            kind="flow",
            unit="L/day",
            check=(
                "Size: less than the plants use in a day.",
                "Unit: litres divided by days are litres a day.",
                "Direction: more water in the tub leaves less for the drip.",
            ),
            slips=(
                Slip(
                    "all days for one",
                    "the water of the whole time is given for one day",
                    "Share it out over the days.",
                    lambda n, solve: [solve(n) * n.days.m_as("day")],
                ),
                Slip(
                    "tub left out",
                    "what the tub gives is not taken off",
                    "The tub gives a part of it.",
                    lambda n, _: [_two_weeks(n)["used"] / n.days],
                ),
                Slip(
                    "tub added",
                    "what the tub gives is added, and not taken off",
                    "With water in the tub, must the drip give more, or less?",
                    lambda n, _: [(_two_weeks(n)["used"] + _two_weeks(n)["gives"]) / n.days],
                ),
                thousandfold(),
                tenfold(),
            ),
        ),
    ),
    sources=("crops/basil/canopy area", "crops/basil/Kcb mid", f"tanks/{TUB}/top length"),
)
