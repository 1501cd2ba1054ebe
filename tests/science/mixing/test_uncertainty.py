"""Uncertainty of a mixture: linear propagation against drawn mixtures, and by hand."""

import numpy as np
import pytest
from stilltank.science.mixing import demo_water, recipe_uncertainty, weigh_out
from stilltank.science.products import Salt, salt, usual_salts
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

FINE = {"resolution": Q(0.1, "g"), "accuracy": Q(0.2, "g"), "jug": Q(3, "percent")}


def drawn(recipe, nutrient, many=200_000, *, step=0.1, accuracy=0.2, jug=0.03, digits=None):
    """An independent working: mixtures drawn at random, each error evenly spread, from the shares of the salts."""
    rng = np.random.default_rng(7)
    even = lambda half: rng.uniform(-half, half, many)  # noqa: E731
    litres = recipe.volume.m_as("L") * (1 + even(jug))
    milligrams = 0.0
    for name, mass in recipe.masses.items():
        if mass.m_as("g") == 0 or salt(name).share(nutrient).magnitude == 0:
            continue
        grams = mass.m_as("g") + even(step / 2) + even(accuracy)
        share = salt(name).share(nutrient).m_as("percent")
        digit = (digits or {}).get(name, 0.0)
        milligrams = milligrams + 10 * grams * (share + rng.uniform(0, digit, many))
    from_water = recipe.water.elements.get(nutrient, Q(0, "mg/L")).m_as("mg/L")
    return from_water + milligrams / litres


@pytest.mark.parametrize("nutrient", ["N", "P", "K", "Ca", "Mg"])
def test_linear_propagation_against_drawn_mixtures(nutrient):
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"), demo_water("quillgate-tap"))
    spread = recipe_uncertainty(recipe, **FINE).spreads[nutrient]
    found = drawn(recipe, nutrient, digits={"calcium nitrate fertiliser": 0.1})
    assert spread.expected.m_as("mg/L") == pytest.approx(found.mean(), rel=2e-3)
    assert spread.standard.m_as("mg/L") == pytest.approx(
        found.std(), rel=0.02
    )  # linear, and 0.2 % of drawing
    inside = ((found > spread.low.m_as("mg/L")) & (found < spread.high.m_as("mg/L"))).mean()
    assert 0.94 < inside <= 1  # two standard deviations hold 95 % of a normal spread, more of a flat one


def test_by_hand():
    # 200 mg/L K in 10 L from KNO3: 5.172 g, each gram 38.67 mg/L. Scale: half a gram and a gram, evenly spread:
    # 38.67 x sqrt((0.5^2 + 1^2)/3) = 24.96; jug: 200 x 0.03/sqrt(3) = 3.464; together 25.2
    recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    spread = recipe_uncertainty(recipe, Q(1, "g"), Q(1, "g"), Q(3, "percent")).spreads["K"]
    assert spread.parts["scale"].m_as("mg/L") == pytest.approx(24.96, abs=0.01)
    assert spread.parts["jug"].m_as("mg/L") == pytest.approx(3.464, abs=0.001)
    assert spread.parts["label"].m_as("mg/L") == 0
    assert spread.standard.m_as("mg/L") == pytest.approx(25.20, abs=0.01)
    assert spread.largest == "scale"


def test_a_guaranteed_least_value_means_a_little_more():
    # calcium nitrate, label 19.0 % Ca to a tenth: truly 19.0 to 19.1, so 19.05 on average, 0.26 % more
    recipe = weigh_out({"Ca": Q(100, "mg/L")}, ["calcium nitrate"], Q(100, "L"))
    least = recipe_uncertainty(recipe, Q(0.01, "g"), Q(0, "g"), Q(0, "percent")).spreads["Ca"]
    assert least.expected.m_as("mg/L") == pytest.approx(100 * 19.05 / 19.0, rel=1e-6)
    either = recipe_uncertainty(recipe, Q(0.01, "g"), Q(0, "g"), Q(0, "percent"), least_values=False).spreads[
        "Ca"
    ]
    assert either.expected.m_as("mg/L") == pytest.approx(100)
    assert either.parts["label"].m_as("mg/L") == pytest.approx(100 / 19 * 0.05 / np.sqrt(3), rel=1e-6)
    whole = recipe_uncertainty(
        recipe, jug=Q(0, "percent"), label_steps={"calcium nitrate": Q(1, "percent")}
    ).spreads["Ca"]
    assert whole.largest == "label"


