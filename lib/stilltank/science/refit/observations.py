"""What a visit told about a tank, and what was believed before."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Quantity, one_value


@dataclass(frozen=True, kw_only=True)
class Observation:
    """What one visit told about a tank; a reading belongs to the morning of its day, before anything is added.

    Parameters
    ----------
    day : date
        The day.
    level : quantity, length, optional
        Depth of the solution.
    volume : quantity, volume, optional
        Litres, in place of a level.
    doubt : quantity, optional
        One standard deviation of the level or the volume, in a unit of its kind.
    between : tuple of two quantities, volume, optional
        Ends of a rough reading, where neither is known.
    stick : bool
        Whether the stick may read too high or too low all the time; False for a scale, a tilt or a lift.
    rain : quantity, length, optional
        In the gauge since the observation before; None where nobody knows.
    poured : quantity, volume, optional
        Added after reading.
    poured_to : quantity, length, optional
        The level up to which was filled after reading.
    poured_unknown : bool
        Whether something was added that nobody measured.
    stems_cut, plants : int, optional
        Stems cut on this visit, and plants that stand now.
    replaced : bool
        Whether the solution was replaced; ``poured_to`` says up to where, else the first level.
    blocked : bool, optional
        True where the overflow hole was found blocked, False where it was cleared.
    after_adding, evening : bool
        Whether the reading was made after adding, and at the end of the day.

    Raises
    ------
    UnitNeeded
        A size without its unit.
    OutOfRange
        A doubt that is not above zero, ends in the wrong order.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> Observation(day=date(2027, 6, 1), level=Q(21.5, "cm"), doubt=Q(4, "mm")).stick
    True
    """

    day: date
    level: Quantity | None = None
    volume: Quantity | None = None
    doubt: Quantity | None = None
    between: tuple[Quantity, Quantity] | None = None
    stick: bool = True
    rain: Quantity | None = None
    poured: Quantity | None = None
    poured_to: Quantity | None = None
    poured_unknown: bool = False
    stems_cut: int | None = None
    plants: int | None = None
    replaced: bool = False
    blocked: bool | None = None
    after_adding: bool = False
    evening: bool = False

    def __post_init__(self) -> None:
        if not isinstance(self.day, date):
            raise Problem(f"An observation needs its day, as a date; {self.day!r} is none.")
        for name, unit in (
            ("level", "m"),
            ("volume", "L"),
            ("rain", "mm"),
            ("poured", "L"),
            ("poured_to", "m"),
        ):
            self._checked(getattr(self, name), name, unit)
        unit = "m" if self.level is not None else "L"
        if self.doubt is not None and self._checked(self.doubt, "doubt", unit) == 0:
            raise OutOfRange("The doubt of an observation is above 0.")
        if self.between is not None:
            if not isinstance(self.between, tuple) or len(self.between) != 2:
                raise Problem('A rough reading has two ends, such as (Q(10, "L"), Q(20, "L")).')
            low, high = (self._checked(end, "rough reading", "L") for end in self.between)
            if not low < high:
                raise OutOfRange("The ends of a rough reading stand low end first. Exchange the two.")

    @staticmethod
    def _checked(given: Quantity | None, name: str, unit: str) -> float:
        if given is None:
            return 0.0
        plain = one_value(given, unit, name, "an observation")
        if not plain >= 0:
            raise OutOfRange(f"The {name} of an observation is at least 0; {given} is not.")
        return float(plain)

    @property
    def measures(self) -> bool:
        """Whether it tells how much is in the tank."""
        return self.level is not None or self.volume is not None or self.between is not None


@dataclass(frozen=True, kw_only=True)
class Prior:
    """What is believed of a tank before its log is read; the usual belief is `Prior.usual`.

    Parameters
    ----------
    mean, spread : float
        Of the logarithm of the tank factor: how many times as much its plants drink as the table says.
    rain_mean, rain_spread : float
        Of the logit of the share of the rain on the lid that gets in.
    growth_spread : float
        Of the logarithm of the stretch of time.
    procedures : tuple of str
        How the evapotranspiration was reached with which the factor was found; empty for the usual belief.
    visits : int
        Readings behind it.
    crop : str
        Name of the crop it was found with; empty for the usual belief.

    Raises
    ------
    OutOfRange
        A spread that is not above zero.

    Examples
    --------
    >>> Prior.usual().visits
    0
    """

    mean: float
    spread: float
    rain_mean: float
    rain_spread: float
    growth_spread: float
    procedures: tuple[str, ...] = ()
    visits: int = 0
    crop: str = ""

    def __post_init__(self) -> None:
        for name in ("spread", "rain_spread", "growth_spread"):
            if not getattr(self, name) > 0:
                raise OutOfRange(f"The {name.replace('_', ' ')} of a prior is above 0.")

    @classmethod
    def usual(cls, exposure: float = 1.0) -> "Prior":
        """Make the belief about a tank that nobody has looked at.

        Parameters
        ----------
        exposure : float
            How much plants use there, 1 for a field.

        Returns
        -------
        Prior
            Wide.

        Examples
        --------
        >>> round(Prior.usual().spread, 2)
        0.4
        """
        value = {name: number("refit", "prior", name, "1") for name in _USUAL}
        return cls(
            mean=value["factor mean"] + float(np.log(exposure)),
            spread=value["factor spread"],
            rain_mean=value["rain share mean"],
            rain_spread=value["rain share spread"],
            growth_spread=value["growth spread"],
        )

    def of_last_season(self, crop: str, procedures: Iterable[str]) -> "Prior":
        """Widen what was found last season into a belief for this one.

        Parameters
        ----------
        crop : str
            Name of the crop that grows now.
        procedures : sequence of str
            How this season's evapotranspiration is reached.

        Returns
        -------
        Prior
            With a factor that may have changed, and growth timing as wide as ever.

        Raises
        ------
        Problem
            The factor was found with evapotranspiration reached in another way: the two do not go together.

        Examples
        --------
        >>> from dataclasses import replace
        >>> known = replace(Prior.usual(), mean=0.2, spread=0.1, crop="basil")
        >>> round(known.of_last_season("basil", ()).spread, 2)
        0.22
        """
        if tuple(procedures) != self.procedures:
            raise Problem(
                "Last season's factor was found with evapotranspiration that was reached in another way, and a factor "
                "takes up the difference. Begin with the usual belief."
            )
        least = "least factor spread" + (" of another crop" if crop != self.crop else "")
        added, floor, wider = (
            number("refit", "next season", name, "1")
            for name in ("factor spread added", least, "rain share spread")
        )
        return replace(
            self,
            spread=max(float(np.hypot(self.spread, added)), floor),
            rain_spread=self.rain_spread * wider,
            growth_spread=number("refit", "prior", "growth spread", "1"),
            crop=crop,
        )


_USUAL = ("factor mean", "factor spread", "rain share mean", "rain share spread", "growth spread")
