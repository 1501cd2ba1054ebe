"""Questions on the water budget: against hand working and stated values, and no draw without sense."""

import math
from dataclasses import replace

import pytest
from stilltank.chapters import water_budget
from stilltank.chapters.bank import ask, find, find_example
from stilltank.learning import checks
from stilltank.learning.questions import Asked, Numbers, judge
from stilltank.science import demand
from stilltank.science.crops import crop
from stilltank.units import Q

CODES = [
    f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)
]  # 540 codes


def value(question, numbers):
    return Asked(question, "A1", numbers).value


def stated(id, value):
    comparison = checks.compare(id, value)
    assert comparison.good, comparison


def test_levels_and_rain_against_hand_working():
    """60 x 40 x 18 cm = 43 200 cm3; 24 x 16 x 1.5 = 576 in3, and 231 of them are a US gallon."""
    tub = Numbers(length=Q(60, "cm"), width=Q(40, "cm"), height=Q(30, "cm"), level=Q(18, "cm"))
    assert value(find("water-litres-for-level"), tub) == pytest.approx(43.2)
    inches = Numbers(length=Q(24, "inch"), width=Q(16, "inch"), drop=Q(1.5, "inch"))
    assert value(find("water-inch-of-level"), inches) == pytest.approx(576 / 231)
    # 1.8 cm on 0.2 m2 = 3.6 L; 1.2 L of rain and 2 L by hand came in and went: 6.8 L
    week = Numbers(
        before=Q(18.2, "cm"), after=Q(16.4, "cm"), water=Q(0.2, "m^2"), rain=Q(1.2, "L"), added=Q(2, "L")
    )
    assert value(find("water-used-in-week"), week) == pytest.approx(6.8)
    # 30 mm x 0.25 m2 = 7.5 L; a fifth is 1.5 L; over 0.15 m2 that is 10 mm
    storm = Numbers(rain=Q(30, "mm"), lid=Q(0.25, "m^2"), share=Q(20, "percent"), water=Q(0.15, "m^2"))
    assert value(find("water-rain-rise"), storm) == pytest.approx(10)
    all_in = storm.but(rain=Q(10, "mm"), lid=Q(0.24, "m^2"), share=Q(100, "percent"), water=Q(0.2, "m^2"))
    stated("W67b", find("water-rain-rise").answer(all_in))
    # 24 mm x 0.2 m2 = 4.8 L in 4 days; 100 mm/h x 0.24 m2 = 24 L/h = 0.4 L/min
    assert value(
        find("water-use-a-day"), Numbers(days=Q(4, "day"), drop=Q(2.4, "cm"), water=Q(0.2, "m^2"))
    ) == pytest.approx(1.2)
    assert value(find("water-storm-flow"), Numbers(rain=Q(100, "mm"), lid=Q(0.24, "m^2"))) == pytest.approx(
        0.4
    )


def test_use_and_days_against_hand_working():
    """Six basil plants, fully grown: 1.1 x 5 mm x 6 x 0.04 m2 = 1.32 L; over 75 days one lettuce as FAO-56 says."""
    grown = Numbers(crop="basil", count=6, day=60, asked=Q(5, "mm/day"))
    assert value(find("water-daily-use"), grown) == pytest.approx(1.32)
    field = replace(demand.field_crop("lettuce"), canopy_area=Q(0.04, "m^2"))
    one = Numbers(crop=field, count=1, asked=Q(4, "mm/day"))
    season = sum(value(find("water-daily-use"), one.but(day=day)) for day in range(1, 76))
    stated("W48b", Q(season, "L"))
    # (12 - 1) cm x 0.2 m2 = 22 L; 5 x 0.22 L = 1.1 L a day; 20 days
    tub = Numbers(floor=Q(0.2, "m^2"), level=Q(12, "cm"), count=5, use=Q(220, "mL"))
    assert value(find("water-days-left"), tub) == pytest.approx(20)
    # 30 L x 1.8 = 54, less 15 L x 1.2 = 18, leaves 36 in 15 L; 40 x 1.2 - 20 x 1.6 = 16 in 20 L: it falls
    rising = Numbers(before=Q(30, "L"), left=Q(15, "L"), start=Q(1.8, "mS/cm"), uptake=Q(1.2, "mS/cm"))
    assert value(find("water-strength-after-use"), rising) == pytest.approx(2.4)
    falling = Numbers(before=Q(40, "L"), left=Q(20, "L"), start=Q(1.2, "mS/cm"), uptake=Q(1.6, "mS/cm"))
    assert value(find("water-strength-after-use"), falling) == pytest.approx(0.8)
    # the root of 0.4 / 10 is 0.2; 4 L/h x 0.2 = 0.8 L/h; 1.2 L take 1.5 h
    emitter = Numbers(rated=Q(4, "L/hour"), high=Q(10, "m"), head=Q(0.4, "m"), volume=Q(1.2, "L"))
    assert value(find("water-drip-time"), emitter) == pytest.approx(1.5)


