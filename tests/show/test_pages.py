"""The tank card: one page that needs nothing else, says what the issue of foundations asks for, and says it truly."""

import base64
import dataclasses
import itertools
import re

import pytest
from printed import NASTY, Page, words_of
from stilltank.science import budget, mixing, tank, weather
from stilltank.season import paper
from stilltank.season.plan import Group, Plan, Reading
from stilltank.show import pages
from stilltank.show.figures.labels import day_text
from stilltank.units import Problem, Q, on_ruler, ruler_range, write


@pytest.fixture(scope="module")
def plan():
    return Plan.make(count=4)


@pytest.fixture(scope="module")
def card(plan):
    return paper.tank_card(plan)


@pytest.fixture(scope="module")
def said(card):
    return words_of(card)


VARIED = {
    "demo": {"count": 4},
    "jar": {"tank": "jar-4", "crop": "sunflower"},
    "bed in autumn": {"tank": "bed-90", "start": "2027-09-01", "water": "quillgate-rain"},
    "solid acid": {"acid": "citric acid", "crop": "basil"},
    "acid later": {"target_ph": 7},
    "too much": {
        "acid": "phosphoric acid 75 %",
        "water": mixing.Water({}, alkalinity=Q(400, "mg/L"), ph=7.5),
    },
}


@pytest.mark.parametrize("choices", VARIED.values(), ids=VARIED)
@pytest.mark.parametrize("system", ["metric", "US"])
def test_a_card_is_one_whole_page(choices, system):
    text = paper.tank_card(Plan.make(**choices), system=system)
    page = Page(text)
    assert page.found[0] == ("html", {"lang": "en"})
    for tag in ("title", "h1", "main", "body", "head"):
        assert len(page.all(tag)) == 1, tag
    assert page.words["title"].strip()
    assert page.words["h1"].strip()
    assert {"charset": "utf-8"} in page.all("meta")
    for header in page.all("th"):
        assert header["scope"] in ("col", "row")
    for word in ("None", "nan", "inf ", "<Quantity", "Q(", "unknown"):
        assert word not in words_of(text)


@pytest.mark.parametrize("system", ["metric", "US"])
def test_a_card_needs_nothing_else(plan, system):
    text = paper.tank_card(plan, system=system)
    page = Page(text)
    (picture,) = page.all("img")
    assert picture["src"].startswith("data:image/svg+xml;base64,")
    assert len(picture["alt"].split()) > 20
    assert {"script", "link", "iframe", "object", "a", "form"}.isdisjoint(tag for tag, _ in page.found)
    drawing = base64.b64decode(picture["src"].partition(",")[2]).decode()
    outside = re.compile(r"https?:|[\"'(]//|@import|url\((?!#)|<script", re.IGNORECASE)
    assert not outside.search(text)
    names_of_spaces = re.compile(
        r"\s(?:xmlns(?::\w+)?|rdf:\w+)=\"[^\"]*\"|<!DOCTYPE[^>]*>|<metadata>.*?</metadata>", re.DOTALL
    )
    assert not outside.search(names_of_spaces.sub("", drawing))


def test_the_weigh_out_list_has_every_mass(plan, card, said):
    assert f"Weigh for {write(plan.outlook.volume)}" in said
    pairs = re.findall(r"<tr><td>([^<]+)</td><td class=\"number\">([^<]+)</td></tr>", card)
    listed = dict(pairs)
    assert len(listed) == len(pairs)  # no salt stands there twice
    weighed = {name: mass for name, mass in plan.outlook.recipe.masses.items() if mass > Q(0, "g")}
    assert set(listed) == set(weighed)
    stocks = {name: mass for stock in plan.outlook.trace_stocks for name, mass in stock.masses.items()}
    assert set(stocks) == set(plan.outlook.recipe.too_small)
    shown = {name: stock.weighed(name) for stock in plan.outlook.trace_stocks for name in stock.masses}
    for name, mass in weighed.items():
        assert listed[name] == shown.get(name, write(mass))
    for stock in plan.outlook.trace_stocks:  # the dose of the stock holds what the recipe wants
        for name, mass in stock.masses.items():
            share = (stock.dose / stock.volume).m_as("dimensionless")
            assert (mass * share).m_as("g") == pytest.approx(plan.outlook.recipe.masses[name].m_as("g"))
        assert f"put {write(stock.dose)} into the tank" in said


def test_the_acid_stands_beside_its_caution(plan, said):
    both = plan.outlook.doses
    assert f"{write(both['closed'].volume)} nitric acid 0.5 mol/L brings the tank to pH 5.8" in said
    assert f"up to {write(both['open'].volume)}" in said
    acid, caution = said.index("nitric acid"), said.index(pages.cautions()["acids"]["short"])
    assert acid < caution < said.index("Cautions")


