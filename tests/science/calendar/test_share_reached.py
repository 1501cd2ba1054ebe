"""Which share of the outcomes comes to a flower before the cold: what a design review asks."""

import pytest
from stilltank.science import calendar

PLACE = "new-york"


def test_an_early_sowing_comes_to_flower_always_and_a_late_one_never():
    early = calendar.schedule("zinnia", PLACE, sow="2026-05-01")
    late = calendar.schedule("zinnia", PLACE, sow="2026-09-20", decided=True)
    assert early.share_reached == 1
    assert late.share_reached < 0.1
    assert any(reason.startswith("Not advised") for reason in late.reasons)


def test_it_falls_as_the_sowing_is_put_off():
    days = ("2026-07-01", "2026-07-25", "2026-08-10", "2026-08-25")
    shares = [calendar.schedule("zinnia", PLACE, sow=day, decided=True).share_reached for day in days]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > shares[-1]


def test_it_is_the_chance_of_a_flower_at_all_where_the_dates_are_those_of_the_open_air():
    found = calendar.schedule("zinnia", PLACE, sow="2026-07-25", decided=True)
    assert found.share_reached > 0.5
    assert found.share_reached == pytest.approx(found.chance_by("2027-06-01"))


def test_no_cold_comes_into_a_room():
    from stilltank.units import Q

    assert calendar.schedule("zinnia", PLACE, sow="2026-12-01", temperature=Q(20, "degC")).share_reached == 1
