"""Settings of the reference site. Nothing here asks another computer for anything."""

import sys
from pathlib import Path

from stilltank import __version__

sys.path.insert(0, str(Path(__file__).parent))

project = "Still Tank Workbook"
author = "The founders of the Still Tank Workbook"
release = version = __version__
extensions = ["sphinx.ext.autodoc", "numpydoc", "myst_parser", "equations"]
html_math_renderer = "drawn"
templates_path = ["templates"]
html_static_path = ["style"]
html_css_files = ["site.css"]

html_theme = "furo"
html_title = f"{project} {release}"
html_copy_source = html_show_sourcelink = html_show_sphinx = html_show_copyright = False
html_show_search_summary = (
    False  # opened as a file, a page may not fetch the texts that summaries are made from
)
html_use_index = True
add_module_names = False  # the page is the module's own
highlight_language = "none"  # only what says that it is Python is coloured as Python
smartquotes = False  # a quote in a code or a unit stays as it was typed

autodoc_member_order = "bysource"
autodoc_typehints_format = "short"
autodoc_preserve_defaults = True  # a default as it is written, not as Python prints it
python_use_unqualified_type_names = True
python_maximum_signature_line_length = 70
numpydoc_show_class_members = False
numpydoc_class_members_toctree = False
myst_heading_anchors = 3
suppress_warnings = [
    "myst.header"
]  # a page that was written for a reader of files may begin at a lower heading
