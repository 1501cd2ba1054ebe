"""Processes that keep work in one file at the same time, or are killed while they do; what is left is counted."""

import random
import signal
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter, sleep

from stilltank.learning.progress import Progress
from stilltank.units import Problem

# One question of its own for every second save, and one that all answer: both ways of losing an attempt.
WRITER = """
import sys, time
from stilltank.learning.progress import Progress

name, saves, pause = sys.argv[1], int(sys.argv[2]), float(sys.argv[3])
progress = Progress.open("A1", ".")
for number in range(saves):
    question = "01-shared" if number % 2 else f"01-{name}-{number}"
    progress.record_answer(question, f"{name} {number}", "other", chapter="01")
    print(question, f"{name} {number}", sep="\\t", flush=True)
    time.sleep(pause)
"""


def begin(folder, name, saves, pause=0):
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, name, str(saves), str(pause)],
        cwd=folder,
        stdout=subprocess.PIPE,
        text=True,
    )


def said(process):
    """What a process said was kept, as pairs of question and attempt; a line cut short was not said."""
    lines = process.stdout.read().split("\n")[:-1]
    return [tuple(line.split("\t")) for line in lines]


def kept(folder):
    """What the file holds, as pairs of question and attempt."""
    answers = Progress.open("A1", folder).answers
    return [(question, typed) for question, entry in answers.items() for typed in entry["typed"]]


def lost_answers(folder, saves, processes):
    """Let processes share out saves of one learner's work; gives what was said to be kept and is not there once."""
    share = [saves // processes + (number < saves % processes) for number in range(processes)]
    running = [begin(folder, f"p{number}", part) for number, part in enumerate(share)]
    promised = [pair for process in running for pair in said(process)]
    assert [process.wait() for process in running] == [0] * processes
    assert len(promised) == saves
    held = kept(folder)
    return [pair for pair in promised if held.count(pair) != 1]


@dataclass
class Found:
    """What kills left behind."""

    lost: int = 0
    unreadable: int = 0
    parts: int = 0
    left: int = 0
    longest: float = 0.0
    usual: float = float("inf")


def killed_saves(folder, kills, seed=12):
    """Kill a writer in the middle of its work, again and again, beside another that lives; each time open and save."""
    chance, found = random.Random(seed), Found()
    living, promised = begin(folder, "living", 10_000, pause=0.2), []
    for number in range(kills):
        doomed = begin(folder, f"p{number}", 10_000)
        promised.append(tuple(doomed.stdout.readline().rstrip("\n").split("\t")))
        sleep(chance.uniform(0, 0.03))
        doomed.send_signal(signal.SIGKILL)
        doomed.wait()
        promised += said(doomed)
        found.parts += sum(path.name.endswith(".part") for path in Path(folder).iterdir())
        try:
            progress = Progress.open("A1", folder)
        except Problem:
            found.unreadable += 1
            continue
        start = perf_counter()
        progress.record_answer(f"01-mine-{number}", "1 g", "right", chapter="01")
        taken = perf_counter() - start
        found.longest, found.usual = max(found.longest, taken), min(found.usual, taken)
    living.kill()
    living.wait()
    promised += said(living)
    held = set(kept(folder))
    found.lost = sum(pair not in held for pair in promised)
    found.left = sum(path.name.startswith(".") for path in Path(folder).iterdir())
    return found
