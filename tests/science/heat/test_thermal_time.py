"""Degree-days against printed examples and an integral, days to flower, fitting."""

import dataclasses

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from stilltank.science import heat
from stilltank.science.crops import crop
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, write

F = "delta_degF*day"
# Munir et al. (2015), abstract: mean temperature and days from transplant to flower, 'Chimes White'
MUNIR_2002 = ([31.8, 25.3, 23.1, 19.5, 14.6], [34, 35, 37, 43, 68])
MUNIR_2003 = ([31.5, 27.5, 24, 22.5, 15.1], [30, 29, 34, 39, 67])


def test_86_50():
    """Ohio State and Wisconsin extension columns (2023, 2018): 24.5, 25.5, 11, 6.5 degF day, the last three 43."""
    tmax, tmin = Q([87, 90, 72, 63], "degF"), Q([63, 65, 46, 42], "degF")
    days = heat.degree_days(tmin, tmax, Q(50, "degF"), Q(86, "degF"), "clipped").to(F)
    assert days.magnitude == pytest.approx([24.5, 25.5, 11, 6.5], abs=1e-9)
    assert days[1:].sum().magnitude == pytest.approx(43, abs=1e-9)


def test_average():
    """Iowa State, Agronomy 541, lesson 2b: 70/50 degF above 50 degF is 10."""
    assert heat.degree_days(Q(50, "degF"), Q(70, "degF"), Q(50, "degF"), method="average").m_as(
        F
    ) == pytest.approx(10)
    hot = heat.degree_days(Q(20, "degC"), Q(36, "degC"), Q(10, "degC"), Q(25, "degC"), method="average")
    assert hot.magnitude == 15  # the mean, 28, counts as 25 only
    cold = heat.degree_days(Q(2, "degC"), Q(14, "degC"), Q(10, "degC"), method="average")
    assert cold.magnitude == 0  # the mean, 8 degC, is below the base


def test_single_sine():
    """TrenchR reference page: 7/14 degC, lower 12, upper 33 prints 0.47 degC day."""
    assert heat.degree_days(
        Q(7, "degC"), Q(14, "degC"), Q(12, "degC"), Q(33, "degC")
    ).magnitude == pytest.approx(0.468, abs=5e-4)


@given(st.floats(-20, 35), st.floats(0, 25), st.floats(-5, 15), st.floats(1, 30))
@example(
    0.0, 0.0, 3.516964507123025e-11, 1.0
)  # no swing, and the base just above: once a little below nothing
@settings(deadline=None)
def test_sine_is_the_integral_of_a_sine(tmin, swing, base, above):
    """Midpoint rule with 4000 steps; a kink costs it less than 1e-4 degC day at these swings."""
    angle = (np.arange(4000) + 0.5) / 4000 * 2 * np.pi
    course = tmin + swing / 2 * (1 + np.sin(angle))
    numeric = np.mean(np.clip(course, base, base + above) - base)
    ours = heat.degree_days(
        Q(tmin, "degC"), Q(tmin + swing, "degC"), Q(base, "degC"), Q(base + above, "degC")
    )
    assert ours.magnitude == pytest.approx(numeric, abs=1e-4)
    assert ours.magnitude >= -1e-12


@given(st.floats(-20, 35), st.floats(0, 25), st.sampled_from(heat.DEGREE_DAY_METHODS))
@settings(deadline=None)
def test_all_methods_agree_on_a_day_without_limits(tmin, swing, method):
    base = Q(-30, "degC")  # never crossed
    ours = heat.degree_days(Q(tmin, "degC"), Q(tmin + swing, "degC"), base, method=method)
    assert ours.magnitude == pytest.approx(tmin + swing / 2 + 30, abs=1e-9)


def course(shape, tmin, tmax, next_tmin):
    """Temperatures of 8000 even steps of a day that rises from one minimum and falls to the next."""
    angle = (np.arange(4000) + 0.5) / 4000 * np.pi
    rise = (1 - np.cos(angle)) / 2 if shape == "sine" else (np.arange(4000) + 0.5) / 4000
    return np.concatenate([tmin + (tmax - tmin) * rise, next_tmin + (tmax - next_tmin) * rise])


