"""A prediction is kept as it was said, opens its result, and is compared in one calm sentence."""

import re
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.learning import predictions
from stilltank.learning.progress import Progress
from stilltank.lessons.guess_figures import GuessAndResult
from stilltank.units import Problem, Q, Quantity, Unreadable, read
from stilltank.units.spellings import kinds

TODAY = date(2027, 5, 1)
SKETCH = [("2027-05-01", "28 cm"), ("2027-05-11", "24 cm"), ("31 May 2027", "10 cm")]
DAYS = np.arange("2027-04-26", "2027-06-20", dtype="datetime64[D]")


@pytest.fixture
def progress(tmp_path):
    return Progress.open("A1", tmp_path)


def say(progress, typed, kind, id="03-a", **more):
    question = "What will it be?"
    asked = predictions.PredictionQuestion(id=id, chapter="03", text=question, kind=kind, **more)
    return predictions.record(progress, asked, typed, on=TODAY)


def calm(sentence):
    """Short, and nothing that cheers or scolds."""
    assert sentence.endswith(".")
    assert not re.search(r"!|wrong|unfortunately|sadly|just\b|simply|bad|fail|error", sentence, re.I), (
        sentence
    )
    for one in re.split(r"(?<=[.?]) (?=[A-Z])", sentence):
        assert len(one.split()) <= 30, one
    return sentence


# Each line: typed, kind, outcome, difference and inside by hand, and the words that must stand in the sentence.
CASES = [
    ("12 L", "volume", Q(14.5, "L"), Q(2.5, "L"), None, "12 L; the result is 14.5 L, 2.5 L more."),
    ("12 L", "volume", Q(9, "L"), Q(-3, "L"), None, "3 L less."),
    ("12 L", "volume", Q(12000, "mL"), Q(0, "L"), None, "the same."),
    ("2-4 L", "volume", Q(3.5, "L"), Q(0.5, "L"), True, "2 to 4 L; the result is 3.5 L, 500 mL more than"),
    ("2-4 L", "volume", Q(4, "L"), Q(1, "L"), True, "inside it."),
    ("2-4 L", "volume", Q(5.5, "L"), Q(2.5, "L"), False, "outside it."),
    (
        "10 US gal",
        "volume",
        Q(45, "L"),
        Q(45 / 3.785411784 - 10, "gallon"),
        None,
        "11.9 US gal",
    ),  # 1 US gal: 231 in³
    (
        "68 F",
        "temperature",
        Q(25, "degC"),
        Q(9, "delta_degF"),
        None,
        "68 °F; the result is 77 °F, 9 °F higher.",
    ),
    ("18 to 22 C", "temperature", Q(17, "degC"), Q(-3, "delta_degC"), False, "3 °C lower than"),
    ("6.2", "pH", 5.8, Q(-0.4, ""), None, "0.4 lower."),
    ("12", "count", 10, Q(-2, ""), None, "2 less."),
    ("80 %", "share", Q(0.65, ""), Q(-15, "percent"), None, "65 %, 15 percentage points lower."),
    ("3 weeks", "time", Q(25, "day"), Q(4, "day"), None, "4 days longer."),
    (
        "2027-05-20",
        "day",
        date(2027, 5, 18),
        -2,
        None,
        "20 May 2027; the result is 18 May 2027, 2 days earlier.",
    ),
    ("18 May 2027 to 24 May 2027", "day", np.datetime64("2027-05-22"), 1, True, "1 day later than"),
    ("goes up", "direction", "falls", None, False, '"rises"; the result is "falls".'),
    ("Rises.", "direction", "rises", None, True, '"rises", and so it is.'),
]


@pytest.mark.parametrize(("typed", "kind", "outcome", "difference", "inside", "words"), CASES)
def test_the_comparison_says_what_the_numbers_say(progress, typed, kind, outcome, difference, inside, words):
    recorded = say(progress, typed, kind)
    calm(recorded.sentence)
    comparison = predictions.compare(recorded.prediction, outcome)
    assert words in calm(comparison.sentence)
    assert comparison.inside is inside
    if isinstance(difference, int | None):
        assert comparison.difference == difference
    else:
        assert comparison.difference.m_as(difference.units) == pytest.approx(difference.magnitude, abs=1e-9)


def test_a_choice_may_be_its_letter_its_number_or_its_words(progress):
    ways = ["b", "2", "ec falls", " EC falls. "]
    for number, typed in enumerate(ways):
        recorded = say(progress, typed, "choice", f"03-{number}", choices=["EC rises", "EC falls"])
        assert recorded.prediction.value == "EC falls"
    assert predictions.compare(recorded.prediction, "EC rises").sentence == (
        'You predicted "EC falls"; the result is "EC rises".'
    )
    assert "a: EC rises; b: EC falls" in calm(
        say(progress, "c", "choice", "03-x", choices=["EC rises", "EC falls"]).sentence
    )


