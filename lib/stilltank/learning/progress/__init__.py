"""A learner's progress: one small readable file for each code, kept whole whatever happens."""

from .file import ProgressFault
from .keeping import Progress
from .values import value_text

__all__ = ["Progress", "ProgressFault", "value_text"]
