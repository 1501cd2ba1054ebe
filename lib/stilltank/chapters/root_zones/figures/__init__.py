"""The pictures of chapter 4: oxygen in still water, and the columns of air and water under a pot."""

from .columns import RefillColumns, RootSection
from .oxygen import OxygenDepth, OxygenSeason, RecoveryFit, StillAndMixed

__all__ = [
    "OxygenDepth",
    "OxygenSeason",
    "RecoveryFit",
    "RefillColumns",
    "RootSection",
    "StillAndMixed",
]
