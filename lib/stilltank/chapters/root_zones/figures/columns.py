"""Roots in the tank: a cross-section through the season, and a refill before and after."""

from typing import Any

from stilltank.science.roots import Refill, RootCourse
from stilltank.science.tank import Tank
from stilltank.show.figures import (
    BLACK,
    BLUE,
    GREEN,
    LARGER,
    LINE,
    PURPLE,
    SOLUTION,
    VERMILLION,
    Outline,
    Picture,
    apart,
    house_style,
    net_pot,
    new_figure,
    rise_rule,
    rise_text,
    short_day,
)
from stilltank.tables import load
from stilltank.units import write

_SAME = 1e-6  # cm
_PARTS: dict[str, dict[str, Any]] = {  # of the roots below a pot, each with its own hatch
    "in air": {"edgecolor": PURPLE, "hatch": "\\\\\\"},
    "bared": {"edgecolor": BLACK, "hatch": "---"},
    "in water": {"edgecolor": GREEN, "hatch": "|||"},
    "submerged": {"edgecolor": VERMILLION, "hatch": "xxx"},
}


class _Column:
    """What hangs below one pot: a band for each part of the roots, from the pot downwards."""

    def __init__(self, axes: Any):
        (self.pot,) = axes.fill([], [], facecolor="white", edgecolor=GREEN, hatch="///", lw=1.6, zorder=3)
        self.bands = {
            name: axes.fill([], [], facecolor="white", lw=1.2, zorder=2, **look)[0]
            for name, look in _PARTS.items()
        }

    def show(
        self, middle: float, rim: float, top: float, pot: float, ends: dict[str, tuple[float, float]]
    ) -> None:
        """Put the pot at a place, and each band between its upper and lower end; an empty one is hidden."""
        self.pot.set_xy(net_pot(middle, rim, top, pot))
        for name, band in self.bands.items():
            high, low = ends.get(name, (0.0, 0.0))
            half = rim * 0.6
            band.set_xy(
                [(middle - half, high), (middle + half, high), (middle + half, low), (middle - half, low)]
            )
            band.set_visible(high - low > 1e-9)


