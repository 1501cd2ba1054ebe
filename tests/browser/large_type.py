"""Large type, as a viewer in the last row sees it: words of 1/50 of the screen, the key number of 1/25."""

import re

SCREENS = [(1024, 768), (1366, 768), (1920, 1080)]
# What a viewer in the last row sees of a panel: heights in CSS pixels, and the lines of words by their size on screen.
SEEN = """root => {
  const height = one => parseFloat(getComputedStyle(one).fontSize);
  const all = (css, inside = root) => [...inside.querySelectorAll(css)];
  const shown = one => one.getBoundingClientRect().height > 0;
  const image = root.querySelector('figure img');
  const svg = new DOMParser().parseFromString(
    new TextDecoder().decode(Uint8Array.from(atob(image.src.split('base64,')[1]), c => c.charCodeAt(0))), 'text/xml');
  const box = svg.documentElement.getAttribute('viewBox').split(' ').map(Number);
  const size = image.getBoundingClientRect();
  const scale = Math.min(size.width / box[2], size.height / box[3]);  // object-fit: contain
  const drawn = [...svg.querySelectorAll('text')].map(one =>
    scale * parseFloat((one.getAttribute('style') || '').match(/([\\d.]+)px/)[1]));
  const words = all('.widget-label, .jupyter-widgets label, input, select, button').filter(shown)
    .filter(one => one.textContent.trim() || one.value);
  const parts = [...words, ...all('.stilltank-key, .stilltank-sentence p'), image];
  const boxes = parts.map(one => one.getBoundingClientRect());
  return {
    figure: Math.min(...drawn), words: Math.min(...words.map(height)),
    sentence: Math.min(...all('.stilltank-sentence p').map(height)),
    key: Math.min(...all('.stilltank-key').map(height)),
    high: Math.max(...boxes.map(b => b.bottom)) - root.getBoundingClientRect().top,
    wide: Math.max(...boxes.map(b => b.right)) - Math.min(...boxes.map(b => b.left)),
    right: Math.max(...boxes.map(b => b.right)), cut: all('.widget-label, label, label span, button').filter(shown)
      .filter(one => one.scrollWidth > one.clientWidth + 1).length,
  };
}"""


def panel(run, title):
    """The box that holds a panel."""
    return run.outputs.locator(".widget-vbox", has=run.page.get_by_text(title, exact=True)).first


def enlarge(chapter, title, large=True):
    """Give a panel large type, or the usual one; the figure comes anew from the kernel."""
    one = panel(chapter, title)
    box, before = one.get_by_role("checkbox"), one.locator("img").get_attribute("src")
    if box.is_checked() != large:
        box.set_checked(large)
        chapter.settle()
        assert one.locator("img").get_attribute("src") != before
    assert one.evaluate("root => root.classList.contains('stilltank-large')") == large


def faults(chapter, title, name):
    """What is too small, cut off or beyond the screen in a panel in large type; a picture of it is kept as ``name``."""
    width, height = (chapter.page.viewport_size[side] for side in ("width", "height"))
    one = panel(chapter, title)
    enlarge(chapter, title)
    seen = one.evaluate(SEEN)
    print(f"{width}x{height} {title}: " + ", ".join(f"{k} {v:.1f}" for k, v in seen.items()))
    one.evaluate("root => root.scrollIntoView({block: 'start'})")
    chapter.show(f"{name}-large-{width}-{re.sub('[^a-z]+', '-', title.lower())}")
    found = [f"{k} {seen[k]:.1f}" for k in ("figure", "words", "sentence") if seen[k] < height / 50]
    found += [f"key {seen['key']:.1f}"] if seen["key"] < height / 25 else []
    room = chapter.page.locator(".jp-WindowedPanel-outer, .jp-Notebook").first.evaluate(
        "one => one.clientHeight"
    )
    found += [f"{seen['high']:.0f} high in {room}"] if seen["high"] > room else []
    found += [f"{seen['cut']} labels cut off"] if seen["cut"] else []
    found += [f"reaches {seen['right']:.0f} of {width}"] if seen["right"] > width else []
    return [f"{title}: {fault}" for fault in found]
