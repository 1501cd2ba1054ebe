"""``python3 tests``: set up once, then run the tests and the notebooks. Options go on to pytest.

``python3 tests reference``, ``browser``, ``docs`` or ``benchmarks`` runs one of the folders that are left out
otherwise. All ordinary tests share the cores of the machine; with ``-n 0`` they run in one process.
"""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "lib"))
import bootstrap

NEEDS = {
    "reference": ["reference"],
    "browser": ["browser"],
    "docs": ["docs"],
    "benchmarks": ["reference", "browser"],
}  # folder: the folders whose packages it takes
BENCHMARKS = ["-s", "-o", "python_files=bench_*.py", "-o", "python_functions=main bench_* test_*"]
# One file stays with one process: a notebook's cells need one kernel. pytest makes it one process again with --pdb.
SHARED = ["-n", "logical", "--maxprocesses", "8", "--dist", "loadfile"]

args = sys.argv[1:]
folder = args[0] if args and args[0] in NEEDS else None
if folder:
    args = ["tests/" + folder] + args[1:] + (BENCHMARKS if folder == "benchmarks" else [])
elif all(one.startswith("-") and not one.startswith(("-n", "-p", "-s", "--numprocesses")) for one in args):
    args = SHARED + args  # no file, no word and no other way of sharing is asked for
os.chdir(str(bootstrap.ROOT))
bootstrap.run("pytest", args, extra=NEEDS.get(folder, []))
