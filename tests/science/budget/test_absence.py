"""A tank whose grower is away: worked by hand, day by day, and held against the routines of topping up."""

from datetime import date

import numpy as np
import pytest
from demo_tank import ALL, CROP, NONE, TANK
from stilltank.science import budget, crops, tank, weather
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

SITE = weather.site("quillgate")


def steady(**given):
    """Plants that drink 0.5 L, half a centimetre, a day from 10 L, with nothing left to chance."""
    standard = {
        "start": "2027-06-01",
        "days": 40,
        "members": 3,
        "first_level": Q(10, "cm"),
        "reference_et": Q(5, "mm/day"),
        "exposure": ALL,
        "coefficient_factor": ALL,
        "growth_timing": ALL,
        "daily_variation": NONE,
        "rain_share": Q(0, "percent"),
    }
    return budget.Scenario.make(TANK, crops.Plants(CROP, 1), SITE, **standard | given)


def test_what_lasts_is_left_alone():
    """On the evening of 1 June 9.5 cm are left; twelve days later 3.5 cm, above the 3 cm where roots lose it."""
    found = steady().absence("2027-06-01", "2027-06-13")
    assert (found.alone, found.help, found.days) == (True, None, 12)
    assert found.level.m_as("cm") == pytest.approx(9.5)
    assert found.nobody.level.m_as("cm") == pytest.approx([3.5] * 3)
    assert found.looks == (date(2027, 6, 7),)  # once, in the middle
    assert (found.nobody.dry, found.nobody.above, found.neighbour.poured.m_as("L").sum()) == (0, 0, 0)
    assert not steady().absence("2027-06-01", "2027-06-14").alone  # 3 cm


def test_the_least_help_by_hand():
    """Nineteen days would take all 9.5 L. Two pours are too few: 3 L at most, and 3 cm would be left. Every 6 days at
    the mark of 9.5 cm, a bottle of 1.5 L, 1.5 cm on 1000 cm2: 7, 5.5 and 4 cm are seen, and 4.5 cm are left. Bottles of
    1 L leave 3 cm on the evening before the third; with marks of 4.5 or 7 cm the first one is not poured."""
    found = steady().absence("2027-06-01", "2027-06-20")
    helped = found.help
    assert (helped.every, helped.pour.vessel, helped.pour.count, helped.enough) == (6, "bottle", 1, True)
    assert helped.pour.volume.m_as("L") == 1.5
    assert helped.visits == tuple(date(2027, 6, day) for day in (7, 13, 19)) == found.looks
    assert helped.mark.m_as("cm") == pytest.approx(9.5)
    assert helped.rise.m_as("cm") == pytest.approx(1.5)
    assert helped.never_above.m_as("cm") == pytest.approx(11)
    assert found.neighbour.level.m_as("cm") == pytest.approx([4.5] * 3)
    assert found.neighbour.poured.m_as("L") == pytest.approx([4.5] * 3)
    assert (found.neighbour.dry, found.neighbour.above, found.blocked.above) == (0, 0, 0)
    assert found.call_below.m_as("cm") == pytest.approx(4)  # the lowest that is seen in the morning
    assert found.call_above.m_as("cm") == pytest.approx(11)  # no pour passes it, and the level only falls
    # alone it falls to 3 cm in 13 days; then the plants get less and less, and 20 days later it is dry
    assert 1 < found.nobody.level[1].m_as("cm") < 1.5
    assert steady().absence("2027-06-01", "2027-07-09").nobody.dry == 1
    assert (found.neighbour.dry, found.neighbour.above, found.blocked.above) == (0, 0, 0)


def test_marks_lie_on_the_ruler_that_is_used():
    found = steady().absence("2027-06-01", "2027-06-20", ruler=Q(1 / 4, "inch"))
    quarters = found.help.mark.m_as("inch") * 4
    assert quarters == pytest.approx(round(quarters))


def test_it_begins_with_the_level_that_was_read():
    found = steady().absence("2027-06-05", "2027-06-12", Q(9, "cm"))
    assert found.level.m_as("cm") == pytest.approx(9)
    assert found.expected.m_as("cm") == pytest.approx([7.5] * 3)
    assert found.nobody.level.m_as("cm") == pytest.approx([5.5] * 3)


