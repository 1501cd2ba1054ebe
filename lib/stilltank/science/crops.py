"""What a crop needs and how long it takes, from data/crops.csv."""

import dataclasses
import difflib
from dataclasses import dataclass
from functools import cache
from typing import Any

from stilltank import tables
from stilltank.units import Problem, Quantity, one_of, whole_number

_WRITTEN = {"kcb": "Kcb", "ph": "pH"}  # how the table writes words that a Python name cannot
_PLAIN = (
    "kcb_initial",
    "kcb_mid",
    "kcb_end",
    "ph_low",
    "ph_high",
    "stems_per_plant",
    "stems_per_plant_low",
    "stems_per_plant_high",
)
# What a field in words may say; a calculation or a dated task follows from each.
WORDS = {
    "use": ("flower", "herb", "salad"),
    "cut": ("once", "again"),
    "pinch": ("yes", "no"),
    "support": ("none", "stake", "net"),
    "sow_into": ("net pot", "tray"),
    "water_class": ("low", "middle", "high"),
    "hardiness": ("tender", "half-hardy", "hardy"),
    "germination_light": ("light", "dark", "light or dark"),
}


@dataclass(frozen=True, kw_only=True)
class Crop:
    """One crop. Quantities carry units; coefficients and pH are plain numbers; None where nothing is known.

    Stage lengths count from transplant. ``thermal_time`` counts from ``thermal_phase`` (sowing, emergence or
    transplant) with ``thermal_method`` above ``base_temperature``, and goes with that base and method only.
    Crops without one have ``days_to_flower`` or, for leaves, ``days_to_harvest``, counted from ``days_phase``.
    ``cut`` is "once" for a crop that ends with its harvest, "again" for one that goes on for ``harvest_weeks``.
    Between ``optimum_temperature`` and ``ceiling_temperature`` warmth counts for less and less; without a ceiling
    it counts as at the optimum. Germination and emergence are of seed, and never stand for flowering. Fields in words
    take those of ``WORDS``.
    To try another value: ``dataclasses.replace(crop("lettuce"), canopy_area=Q(0.06, "m^2"))``.
    """

    name: str
    label: str = ""
    species: str = ""
    use: str = "flower"
    recipe: str | None = None
    canopy_area: Quantity | None = None
    kcb_initial: float | None = None
    kcb_mid: float | None = None
    kcb_end: float | None = None
    stage_initial: Quantity | None = None
    stage_development: Quantity | None = None
    stage_mid: Quantity | None = None
    stage_late: Quantity | None = None
    conductivity: Quantity | None = None
    conductivity_low: Quantity | None = None
    conductivity_high: Quantity | None = None
    ph_low: float | None = None
    ph_high: float | None = None
    base_temperature: Quantity | None = None
    optimum_temperature: Quantity | None = None
    ceiling_temperature: Quantity | None = None
    coldest_tested: Quantity | None = None
    warmest_tested: Quantity | None = None
    thermal_time: Quantity | None = None
    thermal_time_low: Quantity | None = None
    thermal_time_high: Quantity | None = None
    thermal_phase: str | None = None
    thermal_method: str | None = None
    germination_temperature: Quantity | None = None
    germination_temperature_low: Quantity | None = None
    germination_temperature_high: Quantity | None = None
    germination_days: Quantity | None = None
    germination_days_low: Quantity | None = None
    germination_days_high: Quantity | None = None
    germination_light: str | None = None
    germination_base: Quantity | None = None
    germination_optimum: Quantity | None = None
    germination_ceiling: Quantity | None = None
    emergence_time: Quantity | None = None
    emergence_base: Quantity | None = None
    emergence_potential: Quantity | None = None
    emergence_days: Quantity | None = None
    sow_into: str | None = None
    seedling_days: Quantity | None = None
    seedling_days_low: Quantity | None = None
    seedling_days_high: Quantity | None = None
    days_to_flower: Quantity | None = None
    days_to_flower_low: Quantity | None = None
    days_to_flower_high: Quantity | None = None
    days_to_harvest: Quantity | None = None
    days_to_harvest_low: Quantity | None = None
    days_to_harvest_high: Quantity | None = None
    days_phase: str | None = None
    harvest_weeks: Quantity | None = None
    harvest_weeks_low: Quantity | None = None
    harvest_weeks_high: Quantity | None = None
    cut: str = "again"
    stems_per_plant: float | None = None
    stems_per_plant_low: float | None = None
    stems_per_plant_high: float | None = None
    pinch: str | None = None
    support: str | None = None
    height: Quantity | None = None
    height_low: Quantity | None = None
    height_high: Quantity | None = None
    photoperiod: str | None = None
    spacing: Quantity | None = None
    spacing_low: Quantity | None = None
    spacing_high: Quantity | None = None
    water_class: str | None = None
    hardiness: str | None = None

    def __post_init__(self):
        phases = {"sowing", "emergence", "transplant"}
        if self.thermal_time is not None:
            if self.base_temperature is None or not self.thermal_method or self.thermal_phase not in phases:
                raise Problem(
                    f"{self.name}: a thermal time needs the base_temperature and thermal_method it was found with, "
                    f"and a thermal_phase it counts from: {', '.join(sorted(phases))}."
                )
        elif (self.days_to_flower is not None or self.days_to_harvest is not None) and (
            self.days_phase not in phases - {"emergence"}
        ):
            raise Problem(f'{self.name}: days need a days_phase to count from: "sowing" or "transplant".')
        top, best = self.ceiling_temperature, self.optimum_temperature
        if top is not None and (best is None or top <= best):
            raise Problem(f"{self.name}: a ceiling_temperature needs an optimum_temperature below it.")
        for field, words in WORDS.items():
            said = getattr(self, field)
            if said is not None and said not in words:
                choices = " or ".join(f'"{word}"' for word in words)
                raise Problem(f"{self.name}: {field} is {choices}; {said!r} is neither of them.")

    @property
    def event(self) -> str:
        """What one waits for: "first flower", or "first harvest" of a leaf crop."""
        return "first flower" if self.use == "flower" else "first harvest"

    def where_from(self, field: str) -> tables.Entry:
        """The table's entry behind a field, with range, kind and source.

        Raises Problem when data/crops.csv has no such value for this crop.

        Example
        -------
        >>> crop("lettuce").where_from("kcb_mid").where
        'Table 17'
        """
        return tables.load("crops")[self.name, _property(field)[0]]

    def __str__(self) -> str:
        return f"{self.label or self.name} ({self.use})"


