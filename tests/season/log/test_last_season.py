"""What a season taught is kept with the evapotranspiration it was found with, and widened for the next."""

import dataclasses
from datetime import date

import numpy as np
import pytest
from stilltank.season import log
from stilltank.season.log import last_season
from stilltank.season.plan import Plan
from stilltank.tables import number
from stilltank.units import Problem


@pytest.fixture(scope="module")
def plan():
    return Plan.make(crop="basil", count=4, start="2028-05-08")


@pytest.fixture(scope="module")
def taught(plan):
    return log.TaughtBySeason(
        tank="A", crop="basil", place=plan.site.name, planted=date(2027, 5, 10), ended=date(2027, 7, 8), visits=18,
        mean=0.3, spread=0.1, rain_mean=-1.2, rain_spread=0.5,
        procedures=tuple(plan.scenario().skies().procedures),
    )  # fmt: skip


def kept(path, *seasons):
    path.write_text(
        last_season.tomli_w.dumps({"season": [last_season._as_values(each) for each in seasons]}),
        encoding="utf-8",
    )
    return path


def test_a_fit_is_kept_and_read_again_and_a_second_keeping_replaces_it(tmp_path):
    plan = Plan.make(crop="basil", count=4, start="2027-05-10")
    path = tmp_path / "my-log.csv"
    path.write_text("date,tank,level (cm)\n2027-06-20,A,20\n2027-07-08,A,15\n", encoding="utf-8")
    found = log.refit(plan, log.read(path), members=500)
    seasons = tmp_path / "my-seasons.toml"
    assert "next season" in log.keep_season(found, seasons)[-1]
    log.keep_season(found, seasons)
    (one,) = log.kept_seasons(seasons)
    assert (one.tank, one.crop, one.visits) == ("A", "basil", 2)
    assert one.procedures == found.fits["A"].procedures
    assert one.mean == pytest.approx(found.fits["A"].log_factor[0], abs=1e-4)


def test_the_next_season_begins_wider_than_the_last_ended(tmp_path, plan, taught):
    path = kept(tmp_path / "my-seasons.toml", taught)
    found = log.begin_season(path, {"A": plan, "B": plan})
    assert found.priors["A"].mean == 0.3
    assert found.priors["A"].spread == number("refit", "next season", "least factor spread", "1")
    assert "B" not in found.priors
    assert "begins with what its log taught in 2027" in found.words[0]


def test_another_crop_or_place_begins_wider_still(tmp_path, plan, taught):
    wider = number("refit", "next season", "least factor spread of another crop", "1")
    for name, change in (("zinnia", {"crop": "zinnia"}), ("elsewhere", {"place": "elsewhere"})):
        path = kept(tmp_path / f"{name}.toml", dataclasses.replace(taught, **change))
        found = log.begin_season(path, {"A": plan})
        assert found.priors["A"].spread == wider
        assert name in found.words[0]


def test_a_factor_of_another_evapotranspiration_is_left(tmp_path, plan, taught):
    path = kept(
        tmp_path / "my-seasons.toml", dataclasses.replace(taught, procedures=("Radiation: guessed.",))
    )
    found = log.begin_season(path, {"A": plan})
    assert not found.priors
    assert "another way" in found.words[0]


def test_from_the_third_season_on_their_own_differences_count(tmp_path, plan, taught):
    means = (0.0, 0.3, 0.9)
    seasons = [
        dataclasses.replace(taught, mean=mean, planted=date(2025 + place, 5, 10))
        for place, mean in enumerate(means)
    ]
    found = log.begin_season(kept(tmp_path / "my-seasons.toml", *seasons), {"A": plan})
    assert found.priors["A"].mean == pytest.approx(np.mean(means))
    assert found.priors["A"].spread == pytest.approx(np.hypot(0.1 / np.sqrt(3), np.std(means, ddof=1)))


@pytest.mark.parametrize("text", ["[[season]]\ntank = 3\n", "season = 4\n", "[[season", "\ufeff{}"])
def test_a_file_that_is_not_whole_is_refused_in_words(tmp_path, plan, text):
    path = tmp_path / "my-seasons.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(Problem, match=r"my-seasons\.toml"):
        log.begin_season(path, plan)
    assert path.read_text(encoding="utf-8") == text
