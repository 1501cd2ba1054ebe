"""A user's CSV of daily weather: read with care, never changed."""

import csv
import io
import os
import re
from pathlib import Path
from typing import Any

import numpy as np

from stilltank.files import FileChanged, write_atomically
from stilltank.science.sky import missing_sentence
from stilltank.units import Problem, Q, Quantity, Unreadable, takes

from .series import SERIES, Weather

# Names a column may have, lower case without signs. The first is the one the documentation and `write` use.
NAMES = {
    "date": ("date", "day", "datum"),
    "temperature_max": (
        "tempmax",
        "tmax",
        "temperaturemax",
        "maxtemp",
        "maximumtemperature",
        "maxtemperature",
        "high",
    ),
    "temperature_min": (
        "tempmin",
        "tmin",
        "temperaturemin",
        "mintemp",
        "minimumtemperature",
        "mintemperature",
        "low",
    ),
    "precipitation": ("rain", "precipitation", "precip", "prcp", "rainfall"),
    "relative_humidity_max": ("humiditymax", "rhmax", "relativehumiditymax", "maxhumidity"),
    "relative_humidity_min": ("humiditymin", "rhmin", "relativehumiditymin", "minhumidity"),
    "relative_humidity_mean": (
        "humiditymean",
        "rhmean",
        "relativehumiditymean",
        "humidity",
        "rh",
        "relativehumidity",
    ),
    "dew_point": ("dewpoint", "tdew", "dewpointtemperature"),
    "wind_speed": ("wind", "windspeed", "windmean"),
    "solar_radiation": ("solar", "solarradiation", "radiation", "rs", "globalradiation"),
    "sunshine": ("sunshine", "sunshinehours", "sunhours"),
}
_COLUMN = {alias: name for name, aliases in NAMES.items() for alias in aliases}
_WRITTEN = {
    "temperature_max": "temp_max",
    "temperature_min": "temp_min",
    "precipitation": "rain",
    "relative_humidity_max": "humidity_max",
    "relative_humidity_min": "humidity_min",
    "relative_humidity_mean": "humidity_mean",
    "wind_speed": "wind",
    "solar_radiation": "solar",
}
# Units a header may say, lower case without signs other than %.
UNITS = {
    **dict.fromkeys(("c", "degc", "celsius"), "degC"),
    **dict.fromkeys(("f", "degf", "fahrenheit"), "degF"),
    **dict.fromkeys(("mm", "mmd", "mmday"), "mm"),
    **dict.fromkeys(("in", "inch", "inches"), "inch"),
    **dict.fromkeys(("%", "percent", "pct"), "percent"),
    **dict.fromkeys(("ms", "mps", "ms1"), "m/s"),
    **dict.fromkeys(("kmh", "kph"), "km/hour"),
    **dict.fromkeys(("kn", "knot", "knots"), "knot"),
    **dict.fromkeys(("mjm2d", "mjm2day", "mjm2d1", "mjm2"), "MJ/m^2/day"),
    **dict.fromkeys(("h", "hour", "hours"), "hour"),
    **dict.fromkeys(("min", "minute", "minutes"), "minute"),
    "cm": "cm",
    "mph": "mile/hour",
    "wm2": "W/m^2",
    "kwhm2": "kW*hour/m^2/day",
}
_FITTING = {
    "degC": ("degC", "degF"),
    "mm": ("mm", "cm", "inch"),
    "percent": ("percent",),
    "m/s": ("m/s", "km/hour", "mile/hour", "knot"),
    "MJ/m^2/day": ("MJ/m^2/day", "W/m^2", "kW*hour/m^2/day"),
    "hour": ("hour", "minute"),
}
_SAID = {
    "degC": "(°C) or (°F)",
    "mm": "(mm) or (in)",
    "percent": "(%)",
    "m/s": "(m/s), (km/h) or (mph)",
    "MJ/m^2/day": "(MJ/m2/d) or (W/m2)",
    "hour": "(h)",
}


