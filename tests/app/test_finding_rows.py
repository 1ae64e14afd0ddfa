"""The findings room: rows as numbered in the drawing, the chosen one with its bar and way out, set-points, counts."""

import sys
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.amounts import amount, telling_places
from app.drawing.palette import THEMES, VERDICT_SIGNS, ThemeName
from app.drawing.wording import numbered, short_name
from app.measuring.wanted import next_entry
from app.report import report_text
from app.setpoints import SET_FROM_DEG, recommended, set_points
from app.window.document import Document
from app.window.findings.chosen import AS_SET, own_unit, way_words, without_wish
from app.window.findings.head import HEIGHT, VerdictHead
from app.window.findings.listing import LEAST_LIST, ONE_LINE, TWO_LINES, RowPainter
from app.window.findings.pane import FindingsPane
from app.window.findings.rows import counts, name_of, rows_of, value_of, values_of
from app.window.findings.setpoints import SetpointTable
from app.window.selection import Selection
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
LITTLE = "three angles with a wedge and a lift"
SIZES = [(1240, 680), (1280, 720), (1366, 768), (1440, 900), (1920, 1080)]


def show(window: MainWindow, build: Build, width: int = 1366, height: int = 768) -> MainWindow:
    window.resize(width, height)
    window.drawing.load()
    window.document.open(build, None)
    QApplication.processEvents()
    return window


def painted(monkeypatch: pytest.MonkeyPatch, pane: FindingsPane, kind: type) -> list[tuple[str, QRectF]]:
    """What one of the pane's painted widgets writes, each text with the place that its letters take."""
    said: list[tuple[str, QRectF]] = []
    within = kind is RowPainter
    place, name = (kind, "_write") if within else (sys.modules[kind.__module__], "write")
    write = getattr(place, name)

    def at_base(painter: QPainter, x: float, base: float, text: str, *rest: object, **how: object) -> float:
        told: float = write(painter, x, base, text, *rest, **how)
        metrics = QFontMetricsF(painter.font())
        wide, high = metrics.horizontalAdvance(text), metrics.capHeight()
        said.append((text, QRectF(x - wide if how.get("right") else x, base - high, wide, high)))
        return told

    def in_box(self: QWidget, painter: QPainter, box: QRectF, text: str, *rest: object, **how: object) -> float:
        told: float = write(self, painter, box, text, *rest, **how)
        metrics = QFontMetricsF(painter.font())
        wide, high = metrics.horizontalAdvance(text), metrics.capHeight()
        left = box.right() - wide if how.get("right") else box.left()
        said.append((text, QRectF(left, box.center().y() - high / 2.0, wide, high)))
        return told

    with monkeypatch.context() as patch:
        patch.setattr(place, name, in_box if within else at_base)
        pane.grab()
    return said


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
    both, pair = (row for row in findings.list.model.rows if row.kind == "finding" and len(row.findings) == 2)
    assert {one.part for one in pair.findings} == {"front_joint", "rear_joint"}
    assert [one.id for one in both.findings] == ["shaft_inertia_drive", "shaft_inertia_coast"]
    assert (name_of(both), values_of(both, HAULER)) == ("uneven", ("7,150 / 7,320 rad/s²", ", most 1,000"))
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


@pytest.mark.parametrize("name", BUILDS)
def test_rows_are_whole_and_what_does_not_fit_is_counted(window: MainWindow, name: str) -> None:
    for size in SIZES:
        rows_whole(show(window, BUILDS[name], *size))


def rows_whole(window: MainWindow) -> None:
    listed = window.findings.list
    view, rows = listed.view, listed.model.rows
    view.scrollToTop()
    QApplication.processEvents()
    high = view.viewport().height()
    rects = [view.visualRect(listed.model.index(place)) for place in range(len(rows))]
    seen = [one for one in rects if one.top() < high]
    assert all(one.bottom() < high for one in seen)
    assert all(one.height() in {ONE_LINE, TWO_LINES} for one in seen)
    below = len(rows) - len(seen)
    clear = sum(len(row.findings) for row in rows if row.kind == "clear")
    told = f"▾ {below - 1} more, {clear} clear" if below > 1 and clear else f"▾ {below} below"
    assert listed.below.text() == (told if below else "")
    assert listed.below.isVisible() == bool(below)
    assert not below or listed.row_painter.lines == 1


