"""JupyterLab on a free port, Chromium in front of it, and a page that may fail in no way.

Every wait is for a state of the page, under one deadline that only a page that hangs can reach: on a slow machine the
tests are slow. After ``settle`` what is shown is final, and can be asserted at once.
"""

import json
import os
import re
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

import pytest
from own_plan import OWN_PLAN
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
DEADLINE = 180  # seconds; the slowest step took 18 with eight processes on each core
CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
SCREENSHOTS = os.environ.get("SCREENSHOTS")
FLAGS = [
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False},
    "@jupyterlab/notebook-extension:tracker": {
        "windowingMode": "none"
    },  # else cells out of view are not in the page
}
KERNEL_IDLE = "window.jupyterapp?.shell?.currentWidget?.sessionContext?.session?.kernel?.status === 'idle'"
OUTPUT = ".jp-Cell-outputArea"
# The menu's own entry does nothing when the kernel has only just become idle.
RUN_ALL = "async () => { await window.jupyterapp.commands.execute('notebook:run-all-cells'); }"
END_KERNEL = "async () => { await window.jupyterapp?.shell?.currentWidget?.sessionContext?.shutdown(); }"
# What the page has sent and the kernel has not answered. A kernel's status alone may be that of before the message, and
# widgets speak on a channel of their own; `iopubMessage` comes when the page has taken the message in.
LISTEN = """() => {
  const kernel = window.jupyterapp.shell.currentWidget.sessionContext.session.kernel;
  window.unanswered = new Set();
  kernel.anyMessage.connect((_, {msg, direction}) => {
    if (direction === 'send' && msg.channel === 'shell') window.unanswered.add(msg.header.msg_id);
  });
  kernel.iopubMessage.connect((_, msg) => {
    if (msg.content.execution_state === 'idle') window.unanswered.delete(msg.parent_header.msg_id);
  });
}"""
# A box holds a bare placeholder for each widget that is still being made; a panel that follows another says so.
SETTLED = """() => window.unanswered.size === 0
  && !document.querySelector('.widget-box > .lm-Widget:not(.jupyter-widgets)')
  && !document.querySelector('.stilltank-behind')
  && ![...document.querySelectorAll('.jp-OutputArea-output')].some(one => one.textContent === 'Loading widget...')
  && [...document.images].every(one => one.complete)"""


# Each level from the page down to the notebook lies where the one above it ends.
FILLED = """([width, height]) => {
  const box = css => document.querySelector(css).getBoundingClientRect();
  const main = box('#main'), panel = box('.jp-NotebookPanel'), room = box('.jp-WindowedPanel-outer, .jp-Notebook');
  return main.width === width && main.height === height && panel.right === room.right && panel.bottom === room.bottom;
}"""


def as_root():
    return hasattr(os, "geteuid") and os.geteuid() == 0


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_until_up(process, url, log):
    end = time.monotonic() + DEADLINE
    while time.monotonic() < end:
        if process.poll() is not None:
            raise RuntimeError(log.read_text(encoding="utf-8"))
        try:
            urllib.request.urlopen(url, timeout=DEADLINE).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise RuntimeError(f"no answer in {DEADLINE} s\n{log.read_text(encoding='utf-8')}")


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """JupyterLab with settings of its own; each page puts its copy of workbook/ in ``root``."""
    base = tmp_path_factory.mktemp("lab")
    root = base / "root"
    root.mkdir()
    overrides = base / "config" / "labconfig" / "default_setting_overrides.json"
    overrides.parent.mkdir(parents=True)
    overrides.write_text(json.dumps(SETTINGS), encoding="utf-8")
    own = {
        "JUPYTER_CONFIG_DIR": "config",
        "JUPYTER_DATA_DIR": "data",
        "JUPYTER_RUNTIME_DIR": "runtime",
        "JUPYTERLAB_SETTINGS_DIR": "settings",
        "JUPYTERLAB_WORKSPACES_DIR": "workspaces",
        "IPYTHONDIR": "ipython",
    }
    env = os.environ | {name: str(base / folder) for name, folder in own.items()}
    env["JUPYTER_CONFIG_PATH"] = str(ROOT / "shared" / "jupyter")  # as the workbook's own command does
    port, token, log = free_port(), secrets.token_hex(16), base / "lab.log"
    command = [
        sys.executable,
        "-m",
        "jupyterlab",
        "--no-browser",
        "--ip=127.0.0.1",
        f"--port={port}",
        "--ServerApp.port_retries=0",
        f"--ServerApp.root_dir={root}",
        f"--IdentityProvider.token={token}",
        "--LabApp.expose_app_in_browser=True",
        *(["--allow-root"] if as_root() else []),
    ]
    with log.open("wb") as out:
        process = subprocess.Popen(command, env=env, stdout=out, stderr=out)
    try:
        url = f"http://127.0.0.1:{port}"
        wait_until_up(process, f"{url}/api/status?token={token}", log)
        yield SimpleNamespace(url=url, token=token, root=root)
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


