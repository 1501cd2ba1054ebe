"""The panels of the log, from the hand to the number: typed, kept, asked, corrected, and what comes."""

import html
import re

import pytest
import quillgate_log
from stilltank.season import log, own_tank
from stilltank.season.plan import Plan


@pytest.fixture
def draft(tmp_path):
    return own_tank.Draft(tmp_path / "my-tank.toml", crop="basil", start="2027-05-10", count=4)


def words(widget):
    return html.unescape(re.sub(r"<[^>]+>", " ", widget.value))


def add(panel, **typed):
    for name, text in typed.items():
        panel.boxes[name.replace("_", " ")].value = text
    panel.save.click()


def test_what_was_typed_is_what_the_log_holds(draft):
    panel = own_tank.visit_panel(draft)
    add(panel, date="2027-06-14", level="18.3", pH="6.0-6.5", added_mix="2 tsp", rain="0")
    visit = log.read(panel.path).visits[0]
    assert visit.level.m_as("cm") == pytest.approx(18.3)
    assert visit.ph == (6.0, 6.5)
    assert visit.rain.m_as("mm") == 0
    assert visit.added_mix.m_as("mL") == pytest.approx(10, rel=0.03)
    assert panel.boxes["level"].value == ""
    assert "18.3" in panel._last.value


def test_a_unit_switch_changes_no_meaning(draft):
    panel = own_tank.visit_panel(draft)
    panel.boxes["level"].value = "18.3"
    draft.set_system("US") if hasattr(draft, "set_system") else setattr(draft, "system", "US")
    panel._changed()
    assert panel.boxes["level"].value == "18.3 cm"
    assert panel.boxes["level"].description.endswith("in")
    draft.system = "metric"
    panel._changed()
    add(panel, date="2027-06-14")
    assert log.read(panel.path).visits[0].level.m_as("cm") == pytest.approx(18.3)


def test_inches_go_into_a_log_in_centimetres_with_their_unit(draft):
    panel = own_tank.visit_panel(draft)
    add(panel, date="2027-06-10", level="20")
    draft.system = "US"
    panel._changed()
    add(panel, date="2027-06-14", level="7 1/4")
    assert [round(each.level.m_as("in"), 2) for each in log.read(panel.path).visits] == [7.87, 7.25]


def test_nothing_is_lost_when_something_is_missing(draft):
    panel = own_tank.visit_panel(draft)
    add(panel, level="18")
    assert "day" in words(panel.status)
    assert panel.boxes["level"].value == "18"
    assert not panel.path.exists()


def test_a_visit_is_corrected_and_struck_in_the_panel(draft):
    panel = own_tank.visit_panel(draft)
    add(panel, date="2027-06-10", level="28")
    add(panel, date="2027-06-14", level="18")
    panel.strike.click()
    assert "Choose the row" in words(panel.status)
    panel.row.value, panel.boxes["level"].value, panel.why.value = 2, "20", "misread"
    panel.correct.click()
    panel.row.value = 4
    panel.strike.click()
    found = log.read(panel.path)
    assert [visit.level.m_as("cm") for visit in found.visits] == [20]
    assert "misread" in panel.path.read_text()


def test_questions_are_asked_one_after_the_other_and_answers_kept(draft):
    panel = own_tank.visit_panel(draft)
    add(panel, date="2027-06-10", level="22")
    add(panel, date="2027-06-14", level="42.1")
    asked = own_tank.log_panel(draft)
    assert "above the rim" in words(asked._question)
    asked.typed.value = "21.4 cm"
    asked.keep.click()
    assert not asked.read_log.questions
    assert own_tank.log_panel(draft).read_log.visits[-1].level.m_as("cm") == pytest.approx(21.4)


def test_the_forecast_follows_log_tank_and_week(draft):
    plans = {
        code: Plan.make("quillgate-tub", crop, start="2027-05-10", count=4)
        for code, crop in quillgate_log.CROPS.items()
    }
    panel = own_tank.forecast_panel(draft, quillgate_log.FILE, plans)
    usual = panel.coming.level("2027-07-14")[1]
    panel.warmth.value = "hot"
    assert panel.coming.level("2027-07-14")[1] < usual
    panel.tank.value = "C"
    assert "<img" in panel.answer.picture
    assert panel.coming.headline in words(panel.answer)
    assert "tank C" in words(panel.more)


def test_without_a_log_it_says_what_to_do(draft):
    assert "Add a visit first" in words(own_tank.forecast_panel(draft).answer)
    assert "Add a visit first" in words(own_tank.log_panel(draft).status)


def test_a_visit_that_is_added_moves_the_forecast(draft):
    visits, panel = own_tank.visit_panel(draft), own_tank.forecast_panel(draft)
    add(visits, date="2027-06-14", level="20")
    panel.read_again.click()
    before = panel.coming.level("2027-06-24")[1]
    add(visits, date="2027-06-18", level="14")
    panel.read_again.click()
    assert panel.coming.level("2027-06-24")[1] < before
    panel.hold.click()
    assert "forecast" in words(panel.status)


def test_a_bench_may_learn_together_and_one_tank_is_not_asked(draft, tmp_path):
    rows = "2027-06-10,A,20\n2027-06-14,A,18\n2027-06-18,A,15.5\n2027-06-21,A,13.5\n2027-06-21,B,18\n"
    path = tmp_path / "bench.csv"
    path.write_text(f"date,tank,level (cm)\n{rows}", encoding="utf-8")
    panel = own_tank.forecast_panel(draft, path)
    assert {"tank", "together"} <= set(panel.rows)
    panel.together.value = "alike"
    assert "learned from A, taken as alike" in words(panel.more)
    path.write_text("date,level (cm)\n2027-06-10,20\n", encoding="utf-8")
    panel.read_again.click()
    assert not {"tank", "together"} & set(panel.rows)


def test_the_forecast_is_told_in_the_units_of_the_draft(draft):
    visits, panel = own_tank.visit_panel(draft), own_tank.forecast_panel(draft)
    add(visits, date="2027-06-30", level="12")
    panel.read_again.click()
    assert re.search(r"Add \d+(\.\d)? L today", words(panel.answer))
    panel.system.value = "US"
    assert re.search(r"Add [\d.]+ US qt today", words(panel.answer))
    assert " cm" not in words(panel.answer)
    assert " cm" not in words(panel.more)
