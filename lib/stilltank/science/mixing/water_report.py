"""Reading a water report: a small CSV or TOML, each line with its unit and its line number in every sentence."""

import csv
import os
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from reprlib import repr as short
from types import MappingProxyType
from typing import Any

from stilltank import files, tables
from stilltank.science.chemistry import (
    Water,
    caco3_equivalent_mass,
    element_share,
    find_ion,
    ions,
    molar_mass,
)
from stilltank.units import OutOfRange, Problem, Q, Reading, Unreadable, read_with_notes

# What a line may be called, and the kind of quantity it then is.
_KINDS: Mapping[str, str] = MappingProxyType(
    {name: kind for kind, names in {
        "pH": ("ph",),
        "temperature": ("temperature", "water temperature"),
        "conductivity": ("conductivity", "electrical conductivity", "ec", "specific conductance"),
        "alkalinity": ("alkalinity", "total alkalinity", "carbonate hardness", "acid capacity", "kh"),
    }.items() for name in names}
)  # fmt: skip
_ARGUMENT = MappingProxyType({"pH": "ph", "conductivity": "conductivity_measured"})
_NOT_MEASURED = re.compile(r"(-|n\.?d\.?|n/a|not (detected|measured))?( \D*)?", re.I)
_TWICE = ("nitrate", "nitrite", "ammonium", "ammonia", "phosphate")  # stated as the ion or as its element


@dataclass(frozen=True, slots=True)
class _Line:
    place: str
    item: str
    text: str


def read_water(path: str | os.PathLike[str]) -> Water:
    """Read a water report, a CSV or TOML file, without changing it.

    A CSV has the first line ``item,value,unit`` and a line for each value; a TOML file has lines such as
    ``calcium = "48 mg/L"``. Say of what a mass is: ``mg/L as CaCO3`` for alkalinity, ``mg/L as NO3`` or ``mg/L as N``
    for nitrate and ammonium. Degrees of hardness, mmol/L and meq/L are read too. ``<0.05`` counts as zero and is
    noted.

    Parameters
    ----------
    path : str or path
        Of the file, ``.csv`` or ``.toml``.

    Returns
    -------
    Water
        What is not understood is in ``.unknown``, and what a reader should know in ``.notes``.

    Raises
    ------
    Unreadable
        There is no such file or unit, a number has two readings, or a line on nitrate does not say which; the sentence
        names the line.
    OutOfRange
        A value is below zero or impossible; the sentence names the line.

    Examples
    --------
    >>> read_water(tables.DATA / "demo" / "water-quillgate-tap.toml").unknown["silica"]
    '9 mg/L'
    """
    text = files.read_text(path, "the water report")
    path = Path(path)
    if path.suffix.lower() == ".toml":
        lines, name = _toml(text, path.name)
    elif path.suffix.lower() == ".csv":
        lines, name = _csv(text, path.name)
    else:
        raise Unreadable(f"A water report is a .csv or a .toml file; {path.name} is neither.")
    if not lines:
        raise Unreadable(f"{path.name} holds no values. Write lines such as: calcium,48,mg/L.")
    found: dict[str, Any] = {}
    amounts: dict[str, Any] = {}
    unknown: dict[str, str] = {}
    notes: list[str] = []
    places: dict[str, str] = {}
    for line in lines:
        try:
            key, value, said = _meaning(line)
        except OutOfRange as error:
            raise OutOfRange(f"{line.place}, {line.item}: {error}") from error
        except Problem as error:
            raise Unreadable(f"{line.place}, {line.item}: {error}") from error
        notes += [f"{line.item}: {words}." for words in said]
        if key is None:
            unknown[line.item] = line.text
            continue
        if key in places:
            raise Unreadable(
                f"{line.place}: {line.item} was stated before, in {places[key]}. Keep one of them."
            )
        places[key] = line.place
        (amounts if key in ions() else found)[key] = value
    water = Water(amounts, name=name or path.stem, unknown=unknown, **found)
    return Water(amounts, name=water.name, unknown=unknown, notes=(*notes, *_doubts(water, amounts)), **found)


