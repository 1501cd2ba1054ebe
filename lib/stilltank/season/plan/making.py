"""The tank plan: what was chosen for one tank and one season, and what follows from it."""

import dataclasses
import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.files import write_atomically
from stilltank.science import budget, calendar, mixing, ph, roots, tank, weather
from stilltank.science.crop import Plants
from stilltank.units import Problem, Q, write, write_range

from .choosing import a_day, a_ph, a_record, a_tank, a_water, room, some_plants
from .document import Document, as_text
from .sections import plan_from, sections_of

# Results that stay as they were while these choices do; a change reckons only the others again.
_FOLLOWS = {
    ("_mixture", "ph_before_acid"): ("tank", "water", "acid", "target_ph", "_recipe_name"),
    ("schedule",): ("plants", "site", "start"),
    ("season", "weekly", "pots_clear"): ("tank", "plants", "site", "start"),
}


@dataclass(frozen=True)
class CheckDay:
    """A day on which to look at the tank, and what for."""

    day: date
    what: str


@dataclass(frozen=True)
class TraceStock:
    """A small concentrate: ``masses`` made up to ``volume``; ``dose`` of it goes into the tank."""

    name: str
    masses: Mapping[str, Any]
    volume: Any
    dose: Any


@dataclass(frozen=True, eq=False)
class Plan:
    """One tank for one season. Make it with ``Plan.make``; all results follow from what was chosen.

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
        chosen_tank = a_tank(tank)
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
            water=a_water(water),
            start=a_day(start),
            acid=ph.acid(acid or str(default["acid", "name"].value)).name,
            target_ph=a_ph(target_ph, plants),
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
            "target_ph": None if self.target_ph == a_ph(None, self.plants) else self.target_ph,
        }
        made = Plan.make(**{**kept, **changes})
        if made.record is None and made.site.weather is self.site.weather:
            made = dataclasses.replace(made, record=self.record)
        for results, choices in _FOLLOWS.items():
            if all(getattr(made, choice) == getattr(self, choice) for choice in choices):
                made.__dict__.update({name: self.__dict__[name] for name in results if name in self.__dict__})
        return made

    # What follows from the choices.

    def settle(self) -> "Plan":
        """Compute all that follows, so that a choice that cannot be reckoned with is refused now; returns the plan.

        Raises Problem as the science does.
        """
        _ = self.doses, self.weekly, self.check_days, self.refill, self.storm, self.crowded
        return self

    @cached_property
    def fill_level(self) -> Any:
        """Level to fill to at planting, cm above the floor."""
        return roots.fill_level(self.tank)

    @cached_property
    def volume(self) -> Any:
        """Solution to mix, L."""
        return self.tank.volume(self.fill_level)

    @cached_property
    def overflow(self) -> roots.OverflowHole:
        """Where the overflow hole goes."""
        return roots.overflow_height(self.tank)

    @cached_property
    def targets(self) -> Mapping[str, Any]:
        """What the finished solution should hold, mg/L of each element."""
        return mixing.recipe_targets(self._recipe_name)

    @property
    def _recipe_name(self) -> str:
        return self.plants.crop.recipe or str(tables.load("plan")["recipe", "name"].value)

    @cached_property
    def _mixture(self) -> tuple[mixing.Recipe, dict[str, ph.Dose]]:
        """Salts and acid together: what the acid brings, the salts need not."""
        recipe = mixing.weigh_out(self.targets, mixing.usual_salts(), self.volume, self.water)
        brought = self._acid(recipe).get("closed")
        if brought is not None:
            left = {
                name: target - brought.adds.get(name, Q(0, "mg/L")) for name, target in self.targets.items()
            }
            left = {name: target for name, target in left.items() if target > 0.05 * self.targets[name]}
            recipe = mixing.weigh_out(left, mixing.usual_salts(), self.volume, self.water)
        return recipe, self._acid(recipe)

    def _acid(self, recipe: mixing.Recipe) -> dict[str, ph.Dose]:
        return {
            air: ph.acid_dose(recipe.solution, self.target_ph, self.acid, air=air)
            for air in ("closed", "open")
            if ph.ph_of(recipe.solution, air=air) > self.target_ph
        }

    @property
    def recipe(self) -> mixing.Recipe:
        """What to weigh for this water, less what the acid brings."""
        return self._mixture[0]

    @property
    def doses(self) -> dict[str, ph.Dose]:
        """Acid for the target pH: ``"closed"`` now, ``"open"`` once at rest with the air; empty when none is needed."""
        return self._mixture[1]

    @property
    def parts(self) -> dict[str, dict[str, Any]]:
        """What the water, the salts and the acid each bring, mg/L of each element of the recipe."""
        nothing = Q(0, "mg/L")
        water = {name: self.water.elements.get(name, nothing) for name in self.targets}
        solution = self.recipe.solution.elements
        acid = self.doses["closed"].adds if "closed" in self.doses else {}
        return {
            "from the water": water,
            "from the salts": {name: solution.get(name, nothing) - water[name] for name in self.targets},
            "from the acid": {name: acid.get(name, nothing) for name in self.targets},
        }

    @cached_property
    def ph_before_acid(self) -> float:
        """pH of the mixed solution before any acid, while it holds the carbon dioxide of the water."""
        return float(ph.ph_of(self.recipe.solution, air="closed"))

    @property
    def excess(self) -> dict[str, str]:
        """A sentence for each element of which the acid alone brings more than the target."""
        brought = self.parts["from the acid"]
        return {
            name: f"{name}: the acid alone brings {write(brought[name])}, and {write(target)} are wanted. "
            "Take another acid, or mix the water with rain water."
            for name, target in self.targets.items()
            if brought[name] > target
        }

    @property
    def missed(self) -> dict[str, str]:
        """A sentence for each element that salts and acid together do not bring to its target."""
        brought = self.parts["from the acid"]
        found = {
            name: sentence
            if brought[name] == Q(0, "mg/L")
            else f"{sentence} The acid adds {write(brought[name])} more."
            for name, sentence in self.recipe.missed.items()
        }
        found.update(self.excess)
        return found

    @property
    def crowded(self) -> str:
        """A sentence where more plants are planned than the lid has room for; else empty."""
        most = room(self.tank, self.plants.crop)
        if self.plants.count <= most:
            return ""
        return (
            f"{self.plants.count} plants are more than this lid has room for: {most} when each spreads over "
            f"{write(self.plants.crop.canopy_area)}. Crowded plants shade each other, and these numbers do not know it."
        )

    @property
    def trace_stocks(self) -> tuple[TraceStock, ...]:
        """Small concentrates of the salts too light for a kitchen scale; iron apart from the rest."""
        volume, dose = (tables.load("plan")["trace stock", name].quantity for name in ("volume", "dose"))
        times = (volume / dose).m_as("dimensionless")
        groups: dict[str, dict[str, Any]] = {}
        for name in self.recipe.too_small:
            label = "iron" if mixing.salt(name).part == "A" else "trace elements"
            groups.setdefault(label, {})[name] = self.recipe.masses[name] * times
        return tuple(TraceStock(label, masses, volume, dose) for label, masses in groups.items())

    @cached_property
    def schedule(self) -> calendar.Schedule:
        """Sowing, flowering and end, with their range."""
        return calendar.schedule(self.plants.crop, self.site, self.start - self._seedling_time)

    @property
    def _seedling_time(self) -> timedelta:
        days = self.plants.crop.seedling_days
        return timedelta(days=round(days.m_as("day")) if days is not None else 0)

    @cached_property
    def days(self) -> int:
        """Length of the season that is reckoned, from filling to the end of the harvest, or to its latest begin."""
        last = max(self.schedule.end, self.schedule.first_flower.late)
        return max(int((last - self.start).days) + 1, 14)

    @cached_property
    def season(self) -> budget.Ensemble:
        """The seasons that could come: level and volume day by day, with their range."""
        return budget.ensemble(
            self.tank,
            self.plants,
            self.site,
            start=self.start,
            days=self.days,
            fill_level=self.fill_level,
            overflow_height=self.overflow.height,
        )

    @cached_property
    def stop_levels(self) -> tuple[Any, Any]:
        """Lowest and highest level, cm, at which publications end a crop: so much of the filling is left."""
        return tuple(
            self.tank.level(self.volume * share)
            for share in tables.load("budget")["stop", "share left"].range
        )

    @cached_property
    def pots_clear(self) -> tuple[date | None, date | None]:
        """Days by which the net pots hang clear in 1 and in 9 of 10 seasons; None: not within the season."""
        first = np.atleast_1d(np.asarray(roots.day_pots_clear(self.tank, self.season.level), dtype=float))
        days = np.sort(np.where(np.isnan(first), math.inf, first))
        picked = [days[min(math.ceil(share * days.size), days.size) - 1] for share in (0.1, 0.9)]
        early, late = (None if math.isinf(day) else self.start + timedelta(days=int(day)) for day in picked)
        return early, late

    @cached_property
    def refill(self) -> roots.RefillLimit:
        """The most that may be added at once after the net pots hang clear, at the level where they just do."""
        clear = self.tank.height - self.tank.net_pot_depth
        return roots.refill_limit(self.tank, clear - Q(0.1, "cm"), hung_clear=True)

    @cached_property
    def storm(self) -> Any:
        """Rain, mm, that raises the level by the refill limit when all of it on the lid finds its way in."""
        level = self.refill.highest_level - self.refill.rise
        return roots.rain_for_rise(self.tank, level, self.refill.rise)

    @cached_property
    def weekly(self) -> list[dict[str, Any]]:
        """The level to expect at the end of each week: ``week``, ``day``, ``low``, ``median``, ``high``."""
        ends = np.unique(np.append(np.arange(6, self.days, 7), self.days - 1))
        low, median, high = (self.season.quantile(share, "level")[ends] for share in (0.1, 0.5, 0.9))
        return [
            {
                "week": number,
                "day": self.start + timedelta(days=int(end)),
                "low": low[number - 1],
                "median": median[number - 1],
                "high": high[number - 1],
            }
            for number, end in enumerate(ends, 1)
        ]

    @property
    def check_days(self) -> list[CheckDay]:
        """Days on which to look at the tank, besides once a week."""
        return self.looks()

    def looks(self, system: str = "metric") -> list[CheckDay]:
        """The ``check_days``, with their heights in ``"metric"`` or ``"US"`` units."""
        flower = self.schedule.first_flower
        near = self.target_ph if "closed" in self.doses else round(self.ph_before_acid, 1)
        rises = ": it rises as carbon dioxide leaves" if "open" in self.doses else ""
        fill, most = write(self.fill_level, system), write(self.refill.rise, system)
        found = [
            CheckDay(self.start, f"fill to {fill}, set the pH, plant; mark the fill line"),
            CheckDay(self.start + timedelta(days=1), f"read the pH; it should be near {near:g}"),
            CheckDay(self.start + timedelta(days=7), f"read the pH again{rises}"),
        ]
        if early := self.pots_clear[0]:
            found.append(CheckDay(early, f"the pots may hang clear: from now on add {most} at most"))
        found.append(CheckDay(flower.early, f"{self.schedule.event} possible from now on"))
        if stop := self.season.date_range("stop")[0]:
            day = max(stop - timedelta(days=3), self.start)
            levels = write_range(*self.stop_levels, system, digits=2)
            found.append(CheckDay(day, f"in 1 of 10 seasons the level to stop at, {levels}, is days away"))
        return sorted(found, key=lambda item: item.day)

    @property
    def cautions(self) -> tuple[str, ...]:
        """Names of the cautions that go with this tank, in shared/cautions.toml."""
        names = [
            "rules_first",
            *(["acids"] if self.doses else []),
            "oxidisers",
            "lifting",
            "open_water",
            "emptying",
        ]
        if self.site.cover == "indoors":
            names.append("electricity")
        if self.plants.crop.use != "flower":
            names.append("eating")
        return tuple(names)

    @property
    def weaknesses(self) -> tuple[str, ...]:
        """Where the numbers of this plan are weak, in sentences."""
        return (
            *([self.crowded] if self.crowded else []),
            *self.schedule.reasons,
            *self.season.procedures,
            *(self.site.weather.notes if self.site.weather else ()),
            *self.missed.values(),
            *self.water.notes,
        )

    def __str__(self) -> str:
        early, _, late = self.season.date_range("stop")
        until = f"between {early} and {late or 'the end'}" if early else "not before the end of the season"
        return (
            f"{self.name}: fill to {write(self.fill_level)} ({write(self.volume)}) on {self.start}, overflow hole at "
            f"{write(self.overflow.height)}. {self.schedule.event.capitalize()} {self.schedule.first_flower}. "
            f"Stop level reached {until}."
        )

    # The file and the card.

    def save(self, path: Any) -> None:
        """Write the choices to a readable TOML file, whole or not at all.

        Parameters
        ----------
        path : text or Path; an older file of that name is replaced

        Raises
        ------
        Problem   the folder cannot be written; or weather, crop or tank are of a kind that the file cannot hold
        """
        path = Path(path)
        write_atomically(path, as_text(sections_of(self, path.parent)))

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
        return plan_from(cls, Document(Path(path)))

    def card(self, path: Any, system: str = "metric") -> Path:
        """Write the one-page tank card, a web page that needs nothing else, ready to print.

        Parameters
        ----------
        path : text or Path, ending in .html
        system : "metric" or "US"

        Returns
        -------
        Path

        Raises
        ------
        Problem   the folder cannot be written
        """
        # The one call upwards: a plan can print itself, and only then are figures loaded.
        from stilltank.show import pages

        write_atomically(Path(path), pages.tank_card(self, system))
        return Path(path)


def _usual_name(plants: Plants, chosen: tank.Tank) -> str:
    return f"{plants.crop.label}, {chosen.name or 'still tank'}"
