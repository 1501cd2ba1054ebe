"""The water budget: it closes, it agrees with a plain loop, and it says what cannot be."""

import dataclasses
import datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import budget, crops, demand, hydraulics, sky, tank, weather
from stilltank.science.budget.skies import resample
from stilltank.science.crops import Plants
from stilltank.science.sky import ONE_DAY
from stilltank.science.tank import Box, TaperedBox
from stilltank.science.weather import Site, Weather
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded


def cm(value):
    return Q(value, "cm")


STAGE = Q(10, "day")
FLAT = dataclasses.replace(
    crops.crop("lettuce"),
    name="flat",
    canopy_area=Q(0.1, "m^2"),
    kcb_initial=1.0,
    kcb_mid=1.0,
    kcb_end=1.0,
    stage_initial=STAGE,
    stage_development=STAGE,
    stage_mid=STAGE,
    stage_late=STAGE,
)  # asks for the reference evapotranspiration of its canopy every day
TANK = Box(Q(50, "cm"), Q(20, "cm"), Q(30, "cm"), net_pot_depth=cm(7))  # 0.1 m2: 1 L is 1 cm
PLANT = Plants(FLAT, 1)
AS_IS = {
    "exposure": Q(100, "percent"),
    "coefficient_factor": Q(100, "percent"),
    "growth_timing": Q(100, "percent"),
    "daily_variation": Q(0, "percent"),
    "rain_share": Q(100, "percent"),
}


def season(**given_):
    standard = {"start": "2019-06-01", "first_level": cm(10), "reference_et": Q(5, "mm/day"), **AS_IS}
    return budget.season(TANK, PLANT, **standard | given_)


def rainy(amounts, first="2019-06-01"):
    count = len(amounts)
    return Weather(
        np.datetime64(first) + np.arange(count) * ONE_DAY,
        Q(np.full(count, 25.0), "degC"),
        Q(np.full(count, 15.0), "degC"),
        precipitation=Q(np.asarray(amounts, float), "mm"),
        latitude=Q(41.5, "degree"),
        altitude=Q(210, "m"),
    )


def test_by_hand():
    # 0.1 m2 of leaves at 5 mm/d drink 0.5 L a day; the tank holds 1 L a cm. 10 cm are down to 3 cm after 14 days.
    table = season().table
    assert table["transpired (L)"].iloc[:14].tolist() == pytest.approx([0.5] * 14)
    assert table["level (cm)"].iloc[13] == pytest.approx(3.0)
    assert len(table) == 40  # the four stages


def test_by_hand_in_a_tub_that_widens():
    """The same half litre a day out of a tote, 50 x 32 cm at the floor and 60 x 40 at 32 cm: sections added up."""
    tote = TaperedBox(cm(50), cm(32), cm(60), cm(40), cm(32), net_pot_depth=cm(7))

    def litres(level):  # the prismatoid rule, in dm: l/6 (A0 + 4 Am + A1)
        area = [(5 + z / 3.2) * (3.2 + 0.8 * z / 3.2) for z in (0, level / 20, level / 10)]
        return level / 60 * (area[0] + 4 * area[1] + area[2])

    given_ = {"start": "2019-06-01", "reference_et": Q(5, "mm/day"), **AS_IS}
    found = budget.season(tote, PLANT, first_level=cm(20), overflow_height=cm(21), days=80, **given_)
    table = found.table
    assert found.filled.m_as("L") == pytest.approx(litres(20))
    used = table["transpired (L)"].cumsum()
    assert [litres(level) for level in table["level (cm)"]] == pytest.approx((litres(20) - used).tolist())
    assert used.iloc[39] == pytest.approx(20)
    assert table["volume (L)"].min() >= litres(1) - 1e-9  # a centimetre stays, an assumption of data/
    # 10 L poured in on the first day: what stands above 21 cm leaves
    full = budget.season(
        tote, PLANT, first_level=cm(20), overflow_height=cm(21), top_up={"2019-06-01": Q(10, "L")}, **given_
    )
    assert full.table["overflow (L)"].iloc[0] == pytest.approx(litres(20) + 10 - litres(21))


