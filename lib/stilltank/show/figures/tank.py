"""The tank from the side, to scale."""

from stilltank.science.tank import Tank
from stilltank.units import Problem, Q, Quantity, write

from ..given import known_system, of_kind, quoted
from .labels import apart
from .outline import LINE, Outline, net_pot
from .picture import BLACK, BLUE, GREEN, LARGER, SOLUTION, VERMILLION, Picture, house_style, new_figure

_ROOM = (0.1, 0.04, 0.58, 0.92)  # the part of the figure for the tank; words stand beside it
_LARGE_ROOM = (0.12, 0.04, 0.5, 0.92)
_WIDEST = 40  # inches
_LEFT_WORDS = 0.8  # inches, for the words beside the air zone
_LEAST_HEIGHT = 2.4  # inches, for the words of the axis
_LARGE_WIDTH, _LARGE_TALLEST = 8.3, 4.2  # inches, so that large words have 1/50 of the screen


class TankSection:
    """A cross-section with the solution, the net pots, the fill line and the overflow hole.

    Drawn once; ``show`` moves what has changed. The width at each height is that of a square of the same area,
    so that tanks of all shapes can be drawn.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axis.
    width : float
        Of the figure, in inches; the height follows the tank.
    tallest : float
        The greatest height of the figure, in inches; a tank that would need more is drawn smaller, still to scale.
    large : bool
        True for larger words, for a projector; the figure then has a width and height of its own.

    Raises
    ------
    Problem
        There is no such system, or the figure would be too small or too large.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> TankSection().show(preset("quillgate-tub"), Q(25, "cm"), Q(26, "cm")).sentence
    'Cross-section of ... The lower edge of the overflow hole is at 26 cm. ...'
    """

    def __init__(self, system: str = "metric", width: float = 7.0, tallest: float = 5.0, large: bool = False):
        for size in (width, tallest):
            if isinstance(size, bool) or not isinstance(size, (int, float)) or not 1 <= size <= _WIDEST:
                raise Problem(f"A section is 1 to {_WIDEST} inches wide and high; {quoted(size)} is not.")
        self._room = _LARGE_ROOM if large else _ROOM
        self._large, self._times = large, LARGER if large else 1.0
        if large:
            width, tallest = _LARGE_WIDTH, _LARGE_TALLEST
        self._least = _LEAST_HEIGHT * self._times
        self._width, self._tallest = width, max(tallest, self._least)
        known_system(system)
        self._system = system
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(width, self._least))
            axes = self._axes = self.figure.add_axes(self._room, anchor="W")
            axes.grid(visible=False, axis="x")
            axes.set_ylabel(f"height above the floor, {self._unit}")
            axes.set_xticks([])
            axes.spines["bottom"].set_visible(False)
            self._water = axes.fill([], [], facecolor=SOLUTION, edgecolor="none", label="solution")[0]
            (self._wall,) = axes.plot([], [], color=BLACK, lw=3, solid_joinstyle="miter")
            (self._lid,) = axes.plot([], [], color=BLACK, lw=5, solid_capstyle="butt")
            self._pots = [
                axes.fill([], [], facecolor="none", edgecolor=GREEN, hatch="///", lw=1.6)[0] for _ in range(3)
            ]
            (self._fill,) = axes.plot([], [], color=BLUE, lw=2.2, ls="--")
            (self._level,) = axes.plot([], [], color=BLUE, lw=2.2)
            (self._hole,) = axes.plot(
                [], [], color=VERMILLION, marker="o", ms=9, mfc="white", mew=2.4, ls="none"
            )
            self._labels = {
                name: axes.text(0, 0, "", va="center") for name in ("fill", "hole", "air", "level", "pots")
            }
            (self._air,) = axes.plot([], [], color=BLACK, lw=1.2, marker="_", ms=9)

    def show(
        self, tank: Tank, fill_level: Quantity, overflow_height: Quantity, level: Quantity | None = None
    ) -> Picture:
        """Draw a tank.

        Parameters
        ----------
        tank : Tank
            With net pots.
        fill_level : Quantity
            The height of the fill line above the floor.
        overflow_height : Quantity
            The height of the lower edge of the overflow hole above the floor.
        level : Quantity, optional
            The level now; the fill level when left out.

        Returns
        -------
        Picture
            With its sentence.

        Raises
        ------
        Problem
            This is no tank.
        """
        of_kind(tank, Tank, 'A section is drawn of a tank, such as tank.preset("quillgate-tub")')
        unit, inches = self._unit, self._system
        level = fill_level if level is None else level
        outline = Outline(tank, unit)
        half, width = outline.half, outline.half_width
        top, fill, hole, now = (q.m_as(unit) for q in (tank.height, fill_level, overflow_height, level))
        pot = tank.net_pot_depth.m_as(unit)

        with house_style(self._large):
            self._wall.set_data(*outline.wall())
            self._water.set_xy(outline.below(now))
            over = half[-1] * 1.04
            self._lid.set_data([-over, over], [top, top])
            for patch, centre in zip(self._pots, (-0.5, 0.0, 0.5), strict=True):
                x, rim = centre * half[-1] * 1.15, min(pot * 0.5, half[-1] * 0.2)
                patch.set_xy(net_pot(x, rim, top, pot))
            self._fill.set_data([-width(fill), width(fill)], [fill, fill])
            self._level.set_data([-width(now), width(now)], [now, now])
            self._hole.set_data([width(hole)], [hole])
            self._air.set_data([-over * 1.12, -over * 1.12], [now, top])
            left, right, roof = -over * 2.05, over * 1.06, top * 1.16
            room = self._width * self._room[2]
            tall = room * roof / (right - left) / self._room[3]
            if tall > self._tallest:  # smaller; the words on the left need their room all the same
                tall = self._tallest
                scale = tall * self._room[3] / roof  # inches for each unit of the axis
                left, right = right - room / scale, right
                left = max(left, -over * 1.3 - _LEFT_WORDS * self._times / scale)
                room = (right - left) * scale
            self.figure.set_size_inches(self._width, max(tall, self._least))
            gap = LINE * self._times * (right - left) / room  # one line of words, in the units of the axis
            heights_of = {"hole": hole, "fill": min(fill, hole - gap / 9)} | (
                {} if now == fill else {"level": now}
            )
            places = {"level": now} | apart(heights_of, gap)
            words = {
                "hole": f"overflow hole {write(overflow_height, inches)}",
                "fill": f"fill line {write(fill_level, inches)}",
                "level": "" if now == fill else f"level now {write(level, inches)}",
            }
            for name, text in words.items():
                self._labels[name].set(position=(over * 1.12, places[name]), text=text)
            self._labels["air"].set(
                position=(-over * 1.2, (now + top) / 2),
                text=f"air zone\n{write(tank.height - level, inches)}",
                ha="right",
            )
            self._labels["pots"].set(position=(-over, top + gap * 0.8), text="lid with net pots", ha="left")
            self._axes.set_xlim(left, right)
            self._axes.set_ylim(0, roof)
            self._axes.set_aspect("equal", adjustable="box")
        wet_pot = Q(fill - (top - pot), unit)
        if wet_pot < Q(0, unit):
            reach = f"the net pots end {write(Q(0, unit) - wet_pot, inches, digits=2)} above the"
        else:
            reach = f"the net pots reach {write(wet_pot, inches, digits=2)} into the"
        sentence = (
            f"Cross-section of {tank.name or 'the tank'}, {write(tank.height, inches)} high, holding "
            f"{write(tank.capacity, inches)} to the rim. The fill line is at {write(fill_level, inches)}, "
            f"{write(tank.volume(fill_level), inches)}: {reach} solution. "
            f"The lower edge of the overflow hole is at {write(overflow_height, inches)}. Between the "
            f"solution at {write(level, inches)} and the lid lie {write(tank.height - level, inches)} of air."
        )
        return Picture(
            self.figure, sentence, "To scale; the width at each height is that of a square of equal area."
        )
