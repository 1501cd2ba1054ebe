"""From a sowing to flowers, and from a wished-for day back to the sowing."""

from stilltank.science.crops import Crop
from stilltank.science.sky import day_of
from stilltank.science.weather import Site
from stilltank.units import Quantity, takes
from stilltank.units.types import Day

from ._years import Clock, backwards
from .dates import Schedule


@takes(temperature="degC")
def schedule(crop: Crop | str, site: Site | str, sow: Day, temperature: Quantity | None = None) -> Schedule:
    """Dates that follow from a sowing.

    Parameters
    ----------
    crop : Crop, or the name of one
    site : Site, or the name of a ready-made one
        Its weather must hold a whole calendar year at least; more years give a truer range.
    sow : date, ISO text or numpy datetime64; of any year
    temperature : quantity, optional
        A constant mean temperature in place of the weather, for a tank in a room.

    Returns
    -------
    Schedule

    Raises
    ------
    Unreadable   ``sow`` is no date
    UnitNeeded   ``temperature`` has no unit
    OutOfRange   a room too cold or too hot for plants
    Problem      no whole year of weather, no time to flower known for the crop, or too cold ever to flower

    Example
    -------
    >>> plan = schedule("snapdragon", "new-york", sow="2026-03-15")
    >>> print(plan.transplant, plan.first_flower)
    2026-04-11 2026-06-11 (2026-06-07 to 2026-06-19)

    Limits: warmth of the air alone decides; short light, day length, cold solution and frost do not enter. Seedlings
    are raised at 20 degC. A few years of weather show the spread and are no climate.
    Source: thermal times and days of data/crops.csv.
    """
    return Clock(crop, site, temperature).schedule(day_of(sow))


@takes(temperature="degC")
def sow_for(
    crop: Crop | str,
    site: Site | str,
    wanted: Day,
    chance: float | None = None,
    temperature: Quantity | None = None,
) -> Schedule:
    """Latest sowing that brings flowers by a wished-for day with a stated chance.

    Parameters
    ----------
    crop, site, temperature : as in `schedule`
    wanted : date, ISO text or numpy datetime64; the first flower is to be there by then
    chance : plain number above 0, up to 1
        Share of the outcomes that must be in time; 0.8 when left out.

    Returns
    -------
    Schedule

    Raises
    ------
    Unreadable   ``wanted`` is no date
    OutOfRange   the chance is not above 0 and up to 1
    Problem      as in `schedule`, or no sowing within two years before is in time

    Example
    -------
    >>> plan = sow_for("snapdragon", "new-york", wanted="2026-06-30")
    >>> plan.sow.isoformat(), round(plan.chance_by("2026-06-30"), 2)
    ('2026-04-19', 0.86)

    Limits: as `schedule`; the chance is one inside this model.
    """
    return backwards(Clock(crop, site, temperature), day_of(wanted), chance)
