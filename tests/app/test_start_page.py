"""The start page by keyboard alone: four readings give a verdict and lead on; every way is reached in reading order."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtWidgets import QApplication, QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.drawing.palette import DARK, VERDICT_WORDS
from app.files import read_build
from app.measuring.wanted import next_entry, next_words
from app.units import degrees
from app.window.form.rows import LineEdit
from app.window.shell.main_window import MainWindow
from app.window.shell.samples import SampleCard
from geometry import Build, edited, value_at
from geometry.words.both import solve_whole

SAMPLES = sorted((Path(__file__).parent.parent.parent / "sample_builds").glob("*.json"))


def focused() -> QWidget:
    widget = QApplication.focusWidget()
    assert widget is not None
    return widget


@pytest.fixture
def begun(qtbot: QtBot, window: MainWindow) -> MainWindow:
    """The start page as it opens."""
    window.activateWindow()
    qtbot.waitExposed(window)
    QApplication.processEvents()
    return window


def test_four_readings_lead_to_a_verdict_and_on(qtbot: QtBot, begun: MainWindow) -> None:
    page = begun.start
    fields = [row.editors()[0] for row in page.rows]
    assert focused() is fields[0]  # the cursor is there at once
    for place, text in enumerate(("3.5", "10.8", "1.3")):
        qtbot.keyClicks(focused(), text)
        qtbot.keyClick(focused(), Qt.Key.Key_Return)
        assert focused() is fields[place + 1]
    # The joints are known by three slopes: 10.8 − 3.5 and 10.8 − 1.3, subtraction
    for angle in (7.3, 9.5):
        assert f"joint {degrees(angle)}" in page.next.text()
    qtbot.keyClicks(focused(), "60")
    qtbot.keyClick(focused(), Qt.Key.Key_Return)
    assert begun.document.stack.count() == 4
    assert page.word.text() == VERDICT_WORDS[begun.document.solution.verdict]
    assert focused() is page.on
    assert begun.pages.currentWidget() is page
    qtbot.keyClick(focused(), Qt.Key.Key_Return)
    assert begun.pages.currentWidget() is not page


def test_the_verdict_follows_as_it_is_typed_and_the_typing_stays(qtbot: QtBot, begun: MainWindow) -> None:
    begun.document.apply({"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8}, "two")
    edit = begun.start.rows[2].editors()[0]
    assert isinstance(edit, LineEdit)
    edit.setFocus()
    seen = []
    for letter in "1.35":
        qtbot.keyClicks(edit, letter)
        QApplication.processEvents()
        seen.append((edit.text(), begun.start.next.text()))
    assert [text for text, _ in seen] == ["1", "1.", "1.3", "1.35"]
    assert degrees(9.8) in seen[0][1]  # 10.8 − 1
    assert degrees(9.5) in seen[2][1]  # 10.8 − 1.3
    assert value_at(begun.document.build, "axle.pinion_slope_deg") is None
    qtbot.keyClick(edit, Qt.Key.Key_Escape)
    assert edit.text() == ""
    assert "joint" not in begun.start.next.text()


def test_what_is_refused_stays_in_its_field_with_its_sentence(qtbot: QtBot, begun: MainWindow) -> None:
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Tab):
        row = begun.start.rows[1]
        edit = row.editors()[0]
        assert isinstance(edit, LineEdit)
        edit.setFocus()
        edit.selectAll()
        qtbot.keyClicks(edit, "3 hats")
        qtbot.keyClick(edit, key)
        assert edit.text() == "3 hats"
        assert "hats" in row.complaint.text()
        assert row.complaint.isVisible()
        assert edit.hasFocus() is (key == Qt.Key.Key_Return)  # Enter stays to be mended, Tab goes where one wants
    assert begun.document.build == Build(display=begun.document.build.display)


def test_tab_reaches_each_thing_once_in_reading_order(qtbot: QtBot, begun: MainWindow) -> None:
    page = begun.start
    begun.document.apply({"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8}, "two")
    begun.document.apply({"axle.pinion_slope_deg": 3.5}, "three")
    page.begin()
    QApplication.processEvents()
    fields = [row.editors()[0] for row in page.rows]
    expected = [*fields, page.on, page.measure, page.how, *page.samples.cards, *page._links, begun.foot.all]
    reached = [focused()]
    for _ in range(len(expected) + 4):
        qtbot.keyClick(focused(), Qt.Key.Key_Tab)
        if focused() is reached[0]:
            break
        reached.append(focused())
    assert reached == expected
    places = [(one.mapTo(page, QPoint(0, 0)).x() // 340, one.mapTo(page, QPoint(0, 0)).y()) for one in expected[:7]]
    assert places == sorted(places)
    heads = [one.text() for one in page.findChildren(QLabel) if one.objectName() == "says"]
    assert [head[:1] for head in heads] == ["1", "2", "3"]


@pytest.mark.parametrize("size", [(1240, 680), (1366, 768), (1920, 1080)])
def test_no_sample_is_cut_short(qtbot: QtBot, begun: MainWindow, size: tuple[int, int]) -> None:
    begun.resize(*size)
    qtbot.waitUntil(lambda: not begun.start.samples._waiting)
    QApplication.processEvents()
    assert len(begun.start.samples.cards) == len(SAMPLES)
    for card in begun.start.samples.cards:
        assert card.told().split() == f"{card.name} {card.what}".split()
        assert "…" not in card.told()


def test_each_field_has_before_it_the_number_that_it_has_in_the_picture(begun: MainWindow) -> None:
    page = begun.start
    assert [one.text() for one in page.numbers] == ["1", "2", "3", "4"]
    for number, row in zip(page.numbers, page.rows, strict=True):
        field = row.editors()[0]
        assert number.mapTo(page, number.rect().topRight()).x() < row.title.mapTo(page, QPoint(0, 0)).x()
        away = number.mapTo(page, number.rect().center()).y() - field.mapTo(page, field.rect().center()).y()
        assert abs(away) <= 2


STAGES: tuple[dict[str, object], ...] = (
    {},
    {"powertrain.slope_deg": 3.5},
    {"readings.shaft_slope_deg": 10.8},
    {"axle.pinion_slope_deg": 3.5},
    {"readings.shaft_length_mm": 1500.0},
    {"powertrain.output_joint_mm": (1300.0, 0.0, 500.0), "axle.centre_mm": (3200.0, 0.0, 400.0)},
)


def test_one_thing_is_measured_next_whoever_says_so(qtbot: QtBot, window: MainWindow) -> None:
    """Start page, foot, form, findings and F4 name one entry by its field's name, and F4 puts the cursor there."""
    build, named = Build(), set()
    for changes in STAGES:
        build = edited(build, changes)
        window.document.open(build, None)
        entry = next_entry(build, window.document.solution)
        assert entry is not None
        words = next_words(build, window.document.solution)
        assert words.lower() == entry.title.lower()
        if any(one.operating_deg is not None for one in window.document.solution.joints):
            assert "measure next" not in window.start.next.text()
        else:
            assert window.start.next.text() == f"measure next: {words}"
        window.show_desk()
        assert window.measurements.help_text == f"Measure next: {words}. F4 goes there."
        assert window.findings.list.model.wanted == words
        window.go_to_findings()
        window.menus.next.trigger()
        row = window.measurements.row_for(entry.path)
        assert focused() in row.editors()
        QApplication.processEvents()
        assert row.visibleRegion().boundingRect() == row.rect()
        assert row.title.text() == entry.title
        assert f"Measure next: {words}." in window.foot.told.text()
        named.add(words)
    assert len(named) >= 4


