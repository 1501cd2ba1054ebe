"""Roots, air zone and oxygen joined with the water budget, day by day, over what is uncertain."""

import numpy as np
import pytest
from stilltank.science import budget, crops, oxygen, roots, tank
from stilltank.science.roots import RootDemand
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB = tank.preset("quillgate-tub")
PLANTS = crops.Plants("lettuce", 6)
WARM = Q(24, "degC")
FIXED = {"supply": 0.8, "mature": Q(4, "g/m^2/day"), "q10": 2}
FILM = Q(0.3, "m/day")
FALLING = Q(np.linspace(25, 8, 40), "cm")


def fixed(tub, water, warm, film_coefficient=FILM, first_level=None, **demand):
    """One member, with nothing drawn."""
    return roots.root_oxygen(
        tub,
        water,
        warm,
        RootDemand(**(FIXED | demand)),
        film_coefficient=film_coefficient,
        first_level=first_level,
        members=1,
    )


def test_the_parts_are_joined_as_they_stand():
    """With everything given it is grow, oxygen_demand and mixed_water, called one after the other."""
    found = roots.root_oxygen(
        TUB,
        FALLING,
        WARM,
        RootDemand(age=10, **FIXED),
        film_coefficient=FILM,
        first_level=Q(25, "cm"),
        members=1,
    )
    grown = roots.root_course(TUB, FALLING, first_level=Q(25, "cm"))
    demand = roots.oxygen_demand(Q(10 + np.arange(1.0, 41), "day"), WARM)
    column = oxygen.WaterColumn(
        depth=FALLING,
        temperature=WARM,
        demand=demand * (1 - grown.share),
        film_coefficient=Q(0.3, "m/day"),
        first_depth=Q(25, "cm"),
    )
    course = oxygen.mixed_water(column)
    assert found.share[0].m_as("") == pytest.approx(grown.share.m_as(""))
    assert found.demand[0].m_as("g/m^2/day") == pytest.approx(demand.m_as("g/m^2/day"))
    assert found.oxygen.mean[0].m_as("mg/L") == pytest.approx(course.mean.m_as("mg/L"))
    assert found.risk.zone[0].tolist() == roots.oxygen_risk(course.lowest).zone.tolist()


def test_an_ensemble_goes_in_as_it_comes():
    many = budget.ensemble(TUB, PLANTS, "quillgate", start="2027-05-10", members=30, days=50)
    found = roots.root_oxygen(TUB, many.levels, WARM)
    assert found.share.shape == found.demand.shape == found.risk.zone.shape == (30, 50)
    assert found.oxygen.mean.shape == (30, 50 * 24)
    assert found.quantile(0.5).shape == (50,)
    assert np.all(found.quantile(0.1) <= found.quantile(0.9))
    assert found.oxygen.balance.m_as("g/m^2").max() < 1e-10
    assert {len(np.atleast_1d(getattr(value, "magnitude", value))) for value in found.drawn.values()} == {30}
    assert "lost only 19 %" in str(found)


def test_a_season_is_drawn_many_times_and_the_same_seed_gives_the_same():
    season = budget.season(TUB, PLANTS, "quillgate", start="2019-05-10", days=40)
    one, same, other = (
        roots.root_oxygen(TUB, season.levels, WARM, members=20, seed=seed).oxygen.mean.magnitude
        for seed in (1, 1, 2)
    )
    assert np.array_equal(one, same)
    assert not np.array_equal(one, other)
    assert one.shape == (20, 960)


def test_draws_stay_in_their_ranges():
    drawn = roots.root_oxygen(TUB, FALLING, WARM, members=500).drawn
    film = drawn["film_coefficient"].m_as("m/day")
    assert 0.1 <= film.min() < 0.14
    assert 0.5 < film.max() <= 0.6
    # triangular from 0.1 by 0.3 to 0.6: mean (0.1 + 0.3 + 0.6)/3
    assert film.mean() == pytest.approx(1 / 3, abs=0.015)
    assert 1.5 <= drawn["q10"].min() <= drawn["q10"].max() <= 3
    assert 2 <= drawn["mature"].m_as("g/m^2/day").min() <= drawn["mature"].m_as("g/m^2/day").max() <= 8


def test_a_top_up_brings_oxygen_and_takes_air():
    """8 L at once on a tub of about 15 L: the water is richer right after, the share from air is less."""
    setup = {"start": "2019-05-10", "days": 60, "rain_share": Q(0, "percent"), "first_level": Q(22, "cm")}
    plain = budget.season(TUB, PLANTS, "quillgate", **setup)
    topped = budget.season(TUB, PLANTS, "quillgate", **setup, top_up={"2019-07-03": Q(8, "L")})
    without, with_it = (fixed(TUB, water.levels, WARM) for water in (plain, topped))
    day = 54
    before, after = (found.oxygen.mean[0, (day * 24)].m_as("mg/L") for found in (without, with_it))
    assert after > before
    assert with_it.share[0, day] < without.share[0, day] - Q(5, "percent")
    assert with_it.roots.too_far[day]
    assert not without.roots.too_far.any()


def test_rain_acts_on_the_air_zone():
    setup = {"start": "2019-05-10", "days": 60}
    dry, wet = (
        budget.season(TUB, PLANTS, "quillgate", **setup, rain_share=Q(share, "percent")) for share in (0, 60)
    )
    shares = [fixed(TUB, water.levels, WARM).share[0, -1] for water in (dry, wet)]
    assert shares[0] > shares[1]


