"""Chapter 1 as a person meets it: at a desk with the keyboard alone, and from the last row of the room."""

import zipfile

import keys
import pytest
from every_chapter import (  # noqa: F401
    test_an_arrow_key_moves_picture_and_key_number,
    test_an_own_plan_is_saved_as_it_was,
    test_each_control_has_a_name,
    test_each_picture_has_words,
    test_it_can_be_shown_as_one_document,
    test_it_runs_without_an_error,
    test_large_type_can_be_read_from_the_last_row,
    test_what_is_typed_counts,
)
from large_type import panel
from stilltank.chapters.bank import ask

NAME = "01_mixing.ipynb"
PANELS = ("One salt in a tank", "A recipe in your water", "One bottle or two", "What the meter shows")
SAMPLE = "A1"
CONTROLS = {"list": "combobox", "slider": "slider", "button": "button", "tick box": "checkbox"}


def asked_about(run, text):
    """The output that asks this question."""
    start = " ".join(text.split())[:60]
    return run.outputs.filter(has_text=start).first


def sign(run, code):
    """Type a code, or none, and see it taken."""
    box = run.outputs.get_by_role("textbox", name="Your code")
    box.fill(code)
    box.press("Enter")
    run.settle()
    said = f"Your numbers are those of code {code}." if code else "Sample numbers, and nothing is kept."
    assert run.outputs.get_by_text(said).is_visible()


def kept(run):
    """The learner's files, as they are."""
    return {path.name: path.read_bytes() for path in run.workbook.glob("my-*")}


def test_an_answer_is_typed_and_answered(run):
    """A slip first, then the right answer, by keyboard; nothing is kept without a code."""
    sign(run, "")
    before = kept(run)
    key = ask("mixing-label-phosphorus", SAMPLE)
    slip = next(value for slip, value in key.wrongs if slip.name == "oxide for element")
    output = asked_about(run, key.text)
    box = output.get_by_role("textbox", name="Answer 3")
    box.focus()
    for typed, answer in ((f"{slip:.4g} %", "Then try again."), (f"{key.value:.5g} %", "Right.")):
        run.page.keyboard.press("Control+A")
        run.page.keyboard.type(typed)
        run.page.keyboard.press("Enter")
        run.settle()
        assert output.get_by_text(answer).first.is_visible()
    run.page.keyboard.press("Tab")
    assert run.page.evaluate("document.activeElement.textContent").strip() == "Show me the way"
    run.page.keyboard.press("Enter")
    run.settle()
    assert output.get_by_text(key.route.splitlines()[0]).first.is_visible()
    box.scroll_into_view_if_needed()
    run.show("chapter-01-answered")
    assert kept(run) == before


def test_a_code_keeps_the_work_in_a_file(run):
    sign(run, "9Z-1")
    key = ask("mixing-element-from-salt", "9Z-1")
    output = asked_about(run, key.text)
    answer = output.get_by_role("textbox", name="Answer 1")
    answer.fill(f"{key.value:.4g} mg/L")
    answer.press("Enter")
    run.settle()
    assert output.get_by_text("Right.").first.is_visible()
    assert b"mixing-element-from-salt" in kept(run)["my-progress-9Z-1.toml"]
    assert run.complaints == []


def test_the_work_is_copied_brought_in_and_started_again(run):
    """With the keyboard, from the box of the code on."""
    page, folder = run.page, run.workbook
    sign(run, "9Z-2")
    assert page.evaluate("document.activeElement.tagName") == "INPUT", "the box of the code keeps the focus"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.tagName") == "SELECT", "the list of units"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent").strip().startswith("Your work")
    page.keyboard.press("Enter")
    output = run.outputs.filter(has=page.get_by_role("textbox", name="Your code"))

    def press(name):
        output.get_by_role("button", name=name).focus()
        page.keyboard.press("Enter")
        run.settle()

    answer = asked_about(run, ask("mixing-element-from-salt", "9Z-2").text).get_by_role(
        "textbox", name="Answer 1"
    )
    answer.fill("1 mg/L")
    answer.press("Enter")
    run.settle()
    assert (
        asked_about(run, ask("mixing-element-from-salt", "9Z-2").text).get_by_text("Then try again").count()
    )
    press("Write the copy")
    assert output.get_by_text("is written with your plans").is_visible()
    with zipfile.ZipFile(folder / "my-work-9Z-2.zip") as copy:
        answers = copy.read("my-progress-9Z-2.toml").decode()
    assert "mixing-element-from-salt" in answers
    press("Write the copy")
    assert output.get_by_text("is there already").is_visible()

    other = answers.replace("mixing-element-from-salt", "mixing-dose")
    with page.expect_file_chooser() as chosen:
        output.get_by_role("button", name="or choose a file").press("Enter")
    chosen.value.set_files({"name": "home.toml", "mimeType": "text/plain", "buffer": other.encode()})
    run.settle()
    assert output.get_by_text("Nothing is taken until you press").is_visible()
    progress = folder / "my-progress-9Z-2.toml"
    assert "mixing-dose" not in progress.read_text(encoding="utf-8")
    press("Join it with the work here")
    assert output.get_by_text("It is kept in").is_visible()
    assert "mixing-dose" in progress.read_text(encoding="utf-8")

    press("Start chapter 01 again")
    assert output.get_by_text("Press once more to do it").is_visible()
    assert "mixing-dose" in progress.read_text(encoding="utf-8")
    run.show("chapter-01-work")
    press("Yes, clear chapter 01")
    assert output.get_by_text("python3 workbook again 01").is_visible()
    assert "mixing-dose" not in progress.read_text(encoding="utf-8")
    (dated,) = folder.glob("my-progress-9Z-2-*.toml")
    assert "mixing-dose" in dated.read_text(encoding="utf-8")
    answer = asked_about(run, ask("mixing-element-from-salt", "9Z-2").text).get_by_role(
        "textbox", name="Answer 1"
    )
    assert answer.input_value() == ""
    assert run.complaints == []


