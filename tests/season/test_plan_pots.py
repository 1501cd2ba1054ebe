"""A plan whose groups have net pots of different depth, by hand."""

import pytest
from stilltank.science import tank
from stilltank.season.plan import Group, Plan
from stilltank.units import Q

BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))


def test_a_plan_fills_for_its_shallowest_pots():
    plain = Plan.make(BOX, "snapdragon", count=3)
    mixed = plain.change(beside=[Group("basil", 2, pot_depth=Q(5, "cm"))])
    assert plain.outlook.fill_level.m_as("cm") == pytest.approx(27)
    assert mixed.outlook.fill_level.m_as("cm") == pytest.approx(29)
    assert mixed.outlook.volume.m_as("L") == pytest.approx(29 * 2.4)
    assert mixed.outlook.hole.m_as("cm") == pytest.approx(29.5)
    assert mixed.outlook.season.filled.m_as("L") == pytest.approx(29 * 2.4)
    salt = next(iter(plain.outlook.recipe.masses))
    more = (mixed.outlook.recipe.masses[salt] / plain.outlook.recipe.masses[salt]).m_as("dimensionless")
    assert more == pytest.approx(29 / 27, rel=1e-3), "the salts go with the litres"
    deeper = plain.change(beside=[Group("basil", 2, pot_depth=Q(9, "cm"))])
    assert deeper.outlook.fill_level.m_as("cm") == pytest.approx(27), "the shallow ones decide"
    assert any("9 cm" in words for words in deeper.outlook.weaknesses)
