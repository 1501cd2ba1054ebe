"""One season, day by day."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from stilltank.science import demand
from stilltank.science.tank import Tank, preset
from stilltank.science.weather import record_and_cover
from stilltank.tables import Entry
from stilltank.units import Problem, Q

from ._balance import first_date, first_day, given_et, prepare, run


def season(
    tank: Tank | str,
    plants: Any,
    weather: Any = None,
    *,
    start: Any = None,
    days: int | None = None,
    fill_level: Any = None,
    overflow_height: Any = None,
    rain_share: Any = None,
    exposure: Any = None,
    coefficient_factor: Any = None,
    top_ups: Mapping[Any, Any] | None = None,
    reference_et: Any = None,
    age: int = 0,
) -> Any:
    """Follow the water of a tank through one season.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    plants : Plants, or a list of them
    weather : Weather, Site, or the name of a ready-made site
        Must hold the season; a site's cover sets the usual exposure and share of rain.
    start : ISO text or date of planting; the first day of the weather when left out
    days : int; to the end of the slowest crop's last stage when left out
    fill_level : quantity; the usual one for the tank's net pots when left out
    overflow_height : quantity; the rim when left out
    rain_share : quantity, 0 to 100 percent, share of the rain on the lid that gets in
    exposure : quantity, 100 percent for a field; how much drier the tank stands
    coefficient_factor : quantity, 100 percent for the table's crop coefficient
    top_ups : dict of date to volume
    reference_et : quantity, one value or one a day; used in place of the weather's
    age : int, days since planting at the start; more than 0 to take up a season on its way

    Returns
    -------
    pandas DataFrame, one row a day, indexed by date
        ``attrs`` hold "filled (L)", "run dry" and "stop" (first dates at or below the unusable rest, and below the
        share at which a crop is ended; None when that does not come), "cover" of the site, and "procedures".

    Raises
    ------
    Problem                  weather missing or too short, plants without coefficients
    UnitNeeded, OutOfRange   a size without a unit or out of bounds, an overflow hole below the fill line

    Example
    -------
    >>> from stilltank.science import crops, tank, weather
    >>> table = season(tank.preset("quillgate-tub"), crops.Plants("lettuce", 4), weather.site("quillgate"),
    ...                start="2019-05-10", fill_level=Q(24, "cm"))
    >>> len(table), table.attrs["run dry"] is None
    (75, True)

    Notes
    -----
    Each day rain and top-ups come first, then the overflow, then the plants. Near the floor they drink less
    (data/budget.csv), and never the last centimetre. Evaporation under the lid is left out. One season of one
    year is an example, not a forecast: for that take `ensemble`.

    Source: daily balance; demand by FAO-56 (basal coefficient times reference evapotranspiration).
    """
    import pandas as pd

    tank = preset(tank)
    record, cover = record_and_cover(weather, "season")
    start = first_date(start, record, "season")
    factors = {"exposure": exposure, "rain_share": rain_share, "coefficient_factor": coefficient_factor}
    setting = prepare(
        tank, plants, cover, start, days, fill_level, overflow_height, top_ups, factors, "season", age
    )
    length = len(setting.dates)
    rain = np.zeros(length)
    procedures: tuple[str, ...] = ()
    if record is not None:
        record = record.between(setting.dates[0], setting.dates[-1])
        rain = rain if record.precipitation is None else record.precipitation.magnitude
    if reference_et is not None:
        et = given_et(reference_et, length, "season")
        procedures = ("Reference evapotranspiration: as given.",)
    elif record is not None:
        et = demand.reference_et(record).magnitude
        procedures = demand.missing_data_procedures(record)
    else:
        raise Problem("season needs a weather, or the reference evapotranspiration itself as `reference_et`.")
    if record is None or record.precipitation is None:
        procedures += ("Rain: none in the record, so none counted.",)

    share, exposed, factor = (
        float(one.value) if isinstance(one, Entry) else one
        for one in (setting.rain_share, setting.exposure, setting.coefficient_factor)
    )
    thirst = et * setting.canopy * exposed * factor
    rain_in = rain * setting.catch * share
    volume, used, spilled = (row[0] for row in run(setting, thirst[None], rain_in[None]))
    stop_volume = float(setting.stop_share.value) * setting.filled
    dry, stop = (
        first_day(setting.dates, volume[None], limit)[0] for limit in (setting.unusable, stop_volume)
    )
    table = pd.DataFrame(
        {
            "day": np.arange(1, length + 1),
            "reference ET (mm)": et,
            "rain (mm)": rain,
            "demand (L)": thirst,
            "rain in (L)": rain_in,
            "top-up (L)": setting.top_ups,
            "overflow (L)": spilled,
            "transpired (L)": used,
            "volume (L)": volume,
            "level (cm)": tank.level(Q(volume, "L")).magnitude,
        },
        index=pd.DatetimeIndex(setting.dates, name="date"),
    )
    table.attrs = {
        "filled (L)": setting.filled,
        "cover": cover,
        "run dry": None if np.isnat(dry) else dry.item(),
        "stop": None if np.isnat(stop) else stop.item(),
        "procedures": procedures,
    }
    return table
