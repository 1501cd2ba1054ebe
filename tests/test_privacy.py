"""shared/privacy.md says what becomes of what a learner types; these tests keep it true."""

import re
import socket
from datetime import date

import pytest
import tidy
from stilltank.learning import predictions
from stilltank.learning.codes import learner_code
from stilltank.learning.progress import Progress
from stilltank.learning.progress.file import TABLES
from stilltank.show import panels
from stilltank.units import Q, Unreadable

PAGE = (tidy.WORKBOOK.parent / "shared" / "privacy.md").read_text(encoding="utf-8")
NAMED = re.findall(r"^\| (`.*`) \|", PAGE, re.MULTILINE)


@pytest.fixture
def alone(monkeypatch):
    """A computer without a network: whoever tries to reach another one fails."""

    def refuse(*where):
        raise AssertionError(f"asks another computer: {where[1:]}")

    for name in ("connect", "connect_ex", "sendto"):
        monkeypatch.setattr(socket.socket, name, refuse)


@pytest.mark.usefixtures("alone")
def test_all_a_learner_makes_lies_in_files_the_page_names(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    learner = panels.Learner("7B-12")
    progress = learner.progress
    progress.record_answer("mixing-dose", "300 mL", "right", chapter="01", hints=1)
    predictions.record(
        progress, "01-half", "1.1 mS/cm", chapter="01", question="At half strength?", kind="conductivity"
    )
    predictions.close(progress, "01-half", Q(1.15, "mS/cm"), on=date(2027, 5, 3))
    panels.Draft("my-tank.toml", count=4).save()
    progress.start_again("01", date(2027, 5, 3))

    named = [each.strip("` ") for row in NAMED for each in row.split(",")]
    patterns = [re.escape(each).replace(r"\.\.\.", ".*") for each in named]
    made = {path.name for path in tmp_path.iterdir()}
    assert made == {
        "my-progress-7B-12.toml",
        "my-progress-7B-12-2027-05-03.toml",
        "my-tank.toml",
        "my-tank-card.html",
    }
    for path in tmp_path.iterdir():
        assert any(re.fullmatch(pattern, path.name) for pattern in patterns), path.name
        path.read_text(encoding="utf-8")  # plain text
    assert set(TABLES) == {"settings", "chapters", "answers", "predictions"}, "the page names what is kept"

    for path in tmp_path.iterdir():
        path.unlink()
    again = Progress.open("7B-12", tmp_path)
    assert not again.answers
    assert not again.predictions


@pytest.mark.parametrize("typed", ["Charlotte", "Charlotte 7", "anna-lena", "Grünwald"])
def test_a_name_is_refused(typed):
    with pytest.raises(Unreadable):
        learner_code(typed)


def test_the_page_shows_a_code_that_is_one():
    for code in re.findall(r"such as `([^`]+)`", PAGE):
        assert learner_code(code) == code
    assert len(PAGE.split()) < 400, "half a page"
