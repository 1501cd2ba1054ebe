"""Plants and their care in the file of a plan: crops beside the leading one, losses, top-up, a reading."""

import re
from typing import Any

from stilltank.documents import Document, Section
from stilltank.science import budget
from stilltank.science.crops import Crop, crop
from stilltank.units import Problem, Q, read

from .choices import grown
from .days import day_from
from .groups import Group, Loss, Reading

_LOSS = re.compile(r"(\d+) on (\d{4}-\d\d-\d\d)(, replaced)?")
_BARREL = {
    "barrel": ("size", "L", "volume", "100 L"),
    "area": ("area", "m^2", "area", "2 m2"),
    "share": ("share", "percent", "", "80 percent"),
    "first_flush": ("first_flush", "mm", "length", "0.5 mm"),
    "first": ("first", "L", "volume", "20 L"),
}  # word in the file: of a barrel, its unit, the kind to read, an example


def crop_as_values(known: Crop) -> dict[str, Any]:
    """Say a crop, and how it is grown here where that is not as in the table."""
    said: dict[str, Any] = {"crop": known.name}
    if known.pinched:
        said["pinched"] = True
    if known.packet_days is not None:
        said["packet_days"] = f"{known.packet_days.m_as('day'):.10g} days"
        said["packet_counted_from"] = known.packet_phase
    return said


def read_crop(section: Section) -> Crop:
    """Read a crop as somebody grows it."""
    name = section.text("crop", "snapdragon")
    section.using(["crop"], lambda: crop(name))
    days = section.quantity("packet_days", "time", "75 days") if "packet_days" in section else None
    phase = section.text("packet_counted_from", "sowing") if "packet_counted_from" in section else None
    pinch = section.get("pinched", bool, "true") if "pinched" in section else False
    section.using(["packet_days", "packet_counted_from"], lambda: grown(name, False, days, phase))
    return section.using(["pinched"], lambda: grown(name, pinch, days, phase))


def losses_as_values(losses: tuple[Loss, ...]) -> dict[str, Any]:
    """Say which plants died; nothing where none did."""
    return {"losses": [str(one) for one in losses]} if losses else {}


def read_losses(section: Section) -> tuple[Loss, ...]:
    """Read which plants died."""
    if "losses" not in section:
        return ()
    found = []
    for text in section.texts("losses", "1 on 2027-06-10, replaced"):
        parts = _LOSS.fullmatch(text.strip())
        if not parts:
            raise section.fault(
                "losses",
                f'`losses` reads "{text}". Write the number and the day, as "1 on 2027-06-10", or '
                '"1 on 2027-06-10, replaced".',
            )
        number, day, again = parts.groups()
        found.append(section.using(["losses"], lambda: Loss(day_from(day), int(number), bool(again))))  # noqa: B023
    return tuple(found)


def groups_as_values(groups: tuple[Group, ...]) -> dict[str, Any]:
    """Say the crops beside the leading one, each in a section of its own."""
    said: dict[str, Any] = {}
    for group in groups:
        name, number = group.crop.name, 2
        while name in said:
            name, number = f"{group.crop.name}-{number}", number + 1
        values: dict[str, Any] = {**crop_as_values(group.crop), "count": group.count}
        if group.transplanted is not None:
            values["transplanted"] = group.transplanted
        if group.pot_depth is not None:
            values["pot_depth"] = f"{group.pot_depth.m_as('cm'):.10g} cm"
        said[name] = {**values, **losses_as_values(group.losses)}
    return {"beside": said} if said else {}


def read_groups(document: Document) -> tuple[Group, ...]:
    """Read the crops beside the leading one."""
    return tuple(_read_group(section) for section in document.sections("beside").values())


def _read_group(section: Section) -> Group:
    kind, count = read_crop(section), section.count("count", 2)
    day = section.day("transplanted", "2027-05-20") if "transplanted" in section else None
    depth = section.quantity("pot_depth", "length", "5 cm") if "pot_depth" in section else None
    losses = read_losses(section)
    section.nothing_else()
    section.using(["count"], lambda: Group(kind, count))
    section.using(["transplanted"], lambda: Group(kind, count, transplanted=day))
    section.using(["pot_depth"], lambda: Group(kind, count, pot_depth=depth))
    return section.using(
        ["losses"], lambda: Group(kind, count, transplanted=day, pot_depth=depth, losses=losses)
    )


