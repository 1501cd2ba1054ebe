"""Published trials of flowering, and the model that takes day length too."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank import tables
from stilltank.science import heat
from stilltank.science.crops import names
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

HYSUN = "sunflower 'Hysun-30'"


def days(temperature, day_length):
    found = heat.days_by_day_length(HYSUN, Q(temperature, "degC"), Q(day_length, "hour"))
    return found.m_as("day")


def test_the_formula_by_hand():
    """Goyne et al. (1977): (2835.0 - 133.1 * 14) + 668.2 = 1639.8 above -5.9 degC: 63.3 days at 20 degC."""
    assert days(20, 14) == pytest.approx(1639.8 / 25.9, abs=0.01)
    assert days(20, [12, 16]) == pytest.approx([1906.0 / 25.9, 1373.6 / 25.9], abs=0.01)
    assert days(-6, 14) == np.inf
    table = heat.days_by_day_length(HYSUN, Q([[15], [20]], "degC"), Q([12, 14, 16], "hour"))
    assert table.shape == (2, 3)


@given(st.floats(2, 35), st.floats(8, 18))
@settings(deadline=None)
def test_day_by_day_is_the_formula_on_days_alike(temperature, day_length):
    """Whole days: the formula's, rounded up."""
    expected = days(temperature, day_length)
    found = heat.flowering_day(HYSUN, Q([temperature] * 500, "degC"), Q(day_length, "hour")).m_as("day")
    assert found == pytest.approx(np.ceil(expected - 1e-6))


def test_day_by_day_by_hand():
    """Cool then warm: 40 days at 14.1 degC gain 800 of the first phase, 971.6 at 14 h; 24.1 a day go on.

    171.6 are left, and 668.2 of the second phase; together 839.8, which 28 days of 30 gain.
    """
    warmth = Q([14.1] * 40 + [24.1] * 60, "degC")
    assert heat.flowering_day(HYSUN, warmth, Q(14, "hour")).magnitude == 40 + 28


def test_lengthening_days_bring_it_sooner_than_shortening_ones():
    warmth = Q([20.0] * 120, "degC")
    up, down = np.linspace(12, 16, 120), np.linspace(16, 12, 120)
    early, late = (heat.flowering_day(HYSUN, warmth, Q(day, "hour")).magnitude for day in (down, up))
    assert early < late  # the first phase is what day length acts on, so long days must come first


def test_too_few_days_do_not_suffice():
    assert heat.flowering_day(HYSUN, Q([20.0] * 10, "degC"), Q(14, "hour")).magnitude == np.inf
    assert heat.flowering_day(HYSUN, Q([20.0] * 50, "degC"), Q(14, "hour")).magnitude == np.inf


def test_the_trials_are_those_of_the_abstract():
    """Munir et al. (2015), abstract: ten treatments in two years, all counted from transplant."""
    one, two = (heat.trial(f"snapdragon 'Chimes White' {year}") for year in (2002, 2003))
    assert one.phase == two.phase == "transplant"
    assert one.temperature.m_as("degC").tolist() == [31.8, 25.3, 23.1, 19.5, 14.6]
    assert two.days.m_as("day").tolist() == [30, 29, 34, 39, 67]
    assert two.up_to(Q(27.5, "degC")).temperature.m_as("degC").max() == 27.5


def test_sources_conflict_and_are_all_told():
    said = heat.day_length_findings("sunflower")
    assert {"long-day", "sooner in short days"} <= {entry.value for entry in said}
    assert all(entry.kind == "published" and entry.source for entry in said)
    assert heat.day_length_findings("no such crop") == ()


def test_every_crop_of_a_trial_is_known():
    table = tables.load("trials")
    for item in table.items_named:
        assert item == "night break" or table[item, "crop"].value in names()


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: days(20, 22), OutOfRange, "22 hours .* leaves nothing"),
        # the longer the day, the shorter its first phase: of several days the longest is the one named
        (lambda: days(20, [12, 23, 22]), OutOfRange, "a day of 23 hours .* leaves nothing"),
        (lambda: days(20, 25), OutOfRange, "0 to 24"),
        (lambda: days(200, 14), OutOfRange, "air is between"),
        (lambda: days([20, 21], [12, 13, 14]), Problem, "do not fit"),
        (lambda: heat.days_by_day_length(HYSUN, 20, Q(14, "hour")), UnitNeeded, "temperature"),
        (lambda: heat.days_by_day_length(HYSUN, Q(20, "degC"), 14), UnitNeeded, "day_length"),
        (lambda: heat.days_by_day_length("sunflower", Q(20, "degC"), Q(14, "hour")), Problem, "Did you mean"),
        (lambda: heat.days_by_day_length(None, Q(20, "degC"), Q(14, "hour")), Problem, "Hysun"),
        (lambda: heat.flowering_day(HYSUN, Q([20, 20], "degC"), Q([14] * 3, "hour")), Problem, "do not fit"),
        (
            lambda: heat.flowering_day(HYSUN, Q([20, np.nan], "degC"), Q(14, "hour")),
            OutOfRange,
            "not a number",
        ),
        (lambda: heat.trial("snapdragon"), Problem, "There are: snapdragon 'Chimes White' 2002"),
        (lambda: heat.trial("lettuce 'Saladin'"), Problem, "no such trial"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
