"""The window by keyboard alone: what has the focus shows it, Enter presses it, and every pane is reached."""

from collections import Counter
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QRect, QSettings, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QColor, QImage
from PySide6.QtWidgets import QApplication, QDialog, QLineEdit, QMenu, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from app.cautions import CAUTIONS
from app.drawing.palette import THEMES, ThemeName
from app.window.form.by_size import BySize
from app.window.form.choice_rows import Chooser
from app.window.form.heading_button import HeadingButton
from app.window.shell.main_window import MainWindow
from geometry import Build, edited

SAMPLES = sorted((Path(__file__).parent.parent.parent / "sample_builds").glob("*.json"))
RANCH = next(path for path in SAMPLES if path.stem == "ranch_truck_swap")
HAULER = next(path for path in SAMPLES if path.stem == "lifted_short_shaft")

plain_screen = pytest.mark.qt_log_ignore("This plugin does not support")


def build_of(path: Path) -> Build:
    return Build.model_validate_json(path.read_bytes())


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


def settle() -> None:
    for _ in range(6):
        QApplication.processEvents()


@pytest.fixture
def ranch(window: MainWindow, qtbot: QtBot) -> MainWindow:
    window.resize(1366, 768)
    window.document.open(build_of(RANCH), None)
    window.drawing.load()
    window.activateWindow()
    qtbot.waitExposed(window)
    settle()
    return window


def walk(qtbot: QtBot, first: QWidget) -> Iterator[QWidget]:
    """What Tab reaches from something on, one after another, until it comes round."""
    first.setFocus(Qt.FocusReason.TabFocusReason)
    for _ in range(500):
        settle()
        here = focused()
        yield here
        here.setFocus(Qt.FocusReason.TabFocusReason)
        qtbot.keyClick(here, Qt.Key.Key_Tab)
        if focused() is first:
            return
    raise AssertionError("Tab never comes round")


# ---- what has the focus shows it


def framed(before: QImage, after: QImage, accent: str) -> bool:
    """Whether two pixels in the accent came round a picture, at least along three quarters of each side."""
    colour = QColor(accent).rgb()
    wide, high = after.width(), after.height()

    def ring(inset: int) -> bool:
        sides = (
            [(x, inset) for x in range(inset, wide - inset)],
            [(x, high - 1 - inset) for x in range(inset, wide - inset)],
            [(inset, y) for y in range(inset, high - inset)],
            [(wide - 1 - inset, y) for y in range(inset, high - inset)],
        )
        return all(sum(after.pixel(x, y) == colour for x, y in side) >= 0.75 * len(side) for side in sides)

    return before != after and any(ring(inset) and ring(inset + 1) for inset in range(4))


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("page", ["start", "desk"])
def test_what_has_the_focus_has_a_frame_of_two_pixels(
    qtbot: QtBot, ranch: MainWindow, theme: ThemeName, page: str
) -> None:
    """Walked by Tab: each thing with the focus is told from itself without by a frame in the accent."""
    ranch.show_theme(theme)
    if page == "start":
        ranch.document.open(Build(), None)
        ranch.start.begin()
        own: list[QWidget] = [ranch.start, ranch.foot]
    else:
        own = [ranch.measurements, ranch.foot]
        ranch.measurements.boxes["hurry"].set_open(opened=True)
    settle()
    first = ranch.measurements.boxes["hurry"].button if page == "desk" else focused()
    lacking, seen = [], Counter[str]()
    for widget in walk(qtbot, first):
        if not any(pane.isAncestorOf(widget) for pane in own):
            continue
        if isinstance(widget, QLineEdit):
            widget.deselect()
        after = widget.grab().toImage()
        widget.clearFocus()
        settle()
        before = widget.grab().toImage()
        seen[type(widget).__name__] += 1
        if not framed(before, after, THEMES[theme].accent):
            lacking.append(widget.accessibleName() or getattr(widget, "text", str)())
    assert lacking == []
    if page == "start":
        assert seen == {"LineEdit": 4, "QPushButton": 4, "SampleCard": len(SAMPLES)}
    else:
        shown = [box for box in ranch.measurements.boxes.values() if not box.isHidden()]
        lines = [one for box in shown for row in box.rows for one in row.editors() if isinstance(one, QLineEdit)]
        assert seen["LineEdit"] == len(lines) > 60
        assert min(seen[one] for one in ("HeadingButton", "Chooser", "QPlainTextEdit", "QPushButton")) >= 1


