"""Reading water reports: what is understood, what is asked back, what is kept."""

import pytest
from stilltank.science.mixing import read_water
from stilltank.units import OutOfRange, Problem, Unreadable


@pytest.fixture
def report(tmp_path):
    def write(text, name="water.csv"):
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return write


def lines(*rows, mark=","):
    return "\n".join([mark.join(("item", "value", "unit")), *rows]) + "\n"


def test_the_same_water_from_csv_and_toml(report):
    rows = lines(
        "calcium,48,mg/L",
        "alkalinity,130,mg/L as CaCO3",
        "pH,7.6,",
        "nitrate,6,mg/L as NO3",
        "temperature,59,°F",
    )
    toml = """
alkalinity = "130 mg/L as CaCO3"
pH = 7.6
temperature = "15 °C"
[ions]
calcium = "48 mg/L"
nitrate = "6 mg/L as NO3"
"""
    one, two = read_water(report(rows)), read_water(report(toml, "water.toml"))
    assert dict(one.ions) == dict(two.ions)
    assert one.ph == two.ph == 7.6
    assert one.temperature.m_as("degC") == pytest.approx(two.temperature.m_as("degC"))


@pytest.mark.parametrize(
    ("row", "ion", "mmol"),
    [
        ("calcium,40.078,mg/L", "Ca+2", 1.0),
        ("Ca,40078,µg/L", "Ca+2", 1.0),
        ("Ca+2,1,mmol/L", "Ca+2", 1.0),
        ("calcium,2,meq/L", "Ca+2", 1.0),
        ("calcium,100.086,mg/L as CaCO3", "Ca+2", 1.0),
        ("calcium,5.608,°dH", "Ca+2", 1.0),  # 1 °dH is 10 mg/L CaO
        ("calcium,10.009,°fH", "Ca+2", 1.0),  # 1 °fH is 10 mg/L CaCO3
        ("nitrate,62.004,mg/L as NO3", "NO3-", 1.0),
        ("nitrate,14.007,mg/L as N", "NO3-", 1.0),
        ("NO3-N,14.007,mg/L", "NO3-", 1.0),
        ("NO3,62.004,mg/L", "NO3-", 1.0),
        ("nitrate,1,mmol/L", "NO3-", 1.0),
        ("ammonium,14.007,mg/L as N", "NH4+", 1.0),
        ("ammonia,17.031,mg/L as NH3", "NH4+", 1.0),
        ("ammonia,14.007,mg/L NH3-N", "NH4+", 1.0),
        ("sulfate,96.06,mg/L", "SO4-2", 1.0),
        ("sulphate,96.06,mg/L", "SO4-2", 1.0),
        ("sulfur,32.06,mg/L", "SO4-2", 1.0),
        ("phosphate,94.97,mg/L as PO4", "H2PO4-", 1.0),
        ("phosphate,30.974,mg/L as P", "H2PO4-", 1.0),
        ("phosphate,70.97,mg/L as P2O5", "H2PO4-", 1.0),
        ("boron,10810,µg/L", "B(OH)3", 1.0),
        ("bicarbonate,61.017,mg/L", "HCO3-", 1.0),
        ("potassium,47.1,mg/L as K2O", "K+", 1.0),
    ],
)
def test_units_and_bases(report, row, ion, mmol):
    # 0.02 %: abridged atomic weights and the four digits given
    assert read_water(report(lines(row))).ions[ion].m_as("mmol/L") == pytest.approx(mmol, rel=3e-4)


@pytest.mark.parametrize(
    ("row", "stated"),
    [
        ("alkalinity,130,mg/L as CaCO3", 130),
        ("total alkalinity,158.5,mg/L as HCO3", 130),
        ("alkalinity,2.598,mmol/L as HCO3", 130),
        ("acid capacity,2.598,meq/L", 130),
        ("carbonate hardness,7.284,°dH", 130),
        ("KH,7.284,dH", 130),
        ("alkalinity,7.594,gpg", 130),
    ],
)
def test_alkalinity_in_every_usual_unit(report, row, stated):
    assert read_water(report(lines(row))).alkalinity.m_as("mg/L") == pytest.approx(stated, rel=5e-4)


