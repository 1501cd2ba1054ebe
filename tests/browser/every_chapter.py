"""Tests that every chapter passes; a chapter's file imports those it takes. They read its NAME and PANELS."""

import re

import pytest
from large_type import SCREENS, enlarge, faults, panel

CONTROLS = ("spinbutton", "combobox", "textbox", "checkbox", "button", "radio", "listbox")


def guess(run, question, *typed_and_answered):
    """Type guesses into the box of a prediction, and see each answered in words; returns the output."""
    output = run.outputs.filter(has_text=question)
    box = output.get_by_role("textbox", name="Your guess")
    for typed, answer in typed_and_answered:
        box.fill(typed)
        box.press("Enter")
        run.settle()
        assert output.get_by_text(answer).first.is_visible()
    assert run.complaints == []
    return output


def test_it_runs_without_an_error(run, request):
    stem = request.module.NAME[:2]
    run.show(f"chapter-{stem}-run")
    assert run.complaints == []
    assert run.page.locator(".jp-Notebook h1").count() == 1
    for title in request.module.PANELS:
        assert panel(run, title).locator("img").count() == 1
    run.show_outputs(f"chapter-{stem}")


def test_each_picture_has_words(run, request):
    found = run.page.locator(".jp-Notebook img")
    assert found.count() >= len(request.module.PANELS)
    for n in range(found.count()):
        words = found.nth(n).get_attribute("alt") or ""
        assert len(words.split()) >= 5, f"picture {n}: {words!r}"
        assert "No description" not in words


def test_each_control_has_a_name(run):
    """As the browser hands it to a screen reader. Sliders cannot have one: a named box stands by each."""
    found = run.controls()
    for role in ("spinbutton", "combobox", "textbox", "checkbox", "button", "slider"):
        assert any(one[0] == role for one in found), f"no {role} at all"
    for role, name, value in found:
        if role in CONTROLS:
            assert re.search(r"[A-Za-z]{2}", name), f"a {role} with the value {value!r} has no name"
    for slider in run.outputs.get_by_role("slider").all():
        row = slider.locator("xpath=ancestor::*[contains(@class, 'widget-hbox')][1]")
        assert row.get_by_role("spinbutton").count() == row.get_by_role("slider").count() == 1


def test_an_arrow_key_moves_picture_and_key_number(run, title):
    one = panel(run, title)
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    slider = one.get_by_role("slider").last
    state = "root => [root.querySelector('img').src, root.querySelector('.stilltank-key').innerText].join()"
    before, number = one.evaluate(state), one.get_by_role("spinbutton").last.input_value()
    key = one.locator(".stilltank-key").inner_text()
    slider.focus()
    run.page.keyboard.press("ArrowLeft")
    run.settle()
    assert one.evaluate(state) != before
    assert one.get_by_role("spinbutton").last.input_value() != number
    run.page.keyboard.press("Home")
    run.settle()
    assert one.locator(".stilltank-key").inner_text() != key
    assert len(one.get_by_role("spinbutton").last.input_value()) <= 6, "no tail of digits"
    assert run.complaints == []


def test_it_can_be_shown_as_one_document(projected, request):
    """No complaint, and nothing wider than the page of 1024 by 768."""
    projected.resize(1024, 768)
    for title in request.module.PANELS:
        enlarge(projected, title, False)
    projected.show(f"chapter-{request.module.NAME[:2]}-document")
    assert projected.complaints == []
    wide = projected.outputs.evaluate_all(
        "all => all.filter(one => one.scrollWidth > one.clientWidth + 1).length"
    )
    assert wide == 0, f"{wide} outputs are wider than the page"


@pytest.mark.parametrize(("width", "height"), SCREENS)
def test_large_type_can_be_read_from_the_last_row(projected, request, width, height):
    projected.resize(width, height)
    name = f"chapter-{request.module.NAME[:2]}"
    assert [fault for title in request.module.PANELS for fault in faults(projected, title, name)] == []
