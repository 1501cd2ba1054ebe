"""Recipes by what stands on a shelf, against hand working and what growers weigh; the bags are invented."""

import pytest
from stilltank import tables
from stilltank.science.mixing import Water, for_shelf, weigh_out
from stilltank.science.products import Shelf, Stocked, salt, usual_salts
from stilltank.units import Problem, Q, Unreadable

TANK = Q(40, "L")
HARD = Water(
    {"Ca": Q(58, "mg/L"), "Mg": Q(8, "mg/L"), "Na": Q(12, "mg/L"), "Cl": Q(20, "mg/L")},
    alkalinity=Q(180, "mg/L"), ph=7.6, name="hard tap",
)  # fmt: skip


def bag(name, figures, **more):
    return Stocked.from_label(name, {key: Q(value, "percent") for key, value in figures.items()}, **more)


LEAF = bag(
    "leaf bag",
    {"NO3-N": 5, "P2O5": 12, "K2O": 26, "Mg": 6, "S": 8, "Fe": 0.3, "Mn": 0.05, "Zn": 0.015, "B": 0.05, "Cu": 0.015,
     "Mo": 0.01},
    bag=Q(1, "kg"), price=15,
)  # fmt: skip
CALCIUM = bag("calcium bag", {"NO3-N": 14.4, "NH4-N": 1.1, "Ca": 19}, bag=Q(1, "kg"), price=9)
EPSOM = Stocked(salt("Epsom salt"), bag=Q(2, "kg"), price=5).named("Epsom salt")
ALL_PURPOSE = bag(
    "all-purpose bag",
    {"NO3-N": 6, "NH4-N": 4, "urea-N": 10, "P2O5": 20, "K2O": 20, "Fe": 0.1, "Mn": 0.05},
    bag=Q(500, "g"), price=6,
)  # fmt: skip


def grams(found):
    return {name: mass.m_as("g") for name, mass in found.masses.items()}


def test_two_bags_by_hand():
    """95 mg/L Ca of a bag with 19 % are 500 mg/L; 129.5 mg/L K of one with 26 % K2O, 21.58 % K, are 600 mg/L."""
    shelf = Shelf.make(LEAF, CALCIUM, balance=Q(1, "g"))
    found = for_shelf({"Ca": Q(95, "mg/L"), "K": Q(129.5, "mg/L")}, shelf, TANK)
    assert grams(found) == {"leaf bag": 24, "calcium bag": 20}
    # 24 g of a kilogram for 15, 20 g of one for 9
    assert found.cost == pytest.approx(0.36 + 0.18)
    assert found.unpriced == ()
    elements = found.solution.elements
    assert elements["N"].m_as("mg/L") == pytest.approx(0.6 * 50 + 0.5 * 155, abs=0.1)
    assert elements["P"].m_as("mg/L") == pytest.approx(0.6 * 52.37, abs=0.05)


def test_the_usual_pair_of_bags_is_weighed_as_growers_weigh_it():
    """Common practice: 36 g of the leaf bag, 18 g of Epsom salt and 36 g of calcium nitrate in 15 US gallons."""
    rows = tables.load("mixing").of("trade, weighed")
    litres = rows["volume"].quantity.m_as("L")
    found = for_shelf("leafy", Shelf.make(LEAF, CALCIUM, EPSOM, balance=Q(1, "g")), TANK)
    for name, row in (
        ("leaf bag", "multi-nutrient fertiliser"),
        ("calcium bag", "calcium nitrate fertiliser"),
    ):
        usual = rows[row].quantity.m_as("g") / litres * 40
        assert found.masses[name].m_as("g") == pytest.approx(usual, rel=0.3)
    assert found.masses["Epsom salt"].m_as("g") < 18 / litres * 40  # this bag holds magnesium itself
    assert found.missing == () or all("trace" in line for line in found.missing)


def test_three_bags_in_hard_water_take_less_of_the_calcium_bag():
    shelf = Shelf.make(LEAF, CALCIUM, EPSOM, balance=Q(1, "g"))
    soft, hard = for_shelf("flowering", shelf, TANK), for_shelf("flowering", shelf, TANK, HARD)
    assert grams(hard)["calcium bag"] < grams(soft)["calcium bag"]
    assert grams(hard)["Epsom salt"] == 0
    # together within what growers put into a litre: 0.8 to 2 g (common practice)
    assert 0.8 <= sum(grams(hard).values()) / 40 <= 2
    assert 1.4 <= hard.solution.conductivity().m_as("mS/cm") <= 2.2


