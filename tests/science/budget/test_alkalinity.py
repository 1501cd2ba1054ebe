"""Hard top-up water: the ledger of alkalinity by hand, and a summer against a grower's sense."""

import numpy as np
import pytest
from demo_tank import ALL, CROP, NONE, TANK
from stilltank.science import budget, crops, ph, weather
from stilltank.science.chemistry import Solution, Water
from stilltank.science.tank import Box
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

HARD = Water(
    {"Ca": Q(65, "mg/L"), "Na": Q(12, "mg/L"), "Cl": Q(20, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.6
)
SALTS = {"K+": Q(6, "mmol/L"), "NO3-": Q(14, "mmol/L"), "Ca+2": Q(4, "mmol/L")}
BARE = Solution(Q(40, "L"), {"K+": Q(1, "mmol/L"), "Cl-": Q(1, "mmol/L")})  # no nitrogen, no alkalinity
BIG = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), net_pot_depth=Q(7, "cm"))  # 2 L is 1 cm


def seasons(days=60, **given):
    """One litre a day is drunk from 40 L and made up for the next day by a drip: 60 L in 60 days."""
    standard = {
        "start": "2027-06-01",
        "days": days,
        "members": 4,
        "first_level": Q(20, "cm"),
        "reference_et": Q(10, "mm/day"),
        "exposure": ALL,
        "coefficient_factor": ALL,
        "growth_timing": ALL,
        "daily_variation": NONE,
        "rain_share": NONE,
        "top_up": budget.drip(Q(1, "L/hour"), Q(1, "hour")),
    }
    return budget.ensemble(BIG, crops.Plants(CROP, 1), weather.site("quillgate"), **standard | given)


def test_sixty_litres_gather_what_they_bring():
    """60 L at 180 mg/L bring 10.8 g as CaCO3; in 40 L that is 270 mg/L. Without nitrogen roots add nothing."""
    many = seasons()
    assert many.top_up.m_as("L").sum(axis=1) == pytest.approx(60)
    assert many.volume.m_as("L")[:, -1] == pytest.approx(40)
    found = budget.alkalinity_course(many, BARE, HARD)
    assert found.brought.m_as("g") == pytest.approx(10.8)
    assert found.alkalinity.m_as("mg/L")[:, -1] == pytest.approx([270] * 3)
    assert [roots.m_as("g") for roots in found.roots] == [0, 0, 0]


def test_roots_add_base_for_nitrate():
    """60 L drunk take 60 x 13.4 x 0.5 = 402 mmol of nitrate; 0, 0.1 and 0.3 of base make 0, 2.01 and 6.03 g CaCO3.

    50.04 g of CaCO3 for a mole of charge. 40 L with 14 mmol/L hold enough nitrate.
    """
    found = budget.alkalinity_course(seasons(), Solution(Q(40, "L"), SALTS), HARD)
    assert [roots.m_as("g") for roots in found.roots] == pytest.approx([0, 2.012, 6.035], rel=1e-3)
    assert found.alkalinity.m_as("mg/L")[:, -1] == pytest.approx(
        [270, 270 + 2012 / 40, 270 + 6035 / 40], rel=2e-3
    )


def test_ammonium_takes_alkalinity_away():
    """A tenth of the nitrogen as ammonium: 0.9 x 0.1 against 0.1 x 0.9 of base, so the middle adds nothing."""
    salts = {"NH4+": Q(1.4, "mmol/L"), "NO3-": Q(12.6, "mmol/L"), "K+": Q(11.2, "mmol/L")}
    found = budget.alkalinity_course(seasons(), Solution(Q(40, "L"), salts), HARD)
    assert found.roots[1].m_as("g") == pytest.approx(0, abs=1e-9)
    assert found.roots[0].m_as("g") == pytest.approx(-60 * 6.7 * 0.09 * 50.04 / 1000, rel=1e-3)


def test_acid_in_the_bottle_leaves_what_was_wanted():
    """60 L at 30 mg/L bring 1.8 g; soft water is left as it is."""
    many = seasons()
    assert budget.alkalinity_course(many, BARE, HARD, left=Q(30, "mg/L")).brought.m_as("g") == pytest.approx(
        1.8
    )
    soft = Water({}, alkalinity=Q(10, "mg/L"), ph=7)
    assert budget.alkalinity_course(many, BARE, soft, left=Q(30, "mg/L")).brought.m_as("g") == pytest.approx(
        0.6
    )


def test_overflow_takes_its_share():
    """2 L a day into a tank that is full at 40 L: one spills each day, well mixed, so less gathers than without."""
    one = seasons(top_up=budget.drip(Q(2, "L/hour"), Q(1, "hour")), overflow_height=Q(20.5, "cm"))
    spilled = one.overflow.m_as("L").sum(axis=1)
    found = budget.alkalinity_course(one, BARE, HARD)
    gathered = found.alkalinity.m_as("mg/L")[1, -1] * one.volume.m_as("L")[0, -1] / 1000
    assert spilled[0] > 50
    assert gathered < found.brought.m_as("g")
    assert gathered > found.brought.m_as("g") - spilled[0] * found.alkalinity.m_as("mg/L")[1, -1] / 1000


