"""What the lesson page of chapter 0 says, in the library's words."""

from stilltank import tables
from stilltank.science import tank
from stilltank.units import Q, write

PAGE = "00_start_here"


def tote():
    return tank.TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))


SAYS = {
    "half full": lambda: (
        "at half its depth the tapered tote holds "
        f"{round(100 * (tote().volume(Q(16, 'cm')) / tote().capacity).m_as('dimensionless'))} percent"
    ),
    "refill": lambda: (
        f"no more than raises the level by {write(tables.load('roots')['refill', 'rise'].quantity)}"
    ),
}
GIVEN = [
    "Your tub stands at 15 cm",
    "You have 10 litres",
    "a rise of more than 2 cm may injure plants",
]
