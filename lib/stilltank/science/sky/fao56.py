"""The coefficients of FAO-56 that several formulas share."""

from stilltank.tables import number
from stilltank.units import Unreadable


def fao56_value(item: str, prop: str, unit: str = "1") -> float:
    """A coefficient of data/evapotranspiration.csv as a plain number.

    Parameters
    ----------
    item, prop : str
        The item and its property in the table.
    unit : str, default "1"
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
    if not (isinstance(item, str) and isinstance(prop, str) and isinstance(unit, str)):
        raise Unreadable(
            "fao56_value needs the names of an item, of its property and of a unit, each as text."
        )
    return number("evapotranspiration", item, prop, unit)
