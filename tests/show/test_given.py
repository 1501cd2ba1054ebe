"""Whatever the public functions of pictures, pages and the own tank are given: an answer, or one sentence."""

import contextlib
import inspect

import numpy as np
import pytest
from stilltank.problems import Problem
from stilltank.science import calendar, tank
from stilltank.season import own_tank, paper, pictures
from stilltank.season.plan import Plan
from stilltank.show import figures, pages

HUGE = 10**400  # too large for a float
BAD = (None, "text", [], [1, 2], float("nan"), HUGE, object(), b"x", {}, -3, Plan, np.array([1.0]))
WRONG = (None, [1, 2], float("nan"), 10**400, object(), b"x", {}, Plan)  # no file, no draft
# What only those who draw or build call with, and what takes a plot of matplotlib
INSIDE = {"apart", "days_along", "few_ticks", "house_style", "net_pot", "new_figure"}


@pytest.fixture(scope="module")
def good(tmp_path_factory):
    folder = tmp_path_factory.mktemp("given")
    plan = Plan.make(count=4)
    return {
        "plan": plan,
        "draft": own_tank.Draft(folder / "my-tank.toml"),
        "tank": tank.preset("quillgate-tub"),
        "tasks": calendar.tasks(plan.outlook.schedule),
        "made": "2026-01-01",
        "path": str(folder / "my-page"),
        "dose": plan.outlook.doses["closed"],
    }


def functions():
    for room in (figures, pages, own_tank, pictures, paper):
        names = getattr(room, "__all__", None) or [
            name for name, one in vars(room).items() if getattr(one, "__module__", "") == room.__name__
        ]
        for name in names:
            if inspect.isfunction(one := getattr(room, name)) and name not in INSIDE and name[0] != "_":
                yield one


@pytest.mark.parametrize("function", list(functions()), ids=lambda one: f"{one.__module__}.{one.__name__}")
def test_a_function_answers_or_says_one_sentence(function, good, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    parameters = inspect.signature(function).parameters
    needed = [
        name
        for name, one in parameters.items()
        if one.default is one.empty and one.kind != one.VAR_POSITIONAL
    ]
    for name in parameters:
        if parameters[name].kind is inspect.Parameter.VAR_POSITIONAL:
            continue
        for value in BAD:
            given = {other: good.get(other, "x") for other in needed} | {name: value}
            with contextlib.suppress(Problem):
                function(**given)


@pytest.mark.parametrize(
    "made", [own_tank.Draft, own_tank.Keep, own_tank.Sheets, own_tank.Tasks, own_tank.Bottles]
)
@pytest.mark.parametrize("value", WRONG, ids=lambda one: type(one).__name__)
def test_what_is_built_on_something_else_is_refused(made, value, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(Problem):
        made(value)


def test_a_draft_refuses_what_it_does_not_know(good):
    draft = good["draft"]
    before = draft.plan
    for act in (
        lambda: draft.change(scent="green"),
        lambda: draft.show_in("imperial"),
        lambda: draft.reset("scent"),
        lambda: draft.reset(None),
        lambda: own_tank.Draft("my-other.toml", learner="7B-12"),
        lambda: own_tank.Draft("my-other.toml", scent="green"),
    ):
        with pytest.raises(Problem):
            act()
    assert draft.plan is before


@pytest.mark.parametrize(
    "made",
    [
        figures.SeasonLevel,
        figures.TankSection,
        figures.YearWeather,
        figures.DipstickSheet,
    ],
)
def test_a_figure_knows_two_systems(made):
    for system in ("imperial", None, [], HUGE):
        with pytest.raises(Problem):
            made(system=system)
