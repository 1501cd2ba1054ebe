"""Questions on flowering: values worked by hand, draws that make sense, and degree-days read as people write them."""

import datetime

import pytest
from stilltank.chapters import flowering_schedules
from stilltank.chapters.bank import ask, find, find_example
from stilltank.learning import checks
from stilltank.learning.questions import Asked, Numbers, State, judge
from stilltank.science import calendar, heat
from stilltank.science.sky import day_length
from stilltank.units import Problem, Q, Unclear, Unreadable, read

CODES = [f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)]
SUM, DAY = "delta_degC*day", "day"


def value(question, **numbers):
    return Asked(question, "A1", Numbers(numbers)).value


def celsius(number):
    return Q(number, "degC")


def stated(id, quantity):
    comparison = checks.compare(id, quantity)
    assert comparison.good, comparison


def test_degree_days_against_hand_working():
    """(9 + 25) / 2 = 17, less 6 is 11; a week at 18 above 5 is 7 x 13 = 91."""
    assert value(
        find("flowering-day-sum"), low=celsius(9), high=celsius(25), base=celsius(6)
    ) == pytest.approx(11)
    assert value(
        find("flowering-week-sum"), days=Q(7, DAY), mean=celsius(18), base=celsius(5)
    ) == pytest.approx(91)


@pytest.mark.parametrize(
    ("id", "high", "low"), [("F01a", 87, 63), ("F01b", 90, 65), ("F01c", 72, 46), ("F01d", 63, 42)]
)
def test_the_clipped_day_agrees_with_the_advice_pages(id, high, low):
    limits = Numbers(low=Q(low, "degF"), high=Q(high, "degF"), base=Q(50, "degF"), upper=Q(86, "degF"))
    stated(id, find("flowering-clipped-day").answer(limits))


def test_days_agree_with_the_stated_ones():
    stated("F16a", find("flowering-days-at").answer(Numbers(crop="bedding-zinnia", room=celsius(20))))
    stated("F16b", find("flowering-days-at").answer(Numbers(crop="bedding-zinnia", room=celsius(25))))
    stated("F18", find("flowering-days-at").answer(Numbers(crop="sunflower", room=celsius(20))))


def test_days_and_rooms_against_hand_working():
    """838 - 300 = 538, over 20 - 4.1 = 15.9: 33.84 days. 681 in 50 days are 13.62 a day, above 4.59: 18.21 degC."""
    log = {"crop": "bedding-zinnia", "so_far": Q(300, SUM), "mean": celsius(20)}
    assert value(find("flowering-days-still"), **log) == pytest.approx(33.84, abs=0.005)
    assert value(find("flowering-room-for-date"), crop="snapdragon", days=Q(50, DAY)) == pytest.approx(18.21)
    # 681 / 10.41 = 65.418 and 681 / 13.41 = 50.783 days: 14.635; from 24 to 27: 681 / 19.41 - 681 / 22.41 = 4.697
    step = Numbers(crop="snapdragon", room=celsius(15), by=Q(3, "delta_degC"))
    assert value(find("flowering-days-saved"), **step) == pytest.approx(14.635, abs=0.001)
    assert find("flowering-days-saved").work(step)["in_warmth"].m_as(DAY) == pytest.approx(4.697, abs=0.001)


def test_the_room_for_a_date_brings_the_flower_on_it():
    for crop in ("bedding-zinnia", "snapdragon", "sunflower"):
        room = find("flowering-room-for-date").answer(Numbers(crop=crop, days=Q(48, DAY)))
        assert heat.days_to_flower(crop, room).expected.m_as(DAY) == pytest.approx(48)


def test_sowing_before_against_hand_working():
    """16 x 15.9 = 254.4 on the bench; 583.6 over 13.9 = 41.986 days in the tank; with 16 and 5 that is 62.986."""
    plan = {"seedling": Q(16, DAY), "tank": celsius(18), "margin": Q(5, DAY)}
    assert value(find("flowering-sow-before"), **plan) == pytest.approx(62.986, abs=0.001)