def test_heights_are_those_of_the_plan(plan, said):
    both, outlook = "both", plan.outlook
    fill, most = on_ruler(outlook.fill_level, both), on_ruler(outlook.refill.rise, both, down=True)
    assert f"Fill line {fill} above the floor: {write(outlook.volume, both)}" in said
    assert f"Overflow hole lower edge {on_ruler(outlook.hole, both)}" in said
    assert f"Air zone at the start {on_ruler(plan.tank.height - outlook.fill_level, both)}" in said
    assert f"Top up at most {most} = {write(outlook.refill.volume, both)} at once" in said
    assert f"End the crop at {ruler_range(*outlook.stop_levels, both)}" in said
    assert write(plan.tank.weight(plan.outlook.fill_level), both, 2) in said


def test_each_week_has_its_level_and_range():
    short = Plan.make(crop="gypsophila", start="2027-06-15")
    assert len(short.outlook.weekly) <= 12
    said = words_of(paper.tank_card(short))
    for week in short.outlook.weekly:
        low, middle, high = (week[key].m_as("cm") for key in ("low", "median", "high"))
        assert f"{week['week']} {week['day']:%d %b} {middle:.1f} {low:.1f} to {high:.1f}" in said


@pytest.mark.parametrize("start", ["2027-09-01", "2027-11-01", "2027-12-20"])
def test_a_long_season_leaves_weeks_out_but_not_the_last(start):
    long = Plan.make(start=start)
    rows = re.findall(r"<tr><td class=\"number\">(\d+)</td><td>(\d\d \w+)</td>", paper.tank_card(long))
    assert 7 <= len(rows) <= 12 < len(long.outlook.weekly)
    last = long.outlook.weekly[-1]
    assert rows[-1] == (str(last["week"]), f"{last['day']:%d %b}")
    steps = {int(b[0]) - int(a[0]) for a, b in itertools.pairwise(rows)}
    assert len(steps) == 1


def test_windows_and_days_to_look(plan, said):
    flower, (clear, late) = plan.outlook.schedule.first_flower, plan.outlook.pots_clear
    about = f"about {flower.expected.day} {flower.expected:%B}"
    assert f"First flower {flower.early.day} {flower.early:%B} to {day_text(flower.late)}, {about}" in said
    assert f"Pots hang clear {clear.day} {clear:%B} to {day_text(late)}" in said
    for look in plan.outlook.check_days:
        assert f"{look.day:%a %d %b}: {look.what}" in said
    assert f"Sow {day_text(plan.outlook.schedule.sow)}" in said
    full = Plan.make()
    assert f"Run dry {day_text(full.outlook.season.date_range('run_dry')[0])}" in words_of(
        paper.tank_card(full)
    )


def test_a_tank_that_lasts_says_so():
    said = words_of(paper.tank_card(Plan.make(crop="lettuce", count=1, tank="bed-90")))
    assert "Run dry not expected within the season" in said


@pytest.mark.parametrize("choices", [{}, {"crop": "lettuce"}, {"cover": "indoors"}], ids=str)
def test_every_caution_is_printed(plan, choices):
    cover = choices.pop("cover", None)
    made = plan.change(**choices)
    if cover:
        made = made.change(site=dataclasses.replace(made.site, cover=cover))
    said = words_of(paper.tank_card(made))
    for name in made.outlook.cautions:
        assert pages.cautions()[name]["short"] in said, name
    assert "no promise" in said


def test_what_is_weak_invented_crowded_or_too_much_is_said(plan, said):
    assert "Invented demo:" in said
    assert "assumed, not measured" in said
    real = plan.change(
        site="new-york", tank="tote-60", water=mixing.Water({}, alkalinity=Q(90, "mg/L"), ph=7.4)
    )
    assert "Invented demo:" not in words_of(paper.tank_card(real))
    assert plan.change(count=9).outlook.crowded in words_of(paper.tank_card(plan.change(count=9)))
    bad = plan.change(**VARIED["too much"])
    assert bad.outlook.excess["P"] in words_of(paper.tank_card(bad))


def test_acid_that_is_not_needed_or_only_later_is_said(plan):
    soft = plan.change(water=mixing.Water({}, alkalinity=Q(0, "mg/L"), ph=5.5))
    said = words_of(paper.tank_card(soft))
    assert f"mixes to about pH {soft.outlook.ph_before_acid:.1f}, and 5.8 is wanted: no acid." in said
    later = plan.change(target_ph=7)
    said = words_of(paper.tank_card(later))
    assert "no acid on the first day" in said
    assert f"up to {write(later.outlook.doses['open'].volume)}" in said
    assert pages.cautions()["acids"]["short"] in said


def test_names_are_text_and_nothing_else(plan):
    made = plan.change(
        name=NASTY,
        tank=dataclasses.replace(plan.tank, name=NASTY),
        water=dataclasses.replace(plan.water, name=NASTY),
        site=dataclasses.replace(plan.site, name=NASTY),
    )
    text = paper.tank_card(made)
    page = Page(text)
    assert page.words["h1"] == NASTY
    assert page.words["title"] == f"Tank card: {NASTY}"
    assert not page.all("script")
    assert not page.all("b")
    assert NASTY in page.all("img")[0]["alt"]
    assert words_of(text).count("alert(1)") >= 4


