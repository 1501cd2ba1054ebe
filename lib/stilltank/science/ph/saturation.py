"""What may fall out of a tank at a pH: lime, calcium phosphate, gypsum."""

from dataclasses import dataclass

import numpy as np

from stilltank.science.chemistry import (
    Solution,
    Water,
    gypsum_saturation_index,
    saturation_index,
    state_at_ph,
)
from stilltank.units import PlainNumber, Q, takes
from stilltank.units.types import Air, Plain

from ._state import AIR, carbon_dioxide_pressure, solution_or_water


@dataclass(frozen=True, eq=False)
class SaturationIndices:
    """Saturation indices, log10: above 0 a solid can fall out, below 0 it dissolves; -inf without its ions.

    Parameters
    ----------
    calcite : float or array
        Of lime, the white crust of kettles.
    brushite : float or array
        Of the calcium phosphate that forms first.
    gypsum : float or array
        Of calcium sulfate, whatever the pH.
    ph : float or array
        The pH for which they hold.

    See Also
    --------
    saturation_indices : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> hard = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(200, "mg/L"), ph=7.5, temperature=Q(20, "degC"))
    >>> found = saturation_indices(hard)
    >>> f"{found.calcite:.1f} {found.gypsum}"
    '0.3 -inf'
    """

    calcite: Plain
    brushite: Plain
    gypsum: Plain
    ph: Plain

    @property
    def warnings(self) -> tuple[str, ...]:
        """A sentence for each solid that can fall out, in any of the solutions; empty when all stays clear."""
        said = {
            "calcite": "Lime can fall out, on walls and roots, and the pH then ends lower than computed",
            "brushite": "Calcium phosphate can fall out, and phosphorus with it",
            "gypsum": "Gypsum can fall out, and calcium and sulfur with it",
        }
        found = []
        for solid, words in said.items():
            index = np.asarray(getattr(self, solid))
            over = index > 0
            if np.any(over):
                where = f" in {np.sum(over)} of {over.size} solutions" if over.ndim else ""
                found.append(f"{words}{where} (saturation index {np.max(index):+.1f}).")
        return tuple(found)

    def __str__(self) -> str:
        return " ".join(self.warnings) or "Nothing falls out."


@takes(ph=PlainNumber(7.0), air=AIR)
def saturation_indices(
    solution: Solution | Water, ph: Plain | None = None, air: Air = "closed"
) -> SaturationIndices:
    """Find how near a tank is to dropping lime, calcium phosphate or gypsum.

    Parameters
    ----------
    solution : Solution or Water
        At working concentration; one or several at once.
    ph : float or array, optional
        The pH, taken as reached with a base or acid that brings no nutrient; the pH the solution has when left out.
    air : {"closed", "open"}
        As it is, or once at rest with the air.

    Returns
    -------
    SaturationIndices
        With the shape of the solutions and pH values.

    Raises
    ------
    OutOfRange
        A pH outside 1 to 13, or a solution outside the limits of the equilibrium.
    Unreadable
        No solution, a pH that is not a number, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known, or arrays that do not fit.

    See Also
    --------
    stilltank.science.chemistry.saturation_index : One solid.

    Notes
    -----
    What can fall out need not: lime waits for a surface, often until an index of 1. Less soluble calcium phosphates
    are passed 0.1 to 0.6 pH below brushite, but form slowly. Nothing is taken out of the solution here.

    References
    ----------
    PlummerBusenberg1982, for calcite; the others as in data/pairs.csv.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> hard = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(200, "mg/L"), ph=7.5, temperature=Q(20, "degC"))
    >>> print(saturation_indices(hard, air="open").warnings[0][:17])
    Lime can fall out
    """
    state = solution_or_water(solution, "saturation_indices").state()
    found = state_at_ph(state, ph, carbon_dioxide_pressure(air))
    celsius = state["temperature"]
    gypsum = gypsum_saturation_index(solution.ions, Q(celsius, "degC"))
    return SaturationIndices(
        saturation_index(found, "calcite", celsius),
        saturation_index(found, "brushite", celsius),
        np.broadcast_to(gypsum, np.shape(found.ph))[()],
        found.ph,
    )