def test_a_sketch_is_compared_at_its_own_points(progress):
    level = Q(30 - 0.5 * (DAYS - DAYS[0]).astype(float), "cm")  # falls by half a centimetre a day
    comparison = predictions.close(progress, say(progress, SKETCH, "length").prediction.id, (DAYS, level))
    # 5, 15 and 35 days after 26 April: 27.5, 22.5 and 12.5 cm, so 0.5 and 1.5 below and 2.5 above the guess
    assert comparison.outcome.m_as("cm") == pytest.approx([27.5, 22.5, 12.5])
    assert comparison.difference.m_as("cm") == pytest.approx(-0.5)
    assert calm(comparison.sentence) == (
        "The result stays within 2.5 cm of your 3 points; it is furthest off on 31 May 2027, where it is higher."
    )
    ledger = predictions.ledger(progress)
    assert ledger.comparisons[0].sentence == comparison.sentence
    # 0.5 of 27.5, 1.5 of 22.5 and 2.5 of 12.5 cm: 1.8, 6.7 and 20 %
    assert ledger.middle_error.m_as("percent") == pytest.approx(100 * 1.5 / 22.5)
    exact = predictions.compare(
        comparison.prediction, ([*comparison.prediction.days], comparison.prediction.value)
    )
    assert exact.sentence == "The result runs through your 3 points."


def test_a_stored_prediction_is_never_rewritten(progress):
    first = say(progress, "12 L", "volume")
    kept = progress.path.read_bytes()
    second = say(progress, "15 L", "volume")
    assert calm(second.sentence) == "You predicted 12 L, and that stands. The new text was not kept."
    assert second.prediction.typed == first.prediction.typed == "12 L"
    assert say(progress, "12 L", "volume").sentence == first.sentence
    predictions.cover(Q(14, "L"), "03-a", progress)
    assert say(progress, "14 L", "volume").prediction.value == Q(12, "L")
    predictions.cover(Q(99, "L"), "03-a", progress)
    found = predictions.get(Progress.load(progress.path), "03-a")
    assert (found.value, found.outcome) == (Q(12, "L"), Q(14, "L"))  # the first result stands too
    assert progress.path.read_bytes().startswith(kept.rstrip())


@pytest.mark.parametrize("blank", ["", "  ", None, [("", ""), ("", "")]])
def test_a_blank_prediction_stores_nothing_and_the_run_goes_on(progress, blank):
    recorded = say(progress, blank, "length")
    assert recorded.prediction is None
    assert calm(recorded.sentence).startswith("No prediction yet.")
    assert not progress.predictions
    assert not progress.path.exists()


@pytest.mark.parametrize(
    ("typed", "kind"),
    [
        ("blue", "volume"),
        ("5 gal", "volume"),
        ("6.2", "volume"),
        ("5/6/2027", "day"),
        ("2027-05-20 to 2027-05-10", "day"),
        ("sideways", "direction"),
        ([("2027-05-01", "28 cm")], "length"),
        ([("2027-05-01", "28 cm"), ("1 May 2027", "27 cm")], "length"),
        ([("soon", "28 cm"), ("1 May 2027", "27 cm")], "length"),
    ],
)
def test_what_is_not_understood_is_asked_again_and_not_kept(progress, typed, kind):
    recorded = say(progress, typed, kind)
    assert recorded.prediction is None
    assert re.search(r"Type|Write|such as", recorded.sentence)
    assert not progress.predictions


def test_a_result_stays_covered_and_is_not_even_worked_out(progress):
    def never(*_):
        raise AssertionError("worked out too early")

    covered = predictions.cover(never, "03-a", progress, outcome=never)
    assert not covered.open
    assert covered.result is None
    assert calm(covered.sentence) == "No prediction yet. The result opens once one is recorded."
    shown = covered._repr_mimebundle_()
    assert shown["text/plain"] == covered.sentence
    assert predictions.cover(Q(14, "L"), "03-a", progress)._repr_mimebundle_()["text/html"].count("14") == 0


def test_an_opened_result_shows_both_with_the_sentence(progress):
    say(progress, "12 L", "volume")
    covered = predictions.cover(
        "a table <b>", "03-a", progress, outcome=lambda: Q(14, "L"), on=date(2027, 5, 9)
    )
    assert covered.open
    shown = covered._repr_mimebundle_()
    assert "You predicted 12 L; the result is 14 L, 2 L more." in shown["text/html"]
    assert "a table &lt;b&gt;" in shown["text/html"]
    assert predictions.get(Progress.load(progress.path), "03-a").closed == date(2027, 5, 9)
    picture = predictions.cover(GuessAndResult().show, "03-a", progress, outcome=Q(14, "L"))
    assert (
        'alt="What will it be? You predicted 12 L; the result is 14 L, 2 L more."'
        in picture._repr_mimebundle_()["text/html"]
    )
    with pytest.raises(Problem, match="needs the outcome"):
        predictions.cover(GuessAndResult().show, "03-a", progress)


