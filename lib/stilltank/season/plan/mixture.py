"""What goes into the water of a plan: how strong, what to weigh of the shelf, and the acid for it."""

from collections.abc import Mapping
from dataclasses import dataclass

from stilltank.science import mixing, ph, products
from stilltank.science.crops import Crop
from stilltank.units import Quantity
from stilltank.units.types import Air


@dataclass(frozen=True, eq=False)
class Mixture:
    """Salts and acid that belong together; made by ``mixture``.

    Parameters
    ----------
    strength : CropStrength
        How strong the recipe is mixed for the leading crop.
    recipe : Recipe
        What to weigh, in the steps of the balance where a shelf names one; less what the acid brings.
    by_shelf : ShelfRecipe or None
        What the shelf reaches, lacks and costs; None where the plan has no fertilisers of its own.
    doses : dict of str to Dose
        ``"closed"`` now, ``"open"`` once at rest with the air; empty when no acid is needed.
    """

    strength: mixing.CropStrength
    recipe: mixing.Recipe
    by_shelf: mixing.ShelfRecipe | None
    doses: dict[str, ph.Dose]


def mixture(
    targets: Mapping[str, Quantity],
    volume: Quantity,
    water: mixing.Water,
    crop: Crop,
    acid: products.Acid,
    target_ph: float,
    shelf: products.Shelf | None,
) -> Mixture:
    """Weigh and dose, so that what the acid brings need not be weighed."""
    own = shelf is not None and bool(shelf.fertilisers)
    salts = shelf.salts if shelf is not None and own else products.usual_salts()

    def doses(recipe: mixing.Recipe, airs: tuple[Air, ...] = ("closed", "open")) -> dict[str, ph.Dose]:
        return {
            air: ph.acid_dose(recipe.solution, target_ph, acid, air=air)
            for air in airs
            if ph.ph_of(recipe.solution, air=air) > target_ph
        }

    first = doses(mixing.weigh_out(targets, salts, volume, water), ("closed",)).get("closed")
    brought = {} if first is None else first.adds
    strength = mixing.crop_strength(targets, salts, volume, crop, water, brought)
    if shelf is None or not own:
        return Mixture(strength, strength.recipe, None, doses(strength.recipe))
    by_shelf = mixing.for_shelf(strength.targets, shelf, volume, water, brought)
    return Mixture(strength, by_shelf.weighed, by_shelf, doses(by_shelf.weighed))
