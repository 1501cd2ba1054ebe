"""Level teaspoons: the gardeners' tables, the range, the EC, and what no spoon should measure."""

import pytest
from stilltank import tables
from stilltank.science.mixing import demo_water, mix, spoons, weigh_out
from stilltank.science.products import Salt, acid, usual_salts
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

# Grams in a glass of 200 mL, gardeners' tables in secondary copies: a level teaspoon of 5 mL is a fortieth.
GLASS = {
    "potassium nitrate": (200, 220), "calcium nitrate fertiliser": (200, 200), "potassium sulfate": (240, 260),
    "ammonium sulfate": (160, 200), "potassium chloride": (180, 200), "ammonium nitrate": (160, 170),
}  # fmt: skip


@pytest.mark.parametrize("name", GLASS)
def test_a_teaspoon_is_a_fortieth_of_a_glass(name):
    entry = tables.load("spoons")[name, "level teaspoon"]
    assert [end.m_as("g") for end in entry.range] == [grams / 40 for grams in GLASS[name]]
    assert entry.kind == "published"
    assert entry.quantity.m_as("g") == pytest.approx(sum(GLASS[name]) / 80)


def test_by_hand():
    # 6 g over 5.25 g: 1.14, so 1 1/4; at least 6 / (5.5 x 1.2) = 0.91 -> 3/4, at most 6 / (5 x 0.8) = 1.5
    each = spoons({"KNO3": Q(6, "g")}).spoonfuls["potassium nitrate"]
    assert (each.teaspoons, each.low, each.high) == (1.25, 0.75, 1.5)
    # 1 1/4 teaspoons hold 1.25 x 5 x 0.8 = 5.0 g to 1.25 x 5.5 x 1.2 = 8.25 g
    assert (each.least.m_as("g"), each.most.m_as("g")) == (pytest.approx(5.0), pytest.approx(8.25))
    assert str(each) == "about 1 1/4 level teaspoons (3/4 to 1 1/2)"


def test_the_us_spoon_is_a_little_smaller():
    metric, us = (
        spoons({"KNO3": Q(100, "g")}, spoon).spoonfuls["potassium nitrate"] for spoon in ("metric", "US")
    )
    assert us.teaspoons > metric.teaspoons
    assert (
        spoons({"KNO3": Q(100, "g")}, Q(5, "mL")).spoonfuls["potassium nitrate"].teaspoons == metric.teaspoons
    )


def test_what_the_spoon_does_to_the_ec():
    water = demo_water("quillgate-tap")
    recipe = weigh_out({"K": Q(150, "mg/L")}, ["KNO3"], Q(36, "L"), water)
    found = spoons(recipe)
    each = found.spoonfuls["potassium nitrate"]
    exact, least, most = found.conductivity.m_as("mS/cm")
    assert exact == pytest.approx(recipe.solution.conductivity().m_as("mS/cm"))
    for mass, value in ((each.least, least), (each.most, most)):
        assert mix({"KNO3": mass}, Q(36, "L"), water).conductivity().m_as("mS/cm") == pytest.approx(value)
    assert least < exact < most
    assert any("measure it" in note for note in found.notes)


def test_traces_and_small_masses_are_refused_and_the_rest_measured():
    found = spoons(weigh_out("flowering", usual_salts(), Q(36, "L")))
    assert {"boric acid", "iron DTPA"} < set(found.refused)
    assert set(found.spoonfuls) | set(found.refused) >= {"calcium nitrate fertiliser", "potassium sulfate"}
    assert "0.01 g matters" in found.weigh
    with pytest.raises(Problem, match="less than a quarter"):
        spoons({"KNO3": Q(0.3, "g")})


@pytest.mark.parametrize("given", ["citric acid", "nitric acid 0.5 mol/L", "potassium hydroxide 0.1 mol/L"])
def test_acids_and_bases_are_refused(given):
    with pytest.raises(Problem, match="not measured by spoon"):
        spoons({given: Q(10, "g")})


def test_an_acid_itself_is_refused():
    with pytest.raises(Problem, match="not measured by spoon"):
        spoons(acid("citric acid"))


def test_an_own_product_is_wide_and_says_so():
    mine = Salt.from_label(
        "my bag", {"NO3-N": Q(5, "percent"), "K2O": Q(26, "percent"), "P2O5": Q(12, "percent")}
    )
    found = spoons({mine: Q(20, "g")})
    each = found.spoonfuls["my bag"]
    assert each.kind == "assumption"
    assert each.high > 2 * each.low  # 4 to 6.5 g, and a fifth either way
    assert any("Weigh ten level teaspoons" in note for note in found.notes)


def test_a_teaspoon_that_was_weighed_takes_the_place_of_the_table():
    # ten level teaspoons weighed 46 g: 20 / 4.6 = 4.35 -> 4 1/4
    # 20 / (4.6 x 1.1) = 3.95 -> 3 3/4; 20 / (4.6 x 0.9) = 4.83 -> 5
    found = spoons({"KNO3": Q(20, "g")}, weighed={"potassium nitrate": Q(4.6, "g")})
    each = found.spoonfuls["potassium nitrate"]
    assert (each.teaspoons, each.low, each.high, each.kind) == (4.25, 3.75, 5, "your own")


@pytest.mark.parametrize(
    ("grams", "said"), [(1.3, "1/4"), (2.6, "1/2"), (5.25, "1"), (6.6, "1 1/4"), (21, "4")]
)
def test_quarters_of_a_teaspoon(grams, said):
    assert spoons({"KNO3": Q(grams, "g")}).spoonfuls["potassium nitrate"].about == said


@pytest.mark.parametrize(
    ("wrong", "kind"),
    [
        (lambda: spoons({}), UnitNeeded),
        (lambda: spoons(None), UnitNeeded),
        (lambda: spoons({"KNO3": 6}), UnitNeeded),
        (lambda: spoons({"KNO3": Q(-6, "g")}), OutOfRange),
        (lambda: spoons({"gold dust": Q(6, "g")}), Unreadable),
        (lambda: spoons({"KNO3": Q(6, "g")}, "heaped"), Problem),
        (lambda: spoons({"KNO3": Q(6, "g")}, Q(1, "L")), OutOfRange),
        (lambda: spoons({"KNO3": Q(6, "g")}, 5), UnitNeeded),
        (lambda: spoons({"KNO3": Q(6, "g")}, weighed=5), UnitNeeded),
        (lambda: spoons({"KNO3": Q(6, "g")}, weighed={"KNO3": 5}), UnitNeeded),
        (lambda: spoons({"KNO3": Q(6, "g")}, weighed={"KNO3": Q(5, "kg")}), OutOfRange),
    ],
)
def test_wrong_input(wrong, kind):
    with pytest.raises(kind):
        wrong()