class RootSection:
    """The tank from the side on one day: solution, air zone, pots, and the roots in each zone.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> RootSection().show(*panels.zones_panel.result()).sentence
    'Day 50, 28 June: solution: ... cm, air zone: ... cm, ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 4.2) if large else (8.0, 3.9))
            axes = self._axes = self.figure.add_axes(
                (0.12, 0.03, 0.87, 0.94) if large else (0.09, 0.03, 0.9, 0.94), anchor="W"
            )
            axes.grid(visible=False)
            axes.set_xticks([])
            axes.spines["bottom"].set_visible(False)
            axes.set_ylabel(f"height above the floor, {self._unit}")
            (self._water,) = axes.fill([], [], facecolor=SOLUTION, edgecolor="none")
            (self._wall,) = axes.plot([], [], color=BLACK, lw=3, solid_joinstyle="miter")
            (self._lid,) = axes.plot([], [], color=BLACK, lw=5, solid_capstyle="butt")
            (self._level,) = axes.plot([], [], color=BLUE, lw=2.2)
            (self._peak,) = axes.plot([], [], color=BLUE, lw=1.8, ls="--")
            self._columns = [_Column(axes) for _ in range(3)]
            names = ("air", "in air", "bared", "level", "in water", "submerged")
            self._labels = {name: axes.text(0, 0, "", va="center") for name in names}

    def show(self, tank: Tank, roots: RootCourse, day: int) -> Picture:
        """Draw one day of a season.

        Parameters
        ----------
        tank : Tank
            With net pots.
        roots : RootCourse
            The roots through one season.
        day : int
            1 for the first day.

        Returns
        -------
        Picture
            With its sentence.
        """
        unit = self._unit
        top, pot = tank.height.m_as(unit), tank.net_pot_depth.m_as(unit)
        outline = Outline(tank, unit)
        level, peak = (float(of.m_as(unit)[day - 1]) for of in (roots.level, roots.peak))
        lengths = {
            "in air": roots.in_air,
            "bared": roots.bared,
            "in water": roots.in_water,
            "submerged": roots.submerged,
        }
        long = {name: float(of.m_as(unit)[day - 1]) for name, of in lengths.items()}
        below = top - pot
        start = min(level, below)
        ends = {
            "in air": (below, below - long["in air"]),
            "bared": (below - long["in air"], below - long["in air"] - long["bared"]),
            "in water": (start, max(level - long["in water"], 0.0)),
            "submerged": (min(peak, below), min(peak, below) - long["submerged"]),
        }
        with house_style(self._large):
            self._wall.set_data(*outline.wall())
            self._water.set_xy(outline.below(level))
            rim = outline.half[-1]
            over = rim * 1.04
            self._lid.set_data([-over, over], [top, top])
            wide, out = outline.half_width(level), outline.half_width(peak)
            self._level.set_data([-wide, wide], [level, level])
            rose = peak > level + 0.02 * top
            self._peak.set_data([-out, out] if rose else [], [peak, peak] if rose else [])
            for column, centre in zip(self._columns, (-0.55, 0.0, 0.55), strict=True):
                column.show(centre * rim, rim * 0.17, top, pot, ends)
            words = self._words(tank, roots, day, long)
            places = {
                "air": (level + top) / 2 if not long["in air"] else top - pot / 2,
                "level": level,
                **{name: (ends[name][0] + ends[name][1]) / 2 for name in _PARTS},
            }
            said = {name: places[name] for name in self._labels if words[name]}
            left, right = -over * 1.02, over * (2.9 if self._large else 2.6)
            room = self.figure.get_size_inches()[0] * self._axes.get_position(original=True).width
            gap = LINE * (LARGER if self._large else 1.0) * (right - left) / room
            moved = apart(said, gap)
            lift = max(0.0, gap / 2 - min(moved.values()))
            for name, label in self._labels.items():
                label.set_text(words[name])
                label.set_position((over * 1.06, moved.get(name, 0.0) + lift))
            self._axes.set_xlim(left, right)
            self._axes.set_ylim(0, top * 1.04)
            self._axes.set_aspect("equal", adjustable="box")
        return Picture(
            self.figure,
            self._sentence(roots, day, words),
            "To scale; roots are drawn as bands, by how deep they reach. How fast they grow and get used to air is "
            "assumed.",
        )

    def _words(self, tank: Tank, roots: RootCourse, day: int, long: dict[str, float]) -> dict[str, str]:
        def size(of: Any) -> str:
            return write(of[day - 1], self._system, digits=2)

        named = {
            "in air": f"roots used to air: {size(roots.in_air)}",
            "bared": f"roots just laid bare: {size(roots.bared)}",
            "in water": f"roots in the solution: {size(roots.in_water)}",
            "submerged": f"air roots under water: {size(roots.submerged)}",
        }
        tiny = 0.005 * tank.height.m_as(self._unit)
        return {
            "air": f"air zone: {size(roots.air_zone)}",
            "level": f"solution: {size(roots.level)}",
        } | {name: text if long[name] > tiny else "" for name, text in named.items()}

    def _sentence(self, roots: RootCourse, day: int, words: dict[str, str]) -> str:
        when = "" if roots.dates is None else f", {short_day(roots.dates[day - 1])}"
        parts = [
            words[name]
            for name in ("level", "air", "in air", "bared", "in water", "submerged")
            if words[name]
        ]
        share, low, high = (100 * float(of.magnitude[day - 1]) for of in (roots.share, roots.low, roots.high))
        return (
            f"Day {day}{when}: {', '.join(parts)}. About {share:.0f} % of the oxygen comes from the air, from "
            f"{low:.0f} to {high:.0f} % by what is assumed."
        )


def limit_word(found: Refill) -> str:
    """Name what bounds a refill: the published caution, or the level at planting where that is nearer.

    Parameters
    ----------
    found : Refill
        One refill.

    Returns
    -------
    str
        "caution" or "limit".

    Examples
    --------
    >>> from stilltank.science.roots import refill
    >>> from stilltank.science.tank import preset
    >>> from stilltank.units import Q
    >>> limit_word(refill(preset("quillgate-tub"), Q(15, "cm"), Q(1, "L")))
    'caution'
    """
    published = load("roots")["refill", "rise"].quantity.m_as("cm")
    return "caution" if abs(float(found.limit.rise.m_as("cm")) - published) < _SAME else "limit"


class RefillColumns:
    """One net pot before and after a refill, with the roots that come under water and the published limit.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> RefillColumns().show(*panels.refill_panel.result()).sentence
    '7.42 L raise the level by 5 cm, above the caution of 2 cm: ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 4.2) if large else (8.0, 3.9))
            axes = self._axes = self.figure.add_axes(
                (0.12, 0.1, 0.48, 0.84) if large else (0.09, 0.09, 0.5, 0.87)
            )
            axes.grid(visible=False, axis="x")
            axes.set_xlim(-0.5, 1.5)
            axes.set_xticks([0, 1], ["before", "after"])
            axes.set_ylabel(f"height above the floor, {self._unit}")
            self._waters = [
                axes.fill([], [], facecolor=SOLUTION, edgecolor=BLUE, lw=1.6)[0] for _ in range(2)
            ]
            (self._lid,) = axes.plot([], [], color=BLACK, lw=5, solid_capstyle="butt", clip_on=False)
            (self._limit,) = axes.plot([], [], color=VERMILLION, lw=2.2, ls=":")
            self._columns = [_Column(axes) for _ in range(2)]
            names = ("air", "limit", "submerged", "after", "before")
            self._labels = {name: axes.text(0, 0, "", va="center") for name in names}

    def show(self, tank: Tank, found: Refill) -> Picture:
        """Draw a refill.

        Parameters
        ----------
        tank : Tank
            With net pots.
        found : Refill
            One amount, poured at one level.

        Returns
        -------
        Picture
            With its sentence.
        """
        unit, system = self._unit, self._system
        top, pot = tank.height.m_as(unit), tank.net_pot_depth.m_as(unit)
        below = top - pot
        before, after, limit = (
            float(of.m_as(unit)) for of in (found.before.level, found.after.level, found.limit.highest_level)
        )
        submerged = float(found.submerged.m_as(unit))
        columns = (
            (before, {"in air": (below, before), "in water": (min(before, below), 0.0)}),
            (
                after,
                {
                    "in air": (below, after),
                    "submerged": (min(after, below), min(after, below) - submerged),
                    "in water": (min(after, below) - submerged, 0.0),
                },
            ),
        )
        with house_style(self._large):
            for number, (level, ends) in enumerate(columns):
                left, right = number - 0.38, number + 0.38
                self._waters[number].set_xy([(left, 0), (right, 0), (right, level), (left, level)])
                self._columns[number].show(number, 0.2, top, pot, ends)
            self._lid.set_data([-0.45, 1.45], [top, top])
            self._limit.set_data([-0.4, 1.4], [limit, limit])
            size = {
                name: write(of, system, digits=2)
                for name, of in {
                    "air": found.after.air_zone,
                    "submerged": found.submerged,
                    "after": found.after.level,
                    "before": found.before.level,
                }.items()
            }
            words = {
                "air": f"air zone after: {size['air']}",
                "limit": f"{limit_word(found)}: no higher",
                "submerged": f"under water now: {size['submerged']}" if submerged > 1e-9 else "",
                "after": f"after: {size['after']}",
                "before": f"before: {size['before']}",
            }
            places = {
                "air": (after + top) / 2,
                "limit": limit,
                "submerged": min(after, below) - submerged / 2,
                "after": after,
                "before": before,
            }
            said = {name: place for name, place in places.items() if words[name]}
            moved = apart(said, top * (0.1 if self._large else 0.08))
            lift = max(0.0, -min(moved.values()))
            for name, label in self._labels.items():
                label.set_text(words[name])
                label.set_position((1.52, moved.get(name, 0.0) + lift))
            self._axes.set_ylim(0, top * 1.02)
        caution = write(found.limit.rise, system, digits=2)
        verdict = f"{'above' if found.too_far else 'within'} the {limit_word(found)} of {caution}"
        share = 100 * float(found.share_submerged.m_as("dimensionless"))
        clear = (
            f"{size['submerged']} of the roots that are used to air, {share:.0f} %, come under water"
            if submerged > 1e-9
            else "no root that is used to air comes under water"
        )
        return Picture(
            self.figure,
            f"{write(found.volume, system)} raise the level by {rise_text(found.rise, found.limit.rise, system)}, "
            f"{verdict}: {clear}, and the air zone shrinks from {write(found.before.air_zone, system, digits=2)} to "
            f"{size['air']}.",
            rise_rule(system),
        )
