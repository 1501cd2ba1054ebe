"""Crops: the table against its published sources, and bad input."""

import dataclasses

import pytest
from stilltank import tables
from stilltank.science import crop as crops
from stilltank.science.crop import Plants, crop
from stilltank.units import OutOfRange, Problem, Q


def test_lettuce_carries_the_published_coefficients():
    """Allen et al. (1998), FAO-56, Table 17 (0.15, 0.90, 0.90) and Table 11 (20/30/15/10 d, April)."""
    lettuce = crop("lettuce")
    assert (lettuce.kcb_initial, lettuce.kcb_mid, lettuce.kcb_end) == (0.15, 0.90, 0.90)
    stages = (lettuce.stage_initial, lettuce.stage_development, lettuce.stage_mid, lettuce.stage_late)
    assert [stage.m_as("day") for stage in stages] == [20, 30, 15, 10]
    assert lettuce.where_from("kcb_mid").kind == "published"


@pytest.mark.parametrize("name", crops.names())
def test_every_crop_can_be_scheduled_and_watered(name):
    one = crop(name)
    assert one.thermal_time is not None or one.days_to_flower is not None or one.days_to_harvest is not None
    assert one.canopy_area.check("[area]")
    assert one.canopy_area.m_as("m^2") > 0
    assert one.kcb_initial <= one.kcb_mid
    assert one.ph_low < one.ph_high
    assert one.harvest_weeks.check("[time]")
    assert one.use in ("flower", "salad", "herb")
    assert one.recipe in ("leafy", "flowering")


@pytest.mark.parametrize("name", [n for n in crops.names() if n != "lettuce"])
@pytest.mark.parametrize("field", ["kcb_mid", "canopy_area"])
def test_what_nobody_published_is_not_called_published(name, field):
    entry = crop(name).where_from(field)
    assert entry.kind == "assumption"
    assert entry.low < entry.value < entry.high


def test_every_row_of_the_table_is_read_by_a_field_or_marked_for_seed():
    """A row that nothing reads is a row with a slip in its name."""
    fields = {crops._property(f.name)[0] for f in dataclasses.fields(crops.Crop)}
    only_for_reading = {
        "germination base",
        "emergence time",
    }  # seed, not flowering: shown, never computed with
    assert {prop for _, prop in tables.load("crops")} - fields == only_for_reading


def test_ranges_reach_the_fields():
    sunflower = crop("sunflower")
    low, high = sunflower.thermal_time_low, sunflower.thermal_time_high
    assert (high - low).m_as("delta_degC*day") / 2 == pytest.approx(51.8)  # printed +/- 51.8, Goyne et al.
    assert crop("zinnia").thermal_time_low is None  # its abstract prints no range


def test_a_wrong_name_is_answered_with_near_ones():
    with pytest.raises(Problem, match="Did you mean 'lettuce'"):
        crop("letuce")
    with pytest.raises(Problem, match="The crops are: lettuce"):
        crop("xyz")


def test_a_field_without_a_value_says_so():
    with pytest.raises(Problem, match="thermal time"):
        crop("cosmos").where_from("thermal_time")


def test_plants():
    six = Plants("lettuce", 6)
    assert six.crop is crop("lettuce")
    assert six.canopy_area.m_as("m^2") == pytest.approx(6 * 0.04)
    with pytest.raises(Problem, match="no canopy area"):
        _ = Plants(crops.Crop(name="weed"), 2).canopy_area


@pytest.mark.parametrize("count", [0, -2, 1.5, True])
def test_a_number_of_plants_is_whole_and_positive(count):
    with pytest.raises(OutOfRange, match="whole and at least 1"):
        Plants("lettuce", count)


def test_a_thermal_time_without_its_base_is_refused():
    with pytest.raises(Problem, match="base_temperature"):
        crops.Crop(name="mine", thermal_time=Q(700, "delta_degC*day"))
    with pytest.raises(Problem, match="days_phase"):
        crops.Crop(name="mine", days_to_flower=Q(60, "day"))


def test_a_crop_can_be_changed_for_one_tank():
    mine = dataclasses.replace(crop("basil"), canopy_area=Q(0.06, "m^2"))
    assert mine.canopy_area.m_as("m^2") == 0.06
    assert crop("basil").canopy_area.m_as("m^2") == 0.04
