"""Salts, recipes, concentrates and water reports against published recipes and independent workings."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog, nnls
from stilltank.science.chemistry import element_share, ions, molar_mass
from stilltank.science.mixing import (
    Solution,
    Water,
    demo_water,
    demo_waters,
    dose,
    mix,
    recipe_solution,
    recipe_targets,
    recipes,
    stocks,
    strength_of,
    weigh_out,
)
from stilltank.science.products import Salt, salt, salts, soluble_mass, usual_salts
from stilltank.tables import DATA, TableFault
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

LITRE = Q(1, "L")
HOAGLAND_SALTS = ("Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O")


def mg(solution, element):
    return solution.elements[element].m_as("mg/L")


# The salts table


@pytest.mark.parametrize(
    "name", [n for n, s in salts().items() if "ions" in __import__("stilltank").tables.load("salts").of(n)]
)
def test_ions_of_a_salt_hold_the_elements_of_its_formula(name):
    each = salts()[name]
    for element in {ions()[key].element for key in each.release} - {"N", ""}:
        assert each.share(element).m_as("percent") == pytest.approx(
            element_share(each.formula, element).m_as("percent"), rel=1e-9
        )
    if "EDTA" not in name and "DTPA" not in name:  # the nitrogen of a chelate is no nutrient
        assert each.share("N").magnitude == pytest.approx(
            element_share(each.formula, "N").magnitude, rel=1e-9
        )


@pytest.mark.parametrize("name", salts())
def test_salts_carry_no_net_charge(name):
    release = salts()[name].release
    charge = sum(n * ions()[key].charge for key, n in release.items())
    size = sum(n * abs(ions()[key].charge) for key, n in release.items())
    # by formula exact; a label rounds its shares, and the assay of molybdic acid leaves its water out
    allowed = {"calcium nitrate fertiliser": 0.01, "molybdic acid 85 %": 1}
    assert abs(charge) <= allowed.get(name, 1e-9 if salts()[name].formula else 0.01) * size


def test_every_ion_of_every_salt_is_known_and_every_part_is_a_or_b():
    for each in salts().values():
        assert set(each.release) <= set(ions())
        assert each.part in ("calcium", "sulfate and phosphate", "either")
        if "Ca+2" in each.release:
            assert each.part == "calcium"
        if {"SO4-2", "H2PO4-"} & set(each.release):
            assert each.part == "sulfate and phosphate"


def test_nitrates_that_oxidise_say_so():
    for name in ("KNO3", "calcium nitrate", "ammonium nitrate", "Mg(NO3)2.6H2O"):
        assert "oxidiser" in str(salt(name))


def test_both_calcium_nitrates():
    # label of 15.5-0-0: 19.0 % Ca, 14.4 % NO3-N, 1.1 % NH4-N; formula: 18.54, 14.26, 1.30 (stoichiometry)
    label, formula = salt("calcium nitrate"), salt("calcium nitrate double salt")
    for nutrient, by_label, by_formula in (
        ("Ca", 19.0, 18.544),
        ("NO3-N", 14.4, 14.258),
        ("NH4-N", 1.1, 1.296),
    ):
        assert label.share(nutrient).m_as("percent") == pytest.approx(by_label, abs=1e-9)
        assert formula.share(nutrient).m_as("percent") == pytest.approx(by_formula, abs=0.02)
    assert label.share("N").m_as("percent") == pytest.approx(15.5, abs=1e-9)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("KNO3", "potassium nitrate"),
        ("Potassium Nitrate", "potassium nitrate"),
        ("Epsom salt", "magnesium sulfate heptahydrate"),
        ("MgSO4·7H2O", "magnesium sulfate heptahydrate"),
        ("Ca(NO3)2.4H2O", "calcium nitrate tetrahydrate"),
        ("5Ca(NO3)2.NH4NO3.10H2O", "calcium nitrate fertiliser"),
    ],
)
def test_salts_go_by_many_names(written, name):
    assert salt(written).name == name


@pytest.mark.parametrize("wrong", ["potasium nitrat", "NaCN", "", None, 3])
def test_unknown_salt_gets_a_sentence(wrong):
    with pytest.raises(Unreadable, match="salt"):
        salt(wrong)


def test_near_names_are_offered():
    with pytest.raises(Unreadable, match="potassium nitrate"):
        salt("potasium nitrat")


@pytest.mark.parametrize(
    ("shares", "error", "words"),
    [
        ({"Ca": 19}, UnitNeeded, "no unit"),
        ({"N": Q(15, "percent")}, Unreadable, "NO3-N"),
        ({"Ca": Q(-1, "percent")}, OutOfRange, "between 0 and 100"),
        ({"Ca": Q(60, "percent"), "K": Q(60, "percent")}, OutOfRange, "add up"),
    ],
)
def test_wrong_label_gets_a_sentence(shares, error, words):
    with pytest.raises(error, match=words):
        Salt.from_label("mine", shares)


def test_own_product_is_weighed_like_any_other():
    # Mattson (2018), practice example: magnesium sulfate with 9.7 % Mg, 40 mg/L Mg needs 412 mg/L, 5.5 oz in 100 US gal
    mine = Salt.from_label("magnesium sulfate by label", {"Mg": Q(9.7, "percent")})
    recipe = weigh_out({"Mg": Q(40, "mg/L")}, [mine], Q(100, "gallon"))
    mass = recipe.masses["magnesium sulfate by label"]
    assert (mass / recipe.volume).m_as("mg/L") == pytest.approx(412, abs=1)
    assert mass.m_as("oz") == pytest.approx(5.5, abs=0.05)


# Mixing


def test_one_gram_of_calcium_nitrate_tetrahydrate_in_a_litre():
    solution = mix({"Ca(NO3)2.4H2O": Q(1, "g")}, LITRE)
    # by hand: 1000 / 236.15 = 4.2346 mmol; x 40.078 = 169.7 mg Ca; x 2 x 14.007 = 118.6 mg N
    assert mg(solution, "Ca") == pytest.approx(169.7, abs=0.1)
    assert mg(solution, "N") == pytest.approx(118.6, abs=0.1)


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(st.sampled_from(list(salts())), st.floats(0, 1000), max_size=8),
    st.floats(0.1, 1000),
)
def test_mass_of_every_element_is_kept(masses, volume):
    solution = mix({name: Q(grams, "g") for name, grams in masses.items()}, Q(volume, "L"))
    for element in ("N", "P", "K", "Ca", "Mg", "S", "Cl", "Na", "Fe", "Mn", "Zn", "Cu", "B", "Mo"):
        put_in = sum(g * salts()[name].share(element).m_as("percent") / 100 for name, g in masses.items())
        found = solution.elements[element].m_as("g/L") * volume if element in solution.elements else 0.0
        assert found == pytest.approx(put_in, rel=1e-9, abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.1, 50), st.floats(0.1, 50), st.floats(1, 500))
def test_mixing_adds_up_and_scales(first, second, volume):
    both = mix({"KNO3": Q(first + second, "g")}, Q(volume, "L"))
    one = mix({"KNO3": Q(first, "g")}, Q(volume, "L"))
    other = mix({"KNO3": Q(second, "g")}, Q(volume, "L"))
    assert mg(both, "K") == pytest.approx(mg(one, "K") + mg(other, "K"), rel=1e-9)
    double = mix({"KNO3": Q(2 * first, "g")}, Q(2 * volume, "L"))
    assert mg(double, "K") == pytest.approx(mg(one, "K"), rel=1e-9)


def test_same_salt_by_two_names_is_added():
    solution = mix({"KNO3": Q(1, "g"), "potassium nitrate": Q(2, "g")}, LITRE)
    assert solution.masses["potassium nitrate"].m_as("g") == pytest.approx(3)


def test_arrays_of_masses():
    solution = mix({"KNO3": Q([1.0, 2.0, 3.0], "g")}, LITRE)
    assert mg(solution, "K") == pytest.approx(np.array([1, 2, 3]) * 386.7, rel=1e-3)
    assert solution.conductivity().magnitude.shape == (3,)
    assert "to" in str(solution)


@pytest.mark.parametrize(
    ("masses", "volume", "error", "words"),
    [
        ({"KNO3": 5}, LITRE, UnitNeeded, "no unit"),
        ({"KNO3": Q(5, "L")}, LITRE, UnitNeeded, "a volume"),
        ({"KNO3": Q(-5, "g")}, LITRE, OutOfRange, "−5 g of potassium nitrate"),
        ({"KNO3": Q(float("nan"), "g")}, LITRE, OutOfRange, "not a number"),
        ({"KNO3": Q(5, "g")}, 10, UnitNeeded, "volume"),
        ({"KNO3": Q(5, "g")}, Q(0, "L"), OutOfRange, "more than zero"),
        ({"KNO3": Q(5, "g")}, Q(-3, "L"), OutOfRange, "−3 L"),
        ({"KNO3": Q(5, "g")}, Q(1, "m^2"), UnitNeeded, "an area"),
        (["KNO3"], LITRE, UnitNeeded, "mix needs the salts"),
    ],
)
def test_wrong_mixture_gets_a_sentence(masses, volume, error, words):
    with pytest.raises(error, match=words):
        mix(masses, volume)


def test_water_counts():
    hard = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    solution = mix({"Ca(NO3)2.4H2O": Q(1, "g")}, LITRE, hard)
    assert mg(solution, "Ca") == pytest.approx(48 + 169.7, abs=0.1)
    assert solution.ions["HCO3-"].m_as("mmol/L") == pytest.approx(130 / 50.04, rel=1e-3)


# Published recipes


@pytest.mark.parametrize(
    ("recipe", "element", "stated", "relative"),
    [
        # Hoagland & Arnon (1950), Circular 347, Table 1 (secondary copies); rounded there, hence 0.7 %
        ("Hoagland 1", "N", 210.1, 0.007), ("Hoagland 1", "P", 30.97, 0.007), ("Hoagland 1", "K", 234.59, 0.007),
        ("Hoagland 1", "Ca", 200.39, 0.007), ("Hoagland 1", "Mg", 48.61, 0.007), ("Hoagland 2", "N", 210.1, 0.007),
        ("Hoagland 2", "Ca", 160.3, 0.007), ("Hoagland 2", "P", 30.97, 0.007),
        ("Hoagland micronutrients", "B", 0.5, 0.03), ("Hoagland micronutrients", "Mn", 0.5, 0.03),
        ("Hoagland micronutrients", "Zn", 0.05, 0.03), ("Hoagland micronutrients", "Cu", 0.02, 0.03),
        ("Hoagland micronutrients", "Mo", 0.0113, 0.03),
        # Steiner's ionic ratios, from memory
        ("Steiner", "N", 168.08, 0.005), ("Steiner", "K", 273.69, 0.005), ("Steiner", "Ca", 180.35, 0.005),
        ("Steiner", "Mg", 48.61, 0.005), ("Steiner", "S", 112.21, 0.005), ("Steiner", "P", 30.97, 0.005),
        # De Rijck & Schrevens (1998), J. Plant Nutr. 21:2115, list these for Cooper's solution (secondary copy)
        ("Cooper", "Ca", 172.34, 0.02), ("Cooper", "P", 59.78, 0.02), ("Cooper", "Mg", 50.55, 0.02),
        # Mattson & Peters (2014), modified Sonneveld table, from memory; label and formula differ by 2.5 % in Ca
        ("US modified Sonneveld", "N", 150, 0.04), ("US modified Sonneveld", "P", 31, 0.04),
        ("US modified Sonneveld", "K", 210, 0.04), ("US modified Sonneveld", "Ca", 90, 0.04),
        ("US modified Sonneveld", "Mg", 24, 0.04), ("US modified Sonneveld", "Mn", 0.25, 0.04),
        ("US modified Sonneveld", "B", 0.16, 0.04),
    ],
)  # fmt: skip
def test_published_recipes(recipe, element, stated, relative):
    assert mg(recipe_solution(recipe), element) == pytest.approx(stated, rel=relative)


@pytest.mark.parametrize(
    ("name", "stated"), [("Sonneveld lettuce", 23.25), ("Sonneveld gerbera", 15.0), ("Steiner", 20)]
)
def test_ion_recipes_balance(name, stated):
    balance = recipe_solution(name).charge_balance
    assert balance.cations.m_as("mmol/L") == pytest.approx(stated, abs=0.01)
    assert balance.difference.m_as("mmol/L") == pytest.approx(0, abs=0.01)
    assert float(balance.share) == pytest.approx(0, abs=1e-3)


def test_every_recipe_gives_targets_and_has_a_label():
    for name in recipes():
        targets = recipe_targets(name)
        assert all(value.m_as("mg/L") > 0 for value in targets.values())


def test_recipe_with_ammonium_names_it():
    # 1 mmol/L NH4H2PO4: 14.0 mg/L
    assert recipe_targets("Hoagland 2")["NH4-N"].m_as("mg/L") == pytest.approx(14.0, abs=0.05)
    assert "NH4-N" not in recipe_targets("Hoagland 1")


def test_wrong_recipe_names_get_sentences():
    with pytest.raises(TableFault, match="Hoagland 1"):
        recipe_targets("Hoagland")
    with pytest.raises(Problem, match="weigh_out"):
        recipe_solution("leafy")


# Weighing out


def test_hoagland_1_comes_back_from_its_own_salts():
    recipe = weigh_out("Hoagland 1", HOAGLAND_SALTS, Q(10, "L"))
    # by hand, 10 L: 50 mmol x 236.15 = 11.81 g; 50 x 101.10 = 5.06 g; 10 x 136.09 = 1.36 g; 20 x 246.47 = 4.93 g
    for name, grams in zip(HOAGLAND_SALTS, (11.81, 5.055, 1.361, 4.930), strict=True):
        assert recipe.masses[salt(name).name].m_as("g") == pytest.approx(grams, abs=0.005)
    assert not recipe.missed


def residual(recipe):
    return sum(
        (value.m_as("mg/L") / recipe.targets[name].m_as("mg/L") - 1) ** 2
        for name, value in recipe.reached.items()
    )


NUTRIENTS = ("N", "P", "K", "Ca", "Mg")
SHELF = ("calcium nitrate", "KNO3", "KH2PO4", "MgSO4.7H2O", "K2SO4", "NH4H2PO4", "Mg(NO3)2.6H2O")


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.floats(5, 400), min_size=5, max_size=5),
    st.lists(st.sampled_from(SHELF), min_size=1, max_size=7, unique=True),
    st.floats(0, 120),
)
def test_weighing_is_as_close_as_nonnegative_least_squares_gets(wanted, names, calcium):
    """An independent formulation: Lawson and Hanson's active set on the same misses, built from the shares."""
    targets = {n: Q(w, "mg/L") for n, w in zip(NUTRIENTS, wanted, strict=True)}
    water = Water({"Ca": Q(calcium, "mg/L")})
    recipe = weigh_out(targets, names, LITRE, water, weights=dict.fromkeys(NUTRIENTS, 1))
    matrix = np.array(
        [
            [10 * salt(s).share(n).m_as("percent") / w for s in names]
            for n, w in zip(NUTRIENTS, wanted, strict=True)
        ]
    )
    aim = np.array([1 - (calcium / w if n == "Ca" else 0.0) for n, w in zip(NUTRIENTS, wanted, strict=True)])
    _, norm = nnls(matrix, aim)
    assert residual(recipe) == pytest.approx(norm**2, rel=1e-6, abs=1e-10)
    assert all(mass.m_as("g") >= 0 for mass in recipe.masses.values())


