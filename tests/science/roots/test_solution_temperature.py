"""The solution's temperature: closed forms of one mass between air and sun, and what shade, colour and depth do."""

import numpy as np
import pytest
from stilltank.science import budget, crops, roots, tank, weather
from stilltank.science.roots.solution_temperature import _follow
from stilltank.science.sky import ONE_DAY
from stilltank.science.tank import Box
from stilltank.science.weather.hourly import air_by_the_hour, sun_by_the_hour
from stilltank.tables import load
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TUB = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
DAYS = 12


def record(high, low, sun, days=DAYS, **more):
    dates = np.datetime64("2025-06-15") + np.arange(days) * ONE_DAY
    place = {"latitude": Q(41.5, "degree"), "altitude": Q(210, "m")} | more
    return weather.Weather(
        dates,
        Q(np.full(days, high), "degC"),
        Q(np.full(days, low), "degC"),
        solar_radiation=Q(np.full(days, sun), "MJ/m^2/day"),
        **place,
    )


def run(weather_record, level=20, **more):
    return roots.solution_temperature(TUB, Q(level, "cm"), weather_record, **more)


# Closed forms


def test_a_step_is_followed_exponentially():
    """Newton's law of cooling: T = Ta + (T0 - Ta) exp(-t/tau), with tau = 20 h by hand."""
    capacity, loss = np.full((1, 3), 72e3), np.full((1, 3), 1.0)
    found = _follow(30.0, np.full((1, 72), 10.0), loss, capacity)[0]
    hours = np.arange(1, 73)
    assert found == pytest.approx(10 + 20 * np.exp(-hours / 20))


def test_a_wave_is_damped_and_late():
    """A first-order lag passes 1/sqrt(1 + (w tau)^2) of a daily wave, later by atan(w tau)/w (any control text)."""
    tau = 8.0
    w = 2 * np.pi / 24
    hours = np.arange(24 * 30)
    air = 20 + 6 * np.cos(w * (hours + 0.5))
    found = _follow(20.0, air[None], np.ones((1, 30)), np.full((1, 30), tau * 3600))[0][-24:]
    # air holds for an hour: a staircase, whose wave is sin(x)/x of the smooth one, x = half a step
    damping = 1 / np.sqrt(1 + (w * tau) ** 2)
    assert np.ptp(found) / 2 == pytest.approx(6 * damping, rel=0.02)
    late = np.arctan(w * tau) / w
    assert (found.argmax() + 1) % 24 == pytest.approx(late, abs=0.6)


def test_without_sun_and_sky_it_ends_at_the_air():
    still = record(18, 18, 0)
    site = weather.Site("Hall", Q(41.5, "degree"), Q(210, "m"), still, cover="indoors")
    found = roots.solution_temperature(TUB, Q(20, "cm"), site, start=Q(30, "degC"))
    assert found.water.m_as("degC")[-1] == pytest.approx(18, abs=1e-6)
    # each step leaves the same share of what is left
    left = found.water.m_as("degC") - 18
    ratio = left[1:48] / left[:47]
    assert ratio == pytest.approx(np.full(47, np.exp(-1 / found.time_constant.m_as("hour")[0])))


def test_time_constant_by_hand():
    """48 L in 0.24 m2 at 20 cm. U of lid, walls and base: 1/(1/15 + 1/3), /45, /5 = 2.5, 11.25, 3.75 W/m2/K.

    Walls 4 sqrt(0.24) 0.2 = 0.3919 m2. Loss 2.5*0.24 + 11.25*0.3919 + 3.75*0.24 = 5.909 W/K;
    48 L * 0.9982 * 4180 J = 200.3 kJ/K; 200300/5.909/3600 = 9.415 h.
    """
    found = run(record(25, 15, 20)).time_constant.m_as("hour")
    assert found == pytest.approx(np.full(DAYS, 9.415), abs=0.005)


def test_steady_under_constant_gain_is_the_weighted_sol_air_temperature():
    """Air 20 degC day and night, sun of 24 MJ: mean of the last day, by hand with the daily mean sun.

    Sun 24e6/86400 = 277.8 W/m2. Lid 20 + 0.85*277.8/15 - 2 = 33.741; wall 20 + 0.85*0.35*277.8/15 = 25.509; base 20.
    (0.6*33.741 + 4.409*25.509 + 0.9*20)/5.909 = 25.51 degC.
    """
    found = run(record(20, 20, 24))
    assert found.daily_mean.m_as("degC")[-1] == pytest.approx(25.51, abs=0.02)


