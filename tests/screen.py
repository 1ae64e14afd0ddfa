"""The screen that nobody sees: a usual one, as Qt's own would be smaller than the least size of the window."""

import atexit
import json
import os
import tempfile
from pathlib import Path

_SCREEN = {"name": "a usual one", "x": 0, "y": 0, "width": 1920, "height": 1080, "logicalDpi": 96, "dpr": 1}


def unseen() -> None:
    """Have Qt show nothing, unless told otherwise already; before anything imports it."""
    if os.environ.setdefault("QT_QPA_PLATFORM", "offscreen") != "offscreen":
        return
    with tempfile.NamedTemporaryFile("w", suffix=".json", delete=False) as file:
        json.dump({"screens": [_SCREEN]}, file)
    atexit.register(Path(file.name).unlink, missing_ok=True)
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={file.name}"
