"""Travel and obstacles in the whole window: menu, keys, files, and the form that comes forward."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPoint, QSettings, Qt
from pytestqt.qtbot import QtBot

from app.window.keeping import asking, recovery
from app.window.settings import word
from app.window.shell.main_window import MainWindow
from geometry import Build

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"


@pytest.fixture
def window(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    made = MainWindow(Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes()))
    made.resize(1280, 800)
    made.drawing.load()
    made.show()
    qtbot.waitExposed(made)
    yield made
    made.document.stack.setClean()
    made.close()
    made.deleteLater()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_sliding_leaves_the_file_as_it_is(window: MainWindow) -> None:
    findings = window.document.solution.findings
    window.drawing.travel.state.go(50.0)
    window.drawing.travel.state.load("launch")
    assert not window.isWindowModified()
    assert not window.document.stack.canUndo()
    assert window.document.solution.findings is findings


def test_curves_fold_away_and_that_is_remembered(window: MainWindow) -> None:
    curves = window.drawing.travel.curves
    assert not curves.isVisible()
    window.menus.curves.trigger()
    assert curves.isVisible()
    assert window.drawing.travel.bar.curves.isChecked()
    assert word("travel_curves") == "yes"
    window.drawing.travel.bar.curves.click()
    assert not curves.isVisible()
    assert not window.menus.curves.isChecked()
    assert word("travel_curves") == "no"


def test_both_ends_can_be_taken_away(window: MainWindow) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None

    def ghosts() -> int:
        assert canvas.scene is not None
        return sum(one.role == "ghost" for one in canvas.scene.strokes)

    assert ghosts() > 0
    full = canvas.full_draws
    window.menus.ends.trigger()
    assert ghosts() == 0
    assert canvas.full_draws == full


def test_a_key_goes_to_the_slider(window: MainWindow) -> None:
    window.menus.to_travel.trigger()
    assert window.drawing.travel.bar.scale.hasFocus()


def test_without_a_travel_the_menu_offers_none(window: MainWindow) -> None:
    window.document.open(Build.model_validate_json((SAMPLES / "three_angles_and_a_length.json").read_bytes()), None)
    for action in (window.menus.curves, window.menus.ends, window.menus.curves_out, window.menus.to_travel):
        assert not action.isEnabled()


def test_the_curves_are_written(window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "curves.svg"
    monkeypatch.setattr(asking, "where_to_write", lambda *_: path)
    window.export_curves()
    svg = path.read_text(encoding="utf-8")
    assert "joint angles" in svg
    assert "hold 400" in svg


def test_a_drawn_obstacle_brings_its_entry_forward(qtbot: QtBot, window: MainWindow) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    canvas.grab()
    window.menus.outline.trigger()
    layer = window.drawing.travel.layer
    assert layer is not None
    assert canvas.page is not None
    corners = np.array([(2000.0, 200.0), (2200.0, 200.0), (2200.0, 330.0)])
    for across, down in canvas.page.camera.to_px("side", corners).tolist():
        qtbot.mouseClick(layer, Qt.MouseButton.LeftButton, pos=QPoint(round(across), round(down)))
    qtbot.keyClick(layer, Qt.Key.Key_Return)
    assert window.document.stack.count() == 1
    assert window.menus.undo.text() == "&Undo drawing obstacle 4"
    assert window.measurements.boxes["obstacles"].is_open
    row = window.measurements.row_for("obstacles.3.name")
    qtbot.waitUntil(lambda: row.isVisible() and not row.visibleRegion().isEmpty())
    assert canvas.scene is not None
    assert [one.key for one in canvas.scene.strokes if one.role == "selected"] == ["halo side obstacle 3"]
    window.undo()
    assert len(window.document.build.obstacles) == 3
