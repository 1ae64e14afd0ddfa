"""The printed sheet: painted by Qt, held against the same figure rendered by matplotlib's own Agg renderer."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Circle, PathPatch, Rectangle
from matplotlib.path import Path as Outline
from pypdf import PdfReader
from PySide6.QtCore import QMarginsF, QRectF, Qt
from PySide6.QtGui import QImage, QPageSize, QPainter, QPdfWriter
from PySide6.QtWidgets import QApplication

from app.sheet.figure import build_figure
from app.sheet.paint import paint_sheet
from app.sheet.qt_renderer import QtRenderer
from geometry import Build, edited, solve

DAY = date(2025, 3, 9)
DPI = 192  # where hinting of small letters to whole pixels, which Qt does not do, is slight
RANCH = Path(__file__).parent.parent.parent / "sample_builds" / "ranch_truck_swap.json"


@pytest.fixture(autouse=True)
def application(qapp: QApplication) -> None:
    """Fonts need an application."""


def ranch() -> Build:
    return Build.model_validate_json(RANCH.read_text(encoding="utf-8"))


def white(width: int, height: int) -> QImage:
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    return image


def grey(image: QImage) -> np.ndarray:
    """Grey values of a picture, 0 to 255."""
    raw = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.width(), 4)
    return raw[..., :3].mean(axis=2)


def agg(figure: Figure, dpi: float) -> np.ndarray:
    figure.set_dpi(dpi)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    return np.asarray(canvas.buffer_rgba())[..., :3].mean(axis=2)


def blurred(picture: np.ndarray, cell: int) -> np.ndarray:
    """Mean grey of square cells: ink in the same places, whatever the edges of its letters are."""
    rows, columns = (size // cell for size in picture.shape)
    return picture[: rows * cell, : columns * cell].reshape(rows, cell, columns, cell).mean(axis=(1, 3))


@pytest.mark.parametrize(("paper", "size"), [("letter", (1632, 2112)), ("a4", (1587, 2245))])
def test_printed_page_is_the_figure(paper: str, size: tuple[int, int]) -> None:
    build = ranch()
    solution = solve(build)
    image = white(*size)
    painter = QPainter(image)
    paint_sheet(painter, QRectF(0, 0, *size), build, solution, paper, "ranch.json", DAY)  # type: ignore[arg-type]
    painter.end()
    expected = agg(build_figure(build, solution, paper, source_name="ranch.json", printed_on=DAY), DPI)  # type: ignore[arg-type]
    printed = grey(image)[: expected.shape[0], : expected.shape[1]]
    cells, wanted = blurred(printed, 48), blurred(expected[: printed.shape[0], : printed.shape[1]], 48)
    assert np.abs(cells - wanted).mean() < 3.0
    assert np.corrcoef(cells.ravel(), wanted.ravel())[0, 1] > 0.98
    assert np.corrcoef(cells.ravel(), wanted[::-1].ravel())[0, 1] < 0.9  # and a page upside down would be told


def test_pdf_by_the_printer_has_words_and_lines_and_no_picture(tmp_path: Path) -> None:
    build = ranch()
    solution = solve(build)
    writer = QPdfWriter(str(tmp_path / "printed.pdf"))
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.Letter))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    painter = QPainter(writer)
    paint_sheet(painter, QRectF(0, 0, writer.width(), writer.height()), build, solution, "letter", "ranch.json", DAY)
    painter.end()
    (page,) = PdfReader(tmp_path / "printed.pdf").pages
    assert not page.images
    text = " ".join(page.extract_text().split())
    for words in ("ranch.json", "9 Mar 2025", "Never work under a running shaft.", "before tacking"):
        assert words in text


def test_sheet_goes_whole_into_the_middle_of_another_paper() -> None:
    build = edited(Build(), {"title": "Wagon"})
    image = white(400, 900)
    painter = QPainter(image)
    paint_sheet(painter, QRectF(20, 0, 360, 900), build, solve(build), "letter", "", DAY)
    assert painter.transform().isIdentity()
    painter.end()
    rows = np.flatnonzero(grey(image).min(axis=1) < 128)
    columns = np.flatnonzero(grey(image).min(axis=0) < 128)
    tall = 360 * 11.0 / 8.5
    assert columns.min() >= 20
    assert columns.max() <= 380
    assert rows.min() >= 0.5 * (900 - tall)
    assert rows.max() <= 0.5 * (900 + tall)


def pictured(figure: Figure) -> tuple[np.ndarray, np.ndarray]:
    """The same figure by Qt and by Agg, grey."""
    width, height = (int(size) for size in figure.bbox.size)
    image = white(width, height)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    figure.draw(QtRenderer(painter, width, height, float(figure.dpi)))
    painter.end()
    return grey(image), agg(figure, float(figure.dpi))


def test_fills_strokes_dashes_curves_and_clips_lie_where_agg_puts_them() -> None:
    figure = Figure(figsize=(2.0, 2.0), dpi=100, facecolor="white")
    figure.add_artist(Circle((0.3, 0.7), 0.2, facecolor=(0.8, 0.1, 0.1, 0.5), edgecolor="black", linewidth=2.0))
    dashes = (2.0, (6.0, 3.0))
    figure.add_artist(Rectangle((0.55, 0.1), 0.4, 0.3, facecolor="none", edgecolor="black", linestyle=dashes))
    curve = Outline([(0.1, 0.1), (0.3, 0.6), (0.5, 0.1)], [Outline.MOVETO, Outline.CURVE3, Outline.CURVE3])
    figure.add_artist(PathPatch(curve, facecolor="none", edgecolor="black", linewidth=3.0, capstyle="round"))
    clipped = figure.add_artist(Rectangle((0.0, 0.0), 1.0, 1.0, facecolor="#8899AA"))
    clipped.set_clip_path(Rectangle((0.7, 0.7), 0.2, 0.2, transform=figure.transFigure))
    qt, wanted = pictured(figure)
    assert np.abs(qt - wanted).mean() < 1.5
    assert wanted.min() < 30.0
    assert np.abs(255.0 - wanted).mean() > 8.0  # an empty page would not pass


def test_slanted_words_lie_where_agg_puts_them() -> None:
    figure = Figure(figsize=(3.0, 3.0), dpi=100, facecolor="white")
    figure.text(0.2, 0.2, "MMMMMMMM", fontsize=20, rotation=45.0, rotation_mode="anchor", fontfamily="DejaVu Sans")
    figure.text(0.9, 0.9, "HHH", fontsize=24, ha="right", fontweight="bold", fontfamily="DejaVu Sans")
    qt, wanted = pictured(figure)
    assert np.abs(blurred(qt, 10) - blurred(wanted, 10)).mean() < 2.0
    assert np.abs(255.0 - wanted).mean() > 5.0  # an empty page would not pass


def test_mathematics_is_drawn_as_outlines() -> None:
    figure = Figure(figsize=(2.0, 1.0), dpi=100, facecolor="white")
    figure.text(0.1, 0.4, r"$\alpha_1 + \beta$", fontsize=24)
    qt, wanted = pictured(figure)
    assert np.abs(blurred(qt, 10) - blurred(wanted, 10)).mean() < 3.0


def test_pictures_are_refused() -> None:
    image = white(10, 10)
    painter = QPainter(image)
    renderer = QtRenderer(painter, 10, 10, 72.0)
    with pytest.raises(NotImplementedError):
        renderer.draw_image(renderer.new_gc(), 0.0, 0.0, np.zeros((2, 2, 4), np.uint8))
    painter.end()
