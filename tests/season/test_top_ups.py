"""What a plan says of its top-ups: litres, hard water, acid for the bottle, when to replace."""

import re

import numpy as np
import pytest
from stilltank.science import budget
from stilltank.science.chemistry import Water
from stilltank.season.plan import Plan
from stilltank.units import Q

HARD = Water(
    {"Ca": Q(65, "mg/L"), "Mg": Q(8, "mg/L"), "Na": Q(12, "mg/L"), "Cl": Q(20, "mg/L")},
    alkalinity=Q(180, "mg/L"),
    ph=7.6,
    name="kitchen tap",
)
MARK = budget.to_a_mark(Q(15, "cm"), 3)


def plan(**more):
    usual = {
        "crop": "basil",
        "count": 4,
        "start": "2027-05-10",
        "until": "frost",
        "water": HARD,
        "top_up": MARK,
    }
    return Plan.make(**usual | more)


def test_hard_water_over_a_summer():
    """60 L and a bit at 180 mg/L bring 11 g; acid for 10 L is 160 mg/L over 50.04 x 10 / 0.5 = 64 mL."""
    found = plan().outlook.top_ups
    litres = found.carried.m_as("L")
    assert 50 < litres < 80
    assert found.plain.brought.m_as("g") == pytest.approx(litres * 0.18, rel=1e-6)
    text = " ".join(found.words())
    assert "180 mg/L of alkalinity" in text
    assert re.search(r"6[34](\.\d)? mL of nitric acid 0.5 mol/L in 10 L of kitchen tap", text)
    assert "above 7 from" in text
    assert "goggles" in text
    halfway = np.flatnonzero(np.isfinite(found.plain.ph[1])).size // 2
    assert 7.3 < found.plain.ph[1, halfway] < 8.3
    assert found.acidified.ph[1, halfway] < found.plain.ph[1, halfway] - 0.15


def test_no_sentence_promises_a_ph_above_eight():
    """There more solids fall out than the model knows."""
    numbers = re.findall(r"pH is about ([\d.]+)", " ".join(plan().outlook.top_ups.words()))
    assert numbers
    assert all(float(one) <= 8 for one in numbers)


def test_rain_brings_nothing_and_needs_no_acid():
    caught = budget.rain_caught(Q(2, "m^2"), Q(100, "L"), 3, Q(15, "cm"))
    found = plan(top_up=caught).outlook
    assert found.top_up_water.name == "rain"
    assert found.top_ups.plain.brought.magnitude == 0
    assert found.top_ups.bottle_words() == ""
    assert len(found.top_ups.words()) == 3
    assert found.top_ups.words()[0] == "Rain caught on 2 m², every 3 days to 15 cm."
    assert plan(top_up=caught, top_up_water=HARD).outlook.top_up_water is HARD


def test_nothing_added_nothing_said():
    found = plan(top_up=None).outlook
    assert found.top_ups.words() == ()
    assert "where nothing is added" in found.salt_words[0]
    assert "with the top-ups" in plan().outlook.salt_words[0]


def test_salty_water_says_when_to_replace():
    salty = Water({"Na": Q(120, "mg/L"), "Cl": Q(150, "mg/L")}, alkalinity=Q(60, "mg/L"), ph=7.4, name="well")
    text = " ".join(plan(top_up_water=salty).outlook.top_ups.words())
    assert re.search(r"Replace the solution by \d+ \w+: then (sodium|chloride) is above", text)
    unknown = Water({}, alkalinity=Q(150, "mg/L"), ph=7.4, name="well")
    assert "does not say both sodium and chloride" in " ".join(
        plan(top_up_water=unknown).outlook.top_ups.words()
    )


def test_gallons_where_they_were_chosen():
    words = plan().outlook.top_ups.words("US")
    assert "US gal" in words[1]
    assert "in 2.6 US gal of kitchen tap" in " ".join(words)


def test_citric_acid_does_not_last():
    text = plan(acid="citric acid 5 %").outlook.top_ups.bottle_words()
    assert "Microbes use it up" in text


def test_another_water_is_reckoned_again_and_other_choices_keep_it():
    first = plan()
    before = first.outlook.top_ups
    assert first.change(colour="white").outlook.top_ups is before
    soft = first.change(top_up_water=Water({}, alkalinity=Q(10, "mg/L"), ph=7, name="rain")).outlook.top_ups
    assert soft is not before
    assert soft.plain.brought < before.plain.brought


@pytest.mark.parametrize("strength", [0.0, 0.5, 1.0])
def test_what_is_added_counts_for_the_meter(strength):
    """Stronger top-ups leave more salts, so the meter shows more at the end."""
    marks = [
        plan(top_up=budget.to_a_mark(Q(15, "cm"), 3, each)).outlook.salt.stop[1].m_as("mS/cm")
        for each in (0.0, strength)
    ]
    assert marks[1] >= marks[0]


def test_a_tank_that_never_falls_to_its_mark_needs_none():
    words = plan(crop="lettuce", until=None, top_up=budget.to_a_mark(Q(5, "cm"), 3)).outlook.top_ups.words()
    assert "need no top-up" in words[1]