@pytest.mark.parametrize("tank", [16, 19, 24])
def test_sowing_before_agrees_with_the_calendar(tank):
    """The calendar counts whole days, and the last one whole: up to a day more."""
    plan = {"seedling": Q(16, DAY), "tank": celsius(tank), "margin": Q(0, DAY)}
    days = value(find("flowering-sow-before"), **plan)
    dated = calendar.schedule("bedding-zinnia", "quillgate", "2026-03-01", temperature=celsius(tank))
    assert 0 <= (dated.first_flower.expected - dated.sow).days - days < 1


def test_lamps_against_an_almanac():
    """The sun's own path on that day, as an almanac has it; the short formula is within 6 minutes of it there."""
    numbers = Numbers(latitude=Q(40, "degree"), date="2026-01-15", wanted=Q(14, "hour"))
    by_almanac = 14 - day_length(numbers.latitude, numbers.date, "almanac twilight").m_as("hour")
    assert find("flowering-lamp-hours").answer(numbers).m_as("hour") == pytest.approx(by_almanac, abs=0.1)
    work = find("flowering-lamp-hours").work(numbers)
    sun = day_length(numbers.latitude, numbers.date, "almanac").m_as("hour")
    assert work["sun"].m_as("hour") == pytest.approx(sun, abs=0.1)


def test_light_and_shares_against_hand_working():
    """200 umol/m2/s x 16 x 3600 s = 11.52 mol/m2; up to 18 June 6 of these 10 years."""
    assert value(
        find("flowering-daily-light"), lamps=Q(200, "umol/m^2/s"), time=Q(16, "hour")
    ) == pytest.approx(11.52)
    flowers = (9, 12, 14, 16, 17, 18, 19, 20, 21, 24)
    assert value(find("flowering-in-time"), flowers=flowers, wanted=18) == pytest.approx(60)


def test_warmth_becomes_a_day():
    """40 days of 13.9 are 556; 282 are missing; at 17.9 a day that is 15.75 days."""
    example = find_example("flowering-worked-warmth-to-date")
    shown = example.work(example.shown)
    assert [shown[name].m_as(SUM) for name in ("so_far", "rest")] == pytest.approx([556, 282])
    assert shown["left"].m_as(DAY) == pytest.approx(15.754, abs=0.001)


def test_the_way_back_to_the_sowing():
    """681 / 15.41 = 44.19 and 725 / 15.41 = 47.05 days; with 27 days as seedlings 74.05."""
    example = find_example("flowering-worked-back-to-sowing")
    shown = example.work(example.shown)
    found = [shown[name].m_as(DAY) for name in ("expected", "late", "before")]
    assert found == pytest.approx([44.19, 47.05, 74.05], abs=0.005)


def test_what_the_votes_say_against_hand_working():
    # 681 / 10.41 = 65.42 days; twice 10.41 above 4.59 is 25.41 degC, and half of the days
    twice = find("flowering-twice-as-far").work(Numbers(crop="snapdragon", room=celsius(15)))
    assert twice["warm"].m_as("degC") == pytest.approx(25.41)
    assert twice["then"].m_as(DAY) == pytest.approx(65.418 / 2, abs=0.001)
    assert twice["thermometer"].m_as(DAY) == pytest.approx(65.418 * 15 / 25.41, abs=0.001)
    # bedding zinnia: 838 / 10.9 - 838 / 13.9 = 16.593; 838 / 19.9 - 838 / 22.9 = 5.517
    step = Numbers(crop="bedding-zinnia", cool=celsius(15), warm=celsius(24), by=Q(3, "delta_degC"))
    houses = find("flowering-same-step").work(step)
    assert houses["cool_saves"].m_as(DAY) == pytest.approx(16.593, abs=0.001)
    assert houses["warm_saves"].m_as(DAY) == pytest.approx(5.517, abs=0.001)
    # ten weeks in use and a planting each week: ten full ones, and an eleventh while one is cleaned
    tanks = find("flowering-tanks").work(Numbers(sowings=16, before=Q(6, "week"), harvest=Q(4, "week")))
    assert (tanks["no_cleaning"], tanks["most"]) == (10, 11)


