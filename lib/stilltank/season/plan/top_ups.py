"""What the top-ups of a plan bring into its tank, and what to do about it, in words."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from stilltank import tables
from stilltank.science import budget, mixing, ph
from stilltank.units import Q, Quantity, write


def strength_words(strength: float) -> str:
    """Name what is carried by its strength.

    Parameters
    ----------
    strength : float
        0 for plain water, 1 for the whole recipe.

    Returns
    -------
    str
        For a sentence.

    Examples
    --------
    >>> strength_words(0.5)
    'half-strength solution'
    """
    known = {0.0: "plain water", 0.5: "half-strength solution", 1.0: "full-strength solution"}
    return known.get(strength, f"solution at {100 * strength:.3g} % of full strength")


def water_added(routine: budget.TopUp, other: mixing.Water | None, filling: mixing.Water) -> mixing.Water:
    """Take the water that a routine adds: the one that was named, rain from a barrel, or that of the filling.

    Parameters
    ----------
    routine : TopUp
        The routine.
    other : Water or None
        The water that was named for it.
    filling : Water
        That of the filling.

    Returns
    -------
    Water
        The water.

    Examples
    --------
    >>> tap = mixing.Water({}, alkalinity=Q(180, "mg/L"), ph=7.6)
    >>> water_added(budget.rain_caught(Q(2, "m^2"), Q(100, "L")), None, tap).alkalinity.magnitude
    0.0
    """
    if other is not None:
        return other
    return filling if routine.barrel is None else mixing.Water.pure(name="rain")


@dataclass(frozen=True, eq=False)
class TopUps:
    """The top-ups of a plan: how much is carried, what gathers, the acid for the bottle.

    Parameters
    ----------
    season : Ensemble
        The seasons of the plan.
    routine : TopUp
        How it is topped up.
    water : Water
        What is added.
    acid : TopUpAcid
        For 10 L of it.
    plain, acidified : AlkalinityCourse
        Without acid in what is added, and with it.
    share_above : float
        Of the seasons, in which the level rises above the caution.

    Examples
    --------
    >>> from stilltank.season.plan import Plan
    >>> Plan.make(count=4, top_up=budget.by_hand(2)).outlook.top_ups.each.magnitude > 0
    True
    """

    season: budget.Ensemble
    routine: budget.TopUp
    water: mixing.Water
    acid: ph.TopUpAcid
    plain: budget.AlkalinityCourse
    acidified: budget.AlkalinityCourse
    share_above: float

    @property
    def carried(self) -> Quantity:
        """What is added in the middle season, L."""
        return Q(float(np.median(self.season.top_up.m_as("L").sum(axis=1))), "L")

    @property
    def each(self) -> Quantity:
        """The most that one visit adds in half of the seasons, L; of a drip or a valve what a day adds at most."""
        return Q(float(np.median(self.season.top_up.m_as("L").max(axis=1))), "L")

    @property
    def worth_acid(self) -> bool:
        """True where the alkalinity of what is added is worth acid in the bottle."""
        return self.acid.amount.magnitude > 0 and self.plain.brought.m_as("g") > _some_alkalinity()

    def bottle_dose(self, system: str = "metric") -> str:
        """Say in a few words what acid goes into how much of the top-up water; empty where none is needed.

        Parameters
        ----------
        system : str
            "metric" or "US".

        Returns
        -------
        str
            For a line of the card.

        Examples
        --------
        >>> from stilltank.season.plan import Plan
        >>> Plan.make(count=4, top_up=budget.by_hand(2)).outlook.top_ups.bottle_dose()
        '... mL of nitric acid 0.5 mol/L in 10 L of Quillgate tap water (invented)'
        """
        if not self.worth_acid:
            return ""
        litres = self.acid.volume
        dose = self.acid.acid.measured(self.acid.amount * litres)
        water = self.water.name or "top-up water"
        return f"{dose} of {self.acid.acid.name} in {write(litres, system, digits=2)} of {water}"

    def bottle_words(self, system: str = "metric") -> str:
        """Say what acid goes into the top-up water; empty where none is needed.

        Parameters
        ----------
        system : str
            "metric" or "US".

        Returns
        -------
        str
            A sentence, for the card and the panel, with its caution.

        Examples
        --------
        >>> from stilltank.season.plan import Plan
        >>> Plan.make(count=4).outlook.top_ups.bottle_words()
        ''
        """
        if not self.worth_acid:
            return ""
        fades = "" if self.acid.lasting else " Microbes use it up within days: better a mineral acid."
        nitrogen = self.acid.adds.get("N")
        feeds = (
            f" It also adds {write(nitrogen, digits=2)} of nitrogen to that water."
            if nitrogen is not None
            else ""
        )
        return (
            f"Acid for the top-up: {self.bottle_dose(system)}, stirred before it is poured.{feeds}{fades} "
            f"{self.acid.acid.caution}"
        )

    def words(self, system: str = "metric") -> tuple[str, ...]:
        """Say how much is carried, how often it goes wrong, what hard water does, and when to replace the solution.

        Parameters
        ----------
        system : str
            "metric" or "US".

        Returns
        -------
        tuple of str
            Sentences; none where nothing is added.

        Examples
        --------
        >>> from stilltank.season.plan import Plan
        >>> Plan.make(count=4).outlook.top_ups.words()
        ()
        """
        if self.routine.way == "nothing":
            return ()
        many, dry = 100, self.season.share_of("run_dry")
        who = "largest visit" if self.routine.way in ("by hand", "rain caught", "on dates") else "largest day"
        named = self.routine.name
        found = [
            f"{named[:1].upper()}{named[1:]}.",
            f"Half of the simulated seasons take {write(self.carried, system, digits=2)} or more in all. "
            f"The {who} adds {write(self.each, system, digits=2)}."
            if self.carried.magnitude > 0
            else "Half of the simulated seasons or more need no top-up.",
            f"In {many * dry:.0f} of {many} simulated seasons the tank runs dry; in {many * self.share_above:.0f} the "
            "level rises above the 2 cm caution.",
        ]
        if self.plain.brought.m_as("g") > _some_alkalinity():
            found += self._hard(system)
        found.append(self._replace())
        return tuple(sentence for sentence in found if sentence)

    def _hard(self, system: str) -> list[str]:
        alkalinity: Quantity = self.water.alkalinity  # type: ignore[assignment]
        found = [
            f"This water has {alkalinity.m_as('mg/L'):.0f} mg/L of alkalinity as CaCO3, and plants leave it behind: "
            f"{self.plain.brought.m_as('g'):.2g} g gather. {_rise(self.plain)}"
        ]
        if self.worth_acid:
            found += [
                self.bottle_words(system),
                f"With this acid {self.acidified.brought.m_as('g'):.2g} g gather. {_rise(self.acidified)}",
            ]
        low, _, high = (f"{roots.m_as('g'):.1f}".replace("-", "−") for roots in self.plain.roots)
        found.append(
            f"Roots add {low} to {high} g as CaCO3 of their own (below 0 is acid), and nobody has measured the air "
            f"under a lid. So believe your meter: read the pH each week, and above {_limit()} dose the tank itself, "
            "in portions."
        )
        return found

    def _replace(self) -> str:
        course = self.acidified
        if course.replace_by is not None:
            limit = tables.number("uptake", "limit", course.salt, "mmol/L")
            return (
                f"Replace the solution by {_day(course.replace_by)}: then {course.salt} is above {limit:g} mmol/L, a "
                "limit of greenhouse growers. Fill to the level that was left, not higher."
            )
        if not self.water.ions and self.plain.brought.m_as("g") < _some_alkalinity():
            return ""  # rain
        if not {"Na+", "Cl-"} <= set(self.water.ions):
            return (
                "The report of this water does not say both sodium and chloride, which gather too. Ask for them, or "
                "watch the conductivity."
            )
        return "Sodium and chloride stay below the limits of greenhouse growers, so the solution can stay."


def _rise(course: budget.AlkalinityCourse) -> str:
    """The pH halfway and on the last day that is told, and from when on it is high."""
    told = np.flatnonzero(np.isfinite(course.ph[1]))
    if not told.size:
        return "The tank is too low to tell a pH."
    half, last = told[told.size // 2], told[-1]
    high_from = (
        "" if course.acid_by is None else f" The pH is above {_limit()} from {_day(course.acid_by)} on."
    )
    day = course.dates[half].astype("M8[D]").item()
    low, middle, high = course.ph[:, half]
    spread = _some(low) if low > _highest_ph() else f"{low:.1f} to {_some(high, 'more than')}"
    return (
        f"On {_day(day)}, halfway, the pH is about {_some(middle)} ({spread}), at the end {_some(course.ph[1, last])}."
        f"{high_from}"
    )


def _some(value: float, more: str = "") -> str:
    """A pH; where the model knows too few solids, only that it is high."""
    if value <= _highest_ph():
        return f"{value:.1f}"
    return f"{more} {_highest_ph():g}" if more else f"{_highest_ph():g} or more"


def _limit() -> str:
    return f"{tables.number('uptake', 'limit', 'pH', '1'):g}"


def _day(day: date) -> str:
    return f"{day.day} {day:%B}"


def _some_alkalinity() -> float:
    """Grams as CaCO3 in a season, from which on they are worth acid and a word."""
    return tables.number("plan", "top-up", "acid worth from", "g")


def _highest_ph() -> float:
    return tables.number("plan", "top-up", "highest pH told", "1")
