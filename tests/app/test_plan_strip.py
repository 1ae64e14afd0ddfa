"""The plan strip: each cell's step, typing, choice and need, the drawing without it, and one step of undo for each."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window.plan.strip import _CellBox
from app.window.ranges.page import RangePage
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, value_at
from geometry.judge.facts import Facts
from geometry.judge.search import Tried, tried
from geometry.words import solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
HURRY = Build.model_validate_json((SAMPLES / "three_angles_and_a_length.json").read_bytes())
REAR, FRONT, PERCHES, MOUNTS = range(4)


@pytest.fixture
def ranch(window: MainWindow, qtbot: QtBot) -> MainWindow:
    """The window on a sample without a plan."""
    window.resize(1366, 768)
    window.drawing.load()
    window.document.open(edited(RANCH, {"plan": None}), None)
    qtbot.waitExposed(window)
    return window


def box(window: MainWindow, place: int) -> _CellBox:
    return window.plan.boxes[place]


def type_in(qtbot: QtBot, window: MainWindow, place: int, text: str, *, end: bool = True) -> None:
    field = box(window, place).stepper.field
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    if end:
        qtbot.keyClick(field, Qt.Key.Key_Return)


@pytest.mark.parametrize(
    ("place", "path", "step"),
    [
        (REAR, "plan.rear_lift_mm", 25.4 / 8),
        (FRONT, "plan.front_lift_mm", 25.4 / 8),
        (PERCHES, "plan.axle_shim_deg", 0.5),
        (MOUNTS, "plan.mount_shim_mm", 25.4 / 16),
    ],
)
def test_a_press_is_one_step_and_shows_at_once(
    qtbot: QtBot, ranch: MainWindow, place: int, path: str, step: float
) -> None:
    one, before = box(ranch, place), ranch.document.build
    assert one.stepper.field.text() == "none"
    said = one.line.text()
    qtbot.mouseClick(one.stepper.more, Qt.MouseButton.LeftButton)
    assert value_at(ranch.document.build, path) == pytest.approx(step)
    assert ranch.document.stack.count() == 1
    assert one.stepper.field.text() != "none"
    assert one.stepper.field.font().bold()
    canvas = ranch.drawing.canvas
    assert canvas is not None
    assert canvas.subject is not None
    assert canvas.subject.build == ranch.document.build
    qtbot.keyClick(one.stepper.field, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    assert value_at(ranch.document.build, path) == pytest.approx(5 * step)
    qtbot.keyClick(one.stepper.field, Qt.Key.Key_Down)
    assert value_at(ranch.document.build, path) == pytest.approx(4 * step)
    assert ranch.document.stack.count() == 3
    for _ in range(3):
        ranch.undo()
    assert ranch.document.build == before
    assert one.stepper.field.text() == "none"
    assert one.line.text() == said


def test_a_step_from_an_odd_value_meets_the_next_whole_one(qtbot: QtBot, ranch: MainWindow) -> None:
    for way, met in ((Qt.Key.Key_Up, 1.0), (Qt.Key.Key_Down, 0.5)):
        ranch.document.apply({"plan.axle_shim_deg": 0.7}, "wedge")
        qtbot.keyClick(box(ranch, PERCHES).stepper.field, way)
        assert value_at(ranch.document.build, "plan.axle_shim_deg") == met


def test_a_value_is_typed_as_anywhere_and_emptied(qtbot: QtBot, ranch: MainWindow) -> None:
    type_in(qtbot, ranch, REAR, "1 1/2")
    assert value_at(ranch.document.build, "plan.rear_lift_mm") == pytest.approx(38.1)  # × 25.4
    type_in(qtbot, ranch, REAR, "50 mm")
    assert value_at(ranch.document.build, "plan.rear_lift_mm") == 50.0
    type_in(qtbot, ranch, PERCHES, "3°30'")
    assert value_at(ranch.document.build, "plan.axle_shim_deg") == 3.5
    ranch.undo()
    type_in(qtbot, ranch, REAR, "none")
    assert value_at(ranch.document.build, "plan.rear_lift_mm") is None
    assert ranch.document.stack.count() == 3
    type_in(qtbot, ranch, REAR, "2", end=False)
    qtbot.keyClick(box(ranch, REAR).stepper.field, Qt.Key.Key_Escape)
    assert box(ranch, REAR).stepper.field.text() == "none"
    assert ranch.document.stack.count() == 3


def test_what_is_typed_is_not_lost_by_a_command(qtbot: QtBot, ranch: MainWindow) -> None:
    type_in(qtbot, ranch, REAR, "1", end=False)
    ranch.document.hand_in()
    assert value_at(ranch.document.build, "plan.rear_lift_mm") == 25.4
    type_in(qtbot, ranch, REAR, "2", end=False)
    ranch.menus.undo.trigger()  # what is typed is the last step
    assert value_at(ranch.document.build, "plan.rear_lift_mm") == 25.4
    ranch.menus.undo.trigger()
    assert value_at(ranch.document.build, "plan.rear_lift_mm") is None


def test_what_was_stepped_is_typed_over(qtbot: QtBot, ranch: MainWindow) -> None:
    ranch.activateWindow()
    field = box(ranch, REAR).stepper.field
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.keyClicks(field, "2")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert value_at(ranch.document.build, "plan.rear_lift_mm") == 50.8


def test_control_z_in_a_cell_is_the_historys(qtbot: QtBot, ranch: MainWindow) -> None:
    ranch.activateWindow()
    field = box(ranch, REAR).stepper.field
    field.setFocus()
    qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert value_at(ranch.document.build, "plan.rear_lift_mm") is None


def test_a_choice_decides_what_the_stepper_sets(qtbot: QtBot, ranch: MainWindow) -> None:
    ranch.document.apply({"plan.axle_shim_deg": 1.5, "plan.mount_shim_mm": 6.35}, "planned")
    perches, mounts = box(ranch, PERCHES), box(ranch, MOUNTS)
    next(one for one in perches.menu.actions() if one.text() == "loose").trigger()
    assert value_at(ranch.document.build, "plan.perches") == "loose"
    assert value_at(ranch.document.build, "plan.axle_shim_deg") is None  # a wedge lies under welded perches alone
    assert ranch.document.stack.count() == 2
    assert perches.line.text().endswith(", to weld")
    slope = ranch.document.solution.angles.pinion_slope_deg
    assert slope is not None
    qtbot.mouseClick(perches.stepper.more, Qt.MouseButton.LeftButton)
    planned = value_at(ranch.document.build, "plan.pinion_slope_deg")
    assert 0.0 < planned - slope <= 0.1 + 1e-9
    assert planned * 10.0 == pytest.approx(round(planned * 10.0))
    next(one for one in mounts.menu.actions() if one.text() == "loose").trigger()
    assert value_at(ranch.document.build, "plan.mount_shim_mm") is None
    assert mounts.line.text().endswith(", to set")
    assert ranch.document.stack.count() == 4


def test_a_lift_by_another_way_is_one_step(ranch: MainWindow) -> None:
    ranch.document.apply({"plan.rear_lift_mm": 50.0}, "lift")
    rear = box(ranch, REAR)
    assert [one.text() for one in rear.menu.actions()] == ["springs", "block", "shackle"]
    rear.menu.actions()[1].trigger()
    assert value_at(ranch.document.build, "plan.rear_lift_by") == "block"
    assert rear.choice.text().startswith("block")
    ranch.undo()
    assert rear.choice.text().startswith("springs")


def test_what_cannot_be_computed_says_what_it_needs_and_its_stepper_is_off(window: MainWindow) -> None:
    window.document.open(edited(Build(), {"title": "nothing measured"}), None)
    window.show_desk()
    for place in (PERCHES, MOUNTS):
        one = box(window, place)
        assert one.line.text().startswith("needs: ")
        assert not one.stepper.more.isEnabled()
        assert not one.stepper.field.isEnabled()
    window.document.apply({"plan.rear_lift_mm": 50.0}, "lift")
    assert box(window, REAR).line.text() == "needs: springs or links"


@pytest.mark.parametrize(
    ("lost", "says"),
    [("readings.seat_slope_deg", "needs: seat slope"), ("readings.shaft_length_mm", "needs: shaft length"),
     ("readings.shaft_slope_deg", "needs: shaft slope"), ("plan.front_lift_mm", "needs: wheelbase"),
     (None, "shaft 8.2° → 11.9°")],
)  # fmt: skip
def test_a_block_under_three_angles_and_a_length_asks_for_no_springs(
    window: MainWindow, lost: str | None, says: str
) -> None:
    lift = {"plan.rear_lift_mm": 88.9, "plan.rear_lift_by": "block", "plan.front_lift_mm": 88.9}
    build = edited(HURRY, {"readings.seat_slope_deg": 0.0, "vehicle.wheelbase_mm": None, **lift})
    window.document.open(edited(build, {lost: None}) if lost else build, None)
    window.show_desk()
    assert box(window, REAR).line.text() == says


def test_how_much_lift_there_can_be_is_asked_where_the_lift_is_planned(qtbot: QtBot, ranch: MainWindow) -> None:
    for fresh in (True, False):
        qtbot.mouseClick(ranch.plan.lift, Qt.MouseButton.LeftButton)
        page = ranch.views.in_sight("range")
        assert isinstance(page, RangePage)
        qtbot.waitUntil(lambda page=page: page.settled and page.range is not None, timeout=20_000)
        assert page.range is not None
        assert page.range.path == "plan.rear_lift_mm"
        assert page.over_two is None
        if fresh:  # whatever else was looked at there before
            page.vary("plan.axle_shim_deg")
            page.vary_against("plan.mount_shim_mm")
            ranch.views.show("drawing")


def test_the_drawing_is_that_without_the_plan_while_held(qtbot: QtBot, ranch: MainWindow) -> None:
    assert not ranch.plan.bare.isVisible()
    ranch.document.apply({"plan.rear_lift_mm": 50.0}, "lift")
    QApplication.processEvents()
    canvas = ranch.drawing.canvas
    assert canvas is not None
    assert ranch.plan.bare.isVisible()
    before = ranch.document.build

    def slope() -> float | None:
        subject = canvas.subject
        assert subject is not None
        return subject.here.angles.shaft_slope_deg

    assert ranch.document.measured is not None
    planned, measured = slope(), ranch.document.measured.angles.shaft_slope_deg
    assert planned != measured
    qtbot.mousePress(ranch.plan.bare, Qt.MouseButton.LeftButton)
    assert slope() == measured
    assert ranch.document.build is before
    qtbot.mouseRelease(ranch.plan.bare, Qt.MouseButton.LeftButton)
    assert slope() == planned
    assert ranch.document.stack.count() == 1


def test_tab_goes_choice_and_value_from_cell_to_cell(qtbot: QtBot, ranch: MainWindow) -> None:
    ranch.activateWindow()
    box(ranch, REAR).choice.setFocus()
    reached = [QApplication.focusWidget()]
    for _ in range(7):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
        reached.append(QApplication.focusWidget())
    assert reached == [widget for one in ranch.plan.boxes for widget in (one.choice, one.stepper.field)]


REFUSED = [
    (REAR, "banana", "banana"),
    (REAR, "3 5/2", "3 5/2"),
    (PERCHES, "2 in", "angle"),
    (MOUNTS, "1,524", "1,524"),
    (REAR, "400", "400.00 in"),
]


@pytest.mark.parametrize(("place", "text", "said"), REFUSED)
def test_what_is_refused_stays_marked_with_its_sentence_until_it_is_mended(
    qtbot: QtBot, ranch: MainWindow, place: int, text: str, said: str
) -> None:
    before, strip, field = ranch.document.build, ranch.plan, box(ranch, place).stepper.field
    other = box(ranch, FRONT).stepper.field

    def stands() -> bool:
        return bool(field.text() == text and field.property("refused") and said in strip.complaint.text())

    type_in(qtbot, ranch, place, text)
    assert stands()
    assert strip.complaint.isVisible()
    assert strip.complaint.heightForWidth(strip.complaint.width()) <= strip.complaint.height()
    other.setFocus()
    assert stands()  # left, and still there
    qtbot.keyClick(other, Qt.Key.Key_Up)  # another cell's step
    assert stands()
    assert value_at(ranch.document.build, "plan.front_lift_mm") == pytest.approx(25.4 / 8)
    type_in(qtbot, ranch, place, "1")
    assert not field.property("refused")
    assert not strip.complaint.isVisible()
    type_in(qtbot, ranch, place, text)
    assert stands()
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert not field.property("refused")
    assert not strip.complaint.isVisible()
    type_in(qtbot, ranch, place, text)
    ranch.undo()  # drops it and says so
    assert text in ranch.foot.told.text()
    assert not field.property("refused")
    ranch.undo()
    assert ranch.document.build == before


def test_no_ways_out_are_looked_for_of_the_vehicle_as_measured(
    ranch: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody sees them, and they are most of an answer's work: an edit looks once, for what is planned."""
    looked: list[object] = []

    def counted(facts: Facts) -> Tried:
        looked.append(facts)
        return tried(facts)

    monkeypatch.setattr(solve, "tried", counted)
    ranch.document.apply({"plan.rear_lift_mm": 50.0}, "lift")
    assert len(looked) == 1
    ranch.document.apply({"axle.pinion_slope_deg": 4.5}, "slope")
    assert ranch.document.measured is not None
    assert len(looked) == 2


