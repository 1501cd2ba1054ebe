"""What the lesson page of chapter 4 says, in the library's words."""

from panel_keys import key
from stilltank.chapters.root_zones import panels
from stilltank.science import oxygen, roots, tank
from stilltank.tables import load
from stilltank.units import Q, write

PAGE = "04_root_zones"
EXPLORED = (
    panels.zones_panel,
    panels.oxygen_panel,
    panels.film_panel,
    panels.breathing_panel,
    panels.refill_panel,
    panels.warmth_panel,
)
WARM = Q(25, "degC")
BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))  # 0.24 m2


def hours():
    held = oxygen.saturation(WARM) * Q(14, "cm")
    return f"about {(held / Q(4, 'g/m^2/day')).m_as('hour'):.0f} hours"


def a_day_of_diffusion():
    far = (oxygen.diffusivity(WARM) * Q(1, "day")) ** 0.5
    return f"it comes about {far.m_as('mm'):.0f} mm far in a day"


def warmer():
    found = roots.warming_effect(Q(30, "degC"))
    less = 100 * (1 - found.supply.m_as(""))
    return (
        f"the water holds {less:.0f} % less, and the roots ask for {found.demand.m_as(''):.0f} times as much"
    )


def ticket():
    limit = roots.refill_limit(BOX, Q(15, "cm"))
    rise = Q(10, "L") / Q(0.24, "m^2")
    return f"Answer: {write(limit.volume)}; no, for {write(Q(10, 'L'))} raise it {write(rise, digits=2)}"


def cover():
    table = load("roots")
    heavy, loss = table["fixed cover", "head weight"].quantity, table["floating cover", "loss"].quantity
    return f"they lost {100 * loss.m_as(''):.0f} % of {write(heavy)} a head"


def table():
    rows = []
    for celsius in (10, 15, 20, 25, 30):
        warmth = Q(celsius, "degC")
        held, asked = oxygen.saturation(warmth), roots.oxygen_demand(Q(42, "day"), warmth)
        rows.append(f"| {celsius} °C | {held.m_as('mg/L'):.1f} mg/L | {asked.m_as('g/m^2/day'):.1f} g |")
    return "\n".join(rows)


SAYS = {
    "projector 1": lambda: f"how much air is there on day 50? | {key(panels.zones_panel())} |",
    "projector 2": lambda: (
        "| time since planting: 80 days | and when the tub is nearly empty? | "
        f"{key(panels.zones_panel(), day=80)} |"
    ),
    "projector 3": lambda: (
        "then what happens: filled up on day 50 | what does the well-meant refill do? | "
        f"{key(panels.zones_panel(), happens='refill')} |"
    ),
    "projector 4": lambda: f"how deep does oxygen get by itself? | {key(panels.oxygen_panel())} |",
    "projector 5": lambda: (
        "| film coefficient: 0.6 | a livelier surface: what changes, what does not? | "
        f"{key(panels.oxygen_panel(), film=0.6)} |"
    ),
    "projector 6": lambda: f"how sure is a number from 15 readings? | {key(panels.film_panel())} |",
    "projector 7": lambda: f"will the oxygen last to the harvest? | {key(panels.breathing_panel())} |",
    "projector 8": lambda: (
        "| film coefficient: 0.1 | the same crop under a calmer lid? | "
        f"{key(panels.breathing_panel(), film=0.1)} |"
    ),
    "projector 9": lambda: f"how many centimetres may it be? | {key(panels.refill_panel())} |",
    "projector 10": lambda: f"| raise it by: 2 cm | and so? | {key(panels.refill_panel(), rise=2)} |",
    "projector 11": lambda: f"how warm in the hottest days on record? | {key(panels.warmth_panel())} |",
    "projector 12": lambda: (
        "| lid and walls: white paint, or a white cover | what does white paint do? | "
        f"{key(panels.warmth_panel(), colour='white')} |"
    ),
    "hours": hours,
    "diffusion": a_day_of_diffusion,
    "warmer": warmer,
    "cover": cover,
    "ticket": ticket,
    "board": table,
}
GIVEN = [
    "14 cm of solution",
    "a rise of more than 2 cm may injure them",
    "A tub has 0.24 m² of water and stands at 15 cm; its pots have hung clear for weeks.",
    "may they pour in 10 L?",
    "(2005), abstract",
    "from 20 to 30 °C",
    "doubled for each 10 °C",
    "Kratky (2004)",
]
