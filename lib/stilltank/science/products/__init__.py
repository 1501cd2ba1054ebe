"""What stands on a shelf: salts, acids, bases, chelates, and what their labels say."""

from .acid_density import bottle_density, strength_by_density
from .acids import Acid, acid, acid_as_nutrient_source, acid_names
from .bases import Base, base, base_names
from .chelates import chelated_iron
from .label_and_formula import LabelDifference, label_and_formula
from .label_text import read_label
from .prices import element_price
from .reagents import Reagent, caution_for, dilution_hazard, figures, known, learners_limit, substances
from .salts import STOCK_NAMES, Salt, ions_of_nutrient, salt, salts, soluble_mass, usual_salts
from .shelf import NITROGEN, NITROGEN_NAMES, PH_TESTS, Product, Shelf, Stocked

__all__ = [
    "NITROGEN",
    "NITROGEN_NAMES",
    "PH_TESTS",
    "STOCK_NAMES",
    "Acid",
    "Base",
    "LabelDifference",
    "Product",
    "Reagent",
    "Salt",
    "Shelf",
    "Stocked",
    "acid",
    "acid_as_nutrient_source",
    "acid_names",
    "base",
    "base_names",
    "bottle_density",
    "caution_for",
    "chelated_iron",
    "dilution_hazard",
    "element_price",
    "figures",
    "ions_of_nutrient",
    "known",
    "label_and_formula",
    "learners_limit",
    "read_label",
    "salt",
    "salts",
    "soluble_mass",
    "strength_by_density",
    "substances",
    "usual_salts",
]
