"""Figures of chapter 3: what they say agrees with the results they are given, and labels can be read."""

import datetime
from dataclasses import replace

import numpy as np
import pytest
from drawn import overlaps
from matplotlib.text import Text
from stilltank import lessons
from stilltank.chapters.water_budget.figures import LevelLeftAlone, StormCourse, TwoLevelCourses
from stilltank.learning.predictions import PredictionQuestion
from stilltank.learning.progress import Progress
from stilltank.science import budget, hydraulics, tank, weather
from stilltank.science.crops import Plants, crop
from stilltank.units import Q

TUB, SITE = tank.preset("quillgate-tub"), weather.site("quillgate")
BASIL = Plants(crop("basil"), 6)
BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
HOLE = hydraulics.Hole(height=Q(17, "cm"), diameter=Q(12, "mm"))
LARGE = pytest.mark.parametrize("large", [False, True], ids=["plain", "large"])
SYSTEM = pytest.mark.parametrize("system", ["metric", "US"])


def storms(intensity=30, hours=1, hole=HOLE, lid="rimmed"):
    rain = hydraulics.Rain(intensity=Q(intensity, "mm/hour"), duration=Q(hours, "hour"))
    return hydraulics.blocked_hole(BOX, Q(16, "cm"), rain, hole, lid)


def test_a_blocked_hole_rises_by_the_rain_over_the_water():
    # By hand: 30 mm on a rimmed lid of 0.24 m2 are 7.2 L; on 0.24 m2 of water they are 30 mm.
    clean, blocked = storms()
    assert blocked.levels[-1].m_as("cm") == pytest.approx(19)
    assert np.diff(blocked.levels.magnitude) == pytest.approx(3 / 60)
    assert clean.levels[0].m_as("cm") == blocked.levels[0].m_as("cm") == pytest.approx(16)
    assert clean.levels.max().m_as("cm") == pytest.approx(clean.highest.m_as("cm"), abs=1e-6)
    assert clean.times[-1].m_as("hour") == 1


def test_a_full_tank_stays_at_its_rim():
    # By hand: 0.24 m2 of lid, 16 cm of room, 150 mm/h: full after 64 minutes, and over the rim from then on.
    _, blocked = storms(150, 2)
    at_the_rim = blocked.levels.m_as("cm") > 32 - 1e-6
    assert blocked.times[at_the_rim][0].m_as("minute") == pytest.approx(64, abs=2)
    assert blocked.over_rim.m_as("L") == pytest.approx(0.24 * 300 - 0.24 * 160)


def test_a_small_hole_reaches_the_rim_and_loses_the_rest():
    clean, blocked = storms(200, 2, hole=replace(HOLE, diameter=Q(3, "mm")))
    assert 0 < clean.over_rim < blocked.over_rim
    assert clean.levels[-1].m_as("cm") == pytest.approx(32)
    held = BOX.volume(clean.levels[-1]) - BOX.volume(clean.levels[0])
    assert (held + clean.overflow + clean.over_rim).m_as("L") == pytest.approx(clean.rain_in.m_as("L"))


def test_a_tight_lid_lets_the_level_be():
    for storm in storms(lid="tight"):
        assert storm.rise.m_as("cm") == 0
        assert not storm.too_far


@LARGE
@SYSTEM
def test_the_storm_is_drawn_and_told(system, large):
    drawing = StormCourse(system, large)
    said = drawing.show(storms(), HOLE, BOX.height).sentence
    assert ("3 cm, above the caution" if system == "metric" else "1.2 in, above the caution") in said
    assert (
        "a rise of more than 2 cm may" if system == "metric" else "a rise of more than 0.79 in may"
    ) in said
    assert ("hole of 12 mm open" if system == "metric" else "hole of 0.47 in open") in said
    assert overlaps(drawing.figure) == ([], [])
    high = hydraulics.Hole(height=Q(31, "cm"), diameter=Q(4, "mm"))
    drawing.show(storms(hole=high), high, BOX.height)
    assert "rim" not in [text.get_text() for text in drawing.figure.findobj(Text)]


def compared(*ways):
    return budget.compare(TUB, BASIL, SITE, ways, start="2027-05-10", members=60, seed=3)


def test_the_courses_are_those_of_the_ensemble():
    table = compared(budget.nothing())
    found = table.courses
    many = budget.ensemble(TUB, BASIL, SITE, start="2027-05-10", members=60, seed=3)
    assert (found.dates == many.dates).all()
    for row, share in zip(found.levels["no top-up"], (0.1, 0.5, 0.9), strict=True):
        assert row.m_as("cm") == pytest.approx(np.quantile(many.level.m_as("cm"), share, axis=0), abs=1e-3)