# ---- Enter presses


@plain_screen
def test_enter_and_space_press_every_button_link_segment_and_choice(qtbot: QtBot, ranch: MainWindow) -> None:
    """In the whole window; a menu that opens and a list of words count as pressed."""
    ranch.resize(1600, 900)
    settle()
    buttons = [one for one in ranch.findChildren(QPushButton) if one.focusPolicy() & Qt.FocusPolicy.TabFocus]
    buttons = [one for one in buttons if one.isVisible() and one.isEnabled()]
    assert len(buttons) >= 8
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
        for button in buttons:
            pressed: list[object] = []
            button.pressed.connect(lambda pressed=pressed: pressed.append(1))
            menu = button.menu()
            if menu is not None:
                menu.aboutToShow.connect(lambda pressed=pressed: pressed.append(2))
                menu.aboutToShow.connect(lambda menu=menu: QTimer.singleShot(0, menu.close))
            button.setFocus(Qt.FocusReason.TabFocusReason)
            before = ranch.document.stack.index()
            qtbot.keyClick(button, key)
            settle()
            assert pressed, (button.text() or button.accessibleName(), key)
            for dialog in ranch.findChildren(QDialog):
                dialog.close()
            ranch.activateWindow()
            ranch.document.stack.setIndex(before)
            settle()
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Space):
        ranch.measurements.bring_forward("suspension.kind", focus=True)
        box = focused()
        assert isinstance(box, Chooser)
        qtbot.keyClick(box, key)
        qtbot.waitUntil(box.view().isVisible)
        box.hidePopup()


@plain_screen
def test_enter_chooses_and_goes_on(qtbot: QtBot, ranch: MainWindow) -> None:
    """Enter opens the words, Enter takes one, and the cursor is in the next field; also where the rows are new."""
    pane = ranch.measurements
    for path, after in (("axle.end", "axle.centre_mm"), ("suspension.kind", "suspension.front_eye_mm")):
        for step in (0, 1, -1):
            pane.bring_forward(path, focus=True)
            box = focused()
            assert isinstance(box, Chooser)
            before = box.currentText()
            qtbot.keyClick(box, Qt.Key.Key_Return)
            qtbot.waitUntil(box.view().isVisible)
            if step:
                qtbot.keyClick(box.view(), Qt.Key.Key_Down if step > 0 else Qt.Key.Key_Up)
            qtbot.keyClick(box.view(), Qt.Key.Key_Return)
            settle()
            ranch.activateWindow()  # as without a window manager nobody gives the focus back
            settle()
            row = pane.row_for(path)
            assert (row.editors()[0].currentText() != before) is bool(step)  # type: ignore[attr-defined]
            if step <= 0:
                assert focused() is pane.row_for(after).editors()[0]
            else:
                assert pane.section_with_cursor() == path.partition(".")[0]
                assert focused() is not pane.boxes[path.partition(".")[0]].button  # type: ignore[index]


def test_the_cursor_comes_back_where_it_was(qtbot: QtBot, ranch: MainWindow) -> None:
    """Also where its section has closed meanwhile; never to the first section for want of another."""
    pane = ranch.measurements
    pane.boxes["vehicle"].set_open(opened=True)
    ranch.document.open(build_of(RANCH), None)
    opened = next(box for box in pane.boxes.values() if box.is_open)
    ranch.go_to_findings()
    ranch.go_to_measurements()
    assert opened.holds_cursor()
    pane.bring_forward("shaft.phase_deg", focus=True)
    ranch.go_to_plan()
    pane.boxes["vehicle"].set_open(opened=True)
    ranch.go_to_measurements()
    assert focused() is pane.row_for("shaft.phase_deg").editors()[0]


def test_enter_opens_a_heading_and_closes_it(qtbot: QtBot, ranch: MainWindow) -> None:
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Space):
        for box in ranch.measurements.boxes.values():
            if box.isHidden() or box.is_open:
                continue
            box.button.setFocus(Qt.FocusReason.TabFocusReason)
            qtbot.keyClick(box.button, key)
            assert box.is_open
            assert isinstance(focused(), HeadingButton)
            qtbot.keyClick(box.button, key)
            assert not box.is_open


