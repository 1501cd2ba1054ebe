"""How each stated value about units is computed, through the public functions."""

from stilltank.units import read

COMPUTED = {
    "M-UN01": lambda: read("1 US gal"),
    "M-UN02": lambda: read("1 lb"),
    "M-UN03": lambda: read("1 oz", "mass"),
    "M-UN05": lambda: read("1 imperial gallon"),
    "M-UN06": lambda: read("1 oz", "mass") / read("100 US gal"),
}
