"""Every panel, without a browser, whatever its controls are: those with numbers of their own and those on a plan."""

import base64
import html
import re
from types import SimpleNamespace

import ipywidgets as widgets
import pytest
from boxes import number_in
from makers import homes, makers
from matplotlib.text import Text
from stilltank.season import own_tank
from stilltank.season.own_tank.plan_panel import PlanPanel
from stilltank.show.panels import Exploration, Number, Scale, Unread
from stilltank.show.panels.choices import ORDER, UNIT_WORDS
from stilltank.show.panels.controls import Row
from stilltank.show.panels.panel import Panel
from stilltank.units import Problem

PANELS = sorted(makers().items())
MAKERS = [maker for _, maker in PANELS]
ON_A_PLAN = [maker for maker in MAKERS if not isinstance(maker, Exploration)]
SYSTEMS = ("metric", "US")
LARGER = 1.45
NONSENSE = (1e9, -1e9, float("nan"), float("inf"), float("-inf"))
WHOLE = (
    "Plants",
    "Basil plants",
    "Tanks",
    "Time since planting",
    "A new batch",
    "A round",
)  # what is counted
PLAIN = ("times", "plants", "tanks", "ph", "leaf area")  # what a number without a unit may count


@pytest.fixture(scope="module", params=MAKERS, ids=[name for name, _ in PANELS])
def built(request, tmp_path_factory):
    if request.param in ON_A_PLAN:
        return request.param(own_tank.Draft(tmp_path_factory.mktemp("draft") / "my-tank.toml", count=4))
    return request.param()


@pytest.fixture
def panel(built):
    """A panel at its start; built once, as that is the slow part."""
    built.large.value = False
    built.system.value = "metric"
    built.reset()
    return built


def on_a_plan(panel):
    return isinstance(panel, PlanPanel)


def controls(panel):
    """What the controls were made from, in their order."""
    if on_a_plan(panel):
        return [bound.control for bound in panel._bound if bound.control.name in panel.rows]
    return panel.controls_shown


def rows(panel):
    return [row for row in panel.rows.values() if isinstance(row, Row)]


