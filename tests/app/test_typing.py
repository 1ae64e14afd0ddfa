"""What is typed belongs to its field: shown while it is whole, kept at Enter, dropped and said before a command."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QApplication, QComboBox, QPlainTextEdit, QPushButton
from pytestqt.qtbot import QtBot

from app.drawing.wording import value_words
from app.files import read_build, write_build
from app.reading import parse
from app.units import INCHES, MILLIMETRES, Display, Kind, shown_unit
from app.window.document import Document
from app.window.form.page_row import PageRow
from app.window.form.rows import EntryRow, LineEdit
from app.window.form.typed_rows import NumberRow, PointRow, RatiosRow
from app.window.keeping import asking, recovery
from app.window.shell.main_window import MainWindow
from app.window.travel.state import TravelState
from geometry import Build, edited, solve, value_at
from tests.app.shown import drawn_words, set_point

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
PINION, LENGTH, WHEELBASE = "axle.pinion_slope_deg", "readings.shaft_length_mm", "vehicle.wheelbase_mm"
HURRY = edited(
    Build(),
    {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, PINION: 3.0, LENGTH: 1524.0},
)
SHOCKS = edited(
    HURRY,
    {
        "shocks.0": {"name": "left", "compressed_mm": 300.0, "extended_mm": 500.0},
        "shocks.1": {"name": "right", "compressed_mm": 450.0, "extended_mm": 700.0},
    },
)


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    monkeypatch.setattr(asking, "what_about_changed", lambda *_, **__: pytest.fail("asked without need"))
    made = MainWindow(HURRY)
    made.drawing.load()
    made.show()
    qtbot.waitExposed(made)
    yield made
    let_go(made)


def row(window: MainWindow, path: str) -> EntryRow:
    window.measurements.bring_forward(path)
    return window.measurements.row_for(path)


def line(window: MainWindow, path: str, number: int = 0) -> LineEdit:
    found = row(window, path).editors()[number]
    assert isinstance(found, LineEdit)
    return found


def type_only(qtbot: QtBot, window: MainWindow, path: str, text: str, number: int = 0) -> LineEdit:
    """Type over a field and leave the cursor in it."""
    edit = line(window, path, number)
    edit.setFocus()
    qtbot.waitUntil(edit.hasFocus)
    edit.selectAll()
    qtbot.keyClicks(edit, text)
    QApplication.processEvents()
    return edit


def page(window: MainWindow, path: str) -> QPlainTextEdit:
    found = row(window, path).editors()[0]
    assert isinstance(found, QPlainTextEdit)
    return found


# ---- shown while it is typed, kept at Enter


def test_drawing_and_verdict_follow_what_is_whole_and_nothing_of_it_is_kept(qtbot: QtBot, window: MainWindow) -> None:
    document, before = window.document, window.document.build
    type_only(qtbot, window, PINION, "1")
    # 10.8 − 1 = 9.8 at the rear joint: subtraction, as on the vehicle
    assert [joint.operating_deg for joint in document.shown.solution.joints] == pytest.approx([7.3, 9.8])
    assert "9.8°" in drawn_words(window)
    assert document.shown.solution.says != document.solution.says
    assert document.shown.solution.says in window.findings.head.accessibleName()
    assert document.build is before
    assert document.stack.count() == 0
    assert document.stack.isClean()
    assert not window.isWindowModified()
    assert window.keeper.keep() is None
    type_only(qtbot, window, PINION, "1.3")
    qtbot.keyClick(line(window, PINION), Qt.Key.Key_Return)
    assert value_at(document.build, PINION) == 1.3
    assert document.stack.count() == 1
    assert document.shown.build is document.build
    window.undo()
    assert document.build == before


def test_leaving_the_field_keeps_it_as_one_step(qtbot: QtBot, window: MainWindow) -> None:
    edit = type_only(qtbot, window, PINION, "1.25")
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    assert value_at(window.document.build, PINION) == 1.25
    assert window.document.stack.count() == 1


def test_escape_brings_back_what_was(qtbot: QtBot, window: MainWindow) -> None:
    edit = type_only(qtbot, window, PINION, "1")
    assert window.document.shown.build != window.document.build
    qtbot.keyClick(edit, Qt.Key.Key_Escape)
    assert window.document.shown.build is window.document.build
    assert window.document.solution.says in window.findings.head.accessibleName()
    assert edit.text() == "3"
    assert window.document.stack.count() == 0


def test_what_is_not_whole_or_not_possible_leaves_the_last_picture_and_says_nothing(
    qtbot: QtBot, window: MainWindow
) -> None:
    edit = type_only(qtbot, window, LENGTH, "60 1")
    shown = row(window, LENGTH)
    assert window.document.shown.build is window.document.build  # "6" and "60" were whole; 60 is what it was
    for text in ("61", "61 ", "61 1/", "61 1/0", "61 banana", "999999", ""):
        edit.selectAll()
        qtbot.keyClicks(edit, text) if text else qtbot.keyClick(edit, Qt.Key.Key_Delete)
        QApplication.processEvents()
        assert value_at(window.document.shown.build, LENGTH) == 1549.4  # 61 in
        assert not shown.complaint.isVisibleTo(shown)
    edit.selectAll()
    qtbot.keyClicks(edit, "61 banana")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert "banana" in shown.complaint.text()
    assert window.document.shown.build is window.document.build


def test_typing_within_one_turn_is_solved_once_and_enter_takes_that_answer(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[object] = []
    real = Document.__init__.__globals__["solved"]
    monkeypatch.setattr("app.window.document.solved", lambda work: (made.append(work), real(work))[1])
    window.document.preview({PINION: 1.0})
    window.document.preview({PINION: 1.5})
    QApplication.processEvents()
    assert len(made) == 1
    assert window.document.apply({PINION: 1.5}, "pinion")
    assert len(made) == 1
    assert value_at(window.document.build, PINION) == 1.5


def test_an_outline_shows_while_it_is_typed(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(HURRY, {"axle.centre_mm": (3000.0, 0.0, 400.0)}), None)
    box = window.measurements.boxes["obstacles"]
    box.set_open(opened=True)
    editor = box.rows[-1].editors()[0]
    editor.setFocus()
    qtbot.keyClicks(editor, "60, 20")
    QApplication.processEvents()
    assert window.document.shown.build.obstacles == ()
    editor.insertPlainText("\n70, 20\n70, 24")  # type: ignore[attr-defined]
    QApplication.processEvents()
    assert len(window.document.shown.build.obstacles) == 1
    assert window.document.build.obstacles == ()
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    assert window.document.shown.build is window.document.build
    assert editor.toPlainText() == ""  # type: ignore[attr-defined]


def test_the_axle_comes_back_to_its_place_when_typing_is_given_up(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(RANCH, None)
    state = window.drawing.travel.state
    assert state.range_mm is not None
    most = state.range_mm[1]
    state.go(most)
    edit = type_only(qtbot, window, "suspension.bump_mm", "1")
    assert 0.0 < state.travel_mm < most
    qtbot.keyClick(edit, Qt.Key.Key_Escape)
    assert state.travel_mm == most


# ---- before a command


def test_undo_keeps_refused_typing_out_of_another_thing(qtbot: QtBot, window: MainWindow) -> None:
    document = window.document
    document.open(SHOCKS, None)
    window.measurements.take({"shocks.0": None}, "removing shock 1")
    # 15 in is less than the right shock compressed, and would do for the left one, whose path this is after undo
    edit = type_only(qtbot, window, "shocks.0.extended_mm", "15")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert value_at(document.build, "shocks.0.extended_mm") == 700.0
    window.undo()
    QApplication.processEvents()
    assert document.build == SHOCKS
    assert document.stack.canRedo()
    assert document.stack.isClean()
    assert "“15” could not be taken" in window.foot.told.text()
    window.redo()
    assert len(document.build.shocks) == 1
    assert window.measurements.pending() == []


def test_undo_of_an_added_part_drops_what_is_typed_in_it(qtbot: QtBot, window: MainWindow) -> None:
    document = window.document
    window.measurements.boxes["shocks"].set_open(opened=True)
    adder = window.measurements.boxes["shocks"].adder
    assert adder is not None
    adder.click()
    type_only(qtbot, window, "shocks.0.compressed_mm", "650")  # inches, beyond what is possible
    window.menus.undo.trigger()
    QApplication.processEvents()
    assert document.build == HURRY
    assert document.stack.canRedo()
    assert "“650”" in window.foot.told.text()


def test_whole_typing_is_a_step_of_its_own_which_undo_takes_back(qtbot: QtBot, window: MainWindow) -> None:
    window.document.apply({LENGTH: 1500.0}, "length")
    type_only(qtbot, window, PINION, "1")
    window.undo()
    assert value_at(window.document.build, PINION) == 3.0
    assert value_at(window.document.build, LENGTH) == 1500.0
    window.redo()
    assert value_at(window.document.build, PINION) == 1.0


def test_undo_takes_a_complaint_away_with_its_typing(qtbot: QtBot, window: MainWindow) -> None:
    window.document.apply({LENGTH: 1500.0}, "length")
    edit = type_only(qtbot, window, PINION, "abc")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    shown = row(window, PINION)
    assert shown.complaint.isVisibleTo(shown)
    window.undo()
    assert edit.text() in {"3", "3.0"}
    assert not shown.complaint.isVisibleTo(shown)
    assert shown.complaint.text() == ""
    assert "“abc” could not be taken" in window.foot.told.text()


def test_a_complaint_goes_when_the_text_is_typed_back(qtbot: QtBot, window: MainWindow) -> None:
    edit = type_only(qtbot, window, WHEELBASE, "1,524")
    shown = row(window, WHEELBASE)
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert shown.complaint.isVisibleTo(shown)
    edit.setFocus()
    edit.selectAll()
    qtbot.keyClick(edit, Qt.Key.Key_Delete)  # it was empty before
    assert not shown.pending
    assert not shown.complaint.isVisibleTo(shown)
    assert not edit.property("refused")


@pytest.mark.parametrize("kind", ["number", "point", "outline"])
def test_refused_typing_is_never_read_again_in_another_unit(qtbot: QtBot, window: MainWindow, kind: str) -> None:
    outline = ((1000.0, 500.0), (1200.0, 500.0), (1200.0, 600.0))
    build = edited(HURRY, {"obstacles.0": {"outline_mm": outline}, "axle.centre_mm": (3000.0, 0.0, 400.0)})
    window.document.open(build, None)
    if kind == "outline":
        page(window, "obstacles.0.outline_mm").setFocus()
        page(window, "obstacles.0.outline_mm").insertPlainText("1000, 1000\n")  # inches, beyond what is possible
    elif kind == "point":
        type_only(qtbot, window, "axle.centre_mm", "1000", 0)
    else:
        type_only(qtbot, window, WHEELBASE, "1000")
    window.menus.millimetres.trigger()
    assert window.measurements.pending() == []
    assert "could not be taken" in window.foot.told.text()
    edit = line(window, PINION)
    edit.setFocus()
    window.menus.inches.trigger()
    window.undo()
    window.undo()
    assert window.document.build == build
    assert window.document.stack.isClean()


def test_saving_drops_what_was_refused_says_so_and_writes_what_is_shown(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    path = tmp_path / "kept.json"
    window.document.open(HURRY, path, write_build(path, HURRY))
    type_only(qtbot, window, LENGTH, "61")
    type_only(qtbot, window, WHEELBASE, "9999")
    assert window.filing.save()
    assert read_build(path) == window.document.build == edited(HURRY, {LENGTH: 1549.4})
    assert "“9999” could not be taken" in window.foot.told.text()
    assert "Saved kept.json." in window.foot.told.text()
    assert line(window, WHEELBASE).text() == ""


def test_what_is_only_shown_is_not_in_a_copy_and_a_question_keeps_what_was_refused(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.document.apply({LENGTH: 1500.0}, "length")
    type_only(qtbot, window, PINION, "1")
    copy = window.keeper.keep()
    assert copy is not None
    (kept,) = recovery.left_copies(copy.parent) if window.keeper.release() is None else ()
    assert value_at(kept.build, PINION) == 3.0
    qtbot.keyClick(line(window, PINION), Qt.Key.Key_Escape)
    type_only(qtbot, window, PINION, "abc")
    monkeypatch.setattr(asking, "what_about_unsaved", lambda *_: "cancel")
    assert not window.close()
    assert line(window, PINION).text() == "abc"


def test_opening_takes_no_typing_along(qtbot: QtBot, window: MainWindow) -> None:
    type_only(qtbot, window, PINION, "abc")
    window.document.open(SHOCKS, None)
    QApplication.processEvents()
    assert window.document.build == SHOCKS
    assert window.document.stack.count() == 0
    assert window.measurements.pending() == []
    assert line(window, PINION).text() in {"3", "3.0"}


def test_a_change_of_kind_copies_what_was_being_typed(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(RANCH, None)
    type_only(qtbot, window, "suspension.bump_mm", "2")
    box = row(window, "suspension.kind").editors()[0]
    assert isinstance(box, QComboBox)
    box.activated.emit(1)
    assert value_at(window.document.build, "suspension.kind") == "links"
    assert value_at(window.document.build, "suspension.bump_mm") == 50.8


def test_what_is_typed_in_a_part_that_goes_is_said(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(SHOCKS, None)
    edit = type_only(qtbot, window, "shocks.1.compressed_mm", "abc")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    box = window.measurements.boxes["shocks"]
    remove = next(one for one in box.findChildren(QPushButton) if one.accessibleName() == "Remove shock 1")
    remove.click()
    QApplication.processEvents()
    assert [one.name for one in window.document.build.shocks] == ["right"]
    assert window.document.build.shocks[0] == SHOCKS.shocks[1]
    assert "“abc” could not be taken" in window.foot.told.text()


def test_refused_typing_stays_while_another_field_is_filled_in(qtbot: QtBot, window: MainWindow) -> None:
    edit = type_only(qtbot, window, PINION, "abc")
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    qtbot.keyClick(type_only(qtbot, window, LENGTH, "61"), Qt.Key.Key_Return)
    assert edit.text() == "abc"
    assert value_at(window.document.build, LENGTH) == 1549.4


def test_control_z_in_notes_undoes_the_step_and_not_the_letters(qtbot: QtBot, window: MainWindow) -> None:
    editor = page(window, "notes")
    editor.setFocus()
    qtbot.keyClicks(editor, "cold gearbox")
    qtbot.keySequence(editor, QKeySequence(QKeySequence.StandardKey.Undo))  # the letters, which are not handed in
    assert window.document.build == HURRY
    qtbot.keyClicks(editor, "cold")
    line(window, PINION).setFocus()
    assert window.document.build.notes == "cold"
    editor.setFocus()
    qtbot.keySequence(editor, QKeySequence(QKeySequence.StandardKey.Undo))
    assert window.document.build.notes == ""


# ---- what is not typed stays exactly


def test_a_number_of_a_point_that_is_not_typed_stays_exactly(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(HURRY, {"axle.centre_mm": (3001.0, 13.3, 407.1)}), None)
    qtbot.keyClick(type_only(qtbot, window, "axle.centre_mm", "120", 0), Qt.Key.Key_Return)
    assert value_at(window.document.build, "axle.centre_mm") == (3048.0, 13.3, 407.1)


def test_a_number_of_an_outline_that_is_not_typed_stays_exactly(qtbot: QtBot, window: MainWindow) -> None:
    outline = ((1001.3, 501.7), (1201.9, 503.1), (1203.3, 601.3))
    window.document.open(edited(HURRY, {"obstacles.0": {"outline_mm": outline}}), None)
    editor = page(window, "obstacles.0.outline_mm")
    lines = editor.toPlainText().splitlines()
    editor.setPlainText("\n".join([f"40, {lines[0].partition(', ')[2]}", *lines[1:]]))
    editor.document().setModified(True)
    window.document.hand_in()
    assert window.document.build.obstacles[0].outline_mm == ((1016.0, 501.7), *outline[1:])


# ---- units in every kind of row


def test_every_row_is_in_the_unit_that_it_names_after_a_switch(qtbot: QtBot, window: MainWindow) -> None:
    build = edited(RANCH, {"shocks.0": {"compressed_mm": 300.0, "axle_point_mm": (3100.0, 400.0, 350.0)}})
    window.document.open(build, None)
    for box in window.measurements.boxes.values():
        box.set_open(opened=True)
    seen: set[type] = set()
    for display, action in ((MILLIMETRES, window.menus.millimetres), (INCHES, window.menus.inches)) * 2:
        action.trigger()
        torque = window.menus.newton_metres if display is MILLIMETRES else window.menus.pound_feet
        torque.trigger()
        rows = [one for box in window.measurements.boxes.values() for one in box.rows]
        seen |= {type(one) for one in rows if as_the_build_has_it(one, window.document.build, display)}
    assert seen >= {NumberRow, PointRow, PageRow, RatiosRow}
    assert window.document.build == edited(build, {"display.length": "inch", "display.torque": "pound_foot"})


def as_the_build_has_it(one: EntryRow, build: Build, display: Display) -> bool:
    """Whether a row holds numbers; they and the unit that it names are the display's."""
    value, unit = value_at(build, one.entry.path), one.entry.unit
    sign = shown_unit(unit, display).symbol
    if isinstance(one, (NumberRow, PointRow)):
        assert one.unit.text() == sign
        if value is not None:
            close([edit.text() for edit in one.edits], value if isinstance(value, tuple) else [value], unit, display)
    elif isinstance(one, PageRow) and one.entry.kind == "outline":
        assert one.title.text().endswith(f"({sign})")
        if value is not None:
            numbers = [number for corner in value for number in corner]
            close(one.page.toPlainText().replace("\n", ", ").split(", "), numbers, unit, display)
    elif isinstance(one, RatiosRow):
        assert tuple(float(part) for part in one.edits[0].text().split(", ")) == value
    else:
        return False
    return value is not None


