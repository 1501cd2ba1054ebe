"""Stated checks: values from outside the workbook, computed again beside the lesson that uses them."""

import math
from dataclasses import dataclass, field
from functools import cache

import pint

from stilltank.tables import DATA, KINDS, TableFault, read_rows, sources
from stilltank.units import Problem, Quantity, ureg

from .arguments import briefly

COLUMNS = ("id", "chapter", "quantity", "stated", "unit", "tolerance", "kind", "source", "where", "note")
HEADINGS = ("", "quantity", "stated", "computed", "within", "unit", "source")


class CheckFailed(AssertionError):
    """A computed value is further from the stated one than the tolerance allows.

    Examples
    --------
    >>> isinstance(CheckFailed("off: M-UN01"), AssertionError)
    True
    """


@dataclass(frozen=True, slots=True)
class Stated:
    """One row of data/checks.csv: a value that someone else states, and how close ours must come.

    Parameters
    ----------
    id : str
        The name of the row, such as ``"M-UN01"``.
    chapter : str
        The number of the chapter that uses it.
    quantity : str
        What is stated, in words.
    stated : float
        The value, in ``unit``.
    unit : str
        The unit of the value; ``"1"`` for a plain number.
    tolerance : float
        How far a calculated value may be from the stated one, in ``unit``.
    kind : str
        What the value rests on, one of ``tables.KINDS``.
    source : tuple of str
        Keys of data/sources.csv.
    where : str
        The page, table or equation in the source.
    note : str
        What else there is to know.

    Examples
    --------
    >>> row = rows()["M-UN01"]
    >>> row.unit, row.stated > row.tolerance
    ('L', True)
    """

    id: str
    chapter: str
    quantity: str
    stated: float
    unit: str
    tolerance: float
    kind: str
    source: tuple[str, ...]
    where: str
    note: str


@dataclass(frozen=True, slots=True)
class Comparison:
    """A stated value beside the calculated one.

    Parameters
    ----------
    stated : Stated
        The row with the stated value.
    computed : float
        The calculated value, in the unit of the row.

    Examples
    --------
    >>> Comparison(rows()["M-UN01"], 4.0).good  # a US gallon is 3.785 L
    False
    """

    stated: Stated
    computed: float

    @property
    def good(self) -> bool:
        """True if the computed value is a number within the tolerance."""
        return (
            math.isfinite(self.computed) and abs(self.computed - self.stated.stated) <= self.stated.tolerance
        )


@cache
def rows() -> dict[str, Stated]:
    """Read all stated values.

    Returns
    -------
    dict of str to Stated
        The rows of data/checks.csv, by id.

    Raises
    ------
    TableFault
        A row breaks the rules. The sentence names the line.

    Examples
    --------
    >>> rows()["M-UN01"].unit
    'L'
    """
    found: dict[str, Stated] = {}
    for line, row in read_rows(DATA / "checks.csv", COLUMNS):
        place = f"checks.csv, line {line}"
        keys = tuple(key.strip() for key in row["source"].split(";") if key.strip())
        if row["id"] in found:
            raise TableFault(f"{place}: the id {row['id']} stands twice.")
        if row["kind"] not in KINDS:
            raise TableFault(f"{place}: kind {row['kind']!r} is not one of {', '.join(KINDS)}.")
        if unknown := [key for key in keys if key not in sources()]:
            raise TableFault(f"{place}: {', '.join(unknown)} is not in sources.csv.")
        if not keys and row["kind"] in ("published", "computed", "from memory"):
            raise TableFault(f"{place}: a {row['kind']} value needs a source.")
        try:
            stated, tolerance = float(row["stated"]), float(row["tolerance"])
            ureg.Unit("dimensionless" if row["unit"] == "1" else row["unit"])
        except Exception as error:
            raise TableFault(f"{place}: stated, tolerance or unit cannot be read ({error}).") from error
        if not (math.isfinite(stated) and tolerance > 0):
            raise TableFault(f"{place}: stated must be a number and the tolerance above zero.")
        found[row["id"]] = Stated(
            row["id"],
            row["chapter"],
            row["quantity"],
            stated,
            row["unit"],
            tolerance,
            row["kind"],
            keys,
            row["where"],
            row["note"],
        )
    return found