def test_what_works_without_anyone_goes_on_and_hands_do_not():
    away = ("2027-06-01", "2027-06-20")
    drip = steady(top_up=budget.drip(Q(0.5, "L/hour"), Q(1, "hour"))).absence(*away)
    assert drip.alone
    assert drip.daily.m_as("L") == 0.5
    # 10 L, and 0.5 L in before 0.5 L are drunk
    assert drip.nobody.level.m_as("cm") == pytest.approx([10] * 3)
    valve = steady(top_up=budget.float_valve(Q(8, "cm"))).absence(*away)
    assert valve.nobody.level.m_as("cm") == pytest.approx([8] * 3)
    hands = steady(top_up=budget.by_hand(2, Q(9, "cm"), Q(1, "cm"))).absence("2027-06-09", "2027-06-15")
    # every second day 1 L, up to 9 cm: 8.5 cm in the evening of a visit, such as 9 June; then half a centimetre a day
    assert hands.level.m_as("cm") == pytest.approx(8.5)
    assert hands.nobody.level.m_as("cm") == pytest.approx([5.5] * 3)


def test_a_blocked_hole_keeps_the_rain():
    """Rain on the lid, all of it: what a hole at the first level lets out stays in where it is blocked."""
    tub = tank.preset("quillgate-tub")
    wet = budget.Scenario.make(
        tub,
        crops.Plants("lettuce", 1),
        weather.site("seattle"),
        start="2027-04-01",
        days=90,
        overflow_height=Q(25.5, "cm"),
        rain_share=Q(100, "percent"),
    )
    found = wet.absence("2027-04-10", "2027-05-10")
    assert found.alone
    assert found.blocked.level[1] > found.neighbour.level[1] + Q(1, "cm")
    assert found.neighbour.level[2] <= Q(25.5 + 1e-6, "cm")


def test_the_same_bottles_on_dates_leave_the_same_level():
    """The same bottles poured on dates leave the same level."""
    found = steady().absence("2027-06-01", "2027-06-25")
    helped = found.help
    litres = helped.pour.volume.m_as("L")
    volumes, level = {}, 9.5
    for day in range(1, 25):
        if day % helped.every == 0 and day < 24 and level < helped.mark.m_as("cm") - 1e-9:
            volumes[str(np.datetime64("2027-06-01") + np.timedelta64(day, "D"))] = Q(litres, "L")
            level += litres
        level -= 0.5
    dated = steady(top_up=volumes).ensemble()
    assert dated.level.m_as("cm")[0, 24] == pytest.approx(found.neighbour.level[1].m_as("cm"))


@pytest.mark.parametrize(
    ("given", "error", "words"),
    [
        (("2027-06-09", "2027-06-09"), OutOfRange, "later day"),
        (("2027-05-09", "2027-06-09"), OutOfRange, "runs from 2027-06-01 to 2027-07-10"),
        (("2027-06-09", "2027-08-09"), OutOfRange, "later end"),
        (("soon", "2027-06-09"), Unreadable, "Leaving"),
        (("2027-06-09", None), Unreadable, "Coming back"),
        (("2027-06-02", "2027-06-09", 5), UnitNeeded, "level"),
        (("2027-06-02", "2027-06-09", Q(2, "m")), OutOfRange, "2 m"),
        (("2027-06-02", "2027-06-09", Q(1, "inch")), OutOfRange, "1 in on the day of leaving"),
        (("2027-06-20", "2027-06-25"), OutOfRange, "too low to leave"),
    ],
)
def test_an_absence_that_cannot_be_says_why(given, error, words):
    with pytest.raises(error, match=words):
        steady().absence(*given)


def test_a_tank_without_pots_is_refused():
    import dataclasses

    bare = dataclasses.replace(TANK, net_pot_depth=None)
    scenario = budget.Scenario.make(
        bare, crops.Plants("lettuce", 1), SITE, start="2027-06-01", days=20, first_level=Q(10, "cm")
    )
    with pytest.raises(Problem, match="net pots"):
        scenario.absence("2027-06-02", "2027-06-09")
