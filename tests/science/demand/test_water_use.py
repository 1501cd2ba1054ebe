"""Litres to harvest, from the field model and from what was published."""

from dataclasses import replace

import numpy as np
import pytest
from stilltank.science import demand, weather
from stilltank.science.crops import Crop, crop
from stilltank.units import OutOfRange, Problem, Q

FIELD = replace(demand.field_crop("lettuce"), canopy_area=Q(0.04, "m^2"))
LETTUCE_DAYS = 0.15 * 20 + (0.15 + 0.9) / 2 * 30 + 0.9 * 25  # flat, rising, flat: days at a coefficient of 1


def test_a_lettuce_by_hand():
    # 20 days at 0.15, 30 rising to 0.9, 25 at 0.9, times 4 mm/d and 0.04 m2; summing the rise at the end
    # of each day gives half of 0.75 more than its area, 0.9 % of all
    litres = demand.water_to_harvest(FIELD, Q(4, "mm/day"))
    assert litres.magnitude == pytest.approx(4 * 0.04 * LETTUCE_DAYS, rel=0.01)
    assert litres.units == Q(1, "L").units


def test_it_follows_the_days_it_is_given():
    record = weather.record("quillgate").between("2019-05-10", "2019-07-23")
    daily = demand.reference_et(record)
    whole = demand.water_to_harvest("lettuce", daily)
    parts = sum(demand.crop_coefficient(crop("lettuce"), day + 1) * daily[day].magnitude for day in range(75))
    assert whole.magnitude == pytest.approx(0.04 * parts)
    assert demand.water_to_harvest("lettuce", 2 * daily).magnitude == pytest.approx(2 * whole.magnitude)


def test_a_head_from_the_tank_is_among_the_published_ones_and_one_of_the_field_above():
    # published: 2.0 to 3.0 L for 150 g; 4 L in the container of a still tank (knowledge: Barbosa, Pennisi, Kratky)
    published = demand.published_water_use()
    assert sorted(round(litres.magnitude, 1) for litres in published.values()) == [2.0, 2.1, 3.0]
    first = demand.water_to_harvest("lettuce", Q(4, "mm/day"), demand.full_cover_day("lettuce")).magnitude
    field, soil = (
        demand.water_to_harvest(crop, Q(4, "mm/day")).magnitude for crop in (FIELD, demand.on_soil(FIELD))
    )
    assert 2 < first < 3.6 < 4 < field < soil
    assert soil == pytest.approx(10.3, abs=0.05)


def test_published_figures_disagree_and_are_shown_as_they_are():
    """Basil: 188.45 mm in a greenhouse and 471 mm in the open, on 0.04 m2; lettuce: 75 and 71 g a litre, and 50."""
    basil = replace(crop("basil"), canopy_area=Q(0.04, "m^2"))
    found = {name: litres.m_as("L") for name, litres in demand.published_water_use(basil).items()}
    assert found == pytest.approx({"greenhouse in Urmia": 7.538, "lysimeters in Brazil": 18.84})
    grams = sorted(150 / litres.m_as("L") for litres in demand.published_water_use().values())
    assert grams == pytest.approx([50, 71, 75])
    model = demand.water_to_harvest(basil, Q(4, "mm/day"))  # 81 days where they had 45 and 49
    assert found["greenhouse in Urmia"] < model.m_as("L") < found["lysimeters in Brazil"]


def test_twice_the_head_takes_twice_the_water():
    one, two = (demand.published_water_use("lettuce", Q(grams, "g")) for grams in (110, 220))
    assert all(two[name].magnitude == pytest.approx(2 * one[name].magnitude) for name in one)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: demand.water_to_harvest("lettuce", 4), "`reference_et`"),
        (lambda: demand.water_to_harvest("lettuce", Q(40, "mm/day")), "write 0 mm/day to 30 mm/day"),
        (
            lambda: demand.water_to_harvest("lettuce", Q([4, 5], "mm/day"), 3),
            "2 values of reference_et for 3 days",
        ),
        (
            lambda: demand.water_to_harvest("lettuce", Q(np.ones((2, 2)), "mm/day")),
            "one for each day in a row",
        ),
        (lambda: demand.water_to_harvest("lettuce", Q([], "mm/day")), "one for each day in a row"),
        (lambda: demand.water_to_harvest("lettuce", Q(4, "mm/day"), 0), "whole days"),
        (lambda: demand.water_to_harvest("lettuce", Q(4, "mm/day"), "all"), "whole days"),
        (lambda: demand.water_to_harvest("lettuse", Q(4, "mm/day")), "Did you mean"),
        (lambda: demand.water_to_harvest(Crop(name="x"), Q(4, "mm/day")), "no canopy area"),
        (lambda: demand.on_soil("basil"), "only for lettuce"),
        (
            lambda: demand.published_water_use("spinach"),
            "no figure was found for spinach; only for lettuce, basil",
        ),
        (lambda: demand.published_water_use("lettuce", 150), "`fresh_mass`"),
        (lambda: demand.published_water_use("lettuce", Q(0, "g")), "1 g to 2 kg"),
    ],
)
def test_what_cannot_be_is_said(make, words):
    with pytest.raises(Problem, match=words):
        make()


def test_a_refusal_speaks_in_the_units_of_the_question():
    with pytest.raises(OutOfRange, match="a head of 10 lb"):
        demand.published_water_use("lettuce", Q(10, "lb"))
    with pytest.raises(OutOfRange, match="an evapotranspiration of 2 in/day"):
        demand.water_to_harvest("lettuce", Q(2, "inch/day"))
