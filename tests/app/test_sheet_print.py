"""The printed sheet: the same pages as the file's, on a printer, in its preview, and on another paper."""

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader
from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QImage, QPageSize, QPdfWriter
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QApplication

from app.drawing.painter import paint_pages
from app.drawing.picture_files import pdf_bytes, png_bytes
from app.sheet import sheet_pages
from app.window.document import Document
from app.window.shell.exports import paint_on, printer_for
from geometry import Build, edited, solve
from tests.app.sheets import DAY, sample

POPPLER = shutil.which("pdftoppm")


@pytest.fixture(autouse=True)
def application(qapp: QApplication) -> None:
    """Fonts need an application."""
    assert qapp


def grey(image: QImage) -> np.ndarray:
    """Grey values of a picture, 0 to 255."""
    plain = image.convertToFormat(QImage.Format.Format_Grayscale8)
    raw = np.frombuffer(plain.constBits(), np.uint8).reshape(plain.height(), plain.bytesPerLine())
    return raw[:, : plain.width()].astype(float)


def blurred(picture: np.ndarray, cell: int) -> np.ndarray:
    """Mean grey of square cells: ink in the same places, whatever the edges of its letters are."""
    rows, columns = (size // cell for size in picture.shape)
    return picture[: rows * cell, : columns * cell].reshape(rows, cell, columns, cell).mean(axis=(1, 3))


def printed(path: Path, build: Build, **set_up: object) -> PdfReader:
    """What the window sends to a printer, which here prints into a file."""
    document = Document(build)
    printer = printer_for(document)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    for name, value in set_up.items():
        getattr(printer, name)(*value if isinstance(value, tuple) else (value,))
    paint_on(printer, document)
    return PdfReader(path)


@pytest.mark.parametrize("length", ["inch", "millimetre"])
def test_the_printer_gets_every_page_with_words_as_words(tmp_path: Path, length: str) -> None:
    build = sample(**{"display.length": length})
    reader = printed(tmp_path / "printed.pdf", build)
    filed = sheet_pages(build, solve(build), "letter" if length == "inch" else "a4")
    assert len(reader.pages) == len(filed) >= 2
    text = "".join("".join(page.extract_text() for page in reader.pages).split())
    count = len(filed)
    told = (f"1 of {count}: enough at the vehicle", f"{count} of {count}")
    for words in ("Ranch truck", "Never work under a running shaft.", *told):
        assert "".join(words.split()) in text
    for page in reader.pages:
        assert not page.images
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        assert (wide, high) == pytest.approx((filed[0].width * 0.75, filed[0].height * 0.75), abs=1.0)


def test_only_the_pages_asked_for_are_printed(tmp_path: Path) -> None:
    asked = {"setPrintRange": QPrinter.PrintRange.PageRange, "setFromTo": (1, 1)}
    count = len(sheet_pages(sample(), solve(sample()), "letter"))
    (page,) = printed(tmp_path / "first.pdf", sample(), **asked).pages
    assert f"1of{count}" in "".join(page.extract_text().split())
    (page,) = printed(tmp_path / "second.pdf", sample(), **{**asked, "setFromTo": (2, 2)}).pages
    assert f"2of{count}" in "".join(page.extract_text().split())


@pytest.mark.skipif(POPPLER is None, reason="poppler draws the file for the comparison")
def test_the_file_looks_like_the_screen(tmp_path: Path) -> None:
    build = sample()
    pages = sheet_pages(build, solve(build), "letter", printed_on=DAY)
    (tmp_path / "sheet.pdf").write_bytes(pdf_bytes(pages))
    subprocess.run([str(POPPLER), "-r", "192", "-png", "sheet.pdf", "page"], check=True, cwd=tmp_path, timeout=120)
    for number, page in enumerate(pages, 1):
        image = QImage()
        image.loadFromData(png_bytes(page, 2.0))
        wanted, found = grey(image), grey(QImage(str(tmp_path / f"page-{number}.png")))
        assert wanted.shape == found.shape == (2112, 1632)
        one, other = blurred(wanted, 48), blurred(found, 48)
        assert np.abs(one - other).mean() < 2.0
        assert np.corrcoef(one.ravel(), other.ravel())[0, 1] > 0.98
        assert np.corrcoef(one.ravel(), other[::-1].ravel())[0, 1] < 0.9  # a page upside down would be told


def test_a_page_goes_whole_into_the_middle_of_another_paper(tmp_path: Path) -> None:
    """A letter page on paper that is much higher: as wide as it, with white above and below."""
    build = edited(Build(), {"title": "Wagon"})
    writer = QPdfWriter(str(tmp_path / "other.pdf"))
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.Legal))  # 8.5 × 14 in, against 11 in
    writer.setPageMargins(QMarginsF())
    paint_pages(writer, sheet_pages(build, solve(build), "letter", printed_on=DAY))
    heights: list[float] = []
    page = PdfReader(tmp_path / "other.pdf").pages[0]

    def seen(text: str, matrix: list[float], text_matrix: list[float], *_: object) -> None:
        if text.strip():
            heights.append(matrix[3] * text_matrix[5] + matrix[5])

    page.extract_text(visitor_text=seen)
    assert min(heights) >= 1.5 * 72.0  # (14 − 11) / 2 in of white below, and above
    assert max(heights) <= (14.0 - 1.5) * 72.0
    assert max(heights) - min(heights) > 9.0 * 72.0
