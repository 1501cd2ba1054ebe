"""Every number on a lesson page is computed again through the library, or is plainly a condition of a question."""

import html
import re
import shlex

import pytest
import tidy
from stilltank import __main__ as command
from stilltank import tables
from stilltank.learning import bank
from stilltank.learning.questions import ask
from stilltank.science import mixing, tank
from stilltank.science.composition import element_share, from_label
from stilltank.show import panels
from stilltank.units import Q, write

PAGES = sorted((tidy.WORKBOOK / "teacher").glob("[0-9]*.md"))
EACH = pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
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


def key(panel, **controls):
    """The number that a panel shows large, with these controls, as text."""
    for name, value in controls.items():
        row = panel.rows[name]
        getattr(row, "box", row).value = value
    return html.unescape(re.sub("<[^>]+>", "", panel.key.value))


def of_nitrogen(mass):
    """Grams of nitrogen in a mass of calcium nitrate by its label."""
    return write((mass * mixing.salt("calcium nitrate").share("N")).to("g"))


def meter(strength):
    return mixing.meter_reading(mixing.recipe_solution("Hoagland 1"), strength).reading.m_as("mS/cm")


def clouds_from():
    """The first whole number of times at which one bottle clouds."""
    solution = mixing.recipe_solution("Hoagland 1")
    return next(times for times in range(1, 100) if mixing.clouding(solution, times).index > 0)


def exit_ticket():
    nitrogen = Q(100, "mg/L") * Q(36, "L")
    salt = mixing.salt("calcium nitrate")
    mass = nitrogen / salt.share("N")
    calcium = mixing.mix({"calcium nitrate": mass}, Q(36, "L")).elements["Ca"]
    return (
        f"{write(nitrogen.to('g'))} of nitrogen, so {write(mass.to('g'))} of salt; "
        f"it brings {write(calcium.to('mg/L'))} of calcium"
    )


def tote():
    return tank.TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))


# What a page says, and the library's words for it. A text must stand on the page exactly so.
SAYS = {
    "00_start_here": {
        "half full": lambda: (
            "at half its depth the tapered tote holds "
            f"{round(100 * (tote().volume(Q(16, 'cm')) / tote().capacity).m_as('dimensionless'))} percent"
        ),
        "refill": lambda: (
            f"no more than raises the level by {write(tables.load('roots')['refill', 'rise'].quantity)}"
        ),
    },
    "01_mixing": {
        "projector 1": lambda: (
            f"| nothing yet | which elements does this bag bring? | {key(panels.salt_panel())} |"
        ),
        "projector 2": lambda: (
            f"| weighed: 10 g | half the salt: half of which number? | {key(panels.salt_panel(), mass=10)} |"
        ),
        "projector 3": lambda: (
            "| weighed: 20 g, solution: 18 L | all the salt, half the water? | "
            f"{key(panels.salt_panel(), mass=20, volume=18)} |"
        ),
        "projector 4": lambda: f"| {key(panels.salt_panel(), salt='magnesium sulfate heptahydrate')} |",
        "projector 5": lambda: (
            f"| times: 7 | does it cloud at once? | {key(panels.bottle_panel(), times=7)} |"
        ),
        "projector 6": lambda: f"| times: 8 | one step more? | {key(panels.bottle_panel(), times=8)} |",
        "projector 7": lambda: (
            f"strength: 100 percent, from {panels.meter_panel().rows['strength'].box.value:.0f} | "
            f"it reads {key(panels.meter_panel())} now; twice the salt? | "
            f"{key(panels.meter_panel(), strength=100)} |"
        ),
        "bag": lambda: (
            f"the label says {write(mixing.salt('calcium nitrate').share('N'))} N, "
            f"so 20 g hold {of_nitrogen(Q(20, 'g'))}"
        ),
        "twice": lambda: (
            f"it goes from {meter(0.5):.2f} to {meter(1):.2f} mS/cm, and not to {2 * meter(0.5):.2f}"
        ),
        "gypsum": lambda: f"in one bottle from about {clouds_from()} times on",
        "oxide": lambda: f"it is {write(from_label(p2o5=Q(12, 'percent'))['P'])} P",
        "ticket": exit_ticket,
        "sodium": lambda: f"Sodium is {write(element_share('NaCl', 'Na'))} of table salt",
        "salt water": lambda: (
            f"how much is in the litre? ({write((Q(2, 'g/L') * element_share('NaCl', 'Na')).to('mg/L'))}.)"
        ),
        "half of it": lambda: (
            f"How much now? ({write((Q(1, 'g/L') * element_share('NaCl', 'Na')).to('mg/L'))}.)"
        ),
        "epsom": lambda: (
            "For 10 L at 40 mg/L of magnesium: how much Epsom salt? "
            f"({write((Q(10, 'L') * Q(40, 'mg/L') / Q(9.8, 'percent')).to('g'))}.)"
        ),
        "exercises": lambda: "of the eight" if _exercises() == 8 else f"of the {_exercises()}",
    },
}

