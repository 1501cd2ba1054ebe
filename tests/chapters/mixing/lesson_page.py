"""What the lesson page of chapter 1 says, in the library's words."""

from panel_keys import key
from stilltank.chapters.mixing import panels
from stilltank.science import mixing, products
from stilltank.science.chemistry import element_share, from_label
from stilltank.units import Q, write

PAGE = "01_mixing"
EXPLORED = (panels.salt_panel, panels.bottle_panel, panels.meter_panel)


def of_nitrogen(mass):
    """Grams of nitrogen in a mass of calcium nitrate by its label."""
    return write((mass * products.salt("calcium nitrate").share("N")).to("g"))


def meter(strength):
    return mixing.readings_by_strength(mixing.recipe_solution("Hoagland 1"), strength).reading.m_as("mS/cm")


def clouds_from():
    """The first whole number of times at which one bottle clouds."""
    solution = mixing.recipe_solution("Hoagland 1")
    return next(times for times in range(1, 100) if mixing.gypsum_by_strength(solution, times).index > 0)


def exit_ticket():
    nitrogen = Q(100, "mg/L") * Q(36, "L")
    salt = products.salt("calcium nitrate")
    mass = nitrogen / salt.share("N")
    calcium = mixing.mix({"calcium nitrate": mass}, Q(36, "L")).elements["Ca"]
    return (
        f"{write(nitrogen.to('g'))} of nitrogen, so {write(mass.to('g'))} of salt; "
        f"it brings {write(calcium.to('mg/L'))} of calcium"
    )


SAYS = {
    "projector 1": lambda: (
        f"| nothing yet | which elements does this bag bring? | {key(panels.salt_panel())} |"
    ),
    "projector 2": lambda: (
        f"| weighed: 10 g | half the salt: half of which number? | {key(panels.salt_panel(), mass=10)} |"
    ),
    "projector 3": lambda: (
        "| weighed: 20 g, solution: 18 L | all the salt, half the water? | "
        f"{key(panels.salt_panel(), mass=20, volume=18)} |"
    ),
    "projector 4": lambda: f"| {key(panels.salt_panel(), salt='magnesium sulfate heptahydrate')} |",
    "projector 5": lambda: f"| times: 7 | does it cloud at once? | {key(panels.bottle_panel(), times=7)} |",
    "projector 6": lambda: f"| times: 8 | one step more? | {key(panels.bottle_panel(), times=8)} |",
    "projector 7": lambda: (
        f"strength: 100 percent, from {panels.meter_panel().rows['strength'].box.value:.0f} | "
        f"it reads {key(panels.meter_panel())} now; twice the salt? | "
        f"{key(panels.meter_panel(), strength=100)} |"
    ),
    "bag": lambda: (
        f"the label says {write(products.salt('calcium nitrate').share('N'))} N, "
        f"so 20 g hold {of_nitrogen(Q(20, 'g'))}"
    ),
    "twice": lambda: (
        f"it goes from {meter(0.5):.2f} to {meter(1):.2f} mS/cm, and not to {2 * meter(0.5):.2f}"
    ),
    "gypsum": lambda: f"in one bottle from about {clouds_from()} times on",
    "oxide": lambda: f"it is {write(from_label(p2o5=Q(12, 'percent'))['P'])} P",
    "ticket": exit_ticket,
    "sodium": lambda: f"Sodium is {write(element_share('NaCl', 'Na'))} of table salt",
    "salt water": lambda: (
        f"how much is in the litre? ({write((Q(2, 'g/L') * element_share('NaCl', 'Na')).to('mg/L'))}.)"
    ),
    "half of it": lambda: f"How much now? ({write((Q(1, 'g/L') * element_share('NaCl', 'Na')).to('mg/L'))}.)",
    "epsom": lambda: (
        "For 10 L at 40 mg/L of magnesium: how much Epsom salt? "
        f"({write((Q(10, 'L') * Q(40, 'mg/L') / Q(9.8, 'percent')).to('g'))}.)"
    ),
}
GIVEN = [
    "20 g of calcium nitrate are 20 g of nitrogen",
    "12 % P2O5 is 12 % phosphorus",
    "Your tub holds 36 L and shall hold 100 mg/L of nitrogen. The bag says 15.5 % N and 19 % Ca.",
    "calcium nitrate, 15.5 % N and 19 % Ca; Epsom salt, 9.8 % Mg; a flower food, 12 % P2O5",
    "Weigh 2 g of table salt",
    "how much is that of 2 g",
    "Dissolve 2 g",
]
