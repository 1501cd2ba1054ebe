"""Every spelling of a unit, against sizes from outside the workbook.

The sizes in spelled_sizes.csv were typed by hand from NIST Handbook 44, Appendix C, and NIST SP 811, Appendix B
(from memory): the US gallon is 231 cubic inches or 3.785411784 L, the imperial gallon 4.54609 L, the avoirdupois pound
0.45359237 kg with 7000 grains, the inch 2.54 cm. Metric spoons, cups, drops and the scales of meters are common
practice. Degrees of hardness are checked against their definitions in test_reading.
"""

import csv
import math
from pathlib import Path

import pytest
from stilltank.units import Problem, Q, Unclear, read, read_with_notes
from stilltank.units.spellings import kinds, meanings

HERE = Path(__file__).parent
ROWS = list(csv.DictReader((HERE / "spelled_sizes.csv").open(encoding="utf-8", newline="")))
SPELLINGS = list(
    csv.DictReader((HERE.parents[1] / "data" / "spellings.csv").open(encoding="utf-8", newline=""))
)
ACRE = 5e-6  # by the survey foot, as it was until 2022, an acre is 4 millionths larger than by the foot of 0.3048 m
TOLERANCE = 2e-7  # the sizes are given to seven figures or more; psi, mmHg and inHg to seven


def whose(writer: str) -> dict[str, str]:
    return {"gallon" if writer == "imperial" else "system": writer} if writer else {}


def outcome(text: str, kind: str, **writer: str):
    """The reading, or the question back."""
    try:
        return read_with_notes(text, kind, **writer)
    except Unclear as question:
        return question


def is_the_size(quantity, row, number="1") -> bool:
    plain = quantity.to_base_units() if row["in"] == "delta_degC*s" else quantity
    return plain.is_compatible_with(Q(1, row["in"])) and math.isclose(
        plain.m_as(row["in"]),
        float(number) * float(row["size"]),
        rel_tol=ACRE if "acre" in row["unit"] else TOLERANCE,
    )


@pytest.mark.parametrize("kind", sorted({row["kind"] for row in ROWS}))
def test_a_spelling_has_its_size(kind):
    """A sure spelling is read where its kind is asked for; a doubtful one is said, or is among what is asked."""
    number = (
        "0.00001" if kind in ("conductivity", "radiation") else "1"
    )  # a megasiemens is too much to be read
    for row in (row for row in ROWS if row["kind"] == kind):
        text = f"{number} {row['unit']}"
        found = outcome(text, kind, **whose(row["writer"]))
        if isinstance(found, Unclear):
            assert row["how"] == "doubtful", (row, str(found))
            assert any(is_the_size(choice.quantity, row, number) for choice in found.choices), row
            continue
        assert is_the_size(found.quantity, row, number), (row, found.quantity)
        assert row["how"] == "sure" or found.assumed, row


@pytest.mark.parametrize("text", sorted({row["unit"] for row in ROWS if row["writer"] in ("US", "imperial")}))
def test_a_measure_of_two_countries_is_never_taken_for_one(text):
    """Unless the writer's country is known, a gallon is asked about; only teaspoons are near enough to be read."""
    kind = next(row["kind"] for row in ROWS if row["unit"] == text and row["writer"])
    if len({row["size"] for row in ROWS if row["unit"] == text and row["kind"] == kind}) == 1:
        return
    found = outcome(f"1 {text}", kind)
    if isinstance(found, Unclear):
        assert len(found.choices) >= 2
        return
    assert any("within 3 %" in note for note in found.assumed)
    assert found.quantity.m_as("mL") == pytest.approx(5, rel=0.03)


