"""``python3 tests``: set up once, then run the tests and the notebooks. Options go on to pytest.

``python3 tests reference``, ``browser`` or ``benchmarks`` runs one of the folders that are left out otherwise.
"""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "lib"))
import bootstrap

NEEDS = {
    "reference": "reference",
    "browser": "browser",
    "benchmarks": "reference",
}  # folder: further packages
BENCHMARKS = ["-s", "-o", "python_files=bench_*.py", "-o", "python_functions=main bench_* test_*"]

args = sys.argv[1:]
folder = args[0] if args and args[0] in NEEDS else None
if folder:
    args = ["tests/" + folder] + args[1:] + (BENCHMARKS if folder == "benchmarks" else [])
os.chdir(str(bootstrap.ROOT))
bootstrap.run("pytest", args, extra=NEEDS.get(folder))
