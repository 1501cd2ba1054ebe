"""What figures say and draw, from results made up by hand: every number of a sentence is one of the result's.

Nothing is computed by the science here. The results hold round numbers, each another one, so that two of them cannot
be exchanged unseen; where a sentence says more than it is given, the working stands beside it.
"""

from datetime import date
from types import SimpleNamespace as Made

import numpy as np
import pandas as pd
import pytest
from stilltank.chapters.flowering_schedules.figures import BatchBars, ChanceInTime, RateAndDays, Warming
from stilltank.chapters.mixing.figures import CloudingCurve, ElementAmounts, MeterCurve
from stilltank.chapters.ph.figures import (
    AfterDose,
    DilutionRows,
    DoseBars,
    DriftCurves,
    TitrationPicture,
    millilitres,
)
from stilltank.chapters.root_zones.figures.columns import RefillColumns, RootSection
from stilltank.chapters.root_zones.figures.oxygen import OxygenDepth, OxygenSeason, RecoveryFit, StillAndMixed
from stilltank.chapters.water_budget.figures import LevelLeftAlone, StormCourse, TwoLevelCourses
from stilltank.lessons.guess_figures import GuessAndResult, SketchSoFar
from stilltank.science import tank
from stilltank.science.hydraulics import Hole
from stilltank.science.tank import dipstick
from stilltank.show.figures.dates import SeasonDates
from stilltank.show.figures.dipstick_sheet import DipstickSheet
from stilltank.show.figures.elements import ElementBars
from stilltank.show.figures.labels import apart, day_number, short_day
from stilltank.show.figures.level import SeasonLevel
from stilltank.show.figures.tank import TankSection
from stilltank.show.figures.weather import YearWeather
from stilltank.units import Q

BOX = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"), name="Box")
# A bucket 20 cm wide at the floor and 30 at the rim, 20 deep: at half its depth 25 cm.
BUCKET = tank.TaperedCylinder(Q(20, "cm"), Q(30, "cm"), Q(20, "cm"), net_pot_depth=Q(6, "cm"), name="Bucket")


def cm(*values):
    return Q(np.array(values, dtype=float) if len(values) > 1 else float(values[0]), "cm")


def days_from(first, count):
    return np.datetime64(first) + np.arange(count)


def reach(band, at):
    """Lower and upper end of a band at one place of its axis."""
    corners = band.get_paths()[0].vertices
    there = corners[np.isclose(corners[:, 0], at), 1]
    return pytest.approx((there.min(), there.max()))


def course(line):
    return pytest.approx(np.asarray(line.get_ydata(), dtype=float))


# Chapter 0 and the plan


def test_a_tank_with_its_level_now():
    picture = TankSection().show(BUCKET, cm(16), cm(16.5), cm(11))
    # pi / 12 x 16 x (20^2 + 20 x 28 + 28^2) = 7305 cm3; to the rim pi / 12 x 20 x 1900 = 9948
    assert picture.sentence == (
        "Cross-section of Bucket, 20 cm high, holding 9.95 L to the rim. The fill line is at 16 cm, 7.31 L: the net "
        "pots reach 2 cm into the solution. The lower edge of the overflow hole is at 16.5 cm. Between the solution at "
        "11 cm and the lid lie 9 cm of air."
    )
    shown = [text.get_text() for text in picture.figure.axes[0].texts]
    assert set(shown) == {
        "fill line 16 cm",
        "overflow hole 16.5 cm",
        "air zone\n9 cm",
        "level now 11 cm",
        "lid with net pots",
    }
    at_planting = TankSection("US").show(BUCKET, cm(14), cm(16.5)).sentence
    assert "the net pots reach 0 in into the solution" in at_planting
    assert "6.5 in" in at_planting  # 16.5 / 2.54
    dry = TankSection().show(BUCKET, cm(12), cm(16.5)).sentence
    assert "the net pots end 2 cm above the solution" in dry  # 20 - 6 - 12


def level(dry, event=("first harvest", date(2027, 5, 3), date(2027, 5, 9)), system="metric"):
    days = days_from("2027-04-26", 21)  # 26 April to 16 May
    middle = Q(np.linspace(25, 15, 21), "cm")
    return SeasonLevel(system).show(
        BOX, days, middle - cm(3), middle, middle + cm(1), stop_levels=(cm(2.5), cm(5)), event=event, dry=dry
    )


def test_a_season_and_its_windows():
    both = level((date(2027, 5, 10), date(2027, 5, 14)))
    assert both.sentence == (
        "The level starts at 25 cm on 26 April 2027 and is expected to stand at 15 cm on 16 May, in 8 of 10 seasons at "
        "12 to 16 cm. The band to stop in is reached between 10 May and 14 May. First harvest between 3 May and 9 May."
    )
    for dry, said in (
        ((None, None), "in fewer than 1 of 10 seasons by 16 May."),
        (
            (date(2027, 5, 10), None),
            "from 10 May at the earliest; in more than 1 of 10 seasons not by 16 May.",
        ),
        ((date(2027, 5, 10), date(2027, 5, 10)), "on 10 May."),
    ):
        assert f"The band to stop in is reached {said}" in level(dry).sentence
    assert "starts at 9.84 in on" in level((None, None), system="US").sentence


