"""``python -m stilltank``: each fault of an installation has its remedy; no command ends in a traceback."""

import errno
import json
import os
import socket
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from IPython.core import application
from jupyter_core import paths
from stilltank import __main__ as command
from stilltank import installation, tables
from stilltank.season.plan import Plan
from stilltank.units import Problem


@pytest.fixture
def taken():
    """A port that something listens on."""
    with socket.socket() as server:
        server.bind(("127.0.0.1", 0))
        server.listen()
        yield server.getsockname()[1]


@pytest.fixture
def data(tmp_path, monkeypatch):
    """An empty data folder in place of ours; what was read before is forgotten, and so is this."""

    def forget():
        for reader in (tables.load, tables.names, tables.sources):
            reader.cache_clear()

    monkeypatch.setattr(tables, "DATA", tmp_path)
    (tmp_path / "sources.csv").write_text("key,citation,read\n", encoding="utf-8")
    forget()
    yield tmp_path
    monkeypatch.undo()
    forget()


def faults(found):
    return [one for one in found if one.state == "fault"]


def with_versions(**versions):
    """The installed versions, some of them pretended."""
    return lambda name: versions.get(name, installation._installed(name))


# Each part


def test_an_old_python():
    found = installation.python_version((3, 10, 13))
    assert found.state == "fault"
    assert found.said == "3.10.13; needed is >=3.11."
    assert "Install a newer Python" in found.remedy
    assert installation.python_version().state == "ok"


def test_a_missing_package():
    (found,) = faults(installation.packages(with_versions(pandas=None)))
    assert found.said == "pandas is missing."
    assert found.remedy == "Delete the folder .venv, then run: python3 workbook"


def test_a_package_too_old():
    (found,) = faults(installation.packages(with_versions(numpy="1.26.4")))
    assert found.said.startswith("numpy is 1.26.4; needed is >=2")
    assert "Delete the folder .venv" in found.remedy


def test_a_version_nobody_tested_is_noted_and_no_fault():
    found = list(installation.packages(with_versions(numpy="99.0")))
    assert not faults(found)
    assert "numpy 99.0 (tested " in next(one.said for one in found if one.state == "note")


def test_the_packages_that_are_here():
    assert not faults(installation.packages())


def kernel_spec(folder, monkeypatch, **spec):
    monkeypatch.setenv("JUPYTER_PATH", str(folder))
    place = folder / "kernels" / "other"
    place.mkdir(parents=True)
    text = json.dumps({"display_name": "Other", "language": "python"} | spec)
    (place / "kernel.json").write_text(text, encoding="utf-8")


def test_no_kernel():
    found = installation.kernel("no-such-kernel")
    assert (found.state, found.said) == ("fault", "There is no kernel named no-such-kernel.")
    assert found.remedy == installation.AFRESH


def test_a_kernel_that_does_not_start(tmp_path, monkeypatch):
    kernel_spec(tmp_path, monkeypatch, argv=[sys.executable, "-c", "raise SystemExit(3)"])
    found = installation.kernel("other", seconds=20)
    assert found.state == "fault"
    assert found.said.startswith("The kernel other does not start")
    assert found.remedy == installation.AFRESH


def test_a_kernel_without_the_library(tmp_path, monkeypatch):
    (tmp_path / "stilltank.py").write_text("raise ImportError('a broken copy')", encoding="utf-8")
    argv = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
    kernel_spec(tmp_path, monkeypatch, argv=argv, env={"PYTHONPATH": str(tmp_path)})
    found = installation.kernel("other", seconds=30)
    assert found.state == "fault"
    assert found.said == "The kernel other starts, but: a broken copy."
    assert found.remedy == installation.AFRESH


def test_a_table_that_breaks_its_rules(data):
    row = "tub,volume,forty,L,,,assumption,,,\n"
    (data / "tubs.csv").write_text(",".join(tables.COLUMNS) + "\n" + row, encoding="utf-8")
    found = installation.tables()
    assert found.state == "fault"
    assert "tubs.csv, line 2: 'forty' is not a number" in found.said
    assert found.remedy == "Get the folder data/ again from where you got the workbook."


def test_no_tables(data):
    assert installation.tables().said == f"There are no tables in {data}."


def test_no_sources(data):
    (data / "sources.csv").unlink()
    found = installation.tables()
    assert found.state == "fault"
    assert "sources.csv is not there" in found.said


