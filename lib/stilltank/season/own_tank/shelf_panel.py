"""The panel of what stands on the shelf: bags by their labels, bottles by their strength, and what the tank takes."""

import html
import re
from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from stilltank.files import FileChanged
from stilltank.science.products import (
    PH_TESTS,
    Acid,
    Base,
    Reagent,
    Salt,
    Shelf,
    Stocked,
    acid,
    base,
    read_label,
    salt,
    substances,
    usual_salts,
)
from stilltank.season import pictures
from stilltank.season import shelf as files
from stilltank.season.plan import Plan
from stilltank.show.figures import ALONE
from stilltank.show.pages import folded, table
from stilltank.show.panels import Status, button, choice, in_a_row, lines_box, text_box
from stilltank.units import Problem, Quantity, Unreadable, read, write

from .draft import Draft, a_draft

_NEW = ""  # the choice of something that is not on the shelf yet
_KINDS = (
    ("ask me", ""),
    ("all nitrate", "nitrate"),
    ("all ammonium", "ammonium"),
    ("all urea", "urea"),
)
_HEADS = ("on the shelf", "what it is", "when new", "left", "price")
# On a narrow page a box stands under its label.
_LOOK = """<style>
.stilltank-shelf .widget-inline-hbox { flex-wrap: wrap; height: auto; min-width: 0 !important; }
.stilltank-shelf .widget-inline-hbox > :is(input, select, textarea) { min-width: 12em; }
.stilltank-shelf .widget-inline-hbox > select { height: var(--jp-widgets-inline-height); }
</style>"""