def test_leaves_shade_the_lid_and_leave_the_walls_their_sun():
    """As above with a leaf area index of 1: e^-0.65 = 0.522 of the sun on the lid, which is at 20 + 8.218 - 2 = 26.218.

    (0.6*26.218 + 4.409*25.509 + 0.9*20)/5.909 = 24.742 degC.
    """
    found = run(record(20, 20, 24), leaf_area=1)
    assert found.daily_mean.m_as("degC")[-1] == pytest.approx(24.742, abs=0.02)


def test_the_lid_keeps_a_fifth_of_its_sun_under_any_canopy():
    """0.2 of the sun on the lid: 20 + 3.148 - 2 = 21.148, so (0.6*21.148 + 4.409*25.509 + 0.9*20)/5.909 = 24.227."""
    dense, denser = (run(record(20, 20, 24), leaf_area=index) for index in (4, 8))
    assert dense.daily_mean.m_as("degC")[-1] == pytest.approx(24.227, abs=0.02)
    assert denser.water.magnitude == pytest.approx(dense.water.magnitude)


def test_leaves_may_grow_from_day_to_day():
    growing = run(record(30, 16, 25), leaf_area=np.linspace(0, 3, DAYS)).daily_max.m_as("degC")
    bare, full = (run(record(30, 16, 25), leaf_area=index).daily_max.m_as("degC") for index in (0, 3))
    assert growing[0] == pytest.approx(bare[0], abs=0.01)
    assert growing[-1] == pytest.approx(full[-1], abs=0.3)
    assert np.all((full <= growing + 1e-9) & (growing <= bare + 1e-9))


def test_white_and_dark_are_apart_as_in_the_published_pots():
    """Planted white pots of 11.3 L were up to 7 degC cooler than black ones: so a tub of 40 L is, at most, in hot sun.

    A quarter of the 7 is no agreement, and more than 7 would be more than pots that held less water showed.
    """
    hot = record(32, 20, 27)
    black, white = (
        run(hot, 17, colour=colour, leaf_area=2).daily_max.m_as("degC").max() for colour in ("black", "white")
    )
    most = load("solution-heat")["nursery pots", "white cooler by"].quantity.m_as("delta_degC")
    assert most / 4 < black - white <= most


# The hours


def test_the_air_reaches_its_ends_and_stays_between_them():
    varied = weather.Weather(
        ["2025-06-15", "2025-06-16", "2025-06-17"], Q([25, 30, 20], "degC"), Q([10, 14, 12], "degC")
    )
    found = air_by_the_hour(varied).reshape(3, 24)
    assert found.shape == (3, 24)
    assert found.max(axis=1) == pytest.approx(
        [25, 30, 20], abs=0.15
    )  # the middle of the hour after the warmest
    assert found[:, 4:6].min(axis=1) == pytest.approx([10, 14, 12], abs=0.2)
    assert np.abs(np.diff(found.ravel())).max() < 3  # no jump at midnight
    # half an hour after the first midnight: 9.5 of the 14 h from 25 down to 10, 25 - 15 (1 - cos(2.1318))/2 = 13.51
    assert found[0, 0] == pytest.approx(13.51, abs=0.01)


def test_the_sun_of_a_day_is_kept():
    """24 MJ/m2 in a day, hour by hour, none at night, most at noon."""
    found = sun_by_the_hour(record(25, 15, 24), "test").reshape(DAYS, 24)
    assert (found.sum(axis=1) * 3600 / 1e6) == pytest.approx(np.full(DAYS, 24))
    assert np.all(found[:, [0, 1, 2, 22, 23]] == 0)
    assert set(found.argmax(axis=1)) <= {11, 12}
    dark = sun_by_the_hour(record(-5, -9, 0, latitude=Q(80, "degree")), "test")
    assert np.all(dark == 0)


# What a learner can do


