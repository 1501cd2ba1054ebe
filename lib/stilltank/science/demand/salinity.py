"""What salt in the root zone takes from the yield of a field."""

import numpy as np

from stilltank.units import OutOfRange, Quantity, takes


@takes(conductivity="mS/cm", threshold="mS/cm", slope="percent/(mS/cm)", returns="percent")
def salt_limited_yield(conductivity: Quantity, threshold: Quantity, slope: Quantity) -> Quantity:
    """Yield that salt leaves, in percent of the yield without it.

    Parameters
    ----------
    conductivity : Quantity
        Of the saturated soil extract; one value or an array.
    threshold : Quantity
        Up to which nothing is lost.
    slope : Quantity
        Loss above it, such as 12 percent for each mS/cm.

    Returns
    -------
    Quantity
        In percent; of the shape of ``conductivity``. 100 up to the threshold, and 0 where the line has come down to it.

    Raises
    ------
    UnitNeeded
        A value without its unit.
    OutOfRange
        A value below 0.

    Notes
    -----
    The tables behind it are for the extract of a saturated soil. The meter in a tank shows something else, and nobody
    has drawn this line for still tanks: use it to see how steep such a loss is, not to set a limit.

    References
    ----------
    FAO56, equation 89, and Table 23, pages 178 to 180.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(salt_limited_yield(Q(2.5, "mS/cm"), Q(1.3, "mS/cm"), Q(12, "percent/(mS/cm)")).magnitude, 1)
    85.6
    """
    for name, given in (("conductivity", conductivity), ("threshold", threshold), ("slope", slope)):
        if np.any(np.asarray(given) < 0):
            raise OutOfRange(f"salt_limited_yield: the {name} is below 0. Write 0 or more.")
    lost = np.maximum(np.asarray(conductivity) - threshold, 0) * slope
    return np.maximum(100 - lost, 0)[()]
