"""A person's TOML file: each fault comes with its line, and an older format is led up to the newest."""

from datetime import date

import pytest
from stilltank.documents import Document, DocumentFault
from stilltank.units import Q

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
    assert tank.quantity("sides", "length", "30 cm").m_as("cm") == pytest.approx(
        [40, 16 * 2.54]
    )  # 1 in = 2.54 cm
    assert tank.day("start", "2027-04-26") == date(2027, 4, 26)
    assert sample().section("plants", "crop").count("count", 4) == 4


@pytest.mark.parametrize(
    ("line", "ask"),
    [
        (5, lambda d: d.section("tank").number("height", 3)),
        (5, lambda d: d.section("tank").quantity("height", "pH", "6")),
        (7, lambda d: d.section("tank").text("odd name", "a")),
        (4, lambda d: d.section("tank").text("depth", "3 cm")),  # missing: where the section begins
        (11, lambda d: d.section("plants", "crop").text("count", "a")),
        (9 + 1, lambda d: d.section("plants", "crop").text("name", "a")),
        (5, lambda d: d.section("tank").nothing_else()),
        (10, lambda d: d.only("format", "tank")),
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
