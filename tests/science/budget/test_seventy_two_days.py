"""Common practice tells of a small tank of flowers that went 72 days without any addition: when is that so?"""

from dataclasses import replace

import pytest
from stilltank.science import budget, tank, weather
from stilltank.science.crops import Plants, crop
from stilltank.units import Q

TUB = tank.preset("quillgate-tub")
STEADY = {
    "start": "2019-05-10",
    "days": 72,
    "exposure": Q(100, "percent"),
    "coefficient_factor": Q(100, "percent"),
}


def most(crop, daily):
    """The largest number of plants that last 72 days at a steady evapotranspiration, mm/day."""
    lasting = [
        count
        for count in range(1, 12)
        if budget.season(TUB, Plants(crop, count), reference_et=Q(daily, "mm/day"), **STEADY).run_dry is None
    ]
    assert lasting == list(range(1, len(lasting) + 1))
    return len(lasting)


# By hand: 15 days at 0.15, 25 rising to 1.05 (15.45, summed at the end of each day) and 32 at 1.05 make 51.3 days at a
# coefficient of 1; times canopy and evapotranspiration. The tub holds 36 L at planting, 1.3 of them out of reach.
@pytest.mark.parametrize(("name", "canopy"), [("snapdragon", 0.03), ("zinnia", 0.06), ("calendula", 0.05)])
@pytest.mark.parametrize("daily", [3, 4, 5, 6])
def test_plants_that_last_by_hand(name, canopy, daily):
    stages = dict(zip(("initial", "development", "mid", "late"), (15, 25, 32, 0), strict=True))
    by_hand = (36 - 1.3) / (51.3 * canopy * daily)
    grown = replace(
        crop(name),
        canopy_area=Q(canopy, "m^2"),
        **{f"stage_{stage}": Q(days, "day") for stage, days in stages.items()},
    )
    # what is near the floor is drunk more slowly, so a tank that is nearly empty lasts somewhat longer
    assert int(by_hand) <= most(grown, daily) <= by_hand * 1.1 + 0.5


@pytest.mark.parametrize(("place", "start"), [("quillgate", "2027-05-15"), ("new-york", "2014-05-15")])
def test_it_holds_for_a_few_plants_in_a_temperate_summer(place, start):
    """One at least, and fewer for sure than as a rule; a lid has room for far more than last.

    By hand: 7 days at 0.15, 30 at 0.6 and 35 at 1.05 on 0.05 m2 at 4.3 mm are 12 L; 41 L with the rain last for three,
    and for one where all use twice as much.
    """
    sure, even = (
        budget.how_many_plants(
            budget.Scenario.make(TUB, Plants("zinnia", 1), weather.site(place), days=72, start=start),
            certainty,
        ).by_water
        for certainty in (0.95, 0.5)
    )
    assert 1 <= sure < even < 8