def test_exposure_and_coefficient_multiply_the_thirst():
    # half a litre a day, of which a lee of 60 % and a crop of 80 % leave 0.5 x 0.6 x 0.8 = 0.24 L
    table = season(exposure=Q(60, "percent"), coefficient_factor=Q(80, "percent")).table
    assert table["demand (L)"].iloc[:5].tolist() == pytest.approx([0.24] * 5)


def test_near_the_floor_the_plants_drink_less_and_leave_the_rest():
    found = season()
    table = found.table
    low = table["volume (L)"] < 3 - 1e-9
    assert (table["transpired (L)"][low].iloc[1:] < 0.5).all()
    assert table["volume (L)"].min() == pytest.approx(number("budget", "tank", "unusable depth", "cm"))
    dry = table["volume (L)"].to_numpy() <= 1 + 1e-9
    assert found.run_dry == table.index[dry.argmax()].date()
    # stop at 15 % of 10 L: the first day at or below 1.5 L
    assert found.stop == table.index[(table["volume (L)"] <= 1.5).to_numpy().argmax()].date()
    assert found.stop < found.run_dry


def test_one_lettuce_drinks_what_the_check_list_says():
    # 6.66 L in 75 d at 4 mm/d on 0.04 m2 (FAO-56 Tables 11 and 17, computed by hand)
    table = budget.season(
        tank.preset("quillgate-tub"),
        Plants(dataclasses.replace(demand.field_crop("lettuce"), canopy_area=Q(0.04, "m^2")), 1),
        start="2019-05-01",
        reference_et=Q(4, "mm/day"),
        **AS_IS,
    ).table
    assert table["transpired (L)"].sum() == pytest.approx(6.66, abs=0.05)
    assert len(table) == 75


def test_rain_comes_in_by_the_lid_and_leaves_by_the_hole():
    # 20 mm on 0.1 m2 are 2 L; the hole at 11 cm lets 1 L go and the plant takes 0.5 L
    table = season(weather=rainy([20, 0, 0]), days=3, overflow_height=cm(11)).table
    assert table["rain in (L)"].tolist() == pytest.approx([2, 0, 0])
    assert table["overflow (L)"].tolist() == pytest.approx([1, 0, 0])
    assert table["volume (L)"].tolist() == pytest.approx([10.5, 10, 9.5])


def test_rain_that_overtops_the_rim_is_lost_and_said():
    table = season(weather=rainy([500, 0]), days=2).table
    assert table["overflow (L)"].iloc[0] == pytest.approx(10 + 50 - 30)


def test_a_wider_lid_collects_more():
    wide = Box(Q(50, "cm"), Q(20, "cm"), Q(30, "cm"), lid_area=Q(0.12, "m^2"))
    table = budget.season(
        wide, PLANT, rainy([10]), days=1, first_level=cm(10), reference_et=Q(0, "mm/day"), **AS_IS
    ).table
    assert table["volume (L)"].iloc[0] == pytest.approx(11.2)


def test_top_ups():
    table = season(days=5, top_up={"2019-06-03": Q(4, "L")}).table
    assert table["volume (L)"].tolist() == pytest.approx([9.5, 9, 12.5, 12, 11.5])


def test_several_crops_share_a_tank():
    both = budget.season(
        TANK, [PLANT, Plants(FLAT, 2)], start="2019-06-01", days=1, first_level=cm(10), reference_et=Q(5, "mm/day"),
        **AS_IS,
    ).table  # fmt: skip
    assert both["transpired (L)"].iloc[0] == pytest.approx(1.5)


