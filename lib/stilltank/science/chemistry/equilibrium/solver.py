"""The numbers behind the equilibrium: all solutions of a batch at once, in flat arrays, mol per kg of water.

Round by round, activity coefficients and pairs are held while the charge balance is solved, for pH or for a
dose; then free Ca and Mg take one Newton step and the ionic strength is counted again. The charge balance
rises steadily with pH and is solved in the logarithm of its two sides, inside a bracket.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange
from stilltank.units.types import Array

from .constants import LIGANDS, ZERO_CELSIUS, debye_hueckel_slope, log_henry_constant, log_k
from .forms import AcidSystem, polynomial

METALS = ("Ca", "Mg")
HYDROXIDES = ("CaOH+", "MgOH+")
INERT = {"K": "K+", "Na": "Na+", "NO3": "NO3-", "Cl": "Cl-"}

_LN10 = np.log(10.0)
_CLOSE = 1e-9  # the search ends when no logarithm moves by more in a round
_ROUNDS = 200
_BRACKET = -16 * _LN10, 2 * _LN10  # of ln a(H+)
_NOTHING = 1e-100  # mol/kg; so little that its share in a pair loses its digits


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
        self.slope = _LN10 * debye_hueckel_slope.plain(kelvin)
        self.linear = number("equilibrium", "Davies", "linear term", "1")
        self.kw = np.exp(_LN10 * log_k.plain("water", kelvin))
        self.log_henry = log_henry_constant.plain(kelvin)
        found = [values.get(key, zero) for key in METALS]
        self.metals = [np.where(metal < _NOTHING, 0.0, metal) for metal in found]
        self.metals_taken = [reagent.get(key, 0.0) for key in METALS]
        self.hydrolysis = [np.exp(_LN10 * log_k.plain(pair, kelvin)) for pair in HYDROXIDES]
        self.inert = {key: values.get(key, zero) for key in INERT}
        self.strong = values.get("strong_charge", zero)
        self.strong_taken = reagent.get("strong_charge", 0.0)
        self.inert_taken = {key: reagent.get(key, 0.0) for key in INERT}
        self.acids = []
        for ligand in LIGANDS:
            total, taken = values.get(ligand.total, zero), reagent.get(ligand.total, 0.0)
            from_air = log_pco2 is not None and ligand.total == "DIC"
            if np.any(total > 0) or taken or from_air:
                acid = AcidSystem(ligand, total, taken, kelvin)
                if from_air:
                    acid.gas = 10 ** (self.log_henry + log_pco2)
                self.acids.append(acid)

    def search(self, ph: Array | None) -> Found:
        """Solve for pH, or for the dose that gives ``ph``."""
        ln_h = np.full(self.size, -7 * _LN10) if ph is None else np.broadcast_to(-_LN10 * ph, (self.size,))
        shares = [np.ones(self.size), np.ones(self.size)]
        rests = [np.ones(1), np.ones(1)]  # a metal and its pairs with acids, over the free metal
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
            hydrolysis = [
                constant * gamma[3] for constant in self.hydrolysis
            ]  # hydroxide pair : free metal, times h
            held = list(zip(metals, rests, hydrolysis, strict=True))
            last_h, last_dose, last_strength = ln_h, dose, strength
            if ph is None:
                ln_h = self._balanced(ln_h, gamma[1], held, max(_CLOSE / 10, moved / 10))
            h = np.exp(ln_h)
            if ph is not None:
                dose, protons = self._dose(h, gamma[1], held)
            bare = [acid.bare(h, np.maximum(acid.total + dose * acid.taken, 0)) for acid in self.acids]
            basic = [constant / h for constant in hydrolysis]
            shares, pair_step = self._pairs(h, metals, shares, bare, basic)
            rests = [np.maximum(1 / share - each, 1.0) for share, each in zip(shares, basic, strict=True)]
            strength = 0.5 * (
                (h + self.kw / h) / gamma[1]
                + sum(np.maximum(self.inert[key] + dose * self.inert_taken[key], 0) for key in INERT)
                + sum(one * (4 + each) for one, each in zip(free, basic, strict=True))
                + sum(acid.squares(h, one) for acid, one in zip(self.acids, bare, strict=True))
            )
            moved = max(
                _largest(ln_h - last_h),
                _largest((dose - last_dose) / (np.abs(dose) + 1e-6)),
                _largest(strength / last_strength - 1),
                pair_step,
            )
            if moved < _CLOSE:
                return self._found(h, gamma[1], free, strength, (dose, protons), bare, basic)
        raise OutOfRange("No equilibrium was found for this solution. Look for a slip in its amounts.")

    def _balanced(
        self, ln_h: Array, gamma: Array, held: list[tuple[Array, Array, Array]], close: float
    ) -> Array:
        """Where the two sides of the charge balance are equal, by Newton steps kept inside a bracket."""
        low, high = (np.full(self.size, end) for end in _BRACKET)
        plus, minus = np.maximum(self.strong, 0), np.maximum(-self.strong, 0)
        for _ in range(100):
            h = np.exp(ln_h)
            hydrogen, hydroxide = h / gamma, self.kw / (h * gamma)
            positive, negative = plus + hydrogen, minus + hydroxide
            rise, fall = hydrogen, -hydroxide
            for metal, rest, constant in held:
                paired = metal * constant / (rest * h + constant)
                negative, fall = negative + paired, fall - paired * rest * h / (rest * h + constant)
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

    def _dose(self, h: Array, gamma: Array, held: list[tuple[Array, Array, Array]]) -> tuple[Array, Array]:
        """The dose that balances the charges at a given pH, linear in it; and the H+ one unit of it gives."""
        charge = self.strong + (h - self.kw / h) / gamma
        charge = charge - sum(metal * constant / (rest * h + constant) for metal, rest, constant in held)
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
        self,
        h: Array,
        metals: list[Array],
        shares: list[Array],
        bare: list[Array],
        basic: list[Array],
    ) -> tuple[list[Array], float]:
        """One Newton step for the logarithms of free Ca and Mg, the ligands at their balance."""
        pairing = [(acid, one) for acid, one in zip(self.acids, bare, strict=True) if acid.pair]
        if not any(np.any(total > 0) for total in metals):
            return shares, 0.0
        safe = [np.where(total > 0, total, 1.0) for total in metals]
        alone = [share * (1 + each) for share, each in zip(shares, basic, strict=True)]  # free, or with OH-
        off = [one - 1 for one in alone]
        none = np.zeros(1)
        cc, cm, mc, mm = alone[0], none, none, alone[1]
        for acid, one in pairing:
            with_ca, with_mg = acid.bound(h, 0), acid.bound(h, 1)  # pairs for one bare form
            if acid.gas is None:
                whole = polynomial(acid.whole, h)
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
        basic: list[Array],
    ) -> Found:
        dose, protons = taken
        species = {"H+": h / gamma, "OH-": self.kw / (h * gamma), "Ca+2": free[0], "Mg+2": free[1]}
        species |= {INERT[key]: self.inert[key] + dose * self.inert_taken[key] for key in INERT}
        species |= {pair: one * each for pair, one, each in zip(HYDROXIDES, free, basic, strict=True)}
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
