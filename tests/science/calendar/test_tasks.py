"""Dated tasks and stems a week, by hand and against a plain loop."""

import dataclasses
import datetime

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from stilltank.science import calendar, crops
from stilltank.science.sky import ONE_DAY
from stilltank.science.weather import Site, Weather, site
from stilltank.units import OutOfRange, Problem, Q

NEW_YORK = site("new-york")
DAY = datetime.timedelta(days=1)


def steady(degrees=20):
    dates = np.arange("2013-01-01", "2015-01-01", dtype="datetime64[D]")
    weather = Weather(dates, Q(np.full(dates.shape, degrees + 4.0), "degC"), Q(degrees - 4.0, "degC"))
    return Site("test", Q(40, "degree"), Q(10, "m"), weather)


def by_kind(plan):
    return {task.kind: task for task in calendar.tasks(plan)}


def test_a_season_by_hand():
    """Snapdragon sown on 1 May at a steady 20 degC: 7 to 14 days to come up, 10.5 in the middle, so 11.

    Thin 7 and pot 12 days later, 27 days to the tank, harden 7 before it, net after 7, pinch after 12.
    """
    plan = calendar.schedule(crops.pinched("snapdragon"), steady(), sow="2026-05-01")
    todo, sow = by_kind(plan), datetime.date(2026, 5, 1)
    after = {kind: ((task.date - sow).days, (task.until - sow).days) for kind, task in todo.items()}
    assert after["sow"] == after["label"] == (0, 0)
    assert after["emerge"] == (7, 14)
    assert after["thin"] == (18, 18)
    assert after["pot"] == (23, 23)
    assert after["harden"] == (20, 27)
    assert after["plant"] == (27, 27)
    assert after["support"] == (34, 34)
    assert after["pinch"] == (39, 39)
    # 681 over 15.41 is 44.2 days, a fifth less or more for other kinds, and a pinch costs 8, 10 or 12.67 of 7 to 14
    first, middle, last = 27 + 36 + 8, 27 + 45 + 10, 27 + 54 + 13
    assert after["open"] == (first, last)
    assert after["cut"] == (middle, last + 35)
    assert after["empty"] == (last + 35, last + 35)
    assert "weed" in todo["label"].text
    assert "needs light" in todo["sow"].text
    assert "15 and 30 cm above the lid" in todo["support"].text  # a university page on cut flowers


@given(st.sampled_from(crops.names()), st.dates(datetime.date(2024, 1, 1), datetime.date(2028, 12, 31)))
@settings(deadline=None, max_examples=80)
def test_tasks_lie_in_the_season_and_in_order(name, sow):
    try:
        plan = calendar.schedule(name, NEW_YORK, sow)
    except Problem:
        assume(False)
    todo = calendar.tasks(plan)
    kinds = [task.kind for task in todo]
    assert len(set(kinds)) == len(kinds)
    assert {"sow", "label", "emerge", "plant", "open", "empty"} <= set(kinds)
    assert [task.date for task in todo] == sorted(task.date for task in todo)
    assert all(plan.sow <= task.date <= task.until <= max(plan.end, plan.first_flower.late) for task in todo)
    where = {task.kind: task.date for task in todo}
    for early in ("thin", "pot", "harden"):
        assert where.get(early, plan.sow) <= plan.transplant
    assert where.get("support", plan.transplant) >= plan.transplant
    one = crops.crop(name)
    assert ("support" in kinds) == (one.support != "none")
    assert "pinch" not in kinds, "nobody asked for it"
    assert ("pot" in kinds) <= (one.sow_into == "tray")


def test_nothing_is_hardened_off_for_a_room():
    inside = calendar.schedule("zinnia", NEW_YORK, "2026-05-01", temperature=Q(20, "degC"))
    assert not inside.outdoors
    assert "harden" not in by_kind(inside)
    assert "harden" in by_kind(calendar.schedule("zinnia", NEW_YORK, "2026-05-01"))


def test_all_that_leaves_the_house_is_hardened_off():
    """Common practice: a week, and 4 to 5 days for a hardy crop; seedlings under lamps are soft whatever their kind."""
    for name, days in (("cornflower", 5), ("parsley", 5), ("snapdragon", 7), ("basil", 7)):
        plan = calendar.schedule(name, NEW_YORK, "2026-04-20")
        task = by_kind(plan)["harden"]
        assert (plan.transplant - task.date).days == days, name
        assert task.until == plan.transplant


