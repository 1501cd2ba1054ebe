"""A refusal speaks in the units that the person gave, and an acid product gets a caution."""

import pytest
from stilltank.science.mixing import (
    after_rain,
    blend,
    calibration_standard,
    conductivity_from_ppm,
    demo_water,
    dose,
    expected_conductivity,
    gypsum_by_strength,
    mix,
    readings_by_strength,
    recipe_solution,
    replace_part,
    round_to_scale,
    specific_conductance,
    stocks,
    weigh_out,
)
from stilltank.science.products import Salt, acid_as_nutrient_source
from stilltank.units import OutOfRange, Problem, Q, Unreadable

TAP = demo_water("quillgate-tap")
HOAGLAND = recipe_solution("Hoagland 1", Q(10, "gallon"))
RECIPE = weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(10, "L"))


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: mix({"KNO3": Q(1, "ounce")}, Q(-1, "gallon")), "−1 US gal"),
        (lambda: mix({"KNO3": Q(1, "g")}, Q(-1, "L")), "−1 L"),
        (lambda: mix({"KNO3": Q(-1, "ounce")}, Q(1, "gallon")), "−1 oz of potassium nitrate"),
        (lambda: blend(HOAGLAND, Q(-1, "gallon"), HOAGLAND, Q(2, "gallon")), "−1 US gal cannot be poured"),
        (lambda: blend(HOAGLAND, Q(-1, "L"), HOAGLAND, Q(2, "L")), "−1 L cannot be poured"),
        (
            lambda: replace_part(HOAGLAND, Q(12, "gallon"), HOAGLAND),
            "12 US gal cannot be taken out of 10 US gal",
        ),
        (lambda: replace_part(HOAGLAND, Q(40, "L"), HOAGLAND), "40 L cannot be taken out of 37.9 L"),
        (lambda: replace_part(HOAGLAND, Q(-1, "L"), HOAGLAND), "−1 L cannot be taken out"),
        (lambda: after_rain(HOAGLAND, Q(2, "gallon"), Q(3, "gallon")), "3 US gal ran off and only 2 US gal"),
        (lambda: after_rain(HOAGLAND, Q(2, "L"), Q(3, "L")), "3 L ran off and only 2 L"),
        (lambda: specific_conductance(Q(2, "mS/cm"), Q(120, "degF")), "32 °F and 104 °F here; 120 °F"),
        (lambda: specific_conductance(Q(2, "mS/cm"), Q(50, "degC")), "0 °C and 40 °C here; 50 °C"),
        (lambda: calibration_standard(Q(100, "degF")), "from 32 °F to 95 °F; 100 °F"),
        (lambda: dose(stocks(RECIPE, 100, Q(1, "L")).calcium, Q(-2, "gallon")), "−2 US gal cannot be"),
        (lambda: round_to_scale(RECIPE, Q(50, "pound")), "50 lb is none"),
    ],
)
def test_a_refusal_speaks_in_the_units_that_were_given(call, says):
    with pytest.raises(OutOfRange, match=says):
        call()


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: readings_by_strength(HOAGLAND, [0.5, 1]), Problem, "one value for `strength`"),
        (lambda: readings_by_strength("Hoagland 1", 0.5), Unreadable, "needs a Solution"),
        (lambda: gypsum_by_strength(HOAGLAND, 100, 3), OutOfRange, "bottles are 1 or 2"),
        (lambda: gypsum_by_strength(HOAGLAND, "many"), Unreadable, "plain number"),
        (lambda: expected_conductivity({"K": Q(1, "mg/L")}), Unreadable, "a Solution or a Water"),
        (lambda: conductivity_from_ppm([]), Unreadable, "Give the scale"),
        (lambda: conductivity_from_ppm(800, [500]), Unreadable, "is none of them"),
        (lambda: recipe_solution(5), Unreadable, "The recipes are: .*Steiner"),
        (lambda: expected_conductivity(HOAGLAND).holds(2.1), Problem, "a conductivity"),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()


def test_an_acid_product_gets_a_caution_where_it_is_more_than_the_water_takes_up():
    phosphoric = acid_as_nutrient_source("phosphoric acid 75 %")
    wanted = {"P": Q(31, "mg/L")}  # 1 mmol/L of P brings 1 mmol/L of H+; by hand
    pure = weigh_out(wanted, [phosphoric], Q(10, "L"))
    assert any("more acid than the alkalinity of pure water takes up" in note for note in pure.notes)
    assert "Caution" in str(pure)
    # 130 mg/L as CaCO3 take up 2.6 mmol/L, by hand: 130 / 50.04
    assert not any("acid than" in note for note in weigh_out(wanted, [phosphoric], Q(10, "L"), TAP).notes)
    more = weigh_out({"P": Q(3 * 31, "mg/L")}, [phosphoric], Q(10, "L"), TAP)
    assert any("more acid" in note for note in more.notes)


def test_a_phosphate_that_is_acid_by_its_label_gets_the_caution_too():
    # the grade 17-44-0 of urea phosphate, common practice; nothing but H+ balances its phosphate
    mine = Salt.from_label("acid phosphate", {"urea-N": Q(17, "percent"), "P2O5": Q(44, "percent")})
    recipe = weigh_out({"P": Q(31, "mg/L")}, [mine], Q(10, "L"))
    assert any(note.startswith("Caution: acid phosphate is more acid") for note in recipe.notes)


def test_a_salt_that_is_no_acid_gets_none():
    assert not any("acid" in note for note in weigh_out({"P": Q(31, "mg/L")}, ["KH2PO4"], Q(10, "L")).notes)
