"""The build sheet: one page to carry to the bench, as a PDF file or painted for a printer.

`setpoints`, `order`, `entries`, `ways` and `checks` are words, `blocks` and `findings` lay them out, `ladder` and
`layout` fit them on one page, `figure` draws it. `pdf_renderer`, `pdf_file` and `true_type` write that figure as a
file; `paint` and `qt_renderer`, which alone know Qt, paint the same figure.
"""

from app.sheet.figure import build_figure, save_sheet

__all__ = ["build_figure", "save_sheet"]