def test_the_usual_fill_level_is_used():
    from stilltank.science import roots

    found = season(first_level=None)
    assert found.filled.m_as("L") == pytest.approx(TANK.volume(roots.fill_level(TANK)).m_as("L"))


def closes(filled, gains, losses, end):
    """Water in = water out + stored, in litres; 1e-9 is rounding, with room."""
    return np.abs(filled + gains - losses - end).max() < 1e-9


@settings(max_examples=60, deadline=None)
@given(
    rain=st.lists(st.floats(0, 300), min_size=1, max_size=60),
    fill=st.floats(0.1, 20),
    hole=st.floats(0, 10),
    share=st.floats(0, 100),
    et=st.floats(0, 15),
    top_up=st.floats(0, 60),
)
def test_every_day_closes(rain, fill, hole, share, et, top_up):
    found = season(
        weather=rainy(rain),
        days=len(rain),
        first_level=cm(fill),
        overflow_height=cm(fill + hole),
        rain_share=Q(share, "percent"),
        reference_et=Q(et, "mm/day"),
        top_up={"2019-06-01": Q(top_up, "L")},
    )
    table, filled = found.table, found.filled.m_as("L")
    gains = table["rain in (L)"] + table["top-up (L)"]
    losses = table["transpired (L)"] + table["overflow (L)"]
    before = np.concatenate([[filled], table["volume (L)"].to_numpy()[:-1]])
    assert closes(before, gains.to_numpy(), losses.to_numpy(), table["volume (L)"].to_numpy())
    assert closes(filled, gains.sum(), losses.sum(), table["volume (L)"].iloc[-1])
    assert (table["volume (L)"] >= min(fill, 1) - 1e-9).all()
    assert (table["level (cm)"] <= fill + hole + 1e-6).all()


def test_an_ensemble_closes_too():
    many = budget.ensemble(
        tank.preset("quillgate-tub"),
        Plants("cosmos", 3),
        weather.site("new-york"),
        start="2027-05-10",
        members=300,
    )
    gains = many.rain_in.magnitude.sum(axis=1) + many.top_up.magnitude.sum(axis=1)
    losses = many.transpired.magnitude.sum(axis=1) + many.overflow.magnitude.sum(axis=1)
    assert closes(many.filled.magnitude, gains, losses, many.volume.magnitude[:, -1])


def plain_loop(filled, brim, unusable, shortage, least, thirst, rain):
    """The same day in plain Python, written for this test."""
    volumes, now = [], filled
    for asked, wet in zip(thirst, rain, strict=True):
        now = min(now + wet, brim)
        reachable = max(now - unusable, 0.0)
        if reachable < shortage - unusable:
            asked *= least + (1 - least) * reachable / (shortage - unusable)
        now -= min(asked, reachable)
        volumes.append(now)
    return volumes


def test_members_agree_with_a_plain_loop():
    """Each member agrees with a plain loop over the weather and the factors it was given."""
    site = weather.site("quillgate")
    many = budget.ensemble(
        TANK, PLANT, site, start="2027-06-01", days=60, members=20, first_level=cm(20), seed=5,
        daily_variation=Q(0, "percent"),
    )  # fmt: skip
    factor = many.drawn["exposure"] * many.drawn["coefficient_factor"]
    assert factor.min() > 0
    rng = np.random.default_rng(5)
    for _ in range(5):  # the factors are drawn first
        rng.triangular(0, 0.5, 1, 20)
    rows = resample(rng, site.weather, many.dates, 20)
    et = demand.reference_et(site.weather).magnitude
    off = [rng.normal(0, 0.11, 20)]  # the error of the weather, half of which stays to the next day
    for _ in range(59):
        off.append(0.5 * off[-1] + 0.11 * 0.75**0.5 * rng.standard_normal(20))
    for member in (0, 7, 19):
        thirst = et[rows[member]] * np.exp([day[member] for day in off]) * 0.1 * factor[member]
        rain = site.weather.precipitation.magnitude[rows[member]] * 0.1 * many.drawn["rain_share"][member]
        assert many.volume.magnitude[member] == pytest.approx(
            plain_loop(20, 30, 1, 3, 0.3, thirst, rain), abs=1e-9
        )


