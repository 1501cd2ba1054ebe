"""A place without a daily record: twelve months in the plan, its file and its changes."""

import pytest
from stilltank.science import budget, weather
from stilltank.season.plan import Months, Plan, PlanFault
from stilltank.units import Problem, Q

HIGHS = [9, 10, 13, 16, 19, 22, 24, 24, 22, 18, 13, 10]
LOWS = [4, 4, 6, 8, 11, 14, 16, 16, 14, 11, 7, 5]
RAIN = [120, 90, 80, 70, 60, 60, 50, 70, 80, 110, 130, 130]


def months(**more):
    return Months(Q(HIGHS, "degC"), Q(LOWS, "degC"), Q(RAIN, "mm"), **more)


def place():
    return weather.Site("Harbour yard", Q(43.4, "degree"), Q(20, "m"))


def plan(**more):
    return Plan.make(crop="basil", count=4, site=place(), months=months(), **more)


def test_a_plan_of_twelve_months_has_weather():
    made = plan()
    assert "Made from twelve monthly means" in " ".join(made.outlook.weaknesses)
    assert weather.monthly_means(made.site.weather).precipitation.m_as("mm") == pytest.approx(RAIN)
    assert made.record is None


def test_a_file_keeps_them(tmp_path):
    path = tmp_path / "my-tank.toml"
    made = plan()
    made.save(path)
    text = path.read_text(encoding="utf-8")
    assert 'weather = "months"' in text
    assert "[site.months]" in text
    again = Plan.load(path)
    assert again.text(tmp_path) == made.text(tmp_path)
    assert (again.site.weather.temperature_max == made.site.weather.temperature_max).all()
    assert again.outlook.season.quantile(0.5).m_as("L") == pytest.approx(
        made.outlook.season.quantile(0.5).m_as("L")
    )


def test_other_changes_leave_the_weather_as_it_is():
    made = plan()
    assert made.change(count=3).site.weather is made.site.weather
    assert made.change(count=3).months is made.months


def test_another_latitude_makes_it_again():
    from dataclasses import replace

    made = plan()
    moved = made.change(site=replace(made.site, latitude=Q(50, "degree")), record=made.record)
    assert moved.months is made.months
    assert moved.site.weather.latitude.m_as("degree") == 50


@pytest.mark.parametrize("other", [{"record": "new-york"}, {"site": "seattle"}])
def test_a_record_takes_their_place_and_they_take_its(other, tmp_path):
    moved = plan().change(**other)
    assert moved.months is None
    assert "[site.months]" not in moved.text(tmp_path)
    back = moved.change(site=place(), months=months())
    assert back.site.weather.name == plan().site.weather.name
    assert back.record is None


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('weather = "months"', 'weather = "new-york"', "twelve months"),
        ('    "9 °C",\n', "", "Give twelve"),
        ('    "4 °C",\n', '    "14 °C",\n', "January: the low"),
        ('    "120 mm",\n', '    "120 furlongs of it",\n', "rain"),
        ("[site.months]", "[site.month]", "month"),
    ],
)
def test_a_fault_names_its_line(tmp_path, old, new, words):
    path = tmp_path / "my-tank.toml"
    plan().save(path)
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(PlanFault, match=words) as refused:
        Plan.load(path)
    assert "my-tank.toml" in str(refused.value)


def test_inches_and_fahrenheit_in_a_file(tmp_path):
    path = tmp_path / "my-tank.toml"
    plan().save(path)
    text = path.read_text(encoding="utf-8")
    path.write_text(
        text.replace('"9 °C"', '"48.2 °F"').replace('"50 mm"', '"1.9685039 in"'), encoding="utf-8"
    )
    found = Plan.load(path)
    assert found.months.highs.m_as("degC")[0] == pytest.approx(9)
    assert found.months.rain.m_as("mm")[6] == pytest.approx(50)


def test_what_is_no_months_is_refused():
    with pytest.raises(Problem, match="Twelve months"):
        Plan.make(months={"highs": HIGHS})
    with pytest.raises(Problem, match="one of them"):
        Plan.make(months=months(), record="new-york")


def test_a_barrel_is_kept_in_the_file(tmp_path):
    made = plan(
        top_up=budget.rain_caught(
            Q(2, "m^2"), Q(100, "L"), 3, Q(15, "cm"), strength=0.5, share=Q(90, "percent"), first=Q(20, "L")
        )
    )
    path = tmp_path / "my-tank.toml"
    made.save(path)
    again = Plan.load(path)
    assert again.text(tmp_path) == made.text(tmp_path)
    assert again.top_up.name == made.top_up.name
    assert again.top_up.barrel.first.m_as("L") == 20
    assert (again.outlook.season.top_up == made.outlook.season.top_up).all()
    assert made.outlook.season.top_up.m_as("L").sum() > 0
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('area = "2 m2"\n', ""), encoding="utf-8")
    with pytest.raises(PlanFault, match="`area` is missing"):
        Plan.load(path)
    marked = plan(top_up=budget.to_a_mark(Q(15, "cm"), 3))
    marked.save(path)
    assert Plan.load(path).top_up.name == "by hand every 3 days to 15 cm, plain water"
