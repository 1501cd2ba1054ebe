"""What acids and bases have in common: amounts as a jug or balance shows them, and wrong calls."""

import pytest
from stilltank.science.products import (
    Acid,
    Salt,
    acid,
    base,
    bottle_density,
    caution_for,
    chelated_iron,
    dilution_hazard,
    figures,
    ions_of_nutrient,
    known,
    learners_limit,
    salt,
    soluble_mass,
)
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

NITRIC = acid("nitric acid 61.4 %")


def test_an_amount_is_measured_by_volume_or_weighed():
    # 10 mmol of citric acid of 192.12 g/mol, by hand 1.92 g; 5 mmol of 0.5 mol/L, by hand 10 mL
    assert acid("citric acid").measured(Q(10, "mmol")) == "1.92 g"
    assert acid("nitric acid 0.5 mol/L").measured(Q(5, "mmol")) == "10 mL"


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: NITRIC.measured(Q([1, 2], "mmol")), Problem, "one value for `amount`"),
        (lambda: NITRIC.volume(5), UnitNeeded, "an amount of substance"),
        (lambda: acid("nitric acid", strength=60), UnitNeeded, "strength"),
        (lambda: base(None), Unreadable, "A base has a name"),
        (lambda: bottle_density("nitric acid", Q([50, 60], "percent")), Problem, "one value for `strength`"),
        (lambda: caution_for("spicy"), Unreadable, "takes for `hazard`"),
        (lambda: chelated_iron("XYZ", Q(6, "percent")), Unreadable, '"EDTA", "DTPA" or "EDDHA"'),
        (lambda: dilution_hazard("acid", 0.5, 0.1), Unreadable, "acid or base for `of`"),
        (lambda: dilution_hazard(NITRIC, [0.5, 1], 0.1), Problem, "one value for `concentration`"),
        (lambda: learners_limit(None), Unreadable, "acid or base"),
        (lambda: figures([]), Problem, "one value for `number`"),
        (lambda: known("acids", "nitric acid"), Unreadable, "needs Acid or Base"),
        (lambda: ions_of_nutrient(5), Unreadable, "A nutrient is a text"),
        (lambda: Salt.from_label(5, {"K": Q(5, "percent")}), Unreadable, "`name`"),
        (lambda: Salt.from_label("a", {"K": Q([5, 6], "percent")}), Problem, "one value for `K`"),
        (lambda: salt(5), Unreadable, "named by a text"),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()


def test_a_volume_is_refused_in_the_units_that_were_given():
    with pytest.raises(OutOfRange, match="−2 US gal"):
        soluble_mass("KNO3", Q(-2, "gallon"))


def test_only_a_text_is_known():
    assert known(Acid, "phosphoric acid")
    assert not known(Acid, 5)
