"""How each stated value of the season plan chapter is computed, through the public functions."""

from stilltank.science import budget, tank
from stilltank.science.products import element_price
from stilltank.units import Q

TON = Q(2000, "lb")


def _price(price, percent):
    return element_price(price, TON, Q(percent, "percent"))


def _water(area, depth):
    """Water of this depth on a square of this area."""
    side = area**0.5
    return tank.Box(side, side, Q(1, "ft")).volume(depth)


def _best_lift():
    """Hands 25 cm out and 75 cm up, a short way, with handles: nothing is taken off the greatest load."""
    return tank.lifting_index(
        Q(20, "kg"), Q(25, "cm"), from_height=Q(75, "cm"), to_height=Q(100, "cm"), grip="good"
    ).limit


COMPUTED = {
    "B01a": lambda: _price(567, 46),
    "B01b": lambda: _price(996, 46),
    "B02a": lambda: _price(412, 46),
    "B02b": lambda: _price(370, 34),
    "B03": lambda: _water(Q(1, "ft^2"), Q(1, "inch")),
    "B04a": lambda: _water(Q(100, "ft^2"), Q(0.05, "inch")),
    "B04b": lambda: _water(Q(100, "ft^2"), Q(0.25, "inch")),
    "B05": lambda: budget.drip(2 * Q(0.48, "gallon/hour"), Q(1, "hour")).daily,
    "B06": _best_lift,
}
