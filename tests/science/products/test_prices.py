"""What a nutrient costs: worked examples of two extension pages, and bags that hold nothing."""

import pytest
from stilltank.science.products import element_price
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

TON = Q(2000, "lb")


@pytest.mark.parametrize(
    ("price", "percent", "stated"),
    [(567, 46, 0.62), (996, 46, 1.08), (412, 46, 0.45), (370, 34, 0.54)],
    ids=["urea, NMSU", "superphosphate, NMSU", "urea, Noble", "ammonium nitrate, Noble"],
)
def test_a_pound_of_the_nutrient_as_published(price, percent, stated):
    """NMSU Guide A-133 and a Noble newsletter of 2007: dollars a ton over the pounds of nutrient in it."""
    found = element_price(price, TON, Q(percent, "percent"))
    assert found.m_as("1/lb") == pytest.approx(stated, abs=0.005)


def test_by_hand():
    """12 coins for 5 kg with 15.5 %: 775 g of nitrogen, 15.48 coins a kilogram."""
    assert element_price(12, Q(5, "kg"), Q(15.5, "percent")).m_as("1/kg") == pytest.approx(12 / 0.775)
    assert element_price(0, Q(5, "kg"), Q(15.5, "percent")).m_as("1/kg") == 0


@pytest.mark.parametrize(
    ("given", "fault"),
    [
        ((-1, TON, Q(46, "percent")), OutOfRange),
        ((1, Q(0, "kg"), Q(46, "percent")), OutOfRange),
        ((1, Q(-2, "kg"), Q(46, "percent")), OutOfRange),
        ((1, TON, Q(0, "percent")), OutOfRange),
        ((1, TON, Q(101, "percent")), OutOfRange),
        ((1, TON, 46), UnitNeeded),
        ((1, 2000, Q(46, "percent")), UnitNeeded),
        (("dear", TON, Q(46, "percent")), Unreadable),
    ],
)
def test_what_no_price_can_be_shared_over(given, fault):
    with pytest.raises(fault):
        element_price(*given)