def top_up_as_values(routine: budget.TopUp) -> dict[str, Any]:
    """Say a routine of topping up; nothing where nothing is added."""
    if routine.way == "nothing":
        return {}
    said: dict[str, Any] = {"way": routine.way, "strength": float(routine.strength)}
    if routine.way in ("by hand", "rain caught"):
        said["every"] = f"{routine.every} days"
    for name, unit in (("level", "cm"), ("rise", "cm"), ("daily", "L")):
        value = getattr(routine, name)
        if value is not None:
            said[name] = f"{value.m_as(unit):.10g} {unit}"
    if routine.volumes is not None:
        said["volumes"] = [f"{day}: {volume.m_as('L'):.10g} L" for day, volume in routine.volumes.items()]
    if routine.barrel is not None:
        for word, (name, unit, _, _) in _BARREL.items():
            plain = getattr(routine.barrel, name).m_as(unit)
            said[word] = (
                float(plain) / 100 if word == "share" else f"{plain:.10g} {'m2' if word == 'area' else unit}"
            )
    if routine.name != _made(routine).name:  # the usual one follows from the rest
        said["name"] = routine.name
    return said


def _made(routine: budget.TopUp, name: str = "") -> budget.TopUp:
    """The same routine, made by its function, which checks it and names it."""
    strength = routine.strength
    match routine.way:
        case "by hand":
            return budget.by_hand(routine.every, routine.level, routine.rise, strength, name)
        case "rain caught":
            held: Any = routine.barrel
            return budget.rain_caught(
                held.area,
                held.size,
                routine.every,
                routine.level,
                rise=routine.rise,
                strength=strength,
                share=held.share,
                first_flush=held.first_flush,
                first=held.first,
                name=name,
            )
        case "float valve":
            return budget.float_valve(routine.level, strength, name)
        case "drip":
            return budget.drip(routine.daily / Q(1, "hour"), Q(1, "hour"), strength, name)
        case "on dates":
            return budget.on_dates(dict((routine.volumes or {}).items()), strength, name)
    return budget.nothing()


def read_top_up(section: Section) -> budget.TopUp:
    """Read a routine of topping up."""
    way = section.text("way", "by hand")
    if way not in budget.WAYS:
        raise section.fault("way", f'`way` reads "{way}"; write one of: {", ".join(budget.WAYS)}.')
    strength = section.number("strength", 0.5) if "strength" in section else 0.0
    name = section.text("name", "by hand every 3 days") if "name" in section else ""
    given: dict[str, Any] = {
        key: section.quantity(key, kind, example)
        for key, kind, example in (
            ("level", "length", "15 cm"),
            ("rise", "length", "1 cm"),
            ("daily", "volume", "0.5 L"),
        )
        if key in section
    }
    if "every" in section:
        given["every"] = section.quantity("every", "time", "3 days").m_as("day")
    volumes = section.texts("volumes", "2027-06-01: 3 L") if "volumes" in section else []
    caught: dict[str, Any] = {
        word: Q(section.number(word, 0.8), "dimensionless")
        if word == "share"
        else section.quantity(word, kind, example)
        for word, (_, _, kind, example) in _BARREL.items()
        if word in section
    }
    section.nothing_else()
    for needed, of, example in (
        ("daily", "drip", '"0.5 L"'),
        ("volumes", "on dates", '["2027-06-01: 3 L"]'),
        ("area", "rain caught", '"2 m2"'),
        ("barrel", "rain caught", '"100 L"'),
    ):
        if way == of and needed not in section:
            raise section.fault("way", f"`{needed}` is missing. Add a line such as: {needed} = {example}")
    if volumes:
        given["volumes"] = section.using(["volumes"], lambda: _dated(volumes))
    if way == "rain caught":
        return section.using(
            ["strength", *given, *caught],
            lambda: budget.rain_caught(**caught, **given, strength=strength, name=name),
        )
    return section.using(
        ["strength", *given], lambda: _made(budget.TopUp(name, way, strength, **given), name)
    )


def _dated(texts: list[str]) -> dict[Any, Any]:
    found = {}
    for text in texts:
        day, parted, volume = text.partition(": ")
        if not parted:
            raise Problem(f'"{text}" is no day with its volume. Write "2027-06-01: 3 L".')
        found[day_from(day)] = read(volume, "volume")
    return found


def reading_as_values(reading: Reading) -> dict[str, Any]:
    """Say what was read in mid-season."""
    said: dict[str, Any] = {"day": reading.day, "level": f"{reading.level.m_as('cm'):.10g} cm"}
    if reading.conductivity is not None:
        said["conductivity"] = f"{reading.conductivity.m_as('mS/cm'):.10g} mS/cm"
    if reading.ph is not None:
        said["ph"] = float(reading.ph)
    return said


def read_reading(section: Section) -> Reading:
    """Read what was read in mid-season."""
    day = section.day("day", "2027-06-20")
    level = section.quantity("level", "length", "15 cm")
    meter = (
        section.quantity("conductivity", "conductivity", "1.8 mS/cm") if "conductivity" in section else None
    )
    ph = section.number("ph", 6.2) if "ph" in section else None
    section.nothing_else()
    return section.using(
        ["day", "level", "conductivity", "ph"], lambda: Reading(day, level, conductivity=meter, ph=ph)
    )
