"""Each slip gives the wrong number of its route, and is named when that number is typed."""

import inspect

import pytest
from stilltank.learning import questions
from stilltank.learning.questions import Asked, Numbers, Question, Slip, State, judge, slips
from stilltank.units import Q

# How each slip is tried: the slip, the problem's numbers, the right way, the unit, the wrong numbers worked by hand.
# Factors from outside this library: US gallon 3.785411784 L, imperial gallon 4.54609 L, ounce 28.349523125 g
# (NIST SP 811, Appendix B; from memory), US fluid ounce 1/128 gallon; label factor 0.43643 of Mattson (2018).
MASS = Numbers(target=Q(100, "mg/L"), volume=Q(20, "L"), water=Q(30, "mg/L"), share=Q(20, "percent"))


def mass_of_salt(n):
    """(100 - 30) mg/L x 20 L = 1400 mg, over 20 % = 7 g."""
    return ((n.target - n.water) * n.volume / n.share).to("g")


WEEK = Numbers(rate=Q(2, "L/day"), days=Q(14, "day"))
ACID = Numbers(first=5.0, second=7.0)
AIR = Numbers(temperature=Q(20, "degC"))


def used(n):
    return (n.rate * n.days).to("L")


def times_more(n):
    return 10 ** (n.second - n.first)


