"""The first minutes: a page starts as the line under its title says; no stray key and no dead panel does harm."""

import json
import re
from pathlib import Path

import keys

NAME = "01_mixing.ipynb"
SEED, COUNT = 20270426, 40  # tests/benchmarks/bench_keys.py presses more, in every chapter
RAN = """() => window.jupyterapp.shell.currentWidget.content.widgets
  .every(one => one.model.type !== 'code' || one.model.executionState === 'idle' && one.model.executionCount)"""
# How each output that holds or held controls looks: a mouse reaches them, or it says that it does not run.
SEEN = """() => [...document.querySelectorAll('.jp-OutputArea-output')]
  .filter(one => one.matches('.jupyter-widgets, :has(> .jupyter-widgets)') || one.textContent === 'Loading widget...')
  .map(one => {
    const root = one.firstElementChild ?? one, said = getComputedStyle(root, '::before').content;
    const dim = [...root.children].every(part => getComputedStyle(part).pointerEvents === 'none');
    if (said === 'none' && root !== one) return 'running';
    return said.includes('Not running. Press ▸▸') && dim ? 'asleep' : 'misleading';
  })"""
OWN = ("widget model not found", "Canceled future")  # JupyterLab's words to itself when a kernel goes
CHAPTER = json.loads((Path(__file__).resolve().parents[2] / "workbook" / NAME).read_text(encoding="utf-8"))
PANELS = sum(
    bool(re.search(r"\b(asking|lessons|own_tank|panels)\.(?!\w+\.picture\()", "".join(cell["source"])))
    for cell in CHAPTER["cells"]
    if cell["cell_type"] == "code"
)
SAVE = "async () => { await window.chapter.context.save(); }"
RESTART = (
    "async () => { await window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart(); }"
)
SHUT_DOWN = "async () => { await window.jupyterapp.shell.currentWidget.sessionContext.shutdown(); }"


def start(chapter):
    """Do what the line under the title says."""
    page = chapter.page
    page.get_by_role("button", name="Restart the kernel and run all cells").click()
    page.locator(".jp-Dialog").get_by_text("Restart", exact=True).click()
    page.wait_for_function(RAN)
    wait_for_panels(page, "running")
    chapter.listen().settle()
    assert chapter.complaints == []


def wait_for_panels(page, state):
    """Wait until all panels are as ``state`` says."""
    page.wait_for_function(
        f"state => {{ const all = ({SEEN})(); return all.length === {PANELS} && all.every(one => one === state); }}",
        arg=state,
    )


def test_the_first_minutes(chapter):
    """Started, restarted and no more, closed and opened again, started again; then keys at random."""
    page = chapter.page
    page.set_viewport_size({"width": 1366, "height": 768})
    chapter.open(NAME)
    chapter.show("start-opened")
    before = keys.cells(page)
    start(chapter)
    chapter.show("start-ran")

    page.evaluate(RESTART)
    wait_for_panels(page, "asleep")
    chapter.show("start-restarted-only")
    page.evaluate(SAVE)
    page.evaluate(SHUT_DOWN)
    page.reload()
    page.locator(".jp-Notebook").wait_for()
    wait_for_panels(page, "asleep")
    chapter.show("start-opened-again")

    start(chapter)
    assert keys.cells(page) == before

    pressed = keys.wander(chapter, COUNT, SEED)
    assert keys.shipped(page, before) == before, pressed
    page.evaluate(SAVE)
    stored = json.loads((chapter.workbook / NAME).read_text(encoding="utf-8"))["cells"]
    ids = [one[0] for one in before]
    assert [cell["id"] for cell in stored if cell["id"] in ids] == ids
    chapter.errors[:] = [error for error in chapter.errors if not any(own in error for own in OWN)]