class ShelfPanel(widgets.VBox):
    """Say what stands on the shelf, and see what is weighed of it, what it costs and what it lacks.

    The shelf is kept in a file of its own beside the plan, as soon as something is put on it; the plan follows.

    Parameters
    ----------
    draft : Draft
        The plan that weighs by this shelf, shared with other panels.

    Attributes
    ----------
    draft : Draft
        The plan.
    shelf : Shelf
        What stands there now.
    shown : HTML
        The table of it.
    follows : HTML
        What is weighed and poured, what it costs, and what is lacking.
    status : Status
        What was done last, or what does not fit.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> panel = ShelfPanel(Draft("no-such-plan.toml", count=4))
    >>> "Nothing stands on your shelf yet" in panel.shown.value
    True
    """

    def __init__(self, draft: Draft):
        self.draft = a_draft(draft)
        self.shown, self.status, self.follows = widgets.HTML(), Status(), widgets.HTML()
        self.follows.add_class("stilltank-more")
        self._open()
        self._make_fertiliser()
        self._make_reagent()
        self._make_tools()
        self.parts = widgets.Accordion(
            [
                widgets.VBox([*self.bag.values(), in_a_row(self.put_bag, self.take_bag)]),
                widgets.VBox([*self.bottle.values(), in_a_row(self.put_bottle, self.take_bottle)]),
                widgets.VBox([*self.tools.values(), in_a_row(self.keep_tools)]),
            ],
            titles=("A fertiliser", "An acid or a base", "Balance, spoon, pH test, money"),
        )
        self.weigh_by = choice(
            "Weigh for the tank", [("the workbook's own salts", False), ("what stands on this shelf", True)],
            self.draft.plan.shelf is not None,
        )  # fmt: skip
        self.weigh_by.observe(lambda _: self._turned(), "value")
        heading = widgets.HTML(f'{_LOOK}<p style="font-weight:bold;margin:0">What stands on your shelf</p>')
        super().__init__([heading, self.shown, self.parts, self.status, self.weigh_by, self.follows])
        self.add_class("stilltank-shelf")
        draft.watch(self.refresh, "shelf")
        self.refresh()

    # Beginning

    def _open(self) -> None:
        """Take up the shelf of the plan, or of the file beside it."""
        self._path = files.beside(self.draft.path)
        self._seen: bytes | None = self._path.read_bytes() if self._path.is_file() else None
        self._trouble = ""
        self.shelf = self.draft.plan.shelf or Shelf()
        if self._seen is not None:
            try:
                self.shelf = files.load(self._path)
            except Problem as problem:
                self._trouble = (
                    f"{problem} The file stays as it is. Mend this line, then run this chapter again."
                )
                self.status.complain(Problem(self._trouble))

    def _make_fertiliser(self) -> None:
        known = [("a bag, by its label", _NEW), *((name, name) for name in usual_salts())]
        self.bag: dict[str, Any] = {
            "which": choice("Add or change", [("a new one", _NEW)], _NEW),
            "name": text_box("Your name for it", "", "bloom bag"),
            "salt": choice("It is", known, _NEW),
            "label": lines_box("What the label says", "", "NO3-N 5 %, P2O5 12 %, K2O 26 %, Mg 6 %, Fe 0.3 %"),
            "nitrogen": choice("N without its kind is", _KINDS, ""),
            **_stock_boxes("1 kg", "400 g"),
        }
        self.bag["label"].rows = 4
        self.bag["which"].observe(lambda _: self._fill_bag(), "value")
        self.bag["salt"].observe(lambda _: self._show_label(), "value")
        self.put_bag = button("Put it on the shelf", self._put_bag)
        self.take_bag = button("Take it off the shelf", lambda: self._take(self.bag))

    def _make_reagent(self) -> None:
        known = [(name, name) for family in (Acid, Base) for name in substances(family).values()]
        self.bottle: dict[str, Any] = {
            "which": choice("Add or change", [("a new one", _NEW)], _NEW),
            "name": text_box("Your name for it", "", "acid in the shed"),
            "substance": choice("It is", known, known[0][1]),
            "strength": text_box("Strength", "", "53 %, or 0.5 mol/L; of a powder nothing"),
            "density": text_box("Density, if the label has it", "", "1.33 g/mL"),
            **_stock_boxes("1 L", "600 mL"),
        }
        self.bottle["which"].observe(lambda _: self._fill_bottle(), "value")
        self.put_bottle = button("Put it on the shelf", self._put_bottle)
        self.take_bottle = button("Take it off the shelf", lambda: self._take(self.bottle))

    def _make_tools(self) -> None:
        tests = [(words, words) for words in PH_TESTS]
        self.tools: dict[str, Any] = {
            "balance": text_box("Smallest step of the balance", "", "1 g; nothing without a balance"),
            "teaspoon": text_box("A level teaspoon holds", "", "5 mL"),
            "ph_test": choice("The pH is read with", tests, "meter"),
            "currency": text_box("Prices are in", "", "EUR"),
        }
        self.keep_tools = button("Keep these", self._keep_tools)
        self._fill_tools()

    # Showing

    def refresh(self) -> None:
        """Show the shelf, and what follows from it for the plan as it now is."""
        with ALONE:
            if files.beside(self.draft.path) != self._path:  # of somebody else
                self.status.value = ""
                self._open()
                self._fill_tools()
            for boxes, kinds in ((self.bag, (Salt,)), (self.bottle, (Acid, Base))):
                names = [each.name for each in self.shelf if isinstance(each.product, kinds)]
                options = [("a new one", _NEW), *((name, name) for name in names)]
                if [*boxes["which"].options] != options:
                    before = boxes["which"].value
                    boxes["which"].options = options
                    boxes["which"].value = before if before in names else _NEW
            self._catch_up()
            self._following = True
            self.weigh_by.value = self.draft.plan.shelf is not None
            self._following = False
            self.shown.value = _on_shelf(self.shelf, self.draft.system)
            try:
                self.follows.value = _for_the_tank(self.draft.plan, self.draft.system)
            except Problem as problem:
                self.status.complain(problem)

    def _catch_up(self) -> None:
        """Keep the shelf that something else gave the plan; a plan that went back to its start gets it as it is now."""
        of_plan = self.draft.plan.shelf
        if of_plan is None or of_plan is self.shelf or self._trouble:
            return
        if self.draft.plan.shelf_file is None:
            try:
                self._keep(of_plan)
            except Problem as problem:
                self.status.complain(problem)
        elif files.as_text(of_plan) == files.as_text(self.shelf):
            self.shelf = of_plan
        else:
            self.draft.change(shelf=self._path)

    def _fill_bag(self) -> None:
        held = self.shelf.fertilisers.get(self.bag["which"].value)
        _fill_stock(self.bag, held)
        product = None if held is None else held.product
        own = held is not None and not held.label and isinstance(product, Salt)
        self.bag["salt"].value = files.known_salt(product) if own and isinstance(product, Salt) else _NEW
        lines = (
            []
            if held is None
            else [f"{key} {share.m_as('percent'):.10g} %" for key, share in held.label.items()]
        )
        self.bag["label"].value = "\n".join(lines)
        self.bag["nitrogen"].value = "" if held is None else held.nitrogen

    def _show_label(self) -> None:
        """A pure salt needs no label."""
        for name in ("label", "nitrogen"):
            self.bag[name].layout.display = "none" if self.bag["salt"].value else ""

    def _fill_bottle(self) -> None:
        name = self.bottle["which"].value
        held = self.shelf.acids.get(name) or self.shelf.bases.get(name)
        _fill_stock(self.bottle, held)
        product: Any = None if held is None else held.product
        for box in ("strength", "density"):
            self.bottle[box].value = ""
        if isinstance(product, Reagent):
            self.bottle["substance"].value = product.substance
            if product.strength is not None:
                self.bottle["strength"].value = f"{product.strength.m_as('percent'):.10g} %"
            elif product.concentration is not None:
                self.bottle["strength"].value = f"{product.concentration.m_as('mol/L'):.10g} mol/L"
            if product.density is not None:
                self.bottle["density"].value = f"{product.density.m_as('g/mL'):.10g} g/mL"

    def _fill_tools(self) -> None:
        for name in ("balance", "teaspoon"):
            held = getattr(self.shelf, name)
            self.tools[name].value = "" if held is None else _typed(held)
        self.tools["ph_test"].value, self.tools["currency"].value = self.shelf.ph_test, self.shelf.currency

    # Changing

    def _put_bag(self) -> None:
        def act() -> str:
            boxes, stock = self.bag, _stock_of(self.bag, "mass")
            if boxes["salt"].value:
                made = Stocked(salt(boxes["salt"].value), **stock)
                made = made.named(boxes["name"].value) if boxes["name"].value.strip() else made
            else:
                name = _needed(boxes["name"], "such as bloom bag").strip()
                label = read_label(boxes["label"].value)
                made = Stocked.from_label(name, label, nitrogen=boxes["nitrogen"].value, **stock)
            return self._put(made, boxes)

        self._attempt(act)

    def _put_bottle(self) -> None:
        def act() -> str:
            boxes = self.bottle
            product: Any = _reagent_of(boxes)
            liquid = product.concentration is not None
            made = Stocked(product, **_stock_of(boxes, "volume" if liquid else "mass"))
            made = made.named(boxes["name"].value) if boxes["name"].value.strip() else made
            doubt = f" {product.doubt}" if product.doubt else ""
            return f"{self._put(made, boxes)}{doubt} {product.caution}"

        self._attempt(act)

    def _put(self, made: Stocked, boxes: dict[str, Any]) -> str:
        before = boxes["which"].value
        self._keep(self.shelf.put(made, before) if before else self._with_new(made))
        boxes["which"].value = _NEW
        (self._fill_bag if boxes is self.bag else self._fill_bottle)()
        return f"{made.name} stands on the shelf. Saved {self._path.name}."

    def _with_new(self, made: Stocked) -> Shelf:
        if self.shelf.find(made.name) is not None:
            raise Problem(
                f'"{made.name}" stands on the shelf already. Choose it under "Add or change", or type another name.'
            )
        return self.shelf.put(made)

    def _take(self, boxes: dict[str, Any]) -> None:
        def act() -> str:
            name = boxes["which"].value
            if not name:
                raise Problem('Choose under "Add or change" what you take off the shelf.')
            self._keep(self.shelf.without(name))
            (self._fill_bag if boxes is self.bag else self._fill_bottle)()
            return f"{name} is off the shelf. Saved {self._path.name}."

        self._attempt(act)

    def _keep_tools(self) -> None:
        def act() -> str:
            from dataclasses import replace

            balance, teaspoon = (self.tools[name].value.strip() for name in ("balance", "teaspoon"))
            self._keep(
                replace(
                    self.shelf,
                    balance=read(balance, "mass") if balance else None,
                    teaspoon=read(teaspoon, "volume") if teaspoon else None,
                    ph_test=self.tools["ph_test"].value,
                    currency=self.tools["currency"].value.strip(),
                )
            )
            return f"Kept. Saved {self._path.name}."

        self._attempt(act)

    def _keep(self, shelf: Shelf) -> None:
        """Write the shelf to its file and have the plan follow; where one of them cannot, neither changes."""
        if self._trouble:
            raise Problem(self._trouble)
        self.draft.plan.change(
            shelf=shelf
        ).settle()  # a plan that refuses it does so before anything is written
        try:
            self._seen = files.save(shelf, self._path, expected=self._seen)
        except FileChanged as changed:
            raise Problem(f"{changed} Run this chapter again to go on from the changed file.") from changed
        self.shelf = shelf
        self.draft.change(shelf=self._path)

    def _turned(self) -> None:
        if self._following:
            return

        def act() -> str:
            if not self.weigh_by.value:
                self.draft.change(shelf=None)
                return "The plan weighs the workbook's own salts. Your shelf stays in its file."
            self._keep(self.shelf)
            return "The plan weighs what stands on your shelf."

        self._attempt(act)
        self.refresh()

    _following = False

    def _attempt(self, act: Callable[[], str]) -> None:
        with ALONE:
            try:
                self.status.say(act())
            except Problem as problem:
                self.status.complain(problem)


