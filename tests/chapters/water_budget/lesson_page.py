"""What the lesson page of chapter 3 says, in the library's words."""

from panel_keys import key
from stilltank.chapters.water_budget import panels
from stilltank.science import budget, tank, weather
from stilltank.science.crops import Plants, crop
from stilltank.tables import load, number
from stilltank.units import Q, write

PAGE = "03_water_budget"
EXPLORED = (panels.level_panel, panels.storm_panel, panels.strategies_panel, panels.away_panel)
TUB = tank.preset("quillgate-tub")
TOTE = tank.TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))


def levels():
    """The level that half of the seasons stay under, after so many weeks, to a millimetre."""
    plants, site = Plants(crop("basil"), 5), weather.site("quillgate")
    season = budget.ensemble(TUB, plants, site, start="2027-05-10")
    half = season.quantile(0.5, "level").m_as("cm").round(1)
    return {0: 25.0} | {week: float(half[7 * week - 1]) for week in (2, 4, 6, 8, 10)}


def table():
    return "\n".join(f"| {week} | {level:g} cm |" for week, level in levels().items())


def month_by_month():
    found = levels()
    early, late = round(found[0] - found[4], 1), round(found[4] - found[8], 1)
    return (
        f"the level falls {early:g} cm in the first four weeks of the table, and {late:g} cm in the next four"
    )


def followed():
    """The days that all panels follow basil, and how long lettuce is in the tank."""
    basil = panels.level_panel.result().outlook.days
    assert basil == panels.strategies_panel.result()[1].courses.dates.size
    look = panels.away_panel.result()
    assert look.dates[-1] == panels.level_panel.result().outlook.season.dates[-1]
    lettuce = panels.level_panel.result(crop="lettuce").outlook.days
    return f"Basil is cut until autumn is too cold for it, {basil} days after planting; lettuce is out after {lettuce}."


def low():
    """The level that counts as low in all three, and the water above it for the two levels of the last panel."""
    lowest = panels.away_panel.result().lowest
    assert round(lowest.m_as("cm"), 9) == number("budget", "tank", "shortage depth", "cm")
    first, second = (float((Q(level, "cm") - lowest).m_as("cm")) for level in (15, 20))
    return (
        f"call it low at {write(lowest)}: below that, fewer roots reach the solution. So of 15 cm only {first:g} "
        + (f"count, and of 20 cm {second:g}.")
    )


def hatched():
    low, high = (100 * end.m_as("dimensionless") for end in load("budget")["stop", "share left"].range)
    return f"between {low:g} and {high:g} % of the filling"


def ticket():
    tub = tank.Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"))
    daily = (tub.volume(Q(15, "cm")) - tub.volume(Q(135, "mm"))) / 3
    days = (tub.volume(Q(10, "cm")) - tub.volume(Q(5, "cm"))) / daily
    return f"Answer: {daily.m_as('L'):.3g} L a day, and {days.m_as('dimensionless'):.3g} days"


SAYS = {
    "projector 1": lambda: f"does the water last? | {key(panels.level_panel())} |",
    "projector 2": lambda: (
        f"| plants: 2 | half the plants: is that enough? | {key(panels.level_panel(), count=2)} |"
    ),
    "projector 3": lambda: (
        "then tank: about 60 litres | the same plants in a larger tub? | "
        f"{key(panels.level_panel(), tank='tote-60')} |"
    ),
    "projector 3a": lambda: (
        "then crop: lettuce | four lettuces instead: why is it different? | "
        f"{key(panels.level_panel(), crop='lettuce')} |"
    ),
    "projector 4": lambda: f"one leaf in the hole matter? | {key(panels.storm_panel())} |",
    "projector 5": lambda: (
        "| overflow hole: 25 mm | twice as wide: how much is gained? | "
        f"{key(panels.storm_panel(), diameter=25)} |"
    ),
    "projector 6": lambda: (
        "then lid: with a rim | the same rain on a lid that collects it? | "
        f"{key(panels.storm_panel(), lid='rimmed')} |"
    ),
    "projector 7": lambda: f"which way rises too far, which runs low? | {key(panels.strategies_panel())} |",
    "projector 8": lambda: (
        "| another way: float valve | what does a valve at a low level do? | "
        f"{key(panels.strategies_panel(), second='valve')} |"
    ),
    "projector 8a": lambda: (
        "| another way: by hand every 2 days, at most 1 cm | little and often: does it keep up with five plants? | "
        f"{key(panels.strategies_panel(), second='little')} |"
    ),
    "projector 8b": lambda: (
        "| basil plants in the tank: 2 | and with two? | "
        f"{key(panels.strategies_panel(), second='little', count=2)} |"
    ),
    "projector 9": lambda: f"sure for 95 of 100 summers: how many days? | {key(panels.away_panel())} |",
    "projector 10": lambda: (
        "| level today: 20 cm | a third more water: how many days more? | "
        f"{key(panels.away_panel(), level=20)} |"
    ),
    "followed": followed,
    "low": low,
    "hatched": hatched,
    "half the height": lambda: (
        f"holds {TOTE.volume(TOTE.height / 2).m_as('L'):.1f} of its {write(TOTE.capacity, digits=3)} in its lower half"
    ),
    "month by month": month_by_month,
    "ticket": ticket,
    "board": table,
    "pots": lambda: f"The net pots end at {write(TUB.height - TUB.net_pot_depth)}.",
}
GIVEN = [
    "a rise of more than 2 cm may injure them",
    "one paper says that more than 2 cm may injure plants",
    "A tub has 0.2 m² of water.",
    "its level fell by 15 mm",
    "the next 5 cm last",
    "Kratky (2004), abstract",
]
