"""An error while something is painted is told, and the window stays: painters let go of their paper in any case."""

import ast
import gc
import sys
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window.canvas import canvas
from app.window.shell.main_window import MainWindow
from app.window.travel import curves

ROOT = Path(__file__).parent.parent.parent
APP, SAMPLE = ROOT / "app", ROOT / "sample_builds" / "ranch_truck_swap.json"


@pytest.mark.parametrize("path", sorted(APP.rglob("*.py")), ids=str)
def test_every_painter_ends_by_itself(path: Path) -> None:
    """One that outlives its paper, as a traceback keeps it, takes the program down when it is let go of."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    held = {id(one.context_expr) for two in ast.walk(tree) if isinstance(two, ast.With) for one in two.items}
    for one in ast.walk(tree):
        if isinstance(one, ast.Call) and isinstance(one.func, ast.Name) and one.func.id == "QPainter":
            assert id(one) in held, f"line {one.lineno}: with QPainter(…) as …"


@pytest.mark.parametrize(("module", "name"), [(canvas, "drawing"), (canvas, "paint"), (curves, "paint")])
def test_the_window_goes_on_after_an_error_in_painting(
    window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, module: object, name: str
) -> None:
    def fails(*_: object, **__: object) -> None:
        raise LookupError("not to be painted")

    window.filing.open_path(SAMPLE)
    window.drawing.load()
    window.resize(1366, 768)
    qtbot.waitUntil(lambda: window.drawing.canvas is not None and window.drawing.travel.curves.isVisible())
    QApplication.processEvents()
    with monkeypatch.context() as wrong, qtbot.captureExceptions() as caught:
        wrong.setattr(module, name, fails)
        window.document.apply({"axle.pinion_slope_deg": 2.0}, "pinion")
        QApplication.processEvents()
    assert caught
    assert all(one is LookupError for one, *_ in caught)
    caught.clear()
    sys.last_traceback = sys.last_value = sys.last_exc = None
    gc.collect()
    window.document.apply({"axle.pinion_slope_deg": 2.5}, "pinion")
    QApplication.processEvents()
