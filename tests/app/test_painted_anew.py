"""After any edits every pane has the same pixels as in a window that was opened on the build as it now is."""

import random
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pydantic import ValidationError
from PySide6.QtCore import QSettings
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow
from geometry import Build

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
SIZE = (1366, 768)
JOINT = "powertrain.output_joint_mm"
NUMBERS = {
    "powertrain.slope_deg": (0.0, 6.0), "axle.pinion_slope_deg": (0.0, 9.0), "plan.rear_lift_mm": (0.0, 90.0),
    "plan.axle_shim_deg": (-3.0, 3.0), "shaft.tube.outer_diameter_mm": (60.0, 90.0), "shaft.tube.wall_mm": (1.5, 4.0),
    "vehicle.cruise_speed_kmh": (60.0, 130.0), "gauge.angle_uncertainty_deg": (0.1, 0.5),
    "shaft.slip.engaged_mm": (30.0, 90.0),
}  # fmt: skip
WORDS = {"display.length": ("inch", "millimetre"), "plan.rear_lift_by": ("spring", "block"), "gauge": (None,)}


@pytest.fixture
def opened(qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[Build], MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")

    def make(build: Build) -> MainWindow:
        window = MainWindow(build)
        window.drawing.load()
        window.resize(*SIZE)
        window.show()
        qtbot.waitExposed(window)
        settled(window)
        return window

    return make


def settled(window: MainWindow) -> None:
    for _ in range(20):
        QApplication.processEvents()
        if window.drawing.travel.settled:
            break
    for _ in range(4):
        QApplication.processEvents()


def panes(window: MainWindow) -> dict[str, QWidget]:
    canvas, travel, findings = window.drawing.canvas, window.drawing.travel, window.findings
    assert canvas is not None
    return {
        "drawing": canvas, "curves": travel.curves, "travel": travel.bar, "plan": window.plan,
        "verdict": findings.head, "list": findings.list, "chosen": findings.detail, "set-points": findings.setpoints,
        "measured": window.measurements.head,
    }  # fmt: skip


def pixels(widget: QWidget) -> np.ndarray:
    image = widget.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    return np.array(image.constBits()).reshape(image.height(), image.width(), 4)[:, :, :3].copy()


def edit(window: MainWindow, dice: random.Random) -> None:
    """One thing that a person does: types a number or a choice, drags a joint there and back, goes back or on."""
    document, what = window.document, dice.random()
    if what < 0.15:
        document.undo()
    elif what < 0.2:
        document.redo()
    elif what < 0.35:
        document.begin_gesture("moving")
        x, y, z = document.build.powertrain.output_joint_mm or (1600.0, 0.0, 650.0)  # type: ignore[union-attr]
        for _ in range(3):
            document.drag({JOINT: (x + dice.uniform(-20.0, 20.0), y, z + dice.uniform(-20.0, 20.0))})
            QApplication.processEvents()
        document.end_gesture()
    else:
        paths = {**NUMBERS, **WORDS}
        path = dice.choice(list(paths))
        low, *high = paths[path]
        value = dice.choice(paths[path]) if path in WORDS else round(dice.uniform(low, high[0]), 1)  # type: ignore[arg-type]
        try:
            document.apply({path: value}, "edit")
        except ValidationError:  # not every build has every section
            return
    if dice.random() < 0.6:
        settled(window)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft"])
@pytest.mark.parametrize("seed", [1, 2])
def test_panes_after_edits_are_those_of_a_window_made_anew(
    opened: Callable[[Build], MainWindow], let_go: Callable[[MainWindow], None], name: str, seed: int
) -> None:
    dice = random.Random(f"{name} {seed}")
    window = opened(Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes()))
    try:
        for _ in range(3):
            for _ in range(6):
                edit(window, dice)
            settled(window)
            now = {key: pixels(one) for key, one in panes(window).items()}
            fresh = opened(window.document.build)
            try:
                anew = {key: pixels(one) for key, one in panes(fresh).items()}
            finally:
                let_go(fresh)
            assert [key for key in now if not np.array_equal(now[key], anew[key])] == []
    finally:
        let_go(window)
