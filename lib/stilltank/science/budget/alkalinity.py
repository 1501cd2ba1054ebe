"""What hard top-up water does over a season: alkalinity, pH, sodium and chloride of the solution."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pint

from stilltank.science.chemistry import (
    Solution,
    Water,
    caco3_equivalent_mass,
    conservative_charge,
    ions,
    log_pco2_of_air,
    molar_mass,
    reagent_to_ph,
    saturation_index,
    solve,
    titration_alkalinity,
    water_in_a_litre,
)
from stilltank.science.mixing import Recipe, recipe_solution
from stilltank.tables import Entry, load, number
from stilltank.units import Problem, Q
from stilltank.units.types import Array

from ._checks import between, one_number, one_size, plain_date, shown, strength_share
from ._feed import Feed, Followed, follow, prepare_feed
from .ensemble import Ensemble

_HALVINGS = 12  # of the lime that falls out: to a four thousandth of the calcium
_MARGIN = 0.9  # of the greatest ionic strength that the engine takes
_POINTS = 40  # days for which the pH is solved; it is straight between them
_TOTALS = {
    "Ca+2": "Ca",
    "Mg+2": "Mg",
    "K+": "K",
    "Na+": "Na",
    "NH4+": "NH4",
    "NO3-": "NO3",
    "SO4-2": "SO4",
    "Cl-": "Cl",
    "H2PO4-": "P",
    "HPO4-2": "P",
}  # of an ion that is followed: its total in a state


@dataclass(frozen=True, eq=False, kw_only=True)
class AlkalinityCourse:
    """Alkalinity, pH, sodium and chloride of a tank that is topped up; made by `alkalinity_course`.

    Parameters
    ----------
    dates : numpy array of datetime64[D], [days]
        The days.
    alkalinity : quantity, mg/L as CaCO3, [3, days]
        Low, middle and high, counted down to H2PO4-; below 0 where acid is left over. nan once half of
        the seasons are ended.
    ph : numpy array, [3, days]
        Low, middle and high, likewise.
    sodium, chloride : quantity, mg/L, [days]
        In the middle season.
    brought : quantity, g as CaCO3
        What the top-ups of the middle season bring after the acid in them.
    roots : tuple of quantity, g as CaCO3
        Low, middle and high of what roots add to it; below 0 where they give off acid.
    acid_by : date
        The first day on which the middle pH is above the working range; None where it stays.
    replace_by : date
        The first day on which the middle sodium or chloride is above its limit; None where they stay below.
    salt : str
        "sodium" or "chloride", whichever comes first; empty where neither does.

    See Also
    --------
    alkalinity_course : Makes one.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("basil", 4), "quillgate", start="2027-05-10", members=20)
    >>> alkalinity_course(many, "Hoagland 1").brought.magnitude
    0.0
    """

    dates: np.ndarray
    alkalinity: pint.Quantity
    ph: np.ndarray
    sodium: pint.Quantity
    chloride: pint.Quantity
    brought: pint.Quantity
    roots: tuple[pint.Quantity, pint.Quantity, pint.Quantity]
    acid_by: date | None
    replace_by: date | None
    salt: str


def alkalinity_course(
    seasons: Ensemble,
    solution: Solution | Recipe | str,
    top_up_water: Water | None = None,
    *,
    first_ph: float | pint.Quantity | None = None,
    left: pint.Quantity | None = None,
    strength: float = 0.0,
    cover: str = "open",
) -> AlkalinityCourse:
    """Follow the alkalinity and the pH of a tank through its seasons of topping up.

    Parameters
    ----------
    seasons : Ensemble
        From `ensemble`, with its top-ups.
    solution : Solution, Recipe or str
        What the tank is filled with; as text the name of a recipe by salts.
    top_up_water : Water
        What is topped up with; the water of the filling when left out.
    first_ph : float or quantity, dimensionless
        To which the tank is brought at filling, at rest with the air; as the solution is when left out.
    left : quantity, mg/L as CaCO3
        Alkalinity that the acid in the top-up bottle leaves; all of it when left out.
    strength : float
        Of what is added in these seasons: 0 for plain water, 1 for the whole recipe.
    cover : str
        "open", "roof" or "indoors": how much plants take with a litre depends on it.

    Returns
    -------
    AlkalinityCourse
        The courses, and the days on which something is due.

    Raises
    ------
    UnitNeeded
        No solution, an alkalinity without a unit.
    OutOfRange
        A pH or an alkalinity that cannot be.
    Problem
        No seasons, no water, another cover, or a water whose alkalinity is not known.

    Notes
    -----
    A ledger of alkalinity, day by day, in the order of the water: what the top-up brings, what overflow takes, what
    roots add. Plants drink the water and leave its alkalinity: that is why it gathers.

    What roots do is hardly known. They give off 0 to 0.3 mol of base for a mol of nitrate, and about 0.9 mol of acid
    for a mol of ammonium, and take nitrogen as `nutrients` says. Nor is the carbon dioxide under a lid: 420 to 5000
    ppm are carried. So low joins least base, most carbon dioxide and the season that 10 of 100 stay under; high
    the contrary. The pH is that after lime has fallen out; the alkalinity is told with it still in. Calcium
    phosphate is left in: it falls out from about pH 6.5, takes phosphate with it and holds the pH a little lower than
    this says. The acid that is poured in is not counted as a nutrient.

    References
    ----------
    RHIZOSPHEREPH, for base and acid of roots; BAAS1999 and AGRIKULTUUR2016, for the limits of sodium and chloride.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> from stilltank.science.chemistry import Water
    >>> hard = Water({"Ca": Q(65, "mg/L"), "Na": Q(12, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.6)
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("basil", 6), "quillgate", start="2027-05-10",
    ...                        top_up=budget.by_hand(2), members=40)
    >>> plain, acid = (alkalinity_course(many, "Hoagland 1", hard, first_ph=5.8, left=left)
    ...                for left in (None, Q(30, "mg/L")))
    >>> bool(plain.ph[1, 60] > acid.ph[1, 60])
    True
    """
    if not isinstance(seasons, Ensemble):
        raise Problem(f"alkalinity_course needs what ensemble(...) makes; you gave {shown(seasons)}.")
    if not isinstance(cover, str) or (cover, "factor") not in load("uptake"):
        raise Problem(f'The cover is "open", "roof" or "indoors"; you gave {shown(cover)}.')
    if isinstance(solution, str):
        solution = recipe_solution(solution)
    if isinstance(solution, Recipe):
        solution = solution.solution
    share = strength_share(strength)
    feed = prepare_feed(solution, None, None, cover, top_up_water)
    water = solution.water if top_up_water is None else top_up_water
    first, poured = _first(solution, first_ph), _poured(water, left) + share * _of_salts(solution)
    found, litres = _followed(seasons, feed, share)
    ledgers = [_ledger(feed, found, litres, first, poured, base, acid) for base, acid in _roots()]
    alive = _alive(litres)
    days = int((alive.mean(axis=0) >= 0.5).sum())  # while half of the seasons go on
    alkalinity, ph = (np.full((3, len(seasons.dates)), np.nan) for _ in range(2))
    middle = np.full((len(seasons.dates), len(feed.names)), np.nan)
    if days:
        going = alive[:, :days]
        held = np.where(going.T[..., None], found.history[:days], np.nan)
        middle[:days] = np.nanmedian(held, axis=1)  # mmol/L
        alkalinity[:, :days] = _middle_and_ends([ledger[:, :days] for ledger, _, _ in ledgers], going)
        solved = np.unique(np.linspace(0, days - 1, min(days, _POINTS)).round().astype(int))
        some = _ph(feed, middle[solved], alkalinity[:, solved])
        ph[:, :days] = [np.interp(np.arange(days), solved, row) for row in some]
    salts = {name: _of_ion(feed, middle, key) for name, key in (("sodium", "Na+"), ("chloride", "Cl-"))}
    due = {
        name: _first_above(values, number("uptake", "limit", name, "mmol/L"), seasons.dates)
        for name, values in salts.items()
    }
    salt = min((name for name, day in due.items() if day), key=lambda name: due[name], default="")  # type: ignore[arg-type, return-value]
    grams = caco3_equivalent_mass() / 1000
    return AlkalinityCourse(
        dates=seasons.dates,
        alkalinity=Q(alkalinity * caco3_equivalent_mass(), "mg/L"),
        ph=ph,
        sodium=Q(salts["sodium"] * molar_mass("Na").m_as("g/mol"), "mg/L"),
        chloride=Q(salts["chloride"] * molar_mass("Cl").m_as("g/mol"), "mg/L"),
        brought=Q(float(np.median(litres["added"].sum(axis=1))) * poured * grams, "g"),
        roots=tuple(Q(float(np.median(roots)) * grams, "g") for _, _, roots in ledgers),  # type: ignore[arg-type]
        acid_by=_first_above(ph[1], number("uptake", "limit", "pH", "1"), seasons.dates),
        replace_by=due[salt] if salt else None,
        salt=salt,
    )


def _first(solution: Solution, first_ph: object) -> float:
    """Plain mmol/L of alkalinity in the filling."""
    state = solution.state()
    litre = water_in_a_litre.plain(state["temperature"])
    there = titration_alkalinity(state)
    if first_ph is None:
        return float(there) * 1000 * litre
    ph = one_number(first_ph, "first_ph")
    between(
        first_ph,
        ph,
        "",
        3,
        9,
        "A first pH of {value} is not one of a tank. Write {low} to {high}, such as 5.8.",
    )
    dose = reagent_to_ph(state, ph, {"strong_charge": -1.0}, log_pco2_of_air()).dose
    return float(there - dose) * 1000 * litre


def _poured(water: Water, left: object) -> float:
    """Plain mmol/L of alkalinity in what is topped up with."""
    if water.alkalinity is None:
        raise Problem(
            f"The alkalinity of {water.name or 'the top-up water'} is not known. Measure it with a drop test, and "
            'give alkalinity=Q(130, "mg/L").'
        )
    there = float(np.asarray(water.alkalinity.m_as("mg/L")))
    if left is None:
        return there / caco3_equivalent_mass()
    wanted = one_size(left, "mg/L", "left")
    between(left, wanted, "mg/L", 0, np.inf, "The alkalinity that is left cannot be below 0; {value} is.")
    return min(wanted, there) / caco3_equivalent_mass()


def _of_salts(solution: Solution) -> float:
    """Plain mmol/L of alkalinity that the salts of the recipe bring."""
    return sum(
        -ions()[key].charge * value.m_as("mmol/L")
        for key, value in solution.added.items()
        if key in ("HCO3-", "CO3-2")
    )


def _followed(seasons: Ensemble, feed: Feed, share: float) -> tuple[Followed, dict[str, Array]]:
    litres = {
        name: each.m_as("L")
        for name, each in (
            ("volume", seasons.volume),
            ("rain", seasons.rain_in),
            ("added", seasons.top_up),
            ("spilled", seasons.overflow),
            ("used", seasons.transpired),
        )
    }
    filled, nothing = float(seasons.filled.m_as("L")), np.zeros_like(litres["volume"])
    early, late = (nothing, litres["added"]) if seasons.added_after_use else (litres["added"], nothing)
    litres |= {"early": early, "late": late, "filled": np.full(1, filled)}
    found = follow(
        feed, filled, litres["rain"], early, late, litres["spilled"], litres["used"], share, keep=True
    )
    return found, litres


def _roots() -> tuple[tuple[float, float], ...]:
    """Base for a nitrate and acid for an ammonium: least base, usual, most."""
    acid = number("uptake", "roots", "acid for each ammonium", "1")
    return tuple((base, acid) for base in _ends(load("uptake")["roots", "base for each nitrate"]))


def _ends(entry: Entry) -> tuple[float, float, float]:
    low, high = (float(end.magnitude) for end in entry.range)
    return low, float(entry.quantity.magnitude), high


def _ledger(
    feed: Feed,
    found: Followed,
    litres: Mapping[str, Array],
    first: float,
    poured: float,
    base: float,
    acid: float,
) -> tuple[Array, Array, Array]:
    """Plain mmol/L of alkalinity, [seasons, days]; mmol left, and mmol that the roots added, [seasons]."""
    filled = float(litres["filled"][0])
    seasons, days = litres["volume"].shape
    ledger = np.full((seasons, days), np.inf)
    have, roots = np.full(seasons, filled * first), np.zeros(seasons)
    now = np.full(seasons, filled)
    each = _each_nitrogen(feed, found, base, acid)
    for day in range(days):
        have = have + litres["early"][:, day] * poured
        full = now + litres["rain"][:, day] + litres["early"][:, day]
        spilled = litres["spilled"][:, day]
        have = have - have * np.divide(spilled, full, out=np.zeros_like(full), where=full > 0)
        have, roots = have + each[day], roots + each[day]
        have = have + litres["late"][:, day] * poured
        now = litres["volume"][:, day]
        np.divide(have, now, out=ledger[:, day], where=now > 0)  # infinite in a tank without a drop
    return ledger, have, roots


def _each_nitrogen(feed: Feed, found: Followed, base: float, acid: float) -> Array:
    """Plain mmol that the roots add each day, [days, seasons]; ammonium and nitrate are taken in proportion."""
    if "N" not in feed.elements or found.daily is None:
        return np.zeros((len(found.history), len(found.left)))
    taken = found.daily[:, :, feed.elements.index("N")]
    ammonium, nitrate = (_of_ion(feed, found.history, key) for key in ("NH4+", "NO3-"))
    both = ammonium + nitrate
    share = np.divide(ammonium, both, out=np.zeros_like(both), where=both > 0)
    return taken * (base * (1 - share) - acid * share)


def _of_ion(feed: Feed, history: Array, key: str) -> Array:
    return history[..., feed.names.index(key)] if key in feed.names else np.zeros(history.shape[:-1])


def _alive(litres: Mapping[str, Array]) -> Array:
    """True while a season still has more than is left when a crop is ended, [seasons, days]."""
    share = number("budget", "stop", "share left", "1")
    return np.logical_and.accumulate(litres["volume"] > share * litres["filled"][0], axis=1)


def _middle_and_ends(ledgers: list[Array], alive: Array) -> Array:
    """The value that 10, 50 and 90 of 100 seasons stay under, of a ledger each, [3, days]."""
    held = [np.where(alive, ledger, np.nan) for ledger in ledgers]
    return np.stack(
        [np.nanquantile(each, part, axis=0) for each, part in zip(held, (0.1, 0.5, 0.9), strict=True)]
    )


def _ph(feed: Feed, middle: Array, alkalinity: Array) -> Array:
    """The pH of the middle season's salts with each of three alkalinities, [3, days]; nan where it is too strong."""
    strength = middle @ np.array([ions()[key].charge ** 2 / 2 for key in feed.names])
    most = 1000 * _MARGIN * number("plausible", "conductivity", "highest ionic strength", "mol/kg")
    weak = strength + np.abs(alkalinity).max(axis=0) <= most
    found = np.full(alkalinity.shape, np.nan)
    if weak.any():
        found[:, weak] = _solved(feed, middle[weak], alkalinity[:, weak])
    return found


def _solved(feed: Feed, middle: Array, alkalinity: Array) -> Array:
    celsius = number("budget", "tank", "usual temperature", "degC")
    litre = water_in_a_litre.plain(celsius)
    state: dict[str, Any] = {"temperature": np.array(celsius)}
    for key, total in _TOTALS.items():
        state[total] = state.get(total, 0.0) + _of_ion(feed, middle, key) / 1000 / litre
    charge = alkalinity / 1000 / litre
    state["strong_charge"] = conservative_charge(charge, state["NH4"], state["P"])
    pressure = np.broadcast_to(
        np.log10(_ends(load("uptake")["under a lid", "carbon dioxide"]))[::-1, None], charge.shape
    )
    return _without_lime(state, pressure, celsius)


def _without_lime(state: Mapping[str, Any], pressure: Array, celsius: float) -> Array:
    """The pH once lime has fallen out down to the index at which it waits for a surface."""
    index = number("uptake", "limit", "lime index", "1")
    none, most = np.zeros(pressure.shape), np.broadcast_to(state["Ca"], pressure.shape) * 0.999

    def at(lime: Array) -> Any:
        return solve(
            {**state, "Ca": state["Ca"] - lime, "strong_charge": state["strong_charge"] - 2 * lime}, pressure
        )

    found = at(none)
    over = np.asarray(saturation_index(found, "calcite", celsius)) > index
    if not over.any():
        return found.ph
    low, high = none, np.where(over, most, 0.0)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        beyond = saturation_index(at(middle), "calcite", celsius) > index
        low, high = np.where(beyond, middle, low), np.where(beyond, high, middle)
    return at(high).ph


def _first_above(values: Array, limit: float, dates: np.ndarray) -> date | None:
    above = np.flatnonzero(values > limit)  # nan is not
    return plain_date(dates[above[0]]) if above.size else None
