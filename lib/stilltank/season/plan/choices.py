"""What a person gives for a plan, turned into what the science takes; each refusal says what to give instead."""

import math
from datetime import date
from numbers import Real
from pathlib import Path
from typing import Any, TypedDict

import numpy as np

from stilltank import tables
from stilltank.science import mixing, tank, weather
from stilltank.science.crops import Crop, Plants, crop, names
from stilltank.units import Problem, within, write

_TOO_LARGE = 1e15  # not finite, or too large to be written


class Parts(TypedDict):
    """What a plan is made of, by name: what its file holds."""

    name: str
    tank: tank.Tank
    plants: Plants
    site: weather.Site
    water: mixing.Water
    start: date
    acid: str
    target_ph: float
    record: str | None


def tank_from(given: Any) -> tank.Tank:
    """A tank from a tank or the name of a preset; it must have net pots.

    Raises Problem when it is none.
    """
    found = tank.preset(given) if isinstance(given, str) else given
    if not isinstance(found, tank.Tank):
        raise Problem(
            f"A tank is a shape such as Box(...) or one of {', '.join(tank.presets())}; {given!r} is neither."
        )
    if found.net_pot_depth is None:
        raise Problem(
            'The plan needs the net pots: make the tank with net_pot_depth=Q(7, "cm"), rim to pot bottom.'
        )
    return found


def water_from(given: Any) -> mixing.Water:
    """A water from a Water, the name of a demo water or the path of a report; it must allow an acid dose.

    Raises Problem when it is none.
    """
    if isinstance(given, mixing.Water):
        found = given
    elif str(given) in mixing.demo_waters():
        found = mixing.demo_water(str(given))
    elif Path(str(given)).suffix:
        found = mixing.read_water(given)
    else:
        raise Problem(
            f"{given!r} is no water. Name a demo water ({', '.join(mixing.demo_waters())}), or a water report such as "
            "my-water.csv."
        )
    if found.alkalinity is None or found.ph is None:
        raise Problem(
            f"{found.name or 'This water'} needs its alkalinity and its pH for the acid dose. Add both to the report, "
            "such as alkalinity 130 mg/L as CaCO3 and pH 7.6; a drop test kit shows the alkalinity."
        )
    found.state()  # alkalinity and pH must agree
    if not isinstance(found.ph, Real) or not math.isfinite(found.ph) or np.ndim(found.alkalinity.magnitude):
        raise Problem(f"A plan needs one water with one pH and one alkalinity; {found.ph!r} is no pH.")
    return found


def some_plants(given: Any, count: Any, chosen: tank.Tank) -> Plants:
    """Plants from Plants, a Crop or the name of one; as many as the lid has room for where no count is given.

    Raises Problem when they are none.
    """
    if isinstance(given, Plants):
        given, count = given.crop, given.count if count is None else count
    kind = crop(given) if isinstance(given, str) else given
    if not isinstance(kind, Crop):
        raise Problem(f"A crop is a Crop or one of {', '.join(names())}; {given!r} is neither.")
    if count is None:
        return Plants(kind, room(chosen, kind))
    most = tables.number("limits", "count", "most", "1")
    if not isinstance(count, Real) or not count <= most:
        raise Problem(f"A number of plants is whole, such as 4; {count!r} is not possible.")
    return Plants(kind, count)  # type: ignore[arg-type]


def room(chosen: tank.Tank, kind: Crop) -> int:
    """Plants that the lid has room for at the crop's canopy area; at least one."""
    return max(1, int((chosen.lid_area / Plants(kind, 1).canopy_area).m_as("dimensionless") + 1e-9))


def day_from(given: Any) -> date:
    """A date from a date, an ISO text or a numpy day.

    Raises Problem when it is none.
    """
    try:
        # numpy also takes "now", "2027" and counts of days, none of which anybody means
        plain = date.fromisoformat(given.strip()[:10]) if isinstance(given, str) else given
        if isinstance(plain, (bool, int, float)):
            raise TypeError
        found = np.datetime64(plain, "D").item()
        year = found.year
    except (TypeError, ValueError, AttributeError):
        raise Problem(f"{given!r} is no date. Write the year first: 2027-04-26.") from None
    within(year, 1900, 2200, "A start lies between 1900 and 2200; the year {value:g} does not.")
    return found


def ph_from(given: float | None, plants: Plants) -> float:
    """A target pH; where none is given, the usual one kept inside the range of the crop.

    Raises Problem when it is none.
    """
    default = tables.number("plan", "pH", "target", "1")
    if given is None:
        low, high = plants.crop.ph_low, plants.crop.ph_high
        return default if low is None or high is None else min(max(default, low), high)
    if not isinstance(given, Real) or isinstance(given, bool) or not abs(given) < _TOO_LARGE:
        raise Problem(f"A pH is a plain number such as {default:g}; {given!r} is not.")
    low, high = (end.m_as("dimensionless") for end in tables.load("plan")["pH", "target"].range)
    within(given, low, high, f"A target pH lies between {low:g} and {high:g}; {write(given)} does not.")
    return float(given)


def a_record(source: str, folder: Path, place: Any) -> weather.Weather:
    """The weather of a record's name or of a CSV, standing at the site's own latitude and altitude."""
    if source in weather.sites():
        return weather.record(source)
    if not Path(source).suffix:
        raise Problem(
            f"{source!r} is no weather record. Name one ({', '.join(weather.sites())}), or a CSV file."
        )
    return weather.read(folder / source, latitude=place.latitude, altitude=place.altitude)
