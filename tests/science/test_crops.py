"""Crops: the table against its published sources, and bad input."""

import dataclasses

import pytest
from stilltank import tables
from stilltank.science import crops
from stilltank.science.crops import Plants, crop
from stilltank.units import OutOfRange, Problem, Q


def test_lettuce_carries_the_published_coefficients():
    """Allen et al. (1998), FAO-56, Table 17 (0.15, 0.90, 0.90)."""
    lettuce = crop("lettuce")
    assert (lettuce.kcb_initial, lettuce.kcb_mid, lettuce.kcb_end) == (0.15, 0.90, 0.90)
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


LISTED = ("lettuce", "spinach", "sunflower")  # in FAO-56, Table 17


@pytest.mark.parametrize(
    ("name", "field"),
    [(n, f) for n in crops.names() for f in ("kcb_mid", "canopy_area") if n not in LISTED or f != "kcb_mid"],
)
def test_what_nobody_published_is_not_called_published(name, field):
    entry = crop(name).where_from(field)
    assert entry.kind == "assumption"
    assert entry.low < entry.value < entry.high


def test_every_row_of_the_table_is_read_by_a_field():
    """A row that nothing reads is a row with a slip in its name. One pH is of no use: the range is."""
    fields = {crops._property(f.name)[0] for f in dataclasses.fields(crops.Crop)}
    assert {prop for _, prop in tables.load("crops")} <= fields


def test_the_table_holds_what_a_season_needs():
    """Twenty cut flowers, ten herbs and salads; a number of its kind and a range wherever there is a number."""
    assert len(crops.names("flower")) >= 20
    assert len(crops.names("herb")) + len(crops.names("salad")) >= 10
    assert set(crops.names()) == {n for use in ("flower", "herb", "salad") for n in crops.names(use)}


@pytest.mark.parametrize("name", crops.names())
def test_a_crop_says_how_it_is_raised_and_kept(name):
    one = crop(name)
    for field in ("germination_days", "germination_temperature", "seedling_days", "spacing", "height"):
        low, value, high = (getattr(one, field + end) for end in ("_low", "", "_high"))
        assert value is not None, field
        assert (value if low is None else low) <= value <= (value if high is None else high), field
    assert 0 < one.germination_days.m_as("day") < one.seedling_days.m_as("day")
    assert 10 <= one.germination_temperature.m_as("degC") <= 30
    assert 2 <= one.spacing.m_as("cm") <= 60
    for field in ("sow_into", "support", "hardiness", "water_class"):
        assert getattr(one, field) in crops.WORDS[field], field
    if one.use == "flower":
        assert one.stems_per_plant_low <= one.stems_per_plant <= one.stems_per_plant_high
        assert one.pinch in ("yes", "no")
        assert one.harvest_weight is None
    else:
        assert one.harvest_weight_low < one.harvest_weight
        assert one.harvest_weight <= one.harvest_weight_high
    if one.plants_a_pot is not None:
        assert one.sow_into == "net pot"
        assert 1 < one.plants_a_pot <= one.seeds_a_pot
    if one.height.m_as("m") > 1 and one.use == "flower":
        assert one.support != "none"


@pytest.mark.parametrize("name", crops.names())
def test_a_plant_in_a_stand_has_the_canopy_of_its_room(name):
    """The square of the spacing, rounded down to two figures at most; a rim of leaves may overhang by a fifth."""
    one = crop(name)
    room = one.spacing.m_as("m") ** 2
    assert 0.95 * room < one.canopy_area.m_as("m^2") <= room
    entry = one.where_from("canopy_area")
    assert (entry.low, entry.high) == pytest.approx((0.8 * entry.value, 1.2 * entry.value))


def test_published_germination():
    """Harrington & Minges (1954), copy: 3 and 14 days at 20 degC; the chart's ageratum: 70 to 75 degF, 7 to 10 d."""
    assert [crop(n).germination_days.m_as("day") for n in ("lettuce", "parsley")] == [3, 14]
    ageratum = crop("ageratum")
    assert ageratum.germination_temperature_high.m_as("degC") == pytest.approx(23.9, abs=0.05)
    assert (ageratum.germination_days_low.magnitude, ageratum.germination_days_high.magnitude) == (7, 10)
    assert ageratum.where_from("germination_days").kind == "published"


def test_a_word_that_is_none_of_the_choices_is_refused():
    with pytest.raises(Problem, match='pinch is "yes" or "no"'):
        dataclasses.replace(crop("zinnia"), pinch="sometimes")


def test_ranges_reach_the_fields():
    pansy, spinach = crop("pansy"), crop("spinach")
    assert (pansy.ph_low, pansy.ph_high) == (5.4, 6.0)  # growers' low-pH group
    # rates 1/23 at 5 degC and 1/6 at 20 degC, Harrington & Minges: 0.1010 at 12 degC on the line between them
    rate = 1 / 23 + (1 / 6 - 1 / 23) * (12 - 5) / (20 - 5)
    assert spinach.germination_temperature.m_as("degC") == 12
    assert spinach.germination_days.m_as("day") == round(1 / rate)
    assert (spinach.germination_days_low.m_as("day"), spinach.germination_days_high.m_as("day")) == (6, 23)
    assert crop("bedding-zinnia").thermal_time_low is None  # its abstract prints no range


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


def test_a_ceiling_without_an_optimum_below_it_is_refused():
    with pytest.raises(Problem, match="optimum_temperature below it"):
        dataclasses.replace(crop("bedding-zinnia"), ceiling_temperature=Q(35, "degC"))
    with pytest.raises(Problem, match="optimum_temperature below it"):
        dataclasses.replace(crop("snapdragon"), ceiling_temperature=Q(28, "degC"))


def test_a_crop_can_be_changed_for_one_tank():
    mine = dataclasses.replace(crop("basil"), canopy_area=Q(0.06, "m^2"))
    assert mine.canopy_area.m_as("m^2") == 0.06
    assert crop("basil").canopy_area.m_as("m^2") == 0.04


@pytest.mark.parametrize("name", crops.names())
def test_a_measured_thermal_time_names_its_kind(name):
    """Kinds differ by a fifth, so a schedule says which one was measured."""
    one = crops.crop(name)
    if one.thermal_time is not None and one.where_from("thermal_time").kind in ("published", "computed"):
        assert "'" in one.species
