"""A person's own shelf: bags by their labels, bottles by their strength, what is left of each and what it cost."""

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from reprlib import repr as short
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import find_ion
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    UnitNeeded,
    Unreadable,
    one_value,
    pure_number,
    within,
    write,
)

from .acids import Acid
from .bases import Base
from .salts import Salt

Product = Salt | Acid | Base
"""What can stand on a shelf."""

NITROGEN = ("nitrate", "ammonium", "urea")
"""What the nitrogen of a label can be taken for, where the label does not say."""

NITROGEN_NAMES = ("n", "nitrogen", "total nitrogen", "total n")
"""What labels call the whole of their nitrogen, in small letters."""

PH_TESTS = ("meter", "drops", "strips")
"""What a pH can be read with."""

_KEYS = MappingProxyType({"nitrate": "NO3-N", "ammonium": "NH4-N", "urea": "urea-N"})
_LONGEST = 80  # letters of a name: it stands on a card


@dataclass(frozen=True, eq=False)
class Stocked:
    """One product on a shelf: what it is, its bag or bottle, how much is left, and what it cost.

    A bag with a label of its own is made by ``Stocked.from_label``.

    Parameters
    ----------
    product : Salt, Acid or Base
        What it is, under the name that it has on this shelf.
    bag : Quantity, optional
        What a bag or bottle holds when it is new: a mass; of a liquid acid or base also a volume.
    left : Quantity, optional
        What is left of it; None where nobody has looked.
    price : float, optional
        Of a bag or bottle, in the currency of the shelf.
    label : mapping of str to Quantity, optional
        The label as it was typed, percent of the mass; empty for a salt, an acid or a base that the workbook knows.
    nitrogen : {"", "nitrate", "ammonium", "urea"}, optional
        What the nitrogen was taken for where the label does not say; empty where it does.

    Raises
    ------
    Problem
        The product is none, or its name is empty.
    UnitNeeded
        Bag or rest have no unit, or one of another kind.
    OutOfRange
        Bag, rest or price cannot be.

    Examples
    --------
    >>> from stilltank.science.products import salt
    >>> epsom = Stocked(salt("Epsom salt"), bag=Q(2, "kg"), left=Q(600, "g"), price=5)
    >>> epsom.cost(Q(20, "g"))
    0.05
    """

    product: Product
    bag: Quantity | None = None
    left: Quantity | None = None
    price: float | None = None
    label: Mapping[str, Quantity] = field(default_factory=lambda: MappingProxyType({}))
    nitrogen: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.product, (Salt, Acid, Base)):
            raise Problem(
                f"A shelf holds salts, acids and bases; {short(self.product)} is none of these. Take one from "
                "salt(...), Salt.from_label(...), acid(...) or base(...)."
            )
        _a_name(self.name)
        most = tables.number("mixing", "own shelf", "largest bag", "kg")
        for what, value, least in (("bag", self.bag, 1e-6), ("left", self.left, 0.0)):
            if value is None:
                continue
            unit = self._unit_of(value, what)
            large = {"g": "kg", "mL": "L"}[unit]
            called = {
                "bag": f"a new {self.word} holds more than nothing",
                "left": "what is left is zero or more",
            }
            within(
                one_value(value, large, what, "Stocked"), least, most,
                f"{self.name}: {called[what]} and at most {most:g} {large}; {{value:g}} {large} does not fit.",
            )  # fmt: skip
        if self.price is not None:
            price = pure_number(self.price, 12.5, "price", "Stocked")
            within(
                price, 0, 1e9, f"{self.name}: a price is zero or more; {{value:g}} does not fit."
            )  # fmt: skip
        object.__setattr__(self, "label", MappingProxyType(dict(self.label)))

    @classmethod
    def from_label(
        cls,
        name: str,
        label: Mapping[str, Quantity],
        *,
        nitrogen: str = "",
        bag: Quantity | None = None,
        left: Quantity | None = None,
        price: float | None = None,
        dose: Quantity | None = None,
    ) -> "Stocked":
        """Take a bag by the figures on its label.

        Parameters
        ----------
        name : str
            What the bag is called on this shelf.
        label : mapping of str to Quantity
            Percent of the mass, in the words of the label: ``"N"`` with ``"NO3-N"``, ``"NH4-N"``, ``"urea-N"`` as the
            small print gives them; ``"P2O5"`` or ``"P"``, ``"K2O"`` or ``"K"``, and all that ``Salt.from_label`` takes.
        nitrogen : {"", "nitrate", "ammonium", "urea"}, optional
            What to take ``"N"`` for where the label does not say. An assumption: ``product.notes`` says it.
        bag, left : Quantity, optional
            Mass of a new bag, and what is left of it.
        price : float, optional
            Of a bag.
        dose : Quantity, optional
            g/L that the label advises.

        Returns
        -------
        Stocked
            The bag.

        Raises
        ------
        Unreadable
            The label gives nitrogen without its kind, and nothing is assumed; or a name is unknown.
        UnitNeeded
            A figure has no unit.
        OutOfRange
            A figure, bag, rest or price cannot be.
        Problem
            The kinds of nitrogen do not add up to the whole, or the label cannot be true.

        Notes
        -----
        Phosphorus and potassium are counted as the label names them: 12 % P2O5 is 5.24 % P. Urea is not counted as
        nitrogen, see ``Salt.from_label``. Where a label gives the whole of its nitrogen and some of the kinds, the
        rest has to be named too.

        References
        ----------
        Mattson2018, for P2O5 and K2O.

        Examples
        --------
        >>> figures = {"N": Q(15.5, "percent"), "CaO": Q(26.5, "percent")}
        >>> bag = Stocked.from_label("bag A", figures, nitrogen="nitrate")
        >>> round(bag.product.share("Ca").m_as("percent"), 1)
        18.9
        """
        _a_name(name)
        shares, assumed = _with_kinds(name, label, nitrogen)
        try:
            made = Salt.from_label(
                name, shares, "calcium" if _holds_calcium(shares) else "sulfate and phosphate", dose=dose
            )
        except UnitNeeded:
            raise
        except Problem as problem:
            if not assumed:
                raise
            raise Problem(
                f"{name}: if all its nitrogen were {nitrogen}, the rest of the label would not fit. Look at the small "
                f"print again, or take it for {' or '.join(kind for kind in NITROGEN if kind != nitrogen)}."
            ) from problem
        if assumed:
            made = replace(made, notes=(assumed, *made.notes))
        return cls(made, bag, left, price, MappingProxyType(dict(label)), nitrogen if assumed else "")

    @property
    def name(self) -> str:
        """What it is called on this shelf.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Stocked(salt("KNO3")).name
        'potassium nitrate'
        """
        return self.product.name

    @property
    def word(self) -> str:
        """What a sentence calls it: "bag" or "bottle".

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> Stocked(acid("citric acid 5 %")).word
        'bottle'
        """
        return "bottle" if _liquid(self.product) else "bag"

    def named(self, name: str) -> "Stocked":
        """Give it the name that it has on this shelf.

        Parameters
        ----------
        name : str
            Such as "Epsom salt of the chemist".

        Returns
        -------
        Stocked
            The same product under that name.

        Raises
        ------
        Problem
            The name is empty, too long, or no text.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Stocked(salt("KNO3")).named("saltpetre").name
        'saltpetre'
        """
        _a_name(name)
        return replace(self, product=replace(self.product, name=name.strip()))

    def cost(self, amount: Quantity) -> float | None:
        """Price of an amount of it: the price of the bag times the share of the bag.

        Parameters
        ----------
        amount : Quantity
            A mass; of a liquid also a volume.

        Returns
        -------
        float or None
            In the currency of the shelf; None where bag or price are not known.

        Raises
        ------
        UnitNeeded
            The amount has no unit, or one of another kind.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Stocked(salt("KNO3"), bag=Q(1, "kg"), price=8).cost(Q(50, "g"))
        0.4
        """
        unit = self._unit_of(amount, "amount")
        if self.bag is None or self.price is None:
            return None
        held = self._in(self.bag, unit)
        return None if held is None else float(self.price * one_value(amount, unit, "amount", "cost") / held)

    def lacking(self, amount: Quantity) -> Quantity | None:
        """Say how much of an amount is not there.

        Parameters
        ----------
        amount : Quantity
            A mass; of a liquid also a volume.

        Returns
        -------
        Quantity or None
            What has to be bought, in grams or mL, 0 where the rest is enough; None where the rest is not known.

        Raises
        ------
        UnitNeeded
            The amount has no unit, or one of another kind.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Stocked(salt("KNO3"), left=Q(20, "g")).lacking(Q(50, "g")).m_as("g")
        30.0
        """
        unit = self._unit_of(amount, "amount")
        held = None if self.left is None else self._in(self.left, unit)
        if held is None:
            return None
        missing = max(one_value(amount, unit, "amount", "lacking") - held, 0.0)
        return Q(missing, unit)

    def bags(self, amount: Quantity) -> int | None:
        """Say how many bags or bottles to buy for an amount, what is left counted first.

        Parameters
        ----------
        amount : Quantity
            A mass; of a liquid also a volume.

        Returns
        -------
        int or None
            None where the size of the bag is not known. A rest that is not known counts as nothing.

        Raises
        ------
        UnitNeeded
            The amount has no unit, or one of another kind.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Stocked(salt("KNO3"), bag=Q(1, "kg"), left=Q(300, "g")).bags(Q(1500, "g"))
        2
        """
        unit = self._unit_of(amount, "amount")
        held = None if self.bag is None else self._in(self.bag, unit)
        if held is None:
            return None
        lacking = self.lacking(amount)
        missing = (amount if lacking is None else lacking).m_as(unit)
        return max(math.ceil(missing / held - 1e-9), 0)

    def _unit_of(self, amount: object, what: str) -> str:
        """The unit in which an amount of it is counted: g, or mL where it is the volume of a liquid."""
        if _liquid(self.product) and isinstance(amount, Quantity) and amount.check("[volume]"):
            return "mL"
        if isinstance(amount, Quantity) and amount.check("[volume]"):
            raise Problem(
                f"{self.name} is weighed, and {write(amount)} is a volume. Give its mass, which the bag or bottle "
                "states, such as 1 kg."
            )
        one_value(amount, "g", what, self.name)
        return "g"

    def _in(self, amount: Quantity, unit: str) -> float | None:
        """An amount in g or mL; None where the density that belongs between the two is not known."""
        mine = self._unit_of(amount, "amount")
        plain = float(amount.m_as(mine))
        if mine == unit:
            return plain
        density = getattr(self.product, "density", None)
        if density is None:
            return None
        heavy = float(density.m_as("g/mL"))
        return plain * heavy if unit == "g" else plain / heavy