@pytest.mark.parametrize(
    ("body", "points", "chosen"),
    [(600, 163, 242), (619, 163, 242), (620, 191, 262), (759, 191, 262), (760, 191, 310), (899, 191, 310),
     (900, 247, 310)],
)  # fmt: skip
def test_the_zones_hang_on_the_height_and_a_long_sentence_leaves_the_list_all_its_rows(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, body: int, points: int, chosen: int
) -> None:
    """Set-points under the chosen finding, in smaller letters where the list else lost rows."""
    document = Document(HAULER)
    pane = FindingsPane(document, Selection())
    document.setParent(pane)
    qtbot.addWidget(pane)
    needed = {"points": 0, "small": 0, "whole": 100, "least": 100, "rows": 0}
    monkeypatch.setattr(pane.setpoints, "needs", lambda *, least=False: needed["small" if least else "points"])
    monkeypatch.setattr(pane.detail, "needs", lambda _, *, whole: needed["whole" if whole else "least"])
    monkeypatch.setattr(pane.list, "needs", lambda: needed["rows"])
    pane.resize(300, body + HEIGHT + 3)
    pane._zones()
    assert pane.height() == body + HEIGHT + 3
    assert (pane.setpoints.height(), pane.detail.height()) == (points, chosen)
    needed["whole"] = 5_000
    pane._zones()
    assert pane.detail.height() == body - points - LEAST_LIST
    needed["rows"] = 150
    pane._zones()
    assert pane.detail.height() == body - points - 150
    needed["least"] = 480
    pane._zones()
    assert pane.detail.height() == max(480, body - points - 150)
    needed |= {"points": 260, "small": 255, "least": body - 260 - 150}
    pane._zones()
    assert pane.setpoints.height() == 260
    needed["least"] += 1
    pane._zones()
    assert pane.setpoints.height() == 255


@pytest.mark.parametrize("name", BUILDS)
def test_on_a_low_screen_all_findings_but_one_of_ten_are_in_sight(window: MainWindow, name: str) -> None:
    findings = show(window, BUILDS[name], 1280, 720).findings
    view, rows = findings.list.view, findings.list.model.rows
    seen = [
        row for at, row in enumerate(rows) if view.visualRect(findings.list.model.index(at)).bottom() < view.height()
    ]
    wrong = [one for row in seen if row.kind == "finding" for one in row.findings]
    assert len(wrong) >= min(9, len(numbered(window.document.solution)))
    assert len(seen) >= min(7, len(rows))


