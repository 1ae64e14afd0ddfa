"""From a step of the hand to finished pixels in the whole window, in thousands of small numpy additions.

The window holds every pane, the drawing in it is 1240 by 700 pixels, the build is the busiest sample. A step is over
when everything that follows from it has been painted. A thousand additions of three numbers, timed in turn with the
steps, are the measure: so a slow machine or a slow minute hits both.
"""

import gc
import statistics
import time
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from PySide6.QtCore import QEvent, QObject, QPointF, QSettings, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window.canvas.canvas import Canvas
from app.window.shell.main_window import MainWindow
from geometry import Build

WIDE, HIGH = 1240, 700
STEPS = 100
THREE = np.array([1.0, 2.0, 3.0])


@pytest.fixture(scope="module")
def window(busiest_path, tmp_path_factory) -> Iterator[MainWindow]:
    QSettings.setPath(
        QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path_factory.mktemp("settings"))
    )  # fmt: skip
    application = QApplication.instance() or QApplication([])
    made = MainWindow(Build.model_validate_json(busiest_path.read_text(encoding="utf-8")))
    made.drawing.load()
    made.resize(1920, 1080)
    made.show()
    application.processEvents()
    for _ in range(3):  # the columns' widths follow the window's
        canvas = canvas_of(made)
        made.resize(made.width() + WIDE - canvas.width(), made.height() + HIGH - canvas.height())
        application.processEvents()
    assert abs(canvas_of(made).width() - WIDE) + abs(canvas_of(made).height() - HIGH) < 40
    assert made.drawing.travel.curves.isVisible()
    gc.freeze()  # as the program does
    yield made
    gc.unfreeze()
    made.document.cancel_gesture()
    made.document.stack.setClean()
    made.close()
    made.deleteLater()
    application.processEvents()


def canvas_of(window: MainWindow) -> Canvas:
    assert window.drawing.canvas is not None
    return window.drawing.canvas


class Paints(QObject):
    """Counts how often the drawing has been painted."""

    def __init__(self, canvas: QObject) -> None:
        super().__init__(canvas)
        self.count = 0
        canvas.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        self.count += event.type() == QEvent.Type.Paint
        return False


@pytest.fixture(scope="module")
def paints(window) -> Paints:
    return Paints(canvas_of(window))


def thousand() -> float:
    """Time of a thousand small additions, ms."""
    start = time.perf_counter()
    for _ in range(1000):
        THREE + THREE
    return (time.perf_counter() - start) * 1e3


def pixels(window: MainWindow, paints: Paints, draws: int, painted: int) -> None:
    """Let the event loop run until the step has been drawn and then painted."""
    for _ in range(100):
        QApplication.processEvents()
        if canvas_of(window).draws != draws and paints.count != painted:
            return
    raise AssertionError("the step was never painted")


def steps_of(window: MainWindow, paints: Paints, step: Callable[[int], object]) -> tuple[list[float], list[float]]:
    """Times of steps to finished pixels, and of a thousand additions between them, ms."""
    taken, floor = [], []
    for number in range(STEPS):
        if number % 5 == 0:
            floor.append(thousand())
        draws, painted = canvas_of(window).draws, paints.count
        start = time.perf_counter()
        step(number)
        pixels(window, paints, draws, painted)
        if number:  # the first warms the caches up
            taken.append((time.perf_counter() - start) * 1e3)
    return taken, floor


def p95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


def place(number: int) -> tuple[float, float, float]:
    """A path of the hand round the joint, some 20 mm long, never twice the same place running."""
    return 1633.0 + (number * 7) % 23, -30.0, 646.0 + (number * 5) % 19


def put(
    record, what: str, taken: list[float], floor: list[float], *, most: float | None, tail: float | None = None
) -> None:
    kept = {"floor": statistics.median(floor), "floor_name": "1,000 small numpy additions"}
    record(f"{what}, median", statistics.median(taken), "ms", most=most, **kept)
    record(f"{what}, 95th percentile", p95(taken), "ms", most=tail, **kept)


