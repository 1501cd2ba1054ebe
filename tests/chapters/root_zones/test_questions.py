"""Questions on the root zones: against hand working, stated values and the solvers, and no draw without sense.

What every question has to hold is in tests/chapters/test_bank.py, which asks these as well.
"""

import math

import numpy as np
import pytest
from stilltank.chapters import root_zones
from stilltank.chapters.bank import find, find_example
from stilltank.learning import checks
from stilltank.learning.questions import Asked, Numbers, Question
from stilltank.science.oxygen import diffusivity, fit_film_coefficient, saturation, unsteady_oxygen
from stilltank.science.roots import refill_limit
from stilltank.tables import load
from stilltank.units import Q

CODES = [
    f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)
]  # 540 codes
# Saturation in mg/L, APHA method 4500-O, table 4500-O:I, from memory (checks R007 and R008)
FULL_20, FULL_25 = 9.092, 8.263
PRINTED = 5e-4  # of a saturation with four figures


def value(question, **numbers):
    return Asked(question, "A1", Numbers(numbers)).value


def stated(id, found):
    comparison = checks.compare(id, found)
    assert comparison.good, comparison


def test_levels_and_refills_against_hand_working():
    """30 - 7 + 2 = 25 cm; 2 cm x 0.24 m2 = 4.8 L, the refill of check R091, drunk at 1.2 L a day in 4 days."""
    assert value(
        find("roots-fill-level"), height=Q(30, "cm"), pot=Q(7, "cm"), immersion=Q(2, "cm")
    ) == pytest.approx(25)
    wide = {"water": Q(0.24, "m^2"), "use": Q(1.2, "L/day")}
    assert value(find("roots-refill-days"), **wide) == pytest.approx(4)
    stated("R091", find("roots-refill-days").work(Numbers(wide))["litres"])


def test_oxygen_held_against_hand_working():
    """14 cm x 0.2 m2 = 28 L; 75 % of 8.263 mg in each. Moist air holds 265.4 g/m3 (check R030): 7.43 g."""
    tub = Numbers(level=Q(14, "cm"), water=Q(0.2, "m^2"), warm=Q(25, "degC"), share=Q(75, "percent"))
    assert value(find("roots-oxygen-held"), **tub) == pytest.approx(28 * 0.75 * FULL_25, rel=PRINTED)
    assert find("roots-oxygen-held").work(tub)["air"].m_as("g") == pytest.approx(28 * 0.2654, rel=PRINTED)


def test_the_hours_agree_with_the_stated_ones():
    """R068 and R069: 1.157 g under a square metre, gone in 6.95 h at 4.0 g a day."""
    grown = Numbers(level=Q(14, "cm"), water=Q(0.2, "m^2"), warm=Q(25, "degC"), demand=Q(4, "g/m^2/day"))
    work = find("roots-hours-of-oxygen").work(grown)
    stated("R068", work["under"] / Q(1, "m^2"))
    stated("R069", work["answer"])
    assert work["hourly"].m_as("mg") == pytest.approx(4000 / 24)
    # from 20 to 30 degC the saturation falls by 16.9 % (R063), and twice the use halves the rest
    hot = {"cool": Q(20, "degC"), "hours": Q(8, "hour"), "factor": 2.0}
    assert value(find("roots-hours-when-warm"), **hot) == pytest.approx(8 * (1 - 0.169) / 2, rel=1e-3)


def test_what_gets_in_against_stated_values():
    """R033: 0.1426 g/m2 a day through 10 mm, on 0.24 m2 34.2 mg; R077: the water carries 0.462 of 4.0 g/m2."""
    layer = Numbers(thick=Q(10, "mm"), warm=Q(25, "degC"), water=Q(0.24, "m^2"))
    stated("R033", find("roots-still-layer").work(layer)["each"] / Q(1, "m^2*day"))
    assert value(find("roots-still-layer"), **layer) == pytest.approx(34.2, abs=0.1)
    half = layer.but(thick=Q(5, "mm"))
    assert value(find("roots-still-layer"), **half) == pytest.approx(
        2 * value(find("roots-still-layer"), **layer)
    )
    film = Numbers(film=Q(0.3, "m/day"), warm=Q(25, "degC"), demand=Q(4, "g/m^2/day"))
    work = find("roots-share-from-air").work(film)
    stated("R077", work["carried"].to("dimensionless"))
    # 0.3 m/d x (8.263 - 2.1) g/m3 = 1.849 g/m2/d, over 4.0
    assert work["answer"].m_as("percent") == pytest.approx(100 - 100 * 0.3 * (FULL_25 - 2.1) / 4, abs=0.02)


