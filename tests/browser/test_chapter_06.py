"""Chapter 6 as a person meets it: plants guessed, a review that a button clears, a round of several tanks."""

from every_chapter import (  # noqa: F401
    guess,
    test_an_own_plan_is_saved_as_it_was,
    test_each_control_has_a_name,
    test_each_picture_has_words,
    test_it_can_be_shown_as_one_document,
    test_it_runs_without_an_error,
    test_large_type_can_be_read_from_the_last_row,
    test_what_is_typed_counts,
)
from large_type import panel

NAME = "06_season_plan.ipynb"
PANELS = (
    "How many plants for this water?",
    "How late is a sowing still useful?",
    "What a stem costs",
    "One watering round",
)


def test_twice_the_plants_that_were_guessed_open_the_result(run):
    question = "After how many days is the tub with eight plants dry"
    guess(run, question, ("later", "Write"), ("36 days", "You predicted 36 days; the result is 45 days"))


def test_a_plant_less_is_dry_less_often(run):
    one = panel(run, "How many plants for this water?")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    key = one.locator(".stilltank-key").inner_text()
    assert key.startswith("Dry in 28 of 100")
    box = one.get_by_role("spinbutton", name="Plants in the tank")
    box.fill("2")
    box.press("Enter")
    run.settle()
    assert one.locator(".stilltank-key").inner_text().startswith("Dry in 5 of 100")
    box.fill("2.5")
    box.press("Enter")
    run.settle()
    assert "whole number" in one.inner_text()
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert one.locator(".stilltank-key").inner_text() == key


def test_a_button_of_the_review_changes_the_plan_and_takes_it_back(run):
    output = run.outputs.filter(has=run.page.get_by_role("button", name="Take the last change back"))
    first = output.inner_text()
    undo = output.get_by_role("button", name="Take the last change back")
    assert undo.is_disabled()
    output.locator("button.stilltank-remedy").first.click()
    run.settle()
    assert output.inner_text() != first
    undo.click()
    run.settle()
    assert undo.is_disabled()
    assert run.complaints == []
