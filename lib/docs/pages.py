"""Write the pages of the reference that are made from the code, the tables and the chapters.

``python lib/docs/pages.py FOLDER`` puts everything that Sphinx needs into a new folder; nothing is written elsewhere.
"""

import base64
import csv
import html
import importlib
import inspect
import json
import pkgutil
import re
import shutil
import sys
from collections.abc import Iterable, Iterator, Sized
from functools import cache
from pathlib import Path
from types import ModuleType

import stilltank
from stilltank import tables
from stilltank.glossary import Term, glossary
from stilltank.learning import checks
from stilltank.tables import Entry

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]

# The parts of the library in the order in which a newcomer meets them: heading, then how their names begin.
GROUPS = (
    ("Science: calculations", ("science",)),
    (
        "Quantities, tables and files",
        ("units", "glossary", "registry", "problems", "tables", "documents", "files"),
    ),
    ("Seasons: the plan of a tank", ("season",)),
    ("Learning: questions, predictions, progress", ("learning", "lessons", "run_order")),
    ("Figures, panels and paper", ("show",)),
    ("Chapters: what each one asks and shows", ("chapters",)),
    ("Installation and commands", ("installation", "shipped", "__main__")),
)
PICTURE = re.compile(r'<img alt="([^"]*)" src="data:image/svg\+xml;base64,([^"]*)"')


# The faces


@cache
def faces() -> tuple[str, ...]:
    """Every part of the library that others import from, by its full name.

    A part is a module that stands alone, or a package that hands on names in its ``__all__``. What lies inside such a
    package is not a face.
    """
    return tuple(_faces(stilltank))


def _faces(container: ModuleType) -> Iterator[str]:
    for found in pkgutil.iter_modules(container.__path__, f"{container.__name__}."):
        module = importlib.import_module(found.name)
        if found.ispkg and not hasattr(module, "__all__"):
            yield from _faces(module)
        else:
            yield found.name


def public_names(face: str) -> list[str]:
    """The names that a face gives away: its ``__all__``, or the functions and classes that a module defines itself."""
    module = importlib.import_module(face)
    named = getattr(module, "__all__", None)
    if named is None:
        named = [
            name
            for name, thing in vars(module).items()
            if not name.startswith("_")
            and (inspect.isclass(thing) or inspect.isroutine(thing))
            and getattr(thing, "__module__", "") == face
        ]
    return sorted(named, key=str.lower)


def _short(face: str) -> str:
    return face.removeprefix("stilltank.")


def _first_line(thing: object) -> str:
    return (inspect.getdoc(thing) or "").split("\n", 1)[0]


# reStructuredText


def _heading(text: str, line: str = "=") -> str:
    return f"{text}\n{line * max(4, len(text))}\n"


def _plain(text: str) -> str:
    """Text in which no sign has a meaning of its own."""
    return re.sub(r"([\\*`|_])", r"\\\1", text)


def _table(header: Iterable[str], rows: Iterable[Iterable[str]], widths: str = "auto") -> str:
    lines = [".. list-table::", "   :header-rows: 1", "   :class: stacked", f"   :widths: {widths}", ""]
    for row in (header, *rows):
        for number, cell in enumerate(row):
            lines.append(f"   {'* -' if number == 0 else '  -'} {cell}".rstrip())
    return "\n".join(lines) + "\n"


# Pages


