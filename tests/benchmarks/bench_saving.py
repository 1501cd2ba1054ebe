"""Work kept by several processes at once, and by processes that are killed: what is lost, and what it costs.

The gate runs a tenth of this in tests/test_files.py. ``pytest -s`` prints the report.
"""

import sys
import tempfile
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from writers import killed_saves, lost_answers

SAVES, PROCESSES, KILLS = 2000, 6, 200


def bench_saving():
    with tempfile.TemporaryDirectory() as folder:
        start = perf_counter()
        lost = lost_answers(Path(folder), SAVES, PROCESSES)
        together = perf_counter() - start
    with tempfile.TemporaryDirectory() as folder:
        start = perf_counter()
        lost += lost_answers(Path(folder), SAVES, 1)
        alone = perf_counter() - start
    print(
        f"\n{SAVES} saves by {PROCESSES} processes: {len(lost)} lost; {together / alone:.1f} of the time of one process"
    )
    with tempfile.TemporaryDirectory() as folder:
        found = killed_saves(Path(folder), KILLS)
    print(
        f"{KILLS} kills: {found.lost} answers lost, {found.unreadable} files unreadable, {found.left} hidden files "
        f"left, {found.parts} parts swept; longest next save {found.longest / found.usual:.1f} of the usual"
    )
    assert lost == []
    assert (found.lost, found.unreadable, found.left) == (0, 0, 0)
