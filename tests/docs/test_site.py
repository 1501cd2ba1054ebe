"""The built reference: whole, readable without a network, and without dead links."""

import json
import re
import runpy
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

import pytest
from faces import faces
from stilltank import tables
from stilltank.glossary import glossary
from structure import ROOT


@dataclass
class Page(HTMLParser):
    """What a page loads, where it leads, its headings and its pictures."""

    loads: list = field(default_factory=list)
    leads: list = field(default_factory=list)
    ids: set = field(default_factory=set)
    headings: list = field(default_factory=list)
    pictures: list = field(default_factory=list)

    def __post_init__(self):
        super().__init__()

    def handle_starttag(self, tag, attrs):
        given = dict(attrs)
        if "id" in given:
            self.ids.add(given["id"])
        if tag == "a" and "href" in given:
            self.leads.append(given["href"])
        elif tag == "link" and "href" in given:
            kept = {"stylesheet", "icon", "preload", "modulepreload", "preconnect"} & set(
                given["rel"].split()
            )
            (self.loads if kept else self.leads).append(given["href"])
        elif given.get("src"):
            self.loads.append(given["src"])
        if tag == "img":
            self.pictures.append(given.get("alt", ""))
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))


def read(text):
    page = Page()
    page.feed(text)
    return page


def faults(page):
    """What is wrong with one page by itself."""
    found = [f"loads {address} from elsewhere" for address in page.loads if _outside(address)]
    found += [f"leads to {address}" for address in page.leads if _outside(address)]
    found += ["a picture without words"] * page.pictures.count("")
    if page.headings.count(1) != 1 or page.headings[:1] != [1]:
        found.append(f"begins with headings {page.headings[:3]}")
    for above, below in zip(page.headings, page.headings[1:], strict=False):
        if below > above + 1:
            found.append(f"a heading of level {below} under one of level {above}")
    return found


def _outside(address):
    parts = urlsplit(address)
    return bool(parts.netloc or parts.scheme not in ("", "data"))


@pytest.fixture(scope="module")
def pages(site):
    """Every page of the site, by its place."""
    return {path: read(path.read_text(encoding="utf-8")) for path in sorted(site.rglob("*.html"))}


def test_each_page_stands_by_itself(pages, site):
    assert len(pages) > 80
    assert not {str(path.relative_to(site)): wrong for path, page in pages.items() if (wrong := faults(page))}


def test_styles_ask_no_other_computer(site):
    for path in site.rglob("*.css"):
        assert not re.search(
            r"""(?:url\(|@import)\s*["']?(?:https?:)?//""", path.read_text(encoding="utf-8")
        ), path.name


def test_every_link_leads_somewhere(pages, site):
    dead = []
    for path, page in pages.items():
        for address in (*page.leads, *page.loads):
            parts = urlsplit(address)
            if parts.scheme == "data":
                continue
            target = (path.parent / unquote(parts.path)).resolve() if parts.path else path
            name = unquote(parts.fragment)
            if not target.is_file() or (name and target in pages and name not in pages[target].ids):
                dead.append(f"{path.relative_to(site)}: {address}")
    assert not dead


def test_every_face_has_its_page_and_every_name_its_place(pages, site):
    missing = []
    for face, names in faces().items():
        path = site / "reference" / f"{face.removeprefix('stilltank.')}.html"
        assert path in pages, f"no page for {face}"
        text = path.read_text(encoding="utf-8")
        missing += [
            f"{face}.{name}"
            for name in names
            if f"{face}.{name}" not in pages[path].ids and not re.search(rf'href="[^"]*\.{name}"', text)
        ]
    assert not missing


def test_tables_sources_and_words_are_all_there(pages, site):
    assert not [name for name in tables.names() if site / "numbers" / f"{name}.html" not in pages]
    assert not [
        key for key in tables.sources() if f"source-{key.lower()}" not in pages[site / "sources.html"].ids
    ]
    words = {name for name in pages[site / "glossary.html"].ids if name.startswith("term-")}
    assert len(words) == len(glossary())


def test_the_gallery_shows_every_still_picture_with_its_sentence(pages, site):
    kept = []
    for path in sorted((ROOT / "workbook").glob("[0-9][0-9]_*.ipynb")):
        for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
            if "keep-figure" in cell["metadata"].get("tags", []):
                plain = ["".join(output.get("data", {}).get("text/plain", "")) for output in cell["outputs"]]
                kept += [text for text in plain if text]
    assert len(kept) > 20
    assert pages[site / "gallery.html"].pictures == kept


def test_the_site_is_no_part_of_the_project():
    ignored = (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()
    assert "build/" in ignored


def test_a_folder_that_is_there_is_left_alone(tmp_path):
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    write_site = runpy.run_path(str(ROOT / "lib" / "docs" / "pages.py"))["write_site"]
    with pytest.raises(SystemExit, match="is already there"):
        write_site(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ('<h1>a</h1><script src="https://{host}/x.js"></script>', "loads"),
        ('<h1>a</h1><link rel="stylesheet" href="//else.where/x.css">', "loads"),
        ('<h1>a</h1><a href="https://{host}/">b</a>', "leads to"),
        ('<h1>a</h1><img src="a.svg">', "a picture without words"),
        ("<h1>a</h1><h3>b</h3>", "a heading of level 3 under one of level 1"),
        ("<h2>a</h2>", "begins with headings"),
        ('<h1>a</h1><h2>b</h2><img src="a.svg" alt="c"><a href="b.html">d</a>', None),
    ],
)
def test_a_fault_of_a_page_is_seen(text, fault):
    """A test of the test."""
    found = faults(read(text))
    assert len(found) == (fault is not None)
    assert all(fault in one for one in found)
