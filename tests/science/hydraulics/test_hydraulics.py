"""Rain, holes, storms, washing out and emitters, against numerical integration, hand sums and published examples."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from stilltank.science import budget, crops, hydraulics, mixing, roots
from stilltank.science.hydraulics import (
    Hole,
    Rain,
    blocked_hole,
    collecting_area,
    drain_time,
    drop_rate,
    emitter_exponent,
    emitter_flow,
    head_for_flow,
    hole_flow,
    hole_level,
    level_rise,
    orifice_flow,
    overflow_diameter,
    rain_into_tank,
    storm,
)
from stilltank.science.mixing import after_rain
from stilltank.science.pure_water import viscosity
from stilltank.science.tank import Box, TaperedBox
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
TOTE = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
G = 9.80665


def mm(value):
    return Q(value, "mm")


def falling(intensity, hours):
    return Rain(intensity=Q(intensity, "mm/hour"), duration=Q(hours, "hour"))


def test_rain_by_hand():
    # 25 mm on 0.24 m2 are 6 L; 10 mm on 0.24 m2 lift 0.20 m2 of water by 12 mm
    assert rain_into_tank(TUB, mm(25), lid="off").m_as("L") == pytest.approx(6)
    narrow = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), lid_area=Q(0.24, "m^2"))
    caught = rain_into_tank(narrow, mm(10), lid="rimmed")
    assert level_rise(narrow, Q(10, "cm"), caught).m_as("mm") == pytest.approx(12)
    assert rain_into_tank(narrow, mm(10), lid="off").m_as("L") == pytest.approx(2)
    assert rain_into_tank(narrow, mm(10), lid=Q(50, "cm^2")).m_as("mL") == pytest.approx(50)
    for cover, lid in (("roof", "off"), ("indoors", "rimmed"), ("open", "tight")):
        assert rain_into_tank(narrow, mm([1, 90]), cover, lid).m_as("L").tolist() == [0, 0]


def in_the_tote(low, high):
    """Litres between two levels of the tote, in cm: its sections, 50 x 32 to 60 x 40 cm, added up."""
    found, _ = quad(lambda z: (50 + 10 * z / 32) * (32 + 8 * z / 32) / 1000, low, high)
    return found


def test_rain_and_storms_in_a_tub_that_widens():
    # 10 L lift the tote by less than at its floor: the section at 10 cm is 18.3 dm2, at the rim 24
    for level in (0, 10, 25):
        rise = level_rise(TOTE, Q(level, "cm"), Q(10, "L")).m_as("cm")
        assert in_the_tote(level, level + rise) == pytest.approx(10)
    # the rim catches the rain, 24 dm2: 20 mm are 4.8 L, whatever the level
    assert rain_into_tank(TOTE, mm(20), lid="off").m_as("L") == pytest.approx(4.8)
    found = storm(TOTE, Q(15, "cm"), falling(20, 1), lid="off")
    assert in_the_tote(15, found.highest.m_as("cm")) == pytest.approx(4.8)


def test_the_share_through_gaps_is_the_one_of_the_budget():
    table = budget.season(TUB, crops.Plants("lettuce", 2), "new-york", start="2013-05-01").table
    rain = Q(table["rain (mm)"].to_numpy(), "mm")
    assert rain_into_tank(TUB, rain).m_as("L") == pytest.approx(table["rain in (L)"].to_numpy())


def by_strips(share, coefficient=0.6):
    """The weir integral of a hole of 1 m, strip by strip, in m^3/s, by scipy's adaptive rule."""
    found, _ = quad(
        lambda y: 2 * np.sqrt(max(y * (1 - y), 0)) * np.sqrt(max(share - y, 0)),
        0, min(1, share), epsabs=0, epsrel=1e-10, limit=400,
    )  # fmt: skip
    return coefficient * np.sqrt(2 * G) * found


@settings(deadline=None)
@given(st.floats(3, 40), st.floats(0.05, 8))
def test_hole_flow_is_the_weir_integral(diameter, share):
    got = hole_flow(mm(diameter), mm(diameter * share), 0.6).m_as("L/min")
    wanted = by_strips(share) * (diameter / 1000) ** 2.5 * 60000  # flows grow with size to the power 5/2
    assert got == pytest.approx(wanted, rel=2e-6)


