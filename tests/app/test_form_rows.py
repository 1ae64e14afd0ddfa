"""The measurements at every size: whole rows, whole headings, whole words, and a layout that comes to rest."""

import re
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QEventLoop, QObject, QPoint, Qt, QTimer
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication, QLabel, QStyle, QStyleOptionComboBox, QWidget
from pytestqt.qtbot import QtBot

from app.measuring.sections import AT_WILL, CALLED, LISTS
from app.window.form.choice_rows import Chooser
from app.window.form.section_box import SectionBox
from app.window.form.typed_rows import NumberRow
from app.window.shell.main_window import MainWindow
from app.window.theme import sized
from geometry import Build, edited

SAMPLES = sorted((Path(__file__).parent.parent.parent / "sample_builds").glob("*.json"))
SIZES = ((1240, 680), (1280, 720), (1366, 768), (1600, 900), (1920, 1080))
CROWDED: dict[str, object] = {
    "shocks.0": {"name": "left"},
    "torque_bars.0": {},
    "lateral_link.frame_point_mm": (3300.0, -400.0, 500.0),
    "obstacles.0": {"outline_mm": ((1500.0, 300.0), (1600.0, 300.0), (1600.0, 350.0))},
}
"""With these no section is empty, so none shares a heading."""


def build_of(path: Path) -> Build:
    return Build.model_validate_json(path.read_bytes())


def settle() -> None:
    for _ in range(6):
        QApplication.processEvents()


def cut(widget: QWidget) -> bool:
    """Whether a part of a widget is seen and another is not."""
    seen = widget.visibleRegion().boundingRect()
    return not seen.isEmpty() and seen != widget.rect()


def at_every_place(box: SectionBox) -> list[int]:
    return list(range(box.paper.bar.minimum(), box.paper.bar.maximum() + 1))


@pytest.mark.parametrize("path", [*SAMPLES, None], ids=lambda path: "crowded" if path is None else path.stem)
def test_rows_and_headings_are_whole_at_every_size_and_place(window: MainWindow, path: Path | None) -> None:
    build = edited(build_of(SAMPLES[-1]), CROWDED) if path is None else build_of(path)
    window.document.open(build, None)
    window.show_desk()
    pane = window.measurements
    for size in SIZES:
        window.resize(*size)
        for key, box in pane.boxes.items():
            if box.isHidden():
                continue
            box.set_open(opened=True)
            settle()
            for other in pane.boxes.values():
                button = other.button
                assert button.isHidden() or other.isHidden() or not cut(button), (size, key, button.text())
                assert other.isHidden() or button.spare() >= 0.0, (size, key, button.text())
                assert other.isHidden() or button.height() >= 24
                top = button.mapTo(pane, QPoint(0, 0)).y()
                assert other.isHidden() or top + button.height() <= pane.height() - 114, (size, key)
            seen: set[QWidget] = set()
            for place in at_every_place(box):
                box.paper.bar.setValue(place)
                assert not any(cut(row) for row in box.rows), (size, key, place)
                shown = [one for one in box.rows if not one.visibleRegion().isEmpty()]
                heads = [one for one in box._body.findChildren(QLabel, "heading") if not one.visibleRegion().isEmpty()]
                low = max((one.mapTo(pane, one.rect().bottomLeft()).y() for one in shown), default=0)
                alone = [one.text() for one in heads if one.mapTo(pane, QPoint(0, 0)).y() > low]
                assert not shown or not alone or key in LISTS, (size, key, place)
                seen |= {row for row in box.rows if not row.visibleRegion().isEmpty()}
            assert seen == set(box.rows), (size, key)  # each can be scrolled to
        assert not cut(pane.more)
        assert pane.more.isHidden() or pane.more.spare() >= 0.0


@pytest.mark.parametrize("wide", [170, 200, 240, 300, 420])
def test_the_heading_that_stands_for_many_keeps_its_count_however_narrow_it_is(window: MainWindow, wide: int) -> None:
    window.show_desk()
    window.resize(1240, 680)
    pane = window.measurements
    for opened in ("hurry", "axle"):
        pane.setFixedWidth(wide)
        pane.boxes[opened].set_open(opened=True)  # type: ignore[index]
        settle()
        assert not pane.more.isHidden()
        text = pane.more.text()
        told = re.fullmatch(r"(.+) and (\d+) more(, empty)?", text)
        assert told, text
        first = told[1]
        assert len(first) >= 5
        assert pane.more.toolTip().startswith(first.removesuffix("…"))
        hidden = [key for key in AT_WILL if pane.boxes[key].isHidden() and key not in CALLED]
        assert int(told[2]) == len(hidden) - 1
        assert pane.more.width() == wide
        assert pane.more.spare() >= 0.0, text
        assert not first.endswith("…") or wide < 420
        assert told[3] or wide < 240


