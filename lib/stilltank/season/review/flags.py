"""What a design review says: flags with the number behind each, and remedies that clear them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from stilltank.season.plan import Plan
from stilltank.units import Quantity

Concern = Literal["people", "crop", "numbers"]


@dataclass(frozen=True)
class Remedy:
    """One change of a plan that clears a flag.

    Parameters
    ----------
    words : str
        What to do, as one would say it.
    changes : mapping of str to object
        The same in the words of ``Plan.change``.

    See Also
    --------
    Flag : What it clears.

    Examples
    --------
    >>> remedy = Remedy("Plant 3 instead of 6", {"count": 3})
    >>> remedy.applied(Plan.make(count=6)).plants.count
    3
    """

    words: str
    changes: Mapping[str, object] = field(hash=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "changes", MappingProxyType(dict(self.changes)))

    def applied(self, plan: Plan) -> Plan:
        """Change a plan in this way.

        Parameters
        ----------
        plan : Plan
            The plan that was reviewed.

        Returns
        -------
        Plan
            A new one.

        Raises
        ------
        Problem
            It is another plan, which cannot be changed so.

        Examples
        --------
        >>> Remedy("Take a white tank", {"colour": "white"}).applied(Plan.make()).colour
        'white'
        """
        return plan.change(**self.changes)

    def __str__(self) -> str:
        return self.words


@dataclass(frozen=True)
class Flag:
    """One thing in a plan that a careful grower would look at again.

    Parameters
    ----------
    name : str
        Tells it apart, such as "water".
    title : str
        What it is about, in a few words.
    sentence : str
        What was found, with the number behind it, in the person's own units.
    number, limit : quantity, optional
        What was found, and what it is held against; None where a sentence says it all.
    reason : str
        Why it matters.
    source : str
        Where the limit stands, as a table address such as "roots/refill/rise".
    remedies : tuple of Remedy
        Changes of the plan, each of which clears the flag. Empty where no change of the plan does: then ``at_tank``
        says what to do, and the flag is a caution.
    concern : str
        "people", "crop" or "numbers": who or what it is about, in the order in which flags come.
    at_tank : str
        What to do at the tank; may be empty where there are remedies.

    See Also
    --------
    review : Finds them.

    Examples
    --------
    >>> from stilltank.season.review import review
    >>> [flag.name for flag in review(Plan.make(acid="nitric acid 38 %", count=3)) if flag.concern == "people"]
    ['acid', 'weight']
    """

    name: str
    title: str
    sentence: str
    number: Quantity | None
    limit: Quantity | None
    reason: str
    source: str
    remedies: tuple[Remedy, ...] = ()
    concern: Concern = "crop"
    at_tank: str = ""

    @property
    def caution(self) -> bool:
        """Whether no change of the plan clears it, so that it is to be known and minded."""
        return not self.remedies

    def __str__(self) -> str:
        says = "; or ".join(
            remedy.words if number == 0 else f"{remedy.words[:1].lower()}{remedy.words[1:]}"
            for number, remedy in enumerate(self.remedies)
        )
        return " ".join(
            part for part in (f"{self.title}: {self.sentence}", says and f"{says}.", self.at_tank) if part
        )
