"""The curves in files, with words that can be selected."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from matplotlib.transforms import Affine2D

from app.lettering import FONT, printable
from app.sketch.camera import POINT_PX
from app.sketch.figure import Format, format_of, measure
from app.sketch.grid import Words
from app.sketch.palette import THEMES, Theme, ThemeName
from app.travel_plots.artists import CurveArtists
from app.travel_plots.curves import curves_of
from app.travel_plots.layout import laid_out
from geometry.document import Build
from geometry.words.solution import Solution

_INCH_PX = 96.0
_PAGE_PX = (1100.0, 640.0)
_HEAD_PX = 62.0
_RC: dict[Any, Any] = {"svg.fonttype": "none", "pdf.fonttype": 42, "font.family": FONT, "svg.hashsalt": "curves"}
_DENSITY = 2.0
_NOTE = "Without torque. The numbers in colour are those at ride height; a ring marks the worst of each plot."


def write(build: Build, solution: Solution, path: str | Path, file_format: Format | None = None) -> None:
    """Write the curves; see `app.travel_plots.save_plots`."""
    target = Path(path)
    target.write_bytes(plots_bytes(build, solution, file_format or format_of(target)))


def plots_bytes(
    build: Build, solution: Solution, file_format: Format, *, theme: ThemeName = "light",
    size_px: tuple[float, float] = _PAGE_PX,
) -> bytes:  # fmt: skip
    """Bytes of a file with the curves, the same for the same build.

    Raises
    ------
    ValueError
        If the travel is not known.
    """
    curves = curves_of(build, solution)
    if curves is None:
        raise ValueError("the travel is not known; enter the springs or links and their travel up and down first")
    colours = THEMES[theme]
    width, height = size_px
    with mpl.rc_context(_RC):
        figure = Figure(figsize=(width / _INCH_PX, height / _INCH_PX), dpi=_INCH_PX, facecolor=colours.paper)
        FigureCanvasAgg(figure)
        page = laid_out(curves, width, height, measure, words=1.08, top=_HEAD_PX, most_columns=3)
        CurveArtists(figure, colours).show(page)
        to_figure = Affine2D().scale(1.0 / width, -1.0 / height).translate(0.0, 1.0) + figure.transSubfigure
        title = printable(build.title) or "Driveline"
        head = (
            Words(16.0, 28.0, f"{title}: curves over the axle's travel", 15.0 * POINT_PX, bold=True, colour="ink"),
            Words(16.0, 48.0, _NOTE, page.letter_px),
        )
        for row in (*head, *page.words, *page.values(0.0)):
            figure.add_artist(_text(row, colours, to_figure))
        metadata: dict[str, str | None] = {"Title": f"{title}: curves over the axle's travel"}
        if file_format == "svg":
            metadata["Date"] = None
        elif file_format == "pdf":
            metadata["CreationDate"] = None
        written = io.BytesIO()
        dpi = _INCH_PX * _DENSITY if file_format == "png" else _INCH_PX
        figure.savefig(written, format=file_format, dpi=dpi, metadata=metadata, facecolor=colours.paper)
    return written.getvalue()


def _text(row: Words, theme: Theme, transform: Any) -> Text:
    align = "center" if row.align == "centre" else row.align
    text = Text(
        row.x, row.baseline, printable(row.text), color=theme.colour(row.colour), fontsize=row.size_px / POINT_PX,
        fontfamily=FONT, fontweight="bold" if row.bold else "normal", ha=align, va="baseline", parse_math=False,
    )  # fmt: skip
    text.set_transform(transform)
    text.set_zorder(50.0)
    return text
