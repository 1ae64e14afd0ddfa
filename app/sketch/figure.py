"""The drawing on paper and in files: the whole page as matplotlib artists, with words that can be selected."""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any, Literal

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex
from matplotlib.figure import Figure, SubFigure
from matplotlib.font_manager import get_font
from matplotlib.lines import Line2D
from matplotlib.patches import Ellipse, Polygon, Rectangle
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Bbox, BboxTransformTo, Transform, TransformedBbox

from app.lettering import FONT, font_file, printable
from app.sketch.artists import Strokes
from app.sketch.camera import Camera, fitted
from app.sketch.ends import End, ends_of
from app.sketch.grid import Words
from app.sketch.layout import Callout, Page, Shape, laid_out
from app.sketch.palette import THEMES, Theme, ThemeName, verdict_shape
from app.sketch.scene import scene
from geometry.words.solve import Work

if TYPE_CHECKING:
    from matplotlib.artist import Artist

    from geometry.document import Build
    from geometry.words.solution import Solution

Format = Literal["svg", "png", "pdf"]
_INCH_PX = 96.0
_PAGE_PX = (1400.0, 900.0)
_RC: dict[Any, Any] = {"svg.fonttype": "none", "pdf.fonttype": 42, "font.family": FONT, "svg.hashsalt": "sketch"}
_DENSITY = 2.0  # device pixels to a page pixel in a PNG


def draw_sketch(
    figure: Figure | SubFigure,
    build: Build,
    solution: Solution,
    *,
    theme: ThemeName = "light",
    place: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0),
    words: float = 1.0,
    paper: bool = True,
    ends: Sequence[End] = (),
) -> Page:
    """Draw side and top view into a part of a figure, to one true scale, with all words.

    `place` is the part's left, bottom, width and height as shares of the figure. `words` scales letters and lines: 1
    is 15, 11 and 9 point. Without `paper` the ground stays as the figure has it. `ends` of the travel are outlined
    faintly.
    """
    colours = THEMES[theme] if paper else replace(THEMES[theme], paper=to_hex(figure.get_facecolor()))
    box = figure.bbox
    inches = (box.width / _dpi(figure), box.height / _dpi(figure))
    width, height = inches[0] * place[2] * _INCH_PX, inches[1] * place[3] * _INCH_PX
    made = scene(build, solution, ends=ends, travel_room=bool(ends))
    camera = fitted(made, width, height, words=words)
    page = laid_out(made, camera, measure)
    to_figure = _page_transform(figure, camera, place)
    if paper:
        ground = Rectangle((0.0, 0.0), width, height, facecolor=colours.paper, transform=to_figure, zorder=-10.0)
        figure.add_artist(ground)
    strokes = Strokes(figure, colours)
    strokes.paint(colours, words)
    strokes.look(camera, place)
    strokes.show([*page.grid.strokes, *made.strokes])
    for axes, name in ((strokes.axes["side"], "side-view"), (strokes.axes["top"], "top-view")):
        axes.set_gid(name)
    add = _adder(figure, to_figure)
    for callout in page.callouts:
        _paint_callout(add, callout, colours, words)
    for left, top, right, bottom in page.quiet:
        add(Rectangle((left, top), right - left, bottom - top, facecolor=colours.paper, edgecolor="none"))
    for words_row in page.fixed:
        add(_text(words_row, colours))
    return page


def save_sketch(
    build: Build,
    solution: Solution,
    path: str | FilePath,
    file_format: Format | None = None,
    *,
    theme: ThemeName = "light",
) -> None:
    """Write the drawing to an SVG, PNG or PDF file; the ending of the name decides where no format is given.

    Axle, shaft and wheel are outlined faintly at both ends of the travel where it is known.

    Raises
    ------
    ValueError
        If the ending is none of these; nothing is written.
    """
    target = FilePath(path)
    target.write_bytes(sketch_bytes(build, solution, file_format or format_of(target), theme=theme))


def format_of(path: FilePath) -> Format:
    """Format that a file's ending stands for.

    Raises
    ------
    ValueError
        If it is none of svg, png and pdf.
    """
    ending = path.suffix.lower().lstrip(".")
    if ending == "svg":
        return "svg"
    if ending == "png":
        return "png"
    if ending == "pdf":
        return "pdf"
    raise ValueError(f"{path.name}: give the sketch's file a name that ends in .svg, .png or .pdf")


