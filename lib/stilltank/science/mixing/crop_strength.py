"""How strong to mix a recipe for one crop, so that the meter shows what this crop is given."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import Water
from stilltank.science.crops import Crop
from stilltank.science.products import Salt
from stilltank.units import Q, Quantity, takes

from .by_shelf import less_brought
from .recipes import Recipe, recipe_targets, task_of, weigh_out

_SETTLED = 0.005  # of the reading aimed at; the model is ten times as rough
_ROUNDS = 12  # two are usual


@dataclass(frozen=True, eq=False)
class CropStrength:
    """How strong a recipe is mixed for a crop; made by ``crop_strength``.

    Parameters
    ----------
    factor : float
        By which all targets are multiplied; 1 is the recipe as it stands.
    targets : mapping of str to Quantity
        The targets for this crop.
    recipe : Recipe
        What to weigh for them, less what the acid brings.
    reading : Quantity
        What a meter then shows, at 25 °C.
    at_full : Quantity
        What it would show of the recipe as it stands.
    sentence : str
        What was done and why; empty where the recipe is mixed as it stands and fits.

    Examples
    --------
    >>> from stilltank.science.crops import crop
    >>> print(f"{crop_strength('flowering', ['KNO3', 'KH2PO4'], Q(36, 'L'), crop('dill')).factor:.2f}")
    1.04
    """

    factor: float
    targets: Mapping[str, Quantity]
    recipe: Recipe
    reading: Quantity
    at_full: Quantity
    sentence: str


@takes(water=Water, crop=Crop)
def crop_strength(
    targets: Mapping[str, Quantity] | str,
    salts: Iterable[str | Salt],
    volume: Quantity,
    crop: Crop,
    water: Water | None = None,
    brought: Mapping[str, Quantity] | None = None,
) -> CropStrength:
    """Find how strong to mix a recipe for a crop, in this water.

    All targets are multiplied by one factor, so that what they are to each other stays.

    Parameters
    ----------
    targets : mapping of str to Quantity, or str
        As for ``weigh_out``.
    salts : iterable of str or Salt
        What there is to weigh, as for ``weigh_out``.
    volume : Quantity
        Of the finished solution.
    crop : Crop
        Its range of conductivity is aimed at; a crop that names none gets the recipe as it stands.
    water : Water, optional
        What the meter shows of it counts. Pure water when left out.
    brought : mapping of str to Quantity, optional
        mg/L of each element that the acid brings; so much less is weighed.

    Returns
    -------
    CropStrength
        Factor, targets, and what the meter shows.

    Raises
    ------
    Unreadable
        There is no crop, or a nutrient or salt is unknown.
    UnitNeeded
        A target or the volume has no unit.
    OutOfRange
        A target is not above zero, or there are no salts.

    Notes
    -----
    A recipe whose reading is within the inner half of the crop's range, half-way from its usual value to each end,
    stays as it is; else the nearest end of that half is aimed at. Ranges are rough, and a reading rises while a tank
    falls in hot weeks, so the very end of a range is no place to begin. The recipe is never made weaker than the share
    in data/mixing.csv: a tank is filled once, and what is in it has to feed the plants to the end. Where hard water
    alone shows so much that even this is above the range, the sentence says so: rain water mends it.

    Examples
    --------
    >>> from stilltank.science.crops import crop
    >>> from stilltank.science.products import usual_salts
    >>> found = crop_strength("flowering", usual_salts(), Q(36, "L"), crop("snapdragon"))
    >>> print(f"{found.factor:.2f}: {found.reading.m_as('mS/cm'):.2f} mS/cm, not {found.at_full.m_as('mS/cm'):.2f}")
    0.80: 1.35 mS/cm, not 1.68
    """
    chosen = list(task_of(targets, salts, volume, water, None, "crop_strength").chosen)
    full = recipe_targets(targets) if isinstance(targets, str) else targets
    adds = {} if brought is None else brought

    def scaled(factor: float) -> Mapping[str, Quantity]:
        return MappingProxyType({name: factor * value for name, value in full.items()})

    def weighed(factor: float) -> Recipe:
        return weigh_out(less_brought(scaled(factor), adds), chosen, volume, water)

    made = weighed(1.0)
    at_full = reading = _shown(made)
    low, best, high = crop.conductivity_low, crop.conductivity, crop.conductivity_high
    factor, sentence = 1.0, ""
    if low is not None and high is not None:
        ends = [float(end.m_as("mS/cm")) for end in (low, high)]
        usual = sum(ends) / 2 if best is None else float(best.m_as("mS/cm"))
        part = tables.number("mixing", "crop strength", "part of the range", "1")
        inner = [usual + part * (end - usual) for end in ends]
        aim = min(max(at_full, inner[0]), inner[1])
        if aim != at_full:
            nothing = 0.0 if water is None else float(water.conductivity().m_as("mS/cm"))
            factor, made = _found(weighed, aim, made, nothing)
            reading = _shown(made)
            sentence = _sentence(factor, reading, at_full, ends[1])
    return CropStrength(factor, scaled(factor), made, Q(reading, "mS/cm"), Q(at_full, "mS/cm"), sentence)


def _shown(made: Recipe) -> float:
    return float(made.solution.conductivity().m_as("mS/cm"))


def _found(
    weighed: Callable[[float], Recipe], aim: float, full: Recipe, nothing: float
) -> tuple[float, Recipe]:
    """The factor whose reading is the one aimed at; the end of what is allowed where none is."""
    least, most = (tables.number("mixing", "crop strength", word, "1") for word in ("weakest", "strongest"))
    one, other = (0.0, nothing), (1.0, _shown(full))
    factor, made = 1.0, full
    for _ in range(_ROUNDS):
        before = factor
        slope = (other[1] - one[1]) / (other[0] - one[0])
        factor = min(max(other[0] + (aim - other[1]) / slope, least), most) if slope > 0 else before
        if factor == before:
            break
        made = weighed(factor)
        if abs(_shown(made) - aim) <= _SETTLED * aim:
            break
        one, other = other, (factor, _shown(made))
    return factor, made


def _sentence(factor: float, reading: float, at_full: float, high: float) -> str:
    """What was done, in few words."""
    filled, full = (f"{each:.2f} mS/cm" for each in (reading, at_full))
    share = f"{100 * factor:.0f} % of the recipe"
    if reading > high:
        return f"In this water even {share} shows {filled}: mix it with rain water, or expect slower growth."
    return f"{share[0].upper()}{share[1:]} goes in: {filled} instead of {full}."
