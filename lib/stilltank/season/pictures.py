"""What a plan shows: its tank, its solution and its season, as pictures, tables and sentences."""

import numpy as np

from stilltank.science import ph, weather
from stilltank.season.plan import Plan, latitude_text
from stilltank.season.review import Alternatives
from stilltank.show.figures import (
    ElementBars,
    Picture,
    Ranges,
    RangeStrips,
    SeasonLevel,
    TankSection,
    YearWeather,
    month_name,
)
from stilltank.show.given import known_system, of_kind
from stilltank.show.pages import Passage, listed, table
from stilltank.units import Q, whole_degrees, write

COLOURS = {
    "black": "black",
    "dark": "dark green, blue or brown",
    "grey": "grey or a light colour",
    "white": "white paint, or a white cover",
    "foil": "foil",
}
COVERS = {"open": "in the open", "roof": "under a roof", "indoors": "indoors"}


def _known(plan: Plan, system: str = "metric", drawing: object = None, kind: type = object) -> None:
    """Refuse what is no plan, no system, or a figure of something else."""
    of_kind(plan, Plan, "A picture needs a plan, such as Plan.make(count=4)")
    known_system(system)
    if drawing is not None:
        of_kind(drawing, kind, f"This is drawn into a {kind.__name__}")


def tank_picture(plan: Plan, system: str = "metric", drawing: TankSection | None = None) -> Picture:
    """Draw the tank from the side with its fill line and overflow hole.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.
    drawing : TankSection, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        This is no plan, no system, or no such figure.

    Examples
    --------
    >>> tank_picture(Plan.make(count=4)).sentence
    'Cross-section of Quillgate courtyard tub, ... The fill line is at 25 cm, 36.2 L: ...'
    """
    _known(plan, system, drawing, TankSection)
    return (drawing or TankSection(system)).show(plan.tank, plan.outlook.fill_level, plan.outlook.hole)


def alternatives_picture(
    found: Alternatives, system: str = "metric", drawing: RangeStrips | None = None
) -> Picture:
    """Draw plans side by side: first flower, what is cut or drunk, and the day on which the stop level is reached.

    Parameters
    ----------
    found : Alternatives
        The plans.
    system : {"metric", "US"}
        The units.
    drawing : RangeStrips, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        These are no alternatives, no system, or no such figure.

    Examples
    --------
    >>> from stilltank.season.review import alternatives
    >>> alternatives_picture(alternatives(Plan.make(count=4), {"two plants": {"count": 2}})).sentence
    'As planned: first flower 12 to 28 June, stems ...Two plants: first flower 12 to 28 June, ...'
    """
    of_kind(found, Alternatives, "Draw what review.alternatives(plan, changes) returns")
    known_system(system)
    if drawing is not None:
        of_kind(drawing, RangeStrips, "Alternatives are drawn into a RangeStrips")
    wanted = [name for name in found.measures if name in ("stems", "heads")] or ["water used"]
    first = next(iter(found.measures))
    strips = []
    for name in (first, *wanted, "stop level"):
        measure = found.measures[name]
        ranges = [measure.range(plan) for plan in found.names]
        unit = "US gal" if (measure.unit, system) == ("L", "US") else measure.unit
        factor = float(Q(1, "L").m_as("gallon")) if unit == "US gal" else 1.0
        low, middle, high = (
            [each[place] if measure.unit == "day" else factor * each[place] for each in ranges]
            for place in range(3)
        )
        title = name if unit in ("day", "1") else f"{name}, {unit}"
        words = [measure.said(plan, system) for plan in found.names]
        strips.append(Ranges(title, low, middle, high, words))
    return (drawing or RangeStrips()).show(found.names, strips, found.sentence(system))


def elements_picture(plan: Plan, drawing: ElementBars | None = None) -> Picture:
    """Draw what water, salts and acid bring of each element, beside the target.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    drawing : ElementBars, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        This is no plan, or no such figure.

    Examples
    --------
    >>> elements_picture(Plan.make(count=4)).sentence
    'How much of its target each element reaches. Off by more than 10 percent: Ca 111 %. ...'
    """
    _known(plan, drawing=drawing, kind=ElementBars)
    return (drawing or ElementBars()).show(plan.outlook.targets, plan.outlook.parts)


