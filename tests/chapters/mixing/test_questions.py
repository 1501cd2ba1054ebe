"""Questions on mixing: against published examples, hand working, and the solvers."""

import pytest
from stilltank.chapters.bank import find, find_example
from stilltank.learning import checks
from stilltank.learning.questions import Asked, Numbers
from stilltank.science.chemistry import gypsum_precipitated
from stilltank.science.mixing import mix, recipe_solution, weigh_out
from stilltank.units import Q


def value(question, numbers):
    return Asked(question, "A1", numbers).value


def stated(id, value):
    comparison = checks.compare(id, value)
    assert comparison.good, comparison


def test_the_questions_agree_with_published_examples():
    """Mattson (2018): 100 mg/L N from 15.5 % calcium nitrate; 12 % P2O5; 5.5 oz of magnesium sulfate of 9.7 % Mg."""
    litre = Numbers(target=Q(100, "mg/L"), volume=Q(1, "L"))
    stated("M-EG01", find("mixing-salt-for-target").answer(litre) / Q(1, "L"))
    example = find_example("mixing-worked-calcium-nitrate")
    shown = example.work(example.shown)
    stated("M-EG01", shown["mass"] / example.shown.volume)
    stated("M-EG02", shown["calcium"])
    example = find_example("mixing-worked-magnesium")
    stated("M-EG03", example.work(example.shown)["mass"] / example.shown.volume)
    hundred = example.shown.but(volume=Q(100, "gallon"))
    stated("M-EG06", example.work(hundred)["mass"])
    stated("M-EG07", find("mixing-label-phosphorus").answer(Numbers(label=Q(12, "percent"))))


def test_nitrogen_of_a_gram_of_calcium_nitrate():
    """1 g of Ca(NO3)2.4H2O in a litre: 2 x 14.007 / 236.146 = 118.6 mg of nitrogen."""
    numbers = Numbers(salt="calcium nitrate tetrahydrate", mass=Q(1, "g"), volume=Q(1, "L"))
    assert value(find("mixing-element-from-salt"), numbers) == pytest.approx(
        2000 * 14.007 / 236.146, rel=5e-4
    )


def test_tap_water_and_ounces_against_hand_working():
    # (120 - 48) mg/L x 45 L = 3240 mg; over 0.19 = 17 053 mg
    numbers = Numbers(target=Q(120, "mg/L"), water=Q(48, "mg/L"), volume=Q(45, "L"))
    assert value(find("mixing-tap-water"), numbers) == pytest.approx(17.053, abs=1e-3)
    # 40 mg/L x 378.54 L = 15 142 mg; over 24.305 / 246.466 = 153.55 g; over 28.3495 = 5.416 oz
    numbers = Numbers(target=Q(40, "mg/L"), volume=Q(100, "gallon"))
    assert value(find("mixing-ounces-for-gallons"), numbers) == pytest.approx(5.416, abs=2e-3)


def test_parts_and_doses():
    """One in a hundred of 45 L is 450 mL; one and a hundred make 101 parts: 445.5 mL; they differ by 0.99 %."""
    numbers = Numbers(parts=100.0, volume=Q(45, "L"))
    assert value(find("mixing-dose"), numbers) == pytest.approx(450)
    assert value(find("mixing-one-plus-many"), numbers) == pytest.approx(445.54, abs=0.01)
    short = 1 - value(find("mixing-one-plus-many"), numbers) / value(find("mixing-dose"), numbers)
    stated("M-SK03", Q(100 * short, "percent"))


def test_two_solutions_keep_their_nitrogen():
    """20 L at 80 and 5 L at 140 mg/L: 1600 and 700 mg in 25 L, 92 mg/L."""
    numbers = Numbers(left=Q(20, "L"), added=Q(5, "L"), old=Q(80, "mg/L"), new=Q(140, "mg/L"))
    assert value(find("mixing-two-solutions"), numbers) == pytest.approx(92)


def test_two_salts_agree_with_the_recipe_solver():
    """The exercise by hand, the solver by least squares, and mixing it back."""
    numbers = Numbers(calcium=Q(90, "mg/L"), nitrogen=Q(160, "mg/L"), volume=Q(45, "L"))
    pair = "calcium nitrate fertiliser", "potassium nitrate"
    recipe = weigh_out({"Ca": numbers.calcium, "N": numbers.nitrogen}, pair, numbers.volume)
    grams = value(find("mixing-two-salts"), numbers)
    assert recipe.masses[pair[1]].m_as("g") == pytest.approx(grams, rel=1e-6)
    first = find("mixing-two-salts").work(numbers)["first_mass"]
    made = mix({pair[0]: first, pair[1]: Q(grams, "g")}, numbers.volume).elements
    assert made["N"].m_as("mg/L") == pytest.approx(160)
    assert made["Ca"].m_as("mg/L") == pytest.approx(90)


def test_double_dose_reads_less_than_double():
    """Half-strength Hoagland reads 1.14 and full 2.16 mS/cm: PHREEQC 3.8.6, within the model's 5 %."""
    work = find("mixing-double-dose").work(Numbers(share=0.5))
    assert work["weak"].m_as("mS/cm") == pytest.approx(1.14, rel=0.05)
    stated("M-ECR-H1", work["strong"])
    for share in find("mixing-double-dose").draws["share"]:
        work = find("mixing-double-dose").work(Numbers(share=share))
        assert 1.01 < (work["twice"] / work["strong"]).m_as("dimensionless") < 1.1


def test_one_bottle_loses_most_of_its_sulfate_and_the_tank_none():
    """Nine tenths, roughly, of the sulfate: PHREEQC 3.8.6 gives 95 %, and only the order of magnitude counts."""
    room, full = Q(20, "degC"), recipe_solution("Hoagland 1").ions
    assert gypsum_precipitated(full, room).magnitude == 0
    bottle = {ion: 100 * amount for ion, amount in full.items()}
    sulfate = bottle["SO4-2"].m_as("mol/L")  # near enough mol in a kilogram of water
    assert 0.85 < gypsum_precipitated(bottle, room).m_as("mol/kg") / sulfate < 1
