"""The shelf as a file: what was typed comes back, every fault names its line, and nothing is changed by reading."""

import pytest
from stilltank import tables
from stilltank.files import FileChanged
from stilltank.science.products import Salt, Shelf, Stocked, acid, base, salt
from stilltank.season import shelf as shelf_file
from stilltank.units import Problem, Q

DEMO = tables.DATA / "demo" / "shelf-quillgate.toml"


@pytest.fixture
def text():
    return DEMO.read_text(encoding="utf-8")


def test_the_demo_shelf_is_invented_and_opens(text):
    assert "invented" in text.splitlines()[0]
    shelf = shelf_file.load(DEMO)
    assert list(shelf.fertilisers) == ["leaf bag", "calcium bag", "Epsom salt"]
    assert list(shelf.acids) == ["citric acid from the kitchen", "nitric acid of the teacher"]
    assert (shelf.currency, shelf.ph_test, shelf.balance.m_as("g")) == ("coins", "drops", 1)
    # 12 % P2O5 times 0.4364 (Mattson 2018)
    assert shelf.fertilisers["leaf bag"].product.share("P").m_as("percent") == pytest.approx(5.237, abs=0.001)
    assert shelf.fertilisers["leaf bag"].cost(Q(24, "g")) == pytest.approx(0.36)
    assert DEMO.read_text(encoding="utf-8") == text


def test_what_is_saved_is_what_is_read(tmp_path):
    label = {"N": Q(24, "percent"), "P2O5": Q(8, "percent"), "K2O": Q(16, "percent")}
    shelf = Shelf.make(
        Stocked.from_label("all, purpose [24-8-16]", label, nitrogen="urea", bag=Q(5, "lb"), dose=Q(1, "g/L")),
        Stocked(salt("MgSO4.7H2O"), Q(2, "kg"), Q(0, "g"), 5.25).named("Epsom \"salt\""),
        Stocked(acid("nitric acid", Q(53, "percent")), Q(1, "L"), Q(600, "mL"), 14),
        Stocked(acid("citric acid"), Q(500, "g")).named("from the kitchen"),
        acid("phosphoric acid", concentration=Q(0.3, "mol/L")),
        base("potassium hydroxide pellets 85 %"),
        base("potassium carbonate", concentration=Q(0.2, "mol/L")),
        currency="€", balance=Q(0.1, "oz"), teaspoon=Q(4.93, "mL"), ph_test="strips",
    )  # fmt: skip
    path = tmp_path / "my-shelf.toml"
    content = shelf_file.save(shelf, path)
    again = shelf_file.load(path)
    assert shelf_file.as_text(again).encode() == content == path.read_bytes()
    assert again.fertilisers["all, purpose [24-8-16]"].nitrogen == "urea"
    assert again.fertilisers["all, purpose [24-8-16]"].product.dose.m_as("g/L") == 1
    assert again.acids["nitric acid, 53 %"].product.concentration.m_as("mol/L") == pytest.approx(
        11.17, abs=0.01
    )
    assert again.acids["from the kitchen"].product.formula == "C6H8O7"
    assert again.bases["potassium hydroxide pellets 85 %"].product.strength.m_as("percent") == 85
    assert again.balance.m_as("g") == pytest.approx(2.835, abs=0.001)


@pytest.mark.parametrize(
    ("line", "instead", "says"),
    [
        ('P2O5 = "12 %"', 'P2O6 = "12 %"', '"P2O6" is not a word we know from labels'),
        ('P2O5 = "12 %"', "P2O5 = 12", r'`P2O5` reads 12\. Write: P2O5 = "12 %"'),
        ('P2O5 = "12 %"', 'P2O5 = "120 %"', "between 0 % and 100 %"),
        ('N = "5 %"\n', 'N = "24 %"\n', "19 % of it has no kind"),
        ('bag = "1 kg"', 'bag = "1 L"', "is a volume"),
        ('bag = "1 kg"', 'bagg = "1 kg"', "`bagg` is not a word"),
        ('left = "400 g"', 'left = "-1 g"', "less than nothing"),
        ("price = 15.0", "price = -15.0", "a price is zero or more"),
        ("price = 15.0", 'price = "15"', 'reads "15"'),
        ('balance = "1 g"', 'balance = "1 mL"', "is a volume"),
        ('balance = "1 g"', 'balance = "0 g"', "smallest division"),
        ('ph_test = "drops"', 'ph_test = "litmus"', "meter, drops or strips"),
        ('salt = "magnesium sulfate heptahydrate"', 'salt = "magnesium"', "No salt is called 'magnesium'"),
        ('substance = "nitric acid"', 'substance = "vinegar"', "Write one of: nitric acid, phosphoric acid"),
        ('concentration = "0.5 mol/L"', 'concentration = "0.5 g/L"', "an amount in each litre"),
        ('concentration = "0.5 mol/L"', 'concentration = "50 mol/L"', "at most 15.7 mol/L"),
        ('left = "800 mL"', 'left = "800"', "no unit"),
        ('[acids."nitric acid of the teacher"]', '[acids."leaf bag"]', "two things on this shelf"),
    ],
)  # fmt: skip
def test_a_fault_names_its_line_and_what_to_write(tmp_path, text, line, instead, says):
    path = tmp_path / "my-shelf.toml"
    changed = text.replace(line, instead, 1)
    assert changed != text
    path.write_text(changed, encoding="utf-8")
    with pytest.raises(shelf_file.ShelfFault, match=says) as caught:
        shelf_file.load(path)
    number = next(n for n, each in enumerate(changed.splitlines(), 1) if instead.strip() in each)
    assert str(caught.value).startswith(f"my-shelf.toml, line {number}: ")
    assert path.read_text(encoding="utf-8") == changed


def test_a_bag_without_label_or_salt_is_asked_for_one(tmp_path):
    path = tmp_path / "my-shelf.toml"
    path.write_text('format = 1\n\n[fertilisers."leaf bag"]\nbag = "1 kg"\n')
    with pytest.raises(shelf_file.ShelfFault, match='line 3: "leaf bag" has neither its label nor'):
        shelf_file.load(path)


def test_a_file_that_changed_meanwhile_is_not_replaced(tmp_path):
    path = tmp_path / "my-shelf.toml"
    first = shelf_file.save(Shelf.make(salt("KNO3")), path, expected=None)
    path.write_bytes(first + b"# by hand\n")
    with pytest.raises(FileChanged):
        shelf_file.save(Shelf.make(), path, expected=first)
    assert path.read_bytes().endswith(b"# by hand\n")


def test_what_the_file_cannot_hold_is_refused(tmp_path):
    odd = Salt.from_label("odd", {"K": Q(38, "percent"), "NO3-N": Q(13, "percent")})
    with pytest.raises(Problem, match="cannot hold odd"):
        shelf_file.as_text(Shelf.make(odd))
    for wrong in (None, 5, ""):
        with pytest.raises(Problem):
            shelf_file.load(wrong)
    with pytest.raises(Problem, match="needs a shelf"):
        shelf_file.as_text("my-shelf.toml")
