"""What a person gives for a plan, turned into what the science takes; each refusal says what to give instead."""

import math
from datetime import date
from numbers import Real
from pathlib import Path
from typing import Literal, TypedDict

import numpy as np

from stilltank import tables
from stilltank.science import budget, heat, mixing, products, roots, tank, weather
from stilltank.science.crops import Crop, Plants, crop, names, pinched
from stilltank.units import Problem, Quantity, UnitNeeded, within, write

from ..shelf import load
from .days import day_from
from .groups import Group, Loss, Reading
from .months import Months

_TOO_LARGE = 1e15  # not finite, or too large to be written


Until = date | Literal["frost", "dry"] | None


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
    months: Months | None
    until: Until
    colour: str
    shade: float
    losses: tuple[Loss, ...]
    beside: tuple[Group, ...]
    hole: Quantity | None
    slots: int | None
    top_up: budget.TopUp
    top_up_water: mixing.Water | None
    reading: Reading | None
    shelf: products.Shelf | None
    shelf_file: str | None


def tank_from(given: tank.Tank | str) -> tank.Tank:
    """Take a tank, or the ready-made one of a name; it must have net pots.

    Parameters
    ----------
    given : Tank or str
        What the person gave.

    Returns
    -------
    Tank
        The tank.

    Raises
    ------
    Problem
        This is no tank, or its net pots are missing.

    Examples
    --------
    >>> tank_from("quillgate-tub").name
    'Quillgate courtyard tub, 45 litres'
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


def water_from(given: mixing.Water | str | Path) -> mixing.Water:
    """Take a water, the demo water of a name, or that of a report; an acid dose must follow from it.

    Parameters
    ----------
    given : Water, str or Path
        What the person gave.

    Returns
    -------
    Water
        With its alkalinity and its pH.

    Raises
    ------
    Problem
        This is no water, or alkalinity or pH are missing or do not agree.

    Examples
    --------
    >>> water_from("quillgate-tap").ph
    7.6
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


def some_plants(given: Crop | Plants | str, count: float | None, chosen: tank.Tank) -> Plants:
    """Take plants, or plants of a crop; as many as the lid has room for where no count is given.

    Parameters
    ----------
    given : Plants, Crop or str
        What the person gave; a text is the name of a crop.
    count : float or None
        How many plants, a whole number.
    chosen : Tank
        The tank with its lid.

    Returns
    -------
    Plants
        The crop, and how many.

    Raises
    ------
    Problem
        This is no crop, or no such number of plants.

    Examples
    --------
    >>> some_plants("snapdragon", 4, tank_from("quillgate-tub")).count
    4
    """
    if isinstance(given, Plants):
        count = given.count if count is None else count
        given = given.crop
    kind = crop(given) if isinstance(given, str) else given
    if not isinstance(kind, Crop):
        raise Problem(f"A crop is a Crop or one of {', '.join(names())}; {given!r} is neither.")
    if count is None:
        return Plants(kind, room(chosen, kind))
    most = tables.number("limits", "count", "most", "1")
    if not isinstance(count, Real) or not count <= most:
        raise Problem(f"A number of plants is whole, such as 4; {count!r} is not possible.")
    return Plants(kind, count)


def grown(name: str, pinch: bool, packet_days: Quantity | None, packet_phase: str | None = "sowing") -> Crop:
    """Take a crop of the table as somebody grows it.

    Parameters
    ----------
    name : str
        Its name in the table.
    pinch : bool
        Whether its tips are pinched out.
    packet_days : Quantity or None
        What the seed packet says; the crop's own days when None.
    packet_phase : str or None
        What the packet counts from, "sowing" or "transplant".

    Returns
    -------
    Crop
        The crop.

    Raises
    ------
    Problem
        There is no such crop, it is not pinched, or no packet says so.

    Examples
    --------
    >>> grown("sunflower", True, None).pinched
    True
    """
    found = crop(name)
    if packet_days is not None:
        found = heat.with_packet_days(found, packet_days, packet_phase or "sowing")
    return pinched(found) if pinch else found


def room(chosen: tank.Tank, kind: Crop) -> int:
    """Count the plants that the lid has room for at the crop's canopy area.

    Parameters
    ----------
    chosen : Tank
        The tank with its lid.
    kind : Crop
        What grows.

    Returns
    -------
    int
        At least one.

    Examples
    --------
    >>> room(tank_from("quillgate-tub"), crop("snapdragon"))
    6
    """
    return max(1, int((chosen.lid_area / Plants(kind, 1).canopy_area).m_as("dimensionless") + 1e-9))


