"""Root zones: geometry by hand, the refill rule, rain and the overflow hole."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import budget, crops, roots, weather
from stilltank.science.hydraulics import level_rise, rain_into_tank
from stilltank.science.tank import Box, Cylinder, TaperedBox, preset
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

TUB = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))  # 0.24 m2
TAPERED = TaperedBox(
    Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")
)


def cm(quantity):
    return quantity.m_as("cm")


def test_fill_level():
    """32 - 7 + 2 = 27 cm; 1 to 3 cm of immersion is what Kratky's papers span."""
    assert cm(roots.fill_level(TUB)) == pytest.approx(27)
    assert cm(roots.fill_level(TUB, Q(1.3, "cm"))) == pytest.approx(26.3)


def test_zones_by_hand():
    zones = roots.zones(TUB, Q([27, 25, 20], "cm"))
    assert cm(zones.air_zone) == pytest.approx([5, 7, 12])
    assert cm(zones.immersion) == pytest.approx([2, 0, 0])
    assert cm(zones.below_pot) == pytest.approx([0, 0, 5])
    assert cm(zones.wet_depth) == pytest.approx([27, 25, 20])
    assert zones.pots_clear.tolist() == [False, False, True]
    assert "12.0 cm of air over 20.0 cm" in str(roots.zones(TUB, Q(20, "cm")))
    assert "stand 2.0 cm in it" in str(roots.zones(TUB, Q(27, "cm")))
    assert "5.0 to 12.0 cm" in str(zones)


@given(st.floats(0, 32))
@settings(deadline=None)
def test_the_heights_add_up(level):
    zones = roots.zones(TUB, Q(level, "cm"))
    assert cm(zones.air_zone + zones.wet_depth) == pytest.approx(32)
    assert cm(zones.level + zones.below_pot - zones.immersion) == pytest.approx(25)
    assert zones.pots_clear == (cm(zones.below_pot) > 1e-7)


def test_the_2005_trial():
    """Kratky (2005), abstract: frame 8.9 cm, solution 7.6 cm; harvested at 1.3 cm, so 7.6 of 8.9 cm was air."""
    frame = Box(Q(1.434, "m"), Q(1, "m"), Q(8.9, "cm"), net_pot_depth=Q(3.3, "cm"))
    assert cm(roots.fill_level(frame)) == pytest.approx(7.6)
    assert cm(roots.zones(frame, Q(1.3, "cm")).air_zone) == pytest.approx(7.6)


def test_day_pots_hang_clear():
    falling = Q(np.linspace(27, 17, 11), "cm")  # a centimetre a day
    assert roots.day_pots_clear(TUB, falling) == 3  # 24 cm; at 25 cm the pot still touches
    assert roots.day_pots_clear(TUB, Q([27, 26.5], "cm")) is None
    members = Q(np.array([[27, 24, 23], [27, 26, 25], [24, 27, 27]]), "cm")
    np.testing.assert_array_equal(roots.day_pots_clear(TUB, members), [1, np.nan, 0])


def test_refill_after_the_pots_hang_clear():
    """Kratky (2004), abstract: at most 2 cm; on 0.24 m2 that is 4.8 L."""
    limit = roots.refill_limit(TUB, Q(15, "cm"))
    assert cm(limit.rise) == pytest.approx(2)
    assert limit.volume.m_as("L") == pytest.approx(4.8)
    assert cm(limit.highest_level) == pytest.approx(17)
    assert "2 cm" in limit.reason
    assert "Kratky 2004" in str(limit)


def test_refill_before_the_pots_hang_clear():
    limit = roots.refill_limit(TUB, Q(25.5, "cm"))
    assert cm(limit.rise) == pytest.approx(1.5)
    assert "no higher" in limit.reason


def test_refill_never_passes_the_level_at_planting():
    for level, immersion, rise in ((24.5, 1, 1.5), (24.5, 3, 2), (27, 2, 0), (30, 2, 0)):
        limit = roots.refill_limit(TUB, Q(level, "cm"), Q(immersion, "cm"))
        assert cm(limit.rise) == pytest.approx(rise)
    assert "add nothing" in roots.refill_limit(TUB, Q(30, "cm")).reason
    assert "nearer limit" in roots.refill_limit(TUB, Q(24.5, "cm"), Q(1, "cm")).reason