def compare(id: str, computed: pint.Quantity | float) -> Comparison:
    """Compare a computed value with the stated one.

    Parameters
    ----------
    id : str
        The row of data/checks.csv.
    computed : quantity or float
        The computed value; a plain number where the unit of the row is 1.

    Returns
    -------
    Comparison
        Both values, and whether they agree within the tolerance.

    Raises
    ------
    Problem
        No such row, or the computed value has no unit, the wrong one, or is not one number.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> compare("M-UN01", Q(1, "gallon")).good
    True
    """
    if not isinstance(id, str) or id not in rows():
        raise Problem(f"data/checks.csv has no row {briefly(id)}.")
    stated = rows()[id]
    if isinstance(computed, Quantity):
        try:
            value = computed.m_as("dimensionless" if stated.unit == "1" else stated.unit)
        except Exception as error:
            raise Problem(
                f"Check {id} is stated in {stated.unit}; the computed value is {computed:~P}."
            ) from error
    elif stated.unit != "1":
        raise Problem(
            f"Check {id} is stated in {stated.unit}; the computed value {briefly(computed)} has no unit."
        )
    else:
        value = computed
    try:
        return Comparison(stated, float(value))
    except (TypeError, ValueError, OverflowError) as error:
        raise Problem(f"Check {id} needs one number and got {briefly(computed)}.") from error


def _cells(item: Comparison) -> tuple[str, ...]:
    row = item.stated
    # The digits of half the tolerance: enough to see how close, while differences between versions do not show.
    digits = max(0, -math.floor(math.log10(row.tolerance / 2)))
    return (
        "ok" if item.good else "OFF",
        row.quantity,
        f"{row.stated:.{digits}f}",
        f"{item.computed:.{digits}f}",
        f"{row.tolerance:.3g}",
        "" if row.unit == "1" else row.unit,
        row.source[0] if row.source else row.kind,
    )


@dataclass
class Checks:
    """The stated checks of one cell: call it once a check, then report.

    Parameters
    ----------
    comparisons : list of Comparison, optional
        What was compared so far; none at the start.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> check = Checks()
    >>> check("M-UN01", Q(1, "gallon"))
    >>> len(check.comparisons)
    1
    """

    comparisons: list[Comparison] = field(default_factory=list)

    def __call__(self, id: str, computed: pint.Quantity | float) -> None:
        """Compare one computed value with a row of data/checks.csv, and keep the comparison.

        Parameters
        ----------
        id : str
            The row, such as ``"M-UN01"``.
        computed : quantity or float
            The computed value; a plain number where the unit of the row is 1.

        Raises
        ------
        Problem
            There is no such row, or the value has no unit, the wrong one, or is not one number.
        """
        self.comparisons.append(compare(id, computed))

    def __str__(self) -> str:
        lines = [HEADINGS, *(_cells(item) for item in self.comparisons)]
        widths = [max(len(line[column]) for line in lines) for column in range(len(HEADINGS))]
        rows = ["  ".join(map(str.ljust, line, widths)).rstrip() for line in lines]
        kinds = {
            f"{key} ({item.stated.kind})": None for item in self.comparisons for key in item.stated.source
        }
        return "\n".join([*rows, f"Sources: {', '.join(kinds)}."] if kinds else rows)

    def report(self) -> None:
        """Print one line for each check.

        Raises
        ------
        CheckFailed
            A computed value is off, or nothing was checked.

        Examples
        --------
        >>> Checks().report()
        Traceback (most recent call last):
            ...
        stilltank.learning.checks.CheckFailed: nothing was checked
        """
        print(self)
        off = [item.stated.id for item in self.comparisons if not item.good]
        if off or not self.comparisons:
            raise CheckFailed(f"off: {', '.join(off)}" if off else "nothing was checked")
