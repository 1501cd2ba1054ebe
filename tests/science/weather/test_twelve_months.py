"""A record made from twelve months: its means, its spread, and what it says of two real records."""

import numpy as np
import pytest
from stilltank.science import budget, crops, demand, heat, weather
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

HIGHS = [6, 8, 11, 15, 19, 22, 25, 25, 21, 16, 10, 7]
LOWS = [1, 1, 3, 5, 9, 12, 14, 14, 11, 8, 4, 2]
RAIN = [60, 50, 50, 50, 60, 60, 70, 60, 60, 70, 70, 70]
HERE = {"latitude": Q(50, "degree"), "altitude": Q(100, "m")}


def made(highs=HIGHS, lows=LOWS, rain=RAIN, **more):
    return weather.from_months(Q(highs, "degC"), Q(lows, "degC"), Q(rain, "mm"), **(HERE | more))


def from_its_own_months(name):
    real = weather.record(name)
    months = weather.monthly_means(real)
    found = weather.from_months(
        months.temperature_max,
        months.temperature_min,
        months.precipitation,
        real.latitude,
        real.altitude,
        coast=real.coast,
    )
    return real, found


def days_of_year(frosts):
    return np.array(
        [date.timetuple().tm_yday for date in frosts.dates.values() if date is not None], dtype=float
    )


@pytest.mark.parametrize("more", [{}, {"wet": Q([10.0] * 12, "day")}, {"years": 10, "seed": 7}])
def test_each_month_has_what_was_given(more):
    months = weather.monthly_means(made(**more))
    assert months.temperature_max.m_as("degC") == pytest.approx(HIGHS, abs=1e-9)
    assert months.temperature_min.m_as("degC") == pytest.approx(LOWS, abs=1e-9)
    assert months.precipitation.m_as("mm") == pytest.approx(RAIN, abs=1e-9)


@pytest.mark.parametrize(
    ("highs", "lows", "rain", "latitude"),
    [
        ([31] * 12, [24] * 12, [200.0] * 12, 1),
        (
            [-38, -33, -18, -1, 11, 21, 25, 21, 11, -4, -26, -37],
            [-42, -40, -32, -15, -1, 8, 12, 8, 1, -12, -34, -41],
            [9, 8, 7, 8, 20, 33, 40, 37, 30, 18, 16, 10],
            62,
        ),
        (
            [20, 22, 27, 33, 38, 41, 40, 40, 38, 33, 26, 21],
            [9, 10, 14, 19, 24, 27, 28, 28, 25, 21, 15, 10],
            [0] * 12,
            24,
        ),
        ([12] * 12, [11.5] * 12, [1.0] + [900.0] * 11, -55),
    ],
    ids=["near the equator", "far from any sea", "no rain", "no range"],
)
def test_places_unlike_the_two_records(highs, lows, rain, latitude):
    """The curve must stay a curve: highs above lows on every day, spread that people would know."""
    found = made(highs, lows, rain, latitude=Q(latitude, "degree"))
    high, low = found.temperature_max.magnitude, found.temperature_min.magnitude
    assert (high > low).all()
    assert weather.monthly_means(found).precipitation.m_as("mm") == pytest.approx(rain, abs=1e-9)
    if latitude == 1:
        assert 1 < ((high + low) / 2).std() < 2  # one day is much like the next
        assert low.min() > 12


def test_no_rain_no_wet_days():
    assert not made(rain=[0] * 12).precipitation.magnitude.any()


def test_wet_days_as_given():
    """Four standard errors of 30 years, with the days of the chain counted as half as many."""
    found = made(wet=Q([8.0] * 12, "day"))
    share = 8 / (365.25 / 12)
    assert (found.precipitation.magnitude > 0).mean() == pytest.approx(
        share, abs=4 * np.sqrt(share * (1 - share) / (found.days / 2))
    )


def test_the_same_seed_the_same_weather():
    first, second, other = made(), made(), made(seed=2)
    assert (first.temperature_max.magnitude == second.temperature_max.magnitude).all()
    assert (first.temperature_max.magnitude != other.temperature_max.magnitude).any()


@pytest.mark.parametrize("name", ["new-york", "seattle"])
def test_water_use_and_warmth_of_a_real_record(name):
    """From its own twelve months: the year's evapotranspiration within 1 %, degree-days above 10 °C within 2 %.

    The sums of four years themselves differ by that much from those of other years.
    """
    real, found = from_its_own_months(name)
    for quantity, tolerance in (
        (lambda one: demand.reference_et(one).magnitude.sum() / one.days, 0.01),
        (
            lambda one: (
                heat.degree_days(one.temperature_min, one.temperature_max, Q(10, "degC")).magnitude.sum()
                / one.days
            ),
            0.02,
        ),
    ):
        assert quantity(found) == pytest.approx(quantity(real), rel=tolerance)


