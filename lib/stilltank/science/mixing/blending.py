"""Solutions poured together, diluted, or replaced in part: what is dissolved stays, only its litres change."""

from typing import Any

import numpy as np

from ...units import OutOfRange, Q, UnitNeeded, magnitude, pure_number, within
from ..equilibrium import alkalinity_of, solve
from ..ions import Plain, kilogram_per_litre
from ..solution import Solution, Water, equivalent_mass, litres


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
    states = [(each.state(), kilogram_per_litre(each.temperature.m_as("degC"))) for each in (a, b)]
    litre = kilogram_per_litre(celsius)
    keys = dict.fromkeys(key for state, _ in states for key in state if key != "temperature")
    state = {
        key: joined(*(each.get(key, 0.0) * kilograms for each, kilograms in states)) / litre for key in keys
    }
    state["temperature"] = celsius
    alkalinity = Q(alkalinity_of(state) * litre * 1000 * equivalent_mass(), "mg/L")
    ph = solve(state).ph if np.any(np.asarray(state["DIC"]) > 0) else None
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


def replaced(solution: Solution, taken_out: Any, fresh: Solution | Water) -> Solution:
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
    >>> round(replaced(tank, Q(10, "L"), Water.pure()).elements["K"].m_as("mg/L"), 1)  # three quarters of 273.7
    205.3

    Limits: as ``blend``. What the plants have taken up meanwhile is not known to it.
    """
    if not isinstance(solution, Solution):
        raise UnitNeeded(f"replaced needs a Solution; you gave {solution!r}.")
    volume = solution.volume.m_as("L")
    if hasattr(taken_out, "check") and taken_out.check("[]"):
        out = volume * taken_out.m_as("dimensionless")
    else:
        out = magnitude(taken_out, "L", "taken_out", "replaced")
    if np.any(out > volume):
        raise OutOfRange(
            f"{np.max(out):g} L cannot be taken out of {np.min(volume):g} L. Fill the tank afresh instead."
        )
    return blend(solution, Q(volume - out, "L"), fresh, Q(out, "L"))
