"""What the lesson page of chapter 5 says, in the library's words."""

from dataclasses import replace
from datetime import date

from panel_keys import key
from stilltank.chapters.flowering_schedules import panels
from stilltank.science import calendar, crops, heat, weather
from stilltank.units import Q

PAGE = "05_flowering_schedules"
EXPLORED = (panels.rate_panel, panels.dates_panel, panels.in_time_panel, panels.succession_panel)


def days(celsius, plant="snapdragon"):
    return float(heat.days_to_flower(plant, Q(celsius, "degC")).expected.m_as("day"))


def saved():
    cool, warm = (round(days(low)) - round(days(low + 3)) for low in (15, 24))
    return f"from 15 to 18 °C they save {cool} days, from 24 to 27 °C only {warm}"


def caught_up():
    """What is left of the days between two sowings of the panel."""
    early, late = (panels.dates_panel.result(sow=day) for day in ("2027-03-15", "2027-04-12"))
    sown, flower = late.sow - early.sow, late.first_flower.expected - early.first_flower.expected
    return f"sown {sown.days} days later, the snapdragons of the panel are expected {flower.days} days later"


def frost():
    """The years in which a sowing never comes into flower."""
    site = weather.site("quillgate")
    first, last = (day.astype(date).year for day in (site.weather.dates[0], site.weather.dates[-1]))
    years = last - first + 1
    lost = 1 - calendar.schedule("snapdragon", site, "2027-03-15").chance_by("2027-12-31")
    return (
        "plants sown on 15 March go out into the last frosts: "
        f"in {years * lost:.0f} of the {years} years on record a frost kills them before they flower"
    )


def ticket():
    plant = replace(
        crops.crop("snapdragon"), base_temperature=Q(5, "degC"), thermal_time=Q(600, "delta_degC*day")
    )
    return f"Answer: {days(20, plant):.0f} days and {days(15, plant):.0f} days"


def table():
    rows = ((celsius, days(celsius)) for celsius in (12, 15, 18, 21, 24, 27))
    return "\n".join(f"| {celsius} °C | {long:.0f} | {100 / long:.1f} % |" for celsius, long in rows)


SAYS = {
    "projector 1": lambda: f"how many days at 18 °C? | {key(panels.rate_panel())} |",
    "projector 2": lambda: (
        "| mean temperature: 15 °C | three degrees less: how many more days? | "
        f"{key(panels.rate_panel(), temperature=15)} |"
    ),
    "projector 3": lambda: (
        f"| mean temperature: 24 °C | and a warm room? | {key(panels.rate_panel(), temperature=24)} |"
    ),
    "projector 4": lambda: (
        "| mean temperature: 27 °C | three degrees more: how many days saved here? | "
        f"{key(panels.rate_panel(), temperature=27)} |"
    ),
    "projector 5": lambda: f"and how sure is that? | {key(panels.dates_panel())} |",
    "projector 6": lambda: (
        "| sow on: 12 April | four weeks later: how much later the flowers? | "
        f"{key(panels.dates_panel(), sow='2027-04-12')} |"
    ),
    "projector 7": lambda: f"what is the chance? | {key(panels.in_time_panel())} |",
    "projector 8": lambda: (
        f"| sow on: 29 March | two weeks earlier? | {key(panels.in_time_panel(), sow='2027-03-29')} |"
    ),
    "projector 8a": lambda: (
        "| sow on: 15 March | four weeks earlier: safer still? | "
        f"{key(panels.in_time_panel(), sow='2027-03-15')} |"
    ),
    "projector 9": lambda: f"how many tanks? | {key(panels.succession_panel())} |",
    "projector 10": lambda: (
        "| a new batch in flower every: 7 days | every week: twice as many? | "
        f"{key(panels.succession_panel(), every=7)} |"
    ),
    "saved": saved,
    "caught up": caught_up,
    "frost": frost,
    "ticket": ticket,
    "board": table,
}
GIVEN = [
    "a guess for 12 April",
    "the packet says 110 days",
    "A plant has a base of 5 °C and needs 600 degree-days from transplant.",
    "at 20 °C, and how many at 15 °C?",
    "so 15 is two thirds of the way from 5 to 20",
    "a base of 5 °C",
    "Munir et al. (2015)",
]
