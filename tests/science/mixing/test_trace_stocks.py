"""One small bottle for iron and trace elements, that somebody would make."""

import re

import pytest
from stilltank.science.mixing import TraceStock, trace_stocks, weigh_out
from stilltank.science.products import usual_salts
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable


def tub(recipe="flowering", litres=36.0, salts=None):
    return weigh_out(recipe, salts or usual_salts(), Q(litres, "L"))


@pytest.mark.parametrize("recipe", ["leafy", "flowering"])
@pytest.mark.parametrize("litres", [20.0, 36.0, 45.0])
def test_one_bottle_of_a_size_that_somebody_would_make(recipe, litres):
    made = tub(recipe, litres)
    first, *others = trace_stocks(made)
    assert first.name == "iron and trace elements"
    assert {"iron DTPA", "boric acid", "sodium molybdate dihydrate", "copper sulfate pentahydrate"} < set(
        first.masses
    )
    assert all(stock.name == next(iter(stock.masses)) for stock in others)  # potassium sulfate stands alone
    assert 100 <= first.volume.m_as("mL") <= 500
    assert 5 <= first.dose.m_as("mL") <= 50
    assert not first.advice


def test_a_dose_holds_what_the_recipe_weighs():
    made = tub()
    for stock in trace_stocks(made):
        share = (stock.dose / stock.volume).m_as("dimensionless")
        for name, mass in stock.masses.items():
            assert (mass * share).m_as("g") == pytest.approx(made.masses[name].m_as("g"), rel=1e-12)


def test_by_hand():
    # 0.05 mg/L of molybdenum in 36 L: 1.8 mg, 39.66 % of the dihydrate (95.95/241.95): 4.54 mg. On a scale that shows
    # 0.01 g half a step is 10 % of 0.05 g, so at least 11.02 fillings; 250 mL at 20 mL are 12.5: 56.7 mg
    (stock,) = trace_stocks(tub())
    assert (stock.volume.m_as("mL"), stock.dose.m_as("mL"), stock.fillings) == (250, 20, 12.5)
    assert stock.masses["sodium molybdate dihydrate"].m_as("mg") == pytest.approx(56.7, rel=2e-3)
    assert stock.weighed("sodium molybdate dihydrate") == "0.06 g"
    # half a step is within a tenth of each mass
    assert min(mass.m_as("g") for mass in stock.masses.values()) >= 0.05


def test_a_kitchen_scale_is_told_to_buy_a_mix():
    (stock,) = trace_stocks(tub(), Q(1, "g"))
    assert "Buy a mix of trace elements with iron, or weigh on a pocket scale" in stock.advice
    assert "1100 fillings" in stock.advice  # 5 g over 4.54 mg
    assert not stock.weighable
    assert not re.search(r"\b0 g", str(stock))
    jar, *_ = trace_stocks(tub(litres=3.2))
    assert "use it by its label" in jar.advice


def test_iron_sulfate_and_phosphate_stand_alone():
    salts = [name for name in usual_salts() if name != "iron DTPA"] + ["iron sulfate"]
    names = [stock.name for stock in trace_stocks(tub(litres=3.2, salts=salts))]
    assert {"iron sulfate heptahydrate", "monopotassium phosphate"} < set(names)
    assert names[0] == "trace elements"


def test_nothing_light_makes_no_stock():
    assert trace_stocks(weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(36, "L"))) == ()


def test_wrong_input():
    with pytest.raises(Unreadable, match="Recipe"):
        trace_stocks("flowering")
    with pytest.raises(UnitNeeded):
        trace_stocks(tub(), 0.01)
    with pytest.raises(OutOfRange):
        trace_stocks(tub(), Q(0, "g"))
    with pytest.raises(Unreadable, match="holds no gold"):
        trace_stocks(tub(), names=["gold"])
    stock = TraceStock("iron", {}, Q(250, "mL"), Q(10, "mL"), Q(180, "day"), Q(0.01, "g"))
    with pytest.raises(Unreadable):
        stock.weighed("iron DTPA")
