"""A learner's file: nothing is lost, nothing is overwritten, no name gets in."""

import os
import signal
import subprocess
import sys
import time
import tomllib
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.learning.progress import Progress, ProgressFault
from stilltank.learning.progress.file import ProgressFile
from stilltank.units import Problem, Q, Unreadable, value_text

TODAY = date(2027, 5, 3)
# As this version writes it; every later version has to read it.
FORMAT_1 = """\
format = 1
code = "7B-12"
library = "0.1.0"
plan = "my-tank.toml"

[settings]
units = "US"

[chapters.01]
state = "done"
round = 1

[answers.01-nitrogen]
typed = [
    "36",
    "36 g",
]
hints = 1
state = "right"
chapter = "01"

[answers.01-nitrogen.based_on]
"tank volume" = "45 L"

[predictions.03-drink]
chapter = "03"
question = "How much do the plants drink?"
kind = "volume"
typed = "2-4 L"
value = 3.0
unit = "L"
low = 2.0
high = 4.0
stated = 2027-05-01
"""


@pytest.fixture
def progress(tmp_path):
    progress = Progress.open("7b 12", tmp_path)
    progress.record_answer("01-nitrogen", "36 g", "right", chapter="01", based_on={"tank volume": Q(45, "L")})
    return progress


def test_the_file_is_found_again_by_its_code(progress, tmp_path):
    assert progress.path == tmp_path / "my-progress-7B-12.toml"
    again = Progress.open("7B-12", tmp_path)
    assert again == progress
    assert again.answers["01-nitrogen"]["typed"] == ["36 g"]
    assert str(again) == "Code 7B-12: 1 question, 0 predictions, kept in my-progress-7B-12.toml."


@pytest.mark.parametrize("name", ["Robin", "robin 7", "Łucja", "anna-maria"])
def test_a_name_is_refused_with_a_nudge_and_writes_nothing(name, tmp_path):
    with pytest.raises(Unreadable, match=r"looks like a name.*7B-12") as refused:
        Progress.open(name, tmp_path)
    assert name not in str(refused.value)
    assert not list(tmp_path.iterdir())


