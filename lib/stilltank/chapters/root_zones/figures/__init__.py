"""The pictures of chapter 4: oxygen in still water, hot days, and the columns of air and water under a pot."""

from .columns import RefillColumns, RootSection, limit_word
from .oxygen import OxygenDepth, OxygenSeason, RecoveryFit, StillAndMixed
from .warmth import HotDays

__all__ = [
    "HotDays",
    "OxygenDepth",
    "OxygenSeason",
    "RecoveryFit",
    "RefillColumns",
    "RootSection",
    "StillAndMixed",
    "limit_word",
]
