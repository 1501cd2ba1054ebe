"""The panels of chapter 6: plants for a filling, the last useful sowing, what a stem costs, and a watering round."""

import datetime
import math
from collections.abc import Mapping
from dataclasses import replace
from functools import cache, lru_cache

import numpy as np
from pint import Quantity

from stilltank.science import budget, calendar, crops, mixing, weather
from stilltank.season.pictures import COVERS
from stilltank.season.plan import Plan
from stilltank.show.figures import short_day
from stilltank.show.panels import Exploration, Number, Pick, Scale, known_crops, ready_made_tanks
from stilltank.tables import load
from stilltank.units import Problem, Q, figure, whole_number, write

from .figures import BagBars, BagCosts, Crowd, CrowdBars, Round, RoundBars, SowingBars, Sowings
from .shared import START, TUB

_OWN = "own"  # the tank, the place, or the crop of somebody's plan
_YEAR = 2027
_SITES = {"quillgate": "Quillgate", "new-york": "New York City", "seattle": "Seattle"}
_PLACES = [
    (f"{name}, {COVERS[cover]}", (site, cover)) for site, name in _SITES.items() for cover in ("open", "roof")
]
_IN_THE_OPEN = [(f"{name}, in the open", site) for site, name in _SITES.items()]
_PLACE_WORDS: Mapping[object, str] = {one: words for words, one in (*_PLACES, *_IN_THE_OPEN)}
_MOST_PLANTS = 12
_BENCH = {"snapdragon": 4, "cosmos": 3, "calendula": 3, "basil": 4}  # the bench of Quillgate, invented
_Place = tuple[str, str] | str


@cache
def _site(place: tuple[str, str]) -> weather.Site:
    name, cover = place
    return replace(weather.site(name), cover=cover)


def _place(plan: Plan | None) -> Pick:
    places = Pick("place", "The tank stands", ("quillgate", "open"), _PLACES, "weather")
    return places.starting(_OWN, f"your own place, {COVERS[plan.site.cover]}") if plan else places


def _standing(place: _Place, plan: Plan | None) -> weather.Site:
    if isinstance(place, tuple):
        return _site(place)
    assert plan is not None  # only a plan offers a place of its own
    return plan.site


def _plan_itself(plan: Plan | None) -> Mapping[str, object]:
    return {"plan": plan}


def _crop(plan: Plan | None, demo: str, known: list[tuple[str, str]]) -> Pick:
    picked = Pick("crop", "Crop", demo, known, "plants")
    return picked.starting(plan.plants.crop.name, plan.plants.crop.label) if plan else picked


def _as_grown(crop: str, plan: Plan | None) -> crops.Crop:
    """The crop of a name; that of the plan with its packet and its pinch."""
    return plan.plants.crop if plan and crop == plan.plants.crop.name else crops.crop(crop)


def _whole(count: float, most: int, what: str) -> int:
    return whole_number(count, 1, most, f"{what} is a whole number here, 1 to {most}; {{value:g}} is not.")


def _crowding_controls(plan: Plan | None) -> list[Number | Pick]:
    tanks = Pick("tank", "Tank", TUB, ready_made_tanks(), "tank")
    plants = Number("count", "Plants in the tank", 4, Scale("1", 1, _MOST_PLANTS, 1), place="plants")
    if plan:
        tanks, plants = tanks.starting(_OWN, "your own tank"), plants.starting(plan.plants.count)
    return [tanks, _crop(plan, "snapdragon", known_crops()), plants, _place(plan)]


@lru_cache(maxsize=64)
def _crowds(tank: str, crop: str, most: int, place: _Place, plan: Plan | None) -> Crowd:
    """Each number of plants, over the same simulated seasons."""
    site, grown = _standing(place, plan), _as_grown(crop, plan)
    if plan:
        of = plan.tank if tank == _OWN else tank
        alone = plan.change(
            tank=of, crop=grown, count=1, site=site, beside=(), reading=None, top_up=None, hole=None
        )
    else:
        alone = Plan.make(tank, grown, site, start=START, count=1)
    follows, scenario = alone.outlook, alone.scenario()
    sky = [
        scenario.change(plants=crops.Plants(follows.plants.crop, count), days=scenario.days).ensemble()
        for count in range(1, most + 1)
    ]
    room = budget.how_many_plants(scenario).by_room
    return Crowd(
        grown.spoken,
        _PLACE_WORDS.get(place, "your own place"),
        np.array([one.share_of("run_dry") for one in sky]),
        sky[0].filled - sky[0].unusable,
        1,
        room,
        alone.start + datetime.timedelta(days=scenario.days - 1),
    )


