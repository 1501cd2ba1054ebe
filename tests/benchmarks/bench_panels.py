"""Time of one change of the draft to all panels of chapter 0, against making the plan and its pictures afresh."""

import asyncio
import tempfile
from pathlib import Path
from time import perf_counter

from stilltank.season import own_tank, pictures
from stilltank.season.plan import Plan

CHANGES = [{"count": 3}, {"start": "2027-05-03"}, {"target_ph": 6.0}, {"count": 4}, {"tank": "tote-60"}]


def timed(action, *args, **kwargs) -> float:
    """Seconds that ``action`` takes."""
    begin = perf_counter()
    action(*args, **kwargs)
    return perf_counter() - begin


def reckon(choices) -> Plan:
    """A plan with all that follows, nothing kept from before."""
    return Plan.make(**choices).settle()


def afresh(choices) -> None:
    """The same plan and the same three pictures with nothing kept from before."""
    plan = reckon(choices)
    for draw in (pictures.tank_picture, pictures.elements_picture, pictures.season_picture):
        draw(plan).html()


def main() -> None:
    """Print times and ratios."""
    draft = own_tank.Draft(Path(tempfile.mkdtemp()) / "my-tank.toml", count=4)
    makers = (
        own_tank.tank_panel,
        own_tank.crop_panel,
        own_tank.place_panel,
        own_tank.water_panel,
        own_tank.season_panel,
    )
    shown = [make(draft) for make in makers]
    afresh({"count": 5})  # tables are read, modules loaded
    choices = {}
    for change in CHANGES:
        choices |= change
        fresh = timed(afresh, choices)
        before = [panel.answer.picture for panel in shown]
        change_time = timed(draft.change, **change)
        drawn = sum(panel.answer.picture != old for panel, old in zip(shown, before, strict=True))
        assert all("Problem" not in panel.answer.sentence for panel in shown)
        reckoning = timed(reckon, choices)
        print(
            f"{next(iter(change)):>10}: {drawn} of {len(shown)} pictures {1000 * change_time:.0f} ms, "
            f"{change_time / fresh:.2f} of drawing afresh; reckoning alone {1000 * reckoning:.0f} ms"
        )
    asyncio.run(in_hand(shown[0]))


async def in_hand(panel) -> None:
    """One step of a slider as in a notebook, where the panels that only follow wait."""
    slider = panel.rows["height"].slider
    waits = [timed(setattr, slider, "value", height) for height in (30.5, 31, 31.5, 32)]
    print(f"    slider: {1000 * min(waits):.0f} ms until the panel in hand has answered")
    await asyncio.sleep(2)


if __name__ == "__main__":
    main()