@pytest.fixture(scope="session")
def browser():
    if not Path(CHROMIUM).exists():
        reason = f"there is no Chromium at {CHROMIUM}; install it, or set CHROMIUM to where it is"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(reason)
    flags = [*FLAGS, *(["--no-sandbox"] if as_root() else [])]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=flags, timeout=1000 * DEADLINE)
        yield browser
        browser.close()


def pytest_generate_tests(metafunc):
    """A test of one panel runs for each panel of its chapter."""
    if "title" in metafunc.fixturenames:
        metafunc.parametrize("title", metafunc.module.PANELS)


@contextmanager
def page_of(browser, **options):
    """A page of its own that waits as long as the machine needs."""
    page = browser.new_page(**options)
    page.set_default_timeout(1000 * DEADLINE)
    try:
        yield page
    finally:
        page.close()


@pytest.fixture
def page(browser):
    with page_of(browser) as page:
        yield page


class Chapter:
    """A chapter in the browser: a page, with a workbook, a kernel and a workspace that no other page has.

    JupyterLab opens again what a workspace had open, and two pages on one notebook share its kernel.
    """

    def __init__(self, lab, page):
        self.lab, self.page = lab, page
        self.id = secrets.token_hex(4)
        self.workbook = lab.root / self.id
        shutil.copytree(
            ROOT / "workbook", self.workbook, ignore=shutil.ignore_patterns("my-*", "example-*", ".*")
        )
        self.outputs = page.locator(OUTPUT)
        self.outside, self.errors = [], []
        page.on("request", self._asked)
        page.on("console", lambda m: m.type == "error" and self.errors.append(m.text))
        page.on("pageerror", lambda error: self.errors.append(str(error)))

    def _asked(self, request):
        if re.match("https?:", request.url) and not request.url.startswith(self.lab.url):
            self.outside.append(request.url)

    def open(self, name, view="lab"):
        """Open a notebook and wait until its kernel is idle; ``view="doc"`` shows it alone, without tabs."""
        place = f"{view}/workspaces/{self.id}/tree/{self.id}/{name}"
        self.page.goto(f"{self.lab.url}/{place}?token={self.lab.token}")
        self.page.locator(".jp-Notebook").wait_for()
        self.page.wait_for_function(KERNEL_IDLE)
        return self.listen()

    def listen(self):
        """Take note, from now on, of what the kernel is asked and answers; after a restart, anew."""
        self.page.evaluate(LISTEN)
        return self

    def run(self):
        """Run all cells; what they show has been drawn afterwards."""
        self.page.evaluate(RUN_ALL)
        return self.settle()

    def settle(self):
        """Wait until the kernel has answered all it was asked, and the page shows the answer."""
        self.page.wait_for_function(SETTLED, polling=100)
        return self

    def held(self):
        """What the outputs hold, to see whether it changes."""
        return self.outputs.evaluate_all("all => all.map(one => one.innerHTML).join()")

    def resize(self, width, height):
        """Give the page another size, and wait until JupyterLab fills it."""
        self.page.set_viewport_size({"width": width, "height": height})
        self.page.wait_for_function(FILLED, arg=[width, height])
        return self.settle()

    def check(self):
        """Fail on a console error, a request to another host or a question of JupyterLab's own."""
        self.page.evaluate("0")  # what the page said before this has then arrived here
        outside, errors = self.outside.copy(), self.errors.copy()
        self.outside.clear()  # of several tests on one page, the one that did it is blamed
        self.errors.clear()
        assert not outside
        assert not errors
        assert self.page.locator(".Toastify__toast, .jp-Dialog").count() == 0, "JupyterLab asks something"

    @property
    def complaints(self):
        """The errors and warnings that cells show, as text; the page marks both alike."""
        return self.page.locator(
            f"{OUTPUT} [data-mime-type='application/vnd.jupyter.stderr']"
        ).all_inner_texts()

    def controls(self):
        """Role, name and value of each thing in the outputs, from the browser's accessibility tree."""
        browser = self.page.context.new_cdp_session(self.page)
        browser.send("Accessibility.enable")
        found = []
        for n in range(self.outputs.count()):
            output = browser.send(
                "Runtime.evaluate", {"expression": f"document.querySelectorAll('{OUTPUT}')[{n}]"}
            )
            asked = {"objectId": output["result"]["objectId"]}
            for node in browser.send("Accessibility.queryAXTree", asked)["nodes"]:
                if not node.get("ignored"):
                    found.append(tuple(node.get(key, {}).get("value") for key in ("role", "name", "value")))
        browser.detach()
        return found

    def show(self, name):
        """Save a screenshot in the folder that SCREENSHOTS names, if it names one."""
        if SCREENSHOTS:
            Path(SCREENSHOTS).mkdir(parents=True, exist_ok=True)
            self.page.screenshot(path=Path(SCREENSHOTS) / f"{name}.png")

    def show_outputs(self, name):
        """Save a screenshot of each output that has a control or a picture."""
        if not SCREENSHOTS:
            return
        usual = self.page.viewport_size
        self.page.set_viewport_size(
            {"width": usual["width"], "height": 1600}
        )  # the longest panel is seen whole
        for n in range(self.outputs.count()):
            one = self.outputs.nth(n)
            if one.locator("img, input, select, button").count():
                one.screenshot(path=Path(SCREENSHOTS) / f"{name}-output-{n}.png")
        self.page.set_viewport_size(usual)