def test_the_weight_and_the_lifting_equation_against_hand_working():
    """40 L at 20 degC weigh 40 x 0.998207 kg (IAPWS-95, as check W79b); 23 kg x 25/40 x (1 - 0.003 x 55)
    x (0.82 + 4.5/55) x 0.95 = 10.284 kg (NIOSH 94-110)."""
    tub = Numbers(length=Q(50, "cm"), width=Q(40, "cm"), level=Q(20, "cm"), empty=Q(2.4, "kg"))
    assert value(find("water-full-weight"), tub) == pytest.approx(39.928 + 2.4, abs=1e-3)
    example = find_example("water-worked-lifting")
    shown = example.work(example.shown)
    assert shown["reach"].m_as("percent") == pytest.approx(62.5)
    assert shown["limit"].m_as("kg") == pytest.approx(10.284, abs=1e-3)
    stated("SL01", shown["limit"])
    stated("SL02", (Q(20, "kg") / shown["limit"]).m_as("dimensionless"))
    assert shown["index"] == pytest.approx((39.928 + 4) / 10.284, abs=1e-3)
    # nearer and higher: 23 kg x 25/32 x (1 - 0.003 x 45) x (0.82 + 4.5/50) x 0.95 = 13.437 kg
    nearer = example.shown.but(hold=Q(32, "cm"), hands=Q(30, "cm"), bench=Q(80, "cm"))
    assert example.work(nearer)["limit"].m_as("kg") == pytest.approx(13.437, abs=1e-3)
    assert "siphon it out" in example.stage(0, "A1").text


def test_a_drop_of_the_level_is_shared_among_days_and_plants():
    """28 mm x 0.2 m2 = 5.6 L, and 1.4 L were added: 7 L in 7 days, by 5 plants: 200 mL a day each."""
    example = find_example("water-worked-use-per-plant")
    shown = example.work(example.shown)
    found = [shown[name].magnitude for name in ("missing", "drunk", "daily", "each")]
    assert found == pytest.approx([5.6, 7, 1, 200])


def quillgate_area(level):
    """cm2 of water in the Quillgate tub: 44 x 28 cm below, 52 x 35 cm at 30 cm, corners of 4.5 cm."""
    return (44 + 8 * level / 30) * (28 + 7 * level / 30) - (4 - math.pi) * 4.5**2


def test_what_the_choices_on_water_say_against_hand_working():
    # from 0.15 on day 15 to 0.9 on day 40: 0.45 in the middle of the week from day 22, and 0.66 of the next
    lengths = dict(zip(("initial", "development", "mid", "late"), (15, 25, 30, 10), strict=True))
    stages = {f"stage_{stage}": Q(days, "day") for stage, days in lengths.items()}
    climber = replace(crop("basil"), canopy_area=Q(0.04, "m^2"), kcb_mid=0.9, kcb_end=0.9, **stages)
    weeks = find("water-hot-week").work(Numbers(crop=climber, count=4, day=22, asked=Q(5, "mm/day")))
    assert weeks["used"].m_as("L") == pytest.approx(0.45 * 7 * 5 * 4 * 0.04)
    assert weeks["later"].m_as("L") == pytest.approx(0.66 * 7 * 5 * 4 * 0.04)
    # 50 mm on 0.2 m2 are 10 L, a fifth is 2 L; the area half way up the rise is near enough the mean
    storm = find("water-lidded-storm").work(Numbers(rain=Q(50, "mm"), level=Q(12, "cm")))
    assert storm["let_in"].m_as("L") == pytest.approx(2)
    assert storm["rise"].m_as("cm") == pytest.approx(2000 / quillgate_area(12.7), abs=0.01)
    assert storm["rimmed"].m_as("cm") == pytest.approx(10_000 / quillgate_area(15.3), abs=0.05)
    # 40 mm on a lid of 0.2 m2 with a rim: 8 L; to the hole, a centimetre up, all but 1 cm of it
    blocked = find("water-blocked-hole").work(Numbers(level=Q(12, "cm"), rain=Q(40, "mm"), daily=Q(1, "L")))
    assert blocked["blocked"].m_as("cm") == pytest.approx(8000 / quillgate_area(14.7), abs=0.01)
    assert blocked["out"].m_as("L") == pytest.approx(8 - quillgate_area(12.5) / 1000, abs=0.01)
    assert blocked["wait"].m_as("day") == pytest.approx(8 - quillgate_area(12.5) / 1000, abs=0.01)
    # pots end 7 cm below a rim of 30 cm and stood 2 cm deep: 25 cm; more than 2 cm may injure: Kratky (2004), abstract
    ways = find("water-drowning-way").work(Numbers(now=Q(12, "cm")))
    assert ways["rise"].m_as("cm") == pytest.approx(25 - 12)
    assert ways["added"].m_as("L") == pytest.approx(13 * quillgate_area(18.5) / 1000, abs=0.02)
    assert ways["most"].m_as("L") == pytest.approx(2 * quillgate_area(13) / 1000, abs=0.01)


