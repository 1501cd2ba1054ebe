"""From a sowing to flowers, and from a wished-for day back to the sowing."""

from stilltank.science.crops import Crop
from stilltank.science.sky import day_of
from stilltank.science.weather import Site
from stilltank.units import Quantity, takes
from stilltank.units.types import Day

from ._backwards import backwards
from ._years import Clock
from .dates import Schedule


@takes(temperature="degC")
def schedule(
    crop: Crop | str,
    site: Site | str,
    sow: Day,
    temperature: Quantity | None = None,
    *,
    decided: bool = False,
    until: Day | None = None,
) -> Schedule:
    """Dates that follow from a sowing.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    site : Site or str
        Its weather must hold a whole calendar year at least; more years give a truer range.
    sow : Day
        Day of sowing, of any year.
    temperature : Quantity, optional
        A constant mean temperature in place of the weather, for a tank in a room.
    decided : bool
        Whether the days are decided: then the seedlings are planted when they are ready, and what speaks against it
        stands first among the reasons and refuses nothing.
    until : Day, optional
        Your own end of the harvest; that of the crop when left out.

    Returns
    -------
    Schedule
        The dates, with their range and reasons.

    Raises
    ------
    Unreadable
        ``sow`` or ``until`` is no date.
    UnitNeeded
        ``temperature`` has no unit.
    OutOfRange
        A room too cold or too hot for plants.
    Problem
        No whole year of weather, no time to flower known for the crop, or not then: too cold to be planted or to
        flower, days too short or too long, too hot; or an end before planting.

    See Also
    --------
    sow_for : The sowing for flowers by a wanted day.

    Notes
    -----
    Weak light and a cold solution do not enter. Seedlings are raised at 20 °C, wait indoors for nights that they bear,
    and flower later for it. A crop whose days are counted takes more of them where it is cooler. Killing cold counts in
    each year of the record, cold and heat end the harvest, day length and heat refuse or warn. The range is as wide as
    kinds of the crop differ; `heat.with_packet_days` narrows it, and `crops.pinched` counts a pinch. A few years of
    weather show the spread and are no climate; what a crop bears is common practice, not measured. Thermal times, days
    and limits stand in data/crops.csv and data/calendar.csv.

    Examples
    --------
    >>> plan = schedule("snapdragon", "new-york", sow="2026-03-15")
    >>> print(plan.transplant, plan.first_flower)
    2026-04-11 2026-06-12 (2026-05-31 to 2026-06-24)
    """
    return Clock(crop, site, temperature).schedule(
        day_of(sow), decided, None if until is None else day_of(until)
    )


@takes(temperature="degC")
def sow_for(
    crop: Crop | str,
    site: Site | str,
    wanted: Day,
    chance: float | None = None,
    temperature: Quantity | None = None,
) -> Schedule:
    """Latest sowing date that gives flowers by a wanted day with a given chance.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    site : Site or str
        Its weather must hold a whole calendar year at least.
    wanted : Day
        The first flower is to be there by then.
    chance : float, optional
        Share of the outcomes that must be in time, above 0 and up to 1; 0.8 when left out.
    temperature : Quantity, optional
        A constant mean temperature in place of the weather, for a tank in a room.

    Returns
    -------
    Schedule
        The dates that follow from this sowing.

    Raises
    ------
    Unreadable
        ``wanted`` is no date.
    OutOfRange
        The chance is not above 0 and up to 1.
    Problem
        As in `schedule`, or no sowing within two years before is in time.

    See Also
    --------
    schedule : The dates that follow from a sowing.

    Notes
    -----
    As `schedule`; the chance is one inside this model.

    Examples
    --------
    >>> plan = sow_for("snapdragon", "new-york", wanted="2026-06-30")
    >>> plan.sow.isoformat(), round(plan.chance_by("2026-06-30"), 2)
    ('2026-04-14', 0.83)
    """
    return backwards(Clock(crop, site, temperature), day_of(wanted), chance)
