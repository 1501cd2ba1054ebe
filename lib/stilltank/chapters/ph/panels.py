"""The panels of chapter 2: a dose and the trade's rule, the titration curve, the week after dosing, and plants."""

from dataclasses import replace
from functools import cache, lru_cache
from typing import Any

from stilltank.science import mixing, ph, products
from stilltank.show.panels import ExplorePanel, Number, PartDrawn, Pick, Scale, explore
from stilltank.units import Q

from .figures import AfterDose, DoseBars, DriftCurves, TitrationPicture, millilitres

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


@cache
def _tap() -> mixing.Water:
    return mixing.demo_water("quillgate-tap")


@lru_cache(maxsize=64)
def _water(alkalinity: float) -> mixing.Water:
    """Quillgate's tap water as if it had this alkalinity, mg/L as CaCO3."""
    return replace(_tap(), alkalinity=Q(alkalinity, "mg/L"))


def dose_panel() -> ExplorePanel:
    """The acid for a tank, now and to hold the pH, beside the trade's rule."""

    @lru_cache(maxsize=64)
    def for_a_litre(alkalinity: float, target: float, acid: str) -> ph.BothDoses:
        return ph.doses_now_and_to_hold(
            mixing.Solution(Q(1, "L"), {}, water=_water(alkalinity)), target, acid
        )

    def calculate(volume: Any, alkalinity: Any, target: float, acid: str) -> ph.BothDoses:
        return for_a_litre(alkalinity.m_as("mg/L"), target, acid).for_volume(volume)

    def key(doses: ph.BothDoses, system: str) -> str:
        return f"{millilitres(doses.now)} now, {millilitres(doses.to_hold)} to hold it"

    return explore(
        "Acid for a tank",
        [
            Number(
                "volume",
                "Water in the tank",
                36.0,
                Scale("L", 5, 200, 1),
                Scale("gallon", 1, 53, 0.5),
                "tank",
            ),
            _ALKALINITY,
            _TARGET,
            Pick("acid", "Acid", "nitric acid 0.5 mol/L", _BOTTLES),
        ],
        calculate,
        DoseBars,
        key,
    )


def titration_panel() -> ExplorePanel:
    """pH against acid: flat, then a cliff."""
    leafy = mixing.weigh_out(
        mixing.recipe_targets("leafy"), products.usual_salts(), Q(1, "L"), mixing.Water.pure()
    )
    salts = {"none": {}, "leafy": leafy.solution.added}

    @lru_cache(maxsize=64)
    def curve(alkalinity: float, recipe: str, acid: str) -> ph.TitrationCurve:
        solution = mixing.Solution(Q(1, "L"), salts[recipe], water=_water(alkalinity))
        return ph.titration_curve(solution, acid, Q(7, "mmol/L"))

    def calculate(alkalinity: Any, recipe: str, acid: str, amount: float) -> ph.TitrationPoint:
        return curve(alkalinity.m_as("mg/L"), recipe, acid).at(amount)

    return explore(
        "Acid drop by drop",
        [
            _ALKALINITY,
            Pick(
                "recipe",
                "Dissolved in it",
                "none",
                [("nothing, plain water", "none"), ("the recipe for leafy salad", "leafy")],
            ),
            Pick("acid", "Acid", _KINDS[0][1], _KINDS),
            Number("amount", "Acid in each litre", 2.0, Scale("mmol/L", 0, 7, 0.1)),
        ],
        calculate,
        TitrationPicture,
        lambda point, system: f"pH {point.ph:.1f}",
    )


def week_panel() -> ExplorePanel:
    """The days after a dose: carbon dioxide leaves, the pH climbs, less with phosphoric acid."""
    acids = ("nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L")

    @lru_cache(maxsize=64)
    def course(depth: float, alkalinity: float, target: float) -> ph.AfterDosing:
        return ph.ph_after_dosing(_water(alkalinity), target, acids, Q(14, "day"), Q(depth, "cm"))

    def calculate(depth: Any, alkalinity: Any, target: float, day: Any) -> tuple[ph.AfterDosing, Any]:
        return course(depth.m_as("cm"), alkalinity.m_as("mg/L"), target), day

    def key(result: tuple[ph.AfterDosing, Any], system: str) -> str:
        after, day = result
        strong, phosphoric = (expected for expected, _, _ in after.on(day))
        return f"about pH {strong:.1f}; with phosphoric acid {phosphoric:.1f}"

    return explore(
        "The days after a dose",
        [
            Number(
                "depth", "Depth of the solution", 20, Scale("cm", 5, 60, 1), Scale("inch", 2, 24, 0.5), "tank"
            ),
            _ALKALINITY,
            replace(_TARGET, label="pH just after the dose"),
            Number("day", "Time after the dose", 3, Scale("day", 0, 14, 0.5), place="view"),
        ],
        calculate,
        lambda system, large: PartDrawn(
            AfterDose(system, large), lambda drawing, result: drawing.show(*result)
        ),
        key,
    )


def drift_panel() -> ExplorePanel:
    """Plants that take more nitrate raise the pH, more ammonium lower it; phosphate softens both."""
    recipe = mixing.recipe_solution("Hoagland 1").added
    ammonium = {"NH4+": Q(1, "mmol/L")}

    @lru_cache(maxsize=64)
    def courses(phosphorus: float, start: float) -> ph.Drift:
        salts = {ion: amount for ion, amount in recipe.items() if ion != "H2PO4-"}
        made = mixing.Solution(Q(1, "L"), salts, water=_water(130))
        made = made.plus({**ammonium, "P": Q(phosphorus, "mg/L")})
        held = ph.acid_dose(made, start, "nitric acid 0.5 mol/L", "open").amount
        return ph.drift_by_uptake(made.plus({"NO3-": held, "H+": held}), ammonium["NH4+"])

    def calculate(net: str, amount: Any, phosphorus: Any, start: float) -> tuple[ph.Drift, str, Any]:
        return courses(phosphorus.m_as("mg/L"), start), net, amount

    def key(result: tuple[ph.Drift, str, Any], system: str) -> str:
        drift, net, amount = result
        return f"pH {drift.start:.1f} becomes {drift.at(net, amount):.1f}"

    return explore(
        "What plants do to the pH",
        [
            Pick(
                "net",
                "Plants take",
                "nitrate",
                [("more nitrate than cations", "nitrate"), ("more ammonium than anions", "ammonium")],
                place="plants",
            ),
            Number("amount", "That much more", 0.5, Scale("mmol/L", 0, 1, 0.05), place="plants"),
            Number("phosphorus", "Phosphorus in the solution", 31, Scale("mg/L", 0, 62, 1)),
            replace(_TARGET, name="start", label="pH at first"),
        ],
        calculate,
        lambda system, large: PartDrawn(
            DriftCurves(system, large), lambda drawing, result: drawing.show(*result)
        ),
        key,
    )
