"""One decorator for the formulas: quantities outside, plain numbers inside."""

import functools
from collections.abc import Callable
from typing import Any

from stilltank.science.weather import latitude_degrees
from stilltank.tables import number
from stilltank.units import Q, takes


def formula(result: str, **units: str) -> Callable[[Callable[..., Any]], Any]:
    """Declare the units a formula works in.

    The public function takes and returns quantities. The formula on plain numbers stays reachable as
    ``function.plain``, for use inside the science floor. An argument called ``latitude`` must be an angle.

    Example
    -------
    >>> @formula("L", area="m^2", rain="mm")
    ... def catch(area, rain):
    ...     return area * rain
    >>> catch(Q(0.24, "m^2"), Q(25, "mm")).magnitude, catch.plain(1, 2)
    (6.0, 2)
    """

    def decorate(plain: Callable[..., Any]) -> Any:
        @functools.wraps(plain)
        def wrapped(*args: Any, **kwargs: Any) -> Any:
            return Q(plain(*args, **kwargs), result)

        public: Any = takes(**{name: unit for name, unit in units.items() if name != "latitude"})(wrapped)
        if "latitude" in units:
            public = _with_latitude(public)
        public.plain = plain
        return public

    return decorate


def _with_latitude(public: Any) -> Any:
    """Latitude is the first argument of every formula that has one."""

    @functools.wraps(public)
    def checked(latitude: Any, *args: Any, **kwargs: Any) -> Any:
        return public(latitude_degrees(latitude, public.__name__), *args, **kwargs)

    return checked


def value(item: str, prop: str, unit: str = "1") -> float:
    """A coefficient of data/evapotranspiration.csv as a plain number.

    Example
    -------
    >>> value("net radiation", "albedo")
    0.23
    """
    return number("evapotranspiration", item, prop, unit)
