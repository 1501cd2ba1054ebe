"""What the questions on pH share.

Acids come from data/acids.csv. The waters, samples, targets and volumes of the draws are invented for the
exercises: tap waters from soft to hard, targets within the working range of pH, strengths learners may handle.
"""

from typing import Any

from stilltank.learning.questions import Numbers, Slip
from stilltank.science.ph import (
    alkalinity_as_caco3,
    alkalinity_as_charge,
    bicarbonate_share,
    hand_dose_closed,
)
from stilltank.units import Q

from ..draws import quantities

CHAPTER = "02"
NITRIC = "nitric acid 61.4 %"
PHOSPHORIC = "phosphoric acid 75 %"
SULFURIC = "sulfuric acid 0.1 mol/L"
REPORTS = quantities((80, 100, 120, 140, 160, 180, 200, 240), "mg/L")
FOR_CLASS = quantities((0.1, 0.2, 0.25, 0.5), "mol/L")
TARGETS = (5.5, 5.6, 5.8)  # at 6 the hand formula is up to 5 % high, which is more than is accepted


def plain_name(bottle: str) -> str:
    """The acid without its strength: "nitric acid"."""
    return " ".join(bottle.split()[:2])


def by_hand(n: Numbers) -> dict[str, Any]:
    """From the report to mmol of H+ for each litre: the hand formula with no carbon dioxide lost."""
    charge = alkalinity_as_charge(n.report)
    return {
        "each": alkalinity_as_caco3(Q(1, "mmol/L")),
        "charge": charge,
        "share": Q(float(bicarbonate_share(n.target)), "dimensionless").to("percent"),
        "taken": Q(1 - float(bicarbonate_share(n.target)), "dimensionless").to("percent"),
        "per_litre": hand_dose_closed(charge, charge, n.target),
    }


def _stays(n: Numbers) -> float:
    return float(bicarbonate_share(n.target))


def all_taken() -> Slip:
    """The part that stays bicarbonate is taken away as well."""
    return Slip(
        "all of the alkalinity",
        "the acid is counted for all of the alkalinity",
        "At this pH a part stays as bicarbonate. Take it off first.",
        lambda n, solve: [solve(n) / (1 - _stays(n))],
    )


def what_stays() -> Slip:
    """The part that stays is used, and not the part that goes."""
    return Slip(
        "what stays for what goes",
        "the part that stays is used, and not the part that goes",
        "The acid is for what goes. Take the part that stays from 100 %.",
        lambda n, solve: [solve(n) * _stays(n) / (1 - _stays(n))],
    )


def strength_multiplied() -> Slip:
    """Multiplied by the strength of the acid where the way is to divide by it."""
    return Slip(
        "strength multiplied",
        "the strength of the acid is multiplied by, and not divided by",
        "A stronger acid needs less volume. So divide by its strength.",
        lambda n, solve: [solve(n) * n.strength.m_as("mol/L") ** 2],
    )
