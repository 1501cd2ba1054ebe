"""How good ranges are, once the truth is known."""

import numpy as np

from stilltank.units import OutOfRange, PlainNumber, takes
from stilltank.units.types import Array, PlainLike


@takes(low=PlainNumber(10), high=PlainNumber(14), truth=PlainNumber(12), share=PlainNumber(0.8))
def interval_score(low: PlainLike, high: PlainLike, truth: PlainLike, share: float = 0.8) -> Array:
    """Score ranges by their width and by how far the truth lies outside; less is better.

    Parameters
    ----------
    low, high : float or array
        Ends of the ranges, plain numbers of one unit.
    truth : float or array
        What came.
    share : float
        How often the ranges are to hold, between 0 and 1.

    Returns
    -------
    array
        The width, and 2/(1 - share) times the miss.

    Raises
    ------
    OutOfRange
        A share that is not between 0 and 1, or a low end above the high one.

    References
    ----------
    GNEITINGRAFTERY2007, the formula in secondary copies.

    Examples
    --------
    >>> interval_score(10.0, 14.0, [12.0, 15.0]).round(6).tolist()
    [4.0, 14.0]
    """
    if not 0 < share < 1:
        raise OutOfRange(f"A range holds a share between 0 and 1 of what comes; {share!r} is not one.")
    low, high, truth = (np.asarray(each, float) for each in (low, high, truth))
    if (low > high).any():
        raise OutOfRange("A range has its low end first. Exchange the two ends.")
    miss = np.maximum(low - truth, 0) + np.maximum(truth - high, 0)
    return high - low + 2 / (1 - share) * miss
