"""An edit is on the drawing at once with its new values; the ends of the travel and better places for words follow."""

import gc
from collections.abc import Callable, Iterator
from itertools import combinations
from pathlib import Path

import pytest
from app.sketch import ends as ends_module
from app.sketch.ends import ends_of
from app.sketch.layout import Page
from PySide6.QtCore import QSettings
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window import document as document_module
from app.window.canvas import SketchCanvas
from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow
from app.window.travel import desk as travel_desk_module
from geometry import Build, edited, solve
from geometry.words.solve import Work

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
NEAR = {"axle.pinion_slope_deg": 3.22}
FAR = {"powertrain.output_joint_mm": (1560.0, -30.0, 620.0), "powertrain.slope_deg": 5.0}
GROWN = {"shaft.tube.outer_diameter_mm": 40.0, "vehicle.cruise_speed_kmh": 140.0}


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    made = MainWindow(RANCH)
    made.resize(2050, 1050)  # room for every word, so that none is left out in one place and not in another
    made.drawing.load()
    made.show()
    qtbot.waitExposed(made)
    QApplication.processEvents()
    yield made
    let_go(made)


def canvas_of(window: MainWindow) -> SketchCanvas:
    assert window.drawing.canvas is not None
    return window.drawing.canvas


def page_of(canvas: SketchCanvas) -> Page:
    assert canvas.page is not None
    return canvas.page


def ghosts(canvas: SketchCanvas) -> int:
    assert canvas.scene is not None
    return sum(one.role == "ghost" for one in canvas.scene.strokes)


def texts(page: Page) -> dict[str, str]:
    return {one.label.key: one.label.text for one in page.callouts}


def settle(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: window.drawing.travel.settled)


def drawn_at_once(qtbot: QtBot, like: SketchCanvas, *builds: Build) -> SketchCanvas:
    """A canvas of the same size and view that shows these builds one after the other, each of them whole."""
    made = SketchCanvas()
    qtbot.addWidget(made)
    made.resize(like.size())
    for build in builds:
        solution = solve(build)
        made.show_solution(build, solution, ends=ends_of(Work(build), solution))
        if made.page is None:
            made.grab()
            made.look(page_of(like).camera)
        made.grab()
    return made