@pytest.mark.parametrize(
    ("name", "sown", "left"),
    [
        ("chives", "Twelve seeds to a net pot", None),
        ("coriander", "Four seeds to a net pot", None),
        ("rocket", "Six seeds to a net pot", "Leave the four strongest in each pot"),
        ("spinach", "Five seeds to a net pot", "Leave the three strongest in each pot"),
        ("basil", "Four seeds to a net pot", "Leave the two strongest in each pot"),
        ("chard", "Two seeds to a net pot", "One seedling a place"),
        ("zinnia", "Three seeds to a net pot", "One seedling a place"),
        ("snapdragon", "Thinly into a tray", "One seedling a place"),
    ],
)
def test_small_clumps_are_sown_and_thinned_as_growers_do(name, sown, left):
    """Common practice: 12 chives, 4 coriander and rocket, 3 spinach, 2 basil in a pot; a beet seed holds several."""
    todo = by_kind(calendar.schedule(name, NEW_YORK, "2026-04-01"))
    assert todo["sow"].text.startswith(sown)
    assert ("thin" in todo) == (left is not None)
    assert left is None or todo["thin"].text.startswith(left)


def test_a_sowing_says_what_heat_does_to_the_seed():
    """Harrington & Minges (1954): of 100 lettuce seeds 12 at 30 degC; of spinach 52 at 20 and 28 at 25, so 42 at 22.

    Parsley falls from 69 to 50 only, and of zinnia nothing is known.
    """
    said = by_kind(calendar.schedule("lettuce", NEW_YORK, "2026-03-20"))["sow"].text
    assert "About 20 degC until they come up; at 30 degC only 12 of 100 seeds do." in said
    said = by_kind(calendar.schedule("spinach", NEW_YORK, "2026-03-20"))["sow"].text
    assert "About 12 degC until they come up; at 22 degC only 42 of 100 seeds do." in said
    for name in ("parsley", "zinnia"):
        assert "of 100" not in by_kind(calendar.schedule(name, NEW_YORK, "2026-05-01"))["sow"].text


def test_seeds_that_all_stay_are_not_thinned_and_one_is_one():
    lone = dataclasses.replace(crops.crop("zinnia"), seeds_a_pot=1.0)
    todo = by_kind(calendar.schedule(lone, NEW_YORK, "2026-05-01"))
    assert todo["sow"].text.startswith("One seed to a net pot")
    assert "thin" not in todo
    many = dataclasses.replace(lone, seeds_a_pot=20.0)
    assert by_kind(calendar.schedule(many, NEW_YORK, "2026-05-01"))["sow"].text.startswith("20 seeds to a")


def test_a_leaf_crop_says_what_its_first_cut_weighs():
    """Currey, Walters & Flax (2019), abstract: coriander 35 g at 18 mol/m2 of light a day, 14 g at 7 mol/m2."""
    said = by_kind(calendar.schedule("coriander", NEW_YORK, "2026-03-20"))["open"].text
    assert said.endswith("The first cut of one pot weighs about 35 g (14 to 35).")
    said = by_kind(calendar.schedule("lettuce", NEW_YORK, "2026-03-20"))["open"].text
    assert said.endswith("The first cut of one plant weighs about 150 g (100 to 220).")
    alone = dataclasses.replace(
        crops.crop("lettuce"), harvest_weight_low=Q(150, "g"), harvest_weight_high=Q(150, "g")
    )
    assert by_kind(calendar.schedule(alone, NEW_YORK, "2026-03-20"))["open"].text.endswith("about 150 g.")
    assert "weighs" not in by_kind(calendar.schedule("zinnia", NEW_YORK, "2026-05-01"))["open"].text


def test_what_is_not_known_gives_no_task():
    bare = dataclasses.replace(
        crops.crop("zinnia"), germination_days=None, pinch=None, support=None, hardiness=None
    )
    kinds = set(by_kind(calendar.schedule(bare, NEW_YORK, "2026-05-01")))
    assert kinds == {"sow", "label", "plant", "open", "cut", "empty"}


