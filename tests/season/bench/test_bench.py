"""A bench of plans: names, one weather, files of a folder, and what is refused."""

import numpy as np
import pytest
from stilltank.season.bench import Bench
from stilltank.season.plan import Group, Plan, Reading
from stilltank.units import Problem, Q


def names_of(bench):
    return list(bench.plans)


def test_tanks_of_a_sequence_are_called_by_letters():
    assert names_of(Bench.of([Plan.make(count=1)] * 28)) == [*"ABCDEFGHIJKLMNOPQRSTUVWXYZ", "AA", "AB"]


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ([], "at least one tank"),
        ("my-tank.toml", "A bench is of plans"),
        (3, "A bench is of plans"),
        ({"A": "snapdragon"}, "Tank A needs a plan"),
        ({"": Plan.make()}, "short name"),
        ({"a" * 21: Plan.make()}, "at most 20 letters"),
        ({"A": Plan.make(), " A": Plan.make()}, 'Two tanks are called "A"'),
        ({3: Plan.make()}, "short name"),
        ({"=A1": Plan.make()}, "begins with a letter"),  # a sheet would calculate it
    ],
)
def test_what_makes_no_bench_is_refused(given, says):
    with pytest.raises(Problem, match=says):
        Bench.of(given)


def test_tanks_share_a_hot_week():
    """Other crops, starts and tanks under one sky: the same rain on each day they are both out, in each season."""
    plans = {
        "A": Plan.make("quillgate-tub", "snapdragon", count=4),
        "B": Plan.make("tote-60", "basil", start="2027-05-20"),
        "C": Plan.make(reading=Reading("2027-06-10", Q(18, "cm"))),
    }
    bench = Bench.of(plans)
    assert set(bench.together.values()) == {("A", "C", "B")} or set(
        map(frozenset, bench.together.values())
    ) == {frozenset("ABC")}
    seasons = {name: plan.outlook.season for name, plan in bench.plans.items()}
    days = [season.dates for season in seasons.values()]
    both = np.intersect1d(np.intersect1d(days[0], days[1]), days[2])
    rains = [
        season.rain_in.m_as("L")[:, np.isin(season.dates, both)]
        / season.tank.lid_area.m_as("m^2")
        / season.drawn["rain_share"][:, None]
        for season in seasons.values()
    ]
    assert rains[0].sum() > 0
    np.testing.assert_allclose(rains[0], rains[1])
    np.testing.assert_allclose(rains[0], rains[2])
    apart = {name: plan.outlook.season.rain_in for name, plan in plans.items()}
    assert apart["A"].shape == seasons["A"].rain_in.shape
    assert not np.allclose(apart["B"].magnitude, seasons["B"].rain_in.magnitude)


def test_a_season_of_another_year_or_place_has_a_weather_of_its_own_and_is_said():
    bench = Bench.of(
        {
            "A": Plan.make(),
            "B": Plan.make(start="2029-04-26"),
            "C": Plan.make(site="new-york", water="quillgate-rain"),
        }
    )
    assert [len(names) for names in bench.together.values()] == [1, 1, 1]
    said = " ".join(bench.differences)
    assert "Not the same place" in said
    assert "Not the same water" in said
    assert "Weather is drawn once for each of: A; B; C." in said
    assert Bench.of([Plan.make(), Plan.make(crop="basil")]).differences == ()


def test_what_was_calculated_is_kept_under_the_common_weather():
    plan = Plan.make(count=4)
    before = plan.outlook.recipe
    bench = Bench.of({"A": plan, "B": Plan.make(crop="basil", start="2027-05-20")})
    assert bench.plans["A"].outlook.recipe is before
    changed = bench.plans["A"].change(acid="citric acid 5 %")
    assert changed.outlook.sky is None  # a changed plan draws its own weather again


@pytest.fixture
def folder(tmp_path):
    Plan.make(count=4).save(tmp_path / "my-tank.toml")
    Plan.make(crop="basil", beside=[Group("lettuce", 2)]).save(tmp_path / "tub-b.toml")
    return tmp_path


def everything_in(folder):
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_faulty_file_is_named_and_hides_no_other(folder):
    good = (folder / "my-tank.toml").read_text()
    (folder / "tub-c.toml").write_text(good.replace('shape = "tapered box"', 'shape = "bathtub"'))
    (folder / "tub-d.toml").write_text("[tank\nthis is no TOML")
    before = everything_in(folder)
    bench = Bench.load(folder)
    assert names_of(bench) == ["my-tank", "tub-b"]
    assert list(bench.faults) == ["tub-c.toml", "tub-d.toml"]
    assert "tub-c.toml, line" in bench.faults["tub-c.toml"]
    assert "bathtub" in bench.faults["tub-c.toml"]
    assert "not usable: tub-c.toml, tub-d.toml" in str(bench)
    assert everything_in(folder) == before


def test_other_files_of_a_learner_are_passed_over(folder):
    (folder / "my-progress-A1.toml").write_text('format = 1\ncode = "A1"\n')
    (folder / "my-shelf.toml").write_text('format = 1\ncurrency = "EUR"\n')
    (folder / "my-tank.format-1.toml").write_bytes((folder / "my-tank.toml").read_bytes())
    (folder / "notes.txt").write_text("mildew on tub b")
    bench = Bench.load(folder)
    assert names_of(bench) == ["my-tank", "tub-b"]
    assert bench.faults == {}


def test_only_some_files_are_taken(folder):
    assert names_of(Bench.load(folder, only=["tub-b"])) == ["tub-b"]
    assert names_of(Bench.load(folder, only=["tub-b.toml", "my-tank"])) == ["tub-b", "my-tank"]
    with pytest.raises(Problem, match=r"Plans there: my-tank\.toml, tub-b\.toml"):
        Bench.load(folder, only=["tub-x"])
    with pytest.raises(Problem, match="list of file names"):
        Bench.load(folder, only="tub-b")


def test_a_folder_without_a_plan_says_what_to_do(tmp_path):
    with pytest.raises(Problem, match="Save a plan there first"):
        Bench.load(tmp_path)
    with pytest.raises(Problem, match="is no folder"):
        Bench.load(tmp_path / "nowhere")
    (tmp_path / "tub.toml").write_text("[tank")
    with pytest.raises(Problem, match=r"tub\.toml"):
        Bench.load(tmp_path)
