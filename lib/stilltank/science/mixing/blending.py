"""Solutions poured together, diluted, or replaced in part: what is dissolved stays, only its litres change."""

from collections.abc import Callable
from typing import Any, cast

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
from stilltank.units import (
    OutOfRange,
    PlainNumber,
    Q,
    Quantity,
    UnitNeeded,
    magnitude,
    said,
    takes,
    within,
)
from stilltank.units.types import Plain


@takes(volume_a="L", volume_b="L")
def blend(a: Solution | Water, volume_a: Quantity, b: Solution | Water, volume_b: Quantity) -> Solution:
    """Pour two solutions, or waters, together.

    Every ion is kept, and with it the charge; so are alkalinity and dissolved carbon, from which the pH of the
    blended water follows. No pH is averaged.

    Parameters
    ----------
    a : Solution or Water
        The first.
    volume_a : Quantity
        What is poured of it, one value or an array.
    b : Solution or Water
        The second.
    volume_b : Quantity
        What is poured of it, one value or an array.

    Returns
    -------
    Solution
        Its water is the blend of both waters. Where the alkalinity of one is not known, that of the blend is not.

    Raises
    ------
    UnitNeeded
        One is no solution, or a volume has no unit.
    OutOfRange
        A volume is below zero, or both are nothing.
    Problem
        The arrays do not fit each other.

    See Also
    --------
    diluted : With water, to a part of the strength.
    replace_part : In a tank that stays as full as it was.

    Notes
    -----
    Volumes are taken to add up, which holds to 0.1 % for nutrient solutions; carbon dioxide does not escape while they
    are poured. A blended water whose ions were not all reported keeps that gap.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> half = blend(recipe_solution("Steiner"), Q(5, "L"), Water.pure(), Q(5, "L"))
    >>> round(half.elements["K"].m_as("mg/L"), 1), half.volume.m_as("L")
    (136.8, 10.0)
    """
    first, second = _poured(a, "a"), _poured(b, "b")
    one, other = cast("Plain", volume_a), cast("Plain", volume_b)  # as the door hands them on
    for plain in (one, other):
        within(plain, 0, np.inf, "blend: {value} cannot be poured.", "L")
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
    masses: dict[str, Quantity] = {}
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


def _blended_water(a: Water, b: Water, joined: Callable[[Plain, Plain], Plain]) -> Water:
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


@takes(solution=Solution, factor=PlainNumber(2), water=Water)
def diluted(solution: Solution, factor: Plain, water: Water | None = None) -> Solution:
    """Make a solution up to ``factor`` times its volume with water.

    The meter then shows more than one ``factor``-th: ions hinder each other less, fewer are paired, and the water
    brings its own.

    Parameters
    ----------
    solution : Solution
        What is diluted, with its volume.
    factor : float or array
        1 or more; 2 makes half strength.
    water : Water, optional
        Pure water when left out.

    Returns
    -------
    Solution
        With the larger volume.

    Raises
    ------
    Unreadable
        It is no solution or water, or the factor is no plain number.
    OutOfRange
        The factor is below 1.

    See Also
    --------
    blend : Of any two solutions; the limits are the same.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> whole = recipe_solution("Hoagland 1")
    >>> [round(diluted(whole, factor).conductivity().m_as("mS/cm"), 2) for factor in (1, 2, 4)]
    [2.2, 1.15, 0.6]
    """
    within(factor, 1, 1e6, "diluted: a factor of {value:g} is no dilution; 2 makes half strength.")
    volume = solution.volume.m_as("L")
    return blend(
        solution, Q(volume, "L"), Water.pure() if water is None else water, Q(volume * (factor - 1), "L")
    )


