"""Several crops, losses, top-up, hole, end and a reading in mid-season: what a plan keeps, and what follows."""

import numpy as np
import pytest
from stilltank.science import budget
from stilltank.season.plan import Group, Loss, Plan, PlanFault, Reading
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded


def mixed(**choices):
    usual = {
        "crop": "basil",
        "count": 2,
        "start": "2027-05-10",
        "beside": [Group("lettuce", 2, transplanted="2027-05-20")],
    }
    return Plan.make(**{**usual, **choices})


def test_two_crops_drink_as_much_as_each_does_alone():
    both = mixed().outlook
    alone = mixed(beside=()).outlook
    start, rate = np.datetime64("2027-05-10"), Q(3, "mm/day")

    def drunk(plantings, days):
        scenario = budget.Scenario.make(
            "quillgate-tub", plantings, start=start, days=days, reference_et=rate,
            rain_share=Q(0, "percent"),
        )  # fmt: skip
        return float(scenario.season().table["demand (L)"].sum())

    lettuce = both.courses[1].plantings
    # demand is what they ask for, whatever is left in the tank
    assert drunk(both.plantings, 40) == pytest.approx(
        drunk(alone.plantings, 40) + drunk(lettuce, 40), rel=1e-9
    )


def test_a_group_leaves_on_its_own_day_and_the_tank_follows_the_last():
    plan = mixed()
    basil, lettuce = plan.outlook.courses
    assert lettuce.end < basil.end == plan.outlook.end
    assert plan.outlook.days == (basil.end - plan.start).days + 1
    found = {one.crop.name: one for one in plan.outlook.plantings}
    assert found["lettuce"].last_day == lettuce.end
    assert found["basil"].last_day is None


def test_dead_plants_stop_drinking_and_young_ones_begin_anew():
    losses = [Loss("2027-06-10", 1), Loss("2027-06-20", 1, replaced=True)]
    plan = mixed(count=4, losses=losses, beside=())
    told = [(one.count, str(one.first_day), str(one.last_day), one.age) for one in plan.outlook.plantings]
    assert told == [
        (4, "2027-05-10", "2027-06-09", 0),
        (3, "2027-06-10", "2027-06-19", 31),
        (2, "2027-06-20", "None", 41),
        (1, "2027-06-20", "None", 0),
    ]
    assert plan.groups[0].standing("2027-06-09") == 4
    assert plan.groups[0].standing("2027-07-01") == 3


def test_more_losses_than_plants_are_refused():
    with pytest.raises(OutOfRange, match="1 plants are left, and 2 cannot die"):
        mixed(losses=[Loss("2027-06-01", 1), Loss("2027-06-02", 2)])


def test_until_frost_what_is_cut_again_goes_on_and_what_is_cut_once_is_cleared():
    plan = mixed(crop="rudbeckia", until="frost")
    rudbeckia, lettuce = plan.outlook.courses
    frost = budget.last_day_before_frost("2027-05-10", plan.site.weather)
    assert mixed(crop="rudbeckia").outlook.courses[0].end < rudbeckia.end == frost
    assert lettuce.end == mixed().outlook.courses[1].end


def test_until_frost_what_heat_ends_still_ends_with_the_heat():
    own = mixed(crop="snapdragon", beside=())
    assert own.change(until="frost").outlook.end == own.outlook.end


def test_a_group_after_the_end_is_refused_with_a_remedy():
    late = mixed(until="2027-06-15", beside=[Group("lettuce", 2, transplanted="2027-06-20")])
    with pytest.raises(Problem, match="emptied on 2027-06-15, and the lettuce would be set in on 2027-06-20"):
        late.settle()


def test_a_reading_in_mid_season_goes_on_from_its_level_with_plants_of_their_age():
    whole = mixed(beside=())
    today = whole.change(reading=Reading("2027-06-20", Q(18, "cm"), conductivity=Q(1.9, "mS/cm")))
    scenario = today.scenario()
    assert str(scenario.start) == "2027-06-20"
    assert scenario.first_level.m_as("cm") == 18
    assert scenario.first_conductivity.m_as("mS/cm") == 1.9
    assert str(scenario.plants[0].first_day) == "2027-05-10"
    assert today.outlook.days == whole.outlook.days - 41
    assert min(day.day for day in today.outlook.looks()) >= today.reading.day
    assert today.outlook.weekly[0]["day"].isoformat() == "2027-06-26"