def read(
    path: str | os.PathLike[str],
    latitude: Quantity | None = None,
    altitude: Quantity | None = None,
    wind_height: Quantity | None = None,
    units: dict[str, str | None] | None = None,
    name: str = "",
) -> Weather:
    """Read daily weather from a CSV file.

    Parameters
    ----------
    path : str or path
        One row a day. The header names the columns, each with its unit: ``date``, ``temp_max (°C)``, ``temp_min
        (°C)``, then any of ``rain (mm)``, ``humidity_max (%)``, ``humidity_min (%)``, ``humidity_mean (%)``,
        ``dew_point (°C)``, ``wind (m/s)``, ``solar (MJ/m2/d)``, ``sunshine (h)``.
    latitude, altitude : Quantity, optional
        Of the place, for the evapotranspiration.
    wind_height : Quantity, optional
        Height of the wind gauge; needed when the file has a wind.
    units : dict, optional
        Units for columns whose header says none: ``{"temp_max": "degC"}``; None leaves a column out.
    name : str, optional
        The file's name when left out.

    Returns
    -------
    Weather
        Columns that are not understood are left out, and its ``notes`` say so.

    Raises
    ------
    Unreadable
        The file or a cell cannot be understood, or days are missing; the sentence names the line.
    UnitNeeded
        A wind without the height of its gauge.
    OutOfRange
        An impossible value, or a minimum above its maximum.

    Notes
    -----
    Also understood are usual other names (``tmax``, ``precipitation``, ``rh_max``), units at the end of the name
    (``temp_max_f``, ``rain_mm``), and °F, in, km/h, mph, W/m2. The columns are apart by comma, semicolon or tab;
    numbers have a full stop or a comma. Lines that begin with ``#`` are remarks.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.csv"
    >>> _ = path.write_text("date;temp_max (°F);temp_min (°F);rain (mm)\\n2015-07-06;70,7;54,1;2,5\\n")
    >>> read(path).precipitation.magnitude.tolist()
    [2.5]
    """
    lines = _lines(path)
    path = Path(path)
    delimiter = _delimiter(lines[0][1])
    rows = [(line, next(csv.reader([text], delimiter=delimiter))) for line, text in lines]
    columns, ignored = _columns(path.name, rows[0][1], units or {})
    if len(rows) == 1:
        raise Unreadable(f"{path.name} has a header and no days. Write one row for each day below it.")
    dates, values = _cells(path.name, rows, columns)
    series: dict[str, Any] = {
        key: Q(np.array(values[key]), unit) for key, (_, unit) in columns.items() if key != "date"
    }
    notes = (f"Columns left out: {', '.join(ignored)}.",) if ignored else ()
    return Weather(
        dates,
        **series,
        wind_height=wind_height,
        latitude=latitude,
        altitude=altitude,
        name=name or path.name,
        notes=notes,
    )


def _lines(path: Any) -> list[tuple[int, str]]:
    from stilltank.files import read_text

    text = read_text(path, "the weather")
    lines = [
        (number, line)
        for number, line in enumerate(io.StringIO(text).read().splitlines(), start=1)
        if line.strip(" ;,\t") and not line.lstrip().startswith("#")
    ]
    if not lines:
        raise Unreadable(
            f"{Path(path).name} is empty. It needs a header such as date,temp_max (°C),temp_min (°C) and one row a day."
        )
    return lines


def _delimiter(header: str) -> str:
    return max(";\t,", key=header.count)


def _columns(
    file: str, header: list[str], units: dict[str, str | None]
) -> tuple[dict[str, tuple[int, str]], list[str]]:
    found: dict[str, tuple[int, str]] = {}
    ignored: list[str] = []
    for place, cell in enumerate(header):
        key, unit = _understood(cell)
        if key is None or units.get(cell.strip(), key) is None:
            ignored += [cell.strip()] if cell.strip() else []
            continue
        if key in found:
            raise Unreadable(
                f"{file}: two columns both give {key.replace('_', ' ')}: "
                f"{header[found[key][0]]!r} and {cell!r}. Keep one."
            )
        found[key] = (place, "" if key == "date" else _fitting(file, cell, key, unit, units))
    for key in ("date", "temperature_max", "temperature_min"):
        if key not in found:
            name = {"date": "date", "temperature_max": "temp_max (°C)", "temperature_min": "temp_min (°C)"}[
                key
            ]
            raise Unreadable(
                f"{file} has no column {name!r}. Its header reads: {', '.join(cell.strip() for cell in header)}. "
                "The first line must name the columns."
            )
    return found, ignored


def _bare(text: str) -> str:
    return re.sub(r"[^a-z0-9%]", "", text.lower().replace("²", "2").replace("⁻¹", ""))


def _understood(cell: str) -> tuple[str | None, str | None]:
    """Name and unit a header cell speaks of; the unit is None where it says none, or one that is not known."""
    match = re.fullmatch(r"\s*(.*?)\s*[(\[](.*)[)\]]\s*", cell)
    if match:
        return _COLUMN.get(_bare(match[1])), UNITS.get(_bare(match[2]), match[2])
    if _bare(cell) in _COLUMN:
        return _COLUMN[_bare(cell)], None
    parts = re.split(r"[_\s]+", cell.strip())
    for cut in range(1, len(parts)):
        name, unit = _bare("".join(parts[:cut])), _bare("".join(parts[cut:]))
        if name in _COLUMN and unit in UNITS:
            return _COLUMN[name], UNITS[unit]
    return None, None


def _fitting(file: str, cell: str, key: str, unit: str | None, units: dict[str, str | None]) -> str:
    unit = unit or units.get(cell.strip()) or units.get(key)
    said = _SAID[SERIES[key][0]]
    if unit is None:
        raise Unreadable(
            f"{file}: the column {cell.strip()!r} says no unit. Write one behind the name: {said}."
        )
    if unit not in _FITTING[SERIES[key][0]]:
        raise Unreadable(
            f"{file}: the unit {unit!r} of the column {cell.strip()!r} does not fit. Write {said}."
        )
    return unit


