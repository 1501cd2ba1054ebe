"""CITATION.cff: what someone who cites the workbook copies from."""

import re
import tomllib

import yaml  # comes with JupyterLab
from structure import ROOT

CITATION = yaml.safe_load((ROOT / "CITATION.cff").read_text(encoding="utf-8"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_the_citation_has_what_its_format_asks_for():
    assert {"cff-version", "message", "title", "authors"} <= set(CITATION)
    assert CITATION["cff-version"] == "1.2.0"
    assert CITATION["type"] == "software"


def test_the_citation_names_this_version_of_this_workbook():
    assert CITATION["version"] == PROJECT["version"]
    assert PROJECT["description"].startswith(CITATION["title"])
    assert CITATION["authors"] == [{"name": "The founders of the Still Tank Workbook"}]


def test_the_citation_names_the_licences_of_the_project():
    """The format reads several licences as a choice, which ours are not: so code has the field, text the abstract."""
    code, text = PROJECT["license"].split(" AND ")
    assert CITATION["license"] == code
    assert re.search(rf"\b{re.escape(text)}\b", CITATION["abstract"])
    assert f"{code} License" in (ROOT / "LICENSE").read_text(encoding="utf-8")
