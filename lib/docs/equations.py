"""Equations as pictures drawn here: the usual way would fetch a program from another computer."""

import base64
import html
import io

from docutils.nodes import SkipNode
from matplotlib.font_manager import FontProperties
from matplotlib.mathtext import math_to_image

SIZE = 11  # points, as the text beside it


def picture(latex):
    """An equation as an image of the page itself, with its source as the words for it."""
    drawn = io.BytesIO()
    math_to_image(f"${' '.join(latex.split())}$", drawn, format="svg", dpi=72, prop=FontProperties(size=SIZE))
    data = base64.b64encode(drawn.getvalue()).decode("ascii")
    return f'<img class="equation" alt="{html.escape(latex)}" src="data:image/svg+xml;base64,{data}">'


def inline(translator, node):
    """Write an equation within a line."""
    translator.body.append(picture(node.astext()))
    raise SkipNode


def block(translator, node):
    """Write an equation on a line of its own."""
    translator.body.append(f'<p class="equation">{picture(node.astext())}</p>')
    raise SkipNode


def setup(app):
    """Let Sphinx draw equations so."""
    app.add_html_math_renderer("drawn", (inline, None), (block, None))
    return {"parallel_read_safe": True}