def test_hole_flow_tends_to_the_orifice():
    # worked out elsewhere for 12 mm: with 0, 4, 10 mm over the crown the orifice formula is 4, 1.2, 0.5 percent above
    for over, excess in ((0, 0.04), (4, 0.012), (10, 0.005)):
        weir = hole_flow(mm(12), mm(12 + over), 0.6).m_as("L/min")
        orifice = orifice_flow(mm(12), mm(6 + over), 0.6).m_as("L/min")
        assert orifice / weir - 1 == pytest.approx(excess, rel=0.1)
    far = hole_flow(mm(12), mm(2006), 0.6) / orifice_flow(mm(12), mm(2000), 0.6)
    assert far.m_as("dimensionless") == pytest.approx(1, abs=1e-6)
    # a thin film over the lower edge flows as a parabola: Cd sqrt(2 g d) pi/4 h^2
    film = 0.6 * np.sqrt(2 * G * 0.012) * np.pi / 4 * 1e-5**2 * 60000
    assert hole_flow(mm(12), mm(0.01), 0.6).m_as("L/min") == pytest.approx(film, rel=1e-3)


def test_no_water_no_flow_and_shapes():
    assert hole_flow(mm(12), mm([-5, 0])).magnitude.tolist() == [0, 0]
    assert hole_flow(mm([[6], [12]]), mm([1, 5, 9])).shape == (2, 3)
    assert (
        type(hole_flow(mm(12), mm(5)).magnitude) is float or np.ndim(hole_flow(mm(12), mm(5)).magnitude) == 0
    )
    assert (np.diff(hole_flow(mm(12), mm(np.linspace(0, 60, 500))).magnitude) > 0).all()


@settings(deadline=None)
@given(st.floats(4, 40), st.floats(0.001, 20))
def test_hole_level_is_the_inverse(diameter, flow):
    found = hole_level(mm(diameter), Q(flow, "L/min"))
    assert hole_flow(mm(diameter), found).m_as("L/min") == pytest.approx(flow, rel=1e-6)


def test_hole_for_a_storm():
    # Torricelli by hand: 0.4 L/min at 10 mm needs 5.652 mm; the weir integral asks for a hair more
    by_hand = np.sqrt(4 / np.pi * (0.4 / 60000) / (0.6 * np.sqrt(2 * G * 0.01))) * 1000
    found = overflow_diameter(Q(100, "mm/hour"), Q(0.24, "m^2"), mm(10), 0.6)
    assert by_hand == pytest.approx(5.652, abs=1e-3)
    assert found.smallest.m_as("mm") == pytest.approx(by_hand, rel=0.002)
    assert found.smallest.m_as("mm") > by_hand
    assert found.flow.m_as("L/min") == pytest.approx(0.4)
    assert found.diameter.m_as("mm") == 12
    for words in ("mesh", "second hole", "blocks"):
        assert words in str(found)
    shallow = overflow_diameter(Q(100, "mm/hour"), Q(0.24, "m^2"), mm(1), 0.6)  # runs part full
    flow = hole_flow(shallow.smallest, mm(1) + shallow.smallest / 2, 0.6)
    assert flow.m_as("L/min") == pytest.approx(0.4)


def test_drain_time_is_the_published_formula_for_upright_walls():
    area, hole, share = 0.24, np.pi / 4 * 0.006**2, 0.6
    by_hand = 2 * area * (np.sqrt(0.3) - np.sqrt(0.05)) / (share * hole * np.sqrt(2 * G))
    assert by_hand == pytest.approx(2071, abs=1)
    got = drain_time(TUB, Q([30, 5], "cm"), Q(5, "cm"), mm(6), coefficient=0.6)
    assert got.m_as("s") == pytest.approx([by_hand, 0], abs=1e-6)


def test_drain_time_of_leaning_walls_by_integration():
    centre, share, hole = 0.02, 0.6, np.pi / 4 * 0.006**2
    found, _ = quad(
        lambda h: TOTE.area(Q(h, "m")).m_as("m^2") / (share * hole * np.sqrt(2 * G * (h - centre))), 0.05, 0.3
    )
    got = drain_time(TOTE, Q(30, "cm"), Q(5, "cm"), mm(6), Q(2, "cm"), 0.6)
    assert got.m_as("s") == pytest.approx(found, rel=1e-7)


