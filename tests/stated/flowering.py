"""How each stated value of the flowering chapter is computed, through the public functions."""

import numpy as np
from stilltank.science import daylength, heat, photoperiod
from stilltank.science.crop import crop
from stilltank.units import Q

NORTH_40 = Q(40, "degree")
YEAR_2025 = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
F50, F86 = Q(50, "degF"), Q(86, "degF")
# Munir et al. (2015), abstract: mean temperature and days from transplant to flower, trials at or below 27.5 degC
TRIALS_2002 = ([25.3, 23.1, 19.5, 14.6], [35, 37, 43, 68])
TRIALS_2003 = ([27.5, 24, 22.5, 15.1], [29, 34, 39, 67])


def _rule_86_50(tmax, tmin):
    return heat.degree_days(Q(tmin, "degF"), Q(tmax, "degF"), F50, F86, method="clipped")


def _between_12_and_33(tmin, tmax, method):
    return heat.degree_days(Q(tmin, "degC"), Q(tmax, "degC"), Q(12, "degC"), Q(33, "degC"), method)


def _fit(*trials):
    warmth, days = (np.concatenate(values) for values in zip(*trials, strict=True))
    return heat.fit_base(Q(warmth, "degC"), Q(days, "day"))


def _long_days(method):
    hours = daylength.hours(NORTH_40, YEAR_2025, method)
    return np.flatnonzero(hours >= Q(14, "hour")) + 1


def _minutes_off(latitude, method):
    here = Q(latitude, "degree")
    return daylength.hours(here, YEAR_2025, method) - daylength.hours(here, YEAR_2025, "almanac")


def _errors_of_day_length():
    """Rows F36 and F37: the mean error, for CBM without its sign, and the largest, at four latitudes."""
    rows = {}
    for row, method in (("F36", "fao56"), ("F37", "cbm")):
        for letter, latitude in zip("abcd", (20, 40, 50, 60), strict=True):
            keep = np.asarray if method == "fao56" else np.abs
            rows[f"{row}{letter}"] = lambda lat=latitude, m=method, f=keep: (
                f(_minutes_off(lat, m).m_as("minute")).mean() * Q(1, "minute")
            )
            rows[f"{row}{letter}L"] = lambda lat=latitude, m=method: np.abs(_minutes_off(lat, m)).max()
    return rows


COMPUTED = {
    "R105": lambda: daylength.hours(Q(-20, "degree"), "2025-09-03", method="fao56"),
    "R107": lambda: _long_days("fao56")[0],
    "F40": lambda: _long_days("fao56")[-1],
    "F40a": lambda: _long_days("almanac")[0],
    "F40b": lambda: _long_days("almanac")[-1],
    "F40c": lambda: _long_days("fao56")[0],
    "F32a": lambda: daylength.hours(NORTH_40, "2025-03-20", "almanac"),
    "F32b": lambda: daylength.hours(NORTH_40, "2025-06-21", "almanac"),
    "F32c": lambda: daylength.hours(NORTH_40, "2025-09-22", "almanac"),
    "F32d": lambda: daylength.hours(NORTH_40, "2025-12-21", "almanac"),
    **_errors_of_day_length(),
    "R108": lambda: photoperiod.daily_light(Q(200, "umol/m^2/s"), Q(16, "hour")),
    "F01a": lambda: _rule_86_50(87, 63),
    "F01b": lambda: _rule_86_50(90, 65),
    "F01c": lambda: _rule_86_50(72, 46),
    "F01d": lambda: _rule_86_50(63, 42),
    "F02": lambda: _rule_86_50([90, 72, 63], [65, 46, 42]).sum(),
    "F03": lambda: heat.degree_days(F50, Q(70, "degF"), F50, method="average"),
    "F04": lambda: _between_12_and_33(7, 14, "sine"),
    "F04a": lambda: _between_12_and_33(7, 14, "triangle"),
    "F04b": lambda: _between_12_and_33(13, 40, "sine"),
    "F04c": lambda: _between_12_and_33(7, 40, "sine"),
    "F04d": lambda: _between_12_and_33(7, 20, "double sine"),
    "F04e": lambda: _between_12_and_33(7, 20, "double triangle"),
    "F04f": lambda: _between_12_and_33(35, 40, "double sine"),
    "F13a": lambda: _fit(TRIALS_2002, TRIALS_2003).base,
    "F13b": lambda: _fit(TRIALS_2002, TRIALS_2003).thermal_time,
    "F13c": lambda: _fit(TRIALS_2002, TRIALS_2003).rmse,
    "F13d": lambda: _fit(TRIALS_2002).base,
    "F13e": lambda: _fit(TRIALS_2003).base,
    "F16a": lambda: heat.days_to_flower("zinnia", Q(20, "degC")).expected,
    "F16b": lambda: heat.days_to_flower("zinnia", Q(25, "degC")).expected,
    "F18": lambda: heat.days_to_flower("sunflower", Q(20, "degC")).expected,
    "F34a": lambda: daylength.hours(NORTH_40, 172),
    "F34b": lambda: daylength.hours(NORTH_40, 355),
    "F44": lambda: 1 / crop("sunflower").spacing ** 2,
}
