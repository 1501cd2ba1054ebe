"""Figures of chapter 4: what they say agrees with the results they are given, and labels can be read."""

import numpy as np
import pytest
from drawn import overlaps
from matplotlib.text import Text
from stilltank.chapters.root_zones import panels
from stilltank.chapters.root_zones.figures.columns import RefillColumns, RootSection
from stilltank.chapters.root_zones.figures.oxygen import OxygenDepth, OxygenSeason, RecoveryFit, StillAndMixed
from stilltank.science import oxygen, roots, tank
from stilltank.units import Q

BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
WARM = Q(25, "degC")
LARGE = pytest.mark.parametrize("large", [False, True], ids=["plain", "large"])
SYSTEM = pytest.mark.parametrize("system", ["metric", "US"])
# Pots end at 25 cm. The level falls 0.5 cm a day from 27 cm, and on day 30 the tub is filled up again.
FALLING = np.r_[27 - 0.5 * np.arange(1, 30), 27 - 0.5 * np.arange(11)]


def course():
    return roots.root_course(BOX, Q(FALLING, "cm"), first_level=Q(27, "cm"))


def shown(drawing):
    return [
        text.get_text() for text in drawing.figure.findobj(Text) if text.get_text() and text.get_visible()
    ]


@LARGE
@SYSTEM
@pytest.mark.parametrize("day", [1, 8, 20, 29, 30, 40])
def test_a_day_of_the_tank(system, large, day):
    drawing = RootSection(system, large)
    said = drawing.show(BOX, course(), day).sentence
    assert said.startswith(f"Day {day}: solution: ")
    assert ("under water" in said) == (day == 30)
    assert overlaps(drawing.figure) == ([], [])


def test_the_section_is_to_scale():
    drawing = RootSection()
    drawing.show(BOX, course(), 20)
    # By hand: on day 20 the level stands at 17 cm, 8 cm below the pots.
    assert drawing._water.get_xy()[:, 1].max() == pytest.approx(17)
    bands = drawing._columns[0].bands
    high = bands["in air"].get_xy()[:, 1].max()
    assert high == pytest.approx(25)
    air = bands["in air"].get_xy()[:, 1].min()
    bare = bands["bared"].get_xy()[:, 1].min()
    assert 17 <= bare < air < 25
    assert bare == pytest.approx(17, abs=0.01)
    assert bands["in water"].get_xy()[:, 1].max() == pytest.approx(17)


def test_a_shown_day_is_drawn_again_without_a_rest():
    drawing = RootSection()
    drawing.show(BOX, course(), 30)
    assert any("under water" in text for text in shown(drawing))
    drawing.show(BOX, course(), 5)
    assert not any("under water" in text for text in shown(drawing))
    assert not any("used to air" in text for text in shown(drawing))


@LARGE
@SYSTEM
@pytest.mark.parametrize(("level", "rise"), [(15, 5), (15, 1), (25, 2), (2, 8)])
def test_a_refill(system, large, level, rise):
    drawing = RefillColumns(system, large)
    found = roots.refill(BOX, Q(level, "cm"), Q(rise, "cm"))
    said = drawing.show(BOX, found).sentence
    assert ("above the" in said) == bool(found.too_far)
    assert overlaps(drawing.figure) == ([], [])


def test_near_the_level_of_planting_the_limit_is_that_level_and_no_caution():
    """The pots of 7 cm stand 2 cm deep at 27 cm; from 26 cm a refill of 2 cm is above that, by 1 cm."""
    found = roots.refill(BOX, Q(26, "cm"), Q(2, "cm"))
    assert "above the limit of 1 cm" in RefillColumns().show(BOX, found).sentence


def test_a_refill_in_litres_by_hand():
    # By hand: 5 cm on 0.24 m2 are 12 L; 10 cm of roots hang clear of 15 cm, and half of them come under water.
    said = RefillColumns().show(BOX, roots.refill(BOX, Q(15, "cm"), Q(5, "cm"))).sentence
    assert said.startswith("12 L raise the level by 5 cm, above the caution of 2 cm")
    assert "5 cm of the roots that are used to air, 50 %" in said
    assert "from 17 cm to 12 cm" in said


