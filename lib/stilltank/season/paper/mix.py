"""What to mix for a tank, as a part of its card: salts by weight, two bottles, or level teaspoons."""

import html

from stilltank.science import mixing, ph
from stilltank.season.plan import Plan
from stilltank.show.given import known_system, of_kind, quoted
from stilltank.show.pages import table
from stilltank.units import Problem, Q, Quantity, write

MIXES = ("salts", "bottles", "spoons")
"""Ways to mix that a card can show."""


def usual_mix(plan: Plan) -> str:
    """Find how a plan's shelf mixes where nobody says: by spoons where it has no balance, else by weight.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.

    Returns
    -------
    str
        "spoons" or "salts".

    Raises
    ------
    Problem
        This is no plan.

    Examples
    --------
    >>> usual_mix(Plan.make(count=4))
    'salts'
    """
    of_kind(plan, Plan, "How to mix follows from a plan, such as Plan.make(count=4)")
    own = plan.shelf is not None and plan.shelf.fertilisers
    return "spoons" if own and plan.shelf is not None and plan.shelf.balance is None else "salts"


def usual_ph_test(plan: Plan) -> str:
    """Find what a plan's pH is read with where nobody says: what stands on its shelf, else a meter.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.

    Returns
    -------
    str
        "meter", "drops" or "strips".

    Raises
    ------
    Problem
        This is no plan.

    Examples
    --------
    >>> usual_ph_test(Plan.make(count=4))
    'meter'
    """
    of_kind(plan, Plan, "What the pH is read with follows from a plan, such as Plan.make(count=4)")
    return "meter" if plan.shelf is None else plan.shelf.ph_test


def mix_section(plan: Plan, system: str = "metric", mode: str = "salts") -> str:
    """Write what to mix for a plan's tank, as HTML without a heading.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    system : {"metric", "US"}
        The units.
    mode : {"salts", "bottles", "spoons"}
        Salts weighed for one filling; two stock solutions with the mL for a tank; or level teaspoons beside the grams.

    Returns
    -------
    str
        HTML. Where a recipe cannot be parted into two bottles it says so, and gives the salts by weight.

    Raises
    ------
    Problem
        This is no plan, or no such system or way to mix.

    Examples
    --------
    >>> plan = Plan.make(count=4)
    >>> "Calcium stock" in mix_section(plan, mode="bottles")
    True
    """
    of_kind(plan, Plan, "What to mix follows from a plan, such as Plan.make(count=4)")
    known_system(system)
    if not isinstance(mode, str) or mode not in MIXES:
        raise Problem(
            f"A card shows how to mix by {', '.join(MIXES)}; you gave {quoted(mode)}. Write one of these."
        )
    write_mode = {"salts": _by_weight, "bottles": _by_bottles, "spoons": _by_spoons}[mode]
    said = "".join(
        f'<p class="caution"><strong>Too much.</strong> {html.escape(sentence)}</p>'
        for sentence in plan.outlook.excess.values()
    )
    return write_mode(plan, system) + said


def portions_section(plan: Plan, test: str = "drops") -> str:
    """Write the first acid of a plan in portions that drops or strips can see, as HTML without a heading.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    test : {"strips", "drops", "meter"}
        What the pH is read with.

    Returns
    -------
    str
        HTML: a table of portions and when to stop; empty where no acid is needed at first.

    Raises
    ------
    Problem
        This is no plan.
    Unreadable
        There is no such test.

    Examples
    --------
    >>> "the test shows" in portions_section(Plan.make(count=4), "drops")
    True
    """
    of_kind(plan, Plan, "Portions of acid follow from a plan, such as Plan.make(count=4)")
    if "closed" not in plan.outlook.doses:
        return ""
    found = ph.portions_for_test(plan.outlook.recipe.solution, plan.target_ph, plan.acid_at_hand, test)
    rows = [
        (
            number,
            write(row.step, digits=3),
            write(row.added, digits=3),
            f"{row.reads_low:.1f} to {row.reads_high:.1f}",
        )
        for number, row in enumerate(found.rows, 1)
    ]
    name = plan.outlook.doses["closed"].acid.name
    heads = ("portion", "add now", "in all", "the test shows pH")
    body = (
        table(f"{name[:1].upper()}{name[1:]}, pH read by {test}", heads, rows, numbers=(0, 1, 2))
        if rows
        else ""
    )
    return f'{body}<p class="small">{html.escape(found.sentence)}</p>'