def test_a_season_draws_what_it_says():
    picture = level((date(2027, 5, 10), None))
    axes = picture.figure.axes[0]
    shown = {text.get_text() for text in axes.texts}
    assert {"stop: 2.5 to 5 cm", "first harvest", "stop band reached", "lower end of net pots"} <= shown
    lines = [np.asarray(line.get_ydata(), dtype=float) for line in axes.lines]
    assert any(np.allclose(line, 25) for line in lines if line.size == 2)  # 32 cm less a pot of 7
    assert axes.get_ylim() == (0, 32)
    eight_of_ten, stop = axes.collections
    assert reach(eight_of_ten, day_number("2027-04-26")) == (22, 26)  # 3 below the middle and 1 above
    assert reach(eight_of_ten, day_number("2027-05-16")) == (12, 16)
    assert reach(stop, day_number("2027-05-16")) == (2.5, 5)
    (middle,) = [line for line in axes.lines if len(line.get_ydata()) == 21]
    assert np.linspace(25, 15, 21) == course(middle)
    bars = [line.get_xdata() for line in axes.lines if line.get_linewidth() == 5]
    ends = sorted(tuple(str(np.datetime64(day, "D")) for day in bar) for bar in bars)
    assert ends == [
        ("2027-05-03", "2027-05-09"),
        ("2027-05-10", "2027-05-16"),
    ]  # an open end runs to the last day


def test_elements_that_miss_are_named():
    targets = {"N": Q(100, "mg/L"), "K": Q(200, "mg/L"), "Fe": Q(2, "mg/L")}
    parts = {
        "from the water": {"N": Q(5, "mg/L"), "K": Q(40, "mg/L"), "Fe": Q(0, "mg/L")},  # at most 20 % , of K
        "from the salts": {"N": Q(75, "mg/L"), "K": Q(162, "mg/L"), "Fe": Q(2.3, "mg/L")},
        "from the acid": {"N": Q(8, "mg/L"), "K": Q(0, "mg/L"), "Fe": Q(0, "mg/L")},
    }
    picture = ElementBars().show(targets, parts)
    assert picture.sentence == (
        "How much of its target each element reaches. Off by more than 10 percent: N 88 %, Fe 115 %. 20 percent of K "
        "comes from the water; 8 percent of N comes from the acid."
    )
    shown = [text.get_text() for text in picture.figure.axes[0].texts]
    assert {"88 of 100 mg/L", "202 of 200 mg/L", "2.3 of 2 mg/L"} <= set(shown)
    bars = {(bar.get_x(), bar.get_width()) for bar in picture.figure.axes[0].patches if bar.get_visible()}
    assert (20, 81) in bars  # the salts' potassium begins where the water's ends
    assert (80, 8) in bars  # the acid's nitrogen after 5 and 75 %


def months(rain=True):
    high = Q(np.array([3, 4, 9, 14, 19, 24, 27, 26, 21, 15, 8, 5.0]), "degC")
    wet = Q(np.array([40, 30, 50, 40, 60, 70, 80, 75, 55, 90, 60, 50.0]), "mm")  # 700 mm
    return Made(
        temperature_max=high, temperature_min=high - Q(10, "delta_degC"), precipitation=wet if rain else None
    )


def test_a_year_of_weather():
    said = YearWeather().show(months(), "a place", "Here.", "A remark.").sentence
    assert said == (
        "Here. The record of a place: July is the warmest month, 17 to 27 °C from night to day, and January the "
        "coldest, −7 to 3 °C. 700 mm of rain fall in a mean year, most of it in October. A remark."
    )
    warmth, wet = YearWeather().show(months(), "a place").figure.axes
    assert course(warmth.lines[0]) == [3, 4, 9, 14, 19, 24, 27, 26, 21, 15, 8, 5]
    assert course(warmth.lines[1]) == [-7, -6, -1, 4, 9, 14, 17, 16, 11, 5, -2, -5]
    assert reach(warmth.collections[0], 6) == (17, 27)
    assert [bar.get_height() for bar in wet.patches] == [40, 30, 50, 40, 60, 70, 80, 75, 55, 90, 60, 50]
    dry = YearWeather("US").show(months(rain=False), "a place").sentence
    assert "63 to 81 °F" in dry  # 17 x 1.8 + 32 = 62.6 and 80.6
    assert dry.endswith("It has no rain.")