def test_a_pinch_that_may_come_too_late_says_so():
    quick = dataclasses.replace(
        crops.pinched("cosmos"),
        days_to_flower=Q(22, "day"),
        days_to_flower_low=Q(22, "day"),
        pinch_delay=Q(0, "day"),
        pinch_delay_low=Q(0, "day"),
        pinch_delay_high=Q(0, "day"),
        harvest_until="weeks",
    )
    task = by_kind(calendar.schedule(quick, NEW_YORK, "2026-05-01"))["pinch"]
    assert "too late" in task.text
    done = dataclasses.replace(quick, days_to_flower_high=Q(22, "day"), harvest_weeks=Q(1, "day"))
    plan = calendar.schedule(done, NEW_YORK, "2026-05-01")
    assert by_kind(plan)["pinch"].date == plan.end < plan.transplant + 12 * DAY
    usual = by_kind(calendar.schedule(crops.pinched("cosmos"), NEW_YORK, "2026-05-01"))["pinch"]
    assert "too late" not in usual.text
    assert "10 days later (7 to 14)" in usual.text


def test_seedlings_that_go_early_are_thinned_by_then():
    """Up after 6 days and thinned 7 later, but in the tank on the 10th."""
    early = dataclasses.replace(crops.crop("zinnia"), seedling_days=Q(10, "day"))
    plan = calendar.schedule(early, NEW_YORK, "2026-05-01")
    assert by_kind(plan)["thin"].date == plan.transplant
    assert by_kind(plan)["harden"].date == plan.sow + 6 * DAY


def test_sown_straight_into_the_tank():
    straight = dataclasses.replace(crops.crop("sunflower"), seedling_days=None, emergence_days=None)
    plan = calendar.schedule(straight, NEW_YORK, "2026-05-01")
    assert "Straight into the net pots" in by_kind(plan)["sow"].text
    assert {"thin", "harden"}.isdisjoint(by_kind(plan))


def test_a_succession_numbers_its_batches():
    several = calendar.succession("rocket", NEW_YORK, "2026-06-01", "2026-06-15", every=Q(7, "day"))
    todo = calendar.tasks(several)
    assert {task.batch for task in todo} == {1, 2, 3}
    assert [task.date for task in todo] == sorted(task.date for task in todo)
    assert len(todo) == 3 * len(calendar.tasks(several[0]))


def test_a_table_of_tasks():
    todo = calendar.tasks(calendar.schedule("zinnia", NEW_YORK, "2026-05-01"))
    table = calendar.task_table(todo)
    assert len(table) == len(todo)
    assert list(table.columns) == ["date", "until", "batch", "task", "what to do"]
    assert table["date"].is_monotonic_increasing
    assert list(calendar.task_table([]).columns) == list(table.columns)


# Stems


def certain(name="zinnia", **given):
    """A crop without doubt: one outcome, so many stems, so many weeks."""
    fixed = {"stems_per_plant": 12.0, "harvest_weeks": Q(4, "week")} | given
    ends = {f"{field}_{end}": fixed[field] for field in fixed for end in ("low", "high")}
    return dataclasses.replace(crops.crop(name), harvest_until="weeks", **fixed, **ends)


def no_doubt(plan, day):
    """The same schedule with one first flower alone."""
    when = np.datetime64(day, "D")
    end = (when + 28 * ONE_DAY).item()
    return dataclasses.replace(plan, _outcomes=np.array([when]), harvest_end=calendar.Window(end, end, end))


def test_stems_by_hand():
    """From Wednesday 1 July 2026, 12 stems a plant in 4 weeks, 6 plants: 72/28 a day; 5 days of the first week."""
    plan = no_doubt(calendar.schedule(certain(), NEW_YORK, "2026-05-01"), "2026-07-01")
    found = calendar.stems_per_week(plan, 6)
    assert found.weeks[0] == datetime.date(2026, 6, 29)
    assert found.expected == pytest.approx(np.array([5, 7, 7, 7, 2]) * 72 / 28)
    assert found.low == pytest.approx(found.expected)
    assert found.total == pytest.approx((72, 72, 72))
    assert found.table()["expected"].tolist() == [13, 18, 18, 18, 5]


def test_stems_of_a_bed_are_shared_among_its_plants():
    """A square metre of 25 plants that gave 150 stems: 6 each; a square foot has 144 square inches."""
    assert calendar.stems_per_plant(Q(150, "1/m^2"), Q(25, "1/m^2")) == pytest.approx(6)
    assert calendar.stems_per_plant(Q(4, "1/ft^2"), 1 / Q(72, "inch^2")) == pytest.approx(2)
    with pytest.raises(OutOfRange, match="plants above 0"):
        calendar.stems_per_plant(Q(4, "1/ft^2"), Q(0, "1/ft^2"))