def test_a_row_of_one_line_tells_the_limit_where_there_is_room(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    many = edited(HAULER, {"torque_bars": ()})  # whose springs wind up besides
    findings = show(window, many, 1920, 1080).findings
    assert findings.list.row_painter.lines == 1
    said = [text for text, _ in painted(monkeypatch, findings, RowPainter)]
    for row in findings.list.model.rows:
        if row.kind == "finding":
            assert set(values_of(row, many)) - {""} <= set(said)


def test_the_list_follows_the_windows_height_down_again(window: MainWindow) -> None:
    show(window, HAULER, 1920, 1080)
    window.resize(1240, 680)
    QApplication.processEvents()
    pane = window.findings
    assert pane.setpoints.geometry().bottom() < pane.height()
    assert pane.minimumSizeHint().height() <= pane.height()


@pytest.mark.parametrize("name", BUILDS)
def test_the_row_of_a_group_stays_chosen_whatever_height_the_list_then_has(
    qtbot: QtBot, window: MainWindow, name: str
) -> None:
    """What is chosen changes what the chosen finding needs, and with it the list's height."""
    for size in SIZES:
        groups_stay_chosen(qtbot, show(window, BUILDS[name], *size))


def groups_stay_chosen(qtbot: QtBot, window: MainWindow) -> None:
    listed = window.findings.list
    window.activateWindow()
    listed.view.setFocus()
    for kind in [row.kind for row in listed.model.rows if row.kind != "finding"]:
        place = [row.kind for row in listed.model.rows].index(kind)
        listed.view.setCurrentIndex(listed.model.index(place))
        QApplication.processEvents()
        assert listed.model.rows[listed.view.currentIndex().row()].kind == kind
        if kind == "clear":
            for opened in (True, False):
                qtbot.keyClick(listed.view, Qt.Key.Key_Return)
                QApplication.processEvents()
                assert any(row.kind == "fine" for row in listed.model.rows) == opened
                at = listed.view.currentIndex()
                assert listed.model.rows[at.row()].kind == "clear"
                rect = listed.view.visualRect(at)
                assert rect.top() >= 0
                assert rect.bottom() < listed.view.viewport().height()


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


@pytest.mark.parametrize("size", [(1240, 680), (1920, 1080)])
def test_what_is_not_judged_names_what_the_form_names_and_enter_goes_there(
    qtbot: QtBot, window: MainWindow, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    findings = show(window, HURRY, *size).findings
    window.activateWindow()
    entry = next_entry(HURRY, window.document.solution)
    assert entry is not None
    named = f"measure next: {entry.title[:1].lower()}{entry.title[1:]}"
    assert named in [text for text, _ in painted(monkeypatch, findings, RowPainter)]  # whole
    view = findings.list.view
    view.setFocus()
    view.setCurrentIndex(findings.list.model.index([one.kind for one in findings.list.model.rows].index("unknown")))
    qtbot.keyClick(view, Qt.Key.Key_Return)
    row = window.measurements.row_for(entry.path)
    qtbot.waitUntil(lambda: any(one.hasFocus() for one in row.editors()))


def test_enter_applies_the_first_way_out_and_it_does_what_it_says(qtbot: QtBot, window: MainWindow) -> None:
    findings = show(window, RANCH).findings
    finding = findings.list.chosen
    assert finding is not None
    assert finding.remedy is not None
    said = findings.detail.then.text()
    assert ("nothing gets worse" in said) == (not finding.remedy.worse)
    findings.list.view.setFocus()
    qtbot.keyClick(findings.list.view, Qt.Key.Key_Return)
    after = next(one for one in window.document.solution.findings if (one.id, one.part) == (finding.id, finding.part))
    assert after.verdict == finding.remedy.after_verdict
    assert after.value == pytest.approx(finding.remedy.after)
    assert window.document.solution.verdict == finding.remedy.verdict
    counted: dict[str, int] = dict(counts(window.document.solution.findings))
    then = [f"{VERDICT_SIGNS[one]} {counted[one]}" for one in ("hold", "caution") if one in counted]  # type: ignore[index]
    assert f"→ {' '.join(then) or '● clear'};" in said.splitlines()[1].replace("\u00a0", " ")
    assert window.document.stack.count() == 1


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", BUILDS)
def test_no_line_is_cut_and_apply_with_its_effect_is_in_sight(
    window: MainWindow, name: str, size: tuple[int, int]
) -> None:
    """Whatever is chosen and whichever way out is shown; a theme is colours alone."""
    findings = show(window, BUILDS[name], *size).findings
    detail, listed = findings.detail, findings.list
    for finding in window.document.solution.findings:
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        QApplication.processEvents()
        assert findings.setpoints.geometry().bottom() < findings.height()
        row = listed.view.visualRect(listed.view.currentIndex())
        assert row.top() >= 0
        assert row.bottom() < listed.view.viewport().height()
        sentence, read = detail.sentence, set()
        while True:
            assert len(sentence.seen) >= min(2, len(sentence._lines))
            assert all(one.above + one.high - sentence.seen[0].above <= sentence.height() for one in sentence.seen)
            read |= set(sentence.seen)
            if not sentence.below:
                break
            detail.more.click()  # what is below is reached
        assert read == set(sentence._lines)
        assert "".join("".join(one.text.split()) for one in sentence._lines) == "".join(
            "".join(sentence.texts()).split()
        )
        places = []
        for place in range(len(detail.remedies)):
            assert detail.count.text().startswith(f"{place + 1} of ")
            shown = [one for one in (detail.bar, detail.says, detail.button, detail.then) if one.isVisible()]
            assert all(one.geometry().bottom() < other.geometry().top() for one, other in pairwise(shown))
            assert detail.rect().contains(QRect(shown[-1].geometry()))
            for one in (detail.says, detail.then):
                assert one.height() >= one.heightForWidth(one.width())
            first = recommended(BUILDS[name], window.document.solution)
            if detail.says.text() == AS_SET:  # then the set-points are of that very way
                assert first is not None
                assert first.changes == detail.remedies[place].changes
                assert detail.says.toolTip() == way_words(detail.remedies[place])
            else:
                assert detail.says.text() == way_words(detail.remedies[place])
            places.append([one.geometry() for one in (detail.on, detail.sentence)])
            detail.turn(1)
            QApplication.processEvents()
        assert all(one == places[0] for one in places)  # nothing moves while the ways are gone through
        for one in (detail.head, detail.count, detail.go, detail.more, detail.button, listed.below):
            assert not one.isVisible() or one.width() >= one.sizeHint().width(), one


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", [*BUILDS, LITTLE])
def test_all_that_is_painted_in_the_pane_is_whole_and_apart(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, name: str, size: tuple[int, int]
) -> None:
    """Rows of the list, set-points and verdict: all words whole, in their place, none over another."""
    # Of a lift over three angles a wedge is all that is known to set: its column once began under the heading.
    bare = edited(HURRY, {"plan.axle_shim_deg": -2.0, "plan.rear_lift_mm": 12.7})
    for units in ({}, {"display.inches": "sixteenths"}, {"display.length": "millimetre"}):
        build = edited(BUILDS.get(name, bare), {"display.length": "inch", **units})
        painted_whole(monkeypatch, show(window, build, *size).findings)


def painted_whole(monkeypatch: pytest.MonkeyPatch, findings: FindingsPane) -> None:
    for kind in (RowPainter, SetpointTable, VerdictHead):
        said = painted(monkeypatch, findings, kind)
        said = [one for one in said if one[0]]
        assert len(said) > 1
        for text, box in said:
            assert "…" not in text.removesuffix("…" if text.startswith("gap, ") else "")
            assert box.left() >= 0.0, text
            assert box.right() <= findings.width() - 8.0, text
        for place, (text, box) in enumerate(said):
            for other, over in said[place + 1 :]:
                assert not box.intersects(over), (text, other)
    table = findings.setpoints
    rows = painted(monkeypatch, findings, SetpointTable)
    to_set = sorted((box for text, box in rows if text in {one.set for one in table.points if one.set}), key=QRectF.top)
    for over, under in pairwise(to_set):  # between large numbers there is as much paper as between small ones
        assert under.top() - over.bottom() > 0.4 * under.height()
    told = [text for text, _ in rows]
    for point in table.points:
        if point.set:  # what changes never yields
            assert point.set in told
            assert not point.way or point.way in told
            assert point.now.split(" ")[0] in " ".join(told)
        else:
            assert point.name in told or any(
                one.startswith("stay: ") and (point.name.lower() in one or "more" in one) for one in told
            )


def test_the_lines_that_the_bar_shows_are_not_told_beside_it_as_well() -> None:
    """Every sentence that ends in what is wanted, of every finding; but not one whose wish holds under a condition."""
    list_of_all = Path(__file__).parent.parent / "geometry" / "sentences.txt"
    told = [line.split(" | ")[-1] for line in list_of_all.read_text(encoding="utf-8").splitlines() if "; at " in line]
    told = [one for one in told if "wanted where" not in one and " of it)." not in one]
    assert len(told) > 50
    for one in told:
        assert "is wanted" not in without_wish(own_unit(one)), one


def test_the_ways_out_are_gone_through_by_keyboard_and_the_one_in_sight_is_applied(
    qtbot: QtBot, window: MainWindow
) -> None:
    findings = show(window, HAULER).findings
    detail, view = findings.detail, findings.list.view
    window.activateWindow()
    many = next(one for one in window.document.solution.findings if len(one.alternatives) > 1)
    window.selection.choose(None, part=many.part, finding=(many.id, many.part))
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert detail.button.hasFocus()
    for place in (1, 2):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Right)
        assert detail.place == place
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Left)
    assert detail.place == 1
    wanted = many.alternatives[0].changes
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert window.document.build == edited(HAULER, wanted)
    window.undo()
    window.selection.choose(None, part=many.part, finding=(many.id, many.part))
    detail.focus_way()
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Left)
    assert view.hasFocus()