def test_air_roots_are_remembered():
    """A refill that reached the pots again does not undo the air roots: still 2 cm, not up to the start."""
    deep = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(9, "cm"))
    level = Q(23.5, "cm")
    assert cm(roots.refill_limit(deep, level, Q(5, "cm")).rise) == pytest.approx(4.5)
    assert cm(roots.refill_limit(deep, level, Q(5, "cm"), hung_clear=True).rise) == pytest.approx(2)


def test_a_refill_limit_takes_zones_and_arrays():
    levels = Q([26, 20, 5], "cm")
    many = roots.refill_limit(TAPERED, levels)
    assert cm(many.rise) == pytest.approx([1, 2, 2])
    for i, level in enumerate(levels):
        one = roots.refill_limit(TAPERED, roots.zones(TAPERED, level))
        assert one.volume.m_as("L") == pytest.approx(many.volume[i].m_as("L"))
    assert many.volume[1] > many.volume[2]  # the tub widens upwards
    assert "at most 2.0 cm" in str(many)


@given(st.floats(0, 32), st.floats(0, 7))
@settings(deadline=None)
def test_a_refill_limit_is_safe(level, immersion):
    limit = roots.refill_limit(TAPERED, Q(level, "cm"), Q(immersion, "cm"))
    start = cm(roots.fill_level(TAPERED, Q(immersion, "cm")))
    assert cm(limit.rise) >= 0
    assert cm(limit.highest_level) <= max(start, level) + 1e-9
    if level < 25 - 1e-6:
        assert cm(limit.rise) <= 2 + 1e-9
    assert limit.volume.m_as("L") == pytest.approx(
        (TAPERED.volume(limit.highest_level) - TAPERED.volume(Q(level, "cm"))).m_as("L"), abs=1e-9
    )


def test_rain_for_a_rise():
    """On a straight tub whose lid is its surface all the rain counts once: 20 mm for 2 cm; a quarter of it, 80 mm."""
    all_of_it = {"rain_share": 1}
    assert roots.rain_for_rise(TUB, Q(15, "cm"), Q(2, "cm"), **all_of_it).m_as("mm") == pytest.approx(20)
    assert roots.rain_for_rise(TUB, Q(15, "cm"), rain_share=Q(25, "percent")).m_as("mm") == pytest.approx(80)
    wide = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"), lid_area=Q(0.48, "m^2"))
    assert roots.rain_for_rise(wide, Q(15, "cm"), **all_of_it).m_as("mm") == pytest.approx(10)
    assert roots.rain_for_rise(TUB, Q([15, 25.5], "cm"), **all_of_it).m_as("mm") == pytest.approx([20, 15])


def test_rain_for_a_rise_is_the_rain_of_a_season_that_rises_so():
    """One question, one answer: what a season and a single rain take for the share of the rain that gets in."""
    rain = roots.rain_for_rise(TUB, Q(15, "cm"), Q(2, "cm"))
    assert level_rise(TUB, Q(15, "cm"), rain_into_tank(TUB, rain)).m_as("cm") == pytest.approx(2)
    place = {"latitude": Q(41.5, "degree"), "altitude": Q(210, "m")}
    days = weather.Weather(["2027-05-10"], Q(20, "degC"), Q(12, "degC"), rain, **place)
    caught = budget.season(TUB, crops.Plants("lettuce", 1), days, start="2027-05-10", days=1)
    caught = caught.table["rain in (L)"].iloc[0]
    assert caught == pytest.approx((TUB.area(Q(15, "cm")) * Q(2, "cm")).m_as("L"))


