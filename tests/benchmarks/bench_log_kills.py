"""200 kills while two writers add visits to one log; counts lines that were said to be kept and are not there."""

import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from stilltank.season import log

WRITER = """
import sys
from stilltank.season.log import append
for number in range(10_000):
    append("my-log.csv", {"date": "2027-06-01", "level": "20", "note": f"{sys.argv[1]}-{number}"})
    print(f"{sys.argv[1]}-{number}", flush=True)
"""
KILLS = 200


def main() -> None:
    """Kill writers at chance moments, two at a time in one log for each ten kills."""
    rng, lost, kept = random.Random(16), 0, 0
    for each in range(KILLS // 10):
        folder, promised = Path(tempfile.mkdtemp()), []
        for number in range(5):
            pair = [
                subprocess.Popen(
                    [sys.executable, "-c", WRITER, f"{name}{number}"],
                    cwd=folder,
                    stdout=subprocess.PIPE,
                    text=True,
                )
                for name in "ab"
            ]
            first = [one.stdout.readline() for one in pair]  # both are at work before either is killed
            time.sleep(rng.random() / 4)
            for one in pair:
                one.send_signal(signal.SIGKILL)
            rest = [line for one in pair for line in one.stdout.read().split("\n")[:-1]]
            promised += [*(line.strip() for line in first), *rest]
        notes = [visit.note for visit in log.read(folder / "my-log.csv").visits]
        lost += len(set(promised) - set(notes)) + len(notes) - len(set(notes))
        kept += len(promised)
        print(f"log {each + 1}: {len(promised)} lines promised, {lost} lost so far")
    print(f"{KILLS} kills, {kept} lines, {lost} lost")
    assert lost == 0
