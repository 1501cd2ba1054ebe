"""Questions on the season plan: against hand working, and no draw without sense."""

import datetime

import pytest
from stilltank.chapters import season_plan
from stilltank.chapters.bank import find, find_example
from stilltank.learning.questions import Asked, Numbers
from stilltank.science import weather
from stilltank.season.plan import Plan
from stilltank.units import Q

CODES = [
    f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)
]  # 540 codes


def value(id, **numbers):
    return Asked(find(id), "A1", Numbers(numbers)).value


def test_water_against_hand_working():
    # 5 x 14 = 70 L, and 30 are in the tub; (36 - 4) / 4 = 8
    assert value("season-carried-in-all", gives=Q(30, "L"), count=5, each=Q(14, "L")) == pytest.approx(40)
    assert value("season-litres-each", volume=Q(36, "L"), rest=Q(4, "L"), count=4) == pytest.approx(8)
    # 1.6 x 14 = 22.4, less 8.4 = 14 L in 14 days; 0.6 L at 1.5 L/h = 0.4 h = 24 min
    assert value(
        "season-drip-a-day", days=Q(14, "day"), daily=Q(1.6, "L/day"), spare=Q(8.4, "L")
    ) == pytest.approx(1)
    assert value("season-drip-time", flow=Q(1.5, "L/hour"), need=Q(0.6, "L/day")) == pytest.approx(24)
    # three tubs, 2 cm on 0.1494 m2 each: the tapered tub worked out as in tests/science/tank
    found = value("season-litres-to-carry", tubs=3, level=Q(14, "cm"), rise=Q(2, "cm"))
    assert found == pytest.approx(3 * 2 * 1.494, rel=0.005)


def test_shopping_against_hand_working():
    # 4 x 36 x 0.6 = 86.4 g, less 20; 3 bags of 500 g are 1500 g, less 1150
    salt = value("season-salt-for-bench", tubs=4, volume=Q(36, "L"), dose=Q(0.6, "g/L"), left=Q(20, "g"))
    assert salt == pytest.approx(66.4)
    assert value("season-left-in-bags", need=Q(1150, "g"), bag=Q(500, "g")) == pytest.approx(350)
    assert value("season-left-in-bags", need=Q(1000, "g"), bag=Q(500, "g")) == pytest.approx(0, abs=1e-9)
    # 15.5 % of 5 kg is 775 g for 12 coins
    coin = value("season-nitrogen-for-coin", bag=Q(5, "kg"), price=12, share=Q(15.5, "percent"))
    assert coin == pytest.approx(775 / 12)
    # 18 / 1.55 = 11.61 coins a kilogram; 8 / 0.03 = 266.7
    dear = value(
        "season-times-as-dear",
        bag=Q(10, "kg"),
        share=Q(15.5, "percent"),
        price=18,
        other_bag=Q(0.5, "kg"),
        other_share=Q(6, "percent"),
        other_price=8,
    )
    assert dear == pytest.approx((8 / 0.03) / (18 / 1.55))
    assert value("season-salt-in-a-stem", cost=0.5, count=6, stems=12, sells=0.25) == pytest.approx(50 / 18)
    assert value("season-bench-load", tubs=4, empty=Q(2.4, "kg"), volume=Q(30, "L")) == pytest.approx(129.6)


def test_the_way_back_from_the_cold():
    """681.3 degree-days above 4.586 degC (MUNIR2015, as fitted in chapter 5): 50.8 days at 18 degC; and 28 + 35."""
    found = value("season-last-sowing", seedling=Q(28, "day"), warmth=Q(18, "degC"), weeks=5)
    assert found == pytest.approx(28 + 681.3 / (18 - 4.586) + 35, abs=0.05)


def test_the_shopping_list():
    """12 x 36 x 0.6 = 259.2; 400 x 0.3 = 120; less 80 = 299.2; two bags of 250 g leave 200.8."""
    example = find_example("season-worked-shopping")
    shown = example.work(example.shown)
    found = [shown[name].m_as("g") for name in ("filling", "added", "buy", "over")]
    assert found == pytest.approx([259.2, 120, 299.2, 200.8])


