"""How each stated value about units is computed, through the public functions."""

from stilltank.units import Q

COMPUTED = {
    "M-UN01": lambda: Q(1, "gallon"),
}
