"""Chapter 5 as a person meets it: days guessed, a chance that moves with the sowing, a calendar file."""

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

NAME = "05_flowering_schedules.ipynb"
PANELS = (
    "Warmth and the first flower",
    "One sowing and what follows",
    "Will it be in time?",
    "Flowers from July to September",
    "Your crop",
)


def test_days_that_were_guessed_open_the_result(run):
    question = "After how many days does the first flower open at 18"
    guess(run, question, ("later", "Write"), ("55 days", "You predicted 55 days; the result is"))


def test_an_earlier_sowing_is_surer(run):
    one = panel(run, "Will it be in time?")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    key = one.locator(".stilltank-key").inner_text()
    picture = one.locator("img").get_attribute("src")
    one.get_by_role("combobox", name="Sow on").select_option("29 March 2027")
    run.settle()
    assert one.locator(".stilltank-key").inner_text() != key
    assert one.locator("img").get_attribute("src") != picture
    one.get_by_role("combobox", name="Flowers wanted by").select_option("10 May 2027")
    run.settle()
    assert "In time in 0 of 100" in one.locator(".stilltank-key").inner_text()
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert one.locator(".stilltank-key").inner_text() == key


def test_an_arrow_key_moves_rate_and_days(run):
    one = panel(run, "Warmth and the first flower")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    before = one.locator("img").get_attribute("src")
    one.get_by_role("slider").last.focus()
    run.page.keyboard.press("ArrowLeft")
    run.settle()
    assert one.locator("img").get_attribute("src") != before
    run.page.keyboard.press("Home")
    run.settle()
    assert "never flowers" in one.locator(".stilltank-key").inner_text()


def test_the_calendar_file_is_made_beside_the_plan(run):
    output = run.outputs.filter(has_text="Make the calendar file")
    output.get_by_role("button", name="Make the calendar file").click()
    run.settle()
    assert output.get_by_role("link", name="my-tank-tasks.ics").is_visible()
    assert run.complaints == []
