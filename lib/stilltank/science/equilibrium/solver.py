"""The numbers behind the equilibrium: all solutions of a batch at once, in flat arrays, mol per kg of water.

Round by round, activity coefficients and pairs are held while the charge balance is solved, for pH or for a
dose; then free Ca and Mg take one Newton step and the ionic strength is counted again. The charge balance
rises steadily with pH and is solved in the logarithm of its two sides, inside a bracket.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ...tables import number
from ...units import OutOfRange
from .constants import (
    LIGANDS,
    ZERO_CELSIUS,
    Ligand,
    debye_hueckel_slope,
    log_carbon_dioxide_solubility,
    log_k,
    proton_constants,
)

Array = NDArray[np.float64]

METALS = ("Ca", "Mg")
INERT = {"K": "K+", "Na": "Na+", "NO3": "NO3-", "Cl": "Cl-"}

_LN10 = np.log(10.0)
_CLOSE = 1e-9  # the search ends when no logarithm moves by more in a round
_ROUNDS = 200
_BRACKET = -16 * _LN10, 2 * _LN10  # of ln a(H+)
_NOTHING = 1e-100  # mol/kg; so little that its share in a pair loses its digits


def _polynomial(coefficients: Sequence[Any], x: Array) -> Array:
    total = coefficients[-1] + 0 * x
    for coefficient in coefficients[-2::-1]:
        total = total * x + coefficient
    return total


class _Acid:
    """One ligand in a batch. Every sum over its forms is a polynomial in the activity of H+."""

    def __init__(self, ligand: Ligand, total: Array, taken: float, kelvin: Array):
        self.ligand, self.total, self.taken = ligand, total, taken
        self.charges = [ligand.charge + protons for protons in range(len(ligand.forms))]
        self.seen = ligand.charge - ligand.counted  # charge of the bare form that strong_charge does not hold
        self.build = [10.0**constant for constant in proton_constants(ligand, kelvin)]
        self.pair = {
            protons: [10.0 ** log_k(species, kelvin) for species in pair]
            for protons, pair in ligand.pairs.items()
        }
        self.gas: Array | None = None  # molality of the fully protonated form, where air holds it

    def hold(self, gamma: Mapping[int, Array], free_metals: list[Array]) -> None:
        """Take free metals, and powers of the activity coefficient of a single charge, for this round."""
        bare = self.charges[0] ** 2
        self.form = [build * gamma[bare - z * z] for build, z in zip(self.build, self.charges, strict=True)]
        self.ratio = {  # pair : free form, for Ca and Mg
            protons: [
                constant * gamma[-4 * self.charges[protons]] * free
                for constant, free in zip(pair, free_metals, strict=True)
            ]
            for protons, pair in self.pair.items()
        }
        self.whole = [
            form * (1 + sum(self.ratio[protons])) if protons in self.ratio else form
            for protons, form in enumerate(self.form)
        ]

    def charge(self, h: Array, total: Array | None = None) -> tuple[Array, Array]:
        """Charge in the balance and its slope with ln h; for one mol, or for ``total``, or as the air gives."""
        zeroth, first, second, power = self.whole[0], 0 * h, 0 * h, np.ones(1)
        for protons, whole in enumerate(self.whole[1:], start=1):
            power = power * h
            term = whole * power
            zeroth, first, second = zeroth + term, first + protons * term, second + protons**2 * term
        if self.gas is not None:  # charges count up to the neutral gas, so h-powers and charges run alike
            bare, z = self.bare(h), self.charges[0]
            return bare * (z * zeroth + first), bare * (z * z * zeroth + 2 * z * first + second)
        mean = first / zeroth
        slope = second / zeroth - mean**2
        return (self.seen + mean, slope) if total is None else (total * (self.seen + mean), total * slope)

    def bare(self, h: Array, total: Array | None = None) -> Array:
        """Free bare form, mol/kg."""
        if self.gas is not None:
            return self.gas / (self.form[-1] * h ** (len(self.form) - 1))
        return (self.total if total is None else total) / _polynomial(self.whole, h)

    def squares(self, h: Array, bare: Array) -> Array:
        """Sum of molality times charge squared over forms and pairs."""
        return bare * _polynomial(
            [
                form * (z * z + ((z + 2) ** 2 * sum(self.ratio[protons]) if protons in self.ratio else 0))
                for protons, (form, z) in enumerate(zip(self.form, self.charges, strict=True))
            ],
            h,
        )

    def bound(self, h: Array, metal: int) -> Array:
        """Metal in pairs with this ligand, for each mol of its free bare form."""
        last = max(self.ratio)
        held = [
            form * self.ratio[protons][metal] if protons in self.ratio else np.zeros(1)
            for protons, form in enumerate(self.form[: last + 1])
        ]
        return _polynomial(held, h)

    def species(self, h: Array, bare: Array) -> dict[str, Array]:
        found = {}
        for protons, (name, form) in enumerate(zip(self.ligand.forms, self.form, strict=True)):
            found[name] = bare * form * h**protons
            for pair, ratio in zip(
                self.ligand.pairs.get(protons, ()), self.ratio.get(protons, ()), strict=True
            ):
                found[pair] = found[name] * ratio
        return found


@dataclass(frozen=True, slots=True)
class Found:
    """What the search returns, flat."""

    ph: Array
    ionic_strength: Array
    dose: Array
    protons: Array
    log_pco2: Array
    species: dict[str, Array]


class Batch:
    """Solutions to be solved together: flat arrays, all of one length or of length 1."""

    def __init__(
        self, values: Mapping[str, Array], size: int, log_pco2: Array | None, reagent: Mapping[str, float]
    ):
        zero = np.zeros(1)
        kelvin = values["temperature"] + ZERO_CELSIUS
        self.size = size
        self.slope = _LN10 * debye_hueckel_slope(kelvin)
        self.linear = number("equilibrium", "Davies", "linear term", "1")
        self.kw = np.exp(_LN10 * log_k("water", kelvin))
        self.log_henry = log_carbon_dioxide_solubility(kelvin)
        found = [values.get(key, zero) for key in METALS]
        self.metals = [np.where(metal < _NOTHING, 0.0, metal) for metal in found]
        self.metals_taken = [reagent.get(key, 0.0) for key in METALS]
        self.inert = {key: values.get(key, zero) for key in INERT}
        self.strong = values.get("strong_charge", zero)
        self.strong_taken = reagent.get("strong_charge", 0.0)
        self.inert_taken = {key: reagent.get(key, 0.0) for key in INERT}
        self.acids = []
        for ligand in LIGANDS:
            total, taken = values.get(ligand.total, zero), reagent.get(ligand.total, 0.0)
            from_air = log_pco2 is not None and ligand.total == "DIC"
            if np.any(total > 0) or taken or from_air:
                acid = _Acid(ligand, total, taken, kelvin)
                if from_air:
                    acid.gas = 10 ** (self.log_henry + log_pco2)
                self.acids.append(acid)

    def search(self, ph: Array | None) -> Found:
        """Solve for pH, or for the dose that gives ``ph``."""
        ln_h = np.full(self.size, -7 * _LN10) if ph is None else np.broadcast_to(-_LN10 * ph, (self.size,))
        shares = [np.ones(self.size), np.ones(self.size)]
        dose, protons = np.zeros(self.size), np.full(self.size, np.nan)
        salts = sum(self.inert.values()) + 4 * sum(self.metals) + sum(acid.total for acid in self.acids)
        strength = np.broadcast_to(0.5 * salts + 1e-7, (self.size,))
        moved = 1.0
        for _ in range(_ROUNDS):
            root = np.sqrt(strength)
            ln_gamma = -self.slope * (root / (1 + root) - self.linear * np.minimum(strength, 1.0))
            metals = [
                np.maximum(total + dose * taken, 0)
                for total, taken in zip(self.metals, self.metals_taken, strict=True)
            ]
            free = [total * share for total, share in zip(metals, shares, strict=True)]
            gamma = _powers(np.exp(ln_gamma))
            for acid in self.acids:
                acid.hold(gamma, free)
            last_h, last_dose, last_strength = ln_h, dose, strength
            if ph is None:
                ln_h = self._balanced(ln_h, gamma[1], max(_CLOSE / 10, moved / 10))
            h = np.exp(ln_h)
            if ph is not None:
                dose, protons = self._dose(h, gamma[1])
            bare = [acid.bare(h, np.maximum(acid.total + dose * acid.taken, 0)) for acid in self.acids]
            shares, pair_step = self._pairs(h, metals, shares, bare)
            strength = 0.5 * (
                (h + self.kw / h) / gamma[1]
                + sum(np.maximum(self.inert[key] + dose * self.inert_taken[key], 0) for key in INERT)
                + 4 * sum(free)
                + sum(acid.squares(h, one) for acid, one in zip(self.acids, bare, strict=True))
            )
            moved = max(
                _largest(ln_h - last_h),
                _largest((dose - last_dose) / (np.abs(dose) + 1e-6)),
                _largest(strength / last_strength - 1),
                pair_step,
            )
            if moved < _CLOSE:
                return self._found(h, gamma[1], free, strength, (dose, protons), bare)
        raise OutOfRange("No equilibrium was found for this solution. Look for a slip in its amounts.")

    def _balanced(self, ln_h: Array, gamma: Array, close: float) -> Array:
        """Where the two sides of the charge balance are equal, by Newton steps kept inside a bracket."""
        low, high = (np.full(self.size, end) for end in _BRACKET)
        plus, minus = np.maximum(self.strong, 0), np.maximum(-self.strong, 0)
        for _ in range(100):
            h = np.exp(ln_h)
            hydrogen, hydroxide = h / gamma, self.kw / (h * gamma)
            positive, negative = plus + hydrogen, minus + hydroxide
            rise, fall = hydrogen, -hydroxide
            for acid in self.acids:
                charge, slope = acid.charge(h, acid.total)
                if acid.seen < 0:
                    negative, fall = negative - charge, fall - slope
                else:
                    positive, rise = positive + charge, rise + slope
            excess = np.log(positive / negative)
            low, high = np.where(excess < 0, ln_h, low), np.where(excess < 0, high, ln_h)
            step = ln_h - excess / (rise / positive - fall / negative)
            new = np.where((step >= low) & (step <= high), step, 0.5 * (low + high))
            change = _largest(new - ln_h)
            ln_h = new
            if change < close:
                break
        return ln_h

    def _dose(self, h: Array, gamma: Array) -> tuple[Array, Array]:
        """The dose that balances the charges at a given pH, linear in it; and the H+ one unit of it gives."""
        charge = self.strong + (h - self.kw / h) / gamma
        supplied = np.full(self.size, self.strong_taken)
        for acid in self.acids:
            if acid.gas is not None:
                charge = charge + acid.charge(h)[0]
            else:
                each, _ = acid.charge(h)
                charge, supplied = charge + acid.total * each, supplied + acid.taken * each
        dose = -charge / np.where(supplied == 0, np.nan, supplied)
        if not np.all(np.isfinite(dose)):
            raise OutOfRange("No amount of this reagent brings the solution to the pH asked for.")
        return dose, -supplied

    def _pairs(
        self, h: Array, metals: list[Array], shares: list[Array], bare: list[Array]
    ) -> tuple[list[Array], float]:
        """One Newton step for the logarithms of free Ca and Mg, the ligands at their balance."""
        pairing = [(acid, one) for acid, one in zip(self.acids, bare, strict=True) if acid.pair]
        if not pairing or not any(np.any(total > 0) for total in metals):
            return shares, 0.0
        safe = [np.where(total > 0, total, 1.0) for total in metals]
        off = [share - 1 for share in shares]
        none = np.zeros(1)
        cc, cm, mc, mm = shares[0], none, none, shares[1]
        for acid, one in pairing:
            with_ca, with_mg = acid.bound(h, 0), acid.bound(h, 1)  # pairs for one bare form
            if acid.gas is None:
                whole = _polynomial(acid.whole, h)
                ca, mg = with_ca / whole, with_mg / whole
            else:  # air holds the ligand, whatever the metals take
                ca = mg = none
            in_ca, in_mg = one * with_ca / safe[0], one * with_mg / safe[1]
            off = [off[0] + in_ca, off[1] + in_mg]
            cc, cm, mc, mm = cc + in_ca * (1 - ca), cm - in_ca * mg, mc - in_mg * ca, mm + in_mg * (1 - mg)
        determinant = cc * mm - cm * mc
        steps = [(cm * off[1] - mm * off[0]) / determinant, (mc * off[0] - cc * off[1]) / determinant]
        steps = [np.clip(step, -2, 2) for step in steps]
        new = [np.minimum(share * np.exp(step), 1.0) for share, step in zip(shares, steps, strict=True)]
        return new, max(_largest(after / share - 1) for after, share in zip(new, shares, strict=True))

    def _found(
        self,
        h: Array,
        gamma: Array,
        free: list[Array],
        strength: Array,
        taken: tuple[Array, Array],
        bare: list[Array],
    ) -> Found:
        dose, protons = taken
        species = {"H+": h / gamma, "OH-": self.kw / (h * gamma), "Ca+2": free[0], "Mg+2": free[1]}
        species |= {INERT[key]: self.inert[key] + dose * self.inert_taken[key] for key in INERT}
        for acid, one in zip(self.acids, bare, strict=True):
            species |= acid.species(h, one)
        with np.errstate(divide="ignore"):
            log_pco2 = np.log10(species.get("CO2", np.zeros(1))) - self.log_henry
        return Found(-np.log10(h), strength, dose, protons, log_pco2, species)


def _powers(gamma: Array) -> dict[int, Array]:
    """gamma to every power that charges up to 3, and their pairs with double charges, need."""
    powers = {-1: 1 / gamma, 0: np.ones(1), 1: gamma}
    for power in range(2, 13):
        powers[power] = powers[power - 1] * gamma
    return powers


def _largest(change: Array) -> float:
    return float(np.max(np.abs(change), initial=0.0))
