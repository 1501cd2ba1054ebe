"""A water in the file of a plan: what a report said, each ion with its unit."""

import functools
from typing import Any

from stilltank.documents import Document
from stilltank.science import mixing
from stilltank.science.chemistry import ions


def water_as_values(held: mixing.Water) -> dict[str, Any]:
    """Say a water as its section holds it."""
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
    return water


def read_water(document: Document, *path: str) -> mixing.Water:
    """Read the water of a section; a fault names its line."""
    section, parts_given, unknown = (document.section(*path, *part) for part in ((), ("ions",), ("unknown",)))
    parts: dict[str, Any] = {}
    for key in parts_given:
        parts[key] = parts_given.quantity(key, "concentration", "1.2 mmol/L")
        parts_given.using([key], lambda: mixing.Water(parts))
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