def everything(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from everything(child)


def picks(panel):
    return [row for row in panel.rows.values() if isinstance(row, widgets.Dropdown)]


def problem(panel):
    return 'role="alert"' in panel.answer.sentence and "Problem:" in panel.answer.sentence


def words(shown):
    return html.unescape(re.sub(r"<[^>]+>", "", shown)).strip()


def shown(panel):
    return panel.answer.key, panel.answer.sentence, panel.answer.picture


def svg(panel):
    return base64.b64decode(re.search('base64,([^"]+)', panel.answer.picture)[1]).decode()


def figure(drawing):
    return getattr(drawing, "drawing", drawing).figure


def sizes(drawing):
    """Sizes of all words of a figure, in points."""
    return sorted({round(one.get_fontsize(), 3) for one in figure(drawing).findobj(Text) if one.get_text()})


def moves(row, system):
    """Both ends, and two places between; only the ends where a plan has to be reckoned anew each time."""
    scale = row.number.scale(system)
    if row.number.value is None:
        return [scale.low, scale.high]
    count = round((scale.high - scale.low) / scale.step)
    return [scale.low, scale.high, *(scale.low + scale.step * n for n in (count // 3, 3 * count // 4))]


def test_the_panels_are_found():
    found = {home.__name__.split(".")[2] for home in homes()}
    assert found >= {"own_tank", "mixing", "ph", "water_budget", "root_zones", "flowering_schedules"}
    assert len(ON_A_PLAN) == 7


def test_all_are_built_by_the_same_builder(built):
    assert isinstance(built, Panel)
    assert len(built.answer.key) > 2
    assert built.answer.picture


@pytest.mark.parametrize("system", SYSTEMS)
def test_each_default_lies_in_range_and_on_a_step(panel, system):
    panel.system.value = system
    for row in rows(panel):
        scale = row.number.scale(system)
        assert (row.slider.min, row.slider.max, row.slider.step) == (scale.low, scale.high, scale.step)
        assert scale.low < scale.high
        whole = (scale.high - scale.low) / scale.step
        assert whole == pytest.approx(round(whole), abs=1e-6), "the upper end lies on a step"
        assert scale.low <= number_in(row.box) <= scale.high
        assert row.slider.value == scale.nearest(number_in(row.box))
        if system == "metric" and not on_a_plan(panel):
            assert number_in(row.box) == row.slider.value == row.number.value
    for pick in picks(panel):
        assert pick.value in [value for _, value in pick._options_full]


@pytest.mark.parametrize("system", SYSTEMS)
def test_each_label_has_words_and_its_unit(panel, system):
    panel.system.value = system
    for row in rows(panel):
        unit = UNIT_WORDS[row.number.scale(system).unit]
        assert re.search(r"[A-Za-z]{3}", row.box.description)
        assert row.box.description == ", ".join(filter(None, (row.number.label, unit)))
        assert unit or any(word in row.number.label.lower() for word in PLAIN), "a plain number says of what"
    for one in (*picks(panel), panel.system, panel.large, panel.again):
        assert re.search(r"[A-Za-z]{3}", one.description)


def test_controls_are_few_and_in_the_fixed_order(panel):
    assert on_a_plan(panel) or 1 <= len(panel.rows) <= 4
    places = [ORDER.index(control.place) for control in controls(panel)]
    assert places == sorted(places)
    assert list(panel.rows) == [control.name for control in controls(panel)]
    shown = list(everything(panel))
    order = [
        *panel.rows.values(),
        panel.system,
        panel.large,
        panel.again,
        panel.answer,
    ]
    assert [one for one in shown if one in order] == order
    answer = panel.answer
    parts = [answer.value.index(part) for part in (answer.key, answer.sentence, answer.picture)]
    assert parts == sorted(set(parts))


def test_there_is_one_sentence_and_it_changes_with_the_data(panel):
    spoken = [one for one in panel.children if isinstance(one, widgets.HTML) and "role=" in one.value]
    assert spoken == [panel.answer]
    assert panel.answer.value.count("role=") == 1
    assert len(words(panel.answer.sentence).split()) >= 5
    (said,) = re.findall('alt="([^"]*)"', panel.answer.picture)
    assert html.unescape(said) == words(panel.answer.sentence)
    told = set()
    for row in rows(panel):
        panel.reset()
        row.slider.value = row.number.metric.low
        low = shown(panel)
        row.slider.value = row.number.metric.high
        assert shown(panel)[0] != low[0] or shown(panel)[1] != low[1], row.box.description
        told.add(shown(panel)[1] != low[1])
    assert True in told or not rows(panel)
    for pick in picks(panel):
        panel.reset()
        seen, values = set(), [value for _, value in pick._options_full if value != ""]
        for value in values:
            pick.value = value
            seen.add(panel.answer.key + panel.answer.sentence if on_a_plan(panel) else panel.answer.sentence)
        assert len(seen) == len(values), pick.description


def said_when(panel):
    """Whether a refusal is an answer of the calendar: not then, and when."""
    return re.search(r"Not then|No sowing has .*(The next sowing|the best)", words(panel.answer.sentence))


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_control_works_from_end_to_end(panel, system):
    panel.system.value = system
    for row in rows(panel):
        for value in moves(row, system):
            row.slider.value = value
            assert not problem(panel), (row.box.description, value, words(panel.answer.sentence))
            assert len(words(panel.answer.key)) > 2
            assert "nan" not in words(panel.answer.key) + words(panel.answer.sentence)
            panel.reset()
            panel.system.value = system
    for pick in picks(panel):
        for _, value in pick._options_full:
            pick.value = value
            if on_a_plan(panel):  # each of these reckons a plan; single ends were tried above
                assert not problem(panel), (pick.description, value, words(panel.answer.sentence))
                continue
            for row in rows(panel):
                for end in (row.slider.min, row.slider.max):
                    row.box.value = end
                    assert not problem(panel) or said_when(panel), (
                        value,
                        row.box.description,
                        end,
                        words(panel.answer.sentence),
                    )


def test_slider_and_box_follow_each_other(panel):
    for row in rows(panel):
        for value in moves(row, "metric"):
            row.slider.value = value
            assert number_in(row.box) == pytest.approx(value)
        for value in moves(row, "metric"):
            row.box.value = value
            assert row.slider.value == pytest.approx(value)
        panel.reset()


def test_one_move_draws_once(panel, monkeypatch):
    drawn = []
    real = panel.draw
    monkeypatch.setattr(panel, "draw", lambda *given: (drawn.append(given), real(*given))[1])
    moved = rows(panel)[-1:]
    for row in moved:
        low = row.number.metric.low
        row.slider.value = low + row.number.metric.step * (
            row.slider.value == low
        )  # a move, wherever it stands
        row.box.value = row.number.metric.high
    panel.system.value = "US"
    panel.reset()
    assert len(drawn) == (4 if moved else 1 if on_a_plan(panel) else 2)
    panel.system.value = "metric"
    panel.refresh()
    assert len(drawn) <= (5 if moved else 2) + (not on_a_plan(panel))


def echo(row):
    """What a browser sends of itself: the slider's value again, with traces of rounding, and the box's number again."""
    for value in (row.slider.value, row.slider.value * (1 + 2e-16), row.slider.value + 1e-9):
        with row.slider.hold_trait_notifications():
            row.slider.value = min(max(value, row.slider.min), row.slider.max)
    row.box.value = row.box.value


def off_step(row, system):
    """Numbers that people have: between two steps, in range."""
    scale = row.number.scale(system)
    if row.number.label.startswith(WHOLE):
        return [scale.low + scale.step]
    third = scale.low + (scale.high - scale.low) / 3
    return [round(third + part * scale.step, 6) for part in (0.37, 0.618)]


@pytest.mark.parametrize("system", SYSTEMS)
def test_nonsense_is_said_in_words_and_what_was_shown_is_marked_as_past(panel, system):
    panel.system.value = system
    for row in rows(panel):
        good, handle, before = row.box.value, row.slider.value, shown(panel)
        amount, more = row.known, panel.more.value
        for value in NONSENSE:
            row.box.value = value
            assert problem(panel), (row.box.description, value)
            assert on_a_plan(panel) or row.number.label in words(panel.answer.sentence)
            assert len(words(panel.answer.sentence).split()) > 5
            assert words(panel.answer.key) == "No answer"
            assert words(panel.answer.picture).startswith("From before: not for what is chosen now")
            assert before[2] in panel.answer.picture
            assert panel.more.value == ""
            assert row.slider.value == handle
            assert row.known == amount
        row.box.value = good
        assert shown(panel) == before
        assert panel.more.value == more


def test_half_a_day_or_plant_is_refused_in_plain_words(panel):
    for row in rows(panel):
        if row.number.label.startswith(WHOLE):
            row.box.value = row.number.metric.low + 1.5
            assert problem(panel), row.number.label
            assert "_" not in words(panel.answer.sentence), "no name of a function"
            panel.reset()


def test_what_is_refused_stays_in_its_box_until_it_is_put_right_or_reset(panel):
    """Also in the other system, in which it is the same quantity, and beside a number that is taken."""
    for row in rows(panel):
        start, first = row.box.value, shown(panel)
        for value in (1e9, float("nan")):
            row.box.value = value
            panel.system.value = "US"
            assert problem(panel)
            assert number_in(row.box) == pytest.approx(
                row.number.us.shown(row.given)
                if row.number.us and not isinstance(row.given, Unread)
                else value,
                nan_ok=True,
            )
            panel.system.value = "metric"
            assert number_in(row.box) == pytest.approx(value, nan_ok=True)
            assert problem(panel)
            for other in [one for one in rows(panel) if one is not row][:1]:
                before, other.box.value = other.box.value, off_step(other, "metric")[0]
                assert number_in(row.box) == pytest.approx(value, nan_ok=True)
                assert problem(panel)
                other.box.value = before
            panel.reset()
            assert row.box.value == start
            assert shown(panel) == first
            row.box.value = value
            row.box.value = start
            assert shown(panel) == first


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_box_keeps_what_is_typed(panel, system):
    """Whatever the browser sends back; the slider stands as near as it can."""
    panel.system.value = system
    for row in rows(panel):
        for value in off_step(row, system):
            row.box.value = value
            assert not problem(panel), (row.box.description, value, words(panel.answer.sentence))
            after = shown(panel)
            echo(row)
            assert number_in(row.box) == value
            assert row.number.scale(system).plain(row.known) == pytest.approx(value, rel=1e-12)
            assert abs(row.slider.value - value) <= row.slider.step
            assert shown(panel) == after
        panel.reset()
        panel.system.value = system


@pytest.mark.parametrize("system", SYSTEMS)
def test_a_switch_of_units_there_and_back_keeps_the_amount(panel, system):
    """The same quantity, to the last bit, is what is reckoned with; the other system shows it."""
    other = next(one for one in SYSTEMS if one != system)
    for row in rows(panel):
        panel.system.value = system
        for value in (off_step(row, system)[0], row.number.scale(system).high):
            row.box.value = value
            amount, before = row.known, shown(panel)
            assert row.given is amount
            panel.system.value = other
            echo(row)
            scale = row.number.scale(other)
            assert row.known == amount
            assert number_in(row.box) == pytest.approx(scale.plain(amount), rel=5e-4, abs=scale.step / 20)
            if scale.unit == row.number.scale(system).unit:
                assert number_in(row.box) == value
            assert not problem(panel)
            panel.system.value = system
            echo(row)
            assert row.known == amount
            assert number_in(row.box) == value
            assert shown(panel) == before
        panel.system.value = "metric"
        panel.reset()


def test_a_choice_that_comes_after_the_switch_means_what_it_meant(panel):
    """The box and slider that were left keep their unit: a late message of them is no number of the other system."""
    for row in rows(panel):
        if row.number.us is None:
            continue
        panel.reset()
        panel.system.value = "metric"
        box, value = row.box, off_step(row, "metric")[0]
        panel.system.value = "US"
        box.value = value
        assert row.number.metric.plain(row.known) == value
        assert number_in(row.box) == row.number.us.shown(row.known)
        slider = row.slider
        panel.system.value = "metric"
        slider.value = slider.max
        assert row.number.us.plain(row.known) == pytest.approx(slider.value, rel=1e-12)
        assert number_in(row.box) == row.number.metric.shown(row.known)
        assert not problem(panel)


def test_back_to_the_start(panel):
    first = shown(panel)
    panel.system.value = "US"
    for row in rows(panel):
        row.slider.value = row.slider.max
    for pick in picks(panel):
        pick.value = [value for _, value in pick._options_full if value != ""][-1]
    assert shown(panel) != first
    panel.again.click()
    assert panel.system.value == ("US" if on_a_plan(panel) else "metric"), (
        "a plan's units are not one panel's"
    )
    panel.system.value = "metric"
    assert shown(panel) == first


def test_a_figure_is_drawn_once_and_then_updated(panel):
    """As a fresh drawing would be, to the last letter of its SVG."""
    panel.refresh()
    drawing = panel._drawn("metric")
    same = figure(drawing)
    for row in rows(panel):
        for value in moves(row, "metric"):
            row.slider.value = value
    for pick in picks(panel):
        for _, value in reversed(pick._options_full):
            pick.value = value
    if said_when(panel):  # the first sowing of the list is too early for the first crop
        panel.reset()
    assert panel._drawn("metric") is drawing
    assert figure(drawing) is same
    result = panel.draft.plan if on_a_plan(panel) else panel.exploration.calculate(**panel.values())
    fresh = panel._drawing("metric", False).show(result)
    assert fresh.figure is not same
    assert svg(panel) == fresh.svg()
    assert words(panel.answer.sentence) == fresh.sentence


def test_large_type_changes_the_words_of_the_figure_and_the_look_of_the_panel(panel):
    panel.refresh()
    small = sizes(panel._drawn("metric"))
    sentence = panel.answer.sentence
    panel.large.value = True
    assert "stilltank-large" in panel._dom_classes
    assert panel.answer.sentence == sentence
    for row in rows(panel):
        for value in moves(row, "metric"):  # new ticks are made while it is drawn
            row.slider.value = value
            assert sizes(panel._drawn("metric")) == pytest.approx([LARGER * size for size in small])
    panel.large.value = False
    assert "stilltank-large" not in panel._dom_classes
    assert sizes(panel._drawn("metric")) == small


def test_a_problem_of_the_calculation_is_said_too():
    """And a panel starts without a picture then."""

    def calculate(**_):
        raise Problem("Nothing can be mixed here.")

    number = Number("mass", "Weighed", 1.0, Scale("g", 0, 2, 1))
    panel = Exploration("Example", [number], calculate, lambda *_: SimpleNamespace(), lambda *_: "")()
    assert problem(panel)
    assert "Nothing can be mixed here." in words(panel.answer.sentence)
    assert panel.answer.picture == ""