@dataclass(frozen=True, eq=False)
class Shelf:
    """What a person has: fertilisers, acids and bases, and what they weigh and test with.

    Make it with ``Shelf.make``; ``put`` and ``without`` give a changed one.

    Parameters
    ----------
    fertilisers, acids, bases : mapping of str to Stocked
        By the name that each has on this shelf.
    currency : str, optional
        The word or sign for the prices.
    balance : Quantity, optional
        Smallest division of the balance, a mass; None without a balance.
    teaspoon : Quantity, optional
        What the teaspoon at hand holds when it is level, a volume; None where there is none.
    ph_test : {"meter", "drops", "strips"}, optional
        What the pH is read with.

    Raises
    ------
    Problem
        Something is not what belongs there, or two things have the same name.
    UnitNeeded
        Balance or teaspoon have no unit.
    OutOfRange
        Balance or teaspoon cannot be.

    Examples
    --------
    >>> from stilltank.science.products import salt
    >>> shelf = Shelf.make(Stocked(salt("KNO3")), balance=Q(0.1, "g"))
    >>> list(shelf.fertilisers), shelf.ph_test
    (['potassium nitrate'], 'meter')
    """

    fertilisers: Mapping[str, Stocked] = field(default_factory=lambda: MappingProxyType({}))
    acids: Mapping[str, Stocked] = field(default_factory=lambda: MappingProxyType({}))
    bases: Mapping[str, Stocked] = field(default_factory=lambda: MappingProxyType({}))
    currency: str = ""
    balance: Quantity | None = None
    teaspoon: Quantity | None = None
    ph_test: str = "meter"

    def __post_init__(self) -> None:
        for what, kind in (("fertilisers", Salt), ("acids", Acid), ("bases", Base)):
            held = getattr(self, what)
            if not isinstance(held, Mapping):
                raise Problem(f"Shelf: `{what}` is a mapping of names to Stocked; {short(held)} is none.")
            for name, each in held.items():
                if not isinstance(each, Stocked) or not isinstance(each.product, kind) or each.name != name:
                    raise Problem(
                        f"Shelf: {short(each)} cannot stand among the {what} as {short(name)}. Use Shelf.make(...)."
                    )
            object.__setattr__(self, what, MappingProxyType(dict(held)))
        if not isinstance(self.currency, str) or len(self.currency) > _LONGEST:
            raise Problem(f'A currency is a word or a sign, such as "EUR"; {short(self.currency)} is none.')
        if self.ph_test not in PH_TESTS:
            raise Problem(
                f"A pH is read with a meter, drops or strips; {short(self.ph_test)} is none of these."
            )
        for what, value, unit in (("balance", self.balance, "g"), ("teaspoon", self.teaspoon, "mL")):
            if value is not None:
                entry = tables.load("mixing")["own shelf", what]
                low, high = (float(end.m_as(unit)) for end in entry.range)
                within(
                    one_value(value, unit, what, "Shelf"), low, high,
                    {
                        "balance": f"The smallest division of a balance is {low:g} to {high:g} g; {{value:g}} g does "
                        "not fit.",
                        "teaspoon": f"A teaspoon holds {low:g} to {high:g} mL; {{value:g}} mL does not fit.",
                    }[what],
                )  # fmt: skip

    @classmethod
    def make(
        cls,
        *stocked: Stocked | Product,
        currency: str = "",
        balance: Quantity | None = None,
        teaspoon: Quantity | None = None,
        ph_test: str = "meter",
    ) -> "Shelf":
        """Make a shelf of what stands on it, in any order.

        Parameters
        ----------
        *stocked : Stocked, Salt, Acid or Base
            A product alone stands for one of which neither bag nor price is known.
        currency : str, optional
            The word or sign for the prices.
        balance : Quantity, optional
            Smallest division of the balance, a mass.
        teaspoon : Quantity, optional
            What a level teaspoon holds, a volume.
        ph_test : {"meter", "drops", "strips"}, optional
            What the pH is read with.

        Returns
        -------
        Shelf
            The shelf.

        Raises
        ------
        Problem
            Something is no product, or two things have the same name.
        UnitNeeded
            Balance or teaspoon have no unit.
        OutOfRange
            Balance or teaspoon cannot be.

        Examples
        --------
        >>> from stilltank.science.products import acid, salt
        >>> shelf = Shelf.make(salt("KNO3"), acid("citric acid"), currency="EUR")
        >>> list(shelf.acids), shelf.currency
        (['citric acid'], 'EUR')
        """
        made = cls(currency=currency, balance=balance, teaspoon=teaspoon, ph_test=ph_test)
        for each in stocked:
            one = each if isinstance(each, Stocked) else Stocked(each)
            if made.find(one.name) is not None:
                raise Problem(f'Two things on this shelf are called "{one.name}". Give one another name.')
            made = made.put(one)
        return made

    def find(self, name: object) -> Stocked | None:
        """Find something by its name on this shelf; capitals and spaces around it do not matter.

        Parameters
        ----------
        name : object
            What a person wrote.

        Returns
        -------
        Stocked or None
            None where nothing is called that.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Shelf.make(salt("KNO3")).find("Potassium nitrate").name
        'potassium nitrate'
        """
        wanted = name.strip().lower() if isinstance(name, str) else None
        return next((each for each in self if each.name.lower() == wanted), None)

    def put(self, stocked: Stocked, instead_of: str | None = None) -> "Shelf":
        """Put something on the shelf, or in the place of something.

        Parameters
        ----------
        stocked : Stocked
            What is to stand there.
        instead_of : str, optional
            The name of what it replaces; what has its own name when left out.

        Returns
        -------
        Shelf
            A new one.

        Raises
        ------
        Problem
            It is no Stocked, or its name belongs to something else.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> shelf = Shelf.make(salt("KNO3"))
        >>> list(shelf.put(Stocked(salt("KNO3")).named("saltpetre"), "potassium nitrate").fertilisers)
        ['saltpetre']
        """
        if not isinstance(stocked, Stocked):
            raise Problem(f"A shelf takes Stocked(...); {short(stocked)} is none.")
        old = self.find(stocked.name if instead_of is None else instead_of)
        other = self.find(stocked.name)
        replaced = instead_of is None and old is not None and type(old.product) is not type(stocked.product)
        if other is not None and (other is not old or replaced):
            raise Problem(f'Something on this shelf is called "{other.name}" already. Give it another name.')
        held = [stocked if each is old else each for each in self]
        return self._of(held if old is not None else [*held, stocked])

    def without(self, name: str) -> "Shelf":
        """Take something from the shelf.

        Parameters
        ----------
        name : str
            Its name.

        Returns
        -------
        Shelf
            A new one.

        Raises
        ------
        Problem
            Nothing is called that.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> list(Shelf.make(salt("KNO3")).without("potassium nitrate"))
        []
        """
        old = self.find(name)
        if old is None:
            raise Problem(
                f"Nothing on this shelf is called {short(name)}. "
                f"It has: {', '.join(each.name for each in self) or 'nothing'}."
            )
        return self._of([each for each in self if each is not old])

    def _of(self, held: Iterable[Stocked]) -> "Shelf":
        kinds: dict[type, dict[str, Stocked]] = {Salt: {}, Acid: {}, Base: {}}
        for each in held:
            kinds[type(each.product)][each.name] = each
        return replace(self, fertilisers=kinds[Salt], acids=kinds[Acid], bases=kinds[Base])

    def __iter__(self) -> Iterator[Stocked]:
        yield from (*self.fertilisers.values(), *self.acids.values(), *self.bases.values())

    @property
    def salts(self) -> tuple[Salt, ...]:
        """The fertilisers as salts, for ``weigh_out`` and its kin.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Shelf.make(salt("KNO3")).salts[0].formula
        'KNO3'
        """
        return tuple(each.product for each in self.fertilisers.values() if isinstance(each.product, Salt))

    def costs(self, amounts: Mapping[str, Quantity]) -> dict[str, float | None]:
        """Price of some amounts of what stands here.

        Parameters
        ----------
        amounts : mapping of str to Quantity
            A mass, or of a liquid a volume, by the name on this shelf.

        Returns
        -------
        dict of str to float
            In the currency of the shelf; None where bag or price are not known.

        Raises
        ------
        Problem
            A name is not on this shelf.
        UnitNeeded
            An amount has no unit.

        Examples
        --------
        >>> from stilltank.science.products import salt
        >>> Shelf.make(Stocked(salt("KNO3"), Q(1, "kg"), price=8)).costs({"potassium nitrate": Q(25, "g")})
        {'potassium nitrate': 0.2}
        """
        found = {}
        for name, amount in amounts.items():
            each = self.find(name)
            if each is None:
                raise Problem(
                    f"Nothing on this shelf is called {short(name)}. It has: {', '.join(e.name for e in self)}."
                )
            found[name] = each.cost(amount)
        return found


