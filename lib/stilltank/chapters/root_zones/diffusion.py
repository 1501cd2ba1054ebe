"""Exercises on how oxygen gets into the solution: a still layer, a mixed one, and the film of one's own tank."""

from typing import Any

import numpy as np

from stilltank.learning.questions import Numbers, Question, Slip, percent_for_share, tenfold, thousandfold
from stilltank.science.oxygen import diffusive_flux, diffusivity, greatest_surface_supply, saturation
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, DEMANDS, WARMTHS, WATERS, hour_for_day


def _still_layer(n: Numbers) -> dict[str, Any]:
    full = saturation(n.warm)
    flux = diffusive_flux(full, n.thick, n.warm)
    each = flux * Q(1, "m^2*day")
    return {
        "full": full,
        "spread": diffusivity(n.warm).to("cm^2/day"),
        "plain": diffusivity(n.warm).to("m^2/day"),
        "each": each,
        "use": load("oxygen")["roots", "demand"].quantity * Q(1, "m^2*day"),
        "answer": (flux * n.water * Q(1, "day")).to("mg"),
    }


STILL_LAYER = Question(
    id="roots-still-layer",
    chapter=CHAPTER,
    text="Between the air and the roots lies a layer of water that stands quite still, {thick:mm} thick. At "
    "{warm} its top holds {full:4 mg/L} of oxygen, and its base none. What gets through one square metre in a "
    "day is {spread:4 cm²/day} times the difference, divided by the thickness. The surface is {water}. How many "
    "milligrams get through in a day?",
    draws={
        "thick": quantities((4, 5, 8, 15, 20), "mm"),
        "warm": WARMTHS,
        "water": WATERS,
    },
    work=_still_layer,
    kind="mass",
    unit="mg",
    between=(Q(8, "mg"), Q(100, "mg")),
    slips=(
        Slip(
            "area left out",
            "what gets through a whole square metre is given",
            "How large is the water surface of this tub?",
            lambda n, _: [_still_layer(n)["each"].to("mg")],
        ),
        Slip(
            "thickness upside down",
            "a thicker layer lets more through",
            "A thicker layer holds oxygen back. So divide by its thickness.",
            lambda n, solve: [solve(n) * n.thick.m_as("cm") ** 2],
        ),
        Slip(
            "thickness left out",
            "the layer is taken to be one centimetre thick",
            "How thick is the layer in the text?",
            lambda n, solve: [solve(n) * n.thick.m_as("cm")],
        ),
        hour_for_day(),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:mg} and {most:mg} here.",
        "Unit: turn cm² into m² and mm into m. One mg/L is one gram in a cubic metre.",
        "Direction: a thicker layer lets less through.",
    ),
    steps=(
        ("the same in metres", "{spread:4 cm²/day} is {plain:4 m²/day}. {thick:mm} is {thick:m}."),
        (
            "through a square metre",
            "{plain:4 m²/day} times {full:4 g/m³}, divided by {thick:m}, is {each:4 mg} in a day.",
        ),
        ("through the surface", "{each:4 mg} times {water} is {answer:4 mg}."),
    ),
    why="A square metre lets {each:2 mg} through, and grown roots on it may use {use:mg}. Still water alone is far "
    "too slow. Papers on the speed differ by a fifth.",
    sources=("oxygen/diffusivity/d0", "oxygen/roots/demand"),
)


def _share_from_air(n: Numbers) -> dict[str, Any]:
    full = saturation(n.warm)
    keep = load("oxygen")["critical", "no effect seen"].quantity
    slow, fast = load("oxygen")["film", "coefficient"].range
    supply = greatest_surface_supply(n.warm, n.film, keep=keep)
    carried = (supply / n.demand).to("percent")
    return {
        "full": full,
        "keep": keep,
        "slow": slow,
        "fast": fast,
        "room": full - keep,
        "supply": supply * Q(1, "m^2*day"),
        "use": n.demand * Q(1, "m^2*day"),
        "carried": carried,
        "answer": Q(100, "percent") - carried,
    }


