"""The panels of chapter 2: a dose and the trade's rule, the titration curve, the week after dosing, and plants."""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache, lru_cache

from pint import Quantity

from stilltank.science import mixing, ph, products
from stilltank.season.plan import Plan
from stilltank.show.figures import Picture
from stilltank.show.panels import Exploration, Number, Pick, Scale
from stilltank.units import Q

from .figures import AfterDose, DoseBars, DriftCurves, TitrationPicture, millilitres

_VOLUME = Number(
    "volume", "Water in the tank", 36.0, Scale("L", 5, 200, 1), Scale("gallon", 1, 53, 0.5), "tank"
)
_DEPTH = Number(
    "depth", "Depth of the solution", 20, Scale("cm", 5, 60, 1), Scale("inch", 2, 24, 0.5), "tank"
)
_ALKALINITY = Number("alkalinity", "Alkalinity", 130, Scale("mg/L as CaCO3", 0, 300, 5))
_TARGET = Number("target", "pH wanted", 5.8, Scale("1", 5.5, 7, 0.1))
_BOTTLES = (
    ("nitric acid 0.1 mol/L, for the class", "nitric acid 0.1 mol/L"),
    ("nitric acid 0.5 mol/L, for the class", "nitric acid 0.5 mol/L"),
    ("phosphoric acid 0.5 mol/L, for the class", "phosphoric acid 0.5 mol/L"),
    ("citric acid 5 %, for the class", "citric acid 5 %"),
    ("nitric acid 38 %, adults only", "nitric acid 38 %"),
    ("phosphoric acid 75 %, adults only", "phosphoric acid 75 %"),
    ("sulfuric acid 35 %, adults only", "sulfuric acid 35 %"),
)
_KINDS = (
    ("strong: nitric acid", "nitric acid 0.5 mol/L"),
    ("phosphoric acid", "phosphoric acid 0.5 mol/L"),
    ("citric acid", "citric acid 5 %"),
)
_DISSOLVED = (("nothing, plain water", "none"), ("the recipe for leafy salad", "leafy"))
_NET = (("more nitrate than cations", "nitrate"), ("more ammonium than anions", "ammonium"))
_TWO_ACIDS = ("nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L")


@cache
def _tap() -> mixing.Water:
    return mixing.demo_water("quillgate-tap")


def _water(plan: Plan | None) -> Mapping[str, object]:
    return {"water": _tap() if plan is None else plan.water}


def _alkalinity(plan: Plan | None) -> Number:
    own = plan.water.alkalinity if plan else None
    return _ALKALINITY if own is None else _ALKALINITY.starting(own)


def _target(plan: Plan | None) -> Number:
    return _TARGET if plan is None else _TARGET.starting(plan.target_ph)


class _Same:
    """A water as a key of a cache: the same object is the same water."""

    def __init__(self, water: mixing.Water):
        self.water = water

    def __hash__(self) -> int:
        return id(self.water)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.water is self.water


@lru_cache(maxsize=64)
def _with_alkalinity(same: _Same, alkalinity: float) -> mixing.Water:
    """A water as if it had this alkalinity, mg/L as CaCO3."""
    return replace(same.water, alkalinity=Q(alkalinity, "mg/L"))


@lru_cache(maxsize=64)
def _dose_for_a_litre(
    same: _Same, alkalinity: float, target: float, acid: products.Acid | str
) -> ph.BothDoses:
    litre = mixing.Solution(Q(1, "L"), {}, water=_with_alkalinity(same, alkalinity))
    return ph.doses_now_and_to_hold(litre, target, acid)


def _own_acid(plan: Plan) -> products.Acid | str:
    """The acid of a plan: its name among those of the workbook, else the bottle on the shelf."""
    return plan.acid if plan.acid in products.acid_names() else plan.acid_at_hand


def _dose_controls(plan: Plan | None) -> list[Number | Pick]:
    acid = Pick("acid", "Acid", "nitric acid 0.5 mol/L", _BOTTLES)
    return [
        _VOLUME.starting(plan.outlook.volume, rounded=True) if plan else _VOLUME,
        _alkalinity(plan),
        _target(plan),
        acid.starting(_own_acid(plan), plan.acid) if plan else acid,
    ]


def _dose(
    volume: Quantity, alkalinity: Quantity, target: float, acid: products.Acid | str, water: mixing.Water
) -> ph.BothDoses:
    return _dose_for_a_litre(_Same(water), alkalinity.m_as("mg/L"), target, acid).for_volume(volume)


def _dose_key(doses: ph.BothDoses, system: str) -> str:
    return f"{millilitres(doses.now)} now, {millilitres(doses.to_hold)} to hold it"


dose_panel = Exploration("Acid for a tank", _dose_controls, _dose, DoseBars, _dose_key, given=_water)
"""The acid for a tank of plain water, now and to hold the pH, beside the trade's rule."""


@cache
def _salts(recipe: str) -> Mapping[str, Quantity]:
    """What the salts of a recipe add to pure water."""
    if recipe == "none":
        return {}
    targets = mixing.recipe_targets(recipe)
    return mixing.weigh_out(targets, products.usual_salts(), Q(1, "L"), mixing.Water.pure()).solution.added