def close(texts: list[str], values: Sequence[float], unit: Kind, display: Display) -> None:
    """Texts, read in a display's units, are the values to half of their last place."""
    for text, value in zip(texts, values, strict=True):
        places = len(text.partition(".")[2])
        half = float(shown_unit(unit, display).factor) * 0.501 * 10.0**-places
        plain = text.replace("−", "-").replace(",", "")
        assert abs(parse(plain, unit, display) - value) <= half, (text, value)


# ---- inches as sixteenths


def test_inches_show_as_sixteenths_and_typing_takes_both(qtbot: QtBot, window: MainWindow) -> None:
    for text in ("12 3/8", "12-3/8", "12.375", "12 3/8 in", '12-3/8"', "12.375in", "314.325 mm"):
        for on in (False, True):
            (window.menus.sixteenths if on else window.menus.inches).trigger()
            assert [window.menus.inches.isChecked(), window.menus.sixteenths.isChecked()] == [not on, on]
            assert window.document.build.display.inches == ("sixteenths" if on else None)
            qtbot.keyClick(type_only(qtbot, window, LENGTH, "20"), Qt.Key.Key_Return)
            edit = type_only(qtbot, window, LENGTH, text)
            qtbot.keyClick(edit, Qt.Key.Key_Return)
            assert value_at(window.document.build, LENGTH) == pytest.approx(314.325, abs=1e-9)  # 12.375 × 25.4
            assert edit.text() == ("12 3/8" if on else "12.375")
            assert set_point(window, "Joint to joint").now == ("12 3/8 in" if on else "12.38 in")
    window.menus.millimetres.trigger()
    assert not window.menus.sixteenths.isChecked()  # one of three holds
    assert not window.menus.inches.isChecked()
    assert line(window, LENGTH).text() == "314.3" or line(window, LENGTH).text() == "314.325"
    window.undo()
    assert window.menus.sixteenths.isChecked()
    qtbot.keyClick(type_only(qtbot, window, LENGTH, "314.33 mm"), Qt.Key.Key_Return)
    assert "12 3/8 in" in set_point(window, "Joint to joint").now
    qtbot.keyClick(type_only(qtbot, window, LENGTH, "312 mm"), Qt.Key.Key_Return)
    line(window, PINION).setFocus()
    assert line(window, LENGTH).text() == "≈ 12 5/16"  # 312 / 25.4 = 12.283 = 12 + 4.5/16, a little more
    line(window, LENGTH).setFocus()
    qtbot.keyClick(line(window, LENGTH), Qt.Key.Key_Return)
    assert value_at(window.document.build, LENGTH) == 312.0


