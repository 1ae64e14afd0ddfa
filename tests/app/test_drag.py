"""Dragging in the drawing, by mouse and keyboard: one step each, taken back by Escape, and no work done twice."""

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from app.sketch.palette import THEMES
from app.window.drag import BACK_TO_REST, DragTool
from app.window.handles import Handle
from PySide6.QtCore import QEvent, QPoint, QPointF, QSettings, Qt
from PySide6.QtGui import QColor, QImage, QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window import document as document_module
from app.window.canvas import SketchCanvas
from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow
from geometry import Build, solve, value_at

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
LEFT, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
PLAIN, SHIFT, ALT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
)


class Hand:
    """A window on one sample and a mouse in its drawing."""

    def __init__(self, sample: str, qtbot: QtBot) -> None:
        build = Build.model_validate_json((SAMPLES / f"{sample}.json").read_bytes())
        self.window = MainWindow(build)
        self.window.resize(1400, 900)
        self.window.drawing.load()
        self.window.show()
        qtbot.waitExposed(self.window)
        QApplication.processEvents()
        self.document = self.window.document

    @property
    def canvas(self) -> SketchCanvas:
        assert self.window.drawing.canvas is not None
        return self.window.drawing.canvas

    @property
    def tool(self) -> DragTool:
        assert self.window.drawing.drag is not None
        return self.window.drawing.drag

    def handle(self, key: str) -> Handle:
        return next(one for one in self.tool.handles if one.key == key)

    def pixel(self, key: str) -> QPoint:
        one = self.handle(key)
        assert self.canvas.page is not None
        return QPointF(*self.canvas.page.camera.point_px(one.view, *one.at)).toPoint()

    def send(self, kind: QEvent.Type, at: QPoint, held: bool, modifiers: Qt.KeyboardModifier = PLAIN) -> None:
        button = NONE if kind == QEvent.Type.MouseMove else LEFT
        place = QPointF(at)
        event = QMouseEvent(
            kind, place, self.canvas.mapToGlobal(place), button, LEFT if held else NONE, modifiers
        )  # fmt: skip
        QApplication.sendEvent(self.canvas, event)

    def press(self, key: str) -> QPoint:
        at = self.pixel(key)
        self.send(QEvent.Type.MouseButtonPress, at, held=True)
        return at

    def move(self, at: QPoint, modifiers: Qt.KeyboardModifier = PLAIN) -> None:
        self.send(QEvent.Type.MouseMove, at, held=True, modifiers=modifiers)

    def release(self, at: QPoint) -> None:
        self.send(QEvent.Type.MouseButtonRelease, at, held=False)

    def drag(self, key: str, dx: int, dy: int, modifiers: Qt.KeyboardModifier = PLAIN) -> None:
        """Drag a handle in five moves, each shown, and let go."""
        at = self.press(key)
        for share in range(1, 6):
            self.move(at + QPoint(dx * share // 5, dy * share // 5), modifiers)
            QApplication.processEvents()
        self.release(at + QPoint(dx, dy))
        QApplication.processEvents()


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")


Taking = Callable[[str], Hand]


@pytest.fixture
def taking(qtbot: QtBot, let_go: Callable[[MainWindow], None]) -> Iterator[Taking]:
    """Open a sample in a window and lay a hand on it; the windows are let go at the end."""
    hands: list[Hand] = []

    def take(sample: str) -> Hand:
        hands.append(Hand(sample, qtbot))
        return hands[-1]

    yield take
    for hand in hands:
        let_go(hand.window)


@pytest.fixture
def hand(taking: Taking) -> Hand:
    return taking("ranch_truck_swap")


@pytest.fixture
def on_links(taking: Taking) -> Hand:
    return taking("transfer_case_double_joint")


@pytest.fixture
def two_piece(taking: Taking) -> Hand:
    return taking("long_van_two_piece")


def check_drag(hand: Hand, key: str, path: str, dx: int = 24, dy: int = -18) -> None:
    """A drag changes this entry and no other, in one step, and lands under the hand to within its steps."""
    before = hand.document.build
    at = hand.pixel(key)
    hand.drag(key, dx, dy)
    after = hand.document.build
    assert value_at(after, path) != value_at(before, path)
    changed = {name for name in Build.model_fields if getattr(before, name) != getattr(after, name)}
    assert changed == {path.partition(".")[0]}
    assert hand.document.stack.count() == 1
    assert hand.document.solution == solve(after)
    assert hand.canvas.page is not None
    if hand.handle(key).about is None:
        off = hand.pixel(key) - (at + QPoint(dx, dy))
        assert max(abs(off.x()), abs(off.y())) <= 13.0 / 2 * hand.canvas.page.camera.scale + 1.0  # half a half inch
    hand.window.undo()
    assert hand.document.build == before


@pytest.mark.parametrize(
    ("key", "path"),
    [
        ("side output joint", "powertrain.output_joint_mm"),
        ("top output joint", "powertrain.output_joint_mm"),
        ("side rear mount", "powertrain.rear_mount_mm"),
        ("side pinion nose", "axle.pinion_slope_deg"),
        ("top pinion nose", "axle.pinion_plan_deg"),
        ("side axle centre", "axle.centre_mm"),
        ("top axle centre", "axle.centre_mm"),
        ("side obstacle 1 corner 1", "obstacles.1.outline_mm"),
        ("top obstacle 2 corner 0", "obstacles.2.outline_mm"),
    ],
)
def test_each_kind_of_handle_is_dragged_in_one_step(hand: Hand, key: str, path: str) -> None:
    check_drag(hand, key, path)


@pytest.mark.parametrize("end", ["front_eye_mm", "shackle_pivot_mm"])
def test_spring_eyes_are_dragged(hand: Hand, end: str) -> None:
    check_drag(hand, f"side {end}", f"suspension.{end}", 8, -6)  # the spring still hangs in its shackle


@pytest.mark.parametrize("end", ["lower_frame", "lower_axle", "upper_frame", "upper_axle"])
def test_link_ends_are_dragged(on_links: Hand, end: str) -> None:
    check_drag(on_links, f"side {end.replace('_', ' link ')}", f"suspension.{end}_mm")


@pytest.mark.parametrize("view", ["side", "top"])
def test_the_support_bearing_is_dragged(two_piece: Hand, view: str) -> None:
    check_drag(two_piece, f"{view} bearing", "shaft.bearing_mm")


def test_a_view_changes_only_the_two_directions_it_shows(hand: Hand) -> None:
    hand.drag("side output joint", 20, -20)
    x, y, z = hand.document.build.powertrain.output_joint_mm  # type: ignore[union-attr, misc]
    assert x > 1632.0
    assert (y, z > 645.0) == (-30.0, True)
    hand.drag("top output joint", 0, -20)
    assert hand.document.build.powertrain.output_joint_mm[1] > -30.0  # type: ignore[union-attr, index]
    assert hand.document.build.powertrain.output_joint_mm[2] == z  # type: ignore[union-attr, index]


def test_shift_snaps_finely_and_alt_not_at_all(hand: Hand) -> None:
    steps = []
    for modifiers, step in ((PLAIN, 12.7), (SHIFT, 25.4 / 16.0)):  # 1 in = 25.4 mm exactly
        hand.drag("side axle centre", 23, -17, modifiers)
        place = hand.document.build.axle.centre_mm  # type: ignore[union-attr]
        assert place is not None
        steps += [place[0] / step, place[2] / step]
        hand.window.undo()
    assert steps == pytest.approx([round(one) for one in steps], abs=1e-6)
    hand.drag("side axle centre", 23, -17, ALT)
    place = hand.document.build.axle.centre_mm  # type: ignore[union-attr]
    assert place is not None
    assert hand.canvas.page is not None
    assert place[0] - 3239.0 == pytest.approx(23.0 / hand.canvas.page.camera.scale, abs=0.01)


def test_a_hundred_moves_are_solved_a_hundred_times_at_most_and_draw_the_page_not_once(
    hand: Hand, monkeypatch: pytest.MonkeyPatch
) -> None:
    counts = {"Work": 0, "posed": 0, "solved": 0}
    for where, name in ((document_module, "Work"), (document_module.Work, "posed"), (document_module, "solved")):
        real = getattr(where, name)

        def counted(*what: object, name: str = name, real: object = real) -> object:
            counts[name] += name != "posed" or len(what) == 2  # the ends of the travel are not at ride height
            return real(*what)  # type: ignore[operator]

        monkeypatch.setattr(where, name, counted)
    at = hand.press("side output joint")
    full, blits = hand.canvas.full_draws, hand.canvas.blits
    for i in range(100):
        hand.move(at + QPoint(5 + i % 30, -5 - i % 20), ALT)
        QApplication.processEvents()
    hand.release(at + QPoint(20, -20))
    assert counts["Work"] <= 101
    assert counts["posed"] <= 101
    assert counts["solved"] <= 100
    assert hand.canvas.full_draws == full
    assert hand.canvas.blits > blits + 95  # every move was seen
    assert hand.document.stack.count() == 1


def on_screen(hand: Hand) -> QImage:
    """What the screen shows of the drawing, as it was painted bit by bit."""
    drawn = -1
    while drawn != hand.canvas.blits:  # what one turn of the event loop draws the next one paints
        drawn = hand.canvas.blits
        QApplication.processEvents()
        QApplication.processEvents()
    canvas, corner = hand.canvas, hand.canvas.mapTo(hand.window, QPoint(0, 0))
    shown = hand.window.screen().grabWindow(
        hand.window.winId(), corner.x(), corner.y(), canvas.width(), canvas.height()
    )  # fmt: skip
    return shown.toImage().convertToFormat(QImage.Format.Format_RGB32)


def painted_whole(canvas: SketchCanvas) -> QImage:
    return canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def levels(image: QImage) -> np.ndarray[tuple[int, ...], np.dtype[np.int64]]:
    """Levels of all colours of an image's pixels."""
    return np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4).astype(np.int64)


def assert_same_picture(one: QImage, other: QImage) -> None:
    """A smoothed line that runs over the edge of what is painted anew may differ by two levels of 255."""
    assert one.size() == other.size()
    assert np.abs(levels(one) - levels(other)).max() <= 2


@pytest.mark.parametrize("key", ["side output joint", "top axle centre", "side obstacle 1 corner 1", "side rear mount"])
def test_what_a_move_paints_anew_is_all_that_changed(
    qtbot: QtBot, hand: Hand, key: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for wait in ("_REST_MS", "_FOLLOW_MS"):  # however slow the machine, the hand does not rest
        monkeypatch.setattr(document_module, wait, 600_000)
    hand.window.selection.choose(None, part="suspension")
    at = hand.press(key)
    for i in range(1, 9):
        hand.move(at + QPoint(9 * i, (-7, 5)[i % 2] * i), ALT)
        assert_same_picture(on_screen(hand), painted_whole(hand.canvas))
    glimpse, page, stage = hand.document.glimpse, hand.canvas.page, hand.canvas.stage
    assert glimpse is not None
    assert page is not None
    assert stage is not None
    fresh = SketchCanvas()
    qtbot.addWidget(fresh)
    fresh.resize(hand.canvas.size())
    fresh.select_part("suspension")
    fresh.show_glimpse(glimpse.build, glimpse.solution)
    fresh.look(page.camera)
    fresh.grab()
    assert fresh.stage is not None
    # Where a stroke runs over the edge of what is drawn anew, the renderer's rounding may differ by one level of 255.
    off = np.abs(levels(stage.image) - levels(fresh.stage.image))
    assert off.max() <= 1
    assert np.count_nonzero(off.max(axis=2)) < 100
    hand.release(at + QPoint(72, 40))
    assert_same_picture(on_screen(hand), painted_whole(hand.canvas))


def test_moves_within_one_turn_of_the_event_loop_are_answered_once(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[Build] = []
    real = document_module.Work
    monkeypatch.setattr(document_module, "Work", lambda build: (seen.append(build), real(build))[1])
    at = hand.press("side output joint")
    for i in range(40):
        hand.move(at + QPoint(i, 0), ALT)
    QApplication.processEvents()
    assert len(seen) == 1
    assert hand.document.glimpse is not None
    assert hand.document.glimpse.build is seen[0] or hand.document.glimpse.build == seen[0]
    hand.release(at)


def test_the_drawing_shows_the_hand_before_the_findings_follow(qtbot: QtBot, hand: Hand) -> None:
    before = hand.document.build
    at = hand.press("side pinion nose")
    hand.move(at + QPoint(0, -30))
    QApplication.processEvents()
    glimpse = hand.document.glimpse
    assert glimpse is not None
    assert hand.document.build is before
    # What is shown at once is the answer that the whole solve gives at ride height.
    whole = solve(glimpse.build)
    assert glimpse.solution.angles == whole.angles
    for name in ("output_joint_mm", "pinion_joint_mm", "axle_centre_mm"):
        assert getattr(glimpse.solution.picture, name) == pytest.approx(getattr(whole.picture, name), abs=1e-6)
    assert [one.operating_deg for one in glimpse.solution.joints] == pytest.approx(
        [one.operating_deg for one in whole.joints], abs=1e-9
    )
    qtbot.waitUntil(lambda: hand.document.build == glimpse.build)  # the hand rests: findings follow
    assert hand.document.dragging
    assert hand.window.findings.list.findings.row_of(("pinion_residual", "rear_joint")) >= 0
    assert hand.window.findings.list.findings.index(0).data() == hand.document.solution.findings[0].title
    hand.release(at + QPoint(0, -30))
    assert hand.document.stack.count() == 1


def test_escape_takes_a_drag_back_and_leaves_no_step(qtbot: QtBot, hand: Hand) -> None:
    before, picture = hand.document.build, hand.document.solution.picture
    at = hand.press("side axle centre")
    for i in range(1, 10):
        hand.move(at + QPoint(4 * i, -3 * i))
        QApplication.processEvents()
    qtbot.waitUntil(lambda: hand.document.build != before)  # even once the findings have followed
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Escape)
    assert hand.document.build == before
    assert hand.document.stack.count() == 0
    assert hand.document.stack.isClean()
    assert hand.tool.handle_at(at.x(), at.y()) is not None
    assert hand.document.solution.picture == picture
    hand.move(at + QPoint(60, -60))  # the button is still down: nothing is moved any more, nor the page
    camera = hand.canvas.page.camera  # type: ignore[union-attr]
    hand.release(at + QPoint(60, -60))
    QApplication.processEvents()
    assert hand.document.build == before
    assert hand.canvas.page.camera == camera  # type: ignore[union-attr]


def test_a_drag_that_comes_back_leaves_no_step(hand: Hand) -> None:
    at = hand.press("side output joint")
    hand.move(at + QPoint(30, 0))
    QApplication.processEvents()
    hand.move(at)
    QApplication.processEvents()
    hand.release(at)
    assert hand.document.stack.count() == 0
    assert hand.document.stack.isClean()


def test_a_press_without_a_move_is_a_click(hand: Hand) -> None:
    at = hand.press("side output joint")
    hand.move(at + QPoint(2, 1))
    hand.release(at + QPoint(2, 1))
    assert hand.document.stack.count() == 0
    assert hand.window.selection.part == "front_joint"


def test_what_cannot_be_leaves_the_last_good_place_and_says_why(hand: Hand) -> None:
    at = hand.press("side rear mount")
    there = at + QPoint(-40, 0)
    hand.move(at + QPoint(0, 20))
    QApplication.processEvents()
    assert hand.document.glimpse is not None
    good = hand.document.glimpse.build
    hand.move(there + QPoint(9000, 0))  # far behind anything that is a vehicle
    QApplication.processEvents()
    assert "ear mount" in hand.window.foot.told.text()
    hand.release(there)
    assert hand.document.build == good
    assert hand.document.stack.count() == 1


def test_away_from_ride_height_nothing_moves_and_one_sentence_says_so(hand: Hand) -> None:
    before = hand.document.build
    hand.window.drawing.travel.state.go(30.0)
    QApplication.processEvents()
    hand.drag("side pinion nose", 0, -30)
    assert hand.document.build is before
    assert hand.window.foot.told.text() == BACK_TO_REST
    hand.window.drawing.travel.state.to_ride_height()
    hand.drag("side pinion nose", 0, -30)
    assert hand.document.build != before


def test_the_ends_of_the_travel_stand_aside_while_the_hand_moves(hand: Hand) -> None:
    def ghosts() -> int:
        assert hand.canvas.scene is not None
        return sum(one.role == "ghost" for one in hand.canvas.scene.strokes)

    assert ghosts() > 0
    at = hand.press("side output joint")
    hand.move(at + QPoint(20, 0))
    QApplication.processEvents()
    assert ghosts() == 0
    hand.release(at + QPoint(20, 0))
    assert ghosts() > 0


def test_hovering_shows_a_ring_and_a_cursor_and_leaving_takes_them_away(hand: Hand) -> None:
    at = hand.pixel("side axle centre")

    def ring() -> QColor:
        return hand.canvas.grab().toImage().pixelColor(at + QPoint(9, 0))

    before = ring()
    hand.send(QEvent.Type.MouseMove, at, held=False)
    assert hand.canvas.cursor().shape() == Qt.CursorShape.SizeAllCursor
    accent, now = QColor(THEMES[hand.canvas.theme].accent), ring()
    assert now != before
    assert abs(now.hslHue() - accent.hslHue()) < 12  # its edge is smoothed, its hue is the accent's
    hand.send(QEvent.Type.MouseMove, hand.pixel("side pinion nose"), held=False)
    assert hand.canvas.cursor().shape() == Qt.CursorShape.SizeVerCursor
    assert ring() == before
    hand.send(QEvent.Type.MouseMove, QPoint(3, 3), held=False)
    assert hand.canvas.cursor().shape() == Qt.CursorShape.ArrowCursor


def test_tab_goes_through_the_handles_and_out_again(qtbot: QtBot, hand: Hand) -> None:
    hand.canvas.setFocus()
    seen = []
    for _ in hand.tool.handles:
        qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
        assert hand.tool.chosen is not None
        seen.append(hand.tool.chosen.key)
    assert seen == [one.key for one in hand.tool.handles]
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    assert hand.tool.chosen is None
    assert not hand.canvas.hasFocus()


def test_escape_lets_go_of_a_handle_and_tab_then_leaves_the_drawing(qtbot: QtBot, hand: Hand) -> None:
    hand.canvas.setFocus()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Backtab, SHIFT)
    assert hand.tool.chosen == hand.handle("side output joint")
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Escape)
    assert hand.tool.chosen is None
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    assert not hand.canvas.hasFocus()


