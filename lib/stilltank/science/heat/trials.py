"""What trials of flowering found: days at each temperature, and models that take day length too."""

import difflib
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import OutOfRange, Problem, Q, Quantity, check_shapes, takes, within

from ... import tables
from .degree_days import of_the_air


@dataclass(frozen=True, eq=False)
class Trial:
    """A published trial of days to flower.

    Parameters
    ----------
    name : str
        Its name in data/trials.csv.
    crop : str
        Name of the crop.
    phase : str
        What the days are counted from.
    temperature : Quantity
        Mean of each treatment.
    days : Quantity
        Days of each treatment.

    See Also
    --------
    trial : Take one by name.

    Examples
    --------
    >>> trial("snapdragon 'Chimes White' 2002").crop
    'snapdragon'
    """

    name: str
    crop: str
    phase: str
    temperature: Quantity
    days: Quantity

    def up_to(self, warmest: Quantity) -> "Trial":
        """The treatments that are not warmer than this, as a fit of the straight part needs them.

        Parameters
        ----------
        warmest : Quantity
            The warmest to keep.

        Returns
        -------
        Trial
            The same trial with fewer treatments.

        Raises
        ------
        UnitNeeded
            No temperature.

        Examples
        --------
        >>> len(trial("snapdragon 'Chimes White' 2002").up_to(Q(27.5, "degC")).days)
        4
        """
        keep = self.temperature <= warmest
        return Trial(self.name, self.crop, self.phase, self.temperature[keep], self.days[keep])


def trial(name: str) -> Trial:
    """Take a trial of days to flower by temperature.

    Parameters
    ----------
    name : str
        Its name in data/trials.csv.

    Returns
    -------
    Trial
        The trial; each value has its own source in the table.

    Raises
    ------
    Problem
        No such trial, or one without days by temperature; the sentence lists those there are.

    Examples
    --------
    >>> trial("snapdragon 'Chimes White' 2003").days.magnitude.tolist()
    [30.0, 29.0, 34.0, 39.0, 67.0]
    """
    entries = _entries(name, "temperature 1")
    count = sum(1 for prop in entries if prop.startswith("temperature "))
    return Trial(
        name,
        str(entries["crop"].value),
        str(entries["phase"].value),
        *(
            Q([entries[f"{what} {i}"].value for i in range(1, count + 1)], unit)
            for what, unit in (("temperature", "degC"), ("days", "day"))
        ),
    )


@takes(temperature="degC", day_length="hour")
def days_by_day_length(name: str, temperature: Quantity, day_length: Quantity) -> Quantity:
    """Days to flower at a constant temperature and day length, where a trial gives both.

    Parameters
    ----------
    name : str
        A trial in data/trials.csv with a first phase that day length changes, such as "sunflower 'Hysun-30'".
    temperature, day_length : Quantity
        Constant; one value each or arrays.

    Returns
    -------
    Quantity
        In days from the trial's phase; infinite at or below its base temperature.

    Raises
    ------
    UnitNeeded
        A bare number.
    OutOfRange
        A temperature that no air has had, a day outside 0 to 24 h, or one so long that the line of the formula leaves
        nothing of the first phase.
    Problem
        No such trial, or arrays that do not fit.

    Notes
    -----
    The formula alone was read, not the temperatures and day lengths it was found in; use it between 10 and 16 h at
    most. Another cultivar may respond the other way round.

    References
    ----------
    GOYNE1977, for 'Hysun-30': a + b times the day length, and c degree-days above a base.

    Examples
    --------
    >>> days = days_by_day_length("sunflower 'Hysun-30'", Q(20, "degC"), Q([12, 14, 16], "hour"))
    >>> days.magnitude.round(1).tolist()
    [73.6, 63.3, 53.0]
    """
    base, second = _number(name, "base temperature", "degC"), _number(name, "second phase", "delta_degC*day")
    total = _first_phase(name, day_length) + second
    gained = np.maximum(of_the_air(temperature) - base, 0)
    with np.errstate(divide="ignore"):
        return Q((total / gained)[()], "day")


