"""Chapter 0 as a person meets it: it opens, runs, answers to its controls, and can be used without eyes or a mouse."""

import os
import re
from pathlib import Path

import pytest
from large_type import SCREENS, faults, panel

NAME = "00_start_here.ipynb"
SCREENSHOTS = os.environ.get("SCREENSHOTS")
PANELS = ("Your tank", "Your crop", "Your place", "Your water, salts and acid", "Your season")
CONTROLS = ("spinbutton", "combobox", "textbox", "checkbox", "button", "radio", "listbox")


@pytest.fixture
def run(chapter):
    return chapter.open(NAME).run()


def test_it_opens_at_its_title(chapter):
    chapter.open(NAME).show("chapter-00-opened")
    assert chapter.page.locator(".jp-Notebook h1").count() == 1
    assert chapter.page.locator(".Toastify__toast").count() == 0, "JupyterLab asks something"


def test_it_runs_without_an_error(run):
    run.show("chapter-00-run")
    assert run.complaints == []
    run.show_outputs("chapter-00")


def test_each_picture_has_words(run):
    pictures = run.page.locator(".jp-Notebook img")
    assert pictures.count(), "no picture at all"
    for n in range(pictures.count()):
        words = pictures.nth(n).get_attribute("alt") or ""
        assert len(words.split()) >= 5, f"picture {n}: {words!r}"


def test_each_control_has_a_name(run):
    """As the browser hands it to a screen reader. Sliders cannot have one: a named box stands by each."""
    found = {role: run.controls(role) for role in (*CONTROLS, "slider")}
    assert found["spinbutton"], "no number box at all"
    for role in CONTROLS:
        for name, value in found[role]:
            assert re.search(r"[A-Za-z]{2}", name), f"a {role} with the value {value!r} has no name"
    assert len(found["slider"]) <= len(found["spinbutton"])


def test_a_number_typed_in_changes_what_is_shown(run):
    """With the keyboard alone."""
    boxes = run.outputs.get_by_role("spinbutton")
    for n in range(boxes.count()):
        before = run.outputs.evaluate_all("all => all.map(one => one.innerHTML).join()")
        value = float(boxes.nth(n).input_value())
        boxes.nth(n).fill(f"{value * 0.9:.4g}")
        boxes.nth(n).press("Enter")
        run.wait_for_change(before)
    assert run.complaints == []
    run.show_outputs("chapter-00-changed")


def test_it_can_be_shown_as_one_document(chapter):
    """The view for a projector, 1024 by 768: no complaint, nothing wider than the page."""
    chapter.page.set_viewport_size({"width": 1024, "height": 768})
    chapter.open(NAME, view="doc").run().show("chapter-00-document")
    assert chapter.complaints == []
    wide = chapter.outputs.evaluate_all(
        "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).length"
    )
    assert wide == 0, f"{wide} outputs are wider than the page"


def test_the_button_saves_the_plan_and_makes_a_card_of_one_page(run, lab, browser):
    """On A4 and on Letter, with no address of another computer in it."""
    run.outputs.get_by_role("button", name="Save the plan and make the card").click()
    plan, card = lab.workbook / "my-tank.toml", lab.workbook / "my-tank-card.html"
    run.outputs.get_by_text(f"Saved: {plan.name}").wait_for(timeout=10_000)
    assert plan.read_text(encoding="utf-8")
    assert not re.search(r"https?://(?!www\.w3\.org)", card.read_text(encoding="utf-8"))
    page = browser.new_page()
    asked = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(card.as_uri())
    for picture in page.locator("img").all():
        assert len((picture.get_attribute("alt") or "").split()) >= 5
    for paper in ("A4", "Letter"):
        printed = page.pdf(format=paper, print_background=True)
        assert len(re.findall(rb"/Type\s*/Page\b", printed)) == 1, paper
        if SCREENSHOTS:
            Path(SCREENSHOTS, f"tank-card-{paper}.pdf").write_bytes(printed)
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    page.close()


def test_an_arrow_key_moves_the_panel_and_then_the_others(run):
    one, season = panel(run, "Your tank"), panel(run, "Your season")
    before = season.locator("img").get_attribute("src")
    key = one.locator(".stilltank-key").inner_text()
    one.get_by_role("slider").nth(4).focus()
    run.page.keyboard.press("ArrowRight")
    run.page.wait_for_function(
        "([root, key]) => root.querySelector('.stilltank-key').innerText !== key",
        arg=[one.element_handle(), key],
    )
    chosen = one.get_by_role("combobox").first.evaluate("box => box.selectedOptions[0].text")
    assert " ".join(chosen.split()) == "your own sizes"
    run.page.wait_for_function(
        "([root, before]) => root.querySelector('img').src !== before", arg=[season.element_handle(), before]
    )
    one.get_by_role("button", name="Back to the start").click()
    run.page.wait_for_function(
        "([root, key]) => root.querySelector('.stilltank-key').innerText === key",
        arg=[one.element_handle(), key],
    )
    assert run.complaints == []


@pytest.mark.parametrize(("width", "height"), SCREENS)
def test_large_type_can_be_read_from_the_last_row(chapter, width, height):
    chapter.page.set_default_timeout(15_000)
    chapter.page.set_viewport_size({"width": width, "height": height})
    chapter.open(NAME, view="doc").run()
    assert [fault for title in PANELS for fault in faults(chapter, title, "chapter-00")] == []
