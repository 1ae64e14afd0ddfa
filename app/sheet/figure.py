"""The laid-out page as a matplotlib figure, and as a PDF file: vectors throughout, words that can be selected."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path as FilePath
from typing import Any, Final

import matplotlib as mpl
from matplotlib.collections import LineCollection
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure
from matplotlib.patches import Circle, Patch, Polygon, Rectangle
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Transform

from app.drawing.palette import LIGHT, verdict_shape
from app.lettering import FONT
from app.sheet.blocks import PROGRAM, verdict_colour
from app.sheet.entries import keyed
from app.sheet.flow import cleaned
from app.sheet.layout import Sheet, content_of, laid_out
from app.sheet.page import Mark, PaperName, Rule, Square, Words
from app.sheet.pdf_file import one_page
from app.sheet.pdf_renderer import PdfRenderer
from app.sketch.figure import draw_sketch
from geometry.document import Build
from geometry.words.solution import Solution

_POINTS: Final = 72.0
_RC: Final[dict[Any, Any]] = {"font.family": FONT, "text.usetex": False}
_WHITE: Final = "#FFFFFF"
_WORDS: Final = 0.72  # of the drawing's letters on the screen: 10.8, 7.9 and 6.5 pt


def save_sheet(
    build: Build,
    solution: Solution,
    path: str | FilePath,
    *,
    paper: PaperName = "letter",
    source_name: str = "",
    printed_on: date | None = None,
) -> None:
    """Write the one-page build sheet to a PDF file; the same build on the same date gives the same bytes.

    `printed_on` is today where it is not given.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    made = sheet_bytes(build, solution, paper=paper, source_name=source_name, printed_on=printed_on)
    FilePath(path).write_bytes(made)


def sheet_bytes(
    build: Build,
    solution: Solution,
    *,
    paper: PaperName = "letter",
    source_name: str = "",
    printed_on: date | None = None,
) -> bytes:
    """The build sheet as the bytes of a PDF file."""
    day = printed_on or today()
    with mpl.rc_context(_RC):
        figure = build_figure(build, solution, paper, source_name=source_name, printed_on=day)
        width, height = (float(size) for size in figure.bbox.size)
        renderer = PdfRenderer(width, height)
        figure.draw(renderer)
    about = {"Title": cleaned(build.title) or "Build sheet", "Subject": "Build sheet", "Creator": PROGRAM}
    return one_page(width, height, renderer.drawn, renderer.fonts, renderer.opacities, about, day)


def today() -> date:
    """Date of the day where the person is."""
    return datetime.now(tz=UTC).astimezone().date()


def build_figure(
    build: Build, solution: Solution, paper: PaperName, *, source_name: str = "", printed_on: date | None = None
) -> Figure:
    """The sheet as a figure of just the paper's size."""
    return figure_of(laid_out(content_of(build, solution, source_name, printed_on or today()), paper), build, solution)


def figure_of(sheet: Sheet, build: Build, solution: Solution) -> Figure:
    """Draw a laid-out sheet."""
    paper = sheet.paper
    with mpl.rc_context(_RC):
        figure = Figure(figsize=(paper.width / _POINTS, paper.height / _POINTS), dpi=_POINTS, facecolor=_WHITE)
        box = sheet.drawing
        place = (
            box.left / paper.width,
            1.0 - box.bottom / paper.height,
            box.width / paper.width,
            box.height / paper.height,
        )
        draw_sketch(figure, build, keyed(solution), theme="light", place=place, words=_WORDS, paper=False)
        _whiten(figure)
        to_page = Affine2D().scale(1.0 / _POINTS, -1.0 / _POINTS).translate(0.0, paper.height / _POINTS)
        _draw_items(figure, sheet, to_page + figure.dpi_scale_trans)
    return figure


def _whiten(figure: Figure) -> None:
    """Put white where the drawing has its tinted ground: a laser would print the tint as a haze of dots."""
    tint = to_rgba(LIGHT.paper)
    for patch in figure.findobj(Patch):
        if to_rgba(patch.get_facecolor()) == tint:
            patch.set_facecolor(_WHITE)


def _draw_items(figure: Figure, sheet: Sheet, to_page: Transform) -> None:
    rules: dict[tuple[float, str], list[list[tuple[float, float]]]] = {}
    for order, item in enumerate(sheet.items):
        zorder = 100.0 + 0.001 * order
        if isinstance(item, Words):
            figure.add_artist(_text(item, to_page, zorder))
        elif isinstance(item, Rule):
            rules.setdefault((item.width, item.colour), []).append([(item.x0, item.y0), (item.x1, item.y1)])
        elif isinstance(item, Square):
            figure.add_artist(
                Rectangle(
                    (item.left, item.top),
                    item.width,
                    item.height,
                    facecolor="none",
                    edgecolor=item.colour,
                    linewidth=item.line,
                    transform=to_page,
                    zorder=zorder,
                )
            )
        else:
            figure.add_artist(_mark(item, to_page, zorder))
    for (width, colour), lines in rules.items():
        figure.add_artist(LineCollection(lines, linewidths=width, colors=colour, transform=to_page, zorder=90.0))


def _text(item: Words, to_page: Transform, zorder: float) -> Text:
    return Text(
        item.x, item.baseline, item.text, color=item.colour, fontsize=item.size, fontfamily=FONT,
        fontweight="bold" if item.bold else "normal", ha=item.align, va="baseline", parse_math=False,
        transform=to_page, zorder=zorder,
    )  # fmt: skip


def _mark(item: Mark, to_page: Transform, zorder: float) -> Patch:
    colour, outline = verdict_colour(item.verdict), verdict_shape(item.verdict)
    if outline:
        corners = [(item.x + item.half * x, item.y + item.half * y) for x, y in outline]
        return Polygon(corners, closed=True, facecolor=colour, edgecolor="none", transform=to_page, zorder=zorder)
    full = item.verdict == "clear"
    line = 0.26 * item.half
    return Circle(
        (item.x, item.y), item.half - 0.5 * line, facecolor=colour if full else "none", edgecolor=colour,
        linewidth=line, transform=to_page, zorder=zorder,
    )  # fmt: skip
