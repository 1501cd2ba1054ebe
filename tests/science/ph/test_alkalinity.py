"""Alkalinity by titration and by blending, and hardness, which is something else."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry import (
    Water,
    hardness_as_caco3,
    hardness_on_scale,
    hardness_scales,
    total_hardness,
)
from stilltank.science.mixing import blend
from stilltank.science.ph import (
    alkalinity_as_charge,
    alkalinity_by_titration,
    endpoint_ph,
    ph_after,
    rain_share_for_alkalinity,
)
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TAP = Water({"Ca": Q(80, "mg/L"), "Mg": Q(12, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.6, name="tap")


def test_the_textbook_titration():
    # The usual formula: mL of acid x normality x 50 000 / mL of sample. 10 mL of 0.02 N in 100 mL: 100 mg/L.
    # Tolerance: 50 000 for 50 043.
    found = alkalinity_by_titration(Q(10, "mL"), Q(0.02, "mol/L"), Q(100, "mL"))
    assert found.m_as("mg/L") == pytest.approx(100, rel=1e-3)
    many = alkalinity_by_titration(Q([0, 5, 10], "mL"), Q(0.02, "mol/L"), Q(100, "mL"))
    assert many.m_as("mg/L") == pytest.approx([0, 50, 100], rel=1e-3)
    # twenty drops to the millilitre
    drops = alkalinity_by_titration(drops=200, acid_strength=Q(20, "mmol/L"), sample_volume=Q(100, "mL"))
    assert drops.m_as("mg/L") == pytest.approx(100, rel=1e-3)
    small = alkalinity_by_titration(
        drops=200, each=Q(0.04, "mL"), acid_strength=Q(20, "mmol/L"), sample_volume=Q(100, "mL")
    )
    assert small.m_as("mg/L") == pytest.approx(80, rel=1e-3)


@pytest.mark.parametrize(
    ("caco3", "by_method", "used"), [(30, 4.9, 0.987), (150, 4.6, 0.990), (500, 4.3, 0.996)]
)
def test_the_fixed_end_points_of_the_standard_method_stop_a_little_early(caco3, by_method, used):
    # Standard Methods 2320 (from memory): pH 4.9, 4.6, 4.3 at 30, 150, 500 mg/L. Notes (computed): stopping there
    # uses 98.7, 99.0 and 99.6 % of the alkalinity.
    charge = alkalinity_as_charge(Q(caco3, "mg/L"))
    water = Water({"Na": charge}, alkalinity=charge, ph=8.3, temperature=Q(25, "degC"))
    assert endpoint_ph(Q(caco3, "mg/L")) == pytest.approx(
        ph_after(water, "hydrochloric acid 32 %", charge), abs=0.01
    )
    assert endpoint_ph(Q(caco3, "mg/L")) < by_method < endpoint_ph(Q(caco3, "mg/L")) + 0.2
    assert ph_after(water, "hydrochloric acid 32 %", used * charge) == pytest.approx(by_method, abs=0.03)


def test_the_end_point_by_hand():
    # carbon dioxide alone, 25 degC: (pK1 - log10 c)/2, pK1 6.352; activities move the strongest by 0.02
    for caco3 in (10, 30, 150):
        by_hand = (6.352 - np.log10(caco3 / 50.04e3)) / 2
        assert endpoint_ph(Q(caco3, "mg/L")) == pytest.approx(by_hand, abs=0.02)
    row = endpoint_ph(Q([30, 150, 500], "mg/L"))
    assert row == pytest.approx([endpoint_ph(Q(mg, "mg/L")) for mg in (30, 150, 500)])
    assert endpoint_ph(Q(2, "mmol/L")) == pytest.approx(endpoint_ph(Q(100.087, "mg/L")), abs=1e-4)


@given(st.floats(60, 400), st.floats(0, 50), st.floats(0.01, 1))
@settings(deadline=None)
def test_a_blend_has_the_alkalinity_asked_for(hard, soft, part):
    tap = Water({}, alkalinity=Q(hard, "mg/L"), ph=7.6)
    rain = Water({}, alkalinity=Q(soft, "mg/L"), ph=7.0)
    wanted = soft + part * (hard - soft)
    share = rain_share_for_alkalinity(tap, rain, Q(wanted, "mg/L")).m_as("dimensionless")
    assert 0 <= share <= 1
    blended = blend(rain, Q(100 * share, "L"), tap, Q(100 * (1 - share), "L")).water
    assert blended.alkalinity.m_as("mg/L") == pytest.approx(wanted, rel=1e-3)


def test_rain_shares_by_hand():
    shares = rain_share_for_alkalinity(TAP, Water.pure(), Q([250, 125, 50, 0], "mg/L"))
    assert shares.m_as("percent") == pytest.approx([0, 50, 80, 100])


def test_scales_of_hardness_against_conversion_tables():
    # As conversion tables print them: one German degree is 1.785 French, 1.252 English degrees, 0.1783 mmol/L, 17.85
    # mg/L; one grain per US gallon is 17.12 mg/L (from memory). Tolerance: their rounding.
    one = hardness_as_caco3(1, "German degrees")
    for scale, stated, by in (
        ("French degrees", 1.785, 0.001),
        ("English degrees", 1.252, 0.001),
        ("mmol/L", 0.1783, 0.0001),
        ("mg/L CaCO3", 17.85, 0.01),
    ):
        assert hardness_on_scale(scale, one) == pytest.approx(stated, abs=by)
    assert hardness_as_caco3(1, "grains per US gallon").m_as("mg/L") == pytest.approx(17.12, abs=0.01)
    # the definition: a grain is 64.79891 mg, a US gallon 3.785411784 L, an imperial one 4.54609 L
    assert hardness_on_scale("grains per US gallon", Q(64.79891 / 3.785411784, "mg/L")) == pytest.approx(
        1, rel=1e-5
    )
    assert hardness_on_scale("English degrees", Q(64.79891 / 4.54609, "mg/L")) == pytest.approx(1, rel=1e-5)


@given(st.sampled_from(hardness_scales()), st.floats(0, 100))
@settings(deadline=None)
def test_there_and_back(scale, value):
    assert hardness_on_scale(scale, hardness_as_caco3(value, scale)) == pytest.approx(
        value, rel=1e-9, abs=1e-12
    )


def test_hardness_of_a_report():
    # by hand: 2.497 x Ca + 4.118 x Mg, the factors water reports use
    assert total_hardness(Q(80, "mg/L"), Q(12, "mg/L")).m_as("mg/L") == pytest.approx(
        2.497 * 80 + 4.118 * 12, rel=1e-3
    )
    by_amount = total_hardness(Q(1, "mmol/L"), Q(0.5, "mmol/L"))
    assert hardness_on_scale("mmol/L", by_amount) == pytest.approx(1.5, rel=1e-6)
    assert hardness_on_scale("mmol/L", Q([1, 2], "mmol/L")).tolist() == pytest.approx([1, 2])


def test_hardness_is_not_alkalinity():
    softened = Water({"Na": Q(115, "mg/L")}, alkalinity=Q(250, "mg/L"), ph=7.6)
    assert total_hardness(Q(0, "mg/L"), Q(0, "mg/L")).magnitude == 0
    assert ph_after(softened, "nitric acid 1 mol/L", Q(2, "mmol/L")) > 6.5


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: hardness_as_caco3("8", "German degrees"), Unreadable, "plain number"),
        (lambda: hardness_as_caco3(None, "German degrees"), Unreadable, "plain number"),
        (
            lambda: hardness_as_caco3(8, "degrees"),
            Unreadable,
            "^hardness_as_caco3 takes for `scale` .*German degrees.*You gave 'degrees'",
        ),
        (lambda: hardness_as_caco3(-1, "mmol/L"), OutOfRange, "cannot be"),
        (lambda: hardness_as_caco3(1e9, "mmol/L"), OutOfRange, "Check the scale"),
        (lambda: hardness_on_scale("mmol/L", 100), UnitNeeded, "mass in each litre"),
        (lambda: hardness_on_scale(None, Q(1, "mg/L")), Unreadable, "takes for `scale`"),
        (lambda: total_hardness(48, 6), UnitNeeded, "`calcium`"),
        (lambda: total_hardness(Q(-1, "mg/L"), Q(6, "mg/L")), OutOfRange, "zero or more"),
        (lambda: total_hardness(Q([1, 2], "mg/L"), Q([1, 2, 3], "mg/L")), Problem, "do not fit"),
        (lambda: alkalinity_by_titration(), UnitNeeded, "acid_strength"),
        (
            lambda: alkalinity_by_titration(Q(1, "mL"), Q(1, "g/L"), Q(1, "mL")),
            UnitNeeded,
            "amount in each litre",
        ),
        (lambda: alkalinity_by_titration(Q(1, "mL"), Q(1, "mol/L"), Q(0, "mL")), OutOfRange, "sample_volume"),
        (lambda: alkalinity_by_titration(Q(-1, "mL"), Q(1, "mmol/L"), Q(9, "mL")), OutOfRange, "below zero"),
        (
            lambda: alkalinity_by_titration(Q(9, "mL"), Q(1, "mol/L"), Q(9, "mL")),
            OutOfRange,
            "cannot be right",
        ),
        (
            lambda: alkalinity_by_titration(acid_strength=Q(1, "mmol/L"), sample_volume=Q(9, "mL")),
            Unreadable,
            "neither",
        ),
        (
            lambda: alkalinity_by_titration(Q(1, "mL"), Q(1, "mmol/L"), Q(9, "mL"), drops=3),
            Unreadable,
            "both",
        ),
        (
            lambda: alkalinity_by_titration(Q(1, "mL"), Q(1, "mmol/L"), Q(9, "mL"), each=Q(0.05, "mL")),
            Unreadable,
            "volume of a drop",
        ),
        (lambda: endpoint_ph(30), UnitNeeded, "endpoint_ph needs"),
        (lambda: endpoint_ph(Q(0, "mg/L")), OutOfRange, "no alkalinity to titrate"),
        (lambda: endpoint_ph(Q(30, "mg/L"), Q(60, "degC")), OutOfRange, "0 °C to 40 °C"),
        (
            lambda: rain_share_for_alkalinity(TAP, "rain", Q(75, "mg/L")),
            Unreadable,
            "needs a Water for `rain`",
        ),
        (lambda: rain_share_for_alkalinity(TAP, Water.pure(), 75), UnitNeeded, "`alkalinity`"),
        (
            lambda: rain_share_for_alkalinity(TAP, Water.pure(), Q(300, "mg/L")),
            OutOfRange,
            "0 to 250.*300 is outside",
        ),
        (lambda: rain_share_for_alkalinity(Water.pure(), TAP, Q(30, "mg/L")), OutOfRange, "which is which"),
        (
            lambda: rain_share_for_alkalinity(Water({}), Water.pure(), Q(30, "mg/L")),
            Problem,
            "hard water is not known",
        ),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()
