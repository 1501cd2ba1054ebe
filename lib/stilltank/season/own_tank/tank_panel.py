"""The panel of the tank: its shape, its sizes as a ruler or a jug gives them, its lid and its net pots."""

import dataclasses
import html
from typing import Any

from stilltank.science import tank
from stilltank.season import pictures
from stilltank.season.plan import Plan
from stilltank.show.figures import TankSection
from stilltank.show.pages import folded
from stilltank.show.panels import Number, Part, PartDrawn, Pick, Scale, Typed, ready_made_tanks
from stilltank.units import Quantity, value_text, write

from .draft import Draft
from .plan_panel import Bound, PlanPanel
from .tank_sizes import SHAPES, own_lid, own_name, reshaped, resized, shape_of

# Label, and the lengths in cm that the slider spans; a box takes any size the tank can have.
_SIZES = {
    "length": ("Length inside", 20, 150),
    "width": ("Width inside", 15, 100),
    "diameter": ("Diameter inside", 10, 60),
    "bottom_length": ("Floor length inside", 20, 100),
    "bottom_width": ("Floor width inside", 15, 80),
    "bottom_diameter": ("Floor diameter inside", 10, 60),
    "top_length": ("Rim length inside", 20, 100),
    "top_width": ("Rim width inside", 15, 80),
    "top_diameter": ("Rim diameter inside", 10, 60),
    "height": ("Height inside", 12, 60),
    "net_pot_depth": ("Net pot height", 4, 10),
    "corner_radius": ("Corner radius", 0, 7),
}
_HOW = {
    "measured": (
        "Stand the tub level, put a ruler upright on its lowest point, and pour in water with a jug. After each "
        "jug or two, note the level and all the litres poured so far.",
        "Go on to the rim: the last level is taken as the height of the tub.",
        "Feet, grooves or a domed floor: the first litres fill the low parts. Take the first reading just when the "
        "whole floor is under water.",
    ),
    "": (
        "Measure inside, at the floor and at the rim: walls often lean. For a tub with feet, grooves or a bulge, "
        "choose the shape that is measured with jugs.",
    ),
}
_POT = (
    "Net pot height: measure from the collar by which the pot hangs, at the rim of the tub, down to its bottom. Where "
    "the lid lies lower or higher than the rim, hang a pot in it and measure from the rim down."
)


