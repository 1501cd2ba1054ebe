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
    "pinch_stems",
    "pinch_stems_low",
    "pinch_stems_high",
    "pinch_head_width",
    "seeds_a_pot",
    "seeds_a_pot_low",
    "seeds_a_pot_high",
    "plants_a_pot",
    "plants_a_pot_low",
    "plants_a_pot_high",
)
# What a field in words may say; a calculation or a dated task follows from each.
WORDS = {
    "use": ("flower", "herb", "salad"),
    "cut": ("once", "again"),
    "harvest_until": ("weeks", "heat", "cold"),
    "pinch": ("yes", "no"),
    "support": ("none", "stake", "net"),
    "sow_into": ("net pot", "tray"),
    "water_class": ("low", "middle", "high"),
    "hardiness": ("tender", "half-hardy", "hardy"),
    "germination_light": ("light", "dark", "light or dark"),
}


@dataclass(frozen=True, kw_only=True)
class Crop:
    """One crop, as data/crops.csv has it.

    Quantities carry units; coefficients and pH are plain numbers; None stands where nothing is known.
    Fields in words take those of ``WORDS``. To try another value:
    ``dataclasses.replace(crop("lettuce"), canopy_area=Q(0.06, "m^2"))``.

    Parameters
    ----------
    name : str
        Its name in the table.
    label : str, optional
        Its name for people.
    label_in_text : str, optional
        The same within a sentence, where its first letter stays a capital one.
    species : str, optional
        Botanical name.
    use : str, default "flower"
        "flower", "herb" or "salad".
    recipe : str, optional
        Name of the recipe it grows in.
    canopy_area : Quantity, optional
        Area of a grown plant, seen from above.
    kcb_initial, kcb_mid, kcb_end : float, optional
        Basal crop coefficients of FAO-56.
    stage_initial, stage_development, stage_mid, stage_late : Quantity, optional
        Lengths of the stages, counted from transplant; they follow from the days below when left out.
    conductivity, conductivity_low, conductivity_high : Quantity, optional
        Of the solution it grows in, and its range.
    ph_low, ph_high : float, optional
        Range of pH.
    base_temperature, optimum_temperature, ceiling_temperature : Quantity, optional
        Between base and optimum warmth counts in full. From the optimum to the ceiling it counts for less and less;
        without a ceiling it counts as at the optimum.
    coldest_tested, warmest_tested : Quantity, optional
        Temperatures between which it was tried.
    thermal_time, thermal_time_low, thermal_time_high : Quantity, optional
        Degree-days to first flower, and their range; they go with the base and the method only.
    thermal_phase, thermal_method : str, optional
        What the thermal time is counted from, "sowing", "emergence" or "transplant", and the method of `degree_days`
        it was found with.
    germination_temperature, germination_temperature_low, germination_temperature_high : Quantity, optional
        Of the seed compost, and its range.
    germination_days, germination_days_low, germination_days_high : Quantity, optional
        Days until the seed comes up, and their range.
    germination_light : str, optional
        "light", "dark" or "light or dark".
    germination_base, germination_optimum, germination_ceiling : Quantity, optional
        Cardinal temperatures of the seed; they never stand for flowering.
    emergence_time, emergence_base, emergence_potential, emergence_days : Quantity, optional
        Degree-days to emergence above their base, the base water potential, and days to emergence.
    sow_into : str, optional
        "net pot" or "tray".
    seeds_a_pot, seeds_a_pot_low, seeds_a_pot_high : float, optional
        Seeds sown into one net pot, and their range; three when left out.
    plants_a_pot, plants_a_pot_low, plants_a_pot_high : float, optional
        Seedlings left in one net pot, and their range; one when left out. Several share the room of one plant, and
        count as one.
    seedling_days, seedling_days_low, seedling_days_high : Quantity, optional
        Days from sowing to transplant, and their range.
    days_to_flower, days_to_flower_low, days_to_flower_high : Quantity, optional
        Of a crop without a thermal time, from ``days_phase``, and their range.
    days_to_harvest, days_to_harvest_low, days_to_harvest_high : Quantity, optional
        Of a leaf crop, from ``days_phase``, and their range.
    days_phase : str, optional
        "sowing" or "transplant".
    harvest_weeks, harvest_weeks_low, harvest_weeks_high : Quantity, optional
        How long it is cut, and the range.
    cut : str, default "again"
        "once" for a crop that ends with its harvest, "again" for one that goes on.
    harvest_until : str, default "weeks"
        What ends the harvest: so many "weeks", or "heat" or "cold", before which it goes on. Outdoors cold ends every
        harvest, and heat that of each crop with a ``warmest_mean``.
    stems_per_plant, stems_per_plant_low, stems_per_plant_high : float, optional
        Stems of one plant, and their range.
    harvest_weight, harvest_weight_low, harvest_weight_high : Quantity, optional
        Fresh mass of the first cut of one plant of a leaf crop, and its range.
    pinch : str, optional
        "yes" where growers usually pinch it, "no" where they do not.
    pinch_delay, pinch_delay_low, pinch_delay_high : Quantity, optional
        Days by which a pinched plant flowers later, and their range; a crop without them cannot be pinched.
    pinch_stems, pinch_stems_low, pinch_stems_high : float, optional
        Stems of a pinched plant, in stems of one that is not, and their range.
    pinch_head_width : float, optional
        Width of the heads of a pinched plant, in widths of one that is not.
    pinched : bool, default False
        Whether it is pinched: made by `pinched`.
    packet_days : Quantity, optional
        Days that the seed packet says: set by `heat.with_packet_days`.
    packet_phase : str, optional
        What the packet counts them from, "sowing" or "transplant".
    support : str, optional
        "none", "stake" or "net".
    height, height_low, height_high : Quantity, optional
        Of a grown plant, and its range.
    photoperiod : str, optional
        Its response to day length, in words.
    spacing, spacing_low, spacing_high : Quantity, optional
        Between plants, and its range.
    water_class : str, optional
        "low", "middle" or "high".
    hardiness : str, optional
        "tender", "half-hardy" or "hardy".
    planting_night : Quantity, optional
        Mean of the night temperatures into which it is planted out; that of its hardiness when left out.
    killing_cold : Quantity, optional
        Air temperature that kills it; that of its hardiness when left out.
    coldest_mean : Quantity, optional
        Mean temperature below which it stops growing; that of its hardiness when left out.
    warmest_mean, warmest_mean_high : Quantity, optional
        Warmest mean temperature of the fortnight before the first flower or harvest, and that of the kinds that bear
        most heat.
    shortest_day : Quantity, optional
        Day length that it needs at the first flower or harvest.
    shortest_day_to_plant, longest_day_to_plant : Quantity, optional
        Shortest and longest day length on the day of planting.
    warmest_mean_to_bud, warmest_mean_to_bud_high : Quantity, optional
        Warmest mean temperature of the fortnight after planting, in which buds start, and that of the kinds that bear
        most heat.

    Raises
    ------
    Problem
        Fields that need each other, such as a thermal time and its base, or a word that is not in ``WORDS``.

    See Also
    --------
    crop : Take one from the table.

    Examples
    --------
    >>> Crop(name="trial", use="salad").event
    'first harvest'
    """

    name: str
    label: str = ""
    label_in_text: str = ""
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
    seeds_a_pot: float | None = None
    seeds_a_pot_low: float | None = None
    seeds_a_pot_high: float | None = None
    plants_a_pot: float | None = None
    plants_a_pot_low: float | None = None
    plants_a_pot_high: float | None = None
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
    harvest_until: str = "weeks"
    stems_per_plant: float | None = None
    stems_per_plant_low: float | None = None
    stems_per_plant_high: float | None = None
    harvest_weight: Quantity | None = None
    harvest_weight_low: Quantity | None = None
    harvest_weight_high: Quantity | None = None
    pinch: str | None = None
    pinch_delay: Quantity | None = None
    pinch_delay_low: Quantity | None = None
    pinch_delay_high: Quantity | None = None
    pinch_stems: float | None = None
    pinch_stems_low: float | None = None
    pinch_stems_high: float | None = None
    pinch_head_width: float | None = None
    pinched: bool = False
    packet_days: Quantity | None = None
    packet_phase: str | None = None
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
    planting_night: Quantity | None = None
    killing_cold: Quantity | None = None
    coldest_mean: Quantity | None = None
    warmest_mean: Quantity | None = None
    warmest_mean_high: Quantity | None = None
    shortest_day: Quantity | None = None
    shortest_day_to_plant: Quantity | None = None
    longest_day_to_plant: Quantity | None = None
    warmest_mean_to_bud: Quantity | None = None
    warmest_mean_to_bud_high: Quantity | None = None

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
            if said is not None and not (isinstance(said, str) and said in words):
                choices = " or ".join(f'"{word}"' for word in words)
                raise Problem(f"{self.name}: {field} is {choices}; {said!r} is neither of them.")

    @property
    def spoken(self) -> str:
        """The label as it stands within a sentence.

        Examples
        --------
        >>> crop("zinnia").spoken, crop("rudbeckia").spoken, crop("china-aster").spoken
        ('zinnia', 'black-eyed Susan', 'China aster')
        """
        return self.label_in_text or f"{self.label[:1].lower()}{self.label[1:]}"

    @property
    def event(self) -> str:
        """What one waits for: "first flower", or "first harvest" of a leaf crop.

        Examples
        --------
        >>> crop("lettuce").event
        'first harvest'
        """
        return "first flower" if self.use == "flower" else "first harvest"

    def where_from(self, field: str) -> tables.Entry:
        """The table's entry behind a field, with range, kind and source.

        Parameters
        ----------
        field : str
            Name of a field, such as "kcb_mid".

        Returns
        -------
        Entry
            The entry.

        Raises
        ------
        TableFault
            data/crops.csv has no such value for this crop.

        Examples
        --------
        >>> crop("lettuce").where_from("kcb_mid").where
        'Table 17, p. 137'
        """
        return tables.load("crops")[self.name, _property(field)[0]]

    def __str__(self) -> str:
        return f"{self.label or self.name} ({self.use})"