def shelf_panel(draft: Draft) -> ShelfPanel:
    """Show what stands on the shelf, with what puts bags and bottles on it, and what the tank takes of them.

    Parameters
    ----------
    draft : Draft
        The plan that weighs by this shelf, shared with other panels.

    Returns
    -------
    ShelfPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> shelf_panel(Draft("no-such-plan.toml", count=4)).put_bag.description
    'Put it on the shelf'
    """
    return ShelfPanel(draft)


def _on_shelf(shelf: Shelf, system: str) -> str:
    rows = [
        (
            each.name,
            _what(each),
            *("" if held is None else write(held, system, digits=3) for held in (each.bag, each.left)),
            "" if each.price is None else _money(each.price, shelf.currency),
        )
        for each in shelf
    ]
    if not rows:
        return (
            "<p>Nothing stands on your shelf yet. Open a part below and type what a bag or bottle says.</p>"
        )
    return table("Your shelf", _HEADS, rows, numbers=(2, 3, 4))


def _what(each: Stocked) -> str:
    product = each.product
    if isinstance(product, Reagent):
        if product.strength is not None:
            return f"{product.substance} {product.strength.m_as('percent'):.4g} %"
        return f"{product.substance} {product.concentration.m_as('mol/L'):.4g} mol/L"  # type: ignore[union-attr]
    if not each.label:
        return files.known_salt(product)
    return ", ".join(f"{key} {share.m_as('percent'):.4g}" for key, share in list(each.label.items())[:6])


