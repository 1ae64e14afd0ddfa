"""Travel and obstacles in the whole window: menu, keys, files, and the form that comes forward."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, QSettings, Qt
from PySide6.QtGui import QFont, QFontMetrics, QKeySequence
from PySide6.QtWidgets import QMenu, QPushButton
from pytestqt.qtbot import QtBot

from app.drawing.zones import Look
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


def test_curves_stand_under_a_high_drawing_and_may_be_put_away(window: MainWindow) -> None:
    curves = window.drawing.travel.curves
    assert curves.isVisible()
    window.menus.curves.trigger()
    assert not curves.isVisible()
    window.menus.curves.trigger()
    assert curves.isVisible()
    window.resize(1280, 720)  # the drawing needs the height
    assert not curves.isVisible()
    window.resize(1280, 1000)
    assert curves.isVisible()
    assert curves.height() > 104


def test_both_ends_are_shown_when_wanted_and_that_is_remembered(window: MainWindow) -> None:
    canvas, travel = window.drawing.canvas, window.drawing.travel
    assert canvas is not None

    def ends() -> int:
        assert canvas.subject is not None
        return len(canvas.subject.ends)

    assert ends() == 0
    before = canvas.grab().toImage()
    window.menus.ends.trigger()
    assert travel.bar.ends.isChecked()
    assert ends() == 2
    assert canvas.grab().toImage() != before
    assert word("travel_ends") == "yes"
    travel.bar.ends.click()
    assert not window.menus.ends.isChecked()
    assert ends() == 0
    assert canvas.grab().toImage() == before
    assert word("travel_ends") == "no"


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
    assert "uneven running" in svg
    assert "up to 521 rad/s² at droop<" in svg


def test_a_drawn_obstacle_brings_its_entry_forward(qtbot: QtBot, window: MainWindow) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    canvas.grab()
    window.menus.outline.trigger()
    layer = window.drawing.travel.layer
    assert layer is not None
    view = canvas.view("side")
    assert view is not None
    for at in view.all_px([(2000.0, 400.0), (2200.0, 400.0), (2200.0, 460.0)]):
        qtbot.mouseClick(layer, Qt.MouseButton.LeftButton, pos=QPointF(*at).toPoint())
    qtbot.keyClick(layer, Qt.Key.Key_Return)
    assert window.document.stack.count() == 1
    assert window.menus.undo.text() == "&Undo drawing obstacle 4"
    assert window.measurements.boxes["obstacles"].is_open
    row = window.measurements.row_for("obstacles.3.name")
    qtbot.waitUntil(lambda: row.isVisible() and not row.visibleRegion().isEmpty())
    assert (window.selection.part, window.selection.entry) == ("obstacles", "obstacles.3.name")
    window.undo()
    assert len(window.document.build.obstacles) == 3


@pytest.mark.parametrize(("key", "look"), [("Ctrl+0", "shaft"), ("Ctrl+9", "whole"), ("Ctrl+8", "axle")])
def test_the_menu_looks_at_the_shaft_the_whole_vehicle_and_the_axle(window: MainWindow, key: str, look: Look) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    canvas.look(look)
    wanted = canvas.view("side")
    canvas.look("axle" if look == "whole" else "whole")
    assert canvas.view("side") != wanted
    actions = [one for menu in window.menuBar().findChildren(QMenu) for one in menu.actions()]
    (action,) = (one for one in actions if one.shortcut() == QKeySequence(key))
    action.trigger()
    assert canvas.view("side") == wanted


def test_a_press_in_the_drawing_chooses_part_finding_or_obstacle_for_every_pane(
    qtbot: QtBot, window: MainWindow
) -> None:
    canvas = window.drawing.canvas
    assert canvas is not None
    made = canvas.drawing
    assert made is not None
    kinds = set()
    for one in made.targets:
        at = QPointF(
            sum(x for x, _ in one.outline) / len(one.outline), sum(y for _, y in one.outline) / len(one.outline)
        )
        if canvas.target_at(at.x(), at.y()) != one:
            continue
        qtbot.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=at.toPoint())
        assert window.selection.part == one.part
        if one.finding:
            assert window.selection.finding == (one.finding, one.part)
            chosen = window.findings.list.chosen
            assert chosen is not None
            assert (chosen.id, chosen.part) == (one.finding, one.part)
        if one.obstacle is not None:
            assert window.selection.entry == f"obstacles.{one.obstacle}.name"
        kinds.add("finding" if one.finding else "part" if one.obstacle is None else "obstacle")
    assert kinds == {"part", "finding", "obstacle"}


def test_the_words_of_every_button_that_stays_pressed_are_whole_while_it_is(window: MainWindow) -> None:
    """They turn bold then; with 16 pixels for edges and padding as the style sheets have them."""
    window.drawing.load()
    found = [one for one in window.findChildren(QPushButton, "segment") if one.isVisible()]
    assert len(found) > 3
    for button in found:
        button.setChecked(True)
        button.grab()
        bold = QFont(button.font())
        bold.setBold(True)
        assert button.width() >= QFontMetrics(bold).horizontalAdvance(button.text()) + 16, button.text()