def test_the_level_to_stop_at_is_a_share_of_the_filling_and_not_of_the_reading():
    filling = mixed(beside=()).outlook.volume.m_as("L")
    late = mixed(beside=(), reading=Reading("2027-06-20", Q(9, "cm"))).outlook.season
    for member in range(0, 200, 20):
        limit = float(late.drawn["stop_share"][member]) * filling
        below = np.flatnonzero(late.volume.m_as("L")[member] <= limit)
        expected = late.dates[below[0]] if below.size else np.datetime64("NaT")
        assert str(late.stop[member]) == str(expected)


def test_rain_counts_from_a_reading_below_the_pots_as_from_any_level_there():
    """From the reading a rise up to the caution is allowed; only what exceeds 2 cm counts."""
    from stilltank.science import roots

    found = roots.rises(0.15, [[0.16, 0.15, 0.175]], [[0.165, 0.16, 0.176]], 0.23)
    assert found.above.tolist() == [[False, False, True]]


def test_a_reading_before_the_planting_or_above_the_rim_is_refused():
    with pytest.raises(Problem, match="before the tank was planted"):
        mixed(reading=Reading("2027-04-01", Q(18, "cm")))
    with pytest.raises(OutOfRange, match=r"A level of 40 cm: this tank is 30 cm high"):
        mixed(reading=Reading("2027-06-20", Q(40, "cm")))
    with pytest.raises(UnitNeeded, match="level needs its unit"):
        Reading("2027-06-20", 15)


def test_a_top_up_by_hand_keeps_the_tank_from_running_dry():
    bare = mixed(count=5, beside=())
    tended = bare.change(top_up=budget.by_hand(2, Q(15, "cm"), Q(1, "cm"), 0.5))
    dry = [float((one.outlook.season.volume[:, -1] < Q(3, "L")).mean()) for one in (bare, tended)]
    assert dry[0] > 0.5 > dry[1]


def test_a_hole_below_the_fill_line_is_filled_to_and_said():
    low = mixed(hole=Q(21, "cm"))
    assert low.outlook.fill_level.m_as("cm") == 21
    assert "young plants would hang dry" in low.outlook.low_hole
    high = mixed(hole=Q(28, "cm"))
    assert high.outlook.low_hole == ""
    assert high.scenario().overflow_height.m_as("cm") == 28
    with pytest.raises(OutOfRange, match="A hole at 40 cm is not in this tank"):
        mixed(hole=Q(40, "cm"))


def test_a_lid_with_few_slots_gets_no_more_plants_by_default():
    assert Plan.make(slots=4).plants.count == 4
    assert Plan.make(slots=9).plants.count == Plan.make().plants.count
    assert Plan.make(slots=4, count=5).plants.count == 5


def test_crops_that_want_another_ph_or_strength_are_named():
    said = " ".join(mixed(target_ph=6.9).outlook.ill_matched)
    assert "Lettuce wants pH" in said
    assert "the target is 6.9" in said


def everything():
    return mixed(
        until="frost",
        count=3,
        losses=[Loss("2027-06-15", 1, replaced=True)],
        beside=[
            Group("lettuce", 2, transplanted="2027-05-20", losses=[Loss("2027-06-01")]),
            Group("lettuce", 1, transplanted="2027-07-20"),
            Group("zinnia", 1, pot_depth=Q(5, "cm")),
        ],
        hole=Q(27, "cm"),
        slots=8,
        top_up=budget.by_hand(3, Q(15, "cm"), Q(1, "cm"), 0.5),
        top_up_water="quillgate-rain",
        reading=Reading("2027-06-20", Q(18, "cm"), conductivity=Q(1.9, "mS/cm"), ph=6.3),
    )