def test_of_equal_mixtures_the_lightest_is_taken():
    names = ("K2SO4", "KCl", "KNO3")
    recipe = weigh_out({"K": Q(100, "mg/L")}, names, LITRE)
    shares = [float(salt(n).share("K")) for n in names]
    lightest = linprog(np.ones(3), A_eq=[shares], b_eq=[0.1]).fun  # g
    assert sum(m.m_as("g") for m in recipe.masses.values()) == pytest.approx(lightest, rel=1e-6)
    assert recipe.masses["potassium chloride"].m_as("g") == pytest.approx(
        0.1 / 0.52445, rel=1e-3
    )  # KCl is 52.4 % K


def test_no_nearby_mixture_is_better():
    targets = recipe_targets("leafy")
    recipe = weigh_out(
        targets, usual_salts(), LITRE, demo_water("quillgate-tap"), weights=dict.fromkeys(targets, 1)
    )
    best = residual(recipe)
    grams = {name: mass.m_as("g") for name, mass in recipe.masses.items()}
    for name, factor in itertools.product(grams, (0.98, 1.02)):
        moved = {**grams, name: grams[name] * factor + (1e-4 if factor > 1 else 0)}
        solution = mix({n: Q(g, "g") for n, g in moved.items()}, LITRE, recipe.water)
        off = sum((mg(solution, n) / t.m_as("mg/L") - 1) ** 2 for n, t in recipe.targets.items())
        assert off >= best - 1e-12


