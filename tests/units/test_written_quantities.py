"""How people, labels, laboratory reports, recipes and school books write quantities, and what a careful reader does.

written_quantities.csv was written before the code that reads it. Each row is what people in the trade take the
text for (common practice): the quantity, a question back (``asked``, with each reading), or a refusal.
"""

import csv
import math
from pathlib import Path

import pytest
from stilltank.units import OutOfRange, Q, Unclear, Unreadable, read

ROWS = list(
    csv.DictReader((Path(__file__).parent / "written_quantities.csv").open(encoding="utf-8", newline=""))
)
TOLERANCE = 1e-5  # relative: the table's answers are given to six digits or more


def same(quantity, answer: str) -> bool:
    value, _, unit = answer.partition(" ")
    expected = Q(float(value), "dimensionless" if unit == "1" else unit)
    return expected.is_compatible_with(quantity) and math.isclose(
        quantity.m_as(expected.units), expected.magnitude, rel_tol=TOLERANCE, abs_tol=1e-12
    )


@pytest.mark.parametrize("row", ROWS, ids=[f"{row['text']}|{row['kind']}|{row['system']}" for row in ROWS])
def test_written_quantity(row):
    whose = {"gallon" if row["system"] == "imperial" else "system": row["system"]} if row["system"] else {}
    kind = row["kind"] or None
    if row["outcome"] == "read":
        quantity = read(row["text"], kind, **whose)
        assert same(quantity, row["answer"]), quantity
        return
    with pytest.raises(Unclear if row["outcome"] == "asked" else (Unreadable, OutOfRange)) as caught:
        read(row["text"], kind, **whose)
    if row["outcome"] == "asked":
        choices = [choice.quantity for choice in caught.value.choices]
        answers = row["answer"].split("; ")
        assert len(choices) == len(answers), caught.value
        for answer in answers:
            assert any(same(quantity, answer) for quantity in choices), (answer, caught.value)
    assert str(caught.value).endswith((".", "?"))