def test_what_the_choices_say_against_hand_working():
    """A night of 12.8 h around midnight ends 6.4 h after it: lamps until 2 leave 4.4 h dark, a day of 19.6 h."""
    night = find("flowering-night-break").work(Numbers(latitude=Q(41.5, "degree"), date="2026-11-05"))
    half = night["dark"].m_as("hour") / 2
    assert half == pytest.approx(6.4, abs=0.1)
    assert night["left"].m_as("hour") == pytest.approx(half - 2)
    assert night["lit"].m_as("hour") == pytest.approx(26 - half)
    # last frosts on 5, 19, 22 April, 3 May, 2, 1, 19, 15, 15, 3 April: mean 14.4 April, standard deviation 10.0 days
    days = [5, 19, 22, 33, 2, 1, 19, 15, 15, 3]
    mean = sum(days) / 10
    spread = (sum((day - mean) ** 2 for day in days) / 9) ** 0.5
    for percent, quantile in ((10, 1.2816), (20, 0.8416), (30, 0.5244)):  # of the normal curve
        said = find("flowering-frost-date").work(Numbers(share=Q(percent, "percent")))["day"]
        found = datetime.datetime.strptime(said, "%d %B").replace(year=2026)
        safe = datetime.datetime(2026, 3, 31) + datetime.timedelta(days=mean + quantile * spread)
        assert abs((found - safe).total_seconds()) <= 86400  # whole days, and leap days move a date by one


def less(one, other, unit):
    return one.m_as(unit) < other.m_as(unit)


SENSIBLE = {
    "flowering-day-sum": lambda n, w: less(n.base, n.low, "degC") and less(n.low, n.high, "degC"),
    "flowering-clipped-day": lambda n, w: less(n.upper, n.high, "degF") and less(n.low, n.upper, "degF"),
    "flowering-days-at": lambda n, w: less(
        Q(14.6, "degC"), n.room, "degC"
    ),  # the coldest trial of snapdragon
    "flowering-days-still": lambda n, w: less(n.so_far, w["rest"] * 3, SUM),
    "flowering-lamp-hours": lambda n, w: w["sun"] < w["light"] < n.wanted,
    "flowering-room-for-date": lambda n, w: less(w["answer"], Q(26, "degC"), "degC"),
    "flowering-days-saved": lambda n, w: w["in_warmth"] < w["answer"] < w["now"],
    "flowering-sow-before": lambda n, w: less(w["raised"], w["need"] / 2, SUM),
    "flowering-night-break": lambda n, w: w["light"] < n.critical < w["lit"],
    "flowering-frost-date": lambda n, w: w["day"] != w["half"] and w["times"] != w["other"],
    "flowering-week-sum": lambda n, w: less(n.base, n.mean, "degC"),
    "flowering-daily-light": lambda n, w: n.time < Q(20, "hour"),
    "flowering-in-time": lambda n, w: 0 < w["met"] < w["years"],
    "flowering-twice-as-far": lambda n, w: less(w["warm"], Q(27.5, "degC"), "degC"),
    "flowering-same-step": lambda n, w: (
        w["warm_saves"] * 2 < w["cool_saves"] and less(n.warm + n.by, Q(27.5, "degC"), "degC")
    ),
    "flowering-tanks": lambda n, w: w["cut"] < w["no_cleaning"] < w["most"] < n.sowings,
    "flowering-worked-warmth-to-date-step-4": lambda n, w: (
        less(Q(200, SUM), w["rest"], SUM) and less(Q(10, DAY), w["left"], DAY)
    ),
    "flowering-worked-back-to-sowing-step-4": lambda n, w: (
        less(w["expected"], w["late"], DAY) and less(w["before"], Q(110, DAY), DAY)
    ),
}
STEPS = {each.questions[-1].id: each for each in flowering_schedules.EXAMPLES}


