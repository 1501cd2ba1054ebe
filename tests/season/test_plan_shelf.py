"""A plan with a shelf of one's own: what is weighed, poured, lacking and paid for, and how it is kept."""

import shutil

import pytest
from stilltank import tables
from stilltank.science.products import Shelf, Stocked, acid, salt
from stilltank.season import paper, pictures
from stilltank.season import shelf as shelf_file
from stilltank.season.bench import Bench
from stilltank.season.plan import Plan, PlanFault
from stilltank.season.review import review
from stilltank.units import Problem, Q, write

DEMO = tables.DATA / "demo" / "shelf-quillgate.toml"


@pytest.fixture(scope="module")
def plan():
    return Plan.make(crop="zinnia", count=4, shelf=DEMO)


def test_the_card_names_what_stands_on_the_shelf(plan):
    card = paper.tank_card(plan)
    for name, mass in plan.outlook.recipe.masses.items():
        if mass.m_as("g"):
            assert name in plan.shelf.fertilisers
            assert f"{write(mass, digits=3)}" in card
            assert mass.m_as("g") == round(mass.m_as("g"))  # the balance shows whole grams
    assert "leaf bag" in card
    assert "boric acid" not in card
    assert "leaf bag" in pictures.mixing_table(plan)


def test_the_bags_bring_what_growers_put_into_a_litre(plan):
    whole = sum(mass.m_as("g") for mass in plan.outlook.recipe.masses.values())
    assert 0.8 <= whole / plan.outlook.volume.m_as("L") <= 2  # common practice
    assert 0.8 <= plan.outlook.recipe.solution.conductivity().m_as("mS/cm") <= 1.5  # the zinnia's range


def test_the_acid_is_the_first_of_the_shelf_and_is_paid_for(plan):
    assert plan.acid == "citric acid from the kitchen"
    dose = plan.outlook.doses["closed"]
    assert dose.acid.name == plan.acid
    # 500 g for 4.5
    assert plan.outlook.costs[plan.acid] == pytest.approx(dose.mass.m_as("g") * 4.5 / 500)
    other = plan.change(acid="nitric acid of the teacher")
    nitric = other.outlook.doses["closed"]
    assert other.outlook.costs[other.acid] == pytest.approx(nitric.volume.m_as("mL") * 6 / 1000)
    by_bag = {"leaf bag": 0.015, "calcium bag": 0.009, "Epsom salt": 0.0025}  # each gram
    for name, price in other.outlook.costs.items():
        if name in by_bag:
            assert price == pytest.approx(by_bag[name] * other.outlook.recipe.masses[name].m_as("g"))
    # the nitrogen of the acid need not be weighed
    assert other.outlook.recipe.masses["calcium bag"] < plan.outlook.recipe.masses["calcium bag"]


def test_a_shelf_may_change_and_go(plan):
    poorer = plan.change(shelf=plan.shelf.without("calcium bag"))
    assert any("calcium nitrate fertiliser" in line for line in poorer.outlook.shelf_words)
    assert any("calcium nitrate fertiliser" in line for line in poorer.outlook.missed.values())
    assert poorer.acid == plan.acid
    without = plan.change(acid="nitric acid of the teacher").change(shelf=None)
    assert (without.shelf, without.acid) == (None, "nitric acid 0.5 mol/L")
    assert without.outlook.by_shelf is None
    assert "boric acid" in without.outlook.recipe.masses
    acids_alone = plan.change(shelf=Shelf.make(acid("citric acid 5 %")))
    assert acids_alone.outlook.by_shelf is None
    assert acids_alone.acid == "citric acid 5 %"


def test_what_is_nearly_empty_is_said(plan):
    low = plan.shelf.put(Stocked(plan.shelf.fertilisers["leaf bag"].product, left=Q(5, "g")))
    low = low.put(Stocked(plan.shelf.acids[plan.acid].product, left=Q(1, "g")))
    words = plan.change(shelf=low).outlook.shelf_words
    assert any(line.startswith("leaf bag: 5.00 g is left, and this takes") for line in words)
    assert any(line.startswith("citric acid from the kitchen: 1 g is left, and this takes") for line in words)


def test_the_plan_keeps_the_way_to_its_shelf(tmp_path, plan):
    shutil.copy(DEMO, tmp_path / "my-shelf.toml")
    made = Plan.make(crop="zinnia", count=4, shelf=tmp_path / "my-shelf.toml")
    made.save(tmp_path / "my-tank.toml")
    assert 'shelf = "my-shelf.toml"' in (tmp_path / "my-tank.toml").read_text()
    again = Plan.load(tmp_path / "my-tank.toml")
    assert shelf_file.as_text(again.shelf) == shelf_file.as_text(made.shelf)
    assert again.acid == made.acid
    assert again.text(tmp_path) == made.text(tmp_path)
    assert again.change(count=3).text(tmp_path).count("my-shelf.toml") == 1
    with pytest.raises(Problem, match="comes from no file"):
        plan.change(shelf=Shelf.make(salt("KNO3"))).text()


def test_a_fault_of_the_shelf_is_told_with_the_line_of_the_plan(tmp_path):
    shutil.copy(DEMO, tmp_path / "my-shelf.toml")
    Plan.make(shelf=tmp_path / "my-shelf.toml").save(tmp_path / "my-tank.toml")
    text = (tmp_path / "my-shelf.toml").read_text()
    (tmp_path / "my-shelf.toml").write_text(text.replace('bag = "1 kg"', 'bag = "1 L"', 1))
    number = next(
        n
        for n, line in enumerate((tmp_path / "my-tank.toml").read_text().splitlines(), 1)
        if "my-shelf" in line
    )
    with pytest.raises(
        PlanFault, match=rf"my-tank\.toml, line {number}: my-shelf\.toml, line \d+: .*is a volume"
    ):
        Plan.load(tmp_path / "my-tank.toml")
    (tmp_path / "my-shelf.toml").unlink()
    with pytest.raises(PlanFault, match=r"is not there\. Check the name"):
        Plan.load(tmp_path / "my-tank.toml")


def test_a_bench_buys_for_the_shelf_that_its_tanks_share(plan):
    other = plan.change(count=3)
    assert Bench.of([plan, other, Plan.make(count=4)]).shelf is plan.shelf
    assert Bench.of([plan, other.change(shelf=Shelf.make(salt("KNO3")))]).shelf is None
    assert Bench.of([plan], Shelf.make()).shelf.fertilisers == {}


def test_wrong_shelves_get_a_sentence():
    with pytest.raises(Problem, match="A shelf is a Shelf or a file"):
        Plan.make(shelf=5)
    with pytest.raises(Problem, match="No acid is called"):
        Plan.make(shelf=Shelf.make(salt("KNO3")), acid="vinegar")


def test_a_review_of_a_poor_shelf_says_what_to_put_on_it():
    label = {"NO3-N": 6, "NH4-N": 4, "urea-N": 10, "P2O5": 20, "K2O": 20, "Fe": 0.1, "Mn": 0.05}
    bag = Stocked.from_label("all-purpose bag", {key: Q(value, "percent") for key, value in label.items()})
    poor = Plan.make(crop="zinnia", count=4, water="quillgate-rain", shelf=Shelf.make(bag))
    (flag,) = [flag for flag in review(poor) if flag.name == "low element"]
    assert "the workbook's own salts" in flag.remedies[-1].words
    assert "calcium nitrate fertiliser" in flag.remedies[0].words
    for remedy in flag.remedies:
        assert "low element" not in [flag.name for flag in review(remedy.applied(poor))]
