"""Each argument of each public call is given things that cannot be meant: only a Problem may leave."""

import numpy as np
import pandas as pd
import pytest
from demo_tank import TANK
from stilltank.science import budget, mixing, tank, weather
from stilltank.science.crops import Plants
from stilltank.units import Problem, Q

SITE = weather.site("quillgate")
SOLUTION = mixing.mix({"KNO3": Q(5, "g")}, Q(10, "L"))
SCENARIO = budget.Scenario.make(TANK, Plants("basil", 2), SITE, start="2027-06-01", days=5, members=3)
SEASON = SCENARIO.change(start="2019-06-01").season()
MANY = SCENARIO.ensemble()


class Refuses:
    """Nothing can be asked of it."""

    def __repr__(self):
        return "<Refuses>"


HOSTILE = {
    "None": None,
    "text": "often",
    "empty text": "",
    "list": [1, 2],
    "empty list": [],
    "list of lists": [[1], [2, 3]],
    "dict": {"a": 1},
    "nan": float("nan"),
    "inf": float("inf"),
    "-inf": -np.inf,
    "huge": 10**400,
    "negative": -1,
    "true": True,
    "complex": 1j,
    "array of text": np.array(["a", "b"]),
    "array of objects": np.array([None, "a"], dtype=object),
    "frame": pd.DataFrame({"a": [1]}),
    "solution": SOLUTION,
    "tank": TANK,
    "site": SITE,
    "plants": Plants("basil", 1),
    "object": Refuses(),
    "class": Refuses,
    "function": len,
    "quantity of nan": Q(np.nan, "cm"),
    "endless": Q(np.inf, "L"),
    "charge": Q(3, "coulomb"),
    "several": Q([1, 2], "cm"),
    "none at all": Q([], "cm"),
    "warmth": Q(20, "degC"),
    "missing day": np.datetime64("NaT", "D"),
    "dict of days": {"someday": Q(1, "L")},
    "dict of numbers": {"2027-06-02": 1},
    "scenario": SCENARIO,
}
CHOICES = sorted(budget.Choices.__annotations__)
GIVEN = {
    "tank": TANK,
    "plants": Plants("basil", 2),
    "weather": SITE,
    "start": "2027-06-01",
    "days": 5,
    "members": 3,
}


def scenario(**changed):
    made = budget.Scenario.make(**{**GIVEN, **changed})
    made.ensemble()
    return made