def test_the_water_is_not_made_unsure_by_the_jug():
    hard = demo_water("quillgate-tap")
    recipe = weigh_out(
        {"Ca": Q(48.000001, "mg/L"), "K": Q(100, "mg/L")}, ["KNO3", "calcium nitrate"], Q(45, "L"), hard
    )
    assert recipe_uncertainty(recipe).spreads["Ca"].parts["jug"].m_as("mg/L") == pytest.approx(0, abs=1e-3)


def test_a_larger_batch_is_surer_until_the_jug_rules():
    small, large = (
        recipe_uncertainty(weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(litres, "L"))).spreads["K"]
        for litres in (10, 1000)
    )
    assert large.standard < 0.2 * small.standard
    assert (small.largest, large.largest) == ("scale", "jug")


def test_what_it_means_for_the_plant():
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"))
    words = recipe_uncertainty(recipe, **FINE).meaning
    assert "no plant will show it" in words["K"]
    assert "Weigh it for a concentrate" in words["Mo"]
    poor = weigh_out({"N": Q(200, "mg/L"), "Ca": Q(50, "mg/L")}, ["Ca(NO3)2.4H2O"], Q(1000, "L"))
    # by hand, c mg/L Ca with 0.699 c of N: least (0.699 c/200 - 1)^2 + (c/50 - 1)^2/4 at c = 75.7, N = 52.9 of 200
    assert "the mixture itself is -74 % from the target" in recipe_uncertainty(poor).meaning["N"]
    coarse = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    # 1 g of KNO3 in 10 L is 38.7 mg/L K; steps and an error of 1 g, both even: 38.7 sqrt(0.25 + 1)/sqrt(3) = 25.0;
    # with 3 % of the volume, 3.5, twice 25.2 mg/L is 50, a quarter of 200
    assert "between 150 and 250 (200 wanted), -25 to +25 %" in str(recipe_uncertainty(coarse))
    assert "it could matter. Most comes from the scale" in str(recipe_uncertainty(coarse))


def test_own_products_are_counted_by_their_label():
    mine = Salt.from_label("mine", {"K": Q(30, "percent"), "Cl": Q(27.2, "percent")})
    recipe = weigh_out({"K": Q(200, "mg/L")}, [mine], Q(100, "L"))
    assert recipe_uncertainty(recipe).spreads["K"].parts["label"].m_as("mg/L") > 0
    wider = recipe_uncertainty(recipe, label_steps={"mine": Q(1, "percent")}).spreads["K"].parts["label"]
    assert wider == 10 * recipe_uncertainty(recipe).spreads["K"].parts["label"]


@pytest.mark.parametrize(
    ("changes", "error", "words"),
    [
        ({"recipe": "leafy"}, Unreadable, "Recipe"),
        ({"resolution": 1}, UnitNeeded, "resolution"),
        ({"resolution": Q(-1, "g")}, OutOfRange, "−1 g"),
        ({"accuracy": {"KNO3": 1}}, UnitNeeded, "KNO3"),
        ({"accuracy": {"boric acid": Q(1, "g")}}, Unreadable, "holds no boric acid"),
        ({"jug": 3}, UnitNeeded, "jug"),
        ({"jug": Q(80, "percent")}, OutOfRange, "80"),
        ({"label_steps": {"KNO3": Q(40, "percent")}}, OutOfRange, "40"),
    ],
)
def test_wrong_errors_get_a_sentence(changes, error, words):
    usual = {"recipe": weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(10, "L"))}
    with pytest.raises(error, match=words):
        recipe_uncertainty(**{**usual, **changes})