def test_reached_is_what_the_solution_holds():
    recipe = weigh_out("flowering", usual_salts(), Q(45, "L"), demo_water("quillgate-tap"))
    for name, value in recipe.reached.items():
        assert value.m_as("mg/L") == pytest.approx(mg(recipe.solution, name), rel=1e-9)


def test_trace_elements_are_met_beside_the_main_ones():
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"))
    assert not recipe.missed
    assert recipe.reached["Mo"].m_as("mg/L") == pytest.approx(0.024, rel=1e-3)
    assert "boric acid" in recipe.too_small
    assert "concentrate" in str(recipe)


def test_water_that_brings_too_much_is_said():
    hard = Water({"Ca": Q(120, "mg/L")}, alkalinity=Q(300, "mg/L"), ph=7.5, name="our tap")
    recipe = weigh_out({"Ca": Q(90, "mg/L"), "K": Q(100, "mg/L")}, ["calcium nitrate", "KCl"], LITRE, hard)
    assert recipe.masses["calcium nitrate fertiliser"].m_as("g") == 0
    assert "our tap already brings 120 mg/L" in recipe.missed["Ca"]
    assert "K" not in recipe.missed


def test_missing_salt_is_said_with_one_that_would_do():
    recipe = weigh_out({"Mg": Q(24, "mg/L"), "K": Q(100, "mg/L")}, ["KNO3"], LITRE)
    assert "none of these salts holds it" in recipe.missed["Mg"]
    assert "magnesium sulfate heptahydrate" in recipe.missed["Mg"]


