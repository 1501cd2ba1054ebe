"""Chapter 0 as a person meets it: it opens, runs, answers to its controls, and can be used without eyes or a mouse."""

import os
import re
from pathlib import Path

from every_chapter import (  # noqa: F401
    test_an_own_plan_is_saved_as_it_was,
    test_each_control_has_a_name,
    test_each_picture_has_words,
    test_it_can_be_shown_as_one_document,
    test_it_runs_without_an_error,
    test_large_type_can_be_read_from_the_last_row,
    test_what_is_typed_counts,
)
from large_type import panel

NAME = "00_start_here.ipynb"
SCREENSHOTS = os.environ.get("SCREENSHOTS")
PANELS = ("Your tank", "Your crop", "Your place", "Your water, salts and acid", "Your season")


def test_it_opens_at_its_title(chapter):
    chapter.open(NAME).show("chapter-00-opened")
    assert chapter.page.locator(".jp-Notebook h1").count() == 1


def type_code(run, code):
    box = run.outputs.get_by_role("textbox", name="Your code")
    box.fill(code)
    box.press("Enter")
    run.settle()


def start(run):
    """The plan as the page opened it, with no code typed."""
    type_code(run, "")
    for title in PANELS:
        panel(run, title).get_by_role("button", name="Back to the start").click()
    run.settle()


def test_a_number_typed_in_changes_what_is_shown(run):
    """With the keyboard alone."""
    start(run)
    boxes = run.outputs.get_by_role("spinbutton")
    for n in range(boxes.count()):
        before = run.held()
        value = float(boxes.nth(n).input_value())
        boxes.nth(n).fill(f"{value * 0.9 or 30:.4g}")  # no shade cloth is 0
        boxes.nth(n).press("Enter")
        assert run.settle().held() != before, f"box {n} changes nothing"
    assert run.complaints == []
    run.show_outputs("chapter-00-changed")


def test_the_button_saves_the_plan_and_makes_a_card_of_one_page(run, page):
    """On A4 and on Letter, with no address of another computer in it."""
    start(run)
    run.outputs.get_by_role("button", name="Save the plan and make the card").click()
    run.settle()
    plan, card = run.workbook / "my-tank.toml", run.workbook / "my-tank-card.html"
    assert run.outputs.get_by_text(f"Saved: {plan.name}").first.is_visible()
    assert plan.read_text(encoding="utf-8")
    assert not re.search(r"https?://(?!www\.w3\.org)", card.read_text(encoding="utf-8"))
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


def test_two_learners_at_one_page_keep_two_plans(run):
    start(run)
    tank = panel(run, "Your tank")
    first, saved = tank.locator(".stilltank-key").inner_text(), {}
    for code, length in (("7B-12", "50"), ("7B-13", "70")):
        type_code(run, code)
        assert tank.locator(".stilltank-key").inner_text() == first
        assert run.outputs.get_by_text(f"Code {code} has no plan yet").is_visible()
        box = tank.locator(".stilltank-row input").first
        box.fill(length)
        box.press("Enter")
        run.settle()
        run.outputs.get_by_role("button", name="Save the plan and make the card").click()
        run.settle()
        assert run.outputs.get_by_text(f"Saved: my-tank-{code}.toml").first.is_visible()
        saved[code] = tank.locator(".stilltank-key").inner_text()
    type_code(run, "7B-12")
    assert tank.locator(".stilltank-key").inner_text() == saved["7B-12"] != saved["7B-13"]
    assert run.outputs.get_by_text("This is the plan of code 7B-12").is_visible()
    for code, length in (("7B-12", "50 cm"), ("7B-13", "70 cm")):
        assert length in (run.workbook / f"my-tank-{code}.toml").read_text(encoding="utf-8")
    start(run)
    assert run.complaints == []


def test_an_arrow_key_moves_the_panel_and_then_the_others(run):
    start(run)
    one, season = panel(run, "Your tank"), panel(run, "Your season")
    before = season.locator("img").get_attribute("src")
    key = one.locator(".stilltank-key").inner_text()
    one.get_by_role("slider").nth(4).focus()
    run.page.keyboard.press("ArrowRight")
    run.settle()
    assert one.locator(".stilltank-key").inner_text() != key
    chosen = one.get_by_role("combobox").first.evaluate("box => box.selectedOptions[0].text")
    assert " ".join(chosen.split()) == "your own sizes"
    assert season.locator("img").get_attribute("src") != before
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert one.locator(".stilltank-key").inner_text() == key
    assert run.complaints == []
