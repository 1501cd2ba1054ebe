"""The shelf as a file: plain TOML, every figure with its unit, every fault named with its line."""

import functools
from collections.abc import Callable, Mapping
from pathlib import Path
from types import EllipsisType
from typing import Any

import tomli_w

from stilltank.documents import Document, DocumentFault, Section
from stilltank.files import whole_characters, write_atomically
from stilltank.science.products import (
    NITROGEN_NAMES,
    Acid,
    Base,
    Reagent,
    Salt,
    Shelf,
    Stocked,
    acid,
    base,
    known,
    salt,
    salts,
    substances,
)
from stilltank.units import Problem, Quantity, Unreadable, read

_HEADER = """\
# Still Tank Workbook: what stands on a shelf.
# Plain text: change a value, keep its unit, and open it again. The order of the lines does not matter.
# A label is written as the bag prints it, in percent of the mass.

"""
_KEPT = {"kg", "g", "lb", "L", "mL"}  # units in which an amount stays as it was typed
_FAMILIES: Mapping[str, tuple[type[Reagent], Callable[..., Reagent], str]] = {
    "acids": (Acid, acid, "nitric acid"),
    "bases": (Base, base, "potassium hydroxide"),
}


class ShelfFault(DocumentFault):
    """A shelf file cannot be used; the sentence names the line and what to write instead.

    Examples
    --------
    >>> isinstance(ShelfFault('my-shelf.toml, line 3: "bag" needs a mass.'), Problem)
    True
    """


class ShelfFile(Document):
    """The file as it is read; ``load`` makes a shelf of it.

    Parameters
    ----------
    path : Path or str
        The file; reading never changes it.

    Raises
    ------
    ShelfFault
        Not there, not TOML, or of a format this version cannot read.

    Examples
    --------
    >>> ShelfFile("no-such-shelf.toml")
    Traceback (most recent call last):
    stilltank.season.shelf.ShelfFault: The shelf no-such-shelf.toml is not there...
    """

    called = "shelf"
    remedy = "make the shelf again in chapter 6"
    line = 'bag = "1 kg"'
    faulty = ShelfFault
    alike = frozenset({"bag", "salt", "left"})


def load(path: str | Path) -> Shelf:
    """Read a shelf; the file is not changed.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Shelf
        What the file holds.

    Raises
    ------
    ShelfFault
        The file is missing, is no shelf, or a line cannot be used; the sentence names line and remedy.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-shelf.toml"
    >>> _ = path.write_text('format = 1\\n[fertilisers."Epsom salt"]\\nsalt = "MgSO4.7H2O"\\nbag = "2 kg"\\n')
    >>> load(path).fertilisers["Epsom salt"].bag.m_as("kg")
    2.0
    """
    document = ShelfFile(_path(path))
    document.only(
        *("format", "currency", "balance", "teaspoon", "ph_test"),
        *("fertilisers", "fertilisers.*", "fertilisers.*.label", "acids", "acids.*", "bases", "bases.*"),
    )
    head = document.section()
    plain: dict[str, Any] = {"currency": head.text("currency", "EUR") if "currency" in head else ""}
    for key, kind, example in (("balance", "mass", "1 g"), ("teaspoon", "volume", "5 mL")):
        plain[key] = head.quantity(key, kind, example) if key in head else None
        head.using([key], functools.partial(Shelf, **{key: plain[key]}))
    plain["ph_test"] = head.text("ph_test", "meter") if "ph_test" in head else "meter"
    head.using(["ph_test"], functools.partial(Shelf, ph_test=plain["ph_test"]))
    head.using(["currency"], functools.partial(Shelf, currency=plain["currency"]))
    shelf = Shelf(**plain)
    for place in ("fertilisers", *_FAMILIES):
        for name, section in document.sections(place).items():
            made = (
                _fertiliser(document, name, section)
                if place == "fertilisers"
                else _reagent(place, name, section)
            )
            section.nothing_else()
            if shelf.find(name) is not None:
                raise document.fault(
                    (place,), name, f'two things on this shelf are called "{name}". Give one another name.'
                )
            shelf = shelf.put(made)
    return shelf