def test_the_first_ph_is_that_of_the_filling():
    """At rest with outdoor air, which is the high one of the three lines; more carbon dioxide is lower.

    The course is told at 20 °C, a recipe as mixed at 15 or 25 °C: that is 0.03 of pH.
    """
    short = seasons(days=2, top_up=budget.nothing(), reference_et=Q(0.001, "mm/day"))
    found = budget.alkalinity_course(short, "Hoagland 1", HARD, first_ph=6.5)
    assert found.ph[2, 0] == pytest.approx(6.5, abs=0.04)
    assert (np.diff(found.ph[:, 0]) > 0).all()
    # with no alkalinity the engine and the other room of the house agree on a recipe as it is
    from stilltank.science.mixing import recipe_solution

    bare = budget.alkalinity_course(short, "Hoagland 1")
    assert bare.ph[2, 0] == pytest.approx(ph.ph_of(recipe_solution("Hoagland 1"), "open"), abs=0.03)


def test_a_summer_of_basil_with_hard_water_and_with_acid():
    """A grower's sense: with water of 180 mg/L the pH creeps to 7.5 or 8 within two months; acid holds it longer."""
    many = budget.ensemble(
        "quillgate-tub",
        crops.Plants("basil", 4),
        "quillgate",
        start="2027-05-10",
        until="2027-09-20",
        top_up=budget.to_a_mark(Q(18, "cm"), 2),
    )
    plain, acid = (
        budget.alkalinity_course(many, "Hoagland 2", HARD, first_ph=5.8, left=left)
        for left in (None, Q(20, "mg/L"))
    )
    assert 5.5 < plain.ph[1, 0] < 5.9
    assert 7.3 < plain.ph[1, 75] < 8.2
    assert acid.ph[1, 60] < plain.ph[1, 60] - 0.4
    assert plain.acid_by is not None
    assert acid.acid_by is None or acid.acid_by > plain.acid_by
    assert plain.ph[2, 75] > plain.ph[0, 75] + 0.5  # what is not known is shown
    assert np.nanmax(plain.ph[1]) < 8.6  # lime falls out before


def test_sodium_says_when_to_replace():
    """Water with 6 mmol/L, 138 mg/L of sodium: 60 L bring 360 mmol, 9 mmol/L in 40 L; 8 are passed on day 54.

    After d days 6 d / 40 mmol/L; day 54 is the first above 8 (53 give 7.95), counted from 1 June.
    """
    salty = Water({"Na": Q(6, "mmol/L"), "Cl": Q(1, "mmol/L")}, alkalinity=Q(50, "mg/L"), ph=7.5)
    found = budget.alkalinity_course(seasons(), BARE, salty)
    assert found.salt == "sodium"
    assert found.replace_by.isoformat() == "2027-07-24"
    assert found.sodium.m_as("mg/L")[-1] == pytest.approx(9 * 22.99, rel=1e-3)
    assert budget.alkalinity_course(seasons(), BARE, HARD).replace_by is None


def test_when_the_crop_is_ended_nothing_more_is_told():
    many = seasons(top_up=budget.nothing())
    found = budget.alkalinity_course(many, BARE, HARD)
    gone = many.volume.m_as("L")[0] <= 0.15 * 40
    assert np.isnan(found.ph[:, gone]).all()
    assert np.isfinite(found.ph[:, ~gone]).all()


@pytest.mark.parametrize(
    ("call", "kind", "words"),
    [
        (lambda many: budget.alkalinity_course("x", BARE, HARD), Problem, "ensemble"),
        (lambda many: budget.alkalinity_course(many, BARE, "tap"), Problem, "top-up water"),
        (lambda many: budget.alkalinity_course(many, BARE, Water({})), Problem, "not known"),
        (lambda many: budget.alkalinity_course(many, BARE, HARD, first_ph=12), OutOfRange, "5.8"),
        (lambda many: budget.alkalinity_course(many, BARE, HARD, left=30), UnitNeeded, "left"),
        (lambda many: budget.alkalinity_course(many, BARE, HARD, left=Q(-1, "mg/L")), OutOfRange, "below 0"),
        (lambda many: budget.alkalinity_course(many, BARE, HARD, cover="cellar"), Problem, "cover"),
        (lambda many: budget.alkalinity_course(many, 3, HARD), UnitNeeded, "solution"),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, kind, words):
    with pytest.raises(kind, match=words):
        call(seasons(days=5))


def test_another_top_up_water_counts_for_the_nutrients():
    """60 L of water with 65 mg/L of calcium bring 3.9 g of it; pure water none."""
    scenario = budget.Scenario.make(
        TANK,
        crops.Plants(CROP, 1),
        weather.site("quillgate"),
        start="2019-06-01",
        days=10,
        first_level=Q(20, "cm"),
        top_up=budget.drip(Q(0.5, "L/hour"), Q(1, "hour")),
    )
    added = [
        budget.nutrients(scenario.season(), "Hoagland 1", top_up_water=water).balance["Ca"]["added (mg)"]
        for water in (HARD, None)
    ]
    assert added == pytest.approx([10 * 0.5 * 65, 0])


def test_brine_has_no_ph_and_breaks_nothing():
    """60 L with 0.4 mol/L of sodium chloride make 0.6 in 40 L, which is beyond the engine; the rest stands."""
    brine = Water({"Na": Q(400, "mmol/L"), "Cl": Q(400, "mmol/L")}, alkalinity=Q(100, "mg/L"), ph=7.8)
    found = budget.alkalinity_course(seasons(), BARE, brine)
    assert np.isnan(found.ph[:, -1]).all()
    assert np.isfinite(found.ph[:, 0]).all()
    assert found.salt in ("sodium", "chloride")
    assert found.alkalinity.m_as("mg/L")[1, -1] == pytest.approx(150)
