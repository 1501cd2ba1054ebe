"""Speed of an ensemble of seasons against the same day in a plain Python loop, same run."""

import tracemalloc
from time import perf_counter

from stilltank.science import budget, crops, demand, tank, weather
from stilltank.tables import number
from stilltank.units import Q

MEMBERS, DAYS, LOOPED, MANY = 1000, 120, 50, 10_000


def best(action, repeats: int = 3) -> float:
    """Shortest time of some runs, in seconds."""
    times = []
    for _ in range(repeats):
        begin = perf_counter()
        action()
        times.append(perf_counter() - begin)
    return min(times)


def plain_loop(tub, thirst: list[list[float]], rain: list[list[float]]) -> list[list[float]]:
    """Volumes of seasons, day by day, by plain floats."""
    unusable, shortage = (
        tub.volume(Q(number("budget", "tank", f"{which} depth", "cm"), "cm")).magnitude
        for which in ("unusable", "shortage")
    )
    least, brim = number("budget", "tank", "least uptake", "1"), tub.capacity.magnitude
    seasons = []
    for asked, wet in zip(thirst, rain, strict=True):
        now, volumes = 36.2, []
        for use, gain in zip(asked, wet, strict=True):
            now = min(now + gain, brim)
            left = max(now - unusable, 0.0)
            now -= min(use * (least + (1 - least) * min(left / (shortage - unusable), 1.0)), left)
            volumes.append(now)
        seasons.append(volumes)
    return seasons


def main() -> None:
    """Print times and ratios."""
    tub, plants, site = tank.preset("quillgate-tub"), crops.Plants("basil", 4), weather.site("quillgate")

    def many():
        return budget.ensemble(tub, plants, site, start="2027-05-10", days=DAYS, members=MEMBERS, seed=7)

    found = many()  # tables are read, modules loaded
    rain = found.rain_in.magnitude[:LOOPED].tolist()
    # the loop is given what was used for what was asked; its work is the same
    thirst = found.transpired.magnitude[:LOOPED].tolist()
    whole, looped = best(many), best(lambda: plain_loop(tub, thirst, rain))
    levels = best(lambda: tub.level(found.volume))
    et = best(lambda: demand.reference_et(site.weather))
    each, each_looped = whole / MEMBERS, looped / LOOPED
    print(f"{MEMBERS} seasons of {DAYS} days, drawing, evapotranspiration and balance: {whole:.3f} s")
    print(
        f"  a season {each * 1e6:.0f} us; its balance alone in a plain loop {each_looped * 1e6:.0f} us",
        end="",
    )
    print(f" ({each_looped / each:.1f} times as long)")
    print(f"  in it, evapotranspiration of {site.weather.days} days: {et * 1e3:.1f} ms, once for the record")
    large = best(
        lambda: budget.ensemble(tub, plants, site, start="2027-05-10", days=DAYS, members=MANY, seed=7)
    )
    tracemalloc.start()
    budget.ensemble(tub, plants, site, start="2027-05-10", days=DAYS, members=MANY, seed=7)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    print(
        f"{MANY} seasons: {large:.3f} s, {large / whole:.1f} times {MEMBERS} of them; at most {peak / 1e6:.0f} MB"
    )
    compared = best(lambda: budget.compare(tub, plants, site, start="2027-05-10", solution="Hoagland 1"))
    print(f"seven ways of topping up over 200 seasons, with nutrients: {compared:.3f} s")
    print(f"  levels of {found.volume.size} volumes: {levels * 1e3:.0f} ms")


if __name__ == "__main__":
    main()