def _for_the_tank(plan: Plan, system: str) -> str:
    """What is weighed and poured, what it costs, and what is lacking."""
    outlook = plan.outlook
    if plan.shelf is None:
        return ""
    costs, currency = outlook.costs, plan.shelf.currency
    rows = [
        (name, write(mass, digits=3), _price(costs.get(name), currency))
        for name, mass in outlook.recipe.masses.items()
        if mass.m_as("g") > 0
    ]
    dose = outlook.doses.get("closed")
    if dose is not None:
        rows.append(
            (dose.acid.name, pictures.acid_measure(dose), _price(costs.get(dose.acid.name), currency))
        )
    priced = [cost for cost in costs.values() if cost is not None]
    whole = f"; {_money(sum(priced), currency)} in all" if priced else ""
    without = [name for name, cost in costs.items() if cost is None]
    whole += f", without {', '.join(without)}" if priced and without else ""
    said = table(
        f"For {write(outlook.volume, system)} of solution{whole}", ("weigh or pour", "how much", "price"), rows,
        numbers=(1, 2),
    )  # fmt: skip
    lacks = [] if outlook.by_shelf is None else [*outlook.by_shelf.missing, *outlook.by_shelf.rounding]
    others = [line for line in outlook.shelf_words if line not in lacks]
    if outlook.by_shelf is None:
        said += "<p>No fertiliser stands on the shelf yet, so these are the workbook's own salts.</p>"
    for line in (*lacks, *[line for line in others if " left, and this takes " in line]):
        said += f"<p><strong>{html.escape(line)}</strong></p>"
    said += f"<p>{html.escape(' '.join(outlook.salt_words))}</p>"
    notes = [line for line in others if " left, and this takes " not in line]
    return said + (folded("What was taken for granted of these labels", notes) if notes else "")