def reference_page(face: str) -> str:
    """One face: what it is for, all its names at a glance, and each with its docstring."""
    module = importlib.import_module(face)
    functions, classes, values, handed_on = [], [], [], []
    for name in public_names(face):
        thing = getattr(module, name)
        if (home := _other_home(thing, face)) is not None:
            handed_on.append(f":py:obj:`{home}.{name}`")
        elif inspect.isclass(thing):
            classes.append(name)
        elif inspect.isroutine(thing):
            functions.append(name)
        else:
            values.append(name)
    parts = [_heading(_short(face)), f".. automodule:: {face}\n   :no-members:\n"]
    parts.append(f".. currentmodule:: {face}\n")
    glance = [(f":py:obj:`{name}`", _first_line(getattr(module, name))) for name in (*functions, *classes)]
    if glance:
        parts.append(_table(("name", "what it is for"), glance, "35 65"))
    if handed_on:
        parts.append(f"Handed on from elsewhere: {', '.join(handed_on)}.\n")
    for title, names, directive in (
        ("Functions", functions, "autofunction:: {}"),
        ("Classes", classes, "autoclass:: {}\n   :members:"),
    ):
        if names:
            parts.append(_heading(title, "-"))
            parts += [f".. {directive.format(name)}\n" for name in names]
    if values:
        parts.append(_heading("Values", "-"))
        parts += [f".. py:data:: {name}\n\n   {_value(getattr(module, name))}\n" for name in values]
    return "\n".join(parts)


def _other_home(thing: object, face: str) -> str | None:
    """The other face that a class or function comes from, where it has one."""
    made_in = getattr(thing, "__module__", None) if callable(thing) else None
    if made_in is None or made_in == face or made_in.startswith(f"{face}."):
        return None
    return next((other for other in faces() if made_in == other or made_in.startswith(f"{other}.")), None)


def _value(thing: object) -> str:
    kind = type(thing).__name__
    if isinstance(thing, (str, int, float)):
        return f"``{thing!r}``"
    return f"{kind} with {len(thing)} entries" if isinstance(thing, Sized) else kind


def reference_index() -> str:
    """The list of faces by group. A face that fits no group is an error."""
    left = list(faces())
    parts = [
        _heading("Reference"),
        "One page for each part of the library, made from the docstrings. Import a name from the part on whose page "
        "it is shown, not from a module inside that part.\n",
    ]
    for title, starts in GROUPS:
        mine = [face for face in left if _short(face).split(".")[0] in starts]
        left = [face for face in left if face not in mine]
        rows = [
            (f":doc:`{_short(face)} <{_short(face)}>`", _first_line(importlib.import_module(face)))
            for face in mine
        ]
        parts += [_heading(title, "-"), _table(("part", "what is there"), rows, "30 70")]
        parts.append(
            ".. toctree::\n   :hidden:\n\n" + "\n".join(f"   {_short(face)}" for face in mine) + "\n"
        )
    if left:
        raise SystemExit(f"lib/docs/pages.py: no group in GROUPS takes {', '.join(left)}.")
    return "\n".join(parts)


def gallery(folder: Path) -> str:
    """The still pictures that the chapters keep, with the sentence that says what each shows, and the code."""
    parts = [
        _heading("Gallery"),
        "The still pictures of the chapters, as they are stored there. Each picture carries words that say "
        "what it shows. Under it is the code that draws it.\n",
    ]
    (folder / "gallery").mkdir()
    for path in sorted((ROOT / "workbook").glob("[0-9][0-9]_*.ipynb")):
        chapter, title, number = path.stem, "", 0
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            source = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                found = re.search(r"^#{1,2} (.+)$", source, re.MULTILINE)
                if found and source.startswith("# "):
                    parts.append(_heading(_plain(f"Chapter {int(chapter[:2])}. {found[1]}"), "-"))
                elif found:
                    title = found[1]
            elif "keep-figure" in cell["metadata"].get("tags", []):
                stored = "".join(
                    "".join(output.get("data", {}).get("text/html", "")) for output in cell["outputs"]
                )
                for alt, data in PICTURE.findall(stored):
                    number += 1
                    name = f"gallery/{chapter}-{number}.svg"
                    (folder / name).write_bytes(base64.b64decode(data))
                    sentence = html.unescape(alt)
                    parts.append(_heading(_plain(title), "~"))
                    parts.append(f".. figure:: {name}\n   :alt: {sentence}\n\n   {_plain(sentence)}\n")
                    code = "\n".join(f"   {line}" for line in source.splitlines())
                    parts.append(f".. code-block:: python\n\n{code}\n")
    return "\n".join(parts)