HOLE = Hole(height=Q(27.5, "cm"), diameter=mm(12))


def test_a_long_storm_ends_where_the_hole_carries_the_rain():
    # 100 mm/h on 0.24 m2 are 0.4 L/min; after some hours the level stands where that runs out
    found = storm(TUB, Q(27, "cm"), falling(100, 6), replace(HOLE, coefficient=0.6), "off")
    stand = hole_level(mm(12), Q(0.4, "L/min"), 0.6)
    assert (found.highest - Q(27.5, "cm")).m_as("mm") == pytest.approx(stand.m_as("mm"), abs=1e-3)
    assert not found.too_far
    assert found.over_rim.magnitude == 0


@pytest.mark.parametrize("intensity", [0, 100, 700])
@pytest.mark.parametrize("diameter", [3, 12])
@pytest.mark.parametrize("tub", [TUB, TOTE], ids=["box", "tote"])
def test_a_storm_loses_no_water(tub, intensity, diameter):
    for start in (20, 27, 29):
        hole = replace(HOLE, diameter=mm(diameter))
        found = storm(tub, Q(start, "cm"), falling(intensity, 3), hole, "off")
        assert found.rain_in.m_as("L") == pytest.approx(3 * intensity * 0.24)
        assert found.overflow.magnitude >= -1e-9
        if intensity and start < 27.5:  # the level only rises, so the highest is the last
            kept = tub.volume(found.highest) - tub.volume(Q(start, "cm"))
            rest = found.rain_in - found.overflow - found.over_rim - kept
            assert rest.m_as("L") == pytest.approx(0, abs=1e-6)
        if found.over_rim.magnitude:
            assert found.highest.m_as("cm") == pytest.approx(32)


def test_over_the_rim_by_hand():
    # a pinhole of 1 mm, 1 m/h: at the rim 45 mm over the hole's centre (44.5) it lets out
    # 0.6208 x pi/4 mm2 x sqrt(2 g 44.5 mm); the rest of the 4 L/min runs over. Starting at the rim, for one hour:
    leak = 0.6208 * np.pi / 4 * 1e-6 * np.sqrt(2 * G * 0.0445) * 3.6e6
    found = storm(TUB, Q(32, "cm"), falling(1000, 1), replace(HOLE, diameter=mm(1)), "off")
    assert found.overflow.m_as("L") == pytest.approx(leak, rel=1e-3)
    assert found.over_rim.m_as("L") == pytest.approx(240 - leak, rel=1e-4)


def test_a_blocked_hole_by_hand():
    # 50 mm on 0.24 m2 are 12 L, 5 cm: from 20 to 25 cm; two hours of 50 mm/h from 27 cm fill it: 5 cm up, 12 L over
    one = storm(TUB, Q(20, "cm"), falling(50, 1), lid="off")
    assert one.highest.m_as("cm") == pytest.approx(25)
    assert one.too_far
    assert "may injure" in str(one)
    clean, blocked = blocked_hole(TUB, Q(27, "cm"), falling(50, 2), HOLE, "off")
    assert blocked.rise.m_as("cm") == pytest.approx(5)
    assert blocked.over_rim.m_as("L") == pytest.approx(12)
    assert blocked.overflow.magnitude == 0
    assert "12 L over the rim" in str(blocked)
    assert "rim" not in str(clean)
    assert clean.times.m_as("hour")[[0, -1]].tolist() == [0, 2]
    assert clean.rise < Q(2, "cm")
    half = storm(TUB, Q(27, "cm"), falling(50, 2), replace(HOLE, open_share=0.05), "off")
    assert clean.rise < half.rise < blocked.rise


def test_two_centimetres_are_not_above_two_centimetres():
    """20 mm on 0.24 m2 raise upright walls by 2 cm, as the rain is deep; 20.3 mm are above, and read as more."""
    for rain, above in ((20, False), (20.03, False), (20.3, True)):
        found = storm(TUB, Q(15, "cm"), falling(rain, 1), lid="off")
        assert found.rise.m_as("cm") == pytest.approx(rain / 10)
        assert found.too_far is above
    assert "rose 2.03 cm" in str(found)