RECOVERY = Numbers(
    level=Q(15, "cm"),
    before=Q(1.092, "mg/L"),
    after=Q(5.092, "mg/L"),
    time=Q(12, "hour"),
    warm=Q(20, "degC"),
)


def test_the_film_of_a_recovery_against_hand_working():
    """From 8 to 4 mg/L missing in half a day: 2 ln 2 a day, times 0.15 m."""
    assert value(find("roots-film-from-recovery"), **RECOVERY) == pytest.approx(
        0.3 * math.log(2), rel=PRINTED
    )


@pytest.mark.parametrize("code", CODES[::90])
def test_the_film_of_two_readings_is_that_of_the_fit(code):
    """Nine readings of which what is missing falls by the same factor from each to the next, ends as in the text."""
    numbers = find("roots-film-from-recovery").numbers(code)
    full = saturation(numbers.warm).m_as("mg/L")
    missing = np.geomspace(full - numbers.before.m_as("mg/L"), full - numbers.after.m_as("mg/L"), 9)
    hours = np.linspace(0, numbers.time.m_as("hour"), 9)
    fit = fit_film_coefficient(Q(hours, "hour"), Q(full - missing, "mg/L"), numbers.level, numbers.warm)
    right = find("roots-film-from-recovery").answer(numbers).m_as("m/day")
    assert fit.by_hand.m_as("m/day") == pytest.approx(right, rel=1e-9)
    assert fit.coefficient.m_as("m/day") == pytest.approx(right, rel=1e-6)


def test_openers_against_hand_working():
    """30 - 7 - 12 = 11 cm. 220 g less 19 % is 178.2 g, less 7 % 204.6 g (Kratky 2005, abstract). 20 mm on 0.2 m2 are
    4 L, a fifth of 20 L, which 80 mm bring on 0.25 m2."""
    assert value(
        find("roots-air-below-pot"), height=Q(30, "cm"), pot=Q(7, "cm"), level=Q(12, "cm")
    ) == pytest.approx(11)
    floated, rested = find("roots-floating-loss").draws["cover"]
    assert value(find("roots-floating-loss"), cover=floated, count=10) == pytest.approx(1782)
    assert value(find("roots-floating-loss"), cover=rested, count=10) == pytest.approx(2046)
    storm = {"water": Q(0.2, "m^2"), "lid": Q(0.25, "m^2"), "share": Q(20, "percent")}
    assert value(find("roots-rain-to-limit"), **storm) == pytest.approx(80)


def test_the_worked_examples_against_hand_working():
    """75 % of 9.092 mg/L; 140 L of it under a square metre; 4 g in 24 hours. Then 6 L on 0.2 m2: 3 cm of 10 cm."""
    example = find_example("roots-worked-hours")
    shown = example.work(example.shown)
    found = [shown[step.result].m_as(step.unit) for step in example.steps]
    litre = 0.75 * FULL_20
    assert found == pytest.approx([litre, 140 * litre, 4000 / 24, 140 * litre * 24 / 4000], rel=PRINTED)
    example = find_example("roots-worked-refill")
    shown = example.work(example.shown)
    found = [shown[step.result].m_as(step.unit) for step in example.steps]
    assert found == pytest.approx([4, 3, 7, 30])
    assert "more than the 2 cm" in str(example.stage(0, "A1"))
    little = example.shown.but(amount=Q(3, "L"))
    assert example.work(little)["verdict"] == "within"