def _size(name: str) -> Bound:
    label, low, high = _SIZES[name]

    def shown(plan: Plan) -> Any:
        if name == "height" and isinstance(plan.tank, tank.Measured):
            return None  # its last level
        found = getattr(plan.tank, name, None)
        return found if isinstance(found, Quantity) else None

    def change(plan: Plan, value: Any) -> dict[str, Any]:
        return {"tank": resized(plan.tank, **{name: value})}

    inches = Scale("inch", low // 2.54, -(-high // 2.54), 0.25)
    number = Number(name, label, None, Scale("cm", low, high, 0.5), inches, "tank", "length")
    return Bound(number, shown, change)


def _readings() -> Bound:
    boxes = (
        Part(
            "Levels, one after the other",
            "length",
            Scale("cm", 0, 60, 0.1),
            Scale("inch", 0, 24, 0.0625),
            many=True,
            example="4, 7.8, 14.8",
        ),
        Part(
            "Poured in up to each level",
            "volume",
            Scale("L", 0, 200, 0.1),
            Scale("gallon", 0, 50, 0.05),
            many=True,
            example="5, 10, 20",
        ),
    )

    def shown(plan: Plan) -> Any:
        body = plan.tank
        if not isinstance(body, tank.Measured):
            return None
        return body.levels[1:], body.volumes[1:]  # the empty tub is the first reading of all

    def change(plan: Plan, value: Any) -> dict[str, Any]:
        levels, volumes = (
            Quantity([], unit) if one is None else one for one, unit in zip(value, ("cm", "L"), strict=True)
        )
        return {"tank": resized(plan.tank, levels=levels, volumes=volumes)}

    return Bound(Typed("readings", boxes), shown, change)


def _lid() -> Bound:
    box = Part(
        "Lid area",
        "area",
        Scale("cm^2", 0, 20000, 10),
        Scale("inch^2", 0, 3000, 1),
        example="as the opening, or 60 x 40",
    )

    def change(plan: Plan, value: Any) -> dict[str, Any]:
        return {"tank": dataclasses.replace(plan.tank, lid_area=value[0], name=own_name(type(plan.tank)))}

    return Bound(
        Typed("lid", (box,)),
        lambda plan: (plan.tank.lid_area if own_lid(plan.tank) else None,),
        change,
    )


def _empty() -> Bound:
    box = Part(
        "Empty, with lid, it weighs",
        "mass",
        Scale("kg", 0, 50, 0.1),
        Scale("lb", 0, 100, 0.25),
        example="not known",
    )

    def change(plan: Plan, value: Any) -> dict[str, Any]:
        lid = plan.tank.lid_area if own_lid(plan.tank) else None
        body = dataclasses.replace(
            plan.tank, empty_mass=value[0], lid_area=lid, name=own_name(type(plan.tank))
        )
        return {"tank": body}

    return Bound(Typed("empty_mass", (box,)), lambda plan: (plan.tank.empty_mass,), change)


def _hole() -> Bound:
    box = Part(
        "Overflow hole at",
        "length",
        Scale("cm", 0, 60, 0.1),
        Scale("inch", 0, 24, 0.0625),
        example="where the plan puts it",
    )
    return Bound(
        Typed("hole", (box,)),
        lambda plan: (plan.hole,),
        lambda _, value: {"hole": value[0]},
    )


def _explained(plan: Plan, system: str) -> str:
    body = plan.tank
    if own_lid(body):
        lid = f"The lid is {_area(body.lid_area, system)}; the opening is {_area(body.area(body.height), system)}."
    else:
        lid = f"The lid is taken to be as large as the opening, {_area(body.lid_area, system)}."
    low = f"<p>{html.escape(plan.outlook.low_hole)}</p>" if plan.outlook.low_hole else ""
    words = f"{low}<p>{html.escape(_POT)}</p><p>{html.escape(lid)}</p>"
    return words + folded("How to measure", _HOW.get(shape_of(body), _HOW[""]))


def _area(area: Quantity, system: str) -> str:
    if system == "US":
        return f"{area.m_as('inch^2'):,.0f} square inches"
    return f"{area.m_as('cm^2'):,.0f} cm²"


def tank_panel(draft: Draft) -> PlanPanel:
    """Show the tank's shape and sizes, and its picture with fill line and overflow hole.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Returns
    -------
    PlanPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> tank_panel(Draft("no-such-plan.toml", count=4)).answer.key
    '<p class="stilltank-key" ...>Fill to 25 cm: 36.2 L of solution</p>'
    """
    known = {value_text(tank.preset(name)): name for name in tank.presets()}
    begin = Pick("tank", "Tank", "", [*ready_made_tanks(), ("your own sizes", "")], "tank")
    shapes = Pick("shape", "Shape", "box", [(words, word) for word, (words, _) in SHAPES.items()], "tank")
    return PlanPanel(
        "Your tank",
        draft,
        [
            Bound(
                begin,
                lambda plan: known.get(value_text(plan.tank), ""),
                lambda _, name: {"tank": name} if name else {},
            ),
            Bound(
                shapes,
                lambda plan: shape_of(plan.tank) or None,
                lambda plan, word: {"tank": reshaped(plan.tank, word)},
            ),
            _readings(),
            *map(_size, _SIZES),
            _hole(),
            _lid(),
            _empty(),
        ],
        lambda system, large: PartDrawn(
            TankSection(system, large=large),
            lambda figure, plan: pictures.tank_picture(plan, system, figure),
        ),
        lambda plan, system: (
            f"Fill to {write(plan.outlook.fill_level, system)}: {write(plan.outlook.volume, system)} of solution"
        ),
        follows=["tank", "hole", "reading"],
        choices=["tank", "hole"],
        more=_explained,
    )