# Conditions of a question, and labels of bags as somebody reads them: nothing to compute.
GIVEN = {
    "00_start_here": ["Your tub stands at 15 cm", "You have 10 litres"],
    "01_mixing": [
        "20 g of calcium nitrate are 20 g of nitrogen",
        "12 % P2O5 is 12 % phosphorus",
        "Your tub holds 36 L and shall hold 100 mg/L of nitrogen. The bag says 15.5 % N and 19 % Ca.",
        "calcium nitrate, 15.5 % N and 19 % Ca; Epsom salt, 9.8 % Mg; a flower food, 12 % P2O5",
        "Weigh 2 g of table salt",
        "how much is that of 2 g",
        "Dissolve 2 g",
    ],
}


def _exercises():
    from test_notebooks import calls

    return max(len(call.args) - 1 for call in calls(tidy.WORKBOOK / "01_mixing.ipynb", "questions"))


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
    assert set(SAYS) == set(GIVEN) == {path.stem for path in PAGES}


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


@pytest.mark.parametrize(("page", "what"), [(page, what) for page in SAYS for what in SAYS[page]])
def test_a_page_says_what_the_library_computes(page, what):
    text = (tidy.WORKBOOK / "teacher" / f"{page}.md").read_text(encoding="utf-8")
    assert SAYS[page][what]() in text


@EACH
def test_no_number_on_a_page_is_left_unchecked(path):
    page = path.read_text(encoding="utf-8")
    for text in GIVEN[path.stem]:
        assert text in page, f"{text!r} is no longer on the page"
    computed = [say() for say in SAYS[path.stem].values()]
    alone = re.search(r"the whole chapter takes about (\d+)", page)
    if alone:
        chapter = (tidy.WORKBOOK / f"{path.stem}.ipynb").read_text(encoding="utf-8")
        assert f"**Minutes:** {alone[1]}." in chapter
        computed.append(alone[0])
    assert left_over(page, [*computed, *GIVEN[path.stem]]) == []


def test_an_unchecked_number_is_seen():
    """A test of the test."""
    assert left_over("It holds 45 L. So 3.1 g, 2,5 % and 7 of N.", ["45 L"]) == ["3.1 g, 2,5 % and 7 of N"]
    assert left_over("6.RP.A.3.c and 7B-12 are codes; P2O5 is none.", []) == []


@pytest.mark.parametrize("maker", [panels.salt_panel, panels.bottle_panel, panels.meter_panel])
def test_a_panel_goes_back_to_the_start(maker):
    """The button that a leader relies on gives the first answer again."""
    panel = maker()
    first = key(panel)
    name = next(name for name, row in panel.rows.items() if hasattr(row, "box"))
    assert key(panel, **{name: panel.rows[name].slider.min}) != first
    panel.again.click()
    assert key(panel) == first


def test_the_script_names_panels_and_controls_as_the_screen_does():
    makers = [getattr(panels, name) for name in panels.__all__ if name.endswith("_panel")]
    explored = [maker() for maker in makers if maker.__module__.endswith("chapter_1")]
    titles = {
        re.sub("<style>.*?</style>|<[^>]+>", "", panel.children[0].value, flags=re.DOTALL).strip(): panel
        for panel in explored
    }
    page = (tidy.WORKBOOK / "teacher" / "01_mixing.md").read_text(encoding="utf-8")
    script = page.partition("## For the projector")[2].partition("**Likely ideas")[0]
    rows = re.findall(r"^\|([^|]*)\|([^|]*)\|", script, re.MULTILINE)[2:]
    assert len(rows) >= 3, "three numbers to change"
    panel = titles["One salt in a tank"]
    for title, change in rows:  # an empty title stands for the panel above
        if title.strip():
            panel = titles[title.strip()]
        labels = [getattr(row, "box", row).description.lower() for row in panel.rows.values()]
        for control in re.findall(r"(\w+):", change):
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
