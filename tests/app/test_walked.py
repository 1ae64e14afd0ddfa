"""What stopped, misled or slowed a person who used the window from the start page to the sheet, each as its kind."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QFontMetrics, QPainter
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.curves.curves import curves_of
from app.curves.panels import panels
from app.drawing.fonts import application
from app.drawing.palette import LIGHT
from app.measuring.entries import Entry
from app.measuring.wanted import next_words
from app.reading import ReadingError, parse
from app.setpoints import set_points
from app.sheet.planned import planned_words
from app.units import MILLIMETRES, degrees
from app.window.findings import setpoints
from app.window.form.by_size import KINDS, BySize
from app.window.form.measure_pane import short_help
from app.window.form.typed_rows import PointRow
from app.window.keeping import asking
from app.window.plain import Label, joined
from app.window.plan.cells import cells_of, words_of
from app.window.shell.main_window import MainWindow
from app.window.theme import sized
from geometry import Build, edited, solve, value_at
from geometry.document.vehicle import Display
from tests.app.drawing.drawn import sample
from tests.app.test_form_choices import all_entries

application()
RANCH = sample("ranch_truck_swap")
HURRY = sample("three_angles_and_a_length")
EVERY = pytest.mark.parametrize("entry", all_entries(), ids=lambda entry: entry.path)


def settle() -> None:
    for _ in range(6):
        QApplication.processEvents()


# ---- what the form says


@EVERY
def test_no_help_is_cut_behind_an_abbreviation(entry: Entry) -> None:
    assert not re.search(r"\b(e\.g|i\.e|such as|about|than)\.$", short_help(entry))


@EVERY
def test_a_help_that_names_a_length_unit_names_both(entry: Entry) -> None:
    """The unit beside the field is the person's, either one."""
    metric = re.search(r"\b(mm|millimetres?)\b", entry.help)
    inches = re.search(r"\b(\d in|inch|inches)\b", entry.help)
    assert bool(metric) == bool(inches)


@pytest.mark.parametrize(
    "entry",
    [one for one in all_entries() if one.unit in {"ratio", "count"} and one.kind in {"number", "ratios"}],
    ids=lambda entry: entry.path,
)
def test_the_example_that_a_refused_ratio_is_given_can_be_typed_there(entry: Entry) -> None:
    with pytest.raises(ReadingError) as caught:
        parse("abc", entry.unit, MILLIMETRES)
    example = float(re.findall(r"[0-9.]*[0-9]", str(caught.value))[-1])
    value = (example,) if entry.kind == "ratios" else example
    assert value_at(edited(Build(), {entry.path: value}), entry.path) == value


def test_the_foot_names_the_joint_that_a_field_belongs_to(window: MainWindow) -> None:
    """Its heading may have scrolled out of sight."""
    window.document.open(RANCH, None)
    for joint in ("front", "rear"):
        window.measurements.bring_forward(f"shaft.{joint}_joint.torque_limit_nm", focus=True)
        assert window.measurements._help.text().startswith(f"{joint.capitalize()} joint: ")
        assert window.measurements.help_text.startswith(f"{joint.capitalize()} joint, ")
    window.measurements.bring_forward("axle.ratio", focus=True)
    assert window.measurements.help_text.startswith("Axle ratio: ")


def test_what_a_front_axle_alone_has_is_asked_of_a_front_axle_alone(qtbot: QtBot, window: MainWindow) -> None:
    ahead = {"axle.caster_deg", "axle.caster_wanted_deg"}
    box = window.measurements.boxes["axle"]
    window.document.open(RANCH, None)
    box.set_open(opened=True)
    assert not ahead & {row.entry.path for row in box.rows}
    chooser = window.measurements.row_for("axle.end").editors()[0]
    chooser.setFocus()
    qtbot.keyClick(chooser, Qt.Key.Key_Down)
    settle()
    assert value_at(window.document.build, "axle.end") == "front"
    assert ahead <= {row.entry.path for row in box.rows}
    assert QApplication.focusWidget() is window.measurements.row_for("axle.end").editors()[0]
    window.document.open(edited(RANCH, {"axle.caster_deg": 4.0}), None)
    box.set_open(opened=True)
    assert "axle.caster_deg" in {row.entry.path for row in box.rows}  # nothing that is entered is out of sight


def test_a_point_is_called_unfinished_when_it_is_left_and_not_while_it_is_typed(
    qtbot: QtBot, window: MainWindow
) -> None:
    window.show_desk()
    window.measurements.bring_forward("powertrain.output_joint_mm", focus=True)
    row = window.measurements.row_for("powertrain.output_joint_mm")
    assert isinstance(row, PointRow)
    for place, (edit, text) in enumerate(zip(row.edits, ("64 1/4", "", "25 3/8"), strict=True)):
        assert QApplication.focusWidget() is edit
        assert row.complaint.isHidden()
        qtbot.keyClicks(edit, text)
        qtbot.keyClick(edit, Qt.Key.Key_Return if place != 1 else Qt.Key.Key_Tab)
        settle()
    assert QApplication.focusWidget() not in row.edits
    assert not row.complaint.isHidden()
    assert "right" in row.complaint.text()


