"""What a lesson asks, without a browser: boxes, feedback, hints, predictions, and what is kept of them."""

import html
import re
import tomllib

import ipywidgets as widgets
import pytest
from stilltank import lessons
from stilltank.chapters import asking
from stilltank.chapters.bank import ask, work_through
from stilltank.learning.predictions import PredictionQuestion
from stilltank.learning.progress import Progress
from stilltank.learning.questions import judge
from stilltank.season import own_tank
from stilltank.units import Q

NUMBER, CHOICE, WORKED = "mixing-label-phosphorus", "mixing-one-bottle", "mixing-worked-magnesium"
CODE = "7B-12"
FILE = f"my-progress-{CODE}.toml"
LABEL = re.compile("[A-Za-z]{3}")


@pytest.fixture
def learner(tmp_path):
    return lessons.Learner(CODE, tmp_path)


def everything(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from everything(child)


def boxes(widget):
    return [one for one in everything(widget) if isinstance(one, (widgets.Text, widgets.Dropdown))]


def buttons(widget):
    return [one for one in everything(widget) if isinstance(one, widgets.Button)]


def markup(widget):
    return " ".join(one.value for one in everything(widget) if isinstance(one, widgets.HTML))


def plain(text):
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).split())


def words(widget):
    """All that is shown, without tags."""
    return plain(markup(widget))


def problem(widget):
    return 'role="alert"' in markup(widget)


def kept(folder):
    return tomllib.loads((folder / FILE).read_text(encoding="utf-8"))


def typed(quantity):
    return f"{quantity.magnitude:.6g} {quantity.units:~P}"


def predict(learner, outcome=lambda: Q(4.5, "L"), **more):
    result = more.pop("result", None)
    told = {"text": "How much do the plants drink in week one?", "kind": "volume"} | more
    asked = PredictionQuestion(id="03-week-one", chapter="03", **told)
    return lessons.predict(learner, asked, outcome=outcome, result=result)


# The code


def test_without_a_code_there_are_sample_numbers_and_nothing_is_written(tmp_path):
    learner = lessons.Learner(folder=tmp_path)
    asked = asking.questions(learner, NUMBER)
    assert "Sample numbers" in words(learner)
    assert plain(ask(NUMBER, learner.code).text) in words(asked)
    boxes(asked)[0].value = "18 %"
    buttons(asked)[0].click()
    assert list(tmp_path.iterdir()) == []
    assert learner.progress.answers[NUMBER]["typed"] == ["18 %"], "it counts in this session"


def test_a_code_opens_its_file_and_looking_makes_none(tmp_path):
    learner = lessons.Learner(folder=tmp_path)
    asked = asking.questions(learner, NUMBER)
    boxes(learner)[0].value = " 7b 12 "
    assert learner.code == CODE
    assert FILE in words(learner)
    assert list(tmp_path.iterdir()) == []
    boxes(asked)[0].value = "18 %"
    assert kept(tmp_path)["code"] == CODE
    assert lessons.Learner(CODE, tmp_path).progress.answers == learner.progress.answers


@pytest.mark.parametrize("name", ["Ada", "Maria Lopez", "jonas"])
def test_a_name_is_not_taken(learner, tmp_path, name):
    boxes(learner)[0].value = name
    assert problem(learner)
    assert "type a code such as 7B-12" in words(learner)
    assert name not in words(learner)
    assert learner.code == CODE, "the code before stays"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("raw", [b"not a table\n", b"\x00\x01", b'format = 99\ncode = "7B-12"\n'])
def test_a_file_that_cannot_be_read_is_kept(tmp_path, raw):
    (tmp_path / FILE).write_bytes(raw)
    learner = lessons.Learner(CODE, tmp_path)
    assert problem(learner)
    assert FILE in words(learner)
    asked = asking.questions(learner, NUMBER)
    boxes(asked)[0].value = "18 %"
    boxes(predict(learner))[0].value = "3 L"
    assert (tmp_path / FILE).read_bytes() == raw
    assert [path.name for path in tmp_path.iterdir()] == [FILE]


def test_a_file_spoilt_meanwhile_is_kept_and_said(learner, tmp_path):
    asked = asking.questions(learner, NUMBER)
    boxes(asked)[0].value = "18 %"
    (tmp_path / FILE).write_bytes(b"spoilt")
    boxes(asked)[0].value = "19 %"
    assert problem(asked)
    assert FILE in words(asked)
    assert (tmp_path / FILE).read_bytes() == b"spoilt"