def _a_name(name: object) -> None:
    if not isinstance(name, str) or not name.strip() or len(name) > _LONGEST or "\n" in name:
        raise Problem(
            f'Give it a name of one line, at most {_LONGEST} letters, such as "bloom bag"; {short(name)} is none.'
        )


def _liquid(product: Product) -> bool:
    return not isinstance(product, Salt) and product.concentration is not None


def _holds_calcium(shares: Mapping[str, Quantity]) -> bool:
    return any(
        str(key).strip().lower() == "cao" or (find_ion(str(key)) or ("",))[0] == "Ca+2" for key in shares
    )


def _with_kinds(name: str, label: object, nitrogen: str) -> tuple[dict[str, Quantity], str]:
    """A label whose nitrogen has its kinds, and a sentence where one was assumed."""
    if not isinstance(label, Mapping) or not label:
        raise Unreadable(f"{name}: type what the label says, such as NO3-N 5 %, P2O5 12 %, K2O 26 %.")
    if nitrogen and nitrogen not in NITROGEN:
        raise Unreadable(
            f"Nitrogen is taken for nitrate, ammonium or urea; {short(nitrogen)} is none of these."
        )
    shares = dict(label)
    total = next((key for key in shares if str(key).strip().lower() in NITROGEN_NAMES), None)
    if total is None:
        return shares, ""
    whole = one_value(shares.pop(total), "percent", str(total), name)
    kinds = {
        key: one_value(value, "percent", str(key), name)
        for key, value in shares.items()
        if (find_ion(str(key)) or ("",))[0] in ("NO3-", "NH4+", "urea", "NO2-")
    }
    rest = whole - sum(kinds.values())
    step = tables.number("mixing", "measuring", "label step", "percent") * (1 + len(kinds)) / 2 + 1e-9
    if abs(rest) <= step:
        return shares, ""
    if rest < 0:
        raise OutOfRange(
            f"{name}: the kinds of nitrogen add up to {sum(kinds.values()):g} %, and the label has {whole:g} % in all. "
            "Read both again."
        )
    if not nitrogen:
        much = tables.number("mixing", "label", "nitrogen of a urea bag", "percent")
        guess = (
            f" A bag with more than {much:g} % is mostly urea, of which a still tank gets little."
            if whole > much
            else ""
        )
        part = "" if not kinds else f", and {rest:g} % of it has no kind"
        raise Unreadable(
            f"{name}: the label says {whole:g} % N{part}. Look at the small print for nitrate, ammonium and urea, and "
            f"type each; if it says none, choose what to take it for.{guess}"
        )
    key = _KEYS[nitrogen]
    shares[key] = Q(rest + kinds.pop(key, 0.0), "percent")
    counted = ", and not counted" if nitrogen == "urea" else ""
    return (
        shares,
        f"{name}: {rest:g} % N is taken to be {nitrogen}{counted}, because the label does not say. An assumption.",
    )