def test_directions():
    hot = record(30, 16, 25)
    usual = run(hot).daily_max.m_as("degC").max()
    assert run(hot, colour="white").daily_max.m_as("degC").max() < usual - 2
    assert run(hot, colour="black").daily_max.m_as("degC").max() > usual
    assert run(hot, lid_colour="white").daily_max.m_as("degC").max() < usual
    assert run(hot, shade=0.8).daily_max.m_as("degC").max() < usual - 4
    swing = {level: np.ptp(run(hot, level).water.m_as("degC")[-24:]) for level in (5, 10, 27)}
    assert swing[5] > swing[10] > swing[27]


def test_the_range_holds_the_usual_and_grows_with_the_sun():
    bright, dull = run(record(28, 14, 26)), run(record(28, 14, 6))
    for found in (bright, dull):
        assert np.all(found.low <= found.water)
        assert np.all(found.water <= found.high)
    spread = [np.max((found.high - found.low).magnitude) for found in (bright, dull)]
    assert spread[0] > spread[1] > 0


def test_seasons_levels_and_members():
    tub, july = tank.preset("quillgate-tub"), weather.record("quillgate").between("2019-07-01", "2019-07-05")
    level = np.array([[20, 19, 18, 17, 16], [10, 9, 8, 7, 6.0]])
    both = roots.solution_temperature(tub, Q(level, "cm"), july)
    assert both.water.shape == (2, 120)
    assert both.daily_mean.shape == (2, 5)
    for row in (0, 1):
        one = roots.solution_temperature(tub, Q(level[row], "cm"), july)
        for name in ("water", "low", "high", "time_constant"):
            assert getattr(both, name)[row].magnitude == pytest.approx(getattr(one, name).magnitude), name
    season = budget.season(tub, crops.Plants("lettuce", 4), "quillgate", start="2019-07-01", days=5)
    by_season = roots.solution_temperature(tub, season.levels, "quillgate")
    by_level = roots.solution_temperature(tub, Q(season.table["level (cm)"].to_numpy(), "cm"), july)
    assert by_season.water.magnitude == pytest.approx(by_level.water.magnitude, abs=1e-6)
    assert "solution" in str(by_season)


def test_a_record_without_sun_takes_what_evapotranspiration_takes():
    warm = weather.record("new-york").between("2013-07-01", "2013-07-05")
    found = run(warm)
    assert found.sun.m_as("W/m^2").max() > 400


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: run(record(25, 15, 20), colour="pink"), Problem, "A colour is one of black"),
        (lambda: run(record(25, 15, 20), colour=None), Problem, "A colour is one of"),
        (
            lambda: roots.solution_temperature(
                TUB,
                budget.ensemble(TUB, crops.Plants("lettuce", 2), "quillgate", members=2, days=3).levels,
                "quillgate",
            ),
            Problem,
            "Give its `level`",
        ),
        (lambda: run(record(25, 15, 20), shade=30), OutOfRange, "shade"),
        (lambda: run(record(25, 15, 20), shade="half"), Unreadable, "shade"),
        (lambda: run(record(25, 15, 20), shade=[0.1, 0.2]), Problem, "2 values of shade for 12 days"),
        (lambda: run(record(25, 15, 20), leaf_area=-1), OutOfRange, "leaf area"),
        (lambda: run(record(25, 15, 20), leaf_area="lush"), Unreadable, "leaf_area"),
        (lambda: run(record(25, 15, 20), leaf_area=[1, 2]), Problem, "2 values of leaf_area for 12 days"),
        (lambda: roots.sun_through_canopy(30), OutOfRange, "leaf area index"),
        (lambda: roots.sun_through_canopy(2, -1), OutOfRange, "extinction"),
        (lambda: run(record(25, 15, 20), level=0), OutOfRange, "no solution"),
        (lambda: run(record(25, 15, 20), level=50), OutOfRange, "rim"),
        (lambda: run(record(-9, -20, 2)), OutOfRange, "freeze"),
        (lambda: run(None), Problem, "needs a Weather"),
        (lambda: run("nowhere"), Problem, "nowhere"),
        (lambda: run(record(25, 15, 20), start=20), UnitNeeded, "start"),
        (lambda: roots.solution_temperature(TUB, 20, record(25, 15, 20)), UnitNeeded, "water"),
        (
            lambda: roots.solution_temperature(TUB, Q([20, 19], "cm"), record(25, 15, 20)),
            Problem,
            "2 days of levels and 12",
        ),
        (
            lambda: run(weather.Weather(["2025-06-15"], Q([25], "degC"), Q([15], "degC"))),
            Problem,
            "latitude",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