def glossary_page() -> str:
    """Every word with its meaning, and the words that we do not use for it."""
    parts = [
        _heading("Glossary"),
        "One word for one thing, in the chapters, on paper and in the names of functions. The number at the end of an "
        "entry is the chapter that first needs the word. The same list is a table, ``data/glossary.csv``, and "
        '``stilltank.glossary.meaning("EC")`` finds a word by any of its names.\n',
        ".. glossary::\n",
    ]
    for term in glossary().values():
        parts.append(f"   {_plain(term.term)}\n      {_plain(term.meaning)}\n\n      {_about(term)}\n")
    return "\n".join(parts)


def _about(term: Term) -> str:
    unit = {"": "", "1": "a plain number"}.get(term.unit, term.unit.replace("delta_degC", "degC"))
    facts = (
        ("Symbol: ", _plain(term.symbol)),
        ("Unit: ", _plain(unit)),
        ("We do not say: ", _plain(", ".join(term.other_names))),
        ("In code: ", ", ".join(f"``{name}``" for name in term.name_in_code)),
        ("Source: ", ", ".join(f":ref:`{key} <source-{key.lower()}>`" for key in term.source)),
    )
    told = [f"{name}{what}." for name, what in facts if what]
    return " ".join((*told, f"Chapter {int(term.chapter)}."))


def sources_page() -> str:
    """The bibliography, each entry with how much of it was read and which tables cite it."""
    cites: dict[str, set[str]] = {}
    for path in sorted(tables.DATA.rglob("*.csv")):
        if path.name != "sources.csv":
            with path.open(encoding="utf-8-sig", newline="") as file:
                for row in csv.DictReader(file):
                    for key in (row.get("source") or "").split(";"):
                        cites.setdefault(key.strip(), set()).add(
                            path.relative_to(tables.DATA).with_suffix("").as_posix()
                        )
    pages = {name: f":doc:`numbers/{name}`" for name in (*tables.names(), "checks")}
    pages["glossary"] = ":doc:`glossary <glossary>`"
    rows = [
        (
            f".. _source-{key.lower()}:\n\n       {_plain(key)}",
            _plain(source.citation),
            _plain(source.read),
            ", ".join(pages.get(name, name) for name in sorted(cites.get(key, ()))),
        )
        for key, source in tables.sources().items()
    ]
    text = (
        "Every number names its source by one of these keys. The third column says how much of the source we really "
        "read: *whole* or an *excerpt* of it, only its *abstract*, a *secondary copy* that quotes it, or nothing at "
        "the time of writing, when the value comes *from memory*.\n"
    )
    return "\n".join(
        (_heading("Sources"), text, _table(("key", "source", "read", "cited in"), rows, "15 50 15 20"))
    )


def numbers_index() -> str:
    """The list of tables of values."""
    kinds = {
        "published": "we read it there",
        "computed": "calculated from published values; the note says how",
        "common practice": "growers and teachers do so; there is no source",
        "from memory": "we believe that the source says so, and nobody looked it up",
        "assumption": "our own choice; the note says why",
        "invented for the demo": "made up, for the school of our examples",
    }
    rows = [
        (f":doc:`{name} <{name}>`", str(len(tables.load(name))), ", ".join(_share(name)))
        for name in tables.names()
    ]
    rows.append(
        (":doc:`checks <checks>`", str(len(checks.rows())), "values that others publish, calculated again")
    )
    return "\n".join(
        (
            _heading("Numbers"),
            "Each number that the library uses has one home: a row in a table of the folder ``data/``. The row gives "
            "the value, its unit, its range where there is one, and its kind:\n",
            _table(("kind", "what it means"), [(kind, kinds[kind]) for kind in tables.KINDS], "25 75"),
            _table(("table", "values", "kinds"), rows, "30 15 55"),
        )
    )


def _share(name: str) -> list[str]:
    kinds = [entry.kind for entry in tables.load(name).values()]
    return [f"{kinds.count(kind)} {kind}" for kind in tables.KINDS if kind in kinds]


