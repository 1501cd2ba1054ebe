"""Weighing a recipe whose acid brings nutrients too: nitric acid nitrogen, phosphoric acid phosphorus."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from stilltank.science.chemistry import Water
from stilltank.science.mixing import Recipe, weigh_out
from stilltank.science.products import Acid, Salt, figures
from stilltank.tables import number
from stilltank.units import PlainNumber, Problem, Q, takes
from stilltank.units.types import Air, Quantity

from ._state import AIR, acid_named, one_ph
from .doses import Dose, acid_dose

_ANIONS = MappingProxyType({"N": "NO3-", "P": "H2PO4-", "S": "SO4-2", "Cl": "Cl-"})
_MOST_ROUNDS = 50  # each halves the change at least; five to eight are usual
_SETTLED = 1e-9  # of the dose


@dataclass(frozen=True, eq=False)
class RecipeWithAcid:
    """Masses and a dose that belong together.

    Parameters
    ----------
    recipe : stilltank.science.mixing.Recipe
        What to weigh; its solution holds the acid already.
    dose : Dose
        The acid.
    without : stilltank.science.mixing.Recipe
        The recipe that forgot what the acid adds.
    over : Mapping
        In percent, by how much the forgetful recipe, once dosed, is above each target the acid feeds.
    rounds : int
        How often it was weighed and dosed until both had settled.

    See Also
    --------
    recipe_with_acid : Makes one.

    Examples
    --------
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> wanted = {"N": Q(150, "mg/L"), "K": Q(200, "mg/L"), "Ca": Q(150, "mg/L")}
    >>> salts = ["Ca(NO3)2.4H2O", "KNO3", "K2SO4"]
    >>> found = recipe_with_acid(wanted, salts, Q(40, "L"), tap, "nitric acid 38 %", 5.8)
    >>> list(found.adds)
    ['N']
    """

    recipe: Recipe
    dose: Dose
    without: Recipe
    over: Mapping[str, Quantity]
    rounds: int

    @property
    def adds(self) -> Mapping[str, Quantity]:
        """In mg/L, each element the acid adds."""
        return self.dose.adds

    def __str__(self) -> str:
        lines = [str(self.recipe), "Then " + str(self.dose)]
        for element, share in self.over.items():
            lines.insert(
                1,
                f"The acid's {figures(self.adds[element].m_as('mg/L'))} mg/L {element} is counted in; forgotten, it "
                f"would make the {element} {share.m_as('percent'):.0f} % too much.",
            )
        return "\n".join(lines)


@takes(target=PlainNumber(5.8), air=AIR)
def recipe_with_acid(
    targets: Mapping[str, Quantity] | str,
    salts: Iterable[Salt | str],
    volume: Quantity,
    water: Water | None,
    acid: Acid | str,
    target: float,
    air: Air = "closed",
) -> RecipeWithAcid:
    """Weigh salts for a recipe and dose its acid, with what the acid adds taken off the targets.

    Weighed, dosed, and weighed again with the nitrogen, phosphorus or sulfur of the acid counted first, until neither
    changes.

    Parameters
    ----------
    targets : Mapping or str
        As for `stilltank.science.mixing.weigh_out`: element to mg/L, or the name of a recipe.
    salts : list of Salt or str
        As for `weigh_out`: the salts on the shelf.
    volume : Quantity
        Volume of the tank, one value.
    water : Water or None
        The water, with an alkalinity and a pH.
    acid : Acid or str
        The acid, or its name.
    target : float
        The pH wanted.
    air : {"closed", "open"}
        As for `acid_dose`.

    Returns
    -------
    RecipeWithAcid
        What to weigh, and the dose.

    Raises
    ------
    UnitNeeded
        Targets, salts or a volume that `weigh_out` cannot use.
    Unreadable
        An unknown recipe, salt or acid, a target that is not a number, or another word for ``air``.
    OutOfRange
        A volume or a concentration out of range, or a pH out of reach.
    Problem
        Several targets, a water whose alkalinity or pH is not known, or masses and dose that do not settle.

    See Also
    --------
    acid_dose : The dose alone.

    Notes
    -----
    Where the acid alone brings more than a target, that target is missed, and ``recipe.missed`` says so.

    Examples
    --------
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> wanted = {"N": Q(150, "mg/L"), "P": Q(31, "mg/L"), "K": Q(200, "mg/L"), "Ca": Q(150, "mg/L")}
    >>> salts = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "K2SO4"]
    >>> found = recipe_with_acid(wanted, salts, Q(40, "L"), tap, "nitric acid 38 %", 5.8)
    >>> round(found.recipe.reached["N"].m_as("mg/L")), round(found.over["N"].m_as("percent"))
    (150, 14)
    >>> round(found.recipe.masses["potassium nitrate"].m_as("g"), 1), found.rounds < 10
    (14.9, True)
    """
    bottle = acid_named(acid, "recipe_with_acid")
    wanted = one_ph(target, "target", "recipe_with_acid")
    salts = list(salts) if isinstance(salts, Iterator) else salts  # it is gone through more than once
    without = weigh_out(targets, salts, volume, water)
    recipe, dose = without, acid_dose(without.solution, wanted, bottle, air)
    over = _over(without, dose)
    if not bottle.element:
        return RecipeWithAcid(recipe, dose, without, over, 1)
    anion = _ANIONS[bottle.element]
    for rounds in range(2, _MOST_ROUNDS):
        before = dose.amount.m_as("mmol/L")
        recipe = weigh_out(targets, salts, volume, water, also={anion: dose.amount})
        made = recipe.solution
        bare = replace(made, added=_less(made.added, anion, dose.amount))
        dose = acid_dose(bare, wanted, bottle, air)
        if abs(dose.amount.m_as("mmol/L") - before) <= _SETTLED * before:
            return RecipeWithAcid(_told(recipe, dose), dose, without, over, rounds)
    raise Problem(
        "recipe_with_acid: masses and dose do not settle; each changes the other. Choose an acid that brings none of "
        "the nutrients that are short, such as citric acid to try it."
    )


def _told(recipe: Recipe, dose: Dose) -> Recipe:
    """The recipe, with the acid named where it alone brings more than is wanted."""
    missed = dict(recipe.missed)
    for element, brings in dose.adds.items():
        if element in missed and brings > recipe.targets[element]:
            missed[element] = (
                f"{element}: {figures(recipe.reached[element].m_as('mg/L'))} mg/L instead of "
                f"{figures(recipe.targets[element].m_as('mg/L'))}: {dose.acid.name} alone brings "
                f"{figures(brings.m_as('mg/L'))}. Use another acid for part of the dose, or rain water for part of "
                "the tank."
            )
    return replace(recipe, missed=MappingProxyType(missed))


def _less(added: Mapping[str, Quantity], anion: str, amount: Quantity) -> dict[str, Quantity]:
    """What the salts alone brought: never below nothing, where rounding leaves a trace."""
    rest = dict(added)
    plain = rest[anion].m_as("mmol/L") - amount.m_as("mmol/L")
    rest[anion] = Q(max(plain, 0.0), "mmol/L")
    return rest


def _over(recipe: Recipe, dose: Dose) -> Mapping[str, Quantity]:
    """How far each target the acid feeds is passed when nobody counted it."""
    worth = number("mixing", "weigh out", "miss worth a word", "percent")
    found = {}
    for element, brings in dose.adds.items():
        if element in recipe.targets:
            share = (
                100 * ((recipe.reached[element] + brings) / recipe.targets[element]).m_as("dimensionless")
                - 100
            )
            if share > worth:
                found[element] = Q(share, "percent")
    return MappingProxyType(found)
