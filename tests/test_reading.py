"""What people write, and what becomes of it. The examples stand in reading_examples.csv."""

import csv
import math
import string
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from stilltank.units import Problem, Q, Reading, Unclear, UnitNeeded, Unreadable, explain, read, write
from stilltank.units import door, reading
from stilltank.units.spellings import kinds

EXAMPLES = list(
    csv.DictReader((Path(__file__).parent / "reading_examples.csv").open(encoding="utf-8", newline=""))
)
OUTCOMES = {"unclear": Unclear, "unreadable": Unreadable, "out of range": door.OutOfRange}
TOLERANCE = 1e-5  # relative: the table's answers are given to six digits at most


def close(quantity, answer: str) -> bool:
    value, _, unit = answer.partition(" ")
    expected = Q(float(value), "dimensionless" if unit == "1" else unit)
    return expected.is_compatible_with(quantity) and math.isclose(
        quantity.m_as(expected.units), expected.magnitude, rel_tol=TOLERANCE, abs_tol=1e-12
    )


@pytest.mark.parametrize("row", EXAMPLES, ids=[f"{row['text']}|{row['kind']}"[:40] for row in EXAMPLES])
def test_example(row):
    kind = row["kind"] or None
    if row["outcome"] == "read":
        quantity = read(row["text"], kind)
        assert close(quantity, row["answer"]), quantity
        return
    with pytest.raises(OUTCOMES[row["outcome"]]) as caught:
        read(row["text"], kind)
    if row["outcome"] == "unclear":
        choices = [choice.quantity for choice in caught.value.choices]
        answers = row["answer"].split("; ")
        assert len(choices) == len(answers), caught.value
        for answer in answers:
            assert any(close(quantity, answer) for quantity in choices), (answer, caught.value)
