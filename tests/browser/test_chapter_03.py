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
    assert "; second" in key
    one.get_by_role("combobox", name="Another way").select_option("no top-up")
    run.settle()
    assert "; second" not in one.locator(".stilltank-key").inner_text()
    one.get_by_role("button", name="Back to the start").click()
    run.settle()
    assert one.locator(".stilltank-key").inner_text() == key


def test_dipstick_and_log_are_made_beside_the_plan(run):
    output = run.outputs.filter(has_text="Make the dipstick")
    output.get_by_role("button", name="Make the dipstick").click()
    run.settle()
    assert output.get_by_role("link", name="my-tank-dipstick.pdf").is_visible()
    output.get_by_role("button", name="Make the log").click()
    run.settle()
    assert output.get_by_role("link", name="my-tank-log.html").is_visible()
    assert run.complaints == []


def test_a_storm_over_the_own_tank_keeps_what_is_typed(projected):
    """The plan of the file is in inches and centimetres; the demo is one click away, and brings nothing of its own."""
    one = projected.outputs.locator(
        ".widget-vbox", has=projected.page.get_by_text("A storm and the overflow hole", exact=True)
    ).last
    key, units = one.locator(".stilltank-key"), one.get_by_role("combobox", name="Numbers in")
    first = key.inner_text()
    for system, name, typed in (
        ("US", "Rain in an hour, inches", "1.18"),
        ("metric", "Rain in an hour, mm", "43.3"),
    ):
        units.select_option(label="US: gallons, inches, °F" if system == "US" else "metric: litres, cm, °C")
        projected.settle()
        box = one.get_by_role("spinbutton", name=name, exact=True)
        box.fill(typed)
        box.press("Enter")
        projected.settle()
        said = key.inner_text()
        assert said != first
        for other in ("metric: litres, cm, °C", "US: gallons, inches, °F") * 2:
            units.select_option(label=other)
            projected.settle()
        units.select_option(label="US: gallons, inches, °F" if system == "US" else "metric: litres, cm, °C")
        projected.settle()
        assert (box.input_value(), key.inner_text()) == (typed, said)
    whose = one.get_by_role("combobox", name="Begin with")
    whose.select_option(label="the demo")
    projected.settle()
    demo = projected.outputs.locator(
        ".widget-vbox", has=projected.page.get_by_text("A storm and the overflow hole", exact=True)
    ).first
    assert key.inner_text() == demo.locator(".stilltank-key").inner_text()
    one.get_by_role("button", name="Back to the start").click()
    projected.settle()
    assert (whose.input_value() != "", key.inner_text()) == (True, first)
    projected.show("chapter-03-own-storm")
    assert projected.complaints == []
