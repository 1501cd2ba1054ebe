"""Figures: each says its point in words made from its data, and can be read."""

import re
from datetime import date

import numpy as np
import pytest
from drawn import overlaps, texts
from stilltank.science import mixing, tank, weather
from stilltank.science.sky import ONE_DAY
from stilltank.season import pictures
from stilltank.season.plan import Plan
from stilltank.show.figures import ElementBars, Picture, SeasonDates, SeasonLevel, TankSection, YearWeather
from stilltank.show.figures.picture import BLACK, BLUE, GREEN, PURPLE, VERMILLION, house_style
from stilltank.units import Q, write

FLAT = tank.Box(Q(3, "m"), Q(1, "m"), Q(14, "cm"), net_pot_depth=Q(5, "cm"), name="flat bed")
TALL = tank.Cylinder(Q(20, "cm"), Q(120, "cm"), net_pot_depth=Q(7, "cm"), name="tall tube")


@pytest.fixture(scope="module")
def plan():
    return Plan.make(count=4)


def season(system="metric", drawing=None, **changes):
    """A level that falls from 25 to 5 cm in 60 days, with any part changed."""
    days = np.datetime64("2027-04-26") + np.arange(60) * ONE_DAY
    middle = np.linspace(25, 5, 60)
    given = {
        "tank": tank.preset("quillgate-tub"),
        "dates": days,
        "low": Q(middle - 3, "cm"),
        "median": Q(middle, "cm"),
        "high": Q(middle + 0.4, "cm"),
        "stop_levels": (Q(3, "cm"), Q(6, "cm")),
        "event": ("first flower", date(2027, 6, 1), date(2027, 6, 10)),
        "dry": (date(2027, 6, 20), None),
    } | changes
    return (drawing or SeasonLevel(system)).show(**given)


def dates_picture(plan, drawing=None):
    return (drawing or SeasonDates()).show(plan.outlook.schedule, plan.start, plan.outlook.crowded)


# What each says


def test_the_tank_says_its_heights(plan):
    words = pictures.tank_picture(plan).sentence
    for value in (
        plan.outlook.fill_level,
        plan.outlook.overflow.height,
        plan.outlook.volume,
        plan.tank.height,
        plan.tank.height - plan.outlook.fill_level,
    ):
        assert write(value) in words
    assert "the net pots reach 2 cm into the solution" in words
    assert (
        TankSection()
        .show(FLAT, Q(9, "cm"), Q(10, "cm"))
        .sentence.startswith("Cross-section of flat bed, 14 cm high")
    )


def test_the_tank_with_a_fallen_level_says_so(plan):
    full, low = (
        TankSection().show(plan.tank, plan.outlook.fill_level, plan.outlook.overflow.height, level)
        for level in (None, Q(12, "cm"))
    )
    assert "Between the solution at 12 cm and the lid lie 18 cm of air" in low.sentence
    assert "level now 12 cm" in [one.get_text() for one in texts(low.figure)]
    assert not any("level now" in one.get_text() for one in texts(full.figure))


def test_net_pots_above_the_fill_line_are_not_said_to_reach_in():
    words = TankSection().show(TALL, Q(100, "cm"), Q(115, "cm")).sentence
    assert "−" not in words
    assert "above" in words


def test_elements_say_what_is_off_and_what_the_water_brings(plan):
    # of a solution as weak as a snapdragon likes it the hard water alone brings half of the calcium
    assert "Off by more than 10 percent: Ca 111 %. 52 percent of Ca comes from the water" in (
        pictures.elements_picture(plan).sentence
    )
    assert re.search(r"\d+ percent of Ca comes from the water", pictures.elements_picture(plan).sentence)
    bad = plan.change(water=mixing.Water({}, alkalinity=Q(400, "mg/L"), ph=7.5), acid="phosphoric acid 75 %")
    words = pictures.elements_picture(bad).sentence
    assert re.search(r"Off by more than 10 percent: .*P \d{3} %", words)
    assert "P comes from the acid" in words


def test_elements_without_some_or_any_parts():
    targets = {"N": Q(100, "mg/L"), "Ca": Q(120, "mg/L")}
    nothing = {name: Q(0, "mg/L") for name in targets}
    pure = ElementBars().show(
        targets, {"from the water": nothing, "from the salts": targets, "from the acid": nothing}
    )
    assert "comes from" not in pure.sentence
    empty = ElementBars().show(targets, {"from the water": nothing, "from the salts": nothing})
    assert "N 0 %, Ca 0 %" in empty.sentence
    none = ElementBars().show(targets, {})
    assert "N 0 %, Ca 0 %" in none.sentence
    for picture in (pure, empty, none):
        assert picture.svg().startswith("<?xml")