def test_a_prediction_opens_its_result(run):
    sign(run, "")
    box = run.outputs.get_by_role("textbox", name="Your guess")
    output = run.outputs.filter(has=run.page.get_by_role("textbox", name="Your guess"))
    assert output.get_by_text("No prediction yet").is_visible()
    assert output.locator("img").count() == 0
    box.fill("1.1 mS/cm")
    box.press("Enter")
    run.settle()
    image = output.locator("img")
    assert image.is_visible()
    assert "You predicted 1.1 mS/cm; the result is" in (image.get_attribute("alt") or "")
    run.show("chapter-01-predicted")


@pytest.mark.parametrize("kind", CONTROLS)
def test_a_key_on_a_control_stays_there(run, kind):
    assert keys.strays(run, PANELS[0], CONTROLS[kind]) == []


def test_keys_stay_on_a_page_that_is_projected(projected):
    assert keys.strays(projected, PANELS[0], "combobox") == []


def test_keys_that_add_or_copy_cells_work_on_open_cells_alone(chapter):
    """A locked cell is known by its editor; the cell itself carries no mark."""
    chapter.open(NAME)
    chapter.page.locator(".jp-CodeCell .cm-content").first.wait_for()
    count = len(keys.cells(chapter.page))

    def added(cell):
        before = len(keys.cells(chapter.page))
        for each in ("a", "b", "c", "v"):
            keys.hold(cell)
            keys.press(chapter.page, each)
            chapter.page.keyboard.press("Escape")
        return len(keys.cells(chapter.page)) - before

    locked = chapter.page.locator(".jp-Cell", has=chapter.page.locator(".jp-mod-readOnly"))
    still_open = chapter.page.locator(".jp-CodeCell", has_not=chapter.page.locator(".jp-mod-readOnly"))
    assert added(locked.first) == 0
    assert len(keys.cells(chapter.page)) == count
    assert added(still_open.first) == 3


def test_arrow_keys_and_letters_choose_from_a_list(run):
    salt = panel(run, PANELS[0]).get_by_role("combobox").first
    salt.select_option(index=0)
    salt.focus()
    chosen = []
    for key in ("ArrowDown", "ArrowDown", "m", "ArrowUp"):
        run.page.keyboard.press(key)
        chosen.append(salt.evaluate("one => one.selectedIndex"))
    run.settle()
    assert chosen == [1, 2, 3, 2]


def test_on_a_cell_the_keys_still_work(run):
    """Arrows walk, Shift and Enter runs on, and a cell of one's own comes and goes."""
    page, before = run.page, keys.cells(run.page)
    at = "window.jupyterapp.shell.currentWidget.content.activeCellIndex"
    to_try = page.locator(".jp-CodeCell:not(:has(.jp-mod-readOnly))").first
    to_try.focus()
    start = page.evaluate(at)
    for key, place in (("ArrowDown", 1), ("j", 2), ("ArrowUp", 1), ("k", 0), ("Shift+Enter", 1)):
        page.keyboard.press(key)
        assert page.evaluate(at) == start + place, key
    run.settle()
    to_try.focus()
    page.keyboard.press("b")
    assert len(keys.cells(page)) == len(before) + 1
    keys.press(page, "d d")
    assert keys.cells(page) == before
    assert run.complaints == []
