"""What is seen of a figure: its words, and whether they cover each other."""

import itertools

from matplotlib.backends.backend_agg import FigureCanvasAgg
from stilltank.show.figures.picture import house_style


def texts(figure):
    return [one for axes in figure.axes for one in axes.texts if one.get_text() and one.get_visible()]


def overlaps(figure):
    """Pairs of labels that cover each other, by more than half a pixel."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    with house_style():
        figure.canvas.draw()
    boxes = [(one.get_text(), one.get_window_extent(renderer)) for one in texts(figure)]
    legends = [axes.get_legend() for axes in figure.axes]
    boxes += [("legend", one.get_window_extent(renderer)) for one in legends if one]
    found = []
    for (a, one), (b, two) in itertools.combinations(boxes, 2):
        wide = min(one.x1, two.x1) - max(one.x0, two.x0)
        high = min(one.y1, two.y1) - max(one.y0, two.y0)
        if wide > 0.5 and high > 0.5:
            found.append((a, b))
    outside = [
        text for text, box in boxes
        if box.x0 < -1 or box.y0 < -1 or box.x1 > figure.bbox.width + 1 or box.y1 > figure.bbox.height + 1
    ]  # fmt: skip
    return found, outside
