"""Stray keys and orders of cells in number: what the gate tries a tenth of. Nothing shipped may change.

``python3 tests benchmarks -k "keys and not orders"`` presses 200 keys at random in each chapter; ``-k orders`` runs
each chapter in ten orders of its cells. Both end on the first harm done.
"""

import importlib.util
import sys
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
KEYS, ORDERS = 200, 10


def bench_keys(request, tmp_path_factory):
    sys.path[:0] = [str(TESTS), str(TESTS / "browser")]  # as pytest does when it runs that folder
    spec = importlib.util.spec_from_file_location("browser_conftest", TESTS / "browser" / "conftest.py")
    conftest = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(conftest)
    import keys
    import tidy

    labs = conftest.lab.__wrapped__(tmp_path_factory)
    browsers = conftest.browser.__wrapped__()
    lab, browser = next(labs), next(browsers)
    request.addfinalizer(lambda: next(labs, None))
    request.addfinalizer(lambda: next(browsers, None))
    for seed, path in enumerate(tidy.chapters()):
        with conftest.page_of(browser, viewport={"width": 1280, "height": 800}) as page:
            chapter = conftest.Chapter(lab, page)
            chapter.open(path.name).run()
            before = keys.cells(page)
            pressed = keys.wander(chapter, KEYS, seed)
            assert keys.shipped(page, before) == before, pressed
            print(f"{path.name}: {len(pressed)} keys, {len(before)} cells as shipped")


def bench_orders(tmp_path, monkeypatch):
    sys.path.insert(0, str(TESTS))
    import test_run_order

    test_run_order.tell_kernels(tmp_path)
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    for path in test_run_order.CHAPTERS:
        for seed in range(ORDERS):
            assert test_run_order.complaints(path, tmp_path, seed) == [], seed
        print(f"{path.name}: {ORDERS} orders")
