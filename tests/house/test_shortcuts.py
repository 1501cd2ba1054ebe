"""The shortcuts in shared/jupyter fit the JupyterLab that is installed; tests/browser/ presses the keys."""

import json

import shortcuts

STORED = json.loads(shortcuts.OVERRIDES.read_text(encoding="utf-8"))[shortcuts.PLUGIN]["shortcuts"]


def test_they_are_those_of_this_jupyterlab():
    assert shortcuts.ours(shortcuts.shipped()) == STORED, (
        "JupyterLab binds its keys otherwise than when shared/jupyter/labconfig/default_setting_overrides.json was "
        "written. Run python tests/shortcuts.py, read what changed, and press the keys: python3 tests browser -k keys"
    )


def test_each_key_that_jupyterlab_binds_to_whatever_has_the_focus_is_known():
    """A selector that nobody has seen here may let keys out of a control again."""
    for each in shortcuts.shipped():
        if each["selector"].rpartition(" ")[2].startswith(":focus"):
            assert each["selector"] in shortcuts.TO_CELLS, (
                f"JupyterLab binds {each['keys']} to {each['selector']!r}, which a list or a button matches too. "
                "Say in TO_CELLS of tests/shortcuts.py what it is to be bound to."
            )


def test_every_command_named_here_is_one_of_jupyterlab():
    known = {each["command"] for each in shortcuts.shipped()}
    assert known >= shortcuts.OWN_CELLS | shortcuts.NO_KEY


def test_no_key_that_is_left_on_matches_a_control():
    off = [each for each in STORED if each.get("disabled")]
    on = [each for each in STORED if not each.get("disabled")]
    assert len(off) > len(on) > 20
    for each in on:
        assert ".jp-Cell" in each["selector"] or each["selector"] == shortcuts.NO_CONTROL, each
        assert "," not in each["selector"], "JupyterLab takes no selector with a comma"
        assert each["command"] not in shortcuts.NO_KEY
    assert {(each["command"], tuple(each["keys"])) for each in off} >= {
        ("notebook:cut-cell", ("X",)),
        ("notebook:delete-cell", ("D", "D")),
        ("notebook:change-cell-to-markdown", ("M",)),
        ("notebook:move-cursor-down", ("ArrowDown",)),
        ("kernelmenu:restart", ("0", "0")),
        ("runmenu:run", ("Shift Enter",)),
    }


def test_another_selector_is_seen():
    """A test of the test: the next JupyterLab with the old keys on a new selector."""
    changed = [dict(each) for each in shortcuts.shipped()]
    for each in changed:
        each["selector"] = each["selector"].replace("jp-mod-commandMode", "jp-mod-command")
    assert shortcuts.ours(changed) != STORED


def test_no_button_on_a_cell_moves_copies_or_deletes_it():
    """These buttons lie on each cell that is clicked; the menu has the same commands."""
    shown = json.loads(
        (shortcuts.SCHEMAS_OF_LAB / "cell-toolbar-extension/plugin.json").read_text(encoding="utf-8")
    )
    buttons = {each["name"] for each in shown["jupyter.lab.toolbars"]["Cell"]}
    off = json.loads(shortcuts.OVERRIDES.read_text(encoding="utf-8"))[
        "@jupyterlab/cell-toolbar-extension:plugin"
    ]
    assert {each["name"] for each in off["toolbar"] if each["disabled"]} == buttons
