"""Bottle labels: what stands on them, that they are whole pages, and that they need nothing else."""

from datetime import date

import pytest
from printed import Page, words_of
from stilltank.science import mixing, products
from stilltank.season import paper
from stilltank.season.plan import Plan
from stilltank.show import pages
from stilltank.units import Problem, Q, Unreadable, write


@pytest.fixture(scope="module")
def plan():
    return Plan.make(count=4)


@pytest.fixture(scope="module")
def labels(plan):
    return {label.title: label for label in paper.labels_for(plan)}


def test_each_bottle_of_the_plan_has_a_label(plan, labels):
    assert list(labels) == [
        "Calcium stock", "Sulfate and phosphate stock", "Iron and trace elements stock", "Nitric acid 0.5 mol/L",
    ]  # fmt: skip
    both = mixing.two_bottles(plan.outlook.recipe)
    assert (
        labels["Calcium stock"].use[0] == f"{write(both.dose)} for one filling, {write(plan.outlook.volume)}"
    )
    assert labels["Calcium stock"].use[1] == f"{plan.name}; {write(both.for_a_litre)} for each litre"
    for title, bottle in zip(labels, (*both.bottles, *both.traces), strict=False):
        assert len(labels[title].content) == len(bottle.masses)
    assert [label.title for label in paper.labels_for(plan, mix="salts")] == list(labels)[2:]


def test_hazard_words_are_those_of_the_salts(labels):
    traces = labels["Iron and trace elements stock"].hazards
    assert "may harm fertility and the unborn child" in traces  # boric acid
    assert "for teachers only" in traces
    assert "very toxic to water life" in traces  # copper sulfate; the weaker words would say less
    assert "toxic to water life" not in traces
    assert "oxidiser" in labels["Calcium stock"].hazards
    for label in labels.values():
        assert label.advice[-1] == "The product's own safety data sheet comes first."
    assert pages.cautions()["bottles"]["short"] in labels["Calcium stock"].advice


def test_a_bag_of_ones_own_keeps_its_warnings():
    percent = {"Ca": Q(19, "percent"), "NO3-N": Q(14.4, "percent"), "NH4-N": Q(1.1, "percent")}
    plain = products.Salt.from_label("my calcium", percent)
    warned = products.Salt.from_label("my calcium", percent, hazard="burns the eyes")
    for bag, words in ((plain, "for my calcium read the bag"), (warned, "burns the eyes")):
        recipe = mixing.weigh_out("leafy", [bag, "KNO3", "KH2PO4"], Q(36, "L"))
        found = mixing.two_bottles(recipe)
        label = paper.stock_label(found.bottles[0], found.dose, "tub", recipe.volume, salts=recipe.salts)
        assert words in label.hazards


def test_acid_says_the_order_and_who(labels):
    mild = " ".join(labels["Nitric acid 0.5 mol/L"].advice)
    assert "cold water into the jug first, then the acid slowly into it" in mild
    assert "Learners may handle it: it is no stronger than 0.5 mol/L" in mild
    strong = paper.acid_label("nitric acid 61.4 %")
    assert "corrosive" in strong.hazards[0]
    assert "Not for learners. They may handle 0.5 mol/L or less." in strong.advice
    assert strong.begun == "Opened on"
    base = paper.acid_label("potassium hydroxide 0.1 mol/L")
    assert "then the base slowly into it" in " ".join(base.advice)
    assert paper.acid_label(products.acid("citric acid")).concentration == "a solid"


def test_days_by_hand(plan):
    # 365 days from 20 April 2027, with 29 February 2028 between: 19 April 2028; 180 days: 17 October 2027
    said = words_of(paper.bottle_labels(paper.labels_for(plan, made="2027-04-20")))
    assert said.count("Made on 20 April 2027") == 4
    assert said.count("Keep until 19 April 2028") == 2
    assert said.count("Keep until 17 October 2027") == 1
    assert paper.labels_for(plan, made=date(2027, 4, 20))[0].made == date(2027, 4, 20)
    assert "Keep until (12 months)" in words_of(paper.bottle_labels(plan))


@pytest.mark.parametrize("size", pages.PAPERS)
@pytest.mark.parametrize("system", ["metric", "US"])
def test_a_sheet_is_one_whole_page_that_needs_nothing_else(plan, size, system):
    text = paper.bottle_labels(plan, system=system, paper=size)
    page = Page(text)
    assert page.found[0] == ("html", {"lang": "en"})
    for tag in ("title", "h1", "main", "body", "head"):
        assert len(page.all(tag)) == 1, tag
    assert len(page.all("article")) == len(page.all("h2")) == 4
    assert {"script", "link", "iframe", "object", "a", "form", "img"}.isdisjoint(tag for tag, _ in page.found)
    assert "http" not in text.replace("http-equiv", "")
    assert f"size: {size}" in text
    assert "dashed" in text  # where to cut
    assert ("US gal" in words_of(text)) == (system == "US")


def test_a_nasty_name_stays_text(plan):
    label = paper.BottleLabel("<b>&\"'", ("<script>",), "<i>", ("<u>", "<u>"), ("<s>",), ("<q>",))
    page = Page(paper.bottle_labels([label]))
    assert {"script", "b", "i", "u", "s", "q"}.isdisjoint(tag for tag, _ in page.found)


def test_it_is_written(plan, tmp_path):
    made = paper.bottle_labels(plan, tmp_path / "my-labels")
    assert made.name == "my-labels.html"
    assert made.read_text(encoding="utf-8") == paper.bottle_labels(plan)


@pytest.mark.parametrize(
    ("wrong", "kind"),
    [
        (lambda p: paper.bottle_labels(None), Problem),
        (lambda p: paper.bottle_labels("plan"), Problem),
        (lambda p: paper.bottle_labels([]), Problem),
        (lambda p: paper.bottle_labels([1]), Problem),
        (lambda p: paper.bottle_labels(p, system="imperial"), Problem),
        (lambda p: paper.bottle_labels(p, paper="A3"), Problem),
        (lambda p: paper.bottle_labels(p, ""), Unreadable),
        (lambda p: paper.labels_for(p, mix="stones"), Problem),
        (lambda p: paper.labels_for(p, made="tomorrow"), Problem),
        (lambda p: paper.labels_for("plan"), Problem),
        (lambda p: paper.acid_label("vinegar"), Unreadable),
        (lambda p: paper.stock_label("A", Q(1, "mL"), "tub", Q(1, "L")), Problem),
    ],
)
def test_wrong_input(plan, wrong, kind):
    with pytest.raises(kind):
        wrong(plan)