def test_dates_of_a_season():
    schedule = Made(
        sow=date(2027, 3, 30),
        first_flower=Made(early=date(2027, 6, 12), expected=date(2027, 6, 21), late=date(2027, 6, 29)),
        end=date(2027, 7, 19),
        harvest_end=Made(early=date(2027, 7, 5), expected=date(2027, 7, 19), late=date(2027, 8, 2)),
        event="first flower",
    )
    picture = SeasonDates().show(schedule, date(2027, 4, 26), "Frost is not in it.")
    assert picture.sentence == (
        "Sow on 30 March 2027; into the tank on 26 April 2027; first flower about 21 June, between 12 June and "
        "29 June; the tank is free again about 19 July 2027, between 5 July and 2 August. Frost is not in it."
    )
    shown = {text.get_text() for text in picture.figure.axes[0].texts}
    assert {"sow 30 Mar", "from 26 Apr", "12 Jun to 29 Jun", "until 19 Jul", "first flower"} <= shown
    spans = {(bar.get_x(), bar.get_width()) for bar in picture.figure.axes[0].patches}
    start = day_number("2027-03-30")
    # 27 days as seedlings, 84 in the tank, 17 of range, 28 of harvest
    assert {(start, 27), (start + 27, 84), (start + 74, 17), (start + 83, 28)} == spans
    schedule.harvest_end = Made(early=date(2027, 7, 19), expected=date(2027, 7, 19), late=date(2027, 7, 19))
    assert "about 19 July 2027. Frost" in SeasonDates().show(schedule, date(2027, 4, 26), "Frost").sentence
    schedule.sow = date(2027, 4, 26)
    assert (
        SeasonDates()
        .show(schedule, date(2027, 4, 26))
        .sentence.startswith("Sow or set seedlings into the tank on")
    )


# Chapter 1


def test_the_meter_and_what_is_in_proportion():
    reading = Made(
        strengths=[0.5, 1, 2], readings=Q(np.array([0.9, 1.7, 3.1]), "mS/cm"), chosen=2, reading=Q(3.1, "mS/cm"),
        in_proportion=Q(3.4, "mS/cm"),
    )  # fmt: skip
    picture = MeterCurve().show(reading)
    assert picture.sentence == (
        "At 200 percent of the recipe the meter shows 3.10 mS/cm; in proportion it would be 3.40. The reading lies "
        "9 percent below that."  # 3.1 / 3.4 = 0.912
    )
    straight = picture.figure.axes[0].lines[1]
    assert straight.get_xdata() == pytest.approx([50, 100, 200])
    assert straight.get_ydata() == pytest.approx([0.85, 1.7, 3.4])
    reading.in_proportion = Q(2.5, "mS/cm")
    assert "24 percent above that" in MeterCurve().show(reading).sentence


def test_when_a_concentrate_turns_cloudy():
    found = Made(
        chosen=100,
        index=0.44,
        times=np.array([1, 10, 300]),
        indices=np.array([-2, -0.6, 1]),
        bottles=1,
        from_times=41.0,
    )
    assert CloudingCurve().show(found).sentence == (
        "In one bottle, 100 times as strong as the tank, the saturation index is 0.4: gypsum falls out. It "
        "turns cloudy from about 41 times on."
    )
    found.index, found.from_times = -0.3, None
    assert (
        CloudingCurve()
        .show(found)
        .sentence.endswith(
            "the saturation index is -0.3: it stays clear of gypsum. It turns cloudy at none of these strengths."
        )
    )
    found.bottles = 2
    picture = CloudingCurve().show(found)
    assert picture.sentence.startswith("In two bottles calcium never meets sulfate undiluted")
    assert "two bottles:\nnothing can meet" in [text.get_text() for text in picture.figure.axes[0].texts]


def test_what_a_salt_brings():
    picture = ElementAmounts().show({"Ca": Q(0.19, "g/L"), "N": Q(155, "mg/L")})
    assert picture.sentence == "In each litre, milligrams of the element: Ca 190, N 155."
    assert [bar.get_height() for bar in picture.figure.axes[0].patches] == pytest.approx([190, 155])
    assert ElementAmounts().show({}).sentence.endswith("nothing.")


# Chapter 2


