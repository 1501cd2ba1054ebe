"""Doing something when a change has come to rest, so that whoever moves a slider need not wait for it."""

import asyncio
from collections.abc import Callable


class AtRest:
    """Something that is done once nothing has happened for a while.

    Parameters
    ----------
    seconds : float
        How long nothing must happen.

    Examples
    --------
    >>> done = []
    >>> AtRest(0.1).later(lambda: done.append("drawn"))  # plain Python has nobody who moves a slider
    False
    >>> done
    ['drawn']
    """

    def __init__(self, seconds: float):
        self._seconds = seconds
        self._waiting: asyncio.TimerHandle | None = None

    def later(self, act: Callable[[], object]) -> bool:
        """Do something when it has come to rest; what waited before is not done.

        Parameters
        ----------
        act : callable
            What is done.

        Returns
        -------
        bool
            Whether it waits; else it is done already.
        """
        self.stop()
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:  # plain Python: nobody moves a slider
            act()
            return False
        self._waiting = loop.call_later(self._seconds, act)
        return True

    def stop(self) -> None:
        """Do not do what waits."""
        if self._waiting:
            self._waiting.cancel()
            self._waiting = None
