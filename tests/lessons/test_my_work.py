"""The learner's work in hand, without a browser: copied, brought in, started again; and nothing lost on the way."""

import html
import re
import tomllib
import zipfile
from datetime import date, datetime

import ipywidgets as widgets
import pytest
from stilltank import lessons
from stilltank.chapters import asking, bank
from stilltank.chapters.bank import ask
from stilltank.learning.predictions import PredictionQuestion
from stilltank.learning.progress import Progress
from stilltank.lessons import my_work
from stilltank.units import Q

CODE, DAY = "7B-12", date(2027, 5, 3)
FILE = f"my-progress-{CODE}.toml"
QUESTION, EARLIER = "mixing-label-phosphorus", "start-gallons"
METER = PredictionQuestion(id="01-meter", chapter="01", text="What does it show?", kind="volume")


@pytest.fixture
def learner(tmp_path):
    made = lessons.Learner(CODE, tmp_path, "01")
    made.work._today = lambda: DAY
    return made


@pytest.fixture
def answered(learner):
    """A question of this chapter, one of an earlier chapter, and a guess."""
    asked = asking.questions(learner, QUESTION, EARLIER)
    for one in boxes(asked):
        one.value = "18 %"
    guess = lessons.predict(learner, METER, outcome=lambda: None)
    learner.progress.predictions["01-meter"] = {
        "question": "?",
        "kind": "volume",
        "typed": "2 L",
        "chapter": "01",
    }
    learner.progress.save()
    return asked, guess


