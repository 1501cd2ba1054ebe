"""Tests that every chapter passes; a chapter's file imports those it takes. They read its NAME and PANELS."""

import re

import pytest
from large_type import SCREENS, enlarge, faults, panel
from own_plan import OWN_PLAN
from stilltank.show.panels.choices import UNIT_WORDS
from stilltank.units import Q

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
        named = row.get_by_role("spinbutton").or_(row.get_by_role("textbox"))
        assert named.count() == row.get_by_role("slider").count() == 1


def test_an_arrow_key_moves_picture_and_key_number(run, title):
    one = panel(run, title)
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    slider = one.get_by_role("slider").last
    state = "root => [root.querySelector('img').src, root.querySelector('.stilltank-key').innerText].join()"
    box = one.locator(".stilltank-row input").last
    before, number = one.evaluate(state), box.input_value()
    key = one.locator(".stilltank-key").inner_text()
    slider.focus()
    run.page.keyboard.press("ArrowLeft")
    run.settle()
    assert one.evaluate(state) != before
    assert box.input_value() != number
    run.page.keyboard.press("Home")
    run.settle()
    assert one.locator(".stilltank-key").inner_text() != key
    assert len(box.input_value()) <= 6, "no tail of digits"
    assert run.complaints == []


COUNTED = (
    "Plants",
    "Basil plants",
    "Tanks",
    "Time since planting",
    "A new batch",
    "A round",
)  # whole numbers
BOXES = """root => [...root.querySelectorAll('.stilltank-row')].map(row => ({
  name: row.querySelector('label, .widget-label').textContent,
  number: row.querySelector('input').value.split(' ').reduce(
    (sum, part) => sum + (([over, under]) => over / (under || 1))(part.split('/')), 0),
  step: +row.querySelector('input').step || 0.5,
  handle: +row.querySelector('[role=slider]').getAttribute('aria-valuenow'),
  most: +row.querySelector('[role=slider]').getAttribute('aria-valuemax'),
}))"""
STATE = """root => [...root.querySelectorAll('.stilltank-key, .stilltank-sentence p')].map(one => one.innerText).concat(
  [...root.querySelectorAll('img')].map(one => one.src))"""


def boxes(one):
    """Label and number of each box of a panel."""
    return {row["name"]: row["number"] for row in one.evaluate(BOXES)}


def numbered(one, name):
    """The box of a number; one that also takes a ruler's fractions is a box for words."""
    return one.get_by_role("spinbutton", name=name, exact=True).or_(
        one.get_by_role("textbox", name=name, exact=True)
    )


def fill(one, name, number):
    """Type a number, and press Enter."""
    box = numbered(one, name)
    box.fill(f"{number:.10g}")
    box.press("Enter")


def between_steps(row):
    """A number that lies on no step of the slider; a whole one where things are counted."""
    part = 1 if row["name"].startswith(COUNTED) else 0.3712
    return round(row["number"] + (-part if row["handle"] >= row["most"] else part) * row["step"], 4)


def quantity(name, number):
    """What a box says, its unit read from its label."""
    words = name.rpartition(", ")[2]
    unit = {said: unit for unit, said in UNIT_WORDS.items() if "/hour" not in unit}.get(words, "1")
    return number if unit == "1" else Q(number, unit.removesuffix(" as CaCO3"))


def same_quantities(found, expected):
    """Whether boxes in two systems show the same, as far as a box has room for it: four figures."""
    for (name, number), (other, value) in zip(found.items(), expected.items(), strict=True):
        assert name.split(",")[0] == other.split(",")[0]
        here, there = quantity(name, number), quantity(other, value)
        there = getattr(there, "m_as", lambda _, plain=there: plain)(getattr(here, "units", None))
        assert getattr(here, "m", here) == pytest.approx(there, rel=6e-4), (name, number, other, value)


def test_what_is_typed_counts(run, title, request):
    """Numbers that lie on no step, in both systems; nothing but a hand changes them, nor key, sentence and picture."""
    one = panel(run, title)
    number_in, again = (
        one.get_by_role("combobox", name="Numbers in"),
        one.get_by_role("button", name="Back to"),
    )

    def switch(system):
        number_in.select_option(index=("metric", "US").index(system))
        run.settle()

    switch("metric")
    again.click()
    run.settle()
    start, first = boxes(one), one.evaluate(STATE)
    typed = {row["name"]: between_steps(row) for row in one.evaluate(BOXES)}
    for name, number in typed.items():
        fill(one, name, number)
    run.settle()
    assert boxes(one) == typed
    held = one.evaluate(STATE)
    if start:
        assert "No answer" not in held
        assert held != first or title == "Your crop", "one plant more moves no date"
    switch("US")
    same_quantities(boxes(one), typed)
    us = one.evaluate(STATE)
    switch("metric")
    assert boxes(one) == typed
    assert one.evaluate(STATE) == held
    switch("US")
    assert one.evaluate(STATE) == us
    for row in one.evaluate(BOXES)[:1]:
        mine = {**boxes(one), row["name"]: between_steps(row)}
        fill(one, row["name"], mine[row["name"]])
        run.settle()
        assert boxes(one) == mine
        switch("metric")
        same_quantities(boxes(one), mine)
        switch("US")
        assert boxes(one) == mine
        fill(one, row["name"], 3 * row["most"] + 7.3)  # beyond the slider: taken, or refused in words
        run.settle()
        refused = "No answer" in one.evaluate(STATE)
        assert one.get_by_role("alert").count() == refused == one.get_by_text("From before").count()
        one.evaluate("root => root.scrollIntoView({block: 'start'})")
        run.show(f"beyond-{request.module.NAME[:2]}-{re.sub('[^a-z]+', '-', title.lower())}")
        beyond = {**mine, row["name"]: 3 * row["most"] + 7.3}
        switch("metric")
        same_quantities(boxes(one), beyond)
        switch("US")
        assert boxes(one) == pytest.approx(beyond)
        assert ("No answer" in one.evaluate(STATE)) == refused
    switch("metric")
    again.click()
    run.settle()
    assert boxes(one) == start
    assert one.evaluate(STATE) == first
    assert run.complaints == []


def test_an_own_plan_is_saved_as_it_was(projected, request):
    """Byte for byte: opened, looked at in both systems, gone back to the start, and put back after a change."""
    plan = projected.workbook / "my-tank.toml"
    assert projected.outputs.get_by_text("my-tank.toml was").count() == 0
    on_plan = [
        title for title in request.module.PANELS if title.startswith("Your ") and title != "Your own k"
    ]
    save = projected.outputs.get_by_role("button", name="Save the plan and make the card")

    def saved():
        projected.settle()
        card = plan.with_name("my-tank-card.html")
        card.unlink(missing_ok=True)
        save.click()
        projected.settle()
        assert card.exists()
        return plan.read_text(encoding="utf-8")

    assert saved() == OWN_PLAN
    for title in on_plan:
        one = panel(projected, title)
        before = boxes(one)
        cut = "all => all.filter(one => one.scrollWidth > one.clientWidth).map(one => one.value)"
        assert one.locator(".stilltank-row input").evaluate_all(cut) == [], "12.125 is not to read 12.12"
        for system in (1, 0):
            one.get_by_role("combobox", name="Numbers in").select_option(index=system)
            projected.settle()
        assert boxes(one) == before
        if before:
            row = one.evaluate(BOXES)[0]
            fill(one, row["name"], between_steps(row))
        one.get_by_role("button", name="Back to the start").click()
        projected.settle()
        assert boxes(one) == before
    assert saved() == OWN_PLAN
    assert projected.complaints == []


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
