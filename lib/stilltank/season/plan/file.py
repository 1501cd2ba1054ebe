"""The tank plan as a file: plain TOML, every quantity with its unit, every fault named with its line."""

import dataclasses
import functools
import os
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

import numpy as np
import tomli_w

from stilltank.documents import Document, DocumentFault, Section
from stilltank.files import write_atomically
from stilltank.science import products, tank, weather
from stilltank.science.crops import Crop, names
from stilltank.units import Problem, Q, Quantity

from .choices import (
    Parts,
    Until,
    a_record,
    acid_from,
    colour_from,
    grown,
    hole_from,
    ph_from,
    reading_from,
    shade_from,
    shelf_from,
    slots_from,
    some_plants,
    tank_from,
    top_up_from,
    until_from,
)
from .days import day_from
from .groups import losses_from
from .months import WORD, Months, months_as_values, read_months
from .plant_sections import (
    crop_as_values,
    groups_as_values,
    losses_as_values,
    read_crop,
    read_groups,
    read_losses,
    read_reading,
    read_top_up,
    reading_as_values,
    top_up_as_values,
)
from .water_section import read_water, water_as_values

_HEADER = """\
# Still Tank Workbook: the plan of one tank, for one season.
# Plain text: change a value, keep its unit, and open the plan again. The order of the lines does not matter.

"""
SHAPES = {
    "box": tank.Box,
    "tapered box": tank.TaperedBox,
    "cylinder": tank.Cylinder,
    "tapered cylinder": tank.TaperedCylinder,
    "measured": tank.Measured,
}
_UNITS = {"lid_area": "cm^2", "empty_mass": "kg", "volumes": "L"}  # other sizes are lengths, in cm
_EXTRAS = ("net_pot_depth", "lid_area", "empty_mass")  # what every shape may have
_READ_AS = {"lid_area": "area", "empty_mass": "mass", "volumes": "volume"}


class PlanFault(DocumentFault):
    """A plan file cannot be used; the sentence names the line and what to write instead.

    Examples
    --------
    >>> isinstance(PlanFault('my-tank.toml, line 3: "count" needs a whole number.'), Problem)
    True
    """


class PlanFile(Document):
    """The file as it is read."""

    called = "tank plan"
    remedy = "make the plan again in chapter 0"
    newest = 2
    upgrades: ClassVar = {1: lambda values: values}  # format 2 has more words, and every word of format 1
    faulty = PlanFault
    alike = frozenset({"latitude", "altitude"})


def keep_older(path: Path) -> None:
    """Keep a copy of a plan of an older format beside it, before a save replaces it.

    Parameters
    ----------
    path : Path
        The file that is to be replaced; nothing is done where it is no plan of an older format.

    Raises
    ------
    Problem
        The folder cannot be written.
    """
    try:
        raw, written = path.read_bytes(), PlanFile(path).written
    except (OSError, DocumentFault):
        return
    if type(written) is not int or written >= PlanFile.newest:
        return
    stem, number = f"{path.stem}.format-{written}", 1
    copy = path.with_name(f"{stem}{path.suffix}")
    while copy.exists() and copy.read_bytes() != raw:
        number += 1
        copy = path.with_name(f"{stem}-{number}{path.suffix}")
    if not copy.exists():
        write_atomically(copy, raw)


def _said(name: str, value: Any) -> Any:
    unit = _UNITS.get(name, "cm")
    plain = value.m_as(unit)
    if np.ndim(plain):
        return [f"{item:.10g} {unit}" for item in plain]
    return f"{plain:.10g} {unit}"


def _record(source: str | None, folder: Path) -> str:
    """The weather as a plan in ``folder`` names it: a shipped record, or the way to a CSV from there."""
    if source is None:
        raise Problem(
            "This plan's weather comes from no file, so it could not be opened again. Save the weather as a CSV "
            'and make the plan with record="my-weather.csv".'
        )
    if source in weather.sites():
        return source
    try:
        return Path(os.path.relpath(source, folder)).as_posix()
    except ValueError:  # another drive
        return Path(source).resolve().as_posix()


def _shelf(parts: Parts, folder: Path) -> dict[str, str]:
    """The shelf as a plan in ``folder`` names it: the way to its file from there; nothing where there is none."""
    if parts["shelf"] is None:
        return {}
    if parts["shelf_file"] is None:
        raise Problem(
            "This plan's shelf comes from no file, so it could not be opened again. Save it with season.shelf.save and "
            'make the plan with shelf="my-shelf.toml".'
        )
    try:
        return {"shelf": Path(os.path.relpath(parts["shelf_file"], folder)).as_posix()}
    except ValueError:  # another drive
        return {"shelf": Path(parts["shelf_file"]).resolve().as_posix()}


