"""Chapter 1 as a person meets it: at a desk with the keyboard alone, and from the last row of the room."""

import os
import re

import pytest
from large_type import SCREENS, faults, panel
from stilltank.learning.questions import ask

NAME = "01_mixing.ipynb"
SCREENSHOTS = os.environ.get("SCREENSHOTS")
CONTROLS = ("spinbutton", "combobox", "textbox", "checkbox", "button", "radio", "listbox")
PANELS = ("One salt in a tank", "A recipe in your water", "One bottle or two", "What the meter shows")
SAMPLE = "A1"


@pytest.fixture
def run(chapter):
    chapter.page.set_default_timeout(15_000)
    return chapter.open(NAME).run()


def asked_about(run, text):
    """The output that asks this question."""
    start = " ".join(text.split())[:60]
    return run.outputs.filter(has_text=start).first


def pictures(run):
    run.page.wait_for_function("[...document.images].every(one => one.complete)")
    return run.page.locator(".jp-Notebook img")


def test_it_runs_without_an_error(run):
    run.show("chapter-01-run")
    assert run.complaints == []
    assert run.page.locator(".jp-Notebook h1").count() == 1
    for title in PANELS:
        assert panel(run, title).locator("img").count() == 1
    run.show_outputs("chapter-01")


def test_each_picture_has_words(run):
    found = pictures(run)
    assert found.count() >= len(PANELS)
    for n in range(found.count()):
        words = found.nth(n).get_attribute("alt") or ""
        assert len(words.split()) >= 5, f"picture {n}: {words!r}"
        assert "No description" not in words


def test_each_control_has_a_name(run):
    """As the browser hands it to a screen reader. Sliders cannot have one: a named box stands by each."""
    found = {role: run.controls(role) for role in (*CONTROLS, "slider")}
    for role in ("spinbutton", "combobox", "textbox", "checkbox", "button", "slider"):
        assert found[role], f"no {role} at all"
    for role in CONTROLS:
        for name, value in found[role]:
            assert re.search(r"[A-Za-z]{2}", name), f"a {role} with the value {value!r} has no name"
    for slider in run.outputs.get_by_role("slider").all():
        row = slider.locator("xpath=ancestor::*[contains(@class, 'widget-hbox')][1]")
        assert row.get_by_role("spinbutton").count() == row.get_by_role("slider").count() == 1


def test_an_answer_is_typed_and_answered(run):
    """A slip first, then the right answer, by keyboard; nothing is kept without a code."""
    key = ask("mixing-label-phosphorus", SAMPLE)
    slip = next(value for slip, value in key.wrongs if slip.name == "oxide for element")
    output = asked_about(run, key.text)
    box = output.get_by_role("textbox", name="Answer 3")
    box.focus()
    for typed, answer in ((f"{slip:.4g} %", "Then try again."), (f"{key.value:.5g} %", "Right.")):
        run.page.keyboard.press("Control+A")
        run.page.keyboard.type(typed)
        run.page.keyboard.press("Enter")
        output.get_by_text(answer).first.wait_for(timeout=10_000)
    run.page.keyboard.press("Tab")
    assert run.page.evaluate("document.activeElement.textContent").strip() == "Show me the way"
    run.page.keyboard.press("Enter")
    output.get_by_text(key.route.splitlines()[0]).first.wait_for(timeout=10_000)
    box.scroll_into_view_if_needed()
    run.show("chapter-01-answered")
    assert not list(run.lab.workbook.glob("my-progress-*"))


def test_a_code_keeps_the_work_in_a_file(run):
    box = run.outputs.get_by_role("textbox", name="Your code")
    box.fill("9Z-1")
    box.press("Enter")
    run.outputs.get_by_text("Your numbers are those of code 9Z-1.").wait_for(timeout=20_000)
    key = ask("mixing-element-from-salt", "9Z-1")
    output = asked_about(run, key.text)
    answer = output.get_by_role("textbox", name="Answer 1")
    answer.fill(f"{key.value:.4g} mg/L")
    answer.press("Enter")
    output.get_by_text("Right.").first.wait_for(timeout=10_000)
    kept = (run.lab.workbook / "my-progress-9Z-1.toml").read_text(encoding="utf-8")
    assert "mixing-element-from-salt" in kept
    assert run.complaints == []


