"""Roots in solution and in air as the level falls: by hand, by limits, and as budgets hand levels over."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import budget, crops, roots, tank
from stilltank.science.tank import Box, Cylinder
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))  # pots hang at 25 cm
AT_ONCE = Q(1e-6, "day")
DEEP = Q(1, "m/day")  # roots that reach the floor on the first day


def cm(quantity):
    return quantity.m_as("cm")


def test_one_step_by_hand():
    """Pots at 25, level 20 and held: 5 cm bare. Used to air after 1 d with 3 d: 5 (1 - exp(-1/3)) = 1.417 cm."""
    found = roots.root_course(TUB, Q([20, 20, 20], "cm"), extension=DEEP)
    expected = [5 * (1 - math.exp(-day / 3)) for day in (1, 2, 3)]
    assert expected[0] == pytest.approx(1.417, abs=1e-3)
    assert cm(found.in_air) == pytest.approx(expected)
    assert cm(found.in_air + found.bared) == pytest.approx([5, 5, 5])
    assert cm(found.in_water) == pytest.approx([20, 20, 20])
    assert found.share.m_as("") == pytest.approx([0.8 * length / 25 for length in expected])


def test_roots_used_to_air_at_once_follow_the_level():
    """Share = 0.8 (25 - level)/25 where adaptation takes no time; at 3 cm of 25 it is 0.704."""
    level = np.linspace(26, 3, 24)
    found = roots.root_course(TUB, Q(level, "cm"), adaptation=AT_ONCE, extension=DEEP)
    bare = np.maximum(25 - level, 0)
    assert found.share.m_as("") == pytest.approx(0.8 * bare / (bare + level))
    assert found.share.m_as("")[-1] == pytest.approx(0.704)
    assert cm(found.air_zone) == pytest.approx(32 - level)
    assert found.first_clear == 2  # 24 cm, the first below 25


def test_tips_grow_down_a_centimetre_a_day():
    """After d days the tips hang at 25 - d; with the level held at 24 there is 1 cm of air at most."""
    found = roots.root_course(TUB, Q(np.full(40, 24), "cm"), adaptation=AT_ONCE)
    day = np.arange(1, 41)
    assert cm(found.in_water) == pytest.approx(np.clip(day - 1, 0, 24))
    assert cm(found.in_air) == pytest.approx(np.minimum(day, 1))


def test_a_large_refill_puts_roots_under_water_and_a_small_one_does_less():
    """Level 15 for long, then up to 20 or 16.5: 10 cm in air, of which 5 or 1.5 come under water."""
    for top, expected, forbidden in ((20, 5, True), (16.5, 1.5, False)):
        level = Q([*np.full(60, 15.0), top, top], "cm")
        found = roots.root_course(TUB, level, first_level=Q(27, "cm"), extension=DEEP)
        assert cm(found.submerged)[60] == pytest.approx(expected, abs=1e-6)
        assert cm(found.submerged)[:60] == pytest.approx(np.zeros(60))
        assert found.too_far[60] == forbidden
        assert found.share[60] < found.share[59]
        assert cm(found.in_air)[60] == pytest.approx(10 - expected, abs=1e-6)


def test_what_is_under_water_within_a_day_counts():
    """Rain fills up and plants drink again: the level at the day's end alone would not show it."""
    plants = crops.Plants("lettuce", 4)
    setup = {"start": "2019-05-10", "days": 40, "rain_share": Q(0, "percent")}
    quiet = budget.season("quillgate-tub", plants, "quillgate", **setup)
    rained = budget.season(
        "quillgate-tub",
        plants,
        "quillgate",
        **setup,
        top_up={"2019-06-15": Q(8, "L")},
        first_level=Q(20, "cm"),
    )
    tub = tank.preset("quillgate-tub")
    assert not roots.root_course(tub, quiet.levels).too_far.any()
    wet = roots.root_course(tub, rained.levels)
    day = 36
    assert wet.too_far[day]
    assert wet.peak[day] > wet.level[day]
    assert wet.submerged[day] > Q(1, "cm")


@given(
    st.lists(st.floats(1, 31), min_size=1, max_size=30),
    st.floats(0.1, 5),
    st.floats(0.1, 9),
)
@settings(deadline=None)
def test_lengths_add_up_and_shares_are_shares(level, speed, time):
    found = roots.root_course(TUB, Q(level, "cm"), extension=Q(speed, "cm/day"), adaptation=Q(time, "day"))
    day = np.arange(1, len(level) + 1)
    tip = np.maximum(25 - speed * day, 0)
    length = cm(found.in_air + found.bared + found.in_water)
    expected = np.where(np.array(level) > tip, np.maximum(level, 25) - tip, 25 - tip)
    assert length == pytest.approx(expected)
    for share in (found.share, found.low, found.high):
        assert np.all((share.m_as("") >= 0) & (share.m_as("") <= 1))
    assert np.all(found.low <= found.share + Q(1e-12, ""))
    assert np.all(found.share <= found.high + Q(1e-12, ""))
    assert np.all(cm(found.submerged) >= 0)


