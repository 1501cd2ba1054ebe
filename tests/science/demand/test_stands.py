"""Coefficients of stands that no table lists, and the crop table held to FAO-56's."""

import numpy as np
import pytest
from stilltank.science import crops, demand
from stilltank.tables import load
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

# Who stands for whom: a crop takes the coefficients of the nearest kin that FAO-56 lists.
KIN = {
    "lettuce": "lettuce",
    "spinach": "spinach",
    "rocket": "crucifers",
    "pak-choi": "crucifers",
    "mizuna": "crucifers",
    "chard": "table beet",
    "parsley": "celery",
    "dill": "celery",
    "coriander": "celery",
    "chives": "green onion",
}
MINT = ("basil", "purple-basil")


@pytest.mark.parametrize(("name", "kin"), KIN.items())
def test_a_crop_has_the_coefficients_of_its_kin(name, kin):
    ours, printed = crops.crop(name), demand.field_crop(kin)
    for field in ("kcb_initial", "kcb_mid", "kcb_end"):
        assert getattr(ours, field) == getattr(printed, field), field


@pytest.mark.parametrize("name", MINT)
def test_basil_grows_into_the_coefficients_of_mint(name):
    """From seed it begins with the 0.15 of annual crops; mint, a clump that stays, begins with 0.40."""
    ours, mint = crops.crop(name), demand.field_crop("mint")
    assert (ours.kcb_initial, ours.kcb_mid, ours.kcb_end) == (0.15, mint.kcb_mid, mint.kcb_end)


def test_what_is_neither_listed_nor_kin_goes_by_its_height():
    """Kinds of one flower differ in height by half, and 0.5 m are 0.05; further than 0.1 off is another plant."""
    unlisted = set(crops.names()) - {*KIN, *MINT, "sunflower"}
    assert unlisted == set(crops.names("flower")) - {"sunflower"}
    for name in unlisted:
        one = crops.crop(name)
        assert one.kcb_mid == pytest.approx(demand.full_cover_coefficient(one.height).magnitude, abs=0.1), (
            name
        )


def test_cut_flowers_do_not_dry_down():
    """A stem is cut in mid season: 0.25 in the table is a sunflower's seed head that dries on the stalk."""
    for name in crops.names("flower"):
        assert crops.crop(name).kcb_end == crops.crop(name).kcb_mid, name
    printed = load("field-crops")["sunflower", "Kcb mid"]
    cut = load("crops")["sunflower", "Kcb mid"]
    assert (cut.low, cut.value, cut.high) == (printed.low, printed.value, printed.high)


def test_a_local_coefficient_differs_by_a_quarter_at_most():
    """FAO-56, page 136, lets a local one differ by up to 0.2; what goes by height alone is carried as +/- 0.25."""
    for name in crops.names():
        entry = load("crops")[name, "Kcb mid"]
        assert entry.low < entry.value < entry.high
        assert max(entry.high - entry.value, entry.value - entry.low) <= 0.25 + 1e-9


def test_cover_goes_from_bare_to_full():
    share = Q(np.linspace(0, 100, 11), "percent")
    found = demand.partial_cover_coefficient(1.1, share, Q(0.5, "m")).magnitude
    assert found[0] == pytest.approx(0.15)
    assert found[-1] == pytest.approx(1.1)
    assert (np.diff(found) >= 0).all()
    # below a quarter of cover twice the cover counts: 0.15 + 0.95 x 2 x 0.1
    assert found[1] == pytest.approx(0.34)
    assert demand.leaf_area_coefficient(1.1, 0).magnitude == pytest.approx(0.15)
    assert demand.leaf_area_coefficient(0.1, 0).magnitude == pytest.approx(0.1)  # bare is never above full


def test_a_stand_alone_uses_more_and_the_cap_holds():
    low, tall = Q(0.3, "m"), Q(3, "m")
    assert demand.isolated_stand_coefficient(low, Q(0.6, "m")).magnitude == pytest.approx(1.7)
    assert demand.isolated_stand_coefficient(tall, Q(0.6, "m")).magnitude == 2.5
    assert demand.isolated_stand_coefficient(low, Q(100, "m")).magnitude == pytest.approx(1.2, abs=0.01)
    assert demand.isolated_stand_coefficient(low, Q(0.6, "m"), 0.5).magnitude == pytest.approx(1.45)


@pytest.mark.parametrize(
    ("make", "error", "words"),
    [
        (lambda: demand.full_cover_coefficient(0.3), UnitNeeded, "`height`"),
        (lambda: demand.full_cover_coefficient(Q(-1, "m")), OutOfRange, "plants of −100 cm"),
        (
            lambda: demand.full_cover_coefficient(Q(400, "inch")),
            OutOfRange,
            "plants of 33.33 ft; write heights up to 32.81 ft",
        ),
        (
            lambda: demand.partial_cover_coefficient(1.1, Q(120, "percent"), Q(0.3, "m")),
            OutOfRange,
            "0 to 100 percent",
        ),
        (
            lambda: demand.partial_cover_coefficient(9, Q(20, "percent"), Q(0.3, "m")),
            OutOfRange,
            "full cover of 9",
        ),
        (lambda: demand.leaf_area_coefficient(1.1, 40), OutOfRange, "leaf area index of 40"),
        (
            lambda: demand.isolated_stand_coefficient(Q(0.3, "m"), Q(1, "mm")),
            OutOfRange,
            "a width of 1 mm|a width of 0.1 cm",
        ),
        (
            lambda: demand.isolated_stand_coefficient(Q(0.3, "m"), Q(1, "m"), 2),
            OutOfRange,
            "stomatal share of 2",
        ),
        (lambda: demand.field_crop("zinnia"), Problem, "Choose lettuce, spinach"),
    ],
)
def test_what_cannot_be_is_said(make, error, words):
    with pytest.raises(error, match=words):
        make()
