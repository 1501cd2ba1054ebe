"""A shelf of one's own: labels, bottles, bags and prices, by hand; all bags here are invented."""

import pytest
from stilltank.science.products import Shelf, Stocked, acid, base, salt
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable


def percent(**figures):
    return {name.replace("_", "-"): Q(value, "percent") for name, value in figures.items()}


def test_oxides_on_a_label_are_counted_as_elements():
    """P2O5 times 0.4364 (Mattson 2018); K2O times 0.8301, by 2 x 39.098 / 94.195."""
    bag = Stocked.from_label("leaf bag", percent(NO3_N=5, P2O5=12, K2O=26))
    assert bag.product.share("P").m_as("percent") == pytest.approx(12 * 0.4364, abs=0.005)
    assert bag.product.share("K").m_as("percent") == pytest.approx(26 * 0.8301, abs=0.005)
    elements = Stocked.from_label("the same", percent(NO3_N=5, P=12 * 0.43643, K=26 * 0.83015))
    assert elements.product.share("K").m_as("percent") == pytest.approx(26 * 0.8301, abs=0.005)


def test_a_label_may_print_the_whole_of_its_nitrogen_beside_the_kinds():
    bag = Stocked.from_label("calcium bag", percent(N=15.5, NO3_N=14.4, NH4_N=1.1, CaO=26.5))
    assert bag.product.share("N").m_as("percent") == pytest.approx(15.5, abs=0.01)
    assert bag.nitrogen == ""
    assert bag.product.part == "calcium"
    assert not any("taken to be" in note for note in bag.product.notes)


@pytest.mark.parametrize(("kind", "counted"), [("urea", 0.0), ("ammonium", None), ("nitrate", None)])
def test_nitrogen_without_its_kind_is_asked_for_or_taken_for_something(kind, counted):
    all_purpose = percent(N=24, P2O5=8, K2O=16)
    with pytest.raises(Unreadable, match=r"24 % N\. Look at the small print .* mostly urea"):
        Stocked.from_label("all-purpose bag", all_purpose)
    if counted is None:  # 17.1 mmol of either in a gram leave no room for what would balance them
        with pytest.raises(Problem, match=f"if all its nitrogen were {kind}"):
            Stocked.from_label("all-purpose bag", all_purpose, nitrogen=kind)
        return
    bag = Stocked.from_label("all-purpose bag", all_purpose, nitrogen=kind)
    assert bag.product.share("N").m_as("percent") == counted
    assert "taken to be urea, and not counted" in bag.product.notes[0]
    assert bag.nitrogen == "urea"


def test_an_assumption_is_kept_only_where_it_was_needed():
    saltpetre = Stocked.from_label("saltpetre", percent(N=13, K2O=46), nitrogen="nitrate")
    assert saltpetre.nitrogen == "nitrate"
    assert saltpetre.product.share("NO3-N").m_as("percent") == pytest.approx(13)
    assert Stocked.from_label("b", percent(NO3_N=13, K2O=46), nitrogen="nitrate").nitrogen == ""


@pytest.mark.parametrize(
    ("label", "error", "says"),
    [
        ({}, Unreadable, "type what the label says"),
        (percent(N=5, NO3_N=4, NH4_N=2, K2O=20), OutOfRange, "add up to 6 %"),
        (percent(N=10, NO3_N=4, K2O=20), Unreadable, "6 % of it has no kind"),
        ({"K2O": 20}, UnitNeeded, "K2O"),
        (percent(K2O=120), OutOfRange, "between 0 and 100"),
        (percent(X2O=12), Unreadable, '"X2O" is not a word we know'),
    ],
)
def test_a_wrong_label_gets_a_sentence(label, error, says):
    with pytest.raises(error, match=says):
        Stocked.from_label("bag", label)


def test_the_price_of_a_mass_is_its_share_of_the_bag():
    # 15 for 1 kg: 24 g cost 0.36; 12 for 5 lb, which are 2268 g: 100 g cost 0.529
    assert Stocked(salt("KNO3"), Q(1, "kg"), price=15).cost(Q(24, "g")) == pytest.approx(0.36)
    assert Stocked(salt("KNO3"), Q(5, "lb"), price=12).cost(Q(100, "g")) == pytest.approx(0.529, abs=5e-4)
    assert Stocked(salt("KNO3"), Q(1, "kg")).cost(Q(24, "g")) is None
    # a litre of 53 % nitric acid weighs 1.328 kg: by volume 20 mL of it are a fiftieth
    strong = Stocked(acid("nitric acid", Q(53, "percent"), Q(1.328, "g/mL")), Q(1, "L"), price=20)
    assert strong.cost(Q(20, "mL")) == pytest.approx(0.4)
    assert strong.cost(Q(132.8, "g")) == pytest.approx(2.0)
    assert Stocked(acid("citric acid"), Q(500, "g"), price=5).cost(Q(100, "g")) == pytest.approx(1.0)


