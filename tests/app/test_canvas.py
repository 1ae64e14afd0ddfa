"""The drawing on the screen: cheap edits, clicks that find their part, views that stay where they were put."""

from pathlib import Path

import numpy as np
import pytest
from app.sketch.palette import THEMES
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window.canvas import SketchCanvas
from geometry import Build, Solution, edited, solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
BUILD = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
SOLUTION = solve(BUILD)
HURRY = edited(
    Build(),
    {"powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.4, "readings.shaft_slope_deg": 10.8},
)


@pytest.fixture
def canvas(qtbot: QtBot) -> SketchCanvas:
    made = SketchCanvas()
    qtbot.addWidget(made)
    made.resize(1400, 900)
    made.show_solution(BUILD, SOLUTION)
    made.grab()
    return made


def drag_of(count: int) -> list[tuple[Build, Solution]]:
    moved = [edited(BUILD, {"axle.pinion_slope_deg": 2.0 + 0.03 * i}) for i in range(count)]
    return [(build, solve(build)) for build in moved]


def joint_pixel(canvas: SketchCanvas, number: int) -> QPoint:
    picture, page = SOLUTION.picture, canvas.page
    assert page is not None
    x, _, z = picture.joint_centres_mm[number]
    across, down = page.camera.to_px("side", np.array([[x, z]]))[0].tolist()
    return QPoint(round(across), round(down))


def pixel(canvas: SketchCanvas, at: QPoint) -> QColor:
    return canvas.grab().toImage().pixelColor(at)


def test_a_hundred_edits_draw_the_page_not_once_more(canvas: SketchCanvas) -> None:
    assert (canvas.full_draws, canvas.blits) == (1, 0)
    for build, solution in drag_of(100):
        canvas.show_solution(build, solution)
    canvas.grab()
    assert (canvas.full_draws, canvas.blits) == (1, 100)


def test_artists_are_made_once(canvas: SketchCanvas) -> None:
    stage = canvas.stage
    assert stage is not None
    before = [id(artist) for axes in stage.figure.axes for artist in axes.get_children()]
    for build, solution in drag_of(50):
        canvas.show_solution(build, solution)
    canvas.set_theme("dark")
    canvas.grab()
    assert [id(artist) for axes in stage.figure.axes for artist in axes.get_children()] == before


def test_an_edit_shows_what_a_fresh_drawing_shows(qtbot: QtBot, canvas: SketchCanvas) -> None:
    moved = edited(BUILD, {"axle.pinion_slope_deg": 9.0, "vehicle.frame_height_mm": 760.0})
    canvas.show_solution(moved, solve(moved))
    assert canvas.full_draws == 1
    assert canvas.page is not None
    fresh = SketchCanvas()
    qtbot.addWidget(fresh)
    fresh.resize(1400, 900)
    fresh.show_solution(moved, solve(moved))
    fresh.look(canvas.page.camera)
    fresh.grab()
    assert canvas.stage is not None
    assert fresh.stage is not None
    # Strokes alone: the words may rightly differ, as they stay where they stood.
    assert canvas.stage.image == fresh.stage.image


def test_size_theme_and_zoom_draw_the_page_anew(canvas: SketchCanvas) -> None:
    canvas.set_theme("dark")
    canvas.grab()
    assert canvas.full_draws == 2
    assert pixel(canvas, QPoint(2, 450)) == QColor(THEMES["dark"].paper)
    canvas.resize(1000, 700)
    canvas.grab()
    assert canvas.full_draws == 3
    canvas.set_theme("dark")
    canvas.grab()
    assert canvas.full_draws == 3


@pytest.mark.parametrize(("number", "part"), [(0, "front_joint"), (1, "rear_joint")])
def test_clicking_a_joint_tells_its_part(qtbot: QtBot, canvas: SketchCanvas, number: int, part: str) -> None:
    with qtbot.waitSignal(canvas.part_clicked) as caught:
        qtbot.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=joint_pixel(canvas, number))
    assert caught.args == [part]


def test_small_parts_are_picked_before_large_ones(qtbot: QtBot, canvas: SketchCanvas) -> None:
    middle = (joint_pixel(canvas, 0) + joint_pixel(canvas, 1)) / 2
    with qtbot.waitSignal(canvas.part_clicked) as caught:
        qtbot.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=middle)
    assert caught.args == ["shaft"]


def test_clicking_a_flag_tells_its_finding(qtbot: QtBot, canvas: SketchCanvas) -> None:
    assert canvas.page is not None
    rows = [row for callout in canvas.page.callouts for row in callout.findings]
    assert len(rows) >= 3
    for box, finding, part in rows:
        assert any(one.id == finding and one.part == part for one in SOLUTION.findings)
        at = QPoint(round(box.left + 0.5 * box.width), round(box.top + 0.5 * box.height))
        with qtbot.waitSignal(canvas.flag_clicked) as caught:
            qtbot.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=at)
        assert caught.args == [finding, part]