def test_an_all_purpose_bag_lacks_calcium_and_magnesium_and_says_what_would_bring_them():
    found = for_shelf("flowering", Shelf.make(ALL_PURPOSE, balance=Q(1, "g")), TANK)
    assert 0.8 <= grams(found)["all-purpose bag"] / 40 <= 2
    assert found.missing[0].startswith(
        "There is no calcium in it; 0.58 g of calcium nitrate fertiliser in each"
    )
    assert found.missing[1].startswith("There is no magnesium in it; ")
    assert "zinc, boron, copper or molybdenum" in found.missing[-1]
    assert any("urea is not counted" in note for note in found.notes)
    # 4 of the 10 % that count are ammonium, by the label
    assert any(note.startswith("40 % of the nitrogen is ammonium") for note in found.notes)


def test_what_would_mend_it_mends_it():
    shelf = Shelf.make(ALL_PURPOSE, balance=Q(0.1, "g"))
    found = for_shelf("flowering", shelf, TANK)
    for lack in found.lacks:
        if lack.product:
            shelf = shelf.put(Stocked(salt(lack.product)))
    mended = for_shelf("flowering", shelf, TANK)
    for lack in found.lacks:
        for name in lack.then:
            assert name not in [each for other in mended.lacks for each in other.shares]
            reached = (mended.recipe.reached[name] / mended.targets[name]).m_as("")
            assert reached == pytest.approx(lack.then[name], rel=1e-6)
    for lack in found.lacks:
        if lack.product:
            assert mended.recipe.masses[lack.product].m_as("g") == pytest.approx(
                40 * lack.dose.m_as("g/L"), rel=1e-6
            )


def test_one_product_may_bring_two_things():
    found = for_shelf("flowering", Shelf.make(LEAF), TANK, HARD)
    # 58 of 120 mg/L calcium come with the water
    assert found.missing == (
        "Calcium (48 %) and nitrogen (33 %) are short of their targets; 0.67 g of calcium nitrate fertiliser in each "
        "litre would bring both.",
    )


def test_a_shelf_of_all_salts_lacks_nothing_and_is_weighed_as_ever():
    shelf = Shelf.make(*map(salt, usual_salts()))
    found, known = (
        for_shelf("flowering", shelf, TANK, HARD),
        weigh_out("flowering", usual_salts(), TANK, HARD),
    )
    assert found.missing == ()
    for name, mass in known.masses.items():
        assert found.masses[name].m_as("g") == pytest.approx(mass.m_as("g"), rel=1e-9)


def test_what_is_too_little_for_the_balance_is_kept_exact_and_named():
    shelf = Shelf.make(*map(salt, usual_salts()), balance=Q(1, "g"))
    found = for_shelf("flowering", shelf, TANK)
    assert "boric acid" in found.too_small
    assert "potassium nitrate" not in found.too_small
    for name, mass in found.masses.items():
        if name not in found.too_small:
            assert mass.m_as("g") == round(mass.m_as("g"))
    # 0.32 mg/L of boron in 40 L, of which boric acid has 17.48 %
    assert found.masses["boric acid"].m_as("mg") == pytest.approx(0.32 * 40 / 0.1748, rel=1e-3)


def test_what_the_acid_brings_is_not_weighed_and_not_missed():
    wanted, shelf = {"N": Q(100, "mg/L"), "K": Q(100, "mg/L")}, Shelf.make(salt("KNO3"), salt("K2SO4"))
    found = for_shelf(wanted, shelf, TANK, brought={"N": Q(80, "mg/L")})
    # 20 mg/L of N as potassium nitrate (13.85 % N)
    assert grams(found)["potassium nitrate"] == pytest.approx(40 * 20 / 138.5, rel=1e-3)
    assert found.reached["N"].m_as("mg/L") == pytest.approx(100)
    assert for_shelf(wanted, shelf, TANK, brought={"N": Q(140, "mg/L")}).reached["N"].m_as("mg/L") >= 140


def test_a_bag_that_is_nearly_empty_is_said():
    shelf = Shelf.make(Stocked(LEAF.product, left=Q(20, "g")), CALCIUM, balance=Q(1, "g"))
    found = for_shelf({"Ca": Q(95, "mg/L"), "K": Q(129.5, "mg/L")}, shelf, TANK)
    assert found.stock == ("leaf bag: 20.0 g is left, and this takes 24.0 g.",)
    assert found.unpriced == ("leaf bag",)
    assert "20.0 g is left" in str(found)


def test_wrong_input_gets_a_sentence():
    with pytest.raises(Problem, match="No fertiliser stands on this shelf yet"):
        for_shelf("leafy", Shelf.make(), TANK)
    with pytest.raises(Unreadable, match="shelf"):
        for_shelf("leafy", [LEAF], TANK)