@pytest.mark.parametrize("joint", ["front", "rear"])
def test_what_to_measure_next_names_the_joint_that_it_is_of(joint: str) -> None:
    build = edited(RANCH, {f"shaft.{joint}_joint.max_angle_deg": None})
    assert next_words(build, solve(build)) == f"{joint} joint's greatest angle"


# ---- an obstacle by its size


@pytest.mark.parametrize("kind", KINDS)
def test_enter_goes_from_size_to_size_and_adds_behind_the_last(qtbot: QtBot, window: MainWindow, kind: str) -> None:
    asked = BySize(window, window.document.build.display)
    qtbot.addWidget(asked)
    asked.show()
    asked.kind.setCurrentIndex(KINDS.index(kind))
    asked.edits[0].setFocus()
    edits = [edit for edit in asked.edits if edit.isVisible()]
    assert [sign.isVisible() for sign in asked.signs] == [edit.isVisible() for edit in asked.edits]
    for edit in edits:
        assert asked.focusWidget() is edit
        assert not asked.complaint.text()
        assert asked.made is None
        qtbot.keyClicks(edit, "30")
        qtbot.keyClick(edit, Qt.Key.Key_Return)
    assert asked.made is not None


def test_a_size_that_is_nothing_is_said_until_it_is_typed_anew(qtbot: QtBot, window: MainWindow) -> None:
    asked = BySize(window, window.document.build.display)
    qtbot.addWidget(asked)
    asked.show()
    for edit, text in zip(asked.edits, ("60", "20", "0", "2"), strict=True):
        edit.setText(text)
    asked._take()
    assert "must be more than nothing" in asked.complaint.text()
    assert asked.focusWidget() is asked.edits[2]
    qtbot.keyClicks(asked.edits[2], "4")
    assert not asked.complaint.text()


# ---- one number wherever it stands


@pytest.mark.parametrize("display", [Display(), Display(inches="sixteenths"), Display(length="millimetre")])
@pytest.mark.parametrize("length_mm", [9.525, 14.2875, 25.0, 76.2, 1.5875])
def test_what_is_planned_reads_the_same_in_strip_set_points_and_sheet(display: Display, length_mm: float) -> None:
    plan = {"rear_lift_mm": length_mm, "rear_lift_by": "block", "mount_shim_mm": length_mm}
    build = edited(RANCH, {f"plan.{name}": value for name, value in plan.items()} | {"display": display.model_dump()})
    solution = solve(build)
    solution = replace(solution, setpoints=replace(solution.setpoints, mount_shim_mm=length_mm))
    strip = {cell.key: words_of(cell, display) for cell in cells_of(build, solution, None)}
    rows = {row.label: row.value for row in set_points(build, solution)}
    assert rows["Block, rear"] in strip["rear lift"]
    assert f"rear up {rows['Block, rear']} (" in planned_words(build)
    shim = rows["Rear mount: raise by"]
    assert f"{shim} (" in planned_words(build)
    assert " of shim under the rear mount" in planned_words(build)
    if display.length == "millimetre" or (length_mm / 25.4 * 16).is_integer():
        assert shim in {one.replace(".0 ", " ") for one in strip["mounts"]}


def test_a_steep_shaft_that_only_the_stick_tells_of_leads_to_the_stick() -> None:
    steep = next(one for one in solve(HURRY).findings if one.id == "shaft_slope")
    assert steep.verdict == "caution"
    assert steep.entry == "readings.shaft_slope_deg"
    placed = next(one for one in solve(RANCH).findings if one.id == "shaft_slope")
    assert placed.entry == "powertrain.output_joint_mm"


# ---- words that are whole


@pytest.mark.parametrize("amount", ["484 rad/s²", "1,021 lb·ft", "35 N·m", "2,439 rpm", "257 lb/in", "1,294 mm"])
def test_no_line_of_a_label_ends_within_an_amount(qtbot: QtBot, amount: str) -> None:
    words = f"As far as entered it is {amount}."
    label = Label(words)
    qtbot.addWidget(label)
    assert label.text() == words
    shown = joined(words)
    assert shown.replace("\u00a0", " ").replace("\u2060", "") == words
    assert not re.search(r"\d (?=rad|lb|N|rpm|mm)|rad/s|lb/in", shown)
    metrics = QFontMetrics(label.font())
    assert abs(metrics.horizontalAdvance(shown) - metrics.horizontalAdvance(words)) <= 1


@pytest.mark.parametrize("torque", ["none", "launch"])
def test_the_curves_show_what_the_drawing_over_them_shows(window: MainWindow, torque: str) -> None:
    """As measured, without the plan, at ride height: or one would read two angles of one joint."""
    window.resize(1400, 900)
    window.document.open(edited(RANCH, {"plan.axle_shim_deg": 3.0}), None)
    settle()
    travel = window.drawing.travel
    travel.state.load(torque)  # type: ignore[arg-type]
    travel.state.go(30.0)
    window.show_bare(True)
    settle()
    measured = window.document.measured
    assert measured is not None
    front, rear = (degrees(one.operating_deg or 0.0) for one in measured.joints)
    page = travel.curves.page
    assert page is not None
    assert f"{front} / {rear}" in {text for _, text in page.words}
    assert not any("torque" in text for _, text in page.words)
    window.show_bare(False)
    settle()
    page = travel.curves.page
    assert page is not None
    assert f"{front} / {rear}" not in {text for _, text in page.words}