def ph_from(given: float | None, plants: Plants) -> float:
    """Take a target pH; where none is given, the usual one kept inside the range of the crop.

    Parameters
    ----------
    given : float or None
        What the person gave.
    plants : Plants
        What grows.

    Returns
    -------
    float
        The target pH.

    Raises
    ------
    Problem
        This is no pH.
    OutOfRange
        It is outside the range that a plan takes.

    Examples
    --------
    >>> ph_from(None, Plants(crop("snapdragon"), 4))
    5.8
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


def colour_from(given: str | None) -> str:
    """Take the colour of lid and walls, or the usual one.

    Parameters
    ----------
    given : str or None
        What the person gave.

    Returns
    -------
    str
        One of ``roots.tub_colours()``.

    Raises
    ------
    Problem
        There is no such colour.

    Examples
    --------
    >>> colour_from(None), colour_from("white")
    ('dark', 'white')
    """
    if given is None:
        return str(tables.load("plan")["tank", "colour"].value)
    if not isinstance(given, str) or given not in roots.tub_colours():
        raise Problem(
            f"{given!r} is no colour of a tub that we know. Write {', '.join(roots.tub_colours())}; white stands for "
            "white paint and for a white cover."
        )
    return given


def shade_from(given: float | None) -> float:
    """Take the share of the sun that shade cloth keeps off, or the usual one.

    Parameters
    ----------
    given : float or None
        What the person gave, 0 to 0.9.

    Returns
    -------
    float
        The share.

    Raises
    ------
    Problem
        This is no plain number.
    OutOfRange
        It is below 0 or above what cloth does.

    Examples
    --------
    >>> shade_from(None), shade_from(0.3)
    (0.0, 0.3)
    """
    if given is None:
        return tables.number("plan", "tank", "shade", "1")
    if not isinstance(given, Real) or isinstance(given, bool) or not abs(given) < _TOO_LARGE:
        raise Problem(f"Shade is a plain number, such as 0.3 for cloth of 30 %; {given!r} is not.")
    low, high = (end.m_as("dimensionless") for end in tables.load("plan")["tank", "shade"].range)
    sentence = (
        "Shade is the part of the sun kept off, {low:g} to {high:g}; {value:g} is not. Write 0.3 for 30 %."
    )
    within(given, low, high, sentence)
    return float(given)


def a_record(source: str, folder: Path, place: weather.Site) -> weather.Weather:
    """Take the weather record of a name, or that of a CSV at the site's own latitude and altitude.

    Parameters
    ----------
    source : str
        The name of a record, or the path of a CSV.
    folder : Path
        Where that path begins.
    place : Site
        The place.

    Returns
    -------
    Weather
        The record.

    Raises
    ------
    Problem
        There is no such record.

    Examples
    --------
    >>> a_record("quillgate", Path(), weather.site("quillgate")).name
    'Quillgate School courtyard'
    """
    if source in weather.sites():
        return weather.record(source)
    if not Path(source).suffix:
        raise Problem(
            f"{source!r} is no weather record. Name one ({', '.join(weather.sites())}), or a CSV file."
        )
    return weather.read(folder / source, latitude=place.latitude, altitude=place.altitude)


def until_from(given: date | str | None) -> Until:
    """Take the end of a season.

    Parameters
    ----------
    given : date, str or None
        A day, "frost", "dry", or None for the crop's own end.

    Returns
    -------
    date or str or None
        The same, a day as a date.

    Raises
    ------
    Problem
        This is no day and none of the words.

    Examples
    --------
    >>> until_from("frost"), until_from("2027-10-15")
    ('frost', datetime.date(2027, 10, 15))
    """
    if given is None:
        return None
    if isinstance(given, str):
        word = given.strip().lower()
        if word in ("frost", "dry"):
            return "frost" if word == "frost" else "dry"
    try:
        return day_from(given)
    except Problem as fault:
        raise type(fault)(f'{fault} Or write "frost", or "dry" for a tank that is left to run dry.') from None


def hole_from(given: Quantity | None, chosen: tank.Tank) -> Quantity | None:
    """Take the height of the overflow hole that somebody has or wants.

    Parameters
    ----------
    given : quantity, length, or None
        Of its lower edge above the floor.
    chosen : Tank
        The tank.

    Returns
    -------
    quantity, length, or None
        The same.

    Raises
    ------
    UnitNeeded
        A height without its unit.
    OutOfRange
        A height at the floor or above the rim.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> hole_from(Q(26, "cm"), tank_from("quillgate-tub")).m_as("cm")
    26.0
    """
    if given is None:
        return None
    if not isinstance(given, Quantity) or np.ndim(given.magnitude):
        raise UnitNeeded(f'The height of the hole needs its unit, such as Q(26, "cm"); {given!r} has none.')
    top = float(chosen.height.m_as("cm"))
    within(given, 1, top, "A hole at {value} is not in this tank; write {low} to its rim at {high}.", "cm")
    return given


def slots_from(given: float | None) -> int | None:
    """Take the number of slots for net pots in a lid.

    Parameters
    ----------
    given : int or None
        How many; None where nobody counted them.

    Returns
    -------
    int or None
        The same.

    Raises
    ------
    Problem
        This is no such number.

    Examples
    --------
    >>> slots_from(6)
    6
    """
    if given is None:
        return None
    most = tables.number("limits", "count", "most", "1")
    whole = isinstance(given, Real) and not isinstance(given, bool) and 1 <= given <= most
    if not whole or given != int(given):
        raise Problem(f"A number of slots is whole, such as 6; {given!r} is not possible.")
    return int(given)


def top_up_from(given: budget.TopUp | None) -> budget.TopUp:
    """Take the routine of topping up; nothing where none is given.

    Parameters
    ----------
    given : TopUp or None
        Made by ``budget.by_hand``, ``budget.drip`` and the like.

    Returns
    -------
    TopUp
        The routine.

    Raises
    ------
    Problem
        This is none.

    Examples
    --------
    >>> print(top_up_from(None))
    no top-up
    """
    if given is None:
        return budget.nothing()
    if not isinstance(given, budget.TopUp):
        raise Problem(
            f"A top-up is budget.by_hand(3), budget.drip(...), budget.float_valve() or budget.nothing(); {given!r} is "
            "none of them."
        )
    return given


def reading_from(given: Reading | None, start: date, chosen: tank.Tank) -> Reading | None:
    """Take what was read in mid-season; it must fit the tank and lie after the planting.

    Parameters
    ----------
    given : Reading or None
        What was read.
    start : date
        Of the plan.
    chosen : Tank
        The tank.

    Returns
    -------
    Reading or None
        The same.

    Raises
    ------
    Problem
        This is no reading, or its day is before the planting.
    OutOfRange
        Its level is above the rim.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> found = reading_from(Reading("2027-06-20", Q(15, "cm")), date(2027, 4, 26), tank_from("quillgate-tub"))
    >>> found.level.m_as("cm")
    15.0
    """
    if given is None:
        return None
    if not isinstance(given, Reading):
        raise Problem(f'A reading is Reading("2027-06-20", Q(15, "cm")); {given!r} is none.')
    if given.day < start:
        raise Problem(
            f"The reading of {given.day} is before the tank was planted, on {start}. Give a later day, or an earlier "
            "start."
        )
    top = float(chosen.height.m_as("cm"))
    sentence = "A level of {value}: this tank is {high} high. Read from the floor, with the stick upright."
    within(given.level, 0.1, top, sentence, "cm")
    return given


def shelf_from(given: products.Shelf | str | Path | None) -> tuple[products.Shelf | None, str | None]:
    """Take a shelf, or that of a file.

    Parameters
    ----------
    given : Shelf, str or Path
        What the person gave; None for the workbook's own salts.

    Returns
    -------
    tuple of Shelf and str
        The shelf and the path of its file; None for what there is not.

    Raises
    ------
    Problem
        It is neither, or the file cannot be used.

    Examples
    --------
    >>> shelf_from(None)
    (None, None)
    """
    if given is None or isinstance(given, products.Shelf):
        return given, None
    if not isinstance(given, (str, Path)):
        raise Problem(f'A shelf is a Shelf or a file such as "my-shelf.toml"; {given!r} is neither.')
    return load(given), str(given)


def acid_from(given: str | None, shelf: products.Shelf | None) -> str:
    """Take the acid of a name, or the one to begin with: the first of the shelf, else a diluted one.

    Parameters
    ----------
    given : str
        What the person gave.
    shelf : Shelf
        Whose acids go by their names too.

    Returns
    -------
    str
        Its name.

    Raises
    ------
    Problem
        There is no such acid.

    Examples
    --------
    >>> acid_from(None, None)
    'nitric acid 0.5 mol/L'
    """
    if not isinstance(given, (str, type(None))):
        raise Problem(f'An acid is named by a text, such as "citric acid 5 %"; {given!r} is not.')
    own = [] if shelf is None else list(shelf.acids)
    name = given or next(iter(own), str(tables.load("plan")["acid", "name"].value))
    return acid_at_hand(name, shelf).name


def acid_at_hand(name: str, shelf: products.Shelf | None) -> products.Acid:
    """Find the acid of a name: on the shelf, else among those of the workbook.

    Parameters
    ----------
    name : str
        Its name on the shelf, or in the workbook's own table.
    shelf : Shelf
        Where it may stand.

    Returns
    -------
    Acid
        The bottle on the shelf; else that of the workbook.

    Raises
    ------
    Problem
        There is no such acid.

    Examples
    --------
    >>> acid_at_hand("Citric acid 5 %", None).name
    'citric acid 5 %'
    """
    stocked = None if shelf is None else shelf.find(name)
    if stocked is not None and isinstance(stocked.product, products.Acid):
        return stocked.product
    return products.acid(name)
