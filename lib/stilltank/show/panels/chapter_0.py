"""The panels of chapter 0: reading a measure, the tank, the crop, the place, the water, the season."""

import dataclasses
import functools
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from stilltank.science import crop as crops
from stilltank.science import mixing, ph, tank, weather
from stilltank.tables import load
from stilltank.units import Problem, Q, Quantity, explain, write

from ..figures import ElementBars, SeasonLevel, TankSection
from ..pages import folded
from ..plan_pictures import (
    acid_sentence,
    elements_picture,
    mixing_table,
    season_picture,
    tank_picture,
)
from .building import Panel, Status, choice, day_box, number_box, text_box, whole_box
from .draft import Draft
from .keeping import Keep

_KINDS = ("volume", "mass", "length", "temperature", "conductivity", "alkalinity", "pH")
_SIZES = {
    "length": "Length inside",
    "width": "Width inside",
    "diameter": "Diameter inside",
    "bottom_length": "Length inside at the floor",
    "bottom_width": "Width inside at the floor",
    "bottom_diameter": "Diameter inside at the floor",
    "top_length": "Length inside at the rim",
    "top_width": "Width inside at the rim",
    "top_diameter": "Diameter inside at the rim",
    "height": "Height inside",
    "corner_radius": "Radius of the corners",
    "net_pot_depth": "Net pot, rim to its bottom",
}


def reading(text: str = "1 1/2 US gal", kind: str = "volume") -> widgets.VBox:
    """A box to type a measure as it stands on a jug, a label or a report, and how it is read."""
    typed = text_box("What you read", text, "45 L")
    kinds = choice("It measures a", _KINDS, kind)
    status = Status()

    def show(_: Any = None) -> None:
        if not typed.value.strip():
            status.say("Type a measure with its unit, for example 45 L.")
            return
        try:
            found = explain(typed.value, kinds.value)
        except Problem as problem:
            status.complain(problem)
            return
        assumed = f" Assumed: {'; '.join(found.assumed)}." if found.assumed else ""
        status.say(f"Read as {write(found.quantity, 'both')}.{assumed}")

    for control in (typed, kinds):
        control.observe(show, "value")
    show()
    return widgets.VBox([typed, kinds, status])


class _TankPanel(Panel):
    def __init__(self, draft: Draft):
        presets = [(load("tanks")[name, "label"].value, name) for name in tank.presets()]
        self._start = choice("Begin with", [("as it is", ""), *presets], "")
        self._boxes: dict[str, Any] = {}
        self._shown: Any = None
        self._drawings = {system: TankSection(system) for system in ("metric", "US")}
        super().__init__("Your tank", draft, self._draw)
        self.connect(self._start, lambda name: {"tank": name} if name else {})
        self._again = widgets.Button(description="Back to the demo plan", layout=widgets.Layout(width="16em"))
        self._again.on_click(lambda _: draft.reset())
        self.arrange([self._start], [self._again])
        self.refresh()
        if draft.trouble:
            self.status.complain(Problem(draft.trouble))

    def fill(self) -> None:
        """Make a box for each size of the tank's shape."""
        chosen, unit = self.draft.plan.tank, "cm" if self.draft.system == "metric" else "in"
        sizes = [
            field.name
            for field in dataclasses.fields(chosen)
            if field.name in _SIZES and isinstance(getattr(chosen, field.name), Quantity)
        ]
        sizes.sort(key=list(_SIZES).index)
        if (sizes, unit) != self._shown:
            self._shown = (sizes, unit)
            self._boxes = {name: number_box(f"{_SIZES[name]}, {unit}", 0.0) for name in sizes}
            self._filled = {}
            for name, box in self._boxes.items():
                self.connect(box, functools.partial(self._resize, name, unit))
            self.controls.children = tuple(self._boxes.values())
        for name, box in self._boxes.items():
            self.set(box, round(getattr(chosen, name).m_as(unit), 2))
        self._filling = True
        self._start.value = ""

    def _resize(self, name: str, unit: str, value: float) -> dict[str, Any]:
        # A lid measured for other sizes no longer fits: the opening takes its place.
        sizes = {name: Q(value, unit), "name": "your own tub", "lid_area": None}
        return {"tank": dataclasses.replace(self.draft.plan.tank, **sizes)}

    def _draw(self, draft: Draft) -> tuple[str, str]:
        picture = tank_picture(draft.plan, draft.system, self._drawings[draft.system])
        return picture.sentence, picture.html()


class _CropPanel(Panel):
    def __init__(self, draft: Draft):
        self._crop = choice("Crop", [(crops.crop(n).label, n) for n in crops.names()], crops.names()[0])
        self._count = whole_box("Plants in the tank", 1)
        self._start = day_box("Fill and plant on", None)
        super().__init__("Your crop", draft, self._say)
        self.controls.children = (self._crop, self._count, self._start)
        self.connect(self._crop, lambda name: {"crop": name, "count": None})
        self.connect(self._count, lambda count: {"count": count})
        self.connect(self._start, lambda day: {"start": day} if day else {})
        self.refresh()

    def fill(self) -> None:
        """Set crop, count and day from the plan."""
        plan = self.draft.plan
        self._crop.value, self._count.value, self._start.value = (
            plan.plants.crop.name,
            plan.plants.count,
            plan.start,
        )

    def _say(self, draft: Draft) -> tuple[str, str]:
        plan = draft.plan
        flower = plan.schedule.first_flower
        return (
            f"Sow on {plan.schedule.sow:%d %B %Y}; into the tank on {plan.start:%d %B %Y}; {plan.schedule.event} about "
            f"{flower.expected:%d %B}, between {flower.early:%d %B} and {flower.late:%d %B}; the tank is free again "
            f"about {plan.schedule.end:%d %B %Y}. {plan.crowded}".rstrip(),
            folded("Where these dates come from, and what they leave out", plan.schedule.reasons),
        )


