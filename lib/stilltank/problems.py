"""What a person is told: a mistake they can mend, in one sentence."""


class Problem(ValueError):
    """A mistake a person can mend; the sentence says what was read, what does not fit, what to write.

    Examples
    --------
    >>> isinstance(Problem("You typed 2.5 plants. Type a whole number, such as 4."), ValueError)
    True
    """


class UnitNeeded(Problem):
    """A quantity has no unit, or a unit of the wrong kind.

    Examples
    --------
    >>> from stilltank.science import tank
    >>> tank.preset("quillgate-tub").level(30)
    Traceback (most recent call last):
        ...
    stilltank.problems.UnitNeeded: ...
    """


class OutOfRange(Problem):
    """A quantity lies outside what is possible, or outside what the method holds for.

    Examples
    --------
    >>> from stilltank.science import crops
    >>> crops.Plants("lettuce", 0)
    Traceback (most recent call last):
        ...
    stilltank.problems.OutOfRange: ...
    """


class Unreadable(Problem):
    """Something typed, or a file, could not be understood.

    Examples
    --------
    >>> from stilltank import units
    >>> units.read("a good deal of water", "volume")
    Traceback (most recent call last):
        ...
    stilltank.problems.Unreadable: ...
    """
