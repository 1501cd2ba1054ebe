"""Water and solutions: what is dissolved in them, as ions, as elements and as charge."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    UnitNeeded,
    Unreadable,
    check_shapes,
    magnitude,
    pure_number,
    within,
)

from .composition import molar_mass
from .ions import Plain, ions, molalities, stated_concentration, water_in_a_litre

_GAS_CONSTANT = 8.314462618  # J/(mol K), exact since 2019


def osmotic_pressure(concentrations: Mapping[str, Any], temperature: Any) -> Any:
    """Osmotic pressure of a solution, every ion counted as free.

    Parameters
    ----------
    concentrations : mapping of ion to quantity, mmol/L or mg/L, arrays allowed
    temperature : quantity, array

    Returns
    -------
    quantity, kPa

    Raises
    ------
    Unreadable, UnitNeeded, OutOfRange   an unknown ion, no unit, a negative amount; outside 0 to 40 °C

    Example
    -------
    >>> round(osmotic_pressure({"K+": Q(15, "mmol/L"), "NO3-": Q(15, "mmol/L")}, Q(20, "degC")).m_as("kPa"), 1)
    73.1

    Limits: an ideal solution; ion pairs make the true value up to a tenth smaller.
    Source: van 't Hoff's law.
    """
    celsius = magnitude(temperature, "degC", "temperature", "osmotic_pressure")
    litre = water_in_a_litre(celsius)  # also refuses temperatures outside the range
    molal, _ = molalities(concentrations, temperature, "osmotic_pressure")
    whole = litre * 1000 * sum(molal.values(), 0.0)
    return Q(_GAS_CONSTANT * (celsius + 273.15) * whole / 1000, "kPa")


@dataclass(frozen=True, slots=True)
class ChargeBalance:
    """The sums of charge: in a real solution cations and anions are equal."""

    cations: Any
    """mmol of charge in a litre (mmolc/L, which is meq/L)."""
    anions: Any

    @property
    def difference(self) -> Any:
        """Cations less anions, mmol of charge in a litre."""
        return self.cations - self.anions

    @property
    def share(self) -> Any:
        """The difference as a share of the sum, percent; 0 for pure water."""
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


def _elements(amounts: Mapping[str, Plain]) -> dict[str, Any]:
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


@dataclass(frozen=True)
class Water:
    """The water a tank is filled with, as a report states it.

    Parameters
    ----------
    ions : mapping of name to quantity, mg/L or mmol/L
        Keys such as ``"Ca+2"``, ``"Ca"`` or ``"calcium"``. ``"NO3-"`` is counted as the whole ion,
        ``"NO3-N"`` as nitrogen; plain ``"nitrate"`` in mg/L is refused, since it may mean either.
    alkalinity : quantity, mg/L as CaCO3 (or mmol/L of charge), optional
        Taken from bicarbonate and carbonate when left out and those are given.
    ph : float, optional
        Needed for acid doses.
    temperature : quantity, default 15 °C
    name : str
    conductivity_measured : quantity, mS/cm, optional
        What the report states; only compared, never computed with.
    unknown : mapping of name to text
        Lines of the report that the workbook does not compute with.
    notes : sequence of str
        What a reader should know about these numbers.

    Raises
    ------
    Unreadable   an unknown ion, or a name with two readings
    UnitNeeded   a value without a unit
    OutOfRange   a negative or impossible value

    Example
    -------
    >>> tap = Water({"Ca": Q(48, "mg/L"), "Mg": Q(6, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> round(tap.ions["Ca+2"].m_as("mmol/L"), 3)
    1.198
    """

    ions: Mapping[str, Any] = field(default_factory=dict)
    alkalinity: Any = None
    ph: float | None = None
    temperature: Any = None
    name: str = ""
    conductivity_measured: Any = None
    unknown: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    amounts: Mapping[str, Plain] = field(init=False, repr=False, compare=False)
    """The ions in plain mmol/L, alkalinity counted as bicarbonate."""

    def __post_init__(self) -> None:
        plain = self._plain_ions()
        charge = self._plain_alkalinity(plain)
        if self.alkalinity is not None:  # it is measured more surely than bicarbonate, so it wins
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
                "Water: {value:g} °C is outside 0 to 40 °C.",
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
        if not isinstance(self.ions, Mapping):
            raise UnitNeeded(f'Water needs its ions as {{"Ca": Q(48, "mg/L"), ...}}; you gave {self.ions!r}.')
        for name, value in self.ions.items():
            key, mmol = stated_concentration(name, value, "Water")
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
    def pure(cls, temperature: Any = None, name: str = "pure water") -> "Water":
        """Pure water: no ions, no alkalinity, no carbon; rain water comes close."""
        return cls({}, alkalinity=Q(0, "mg/L"), temperature=temperature, name=name)

    @cached_property
    def elements(self) -> Mapping[str, Any]:
        """mg/L of each element, bicarbonate left out."""
        return MappingProxyType(_elements(self.amounts))

    @cached_property
    def charge_balance(self) -> ChargeBalance:
        """Sums of cation and anion charge; alkalinity is counted as an anion."""
        return _balance(self.amounts)

    def conductivity(self, temperature: Any = None) -> Any:
        """Conductivity computed from the ions; see ``chemistry.conductivity``. Default 25 °C."""
        from .conductivity import conductivity

        return conductivity(self.ions, Q(25, "degC") if temperature is None else temperature)

    def state(self) -> dict[str, Plain]:
        """What the equilibrium engine needs, in plain mol/kg water; the alkalinity sets the strong charge.

        So a report whose ions do not balance does no harm. With ammonium and phosphate present the strong
        charge is the alkalinity, less ammonium, plus phosphate, since both are handled as weak.

        Raises
        ------
        Problem   no alkalinity, or an alkalinity without a pH
        """
        if self.alkalinity is None:
            raise Problem(
                f"The alkalinity of {self.name or 'this water'} is not known, and acid doses hang on it. "
                'Give alkalinity=Q(130, "mg/L") as CaCO3, or bicarbonate; a drop test kit shows it.'
            )
        celsius = self.temperature.m_as("degC")
        litre = water_in_a_litre(celsius)
        charge = self.alkalinity.m_as("mg/L") / caco3_equivalent_mass() / 1000 / litre
        state = _totals(self.amounts, litre)
        from .equilibrium.states import conservative_charge, dic_from_alkalinity

        state["strong_charge"] = conservative_charge(charge, state["NH4"], state["P"])
        state["DIC"] = 0.0
        if np.any(np.asarray(charge) > 0):
            if self.ph is None:
                raise Problem(
                    f"The pH of {self.name or 'this water'} is not known; with the alkalinity it says how much "
                    "carbon dioxide the water holds. Give ph=7.6, as read from the report or a meter."
                )
            dic = dic_from_alkalinity(charge, self.ph, celsius, state)
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
class Solution:
    """Salts dissolved in water, made up to a volume.

    Usually made by ``mixing.mix``; by hand, from the ions the salts add.

    Parameters
    ----------
    volume : quantity
        Of the finished solution.
    added : mapping of ion to quantity, mg/L or mmol/L
        What the salts bring.
    masses : mapping of salt to quantity, g
        What was weighed.
    water : Water, default pure water

    Raises
    ------
    UnitNeeded, OutOfRange, Unreadable   as for Water

    Example
    -------
    >>> solution = Solution(Q(10, "L"), {"K+": Q(6, "mmol/L"), "NO3-": Q(6, "mmol/L")})
    >>> round(solution.elements["K"].m_as("mg/L"), 1)
    234.6
    """

    volume: Any
    added: Mapping[str, Any]
    masses: Mapping[str, Any] = field(default_factory=dict)
    water: Water = field(default_factory=Water.pure)
    amounts: Mapping[str, Plain] = field(init=False, repr=False, compare=False)
    """All ions, water's and salts', in plain mmol/L."""

    def __post_init__(self) -> None:
        volume = litres(self.volume, "Solution")
        if not isinstance(self.water, Water):
            raise UnitNeeded(
                f"Solution needs a Water for `water`, such as Water.pure(); you gave {self.water!r}."
            )
        added: dict[str, Plain] = {}
        total = dict(self.water.amounts)
        for name, value in self.added.items():
            key, mmol = stated_concentration(name, value, "Solution")
            check_shapes({name: np.shape(mmol), **{k: np.shape(v) for k, v in total.items()}}, "Solution")
            added[key] = added.get(key, 0.0) + mmol
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
    def ions(self) -> Mapping[str, Any]:
        """mmol/L of each ion, the water's included; its alkalinity is counted as bicarbonate."""
        return MappingProxyType({key: Q(value, "mmol/L") for key, value in self.amounts.items()})

    @cached_property
    def elements(self) -> Mapping[str, Any]:
        """mg/L of each element, the water's included."""
        return MappingProxyType(_elements(self.amounts))

    @cached_property
    def charge_balance(self) -> ChargeBalance:
        """Sums of cation and anion charge."""
        return _balance(self.amounts)

    def conductivity(self, temperature: Any = None) -> Any:
        """Conductivity computed from the ions; see ``chemistry.conductivity``. Default 25 °C, as meters report."""
        from .conductivity import conductivity

        return conductivity(self.ions, Q(25, "degC") if temperature is None else temperature)

    def plus(self, added: Mapping[str, Any]) -> "Solution":
        """The same solution with more ions in it, mg/L or mmol/L each; its volume stays."""
        both: dict[str, Any] = dict(self.added)
        for name, value in added.items():
            key, mmol = stated_concentration(name, value, "plus")
            both[key] = both.get(key, Q(0, "mmol/L")) + Q(mmol, "mmol/L")
        return Solution(self.volume, both, self.masses, self.water)

    def state(self) -> dict[str, Plain]:
        """What the equilibrium engine needs, in plain mol/kg water.

        The water counts with its alkalinity, the salts with their strong ions: KH2PO4 adds one strong
        charge (K+) and one phosphate; bicarbonate of a salt adds carbon.

        Raises Problem where the water's alkalinity or pH is missing.
        """
        state = self.water.state()
        litre = water_in_a_litre(state["temperature"])
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
    """Grams of CaCO3 that neutralise one mole of acid: 50.04 g/mol, the unit of stated alkalinity."""
    return float(molar_mass(str(tables.load("mixing")["alkalinity", "unit"].value)).m_as("g/mol")) / 2


def litres(volume: Any, function: str, door: Callable[..., Plain] = magnitude) -> Plain:
    """Plain litres of a volume; refuses zero, negative and absurd ones, and with ``single`` as the door several.

    Raises UnitNeeded, OutOfRange, Problem.
    """
    plain = door(volume, "L", "volume", function)
    within(plain, 1e-6, 1e7, f"{function}: a volume of {{value:g}} L cannot be; it must be more than zero.")
    return plain


def _short(value: Any, form: str = ".3g") -> str:
    plain = value.magnitude
    if np.ndim(plain):
        return f"{np.min(plain):{form}} to {np.max(plain):{form}}" if np.size(plain) else "none"
    if form != ".3g":
        return f"{plain:{form}}"
    return f"{plain:.3g}" if plain < 1000 else f"{plain:.0f}"
