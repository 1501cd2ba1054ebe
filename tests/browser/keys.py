"""Keys pressed where a hand may be: on a control, on a cell, anywhere. What was shipped stays as it was."""

import random

from large_type import panel

# What a notebook takes as a command, beside what leaves a control or runs its cell again.
COMMANDS = (
    *("x", "d d", "m", "r", "y", "1", "a", "b", "c", "v", "0 0", "i i", "j", "k", "z", "l", "o"),
    *("Shift+M", "Shift+A", "Shift+B", "Shift+J", "Shift+K", "Shift+L", "Shift+R", "Shift+Z"),
    *("Control+Enter", "Shift+Enter", "Alt+Enter", "Control+Backspace", "Control+Shift+M"),
    *("Control+Shift+ArrowDown", "Control+Shift+ArrowUp", "Shift+ArrowDown", "Escape"),
)
ANY = (
    *"abcdefghijklmnopqrstuvwxyz0123456789",
    *COMMANDS,
    *("ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight", "Enter", "Tab", "Shift+Tab", "Space", "Home", "End"),
    *("Backspace", "Delete", "PageUp", "PageDown", "Control+Z", "Control+X", "Control+V", "Control+Shift+-"),
)
CONTROL = ", ".join(
    f".jp-Cell-outputArea {tag}" for tag in ("select", "button", "input[type=checkbox]", "[role=slider]")
)
CELLS = """() => {
  window.chapter ??= window.jupyterapp.shell.currentWidget;
  return window.chapter.content.model.sharedModel.cells
    .map(one => [one.id, one.cell_type, one.getMetadata('editable') === false ? one.getSource() : '']);
}"""


def cells(page):
    """Id and kind of each cell of the chapter, and the text of those that are locked."""
    return [tuple(one) for one in page.evaluate(CELLS)]


def shipped(page, before):
    """Those of the cells that were there before, in the order in which they now are."""
    known = {one[0] for one in before}
    return [one for one in cells(page) if one[0] in known]


def hold(element):
    """Give something the focus, and remember what has it."""
    element.focus()
    element.evaluate("one => { window.held = one; }")


def press(page, keys):
    for key in keys.split():
        page.keyboard.press(key)


def strays(run, title, role):
    """What keys pressed on a control of a panel do beyond it; empty when they stay there."""
    page, before = run.page, cells(run.page)
    control = panel(run, title).get_by_role(role).last
    found = []
    for keys in COMMANDS:
        hold(control)
        press(page, keys)
        if page.locator(".jp-Dialog").count():
            found.append(f"{keys} opens a dialog")
            page.keyboard.press("Escape")
        if not page.evaluate("document.activeElement === window.held"):
            found.append(f"{keys} takes the focus away")
        if cells(page) != before:
            found.append(f"{keys} changes the cells")
            break
    run.settle()
    return found


def wander(run, count, seed):
    """Press keys at random on controls, on cells, and wherever the focus then is; return what was pressed."""
    page, chance, pressed = run.page, random.Random(seed), []
    for _ in range(count):
        goal = chance.choice(("control", "cell", "stay", "stay"))
        found = page.locator({"control": CONTROL, "cell": ".jp-Notebook .jp-Cell"}.get(goal, "body"))
        if goal != "stay":
            found.nth(chance.randrange(found.count())).focus()
        keys = chance.choice(ANY)
        press(page, keys)
        pressed.append(f"{keys} ({goal})")
        if page.locator(".jp-Dialog").count():
            page.keyboard.press("Escape")
    return pressed