SHARE_FROM_AIR = Question(
    id="roots-share-from-air",
    chapter=CHAPTER,
    text="How fast does oxygen get in through the surface of a still tub with a lid? We found no measurement. Suppose "
    "the speed is {film:m/day}. What gets in is this speed times the oxygen that is missing. At {warm} the solution "
    "can hold {full:4 mg/L}, and {keep} shall stay in it. The roots use {use:g} on each square metre in a day. Which "
    "share of that must come from the air zone?",
    draws={
        "film": quantities((0.1, 0.15, 0.2, 0.25, 0.3, 0.4), "m/day"),
        "warm": WARMTHS,
        "demand": DEMANDS,
    },
    work=_share_from_air,
    kind="share",
    unit="percent",
    between=(Q(15, "percent"), Q(92, "percent")),
    slips=(
        Slip(
            "share from water",
            "the share is given that the water can carry",
            "Both shares make 100 %. Which one is asked for?",
            lambda n, _: [_share_from_air(n)["carried"]],
        ),
        Slip(
            "nothing kept",
            "the water is let run out of oxygen",
            "Some oxygen shall stay in the water. Only what is missing draws more in.",
            lambda n, _: [
                Q(100, "percent") - (greatest_surface_supply(n.warm, n.film) / n.demand).to("percent")
            ],
        ),
        Slip(
            "what stays for what is missing",
            "the oxygen that stays in the water is used, and not what is missing",
            "How much is missing from what the water can hold?",
            lambda n, _: [Q(100, "percent") - (n.film * _share_from_air(n)["keep"] / n.demand).to("percent")],
        ),
        percent_for_share(),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: one mg/L is one gram in a cubic metre. Times metres that is grams on a square metre.",
        "Direction: the more roots there are, the more must come from air.",
    ),
    steps=(
        ("what is missing", "{full:4 mg/L} less {keep} is {room:4 mg/L}, or {room:4 g/m³}."),
        (
            "what the water carries",
            "{film:m/day} times {room:4 g/m³} is {supply:4 g} on a square metre in a day.",
        ),
        (
            "share from air",
            "{supply:4 g} of {use:g} is {carried:4}. The rest, {answer:4}, must come from air.",
        ),
    ),
    why="The water carries {carried} of the use. All hangs on the speed, and that is a guess: {slow:m/day} to "
    "{fast:m/day} may be. Sources also differ on what must stay. Measure your own tub.",
    sources=("oxygen/film/coefficient", "oxygen/critical/no effect seen", "oxygen/roots/demand"),
)


def _film_from_recovery(n: Numbers) -> dict[str, Any]:
    full = saturation(n.warm)
    first, last = full - n.before, full - n.after
    fall = float(np.log((first / last).m_as("dimensionless")))
    days = n.time.to("day")
    return {
        "full": full,
        "first": first,
        "last": last,
        "ratio": first / last,
        "fall": fall,
        "days": days,
        "rate": fall / days.m_as("day"),
        "answer": (n.level * fall / days).to("m/day"),
    }


FILM_FROM_RECOVERY = Question(
    id="roots-film-from-recovery",
    chapter=CHAPTER,
    text="A class drives the oxygen out of a tub of plain water, {level} deep, and closes the lid. The water mixes by "
    "itself. At first the meter reads {before}, and {time:h} later {after}. At {warm} the water can hold "
    "{full:4 mg/L}. The natural logarithm of what is missing falls evenly. Its fall in a day, times the depth, tells "
    "how fast oxygen gets in. How fast is that in metres a day?",
    draws={
        "level": quantities((12, 14, 15, 16), "cm"),
        "before": quantities((0.8, 1, 1.2, 1.5), "mg/L"),
        "after": quantities((4, 4.5, 5, 5.5), "mg/L"),
        "time": quantities((8, 10, 12, 16, 18), "hour"),
        "warm": WARMTHS[:3],
    },
    work=_film_from_recovery,
    kind="speed",
    unit="m/day",
    tolerance=Q(3, "percent"),
    between=(Q(0.08, "m/day"), Q(0.4, "m/day")),
    slips=(
        Slip(
            "logarithm of ten",
            "the logarithm to the base of ten is taken",
            "Two keys look alike. The natural logarithm is the one written ln.",
            lambda n, solve: [solve(n) / np.log(10)],
        ),
        Slip(
            "readings for what is missing",
            "the logarithm of the readings is taken, and not that of what is missing",
            "How much is missing from what the water can hold, at first and at the end?",
            lambda n, solve: [
                solve(n)
                * float(np.log((n.after / n.before).m_as("dimensionless")))
                / _film_from_recovery(n)["fall"]
            ],
        ),
        Slip(
            "no logarithm",
            "what is missing at first is divided by what is missing at the end, with no logarithm",
            "Divide first. Then press ln.",
            lambda n, solve: [
                solve(n)
                * _film_from_recovery(n)["ratio"].m_as("dimensionless")
                / _film_from_recovery(n)["fall"]
            ],
        ),
        Slip(
            "depth left out",
            "the fall in a day is given, without the depth",
            "Deep water needs more oxygen to fill up. Where does the depth come in?",
            lambda n, _: [Q(_film_from_recovery(n)["rate"], "m/day")],
        ),
        Slip(
            "depth in centimetres",
            "the depth is put in as centimetres",
            "The answer is in metres a day. So turn the depth into metres.",
            lambda n, solve: [solve(n) * Q(1, "m").m_as("cm")],
        ),
        hour_for_day(),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:m/day} and {most:m/day} here.",
        "Unit: hours divided by 24 give days; centimetres divided by 100 give metres.",
        "Direction: a faster rise means that oxygen gets in faster.",
    ),
    steps=(
        (
            "what is missing",
            "{full:4 mg/L} less {before} is {first:4 mg/L}. At the end {last:4 mg/L} are missing.",
        ),
        (
            "fall of the logarithm",
            "{first:4 mg/L} divided by {last:4 mg/L} is {ratio:4}, and ln of that {fall:4}.",
        ),
        ("fall in a day", "{time:h} is {days:4 day}. So {fall:4} becomes {rate:4} in a day."),
        ("speed", "{rate:4} times {level:m} is {answer:4 m/day}."),
    ),
    why="We found no such number for a tub with a lid, so yours is worth having. Two readings are few: take more, and "
    "draw the line.",
    sources=("oxygen/film/coefficient",),
)
