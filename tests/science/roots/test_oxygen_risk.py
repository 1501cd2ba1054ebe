"""Risk as a band with its sources; warmth; light: against the abstracts' numbers and by hand."""

import numpy as np
import pytest
from stilltank.science import oxygen, roots
from stilltank.tables import load
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

# The band


def test_the_findings_are_those_of_the_abstracts():
    """Goto (1996) 2.1 mg/L; Yoshida (1997) 0.10 and 0.01 mmol/L times 31.9988 g/mol; He (2007) 6 and 12 kPa."""
    known = {(one.source[0], one.seen): one.concentration.m_as("mg/L") for one in roots.oxygen_findings()}
    assert known["GOTO1996", "no effect seen"] == pytest.approx(2.1)
    assert known["YOSHIDA1997", "no effect seen"] == pytest.approx(0.10 * 31.9988, abs=0.001)
    assert known["YOSHIDA1997", "harm seen"] == pytest.approx(0.01 * 31.9988, abs=0.001)
    # 6 of the 20.56 kPa of oxygen in moist air over 8.263 mg/L
    assert known["HE2007", "effect seen"] == pytest.approx(8.263 * 6 / (0.2095 * (101.325 - 3.167)), rel=1e-3)


def test_sources_disagree_about_one_amount():
    """R7: 6 kPa did harm and is more oxygen than the 2.1 mg/L that did none."""
    known = {(one.source[0], one.seen): one.concentration for one in roots.oxygen_findings(Q(24, "degC"))}
    assert known["HE2007", "effect seen"] > known["GOTO1996", "no effect seen"]


def test_every_finding_lies_in_the_zone_of_its_kind():
    """No effect is reported inside the zone of harm, and no effect was missed above the band."""
    for one in roots.oxygen_findings():
        zone = roots.oxygen_risk(one.concentration).zone
        if one.seen == "harm seen":
            assert zone == 0, one
        elif one.seen == "effect seen":
            assert zone == 1, one
        else:
            assert zone > 0, one


def test_zones_and_shares():
    found = roots.oxygen_risk(Q([[0.1, 0.5], [3.0, 5.0]], "mg/L"))
    assert found.zone.tolist() == [[0, 1], [1, 2]]
    assert found.shares().m_as("").tolist() == [0.25, 0.5, 0.25]
    assert found.shares(axis=0).m_as("").tolist() == [[0.5, 0.0], [0.5, 0.5], [0.0, 0.5]]
    assert "25 % where harm was seen" in str(found)
    assert "A risk, not a verdict" in str(roots.oxygen_risk(Q(3, "mg/L")))
    assert str(roots.oxygen_risk(Q([], "mg/L"))) == "no values"
    course = oxygen.mixed_water(
        oxygen.WaterColumn(depth=Q([13, 12], "cm"), temperature=Q(20, "degC"), demand=Q(1, "g/m^2/day"))
    )
    assert roots.oxygen_risk(course.lowest).zone.shape == (2,)


def test_no_sentence_draws_one_line():
    for concentration in (0.1, 1, 2.9, 3.1, 6):
        words = str(roots.oxygen_risk(Q(concentration, "mg/L")))
        assert "0.32" in words
        assert "2.1 to 4.1" in words
        assert "die" not in words
        assert "fail" not in words


# Warmth


def test_warmth_by_hand():
    """R063: 7.559 of 9.092 mg/L is 0.831; Q10 2, 1.5 to 3; reach sqrt(D C/R) 0.729 (root zones table, computed)."""
    found = roots.warming_effect(Q(30, "degC"))
    assert 1 - found.supply.m_as("") == pytest.approx(0.169, abs=0.001)
    assert [value.m_as("") for value in (found.demand, found.demand_low, found.demand_high)] == [2, 1.5, 3]
    assert found.reach.m_as("") == pytest.approx(0.729, abs=0.001)
    # ideal gas: dry part 101.325 - 4.246 over 101.325 - 2.339 kPa (steam table, from memory), times 293.15/303.15
    by_hand = (101.325 - 4.246) / (101.325 - 2.339) * 293.15 / 303.15
    assert found.air.m_as("") == pytest.approx(by_hand, abs=0.001)


