"""Chapter 2 as a person meets it: a pH guessed and answered, both kinds of dose, the caution in sight."""

from every_chapter import (  # noqa: F401
    guess,
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

NAME = "02_ph.ipynb"
PANELS = (
    "Acid for a tank",
    "Acid drop by drop",
    "The days after a dose",
    "What plants do to the pH",
    "Your water, salts and acid",
)


def test_a_guess_of_a_ph_opens_the_result(run):
    question = "What does the meter show once half the acid is in?"
    assert run.outputs.filter(has_text=question).locator("img").count() == 0
    output = guess(run, question, ("sour", "Write a pH"), ("6.4", "You predicted 6.4; the result is"))
    assert output.locator("img").is_visible()


def test_another_bottle_changes_dose_and_caution(run):
    one = panel(run, "Acid for a tank")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    key = one.locator(".stilltank-key").inner_text()
    one.get_by_role("combobox").first.select_option("phosphoric acid 75 %, adults only")
    run.settle()
    assert one.locator(".stilltank-key").inner_text() != key
    assert one.get_by_text("For the teacher or another trained adult only").is_visible()
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert one.locator(".stilltank-key").inner_text() == key