@dataclass(frozen=True)
class Plants:
    """A number of plants of one crop.

    Parameters
    ----------
    crop : Crop
        The crop, or its name in data/crops.csv.
    count : int
        How many; at least one.

    Raises
    ------
    OutOfRange
        ``count`` is not a whole number of one or more.

    Examples
    --------
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
        """Leaf canopy of all plants together, seen from above.

        Raises
        ------
        Problem
            The crop has no canopy area.

        Examples
        --------
        >>> Plants("lettuce", 2).canopy_area.magnitude
        0.08
        """
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
    """Names of the crops in data/crops.csv.

    Parameters
    ----------
    use : str, optional
        "flower", "herb" or "salad"; all crops when left out.

    Returns
    -------
    tuple of str
        In the order of the table.

    Raises
    ------
    Unreadable
        Another use.

    Examples
    --------
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
    name : str or Crop
        One of `names`. A Crop comes back as it is.

    Returns
    -------
    Crop
        Basal crop coefficients of flowers and herbs, canopy areas and most stage lengths are assumptions:
        ``crop(name).where_from(field)`` says so, with the range. Weighing your own tank is better.

    Raises
    ------
    Problem
        No crop of that name; the sentence lists them.

    See Also
    --------
    names : The crops there are.

    Examples
    --------
    >>> crop("snapdragon").thermal_time.magnitude, crop("lettuce").kcb_mid
    (681.0, 0.9)
    """
    return name if isinstance(name, Crop) else _from_table(str(name))


def pinched(name: str | Crop) -> Crop:
    """Take a crop as it grows when its tips are pinched out.

    Parameters
    ----------
    name : str or Crop
        One of `names`, or a Crop.

    Returns
    -------
    Crop
        The same with ``pinched``: a schedule of it flowers later by ``pinch_delay``, and the stems of a plant, with
        their range, are those of the table times ``pinch_stems``.

    Raises
    ------
    Problem
        No crop of that name, or one that is not pinched.

    Notes
    -----
    Sunflower, snapdragon and lisianthus were measured in field trials, the others not: their delay and stems are what
    growers say.

    Examples
    --------
    >>> sunflower = pinched("sunflower")
    >>> sunflower.pinched, sunflower.stems_per_plant
    (True, 3.6)
    """
    found = crop(name)
    if found.pinched:
        return found
    if found.pinch_delay is None:
        raise Problem(
            f"Pinching is not for {found.spoken}: it would lose its flower, or nobody says what it gains. Leave the "
            "tips on."
        )
    times = {
        end: 1.0 if found.pinch_stems is None else getattr(found, f"pinch_stems{end}") or found.pinch_stems
        for end in ("", "_low", "_high")
    }
    stems: dict[str, Any] = {
        f"stems_per_plant{end}": None if stems is None else stems * factor
        for end, factor in times.items()
        for stems in [getattr(found, f"stems_per_plant{end}")]
    }
    return dataclasses.replace(found, pinched=True, **stems)


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
