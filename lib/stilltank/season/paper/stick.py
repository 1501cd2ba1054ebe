"""The dipstick of a plan: the heights that its grower works by, marked on the stick."""

from pathlib import Path

from stilltank.season.plan import Plan
from stilltank.show.figures import MarkedHeight
from stilltank.show.given import known_system
from stilltank.show.pages import dipstick, known_paper
from stilltank.units import Q

from .plan_given import a_plan


def marked_heights(plan: Plan) -> tuple[MarkedHeight, ...]:
    """Find the heights of a tank that its grower works by.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.

    Returns
    -------
    tuple of MarkedHeight
        From the top: overflow hole, fill line, where the pots hang clear and the top-up limit begins, the level to top
        up to where the plan has one, and the two levels between which a crop is ended.

    Raises
    ------
    Problem
        This is no plan.

    Examples
    --------
    >>> for one in marked_heights(Plan.make(count=4)):
    ...     print(one.said())
    overflow hole 25.5 cm
    fill line 25 cm
    pots hang clear 23 cm
    end from here ... cm
    end by here ... cm
    """
    a_plan(plan, "A dipstick")
    outlook, tank = plan.outlook, plan.tank
    early, late = outlook.stop_levels[1], outlook.stop_levels[0]
    found = [
        MarkedHeight("overflow hole", outlook.hole.to("cm"), "dashed"),
        MarkedHeight("fill line", outlook.fill_level, "solid"),
        MarkedHeight("pots hang clear", (tank.height - tank.net_pot_depth).to("cm"), "dotted"),
        MarkedHeight("end from here", early, "dash-dot"),
        MarkedHeight("end by here", late, "dash-dot"),
    ]
    if plan.top_up.way in ("by hand", "rain caught", "float valve"):
        found.append(MarkedHeight("top up to here", plan.outlook.holding_level, "dashed"))
    return tuple(sorted(found, key=lambda one: -one.level.m_as("cm")))


def tank_dipstick(
    plan: Plan, path: str | Path, *, system: str = "metric", paper: str = "A4"
) -> tuple[Path, Path]:
    """Write the dipstick of a plan's tank in its true size, with the heights that its grower works by.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    path : str or Path
        Where to write; the two files get the endings .html and .pdf.
    system : {"metric", "US"}
        The units: litres and centimetres, or US quarts and inches in eighths.
    paper : {"A4", "Letter"}
        The size of the sheets.

    Returns
    -------
    tuple of Path
        The HTML file and the PDF file.

    Raises
    ------
    Problem
        This is no plan, there is no such system or paper, or the folder cannot be written.
    Unreadable
        The path names no file.

    See Also
    --------
    marked_heights : What is marked.

    Examples
    --------
    >>> import tempfile
    >>> page, pdf = tank_dipstick(Plan.make(count=4), Path(tempfile.mkdtemp()) / "my-dipstick")
    >>> page.name, pdf.name
    ('my-dipstick.html', 'my-dipstick.pdf')
    """
    heights = marked_heights(plan)
    known_system(system)
    known_paper(paper)
    unit = "L" if system == "metric" else "quart"
    room = plan.tank.height / plan.tank.capacity.to(unit)  # of a mark; a slim jar has room for tenths
    step = next(
        (size for size in (0.1, 0.25, 0.5, 1, 2, 5, 10) if (room * Q(size, unit)).m_as("mm") >= 3), 20
    )
    return dipstick(
        plan.tank,
        path,
        Q(step, unit),
        heights=heights,
        gauge=plan.outlook.refill.rise,
        paper=paper,
        system=system,
    )
