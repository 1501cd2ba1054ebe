"""What a solution is: its composition, ions and pairs, equilibrium, conductivity, hardness."""

from .composition import element_share, from_label, molar_mass, normal_formula
from .conductivity import conductivity, conductivity_from_cations, limiting_conductivity
from .equilibrium.constants import (
    ZERO_CELSIUS,
    debye_hueckel_slope,
    log_activity_coefficient,
    log_henry_constant,
    log_k,
)
from .equilibrium.states import (
    Equilibrium,
    State,
    conservative_charge,
    dic_from_alkalinity,
    log_pco2_of_air,
    reagent_to_ph,
    solve,
    titration_alkalinity,
)
from .hardness import hardness_as_caco3, hardness_on_scale, hardness_scales, total_hardness
from .ion_pairs import (
    free_ions,
    gypsum_precipitated,
    gypsum_saturation_index,
    gypsum_solubility,
    strength_at_gypsum,
)
from .ions import (
    Concentrations,
    Dissolved,
    Ion,
    find_ion,
    ions,
    water_in_a_litre,
)
from .saturation_index import saturation_index, state_at_ph
from .solution import ChargeBalance, Solution, Water, caco3_equivalent_mass, litres, osmotic_pressure

__all__ = [
    "ZERO_CELSIUS",
    "ChargeBalance",
    "Concentrations",
    "Dissolved",
    "Equilibrium",
    "Ion",
    "Solution",
    "State",
    "Water",
    "caco3_equivalent_mass",
    "conductivity",
    "conductivity_from_cations",
    "conservative_charge",
    "debye_hueckel_slope",
    "dic_from_alkalinity",
    "element_share",
    "find_ion",
    "free_ions",
    "from_label",
    "gypsum_precipitated",
    "gypsum_saturation_index",
    "gypsum_solubility",
    "hardness_as_caco3",
    "hardness_on_scale",
    "hardness_scales",
    "ions",
    "limiting_conductivity",
    "litres",
    "log_activity_coefficient",
    "log_henry_constant",
    "log_k",
    "log_pco2_of_air",
    "molar_mass",
    "normal_formula",
    "osmotic_pressure",
    "reagent_to_ph",
    "saturation_index",
    "solve",
    "state_at_ph",
    "strength_at_gypsum",
    "titration_alkalinity",
    "total_hardness",
    "water_in_a_litre",
]
