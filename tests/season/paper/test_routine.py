"""How a routine of topping up is said, by hand."""

import pytest
from stilltank.science import budget, mixing
from stilltank.season.paper.routine import drip_words, routine_words, what_is_added
from stilltank.season.plan import Plan
from stilltank.units import Q

PLAN = Plan.make(count=4)  # filled to 25 cm


@pytest.mark.parametrize(
    ("routine", "metric", "us"),
    [
        (budget.nothing(), "", ""),
        # 0.6 of 25 cm (data/budget.csv) is 15 cm, 5.9 in; a centimetre is 6.3 sixteenths
        (budget.by_hand(1), "every day up to 15 cm, at most 1 cm a visit", "up to 5 7/8 in, at most 3/8 in a visit"),
        (budget.to_a_mark(Q(12, "cm"), 7), "every 7 days up to 12 cm:", "every 7 days up to 4 3/4 in:"),
        (budget.float_valve(Q(10, "cm")), "float valve at 10 cm", "float valve at 3 7/8 in"),
        # 480 mL in 24 hours are 20 mL an hour; 20 drops a mL: 400 an hour, 6.7 a minute
        (budget.drip(Q(20, "mL/hour"), Q(24, "hour")), "drip of 480 mL a day: 20 mL an hour, about 6.7", "6.7 drops"),
        (budget.on_dates({"2027-06-01": Q(3, "L")}), "3 L on 1 Jun", "3.17 US qt on 1 Jun"),
    ],
)  # fmt: skip
def test_routines_in_words(routine, metric, us):
    plan = PLAN.change(top_up=routine)
    assert routine_words(plan).startswith(metric)
    assert us in routine_words(plan, "US")


def test_what_is_added_is_named():
    assert what_is_added(PLAN).startswith("plain water, Quillgate tap water")
    half = PLAN.change(top_up=budget.by_hand(3, strength=0.5))
    assert what_is_added(half) == "half-strength solution"
    rain = mixing.Water({}, alkalinity=Q(5, "mg/L"), ph=6, name="rain from the shed")
    assert what_is_added(PLAN.change(top_up_water=rain)) == "plain water, rain from the shed"


def test_a_drip_is_counted_in_drops():
    assert drip_words(Q(2.4, "L")).startswith("2.4 L a day: 100 mL an hour, about 33 drops a minute")


def test_out_of_a_barrel_comes_rain_and_not_the_water_of_the_tap():
    barrel = PLAN.change(top_up=budget.rain_caught(Q(2, "m^2"), Q(100, "L")))
    assert what_is_added(barrel) == "plain water, rain"