def as_text(parts: Parts, folder: Path) -> str:
    """Write the parts of a plan as its file holds them.

    Parameters
    ----------
    parts : dict
        What the plan is made of, by name.
    folder : Path
        Where the file is to be; a weather record of one's own is named from there.

    Returns
    -------
    str
        TOML.

    Raises
    ------
    Problem
        The file has no words for a choice, which would be lost.
    """
    body, plants, site = parts["tank"], parts["plants"], parts["site"]
    shape = next((word for word, kind in SHAPES.items() if type(body) is kind), "")
    changed = next(
        (one for one in (plants.crop, *(each.crop for each in parts["beside"])) if not _known(one)), None
    )
    if not shape or changed is not None:
        what = f"crop {changed.name!r}, changed from the table," if changed else f"tank {type(body).__name__}"
        raise Problem(
            f"A plan file cannot hold the {what} and would lose it. Keep such a plan as lines of code."
        )
    sizes = {
        field.name: _said(field.name, value)
        for field in dataclasses.fields(body)
        if isinstance(value := getattr(body, field.name), Quantity)
    }
    # what a plan need not say is left out, so that older files stay as they are
    coat: dict[str, Any] = {} if parts["colour"] == colour_from(None) else {"colour": parts["colour"]}
    hole: dict[str, Any] = {} if parts["hole"] is None else {"hole": _said("hole", parts["hole"])}
    lid: dict[str, Any] = {} if parts["slots"] is None else {"slots": parts["slots"]}
    cloth: dict[str, Any] = {} if parts["shade"] == shade_from(None) else {"shade": parts["shade"]}
    sections: dict[str, Any] = {
        "format": PlanFile.newest,
        "name": parts["name"],
        "tank": {"name": body.name, "shape": shape, **sizes, **coat, **hole, **lid},
        "plants": {**crop_as_values(plants.crop), "count": plants.count, **losses_as_values(parts["losses"])},
        **groups_as_values(parts["beside"]),
        "site": {
            "name": site.name,
            "latitude": float(site.latitude.m_as("degree")),
            "altitude": f"{site.altitude.m_as('m'):.10g} m",
            "cover": site.cover,
            "weather": WORD if parts["months"] is not None else _record(parts["record"], folder),
            **cloth,
            **({} if parts["months"] is None else {WORD: months_as_values(parts["months"])}),
        },
        "water": water_as_values(parts["water"]),
        "season": {
            "start": parts["start"],
            **_shelf(parts, folder),
            "acid": parts["acid"],
            "target_ph": parts["target_ph"],
        },
    }
    if parts["until"] is not None:
        sections["season"]["until"] = parts["until"]
    if top_up := top_up_as_values(parts["top_up"]):
        sections["top_up"] = top_up
    if parts["top_up_water"] is not None:
        sections["top_up_water"] = water_as_values(parts["top_up_water"])
    if parts["reading"] is not None:
        sections["reading"] = reading_as_values(parts["reading"])
    return _HEADER + tomli_w.dumps(sections)


def _known(kind: Crop) -> bool:
    """Whether a crop is one of the table, as somebody may grow it."""
    return kind.name in names() and kind == grown(
        kind.name, kind.pinched, kind.packet_days, kind.packet_phase
    )


def _read_tank(section: Section) -> tuple[tank.Tank, str, Quantity | None, int | None]:
    name = section.text("name", "courtyard tub") if "name" in section else ""
    shape = section.text("shape", "tapered box")
    if shape not in SHAPES:
        raise section.fault("shape", f'`shape` reads "{shape}"; write one of: {", ".join(SHAPES)}.')
    kind = SHAPES[shape]
    sizes = {}
    for field in dataclasses.fields(kind):
        optional = field.default is not dataclasses.MISSING
        if field.name == "name" or (optional and field.name not in section):
            continue
        example = "30 cm" if field.name not in _UNITS else f"2 {_UNITS[field.name]}"
        many = kind is tank.Measured and field.name in ("levels", "volumes")
        sizes[field.name] = section.quantity(
            field.name, _READ_AS.get(field.name, "length"), example, many=many
        )
    coat = section.text("colour", "white") if "colour" in section else None
    colour = section.using(["colour"], lambda: colour_from(coat))
    slots = section.number("slots", 6) if "slots" in section else None
    drilled = section.quantity("hole", "length", "26 cm") if "hole" in section else None
    section.nothing_else()
    extras = {key: sizes.pop(key) for key in _EXTRAS if key in sizes}
    found = section.using([*sizes, "shape"], lambda: kind(**sizes, name=name))
    for key, value in extras.items():
        found = section.using([key], functools.partial(dataclasses.replace, found, **{key: value}))
    made = section.using(["net_pot_depth"], lambda: tank_from(found))
    hole = section.using(["hole"], lambda: hole_from(drilled, made))
    return made, colour, hole, section.using(["slots"], lambda: slots_from(slots))


