"""Seeds: how fast they come up by temperature. Never a measure of flowering."""

import numpy as np

from stilltank.science import crops
from stilltank.science.crops import Crop
from stilltank.units import Problem, Q, Quantity, takes

from .degree_days import of_the_air


@takes(temperature="degC")
def germination_rate(crop: Crop | str, temperature: Quantity) -> Quantity:
    """Rate of germination as a share of that at the best temperature, from three cardinal temperatures.

    Parameters
    ----------
    crop : Crop, or the name of one
    temperature : quantity, of the seed compost, one or an array

    Returns
    -------
    quantity, dimensionless, 0 to 1: nothing at the base, 1 at the optimum, nothing at the ceiling

    Raises
    ------
    UnitNeeded   ``temperature`` has no unit
    OutOfRange   a temperature that no air on earth has had
    Problem      the cardinal temperatures of the crop's seed are not known

    Example
    -------
    >>> germination_rate("basil", Q([6.11, 20, 28.97], "degC")).magnitude.round(2).tolist()
    [0.0, 0.61, 1.0]

    Limits: straight lines between the three; for seed alone.
    Source: data/crops.csv; green and purple basil from a study at the University of Birjand.
    """
    crop = crops.crop(crop)
    base, best, top = (getattr(crop, f"germination_{name}") for name in ("base", "optimum", "ceiling"))
    if base is None or best is None or top is None:
        raise Problem(
            f"The base, optimum and ceiling of germination are not known for {crop.name}. "
            "crop(name).germination_temperature says at what warmth to sow it, where that is known."
        )
    low, middle, high = (t.m_as("degC") for t in (base, best, top))
    return Q(np.interp(of_the_air(temperature), [low, middle, high], [0, 1, 0])[()], "dimensionless")


@takes(temperature="degC")
def days_to_emergence(crop: Crop | str, temperature: Quantity) -> Quantity:
    """Days from sowing in moist compost until the seedlings come up.

    Parameters
    ----------
    crop : Crop, or the name of one
    temperature : quantity, of the seed compost, one or an array

    Returns
    -------
    quantity, day; infinite at or below the base of emergence

    Raises
    ------
    UnitNeeded   ``temperature`` has no unit
    OutOfRange   a temperature that no air on earth has had
    Problem      no thermal time to emergence is known for the crop

    Example
    -------
    >>> round(days_to_emergence("calendula", Q(20, "degC")).magnitude, 1)
    6.1

    Limits: wet enough throughout; the printed sum is of heat and water together, and drier compost takes longer.
    Source: data/crops.csv; calendula from Joly et al. (2013).
    """
    crop = crops.crop(crop)
    if crop.emergence_time is None or crop.emergence_base is None:
        raise Problem(
            f"No thermal time to emergence is known for {crop.name}. crop(name).germination_days has what is "
            "known of its days."
        )
    gained = np.maximum(of_the_air(temperature) - crop.emergence_base.m_as("degC"), 0)
    with np.errstate(divide="ignore"):
        return Q((crop.emergence_time.m_as("delta_degC*day") / gained)[()], "day")