def test_the_season_says_start_end_and_windows():
    words = season().sentence
    assert "starts at 25 cm on 26 April 2027" in words
    assert "stand at 5 cm on 24 June," in words
    assert "in 8 of 10 seasons at 2 to 5.4 cm" in words
    assert "First flower between 1 June and 10 June" in words
    assert "from 20 June at the earliest" in words
    assert "in fewer than 1 of 10 seasons by 24 June" in season(dry=(None, None)).sentence
    assert "on 1 June." in season(event=("first flower", date(2027, 6, 1), date(2027, 6, 1))).sentence


@pytest.mark.parametrize(
    "change",
    [
        {"median": Q(np.linspace(24, 6, 60), "cm")},
        {"low": Q(np.linspace(20, 1, 60), "cm")},
        {"event": ("first harvest", date(2027, 6, 1), date(2027, 6, 10))},
        {"event": ("first flower", date(2027, 6, 2), date(2027, 6, 10))},
        {"dry": (date(2027, 6, 1), date(2027, 6, 20))},
        {"dates": np.datetime64("2027-05-26") + np.arange(60) * ONE_DAY},
    ],
    ids=lambda change: next(iter(change)),
)
def test_the_words_change_with_the_data(change):
    assert season(**change).sentence != season().sentence


def test_windows_beyond_the_season_are_left_out_of_the_drawing():
    picture = season(event=("first flower", date(2028, 6, 1), date(2028, 6, 10)), dry=(None, None))
    assert picture.svg() != season().svg()
    assert picture.sentence


# How they are shown


@pytest.mark.parametrize("system", ["metric", "US"])
def test_each_picture_keeps_its_words_when_shown(plan, system):
    drawn = [
        pictures.tank_picture(plan, system),
        pictures.elements_picture(plan),
        pictures.season_picture(plan, system),
    ]
    for picture in drawn:
        bundle = picture._repr_mimebundle_()
        assert set(bundle) == {"text/html", "text/plain"}
        assert bundle["text/plain"] == picture.sentence
        alt = re.search(r'<img alt="([^"]*)"', bundle["text/html"])[1]
        assert alt.replace("&lt;", "<").replace("&#x27;", "'") == picture.sentence
        assert len(alt.split()) >= 8
        assert "No description" not in bundle["text/html"]
        assert picture.sentence.endswith(".")
        assert ".." not in picture.sentence


def test_words_are_escaped(plan):
    picture = Picture(TankSection().figure, '<b>"quoted"</b>', "<i>caption</i>")
    assert "&lt;b&gt;&quot;quoted&quot;" in picture.html()
    assert "&lt;i&gt;caption" in picture.html()


def test_us_figures_hold_no_metric_measure(plan):
    for picture in (pictures.tank_picture(plan, "US"), pictures.season_picture(plan, "US")):
        labels = [one.get_text() for one in texts(picture.figure)] + [
            axes.get_ylabel() for axes in picture.figure.axes
        ]
        for words in (picture.sentence.replace("45 litres", ""), *labels):
            assert not re.search(r"\b(cm|mm|L)\b", words), words
        assert " in" in picture.sentence
    assert "US gal" in pictures.tank_picture(plan, "US").sentence


# Same data, same drawing


def test_same_data_same_bytes(plan):
    for draw in (pictures.tank_picture, pictures.elements_picture, pictures.season_picture):
        assert draw(plan).svg() == draw(plan).svg()


@pytest.mark.parametrize(
    ("kind", "draw"),
    [
        (TankSection, pictures.tank_picture),
        (SeasonLevel, pictures.season_picture),
        (ElementBars, pictures.elements_picture),
        (YearWeather, pictures.weather_picture),
        (SeasonDates, dates_picture),
    ],
)
def test_an_update_in_place_equals_a_fresh_drawing(plan, kind, draw):
    other = plan.change(tank="bed-90", crop="lettuce", count=6, site="new-york", start="2027-09-01")
    drawing = kind()
    draw(plan, drawing=drawing)
    first = draw(other, drawing=drawing)
    assert first.svg() == draw(other).svg()
    assert first.sentence == draw(other).sentence
    assert draw(plan, drawing=drawing).svg() == draw(plan).svg()


# Legible