def test_what_the_choices_say_against_hand_working():
    work = find("roots-warmth-most").work(Numbers(cool=Q(20, "degC")))
    stated("R063", 1 - work["supply"])
    stated("R064", work["reach"])
    # a density of the air that falls with the temperature, 293.15 / 303.15, and vapour of 2.34 and 4.25 kPa (steam
    # tables, from memory) in 101.325 kPa
    assert work["air"].m_as("") == pytest.approx(
        293.15 / 303.15 * (101.325 - 4.25) / (101.325 - 2.34), rel=1e-3
    )
    # 6 kPa of 20.95 % of (101.325 - 3.168) kPa, times 8.263 mg/L
    work = find("roots-two-papers").work(Numbers(warm=Q(25, "degC")))
    assert work["in_water"].m_as("mg/L") == pytest.approx(6 / (0.2095 * 98.157) * FULL_25, rel=1e-3)
    assert [work[name].m_as("mg/L") for name in ("floated", "harm")] == [2.1, 0.32]
    work = find("roots-floating-cover").work(Numbers())
    assert work["floated"].m_as("g") == pytest.approx(178.2)


def test_how_far_oxygen_gets_in_a_day():
    """Half of the surface's stands at 2 x 0.4769 sqrt(D t), 0.4769 the inverse of erfc at a half (from memory) and
    sqrt(D t) 13.14 mm in a day (R039)."""
    work = find("roots-still-day").work(Numbers(warm=Q(25, "degC"), level=Q(14, "cm")))
    assert work["day"].m_as("mm") == pytest.approx(2 * 0.4769 * 13.14, abs=0.02)
    assert work["hour"].m_as("mm") == pytest.approx(2 * 0.4769 * 13.14 / math.sqrt(24), abs=0.02)
    assert work["straight"].m_as("mm") == pytest.approx(24 * work["hour"].m_as("mm"))


def test_the_lid_lets_roots_breathe():
    """0.16 g a day through a ring of pi x 51 x 1 mm2, 5 mm long: 2.9 g/m3, 1.1 % of 265.4, with 2.0e-5 m2/s of R028
    and its tolerance of 7.5 %; R082: 0.779 g of vapour."""
    work = find("roots-lid-gap").work(Numbers(gap=Q(1, "mm"), canopy=Q(0.04, "m^2")))
    assert work["use"].m_as("mg") == pytest.approx(160)
    lack = 0.16 * 0.005 / (2.0e-5 * 86400 * math.pi * 0.051 * 0.001)
    assert work["lack"].m_as("percent") == pytest.approx(100 * lack / 265.4, rel=0.075)
    stated("R082", work["vapour"] / Q(1, "day"))
    stated("R029", diffusivity(Q(25, "degC"), "air") / diffusivity(Q(25, "degC")))  # "ten thousand times"


def test_a_full_tub_in_week_six():
    """Pots end at 30 - 7 = 23 cm and stood 2 cm deep: from 12 to 25 cm is 13 cm, and 11 cm of it was air below pots.

    The tub is 44 x 28 cm at the floor and 52 x 35 cm at 30 cm, with corners of 4.5 cm; the area half way up the rise.
    """
    work = find("roots-full-tank").work(Numbers(now=Q(12, "cm")))
    found = [work[name].m_as("cm") for name in ("first", "rise", "submerged", "immersion")]
    assert found == pytest.approx([25, 13, 11, 2])
    area = (44 + 8 * 18.5 / 30) * (28 + 7 * 18.5 / 30) - (4 - math.pi) * 4.5**2
    assert work["added"].m_as("L") == pytest.approx(13 * area / 1000, abs=0.02)


def between(low, amount, high, unit):
    return low < amount.m_as(unit) < high


def changes(work, *names):
    return {name: abs(math.log(work[name].m_as(""))) for name in names}


def still_empty_below(n, _):
    full = saturation(n.warm)
    floor = unsteady_oxygen(n.level, Q(1, "day"), full, n.warm, n.level)
    return (floor / full).m_as("") < 0.001