RATES = {
    "horizontal": lambda t, base, upper, _: np.clip(t, base, upper) - base,
    "vertical": lambda t, base, upper, _: np.where(t > upper, 0, np.maximum(t - base, 0)),
    "intermediate": lambda t, base, upper, ceiling: np.maximum(
        np.minimum(t - base, (ceiling - t) * (upper - base) / (ceiling - upper)), 0
    ),
}


@given(
    st.floats(-20, 35), st.floats(0.1, 25), st.floats(-10, 10), st.floats(-5, 12), st.floats(2, 28),
    st.floats(1, 20), st.sampled_from(["sine", "triangle", "double sine", "double triangle"]),
    st.sampled_from(sorted(heat.CUTOFFS)),
)  # fmt: skip
@example(2.0, 2.0, 2.0, 0.0, 4.0, 1.0, "double sine", "vertical")  # half a day just at the limit
@settings(deadline=None)
def test_every_method_and_cut_off_is_an_integral(tmin, swing, change, base, above, reach, method, cutoff):
    """Midpoint rule over 8000 steps. A vertical cut-off falls by up to 30 at once: one step of 8000, twice a day."""
    tmax, later = tmin + swing, min(tmin + change, tmin + swing)
    upper, ceiling = base + above, base + above + reach
    extra = {"next_tmin": Q(later, "degC")} if method.startswith("double") else {}
    if cutoff == "intermediate":
        extra["ceiling"] = Q(ceiling, "degC")
    ours = heat.degree_days(
        *(Q(t, "degC") for t in (tmin, tmax, base, upper)), method=method, cutoff=cutoff, **extra
    )
    temperatures = course(method.split()[-1], tmin, tmax, later if "next_tmin" in extra else tmin)
    numeric = np.mean(RATES[cutoff](temperatures, base, upper, ceiling))
    assert ours.magnitude == pytest.approx(numeric, abs=0.02 if cutoff == "vertical" else 1e-3)


def test_cut_offs_by_hand():
    """20 to 40 degC above 10 with a limit of 30, in straight lines: half the day is above, by 5 on average.

    Horizontal 20 - 2.5 = 17.5; vertical half a day at a mean of 15: 7.5; intermediate 17.5 - 2.5 = 15; with a
    ceiling of 40 each degree above costs two: 20 - 2.5 - 2 * 2.5 = 12.5.
    """
    low, high, base, upper = (Q(t, "degC") for t in (20, 40, 10, 30))

    def gained(cutoff, **more):
        return heat.degree_days(low, high, base, upper, "triangle", cutoff, **more).magnitude

    assert gained("horizontal") == pytest.approx(17.5)
    assert gained("vertical") == pytest.approx(7.5)
    assert gained("intermediate") == pytest.approx(15)
    assert gained("intermediate", ceiling=Q(40, "degC")) == pytest.approx(12.5)
    # 20 to 50 degC: a third of the day each from 20 to 30 (mean 15), 30 to 40 (falling, mean 10), and above for nothing
    hot = heat.degree_days(low, Q(50, "degC"), base, upper, "triangle", "intermediate", Q(40, "degC"))
    assert hot.magnitude == pytest.approx((15 + 10) / 3)
    steady = heat.degree_days(Q(35, "degC"), Q(35, "degC"), base, upper, "average", "intermediate")
    assert steady.magnitude == pytest.approx(15)


def test_a_double_method_takes_the_next_day_of_the_list():
    """Two halves: (7, 20) and (10, 20) make 2.4615 / 2 + 3.2 / 2 by straight lines above 12 degC."""
    days = heat.degree_days(
        Q([7, 10], "degC"), Q([20, 20], "degC"), Q(12, "degC"), method="double triangle"
    ).magnitude
    assert days == pytest.approx([(64 / 26 + 64 / 20) / 2, 64 / 20])