@pytest.mark.parametrize(("name", "later"), [("new-york", 7), ("seattle", 25)])
def test_frosts_of_a_real_record(name, later):
    """Four springs have a median that is sure to some 10 days; the bound for Seattle is what the docstring says."""
    real, found = (weather.frost_dates(one) for one in from_its_own_months(name))
    spring = np.median(days_of_year(found[0])) - np.median(days_of_year(real[0]))
    autumn = np.median(days_of_year(found[1])) - np.median(days_of_year(real[1]))
    assert -3 < spring < later
    assert abs(autumn) < 7
    assert 6 < days_of_year(found[0]).std() < 28
    assert 6 < days_of_year(found[1]).std() < 20


@pytest.mark.parametrize("name", ["new-york", "seattle"])
def test_a_tank_runs_dry_as_with_the_real_record(name):
    middle = [
        budget.ensemble(
            "quillgate-tub", crops.Plants("basil", 4), one, start="2027-05-20", members=400
        ).date_range()[1]
        for one in from_its_own_months(name)
    ]
    assert abs((middle[0] - middle[1]).days) <= 5


def test_days_and_years_differ_as_in_the_records():
    """Both records: monthly means of temperature 1.3 and 1.7 °C around their month, yearly means 0.8 °C."""
    for name in ("new-york", "seattle"):
        real, found = from_its_own_months(name)
        monthly, yearly = [], []
        for one in (real, found):
            mean = one.temperature_mean.magnitude
            month = one.dates.astype("M8[M]").astype(int)
            means = (np.bincount(month - month[0], mean) / np.bincount(month - month[0])).reshape(-1, 12)
            monthly.append(means.std(axis=0, ddof=1).mean())
            yearly.append(means.mean(axis=1).std(ddof=1))
        assert monthly[1] == pytest.approx(monthly[0], rel=0.25)
        assert yearly[1] == pytest.approx(yearly[0], rel=0.35)


def test_south_of_the_equator_it_is_the_other_half_of_the_year():
    """The same place with its months moved by six: as much warmth and water, frosts half a year later."""
    north = made(seed=3)
    south = made(*(list(np.roll(row, 6)) for row in (HIGHS, LOWS, RAIN)), latitude=Q(-50, "degree"), seed=3)
    et = [demand.reference_et(one).magnitude.sum() / 30 for one in (north, south)]
    assert et[1] == pytest.approx(et[0], rel=0.03)  # the earth is nearer the sun in January
    spring = weather.frost_dates(south)[0]
    assert spring.half == "second"
    late = np.median(days_of_year(spring)) - np.median(days_of_year(weather.frost_dates(north)[0]))
    assert late == pytest.approx(182, abs=12)


def test_it_says_that_it_is_made():
    found = made(name="My terrace")
    assert found.name == "My terrace"
    assert "Made from twelve monthly means" in str(found)
    assert "usual one for so much rain" in str(found)
    assert "usual one for so much rain" not in str(made(wet=Q([8.0] * 12, "day")))


def test_months_in_us_units_are_the_same():
    us = weather.from_months(
        Q([9 / 5 * one + 32 for one in HIGHS], "degF"),
        Q([9 / 5 * one + 32 for one in LOWS], "degF"),
        Q(np.array(RAIN) / 25.4, "inch"),
        **HERE,
    )
    assert us.temperature_max.magnitude == pytest.approx(made().temperature_max.magnitude, abs=1e-6)
    assert us.precipitation.magnitude == pytest.approx(made().precipitation.magnitude, abs=1e-6)


@pytest.mark.parametrize(
    ("call", "kind", "words"),
    [
        (lambda: made(HIGHS[:11]), Unreadable, "`highs` has 11 values. Give twelve"),
        (lambda: made(LOWS, HIGHS), OutOfRange, "January: the low, 6 °C, is not below the high, 1 °C"),
        (
            lambda: weather.from_months(Q(HIGHS, "mm"), Q(LOWS, "degC"), Q(RAIN, "mm"), **HERE),
            UnitNeeded,
            "highs",
        ),
        (lambda: weather.from_months(HIGHS, Q(LOWS, "degC"), Q(RAIN, "mm"), **HERE), UnitNeeded, "highs"),
        (lambda: made([70, *HIGHS[1:]]), OutOfRange, "January: 70 °C cannot be a monthly mean"),
        (lambda: made(rain=[-1, *RAIN[1:]]), OutOfRange, "January: −1 mm of rain"),
        (lambda: made(wet=Q([40] * 12, "day")), OutOfRange, "January: 40 wet days cannot be. Give 0 to 31"),
        (lambda: made(wet=Q([0] * 12, "day")), OutOfRange, "Rain needs wet days"),
        (lambda: made(years=5), OutOfRange, "10 to 100"),
        (
            lambda: weather.from_months(Q([41] * 12, "degF"), Q([50] * 12, "degF"), Q(RAIN, "mm"), **HERE),
            OutOfRange,
            "50 °F",
        ),
        (lambda: made(latitude=Q(95, "degree")), Problem, "95"),
    ],
)
def test_bad_months_get_a_sentence(call, kind, words):
    with pytest.raises(kind, match=words.replace("(", r"\(")) as refused:
        call()
    assert len(str(refused.value).split()) < 36
