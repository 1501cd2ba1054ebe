"""The shelf by hand: what is typed stands in the file beside the plan, and the plan weighs and pours of it."""

import pytest
from stilltank.science.products import Shelf, Stocked, salt
from stilltank.season import own_tank
from stilltank.season import shelf as files
from stilltank.units import Problem, Q

LEAF = (
    "5-12-26\nNitrate nitrogen 5 %\nMg 6 %; S 8 %\nFe EDTA 0.3 %, Mn 0.05, Zn 0.03, B 0.05, Cu 0.015, Mo 0.01"
)


@pytest.fixture
def draft(tmp_path):
    return own_tank.Draft(tmp_path / "my-tank.toml", crop="zinnia", count=4)


@pytest.fixture
def panel(draft):
    return own_tank.shelf_panel(draft)


def put_bag(panel, name, label, **stock):
    for box, value in {"name": name, "label": label, **stock}.items():
        panel.bag[box].value = value
    panel.put_bag.click()


def test_a_bag_by_its_label_is_kept_weighed_and_paid_for(panel, draft, tmp_path):
    put_bag(panel, "leaf bag", LEAF, bag="1 kg", left="400 g", price="15,00")
    assert "leaf bag stands on the shelf" in panel.status.value
    assert panel.bag["name"].value == panel.bag["label"].value == ""
    panel.bag["salt"].value = "calcium nitrate fertiliser"
    panel.bag["bag"].value, panel.bag["price"].value = "1 kg", "9"
    panel.put_bag.click()
    panel.tools["balance"].value, panel.tools["currency"].value = "1 g", "EUR"
    panel.keep_tools.click()
    kept = files.load(tmp_path / "my-shelf.toml")
    assert list(kept.fertilisers) == ["leaf bag", "calcium nitrate fertiliser"]
    assert kept.fertilisers["leaf bag"].left.m_as("g") == 400
    masses = draft.plan.outlook.recipe.masses
    assert set(masses) == {"leaf bag", "calcium nitrate fertiliser"}
    # 15 and 9 EUR a kilogram
    cost = 0.015 * masses["leaf bag"].m_as("g") + 0.009 * masses["calcium nitrate fertiliser"].m_as("g")
    assert f"{cost:.2f} EUR in all" in panel.follows.value
    draft.save()
    assert 'shelf = "my-shelf.toml"' in (tmp_path / "my-tank.toml").read_text()
    again = own_tank.Draft(tmp_path / "my-tank.toml")
    assert set(again.plan.outlook.recipe.masses) == set(masses)


def test_what_is_lacking_is_said_below_with_what_would_bring_it(panel):
    put_bag(panel, "leaf bag", LEAF)
    assert "calcium nitrate fertiliser in each litre would bring" in panel.follows.value


def test_what_is_refused_stays_in_its_box_and_nothing_is_written(panel, draft, tmp_path):
    before = draft.plan
    for name, label, stock, says in (
        ("", LEAF, {}, "Your name for it&quot; is empty"),
        ("bag", "", {}, "The label is empty"),
        ("bag", "24-8-16", {}, "Look at the small print"),
        ("bag", "P2O6 12", {}, "names nothing we know"),
        ("bag", LEAF, {"bag": "1 L"}, "is a volume"),
        ("bag", LEAF, {"bag": "1 kg", "left": "some"}, "What is left"),
        ("bag", LEAF, {"left": "", "price": "cheap"}, "Type a number, such as 12.50"),
    ):
        put_bag(panel, name, label, **stock)
        assert says in panel.status.value, says
        assert (panel.bag["name"].value, panel.bag["label"].value) == (name, label)
    assert not (tmp_path / "my-shelf.toml").exists()
    assert draft.plan is before


def test_nitrogen_without_its_kind_is_taken_as_chosen(panel, draft):
    panel.bag["nitrogen"].value = "urea"
    put_bag(panel, "lawn bag", "24-8-16")
    assert "taken to be urea, and not counted" in panel.follows.value
    assert draft.plan.shelf.fertilisers["lawn bag"].nitrogen == "urea"


def test_a_bag_is_changed_and_taken_off(panel, draft, tmp_path):
    put_bag(panel, "leaf bag", LEAF, bag="5 lb", price="20")
    panel.bag["which"].value = "leaf bag"
    assert panel.bag["bag"].value == "5 lb"
    assert "NO3-N 5 %" in panel.bag["label"].value
    panel.bag["name"].value, panel.bag["left"].value = "leaf bag of 2027", "2 lb"
    panel.put_bag.click()
    kept = files.load(tmp_path / "my-shelf.toml")
    assert list(kept.fertilisers) == ["leaf bag of 2027"]
    assert kept.fertilisers["leaf bag of 2027"].left.m_as("lb") == pytest.approx(2)
    put_bag(panel, "leaf bag of 2027", LEAF)
    assert "stands on the shelf already" in panel.status.value
    panel.take_bag.click()
    assert "Choose under" in panel.status.value
    panel.bag["which"].value = "leaf bag of 2027"
    panel.take_bag.click()
    assert files.load(tmp_path / "my-shelf.toml").fertilisers == {}
    assert "boric acid" in draft.plan.outlook.recipe.masses  # the workbook's own salts again