def test_the_vehicle_as_measured_is_shown_by_the_keyboard_too(qtbot: QtBot, ranch: MainWindow) -> None:
    ranch.activateWindow()
    ranch.document.apply({"plan.rear_lift_mm": 50.0}, "lift")
    canvas, bare = ranch.drawing.canvas, ranch.plan.bare
    assert canvas is not None

    def as_measured() -> bool:
        subject, measured = canvas.subject, ranch.document.measured
        assert subject is not None
        assert measured is not None
        return subject.here.angles.shaft_slope_deg == measured.angles.shaft_slope_deg

    bare.setFocus()
    assert not as_measured()
    qtbot.keyPress(bare, Qt.Key.Key_Space)
    assert as_measured()
    assert bare.text() == "as measured"
    assert bare.width() >= bare.fontMetrics().horizontalAdvance(bare.text())
    qtbot.keyRelease(bare, Qt.Key.Key_Space)
    assert not as_measured()
    assert bare.text() == "without it"
    for shown in (True, False):
        qtbot.keyClick(bare, Qt.Key.Key_Return)
        assert as_measured() == shown
    qtbot.keyClick(bare, Qt.Key.Key_Return)
    box(ranch, REAR).stepper.field.setFocus()  # whoever goes on wants the plan
    assert not as_measured()


