"""What the draws of several chapters take. Sizes of tubs are invented for the exercises."""

import pint

from stilltank.units import Q


def quantities(values: tuple[float, ...], unit: str) -> tuple[pint.Quantity, ...]:
    """Give each value of a draw its unit.

    Parameters
    ----------
    values : tuple of float
        The values that a number may take.
    unit : str
        Their unit.

    Returns
    -------
    tuple of quantity
        The values, each with the unit.

    Examples
    --------
    >>> [f"{tub:~P}" for tub in quantities((18, 24), "L")]
    ['18.0 L', '24.0 L']
    """
    return tuple(Q(value, unit) for value in values)


TUBS = quantities((18, 24, 30, 36, 45, 60), "L")
