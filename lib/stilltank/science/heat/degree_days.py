"""Degree-days of a day, by the methods that published sums were made with."""

from typing import Any

import numpy as np

from stilltank.science.sky import check_day_extremes
from stilltank.units import OutOfRange, Problem, Q, Quantity, check_shapes, takes, within
from stilltank.units.types import Array, PlainLike

from ... import tables

DEGREE_DAY_METHODS = ("average", "clipped", "sine", "double sine", "triangle", "double triangle")
CUTOFFS = {
    "horizontal": "above the upper limit as much is gained as at it",
    "intermediate": "above the upper limit less and less is gained, and nothing from the ceiling on",
    "vertical": "above the upper limit nothing is gained",
}


@takes(
    tmin="degC",
    tmax="degC",
    base="degC",
    upper="degC",
    method=DEGREE_DAY_METHODS,
    cutoff=tuple(CUTOFFS),
    ceiling="degC",
    next_tmin="degC",
)
def degree_days(
    tmin: Quantity,
    tmax: Quantity,
    base: Quantity,
    upper: Quantity | None = None,
    method: str = "sine",
    cutoff: str = "horizontal",
    ceiling: Quantity | None = None,
    next_tmin: Quantity | None = None,
) -> Quantity:
    """Degree-days gained on each day.

    Parameters
    ----------
    tmin, tmax : Quantity
        Lowest and highest temperature of the day; one value each or arrays.
    base : Quantity
        Below it nothing is gained.
    upper : Quantity, optional
        The limit from which on warmth no longer adds more.
    method : str, default "sine"
        "sine": single sine curve through the two (default). "triangle": straight lines. "double sine" and "double
        triangle" take the minimum of the next day for the second half. "average": the mean of the two. "clipped":
        both brought into base to upper first, then the mean; extension services call these modified degree-days,
        "86/50" with its limits in degF. A published sum goes with its own method only.
    cutoff : str, default "horizontal"
        What happens above ``upper``: "horizontal" (default), "intermediate" or "vertical", as in ``CUTOFFS``.
        "clipped" knows the horizontal one only.
    ceiling : Quantity, optional
        Where the intermediate cut-off reaches nothing; as far above ``upper`` as that is above
        ``base`` when left out, which is the cut-off of extension tables.
    next_tmin : Quantity, optional
        Lowest temperature of the next day, for the double methods. When left out, that of the next day in the array;
        the last day takes its own.

    Returns
    -------
    Quantity
        In delta_degC*day, one value a day; add up with ``.sum()``.

    Raises
    ------
    UnitNeeded
        A bare number, or not a temperature.
    OutOfRange
        A minimum above its maximum, an upper limit not above the base, a ceiling not above the upper limit, a missing
        value, or a temperature that no air on earth has had.
    Problem
        A method and a cut-off that do not go together, or arrays that do not fit.
    Unreadable
        An unknown method or cut-off.

    See Also
    --------
    days_to_flower : Days that a crop takes at a temperature.

    Notes
    -----
    Against hourly sums over a year at a base of 10 degC "sine" was 2 to 2.4 percent high, "average" -2.9 to +0.1,
    "clipped" 4.9 to 6.7 percent high (two stations); the methods part most in cool weather.

    "average" and "clipped" are those of extension services.

    References
    ----------
    BASKERVILLE1969, for "sine".
    ZALOM1983, for triangles, double methods and cut-offs.

    Examples
    --------
    >>> round(degree_days(Q(7, "degC"), Q(14, "degC"), base=Q(12, "degC")).magnitude, 3)
    0.468
    >>> warm = degree_days(Q(65, "degF"), Q(90, "degF"), Q(50, "degF"), Q(86, "degF"), method="clipped")
    >>> round(warm.to("delta_degF*day").magnitude, 1)
    25.5
    """
    low, high, floor = of_the_air(tmin), of_the_air(tmax), of_the_air(base)
    best, top, next_low = (None if t is None else of_the_air(t) for t in (upper, ceiling, next_tmin))
    check_shapes({"tmin": np.shape(low), "tmax": np.shape(high)}, "degree_days")
    check_day_extremes(low, high)
    _check_words(method, cutoff, best, top, next_low)
    _check_limits(floor, best, top)
    if method == "clipped":
        most = np.inf if best is None else best
        gained: Any = (np.clip(low, floor, most) + np.clip(high, floor, most)) / 2 - floor
    elif method == "average":
        mean = (low + high) / 2
        gained = _cut((mean, mean), "triangle", floor, best, cutoff, top)
    else:
        shape = method.removeprefix("double ")
        gained = _cut((low, high), shape, floor, best, cutoff, top)
        if shape != method:
            second = _next(low) if next_low is None else next_low
            evening = np.minimum(second, high), np.maximum(second, high)  # the night may be the warmer part
            gained = (gained + _cut(evening, shape, floor, best, cutoff, top)) / 2
    return Q((gained + 0.0)[()], "delta_degC*day")  # a cold day is written 0, not -0


