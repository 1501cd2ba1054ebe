"""Worked examples of chapter 3."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Slip,
    per_day_for_total,
    ratio_upside_down,
    tenfold,
    thousandfold,
)
from stilltank.learning.worked import Step, WorkedExample
from stilltank.science.tank import lifting_index
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, SURFACES, box


def _use_per_plant(n: Numbers) -> dict[str, Any]:
    missing = (n.water * n.drop).to("L")
    drunk = missing + n.added
    daily = (drunk / n.days).to("L/day")
    return {"missing": missing, "drunk": drunk, "daily": daily, "each": (daily / n.count).to("mL/day")}


USE_PER_PLANT = WorkedExample(
    id="water-worked-use-per-plant",
    chapter=CHAPTER,
    title="From a drop of the level to litres for each plant in a day",
    text="The level of a tub with upright walls was marked, and read again after {days}: it is down by {drop:cm}. The "
    "water surface is {water}. In between {added:L} of water were added, no rain got in, and nothing ran off. "
    "The tub holds {count} plants.",
    shown=Numbers(days=Q(7, "day"), drop=Q(2.8, "cm"), water=Q(0.2, "m^2"), added=Q(1.4, "L"), count=5),
    draws={
        "days": quantities((4, 5, 6, 9), "day"),
        "drop": quantities((1.5, 2.4, 3.2, 3.6), "cm"),
        "water": SURFACES[:3],
        "added": quantities((1, 1.2, 1.6), "L"),
        "count": (4, 6, 8),
    },
    work=_use_per_plant,
    steps=(
        Step(
            label="litres that are missing",
            working="{drop:cm} is {drop:mm}. On {water} that is {missing:4 L}.",
            prompt="How many litres are missing from the tub?",
            result="missing",
            kind="volume",
            unit="L",
            check=(
                "Size: some litres; all the tub holds some tens.",
                "Unit: one millimetre of level on one square metre is one litre.",
                "Direction: a larger drop is more water.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "area left out",
                    "centimetres of level are taken for litres",
                    "A volume is a depth times an area. Look for the size of the water surface.",
                    lambda n, _: [Q(n.drop.m_as("cm"), "L")],
                ),
            ),
        ),
        Step(
            label="litres drunk",
            working="{missing:4 L} are missing, and the {added:L} that came in are gone as well: {drunk:4 L}.",
            prompt="How many litres did the plants drink in all that time?",
            result="drunk",
            kind="volume",
            unit="L",
            check=(
                "Size: somewhat more than what is missing.",
                "Unit: both are litres.",
                "Direction: what came in held the level up, so the plants drank more than it shows.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "top-up forgotten",
                    "the water that was added is left out",
                    "The jug held the level up. What would the level be without it?",
                    lambda n, _: [_use_per_plant(n)["missing"]],
                ),
                Slip(
                    "top-up taken off",
                    "the water that was added is taken off",
                    "It came in, and it is gone as well. Did the plants drink more for it, or less?",
                    lambda n, _: [_use_per_plant(n)["missing"] - n.added],
                ),
            ),
        ),
        Step(
            label="litres in a day",
            working="{drunk:4 L} in {days} are {daily:4 L/day}.",
            prompt="How much do the plants drink in a day?",
            result="daily",
            kind="flow",
            unit="L/day",
            check=(
                "Size: less than in all the days together.",
                "Unit: litres divided by days gives litres a day.",
                "Direction: the same water in more days is less in each.",
            ),
            slips=(thousandfold(), tenfold(), per_day_for_total("days")),
        ),
        Step(
            label="litres for each plant",
            working="{daily:4 mL/day} for {count} plants are {each:4 mL/day} for each. Young plants drink less than "
            "that, and grown ones more.",
            prompt="How much does each plant drink in a day? Give it in mL/day.",
            result="each",
            kind="flow",
            unit="mL/day",
            check=(
                "Size: some tens to some hundreds of millilitres.",
                "Unit: turn litres into millilitres, and divide by the number of plants.",
                "Direction: one plant drinks less than all of them.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "all plants for one",
                    "the use of all plants is given for one",
                    "Share it out: how many plants drink from this tub?",
                    lambda n, solve: [solve(n) * n.count],
                ),
                Slip(
                    "all days for one",
                    "the use of all the days is given for one day",
                    "Share it out over the days as well.",
                    lambda n, solve: [Q((solve(n) * n.days).m_as("L"), "L/day")],
                ),
            ),
        ),
    ),
)


def _lift(n: Numbers) -> dict[str, Any]:
    tub = box(n)
    load_ = tub.weight(n.level)
    found = lifting_index(load_, hold=n.hold, from_height=n.hands, to_height=n.bench)
    left = {name: Q(share, "dimensionless").to("percent") for name, share in found.multipliers.items()}
    table = load("lifting")
    return {
        "litres": tub.volume(n.level),
        "solution": load_ - n.empty,
        "load": load_,
        "nearest": table["hold", "nearest"].quantity,
        "constant": table["load", "constant"].quantity,
        "reach": left["hold"],
        "height_left": left["height"],
        "travel_left": left["travel"],
        "grip_left": left["grip"],
        "limit": found.limit,
        "index": float(found.index),
        "best": table["height", "best"].quantity,
        "loss": (table["height", "loss"].quantity * Q(1, "cm")).to("percent"),
        "caution": found.caution,
    }


LIFTING = WorkedExample(
    id="water-worked-lifting",
    chapter=CHAPTER,
    title="May one adult lift the full tub onto a bench?",
    text="A tub with upright walls is {length} by {width} inside and filled {level} deep. Tub, lid and plants weigh "
    "{empty:kg}. Somebody thinks of lifting it onto a low bench. The hands hold it {hold} out from the ankles. They "
    "start {hands} above the floor, and end at {bench}. The lifting equation of NIOSH allows one adult {constant} at "
    "best. Each thing that makes it harder leaves a share of that. Here the height leaves {height_left}, the way up "
    "{travel_left}, and a fair grip {grip_left}. {caution}",
    shown=Numbers(
        length=Q(50, "cm"),
        width=Q(40, "cm"),
        level=Q(20, "cm"),
        empty=Q(4, "kg"),
        hold=Q(40, "cm"),
        hands=Q(20, "cm"),
        bench=Q(75, "cm"),
    ),
    draws={
        "length": quantities((50, 60), "cm"),
        "width": quantities((30, 35, 40), "cm"),
        "level": quantities((16, 18, 22, 24), "cm"),
        "empty": quantities((3.6, 4.4), "kg"),
        "hold": quantities((32, 35, 45, 48), "cm"),
        "hands": quantities((30, 32), "cm"),
        "bench": quantities((75, 80), "cm"),
    },
    work=_lift,
    steps=(
        Step(
            label="weight of the full tub",
            working="{length} times {width} times {level} is {litres:4 L}, which weigh {solution:4 kg}. With tub, "
            "lid and plants it is {load:4 kg}.",
            prompt="What does the full tub weigh? A litre weighs about one kilogram.",
            result="load",
            kind="mass",
            unit="kg",
            check=(
                "Size: as many kilograms as litres, and some more.",
                "Unit: cm³ divided by 1000 are litres, and a litre weighs about a kilogram.",
                "Direction: tub, lid and plants come on top of the solution.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "tub left out",
                    "the solution alone is weighed",
                    "Who lifts the solution lifts tub, lid and plants as well.",
                    lambda n, _: [_lift(n)["solution"]],
                ),
            ),
        ),
        Step(
            label="share that the reach leaves",
            working="{nearest} divided by {hold} is {reach:4}.",
            prompt="Best is to hold a load {nearest} out. What share does {hold} leave, in per cent?",
            result="reach",
            kind="share",
            unit="percent",
            check=(
                "Size: less than all of it, and more than a third.",
                "Unit: centimetres divided by centimetres. Times 100 that is per cent.",
                "Direction: the farther out, the smaller the share.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "share that is lost",
                    "the share that is lost is given, and not the one that is left",
                    "Both shares make 100 %. Which one is asked for?",
                    lambda n, solve: [Q(100, "percent") - solve(n)],
                ),
            ),
        ),
        Step(
            label="limit for one adult",
            working="{constant} times {reach:4}, {height_left:4}, {travel_left:4} and {grip_left:4} is {limit:4 kg}. "
            "For the height, each centimetre below {best} costs {loss}.",
            prompt="How much does the equation allow one adult to lift in this way?",
            result="limit",
            kind="mass",
            unit="kg",
            check=(
                "Size: about half of {constant}.",
                "Unit: kilograms times shares stay kilograms.",
                "Direction: each share makes the limit smaller.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "nothing taken off",
                    "the best case is given, with nothing taken off",
                    "Is this lift the best case? Multiply by each share in turn.",
                    lambda n, _: [_lift(n)["constant"]],
                ),
                Slip(
                    "reach left out",
                    "the share of the reach is left out",
                    "The reach costs most. Multiply by its share too.",
                    lambda n, solve: [solve(n) / _lift(n)["reach"].m_as("dimensionless")],
                ),
                Slip(
                    "reach alone",
                    "the share of the reach alone is taken",
                    "Height, way and grip take their part as well.",
                    lambda n, _: [(_lift(n)["constant"] * _lift(n)["reach"]).to("kg")],
                ),
            ),
        ),
        Step(
            label="how many times too heavy",
            working="{load:4 kg} divided by {limit:4 kg} is {index:4}. Above 1 the risk to the back grows. So nobody "
            "lifts it: fill it in place.",
            prompt="How many times the limit is the full tub?",
            result="index",
            kind="ratio",
            unit="dimensionless",
            check=(
                "Size: some times as much; 1 would be at the limit.",
                "Unit: kilograms divided by kilograms leave a number of times.",
                "Direction: a heavier tub gives a larger number.",
            ),
            slips=(thousandfold(), tenfold(), ratio_upside_down()),
        ),
    ),
    sources=(
        "lifting/load/constant",
        "lifting/hold/nearest",
        "lifting/height/loss",
        "lifting/travel/base",
        "lifting/grip/fair low",
        "lifting/rare/multiplier",
    ),
)