def test_no_chapters(tmp_path):
    found = installation.chapters(tmp_path)
    assert (found.state, found.said) == ("fault", f"00_start_here.ipynb is not in {tmp_path}.")
    assert "Get the folder workbook/ again" in found.remedy


@pytest.mark.parametrize("code", [errno.EACCES, errno.EROFS, errno.ENOSPC])
def test_a_folder_that_cannot_be_written_in(tmp_path, monkeypatch, code):
    def refuse(**_):
        raise OSError(code, errno.errorcode[code])

    monkeypatch.setattr(tempfile, "TemporaryFile", refuse)
    found = installation.writable(tmp_path)
    assert (found.state, found.said) == (
        "fault",
        f"Nothing can be saved in {tmp_path}: {errno.errorcode[code]}.",
    )
    assert "Copy the whole workbook to a folder of your own" in found.remedy


def test_a_folder_that_is_not_there(tmp_path):
    assert installation.writable(tmp_path / "gone").state == "fault"
    assert installation.writable(tmp_path).state == "ok"
    assert not list(tmp_path.iterdir())


def test_a_home_that_cannot_be_written_in_is_replaced_for_this_time(tmp_path, monkeypatch):
    (tmp_path / "home").write_text("a file", encoding="ascii")  # nothing can be made below it, even by root
    places = ("JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "IPYTHONDIR", "MPLCONFIGDIR")
    for name in places:
        monkeypatch.setenv(name, str(tmp_path / "home" / "below"))
    found = installation.home()
    assert found.state == "note"
    assert str(tmp_path / "home" / "below") in found.said
    spare = {os.path.dirname(os.environ[name]) for name in places}
    assert len(spare) == 1
    assert spare.pop() in found.said
    assert installation.home().state == "ok"
    monkeypatch.setenv("JUPYTER_DATA_DIR", str(tmp_path / "home" / "below"))
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "home"))
    assert installation.home().state == "fault"


@pytest.mark.parametrize("name", ["random.py", "numpy.py", "stilltank/__init__.py"])
def test_a_file_with_the_name_of_a_package_is_named(tmp_path, name):
    for each in ("my_notes.py", "__main__.py", name):
        (tmp_path / each).parent.mkdir(exist_ok=True)
        (tmp_path / each).write_text("", encoding="ascii")
    found = installation.hiding(tmp_path)
    assert found.state == "fault"
    assert found.said.startswith(f"{name.split('/')[0]} in {tmp_path} has the name of ")
    (tmp_path / name).unlink()
    assert installation.hiding(tmp_path).state == "ok"
    assert installation.hiding().state == "ok"


def test_an_occupied_port(taken, monkeypatch):
    found = installation.port(taken)
    assert (found.state, found.said) == ("fault", f"{taken} is in use.")
    another = int(found.remedy.rpartition("=")[2])
    assert installation.port(another).state == "ok"
    monkeypatch.setattr(installation, "PORT", taken)
    assert installation.port().state == "note"  # JupyterLab takes the next one by itself


# The commands


def run(capsys, *words):
    code = command.main(list(words))
    printed = capsys.readouterr()
    return code, printed.out, printed.err


def test_without_a_command_it_lists_what_it_can_do(capsys):
    code, out, _ = run(capsys)
    assert code == 0
    for name in ("open", "check", "where", "read", "card", "log"):
        assert f"\n    {name} " in out


def test_check_prints_remedies_and_returns_one(capsys, monkeypatch, taken):
    monkeypatch.setattr(installation, "kernel", lambda: installation.Finding("kernel", "ok", "starts."))
    monkeypatch.setattr(installation, "chapters", lambda: installation.Finding("chapters", "ok", "here."))
    code, out, _ = run(capsys, "check", "--port", str(taken))
    assert code == 1
    assert f"fault port              {taken} is in use.\n" in out
    assert "Remedy: Close what uses it" in out
    assert out.endswith("One thing to mend.\n")


def test_check_goes_on_when_a_package_cannot_be_loaded(capsys, monkeypatch):
    def broken():
        raise ImportError("No module named 'pint'")

    monkeypatch.setattr(installation, "tables", broken)
    monkeypatch.setattr(installation, "kernel", broken)
    code, out, _ = run(capsys, "check")
    assert code == 1
    assert out.count("fault package           No module named 'pint'.") == 2
    assert "\nok    port" in out or "\nnote  port" in out


