"""Whether all that a window shows is shown as it stands. What Qt takes for rich text is asked of Qt itself."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QTextDocument
from PySide6.QtGui import Qt as Rich
from PySide6.QtWidgets import QAbstractItemView, QLabel, QMessageBox, QTextEdit, QWidget

from app.window.plain import tip

_ROLES = (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.WhatsThisRole, Qt.ItemDataRole.StatusTipRole)


def is_plain(text: str) -> bool:
    """Whether a tip shows just its words: plain, or escaped from the first letter to the last."""
    if not Rich.mightBeRichText(text):
        return True
    page = QTextDocument()
    page.setHtml(text)
    return text == tip(page.toPlainText()) and "\ufffc" not in page.toPlainText()


def rich_words(window: QWidget) -> list[str]:
    """Words of a window, its widgets, lists and actions that are, or may be, read as rich text."""
    found: list[str] = []
    tips: list[str] = []
    for one in (window, *window.findChildren(QWidget)):
        tips += [one.toolTip(), one.whatsThis(), one.statusTip()]
        if isinstance(one, QLabel) and one.textFormat() != Qt.TextFormat.PlainText:
            found.append(f"a label that guesses: {one.text()}")
        if isinstance(one, QTextEdit) and not isinstance(window, QMessageBox):  # Qt itself keeps a box's details plain
            found.append(f"a page of rich text: {one.toPlainText()}")
        if isinstance(one, QAbstractItemView) and one.model() is not None:
            rows = range(one.model().rowCount())
            tips += [str(one.model().index(row, 0).data(role) or "") for row in rows for role in _ROLES]
    for action in window.findChildren(QAction):
        tips += [action.toolTip(), action.whatsThis(), action.statusTip()]
    return found + [text for text in tips if not is_plain(text)]
