"""From a step of the hand to finished pixels in the whole window, against a full draw of the same picture.

The window holds every pane, the drawing in it is 1400 by 900 pixels, the build is the busiest sample. A step is over
when the drawing has been painted again. A full draw is `FigureCanvasAgg.draw` of the same picture with all artists and
words, made once, of which nothing but the drawing is timed; both are taken in turn, so that a slow minute hits both.
"""

import statistics
import time
from collections.abc import Iterator

import pytest
from app.sketch.ends import ends_of
from app.sketch.figure import draw_sketch
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PySide6.QtCore import QEvent, QObject, QPointF, QSettings, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.window.shell.main_window import MainWindow
from app.window.travel.scale import TravelScale
from geometry import Build
from geometry.words.solve import Work

WIDE, HIGH = 1400, 900
INCH_PX = 96.0
STEPS = 200


@pytest.fixture(scope="module")
def window(busiest_path, tmp_path_factory) -> Iterator[MainWindow]:
    QSettings.setPath(
        QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path_factory.mktemp("settings"))
    )  # fmt: skip
    application = QApplication.instance() or QApplication([])
    made = MainWindow(Build.model_validate_json(busiest_path.read_text(encoding="utf-8")))
    made.drawing.load()
    made.resize(WIDE, HIGH)
    made.show()
    application.processEvents()
    canvas = made.drawing.canvas
    made.resize(made.width() + WIDE - canvas.width(), made.height() + HIGH - canvas.height())
    application.processEvents()
    made.resize(made.width() + WIDE - canvas.width(), made.height() + HIGH - canvas.height())
    application.processEvents()
    assert (canvas.width(), canvas.height()) == (WIDE, HIGH)
    yield made
    made.document.cancel_gesture()
    made.document.stack.setClean()
    made.close()
    made.deleteLater()
    application.processEvents()


@pytest.fixture(scope="module")
def full_draw(window):
    """Time of one full draw of the picture as it stands at first, ms."""
    build, solution = window.document.build, window.document.solution
    figure = Figure(figsize=(WIDE / INCH_PX, HIGH / INCH_PX), dpi=INCH_PX)
    agg = FigureCanvasAgg(figure)
    draw_sketch(figure, build, solution, ends=ends_of(Work(build), solution))
    agg.draw()

    def timed() -> float:
        start = time.perf_counter()
        agg.draw()
        return (time.perf_counter() - start) * 1e3

    return timed


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
    return Paints(window.drawing.canvas)


def pixels(window: MainWindow, paints: Paints, blits: int, painted: int) -> None:
    """Let the event loop run until the step has been drawn and then painted."""
    canvas = window.drawing.canvas
    for _ in range(100):
        QApplication.processEvents()
        if canvas.blits != blits and paints.count != painted:
            return
    raise AssertionError("the step was never painted")


def steps_of(
    window: MainWindow, paints: Paints, step, full_draw, *, every: int = 25
) -> tuple[list[float], list[float]]:
    """Times of steps to finished pixels, and of full draws between them, ms.

    After the full draws the event loop runs empty, as after any rest of the hand, and one step warms the caches up.
    """
    taken, full = [], []
    for number in range(STEPS):
        if number % every == 0:
            full += [full_draw() for _ in range(3)]
            QTest.qWait(60)
        blits, painted = window.drawing.canvas.blits, paints.count
        start = time.perf_counter()
        step(number)
        pixels(window, paints, blits, painted)
        if number % every:
            taken.append((time.perf_counter() - start) * 1e3)
    return taken, full


