"""Two stock solutions that stay clear: balance, saturation, and a dilution worked by hand."""

import pytest
from stilltank.science.chemistry import gypsum_saturation_index
from stilltank.science.mixing import Water, demo_water, single_concentrate, two_bottles, weigh_out
from stilltank.science.products import Salt, usual_salts
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

HOAGLAND = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
LABELS = ["multi-nutrient fertiliser, low nitrogen", "Epsom salt", "calcium nitrate"]
TAP = demo_water("quillgate-tap")


def percent(number):
    return Q(number, "percent")


ALL_IN_ONE = Salt.from_label(
    "my bag",
    {"NO3-N": percent(12), "NH4-N": percent(2), "P2O5": percent(8), "K2O": percent(20), "CaO": percent(10),
     "MgO": percent(4)},
)  # fmt: skip


@pytest.mark.parametrize("water", [None, TAP], ids=["pure", "tap"])
@pytest.mark.parametrize("name", ["leafy", "flowering", "Hoagland 1", "Steiner", "Sonneveld gerbera"])
@pytest.mark.parametrize(
    "shelf", [usual_salts(), LABELS, [*HOAGLAND, "iron DTPA"]], ids=["usual", "labels", "four"]
)
def test_the_tank_gets_from_the_bottles_what_the_recipe_weighs(name, shelf, water):
    recipe = weigh_out(name, shelf, Q(36.2, "L"), water)
    found = two_bottles(recipe, Q(1, "L"))
    given = {salt: mass.m_as("g") for salt, mass in found.apart.items()}
    for bottle in (*found.bottles, *found.traces):
        dose = found.dose if bottle in found.bottles else bottle.dose
        for salt, mass in bottle.masses.items():
            assert salt not in given  # in one bottle only
            given[salt] = (mass * dose / bottle.volume).m_as("g")
    wanted = {salt: mass.m_as("g") for salt, mass in recipe.masses.items() if mass.m_as("g") > 0}
    assert given == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize("name", ["leafy", "flowering", "Hoagland 1"])
@pytest.mark.parametrize("shelf", [usual_salts(), LABELS, HOAGLAND], ids=["usual", "labels", "four"])
def test_they_stay_clear_where_one_bottle_would_not(name, shelf):
    recipe = weigh_out(name, shelf, Q(36.2, "L"))
    found = two_bottles(recipe, Q(1, "L"))
    assert 100 <= found.strength <= 200
    for bottle in found.bottles:
        assert float(gypsum_saturation_index(bottle.solution, Q(20, "degC"))) < 0
        assert sum(bottle.solubility_share.values()) <= 0.8
    if "SO4-2" in recipe.solution.added and recipe.solution.added["SO4-2"].m_as("mmol/L") > 0.5:
        assert single_concentrate(recipe, found.strength).gypsum.magnitude > 0


def test_a_dilution_by_hand():
    # Hoagland 1, 36 L at 200 times: 36 000 / 200 = 180 mL of each; a litre of the calcium stock holds 200 x 5 mmol of
    # calcium nitrate tetrahydrate, 1 mol of 236.15 g; a litre lasts 1000/180 = 5.6 fillings
    found = two_bottles(weigh_out("Hoagland 1", HOAGLAND, Q(36, "L")), Q(1, "L"), strength=200)
    assert found.dose.m_as("mL") == pytest.approx(180)
    assert found.for_a_litre.m_as("mL") == 5
    assert found.bottles[0].masses["calcium nitrate tetrahydrate"].m_as("g") == pytest.approx(
        236.15, rel=1e-3
    )
    assert found.fillings == pytest.approx(1000 / 180)
    assert "5 and a half fillings" in str(found)
    assert not found.checks


def test_four_tubs_of_45_litres_want_a_litre_of_each_or_less():
    found = two_bottles(weigh_out("flowering", usual_salts(), Q(36, "L"), TAP), Q(1, "L"))
    assert [bottle.title for bottle in found.bottles] == ["Calcium stock", "Sulfate and phosphate stock"]
    assert found.fillings >= 4
    assert "monopotassium phosphate" not in found.bottles[0].masses
    assert "calcium nitrate fertiliser" in found.bottles[0].masses
    (small,) = found.traces
    assert small.name == "iron and trace elements"


def test_a_large_bottle_on_a_fine_balance_holds_the_traces_too():
    found = two_bottles(weigh_out("flowering", usual_salts(), Q(36, "L")), Q(25, "L"))
    assert not found.traces
    assert "iron DTPA" in found.bottles[0].masses
    assert "boric acid" in found.bottles[1].masses
    assert any("away from phosphate" in note for note in found.notes)


def test_one_bag_with_everything_cannot_be_parted():
    recipe = weigh_out("leafy", [ALL_IN_ONE, "Epsom salt"], Q(36, "L"))
    found = two_bottles(recipe)
    assert found.bottles == ()
    assert found.fillings == found.dose.magnitude == 0
    assert str(found).startswith("my bag holds calcium together with sulfate or phosphate")
    assert "Weigh it straight into the tank" in found.why_not


def test_the_sulfate_that_rounds_a_label_does_not_decide():
    mine = Salt.from_label(
        "my calcium nitrate", {"Ca": percent(19), "NO3-N": percent(14.2), "NH4-N": percent(1.1)}
    )
    assert 0 < mine.share("S").m_as("percent") < 0.5
    found = two_bottles(weigh_out("leafy", [mine, "KNO3", "KH2PO4", "Epsom salt"], Q(36, "L")), Q(1, "L"))
    assert set(found.bottles[0].masses) >= {"my calcium nitrate"}
    assert any("does not say how much dissolves" in sentence for sentence in found.checks)


def test_too_strong_and_hard_water_are_said():
    recipe = weigh_out("flowering", usual_salts(), Q(36, "L"))
    strong = two_bottles(recipe, Q(1, "L"), strength=600)
    assert any("Make it weaker" in sentence for sentence in strong.checks)
    hard = Water({"Ca": Q(500, "mg/L"), "SO4-2": Q(50, "mg/L")}, alkalinity=Q(240, "mg/L"), ph=7.5)
    epsom = weigh_out({"Mg": Q(40, "mg/L"), "P": Q(30, "mg/L")}, ["Epsom salt", "KH2PO4"], Q(36, "L"), hard)
    found = two_bottles(epsom, Q(1, "L"), strength=100)
    assert any("rain water or purified water" in sentence for sentence in found.checks)
    assert not two_bottles(epsom, Q(1, "L"), strength=100, water=Water.pure()).checks


@pytest.mark.parametrize(
    ("wrong", "kind"),
    [
        (lambda r: two_bottles("leafy"), Unreadable),
        (lambda r: two_bottles(r, 1), UnitNeeded),
        (lambda r: two_bottles(r, Q(0, "L")), OutOfRange),
        (lambda r: two_bottles(r, Q(-1, "L")), OutOfRange),
        (lambda r: two_bottles(r, Q([1, 2], "L")), Problem),
        (lambda r: two_bottles(r, strength="1:100"), Unreadable),
        (lambda r: two_bottles(r, strength=0.5), OutOfRange),
        (lambda r: two_bottles(r, balance=1), UnitNeeded),
        (lambda r: two_bottles(r, water="tap"), Unreadable),
    ],
)
def test_wrong_input(wrong, kind):
    with pytest.raises(kind):
        wrong(weigh_out("leafy", usual_salts(), Q(36, "L")))