def test_a_value_beside_its_limit_is_told_apart_in_decimals(window: MainWindow) -> None:
    finding = next(one for one in solve(RANCH).findings if one.unit == "mm" and one.limit)
    display = edited(RANCH, {"display": {"length": "inch", "inches": "sixteenths"}}).display
    finding = replace(finding, state=None)
    near = replace(finding, value=51.2, limit=50.8, sense="at most")  # 2.0157 in, and 2 in
    assert value_words(near, display) == "2.02 in, most 2.00"
    far = replace(finding, value=57.15, limit=50.8, sense="at most")
    assert value_words(far, display) == "2 1/4 in, most 2"


def test_sixteenths_lie_in_the_file_only_where_they_are_chosen(
    qtbot: QtBot, window: MainWindow, tmp_path: Path
) -> None:
    path = tmp_path / "kept.json"
    window.document.open(HURRY, path, write_build(path, HURRY))
    assert window.filing.save()
    assert "inches" not in path.read_text(encoding="utf-8")
    window.menus.sixteenths.trigger()
    assert window.filing.save()
    assert read_build(path) == edited(HURRY, {"display.inches": "sixteenths"})
    window.filing.new()
    assert window.document.build.display.inches == "sixteenths"


@pytest.mark.parametrize("text", ["≈ 50 13/16", "1,234 15/16", "−103 7/16"])
def test_a_number_in_a_field_is_never_cut(qtbot: QtBot, text: str) -> None:
    edit = LineEdit()
    qtbot.addWidget(edit)
    edit.keep_whole(15)
    edit.setFixedWidth(102)
    edit.show()
    edit.setText(text)
    assert edit.fontMetrics().horizontalAdvance(text) <= edit.width() - 10
    edit.setText("3.5")
    assert edit.font().pointSize() == 15


