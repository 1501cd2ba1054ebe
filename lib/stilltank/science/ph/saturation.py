"""What may fall out of a tank at a pH: lime, calcium phosphate, gypsum."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import gypsum_saturation_index, saturation_index, state_at_ph
from stilltank.units import Q, pure_number

from ._state import carbon_dioxide_pressure, state_of


@dataclass(frozen=True, eq=False)
class SaturationIndices:
    """Saturation indices, log10: above 0 a solid can fall out, below 0 it dissolves; -inf without its ions."""

    calcite: Any
    """Lime, the white crust of kettles."""
    brushite: Any
    """The calcium phosphate that forms first."""
    gypsum: Any
    """Calcium sulfate; whatever the pH."""
    ph: Any

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


def saturation_indices(solution: Any, ph: Any = None, air: str = "closed") -> SaturationIndices:
    """How near a tank is to dropping lime, calcium phosphate or gypsum.

    Parameters
    ----------
    solution : Solution or Water
        At working strength.
    ph : number or array, default the pH the solution has
        Taken as reached with a base or acid that brings no nutrient.
    air : "closed" or "open"
        As it stands, or once at rest with the air.

    Returns
    -------
    Solids

    Raises
    ------
    OutOfRange, Unreadable, Problem   as ``acid_dose``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> hard = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(200, "mg/L"), ph=7.5, temperature=Q(20, "degC"))
    >>> print(saturation_indices(hard, air="open").warnings[0][:17])
    Lime can fall out

    Limits: what can fall out need not: lime waits for a surface, often until an index of 1. Less soluble calcium
    phosphates are passed 0.1 to 0.6 pH below brushite, but form slowly. Nothing is taken out of the solution here.
    Source: activities of ``equilibrium``; calcite by Plummer and Busenberg (1982), the others of data/pairs.csv.
    """
    state = state_of(solution)
    if ph is not None:
        ph = pure_number(ph, 7.0, "ph", "saturation_indices")
    found = state_at_ph(state, ph, carbon_dioxide_pressure(air))
    celsius = state["temperature"]
    gypsum = gypsum_saturation_index(solution.ions, Q(celsius, "degC"))
    return SaturationIndices(
        saturation_index(found, "calcite", celsius),
        saturation_index(found, "brushite", celsius),
        np.broadcast_to(gypsum, np.shape(found.ph))[()],
        found.ph,
    )