def test_clicking_empty_paper_tells_nothing(qtbot: QtBot, canvas: SketchCanvas) -> None:
    with qtbot.assertNotEmitted(canvas.part_clicked), qtbot.assertNotEmitted(canvas.flag_clicked):
        qtbot.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=QPoint(3, 3))


def test_dragging_empty_paper_moves_the_page_and_double_click_brings_it_back(
    qtbot: QtBot, canvas: SketchCanvas
) -> None:
    assert canvas.page is not None
    before = canvas.page.camera
    empty = QPoint(1300, 30)
    qtbot.mousePress(canvas, Qt.MouseButton.LeftButton, pos=empty)
    for step in (10, 30, 60):
        qtbot.mouseMove(canvas, empty + QPoint(-step, step // 2))
    qtbot.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=empty + QPoint(-60, 30))
    canvas.grab()
    after = canvas.page.camera
    assert after.scale == before.scale
    assert (after.station_mm - before.station_mm) * before.scale == pytest.approx(60.0)
    assert (after.height_mm - before.height_mm) * before.scale == pytest.approx(30.0)
    assert after.side_mm == before.side_mm
    qtbot.mouseDClick(canvas, Qt.MouseButton.LeftButton, pos=QPoint(3, 3))
    canvas.grab()
    assert canvas.page.camera == before


def wheel(canvas: SketchCanvas, at: QPoint, steps: int) -> None:
    place = QPointF(at)
    event = QWheelEvent(
        place, canvas.mapToGlobal(place), QPoint(), QPoint(0, 120 * steps), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(canvas, event)
    canvas.grab()


def test_the_wheel_magnifies_about_the_pointer(canvas: SketchCanvas) -> None:
    at = QPoint(900, 400)
    assert canvas.page is not None
    before = canvas.page.camera
    wheel(canvas, at, 3)
    after = canvas.page.camera
    assert after.scale > 1.4 * before.scale
    assert after.to_mm("side", 900.0, 400.0) == pytest.approx(before.to_mm("side", 900.0, 400.0))


def test_a_view_that_was_chosen_stays_through_edits(canvas: SketchCanvas) -> None:
    wheel(canvas, QPoint(300, 300), 6)
    assert canvas.page is not None
    chosen = canvas.page.camera
    for build, solution in drag_of(3):
        canvas.show_solution(build, solution)
    canvas.grab()
    assert canvas.page.camera == chosen


def test_a_subject_that_leaves_the_page_is_fitted_again(canvas: SketchCanvas) -> None:
    far = edited(BUILD, {"axle.centre_mm": (5600.0, 15.0, 410.0), "vehicle.wheelbase_mm": 5600.0})
    canvas.show_solution(far, solve(far))
    canvas.grab()
    assert canvas.full_draws == 2
    assert canvas.page is not None
    assert canvas.scene is not None
    assert canvas.page.camera.shows(canvas.scene.extents.subject)


def test_another_kind_of_drawing_and_other_units_are_laid_out_anew(canvas: SketchCanvas) -> None:
    canvas.show_solution(HURRY, solve(HURRY))
    canvas.grab()
    assert canvas.scene is not None
    assert canvas.scene.kind == "schematic"
    assert canvas.full_draws == 2
    canvas.show_solution(Build(), solve(Build()))
    canvas.grab()
    assert canvas.full_draws == 3
    canvas.show_solution(BUILD, SOLUTION)
    canvas.grab()
    metric = edited(BUILD, {"display.length": "millimetre"})
    canvas.show_solution(metric, solve(metric))
    canvas.grab()
    assert canvas.page is not None
    assert any(one.text == "mm" for one in canvas.page.fixed)


def test_keys_do_what_the_pointer_does(qtbot: QtBot, canvas: SketchCanvas) -> None:
    assert canvas.page is not None
    before = canvas.page.camera
    qtbot.keyClick(canvas, Qt.Key.Key_Plus)
    qtbot.keyClick(canvas, Qt.Key.Key_Left)
    canvas.grab()
    assert canvas.page.camera.scale > before.scale
    qtbot.keyClick(canvas, Qt.Key.Key_0)
    canvas.grab()
    assert canvas.page.camera == before


def test_a_selected_part_is_seen_and_costs_one_blit(canvas: SketchCanvas) -> None:
    at = joint_pixel(canvas, 1) + QPoint(0, -16)
    plain = pixel(canvas, at)
    canvas.select_part("rear_joint")
    assert (canvas.full_draws, canvas.blits) == (1, 1)
    assert pixel(canvas, at) != plain
    canvas.select_part(None)
    assert pixel(canvas, at) == plain


def test_it_says_what_it_shows(canvas: SketchCanvas) -> None:
    assert canvas.accessibleName()
    assert "front joint" in canvas.accessibleDescription()


def test_nothing_shown_is_plain_paper(qtbot: QtBot) -> None:
    made = SketchCanvas()
    qtbot.addWidget(made)
    made.resize(500, 320)
    assert pixel(made, QPoint(250, 160)) == QColor(THEMES["light"].paper)
    assert made.full_draws == 0
