"""``python3 workbook``: set up once, then open JupyterLab at chapter 0. Options go on to JupyterLab.

``python3 workbook check`` and the like run that command of ``python -m stilltank``.
"""

import os
import sys

here = os.path.dirname(os.path.abspath(__file__))
# Without this folder: a learner's random.py in it is not taken for Python's own.
sys.path[:] = [one for one in sys.path if os.path.abspath(one) != here]
sys.path.insert(0, os.path.join(os.path.dirname(here), "lib"))
import bootstrap

args = sys.argv[1:]
os.environ["STILLTANK_FOLDER"] = str(
    bootstrap.ROOT
)  # the command is given by the place of this file, not from where
is_command = bool(args) and not args[0].startswith("-")
bootstrap.run("stilltank", args if is_command else ["open"] + args)