def settled_steps(window: MainWindow, paints: Paints, step) -> tuple[list[float], list[float]]:
    """Times of edits that are each left alone, ms: to the first finished pixels, and the work until everything stands
    in its last place and is painted. The pause between the two is no work and is left out. Where the rest followed at
    once, both are one.
    """
    first, whole = [], []
    desk = window.drawing.travel
    for number in range(STEPS // 2):
        QTest.qWait(30)
        assert desk.settled
        blits, painted = window.drawing.canvas.blits, paints.count
        start = time.perf_counter()
        step(number)
        pixels(window, paints, blits, painted)
        shown = time.perf_counter()
        if desk.settled:  # on a machine as slow as that, or as words would stand badly
            first.append((shown - start) * 1e3)
            whole.append(first[-1])
            continue
        while desk.resting_ms > 1:
            time.sleep(0.0005)
        time.sleep(0.002)
        blits, painted = window.drawing.canvas.blits, paints.count
        resumed = time.perf_counter()
        pixels(window, paints, blits, painted)
        assert desk.settled
        first.append((shown - start) * 1e3)
        whole.append((shown - start + time.perf_counter() - resumed) * 1e3)
    return first[1:], whole[1:]


def p95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


def place(number: int) -> tuple[float, float, float]:
    """A path of the hand round the joint, some 20 mm long, never twice the same place running."""
    return 1633.0 + (number * 7) % 23, -30.0, 646.0 + (number * 5) % 19


def put(record, what: str, taken: list[float], full: list[float], *, least: float | None) -> None:
    record(f"{what}, median", statistics.median(taken), "ms", most=16.0)
    record(f"{what}, 95th percentile", p95(taken), "ms", most=33.0)
    if least is not None:
        record(
            f"{what}, against a full draw", statistics.median(taken), "ms", most=least, least=True,
            floor=statistics.median(full), floor_name="FigureCanvasAgg.draw of the same picture",
        )  # fmt: skip


def test_drag_step(window, paints, full_draw, record):
    document, canvas = window.document, window.drawing.canvas
    draws = canvas.full_draws
    document.begin_gesture("moving the joint")
    taken, full = steps_of(
        window, paints, lambda number: document.drag({"powertrain.output_joint_mm": place(number)}), full_draw
    )
    document.end_gesture()
    assert document.stack.count() == 1
    assert canvas.full_draws == draws
    put(record, "drag step to finished pixels", taken, full, least=10.0)


def test_edit(window, paints, full_draw, record):
    document, canvas = window.document, window.drawing.canvas
    draws = canvas.full_draws
    taken, full = steps_of(
        window,
        paints,
        lambda number: document.apply({"powertrain.output_joint_mm": place(number)}, "joint"),
        full_draw,
    )
    assert canvas.full_draws == draws
    put(record, "typed edit close upon the one before, to finished pixels", taken, full, least=None)


def test_edit_left_alone(window, paints, record):
    document, canvas = window.document, window.drawing.canvas
    draws = canvas.full_draws
    first, whole = settled_steps(
        window, paints, lambda number: document.apply({"powertrain.output_joint_mm": place(number)}, "joint")
    )
    assert canvas.full_draws == draws
    put(record, "typed edit, wholly solved, to finished pixels", first, [], least=None)
    record("the same until all is settled, the pause left out, median", statistics.median(whole), "ms")
    record("the same until all is settled, the pause left out, 95th percentile", p95(whole), "ms")


def test_travel_slider(window, paints, full_draw, record):
    scale: TravelScale = window.drawing.travel.bar.scale
    taken, full = steps_of(window, paints, lambda number: scale.moved.emit(10.0 + (number * 7) % 31), full_draw)
    window.drawing.travel.state.to_ride_height()
    put(record, "step of the travel slider to finished pixels", taken, full, least=None)


def test_zoom(window, record):
    canvas = window.drawing.canvas
    taken = []
    for number in range(60):
        camera = canvas.page.camera
        start = time.perf_counter()
        canvas.look(camera.zoomed(1.15 if number % 2 else 1.0 / 1.15, 700.0, 300.0))
        canvas.repaint()
        taken.append((time.perf_counter() - start) * 1e3)
    canvas.fit()
    canvas.repaint()
    record("zoom step to finished pixels, median", statistics.median(taken), "ms", most=33.0)
    record("zoom step to finished pixels, 95th percentile", p95(taken), "ms", most=50.0)


def test_drag_by_mouse(window, paints, full_draw, record):
    """A drag from the mouse's own events on, with the ring and the words at the hand."""
    canvas, tool = window.drawing.canvas, window.drawing.drag
    handle = next(one for one in tool.handles if one.key == "side output joint")
    start = QPointF(*canvas.page.camera.point_px(handle.view, *handle.at))

    def send(kind: QEvent.Type, at: QPointF, button: Qt.MouseButton) -> None:
        held = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseButtonRelease else Qt.MouseButton.LeftButton
        free = Qt.KeyboardModifier.AltModifier  # snaps to nothing, so that every move is another place
        QApplication.sendEvent(canvas, QMouseEvent(kind, at, canvas.mapToGlobal(at), button, held, free))

    def move(number: int) -> None:
        by = QPointF(6.0 + (number * 7) % 23, -6.0 - (number * 5) % 19)
        send(QEvent.Type.MouseMove, start + by, Qt.MouseButton.NoButton)

    send(QEvent.Type.MouseButtonPress, start, Qt.MouseButton.LeftButton)
    taken, full = steps_of(window, paints, move, full_draw)
    assert tool.dragging
    send(QEvent.Type.MouseButtonRelease, start + QPointF(9.0, -9.0), Qt.MouseButton.LeftButton)
    put(record, "drag step by the mouse, with ring and words at the hand", taken, full, least=None)
    window.document.undo()