def everything(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from everything(child)


def boxes(widget):
    return [one for one in everything(widget) if isinstance(one, widgets.Text)]


def shown(widget):
    return list(everything(widget))


def words(widget):
    markup = " ".join(one.value for one in everything(widget) if isinstance(one, widgets.HTML))
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", markup)).split())


def complains(status):
    return 'role="alert"' in status.value


def upload(work, name, content):
    file = {"name": name, "type": "", "size": len(content), "content": memoryview(content)}
    work.upload.value = (file | {"last_modified": datetime(2027, 5, 2)},)


def kept(folder, name=FILE):
    return tomllib.loads((folder / name).read_text(encoding="utf-8"))


def test_the_section_is_closed_and_needs_a_code(tmp_path):
    learner = lessons.Learner(folder=tmp_path, chapter="01")
    assert not any(isinstance(one, widgets.ToggleButton) for one in shown(learner))
    boxes(learner)[0].value = CODE
    toggle = next(one for one in shown(learner) if isinstance(one, widgets.ToggleButton))
    assert learner.work not in shown(learner)
    toggle.value = True
    assert learner.work in shown(learner)
    assert list(tmp_path.iterdir()) == [], "looking makes no file"
    boxes(learner)[0].value = ""
    assert learner.work not in shown(learner)


def test_every_control_has_a_name(learner):
    for one in shown(learner.work):
        if isinstance(one, (widgets.Text, widgets.Button, widgets.FileUpload)):
            assert re.search("[A-Za-z]{4}", one.description), one


def test_without_a_chapter_there_is_nothing_to_start_again(tmp_path):
    work = lessons.Learner(CODE, tmp_path).work
    assert work.again not in shown(work)
    assert work.copy in shown(work)


def test_a_copy_is_written_where_it_says(learner, answered, tmp_path):
    work = learner.work
    work.place.value = f"my-work-{CODE}.toml"
    work.copy.click()
    copy = tmp_path / f"my-work-{CODE}.toml"
    assert str(copy) in words(work.copied)
    assert "2 questions and 1 prediction" in words(work.copied)
    assert copy.read_bytes() == (tmp_path / FILE).read_bytes()


def test_a_copy_goes_into_a_folder_that_was_typed(learner, answered, tmp_path):
    (tmp_path / "stick").mkdir()
    learner.work.place.value = str(tmp_path / "stick")
    learner.work.copy.click()
    with zipfile.ZipFile(tmp_path / "stick" / f"my-work-{CODE}.zip") as bundle:
        assert bundle.read(FILE) == (tmp_path / FILE).read_bytes()


def test_all_own_files_go_home_as_one_and_come_back(learner, answered, tmp_path):
    mine = {
        f"my-tank-{CODE}.toml": 'format = 2\nname = "Tub"\n[site]\nweather = "roof.csv"\n',
        f"my-log-{CODE}.csv": "date,level (cm)\n2027-05-03,24\n",
        f"my-notes-{CODE}.txt": "mildew on the third plant\n",
        "roof.csv": "date,rain (mm)\n",
        "my-progress-ZZ-9.toml": 'format = 1\ncode = "ZZ-9"\nlibrary = "0.1.0"\n',
        "my-tank-ZZ-9.toml": "of somebody else",
    }
    for name, text in mine.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    learner.work.copy.click()
    assert "with your plans, shelf, logs and notes" in words(learner.work.copied)
    copy = tmp_path / f"my-work-{CODE}.zip"
    with zipfile.ZipFile(copy) as bundle:
        assert "ZZ-9" not in "".join(bundle.namelist())
    home = tmp_path / "home"
    home.mkdir()
    (home / f"my-notes-{CODE}.txt").write_text("another note\n", encoding="utf-8")
    there = lessons.Learner(CODE, home)
    upload(there.work, copy.name, copy.read_bytes())
    said = words(there.work.joined)
    assert f"New files here: my-log-{CODE}.csv, my-tank-{CODE}.toml, roof.csv" in said
    assert f"so that both are kept: my-notes-{CODE}.txt" in said
    assert [path.name for path in home.glob("my-tank*")] == [], "nothing is taken before a press"
    there.work.join.click()
    assert not complains(there.work.joined)
    assert set(kept(home)["answers"]) == set(kept(tmp_path)["answers"])
    for name in (f"my-tank-{CODE}.toml", f"my-log-{CODE}.csv", "roof.csv"):
        assert (home / name).read_text(encoding="utf-8") == mine[name]
    assert (home / f"my-notes-{CODE}.txt").read_text(encoding="utf-8") == "another note\n"
    assert (home / f"my-notes-{CODE}.brought.txt").read_text(encoding="utf-8").startswith("mildew")


@pytest.mark.parametrize("place", ["here.toml", "", "none/here.toml"])
def test_a_copy_replaces_nothing_and_says_what_is_wrong(learner, answered, tmp_path, place):
    (tmp_path / "here.toml").write_text("mine", encoding="utf-8")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    learner.work.place.value = place
    learner.work.copy.click()
    assert complains(learner.work.copied)
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_a_copy_holds_what_another_open_chapter_kept(learner, answered, tmp_path):
    other = Progress.open(CODE, tmp_path)
    other.record_answer("mixing-dose", "36 g", "right", chapter="01")
    learner.work.place.value = f"my-work-{CODE}.toml"
    learner.work.copy.click()
    assert "mixing-dose" in kept(tmp_path, f"my-work-{CODE}.toml")["answers"]


@pytest.fixture
def elsewhere(tmp_path):
    """Work of the same code on another computer, as a file."""
    there = tmp_path / "there"
    there.mkdir()
    progress = Progress.open(CODE, there)
    progress.record_answer("mixing-dose", "36 g", "right", chapter="01")
    progress.record_answer(QUESTION, "7.86 %", "right", chapter="01")
    return there / FILE


@pytest.mark.parametrize("how", ["typed", "upload"])
def test_work_is_brought_in_only_after_it_was_said_what_comes(learner, answered, tmp_path, elsewhere, how):
    work, before = learner.work, kept(tmp_path)
    if how == "typed":
        work.source.value = str(elsewhere)
    else:
        upload(work, "from-home.toml", elsewhere.read_bytes())
    assert not complains(work.joined)
    assert "2 questions, 0 predictions" in words(work.joined)
    assert "New here: 0 chapters, 1 question, 0 predictions" in words(work.joined)
    assert kept(tmp_path) == before
    work.join.click()
    now = kept(tmp_path)
    assert set(now["answers"]) == {"mixing-dose", QUESTION, EARLIER}
    assert set(now["answers"][QUESTION]["typed"]) == {"18 %", "7.86 %"}, "no attempt is lost"
    assert now["predictions"] == before["predictions"]
    assert str(tmp_path / FILE) in words(work.joined)
    assert work.join not in shown(work)
    assert boxes(answered[0])[0].value in ("18 %", "7.86 %")
    assert elsewhere.exists()


def test_work_can_be_left(learner, answered, tmp_path, elsewhere):
    before = (tmp_path / FILE).read_bytes()
    learner.work.source.value = str(elsewhere)
    learner.work.leave.click()
    assert "Nothing was taken." in words(learner.work.joined)
    learner.work.join.click()
    assert complains(learner.work.joined)
    assert (tmp_path / FILE).read_bytes() == before
    learner.work.source.value = str(elsewhere)
    assert learner.work.join in shown(learner.work), "the same name can be typed again"


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"not a table\n", "line 1"),
        (b"\x00\x01", "from-home.toml"),
        (b'format = 1\ncode = "A2"\nlibrary = "0.1.0"\n', "the work of code A2"),
    ],
)
def test_what_cannot_be_brought_in_is_said(learner, answered, tmp_path, content, says):
    before = (tmp_path / FILE).read_bytes()
    upload(learner.work, "from-home.toml", content)
    assert complains(learner.work.joined)
    assert says in words(learner.work.joined)
    assert learner.work.join not in shown(learner.work)
    assert (tmp_path / FILE).read_bytes() == before