@LARGE
@SYSTEM
def test_two_ways_and_one(system, large):
    drawing = TwoLevelCourses(system, large)
    valve = budget.float_valve(Q(15, "cm"), name="float valve, holds 15 cm")
    both = compared(budget.nothing(), valve)
    said = drawing.show(TUB, both).sentence
    assert said.startswith("No top-up: 0 ")
    assert f"low in {both.table.loc['no top-up', 'runs low (%)']:.0f} of 100" in said
    assert overlaps(drawing.figure) == ([], [])
    drawing.show(TUB, compared(budget.nothing()))
    shown = [text.get_text() for text in drawing.figure.findobj(Text) if text.get_visible()]
    assert not any("valve" in text for text in shown)
    drawing.show(TUB, both)
    assert any("valve" in text.get_text() for text in drawing.figure.findobj(Text) if text.get_visible())


@LARGE
@SYSTEM
@pytest.mark.parametrize(
    ("level", "count", "words"),
    [(15, 6, "Look by"), (3, 6, "Look today"), (25, 1, "to the end of the season")],
)
def test_a_tank_left_alone(system, large, level, count, words):
    look = budget.latest_look(
        TUB, Plants(crop("basil"), count), SITE, start="2027-06-20", first_level=Q(level, "cm"), age=40
    )
    drawing = LevelLeftAlone(system, large)
    assert words in drawing.show(look).sentence
    assert overlaps(drawing.figure) == ([], [])
    assert drawing._axes.yaxis.label.get_window_extent().x0 >= 0, "not cut off by wide numbers"


def test_one_day_is_a_day():
    look = budget.latest_look(TUB, BASIL, SITE, start="2027-06-20", first_level=Q(15, "cm"), age=40)
    said = LevelLeftAlone().show(replace(look, days=1, median_days=1)).sentence
    assert "after 1 day: until" in said
    assert said.endswith("in half of them for 1 day.")


def test_the_band_of_a_tank_left_alone_ends_where_the_look_is_due():
    look = budget.latest_look(TUB, BASIL, SITE, start="2027-06-20", first_level=Q(15, "cm"), age=40)
    low = look.levels[0].m_as("cm")
    assert look.lowest.m_as("cm") == pytest.approx(3)  # data/budget.csv
    assert low[look.days - 1] > 3 >= low[look.days + 1]


DAYS = ["2027-05-24", "2027-06-21", "2027-07-19"]


def sketched(folder, code="7B-12"):
    learner = lessons.Learner(code, folder)
    levels = Q([20.0, 12.0, 4.0], "cm")
    box = lessons.sketch(
        learner,
        PredictionQuestion(id="03-level", chapter="03", text="Draw the level.", kind="length"),
        start=("2027-05-10", Q(25, "cm")),
        days=DAYS,
        outcome=lambda: (np.array(DAYS, dtype="datetime64[D]"), levels),
    )
    return box.children[1]


def test_a_sketch_is_drawn_kept_and_uncovered(tmp_path):
    one = sketched(tmp_path)
    for row, value in zip(one._rows, (20, 15, 4), strict=True):
        row.box.value = value
    assert "15 cm on 21 June" in one._answer.picture
    assert one._shown.value == ""
    one._keep.click()
    assert "within 3 cm of your 3 points" in one._status.value
    assert "img" in one._shown.value
    kept = Progress.open("7B-12", tmp_path).predictions["03-level"]
    assert kept["value"] == [20.0, 15.0, 4.0]
    assert kept["days"][1] == datetime.date(2027, 6, 21)


def test_a_sketch_that_stands_is_shown_again(tmp_path):
    sketched(tmp_path)._keep.click()
    again = sketched(tmp_path)
    assert "You predicted 25 cm on 24 May 2027" in again._status.value
    assert len(again.children) == 2


def test_a_sketch_in_inches_and_a_point_that_cannot_be(tmp_path):
    one = sketched(tmp_path)
    one._system.value = "US"
    assert [row.box.value for row in one._rows] == [9.843] * 3  # 25 cm
    one._rows[0].box.value = 99
    assert "runs from 0 to 9 3/4 in" in one._answer.sentence
    one._keep.click()
    assert one._shown.value == ""
    one._rows[0].box.value = 8
    one._keep.click()
    assert Progress.open("7B-12", tmp_path).predictions["03-level"]["unit"] == "in"