def test_what_is_looked_at_for_sense_is_asked():
    assert set(SENSIBLE) <= {each.id for each in flowering_schedules.QUESTIONS} | set(STEPS)


@pytest.mark.parametrize("id", SENSIBLE)
def test_no_draw_is_silly(id):
    if id in STEPS:
        example = STEPS[id]
        drawn = [example.stage(stage, code).numbers for code in CODES for stage in (1, 2, 3)]
        work = example.work
    else:
        question = next(each for each in flowering_schedules.QUESTIONS if each.id == id)
        drawn = [question.numbers(code) for code in CODES]
        work = question.work
    for numbers in {str(sorted(each.items())): each for each in drawn}.values():
        assert SENSIBLE[id](numbers, work(numbers)), numbers


def test_a_silly_draw_would_be_seen():
    """What the checks above say of a night below the base, and of a plant that stays in leaf without lamps."""
    assert not SENSIBLE["flowering-day-sum"](Numbers(low=celsius(3), high=celsius(9), base=celsius(4)), {})
    lit = {"light": Q(13, "hour"), "lit": Q(19, "hour")}
    assert not SENSIBLE["flowering-night-break"](Numbers(critical=Q(12, "hour")), lit)


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("12 °C day", 12),
        ("12 °C·d", 12),
        ("12,5 °C d", 12.5),
        ("12 °C-days", 12),
        ("27 °F day", 15),
        ("27 °F·d", 15),
        ("27 degree-days F", 15),
    ],
)
def test_degree_days_are_read_as_people_write_them(typed, degrees):
    """Nine degrees Fahrenheit make five Celsius, and no 32 comes in: these are differences."""
    assert read(typed, "degree-days").m_as(SUM) == pytest.approx(degrees)


def test_degree_days_without_their_scale_are_those_of_the_writer():
    """12 degree-days in Fahrenheit are 6.67 in Celsius: too far apart to guess."""
    for typed in ("12 degree-days", "12 degree days"):
        with pytest.raises(Unclear, match=r"Celsius.*Fahrenheit"):
            read(typed, "degree-days")
        assert read(typed, "degree-days", system="metric").m_as(SUM) == pytest.approx(12)
        assert read(typed, "degree-days", system="US").m_as(SUM) == pytest.approx(12 / 1.8)


def test_a_sign_of_programs_is_no_way_people_write():
    with pytest.raises(Unreadable, match=r"\*"):
        read("12 degC*day", "degree-days")


@pytest.mark.parametrize(
    "typed", ["12", "12 °C", "12 days", "-3 °C day", "900000 °C day", "nan °C day", "", "warm"]
)
def test_what_is_no_number_of_degree_days_is_refused(typed):
    with pytest.raises(Problem, match="degree-days"):
        read(typed, "degree-days")


def test_a_question_settles_the_scale_of_its_degree_days():
    """The advice page counts in °F, and says so; the log counts in °C."""
    page, day = ask("flowering-clipped-day", "A1"), ask("flowering-day-sum", "A1")
    for asked in (page, day):
        assert judge(asked, f"{asked.value} degree-days").state == State.RIGHT
        assert judge(asked, f"{asked.value}").state == State.UNIT
    assert judge(page, f"{page.value * 5 / 9} °C day").state == State.OTHER_UNIT
    assert judge(page, f"{page.value} °C day").state == State.UNIT
    assert "°C day" in judge(day, "").sentence


def test_a_daily_light_is_read_in_either_order_of_its_units():
    for typed in ("11.52 mol/m²/day", "11.52 mol/d/m²", "11.52 mol m-2 d-1"):
        assert read(typed, "light").m_as("mol/m^2/day") == pytest.approx(11.52)
