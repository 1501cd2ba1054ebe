"""The tank plan as a file: plain TOML, every quantity with its unit, every fault named with its line."""

import dataclasses
import functools
import os
from pathlib import Path
from typing import Any

import numpy as np
import tomli_w

from stilltank.documents import Document, DocumentFault, Section
from stilltank.science import mixing, products, tank, weather
from stilltank.science.chemistry import ions
from stilltank.science.crops import Crop, crop, names
from stilltank.units import Problem, Q, Quantity

from .choices import (
    Parts,
    a_record,
    colour_from,
    day_from,
    grown,
    ph_from,
    shade_from,
    some_plants,
    tank_from,
)

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
    faulty = PlanFault
    alike = frozenset({"latitude", "altitude"})


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
    body, plants, site, held = parts["tank"], parts["plants"], parts["site"], parts["water"]
    shape = next((word for word, kind in SHAPES.items() if type(body) is kind), "")
    known = plants.crop
    if (
        not shape
        or known.name not in names()
        or known != grown(known.name, known.pinched, known.packet_days, known.packet_phase)
    ):
        what = f"crop {known.name!r}, changed from the table," if shape else f"tank {type(body).__name__}"
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
    cloth: dict[str, Any] = {} if parts["shade"] == shade_from(None) else {"shade": parts["shade"]}
    alkalinity: Any = held.alkalinity  # a plan's water states it
    water: dict[str, Any] = {
        "name": held.name,
        "alkalinity": f"{alkalinity.m_as('mg/L'):.10g} mg/L CaCO3",
        "ph": float(held.ph or 0),
        "temperature": f"{held.temperature.m_as('degC'):.10g} °C",
        "ions": {
            ions()[key].formula: f"{float(value.m_as('mmol/L')):.10g} mmol/L"
            for key, value in held.ions.items()
            if key != "HCO3-"  # stands as the alkalinity
        },
        "unknown": dict(held.unknown),
    }
    if held.notes:
        water["notes"] = list(held.notes)
    if held.conductivity_measured is not None:
        water["conductivity"] = f"{held.conductivity_measured.m_as('mS/cm'):.10g} mS/cm"
    sections: dict[str, Any] = {
        "format": PlanFile.newest,
        "name": parts["name"],
        "tank": {"name": body.name, "shape": shape, **sizes, **coat},
        "plants": {"crop": known.name, "count": plants.count, **_as_grown(known)},
        "site": {
            "name": site.name,
            "latitude": float(site.latitude.m_as("degree")),
            "altitude": f"{site.altitude.m_as('m'):.10g} m",
            "cover": site.cover,
            "weather": _record(parts["record"], folder),
            **cloth,
        },
        "water": water,
        "season": {"start": parts["start"], "acid": parts["acid"], "target_ph": parts["target_ph"]},
    }
    if parts["until"] is not None:
        sections["season"]["until"] = parts["until"]
    return _HEADER + tomli_w.dumps(sections)


def _as_grown(known: Crop) -> dict[str, Any]:
    """How the crop is grown here, where that is not as in the table."""
    said: dict[str, Any] = {"pinched": True} if known.pinched else {}
    if known.packet_days is not None:
        said["packet_days"] = f"{known.packet_days.m_as('day'):.10g} days"
        said["packet_counted_from"] = known.packet_phase
    return said


def _read_crop(section: Section) -> Crop:
    name = section.text("crop", "snapdragon")
    section.using(["crop"], lambda: crop(name))
    days = section.quantity("packet_days", "time", "75 days") if "packet_days" in section else None
    phase = section.text("packet_counted_from", "sowing") if "packet_counted_from" in section else None
    pinch = section.get("pinched", bool, "true") if "pinched" in section else False
    section.using(["packet_days", "packet_counted_from"], lambda: grown(name, False, days, phase))
    return section.using(["pinched"], lambda: grown(name, pinch, days, phase))


def _read_tank(section: Section) -> tuple[tank.Tank, str]:
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
    section.nothing_else()
    extras = {key: sizes.pop(key) for key in _EXTRAS if key in sizes}
    found = section.using([*sizes, "shape"], lambda: kind(**sizes, name=name))
    for key, value in extras.items():
        found = section.using([key], functools.partial(dataclasses.replace, found, **{key: value}))
    return section.using(["net_pot_depth"], lambda: tank_from(found)), colour


def _read_site(section: Section, folder: Path) -> tuple[weather.Site, str, float]:
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
    found = section.using(["weather"], lambda: a_record(source, folder, place))
    record = source if source in weather.sites() else str(folder / source)
    return dataclasses.replace(place, weather=found), record, shade


def _read_water(document: Document) -> mixing.Water:
    section, ions, unknown = (document.section("water", *part) for part in ((), ("ions",), ("unknown",)))
    parts: dict[str, Any] = {}
    for key in ions:
        parts[key] = ions.quantity(key, "concentration", "1.2 mmol/L")
        ions.using([key], lambda: mixing.Water(parts))
    said: dict[str, Any] = {
        "alkalinity": section.quantity("alkalinity", "alkalinity", "130 mg/L CaCO3"),
        "ph": section.number("ph", 7.6),
        "temperature": section.quantity("temperature", "temperature", "15 °C"),
    }
    for key, value in said.items():
        section.using([key], functools.partial(mixing.Water, {}, **{key: value}))
    if "conductivity" in section:
        said["conductivity_measured"] = section.quantity("conductivity", "conductivity", "0.37 mS/cm")
    made = section.using(
        ["alkalinity"],
        lambda: mixing.Water(
            parts,
            **said,
            name=section.text("name", "tap water"),
            unknown={key: unknown.text(key, "9 mg/L") for key in unknown},
            notes=tuple(section.texts("notes", "what a reader should know")) if "notes" in section else (),
        ),
    )
    section.nothing_else()
    return made


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
        "format", "name", "tank", "plants", "site", "water", "water.ions", "water.unknown", "season"
    )
    name = document.values.get("name", "")
    if not isinstance(name, str):
        raise document.fault((), "name", '`name` must stand between quotation marks, as name = "Tub A".')
    chosen, colour = _read_tank(document.section("tank"))
    site, record, shade = _read_site(document.section("site"), document.path.parent)
    water = _read_water(document)
    planting, season = document.section("plants"), document.section("season")
    kind = _read_crop(planting)
    count = planting.number("count", 4)
    plants = planting.using(["count"], lambda: some_plants(kind, count, chosen))
    planting.nothing_else()
    start = season.day("start", "2027-04-26")
    acid = season.text("acid", "nitric acid 0.5 mol/L")
    target = season.number("target_ph", 5.8)
    until = season.day("until", "2027-10-15") if "until" in season else None
    season.nothing_else()
    season.using(["start"], lambda: day_from(start))
    season.using(["acid"], lambda: products.acid(acid))
    season.using(["target_ph"], lambda: ph_from(target, plants))
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
        "until": until,
        "colour": colour,
        "shade": shade,
    }