def test_a_later_hole_keeps_a_storm_within_the_refill_limit():
    level = Q(15, "cm")
    hole = roots.overflow_height(TUB, level=level)
    assert hole.height.m_as("cm") == pytest.approx(16)  # 2 cm of rise less the usual head of 1 cm
    found = storm(TUB, level, falling(100, 3), replace(HOLE, height=hole.height), "off")
    assert not found.too_far
    assert roots.overflow_height(TUB, fill_level=Q(26, "cm")).height.m_as("cm") == pytest.approx(26.5)
    # near the level of planting that is the nearer limit
    assert roots.overflow_height(TUB, level=Q(26.5, "cm")).height.m_as("cm") == pytest.approx(26.5)


def test_wash_out_by_small_steps():
    # 30 L, 10 L of rain, of which 6 L run off: filled to 34 L first, then a thousand small exchanges
    start = mixing.recipe_solution("Steiner", Q(30, "L"))
    share = 30 / 34
    for _ in range(1000):
        share *= 1 - 0.006 / 34
    found = after_rain(start, Q(10, "L"), Q(6, "L"))
    assert found.volume.m_as("L") == pytest.approx(34)
    for element in ("K", "N", "Ca"):
        left = (found.elements[element] / start.elements[element]).m_as("dimensionless")
        assert left == pytest.approx(share, rel=1e-3)  # (1 - x/n)^n against exp(-x)
    assert found.conductivity() < start.conductivity()
    assert found.conductivity() > start.conductivity() * share  # ions hinder each other less when thinned


def test_wash_out_keeps_and_brings_what_it_should():
    start = mixing.recipe_solution("Steiner", Q(30, "L"))
    only = after_rain(start, Q(10, "L"))
    kept = (only.elements["K"] * only.volume / (start.elements["K"] * start.volume)).m_as("dimensionless")
    assert kept == pytest.approx(1)
    salty = mixing.Water({"Na": Q(10, "mg/L"), "Cl": Q(15.4, "mg/L")}, alkalinity=Q(0, "mg/L"))
    flooded = after_rain(start, Q(900, "L"), Q(900, "L"), salty)
    assert flooded.elements["Na"].m_as("mg/L") == pytest.approx(10, rel=1e-3)
    assert flooded.elements["K"].m_as("mg/L") < 1e-9
    several = after_rain(start, Q([0, 10, 20], "L"), Q([0, 10, 20], "L"))
    left = (several.elements["K"] / start.elements["K"]).m_as("dimensionless")
    assert left == pytest.approx(np.exp(-np.array([0, 1, 2]) / 3))


def test_emitters_by_hand():
    # irrigation manual: 4 L/h at 10 m, x 0.42, 4.32 L/h needs 12 m
    assert head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.42, Q(4.32, "L/hour")).m_as("m") == pytest.approx(
        12, abs=0.05
    )
    # half a metre up is a twentieth of 10 m: 1/20, 1/sqrt(20) of the flow
    low = [
        emitter_flow(Q(4, "L/hour"), Q(10, "m"), kind, Q(0.5, "m")).m_as("L/hour")
        for kind in ("laminar", "fully turbulent")
    ]
    assert low == pytest.approx([0.2, 4 / np.sqrt(20)])
    opened = emitter_flow(Q(2, "L/hour"), Q(10, "m"), "compensating", Q([5, 20], "m"), Q(5, "m"))
    assert opened.m_as("L/hour").tolist() == [2, 2]
    assert emitter_flow(Q(2, "L/hour"), Q(1, "m"), 0.5, Q(0, "m")).magnitude == 0


def test_fully_turbulent_is_a_hole():
    heads = Q([0.2, 1.7], "m")
    hole = orifice_flow(mm(1), heads)
    dripped = emitter_flow(hole[0], heads[0], "fully turbulent", heads[1])
    assert dripped.m_as("L/hour") == pytest.approx(hole[1].m_as("L/hour"))


