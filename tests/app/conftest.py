"""What the tests of the real window share."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings, QTimer
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window.keeping import asking, crash, recovery
from app.window.shell import main
from app.window.shell.main_window import MainWindow

_APPLICATION = QApplication.instance() or QApplication([])
"""The one application of a run, whatever asks for one first: a page wants less of it than a window."""


@pytest.fixture(autouse=True)
def no_window_stays() -> Iterator[None]:
    """Fail a test that leaves a window behind, whose timers would go on in the tests after it."""
    before = set(map(id, _windows()))
    yield
    left = [one for one in _windows() if id(one) not in before]
    for one in left:
        one.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert not left, f"{len(left)} windows outlive the test"


def _windows() -> list[MainWindow]:
    return [one for one in QApplication.topLevelWidgets() if isinstance(one, MainWindow)]


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


@pytest.fixture
def program(window: MainWindow) -> Callable[[Path, Callable[[MainWindow], None]], int]:
    """Run the program on a file, do something in its window, then close and delete it; the exit code."""

    def run(path: Path, do: Callable[[MainWindow], None]) -> int:
        failed: list[BaseException] = []

        def work() -> None:
            try:
                [made] = [one for one in _windows() if one is not window]
                do(made)
            except BaseException as error:  # handed on below: in here it would be told to the person
                failed.append(error)
            for one in _windows():
                one.document.stack.setClean()
                one.close()

        QTimer.singleShot(0, work)
        code = main.run(path)
        for one in _windows():
            if one is not window:
                one.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        if failed:
            raise failed[0]
        return code

    return run


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    """A window on an empty build, its settings and copies in a folder of their own; a question fails the test."""
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path / "settings"))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    monkeypatch.setattr(crash, "recovery_folder", lambda: tmp_path / "recovery")
    monkeypatch.setattr(asking, "what_about_unsaved", lambda *_: pytest.fail("asked without need"))
    monkeypatch.setattr(asking, "what_about_changed", lambda *_, **__: pytest.fail("asked without need"))
    monkeypatch.setattr(asking, "which_copy", lambda *_: pytest.fail("offered without need"))
    monkeypatch.setattr(asking, "tell", lambda *words: pytest.fail(f"told {words}"))
    made = MainWindow()
    made.show()
    yield made
    let_go(made)
