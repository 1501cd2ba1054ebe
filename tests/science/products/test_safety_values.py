"""Values of data/ that could harm somebody, each against another form of the same fact.

A handbook gives an acid's density, and in another column its molarity; a solubility as grams per kilogram of water,
and as per cent of the saturated solution. One wrong digit in our tables breaks the tie between the two.
"""

import numpy as np
import pytest
from stilltank.science.products import acid, salt
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Q, read

GRAMS = {"nitric acid": 63.013, "phosphoric acid": 97.995, "sulfuric acid": 98.079, "hydrochloric acid": 36.461,
         "citric acid": 192.12, "potassium hydroxide": 56.106}  # g/mol, CIAAW 2021  # fmt: skip


def densities(name):
    """Per cent of the mass and g/mL, water first (0.9982 at 20 °C, IAPWS-95)."""
    rows = {
        float(prop[:-2]): entry.value
        for prop, entry in load("acid-density").of(name).items()
        if prop.endswith(" %")
    }
    return np.array([[0, 0.9982], *sorted(rows.items())]).T


@pytest.mark.parametrize(
    ("name", "molarities"),
    # CRC Handbook, Concentrative properties of aqueous solutions, 20 °C: mol/L at a per cent of the mass (from memory)
    [
        ("nitric acid", {10: 1.673, 20: 3.539, 30: 5.618, 40: 7.913}),
        ("phosphoric acid", {10: 1.075, 20: 2.273, 30: 3.614, 40: 5.117}),
        ("sulfuric acid", {10: 1.087, 20: 2.324, 30: 3.729, 40: 5.313, 70: 11.494}),
        ("hydrochloric acid", {10: 2.873, 20: 6.02, 30: 9.45}),
        ("citric acid", {10: 0.541, 20: 1.130, 30: 1.772}),
        ("potassium hydroxide", {10: 1.943, 20: 4.23, 30: 6.89, 40: 9.96, 50: 13.48}),
    ],
)
def test_the_density_of_an_acid_gives_the_molarity_of_the_handbook(name, molarities):
    for percent, molarity in molarities.items():
        # by hand: 100 g of 40 % nitric acid hold 40 g, 0.6348 mol, in 80.22 mL: 7.913 mol/L
        density = number("acid-density", name, f"{percent:g} %", "g/mL")
        assert 10 * percent * density / GRAMS[name] == pytest.approx(molarity, rel=1.5e-3), (
            percent
        )  # its rounding


@pytest.mark.parametrize("name", GRAMS)
def test_the_density_of_an_acid_follows_a_smooth_curve(name):
    """Nature makes no steps: a row with a wrong digit stands off the curve through its four neighbours."""
    strengths, values = densities(name)
    assert np.all(np.diff(values) > 0)
    for place in range(1, len(values) - 1):
        first = int(np.clip(place - 2, 0, len(values) - 5))
        near = np.setdiff1d(np.arange(first, first + 5), [place])
        curve = np.polyfit(strengths[near] - strengths[place], values[near], 3)
        # a cubic over 30 % of strength misses by up to 0.0015 g/mL; in the wide gap of sulfuric acid, by 0.006
        wide = name == "sulfuric acid" and strengths[place] == 70
        assert values[place] == pytest.approx(curve[-1], abs=0.006 if wide else 0.0016), strengths[place]


def test_a_bottle_holds_what_its_name_says():
    for table in ("acids", "bases"):
        for name in load(table).items_named:
            words = name.split()
            if words[-1] in ("%", "mol/L"):
                prop, unit = ("strength", "percent") if words[-1] == "%" else ("concentration", "mol/L")
                assert number(table, name, prop, unit) == float(words[-2])
            elif (name, "strength") in load(table):  # a dry solid is nothing but itself
                assert number(table, name, "strength", "percent") == 100
    for name in load("acids").items_named:
        words = name.split()
        if words[-1] == "%":
            there = np.interp(float(words[-2]), *densities(" ".join(words[:-2])))
            # the worst is 61.4 % nitric acid, between rows 12 % apart, whose curve lies 0.005 above the straight line
            assert number("acids", name, "density", "g/mL") == pytest.approx(there, abs=0.006)


@pytest.mark.parametrize(
    ("name", "molarity"),
    # by hand, 10 x per cent x g/mL / (g/mol): 10 x 61.4 x 1.377 / 63.01 and so on
    [("nitric acid 61.4 %", 13.42), ("nitric acid 38 %", 7.44), ("phosphoric acid 75 %", 12.05),
     ("phosphoric acid 85 %", 14.62), ("sulfuric acid 35 %", 4.496), ("sulfuric acid 93 %", 17.33),
     ("hydrochloric acid 32 %", 10.17), ("citric acid 10 %", 0.5414), ("citric acid 5 %", 0.2652)],
)  # fmt: skip
def test_how_strong_the_bottles_on_the_shelf_are(name, molarity):
    assert acid(name).concentration.m_as("mol/L") == pytest.approx(molarity, rel=1e-3)


