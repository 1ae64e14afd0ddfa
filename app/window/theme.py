"""Colours, fonts and style sheet of the whole window, in keeping with the drawing's own palette."""

from __future__ import annotations

from functools import cache, lru_cache
from typing import Final

from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPalette
from PySide6.QtWidgets import QApplication, QWidget

from app.drawing.fonts import load
from app.drawing.palette import THEMES, Theme, ThemeName, mixed

LABEL_PT: Final = 11
NUMBER_PT: Final = 15
HEADLINE_PT: Final = 20
_DRESSED: Final = "dressed_in"


def load_font() -> QFont:
    """The drawing's own font, whose figures are all of one width."""
    font = QFont(load())
    font.setPointSize(LABEL_PT)
    return font


@cache
def sized(points: int, *, bold: bool = False) -> QFont:
    """The window's font at a size."""
    font = load_font()
    font.setPointSize(points)
    font.setBold(bold)
    return font


@cache
def _metrics(points: int, *, bold: bool) -> QFontMetricsF:
    return QFontMetricsF(sized(points, bold=bold))


@lru_cache(maxsize=4096)
def words_wide(text: str, points: int, *, bold: bool = False) -> float:
    """Width of words in the window's font."""
    return _metrics(points, bold=bold).horizontalAdvance(text)


def wear(widget: QWidget, sheet: str) -> None:
    """Put a style sheet on a widget that has another one: Qt works even the same one out anew."""
    if sheet != widget.styleSheet():
        widget.setStyleSheet(sheet)


def dress(application: QApplication, name: ThemeName) -> Theme:
    """Put a theme on every window of the program and return it."""
    theme = THEMES[name]
    if application.property(_DRESSED) == name:
        return theme  # a style sheet put on anew makes every widget of every window work it out again
    application.setProperty(_DRESSED, name)
    application.setStyle("Fusion")
    application.setFont(load_font())
    application.setPalette(_palette(theme))
    application.setStyleSheet(_sheet(theme))
    return theme


def _palette(theme: Theme) -> QPalette:
    palette = QPalette()
    roles = {
        QPalette.ColorRole.Window: theme.paper,
        QPalette.ColorRole.Base: theme.paper,
        QPalette.ColorRole.AlternateBase: theme.grid,
        QPalette.ColorRole.Button: theme.paper,
        QPalette.ColorRole.WindowText: theme.ink,
        QPalette.ColorRole.Text: theme.ink,
        QPalette.ColorRole.ButtonText: theme.ink,
        QPalette.ColorRole.PlaceholderText: theme.muted,
        QPalette.ColorRole.ToolTipBase: theme.paper,
        QPalette.ColorRole.ToolTipText: theme.ink,
        QPalette.ColorRole.Highlight: theme.accent,
        QPalette.ColorRole.HighlightedText: theme.paper,
        QPalette.ColorRole.Link: theme.accent,
        QPalette.ColorRole.Mid: theme.band,
        QPalette.ColorRole.Dark: theme.muted,
        QPalette.ColorRole.Light: theme.grid,
    }
    for role, colour in roles.items():
        palette.setColor(role, QColor(colour))
    for role in (QPalette.ColorRole.Text, QPalette.ColorRole.ButtonText, QPalette.ColorRole.WindowText):
        palette.setColor(QPalette.ColorGroup.Disabled, role, QColor(theme.muted))
    return palette