def test_fahrenheit_sums_are_1_8_times_celsius_sums():
    days = heat.degree_days(Q([50, 46], "degF"), Q([87, 72], "degF"), Q(50, "degF"))
    assert days.to(F).magnitude == pytest.approx(1.8 * days.magnitude)
    assert days.units == Q(1, "delta_degC*day").units


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (
            lambda: heat.degree_days(Q([5, 20], "degC"), Q([9, 12], "degC"), Q(5, "degC")),
            OutOfRange,
            "20 °C, lies above its highest, 12 °C, on day 2",
        ),
        (lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), 5), UnitNeeded, "base"),
        (
            lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), Q(10, "degC"), Q(10, "degC")),
            OutOfRange,
            "upper",
        ),
        (
            lambda: heat.degree_days(Q([5, np.nan], "degC"), Q([9, 9], "degC"), Q(5, "degC")),
            OutOfRange,
            "gaps",
        ),
        (
            lambda: heat.degree_days(Q([5, 5], "degC"), Q([9, 9, 9], "degC"), Q(5, "degC")),
            Problem,
            "2 values of `tmin` and 3 of `tmax` do not fit",
        ),
        (lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), Q(5, "degC"), method="x"), Problem, "average"),
        (
            lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), Q(5, "degC"), cutoff="steep"),
            Problem,
            '"horizontal", "intermediate" or "vertical"',
        ),
        (
            lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), Q(5, "degC"), cutoff="vertical"),
            Problem,
            "needs an upper limit",
        ),
        (
            lambda: heat.degree_days(
                Q(5, "degC"), Q(9, "degC"), Q(5, "degC"), Q(30, "degC"), "clipped", "vertical"
            ),
            Problem,
            "horizontal cut-off only",
        ),
        (
            lambda: heat.degree_days(
                Q(5, "degC"), Q(9, "degC"), Q(5, "degC"), Q(30, "degC"), ceiling=Q(40, "degC")
            ),
            Problem,
            "belongs to cutoff",
        ),
        (
            lambda: heat.degree_days(
                *(Q(t, "degC") for t in (5, 9, 5, 30)), cutoff="intermediate", ceiling=Q(30, "degC")
            ),
            OutOfRange,
            "ceiling must lie above",
        ),
        (
            lambda: heat.degree_days(Q(5, "degC"), Q(9, "degC"), Q(5, "degC"), next_tmin=Q(4, "degC")),
            Problem,
            "double sine",
        ),
        (
            lambda: heat.degree_days(Q(5, "degC"), Q([], "degC"), Q([1, 2], "degC")),
            Problem,
            "do not fit",
        ),
        (lambda: heat.degree_days(Q(5, "degC"), Q(400, "degC"), Q(5, "degC")), OutOfRange, "air is between"),
        (lambda: heat.days_to_flower("bedding-zinnia", Q(300, "degC")), OutOfRange, "air is between"),
        (lambda: heat.germination_rate("cosmos", Q(20, "degC")), Problem, "not known for cosmos"),
        (lambda: heat.germination_rate("basil", 20), UnitNeeded, "temperature"),
        (lambda: heat.germination_percentage("cosmos", Q(20, "degC")), Problem, "is known for cosmos"),
        (
            lambda: heat.germination_percentage("lettuce", Q(2, "degC")),
            OutOfRange,
            "tried from 5 °C to 30 °C",
        ),
        (lambda: heat.germination_percentage("lettuce", 20), UnitNeeded, "temperature"),
        (lambda: heat.days_to_emergence("cosmos", Q(20, "degC")), Problem, "not known|No thermal time"),
        (lambda: heat.days_to_emergence("calendula", Q(300, "degC")), OutOfRange, "air is between"),
        (lambda: heat.days_to_flower("cosmos", Q(20, "degC")), Problem, "No thermal time"),
        (lambda: heat.days_to_flower("bedding-zinnia", 20), UnitNeeded, "temperature"),
        (lambda: heat.fit_thermal_time(Q([10, 20], "degC"), Q([60, 30], "day")), Problem, "at least three"),
        (lambda: heat.fit_thermal_time(Q([10, 20, 30], "degC"), Q([20, 30, 40], "day")), Problem, "fewer"),
        (
            lambda: heat.fit_thermal_time(Q([10, 20, 30], "degC"), Q([20, 0, 40], "day")),
            OutOfRange,
            "above zero",
        ),
        (
            lambda: heat.fit_thermal_time(Q([20, 20, 20], "degC"), Q([20, 30, 40], "day")),
            Problem,
            "same temperature",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


def test_days_to_flower_by_hand():
    """838/(20 - 4.1) = 52.7, 838/(25 - 4.1) = 40.1; 1351.7/(20 + 1.3) = 63.5 days."""
    zinnia = heat.days_to_flower("bedding-zinnia", Q([20, 25], "degC"))
    assert zinnia.expected.m_as("day") == pytest.approx([52.704, 40.096], abs=1e-3)
    assert zinnia.phase == "sowing"
    assert heat.days_to_flower("sunflower", Q(20, "degC")).expected.m_as("day") == pytest.approx(
        63.46, abs=0.01
    )


def test_a_temperature_at_which_nothing_flowers_is_said_in_words():
    """The bedding zinnia's base is 4.1 degC: at 4 degC no degree-day is gained, and people read no "inf"."""
    assert str(heat.days_to_flower("bedding-zinnia", Q(4, "degC"))).startswith("never: it stands still")
    assert "53, never" in str(heat.days_to_flower("bedding-zinnia", Q([20, 4], "degC")))
    assert write(heat.days_to_flower("bedding-zinnia", Q(4, "degC")).expected) == "never"
    assert write(heat.flowering_day("sunflower 'Hysun-30'", Q([20] * 9, "degC"), Q(14, "hour"))) == "never"


def test_a_range_that_no_source_prints_is_a_tenth_to_either_side():
    """The bedding zinnia's 838 degC day stands alone; 754.2 to 921.8, by the assumption of data/calendar.csv."""
    assert heat.thermal_time_range(crop("bedding-zinnia")) == pytest.approx((754.2, 838, 921.8))


def test_a_phase_that_ends_with_a_day_takes_no_day_more():
    """Hysun-30 in days of 14 h: a first phase of 2835 - 14 x 133.1 = 971.6, 32 days of 30.3625; then 668.2, 22.008."""
    warm = Q([971.6 / 32 - 5.9] * 90, "degC")
    assert heat.flowering_day("sunflower 'Hysun-30'", warm, Q(14, "hour")).m_as("day") == 32 + 23
    # 33.41 degC day a day: 971.6 take 29.08 days; the 0.92 over and 19.08 more are the 20 of the second phase
    warm = Q([668.2 / 20 - 5.9] * 90, "degC")
    assert heat.flowering_day("sunflower 'Hysun-30'", warm, Q(14, "hour")).m_as("day") == 30 + 20


def test_days_to_flower_holds_the_trials():
    """Every trial of Munir et al. at or below 27.5 degC lies in our range, half a day for rounding."""
    for warmth, days in (MUNIR_2002, MUNIR_2003):
        keep = np.array(warmth) <= 27.5
        ours = heat.days_to_flower("snapdragon", Q(np.array(warmth)[keep], "degC"))
        assert np.all(ours.early.magnitude - 0.5 <= np.array(days)[keep])
        assert np.all(np.array(days)[keep] <= ours.late.magnitude + 0.5)


def test_plateau_and_base():
    ours = heat.days_to_flower("snapdragon", Q([4, 28, 31], "degC"))
    assert ours.expected.magnitude[0] == np.inf
    assert ours.expected.magnitude[1] == ours.expected.magnitude[2]
    assert "guess" in ours.note
    assert not heat.days_to_flower("snapdragon", Q(20, "degC")).note


def test_above_the_optimum_up_to_a_ceiling():
    """Rate by straight lines: 838 above 4.1, best at 25 and nothing at 35: at 30 half of 20.9 a day, 80.2 days."""
    own = dataclasses.replace(
        crop("bedding-zinnia"), optimum_temperature=Q(25, "degC"), ceiling_temperature=Q(35, "degC")
    )
    found = heat.days_to_flower(own, Q([20, 25, 30, 35, 40], "degC")).expected.m_as("day")
    assert found[:3] == pytest.approx([838 / 15.9, 838 / 20.9, 838 / 10.45])
    assert np.isinf(found[3:]).all()


def test_seed_by_three_temperatures():
    """Green basil: nothing at 6.11 and 43.58 degC, best at 28.97; half the rate half way up."""
    rate = heat.germination_rate("basil", Q([0, 6.11, 17.54, 28.97, 43.58, 50], "degC")).magnitude
    assert rate == pytest.approx([0, 0, 0.5, 1, 0, 0])


def test_seedlings_of_a_hundred_seeds():
    """Harrington & Minges (1954), copies, 5 to 30 degC; by hand half way: spinach (52 + 28) / 2 = 40 at 22.5 degC."""
    warmth = Q([5, 10, 15, 20, 25, 30], "degC")
    for name, printed in (
        ("lettuce", [98, 98, 99, 99, 99, 12]),
        ("spinach", [96, 91, 82, 52, 28, 32]),
        ("chard", [53, 72, 88, 90, 97, 89]),
    ):
        assert heat.germination_percentage(name, warmth).m_as("percent") == pytest.approx(printed)
    assert heat.germination_percentage("spinach", Q(22.5, "degC")).m_as("percent") == pytest.approx(40)
    assert heat.germination_percentage("spinach", Q(68, "degF")).m_as("percent") == pytest.approx(52)
    # nothing is printed for parsley at 15 degC: 66 is half way from 63 to 69
    parsley = heat.germination_percentage("parsley", Q([5, 15, 25], "degC")).m_as("percent")
    assert parsley == pytest.approx([0, 66, 64])


def test_emergence_of_calendula():
    """Joly et al. (2013): 89 degC day above 5.5: 89 / 14.5 = 6.14 days at 20 degC, never at 5.5."""
    days = heat.days_to_emergence("calendula", Q([20, 5.5], "degC")).m_as("day")
    assert days[0] == pytest.approx(6.138, abs=1e-3)
    assert days[1] == np.inf


def test_a_range_that_is_not_published_is_assumed():
    zinnia = heat.days_to_flower("bedding-zinnia", Q(20, "degC"))
    assert zinnia.early < zinnia.expected < zinnia.late
    own = dataclasses.replace(
        crop("bedding-zinnia"),
        thermal_time_low=Q(800, "delta_degC*day"),
        thermal_time_high=Q(900, "delta_degC*day"),
    )
    assert heat.thermal_time_range(own) == (800, 838, 900)


def test_fit_of_the_snapdragon_trials():
    """Base 4.59 degC, 681 degC day, rmse 1.5 d from 8 trials; each year alone 2.7 (765) and 5.8 (631)."""
    warmth = np.array(MUNIR_2002[0] + MUNIR_2003[0])
    days = np.array(MUNIR_2002[1] + MUNIR_2003[1])
    keep = warmth <= 27.5
    both = heat.fit_thermal_time(Q(warmth[keep], "degC"), Q(days[keep], "day"))
    assert both.trials == 8
    assert both.base.m_as("degC") == pytest.approx(4.59, abs=0.02)
    assert both.thermal_time.m_as("delta_degC*day") == pytest.approx(681, abs=1)
    assert both.rmse.m_as("day") == pytest.approx(1.5, abs=0.05)
    assert both.base_range[0] < both.base < both.base_range[1]
    for (t, d), base, total in ((MUNIR_2002, 2.7, 765), (MUNIR_2003, 5.8, 631)):
        keep = np.array(t) <= 27.5
        one = heat.fit_thermal_time(Q(np.array(t)[keep], "degC"), Q(np.array(d)[keep], "day"))
        assert one.base.m_as("degC") == pytest.approx(base, abs=0.05)
        assert one.thermal_time.m_as("delta_degC*day") == pytest.approx(total, abs=1)


@given(st.floats(-2, 10), st.floats(200, 1500))
@settings(deadline=None)
def test_fit_finds_what_made_the_data(base, total):
    warmth = np.array([14.0, 18, 22, 26])
    found = heat.fit_thermal_time(Q(warmth, "degC"), Q(total / (warmth - base), "day"))
    assert found.base.m_as("degC") == pytest.approx(base, abs=1e-6)
    assert found.thermal_time.m_as("delta_degC*day") == pytest.approx(total, rel=1e-6)


@pytest.mark.parametrize("method", heat.DEGREE_DAY_METHODS)
def test_a_cold_day_gains_nothing_and_is_written_so(method):
    found = heat.degree_days(Q(1, "degC"), Q(5, "degC"), base=Q(12, "degC"), method=method).magnitude
    assert f"{found:.1f}" == "0.0"


def test_swapped_temperatures_are_named_in_the_units_of_the_question():
    with pytest.raises(OutOfRange, match="lowest temperature, 80 °F, lies above its highest, 60 °F"):
        heat.degree_days(Q(80, "degF"), Q(60, "degF"), base=Q(50, "degF"))
    with pytest.raises(OutOfRange, match="between −130 °F and 140 °F; 200 °F is not"):
        heat.days_to_flower("bedding-zinnia", Q(200, "degF"))