def _toml(text: str, file: str) -> tuple[list[_Line], str]:
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Unreadable(
            f'{file} is not proper TOML: {error}. Write lines such as: calcium = "48 mg/L".'
        ) from error
    flat = {key: value for key, value in values.items() if not isinstance(value, dict)}
    for key, value in values.items():
        if isinstance(value, dict):
            if key != "ions":
                raise Unreadable(f"{file}: the section [{key}] is not known. Put the ions under [ions].")
            flat |= value
    name = str(flat.pop("name", ""))
    lines = []
    for key, value in flat.items():
        number = next(
            (
                i
                for i, row in enumerate(text.splitlines(), 1)
                if re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", row)
            ),
            0,
        )
        place = f"{file}, line {number}"
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            raise Unreadable(f'{place}: {key} must be text with a unit, such as "48 mg/L".')
        lines.append(_Line(place, key, str(value).strip()))
    return lines, name


def _csv(text: str, file: str) -> tuple[list[_Line], str]:
    rows = [
        (i, row)
        for i, row in enumerate(text.splitlines(), 1)
        if row.strip() and not row.lstrip().startswith("#")
    ]
    if not rows:
        return [], ""
    mark = next((m for m in (";", "\t") if m in rows[0][1]), ",")
    header = [cell.strip().lower() for cell in rows[0][1].split(mark)]
    if header[:3] != ["item", "value", "unit"]:
        raise Unreadable(
            f"{file}, line {rows[0][0]}: the first line must read item,value,unit; it reads {rows[0][1]}."
        )
    lines, name = [], ""
    for number, row in rows[1:]:
        cells = [cell.strip() for cell in next(csv.reader([row], delimiter=mark))]
        place = f"{file}, line {number}"
        if not 2 <= len(cells) <= max(len(header), 3) or not cells[0]:
            raise Unreadable(
                f"{place}: {row!r} should be item{mark}value{mark}unit. "
                "Write decimals with a full stop, or part the cells with semicolons."
            )
        item, value, unit = (*cells, "", "")[:3]
        if item.lower() == "name":
            name = value
        else:
            lines.append(_Line(place, item, f"{value} {unit}".strip() if value else ""))
    return lines, name


def _meaning(line: _Line) -> tuple[str | None, Any, tuple[str, ...]]:
    """What one line says: argument of Water or key of an ion, its value, and what was assumed.

    No key where the line is not understood or nothing was measured.
    """
    item = line.item.lower().replace("_", " ")
    kind = _KINDS.get(item)
    found = ("NH4+", "NH3") if item == "ammonia" else find_ion(item)
    if not kind and not found:
        return None, None, ("it is kept, but nothing is computed with it",)
    if _NOT_MEASURED.fullmatch(line.text):
        return None, None, ("no value is given",)
    if line.text.startswith("<"):
        if not found:
            raise Unreadable(f"{line.text} is a limit. State the value that was measured.")
        return found[0], Q(0, "mmol/L"), (f"below {line.text[1:].strip()}, counted as zero",)
    if kind:
        # The line says which hardness its German degrees count.
        text = re.sub(r"°?dH$", "°dKH", line.text) if kind == "alkalinity" else line.text
        read = read_with_notes(text, kind)
        value: Any = read.quantity.m_as("dimensionless") if kind == "pH" else read.quantity
        argument = _ARGUMENT.get(kind, kind)
        Water(**{argument: value})  # refuses what cannot be, while the line is at hand
        return argument, value, _said(read)
    assert found is not None
    key, basis = found
    read = _concentration(line.text)
    value = Q(_mmol(read, key, basis, item), "mmol/L")
    return key, Water({key: value}).ions[key], _said(read)


def _said(read: Reading) -> tuple[str, ...]:
    return (*read.assumed, "an approximate value") if read.approximate else read.assumed


def _concentration(text: str) -> Reading:
    """A mass, an amount, a charge or degrees of hardness in a litre; ``of`` says of what a mass is."""
    try:
        return read_with_notes(text, "concentration")
    except OutOfRange:
        raise
    except Problem as problem:
        for kind in ("charge", "hardness"):
            try:
                return read_with_notes(text, kind)
            except Problem:
                continue
        raise problem from None


