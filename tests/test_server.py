"""The server that ``open`` starts asks no other computer for anything, whatever the page or the kernel asks of it."""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from types import SimpleNamespace

import pytest
from stilltank import installation

DEADLINE = 180  # seconds; only a server that hangs reaches it
# Python loads a module of this name at each start. An audit hook sees every address that Python code asks for, in the
# server, in a kernel and in any other Python they start, before the network does.
WATCH = """
import os, socket, sys

def watch(event, args):
    if event in ("socket.connect", "socket.sendto") and isinstance(args[1], tuple):
        host = args[1][0]
    elif event in ("socket.getaddrinfo", "socket.gethostbyname"):
        host = args[0]
    else:
        return
    host = host.decode() if isinstance(host, bytes) else host
    if host not in (None, "", "localhost", "127.0.0.1", "::1", "0.0.0.0", "::", socket_name):
        with open(os.environ["ASKED"], "a") as log:
            print(os.getpid(), event, host, file=log)

socket_name = socket.gethostname()
sys.addaudithook(watch)
"""
PROXIES = ("http_proxy", "https_proxy", "all_proxy")


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    """JupyterLab as the workbook's own command starts it in a copy of the workbook, watched."""
    base = tmp_path_factory.mktemp("server")
    copy, home, watch, asked = base / "copy", base / "home", base / "watch", base / "asked"
    for name in ("lib/stilltank", "data", "shared", "workbook"):
        shutil.copytree(installation.ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(installation.ROOT / "pyproject.toml", copy)
    home.mkdir()
    watch.mkdir()
    (watch / "sitecustomize.py").write_text(WATCH, encoding="ascii")
    asked.touch()
    clean = {name: text for name, text in os.environ.items() if not name.startswith(("JUPYTER", "IPYTHON"))}
    env = (
        {name: text for name, text in clean.items() if name.lower() not in PROXIES}
        | {
            "HOME": str(home),
            "USERPROFILE": str(home),
            "PYTHONPATH": os.pathsep.join((str(watch), str(copy / "lib"))),
            "ASKED": str(asked),
            "CI": "true",
            "JUPYTER_NO_CONFIG": "1",  # as somebody has it who wants to be asked nothing; ours must count all the same
        }
    )
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    options = [
        "--no-browser",
        f"--port={port}",
        "--ServerApp.port_retries=0",
        "--IdentityProvider.token=secret",
    ]
    with (base / "log").open("w+", encoding="utf-8") as log:
        process = subprocess.Popen(
            [sys.executable, "-m", "stilltank", "open", *options], env=env, cwd=copy, stdout=log, stderr=log
        )
        try:
            found = SimpleNamespace(url=f"http://127.0.0.1:{port}", copy=copy, asked=asked, env=env)
            end = time.monotonic() + DEADLINE
            while True:
                assert process.poll() is None, (base / "log").read_text(encoding="utf-8")
                assert time.monotonic() < end, (base / "log").read_text(encoding="utf-8")
                try:
                    call(found, "api/status")
                    break
                except urllib.error.URLError:
                    time.sleep(0.1)
            yield found
        finally:
            process.terminate()
            process.wait(DEADLINE)


def call(server, path, body=None, method=None):
    """Ask the server; returns what it answers, read as JSON where it is."""
    request = urllib.request.Request(
        f"{server.url}/{path}",
        data=None if body is None else json.dumps(body).encode(),
        headers={"Authorization": "token secret"},
        method=method,
    )
    with urllib.request.urlopen(request, timeout=DEADLINE) as answer:
        text = answer.read().decode("utf-8")
        return json.loads(text) if "json" in answer.headers.get("Content-Type", "") and text else text


def asked(server):
    """Who asked for what since the last time."""
    lines = server.asked.read_text().splitlines()
    server.asked.write_text("")
    return lines


def test_the_watch_sees_who_asks(server):
    """Or the tests below could not fail. ``.invalid`` is nobody's name (RFC 2606)."""
    ask = "import socket; socket.create_connection(('watched.invalid', 80), timeout=5)"
    subprocess.run([sys.executable, "-c", ask], env=server.env, stderr=subprocess.DEVNULL)
    assert any("watched.invalid" in line for line in asked(server))


@pytest.mark.parametrize(
    ("path", "answer"),
    [
        ("lab/api/news", {"news": []}),
        ("lab/api/update", {"notification": None}),
        ("lab/api/extensions?refresh=1&query=theme", []),
        ("lab/api/extensions?refresh=1", None),
        ("lab/api/settings", None),
        ("lab/api/translations", None),
        ("lab/api/licenses", None),
        ("lab/api/plugins", None),
        ("lab/api/build", None),
        ("lab/api/listings/@jupyterlab/extensionmanager-extension/listings.json", None),
        ("lsp/status", None),
        ("lab/tree/00_start_here.ipynb", None),
    ],
)
def test_what_the_page_asks_the_server_goes_no_further(server, path, answer):
    got = call(server, path)
    assert asked(server) == []
    if answer is not None:
        assert got == answer


def test_the_server_installs_nothing_and_tells_the_page_so(server):
    with pytest.raises(urllib.error.HTTPError) as refused:
        call(server, "lab/api/extensions", {"cmd": "install", "extension_name": "jupyterlab-example"})
    assert "was blocked" in refused.value.read().decode("utf-8")
    config = json.loads(
        re.search(r'id="jupyter-config-data"[^>]*>(.*?)</script>', call(server, "lab"), re.DOTALL)[1]
    )
    assert config["news"] == {"disabled": True}
    assert config["extensionManager"]["can_install"] is False
    assert asked(server) == []


def test_a_kernel_that_has_loaded_the_library_has_asked_nobody(server):
    """Started by the server itself; the message goes the way the page sends it."""
    from jupyter_client.blocking.client import BlockingKernelClient

    kernel = call(server, "api/kernels", {"name": "python3"})
    folder = server.env["HOME"]
    found = subprocess.run(
        [sys.executable, "-m", "jupyter", "--runtime-dir"], env=server.env, capture_output=True, text=True
    ).stdout.strip()
    assert found.startswith(folder)
    client = BlockingKernelClient(connection_file=f"{found}/kernel-{kernel['id']}.json")
    client.load_connection_file()
    client.start_channels()
    try:
        client.wait_for_ready(timeout=DEADLINE)
        done = client.execute(
            f"{installation.LOADED}\nfrom stilltank import lessons\nlessons.Learner('7B-12')",
            reply=True,
            timeout=DEADLINE,
        )["content"]
    finally:
        client.stop_channels()
    call(server, f"api/kernels/{kernel['id']}", method="DELETE")
    assert done["status"] == "ok", done
    assert asked(server) == []
