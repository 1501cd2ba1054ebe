"""One visit to a tank, as a log tells it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time

from stilltank.units import Quantity


@dataclass(frozen=True, kw_only=True)
class Visit:
    """One row of a log that was read; a value that was not written, or waits for an answer, is None.

    Parameters
    ----------
    row : int
        Its row in the file, the heading being row 1; 0 for one that is in no file yet.
    day : date, optional
        The day; None where it waits for an answer.
    at : time, optional
        The time of day.
    tank, observer : str
        Codes; empty when not written.
    level, volume, weight : quantity, optional
        Of the solution before adding: its depth, its litres; what was lifted.
    weighed_with : str, optional
        What was on the scale: one of ``columns.WEIGHED_WITH``.
    tilt, wet_length : quantity, optional
        Angle, and how far the floor is wet.
    between : tuple of two quantities, optional
        Ends of a rough reading in litres: a lift by hand, words such as "half".
    doubt : quantity, optional
        One standard deviation of the level or the litres.
    ph, conductivity : tuple of two floats, tuple of two quantities, optional
        Ends; the same twice for a meter.
    water_temperature : quantity, optional
        Of the solution.
    rain : quantity, optional
        In the gauge since the last visit; zero is a reading, None is not known.
    added_water, added_mix : quantity, optional
        Poured in after reading.
    mix_strength : float
        Share of the recipe's full strength, 1 for full.
    added_unknown : bool
        Whether something was poured in that nobody measured.
    added_to : quantity, optional
        The level up to which was filled.
    plants, stems_cut, heads_cut : int, optional
        How many plants stand now; what was cut.
    events : tuple of str
        Of ``columns.EVENTS``.
    method : str
        Of ``columns.METHODS``; empty when not written.
    note : str
        As written, never read as numbers.
    status : str
        "" counts; "struck" and "corrected" do not.
    cells : mapping of str to str
        The row as written, by heading.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> Visit(row=2, day=date(2027, 6, 1), level=Q(21.5, "cm")).counts
    True
    """

    row: int = 0
    day: date | None = None
    at: time | None = None
    tank: str = ""
    observer: str = ""
    level: Quantity | None = None
    volume: Quantity | None = None
    weight: Quantity | None = None
    weighed_with: str = ""
    tilt: Quantity | None = None
    wet_length: Quantity | None = None
    between: tuple[Quantity, Quantity] | None = None
    doubt: Quantity | None = None
    ph: tuple[float, float] | None = None
    conductivity: tuple[Quantity, Quantity] | None = None
    water_temperature: Quantity | None = None
    rain: Quantity | None = None
    added_water: Quantity | None = None
    added_mix: Quantity | None = None
    mix_strength: float = 1.0
    added_unknown: bool = False
    added_to: Quantity | None = None
    plants: int | None = None
    stems_cut: int | None = None
    heads_cut: int | None = None
    events: tuple[str, ...] = ()
    method: str = ""
    note: str = ""
    status: str = ""
    cells: Mapping[str, str] = field(default_factory=dict, hash=False, compare=False)

    @property
    def counts(self) -> bool:
        """Whether it is neither struck nor an older version of a corrected row."""
        return not self.status