def test_enter_presses_what_has_the_focus_and_tab_goes_down_the_pane(qtbot: QtBot, window: MainWindow) -> None:
    # Without its bar its springs wind up besides, and the list has more than it has room for.
    findings = show(window, edited(HAULER, {"torque_bars": ()}), 1280, 720).findings
    detail, listed = findings.detail, findings.list
    window.activateWindow()
    findings.head.setFocus()
    order = [findings.head, listed.view, listed.below, detail.more, detail.sentence, detail.go, detail.on,
             detail.button, findings.setpoints]  # fmt: skip
    for one, after in pairwise(order):
        assert one.hasFocus(), one
        qtbot.keyClick(one, Qt.Key.Key_Tab)
        assert after.hasFocus(), (one, after, QApplication.focusWidget())
    detail.on.setFocus()
    qtbot.keyClick(detail.on, Qt.Key.Key_Return)
    assert detail.place == 1
    listed.below.setFocus()
    before = listed.view.verticalScrollBar().value()
    qtbot.keyClick(listed.below, Qt.Key.Key_Return)
    assert listed.view.verticalScrollBar().value() > before
    with qtbot.waitSignal(detail.asked):
        detail.go.setFocus()
        qtbot.keyClick(detail.go, Qt.Key.Key_Return)


def test_what_lies_below_is_gone_to_by_a_press_and_by_the_wheel_in_whole_rows(qtbot: QtBot, window: MainWindow) -> None:
    listed = show(window, HAULER, 1240, 680).findings.list
    rows = len(listed.model.rows)
    reached, shown = set(), set[int]()
    for _ in range(rows):
        qtbot.mouseClick(listed.below, Qt.MouseButton.LeftButton)
        QApplication.processEvents()
        reached.add(listed.view.currentIndex().row())
        rects = [listed.view.visualRect(listed.model.index(place)) for place in range(rows)]
        assert rects[listed.view.currentIndex().row()].top() >= 0
        seen = [one for one in rects if 0 <= one.top() < listed.view.viewport().height()]
        assert all(one.bottom() < listed.view.viewport().height() for one in seen)
        shown |= {place for place, one in enumerate(rects) if one in seen}
    assert 0 in reached  # from the end back to the start
    assert len(reached) >= 2
    assert shown == set(range(rows))


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_frame_of_the_focus_is_two_pixels_of_accent_and_hides_nothing(window: MainWindow, theme: ThemeName) -> None:
    """Whatever has the focus, on every kind of row: its inside stays as it was, its edge is the accent's."""
    window.show_theme(theme)
    findings = show(window, HURRY).findings
    window.activateWindow()
    accent = QColor(THEMES[theme].accent)
    listed = findings.list
    kinds = {row.kind: place for place, row in enumerate(listed.model.rows)}
    assert set(kinds) == {"finding", "unknown", "clear"}
    for place in kinds.values():
        listed.view.setCurrentIndex(listed.model.index(place))
        at = listed.view.visualRect(listed.model.index(place))
        findings.head.setFocus()
        without = listed.view.viewport().grab(at).toImage()
        listed.view.setFocus()
        framed = listed.view.viewport().grab(at).toImage()
        for x in range(4, at.width() - 4, 3):
            for y in range(4, at.height() - 4):
                assert framed.pixel(x, y) == without.pixel(x, y)
        assert all(framed.pixelColor(60, y) == accent for y in (0, 1))
    for widget in (findings.head, findings.setpoints):
        widget.setFocus()
        framed = widget.grab().toImage()
        middle = framed.height() // 2
        assert sum(framed.pixelColor(x, middle) == accent for x in range(6)) == 2
        assert framed.pixelColor(8, 4) != accent


