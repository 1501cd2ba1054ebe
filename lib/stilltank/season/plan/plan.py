"""The tank plan: what was chosen for one tank and one season, how it is changed and kept."""

import dataclasses
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from types import EllipsisType
from typing import Any, Self

from stilltank import tables
from stilltank.files import whole_characters, write_atomically
from stilltank.science import budget, mixing, products, tank, weather
from stilltank.science.crops import Plants
from stilltank.units import Problem

from .choices import Parts, a_record, day_from, ph_from, some_plants, tank_from, water_from
from .file import PlanFile, as_text, parts_from
from .outlook import Outlook


@dataclass(frozen=True, eq=False)
class Plan:
    """One tank for one season: what was chosen. Make it with ``Plan.make``; all else is in its ``outlook``.

    Attributes
    ----------
    name : str
    tank, plants, site, water : as in stilltank.science
    start : date on which the tank is filled and the seedlings go in
    acid : name of the acid at hand; target_ph : float
    record : name of the weather record, or path of a CSV; None when it came from neither
    """

    name: str
    tank: tank.Tank
    plants: Plants
    site: weather.Site
    water: mixing.Water
    start: date
    acid: str
    target_ph: float
    record: str | None

    @classmethod
    def make(
        cls,
        tank: Any = "quillgate-tub",
        crop: Any = "snapdragon",
        site: Any = "quillgate",
        water: Any = "quillgate-tap",
        start: Any = "2027-04-26",
        *,
        count: int | None = None,
        name: str | None = None,
        acid: str | None = None,
        target_ph: float | None = None,
        record: Any = None,
    ) -> "Plan":
        """Make a plan from what is known before planting.

        Parameters
        ----------
        tank : tank of stilltank.science.tank, or the name of a preset
        crop : Crop, Plants, or the name of a crop
        site : Site, or the name of one
        water : Water, the name of a demo water, or the path of a water report
        start : date, or ISO text; the day the tank is filled and the seedlings go in
        count : int, plants in the tank; as many as the lid has room for when left out
        name : str, for the card
        acid : str, name of the acid at hand; a diluted nitric acid when left out
        target_ph : float; the crop's own when left out
        record : name of a weather record, or the path of a CSV; the site's own when left out

        Returns
        -------
        Plan

        Raises
        ------
        Problem   anything that cannot be; the sentence says what and what to give instead

        Example
        -------
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
        )

    def change(self, **changes: Any) -> "Plan":
        """The same plan with something changed; the words are those of ``make``.

        A name or a target pH that came by itself follows the change; one that was chosen stays.

        Example
        -------
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
        }
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
        4 snapdragon from 2027-04-26: 85 days, first level 25 cm, no top-up; 200 seasons
        """
        follows = self.outlook
        return budget.Scenario.make(
            self.tank,
            self.plants,
            self.site,
            start=self.start,
            days=follows.days,
            first_level=follows.fill_level,
            overflow_height=follows.overflow.height,
        )

    def __str__(self) -> str:
        return str(self.outlook)

    def save(self, path: Any, *, expected: bytes | EllipsisType | None = ...) -> bytes:
        """Write the choices to a readable TOML file, whole or not at all.

        Parameters
        ----------
        path : text or Path; an older file of that name is replaced
        expected : what that file must hold, as in ``files.write_atomically``

        Returns
        -------
        bytes, what the file now holds

        Raises
        ------
        Problem   the folder cannot be written; or weather, crop or tank are of a kind that the file cannot hold; or the
                  file there is not the expected one
        """
        path = Path(path)
        content = self.text(path.parent).encode()
        write_atomically(path, content, expected=expected)
        return content

    def text(self, folder: Any = ".") -> str:
        """The choices as the file holds them; two plans with the same text are the same plan.

        Parameters
        ----------
        folder : text or Path, where the file is to lie; a weather record of one's own is named from there

        Raises
        ------
        Problem   weather, crop or tank are of a kind that the file cannot hold
        """
        return whole_characters(as_text(self._parts(), Path(folder)))

    @classmethod
    def load(cls, path: Any) -> "Plan":
        """Read a plan again; the file is not changed.

        Parameters
        ----------
        path : text or Path

        Returns
        -------
        Plan

        Raises
        ------
        PlanFault   the file is missing, is no plan, or a line cannot be used; the sentence names line and remedy
        """
        parts = parts_from(PlanFile(path))
        made = cls.make(
            parts["tank"],
            parts["plants"],
            parts["site"],
            parts["water"],
            parts["start"],
            name=parts["name"],
            acid=parts["acid"],
            target_ph=parts["target_ph"],
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
        }


def _usual_name(plants: Plants, chosen: tank.Tank) -> str:
    return f"{plants.crop.label}, {chosen.name or 'still tank'}"
