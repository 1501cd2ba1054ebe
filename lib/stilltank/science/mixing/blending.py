"""Solutions poured together, diluted, or replaced in part: what is dissolved stays, only its litres change."""

from typing import Any

import numpy as np

from stilltank.science.chemistry import (
    Solution,
    Water,
    caco3_equivalent_mass,
    litres,
    solve,
    titration_alkalinity,
    water_in_a_litre,
)
from stilltank.units import OutOfRange, Q, UnitNeeded, magnitude, pure_number, takes, within
from stilltank.units.types import Plain


def blend(a: Solution | Water, volume_a: Any, b: Solution | Water, volume_b: Any) -> Solution:
    """Pour two solutions, or waters, together.

    Every ion is kept, and with it the charge; so are alkalinity and dissolved carbon, from which the pH of the
    blended water follows. No pH is averaged.

    Parameters
    ----------
    a, b : Solution or Water
    volume_a, volume_b : quantity, array
        What is poured of each.

    Returns
    -------
    Solution
        Its water is the blend of both waters. Where the alkalinity of one is not known, that of the blend is not.

    Raises
    ------
    UnitNeeded   no solution, or a volume without a unit
    OutOfRange   a negative volume, or nothing at all

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> half = blend(recipe_solution("Steiner"), Q(5, "L"), Water.pure(), Q(5, "L"))
    >>> round(half.elements["K"].m_as("mg/L"), 1), half.volume.m_as("L")
    (136.8, 10.0)

    Limits: volumes are taken to add up, which holds to 0.1 % for nutrient solutions; carbon dioxide does not
    escape while they are poured. A blended water whose ions were not all reported keeps that gap.
    """
    first, second = _poured(a, "a"), _poured(b, "b")
    one, other = (magnitude(v, "L", n, "blend") for v, n in ((volume_a, "volume_a"), (volume_b, "volume_b")))
    for plain in (one, other):
        within(plain, 0, np.inf, "blend: {value:g} L cannot be poured.")
    whole = litres(Q(one + other, "L"), "blend")
    share = one / whole

    def joined(x: Plain, y: Plain) -> Plain:
        return x * share + y * (1 - share)

    water = _blended_water(first.water, second.water, joined)
    added = {
        key: Q(
            joined(*(each.added.get(key, Q(0, "mmol/L")).m_as("mmol/L") for each in (first, second))),
            "mmol/L",
        )
        for key in dict.fromkeys((*first.added, *second.added))
    }
    masses: dict[str, Any] = {}
    for each, poured in ((first, one), (second, other)):
        for name, mass in each.masses.items():
            masses[name] = masses.get(name, Q(0, "g")) + mass * (poured / each.volume.m_as("L"))
    return Solution(Q(whole, "L"), added, masses, water)


def _poured(each: Any, name: str) -> Solution:
    if isinstance(each, Water):
        return Solution(Q(1, "L"), {}, water=each)
    if not isinstance(each, Solution):
        raise UnitNeeded(f"blend needs a Solution or a Water for `{name}`; you gave {each!r}.")
    return each


def _blended_water(a: Water, b: Water, joined: Any) -> Water:
    """The water of a blend: ions, alkalinity and carbon by volume, and the pH that belongs to them."""
    if a is b:
        return a
    celsius = joined(a.temperature.m_as("degC"), b.temperature.m_as("degC"))
    ions = {
        key: Q(joined(a.amounts.get(key, 0.0), b.amounts.get(key, 0.0)), "mmol/L")
        for key in dict.fromkeys((*a.amounts, *b.amounts))
    }
    name = " and ".join(dict.fromkeys(filter(None, (a.name, b.name))))
    unknown = {**a.unknown, **b.unknown}
    if a.alkalinity is None or b.alkalinity is None:
        ions = {key: value for key, value in ions.items() if key not in ("HCO3-", "CO3-2")}
        return Water(ions, temperature=Q(celsius, "degC"), name=name, unknown=unknown)
    states = [(each.state(), water_in_a_litre(each.temperature.m_as("degC"))) for each in (a, b)]
    litre = water_in_a_litre(celsius)
    keys = dict.fromkeys(key for state, _ in states for key in state if key != "temperature")
    state = {
        key: joined(*(each.get(key, 0.0) * kilograms for each, kilograms in states)) / litre for key in keys
    }
    state["temperature"] = celsius
    alkalinity = Q(titration_alkalinity(state) * litre * 1000 * caco3_equivalent_mass(), "mg/L")
    ph: Plain | None = solve(state).ph if np.any(np.asarray(state["DIC"]) > 0) else None
    if ph is not None and not np.ndim(ph):
        ph = float(ph)
    return Water(ions, alkalinity, ph, Q(celsius, "degC"), name, unknown=unknown)