def _balance(plan: Plan) -> Quantity | None:
    return None if plan.shelf is None else plan.shelf.balance


def _weighed(plan: Plan) -> list[tuple[str, str]]:
    recipe = plan.outlook.recipe
    return [
        (name, write(mass, digits=3))
        for name, mass in recipe.masses.items()
        if mass > Q(0, "g") and name not in recipe.too_small
    ]


def _by_weight(plan: Plan, system: str) -> str:
    body = table(
        f"Weigh for {write(plan.outlook.volume, system)}", ("salt", "mass"), _weighed(plan), numbers=(1,)
    )
    return (
        body
        + _small(plan.outlook.trace_stocks)
        + _note(
            "Dissolve one after the other in most of the water, the calcium salt last and well diluted. "
            "Label the stocks and keep them locked and dark."
        )
    )


def _small(stocks: tuple[mixing.TraceStock, ...]) -> str:
    """Stock solutions of what is too light to weigh for one tank."""
    body = ""
    for stock in stocks:
        if not stock.weighable:
            names = ", ".join(stock.masses)
            why = html.escape(f"{names}. {stock.advice}")
            body += f"<p><strong>Too light for this balance:</strong> {why}</p>"
            continue
        words = (
            f"Stock of {stock.name}, made up to {write(stock.volume)}: put {write(stock.dose)} into the tank"
        )
        rows = [(name, stock.weighed(name)) for name in stock.masses]
        body += table(words, (), rows, numbers=(1,))
        body += _note(
            stock.advice
            or f"Enough for {int(stock.fillings)} fillings; keeps about {mixing.months(stock.keeps)} in the dark. "
            f"Weigh on a scale that shows {stock.balance.m_as('g'):g} g."
        )
    return body


def _by_bottles(plan: Plan, system: str) -> str:
    found = mixing.two_bottles(plan.outlook.recipe, balance=_balance(plan))
    if not found.bottles:
        return _note(found.why_not) + _by_weight(plan, system)
    body = "".join(
        table(
            f"{bottle.title}, made up to {write(bottle.volume)}",
            (),
            [(name, write(mass, digits=3)) for name, mass in bottle.masses.items()],
            numbers=(1,),
        )
        for bottle in found.bottles
    )
    body += (
        f"<p><strong>Put {write(found.dose)} of each into the tank</strong> ({write(found.for_a_litre)} for a litre). "
        f"A bottle lasts {found.lasts} and keeps about {mixing.months(found.keeps)}.</p>"
    )
    body += _small(found.traces)
    if found.apart:
        rows = [(name, write(mass, digits=3)) for name, mass in found.apart.items()]
        body += table("Straight into the tank", (), rows, numbers=(1,))
    return body + _note(
        " ".join([*found.notes, *found.checks, "Label the bottles and keep them locked and dark."])
    )


def _by_spoons(plan: Plan, system: str) -> str:
    own = plan.shelf.teaspoon if plan.shelf is not None else None
    try:
        found = mixing.spoons(
            plan.outlook.recipe, ("US" if system == "US" else "metric") if own is None else own
        )
    except Problem as problem:
        return _note(str(problem)) + _by_weight(plan, system)
    rows = [
        (name, write(each.mass, digits=3), each.about, each.range) for name, each in found.spoonfuls.items()
    ]
    heads = ("salt", "mass", "spoons", "from, to")
    body = table(f"Level teaspoons for {write(plan.outlook.volume, system)}", heads, rows, numbers=(1, 2, 3))
    traces = tuple(
        stock for stock in plan.outlook.trace_stocks if not set(stock.masses) <= set(found.spoonfuls)
    )
    size = write(own) if own is not None else "4.93 mL" if system == "US" else "5 mL"
    return (
        body
        + _note(" ".join([f"A teaspoon of {size}. Weigh if you can.", *found.notes]))
        + _small(traces)
        + _note(
            found.weigh
            if not traces
            else "No spoon is fine enough for iron and trace elements: 0.01 g matters."
        )
    )


def _note(words: str) -> str:
    return f'<p class="small">{html.escape(words)}</p>' if words else ""