def test_check_needs_nothing_but_python_to_begin():
    """With no package at all (-S leaves them out) it still says what is missing."""
    lib = installation.ROOT / "lib"
    bare = f"import sys; sys.path[:0] = [{str(lib)!r}]; from stilltank.__main__ import main; sys.exit(main(['check']))"
    done = subprocess.run([sys.executable, "-S", "-c", bare], capture_output=True, text=True)
    assert done.returncode == 1
    assert done.stderr == ""
    assert "Remedy: Delete the folder .venv" in done.stdout


def test_this_installation_is_well():
    done = subprocess.run(
        [sys.executable, "-m", "stilltank", "check"], capture_output=True, text=True, cwd=installation.ROOT
    )
    assert done.stdout.endswith("All is well.\n"), done.stdout
    assert done.returncode == 0


def test_the_usage_names_the_command_that_was_given(capsys, monkeypatch):
    """A plain Python that has no library knows no ``-m stilltank``."""
    for folder, started in (("", "python -m stilltank"), (str(installation.ROOT), installation.COMMAND)):
        monkeypatch.setenv("STILLTANK_FOLDER", folder)
        with pytest.raises(SystemExit):
            command.main(["chek"])
        assert capsys.readouterr().err.startswith(f"usage: {started} [-h] COMMAND")


def test_a_port_that_is_none(capsys):
    with pytest.raises(SystemExit):
        command.main(["check", "--port", "99999"])
    assert "a port is a whole number from 1 to 65535; '99999' is not" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("where", "nothing/of/this"), "Problem: No table for 'nothing/of/this'."),
        (("where", "constants/water/colour"), "Problem: data/constants.csv has no 'colour' for 'water'."),
        (("read", "5 ML"), "Problem: "),
        (("read", "some water"), "Problem: "),
        (("card", "no-such-plan.toml"), "Problem: "),
        (("log", "no-such-log.csv"), "Problem: No plan is beside the log"),
        (("card", "."), "Problem: "),
        (("card", "x" * 300), "Problem: "),
        (("card", "\0"), "Problem: "),
        (("card", "é\x01.toml"), "Problem: "),
        (("card", os.devnull), "Problem: "),
        (("where", ""), "Problem: No table for ''."),
        (("where", "../data/constants/water/x"), "Problem: No table for"),
        (("where", "constants/" + "9" * 9999), "Problem: "),
        (("where", "constants/é\x01/x"), "Problem: "),
        (("read", ""), "Problem: Nothing was typed."),
        (("read", "9" * 9999), "Problem: "),
        (("read", "é\x01\0☃"), "Problem: "),
        (("read", "1/0 L"), "Problem: "),
        (("read", "-5 L"), "Problem: "),
        (("read", "5 L", "--kind", "nothing"), "Problem: "),
        (("key", ""), "Problem: No code was typed."),
        (("key", "é\x01"), "Problem: "),
        (("key", "A1", "--chapter", "\0"), "Problem: "),
        (("again", ""), "Problem: There is no chapter ''."),
        (("again", "../01"), "Problem: There is no chapter"),
        (("again", "01", "../../x"), "Problem: "),
        (("again", "01", "é\x01"), "Problem: "),
        (("open", "some-folder"), "Problem: 'some-folder' is no option of JupyterLab"),
        (("open", "--port=abc"), "Problem: "),
        (("open", "--port", "99999"), "Problem: "),
    ],
)
def test_a_mistake_gets_one_sentence(capsys, words, said):
    code, out, err = run(capsys, *words)
    assert code == 2
    assert out == ""
    assert err.startswith(said)
    assert "Traceback" not in err


@pytest.mark.parametrize(
    "words",
    [
        ("nonsense",),
        ("",),
        ("--version",),
        ("OPEN",),
        ("--port", "9000"),
        ("card",),
        ("card", ""),
        ("where",),
        ("where", "a", "b"),
        ("read", "5 L", "6 L"),
        ("read", "5 L", "--kind"),
        ("key", "--chapter", "01"),
        ("again",),
        ("again", "01", "A1", "B2"),
        ("check", "extra"),
        ("check", "--port", ""),
        ("check", "--port", "é\x01"),
    ],
)
def test_a_command_that_is_none_gets_its_usage(capsys, words):
    with pytest.raises(SystemExit) as ended:
        command.main(list(words))
    assert ended.value.code == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith("usage: python -m stilltank")
    assert ": error: " in printed.err.splitlines()[-1]