def test_another_code_draws_everything_anew(learner, tmp_path):
    asked, steps, guess = asking.questions(learner, NUMBER), asking.worked(learner, WORKED), predict(learner)
    before = words(steps)
    boxes(asked)[0].value = "18 %"
    boxes(guess)[0].value = "3 L"
    boxes(learner)[0].value = "A2"
    assert plain(ask(NUMBER, "A2").text) in words(asked)
    assert boxes(asked)[0].value == ""
    assert "Not answered yet" in words(asked)
    assert "No prediction yet" in words(guess)
    assert words(steps) != before
    boxes(learner)[0].value = CODE
    assert words(steps) == before
    assert plain(ask(NUMBER, CODE).text) in words(asked)
    assert "You predicted 3 L" in words(guess)
    assert kept(tmp_path)["answers"][NUMBER]["typed"] == ["18 %"]


# Questions


def test_a_blank_is_not_answered_yet_and_not_kept(learner, tmp_path):
    asked = asking.questions(learner, NUMBER, CHOICE)
    assert words(asked).count("Not answered yet.") == 2
    assert not problem(asked)
    boxes(asked)[0].value = "..."
    boxes(asked)[0].value = "  "
    assert words(asked).count("Not answered yet.") == 2
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_read_is_said(learner, tmp_path):
    asked = asking.questions(learner, NUMBER)
    boxes(asked)[0].value = "<b>18 %</b>"
    assert "Write a share, such as 80 %" in words(asked)
    assert "<b>" not in markup(asked)
    assert kept(tmp_path)["answers"][NUMBER]["state"] == "cannot be read"


def test_a_slip_gets_a_hint_then_the_route_and_the_right_answer_is_right(learner, tmp_path):
    """The label says 18 % P2O5; taken for phosphorus it is the slip of the oxide."""
    asked, key = asking.questions(learner, NUMBER), ask(NUMBER, CODE)
    last = plain(key.route.splitlines()[-1])
    boxes(asked)[0].value = "18 %"
    assert "when P2O5 is counted as P" in words(asked)
    assert "Then try again." in words(asked)
    assert last not in words(asked)
    boxes(asked)[0].value = "18.0 %"
    assert last in words(asked)
    boxes(asked)[0].value = typed(key.right)
    assert "Right." in words(asked)
    entry = kept(tmp_path)["answers"][NUMBER]
    assert entry["typed"] == ["18 %", "18.0 %", typed(key.right)]
    assert (entry["state"], entry["chapter"]) == ("right", "01")


def test_the_hints_that_were_seen_are_counted(learner, tmp_path):
    """The first hint with the first wrong answer, the route with the second."""
    asked = asking.questions(learner, NUMBER)
    boxes(asked)[0].value = "banana"
    assert kept(tmp_path)["answers"][NUMBER]["hints"] == 0
    boxes(asked)[0].value = "18 %"
    assert "Then try again." in words(asked)
    assert kept(tmp_path)["answers"][NUMBER]["hints"] == 1
    boxes(asked)[0].value = "18.0 %"
    assert kept(tmp_path)["answers"][NUMBER]["hints"] == 2
    boxes(asked)[0].value = typed(ask(NUMBER, CODE).right)
    assert kept(tmp_path)["answers"][NUMBER]["hints"] == 2


def test_the_way_is_shown_on_request_and_counted(learner, tmp_path):
    asked = asking.questions(learner, NUMBER)
    lines = [plain(line) for line in ask(NUMBER, CODE).route.splitlines()]
    assert lines[0] not in words(asked)
    buttons(asked)[0].click()
    assert all(line in words(asked) for line in lines)
    entry = kept(tmp_path)["answers"][NUMBER]
    assert (entry["typed"], entry["hints"], entry["state"]) == ([], 2, "not answered yet")
    boxes(asked)[0].value = typed(ask(NUMBER, CODE).right)
    entry = kept(tmp_path)["answers"][NUMBER]
    assert (entry["hints"], entry["state"]) == (2, "right")


def test_a_choice_explains_a_wrong_option_then_the_whole(learner, tmp_path):
    asked, key = asking.questions(learner, CHOICE), ask(CHOICE, CODE)
    box = boxes(asked)[0]
    shown = {value: text for text, value in box._options_full if value}
    assert list(shown) == list(key.options)
    assert all(key.options[letter] in shown[letter] for letter in shown)
    first, second = [letter for letter in key.options if letter != key.right][:2]
    box.value = first
    assert plain(str(judge(key, first, 1))) in words(asked)
    assert plain(key.route) not in words(asked)
    box.value = second
    assert plain(key.route) in words(asked)
    box.value = key.right
    assert "Right." in words(asked)
    assert kept(tmp_path)["answers"][CHOICE]["typed"] == [first, second, key.right]
    box.value = ""
    assert "Not answered yet" in words(asked)


