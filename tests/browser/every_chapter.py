"""Tests that every chapter passes; a chapter's file imports those it takes. They read its NAME and PANELS."""

import re

import pytest
from large_type import SCREENS, faults, panel

CONTROLS = ("spinbutton", "combobox", "textbox", "checkbox", "button", "radio", "listbox")


def test_it_runs_without_an_error(look, request):
    stem = request.module.NAME[:2]
    look.show(f"chapter-{stem}-run")
    assert look.complaints == []
    assert look.page.locator(".jp-Notebook h1").count() == 1
    for title in request.module.PANELS:
        assert panel(look, title).locator("img").count() == 1
    look.show_outputs(f"chapter-{stem}")


def test_each_picture_has_words(look, request):
    found = look.page.locator(".jp-Notebook img")
    assert found.count() >= len(request.module.PANELS)
    for n in range(found.count()):
        words = found.nth(n).get_attribute("alt") or ""
        assert len(words.split()) >= 5, f"picture {n}: {words!r}"
        assert "No description" not in words


def test_each_control_has_a_name(look):
    """As the browser hands it to a screen reader. Sliders cannot have one: a named box stands by each."""
    found = {role: look.controls(role) for role in (*CONTROLS, "slider")}
    for role in ("spinbutton", "combobox", "textbox", "checkbox", "button", "slider"):
        assert found[role], f"no {role} at all"
    for role in CONTROLS:
        for name, value in found[role]:
            assert re.search(r"[A-Za-z]{2}", name), f"a {role} with the value {value!r} has no name"
    for slider in look.outputs.get_by_role("slider").all():
        row = slider.locator("xpath=ancestor::*[contains(@class, 'widget-hbox')][1]")
        assert row.get_by_role("spinbutton").count() == row.get_by_role("slider").count() == 1


def test_an_arrow_key_moves_picture_and_key_number(look, title):
    """On the page of all, as each panel stands for itself."""
    one = panel(look, title)
    slider = one.get_by_role("slider").last
    state = "root => [root.querySelector('img').src, root.querySelector('.stilltank-key').innerText].join()"
    before, number = one.evaluate(state), one.get_by_role("spinbutton").last.input_value()
    key = one.locator(".stilltank-key").inner_text()
    slider.focus()
    look.page.keyboard.press("ArrowLeft")
    look.settle()
    assert one.evaluate(state) != before
    assert one.get_by_role("spinbutton").last.input_value() != number
    look.page.keyboard.press("Home")
    look.settle()
    assert one.locator(".stilltank-key").inner_text() != key
    assert len(one.get_by_role("spinbutton").last.input_value()) <= 6, "no tail of digits"
    assert look.complaints == []


@pytest.mark.parametrize(("width", "height"), SCREENS)
def test_large_type_can_be_read_from_the_last_row(chapter, request, width, height):
    chapter.page.set_viewport_size({"width": width, "height": height})
    chapter.open(request.module.NAME, view="doc").run()
    name = f"chapter-{request.module.NAME[:2]}"
    assert [fault for title in request.module.PANELS for fault in faults(chapter, title, name)] == []
