"""What is known of too little oxygen: a band with its sources, never one line."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.oxygen import saturation
from stilltank.science.sky import saturation_vapour_pressure
from stilltank.tables import load, number
from stilltank.units import Q, one_value, takes, within

WORDS = ("harm was seen", "sources disagree", "no effect was seen")


@dataclass(frozen=True, eq=False)
class Finding:
    """One published finding: what was watched, what was seen, at which oxygen, as stated and in water, and where."""

    subject: str
    seen: str
    stated: Any
    concentration: Any
    source: tuple[str, ...]
    note: str

    def __str__(self) -> str:
        return f"{self.subject}: {self.seen} at {self.stated:.3g~P} ({', '.join(self.source)})"


@dataclass(frozen=True, eq=False)
class OxygenRisk:
    """Where oxygen stands in the band of the sources.

    Attributes
    ----------
    zone : int, 0 where harm was seen, 1 where sources disagree, 2 where no effect was seen; of the shape given
    words : what the zones are called
    harmful, lowest, highest : quantities in mg/L: at or below the first harm was seen; the last two are the lowest
        and the highest concentration at which a source saw no effect
    """

    zone: Any
    words: tuple[str, ...]
    harmful: Any
    lowest: Any
    highest: Any

    def shares(self, axis: int | None = None) -> Any:
        """Share of the values in each zone, over an axis (0 for the members of an ensemble) or over all.

        Returns
        -------
        quantity without unit, [3] or [3, ...]
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
def oxygen_risk(concentration: Any) -> OxygenRisk:
    """Say what is known of a concentration of oxygen around roots in water.

    Parameters
    ----------
    concentration : quantity, one or an array, such as the ``lowest`` of an oxygen course

    Returns
    -------
    Risk

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative concentration

    Example
    -------
    >>> print(oxygen_risk(Q(1.5, "mg/L")))
    sources disagree at such oxygen (harm was seen at 0.32 mg/L; no effect at 2.1 to 4.1 mg/L, by source). A risk, ...

    Limits: findings for lettuce and cucumber with all roots in water, days to weeks long. Roots in moist air do not
    count. "Below 3 mg/L the crop fails" is a saying without a source.
    Source: `oxygen_findings`.
    """
    within(concentration, 0, np.inf, "A concentration of oxygen is not negative; {value:g} mg/L is.")
    table = load("oxygen")
    harmful, fine = table["critical", "harmful"].quantity, table["critical", "no effect seen"]
    lowest, highest = fine.range
    zone = np.where(
        concentration <= harmful.m_as("mg/L"), 0, np.where(concentration >= highest.m_as("mg/L"), 2, 1)
    )
    return OxygenRisk(zone[()], WORDS, harmful, lowest, highest)


def oxygen_caution() -> str:
    """What to say beside every model of oxygen in a still tank: the trial that such models do not foresee.

    Example
    -------
    >>> "lost only 19 %" in oxygen_caution()
    True

    Source: Kratky (2005), abstract.
    """
    loss = load("roots")["floating cover", "loss"].quantity.m_as("percent")
    return (
        f"A crop whose cover floated on the solution for the whole time lost only {loss:.0f} % (Kratky 2005, "
        "abstract), where such a model sees no oxygen: read it as a risk."
    )


def oxygen_findings(temperature: Any = None) -> tuple[Finding, ...]:
    """All published findings that the band rests on, lowest oxygen first.

    Parameters
    ----------
    temperature : quantity, at which a pressure of oxygen is turned into a concentration in water; 25 degC when left out

    Returns
    -------
    tuple of Finding

    Raises
    ------
    UnitNeeded, OutOfRange   no temperature, or water outside 0 to 40 degC

    Example
    -------
    >>> print(oxygen_findings()[0])
    lettuce kept for 7 days: harm seen at 0.32 mg/L (YOSHIDA1997)

    Limits: abstracts only. 6 kPa of oxygen in gas is more than the quarter of saturation that floated lettuce stood
    without loss: whole plants in gas against stirred solution with leaves in air is our reading of why they differ.
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