def test_salts_that_pull_two_ways_are_said():
    recipe = weigh_out({"N": Q(200, "mg/L"), "Ca": Q(50, "mg/L")}, ["Ca(NO3)2.4H2O"], LITRE)
    assert set(recipe.missed) == {"N", "Ca"}
    assert "cannot be changed without changing Ca too" in recipe.missed["N"]


def test_what_the_acid_brings_is_counted():
    acid = {"NO3-": Q(1.5, "mmol/L")}  # 21.0 mg/L N
    plain = weigh_out({"N": Q(100, "mg/L")}, ["KNO3"], LITRE)
    less = weigh_out({"N": Q(100, "mg/L")}, ["KNO3"], LITRE, also=acid)
    assert plain.masses["potassium nitrate"].m_as("g") == pytest.approx(0.7218, abs=1e-3)  # 0.1 / 0.13854
    assert less.masses["potassium nitrate"].m_as("g") == pytest.approx(0.7218 * (1 - 0.2101), abs=1e-3)
    assert mg(less.solution, "N") == pytest.approx(100, rel=1e-9)


def test_targets_in_mmol_and_by_form_of_nitrogen():
    recipe = weigh_out({"NH4-N": Q(1, "mmol/L"), "NO3-N": Q(1, "mmol/L")}, ["NH4NO3"], LITRE)
    assert recipe.masses["ammonium nitrate"].m_as("mg") == pytest.approx(80.04, abs=0.05)


