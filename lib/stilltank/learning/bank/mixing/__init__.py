"""Chapter 1, mixing: exercises, openers, questions to vote on, and worked examples."""

from .examples import EXAMPLES
from .exercises import EXERCISES
from .openers import OPENERS
from .votes import VOTES

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)

__all__ = ["EXAMPLES", "EXERCISES", "OPENERS", "QUESTIONS", "VOTES"]
