"""Chapter 0, start here: it has no exercises, but questions that chapter 1 begins with."""

from . import questions

EXERCISES = ()

OPENERS = (
    questions.GALLONS,
    questions.REFILL,
    questions.RAIN,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *OPENERS)

EXAMPLES = ()

PREDICTIONS = ()

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
