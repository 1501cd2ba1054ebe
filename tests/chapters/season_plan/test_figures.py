"""Figures and panels of chapter 6: what they say agrees with sums done by hand, and labels can be read."""

import datetime

import numpy as np
import pytest
from demo_tank import CROP, TANK
from drawn import overlaps
from stilltank.chapters.season_plan import panels
from stilltank.chapters.season_plan.figures import (
    BagBars,
    BagCosts,
    Crowd,
    CrowdBars,
    Round,
    RoundBars,
    SowingBars,
    Sowings,
)
from stilltank.science import budget
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q

LARGE = pytest.mark.parametrize("large", [False, True], ids=["plain", "large"])
SYSTEM = pytest.mark.parametrize("system", ["metric", "US"])
DAY = datetime.date(2027, 7, 1)


def crowd(chosen=2, room=3, dry=(0.0, 0.05, 0.4, 0.9)):
    return Crowd("basil", "a roof", np.array(dry), Q(36, "L"), chosen, room, DAY)


@LARGE
@SYSTEM
@pytest.mark.parametrize("room", [None, 3, 40])
def test_plants_for_a_filling(system, large, room):
    drawing = CrowdBars(system, large)
    said = drawing.show(crowd(room=room)).sentence
    assert ("18 L to each" in said) == (system == "metric")
    assert "in 5 of 100 simulated seasons. With up to 2 it is dry" in said
    assert ("The lid has room for" in said) == (room is not None)
    assert overlaps(drawing.figure) == ([], [])


def test_more_bars_take_the_place_of_fewer():
    drawing = CrowdBars()
    drawing.show(crowd())
    drawing.show(crowd(chosen=20, dry=tuple(np.linspace(0, 1, 20))))
    assert len(drawing._bars) == 20
    assert drawing._bars[19].get_height() == pytest.approx(100)
    assert "Not even one plant" in drawing.show(crowd(1, dry=(0.2, 0.9))).sentence


def test_the_bars_are_what_a_plan_of_each_number_says():
    found = panels.crowding_panel.result()
    plan = Plan.make("quillgate-tub", "snapdragon", start="2027-05-10", count=1)
    for count in (2, 5):
        assert found.dry[count - 1] == plan.change(count=count).outlook.season.share_of("run_dry")
    assert found.safe == budget.how_many_plants(plan.scenario()).by_water
    assert np.all(np.diff(found.dry) >= 0), "more plants are dry more often"


def test_the_filling_is_shared_out_by_hand():
    """In this tank 1 L is 1 cm, and the last centimetre is out of reach: what is left is shared by two."""
    plan = Plan.make(TANK, CROP, count=2)
    found = panels.crowding_panel.result(plan)
    gives = plan.outlook.volume.m_as("L") - 1.0
    assert found.each.m_as("L") == pytest.approx(gives / 2, rel=1e-9)


def sowings(wanted, cutting=(40, 20, 0)):
    days = tuple(DAY + datetime.timedelta(days=14 * n) for n in range(len(cutting)))
    return Sowings("zinnia", "a roof", days, np.array(cutting), wanted, "first flower", (DAY, None, None))


@LARGE
@pytest.mark.parametrize(("wanted", "said"), [(30, "1 July 2027"), (20, "15 July 2027"), (60, "no sowing")])
def test_the_last_useful_sowing(large, wanted, said):
    drawing = SowingBars(large=large)
    assert said in drawing.show(sowings(wanted)).sentence
    assert overlaps(drawing.figure) == ([], [])


def test_more_weeks_of_cutting_are_sown_sooner():
    last = [panels.frost_panel.result(wanted=Q(days, "day")).last for days in (14, 28, 42)]
    assert last == sorted(last, reverse=True)
    assert len(set(last)) == 3


@LARGE
@SYSTEM
def test_bags(system, large):
    costs = BagCosts(
        {"multi-nutrient fertiliser, high potassium": 0.8, "calcium nitrate fertiliser": 0.1},
        {"multi-nutrient fertiliser, high potassium": 6.5, "calcium nitrate fertiliser": 1.2},
        2, Q(1000, "g"), 96, "stem", "snapdragon", 4, "coins",
    )  # fmt: skip
    drawing = BagBars(system, large)
    said = drawing.show(costs).sentence
    assert "cost 7.7 coins" in said
    assert "0.08 for each as bought, and 0.0094 as used" in said
    assert overlaps(drawing.figure) == ([], [])


def test_bags_by_hand():
    """One kilogram each at 6.5 and 1.2 coins, four tubs, 4 plants of 6 stems: 7.7 coins over 96 stems."""
    found = panels.price_panel.result()
    assert sum(found.bought.values()) == pytest.approx(6.5 + 1.2)
    assert found.pieces == 4 * 4 * 6
    # twice the tubs take twice as much, and the same two bags hold it
    twice = panels.price_panel.result(tubs=8)
    assert sum(twice.used.values()) == pytest.approx(2 * sum(found.used.values()))
    assert twice.bags == found.bags == 2
    assert panels.price_panel.result(tubs=40).bags > 2
    with pytest.raises(Problem):
        panels.price_panel.result(bag=Q(0, "g"))


@LARGE
@SYSTEM
@pytest.mark.parametrize("tanks", [1, 4])
def test_a_round(system, large, tanks):
    days = tuple(DAY + datetime.timedelta(days=7 * n) for n in range(5))
    litres = np.tile([0.0, 1.0, 2.0, 3.0, 2.0], (tanks, 1))
    total = np.array([0.5, 1.0, 1.5])[:, None] * litres.sum(axis=0)
    names = ("basil", "calendula", "snapdragon", "cosmos")[:tanks]
    drawing = RoundBars(system, large)
    said = drawing.show(Round(days, names, litres, total, (0.1, 0.2, 0.3, 0.25)[:tanks], 7)).sentence
    assert "the most is carried on 22 July" in said
    assert (f"{3 * tanks} L in half" in said) == (system == "metric")
    assert overlaps(drawing.figure) == ([], [])


def test_a_round_is_the_sum_of_its_tanks():
    found = panels.round_panel.result()
    assert found.names == ("snapdragon", "cosmos", "calendula", "basil")
    assert found.days[0].isoformat() == "2027-05-13", "nobody tops up on the first day"
    # at most 1 cm on four tubs of about 0.15 m2 is 6 L
    assert 4 < found.total[1].max() < 6.2
    plan = Plan.make("quillgate-tub", "basil", count=4)
    one, three = (panels.round_panel.result(plan, tubs=tubs) for tubs in (1, 3))
    assert three.total == pytest.approx(3 * one.total)
    assert three.dry == one.dry


def test_nothing_to_carry_is_said():
    days = (DAY, DAY + datetime.timedelta(days=7))
    none = Round(days, ("lettuce",), np.zeros((1, 2)), np.zeros((3, 2)), (0.0,), 7)
    assert "nothing is carried" in RoundBars().show(none).sentence
