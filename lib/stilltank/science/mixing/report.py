"""Reading a water report: a small CSV or TOML, each line with its unit and its line number in every sentence."""

import csv
import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from ... import tables
from ...units import OutOfRange, Problem, Q, Unreadable
from ..composition import element_share, molar_mass
from ..ions import find_ion, ions
from ..solution import Water, equivalent_mass

# How units are written in reports -> how this workbook writes them. Degrees of hardness are masses in a
# litre of the oxide or carbonate named.
_UNITS = MappingProxyType(
    {
        "mg/l": "mg/L", "g/m3": "mg/L", "g/m³": "mg/L", "ppm": "mg/L", "ug/l": "ug/L", "ppb": "ug/L",
        "mmol/l": "mmol/L", "mol/m3": "mmol/L", "umol/l": "umol/L",
        "meq/l": "charge", "mval/l": "charge", "mmolc/l": "charge", "mmol(c)/l": "charge",
        "us/cm": "uS/cm", "ms/cm": "mS/cm", "ds/m": "dS/m", "ms/m": "mS/m",
        "°c": "degC", "degc": "degC", "c": "degC", "°f": "degF", "degf": "degF", "": "", "-": "", "1": "",
    }
)  # fmt: skip
_DEGREES = MappingProxyType(
    {
        "°dh": ("German degree", "CaO"), "dh": ("German degree", "CaO"), "°d": ("German degree", "CaO"),
        "°fh": ("French degree", "CaCO3"), "fh": ("French degree", "CaCO3"),
        "°e": ("English degree", "CaCO3"), "°clark": ("English degree", "CaCO3"),
        "gpg": ("grain in a US gallon", "CaCO3"),
    }
)  # fmt: skip
_ALKALINITY = ("alkalinity", "total alkalinity", "carbonate hardness", "acid capacity", "kh", "m-alkalinity")
_HARDNESS = ("hardness", "total hardness", "gh", "general hardness")
_CONDUCTIVITY = ("conductivity", "electrical conductivity", "ec", "specific conductance")
_TEMPERATURE = ("temperature", "water temperature")
_TWICE = ("nitrate", "nitrite", "ammonium", "phosphate", "ammonia")


@dataclass(frozen=True, slots=True)
class _Line:
    place: str
    item: str
    value: str
    unit: str
    basis: str

    @property
    def shown(self) -> str:
        """The line as a person wrote it."""
        basis = f" as {self.basis}" if self.basis else ""
        return f"{self.value} {self.unit}{basis}".strip()


def read_water(path: Any) -> Water:
    """Read a water report, a CSV or TOML file, without changing it.

    A CSV has the first line ``item,value,unit`` and a line for each value; a TOML file has lines such as
    ``calcium = "48 mg/L"``. Say of what a mass is: ``mg/L as CaCO3`` for alkalinity, ``mg/L as NO3`` or ``mg/L as N``
    for nitrate and ammonium. Degrees of hardness, mmol/L and meq/L are read too. ``<0.05`` counts as zero and is
    noted.

    Parameters
    ----------
    path : path of the file

    Returns
    -------
    Water
        What is not understood stands in ``.unknown``, and what a reader should know in ``.notes``.

    Raises
    ------
    Unreadable   no such file, no such unit, a number with two readings, nitrate without saying which; names the line
    OutOfRange   a negative or impossible value; names the line

    Example
    -------
    >>> read_water(tables.DATA / "demo" / "water-quillgate-tap.toml").unknown["silica"]
    '9 mg/L'
    """
    path = Path(path)
    text = tables.read_text(path, "the water report")
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
            key, value = _meaning(line, notes)
        except Problem as error:
            raise type(error)(f"{line.place}: {error}") from error
        if key is None:
            unknown[line.item] = line.shown
            continue
        if key in places:
            raise Unreadable(
                f"{line.place}: {line.item} was stated before, in {places[key]}. Keep one of them."
            )
        places[key] = line.place
        (amounts if key in ions() else found)[key] = value
    if "HCO3-" in amounts and "alkalinity" in found:
        bicarbonate = amounts["HCO3-"].m_as("mmol/L")
        charge = found["alkalinity"].m_as("mg/L") / equivalent_mass()
        if abs(bicarbonate - charge) > 0.1 * max(bicarbonate, charge):
            notes.append(
                f"Bicarbonate ({bicarbonate:.2f} mmol/L) and alkalinity ({charge:.2f} meq/L) differ; "
                "the alkalinity is used."
            )
    notes += [f"{item}: {shown} is kept, but nothing is computed with it." for item, shown in unknown.items()]
    water = Water(amounts, name=name or path.stem, unknown=unknown, **found)
    return Water(amounts, name=water.name, unknown=unknown, notes=(*notes, *_doubts(water)), **found)


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
        shown = re.fullmatch(r"\s*(<?\s*[-+]?\d[\d.,]*)\s*(.*)", str(value))
        lines.append(_line(place, key, *shown.groups()) if shown else _line(place, key, str(value), ""))
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
            lines.append(_line(place, item, value, unit))
    return lines, name