@pytest.mark.parametrize(
    ("targets", "names", "error", "words"),
    [
        ({"N": 150}, ["KNO3"], UnitNeeded, "no unit"),
        ({"N": Q(-150, "mg/L")}, ["KNO3"], OutOfRange, "-150 mg/L"),
        ({"N": Q(0, "mg/L")}, ["KNO3"], OutOfRange, "leave it out"),
        ({"Xy": Q(1, "mg/L")}, ["KNO3"], Unreadable, "no nutrient"),
        ({}, ["KNO3"], UnitNeeded, "targets"),
        ({"N": Q(150, "mg/L")}, [], OutOfRange, "at least one salt"),
        ({"N": Q(150, "mg/L")}, ["sugar"], Unreadable, "sugar"),
    ],
)
def test_wrong_targets_get_a_sentence(targets, names, error, words):
    with pytest.raises(error, match=words):
        weigh_out(targets, names, LITRE)


# Concentrates


def test_concentrate_a_for_hoagland_1():
    both = stocks(weigh_out("Hoagland 1", HOAGLAND_SALTS, Q(10, "L")), "1 in 100", LITRE)
    assert both.calcium.masses["calcium nitrate tetrahydrate"].m_as("g") == pytest.approx(
        118.07, rel=0.002
    )  # 0.5 mol
    assert set(both.sulfate_and_phosphate.masses) == {
        "potassium nitrate",
        "monopotassium phosphate",
        "magnesium sulfate heptahydrate",
    }
    assert "Ca+2" not in both.sulfate_and_phosphate.solution.ions
    assert "SO4-2" not in both.calcium.solution.ions