def _sheet(theme: Theme) -> str:
    tint = mixed(theme.accent, theme.paper, 0.14)
    line = mixed(theme.muted, theme.paper, 0.75)
    return f"""
    QWidget {{ color: {theme.ink}; }}
    QMainWindow, QDialog, QScrollArea, QScrollArea > QWidget > QWidget {{ background: {theme.paper}; }}
    QToolTip {{ background: {theme.paper}; color: {theme.ink}; border: 1px solid {theme.muted}; padding: 4px; }}
    QMenuBar {{ background: {theme.paper}; padding: 2px 6px; }}
    QMenuBar::item {{ padding: 4px 9px; background: transparent; }}
    QMenuBar::item:selected, QMenu::item:selected {{ background: {tint}; color: {theme.ink}; }}
    QMenu {{ background: {theme.paper}; border: 1px solid {line}; padding: 4px; }}
    QMenu::item {{ padding: 5px 26px 5px 24px; }}
    QMenu::item:disabled {{ color: {theme.muted}; }}
    QMenu::separator {{ height: 1px; background: {theme.band}; margin: 4px 8px; }}
    QSplitter::handle {{ background: {theme.band}; }}
    QSplitter::handle:hover, QSplitter::handle:pressed {{ background: {theme.accent}; }}
    QScrollArea, QListView {{ border: none; background: {theme.paper}; }}
    QListView:focus {{ outline: none; }}
    QListWidget {{ border-top: 1px solid {theme.band}; border-bottom: 1px solid {theme.band}; }}
    QListWidget::item {{ padding: 7px 10px; border-left: 3px solid transparent; color: {theme.ink}; }}
    QListWidget::item:selected {{ background: {tint}; border-left: 3px solid {theme.accent}; color: {theme.ink}; }}
    QTableWidget {{ border-top: 1px solid {theme.band}; border-bottom: 1px solid {theme.band};
        selection-background-color: {tint}; selection-color: {theme.ink}; }}
    QTableWidget::item {{ padding: 3px 5px; }}
    QTableWidget::item:selected {{ background: {tint}; color: {theme.ink}; }}
    QHeaderView::section {{ background: {theme.paper}; color: {theme.muted}; border: none; padding: 4px 5px; }}
    QScrollBar:vertical {{ background: transparent; width: 10px; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {theme.band}; border-radius: 4px; min-height: 36px; margin: 1px; }}
    QScrollBar::handle:vertical:hover {{ background: {theme.muted}; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ background: none; height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: none; }}
    QLineEdit, QComboBox, QPlainTextEdit {{
        background: transparent; border: 1px solid transparent; border-bottom: 1px solid {theme.muted};
        border-radius: 0; padding: 2px 4px; selection-background-color: {theme.accent}; selection-color: {theme.paper};
    }}
    QPlainTextEdit {{ border: 1px solid {line}; }}
    QLineEdit:hover, QComboBox:hover {{ background: {theme.grid}; }}
    QLineEdit:focus, QComboBox:focus, QPlainTextEdit:focus {{
        border: 2px solid {theme.accent}; padding: 1px 3px; background: transparent;
    }}
    QLineEdit[refused="true"] {{ border-bottom: 2px solid {theme.hold}; color: {theme.hold}; }}
    QLineEdit[refused="true"]:focus {{ border: 2px solid {theme.hold}; }}
    QComboBox {{ combobox-popup: 0; }}
    QComboBox::drop-down {{ border: none; width: 18px; }}
    QComboBox::down-arrow {{ image: none; }}
    QComboBox QAbstractItemView {{ background: {theme.paper}; border: 1px solid {line};
        selection-background-color: {tint}; selection-color: {theme.ink}; outline: none; }}
    QPushButton {{ background: transparent; border: 1px solid {theme.muted}; padding: 5px 14px; }}
    QPushButton:hover {{ background: {theme.grid}; }}
    QPushButton:pressed {{ background: {tint}; }}
    QPushButton:focus {{ border: 2px solid {theme.accent}; padding: 4px 13px; }}
    QPushButton:disabled {{ color: {theme.muted}; border-color: {theme.band}; }}
    QPushButton#apply {{
        background: {theme.accent}; color: {theme.paper}; border: 1px solid {theme.accent}; font-weight: bold;
    }}
    QPushButton#apply:hover {{ background: {mixed(theme.accent, theme.ink, 0.86)}; }}
    QPushButton#apply:focus {{
        border: 2px solid {theme.accent}; padding: 4px 13px; background: {theme.paper}; color: {theme.accent};
    }}
    QPushButton#quiet {{ border: 2px solid transparent; color: {theme.accent}; padding: 2px 0; text-align: left; }}
    QPushButton#quiet:hover {{ text-decoration: underline; background: transparent; }}
    QPushButton#quiet:focus {{ border: 2px solid {theme.accent}; padding: 2px 0; }}
    QPushButton#page {{ border: none; border-bottom: 2px solid transparent; padding: 3px 7px; }}
    QPushButton#page:checked {{ border-bottom: 2px solid {theme.ink}; font-weight: bold; }}
    QLabel#muted {{ color: {theme.muted}; }}
    QLabel#axis {{ color: {theme.muted}; font-size: 9pt; }}
    QLabel#foot {{ font-size: 9pt; }}
    QLabel#under {{ color: {theme.muted}; font-size: 10pt; padding-bottom: 3px; }}
    QLabel#heading {{ color: {theme.muted}; font-size: 11pt; font-weight: bold; }}
    QLabel#complaint {{ color: {theme.hold}; }}
    QLabel#note {{ color: {theme.caution}; }}
    QLabel#number {{ font-size: {NUMBER_PT}pt; }}
    QLabel#small {{ font-size: 10pt; }}
    QLabel#says {{ font-size: {LABEL_PT}pt; }}
    QFrame#upright {{ background: {theme.band}; border: none; max-width: 1px; min-width: 1px; }}
    QFrame#line {{ background: {theme.band}; border: none; max-height: 1px; min-height: 1px; }}
    """