PLANS = [
    {"plan.axle_shim_deg": -6.5},
    {"plan.perches": "loose", "plan.pinion_slope_deg": -2.4, "plan.mounts": "loose", "plan.powertrain_slope_deg": -1.2},
    {"plan.rear_lift_mm": 203.2, "plan.front_lift_mm": -127.0, "plan.mount_shim_mm": -41.275},
    {"plan.rear_lift_mm": 79.375, "plan.rear_lift_by": "shackle", "plan.axle_shim_deg": 5.5},
]


@pytest.mark.parametrize("changes", PLANS)
def test_values_choices_and_what_they_come_to_are_whole(window: MainWindow, changes: dict[str, object]) -> None:
    """Of a build measured whole, and of one of three angles that waits for the rest."""
    for size in ((1240, 680), (1280, 720), (1366, 768), (1440, 900), (1920, 1080)):
        window.resize(*size)
        for units in ({}, {"display.inches": "sixteenths"}, {"display.length": "millimetre"}):
            for build in (RANCH, HURRY):
                window.document.open(edited(build, {**changes, "display.length": "inch", **units}), None)
                window.show_desk()
                QApplication.processEvents()
                whole(window)


def whole(window: MainWindow) -> None:
    assert len({one.stepper.y() for one in window.plan.boxes}) == 1  # in one line
    assert len({one.line.y() for one in window.plan.boxes}) == 1
    for one in window.plan.boxes:
        field = one.stepper.field
        room = field.width() - 8
        assert field.fontMetrics().horizontalAdvance(field.text()) <= room, field.text()
        assert one.line.fontMetrics().horizontalAdvance(one.line.text()) <= one.line.width(), one.line.text()
        assert one.geometry().right() < window.plan.width()
        for button in (one.choice, *one.segments.values(), one.stepper.less, one.stepper.more):
            if button.isVisible():
                assert button.width() >= button.fontMetrics().horizontalAdvance(button.text())
        cell = one.cell
        assert cell is not None
        if cell.value is not None and cell.value < 0.0:
            assert field.text().startswith("−")


