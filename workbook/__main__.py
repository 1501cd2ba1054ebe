"""``python3 workbook``: set up once, then open JupyterLab at chapter 0. Options go on to JupyterLab."""

import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "lib"))
import bootstrap

bootstrap.run("stilltank", ["open"] + sys.argv[1:])
