"""The build sheet: one page to carry to the bench, as a PDF file or painted for a printer.

`setpoints`, `order`, `entries` and `checks` are words, `blocks` and `findings` lay them out, `layout` fits them on one
page, `figure` draws it, `paint` paints the same figure with Qt. Only `paint` and `qt_renderer` know Qt.
"""

from app.sheet.figure import build_figure, save_sheet

__all__ = ["build_figure", "save_sheet"]