def test_the_work_is_copied_brought_in_and_started_again(run):
    """With the keyboard, from the box of the code on."""
    page, folder = run.page, run.lab.workbook
    box = run.outputs.get_by_role("textbox", name="Your code")
    box.fill("9Z-2")
    box.press("Enter")
    run.outputs.get_by_text("Your numbers are those of code 9Z-2.").wait_for(timeout=20_000)
    assert page.evaluate("document.activeElement.tagName") == "INPUT", "the box of the code keeps the focus"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent").strip().startswith("Your work")
    page.keyboard.press("Enter")
    output = run.outputs.filter(has=page.get_by_role("textbox", name="Your code"))

    def press(name):
        output.get_by_role("button", name=name).focus()
        page.keyboard.press("Enter")

    answer = asked_about(run, ask("mixing-element-from-salt", "9Z-2").text).get_by_role(
        "textbox", name="Answer 1"
    )
    answer.fill("1 mg/L")
    answer.press("Enter")
    asked_about(run, ask("mixing-element-from-salt", "9Z-2").text).get_by_text(
        "Then try again"
    ).first.wait_for()
    press("Write the copy")
    output.get_by_text("is written to").wait_for()
    copy = folder / "my-work-9Z-2.toml"
    assert "mixing-element-from-salt" in copy.read_text(encoding="utf-8")
    press("Write the copy")
    output.get_by_text("is there already").wait_for()

    other = copy.read_text(encoding="utf-8").replace("mixing-element-from-salt", "mixing-dose")
    with page.expect_file_chooser() as chosen:
        press("or choose a file")
    chosen.value.set_files({"name": "home.toml", "mimeType": "text/plain", "buffer": other.encode()})
    output.get_by_text("Nothing is taken until you press").wait_for()
    kept = folder / "my-progress-9Z-2.toml"
    assert "mixing-dose" not in kept.read_text(encoding="utf-8")
    press("Join it with the work here")
    output.get_by_text("It is kept in").wait_for()
    assert "mixing-dose" in kept.read_text(encoding="utf-8")

    press("Start chapter 01 again")
    output.get_by_text("Press once more to do it").wait_for()
    assert "mixing-dose" in kept.read_text(encoding="utf-8")
    run.show("chapter-01-work")
    press("Yes, clear chapter 01")
    output.get_by_text("python3 workbook again 01").wait_for()
    assert "mixing-dose" not in kept.read_text(encoding="utf-8")
    (dated,) = folder.glob("my-progress-9Z-2-*.toml")
    assert "mixing-dose" in dated.read_text(encoding="utf-8")
    answer = asked_about(run, ask("mixing-element-from-salt", "9Z-2").text).get_by_role(
        "textbox", name="Answer 1"
    )
    assert answer.input_value() == ""
    assert run.complaints == []


def test_a_prediction_opens_its_result(run):
    box = run.outputs.get_by_role("textbox", name="Your guess")
    output = run.outputs.filter(has=run.page.get_by_role("textbox", name="Your guess"))
    output.get_by_text("No prediction yet").wait_for()
    assert output.locator("img").count() == 0
    box.fill("1.1 mS/cm")
    box.press("Enter")
    image = output.locator("img")
    image.wait_for(timeout=10_000)
    assert "You predicted 1.1 mS/cm; the result is" in (image.get_attribute("alt") or "")
    output.screenshot(path=f"{SCREENSHOTS}/chapter-01-predicted.png") if SCREENSHOTS else None


@pytest.mark.parametrize("title", PANELS)
def test_an_arrow_key_moves_picture_and_key_number(run, title):
    one = panel(run, title)
    slider = one.get_by_role("slider").last
    state = "root => [root.querySelector('img').src, root.querySelector('.stilltank-key').innerText].join()"
    before, number = one.evaluate(state), one.get_by_role("spinbutton").last.input_value()
    key = one.locator(".stilltank-key").inner_text()
    slider.focus()
    run.page.keyboard.press("ArrowLeft")
    run.page.wait_for_function(
        f"([root, before]) => ({state})(root) !== before", arg=[one.element_handle(), before]
    )
    assert one.get_by_role("spinbutton").last.input_value() != number
    run.page.keyboard.press("Home")
    run.page.wait_for_function(
        "([root, key]) => root.querySelector('.stilltank-key').innerText !== key",
        arg=[one.element_handle(), key],
    )
    assert len(one.get_by_role("spinbutton").last.input_value()) <= 6, "no tail of digits"
    assert run.complaints == []


@pytest.mark.parametrize(("width", "height"), SCREENS)
def test_large_type_can_be_read_from_the_last_row(chapter, width, height):
    chapter.page.set_default_timeout(15_000)
    chapter.page.set_viewport_size({"width": width, "height": height})
    chapter.open(NAME, view="doc").run()
    assert [fault for title in PANELS for fault in faults(chapter, title, "chapter-01")] == []