def _cells(
    file: str, rows: list[tuple[int, list[str]]], columns: dict[str, tuple[int, str]]
) -> tuple[Any, dict[str, list[float]]]:
    width = len(rows[0][1])
    dates: list[Any] = []
    values: dict[str, list[float]] = {key: [] for key in columns if key != "date"}
    empty: dict[str, list[int]] = {}
    for line, cells in rows[1:]:
        if len(cells) != width:
            raise Unreadable(
                f"{file}, line {line}: {len(cells)} cells under a header of {width}. A number with a decimal comma "
                "in a file with commas between the columns does this; use semicolons between the columns then."
            )
        day = _date(file, line, cells[columns["date"][0]].strip())
        if dates and day <= dates[-1]:
            raise Unreadable(
                f"{file}, line {line}: {day} comes after {dates[-1]}. Each day stands once, the oldest first."
            )
        dates.append(day)
        for key, (place, _) in columns.items():
            if key == "date":
                continue
            cell = cells[place].strip()
            if not cell:
                empty.setdefault(key, []).append(line)
            values[key].append(_number(file, line, rows[0][1][place], cell) if cell else np.nan)
    for key, lines in empty.items():
        heading = rows[0][1][columns[key][0]].strip()
        raise Unreadable(
            f"{file}: {len(lines)} cell{'s' * (len(lines) > 1)} of {heading!r} are empty, the first in line "
            f"{lines[0]}. Fill each (from a neighbouring station, or the mean of the days before and after), "
            "or leave the column out."
        )
    days = np.array(dates)
    if len(days) > 1 and (np.diff(days).astype(int) > 1).any():
        raise Unreadable(f"{file}. {missing_sentence(days)}")
    return days, values


def _date(file: str, line: int, text: str) -> Any:
    if re.fullmatch(r"\d{4}-\d{2}-\d{2}([T ]00:00(:00)?)?", text):
        try:
            return np.datetime64(text[:10], "D")
        except ValueError:
            raise Unreadable(f"{file}, line {line}: there is no day {text}.") from None
    raise Unreadable(
        f"{file}, line {line}: the date {text!r} is not written year first. Write 2015-07-06 for 6 July 2015."
    )


def _number(file: str, line: int, heading: str, text: str) -> float:
    tidy = text.replace("−", "-")
    if re.fullmatch(r"[-+]?\d+,\d{3}", tidy):
        raise Unreadable(
            f"{file}, line {line}: {text!r} under {heading.strip()!r} can be read two ways. Write it without the comma."
        )
    try:
        if not re.fullmatch(r"[-+]?(\d+([.,]\d*)?|[.,]\d+)([eE][-+]?\d+)?", tidy):
            raise ValueError
        return float(tidy.replace(",", "."))
    except ValueError:
        raise Unreadable(
            f"{file}, line {line}: {text!r} under {heading.strip()!r} is not a number. Write the number alone."
        ) from None


@takes(weather=Weather, remark=str)
def write(weather: Weather, path: str | os.PathLike[str], remark: str = "") -> None:
    """Write a record as a CSV file that `read` understands.

    An existing file is never overwritten.

    Parameters
    ----------
    weather : Weather
        The weather record.
    path : str or path
        The new file.
    remark : str, optional
        Written above the header, behind ``#``.

    Raises
    ------
    Problem
        The file exists already, or the folder cannot be written.
    Unreadable
        No weather record, or no name of a file.

    Notes
    -----
    Latitude, altitude and the height of the wind gauge are not part of the file.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> path = pathlib.Path(tempfile.mkdtemp()) / "day.csv"
    >>> write(Weather(["2015-07-06"], Q([21.5], "degC"), Q([12.3], "degC")), path)
    >>> print(path.read_text(encoding="utf-8"))
    date,temp_max (°C),temp_min (°C)
    2015-07-06,21.5,12.3
    """
    if not isinstance(path, (str, os.PathLike)):
        raise Unreadable(
            f'A record is written to a file; write its name, such as "mine.csv". {path!r} is none.'
        )
    path = Path(path)
    there = [key for key in SERIES if getattr(weather, key) is not None]
    signs = {"degC": "°C", "percent": "%", "MJ/m^2/day": "MJ/m2/d", "hour": "h"}
    heads = [f"{_WRITTEN.get(key, key)} ({signs.get(SERIES[key][0], SERIES[key][0])})" for key in there]
    lines = [f"# {line}" for line in remark.splitlines()]
    lines.append(",".join(["date", *heads]))
    columns = [getattr(weather, key).magnitude for key in there]
    lines += [
        ",".join([str(day), *(f"{value:.10g}" for value in row)])
        for day, *row in zip(weather.dates, *columns, strict=True)
    ]
    try:
        write_atomically(path, "\n".join(lines) + "\n", expected=None)
    except FileChanged:
        raise Problem(f"{path.name} exists already. Give another name, or delete it first.") from None
