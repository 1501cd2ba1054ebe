"""The reference is built once, as a site of files in build/docs/html; all tests of it look through that."""

import shutil
import subprocess
import sys

import pytest
from structure import ROOT

BUILD = ROOT / "build" / "docs"
# Sphinx, in a Python that stops when anything asks the network.
OFFLINE = """
import sys
from sphinx.cmd.build import main
def refuse(event, args):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.gethostbyname"):
        raise SystemExit(f"The build asked the network: {event} {args}")
sys.addaudithook(refuse)
sys.exit(main(sys.argv[1:]))
"""


@pytest.fixture(scope="session")
def site():
    """The folder of the built site. A warning of Sphinx is an error, and its words are shown."""
    shutil.rmtree(BUILD, ignore_errors=True)
    made, built = BUILD / "source", BUILD / "html"
    subprocess.run([sys.executable, ROOT / "lib" / "docs" / "pages.py", made], check=True)
    # numpydoc says what it cannot read as a warning of Python; test_docstrings.py holds the list of those
    command = [sys.executable, "-W", "ignore::UserWarning", "-c", OFFLINE]
    options = ["--quiet", "--fresh-env", "--fail-on-warning", "--builder", "html"]
    said = subprocess.run([*command, *options, made, built], capture_output=True, text=True)
    assert said.returncode == 0, f"{said.stdout}\n{said.stderr}"
    return built