class _PlacePanel(Panel):
    def __init__(self, draft: Draft):
        records = [(weather.record(name).name, name) for name in weather.sites()]
        own = [
            (f"your own record, {path.name}", path.name) for path in sorted(Path().glob("my-weather*.csv"))
        ]
        names = [*records, *own]
        if draft.plan.record and draft.plan.record not in [value for _, value in names]:
            names.append((draft.plan.record, draft.plan.record))
        self._record = choice("Weather record", names, names[0][1])
        self._latitude = number_box("Latitude, ° (south: minus)", 0.0)
        self._altitude = number_box("Altitude, m", 0.0)
        self._cover = choice(
            "The tank stands",
            [("in the open", "open"), ("under a roof", "roof"), ("indoors", "indoors")],
            "open",
        )
        super().__init__("Your place", draft, self._say)
        self.controls.children = (self._record, self._latitude, self._altitude, self._cover)
        self.connect(self._record, self._move)
        self.connect(self._latitude, lambda value: self._replace(latitude=Q(value, "degree")))
        self.connect(self._altitude, lambda value: self._replace(altitude=Q(value, "m")))
        self.connect(self._cover, lambda value: self._replace(cover=value))
        self.refresh()

    def _move(self, record: str) -> dict[str, Any]:
        """Take a record; one that ships brings its own place with it."""
        if record in weather.sites():
            cover = self.draft.plan.site.cover
            return {"site": dataclasses.replace(weather.site(record), cover=cover), "record": record}
        return {"record": record}

    def _replace(self, **changes: Any) -> dict[str, Any]:
        changed = dataclasses.replace(self.draft.plan.site, name="your own place", **changes)
        return {"site": changed, "record": self.draft.plan.record}

    def fill(self) -> None:
        """Set the controls from the plan's site."""
        site = self.draft.plan.site
        self._record.value = self.draft.plan.record
        self._latitude.value = round(site.latitude.m_as("degree"), 3)
        self._altitude.value = round(site.altitude.m_as("m"), 1)
        self._cover.value = site.cover

    def _say(self, draft: Draft) -> tuple[str, str]:
        return str(draft.plan.site.weather), ""


class _WaterPanel(Panel):
    def __init__(self, draft: Draft):
        demo = [(mixing.demo_water(name).name, name) for name in mixing.demo_waters()]
        found = sorted(path for path in Path().glob("my-water*") if path.suffix in (".csv", ".toml"))
        own = [(f"your own report, {path.name}", path.name) for path in found]
        self._water = choice("Water", [("as it is", ""), *demo, *own], "")
        self._alkalinity = number_box("Alkalinity, mg/L as CaCO3", 0.0)
        self._ph = number_box("pH of the water", 7.0)
        self._acid = choice("Acid at hand", ph.acid_names(), ph.acid_names()[0])
        self._target = number_box("Target pH of the solution", 5.8)
        self._bars = ElementBars()
        super().__init__("Your water, salts and acid", draft, self._show)
        self.controls.children = (self._water, self._alkalinity, self._ph, self._acid, self._target)
        self.connect(self._water, lambda name: {"water": name} if name else {})
        self.connect(self._alkalinity, lambda value: self._measured(alkalinity=Q(value, "mg/L")))
        self.connect(self._ph, lambda value: self._measured(ph=value))
        self.connect(self._acid, lambda name: {"acid": name})
        self.connect(self._target, lambda value: {"target_ph": value})
        self.refresh()

    def _measured(self, **changes: Any) -> dict[str, Any]:
        water = self.draft.plan.water
        name = water.name if "your reading" in water.name else f"{water.name}, with your reading"
        return {"water": dataclasses.replace(water, **changes, name=name)}

    def fill(self) -> None:
        """Set the controls from the plan's water."""
        plan = self.draft.plan
        self._water.value = ""
        self._alkalinity.value = round(plan.water.alkalinity.m_as("mg/L"), 2)
        self._ph.value = plan.water.ph
        self._acid.value, self._target.value = plan.acid, plan.target_ph

    def _show(self, draft: Draft) -> tuple[str, str]:
        plan = draft.plan
        picture = elements_picture(plan, self._bars)
        missed = folded("Why some targets are missed", plan.missed.values())
        return f"{acid_sentence(plan)} {picture.sentence}", mixing_table(
            plan, draft.system
        ) + picture.html() + missed


class _SeasonPanel(Panel):
    def __init__(self, draft: Draft):
        self._drawings = {system: SeasonLevel(system) for system in ("metric", "US")}
        super().__init__("Your season", draft, self._show)
        self.keep = Keep(draft, self.status)
        self.arrange(last=[self.keep])
        self.refresh()

    def _show(self, draft: Draft) -> tuple[str, str]:
        picture = season_picture(draft.plan, draft.system, self._drawings[draft.system])
        return picture.sentence, picture.html()


def tank_panel(draft: Draft) -> widgets.VBox:
    """The tank's sizes, and its picture with fill line and overflow hole."""
    return _TankPanel(draft)


def crop_panel(draft: Draft) -> widgets.VBox:
    """The crop, how many plants and when, and the dates that follow."""
    return _CropPanel(draft)


def place_panel(draft: Draft) -> widgets.VBox:
    """Where the tank stands, and the weather record for it."""
    return _PlacePanel(draft)


def water_panel(draft: Draft) -> widgets.VBox:
    """The water, and what to weigh and pour for it."""
    return _WaterPanel(draft)


def season_panel(draft: Draft) -> widgets.VBox:
    """The level through the season, and the button that saves plan and card."""
    return _SeasonPanel(draft)