@contextmanager
def chapter_of(lab, browser):
    with page_of(browser, viewport={"width": 1280, "height": 800}) as page:
        chapter = Chapter(lab, page)
        yield chapter
        try:
            chapter.check()
        finally:
            page.evaluate(END_KERNEL)


@pytest.fixture
def chapter(lab, browser):
    """A page for a chapter; fails afterwards on a console error or a request to another host."""
    with chapter_of(lab, browser) as chapter:
        yield chapter


@pytest.fixture(scope="module")
def _at_the_desk(request, lab, browser):
    with chapter_of(lab, browser) as chapter:
        yield chapter.open(request.module.NAME).run()


@pytest.fixture
def run(_at_the_desk):
    """The module's chapter, run once for all tests of a file; each sets first what it starts from."""
    yield _at_the_desk
    _at_the_desk.check()


@pytest.fixture(scope="module")
def _at_the_wall(request, lab, browser):
    with chapter_of(lab, browser) as chapter:
        chapter.page.set_viewport_size({"width": 1024, "height": 768})
        (chapter.workbook / "my-tank.toml").write_text(OWN_PLAN, encoding="utf-8")
        yield chapter.open(request.module.NAME, view="doc").run()


@pytest.fixture
def projected(_at_the_wall):
    """The module's chapter as one document for a projector, run once for all screens and sizes of type.

    It opens a plan of somebody's own, whose numbers lie on no step of a slider.
    """
    yield _at_the_wall
    _at_the_wall.check()
