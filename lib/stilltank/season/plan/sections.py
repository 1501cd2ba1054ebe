"""Between a plan and the sections of its file."""

import dataclasses
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from stilltank.science import mixing, ph, tank, weather
from stilltank.science.crop import Plants
from stilltank.science.solution import ions
from stilltank.units import Q, Quantity

from .choosing import a_ph, a_record, a_tank
from .document import Document, Section

if TYPE_CHECKING:
    from .making import Plan

SHAPES = {
    "box": tank.Box,
    "tapered box": tank.TaperedBox,
    "cylinder": tank.Cylinder,
    "tapered cylinder": tank.TaperedCylinder,
    "measured": tank.Measured,
}
_UNITS = {"lid_area": "cm^2", "empty_mass": "kg", "volumes": "L"}  # other sizes are lengths, in cm
_READ_AS = {"lid_area": "area", "empty_mass": "mass", "volumes": "volume"}


def _said(name: str, value: Any) -> Any:
    unit = _UNITS.get(name, "cm")
    plain = value.m_as(unit)
    if np.ndim(plain):
        return [f"{item:.10g} {unit}" for item in plain]
    return f"{plain:.10g} {unit}"


def sections_of(plan: "Plan") -> dict[str, Any]:
    """The choices of a plan, as the file holds them."""
    shape = next(word for word, kind in SHAPES.items() if type(plan.tank) is kind)
    sizes = {
        field.name: _said(field.name, value)
        for field in dataclasses.fields(plan.tank)
        if isinstance(value := getattr(plan.tank, field.name), Quantity)
    }
    water: dict[str, Any] = {
        "name": plan.water.name,
        "alkalinity": f"{plan.water.alkalinity.m_as('mg/L'):.10g} mg/L CaCO3",
        "ph": float(plan.water.ph or 0),
        "temperature": f"{plan.water.temperature.m_as('degC'):.10g} °C",
        "ions": {
            ions()[key].formula: f"{float(value.m_as('mmol/L')):.10g} mmol/L"
            for key, value in plan.water.ions.items()
            if key != "HCO3-"  # stands as the alkalinity
        },
        "unknown": dict(plan.water.unknown),
    }
    return {
        "name": plan.name,
        "tank": {"name": plan.tank.name, "shape": shape, **sizes},
        "plants": {"crop": plan.plants.crop.name, "count": plan.plants.count},
        "site": {
            "name": plan.site.name,
            "latitude": float(plan.site.latitude.m_as("degree")),
            "altitude": f"{plan.site.altitude.m_as('m'):.10g} m",
            "cover": plan.site.cover,
            "weather": plan.record,
        },
        "water": water,
        "season": {"start": plan.start, "acid": plan.acid, "target_ph": plan.target_ph},
    }


def _read_tank(section: Section) -> tank.Tank:
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
        sizes[field.name] = section.quantity(field.name, _READ_AS.get(field.name, "length"), example)
    section.nothing_else()
    return section.using("shape", lambda: a_tank(kind(**sizes, name=name)))


def _read_site(section: Section, folder: Path) -> tuple[weather.Site, str]:
    source = section.text("weather", "new-york")
    place = section.using(
        "cover",
        lambda: weather.Site(
            section.text("name", "school courtyard"),
            Q(section.number("latitude", 41.5), "degree"),
            section.quantity("altitude", "length", "210 m"),
            None,
            section.text("cover", "open"),
        ),
    )
    section.nothing_else()
    found = section.using("weather", lambda: a_record(source, folder, place))
    return dataclasses.replace(place, weather=found), source


def _read_water(document: Document) -> mixing.Water:
    section, ions, unknown = (document.section(name) for name in ("water", "water.ions", "water.unknown"))
    parts = {key: ions.quantity(key, "concentration", "1.2 mmol/L") for key in ions.keys()}  # noqa: SIM118
    kept = {key: unknown.text(key, "9 mg/L") for key in unknown.keys()}  # noqa: SIM118
    made = section.using(
        "alkalinity",
        lambda: mixing.Water(
            parts,
            alkalinity=section.quantity("alkalinity", "alkalinity", "130 mg/L CaCO3"),
            ph=section.number("ph", 7.6),
            temperature=section.quantity("temperature", "temperature", "15 °C"),
            name=section.text("name", "tap water"),
            unknown=kept,
        ),
    )
    section.nothing_else()
    return made


def plan_from(cls: "type[Plan]", document: Document) -> "Plan":
    """The plan a document holds.

    Raises PlanFault naming the line that cannot be used.
    """
    document.only("format", "name", "tank", "plants", "site", "water", "season")
    name = document.values.get("name", "")
    if not isinstance(name, str):
        raise document.fault("", "name", '`name` must stand between quotation marks, as name = "Tub A".')
    chosen = _read_tank(document.section("tank"))
    site, record = _read_site(document.section("site"), document.path.parent)
    water = _read_water(document)
    planting, season = document.section("plants"), document.section("season")
    count = planting.number("count", 4)
    plants = planting.using("count", lambda: Plants(planting.text("crop", "snapdragon"), count))  # type: ignore[arg-type]
    planting.nothing_else()
    start = season.day("start", "2027-04-26")
    acid = season.text("acid", "nitric acid 1 mol/L")
    target = season.number("target_ph", 5.8)
    season.nothing_else()
    season.using("acid", lambda: ph.acid(acid))
    season.using("target_ph", lambda: a_ph(target, plants))
    made = cls.make(chosen, plants, site, water, start, name=name, acid=acid, target_ph=target)
    return dataclasses.replace(made, record=record)