@LARGE
@SYSTEM
def test_oxygen_over_depth(system, large):
    deep, demand = Q(14, "cm"), Q(2, "g/m^2/day") / Q(14, "cm")
    still = oxygen.profile(
        Q(np.linspace(0, 14, 50), "cm"), oxygen.saturation(WARM), deep, WARM, demand=demand
    )
    drawing = OxygenDepth(system, large)
    # By hand: 8.263 mg/L less 2 g/m2/d over 0.3 m/d, which is 6.667 mg/L, leaves 1.6 mg/L.
    said = drawing.show(
        StillAndMixed(still, oxygen.steady_mixed_oxygen(demand, deep, WARM, Q(0.3, "m/day")))
    ).sentence
    assert "In mixed water 1.6 mg/L would hold: sources disagree" in said
    assert overlaps(drawing.figure) == ([], [])


@LARGE
@pytest.mark.parametrize("most", [0.2, 4.0, 8.0])
def test_oxygen_through_a_season(large, most):
    films = Q([0.1, 0.3, 0.6], "m/day")
    wet = Q(most * np.exp(0.12 * np.arange(-41, 1)), "g/m^2/day")
    column = oxygen.WaterColumn(
        depth=Q(np.full((3, 42), 13.0), "cm"), temperature=WARM, demand=wet, film_coefficient=films
    )
    found = oxygen.mixed_water(column)
    drawing = OxygenSeason(large=large)
    said = drawing.show(found, films, Q(2.1, "mg/L")).sentence
    assert ("the solution never holds less than 2.1 mg/L" in said) == (most == 0.2)
    assert ("the solution holds less than 2.1 mg/L from day" in said) == (most > 0.2)
    assert overlaps(drawing.figure) == ([], [])
    assert "19 %" in drawing.show(found, films, Q(2.1, "mg/L")).caption


@LARGE
def test_a_recovery_and_readings_left_out(large):
    trial = oxygen.reaeration_readings()
    used = trial.time >= Q(3, "hour")
    fit = oxygen.fit_film_coefficient(
        trial.time[used], trial.concentration[used], Q(13, "cm"), trial.temperature[used]
    )
    drawing = RecoveryFit(large=large)
    said = drawing.show(trial, fit, Q(13, "cm"), used).sentence
    assert said.startswith("12 readings, 3 left out: ")
    assert drawing._left_out.get_xdata().size == 3
    # the fitted curve ends near the last reading
    assert drawing._curve.get_ydata()[-1] == pytest.approx(trial.concentration[-1].m_as("mg/L"), abs=0.2)
    assert overlaps(drawing.figure) == ([], [])


def test_ones_own_readings_are_offered(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert "trial" not in panels.film_panel().rows
    rows = [f"{hour},{9 - 8 * np.exp(-0.3 / 0.1 / 24 * hour):.3f},21" for hour in range(0, 30, 3)]
    (tmp_path / "my-recovery.csv").write_text(
        "time (h),oxygen (mg/L),temperature (°C)\n" + "\n".join(rows) + "\n"
    )
    panel = panels.film_panel()
    panel.rows["trial"].value = "my-recovery.csv"
    panel.rows["depth"].box.value = 10
    assert "10 readings" in panel.answer.sentence
    # made with a film coefficient of 0.3 m/day and a plateau of 9.0 where 8.9 mg/L is saturation at 21 degC
    assert "k = 0.3" in panel.answer.key


def test_no_reading_between_two_times(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    panel = panels.film_panel()
    panel.rows["first"].box.value = 12
    panel.rows["last"].box.value = 15
    assert "Problem:" in panel.answer.sentence


def test_a_day_in_halves_and_half_a_plant_are_refused():
    panel = panels.zones_panel()
    for name, value, words in (
        ("day", 40.5, "A day is a whole number"),
        ("count", 2.5, "number of plants is whole"),
    ):
        panel.rows[name].box.value = value
        assert words in panel.answer.sentence
        panel.reset()
