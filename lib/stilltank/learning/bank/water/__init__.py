"""Chapter 3, water budget: exercises, openers, questions to vote on, and worked examples."""

from .level import INCH_OF_LEVEL, LITRES_FOR_LEVEL, USED_IN_WEEK

EXERCISES = (LITRES_FOR_LEVEL, INCH_OF_LEVEL, USED_IN_WEEK)
QUESTIONS = EXERCISES