# ---- the keyboard's focus and the mouse's


def test_the_keyboard_selects_a_section_by_coming_and_the_mouse_by_clicking(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(RANCH, None)
    button, box = window.measurements.boxes["axle"].button, window.measurements.boxes["axle"]
    window.selection.choose(None, part="shaft")
    was_open = box.is_open
    qtbot.mousePress(button, Qt.MouseButton.LeftButton)
    assert button.hasFocus()
    assert window.selection.part == "shaft"  # the mouse has not clicked yet
    qtbot.mouseRelease(button, Qt.MouseButton.LeftButton)
    assert window.selection.part == "axle"
    assert box.is_open is not was_open
    window.selection.choose(None, part="shaft")
    button.clearFocus()
    opened = box.is_open
    button.setFocus(Qt.FocusReason.TabFocusReason)
    assert window.selection.part == "axle"
    assert box.is_open is opened
    window.selection.choose(None, part="shaft")
    button.clearFocus()
    button.setFocus(Qt.FocusReason.BacktabFocusReason)
    assert window.selection.part == "axle"
    window.selection.choose(None, part="shaft")
    button.clearFocus()
    button.setFocus(Qt.FocusReason.OtherFocusReason)
    assert window.selection.part == "shaft"


def test_a_menu_or_another_window_over_a_field_does_not_hand_in(qtbot: QtBot, window: MainWindow) -> None:
    for reason in (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason):
        edit = type_only(qtbot, window, PINION, "1")
        window.drawing.canvas.setFocus(reason)  # type: ignore[union-attr]
        assert window.document.stack.count() == 0
        assert edit.text() == "1"
        edit.setFocus(reason)
        qtbot.keyClick(edit, Qt.Key.Key_Escape)
        notes = page(window, "notes")
        notes.setFocus()
        qtbot.keyClicks(notes, "a")
        window.drawing.canvas.setFocus(reason)  # type: ignore[union-attr]
        assert window.document.stack.count() == 0
        notes.setFocus(reason)
        qtbot.keyClick(notes, Qt.Key.Key_Escape)
    edit = type_only(qtbot, window, PINION, "1")
    window.drawing.canvas.setFocus(Qt.FocusReason.MouseFocusReason)  # type: ignore[union-attr]
    assert window.document.stack.count() == 1


def test_whoever_hears_of_an_edit_first_sees_the_same_build_at_the_axles_place(qapp: QApplication) -> None:
    # as when the row with the cursor goes: the selection passes on, and the drawing is made, before all have heard
    document, seen = Document(RANCH), []
    document.changed.connect(lambda: seen.append(state.there))
    state = TravelState(document)
    assert state.range_mm is not None
    state.go(state.range_mm[1])
    outline = ((1000.0, 500.0), (1200.0, 500.0), (1200.0, 600.0))
    count = len(RANCH.obstacles)
    for changes in (
        {f"obstacles.{count}": {"outline_mm": outline}},
        {"obstacles.0": None},
        {"suspension.bump_mm": 20.0},
    ):
        document.apply(changes, "edit")
        assert seen[-1] is not None
        assert len(seen[-1].picture.obstacles_mm) == len(document.build.obstacles)
        assert state.there == seen[-1]