def test_a_row_that_grows_stays_whole_with_the_cursor_in_it(qtbot: QtBot, window: MainWindow) -> None:
    """A complaint makes the row higher; the last row in sight and its sentence then both are in sight."""
    window.document.open(build_of(SAMPLES[0]), None)
    window.show_desk()
    window.resize(1280, 720)
    window.activateWindow()
    pane = window.measurements
    for key in ("hurry", "powertrain", "axle", "suspension", "shaft"):
        box = pane.boxes[key]  # type: ignore[index]
        box.set_open(opened=True)
        settle()
        numbers = [row for row in box.rows if isinstance(row, NumberRow)]
        row = next((row for row in reversed(numbers) if box.paper.shows_whole(row)), numbers[0])
        edit = row.editors()[0]
        edit.setFocus()
        settle()
        qtbot.keyClicks(edit, "3 bananas are not a length that any tape could read")
        qtbot.keyClick(edit, Qt.Key.Key_Return)
        settle()
        assert row.complaint.isVisible()
        assert row.visibleRegion().boundingRect() == row.rect()
        assert row.height() >= row.heightForWidth(row.width()) > 40
        qtbot.keyClick(edit, Qt.Key.Key_Escape)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_word_of_the_measurements_is_clipped(window: MainWindow, path: Path) -> None:
    window.document.open(build_of(path), None)
    window.show_desk()
    pane, small = window.measurements, sized(9)
    for size in (SIZES[0], SIZES[-1]):
        window.resize(*size)
        settle()
        for words, font in zip(pane.head.lines, (small, sized(9, bold=True), small), strict=True):
            assert QFontMetricsF(font).horizontalAdvance(words) <= pane.head.width() - 26, words
        for box in pane.boxes.values():
            if box.isHidden():
                continue
            box.set_open(opened=True)
            settle()
            for label in pane.findChildren(QLabel):
                if not label.isVisible() or not label.text():
                    continue
                margins = label.contentsMargins()
                room = label.width() - margins.left() - margins.right()
                metrics = QFontMetricsF(label.font())
                parts = label.text().split() if label.wordWrap() else [label.text()]
                assert max(metrics.horizontalAdvance(part) for part in parts) <= room + 1, label.text()
                if label.wordWrap():
                    assert label.heightForWidth(label.width()) <= label.height(), label.text()


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_no_word_of_a_choice_is_clipped(qtbot: QtBot, window: MainWindow) -> None:
    """Neither in its box nor in its list, which shows them all."""
    window.document.open(edited(build_of(SAMPLES[-1]), CROWDED), None)
    window.show_desk()
    window.resize(*SIZES[0])
    pane, seen = window.measurements, 0
    for box in pane.boxes.values():
        box.set_open(opened=True)
        settle()
        for chooser in [editor for row in box.rows for editor in row.editors() if isinstance(editor, Chooser)]:
            box.paper.bring(chooser)
            words = [chooser.itemText(place) for place in range(chooser.count())]
            option = QStyleOptionComboBox()
            chooser.initStyleOption(option)
            field = chooser.style().subControlRect(
                QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, chooser
            )
            metrics = QFontMetricsF(chooser.font())
            assert max(metrics.horizontalAdvance(word) for word in words) <= field.width(), words
            chooser.showPopup()
            view = chooser.view()
            qtbot.waitUntil(view.isVisible)
            last = view.visualRect(view.model().index(len(words) - 1, 0))
            assert last.bottom() <= view.viewport().height(), words
            metrics = QFontMetricsF(view.font())
            assert max(metrics.horizontalAdvance(word) for word in words) <= view.viewport().width() - 6, words
            chooser.hidePopup()
            seen += 1
    assert seen >= 12


# ---- at rest


class _Counting(QObject):
    """Counts what the event loop delivers."""

    def __init__(self) -> None:
        super().__init__()
        self.seen: Counter[QEvent.Type] = Counter()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        del watched
        if event.type() in {QEvent.Type.LayoutRequest, QEvent.Type.Timer, QEvent.Type.Resize, QEvent.Type.MetaCall}:
            self.seen[event.type()] += 1
        return False


def delivered(ms: int) -> Counter[QEvent.Type]:
    """What a running event loop delivers in a while."""
    counting, loop = _Counting(), QEventLoop()
    application = QApplication.instance()
    assert application is not None
    QTimer.singleShot(ms, loop.quit)
    application.installEventFilter(counting)
    loop.exec()
    application.removeEventFilter(counting)
    return counting.seen


@pytest.mark.parametrize("path", [*SAMPLES, None], ids=lambda path: "empty" if path is None else path.stem)
def test_an_idle_window_comes_to_rest(window: MainWindow, path: Path | None) -> None:
    """No timer that starts itself anew, no layout that asks for another: a loop of 0 ms would be thousands.

    Any section may be the open one.
    """
    if path is not None:
        window.document.open(build_of(path), None)
    for size in (SIZES[0], SIZES[1], SIZES[3]):
        window.resize(*size)
        at_rest(size, 200)
    if path in {SAMPLES[-1], SAMPLES[3]}:  # links, and leaf springs with the most that there is
        for key, box in window.measurements.boxes.items():
            box.set_open(opened=True)
            at_rest(key, 30)


def at_rest(what: object, milliseconds: int) -> None:
    """Fail unless nothing is laid out any more before long; how soon hangs on the machine."""
    for _ in range(20):
        counted = delivered(milliseconds)
        timers = counted[QEvent.Type.Timer]  # the blinking cursor, the loop's own end
        if counted[QEvent.Type.LayoutRequest] <= 4 and counted[QEvent.Type.Resize] == 0 and timers <= 6:
            return
    raise AssertionError((what, counted))


def test_one_layout_is_enough(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    """To open a section or to change the window's size asks for a few layouts of the rows, not for a row of them."""
    from app.window.form.row_paper import RowPaper

    window.document.open(build_of(SAMPLES[-1]), None)
    window.show_desk()
    settle()
    layouts: list[QWidget] = []
    arrange = RowPaper._arrange
    monkeypatch.setattr(RowPaper, "_arrange", lambda self: (layouts.append(self), arrange(self))[1])
    for size in SIZES:
        window.resize(*size)
        for box in window.measurements.boxes.values():
            layouts.clear()
            box.set_open(opened=True)
            settle()
            assert len(layouts) <= 12, (size, box.heading.key)
    layouts.clear()
    settle()
    assert layouts == []
