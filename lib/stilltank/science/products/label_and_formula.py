"""Products beside the table of salts: two analyses of one salt, acids as nutrient sources, chelates by iron share."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from stilltank.science.chemistry import ions
from stilltank.units import Q

from .salts import Salt, salt


@dataclass(frozen=True, slots=True)
class LabelDifference:
    """Two shares of one nutrient, percent of the mass, and how far the first is above the second, percent."""

    first: Any
    second: Any
    relative: Any


def label_and_formula(
    label: "Salt | str" = "calcium nitrate fertiliser", formula: "Salt | str" = "calcium nitrate double salt"
) -> Mapping[str, LabelDifference]:
    """Compare two analyses of a salt, such as the label of calcium nitrate with its formula.

    Parameters
    ----------
    label, formula : salt
        By default calcium nitrate 15.5-0-0 as labelled, and as 5Ca(NO3)2·NH4NO3·10H2O makes it.

    Returns
    -------
    mapping of nutrient to Difference
        Each element that either holds, and both forms of nitrogen.

    Raises
    ------
    Unreadable   no such salt

    Example
    -------
    >>> calcium = label_and_formula()["Ca"]
    >>> [f"{value.m_as('percent'):.2f}" for value in (calcium.first, calcium.second, calcium.relative)]
    ['19.00', '18.54', '2.46']

    Limits: neither is the analysis of the bag in hand; reckon with its own label.
    """
    one, other = salt(label), salt(formula)
    keys = (*one.release, *other.release)
    names = [ions()[key].element for key in keys] + [
        "NO3-N" if key == "NO3-" else "NH4-N" for key in keys if key in ("NO3-", "NH4+")
    ]
    found = {}
    for name in filter(None, dict.fromkeys(names)):
        first, second = one.share(name), other.share(name)
        apart = float((first / second).m_as("dimensionless")) - 1 if second.magnitude else float("inf")
        found[name] = LabelDifference(first, second, Q(100 * apart, "percent"))
    return MappingProxyType(found)