TRIED = {
    "thousandfold": (questions.thousandfold(), MASS, mass_of_salt, "g", [7000, 0.007]),
    "tenfold": (questions.tenfold(), MASS, mass_of_salt, "g", [70, 0.7]),
    "percent_for_share": (questions.percent_for_share(), MASS, mass_of_salt, "g", [700, 0.07]),
    "us_gallon_for_litre": (
        questions.us_gallon_for_litre("volume"),
        MASS,
        mass_of_salt,
        "g",
        [7 * 3.785411784],
    ),
    "imperial_gallon_for_litre": (
        questions.imperial_gallon_for_litre("volume"),
        MASS,
        mass_of_salt,
        "g",
        [7 * 4.54609],
    ),
    "imperial_for_us_gallon": (
        questions.imperial_for_us_gallon("volume"),
        MASS.but(volume=Q(10, "gallon")),
        mass_of_salt,
        "g",
        [70 * 10 * 4.54609 / 0.2 / 1000],
    ),
    "fluid_ounces_for_ounces": (
        questions.fluid_ounces_for_ounces(),
        MASS,
        mass_of_salt,
        "g",
        [7 * 29.5735295625 / 28.349523125, 7 * 28.349523125 / 29.5735295625],
    ),
    "compound_for_element": (
        questions.compound_for_element(lambda n: n.share),
        MASS,
        lambda n: Q(30, "mg/L"),
        "mg/L",
        [150],
    ),
    "element_for_compound": (
        questions.element_for_compound(lambda n: n.share),
        MASS,
        mass_of_salt,
        "g",
        [1.4],
    ),
    "share_upside_down": (
        questions.share_upside_down(lambda n: n.share),
        MASS,
        mass_of_salt,
        "g",
        [1.4 * 0.2],
    ),
    "oxide_for_element": (
        questions.oxide_for_element("P2O5", "P"),
        MASS,
        lambda n: Q(5.2372, "percent"),  # of a label with 12 % P2O5
        "percent",
        [5.2372 * 0.43643, 12],
    ),
    "nitrate_for_nitrogen": (
        questions.nitrate_for_nitrogen(),
        MASS,
        lambda n: Q(100, "mg/L"),
        "mg/L",
        [22.59, 442.7],  # 14.007 / 62.004
    ),
    "hydrate_for_anhydrous": (
        questions.hydrate_for_anhydrous("MgSO4.7H2O", "MgSO4"),
        MASS,
        mass_of_salt,
        "g",
        [7 * 246.466 / 120.361, 7 * 120.361 / 246.466],  # abridged standard atomic weights
    ),
    "bicarbonate_for_calcium_carbonate": (
        questions.bicarbonate_for_calcium_carbonate(),
        MASS,
        lambda n: Q(100, "mg/L"),
        "mg/L",
        [100 * 2 * 61.016 / 100.086, 100 * 100.086 / (2 * 61.016)],
    ),
    "calcium_carbonate_for_charge": (
        questions.calcium_carbonate_for_charge(),
        MASS,
        lambda n: Q(100, "mg/L"),
        "mg/L",
        [200, 50],
    ),
    "molarity_for_normality": (
        questions.molarity_for_normality(lambda n: 2),
        MASS,
        lambda n: Q(0.3, "L"),
        "L",
        [0.6, 0.15],
    ),
    "percent_by_volume": (
        questions.percent_by_volume(lambda n: Q(1.25, "g/mL")),
        MASS,
        lambda n: Q(500, "mg/L"),
        "mg/L",
        [400],
    ),
    "density_upside_down": (
        questions.density_upside_down(lambda n: Q(1.25, "g/mL")),
        MASS,
        lambda n: Q(500, "mg/L"),
        "mg/L",
        [320],
    ),
    "tap_water_forgotten": (questions.tap_water_forgotten("water"), MASS, mass_of_salt, "g", [10]),
    "tap_water_counted_twice": (questions.tap_water_counted_twice("water"), MASS, mass_of_salt, "g", [4]),
    "sign_turned": (questions.sign_turned("water"), MASS, mass_of_salt, "g", [13]),
    "ratio_upside_down": (questions.ratio_upside_down(), ACID, times_more, "dimensionless", [0.01]),
    "per_litre_for_total": (questions.per_litre_for_total("volume"), MASS, mass_of_salt, "g", [0.35]),
    "per_day_for_total": (questions.per_day_for_total("days"), WEEK, used, "L", [28 * 14, 2]),
    "weeks_for_days": (questions.weeks_for_days(), WEEK, used, "L", [28 * 7, 4]),
    "final_for_added_volume": (
        questions.final_for_added_volume(lambda n: n.volume / 4),
        MASS,
        lambda n: n.volume / 5,
        "L",
        [5],
    ),
    "area_left_out": (
        questions.area_left_out("depth"),
        Numbers(depth=Q(6, "cm"), area=Q(0.24, "m^2")),
        lambda n: (n.depth * n.area).to("L"),  # 14.4 L
        "L",
        [6],
    ),
    "ph_taken_as_linear": (
        questions.ph_taken_as_linear("first", "second"),
        ACID,
        times_more,
        "dimensionless",
        [2, 5 / 7, 7 / 5],
    ),
    "ph_averaged": (
        questions.ph_averaged("first", "second"),
        ACID,
        lambda n: 5.30,
        "dimensionless",
        [6],
    ),
    "change_reversed": (
        questions.change_reversed("first"),
        ACID,
        lambda n: 5.8,
        "dimensionless",
        [4.2],
    ),
    "fahrenheit_for_celsius": (
        questions.fahrenheit_for_celsius(),
        AIR,
        lambda n: n.temperature,
        "degC",
        [68],
    ),
    "day_off_by_one": (
        questions.day_off_by_one(),
        WEEK,
        lambda n: Q(14, "day"),
        "day",
        [13, 15],
    ),
    "example_repeated": (questions.example_repeated(lambda: Q(6.45, "g")), MASS, mass_of_salt, "g", [6.45]),
}
KINDS = {
    "g": "mass",
    "mg/L": "concentration",
    "percent": "share",
    "L": "volume",
    "degC": "temperature",
    "day": "time",
}


def plain(value, unit):
    return float(value.m_as(unit)) if hasattr(value, "m_as") else float(value)


def test_every_slip_is_tried():
    factories = {
        name
        for name, thing in vars(slips).items()
        if inspect.isfunction(thing) and thing.__module__ == slips.__name__ and not name.startswith("_")
    }
    assert factories == set(TRIED)


@pytest.mark.parametrize("name", TRIED)
def test_a_slip_gives_the_wrong_number_of_its_route(name):
    slip, numbers, solve, unit, expected = TRIED[name]
    found = [plain(value, unit) for value in slip.wrong(numbers, solve)]
    assert found == pytest.approx(expected, rel=2e-4)  # four figures, as the label factors have


