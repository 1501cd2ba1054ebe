"""What a person is told: a mistake they can mend, in one sentence."""


class Problem(ValueError):
    """A mistake a person can mend; the sentence says what was read, what does not fit, what to write."""


class UnitNeeded(Problem):
    """A quantity has no unit, or a unit of the wrong kind."""


class OutOfRange(Problem):
    """A quantity lies outside what is possible, or outside what the method holds for."""


class Unreadable(Problem):
    """Something typed, or a file, could not be understood."""
