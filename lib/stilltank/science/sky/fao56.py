"""The coefficients of FAO-56 that several formulas share."""

from stilltank.tables import number


def fao56_value(item: str, prop: str, unit: str = "1") -> float:
    """A coefficient of data/evapotranspiration.csv as a plain number.

    Parameters
    ----------
    item, prop : str
        The item and its property in the table.
    unit : str
        The unit in which the number is wanted.

    Returns
    -------
    float
        The plain number.

    Raises
    ------
    TableFault
        The table has no such entry.

    Examples
    --------
    >>> fao56_value("net radiation", "albedo")
    0.23
    """
    return number("evapotranspiration", item, prop, unit)
