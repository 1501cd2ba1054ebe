"""Nutrients along with the water: by hand, in a plain loop, and closed to a billionth."""

import numpy as np
import pytest
from demo_tank import ALL, CROP, NONE, TANK
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import budget, crops, tank, weather
from stilltank.science.budget import concentration_after_uptake, nutrients, on_dates
from stilltank.science.budget._feed import at_filling, follow, prepare_feed
from stilltank.science.chemistry import Solution
from stilltank.science.mixing import recipe_solution
from stilltank.science.sky import ONE_DAY
from stilltank.science.weather import Weather
from stilltank.units import Problem, Q

SALTPETRE = Solution(Q(10, "L"), {"K+": Q(10, "mmol/L"), "NO3-": Q(10, "mmol/L")})
NITROGEN = 14.007  # g/mol, CIAAW abridged


def water(rain=(), days=20, **given_):
    """Plants that drink 0.5 L a day from 10 L in a tank of 0.1 m2."""
    fallen = np.zeros(days)
    fallen[: len(rain)] = rain
    record = Weather(
        np.datetime64("2019-06-01") + np.arange(days) * ONE_DAY,
        Q(np.full(days, 25.0), "degC"),
        Q(np.full(days, 15.0), "degC"),
        precipitation=Q(fallen, "mm"),
        latitude=Q(41.5, "degree"),
        altitude=Q(210, "m"),
    )
    standard = {
        "first_level": Q(10, "cm"),
        "reference_et": Q(5, "mm/day"),
        "days": days,
        "exposure": ALL,
        "coefficient_factor": ALL,
        "growth_timing": ALL,
        "daily_variation": NONE,
        "rain_share": ALL,
    }
    return budget.season(TANK, crops.Plants(CROP, 1), record, **standard | given_)


def test_half_the_water_gone():
    # u + (C0 - u) V0/V = 4 + (10 - 4) * 10/5 = 16 mmol/L after 10 days
    food = nutrients(water(), SALTPETRE, {"N": Q(4, "mmol/L")}).table
    assert food["N (mg/L)"].iloc[9] == pytest.approx(16 * NITROGEN, rel=1e-4)
    assert food["N taken up (mg)"].iloc[0] == pytest.approx(0.5 * 4 * NITROGEN, rel=1e-4)
    # potassium, of which nothing is said to be taken up, doubles: 20 mmol/L of 39.098 g/mol
    assert food["K (mg/L)"].iloc[9] == pytest.approx(20 * 39.098, rel=1e-4)


def test_uptake_may_be_given_by_mass():
    by_mass = nutrients(water(), SALTPETRE, {"N": Q(4 * NITROGEN, "mg/L")})
    by_amount = nutrients(water(), SALTPETRE, {"N": Q(4, "mmol/L")})
    assert by_mass.table["N (mg/L)"].to_numpy() == pytest.approx(
        by_amount.table["N (mg/L)"].to_numpy(), rel=1e-4
    )


def test_conductivity_rises_or_falls_with_the_uptake():
    # of 10 mmol/L at first: plants that leave salt behind, that take all of it, that take more
    weak, even, strong = (
        nutrients(water(days=12), SALTPETRE, {"N": Q(u, "mmol/L"), "K": Q(u, "mmol/L")}).table["EC (mS/cm)"]
        for u in (4, 10, 13)
    )
    assert weak.is_monotonic_increasing
    assert even.to_numpy() == pytest.approx(SALTPETRE.conductivity().m_as("mS/cm"), rel=1e-9)
    assert strong.is_monotonic_decreasing


def test_nothing_is_taken_that_is_not_there():
    # 100 mmol in the tank, 15 mmol a day wanted: the seventh day wants 105
    food = nutrients(water(), SALTPETRE, {"N": Q(30, "mmol/L")})
    assert food.short["N"] == food.table.index[6].date()
    assert food.short["K"] is None
    assert food.table["N (mg/L)"].iloc[6:].tolist() == [0] * 14
    assert food.table["N taken up (mg)"].sum() == pytest.approx(100 * NITROGEN, rel=1e-4)


def test_rain_dilutes_and_overflow_washes_out():
    # 20 mm bring 2 L into 10 L; the hole at 10 cm lets 2 of 12 L go, and with them a sixth
    food = nutrients(water([20], overflow_height=Q(10, "cm")), SALTPETRE, {})
    balance = food.balance["N"]
    assert balance["washed out (mg)"] == pytest.approx(100 * NITROGEN / 6, rel=1e-4)
    assert food.table["N (mg/L)"].iloc[0] * 9.5 == pytest.approx(100 * NITROGEN * 5 / 6, rel=1e-4)


def test_top_ups_bring_their_share():
    top_ups = {"2019-06-03": Q(2, "L")}
    brought = [
        nutrients(water(top_up=on_dates(top_ups, strength)), SALTPETRE).balance["N"]["added (mg)"]
        for strength in (0, 0.5, Q(100, "percent"))
    ]
    assert brought == pytest.approx([0, 10 * NITROGEN, 20 * NITROGEN], rel=1e-4)


