"""Figures of chapter 5: what they say agrees with the results they are given, and labels can be read."""

import datetime

import numpy as np
import pytest
from drawn import overlaps
from stilltank.chapters.flowering_schedules import panels
from stilltank.chapters.flowering_schedules.figures import BatchBars, ChanceInTime, RateAndDays, Warming
from stilltank.science import calendar, crops, heat
from stilltank.units import Q

LARGE = pytest.mark.parametrize("large", [False, True], ids=["plain", "large"])
SYSTEM = pytest.mark.parametrize("system", ["metric", "US"])
WARM = Q(np.linspace(0, 36, 73), "degC")


def warming(name, celsius, trial=None):
    one = crops.crop(name)
    chosen = Q(celsius, "degC")
    return Warming(
        one.label,
        WARM,
        heat.days_to_flower(name, WARM),
        chosen,
        heat.days_to_flower(name, chosen),
        (one.coldest_tested, one.warmest_tested) if one.warmest_tested is not None else None,
        trial,
    )


@LARGE
@SYSTEM
@pytest.mark.parametrize(
    ("name", "celsius"), [("snapdragon", 18), ("zinnia", 25), ("sunflower", 12), ("zinnia", 2)]
)
def test_rate_and_days(system, large, name, celsius):
    drawing = RateAndDays(system, large)
    said = drawing.show(warming(name, celsius)).sentence
    assert ("never flowers" in said) == (celsius == 2)
    assert overlaps(drawing.figure) == ([], [])


def test_the_rate_is_a_straight_line_and_the_days_are_not():
    # By hand: 681 degree-days above 4.59 degC (data/crops.csv) are 44.2 days at 20 degC.
    drawing = RateAndDays()
    found = warming("snapdragon", 20, heat.trial("snapdragon 'Chimes White' 2003"))
    assert "takes 44 days from transplant" in drawing.show(found).sentence
    rate, days = (parts["line"] for parts in drawing._artists)
    warmth, each = rate.get_data()
    inside = (warmth >= 10) & (warmth <= 25)
    assert np.ptp(np.diff(each[inside])) == pytest.approx(0, abs=1e-9)
    assert each[inside] * days.get_ydata()[np.isin(days.get_xdata(), warmth[inside])] == pytest.approx(100)
    # the trial stands in both halves: 67 days are 1.49 % a day
    for parts, coldest in zip(drawing._artists, (100 / 67, 67), strict=True):
        assert parts["trial"].get_ydata()[-1] == pytest.approx(coldest)


@LARGE
@pytest.mark.parametrize("every", [7, 14, 35])
def test_a_succession(large, every):
    plan = calendar.succession("zinnia", "quillgate", "2027-07-15", "2027-09-23", every=Q(every, "day"))
    stems = calendar.stems_per_week(plan, 6)
    drawing = BatchBars(large=large)
    said = drawing.show(plan, stems, 6).sentence
    assert said.startswith(f"{len(plan)} sowings of zinnia, 6 plants each, need {plan.tanks} tanks.")
    assert overlaps(drawing.figure) == ([], [])
    # one bar a batch, from the transplant to the end
    boxes = [path.vertices for path in drawing._bars[1].get_paths()]
    assert len(boxes) == len(plan)
    first = plan[0]
    assert boxes[0][:, 0].max() - boxes[0][:, 0].min() == (first.end - first.transplant).days


def test_a_shorter_plan_takes_the_place_of_a_longer_one():
    drawing = BatchBars()
    for every, count in ((7, 11), (35, 3)):
        plan = calendar.succession("zinnia", "quillgate", "2027-07-15", "2027-09-23", every=Q(every, "day"))
        drawing.show(plan, calendar.stems_per_week(plan, 6), 6)
        assert len(drawing._bars[0].get_paths()) == len(plan) == count


@LARGE
@pytest.mark.parametrize("wanted", ["2027-05-10", "2027-06-28", "2027-09-06"])
def test_in_time(large, wanted):
    found = calendar.schedule("snapdragon", "quillgate", "2027-04-12")
    drawing = ChanceInTime(large=large)
    chance = 100 * found.chance_by(wanted)
    assert (
        f"in {chance:.0f} of 100 outcomes"
        in drawing.show(found, datetime.date.fromisoformat(wanted)).sentence
    )
    assert (chance == 0) == (wanted == "2027-05-10")
    assert overlaps(drawing.figure) == ([], [])


def test_flowers_wanted_before_the_sowing_are_refused():
    panel = panels.in_time_panel()
    panel.rows["sow"].value = "2027-08-02"
    assert "lies before the sowing" in panel.answer.sentence
    panel.reset()
    assert "Problem:" not in panel.answer.sentence


def test_the_room_knows_no_weather():
    panel = panels.dates_panel()
    panel.rows["place"].value = ""
    # By hand: 27 days as seedlings, then 681 degree-days above 4.59 degC at 20 degC are full on the 45th day: 26 May.
    assert "first flower about 26 May" in panel.answer.sentence
    assert "frost" not in panel.answer.sentence
