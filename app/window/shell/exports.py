"""Sheet, picture and paper: what leaves the window. Each drawing library is imported when it is first used."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QPageSize
from PySide6.QtWidgets import QWidget

from app.files import FileTrouble, put_in_place
from app.papers.kinds import PAPERS, Told, What, ending, on_paper, paper_pages, save_paper
from app.window.document import Document
from app.window.keeping import asking
from app.window.keeping.filing import file_stem
from app.window.settings import papers_behind

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter

    from app.sheet.paper import PaperName

_Picture = Literal["svg", "png", "pdf"]
_PICTURES: tuple[_Picture, ...] = ("svg", "png", "pdf")


def paper_of(document: Document) -> PaperName:
    """Paper that goes with the units: letter with inches, A4 with millimetres."""
    return "letter" if document.build.display.length == "inch" else "a4"


def behind_of(what: What) -> list[What]:
    """Papers that the person wants behind the sheet; none behind any other."""
    return papers_behind() if what == "sheet" else []


def export_paper(document: Document, window: QWidget, what: What = "sheet") -> Path | None:
    """Write a paper in one of its kinds of file; return where, or None where it was not written."""
    one = PAPERS[what]
    kinds = ";;".join(f"{kind[1:].upper()} (*{kind})" for kind in one.kinds)
    path = asking.where_to_write(window, f"{one.title} as PDF", _beside(document, ending(what)), kinds)
    if path is None:
        return None
    try:
        with put_in_place(path) as draft, _Busy():
            save_paper(what, [_told(document)], draft, paper_of(document), document.name, behind_of(what))
    except FileTrouble as trouble:
        asking.tell(window, one.not_written, trouble.sentence)
        return None
    return path


def export_sketch(document: Document, window: QWidget) -> Path | None:
    """Write the drawing as SVG, PNG or PDF; return where, or None where it was not written."""

    def write(draft: Path, kind: _Picture) -> None:
        from app.drawing.picture_files import picture_bytes, sketch

        draft.write_bytes(picture_bytes(sketch(document.build, document.solution), f".{kind}"))

    return _export_picture(window, "Sketch as a picture", "sketch was", _beside(document, ".svg"), write)


def export_curves(document: Document, window: QWidget) -> Path | None:
    """Write the curves over the travel as SVG, PNG or PDF; return where, or None where they were not written."""

    def write(draft: Path, kind: _Picture) -> None:
        from app.curves.curves import curves_of
        from app.curves.panels import panels
        from app.drawing.palette import LIGHT
        from app.drawing.picture_files import picture_bytes

        curves = curves_of(document.build, document.solution)
        if curves is None:
            raise FileTrouble(draft, "the travel is not known: measure the springs or links first")
        draft.write_bytes(picture_bytes(panels(curves, (1100.0, 230.0), LIGHT, 0.0), f".{kind}"))

    return _export_picture(window, "Travel curves as a picture", "curves were", _beside(document, "_travel.svg"), write)


def _export_picture(
    window: QWidget, title: str, what: str, suggested: Path, write: Callable[[Path, _Picture], None]
) -> Path | None:
    kinds = "SVG picture (*.svg);;PNG picture (*.png);;PDF (*.pdf)"
    path = asking.where_to_write(window, title, suggested, kinds)
    if path is None:
        return None
    kind = next((kind for kind in _PICTURES if path.suffix.lower() == f".{kind}"), None)
    if kind is None:
        asking.tell(window, f"The {what} not written", f"{path.name} must end in .svg, .png or .pdf.")
        return None
    try:
        with put_in_place(path) as draft, _Busy():
            write(draft, kind)
    except FileTrouble as trouble:
        asking.tell(window, f"The {what} not written", trouble.sentence)
        return None
    return path


def print_sheet(document: Document, window: QWidget) -> bool:
    """Ask for a printer and print the sheet; False when the person thought better of it."""
    from PySide6.QtPrintSupport import QPrintDialog

    printer = printer_for(document)
    if QPrintDialog(printer, window).exec() != QPrintDialog.DialogCode.Accepted:
        return False
    paint_on(printer, document)
    return True


def preview(document: Document, window: QWidget, what: What = "sheet") -> None:
    """Show a paper as it would be printed."""
    from PySide6.QtPrintSupport import QPrintPreviewDialog

    printer = printer_for(document)  # the dialog does not keep it alive
    dialog = QPrintPreviewDialog(printer, window)
    dialog.setWindowTitle(PAPERS[what].printed)
    dialog.paintRequested.connect(lambda printer: paint_on(printer, document, what))
    dialog.resize(900, 1000)
    dialog.exec()
    dialog.deleteLater()


def paint_on(printer: QPrinter, document: Document, what: What = "sheet") -> None:
    """Paint a paper on a printer's pages, or those of them that were asked for."""
    from PySide6.QtPrintSupport import QPrinter as Printer

    from app.drawing.painter import paint_pages

    pages = paper_pages(what, *_told(document), paper_of(document), document.name, behind_of(what))
    if printer.printRange() == Printer.PrintRange.PageRange:
        pages = pages[max(printer.fromPage(), 1) - 1 : printer.toPage() or None]
    paint_pages(printer, pages)


def printer_for(document: Document) -> QPrinter:
    """Printer set to the paper that goes with the build's units, to its very edges: the sheet has its own margins."""
    from PySide6.QtPrintSupport import QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    size = QPageSize.PageSizeId.Letter if paper_of(document) == "letter" else QPageSize.PageSizeId.A4
    printer.setPageSize(QPageSize(size))
    printer.setFullPage(True)
    printer.setDocName(document.name)
    return printer


def _told(document: Document) -> Told:
    """What a paper tells of: the driveline that is shown, by its name where there are two."""
    return on_paper(document.build, document.solution, document.beside)


def _beside(document: Document, ending: str) -> Path:
    if document.path is not None:
        return document.path.with_name(document.path.stem + ending)
    return Path.home() / (file_stem(document.build.title) + ending)


class _Busy:
    """Wait cursor while a file is written."""

    def __enter__(self) -> None:
        """Show the wait cursor."""
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)

    def __exit__(self, *_: object) -> None:
        """Show the usual one."""
        QGuiApplication.restoreOverrideCursor()