def test_a_plain_loop_gives_the_same():
    added = on_dates({"2019-06-08": Q(3, "L")}, 0.5)
    season = water([0, 30, 5, 0, 40], overflow_height=Q(11, "cm"), top_up=added)
    table, food = season.table, nutrients(season, "Hoagland 1").table
    volume, mass = 10.0, 15 * 10.0  # Hoagland 1 has 15 mmol/L of nitrate
    for _, day in table.iterrows():
        volume += day["rain in (L)"] + day["top-up (L)"]
        mass += day["top-up (L)"] * 0.5 * 15
        mass -= mass * day["overflow (L)"] / volume
        volume -= day["overflow (L)"] + day["transpired (L)"]
        mass -= min(mass, day["transpired (L)"] * 13.4 * 0.5)  # Batavia lettuce; half of it in the open
    assert food["N (mg/L)"].iloc[-1] == pytest.approx(mass / volume * NITROGEN, rel=1e-4)
    assert volume == pytest.approx(table["volume (L)"].iloc[-1])


@settings(max_examples=30, deadline=None)
@given(
    rain=st.lists(st.floats(0, 80), max_size=20),
    uptake=st.floats(0, 60),
    strength=st.floats(0, 2),
    top_up=st.floats(0, 15),
)
def test_every_element_closes_and_none_goes_below_nothing(rain, uptake, strength, top_up):
    added = on_dates({"2019-06-10": Q(top_up, "L")}, strength)
    season = water(rain, overflow_height=Q(12, "cm"), top_up=added)
    given_ = {"N": Q(uptake, "mmol/L"), "K": Q(uptake / 2, "mmol/L"), "P": Q(uptake / 9, "mmol/L")}
    food = nutrients(season, "Hoagland 1", given_)
    for element, one in food.balance.items():
        came = one["filled (mg)"] + one["added (mg)"]
        went = one["taken up (mg)"] + one["washed out (mg)"] + one["left (mg)"]
        assert came - went == pytest.approx(0, abs=1e-9 * max(came, 1))
        assert (food.table[f"{element} (mg/L)"] >= 0).all()
        left = food.table[f"{element} (mg/L)"].iloc[-1] * season.table["volume (L)"].iloc[-1]
        assert left == pytest.approx(one["left (mg)"], rel=1e-9, abs=1e-9)


def test_the_first_evening_reads_as_the_solution_where_nothing_was_drunk():
    table = water(reference_et=Q(0, "mm/day"))
    mixed = recipe_solution("Hoagland 1")
    food = nutrients(table, mixed)
    assert food.table["EC (mS/cm)"].iloc[0] == pytest.approx(mixed.conductivity().m_as("mS/cm"), rel=1e-9)


def test_a_rest_too_strong_for_the_model_has_no_conductivity():
    strong = Solution(Q(10, "L"), {"K+": Q(400, "mmol/L"), "NO3-": Q(400, "mmol/L")})
    reading = nutrients(water(), strong, {}).table["EC (mS/cm)"]
    assert np.isfinite(reading.iloc[0])
    assert np.isnan(reading.iloc[-1])


def test_the_cover_sets_the_usual_uptake():
    given_ = {"start": "2019-05-10", "first_level": Q(24, "cm")}
    tub, plants = tank.preset("quillgate-tub"), crops.Plants("lettuce", 4)
    table = budget.season(tub, plants, weather.site("quillgate"), **given_)
    whole = nutrients(table, "Hoagland 1", uptake_factor=1).balance["Mg"]["taken up (mg)"]
    usual = nutrients(table, "Hoagland 1").balance["Mg"]["taken up (mg)"]
    assert usual == pytest.approx(0.5 * whole)  # data/uptake.csv, open