def test_questions_are_numbered_and_independent(learner, tmp_path):
    ids = (NUMBER, "mixing-element-from-salt", "mixing-salt-for-target")
    asked = asking.questions(learner, *ids)
    assert [box.description for box in boxes(asked)] == ["Answer 1", "Answer 2", "Answer 3"]
    boxes(asked)[1].value = typed(ask(ids[1], CODE).right)
    assert list(kept(tmp_path)["answers"]) == [ids[1]]
    assert words(asked).count("Not answered yet") == 2


def test_a_worked_example_fades(learner, tmp_path):
    asked, stages = asking.worked(learner, WORKED), work_through(WORKED, CODE)
    blanks = [blank for stage in stages for blank in stage.blanks]
    assert len(boxes(asked)) == len(blanks) == 0 + 1 + 2 + len(stages[0].lines)
    for stage in stages:
        assert plain(stage.text) in words(asked)
    for line in stages[0].lines:
        assert plain(f"{line.label}: {line.text}") in words(asked)
    for box, blank in zip(boxes(asked), blanks, strict=True):
        box.value = typed(blank.right)
    assert words(asked).count("Right.") == len(blanks)
    answers = kept(tmp_path)["answers"]
    assert {f"{WORKED}-{stage}-step-4" for stage in (1, 2, 3)} <= set(answers)
    assert all(answer["state"] == "right" for answer in answers.values())


@pytest.mark.parametrize("what", ["code", "questions", "worked", "prediction"])
def test_every_box_has_a_label_and_every_text_box_an_example(learner, what):
    panel = {
        "code": lambda: learner,
        "questions": lambda: asking.questions(learner, NUMBER, CHOICE),
        "worked": lambda: asking.worked(learner, WORKED),
        "prediction": lambda: predict(learner),
    }[what]()
    assert boxes(panel)
    for box in boxes(panel):
        assert LABEL.search(box.description)
        assert not isinstance(box, widgets.Text) or len(box.placeholder) >= 3
    assert all(LABEL.search(button.description) for button in buttons(panel))
    if what == "questions":
        assert boxes(panel)[0].placeholder == ask(NUMBER, CODE).example


# Predictions


def test_a_result_stays_covered_until_a_prediction_stands(learner, tmp_path):
    worked_out = []
    guess = predict(learner, lambda: worked_out.append(1) or Q(4.5, "L"))
    assert "No prediction yet" in words(guess)
    boxes(guess)[0].value = "a lot"
    assert worked_out == []
    assert "4.5" not in words(guess)
    assert "<img" not in markup(guess)
    assert list(tmp_path.iterdir()) == []
    boxes(guess)[0].value = "3 L"
    assert worked_out == [1]
    assert "You predicted 3 L; the result is 4.5 L, 1.5 L more." in words(guess)


def test_guess_and_result_stand_on_the_same_axes_with_words(learner):
    guess = predict(learner)
    boxes(guess)[0].value = "2-4 L"
    (alt,) = re.findall(r'<img alt="([^"]*)"', markup(guess))
    begins = "How much do the plants drink in week one? You predicted 2 to 4 L; the result is 4.5 L"
    assert alt.startswith(begins)


def test_a_prediction_is_never_rewritten(learner, tmp_path):
    guess = predict(learner)
    boxes(guess)[0].value = "3 L"
    before = kept(tmp_path)["predictions"]
    boxes(guess)[0].value = "4.5 L"
    assert "that stands. The new text was not kept." in words(guess)
    assert "You predicted 3 L; the result is 4.5 L" in words(guess)
    assert kept(tmp_path)["predictions"] == before
    again = predict(lessons.Learner(CODE, tmp_path))
    assert "You predicted 3 L; the result is 4.5 L" in words(again)
    assert before["03-week-one"]["typed"] == "3 L"
    assert before["03-week-one"]["outcome"] == 4.5


def test_a_prediction_of_a_choice_with_a_picture_of_its_own(learner):
    made = []

    class Shown:
        def _repr_mimebundle_(self):
            made.append(1)
            return {"text/html": "<p>a picture of its own</p>", "text/plain": "a picture"}

    options = ("it rises", "it falls")
    guess = predict(learner, lambda: "it falls", kind="choice", choices=options, result=Shown)
    assert [value for _, value in boxes(guess)[0]._options_full][1:] == list(options)
    assert made == []
    boxes(guess)[0].value = "it rises"
    assert 'You predicted "it rises"; the result is "it falls".' in words(guess)
    assert "a picture of its own" in words(guess)