def diluted(solution: Solution, factor: Any, water: Water | None = None) -> Solution:
    """A solution made up to ``factor`` times its volume with water.

    The meter then shows more than one ``factor``-th: ions hinder each other less, fewer are paired, and the water
    brings its own.

    Parameters
    ----------
    solution : Solution
    factor : number or array, 1 or more
        2 is half strength.
    water : Water, default pure water

    Returns
    -------
    Solution

    Raises
    ------
    UnitNeeded, OutOfRange   no solution, a factor below 1

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> whole = recipe_solution("Hoagland 1")
    >>> [round(diluted(whole, factor).conductivity().m_as("mS/cm"), 2) for factor in (1, 2, 4)]
    [2.2, 1.15, 0.6]

    Limits: as ``blend``.
    """
    if not isinstance(solution, Solution):
        raise UnitNeeded(f"diluted needs a Solution; you gave {solution!r}.")
    times = pure_number(factor, 2, "factor", "diluted")
    within(times, 1, 1e6, "diluted: a factor of {value:g} is no dilution; 2 makes half strength.")
    volume = solution.volume.m_as("L")
    return blend(
        solution, Q(volume, "L"), Water.pure() if water is None else water, Q(volume * (times - 1), "L")
    )


def replace_part(solution: Solution, taken_out: Any, fresh: Solution | Water) -> Solution:
    """A tank after some of its solution was taken out and as much of another poured in.

    Parameters
    ----------
    solution : Solution
        What is in the tank, with its volume.
    taken_out : quantity, volume, or percent of the tank
    fresh : Solution or Water

    Returns
    -------
    Solution

    Raises
    ------
    UnitNeeded, OutOfRange   no solution, no unit, or more than there is

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Steiner", Q(40, "L"))
    >>> round(replace_part(tank, Q(10, "L"), Water.pure()).elements["K"].m_as("mg/L"), 1)  # three quarters of 273.7
    205.3

    Limits: as ``blend``. What the plants have taken up meanwhile is not known to it.
    """
    if not isinstance(solution, Solution):
        raise UnitNeeded(f"replace_part needs a Solution; you gave {solution!r}.")
    volume = solution.volume.m_as("L")
    if hasattr(taken_out, "check") and taken_out.check("[]"):
        out = volume * taken_out.m_as("dimensionless")
    else:
        out = magnitude(taken_out, "L", "taken_out", "replace_part")
    if np.any(out > volume):
        raise OutOfRange(
            f"{np.max(out):g} L cannot be taken out of {np.min(volume):g} L. Fill the tank afresh instead."
        )
    return blend(solution, Q(volume - out, "L"), fresh, Q(out, "L"))


def _share_left(volume: Any, rain_in: Any, overflow: Any) -> Any:
    """Share of the final volume that is still the old solution.

    First the rain fills what room there is; from then on as much leaves as comes, and the old solution goes as
    exp(-overflow/volume).
    """
    final = volume + rain_in - overflow
    return volume / final * np.exp(-np.asarray(overflow) / final)


@takes(rain_in="L", overflow="L")
def after_rain(solution: Solution, rain_in: Any, overflow: Any = None, rain: Water | None = None) -> Solution:
    """The solution after rain has run in and some of the mixture has run off.

    Parameters
    ----------
    solution : Solution, with the volume in the tank before the rain
    rain_in : quantity, volume; one value or an array
    overflow : quantity, volume that left by the hole; none when left out
    rain : Water; pure water when left out

    Returns
    -------
    Solution
        With the volume afterwards; its ``conductivity()`` is what a meter will show.

    Raises
    ------
    UnitNeeded   no solution, no volume
    OutOfRange   negative volumes, or more overflow than rain

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Steiner", Q(40, "L"))
    >>> wet = after_rain(tank, Q(20, "L"), Q(20, "L"))
    >>> round(wet.elements["K"] / tank.elements["K"], 3).magnitude
    0.607

    Source: perfect mixing: the rain fills what room there is, then the old solution goes as exp(-overflow/volume).

    Limits: well mixed all the while. In a still tank cold rain may lie below, or fresh rain run off by a high hole
    before it mixes; then more stays. The daily budget mixes a day's rain first and lets it run off at once, which
    keeps a little more: 0.667 instead of 0.607 here.
    """
    if not isinstance(solution, Solution):
        raise UnitNeeded(f"after_rain needs a Solution, such as recipe_solution(...); you gave {solution!r}.")
    water = Water.pure() if rain is None else rain
    if not isinstance(water, Water):
        raise UnitNeeded(f"after_rain needs a Water for `rain`, such as Water.pure(); you gave {water!r}.")
    lost = 0.0 if overflow is None else overflow
    volume = solution.volume.m_as("L")
    within(rain_in, 0, 1e7, "after_rain: {value:g} L of rain is not possible.")
    within(lost, 0, 1e7, "after_rain: an overflow of {value:g} L is not possible.")
    if np.any(np.asarray(lost) > np.asarray(rain_in) + 1e-9):
        raise OutOfRange(
            f"after_rain: {np.max(lost):.4g} L ran off and only {np.min(rain_in):.4g} L rained in. Solution "
            "that is taken out by hand changes no strength."
        )
    final = volume + rain_in - lost
    old = final * _share_left(volume, rain_in, lost)
    return blend(solution, Q(old, "L"), water, Q(np.maximum(final - old, 0), "L"))
