"""The end of a season, summed up by hand beside it."""

import pytest
from stilltank.season import log
from stilltank.season.plan import Plan
from stilltank.units import Problem

PLAN = Plan.make("quillgate-tub", "zinnia", start="2027-05-10", count=4)
TEXT = (
    "date,level (cm),added water (L),added mix (L),mix strength (%),stems cut,event\n"
    "2027-05-10,25,,,,,filled\n"
    "2027-06-20,15,2,2,50,,topped up\n"
    "2027-07-20,10,,,,20,\n"
)


def report(tmp_path, text=TEXT, **more):
    path = tmp_path / "my-log.csv"
    path.write_text(text)
    return log.season_report(PLAN, log.read(path), **more)


def test_litres_and_grams_of_a_stem_are_those_by_hand(tmp_path):
    found = report(tmp_path)
    left = PLAN.tank.volume(PLAN.tank.height * (10 / 30)).m_as("L")
    filled = PLAN.outlook.volume.m_as("L")
    assert found.used.m_as("L") == pytest.approx(filled + 4 - left, rel=1e-6)
    grams = sum(mass.m_as("g") for mass in PLAN.outlook.recipe.masses.values())
    assert found.salts.m_as("g") == pytest.approx(grams * (1 + 2 * 0.5 / filled))
    assert (found.stems, found.gap, found.low_days) == (20, 41, 1)
    assert "20 stems" in str(found)
    assert "Empty it by the rules" in str(found)


def test_an_unknown_top_up_makes_it_at_least(tmp_path):
    assert "at least" in str(report(tmp_path, TEXT.replace(",2,2,50,,", ",,,,,")))


def test_last_season_stands_beside_this_one(tmp_path):
    first = report(tmp_path)
    assert "last season" in str(report(tmp_path, before=first))


def test_several_tanks_ask_which(tmp_path):
    text = "date,tank,level (cm)\n2027-06-01,A,20\n2027-06-01,B,20\n"
    with pytest.raises(Problem, match="which tank"):
        report(tmp_path, text)
