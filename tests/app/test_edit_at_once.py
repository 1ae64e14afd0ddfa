"""An edit is on the drawing at once and whole: new values, findings, ends of the travel; and no work is done twice."""

import gc
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.drawing.drawing import Drawing, Style, drawing
from app.drawing.items import Words
from app.drawing.subject import Subject
from app.window import document as document_module
from app.window.canvas.canvas import Canvas
from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, solve
from geometry.words.solve import Work, solved
from tests.app.desk import sample

RANCH = sample("ranch_truck_swap")
NEAR = {"axle.pinion_slope_deg": 3.22}
FAR = {"powertrain.output_joint_mm": (1560.0, -30.0, 620.0), "powertrain.slope_deg": 5.0}
GROWN = {"shaft.tube.outer_diameter_mm": 40.0, "vehicle.cruise_speed_kmh": 140.0}
CHANGES = pytest.mark.parametrize("changes", [NEAR, FAR, GROWN], ids=["near", "far", "grown"])


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    made = MainWindow(RANCH)
    made.resize(1440, 900)
    made.drawing.load()
    made.show()
    qtbot.waitExposed(made)
    QApplication.processEvents()
    yield made
    let_go(made)


def canvas_of(window: MainWindow) -> Canvas:
    assert window.drawing.canvas is not None
    return window.drawing.canvas


def shown(window: MainWindow) -> Drawing:
    made = canvas_of(window).drawing
    assert made is not None
    return made


def ends(window: MainWindow) -> int:
    subject = canvas_of(window).subject
    assert subject is not None
    return len(subject.ends)


def whole(window: MainWindow, build: Build, *, with_ends: bool = False) -> Drawing:
    """A build drawn from nothing, as large as in the window."""
    work, canvas = Work(build), canvas_of(window)
    solution = solved(work)
    assert solution.travel is not None
    both = [work.posed(solution, one) for one in (solution.travel.axle_mm[0], solution.travel.axle_mm[-1])]
    known = tuple(one for one in both if one is not None) if with_ends else ()
    size = (canvas.width(), canvas.height())
    return drawing(Subject(build, solution, solution, ends=known), size, Style(theme=canvas.theme))


def counting(monkeypatch: pytest.MonkeyPatch) -> dict[str, int]:
    counts = {"Work": 0, "solved": 0, "posed": 0}
    for where, name in ((document_module, "Work"), (document_module, "solved"), (Work, "posed")):
        real = getattr(where, name)

        def counted(*what: object, name: str = name, real: object = real) -> object:
            counts[name] += 1
            return real(*what)  # type: ignore[operator]

        monkeypatch.setattr(where, name, counted)
    return counts


@pytest.mark.parametrize("with_ends", [False, True], ids=["alone", "with both ends"])
def test_an_edit_is_worked_out_once_and_drawn_once(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, with_ends: bool
) -> None:
    window.drawing.travel.bar.ends.setChecked(with_ends)
    QApplication.processEvents()
    counts, draws = counting(monkeypatch), canvas_of(window).draws
    window.document.apply(NEAR, "pinion")
    QApplication.processEvents()
    assert window.drawing.travel.settled
    assert counts == {"Work": 1, "solved": 1, "posed": 2 if with_ends else 0}
    assert canvas_of(window).draws == draws + 1
    QApplication.processEvents()
    assert canvas_of(window).draws == draws + 1


def test_edits_close_upon_each_other_are_drawn_once(window: MainWindow) -> None:
    draws = canvas_of(window).draws
    for number in range(5):
        window.document.apply({"axle.pinion_slope_deg": 3.22 + 0.0002 * number}, "pinion")
    QApplication.processEvents()
    assert canvas_of(window).draws == draws + 1


@CHANGES
@pytest.mark.parametrize("with_ends", [False, True], ids=["alone", "with both ends"])
def test_an_edit_shows_at_once_what_a_drawing_made_whole_shows(
    window: MainWindow, changes: dict[str, object], with_ends: bool
) -> None:
    window.drawing.travel.bar.ends.setChecked(with_ends)
    before = shown(window)
    window.document.apply(changes, "edit")
    made = shown(window)
    assert made != before
    assert made == whole(window, edited(RANCH, changes), with_ends=with_ends)
    assert canvas_of(window).accessibleDescription() == made.says


@CHANGES
def test_it_says_the_new_angles(window: MainWindow, changes: dict[str, object]) -> None:
    window.document.apply(changes, "edit")
    said = {text for _, text in shown(window).words}
    for joint in solve(edited(RANCH, changes)).joints:
        assert any(text.startswith(f"{joint.operating_deg:.1f}") for text in said), joint.name


@CHANGES
def test_a_step_back_brings_the_same_drawing_back(window: MainWindow, changes: dict[str, object]) -> None:
    before, picture = shown(window), canvas_of(window).grab().toImage()
    window.document.apply(changes, "edit")
    assert shown(window) != before
    window.undo()
    assert shown(window) == before
    assert canvas_of(window).grab().toImage() == picture


def test_an_edit_that_moves_no_axle_keeps_the_ends(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    window.drawing.travel.bar.ends.setChecked(True)
    assert ends(window) == 2
    counts = counting(monkeypatch)
    window.document.apply({"title": "another", "gauge.angle_uncertainty_deg": 0.4}, "title")
    assert ends(window) == 2
    assert counts["posed"] == 0


def test_another_file_is_shown_whole_at_once(window: MainWindow) -> None:
    window.drawing.travel.bar.ends.setChecked(True)
    van = sample("long_van_two_piece")
    window.document.open(van, None)
    assert window.drawing.travel.settled
    assert shown(window) == whole(window, van, with_ends=True)


def test_without_it_shows_the_vehicle_as_measured_while_held(window: MainWindow) -> None:
    window.document.apply({"plan.rear_lift_mm": 60.0, "plan.rear_lift_by": "block"}, "lift")
    planned = shown(window)
    window.drawing.travel.show_measured()
    bare = shown(window)
    assert bare != planned
    assert ("As measured, without the plan", 15.0) in [
        (one.text, one.pt) for layer in bare.layers for one in layer.items if isinstance(one, Words)
    ]
    assert not any("set this" in text for _, text in bare.words)
    assert bare.zones == planned.zones  # nothing jumps, so that the two can be compared
    window.drawing.travel.show_planned()
    assert shown(window) == planned


def test_a_step_leaves_nothing_for_the_search_for_garbage(window: MainWindow) -> None:
    """What an edit, a drag, a step back or forward and the slider leave behind goes at once, not when Python looks."""
    document, travel = window.document, window.drawing.travel
    travel.bar.ends.setChecked(True)

    def steps() -> None:
        document.apply(NEAR, "near")
        document.begin_gesture("far")
        for slope in (3.3, 3.4):
            document.drag({"axle.pinion_slope_deg": slope})
            QApplication.processEvents()
        document.end_gesture()
        for way in (document.undo, document.undo, document.redo, document.undo):
            way()
            QApplication.processEvents()
        for place_mm in (-20.0, 20.0, 0.0):
            travel.state.go(place_mm)
            QApplication.processEvents()

    steps()
    steps()
    gc.collect()
    gc.disable()
    try:
        steps()
        assert gc.collect() == 0
    finally:
        gc.enable()
