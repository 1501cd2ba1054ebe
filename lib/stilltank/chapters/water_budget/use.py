"""Exercises on what plants use: in a day, until the tank is dry, what the meter shows then, and how to replace it."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    change_reversed,
    tenfold,
    thousandfold,
    weeks_for_days,
)
from stilltank.science.budget import concentration_after_uptake
from stilltank.science.crops import Plants
from stilltank.science.demand import crop_coefficient
from stilltank.science.hydraulics import emitter_flow
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    CHAPTER,
    SURFACES,
    hour_for_minute,
    one_plant_for_all,
    unusable_rest,
)

_CROPS = ("basil", "lettuce", "snapdragon", "calendula")


def _daily_use(n: Numbers) -> dict[str, Any]:
    plants = Plants(n.crop, n.count)
    coefficient = crop_coefficient(plants.crop, n.day)
    depth = n.asked * Q(1, "day")
    return {
        "each": plants.crop.canopy_area,
        "coefficient": coefficient,
        "depth": depth,
        "leaves": plants.canopy_area,
        "drunk": (coefficient * depth).to("mm"),
        "answer": (coefficient * depth * plants.canopy_area).to("L"),
    }


DAILY_USE = Question(
    id="water-daily-use",
    chapter=CHAPTER,
    text="The reference evapotranspiration of today is {depth:mm}: so much a field of grass would use. Your tub holds "
    "{count} {crop} plants, and the leaves of each cover {each}. On day {day} after planting their coefficient is "
    "{coefficient}, their share of what grass would use. How many litres do all of them drink today?",
    draws={
        "crop": _CROPS,
        "count": (4, 5, 6, 8),
        "day": (22, 26, 30),
        "asked": quantities((3, 4, 5, 6, 7), "mm/day"),
    },
    work=_daily_use,
    kind="volume",
    unit="L",
    between=(Q(0.15, "L"), Q(2.5, "L")),
    slips=(
        Slip(
            "coefficient left out",
            "the plants are counted as grass, and the coefficient is left out",
            "Do these plants use as much as grass, or less? The coefficient says it.",
            lambda n, solve: [solve(n) / _daily_use(n)["coefficient"]],
        ),
        Slip(
            "coefficient upside down",
            "the coefficient is divided by, and not multiplied",
            "A coefficient below one makes the use smaller than that of grass.",
            lambda n, solve: [solve(n) / _daily_use(n)["coefficient"] ** 2],
        ),
        one_plant_for_all(),
        Slip(
            "area left out",
            "millimetres of water are taken for litres",
            "That is right for leaves that cover one square metre. How much do these cover?",
            lambda n, _: [Q(_daily_use(n)["drunk"].m_as("mm"), "L")],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:L} and {most:L} here.",
        "Unit: one millimetre of water on one square metre is one litre.",
        "Direction: a hotter day, more leaves and more plants all make it more.",
    ),
    steps=(
        ("what these plants use", "{coefficient} of {depth:mm} is {drunk:4 mm}."),
        ("area of the leaves", "{count} times {each} is {leaves:4}."),
        ("litres", "{drunk:4 mm} on {leaves:4} is {answer:4 L}."),
    ),
    why="One millimetre on one square metre is one litre, and the leaves cover {leaves}.",
    sources=tuple(f"crops/{name}/{prop}" for name in _CROPS for prop in ("canopy area", "Kcb mid")),
)


def _days_left(n: Numbers) -> dict[str, Any]:
    rest = unusable_rest()
    volume = (n.floor * (n.level - rest)).to("L")
    daily = (n.count * n.use / Q(1, "day")).to("L/day")
    return {
        "rest": rest,
        "depth": n.level - rest,
        "usable": volume,
        "unusable": (n.floor * rest).to("L"),
        "daily": daily,
        "answer": (volume / daily).to("day"),
    }


DAYS_LEFT = Question(
    id="water-days-left",
    chapter=CHAPTER,
    text="A tub with upright walls has a floor of {floor}. The solution stands {level:cm} deep, and roots take none of "
    "the last {rest}. Each of {count} plants drinks {use} a day. No rain gets in. For how many days does the water "
    "last? Give one decimal.",
    draws={
        "floor": SURFACES,
        "level": quantities((5.5, 7, 9, 12), "cm"),
        "count": (4, 5, 6, 8),
        "use": quantities((120, 150, 180, 220, 250, 300), "mL"),
    },
    work=_days_left,
    kind="time",
    unit="day",
    whole="down",
    between=(Q(4, "day"), Q(30, "day")),
    slips=(
        Slip(
            "rest counted",
            "the rest that roots do not take is counted as well",
            "Take the unusable depth off the level first.",
            lambda n, _: [(n.floor * n.level / _days_left(n)["daily"]).to("day")],
        ),
        Slip(
            "rest added",
            "the rest that roots do not take is added, and not taken off",
            "Does the rest make the time longer or shorter?",
            lambda n, _: [(n.floor * (n.level + _days_left(n)["rest"]) / _days_left(n)["daily"]).to("day")],
        ),
        one_plant_for_all(divided=True),
        Slip(
            "area left out",
            "centimetres of level are taken for litres",
            "A volume is a depth times an area. Look for the floor of the tub.",
            lambda n, _: [Q(_days_left(n)["depth"].m_as("cm"), "L") / _days_left(n)["daily"]],
        ),
        Slip(
            "divided the other way",
            "the use of a day is divided by the water, and not the water by the use",
            "How many times does the use of one day go into the water?",
            lambda n, solve: [Q(1 / solve(n).m_as("day"), "day")],
        ),
        weeks_for_days(),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: litres divided by litres a day gives days.",
        "Direction: more plants and hotter days make it shorter.",
    ),
    steps=(
        ("water that counts", "{level:cm} less {rest} is {depth:cm}. Times {floor} that is {usable:4 L}."),
        ("use of a day", "{count} times {use} is {daily:4 L/day}."),
        ("days", "{usable:4 L} divided by {daily:4 L/day} is {answer:4}."),
    ),
    why="{usable:L} can be drunk; the last {unusable:L} stay. Look before that day: a hot week takes more.",
    sources=("budget/tank/unusable depth",),
)


def _strength_after_use(n: Numbers) -> dict[str, Any]:
    used = n.before - n.left
    held = n.start.m_as("mS/cm") * n.before.m_as("L")
    taken = n.uptake.m_as("mS/cm") * used.m_as("L")
    return {
        "used": used,
        "held": held,
        "taken": taken,
        "stay": held - taken,
        "answer": concentration_after_uptake(n.start, n.uptake, n.before, n.left),
    }


STRENGTH_AFTER_USE = Question(
    id="water-strength-after-use",
    chapter=CHAPTER,
    text="A tank holds {before}, and the meter shows {start}. The plants drink until {left} are left. With each litre "
    "they take as many salts as a litre of {uptake} holds. Nothing is added. What does the meter show then?",
    draws={
        "before": quantities((32, 36, 40, 45), "L"),
        "left": quantities((15, 18, 20, 24), "L"),
        "start": quantities((1.2, 1.5, 1.8, 2), "mS/cm"),
        "uptake": quantities((0.8, 1, 1.2, 1.6), "mS/cm"),
    },
    work=_strength_after_use,
    kind="conductivity",
    unit="mS/cm",
    between=(Q(0.4, "mS/cm"), Q(4, "mS/cm")),
    slips=(
        Slip(
            "no salts taken up",
            "the plants are thought to drink water alone",
            "The plants take salts as well. Take off what went with the water.",
            lambda n, solve: [solve(n.but(uptake=0 * n.uptake))],
        ),
        Slip(
            "the meter stays",
            "the meter is thought to stay where it is",
            "Do the plants take salts and water in the same mix as they stand in the tank?",
            lambda n, _: [n.start],
        ),
        Slip(
            "strength of the drink",
            "the strength of what the plants took is given",
            "That has left the tank. What stays behind, and in how many litres?",
            lambda n, _: [n.uptake],
        ),
        change_reversed("start"),
        Slip(
            "first volume",
            "the salts that stay are shared out over the first volume",
            "In how many litres are the salts now?",
            lambda n, solve: [solve(n) * (n.left / n.before).m_as("dimensionless")],
        ),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: count the salts as litres times mS/cm, and divide by litres at the end.",
        "Direction: where a litre drunk holds less than a litre of the tank, the meter rises.",
    ),
    steps=(
        ("salts in the tank", "{before} times {start} counts {held:4}."),
        ("salts taken", "{used} are drunk. Times {uptake} that counts {taken:4}."),
        ("what the meter shows", "{held:4} less {taken:4} is {stay:4}. In {left} that is {answer:4}."),
    ),
    why="{stay:4} of the {held:4} stay, now in {left}. A meter is within some percent of this sum.",
)


def _drip_time(n: Numbers) -> dict[str, Any]:
    flow = emitter_flow(n.rated, n.high, "fully turbulent", n.head)
    ratio = (n.head / n.high).m_as("dimensionless")
    return {
        "ratio": ratio,
        "root": ratio**0.5,
        "flow": flow,
        "answer": (n.volume / flow).to("hour"),
    }


DRIP_TIME = Question(
    id="water-drip-time",
    chapter=CHAPTER,
    text="By its sheet a drip emitter gives {rated:L/h} under {high:m} of water. Its flow follows the square root of "
    "that height. Your supply stands only {head:m} above the emitter. For how many hours must it drip to bring "
    "{volume:L}?",
    draws={
        "rated": quantities((2, 3, 4), "L/hour"),
        "high": quantities((10,), "m"),
        "head": quantities((0.4, 0.5, 0.6, 0.9, 1.2), "m"),
        "volume": quantities((0.6, 0.8, 1, 1.2, 1.5), "L"),
    },
    work=_drip_time,
    kind="time",
    unit="hour",
    between=(Q(0.5, "hour"), Q(4, "hour")),
    slips=(
        Slip(
            "flow of the sheet",
            "the flow of the sheet is used, as if the supply stood as high as there",
            "The sheet speaks of a much higher supply. Does yours push as hard?",
            lambda n, _: [(n.volume / n.rated).to("hour")],
        ),
        Slip(
            "no square root",
            "the flow is taken to go with the height itself, and not with its square root",
            "A quarter of the height still gives half of the flow.",
            lambda n, _: [
                (n.volume / emitter_flow(n.rated, n.high, "laminar", n.head)).to("hour"),
            ],
        ),
        Slip(
            "root upside down",
            "the lower supply is taken to give more, and not less",
            "A lower supply pushes less. So it takes longer than the sheet says.",
            lambda n, _: [(n.volume / n.rated).to("hour") * _drip_time(n)["root"]],
        ),
        hour_for_minute(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:h} and {most:h} here.",
        "Unit: litres divided by litres an hour gives hours.",
        "Direction: a lower supply drips more slowly, so it takes longer.",
    ),
    steps=(
        (
            "share of the flow",
            "{head:m} divided by {high:m} is {ratio:4}. The square root of it is {root:4}.",
        ),
        ("flow", "{root:4} times {rated:L/h} is {flow:4 L/h}."),
        ("time", "{volume:L} divided by {flow:4 L/h} is {answer:4 h}."),
    ),
    why="From {head:m} it drips {flow:3 L/h}. Catch an hour of it in a cup: emitters differ.",
    sources=("hydraulics/emitter/fully turbulent",),
)
