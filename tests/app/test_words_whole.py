"""No word is cut on any page in the smallest window, in either set of units, light or dark, of every sample."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QAbstractButton, QLabel, QWidget
from pytestqt.qtbot import QtBot

from app.window.shell.main_window import MainWindow
from app.window.shell.views import VIEWS
from geometry import Build, edited
from geometry.document.sides import swapped

_SOON = {"range", "speed", "again", "vibration", "beside"}
"""Pages that are worked out in a moment; the others go on telling."""
SAMPLES = sorted((Path(__file__).parents[2] / "sample_builds").glob("*.json"))


def shown(path: Path) -> Build:
    """The sample in the other units than its own, with a plan beside it; of two shafts the worse."""
    build = Build.model_validate_json(path.read_bytes())
    build = swapped(build) if build.drivelines else build
    metric = build.display.length == "inch"
    units = {"length": "millimetre" if metric else "inch", "torque": "newton_metre" if metric else "pound_foot"}
    kept = {"name": "without a lift", "changes": {"plan.rear_lift_mm": 0.0, "plan.front_lift_mm": 0.0}}
    return edited(build, {"variants": (kept,), **{f"display.{path}": to for path, to in units.items()}})


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_word_is_cut_on_any_page(
    path: Path, window: MainWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, words_cut: list[str]
) -> None:
    window.resize(window.minimumSizeHint().expandedTo(window.minimumSize()))
    window.document.open(shown(path), None)
    window.drawing.load()
    qtbot.waitExposed(window)
    for name in [one for one in VIEWS if one != "drawing"]:  # of which tests of its own say so
        window.views.show(name)
        page = window.middle.currentWidget() if name != "beside" else window.beside
        assert page is not None
        qtbot.waitUntil(partial(told, page, name in _SOON), timeout=30_000)
        try:
            qtbot.waitUntil(lambda page=page: cut_on(page, words_cut) == [], timeout=3_000)
        except qtbot.TimeoutError:
            pytest.fail(f"{name}: {cut_on(page, words_cut)}")


def told(page: QWidget, soon: bool) -> bool:
    """Whether a page has told all, or as much as comes soon."""
    return page.settled if soon else page.found is not None  # type: ignore[attr-defined,no-any-return]


def cut_on(page: QWidget, words_cut: list[str]) -> list[str]:
    """What is cut in the window as it is painted now, and on its page."""
    words_cut.clear()
    page.window().grab()  # with what stands beside it: measurements and findings
    return [*words_cut, *cramped(page)]


@pytest.fixture
def words_cut(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What is painted shorter than it is, as it happens."""
    found: list[str] = []
    honest: Callable[..., str] = QFontMetricsF.elidedText

    def spied(metrics: QFontMetricsF, text: str, *how: object) -> str:
        made = honest(metrics, text, *how)
        if made != text:
            found.append(text)
        return made

    monkeypatch.setattr(QFontMetricsF, "elidedText", spied)
    return found


def cramped(page: QWidget) -> list[str]:
    """Labels and buttons in sight that have less room than their words take, or that are not whole on the page."""
    found = []
    for one in page.findChildren(QWidget):
        if not isinstance(one, QLabel | QAbstractButton) or not one.isVisible() or not one.text():
            continue
        wraps = isinstance(one, QLabel) and one.wordWrap()
        wide = max(one.fontMetrics().horizontalAdvance(line) for line in one.text().split("\n"))
        small = one.height() < one.heightForWidth(one.width()) if wraps else one.width() < wide
        if small or not page.rect().contains(one.mapTo(page, one.rect().bottomRight())):
            found.append(one.text())
    return found
