"""Labels for the bottles that a grower makes up: stock solutions and diluted acid, several on a sheet to cut."""

import html
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import overload

from stilltank.files import write_atomically
from stilltank.science import mixing, products
from stilltank.science.sky import day_of
from stilltank.season.plan import Plan
from stilltank.show.figures import day_text
from stilltank.show.given import known_system, of_kind, quoted
from stilltank.show.pages import cautions, known_paper, named_file, sheet
from stilltank.units import Problem, Q, Quantity, one_value, within, write
from stilltank.units.types import Day

from .mix import MIXES

_FIRST = "The product's own safety data sheet comes first."


@dataclass(frozen=True)
class BottleLabel:
    """What stands on a bottle.

    Parameters
    ----------
    title : str
        What it holds, in large letters.
    content : tuple of str
        What was weighed or poured into it, a line each.
    concentration : str
        How concentrated it is.
    use : tuple of str
        How much, in large letters, and under it for which tank.
    hazards : tuple of str
        Words of warning, one each, such as "can damage eyes".
    advice : tuple of str
        What to do, a sentence each.
    made : date or None
        When it was made; a line to fill in by hand when None.
    keeps : Quantity or None
        How long it keeps, days; no line where None.
    begun : str
        What the day is the day of: "Made on", or "Opened on" of a bottle as it was bought.

    Examples
    --------
    >>> BottleLabel("Rain water", (), "").title
    'Rain water'
    """

    title: str
    content: tuple[str, ...]
    concentration: str
    use: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()
    made: date | None = None
    keeps: Quantity | None = None
    begun: str = "Made on"


def stock_label(
    stock: mixing.Stock | mixing.TraceStock,
    dose: Quantity,
    tank: str,
    filling: Quantity,
    *,
    salts: Iterable[products.Salt] = (),
    made: Day | None = None,
    system: str = "metric",
) -> BottleLabel:
    """Make the label of a stock solution.

    Parameters
    ----------
    stock : Stock or TraceStock
        What is in the bottle.
    dose : Quantity
        How much of it one filling takes.
    tank : str
        Which tank that is.
    filling : Quantity
        Volume of solution in it.
    salts : iterable of Salt, optional
        Bags of your own that may be in it, with the warnings you gave them; those of the recipe are in its ``salts``.
    made : date or str, optional
        When it was made; left to be filled in by hand when left out.
    system : {"metric", "US"}
        The units of the tank; bottles are measured in mL.

    Returns
    -------
    BottleLabel
        With the hazard words of each salt in it.

    Raises
    ------
    Problem
        This is no stock solution or system, or the day is no date.
    UnitNeeded
        Dose or filling have no unit.
    OutOfRange
        The filling is not above zero.

    Examples
    --------
    >>> from stilltank.science.products import usual_salts
    >>> recipe = mixing.weigh_out("leafy", usual_salts(), Q(36, "L"))
    >>> found = mixing.two_bottles(recipe)
    >>> stock_label(found.bottles[0], found.dose, "Tub A", recipe.volume).use
    ('180 mL for one filling, 36 L', 'Tub A; 5 mL for each litre')
    """
    if not isinstance(stock, (mixing.Stock, mixing.TraceStock)):
        raise Problem(
            f"A label of a stock needs one from two_bottles or trace_stocks; you gave {quoted(stock)}."
        )
    known_system(system)
    if isinstance(stock, mixing.TraceStock):
        content = tuple(f"{stock.weighed(name)} {name}" for name in stock.masses)
        times, keeps = f"made up to {write(stock.volume)}", stock.keeps
    else:
        content = tuple(f"{write(mass, digits=3)} {name}" for name, mass in stock.masses.items())
        times = f"made up to {write(stock.volume)}; {stock.strength:g} times the tank solution"
        keeps = mixing.keeping_time()
    poured = one_value(dose, "mL", "dose", "stock_label")
    held = one_value(filling, "L", "filling", "stock_label")
    within(held, 1e-6, 1e6, "A tank of {value} does not fit. Write its volume, such as 36 L.", "L")
    each = f"{write(Q(poured / held, 'mL'), digits=2)} for each litre"
    return BottleLabel(
        stock.title,
        content,
        times,
        (f"{write(dose, digits=3)} for one filling, {write(filling, system)}", f"{tank}; {each}"),
        _hazards(stock.masses, salts),
        (cautions()["bottles"]["short"], *_stir(stock), _FIRST),
        _day(made),
        keeps,
    )


def _day(made: Day | None) -> date | None:
    return None if made is None else day_of(made).astype(object)


def _stir(stock: mixing.Stock | mixing.TraceStock) -> tuple[str, ...]:
    if isinstance(stock, mixing.TraceStock):
        return ("Into the filled tank, never into another bottle.",)
    return ("Never pour it together with the other stock undiluted: it turns cloudy.",)


