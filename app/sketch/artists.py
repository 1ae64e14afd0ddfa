"""Strokes as matplotlib artists: one a view and role, made once for a figure and given new paths from then on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, get_args

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from app.sketch.camera import POINT_PX, Camera
from app.sketch.palette import Theme
from app.sketch.primitives import VIEWS, Layer, Role, Stroke, View

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase
    from matplotlib.figure import FigureBase

ROLES: Final[tuple[Role, ...]] = get_args(Role)
_DASH_DOT: Final = (0.0, (11.0, 3.0, 1.8, 3.0))
_NOTHING: Final = Path(np.empty((0, 2)))


@dataclass(frozen=True, slots=True)
class Pen:
    """How a role is drawn: names of theme colours, widths in points on a page of normal words."""

    edge: str | None
    width: float = 0.0
    face: str | None = None
    face_alpha: float = 1.0
    edge_alpha: float = 1.0
    dashes: tuple[float, tuple[float, ...]] | None = None


def pens(theme: Theme) -> Mapping[Role, Pen]:
    """Pen of each role in a theme."""
    found: dict[Role, Pen] = {
        "grid": Pen("grid", 0.7),
        "axis": Pen("muted", 0.8, dashes=_DASH_DOT),
        "ground_fill": Pen(None, face="band"),
        "ground": Pen("ink", 1.4),
        "obstacle": Pen("muted", 1.0, face="muted", face_alpha=0.16, dashes=(0.0, (5.0, 2.5))),
        "ghost": Pen("muted", 0.8, edge_alpha=0.62),
        "faint": Pen("muted", 1.0),
        "middle": Pen("ink", 2.0),
        "selected": Pen("accent", 9.0, edge_alpha=0.36),
        "outline": Pen("ink", 1.35),
        "shaft": Pen("accent", 1.7, face="accent", face_alpha=theme.fill_alpha),
        "shaft_line": Pen("accent", 3.6),
        "centre": Pen("ink", 0.9, dashes=_DASH_DOT),
        "spring": Pen("ink", 3.2),
        "pivot": Pen("ink", 1.2, face="paper"),
        "joint": Pen("accent", 2.1, face="paper"),
        "joint_mark": Pen("accent", 1.2),
    }
    tones = {"clear": "accent", "caution": "caution", "hold": "hold"}
    for role in ROLES:
        kind, _, tone = role.partition("_")
        if kind == "wedge":
            found[role] = Pen(None, face=tones[tone], face_alpha=theme.wedge_alpha)
        elif kind == "arc":
            found[role] = Pen(tones[tone], 2.0)
    return found


class Strokes:
    """All strokes of one drawing as artists of two axes that share one scale.

    The axes have no ticks and no frame: the drawing's own grid serves. Only paths, limits and places change later.
    """

    def __init__(self, figure: FigureBase, theme: Theme, *, blitted: bool = False) -> None:
        self._figure = figure
        self.axes: dict[View, Axes] = {}
        self.patches: dict[tuple[View, Role, Layer], PathPatch] = {}
        self._renderer: RendererBase | None = None
        self._noted: dict[tuple[View, Role, Layer], _Note] = {}
        for view in VIEWS:
            axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), label=f"{view} view")
            axes.set_axis_off()
            axes.set_autoscale_on(False)
            self.axes[view] = axes
            layers: tuple[Layer, ...] = ("static", "moving")
            for order, role in enumerate(ROLES):
                for layer in layers:
                    patch = PathPatch(
                        _NOTHING, zorder=2.0 + order, animated=blitted, capstyle="round", joinstyle="round"
                    )
                    patch.set_visible(False)
                    axes.add_patch(patch)
                    self.patches[view, role, layer] = patch
        self.paint(theme)

    def paint(self, theme: Theme, words: float = 1.0) -> None:
        """Take a theme's colours; line widths go with the size of the words."""
        self._noted.clear()
        share = 0.35 + 0.65 * words
        for (_, role, _), patch in self.patches.items():
            pen = pens(theme)[role]
            patch.set_facecolor(_rgba(theme, pen.face, pen.face_alpha))
            patch.set_edgecolor(_rgba(theme, pen.edge, pen.edge_alpha))
            patch.set_linewidth(pen.width * share)
            patch.set_linestyle(pen.dashes if pen.dashes is not None else "solid")

    def look(self, camera: Camera, place: tuple[float, float, float, float] = (0.0, 0.0, 1.0, 1.0)) -> None:
        """Put both axes where the camera has its boxes; `place` is the page's bounds in the figure."""
        self._noted.clear()
        left, bottom, width, height = place
        for view, axes in self.axes.items():
            box = camera.box(view)
            axes.set_visible(box is not None)
            if box is None:
                continue
            axes.set_position((
                left + width * box.left / camera.width,
                bottom + height * (1.0 - box.bottom / camera.height),
                width * box.width / camera.width,
                height * box.height / camera.height,
            ))  # fmt: skip
            x0, x1, low, high = camera.limits(view)
            axes.set_xlim(x0, x1)
            axes.set_ylim(low, high)

    def show(self, strokes: Iterable[Stroke], layers: tuple[Layer, ...] = ("static", "moving")) -> None:
        """Give the artists of some layers these strokes' paths, and nothing where there are none."""
        grouped: dict[tuple[View, Role, Layer], list[Stroke]] = {}
        for stroke in strokes:
            if stroke.layer in layers:
                grouped.setdefault((stroke.view, stroke.role, stroke.layer), []).append(stroke)
        for key, patch in self.patches.items():
            if key[2] not in layers:
                continue
            group = grouped.get(key)
            patch.set_visible(group is not None)
            if group is not None:
                patch.set_path(compound_path(group))

    def draw(self, renderer: RendererBase, layer: Layer) -> None:
        """Draw one layer's artists, in their order, onto a renderer.

        What an artist works out before each drawing (pen, clip, transform) changes only with the theme and the view,
        so it is noted at the first one; from then on a drawing is the renderer's own work alone.
        """
        if self._renderer is not renderer:
            self._renderer = renderer
            self._noted.clear()
        for key, patch in self.patches.items():
            if key[2] != layer or not patch.get_visible():
                continue
            noted = self._noted.get(key)
            if noted is None:
                note = self._noted[key] = _Note(renderer)
                patch.draw(note)  # type: ignore[arg-type]  # it serves as the renderer that it stands for
            else:
                renderer.draw_path(noted.pen, patch.get_path(), noted.affine, noted.face)