@given(st.sampled_from(["Hoagland 1", "leafy", "flowering"]), st.floats(10, 200), st.floats(1, 100))
@settings(max_examples=20, deadline=None)
def test_dosing_both_concentrates_gives_the_solution_back(name, strength, volume):
    recipe = weigh_out(name, usual_salts(), Q(45, "L"))
    both = stocks(recipe, strength, Q(2, "L"))
    parts = dose(both, Q(volume, "L"))
    for element in recipe.solution.elements:
        grams = sum(
            (stock.solution.elements[element] * parts[stock.name]).m_as("g")
            for stock in (both.calcium, both.sulfate_and_phosphate)
            if element in stock.solution.elements
        )
        assert 1000 * grams / volume == pytest.approx(mg(recipe.solution, element), rel=1e-9)


def test_too_strong_a_concentrate_is_said():
    recipe = weigh_out("Hoagland 1", HOAGLAND_SALTS, Q(10, "L"))
    assert not stocks(recipe, 50, LITRE).checks
    # KNO3 0.5055 g/L x 400 = 202 g in about 0.64 kg of water; 316 g/kg dissolve at 20 °C
    assert any("potassium nitrate" in sentence for sentence in stocks(recipe, 400, LITRE).checks)
    assert any("Make it weaker" in sentence for sentence in stocks(recipe, 600, LITRE).checks)


def test_calcium_beside_sulfate_is_said():
    mine = Salt.from_label(
        "my calcium", {"Ca": Q(20, "percent"), "NO3-N": Q(14, "percent")}, part="sulfate and phosphate"
    )
    recipe = weigh_out({"Ca": Q(100, "mg/L"), "S": Q(50, "mg/L")}, [mine, "K2SO4"], LITRE)
    assert "calcium falls out" in stocks(recipe, 10, LITRE).checks[0]


def test_calcium_of_the_water_beside_strong_sulfate_is_said():
    hard = Water({"Ca": Q(420, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.5)  # a well in gypsum
    recipe = weigh_out({"S": Q(120, "mg/L")}, ["K2SO4"], LITRE, hard)
    assert any("gypsum" in sentence for sentence in stocks(recipe, 100, LITRE).checks)


def test_how_much_of_a_bag_dissolves_by_hand():
    # KNO3, 316 g in a kilogram of water: 0.9982 - x/1000 kg of water take x g, x = 316 x 0.9982/1.316 = 239.7
    assert soluble_mass("KNO3").m_as("g") == pytest.approx(239.7, abs=0.2)
    # Epsom salt is 48.8 % dry, 337 g/kg: 337 x 0.9982/1.337 = 251.6 g dry, 515 g as weighed; in half a litre half of it
    assert soluble_mass("Epsom salt", Q(0.5, "L")).m_as("g") == pytest.approx(257.6, abs=0.5)
    assert soluble_mass("iron DTPA") is None
    # 23.72 mol/kg (CRC Handbook) x 80.043 g/mol
    assert salt("NH4NO3").dry_solubility.m_as("g/kg") == pytest.approx(1899, abs=0.5)
    # 1920 g/L at 20 degC in the European data set on chemicals (IUCLID 1996), read in an environment agency's data bank
    assert salt("NH4NO3").dry_solubility.m_as("g/kg") == pytest.approx(1920, rel=0.015)
    # as it is weighed and in the water poured on it, tables differ: Epsom salt 107 to 113 g in 100 g (33.7 to 35.1 dry)
    dry, share = salt("Epsom salt").dry_solubility.m_as("g/kg") / 10, salt("Epsom salt").anhydrous_share
    assert 100 * dry / (100 * share - dry * (1 - share)) == pytest.approx(110, abs=4)
    both = stocks(weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], LITRE), 1000, LITRE)  # 258.6 g in the bottle
    assert (
        "alone, 240 g of the bag would" in both.checks[0]
        or "alone, 239.7 g of the bag would" in both.checks[0]
    )


def test_each_salt_stands_in_one_bottle_and_iron_apart_from_the_trace_elements():
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"))
    both = stocks(recipe, 100, LITRE)
    listed = [*both.calcium.masses, *both.sulfate_and_phosphate.masses]
    assert sorted(listed) == sorted(name for name, mass in recipe.masses.items() if mass.m_as("g") > 0)
    assert {"calcium nitrate fertiliser", "iron DTPA"} == set(both.calcium.masses)  # the rest to B
    # B's trace elements: 0.16 mg/L of boron in 45 L are 7.2 mg, 17.483 % of boric acid: 41.2 mg; 4.5 L of solution in a
    # litre of hundredfold concentrate for 100 L: 41.2 x 100/45 = 91.5 mg
    assert both.sulfate_and_phosphate.masses["boric acid"].m_as("mg") == pytest.approx(91.5, rel=2e-3)
    # iron: 1 mg/L in 100 L are 100 mg of Fe, 11.9 % of pure NaFe DTPA (55.845/468.2): 838 mg
    assert both.calcium.masses["iron DTPA"].m_as("mg") == pytest.approx(100 / (55.845 / 468.15), rel=0.05)


