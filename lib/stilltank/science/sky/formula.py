"""One decorator for the formulas: quantities outside, plain numbers inside."""

import functools
import inspect
from collections.abc import Callable
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Q, check_shapes, pure_number, takes

from .places import latitude_degrees

_UNITLESS = {
    "day_of_year": 172,
    "coefficient": 1.15,
    "leaf_area_index": 3,
    "hour": 14.5,
    "clearness": 0.5,
}  # arguments without a unit, an example each


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
        signature = inspect.signature(plain)

        @functools.wraps(plain)
        def wrapped(*args: Any, **kwargs: Any) -> Any:
            given = signature.bind(*args, **kwargs).arguments
            for name in _UNITLESS.keys() & given.keys():
                if given[name] is None and signature.parameters[name].default is None:
                    continue
                given[name] = pure_number(given[name], _UNITLESS[name], name, plain.__name__)
            check_shapes({name: np.shape(value) for name, value in given.items()}, plain.__name__)
            return Q(plain(**given), result)

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


def fao56_value(item: str, prop: str, unit: str = "1") -> float:
    """A coefficient of data/evapotranspiration.csv as a plain number.

    Example
    -------
    >>> fao56_value("net radiation", "albedo")
    0.23
    """
    return number("evapotranspiration", item, prop, unit)