@pytest.mark.parametrize(
    ("row", "error", "words"),
    [
        ("nitrate,20,mg/L", Unreadable, "two ways.*as NO3 or mg/L as N"),
        ("ammonium,1,mg/L", Unreadable, "two ways.*as NH4 or mg/L as N"),
        ("phosphate,1,mg/L", Unreadable, "two ways.*as P"),
        ("alkalinity,130,mg/L", Unreadable, "CaCO3.*HCO3"),
        ("alkalinity,2.6,mmol/L", Unreadable, "CaCO3.*HCO3"),
        ("alkalinity,130,", Unreadable, "no unit"),
        ("alkalinity,<20,mg/L as CaCO3", Unreadable, "limit"),
        ("calcium,48,", Unreadable, "no unit"),
        ("calcium,48,ppm", Unreadable, "mean 48 milligrams"),
        ("calcium,48,kg", Unreadable, "is a mass"),
        ("calcium,plenty,mg/L", Unreadable, "not something we can read"),
        ("calcium,-48,mg/L", OutOfRange, "less than nothing"),
        ("calcium,48,g/L", OutOfRange, "sea water"),
        ("calcium,nan,mg/L", Unreadable, "not something we can read"),
        ('calcium,"1,234",mg/L', Unreadable, "1234 mg/L or 1.234 mg/L"),
        ("calcium,7,6,mg/L", Unreadable, "semicolons"),
        ("calcium,48,mg/L as NO3", Unreadable, "cannot be stated as NO3"),
        ("calcium,48,mg/L as rubbish", Unreadable, "not something we can read"),
        ("boron,1,meq/L", Unreadable, "no charge"),
        ("pH,76,", OutOfRange, "pH lies between"),
        ("pH,13,", OutOfRange, "pH of 13"),
        ("pH,7.6,mg/L", Unreadable, "Write a pH"),
        ("alkalinity,-5,mg/L as CaCO3", OutOfRange, "less than nothing"),
        ("alkalinity,9000,mg/L as CaCO3", OutOfRange, "cannot be right"),
        ("temperature,15,mg/L", Unreadable, "Write a temperature"),
        ("temperature,90,°C", OutOfRange, "90"),
        ("conductivity,350,mg/L", Unreadable, "Write a conductivity"),
        ("conductivity,-1,mS/cm", OutOfRange, "less than nothing"),
        (",48,mg/L", Unreadable, "should be"),
    ],
)
def test_wrong_line_gets_a_sentence_with_its_number(report, row, error, words):
    with pytest.raises(error, match=rf"water\.csv, line 3.*{words}"):
        read_water(report(lines("magnesium,7,mg/L", row)))


def test_wrong_toml_line_gets_its_number(report):
    text = '# report\nname = "x"\n[ions]\nmagnesium = "7 mg/L"\ncalcium = "-48 mg/L"\n'
    with pytest.raises(OutOfRange, match=r"water\.toml, line 5, calcium: .*less than nothing"):
        read_water(report(text, "water.toml"))


@pytest.mark.parametrize(
    ("text", "name", "words"),
    [
        ("", "water.csv", "no values"),
        ("item,value,unit\n", "water.csv", "no values"),
        ("what,how much\ncalcium,48\n", "water.csv", "first line must read"),
        ('calcium = "48 mg/L', "water.toml", "not proper TOML"),
        ("[metals]\nx = 1\n", "water.toml", "section"),
        ("calcium = [1, 2]\n", "water.toml", "line 1"),
        ("calcium = 48\n", "water.toml", "no unit"),
        ('calcium = "plenty"\n', "water.toml", "not something we can read"),
        ("calcium 48", "water.txt", r"\.csv or a \.toml"),
    ],
)
def test_wrong_file_gets_a_sentence(report, text, name, words):
    with pytest.raises(Unreadable, match=words):
        read_water(report(text, name))


