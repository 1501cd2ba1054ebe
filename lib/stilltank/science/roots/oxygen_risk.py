"""What is known of too little oxygen: a band with its sources, never one line."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stilltank.science.oxygen import saturation
from stilltank.science.sky import saturation_vapour_pressure
from stilltank.tables import load, number
from stilltank.units import Q, one_value, takes, within
from stilltank.units.types import Quantity

WORDS = ("harm was seen", "sources disagree", "no effect was seen")


@dataclass(frozen=True, eq=False)
class Finding:
    """One published finding about too little oxygen.

    Parameters
    ----------
    subject : str
        What was watched.
    seen : str
        What was seen.
    stated : Quantity
        At which oxygen, as the source states it.
    concentration : Quantity
        The same in water, in mg/L.
    source : tuple of str
        Keys of data/sources.csv.
    note : str
        What else is to be known.

    See Also
    --------
    oxygen_findings : All of them.

    Examples
    --------
    >>> oxygen_findings()[0].seen
    'harm seen'
    """

    subject: str
    seen: str
    stated: Quantity
    concentration: Quantity
    source: tuple[str, ...]
    note: str

    def __str__(self) -> str:
        return f"{self.subject}: {self.seen} at {self.stated:.3g~P} ({', '.join(self.source)})"


@dataclass(frozen=True, eq=False)
class OxygenRisk:
    """Where oxygen stands in the band of the sources.

    Parameters
    ----------
    zone : int or array of int
        0 where harm was seen, 1 where sources disagree, 2 where no effect was seen.
    words : tuple of str
        What the zones are called.
    harmful : Quantity
        At or below it harm was seen, in mg/L.
    lowest, highest : Quantity
        The lowest and the highest concentration at which a source saw no effect, in mg/L.

    See Also
    --------
    oxygen_risk : Looks it up.

    Examples
    --------
    >>> oxygen_risk(Q([0.1, 3, 8], "mg/L")).zone.tolist()
    [0, 1, 2]
    """

    zone: NDArray[np.int_]
    words: tuple[str, ...]
    harmful: Quantity
    lowest: Quantity
    highest: Quantity

    def shares(self, axis: int | None = None) -> Quantity:
        """Share of the values in each zone, over an axis or over all.

        Parameters
        ----------
        axis : int, optional
            0 for the members of an ensemble; all values when left out.

        Returns
        -------
        Quantity
            Without unit, [3] or [3, ...].

        Examples
        --------
        >>> oxygen_risk(Q([0.1, 3, 8, 9], "mg/L")).shares().m_as("percent").tolist()
        [25.0, 25.0, 50.0]
        """
        return Q(np.stack([np.mean(self.zone == zone, axis=axis) for zone in range(3)]), "dimensionless")

    def __str__(self) -> str:
        if not np.size(self.zone):
            return "no values"
        band = (
            f"harm was seen at {self.harmful.magnitude:.2g} mg/L; no effect at {self.lowest.magnitude:.2g} to "
            f"{self.highest.magnitude:.2g} mg/L, by source"
        )
        if not np.ndim(self.zone):
            return f"{self.words[int(self.zone)]} at such oxygen ({band}). A risk, not a verdict"
        parts = zip(self.shares().m_as("percent"), self.words, strict=True)
        return f"{', '.join(f'{share:.0f} % where {words}' for share, words in parts)} ({band})"


@takes(concentration="mg/L")
def oxygen_risk(concentration: Quantity) -> OxygenRisk:
    """Say what is known of a concentration of oxygen around roots in water.

    Parameters
    ----------
    concentration : Quantity
        One or an array, such as the ``lowest`` of an oxygen course.

    Returns
    -------
    OxygenRisk
        The zone of each, of the shape of ``concentration``, and the band.

    Raises
    ------
    UnitNeeded
        It is no concentration.
    OutOfRange
        It is negative.

    See Also
    --------
    oxygen_findings : What the band rests on.

    Notes
    -----
    Findings for lettuce and cucumber with all roots in water, days to weeks long. Roots in moist air do not count.
    "Below 3 mg/L the crop fails" is a saying without a source.

    Examples
    --------
    >>> print(oxygen_risk(Q(1.5, "mg/L")))
    sources disagree at such oxygen (harm was seen at 0.32 mg/L; no effect at 2.1 to 4.1 mg/L, by source). A risk, ...
    """
    within(concentration, 0, np.inf, "A concentration of oxygen is not negative; {value} is.", "mg/L")
    table = load("oxygen")
    harmful, fine = table["critical", "harmful"].quantity, table["critical", "no effect seen"]
    lowest, highest = fine.range
    zone = np.where(
        concentration <= harmful.m_as("mg/L"), 0, np.where(concentration >= highest.m_as("mg/L"), 2, 1)
    )
    return OxygenRisk(zone[()], WORDS, harmful, lowest, highest)


def oxygen_caution() -> str:
    """The trial that models of oxygen in a still tank do not foresee, to be said beside each of them.

    Returns
    -------
    str
        One sentence.

    References
    ----------
    KRATKY2005

    Examples
    --------
    >>> "lost only 19 %" in oxygen_caution()
    True
    """
    loss = load("roots")["floating cover", "loss"].quantity.m_as("percent")
    return (
        f"A crop whose cover floated on the solution for the whole time lost only {loss:.0f} % (Kratky 2005, "
        "abstract), where such a model sees no oxygen: read it as a risk."
    )


@takes()
def oxygen_findings(temperature: Quantity | None = None) -> tuple[Finding, ...]:
    """All published findings that the band of risk rests on, lowest oxygen first.

    Parameters
    ----------
    temperature : Quantity, optional
        At which a pressure of oxygen is turned into a concentration in water, 0 to 40 degC; 25 degC when left out.

    Returns
    -------
    tuple of Finding
        In the order of their concentrations.

    Raises
    ------
    UnitNeeded
        It is no temperature.
    OutOfRange
        The water is below 0 or above 40 degC.

    See Also
    --------
    oxygen_risk : Where a concentration stands among them.

    Notes
    -----
    Abstracts only. 6 kPa of oxygen in gas is more than the quarter of saturation that floated lettuce stood without
    loss: whole plants in gas against stirred solution with leaves in air is our reading of why they differ.

    Examples
    --------
    >>> print(oxygen_findings()[0])
    lettuce kept for 7 days: harm seen at 0.32 mg/L (YOSHIDA1997)
    """
    usual = number("roots", "demand", "usual temperature", "degC")
    warm = Q(
        usual if temperature is None else one_value(temperature, "degC", "temperature", "oxygen_findings"),
        "degC",
    )
    in_air = load("oxygen")["air", "oxygen share"].value * (Q(1, "atm") - saturation_vapour_pressure(warm))
    held = saturation(warm)
    made = []
    for entry in load("oxygen-findings").values():
        stated = entry.quantity
        in_water = (
            stated if stated.check("[mass]/[length]**3") else held * (stated / in_air).to("dimensionless")
        )
        made.append(Finding(entry.item, entry.prop, stated, in_water.to("mg/L"), entry.source, entry.note))
    return tuple(sorted(made, key=lambda one: one.concentration.magnitude))