def _line(place: str, item: str, value: str, unit: str) -> _Line:
    written, _, basis = unit.replace("μ", "u").replace("µ", "u").partition(" as ")
    return _Line(place, item.strip(), value.strip(), written.strip(), basis.strip())


def _number(line: _Line, notes: list[str]) -> float | None:
    """The number of a line; None where nothing was measured."""
    text = line.value.replace(" ", "")
    if text.lower() in ("", "-", "n.d.", "nd", "notdetected", "n/a"):
        return None
    if text.startswith("<"):
        notes.append(f"{line.item}: below {text[1:]} {line.unit}, counted as zero.")
        return 0.0
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text):
        raise Unreadable(
            f"{line.value!r} can be read two ways. Write {text.replace(',', '')} or {text.replace(',', '.')}."
        )
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise Unreadable(f"{line.item} has the value {line.value!r}, which is not a number.") from None


def _meaning(line: _Line, notes: list[str]) -> tuple[str | None, Any]:
    """What one line says: (argument of Water or ion key, value); (None, None) for what is not understood."""
    item = line.item.lower().replace("_", " ")
    found = ("NH4+", "NH3") if item == "ammonia" else None if item in _HARDNESS else find_ion(item)
    known = item == "ph" or item in _TEMPERATURE or item in _CONDUCTIVITY or item in _ALKALINITY
    if not (found or known) or (number := _number(line, notes)) is None:
        return None, None
    unit = _UNITS.get(line.unit.lower())
    if item == "ph":
        if unit != "":
            raise Unreadable(f"pH has no unit; {line.unit!r} stands beside it.")
        return "ph", Water(ph=number).ph
    if item in _TEMPERATURE:
        return "temperature", Water(
            temperature=_quantity(number, unit, line, ("degC", "degF"), "°C")
        ).temperature
    if item in _CONDUCTIVITY:
        value = _quantity(number, unit, line, ("uS/cm", "mS/cm", "dS/m", "mS/m"), "mS/cm or uS/cm")
        if number < 0:
            raise OutOfRange(f"a conductivity of {line.shown} cannot be.")
        return "conductivity_measured", value.to("mS/cm")
    if item in _ALKALINITY:
        return "alkalinity", Water(alkalinity=Q(_charge(number, unit, line), "mmol/L")).alkalinity
    assert found is not None
    key, formula = found
    ion = ions()[key]
    if item in _TWICE and not line.basis and unit in ("mg/L", "ug/L"):
        raise Unreadable(
            f"{line.item} in {line.unit} can be read two ways. Write {line.unit} as {ion.formula} or "
            f"{line.unit} as {ion.element}; the report's small print says which."
        )
    if line.unit.lower() in _DEGREES or line.basis == "CaCO3" or unit == "charge":
        if ion.charge == 0:
            raise Unreadable(f"{line.item} carries no charge; state it in mg/L or mmol/L.")
        value = Q(_charge(number, unit, line) / abs(ion.charge), "mmol/L")
    else:
        value = _quantity(number, unit, line, ("mg/L", "ug/L", "mmol/L", "umol/L"), "mg/L or mmol/L")
        if unit in ("mg/L", "ug/L"):
            value = Q(_mmol(value.m_as("mg/L"), key, line.basis or formula), "mmol/L")
    return key, Water({key: value}).ions[key]