def test_without_a_code_all_goes_on_and_nothing_is_kept(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    progress = Progress.open("  ")
    progress.record_answer("01-nitrogen", "36 g", "right")
    assert progress.save() is False
    assert progress.start_again("01", TODAY) is None
    assert not list(tmp_path.iterdir())
    for refused in (lambda: progress.export("a.toml"), lambda: progress.import_from("a.toml")):
        with pytest.raises(Problem, match="Type your code first"):
            refused()


def test_opening_and_loading_change_nothing(progress):
    before = progress.path.read_bytes(), progress.path.stat().st_mtime_ns, os.listdir(progress.path.parent)
    Progress.load(progress.path)
    Progress.open("7B-12", progress.path.parent)
    Progress.open("A1", progress.path.parent)
    after = progress.path.read_bytes(), progress.path.stat().st_mtime_ns, os.listdir(progress.path.parent)
    assert after == before


def test_format_1_stays_readable(tmp_path):
    path = tmp_path / "my-progress-7B-12.toml"
    path.write_text(FORMAT_1, encoding="utf-8")
    progress = Progress.open("7B-12", tmp_path)
    assert progress.answers["01-nitrogen"]["typed"] == ["36", "36 g"]
    assert progress.predictions["03-drink"]["stated"] == date(2027, 5, 1)
    assert (progress.plan, progress.settings, progress.chapters["01"]["state"]) == (
        "my-tank.toml",
        {"units": "US"},
        "done",
    )
    assert progress.save()
    assert tomllib.loads(path.read_text(encoding="utf-8")) == tomllib.loads(FORMAT_1)


def test_an_older_format_is_read_and_saved_in_the_newest(tmp_path, monkeypatch):
    path = tmp_path / "my-progress-7B-12.toml"
    path.write_text(FORMAT_1, encoding="utf-8")
    monkeypatch.setattr(ProgressFile, "newest", 2)
    monkeypatch.setattr(
        ProgressFile, "upgrades", {1: lambda values: {**values, "format": 2, "plan": "led up"}}
    )
    progress = Progress.load(path)
    assert path.read_text(encoding="utf-8") == FORMAT_1
    assert progress.plan == "led up"
    progress.save()
    assert tomllib.loads(path.read_text(encoding="utf-8"))["format"] == 2


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (lambda text: text.replace("format = 1", "format = 9"), "format 9"),
        (
            lambda text: text[: len(text) // 2] + '"',
            r'cannot be read: .* A line looks like: state = "right" ',
        ),
        (lambda text: text.replace("hints = 1", 'hints = "one"'), "line 18: `hints`"),
        (lambda text: text.replace("hints = 1", "hints = -1"), "line 18: `hints`"),
        (lambda text: text.replace('"tank volume" = "45 L"', '"tank volume" = 45'), "line 23: `tank volume`"),
        (lambda text: text.replace('code = "7B-12"', 'code = "Robin"'), "line 2: This looks like a name"),
        (lambda text: text.replace('kind = "volume"', ""), "line 25: `kind` is missing"),
        (lambda text: text.replace("[settings]", "[setings]"), "line 6: .setings. is not a part"),
        (lambda text: "\0" * 200, "not a text file"),
        (lambda text: "", "has no line `format"),
    ],
)
def test_an_unreadable_file_is_explained_and_never_overwritten(tmp_path, spoil, says):
    path = tmp_path / "my-progress-7B-12.toml"
    path.write_text(FORMAT_1, encoding="utf-8")
    progress = Progress.load(path)
    spoilt = spoil(FORMAT_1)
    assert spoilt != FORMAT_1
    path.write_text(spoilt, encoding="utf-8")
    attempts = (
        lambda: Progress.load(path),
        lambda: Progress.open("7B-12", tmp_path),
        lambda: progress.record_answer("01-nitrogen", "40 g", "other"),
        lambda: progress.start_again("01", TODAY),
    )
    for attempt in attempts:
        with pytest.raises(ProgressFault, match=says) as fault:
            attempt()
        assert "stays as it is" in str(fault.value)
        assert path.read_text(encoding="utf-8") == spoilt
    assert [found.name for found in tmp_path.iterdir()] == [path.name]