# ---- from pane to pane


def test_tab_goes_through_the_panes_in_reading_order(qtbot: QtBot, ranch: MainWindow) -> None:
    panes: dict[str, QWidget] = {
        "measurements": ranch.measurements, "plan": ranch.plan, "travel": ranch.drawing.travel.bar,
        "drawing": ranch.drawing, "findings": ranch.findings, "foot": ranch.foot,
    }  # fmt: skip
    order: list[str] = []
    for widget in walk(qtbot, ranch.measurements.boxes["hurry"].button):
        name = next((name for name, pane in panes.items() if pane.isAncestorOf(widget)), "")
        order.append(name)
    assert list(dict.fromkeys(order)) == ["measurements", "plan", "drawing", "travel", "findings", "foot"]


def test_f6_goes_round_all_panes_and_back(qtbot: QtBot, ranch: MainWindow) -> None:
    """Measurements, plan, drawing, travel, findings, set-points."""
    panes = [
        ranch.measurements, ranch.plan, ranch.drawing.canvas, ranch.drawing.travel.bar, ranch.findings.list,
        ranch.findings.setpoints,
    ]  # fmt: skip
    ranch.go_to_measurements()
    for way, order in ((1, [1, 2, 3, 4, 5, 0]), (-1, [5, 4, 3, 2, 1, 0])):
        for place in order:
            ranch.go_round(way)
            pane = panes[place]
            assert pane is not None
            assert pane is focused() or pane.isAncestorOf(focused()), (way, place)


def test_no_key_is_given_twice_and_the_plan_has_its_own(qtbot: QtBot, ranch: MainWindow) -> None:
    actions = [one for menu in ranch.menuBar().findChildren(QMenu) for one in menu.actions()]
    keys = [key.toString() for action in actions for key in action.shortcuts()]
    assert len(keys) == len(set(keys))
    titles = [action.text().replace("&", "") for action in ranch.menuBar().actions()]
    assert titles == ["File", "Edit", "Plan", "View", "Help"]
    plan = ranch.menuBar().actions()[2].menu()
    assert isinstance(plan, QMenu)
    by_words: dict[str, QAction] = {one.text().replace("&", ""): one for one in plan.actions()}
    assert by_words["Go to the plan"].shortcut().toString() == "Ctrl+5"
    for place, words in enumerate(("Rear lift", "Front lift", "Perches", "Mounts")):
        ranch.go_to_findings()
        by_words[words].trigger()
        assert ranch.plan.boxes[place].isAncestorOf(focused())
        cell = ranch.plan.boxes[place].cell
        assert cell is not None
        assert cell.caption.startswith(words)


def test_the_vehicle_as_measured_is_shown_until_something_changes(ranch: MainWindow) -> None:
    assert not ranch.menus.bare.isEnabled()
    ranch.document.apply({"plan.rear_lift_mm": 50.8}, "lift")
    assert ranch.menus.bare.isEnabled()
    canvas = ranch.drawing.canvas
    assert canvas is not None
    settle()
    planned, said = canvas.grab().toImage(), ranch.plan.bare.text()
    ranch.menus.bare.trigger()
    settle()
    assert ranch.menus.bare.isChecked()
    assert ranch.plan.bare.text() != said
    assert canvas.grab().toImage() != planned
    ranch.menus.bare.trigger()
    settle()
    assert canvas.grab().toImage() == planned
    ranch.menus.bare.trigger()
    ranch.document.apply({"plan.rear_lift_mm": 25.4}, "lift")
    assert not ranch.menus.bare.isChecked()
    assert ranch.plan.bare.text() == said


# ---- what is added, what is opened, what is chosen


