"""Figures of chapter 2, and what is worked out for them: numbers from outside, labels that can be read."""

import numpy as np
import pytest
from drawn import overlaps
from matplotlib.text import Text
from stilltank.chapters.ph import panels
from stilltank.chapters.ph.figures import (
    AfterDose,
    DilutionRows,
    DoseBars,
    DriftCurves,
    TitrationPicture,
    millilitres,
)
from stilltank.science import mixing, ph, products
from stilltank.science.chemistry import Solution, Water
from stilltank.science.ph.doses import acid_dose
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TAP = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
# PHREEQC 3.8.6, phreeqc.dat, as in test_ph.py: 100 mg/L as CaCO3, pH 8.00, 25 degC.
SOFT = Water({"Na": Q(2, "mmol/L")}, alkalinity=Q(2, "mmol/L"), ph=8.0, temperature=Q(25, "degC"))
STRONG, PHOSPHORIC = "nitric acid 1 mol/L", "phosphoric acid 1 mol/L"
LARGE = pytest.mark.parametrize("large", [False, True], ids=["plain", "large"])


def doses(alkalinity=130, target=5.8, acid=STRONG, litres=36):
    water = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(alkalinity, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    return ph.doses_now_and_to_hold(Solution(Q(litres, "L"), {}, water=water), target, acid)


# The dose now, the dose to hold, the trade's rule


def test_the_rule_counts_us_gallons():
    # Common practice: half to one mL for each US gallon, which is 3.785411784 L exactly (NIST Handbook 44).
    least, most = ph.dose_by_rule_of_thumb(Q(37.85411784, "L"))
    assert (least.m_as("mL"), most.m_as("mL")) == (pytest.approx(5), pytest.approx(10))
    with pytest.raises(UnitNeeded):
        ph.dose_by_rule_of_thumb(36)


def test_the_dose_to_hold_is_the_alkalinity_by_hand():
    # By hand: 130 mg/L as CaCO3 are 130/50.04 = 2.598 mmol/L, in 36 L of 1 mol/L acid 93.5 mL; each mmol brings
    # 14.007 mg of N. The little bicarbonate left at pH 5.8 in air is under 1 percent.
    found = doses()
    assert found.to_hold.m_as("mL") == pytest.approx(36 * 130 / 50.04, rel=0.01)
    assert found.adds["N"].m_as("mg/L") == pytest.approx(130 / 50.04 * 14.007, rel=0.01)
    assert 0 < found.now < found.to_hold
    assert found.rule_short_by == pytest.approx(93.5 / (36 / 3.785411784), rel=0.01)


def test_another_volume_is_only_scaled():
    small, large = doses(litres=5), doses(litres=180)
    scaled = small.for_volume(Q(180, "L"))
    for one, two in (
        (scaled.now, large.now),
        (scaled.to_hold, large.to_hold),
        *zip(scaled.rule, large.rule, strict=True),
    ):
        assert one.m_as("mL") == pytest.approx(two.m_as("mL"))
    assert scaled.volume == large.volume


def test_water_that_needs_no_acid_gets_none():
    # Rain at rest with the air has pH 5.6 (PHREEQC: 5.598 at 25 degC), so it needs none for 5.8 in the end.
    rain = doses(alkalinity=0)
    assert rain.to_hold.m_as("mL") == 0
    assert 0 < rain.now.m_as("mL") < 0.1
    assert rain.rule_over_by > 10
    pure = Solution(Q(10, "L"), {"NO3-": Q(1, "mmol/L"), "H+": Q(1, "mmol/L")}, water=Water.pure())
    none = ph.doses_now_and_to_hold(pure, 5.8, STRONG)
    assert (none.now.m_as("mL"), none.to_hold.m_as("mL"), none.adds) == (0, 0, {})
    assert none.rule_over_by == np.inf


def test_a_solid_and_a_water_without_volume_are_said():
    with pytest.raises(Problem, match="solid"):
        doses(acid="citric acid")
    with pytest.raises(Problem, match="volume"):
        ph.doses_now_and_to_hold(TAP, 5.8, STRONG)
    with pytest.raises(Unreadable):
        doses(acid="vinegar")


def test_the_bars_say_when_the_rule_fails_and_when_it_fits():
    found = doses()
    far = DoseBars().show(found).sentence
    assert f"{found.to_hold.m_as('mL'):.1f} mL in all to hold it" in far
    # By hand: 36 L are 9.51 US gal, so 4.76 to 9.51 mL; about 93 mL are 9.8 times the most.
    assert "4.8 to 9.5 mL: too little here, 9.8 times its upper end is needed" in far
    assert "it fits here" in DoseBars().show(doses(alkalinity=10)).sentence
    rain = DoseBars().show(doses(alkalinity=0)).sentence
    assert "in air it comes down that far by itself" in rain
    assert "too much here" in rain
    for name in ("citric acid 10 %", "nitric acid 38 %"):
        assert DoseBars().show(doses(acid=name)).caption == products.acid(name).caution
    assert "9.51 US gal" in DoseBars("US").show(doses()).sentence


@pytest.mark.parametrize(
    ("plain", "words"), [(0, "none"), (0.0614, "0.061 mL"), (7.451, "7.45 mL"), (9350, "9.35 L")]
)
def test_doses_are_written_as_they_are_measured(plain, words):
    assert millilitres(Q(plain, "mL")) == words


# The titration curve


def test_the_curve_passes_through_the_points_of_another_program():
    # PHREEQC 3.8.6: strong acid 0.4, 1.2, 2.2 meq in a kg gives 6.899, 6.143, 3.706.
    curve = ph.titration_curve(SOFT, STRONG, Q(4, "mmol/L"))
    for meq, expected in ((0.4, 6.899), (1.2, 6.143), (2.2, 3.706)):
        assert curve.at(Q(meq, "mmol/L")).ph == pytest.approx(expected, abs=0.02)  # kg taken as litre
    assert np.interp(1.2, curve.amounts.m_as("mmol/L"), curve.ph) == pytest.approx(6.143, abs=0.02)


def test_the_cliff_stands_where_the_alkalinity_is_used_up():
    """The end of an alkalinity titration, as textbooks define it: acid equal to the alkalinity."""
    for meq in (0.5, 2.0, 4.0):
        water = Water({"Na": Q(meq, "mmol/L")}, alkalinity=Q(meq, "mmol/L"), ph=8.0)
        curve = ph.titration_curve(water, STRONG, Q(6, "mmol/L"))
        assert curve.cliff.m_as("mmol/L") == pytest.approx(meq, abs=0.05)
        low, high = (end.m_as("mmol/L") for end in curve.inside)
        assert 0 < low < high < meq
        assert curve.at(curve.cliff).falls > 3 * curve.at(Q(meq / 2, "mmol/L")).falls


def test_a_curve_that_stays_above_the_working_range_has_no_cliff():
    curve = ph.titration_curve(SOFT, STRONG, Q(0.1, "mmol/L"))
    assert curve.cliff is None
    assert curve.inside is None
    assert "cliff" not in TitrationPicture().show(curve.at(Q(0.05, "mmol/L"))).sentence


def test_the_titration_says_where_it_stands():
    curve = ph.titration_curve(SOFT, STRONG, Q(4, "mmol/L"))
    places = {0: "above", 1.2: "inside", 2.2: "below"}
    for amount, place in places.items():
        assert f"{place} the working range" in TitrationPicture().show(curve.at(Q(amount, "mmol/L"))).sentence
    assert "of nitric acid in each litre" in TitrationPicture().show(curve.at(Q(1, "mmol/L"))).sentence


# Days and drift


def test_two_acids_followed_at_once_are_each_followed_alone():
    days = Q(14, "day")
    after = ph.ph_after_dosing(TAP, 5.8, (STRONG, PHOSPHORIC), days)
    for row, name in enumerate((STRONG, PHOSPHORIC)):
        amount = acid_dose(TAP, 5.8, name).amount
        alone = ph.degas(TAP, after.days, acid=name, amount=amount)
        for of_both, of_one in (("ph", alone.ph), ("low", alone.low), ("high", alone.high)):
            assert getattr(after.course, of_both)[row] == pytest.approx(of_one, abs=1e-6)
        assert after.on(Q(0, "day"))[row] == pytest.approx((5.8, 5.8, 5.8), abs=0.001)
        assert after.course.open[row] == pytest.approx(ph.ph_after(TAP, name, amount, "open"), abs=1e-6)
    strong, phosphoric = after.course.open
    # PHREEQC, data/checks.csv P-G3D and P-G4D, of another water: 8.22 and 6.76; so here the same order and gap.
    assert strong - phosphoric > 1
    with pytest.raises(UnitNeeded):
        after.on(3)


def test_the_days_say_range_and_rest():
    after = ph.ph_after_dosing(TAP, 5.8, (STRONG, PHOSPHORIC), Q(14, "day"))
    words = AfterDose().show(after, Q(3, "day")).sentence
    (strong, low, high), _ = after.on(Q(3, "day"))
    assert f"on day 3 at about {strong:.1f} with nitric acid (between {low:.1f} and {high:.1f})" in words
    assert f"comes to {after.course.open[0]:.1f} and {after.course.open[1]:.1f}" in words


def test_the_drift_of_the_panel_is_that_of_the_stated_checks():
    # PHREEQC 3.8.6, data/checks.csv P-DR1 and P-DR3: from pH 5.80 in air with 1 mmol/L of phosphate, 0.5 mmol/L of
    # excess nitrate gives 6.81, of excess ammonium 3.53. Tolerance theirs, 0.1: the panel's water is another.
    panel = panels.drift_panel()
    for net, expected in (("nitrate", 6.81), ("ammonium", 3.53)):
        panel.rows["net"].value = net
        drift, which, amount = panel.exploration.calculate(**panel.values())
        assert drift.start == pytest.approx(5.8, abs=0.001)
        assert drift.at(which, amount) == pytest.approx(expected, abs=0.1)


def test_a_drift_is_read_off_its_row():
    drift = ph.drift_by_uptake(mixing.recipe_solution("Hoagland 2"), Q(0.5, "mmol/L"))
    for net in ("nitrate", "ammonium"):
        for taken in (0, 0.003, 0.07, 0.31, 0.5):
            exact = ph.ph_after_uptake(drift.solution, **{net: Q(taken, "mmol/L")})
            assert drift.at(net, Q(taken, "mmol/L")) == pytest.approx(exact, abs=0.02)
    with pytest.raises(OutOfRange, match=r"from 0 to 0\.5"):
        drift.at("nitrate", Q(0.6, "mmol/L"))
    with pytest.raises(Unreadable):
        drift.at("potassium", Q(0.1, "mmol/L"))


# The ladder


LADDERS = [  # acid, mol/L and L at the foot, and how many steps of at most ten times
    ("nitric acid 1 mol/L", 0.1, 0.5, 1),
    ("nitric acid 38 %", 0.5, 1, 2),
    ("nitric acid 61.4 %", 0.1, 1, 3),
    ("phosphoric acid 85 %", 0.01, 2, 4),
]


def ladder(row):
    name, strength, litres, count = LADDERS[row]
    made = ph.serial_dilution(name, Q(strength, "mol/L"), Q(litres, "L"))
    assert len(made.steps) == count
    return made


def test_the_ladder_says_each_step_and_who_may():
    picture = DilutionRows().show(ladder(2))
    # By hand: 1 L of 0.1 mol/L holds 0.1 mol; that is 200 mL of 0.5 mol/L, made up with 800 mL of water.
    assert "200 mL into 800 mL gives 0.1 mol/L" in picture.sentence
    assert picture.sentence.endswith("For adults only: 13.4 mol/L, 2 mol/L.")
    assert picture.caption == products.acid("nitric acid 61.4 %").caution
    words = [one.get_text() for one in picture.figure.axes[0].texts]
    assert sum("adults only" in one for one in words) == 2
    assert sum("for the class" in one for one in words) == 2


def test_a_ladder_that_ends_too_strong_says_so():
    strong = ph.serial_dilution("sulfuric acid 35 %", Q(1, "mol/L"), Q(1, "L"))
    picture = DilutionRows().show(strong)
    assert picture.sentence.endswith("For adults only: 4.5 mol/L, 1 mol/L.")
    assert not any("for the class" in one.get_text() for one in picture.figure.axes[0].texts)


def test_a_ladder_drawn_anew_is_that_ladder():
    drawing = DilutionRows()
    drawing.show(ladder(3))
    assert drawing.show(ladder(1)).svg() == DilutionRows().show(ladder(1)).svg()


# Legible


def settings(panel):
    """The ends of every slider with every choice, as a learner might meet them."""
    yield {}
    for name, row in panel.rows.items():
        if hasattr(row, "slider"):
            yield {name: row.slider.min}
            yield {name: row.slider.max}
        else:
            yield from ({name: value} for _, value in row._options_full)


@LARGE
@pytest.mark.parametrize(
    "make", [panels.dose_panel, panels.titration_panel, panels.week_panel, panels.drift_panel]
)
def test_no_word_covers_another_or_leaves_the_picture(make, large):
    panel = make()
    panel.large.value = large
    for choice in settings(panel):
        panel.reset()
        for name, value in choice.items():
            row = panel.rows[name]
            (row.box if hasattr(row, "box") else row).value = value
        drawing = panel._drawn("metric")
        figure = getattr(drawing, "drawing", drawing).figure
        assert overlaps(figure) == ([], []), choice
        assert all(one.get_fontsize() >= 10.5 for one in figure.findobj(Text) if one.get_text())


@LARGE
@pytest.mark.parametrize("row", range(len(LADDERS)))
def test_no_word_of_a_ladder_covers_another(row, large):
    assert overlaps(DilutionRows(large=large).show(ladder(row)).figure) == ([], [])


def test_nothing_is_said_by_colour_alone():
    """Each pair of shapes that mean different things differs in dash, hatch or filling too."""
    bars = DoseBars()._bars
    assert (
        len(
            {
                (bar.get_hatch(), bar.get_linestyle(), bar.get_facecolor() != bar.get_edgecolor())
                for bar in bars
            }
        )
        == 3
    )
    for drawing in (AfterDose(), DriftCurves()):
        assert len({line.get_linestyle() for line in drawing._lines}) == 2
    assert len({band.get_hatch() for band in AfterDose()._bands}) == 2