def _hazards(names: Iterable[str], salts: Iterable[products.Salt]) -> tuple[str, ...]:
    """The warnings of all salts, each once; what matters of dry salt alone is left out."""
    found: dict[str, None] = {}
    own = {each.name: each for each in salts}
    for name in names:
        each = own.get(name) or products.salts().get(name)
        bag = each is None or not each.formula
        hazard = (each.hazard if each is not None else "") or (f"for {name} read the bag" if bag else "")
        found.update(dict.fromkeys(filter(None, (each.strip() for each in hazard.split(";")))))
    if "very toxic to water life" in found:
        found.pop("toxic to water life", None)
    return tuple(word for word in found if not word.startswith("keep dust"))


def acid_label(
    acid: products.Acid | products.Base | str,
    use: Iterable[str] = (),
    *,
    made: Day | None = None,
) -> BottleLabel:
    """Make the label of a bottle of acid or base, with who may handle it and in which order to dilute.

    Parameters
    ----------
    acid : Acid, Base or str
        What is in the bottle, or its name.
    use : iterable of str, optional
        How much for which tank, a line each.
    made : date or str, optional
        When it was diluted; left to be filled in by hand when left out.

    Returns
    -------
    BottleLabel
        With the caution of its concentration.

    Raises
    ------
    Unreadable
        There is no such acid or base.
    Problem
        The day is no date.

    Examples
    --------
    >>> acid_label("nitric acid 0.5 mol/L").advice[-2]
    'Learners may handle it: it is no stronger than 0.5 mol/L.'
    """
    bottle: products.Reagent
    if isinstance(acid, products.Reagent):
        bottle = acid
    else:
        bottle = products.base(acid) if products.known(products.Base, acid) else products.acid(acid)
    word = "acid" if bottle.called == "acid" else "base"
    limit = products.learners_limit(bottle)
    warning = bottle.caution.removeprefix("Caution: ").partition(". The safety")[0]
    order: tuple[str, ...] = ()
    if bottle.concentration is None:
        strength = "a solid"
    else:
        strength = f"{products.figures(bottle.concentration.m_as('mol/L'))} mol/L"
        order = (
            f"To dilute: cold water into the jug first, then the {word} slowly into it, never the reverse.",
        )
    if bottle.adult_only:
        who = (
            f"Not for learners. They may handle {limit:g} mol/L or less."
            if bottle.concentration is not None
            else "Not for learners."
        )
    elif bottle.concentration is not None:
        who = f"Learners may handle it: it is no stronger than {limit:g} mol/L."
    else:
        who = "Learners may handle it with goggles and gloves."
    return BottleLabel(
        f"{bottle.name[:1].upper()}{bottle.name[1:]}",
        (bottle.formula,),
        "" if strength in bottle.name else strength,
        tuple(use),
        (warning,),
        (*order, "In the eyes or on the skin: rinse with water for 15 minutes and get help.", who, _FIRST),
        _day(made),
        None,
        "Opened on" if bottle.strength is not None else "Made on",
    )


def labels_for(
    plan: Plan, *, mix: str = "bottles", made: Day | None = None, system: str = "metric"
) -> tuple[BottleLabel, ...]:
    """Make the labels of all bottles that a plan asks for: stock solutions and acid.

    Parameters
    ----------
    plan : Plan
        The plan of the tank.
    mix : {"salts", "bottles", "spoons"}
        How the card mixes; only "bottles" has the two stock solutions of the whole recipe.
    made : date or str, optional
        When they were made; left to be filled in by hand when left out.
    system : {"metric", "US"}
        The units of the tank.

    Returns
    -------
    tuple of BottleLabel
        One for each bottle.

    Raises
    ------
    Problem
        This is no plan or system, or the day is no date.

    Examples
    --------
    >>> [label.title for label in labels_for(Plan.make(count=4))][:2]
    ['Calcium stock', 'Sulfate and phosphate stock']
    """
    of_kind(plan, Plan, "Labels need a plan, such as Plan.make(count=4), or labels of their own")
    if not isinstance(mix, str) or mix not in MIXES:
        raise Problem(f"A plan is mixed by {', '.join(MIXES)}; you gave {quoted(mix)}. Write one of these.")
    outlook = plan.outlook
    found: list[BottleLabel] = []
    traces, salts = outlook.trace_stocks, outlook.recipe.salts
    if mix == "bottles":
        both = mixing.two_bottles(outlook.recipe, balance=None if plan.shelf is None else plan.shelf.balance)
        if both.bottles:
            traces = both.traces
        found += [
            stock_label(stock, both.dose, plan.name, outlook.volume, salts=salts, made=made, system=system)
            for stock in both.bottles
        ]
    found += [
        stock_label(stock, stock.dose, plan.name, outlook.volume, salts=salts, made=made, system=system)
        for stock in traces
        if stock.weighable
    ]
    if outlook.doses:
        now, later = (outlook.doses.get(air) for air in ("closed", "open"))
        some = next(dose for dose in (now, later) if dose is not None)
        use = []
        if now is not None:
            use.append(f"{_measured(now.volume, now.mass)} at first, for pH {plan.target_ph:g}")
        if later is not None:
            use.append(f"up to {_measured(later.volume, later.mass)} in all, as carbon dioxide leaves")
        use.append(plan.name)
        found.append(acid_label(some.acid, use, made=made))  # type: ignore[arg-type]
    return tuple(found)


