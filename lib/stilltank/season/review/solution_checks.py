"""Checks on the solution: acid, pH, strength, elements, what can fall out, what is left at the end."""

from collections.abc import Iterator
from typing import Any

from stilltank import tables
from stilltank.science import budget, mixing, products
from stilltank.season.plan import Plan
from stilltank.units import Q, Quantity, all_of, capital, write, write_range

from .checks import Check, Family, Finding, listed, threshold
from .flags import Remedy
from .water_checks import fewer_plants, top_ups

_BEYOND = Q(1e6, "mS/cm")
_FEW = 3  # elements that are named


def _acid(plan: Plan) -> Finding | None:
    bottle = plan.acid_at_hand
    if not bottle.adult_only or not plan.outlook.doses:
        return None
    source = tables.load("dosing")["ladder", "strength for learners"].address
    return Finding(bottle.concentration, Q(products.learners_limit(bottle), "mol/L"), source)


def _say_acid(plan: Plan, found: Finding, system: str) -> str:
    holds = "" if "mol/L" in plan.acid else f" ({found.number.m_as('mol/L'):.3g} mol/L)"
    most = f"{found.limit.m_as('mol/L'):g} mol/L"
    return f"{capital(plan.acid)}{holds} is stronger than {most}, the most that learners may handle."


def _for_learners(plan: Plan) -> list[products.Acid]:
    """Liquids that learners may handle, those on the shelf first, then the strongest: the volume stays small."""
    known = [products.acid(name) for name in products.acid_names()]
    on_shelf = [] if plan.shelf is None else [one.product for one in plan.shelf.acids.values()]
    bottles = [*(one for one in on_shelf if isinstance(one, products.Acid)), *known]
    fit = [one for one in bottles if one.concentration is not None and not one.adult_only]

    def rank(one: products.Acid) -> tuple[bool, float]:
        return one not in on_shelf, 0.0 if one.concentration is None else -float(
            one.concentration.m_as("mol/L")
        )

    return sorted(fit, key=rank)


