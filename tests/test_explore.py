"""Every panel, without a browser, whatever its controls are: those with numbers of their own and those on a plan."""

import base64
import html
import inspect
import re
from types import SimpleNamespace

import ipywidgets as widgets
import pytest
from matplotlib.text import Text
from stilltank.show import panels
from stilltank.show.panels import explore
from stilltank.show.panels.controls import Row
from stilltank.show.panels.panel import Panel
from stilltank.show.panels.plan_panel import PlanPanel
from stilltank.units import Problem

MAKERS = [getattr(panels, name) for name in sorted(panels.__all__) if name.endswith("_panel")]
ON_A_PLAN = [maker for maker in MAKERS if "draft" in inspect.signature(maker).parameters]
SYSTEMS = ("metric", "US")
LARGER = 1.45
NONSENSE = (1e9, -1e9, float("nan"), float("inf"), float("-inf"))
PLAIN = ("times", "plants", "ph")  # what a number without a unit may count


@pytest.fixture(scope="module", params=MAKERS, ids=lambda maker: maker.__name__)
def built(request, tmp_path_factory):
    if request.param in ON_A_PLAN:
        return request.param(panels.Draft(tmp_path_factory.mktemp("draft") / "my-tank.toml", count=4))
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
    return panel._controls


def rows(panel):
    return [row for row in panel.rows.values() if isinstance(row, Row)]


