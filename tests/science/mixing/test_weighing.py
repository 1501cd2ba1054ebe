"""Masses in the steps of a scale, and what the rounding costs."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.mixing import demo_water, mix, round_to_scale, weigh_out
from stilltank.science.products import salt, usual_salts
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

TRACES = ("boric acid", "manganese sulfate monohydrate", "zinc sulfate heptahydrate", "copper sulfate pentahydrate",
          "sodium molybdate dihydrate", "iron DTPA")  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.floats(0.001, 5), st.floats(1, 500), st.sampled_from(["leafy", "flowering", "Hoagland 2"]))
def test_no_error_is_larger_than_its_bound(step, litres, name):
    recipe = weigh_out(name, usual_salts(), Q(litres, "L"), demo_water("quillgate-tap"))
    found = round_to_scale(recipe, Q(step, "g"))
    for nutrient, error in found.errors.items():
        bound = found.bounds[nutrient].m_as("mg/L")
        assert abs(error.m_as("mg/L")) <= bound * (1 + 1e-9) + 1e-12
        # the bound by hand: half a step of every salt that brings it
        by_hand = sum(
            10 * salt(s).share(nutrient).m_as("percent") * step / 2 / litres
            for s, mass in recipe.masses.items()
            if mass.m_as("g") > 0
        )
        assert bound == pytest.approx(by_hand, rel=1e-9)
    for mass in found.masses.values():
        assert mass.m_as("g") / step == pytest.approx(round(mass.m_as("g") / step), abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(st.floats(0.01, 2), st.floats(5, 500))
def test_the_solution_and_the_errors_are_those_of_the_rounded_masses(step, litres):
    water = demo_water("quillgate-tap")
    recipe = weigh_out("leafy", usual_salts(), Q(litres, "L"), water)
    found = round_to_scale(recipe, Q(step, "g"))
    mixed = mix(found.masses, Q(litres, "L"), water)
    for element, value in mixed.elements.items():
        now = found.solution.elements[element].m_as("mg/L")
        assert now == pytest.approx(value.m_as("mg/L"), rel=1e-9, abs=1e-12)
        if element in found.errors:
            assert now - recipe.reached[element].m_as("mg/L") == pytest.approx(
                found.errors[element].m_as("mg/L"), rel=1e-6, abs=1e-9
            )


def test_by_hand():
    # 0.1 g/L K from KNO3 (38.67 %): 2.586 g in 10 L; rounded to 3 g it holds 116.0 mg/L
    found = round_to_scale(weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(10, "L")), Q(1, "g"))
    assert found.errors["K"].m_as("mg/L") == pytest.approx(16.0, abs=0.05)
    assert found.shares["K"].m_as("percent") == pytest.approx(16.0, abs=0.05)
    assert "rounding potassium nitrate to 3 g moves it by +16 %" in found.warnings[0]
    assert "3 g potassium nitrate" in str(found)


def test_traces_vanish_on_a_kitchen_scale_and_two_scales_save_them():
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"))
    kitchen = round_to_scale(recipe, Q(1, "g"))
    assert kitchen.masses["boric acid"].m_as("g") == 0
    assert any(sentence.startswith("B: rounding boric acid to 0 g") for sentence in kitchen.warnings)
    two = round_to_scale(recipe, {name: Q(0.001, "g") for name in TRACES})
    assert not any(sentence.startswith("B:") for sentence in two.warnings)
    assert two.masses["potassium nitrate"] == kitchen.masses["potassium nitrate"]


def test_what_the_acid_brings_is_not_lost_by_rounding():
    recipe = weigh_out({"N": Q(100, "mg/L")}, ["KNO3"], Q(10, "L"), also={"NO3-": Q(1, "mmol/L")})
    found = round_to_scale(recipe, Q(0.1, "g"))
    exact = recipe.reached["N"].m_as("mg/L") + found.errors["N"].m_as("mg/L")
    assert found.solution.elements["N"].m_as("mg/L") == pytest.approx(exact)


@pytest.mark.parametrize(
    ("recipe", "resolution", "error", "words"),
    [
        ("leafy", Q(1, "g"), Unreadable, "Recipe"),
        (None, 1, UnitNeeded, "resolution"),
        (None, Q(0, "g"), OutOfRange, "more than zero"),
        (None, Q(-1, "g"), OutOfRange, "−1 g"),
        (None, {"boric acid": Q(1, "g")}, Unreadable, "holds no boric acid"),
        (None, {"KNO3": 0.1}, UnitNeeded, "KNO3"),
    ],
)
def test_wrong_scales_get_a_sentence(recipe, resolution, error, words):
    with pytest.raises(error, match=words):
        round_to_scale(recipe or weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(10, "L")), resolution)
