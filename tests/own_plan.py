"""A person's own plan: their tub, their well, their words and units; what they have lies on no step of a slider."""

from pathlib import Path

OWN_PLAN = Path(__file__).with_name("own-plan.toml").read_text(encoding="utf-8")