def luminance(color):
    """Relative luminance, WCAG 2.2, definition in its glossary."""
    parts = (int(color[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("color", [BLUE, VERMILLION, GREEN, PURPLE, BLACK])
def test_lines_stand_out_from_white(color):
    """At least 3 to 1, WCAG 2.2 success criterion 1.4.11."""
    assert 1.05 / (luminance(color) + 0.05) >= 3


@pytest.mark.parametrize("system", ["metric", "US"])
def test_no_word_is_small_and_all_words_are_dark(plan, system):
    for picture in (
        pictures.tank_picture(plan, system),
        pictures.elements_picture(plan),
        pictures.season_picture(plan, system),
        pictures.weather_picture(plan, system),
        dates_picture(plan),
    ):
        with house_style():
            picture.figure.canvas.draw()
        for axes in picture.figure.axes:
            words = [
                *axes.texts,
                axes.xaxis.label,
                axes.yaxis.label,
                *axes.get_xticklabels(),
                *axes.get_yticklabels(),
            ]
            for one in words:
                if one.get_text():
                    assert one.get_fontsize() >= 10.5, one.get_text()
                    assert one.get_color() in ("black", "k", BLACK)


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("name", [*tank.presets(), "flat", "tall"])
@pytest.mark.parametrize("width", [7.0, 6.3])
def test_labels_of_the_tank_do_not_cover_each_other(name, system, width):
    made = Plan.make(tank={"flat": FLAT, "tall": TALL}.get(name, name))
    for level in (None, made.outlook.fill_level * 0.97, made.outlook.fill_level * 0.5, Q(0, "cm")):
        picture = TankSection(system, width).show(
            made.tank, made.outlook.fill_level, made.outlook.overflow.height, level
        )
        assert overlaps(picture.figure) == ([], [])


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize(
    "choices", [{}, {"tank": "bed-90"}, {"tank": "jar-4", "crop": "sunflower"}, {"tank": TALL}], ids=str
)
def test_labels_of_the_season_do_not_cover_each_other(choices, system):
    assert overlaps(pictures.season_picture(Plan.make(**choices), system).figure) == ([], [])


@pytest.mark.parametrize("end", [0.1, 3, 4.5, 12, 23, 29.8])
def test_labels_of_the_season_move_apart_wherever_it_ends(end):
    level = Q(np.linspace(25, end, 60), "cm")
    assert overlaps(season(median=level, low=level * 0.9, high=level).figure) == ([], [])


def test_labels_of_the_elements_do_not_cover_each_other(plan):
    assert overlaps(pictures.elements_picture(plan).figure) == ([], [])


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize(
    "choices",
    [{}, {"tank": "bed-90", "crop": "lettuce", "site": "new-york"}, {"tank": "jar-4", "crop": "basil"}],
    ids=str,
)
def test_labels_do_not_cover_each_other_in_any_size(choices, system, large):
    plan = Plan.make(**choices)
    for picture in (
        pictures.tank_picture(plan, system, TankSection(system, large=large)),
        pictures.season_picture(plan, system, SeasonLevel(system, large)),
        pictures.weather_picture(plan, system, YearWeather(system, large)),
        dates_picture(plan, SeasonDates(large)),
    ):
        assert overlaps(picture.figure) == ([], [])


def test_the_dates_are_said(plan):
    words = dates_picture(plan).sentence
    flower = plan.outlook.schedule.first_flower
    for day in (
        plan.outlook.schedule.sow,
        plan.start,
        flower.early,
        flower.expected,
        flower.late,
        plan.outlook.schedule.end,
    ):
        assert f"{day.day} {day:%B}" in words
    assert "more than this lid has room for" in dates_picture(plan.change(count=12)).sentence


def test_a_year_of_weather_is_said_in_the_units_shown():
    """Three days stand for a year: 10 mm on one of two days in July make 155 mm in a mean July of 31 days."""
    record = weather.Weather(
        ["2021-06-30", "2021-07-01", "2021-07-02"],
        Q([20, 30, 32], "degC"),
        Q([10, 20, 22], "degC"),
        Q([0, 10, 0], "mm"),
        name="three days",
    )
    words = YearWeather().show(weather.monthly_means(record), record.name, "Here.", "Mind this.").sentence
    assert words.startswith("Here. The record of three days: July is the warmest month, 21 to 31 °C")
    assert "June the coldest, 10 to 20 °C" in words
    assert "155 mm of rain fall in a mean year, most of it in July. Mind this." in words
    words = YearWeather("US").show(weather.monthly_means(record), record.name).sentence
    assert "70 to 88 °F" in words
    assert "6.1 inches of rain" in words
    dry = weather.Weather(["2021-06-30"], Q([20], "degC"), Q([10], "degC"))
    assert "It has no rain." in YearWeather().show(weather.monthly_means(dry), "one day").sentence
