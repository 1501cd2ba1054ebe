"""What the draws of several chapters take. Sizes of tubs are invented for the exercises."""

import pint

from stilltank.units import Q


def quantities(values: tuple[float, ...], unit: str) -> tuple[pint.Quantity, ...]:
    """The values of a draw, each with the unit."""
    return tuple(Q(value, unit) for value in values)


TUBS = quantities((18, 24, 30, 36, 45, 60), "L")