@takes(temperature="degC", day_length="hour")
def flowering_day(name: str, temperature: Quantity, day_length: Quantity) -> Quantity:
    """Day of flowering when temperature and day length change from day to day.

    Parameters
    ----------
    name : str
        As in `days_by_day_length`.
    temperature : Quantity
        Mean of each day from the trial's phase on, [days].
    day_length : Quantity
        Of each day, [days], or one for all.

    Returns
    -------
    Quantity
        Whole days from the first; infinite when the days given do not suffice.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A temperature that no air has had, or a day outside 0 to 24 h.
    Problem
        No such trial, or days that do not fit each other.

    Notes
    -----
    Daily sums of the formula of `days_by_day_length`. That each day counts by its own length, as a share of the first
    phase, is our assumption; the source gives constant days only.

    Examples
    --------
    >>> flowering_day("sunflower 'Hysun-30'", Q([20] * 90, "degC"), Q(14, "hour")).magnitude
    64.0
    """
    warmth, day = np.atleast_1d(of_the_air(temperature)), np.asarray(day_length)
    if warmth.ndim != 1 or (day.ndim and day.shape != warmth.shape):
        check_shapes({"temperature": warmth.shape, "day_length": day.shape}, "flowering_day")
        raise Problem("flowering_day takes one temperature a day, and as many day lengths, or one for all.")
    gained = np.maximum(warmth - _number(name, "base temperature", "degC"), 0)
    share = np.concatenate([[0.0], np.cumsum(gained / _first_phase(name, day))])
    first = np.searchsorted(
        share, 1 - 1e-12
    )  # so many days for the first phase, the last one perhaps in part
    if first == share.size:
        return Q(np.inf, "day")
    over = (share[first] - 1) / (share[first] - share[first - 1]) * gained[first - 1]
    total = np.concatenate([[over], over + np.cumsum(gained[first:])])
    second = np.searchsorted(total, _number(name, "second phase", "delta_degC*day") * (1 - 1e-12))
    return Q(np.inf if second == total.size else float(first + second), "day")


def _first_phase(name: str, day_length: Any) -> Any:
    within(day_length, 0, 24, "A day has 0 to 24 hours; {value:g} is not possible.")
    start = _number(name, "first phase without day length", "delta_degC*day")
    slope = _number(name, "first phase by day length", "delta_degC*day/hour")
    found = start + slope * np.asarray(day_length, dtype=float)
    if np.any(found <= 0):
        worst = float(np.max(day_length) if slope < 0 else np.min(day_length))
        raise OutOfRange(
            f"With a day of {worst:g} hours the formula of {name} leaves nothing of the first phase; it cannot hold "
            "that far. Take a day length that occurs where the crop is grown, such as 14 hours."
        )
    return found


@takes(crop=str)
def day_length_findings(crop: str) -> tuple[tables.Entry, ...]:
    """What sources say on a crop's response to day length.

    Parameters
    ----------
    crop : str
        Name of the crop.

    Returns
    -------
    tuple of Entry
        One a cultivar or trial, with ``.item``, ``.value`` in words, kind, source and note; empty where nothing was
        found. Sources conflict: the response is one of the cultivar, not of the species.

    Examples
    --------
    >>> [entry.value for entry in day_length_findings("orange-cosmos")]
    ['day-neutral']
    """
    table = tables.load("trials")
    return tuple(
        entry
        for (item, prop), entry in table.items()
        if prop == "response" and table[item, "crop"].value == crop
    )


def _number(name: str, prop: str, unit: str) -> float:
    _entries(name, "second phase")
    return tables.number("trials", name, prop, unit)


def _entries(name: str, needs: str) -> Any:
    table = tables.load("trials")
    names = [item for item in table.items_named if (item, needs) in table]
    if not isinstance(name, str) or name not in names:
        near = difflib.get_close_matches(str(name), names, n=1)
        hint = f" Did you mean {near[0]!r}?" if near else ""
        raise Problem(f"There is no such trial {name!r}.{hint} There are: {'; '.join(names)}.")
    return table.of(name)
