"""The lesson pages, a file each: ``PAGE``, what it ``SAYS`` and which numbers are ``GIVEN``.

``SAYS`` holds the library's words for a text that stands on the page exactly so; ``GIVEN`` the conditions of a
question, and labels as somebody reads them: nothing to compute. ``EXPLORED`` are the panels of its script.
"""

import html
import re


def key(panel, **controls):
    """The number that a panel shows large, with these controls, as text."""
    for name, value in controls.items():
        row = panel.rows[name]
        getattr(row, "box", row).value = value
    return html.unescape(re.sub("<[^>]+>", "", panel.answer.key))
