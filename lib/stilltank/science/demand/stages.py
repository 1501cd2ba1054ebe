"""How long the stages of a crop are, from its own days or from a schedule."""

from dataclasses import replace

from stilltank.science import heat
from stilltank.science.crops import Crop
from stilltank.science.crops import crop as crop_of
from stilltank.science.sky import fao56_value
from stilltank.units import OutOfRange, Problem, Q, Quantity, takes, within

_STAGES = ("stage_initial", "stage_development", "stage_mid", "stage_late")
_Lengths = tuple[float, float, float, float]  # days


def season_length(crop: Crop | str) -> int:
    """Days from transplanting to the end of the last stage.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.

    Returns
    -------
    int
        Whole days.

    Raises
    ------
    Problem
        No crop of that name, or nothing is known from which its stages follow.

    Notes
    -----
    A crop with stage lengths of its own has these. Else they follow from its days, as in `fit_stages`; where a thermal
    time is known, those days are counted at the temperature at which seedlings are raised.

    Examples
    --------
    >>> season_length("lettuce")
    42
    """
    return round(sum(stage_lengths(named(crop))))


def full_cover_day(crop: Crop | str) -> int:
    """Days from transplanting to full cover, which is the first flower or harvest.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.

    Returns
    -------
    int
        Whole days.

    Raises
    ------
    Problem
        No crop of that name, or nothing is known from which its stages follow.

    See Also
    --------
    season_length : To the last harvest.

    Examples
    --------
    >>> full_cover_day("lettuce")
    35
    """
    return round(sum(stage_lengths(named(crop))[:2]))


@takes(first="day", end="day")
def fit_stages(crop: Crop | str, first: Quantity, end: Quantity) -> Crop:
    """Make a crop whose stages fit a schedule: full cover at the first flower or harvest, the end at the last.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    first : Quantity
        From transplanting to the first flower or harvest.
    end : Quantity
        From transplanting to the last harvest.

    Returns
    -------
    Crop
        The same, with stage lengths.

    Raises
    ------
    UnitNeeded
        A time without its unit.
    OutOfRange
        A time below 0 or above 3660 days, or an end before the first.
    Problem
        No crop of that name.

    Notes
    -----
    In FAO-56 the initial stage, to a tenth of cover, takes 0.4 of the time from planting to full cover. What a seedling
    has behind it in its pot counts towards that time, but for a week after transplanting it hardly grows.

    References
    ----------
    FAO56, Table 11.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> lettuce = fit_stages("lettuce", Q(30, "day"), Q(5, "week"))
    >>> [getattr(lettuce, f"stage_{stage}").m_as("day") for stage in ("initial", "development")]
    [7.0, 23.0]
    """
    crop = crop_of(crop)
    for time in (first, end):
        within(time, 0, 3660, "fit_stages: {value} after transplanting; write {low} to {high}.", "day")
    if end < first:
        raise OutOfRange(
            f"fit_stages: an end after {end:g} days and a first flower or harvest after {first:g}. Exchange the two."
        )
    initial, development, mid, late = (Q(days, "day") for days in _fitted(crop, first, end))  # type: ignore[arg-type]
    return replace(crop, stage_initial=initial, stage_development=development, stage_mid=mid, stage_late=late)


def stage_lengths(crop: Crop) -> _Lengths:
    """Plain days: the crop's own stages, or those that follow from its days."""
    if all(getattr(crop, name, None) is None for name in _STAGES):
        return _fitted(crop, *_usual_days(crop))
    initial, development, mid, late = (plain(crop, name, "day") for name in _STAGES)
    return initial, development, mid, late


def named(crop: Crop | str) -> Crop:
    """The crop of a name; what is no name stays as it is."""
    return crop_of(crop) if isinstance(crop, str) else crop


def plain(crop: Crop, name: str, unit: str) -> float:
    """A field of a crop as a plain number that is not negative."""
    found = getattr(crop, name, None)
    if found is None:
        who = getattr(crop, "name", crop)
        raise Problem(f"{who}: no {name.replace('_', ' ')} is known, so its use of water cannot be computed.")
    value = float(found.m_as(unit)) if isinstance(found, Quantity) else float(found)
    if value < 0:
        raise OutOfRange(
            f"{getattr(crop, 'name', crop)}: {name.replace('_', ' ')} is {value:g}; it cannot be negative."
        )
    return value


def _fitted(crop: Crop, first: float, end: float) -> _Lengths:
    share, late = (fao56_value("stages", f"{which} share") for which in ("initial", "late"))
    raised = _days(crop, "seedling_days")
    settling = min(fao56_value("stages", "settling", "day"), share * first)
    initial = max(share * (raised + first) - raised, settling)
    return initial, first - initial, (1 - late) * (end - first), late * (end - first)


def _days(crop: Crop, name: str) -> float:
    return 0.0 if getattr(crop, name, None) is None else plain(crop, name, "day")


def _usual_days(crop: Crop) -> tuple[float, float]:
    """From transplanting to the first flower or harvest, and to the last, by the crop's own days."""
    usual = heat.usual_days(crop) if isinstance(crop, Crop) else None
    days = plain(crop, "days_to_harvest", "day") if usual is None else float(usual.m_as("day"))
    first = max(days - _days(crop, "seedling_days"), 1.0)
    return first, first + 7 * plain(crop, "harvest_weeks", "week")
