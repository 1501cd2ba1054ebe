"""How strong a recipe is mixed for a crop: its conductivity is that of the crop, as far as the water lets it."""

import pytest
from stilltank.science.crops import crop, names
from stilltank.science.mixing import Water, crop_strength, demo_water, recipe_targets, weigh_out
from stilltank.science.products import usual_salts
from stilltank.units import Problem, Q

TANK = Q(36, "L")
SALTY = Water(
    {"Ca": Q(90, "mg/L"), "Mg": Q(25, "mg/L"), "Na": Q(60, "mg/L"), "Cl": Q(100, "mg/L"), "SO4": Q(90, "mg/L")},
    alkalinity=Q(250, "mg/L"), ph=7.6, name="salty tap",
)  # fmt: skip
WATERS = {"pure": Water.pure(), "tap": demo_water("quillgate-tap"), "salty": SALTY}


def strength(name, water):
    kind = crop(name)
    return crop_strength(kind.recipe or "leafy", usual_salts(), TANK, kind, water)


@pytest.mark.parametrize("water", WATERS.values(), ids=WATERS)
@pytest.mark.parametrize("name", ["snapdragon", "zinnia", "cosmos", "lettuce", "basil", "marigold", "dill"])
def test_the_filling_is_in_the_range_of_the_crop(name, water):
    found, kind = strength(name, water), crop(name)
    shown = found.reading.m_as("mS/cm")
    assert kind.conductivity_low.m_as("mS/cm") <= shown <= kind.conductivity_high.m_as("mS/cm")
    assert 0.5 <= found.factor <= 1.25
    again = weigh_out(found.targets, usual_salts(), TANK, water)
    assert again.solution.conductivity().m_as("mS/cm") == pytest.approx(shown, rel=1e-6)


def test_what_elements_are_to_each_other_stays():
    found, full = strength("snapdragon", WATERS["tap"]), recipe_targets("flowering")
    assert found.factor < 0.8
    for name, value in full.items():
        assert (found.targets[name] / value).m_as("") == pytest.approx(found.factor)
    assert f"{100 * found.factor:.0f} % of the recipe goes in" in found.sentence


def test_a_recipe_that_fits_stays_as_it_is():
    found = strength("marigold", WATERS["tap"])
    assert (found.factor, found.sentence) == (1.0, "")


def test_harder_water_leaves_less_room_for_salts_but_a_tank_is_never_starved():
    factors = [strength("snapdragon", water).factor for water in WATERS.values()]
    assert factors == sorted(factors, reverse=True)
    assert factors[-1] == pytest.approx(0.5)  # half strength, the weakest growers start from
    sea = Water({"Na": Q(300, "mg/L"), "Cl": Q(400, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.6)
    found = strength("snapdragon", sea)
    assert found.factor == pytest.approx(0.5)
    assert "mix it with rain water" in found.sentence


def test_the_factor_moves_smoothly_with_the_water():
    last = None
    for part in range(11):
        water = Water({"Ca": Q(12 * part, "mg/L")}, alkalinity=Q(30 * part, "mg/L"), ph=7.5)
        factor = strength("calendula", water).factor
        assert last is None or abs(factor - last) < 0.06
        last = factor


def test_a_crop_without_a_range_gets_the_recipe():
    bare = next((name for name in names() if crop(name).conductivity_low is None), None)
    if bare is not None:
        assert strength(bare, WATERS["tap"]).factor == 1.0
    with pytest.raises(Problem, match="crop"):
        crop_strength("leafy", usual_salts(), TANK, "lettuce")
