"""Chapter 3 as a person meets it: a course drawn and answered, a storm, two ways, sheets to print."""

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

NAME = "03_water_budget.ipynb"
PANELS = (
    "The level through the season",
    "A storm and the overflow hole",
    "Two ways to top up",
    "How long can I leave it?",
    "Your tank",
)


def test_a_sketch_opens_the_result(run):
    output = run.outputs.filter(has_text="Where does the level stand on these days")
    last = output.get_by_role("spinbutton", name="Level on 19 July, cm")
    assert "Your sketch: 25 cm on 24 May" in output.locator("img").get_attribute("alt")
    for typed, answer in (("99", "runs from 0 to 25 cm"), ("12", "nothing is kept before")):
        last.fill(typed)
        last.press("Enter")
        run.settle()
        assert output.get_by_text(answer).first.is_visible()
    assert "12 cm on 19 July" in output.locator("img").get_attribute("alt")
    output.get_by_role("button", name="This is my sketch").click()
    run.settle()
    assert output.get_by_text("of your 5 points").first.is_visible()
    assert output.get_by_role("spinbutton").count() == 0
    assert run.complaints == []


def test_the_same_way_twice_is_one_way(run):
    one = panel(run, "Two ways to top up")
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    key = one.locator(".stilltank-key").inner_text()
    assert " and " in key
    one.get_by_role("combobox", name="Another way").select_option("no top-up")
    run.settle()
    assert " and " not in one.locator(".stilltank-key").inner_text()
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert one.locator(".stilltank-key").inner_text() == key


def test_dipstick_and_log_are_made_beside_the_plan(run):
    output = run.outputs.filter(has_text="Make the dipstick")
    output.get_by_role("button", name="Make the dipstick").click()
    run.settle()
    assert output.get_by_role("link", name="my-tank-dipstick.pdf").is_visible()
    output.get_by_role("button", name="Make the level log").click()
    run.settle()
    assert output.get_by_role("link", name="my-tank-log.html").is_visible()
    assert run.complaints == []
