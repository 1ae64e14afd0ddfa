"""The strokes of the drawing as an image: empty page, what seldom changes, what moves, each over the last."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PySide6.QtGui import QImage

from app.sketch.artists import Strokes

if TYPE_CHECKING:
    from app.sketch.camera import Camera
    from app.sketch.grid import Grid
    from app.sketch.palette import Theme
    from app.sketch.primitives import Scene, Stroke

_INCH_PX = 96.0


class Stage:
    """matplotlib's figure and artists, made once; its image is what the screen shows under the words."""

    def __init__(self, theme: Theme) -> None:
        self.figure = Figure(dpi=_INCH_PX)
        self.strokes = Strokes(self.figure, theme, blitted=True)
        self.image = QImage()
        self._agg: Any = FigureCanvasAgg(self.figure)  # matplotlib types few of its canvas methods
        self._empty: Any = None
        self._still: Any = None
        self._still_strokes: tuple[Stroke, ...] = ()

    def draw_page(self, camera: Camera, grid: Grid, theme: Theme, ratio: float) -> None:
        """Draw the empty page; `ratio` is how many device pixels a page pixel has."""
        self.figure.set_dpi(_INCH_PX * ratio)
        self.figure.set_size_inches(camera.width / _INCH_PX, camera.height / _INCH_PX)
        self.figure.set_facecolor(theme.paper)
        self.strokes.paint(theme)
        self.strokes.look(camera)
        self.strokes.show(grid.strokes, ("static",))
        self._agg.draw()
        self.strokes.draw(self._agg.get_renderer(), "static")
        self._empty = self._agg.copy_from_bbox(self.figure.bbox)
        self._still = None
        # The image shares the renderer's memory, so what is drawn there later is in it.
        buffer = self._agg.buffer_rgba()
        tall, broad = buffer.shape[:2]
        self.image = QImage(buffer, broad, tall, 4 * broad, QImage.Format.Format_RGBX8888)
        self.image.setDevicePixelRatio(ratio)

    def draw_scene(self, scene: Scene) -> None:
        """Draw a scene over the empty page; what seldom changes is drawn only when it did."""
        renderer = self._agg.get_renderer()
        still = tuple(one for one in scene.strokes if one.layer == "static")
        if self._still is None or not _same(still, self._still_strokes):
            self._agg.restore_region(self._empty)
            self.strokes.show(still, ("static",))
            self.strokes.draw(renderer, "static")
            self._still = self._agg.copy_from_bbox(self.figure.bbox)
            self._still_strokes = still
        else:
            self._agg.restore_region(self._still)
        self.strokes.show(scene.strokes, ("moving",))
        self.strokes.draw(renderer, "moving")


def _same(one: tuple[Stroke, ...], other: tuple[Stroke, ...]) -> bool:
    """Whether two lists of strokes look the same."""
    if len(one) != len(other):
        return False
    return all(
        a.key == b.key and a.role == b.role and a.points.shape == b.points.shape and bool((a.points == b.points).all())
        for a, b in zip(one, other, strict=True)
    )