def test_the_same_seed_gives_the_same_seasons():
    site = weather.site("new-york")
    first, again, other = (
        budget.ensemble(TANK, PLANT, site, start="2027-06-01", members=20, seed=seed).volume.magnitude
        for seed in (1, 1, 2)
    )
    assert (first == again).all()
    assert (first != other).any()


def test_fixed_factors_are_not_drawn_and_others_stay_in_their_range():
    many = budget.ensemble(
        TANK, PLANT, weather.site("new-york"), start="2027-06-01", members=500, exposure=Q(120, "percent")
    )
    assert (many.drawn["exposure"] == 1.2).all()
    share = many.drawn["rain_share"]
    assert 0.05 <= share.min() < 0.1
    assert 0.5 < share.max() <= 0.6
    assert 0.1 <= many.drawn["stop_share"].min() < many.drawn["stop_share"].max() <= 0.2


def test_factors_are_drawn_most_often_near_their_value():
    # A triangle from 0.05 over 0.2 to 0.6 has its mean at a third of the sum, 0.2833; even draws had 0.325.
    many = budget.ensemble(TANK, PLANT, weather.site("new-york"), start="2027-06-01", days=2, members=4000)
    assert many.drawn["rain_share"].mean() == pytest.approx(0.85 / 3, abs=0.006)


def test_factors_are_drawn_by_their_logarithms():
    # A triangle over the logarithm: mean a third of the sum of the three; its spread by the usual formula.
    many = budget.ensemble(TANK, PLANT, weather.site("new-york"), start="2027-06-01", days=2, members=20_000)
    for item, prop, name in (
        ("open", "exposure", "exposure"),
        ("plants", "coefficient factor", "coefficient_factor"),
        ("plants", "growth timing", "growth_timing"),
        ("plants", "daily variation", "daily_variation"),
    ):
        entry = load("budget")[item, prop]
        a, c, b = np.log([entry.low, entry.value, entry.high])
        logs = np.log(many.drawn[name])
        assert logs.mean() == pytest.approx((a + b + c) / 3, abs=0.012), name
        spread = np.sqrt((a * a + b * b + c * c - a * b - a * c - b * c) / 18)
        assert logs.std() == pytest.approx(spread, rel=0.02), name
    # what nobody has measured: 0.4 in the logarithm for exposure and coefficient together, about 0.95 in the middle
    both = np.log(many.drawn["exposure"] * many.drawn["coefficient_factor"])
    assert both.std() == pytest.approx(0.4, abs=0.02)
    assert abs(both.mean() + 0.05) < 0.1
    assert np.log(many.drawn["growth_timing"]).std() == pytest.approx(0.2, abs=0.01)


def test_the_ends_reach_what_fao_saw_of_small_stands_and_of_covers():
    """FAO-56, eq. 105: 0.5 m plants in a 0.6 m tub alone use 2.03, a field of them 1.05; Table 25: both signs."""
    alone = demand.isolated_stand_coefficient(Q(0.5, "m"), Q(0.6, "m"))
    field = demand.full_cover_coefficient(Q(0.5, "m"))
    cap = number("evapotranspiration", "isolated stand", "highest", "1")
    exposure, factor = (
        load("budget")[address] for address in (("open", "exposure"), ("plants", "coefficient factor"))
    )
    assert (alone / field).m_as("dimensionless") < exposure.high <= cap / field.magnitude * 1.02
    table = load("evapotranspiration")
    rise, cut = (table["plastic cover", name] for name in ("rise of transpiration", "advised cut of Kcb"))
    assert factor.low < 1 - cut.high / 100
    assert factor.high > 1 + rise.high / 100


