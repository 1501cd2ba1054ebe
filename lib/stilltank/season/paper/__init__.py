"""What a plan prints."""

from .card import tank_card

__all__ = [
    "tank_card",
]
