"""The film coefficient from a recovery: exact readings, honest ranges, another fitter, and what is no recovery."""

import math

import numpy as np
import pytest
from stilltank.science import oxygen
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

T20 = Q(20, "degC")
TOP = 9.092  # mg/L at 20 degC, APHA table
HOURS = np.array([0, 1, 2, 3, 4, 6, 8, 10, 14, 20, 26])
DEPTH = Q(13, "cm")


def course(hours, k, start=1.0, top=TOP, depth=0.13):
    return top - (top - start) * np.exp(-k * np.asarray(hours) / 24 / depth)


def fit(oxygen_read, hours=HOURS, **more):
    return oxygen.fit_film_coefficient(Q(hours, "hour"), Q(oxygen_read, "mg/L"), DEPTH, T20, **more)


@pytest.mark.parametrize("k", [0.1, 0.3, 0.6])
def test_exact_readings_give_the_coefficient_back(k):
    found = fit(course(HOURS, k), plateau=Q(TOP, "mg/L"))
    assert found.coefficient.m_as("m/day") == pytest.approx(k, rel=1e-6)
    assert found.by_hand.m_as("m/day") == pytest.approx(k, rel=1e-9)  # the logarithm is a straight line
    assert found.start.m_as("mg/L") == pytest.approx(1)
    assert found.scatter.m_as("mg/L") < 1e-6
    without = fit(course(HOURS, k))  # saturation by the equation, 9.0924
    assert without.coefficient.m_as("m/day") == pytest.approx(k, rel=2e-3)


def test_by_hand_two_readings():
    """Half of what is missing comes in 5 h over 13 cm: k = ln 2 * 0.13/(5/24) = 0.4325 m/day, three lines by hand."""
    k = math.log(2) * 0.13 / (5 / 24)
    missing = (TOP - 1) * 0.5 ** (HOURS / 5)
    assert k == pytest.approx(0.4325, abs=1e-4)
    assert fit(TOP - missing, plateau=Q(TOP, "mg/L")).coefficient.m_as("m/day") == pytest.approx(k, rel=1e-6)


def test_the_range_holds_the_true_value_as_often_as_it_says():
    """600 trials with errors of 0.15 mg/L; at 90 percent some 540 are held, and 20 is 2.7 standard deviations."""
    rng = np.random.default_rng(11)
    exact = course(HOURS, 0.25)
    inside = {0.9: 0, 0.5: 0}
    for _ in range(600):
        readings = exact + rng.normal(0, 0.15, HOURS.size)
        for share in inside:
            found = fit(readings, plateau=Q(TOP, "mg/L"), certainty=share)
            inside[share] += found.low.m_as("m/day") <= 0.25 <= found.high.m_as("m/day")
    assert inside[0.9] == pytest.approx(540, abs=20)
    assert inside[0.5] == pytest.approx(300, abs=35)


def test_a_meter_that_is_off_is_seen_by_its_plateau():
    """A meter that shows nine tenths: a fixed plateau misleads, a fitted one does not."""
    readings = 0.9 * course(HOURS, 0.3)
    assert fit(readings).coefficient.m_as("m/day") < 0.25
    mended = fit(readings, fit_plateau=True)
    assert mended.coefficient.m_as("m/day") == pytest.approx(0.3, rel=1e-4)
    assert mended.plateau.m_as("mg/L") == pytest.approx(0.9 * TOP, rel=1e-4)


def test_against_least_squares_on_a_grid():
    """The smallest sum of squares over a fine grid of coefficients, the start solved by hand for each."""
    readings = course(HOURS, 0.25) + np.random.default_rng(5).normal(0, 0.2, HOURS.size)
    grid = np.linspace(0.15, 0.4, 25_001)
    waves = np.exp(-np.outer(grid, HOURS) / 24 / 0.13)
    missing = (waves @ (TOP - readings)) / (waves**2).sum(axis=1)
    left = TOP - missing[:, None] * waves - readings
    best = grid[(left**2).sum(axis=1).argmin()]
    found = fit(readings, plateau=Q(TOP, "mg/L"))
    assert found.coefficient.m_as("m/day") == pytest.approx(best, abs=2e-5)