@dataclass(frozen=True)
class Plants:
    """A number of plants of one crop.

    Parameters
    ----------
    crop : Crop, or the name of one
    count : int
        How many; at least one.

    Raises
    ------
    OutOfRange   ``count`` is not a whole number of one or more

    Example
    -------
    >>> Plants("lettuce", 6).canopy_area.to("m^2").magnitude
    0.24
    """

    crop: Crop
    count: int

    def __post_init__(self):
        object.__setattr__(self, "crop", crop(self.crop))
        most = int(tables.number("plausible", "plants", "most", "1"))
        sentence = f"A number of plants is whole and at least 1, at most {most}; {{value!r}} is not."
        object.__setattr__(self, "count", whole_number(self.count, 1, most, sentence))

    @property
    def canopy_area(self) -> Quantity:
        """Leaf canopy of all plants together, seen from above; raises Problem where the crop has none."""
        if self.crop.canopy_area is None:
            raise Problem(
                f"{self.crop.name} has no canopy area. Give it one: "
                'dataclasses.replace(crop, canopy_area=Q(0.04, "m^2")).'
            )
        return self.crop.canopy_area * self.count


def _property(field: str) -> tuple[str, str]:
    """The table's name of a field, and which of value, low, high it is."""
    base, _, end = field.rpartition("_")
    if end in ("low", "high") and base:
        field = base
    else:
        end = "value"
    return " ".join(_WRITTEN.get(word, word) for word in field.split("_")), end


def names(use: str | None = None) -> tuple[str, ...]:
    """Names of the crops in data/crops.csv; with ``use`` only the "flower", "salad" or "herb" ones.

    Example
    -------
    >>> names("salad")
    ('lettuce', 'rocket', 'pak-choi', 'mizuna', 'spinach', 'chard')
    """
    if use is not None:
        one_of(use, WORDS["use"], "use", "names")
    table = tables.load("crops")
    return tuple(n for n in table.items_named if use is None or table[n, "use"].value == use)


def crop(name: str | Crop) -> Crop:
    """Get a crop by name.

    Parameters
    ----------
    name : str
        One of ``names()``. A Crop comes back as it is.

    Returns
    -------
    Crop
        Basal crop coefficients of flowers and herbs, canopy areas and most stage lengths are assumptions:
        ``crop(name).where_from(field)`` says so, with the range. Weighing your own tank is better.

    Raises
    ------
    Problem   no crop of that name; the sentence lists them

    Example
    -------
    >>> crop("snapdragon").thermal_time.magnitude, crop("lettuce").kcb_mid
    (681.0, 0.9)
    """
    return name if isinstance(name, Crop) else _from_table(str(name))


@cache
def _from_table(name: str) -> Crop:
    if name not in names():
        near = difflib.get_close_matches(name.lower(), names(), n=1)
        hint = f" Did you mean {near[0]!r}?" if near else ""
        raise Problem(f"There is no crop {name!r}.{hint} The crops are: {', '.join(names())}.")
    entries = tables.load("crops").of(name)
    values: dict[str, Any] = {"name": name}
    for field in dataclasses.fields(Crop):
        prop, end = _property(field.name)
        if prop not in entries:
            continue
        entry = entries[prop]
        if end == "value":
            values[field.name] = entry.value if field.name in _PLAIN else entry.quantity
        else:  # a missing range stays missing: the reader of the field decides what to assume
            number = getattr(entry, end)
            if number is not None:
                quantity = entry.range[0 if end == "low" else 1]
                values[field.name] = number if field.name in _PLAIN else quantity
    return Crop(**values)