@pytest.mark.parametrize("kind", sorted({row["kind"] for row in ROWS}))
def test_what_a_question_says_to_type_is_what_it_means(kind):
    """Each meaning has words to type for it; typed, they mean the same, and nothing has to be asked again."""
    number = {"conductivity": 0.00001, "radiation": 0.00001, "count": 2}.get(kind, 0.5)
    for unit in dict.fromkeys(row["unit"] for row in ROWS if row["kind"] == kind):
        for meaning in meanings(unit, kind, None):
            text = meaning.say(number, "written")
            again = read(text, kind)
            wanted = number * meaning.factor
            assert math.isclose(again.m_as(meaning.unit), wanted, rel_tol=1e-9), (unit, text)


# What the country is called, and what it must then be: NIST Handbook 44, Appendix C (from memory).
COUNTRIES = [
    ("US", 3.785411784, ("US", "U.S.", "u.s", "USA", "American", "american", "us")),
    ("imperial", 4.54609, ("imp", "imp.", "imperial", "Imperial", "UK", "uk", "British", "british")),
]


@pytest.mark.parametrize(("writer", "litres", "names"), COUNTRIES)
def test_the_name_of_a_country_settles_the_gallon(writer, litres, names):
    for name in names:
        for text in (f"1 {name} gal", f"1 {name} gallon", f"1 gal ({name})", f"1 gallon {name}"):
            for known in (None, "US", "imperial"):  # what is written counts more than what is known
                assert read(text, "volume", gallon=known).m_as("L") == pytest.approx(litres, rel=1e-9), text
        dose = read(f"1 mL/{name} gal", "dose").m_as("mL/L")
        assert dose == pytest.approx(1 / litres, rel=1e-9), name


# By hand, from the sizes above: what stands over the stroke divided by what stands under it.
COMPOUNDS = [
    ("1 tsp/gal", "dose", "US", 4.92892159375 / 3.785411784, "mL/L"),
    ("1 tsp/gal", "dose", "imperial", 5 / 4.54609, "mL/L"),
    ("1 tbsp/gal", "dose", "US", 14.78676478125 / 3.785411784, "mL/L"),
    ("1 fl oz/gal", "dose", "US", 1000 / 128, "mL/L"),
    ("1 fl oz/gal", "dose", "imperial", 1000 / 160, "mL/L"),
    ("1 oz/gal", "concentration", "US", 28.349523125 / 3.785411784, "g/L"),
    ("1 oz/gal", "concentration", "imperial", 28.349523125 / 4.54609, "g/L"),
    ("1 g/gal", "concentration", "US", 1000 / 3.785411784, "mg/L"),
    ("1 g/10 gal", "concentration", "US", 100 / 3.785411784, "mg/L"),
    ("1 gal/day", "flow", "US", 3.785411784, "L/day"),
    ("1 gal/h", "flow", "imperial", 24 * 4.54609, "L/day"),
    ("1 in/day", "speed", "", 25.4, "mm/day"),
    ("1 lb/ton", "share", "US", 0.05, "percent"),
    ("1 g/kg", "share", "", 0.1, "percent"),
    ("1 µmol/m²/s", "light", "", 1, "umol/m^2/s"),
    ("1 µmol/s/m²", "light", "", 1, "umol/m^2/s"),
    ("1 MJ/m²/day", "radiation", "", 1e6 / 86400, "W/m^2"),
    ("1 kWh/m²/d", "radiation", "", 3.6, "MJ/m^2/day"),
    ("1 meq/100 mL", "charge", "", 10, "mmol/L"),
    ("1 mmol/mL", "concentration", "", 1, "mol/L"),
    ("1 µS/m", "conductivity", "", 0.01, "uS/cm"),
    ("2 L/day/plant", "flow", "", 2, "L/day"),
]


@pytest.mark.parametrize(("text", "kind", "writer", "size", "unit"), COMPOUNDS)
def test_a_part_over_another(text, kind, writer, size, unit):
    assert read(text, kind, **whose(writer)).m_as(unit) == pytest.approx(size, rel=1e-9)