def test_drag_step(window, paints, record):
    document = window.document
    document.begin_gesture("moving the joint")
    taken, floor = steps_of(
        window, paints, lambda number: document.drag({"powertrain.output_joint_mm": place(number)})
    )  # fmt: skip
    document.end_gesture()
    assert document.stack.count() == 1
    put(record, "drag step to finished pixels", taken, floor, most=12.0)


IN_FOUR_STATES = {
    "state": None, "vehicle.other_axle_rate_n_per_mm": 40.0,
    "use": {"rear_settling_mm": 15.0, "front_settling_mm": 0.0, "rear_most_kg": 150.0, "front_most_kg": 20.0},
}  # fmt: skip
IN_ONE = {"state": None, "use": None}


def test_edit(window, paints, record):
    """All that an edit entails, to its last pixel: the loop runs until it is empty and the drawing is settled.

    With one state, and with four that the vehicle is used in, in turn.
    """
    document = window.document

    def step(number: int) -> None:
        document.apply({"powertrain.output_joint_mm": place(number)}, "joint")
        pixels(window, paints, canvas_of(window).draws - 1, paints.count)
        for _ in range(3):
            QApplication.processEvents()
        assert window.drawing.travel.settled

    taken, floor = {1: [], 4: []}, []
    for number in range(2 * STEPS):
        states, first = (4, 1)[number // 10 % 2], number % 10 == 0
        if first:
            document.apply(IN_FOUR_STATES if states == 4 else IN_ONE, "use")
            assert max(len(document.shown.solution.states), 1) == states
            step(number)
            floor.append(thousand())
            QTest.qWait(30)
        start = time.perf_counter()
        step(number + 1)
        if not first:
            taken[states].append((time.perf_counter() - start) * 1e3)
    put(record, "typed edit until all is settled", taken[1], floor, most=45.0, tail=60.0)
    put(record, "typed edit with four states", taken[4], floor, most=60.0, tail=80.0)
    one, four = (statistics.median(taken[states]) for states in (1, 4))
    record("typed edit with four states, of one", four, "ms", most=1.33, floor=one, floor_name="with one state")


def test_travel_slider(window, paints, record):
    scale = window.drawing.travel.bar.scale
    taken, floor = steps_of(window, paints, lambda number: scale.moved.emit(10.0 + (number * 7) % 31))
    window.drawing.travel.state.to_ride_height()
    put(record, "step of the travel slider to finished pixels", taken, floor, most=20.0)


def test_zoom(window, paints, record):
    canvas = canvas_of(window)

    def step(number: int) -> None:
        view = canvas.view("side")
        assert view is not None
        canvas.look(view.zoomed((700.0, 300.0), 1.15 if number % 2 else 1.0 / 1.15))

    taken, floor = steps_of(window, paints, step)
    canvas.fit()
    put(record, "zoom step to finished pixels", taken, floor, most=20.0)


def test_drag_by_mouse(window, paints, record):
    """A drag from the mouse's own events on, with the ring and the words at the hand."""
    canvas, tool = canvas_of(window), window.drawing.drag
    handle = next(one for one in tool.handles if one.key == "side output joint")
    view = canvas.view(handle.view)
    assert view is not None
    start = QPointF(*view.px(handle.at))

    def send(kind: QEvent.Type, at: QPointF, button: Qt.MouseButton) -> None:
        held = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseButtonRelease else Qt.MouseButton.LeftButton
        free = Qt.KeyboardModifier.AltModifier  # snaps to nothing, so that every move is another place
        QApplication.sendEvent(canvas, QMouseEvent(kind, at, canvas.mapToGlobal(at), button, held, free))

    def move(number: int) -> None:
        by = QPointF(6.0 + (number * 7) % 23, -6.0 - (number * 5) % 19)
        send(QEvent.Type.MouseMove, start + by, Qt.MouseButton.NoButton)

    send(QEvent.Type.MouseButtonPress, start, Qt.MouseButton.LeftButton)
    taken, floor = steps_of(window, paints, move)
    assert tool.dragging
    send(QEvent.Type.MouseButtonRelease, start + QPointF(9.0, -9.0), Qt.MouseButton.LeftButton)
    put(record, "drag step by the mouse, with ring and words at the hand", taken, floor, most=12.0)
    window.document.undo()
