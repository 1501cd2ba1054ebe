"""A person's TOML file: each fault comes with its line, and an older format is led up to the newest."""

from datetime import date

import pytest
from stilltank.documents import Document, DocumentFault
from stilltank.units import Problem, Q

TEXT = """\
# a note
format = 1

[tank]
height = "30 cm"
sides = ["40 cm", "16 in"]
"odd name" = 3
start = 2027-04-26

[plants.crop]
count = 4
"""


class _Sample(Document):
    called = "sample"


@pytest.fixture
def sample(tmp_path):
    def make(text=TEXT):
        path = tmp_path / "sample.toml"
        path.write_text(text, encoding="utf-8")
        return _Sample(path)

    return make


def test_values_come_with_their_units_and_types(sample):
    tank = sample().section("tank")
    assert tank.quantity("height", "length", "30 cm") == Q(30, "cm")
    assert tank.quantity("sides", "length", "30 cm", many=True).m_as("cm") == pytest.approx(
        [40, 16 * 2.54]
    )  # 1 in = 2.54 cm
    assert tank.day("start", "2027-04-26") == date(2027, 4, 26)
    assert sample().section("plants", "crop").count("count", 4) == 4


@pytest.mark.parametrize(
    ("line", "ask"),
    [
        (5, lambda d: d.section("tank").number("height", 3)),
        (5, lambda d: d.section("tank").quantity("height", "pH", "6")),
        (5, lambda d: d.section("tank").quantity("height", "length", "30 cm", many=True)),
        (6, lambda d: d.section("tank").quantity("sides", "length", "30 cm")),
        (5, lambda d: d.section("tank").text("heigth", "3 cm")),  # the misspelt one
        (4, lambda d: d.section("tank", "lid")),  # no such section: where the one around it begins
        (7, lambda d: d.section("tank").text("odd name", "a")),
        (4, lambda d: d.section("tank").text("depth", "3 cm")),  # missing: where the section begins
        (11, lambda d: d.section("plants", "crop").text("count", "a")),
        (9 + 1, lambda d: d.section("plants", "crop").text("name", "a")),
        (5, lambda d: d.section("tank").nothing_else()),
        (10, lambda d: d.only("format", "tank")),
        (10, lambda d: d.only("format", "tank", "plants", "plants.seeds")),
        (5, lambda d: d.sections("tank")),
    ],
)
def test_a_fault_names_its_line(sample, line, ask):
    with pytest.raises(DocumentFault, match=rf"^sample\.toml, line {line}: "):
        ask(sample())


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("height = 3", "has no line `format = 1`; is it a sample"),
        ("format = 2", "is written in format 2, and this version reads format 1"),
        ("format = 'one'", 'format "one"'),
        ("format = true", "format True"),
        ("format = 1\nheight = 30 cm", "line 2"),
        ("format = 1\nday = 2027-13-45", "line 2"),
        ("format = 1.0", "format 1.0"),
        ("format = [1]", r"sample.toml, line 1: this sample is written in format \[1\]"),
        ('format = 1\nheight = """30 cm', "line 2: this cannot be read"),
        ("format = 1\nnested = " + "[" * 5000, "cannot be read"),
    ],
)
def test_what_cannot_be_read_is_explained(sample, text, says):
    with pytest.raises(DocumentFault, match=says):
        sample(text)


def test_an_older_format_is_led_up_step_by_step(sample, monkeypatch):
    monkeypatch.setattr(_Sample, "newest", 3)
    monkeypatch.setattr(
        _Sample,
        "upgrades",
        {
            1: lambda values: {"format": 2, "tank": {"depth": values["height"]}},
            2: lambda values: {"format": 3, "tank": {**values["tank"], "lid": "yes"}},
        },
    )
    tank = sample('format = 1\nheight = "30 cm"').section("tank")
    assert (tank.text("depth", ""), tank.text("lid", "")) == ("30 cm", "yes")


def test_sections_inside_sections_are_known_by_their_whole_name(sample):
    sample().only("format", "tank", "plants", "plants.crop")
    sample().only("format", "tank", "plants", "plants.*")
    with pytest.raises(DocumentFault, match=r"line 10: `plants.crop` .* Did you mean `plants.crops`"):
        sample().only("format", "tank", "plants", "plants.crops")


@pytest.mark.parametrize(
    ("line", "text"),
    [
        (2, "format = 1\nplants.crop.count = -4"),
        (3, "format = 1\n[plants]\ncrop = { count = -4 }"),
        (3, "format = 1\n[plants]\ncrop.'count' = -4"),
        (3, 'format = 1\n[ plants . "crop" ]  # a note\n"c\\u006funt" = -4'),
        (4, "format = 1\n[plants.crop.more]\n[plants.crop]\ncount = -4"),
    ],
)
def test_every_way_to_write_a_key_has_its_line(sample, line, text):
    with pytest.raises(DocumentFault, match=rf"line {line}: `count` reads -4"):
        sample(text).section("plants", "crop").count("count", 4)


def test_a_problem_gets_the_line_of_the_key_it_names(sample):
    def refuse(words):
        raise Problem(words)

    tank = sample().section("tank")
    for words, line in (("The height is too large.", 5), ("The odd_name is odd.", 7), ("Something.", 8)):
        with pytest.raises(DocumentFault, match=rf"line {line}: {words}"):
            tank.using(["height", "odd name", "start"], lambda words=words: refuse(words))


def test_what_is_missing_is_named_where_its_own_section_begins(sample):
    text = "format = 1\n[plants.crop.more]\n[plants.crop]\ncount = 4"
    with pytest.raises(DocumentFault, match="line 3: `name` is missing"):
        sample(text).section("plants", "crop").text("name", "zinnia")


@pytest.mark.parametrize("text", ["25-30 cm", "27.5 cm ± 2.5 cm"])
def test_a_range_is_no_value(tmp_path, text):
    path = tmp_path / "one.toml"
    path.write_text(f'format = 1\n[tank]\nheight = "{text}"\n', encoding="utf-8")
    with pytest.raises(DocumentFault, match=r"line 3: `height`: .* runs from 25 cm to 30 cm, and one value"):
        Document(path).section("tank").quantity("height", "length", "30 cm")