@pytest.mark.parametrize(
    ("name", "percent"),
    # CRC Handbook, Aqueous solubility of inorganic compounds at various temperatures, 20 °C: per cent of the mass of
    # the saturated solution, counted as dry salt (from memory)
    [("calcium nitrate tetrahydrate", 56.7), ("potassium nitrate", 24.0), ("monopotassium phosphate", 18.4),
     ("potassium sulfate", 10.0), ("potassium chloride", 25.5), ("magnesium sulfate heptahydrate", 25.1),
     ("magnesium nitrate hexahydrate", 40.8), ("ammonium nitrate", 65.5), ("monoammonium phosphate", 27.2),
     ("ammonium sulfate", 42.9), ("calcium chloride dihydrate", 42.7), ("sodium chloride", 26.4),
     ("sodium hydrogen carbonate", 8.75), ("potassium hydrogen carbonate", 25.0), ("boric acid", 4.5),
     ("manganese sulfate monohydrate", 38.6), ("manganese chloride tetrahydrate", 42.5),
     ("zinc sulfate heptahydrate", 35.0), ("copper sulfate pentahydrate", 16.7), ("sodium molybdate dihydrate", 39.5),
     ("iron sulfate heptahydrate", 20.8), ("magnesium chloride hexahydrate", 35.3),
     ("copper chloride dihydrate", 42.2)],
)  # fmt: skip
def test_what_a_litre_dissolves_gives_the_per_cent_of_the_handbook(name, percent):
    # by hand: 316 g of potassium nitrate in 1000 g of water is 316 of 1316 g, 24.0 %. Handbooks differ by 0.2 %.
    dry = {"calcium nitrate tetrahydrate": 164.09, "magnesium nitrate hexahydrate": 148.31, "ammonium nitrate": 80.04,
           "ammonium sulfate": 132.14, "copper sulfate pentahydrate": 159.60}  # g/mol, dry  # fmt: skip
    value = load("salts")[name, "dry solubility"].quantity
    grams = value.m_as("mol/kg") * dry[name] if name in dry else value.m_as("g/kg")
    assert 100 * grams / (1000 + grams) == pytest.approx(percent, abs=0.25)


def test_two_forms_of_one_salt_dissolve_alike():
    for one, other in (
        ("magnesium sulfate heptahydrate", "magnesium sulfate monohydrate"),
        ("zinc sulfate heptahydrate", "zinc sulfate monohydrate"),
        ("calcium nitrate tetrahydrate", "calcium nitrate fertiliser"),
        ("calcium nitrate tetrahydrate", "calcium nitrate double salt"),
    ):
        table = load("salts")
        assert table[one, "dry solubility"].quantity == table[other, "dry solubility"].quantity


@pytest.mark.parametrize(
    ("name", "warned"),
    # the hazard classes that a safety data sheet gives under the United Nations' system of labelling (from memory)
    [("calcium nitrate fertiliser", "eyes"), ("calcium nitrate tetrahydrate", "eyes"),
     ("potassium nitrate", "oxidiser"), ("magnesium nitrate hexahydrate", "oxidiser"), ("ammonium nitrate", "oxidiser"),
     ("calcium chloride dihydrate", "eyes"), ("boric acid", "fertility"),
     ("manganese sulfate monohydrate", "swallowed"),
     ("zinc sulfate heptahydrate", "eyes"), ("zinc sulfate monohydrate", "eyes"),
     ("copper sulfate pentahydrate", "swallowed"), ("copper chloride dihydrate", "swallowed"),
     ("iron sulfate heptahydrate", "swallowed")],
)  # fmt: skip
def test_a_salt_that_harms_says_so(name, warned):
    assert warned in salt(name).hazard


@pytest.mark.parametrize(
    ("table", "item", "prop", "unit", "worked"),
    [
        (
            "oxygen",
            "critical",
            "harmful",
            "mg/L",
            0.01 * 32.0,
        ),  # lettuce harmed at 0.01 mmol/L (YOSHIDA1997), 32 g/mol
        (
            "dosing",
            "ladder",
            "strength for learners",
            "mol/L",
            0.5,
        ),  # nitric, sulfuric acid, CLEAPSS (from memory)
        (
            "dosing",
            "ladder",
            "strength of a base for learners",
            "mol/L",
            0.1,
        ),  # our rule: a fifth of that of acid
        (
            "mixing",
            "label",
            "highest dose",
            "g/L",
            2 * 5.0,
        ),  # people use up to 2 (common practice); five times is a slip
        ("lifting", "load", "constant", "kg", 23),  # NIOSH 94-110: 51 lb
        ("lifting", "hold", "nearest", "cm", 25),  # NIOSH 94-110: 10 in
        ("lifting", "hold", "farthest", "cm", 63),  # NIOSH 94-110: 25 in
        ("lifting", "travel", "shortest", "cm", 25),
        ("lifting", "travel", "longest", "cm", 175),  # NIOSH 94-110: 70 in
        ("lifting", "height", "highest", "cm", 175),
        ("lifting", "turn", "largest", "degree", 135),
    ],
)
def test_limits_that_protect_people(table, item, prop, unit, worked):
    assert number(table, item, prop, unit) == pytest.approx(worked)


