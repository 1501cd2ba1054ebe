"""The design review over plans that each have one thing wrong: it is seen, and each remedy, applied, clears it."""

import re
from functools import cache
from pathlib import Path

import pytest
from stilltank import tables
from stilltank.science import budget, mixing, products, roots, tank, weather
from stilltank.season.plan import Group, Plan, Reading
from stilltank.season.review import Flag, Remedy, review
from stilltank.season.review.design_review import _CHECKS, _NAMES
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

OWN = Path(__file__).parents[2] / "own-plan.toml"
HARD = mixing.Water(
    {"Ca": Q(60, "mg/L"), "Mg": Q(7, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.8, name="our hard tap"
)
SALTY = mixing.Water(
    {"Na": Q(200, "mg/L"), "Cl": Q(310, "mg/L"), "Ca": Q(60, "mg/L")},
    alkalinity=Q(100, "mg/L"), ph=7.8, name="our well",
)  # fmt: skip
ONE_BAG = products.Shelf.make(
    products.Salt.from_label(
        "one bag for all",
        {
            "NO3-N": Q(9, "percent"), "P2O5": Q(8, "percent"), "K2O": Q(20, "percent"), "CaO": Q(9, "percent"),
            "Mg": Q(2, "percent"), "S": Q(3, "percent"), "Fe": Q(0.3, "percent"),
        },
    ),
    balance=Q(1, "g"),
)  # fmt: skip
TANKS = {
    "round bucket": tank.TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(36.3, "cm"), net_pot_depth=Q(5.1, "cm")),
    "tote in inches": tank.TaperedBox(
        *(Q(size, "inch") for size in (18, 12, 22, 15.5, 15.5)), net_pot_depth=Q(2.5, "inch")
    ),
    "tub by jugs": tank.Measured(
        Q([4.0, 7.8, 14.8, 21.3, 27.3, 30.0], "cm"), Q([5, 10, 20, 30, 40, 45], "L"), net_pot_depth=Q(7, "cm")
    ),
    "own plan": Plan.load(OWN).tank,
}
NORTH = weather.Site("the moor", Q(49.0, "degree"), Q(200, "m"), weather.record("quillgate"), "open")
SOUTH = weather.Site("the cape", Q(-33.9, "degree"), Q(20, "m"), weather.record("new-york"), "open")


def at(shape, rise):
    """A height so far above the fill line of a tank."""
    return {"hole": roots.fill_level(shape) + Q(rise, "cm")}


# What is wrong, by the flag that must see it.
WRONG = {
    "acid": lambda shape: {"acid": "nitric acid 61.4 %"},
    "weight": lambda shape: {},
    "low hole": lambda shape: at(shape, -4),
    "cold": lambda shape: {"crop": "zinnia", "start": "2027-08-25"},
    "early end": lambda shape: {"start": "2027-05-01", "until": "2027-06-15", "count": 1},
    "water": lambda shape: {"count": 13},
    "top-up": lambda shape: {"top_up": budget.by_hand(14, roots.fill_level(shape), Q(30, "cm"))},
    "rain": lambda shape: {"site": "seattle", "count": 2, "until": "2027-11-20"},
    "high hole": lambda shape: at(shape, 2.2),
    "warm roots": lambda shape: {"colour": "black"},
    "high element": lambda shape: {"acid": "phosphoric acid 0.5 mol/L"},
    "pH": lambda shape: {"target_ph": 4.8},
    "companions": lambda shape: {
        "crop": "dahlia",
        "target_ph": 6.6,
        "count": 1,
        "beside": [Group("snapdragon", 1)],
    },
    "cloudy": lambda shape: {"target_ph": 7.0},
    "dates": lambda shape: {"crop": "basil", "start": "2027-05-10", "count": 1},
    "dry": lambda shape: {"crop": "basil", "count": 6, "start": "2027-06-01"},
    "salt": lambda shape: {"count": 8, "water": SALTY},
    "crowded": lambda shape: {"count": 15},
    "weather": lambda shape: {"site": NORTH},
    "EC": lambda shape: {"water": SALTY, "count": 1},
    "low element": lambda shape: {"shelf": products.Shelf.make(products.salt("KNO3"), balance=Q(1, "g"))},
    "stock": lambda shape: {"shelf": ONE_BAG},
}
# Those for which no change of the plan helps, and for which a sentence says what to do at the tank.
AT_TANK = ("weight",)


def wrong(name, shape):
    usual = {
        "tank": TANKS[shape],
        "crop": "snapdragon",
        "count": 3,
        "water": HARD,
        "acid": "nitric acid 0.5 mol/L",
    }
    return Plan.make(**{**usual, **WRONG[name](TANKS[shape])})


def flagged(plan, name, system="metric"):
    return next((flag for flag in review(plan, system) if flag.name == name), None)


# Each flag in two of the tanks, in turn; half of them in US units.
SEEN = [
    (name, shape, "US" if (number + place) % 2 else "metric")
    for number, name in enumerate(WRONG)
    for place, shape in enumerate(TANKS)
    if number % 2 == place % 2
]


@cache
def reviewed(name, shape, system):
    plan = wrong(name, shape)
    return plan, review(plan, system)


@pytest.mark.parametrize(("name", "shape", "system"), SEEN)
def test_each_remedy_applied_clears_its_flag(name, shape, system):
    plan, flags = reviewed(name, shape, system)
    flag = next((each for each in flags if each.name == name), None)
    assert flag is not None, f"{name} is not seen"
    if name in AT_TANK:
        assert flag.caution
        assert flag.at_tank
        return
    assert flag.remedies, f"nothing helps against {name}"
    for remedy in flag.remedies:
        assert flagged(remedy.applied(plan), name) is None, remedy.words


def test_every_check_is_tried_here():
    assert set(_NAMES) == set(_CHECKS)
    assert set(_NAMES) == set(WRONG)


@pytest.mark.parametrize(("name", "shape", "system"), SEEN)
def test_sentences_are_for_people_and_limits_have_a_home(name, shape, system):
    for flag in reviewed(name, shape, system)[1]:
        says = [flag.sentence, flag.reason, flag.at_tank, *(each.words for each in flag.remedies)]
        for words in filter(None, says):
            assert not re.search(r"nan|None|inf\b|  |\d{5}|\bdegC\b|0000", words), words
            assert words[0].isupper() or words[0].isdigit(), words
            if system == "US":
                assert not re.search(r"\d (cm|mm|L|kg|°C|m²)\b", words), words
        assert flag.sentence.endswith(".")
        assert not flag.title.endswith(".")
        entry = tables.where_from(flag.source)
        assert entry.kind
        assert entry.note or entry.source or entry.where


def test_the_demo_tank_is_told_three_things():
    """As in chapter 0: four snapdragons in the courtyard tub, in the sun, which nobody tops up."""
    names = [flag.name for flag in review(Plan.make(count=4))]
    assert names == ["weight", "warm roots", "dry"]


def test_a_small_tank_in_a_room_is_told_nothing():
    room = weather.Site(
        "a windowsill", Q(41.5, "degree"), Q(210, "m"), weather.record("quillgate"), "indoors"
    )
    assert review(Plan.make("jar-4", "lettuce", room, start="2027-03-10", count=1)) == ()


def test_people_come_first_and_the_numbers_last():
    order = ("people", "crop", "numbers")
    plan = Plan.make("tote-60", "basil", NORTH, HARD, count=9, acid="nitric acid 38 %")
    concerns = [order.index(flag.concern) for flag in review(plan)]
    assert concerns == sorted(concerns)
    assert set(concerns) == {0, 1, 2}


def test_the_other_half_of_the_earth_is_seen_and_has_no_remedy_among_our_records():
    flag = flagged(Plan.make("jar-4", "lettuce", SOUTH, count=1, start="2027-04-20"), "weather")
    assert flag.caution
    assert "half a year" in flag.sentence
    assert "monthly" in flag.at_tank


def test_rain_water_is_measured_out_for_a_water_that_is_too_strong():
    """The litres that the review names, poured together and mixed, show a reading in the crop's range."""
    plan = wrong("EC", "tub by jugs")
    flag = flagged(plan, "EC")
    rain, own = (
        float(each)
        for each in re.search(r"with ([\d.]+) L .* and ([\d.]+) L", flag.remedies[0].words).groups()
    )
    assert rain + own == pytest.approx(plan.outlook.volume.m_as("L"), rel=0.05)
    poured = mixing.blend(plan.water, Q(own, "L"), mixing.Water.pure(), Q(rain, "L")).water
    shown = plan.change(water=poured).outlook.recipe.solution.conductivity()
    assert shown < 1.1 * plan.plants.crop.conductivity_high


def test_what_the_shelf_lacks_is_named_with_what_would_bring_it():
    flag = flagged(wrong("low element", "tub by jugs"), "low element")
    assert "P 0 of 39 mg/L, " in flag.sentence
    assert "monopotassium phosphate" in flag.at_tank


def test_what_the_place_bears_is_looked_at_where_it_is_said():
    plan = Plan.make(count=4)
    assert [flag.name for flag in review(plan, bears=Q(80, "lb"))][:2] == ["weight", "load"]
    assert "load" not in [flag.name for flag in review(plan, bears=Q(60, "kg"))]


def test_in_mid_season_plants_are_taken_out_and_the_start_stays():
    late = Plan.make(
        "quillgate-tub", "snapdragon", count=6, start="2027-05-10", reading=Reading("2027-06-05", Q(14, "cm"))
    )
    flag = flagged(late, "dry")
    words = [remedy for remedy in flag.remedies if remedy.words.startswith("Take out")]
    assert words
    assert words[0].applied(late).plants.count == 6
    assert flagged(words[0].applied(late), "dry") is None


def test_the_count_that_is_proposed_is_the_largest_that_clears():
    plan = Plan.make(count=6)
    remedy = flagged(plan, "water").remedies[0]
    more = plan.change(count=remedy.changes["count"] + 1)
    assert flagged(more, "water") is not None


def test_a_share_of_seasons_is_counted_from_all_pairs():
    """Three lines of hand working: of each season its stop day, of each outcome its first flower."""
    import numpy as np

    plan = Plan.make(count=6)
    stop = plan.outlook.season.stop
    flowers = plan.outlook.schedule.by_rank(99)
    pairs = [not np.isnat(day) and day < flower for day in stop for flower in flowers]
    assert flagged(plan, "water").number.m_as("dimensionless") == pytest.approx(np.mean(pairs))


def test_remedy_and_flag_are_frozen_and_say_themselves():
    remedy = Remedy("Plant 3 instead of 6", {"count": 3})
    with pytest.raises(TypeError):
        remedy.changes["count"] = 4
    flag = Flag(
        "water", "Too many", "A sentence.", None, None, "Why.", "review/water/share of seasons", (remedy,)
    )
    assert str(flag) == "Too many: A sentence. Plant 3 instead of 6."


@pytest.mark.parametrize("plan", [None, "my-tank.toml", 4])
def test_no_plan_is_refused(plan):
    with pytest.raises(Problem, match="plan"):
        review(plan)


def test_a_wrong_system_and_a_wrong_load_are_refused():
    with pytest.raises(Problem):
        review(Plan.make(), "imperial")
    with pytest.raises(UnitNeeded, match="60"):
        review(Plan.make(), bears=60)
    with pytest.raises(OutOfRange):
        review(Plan.make(), bears=Q(0, "kg"))


def test_what_is_done_is_not_held_against_a_plan_in_mid_season():
    """A filling that is in the tank and a day that is past cannot be changed any more."""
    basil = Plan.make("tote-60", "basil", start="2027-05-10", count=2)
    snapdragon = Plan.make("tote-60", "snapdragon", water=SALTY, count=2)
    for name, young in (("dates", basil), ("EC", snapdragon)):
        assert flagged(young, name) is not None
        late = young.change(reading=Reading("2027-06-20", Q(18, "cm")))
        flags = review(late)
        assert name not in [flag.name for flag in flags]
        assert not any("start" in remedy.changes for flag in flags for remedy in flag.remedies)


def test_too_many_plants_for_the_slots_are_flagged_and_fewer_clear_it():
    full = Plan.make(count=6, slots=4)
    flag = next(one for one in review(full) if one.name == "crowded")
    assert "6 plants stand in the tank at once, and its lid has 4 slots" in flag.sentence
    assert "crowded" not in [one.name for one in review(flag.remedies[0].applied(full))]


def test_a_season_lost_to_the_cold_is_not_asked_what_it_would_drink_next_summer():
    late = Plan.make(crop="zinnia", start="2027-08-30", count=6)
    names = [flag.name for flag in review(late)]
    assert "cold" in names
    assert not {"water", "warm roots", "dry", "salt"} & set(names)
    rather_late = [flag.name for flag in review(late.change(start="2027-08-16"))]
    assert {"cold", "water"} <= set(rather_late)  # 68 of 100 still flower, so the water counts