def season_picture(plan: Plan, system: str = "metric", drawing: SeasonLevel | None = None) -> Picture:
    """Draw the level through the season with its range.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.
    drawing : SeasonLevel, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        This is no plan, no system, or no such figure.

    Examples
    --------
    >>> season_picture(Plan.make(count=4)).sentence
    'The level starts at 25 cm on 26 April 2027 and is expected to stand at ... on 27 July, ...'
    """
    _known(plan, system, drawing, SeasonLevel)
    season, flower = plan.outlook.season, plan.outlook.schedule.first_flower
    low, median, high = (season.quantile(share, "level") for share in (0.1, 0.5, 0.9))
    early, _, late = season.date_range("stop")
    return (drawing or SeasonLevel(system)).show(
        plan.tank,
        season.dates,
        low,
        median,
        high,
        stop_levels=plan.outlook.stop_levels,
        event=(plan.outlook.schedule.event, flower.early, flower.late),
        dry=(early, late),
    )


def weather_picture(plan: Plan, system: str = "metric", drawing: YearWeather | None = None) -> Picture:
    """Draw a mean year of the plan's weather record, and say where the tank stands.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.
    drawing : YearWeather, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        This is no plan, no system, or no such figure.

    Examples
    --------
    >>> weather_picture(Plan.make(count=4)).sentence
    'The tank stands in the open at 41.5° north, 210 m above the sea. ... July is the warmest month, ...'
    """
    _known(plan, system, drawing, YearWeather)
    site = plan.site
    place = (
        f"The tank stands {COVERS[site.cover]} at {latitude_text(site.latitude.m_as('degree'))}, "
        f"{write(site.altitude, system)} above the sea."
    )
    return (drawing or YearWeather(system)).show(
        weather.monthly_means(_record(plan)),
        _record(plan).name or "the plan",
        place,
        plan.outlook.far_weather,
    )


def _record(plan: Plan) -> weather.Weather:
    assert plan.site.weather is not None  # Plan.make refuses a place without a record
    return plan.site.weather


def warmest_month(plan: Plan, system: str = "metric") -> str:
    """Name the warmest month of the weather record, with the mean highest temperature of its days.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        A few words.

    Raises
    ------
    Problem
        This is no plan, or no system.

    Examples
    --------
    >>> warmest_month(Plan.make(count=4))
    'July days reach 29 °C'
    """
    _known(plan, system)
    warmth = weather.monthly_means(_record(plan)).temperature_max
    month = int(np.nanargmax(np.round(warmth.magnitude, 2)))
    return f"{month_name(month)} days reach {write(warmth[month], system, digits=2)}"


def warm_afternoon(plan: Plan, system: str = "metric") -> str:
    """Say how warm the solution gets on most afternoons of the warmest weeks.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        A temperature in whole degrees; empty where it is not calculated.

    Raises
    ------
    Problem
        This is no plan, or no system.

    Examples
    --------
    >>> warm_afternoon(Plan.make(count=4)) > warm_afternoon(Plan.make(count=4, colour="white"))
    True
    """
    _known(plan, system)
    found = plan.outlook.warm_weeks
    return "" if found is None else write(whole_degrees(found.afternoon[1], system), system)


def warmth_sentence(plan: Plan, system: str = "metric") -> str:
    """Say how warm the solution gets, with the colour and the shade of the plan.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        A few sentences.

    Raises
    ------
    Problem
        This is no plan, or no system.

    Examples
    --------
    >>> warmth_sentence(Plan.make(count=4, colour="white", shade=0.3))
    'Tank: white, 30 % shade cloth. In the warmest weeks, ...'
    """
    _known(plan, system)
    cloth = f"{100 * plan.shade:.0f} % shade cloth" if plan.shade else "no shade cloth"
    found = plan.outlook.warm_weeks
    if found is None:
        return "How warm the solution gets is not calculated for this place and season. Take a thermometer."
    return f"Tank: {plan.colour}, {cloth}. {found.sentence(system)}"