def test_every_press_under_the_drawing_is_whole_when_it_is_pressed(window: MainWindow) -> None:
    """Pressed, its word is bold."""
    window.document.open(RANCH, None)
    settle()
    bar = window.drawing.travel.bar
    presses = [one for one in bar.findChildren(QPushButton) if one.isCheckable()]
    assert len(presses) == 4
    for one in presses:
        bold = QFontMetrics(sized(10, bold=True)).horizontalAdvance(one.text())
        assert one.width() >= bold + 2 * (9 + 1), one.text()


SIZES = [(672.0, 104.0), (794.0, 104.0), (1100.0, 180.0)]


@pytest.mark.parametrize("size", SIZES)
def test_what_a_curve_wants_is_whole_or_ends_in_an_ellipsis(size: tuple[float, float]) -> None:
    made = curves_of(RANCH, solve(RANCH))
    assert made is not None
    wants = "Not judged: measure or enter the tube outside diameter; and either the front joint's yoke swing, or more."
    bare = replace(made.panels[-1], series=(), wants=wants)
    page = panels(replace(made, panels=(*made.panels[:-1], bare)), size, LIGHT, 0.0)
    left, right = page.plots[-1].box[0], page.plots[-1].box[2]
    rows = [text for box, text in page.words if left - 1.0 <= box[0] <= right and text != bare.title]
    told = " ".join(rows)
    assert told == wants or (told.endswith("…") and wants.startswith(told.removesuffix("…").rstrip()))


@pytest.mark.parametrize("text", [b"", b"\xff\xfe\x00", b"[1]", b"{", b'{"format": 99}', b'{"axle": {"ratio": "x"}}'])
def test_why_a_file_cannot_be_opened_is_one_sentence(
    window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: bytes
) -> None:
    told: list[str] = []
    monkeypatch.setattr(asking, "tell", lambda *words: told.extend(str(one) for one in words[1:]))
    path = tmp_path / "a build.json"
    path.write_bytes(text)
    window.filing.open_path(path)
    said = told[1]
    assert said.startswith(str(path))
    assert said.endswith(".")
    assert not said.endswith("..")
    assert not re.match(r": (is|was|cannot)\b", said.removeprefix(str(path)))


@pytest.mark.parametrize("name", ["lifted_short_shaft", "front_axle_lift", "ranch_truck_swap"])
@pytest.mark.parametrize("size", [(1366, 768), (1440, 900), (1600, 900), (1920, 1080)])
def test_no_set_point_touches_the_one_under_it(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, name: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.document.open(sample(name), None)
    settle()
    pane = window.findings.setpoints
    lines: list[tuple[float, float]] = []
    write = setpoints.write

    def noted(
        painter: QPainter, x: float, base: float, text: str, colour: str, pt: int, *, right: bool = False,
        bold: bool = False,
    ) -> float:  # fmt: skip
        if bold and text[:1].isdigit():
            lines.append((base, base - QFontMetrics(sized(pt, bold=True)).tightBoundingRect("8").height()))
        return write(painter, x, base, text, colour, pt, right=right, bold=bold)

    monkeypatch.setattr(setpoints, "write", noted)
    pane.grab()
    assert len(lines) >= 2
    for (base, _), (_, top) in pairwise(lines):
        assert top - base >= 4.0


# ---- the window on its screen


def test_a_frame_that_comes_late_pushes_nothing_off_the_screen(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Some screens give a window its frame only once it is shown: the caution at the foot stays in sight."""
    free = QRect(0, 0, 1366, 768)
    monkeypatch.setattr(window, "_free", lambda: free)
    window.resize(1366, 768)
    window._fit_screen()
    window._framed = False
    monkeypatch.setattr(window, "frameGeometry", lambda: window.geometry().adjusted(-1, -20, 1, 5))
    monkeypatch.setattr(window, "isActiveWindow", lambda: True)
    window.changeEvent(QEvent(QEvent.Type.ActivationChange))
    assert window.height() <= 768 - 25
    assert window.width() <= 1366 - 2
    window.resize(1300, 900)  # from now on its size is the person's own
    window.changeEvent(QEvent(QEvent.Type.ActivationChange))
    assert window.height() == 900


def test_a_click_on_without_it_says_how_to_keep_it(qtbot: QtBot, window: MainWindow) -> None:
    window.document.open(edited(RANCH, {"plan.axle_shim_deg": 2.0}), None)
    settle()
    qtbot.mouseClick(window.plan.bare, Qt.MouseButton.LeftButton)
    assert "F7" in window.foot.told.text()
