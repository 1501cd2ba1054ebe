"""Still Tank Workbook: the library under the chapters.

Import what you need from the floor it lives on, for example
``from stilltank.science import mixing`` or ``from stilltank.units import Q``.
Importing this package alone loads nothing heavy.
"""

import os

COMMAND = "py workbook" if os.name == "nt" else "python3 workbook"  # what starts it, in the workbook's folder
__version__ = "0.1.0"
