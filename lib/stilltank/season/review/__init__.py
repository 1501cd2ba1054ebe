"""The design review: what a careful grower would look at again in a plan, and plans side by side."""

from .design_review import review
from .flags import Flag, Remedy

__all__ = ["Flag", "Remedy", "review"]
