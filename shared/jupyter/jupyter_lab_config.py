"""What JupyterLab's server is told beside jupyter_lab_config.json: where custom/custom.css is.

A style of one's own, in ``custom`` of one's own configuration folder, comes first.
"""

from pathlib import Path

from jupyter_core.paths import jupyter_config_dir

c = get_config()  # noqa: F821  (JupyterLab supplies it)
c.LabApp.custom_css = True
c.ServerApp.tornado_settings = {
    "static_custom_path": [
        str(folder / "custom") for folder in (Path(jupyter_config_dir()), Path(__file__).parent)
    ]
}
