"""Still Tank Workbook: the library under the chapters.

Import what you need from the floor it lives on, for example
``from stilltank.science import mixing`` or ``from stilltank.units import Q``.
Importing this package alone loads nothing heavy.
"""

__version__ = "0.1.0"
