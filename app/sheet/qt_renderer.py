"""A matplotlib renderer that draws with a QPainter: paths stay paths, so a printer gets vectors and not a picture."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any, Final

from matplotlib.backend_bases import RendererBase
from matplotlib.path import Path
from matplotlib.transforms import Affine2D, Transform
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFont, QFontDatabase, QPainter, QPainterPath, QPen

from app.lettering import FONT, font_file

if TYPE_CHECKING:
    from matplotlib.backend_bases import GraphicsContextBase
    from matplotlib.font_manager import FontProperties
    from matplotlib.text import Text

_CAPS: Final = {
    "butt": Qt.PenCapStyle.FlatCap,
    "round": Qt.PenCapStyle.RoundCap,
    "projecting": Qt.PenCapStyle.SquareCap,
}
_JOINS: Final = {
    "miter": Qt.PenJoinStyle.MiterJoin,
    "round": Qt.PenJoinStyle.RoundJoin,
    "bevel": Qt.PenJoinStyle.BevelJoin,
}
_POINTS_AN_INCH: Final = 72.0
_LARGE_PX: Final = 1000
"""Size at which letters are asked for and then scaled down: Qt rounds small sizes to whole pixels."""


class QtRenderer(RendererBase):
    """Draws a figure into a painter whose coordinates are the figure's pixels, y down.

    Words stay words in the font that the PDF file has too. Markers and collections come as paths, by the base class.
    Pictures are refused: the sheet has none.
    """

    def __init__(self, painter: QPainter, width: float, height: float, dpi: float) -> None:
        super().__init__()
        self._painter = painter
        self._width = width
        self._height = height
        self.dpi = dpi

    def get_canvas_width_height(self) -> tuple[float, float]:
        """Size of the figure in pixels."""
        return self._width, self._height

    def flipy(self) -> bool:
        """Whether y runs down: for the base class's way of placing words, it does not."""
        return False

    def points_to_pixels(self, points: Any) -> Any:
        """Points in pixels of the figure; numbers or arrays of them."""
        return points * self.dpi / _POINTS_AN_INCH

    def draw_path(
        self,
        gc: GraphicsContextBase,
        path: Path,
        transform: Transform,
        rgbFace: Any = None,  # noqa: N803
    ) -> None:
        """Fill and stroke a path."""
        painter = self._painter
        painter.save()
        self._clip(gc)
        outline = self._outline(path, transform)
        alpha = gc.get_alpha() if gc.get_forced_alpha() else None
        width = self.points_to_pixels(gc.get_linewidth())
        brush = QBrush(Qt.BrushStyle.NoBrush) if rgbFace is None else QBrush(_colour(rgbFace, alpha))
        pen = self._pen(gc, width) if width > 0.0 else QPen(Qt.PenStyle.NoPen)
        painter.setPen(pen)
        painter.setBrush(brush)
        painter.drawPath(outline)
        painter.restore()

    def draw_text(
        self,
        gc: GraphicsContextBase,
        x: float,
        y: float,
        s: str,
        prop: FontProperties,
        angle: float,
        ismath: bool | str = False,  # noqa: FBT001, FBT002
        mtext: Text | None = None,
    ) -> None:
        """Draw words on their baseline."""
        bold = prop.get_weight() == "bold"
        if ismath or not _font_is_known(bold=bold):
            super().draw_text(gc, x, y, s, prop, angle, ismath, mtext)  # type: ignore[arg-type]
            return
        painter = self._painter
        painter.save()
        self._clip(gc)
        painter.translate(x, self._height - y)
        painter.rotate(-angle)
        scale = float(self.points_to_pixels(prop.get_size_in_points())) / _LARGE_PX
        painter.scale(scale, scale)
        font = QFont(FONT)
        font.setPixelSize(_LARGE_PX)
        font.setBold(bold)
        font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
        painter.setFont(font)
        painter.setPen(_colour(gc.get_rgb(), None))
        painter.drawText(QPointF(0.0, 0.0), s)
        painter.restore()

    def _pen(self, gc: GraphicsContextBase, width: float) -> QPen:
        pen = QPen(_colour(gc.get_rgb(), None), width)
        pen.setCapStyle(_CAPS[gc.get_capstyle()])
        pen.setJoinStyle(_JOINS[gc.get_joinstyle()])
        dashed: Any = gc.get_dashes()
        offset, dashes = dashed
        if dashes is not None:
            # A pen's dashes are counted in its own widths, matplotlib's in points.
            unit = self.points_to_pixels(1.0) / width
            pen.setDashPattern([float(dash) * unit for dash in dashes])
            pen.setDashOffset(float(offset) * unit)
        return pen

    def _clip(self, gc: GraphicsContextBase) -> None:
        box = gc.get_clip_rectangle()
        if box is not None:
            top = self._height - box.y1
            self._painter.setClipRect(QRectF(box.x0, top, box.width, box.height), Qt.ClipOperation.IntersectClip)
        path, transform = gc.get_clip_path()
        if path is not None and transform is not None:
            self._painter.setClipPath(self._outline(path, transform), Qt.ClipOperation.IntersectClip)

    def _outline(self, path: Any, transform: Transform) -> QPainterPath:
        """The path in the painter's coordinates."""
        flipped = transform + Affine2D().scale(1.0, -1.0).translate(0.0, self._height)
        made = QPainterPath()
        made.setFillRule(Qt.FillRule.WindingFill)
        for points, code in path.iter_segments(flipped, simplify=False, curves=True):
            at = [QPointF(float(points[i]), float(points[i + 1])) for i in range(0, len(points) - len(points) % 2, 2)]
            if code == Path.MOVETO:
                made.moveTo(at[0])
            elif code == Path.LINETO:
                made.lineTo(at[0])
            elif code == Path.CURVE3:
                made.quadTo(at[0], at[1])
            elif code == Path.CURVE4:
                made.cubicTo(at[0], at[1], at[2])
            elif code == Path.CLOSEPOLY:
                made.closeSubpath()
        return made


def _colour(rgba: Any, alpha: float | None) -> QColor:
    """Colour of a matplotlib triple or quadruple; `alpha` goes before its own."""
    red, green, blue, *own = (min(max(float(part), 0.0), 1.0) for part in rgba)
    opacity = alpha if alpha is not None else own[0] if own else 1.0
    return QColor.fromRgbF(red, green, blue, opacity)


@cache
def _font_is_known(*, bold: bool) -> bool:
    """Whether Qt has taken the font's file, which comes with matplotlib."""
    return QFontDatabase.addApplicationFont(font_file(bold=bold)) != -1