DEMAND = load("oxygen")["roots", "demand"].range
FILM = load("oxygen")["film", "coefficient"].range
SENSIBLE = {
    "roots-fill-level": lambda n, w: n.immersion < n.pot < n.height and w["answer"] < n.height,
    "roots-refill-days": lambda n, w: (
        between(1, w["answer"], 10, "day")
        and w["litres"] == refill_limit(root_zones.shared.tub(n), root_zones.shared.CLEAR).volume
        and "hung clear" in refill_limit(root_zones.shared.tub(n), root_zones.shared.CLEAR).reason
    ),
    "roots-oxygen-held": lambda n, w: w["each"] < w["full"] and n.level < Q(25, "cm"),
    "roots-hours-of-oxygen": lambda n, w: (
        DEMAND[0] <= n.demand <= DEMAND[1] and between(3, w["answer"], 24, "hour")
    ),
    "roots-hours-when-warm": lambda n, w: (
        w["answer"] < w["left"] < n.hours and w["warm"] < Q(35, "degC") and w["low"] <= n.factor <= w["high"]
    ),
    "roots-still-layer": lambda n, w: 4 * w["each"] < w["use"],  # far too slow, as it says
    "roots-share-from-air": lambda n, w: (
        FILM[0] <= n.film <= FILM[1] and DEMAND[0] <= n.demand <= DEMAND[1] and w["room"].magnitude > 0
    ),
    "roots-film-from-recovery": lambda n, w: (
        n.before < n.after < 0.8 * w["full"] and between(0.05, w["answer"], FILM[1].m_as("m/day"), "m/day")
    ),
    "roots-warmth-most": lambda n, w: (
        max(
            changes(w, "supply", "air", "demand", "reach"),
            key=changes(w, "supply", "air", "demand", "reach").get,
        )
        == "demand"
        and math.log(w["low"]) > max(changes(w, "supply", "air", "slow_reach").values())
        and w["warm"] < Q(35, "degC")
    ),
    "roots-two-papers": lambda n, w: w["in_water"] > w["floated"] > w["harm"],
    "roots-air-below-pot": lambda n, w: n.level < w["bottom"] < n.height,
    "roots-floating-loss": lambda n, w: w["head"] < w["each"],
    "roots-rain-to-limit": lambda n, w: n.water < n.lid and between(20, w["answer"], 120, "mm"),
    "roots-floating-cover": lambda n, w: w["floated"] < w["fixed"] < w["more"],
    "roots-still-day": lambda n, w: (
        still_empty_below(n, w) and w["hour"] < w["day"] < w["straight"] < n.level
    ),
    "roots-lid-gap": lambda n, w: between(0.1, w["lack"], 2, "percent") and between(0.1, w["vapour"], 3, "g"),
    "roots-full-tank": lambda n, w: w["allowed"] < w["submerged"] < w["rise"],
    "roots-worked-hours-step-4": lambda n, w: (
        w["litre"] < w["full"] and DEMAND[0] <= n.demand <= DEMAND[1] and between(1, w["hours"], 24, "hour")
    ),
    "roots-worked-refill-step-4": lambda n, w: (
        w["after"] < w["bottom"] < n.height  # the pots still hang clear
        and (w["rise"] > w["allowed"]) == (w["verdict"] == "more than")
        and w["allowed"] == Q(2, "cm")
    ),
}


def asked_about():
    """Each question, with what makes its numbers: of a worked example its stages 1 and 3."""
    yield from ((each.id, each.work, each.numbers) for each in root_zones.QUESTIONS)
    for example in root_zones.EXAMPLES:
        for stage in (1, 3):
            yield (
                f"{example.id}-step-{len(example.steps)}",
                example.work,
                lambda code, example=example, stage=stage: example.stage(stage, code).numbers,
            )


LOOKED_AT = [each for each in asked_about() if each[0] in SENSIBLE]


def test_what_is_looked_at_for_sense_is_asked():
    assert set(SENSIBLE) == {id for id, _, _ in LOOKED_AT}


@pytest.mark.parametrize(("id", "work", "numbers"), LOOKED_AT)
def test_no_root_breathes_what_is_not_there(id, work, numbers):
    drawn = {str(sorted(found.items())): found for found in map(numbers, CODES)}
    for found in drawn.values():
        assert SENSIBLE[id](found, work(found)), found


def test_rises_to_either_side_of_the_rule_are_drawn():
    example = find_example("roots-worked-refill")
    verdicts = {example.work(example.stage(3, code).numbers)["verdict"] for code in CODES[:60]}
    assert verdicts == {"within", "more than"}


def test_what_was_never_measured_is_said_to_be_so():
    texts = {each.id: str(each.ask("A1")) for each in root_zones.QUESTIONS}
    assert "no measurement" in texts["roots-share-from-air"]
    for question in root_zones.EXERCISES:
        if isinstance(question, Question) and "oxygen/roots/demand" in question.sources:
            said = question.text + question.why
            assert "no number" in said or "may use" in said or "no measurement" in said, question.id
