"""The visits of a log as the re-fit takes them: levels and litres with their doubt."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import time

from stilltank.science import refit
from stilltank.science.pure_water import water_density
from stilltank.science.tank import Box, volume_from_tilt
from stilltank.season.plan import Plan
from stilltank.tables import number
from stilltank.units import Problem, Q, Quantity

from .visits import Visit

_NOON = time(14)  # a reading from then on counts at the end of the day


def reading_doubt(visit: Visit) -> Quantity:
    """Tell how far a level is to be trusted: one standard deviation.

    Parameters
    ----------
    visit : Visit
        With a level.

    Returns
    -------
    quantity, mm
        That of a dipstick where it was read so, or in inches; else that of a ruler; more where it was rough.

    Examples
    --------
    >>> reading_doubt(Visit(level=Q(20, "cm"))).m_as("mm")
    3.5
    """
    coarse = visit.method == "dipstick" or (visit.level is not None and str(visit.level.units) == "inch")
    usual = number("log", "dipstick" if coarse else "ruler", "doubt", "mm")
    rough = 0.0 if visit.doubt is None or not visit.doubt.check("[length]") else float(visit.doubt.m_as("mm"))
    return Q(max(usual, rough), "mm")


def observations(visits: Iterable[Visit], plan: Plan) -> tuple[refit.Observation, ...]:
    """Lower the visits to one tank to what the re-fit takes.

    Parameters
    ----------
    visits : sequence of Visit
        Of one tank, by day; what waits for an answer is None in them.
    plan : Plan
        Of that tank.

    Returns
    -------
    tuple of refit.Observation
        One for each visit that tells something of the water.

    Raises
    ------
    Problem
        As the science does.

    Notes
    -----
    With plants on the scale, 0.05 to 0.075 kg of each litre drunk stay in them: V = (W - empty - g A)/(density - g),
    with A all that was filled in and added, and all that was used taken as drunk.

    Examples
    --------
    >>> from datetime import date
    >>> seen = Visit(row=2, day=date(2027, 6, 1), level=Q(20, "cm"))
    >>> observations([seen], Plan.make(count=4))[0].doubt.m_as("mm")
    3.5
    """
    found = []
    given = float(plan.outlook.volume.m_as("L"))
    for visit in visits:
        if visit.day is None or not visit.counts:
            continue
        amounts = [each for each in (visit.added_water, visit.added_mix) if each is not None]
        poured = sum((each.to("L") for each in amounts), Q(0, "L")) if amounts else None
        one = refit.Observation(
            day=visit.day,
            rain=visit.rain,
            poured=poured,
            poured_to=visit.added_to,
            poured_unknown=visit.added_unknown,
            stems_cut=(visit.stems_cut or 0) + (visit.heads_cut or 0) or None,
            plants=visit.plants,
            replaced="replaced" in visit.events,
            blocked=True
            if "hole blocked" in visit.events
            else False
            if "hole cleared" in visit.events
            else None,
            evening=visit.at is not None and visit.at >= _NOON,
        )
        read = _reading(visit, plan, given)
        found.append(one if read is None else replace(one, **read))  # type: ignore[arg-type]
        given += float(poured.m_as("L")) if poured is not None else 0.0
    return tuple(found)


def _reading(visit: Visit, plan: Plan, given: float) -> dict[str, object] | None:
    """The best reading of a visit, as words of an observation."""
    if visit.level is not None:
        return {"level": visit.level, "doubt": reading_doubt(visit)}
    if visit.volume is not None:
        doubt = 0.01 * float(plan.tank.volume(plan.tank.height).m_as("L"))
        return {"volume": visit.volume, "doubt": Q(doubt, "L")}
    if visit.weight is not None and plan.tank.empty_mass is not None:
        kept = (
            number("log", "plants", "kept mass", "kg/L")
            if visit.weighed_with in ("lid and plants", "")
            else 0.0
        )
        mass = float(visit.weight.m_as("kg")) - float(plan.tank.empty_mass.m_as("kg")) - kept * given
        litres = mass / (float(water_density(Q(20, "degC")).m_as("kg/L")) - kept)
        if litres <= 0:
            return None
        own = number("log", "scale", "doubt with plants" if kept else "doubt", "kg")
        return {
            "volume": Q(litres, "L"),
            "doubt": Q(own + kept * max(given - litres, 0) / 4, "L"),
            "stick": False,
        }
    if visit.tilt is not None and visit.wet_length is not None and isinstance(plan.tank, Box):
        try:
            tilted = volume_from_tilt(plan.tank, visit.tilt, visit.wet_length)
        except Problem:
            return None
        doubt = max(
            number("log", "tilt", "share", "1") * float(tilted.m_as("L")), number("log", "tilt", "least", "L")
        )
        return {"volume": tilted, "doubt": Q(doubt, "L"), "stick": False}
    if visit.between is not None:
        return {"between": visit.between, "stick": False}
    return None
