"""Every number on a lesson page is computed again through the library, or is plainly a condition of a question.

``lesson_page.py`` in the folder of each chapter names its ``PAGE``. ``SAYS`` holds the words of the library for texts
that are on the page exactly so; ``GIVEN`` the conditions of a question, and labels as people read them: nothing to
compute. ``EXPLORED`` are the panels of the script.
"""

import re
import shlex

import pytest
import tidy
from gathered import gathered
from makers import makers
from panel_keys import key
from stilltank import __main__ as command
from stilltank import tables
from stilltank.chapters import bank
from stilltank.chapters.bank import ask
from stilltank.units import write

PAGES = sorted((tidy.WORKBOOK / "teacher").glob("[0-9]*.md"))
EACH = pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
LESSONS = {lesson.PAGE: lesson for lesson in gathered("lesson_page")}
SCRIPTED = {name: lesson for name, lesson in LESSONS.items() if hasattr(lesson, "EXPLORED")}
PARTS = (
    "Objective",
    "To print",
    "The day before",
    "What to say",
    "Likely ideas, and what to answer",
    "Exit ticket",
    "Without computers",
    "If the network is down",
    "Curriculum",
    "Safety",
)


def read(name):
    return (tidy.WORKBOOK / "teacher" / f"{name}.md").read_text(encoding="utf-8")


def minutes(page):
    """The two columns of minutes of the first table."""
    rows = re.findall(r"^\| (\d+) \| [^|]* \| (\d+)\b[^|]*\|$", page, re.MULTILINE)
    return [sum(int(row[column]) for row in rows) for column in (0, 1)]


def left_over(page, known):
    """The numbers on a page that none of the known texts holds."""
    page = re.sub(r"^\| \d+ \| [^|]* \| \d+\b", "|", page, flags=re.MULTILINE)  # minutes(page) sums them
    page = page.replace("| 90-minute version |", "")
    page = re.sub(r"add up to \d+ and \d+ minutes", "", page)
    page = re.sub(r"`[^`]*`|^\d+\. ", "", page, flags=re.MULTILINE)  # commands, and the numbers of a list
    page = re.sub(r"\b[Cc]hapter \d|\bsections? \d( (to|and) \d)?", "", page)
    for text in sorted(known, key=len, reverse=True):
        page = page.replace(text, "")
    return re.findall(r"(?<![\w.-])\d+(?:[.,]\d+)?(?!\.?\w)[^|\n]{0,20}", page)


def test_every_chapter_has_its_page():
    assert [path.stem for path in PAGES] == [path.stem for path in tidy.chapters()]
    assert set(LESSONS) == {path.stem for path in PAGES}


@EACH
def test_a_page_has_its_parts_in_order(path):
    page = path.read_text(encoding="utf-8")
    places = [page.find(f"**{part}") for part in PARTS]
    assert -1 not in places, PARTS[places.index(-1)]
    assert places == sorted(places)
    ideas = re.findall(r"^\|", page[places[4] : places[5]], re.MULTILINE)
    assert len(ideas) >= 2 + 3, "three likely ideas"
    assert "safety data sheet" in page[places[-1] :]


@EACH
def test_the_minutes_add_up(path):
    assert minutes(path.read_text(encoding="utf-8")) == [45, 90]


@pytest.mark.parametrize(
    ("page", "what"), [(page, what) for page, lesson in LESSONS.items() for what in lesson.SAYS]
)
def test_a_page_says_what_the_library_computes(page, what):
    assert LESSONS[page].SAYS[what]() in read(page)


@EACH
def test_no_number_on_a_page_is_left_unchecked(path):
    page = path.read_text(encoding="utf-8")
    lesson = LESSONS[path.stem]
    for text in lesson.GIVEN:
        assert text in page, f"{text!r} is no longer on the page"
    computed = [say() for say in lesson.SAYS.values()]
    alone = re.search(r"the whole chapter takes about (\d+)", page)
    if alone:
        chapter = (tidy.WORKBOOK / f"{path.stem}.ipynb").read_text(encoding="utf-8")
        assert f"**Minutes:** {alone[1]}." in chapter
        computed.append(alone[0])
    assert left_over(page, [*computed, *lesson.GIVEN]) == []


def test_an_unchecked_number_is_seen():
    """A test of the test."""
    assert left_over("It holds 45 L. So 3.1 g, 2,5 % and 7 of N.", ["45 L"]) == ["3.1 g, 2,5 % and 7 of N"]
    assert left_over("6.RP.A.3.c and 7B-12 are codes; P2O5 is none.", []) == []


@pytest.mark.parametrize("maker", [maker for lesson in SCRIPTED.values() for maker in lesson.EXPLORED])
def test_a_panel_goes_back_to_the_start(maker):
    """The button that a leader relies on gives the first answer again."""
    panel = maker()
    first = key(panel)
    other = {name: row.slider.min for name, row in panel.rows.items() if hasattr(row, "box")}
    if not other:  # only lists
        other = {name: row._options_full[-1][1] for name, row in panel.rows.items()}
    name, value = next(iter(other.items()))
    assert key(panel, **{name: value}) != first
    panel.again.click()
    assert key(panel) == first


@pytest.mark.parametrize("page", SCRIPTED)
def test_the_script_names_panels_and_controls_as_the_screen_does(page):
    made = [maker for maker in makers().values() if maker in SCRIPTED[page].EXPLORED]
    titles = {
        re.sub("<style>.*?</style>|<[^>]+>", "", panel.children[0].value, flags=re.DOTALL).strip(): panel
        for panel in (maker() for maker in made)
    }
    script = read(page).partition("## For the projector")[2].partition("**Likely ideas")[0]
    rows = re.findall(r"^\|([^|]*)\|([^|]*)\|", script, re.MULTILINE)[2:]
    assert len(rows) >= 3, "three numbers to change"
    assert rows[0][0].strip(), "the first row names its panel"
    for title, change in rows:  # an empty title stands for the panel above
        if title.strip():
            panel = titles[title.strip()]
        labels = [getattr(row, "box", row).description.lower() for row in panel.rows.values()]
        for control in re.findall(r"(?:^|,)(?: then)? ([^:,]+):", change):
            assert any(label.startswith(control) for label in labels), f"{control} in {labels}"
    assert "Large type" in panel.large.description
    assert panel.again.description in script


@EACH
def test_the_commands_on_a_page_work(path, capsys):
    page = path.read_text(encoding="utf-8")
    for line in re.findall(r"`python3 workbook (\w[^`]*)`", page):
        assert command.main(shlex.split(line)) == 0, line
    for id, code in re.findall(r'`ask\("([\w-]+)", "([\w-]+)"\)\.right`', page):
        assert id in bank.questions()
        assert f"{id}: {write(ask(id, code).right, 'both')}" in capsys.readouterr().out


@EACH
def test_sources_on_a_page_are_known(path):
    page = path.read_text(encoding="utf-8")
    part = page.partition("**Sources.**")[2]
    for word in re.findall(r"\b[A-Z][A-Za-z]+\d{4}\b", part):
        assert word in tables.sources(), word