def sketch_bytes(
    build: Build,
    solution: Solution,
    file_format: Format,
    *,
    theme: ThemeName = "light",
    size_px: tuple[float, float] = _PAGE_PX,
) -> bytes:
    """Bytes of a file with the drawing, the same for the same build."""
    with mpl.rc_context(_RC):
        figure = Figure(figsize=(size_px[0] / _INCH_PX, size_px[1] / _INCH_PX), dpi=_INCH_PX)
        FigureCanvasAgg(figure)
        draw_sketch(figure, build, solution, theme=theme, ends=ends_of(Work(build), solution))
        metadata: dict[str, str | None] = {"Title": printable(build.title) or "driveline sketch"}
        if file_format == "svg":
            metadata["Date"] = None
        elif file_format == "pdf":
            metadata["CreationDate"] = None
        written = io.BytesIO()
        dpi = _INCH_PX * _DENSITY if file_format == "png" else _INCH_PX
        figure.savefig(written, format=file_format, dpi=dpi, metadata=metadata, facecolor=THEMES[theme].paper)
    return written.getvalue()


def measure(text: str, size_px: float, *, bold: bool) -> float:
    """Width of words in the drawing's own font, page pixels."""
    return _width_per_64(text, bold=bold) * size_px / 64.0


@lru_cache(maxsize=4096)
def _width_per_64(text: str, *, bold: bool) -> float:
    font = get_font(font_file(bold=bold))
    font.set_size(64.0, 72.0)
    font.set_text(printable(text), 0.0)
    return font.get_width_height()[0] / 64.0


def _dpi(figure: Figure | SubFigure) -> float:
    return float(figure.get_dpi()) if isinstance(figure, Figure) else float(figure.figure.get_dpi())


def _page_transform(figure: Figure | SubFigure, camera: Camera, place: tuple[float, float, float, float]) -> Transform:
    """From page pixels, y down, to the figure's part."""
    left, bottom, width, height = place
    part = TransformedBbox(Bbox.from_bounds(left, bottom, width, height), figure.transSubfigure)
    return Affine2D().scale(1.0 / camera.width, -1.0 / camera.height).translate(0.0, 1.0) + BboxTransformTo(part)


def _adder(figure: Figure | SubFigure, transform: Transform) -> Callable[[Artist], None]:
    def add(artist: Artist) -> None:
        artist.set_transform(transform)
        artist.set_zorder(50.0 + 0.001 * len(figure.get_children()))
        figure.add_artist(artist)

    return add


def _paint_callout(add: Callable[[Artist], None], callout: Callout, theme: Theme, words: float) -> None:
    colour = theme.colour(callout.label.colour)
    if callout.placed.clear:
        for left, top, width, height in callout.grounds(measure):
            add(Rectangle((left, top), width, height, facecolor=theme.paper, edgecolor="none"))
    if callout.placed.leader is not None:
        x0, y0, x1, y1 = callout.placed.leader
        add(Line2D([x0, x1], [y0, y1], color=colour, linewidth=0.85 * words, solid_capstyle="butt"))
        dot = 4.4 * words if callout.on_page else 0.0
        add(Ellipse((x0, y0), dot, dot, facecolor=colour, edgecolor="none"))
    for shape in callout.shapes:
        add(_shape(shape, theme))
    for row in callout.words:
        add(_text(row, theme))


def _shape(shape: Shape, theme: Theme) -> Artist:
    colour, outline = theme.colour(shape.verdict), verdict_shape(shape.verdict)
    if outline:
        corners = [(shape.x + shape.half_px * x, shape.y + shape.half_px * y) for x, y in outline]
        return Polygon(corners, closed=True, facecolor=colour, edgecolor="none")
    round_ = 1.8 * shape.half_px
    full = shape.verdict == "clear"
    return Ellipse(
        (shape.x, shape.y), round_, round_, facecolor=colour if full else "none", edgecolor=colour, linewidth=1.2
    )


def _text(row: Words, theme: Theme) -> Text:
    align = "center" if row.align == "centre" else row.align
    return Text(
        row.x, row.baseline, printable(row.text), color=theme.colour(row.colour),
        fontsize=row.size_px * 72.0 / _INCH_PX, fontfamily=FONT,
        fontweight="bold" if row.bold else "normal", ha=align, va="baseline", parse_math=False,
    )  # fmt: skip