@lru_cache(maxsize=64)
def _curve(same: _Same, alkalinity: float, recipe: str, acid: str) -> ph.TitrationCurve:
    solution = mixing.Solution(Q(1, "L"), _salts(recipe), water=_with_alkalinity(same, alkalinity))
    return ph.titration_curve(solution, acid, Q(7, "mmol/L"))


def _titration_controls(plan: Plan | None) -> list[Number | Pick]:
    return [
        _alkalinity(plan),
        Pick("recipe", "Dissolved in it", "none", _DISSOLVED),
        Pick("acid", "Acid", _KINDS[0][1], _KINDS),
        Number("amount", "Acid in each litre", 2.0, Scale("mmol/L", 0, 7, 0.1)),
    ]


def _titration(
    alkalinity: Quantity, recipe: str, acid: str, amount: Quantity, water: mixing.Water
) -> ph.TitrationPoint:
    return _curve(_Same(water), alkalinity.m_as("mg/L"), recipe, acid).at(amount)


def _titration_key(point: ph.TitrationPoint, system: str) -> str:
    return f"pH {point.ph:.1f}"


titration_panel = Exploration(
    "Acid drop by drop", _titration_controls, _titration, TitrationPicture, _titration_key, given=_water
)
"""pH against acid: flat, then a cliff."""

_Week = tuple[ph.AfterDosing, Quantity]


@lru_cache(maxsize=64)
def _course(same: _Same, depth: float, alkalinity: float, target: float) -> ph.AfterDosing:
    water = _with_alkalinity(same, alkalinity)
    return ph.ph_after_dosing(water, target, _TWO_ACIDS, Q(14, "day"), Q(depth, "cm"))


def _week_controls(plan: Plan | None) -> list[Number | Pick]:
    return [
        _DEPTH.starting(plan.outlook.fill_level, rounded=True) if plan else _DEPTH,
        _alkalinity(plan),
        replace(_target(plan), label="pH just after the dose"),
        Number("day", "Time after the dose", 3, Scale("day", 0, 14, 0.5), place="view"),
    ]


def _week(depth: Quantity, alkalinity: Quantity, target: float, day: Quantity, water: mixing.Water) -> _Week:
    return _course(_Same(water), depth.m_as("cm"), alkalinity.m_as("mg/L"), target), day


def _week_key(result: _Week, system: str) -> str:
    after, day = result
    strong, phosphoric = (expected for expected, _, _ in after.on(day))
    return f"about pH {strong:.1f}; with phosphoric acid {phosphoric:.1f}"


def _show_week(figure: AfterDose, result: _Week) -> Picture:
    return figure.show(*result)


week_panel = Exploration(
    "The days after a dose", _week_controls, _week, AfterDose, _week_key, _show_week, given=_water
)
"""The days after a dose: carbon dioxide leaves, the pH climbs, less with phosphoric acid."""

_Drift = tuple[ph.Drift, str, Quantity]
_AMMONIUM = {"NH4+": Q(1, "mmol/L")}


@cache
def _without_phosphate() -> Mapping[str, Quantity]:
    added = mixing.recipe_solution("Hoagland 1").added
    return {ion: amount for ion, amount in added.items() if ion != "H2PO4-"}


@lru_cache(maxsize=64)
def _drift_courses(phosphorus: float, start: float) -> ph.Drift:
    made = mixing.Solution(Q(1, "L"), _without_phosphate(), water=_with_alkalinity(_Same(_tap()), 130))
    made = made.plus({**_AMMONIUM, "P": Q(phosphorus, "mg/L")})
    held = ph.acid_dose(made, start, "nitric acid 0.5 mol/L", "open").amount
    return ph.drift_by_uptake(made.plus({"NO3-": held, "H+": held}), _AMMONIUM["NH4+"])


def _drift(net: str, amount: Quantity, phosphorus: Quantity, start: float) -> _Drift:
    return _drift_courses(phosphorus.m_as("mg/L"), start), net, amount


def _drift_key(result: _Drift, system: str) -> str:
    drift, net, amount = result
    return f"pH {drift.start:.1f} becomes {drift.at(net, amount):.1f}"


def _show_drift(figure: DriftCurves, result: _Drift) -> Picture:
    return figure.show(*result)


drift_panel: Exploration[Plan, _Drift, DriftCurves] = Exploration(
    "What plants do to the pH",
    (
        Pick("net", "Plants take", "nitrate", _NET, place="plants"),
        Number("amount", "That much more", 0.5, Scale("mmol/L", 0, 1, 0.05), place="plants"),
        Number("phosphorus", "Phosphorus in the solution", 31, Scale("mg/L", 0, 62, 1)),
        replace(_TARGET, name="start", label="pH at first"),
    ),
    _drift,
    DriftCurves,
    _drift_key,
    _show_drift,
    alone="This panel follows one recipe in the tap water of Quillgate, and takes nothing from your plan.",
)
"""Plants that take more nitrate raise the pH, more ammonium lower it; phosphate softens both."""
