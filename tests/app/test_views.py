"""The pages that take the drawing's place: all of them beside all menus, each by its key, and one in sight."""

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.window.shell.main_window import MainWindow
from app.window.shell.views import VIEWS
from tests.geometry.strategies import sample


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("wide", [1240, 1366])
def test_menus_and_pages_have_room_beside_each_other(window: MainWindow, qtbot: QtBot, wide: int, theme: str) -> None:
    window.resize(wide, 700)
    window.show_theme(theme)  # type: ignore[arg-type]
    window.document.open(sample("ranch_truck_swap"), None)
    qtbot.waitExposed(window)
    QApplication.processEvents()
    bar, row = window.menuBar(), window.menus.page_row
    last = max(bar.actionGeometry(one).right() for one in bar.actions())
    assert all(bar.actionGeometry(one).width() > 0 for one in bar.actions())
    assert last < row.geometry().left()
    assert row.geometry().right() <= bar.width()
    for one in row.buttons:
        assert one.width() >= one.minimumSizeHint().width()


def test_each_page_has_a_key_of_its_own_and_is_in_sight_alone(window: MainWindow, qtbot: QtBot) -> None:
    window.document.open(sample("three_angles_and_a_length"), None)
    qtbot.waitExposed(window)
    keys = [QKeySequence(key).toString() for _, key in VIEWS.values() if key]
    others = [one.shortcut().toString() for one in window.findChildren(type(window.menus.undo)) if one.shortcut()]
    assert all(others.count(key) == 1 for key in keys)
    for name in VIEWS:
        window.menus.pages[name].trigger()
        assert [one for one in VIEWS if window.views.in_sight(one) is not None] == ([] if name == "drawing" else [name])
        assert [one for one, action in window.menus.pages.items() if action.isChecked()] == [name]
    window.menus.pages["drawing"].trigger()
    assert window.drawing.isVisible()
