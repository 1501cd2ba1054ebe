"""Slider to picture in a real browser: each panel from chapter 1 on, beside a slider that only echoes its number.

The goal is 100 ms in the middle and 250 ms at the 95th percentile, on two idle cores. The clock is the page's own: it
starts with the key and stops when the new picture has been decoded. From chapter 2 on the slider that costs most is
moved, from its low end always onwards, so that nothing answers from memory; some have few steps.
"""

import importlib.util
import os
import statistics
import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
PRESSES = 24
LAST = -1
PANELS = {  # the number of the slider that is moved
    "One salt in a tank": LAST,
    "A recipe in your water": LAST,
    "One bottle or two": LAST,
    "What the meter shows": LAST,
    "Acid for a tank": 1,  # alkalinity
    "Acid drop by drop": 0,  # alkalinity
    "The days after a dose": 1,  # alkalinity
    "What plants do to the pH": 1,  # phosphorus
    "The level through the season": 0,  # plants
    "A storm and the overflow hole": 1,  # rain
    "Two ways to top up": 0,  # plants
    "How long can I leave it?": 2,  # days since planting
    "The tank day by day": 0,  # plants
    "Oxygen over depth": 0,  # depth
    "Your own k": 0,  # depth
    "Oxygen through a crop of lettuce": 0,  # temperature
    "A refill": 0,  # level
    "Warmth and the first flower": 0,  # temperature
    "Flowers from July to September": 0,  # plants
}
NOTEBOOK = """
import ipywidgets as widgets
from stilltank.chapters.flowering_schedules import panels as flowering
from stilltank.chapters.mixing import panels as mixing
from stilltank.chapters.ph import panels as ph
from stilltank.chapters.root_zones import panels as roots
from stilltank.chapters.water_budget import panels as water
slider, echo = widgets.FloatSlider(value=50, readout=False), widgets.HTML()
def tell(_=None): echo.value = f'<p class="echo">{slider.value:g}</p>'
slider.observe(tell, "value"); tell()
display(widgets.VBox([widgets.HTML("<p>Echo</p>"), slider, echo]))
for make in (mixing.salt_panel, mixing.recipe_panel, mixing.bottle_panel, mixing.meter_panel,
             ph.dose_panel, ph.titration_panel, ph.week_panel, ph.drift_panel,
             water.level_panel, water.storm_panel, water.strategies_panel, water.away_panel,
             roots.zones_panel, roots.oxygen_panel, roots.film_panel, roots.breathing_panel, roots.refill_panel,
             flowering.rate_panel, flowering.succession_panel):
    display(make())
"""
# Moves the slider with a key event as the browser would, and waits for what follows.
PRESS = """([root, key, css, which]) => new Promise((done, fail) => {
  const slider = [...root.querySelectorAll('[role=slider]')].at(which);
  const start = performance.now();
  const late = setTimeout(() => { watch.disconnect(); fail(new Error('nothing changed in 10 s')); }, 10000);
  const watch = new MutationObserver(async () => {
    const found = root.querySelector(css);
    if (!found || found === old) return;
    watch.disconnect();
    if (found.decode) await found.decode();
    requestAnimationFrame(() => { clearTimeout(late); done(performance.now() - start); });
  });
  const old = root.querySelector(css);
  watch.observe(root, {childList: true, subtree: true});
  slider.focus();
  slider.dispatchEvent(new KeyboardEvent('keydown', {key, code: key, bubbles: true, cancelable: true}));
})"""

AT_ITS_END = """([root, which]) => {
  const slider = [...root.querySelectorAll('[role=slider]')].at(which);
  return slider.getAttribute('aria-valuenow') === slider.getAttribute('aria-valuemax');
}"""


def conftest():
    """The fixtures of tests/browser, which stand in a conftest there."""
    spec = importlib.util.spec_from_file_location("browser_conftest", TESTS / "browser" / "conftest.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


browser_tests = conftest()
lab, browser, chapter = browser_tests.lab, browser_tests.browser, browser_tests.chapter


def timed(page, root, css, which):
    """Milliseconds of each key press, the first few for warming up; the last slider goes to and fro."""
    found, handle = [], root.element_handle()
    if which != LAST:
        page.evaluate(PRESS, [handle, "Home", css, which])
    for n in range(PRESSES + 4):
        if which != LAST and page.evaluate(AT_ITS_END, [handle, which]):
            break
        key = "ArrowLeft" if which == LAST and n % 2 == 0 else "ArrowRight"
        found.append(page.evaluate(PRESS, [handle, key, css, which]))
        page.wait_for_timeout(60)
    return found[4:] if len(found) > PRESSES else found[2:]


def bench_slider_to_picture(chapter):
    """Print median and 95th percentile of each panel, and their ratio to the echo."""
    import nbformat

    cell = nbformat.v4.new_code_cell(NOTEBOOK)
    metadata = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(
        nbformat.v4.new_notebook(cells=[cell], metadata=metadata), chapter.workbook / "90_bench.ipynb"
    )
    chapter.open("90_bench.ipynb").run()
    page, peer = chapter.page, None
    print(
        f"\nslider to picture, {PRESSES} presses each, load {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores"
    )
    for title, which in {"Echo": LAST, **PANELS}.items():
        root = chapter.outputs.locator(".widget-vbox", has=page.get_by_text(title, exact=True)).first
        root.wait_for(timeout=30_000)
        times = timed(page, root, ".echo" if title == "Echo" else "figure img", which)
        middle, late = statistics.median(times), statistics.quantiles(times, n=20)[-1]
        peer = peer or middle
        print(
            f"{title:>33}: median {middle:.0f} ms, 95th percentile {late:.0f} ms, {middle / peer:.1f} echoes"
        )
    assert chapter.complaints == []