def mixing_table(plan: Plan, system: str = "metric") -> str:
    """Write what to weigh and pour.

    Parameters
    ----------
    plan : Plan
        The plan to show.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        An HTML table.

    Raises
    ------
    Problem
        This is no plan, or no system.

    Examples
    --------
    >>> mixing_table(Plan.make(count=4))
    '<table><caption>For 36.2 L of solution</caption>...<td>calcium nitrate fertiliser</td>...'
    """
    _known(plan, system)
    rows = [
        (name, write(mass), "weigh into the tank")
        for name, mass in plan.outlook.recipe.masses.items()
        if mass > Q(0, "g") and name not in plan.outlook.recipe.too_small
    ]
    for stock in plan.outlook.trace_stocks:
        how = (
            f"weigh for {write(stock.volume)} of {stock.name} stock; {write(stock.dose)} of it into the tank"
        )
        light = "too light for this balance; buy a mix of trace elements"
        rows += [
            (name, stock.weighed(name), how)
            if stock.weighable
            else (name, write(plan.outlook.recipe.masses[name]), light)
            for name in stock.masses
        ]
    return table(
        f"For {write(plan.outlook.volume, system)} of solution", ("salt", "mass", "how"), rows, numbers=(1,)
    )


def acid_sentence(plan: Plan) -> str:
    """Say how much acid is needed now, how much in all once carbon dioxide has left, and what pH the crop likes.

    Parameters
    ----------
    plan : Plan
        The plan to show.

    Returns
    -------
    str
        A few sentences, with the caution of the acid.

    Raises
    ------
    Problem
        This is no plan.

    Examples
    --------
    >>> acid_sentence(Plan.make(count=4))
    '140 mL of nitric acid 0.5 mol/L bring the solution to pH 5.8 now; ... Caution: ...'
    """
    _known(plan)
    likes = " ".join(plan.outlook.ph_words)
    mixed = (
        f"The solution mixes to about pH {plan.outlook.ph_before_acid:.1f}, and {plan.target_ph:g} is wanted"
    )
    if not plan.outlook.doses:
        return f"{mixed}: it needs no acid. {likes}".rstrip()
    caution = next(iter(plan.outlook.doses.values())).acid.caution
    if "closed" in plan.outlook.doses:
        first = acid_measure(plan.outlook.doses["closed"])
        now = f"{first} of {plan.acid} bring the solution to pH {plan.target_ph:g} now"
    else:
        now = f"{mixed}: no acid on the first day"
    if "open" not in plan.outlook.doses:
        return " ".join(
            filter(None, (f"{now}; it will not climb above that as carbon dioxide leaves.", likes, caution))
        )
    in_all = acid_measure(plan.outlook.doses["open"])
    later = f"as carbon dioxide leaves over the next days, up to {in_all} of {plan.acid} in all hold it there"
    return " ".join(filter(None, (f"{now}; {later}.", likes, caution)))


def salt_sentence(plan: Plan) -> str:
    """Say what a meter shows at stated fillings, beside the range of the crop.

    Parameters
    ----------
    plan : Plan
        The plan to show.

    Returns
    -------
    str
        A few sentences.

    Raises
    ------
    Problem
        This is no plan.

    Examples
    --------
    >>> salt_sentence(Plan.make(count=4))
    'EC where nothing is added: ... when filled, ... with 50 % left, ... Snapdragon: ...'
    """
    _known(plan)
    return " ".join(plan.outlook.salt_words)


def acid_measure(dose: ph.Dose) -> str:
    """Write a dose as it is measured out.

    Parameters
    ----------
    dose : Dose
        A dose of ``ph.acid_dose``.

    Returns
    -------
    str
        The volume of a liquid acid, or the mass of a solid one.

    Raises
    ------
    Problem
        This is no dose.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> acid_measure(ph.acid_dose(tap, 5.8, "nitric acid 0.5 mol/L"))
    '4 mL'
    """
    of_kind(dose, ph.Dose, "This needs the dose of an acid, such as ph.acid_dose gives")
    amount = dose.mass if dose.volume is None else dose.volume
    assert amount is not None  # a dose is one or the other
    return write(amount)


def weaknesses(plan: Plan) -> Passage:
    """List where the numbers of a plan are weak.

    Parameters
    ----------
    plan : Plan
        The plan to show.

    Returns
    -------
    Passage
        A list to show in a notebook.

    Raises
    ------
    Problem
        This is no plan.

    Examples
    --------
    >>> weaknesses(Plan.make(count=4)).text.splitlines()[0]
    'Snapdragon needs 681 degree-days (545 to 817) above 4.59 degC from transplant to first flower, ...'
    """
    _known(plan)
    return listed(plan.outlook.weaknesses)