def test_a_burst_of_arrows_is_one_step(qtbot: QtBot, hand: Hand) -> None:
    hand.canvas.setFocus()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    for _ in range(3):
        qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Up, SHIFT)
    assert hand.document.dragging
    qtbot.waitUntil(lambda: not hand.document.dragging)  # the keys rest
    assert hand.document.stack.count() == 1
    x, _, z = hand.document.build.powertrain.output_joint_mm  # type: ignore[union-attr, misc]
    assert x == pytest.approx(131 * 12.7)  # 1632 mm lies between 128 and 129 half inches
    assert z == pytest.approx(407 * 25.4 / 16.0)  # 645 mm lies between 406 and 407 sixteenths
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Left)
    hand.tool.rest()
    assert hand.document.stack.count() == 2
    hand.window.undo()
    hand.window.undo()
    assert hand.document.build.powertrain.output_joint_mm == (1632.0, -30.0, 645.0)  # type: ignore[union-attr]


def test_undo_and_leaving_end_a_burst(qtbot: QtBot, hand: Hand) -> None:
    hand.canvas.setFocus()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    hand.window.undo()
    assert hand.document.build.powertrain.output_joint_mm == (1632.0, -30.0, 645.0)  # type: ignore[union-attr]
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Left)
    hand.window.findings.list.setFocus()
    assert not hand.document.dragging
    assert hand.document.build.powertrain.output_joint_mm[0] == pytest.approx(128 * 12.7)  # type: ignore[union-attr, index]