def test_ensembles_seasons_and_levels_agree():
    plants = crops.Plants("lettuce", 4)
    tub = tank.preset("quillgate-tub")
    many = budget.ensemble(tub, plants, "quillgate", start="2027-05-10", members=20, days=60)
    found = roots.root_course(tub, many.levels)
    assert found.share.shape == (20, 60)
    assert found.first_clear.shape == (20,)
    np.testing.assert_array_equal(found.first_clear, roots.day_pots_clear(tub, many.level))
    dry = budget.ensemble(
        tub, plants, "quillgate", start="2027-05-10", members=20, days=60, rain_share=Q(0, "percent")
    )  # without rain the levels at the day's end tell all
    by_levels = roots.root_course(tub, dry.level, first_level=tub.level(dry.filled))
    assert cm(by_levels.in_air) == pytest.approx(cm(roots.root_course(tub, dry.levels).in_air), abs=1e-6)
    one = budget.season(tub, plants, "quillgate", start="2019-05-10")
    single = roots.root_course(tub, one.levels)
    assert single.share.shape == (len(one),)
    assert single.dates[0] == np.datetime64("2019-05-10")
    assert isinstance(single.first_clear, float)
    assert "pots hang clear" in str(single)
    assert "never" in str(roots.root_course(TUB, Q([27, 26], "cm")))


def test_the_rule_is_the_one_of_the_budget():
    """A season topped up too far by one centimetre, and one just within the two of Kratky (2004)."""
    for rise, forbidden in ((1.9, False), (3, True)):
        level = Q([20, 18, 16, 16 + rise], "cm")
        assert roots.root_course(TUB, level, first_level=Q(27, "cm")).too_far.tolist() == [
            False,
            False,
            False,
            forbidden,
        ]


# Demand


def test_demand_by_hand():
    """exp(0.12 (21 - 42)) * 4 = 0.3218; 10 degC warmer twice as much; constant from day 42 on."""
    found = roots.oxygen_demand(Q([21, 42, 70], "day"), Q(25, "degC")).m_as("g/m^2/day")
    assert found == pytest.approx([4 * math.exp(-2.52), 4, 4])
    warm = roots.oxygen_demand(Q(42, "day"), Q(35, "degC"), q10=3, mature=Q(3.1, "g/m^2/day"))
    assert warm.m_as("g/m^2/day") == pytest.approx(9.3)
    table = roots.oxygen_demand(Q([10, 20], "day"), Q([[15], [25], [35]], "degC"))
    assert table.shape == (3, 2)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: roots.root_course(TUB, [25, 24]), Problem, "list"),
        (lambda: roots.root_course(TUB, None), Problem, "NoneType"),
        (lambda: roots.root_course(TUB, Q(25, "cm")), Problem, "each day"),
        (lambda: roots.root_course(TUB, Q([], "cm")), Problem, "each day"),
        (lambda: roots.root_course(TUB, Q([25, 50], "cm")), OutOfRange, "rim"),
        (lambda: roots.root_course(TUB, Q([25, np.nan], "cm")), OutOfRange, "not a number"),
        (lambda: roots.root_course(TUB, Q([25, 24], "L")), UnitNeeded, "volume"),
        (lambda: roots.root_course(Cylinder(Q(9, "cm"), Q(9, "cm")), Q([5], "cm")), Problem, "net_pot_depth"),
        (lambda: roots.root_course("tub", Q([5], "cm")), Problem, "needs a tank for `tank`"),
        (lambda: roots.root_course(TUB, Q([25], "cm"), extension=Q(0, "cm/day")), OutOfRange, "extension"),
        (lambda: roots.root_course(TUB, Q([25], "cm"), adaptation=3), UnitNeeded, "adaptation"),
        (lambda: roots.root_course(TUB, Q([25], "cm"), supply=5), OutOfRange, "supply"),
        (lambda: roots.root_course(TUB, Q([25], "cm"), supply="all"), Unreadable, "supply"),
        (lambda: roots.oxygen_demand(42, Q(25, "degC")), UnitNeeded, "age"),
        (lambda: roots.oxygen_demand(Q(-1, "day"), Q(25, "degC")), OutOfRange, "not negative"),
        (lambda: roots.oxygen_demand(Q(1, "day"), Q(25, "degC"), q10=20), OutOfRange, "Q10"),
        (lambda: roots.oxygen_demand(Q(1, "day"), Q(55, "degC")), OutOfRange, "between 0 °C and 40 °C"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


def test_a_season_needs_no_first_level():
    season = budget.season(
        "quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2019-05-10", days=5
    )
    with pytest.raises(Problem, match="leave `first_level` out"):
        roots.root_course(tank.preset("quillgate-tub"), season.levels, first_level=Q(20, "cm"))
