"""How each stated value of the flowering chapter is computed, through the public functions."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from stilltank.science import calendar, heat, sky, weather
from stilltank.science.crops import crop
from stilltank.tables import where_from
from stilltank.units import Q

NORTH_40 = Q(40, "degree")
YEAR_2025 = np.arange("2025-01-01", "2026-01-01", dtype="datetime64[D]")
F50, F86 = Q(50, "degF"), Q(86, "degF")
MUNIR = {year: heat.trial(f"snapdragon 'Chimes White' {year}") for year in (2002, 2003)}
SEEDLINGS = "trials/sunflower, 25 cut cultivars as seedlings"
SALADIN = "trials/lettuce 'Saladin'"
HYSUN = "sunflower 'Hysun-30'"


def _columns(name):
    """Dates or days, highest and lowest of the day; a gap is nan."""
    path = Path(__file__).with_name(name)
    days, high, low = np.genfromtxt(path, delimiter=",", dtype=str, skip_header=3).T
    return days, *(np.array([float(value or "nan") for value in column]) for column in (high, low))


def _lincoln_season(method, upper=F86):
    days, high, low = _columns("lincoln-2016.csv")
    season = (days >= "2016-05-01") & (days <= "2016-09-30") & ~np.isnan(high)
    return heat.degree_days(Q(low[season], "degF"), Q(high[season], "degF"), F50, upper, method).sum()


def _lincoln_frost(season):
    """The missing day lies in June: the mean of its neighbours can be no frost."""
    days, high, low = _columns("lincoln-2016.csv")
    (gap,) = np.flatnonzero(np.isnan(high))
    for values in (high, low):
        values[gap] = (values[gap - 1] + values[gap + 1]) / 2
    record = weather.Weather(days.astype("datetime64[D]"), Q(high, "degF"), Q(low, "degF"))
    return sky.day_of_year(weather.frost_dates(record, Q(32, "degF"))[season].dates[2016])


def _against_hourly(method):
    _, high, low = _columns("greensboro-typical-year.csv")
    total = heat.degree_days(Q(low, "degC"), Q(high, "degC"), Q(10, "degC"), method=method).sum()
    return (total / Q(2481, "delta_degC*day") - 1).to("percent")


def _rule_86_50(tmax, tmin):
    return heat.degree_days(Q(tmin, "degF"), Q(tmax, "degF"), F50, F86, method="clipped")


def _between_12_and_33(tmin, tmax, method):
    return heat.degree_days(Q(tmin, "degC"), Q(tmax, "degC"), Q(12, "degC"), Q(33, "degC"), method)


def _fit(*years):
    """Trials at or below 27.5 degC, as the straight part of the response."""
    straight = [MUNIR[year].up_to(Q(27.5, "degC")) for year in years]
    warmth, days = (
        np.concatenate([getattr(part, what).magnitude for part in straight])
        for what in ("temperature", "days")
    )
    return heat.fit_thermal_time(Q(warmth, "degC"), Q(days, "day"))


def _trial_rows():
    """Rows F11 and F12: the days of each treatment, in the order of the abstract."""
    rows = {"F11": MUNIR[2002], "F12": MUNIR[2003]}
    return {
        f"{row}{letter}": lambda days=trial.days[index]: days
        for row, trial in rows.items()
        for index, letter in enumerate("abcde")
    }


def _plateau():
    warmth = Q(np.arange(20, 35, 0.5), "degC")
    return warmth[np.argmin(heat.days_to_flower("snapdragon", warmth).expected.magnitude)]


def _days_of_756(temperature):
    own = replace(
        crop("bedding-zinnia"), base_temperature=Q(4, "degC"), thermal_time=Q(756, "delta_degC*day")
    )
    return heat.days_to_flower(own, Q(temperature, "degC")).expected


def _light_for_17_mol():
    """Daily light grows with the intensity in a straight line, so one value gives any other."""
    of_one = sky.daily_light_integral(Q(1, "umol/m^2/s"), Q(16, "hour"))
    return Q(17, "mol/m^2") / of_one * Q(1, "umol/m^2/s")


def _tanks():
    starts = np.arange("2026-05-01", "2026-09-01", 7, dtype="datetime64[D]")
    return calendar.tanks_needed(starts, starts + 35 * sky.ONE_DAY, Q(0, "day"))


def _cardinal(name):
    """Where the rate of germination leaves nothing, is greatest, and is nothing again, in steps of 0.01 degC."""
    warmth = np.arange(0, 5000) / 100
    rate = heat.germination_rate(name, Q(warmth, "degC")).magnitude
    some = np.flatnonzero(rate > 1e-9)
    return [Q(warmth[at], "degC") for at in (some[0] - 1, np.argmax(rate), some[-1] + 1)]


def _said(address):
    return where_from(address).quantity


def _long_days(method):
    hours = sky.day_length(NORTH_40, YEAR_2025, method)
    return np.flatnonzero(hours >= Q(14, "hour")) + 1


def _minutes_off(latitude, method):
    here = Q(latitude, "degree")
    return sky.day_length(here, YEAR_2025, method) - sky.day_length(here, YEAR_2025, "almanac")


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


def _stems_of_a_bed(stems, plants, for_area="1/ft^2"):
    return calendar.stems_per_plant(Q(stems, "1/ft^2"), Q(plants, for_area))


COMPUTED = {
    "R105": lambda: sky.day_length(Q(-20, "degree"), "2025-09-03", method="fao56"),
    "R107": lambda: _long_days("fao56")[0],
    "F40": lambda: _long_days("fao56")[-1],
    "F40a": lambda: _long_days("almanac")[0],
    "F40b": lambda: _long_days("almanac")[-1],
    "F40c": lambda: _long_days("fao56")[0],
    "F32a": lambda: sky.day_length(NORTH_40, "2025-03-20", "almanac"),
    "F32b": lambda: sky.day_length(NORTH_40, "2025-06-21", "almanac"),
    "F32c": lambda: sky.day_length(NORTH_40, "2025-09-22", "almanac"),
    "F32d": lambda: sky.day_length(NORTH_40, "2025-12-21", "almanac"),
    **_errors_of_day_length(),
    "R108": lambda: sky.daily_light_integral(Q(200, "umol/m^2/s"), Q(16, "hour")),
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
    "F07a": lambda: _lincoln_season("clipped"),
    "F07b": lambda: _lincoln_season("average", upper=None),
    "F07c": lambda: _lincoln_season("sine"),
    "F09a": lambda: _against_hourly("average"),
    "F09b": lambda: _against_hourly("clipped"),
    "F09c": lambda: _against_hourly("sine"),
    "F41a": lambda: _lincoln_frost(0),
    "F41b": lambda: _lincoln_frost(1),
    "F13a": lambda: _fit(2002, 2003).base,
    "F13b": lambda: _fit(2002, 2003).thermal_time,
    "F13c": lambda: _fit(2002, 2003).rmse,
    "F13d": lambda: _fit(2002).base,
    "F13e": lambda: _fit(2003).base,
    **_trial_rows(),
    "F15": _plateau,
    "F20a": lambda: _said(f"{SEEDLINGS}/days after short days"),
    "F20b": lambda: _said(f"{SEEDLINGS}/days after long days"),
    "F21": lambda: _said("trials/sunflower, 56 cut cultivars/strongly short-day"),
    "F26a": lambda: _said(f"{SALADIN}/effective day-degrees"),
    "F26b": lambda: (
        np.ptp([end.magnitude for end in where_from(f"{SALADIN}/effective day-degrees").range])
        / 2
        * Q(1, "delta_degC*day")
    ),
    "F26c": lambda: _said(f"{SALADIN}/explained by day-degrees"),
    "F31a": lambda: _said("trials/marigold, monthly plantings/earliest, first year"),
    "F31b": lambda: _said("trials/marigold, monthly plantings/latest, first year"),
    "F31c": lambda: _said("trials/marigold, monthly plantings/earliest, second year"),
    "F31d": lambda: _said("trials/marigold, monthly plantings/latest, second year"),
    "F18H": lambda: heat.days_by_day_length(HYSUN, Q(20, "degC"), Q(14, "hour")),
    "F16a": lambda: heat.days_to_flower("bedding-zinnia", Q(20, "degC")).expected,
    "F16b": lambda: heat.days_to_flower("bedding-zinnia", Q(25, "degC")).expected,
    "F18": lambda: heat.days_to_flower("sunflower", Q(20, "degC")).expected,
    "F34a": lambda: sky.day_length(NORTH_40, 172),
    "F34b": lambda: sky.day_length(NORTH_40, 355),
    "F23": lambda: crop("pansy").optimum_temperature,
    "F24a": lambda: crop("zinnia").seedling_days,
    "F24b": lambda: crop("orange-cosmos").seedling_days,
    "F24c": lambda: crop("snapdragon").seedling_days,
    "F24d": lambda: crop("ageratum").seedling_days,
    "F28a": lambda: _cardinal("basil")[0],
    "F28b": lambda: _cardinal("basil")[1],
    "F28c": lambda: _cardinal("basil")[2],
    "F28d": lambda: _cardinal("purple-basil")[0],
    "F28e": lambda: _cardinal("purple-basil")[1],
    "F28f": lambda: _cardinal("purple-basil")[2],
    "F30a": lambda: heat.days_to_emergence("calendula", Q(20, "degC")) * Q(20 - 5.5, "delta_degC"),
    "F30b": lambda: crop("calendula").emergence_base,
    "F30c": lambda: crop("calendula").emergence_potential,
    "F44a": lambda: 1 / crop("sunflower").spacing_low ** 2,
    "G-F1a": lambda: _days_of_756(14),
    "G-F1b": lambda: _days_of_756(18),
    "G-F1c": lambda: _days_of_756(22),
    "G-F1d": lambda: _days_of_756(26),
    "G-F4": _light_for_17_mol,
    "G-F5": _tanks,
    "S59a": lambda: _stems_of_a_bed(12, 1 / 81, "1/inch^2"),
    "S59b": lambda: _stems_of_a_bed(15, 1 / 81, "1/inch^2"),
    "S63a": lambda: _stems_of_a_bed(6.8, 1.8),
    "S63b": lambda: _stems_of_a_bed(13.7, 4),
    "F44": lambda: 1 / crop("sunflower").spacing ** 2,
}