def _crowding(tank: str, crop: str, count: float, place: _Place, plan: Plan | None) -> Crowd:
    chosen = _whole(count, 10_000, "A number of plants")
    return replace(_crowds(tank, crop, max(chosen, _MOST_PLANTS), place, plan), chosen=chosen)


def _crowding_key(crowd: Crowd, system: str) -> str:
    dry = 100 * crowd.dry[crowd.chosen - 1]
    return f"Dry in {dry:.0f} of 100 seasons, {write(crowd.each, system)} for each"


crowding_panel = Exploration(
    "How many plants for this water?",
    _crowding_controls,
    _crowding,
    CrowdBars,
    _crowding_key,
    given=_plan_itself,
)
"""How often a tank runs dry, for each number of plants."""


@cache
def _cut_to_the_end() -> list[tuple[str, str]]:
    """The crops that are cut until cold or heat ends it; what is cut once, or for some weeks, has no such end."""
    return [(label, name) for label, name in known_crops() if crops.crop(name).harvest_until != "weeks"]


def _frost_controls(plan: Plan | None) -> list[Number | Pick]:
    outdoors = Pick("place", "The tank stands", "quillgate", _IN_THE_OPEN, "weather")
    cut = _cut_to_the_end()
    own = plan if plan and plan.plants.crop.name in [name for _, name in cut] else None
    return [
        _crop(own, "zinnia", cut),
        Number("wanted", "Cutting for at least", 28, Scale("day", 7, 70, 7), place="plants"),
        outdoors.starting(_OWN, "your own place") if plan else outdoors,
    ]


@lru_cache(maxsize=64)
def _all_sowings(crop: str, place: str, plan: Plan | None) -> Sowings:
    site = plan.site if plan and place == _OWN else weather.site(place)
    grown = _as_grown(crop, plan)
    day = datetime.date(plan.start.year if plan else _YEAR, 3, 1)
    sown: list[datetime.date] = []
    cutting: list[int] = []
    flowers: list[datetime.date | None] = []
    event = "first flower"
    for _ in range(16):
        sown.append(day)
        try:
            found = calendar.schedule(grown, site, day)
        except Problem:  # it is too cold then, or no flower comes
            cutting.append(0)
            flowers.append(None)
        else:
            event = found.event
            flowers.append(found.first_flower.expected)
            cutting.append(max((found.harvest_end.expected - found.first_flower.expected).days, 0))
        day += datetime.timedelta(days=14)
    return Sowings(
        grown.spoken,
        _PLACE_WORDS.get(place, "your own place"),
        tuple(sown),
        np.array(cutting),
        0,
        event,
        tuple(flowers),
    )


def _frost(crop: str, wanted: Quantity, place: str, plan: Plan | None) -> Sowings:
    return replace(_all_sowings(crop, place, plan), wanted=float(wanted.m_as("day")))


def _frost_key(sowings: Sowings, system: str) -> str:
    return f"Last useful sowing: {short_day(sowings.last)}" if sowings.last else "No sowing gives that much"


frost_panel = Exploration(
    "How late is a sowing still useful?", _frost_controls, _frost, SowingBars, _frost_key, given=_plan_itself
)
"""The days of cutting that are left for each day of sowing."""

_BAGS = (
    "multi-nutrient fertiliser, high potassium",
    "calcium nitrate fertiliser",
    "magnesium sulfate heptahydrate",
)


def _price_controls(plan: Plan | None) -> list[Number | Pick]:
    plants = Number("count", "Plants in each tank", 4, Scale("1", 1, _MOST_PLANTS, 1), place="plants")
    return [
        Number("tubs", "Tanks that share the bags", 4, Scale("1", 1, 40, 1), place="tank"),
        _crop(plan, "snapdragon", known_crops()),
        plants.starting(plan.plants.count) if plan else plants,
        Number("bag", "Each bag holds", 1000, Scale("g", 100, 4000, 100), Scale("oz", 4, 140, 4)),
    ]


@cache
def _demo() -> Plan:
    return Plan.make(TUB, "snapdragon", count=4, start=START)


@lru_cache(maxsize=32)
def _masses(recipe: str, plan: Plan) -> Mapping[str, float]:
    """Grams from each bag for one filling; a bag of which nothing is needed is left out."""
    found = mixing.weigh_out(mixing.recipe_targets(recipe), _BAGS, plan.outlook.volume, plan.water)
    return {name: float(mass.m_as("g")) for name, mass in found.masses.items() if mass.m_as("g") > 0.05}