def test_a_year_without_flowers_adds_no_weeks():
    """In one year of ten the cold kills these before they flower; the weeks end with the harvest of the others."""
    plan = calendar.schedule("snapdragon", site("quillgate"), "2027-03-15")
    assert plan.chance_by("2028-12-31") < 1
    assert calendar.stems_per_week(plan, 6).weeks[-1] <= plan.end


def test_sowings_add_up():
    one = no_doubt(calendar.schedule(certain(), NEW_YORK, "2026-05-01"), "2026-07-01")
    two = no_doubt(calendar.schedule(certain(), NEW_YORK, "2026-05-15"), "2026-07-15")
    both = calendar.stems_per_week([one, two], 3)
    assert both.expected.sum() == pytest.approx(2 * 3 * 12)
    assert both.weeks[0] == datetime.date(2026, 6, 29)
    assert both.expected[2] == pytest.approx(
        (7 + 5) * 36 / 28
    )  # 13 July: all of the first, 5 days of the second


@pytest.mark.parametrize("name", crops.names("flower"))
def test_stems_of_every_flower(name):
    """Never more than the most stems of all plants; a loop over members agrees with the mean.

    The mean may lie below the lower end: where less than a tenth of the members lose stems, nine of ten have all.
    """
    sow = "2026-02-20" if name in ("stock", "pansy") else "2026-04-20"
    plan, one = calendar.schedule(name, NEW_YORK, sow), crops.crop(name)
    found = calendar.stems_per_week(plan, 4)
    assert np.all(found.low <= found.high + 1e-9)
    assert np.all(found.expected >= 0)
    assert 0 <= found.total[0] <= found.total[2] <= 4 * one.stems_per_plant_high + 1e-9
    assert found.total[1] > 0
    assert found.expected.sum() == pytest.approx(found.total[1])
    assert all(week.weekday() == 0 for week in found.weeks)
    sums = []
    for start in plan.by_rank(101).tolist():
        left = max((plan.end - start).days + 1, 0)
        for weeks in (one.harvest_weeks_low, one.harvest_weeks, one.harvest_weeks_high):
            for stems in (one.stems_per_plant_low, one.stems_per_plant, one.stems_per_plant_high):
                long = round(weeks.m_as("day"))
                part = min(left, long) / long
                sums.append(4 * stems * (left > 0 if one.cut == "once" else part))
    assert found.total[1] == pytest.approx(np.mean(sums))
    assert found.total[0] == pytest.approx(np.quantile(sums, 0.1))
    assert found.total[2] == pytest.approx(np.quantile(sums, 0.9))


def test_stems_of_a_long_harvest_come_over_all_of_it():
    """12 stems in 4 weeks or more: cut for 8, a plant gives the same 12, at half the pace; cut for 2, it gives 6."""
    crop = dataclasses.replace(certain(), harvest_until="cold")
    plan = no_doubt(calendar.schedule(crop, NEW_YORK, "2026-05-01"), "2026-07-01")
    ends = {days: plan.first_flower.expected.replace(month=7, day=1) + days * DAY for days in (55, 13)}
    long, short = (
        calendar.stems_per_week(dataclasses.replace(plan, harvest_end=calendar.Window(end, end, end)), 1)
        for end in ends.values()
    )
    assert long.total[1] == pytest.approx(12)
    assert long.expected[2] == pytest.approx(7 * 12 / 56)
    assert short.total[1] == pytest.approx(6)


LETTUCE = calendar.schedule("lettuce", NEW_YORK, "2026-04-20")


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: calendar.tasks("zinnia"), Problem, "'zinnia', which is none"),
        (lambda: calendar.tasks(None), Problem, "needs a Schedule"),
        (lambda: calendar.tasks([LETTUCE, 3]), Problem, "3, which is none"),
        (lambda: calendar.stems_per_week(LETTUCE, 4), Problem, "No stems a plant"),
        (lambda: calendar.stems_per_week([], 4), Problem, "needs a Schedule"),
        (lambda: calendar.stems_per_week("zinnia", 4), Problem, "needs a Schedule"),
        (
            lambda: calendar.stems_per_week(calendar.schedule("zinnia", NEW_YORK, "2026-05-01"), 0),
            OutOfRange,
            "at least 1",
        ),
        (
            lambda: calendar.stems_per_week(calendar.schedule("zinnia", NEW_YORK, "2026-05-01"), "6"),
            OutOfRange,
            "whole",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
