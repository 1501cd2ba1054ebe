"""shared/privacy.md says what becomes of what a learner types; these tests keep it true."""

import json
import os
import re
import socket
import sys
import sysconfig
import venv
from datetime import date
from pathlib import Path

import pytest
import tidy
from jupyter_client.manager import start_new_kernel
from stilltank import installation, lessons
from stilltank.learning import predictions
from stilltank.learning.codes import learner_code
from stilltank.learning.progress import Progress
from stilltank.learning.progress.file import TABLES
from stilltank.season import own_tank
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
    learner = lessons.Learner("7B-12")
    progress = learner.progress
    progress.record_answer("mixing-dose", "300 mL", "right", chapter="01", hints=1)
    half = predictions.PredictionQuestion(
        id="01-half", chapter="01", text="At half strength?", kind="conductivity"
    )
    predictions.record(progress, half, "1.1 mS/cm")
    predictions.close(progress, "01-half", Q(1.15, "mS/cm"), on=date(2027, 5, 3))
    draft = own_tank.Draft("my-tank.toml", learner, count=4)
    own_tank.Keep(draft).button.click()
    sheets, tasks = own_tank.Sheets(draft), own_tank.Tasks(draft)
    bottles, bench = own_tank.Bottles(draft), own_tank.bench_panel(draft)
    sheets.leave.value, sheets.back.value = date(2027, 6, 1), date(2027, 6, 10)
    for button in (
        sheets.card,
        sheets.stick,
        sheets.blank_log,
        sheets.neighbour,
        bottles.labels,
        bottles.card,
        tasks.button,
        bench.further,
        bench.calendar,
        bench.page,
        bench.numbers,
        learner.work.copy,
    ):
        button.click()
    own_tank.Draft("my-tank.toml", count=4).save()
    progress.start_again("01", date(2027, 5, 3))

    named = [each.strip("` ") for row in NAMED for each in row.split(",")]
    patterns = [re.escape(each).replace(r"\.\.\.", ".*") for each in named]
    made = {path.name for path in tmp_path.iterdir()}
    assert made == {
        "my-progress-7B-12.toml",
        "my-progress-7B-12-2027-05-03.toml",
        "my-tank.toml",
        "my-tank-card.html",
        "my-tank-7B-12.toml",
        "my-tank-7B-12-card.html",
        "my-tank-7B-12-dipstick.html",
        "my-tank-7B-12-dipstick.pdf",
        "my-tank-7B-12-log-empty.csv",
        "my-tank-7B-12-log.html",
        "my-tank-7B-12-labels.html",
        "my-tank-7B-12-neighbour.html",
        "my-tank-7B-12-tasks.ics",
        "my-tub-b-7B-12.toml",
        "my-bench-7B-12-calendar.ics",
        "my-bench-7B-12-wall.html",
        "my-bench-7B-12-numbers.csv",
        "my-work-7B-12.zip",
    }
    for path in tmp_path.iterdir():
        assert any(re.fullmatch(pattern, path.name) for pattern in patterns), path.name
        if path.suffix not in (".pdf", ".zip"):
            path.read_text(encoding="utf-8")  # plain text
    assert set(TABLES) == {"settings", "chapters", "answers", "predictions"}, "the page names what is kept"

    for path in tmp_path.iterdir():
        path.unlink()
    again = Progress.open("7B-12", tmp_path)
    assert not again.answers
    assert not again.predictions


def test_a_kernel_of_the_workbook_writes_down_no_cell(tmp_path, monkeypatch):
    """Kernels of two virtual environments, with homes of their own; one that was told nothing keeps each cell."""
    monkeypatch.setenv("JUPYTER_PATH", str(tmp_path))
    held, extensions = {}, {}
    for way in ("ours", "usual"):
        monkeypatch.setenv("IPYTHONDIR", str(tmp_path / way))
        venv.create(tmp_path / f"{way}-venv", symlinks=os.name != "nt")
        folders = {"base": str(tmp_path / f"{way}-venv"), "platbase": str(tmp_path / f"{way}-venv")}
        packages = Path(sysconfig.get_path("purelib", "venv", folders), "these.pth")
        packages.write_text("\n".join(filter(None, sys.path)), encoding="utf-8")
        python = Path(sysconfig.get_path("scripts", "venv", folders), "python")
        spec = tmp_path / "kernels" / way / "kernel.json"
        spec.parent.mkdir(parents=True)
        argv = [str(python), "-m", "ipykernel_launcher", "-f", "{connection_file}"]
        spec.write_text(
            json.dumps({"argv": argv, "display_name": way, "language": "python"}), encoding="utf-8"
        )
        if way == "ours":
            installation.tell_kernels(tmp_path / "ours-venv")
        manager, client = start_new_kernel(kernel_name=way, startup_timeout=120)
        try:
            client.execute_interactive("spoken = 'by A1'", store_history=True, timeout=120)
            client.execute_interactive(
                "assert In[1] == \"spoken = 'by A1'\"", store_history=True, timeout=120
            )
            loaded = "'stilltank.run_order' in get_ipython().extension_manager.loaded"
            extensions[way] = client.execute(
                "", user_expressions={"loaded": loaded}, reply=True, timeout=120
            )["content"]["user_expressions"]["loaded"]["data"]["text/plain"]
        finally:
            client.stop_channels()
            manager.shutdown_kernel()
        files = [path for path in (tmp_path / way).rglob("*") if path.is_file()]
        held[way] = [path.name for path in files if b"spoken" in path.read_bytes()]
    assert held == {"ours": [], "usual": ["history.sqlite"]}
    assert extensions == {"ours": "True", "usual": "False"}


@pytest.mark.parametrize("typed", ["Charlotte", "Charlotte 7", "anna-lena", "Grünwald"])
def test_a_name_is_refused(typed):
    with pytest.raises(Unreadable):
        learner_code(typed)


def test_the_page_shows_a_code_that_is_one():
    for code in re.findall(r"such as `([^`]+)`", PAGE):
        assert learner_code(code) == code
    assert len(PAGE.split()) < 400, "half a page"