def _quantity(number: float, unit: str | None, line: _Line, allowed: tuple[str, ...], say: str) -> Any:
    if unit not in allowed:
        shown = f"the unit {line.unit!r}" if line.unit else "no unit"
        raise Unreadable(f"{line.item} has {shown}. Write {say}.")
    return Q(number, unit)


def _mmol(milligrams: float, key: str, basis: str) -> float:
    """mmol of an ion from mg counted as ``basis``: the ion itself, its element, or an oxide of it."""
    ion = ions()[key]
    if basis in (ion.formula, key, "NH3"):
        return milligrams / molar_mass(basis if basis == "NH3" else ion.formula).m_as("g/mol")
    share = element_share(basis, ion.element).m_as("dimensionless") if ion.element else 0.0
    if share == 0.0:
        raise Unreadable(f"{key} cannot be stated as {basis}. Write it as {ion.formula}.")
    return milligrams * share / molar_mass(ion.element).m_as("g/mol")


def _charge(number: float, unit: str | None, line: _Line) -> float:
    """mmol of charge in a litre of an alkalinity or hardness."""
    degree = _DEGREES.get(line.unit.lower())
    if degree:
        size = tables.number("mixing", "hardness", degree[0], "mg/L")
        return number * size / (molar_mass(degree[1]).m_as("g/mol") / 2)
    if unit in ("charge", "mmol/L"):
        return number
    if unit in ("mg/L", "ug/L"):
        milligrams = number if unit == "mg/L" else number / 1000
        if line.basis == "CaCO3":
            return milligrams / equivalent_mass()
        if line.basis in ("HCO3", "HCO3-"):
            return milligrams / molar_mass("HCO3").m_as("g/mol")
        raise Unreadable(
            f"{line.item} in {line.unit} can be read two ways. Write {line.unit} as CaCO3 or {line.unit} as HCO3."
        )
    shown = f"the unit {line.unit!r}" if line.unit else "no unit"
    raise Unreadable(f"{line.item} has {shown}. Write mg/L as CaCO3, mmol/L, meq/L or °dH.")


def _doubts(water: Water) -> Iterator[str]:
    """What does not fit together in a report."""
    worth = tables.number("mixing", "water report", "imbalance worth a word", "percent")
    if water.alkalinity is None:
        yield "The report states no alkalinity, and acid doses cannot be computed without it."
    elif abs(share := float(water.charge_balance.share.m_as("percent"))) > worth:
        yield (
            f"The charges do not balance: {water.charge_balance}. Something is missing or wrong in the report; "
            f"the alkalinity decides the acid dose all the same ({share:+.0f} %)."
        )
    if water.conductivity_measured is not None and water.amounts:
        computed = water.conductivity().m_as("mS/cm")
        stated = water.conductivity_measured.m_as("mS/cm")
        gap = tables.number("mixing", "water report", "conductivity gap worth a word", "percent")
        if abs(computed - stated) > gap / 100 * max(stated, computed):
            yield f"The report states {stated:.2f} mS/cm, and its ions make {computed:.2f}: check units and gaps."


def demo_waters() -> tuple[str, ...]:
    """Names of the invented water reports in data/demo/."""
    return tuple(sorted(p.stem.removeprefix("water-") for p in (tables.DATA / "demo").glob("water-*.*")))


def demo_water(name: str) -> Water:
    """One of the invented water reports of the demo.

    Parameters
    ----------
    name : str
        One of ``demo_waters()``.

    Raises
    ------
    Unreadable   no such water

    Example
    -------
    >>> demo_water("quillgate-tap").alkalinity.m_as("mg/L")
    130.0
    """
    for path in (tables.DATA / "demo").glob(f"water-{name}.*"):
        return read_water(path)
    raise Unreadable(f"The demo has no water {name!r}. It has: {', '.join(demo_waters())}.")