@pytest.mark.parametrize("key", ["shocks", "torque_bars", "obstacles"])
def test_what_is_added_is_shown_with_the_cursor_in_its_name(
    qtbot: QtBot, ranch: MainWindow, monkeypatch: pytest.MonkeyPatch, key: str
) -> None:
    made = {"name": "a pipe", "view": "side", "outline_mm": ((1500.0, 300.0), (1600.0, 300.0), (1600.0, 350.0))}

    def accepted(dialog: BySize) -> int:
        dialog.made = made
        return 1

    monkeypatch.setattr(BySize, "exec", accepted)
    ranch.resize(1280, 720)
    for _ in range(3):
        box = ranch.measurements.boxes[key]  # type: ignore[index]
        box.set_open(opened=True)
        settle()
        count = len(getattr(ranch.document.build, key))
        [button] = [one for one in box.stops() if isinstance(one, QPushButton) and one.text().startswith("Add")]
        button.setFocus()
        qtbot.keyClick(button, Qt.Key.Key_Return)
        settle()
        assert len(getattr(ranch.document.build, key)) == count + 1
        row = ranch.measurements.row_for(f"{key}.{count}.name")
        assert focused() in row.editors()
        assert box.is_open
        assert row.visibleRegion().boundingRect() == row.rect()


def test_tab_from_a_new_outline_goes_to_the_name_of_what_it_made(qtbot: QtBot, ranch: MainWindow) -> None:
    """Though all rows are made anew while the cursor leaves."""
    count = len(ranch.document.build.obstacles)
    box = ranch.measurements.boxes["obstacles"]
    box.set_open(opened=True)
    page = box.rows[-1].editors()[0]
    page.setFocus(Qt.FocusReason.TabFocusReason)
    for corner, key in (("60, 20", Qt.Key.Key_Return), ("70, 20", Qt.Key.Key_Return), ("70, 24 1/2", Qt.Key.Key_Tab)):
        qtbot.keyClicks(page, corner)
        qtbot.keyClick(page, key)
    settle()
    assert len(ranch.document.build.obstacles) == count + 1
    row = ranch.measurements.row_for(f"obstacles.{count}.name")
    assert focused() in row.editors()
    assert row.visibleRegion().boundingRect() == row.rect()


def test_the_keys_of_the_panes_lead_from_the_start_page_to_the_build(qtbot: QtBot, window: MainWindow) -> None:
    """As a pane that is not shown cannot take the cursor."""
    window.activateWindow()
    qtbot.waitExposed(window)
    ways = [
        window.go_to_measurements, window.go_to_plan, window.go_to_drawing, window.go_to_findings,
        lambda: window.go_round(1), lambda: window.go_round(-1),
    ]  # fmt: skip
    for way in ways:
        window.document.open(Build(), None)
        settle()
        assert window.start.isVisible()
        way()
        settle()
        assert not window.start.isVisible()
        assert focused().isVisible()


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_build_opens_where_its_worst_finding_is_decided(window: MainWindow, path: Path) -> None:
    for again in range(2):
        window.document.open(build_of(path), path if again else None)
        settle()
        opened = [box for box in window.measurements.boxes.values() if box.is_open]
        assert len(opened) == 1
        worst = window.document.solution.findings[0]
        assert worst.verdict in {"hold", "caution"}
        assert worst.entry
        row = window.measurements.row_for(worst.entry)
        assert opened[0].isAncestorOf(row)
        assert row.visibleRegion().boundingRect() == row.rect()
        chosen = window.findings.list.chosen
        assert chosen is not None
        assert (chosen.id, chosen.part) == (worst.id, worst.part)
        window.measurements.boxes["title"].set_open(opened=True)