CALLS = {
    **{
        f"make {name}": lambda given, name=name: scenario(**{name: given})
        for name in (*CHOICES, "tank", "plants", "weather")
    },
    "season": lambda given: budget.season(given, given, given),
    "ensemble weather": lambda given: budget.ensemble(
        TANK, Plants("basil", 1), given, start="2027-06-01", days=2
    ),
    "compare routines": lambda given: SCENARIO.compare(given),
    "compare solution": lambda given: SCENARIO.compare([budget.nothing()], given),
    "compare sky": lambda given: SCENARIO.compare([budget.nothing()], None, given),
    "compare uptake": lambda given: SCENARIO.compare([budget.nothing()], SOLUTION, uptake=given),
    "compare uptake of N": lambda given: SCENARIO.compare([budget.nothing()], SOLUTION, uptake={"N": given}),
    "compare factor": lambda given: SCENARIO.compare([budget.nothing()], SOLUTION, uptake_factor=given),
    "compare door": lambda given: budget.compare(
        TANK, Plants("basil", 1), SITE, given, start="2027-06-01", days=2
    ),
    "look": lambda given: SCENARIO.latest_look(given),
    "look door": lambda given: budget.latest_look(
        TANK, Plants("basil", 1), SITE, given, start="2027-06-01", days=2
    ),
    "look sky": lambda given: SCENARIO.latest_look(sky=given),
    "ensemble sky": lambda given: SCENARIO.ensemble(given),
    "change": lambda given: SCENARIO.change(start=given, top_up=given),
    "how_many_plants": lambda given: budget.how_many_plants(given),
    "how_many_plants certainty": lambda given: budget.how_many_plants(SCENARIO, given),
    "how_large_a_tank": lambda given: budget.how_large_a_tank(given),
    "how_large_a_tank certainty": lambda given: budget.how_large_a_tank(SCENARIO, given),
    "nutrients season": lambda given: budget.nutrients(given, SOLUTION),
    "nutrients solution": lambda given: budget.nutrients(SEASON, given),
    "nutrients uptake": lambda given: budget.nutrients(SEASON, SOLUTION, given),
    "nutrients factor": lambda given: budget.nutrients(SEASON, SOLUTION, uptake_factor=given),
    "concentration": lambda given: budget.concentration_after_uptake(given, given, given, given),
    "concentration volumes": lambda given: budget.concentration_after_uptake(
        Q(1, "mg/L"), Q(1, "mg/L"), Q(2, "L"), given
    ),
    "concentration uptake": lambda given: budget.concentration_after_uptake(
        Q(1, "mg/L"), given, Q(2, "L"), Q(1, "L")
    ),
    "quantile": lambda given: MANY.quantile(given),
    "quantile of": lambda given: MANY.quantile(0.5, given),
    "date_range": lambda given: MANY.date_range(given),
    "date_range shares": lambda given: MANY.date_range("stop", given, given),
    "share_of": lambda given: MANY.share_of(given),
    "weekly": lambda given: MANY.weekly(given, given),
    "by_hand every": lambda given: budget.by_hand(given),
    "by_hand level": lambda given: budget.by_hand(2, given),
    "by_hand rise": lambda given: budget.by_hand(2, None, given),
    "by_hand strength": lambda given: budget.by_hand(strength=given),
    "by_hand name": lambda given: budget.by_hand(name=given),
    "float_valve": lambda given: budget.float_valve(given, given),
    "drip flow": lambda given: budget.drip(given, Q(1, "hour")),
    "drip time": lambda given: budget.drip(Q(1, "L/hour"), given),
    "drip strength": lambda given: budget.drip(Q(1, "L/hour"), Q(1, "hour"), given),
    "on_dates": lambda given: budget.on_dates(given),
    "on_dates volume": lambda given: budget.on_dates({"2027-06-02": given}),
    "on_dates strength": lambda given: budget.on_dates({}, given),
    "usual_routines": lambda given: budget.usual_routines(given, given),
    "TopUp": lambda given: budget.TopUp("mine", given),
    "Planting crop": lambda given: budget.Planting(given, 2),
    "Planting count": lambda given: budget.Planting("basil", given),
    "Planting first_day": lambda given: budget.Planting("basil", 2, first_day=given),
    "Planting last_day": lambda given: budget.Planting("basil", 2, last_day=given),
    "Planting age": lambda given: budget.Planting("basil", 2, age=given),
    "Uncertain": lambda given: budget.Uncertain(given),
    "Uncertain ends": lambda given: budget.Uncertain(Q(1, ""), given, given),
}

DECORATED = ("concentration", "concentration volumes", "concentration uptake", "usual_routines")
"""What ``units.takes`` refuses; how it looks at a list of lists is its own affair."""


@pytest.mark.parametrize("call", CALLS)
def test_only_a_problem_leaves(call):
    refused = 0
    for name, given in HOSTILE.items():
        if name == "list of lists" and call in DECORATED:
            continue
        try:
            CALLS[call](given)
        except Problem as problem:
            refused += bool(str(problem).strip())
        except Exception as error:
            pytest.fail(f"{call}({name}) raised {type(error).__name__}: {error}")
    assert refused, "none of these can be meant"


def test_what_is_refused_is_told_shortly():
    with pytest.raises(Problem, match="You gave a Solution") as told:
        budget.nutrients(SEASON, SOLUTION, SOLUTION)
    assert len(str(told.value)) < 250
    assert tank.preset(TANK) is TANK
