"""What a nutrient costs: the price of a bag, shared out over the element that it holds."""

import numpy as np
import pint

from stilltank.units import OutOfRange, Problem, Q, Quantity, one_value, pure_number, takes, within


@takes()
def element_price(price: float, bag: Quantity, share: Quantity) -> pint.Quantity:
    """Find what a kilogram of an element costs in a bag.

    Parameters
    ----------
    price : float
        Of the whole bag, in any currency.
    bag : quantity, mass
        What the bag holds.
    share : quantity, percent
        How much of it is the element; a label that counts P2O5 or K2O gives the price of these.

    Returns
    -------
    quantity, 1/kg
        Price of a kilogram of the element, in the same currency.

    Raises
    ------
    UnitNeeded
        The bag or the share has no unit.
    OutOfRange
        A price below zero, a bag that holds nothing, or a share that cannot be.
    Unreadable
        The price is no plain number.
    Problem
        There are several prices.

    Notes
    -----
    All of the price is put on one element. For a bag that holds several, that is more than each of them costs.

    References
    ----------
    NMSUA133

    Examples
    --------
    >>> round(element_price(12.0, Q(5, "kg"), Q(15.5, "percent")).m_as("1/kg"), 2)
    15.48
    """
    cost = pure_number(price, 12.0, "price", "element_price")
    if np.ndim(cost):
        raise Problem(f"element_price takes one price; you gave {np.size(cost)}. Give price=12, for example.")
    within(cost, 0, 1e12, "element_price: a price is zero or more; {value:g} is not.")
    held = one_value(bag, "kg", "bag", "element_price")
    part = one_value(share, "percent", "share", "element_price")
    within(
        part, 0, 100, "element_price: a share of a bag is more than 0 and at most 100 %; {value:g} % is not."
    )
    if not (held > 0 and part > 0):
        raise OutOfRange(
            "element_price: this bag holds none of the element, so no price can be shared out over it. "
            'Give bag=Q(5, "kg") and share=Q(15, "percent"), for example.'
        )
    return Q(float(cost) / (held * part / 100), "1/kg")
