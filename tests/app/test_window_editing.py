"""Editing in the real window: one edit changes everything at once, is one step of the history, and is never lost."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QSettings, Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.drawing.palette import VERDICT_SIGNS
from app.reading import parse
from app.units import INCHES, MILLIMETRES
from app.window.findings.chosen import own_unit
from app.window.form.field_text import typing_text
from app.window.form.rows import EntryRow, LineEdit
from app.window.keeping import recovery
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, value_at
from geometry.words.solution import Remedy
from geometry.words.solve import solved as whole
from tests.app.shown import drawn_words, labels, set_point

HURRY = {
    "powertrain.slope_deg": 3.5,
    "readings.shaft_slope_deg": 10.8,
    "axle.pinion_slope_deg": 3.5,
    "readings.shaft_length_mm": 1524.0,
}


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    """A window on an empty build, its settings and copies in a folder of their own, its drawing loaded."""
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    made = MainWindow()
    made.drawing.load()
    made.show()
    made.show_desk()
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


def type_in(qtbot: QtBot, window: MainWindow, path: str, text: str, number: int = 0) -> None:
    """Type into a field as a person does, and press Enter."""
    edit = line(window, path, number)
    edit.setFocus()
    qtbot.waitUntil(edit.hasFocus)
    edit.selectAll()
    qtbot.keyClick(edit, Qt.Key.Key_Delete)
    qtbot.keyClicks(edit, text)
    qtbot.keyClick(edit, Qt.Key.Key_Return)


def test_a_new_build_and_the_hurry_entries_give_a_verdict(qtbot: QtBot, window: MainWindow) -> None:
    assert window.document.solution.verdict == "unknown"
    for path, text in zip(HURRY, ("3.5", "10.8", "3°30'", "60"), strict=True):
        type_in(qtbot, window, path, text)
    # 10.8 − 3.5 = 7.3 at both ends: subtraction, as on the vehicle
    assert [joint.operating_deg for joint in window.document.solution.joints] == pytest.approx([7.3, 7.3])
    ends = next(one for one in window.document.solution.findings if one.id == "ends_parallel")
    assert ends.verdict == "clear"
    window.selection.choose(None, part=ends.part, finding=(ends.id, ends.part))
    assert own_unit(ends.says).partition(";")[0] in window.findings.detail.sentence.text()
    assert window.document.solution.says in window.findings.head.accessibleName()
    assert value_at(window.document.build, "readings.shaft_length_mm") == 1524.0  # 60 in × 25.4 mm, exact


def test_enter_goes_from_field_to_field(qtbot: QtBot, window: MainWindow) -> None:
    type_in(qtbot, window, "powertrain.slope_deg", "3.5")
    assert line(window, "readings.shaft_slope_deg").hasFocus()


def test_an_edit_changes_finding_drawing_and_field_and_undo_takes_all_back(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(Build(), HURRY), None)
    before = (drawn_words(window), labels(window.findings), window.document.solution)
    assert before[0].count("7.3°") >= 2  # at both joints
    type_in(qtbot, window, "axle.pinion_slope_deg", "1.3")
    assert "9.5°" in drawn_words(window)  # 10.8 − 1.3
    assert "7.3°" in drawn_words(window)
    ends = next(one for one in window.document.solution.findings if one.id == "ends_parallel")
    assert ends.value == pytest.approx(9.5 - 7.3)
    assert window.document.stack.undoText() == "pinion slope 1.3°"
    window.undo()
    assert drawn_words(window) == before[0]
    assert labels(window.findings) == before[1]
    assert window.document.solution == before[2]
    assert line(window, "axle.pinion_slope_deg").text() in {"3.5", "3.50"}
    window.redo()
    assert "9.5°" in drawn_words(window)


def test_text_that_is_no_reading_shows_one_sentence_and_stays(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(Build(), HURRY), None)
    before = window.document.build
    type_in(qtbot, window, "axle.pinion_slope_deg", "3 banana")
    shown = row(window, "axle.pinion_slope_deg")
    assert window.document.build is before
    assert window.document.stack.count() == 0
    assert line(window, "axle.pinion_slope_deg").text() == "3 banana"
    assert shown.complaint.isVisibleTo(shown)
    assert "banana" in shown.complaint.text()
    assert shown.complaint.text().endswith(".")
    assert ". " not in shown.complaint.text()
    qtbot.keyClick(line(window, "axle.pinion_slope_deg"), Qt.Key.Key_Escape)
    assert not shown.complaint.isVisibleTo(shown)
    assert line(window, "axle.pinion_slope_deg").text() == "3.5"


def test_an_impossible_value_is_refused_in_the_persons_own_units(qtbot: QtBot, window: MainWindow) -> None:
    type_in(qtbot, window, "vehicle.wheelbase_mm", "9999")
    shown = row(window, "vehicle.wheelbase_mm")
    assert window.document.build == Build()
    assert line(window, "vehicle.wheelbase_mm").text() == "9999"
    assert shown.complaint.text().startswith("Wheelbase must be ")
    assert "591 in" in shown.complaint.text() or "590.55 in" in shown.complaint.text()  # 15,000 mm / 25.4


def test_a_check_over_two_entries_names_them_as_the_screen_does(qtbot: QtBot, window: MainWindow) -> None:
    type_in(qtbot, window, "shaft.tube.outer_diameter_mm", "3")
    type_in(qtbot, window, "shaft.tube.wall_mm", "1.6")
    sentence = row(window, "shaft.tube.wall_mm").complaint.text()
    assert sentence == "Tube wall must be less than half of the tube outside diameter."


def test_an_emptied_field_is_not_measured(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(Build(), HURRY), None)
    type_in(qtbot, window, "axle.pinion_slope_deg", "")
    assert value_at(window.document.build, "axle.pinion_slope_deg") is None
    assert window.document.stack.undoText() == "clearing pinion slope"


def test_visiting_a_field_edits_nothing(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(Build(), {"readings.shaft_length_mm": 1290.0}), None)  # 50.787… in
    edit = line(window, "readings.shaft_length_mm")
    edit.setFocus()
    qtbot.keyClick(edit, Qt.Key.Key_Return)
    edit.setFocus()
    qtbot.keyClicks(edit, "1")
    qtbot.keyClick(edit, Qt.Key.Key_Escape)
    qtbot.keyClick(edit, Qt.Key.Key_Tab)
    assert window.document.stack.count() == 0
    assert value_at(window.document.build, "readings.shaft_length_mm") == 1290.0


def test_a_point_is_taken_once_it_is_whole(qtbot: QtBot, window: MainWindow) -> None:
    type_in(qtbot, window, "axle.centre_mm", "120", 0)
    shown = row(window, "axle.centre_mm")
    assert window.document.build == Build()
    assert not shown.complaint.text()  # the rest is still to come
    window.go_to_findings()
    assert "right and up" in shown.complaint.text()
    assert len(window.measurements.pending()) == 1
    type_in(qtbot, window, "axle.centre_mm", "0", 1)
    type_in(qtbot, window, "axle.centre_mm", "16 1/8", 2)
    # inches × 25.4
    assert value_at(window.document.build, "axle.centre_mm") == pytest.approx((3048.0, 0.0, 409.575))
    assert window.document.stack.count() == 1
    assert not shown.complaint.isVisibleTo(shown)


def test_gear_ratios_are_typed_on_one_line(qtbot: QtBot, window: MainWindow) -> None:
    type_in(qtbot, window, "powertrain.gear_ratios", "4.8, 2.6,1.5 1")
    assert value_at(window.document.build, "powertrain.gear_ratios") == (4.8, 2.6, 1.5, 1.0)
    type_in(qtbot, window, "powertrain.gear_ratios", "1, 2")
    assert "from first to top" in row(window, "powertrain.gear_ratios").complaint.text()
    assert value_at(window.document.build, "powertrain.gear_ratios") == (4.8, 2.6, 1.5, 1.0)


def test_units_are_a_step_of_the_history(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(Build(), HURRY), None)
    edit = line(window, "readings.shaft_length_mm")
    assert edit.text() == "60.00"
    assert set_point(window, "Joint to joint").now == "60.00 in"
    window.menus.millimetres.trigger()
    assert edit.text() == "1,524"
    assert set_point(window, "Joint to joint").now == "1,524 mm"
    assert window.menus.millimetres.isChecked()
    window.undo()
    assert edit.text() == "60.00"
    assert window.menus.inches.isChecked()
    window.menus.newton_metres.trigger()
    assert window.document.build.display.torque == "newton_metre"
    assert window.document.build.display.length == "inch"


def test_typing_is_taken_in_the_unit_in_which_it_was_typed(qtbot: QtBot, window: MainWindow) -> None:
    edit = line(window, "readings.shaft_length_mm")
    edit.setFocus()
    qtbot.keyClicks(edit, "60")
    window.menus.millimetres.trigger()
    assert value_at(window.document.build, "readings.shaft_length_mm") == 1524.0


def test_a_remedy_is_applied_by_one_press_and_undone(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(
        edited(Build(), {**HURRY, "axle.pinion_slope_deg": 1.0, "vehicle.cruise_speed_kmh": 100.0}), None
    )
    ends = next(one for one in window.document.solution.findings if one.id == "ends_parallel")
    assert ends.remedy is not None
    window.selection.choose(None, part=ends.part, finding=(ends.id, ends.part))
    qtbot.mouseClick(window.findings.detail.buttons[0], Qt.MouseButton.LeftButton)
    for path, value in ends.remedy.changes.items():
        assert value_at(window.document.build, path) == value
    after = next(one for one in window.document.solution.findings if one.id == "ends_parallel")
    assert after.verdict == ends.remedy.after_verdict
    assert window.document.stack.count() == 1
    window.undo()
    assert next(one for one in window.document.solution.findings if one.id == "ends_parallel") == ends


def test_all_that_a_remedy_changes_is_one_step_and_what_cannot_be_is_a_complaint(window: MainWindow) -> None:
    window.document.open(edited(Build(), HURRY), None)
    before = window.document.build
    both = {"plan.axle_shim_deg": 2.0, "plan.mount_shim_mm": 6.35}
    window.findings.apply(Remedy("Fit both.", both, None, "clear", "clear", (), 0, 0))
    assert all(value_at(window.document.build, path) == value for path, value in both.items())
    assert window.document.stack.count() == 1
    window.undo()
    assert window.document.build == before
    window.findings.apply(Remedy("Fit another axle.", {"axle.ratio": -3.0}, None, "clear", "clear", (), 0, 0))
    assert window.document.build == before
    told = window.foot.told.text()
    assert told.startswith("Not applied: Axle ratio must be more than 0.5")
    assert told.endswith("this is −3.00.")


def test_a_finding_shows_its_limits_and_what_a_remedy_makes_of_the_whole(window: MainWindow) -> None:
    path = Path(__file__).parent.parent.parent / "sample_builds" / "lifted_short_shaft.json"
    window.document.open(Build.model_validate_json(path.read_bytes()), None)
    detail = window.findings.detail
    bad = [one for one in window.document.solution.findings if one.verdict in {"hold", "caution"}]
    assert len(bad) > 5
    for finding in bad:
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        assert window.findings.list.chosen == finding
        shown = labels(detail)
        assert any(text.startswith(VERDICT_SIGNS[finding.verdict]) for text in shown)
        assert detail.bar.isVisible() == (finding.value is not None and finding.limit is not None)
        remedies = [] if finding.remedy is None else [finding.remedy, *finding.alternatives]
        for remedy in remedies:
            assert detail.button.isVisibleTo(detail) == bool(remedy.changes)
            if remedy.changes:
                own, rest = detail.then.text().splitlines()
                whole, _, worse = rest.partition("; ")
                assert f"→ {VERDICT_SIGNS[remedy.after_verdict]} " in own.replace("\u00a0", " ")
                assert whole.startswith("build: ")
                assert (VERDICT_SIGNS["caution"] in whole.rpartition("→")[2]) == (remedy.cautions > 0)
                assert (VERDICT_SIGNS["hold"] in whole.rpartition("→")[2]) == (remedy.holds > 0)
                assert worse.startswith("worse: " if remedy.worse else "nothing gets worse")
            detail.turn(1)


def test_kinds_are_switched_and_switched_back(window: MainWindow) -> None:
    start = edited(
        Build(),
        {
            "shaft.front_joint.max_angle_deg": 25.0,
            "shaft.tube.wall_mm": 2.0,
            "shaft.phase_deg": 5.0,
            "suspension.front_eye_mm": (2560.0, 545.0),
            "suspension.bump_mm": 80.0,
        },
    )
    window.document.open(start, None)
    box = row(window, "shaft.kind").editors()[0]
    box.activated.emit(1)  # type: ignore[attr-defined]
    assert value_at(window.document.build, "shaft.kind") == "two_piece"
    assert value_at(window.document.build, "shaft.front_joint.max_angle_deg") == 25.0
    assert value_at(window.document.build, "shaft.rear_tube.wall_mm") == 2.0
    assert value_at(window.document.build, "shaft.rear_phase_deg") == 5.0
    assert row(window, "shaft.bearing_mm").entry.title == "Support bearing"
    row(window, "suspension.kind").editors()[0].activated.emit(1)  # type: ignore[attr-defined]
    assert value_at(window.document.build, "suspension.kind") == "links"
    assert value_at(window.document.build, "suspension.bump_mm") == 80.0
    window.undo()
    window.undo()
    assert window.document.build == start


def test_things_are_added_and_removed(qtbot: QtBot, window: MainWindow) -> None:
    box = window.measurements.boxes["shocks"]
    box.set_open(opened=True)
    qtbot.mouseClick(box.adder, Qt.MouseButton.LeftButton)
    type_in(qtbot, window, "shocks.0.name", "left shock")
    type_in(qtbot, window, "shocks.0.compressed_mm", "14")
    assert value_at(window.document.build, "shocks.0.name") == "left shock"
    assert value_at(window.document.build, "shocks.0.compressed_mm") == pytest.approx(14 * 25.4)
    window.measurements.take({"shocks.0": None}, "removing shock 1")
    assert window.document.build.shocks == ()
    window.undo()
    assert value_at(window.document.build, "shocks.0.name") == "left shock"


def test_an_obstacle_is_added_once_its_outline_is_whole(window: MainWindow) -> None:
    box = window.measurements.boxes["obstacles"]
    box.set_open(opened=True)
    page = box.rows[-1]
    editor = page.editors()[0]
    editor.setPlainText("60, 20\n70, 20")  # type: ignore[attr-defined]
    editor.document().setModified(True)  # type: ignore[attr-defined]
    page.commit()
    assert "three corners" in page.complaint.text()
    assert window.document.build.obstacles == ()
    editor.setPlainText("60, 20\n70, 20\n70, 24 1/2")  # type: ignore[attr-defined]
    editor.document().setModified(True)  # type: ignore[attr-defined]
    page.commit()
    assert window.document.build.obstacles[0].outline_mm[2] == pytest.approx((70 * 25.4, 24.5 * 25.4))


def test_one_drag_is_one_step(qtbot: QtBot, window: MainWindow) -> None:
    document = window.document
    document.begin_gesture("moving the pinion")
    for slope in (1.0, 2.0, 3.0):
        document.drag({"axle.pinion_slope_deg": slope})
        QApplication.processEvents()
    document.drag({"axle.pinion_slope_deg": 4.0})
    document.end_gesture()
    document.begin_gesture("moving the pinion")
    document.drag({"axle.pinion_slope_deg": 5.0})
    document.end_gesture()
    assert document.stack.count() == 2  # two drags, two steps
    document.stack.undo()
    assert value_at(document.build, "axle.pinion_slope_deg") == 4.0
    document.stack.undo()
    assert document.build == Build()


def test_a_drag_that_comes_back_leaves_no_step(window: MainWindow) -> None:
    window.document.open(edited(Build(), HURRY), None)
    window.document.begin_gesture("moving the pinion")
    for slope in (4.0, 3.5):
        window.document.drag({"axle.pinion_slope_deg": slope})
        QApplication.processEvents()
    window.document.end_gesture()
    assert window.document.stack.count() == 0
    assert window.document.stack.isClean()


def test_edits_within_one_turn_of_a_drag_are_solved_once(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    solved = []
    monkeypatch.setattr("app.window.document.solved", lambda work: (solved.append(work.build), whole(work))[1])
    window.document.begin_gesture("moving the pinion")
    for slope in (1.0, 2.0, 3.0):
        window.document.drag({"axle.pinion_slope_deg": slope})
    window.document.end_gesture()
    assert len(solved) == 1
    assert value_at(window.document.build, "axle.pinion_slope_deg") == 3.0


def test_control_z_in_a_field_undoes_the_step_and_not_the_letters(qtbot: QtBot, window: MainWindow) -> None:
    type_in(qtbot, window, "powertrain.slope_deg", "3.5")
    edit = line(window, "powertrain.slope_deg")
    edit.setFocus()
    qtbot.keySequence(edit, QKeySequence(QKeySequence.StandardKey.Undo))
    assert window.document.build == Build()
    assert edit.text() == ""


@given(st.floats(-20_000.0, 20_000.0))
def test_what_stands_in_a_field_is_read_back_as_what_it_shows(value_mm: float) -> None:
    # 25.4 mm to the inch is exact (yard and pound agreement of 1959); the shortest text has two decimals
    for display, unit_mm in ((INCHES, 25.4), (MILLIMETRES, 1.0)):
        back = parse(typing_text(value_mm, "mm", display), "mm", display)
        assert abs(back - value_mm) <= 0.5 * unit_mm
        if abs(value_mm) < 999.0:
            assert abs(back - value_mm) <= (0.00501 if unit_mm > 1.0 else 0.0501) * unit_mm


@given(st.integers(-4_000, 4_000))
def test_sixteenths_of_an_inch_stay_exact_in_a_field(parts: int) -> None:
    value_mm = float(Fraction(parts * 254, 160))  # the double nearest to so many sixteenths
    assert parse(typing_text(value_mm, "mm", INCHES), "mm", INCHES) == pytest.approx(value_mm, abs=1e-9)