def test_the_weather_of_a_record_is_off_and_half_of_it_stays():
    steady = Weather(
        np.datetime64("2019-01-01") + np.arange(365) * ONE_DAY, Q(np.full(365, 25.0), "degC"),
        Q(np.full(365, 15.0), "degC"), latitude=Q(0, "degree"), altitude=Q(0, "m"),
    )  # fmt: skip
    scenario = budget.Scenario.make(TANK, PLANT, steady, start="2027-06-01", days=30, members=4000)
    plain = demand.reference_et(steady.between("2019-06-10", "2019-06-20")).magnitude.mean()
    off = np.log(scenario.skies().reference_et.magnitude / plain)
    assert off.mean() == pytest.approx(0, abs=0.02)  # the sun moves by 1 % in these weeks
    assert off.std() == pytest.approx(0.11, rel=0.05)
    assert np.corrcoef(off[:, 10], off[:, 11])[0, 1] == pytest.approx(0.5, abs=0.05)


def test_a_tank_has_days_of_its_own_and_wanders():
    ask = {
        "members": 4000,
        "days": 60,
        "exposure": Q(100, "percent"),
        "coefficient_factor": Q(100, "percent"),
    }
    given = {"start": "2027-06-01", "first_level": cm(29), "reference_et": Q(0.5, "mm/day")}
    many = budget.ensemble(TANK, PLANT, None, daily_variation=Q(10, "percent"), **ask, **given)
    use = np.log(many.transpired.magnitude / 0.05)  # 0.1 m2 at 0.5 mm
    # by hand: each day 0.1 anew, and 0.028 more of drift for each day since the first
    for day in (0, 1, 30, 59):
        assert use[:, day].std() == pytest.approx(0.1 * (1 + 0.28**2 * day) ** 0.5, rel=0.05), day
    assert abs(use.mean()) < 0.01
    quiet = budget.ensemble(TANK, PLANT, None, daily_variation=Q(0, "percent"), **ask, **given)
    assert quiet.transpired.magnitude == pytest.approx(0.05)


def test_slow_plants_drink_later():
    """Twice the time for each stage: on day 40 they drink as others do on day 20."""
    lettuce = Plants(demand.field_crop("lettuce"), 1)
    given = {**AS_IS, "start": "2019-06-01", "reference_et": Q(5, "mm/day"), "days": 60}
    usual, slow = (
        budget.season(
            TANK, lettuce, first_level=cm(25), **given | {"growth_timing": Q(stretch, "percent")}
        ).table
        for stretch in (100, 200)
    )
    asked = [table["demand (L)"].to_numpy() for table in (usual, slow)]
    assert asked[1][39] == pytest.approx(asked[0][19])
    assert asked[1][59] == pytest.approx(asked[0][29])
    assert asked[1].sum() < 0.6 * asked[0].sum()


def test_dates_of_an_event_are_those_by_which_the_share_is_reached():
    many = budget.ensemble(TANK, PLANT, weather.site("new-york"), start="2027-06-01", days=10, members=7)
    days = many.dates[np.array([6, 2, 5, 1, 0, 4, 3])]
    one_a_day = dataclasses.replace(many, run_dry=days)
    first, fourth, last = one_a_day.date_range()  # 10 % of 7 is the first, half the fourth, 90 % the seventh
    assert [(day - many.dates[0].item()).days for day in (first, fourth, last)] == [0, 3, 6]


def test_two_top_ups_of_one_day_add_up():
    given = {"2019-06-02": Q(1, "L"), datetime.date(2019, 6, 2): Q(0.5, "L")}
    table = season(weather=rainy([0, 0, 0]), days=3, top_up=given).table
    assert table["top-up (L)"].tolist() == [0, 1.5, 0]