# NIST SP 811, B.9 (from memory): t/°C = (t/°F - 32)/1.8 = T/K - 273.15.
@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        ("212 °F", 100),
        ("32 F", 0),
        ("-40 fahrenheit", -40),
        ("50 degrees F", 10),
        ("14 deg F", -10),
        ("-40 °F", -40),
        ("25 °C", 25),
        ("25 C", 25),
        ("25 celsius", 25),
        ("25 centigrade", 25),
        ("25 deg C", 25),
        ("25 degrees Celsius", 25),
        ("273.15 K", 0),
        ("300.15 kelvin", 27),
        ("300.15 °K", 27),
    ],
)
def test_temperatures(text, celsius):
    assert read(text, "temperature").m_as("degC") == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize("text", ["70", "70°", "70 deg", "70 degree", "70 degrees"])
def test_bare_degrees_are_those_of_the_writer(text):
    """70 °F is (70 - 32)/1.8 = 21.111 °C."""
    assert read(text, "temperature", system="US").m_as("degC") == pytest.approx(38 / 1.8)
    assert read(text, "temperature", system="metric").m_as("degC") == pytest.approx(70)
    with pytest.raises(Unclear) as caught:
        read(text, "temperature")
    assert len(caught.value.choices) == 2


# A tolerance is a step: 1 K = 1 °C = 1.8 °F of it (NIST SP 811, B.9, from memory).
@pytest.mark.parametrize(
    ("text", "low", "high", "unit"),
    [
        ("20 °C ± 2 K", 18, 22, "degC"),
        ("20 °C ± 3.6 °F", 18, 22, "degC"),
        ("68 °F ± 2 °C", 64.4, 71.6, "degF"),
        ("68 °F ± 2 K", 64.4, 71.6, "degF"),
        ("68 F +/- 4 F", 64, 72, "degF"),
        ("293 K ± 2 °C", 291, 295, "kelvin"),
        ("5 mL ± 1 drop", 4.95, 5.05, "mL"),
        ("5 mL ± 2 %", 4.9, 5.1, "mL"),
        ("80 % ± 2 %", 78, 82, "percent"),
        ("1.8 mS/cm ± 100 µS/cm", 1.7, 1.9, "mS/cm"),
        ("1 L ± 50 mL", 950, 1050, "mL"),
        ("18° to 22 °C", 18, 22, "degC"),
        ("64 °F to 22 °C", 17.7777778, 22, "degC"),
        ("500 mL to 1 L", 500, 1000, "mL"),
    ],
)
def test_both_ends_of_a_range_or_a_tolerance(text, low, high, unit):
    found = read_with_notes(text)
    assert found.low.m_as(unit) == pytest.approx(low, abs=1e-6)
    assert found.high.m_as(unit) == pytest.approx(high, abs=1e-6)
    assert found.quantity.m_as(unit) == pytest.approx((low + high) / 2, abs=1e-6)


def test_nothing_is_spelled_that_is_not_tried():
    """A spelling added to the table needs its size here, found outside the table."""
    parts = {"conductance": "/m", "charge amount": "/m³", "energy": "/m²/s", "power": "/m²"}
    tried = {(row["unit"], row["kind"], row["writer"]) for row in ROWS}
    for row in SPELLINGS:
        if row["kind"] == "temperature":
            continue
        kind = row["kind"] if row["kind"] in kinds() else None
        for word in filter(None, ";".join(row[name] for name in ("symbols", "doubtful", "words")).split(";")):
            unit = word + parts.get(row["kind"], "")
            for writer in row["system"].split(";"):
                assert any(one[0] == unit and one[2] == writer and kind in (None, one[1]) for one in tried), (
                    unit,
                    row["kind"],
                    writer,
                )


@pytest.mark.parametrize("kind", [*sorted(kinds()), None])
def test_no_kind_reads_what_belongs_to_none(kind):
    for text in ("1 foo", "1 Pa s", "1 furlong", "1 smoot", "1 T m", "1 cd", "1 lx", "1 rad", "1 bit"):
        with pytest.raises(Problem):
            read(text, kind)
