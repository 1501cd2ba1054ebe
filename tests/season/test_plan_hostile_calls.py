"""Each argument of each call of a plan is given things that cannot be meant: only a Problem may leave."""

import numpy as np
import pytest
from stilltank.science import mixing, tank, weather
from stilltank.science.crops import Plants
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q

PLAN = Plan.make(count=4)
HOSTILE = {
    "empty text": "",
    "text": "often",
    "a sign of no file": "a\0b",
    "list": [1, 2],
    "list of lists": [[1], [2, 3]],
    "dict": {"a": 1},
    "nan": float("nan"),
    "inf": float("inf"),
    "huge": 10**400,
    "negative": -1,
    "complex": 1j,
    "array of text": np.array(["a", "b"]),
    "solution": mixing.mix({"KNO3": Q(5, "g")}, Q(10, "L")),
    "plain tank": tank.Box(Q(30, "cm"), Q(30, "cm"), Q(30, "cm")),
    "place without weather": weather.Site("nowhere", Q(40, "degree"), Q(1, "m")),
    "plants": Plants("basil", 1),
    "object": object(),
    "class": dict,
    "quantity": Q(3, "coulomb"),
    "missing day": np.datetime64("NaT", "D"),
    "plan": PLAN,
}
NAMES = (
    "tank",
    "crop",
    "site",
    "water",
    "start",
    "count",
    "name",
    "acid",
    "target_ph",
    "record",
    "colour",
    "shade",
)
CALLS = {
    **{f"make {name}": lambda given, name=name: Plan.make(**{name: given}).settle() for name in NAMES},
    **{f"change {name}": lambda given, name=name: PLAN.change(**{name: given}) for name in NAMES},
    "save": lambda given: PLAN.save(given) if not isinstance(given, str) or "\0" in given else _refused(),
    "load": lambda given: Plan.load(given),
    "text": lambda given: PLAN.text(given),
    "looks": lambda given: PLAN.outlook.looks(given),
}


def _refused():
    raise Problem("a text may name a file")


@pytest.mark.parametrize("call", CALLS)
def test_only_a_problem_leaves(call):
    refused = 0
    for name, given in HOSTILE.items():
        try:
            CALLS[call](given)
        except Problem as problem:
            refused += bool(str(problem).strip())
        except Exception as error:
            pytest.fail(f"{call}({name}) raised {type(error).__name__}: {error}")
    assert refused > len(HOSTILE) / 2, "most of these cannot be meant"


def test_a_word_that_no_plan_has_is_named():
    with pytest.raises(Problem, match="no 'mood' to change"):
        PLAN.change(mood="green")


def test_the_outlook_is_made_once():
    assert PLAN.outlook is PLAN.outlook
    assert PLAN.outlook.plan is PLAN
    assert not hasattr(PLAN, "doses"), "a plan holds its choices alone"


def test_a_plan_asks_the_water_budget_one_way():
    """The seasons of a plan are those of its scenario, with the filling and the hole of its tank."""
    scenario = PLAN.scenario()
    assert np.array_equal(scenario.ensemble().volume.magnitude, PLAN.outlook.season.volume.magnitude)
    assert scenario.first_level == PLAN.outlook.fill_level
    assert scenario.overflow_height == PLAN.outlook.overflow.height
    assert (scenario.start, scenario.days) == (PLAN.start, PLAN.outlook.days)
    other = PLAN.change(count=2)
    assert other.scenario().plants[0].count == 2
