"""What follows from the choices of a plan: solution, dates, levels, days to look, cautions."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from operator import attrgetter
from typing import Any, Protocol

import numpy as np
import pint

from stilltank import tables
from stilltank.science import budget, calendar, mixing, ph, products, roots, tank, weather
from stilltank.science.crops import Crop, Plants
from stilltank.units import Q, Quantity, UnitNeeded, on_ruler, ruler_range, write, write_range

from .choices import Until, room
from .courses import Course, courses, length_of
from .groups import Group, Loss, Reading
from .mixture import Mixture, mixture
from .top_ups import TopUps, water_added
from .warm_weeks import WarmWeeks, warm_weeks

_MARGIN = (
    1.1  # over and under a crop's range of conductivity before it is called outside: such ranges are rough
)
_SOME = 0.1  # of the seasons: what comes less often is not told

# Results that stay as they were while these choices do; a change calculates only the others again.
_DATES = ("plan.plants", "plan.losses", "plan.beside", "plan.site", "plan.start", "plan.until")
_LEVELS = ("plan.tank", "plan.hole", "plan.top_up", "plan.reading")
_MIXTURE = (
    *("plan.tank", "plan.hole", "plan.water", "plan.acid", "plan.target_ph", "plan.shelf", "recipe_name"),
    *("plan.plants.crop", "plan.beside"),
)
_FOLLOWS = {
    ("_mixture", "ph_before_acid"): _MIXTURE,
    ("courses", "plants"): _DATES,
    ("salt", "top_ups"): (*_MIXTURE, *_DATES, *_LEVELS, "plan.top_up_water", "sky"),
    ("season", "weekly", "pots_clear", "rain_rises"): (*_DATES, *_LEVELS, "sky"),
    ("warm_weeks",): (*_DATES, *_LEVELS, "plan.colour", "plan.shade", "sky"),
}


@dataclass(frozen=True)
class CheckDay:
    """A day on which to visit the tank, and what for.

    Parameters
    ----------
    day : date
        The day.
    what : str
        What there is to do or to see.

    Examples
    --------
    >>> CheckDay(date(2027, 4, 27), "read the pH").day.isoformat()
    '2027-04-27'
    """

    day: date
    what: str


class Chosen(Protocol):
    """What an outlook follows from: a plan."""

    @property
    def name(self) -> str: ...  # noqa: D102
    @property
    def tank(self) -> tank.Tank: ...  # noqa: D102
    @property
    def plants(self) -> Plants: ...  # noqa: D102
    @property
    def site(self) -> weather.Site: ...  # noqa: D102
    @property
    def water(self) -> mixing.Water: ...  # noqa: D102
    @property
    def start(self) -> date: ...  # noqa: D102
    @property
    def acid(self) -> str: ...  # noqa: D102
    @property
    def acid_at_hand(self) -> products.Acid: ...  # noqa: D102
    @property
    def target_ph(self) -> float: ...  # noqa: D102
    @property
    def shelf(self) -> products.Shelf | None: ...  # noqa: D102
    @property
    def until(self) -> Until: ...  # noqa: D102
    @property
    def losses(self) -> tuple[Loss, ...]: ...  # noqa: D102
    @property
    def beside(self) -> tuple[Group, ...]: ...  # noqa: D102
    @property
    def groups(self) -> tuple[Group, ...]: ...  # noqa: D102
    @property
    def hole(self) -> Quantity | None: ...  # noqa: D102
    @property
    def slots(self) -> int | None: ...  # noqa: D102
    @property
    def top_up(self) -> budget.TopUp: ...  # noqa: D102
    @property
    def top_up_water(self) -> mixing.Water | None: ...  # noqa: D102
    @property
    def reading(self) -> Reading | None: ...  # noqa: D102
    @property
    def colour(self) -> str: ...  # noqa: D102
    @property
    def shade(self) -> float: ...  # noqa: D102
    def scenario(self) -> budget.Scenario: ...  # noqa: D102


@dataclass(frozen=True, eq=False)
class Outlook:
    """What follows from the choices of a plan, each calculated when it is first asked for.

    Attributes
    ----------
    plan : Plan
        The choices.
    sky : Skies, optional
        The weather that tanks beside each other share; the plan draws its own when None.
    """

    plan: Chosen
    sky: budget.Skies | None = None

    def settle(self) -> None:
        """Calculate all that follows, so that a choice that cannot be calculated with is refused now.

        Raises
        ------
        Problem
            As the science does.
        """
        _ = self.doses, self.weekly, self.check_days, self.refill, self.storm, self.crowded

    def take_over(self, before: "Outlook") -> None:
        """Keep what was calculated for another plan, where it follows from the same choices.

        Parameters
        ----------
        before : Outlook
            Of the plan as it was.
        """
        for results, choices in _FOLLOWS.items():
            if all(attrgetter(choice)(self) == attrgetter(choice)(before) for choice in choices):
                self.__dict__.update(
                    {name: before.__dict__[name] for name in results if name in before.__dict__}
                )

    @cached_property
    def pots(self) -> roots.MixedPots:
        """The net pots of all groups: the shallowest say how high to fill, and when the first hang clear."""
        usual = self.plan.tank.net_pot_depth
        depths = [usual if group.pot_depth is None else group.pot_depth for group in self.plan.groups]
        return roots.mixed_pots(self.plan.tank, depths)

    @cached_property
    def fill_level(self) -> pint.Quantity:
        """Level to fill to at planting, cm above the floor: where the pots ask for it, or at the hole below that.

        A hole in a plan that goes on from a reading was drilled, or opened, after the filling.
        """
        usual = self.pots.fill_level
        low = self.plan.hole is not None and self.plan.hole < usual and self.plan.reading is None
        return self.plan.hole.to("cm") if low and self.plan.hole is not None else usual

    @property
    def hole(self) -> pint.Quantity:
        """Height of the overflow hole that counts: the chosen one, or where it goes."""
        return self.overflow.height if self.plan.hole is None else self.plan.hole

    @property
    def first_day(self) -> date:
        """The day on which the forecast begins: the planting, or a reading in mid-season."""
        return self.plan.reading.day if self.plan.reading else self.plan.start

    @property
    def first_level(self) -> pint.Quantity:
        """The level on that day."""
        return self.plan.reading.level if self.plan.reading else self.fill_level

    @cached_property
    def volume(self) -> pint.Quantity:
        """Solution to mix, L."""
        return self.plan.tank.volume(self.fill_level)

    @cached_property
    def overflow(self) -> roots.HoleHeight:
        """Where the overflow hole goes."""
        return roots.overflow_height(self.pots.tank)

    @property
    def targets(self) -> Mapping[str, pint.Quantity]:
        """What the finished solution should hold, mg/L of each element: the recipe, as strong as the crop likes it."""
        return self._mixture.strength.targets

    @property
    def recipe_name(self) -> str:
        """Name of the recipe by elements: the crop's, or the usual one."""
        return self.plan.plants.crop.recipe or str(tables.load("plan")["recipe", "name"].value)

    @cached_property
    def _mixture(self) -> Mixture:
        """Salts and acid together: what the acid brings, the salts need not."""
        return mixture(
            mixing.recipe_targets(self.recipe_name),
            self.volume,
            self.plan.water,
            self.plan.plants.crop,
            self.plan.acid_at_hand,
            self.plan.target_ph,
            self.plan.shelf,
        )

    @property
    def recipe(self) -> mixing.Recipe:
        """What to weigh for this water, less what the acid brings; in the steps of the balance on the shelf."""
        return self._mixture.recipe

    @property
    def by_shelf(self) -> mixing.ShelfRecipe | None:
        """What the shelf reaches, lacks and costs; None where the workbook's own salts are weighed."""
        return self._mixture.by_shelf

    @property
    def strength(self) -> mixing.CropStrength:
        """How strong the recipe is mixed, so that the meter shows what the crop likes."""
        return self._mixture.strength

    @property
    def doses(self) -> dict[str, ph.Dose]:
        """Acid for the target pH: ``"closed"`` now, ``"open"`` once at rest with the air; empty when none is needed."""
        return self._mixture.doses

    @property
    def costs(self) -> dict[str, float | None]:
        """Price of what goes into the filling, by the names on the shelf; None for what has no price."""
        shelf = self.plan.shelf
        found: dict[str, float | None] = {} if self.by_shelf is None else dict(self.by_shelf.costs)
        dose = self.doses.get("closed")
        if shelf is not None and dose is not None and dose.acid.name in shelf.acids:
            amount = dose.mass if dose.volume is None else dose.volume
            found[dose.acid.name] = None if amount is None else shelf.acids[dose.acid.name].cost(amount)
        return found

    @property
    def shelf_words(self) -> tuple[str, ...]:
        """What the shelf lacks and what would bring it, which bag or bottle is nearly empty, what was assumed."""
        shelf, found = self.plan.shelf, list[str]()
        if self.by_shelf is not None:
            found += [*self.by_shelf.missing, *self.by_shelf.stock]
        dose = self.doses.get("open", self.doses.get("closed"))
        if shelf is not None and dose is not None and dose.acid.name in shelf.acids:
            held, amount = shelf.acids[dose.acid.name], dose.mass if dose.volume is None else dose.volume
            if held.left is not None and amount is not None and held.lacking(amount) > 0 * amount:
                found.append(
                    f"{held.name}: {write(held.left)} is left, and this takes {write(amount)} in all."
                )
        return (*found, *(self.by_shelf.notes if self.by_shelf is not None else ()))

    @property
    def parts(self) -> dict[str, dict[str, pint.Quantity]]:
        """What the water, the salts and the acid each bring, mg/L of each element of the recipe."""
        nothing = Q(0, "mg/L")
        water = {name: self.plan.water.elements.get(name, nothing) for name in self.targets}
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

    @cached_property
    def salt(self) -> budget.SaltCourse:
        """What a meter shows when the tank is filled, when half is left, and where the crop is ended."""
        return budget.salt_course(
            self.season,
            self.recipe,
            cover=self.plan.site.cover,
            strength=self.plan.top_up.strength,
            top_up_water=self.top_up_water,
        )

    @property
    def top_up_water(self) -> mixing.Water:
        """What is topped up with: the water that was named, rain from a barrel, or the water of the filling."""
        return water_added(self.plan.top_up, self.plan.top_up_water, self.plan.water)

    @cached_property
    def top_ups(self) -> TopUps:
        """What the top-ups bring: litres, alkalinity and pH, the acid for the bottle, the day to replace."""
        water, strength = self.top_up_water, self.plan.top_up.strength
        acid = ph.acid_for_top_up(water, self.plan.acid_at_hand)
        plain, acidified = (
            budget.alkalinity_course(
                self.season,
                self.recipe,
                water,
                first_ph=self.plan.target_ph,
                left=left,
                strength=strength,
                cover=self.plan.site.cover,
            )
            for left in (None, acid.left)
        )
        above = self.rain_rises[0]
        return TopUps(self.season, self.plan.top_up, water, acid, plain, acidified, above)

    @property
    def salt_words(self) -> tuple[str, ...]:
        """Sentences on the conductivity at stated fillings, beside the crop's own range."""
        found, crop = self.salt, self.plan.plants.crop
        half, stop = (f"{100 * share:.0f} % left" for share in found.shares)
        some = np.isfinite(found.half[1].magnitude)
        added = "where nothing is added" if self.plan.top_up.way == "nothing" else "with the top-ups"
        course = (
            f"EC {added}: {write(found.filled, digits=2)} when filled, "
            + (f"{_reading(found.half)} with {half}, " if some else "")
            + f"{_reading(found.stop)} at the end or with {stop}."
        )
        low, high = crop.conductivity_low, crop.conductivity_high
        own = ""
        if low is not None and high is not None:
            kind = crop.where_from("conductivity").kind
            own = f"{crop.label or crop.name}: {write_range(low, high, digits=2)} ({kind})."
            own += f" {self.strength.sentence}" if self.strength.sentence else ""
            own += " If your meter shows more, top up with plain water; if less, with solution."
        dry = ""
        if found.share_dry >= _SOME:
            dry = (
                f"Below {stop}, as in {100 * found.share_dry:.0f} of 100 seasons, the salts of the whole filling are "
                "in little water: end the crop before."
            )
        return tuple(sentence for sentence in (course, own, dry) if sentence)

    @property
    def ph_words(self) -> tuple[str, ...]:
        """Sentences on the pH of the plan, beside the crop's own range and the pH that brings trouble."""
        crop, target = self.plan.plants.crop, self.plan.target_ph
        found = []
        low, high = crop.ph_low, crop.ph_high
        if low is not None and high is not None:
            kind = crop.where_from("ph_low").kind
            beside = "" if low <= target <= high else f"; the target of {target:g} is outside"
            found.append(f"{crop.label or crop.name}: pH {low:g} to {high:g} ({kind}){beside}.")
        group = _low_ph_group(crop)
        if group:
            best, worst = group["pH"], group["trouble above"]
            found.append(
                f"It takes up iron badly where the pH is high: {best.low:g} to {best.high:g} is better, and above "
                f"{worst.value:g} expect pale young leaves (a list for pots)."
            )
        return tuple(found)

    @property
    def meter_words(self) -> str:
        """What the meters should show, in few words: for the card."""
        crop, found = self.plan.plants.crop, self.salt
        parts = []
        if crop.ph_low is not None and crop.ph_high is not None:
            parts.append(f"pH {crop.ph_low:g} to {crop.ph_high:g}")
        group = _low_ph_group(crop)
        if group:
            parts.append(f"above {group['trouble above'].value:g} pale young leaves")
        if crop.conductivity_low is not None and crop.conductivity_high is not None:
            own = write_range(crop.conductivity_low, crop.conductivity_high, digits=2)
            parts.append(f"EC {own} (above: add water; below: solution)")
        likes = f"{crop.label or crop.name}: {', '.join(parts)}. " if parts else ""
        return f"{likes}EC filled {write(found.filled, digits=2)}, at the end {_reading(found.stop)}."

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
        if self.by_shelf is not None:
            found = {", ".join(lack.shares): lack.sentence for lack in self.by_shelf.lacks}
        found.update(self.excess)
        return found

    @property
    def spread(self) -> float:
        """How far grown leaves spread over the lid, as a part of it, when most stand in the tank at once."""
        lid = self.plan.tank.lid_area
        return max(
            sum(
                float((other.group.plants.canopy_area / lid).m_as("dimensionless"))
                for other in self.courses
                if other.transplanted <= one.transplanted <= other.end
            )
            for one in self.courses
        )

    @property
    def most_at_once(self) -> int:
        """The most plants that stand in the tank at one time."""
        return max(
            sum(
                other.group.standing(one.transplanted)
                for other in self.courses
                if other.transplanted <= one.transplanted <= other.end
            )
            for one in self.courses
        )

    @property
    def crowded(self) -> str:
        """A sentence where more plants are planned than the lid has room for; else empty."""
        plants, slots = self.plan.plants, self.plan.slots
        if slots is not None and self.most_at_once > slots:
            return f"{self.most_at_once} plants stand in the tank at once, and its lid has {slots} slots for net pots."
        if self.plan.beside:
            if self.spread <= 1 + 1e-9:
                return ""
            return (
                f"The {self.most_at_once} plants would spread over {self.spread:.2g} times the lid. Crowded plants "
                "shade each other, and these numbers do not know it."
            )
        most = room(self.plan.tank, plants.crop)
        if plants.count <= most:
            return ""
        return (
            f"{plants.count} plants are more than this lid has room for: {most} when each spreads over "
            f"{write(plants.canopy_area / plants.count)}. Crowded plants shade each other, and these numbers do not "
            "know it."
        )

    @property
    def low_hole(self) -> str:
        """A sentence where the hole keeps the tank from being filled to the pots; else empty."""
        usual = self.pots.fill_level
        if self.plan.hole is None or self.fill_level >= usual:
            return ""
        return (
            f"The hole at {write(self.plan.hole)} is below the fill line of {write(usual)} that the pots need: young "
            "plants would hang dry. Use deeper pots, or close the hole and drill higher."
        )

    @property
    def ill_matched(self) -> tuple[str, ...]:
        """A sentence for each crop beside the leading one that wants another pH or another strength."""
        found = []
        for group in self.plan.beside:
            kind, wants = group.crop, []
            low, high = kind.ph_low, kind.ph_high
            if low is not None and high is not None and not low <= self.plan.target_ph <= high:
                wants.append(f"pH {low:g} to {high:g}, and the target is {self.plan.target_ph:g}")
            least, most = kind.conductivity_low, kind.conductivity_high
            filled = self.recipe.solution.conductivity()
            if least is not None and most is not None and not least / _MARGIN <= filled <= most * _MARGIN:
                wants.append(
                    f"EC {write_range(least, most, digits=2)}, and the tank is filled at {write(filled, digits=2)}"
                )
            if wants:
                found.append(f"{kind.label or kind.name} wants {'; '.join(wants)}.")
        return tuple(found)

    @property
    def far_weather(self) -> str:
        """A sentence where the weather is that of another hemisphere or a latitude far off; else empty."""
        record = self.plan.site.weather
        if record is None or record.latitude is None:
            return ""
        there, here = (float(place.m_as("degree")) for place in (record.latitude, self.plan.site.latitude))
        if there * here < 0:
            why = "the other half of the earth has its summer half a year later"
        elif abs(there - here) > tables.number("plausible", "weather", "largest latitude gap", "degree"):
            why = "so far apart, warmth and length of day are others"
        else:
            return ""
        return (
            f"The weather is that of {record.name or 'a record'} at {latitude_text(there)}, and the tank stands at "
            f"{latitude_text(here)}: {why}. Take a record from nearer by."
        )

    @cached_property
    def trace_stocks(self) -> tuple[mixing.TraceStock, ...]:
        """Small stock solutions of the salts too light for the balance: one for iron and trace elements."""
        shelf = self.plan.shelf
        return mixing.trace_stocks(self.recipe, None if shelf is None else shelf.balance)

    @property
    def holding_level(self) -> pint.Quantity:
        """Level, cm, up to which the plan tops up; the usual share of the first level where its routine names none."""
        level = self.plan.top_up.level
        usual = tables.number("budget", "top-up", "holding level", "1") * self.first_level
        return (usual if level is None else level).to("cm")

    @cached_property
    def courses(self) -> tuple[Course, ...]:
        """Each group of plants with its dates, the leading crop first."""
        return courses(self.plan.groups, self.plan.site, self.plan.start, self.plan.until)

    @property
    def schedule(self) -> calendar.Schedule:
        """Sowing, flowering and end of the leading crop, with their range."""
        return self.courses[0].schedule

    @cached_property
    def plants(self) -> Plants:
        """The leading crop as set in, with full cover and end on the days of the schedule."""
        return self.courses[0].plants

    @property
    def plantings(self) -> tuple[budget.Planting, ...]:
        """Who drinks when, of those that are in the tank once the forecast has begun."""
        last = self.first_day + timedelta(days=self.days - 1)
        return tuple(
            replace(one, last_day=None) if one.last_day == self.end else one  # it stays to the end
            for course in self.courses
            for one in course.plantings
            if (one.first_day or last) <= last and (one.last_day or last) >= self.first_day
        )

    @property
    def end(self) -> date:
        """The day on which the last plants leave the tank."""
        return max(course.end for course in self.courses)

    @property
    def days(self) -> int:
        """Length of the season that is reckoned, from its first day to the end of the last plants."""
        return length_of(self.courses, self.first_day)

    @cached_property
    def season(self) -> budget.Ensemble:
        """The seasons that could come: level and volume day by day, with their range."""
        return self.plan.scenario().ensemble(self.sky)

    @cached_property
    def stop_levels(self) -> tuple[pint.Quantity, pint.Quantity]:
        """Lowest and highest level, cm, at which publications end a crop: so much of the filling is left."""
        low, high = (
            self.plan.tank.level(self.volume * share)
            for share in tables.load("budget")["stop", "share left"].range
        )
        return low, high

    @cached_property
    def pots_clear(self) -> tuple[date | None, date | None]:
        """Days by which the net pots hang clear in 1 and in 9 of 10 seasons; None: not within the season."""
        first = np.atleast_1d(
            np.asarray(roots.day_pots_clear(self.pots.tank, self.season.level), dtype=float)
        )
        days = np.sort(np.where(np.isnan(first), math.inf, first))
        picked = [days[min(math.ceil(share * days.size), days.size) - 1] for share in (0.1, 0.9)]
        early, late = (
            None if math.isinf(day) else self.first_day + timedelta(days=int(day)) for day in picked
        )
        return early, late

    @cached_property
    def warm_weeks(self) -> WarmWeeks | None:
        """How warm the solution gets in the warmest weeks of the season; None indoors and where it would freeze."""
        return warm_weeks(
            self.plan.tank,
            self.plants,
            self.plan.site,
            self.season.dates,
            self.season.quantile(0.5, "level"),
            colour=self.plan.colour,
            shade=self.plan.shade,
        )

    @cached_property
    def refill(self) -> roots.RefillLimit:
        """The most that may be added at once after the net pots hang clear, at the level where they just do."""
        clear = self.pots.tank.height - self.pots.tank.net_pot_depth
        return roots.refill_limit(self.pots.tank, clear - Q(0.1, "cm"), hung_clear=True)

    @cached_property
    def storm(self) -> pint.Quantity:
        """Rain, mm, that raises the level by the refill limit when all of it on the lid finds its way in."""
        level = self.refill.highest_level - self.refill.rise
        return roots.rain_for_rise(self.pots.tank, level, self.refill.rise, rain_share=1)

    @cached_property
    def rain_rises(self) -> tuple[float, pint.Quantity]:
        """Share of the seasons in which rain alone rises above the refill limit, and by how much half of these do."""
        found = self.season.rises
        above = found.above.any(axis=1)
        largest = float(np.median(found.rise.max(axis=1)[above])) if above.any() else 0.0
        return float(above.mean()), Q(100 * largest, "cm")

    @cached_property
    def weekly(self) -> list[dict[str, Any]]:
        """The level to expect at the end of each week: ``week``, ``day``, ``low``, ``median``, ``high``."""
        ends = np.unique(np.append(np.arange(6, self.days, 7), self.days - 1))
        low, median, high = (self.season.quantile(share, "level")[ends] for share in (0.1, 0.5, 0.9))
        return [
            {
                "week": number,
                "day": self.first_day + timedelta(days=int(end)),
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
        """Say the ``check_days`` with their heights in one system of units.

        Parameters
        ----------
        system : str
            "metric" or "US".

        Returns
        -------
        list of CheckDay
            In the order of their days.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> from stilltank.season.plan import Plan
        >>> print(Plan.make(count=4).outlook.looks()[0].what)
        fill to 25 cm, set the pH, plant; mark the fill line
        """
        if not isinstance(system, str):
            raise UnitNeeded(f'The systems are "metric" and "US"; {system!r} is neither.')
        flower = self.schedule.first_flower
        near = self.plan.target_ph if "closed" in self.doses else round(self.ph_before_acid, 1)
        rises = ": it rises as carbon dioxide leaves" if "open" in self.doses else ""
        fill, most = on_ruler(self.fill_level, system), on_ruler(self.refill.rise, system, down=True)
        found = [
            CheckDay(self.plan.start, f"fill to {fill}, set the pH, plant; mark the fill line"),
            CheckDay(self.plan.start + timedelta(days=1), f"read the pH; it should be near {near:g}"),
            CheckDay(self.plan.start + timedelta(days=7), f"read the pH again{rises}"),
        ]
        if early := self.pots_clear[0]:
            found.append(CheckDay(early, f"the pots may hang clear: from now on add {most} at most"))
        found.append(CheckDay(flower.early, f"{self.schedule.event} possible from now on"))
        if stop := self.season.date_range("stop")[0]:
            day = max(stop - timedelta(days=3), self.first_day)
            levels = ruler_range(*self.stop_levels, system)
            found.append(CheckDay(day, f"in 1 of 10 seasons the level to stop at, {levels}, is days away"))
        return sorted((item for item in found if item.day >= self.first_day), key=lambda item: item.day)

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
        if self.plan.site.cover == "indoors":
            names.append("electricity")
        if self.plan.plants.crop.use != "flower":
            names.append("eating")
        return tuple(names)

    @property
    def weaknesses(self) -> tuple[str, ...]:
        """Where the numbers of this plan are weak, in sentences."""
        return (
            *([self.crowded] if self.crowded else []),
            *([self.low_hole] if self.low_hole else []),
            *([self.pots.too_deep] if self.pots.too_deep else []),
            *self.ill_matched,
            *self.schedule.reasons,
            *([self.far_weather] if self.far_weather else []),
            *self.season.procedures,
            *([self.warm_weeks.weakness] if self.warm_weeks else []),
            *(self.plan.site.weather.notes if self.plan.site.weather else ()),
            *([self.recipe.off_target] if self.recipe.off_target and self.by_shelf is None else []),
            *self.shelf_words,
            *self.excess.values(),
            *self.plan.water.notes,
        )

    def __str__(self) -> str:
        early, _, late = self.season.date_range("stop")
        until = f"between {early} and {late or 'the end'}" if early else "not before the end of the season"
        return (
            f"{self.plan.name}: fill to {write(self.fill_level)} ({write(self.volume)}) on {self.plan.start}, overflow "
            f"hole at {write(self.hole)}. {self.schedule.event.capitalize()} {self.schedule.first_flower}. "
            f"Stop level reached {until}."
        )


def _low_ph_group(crop: Crop) -> Mapping[str, tables.Entry]:
    """What is known of the crops that take up iron badly where the pH is high; empty where this is none of them."""
    group = tables.load("ph-groups").of("low")
    return group if crop.name in str(group["crops"].value).split(";") else {}


def _reading(spread: pint.Quantity) -> str:
    """A conductivity with its range; only its lower end where the upper is beyond the model."""
    low, middle, high = (float(end) for end in spread.m_as("mS/cm"))
    if math.isinf(high):
        return f"more than {write(Q(low, 'mS/cm'), digits=2)}"
    return f"{write(Q(middle, 'mS/cm'), digits=2)} ({write_range(spread[0], spread[2], digits=2)})"


def latitude_text(degrees: float) -> str:
    """Write a latitude for people.

    Parameters
    ----------
    degrees : float
        North of the equator; negative in the south.

    Returns
    -------
    str
        With its side of the equator.

    Examples
    --------
    >>> latitude_text(-33.9)
    '33.9° south'
    """
    return f"{write(Q(abs(degrees), 'degree'))} {'south' if degrees < 0 else 'north'}"