def _measured(volume: Quantity | None, mass: Quantity | None) -> str:
    return write(mass if volume is None else volume, digits=3)  # type: ignore[arg-type]


@overload
def bottle_labels(
    labels: Plan | BottleLabel | Iterable[BottleLabel],
    path: None = None,
    *,
    system: str = "metric",
    paper: str = "A4",
) -> str: ...
@overload
def bottle_labels(
    labels: Plan | BottleLabel | Iterable[BottleLabel],
    path: str | Path,
    *,
    system: str = "metric",
    paper: str = "A4",
) -> Path: ...
def bottle_labels(
    labels: Plan | BottleLabel | Iterable[BottleLabel],
    path: str | Path | None = None,
    *,
    system: str = "metric",
    paper: str = "A4",
) -> str | Path:
    """Write a sheet of bottle labels to print and cut, or return its text.

    Parameters
    ----------
    labels : Plan, BottleLabel or iterable of BottleLabel
        The labels; of a plan, those of all its bottles.
    path : str or Path, optional
        The file to write, whole or not at all; the ending .html is added when there is none. Without a path, nothing
        is written.
    system : {"metric", "US"}
        The units of a plan's labels.
    paper : {"A4", "Letter"}
        The paper.

    Returns
    -------
    Path or str
        The file that was written; without a path, the sheet itself: an HTML page that needs no other file.

    Raises
    ------
    Problem
        There are no labels, no such system or paper, or the folder cannot be written.
    Unreadable
        The path names no file.

    Examples
    --------
    >>> "Calcium stock" in bottle_labels(Plan.make(count=4))
    True
    """
    known_system(system)
    known_paper(paper)
    if isinstance(labels, Plan):
        chosen: tuple[BottleLabel, ...] = labels_for(labels, system=system)
    elif isinstance(labels, BottleLabel):
        chosen = (labels,)
    elif isinstance(labels, Iterable) and not isinstance(labels, (str, bytes, Quantity)):
        chosen = tuple(labels)
    else:
        chosen = ()
    if not chosen or not all(isinstance(each, BottleLabel) for each in chosen):
        raise Problem(
            f"There are no labels in {quoted(labels)}. Give a plan, or labels from labels_for(plan)."
        )
    text = _sheet(chosen, paper)
    if path is None:
        return text
    target = named_file(path, "bottle_labels", "my-labels", ".html", ".htm")
    write_atomically(target, text)
    return target


def _sheet(labels: tuple[BottleLabel, ...], paper: str) -> str:
    body = (
        "<header><h1>Bottle labels</h1><p>Print at 100 %, cut along the dashed lines, and cover with clear tape. Write "
        "the day and your name with a pencil or a waterproof pen.</p></header>"
        f"<main>{''.join(_label(each) for each in labels)}</main>"
    )
    return sheet("Bottle labels", body, "bottle-labels", page=paper)


def _label(label: BottleLabel) -> str:
    def lines(items: Iterable[str], kind: str) -> str:
        found = "".join(f"<li>{html.escape(each)}</li>" for each in items)
        return f'<ul class="{kind}">{found}</ul>' if found else ""

    large, *small = label.use or ("",)
    use = (f'<p class="use">{html.escape(large)}</p>' if large else "") + lines(small, "tanks")
    hazards = "; ".join(each.rstrip(".") for each in label.hazards)
    warning = f'<p class="caution"><strong>Caution:</strong> {html.escape(hazards)}.</p>' if hazards else ""
    advice = f'<p class="small">{html.escape(" ".join(label.advice))}</p>' if label.advice else ""
    strength = f'<p class="strength">{html.escape(label.concentration)}</p>' if label.concentration else ""
    return (
        f"<article><h2>{html.escape(label.title)}</h2>{strength}{use}{lines(label.content, 'content')}"
        f"{_days(label)}{warning}{advice}</article>"
    )


def _days(label: BottleLabel) -> str:
    if label.made is None:
        text = f'{label.begun} <span class="blank"></span> by <span class="blank"></span>'
        if label.keeps is not None:
            text += f'<br>Keep until <span class="blank"></span> ({mixing.months(label.keeps)})'
    else:
        text = f"{label.begun} {day_text(label.made)}"
        if label.keeps is not None:
            last = label.made + timedelta(days=round(label.keeps.m_as("day")))
            text += f"<br>Keep until {day_text(last)}"
    return f'<p class="days">{text}</p>'
