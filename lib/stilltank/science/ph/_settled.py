"""A solution as the engine needs it, worked out once."""

from dataclasses import dataclass
from typing import Any

from ..equilibrium import State
from .dosing import _state


@dataclass(frozen=True, eq=False)
class Settled:
    """A solution whose state is worked out once and used many times."""

    plain: State
    volume: Any = None

    def state(self) -> State:
        """What the equilibrium engine needs."""
        return self.plain


def settle(solution: Any) -> Settled:
    """Work out the state of a solution once."""
    return Settled(_state(solution), getattr(solution, "volume", None))
