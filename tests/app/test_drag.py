"""Dragging in the drawing, by mouse and keyboard: one step each, taken back by Escape, and no work done twice."""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QSettings, Qt
from PySide6.QtGui import QColor, QMouseEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.drawing.drawing import Style, drawing
from app.drawing.places import View
from app.drawing.subject import Subject
from app.files import write_build
from app.window import document as document_module
from app.window.canvas.canvas import Canvas
from app.window.canvas.drag import BACK_TO_REST, DragTool
from app.window.canvas.handles import Handle
from app.window.canvas.rings import Rings
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
        self.off_px = 0

    @property
    def canvas(self) -> Canvas:
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
        view = self.canvas.view(one.view)
        assert view is not None
        return QPointF(*view.px(one.at)).toPoint()

    @property
    def side(self) -> View:
        view = self.canvas.view("side")
        assert view is not None
        return view

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
        """Drag a handle in five moves, each shown, and let go; `off_px` is how far it was from the hand at the last."""
        at = self.press(key)
        for share in range(1, 6):
            self.move(at + QPoint(dx * share // 5, dy * share // 5), modifiers)
            QApplication.processEvents()
        off = self.pixel(key) - (at + QPoint(dx, dy))
        self.off_px = max(abs(off.x()), abs(off.y()))
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
    view = hand.canvas.view(hand.handle(key).view)
    assert view is not None
    scale = view.scale
    hand.drag(key, dx, dy)
    after = hand.document.build
    assert value_at(after, path) != value_at(before, path)
    changed = {name for name in Build.model_fields if getattr(before, name) != getattr(after, name)}
    assert changed == {path.partition(".")[0]}
    assert hand.document.stack.count() == 1
    assert hand.document.solution == solve(after)
    if hand.handle(key).about is None:
        assert hand.off_px <= 13.0 / 2 * scale + 1.0  # half a half inch
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
    hand.canvas.look("whole")
    check_drag(hand, f"side {end}", f"suspension.{end}", 8, -6)  # the spring still hangs in its shackle


@pytest.mark.parametrize("end", ["lower_frame", "lower_axle", "upper_frame", "upper_axle"])
def test_link_ends_are_dragged(on_links: Hand, end: str) -> None:
    check_drag(on_links, f"side {end.replace('_', ' link ')}", f"suspension.{end}_mm")


@pytest.mark.parametrize("view", ["side", "top"])
def test_the_support_bearing_is_dragged(two_piece: Hand, view: str) -> None:
    check_drag(two_piece, f"{view} bearing", "shaft.bearing_mm")


@pytest.mark.parametrize(
    ("sample", "key", "path"),
    [
        ("ranch_truck_swap", "shock 0 frame_point_mm", "shocks.0.frame_point_mm"),
        ("ranch_truck_swap", "shock 1 axle_point_mm", "shocks.1.axle_point_mm"),
        ("long_van_two_piece", "torque bar 0 frame_point_mm", "torque_bars.0.frame_point_mm"),
        ("transfer_case_double_joint", "lateral link 0 frame_point_mm", "lateral_link.frame_point_mm"),
        ("transfer_case_double_joint", "lateral link 0 axle_point_mm", "lateral_link.axle_point_mm"),
        ("long_van_two_piece", "flexible line 1 axle_point_mm", "flexible_lines.1.axle_point_mm"),
    ],
)
def test_ends_of_brackets_are_dragged_seen_from_behind(taking: Taking, sample: str, key: str, path: str) -> None:
    """Sideways and up, in one step, with the station left as it was measured; undo brings it back."""
    hand = taking(sample)
    hand.window.selection.choose(None, part=path.partition(".")[0])
    before = value_at(hand.document.build, path)
    check_drag(hand, f"rear {key}", path)
    hand.window.document.stack.redo()
    after = value_at(hand.document.build, path)
    assert after[0] == before[0]
    assert after[1] > before[1]
    assert after[2] > before[2]
    hand.window.undo()
    check_drag(hand, f"rear {key}", path, -24, 12)


def test_a_view_from_behind_comes_with_the_choice_and_goes_with_it(hand: Hand) -> None:
    """And nothing of the others has moved: neither while it is there nor once it is gone."""

    def places() -> list[tuple[float, float] | None]:
        views = [hand.canvas.view(name) for name in ("side", "top")]
        return [None if one is None else one.px(at) for one in views for at in ((0.0, 0.0), (3000.0, 400.0))]

    first, before = places(), hand.canvas.drawing
    assert hand.canvas.view("rear") is None
    assert not [one for one in hand.tool.handles if one.view == "rear"]
    for part in ("shocks", "perches"):
        hand.window.selection.choose(None, part=part)
        QApplication.processEvents()
        assert hand.canvas.view("rear") is not None
        assert places() == [None if one is None else pytest.approx(one, abs=1e-6) for one in first]
        for other in ("axle", "torque_bars", None):  # of bars there are none
            hand.window.selection.choose(None, part=other)
            QApplication.processEvents()
            assert hand.canvas.view("rear") is None
            assert hand.canvas.drawing == before
            hand.window.selection.choose(None, part=part)


def test_the_number_seen_from_behind_follows_the_hand(hand: Hand, monkeypatch: pytest.MonkeyPatch) -> None:
    for wait in ("_REST_MS", "_FOLLOW_MS"):  # the findings do not follow yet
        monkeypatch.setattr(document_module, wait, 600_000)
    hand.window.selection.choose(None, part="shocks")
    key = "rear shock 0 frame_point_mm"
    view = hand.canvas.view("rear")
    at = hand.press(key)
    for i in range(1, 6):
        hand.move(at + QPoint(7 * i, -2 * i), ALT)
        QApplication.processEvents()
        glimpse, made = hand.document.glimpse, hand.canvas.drawing
        assert glimpse is not None
        assert made is not None
        shock = glimpse.build.shocks[0]
        (_, y, z), (_, low_y, low_z) = shock.frame_point_mm, shock.axle_point_mm  # type: ignore[misc]
        lean = abs(math.degrees(math.atan2(y - low_y, z - low_z)))
        assert f"{lean:.1f}°" in [text for _, text in made.words]
        assert hand.canvas.view("rear") == view  # scale and places stand still
        off = hand.pixel(key) - (at + QPoint(7 * i, -2 * i))
        assert max(abs(off.x()), abs(off.y())) <= 1
    assert hand.tool.says.startswith("shock, upper eye: right ")
    hand.release(at + QPoint(35, -10))


def test_ends_seen_from_behind_are_moved_from_the_keyboard(hand: Hand, qtbot: QtBot) -> None:
    hand.window.selection.choose(None, part="shocks")
    hand.canvas.setFocus()
    behind = [one.key for one in hand.tool.handles if one.view == "rear"]
    assert len(behind) == 4
    told = []
    for _ in behind:
        qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
        assert hand.tool.chosen is not None
        told.append(hand.tool.chosen.key)
        if told[-1] == "rear shock 1 axle_point_mm":
            break
    x, y, z = hand.document.build.shocks[1].axle_point_mm  # type: ignore[misc]
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Up)
    hand.tool.rest()
    after = hand.document.build.shocks[1].axle_point_mm
    assert after is not None
    assert after[0] == x
    assert y < after[1] <= y + 12.7
    assert z < after[2] <= z + 12.7
    assert hand.document.stack.count() == 1
    hand.window.undo()
    assert hand.document.build.shocks[1].axle_point_mm == (x, y, z)


@pytest.mark.parametrize(
    ("plan", "key", "path", "told"),
    [
        ({"perches": "loose"}, "side pinion nose", "plan.pinion_slope_deg", "Set in the plan: pinion slope to weld at"),
        ({"axle_shim_deg": 1.0}, "side pinion nose", "plan.axle_shim_deg", "Set in the plan: wedge at the perches"),
        ({"rear_lift_mm": 76.2}, "side pinion nose", "plan.axle_shim_deg", "Set in the plan: wedge at the perches"),
        ({"mounts": "loose"}, "side output joint", "plan.powertrain_shift_mm", "Set in the plan: engine and gearbox"),
        ({}, "side pinion nose", "axle.pinion_slope_deg", "Measurement changed: pinion slope"),
        ({"rear_lift_mm": 76.2}, "side output joint", "powertrain.output_joint_mm", "as measured before the lift."),
    ],
)
def test_a_drag_sets_the_plan_where_that_decides_and_the_foot_says_which(
    hand: Hand, plan: dict[str, object], key: str, path: str, told: str
) -> None:
    if plan:
        hand.document.apply({f"plan.{name}": value for name, value in plan.items()}, "planning")
    before, steps = hand.document.build, hand.document.stack.count()
    hand.drag(key, 0, -24)
    assert value_at(hand.document.build, path) != value_at(before, path)
    assert hand.document.stack.count() == steps + 1
    assert told in hand.window.foot.told.text()
    assert hand.off_px <= 13.0 / 2 * hand.side.scale + 1.0 or "slope" in path or "shim" in path
    changed = {name for name in Build.model_fields if getattr(before, name) != getattr(hand.document.build, name)}
    assert changed == {path.partition(".")[0]}


def test_an_axle_that_a_lift_has_moved_is_no_place_to_measure_at(hand: Hand) -> None:
    assert {one.key for one in hand.tool.handles} >= {"side axle centre", "top axle centre"}
    hand.document.apply({"plan.rear_lift_mm": 76.2, "plan.rear_lift_by": "block"}, "planning")
    assert not any("axle centre" in one.key for one in hand.tool.handles)


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
    scale = hand.side.scale
    hand.drag("side axle centre", 23, -17, ALT)
    place = hand.document.build.axle.centre_mm  # type: ignore[union-attr]
    assert place is not None
    assert place[0] - 3239.0 == pytest.approx(23.0 / scale, abs=0.01)


def test_a_hundred_moves_are_solved_a_hundred_times_at_most_and_drawn_once_each(
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
    draws = hand.canvas.draws
    for i in range(100):
        hand.move(at + QPoint(5 + i % 30, -5 - i % 20), ALT)
        QApplication.processEvents()
    hand.release(at + QPoint(20, -20))
    assert counts["Work"] <= 101
    assert counts["posed"] <= 101
    assert counts["solved"] <= 100
    assert 96 <= hand.canvas.draws - draws <= 101  # every move was seen, and none was drawn twice
    assert hand.document.stack.count() == 1


@pytest.mark.parametrize("key", ["side output joint", "top axle centre", "side obstacle 1 corner 1", "side rear mount"])
def test_under_the_hand_scale_and_places_stand_still_and_what_is_moved_is_drawn_whole(
    hand: Hand, key: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for wait in ("_REST_MS", "_FOLLOW_MS"):  # however slow the machine, the hand does not rest
        monkeypatch.setattr(document_module, wait, 600_000)
    before = hand.canvas.drawing
    assert before is not None
    at = hand.press(key)
    for i in range(1, 9):
        hand.move(at + QPoint(9 * i, (-7, 5)[i % 2] * i), ALT)
        QApplication.processEvents()
        now, glimpse = hand.canvas.drawing, hand.document.glimpse
        assert now is not None
        assert now.zones is not None
        assert before.zones is not None
        assert glimpse is not None
        assert (now.zones.side, now.zones.top) == (before.zones.side, before.zones.top)
        assert now.form == before.form
        off = hand.pixel(key) - (at + QPoint(9 * i, (-7, 5)[i % 2] * i))
        assert max(abs(off.x()), abs(off.y())) <= 1  # it is under the hand
        subject = Subject(glimpse.build, glimpse.solution, glimpse.solution)
        size = (hand.canvas.width(), hand.canvas.height())
        style = Style(theme=hand.canvas.theme, names=False)  # nobody reads them under a moving hand
        assert now == drawing(subject, size, style, look=before.zones, form=before.form)
    hand.release(at + QPoint(72, 40))
    after = hand.canvas.drawing
    assert after is not None
    assert after.zones is not None
    size = (hand.canvas.width(), hand.canvas.height())
    subject = Subject(hand.document.build, hand.document.solution, hand.document.solution)
    assert after == drawing(subject, size, Style(theme=hand.canvas.theme))


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
    assert hand.window.findings.list.model.row_of(("pinion_residual", "rear_joint")) >= 0
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
    side = hand.side
    hand.release(at + QPoint(60, -60))
    QApplication.processEvents()
    assert hand.document.build == before
    assert hand.side == side


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
    def ends() -> int:
        assert hand.canvas.subject is not None
        return len(hand.canvas.subject.ends)

    hand.window.drawing.travel.bar.ends.setChecked(True)
    assert ends() == 2
    at = hand.press("side output joint")
    hand.move(at + QPoint(20, 0))
    QApplication.processEvents()
    assert ends() == 0
    hand.release(at + QPoint(20, 0))
    assert ends() == 2


def test_what_the_hand_sets_is_written_over_no_other_words(hand: Hand) -> None:
    """Place after place is taken by other words, and one far off: it always finds one that is free of all of them."""
    made = hand.canvas.drawing
    assert made is not None
    middle = QPointF(made.width / 2.0, made.height / 2.0)
    taken = [((2.0, 2.0, 30.0, 12.0), "far off")]
    for _ in range(12):
        rings = Rings(hand.tool, hand.canvas)
        box = rings._words_box(replace(made, words=tuple(taken), bodies=()), middle, "2.5° nose up")
        assert box is not None
        for (left, top, right, bottom), words in taken:
            assert box[2] < left or right < box[0] or box[3] < top or bottom < box[1], (box, words)
        taken.append((box, f"words {len(taken)}"))


def test_hovering_shows_a_ring_and_a_cursor_and_leaving_takes_them_away(hand: Hand) -> None:
    at = hand.pixel("side axle centre")

    def ring() -> QColor:
        return hand.canvas.grab().toImage().pixelColor(at + QPoint(9, 0))

    before = ring()
    hand.send(QEvent.Type.MouseMove, at, held=False)
    assert hand.canvas.cursor().shape() == Qt.CursorShape.SizeAllCursor
    accent, now = QColor(hand.canvas.theme.accent), ring()
    assert now != before
    assert abs(now.hslHue() - accent.hslHue()) < 12  # its edge is smoothed, its hue is the accent's
    hand.send(QEvent.Type.MouseMove, hand.pixel("side pinion nose"), held=False)
    assert hand.canvas.cursor().shape() == Qt.CursorShape.SizeVerCursor
    assert ring() == before
    hand.send(QEvent.Type.MouseMove, QPoint(3, 3), held=False)
    assert hand.canvas.cursor().shape() == Qt.CursorShape.ArrowCursor


def frame_is_drawn(hand: Hand, at: tuple[float, float]) -> bool:
    """Whether the drawing and the handle that the arrows move have their frames, each two pixels of the accent."""
    image, accent = hand.canvas.grab().toImage(), QColor(hand.canvas.theme.accent)
    edge = [image.pixelColor(x, image.height() // 2) for x in (0, 1, image.width() - 2, image.width() - 1)]
    beside = [image.pixelColor(round(at[0] - 13.0) + dx, round(at[1])).hslHue() - accent.hslHue() for dx in (-1, 0, 1)]
    return edge == [accent] * 4 and min(map(abs, beside)) < 12


def test_handles_show_themselves_to_the_keyboard_and_to_a_pointer_that_is_near(hand: Hand) -> None:
    hand.window.findings.list.setFocus()
    hand.send(QEvent.Type.MouseMove, QPoint(3, 3), held=False)
    assert hand.tool.offered() == []
    hand.send(QEvent.Type.MouseMove, hand.pixel("side axle centre") + QPoint(50, 0), held=False)
    keys = {one.key for one in hand.tool.offered()}
    assert "side axle centre" in keys
    assert "side output joint" not in keys
    hand.canvas.setFocus()
    assert len(hand.tool.offered()) > len(keys)
    for one in hand.tool.offered():
        view = hand.canvas.view(one.view)
        assert view is not None
        x, y = view.px(one.at)
        assert view.holds((x - 13.0, y - 13.0))
        assert view.holds((x + 13.0, y + 13.0))


def test_tab_goes_through_the_handles_and_out_again(qtbot: QtBot, hand: Hand) -> None:
    hand.canvas.setFocus()
    seen = []
    for _ in hand.tool.handles:
        qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
        assert hand.tool.chosen is not None
        seen.append(hand.tool.chosen.key)
        view = hand.canvas.view(hand.tool.chosen.view)
        assert view is not None
        x, y = view.px(hand.tool.chosen.at)
        for corner in ((x - 13.0, y - 13.0), (x + 13.0, y + 13.0)):
            assert view.holds(corner)  # it is in sight with its frame
        assert hand.canvas.hasFocus()
        assert frame_is_drawn(hand, (x, y))
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
    before = hand.side
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    QApplication.processEvents()
    assert hand.side != before
    assert hand.document.stack.count() == 0


def test_after_a_drag_the_entry_comes_forward(hand: Hand) -> None:
    hand.canvas.look("whole")
    hand.drag("side shackle_pivot_mm", 10, -10)
    assert hand.window.selection.entry == "suspension.shackle_pivot_mm"
    assert hand.window.measurements.boxes["suspension"].is_open


def test_saving_in_a_burst_saves_all_of_it(qtbot: QtBot, hand: Hand, tmp_path: Path) -> None:
    path = tmp_path / "truck.json"
    hand.document.mark_saved(path, write_build(path, hand.document.build))
    hand.canvas.setFocus()
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Tab)
    qtbot.keyClick(hand.canvas, Qt.Key.Key_Right)
    hand.window.filing.save()
    kept = Build.model_validate_json(path.read_text(encoding="utf-8"))
    assert kept.powertrain is not None
    assert kept.powertrain.output_joint_mm is not None
    assert kept.powertrain.output_joint_mm[0] == pytest.approx(129 * 12.7)
    assert hand.document.stack.isClean()
