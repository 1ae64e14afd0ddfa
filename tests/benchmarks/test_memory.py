"""Ten thousand edits and ten thousand undos through the real document and every view of the window: what stays behind.

The history keeps a thousand steps, each a build that shares its unchanged sections with its neighbours, and no
solutions: those are worked out anew on the way back. What grows after the first five hundred edits is therefore the
second half of the history and nothing else. The vehicle of three angles and a length goes through the whole count, the
busiest sample through a tenth of it.
"""

import gc
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QSettings
from PySide6.QtWidgets import QApplication

from app.window.document import UNDO_STEPS
from app.window.shell.main_window import MainWindow
from geometry import Build, edited

STATUS = Path("/proc/self/statm")
PAGE_BYTES = 4096
FIRST = 500


def hurry() -> Build:
    return edited(
        Build(),
        {
            "powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.4,
            "readings.shaft_slope_deg": 10.8, "readings.shaft_length_mm": 1524.0,
        },
    )  # fmt: skip


def turn() -> None:
    """What the running event loop does between a person's steps: paint, and delete what was put away.

    Outside of the loop Qt keeps widgets that await deletion, here one a step and 20 kB each.
    """
    QApplication.processEvents()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def held() -> float:
    """Memory of the process in megabytes once everything that can go has gone."""
    turn()
    gc.collect()
    return int(STATUS.read_text(encoding="ascii").split()[1]) * PAGE_BYTES / 1e6


@pytest.fixture
def window_of(tmp_path):
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    application = QApplication.instance() or QApplication([])
    made = []

    def show(build: Build) -> MainWindow:
        window = MainWindow(build)
        window.keeper.drop()
        window.drawing.load()
        window.resize(1400, 900)
        window.show()
        application.processEvents()
        made.append(window)
        return window

    yield show
    for window in made:
        window.document.stack.setClean()
        window.close()
        window.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def edit(window: MainWindow, number: int) -> None:
    window.document.apply({"axle.pinion_slope_deg": 2.0 + (number % 97) / 50.0}, f"pinion {number}")
    if number % 20 == 0:
        turn()  # now and then, as a person sees every edit


def go(window: MainWindow, count: int) -> tuple[float, float]:
    """Growth after the first edits over the rest of the edits, and over as many undos, MB.

    Undos that find the history empty are preceded by an edit, so that each of them has a step to take back.
    """
    for number in range(FIRST):
        edit(window, number)
    start = held()
    for number in range(FIRST, count):
        edit(window, number)
    after_edits = held() - start
    undone = 0
    while window.document.stack.canUndo() and undone < count:
        window.document.undo()
        undone += 1
        if undone % 20 == 0:
            turn()
    for number in range(undone, count):
        edit(window, number)
        window.document.undo()
    return after_edits, held() - start


@pytest.mark.skipif(not STATUS.exists(), reason="memory of the process is read where the system tells it in a file")
def test_ten_thousand_edits_and_undos(window_of, record):
    window = window_of(hurry())
    edits, undos = go(window, 10_000)
    assert window.document.stack.count() <= UNDO_STEPS
    record("growth over 10,000 edits, three angles and a length", edits, "MB", most=5.0)
    record("growth over 10,000 edits and 10,000 undos", undos, "MB", most=5.0)


@pytest.mark.skipif(not STATUS.exists(), reason="memory of the process is read where the system tells it in a file")
def test_a_thousand_edits_and_undos_of_the_busiest_sample(window_of, record, busiest_path):
    window = window_of(Build.model_validate_json(busiest_path.read_text(encoding="utf-8")))
    edits, undos = go(window, 1_000)
    record("growth over 1,000 edits, busiest sample", edits, "MB", most=5.0)
    record("growth over 1,000 edits and 1,000 undos", undos, "MB", most=5.0)