def numbers_page(name: str) -> str:
    """One table of values. Where an item has many properties, each item has a heading of its own."""
    table = tables.load(name)
    parts = [":orphan:\n", _heading(_plain(name))]
    parts.append(f"``data/{name}.csv``, {len(table)} values. :doc:`All tables </numbers/index>`\n")
    header, widths = ("property", "value", "kind", "source and note"), "22 22 14 42"
    if len(table) >= 4 * len(table.items_named):
        for item in table.items_named:
            parts.append(_heading(_plain(item), "-"))
            parts.append(_table(header, map(_row, table.of(item).values()), widths))
    else:
        rows = [(_plain(entry.item), *_row(entry)) for entry in table.values()]
        parts.append(_table(("item", *header), rows, f"20 {widths}"))
    return "\n".join(parts)


def checks_page() -> str:
    """The values that others publish and the workbook calculates again, by chapter."""
    parts = [
        ":orphan:\n",
        _heading("checks"),
        "``data/checks.csv``: values that someone else has published. The tests, and the chapter named, calculate "
        "each again and must come within the tolerance. :doc:`All tables </numbers/index>`\n",
    ]
    stated = list(checks.rows().values())
    for chapter in sorted({row.chapter for row in stated}):
        rows = [
            (_plain(row.quantity), _plain(_stated(row)), row.kind, _cited(row.source, row.where, row.note))
            for row in stated
            if row.chapter == chapter
        ]
        parts.append(_heading(f"Chapter {int(chapter)}", "-"))
        parts.append(_table(("quantity", "published value", "kind", "source and note"), rows, "28 20 14 38"))
    return "\n".join(parts)


def _stated(row: checks.Stated) -> str:
    unit = "" if row.unit == "1" else f" {row.unit}"
    return f"{row.stated:.10g}{unit}, within {row.tolerance:.2g}"


def _row(entry: Entry) -> tuple[str, str, str, str]:
    unit = "" if entry.unit in ("1", "text") else f" {entry.unit}"
    value = entry.value if isinstance(entry.value, str) else f"{entry.value:.10g}"
    ends = (entry.low, entry.high)
    spread = "" if ends == (None, None) else f" ({_end(entry.low)} to {_end(entry.high)})"
    about = _cited(entry.source, entry.where, entry.note)
    return _plain(entry.prop), _plain(f"{value}{unit}{spread}"), entry.kind, about


def _cited(keys: Iterable[str], where: str, note: str) -> str:
    cited = "; ".join(f":ref:`{key} <source-{key.lower()}>`" for key in keys)
    told = ", ".join(part for part in (cited, _plain(where)) if part)
    return "; ".join(part for part in (told, _plain(note)) if part)


def _end(number: float | None) -> str:
    return "open" if number is None else f"{number:.10g}"


def floors() -> str:
    """The table of floors, as DEVELOPERS.md has it, from the bottom up."""
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return re.search(r"^\| floor, from the bottom up \|.*?(?=\n\n)", guide, re.MULTILINE | re.DOTALL)[0]


def write_site(folder: Path) -> None:
    """Put every page of the site, and what Sphinx needs to build it, into ``folder``, which must not be there yet."""
    if folder.exists():
        raise SystemExit(
            f"{folder} is already there. Give the name of a new folder, or delete this one first."
        )
    shutil.copytree(HERE, folder, ignore=shutil.ignore_patterns("pages.py", "__pycache__"))
    made = {
        "index.md": (HERE / "index.md").read_text(encoding="utf-8").replace("FLOORS\n", f"{floors()}\n"),
        "reference/index.rst": reference_index(),
        "numbers/index.rst": numbers_index(),
        "glossary.rst": glossary_page(),
        "sources.rst": sources_page(),
        "gallery.rst": gallery(folder),
        "developers.md": (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"),
    }
    made |= {f"reference/{_short(face)}.rst": reference_page(face) for face in faces()}
    made["numbers/checks.rst"] = checks_page()
    made |= {f"numbers/{name}.rst": numbers_page(name) for name in tables.names()}
    for name, text in made.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write_site(Path(sys.argv[1]))