def test_a_file_that_is_not_there(learner):
    learner.work.source.value = "nowhere.toml"
    assert complains(learner.work.joined)
    assert "nowhere.toml" in words(learner.work.joined)


def test_the_first_press_only_asks(learner, answered, tmp_path):
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    work = learner.work
    work.again.click()
    says = words(work.restarted)
    assert "your answers to 1 question of chapter 01" in says
    assert f"my-progress-{CODE}-2027-05-03.toml in {tmp_path}" in says
    assert "Predictions and the answers of other chapters stay" in says
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before
    work.no.click()
    assert "Everything is as it was." in words(work.restarted)
    assert work.again in shown(work)
    assert work.sure not in shown(work)


def test_the_second_press_starts_the_chapter_again(learner, answered, tmp_path):
    work, before = learner.work, kept(tmp_path)
    work.again.click()
    work.sure.click()
    copy, now = f"my-progress-{CODE}-2027-05-03.toml", kept(tmp_path)
    assert kept(tmp_path, copy)["answers"] == before["answers"]
    assert set(now["answers"]) == {EARLIER}
    assert bank.find(EARLIER).chapter != "01"
    assert now["predictions"] == before["predictions"]
    assert now["chapters"]["01"]["round"] == 2
    assert str(tmp_path / copy) in words(work.restarted)
    assert boxes(answered[0])[0].value == "", "the box is empty again"
    assert boxes(answered[0])[1].value == "18 %"
    assert ask(QUESTION, CODE).text.split()[0] in words(answered[0])


@pytest.mark.parametrize("command", ["python3 workbook", "py workbook"])
def test_how_to_get_the_page_back_is_said_and_the_page_is_left_alone(
    learner, answered, tmp_path, monkeypatch, command
):
    """An open page is saved by JupyterLab at any time, over whatever was put on the disk meanwhile."""
    monkeypatch.setattr(my_work, "COMMAND", command)
    page = tmp_path / "01_mixing.ipynb"
    page.write_text("{}", encoding="utf-8")
    learner.work.again.click()
    learner.work.sure.click()
    assert page.read_text(encoding="utf-8") == "{}"
    assert "close it here" in words(learner.work.restarted)
    assert f"run {command} again 01 and" in words(learner.work.restarted)


