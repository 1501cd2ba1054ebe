"""Somebody's own tub in chapter 3: round, by jugs, in inches, weighed; with the keyboard alone, and after a reload."""

from every_chapter import numbered
from large_type import panel

NAME = "03_water_budget.ipynb"
METRIC, US = "metric: litres, cm, °C", "US: gallons, inches, °F"


def pick(run, one, name, label):
    one.get_by_role("combobox", name=name, exact=True).select_option(label=label)
    run.settle()


def type_in(run, one, name, text):
    box = numbered(one, name)
    box.fill(text)
    box.press("Enter")
    run.settle()


def key(one):
    return one.locator(".stilltank-key").inner_text()


def held(one, name):
    return numbered(one, name).input_value()


def test_a_round_bucket_in_inches_goes_through_all_panels_and_a_reload(chapter):
    run = chapter.open(NAME).run()
    tub, storm = panel(run, "Your tank"), None
    pick(run, tub, "Numbers in", US)
    pick(run, tub, "Shape", "round, upright walls")
    type_in(run, tub, "Diameter inside, inches", "11.8")
    type_in(run, tub, "Height inside, inches", "15.3")
    type_in(run, tub, "Net pot height, inches", "2 3/4")
    assert key(tub).endswith("6.31 US gal of solution")  # pi (5.9 in)² (15.3 - 2.75 in + 2 cm) is 23.9 L
    run.show_outputs("own-tank-round")
    pick(run, tub, "Numbers in", METRIC)
    assert key(tub) == "Fill to 33.9 cm: 23.9 L of solution"
    assert held(tub, "Diameter inside, cm") == "29.972"
    type_in(run, tub, "Height inside, cm", "43.3")
    for system, value in ((US, "17.05"), (METRIC, "43.3")):
        pick(run, tub, "Numbers in", system)
        unit = "inches" if system == US else "cm"
        assert held(tub, f"Height inside, {unit}") == value
    storm = run.outputs.locator(
        ".widget-vbox", has=run.page.get_by_text("A storm and the overflow hole", exact=True)
    ).last
    assert "with the hole blocked" in key(storm)
    left = panel(run, "How much is left in your tank?")
    pick(run, left, "Read", "with a scale: the weight")
    type_in(run, left, "All of it weighs, kg", "14.5")
    type_in(run, left, "Empty, with lid, it weighs, kg", "1.2")
    assert key(left) == "13.3 L left (13.1 to 13.5 L)"  # 13.3 kg of solution
    left.get_by_role("button", name="Go on from this reading").click()
    run.settle()
    assert left.get_by_text("The plan goes on from").is_visible()
    pick(run, left, "Read", "by tilting: the wet part of the floor")
    assert left.get_by_text("Tilting works for a box").is_visible()
    run.outputs.get_by_role("button", name="Save the plan and make the card").click()
    run.settle()
    run.show_outputs("own-tank-weighed")
    assert run.complaints == []
    again = chapter.open(NAME).run()
    tub = panel(again, "Your tank")
    assert held(tub, "Height inside, cm") == "43.3"
    assert held(tub, "Diameter inside, cm") == "29.972"
    assert again.complaints == []


def test_a_tub_by_jugs(chapter):
    run = chapter.open(NAME).run()
    tub = panel(run, "Your tank")
    pick(run, tub, "Shape", "any other: measured with jugs")
    type_in(run, tub, "Levels, one after the other, cm", "4, 7.8, 14.8, 21.3, 27.3, 30 cm")
    assert tub.get_by_text("6 levels and 4 volumes").is_visible()
    type_in(run, tub, "Poured in up to each level, litres", "5, 10, 20, 30, 40, 45")
    assert key(tub) == "Fill to 25 cm: 36 L of solution"
    type_in(run, tub, "Lid area, cm²", "54 x 37")
    assert tub.get_by_text("The lid is 1,998 cm²").is_visible()
    type_in(run, tub, "Poured in up to each level, litres", "5, 10, 20, 30, 25, 45")
    assert tub.get_by_text("after 30 L comes 25 L").is_visible()
    run.show_outputs("own-tank-jugs-refused")
    type_in(run, tub, "Poured in up to each level, litres", "5, 10, 20, 30, 40, 45")
    run.show_outputs("own-tank-jugs")
    assert run.complaints == []