def doses(now, to_hold, rule=(20, 40), adds=None):
    most = max(now, to_hold)
    return Made(
        volume=Q(40, "L"), start=7.64, target=5.8, acid=Made(name="nitric acid 1 mol/L", caution="Goggles."),
        now=Q(now, "mL"), to_hold=Q(to_hold, "mL"), rule=(Q(rule[0], "mL"), Q(rule[1], "mL")), adds=adds or {},
        rule_short_by=most / rule[1], rule_over_by=rule[0] / most if most else float("inf"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("found", "says"),
    [
        (
            doses(75, 100, adds={"N": Q(35, "mg/L")}),
            "To bring 40 L from pH 7.6 to 5.8 takes 75 mL of nitric acid 1 mol/L now, and 100 mL in all to "
            "hold it once carbon dioxide has left, which adds 35 mg/L N. The trade's rule says 20 to 40 mL: "
            "too little here, 2.5 times its upper end is needed.",
        ),
        (
            doses(0, 30),
            "To bring 40 L from pH 7.6 to 5.8 takes no nitric acid 1 mol/L now, but 30 mL in all to hold it "
            "once carbon dioxide has left. The trade's rule says 20 to 40 mL: it fits here.",
        ),
        (
            doses(5, 0),
            "To bring 40 L from pH 7.6 to 5.8 takes 5 mL of nitric acid 1 mol/L now; in air it comes down that far by "
            "itself. The trade's rule says 20 to 40 mL: too much here, its lower end is 4 times the need.",
        ),
        (
            doses(0, 0),
            "40 L at pH 7.6 need no nitric acid 1 mol/L for pH 5.8. The trade's rule says 20 to 40 mL: too much here.",
        ),
        (doses(30, 40), "it fits here."),
        (doses(15, 20), "it fits here."),
    ],
)
def test_doses_in_words(found, says):
    assert DoseBars().show(found).sentence.endswith(says)


def test_doses_as_bars():
    picture = DoseBars().show(doses(75, 100))
    bars = picture.figure.axes[0].patches
    assert [(bar.get_x(), bar.get_width()) for bar in bars] == [(0, 75), (0, 100), (20, 20)]
    shown = [text.get_text() for text in picture.figure.axes[0].texts]
    assert [word for word in shown if "mL" in word] == ["75 mL", "100 mL", "20 to 40 mL"]
    assert picture.caption == "Goggles."
    assert (millilitres(Q(0, "L")), millilitres(Q(0.05, "mL")), millilitres(Q(0.1, "mL"))) == (
        "none",
        "0.05 mL",
        "0.1 mL",
    )


def test_one_amount_on_a_titration():
    curve = Made(
        amounts=Q(np.array([0, 1, 2, 3.0]), "mmol/L"), ph=np.array([8.1, 6.6, 5.0, 3.1]), cliff=Q(2.43, "mmol/L"),
        acid=Made(name="nitric acid 1 mol/L"),
    )  # fmt: skip
    point = Made(curve=curve, amount=Q(1.25, "mmol/L"), ph=6.24, falls=0.12, step=Q(0.1, "mmol/L"))
    said = TitrationPicture().show(point).sentence
    assert said == (
        "With 1.25 mmol of nitric acid in each litre the pH goes from 8.1 to 6.2, inside the working range. The next "
        "0.1 mmol lowers it by 0.12; the cliff stands at about 2.4 mmol."
    )
    line, cliff, marked = TitrationPicture().show(point).figure.axes[0].lines
    assert course(line) == [8.1, 6.6, 5.0, 3.1]
    assert list(cliff.get_xdata()) == pytest.approx([2.43, 2.43])
    assert (list(marked.get_xdata()), list(marked.get_ydata())) == ([1.25], [6.24])
    for value, place in (
        (5.4, "below"),
        (5.5, "inside"),
        (7.0, "inside"),
        (7.1, "above"),
    ):  # 5.5 to 7, data/dosing.csv
        point.ph = value
        assert f"{place} the working range" in TitrationPicture().show(point).sentence
    curve.cliff, curve.acid.name = None, "citric acid monohydrate"
    said = TitrationPicture().show(point).sentence
    assert "mmol of citric acid in each litre" in said
    assert said.endswith("lowers it by 0.12.")


def test_two_acids_after_the_dose():
    both = Made(
        ph=np.array([[5.8, 6.6, 7.4], [5.8, 6.1, 6.4]]), low=np.array([[5.8, 6.2, 6.9], [5.8, 5.9, 6.0]]),
        high=np.array([[5.8, 7.0, 7.9], [5.8, 6.3, 6.8]]), open=np.array([8.3, 7.1]),
    )  # fmt: skip
    after = Made(
        target=5.8, days=Q(np.array([0, 7, 14.0]), "day"), course=both,
        doses=(Made(acid=Made(name="nitric acid 1 mol/L")), Made(acid=Made(name="citric acid"))),
        on=lambda day: ((6.6, 6.2, 7.0), (6.1, 5.9, 6.3)),
    )  # fmt: skip
    picture = AfterDose().show(after, Q(1, "week"))
    assert picture.sentence == (
        "Dosed to pH 5.8, the water stands on day 7 at about 6.6 with nitric acid (between 6.2 and 7.0) and 6.1 with "
        "citric acid (between 5.9 and 6.3); at rest with the air it comes to 8.3 and 7.1."
    )
    axes = picture.figure.axes[0]
    assert [reach(band, 14) for band in axes.collections] == [(6.9, 7.9), (6.0, 6.8)]
    drawn = [line for line in axes.lines if len(line.get_ydata()) == 3]
    assert [course(line) for line in drawn] == [[5.8, 6.6, 7.4], [5.8, 6.1, 6.4]]
    assert sorted(line.get_ydata()[0] for line in axes.lines if len(line.get_ydata()) == 1) == [6.1, 6.6]
    named = {text.get_text(): text.get_position()[1] for text in axes.texts}
    assert named["nitric\nacid"] == pytest.approx(7.4)  # where its line ends
    assert named["citric\nacid"] == pytest.approx(6.4)


def test_a_drift_to_either_side():
    drift = Made(
        start=6.2, amounts=Q(np.array([0, 1, 2.0]), "mmol/L"), nitrate=np.array([6.2, 7.2, 7.8]),
        ammonium=np.array([6.2, 4.6, 3.4]), at=lambda net, amount: {"nitrate": 7.2, "ammonium": 4.6}[net],
    )  # fmt: skip
    assert DriftCurves().show(drift, "nitrate", Q(1, "mmol/L")).sentence == (
        "When plants take 1 mmol more nitrate than cations out of each litre, the pH goes from 6.2 to 7.2, above the "
        "working range; as much more ammonium than anions would bring it to 4.6."
    )
    lines = DriftCurves().show(drift, "ammonium", Q(1, "mmol/L")).figure.axes[0].lines
    assert [course(line) for line in lines] == [[6.2, 7.2, 7.8], [6.2, 4.6, 3.4], [4.6]]
    (working,) = DriftCurves().figure.axes[0].patches
    assert working.get_extents().transformed(working.axes.transData.inverted()).intervaly == pytest.approx(
        [5.5, 7]
    )
    assert DriftCurves().show(drift, "ammonium", Q(1, "mmol/L")).sentence == (
        "When plants take 1 mmol more ammonium than anions out of each litre, the pH goes from 6.2 to 4.6, below the "
        "working range; as much more nitrate than cations would bring it to 7.2."
    )


def test_a_ladder_of_dilutions():
    def step(before, strength, take, water, adult):
        return Made(
            before=Q(before, "mol/L"), strength=Q(strength, "mol/L"), take=Q(take, "mL"), water=Q(water, "mL"),
            made=Q(take + water, "mL"), adult_only=adult, caution="Acid into water.",
        )  # fmt: skip

    ladder = Made(
        acid=Made(name="nitric acid 38 %"), strength=Q(0.1, "mol/L"), for_learners=True,
        steps=(step(7.44, 1, 134, 866, True), step(1, 0.1, 100, 900, True)),
    )  # fmt: skip
    picture = DilutionRows().show(ladder)
    assert picture.sentence == (
        "From nitric acid 38 % to 0.1 mol/L in 2 steps, water first each time: 134 mL into 866 mL gives 1 "
        "mol/L; 100 mL into 900 mL gives 0.1 mol/L. For adults only: 7.44 mol/L, 1 mol/L."
    )
    shown = [text.get_text() for text in picture.figure.axes[0].texts]
    assert "first 866 mL of water,\nthen 134 mL from above" in shown
    # each bottle whole, and filled to the share that comes from the one above: all, 134 and 100 of 1000 mL
    widths = sorted(bar.get_width() for bar in picture.figure.axes[0].patches)
    assert widths == pytest.approx([0.1, 0.134, 1, 1, 1, 1])
    weak = Made(
        acid=Made(name="weak"),
        strength=Q(0.01, "mol/L"),
        for_learners=True,
        steps=(step(0.1, 0.01, 10, 90, False),),
    )
    said = DilutionRows().show(weak).sentence
    assert "in 1 step, water" in said
    assert said.endswith("A class may handle all of it.")


# Chapter 3


def test_a_storm_with_and_without_its_hole():
    def storm(rise, over, too_far):
        return Made(
            times=Q(np.array([0, 1.0]), "hour"), levels=cm(15, 15 + rise), start=cm(15), rise=cm(rise), allowed=cm(2),
            rain_in=Q(7.2, "L"), over_rim=Q(over, "L"), too_far=too_far,
        )  # fmt: skip

    storms = (storm(1.5, 0, False), storm(9, 3, True))
    hole = Hole(height=cm(16), diameter=Q(12, "mm"))
    picture = StormCourse().show(storms, hole, cm(24))
    assert picture.sentence == (
        "7.2 L of rain get in; a rise of more than 2 cm may injure plants. With the hole of 12 mm open the level "
        "rises 1.5 cm, within the caution. With the hole blocked the level rises 9 cm, above the caution, and 3 L run "
        "over the rim."
    )
    shown = {text.get_text() for text in picture.figure.axes[0].texts}
    assert {"hole open: 1.5 cm up", "blocked: 9 cm up", "rim"} <= shown
    drawn = [tuple(np.asarray(line.get_ydata(), dtype=float)) for line in picture.figure.axes[0].lines]
    assert sorted(line for line in drawn if len(set(line)) == 2) == [(15, 16.5), (15, 24)]
    assert sorted(line[0] for line in drawn if len(set(line)) == 1) == pytest.approx(
        [16, 17, 24]
    )  # the hole, 15 + 2 that are allowed, the rim
    # 2.03 cm is above the caution of 2 cm, and must not read as 2 cm
    barely = StormCourse().show((storm(1.5, 0, False), storm(2.03, 0, True)), hole, cm(24))
    assert "the level rises 2.03 cm, above the caution" in barely.sentence
    assert "hole of 0.47 in open" in StormCourse("US").show(storms, hole, cm(24)).sentence


def test_two_ways_through_a_season():
    table = pd.DataFrame(
        {
            "added (L)": [0.0, 31.0],
            "runs low (%)": [47.0, 2.0],
            "above caution (%)": [1.0, 64.0],
            "largest rise (cm)": [0.3, 6.2],
            "neither (%)": [52.0, 35.0],
        },
        index=["no top-up", "refill, every 14 days"],
    )
    courses = Made(
        dates=days_from("2027-05-01", 3),
        levels={
            "no top-up": cm([18, 16, 13], [20, 18, 15], [22, 20, 17]),
            "refill, every 14 days": cm([17, 16, 18], [21, 19, 21], [24, 21, 23]),
        },
    )
    picture = TwoLevelCourses().show(BOX, Made(table=table, courses=courses))
    assert picture.sentence == (
        "No top-up: 0 L added, low in 47 of 100, above the caution in 1 of 100, largest rise 3 mm. "
        "Refill, every 14 days: 31 L added, low in 2 of 100, above the caution in 64 of 100, largest rise 6.2 cm."
    )
    axes = picture.figure.axes[0]
    assert [reach(band, day_number("2027-05-01")) for band in axes.collections] == [(18, 22), (17, 24)]
    drawn = [line for line in axes.lines if len(line.get_ydata()) == 3]
    assert [course(line) for line in drawn] == [[20, 18, 15], [21, 19, 21]]
    assert any(
        course(line) == [25, 25] for line in axes.lines if len(line.get_ydata()) == 2
    )  # 32 less a pot of 7
    assert (
        "8.19 US gal added" in TwoLevelCourses("US").show(BOX, Made(table=table, courses=courses)).sentence
    )  # 31 / 3.785


def look(**more):
    usual = {
        "dates": days_from("2027-07-01", 10), "lowest": cm(5),
        "levels": Q(np.array([[9.0] * 10, [11.0] * 10, [13.0] * 10]), "cm"),
        "certainty": 0.9, "date": np.datetime64("2027-07-06"), "days": 5, "median_days": 8, "ends": False,
    }  # fmt: skip
    return Made(**usual | more)


def test_how_long_a_tank_may_be_left():
    assert LevelLeftAlone().show(look()).sentence == (
        "Look by 6 July, after 5 days: until then the solution stays above 5 cm in 90 of 100 seasons, and in "
        "half of them for 8 days."
    )
    assert LevelLeftAlone().show(look(date=None)).sentence == (
        "Look today: by this evening the solution may stand below 5 cm, where plants get less, in more than 10 of 100 "
        "seasons."
    )
    ends = LevelLeftAlone("US").show(look(ends=True))
    assert ends.sentence == (
        "The solution stays above 1.97 in to the end of the season, 6 July, in 90 of 100 seasons."
    )
    assert ends.caption.startswith("Band: 90 of 100")
    axes = LevelLeftAlone().show(look()).figure.axes[0]
    assert reach(axes.collections[0], day_number("2027-07-05")) == (9, 13)
    assert [course(line) for line in axes.lines[:2]] == [[11] * 10, [5, 5]]
    shown = [text.get_text() for text in axes.texts]
    assert "look by 6 July" in shown
    assert not any("look by" in text.get_text() for text in ends.figure.axes[0].texts)


# Chapter 4


def several(early, expected, late, phase="transplant"):
    return Made(early=Q(early, "day"), expected=Q(expected, "day"), late=Q(late, "day"), phase=phase)


def warming(expected):
    rows = [np.array([60.0, 30.0]), np.array([64.0, 32.0]), np.array([80.0, 40.0])]
    return Warming(
        "Snapdragon", Q(np.array([12, 24.0]), "degC"), several(*rows), Q(18, "degC"), several(36, expected, 50),
        (Q(14, "degC"), Q(28, "degC")), None,
    )  # fmt: skip


def test_warmth_as_a_rate_and_as_days():
    picture = RateAndDays().show(warming(40.0))
    assert picture.sentence == (
        "At 18 °C snapdragon takes 40 days from transplant to the first flower, 36 to 50 by the range of the "
        "crop: each day makes 2.5 % of the way."
    )
    rate, days = picture.figure.axes
    assert [list(line.get_ydata()) for line in days.lines if len(line.get_ydata())] == [[64, 32], [40]]
    (made, point) = [line.get_ydata() for line in rate.lines if len(line.get_ydata())]
    assert made == pytest.approx([100 / 64, 100 / 32])
    assert point == pytest.approx([2.5])
    assert reach(days.collections[0], 12) == (60, 80)
    assert reach(rate.collections[0], 12) == (100 / 80, 100 / 60)
    never = RateAndDays("US").show(warming(np.inf))
    assert never.sentence == "At 64.4 °F snapdragon never flowers: it stands still there."
    assert all(len(line.get_ydata()) != 1 for axes in never.figure.axes for line in axes.lines)  # no point


def test_batches_and_their_stems():
    def batch(sow, into, early, late, end):
        return Made(
            sow=date(2027, 3, sow), transplant=date(2027, 4, into), end=date(2027, 7, end), event="first flower",
            first_flower=Made(early=date(2027, 6, early), late=date(2027, 6, late)), crop=Made(spoken="zinnia"),
        )  # fmt: skip

    class Plan(list):
        tanks = 3

    plan = Plan([batch(1, 2, 3, 9, 10), batch(15, 16, 17, 23, 24)])
    stems = Made(
        weeks=np.array(["2027-06-07", "2027-06-14", "2027-06-21"], dtype="datetime64[D]"), low=np.array([1, 12, 3.0]),
        expected=np.array([4, 20, 9.0]), high=np.array([8, 31, 15.0]), total=(25.0, 33.0, 46.0),
    )  # fmt: skip
    assert BatchBars().show(plan, stems, 6).sentence == (
        "2 sowings of zinnia, 6 plants each, need 3 tanks. Sow first on 1 March 2027 and last on 15 March "
        "2027. 33 stems in all, 25 to 46; most in the week from 14 June: 12 to 31."
    )


def test_the_chance_to_be_in_time():
    ranks = days_from("2027-06-01", 101)  # one of 100 outcomes each day
    schedule = Made(
        sow=date(2027, 3, 1), event="first flower", crop=Made(spoken="zinnia"), by_rank=lambda count: ranks[:count],
        chance_by=lambda day: float(np.mean(ranks[:100] <= np.datetime64(day, "D"))),
        first_flower=Made(early=date(2027, 6, 1), expected=date(2027, 7, 20), late=date(2027, 9, 9)),
    )  # fmt: skip
    picture = ChanceInTime().show(schedule, "2027-06-30")  # the 30th day: 30 of 100
    first, last = picture.figure.axes[0].get_xlim()
    assert (first, last) == (day_number("2027-05-28"), day_number("2027-09-13"))  # four days before and after
    assert picture.sentence == (
        "Sown on 1 March 2027, zinnia has its first flower by 30 June 2027 in 30 of 100 outcomes; expected on 20 July, "
        "between 1 June and 9 September."
    )
    assert {text.get_text() for text in picture.figure.axes[0].texts} == {"wanted:\n30 June", "30 of 100"}


# Chapter 5


def test_oxygen_in_still_and_mixed_water():
    profile = Made(
        depth=cm(0, 5, 20),
        concentration=Q(np.array([8.0, 2, 0]), "mg/L"),
        reaches=cm(5),
        flux=Q(0.31, "g/m^2/day"),
    )
    for mixed, words in ((5.2, "no effect was seen"), (2.0, "sources disagree"), (0.2, "harm was seen")):
        said = OxygenDepth().show(StillAndMixed(profile, Q(mixed, "mg/L"))).sentence
        assert said == (
            "In quite still water oxygen reaches 5 cm deep, and 0.31 g pass each square metre of the surface "
            f"in a day. In mixed water {mixed} mg/L would hold: {words}."
        )
    picture = OxygenDepth("US").show(StillAndMixed(profile, Q(2, "mg/L")))
    assert "reaches 2 in deep" in picture.sentence
    assert picture.figure.axes[0].get_ylim() == pytest.approx((20 / 2.54, 0))  # the surface is on top


def test_oxygen_through_a_season():
    lowest = Q(np.array([[6, 4, 2, 1], [7, 6, 4, 2.2], [8, 7, 6, 5.0]]), "mg/L")
    season = Made(lowest=lowest, first_below=lambda limit: Q(np.array([3, 4, np.nan]), "day"))
    film = Q(np.array([0.1, 0.4, 0.9]), "m/day")
    assert OxygenSeason().show(season, film, Q(3, "mg/L")).sentence == (
        "With k = 0.4 m/day the solution holds less than 3 mg/L from day 4 on; with 0.1 m/day from day 3 on, with 0.9 "
        "m/day never. At the end it holds 2.2 mg/L at the worst time of day."
    )
    axes = OxygenSeason().show(season, film, Q(3, "mg/L")).figure.axes[0]
    assert (reach(axes.collections[-1], 1), reach(axes.collections[-1], 4)) == ((6, 8), (1, 5))
    assert course(axes.lines[0]) == [7, 6, 4, 2.2]
    season.first_below = lambda limit: Q(np.array([3, np.nan, np.nan]), "day")
    assert "With k = 0.4 m/day the solution never holds less than 3 mg/L;" in (
        OxygenSeason().show(season, film, Q(3, "mg/L")).sentence
    )


def test_readings_of_oxygen_and_their_curve():
    """With a film of 0.24 m/day on 12 cm of water the rate is 2 a day: after 12 hours e^-1 of the gap is left."""
    trial = Made(
        time=Q(np.array([0, 6, 12, 30.0]), "hour"), concentration=Q(np.array([1, 5, 6.2, 8.9]), "mg/L")
    )
    fit = Made(
        plateau=Q(9, "mg/L"), start=Q(1, "mg/L"), coefficient=Q(0.24, "m/day"), low=Q(0.2, "m/day"),
        high=Q(0.28, "m/day"), readings=3, certainty=0.9, scatter=Q(0.08, "mg/L"),
    )  # fmt: skip
    used = np.array([True, True, True, False])
    picture = RecoveryFit().show(trial, fit, cm(12), used)
    assert picture.sentence == (
        "3 readings, 1 left out: oxygen comes back from 1.0 mg/L towards 9.0 mg/L. The film coefficient is 0.24 m/day, "
        "between 0.2 and 0.28 in 90 of 100 such trials; a typical reading is 0.08 mg/L off the curve."
    )
    curve = next(line for line in picture.figure.axes[0].lines if len(line.get_xdata()) == 60)
    assert curve.get_xdata()[[0, -1]] == pytest.approx([0, 12])
    assert curve.get_ydata()[[0, -1]] == pytest.approx([1, 9 - 8 / np.e])
    least, most = (9 - 8 * np.exp(-film / 0.12 / 2) for film in (0.2, 0.28))  # half a day
    assert reach(picture.figure.axes[0].collections[0], 12) == (least, most)
    assert "left out:" not in RecoveryFit().show(trial, fit, cm(12), np.ones(4, dtype=bool)).sentence


def roots(**more):
    """Two days; on the second, 4 cm of roots in air, 1.5 just bared, 6 in the solution, 2 submerged."""
    usual = {
        "level": cm(25, 19), "peak": cm(25, 21), "air_zone": cm(7, 13), "in_air": cm(0, 4),
        "bared": cm(0, 1.5), "in_water": cm(3, 6),
        "submerged": cm(0, 2), "share": Q(np.array([0, 0.4]), ""), "low": Q(np.array([0, 0.25]), ""),
        "high": Q(np.array([0, 0.7]), ""), "dates": days_from("2027-05-01", 2),
    }  # fmt: skip
    return Made(**usual | more)


def test_roots_on_one_day():
    assert RootSection().show(BOX, roots(), 2).sentence == (
        "Day 2, 2 May: solution: 19 cm, air zone: 13 cm, roots used to air: 4 cm, roots just laid bare: 1.5 "
        "cm, roots in the solution: 6 cm, air roots under water: 2 cm. About 40 % of the oxygen comes from the "
        "air, from 25 to 70 % by what is assumed."
    )
    first = RootSection().show(BOX, roots(dates=None), 1).sentence
    assert first.startswith("Day 1: solution: 25 cm, air zone: 7 cm, roots in the solution: 3 cm. About 0 %")


def test_roots_are_drawn_where_they_hang():
    picture = RootSection().show(BOX, roots(), 2)
    heights = {
        (round(float(patch.get_xy()[:, 1].max()), 6), round(float(patch.get_xy()[:, 1].min()), 6))
        for patch in picture.figure.axes[0].patches
        if patch.get_visible()
    }
    # the pots end at 25 cm: 4 cm of roots below them, 1.5 below those, 6 below the level of 19, 2 below the peak of 21
    assert {(25, 21), (21, 19.5), (19, 13), (21, 19)} <= heights


def test_a_refill_before_it_is_poured():
    found = Made(
        before=Made(level=cm(15), air_zone=cm(17)), after=Made(level=cm(20), air_zone=cm(12)), rise=cm(5),
        volume=Q(12, "L"), limit=Made(rise=cm(2), highest_level=cm(17)), too_far=True, submerged=cm(5),
        share_submerged=Q(0.5, ""),
    )  # fmt: skip
    picture = RefillColumns().show(BOX, found)
    assert picture.sentence == (
        "12 L raise the level by 5 cm, above the caution of 2 cm: 5 cm of the roots that are used to air, 50 %, come "
        "under water, and the air zone shrinks from 17 cm to 12 cm."
    )
    shown = {text.get_text() for text in picture.figure.axes[0].texts}
    assert {"air zone after: 12 cm", "under water now: 5 cm", "after: 20 cm", "before: 15 cm"} <= shown
    found.too_far, found.submerged, found.rise = False, cm(0), cm(1)
    said = RefillColumns("US").show(BOX, found).sentence
    assert "within the caution of 0.79 in: no root that is used to air comes under water" in said


# Predictions, the stick, and words


def test_a_sketch_in_words():
    start = ("2027-04-26", cm(25))
    picture = SketchSoFar().show(start, [("2027-05-10", cm(21)), ("2027-05-24", cm(14))], cm(32))
    assert (
        picture.sentence == "It starts at 25 cm on 26 April. Your sketch: 21 cm on 10 May, 14 cm on 24 May."
    )


def test_a_guess_beside_the_result():
    prediction = Made(
        question="How much?",
        kind="volume",
        value=Q(30, "L"),
        low=Q(20, "L"),
        high=Q(35, "L"),
        days=(),
        system="metric",
    )
    found = Made(
        prediction=prediction, outcome=Q(28000, "mL"), course=None, sentence="2 L less than you said."
    )
    picture = GuessAndResult().show(found)
    assert picture.sentence == "How much? 2 L less than you said."
    spread, guess, result = picture.figure.axes[0].lines
    assert spread.get_xdata() == pytest.approx([20, 35])
    assert (guess.get_xdata(), result.get_xdata()) == ([30], [28])
    assert guess.get_ydata()[0] != result.get_ydata()[0]
    assert [label.get_text() for label in picture.figure.axes[0].get_yticklabels()] == [
        "your guess",
        "result",
    ]
    assert guess.get_ydata()[0] == picture.figure.axes[0].get_yticks()[0]  # each in the row of its name


def test_a_dipstick_says_how_many_marks():
    """A box of 24 L for each 10 cm, 19 cm high, holds 45.6 L: seven marks of 6 L, on one piece of paper."""
    low = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(19, "cm"), name="Low box")
    (sheet,) = DipstickSheet().show(dipstick(low, Q(6, "L")))
    assert sheet.sentence == (
        "Dipstick to cut out for Low box, 19 cm high, in its true size: 7 marks, one for each 6 L of volume, "
        "in 1 piece, and a ruler of 100 mm to check the print."
    )
    by_height = DipstickSheet().show(dipstick(BOX, Q(4, "cm")))[0].sentence
    assert "Box, 32 cm high, in its true size: 8 marks, one for each 4 cm of height, in 2 pieces" in by_height


def test_labels_keep_apart_and_in_order():
    assert apart({"a": 5.0, "b": 4.5, "c": 1.0}, 1.0) == {"a": 5.0, "b": 4.0, "c": 1.0}
    assert apart({"a": 5.0, "b": 4.5, "c": 3.8}, 1.0) == {"a": 5.0, "b": 4.0, "c": 3.0}
    assert short_day("2027-12-01") == "1 December"
