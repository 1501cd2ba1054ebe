"""Plans side by side: the same weather, honest pairs, and numbers that the water budget gives by itself too."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from stilltank.science import budget
from stilltank.season.pictures import alternatives_picture
from stilltank.season.plan import Plan, Reading
from stilltank.season.review import alternatives, headline
from stilltank.show.figures import RangeStrips
from stilltank.units import Problem, Q

OWN = Path(__file__).parents[2] / "own-plan.toml"
FOUR = Plan.make(count=4)
TENDED = budget.by_hand(2, Q(15, "cm"), Q(1, "cm"), 0.5)


@pytest.fixture(scope="module")
def found():
    changes = {
        "two plants": {"count": 2},
        "a week later": {"start": "2027-05-03"},
        "topped up": {"top_up": TENDED},
        "a tote": {"tank": "tote-60"},
    }
    return alternatives(FOUR, changes)


def test_the_plan_itself_comes_first_and_says_what_its_outlook_says(found):
    assert found.names[0] == "as planned"
    season = FOUR.outlook.season
    used = np.median(season.transpired.m_as("L").sum(axis=1))
    # its weather is drawn for the longest of the plans, so it is another draw of the same record
    assert found.measures["water used"].range("as planned")[1] == pytest.approx(used, rel=0.1)
    assert found.share_dry["as planned"] == pytest.approx(season.share_of("run_dry"), abs=0.1)


def test_the_same_weather_falls_on_all(found):
    assert found.apart == ()
    used = found.measures["water used"].values
    assert (used["two plants"] <= used["as planned"] + 1e-9).all()
    assert (
        found.measures["tank dry"].values["a tote"] >= found.measures["tank dry"].values["as planned"]
    ).all()


def test_wins_are_counted_in_pairs(found):
    measure = found.measures["stop level"]
    better, same, worse = measure.won("a tote", "as planned")
    tote, plan = measure.values["a tote"], measure.values["as planned"]
    assert better == np.mean([one > other for one, other in zip(tote, plan, strict=True)])
    assert better + same + worse == pytest.approx(1)
    assert measure.won("as planned", "a tote") == pytest.approx((worse, same, better))


def test_what_proves_nothing_is_said_to_prove_nothing():
    twins = alternatives(FOUR, {"white": {"colour": "white"}, "one day later": {"start": "2027-04-27"}})
    says = twins.compared()
    assert 'Stop level: "white" and "as planned" are the same in every season.' in says
    assert any("proves nothing" in one for one in says if "one day later" in one)
    clear = alternatives(FOUR, {"one plant": {"count": 1}}).compared()
    assert not any("proves nothing" in one for one in clear)


def test_a_routine_adds_what_the_comparison_of_routines_says(found):
    table = found.plans["topped up"].scenario().compare([TENDED], FOUR.outlook.recipe).table
    assert found.measures["added"].range("topped up")[1] == pytest.approx(
        table["added (L)"].iloc[0], rel=0.15
    )
    assert found.share_above["topped up"] == pytest.approx(table["above caution (%)"].iloc[0] / 100, abs=0.06)


def test_nitrogen_is_neither_made_nor_lost():
    """What went in is what plants took and what was left over, in the median and for all seasons together."""
    plan = FOUR.change(top_up=TENDED)
    row = plan.scenario().compare([TENDED], plan.outlook.recipe).table.iloc[0]
    grams = (plan.outlook.recipe.solution.elements["N"] * plan.outlook.volume).m_as("g")
    left = (
        alternatives(FOUR, {"topped up": {"top_up": TENDED}})
        .measures["nitrogen not used"]
        .range("topped up")[1]
    )
    assert grams + row["N added (g)"] == pytest.approx(row["N taken up (g)"] + left, rel=0.15)


def test_stems_end_with_the_water(found):
    stems, dry = found.measures["stems"].values["as planned"], found.measures["tank dry"].values["as planned"]
    flowers = found.measures["first flower"].values["as planned"]
    assert (stems[dry <= flowers] == 0).all()
    assert found.measures["stems"].range("topped up")[0] > found.measures["stems"].range("as planned")[0]


def test_heads_are_counted_for_what_is_cut_once():
    lettuce = Plan.make("tote-60", "lettuce", start="2027-05-10", count=6)
    found = alternatives(lettuce, {"four": {"count": 4}})
    assert found.measures["heads"].range("as planned")[2] == 6
    assert found.measures["heads"].range("four")[2] == 4


def test_the_table_has_a_row_a_plan_and_dates_where_days_come(found):
    table = found.table
    assert list(table.index) == list(found.names)
    assert isinstance(table["first flower median"].iloc[0], pd.Timestamp)
    assert table["tank dry 90 %"].isna().all()
    assert (table["water used 10 % (L)"] <= table["water used 90 % (L)"]).all()


def test_another_record_or_year_is_said_not_to_pair():
    found = alternatives(
        Plan.load(OWN), {"by the sea": {"record": "seattle"}, "in two years": {"start": "2029-05-13"}}
    )
    assert found.apart == ("by the sea", "in two years")
    assert "cannot be paired" in found.sentence()
    assert "same weather" not in " ".join(found.compared())


def test_it_goes_on_from_a_reading():
    late = FOUR.change(reading=Reading("2027-06-10", Q(14, "cm"), conductivity=Q(1.6, "mS/cm")))
    found = alternatives(late, {"topped up": {"top_up": TENDED}})
    assert found.share_dry["topped up"] < found.share_dry["as planned"]
    assert np.isfinite(found.measures["nitrogen not used"].values["as planned"]).all()


def test_pictures_and_words_are_in_one_system(found):
    for system, litre in (("metric", " L"), ("US", "US gal")):
        picture = alternatives_picture(found, system)
        assert picture.sentence == found.sentence(system)
        assert litre in picture.sentence
    assert not {" nan", "None", "9999"} & set(picture.sentence.split())
    drawing = RangeStrips()
    assert alternatives_picture(found, drawing=drawing).figure is drawing.figure


def test_the_line_names_the_plan_that_is_dry_least_often(found):
    least = min(found.share_dry, key=found.share_dry.__getitem__)
    assert f'"{least}"' in headline(found)


@pytest.mark.parametrize(
    "changes",
    [None, {}, [], {"two": 2}, {3: {"count": 3}}, {"as planned": {"count": 3}}, {"x": {"pumps": 3}}],
)
def test_what_is_no_alternative_is_refused(changes):
    with pytest.raises(Problem):
        alternatives(FOUR, changes)


def test_what_is_no_plan_is_refused():
    with pytest.raises(Problem, match="plan"):
        alternatives("my-tank.toml", {"two": {"count": 2}})
