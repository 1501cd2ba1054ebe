"""Grades, acids and chelates beside the table of salts; two analyses of calcium nitrate; the rule of the trade."""

import re

import pytest
from stilltank.science.chemistry import from_label, ions
from stilltank.science.mixing import Water, demo_prices, mix, two_part_rule
from stilltank.science.ph import ph_after, ph_of
from stilltank.science.products import (
    acid,
    acid_as_nutrient_source,
    chelated_iron,
    label_and_formula,
    salt,
    salts,
    usual_salts,
)
from stilltank.tables import load
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable


def test_at_least_thirty_products_with_hazards_where_needed():
    assert len(salts()) >= 30
    for name in (
        "multi-nutrient fertiliser, low nitrogen",
        "copper chloride dihydrate",
        "zinc sulfate monohydrate",
    ):
        assert salt(name).hazard


@pytest.mark.parametrize("name", [n for n in salts() if n.startswith("multi-nutrient")])
def test_a_grade_holds_what_its_three_numbers_say(name):
    label = re.search(r"label (\d+)-(\d+)-(\d+)", load("salts")[name, "NO3-N share"].note)
    n, p2o5, k2o = (float(part) for part in label.groups())
    by_grade = from_label(n=Q(n, "percent"), p2o5=Q(p2o5, "percent"), k2o=Q(k2o, "percent"))
    for element, share in by_grade.items():
        assert salt(name).share(element).m_as("percent") == pytest.approx(share.m_as("percent"), abs=0.005)
    assert {"NH4+", "Ca+2"}.isdisjoint(salt(name).release)


@pytest.mark.parametrize(
    ("grade", "name", "element"),
    # pure salts go by grade names too: 13-0-46, 0-52-34, 0-0-50, 12-61-0, 21-0-0, 11-0-0; stoichiometry, rounded
    [("potassium nitrate 13-0-46", "KNO3", {"N": 13.9, "K": 38.2}),
     ("monopotassium phosphate 0-52-34", "KH2PO4", {"P": 22.7, "K": 28.2}),
     ("potassium sulfate 0-0-50", "K2SO4", {"K": 41.5}),
     ("monoammonium phosphate 12-61-0", "NH4H2PO4", {"N": 12, "P": 26.6}),
     ("ammonium sulfate 21-0-0", "(NH4)2SO4", {"N": 21}), ("magnesium nitrate 11-0-0", "Mg(NO3)2.6H2O", {"N": 11})],
)  # fmt: skip
def test_grade_names_of_pure_salts(grade, name, element):
    assert salt(grade) is salt(name)
    for symbol, percent in element.items():  # a label states a rounded-down least value
        assert salt(grade).share(symbol).m_as("percent") == pytest.approx(percent, rel=0.09)


def test_label_and_formula_of_calcium_nitrate():
    found = label_and_formula()
    # label 19.0, 14.4, 1.1 %; stoichiometry of 5Ca(NO3)2.NH4NO3.10H2O 18.544, 14.258, 1.296 %
    assert found["Ca"].relative.m_as("percent") == pytest.approx(100 * (19.0 / 18.544 - 1), abs=0.02)
    assert found["NO3-N"].relative.m_as("percent") == pytest.approx(100 * (14.4 / 14.258 - 1), abs=0.05)
    assert found["NH4-N"].relative.m_as("percent") == pytest.approx(100 * (1.1 / 1.296 - 1), abs=0.1)


def test_an_acid_brings_its_nutrient_and_its_hydrogen():
    nitric = acid_as_nutrient_source("nitric acid 61.4 %")
    # 61.4 % of 14.007/63.013 = 13.65 % N
    assert nitric.share("N").m_as("percent") == pytest.approx(13.65, abs=0.01)
    assert nitric.release["H+"] == pytest.approx(nitric.release["NO3-"])
    sulfuric = acid_as_nutrient_source("sulfuric acid 93 %")
    assert sulfuric.release["H+"] == pytest.approx(2 * sulfuric.release["SO4-2"])
    assert "goggles" in str(nitric)
    for each in (
        nitric,
        sulfuric,
        acid_as_nutrient_source("phosphoric acid 85 %"),
        acid_as_nutrient_source("hydrochloric acid 32 %"),
    ):
        assert sum(n * ions()[key].charge for key, n in each.release.items()) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("name", ["nitric acid 38 %", "phosphoric acid 75 %", "sulfuric acid 35 %"])
def test_an_acid_weighed_in_gives_the_ph_of_the_acid_dosed(name):
    tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(20, "degC"))
    bottle, amount = acid(name), Q(0.8, "mmol/L")
    weighed = mix({acid_as_nutrient_source(name): bottle.mass(amount * Q(1, "L"))}, Q(1, "L"), tap)
    assert ph_of(weighed) == pytest.approx(ph_after(tap, bottle, amount), abs=1e-3)


@pytest.mark.parametrize(
    ("name", "words"),
    [("citric acid", "no nutrient"), ("nitric acid 1 mol/L", "mol/L"), ("nitric acid", "how strong")],
)
def test_acids_that_cannot_be_weighed_for_nutrients_say_why(name, words):
    with pytest.raises(Unreadable, match=words):
        acid_as_nutrient_source(name)


def test_chelates_by_iron_share():
    six = chelated_iron("EDDHA", Q(6, "percent"))
    assert six.release["FeEDDHA-"] == pytest.approx(60 / 55.845, rel=1e-4)
    assert six.share("Na").m_as("percent") == pytest.approx(
        salt("iron EDDHA 6 %").share("Na").magnitude, abs=0.01
    )
    pure = chelated_iron("EDTA", Q(13.262, "percent"))  # the trihydrate, by stoichiometry
    assert pure.release["FeEDTA-"] == pytest.approx(salt("iron EDTA").release["FeEDTA-"], rel=1e-3)


@pytest.mark.parametrize(
    ("chelate", "iron", "error", "words"),
    [("XYZ", Q(6, "percent"), Unreadable, "EDTA"), ("DTPA", 6, UnitNeeded, "iron"),
     ("DTPA", Q(20, "percent"), OutOfRange, "at most"), ("EDTA", Q(0, "percent"), OutOfRange, "0.1")],
)  # fmt: skip
def test_wrong_chelates_get_a_sentence(chelate, iron, error, words):
    with pytest.raises(error, match=words):
        chelated_iron(chelate, iron)


def test_demo_prices_are_invented_and_cover_the_usual_shelf():
    prices, currency = demo_prices()
    assert set(usual_salts()) <= set(prices)
    assert set(prices) <= set(salts())
    assert currency == "coins"
    assert {row.kind for row in load("demo/prices").values()} == {"invented for the demo"}


def test_both_ways_of_the_trade_agree_within_one_percent():
    # by hand: 453.592 g/gal x 20 mL/gal x 15 gal / 3785.41 mL/gal = 35.948 g beside 36 g
    found = two_part_rule()
    assert found.bottles["calcium nitrate fertiliser"].m_as("g") == pytest.approx(35.948, abs=0.001)
    assert all(abs(each.m_as("percent")) < 1 for each in found.apart.values())
    for element, value in found.by_weight.elements.items():
        assert found.by_bottles.elements[element].m_as("mg/L") == pytest.approx(value.m_as("mg/L"), rel=0.01)
    assert "15 US gallons" in str(found)