@given(st.floats(1, 24), st.floats(0.05, 1))
@settings(deadline=None)
def test_rain_and_refill_say_the_same(level, share):
    depth = roots.rain_for_rise(TAPERED, Q(level, "cm"), rain_share=share)
    caught = depth * TAPERED.lid_area * share
    assert caught.m_as("L") == pytest.approx(roots.refill_limit(TAPERED, Q(level, "cm")).volume.m_as("L"))


def test_overflow_hole():
    hole = roots.overflow_height(TUB, freeboard=Q(0, "cm"))
    assert cm(hole.height) == pytest.approx(27)
    assert cm(hole.from_rim) == pytest.approx(5)
    assert cm(roots.overflow_height(TUB).height) == pytest.approx(27.5)
    assert "keep rain out" in str(hole)


@pytest.mark.parametrize("name", ["quillgate-tub", "tote-60", "box-30", "bucket-20", "jar-4", "bed-90"])
def test_ready_made_tanks_have_their_zones(name):
    tank = preset(name)
    start = roots.fill_level(tank)
    assert Q(0, "cm") < start < tank.height
    assert roots.overflow_height(tank).height < tank.height
    assert roots.zones(tank, start).immersion.m_as("cm") == pytest.approx(2)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: roots.fill_level(Cylinder(Q(16, "cm"), Q(20, "cm"))), Problem, "net_pot_depth"),
        (lambda: roots.fill_level(TUB, 2), UnitNeeded, "immersion"),
        (lambda: roots.fill_level(TUB, Q(8, "cm")), OutOfRange, "7 cm deep"),
        (lambda: roots.fill_level(TUB, Q(-1, "cm")), OutOfRange, "7 cm deep"),
        (lambda: roots.zones(TUB, 20), UnitNeeded, "level"),
        (lambda: roots.zones(TUB, Q(40, "cm")), OutOfRange, "rim"),
        (lambda: roots.zones(TUB, Q(-1, "cm")), OutOfRange, "rim"),
        (lambda: roots.refill_limit(TUB, 20), UnitNeeded, "state"),
        (lambda: roots.refill_limit(TUB, Q(20, "L")), UnitNeeded, "which is a volume"),
        (lambda: roots.day_pots_clear(TUB, Q(20, "cm")), Problem, "each day"),
        (lambda: roots.rain_for_rise(TUB, Q(15, "cm"), rain_share=0), OutOfRange, "rain_share"),
        (lambda: roots.rain_for_rise(TUB, Q(15, "cm"), rain_share=20), OutOfRange, "rain_share"),
        (lambda: roots.rain_for_rise(TUB, Q(15, "cm"), Q(-1, "cm")), OutOfRange, "not negative"),
        (lambda: roots.rain_for_rise(TUB, Q(15, "cm"), Q(30, "cm")), OutOfRange, "rim"),
        (lambda: roots.overflow_height(TUB, freeboard=Q(6, "cm")), OutOfRange, "smaller freeboard"),
        (lambda: roots.overflow_height(TUB, freeboard=Q(-1, "cm")), OutOfRange, "not negative"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: roots.fill_level(TUB, Q(3, "inch")), "net pot is 2.756 in deep, .* not 3 in"),
        (lambda: roots.zones(TUB, Q(13, "inch")), "the rim at 12.6 in; 13 in does not"),
        (lambda: roots.refill_limit(TUB, Q(-1, "inch")), "−1 in does not"),
        (lambda: roots.rain_for_rise(TUB, Q(5, "inch"), Q(-1, "inch")), "−1 in is"),
        (lambda: roots.overflow_height(TUB, freeboard=Q(2, "inch")), "lie 12.6 in above the floor"),
        (lambda: roots.refill(TUB, Q(12, "inch"), Q(2, "inch")), "1.4 in of it would run over"),
        (lambda: roots.refill(TUB, Q(12, "inch"), Q(5, "gallon")), "US gal of it would run over"),
        (lambda: roots.oxygen_demand(Q(1, "day"), Q(120, "degF")), "between 32 °F and 104 °F; 120 °F is not"),
    ],
)
def test_whoever_measures_in_inches_is_answered_in_inches(call, words):
    with pytest.raises(OutOfRange, match=words):
        call()
