"""The page of a vibration: what is said answers at once and is kept, what cannot be is named, presses go there."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QApplication, QLabel
from pytestqt.qtbot import QtBot

from app.vibration import CAUTION, NOTHING
from app.window.ranges.vibration_page import VibrationPage
from app.window.shell.main_window import MainWindow
from geometry import Build, solve
from geometry.document.again import ReadAgain
from geometry.words.vibration import Felt, diagnosis

SAMPLES = Path(__file__).parents[2] / "sample_builds"
RANCH, HURRY, VAN = (
    Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())
    for name in ("ranch_truck_swap", "three_angles_and_a_length", "long_van_two_piece")
)


def opened(window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int] = (1366, 768)) -> VibrationPage:
    window.resize(*size)
    window.drawing.load()
    window.document.open(build, None)
    qtbot.waitExposed(window)
    window.menus.pages["vibration"].trigger()
    page = window.views.in_sight("vibration")
    assert page is not None
    qtbot.waitUntil(lambda: page.found is not None and page.settled)
    return page


def titles(page: VibrationPage) -> list[str]:
    return [row.title.text() for row in page.rows if row.isVisible()]


def test_what_is_said_answers_at_once_and_is_no_step(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    assert page.test.text().startswith("Say at which speed it is felt")
    assert page.speed.hasFocus()
    qtbot.keyClicks(page.speed, "62")
    page.sounds.setCurrentIndex(page.sounds.findData("hum"))
    page.under.setCurrentIndex(page.under.findData("gear"))
    page.under.activated.emit(page.under.currentIndex())
    assert page.felt == Felt(62.0 * 1.609344, sounds="hum", under="gear")
    told = diagnosis(RANCH, solve(RANCH), page.felt)
    assert page.found == told
    assert page.test.text() == told.test
    assert titles(page) == [f"{number}  {one.title}" for number, one in enumerate(told.suspects[:5], start=1)]
    assert page.rows[0].reasons.text().startswith("83.9 Hz. A hum is like it; to be expected in gear alone;")
    assert "Springs wind up: “Even under cruise torque” is clear" in page.out.text()
    assert (
        page.untold.text() == "Say also the frequency that a phone shows, the gear or the tachometer and the cylinders."
    )
    qtbot.keyClick(page.speed, Qt.Key.Key_Return)
    assert page.speed.text() == "62 mph"
    assert window.document.stack.isClean()
    assert not window.document.stack.canUndo()
    qtbot.keyClicks(page.frequency, "500")
    assert page.test.text().startswith(NOTHING)
    qtbot.keyClick(page.speed, Qt.Key.Key_Escape)
    assert window.views.in_sight("vibration") is None
    window.document.open(VAN, None)
    window.views.show("vibration")
    qtbot.waitUntil(lambda: page.settled and page.speed.text() == "99.8 km/h")
    qtbot.keyClick(page.speed, Qt.Key.Key_Return)
    page.begin()
    assert page.felt.speed_kmh == pytest.approx(62.0 * 1.609344)  # the drive is still the same, in the build's units
    assert page.speed.text() == "99.8 km/h"
    page.speed.setText("99.8")
    page.begin()
    assert page.felt.speed_kmh == 99.8  # typed anew


def test_what_cannot_be_is_named_and_stays(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    for field, typed, says in (
        (page.speed, "fast", "Road speed: “fast” was not understood; type a road speed such as 55 mph."),
        (page.frequency, "2400 rpm", "Frequency: “2400 rpm” is a turning speed, which is not wanted here;"),
        (page.frequency, "-1", "Frequency: “-1” must be above 0 and at most 10,000 Hz."),
        (page.gear, "2.5", "Gear: “2.5” is not a whole number"),
        (page.gear, "7", "Gear: “7” is too high; there are only 4 gears entered."),
        (page.engine, "1e9", "Tachometer: “1e9”"),
        (page.cylinders, "0", "Cylinders: “0” must be above 0"),
    ):
        qtbot.keyClicks(field, typed)
        assert page.note.text().startswith(says)
        assert page.felt == Felt()
        assert field.text() == typed
        assert field.property("refused") is True
        for _ in typed:
            qtbot.keyClick(field, Qt.Key.Key_Backspace)
        assert field.property("refused") is False
        assert page.note.text().startswith("Say what you know")


def test_presses_go_to_the_finding_and_to_the_entry(window: MainWindow, qtbot: QtBot) -> None:
    page = opened(window, qtbot, RANCH)
    wind_up = next(row for row in page.rows if "wind up" in row.title.text())
    assert wind_up.press.text() == "▲ Finding ▸"
    qtbot.mouseClick(wind_up.press, Qt.MouseButton.LeftButton)
    chosen = window.findings.list.chosen
    assert chosen is not None
    assert chosen.id == "windup_launch"
    worn = next(row for row in page.rows if "dry, worn" in row.title.text())
    qtbot.mouseClick(worn.press, Qt.MouseButton.LeftButton)  # a clear one, which the list had folded away
    chosen = window.findings.list.chosen
    assert chosen is not None
    assert (chosen.id, chosen.part) == tuple(worn.press.property("finding"))
    window.document.open(HURRY, None)
    qtbot.keyClicks(page.speed, "60")
    qtbot.waitUntil(lambda: page.settled)
    asked = [one for one in page.wants if one.isVisible()]
    assert [one.text() for one in asked] == ["Rear tyre radius, loaded ▸", "Axle ratio ▸"]
    qtbot.mouseClick(asked[1], Qt.MouseButton.LeftButton)
    assert window.selection.entry == "axle.ratio"


def test_after_the_drive_it_is_one_press_away(window: MainWindow, qtbot: QtBot) -> None:
    opened(window, qtbot, RANCH)
    window.views.show("again")
    again = window.views.in_sight("again")
    assert again is not None
    assert not again.shakes.isVisible()
    window.document.apply({"measured_again.0": ReadAgain(stage="driven", pinion_slope_deg=3.0)}, "measured again")
    qtbot.waitUntil(again.shakes.isVisible)
    qtbot.mouseClick(again.shakes, Qt.MouseButton.LeftButton)
    assert window.views.in_sight("vibration") is not None
    assert window.menus.pages["vibration"].isChecked()


@pytest.mark.parametrize("size", [(1240, 680), (1920, 1080)])
@pytest.mark.parametrize("build", [VAN, HURRY], ids=["van", "hurry"])
def test_words_are_whole_and_the_caution_in_sight(
    window: MainWindow, qtbot: QtBot, build: Build, size: tuple[int, int]
) -> None:
    page = opened(window, qtbot, build, size)
    page.speed.setText("62 mph")
    page.engine.setText("2500")
    page.cylinders.setText("6")
    page.begin()
    QApplication.processEvents()
    assert page.minimumSizeHint().width() <= page.width()
    assert page.cautions.text() == CAUTION
    assert page.rect().contains(page.cautions.geometry())
    assert page.answer.viewport().height() > 300
    for label in page.findChildren(QLabel):
        if label.isVisible() and not label.wordWrap():
            words = QFontMetricsF(label.font()).horizontalAdvance(label.text())
            assert words <= label.width() + 0.5, label.text()
    for box in (page.sounds, page.under):
        assert box.width() >= box.wanted_width()
