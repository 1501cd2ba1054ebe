"""Give JupyterLab's keys back to the cells: write the shortcuts in shared/jupyter from those JupyterLab ships.

A control in an output does not take the notebook out of command mode, and nearly all keys of that mode are bound to
whatever has the focus: an ``x`` on a list cuts the panel's cell. Here each of them is switched off, and bound again to
cells alone, or not at all. ``python tests/shortcuts.py`` rewrites the file; test_shortcuts.py compares, so that
a JupyterLab with other keys fails a test before it reaches a learner.
"""

import json
import re
from pathlib import Path

from jupyterlab.commands import get_app_dir

OVERRIDES = Path(__file__).resolve().parents[1] / "shared/jupyter/labconfig/default_setting_overrides.json"
PLUGIN = "@jupyterlab/shortcuts-extension:shortcuts"
SCHEMAS_OF_LAB = Path(get_app_dir()) / "schemas" / "@jupyterlab"
SCHEMAS = ("notebook-extension/tracker", "mainmenu-extension/plugin")

COMMAND_MODE = ".jp-Notebook.jp-mod-commandMode:not(.jp-mod-readWrite) "
KERNEL_USER = "[data-jp-kernel-user]:not(.jp-mod-readWrite) "
CODE_RUNNER = "[data-jp-code-runner]"
# A selector may hold no comma.
NO_CONTROL = (
    CODE_RUNNER
    + " :focus"
    + "".join(
        f":not({control})"
        for control in ("a", "button", "input", "select", "summary", "textarea", "[role=slider]")
    )
)
# What JupyterLab binds a key to, and what it is bound to here.
TO_CELLS = {
    COMMAND_MODE + ":focus": COMMAND_MODE + ".jp-Cell:focus",
    COMMAND_MODE + ".jp-MarkdownCell:focus": COMMAND_MODE + ".jp-MarkdownCell:focus",
    KERNEL_USER + ":focus:not(:read-write)": KERNEL_USER + ".jp-Cell:focus",
    CODE_RUNNER: NO_CONTROL,
}
# These add or take away whole cells: never beside or from a locked one, so that an answer typed on a page does nothing.
OWN_CELLS = {
    "notebook:copy-cell",
    "notebook:cut-cell",
    "notebook:delete-cell",
    "notebook:insert-cell-above",
    "notebook:insert-cell-below",
    "notebook:insert-heading-above",
    "notebook:insert-heading-below",
    "notebook:paste-cell-below",
    "notebook:run-cell-and-insert-below",
}
# These turn text into code, join or move cells, or offer to restart: on a page of work, only by menu or button.
NO_KEY = {
    *(f"notebook:change-cell-to-heading-{level}" for level in range(1, 7)),
    "kernelmenu:restart",
    "notebook:change-cell-to-code",
    "notebook:change-cell-to-markdown",
    "notebook:change-cell-to-raw",
    "notebook:merge-cell-above",
    "notebook:merge-cell-below",
    "notebook:merge-cells",
    "notebook:move-cell-down",
    "notebook:move-cell-up",
    "notebook:split-cell-at-cursor",
}


def shipped():
    """The shortcuts of notebooks and of the main menu that have a key, as this JupyterLab ships them."""
    found = [
        each
        for name in SCHEMAS
        for each in json.loads((SCHEMAS_OF_LAB / f"{name}.json").read_text(encoding="utf-8"))[
            "jupyter.lab.shortcuts"
        ]
    ]
    return [each for each in found if any(each["keys"]) or each.get("macKeys")]


def ours(found):
    """The shortcuts to write: each one that leaves a control switched off, and what stands for it."""
    written = []
    for each in found:
        selector = TO_CELLS.get(each["selector"])
        if selector is None and each["command"] not in NO_KEY:
            continue
        if each["command"] in OWN_CELLS:
            selector = selector.replace(".jp-Cell:focus", ".jp-Cell:not(:has(.jp-mod-readOnly)):focus")
        written.append(each | {"disabled": True})
        if each["command"] not in NO_KEY:
            written.append(each | {"selector": selector})
    return written


def main():
    """Rewrite the file."""
    settings = json.loads(OVERRIDES.read_text(encoding="utf-8"))
    settings[PLUGIN] = {"shortcuts": ours(shipped())}
    text = json.dumps(settings, indent=2, sort_keys=True)
    text = re.sub(r"\{[^{}]*\}", lambda inner: json.dumps(json.loads(inner[0])), text)  # a shortcut a line
    OVERRIDES.write_text(text + "\n", encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