def test_seasons_are_drawn_in_blocks_near_their_date():
    record = weather.record("new-york")
    dates = np.datetime64("2027-11-20") + np.arange(75) * ONE_DAY  # over New Year
    rows = resample(np.random.default_rng(3), record, dates, 400)
    steps = np.diff(rows, axis=1)
    breaks = np.flatnonzero((steps != 1).any(axis=0)) + 1
    assert set(breaks) <= set(range(10, 75, 10))
    drawn, wanted = (sky.plain_day_of_year(days).astype(int) for days in (record.dates[rows], dates))
    apart = np.abs((drawn - wanted + 182) % 365 - 182)
    assert 9 <= apart.max() <= 12  # ten days of window, a leap day, the year's 365 or 366
    assert len(np.unique(record.dates[rows].astype("M8[Y]"))) == 4


def test_a_season_may_begin_on_a_leap_day():
    many = budget.ensemble(TANK, PLANT, weather.site("new-york"), start="2028-02-29", members=10)
    assert str(many.dates[0]) == "2028-02-29"


def test_the_southern_season_runs_over_new_year():
    """A record moved by half a year and to the south gives a summer from November."""
    north = weather.record("quillgate")
    south = Weather(
        north.dates[:-182] + 182 * ONE_DAY, north.temperature_max[:-182], north.temperature_min[:-182],
        latitude=Q(-41.5, "degree"), altitude=Q(210, "m"),
    )  # fmt: skip
    ask = {"members": 100, "first_level": cm(25), "exposure": Q(100, "percent")}
    summer = budget.ensemble(TANK, PLANT, south, start="2027-11-15", **ask)
    winter = budget.ensemble(TANK, PLANT, south, start="2027-05-15", **ask)
    used = [many.transpired.magnitude.sum(axis=1).mean() for many in (summer, winter)]
    assert used[0] > 3 * used[1]


def test_drier_places_run_dry_earlier_and_dates_come_in_order():
    def dry(percent):
        many = budget.ensemble(
            TANK, PLANT, weather.site("quillgate"), start="2027-06-01", days=90, members=200,
            exposure=Q(percent, "percent"), rain_share=Q(0, "percent"), first_level=cm(15),
        )  # fmt: skip
        return many.date_range(), many.date_range("stop")

    (field, field_stop), (windy, _) = dry(100), dry(140)
    assert field[0] <= field[1] <= field[2]
    assert windy[1] < field[1]
    assert all(stop <= day for stop, day in zip(field_stop, field, strict=True))


def test_what_does_not_come_is_none():
    many = budget.ensemble(TANK, PLANT, weather.site("quillgate"), start="2027-01-01", days=10, members=50)
    assert many.date_range() == (None, None, None)
    assert many.share_of() == 0
    assert "0%" in str(many)


def test_quantiles_and_the_weekly_table():
    many = budget.ensemble(TANK, PLANT, weather.site("quillgate"), start="2027-06-01", days=40, members=101)
    assert many.quantile(0.5).m_as("L")[20] == pytest.approx(np.median(many.volume.m_as("L")[:, 20]))
    week = many.weekly()
    assert len(week) == 6  # five weeks and five days
    assert week["transpired median (L)"].iloc[0] == pytest.approx(
        np.median(many.transpired.magnitude[:, :7].sum(axis=1))
    )
    assert week["level median (cm)"].iloc[-1] == pytest.approx(np.median(many.level.magnitude[:, -1]))
    assert (week["level 10% (cm)"] <= week["level 90% (cm)"]).all()
    assert week["date"].iloc[-1].date() == many.dates[-1].item()


def test_under_a_roof_no_rain_comes_in():
    open_ = weather.site("new-york")
    roof = Site("stall", open_.latitude, open_.altitude, open_.weather, cover="roof")
    many = budget.ensemble(TANK, PLANT, roof, start="2027-06-01", members=50)
    assert many.rain_in.magnitude.max() == 0
    low, high = load("budget")["roof", "exposure"].range
    assert low.magnitude <= many.drawn["exposure"].min() < 0.7
    assert 1 < many.drawn["exposure"].max() <= high.magnitude


