"""The findings room: rows as numbered in the drawing, the chosen one with its bar and way out, set-points, counts."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.drawing.wording import numbered
from app.setpoints import set_points
from app.window.findings.chosen import own_unit
from app.window.findings.listing import ONE_LINE, TWO_LINES
from app.window.findings.rows import counts, rows_of
from app.window.shell.main_window import MainWindow
from geometry import Build, edited, solve
from tests.app.shown import drawn_words

SAMPLES = sorted((Path(__file__).parent.parent.parent / "sample_builds").glob("*.json"))
BUILDS = {path.stem: Build.model_validate_json(path.read_bytes()) for path in SAMPLES}
HAULER, RANCH = BUILDS["lifted_short_shaft"], BUILDS["ranch_truck_swap"]
HURRY = edited(
    Build(),
    {
        "powertrain.slope_deg": 3.5,
        "readings.shaft_slope_deg": 10.8,
        "axle.pinion_slope_deg": 3.0,
        "readings.shaft_length_mm": 1524.0,
        "vehicle.cruise_speed_kmh": 100.0,
        "vehicle.rear_tyre_radius_mm": 350.0,
    },
)


def show(window: MainWindow, build: Build, width: int = 1366, height: int = 768) -> MainWindow:
    window.resize(width, height)
    window.drawing.load()
    window.document.open(build, None)
    QApplication.processEvents()
    return window


@pytest.mark.parametrize("name", BUILDS)
def test_every_finding_is_in_one_row_and_numbered_as_in_the_drawing(name: str) -> None:
    solution = solve(BUILDS[name])
    number_of = {(one.id, one.part): number for number, one in numbered(solution)}
    for paired in (False, True):
        rows = rows_of(solution, paired=paired, opened=False)
        assert sorted(key for row in rows for key in row.keys) == sorted(
            (one.id, one.part) for one in solution.findings
        )
        for row in rows:
            assert row.numbers == tuple(number_of[key] for key in row.keys if key in number_of)
            assert (row.kind == "finding") == bool(row.numbers)
        told = [number for row in rows for number in row.numbers]
        assert told == list(range(1, len(told) + 1))
        assert paired or all(len(row.findings) == 1 for row in rows if row.kind == "finding")
    opened = rows_of(solution, paired=True, opened=True)
    fine = [row for row in opened if row.kind == "fine"]
    assert len(fine) == sum(one.verdict == "clear" for one in solution.findings)


def test_pairs_share_a_row_only_where_there_is_no_room_and_both_are_reached(qtbot: QtBot, window: MainWindow) -> None:
    findings = show(window, HAULER).findings
    pair = next(row for row in findings.list.model.rows if row.kind == "finding" and len(row.findings) == 2)
    assert {one.part for one in pair.findings} == {"front_joint", "rear_joint"}
    for finding in pair.findings:
        window.drawing.canvas.flag_clicked.emit(finding.id, finding.part)  # type: ignore[union-attr]
        assert findings.list.chosen == finding
        assert own_unit(finding.says).partition(";")[0] in findings.detail.sentence.text()
    findings.list.view.setFocus()
    for finding in (*pair.findings, pair.findings[0]):  # by the keyboard, round and round
        qtbot.keyClick(findings.list.view, Qt.Key.Key_Space)
        assert findings.list.chosen == finding
        assert window.selection.finding == (finding.id, finding.part)
    at = findings.list.view.visualRect(findings.list.view.currentIndex()).center()
    for finding in (pair.findings[0], pair.findings[1]):  # by pressing the row once more
        qtbot.mouseClick(findings.list.view.viewport(), Qt.MouseButton.LeftButton, pos=at)
        assert findings.list.chosen == finding
    show(window, HAULER, 1366, 1400)
    assert findings.list.row_painter.lines == 2
    assert all(len(row.findings) == 1 for row in findings.list.model.rows if row.kind == "finding")


@pytest.mark.parametrize("size", [(1240, 680), (1280, 720), (1366, 768), (1440, 900), (1920, 1080)])
@pytest.mark.parametrize("name", BUILDS)
def test_rows_are_whole_and_what_does_not_fit_is_counted(window: MainWindow, name: str, size: tuple[int, int]) -> None:
    listed = show(window, BUILDS[name], *size).findings.list
    view, rows = listed.view, listed.model.rows
    view.scrollToTop()
    QApplication.processEvents()
    high = view.viewport().height()
    rects = [view.visualRect(listed.model.index(place)) for place in range(len(rows))]
    seen = [one for one in rects if one.top() < high]
    assert all(one.bottom() < high for one in seen)
    assert all(one.height() in {ONE_LINE, TWO_LINES} for one in seen)
    below = len(rows) - len(seen)
    assert listed.below.text() == (f"{below} below" if below else "")
    assert listed.below.isVisible() == bool(below)
    assert not below or listed.row_painter.lines == 1


def test_the_list_follows_the_windows_height_down_again(window: MainWindow) -> None:
    show(window, HAULER, 1920, 1080)
    window.resize(1240, 680)
    QApplication.processEvents()
    pane = window.findings
    assert pane.setpoints.geometry().bottom() < pane.height()
    assert pane.minimumSizeHint().height() <= pane.height()


def test_what_is_clear_opens_and_closes_by_mouse_and_keyboard(qtbot: QtBot, window: MainWindow) -> None:
    listed = show(window, RANCH).findings.list

    def clear() -> int:
        return [row.kind for row in listed.model.rows].index("clear")

    before = window.document.build
    at = listed.view.visualRect(listed.model.index(clear())).center()
    qtbot.mouseClick(listed.view.viewport(), Qt.MouseButton.LeftButton, pos=at)
    fine = [row for row in listed.model.rows if row.kind == "fine"]
    assert len(fine) == len(listed.model.rows[clear()].findings)
    listed.view.setCurrentIndex(listed.model.index(clear()))
    for key, opened in ((Qt.Key.Key_Return, False), (Qt.Key.Key_Space, True), (Qt.Key.Key_Return, False)):
        qtbot.keyClick(listed.view, key)
        assert any(row.kind == "fine" for row in listed.model.rows) == opened
        assert listed.view.currentIndex().row() == clear()
    assert window.document.build is before  # Enter on what is clear applies nothing
    qtbot.keyClick(listed.view, Qt.Key.Key_Return)
    listed.view.setCurrentIndex(listed.model.index(clear() + 1))
    assert listed.chosen == fine[0].findings[0]


def test_what_is_not_judged_is_one_row_with_what_to_measure_next(window: MainWindow) -> None:
    listed = show(window, HURRY).findings.list
    row = next(one for one in listed.model.rows if one.kind == "unknown")
    words = listed.model.index(listed.model.rows.index(row)).data()
    assert words.startswith(f"{len(row.findings)} not judged yet, measure next: ")
    for finding in row.findings:  # each can be read
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        assert listed.chosen == finding
        assert window.findings.detail.sentence.text()


def test_enter_applies_the_first_way_out_and_it_does_what_it_says(qtbot: QtBot, window: MainWindow) -> None:
    findings = show(window, RANCH).findings
    finding = findings.list.chosen
    assert finding is not None
    assert finding.remedy is not None
    said = findings.detail.ways[0].then.text()
    assert f"whole build then {finding.remedy.verdict}" in said
    assert ("none worse" in said) == (not finding.remedy.worse)
    findings.list.view.setFocus()
    qtbot.keyClick(findings.list.view, Qt.Key.Key_Return)
    after = next(one for one in window.document.solution.findings if (one.id, one.part) == (finding.id, finding.part))
    assert after.verdict == finding.remedy.after_verdict
    assert after.value == pytest.approx(finding.remedy.after)
    assert window.document.solution.verdict == finding.remedy.verdict
    assert window.document.stack.count() == 1


@pytest.mark.parametrize("size", [(1240, 680), (1280, 720), (1366, 768), (1440, 900), (1920, 1080)])
@pytest.mark.parametrize("name", BUILDS)
def test_bar_apply_and_what_it_does_are_never_cut(
    qtbot: QtBot, window: MainWindow, name: str, size: tuple[int, int]
) -> None:
    detail = show(window, BUILDS[name], *size).findings.detail
    for _, finding in numbered(window.document.solution):
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        if not detail.ways or not detail.ways[0].isVisible():
            continue
        way = detail.ways[0]
        parts = [way.says, way.then] if finding.remedy is not None and finding.remedy.changes else [way.says]

        def whole(parts: list[object] = parts) -> bool:
            return all(one.height() >= one.heightForWidth(one.width()) for one in parts)  # type: ignore[attr-defined]

        qtbot.waitUntil(whole)
        bottom = way.mapTo(detail, way.rect().bottomLeft()).y()
        assert bottom < detail.height()
        assert not detail.bar.isVisible() or detail.bar.geometry().bottom() < way.geometry().top()


@pytest.mark.parametrize("name", BUILDS)
def test_set_points_are_those_of_the_sheet_and_of_the_drawings_arrows(window: MainWindow, name: str) -> None:
    show(window, BUILDS[name], 1920, 1080)
    points = window.findings.setpoints.points
    sheet = {
        one.value: one
        for one in set_points(window.document.build, window.document.solution)
        if one.changes and one.value
    }
    assert [one.set for one in points if one.set] == [one for one in sheet if not sheet[one].spare]
    for point in points:
        if point.set and point.name in {"Pinion slope", "Output slope"}:
            assert point.set in drawn_words(window)
            assert point.now.split(" ")[0] in drawn_words(window)


def test_the_head_counts_and_says_how_it_was_as_measured(window: MainWindow) -> None:
    head = show(window, HAULER).findings.head
    counted = dict(counts(window.document.solution.findings))
    assert sum(counted.values()) == len(window.document.solution.findings)
    assert f"{counted['hold']} hold" in head.accessibleName()
    assert head._measured is not None  # the plan changes the counts
    assert counts(head._measured.findings) == counts(solve(edited(HAULER, {"plan": None})).findings)
    window.document.apply({"plan": None}, "no plan")
    assert head._measured is None
