"""Seeds: how fast they come up by temperature. Never a measure of flowering."""

import numpy as np

from stilltank import tables
from stilltank.science import crops
from stilltank.science.crops import Crop
from stilltank.units import Problem, Q, Quantity, takes, within

from .degree_days import of_the_air


@takes(temperature="degC")
def germination_rate(crop: Crop | str, temperature: Quantity) -> Quantity:
    """Rate of germination as a share of that at the best temperature, from three cardinal temperatures.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    temperature : Quantity
        Of the seed compost; one value or an array.

    Returns
    -------
    Quantity
        0 to 1: nothing at the base, 1 at the optimum, nothing at the ceiling.

    Raises
    ------
    UnitNeeded
        ``temperature`` has no unit.
    OutOfRange
        A temperature that no air on earth has had.
    Problem
        The cardinal temperatures of the crop's seed are not known.

    Notes
    -----
    Straight lines between the three temperatures in data/crops.csv; for seed alone.

    References
    ----------
    BIRJAND, for green and purple basil.

    Examples
    --------
    >>> germination_rate("basil", Q([6.11, 20, 28.97], "degC")).magnitude.round(2).tolist()
    [0.0, 0.61, 1.0]
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
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    temperature : Quantity
        Of the seed compost; one value or an array.

    Returns
    -------
    Quantity
        In days; infinite at or below the base of emergence.

    Raises
    ------
    UnitNeeded
        ``temperature`` has no unit.
    OutOfRange
        A temperature that no air on earth has had.
    Problem
        No thermal time to emergence is known for the crop.

    Notes
    -----
    Wet enough throughout; the printed sum in data/crops.csv is of heat and water together, and drier compost takes
    longer.

    References
    ----------
    JOLY2013, for calendula.

    Examples
    --------
    >>> round(days_to_emergence("calendula", Q(20, "degC")).magnitude, 1)
    6.1
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


@takes(temperature="degC")
def germination_percentage(crop: Crop | str, temperature: Quantity) -> Quantity:
    """Share of the seeds that make a good seedling at a temperature.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    temperature : Quantity
        Of the seed compost; one value or an array.

    Returns
    -------
    Quantity
        In percent.

    Raises
    ------
    UnitNeeded
        ``temperature`` has no unit.
    OutOfRange
        A temperature colder or warmer than those at which the crop was tried.
    Problem
        The crop has no row in data/germination.csv.

    See Also
    --------
    days_to_emergence : How long they take.

    Notes
    -----
    Straight lines between the temperatures tried, 5 °C apart. Between 25 and 30 °C lettuce falls steeply; where in
    between was not tried. The seed was good and fresh, and today's kinds for heat do better.

    References
    ----------
    HARRINGTON1954, for lettuce, spinach, parsley and beet, which is the same species as chard.

    Examples
    --------
    >>> germination_percentage("lettuce", Q([20, 30], "degC")).magnitude.tolist()
    [99.0, 12.0]
    """
    crop = crops.crop(crop)
    table = tables.load("germination")
    if crop.name not in table.items_named:
        known = ", ".join(table.items_named)
        raise Problem(f"No germination by temperature is known for {crop.name}. It is known for: {known}.")
    steps = range(1, len(table.of(crop.name)) // 2 + 1)
    warmth, share = (
        [tables.number("germination", crop.name, f"{what} {step}", unit) for step in steps]
        for what, unit in (("temperature", "degC"), ("seedlings", "percent"))
    )
    celsius = of_the_air(temperature)
    within(
        celsius,
        warmth[0],
        warmth[-1],
        f"Seed of {crop.spoken} was tried from {{low}} to {{high}}; {{value}} is outside. Write one in between.",
        "degC",
    )
    return Q(np.interp(celsius, warmth, share)[()], "percent")