def test_what_is_left_is_taken_off_before_bags_are_counted():
    bag = Stocked(salt("KNO3"), Q(1, "kg"), Q(300, "g"))
    assert bag.lacking(Q(250, "g")).m_as("g") == 0
    assert bag.bags(Q(250, "g")) == 0
    assert bag.bags(Q(1300, "g")) == 1
    assert bag.bags(Q(1301, "g")) == 2
    assert Stocked(salt("KNO3"), Q(1, "kg")).lacking(Q(1, "g")) is None
    assert Stocked(salt("KNO3"), Q(1, "kg")).bags(Q(1, "g")) == 1


@pytest.mark.parametrize(
    ("make", "error", "says"),
    [
        (lambda: Stocked("KNO3"), Problem, "none of these"),
        (lambda: Stocked(salt("KNO3"), bag=Q(0, "kg")), OutOfRange, "more than nothing"),
        (lambda: Stocked(salt("KNO3"), bag=Q(1, "L")), Problem, "is weighed"),
        (lambda: Stocked(salt("KNO3"), bag=1), UnitNeeded, "bag"),
        (lambda: Stocked(salt("KNO3"), left=Q(-1, "g")), OutOfRange, "zero or more"),
        (lambda: Stocked(salt("KNO3"), price=-1), OutOfRange, "a price is zero or more"),
        (lambda: Stocked(salt("KNO3"), price="3"), Problem, "price"),
        (lambda: Stocked(salt("KNO3")).named(" "), Problem, "a name of one line"),
        (lambda: Shelf.make(salt("KNO3"), salt("KNO3")), Problem, "Two things"),
        (lambda: Shelf.make(balance=Q(1, "mL")), UnitNeeded, "balance"),
        (lambda: Shelf.make(balance=Q(0, "g")), OutOfRange, "smallest division"),
        (lambda: Shelf.make(teaspoon=Q(20, "mL")), OutOfRange, "A teaspoon holds 2 to 8 mL"),
        (lambda: Shelf.make(ph_test="litmus"), Problem, "meter, drops or strips"),
        (lambda: Shelf({"a": 5}), Problem, "cannot stand among"),
        (lambda: Shelf.make().without("x"), Problem, "Nothing on this shelf"),
        (lambda: Shelf.make().costs({"x": Q(1, "g")}), Problem, "Nothing on this shelf"),
    ],
)
def test_a_slip_gets_a_sentence(make, error, says):
    with pytest.raises(error, match=says):
        make()


def test_a_shelf_sorts_what_stands_on_it_and_changes_into_a_new_one():
    before = Shelf.make(acid("citric acid"), salt("KNO3"), base("potassium carbonate"))
    assert [list(part) for part in (before.fertilisers, before.acids, before.bases)] == [
        ["potassium nitrate"], ["citric acid"], ["potassium carbonate"],
    ]  # fmt: skip
    renamed = before.put(Stocked(salt("KNO3")).named("saltpetre"), "potassium nitrate")
    assert list(renamed.fertilisers) == ["saltpetre"]
    assert list(before.fertilisers) == ["potassium nitrate"]
    with pytest.raises(Problem, match="is called"):
        renamed.put(Stocked(salt("KCl")).named("citric acid"))
    assert len(list(renamed.without("SALTPETRE"))) == 2


def test_own_acids_and_bases_by_percent_or_molarity():
    # 53 % of 1.328 g/mL: 0.53 x 1328 / 63.01 = 11.17 mol/L; data/acid-density.csv gives the density
    assert acid("nitric acid", Q(53, "percent")).concentration.m_as("mol/L") == pytest.approx(11.17, abs=0.01)
    assert acid("H3PO4", concentration=Q(0.25, "mol/L")).volume(Q(5, "mmol")).m_as("mL") == pytest.approx(20)
    assert acid("nitric acid", concentration=Q(0.25, "mol/L")).adult_only is False
    assert acid("nitric acid", concentration=Q(2, "mol/L")).adult_only is True
    assert base("potassium hydroxide", Q(88, "percent")).concentration is None  # pellets
    assert base("potassium hydroxide", concentration=Q(0.05, "mol/L")).concentration.m_as("mol/L") == 0.05
    with pytest.raises(OutOfRange, match=r"at most 15\.7 mol/L"):  # 70 % of 1.41 g/mL
        acid("nitric acid", concentration=Q(20, "mol/L"))
    with pytest.raises(OutOfRange, match="give one of the two"):
        acid("nitric acid", Q(53, "percent"), concentration=Q(1, "mol/L"))
    with pytest.raises(Unreadable, match="Choose from: nitric acid, phosphoric acid"):
        acid("vinegar", concentration=Q(1, "mol/L"))