def as_text(shelf: Shelf) -> str:
    """Write a shelf as its file holds it.

    Parameters
    ----------
    shelf : Shelf
        The shelf.

    Returns
    -------
    str
        TOML; two shelves with the same text are the same shelf.

    Raises
    ------
    Problem
        This is no shelf, or it holds a salt that was made in code and that the file has no words for.

    Examples
    --------
    >>> print(as_text(Shelf.make(Stocked(salt("KNO3"), Q(1, "kg"), price=8), currency="EUR")).split("\\n\\n")[-1])
    [fertilisers."potassium nitrate"]
    salt = "potassium nitrate"
    bag = "1 kg"
    price = 8.0
    <BLANKLINE>
    """
    if not isinstance(shelf, Shelf):
        raise Problem(f"This needs a shelf, such as Shelf.make(...); a {type(shelf).__name__} is not one.")
    values: dict[str, Any] = {"format": ShelfFile.newest}
    if shelf.currency:
        values["currency"] = shelf.currency
    for key in ("balance", "teaspoon"):
        if (held := getattr(shelf, key)) is not None:
            values[key] = as_typed(held)
    values["ph_test"] = shelf.ph_test
    for place in ("fertilisers", *_FAMILIES):
        if held := {name: _as_values(each) for name, each in getattr(shelf, place).items()}:
            values[place] = held
    return whole_characters(_HEADER + tomli_w.dumps(values))


def save(shelf: Shelf, path: str | Path, *, expected: bytes | EllipsisType | None = ...) -> bytes:
    """Write a shelf to a readable TOML file, whole or not at all.

    Parameters
    ----------
    shelf : Shelf
        The shelf.
    path : str or Path
        The file; an older one of that name is replaced.
    expected : bytes
        What that file must hold, as in ``files.write_atomically``; anything when left out.

    Returns
    -------
    bytes
        What the file now holds.

    Raises
    ------
    Problem
        The folder cannot be written, the file there is not the expected one, or something cannot be written down.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-shelf.toml"
    >>> _ = save(Shelf.make(salt("KNO3")), path)
    >>> list(load(path).fertilisers)
    ['potassium nitrate']
    """
    content = as_text(shelf).encode()
    write_atomically(_path(path), content, expected=expected)
    return content


def _stock(section: Section, liquid: bool) -> dict[str, Any]:
    """Bag, rest and price of one thing."""
    found: dict[str, Any] = {}
    for key, example in (("bag", "1 kg"), ("left", "400 g")):
        if key in section:
            text = section.text(key, example)
            kind = "volume" if liquid and not _reads(text, "mass") else "mass"
            found[key] = section.quantity(key, kind, "1 L" if liquid else example)
    if "price" in section:
        found["price"] = section.number("price", 12.5)
    return found


def _reads(text: str, kind: str) -> bool:
    try:
        read(text, kind)
    except Problem:
        return False
    return True


def _made(section: Section, stock: dict[str, Any], make: Callable[..., Stocked]) -> Stocked:
    """One thing with its bag, rest and price; a fault names the line of what does not fit."""
    section.using([*section], make)
    for key, value in stock.items():
        section.using([key], functools.partial(make, **{key: value}))
    return make(**stock)


def _fertiliser(document: ShelfFile, name: str, section: Section) -> Stocked:
    stock = _stock(section, liquid=False)
    if "salt" in section:
        word = section.text("salt", "magnesium sulfate heptahydrate")
        product = section.using(["salt"], lambda: salt(word))
        return _made(section, stock, lambda **more: Stocked(product, **more).named(name))
    if "label" not in document.values["fertilisers"][name]:
        raise document.fault(
            ("fertilisers",), name, f'"{name}" has neither its label nor the name of a salt. Add a section '
            f'[fertilisers."{name}".label] with lines such as K2O = "26 %", or a line salt = "KNO3".',
        )  # fmt: skip
    label = document.section("fertilisers", name, "label")
    shares = {key: label.quantity(key, "share", "12 %") for key in label}
    for key, value in shares.items():
        _no_strange_word(label, name, key, value)
    nitrogen = section.text("nitrogen", "nitrate") if "nitrogen" in section else ""
    dose = section.quantity("dose", "concentration", "1 g/L") if "dose" in section else None
    make = functools.partial(Stocked.from_label, name, shares, nitrogen=nitrogen, dose=dose)
    label.using([*shares] or ["label"], make)
    return _made(section, stock, make)


def _no_strange_word(label: Section, name: str, key: str, share: Quantity) -> None:
    """Refuse a word that no label has, on its own line; that what is left does not balance is found later."""
    if key.strip().lower() in NITROGEN_NAMES:
        return
    try:
        Salt.from_label(name, {key: share})
    except Unreadable as problem:
        raise label.fault(key, str(problem)) from problem
    except Problem:
        pass