@pytest.mark.parametrize("what", ["worked out", "theme"])
def test_a_sample_is_painted_anew_once_it_has_something_else_to_show(qtbot: QtBot, what: str) -> None:
    card = SampleCard(next(path for path in SAMPLES if path.stem == "ranch_truck_swap"))
    qtbot.addWidget(card)
    with qtbot.waitExposed(card):
        card.show()
    for _ in range(5):
        QApplication.processEvents()
    if what == "theme":
        card.work_out()
        QApplication.processEvents()
    was = card.grab().toImage()
    shown: list[bool] = []

    class Watch(QObject):
        def eventFilter(self, of: QObject, event: QEvent) -> bool:  # noqa: ARG002  Qt asks for it
            if event.type() == QEvent.Type.Paint:
                shown.append(True)
            return False

    watch = Watch()
    card.installEventFilter(watch)
    if what == "theme":
        card.show_theme(DARK)
    else:
        card.work_out()
    QApplication.processEvents()
    assert shown
    card.removeEventFilter(watch)
    assert card.grab().toImage() != was


def test_a_card_tells_what_the_worse_shaft_comes_to(qtbot: QtBot) -> None:
    path = next(path for path in SAMPLES if path.stem == "wagon_both_shafts")
    card = SampleCard(path)
    qtbot.addWidget(card)
    card.work_out()
    assert card.accessibleName().endswith(f", {solve_whole(read_build(path)).verdict}")
    assert card.accessibleName().endswith(", hold")