@pytest.mark.parametrize("name", TRIED)
def test_a_planted_slip_is_named_with_its_hint(name):
    slip, numbers, solve, unit, expected = TRIED[name]
    kind = "ratio" if solve is times_more else KINDS.get(unit, "pH")
    question = Question(
        id="planted",
        chapter="00",
        text="",
        draws={},
        work=lambda n: {"answer": solve(n)},
        kind=kind,
        unit=unit,
        tolerance=Q(0.2, "delta_degC") if unit == "degC" else Q(1, "percent"),
        slips=(slip,),
        check=("", "", ""),
        steps=(),
        why="",
    )
    assert question.sound(numbers)
    for wrong in expected:
        said = f"{wrong:.6g} {'' if unit == 'dimensionless' else unit}"
        feedback = judge(Asked(question, "A1", numbers), said)
        assert feedback.state == State.SLIP, said
        assert feedback.slips == (slip.name,)
        assert slip.check in feedback.hint
        assert slip.when in feedback.sentence


def test_other_uses_of_the_same_slips():
    """The same slips in the answer itself, or from the other side."""
    litres = lambda n: Q(10, "L")  # noqa: E731
    us = questions.us_gallon_for_litre()
    assert [value.m_as("L") for value in us.wrong(MASS, litres)] == pytest.approx([37.85411784, 2.641720524])
    gallons = MASS.but(volume=Q(20, "gallon"))
    (wrong,) = questions.us_gallon_for_litre("volume").wrong(gallons, mass_of_salt)
    assert wrong.m_as("g") == pytest.approx(7)
    (wrong,) = questions.ratio_upside_down("one", "other").wrong(
        Numbers(one=2.0, other=5.0), lambda n: n.one / n.other
    )
    assert wrong == pytest.approx(2.5)
    (wrong,) = questions.share_upside_down(lambda n: n.share, divided=False).wrong(
        MASS, lambda n: Q(3, "mg/L")
    )
    assert wrong.m_as("mg/L") == pytest.approx(75)  # 15 mg/L over 20 %, where 15 x 20 % is right
    (wrong,) = questions.fahrenheit_for_celsius("temperature").wrong(
        AIR, lambda n: n.temperature.m_as("degC")
    )
    assert wrong == pytest.approx(68)
    (wrong,) = questions.change_reversed().wrong(MASS, lambda n: Q(3, "cm"))
    assert wrong.m_as("cm") == -3
    assert (
        list(questions.molarity_for_normality(lambda n: 1).wrong(MASS, litres)) == []
    )  # nitric acid: no slip
    assert list(questions.day_off_by_one().wrong(MASS, lambda n: 40)) == [39, 41]


def test_a_slip_of_ones_own_is_a_line():
    mine = Slip("half", "only half is counted", "Count again.", lambda n, solve: [solve(n) / 2])
    assert [value.m_as("g") for value in mine.wrong(MASS, mass_of_salt)] == [3.5]


@pytest.mark.parametrize(
    ("slip", "said"),
    # NIST SP 811, Appendix B, as above; shares from standard atomic weights: P 61.95 of 141.94 g, K 78.20 of 94.20 g,
    # N 14.007 of 62.004 g; 20 °C is 68 °F
    [
        (questions.us_gallon_for_litre("v"), "One US gallon is 3.79 L."),
        (questions.imperial_gallon_for_litre("v"), "One imperial gallon is 4.55 L."),
        (questions.imperial_for_us_gallon("v"), "A US gallon is 3.79 L, an imperial gallon 4.55 L."),
        (
            questions.fluid_ounces_for_ounces(),
            "An ounce of weight is 28.3 g. A US fluid ounce is a volume, 29.6 mL.",
        ),
        (questions.oxide_for_element("P2O5", "P"), "P is 43.6 % of it."),
        (questions.oxide_for_element("K2O", "K"), "K is 83 % of it."),
        (questions.nitrate_for_nitrogen(), "Only 22.6 % of it is nitrogen."),
        (questions.fahrenheit_for_celsius("t"), "A warm room is 20 °C, which is 68 °F."),
    ],
)
def test_the_hint_of_a_slip_gives_the_true_size(slip, said):
    assert said in slip.check