def test_a_plan_has_one_trace_stock_that_lists_each_salt_once():
    from stilltank.season.plan import Plan

    water = Water(alkalinity=Q(100, "mg/L"), ph=7.5)
    plan = Plan.make(crop="lettuce", water=water)
    (stock,) = plan.outlook.trace_stocks
    assert stock.name == "iron and trace elements"
    assert sorted(stock.masses) == sorted(plan.outlook.recipe.too_small)
    # 250 mL at 10 mL a filling: 25 times what the tank needs; 0.16 mg/L of boron, 17.483 % of boric acid
    assert (stock.volume.m_as("mL"), stock.dose.m_as("mL")) == (250, 10)
    litres = plan.outlook.volume.m_as("L")
    assert stock.masses["boric acid"].m_as("mg") == pytest.approx(25 * 0.16 * litres / 0.17483, rel=2e-3)


def test_injector_conventions_differ_by_one_percent():
    assert strength_of("1 in 100") == 100
    assert strength_of("1 + 100") == strength_of("1 plus 100") == 101
    assert strength_of(50) == 50
    with pytest.raises(Unreadable, match=r"two ways.*1 in 100.*1 \+ 100"):
        strength_of("1:100")


@pytest.mark.parametrize(
    ("wrong", "error"),
    [("strong", Unreadable), (0, OutOfRange), (-5, OutOfRange), (1e6, OutOfRange), (None, UnitNeeded)],
)
def test_wrong_strength_gets_a_sentence(wrong, error):
    with pytest.raises(error):
        strength_of(wrong)


def test_dose_by_hand_and_wrong_doses():
    both = stocks(weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], LITRE), "1 + 100", LITRE)
    assert dose(both, Q(45, "L"))["sulfate and phosphate"].m_as("mL") == pytest.approx(45000 / 101)
    assert dose(both.sulfate_and_phosphate, Q([10.0, 20.0], "L")).m_as("mL") == pytest.approx(
        [10000 / 101, 20000 / 101]
    )
    with pytest.raises(UnitNeeded):
        dose(both, 45)
    with pytest.raises(OutOfRange):
        dose(both, Q(-1, "L"))
    with pytest.raises(UnitNeeded, match="Stock"):
        dose("calcium", Q(1, "L"))
    with pytest.raises(Unreadable, match="Recipe"):
        stocks({"KNO3": 1}, 100, LITRE)


# Water


def test_alkalinity_and_bicarbonate_are_one_thing():
    stated = Water(alkalinity=Q(130, "mg/L"), ph=7.6)
    by_ion = Water({"HCO3-": Q(130 / 50.043 * 61.017, "mg/L")}, ph=7.6)
    by_charge = Water(alkalinity=Q(130 / 50.043, "mmol/L"), ph=7.6)
    for other in (by_ion, by_charge):
        assert other.alkalinity.m_as("mg/L") == pytest.approx(stated.alkalinity.m_as("mg/L"), rel=2e-4)
        assert other.ions["HCO3-"].m_as("mmol/L") == pytest.approx(
            stated.ions["HCO3-"].m_as("mmol/L"), rel=2e-4
        )


@pytest.mark.parametrize(
    ("arguments", "error", "words"),
    [
        ({"ions": {"Ca": 48}}, UnitNeeded, "no unit"),
        ({"ions": {"Ca": Q(-48, "mg/L")}}, OutOfRange, "less than zero"),
        ({"ions": {"Ca": Q(48, "g/L")}}, OutOfRange, "more than sea water"),
        ({"ions": {"nitrate": Q(20, "mg/L")}}, Unreadable, "two ways"),
        ({"ions": {"N": Q(20, "mg/L")}}, Unreadable, "NO3-N"),
        ({"ions": {"kryptonite": Q(20, "mg/L")}}, Unreadable, "no ion"),
        ({"ions": {"Ca": Q(4, "mg/L"), "calcium": Q(5, "mg/L")}}, Unreadable, "twice"),
        ({"alkalinity": 130}, UnitNeeded, "no unit"),
        ({"alkalinity": Q(-1, "mg/L")}, OutOfRange, "cannot be right"),
        ({"alkalinity": Q(9000, "mg/L")}, OutOfRange, "cannot be right"),
        ({"ph": 15}, OutOfRange, "pH of 15"),
        ({"ph": Q(7, "dimensionless")}, Unreadable, "plain number"),
        ({"temperature": 15}, UnitNeeded, "temperature"),
        ({"temperature": Q(70, "degC")}, OutOfRange, "70"),
    ],
)
def test_wrong_water_gets_a_sentence(arguments, error, words):
    with pytest.raises(error, match=words):
        Water(**arguments)