def test_after_uptake():
    # growing: half of the volume gone, 1.8 with an uptake of 1.2 mS/cm reads 2.4
    assert concentration_after_uptake(
        Q(1.8, "mS/cm"), Q(1.2, "mS/cm"), Q(40, "L"), Q(20, "L")
    ).magnitude == pytest.approx(2.4)
    # 10 L of 100 mg/L have 1000 mg; 5 L used at 150 mg/L take 750 mg; 250 mg in 5 L
    assert concentration_after_uptake(
        Q(100, "mg/L"), Q(150, "mg/L"), Q(10, "L"), Q(5, "L")
    ).magnitude == pytest.approx(50)
    assert concentration_after_uptake(Q(100, "mg/L"), Q(300, "mg/L"), Q(10, "L"), Q(5, "L")).magnitude == 0
    assert concentration_after_uptake(
        Q(0.1, "g/L"), Q(150, "mg/L"), Q(10, "L"), Q([10, 5], "L")
    ).magnitude == pytest.approx([0.1, 0.05])


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: nutrients("table", SALTPETRE), "what season"),
        (lambda: nutrients(water().table, SALTPETRE), "you gave a DataFrame"),
        (lambda: nutrients(water(), None), "need the solution in the tank"),
        (lambda: nutrients(water(), "leafy"), "weigh_out"),
        (lambda: nutrients(water(), "soup"), "soup"),
        (lambda: nutrients(water(), Solution(Q(1, "L"), {})), "Nothing that plants take"),
        (lambda: nutrients(water(), SALTPETRE, {"N": 4}), "uptake of N"),
        (lambda: nutrients(water(), SALTPETRE, {"Xx": Q(4, "mmol/L")}), "'Xx' is not followed"),
        (lambda: nutrients(water(), SALTPETRE, 4), "uptake is written as"),
        (lambda: nutrients(water(), SALTPETRE, {"N": Q(-4, "mmol/L")}), "not possible"),
        (lambda: nutrients(water(), SALTPETRE, uptake_factor=-1), "uptake factor"),
        (lambda: nutrients(water(), SALTPETRE, uptake_factor=[1, 2]), "uptake_factor"),
        (lambda: on_dates({}, strength="full"), "strength"),
        (lambda: on_dates({}, strength=-1), "0 \\(plain water\\) to 10"),
        (
            lambda: concentration_after_uptake(1.8, Q(1, "mS/cm"), Q(2, "L"), Q(1, "L")),
            "a concentration or a conductivity",
        ),
        (lambda: concentration_after_uptake(Q(1.8, "mS/cm"), Q(1, "mg/L"), Q(2, "L"), Q(1, "L")), "uptake"),
        (
            lambda: concentration_after_uptake(Q(-1, "mS/cm"), Q(1, "mS/cm"), Q(2, "L"), Q(1, "L")),
            "not negative",
        ),
        (
            lambda: concentration_after_uptake(Q(1, "mS/cm"), Q(1, "mS/cm"), Q(2, "L"), Q(0, "L")),
            "nothing is left",
        ),
        (
            lambda: concentration_after_uptake(Q(1, "mS/cm"), Q(1, "mS/cm"), Q(1, "L"), Q(2, "L")),
            "Exchange the two",
        ),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(Problem, match=words):
        make()


def test_a_season_tells_its_conductivity_at_stated_fillings():
    """0.5 L a day from 10 L: half is left on the 10th evening, and 7 L after 6 days are no stop."""
    whole = nutrients(water(days=10), SALTPETRE, {})
    assert whole.conductivity["filled"].m_as("mS/cm") == pytest.approx(
        SALTPETRE.conductivity().m_as("mS/cm"), rel=0.01
    )
    assert whole.conductivity["half left"].m_as("mS/cm") == pytest.approx(whole.table["EC (mS/cm)"].iloc[9])
    assert whole.conductivity["at the stop"] == whole.conductivity["half left"]
    assert whole.conductivity["dry end"] is None
    assert nutrients(water(days=6), SALTPETRE, {}).conductivity["half left"] is None
    dry = nutrients(water(days=60), SALTPETRE, {}).conductivity
    assert dry["filled"] < dry["half left"] < dry["at the stop"] < dry["dry end"]


def test_a_filling_that_is_passed_within_a_day_is_met_between_its_evenings():
    """From 6 to 4 L in a day, with 10 mmol of each ion that stays and nothing taken: 2 mmol/L in 5 L."""
    feed = prepare_feed(SALTPETRE, {}, None, "open")
    used = np.array([[4.0, 2.0]])
    none = np.zeros_like(used)
    found = follow(feed, 10.0, none, none, none, none, used, 0.0, keep=True)
    volume = np.array([[6.0, 4.0]])
    assert at_filling(found, volume, 10.0, 5.0) == pytest.approx(np.full((1, 2), 100 / 5))
    assert at_filling(found, volume, 10.0, 8.0) == pytest.approx(np.full((1, 2), 100 / 8))
    assert np.isnan(at_filling(found, volume, 10.0, 3.0)).all()


def test_a_tank_of_many_seasons_says_the_range():
    seasons = budget.ensemble(
        "quillgate-tub", crops.Plants("basil", 4), "quillgate", start="2027-05-10", members=60
    )
    found = budget.salt_course(seasons, "Hoagland 1")
    full = recipe_solution("Hoagland 1").conductivity().m_as("mS/cm")
    assert found.filled.m_as("mS/cm") == pytest.approx(full, rel=0.01)
    for told in (found.half, found.stop, found.dry_end):
        low, middle, high = told.magnitude
        assert low <= middle <= high
    assert found.half[1] < found.stop[1] < found.dry_end[1]
    assert found.stop[1] < Q(10, "mS/cm")  # of the whole salts in 15 % of the water, half of them used
    indoors = budget.salt_course(seasons, "Hoagland 1", cover="indoors")
    assert indoors.half[1] < found.half[1]  # a litre takes more with it


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: budget.salt_course(None, "Hoagland 1"), "what ensemble"),
        (
            lambda: budget.salt_course(
                budget.ensemble("quillgate-tub", crops.Plants("basil", 1), "quillgate", members=2, days=3),
                "Hoagland 1",
                cover="cellar",
            ),
            "cellar",
        ),
    ],
)
def test_the_salts_of_nothing_are_refused(call, words):
    with pytest.raises(Problem, match=words):
        call()