def test_an_outcome_that_cannot_stand_beside_the_guess_is_said(learner):
    guess = predict(learner, lambda: Q(4.5, "g"))
    boxes(guess)[0].value = "3 L"
    assert problem(guess)


# The plan's button


@pytest.fixture
def keep(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return own_tank.Keep(own_tank.Draft("my-tank.toml", count=4))


def test_the_button_keeps_the_plan(keep, tmp_path):
    assert LABEL.search(keep.button.description)
    keep.button.click()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["my-tank-card.html", "my-tank.toml"]
    assert not problem(keep)


def test_the_button_does_not_lose_a_file_that_changed(keep, tmp_path):
    (tmp_path / "my-tank.toml").write_bytes(b"somebody else's")
    keep.button.click()
    assert problem(keep)
    assert "was not replaced" in words(keep)
    assert (tmp_path / "my-tank.toml").read_bytes() == b"somebody else's"
    (tmp_path / "my-tank.toml").unlink()
    keep.button.click()
    assert not problem(keep), "the complaint goes when it works"


def test_the_button_does_not_lose_a_file_that_could_not_be_read(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "my-tank.toml").write_bytes(b"\x00\x01")
    keep = own_tank.Keep(own_tank.Draft("my-tank.toml"))
    keep.button.click()
    assert problem(keep)
    assert "could not be read" in words(keep)
    assert (tmp_path / "my-tank.toml").read_bytes() == b"\x00\x01"


@pytest.mark.parametrize("id", [NUMBER, CHOICE])
def test_an_answer_comes_back_when_the_chapter_is_opened_again(learner, tmp_path, id):
    first = asking.questions(learner, id)
    asked = ask(id, CODE)
    boxes(first)[0].value = asked.right if id == CHOICE else typed(asked.right)
    before = (tmp_path / FILE).read_bytes()
    again = asking.questions(lessons.Learner(CODE, tmp_path), id)
    assert boxes(again)[0].value == boxes(first)[0].value
    assert "Right." in words(again)
    assert (tmp_path / FILE).read_bytes() == before, "showing an answer again must not count as another try"


def test_another_code_does_not_see_the_answer(learner, tmp_path):
    boxes(asking.questions(learner, NUMBER))[0].value = "12 %"
    assert boxes(asking.questions(lessons.Learner("7B-13", tmp_path), NUMBER))[0].value == ""


def test_half_a_character_from_the_browser_is_answered_and_kept(learner, tmp_path):
    """The kernel sends back what it took, which it cannot with half a character in it."""
    box = boxes(asking.questions(learner, NUMBER))[0]
    box.set_state({"value": "36 g \ud83c"})
    assert box.value == "36 g �"
    assert Progress.open(CODE, tmp_path).answers[NUMBER]["typed"] == ["36 g �"]
    box.set_state({"value": "36 g \ud83c\udf31"})
    assert box.value == "36 g 🌱"


def test_units_chosen_once_settle_every_answer(learner, tmp_path):
    """Without a choice a bare gallon is asked for; with one it is the writer's, also tomorrow."""
    asked = asking.questions(learner, "start-gallons")
    boxes(asked)[0].value = "5 gal"
    assert "US" in words(asked)
    assert "imperial" in words(asked)
    learner.children[1].value = "US"
    assert boxes(asked)[0].value == "5 gal"
    assert "imperial" not in words(asked)
    assert kept(tmp_path)["settings"] == {"units": "US"}
    again = lessons.Learner(CODE, tmp_path)
    assert again.system == "US"
    assert lessons.Learner("A2", tmp_path).system is None


def test_units_chosen_before_the_code_are_kept_with_it(tmp_path):
    """But not handed on from one code to the next."""
    learner = lessons.Learner(folder=tmp_path)
    code, units = learner.children[:2]
    units.value = "US"
    code.value = CODE
    assert learner.system == "US"
    code.value = "A2"
    assert learner.system is None
    assert kept(tmp_path)["settings"] == {"units": "US"}
    code.value = CODE
    assert learner.system == "US"
    assert [path.name for path in tmp_path.iterdir()] == [FILE], "a code that chose nothing has no file yet"
    edited = (tmp_path / FILE).read_text(encoding="utf-8").replace('"US"', '"cubits"')
    (tmp_path / FILE).write_text(edited, encoding="utf-8")
    again = lessons.Learner(CODE, tmp_path)
    assert again.system is None
    assert (tmp_path / FILE).read_text(encoding="utf-8") == edited, "reading changes no file"