def _next(tmin: Any) -> Any:
    return np.concatenate([tmin[..., 1:], tmin[..., -1:]], axis=-1) if np.ndim(tmin) else tmin


def _cut(day: Any, shape: str, base: Any, upper: Any, cutoff: str, ceiling: Any) -> Any:
    """Area between base and the cut-off under one course of the day, in degC day."""
    low, high = day
    above = _sine_above if shape == "sine" else _triangle_above
    area, _ = above(low, high, base)
    if upper is None:
        return area
    over, share = above(low, high, upper)
    if cutoff == "horizontal":
        return area - over
    if cutoff == "vertical":
        return area - over - (upper - base) * share
    top = 2 * upper - base if ceiling is None else ceiling
    falls = (upper - base) / (top - upper)
    gained = area - (1 + falls) * over + falls * above(low, high, top)[0]
    return np.where(
        gained > 1e-12, gained, 0.0
    )  # above the ceiling the three cancel but for a rounding error


def _check_words(method: str, cutoff: str, upper: Any, ceiling: Any, next_tmin: Any) -> None:
    if cutoff != "horizontal" and upper is None:
        raise Problem(f'The {cutoff} cut-off needs an upper limit: write upper=Q(30, "degC") too.')
    if method == "clipped" and cutoff != "horizontal":
        raise Problem(f'"clipped" knows the horizontal cut-off only; take "sine" for the {cutoff} one.')
    if ceiling is not None and cutoff != "intermediate":
        raise Problem('A ceiling belongs to cutoff="intermediate"; leave it out, or write that too.')
    if next_tmin is not None and not method.startswith("double"):
        raise Problem(f'next_tmin belongs to "double sine" and "double triangle", not to {method!r}.')


def _check_limits(base: Any, upper: Any, ceiling: Any) -> None:
    if upper is not None and np.any(upper <= base):
        raise OutOfRange("The upper limit must lie above the base temperature.")
    if ceiling is not None and np.any(ceiling <= upper):
        raise OutOfRange("The ceiling must lie above the upper limit.")


def of_the_air(temperature: PlainLike) -> Array:
    """Plain degC as an array, if the air can have it.

    Parameters
    ----------
    temperature : float or ndarray
        Of the air, in degC.

    Returns
    -------
    ndarray
        In degC.

    Raises
    ------
    OutOfRange
        A temperature that no air on earth has had.

    Examples
    --------
    >>> of_the_air(20.0).tolist()
    20.0
    """
    low, high = (
        tables.number("plausible", "weather", f"{end} temperature", "degC") for end in ("lowest", "highest")
    )
    within(
        temperature,
        low,
        high,
        "The air is between {low} and {high}; {value} is not. Check the unit.",
        "degC",
    )
    return np.asarray(temperature, dtype=float)


def _sine_above(tmin: Any, tmax: Any, threshold: Any) -> tuple[Any, Any]:
    """Area above a threshold under one sine wave from tmin to tmax, in degC day, and the share of the day there."""
    mean = (tmax + tmin) / 2
    half = np.maximum((tmax - tmin) / 2, 1e-9)  # a day without swing must not divide by zero
    above = mean - threshold
    ratio = np.clip(-above / half, -1, 1)  # -1 and 1 are a day all above and all below
    theta = np.arcsin(ratio)
    area = (above * (np.pi / 2 - theta) + half * np.cos(theta)) / np.pi
    share = np.where(
        tmax > tmin, (np.pi / 2 - theta) / np.pi, above > 0
    )  # a day without swing is above or it is not
    # exactly nothing where the cosine leaves a rounding error
    return np.where(ratio < 1, area, 0.0), share


def _triangle_above(tmin: Any, tmax: Any, threshold: Any) -> tuple[Any, Any]:
    """The same under two straight lines."""
    swing = np.maximum(tmax - tmin, 1e-9)
    share = np.clip((tmax - threshold) / swing, 0, 1)
    return np.where(share < 1, share * (tmax - threshold) / 2, (tmin + tmax) / 2 - threshold), share
