"""From a bottle that only the teacher touches to one that a class may use."""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.ph import serial_dilution
from stilltank.science.products import acid, acid_names
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

LIQUIDS = [name for name in acid_names() if acid(name).concentration is not None]


@given(st.sampled_from(LIQUIDS), st.floats(0.0005, 0.99), st.floats(0.1, 20), st.floats(2, 20))
@settings(deadline=None)
def test_nothing_is_gained_or_lost_on_the_way(name, part, litres, step):
    top = acid(name).concentration.m_as("mol/L")
    ladder = serial_dilution(name, Q(part * top, "mol/L"), Q(litres, "L"), step)
    amount = litres * part * top
    strength = top
    for rung in ladder.steps:
        assert rung.before.m_as("mol/L") == pytest.approx(strength)
        assert (rung.take * rung.before).m_as("mol") == pytest.approx(amount)
        assert (rung.made * rung.strength).m_as("mol") == pytest.approx(amount)
        assert (rung.water + rung.take).m_as("L") == pytest.approx(rung.made.m_as("L"))
        assert 1 < (rung.before / rung.strength).m_as("dimensionless") <= step * (1 + 1e-6)
        strength = rung.strength.m_as("mol/L")
    for one, other in zip(ladder.steps, ladder.steps[1:], strict=False):
        assert other.take.m_as("L") == pytest.approx(one.made.m_as("L"))
    assert strength == pytest.approx(part * top)
    assert ladder.steps[-1].made.m_as("L") == pytest.approx(litres)
    # no more steps than the greatest one asks for
    assert len(ladder.steps) == max(1, int(np.ceil(np.log(1 / part) / np.log(step) - 1e-9)))


def test_a_class_bottle_by_hand():
    # C1 V1 = C2 V2: a litre of 0.1 mol/L takes 100 mmol, which is 7.45 mL of 13.42 mol/L
    ladder = serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(1, "L"))
    assert ladder.steps[0].take.m_as("mL") == pytest.approx(100 / 13.42, rel=1e-3)
    assert ladder.steps[-1].take.m_as("mL") == pytest.approx(200)
    assert [rung.adult_only for rung in ladder.steps] == [True, True, False]
    assert ladder.for_learners
    assert not serial_dilution("nitric acid 61.4 %", Q(1, "mol/L"), Q(1, "L")).for_learners


def test_it_reads_as_instructions_with_cautions():
    text = str(serial_dilution("sulfuric acid 93 %", Q(0.1, "mol/L"), Q(1, "L")))
    assert text.index("cold water in the jug first") < text.index("slowly into it")
    assert "Teacher or trained adult only" in text
    assert acid("sulfuric acid 93 %").caution in text
    assert "Learners may handle the last one" in text
    strong = str(serial_dilution("sulfuric acid 93 %", Q(1, "mol/L"), Q(1, "L")))
    assert "too strong for learners: they handle 0.5 mol/L or less" in strong
    # what stands between is no class bottle either: 5 mol/L nitric acid is corrosive
    middle = serial_dilution("nitric acid 61.4 %", Q(1, "mol/L"), Q(1, "L"))
    assert all("corrosive" in rung.caution for rung in middle.steps)
    weak = serial_dilution("citric acid 5 %", Q(0.1, "mol/L"), Q(1, "L"))
    assert weak.for_learners
    assert not any(rung.adult_only for rung in weak.steps)
    # 10 % is 0.1 x 1040.2/192.12 = 0.54 mol/L, above what learners may handle; it irritates and is not called corrosive
    assert serial_dilution("citric acid 10 %", Q(0.1, "mol/L"), Q(1, "L")).steps[0].adult_only
    strong = acid("citric acid", strength=Q(30, "percent"), density=Q(1.1346, "g/mL"))
    assert strong.adult_only
    assert "corrosive" not in strong.caution


def test_a_base_is_kept_weaker():
    ladder = serial_dilution("potassium hydroxide 1 mol/L", Q(0.1, "mol/L"), Q(0.5, "L"))
    assert ladder.for_learners
    assert ladder.steps[0].adult_only
    assert "blinds" in ladder.steps[0].caution
    assert "teacher standing by" in str(ladder)
    assert not serial_dilution("potassium hydroxide 1 mol/L", Q(0.2, "mol/L"), Q(0.5, "L")).for_learners


@pytest.mark.parametrize(
    ("given", "error", "says"),
    [
        (("nitric acid 1 mol/L", Q(2, "mol/L"), Q(1, "L")), OutOfRange, "leads downwards"),
        (("nitric acid 1 mol/L", Q(1, "mol/L"), Q(1, "L")), OutOfRange, "leads downwards"),
        (("citric acid", Q(0.1, "mol/L"), Q(1, "L")), OutOfRange, "is a solid"),
        (("nitric acid 1 mol/L", 0.1, Q(1, "L")), UnitNeeded, "`to`"),
        (("nitric acid 1 mol/L", Q(1, "g/L"), Q(1, "L")), UnitNeeded, "amount in each litre"),
        (("nitric acid 1 mol/L", Q(0, "mol/L"), Q(1, "L")), OutOfRange, "more than zero"),
        (("nitric acid 1 mol/L", Q(-1, "mol/L"), Q(1, "L")), OutOfRange, "more than zero"),
        (("nitric acid 1 mol/L", Q(0.1, "mol/L"), Q(0, "L")), OutOfRange, "more than zero"),
        (("nitric acid 1 mol/L", Q(0.1, "mol/L"), None), UnitNeeded, "`volume`"),
        (("nitric acid 1 mol/L", Q([0.1, 0.2], "mol/L"), Q(1, "L")), Problem, "one value for `to`"),
        (("nitric acid 1 mol/L", Q(0.1, "mol/L"), Q(1, "L"), 100), OutOfRange, "2 to 20 times"),
        (("nitric acid 1 mol/L", Q(0.1, "mol/L"), Q(1, "L"), "ten"), Unreadable, "plain number"),
        ((None, Q(0.1, "mol/L"), Q(1, "L")), Unreadable, "has a name"),
        (("nitric acid", Q(0.1, "mol/L"), Q(1, "L")), Unreadable, "does not say how strong"),
    ],
)
def test_a_slip_gets_a_sentence(given, error, says):
    with pytest.raises(error, match=says):
        serial_dilution(*given)


def test_no_text_puts_a_stronger_dilution_into_learners_hands():
    """Dilutions in the chapters and the library: at most 0.5 mol/L, citric acid at most 5 % (10 % is 0.54 mol/L)."""
    root, found = Path(__file__).resolve().parents[3], 0
    texts = [
        *root.glob("workbook/*.ipynb"),
        *root.glob("workbook/teacher/*.md"),
        *root.glob("lib/stilltank/**/*.py"),
    ]
    for path in texts:
        text = path.read_text(encoding="utf-8")
        for acid_name, strength, unit in re.findall(
            r"(nitric|phosphoric|sulfuric|hydrochloric|citric) acid,? (\d+(?:\.\d+)?) ?(mol/L|%)", text
        ):
            if unit == "mol/L" or acid_name == "citric":
                assert float(strength) <= (0.5 if unit == "mol/L" else 5), (
                    path.name,
                    acid_name,
                    strength,
                    unit,
                )
                found += 1
    assert found > 20
