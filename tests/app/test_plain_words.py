"""Nothing in the window is read as rich text: neither the source allows it, nor does any widget, box or tip."""

import ast
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QSettings
from PySide6.QtGui import Qt as Rich
from PySide6.QtWidgets import QApplication, QLabel, QMessageBox, QTextEdit
from pytestqt.qtbot import QtBot

from app.window.keeping import asking, crash, recovery
from app.window.plain import tip
from app.window.settings import note_recent
from app.window.shell.main_window import MainWindow
from geometry import Build, edited
from tests.app.plainness import is_plain, rich_words

ROOM = Path(__file__).parent.parent.parent / "app" / "window"
RANCH = ROOM.parent.parent / "sample_builds" / "ranch_truck_swap.json"
HTML = "<b>tank</b> <img src='file:///x.png'> & $x^2$"
GUESSES = {
    "QLabel", "QMessageBox", "QErrorMessage", "QInputDialog", "QWhatsThis", "QToolTip", "QTextEdit", "QTextBrowser",
    "QTextDocument", "setToolTip", "setWhatsThis", "setStatusTip", "setHtml", "setMarkdown", "setTextFormat",
    "insertHtml", "appendHtml", "warning", "critical", "question", "information", "about",
}  # fmt: skip
"""Whatever can take a text for rich text, made or called."""
ALLOWED = {"plain.py": {"setToolTip", "setTextFormat"}, "pages.py": {"QTextBrowser", "setHtml"},
           "canvas_words.py": {"setTextFormat"}}  # fmt: skip
"""Where the guess is taken from Qt, and the pages that are the program's own HTML."""


def calls(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            name = node.func
            yield name.attr if isinstance(name, ast.Attribute) else getattr(name, "id", ""), node.lineno
        elif isinstance(node, ast.ClassDef) and path.name != "plain.py":
            yield from ((base.id, node.lineno) for base in node.bases if isinstance(base, ast.Name))


@pytest.mark.parametrize("path", sorted(ROOM.rglob("*.py")), ids=lambda path: path.stem)
def test_nothing_that_guesses_is_made_but_in_plain(path: Path) -> None:
    found = {f"{name} in line {line}" for name, line in calls(path) if name in GUESSES - ALLOWED.get(path.name, set())}
    assert found == set(), "make it with app.window.plain, which tells Qt not to guess"


@pytest.fixture
def window(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, let_go: Callable[[MainWindow], None]
) -> Iterator[MainWindow]:
    """A window whose every word of a person's is HTML, with all its sections open."""
    QSettings.setPath(QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path / "settings"))
    monkeypatch.setattr(recovery, "recovery_folder", lambda: tmp_path / "recovery")
    build = Build.model_validate_json(RANCH.read_bytes())
    wide = ((1200.0, 300.0), (2600.0, 300.0), (2600.0, 700.0), (1200.0, 700.0))
    build = edited(
        build,
        {
            "title": HTML,
            "notes": HTML,
            "obstacles": ({"name": HTML, "outline_mm": wide},),
            "shocks": ({"name": HTML},),
            "torque_bars": ({"name": HTML},),
        },
    )
    note_recent(tmp_path / "<b>&x.json")
    made = MainWindow(build, tmp_path / "<i>[*]&\n\u202etruck.json")
    made.resize(1440, 900)
    made.show()
    QApplication.processEvents()
    for box in made.measurements.boxes.values():
        box.set_open(opened=True)
    QApplication.processEvents()
    yield made
    let_go(made)


def test_no_word_of_the_window_is_read_as_rich_text(window: MainWindow) -> None:
    findings = window.findings.list
    shown = []
    for finding in window.document.solution.findings:
        window.selection.choose(None, part=finding.part, finding=(finding.id, finding.part))
        assert findings.chosen == finding
        QApplication.processEvents()
        labels = [one.text() for one in window.findChildren(QLabel)]
        shown += [one for one in (*labels, *window.findings.detail.sentence.texts()) if HTML in one]
        assert rich_words(window) == []
    assert shown, "the name is in no finding"
    window.measurements.boxes["title"].rows[0].complain(HTML)
    window.foot.tell(f"{HTML}\nOpened.\u202e")
    assert window.foot.told.text() == rf"{HTML}\nOpened.\u202e"
    window.show_theme("dark")
    assert rich_words(window) == []
    assert window.windowTitle() == r"<i>[*][*]&\n\u202etruck.json[*] – Shaftwright"
    (recent,) = [one for one in window.menus.recent.actions() if "x.json" in one.text()]
    assert Rich.mightBeRichText(recent.toolTip())
    assert recent.text() == "&1 <b>&&x.json"
    assert "&lt;b&gt;&amp;x.json" in recent.toolTip()


def test_a_step_named_in_html_stays_words_in_the_menu(window: MainWindow) -> None:
    window.document.apply({"title": "<u>R&D</u>"}, "title “<u>R&D</u>\x07”")
    assert window.menus.undo.text() == r"&Undo title “<u>R&&D</u>\x07”"
    assert is_plain(window.menus.undo.toolTip())


def test_no_question_is_read_as_rich_text(window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[list[str]] = []

    def shown(box: QMessageBox) -> QMessageBox.StandardButton:
        box.show()
        assert rich_words(box) == []
        assert all(page.toPlainText() == HTML for page in box.findChildren(QTextEdit))
        seen.append([label.text() for label in box.findChildren(QLabel)])
        box.hide()
        return QMessageBox.StandardButton.Cancel

    monkeypatch.setattr(QMessageBox, "exec", shown)
    asking.tell(window, "Not written", HTML, HTML)
    asking.what_about_unsaved(window, HTML, 2)
    monkeypatch.setattr(crash, "recovery_folder", lambda: Path("nowhere"))
    watch = crash.Watch()
    watch.guard(window, lambda: Path(HTML))
    watch._box(HTML, HTML, HTML)
    assert len(seen) == 3
    assert all(any(HTML in text for text in texts) for texts in seen)
    assert sum(text == HTML for text in seen[0]) == 2


def test_a_tip_is_shown_as_its_words(qtbot: QtBot) -> None:
    del qtbot
    assert tip("no markup < here") == "no markup < here"
    assert is_plain(tip(HTML))
    assert not is_plain(HTML)