def everything(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from everything(child)


def picks(panel):
    return [row for row in panel.rows.values() if isinstance(row, widgets.Dropdown)]


def problem(panel):
    return 'role="alert"' in panel.status.value and "Problem:" in panel.status.value


def words(widget):
    return html.unescape(re.sub(r"<[^>]+>", "", widget.value)).strip()


def shown(panel):
    return panel.key.value, panel.status.value, panel.picture.value


def svg(panel):
    return base64.b64decode(re.search('base64,([^"]+)', panel.picture.value)[1]).decode()


def figure(drawing):
    return getattr(drawing, "_drawing", drawing).figure


def sizes(drawing):
    """Sizes of all words of a figure, in points."""
    return sorted({round(one.get_fontsize(), 3) for one in figure(drawing).findobj(Text) if one.get_text()})


def steps_from(row, value):
    return (value - row.slider.min) / row.slider.step


def moves(row, system):
    """Both ends, and two places between; only the ends where a plan has to be reckoned anew each time."""
    scale = row.number.scale(system)
    if row.number.value is None:
        return [scale.low, scale.high]
    count = round((scale.high - scale.low) / scale.step)
    return [scale.low, scale.high, *(scale.low + scale.step * n for n in (count // 3, 3 * count // 4))]


def test_the_panels_are_found():
    found = {maker.__module__.rpartition(".")[2] for maker in MAKERS}
    assert found >= {"chapter_0", "chapter_1"}
    assert len(ON_A_PLAN) == 5


def test_all_are_built_by_the_same_builder(built):
    assert isinstance(built, Panel)
    assert len(built.key.value) > 2
    assert built.picture.value


@pytest.mark.parametrize("system", SYSTEMS)
def test_each_default_lies_in_range_and_on_a_step(panel, system):
    panel.system.value = system
    for row in rows(panel):
        scale = row.number.scale(system)
        assert (row.slider.min, row.slider.max, row.slider.step) == (scale.low, scale.high, scale.step)
        assert scale.low < scale.high
        whole = (scale.high - scale.low) / scale.step
        assert whole == pytest.approx(round(whole), abs=1e-6), "the upper end lies on a step"
        assert scale.low <= row.box.value <= scale.high
        assert row.box.value == row.slider.value
        if on_a_plan(panel):
            continue  # a plan's own value is not moved to a step
        assert steps_from(row, row.box.value) == pytest.approx(
            round(steps_from(row, row.box.value)), abs=1e-6
        )
    for pick in picks(panel):
        assert pick.value in [value for _, value in pick._options_full]


@pytest.mark.parametrize("system", SYSTEMS)
def test_each_label_has_words_and_its_unit(panel, system):
    panel.system.value = system
    for row in rows(panel):
        unit = explore.UNIT_WORDS[row.number.scale(system).unit]
        assert re.search(r"[A-Za-z]{3}", row.box.description)
        assert row.box.description == ", ".join(filter(None, (row.number.label, unit)))
        assert unit or any(word in row.number.label.lower() for word in PLAIN), "a plain number says of what"
    for one in (*picks(panel), panel.system, panel.large, panel.again):
        assert re.search(r"[A-Za-z]{3}", one.description)


def test_controls_are_few_and_in_the_fixed_order(panel):
    assert on_a_plan(panel) or 1 <= len(panel.rows) <= 4
    places = [explore.ORDER.index(control.place) for control in controls(panel)]
    assert places == sorted(places)
    assert list(panel.rows) == [control.name for control in controls(panel)]
    shown = list(everything(panel))
    order = [
        *panel.rows.values(),
        panel.system,
        panel.large,
        panel.again,
        panel.key,
        panel.status,
        panel.picture,
    ]
    assert [one for one in shown if one in order] == order


def test_there_is_one_sentence_and_it_changes_with_the_data(panel):
    spoken = [one for one in panel.children if isinstance(one, widgets.HTML) and "role=" in one.value]
    assert spoken == [panel.status]
    assert len(words(panel.status).split()) >= 5
    (said,) = re.findall('alt="([^"]*)"', panel.picture.value)
    assert html.unescape(said) == words(panel.status)
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
            seen.add(panel.key.value + panel.status.value if on_a_plan(panel) else panel.status.value)
        assert len(seen) == len(values), pick.description


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_control_works_from_end_to_end(panel, system):
    panel.system.value = system
    for row in rows(panel):
        for value in moves(row, system):
            row.slider.value = value
            assert not problem(panel), (row.box.description, value, words(panel.status))
            assert len(words(panel.key)) > 2
            assert "nan" not in words(panel.key) + words(panel.status)
            panel.reset()
            panel.system.value = system
    for pick in picks(panel):
        for _, value in pick._options_full:
            pick.value = value
            if on_a_plan(panel):  # each of these reckons a plan; single ends were tried above
                assert not problem(panel), (pick.description, value, words(panel.status))
                continue
            for row in rows(panel):
                for end in (row.slider.min, row.slider.max):
                    row.box.value = end
                    assert not problem(panel), (value, row.box.description, end, words(panel.status))


def test_slider_and_box_follow_each_other(panel):
    for row in rows(panel):
        for value in moves(row, "metric"):
            row.slider.value = value
            assert row.box.value == pytest.approx(value)
        for value in moves(row, "metric"):
            row.box.value = value
            assert row.slider.value == pytest.approx(value)


def test_one_move_draws_once(panel, monkeypatch):
    drawn = []
    real = panel.draw
    monkeypatch.setattr(panel, "draw", lambda *given: (drawn.append(given), real(*given))[1])
    moved = rows(panel)[-1:]
    for row in moved:
        row.slider.value = row.number.metric.low
        row.box.value = row.number.metric.high
    panel.system.value = "US"
    panel.reset()
    assert len(drawn) == (4 if moved else 1 if on_a_plan(panel) else 2)
    panel.system.value = "metric"
    panel.refresh()
    assert len(drawn) <= (5 if moved else 2) + (not on_a_plan(panel))


@pytest.mark.parametrize("system", SYSTEMS)
def test_nonsense_is_said_in_words_and_the_picture_stays(panel, system):
    panel.system.value = system
    for row in rows(panel):
        good, before = row.box.value, shown(panel)
        for value in NONSENSE:
            row.box.value = value
            assert problem(panel), (row.box.description, value)
            assert on_a_plan(panel) or row.number.label in words(panel.status)
            assert len(words(panel.status).split()) > 5
            assert (panel.key.value, panel.picture.value) == (before[0], before[2])
            assert row.slider.value == good
        row.box.value = good
        assert shown(panel) == before


def test_nonsense_does_not_outlive_a_switch_or_a_reset(panel):
    for row in rows(panel):
        start, first = row.box.value, shown(panel)
        for value in (1e9, float("nan")):
            row.box.value = value
            panel.system.value = "US"
            assert not problem(panel)
            assert row.box.value == row.slider.value
            panel.system.value = "metric"
            assert row.box.value == pytest.approx(start)
            row.box.value = value
            panel.reset()
            assert row.box.value == start
            assert shown(panel) == first


def test_a_switch_of_units_there_and_back_keeps_the_amount(panel):
    """Shown on the nearest step in the other system, and unchanged when switched back."""
    for row in rows(panel):
        panel.system.value = "metric"
        panel.reset()
        us = row.number.scale("US")
        for value in moves(row, "metric"):
            row.slider.value = value
            amount, before = row.measure(), shown(panel)
            panel.system.value = "US"
            if us.unit == row.number.metric.unit:
                assert row.measure() == amount
            elif on_a_plan(panel):
                assert row.box.value == pytest.approx(amount.m_as(us.unit), abs=0.005)
            else:
                assert row.box.value == pytest.approx(amount.m_as(us.unit), abs=us.step)
                step = steps_from(row, row.box.value)
                assert step == pytest.approx(round(step), abs=1e-5)
            panel.system.value = "metric"
            assert row.box.value == pytest.approx(value)  # steps of a tenth leave traces of rounding
            assert shown(panel) == before
        panel.system.value = "US"
        for value in moves(row, "US"):
            row.slider.value = value
            panel.system.value = "metric"
            assert not problem(panel)
            panel.system.value = "US"
            assert row.box.value == pytest.approx(value)


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
    assert panel._drawn("metric") is drawing
    assert figure(drawing) is same
    result = panel.draft.plan if on_a_plan(panel) else panel._calculate(**panel._values())
    fresh = panel._drawing("metric", False).show(result)
    assert fresh.figure is not same
    assert svg(panel) == fresh.svg()
    assert words(panel.status) == fresh.sentence


def test_large_type_changes_the_words_of_the_figure_and_the_look_of_the_panel(panel):
    panel.refresh()
    small = sizes(panel._drawn("metric"))
    sentence = panel.status.value
    panel.large.value = True
    assert "stilltank-large" in panel._dom_classes
    assert panel.status.value == sentence
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

    number = explore.Number("mass", "Weighed", 1.0, explore.Scale("g", 0, 2, 1))
    panel = explore.explore("Example", [number], calculate, lambda *_: SimpleNamespace(), lambda *_: "")
    assert problem(panel)
    assert "Nothing can be mixed here." in words(panel.status)
    assert panel.picture.value == ""
