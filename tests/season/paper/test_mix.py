"""What to mix, in the card: by weight, by two bottles, by spoons; and the acid by drops."""

import re

import pytest
from printed import words_of
from stilltank.science import mixing
from stilltank.science.products import Salt, Shelf, salt, usual_salts
from stilltank.season import paper
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q, Unreadable, write


@pytest.fixture(scope="module")
def plan():
    return Plan.make(count=4)


@pytest.mark.parametrize("mode", paper.MIXES)
@pytest.mark.parametrize("system", ["metric", "US"])
def test_the_card_shows_the_way_that_was_chosen(plan, mode, system):
    card = words_of(paper.tank_card(plan, system=system, mix=mode))
    assert words_of(paper.mix_section(plan, system, mode)) in card
    (stock,) = plan.outlook.trace_stocks
    amounts = f"made up to {write(stock.volume)}: put {write(stock.dose)} into the tank"
    assert f"Stock of iron and trace elements, {amounts}" in card
    assert ("Calcium stock, made up to 1 L" in card) == (mode == "bottles")
    assert ("Level teaspoons" in card) == (mode == "spoons")


def test_the_tank_gets_from_the_bottles_what_it_would_by_weight(plan):
    said = words_of(paper.mix_section(plan, mode="bottles"))
    found = re.search(r"Put ([\d.]+) mL of each into the tank .* lasts 5 and a half fillings", said)
    dose = float(found[1])
    for name, mass in plan.outlook.recipe.masses.items():
        if name in plan.outlook.recipe.too_small or not mass.magnitude:
            continue
        grams = float(re.search(rf"{re.escape(name)} ([\d.]+) g", said)[1])  # in a litre
        assert grams * dose / 1000 == pytest.approx(mass.m_as("g"), rel=5e-3)


def test_one_bag_is_weighed_and_the_card_says_why(plan, monkeypatch):
    percent = {"NO3-N": 12, "NH4-N": 2, "P2O5": 8, "K2O": 20, "CaO": 10, "MgO": 4}
    bag = Salt.from_label("my bag", {name: Q(value, "percent") for name, value in percent.items()})
    recipe = mixing.weigh_out("leafy", [bag], plan.outlook.volume, plan.water)
    monkeypatch.setattr(type(plan.outlook), "recipe", property(lambda self: recipe))
    said = words_of(paper.mix_section(plan, mode="bottles"))
    assert "cannot be parted into two bottles" in said
    assert f"my bag {write(recipe.masses['my bag'], digits=3)}" in said


def test_spoons_stand_beside_the_grams(plan):
    said = words_of(paper.mix_section(plan, mode="spoons"))
    found = mixing.spoons(plan.outlook.recipe)
    for name, each in found.spoonfuls.items():
        assert f"{name} {write(each.mass, digits=3)} {each.about} {each.range}" in said
    assert "By spoons it may be" in said
    assert "A teaspoon of 4.93 mL" in words_of(paper.mix_section(plan, "US", "spoons"))


def test_the_acid_in_portions_that_drops_can_see(plan):
    said = words_of(paper.portions_section(plan, "drops"))
    whole = plan.outlook.doses["closed"].volume
    assert write(whole, digits=3) in said
    assert "Stop as soon as the test shows pH 6.1 or less" in said
    card = words_of(paper.tank_card(plan, ph_test="drops"))
    assert said in card
    assert "Add three quarters" not in card
    assert "Add three quarters" in words_of(paper.tank_card(plan))
    rain = Plan.make(count=4, water="quillgate-rain", target_ph=7)
    assert paper.portions_section(rain) == ""


def test_the_card_goes_by_the_shelf_where_nobody_says():
    bags = (salt("multi-nutrient fertiliser, low nitrogen"), salt("Epsom salt"), salt("calcium nitrate"))
    spoons = Plan.make(count=4, shelf=Shelf.make(*bags, teaspoon=Q(5, "mL"), ph_test="strips"))
    card = words_of(paper.tank_card(spoons))
    assert "Level teaspoons for" in card
    assert "pH read by strips" in card
    assert "Level teaspoons" not in words_of(paper.tank_card(spoons, mix="bottles"))
    weighed = Plan.make(count=4, shelf=Shelf.make(*bags, balance=Q(1, "g")))
    assert "Level teaspoons" not in words_of(paper.tank_card(weighed))
    assert "Add three quarters" in words_of(paper.tank_card(weighed))
    both = words_of(paper.mix_section(weighed, mode="bottles"))
    assert "Calcium stock" in both
    assert "does not say how much dissolves" in both


def test_lab_salts_on_a_kitchen_scale_want_a_bought_mix_of_traces():
    plan = Plan.make(count=4, shelf=Shelf.make(*map(salt, usual_salts()), balance=Q(1, "g")))
    said = words_of(paper.mix_section(plan))
    assert "Too light for this balance: " in said
    assert "Buy a mix of trace elements with iron, or weigh on a pocket scale" in said
    assert not re.search(r"\b0 g", said)  # no mass that the balance would show as nothing
    assert [label.title for label in paper.labels_for(plan)] == [
        "Calcium stock", "Sulfate and phosphate stock", "Nitric acid 0.5 mol/L",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("wrong", "kind"),
    [
        (lambda p: paper.mix_section("plan"), Problem),
        (lambda p: paper.mix_section(p, "imperial"), Problem),
        (lambda p: paper.mix_section(p, mode="stones"), Problem),
        (lambda p: paper.mix_section(p, mode=None), Problem),
        (lambda p: paper.tank_card(p, mix="stones"), Problem),
        (lambda p: paper.tank_card(p, ph_test="tongue"), Unreadable),
        (lambda p: paper.portions_section(p, "tongue"), Unreadable),
        (lambda p: paper.portions_section(None), Problem),
    ],
)
def test_wrong_input(plan, wrong, kind):
    with pytest.raises(kind):
        wrong(plan)
