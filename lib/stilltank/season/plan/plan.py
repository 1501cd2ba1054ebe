"""The tank plan: what was chosen for one tank and one season, how it is changed and kept."""

import dataclasses
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from types import EllipsisType
from typing import Any, Self, cast

import numpy as np

from stilltank.files import whole_characters, write_atomically
from stilltank.science import budget, mixing, products, weather
from stilltank.science.crops import Crop, Plants
from stilltank.science.tank import Tank
from stilltank.units import Problem, Quantity

from .choices import (
    Parts,
    Until,
    a_record,
    acid_at_hand,
    acid_from,
    colour_from,
    hole_from,
    ph_from,
    reading_from,
    shade_from,
    shelf_from,
    slots_from,
    some_plants,
    tank_from,
    top_up_from,
    until_from,
    water_from,
)
from .days import day_from
from .file import PlanFile, as_text, keep_older, parts_from
from .groups import Group, Loss, Reading, groups_from, losses_from
from .months import Months, months_from
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
        The leading crop, and how many were set in; recipe, pH and dates follow it.
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
    until : date, "frost" or "dry", optional
        The end that was chosen; the crop's own when None.
    losses : tuple of Loss
        Plants of the leading crop that died.
    beside : tuple of Group
        Other crops in the same tank.
    hole : quantity, length, optional
        Height of the overflow hole that somebody has or wants; the workbook's own when None.
    slots : int, optional
        For net pots in the lid; None where nobody counted them.
    top_up : TopUp
        What is added through the season, how and how strong.
    top_up_water : Water, optional
        What is added, where it is not the water of the filling.
    reading : Reading, optional
        What was read in mid-season; the forecast goes on from there.
    months : Months, optional
        Twelve months from which the weather is made, where the place has no daily record.
    shelf : Shelf, optional
        What there is to weigh and pour; the workbook's own salts and acids when None.
    shelf_file : str, optional
        Path of the shelf's file; None when it came from none.

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
    until: Until = None
    losses: tuple[Loss, ...] = ()
    beside: tuple[Group, ...] = ()
    hole: Quantity | None = None
    slots: int | None = None
    top_up: budget.TopUp = dataclasses.field(default_factory=budget.nothing)
    top_up_water: mixing.Water | None = None
    reading: Reading | None = None
    months: Months | None = None
    shelf: products.Shelf | None = None
    shelf_file: str | None = None

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
        losses: Iterable[Loss] = (),
        beside: Iterable[Group] = (),
        hole: Quantity | None = None,
        slots: int | None = None,
        top_up: budget.TopUp | None = None,
        top_up_water: mixing.Water | str | Path | None = None,
        reading: Reading | None = None,
        months: Months | None = None,
        shelf: products.Shelf | str | Path | None = None,
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
            Name of the acid at hand, on the shelf or in the workbook; when left out the first of the shelf, else a
            diluted nitric acid.
        target_ph : float
            The crop's own when left out.
        record : str or Path
            Name of a weather record, or the path of a CSV; the site's own when left out.
        until : date or str
            The day on which the tank is emptied, "frost" for the day up to which a frost is rare, or "dry" where it is
            left to run dry; the crop's own end when left out. What is cut once is cleared as it is ready.
        colour : str
            Of lid and walls; dark when left out. White stands for white paint and for a white cover.
        shade : float
            Share of the sun that shade cloth keeps off the tank; none when left out.
        losses : sequence of Loss
            Plants of the leading crop that died or were replaced.
        beside : sequence of Group
            Other crops in the same tank, each with its count, day, pots and losses.
        hole : quantity, length
            Height of the lower edge of the overflow hole; where the workbook would drill it when left out.
        slots : int
            For net pots in the lid; as many as the plants ask for when left out.
        top_up : TopUp
            What is added through the season: ``budget.by_hand``, ``drip``, ``float_valve``; nothing when left out.
        top_up_water : Water, str or Path
            What is added, where it is not the water of the filling.
        reading : Reading
            What was read in mid-season: the forecast begins on that day, at that level.
        months : Months
            Twelve monthly highs, lows and rainfalls to make weather from, where the site has no daily record.
        shelf : Shelf, str or Path
            What there is to weigh and pour, or the path of its file; the workbook's own salts when left out.

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
        plants, holes = some_plants(crop, count, chosen_tank), slots_from(slots)
        if count is None and holes is not None and not isinstance(crop, Plants):
            plants = Plants(plants.crop, min(plants.count, holes))
        place = weather.site(site) if isinstance(site, str) else site
        if not isinstance(place, weather.Site):
            raise Problem(f"A site is a Site or one of {', '.join(weather.sites())}; {site!r} is neither.")
        source = str(record) if record is not None else site if isinstance(site, str) else None
        if record is not None:
            place = dataclasses.replace(place, weather=a_record(str(record), Path(), place))
        if months_from(months) is not None:
            if record is not None:
                raise Problem(
                    "A plan takes its weather from a record or from twelve months. Give one of them."
                )
            made, source = months.record(place), None  # type: ignore[union-attr]
            if place.weather is not made:
                place = dataclasses.replace(place, weather=made)
        if place.weather is None:
            raise Problem(
                f"{place.name} has no weather record. Name one: {', '.join(weather.sites())}, or a CSV, or give "
                "twelve months."
            )
        if not isinstance(name, (str, type(None))):
            raise Problem(f'A name is a text, such as "Tub A"; {name!r} is not.')
        stands, shelf_file = shelf_from(shelf)
        first = day_from(start)
        return cls(
            name=name or _usual_name(plants, chosen_tank),
            tank=chosen_tank,
            plants=plants,
            site=place,
            water=water_from(water),
            start=first,
            acid=acid_from(acid, stands),
            target_ph=ph_from(target_ph, plants),
            record=source,
            until=until_from(until),
            colour=colour_from(colour),
            shade=shade_from(shade),
            losses=losses_from(losses, plants.count),
            beside=groups_from(beside),
            hole=hole_from(hole, chosen_tank),
            slots=holes,
            top_up=top_up_from(top_up),
            top_up_water=None if top_up_water is None else water_from(top_up_water),
            reading=reading_from(reading, first, chosen_tank),
            months=months,
            shelf=stands,
            shelf_file=shelf_file,
        )

    @property
    def acid_at_hand(self) -> products.Acid:
        """The acid: the bottle on the shelf, else that of the workbook."""
        return acid_at_hand(self.acid, self.shelf)

    @property
    def groups(self) -> tuple[Group, ...]:
        """All plants in the tank, the leading crop first."""
        leading = Group(self.plants.crop, self.plants.count, losses=self.losses)
        return (leading, *self.beside)

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
            **{name: getattr(self, name) for name in _KEPT},
        }
        if "crop" in changes or "count" in changes:  # other plants: none of them has died yet
            kept["losses"] = ()
        other = changes.get("site", self.site)
        if changes.get("record") is not None or getattr(other, "weather", None) is not self.site.weather:
            kept["months"] = None  # another record takes their place
        stands, shelf_file = (
            shelf_from(changes["shelf"]) if "shelf" in changes else (self.shelf, self.shelf_file)  # type: ignore[arg-type]
        )
        if "shelf" in changes and (self.acid == acid_from(None, self.shelf) or not _has(stands, self.acid)):
            kept["acid"] = None
        kept["shelf"] = stands
        words = [*kept, "record"]
        if unknown := next((word for word in changes if word not in words), None):
            raise Problem(f"A plan has no {unknown!r} to change. It has: {', '.join(words)}.")
        made = Plan.make(**{**kept, **changes, "shelf": stands})
        made = dataclasses.replace(made, shelf_file=shelf_file)
        if made.record is None and made.site.weather is self.site.weather:
            made = dataclasses.replace(made, record=self.record)
        made.outlook.take_over(self.outlook)
        return made

    def under(self, sky: budget.Skies) -> "Plan":
        """Make the same plan under weather that was drawn for several tanks.

        Parameters
        ----------
        sky : Skies
            Drawn by a scenario that begins no later and lasts as long.

        Returns
        -------
        Plan
            A new one, whose ``outlook`` follows that weather; `change` draws its own again.

        Raises
        ------
        Problem
            This is no sky.

        Examples
        --------
        >>> plan = Plan.make(count=4)
        >>> plan.under(plan.scenario().skies()).outlook.days == plan.outlook.days
        True
        """
        if not isinstance(sky, budget.Skies):
            raise Problem("A plan is set under a sky that scenario.skies() has drawn.")
        made = dataclasses.replace(self)
        made.__dict__["outlook"] = Outlook(made, sky)  # where the cached property keeps it
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
            follows.pots.tank,
            follows.plantings,
            self.site,
            start=follows.first_day,
            days=follows.days,
            first_level=follows.first_level,
            filling_level=follows.fill_level,
            first_conductivity=self.reading.conductivity if self.reading else None,
            overflow_height=follows.hole,
            top_up=self.top_up,
        )

    def __str__(self) -> str:
        return str(self.outlook)

    def save(self, path: str | Path, *, expected: bytes | EllipsisType | None = ...) -> bytes:
        """Write the choices to a readable TOML file, whole or not at all.

        Parameters
        ----------
        path : str or Path
            The file; an older one of that name is replaced. Of one in an older format a copy is kept beside it.
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
        keep_older(path)
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
            losses=parts["losses"],
            beside=parts["beside"],
            hole=parts["hole"],
            slots=parts["slots"],
            top_up=parts["top_up"],
            top_up_water=parts["top_up_water"],
            reading=parts["reading"],
            months=parts["months"],
            shelf=parts["shelf"],
        )
        return dataclasses.replace(made, record=parts["record"], shelf_file=parts["shelf_file"])

    def _parts(self) -> Parts:
        return cast(Parts, {name: getattr(self, name) for name in Parts.__annotations__})


# What a change leaves as it is.
_KEPT = ("losses", "beside", "hole", "slots", "top_up", "top_up_water", "reading", "months")


def _has(stands: products.Shelf | None, acid: str) -> bool:
    """Whether an acid of this name is on a shelf, or in the workbook's own table."""
    return products.known(products.Acid, acid) or (stands is not None and acid in stands.acids)


def _usual_name(plants: Plants, chosen: Tank) -> str:
    return f"{plants.crop.label}, {chosen.name or 'still tank'}"


def _path(given: object) -> Path:
    """A path from what was given; an empty one names nothing."""
    if isinstance(given, (str, Path)) and "\0" not in str(given) and str(given).strip():
        return Path(given)
    raise Problem(f'A file is named by a text, such as "my-tank.toml"; a {type(given).__name__} is not one.')