def test_escape_takes_a_burst_back(qtbot: QtBot, hand: Hand) -> None:
    before = hand.document.build
    hand.canvas.setFocus()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Down)
    QApplication.processEvents()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Escape)
    assert hand.document.build == before
    assert hand.document.stack.count() == 0
    assert hand.tool.chosen is not None


def test_arrows_still_move_the_page_where_no_handle_is_chosen(qtbot: QtBot, hand: Hand) -> None:
    hand.canvas.setFocus()
    assert hand.canvas.page is not None
    before = hand.canvas.page.camera
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    QApplication.processEvents()
    assert hand.canvas.page.camera != before
    assert hand.document.stack.count() == 0


def test_after_a_drag_the_entry_comes_forward(hand: Hand) -> None:
    hand.drag("side shackle_pivot_mm", 10, -10)
    assert hand.window.selection.entry == "suspension.shackle_pivot_mm"
    assert hand.window.measurements.boxes["suspension"].is_open


def test_saving_in_a_burst_saves_all_of_it(qtbot: QtBot, hand: Hand, tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    hand.document.mark_saved(path)
    hand.canvas.setFocus()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    hand.window.filing.save()
    kept = Build.model_validate_json(path.read_text(encoding="utf-8"))
    assert kept.powertrain is not None
    assert kept.powertrain.output_joint_mm is not None
    assert kept.powertrain.output_joint_mm[0] == pytest.approx(129 * 12.7)
    assert hand.document.stack.isClean()
