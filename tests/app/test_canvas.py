"""The drawing on the screen: painted once an edit, clicks that find their part, views that stay where they were put."""

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.drawing.drawing import Drawing
from app.drawing.palette import THEMES
from app.drawing.places import View
from app.drawing.subject import Subject
from app.drawing.zones import Look
from app.window.canvas.canvas import SCALES, Canvas
from geometry import Build, edited, solve
from tests.app.desk import moved, sample

BUILD = sample("ranch_truck_swap")
SOLUTION = solve(BUILD)
HURRY = edited(
    Build(),
    {"powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.4, "readings.shaft_slope_deg": 10.8},
)
LEFT = Qt.MouseButton.LeftButton


def subject(build: Build = BUILD) -> Subject:
    whole = SOLUTION if build is BUILD else solve(build)
    return Subject(build, whole, whole)


def some(count: int) -> list[Subject]:
    return [subject(edited(BUILD, {"axle.pinion_slope_deg": 2.0 + 0.03 * i})) for i in range(count)]


@pytest.fixture
def canvas(qtbot: QtBot) -> Canvas:
    made = Canvas()
    qtbot.addWidget(made)
    made.resize(1240, 700)
    made.show_subject(subject())
    made.show()
    qtbot.waitExposed(made)
    made.grab()
    return made


def side(canvas: Canvas) -> View:
    view = canvas.view("side")
    assert view is not None
    return view


def drawn(canvas: Canvas) -> Drawing:
    assert canvas.drawing is not None
    return canvas.drawing


def joint_pixel(canvas: Canvas, number: int) -> QPoint:
    x, _, z = SOLUTION.picture.joint_centres_mm[number]
    return QPointF(*side(canvas).px((x, z))).toPoint()


def pixel(canvas: Canvas, at: QPoint) -> QColor:
    return canvas.grab().toImage().pixelColor(at)


def empty(canvas: Canvas) -> QPoint:
    """A place of the side view where a press takes nothing."""
    left, top, right, bottom = side(canvas).box
    for x in np.arange(right - 30.0, left, -20.0):
        for y in np.arange(top + 20.0, bottom, 20.0):
            if all(canvas.target_at(x + dx, y + dy) is None for dx in (-8, 0, 8) for dy in (-8, 0, 8)):
                return QPointF(x, y).toPoint()
    raise AssertionError("no empty place")


def test_edits_between_two_paints_are_drawn_once(canvas: Canvas) -> None:
    before = canvas.grab().toImage()
    draws = canvas.draws
    for one in some(20):
        canvas.show_subject(one)
    assert canvas.grab().toImage() != before
    assert canvas.draws == draws + 1
    canvas.grab()
    assert canvas.draws == draws + 1


def test_what_the_hand_does_over_it_draws_nothing_anew(canvas: Canvas) -> None:
    draws = canvas.draws
    for part in ("rear_joint", "shaft", None):
        canvas.select_part(part)  # type: ignore[arg-type]
        canvas.grab()
    assert canvas.draws == draws


@pytest.mark.parametrize("held", [False, True], ids=["edit", "held"])
def test_an_edit_shows_what_a_fresh_drawing_shows(qtbot: QtBot, canvas: Canvas, held: bool) -> None:
    moved = subject(edited(BUILD, {"axle.pinion_slope_deg": 9.0, "vehicle.frame_height_mm": 760.0}))
    canvas.show_subject(moved, held=held)
    canvas.grab()
    canvas.show_subject(moved)
    fresh = Canvas()
    qtbot.addWidget(fresh)
    fresh.resize(1240, 700)
    fresh.show_subject(moved)
    assert canvas.grab().toImage() == fresh.grab().toImage()
    assert canvas.accessibleDescription() == fresh.accessibleDescription()


def test_while_held_scale_and_place_stand_still_also_over_moves_that_were_never_painted(canvas: Canvas) -> None:
    before = drawn(canvas)
    for one in some(5):
        canvas.show_subject(one, held=True)
    far = subject(edited(BUILD, {"powertrain.output_joint_mm": (1300.0, -30.0, 760.0)}))
    canvas.show_subject(far, held=True)
    assert drawn(canvas).zones == before.zones
    assert drawn(canvas).form == before.form
    canvas.show_subject(far)
    assert side(canvas).scale != before.zones.side.scale  # type: ignore[union-attr]


def test_the_whole_answer_under_a_resting_hand_moves_nothing(canvas: Canvas) -> None:
    """With other findings the rows may grow: what is in the hand stays under it."""
    canvas.show_subject(subject(), held=True)
    before = side(canvas)
    worse = subject(edited(BUILD, {"axle.pinion_slope_deg": 12.0, "vehicle.cruise_speed_kmh": 160.0}))
    canvas.show_subject(worse, held=True)
    for place in ((1632.0, 645.0), (3239.0, 406.0)):
        assert side(canvas).px(place) == pytest.approx(before.px(place))


def test_size_and_theme_draw_anew_and_the_same_theme_does_not(canvas: Canvas) -> None:
    draws = canvas.draws
    canvas.set_theme("dark")
    assert pixel(canvas, QPoint(2, 350)) == QColor(THEMES["dark"].paper)
    assert canvas.draws == draws + 1
    canvas.resize(1000, 640)
    canvas.grab()
    assert (drawn(canvas).width, drawn(canvas).height) == (1000, 640)
    assert canvas.draws == draws + 2
    canvas.set_theme("dark")
    canvas.grab()
    assert canvas.draws == draws + 2


@pytest.mark.parametrize(("number", "part"), [(0, "front_joint"), (1, "rear_joint")])
def test_clicking_a_joint_tells_its_part(qtbot: QtBot, canvas: Canvas, number: int, part: str) -> None:
    with qtbot.waitSignal(canvas.part_clicked) as caught:
        qtbot.mouseClick(canvas, LEFT, pos=joint_pixel(canvas, number))
    assert caught.args == [part]


def test_clicking_a_finding_tells_it(qtbot: QtBot, canvas: Canvas) -> None:
    cells = [one for one in drawn(canvas).targets if one.finding]
    assert len(cells) >= 3
    for one in cells:
        assert any((two.id, two.part) == (one.finding, one.part) for two in SOLUTION.findings)
        at = QPointF(*np.mean(one.outline, axis=0).tolist()).toPoint()
        with qtbot.waitSignal(canvas.flag_clicked) as caught:
            qtbot.mouseClick(canvas, LEFT, pos=at)
        assert caught.args == [one.finding, one.part]


def test_clicking_an_obstacle_tells_its_number(qtbot: QtBot, canvas: Canvas) -> None:
    told = set()
    for one in drawn(canvas).targets:
        if one.obstacle is None:
            continue
        x, y = np.mean(one.outline, axis=0).tolist()
        if canvas.target_at(x, y) == one:
            with qtbot.waitSignal(canvas.obstacle_clicked) as caught:
                qtbot.mouseClick(canvas, LEFT, pos=QPointF(x, y).toPoint())
            told.add(caught.args[0])
            assert caught.args == [one.obstacle]
    assert len(told) >= 2


def test_clicking_a_number_tells_its_part(qtbot: QtBot, canvas: Canvas) -> None:
    top = side(canvas).box[1]
    above = [one for one in drawn(canvas).targets if max(y for _, y in one.outline) <= top + 0.01]
    assert len(above) == 4  # output, two joints, pinion
    for one in above:
        with qtbot.waitSignal(canvas.part_clicked) as caught:
            qtbot.mouseClick(canvas, LEFT, pos=QPointF(*np.mean(one.outline, axis=0).tolist()).toPoint())
        assert caught.args == [one.part]


def test_clicking_empty_paper_tells_nothing(qtbot: QtBot, canvas: Canvas) -> None:
    with qtbot.assertNotEmitted(canvas.part_clicked), qtbot.assertNotEmitted(canvas.flag_clicked):
        qtbot.mouseClick(canvas, LEFT, pos=empty(canvas))


def test_the_cursor_says_what_can_be_pressed(qtbot: QtBot, canvas: Canvas) -> None:
    qtbot.mouseMove(canvas, joint_pixel(canvas, 0))
    assert canvas.cursor().shape() == Qt.CursorShape.PointingHandCursor
    qtbot.mouseMove(canvas, empty(canvas))
    assert canvas.cursor().shape() == Qt.CursorShape.ArrowCursor


def pull(qtbot: QtBot, canvas: Canvas, at: QPoint) -> None:
    qtbot.mousePress(canvas, LEFT, pos=at)
    for step in (10, 30, 60):
        qtbot.mouseMove(canvas, at + QPoint(-step, step // 2))
    qtbot.mouseRelease(canvas, LEFT, pos=at + QPoint(-60, 30))
    canvas.grab()


def test_dragging_empty_paper_moves_the_page_and_double_click_brings_it_back(qtbot: QtBot, canvas: Canvas) -> None:
    before, at = side(canvas), empty(canvas)
    pull(qtbot, canvas, at)
    after = side(canvas)
    assert after.scale == before.scale
    assert (after.left_mm - before.left_mm) * before.scale == pytest.approx(60.0)
    assert (after.high_mm - before.high_mm) * before.scale == pytest.approx(30.0)
    above = canvas.view("top")
    assert above is not None
    assert (above.scale, above.left_mm) == (after.scale, after.left_mm)  # both views have one station axis
    qtbot.mouseDClick(canvas, LEFT, pos=empty(canvas))
    assert side(canvas) == before


def test_with_space_held_any_drag_moves_the_page(qtbot: QtBot, canvas: Canvas) -> None:
    before, at = side(canvas), joint_pixel(canvas, 0)
    pull(qtbot, canvas, at)
    assert side(canvas) == before  # from a part nothing is moved
    qtbot.keyPress(canvas, Qt.Key.Key_Space)
    with qtbot.assertNotEmitted(canvas.part_clicked):
        pull(qtbot, canvas, at)
    qtbot.keyRelease(canvas, Qt.Key.Key_Space)
    assert side(canvas).left_mm != before.left_mm
    assert not canvas.moving_page


def wheel(canvas: Canvas, at: QPointF, steps: int) -> None:
    event = QWheelEvent(
        at, canvas.mapToGlobal(at), QPoint(), QPoint(0, 120 * steps), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(canvas, event)
    canvas.grab()


def test_the_wheel_zooms_at_the_hand(canvas: Canvas) -> None:
    left, top, right, bottom = side(canvas).box
    at = QPointF(left + 0.7 * (right - left), top + 0.3 * (bottom - top))
    before = side(canvas)
    wheel(canvas, at, 3)
    assert side(canvas).scale > 1.4 * before.scale
    assert side(canvas).mm((at.x(), at.y())) == pytest.approx(before.mm((at.x(), at.y())))
    wheel(canvas, at, -3)
    assert side(canvas)[1:] == pytest.approx(before[1:])


@pytest.mark.parametrize("turns", [-60, 60])
def test_the_wheel_loses_the_vehicle_neither_in_the_small_nor_in_the_large(canvas: Canvas, turns: int) -> None:
    at = QPointF(500.0, 300.0)
    fitted = side(canvas)
    for _ in range(3):
        wheel(canvas, at, turns)
        assert SCALES[0] <= side(canvas).scale <= SCALES[1]
    wheel(canvas, at, -1 if turns > 0 else 1)
    assert SCALES[0] < side(canvas).scale < SCALES[1]  # the way back is open
    canvas.fit()
    assert side(canvas) == fitted


def test_a_view_that_was_chosen_stays_through_edits(canvas: Canvas) -> None:
    wheel(canvas, QPointF(300.0, 300.0), 4)
    chosen = side(canvas)
    for one in some(3):
        canvas.show_subject(one)
    assert (side(canvas).scale, side(canvas).left_mm) == pytest.approx((chosen.scale, chosen.left_mm))


@pytest.mark.parametrize(
    ("key", "look"), [(Qt.Key.Key_S, "shaft"), (Qt.Key.Key_W, "whole"), (Qt.Key.Key_A, "axle"), (Qt.Key.Key_0, "shaft")]
)
def test_keys_look_at_the_shaft_the_whole_vehicle_and_the_axle(
    qtbot: QtBot, canvas: Canvas, key: Qt.Key, look: Look
) -> None:
    canvas.look("axle" if look == "whole" else "whole")
    qtbot.keyClick(canvas, key)
    chosen = side(canvas)
    canvas.fit()
    canvas.look(look)
    assert side(canvas) == chosen
    vehicle, picture = BUILD.vehicle, SOLUTION.picture
    assert vehicle is not None
    assert picture.axle_centre_mm is not None
    centre = (picture.axle_centre_mm[0], picture.axle_centre_mm[2])
    assert chosen.holds(chosen.px(centre))
    joints = [chosen.px((x, z)) for x, _, z in picture.joint_centres_mm]
    if look in {"shaft", "whole"}:
        assert all(chosen.holds(one) for one in joints)
    if look == "whole":
        for hub, radius in (
            (picture.front_hub_mm, vehicle.front_tyre_radius_mm),
            (picture.rear_hub_mm, vehicle.rear_tyre_radius_mm),
        ):
            assert hub is not None
            assert radius is not None
            assert all(chosen.holds(chosen.px((hub[0] + turn * radius, hub[1]))) for turn in (-1.0, 1.0))
    if look == "axle":
        canvas.fit()
        assert chosen.scale > side(canvas).scale
        assert all(chosen.holds(chosen.px((x, centre[1]))) for x, *_ in picture.perches_mm)


def test_keys_magnify_and_move(qtbot: QtBot, canvas: Canvas) -> None:
    before = side(canvas)
    qtbot.keyClick(canvas, Qt.Key.Key_Plus)
    assert side(canvas).scale > before.scale
    qtbot.keyClick(canvas, Qt.Key.Key_Minus)
    assert side(canvas)[1:] == pytest.approx(before[1:])
    qtbot.keyClick(canvas, Qt.Key.Key_Left)
    assert side(canvas).left_mm < before.left_mm
    qtbot.keyClick(canvas, Qt.Key.Key_Home)
    assert side(canvas) == before


@pytest.mark.parametrize(
    ("key", "across", "down"),
    [
        (Qt.Key.Key_Left, 60.0, 0.0),
        (Qt.Key.Key_Right, -60.0, 0.0),
        (Qt.Key.Key_Up, 0.0, 60.0),
        (Qt.Key.Key_Down, 0.0, -60.0),
    ],
)
def test_an_arrow_moves_what_is_drawn_by_sixty_pixels_the_other_way(
    qtbot: QtBot, canvas: Canvas, key: Qt.Key, across: float, down: float
) -> None:
    """As a scroll bar does: to the left shows what lies to the left."""
    before, place = side(canvas), (2000.0, 500.0)
    qtbot.keyClick(canvas, key)
    (x, y), (was_x, was_y) = side(canvas).px(place), before.px(place)
    assert (x - was_x, y - was_y) == pytest.approx((across, down))
    assert side(canvas).scale == before.scale
    qtbot.keyClick(canvas, Qt.Key.Key_0)
    assert side(canvas) == before


@pytest.mark.parametrize(
    ("key", "turns", "factor"),
    [(Qt.Key.Key_Plus, 1, 1.15), (Qt.Key.Key_Equal, 1, 1.15), (Qt.Key.Key_Minus, -1, 1.0 / 1.15)],
)
def test_a_key_magnifies_about_the_middle_as_much_as_a_notch_of_the_wheel(
    qtbot: QtBot, canvas: Canvas, key: Qt.Key, turns: int, factor: float
) -> None:
    before = side(canvas)
    left, top, right, bottom = before.box
    middle = ((left + right) / 2.0, (top + bottom) / 2.0)
    qtbot.keyClick(canvas, key)
    by_key = side(canvas)
    assert by_key.scale == pytest.approx(factor * before.scale)
    assert by_key.mm(middle) == pytest.approx(before.mm(middle))
    canvas.fit()
    wheel(canvas, QPointF(*middle), turns)
    assert side(canvas)[1:] == pytest.approx(by_key[1:])


def test_another_kind_of_drawing_and_other_units_are_drawn_whole(canvas: Canvas) -> None:
    canvas.show_subject(subject(HURRY))
    assert not canvas.to_scale
    assert "positions not measured" in {text for _, text in drawn(canvas).words}
    canvas.show_subject(subject(Build()))
    assert "The drawing begins with" in {text for _, text in drawn(canvas).words}
    assert canvas.view("side") is None
    canvas.show_subject(subject(edited(BUILD, {"display.length": "millimetre"})))
    assert canvas.to_scale
    assert any(text.endswith(" mm") for _, text in drawn(canvas).words)


def test_keys_and_wheel_do_no_harm_where_there_is_no_view(qtbot: QtBot, canvas: Canvas) -> None:
    canvas.show_subject(subject(Build()))
    before = canvas.grab().toImage()
    for key in (Qt.Key.Key_W, Qt.Key.Key_Plus, Qt.Key.Key_Left):
        qtbot.keyClick(canvas, key)
    wheel(canvas, QPointF(300.0, 300.0), 2)
    pull(qtbot, canvas, QPoint(600, 120))
    assert canvas.grab().toImage() == before


def test_the_form_of_the_findings_is_kept_over_the_travel(canvas: Canvas) -> None:
    before = drawn(canvas)
    for travel in (-90.0, -30.0, 60.0, 100.0):
        there = moved(BUILD, travel)
        assert there is not None
        canvas.show_subject(Subject(BUILD, SOLUTION, there, travel))
        assert drawn(canvas).form == before.form
        assert side(canvas) == before.zones.side  # type: ignore[union-attr]


def test_a_selected_part_gets_a_halo_and_no_other(canvas: Canvas) -> None:
    plain = canvas.grab().toImage()
    for part in ("front_joint", "rear_joint"):
        canvas.select_part(part)  # type: ignore[arg-type]
        chosen = canvas.grab().toImage()
        left, top, right, bottom = (round(one) for one in side(canvas).box)
        changed = [
            (x, y)
            for x in range(left, right, 2)
            for y in range(top, bottom, 2)
            if chosen.pixelColor(x, y) != plain.pixelColor(x, y)
        ]
        assert changed
        at = joint_pixel(canvas, 0 if part == "front_joint" else 1)
        assert max(np.hypot(x - at.x(), y - at.y()) for x, y in changed) < 80.0 * side(canvas).scale + 12.0
    canvas.select_part(None)
    assert canvas.grab().toImage() == plain


def test_it_says_what_it_shows(canvas: Canvas) -> None:
    assert canvas.accessibleName() == "Drawing of the driveline"
    said = canvas.accessibleDescription()
    assert said.startswith("Ride height")
    for joint in SOLUTION.joints:
        assert f"{joint.operating_deg:.1f}" in said
    assert "front" in said


def test_nothing_shown_is_plain_paper(qtbot: QtBot) -> None:
    made = Canvas()
    qtbot.addWidget(made)
    made.resize(500, 320)
    assert pixel(made, QPoint(250, 160)) == QColor(THEMES["light"].paper)
    assert made.draws == 0
