"""What every pane of the window paints, told as one short code: the painter's orders, not the pixels."""

import tempfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QSettings, qVersion
from PySide6.QtGui import QCursor, QPainter, QPicture
from PySide6.QtWidgets import QApplication, QDialog, QWidget

from app.drawing.palette import DARK, LIGHT
from app.files import read_build
from app.window.canvas.outline import OutlineTool
from app.window.form.by_size import BySize
from app.window.form.where_picture import _PICTURES, HEIGHT, WherePicture
from app.window.keeping import recovery
from app.window.keeping.choice_page import ChoicePage
from app.window.keeping.kept_page import KeptPage
from app.window.shell import pages
from app.window.shell.main_window import MainWindow
from app.window.shell.tube_choice import TubeChoice
from geometry import Build, edited
from tests.app.drawing.drawn import SAMPLES

KEPT = Path(__file__).parent / "windows.txt"
SIZES = ((1280, 720), (1440, 900))


def maker() -> str:
    """What else the orders hang on: Qt and the screen."""
    screen = QApplication.primaryScreen().size()
    return f"{qVersion()} {QApplication.platformName()} {screen.width()} {screen.height()}"


def codes() -> dict[str, str]:
    """For each pane in each state its code."""
    made: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder, _apart(Path(folder)):
        for name in SAMPLES:
            made |= _sample(name)
        made |= _start()
        made |= _begun()
        made |= _where()
        made |= _hand()
        made |= _asked()
    return made


@contextmanager
def _apart(folder: Path) -> Iterator[None]:
    """Settings and copies in a folder of their own, and a cursor that does not blink."""
    flashes = QApplication.cursorFlashTime()
    QApplication.setCursorFlashTime(0)
    QCursor.setPos(QApplication.primaryScreen().geometry().bottomRight())  # over no window
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(folder))
    before = recovery.recovery_folder
    recovery.recovery_folder = lambda: folder / "recovery"
    try:
        yield
    finally:
        recovery.recovery_folder = before
        QApplication.setCursorFlashTime(flashes)


def _sample(name: str) -> dict[str, str]:
    made = {}
    with _window(read_build(SAMPLES[name])) as window:
        for wide, high in SIZES:
            window.resize(wide, high)
            made |= {f"{name} {wide} {pane}": code for pane, code in _panes(window)}
        window.show_theme("dark")
        made |= {f"{name} dark {pane}": code for pane, code in _panes(window)}
        window.show_theme("light")
        for key, box in window.measurements.boxes.items():
            if not box.isHidden():
                box.set_open(opened=True)
                made[f"{name} section {key}"] = _code(window.measurements)
        for finding in window.document.solution.findings:
            window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
            made[f"{name} chosen {finding.id} {finding.part}"] = _code(window.findings)
    return made


def _start() -> dict[str, str]:
    made = {}
    with _window(Build()) as window:
        for _ in range(10 * len(SAMPLES)):  # the cards are worked out one after another
            QApplication.processEvents()
        for wide, high in SIZES:
            window.resize(wide, high)
            made[f"start {wide}"] = _code(window.start)
        window.show_theme("dark")
        made["start dark"] = _code(window.start)
        window.show_theme("light")
    return made


def _begun() -> dict[str, str]:
    """A build of which little is known: rows that say what they wait for."""
    made = {}
    with _window(edited(Build(), {"powertrain.slope_deg": 3.0, "axle.pinion_slope_deg": 2.0})) as window:
        for wide, high in SIZES:
            window.resize(wide, high)
            made |= {f"begun {wide} {pane}": code for pane, code in _panes(window)}
    return made


def _where() -> dict[str, str]:
    """Every picture of where the gauge or the tape goes."""
    made = {}
    entries = {picture: (path, "deg") for path, picture in _PICTURES.items()} | {"point": ("axle.centre_mm", "point")}
    with _window(Build()) as window:
        for theme in (LIGHT, DARK):
            for name, (path, kind) in sorted(entries.items()):
                for ahead in (False, True) if name == "pinion" else (False,):
                    picture = WherePicture(window)
                    picture.resize(280, HEIGHT)
                    picture.show_theme(theme)
                    picture.show_entry(path, kind, ahead=ahead)
                    made[f"where {theme.name} {name} {'front' if ahead else 'rear'}"] = _code(picture)
    return made


