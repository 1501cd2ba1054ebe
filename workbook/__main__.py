"""``python3 workbook``: set up once, then open JupyterLab at chapter 0. Options go on to JupyterLab.

``python3 workbook check`` and the like run that command of ``python -m stilltank``.
"""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "lib"))
import bootstrap

args = sys.argv[1:]
is_command = bool(args) and not args[0].startswith("-")
bootstrap.run("stilltank", args if is_command else ["open"] + args)
