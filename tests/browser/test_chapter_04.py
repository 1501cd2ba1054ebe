"""Chapter 4 as a person meets it: hours guessed, a day of the tank, a refill that goes too far."""

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

NAME = "04_root_zones.ipynb"
PANELS = (
    "The tank day by day",
    "Oxygen over depth",
    "Your own k",
    "Oxygen through a crop of lettuce",
    "A refill",
)


def test_hours_that_were_guessed_open_the_result(run):
    question = "After how many hours have the roots used the oxygen"
    output = guess(run, question, ("soon", "Write"), ("2 days", "You predicted 2 days; the result is"))
    assert output.locator("img").is_visible()


def test_a_full_refill_puts_air_roots_under_water(run):
    one = panel(run, "The tank day by day")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert "under water" not in one.locator(".stilltank-key").inner_text()
    one.get_by_role("combobox", name="What happens").select_option("filled up on day 50")
    run.settle()
    assert "of air roots go under water" in one.locator(".stilltank-key").inner_text()
    assert "air roots under water" in one.locator("img").get_attribute("alt")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