def test_us_units_where_a_ruler_or_a_jug_is_used(plan):
    text = paper.tank_card(plan, system="US")
    said = words_of(text)
    assert f"Weigh for {write(plan.outlook.volume, 'US')}" in said
    assert "US gal" in said
    assert "level, in" in said
    assert "range, in" in said
    heights = said[said.index("Fill line") : said.index("When")]
    assert not re.search(r"\d (cm|mm|L|kg)\b", heights)
    assert not re.search(r"\d (cm|mm)\b", said)
    assert not re.search(r"(?<!US )\b(gal|fl oz)\b", said)  # always which gallon
    for week in plan.outlook.weekly[-1:]:
        middle, low = (on_ruler(week[name], "US").removesuffix(" in") for name in ("median", "low"))
        assert f"{middle} {low} to " in said
    alt = Page(text).all("img")[0]["alt"]
    assert " in" in alt
    assert not re.search(r"\d (cm|mm|L)\b", alt.replace("45 litres", ""))


def test_the_metric_card_says_which_gallon(said):
    assert not re.search(r"(?<!US )\b(gal|fl oz)\b", said)


def test_the_same_plan_makes_the_same_bytes(plan, card, tmp_path):
    assert paper.tank_card(plan) == card
    assert paper.tank_card(Plan.make(count=4)) == card
    assert (
        paper.tank_card(plan, tmp_path / "a.html").read_bytes()
        == paper.tank_card(Plan.make(count=4), tmp_path / "b.html").read_bytes()
    )


def test_another_plan_makes_another_card(plan, card):
    for change in ({"start": "2027-05-03"}, {"water": "quillgate-rain"}, {"tank": "tote-60"}, {"count": 2}):
        assert paper.tank_card(plan.change(**change)) != card


def test_unknown_systems_are_refused(plan):
    with pytest.raises(Problem, match="metric"):
        paper.tank_card(plan, system="imperial")


def test_a_card_is_written_whole_under_its_name_or_refused(plan, card, tmp_path):
    written = paper.tank_card(plan, tmp_path / "my-card")
    assert written == tmp_path / "my-card.html"
    assert written.read_text(encoding="utf-8") == card
    assert [path.name for path in tmp_path.iterdir()] == ["my-card.html"]
    for given in (
        {"path": tmp_path / "no folder" / "card.html"},
        {"path": 5},
        {"system": []},
        {"system": 10**5000},
    ):
        with pytest.raises(Problem):
            paper.tank_card(plan, **given)
    for wrong in (None, "my-tank.toml", [plan], float("nan"), 10**5000, Plan):
        with pytest.raises(Problem):
            paper.tank_card(wrong, tmp_path / "other.html")
    assert [path.name for path in tmp_path.iterdir()] == ["my-card.html"]


def test_passage_and_fold_escape():
    assert (
        pages.folded("a<b", ["<i>"])
        == "<details><summary>a&lt;b</summary><ul><li>&lt;i&gt;</li></ul></details>"
    )
    assert pages.folded("nothing", []) == ""
    assert "<td>&lt;</td>" in pages.table("c", ("h",), [("<",)])


def test_tall_and_flat_tanks_fit_their_picture():
    for size in ((Q(20, "cm"), Q(90, "cm")), (Q(3, "m"), Q(14, "cm"))):
        made = Plan.make(
            tank=tank.Cylinder(*size, net_pot_depth=Q(6, "cm")),
            site=weather.site("quillgate"),
            record="quillgate",
        )
        Page(paper.tank_card(made))


def test_a_card_names_every_crop_the_routine_and_a_reading():
    made = Plan.make(
        count=3,
        beside=(Group("basil", 2), Group("lettuce", 1, transplanted="2027-05-20")),
        top_up=budget.by_hand(3, Q(15, "cm"), Q(1, "cm"), strength=0.5),
        hole=Q(26, "cm"),
    )
    said = words_of(paper.tank_card(made))
    assert "3 snapdragon plants, 2 basil plants and 1 lettuce plant from 20 May, " in said
    assert "Top-ups every 3 days up to 15 cm, at most 1 cm a visit: half-strength solution" in said
    assert "Overflow hole lower edge 26 cm (10 1/4 in)" in said  # 26 / 2.54 = 10.24
    for course in made.outlook.courses:
        window = course.schedule.first_flower
        name = course.group.crop.spoken.capitalize()
        assert f"{name}: {course.schedule.event} {window.early.day} {window.early:%B}" in said
    assert f"Tank free again about {day_text(made.outlook.end)}" in said
    read = made.change(reading=Reading("2027-06-20", Q(14, "cm")))
    assert "From 14 cm read on 20 June 2027." in words_of(paper.tank_card(read))
    assert "Top-ups" not in words_of(paper.tank_card(Plan.make(count=3)))