def test_nitrate_in_mmol_has_one_reading():
    assert Water({"nitrate": Q(2, "mmol/L")}).ions["NO3-"].m_as("mmol/L") == 2
    assert Water({"NO3-N": Q(14.007, "mg/L")}).ions["NO3-"].m_as("mmol/L") == pytest.approx(1, rel=1e-4)
    assert Water({"NO3-": Q(62.004, "mg/L")}).ions["NO3-"].m_as("mmol/L") == pytest.approx(1, rel=1e-4)


def test_state_of_a_water_rests_on_its_alkalinity_not_on_its_balance():
    lopsided = Water({"Ca": Q(10, "mg/L")}, alkalinity=Q(100.086, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    state = lopsided.state()
    assert state["strong_charge"] == pytest.approx(
        0.002 / 0.99705, rel=1e-3
    )  # 2 meq/L, a litre holds 0.997 kg
    assert state["DIC"] == pytest.approx(0.00203, rel=0.01)
    assert Water.pure().state()["DIC"] == 0


def test_state_of_a_solution_by_hand():
    # 1 mmol/L KH2PO4 and 1 mmol/L NH4NO3 in pure water: strong charge K+ 1 - NO3- 1 = 0
    solution = mix({"KH2PO4": Q(0.136085, "g"), "NH4NO3": Q(0.080043, "g")}, LITRE, Water.pure(Q(25, "degC")))
    state = solution.state()
    kilogram = 0.997047
    for total in ("K", "P", "NH4", "NO3"):
        assert state[total] == pytest.approx(0.001 / kilogram, rel=1e-3)
    assert state["strong_charge"] == pytest.approx(0, abs=1e-6)
    assert state["DIC"] == 0
    carbonate = mix({"KHCO3": Q(0.100115, "g")}, LITRE, Water.pure(Q(25, "degC"))).state()
    assert carbonate["DIC"] == pytest.approx(carbonate["strong_charge"], rel=1e-9)


def test_strong_charge_of_a_balanced_solution_is_what_the_weak_ions_carry():
    solution = recipe_solution(
        "Sonneveld lettuce"
    )  # NH4 1.25, H2PO4 2: weak charge 1.25 - 2 = -0.75, strong +0.75
    state = solution.state()
    assert 1000 * state["strong_charge"] == pytest.approx(0.75, rel=2e-3)


def test_missing_alkalinity_or_ph_is_asked_for():
    with pytest.raises(Problem, match="alkalinity"):
        Water({"Ca": Q(48, "mg/L")}, name="our tap").state()
    with pytest.raises(Problem, match="pH"):
        Water(alkalinity=Q(130, "mg/L")).state()


def test_solution_wants_a_water():
    with pytest.raises(Unreadable, match="Water"):
        Solution(LITRE, {}, water="tap")


# Everything people read


def test_texts_for_people():
    tap = demo_water("quillgate-tap")
    recipe = weigh_out("leafy", usual_salts(), Q(45, "L"), tap)
    both = stocks(recipe, "1 in 100", LITRE)
    assert "130 mg/L as CaCO3" in str(tap)
    assert "weigh:" in str(recipe)
    assert "Never pour the two together undiluted" in str(both)
    assert "mS/cm" in str(recipe.solution)
    assert "mmolc/L" in str(tap.charge_balance)


def test_demo_waters_are_invented_and_balance():
    assert set(demo_waters()) == {"quillgate-rain", "quillgate-tap"}
    for name in demo_waters():
        water = demo_water(name)
        assert "invented" in water.name
        assert abs(float(water.charge_balance.share)) < 0.02
    assert all("Invented" in path.read_text(encoding="utf-8") for path in (DATA / "demo").glob("water-*"))
    with pytest.raises(Unreadable, match="quillgate-tap"):
        demo_water("somewhere")


def test_molar_mass_of_ions_and_alkalinity_unit():
    assert molar_mass("CaCO3").m_as("g/mol") / 2 == pytest.approx(50.043, abs=0.001)