def _diluted(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    bottle = plan.acid_at_hand
    dose = plan.outlook.doses.get("closed") or plan.outlook.doses["open"]

    def remedies(same: bool) -> Iterator[Remedy]:
        for one in _for_learners(plan):
            if (one.formula == bottle.formula) != same:
                continue
            if not same:
                yield Remedy(f"Use {one.name}", {"acid": one.name})
                continue
            volume = one.measured(dose.amount * plan.outlook.volume)
            words = f"Have a trained adult dilute it to {one.name}, and pour {volume} of that"
            yield Remedy(words, {"acid": one.name})

    same = list(remedies(same=True))
    yield same or remedies(same=False)


def _ph(plan: Plan) -> Finding | None:
    crop, target = plan.plants.crop, plan.target_ph
    if crop.ph_low is None or crop.ph_high is None or crop.ph_low <= target <= crop.ph_high:
        return None
    limit = crop.ph_low if target < crop.ph_low else crop.ph_high
    return Finding(Q(target, "dimensionless"), Q(limit, "dimensionless"), crop.where_from("ph_low").address)


def _say_ph(plan: Plan, found: Finding, system: str) -> str:
    crop = plan.plants.crop
    return (
        f"The target is pH {plan.target_ph:g}, and {crop.spoken} wants {crop.ph_low:g} to {crop.ph_high:g} "
        f"({crop.where_from('ph_low').kind})."
    )


def _into_range(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    limit = float(found.limit.m_as("dimensionless"))
    yield (Remedy(f"Aim for pH {limit:g}", {"target_ph": limit}),)


def _conductivity(plan: Plan) -> Finding | None:
    crop = plan.plants.crop
    low, high = crop.conductivity_low, crop.conductivity_high
    if low is None or high is None or plan.reading is not None:  # filled is filled
        return None
    margin, _ = threshold("EC", "margin")
    filled = plan.outlook.recipe.solution.conductivity()
    if low / margin <= filled <= high * margin:
        return None
    return Finding(filled, high if filled > high else low, crop.where_from("conductivity").address)


def _say_conductivity(plan: Plan, found: Finding, system: str) -> str:
    crop = plan.plants.crop
    low, high = crop.conductivity_low, crop.conductivity_high
    own = "" if low is None or high is None else write_range(low, high, digits=2)
    return (
        f"Filled, a meter shows {write(found.number, digits=2)}, and {crop.spoken} wants {own} "
        f"({crop.where_from('conductivity').kind})."
    )


def _with_rain(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    def shares() -> Iterator[Remedy]:
        whole, rain = plan.outlook.volume, mixing.Water.pure(name="rain water")
        for share in listed("EC", "rain water"):
            own, other = (1 - share) * whole, share * whole
            litres = f"{write(other, system, 2)} of rain water and {write(own, system, 2)} of {_called(plan)}"
            yield Remedy(f"Fill with {litres}", {"water": mixing.blend(plan.water, own, rain, other).water})

    yield shares()


def _called(plan: Plan) -> str:
    return plan.water.name or "your water"


def _reached(plan: Plan) -> dict[str, Quantity]:
    """What water, salts and acid bring together of each element of the recipe."""
    parts = plan.outlook.parts.values()
    return {name: sum((part[name] for part in parts), Q(0, "mg/L")) for name in plan.outlook.targets}


def _low_element(plan: Plan) -> Finding | None:
    if plan.reading is not None:
        return None
    least, source = threshold("low element", "share of target")
    reached, targets = _reached(plan), plan.outlook.targets
    shares = {
        name: float((reached[name] / target).m_as("dimensionless"))
        for name, target in targets.items()
        if target.magnitude > 0
    }
    low = sorted((name for name, share in shares.items() if share < least), key=shares.__getitem__)
    if not low:
        return None
    first = low[0]
    return Finding(reached[first], least * targets[first], source, {"low": low, "reached": reached})


def _say_low_element(plan: Plan, found: Finding, system: str) -> str:
    reached, targets, low = found.details["reached"], plan.outlook.targets, found.details["low"]
    each = ", ".join(
        f"{name} {reached[name].m_as('mg/L'):.2g} of {write(targets[name], digits=2)}" for name in low[:_FEW]
    )
    more = f", and {len(low) - _FEW} more" if len(low) > _FEW else ""
    return f"Water, salts and acid together bring less than half of what is wanted: {each}{more}."


def _onto_the_shelf(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    """What would bring what the shelf lacks; else the salts of the workbook."""
    lacking, shelf = plan.outlook.by_shelf, plan.shelf
    if lacking is None or shelf is None:
        return
    traces = str(tables.load("mixing")["weight in weighing", "trace elements"].value).split(";")
    wanted = [lack.product for lack in lacking.lacks if lack.product]
    wanted += [
        name
        for name in products.usual_salts()
        if any(products.salt(name).share(one).magnitude > 1 for one in found.details["low"] if one in traces)
    ]
    wanted = [name for name in dict.fromkeys(wanted) if shelf.find(name) is None]
    if wanted:
        fuller = shelf
        for name in wanted:
            fuller = fuller.put(products.Stocked(products.salt(name)))
        said = all_of(wanted)
        yield (Remedy(f"Put {said} on the shelf", {"shelf": fuller}),)
    yield from _own_salts(plan, found, system)


def _at_the_shelf(plan: Plan, found: Finding, system: str) -> str:
    lacking = plan.outlook.by_shelf
    lines = () if lacking is None else lacking.missing
    return " ".join(lines) or "Add a salt that holds it, and mix again."


def _own_salts(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    if plan.shelf is not None:
        changes: dict[str, object] = {"shelf": None}
        if plan.acid in plan.shelf.acids:
            changes["acid"] = None
        yield (Remedy("Weigh out the workbook's own salts instead of what is on the shelf", changes),)


def _stock(plan: Plan) -> Finding | None:
    """Whether what is on the shelf can be kept as two stock solutions; the workbook's own salts can."""
    if plan.shelf is None:
        return None
    found = mixing.two_bottles(plan.outlook.recipe, balance=plan.shelf.balance)
    cloudy = [found.why_not] if found.why_not else [says for says in found.checks if "gypsum" in says]
    if not cloudy:
        return None
    source = tables.load("mixing")["stocks", "solubility caution"].address
    return Finding(None, None, source, {"says": capital(" ".join(cloudy))})


def _high_element(plan: Plan) -> Finding | None:
    if not plan.outlook.excess or plan.reading is not None:
        return None
    name = next(iter(plan.outlook.excess))
    brought, target = plan.outlook.parts["from the acid"][name], plan.outlook.targets[name]
    recipe = tables.load("recipes")
    source = next(
        (entry.address for entry in recipe.of(plan.outlook.recipe_name).values() if entry.prop == name),
        next(iter(recipe.of(plan.outlook.recipe_name).values())).address,
    )
    return Finding(brought, target, source, {"element": name})


def _say_high_element(plan: Plan, found: Finding, system: str) -> str:
    return (
        f"The acid alone brings {write(found.number, digits=2)} of {found.details['element']}, and the recipe wants "
        f"{write(found.limit, digits=2)}."
    )


def _other_acid(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    now = plan.acid_at_hand
    seen, fit = {now.formula}, []
    for one in _for_learners(plan):
        if one.formula not in seen:
            seen.add(one.formula)
            fit.append(Remedy(f"Use {one.name} instead of {plan.acid}", {"acid": one.name}))
    yield fit


def _cloudy(plan: Plan) -> Finding | None:
    crop_ph = plan.target_ph if plan.outlook.doses else plan.outlook.ph_before_acid
    solution = plan.outlook.recipe.solution
    if not mixing.brushite_saturation(solution, crop_ph) > 0:
        return None
    limit = mixing.brushite_ph(solution)
    if limit is None or crop_ph <= limit:
        return None
    source = tables.load("pairs")["brushite", "log K"].address
    return Finding(Q(crop_ph, "dimensionless"), Q(round(limit, 2), "dimensionless"), source)


def _say_cloudy(plan: Plan, found: Finding, system: str) -> str:
    now, limit = (float(end.m_as("dimensionless")) for end in (found.number, found.limit))
    return (
        f"At pH {now:.2g} calcium and phosphate of this solution can fall out as a white dust; below pH {limit:.2g} "
        "they stay dissolved."
    )


def _more_acid(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    below = int(10 * float(found.limit.m_as("dimensionless")) - 1e-6) / 10

    def remedies() -> Iterator[Remedy]:
        for step in range(4):
            target = round(below - step / 10, 1)
            yield Remedy(f"Aim for pH {target:g}", {"target_ph": target})

    yield remedies()


def _salt(plan: Plan) -> Finding | None:
    high = plan.plants.crop.conductivity_high
    if high is None:
        return None
    times, source = threshold("salt", "times the crop's range")
    end = budget.salt_course(
        plan.outlook.season,
        plan.outlook.recipe,
        cover=plan.site.cover,
        strength=plan.top_up.strength,
        uptake_factor=tables.number("uptake", plan.site.cover, "factor", "1"),
    ).stop[1]
    return Finding(end, times * high, source) if end > times * high else None


def _say_salt(plan: Plan, found: Finding, system: str) -> str:
    low, _, high = plan.outlook.salt.stop
    share = 100 * plan.outlook.salt.shares[1]
    crop = plan.plants.crop
    return (
        f"At the end, or with {share:.0f} % of the filling left, a meter shows about {_shown(found.number)} "
        f"({_between(low, high)}), more than {write(found.limit, digits=2)}: twice the most that "
        f"{crop.spoken} wants."
    )


def _shown(conductivity: Any) -> str:
    if not conductivity < _BEYOND:
        return "far more than a meter reads"
    return write(conductivity, digits=2)


def _between(low: Quantity, high: Quantity) -> str:
    return write_range(low, high, digits=2) if high < _BEYOND else f"{_shown(low)} to {_shown(high)}"


def _less_salt(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    yield from fewer_plants(plan)
    if plan.top_up.way == "nothing":
        yield from top_ups(plan, system)
    elif plan.top_up.strength > 0:
        thinner = _with_water(plan.top_up)
        if thinner is not None:
            yield (Remedy("Top up with plain water", {"top_up": thinner}),)


def _with_water(routine: budget.TopUp) -> budget.TopUp | None:
    if routine.way == "by hand":
        return budget.by_hand(routine.every, routine.level, routine.rise, 0.0)
    if routine.way == "float valve":
        return budget.float_valve(routine.level, 0.0)
    if routine.way == "drip" and routine.daily is not None:
        return budget.drip(routine.daily / Q(1, "hour"), Q(1, "hour"), 0.0)
    if routine.way == "on dates" and routine.volumes is not None:
        return budget.on_dates(dict(routine.volumes.items()), 0.0)
    return None


def _companions(plan: Plan) -> Finding | None:
    says = plan.outlook.ill_matched
    if not says:
        return None
    source = threshold("companions", "margin")[1]
    return Finding(None, None, source, {"says": says})


def _suited(plan: Plan, found: Finding, system: str) -> Iterator[Family]:
    def ranges() -> Iterator[Remedy]:
        crops = [group.crop for group in plan.groups]
        low = max((crop.ph_low for crop in crops if crop.ph_low is not None), default=None)
        high = min((crop.ph_high for crop in crops if crop.ph_high is not None), default=None)
        if low is not None and high is not None and low <= high:
            target = min(max(plan.target_ph, low), high)
            yield Remedy(f"Aim for pH {target:g}, which suits all of them", {"target_ph": target})

    yield ranges()

    def apart() -> Iterator[Remedy]:
        for out in plan.beside:
            kept = tuple(group for group in plan.beside if group is not out)
            yield Remedy(f"Give the {out.crop.spoken} a tank of its own", {"beside": kept})
        if len(plan.beside) > 1:
            yield Remedy("Give each crop a tank of its own", {"beside": ()})

    yield apart()


ACID_CHECKS = (
    Check(
        "acid",
        "Acid too strong for learners",
        "people",
        _acid,
        _say_acid,
        "A splash harms eyes and skin. The safety data sheet and local rules come first.",
        _diluted,
        lambda plan, found, system: (
            "Until then a trained adult measures it, with splash goggles, gloves and apron, acid into water."
        ),
    ),
)
SOLUTION_CHECKS = (
    Check(
        "low element",
        "Too little of an element",
        "crop",
        _low_element,
        _say_low_element,
        "Below half of its target a lack is likely to show in the leaves.",
        _onto_the_shelf,
        _at_the_shelf,
        keeps=("acid", "high element"),
    ),
    Check(
        "stock",
        "Stock solution that turns cloudy",
        "crop",
        _stock,
        lambda plan, found, system: found.details["says"],
        "What falls out stays in the bottle, and the plants lack it.",
        _own_salts,
        lambda plan, found, system: "Weighed straight into the full tank, the same salts stay dissolved.",
        keeps=("low element",),
    ),
    Check(
        "high element",
        "Too much of an element from the acid",
        "crop",
        _high_element,
        _say_high_element,
        "No salt can be left out to make up for it.",
        _other_acid,
        lambda plan, found, system: "Mixing the water with rain water needs less acid too.",
        keeps=("acid", "low element"),
    ),
    Check(
        "pH",
        "pH outside the crop's range",
        "crop",
        _ph,
        _say_ph,
        "Outside its range a crop takes up some elements badly, iron first.",
        _into_range,
        keeps=("cloudy",),
    ),
    Check(
        "companions",
        "Crops that do not suit each other",
        "crop",
        _companions,
        lambda plan, found, system: " ".join(found.details["says"]),
        "One tank has one pH and one strength.",
        _suited,
        keeps=("pH",),
    ),
    Check(
        "cloudy",
        "The solution can turn cloudy",
        "crop",
        _cloudy,
        _say_cloudy,
        "What falls out is lost to the plants, and the dust clogs drippers.",
        _more_acid,
        keeps=("pH",),
    ),
    Check(
        "salt",
        "Salty at the end",
        "crop",
        _salt,
        _say_salt,
        "Plants drink water faster than they take up salts, so the last of the solution is strong.",
        _less_salt,
        lambda plan, found, system: "Stop in time: end the crop at the stop level on the stick.",
        keeps=("top-up",),
    ),
    Check(
        "EC",
        "EC outside the crop's range",
        "crop",
        _conductivity,
        _say_conductivity,
        "Too strong a solution holds water back from the roots; too weak a one leaves the plants pale.",
        _with_rain,
        lambda plan, found, system: "Read the meter before planting: it knows what is really in the tank.",
        keeps=("low element",),
    ),
)