def test_the_order_and_the_clock_do_not_matter():
    readings = course(HOURS, 0.3) + 0.05 * np.cos(HOURS)
    shuffled = np.random.default_rng(1).permutation(HOURS.size)
    one, other = fit(readings), fit(readings[shuffled], HOURS[shuffled] + 9.5)
    assert one.coefficient.m_as("m/day") == pytest.approx(other.coefficient.m_as("m/day"), rel=1e-6)


def test_the_fit_goes_into_a_season_as_it_comes():
    trial = oxygen.reaeration_readings()
    found = oxygen.fit_film_coefficient(trial.time, trial.concentration, DEPTH, trial.temperature)
    assert found.low < Q(0.22, "m/day") < found.high  # what the invented trial was made with
    column = oxygen.WaterColumn(
        depth=Q([13, 12], "cm"),
        temperature=T20,
        demand=Q(1, "g/m^2/day"),
        film_coefficient=[found.low, found.coefficient, found.high],
    )
    season = oxygen.mixed_water(column)
    assert np.all(np.diff(season.mean.m_as("mg/L")[:, -1]) > 0)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: fit(course(HOURS[:4], 0.3), HOURS[:4]), Problem, "5 times or more; it got 4"),
        (
            lambda: fit(course(HOURS, 0.3), HOURS[:-1]),
            Problem,
            "10 values of `time` and 11 of `concentration`",
        ),
        (lambda: fit(np.full(11, 4.0)), Problem, "does not rise|do not tell"),
        (lambda: fit(course(HOURS, 0.3)[::-1].copy()), Problem, "does not rise"),
        (lambda: fit(np.full(11, 9.0)), Problem, "already near the plateau"),
        (lambda: fit(course(HOURS, 0.3) + 4), Problem, "far above the plateau"),
        (lambda: fit(course(HOURS, 0.3) - 3), OutOfRange, "not negative"),
        (lambda: fit(np.where(HOURS == 3, np.nan, 5.0)), OutOfRange, "not a number"),
        (lambda: fit(course(HOURS, 0.3), certainty=95), OutOfRange, "certainty"),
        (lambda: fit(course(HOURS, 0.3), plateau=Q(9, "mg/L"), fit_plateau=True), Problem, "not both"),
        (lambda: oxygen.fit_film_coefficient(HOURS, Q(HOURS, "mg/L"), DEPTH, T20), UnitNeeded, "`time`"),
        (
            lambda: oxygen.fit_film_coefficient(Q(HOURS, "hour"), Q(HOURS / 9, "mg/L"), Q(0, "cm"), T20),
            OutOfRange,
            "above zero",
        ),
        (lambda: oxygen.reaeration_readings("no-such-file.csv"), Unreadable, "not there"),
    ],
)
def test_what_is_no_recovery_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


@pytest.mark.parametrize(
    ("text", "error", "words"),
    [
        ("", Unreadable, "first line"),
        ("hours,oxygen\n1,2\n", Unreadable, "first line"),
        ("# only a remark\n", Unreadable, "first line"),
        ("time (h),oxygen (mg/L),temperature (°C)\n", Unreadable, "no readings"),
        ("time (h),oxygen (mg/L),temperature (°C)\n1,2\n", Unreadable, "Line 2"),
        ("# remark\ntime (h),oxygen (mg/L),temperature (°C)\n1,2,20\n1,two,20\n", Unreadable, "Line 4.*two"),
        ("time (h),oxygen (mg/L),temperature (°C)\n1,nan,20\n", Unreadable, "Line 2"),
        ("time (h),oxygen (mg/L),temperature (°C)\n1,-2,20\n", OutOfRange, "-2 mg/L"),
    ],
)
def test_a_file_that_is_no_recovery(tmp_path, text, error, words):
    path = tmp_path / "mine.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(error, match=words):
        oxygen.reaeration_readings(path)


def test_the_trial_of_the_demo_says_it_is_invented():
    from stilltank.tables import DATA

    text = (DATA / "demo" / "oxygen-recovery-quillgate.csv").read_text(encoding="utf-8")
    assert text.startswith("# Invented for the demo")
