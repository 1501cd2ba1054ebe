"""Two analyses of one salt beside each other: its label, and its formula."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from stilltank.science.chemistry import ions
from stilltank.units import Q, Quantity

from .salts import Salt, salt


@dataclass(frozen=True, slots=True)
class LabelDifference:
    """Two shares of one nutrient, and how far apart they are.

    Parameters
    ----------
    first, second : Quantity
        Percent of the mass.
    relative : Quantity
        How far the first is above the second, percent of the second.

    Examples
    --------
    >>> f"{label_and_formula()['N'].relative.m_as('percent'):.1f} %"
    '-0.3 %'
    """

    first: Quantity
    second: Quantity
    relative: Quantity


def label_and_formula(
    label: "Salt | str" = "calcium nitrate fertiliser", formula: "Salt | str" = "calcium nitrate double salt"
) -> Mapping[str, LabelDifference]:
    """Compare two analyses of a salt, such as the label of calcium nitrate with its formula.

    Parameters
    ----------
    label, formula : str or Salt, optional
        By default calcium nitrate 15.5-0-0 as labelled, and as 5Ca(NO3)2·NH4NO3·10H2O makes it.

    Returns
    -------
    mapping of str to LabelDifference
        By nutrient: each element that either holds, and both forms of nitrogen.

    Raises
    ------
    Unreadable
        There is no such salt.

    Notes
    -----
    Neither is the analysis of the bag in hand; calculate with its own label.

    Examples
    --------
    >>> calcium = label_and_formula()["Ca"]
    >>> [f"{value.m_as('percent'):.2f}" for value in (calcium.first, calcium.second, calcium.relative)]
    ['19.00', '18.54', '2.46']
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