def test_starting_again_twice_a_day_keeps_two_copies(learner, answered, tmp_path):
    for _ in range(2):
        learner.work.again.click()
        learner.work.sure.click()
    assert len(list(tmp_path.glob(f"my-progress-{CODE}-2027-05-03*.toml"))) == 2


def test_another_code_has_its_own_section(learner, answered, tmp_path, elsewhere):
    learner.work.source.value = str(elsewhere)
    learner.work.again.click()
    boxes(learner)[0].value = "A2"
    assert learner.work.place.value == "my-work-A2.zip"
    assert learner.work.join not in shown(learner.work)
    assert learner.work.sure not in shown(learner.work)


def test_a_folder_that_cannot_be_written_loses_nothing(learner, answered, tmp_path, monkeypatch):
    from stilltank import files

    before = (tmp_path / FILE).read_bytes()
    learner.work.again.click()

    def full(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "fsync", full)
    learner.work.sure.click()
    assert complains(learner.work.restarted)
    assert (tmp_path / FILE).read_bytes() == before


@pytest.mark.parametrize("place", ["~nobody-here/a.toml", "a\0.toml", "n" * 300, "half \ud83c.toml"])
def test_a_name_that_no_computer_takes_is_answered_in_words(learner, answered, tmp_path, place):
    before = sorted(path.name for path in tmp_path.iterdir())
    learner.work.source.value = place
    assert complains(learner.work.joined)
    learner.work.place.value = place
    learner.work.copy.click()
    if not place.startswith("half"):  # that one is written, under a name with the sign for it
        assert complains(learner.work.copied)
        assert sorted(path.name for path in tmp_path.iterdir()) == before
    upload(learner.work, f"{'n' * 300}.toml", b"format = 1")
    assert complains(learner.work.joined)


def test_an_answer_that_could_not_be_kept_says_what_to_do_and_is_kept_with_the_next(
    learner, tmp_path, monkeypatch
):
    from stilltank import files

    asked = asking.questions(learner, QUESTION, EARLIER)

    def full(*_, **__):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(files.os, "fsync", full)
        boxes(asked)[0].value = "18 %"
        assert "No space left on device. Make room" in words(asked)
        assert "leave it open, and your next answer saves both" in words(asked)
        guess = lessons.predict(learner, METER, outcome=lambda: Q(3, "L"))
        boxes(guess)[0].value = "2 L"
        assert "could not be saved" in words(guess)
        assert "01-meter" not in learner.progress.predictions, "what is not kept does not stand"
    boxes(asked)[1].value = "18 %"
    boxes(guess)[0].value = "2.5 L"
    assert set(kept(tmp_path)["answers"]) == {QUESTION, EARLIER}
    assert kept(tmp_path)["predictions"]["01-meter"]["outcome"] == 3.0


@pytest.mark.parametrize(
    "name",
    ["my-progress-7B-12 (1).toml", "my-progress-7B-12 (conflicted copy).toml", "my-progress-7B-12-LAB3.toml"],
)
def test_a_copy_that_a_shared_folder_made_is_pointed_out_until_it_is_joined(
    learner, answered, tmp_path, name
):
    assert "More work of this code" not in words(learner)
    (tmp_path / "there").mkdir()
    Progress.open(CODE, tmp_path / "there").record_answer("mixing-dose", "36 g", "right", chapter="01")
    (tmp_path / "there" / FILE).rename(tmp_path / name)
    learner.progress.start_again("02", DAY)  # leaves a dated copy, which is none
    Progress.open("7B-12-3", tmp_path).record_answer("mixing-dose", "36 g", "right")  # another learner
    reopened = lessons.Learner(CODE, tmp_path, "01")
    assert f"More work of this code is in {name}: bring it in" in words(reopened)
    reopened.work.source.value = name
    reopened.work.join.click()
    assert "More work of this code" not in words(lessons.Learner(CODE, tmp_path, "01"))
    assert kept(tmp_path)["answers"]["mixing-dose"]["typed"] == ["36 g"]