def test_viscosity_and_warm_drippers():
    # IAPWS formulation of 2008, evaluated elsewhere: 1.3059, 1.0016 and 0.7972 mPa s
    assert viscosity(Q([10, 20, 30], "degC")).m_as("mPa*s") == pytest.approx(
        [1.3059, 1.0016, 0.7972], abs=1e-4
    )
    rated = Q(4, "L/hour"), Q(10, "m"), "laminar", Q(1, "m")
    cold, warm = emitter_flow(*rated, temperature=Q([10, 30], "degC")).magnitude
    assert warm / cold == pytest.approx(1.638, abs=0.001)
    assert emitter_flow(*rated, temperature=Q(20, "degC")) == emitter_flow(*rated)  # rated at 20 degC


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: rain_into_tank(TUB, 25), UnitNeeded, "rain"),
        (lambda: rain_into_tank(TUB, mm(-1)), OutOfRange, "−1 mm"),
        (lambda: rain_into_tank(None, mm(1)), Problem, "None is none of them"),
        (lambda: rain_into_tank(TUB, mm(1), "tent"), Unreadable, '"roof" or "indoors". You gave \'tent\''),
        (lambda: rain_into_tank(TUB, mm(1), lid="holes"), Problem, "called 'holes'"),
        (lambda: rain_into_tank(TUB, mm(1), lid=0.2), UnitNeeded, "lid"),
        (lambda: collecting_area(TUB, lid=Q(-1, "m^2")), OutOfRange, "−1 m²"),
        (lambda: collecting_area(TUB, ["open"]), Unreadable, "takes for `cover`"),
        (lambda: level_rise(TUB, Q(31, "cm"), Q(9, "L")), OutOfRange, "room for 2.4 L"),
        (lambda: level_rise(TUB, Q(31, "cm"), Q(-9, "L")), OutOfRange, "−9 L does not fit. Write 0"),
        (lambda: level_rise(TUB, Q(33, "cm"), Q(1, "L")), OutOfRange, "no level of 33 cm"),
        (lambda: orifice_flow(12, mm(10)), UnitNeeded, "diameter"),
        (lambda: orifice_flow(mm(12), mm(5)), OutOfRange, "hole_flow"),
        (lambda: orifice_flow(mm(0), mm(5)), OutOfRange, "a hole of 0 cm"),
        (lambda: orifice_flow(mm(12), mm(10), "0.6"), Unreadable, "plain number"),
        (lambda: orifice_flow(mm(12), mm(10), 6), OutOfRange, "6 is not"),
        (lambda: orifice_flow(mm(12), mm(10), [0.6, 0.7]), OutOfRange, "one coefficient"),
        (lambda: hole_flow(mm(12), None), UnitNeeded, "level_above_invert"),
        (lambda: hole_flow(Q(12, "m"), mm(3)), OutOfRange, "a hole of 12 m"),
        (lambda: hole_flow(mm([6, 12]), mm([1, 2, 3])), Problem, "do not fit"),
        (lambda: hole_level(mm(12), Q(-1, "L/min")), OutOfRange, "−1 L per minute"),
        (lambda: hole_level(mm(1), Q(1e6, "L/min")), OutOfRange, "100 m of water"),
        (lambda: overflow_diameter(Q(0, "mm/hour"), Q(1, "m^2")), OutOfRange, "up to 100 cm per hour"),
        (lambda: overflow_diameter(Q(100, "mm"), Q(1, "m^2")), UnitNeeded, "intensity"),
        (lambda: overflow_diameter(Q(100, "mm/hour"), Q(-1, "m^2")), OutOfRange, "−1 m²"),
        (lambda: overflow_diameter(Q(100, "mm/hour"), Q(9000, "m^2")), OutOfRange, "Keep rain off"),
        (lambda: overflow_diameter(Q([9, 100], "mm/hour"), Q(1, "m^2")), Problem, "one value"),
        (lambda: overflow_diameter(Q(100, "mm/hour"), Q(1, "m^2"), mm(0)), OutOfRange, "a head of 0"),
        (lambda: falling(1e6, 1), OutOfRange, "0 cm to 100 cm per hour"),
        (lambda: falling([1, 2], 1), Problem, "one value"),
        (lambda: falling(10, 0), OutOfRange, "A storm of 0 days .* up to 10 days"),
        (lambda: Rain(intensity=Q(10, "mm"), duration=Q(1, "hour")), UnitNeeded, "intensity"),
        (lambda: Hole(height=Q(-1, "cm"), diameter=mm(9)), OutOfRange, "−1 cm is below the floor"),
        (lambda: replace(HOLE, open_share="all"), Unreadable, "plain"),
        (lambda: replace(HOLE, open_share=2), OutOfRange, "2 is not"),
        (lambda: replace(HOLE, coefficient=2), OutOfRange, "2 is not"),
        (lambda: storm(TUB, Q(40, "cm"), falling(10, 1)), OutOfRange, "no level of 40"),
        (lambda: storm(TUB, Q([9, 10], "cm"), falling(10, 1)), Problem, "one value for `level`"),
        (lambda: storm(TUB, Q(9, "cm"), Q(10, "mm/hour")), Unreadable, "needs a Rain for `rain`"),
        (lambda: storm(TUB, Q(9, "cm"), falling(10, 1), mm(9)), Unreadable, "needs a Hole for `hole`"),
        (
            lambda: storm(TUB, Q(9, "cm"), falling(10, 1), replace(HOLE, height=Q(32, "cm"))),
            OutOfRange,
            "a hole of 1.2 cm with its lower edge at 32 cm does not fit",
        ),
        (
            lambda: blocked_hole(TUB, Q(9, "cm"), falling(1, 1), replace(HOLE, open_share=0.5)),
            Problem,
            "use storm",
        ),
        (lambda: drain_time(TUB, Q(5, "cm"), Q(30, "cm"), mm(6)), OutOfRange, "rises"),
        (lambda: drain_time(TUB, Q(5, "cm"), Q(0, "cm"), mm(6)), OutOfRange, "End higher"),
        (lambda: drain_time(TUB, Q(50, "cm"), Q(5, "cm"), mm(6)), OutOfRange, "no level of 50"),
        (lambda: drain_time("tub", Q(5, "cm"), Q(1, "cm"), mm(6)), Problem, "tub"),
        (lambda: roots.overflow_height(TUB, level=Q(40, "cm")), OutOfRange, "rim"),
        (lambda: roots.overflow_height(TUB, Q(1, "cm"), fill_level=Q(20, "cm")), Problem, "not both"),
        (lambda: roots.overflow_height(TUB, freeboard=Q(1, "cm"), level=Q(20, "cm")), Problem, "freeboard"),
        (lambda: after_rain("soup", Q(1, "L")), Unreadable, "'soup'"),
        (lambda: after_rain(mixing.recipe_solution("Steiner"), 5), UnitNeeded, "rain_in"),
        (
            lambda: after_rain(mixing.recipe_solution("Steiner"), Q(1, "L"), Q(2, "L")),
            OutOfRange,
            "ran off",
        ),
        (lambda: after_rain(mixing.recipe_solution("Steiner"), Q(-1, "L")), OutOfRange, "−1 L"),
        (lambda: after_rain(mixing.recipe_solution("Steiner"), Q(1, "L"), rain=7), Unreadable, "7"),
        (lambda: emitter_exponent("slow"), Problem, "called 'slow'"),
        (lambda: emitter_exponent(None), Unreadable, "plain number"),
        (lambda: emitter_exponent(1.4), OutOfRange, "1.4 is not"),
        (lambda: emitter_flow(4, Q(10, "m"), 0.5, Q(1, "m")), UnitNeeded, "rated_flow"),
        (lambda: emitter_flow(Q(4, "L/hour"), Q(1, "bar"), 0.5, Q(1, "m")), UnitNeeded, "rated_head"),
        (lambda: emitter_flow(Q(4, "L/hour"), Q(0, "m"), 0.5, Q(1, "m")), OutOfRange, "rated head of 0"),
        (lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 0.5, Q(-1, "m")), OutOfRange, "−100 cm"),
        (lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 0, Q(1, "m")), Problem, "least head"),
        (
            lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 0, Q(1, "m"), Q(5, "m")),
            OutOfRange,
            "needs 5 m",
        ),
        (lambda: head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0, Q(1, "L/hour")), Problem, "compensating"),
        (lambda: head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.5, Q(0, "L/hour")), OutOfRange, "0 L per hour"),
        (lambda: head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.1, Q(9, "L/hour")), OutOfRange, "more emitters"),
        (lambda: viscosity(Q(80, "degC")), OutOfRange, "80 °C"),
        (lambda: viscosity(20), UnitNeeded, "temperature"),
        (
            lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 1, Q(1, "m"), temperature=Q(-5, "degC")),
            OutOfRange,
            "−5 °C",
        ),
        (
            lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 0.5, Q(1, "m"), temperature=Q(25, "degC")),
            Problem,
            "only the flow of a laminar emitter",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        (
            (lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 0.5, Q(500, "m")), "500 m .* 0 m to 100 m"),
            (lambda: emitter_flow(Q(1, "gal/hour"), Q(30, "ft"), 0.5, Q(500, "ft")), "500 ft .* 0 ft to 328"),
        ),
        (
            (lambda: emitter_flow(Q(4, "L/hour"), Q(10, "m"), 0, Q(1, "m"), Q(3, "m")), "100 cm, .* needs 3 m"),
            (
                lambda: emitter_flow(Q(1, "gal/hour"), Q(30, "ft"), 0, Q(3, "ft"), Q(10, "ft")),
                "36 in, .* needs 10 ft",
            ),
        ),
        (
            (lambda: head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.5, Q(-2, "L/hour")), "−2 L per hour"),
            (lambda: head_for_flow(Q(1, "gal/hour"), Q(30, "ft"), 0.5, Q(-2, "gal/hour")), "−2 US gal per hour"),
        ),
        (
            (lambda: orifice_flow(mm(500), Q(1, "m")), "50 cm .* 0.5 mm to 20 cm"),
            (lambda: orifice_flow(Q(10, "inch"), Q(3, "ft")), "10 in .* 0.01969 in to 7.874 in"),
        ),
        (
            (lambda: orifice_flow(mm(12), mm(5)), "level is 1 mm below"),
            (lambda: orifice_flow(Q(0.5, "inch"), Q(0.125, "inch")), "level is 0.125 in below"),
        ),
        (
            (lambda: level_rise(TUB, Q(31, "cm"), Q(9, "L")), "9 L .* 2.4 L up to the rim"),
            (lambda: level_rise(TUB, Q(12, "inch"), Q(3, "gal")), "3 US gal .* 3.85 US qt up to the rim"),
        ),
        (
            (lambda: Hole(height=Q(1, "cm"), diameter=mm(0)), "a hole of 0 cm .* 0.5 mm to 20 cm"),
            (
                lambda: Hole(height=Q(1, "inch"), diameter=Q(9.5, "inch")),
                "a hole of 9.5 in .* 0.01969 in to 7.874 in",
            ),
        ),
        (
            (lambda: falling(2000, 1), "rain of 2 m per hour"),
            (
                lambda: Rain(intensity=Q(60, "inch/hour"), duration=Q(1, "hour")),
                "rain of 5 ft per hour .* to 39.37 in",
            ),
        ),
        (
            (
                lambda: storm(TUB, Q(9, "cm"), falling(10, 1), replace(HOLE, height=Q(32, "cm"))),
                "a hole of 1.2 cm with its lower edge at 32 cm .* 32 cm high",
            ),
            (
                lambda: storm(TUB, Q(4, "inch"), falling(10, 1), replace(HOLE, height=Q(12.5, "inch"))),
                "a hole of 0.472 in with its lower edge at 12.5 in .* 12.6 in high",
            ),
        ),
        (
            (lambda: drain_time(TUB, Q(5, "cm"), Q(30, "cm"), mm(6)), "by 25 cm"),
            (lambda: drain_time(TUB, Q(2, "inch"), Q(12, "inch"), mm(6)), "by 10 in"),
        ),
        (
            (lambda: rain_into_tank(TUB, Q(9, "m")), "a rain of 9 m"),
            (lambda: rain_into_tank(TUB, Q(30, "ft")), "a rain of 30 ft"),
        ),
    ],
)  # fmt: skip
def test_a_refusal_speaks_in_the_units_of_the_person(metric, us):
    for call, words in (metric, us):
        with pytest.raises(OutOfRange, match=words):
            call()


def test_every_name_at_the_door_is_there():
    assert all(hasattr(hydraulics, name) for name in hydraulics.__all__)


def test_a_litre_a_day_in_drops():
    """1000 mL in 1440 minutes are 0.694 mL a minute; 20 drops a mL (drip chambers, common practice): 13.9 drops."""
    found = drop_rate(Q([1, 0], "L/day"))
    assert found.m_as("1/minute") == pytest.approx([20 * 1000 / 1440, 0])
    with pytest.raises(OutOfRange, match="negative"):
        drop_rate(Q(-1, "L/day"))
    with pytest.raises(UnitNeeded):
        drop_rate(3)