def test_a_log_is_told_with_its_questions_and_never_changed(capsys, tmp_path):
    Plan.make(count=4, start="2027-05-10").save(tmp_path / "my-tank.toml")
    path = tmp_path / "my-tank-log.csv"
    path.write_text("date,level (cm)\n2027-06-10,20\n2027-06-14,45\n2027-06-18,16\n", encoding="utf-8")
    before = path.read_bytes()
    code, said, _ = run(capsys, "log", str(path))
    assert code == 0
    assert "Question: Row 3: 45 cm is above the rim" in said
    assert "times what the table says" in said
    assert "runs dry" in said
    assert path.read_bytes() == before


@pytest.mark.parametrize("page", [(), ("plan.html",)])
def test_a_card_never_takes_the_place_of_its_plan(capsys, tmp_path, monkeypatch, page):
    monkeypatch.chdir(tmp_path)
    Plan.make().save(Path("plan.html"))
    before = Path("plan.html").read_bytes()
    code, _, err = run(capsys, "card", "plan.html", *page)
    assert (code, err.splitlines()[0]) == (
        2,
        "Problem: plan.html is the tank plan itself. Give the card another name, such as plan-card.html.",
    )
    assert Path("plan.html").read_bytes() == before


def test_output_that_cannot_be_shown_or_is_not_read_is_no_fault():
    """A terminal that knows only ASCII; a reader that has gone, as with ``| head``."""
    words = [sys.executable, "-m", "stilltank", "key", "A1"]
    narrow = os.environ | {"PYTHONIOENCODING": "ascii"}
    done = subprocess.run(words, env=narrow, capture_output=True, text=True, cwd=installation.ROOT)
    assert (done.returncode, done.stderr) == (0, "")
    read, write = os.pipe()
    os.close(read)
    done = subprocess.run(words, stdout=write, stderr=subprocess.PIPE, text=True, cwd=installation.ROOT)
    os.close(write)
    assert done.stderr == ""


def test_where_and_read_answer(capsys):
    code, out, _ = run(capsys, "where", "constants/water/standard gravity")
    assert code == 0
    assert out.startswith("constants/water/standard gravity = 9.80665 m/s^2. Kind: from memory.")
    code, out, _ = run(capsys, "read", "1 1/2 US gal")
    assert code == 0
    assert "5.68 L" in out  # 1.5 times 3.785411784 L, NIST SP 811 Appendix B.8


def test_a_fault_of_ours_is_not_hidden(monkeypatch):
    def broken(_):
        raise ValueError("a programming mistake")

    monkeypatch.setattr(tables, "where_from", broken)
    with pytest.raises(ValueError, match="a programming mistake"):
        command.main(["where", "constants/water/standard gravity"])


# Opening


@pytest.fixture
def became(monkeypatch, tmp_path):
    """What the process would have become; the chapters are pretended."""
    commands = []
    (tmp_path / installation.FIRST).write_text("{}", encoding="utf-8")
    for name in ("JUPYTER_CONFIG_PATH", "JUPYTER_PREFER_ENV_PATH", "YARN_ENABLE_NETWORK"):
        monkeypatch.setenv(name, "")
    monkeypatch.setattr(installation.os, "execv", lambda _, words: commands.append(words))
    monkeypatch.setattr(installation, "chapters", lambda: installation.Finding("chapters", "ok", "here."))
    for part in ("home", "hiding"):
        monkeypatch.setattr(installation, part, lambda: installation.Finding("part", "ok", "well."))
    monkeypatch.setattr("stilltank.shipped.keep", lambda root: 0)
    monkeypatch.setattr(installation, "tell_kernels", lambda: None)
    return commands


def test_open_starts_at_chapter_0_and_passes_options_on(became):
    assert command.main(["open", "--no-browser", "--port", "0"]) == 0
    assert became[0][1:4] == ["-P", "-m", "jupyterlab"]
    assert "--LabApp.default_url=/lab/tree/00_start_here.ipynb" in became[0]
    assert became[0][-3:] == ["--no-browser", "--port", "0"]


def test_open_keeps_the_chapters_as_shipped_first(became, monkeypatch):
    monkeypatch.setattr("stilltank.shipped.keep", became.append)
    command.main(["open"])
    assert became[0] == installation.ROOT
    assert len(became) == 2


