"""What the card says of topping up with hard water; the rest of the card is worked by hand in test_plan_by_hand."""

import re

import pytest
from stilltank.science import budget
from stilltank.season.paper import tank_card
from stilltank.season.plan import Plan


def plain(plan):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", tank_card(plan)))


def test_hard_water_to_top_up_with_gets_its_acid_on_the_card():
    """130 mg/L as CaCO3 less the 20 that stay is 2.2 meq/L: 22 mmol, or 44 mL of 0.5 mol/L, for 10 L."""
    said = plain(Plan.make(crop="basil", count=5, start="2027-05-10", top_up=budget.by_hand(2)))
    dose = re.search(r"Top-up water: ([\d.]+) mL of nitric acid 0.5 mol/L in 10 L", said)
    assert float(dose[1]) == pytest.approx(44, rel=0.06)  # some carbon dioxide stays in a closed bottle


def test_soft_water_and_a_tank_that_nobody_tops_up_get_none():
    assert "Top-up water" not in plain(Plan.make(count=4))
    rain = Plan.make(crop="basil", count=5, start="2027-05-10", top_up=budget.by_hand(2))
    assert "Top-up water" not in plain(rain.change(top_up_water="quillgate-rain"))