def _reagent(place: str, name: str, section: Section) -> Stocked:
    family, find, example = _FAMILIES[place]
    word = section.text("substance", example)
    names = substances(family)
    if word.strip().lower() not in names.values() and word not in names and not known(family, word):
        raise section.fault(
            "substance", f'`substance` reads "{word}". Write one of: {", ".join(names.values())}.'
        )
    parts: dict[str, Any] = {}
    for key, kind, usual in (
        ("strength", "share", "53 %"),
        ("density", "concentration", "1.33 g/mL"),
        ("concentration", "concentration", "0.5 mol/L"),
    ):  # fmt: skip
        if key in section:
            parts[key] = section.quantity(key, kind, usual)
    if "concentration" in parts and not parts["concentration"].check("[substance]/[volume]"):
        raise section.fault(
            "concentration", '`concentration` is an amount in each litre. Write: concentration = "0.5 mol/L"'
        )
    product: Any = section.using(["substance", *parts], lambda: find(word, **parts))
    stock = _stock(section, liquid=product.concentration is not None)
    return _made(section, stock, lambda **more: Stocked(product, **more).named(name))


def _as_values(each: Stocked) -> dict[str, Any]:
    """What the section of one thing holds."""
    product, values = each.product, dict[str, Any]()
    if isinstance(product, Reagent):
        values["substance"] = product.substance
        if product.strength is None:
            values["concentration"] = f"{product.concentration.m_as('mol/L'):.10g} mol/L"  # type: ignore[union-attr]
        else:
            values["strength"] = f"{product.strength.m_as('percent'):.10g} %"
            if product.density is not None:
                values["density"] = f"{product.density.m_as('g/mL'):.10g} g/mL"
    elif not each.label:
        values["salt"] = known_salt(product)
    for key in ("bag", "left"):
        if (held := getattr(each, key)) is not None:
            values[key] = as_typed(held)
    if each.price is not None:
        values["price"] = float(each.price)
    if each.label:
        if each.nitrogen:
            values["nitrogen"] = each.nitrogen
        if isinstance(product, Salt) and product.dose is not None:
            values["dose"] = f"{product.dose.m_as('g/L'):.10g} g/L"
        values["label"] = {key: f"{value.m_as('percent'):.10g} %" for key, value in each.label.items()}
    return values


def beside(plan: str | Path) -> Path:
    """Name the file of the shelf that stands beside that of a plan.

    Parameters
    ----------
    plan : str or Path
        The file of the plan.

    Returns
    -------
    Path
        In the same folder; with the learner's code, where the plan's file has one.

    Raises
    ------
    Problem
        This names no file.

    Examples
    --------
    >>> beside("my-tank.toml").name, beside("my-tank-7B-12.toml").name
    ('my-shelf.toml', 'my-shelf-7B-12.toml')
    """
    path = _path(plan)
    code = path.stem.removeprefix("my-tank") if path.stem.startswith("my-tank") else ""
    return path.with_name(f"my-shelf{code}.toml")


def known_salt(product: Salt) -> str:
    """Find the name that the workbook has for a salt.

    Parameters
    ----------
    product : Salt
        Perhaps under a name of its own.

    Returns
    -------
    str
        For ``products.salt``.

    Raises
    ------
    Problem
        It is none of the salts of the workbook.

    Examples
    --------
    >>> known_salt(Stocked(salt("KNO3")).named("saltpetre").product)
    'potassium nitrate'
    """
    for name, each in salts().items():
        if isinstance(product, Salt) and each.release == product.release and each.formula == product.formula:
            return name
    raise Problem(
        f"A shelf file cannot hold {getattr(product, 'name', product)}, which is none of the salts of the workbook, "
        "and would lose it. Make it with Stocked.from_label(...)."
    )


def as_typed(amount: Quantity) -> str:
    """Write an amount as it was typed; in grams or mL where its unit has two readings.

    Parameters
    ----------
    amount : Quantity
        A mass or a volume.

    Returns
    -------
    str
        Such as "5 lb".

    Raises
    ------
    Problem
        It is neither.

    Examples
    --------
    >>> as_typed(Q(5, "lb")), as_typed(Q(1, "gallon"))
    ('5 lb', '3785.411784 mL')
    """
    if not isinstance(amount, Quantity) or not (amount.check("[volume]") or amount.check("[mass]")):
        raise Problem(f'This needs a mass or a volume, such as Q(1, "kg"); {amount!r} is neither.')
    unit = f"{amount.units:~}"
    if unit not in _KEPT:
        unit = "mL" if amount.check("[volume]") else "g"
    return f"{amount.m_as(unit):.10g} {unit}"


def _path(given: object) -> Path:
    if isinstance(given, (str, Path)) and "\0" not in str(given) and str(given).strip():
        return Path(given)
    raise Problem(
        f'A shelf is a file named by a text, such as "my-shelf.toml"; a {type(given).__name__} is not one.'
    )