def test_all_choices_are_kept_in_the_file(tmp_path):
    plan = everything()
    plan.save(tmp_path / "my-tank.toml")
    again = Plan.load(tmp_path / "my-tank.toml")
    assert again.text(tmp_path) == plan.text(tmp_path)
    assert again.beside == plan.beside
    assert again.losses == plan.losses
    assert again.reading == plan.reading
    assert str(again.outlook) == str(plan.outlook)


@pytest.mark.parametrize(
    "routine",
    [
        budget.by_hand(7, strength=1.0, name="on Sundays"),
        budget.float_valve(Q(14, "cm"), 0.5),
        budget.drip(Q(0.5, "L/hour"), Q(1, "hour")),
        budget.on_dates({"2027-06-01": Q(3, "L"), "2027-06-20": Q(2, "L")}),
    ],
    ids=str,
)
def test_each_way_of_topping_up_is_kept_in_the_file(routine, tmp_path):
    mixed(top_up=routine).save(tmp_path / "a.toml")
    again = Plan.load(tmp_path / "a.toml").top_up
    assert (str(again), again.way, again.strength, again.every) == (
        str(routine),
        routine.way,
        routine.strength,
        routine.every,
    )
    assert again.volumes == routine.volumes


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('way = "by hand"', 'way = "hosepipe"', '`way` reads "hosepipe"; write one of'),
        ('every = "3 days"', 'every = "0 days"', "1 to 366 whole days"),
        ('"1 on 2027-06-01"', '"one in June"', '`losses` reads "one in June"'),
        ('"1 on 2027-06-01"', '"5 on 2027-06-01"', "2 plants are left, and 5 cannot die"),
        ('pot_depth = "5 cm"', 'pot_depth = "5"', "pot_depth"),
        ("slots = 8", "slots = 2.5", "A number of slots is whole"),
        ('hole = "27 cm"', 'hole = "60 cm"', "A hole at 60 cm is not in this tank"),
        ('until = "frost"', 'until = "autumn"', "autumn"),
        ('level = "18 cm"', 'level = "44 cm"', "A level of 44 cm"),
        ("day = 2027-06-20", "day = 2027-01-20", "before the tank was planted"),
    ],
)
def test_a_fault_in_a_new_part_names_its_line(old, new, says, tmp_path):
    path = tmp_path / "my-tank.toml"
    text = everything().text(tmp_path)
    number = next(i for i, line in enumerate(text.splitlines(), 1) if old in line)
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(PlanFault) as told:
        Plan.load(path)
    assert says in str(told.value)
    line = int(str(told.value).split("line ")[1].split(":")[0])
    assert number - 1 <= line <= number  # a list is named by the line where it begins


def test_an_older_file_is_read_as_it_is_and_copied_before_a_save(tmp_path):
    path = tmp_path / "my-tank.toml"
    older = Plan.make(count=4).text(tmp_path).replace("format = 2", "format = 1") + "# our remark\n"
    path.write_text(older, encoding="utf-8")
    plan = Plan.load(path)
    assert path.read_text(encoding="utf-8") == older
    plan.change(count=3).save(path)
    assert (tmp_path / "my-tank.format-1.toml").read_text(encoding="utf-8") == older
    plan.change(count=2).save(path)
    assert sorted(each.name for each in tmp_path.iterdir()) == ["my-tank.format-1.toml", "my-tank.toml"]


def test_a_second_older_file_gets_a_copy_of_its_own(tmp_path):
    path = tmp_path / "my-tank.toml"
    for count in (4, 5):
        older = Plan.make(count=count).text(tmp_path).replace("format = 2", "format = 1")
        path.write_text(older, encoding="utf-8")
        Plan.load(path).change(count=3).save(path)
    assert "count = 5" in (tmp_path / "my-tank.format-1-2.toml").read_text(encoding="utf-8")


def test_a_change_of_crop_forgets_losses_and_keeps_the_rest():
    plan = everything().change(crop="lettuce", count=2)
    assert plan.losses == ()
    assert len(plan.beside) == 3
    assert plan.hole.m_as("cm") == 27
