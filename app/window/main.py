"""Opens the window and keeps it open, whatever happens."""

from __future__ import annotations

import sys
from pathlib import Path

from PySide6.QtWidgets import QApplication

from app.files import FileTrouble, read_build, sample_path
from app.window import asking
from app.window.crash import Watch
from app.window.main_window import MainWindow
from app.window.recovery import left_copies
from app.window.settings import NAME, note_recent
from geometry.document import Build


def run(path: Path | None) -> int:
    """Open the window with a build file, or with a sample, and return the exit code once it is closed.

    Raises
    ------
    FileTrouble
        When the named file cannot be opened.
    """
    build = _sample() if path is None else read_build(path)
    application = QApplication.instance() or QApplication(sys.argv[:1])
    application.setApplicationName(NAME)
    application.setOrganizationName(NAME)
    watch = Watch()
    watch.install()
    try:
        if path is not None:
            note_recent(path)
        window = MainWindow(build, path)
        watch.guard(window, window.keeper.keep)
        window.show()
        offer_recovery(window)
        return int(application.exec())
    finally:
        watch.remove()


def offer_recovery(window: MainWindow) -> None:
    """Offer builds that a window kept which ended without saving: the first that is taken is opened."""
    for copy in left_copies():
        if asking.whether_to_recover(window, copy.name, copy.when):
            window.document.open(copy.build, copy.origin)
            window.document.mark_unsaved()
            window.keeper.keep()
            copy.throw_away()
            return
        copy.throw_away()


def _sample() -> Build:
    """The sample, or an empty build where the samples are not there."""
    try:
        return read_build(sample_path())
    except FileTrouble:
        return Build()