def _price(cost: float | None, currency: str) -> str:
    return "" if cost is None else _money(cost, currency)


def _money(amount: float, currency: str) -> str:
    return f"{amount:.2f} {currency}".strip()


def _stock_boxes(new: str, left: str) -> dict[str, widgets.Text]:
    return {
        "bag": text_box("When new it holds", "", new),
        "left": text_box("What is left", "", left),
        "price": text_box("Price when new", "", "12.50"),
    }


def _fill_stock(boxes: dict[str, Any], held: Stocked | None) -> None:
    boxes["name"].value = "" if held is None else held.name
    for name in ("bag", "left"):
        amount = None if held is None else getattr(held, name)
        boxes[name].value = "" if amount is None else _typed(amount)
    boxes["price"].value = "" if held is None or held.price is None else f"{held.price:g}"


def _stock_of(boxes: dict[str, Any], kind: str) -> dict[str, Any]:
    """Bag, rest and price as they were typed."""
    found: dict[str, Any] = {}
    for name in ("bag", "left"):
        text = boxes[name].value.strip()
        if text:
            found[name] = _amount(text, kind, boxes[name].description)
    text = boxes["price"].value.strip()
    if text:
        number = re.fullmatch(r"\D{0,4}?\s*(\d+(?:[.,]\d+)?)\s*\D{0,12}", text)
        if number is None:
            raise Unreadable(f'"{boxes["price"].description}" reads "{text}". Type a number, such as 12.50.')
        found["price"] = float(number[1].replace(",", "."))
    return found


def _amount(text: str, kind: str, label: str) -> Quantity:
    """A mass; of a liquid a volume or a mass."""
    kinds = ("volume", "mass") if kind == "volume" else ("mass",)
    for each in kinds:
        try:
            return read(text, each)
        except Problem as problem:
            refused = problem
    raise Unreadable(f'"{label}": {refused}')


def _reagent_of(boxes: dict[str, Any]) -> Reagent:
    """The acid or base as it was typed: by percent, by mol/L, or as a powder."""
    word, strength, density = (
        str(boxes[name].value).strip() for name in ("substance", "strength", "density")
    )
    find: Callable[..., Reagent] = acid if word in substances(Acid).values() else base
    parts: dict[str, Any] = {}
    if re.search(r"mol|\bM\b", strength):
        parts["concentration"] = read(strength, "concentration")
    elif strength:
        parts["strength"] = read(strength if "%" in strength else f"{strength} %", "share")
    if density:
        plain = density if re.search(r"[a-zA-Z]", density) else f"{density} g/mL"
        parts["density"] = read(plain, "concentration")
    if not strength and word not in ("citric acid", "citric acid monohydrate") and find is acid:
        raise Unreadable(
            f'"Strength" is empty. Type what the bottle of {word} says, such as 53 % or 0.5 mol/L.'
        )
    if not strength and word == "potassium hydroxide":
        raise Unreadable(
            '"Strength" is empty. Type 85 % for pellets, or what the bottle says, such as 0.1 mol/L.'
        )
    return find(word, **parts)


def _needed(box: widgets.Text, example: str) -> str:
    if not box.value.strip():
        raise Unreadable(f'"{box.description}" is empty. Type one, {example}.')
    return str(box.value)


def _typed(amount: Quantity) -> str:
    """An amount as somebody would type it."""
    return files.as_typed(amount)
