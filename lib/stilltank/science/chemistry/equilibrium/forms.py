"""One acid in a batch of solutions: what its forms and pairs hold, as polynomials in the activity of H+."""

from collections.abc import Mapping, Sequence

import numpy as np

from stilltank.units.types import Array

from .constants import Ligand, log_k, proton_constants


def polynomial(coefficients: Sequence[Array], x: Array) -> Array:
    """Sum of coefficients times powers of x, from the power 0 up."""
    total = coefficients[-1] + 0 * x
    for coefficient in coefficients[-2::-1]:
        total = total * x + coefficient
    return total


class AcidSystem:
    """One ligand in a batch. Every sum over its forms is a polynomial in the activity of H+."""

    def __init__(self, ligand: Ligand, total: Array, taken: float, kelvin: Array):
        self.ligand, self.total, self.taken = ligand, total, taken
        self.charges = [ligand.charge + protons for protons in range(len(ligand.forms))]
        self.seen = ligand.charge - ligand.counted  # charge of the bare form that strong_charge does not hold
        self.build = [10.0**constant for constant in proton_constants(ligand, kelvin)]
        self.pair = {
            protons: [10.0 ** log_k.plain(species, kelvin) for species in pair]
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
        return (self.total if total is None else total) / polynomial(self.whole, h)

    def squares(self, h: Array, bare: Array) -> Array:
        """Sum of molality times charge squared over forms and pairs."""
        return bare * polynomial(
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
        return polynomial(held, h)

    def species(self, h: Array, bare: Array) -> dict[str, Array]:
        """Molality of every form and pair."""
        found = {}
        for protons, (name, form) in enumerate(zip(self.ligand.forms, self.form, strict=True)):
            found[name] = bare * form * h**protons
            for pair, ratio in zip(
                self.ligand.pairs.get(protons, ()), self.ratio.get(protons, ()), strict=True
            ):
                found[pair] = found[name] * ratio
        return found