@pytest.mark.parametrize("name", BUILDS)
def test_one_finding_has_one_name_and_one_number_in_list_bar_effect_and_report(window: MainWindow, name: str) -> None:
    findings = show(window, BUILDS[name], 1240, 680).findings
    solution = window.document.solution
    report = " ".join(report_text(BUILDS[name], solution, "").split())
    for number, finding in numbered(solution):
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        row = next(one for one in findings.list.model.rows if (finding.id, finding.part) in one.keys)
        assert row.numbers[row.findings.index(finding)] == number
        short = short_name(finding)
        assert name_of(row) == (short.partition(", ")[0] if "shaft_inertia" in finding.id else short)
        told = value_of(finding, BUILDS[name]).partition(", ")[0].removeprefix("± ").removesuffix(f" {finding.state}")
        assert f": {told}" in report
        detail = findings.detail
        if detail.bar.isVisible() and detail.bar._finding is not None and detail.bar._finding.value is not None:
            shown, display = detail.bar._finding, BUILDS[name].display
            assert amount(shown.value or 0.0, shown.unit, display, telling_places(shown, display)) == told
        if detail.button.isVisible():
            assert detail.then.text().splitlines()[0].startswith(f"this: {told} ")


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
            far = abs(float(point.set.rstrip("°")) - float(point.now.split("°")[0])) >= SET_FROM_DEG
            assert not far or point.set in drawn_words(window)  # what is nearer the drawing does not mark


def test_the_head_counts_and_says_how_it_was_as_measured(window: MainWindow) -> None:
    head = show(window, HAULER).findings.head
    counted = dict(counts(window.document.solution.findings))
    assert sum(counted.values()) == len(window.document.solution.findings)
    assert f"{counted['hold']} hold" in head.accessibleName()
    assert head._measured is not None  # the plan changes the counts
    assert counts(head._measured.findings) == counts(solve(edited(HAULER, {"plan": None})).findings)
    window.document.apply({"plan": None}, "no plan")
    assert head._measured is None