def test_demand_changes_most_air_least():
    found = roots.warming_effect(Q(30, "degC"))
    change = {
        name: abs(np.log(getattr(found, name).m_as(""))) for name in ("air", "supply", "reach", "demand")
    }
    assert sorted(change, key=change.get) == ["air", "supply", "reach", "demand"]


def test_cooling_turns_the_range_round_and_arrays_pass():
    cold = roots.warming_effect(Q([10, 20, 30], "degC"))
    assert cold.demand_low.m_as("") == pytest.approx([1 / 3, 1, 1.5])
    assert cold.demand_high.m_as("") == pytest.approx([1 / 1.5, 1, 3])
    fixed = roots.warming_effect(Q(30, "degC"), q10=2.5)
    assert fixed.demand_low == fixed.demand_high == fixed.demand
    there_and_back = (
        roots.warming_effect(Q(28, "degC"), Q(19, "degC")).reach
        * roots.warming_effect(Q(19, "degC"), Q(28, "degC")).reach
    )
    assert there_and_back.m_as("") == pytest.approx(1)


def test_the_root_rot_temperature_is_told_as_it_was_read():
    """Gold & Stanghellini (1985), abstract: 23 degC; harm from 17 degC on by the other species."""
    entry = load("roots")["warmth", "root rots change places"]
    assert entry.quantity == Q(23, "degC")
    assert entry.kind == "published"
    assert "not safe" in entry.note


# Light


def test_algae_by_hand():
    """1 mol of light a day, a hundredth let in, an eighth of an O2 each: 0.01/8*32 = 0.04 g/m2/d."""
    found = roots.algal_oxygen(Q(1, "mol/m^2/day"))
    assert found.oxygen.m_as("g/m^2/day") == pytest.approx(0.04, rel=1e-3)
    assert roots.algal_oxygen(Q(40, "mol/m^2/day"), let_in=0).oxygen.m_as("g/m^2/day") == 0
    by_sun = roots.algal_oxygen(solar_radiation=Q([10, 20], "MJ/m^2/day"), let_in=0.02)
    assert by_sun.light.m_as("mol/m^2/day") == pytest.approx([0.408, 0.816])


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: roots.oxygen_risk(3), UnitNeeded, "concentration"),
        (lambda: roots.oxygen_risk(Q(-1, "mg/L")), OutOfRange, "not negative"),
        (lambda: roots.oxygen_risk(Q(np.nan, "mg/L")), OutOfRange, "not a number"),
        (lambda: roots.oxygen_findings(25), UnitNeeded, "temperature"),
        (lambda: roots.oxygen_findings(Q([20, 25], "degC")), Problem, "one value"),
        (lambda: roots.warming_effect(30), UnitNeeded, "temperature"),
        (lambda: roots.warming_effect(Q(50, "degC")), OutOfRange, "between 0 °C and 40 °C"),
        (lambda: roots.warming_effect(Q(30, "degC"), q10=0.5), OutOfRange, "Q10"),
        (lambda: roots.warming_effect(Q(30, "degC"), q10="2"), Unreadable, "q10"),
        (lambda: roots.warming_effect(Q([1, 2], "degC"), Q([1, 2, 3], "degC")), Problem, "do not fit"),
        (lambda: roots.algal_oxygen(), Problem, "not both"),
        (
            lambda: roots.algal_oxygen(Q(1, "mol/m^2/day"), solar_radiation=Q(1, "MJ/m^2/day")),
            Problem,
            "not both",
        ),
        (lambda: roots.algal_oxygen(Q(-1, "mol/m^2/day")), OutOfRange, "not negative"),
        (lambda: roots.algal_oxygen(Q(1, "mol/m^2/day"), let_in=5), OutOfRange, "0 to 1"),
        (lambda: roots.algal_oxygen(20), UnitNeeded, "daily_light"),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
