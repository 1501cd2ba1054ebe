"""Dosing in portions, deciding from a reading, and the doubt of a dose."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry import Water
from stilltank.science.mixing import mix, recipe_solution
from stilltank.science.ph import acid_dose, dose_range, next_portion, ph_after, ph_tests, portions
from stilltank.science.products import base
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

ACID = "nitric acid 1 mol/L"


def tap(alkalinity=130, ph=7.6, **more):
    given = None if alkalinity is None else Q(alkalinity, "mg/L")
    return Water({"Ca": Q(48, "mg/L")}, alkalinity=given, ph=ph, **more)


def tank(alkalinity=130, ph=7.6):
    return mix({"KNO3": Q(10, "g"), "KH2PO4": Q(5, "g")}, Q(40, "L"), tap(alkalinity, ph))


# In portions


def test_the_portions_add_up_to_the_dose_and_end_at_the_target():
    found = portions(tank(), 5.8, ACID)
    assert [row.share for row in found.rows] == [0.5, 0.75, 0.9, 1]
    assert sum(row.step.m_as("mL") for row in found.rows) == pytest.approx(found.dose.volume.m_as("mL"))
    assert found.rows[-1].added.m_as("mL") == pytest.approx(found.dose.volume.m_as("mL"))
    assert found.rows[-1].ph == pytest.approx(5.8, abs=1e-6)
    assert all(one.ph > other.ph for one, other in zip(found.rows, found.rows[1:], strict=False))


def test_half_the_acid_is_far_from_half_the_way():
    # Notes: 100 mg/L, pH 8, closed: 0.4 and 1.2 meq of 2 take it to 6.90 and 6.14. Half of what pH 5.8 takes (1.55)
    # lies between: by hand, bicarbonate 2.00 - 0.78, carbon dioxide 0.03 + 0.78, pH = 6.35 + log 1.22/0.81 = 6.53.
    water = Water({"Na": Q(2, "mmol/L")}, alkalinity=Q(2, "mmol/L"), ph=8.0, temperature=Q(25, "degC"))
    half = portions(water, 5.8, ACID).rows[0]
    assert half.ph == pytest.approx(6.53, abs=0.04)  # activities move it by 0.02


def test_portions_of_a_solid_and_of_a_base():
    solid = portions(tank(), 6, "citric acid", [0.5, 1])
    assert solid.rows[1].added.m_as("g") == pytest.approx(solid.dose.mass.m_as("g"))
    assert " g slowly while stirring" in str(solid)
    up = portions(recipe_solution("Steiner", Q(40, "L")), 5.8, "potassium hydrogen carbonate")
    assert up.rows[0].ph < up.rows[-1].ph
    assert str(up).endswith(base("potassium hydrogen carbonate").caution)


def test_each_line_says_what_to_do():
    lines = str(portions(tank(), 5.8, ACID)).splitlines()
    assert lines[0].startswith("1. Add ")
    assert "stop and work out the next portion" in lines[0]
    assert "in small sips" in lines[3]
    assert lines[4].startswith("Caution")
    assert "about pH 5.8" in str(portions(tank(), 5.8, ACID, [1]))


# The next portion


@given(
    st.floats(40, 350),
    st.floats(60, 300),
    st.floats(6.8, 8.2),
    st.floats(0.3, 0.9),
    st.sampled_from(["closed", "open"]),
)
@settings(max_examples=25, deadline=None)
def test_the_hidden_alkalinity_is_found_and_the_target_reached(hidden, stated, ph, part, air):
    true, believed = tank(hidden, ph), tank(stated, ph)
    target = 5.8
    whole = acid_dose(true, target, ACID, air)
    given_so_far = part * whole.volume
    reading = float(ph_after(true, ACID, part * whole.amount, air))
    found = next_portion(believed, target, ACID, given_so_far, reading, air)
    assert found.alkalinity.m_as("mg/L") == pytest.approx(hidden, rel=0.005)
    if found.action == "add":
        both = part * whole.amount + found.amount
        assert ph_after(true, ACID, both, air) == pytest.approx(target, abs=0.02)
    else:
        assert found.action == "stop"
        assert reading == pytest.approx(target, abs=0.1)


def test_an_alkalinity_that_nobody_stated_is_found_too():
    reading = float(ph_after(tank(180), ACID, Q(1.5, "mmol/L")))
    unknown = mix({"KNO3": Q(10, "g"), "KH2PO4": Q(5, "g")}, Q(40, "L"), tap(None))
    found = next_portion(unknown, 5.8, ACID, Q(60, "mL"), reading)
    assert found.alkalinity.m_as("mg/L") == pytest.approx(180, rel=0.005)
    assert found.expected is None
    assert "an alkalinity of about 180" in found.sentence


def test_a_reading_as_expected_goes_on_with_the_plan():
    plan = portions(tank(), 5.8, ACID)
    first = plan.rows[0]
    found = next_portion(tank(), 5.8, ACID, first.added, first.ph)
    assert "as expected" in found.sentence
    assert found.volume.m_as("mL") == pytest.approx((plan.dose.volume - first.added).m_as("mL"), rel=0.01)
    # a water is dosed by the litre, a solid by its mass
    litre = acid_dose(tap(), 5.8, "citric acid")
    half = next_portion(
        tap(), 5.8, "citric acid", litre.mass / 2, float(ph_after(tap(), "citric acid", litre.amount / 2))
    )
    assert half.volume is None
    assert half.mass.m_as("g") == pytest.approx(litre.mass.m_as("g") / 2, rel=0.01)


def test_close_enough_is_close_enough():
    whole = acid_dose(tank(), 5.8, ACID)
    found = next_portion(tank(), 5.8, ACID, whole.volume, 5.85)
    assert found.action == "stop"
    assert found.amount.magnitude == 0
    assert "stop here" in str(found)


def test_an_overshoot_says_what_brings_it_back():
    weak = tank(100)
    too_much = acid_dose(tank(130), 5.8, ACID)
    reading = float(ph_after(weak, ACID, too_much.amount))
    assert reading < 5.5
    found = next_portion(tank(130), 5.8, ACID, too_much.volume, reading)
    assert found.action == "overshot"
    assert found.alkalinity.m_as("mg/L") == pytest.approx(100, rel=0.01)
    assert found.amount.magnitude == 0
    # waiting: the same state with the air, asked in another way
    assert found.rises_to == pytest.approx(ph_after(weak, ACID, too_much.amount, "open"), abs=0.02)
    assert "no more acid" in found.sentence
    assert "water without acid" in found.sentence
    assert f"{found.base.mass.m_as('g'):.3g} g of potassium hydrogen carbonate" in found.sentence
    assert base("potassium hydrogen carbonate").caution in found.caution
    # and the base does bring it back: acid and base together leave potassium and nitrate and a fifth of carbonate
    kg = 0.9991  # of water in a litre at 15 degC
    state = dict(weak.state())
    mmol = too_much.amount.m_as("mmol/L")
    back = found.base.amount.m_as("mmol/L")
    for key, change in {"NO3": mmol, "K": back, "DIC": back, "strong_charge": back - mmol}.items():
        state[key] = state[key] + change / 1000 / kg
    from stilltank.science.chemistry.equilibrium import solve

    assert solve(state).ph == pytest.approx(5.8, abs=0.03)


def test_an_overshoot_that_waiting_does_not_mend():
    found = next_portion(tank(), 5.8, ACID, Q(160, "mL"), 3.4)
    assert found.action == "overshot"
    assert found.rises_to < 5
    assert "Waiting will not do" in found.sentence


@pytest.mark.parametrize(
    ("reading", "words"), [(2.0, "even water without any alkalinity"), (7.59, "would be above")]
)
def test_a_reading_that_nothing_explains(reading, words):
    found = next_portion(tank(), 5.8, ACID, Q(60, "mL"), reading)
    assert found.action == "unexplained"
    assert found.alkalinity is None
    assert found.amount.magnitude == 0
    assert words in found.sentence
    assert "Add nothing" in found.sentence


# Doubt


def test_the_range_of_a_dose_by_hand():
    # Closed, one H+: dose = alkalinity x (1 - share of bicarbonate), nearly in proportion to the alkalinity. With the
    # pH exact, 20 mg/L more or less than 130 change it by 20/130.
    found = dose_range(tap(), 5.8, ACID, Q(20, "mg/L"), 0)
    middle = found.middle.amount.m_as("mmol/L")
    assert found.high.amount.m_as("mmol/L") / middle == pytest.approx(150 / 130, rel=0.01)
    assert found.low.amount.m_as("mmol/L") / middle == pytest.approx(110 / 130, rel=0.01)
    assert found.ph_low == pytest.approx(ph_after(tap(110), ACID, found.middle.amount), abs=1e-4)
    assert found.ph_high == pytest.approx(ph_after(tap(150), ACID, found.middle.amount), abs=1e-4)


@given(
    st.floats(40, 300),
    st.floats(7, 8.2),
    st.sampled_from(["strips", "drops", "meter"]),
    st.floats(-1, 1),
    st.floats(-1, 1),
)
@settings(max_examples=25, deadline=None)
def test_whatever_the_truth_within_the_doubt_it_lies_in_the_range(alkalinity, ph, by, one, other):
    found = dose_range(tap(alkalinity, ph), 6.0, ACID, by, by)
    true = tap(alkalinity + one * found.alkalinity_doubt.m_as("mg/L"), ph + other * found.ph_doubt)
    assert found.low.amount <= found.middle.amount <= found.high.amount
    landed = ph_after(true, ACID, found.middle.amount)
    # a grid of nine by nine finds the ends; between its points the pH bends by less than 0.01
    assert found.ph_low - 0.01 <= landed <= found.ph_high + 0.01


def test_a_better_instrument_narrows_the_range():
    widths = [
        (found.high.amount - found.low.amount).m_as("mmol/L")
        for by in ph_tests()
        for found in [dose_range(tap(), 5.8, ACID, by, by)]
    ]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] > 3 * widths[-1]


def test_a_water_that_may_need_none():
    found = dose_range(tap(), 7.3, ACID, "strips", "strips")
    assert found.low.amount.magnitude == 0
    assert "may need none at all" in found.sentence


def test_the_doubt_reads_as_a_sentence():
    text = str(dose_range(tank(), 5.8, ACID))
    assert "An alkalinity of 130, give or take 10 mg/L as CaCO3" in text
    assert "in 40 L for pH 5.8" in text
    assert "may land anywhere from pH" in text
    assert text.splitlines()[-1].startswith("Caution")


@pytest.mark.parametrize(
    ("call", "error", "says"),
    [
        (lambda: portions(None, 5.8, ACID), Unreadable, "portions needs a Solution or a Water"),
        (lambda: portions(tap(), [5.8, 6], ACID), Problem, "one value for `target`"),
        (lambda: portions(tap(), 9, ACID), OutOfRange, "needs no acid"),
        (lambda: portions(tap(), 5.8, "vinegar"), Unreadable, "No acid is called"),
        (lambda: portions(tap(), 5.8, ACID, [0.5, 0.4, 1]), Unreadable, "grow and end at 1"),
        (lambda: portions(tap(), 5.8, ACID, []), Unreadable, "grow and end at 1"),
        (lambda: portions(tap(), 5.8, ACID, "half"), Unreadable, "grow and end at 1"),
        (lambda: portions(tap(), 5.8, ACID, [0.5]), Unreadable, "grow and end at 1"),
        (lambda: portions(mix({}, Q([10, 20], "L"), tap()), 5.8, ACID), Problem, "one solution at a time"),
        (lambda: next_portion(tap(), 5.8, ACID, 40, 6.5), UnitNeeded, "`added`"),
        (lambda: next_portion(tap(), 5.8, ACID, None, 6.5), UnitNeeded, "`added`"),
        (lambda: next_portion(tap(), 5.8, ACID, Q(0, "mL"), 6.5), OutOfRange, "more than nothing"),
        (lambda: next_portion(tap(), 5.8, ACID, Q(-1, "mL"), 6.5), OutOfRange, "more than nothing"),
        (lambda: next_portion(tap(), 5.8, ACID, Q(1, "g"), 6.5), UnitNeeded, "a mass"),
        (lambda: next_portion(tap(), 5.8, ACID, Q(1, "mL"), "6.5"), Unreadable, "`reading`"),
        (lambda: next_portion(tap(), 5.8, ACID, Q(1, "mL"), 65), OutOfRange, "between 0 and 14"),
        (lambda: next_portion(tap(), 5.8, ACID, Q(1, "mL"), [6, 7]), Problem, "one value for `reading`"),
        (lambda: next_portion(tap(ph=None), 5.8, ACID, Q(1, "mL"), 6.5), Problem, "pH of the water before"),
        (
            lambda: next_portion(tap(), 5.8, "potassium carbonate", Q(1, "g"), 6.5),
            Unreadable,
            "needs an acid",
        ),
        (lambda: dose_range(tap(), 5.8, ACID, "tea"), Unreadable, "strips, drops, meter"),
        (lambda: dose_range(tap(), 5.8, ACID, 20), Unreadable, "strips, drops, meter"),
        (lambda: dose_range(tap(), 5.8, ACID, None), Unreadable, "strips, drops, meter"),
        (lambda: dose_range(tap(), 5.8, ACID, "strips", None), Unreadable, "`ph_by`"),
        (lambda: dose_range(tap(), 5.8, ACID, "strips", -1), OutOfRange, "either way"),
        (lambda: dose_range(tap(), 5.8, ACID, Q(-1, "mg/L")), OutOfRange, "cannot be"),
        (lambda: dose_range(tap(), [5.8, 6], ACID), Problem, "one value for `target`"),
        (lambda: dose_range(5, 5.8, ACID), Unreadable, "needs a Solution or a Water"),
        (lambda: dose_range(Water.pure(), 5.3, ACID), Problem, "alkalinity and a pH"),
    ],
)
def test_a_slip_gets_a_sentence(call, error, says):
    with pytest.raises(error, match=says):
        call()
