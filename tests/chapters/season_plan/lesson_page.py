"""What the lesson page of chapter 6 says, in the library's words."""

from datetime import date

from panel_keys import key
from stilltank.chapters.season_plan import panels
from stilltank.science import budget, crops
from stilltank.season.plan import Plan
from stilltank.units import Q

PAGE = "06_season_plan"
EXPLORED = (panels.crowding_panel, panels.frost_panel, panels.price_panel, panels.round_panel)
START = "2027-05-10"


def basil(count):
    return budget.ensemble(
        "quillgate-tub", crops.Plants(crops.crop("basil"), count), "quillgate", start=START
    )


def dry_after(count):
    """Days until the tub is dry in half of the simulated seasons."""
    return (basil(count).date_range()[1] - date.fromisoformat(START)).days


def board():
    filling = basil(1)
    gives = (filling.filled - filling.unusable).m_as("L")
    rows = ((count, gives / count, dry_after(count)) for count in (3, 4, 5, 6, 8))
    return "\n".join(f"| {count} plants | {_figures(each)} | {days} days |" for count, each, days in rows)


def _figures(each):
    return f"{each:.2f}" if round(each, 2) == 8.75 else f"{each:.1f}"


def room_and_water():
    found = budget.how_many_plants(Plan.make("quillgate-tub", "snapdragon", start=START).scenario())
    return (
        f"the lid has room for {found.by_room} snapdragons, and the water lasts for {found.by_water} of them in "
        f"{100 * found.certainty:.0f} of 100 simulated seasons"
    )


def ticket():
    drip = (Q(1.5, "L/day") * Q(10, "day") - Q(5, "L")) / Q(10, "day")
    return f"Answer: {drip.m_as('L/day'):g} L a day; 1.5 L a day and {drip.m_as('L/day'):g} L a day are rates"


SAYS = {
    "projector 1": lambda: f"how often is it dry? | {key(panels.crowding_panel())} |",
    "projector 2": lambda: (
        f"| plants in the tank: 2 | half the plants: half as often? | {key(panels.crowding_panel(), count=2)} |"
    ),
    "projector 3": lambda: (
        "| plants in the tank: 6 | the lid has room for six: and the water? | "
        f"{key(panels.crowding_panel(), count=6)} |"
    ),
    "projector 4": lambda: f"which sowing is the last? | {key(panels.frost_panel())} |",
    "projector 5": lambda: (
        "| cutting for at least: 42 days | two weeks more: how much earlier? | "
        f"{key(panels.frost_panel(), wanted=42)} |"
    ),
    "projector 6": lambda: f"what does a stem cost? | {key(panels.price_panel())} |",
    "projector 7": lambda: (
        f"| tanks that share the bags: 1 | one tub alone: the same? | {key(panels.price_panel(), tubs=1)} |"
    ),
    "projector 8": lambda: (
        f"| tanks that share the bags: 20 | twenty tubs: and now? | {key(panels.price_panel(), tubs=20)} |"
    ),
    "projector 9": lambda: f"a round every three days: the heaviest one? | {key(panels.round_panel())} |",
    "projector 10": lambda: (
        f"| a round every: 6 days | half as often: twice as much each time? | {key(panels.round_panel(), every=6)} |"
    ),
    "projector 11": lambda: (
        "| largest rise at each visit: 2 cm | twice the rise: why not always? | "
        f"{key(panels.round_panel(), rise=2)} |"
    ),
    "room and water": room_and_water,
    "twice": lambda: (
        f"four basil plants are dry after {dry_after(4)} days and eight after {dry_after(8)} days"
    ),
    "ticket": ticket,
    "board": board,
}
GIVEN = [
    "You are away for 10 days.",
    "use 1.5 L a day, and the tub may give 5 L.",
    "5 L is an amount",
    "filled on 10 May",
    "A level may rise 2 cm.",
]