def test_work_is_done_once_the_first_frame_and_once_when_settled(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    counts = {"Work": 0, "solved": 0, "ends_of": 0}
    for module, name in ((document_module, "Work"), (document_module, "solved"), (ends_module, "ends_of")):
        real = getattr(module, name)

        def counted(*what: object, name: str = name, real: object = real) -> object:
            counts[name] += 1
            return real(*what)  # type: ignore[operator]

        monkeypatch.setattr(module, name, counted)
    canvas = canvas_of(window)
    full, blits, layouts = canvas.full_draws, canvas.blits, canvas.layouts
    assert ghosts(canvas) > 0
    window.document.apply(NEAR, "pinion")
    assert not window.drawing.travel.settled
    assert (canvas.full_draws, canvas.blits, canvas.layouts) == (full, blits + 1, layouts)
    assert counts == {"Work": 1, "solved": 1, "ends_of": 0}
    assert ghosts(canvas) == 0  # those of the build before would be wrong
    settle(qtbot, window)
    assert (canvas.full_draws, canvas.blits, canvas.layouts) == (full, blits + 2, layouts + 1)
    assert counts == {"Work": 1, "solved": 1, "ends_of": 1}
    assert ghosts(canvas) > 0


def test_edits_close_upon_each_other_settle_once(qtbot: QtBot, window: MainWindow) -> None:
    canvas = canvas_of(window)
    blits, layouts = canvas.blits, canvas.layouts
    for number in range(5):
        window.document.apply({"axle.pinion_slope_deg": 3.22 + 0.0002 * number}, "pinion")
    settle(qtbot, window)
    assert (canvas.blits, canvas.layouts) == (blits + 6, layouts + 1)


@pytest.mark.parametrize("changes", [FAR, GROWN], ids=["far", "grown"])
def test_words_that_would_stand_badly_are_placed_anew_at_once_and_then_stay(
    qtbot: QtBot, window: MainWindow, changes: dict[str, object]
) -> None:
    canvas = canvas_of(window)
    blits, layouts = canvas.blits, canvas.layouts
    window.document.apply(changes, "edit")
    assert (canvas.blits, canvas.layouts) == (blits + 1, layouts + 1)
    first = {one.label.key: one.box for one in page_of(canvas).callouts}
    settle(qtbot, window)
    after = {one.label.key: one.box for one in page_of(canvas).callouts}
    assert ghosts(canvas) > 0
    assert first.items() <= after.items()


@pytest.mark.parametrize("changes", [NEAR, FAR, GROWN], ids=["near", "far", "grown"])
def test_the_first_frame_already_says_the_new_values(
    qtbot: QtBot, window: MainWindow, changes: dict[str, object], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(travel_desk_module, "_SETTLE_MS", 600_000)  # however slow the machine, the rest does not come
    canvas = canvas_of(window)
    before = texts(page_of(canvas))
    window.document.apply(changes, "edit")
    QApplication.processEvents()
    page = page_of(canvas)
    now = texts(page)
    assert now != before
    fresh = texts(page_of(drawn_at_once(qtbot, canvas, edited(RANCH, changes))))
    assert now == {key: text for key, text in fresh.items() if not key.startswith("end ")}
    for one in page.callouts:
        assert one.words[0].text in {one.label.rows[0].text, one.label.rows[0].short}
    joints = {f"angle {one.name}": one.operating_deg for one in window.document.solution.joints}
    for key, angle in joints.items():
        assert f"{angle:.1f}" in now[key]


@pytest.mark.parametrize("changes", [NEAR, FAR, GROWN], ids=["near", "far", "grown"])
def test_the_first_frame_is_fit_to_be_seen(window: MainWindow, changes: dict[str, object]) -> None:
    canvas = canvas_of(window)
    window.document.apply(changes, "edit")
    page = page_of(canvas)
    for one, other in combinations(page.callouts, 2):
        apart = one.box.right <= other.box.left or other.box.right <= one.box.left
        assert apart or one.box.bottom <= other.box.top or other.box.bottom <= one.box.top, (one.label, other.label)
    for one in page.callouts:
        frame = page.camera.box(one.label.view)
        assert frame is not None
        assert frame.left <= one.box.left
        assert one.box.right <= frame.right
        assert frame.top <= one.box.top
        assert one.box.bottom <= frame.bottom


def test_settled_is_what_a_drawing_made_whole_shows(qtbot: QtBot, window: MainWindow) -> None:
    canvas = canvas_of(window)
    window.document.apply(NEAR, "pinion")
    settle(qtbot, window)
    canvas.grab()
    whole = drawn_at_once(qtbot, canvas, RANCH, edited(RANCH, NEAR))
    page, other = page_of(canvas), page_of(whole)
    assert page.camera == other.camera
    assert texts(page) == texts(other)
    assert page.places == other.places
    assert [one.words for one in page.callouts] == [one.words for one in other.callouts]
    assert canvas.stage is not None
    assert whole.stage is not None
    assert canvas.stage.image == whole.stage.image
    assert canvas.accessibleDescription() == whole.accessibleDescription()


@pytest.mark.parametrize("changes", [FAR, GROWN], ids=["far", "grown"])
def test_settled_tells_what_a_fresh_window_tells(qtbot: QtBot, window: MainWindow, changes: dict[str, object]) -> None:
    canvas = canvas_of(window)
    window.document.apply(changes, "edit")
    settle(qtbot, window)
    canvas.grab()
    fresh = drawn_at_once(qtbot, canvas, edited(RANCH, changes))
    assert texts(page_of(canvas)) == texts(page_of(fresh))
    assert canvas.stage is not None
    assert fresh.stage is not None
    assert canvas.stage.image == fresh.stage.image


def test_words_come_back_to_where_they_stood(qtbot: QtBot, window: MainWindow) -> None:
    canvas = canvas_of(window)
    before = {key: one.box for key, one in page_of(canvas).places.items()}
    window.document.apply(NEAR, "pinion")
    settle(qtbot, window)
    window.undo()
    settle(qtbot, window)
    after = {key: one.box for key, one in page_of(canvas).places.items()}
    assert after == before


def test_an_edit_that_moves_no_axle_keeps_the_ends(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[object] = []
    monkeypatch.setattr(ends_module, "ends_of", lambda *what: asked.append(what) or ())
    canvas = canvas_of(window)
    before = ghosts(canvas)
    window.document.apply({"title": "another", "gauge.angle_uncertainty_deg": 0.4}, "title")
    assert ghosts(canvas) == before > 0
    assert not asked


def test_another_file_is_shown_whole_at_once(window: MainWindow) -> None:
    build = Build.model_validate_json((SAMPLES / "long_van_two_piece.json").read_bytes())
    window.document.open(build, None)
    canvas = canvas_of(window)
    assert window.drawing.travel.settled
    canvas.grab()
    assert ghosts(canvas) > 0
    assert any(key.startswith("end ") for key in texts(page_of(canvas)))


def test_a_step_leaves_nothing_for_the_search_for_garbage(window: MainWindow) -> None:
    """What an edit, a drag, a step back or forward and the slider leave behind goes at once, not when Python looks."""
    document, travel = window.document, window.drawing.travel

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