def test_with_nothing_wrong_the_first_section_that_lacks_something_is_open(window: MainWindow) -> None:
    for changes, key in (
        ({}, "hurry"),
        ({"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 6.0, "axle.pinion_slope_deg": 3.0}, "hurry"),
    ):
        window.document.open(edited(Build(), changes), None)
        assert [one for one, box in window.measurements.boxes.items() if box.is_open] == [key]


def test_a_chosen_finding_stays_chosen_while_sections_open_and_close(qtbot: QtBot, ranch: MainWindow) -> None:
    """From a field in each section in turn: the finding that is chosen is the one that stays."""
    ranch.document.open(build_of(HAULER), None)
    keys = [key for key, box in ranch.measurements.boxes.items() if not box.isHidden()]
    findings = [one for one in ranch.document.solution.findings if one.verdict != "clear"]
    for key in keys:
        for finding in findings:
            box = ranch.measurements.boxes[key]
            box.set_open(opened=True)
            stops = box.stops()
            (stops or [box.button])[0].setFocus(Qt.FocusReason.TabFocusReason)
            settle()
            ranch.selection.choose(None, part=finding.part, finding=(finding.id, finding.part), entry=finding.entry)
            settle()
            assert ranch.selection.finding == (finding.id, finding.part), (key, finding.id)
            assert ranch.findings.list.chosen == finding, (key, finding.id)


def test_escape_brings_back_what_was(qtbot: QtBot, ranch: MainWindow) -> None:
    before = ranch.document.build
    for path in ("axle.pinion_slope_deg", "axle.centre_mm", "powertrain.gear_ratios", "title", "notes"):
        ranch.measurements.bring_forward(path, focus=True)
        row = ranch.measurements.row_for(path)
        said = row.typed()  # type: ignore[attr-defined]
        qtbot.keyClicks(focused(), "1")
        settle()
        assert row.pending
        qtbot.keyClick(focused(), Qt.Key.Key_Escape)
        assert row.typed() == said  # type: ignore[attr-defined]
        assert ranch.document.shown.build == before


# ---- the foot, and the screen


def test_the_foot_says_what_is_open_and_nothing_in_it_is_cut(qtbot: QtBot, ranch: MainWindow, tmp_path: Path) -> None:
    ranch.resize(1240, 680)
    foot = ranch.foot
    path = tmp_path / f"{'a truck with a long name ' * 4}.json"
    cases = (
        (None, {}, "not saved yet · inches, lb·ft"),
        (HAULER, {}, "saved · inches, lb·ft"),
        (HAULER, {"display.inches": "sixteenths"}, "changes not saved · inches in sixteenths, lb·ft"),
        (
            path,
            {"display.length": "millimetre", "display.torque": "newton_metre"},
            "changes not saved · millimetres, N·m",
        ),
    )
    for place, changes, words in cases:
        ranch.document.open(build_of(HAULER), place)
        if changes:
            ranch.document.apply(changes, "units")
        for told in ("", "Opened the sample Short hauler; saving asks for a name of its own.", "A sentence. " * 20):
            foot._rest()
            if told:
                foot.tell(told)
            settle()
            assert foot.state.accessibleName().endswith(words)
            assert foot.caution.text() in CAUTIONS[0] or told
            if not told:
                assert foot.caution.text() == CAUTIONS[0]
                assert foot.state.isVisible()
                assert foot.state.text().endswith(words)
            for label in (foot.caution, foot.told, foot.state):
                if label.isVisible():
                    wide = label.fontMetrics().horizontalAdvance(label.text())
                    assert wide <= label.width(), label.text()
            places = [one.geometry() for one in (foot.caution, foot.told, foot.state, foot.all) if one.isVisible()]
            assert all(not one.intersects(other) for one, other in pairwise(places))
            assert foot.rect().contains(places[-1])
    ranch.document.open(Build(), None)
    assert foot.state.text() == "inches, lb·ft"


@pytest.mark.parametrize("free", [QRect(0, 0, 1024, 600), QRect(60, 24, 1200, 700), QRect(0, 0, 1366, 728)])
def test_the_window_fits_a_screen_that_is_smaller_than_what_is_remembered(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, free: QRect
) -> None:
    monkeypatch.setattr(window, "_free", lambda: free)
    window.resize(1900, 1000)
    window.move(300, 200)
    window._fit_screen()
    settle()
    assert free.contains(window.frameGeometry())
    least = window.minimumSize()
    frame = window.frameGeometry().size() - window.size()
    assert least == QSize(min(1240, free.width() - frame.width()), min(680, free.height() - frame.height()))


def test_a_window_that_is_shown_again_fits(window: MainWindow, let_go: Callable[[MainWindow], None]) -> None:
    window.resize(2400, 1400)
    assert window.close()
    kept = QSettings(QSettings.Format.IniFormat, QSettings.Scope.UserScope, "Shaftwright", "Shaftwright")
    assert kept.value("window") is not None
    again = MainWindow()
    again.show()
    settle()
    free, frame, least = again.screen().availableGeometry(), again.frameGeometry(), again.minimumSize()
    let_go(again)
    assert free.contains(frame)
    assert least == QSize(1240, 680)  # as this screen has it
