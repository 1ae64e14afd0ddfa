"""The build sheet: a page to carry to the vehicle, and one or more behind it with all the rest.

`planned`, `order`, `checks`, `ways` and `findings` are words, `flow` and `blocks` lay them out, `first` and `pages` put
them on paper round the drawing. A page is a `Page` of `app.drawing`, painted by its painter in a file, on a printer
and in the preview alike.
"""

from app.sheet.pages import sheet_bytes, sheet_pages
from app.sheet.paper import PaperName

__all__ = ["PaperName", "sheet_bytes", "sheet_pages"]
