"""A learner's progress: one small readable file for each code, kept whole whatever happens."""

from .file import ProgressFault
from .joined_work import counted
from .progress import Progress

__all__ = [
    "Progress",
    "ProgressFault",
    "counted",
]
