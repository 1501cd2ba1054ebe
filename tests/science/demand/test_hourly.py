"""Evapotranspiration by the hour: the printed example, and sums that the daily formulas must give too."""

import numpy as np
import pytest
from stilltank.science import demand, sky
from stilltank.units import Problem, Q

HOURS = np.arange(24) + 0.5


def degrees(value):
    return Q(value, "degree")


@pytest.mark.parametrize("latitude", [-66, -33.9, 0, 16.22, 40, 66])
@pytest.mark.parametrize("day", [15, 80, 172, 300])
@pytest.mark.parametrize(("longitude", "zone"), [(0, 0), (-73.2, -75), (151, 150), (179, -180)])
def test_the_hours_add_up_to_the_day(latitude, day, longitude, zone):
    # eq. 28 integrates over an hour what eq. 21 integrates over the day
    hourly = sky.hourly_extraterrestrial_radiation(
        degrees(latitude), day, HOURS, degrees(longitude), degrees(zone)
    )
    daily = sky.extraterrestrial_radiation(degrees(latitude), day)
    assert hourly.magnitude.sum() == pytest.approx(daily.magnitude, rel=1e-9, abs=1e-9)


def test_a_sun_that_never_sets_shines_in_every_hour():
    hourly = sky.hourly_extraterrestrial_radiation(degrees(80), 172, HOURS, degrees(20), degrees(15))
    assert (hourly.magnitude > 0).all()
    daily = sky.extraterrestrial_radiation(degrees(80), 172)
    assert hourly.magnitude.sum() == pytest.approx(daily.magnitude, rel=1e-9)


def test_noon_comes_by_the_clock_when_the_place_says():
    # 15 degrees west of its zone's middle the sun is an hour late; south of the line too
    for latitude in (40, -40):
        at_home = sky.hourly_extraterrestrial_radiation(degrees(latitude), 106, HOURS)
        west = sky.hourly_extraterrestrial_radiation(degrees(latitude), 106, HOURS, degrees(-15), degrees(0))
        assert west.magnitude[1:] == pytest.approx(at_home.magnitude[:-1])


def test_the_clock_is_corrected_by_at_most_a_quarter_of_an_hour():
    # the sun is latest about 11 February, 14 min, and earliest about 3 November, 16 min (almanac, from memory)
    fine = np.arange(6, 18, 0.05)
    for day, minutes in ((42, 14), (307, -16)):
        sun = sky.hourly_extraterrestrial_radiation(degrees(0), day, fine).magnitude
        noon = (fine * sun).sum() / sun.sum()
        assert 60 * (noon - 12) == pytest.approx(minutes, abs=2)


def at(temperature, humidity, wind, sun, above, **given):
    air = sky.saturation_vapour_pressure(Q(temperature, "degC")) * humidity / 100
    return demand.hourly_reference_et(
        Q(temperature, "degC"),
        air,
        Q(wind, "m/s"),
        Q(sun, "MJ/m^2/hour"),
        Q(above, "MJ/m^2/hour"),
        Q(8, "m"),
        **given,
    ).magnitude


def test_example_19_by_day_and_by_night():
    # N'Diaye, 1 October: 0.63 mm from 14 to 15 o'clock (read); 0.00 from 2 to 3 at 28 degC, 90 %, 1.9 m/s, with a
    # clearness of 0.8 the evening before (from memory)
    assert at(38, 52, 3.3, 2.45, 3.543) == pytest.approx(0.63, abs=0.005)
    assert at(28, 90, 1.9, 0, 0, clearness=0.8) == pytest.approx(0.00, abs=0.005)


def test_each_driver_pushes_its_way():
    usual = at(30, 50, 2, 2, 3.5)
    assert at(30, 50, 2, 2.4, 3.5) > usual
    assert at(30, 40, 2, 2, 3.5) > usual
    assert at(30, 50, 3, 2, 3.5) > usual
    assert at(10, 100, 1, 0, 0) == 0  # dew


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: sky.hourly_extraterrestrial_radiation(40, 172, 12), "latitude"),
        (lambda: sky.hourly_extraterrestrial_radiation(degrees(40), 172, 25), "between 0 and 24"),
        (lambda: sky.hourly_extraterrestrial_radiation(degrees(40), 400, 12), "between 1 and 366"),
        (
            lambda: sky.hourly_extraterrestrial_radiation(degrees(40), 172, "noon"),
            "a plain number such as",
        ),
        (lambda: sky.hourly_extraterrestrial_radiation(degrees(40), 172, 12, 20), "longitude"),
        (
            lambda: sky.hourly_extraterrestrial_radiation(degrees(40), 172, 12, degrees(200)),
            "-180 and 180",
        ),
        (
            lambda: sky.hourly_extraterrestrial_radiation(degrees(40), 172, 12, degrees(180.5)),
            "180.5 does not",
        ),
        (lambda: at(30, -5, 2, 2, 3), "cannot be negative"),
        (lambda: at(30, 50, 2, -2, 3), "cannot be negative"),
        (lambda: at(30, 50, 2, 2, 3, clearness=2), "between 0.25 and 1"),
        (lambda: at(30, 50, 2, 2, 3, clearness="clear"), "a plain number such as"),
        (lambda: at([20, 30], 50, 2, [1, 2, 3], 3), "do not fit"),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(Problem, match=words):
        make()
