"""Chapter 0, start here: short questions that later chapters open with."""

from .questions import QUESTIONS

EXAMPLES = ()

__all__ = [
    "EXAMPLES",
    "QUESTIONS",
]