@pytest.mark.parametrize(
    ("substance", "strength", "density", "molar"),
    [
        ("nitric acid", "53 %", "1.33 g/mL", 11.19),  # 0.53 x 1330 / 63.01
        ("nitric acid", "53", "1.33", 11.19),
        ("phosphoric acid", "0.25 mol/L", "", 0.25),
        ("citric acid", "", "", None),
        ("potassium hydroxide", "0.1 mol/L", "", 0.1),
    ],
)
def test_a_bottle_by_percent_and_density_by_molarity_or_a_powder(
    panel, draft, substance, strength, density, molar
):
    boxes = panel.bottle
    boxes["name"].value, boxes["substance"].value = "mine", substance
    boxes["strength"].value, boxes["density"].value = strength, density
    boxes["bag"].value = "1 L" if molar else "500 g"
    panel.put_bottle.click()
    assert "mine stands on the shelf" in panel.status.value
    assert "goggles" in panel.status.value
    held = draft.plan.shelf.find("mine").product
    if molar is None:
        assert held.concentration is None
    else:
        assert held.concentration.m_as("mol/L") == pytest.approx(molar, abs=0.01)
    if substance != "potassium hydroxide":
        assert draft.plan.acid == "mine"
        assert "<td>mine</td>" in panel.follows.value
    panel.bottle["which"].value = "mine"
    panel.put_bottle.click()  # what it filled in is what stands there
    again = draft.plan.shelf.find("mine").product
    assert (again.concentration, again.formula) == (held.concentration, held.formula)


def test_a_bottle_without_its_strength_or_with_a_wrong_density_is_asked(panel):
    panel.bottle["substance"].value = "nitric acid"
    panel.put_bottle.click()
    assert "Strength&quot; is empty" in panel.status.value
    panel.bottle["strength"].value, panel.bottle["density"].value = "53 %", "1.60 g/mL"
    panel.put_bottle.click()
    assert "Read the label again" in panel.status.value
    assert panel.bottle["density"].value == "1.60 g/mL"


def test_the_own_acid_can_be_chosen_with_the_water(panel, draft):
    water = own_tank.water_panel(draft)
    panel.bottle["name"].value, panel.bottle["strength"].value = "acid in the shed", "0.5 mol/L"
    panel.put_bottle.click()
    assert water.rows["acid"].value == "acid in the shed"
    water.rows["acid"].value = "citric acid 5 %"
    assert draft.plan.acid == "citric acid 5 %"
    water.rows["acid"].value = "acid in the shed"
    assert draft.plan.acid == "acid in the shed"


def test_the_plan_can_go_back_to_the_workbooks_own_salts(panel, draft):
    put_bag(panel, "leaf bag", LEAF)
    assert panel.weigh_by.value is True
    panel.weigh_by.value = False
    assert draft.plan.shelf is None
    assert panel.follows.value == ""
    panel.weigh_by.value = True
    assert set(draft.plan.outlook.recipe.masses) == {"leaf bag"}


def test_a_file_that_somebody_changed_is_not_replaced(panel, draft, tmp_path):
    put_bag(panel, "leaf bag", LEAF)
    path = tmp_path / "my-shelf.toml"
    path.write_text(path.read_text() + "# by hand\n")
    put_bag(panel, "other bag", LEAF)
    assert "was changed meanwhile" in panel.status.value
    assert "# by hand" in path.read_text()
    assert list(draft.plan.shelf.fertilisers) == ["leaf bag"]


def test_a_shelf_with_a_fault_is_told_and_left_alone(draft, tmp_path):
    (tmp_path / "my-shelf.toml").write_text('format = 1\nbalance = "1 mL"\n')
    panel = own_tank.shelf_panel(draft)
    assert "line 2" in panel.status.value
    put_bag(panel, "leaf bag", LEAF)
    assert "line 2" in panel.status.value
    assert (tmp_path / "my-shelf.toml").read_text() == 'format = 1\nbalance = "1 mL"\n'


def test_back_to_the_start_keeps_the_shelf_that_is_in_its_file(panel, draft):
    put_bag(panel, "leaf bag", LEAF)
    draft.reset()
    assert draft.plan.shelf is None
    assert "leaf bag" in panel.shown.value
    panel.weigh_by.value = True
    assert set(draft.plan.outlook.recipe.masses) == {"leaf bag"}


def test_every_control_has_a_name_and_numbers_follow_the_system(panel, draft):
    boxes = [*panel.bag.values(), *panel.bottle.values(), *panel.tools.values(), panel.weigh_by]
    assert all(box.description for box in boxes)
    put_bag(panel, "leaf bag", LEAF, bag="1 kg")
    draft.show_in("US")
    assert "2.2 lb" in panel.shown.value
    assert "US gal" in panel.follows.value


def test_only_a_draft_has_a_shelf():
    with pytest.raises(Problem, match="draft of a plan"):
        own_tank.shelf_panel(Q(5, "g"))


def test_a_shelf_that_a_remedy_changed_is_kept(panel, draft, tmp_path):
    put_bag(panel, "leaf bag", LEAF)
    draft.change(shelf=draft.plan.shelf.put(Stocked(salt("KNO3"))))
    assert list(files.load(tmp_path / "my-shelf.toml").fertilisers) == ["leaf bag", "potassium nitrate"]
    assert "potassium nitrate" in panel.shown.value


def test_without_its_panel_it_gets_a_file_of_its_own(draft, tmp_path):
    before = files.save(Shelf.make(salt("KCl")), tmp_path / "my-shelf.toml")
    draft.change(shelf=Shelf.make(salt("Ca(NO3)2.4H2O"), salt("KNO3")))
    draft.save()
    assert (tmp_path / "my-shelf.toml").read_bytes() == before
    again = own_tank.Draft(tmp_path / "my-tank.toml")
    assert list(again.plan.shelf.fertilisers) == ["calcium nitrate tetrahydrate", "potassium nitrate"]
