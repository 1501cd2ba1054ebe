"""A rule of the trade in two forms, stock solutions by the millilitre and salts by weight, and whether they agree."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import Solution, Water
from stilltank.units import Q, Quantity, takes

from .dissolving import mix

_SALTS = ("multi-nutrient fertiliser", "magnesium sulfate heptahydrate", "calcium nitrate fertiliser")
_GRADE = "multi-nutrient fertiliser, low nitrogen"


@dataclass(frozen=True, eq=False)
class TwoWays:
    """The same solution by both ways of the trade.

    Parameters
    ----------
    bottles : mapping of str to Quantity
        g of each salt that reach the volume through the stock solutions.
    weighed : mapping of str to Quantity
        g of each salt that the other way weighs for the volume.
    apart : mapping of str to Quantity
        How far the first is from the second, percent.
    volume : Quantity
        Of the finished solution.
    by_bottles : Solution
        The solution that the stock solutions make.
    by_weight : Solution
        The solution that the weighed salts make.

    Examples
    --------
    >>> f"{two_part_rule().apart['calcium nitrate fertiliser'].m_as('percent'):.2f} %"
    '-0.14 %'
    """

    bottles: Mapping[str, Quantity]
    weighed: Mapping[str, Quantity]
    apart: Mapping[str, Quantity]
    volume: Quantity
    by_bottles: Solution
    by_weight: Solution

    def __str__(self) -> str:
        lines = [
            f"  {name}: {self.bottles[name].m_as('g'):.2f} g by bottles, {self.weighed[name].m_as('g'):g} g weighed, "
            f"{self.apart[name].m_as('percent'):+.2f} %"
            for name in self.weighed
        ]
        return "\n".join([f"For {self.volume.m_as('gallon'):g} US gallons:", *lines])


@takes(water=Water)
def two_part_rule(water: Water | None = None) -> TwoWays:
    """Compare two forms of a common rule: 20 mL a US gallon of each of two stock solutions, or salts by weight.

    The sulfate and phosphate stock holds 1 lb of multi-nutrient fertiliser and 0.5 lb of magnesium sulfate in a US
    gallon, the calcium stock 1 lb of calcium nitrate. The other form weighs 36, 18 and 36 g for 15 US gallons.

    Parameters
    ----------
    water : Water, optional
        Pure water when left out.

    Returns
    -------
    TwoWays
        What each form weighs, and how far they are apart.

    Raises
    ------
    Unreadable
        The water is none.

    Notes
    -----
    Common practice of the trade, without source; its figures are in data/mixing.csv. Per US gallon of finished
    solution: poured on top of a full gallon, 40 mL make it 1.05 % weaker, and the ways are then 1.2 % apart. The
    multi-nutrient fertiliser is the invented low-nitrogen one.

    Examples
    --------
    >>> print(two_part_rule())
    For 15 US gallons:
      multi-nutrient fertiliser: 35.95 g by bottles, 36 g weighed, -0.14 %
      magnesium sulfate heptahydrate: 17.97 g by bottles, 18 g weighed, -0.14 %
      calcium nitrate fertiliser: 35.95 g by bottles, 36 g weighed, -0.14 %
    """
    number = tables.number
    volume = number("mixing", "trade, weighed", "volume", "L")
    dose = number("mixing", "trade, two bottles", "dose", "L/L") * volume
    bottles = {name: number("mixing", "trade, two bottles", name, "g/L") * dose for name in _SALTS}
    weighed = {name: number("mixing", "trade, weighed", name, "g") for name in _SALTS}

    def grams(plain: Mapping[str, float]) -> Mapping[str, Quantity]:
        return MappingProxyType({name: Q(value, "g") for name, value in plain.items()})

    def made(plain: Mapping[str, float]) -> Solution:
        named = {name if name != _SALTS[0] else _GRADE: Q(value, "g") for name, value in plain.items()}
        return mix(named, Q(volume, "L"), water)

    apart = {name: Q(100 * (bottles[name] / weighed[name] - 1), "percent") for name in _SALTS}
    return TwoWays(
        grams(bottles), grams(weighed), MappingProxyType(apart), Q(volume, "L"), made(bottles), made(weighed)
    )