def below(one, other, unit):
    return one.m_as(unit) < other.m_as(unit)


SENSIBLE = {
    "water-litres-for-level": lambda n, w: below(n.level, n.height, "cm"),
    "water-inch-of-level": lambda n, w: below(w["inch"], Q(3, "gallon"), "gallon"),
    "water-used-in-week": lambda n, w: (
        below(n.after, n.before, "cm") and not below(Q(2, "cm"), n.added / n.water, "cm")
    ),
    "water-rain-rise": lambda n, w: below(w["answer"], Q(20, "mm"), "mm"),
    "water-daily-use": lambda n, w: 0.15 <= w["coefficient"] <= 0.9,
    "water-days-left": lambda n, w: below(w["rest"], n.level, "cm"),
    "water-strength-after-use": lambda n, w: below(n.left, n.before, "L") and w["stay"] > 0,
    "water-drip-time": lambda n, w: below(n.head, n.high, "m") and below(w["flow"], n.rated, "L/hour"),
    "water-full-weight": lambda n, w: below(n.level, Q(30, "cm"), "cm"),
    "water-use-a-day": lambda n, w: below(n.drop, Q(4, "cm"), "cm"),
    "water-storm-flow": lambda n, w: below(w["answer"], Q(1, "L/min"), "L/min"),
    "water-worked-use-per-plant-step-4": lambda n, w: (
        below(Q(40, "mL/day"), w["each"], "mL/day") and below(w["each"], Q(700, "mL/day"), "mL/day")
    ),
    "water-worked-lifting-step-4": lambda n, w: (
        below(n.level, Q(30, "cm"), "cm") and below(n.hands, n.bench, "cm") and w["index"] > 1.5
    ),
    "water-hot-week": lambda n, w: below(w["used"], w["later"], "L") and below(w["later"], w["twice"], "L"),
    "water-lidded-storm": lambda n, w: (
        below(w["rise"], w["allowed"], "cm")
        and below(w["allowed"], w["rimmed"], "cm")
        and below(w["allowed"], n.rain, "cm")
    ),
    "water-blocked-hole": lambda n, w: (
        below(w["clean"], w["allowed"], "cm")
        and below(w["allowed"], w["blocked"], "cm")
        and below(n.level + w["blocked"], Q(23, "cm"), "cm")  # the pots still hang clear
        and below(Q(2, "day"), w["wait"], "day")
    ),
    "water-drowning-way": lambda n, w: below(w["allowed"], w["rise"], "cm"),
}


STEPS = {each.questions[-1].id: each for each in water_budget.EXAMPLES}


def test_what_is_looked_at_for_sense_is_asked():
    assert set(SENSIBLE) <= {each.id for each in water_budget.QUESTIONS} | set(STEPS)


@pytest.mark.parametrize("id", SENSIBLE)
def test_no_tub_runs_over_and_no_plant_drinks_backwards(id):
    if id in STEPS:
        entry = STEPS[id]
        drawn = [entry.stage(stage, code).numbers for code in CODES for stage in (1, 3)]
    else:
        entry = find(id)
        drawn = [entry.numbers(code) for code in CODES]
    for numbers in {str(sorted(each.items())): each for each in drawn}.values():
        assert SENSIBLE[id](numbers, entry.work(numbers)), numbers


def test_an_answer_is_shown_in_the_unit_that_is_asked_for():
    shown = {"water-inch-of-level": "such as 3 US gal.", "water-storm-flow": "Type a flow, such as 3 L/min."}
    for id, end in shown.items():
        assert judge(ask(id, "A1"), "").sentence.endswith(end)
