"""What the tests of the real window share."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import QCoreApplication, QEvent

from app.window.main_window import MainWindow


@pytest.fixture
def let_go() -> Callable[[MainWindow], None]:
    """Close a window unasked at the end of a test and delete it there and then, so that none outlives its test."""

    def leave(window: MainWindow) -> None:
        window.document.cancel_gesture()
        window.measurements.forget()
        window.document.stack.setClean()
        window.close()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    return leave