def test_two_weeks_away():
    """5 x 0.04 m2 x 1.1 x 5 mm = 1.1 L a day, 15.4 L in all; 5 cm on 0.1427 m2 = 7.13 L; 8.27 L over 14 days."""
    example = find_example("season-worked-two-weeks")
    shown = example.work(example.shown)
    assert [shown[name].m_as("L") for name in ("daily", "used", "gives")] == pytest.approx(
        [1.1, 15.4, 7.13], abs=0.01
    )
    assert shown["drip"].m_as("L/day") == pytest.approx(8.27 / 14, abs=0.001)


def test_the_frost_that_the_vote_names_is_that_of_the_record():
    _, autumn = weather.frost_dates(weather.record("quillgate"))
    for share, day in ((0.1, 10), (0.5, 24)):
        assert autumn.date(share, 2027) == datetime.date(2027, 10, day)
        assert f"{day} October" in find("season-late-batch").text


def test_fewer_plants_are_the_safer_ones():
    """The tub of the vote as a plan of its own: crop, day and place are those of the panels."""
    told = find("season-too-many").work(Numbers(crop="basil", count=8, fewer=4))
    assert told["after"] < told["before"] - 10
    plan = Plan.make("quillgate-tub", "basil", start="2027-05-10", count=8)
    scenario = plan.scenario().change(days=75, members=100, overflow_height=plan.tank.height)
    assert told["before"] == pytest.approx(100 * scenario.ensemble().share_of("run_dry"), abs=4)


SENSIBLE = {
    "season-litres-to-carry": lambda n, w: w["each"] < Q(3.2, "L"),  # a can a tub
    "season-left-in-bags": lambda n, w: 1 <= w["bags"] <= 7 and w["answer"] < n.bag,
    "season-salt-for-bench": lambda n, w: n.left < w["needed"],
    "season-carried-in-all": lambda n, w: w["used"] > n.gives,
    "season-nitrogen-for-coin": lambda n, w: w["answer"] < w["held"],
    "season-drip-a-day": lambda n, w: w["answer"] < n.daily,
    "season-last-sowing": lambda n, w: Q(40, "day") < w["flower"] < Q(70, "day"),
    "season-times-as-dear": lambda n, w: w["dear"] > 2 * w["cheap"],
    "season-salt-in-a-stem": lambda n, w: w["earned"] > n.cost,
    "season-cheaper-bag": lambda n, w: w["large"] < 0.8 * w["small"],
    "season-too-many": lambda n, w: w["after"] < w["before"] - 10,
    "season-overlap": lambda n, w: w["low"] < w["other_low"] < w["high"] < w["other_high"],
    "season-litres-each": lambda n, w: n.rest < n.volume / 2,
    "season-drip-time": lambda n, w: w["answer"] < Q(2, "hour"),
    "season-bench-load": lambda n, w: n.empty < w["water"],
    "season-worked-shopping-step-4": lambda n, w: Q(0, "g") < w["over"] < n.bag and 1 <= w["bags"] <= 6,
    "season-worked-two-weeks-step-4": lambda n, w: (
        Q(0.15, "L/day") < w["drip"] < Q(1.6, "L/day") and w["gives"] < w["used"]
    ),
}
STEPS = {each.questions[-1].id: each for each in season_plan.EXAMPLES}


def test_what_is_looked_at_for_sense_is_asked():
    assert set(SENSIBLE) <= {each.id for each in season_plan.QUESTIONS} | set(STEPS)


@pytest.mark.parametrize("id", SENSIBLE)
def test_no_draw_is_silly(id):
    if id in STEPS:
        example = STEPS[id]
        drawn = [example.stage(stage, code).numbers for code in CODES for stage in (1, 2, 3)]
        work = example.work
    else:
        question = next(each for each in season_plan.QUESTIONS if each.id == id)
        drawn = [question.numbers(code) for code in CODES]
        work = question.work
    for numbers in {str(sorted(each.items())): each for each in drawn}.values():
        assert SENSIBLE[id](numbers, work(numbers)), numbers


def test_a_silly_draw_would_be_seen():
    """What the checks above say of a drip that gives more than the plants use, and of a bag that is no bargain."""
    assert not SENSIBLE["season-drip-a-day"](Numbers(daily=Q(1, "L/day")), {"answer": Q(1.2, "L/day")})
    assert not SENSIBLE["season-cheaper-bag"](Numbers(), {"small": 10, "large": 9})
