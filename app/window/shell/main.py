"""Opens the window and keeps it open, whatever happens."""

from __future__ import annotations

import gc
import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from app.files import Held, read_held, sweep_drafts
from app.window.keeping.crash import Watch
from app.window.settings import NAME, note_recent
from app.window.shell.main_window import MainWindow
from geometry.document import Build


def run(path: Path | None) -> int:
    """Open the window with a build file, or with the start page, and return the exit code once it is closed.

    Raises
    ------
    FileTrouble
        When the named file cannot be opened.
    """
    held = Held(Build(), None) if path is None else read_held(path)
    application = QApplication.instance() or QApplication(sys.argv[:1])
    application.setApplicationName(NAME)
    application.setOrganizationName(NAME)
    watch = Watch()
    watch.install()
    try:
        if path is not None:
            sweep_drafts(path)
            note_recent(path)
        window = MainWindow(held.build, path, held.digest)
        watch.guard(window, window.keeper.keep)
        # What the window is made of stays to its end: searched for garbage again and again it would stop the hand.
        window.drawing.ready.connect(lambda: gc.freeze())  # noqa: PLW0108  (no signature that Qt could read)
        window.show()
        window.offer_kept()
        return int(application.exec())
    finally:
        watch.remove()