def test_a_slope_that_is_less_than_nothing_says_which_way(window: MainWindow) -> None:
    window.resize(1920, 1080)
    window.show_desk()
    window.document.open(edited(RANCH, PLANS[1]), None)
    assert box(window, PERCHES).line.text().split(", ")[0].endswith("→ 2.4° down")
    assert "up" in box(window, MOUNTS).line.text().split("→")[1]
    window.document.open(edited(RANCH, {"plan": None}), None)
    assert box(window, PERCHES).line.text() == "wedge: pinion 3.2°"


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"state.on": "axle_stands"}, "needs: rail slope"), ({"state.on": "frame_stands"}, ""),
        ({"suspension.kind": "leaf", "readings.seat_slope_deg": None}, "needs: seat slope"),
        ({"suspension.kind": "leaf", "readings.shaft_length_mm": None}, "needs: shaft length"),
        ({"suspension.kind": "leaf", "plan.rear_lift_by": "spring"}, "needs: its springs whole"),
    ],
)  # fmt: skip
def test_a_block_waits_for_what_lacks_by_stick_and_tape(window: MainWindow, told: dict[str, object], says: str) -> None:
    lift = {"plan.rear_lift_mm": 88.9, "plan.rear_lift_by": "block", "plan.front_lift_mm": 88.9}
    window.document.open(edited(HURRY, {"readings.seat_slope_deg": 0.0, **lift, **told}), None)
    window.show_desk()
    assert box(window, REAR).line.text() == says
