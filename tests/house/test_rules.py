"""The house keeps its own rules: floors, light start, sourced numbers, nothing of one workplace."""

import ast
import csv
import re
import subprocess
import sys
from pathlib import Path

import pytest
from stilltank import tables

ROOT = Path(__file__).resolve().parents[2]
LIBRARY = ROOT / "lib" / "stilltank"
MODULES = sorted(LIBRARY.rglob("*.py"))
TEXT = {
    ".py",
    ".md",
    ".toml",
    ".csv",
    ".lock",
    ".ipynb",
    ".html",
    ".css",
    ".mplstyle",
    ".json",
    ".txt",
    ".svg",
    ".cff",
    "",
}
CHAPTER = re.compile(r"[0-9][0-9]_\w+\.ipynb")


def ours():
    """The files of the project: what a learner makes, and what tools leave, are not."""
    left_out = {"__pycache__", "stilltank.egg-info", ".ipynb_checkpoints"}
    places = [ROOT / name for name in ("lib", "workbook", "data", "tests", "shared", ".ci")]
    found = [path for place in places for path in place.rglob("*") if path.is_file()]
    found += [
        ROOT / name
        for name in ("README.md", "DEVELOPERS.md", "LICENSE", "CITATION.cff", "pyproject.toml", ".gitignore")
    ]
    return sorted(
        path
        for path in found
        if path.suffix in TEXT
        and not left_out & set(path.parts)
        and not path.name.startswith(("my-", "example-"))
    )


def test_science_knows_no_plots_or_widgets():
    for path in (LIBRARY / "science").rglob("*.py"):
        assert not re.search(r"\b(matplotlib|ipywidgets|IPython)\b", path.read_text(encoding="utf-8")), (
            path.name
        )


@pytest.mark.parametrize("module", ["stilltank", "stilltank.units", "stilltank.tables", "stilltank.__main__"])
def test_the_ground_floor_starts_light(module):
    # Pint itself loads the bare name scipy, which costs little; its parts are what takes a second.
    heavy = "matplotlib", "ipywidgets", "pandas", "IPython", "scipy.optimize", "scipy.linalg", "scipy.special"
    loaded = subprocess.check_output(
        [sys.executable, "-c", f"import sys, {module}; print(*sys.modules)"], text=True, cwd=ROOT
    )
    assert [name for name in heavy if name in loaded.split()] == []


def test_a_sentence_names_the_command_of_this_computer():
    """On Windows it is ``py workbook``: only ``COMMAND`` knows. A docstring is for those who read code."""
    for path in MODULES:
        tree = ast.parse(path.read_text(encoding="utf-8"))
        bare = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in bare:
                named = re.search(r"\b(?:python3?|py) (?:workbook|tests)\b", node.value)
                assert not named or path == LIBRARY / "__init__.py", f"{path.name}: {node.value}"


def test_locks_name_no_address():
    locks = sorted(ROOT.glob("lib/*.lock")) + sorted(ROOT.glob("tests/*/*.lock"))
    assert {lock.parent.name for lock in locks} == {"lib", "browser", "docs", "reference"}
    for lock in locks:
        text = lock.read_text(encoding="utf-8")
        assert "://" not in text
        assert not re.search(r"^\s*-", re.sub(r"^\s*--hash=.*$", "", text, flags=re.MULTILINE), re.MULTILINE)
        pins = re.findall(r"^[^\s#][^\n]*", text, re.MULTILINE)
        assert pins
        assert all(re.match(r"[\w.\[\],-]+==[\w.]+", pin) for pin in pins)


def test_the_lock_holds_what_the_library_asks_for():
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    asked = project["project"]["dependencies"] + project["dependency-groups"]["dev"]
    lock = (ROOT / "lib" / "requirements.lock").read_text(encoding="utf-8").lower()
    for line in asked:
        name = re.match(r"[\w.-]+", line)[0].lower()
        assert re.search(rf"^{re.escape(name)}==", lock, re.MULTILINE), name


def test_no_place_of_one_computer_is_named():
    for path in ours():
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            found = re.search(r"(?<![\w.~)/-])/(?:work|root|home|opt|tmp|Users|mnt)/\w", line)
            assert not found, f"{path.relative_to(ROOT)}, line {number}: {line.strip()[:120]}"