@pytest.mark.usefixtures("became")
def test_open_takes_the_kernel_of_its_own_python(monkeypatch):
    """Also where the .venv belongs to somebody else, and a kernel of the same name lies in the user's home."""
    monkeypatch.delenv("JUPYTER_PREFER_ENV_PATH")
    monkeypatch.setattr(sys, "base_prefix", "elsewhere")
    monkeypatch.setattr(paths, "_do_i_own", lambda _: False)
    before = paths.jupyter_path()
    assert before.index(paths.jupyter_data_dir()) < before.index(paths.ENV_JUPYTER_PATH[0])
    command.main(["open"])
    after = paths.jupyter_path()
    assert after.index(paths.ENV_JUPYTER_PATH[0]) < after.index(paths.jupyter_data_dir())


def test_kernels_are_told_where_those_of_an_environment_look(tmp_path, monkeypatch):
    (place,) = {Path(each).relative_to(sys.prefix) for each in application.ENV_CONFIG_DIRS}
    monkeypatch.setattr(sys, "prefix", str(tmp_path))
    monkeypatch.setattr(sys, "base_prefix", str(tmp_path))
    installation.tell_kernels()
    assert not list(tmp_path.iterdir()), "a Python that others share is left alone"
    monkeypatch.setattr(sys, "base_prefix", "elsewhere")
    for _ in range(2):
        installation.tell_kernels()
        (told,) = (tmp_path / place).iterdir()
        assert json.loads(told.read_text(encoding="utf-8")) == json.loads(installation.KERNELS.read_text())
        told.write_text("{}", encoding="utf-8")  # of an older version: it is told again


def test_open_says_when_kernels_cannot_be_told(became, monkeypatch, capsys):
    def refuse():
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(installation, "tell_kernels", refuse)
    assert command.main(["open"]) == 0
    assert "keep no history of your cells (Permission denied)" in capsys.readouterr().out
    assert became


@pytest.mark.usefixtures("became")
def test_open_goes_on_when_no_chapter_can_be_kept(monkeypatch):
    def full(root):
        raise Problem("no room")

    monkeypatch.setattr("stilltank.shipped.keep", full)
    assert command.main(["open"]) == 0


def test_open_asks_no_other_computer_for_news(became, monkeypatch):
    monkeypatch.setenv("JUPYTER_CONFIG_PATH", "my-own")
    command.main(["open"])
    mine, ours = os.environ["JUPYTER_CONFIG_PATH"].split(os.pathsep)
    assert mine == "my-own"
    settings = Path(ours, "labconfig", "default_setting_overrides.json").read_text(encoding="utf-8")
    told = json.loads(settings)["@jupyterlab/apputils-extension:notification"]
    assert told == {"checkForUpdates": False, "fetchNews": "false"}
    assert Path(ours, "jupyter_lab_config.json").exists()  # what the server does with it: test_server.py
    assert os.environ["YARN_ENABLE_NETWORK"] == "0"  # seen with strace: a build then connects to nobody


def test_root_is_let_in_only_in_ci(became, monkeypatch):
    monkeypatch.setattr(installation.os, "geteuid", lambda: 0, raising=False)
    for ci, let in (("true", True), ("", False)):
        monkeypatch.setenv("CI", ci)
        command.main(["open"])
        assert ("--allow-root" in became[-1]) is let


@pytest.mark.parametrize("form", ["--port={}", "--port {}", "--ServerApp.port={}", "--ServerApp.port {}"])
def test_open_says_that_a_fixed_port_is_in_use(became, taken, form):
    with pytest.raises(Problem, match=f"^Port: {taken} is in use. Close what uses it"):
        installation.open_lab(form.format(taken).split())
    assert not became


def test_open_says_so_when_no_other_port_may_be_tried(became, taken, monkeypatch):
    monkeypatch.setattr(installation, "PORT", taken)
    with pytest.raises(Problem, match=f"{taken} is in use"):
        installation.open_lab(["--ServerApp.port_retries=0"])
    installation.open_lab([])  # JupyterLab goes on to the next port
    assert len(became) == 1


def test_open_says_that_the_chapters_are_gone(monkeypatch, tmp_path):
    gone = installation.chapters(tmp_path)
    monkeypatch.setattr(installation, "chapters", lambda: gone)
    with pytest.raises(Problem, match=r"00_start_here.ipynb is not in .* Get the folder workbook/ again"):
        installation.open_lab([])
