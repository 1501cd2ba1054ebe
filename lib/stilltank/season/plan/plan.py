"""The tank plan: what was chosen for one tank and one season, how it is changed and kept."""

import dataclasses
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from types import EllipsisType
from typing import Any, Self

import numpy as np

from stilltank import tables
from stilltank.files import whole_characters, write_atomically
from stilltank.science import budget, mixing, products, weather
from stilltank.science.crops import Crop, Plants
from stilltank.science.tank import Tank
from stilltank.units import Problem

from .choices import (
    Parts,
    a_record,
    colour_from,
    day_from,
    ph_from,
    shade_from,
    some_plants,
    tank_from,
    water_from,
)
from .file import PlanFile, as_text, parts_from
from .outlook import Outlook


@dataclass(frozen=True, eq=False)
class Plan:
    """One tank for one season: what was chosen. Make it with ``Plan.make``; all else is in its ``outlook``.

    Parameters
    ----------
    name : str
        For the card.
    tank : Tank
        With its net pots.
    plants : Plants
        One crop, and how many.
    site : Site
        The place, with its weather.
    water : Water
        What the solution is mixed with.
    start : date
        On which the tank is filled and the seedlings go in.
    acid : str
        Name of the acid at hand.
    target_ph : float
        Of the solution.
    record : str
        Name of the weather record, or path of a CSV; None when it came from neither.
    colour : str
        Of lid and walls, one of ``roots.tub_colours()``.
    shade : float
        Share of the sun that shade cloth keeps off the tank, 0 to 0.9.
    until : date, optional
        The end of the harvest that was chosen; the crop's own when None.

    Examples
    --------
    >>> plan = Plan.make("quillgate-tub", "snapdragon", count=4)
    >>> plan.name, plan.target_ph
    ('Snapdragon, Quillgate courtyard tub, 45 litres', 5.8)
    """

    name: str
    tank: Tank
    plants: Plants
    site: weather.Site
    water: mixing.Water
    start: date
    acid: str
    target_ph: float
    record: str | None
    colour: str
    shade: float
    until: date | None = None

    @classmethod
    def make(
        cls,
        tank: Tank | str = "quillgate-tub",
        crop: Crop | Plants | str = "snapdragon",
        site: weather.Site | str = "quillgate",
        water: mixing.Water | str | Path = "quillgate-tap",
        start: date | np.datetime64 | str = "2027-04-26",
        *,
        count: int | None = None,
        name: str | None = None,
        acid: str | None = None,
        target_ph: float | None = None,
        record: str | Path | None = None,
        until: date | str | None = None,
        colour: str | None = None,
        shade: float | None = None,
    ) -> "Plan":
        """Make a plan from what is known before planting.

        Parameters
        ----------
        tank : Tank or str
            The tank with its net pots, or the name of a ready-made one.
        crop : Crop, Plants or str
            What grows, or the name of a crop. `crops.pinched` and `heat.with_packet_days` say how it is grown.
        site : Site or str
            The place with its weather, or the name of one.
        water : Water, str or Path
            The water, the name of a demo water, or the path of a water report.
        start : date or str
            The day on which the tank is filled and the seedlings go in, as a date or ISO text.
        count : int
            Plants in the tank; as many as the lid has room for when left out.
        name : str
            For the card; made from plants and tank when left out.
        acid : str
            Name of the acid at hand; a diluted nitric acid when left out.
        target_ph : float
            The crop's own when left out.
        record : str or Path
            Name of a weather record, or the path of a CSV; the site's own when left out.
        until : date or str
            The day on which the harvest ends and the tank is emptied; the crop's own when left out.
        colour : str
            Of lid and walls; dark when left out. White stands for white paint and for a white cover.
        shade : float
            Share of the sun that shade cloth keeps off the tank; none when left out.

        Returns
        -------
        Plan
            What was chosen; all that follows is in its ``outlook``.

        Raises
        ------
        UnitNeeded
            A size in the water report without its unit.
        OutOfRange
            A count, a year or a pH that cannot be.
        Problem
            Anything else that cannot be planned; the sentence says what, and what to give instead.

        Examples
        --------
        >>> plan = Plan.make(count=4)
        >>> plan.plants.count, plan.start.isoformat()
        (4, '2027-04-26')
        """
        chosen_tank = tank_from(tank)
        plants = some_plants(crop, count, chosen_tank)
        place = weather.site(site) if isinstance(site, str) else site
        if not isinstance(place, weather.Site):
            raise Problem(f"A site is a Site or one of {', '.join(weather.sites())}; {site!r} is neither.")
        source = str(record) if record is not None else site if isinstance(site, str) else None
        if record is not None:
            place = dataclasses.replace(place, weather=a_record(str(record), Path(), place))
        if place.weather is None:
            raise Problem(
                f"{place.name} has no weather record. Name one: {', '.join(weather.sites())}, or a CSV."
            )
        if not isinstance(name, (str, type(None))):
            raise Problem(f'A name is a text, such as "Tub A"; {name!r} is not.')
        if not isinstance(acid, (str, type(None))):
            raise Problem(f'An acid is named by a text, such as "citric acid 5 %"; {acid!r} is not.')
        default = tables.load("plan")
        return cls(
            name=name or _usual_name(plants, chosen_tank),
            tank=chosen_tank,
            plants=plants,
            site=place,
            water=water_from(water),
            start=day_from(start),
            acid=products.acid(acid or str(default["acid", "name"].value)).name,
            target_ph=ph_from(target_ph, plants),
            record=source,
            until=None if until is None else day_from(until),
            colour=colour_from(colour),
            shade=shade_from(shade),
        )

    def change(self, **changes: object) -> "Plan":
        """Make the same plan with something changed.

        Parameters
        ----------
        **changes : object
            In the words of `make`. A name or a target pH that was filled in follows the change; one that was chosen
            stays.

        Returns
        -------
        Plan
            A new one.

        Raises
        ------
        Problem
            As `make`; or a word that `make` does not know.

        Examples
        --------
        >>> Plan.make().change(count=3).plants.count
        3
        """
        kept: dict[str, Any] = {
            "tank": self.tank,
            "crop": self.plants.crop,
            "count": None if isinstance(changes.get("crop"), Plants) else self.plants.count,
            "site": self.site,
            "water": self.water,
            "start": self.start,
            "name": None if self.name == _usual_name(self.plants, self.tank) else self.name,
            "acid": self.acid,
            "target_ph": None if self.target_ph == ph_from(None, self.plants) else self.target_ph,
            "until": self.until,
            "colour": self.colour,
            "shade": self.shade,
        }
        words = [*kept, "record"]
        if unknown := next((word for word in changes if word not in words), None):
            raise Problem(f"A plan has no {unknown!r} to change. It has: {', '.join(words)}.")
        made = Plan.make(**{**kept, **changes})
        if made.record is None and made.site.weather is self.site.weather:
            made = dataclasses.replace(made, record=self.record)
        made.outlook.take_over(self.outlook)
        return made

    @cached_property
    def outlook(self) -> Outlook:
        """What follows from the choices: solution, dates, levels, looks, cautions. Made once and remembered."""
        return Outlook(self)

    def settle(self) -> Self:
        """Calculate the outlook, so that a choice that cannot be calculated with is refused now.

        Returns
        -------
        Plan
            This one.

        Raises
        ------
        Problem
            As the science does.

        Examples
        --------
        >>> Plan.make(count=3).settle().plants.count
        3
        """
        self.outlook.settle()
        return self

    def scenario(self) -> budget.Scenario:
        """Say to the water budget what was chosen, from the filling to the end of the harvest.

        Returns
        -------
        Scenario
            To follow, to change, or to compare routines of topping up with.

        Raises
        ------
        Problem
            As the science does.

        Examples
        --------
        >>> print(Plan.make(count=4).scenario())
        4 snapdragon from 2027-04-26: 93 days, first level 25 cm, no top-up; 200 seasons
        """
        follows = self.outlook
        return budget.Scenario.make(
            self.tank,
            follows.plants,
            self.site,
            start=self.start,
            days=follows.days,
            first_level=follows.fill_level,
            overflow_height=follows.overflow.height,
        )

    def __str__(self) -> str:
        return str(self.outlook)

    def save(self, path: str | Path, *, expected: bytes | EllipsisType | None = ...) -> bytes:
        """Write the choices to a readable TOML file, whole or not at all.

        Parameters
        ----------
        path : str or Path
            The file; an older one of that name is replaced.
        expected : bytes
            What that file must hold, as in ``files.write_atomically``; anything when left out.

        Returns
        -------
        bytes
            What the file now holds.

        Raises
        ------
        Problem
            The folder cannot be written; or weather, crop or tank are of a kind that the file cannot hold; or the file
            there is not the expected one.

        Examples
        --------
        >>> import tempfile
        >>> folder = Path(tempfile.mkdtemp())
        >>> Plan.make(count=4).save(folder / "my-tank.toml") == (folder / "my-tank.toml").read_bytes()
        True
        """
        path = _path(path)
        content = self.text(path.parent).encode()
        write_atomically(path, content, expected=expected)
        return content

    def text(self, folder: str | Path = ".") -> str:
        """Write the choices as the file holds them; two plans with the same text are the same plan.

        Parameters
        ----------
        folder : str or Path
            Where the file is to be; a weather record of one's own is named from there.

        Returns
        -------
        str
            TOML.

        Raises
        ------
        Problem
            Weather, crop or tank are of a kind that the file cannot hold.

        Examples
        --------
        >>> "count = 4" in Plan.make(count=4).text()
        True
        """
        return whole_characters(as_text(self._parts(), _path(folder)))

    @classmethod
    def load(cls, path: str | Path) -> "Plan":
        """Read a plan again; the file is not changed.

        Parameters
        ----------
        path : str or Path
            The file.

        Returns
        -------
        Plan
            What the file holds.

        Raises
        ------
        PlanFault
            The file is missing, is no plan, or a line cannot be used; the sentence names line and remedy.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "my-tank.toml"
        >>> _ = Plan.make(count=4).save(path)
        >>> Plan.load(path).plants.count
        4
        """
        parts = parts_from(PlanFile(_path(path)))
        made = cls.make(
            parts["tank"],
            parts["plants"],
            parts["site"],
            parts["water"],
            parts["start"],
            name=parts["name"],
            acid=parts["acid"],
            target_ph=parts["target_ph"],
            until=parts["until"],
            colour=parts["colour"],
            shade=parts["shade"],
        )
        return dataclasses.replace(made, record=parts["record"])

    def _parts(self) -> Parts:
        return {
            "name": self.name,
            "tank": self.tank,
            "plants": self.plants,
            "site": self.site,
            "water": self.water,
            "start": self.start,
            "acid": self.acid,
            "target_ph": self.target_ph,
            "record": self.record,
            "until": self.until,
            "colour": self.colour,
            "shade": self.shade,
        }


def _usual_name(plants: Plants, chosen: Tank) -> str:
    return f"{plants.crop.label}, {chosen.name or 'still tank'}"


def _path(given: object) -> Path:
    """A path from what was given; an empty one names nothing."""
    if isinstance(given, (str, Path)) and "\0" not in str(given) and str(given).strip():
        return Path(given)
    raise Problem(f'A file is named by a text, such as "my-tank.toml"; a {type(given).__name__} is not one.')