def test_warmth_and_film_decide():
    def lowest(temperature=24, **changed):
        found = fixed(
            TUB, FALLING, Q(temperature, "degC"), first_level=Q(25, "cm"), **({"age": 20} | changed)
        )
        return found.oxygen.lowest.m_as("mg/L").min()

    assert lowest(18) > lowest(24) > lowest(30)
    assert lowest(film_coefficient=Q(0.6, "m/day")) > lowest() > lowest(film_coefficient=Q(0.1, "m/day"))
    assert lowest(supply=1.2) > lowest() > lowest(supply=0.4)


def test_leaves_that_overhang_ask_for_more():
    """0.28 m2 of leaves over the 0.14 m2 of a straight tub: twice the demand; its own area changes nothing."""
    tub = tank.Box(Q(50, "cm"), Q(28, "cm"), Q(30, "cm"), net_pot_depth=Q(5, "cm"))
    plain, own, twice = (
        fixed(tub, FALLING, WARM, crop_area=area).demand.m_as("g/m^2/day")
        for area in (None, Q(0.14, "m^2"), Q(0.28, "m^2"))
    )
    assert own == pytest.approx(plain)
    assert twice == pytest.approx(2 * plain)
    assert roots.root_oxygen(
        TUB, FALLING, WARM, RootDemand(crop_area=PLANTS.canopy_area), members=3
    ).demand.shape == (3, 40)


def test_temperature_by_the_hour_and_by_the_day():
    hourly = Q(24 + 3 * np.sin(2 * np.pi * np.arange(40 * 24) / 24), "degC")
    by_hour = fixed(TUB, FALLING, hourly)
    by_day = fixed(TUB, FALLING, WARM)
    assert by_hour.oxygen.mean.m_as("mg/L") == pytest.approx(by_day.oxygen.mean.m_as("mg/L"), abs=0.5)
    assert by_hour.demand.m_as("g/m^2/day") == pytest.approx(by_day.demand.m_as("g/m^2/day"), rel=1e-9)


def test_above_the_measured_range_the_oxygen_of_40_degrees_is_an_upper_limit():
    """One hot hour a day: followed as 40 degC, and said so; the oxygen itself still refuses it."""
    hourly = np.full(40 * 24, 36.0)
    hourly[14::24] = 44
    cut = np.minimum(hourly, 40)
    hot, known = (roots.root_oxygen(TUB, FALLING, Q(course, "degC"), members=3) for course in (hourly, cut))
    assert hot.oxygen.lowest.magnitude == pytest.approx(known.oxygen.lowest.magnitude)
    assert (hot.at_most, known.at_most) == (True, False)
    assert "at most that of 40 °C" in str(hot)
    assert "at most" not in str(known)
    with pytest.raises(OutOfRange, match="between 0 °C and 40 °C"):
        oxygen.saturation(Q(44, "degC"))


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: roots.root_oxygen(TUB, FALLING, 24), UnitNeeded, "temperature"),
        (lambda: roots.root_oxygen(TUB, FALLING, Q(77, "degC")), OutOfRange, "between 0 °C and 60 °C"),
        (lambda: roots.root_oxygen(TUB, FALLING, Q([20, 21], "degC")), Problem, "2 values|do not fit"),
        (lambda: roots.root_oxygen(TUB, None, WARM), Problem, "levels of a water budget"),
        (lambda: roots.root_oxygen(TUB, FALLING, WARM, members=0), OutOfRange, "whole members"),
        (lambda: roots.root_oxygen(TUB, FALLING, WARM, seed=-1), OutOfRange, "seed"),
        (lambda: RootDemand(age="old"), OutOfRange, "age"),
        (lambda: roots.root_oxygen(TUB, FALLING, WARM, film_coefficient=0.3), UnitNeeded, "film_coefficient"),
        (
            lambda: roots.root_oxygen(TUB, FALLING, WARM, film_coefficient=Q(-1, "m/day")),
            OutOfRange,
            "film coefficient",
        ),
        (
            lambda: roots.root_oxygen(TUB, FALLING, WARM, RootDemand(q10=[2, 3]), members=5),
            Problem,
            "2 values of `q10` for 5",
        ),
        (lambda: RootDemand(crop_area=0.2), UnitNeeded, "crop_area"),
        (lambda: RootDemand(crop_area=Q(0, "m^2")), OutOfRange, "crop_area"),
        (lambda: RootDemand(q10="two"), Unreadable, "q10"),
        (lambda: RootDemand(supply=-1), OutOfRange, "supply"),
        (lambda: RootDemand(mature=Q(-1, "g/m^2/day")), OutOfRange, "not negative"),
        (lambda: RootDemand(q10=9), OutOfRange, "1 to 5 times"),
        (lambda: roots.root_oxygen(TUB, FALLING, WARM, 14), Unreadable, "needs a RootDemand"),
        (lambda: roots.root_oxygen("tub", FALLING, WARM), Unreadable, "needs a tank"),
        (lambda: roots.root_oxygen(TUB, FALLING, WARM, members=3).quantile(50), OutOfRange, "share"),
        (
            lambda: roots.root_oxygen(TUB, Q([[20, 19], [20, 18]], "cm"), WARM, members=5),
            Problem,
            "2 members, not 5",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