def _read_site(document: Document) -> tuple[weather.Site, str | None, Months | None, float]:
    section, folder = document.section("site"), document.path.parent
    source = section.text("weather", "new-york")
    place = section.using(
        ["latitude", "altitude", "cover"],
        lambda: weather.Site(
            section.text("name", "school courtyard"),
            Q(section.number("latitude", 41.5), "degree"),
            section.quantity("altitude", "altitude", "210 m"),
            None,
            section.text("cover", "open"),
        ),
    )
    cloth = section.number("shade", 0.3) if "shade" in section else None
    shade = section.using(["shade"], lambda: shade_from(cloth))
    section.nothing_else()
    given = WORD in document.values["site"]
    if given != (source == WORD):
        remedy = (
            'Write weather = "months" to use them, or take the section out.'
            if given
            else "Add a section [site.months] with highs, lows and rain."
        )
        raise section.fault(
            "weather", f'`weather` reads "{source}", with{"" if given else "out"} twelve months. {remedy}'
        )
    if source == WORD:
        months = read_months(document, place)
        return dataclasses.replace(place, weather=months.record(place)), None, months, shade
    found = section.using(["weather"], lambda: a_record(source, folder, place))
    record = source if source in weather.sites() else str(folder / source)
    return dataclasses.replace(place, weather=found), record, None, shade


def parts_from(document: Document) -> Parts:
    """Read the parts of a plan from its file.

    Parameters
    ----------
    document : Document
        The file as it is read.

    Returns
    -------
    dict
        What the plan is made of, by name.

    Raises
    ------
    PlanFault
        A line cannot be used; the sentence names it.
    """
    document.only(
        *(
            "format",
            "name",
            "tank",
            "plants",
            "beside",
            "beside.*",
            "site",
            f"site.{WORD}",
            "season",
            "top_up",
            "reading",
        ),
        *(f"{water}{part}" for water in ("water", "top_up_water") for part in ("", ".ions", ".unknown")),
    )
    name = document.values.get("name", "")
    if not isinstance(name, str):
        raise document.fault((), "name", '`name` must stand between quotation marks, as name = "Tub A".')
    chosen, colour, hole, slots = _read_tank(document.section("tank"))
    site, record, months, shade = _read_site(document)
    water = read_water(document, "water")
    planting, season = document.section("plants"), document.section("season")
    kind = read_crop(planting)
    count = planting.number("count", 4)
    plants = planting.using(["count"], lambda: some_plants(kind, count, chosen))
    died = read_losses(planting)
    planting.nothing_else()
    losses = planting.using(["losses"], lambda: losses_from(died, plants.count))
    start = season.day("start", "2027-04-26")
    acid = season.text("acid", "nitric acid 0.5 mol/L")
    target = season.number("target_ph", 5.8)
    until = _read_until(season)
    shelf, shelf_file = _read_shelf(season, document.path.parent)
    season.nothing_else()
    season.using(["start"], lambda: day_from(start))
    season.using(["acid"], lambda: acid_from(acid, shelf))
    season.using(["target_ph"], lambda: ph_from(target, plants))
    reading = read_reading(document.section("reading")) if "reading" in document.values else None
    if reading is not None:
        document.section("reading").using(
            ["day", "level"], lambda: reading_from(reading, day_from(start), chosen)
        )
    other = "top_up_water" in document.values
    return {
        "name": name,
        "tank": chosen,
        "plants": plants,
        "site": site,
        "water": water,
        "start": day_from(start),
        "acid": acid,
        "target_ph": target,
        "record": record,
        "months": months,
        "until": until,
        "colour": colour,
        "shade": shade,
        "losses": losses,
        "beside": read_groups(document),
        "hole": hole,
        "slots": slots,
        "top_up": read_top_up(document.section("top_up"))
        if "top_up" in document.values
        else top_up_from(None),
        "top_up_water": read_water(document, "top_up_water") if other else None,
        "reading": reading,
        "shelf": shelf,
        "shelf_file": shelf_file,
    }


def _read_shelf(season: Section, folder: Path) -> tuple[products.Shelf | None, str | None]:
    if "shelf" not in season:
        return None, None
    path = str(folder / season.text("shelf", "my-shelf.toml"))
    try:
        return shelf_from(path)
    except DocumentFault as fault:
        raise season.fault("shelf", str(fault)) from fault


def _read_until(season: Section) -> Until:
    if "until" not in season:
        return None
    given: date | str = season.get("until", (date, str), "2027-10-15")  # type: ignore[assignment]
    return season.using(["until"], lambda: until_from(given))