def _mmol(read: Reading, key: str, basis: str, item: str) -> float:
    """Plain mmol/L of an ion."""
    ion = ions()[key]
    if read.kind in ("charge", "hardness") or read.of == "CaCO3":
        if ion.charge == 0:
            raise Unreadable(f"{key} carries no charge; state it in mg/L or mmol/L.")
        charge = (
            read.quantity.m_as("mmol/L")
            if read.kind == "charge"
            else (read.quantity.m_as("mg/L") / caco3_equivalent_mass())
        )
        return charge / abs(ion.charge)
    if read.quantity.check("[substance]/[length]**3"):
        return read.quantity.m_as("mmol/L")
    milligrams = read.quantity.m_as("mg/L")
    if item in _TWICE and not read.of:
        raise Unreadable(
            f"a mass of {item} can be read two ways. Write mg/L as {basis} or mg/L as {ion.element}; "
            "the report's small print says which."
        )
    names = {
        key: ion.formula,
        f"{ion.formula}-{ion.element}": ion.element,
        f"{basis}-{ion.element}": ion.element,
    }
    basis = names.get(read.of, read.of) or basis
    if basis == ion.formula:
        return milligrams / ion.molar_mass
    share = element_share(basis, ion.element).m_as("dimensionless") if ion.element else 0.0
    if share == 0.0:
        raise Unreadable(f"{key} cannot be stated as {basis}. Write it as {ion.formula}.")
    return milligrams * share / molar_mass(ion.element).m_as("g/mol")


def _doubts(water: Water, amounts: Mapping[str, Any]) -> Iterator[str]:
    """What does not fit together in a report."""
    limit = lambda item: tables.number("mixing", "water report", item, "dimensionless")  # noqa: E731
    if water.alkalinity is None:
        yield "The report states no alkalinity, and acid doses cannot be computed without it."
    else:
        used, stated = (each.get("HCO3-", Q(0, "mmol/L")).m_as("mmol/L") for each in (water.ions, amounts))
        if "HCO3-" in amounts and abs(used - stated) > limit("imbalance worth a word") * max(used, stated):
            yield f"Bicarbonate ({stated:.2f} mmol/L) and alkalinity ({used:.2f}) differ; the alkalinity is used."
        if abs(float(water.charge_balance.share)) > limit("imbalance worth a word"):
            yield (
                f"The charges do not balance: {water.charge_balance}. Something is missing or wrong in the report; "
                "for acid doses the alkalinity counts."
            )
    if water.conductivity_measured is not None and water.amounts:
        computed, stated = (c.m_as("mS/cm") for c in (water.conductivity(), water.conductivity_measured))
        if abs(computed - stated) > limit("conductivity gap worth a word") * max(stated, computed):
            yield f"The report states {stated:.2f} mS/cm, and its ions make {computed:.2f}: check units and gaps."


def demo_waters() -> tuple[str, ...]:
    """Names of the invented water reports in data/demo/.

    Returns
    -------
    tuple of str
        For ``demo_water``.

    Examples
    --------
    >>> "quillgate-tap" in demo_waters()
    True
    """
    return tuple(sorted(p.stem.removeprefix("water-") for p in (tables.DATA / "demo").glob("water-*.*")))


def demo_water(name: str) -> Water:
    """Read one of the invented water reports of the demo.

    Parameters
    ----------
    name : str
        One of ``demo_waters()``.

    Returns
    -------
    Water
        As ``read_water`` gives it.

    Raises
    ------
    Unreadable
        There is no such water.

    Examples
    --------
    >>> demo_water("quillgate-tap").alkalinity.m_as("mg/L")
    130.0
    """
    if not isinstance(name, str) or name not in demo_waters():
        raise Unreadable(f"The demo has no water {short(name)}. It has: {', '.join(demo_waters())}.")
    (path,) = (tables.DATA / "demo").glob(f"water-{name}.*")
    return read_water(path)