@pytest.mark.parametrize(
    ("kind", "real", "slip"),
    # what exists must be taken, and a slip of the unit or a digit refused
    [
        ("pH", "14", "14.5"), ("pH", "0", "-0.5"),  # lye and strong acid
        ("temperature", "100 °C", "110 °C"), ("temperature", "-89 °C", "-95 °C"),  # boiling; Vostok 1983 (WMO): -89.2
        ("altitude", "8849 m", "9500 m"), ("altitude", "-430 m", "-500 m"),  # highest mountain, shore of the Dead Sea
        ("speed", "113 m/s", "135 m/s"),  # highest gust measured, Barrow Island 1996 (WMO): 113.2 m/s
        ("light", "2700 umol/m2/s", "3200 umol/m2/s"),  # sun above the air: 1361 W/m2, 2.0 umol/J: 2700
        ("radiation", "45 MJ/m2/d", "65 MJ/m2/d"),  # above the air in midsummer, FAO-56 table 2.6: 45
        ("share", "100 %", "110 %"),
        ("alkalinity", "17000 mg/L CaCO3", "21000 mg/L CaCO3"),  # a soda lake, far from any tank
        ("conductivity", "250 mS/cm", "320 mS/cm"),  # saturated salt, 25 °C
        ("dose", "1000 mL/L", "1100 mL/L"),  # nothing but the liquid
        ("time", "100 years", "110 years"),
        ("mass", "90 t", "110 t"), ("volume", "9000 m3", "11000 m3"), ("length", "90 km", "110 km"),
        ("count", "900000", "1100000"), ("pressure", "9900 kPa", "11000 kPa"), ("flow", "900 m3/d", "1100 m3/d"),
    ],
)  # fmt: skip
def test_what_exists_is_taken_and_a_slip_is_not(kind, real, slip):
    assert read(real, kind) is not None
    with pytest.raises(OutOfRange):
        read(slip, kind)


@pytest.mark.parametrize(
    ("name", "parts"),
    # mol of each ion from a mol of the solid, by its formula; a wrong count is a wrong mass on the balance
    [("calcium nitrate double salt", "5 Ca+2, 1 NH4+, 11 NO3-"), ("calcium nitrate tetrahydrate", "1 Ca+2, 2 NO3-"),
     ("potassium sulfate", "2 K+, 1 SO4-2"), ("magnesium nitrate hexahydrate", "1 Mg+2, 2 NO3-"),
     ("ammonium sulfate", "2 NH4+, 1 SO4-2"), ("sodium molybdate dihydrate", "2 Na+, 1 MoO4-2"),
     ("calcium chloride dihydrate", "1 Ca+2, 2 Cl-"), ("monopotassium phosphate", "1 K+, 1 H2PO4-")],
)  # fmt: skip
def test_the_ions_of_a_salt_are_those_of_its_formula(name, parts):
    assert load("salts")[name, "ions"].value == parts


def test_the_scales_of_ppm_and_the_spoons():
    # common practice: so many ppm to the mS/cm, that is 1/500 mS/cm to the ppm; spoons of 5 and 15 mL, a cup of 250 mL
    for scale in (500, 640, 700):
        assert Q(1, "mS/cm").m * number("mixing", f"ppm scale {scale}", "per mS/cm", "cm/mS") == scale
        assert number("units", f"ppm{scale}", "size", "mS/cm") == pytest.approx(1 / scale)
    sizes = {
        name: number("units", f"metric {name}", "size", "mL") for name in ("cup", "tablespoon", "teaspoon")
    }
    assert sizes == {"cup": 250, "tablespoon": 15, "teaspoon": 5}


@pytest.mark.parametrize("grade", ["low nitrogen", "high potassium"])
def test_the_trace_elements_of_a_bag_at_the_dose_of_the_trade(grade):
    # 36 g in 15 US gallons, 56.8 L (common practice), are 634 mg/L. Labels of such bags name 0.3 % Fe, 0.05 % Mn and B,
    # 0.02 % Zn, 0.01 % Cu and Mo (from memory): 634 x 0.003 = 1.90 mg/L of iron, and so on
    bag = salt(f"multi-nutrient fertiliser, {grade}")
    found = {element: 634 * bag.share(element).m_as("") for element in ("Fe", "Mn", "B", "Zn", "Cu", "Mo")}
    by_hand = {"Fe": 1.90, "Mn": 0.317, "B": 0.317, "Zn": 0.127, "Cu": 0.0634, "Mo": 0.0634}
    assert found == pytest.approx(by_hand, rel=2e-3)
