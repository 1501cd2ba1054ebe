"""Ways of topping up: a rain barrel and a mark, worked by hand on a tank of 1 L a centimetre."""

import numpy as np
import pytest
from demo_tank import ALL, CROP, NONE, TANK
from stilltank.science import budget, crops, weather
from stilltank.science.sky import ONE_DAY
from stilltank.science.tank import preset
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

RAIN = np.zeros(20)
RAIN[[1, 2, 7, 8]] = 3.5, 2.0, 0.4, 0.6


def wet(rain=RAIN):
    dates = np.datetime64("2027-06-01") + np.arange(len(rain)) * ONE_DAY
    return weather.Weather(
        dates, Q(25.0, "degC"), Q(12.0, "degC"), Q(rain, "mm"), latitude=Q(50, "degree"), altitude=Q(0, "m")
    )


def season(routine, record=None, **given):
    """Plants that drink 0.5 L a day from 10 L; no rain falls into the tank itself."""
    standard = {
        "start": "2027-06-01",
        "days": 20,
        "first_level": Q(10, "cm"),
        "reference_et": Q(5, "mm/day"),
        "exposure": ALL,
        "coefficient_factor": ALL,
        "growth_timing": ALL,
        "daily_variation": NONE,
        "rain_share": NONE,
        "top_up": routine,
    }
    return budget.Scenario.make(TANK, crops.Plants(CROP, 1), record or wet(), **standard | given)


def caught(**given):
    usual = {
        "area": Q(1, "m^2"),
        "barrel": Q(4, "L"),
        "every": 4,
        "level": Q(10, "cm"),
        "share": ALL,
        "first_flush": Q(0.5, "mm"),
    }
    return budget.rain_caught(**usual | given)


def test_rain_caught_by_hand():
    """3.5 mm and 2 mm give 3 and 2 L, of which 4 fit; 0.4 mm is flush, 0.6 mm after it gives 0.5 L.

    Visits on the 5th, 9th, 13th and 17th day find 2 L missing and pour 2, 2 and 0.5 L; then the barrel is empty.
    """
    table = season(caught()).season().table
    poured = table["top-up (L)"].to_numpy()
    assert poured[[4, 8, 12, 16]] == pytest.approx([2, 2, 0.5, 0])
    assert poured.sum() == pytest.approx(4.5)
    assert table["volume (L)"].iloc[-1] == pytest.approx(10 + 4.5 - 10)


def test_what_is_in_the_barrel_at_first_is_poured_too():
    dry = wet(np.zeros(20))
    poured = season(caught(first=Q(3, "L")), dry).season().table["top-up (L)"].to_numpy()
    assert poured[[4, 8, 12]] == pytest.approx([2, 1, 0])
    assert not season(caught(), dry).season().table["top-up (L)"].any()


def test_a_part_of_the_rain_on_half_the_area():
    """Half of 3.5 - 0.5 + 2.0 = 5 mm on 0.5 m²: 1.25 L."""
    one = caught(share=Q(50, "percent"), area=Q(0.5, "m^2"))
    assert season(one).season().table["top-up (L)"].iloc[4] == pytest.approx(1.25)


def test_many_seasons_pour_what_each_alone_would():
    """Every season of an ensemble has its own barrel, and it begins again with each run."""
    scenario = budget.Scenario.make(
        "quillgate-tub",
        crops.Plants("basil", 6),
        "new-york",
        start="2027-06-01",
        days=60,
        members=30,
        top_up=budget.rain_caught(Q(0.5, "m^2"), Q(20, "L"), 3, Q(15, "cm")),
    )
    first, second = scenario.ensemble(), scenario.ensemble()
    assert (first.top_up == second.top_up).all()
    poured = first.top_up.m_as("L")
    assert poured.sum(axis=1).std() > 0
    sky = scenario.skies().rain.m_as("mm")
    assert (poured.sum(axis=1) <= sky.sum(axis=1) * 0.5 * 0.8).all()  # never more than what was caught
    assert (poured.max(axis=1) <= 20).all()
    assert budget.how_many_plants(scenario.change(plants=crops.Plants("basil", 1))).by_water > 0


def test_a_vast_roof_and_barrel_are_a_visit_with_a_hose():
    made = caught(area=Q(1000, "m^2"), barrel=Q(10, "m^3"))
    poured = season(made).season().table["top-up (L)"]
    by_hose = season(budget.to_a_mark(Q(10, "cm"), 4)).season().table["top-up (L)"]
    assert poured.to_numpy() == pytest.approx(by_hose.to_numpy())


def test_to_a_mark_fills_to_it_and_by_hand_lifts_a_little():
    """Four days of 0.5 L are made up for at once; by hand only the usual centimetre, which is 1 L."""
    marked = season(budget.to_a_mark(Q(10, "cm"), 4)).season().table["top-up (L)"].to_numpy()
    assert marked[[4, 8, 12, 16]] == pytest.approx([2, 2, 2, 2])
    small = season(budget.by_hand(4, Q(10, "cm"))).season().table["top-up (L)"].to_numpy()
    assert small[[4, 8]] == pytest.approx([1, 1])


def test_routines_side_by_side():
    """A small sheet helps less than a large one, and both help more than nobody."""
    scenario = budget.Scenario.make(
        "quillgate-tub", crops.Plants("basil", 6), "new-york", start="2027-06-01", members=60
    )
    table = scenario.compare(
        [
            budget.nothing(),
            *(
                budget.rain_caught(Q(area, "m^2"), Q(60, "L"), 3, Q(15, "cm"), strength=0.5)
                for area in (0.25, 4)
            ),
        ],
        "Hoagland 1",
    ).table
    dry = table["runs dry (%)"].to_numpy()
    assert dry[0] > dry[1] > dry[2]
    assert table["N added (g)"].iloc[2] > 0


@pytest.mark.parametrize(
    ("call", "kind", "words"),
    [
        (lambda: caught(area=Q(2, "m")), UnitNeeded, "area"),
        (lambda: caught(barrel=Q(0, "L")), OutOfRange, "barrel"),
        (lambda: caught(share=Q(120, "percent")), OutOfRange, "120"),
        (lambda: caught(first=Q(5, "L")), OutOfRange, "holds 4 L"),
        (lambda: caught(first_flush=Q(-1, "mm")), OutOfRange, "first flush"),
        (lambda: caught(every=0), OutOfRange, "whole days"),
        (lambda: caught(strength="much"), Unreadable, "strength"),
        (lambda: caught(name=3), Problem, "name"),
        (lambda: budget.to_a_mark(None), UnitNeeded, "mark"),
        (lambda: season(caught(level=Q(35, "cm"))).season(), OutOfRange, "above the overflow hole"),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, kind, words):
    with pytest.raises(kind, match=words):
        call()


def test_names_say_what_is_done():
    assert str(caught()) == "rain caught on 1 m², every 4 days to 10 cm"
    assert str(caught(strength=0.5)) == "rain caught on 1 m², every 4 days to 10 cm, half strength"
    assert str(budget.to_a_mark(Q(6, "inch"), 3, 1.0)) == "by hand every 3 days to 6 in, full strength"
    assert preset("quillgate-tub").net_pot_depth is not None