def test_addresses_stand_only_where_sources_are_cited():
    """Code fetches nothing, so it needs no address; this computer and the SVG name space are not addresses."""
    here = re.compile(r"https?://(?!127\.0\.0\.1|localhost|www\.w3\.org/(?:2000/svg|1999)|\{|\()")
    for path in ours():
        if path.name in ("sources.csv", "LICENSE", "README.md") or path == Path(__file__):
            continue
        found = here.search(path.read_text(encoding="utf-8"))
        assert not found, f"{path.relative_to(ROOT)} names an address"


def test_names_say_what_a_file_is_for():
    vague = {"utils", "util", "helpers", "misc", "common", "tools"}
    assert not [path for path in ours() if path.stem in vague]


@pytest.mark.parametrize("name", tables.names())
def test_every_row_of_a_table_answers_for_its_number(name):
    entries = tables.load(name)
    assert len(entries)
    for entry in entries.values():
        assert entry.kind in tables.KINDS
        assert set(entry.source) <= set(tables.sources()), f"{entry.address}: {entry.source}"
        if entry.kind in ("published", "computed", "from memory"):
            assert entry.source, f"{entry.address} is {entry.kind}"
        if entry.kind == "assumption" and entry.unit != "text":
            assert entry.source or entry.note, f"{entry.address} says not why it is assumed"
        if name.startswith("demo/"):
            assert entry.kind == "invented for the demo", entry.address


def test_every_source_is_used():
    used = set()
    for path in (ROOT / "data").rglob("*.csv"):
        if path.name != "sources.csv":
            with path.open(encoding="utf-8-sig", newline="") as file:
                for row in csv.DictReader(file):
                    used |= {key.strip() for key in (row.get("source") or "").split(";")}
    prose = "\n".join(path.read_text(encoding="utf-8") for path in ours() if path.name != "sources.csv")
    unused = [
        key for key in tables.sources() if key not in used and not re.search(rf"\b{re.escape(key)}\b", prose)
    ]
    assert not unused


def cited(path):
    """The keys of sources that a page or a TOML file of ours names: capitals and letters, then a number."""
    return set(re.findall(r"\b[A-Z][A-Za-z]+\d{3,}\b", path.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    "path",
    [*sorted((ROOT / "shared").glob("*.toml")), *sorted((ROOT / "workbook" / "teacher").glob("*.md"))],
    ids=lambda path: path.name,
)
def test_what_a_page_cites_is_in_the_list_of_sources(path):
    assert cited(path) <= set(tables.sources())


def test_every_caution_says_where_it_comes_from():
    import tomllib

    told = "common practice", "from memory"
    for name, caution in tomllib.loads(
        (ROOT / "shared" / "cautions.toml").read_text(encoding="utf-8")
    ).items():
        assert set(caution) == {"title", "short", "long", "source"}, name
        for part in caution["source"].split(";"):
            known = set(re.findall(r"\w+", part)) & set(tables.sources())
            assert known or any(words in part for words in told), f"{name}: {part}"


def test_a_page_keeps_a_source_in_use(monkeypatch):
    """A test of the test; the keys are put together here, as this file is read for keys too."""
    for key, is_used in {
        "NSTA" + "2023": True,
        "Nobody" + "1999": False,
    }.items():  # a caution cites the first
        monkeypatch.setattr(tables, "sources", dict.fromkeys([key]).copy)
        if is_used:
            test_every_source_is_used()
        else:
            with pytest.raises(AssertionError):
                test_every_source_is_used()


def test_readme_states_the_job_and_lists_every_chapter():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    title, first = readme.split("\n\n")[:2]
    assert title == "# Still Tank Workbook"
    assert len(first.split()) >= 30
    assert not first.startswith(("#", "!", "-", "`"))
    for command in ("python3 workbook", "python3 tests"):
        assert command in readme
    for path in (ROOT / "workbook").rglob("*.ipynb"):
        if CHAPTER.fullmatch(path.name):
            assert path.name in readme


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_between_pages_lead_somewhere(name):
    text = re.sub(
        r"^```.*?^```", "", (ROOT / name).read_text(encoding="utf-8"), flags=re.MULTILINE | re.DOTALL
    )
    for target in re.findall(r"\]\(([^)#\s]+)", text):
        assert "://" in target or (ROOT / target).exists(), target


def test_the_licence_covers_code_and_text():
    text = (ROOT / "LICENSE").read_text(encoding="utf-8")
    assert "MIT" in text
    assert "CC BY 4.0" in text