@pytest.mark.parametrize(
    ("typed", "kind", "outcome", "says"),
    [
        ("12 L", "volume", 14, "needs a unit"),
        ("12 L", "volume", Q(14, "kg"), "not a value in"),
        ("12 L", "volume", Q(float("nan"), "L"), "all known"),
        ("12 L", "volume", Q([1, 2], "L"), "one number"),
        ("2027-05-20", "day", "2027-05-22", "is a day"),
        ("up", "direction", "sideways", "one of rises, falls, stays"),
        (SKETCH, "length", Q(3, "cm"), "is a pair"),
        (SKETCH, "length", (DAYS[10:], Q(np.ones(DAYS.size - 10), "cm")), "does not reach over all days"),
        (SKETCH, "length", (DAYS, Q(np.ones(3), "cm")), "one level a day"),
    ],
)
def test_an_outcome_of_another_kind_is_refused(progress, typed, kind, outcome, says):
    prediction = say(progress, typed, kind).prediction
    with pytest.raises(Problem, match=says):
        predictions.close(progress, prediction.id, outcome)
    assert "outcome" not in progress.predictions["03-a"]


def test_the_author_of_a_chapter_hears_of_mistakes(progress):
    for refused, says in (
        (lambda: say(progress, "1", "weight"), "knows no kind 'weight'"),
        (lambda: say(progress, "a", "choice", choices=["one"]), "at least two choices"),
        (lambda: predictions.get(progress, "03-none"), "no prediction '03-none'"),
        (lambda: predictions.close(progress, "03-none", 1), "no prediction '03-none'"),
    ):
        with pytest.raises(Problem, match=says):
            refused()


@pytest.mark.parametrize(
    ("key", "value"),
    [("value", None), ("value", "12"), ("unit", "nonsense"), ("unit", None), ("days", [TODAY])],
)
def test_a_prediction_spoilt_by_hand_is_named(progress, key, value):
    say(progress, "12 L", "volume")
    progress.predictions["03-a"][key] = value
    with pytest.raises(Problem, match="03-a in the progress file cannot be used"):
        predictions.get(progress, "03-a")


def test_the_ledger_adds_up_by_hand(progress):
    # off by 2 of 10, 2 of 20, 1.5 of 3 and 6 of 20: 20, 10, 50 and 30 %; the middle of these four is 25 %
    for number, (typed, outcome) in enumerate(
        [("8 L", Q(10, "L")), ("16-20 L", Q(20, "L")), ("1-2 L", Q(3, "L")), ("26 cm", Q(20, "cm"))]
    ):
        kind = "length" if "cm" in typed else "volume"
        predictions.close(progress, say(progress, typed, kind, f"03-{number}").prediction.id, outcome)
    predictions.close(progress, say(progress, "6.0", "pH", "02-ph").prediction.id, 5.5)
    predictions.close(progress, say(progress, "up", "direction", "02-way").prediction.id, "rises")
    say(progress, "2027-06-20", "day", "03-dry")
    ledger = predictions.ledger(Progress.load(progress.path))
    assert ledger.middle_error.m_as("percent") == pytest.approx(25)
    assert (ledger.ranges_held, ledger.ranges_stated) == (1, 2)
    assert ledger.too_low == {"volume": 3}
    assert ledger.too_high == {"length": 1, "pH": 1}
    assert ledger.sentence == (
        "7 predictions, 1 still open. Half of your guesses in numbers lay within 25 % of the result. "
        "Your stated range held 1 of 2 times. Each of your 3 guesses of a volume was low."
    )
    calm(ledger.sentence)
    assert len(ledger.rows) == 8
    assert all(len(row) == 7 for row in ledger.rows)
    assert ledger.rows[2] == (
        "1 May 2027", "03", "What will it be?", "16 to 20 L", "20 L", "2 L more", "yes",
    )  # fmt: skip
    assert ledger.rows[-1][4:] == ("open", "", "")
    assert ledger._repr_mimebundle_()["text/html"].count("<tr>") == 8


def test_an_empty_ledger_is_calm():
    assert predictions.ledger(Progress()).sentence == "No predictions yet."
    progress = Progress()
    say(progress, "2027-06-20", "day")
    assert predictions.ledger(progress).sentence == "1 prediction, 1 still open."


@pytest.mark.parametrize(
    "text", ["2027-05-20", "20 May 2027", "May 20, 2027", "20th May 2027", "20 may 2027"]
)
def test_days_are_read_as_people_write_them(text):
    assert predictions.read_day(text) == date(2027, 5, 20)