def test_missing_file_gets_a_sentence(tmp_path):
    with pytest.raises(Problem, match="water report"):
        read_water(tmp_path / "none.csv")


def test_unknown_lines_are_kept_and_said(report):
    water = read_water(
        report(lines("silica,9,mg/L", "colour,clear,", "total hardness,12,°dH", "calcium,48,mg/L"))
    )
    assert dict(water.unknown) == {"silica": "9 mg/L", "colour": "clear", "total hardness": "12 °dH"}
    assert sum("nothing is computed with it" in note for note in water.notes) == 3


def test_below_detection_counts_as_zero_and_is_said(report):
    water = read_water(report(lines("ammonium,<0.05,mg/L as N", "sodium,n.d.,mg/L", "calcium,48,mg/L")))
    assert water.ions["NH4+"].magnitude == 0
    assert any("below 0.05" in note for note in water.notes)
    assert "sodium" in water.unknown
    assert any(
        "about" in note or "approximate" in note for note in read_water(report(lines("Ca,~48,mg/L"))).notes
    )


def test_a_line_twice_is_refused_with_both_places(report):
    with pytest.raises(Unreadable, match=r"line 3: .*line 2"):
        read_water(report(lines("calcium,48,mg/L", "Ca,50,mg/L")))


def test_semicolons_decimal_commas_comments_and_byte_order_mark(report):
    water = read_water(
        report("\ufeff# from the laboratory\n" + lines("calcium;48,5;mg/L", "pH;7,6;", mark=";"))
    )
    assert water.ions["Ca+2"].m_as("mmol/L") * 40.078 == pytest.approx(48.5, rel=1e-3)
    assert water.ph == 7.6


def test_doubts_about_balance_conductivity_and_alkalinity(report):
    water = read_water(
        report(
            lines("calcium,200,mg/L", "alkalinity,50,mg/L as CaCO3", "bicarbonate,300,mg/L", "EC,0.2,mS/cm")
        )
    )
    text = " ".join(water.notes)
    assert "do not balance" in text
    assert "states 0.20 mS/cm" in text
    assert "alkalinity is used" in text
    assert "no alkalinity" in " ".join(read_water(report(lines("calcium,48,mg/L"))).notes)


def test_reading_changes_nothing(report):
    path = report(lines("calcium,48,mg/L"))
    before = path.read_bytes(), path.stat().st_mtime_ns
    read_water(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_carbonate_is_counted_once_beside_the_alkalinity(report):
    # 130.11 mg/L as CaCO3 are 130.11/50.043 = 2.600 meq/L; carbonate 6.001/60.009 = 0.100 mmol/L takes two charges
    # each, 0.200 of them; so 2.400 mmol/L are bicarbonate
    water = read_water(report(lines("alkalinity,130.11,mg/L as CaCO3", "carbonate,6.001,mg/L", "pH,9,")))
    assert water.ions["CO3-2"].m_as("mmol/L") == pytest.approx(0.1, rel=1e-3)
    assert water.ions["HCO3-"].m_as("mmol/L") == pytest.approx(2.4, rel=1e-3)
    assert water.charge_balance.anions.m_as("mmol/L") == pytest.approx(2.6, rel=1e-3)


def test_alkalinity_from_bicarbonate_and_carbonate(report):
    # 61.017 mg/L bicarbonate are 1.000 and 30.005 mg/L carbonate 0.500 mmol/L of two charges: 2.000 meq/L, 100.09 mg/L
    water = read_water(report(lines("bicarbonate,61.017,mg/L", "carbonate,30.005,mg/L", "pH,9,")))
    assert water.alkalinity.m_as("mg/L") == pytest.approx(100.09, rel=1e-3)
    assert water.ions["HCO3-"].m_as("mmol/L") == pytest.approx(1, rel=1e-3)
