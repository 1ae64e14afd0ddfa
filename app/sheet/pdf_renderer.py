"""A matplotlib renderer that writes a page of a PDF file: lines stay lines, words stay words.

matplotlib's own writer shapes every word twice and takes the whole font apart for each file, which is most of the time
that a sheet would take. Here a word is its letters' advances, by which the sheet was laid out, and the font is cut down
once. Operators as in ISO 32000-1, annex A (from memory).
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Final

from matplotlib.backend_bases import RendererBase
from matplotlib.path import Path
from matplotlib.transforms import Transform

from app.lettering import font_file
from app.sheet.flow import width_of
from app.sheet.pdf_file import PdfFont
from app.sheet.true_type import true_type

if TYPE_CHECKING:
    from matplotlib.backend_bases import GraphicsContextBase
    from matplotlib.font_manager import FontProperties
    from matplotlib.text import Text

_CAPS: Final = {"butt": 0, "round": 1, "projecting": 2}
_JOINS: Final = {"miter": 0, "round": 1, "bevel": 2}
_WEIGHTS: Final = {"F1": ("DejaVuSans", False), "F2": ("DejaVuSans-Bold", True)}
_DESCENT: Final = 0.24  # of the type size


class PdfRenderer(RendererBase):
    """Collects what a figure of 72 dots an inch draws, as the operators of a page whose points are the figure's pixels.

    Markers and collections come as paths, by the base class. Pictures are refused: the sheet has none.
    """

    def __init__(self, width: float, height: float) -> None:
        super().__init__()
        self._width = width
        self._height = height
        self._written: list[str] = ["1 j"]
        self.fonts = {name: PdfFont(shown, true_type(font_file(bold=bold))) for name, (shown, bold) in _WEIGHTS.items()}
        self.opacities: dict[tuple[float, ...], str] = {}
        """Name of each pair of opacities, of fills and of lines."""

    @property
    def drawn(self) -> str:
        """The page's content so far."""
        return "\n".join(self._written)

    def get_canvas_width_height(self) -> tuple[float, float]:
        """Size of the page in points."""
        return self._width, self._height

    def points_to_pixels(self, points: Any) -> Any:
        """Points are the page's own unit."""
        return points

    def flipy(self) -> bool:
        """Whether y runs down: it does not."""
        return False

    def get_text_width_height_descent(
        self,
        s: str,
        prop: FontProperties,
        ismath: bool | str,  # noqa: FBT001
    ) -> tuple[float, float, float]:
        """Room that words take, by their letters' advances."""
        if ismath:
            width, height, descent = super().get_text_width_height_descent(s, prop, ismath)  # type: ignore[arg-type]
            return width, height, descent
        size = prop.get_size_in_points()
        return width_of(s, size, _is_bold(prop)), size, _DESCENT * size

    def draw_path(
        self,
        gc: GraphicsContextBase,
        path: Path,
        transform: Transform,
        rgbFace: Any = None,  # noqa: N803
    ) -> None:
        """Fill and stroke a path."""
        line = float(gc.get_linewidth())
        if line <= 0.0 and rgbFace is None:
            return
        self._written.append("q")
        self._clip(gc)
        self._opacity(gc, gc.get_rgb() if rgbFace is None else rgbFace, gc.get_rgb())
        if rgbFace is not None:
            self._written.append(f"{_colour(rgbFace)} rg")
        if line > 0.0:
            self._pen(gc, line)
        paint = "S" if rgbFace is None else "B" if line > 0.0 else "f"
        self._written += [*_outline(path, transform), paint, "Q"]

    def draw_text(
        self, gc: GraphicsContextBase, x: float, y: float, s: str, prop: FontProperties, angle: float,
        ismath: bool | str = False, mtext: Text | None = None,  # noqa: FBT001, FBT002
    ) -> None:  # fmt: skip
        """Show words on their baseline."""
        if ismath:
            super().draw_text(gc, x, y, s, prop, angle, ismath, mtext)  # type: ignore[arg-type]
            return
        name = "F2" if _is_bold(prop) else "F1"
        across, up = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        self._written.append("q")
        self._clip(gc)
        self._opacity(gc, gc.get_rgb(), gc.get_rgb())
        turned = " ".join(_number(part) for part in (across, up, -up, across, x, y))
        self._written += [
            f"{_colour(gc.get_rgb())} rg BT /{name} {_number(prop.get_size_in_points())} Tf {turned} Tm",
            f"<{self.fonts[name].encoded(s)}> Tj ET Q",
        ]

    def _pen(self, gc: GraphicsContextBase, line: float) -> None:
        dashed: Any = gc.get_dashes()
        offset, dashes = dashed
        ends = f"{_CAPS[gc.get_capstyle()]} J {_JOINS[gc.get_joinstyle()]} j"
        words = f"{_colour(gc.get_rgb())} RG {_number(line)} w {ends}"
        if dashes is not None:
            words += f" [{' '.join(_number(float(dash)) for dash in dashes)}] {_number(float(offset))} d"
        self._written.append(words)

    def _opacity(self, gc: GraphicsContextBase, fill: Any, line: Any) -> None:
        """How much of what lies below is covered."""
        if gc.get_forced_alpha():
            parts: tuple[float, ...] = (float(gc.get_alpha()),) * 2
        else:
            parts = tuple(float(colour[3]) if len(colour) > 3 else 1.0 for colour in (fill, line))
        if min(parts) < 1.0:
            self._written.append(f"/{self.opacities.setdefault(parts, f'G{len(self.opacities)}')} gs")

    def _clip(self, gc: GraphicsContextBase) -> None:
        box = gc.get_clip_rectangle()
        if box is not None:
            self._written.append(" ".join(_number(float(part)) for part in box.bounds) + " re W n")
        path, transform = gc.get_clip_path()
        if path is not None and transform is not None:
            self._written += [*_outline(path, transform), "W n"]


def _outline(path: Any, transform: Transform) -> list[str]:
    """A path's operators; a curve of one handle becomes one of two, which is the same curve."""
    made: list[str] = []
    here = (0.0, 0.0)
    for points, code in path.iter_segments(transform, simplify=False, curves=True):
        at = [float(part) for part in points]
        if code == Path.CURVE3:
            x, y, *end = at
            handles = [(here[0] + 2.0 * x) / 3.0, (here[1] + 2.0 * y) / 3.0]
            at = [*handles, (end[0] + 2.0 * x) / 3.0, (end[1] + 2.0 * y) / 3.0, *end]
        if code == Path.CLOSEPOLY:
            made.append("h")
            continue
        sign = "m" if code == Path.MOVETO else "l" if code == Path.LINETO else "c"
        made.append(f"{' '.join(_number(part) for part in at)} {sign}")
        here = (at[-2], at[-1])
    return made


def _number(value: float) -> str:
    """A number as short as a thousandth of a point asks for."""
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _colour(rgba: Any) -> str:
    return " ".join(_number(float(part)) for part in rgba[:3])


def _is_bold(prop: FontProperties) -> bool:
    return prop.get_weight() in {"bold", 700}