@takes(solution=Solution)
def replace_part(solution: Solution, taken_out: Quantity, fresh: Solution | Water) -> Solution:
    """Take some of a tank's solution out and pour as much of another in.

    Parameters
    ----------
    solution : Solution
        What is in the tank, with its volume.
    taken_out : Quantity
        A volume, or percent of the tank; one value or an array.
    fresh : Solution or Water
        What is poured in.

    Returns
    -------
    Solution
        With the volume that it had.

    Raises
    ------
    Unreadable
        There is no solution in the tank.
    UnitNeeded
        What is taken out has no unit, or what is poured in is no solution.
    OutOfRange
        It is less than nothing, or more than there is.

    See Also
    --------
    blend : What happens in the tank; the limits are the same.

    Notes
    -----
    What the plants have taken up meanwhile is not known to it.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Steiner", Q(40, "L"))
    >>> round(replace_part(tank, Q(10, "L"), Water.pure()).elements["K"].m_as("mg/L"), 1)  # three quarters of 273.7
    205.3
    """
    volume = solution.volume.m_as("L")
    if isinstance(taken_out, Quantity) and taken_out.check("[]"):
        out = volume * magnitude(taken_out, "dimensionless", "taken_out", "replace_part")
    else:
        out = magnitude(taken_out, "L", "taken_out", "replace_part")
    if np.any(out > volume):
        raise OutOfRange(
            f"{said(Q(np.max(out), 'L'))} cannot be taken out of {said(Q(np.min(volume), 'L'))}. "
            "Fill the tank afresh instead."
        )
    within(out, 0, np.inf, "replace_part: {value} cannot be taken out.", "L")
    return blend(solution, Q(volume - out, "L"), fresh, Q(out, "L"))


def _share_left(volume: Plain, rain_in: Plain, overflow: Plain) -> Plain:
    """Share of the final volume that is still the old solution.

    First the rain fills what room there is; from then on as much leaves as comes, and the old solution goes as
    exp(-overflow/volume).
    """
    final = volume + rain_in - overflow
    left: Plain = volume / final * np.exp(-np.asarray(overflow) / final)
    return left


@takes(solution=Solution, rain_in="L", overflow="L", rain=Water)
def after_rain(
    solution: Solution, rain_in: Quantity, overflow: Quantity | None = None, rain: Water | None = None
) -> Solution:
    r"""The solution after rain has run in and some of the mixture has run off.

    Parameters
    ----------
    solution : Solution
        With the volume in the tank before the rain.
    rain_in : Quantity
        Volume of rain, one value or an array.
    overflow : Quantity, optional
        Volume that left by the hole; none when left out.
    rain : Water, optional
        Pure water when left out.

    Returns
    -------
    Solution
        With the volume afterwards; its ``conductivity()`` is what a meter will show.

    Raises
    ------
    Unreadable
        It is no solution, or the rain is no water.
    UnitNeeded
        A volume has no unit.
    OutOfRange
        A volume is below zero, or more ran off than rained in.

    Notes
    -----
    Perfect mixing: the rain fills what room there is; from then on the share of the old solution falls as

    .. math:: \exp(-V_{overflow} / V_{final})

    In a still tank cold rain can lie below, or fresh rain run off by a high hole before it mixes; then more stays. The
    daily budget mixes a day's rain first and lets it run off at once, which keeps a little more: 0.667 instead of
    0.607 here.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Steiner", Q(40, "L"))
    >>> wet = after_rain(tank, Q(20, "L"), Q(20, "L"))
    >>> round(wet.elements["K"] / tank.elements["K"], 3).magnitude
    0.607
    """
    water = Water.pure() if rain is None else rain
    gained: Any = rain_in
    lost: Any = 0.0 if overflow is None else overflow
    volume = solution.volume.m_as("L")
    within(gained, 0, 1e7, "after_rain: {value} of rain is not possible.", "L")
    within(lost, 0, 1e7, "after_rain: an overflow of {value} is not possible.", "L")
    if np.any(np.asarray(lost) > np.asarray(gained) + 1e-9):
        raise OutOfRange(
            f"after_rain: {said(Q(np.max(lost), 'L'))} ran off and only {said(Q(np.min(gained), 'L'))} rained in. "
            "Solution that is taken out by hand changes no concentration."
        )
    final = volume + gained - lost
    old = final * _share_left(volume, gained, lost)
    return blend(solution, Q(old, "L"), water, Q(np.maximum(final - old, 0), "L"))
