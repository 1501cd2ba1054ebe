"""The design review: what a careful grower would look at again in a plan, and plans side by side."""

from .alternatives import Alternatives, Measure, alternatives, headline
from .design_review import review
from .flags import Flag, Remedy

__all__ = ["Alternatives", "Flag", "Measure", "Remedy", "alternatives", "headline", "review"]
