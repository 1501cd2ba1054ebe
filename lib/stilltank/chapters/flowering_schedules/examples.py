"""Worked examples of chapter 5."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Slip,
    per_day_for_total,
    tenfold,
    thousandfold,
    weeks_for_days,
)
from stilltank.learning.worked import Step, WorkedExample
from stilltank.science.heat import days_to_flower
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    CHAPTER,
    ROOMS,
    TWO_CROPS,
    above_freezing,
    days_for,
    fahrenheit_days,
    gained,
    sources_of,
    warmth_of,
)


def _warmth_to_date(n: Numbers) -> dict[str, Any]:
    known = warmth_of(n.crop)
    daily = gained(n.cool, known["base"])
    so_far = daily * n.days.m_as("day")
    later = gained(n.warm, known["base"])
    rest = known["need"] - so_far
    return {
        **known,
        "daily": daily,
        "so_far": so_far,
        "rest": rest,
        "later": later,
        "left": days_for(rest, later),
    }


WARMTH_TO_DATE = WorkedExample(
    id="flowering-worked-warmth-to-date",
    chapter=CHAPTER,
    title="From warmth to the day of the first flower",
    text="A {plant} takes {need:4} of warmth above {base} from {phase} until it flowers. Since then {days} have "
    "passed, with a mean of {cool}. From now on the days are warmer, with a mean of {warm}. In how many days does it "
    "flower?",
    shown=Numbers(crop="bedding-zinnia", days=Q(40, "day"), cool=Q(18, "degC"), warm=Q(22, "degC")),
    draws={
        "crop": TWO_CROPS,
        "days": quantities((32, 34, 36, 40), "day"),
        "cool": quantities((12, 13, 14), "degC"),
        "warm": quantities((19, 20, 21, 23), "degC"),
    },
    work=_warmth_to_date,
    steps=(
        Step(
            label="degree-days of one day",
            working="{cool} less {base} is {daily:4}. So much did each of these days bring.",
            prompt="How many degree-days did each of the days so far bring?",
            result="daily",
            kind="degree-days",
            unit="delta_degC*day",
            check=(
                "Size: some degrees, and less than the thermometer shows.",
                "Unit: degrees above the base, times one day.",
                "Direction: a higher base leaves less.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                fahrenheit_days(),
                Slip(
                    "base left out",
                    "the base is not taken off",
                    "Below the base nothing is gained. How many degrees lie above it?",
                    lambda n, _: [above_freezing(n.cool)],
                ),
            ),
        ),
        Step(
            label="degree-days so far",
            working="{daily:4} in each of {days} make {so_far:4}.",
            prompt="How many degree-days are gathered so far?",
            result="so_far",
            kind="degree-days",
            unit="delta_degC*day",
            check=(
                "Size: some hundreds.",
                "Unit: degree-days of a day, times the number of days.",
                "Direction: more days bring more.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                per_day_for_total("days"),
                Slip(
                    "base taken off once",
                    "the base is taken off once for all the days",
                    "Each day loses it. Take it off first, and then count the days.",
                    lambda n, _: [above_freezing(n.cool, n.days) - above_freezing(warmth_of(n.crop)["base"])],
                ),
            ),
        ),
        Step(
            label="degree-days still missing",
            working="{need:4} less {so_far:4} is {rest:4}.",
            prompt="How many degree-days are still missing?",
            result="rest",
            kind="degree-days",
            unit="delta_degC*day",
            check=(
                "Size: less than all the crop needs.",
                "Unit: degree-days less degree-days stay degree-days.",
                "Direction: the more is gathered, the less is missing.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "added for taken off",
                    "what is gathered is added, and not taken off",
                    "Does what is gathered make the rest larger or smaller?",
                    lambda n, _: [_warmth_to_date(n)["need"] + _warmth_to_date(n)["so_far"]],
                ),
                Slip(
                    "one day taken off",
                    "the degree-days of one day alone are taken off",
                    "How many such days have passed?",
                    lambda n, _: [_warmth_to_date(n)["need"] - _warmth_to_date(n)["daily"]],
                ),
            ),
        ),
        Step(
            label="days until the first flower",
            working="From now on each day brings {warm} less {base}, which is {later:4}. {rest:4} divided by that is "
            "{left:4}. A cool week would move it back.",
            prompt="In how many days does it flower? Give one decimal.",
            result="left",
            kind="time",
            unit="day",
            whole="up",
            check=(
                "Size: some weeks.",
                "Unit: degree-days divided by degree-days a day gives days.",
                "Direction: warmer days bring the flower sooner.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                weeks_for_days(),
                Slip(
                    "warmth of the days before",
                    "the days to come are taken to be as cool as those before",
                    "How much does a day bring from now on?",
                    lambda n, _: [days_for(_warmth_to_date(n)["rest"], _warmth_to_date(n)["daily"])],
                ),
                Slip(
                    "base left out",
                    "the base is not taken off the days to come",
                    "How many degrees of each day lie above the base?",
                    lambda n, _: [days_for(_warmth_to_date(n)["rest"], above_freezing(n.warm))],
                ),
                Slip(
                    "whole sum counted",
                    "the whole sum is counted from today",
                    "A part is gathered already. How much is still missing?",
                    lambda n, _: [days_for(_warmth_to_date(n)["need"], _warmth_to_date(n)["later"])],
                ),
            ),
        ),
    ),
    sources=sources_of(TWO_CROPS),
)

_CROP = "snapdragon"


def _back_to_sowing(n: Numbers) -> dict[str, Any]:
    known, days = warmth_of(_CROP), days_to_flower(_CROP, n.room)
    daily = gained(n.room, known["base"])
    return {
        **known,
        "daily": daily,
        "slow": (days.late * daily / Q(1, "day")).to("delta_degC*day"),
        "expected": days.expected,
        "late": days.late,
        "margin": days.late - days.expected,
        "before": n.seedling + days.late,
    }


BACK_TO_SOWING = WorkedExample(
    id="flowering-worked-back-to-sowing",
    chapter=CHAPTER,
    title="From a wanted day back to the sowing",
    text="Snapdragons are wanted for a day that cannot move. From {phase} they take {need:4} of warmth above {base} "
    "until they flower, and a slow batch takes {slow:4}. The tank stands in a room of {room}. Before that the "
    "seedlings are raised for {seedling}. How many days before the wanted day are they sown, so that a slow batch is "
    "in time?",
    shown=Numbers(room=Q(20, "degC"), seedling=Q(27, "day")),
    draws={"room": ROOMS, "seedling": quantities((21, 24, 25, 28, 30, 32), "day")},
    work=_back_to_sowing,
    tolerance=Q(1, "percent"),
    steps=(
        Step(
            label="degree-days of one day",
            working="{room} less {base} is {daily:4}.",
            prompt="How many degree-days does a day in the tank bring?",
            result="daily",
            kind="degree-days",
            unit="delta_degC*day",
            check=(
                "Size: less than the thermometer shows.",
                "Unit: degrees above the base, times one day.",
                "Direction: a warmer room brings more.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                fahrenheit_days(),
                Slip(
                    "base left out",
                    "the base is not taken off",
                    "Below the base nothing is gained. How many degrees lie above it?",
                    lambda n, _: [above_freezing(n.room)],
                ),
            ),
        ),
        Step(
            label="days in the tank, as expected",
            working="{need:4} divided by {daily:4} for each day is {expected:4}.",
            prompt="How many days in the tank are to be expected until they flower? Give one decimal.",
            result="expected",
            kind="time",
            unit="day",
            whole="up",
            check=(
                "Size: some weeks.",
                "Unit: degree-days divided by degree-days a day gives days.",
                "Direction: a warmer room takes fewer days.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                weeks_for_days(),
                Slip(
                    "slow batch for the expected one",
                    "the sum of a slow batch is used",
                    "There are two sums in the text. Which one is to be expected?",
                    lambda n, _: [_back_to_sowing(n)["late"]],
                ),
                Slip(
                    "base left out",
                    "the base is not taken off",
                    "How many degrees of each day lie above the base?",
                    lambda n, _: [days_for(_back_to_sowing(n)["need"], above_freezing(n.room))],
                ),
            ),
        ),
        Step(
            label="days in the tank of a slow batch",
            working="{slow:4} divided by {daily:4} for each day is {late:4}. That is {margin:3} later: the "
            "margin.",
            prompt="How many days in the tank does a slow batch take? Give one decimal.",
            result="late",
            kind="time",
            unit="day",
            whole="up",
            check=(
                "Size: some days more than expected.",
                "Unit: degree-days divided by degree-days a day gives days.",
                "Direction: a slow batch takes longer.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                weeks_for_days(),
                Slip(
                    "expected batch for the slow one",
                    "the sum that is to be expected is used",
                    "There are two sums in the text. Which one belongs to a slow batch?",
                    lambda n, _: [_back_to_sowing(n)["expected"]],
                ),
                Slip(
                    "margin alone",
                    "the days by which a slow batch is later are given",
                    "How long does it take from transplant on, all in all?",
                    lambda n, _: [_back_to_sowing(n)["margin"]],
                ),
            ),
        ),
        Step(
            label="days from the sowing",
            working="{late:4} in the tank and {seedling} as seedlings are {before:4}. Count them back from the wanted "
            "day.",
            prompt="How many days before the wanted day are they sown? Give one decimal.",
            result="before",
            kind="time",
            unit="day",
            whole="up",
            check=(
                "Size: some months.",
                "Unit: days and days make days.",
                "Direction: the seedlings come before the tank, so the sowing is earlier.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                weeks_for_days(),
                Slip(
                    "seedlings left out",
                    "the days of the seedlings are left out",
                    "These days count from the tank. How old are the plants by then?",
                    lambda n, _: [_back_to_sowing(n)["late"]],
                ),
                Slip(
                    "no margin",
                    "the days to be expected are used, with no margin",
                    "Half of all batches come later than expected. Which days belong to a slow one?",
                    lambda n, _: [n.seedling + _back_to_sowing(n)["expected"]],
                ),
                Slip(
                    "seedlings taken off",
                    "the days of the seedlings are taken off, and not added",
                    "Are seedlings raised before the tank, or in it?",
                    lambda n, _: [_back_to_sowing(n)["late"] - n.seedling],
                ),
            ),
        ),
    ),
    sources=sources_of((_CROP,)),
)
