"""Light and dark: after a switch nothing of the window is left in the other theme's colours."""

from collections.abc import Callable
from dataclasses import fields

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from app.drawing.palette import THEMES, Theme, ThemeName
from app.window.shell.main_window import MainWindow
from geometry import edited
from tests.app.desk import sample

OTHER: dict[ThemeName, ThemeName] = {"light": "dark", "dark": "light"}


def colours_of(theme: Theme) -> set[str]:
    return {getattr(theme, one.name).lower() for one in fields(theme) if str(getattr(theme, one.name)).startswith("#")}


def foreign(widget: QWidget, theme: Theme) -> dict[str, int]:
    """How many pixels of a widget have a colour that only the other theme has."""
    image = widget.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), dtype=np.uint32) & 0xFFFFFF
    strange = colours_of(THEMES[OTHER[theme.name]]) - colours_of(theme)
    counted = {colour: int(np.count_nonzero(pixels == int(colour[1:], 16))) for colour in strange}
    return {colour: count for colour, count in counted.items() if count}


def start_page(window: MainWindow) -> None:
    for _ in range(80):  # its cards are worked out one after another
        QApplication.processEvents()


def desk(window: MainWindow) -> None:
    window.drawing.load()
    window.document.open(edited(sample("ranch_truck_swap"), {"plan.rear_lift_mm": 50.0}), None)
    QApplication.processEvents()


def sound(widget: QWidget, theme: Theme) -> None:
    """The edges of letters are mixed, and some mixtures happen to be a colour; a line or a ground has hundreds."""
    found = foreign(widget, theme)
    assert all(count < 12 for count in found.values()), found


@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("show", [start_page, desk])
def test_after_a_switch_no_pixel_has_a_colour_of_the_other_theme(
    qtbot: QtBot, window: MainWindow, name: ThemeName, show: Callable[[MainWindow], None]
) -> None:
    window.resize(1440, 900)
    qtbot.waitExposed(window)
    window.show_theme(OTHER[name])
    show(window)
    window.grab()
    theme = window.show_theme(name)
    QApplication.processEvents()
    sound(window, theme)


def test_what_comes_into_sight_after_a_switch_is_in_its_theme(qtbot: QtBot, window: MainWindow) -> None:
    """Rows, boxes and frames of the focus that were not there yet."""
    window.resize(1440, 900)
    desk(window)
    theme = window.show_theme("dark")
    for key in ("axle", "suspension", "obstacles"):
        window.measurements.boxes[key].set_open(opened=True)
        QApplication.processEvents()
        sound(window.measurements, theme)
    for finding in (window.document.solution.findings[0], window.document.solution.findings[-1]):
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        QApplication.processEvents()
        sound(window.findings, theme)
    for widget in (window.findings.list.view, window.findings.setpoints, window.drawing.travel.bar.scale):
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()
        sound(widget, theme)
