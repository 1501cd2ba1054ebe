"""Water and solutions: what is dissolved in them, as ions, as elements and as charge."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from reprlib import repr as short
from types import MappingProxyType
from typing import Any, ClassVar, Literal, cast, overload

import numpy as np

from stilltank import tables
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    Unreadable,
    check_shapes,
    instance_of,
    magnitude,
    one_value,
    pure_number,
    speaking_of,
    takes,
    within,
)
from stilltank.units.types import Plain

from .composition import molar_mass
from .conductivity import conductivity
from .equilibrium.states import conservative_charge, dic_from_alkalinity
from .ions import Concentrations, Dissolved, ions, molalities, stated_concentrations, water_in_a_litre

_GAS_CONSTANT = 8.314462618  # J/(mol K), exact since 2019


@takes(temperature="degC", returns="kPa")
def osmotic_pressure(concentrations: Concentrations, temperature: Quantity) -> Quantity:
    r"""Osmotic pressure of a solution, every ion counted as free.

    Parameters
    ----------
    concentrations : mapping of str to Quantity, or Solution, or Water
        mmol/L or mg/L of each ion; single values or arrays.
    temperature : Quantity
        From 0 to 40 degC, one value or an array.

    Returns
    -------
    Quantity
        kPa, in the common shape of the inputs.

    Raises
    ------
    Unreadable
        An ion is unknown.
    UnitNeeded
        A concentration or the temperature has no unit.
    OutOfRange
        An amount is below zero, or the temperature is outside 0 to 40 degC.
    Problem
        The arrays do not fit each other.

    Notes
    -----
    Van 't Hoff's law of an ideal solution,

    .. math:: \Pi = R T \sum_i c_i

    Ion pairs make the true value up to a tenth smaller.

    References
    ----------
    CODATA2018 for the gas constant.

    Examples
    --------
    >>> round(osmotic_pressure({"K+": Q(15, "mmol/L"), "NO3-": Q(15, "mmol/L")}, Q(20, "degC")).m_as("kPa"), 1)
    73.1
    """
    celsius = cast("Plain", temperature)  # as the door hands it on
    molal = molalities(concentrations, celsius, "osmotic_pressure")
    whole: Any = water_in_a_litre.plain(celsius) * 1000 * sum(molal.values(), 0.0)
    return _GAS_CONSTANT * (celsius + 273.15) * whole / 1000


@dataclass(frozen=True, slots=True)
class ChargeBalance:
    """The sums of charge: in a real solution cations and anions are equal.

    Parameters
    ----------
    cations : Quantity
        mmol of charge in a litre (mmolc/L, which is meq/L).
    anions : Quantity
        mmol of charge in a litre.

    Examples
    --------
    >>> print(Water({"Ca": Q(40, "mg/L")}, alkalinity=Q(100, "mg/L")).charge_balance)
    cations 2 mmolc/L, anions 2 mmolc/L, difference -0.1 % of the sum
    """

    cations: Quantity
    anions: Quantity

    @property
    def difference(self) -> Quantity:
        """Cations less anions, mmol of charge in a litre.

        Examples
        --------
        >>> round(ChargeBalance(Q(3, "mmol/L"), Q(2, "mmol/L")).difference.m_as("mmol/L"), 1)
        1.0
        """
        return self.cations - self.anions

    @property
    def share(self) -> Quantity:
        """The difference as a share of the sum, percent; 0 for pure water.

        Examples
        --------
        >>> round(float(ChargeBalance(Q(3, "mmol/L"), Q(2, "mmol/L")).share.m_as("percent")), 1)
        20.0
        """
        whole = (self.cations + self.anions).m_as("mmol/L")
        gap = self.difference.m_as("mmol/L")
        return Q(
            100 * np.divide(gap, whole, out=np.zeros_like(np.asarray(gap, float)), where=whole > 0), "percent"
        )

    def __str__(self) -> str:
        return (
            f"cations {_short(self.cations)} mmolc/L, anions {_short(self.anions)} mmolc/L, "
            f"difference {_short(self.share, '+.1f')} % of the sum"
        )


def _balance(amounts: Mapping[str, Plain]) -> ChargeBalance:
    up: Plain = sum((a * ions()[k].charge for k, a in amounts.items() if ions()[k].charge > 0), 0.0)
    down: Plain = sum((-a * ions()[k].charge for k, a in amounts.items() if ions()[k].charge < 0), 0.0)
    return ChargeBalance(Q(up, "mmol/L"), Q(down, "mmol/L"))


_USUAL_ORDER = " N P K Ca Mg S Fe Mn Zn B Cu Mo Na Cl F "  # as recipes are written


def _elements(amounts: Mapping[str, Plain]) -> dict[str, Quantity]:
    sums: dict[str, Plain] = {}
    for key, value in amounts.items():
        if element := ions()[key].element:
            sums[element] = sums.get(element, 0.0) + value * molar_mass(element).m_as("g/mol")
    ordered = sorted(sums, key=lambda element: _USUAL_ORDER.find(f" {element} "))
    return {element: Q(sums[element], "mg/L") for element in ordered}


# The totals the equilibrium engine works with, and the ion of each.
_TOTALS = MappingProxyType(
    {
        "Ca": "Ca+2", "Mg": "Mg+2", "K": "K+", "Na": "Na+", "NH4": "NH4+", "NO3": "NO3-", "SO4": "SO4-2",
        "Cl": "Cl-", "P": "H2PO4-", "B": "B(OH)3",
    }
)  # fmt: skip


def _totals(amounts: Mapping[str, Plain], litre: Plain) -> dict[str, Plain]:
    """mol/kg water of each total, from mmol/L; ``litre`` is the mass of water in one, kg."""
    return {name: amounts.get(key, 0.0) / 1000 / litre for name, key in _TOTALS.items()}


def _strong(amounts: Mapping[str, Plain]) -> Plain:
    """mmol/L of charge of the ions that take no part in acid-base reactions."""
    return sum((a * ions()[k].charge for k, a in amounts.items() if not ions()[k].weak), 0.0)


def _limit(item: str, unit: str) -> float:
    return tables.number("mixing", "water report", item, unit)


class _Contents(Dissolved):
    """What follows from the ions of a Water or a Solution."""

    @cached_property
    def elements(self) -> Mapping[str, Quantity]:
        """mg/L of each element; bicarbonate is left out.

        Examples
        --------
        >>> round(Water({"Ca": Q(40, "mg/L")}).elements["Ca"].m_as("mg/L"), 1)
        40.0
        """
        return MappingProxyType(_elements(self.amounts))

    @cached_property
    def charge_balance(self) -> ChargeBalance:
        """Sums of cation and anion charge; alkalinity is counted as an anion.

        Examples
        --------
        >>> round(Water({"Ca": Q(1, "mmol/L")}).charge_balance.cations.m_as("mmol/L"), 1)
        2.0
        """
        return _balance(self.amounts)

    def conductivity(self, temperature: Quantity | None = None) -> Quantity:
        """Conductivity from the ions.

        Parameters
        ----------
        temperature : Quantity, optional
            Of the solution; 25 degC, as meters report, when left out.

        Returns
        -------
        Quantity
            mS/cm.

        Raises
        ------
        UnitNeeded
            The temperature has no unit.
        OutOfRange
            The temperature is outside 0 to 40 degC, or the solution is too strong.

        See Also
        --------
        stilltank.science.chemistry.conductivity : The same, with its limits.

        Examples
        --------
        >>> Water.pure().conductivity().m_as("mS/cm")
        0.0
        """
        return conductivity(self, Q(25, "degC") if temperature is None else temperature)


@dataclass(frozen=True)
class Water(_Contents):
    """The water a tank is filled with, as a report states it.

    Parameters
    ----------
    ions : mapping of str to Quantity, optional
        mg/L or mmol/L. Names such as ``"Ca+2"``, ``"Ca"`` or ``"calcium"``. ``"NO3-"`` is counted as the whole ion,
        ``"NO3-N"`` as nitrogen; plain ``"nitrate"`` in mg/L is refused, since it may mean either.
    alkalinity : Quantity, optional
        mg/L as CaCO3, or mmol/L of charge. Taken from bicarbonate and carbonate when left out and those are given.
    ph : float, optional
        Needed for acid doses.
    temperature : Quantity, optional
        From 0 to 40 degC; 15 degC when left out.
    name : str, optional
        What it is called in sentences.
    conductivity_measured : Quantity, optional
        mS/cm, as the report states it; only compared, never computed with.
    unknown : mapping of str to str, optional
        Lines of the report that the workbook does not compute with.
    notes : sequence of str, optional
        What a reader should know about these numbers.

    Raises
    ------
    Unreadable
        An ion is unknown, a name has two readings, or the pH is no plain number.
    UnitNeeded
        A value has no unit.
    OutOfRange
        A value is below zero, or impossible.

    Examples
    --------
    >>> tap = Water({"Ca": Q(48, "mg/L"), "Mg": Q(6, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> round(tap.ions["Ca+2"].m_as("mmol/L"), 3)
    1.198
    """

    called: ClassVar[str] = "Water"
    ions: Mapping[str, Quantity] = field(default_factory=dict)
    alkalinity: Quantity | None = None
    ph: Plain | None = None
    temperature: Quantity = None  # type: ignore[assignment]  # settled below
    name: str = ""
    conductivity_measured: Quantity | None = None
    unknown: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    amounts: Mapping[str, Plain] = field(init=False, repr=False, compare=False)
    """The ions in plain mmol/L, alkalinity counted as bicarbonate."""

    def __post_init__(self) -> None:
        with speaking_of(self.temperature, self.conductivity_measured):
            self._settle()

    def _settle(self) -> None:
        plain = self._plain_ions()
        charge = self._plain_alkalinity(plain)
        # A stated alkalinity is measured more surely than bicarbonate, so it wins.
        if self.alkalinity is not None and charge is not None:
            plain.pop("HCO3-", None)
            if np.any(np.asarray(charge) > 0):
                plain["HCO3-"] = np.maximum(charge - 2 * plain.get("CO3-2", 0.0), 0.0)
        if self.ph is not None:
            object.__setattr__(self, "ph", pure_number(self.ph, 7.6, "ph", "Water"))
            within(
                self.ph, _limit("pH lowest", "1"), _limit("pH highest", "1"),
                "Water: a pH of {value:g} is not that of a water to grow in. Check the report.",
            )  # fmt: skip
        celsius = _limit("temperature usual", "degC")
        if self.temperature is not None:
            celsius = magnitude(self.temperature, "degC", "temperature", "Water")
            within(
                celsius, _limit("temperature lowest", "degC"), _limit("temperature highest", "degC"),
                "Water: {value} is outside {low} to {high}.", "degC",
            )  # fmt: skip
        settled = {
            "alkalinity": None if charge is None else Q(charge * caco3_equivalent_mass(), "mg/L"),
            "temperature": Q(celsius, "degC"),
            "amounts": MappingProxyType(plain),
            "ions": MappingProxyType({key: Q(value, "mmol/L") for key, value in plain.items()}),
            "unknown": MappingProxyType(dict(self.unknown)),
            "notes": tuple(self.notes),
        }
        for name, value in settled.items():
            object.__setattr__(self, name, value)

    def _plain_ions(self) -> dict[str, Plain]:
        plain: dict[str, Plain] = {}
        for name, key, mmol in stated_concentrations(self.ions, "Water"):
            within(
                mmol * ions()[key].molar_mass, 0, _limit("concentration highest", "mg/L"),
                f"Water: {{value:g}} mg/L of {name} is more than sea water holds. Check the unit.",
            )  # fmt: skip
            if key in plain:
                raise Unreadable(f"Water: {key} is stated twice, again as {name!r}. Keep one of them.")
            plain[key] = mmol
        return plain

    def _plain_alkalinity(self, plain: Mapping[str, Plain]) -> Plain | None:
        """mmol of charge in a litre, stated or from the carbonates; None where neither is known."""
        given = self.alkalinity
        if given is None:
            carbonates = "HCO3-" in plain or "CO3-2" in plain
            return plain.get("HCO3-", 0.0) + 2 * plain.get("CO3-2", 0.0) if carbonates else None
        if isinstance(given, Quantity) and given.check("[substance]/[length]**3"):
            charge = magnitude(given, "mmol/L", "alkalinity", "Water")
        else:
            charge = magnitude(given, "mg/L", "alkalinity", "Water") / caco3_equivalent_mass()
        within(
            charge * caco3_equivalent_mass(), 0, _limit("alkalinity highest", "mg/L"),
            "Water: an alkalinity of {value:g} mg/L as CaCO3 cannot be right; hard tap water has about 300.",
        )  # fmt: skip
        return charge

    @classmethod
    def pure(cls, temperature: Quantity | None = None, name: str = "pure water") -> "Water":
        """Pure water: no ions, no alkalinity, no carbon; rain water comes close.

        Parameters
        ----------
        temperature : Quantity, optional
            From 0 to 40 degC; 15 degC when left out.
        name : str, optional
            What it is called in sentences.

        Returns
        -------
        Water
            With an alkalinity of zero.

        Raises
        ------
        UnitNeeded
            The temperature has no unit.
        OutOfRange
            The temperature is outside 0 to 40 degC.

        Examples
        --------
        >>> print(Water.pure())
        pure water: alkalinity 0 mg/L as CaCO3, 15 °C.
        """
        return cls({}, alkalinity=Q(0, "mg/L"), temperature=temperature, name=name)  # type: ignore[arg-type]

    def state(self) -> dict[str, Plain]:
        """What the equilibrium engine needs, in plain mol/kg water; the alkalinity sets the strong charge.

        So a report whose ions do not balance does no harm. With ammonium and phosphate present the strong
        charge is the alkalinity, less ammonium, plus phosphate, since both are handled as weak.

        Returns
        -------
        dict of str to float or array
            A state for ``solve``.

        Raises
        ------
        Problem
            The alkalinity is not known, or there is an alkalinity and no pH.

        Examples
        --------
        >>> Water.pure().state()["DIC"]
        0.0
        """
        if self.alkalinity is None:
            raise Problem(
                f"The alkalinity of {self.name or 'this water'} is not known, and acid doses hang on it. "
                'Give alkalinity=Q(130, "mg/L") as CaCO3, or bicarbonate; a drop test kit shows it.'
            )
        celsius = self.temperature.m_as("degC")
        litre = water_in_a_litre.plain(celsius)
        charge = self.alkalinity.m_as("mg/L") / caco3_equivalent_mass() / 1000 / litre
        state = _totals(self.amounts, litre)
        state["strong_charge"] = conservative_charge.plain(charge, state["NH4"], state["P"])
        state["DIC"] = 0.0
        if np.any(np.asarray(charge) > 0):
            if self.ph is None:
                raise Problem(
                    f"The pH of {self.name or 'this water'} is not known; with the alkalinity it says how much "
                    "carbon dioxide the water holds. Give ph=7.6, as read from the report or a meter."
                )
            dic = dic_from_alkalinity.plain(charge, self.ph, celsius, state)
            state["DIC"] = dic if np.ndim(dic) else float(dic)
        state["temperature"] = celsius
        return state

    def __str__(self) -> str:
        parts = [f"{e} {_short(v)}" for e, v in self.elements.items()]
        alkalinity = (
            "alkalinity not known"
            if self.alkalinity is None
            else (f"alkalinity {_short(self.alkalinity)} mg/L as CaCO3")
        )
        ph = "" if self.ph is None else f", pH {_short(Q(self.ph, ''))}"
        listed = f"; mg/L: {', '.join(parts)}" if parts else ""
        return f"{self.name or 'Water'}: {alkalinity}{ph}, {_short(self.temperature)} °C{listed}."


@dataclass(frozen=True)
class Solution(_Contents):
    """Salts dissolved in water, made up to a volume.

    Usually made by ``mixing.mix``; by hand, from the ions the salts add.

    Parameters
    ----------
    volume : Quantity
        Of the finished solution, one value or an array.
    added : mapping of str to Quantity
        mg/L or mmol/L of each ion that the salts bring.
    masses : mapping of str to Quantity, optional
        Grams of each salt that was weighed.
    water : Water, optional
        What it was made up with; pure water when left out.

    Raises
    ------
    Unreadable
        An ion is unknown, a name has two readings, or ``water`` is no Water.
    UnitNeeded
        A value has no unit.
    OutOfRange
        A value is below zero, or the volume is not above it.
    Problem
        The arrays do not fit each other.

    Examples
    --------
    >>> solution = Solution(Q(10, "L"), {"K+": Q(6, "mmol/L"), "NO3-": Q(6, "mmol/L")})
    >>> round(solution.elements["K"].m_as("mg/L"), 1)
    234.6
    """

    called: ClassVar[str] = "Solution"
    volume: Quantity
    added: Mapping[str, Quantity]
    masses: Mapping[str, Quantity] = field(default_factory=dict)
    water: Water = field(default_factory=Water.pure)
    amounts: Mapping[str, Plain] = field(init=False, repr=False, compare=False)
    """All ions, water's and salts', in plain mmol/L."""

    def __post_init__(self) -> None:
        volume = litres(self.volume, "Solution")
        water = instance_of(self.water, Water, "water", "Solution")
        if not isinstance(self.masses, Mapping):
            raise Unreadable(
                f'Solution needs its `masses` as {{"KNO3": Q(5, "g"), ...}}. You gave {short(self.masses)}.'
            )
        added: dict[str, Plain] = {}
        for _, key, mmol in stated_concentrations(self.added, "Solution"):
            added[key] = added.get(key, 0.0) + mmol
        total = dict(water.amounts)
        both = [("the water", water.amounts), ("what is added", added)]
        shapes = {f"{key} of {whose}": np.shape(v) for whose, each in both for key, v in each.items()}
        check_shapes(shapes, "Solution")
        for key, mmol in added.items():
            total[key] = total.get(key, 0.0) + mmol
        settled = {
            "volume": Q(volume, "L"),
            "added": MappingProxyType({key: Q(value, "mmol/L") for key, value in added.items()}),
            "amounts": MappingProxyType(total),
            "masses": MappingProxyType(dict(self.masses)),
        }
        for name, value in settled.items():
            object.__setattr__(self, name, value)

    @cached_property
    def ions(self) -> Mapping[str, Quantity]:
        """Amount of each ion, mmol/L, the water's included; its alkalinity is counted as bicarbonate.

        Examples
        --------
        >>> Solution(Q(1, "L"), {"K": Q(5, "mmol/L")}).ions["K+"].m_as("mmol/L")
        5.0
        """
        return MappingProxyType({key: Q(value, "mmol/L") for key, value in self.amounts.items()})

    def plus(self, added: Mapping[str, Quantity]) -> "Solution":
        """Add ions to the solution; its volume stays.

        Parameters
        ----------
        added : mapping of str to Quantity
            mg/L or mmol/L of each ion.

        Returns
        -------
        Solution
            The same with more in it.

        Raises
        ------
        Unreadable
            An ion is unknown.
        UnitNeeded
            A concentration has no unit.
        OutOfRange
            A concentration is below zero.

        Examples
        --------
        >>> richer = Solution(Q(10, "L"), {"K+": Q(6, "mmol/L")}).plus({"K+": Q(1, "mmol/L")})
        >>> richer.ions["K+"].m_as("mmol/L")
        7.0
        """
        both = dict(self.added)
        for _, key, mmol in stated_concentrations(added, "plus"):
            both[key] = both.get(key, Q(0, "mmol/L")) + Q(mmol, "mmol/L")
        return Solution(self.volume, both, self.masses, self.water)

    def state(self) -> dict[str, Plain]:
        """What the equilibrium engine needs, in plain mol/kg water.

        The water counts with its alkalinity, the salts with their strong ions: KH2PO4 adds one strong
        charge (K+) and one phosphate; bicarbonate of a salt adds carbon.

        Returns
        -------
        dict of str to float or array
            A state for ``solve``.

        Raises
        ------
        Problem
            The alkalinity or pH of the water is not known.

        Examples
        --------
        >>> round(Solution(Q(1, "L"), {"K+": Q(5, "mmol/L"), "NO3-": Q(5, "mmol/L")}).state()["K"], 6)
        0.005004
        """
        state = self.water.state()
        litre = water_in_a_litre.plain(state["temperature"])
        plain = {key: value.m_as("mmol/L") for key, value in self.added.items()}
        for name, value in _totals(plain, litre).items():
            state[name] = state[name] + value
        state["strong_charge"] = state["strong_charge"] + _strong(plain) / 1000 / litre
        state["DIC"] = state["DIC"] + (plain.get("HCO3-", 0.0) + plain.get("CO3-2", 0.0)) / 1000 / litre
        return state

    def __str__(self) -> str:
        parts = [f"{e} {_short(v)}" for e, v in self.elements.items()]
        try:
            strength = f", conductivity about {_short(self.conductivity(), '.2f')} mS/cm at 25 °C"
        except OutOfRange:
            strength = ", too strong to compute a conductivity"
        return f"{_short(self.volume)} L solution{strength}; mg/L: {', '.join(parts) or 'nothing dissolved'}."


def caco3_equivalent_mass() -> float:
    """Grams of CaCO3 that neutralise one mole of acid, the unit of stated alkalinity.

    Returns
    -------
    float
        Plain g/mol.

    Examples
    --------
    >>> round(caco3_equivalent_mass(), 2)
    50.04
    """
    return float(molar_mass(str(tables.load("mixing")["alkalinity", "unit"].value)).m_as("g/mol")) / 2


@overload
def litres(volume: Quantity, function: str, *, single: Literal[True]) -> float: ...
@overload
def litres(volume: Quantity, function: str, *, single: bool = False) -> Plain: ...
def litres(volume: Quantity, function: str, *, single: bool = False) -> Plain:
    """Plain litres of a volume; refuses zero, negative and absurd ones.

    Parameters
    ----------
    volume : Quantity
        One value or an array.
    function : str
        Who asks, for the sentence.
    single : bool, optional
        Whether one volume only makes sense.

    Returns
    -------
    float or array
        Plain litres, in the shape of ``volume``.

    Raises
    ------
    UnitNeeded
        It is no volume.
    OutOfRange
        It is not above zero, or larger than any tank.
    Problem
        There are several and one is wanted.

    Examples
    --------
    >>> round(litres(Q(10, "gallon"), "example"), 3)
    37.854
    """
    with speaking_of(volume):
        plain = (one_value if single else magnitude)(volume, "L", "volume", function)
        within(
            plain, 1e-6, 1e7, f"{function}: a volume of {{value}} cannot be; it must be more than zero.", "L"
        )
    settled: Plain = plain
    return settled


def _short(value: Quantity, form: str = ".3g") -> str:
    plain = value.magnitude
    if np.ndim(plain):
        return f"{np.min(plain):{form}} to {np.max(plain):{form}}" if np.size(plain) else "none"
    if form != ".3g":
        return f"{plain:{form}}"
    return f"{plain:.3g}" if plain < 1000 else f"{plain:.0f}"