def test_a_file_under_another_code_is_not_taken(progress, tmp_path):
    progress.path.rename(tmp_path / "my-progress-A1.toml")
    with pytest.raises(ProgressFault, match="holds the work of code 7B-12, not A1"):
        Progress.open("A1", tmp_path)


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_save_that_fails_leaves_the_old_file_whole(progress, monkeypatch, step):
    before = progress.path.read_bytes()

    def fail(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(os, step, fail)
        with pytest.raises(Problem, match="could not be saved"):
            progress.record_answer("01-nitrogen", "40 g", "other")
    assert progress.path.read_bytes() == before
    assert os.listdir(progress.path.parent) == [progress.path.name]
    progress.save()
    assert Progress.load(progress.path).answers["01-nitrogen"]["typed"] == ["36 g", "40 g"]


WRITING = """
import os, signal, sys
from stilltank.learning.progress import Progress

step, saves = sys.argv[1], 0
if step != "any":
    real = getattr(os, step)

    def cut(*args):
        if saves == 3:
            os.kill(os.getpid(), signal.SIGKILL)
        return real(*args)

    setattr(os, step, cut)
progress = Progress.open("A1", ".")
for number in range(len(progress.answers), 10_000):
    progress.record_answer(f"01-{number}", "x" * 20_000, "other")
    saves += 1
    print(len(progress.answers), flush=True)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill in the middle of a step")
@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_kill_in_the_middle_of_saving_leaves_the_last_whole_file(tmp_path, step):
    """Killed when the new text is written but not yet in place."""
    done = subprocess.run(
        [sys.executable, "-c", WRITING, step], cwd=tmp_path, stdout=subprocess.PIPE, text=True, timeout=60
    )
    assert done.returncode == -signal.SIGKILL
    assert done.stdout.split() == ["1", "2", "3"]
    found = Progress.open("A1", tmp_path)
    assert [entry["typed"] for entry in found.answers.values()] == [["x" * 20_000]] * 3
    found.record_answer("01-after", "1 g", "right")
    assert len(Progress.load(found.path).answers) == 4


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill in the middle of a step")
def test_a_kill_at_any_moment_leaves_what_was_said_to_be_saved(tmp_path):
    with subprocess.Popen(
        [sys.executable, "-c", WRITING, "any"], cwd=tmp_path, stdout=subprocess.PIPE, text=True
    ) as process:
        for _ in range(5):
            process.stdout.readline()
        time.sleep(0.007)
        process.kill()
        said = max([5, *map(int, process.stdout.read().split())])
    found = Progress.open("A1", tmp_path)
    assert said <= len(found.answers) <= said + 1
    assert all(entry["typed"] == ["x" * 20_000] for entry in found.answers.values())


def test_two_open_chapters_do_not_undo_each_other(tmp_path):
    one, two = Progress.open("A1", tmp_path), Progress.open("A1", tmp_path)
    one.record_answer("01-a", "1 g", "other")
    two.record_answer("02-a", "2 g", "right")
    two.record_answer("01-a", "3 g", "right", hints=1)
    one.set_chapter("01", "started")
    held = one.answers["01-a"]
    one.record_answer("01-a", "4 g", "right")
    found = Progress.load(one.path)
    assert found.answers["01-a"] == {"typed": ["1 g", "3 g", "4 g"], "hints": 1, "state": "right"}
    assert set(found.answers) == {"01-a", "02-a"}
    assert one.answers["01-a"] is held  # whoever holds an entry goes on holding it
    two.start_again("02", TODAY)
    one.save()
    assert set(Progress.load(one.path).answers) == {"01-a"}
    assert "02-a" not in one.answers


def test_the_same_answer_in_two_pages_counts_twice_and_the_last_state_holds(tmp_path):
    one, two = Progress.open("A1", tmp_path), Progress.open("A1", tmp_path)
    one.record_answer("01-a", "36 g", "other")
    two.record_answer("01-a", "36 g", "other", hints=1)
    two.record_answer("01-a", "37 g", "right")
    one.record_answer("01-b", "1 g", "right")  # knows nothing new of 01-a
    assert Progress.load(one.path).answers["01-a"] == {
        "typed": ["36 g", "36 g", "37 g"],
        "hints": 1,
        "state": "right",
    }


def test_what_a_shared_folder_put_back_to_an_older_copy_is_not_lost(progress):
    older = progress.path.read_bytes()
    progress.record_answer("01-nitrogen", "37 g", "other", chapter="01")
    progress.record_answer("02-acid", "3 mL", "right", chapter="02")
    progress.path.write_bytes(older)
    progress.record_answer("02-other", "1 mL", "right", chapter="02")
    found = Progress.load(progress.path).answers
    assert found["01-nitrogen"]["typed"] == ["36 g", "37 g"]
    assert set(found) == {"01-nitrogen", "02-acid", "02-other"}


def test_a_chapter_started_again_in_one_page_is_not_brought_back_by_another(progress, tmp_path):
    other = Progress.open("7B-12", tmp_path)
    third = Progress.open("7B-12", tmp_path)
    other.start_again("01", TODAY)
    progress.record_answer("01-new", "1 g", "right", chapter="01")
    assert set(Progress.load(progress.path).answers) == {"01-new"}
    third.record_answer("01-nitrogen", "40 g", "other", chapter="01")
    assert Progress.load(progress.path).answers["01-nitrogen"]["typed"] == ["40 g"]
    assert Progress.load(progress.path).chapters["01"]["round"] == 2


def test_an_attempt_made_while_a_chapter_is_started_again_elsewhere_stays(progress, tmp_path, monkeypatch):
    other = Progress.open("7B-12", tmp_path)
    name = progress.dated_name

    def meanwhile(on):
        other.record_answer("01-nitrogen", "38 g", "other", chapter="01")
        return name(on)

    monkeypatch.setattr(progress, "dated_name", meanwhile)  # between the two saves of starting again
    progress.start_again("01", TODAY)
    assert Progress.load(progress.path).answers["01-nitrogen"]["typed"] == ["38 g"]


def test_a_failed_save_doubles_nothing_when_it_is_made_up_for(progress, tmp_path, monkeypatch):
    other = Progress.open("7B-12", tmp_path)
    other.record_answer("01-nitrogen", "37 g", "other")
    with monkeypatch.context() as broken:
        broken.setattr(
            os, "replace", lambda *_: (_ for _ in ()).throw(OSError(28, "No space left on device"))
        )
        with pytest.raises(Problem):
            progress.record_answer("01-nitrogen", "38 g", "other")
    other.record_answer("01-nitrogen", "39 g", "other")
    progress.record_answer("01-nitrogen", "40 g", "right")
    assert Progress.load(progress.path).answers["01-nitrogen"]["typed"] == [
        "36 g",
        "37 g",
        "39 g",
        "38 g",
        "40 g",
    ]


def test_the_first_of_two_predictions_stays(tmp_path):
    one, two = Progress.open("A1", tmp_path), Progress.open("A1", tmp_path)
    guess = {"chapter": "03", "question": "How much?", "kind": "volume", "value": 2.0, "unit": "L"}
    one.predictions["03-a"] = {**guess, "typed": "2 L"}
    one.save()
    two.predictions["03-a"] = {**guess, "typed": "9 L", "outcome": 9.0}
    two.save()
    assert Progress.load(one.path).predictions["03-a"] == {**guess, "typed": "2 L"}
    assert two.predictions["03-a"]["typed"] == "2 L"


def test_starting_again_keeps_a_dated_copy_and_the_predictions(progress, tmp_path):
    progress.record_answer("02-acid", "3 mL", "right")
    progress.record_answer("010-other", "3 mL", "right")
    progress.predictions["01-guess"] = {
        "chapter": "01",
        "question": "How much?",
        "kind": "volume",
        "typed": "2 L",
        "value": 2.0,
        "unit": "L",
    }
    progress.save()
    before = Progress.load(progress.path)
    copied = progress.start_again("01", TODAY)
    assert copied == tmp_path / "my-progress-7B-12-2027-05-03.toml"
    assert Progress.load(copied) == Progress(**{**vars_of(before), "path": copied})
    left = Progress.load(progress.path)
    assert set(left.answers) == {"02-acid", "010-other"}
    assert set(left.predictions) == {"01-guess"}
    assert left.chapters["01"] == {"state": "started", "round": 2}
    assert progress.start_again("01", TODAY).name == "my-progress-7B-12-2027-05-03-2.toml"
    assert left.chapters["01"]["round"] < Progress.load(progress.path).chapters["01"]["round"]


def vars_of(progress):
    return {key: value for key, value in vars(progress).items() if not key.startswith("_")}


def test_export_and_import_carry_everything(progress, tmp_path):
    out, there = tmp_path / "out.toml", tmp_path / "elsewhere"
    there.mkdir()
    progress.export(out)
    with pytest.raises(Problem, match=r"out\.toml is there already"):
        progress.export(out)
    other = Progress.open("7B-12", there)
    assert other.import_from(out) == "New from out.toml: 0 chapters, 1 question, 0 predictions."
    assert Progress.load(other.path).answers == progress.answers
    assert other.import_from(out) == "New from out.toml: 0 chapters, 0 questions, 0 predictions."
    assert Progress.load(other.path).answers == progress.answers


def test_import_loses_no_attempt_on_either_side(progress, tmp_path):
    out = tmp_path / "out.toml"
    progress.record_answer("01-nitrogen", "37 g", "other")
    progress.export(out)
    (tmp_path / "elsewhere").mkdir()
    other = Progress.open("7B-12", tmp_path / "elsewhere")
    other.record_answer("01-nitrogen", "36 g", "right")
    other.record_answer("01-nitrogen", "38 g", "other", hints=2)
    for _ in range(2):  # a second time brings nothing new
        other.import_from(out)
        assert sorted(other.answers["01-nitrogen"]["typed"]) == ["36 g", "37 g", "38 g"]
        assert other.answers["01-nitrogen"]["hints"] == 2


def test_import_refuses_another_code_unless_asked(progress, tmp_path):
    other = Progress.open("A1", tmp_path)
    with pytest.raises(ProgressFault, match="work of code 7B-12, and you are A1"):
        other.import_from(progress.path)
    assert not other.answers
    assert not (tmp_path / "my-progress-A1.toml").exists()
    other.import_from(progress.path, other_code=True)
    assert Progress.load(other.path).code == "A1"
    assert Progress.load(other.path).answers == progress.answers


def test_an_answer_says_when_what_it_used_has_changed(progress):
    again = Progress.load(progress.path)
    assert again.changes("01-nitrogen", {"tank volume": Q(0.045, "m^3")}) == ()
    assert again.changes("01-nitrogen", {"tank volume": Q(40, "L"), "water": "tap"}) == (
        "This answer used the old tank volume, 45 L; it is 40 L now.",
    )
    assert again.changes("no-such-question", {"tank volume": Q(40, "L")}) == ()


def test_a_long_value_is_remembered_by_its_digest(progress):
    recipe = {"Epsom salt": Q(18, "g"), "calcium nitrate": Q(36, "g")}
    progress.record_answer("01-recipe", "36 g", "right", based_on={"recipe": recipe})
    assert progress.changes("01-recipe", {"recipe": dict(reversed(recipe.items()))}) == ()
    assert progress.changes("01-recipe", {"recipe": {**recipe, "Epsom salt": Q(19, "g")}}) == (
        "This answer used the old recipe.",
    )
    assert value_text(recipe) not in (value_text({}), value_text([Q(18, "g"), Q(36, "g")]))
    with pytest.raises(Problem, match="can remember quantities"):
        value_text(object())


def test_what_a_file_cannot_hold_is_refused_and_the_old_file_stays(progress):
    before = progress.path.read_bytes()
    progress.answers["01-nitrogen"]["seed"] = None
    with pytest.raises(Problem, match="cannot be saved"):
        progress.save()
    assert progress.path.read_bytes() == before


plain = st.text(max_size=30)
entries = st.fixed_dictionaries(
    {"typed": st.lists(plain, max_size=4), "hints": st.integers(0, 5), "state": plain},
    optional={"chapter": plain, "based_on": st.dictionaries(plain, plain, max_size=2)},
)
chapters = st.fixed_dictionaries({"state": plain, "round": st.integers(1, 9)})


@settings(max_examples=60, deadline=None)
@given(st.dictionaries(plain, entries, max_size=4), st.dictionaries(plain, chapters, max_size=3), plain)
def test_whatever_is_typed_comes_back_as_typed(tmp_path_factory, answers, chapters, plan):
    path = tmp_path_factory.mktemp("round") / "my-progress-A1.toml"
    progress = Progress("A1", path, plan, answers=answers, chapters=chapters)
    progress.save()
    found = Progress.load(path)
    assert (found.answers, found.chapters, found.plan) == (answers, chapters, plan)
    written = path.read_bytes()
    assert found.save()
    assert path.read_bytes() == written