def _price(tubs: float, crop: str, count: float, bag: Quantity, plan: Plan | None) -> BagCosts:
    grown, plants = _as_grown(crop, plan), _whole(count, 10_000, "A number of plants")
    many, held = _whole(tubs, 10_000, "A number of tanks"), float(bag.m_as("g"))
    if not held > 0:
        raise Problem("A bag that holds nothing cannot be bought. Type what is in it, such as 1000 g.")
    prices, currency = mixing.demo_prices()
    needed = {
        name: many * mass
        for name, mass in _masses(
            grown.recipe or str(load("plan")["recipe", "name"].value), plan or _demo()
        ).items()
    }
    bags = {name: math.ceil(mass / held - 1e-9) for name, mass in needed.items()}
    stems = grown.stems_per_plant
    return BagCosts(
        {name: mass * prices[name] / 1000 for name, mass in needed.items()},
        {name: number * held * prices[name] / 1000 for name, number in bags.items()},
        sum(bags.values()),
        bag,
        many * plants * (stems or 1),
        "plant" if stems is None else "stem",
        grown.spoken,
        many,
        currency,
    )


def _price_key(costs: BagCosts, system: str) -> str:
    bought, used = (figure(costs.each(of), 2) for of in (costs.bought, costs.used))
    return f"{bought} {costs.currency} a {costs.piece} as bought, {used} as used"


price_panel = Exploration(
    "What a stem costs", _price_controls, _price, BagBars, _price_key, given=_plan_itself
)
"""What whole bags cost, and what the fillings take of them, for each stem or plant."""

_EVERY = Number("every", "A round every", 3, Scale("day", 2, 21, 1), place="tank")
_RISE = Number(
    "rise", "Largest rise at each visit", 1, Scale("cm", 0.5, 5, 0.5), Scale("inch", 0.25, 2, 0.25), "tank"
)


def _round_controls(plan: Plan | None) -> list[Number | Pick]:
    like = [Number("tubs", "Tanks like yours", 1, Scale("1", 1, 12, 1), place="tank")] if plan else []
    return [*like, _EVERY, _RISE, _place(plan)]


@lru_cache(maxsize=64)
def _rounds(every: int, rise: float, place: _Place, plan: Plan | None) -> Round:
    routine = budget.by_hand(every, rise=Q(rise, "cm"))
    site = _standing(place, plan)
    if plan:
        plans = [plan.change(site=site, top_up=routine)]
    else:
        plans = [
            Plan.make(TUB, name, site, start=START, count=count, top_up=routine)
            for name, count in _BENCH.items()
        ]
    seasons = [one.scenario().ensemble() for one in plans]
    longest = max(seasons, key=lambda one: len(one.dates)).dates
    added = np.zeros((len(seasons), seasons[0].members, len(longest)))
    for row, season in zip(added, seasons, strict=True):
        row[:, : len(season.dates)] = season.top_up.m_as("L")
    visits = slice(every, None, every)  # nobody tops up on the first day
    taken = added[:, :, visits]
    return Round(
        tuple(day.item() for day in longest[visits]),
        tuple(one.plants.crop.spoken for one in plans),
        np.median(taken, axis=1),
        np.quantile(taken.sum(axis=0), [0.1, 0.5, 0.9], axis=0),
        tuple(one.share_of("run_dry") for one in seasons),
        every,
    )


def _round(every: Quantity, rise: Quantity, place: _Place, plan: Plan | None, tubs: float = 1) -> Round:
    days = whole_number(
        every.m_as("day"), 1, 60, "A round comes after 1 to 60 whole days; {value:g} is not one."
    )
    found = _rounds(days, float(rise.m_as("cm")), place, plan)
    many = _whole(tubs, 10_000, "A number of tanks")
    return replace(found, litres=many * found.litres, total=many * found.total)


def _round_key(found: Round, system: str) -> str:
    at = found.heaviest
    if found.total[1][at] <= 0:
        return "Nothing to carry in half of the seasons"
    litres = write(Q(float(found.total[1][at]), "L"), system, digits=2)
    return f"Most on {short_day(found.days[at])}: {litres} to carry"


round_panel = Exploration(
    "One watering round", _round_controls, _round, RoundBars, _round_key, given=_plan_itself
)
"""What several tanks take on each visit of a round."""
