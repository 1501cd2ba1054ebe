"""Time of a bench of 20 tanks, with its plans, list and calendar, and of a card; against following each tank alone."""

import os
import platform
import tempfile
from pathlib import Path
from time import perf_counter, process_time

from stilltank.science import budget
from stilltank.season.bench import Bench
from stilltank.season.paper import tank_card
from stilltank.season.plan import Group, Plan
from stilltank.season.review import review

TANKS, CROPS, TUBS = 20, ("snapdragon", "cosmos", "calendula", "basil"), ("quillgate-tub", "tote-60")


def plans() -> dict[str, Plan]:
    """Twenty tanks of an invented bench: four crops, two tubs, a lettuce beside every fifth, topped up by hand."""
    return {
        f"T{number + 1}": Plan.make(
            TUBS[number % 2],
            CROPS[number // 2 % 4],
            count=3,
            start=f"2027-05-{3 + 7 * (number % 3):02d}",
            beside=[Group("lettuce", 1)] if number % 5 == 0 else (),
            top_up=budget.by_hand(7, strength=0.5),
        )
        for number in range(TANKS)
    }


def timed(action) -> tuple[float, float]:
    """Seconds by the clock, and of the processor, that an action takes."""
    begin, busy = perf_counter(), process_time()
    action()
    return perf_counter() - begin, process_time() - busy


def together(folder: Path) -> None:
    """Plans, shopping list, calendar."""
    bench = Bench.of(plans())
    bench.shopping_list().sentences()
    bench.calendar(folder / "bench", made="2027-01-01")


def apart(folder: Path) -> None:
    """The same for each tank alone, with a weather of its own."""
    for name, plan in plans().items():
        alone = Bench.of({name: plan})
        alone.shopping_list().sentences()
        alone.calendar(folder / name, made="2027-01-01")


def main() -> None:
    """Print times and ratios."""
    folder = Path(tempfile.mkdtemp())
    Bench.of([Plan.make(crop="lettuce")]).calendar(folder / "first", made="2027-01-01")  # tables, modules
    print(f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}")
    one, each = timed(lambda: together(folder)), timed(lambda: apart(folder))
    print(
        f"{TANKS} tanks with plan, list and calendar: {one[0]:.2f} s ({one[1]:.2f} s of the processor), "
        f"{one[0] / each[0]:.2f} of each tank alone"
    )
    bench = Bench.of(plans())
    bench.shopping_list()
    reviewed = timed(lambda: [review(plan) for plan in bench.plans.values()])
    print(f"  and their review: {reviewed[0]:.2f} s, {reviewed[0] / one[0]:.1f} of that")
    page, numbers = (
        timed(lambda: bench.page(folder / "wall")),
        timed(lambda: bench.numbers(folder / "numbers")),
    )
    print(f"  page for the wall {page[0]:.2f} s, numbers {numbers[0]:.2f} s")
    card = timed(lambda: tank_card(Plan.make(count=3), folder / "card"))
    plan = timed(lambda: Plan.make(count=2).settle())
    print(f"a card with its plan: {card[0]:.2f} s, {card[0] / plan[0]:.1f} of the plan alone")


if __name__ == "__main__":
    main()