def test_a_record_without_rain_is_said():
    dry = rainy([0] * 40)
    dry = Weather(
        dry.dates, dry.temperature_max, dry.temperature_min, latitude=dry.latitude, altitude=dry.altitude
    )
    found = budget.season(TANK, PLANT, dry, first_level=cm(10))
    assert "Rain: none in the record" in found.procedures[-1]


def test_rain_catch():
    assert hydraulics.rain_catch(Q(60, "cm") * Q(40, "cm"), Q(25, "mm")).m_as("L") == pytest.approx(6.0)


LOST = Plants(dataclasses.replace(FLAT, kcb_mid=None), 1)


@pytest.mark.parametrize(
    ("make", "error", "words"),
    [
        (lambda: season(first_level=10), UnitNeeded, "first_level"),
        (lambda: season(first_level=cm(31)), OutOfRange, "A first level of 31 cm: this tank is 30 cm high"),
        (lambda: season(first_level=cm(-1)), OutOfRange, "A first level of -1 cm"),
        (lambda: season(overflow_height=cm(9)), OutOfRange, "below the first level of 10 cm; 1 L"),
        (
            lambda: season(overflow_height=cm(31)),
            OutOfRange,
            "overflow height of 31 cm: this tank is 30 cm high",
        ),
        (lambda: season(rain_share=Q(120, "percent")), OutOfRange, "`rain_share` of 120 %"),
        (lambda: season(rain_share=0.5), UnitNeeded, "rain_share"),
        (lambda: season(exposure=Q(-5, "percent")), OutOfRange, "`exposure` of -5 %"),
        (lambda: season(days=0), OutOfRange, "0 is not possible"),
        (lambda: season(days=2.5), OutOfRange, "2.5"),
        (lambda: season(start="June"), Problem, "'June' is no date"),
        (lambda: season(start=None), Problem, "start"),
        (lambda: season(reference_et=None), Problem, "weather"),
        (lambda: season(reference_et=Q(80, "mm/day")), OutOfRange, "80"),
        (lambda: season(reference_et=Q([1, 2], "mm/day")), Problem, "2 values"),
        (lambda: season(top_up={"2020-06-03": Q(4, "L")}), OutOfRange, "outside the season"),
        (lambda: season(top_up={"2019-06-03": Q(-4, "L")}), OutOfRange, "-4 L"),
        (lambda: season(top_up={"2019-06-03": 4}), UnitNeeded, "top-up on 2019-06-03"),
        (lambda: season(weather="sunny"), Problem, "'sunny'"),
        (lambda: season(weather=rainy([1, 2])), Problem, "2019-06-01 to 2019-06-02"),
        (lambda: budget.season(TANK, LOST, rainy([0] * 40), first_level=cm(9)), Problem, "kcb mid"),
        (lambda: budget.season(TANK, [], rainy([0] * 40), first_level=cm(9)), Problem, "needs plants"),
        (
            lambda: budget.season(TANK, "lettuce", rainy([0] * 40), first_level=cm(9)),
            Problem,
            "number of plants",
        ),
        (
            lambda: budget.ensemble(TANK, PLANT, rainy([0] * 20), start="2027-01-01"),
            Problem,
            "no days near 01-01",
        ),
        (lambda: budget.ensemble(TANK, PLANT, None, start="2027-01-01"), Problem, "weather"),
        (
            lambda: budget.ensemble(TANK, PLANT, rainy([0] * 20), start="2027-06-01", members=0),
            OutOfRange,
            "0 is",
        ),
        (lambda: hydraulics.rain_catch(Q(-1, "m^2"), Q(1, "mm")), OutOfRange, "−1 m²"),
    ],
)
def test_bad_input_gets_a_sentence(make, error, words):
    with pytest.raises(error, match=words):
        make()
