"""Speed of a season of oxygen against the method of lines by scipy's solve_ivp, same equation, same run."""

from time import perf_counter

import numpy as np
from scipy.integrate import solve_ivp
from stilltank.science import budget, crops, oxygen, roots, tank
from stilltank.tables import number
from stilltank.units import Q

DAYS, CELLS, MEMBERS = 42, 80, 500
START, END, FILM = 0.13, 0.03, 0.3
SHARE = np.diff(
    np.sinh(5 * np.linspace(0, 1, CELLS + 1)) / np.sinh(5)
)  # of the depth: the cells of the library


def best(action, repeats: int = 3) -> float:
    """Shortest time of some runs, s."""
    times = []
    for _ in range(repeats):
        begin = perf_counter()
        action()
        times.append(perf_counter() - begin)
    return min(times)


def demand_at(day):
    """The demand of the root zones notes' season, g/m^2/day."""
    return 4.0 * np.exp(0.12 * (day - DAYS))


def warmth_at(day, swing):
    """Temperature of the water, degC."""
    return 25 + swing * np.sin(2 * np.pi * day)


def by_lines(swing: float):
    """The same season by LSODA with a banded Jacobian; smooth inputs, and steps as long as it likes."""
    half = number("oxygen", "roots", "half saturation", "g/m^3")
    degrees = np.linspace(10, 40, 301)
    held = oxygen.saturation(Q(degrees, "degC")).m_as("g/m^3")
    moved = oxygen.diffusivity(Q(degrees, "degC")).m_as("m^2/day")
    flux = np.zeros(CELLS + 1)

    def rate(day, c):
        warm = warmth_at(day, swing)
        top, d = np.interp(warm, degrees, held), np.interp(warm, degrees, moved)
        depth = START + (END - START) * day / DAYS
        width = depth * SHARE
        flux[0] = (top - c[0]) / (1 / FILM + width[0] / (2 * d))
        flux[1:-1] = d * (c[:-1] - c[1:]) / ((width[:-1] + width[1:]) / 2)
        return (flux[:-1] - flux[1:]) / width - demand_at(day) / depth * c / (c + half)

    begin = np.full(CELLS, np.interp(25, degrees, held))
    return solve_ivp(rate, (0, DAYS), begin, "LSODA", rtol=1e-4, atol=1e-4, lband=1, uband=1, max_step=1.0)


def main() -> None:
    """Print times and ratios."""
    level = Q(100 * (START + (END - START) * np.arange(1, DAYS + 1) / DAYS), "cm")
    middle = (np.arange(DAYS * 24) + 0.5) / 24
    given = {"first_depth": Q(START, "m"), "start": oxygen.saturation(Q(25, "degC"))}
    films = Q(np.linspace(0.1, 0.6, MEMBERS), "m/day")

    for name, swing in (
        ("a temperature that holds", 0.0),
        ("a temperature that swings by 3 degC a day", 3.0),
    ):
        inputs = {
            "depth": level,
            "demand": Q(demand_at(middle), "g/m^2/day"),
            "temperature": Q(warmth_at(middle, swing), "degC"),
            **given,
        }

        def one(inputs=inputs, **more):
            return oxygen.still_water(oxygen.WaterColumn(**inputs, **more))

        def peer(swing=swing):
            return by_lines(swing)

        off = abs(one().mean[-1].m_as("mg/L") - SHARE @ peer().y[:, -1])
        ours, theirs = best(one, 7), best(peer)
        many = best(lambda one=one: one(film_coefficient=films), 2)
        print(
            f"{DAYS} days, {CELLS} cells, steps of 1 h, {name}: {ours * 1e3:.0f} ms; method of lines, long steps:",
            end="",
        )
        print(
            f" {theirs * 1e3:.0f} ms, {theirs / ours:.2f} times as long; {off:.3f} mg/L apart in the mean at the end"
        )
        print(f"  {MEMBERS} members together: {many:.2f} s, {many / MEMBERS * 1e3:.1f} ms each:", end="")
        print(
            f" {ours * MEMBERS / many:.1f} times as fast as one by one, {theirs * MEMBERS / many:.1f} times the peer"
        )
    mixed = best(lambda: oxygen.mixed_water(oxygen.WaterColumn(**inputs)))
    print(f"mixed water: {mixed * 1e3:.0f} ms")
    water = budget.ensemble(
        "quillgate-tub", crops.Plants("lettuce", 6), "quillgate", start="2027-05-10", days=DAYS
    )
    joined = best(lambda: roots.root_oxygen(tank.preset("quillgate-tub"), water.levels, Q(22, "degC")))
    print(f"roots and oxygen of {water.members} seasons of the water budget: {joined * 1e3:.0f} ms")


if __name__ == "__main__":
    main()