@pytest.mark.parametrize("text", ["5/6/2027", "20.5.2027", "2027-02-30", "May", "", "20 May 27"])
def test_a_doubtful_day_is_not_guessed(text):
    with pytest.raises(Unreadable, match="Write it as 2027-05-20"):
        predictions.read_day(text)


EXAMPLES = [(kind, example) for kind, known in kinds().items() for example in known.example.split(" or ")]


@pytest.mark.parametrize(("kind", "example"), EXAMPLES)
def test_every_kind_of_quantity_survives_the_file(progress, kind, example):
    """The value comes from the file's plain number and unit; the reader is not asked again."""
    say(progress, example, kind)
    found = predictions.get(Progress.load(progress.path), "03-a")
    asked = read(example, kind)
    assert found.typed == example
    asked = asked if isinstance(asked, Quantity) else Q(asked, "")
    assert found.value.units == asked.units
    assert found.value.magnitude == asked.magnitude
    calm(predictions.close(progress, "03-a", found.value).sentence)


@settings(max_examples=80, deadline=None)
@given(
    low=st.floats(0.1, 90).map(lambda value: round(value, 2)),
    width=st.floats(0.1, 9).map(lambda value: round(value, 2)),
    outcome=st.floats(0.1, 99),
)
def test_inside_and_difference_hold_for_any_range(tmp_path_factory, low, width, outcome):
    progress = Progress.open("A1", tmp_path_factory.mktemp("range"))
    high = round(low + width, 2)
    say(progress, f"{low} to {high} L", "volume")
    comparison = predictions.close(progress, "03-a", Q(outcome, "L"))
    assert (
        comparison.inside == (low <= outcome <= high) or min(abs(outcome - low), abs(outcome - high)) < 1e-6
    )
    assert comparison.difference.m_as("L") == pytest.approx(outcome - (low + high) / 2, abs=1e-9)
    assert ("inside it" in comparison.sentence) == comparison.inside
    calm(comparison.sentence)
    again = predictions.ledger(Progress.load(progress.path)).comparisons[0]
    assert again.sentence == comparison.sentence


@settings(max_examples=50, deadline=None)
@given(
    start=st.dates(date(2000, 1, 1), date(2090, 1, 1)),
    gaps=st.lists(st.integers(1, 60), min_size=1, max_size=6),
    data=st.data(),
)
def test_any_sketch_survives_the_file(tmp_path_factory, start, gaps, data):
    progress = Progress.open("A1", tmp_path_factory.mktemp("sketch"))
    days = [start, *(start + timedelta(days=int(total)) for total in np.cumsum(gaps))]
    levels = data.draw(st.lists(st.integers(1, 60), min_size=len(days), max_size=len(days)))
    say(
        progress, [(str(day), f"{level} cm") for day, level in zip(days, levels, strict=True)][::-1], "length"
    )
    found = predictions.get(Progress.load(progress.path), "03-a")
    assert found.days == tuple(days)
    assert found.value.m_as("cm").tolist() == levels


def test_guess_and_result_share_their_axes(progress):
    """One figure serves numbers, days and sketches in turn, and each picture has its words."""
    figure = GuessAndResult()
    level = Q(30 - 0.5 * (DAYS - DAYS[0]).astype(float), "cm")
    cases = {
        "03-n": ("2-4 L", "volume", Q(5.5, "L")),
        "03-s": (SKETCH, "length", (DAYS, level)),
        "03-d": ("2027-05-18 to 2027-05-24", "day", date(2027, 5, 28)),
        "03-g": ("10 US gal", "volume", Q(45, "L")),
    }
    for id, (typed, kind, outcome) in cases.items():
        comparison = predictions.close(progress, say(progress, typed, kind, id).prediction.id, outcome)
        picture = figure.show(comparison)
        assert picture.sentence == f"What will it be? {comparison.sentence}"
        assert picture.svg().startswith("<?xml")
        axes = picture.figure.axes
        assert len(axes) == 1
        for line in axes[0].lines:
            for points, limits in (
                (line.get_xdata(), axes[0].get_xlim()),
                (line.get_ydata(), axes[0].get_ylim()),
            ):
                assert all(limits[0] <= point <= limits[1] for point in points)
        ticks = [tick.get_text() for tick in axes[0].get_xticklabels()]
        if id in ("03-n", "03-g"):
            assert all(tick.endswith(" L" if id == "03-n" else " US gal") for tick in ticks)
            assert [line.get_xdata()[0] for line in axes[0].lines[1:]] == pytest.approx(
                [3, 5.5] if id == "03-n" else [10, 45 / 3.785411784]
            )
    read_back = predictions.ledger(progress).comparisons[1]
    for refused in (
        read_back,
        predictions.close(progress, say(progress, "up", "direction", "03-w").prediction.id, "falls"),
    ):
        with pytest.raises(Problem):
            figure.show(refused)
