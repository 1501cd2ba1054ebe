"""A progress file read with a line for every fault."""

from pathlib import Path
from typing import Any

import tomli_w

from stilltank import __version__
from stilltank.documents import Document, DocumentFault, Section
from stilltank.units import Problem

from ..codes import learner_code
from .joined_work import GUESS

_HEADER = """\
# Still Tank Workbook: the progress of one learner, who is a code and never a name.
# Plain text: read it, copy it, take it to another computer. To delete it for good, see shared/privacy.md.

"""

TABLES = ("settings", "chapters", "answers", "predictions")


class ProgressFault(DocumentFault):
    """A progress file cannot be used; it stays as it is, and the sentence says what to do.

    Examples
    --------
    >>> isinstance(ProgressFault("my-progress-A1.toml, line 3: this is not TOML."), Problem)
    True
    """


class ProgressFile(Document):
    """The file as it is read."""

    called = "progress file"
    remedy = "give it another name to start afresh"
    line = 'state = "right"'
    faulty = ProgressFault


def _chapter(section: Section) -> dict[str, Any]:
    section.text("state", "started")
    section.count("round", 1)
    return {key: section.get(key, object, "1") for key in section}


def _answer(document: Document, name: str, section: Section) -> dict[str, Any]:
    section.texts("typed", "36 g")
    section.count("hints", 0)
    section.text("state", "right")
    if "based_on" in document.values["answers"][name]:
        based_on = document.section("answers", name, "based_on")
        for key in based_on:
            based_on.text(key, "45 L")
    return document.values["answers"][name]


def _guess(section: Section) -> dict[str, Any]:
    for key in GUESS:
        section.text(key, "...")
    section.text("chapter", "01")
    return {key: section.get(key, object, "...") for key in section}


def read_file(path: Path) -> dict[str, Any]:
    """The parts of a progress file by name.

    Raises ProgressFault when it cannot be used; the sentence names the line.
    """
    try:
        document = ProgressFile(path)
        document.only("format", "code", "library", "plan", *TABLES, *(f"{name}.*" for name in TABLES[1:]))
        top = document.section()
        settings: dict[str, str] = {}
        if "settings" in document.values:
            section = document.section("settings")
            settings = {key: section.text(key, "US") for key in section}
        return {
            "code": top.using(["code"], lambda: learner_code(top.text("code", "7B-12"))),
            "library": top.text("library", __version__),
            "plan": top.text("plan", "my-tank.toml") if "plan" in top else "",
            "settings": settings,
            "chapters": {name: _chapter(part) for name, part in document.sections("chapters").items()},
            "answers": {
                name: _answer(document, name, part) for name, part in document.sections("answers").items()
            },
            "predictions": {name: _guess(part) for name, part in document.sections("predictions").items()},
        }
    except ProgressFault as error:
        said = str(error) if str(error).endswith(".") else f"{error}."
        raise ProgressFault(f"{said} The file stays as it is.") from None


def as_text(code: str, plan: str, tables: dict[str, dict[str, Any]]) -> str:
    """The file's text; what is empty is left out.

    Raises Problem when an entry holds something that a file cannot.
    """
    top: dict[str, Any] = {"format": ProgressFile.newest, "code": code, "library": __version__}
    if plan:
        top["plan"] = plan
    try:
        return _HEADER + tomli_w.dumps(top | {name: table for name, table in tables.items() if table})
    except (TypeError, ValueError) as error:
        raise Problem(f"The progress of {code} cannot be saved: {error}.") from error
