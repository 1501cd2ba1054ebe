"""Acid, base and ion-pair equilibrium of water and nutrient solutions.

The model: pH is the negative logarithm of the activity of H+; activity coefficients by Davies; carbonate,
phosphate, sulfate, ammonium, borate and citrate with constants that follow temperature; the pairs of Ca and
Mg with hydroxide, carbonate, phosphate, sulfate and citrate. Pairs with K and Na are left out, and so are
solids: nothing precipitates here. Every constant stands in data/equilibrium.csv.

A state is a mapping of plain numbers or arrays, mol per kg of water. Its totals are Ca, Mg, K, Na, NH4, NO3,
SO4, Cl, P, B, DIC and citrate, whatever form they take. Its ``strong_charge`` (eq/kg) is the charge of all
ions that neither take nor give H+ between pH 1 and 13: strong cations (K, Na, Ca, Mg and the metals of the
trace elements) less strong anions (NO3, Cl, and SO4 at -2; HSO4- is the solver's business). It stands for
the whole charge: the totals of K, Na, NO3 and Cl count for the ionic strength only. A water brings its
alkalinity in place of its ion balance (``conservative_charge``), so a report that does not balance does
no harm. A salt or an acid adds the charge of its strong ions: KH2PO4 +1, NH4NO3 -1, H3PO4 0, H2SO4 -2.

Weak where: above an ionic strength of 0.1 mol/kg; above pH 10.5 with Ca and Mg, whose hydroxides and carbonates
fall out there; and with citrate, whose doses are within 5 percent.
"""

from .constants import debye_hueckel_slope, log_activity_coefficient, log_henry_constant, log_k
from .states import (
    Equilibrium,
    State,
    conservative_charge,
    dic_from_alkalinity,
    log_pco2_of_air,
    reagent_to_ph,
    solve,
    titration_alkalinity,
)

__all__ = [
    "Equilibrium",
    "State",
    "conservative_charge",
    "debye_hueckel_slope",
    "dic_from_alkalinity",
    "log_activity_coefficient",
    "log_henry_constant",
    "log_k",
    "log_pco2_of_air",
    "reagent_to_ph",
    "solve",
    "titration_alkalinity",
]
