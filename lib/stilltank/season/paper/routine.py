"""The top-up routine of a plan in words, and what a visit adds."""

from datetime import date

from stilltank.science.budget import TopUp
from stilltank.science.hydraulics import drop_rate
from stilltank.season.plan import Plan, strength_words
from stilltank.tables import load
from stilltank.units import Q, Quantity, figure, on_ruler, write


def what_is_added(plan: Plan) -> str:
    """Say what a plan adds: water by its name, or solution by its strength.

    Parameters
    ----------
    plan : Plan
        The plan.

    Returns
    -------
    str
        Plain water where nothing is planned.

    Examples
    --------
    >>> what_is_added(Plan.make(count=4))
    'plain water, Quillgate tap water (invented)'
    """
    strength = 0.0 if plan.top_up.way == "nothing" else plan.top_up.strength
    if strength:
        return strength_words(strength)
    water = plan.outlook.top_up_water
    return f"plain water{f', {water.name}' if water.name else ''}"


def drip_words(daily: Quantity) -> str:
    """Say what a drip gives in an hour, and how many drops that is.

    Parameters
    ----------
    daily : Quantity
        Volume in a day.

    Returns
    -------
    str
        For a drip that runs day and night.

    Examples
    --------
    >>> drip_words(Q(1.2, "L"))
    '1.2 L a day: 50 mL an hour, about 17 drops a minute, if it runs day and night'
    """
    hourly = (daily / Q(24, "hour")).to("mL/hour")
    drops = figure(float(drop_rate(hourly).magnitude), 2)
    return (
        f"{write(daily)} a day: {figure(float(hourly.magnitude), 2)} mL an hour, about {drops} drops a minute, if it "
        "runs day and night"
    )


def routine_words(plan: Plan, system: str = "metric") -> str:
    """Say how a plan tops up, with its mark and what one visit may add.

    Parameters
    ----------
    plan : Plan
        The plan.
    system : {"metric", "US", "both"}
        The units.

    Returns
    -------
    str
        Empty where nothing is added.

    Examples
    --------
    >>> from stilltank.science.budget import by_hand
    >>> plan = Plan.make(count=4, top_up=by_hand(3, Q(15, "cm"), Q(1, "cm"), strength=0.5))
    >>> routine_words(plan)
    'every 3 days up to 15 cm, at most 1 cm a visit: half-strength solution'
    """
    routine = plan.top_up
    if routine.way == "nothing":
        return ""
    added = what_is_added(plan)
    if routine.way == "drip" and routine.daily is not None:
        return f"drip of {drip_words(routine.daily)}: {added}"
    if routine.way == "on dates":
        days = ", ".join(f"{write(volume, system)} on {day.day} {day:%b}" for day, volume in _dated(routine))
        return f"{days}: {added}"
    mark = on_ruler(plan.outlook.holding_level, system)
    if routine.way == "float valve":
        return f"float valve at {mark}: {added}"
    every = "every day" if routine.every == 1 else f"every {routine.every} days"
    rise = load("budget")["top-up", "small rise"].quantity if routine.rise is None else routine.rise
    most = (
        f", at most {on_ruler(rise, system, down=True)} a visit" if rise < plan.outlook.holding_level else ""
    )
    source = " out of the rain barrel" if routine.way == "rain caught" else ""
    return f"{every} up to {mark}{most}{source}: {added}"


def _dated(routine: TopUp) -> list[tuple[date, Quantity]]:
    return sorted((routine.volumes or {}).items())