def _hand() -> dict[str, str]:
    """What is painted over the drawing: each thing that the hand can take, chosen; an outline, corner after corner."""
    made = {}
    for name in ("ranch_truck_swap", "transfer_case_double_joint"):
        with _window(read_build(SAMPLES[name])) as window:
            window.resize(*SIZES[0])
            window.drawing.load()
            QApplication.processEvents()
            canvas, drag = window.drawing.canvas, window.drawing.drag
            for handle in drag.handles:
                drag._choose(handle)
                canvas.clearFocus()
                made[f"hand {name} {handle.key}"] = _painted(canvas.overlay.paint)
            view = canvas.view("side")
            outline = OutlineTool(window.document.build.display, window.drawing.travel.state.work.floor)
            for corner in ((2000.0, 300.0), (2300.0, 300.0), (2300.0, 420.0), (2000.0, 420.0)):
                outline.near = corner
                made[f"outline {name} {len(outline.corners)}"] = _painted(
                    lambda painter: outline.paint(painter, view, LIGHT, canvas.width())  # noqa: B023  painted at once
                )
                outline.put()
            outline.near = None
            made[f"outline {name} whole"] = _painted(
                lambda painter: outline.paint(painter, view, DARK, canvas.width())  # noqa: B023  painted at once
            )
    outline = OutlineTool(Build().display, None)  # type: ignore[arg-type]  # which the hint asks nothing of
    for wide in (1200.0, 400.0):
        made[f"outline hint {wide:.0f}"] = _painted(
            lambda painter: outline.paint_hint(painter, LIGHT, wide)  # noqa: B023  painted at once
        )
    return made


class _Kept(recovery.Copy):
    """A copy of a day that is the same in every place."""

    day = "15 January 2026 at 09:30"  # type: ignore[assignment]


def _asked() -> dict[str, str]:
    """Every page that asks or tells something beside the window."""
    made = {}
    build = read_build(SAMPLES["long_van_two_piece"])
    with _window(build) as window:
        copies = [
            _Kept(Path("open.json"), None, name, datetime.now(UTC), differs, Build())  # type: ignore[arg-type]
            for name, differs in (("Ranch truck", "Wheelbase, rear lift and 12 more differ."), ("Van " * 30, "Title."))
        ]
        question = ChoicePage(window, "Unsaved work", "The build has changes that no file holds.", "Saved 9:30.")
        question.add("save", "&Save", "Write them into the file.")
        question.add("leave", "&Leave it", "Keep a copy for the next start.")
        asking: dict[str, QDialog] = {
            "copies": KeptPage(window, copies, lambda _: False),
            "question": question,
            "obstacle by its size": BySize(window, build.display),
            "tubes": TubeChoice(window.document, LIGHT, window),
            "how to measure": pages.show_how_to_measure(window),
            "cautions": pages.show_cautions(window),
        }
        for name, page in asking.items():
            page.show()
            made[f"asked {name}"] = _code(page)
            page.close()
    return made


@contextmanager
def _window(build: Build) -> Iterator[MainWindow]:
    window = MainWindow(build)
    window.show()
    try:
        yield window
    finally:
        window.document.stack.setClean()
        window.close()
        window.deleteLater()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def _panes(window: MainWindow) -> Iterator[tuple[str, str]]:
    panes = {
        "measurements": window.measurements, "plan": window.plan, "findings": window.findings,
        "travel": window.drawing.travel.bar, "foot": window.foot,
    }  # fmt: skip
    return ((name, _code(pane)) for name, pane in panes.items())


def _code(pane: QWidget) -> str:
    for _ in range(5):
        QApplication.processEvents()
    focused = QApplication.focusWidget()
    if focused is not None:  # which window is active hangs on what ran before
        focused.clearFocus()
        QApplication.processEvents()
    return _painted(lambda painter: pane.render(painter, QPoint()))


def _painted(paint: Callable[[QPainter], object]) -> str:
    picture = QPicture()
    painter = QPainter(picture)
    paint(painter)
    painter.end()
    return f"{zlib.crc32(bytes(picture.data())):08x}"  # type: ignore[arg-type]


def keep() -> None:
    """Write the codes down as those that are meant."""
    lines = [f"made by: {maker()}", *(f"{name}: {told}" for name, told in codes().items())]
    KEPT.write_text("\n".join(lines) + "\n", encoding="utf-8")


def kept() -> dict[str, str]:
    """The codes that were written down."""
    pairs = (line.partition(": ") for line in KEPT.read_text(encoding="utf-8").splitlines())
    return {name: told for name, _, told in pairs}
