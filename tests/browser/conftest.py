"""JupyterLab on a free port, Chromium in front of it, and a page that may fail in no way."""

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
from pathlib import Path
from types import SimpleNamespace

import pytest
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[2]
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


def as_root():
    return hasattr(os, "geteuid") and os.geteuid() == 0


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_until_up(process, url, log, seconds=60):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if process.poll() is not None:
            raise RuntimeError(log.read_text(encoding="utf-8"))
        try:
            urllib.request.urlopen(url, timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise RuntimeError(f"no answer in {seconds} s\n{log.read_text(encoding='utf-8')}")


@pytest.fixture(scope="session")
def lab(tmp_path_factory):
    """JupyterLab with settings of its own, on a copy of workbook/."""
    base = tmp_path_factory.mktemp("lab")
    shutil.copytree(
        ROOT / "workbook", base / "workbook", ignore=shutil.ignore_patterns("my-*", "example-*", ".*")
    )
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
        f"--ServerApp.root_dir={base / 'workbook'}",
        f"--IdentityProvider.token={token}",
        "--LabApp.expose_app_in_browser=True",
        *(["--allow-root"] if as_root() else []),
    ]
    with log.open("wb") as out:
        process = subprocess.Popen(command, env=env, stdout=out, stderr=out)
    try:
        url = f"http://127.0.0.1:{port}"
        wait_until_up(process, f"{url}/api/status?token={token}", log)
        yield SimpleNamespace(url=url, token=token, workbook=base / "workbook")
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
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=flags)
        yield browser
        browser.close()


class Chapter:
    """A chapter in the browser."""

    def __init__(self, lab, page):
        self.lab, self.page = lab, page
        self.outputs = page.locator(OUTPUT)

    def open(self, name, view="lab"):
        """Open a notebook and wait until its kernel is idle; ``view="doc"`` shows it alone, without tabs."""
        self.page.goto(f"{self.lab.url}/{view}/tree/{name}?token={self.lab.token}")
        self.page.locator(".jp-Notebook").first.wait_for(timeout=60_000)
        self.page.wait_for_function(KERNEL_IDLE, timeout=60_000)
        return self

    def run(self):
        """Run all cells; what they show has been drawn afterwards."""
        self.page.evaluate(RUN_ALL)
        self.page.wait_for_function(KERNEL_IDLE, timeout=60_000)
        self.page.wait_for_function("[...document.images].every(one => one.complete)")
        return self

    @property
    def complaints(self):
        """The errors and warnings that cells show, as text; the page marks both alike."""
        return self.page.locator(
            f"{OUTPUT} [data-mime-type='application/vnd.jupyter.stderr']"
        ).all_inner_texts()

    def controls(self, role):
        """Name and value of each control of one kind in the outputs, from the browser's accessibility tree."""
        browser = self.page.context.new_cdp_session(self.page)
        browser.send("Accessibility.enable")
        found = []
        for n in range(self.outputs.count()):
            output = browser.send(
                "Runtime.evaluate", {"expression": f"document.querySelectorAll('{OUTPUT}')[{n}]"}
            )
            asked = {"objectId": output["result"]["objectId"], "role": role}
            for node in browser.send("Accessibility.queryAXTree", asked)["nodes"]:
                if not node.get("ignored"):
                    found.append((node["name"]["value"], node.get("value", {}).get("value")))
        browser.detach()
        return found

    def wait_for_change(self, before):
        """Wait until the outputs no longer hold what they held before."""
        now = f"[...document.querySelectorAll('{OUTPUT}')].map(one => one.innerHTML).join()"
        self.page.wait_for_function(f"before => {now} !== before", arg=before, timeout=10_000)
        self.page.wait_for_function("[...document.images].every(one => one.complete)")

    def show(self, name):
        """Save a screenshot in the folder that SCREENSHOTS names, if it names one."""
        if SCREENSHOTS:
            Path(SCREENSHOTS).mkdir(parents=True, exist_ok=True)
            self.page.screenshot(path=Path(SCREENSHOTS) / f"{name}.png")

    def show_outputs(self, name):
        """Save a screenshot of each output that has a control or a picture."""
        self.page.set_viewport_size(
            {"width": 1280, "height": 1600}
        )  # so that the longest panel is seen whole
        for n in range(self.outputs.count() if SCREENSHOTS else 0):
            one = self.outputs.nth(n)
            if one.locator("img, input, select, button").count():
                one.screenshot(path=Path(SCREENSHOTS) / f"{name}-output-{n}.png")


@pytest.fixture
def chapter(lab, browser):
    """A page for a chapter; fails afterwards on a console error or a request to another host."""
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    outside, errors = [], []
    page.on(
        "request",
        lambda r: re.match("https?:", r.url) and not r.url.startswith(lab.url) and outside.append(r.url),
    )
    page.on("console", lambda m: m.type == "error" and errors.append(m.text))
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield Chapter(lab, page)
    page.close()
    assert not outside
    assert not errors