class _Note:
    """Stands for a renderer while one artist is drawn, and notes with what."""

    def __init__(self, renderer: RendererBase) -> None:
        self._renderer = renderer
        self.pen: Any = None
        self.affine: Any = None
        self.face: Any = None

    def draw_path(self, pen: Any, path: Any, affine: Any, face: Any = None) -> None:
        """Draw, and note pen, transform and fill."""
        self.pen, self.affine, self.face = pen, affine, face
        self._renderer.draw_path(pen, path, affine, face)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._renderer, name)


def compound_path(strokes: Iterable[Stroke]) -> Path:
    """One path through many strokes, with a pen-up between them."""
    points, codes = [], []
    for stroke in strokes:
        count = len(stroke.points)
        code = np.full(count + stroke.closed, Path.LINETO, np.uint8)
        code[0] = Path.MOVETO
        points.append(stroke.points)
        if stroke.closed:
            points.append(stroke.points[:1])
            code[-1] = Path.CLOSEPOLY
        codes.append(code)
    return Path(np.concatenate(points), np.concatenate(codes))


def line_px(points: float) -> float:
    """Width of a line in page pixels."""
    return points * POINT_PX


def _rgba(theme: Theme, name: str | None, alpha: float) -> tuple[str, float] | str:
    return "none" if name is None else (getattr(theme, name), alpha)
