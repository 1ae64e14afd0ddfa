"""Strokes as matplotlib artists: one a view and role, made once for a figure and given new paths from then on."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, Final, get_args

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from numpy.typing import NDArray

from app.sketch.camera import POINT_PX, Camera
from app.sketch.palette import Theme
from app.sketch.primitives import VIEWS, Floats, Layer, Role, Stroke, View

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase
    from matplotlib.figure import FigureBase
    from matplotlib.transforms import Bbox

Key = tuple[View, Role, Layer]
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
        self.patches: dict[Key, PathPatch] = {}
        self._renderer: RendererBase | None = None
        self._noted: dict[Key, _Note] = {}
        self._shown: dict[Key, list[Stroke]] = {}
        self._anew: set[Key] = set()
        self._bounds: dict[Key, tuple[float, float, float, float]] = {}
        layers: tuple[Layer, ...] = ("static", "moving")
        for view in VIEWS:
            axes = figure.add_axes((0.0, 0.0, 1.0, 1.0), label=f"{view} view")
            axes.set_axis_off()
            axes.set_autoscale_on(False)
            self.axes[view] = axes
            for order, role in enumerate(ROLES):
                for layer in layers:
                    patch = PathPatch(
                        _NOTHING, zorder=2.0 + order, animated=blitted, capstyle="round", joinstyle="round"
                    )
                    patch.set_visible(False)
                    axes.add_patch(patch)
                    self.patches[view, role, layer] = patch
        self._of_layer = {
            layer: {key: patch for key, patch in self.patches.items() if key[2] == layer} for layer in layers
        }
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

    def show(
        self, strokes: Iterable[Stroke], layers: tuple[Layer, ...] = ("static", "moving")
    ) -> dict[View, list[Floats]]:
        """Give the artists of some layers these strokes' paths, and nothing where there are none.

        Returns the points of what is another than before, as it was and as it is, by the view that it lies in.
        """
        grouped: dict[Key, list[Stroke]] = {}
        for stroke in strokes:
            if stroke.layer in layers:
                grouped.setdefault((stroke.view, stroke.role, stroke.layer), []).append(stroke)
        changed: dict[View, list[Floats]] = {}
        self._anew = set()
        for key, patch in ((key, patch) for layer in layers for key, patch in self._of_layer[layer].items()):
            group, before = grouped.get(key, []), self._shown.get(key, [])
            if not group and not before:
                continue
            others = _others(before, group)
            self._shown[key] = group
            if not others:
                continue
            self._anew.add(key)
            self._bounds.pop(key, None)
            changed.setdefault(key[0], []).extend(others)
            patch.set_visible(bool(group))
            if group:
                patch.set_path(compound_path(group))
        return changed

    def draw(
        self,
        renderer: RendererBase,
        layer: Layer,
        within: Mapping[View, Window] | None = None,
        *,
        only: Container[Role] = ROLES,
        but: Container[Role] = (),
    ) -> None:
        """Draw one layer's artists, in their order, onto a renderer; through a window in each view where any are given.

        What an artist works out before each drawing (pen, clip, transform) changes only with the theme and the view,
        so it is noted at the first one; from then on a drawing is the renderer's own work alone.
        """
        if self._renderer is not renderer:
            self._renderer = renderer
            self._noted.clear()
        for key, patch in self._of_layer[layer].items():
            if not self._shown.get(key) or key[1] not in only or key[1] in but:
                continue
            window = None if within is None else within.get(key[0])
            if within is not None and (window is None or not self._seen_through(window, key)):
                continue
            noted = self._noted.get(key)
            if noted is None:
                noted = self._noted[key] = _Note(renderer)
                patch.draw(noted)  # type: ignore[arg-type]  # it serves as the renderer that it stands for
            noted.pen.set_clip_rectangle(noted.clip if window is None else window.clip)
            renderer.draw_path(noted.pen, patch.get_path(), noted.affine, noted.face)

    def _seen_through(self, window: Window, key: Key) -> bool:
        if key in self._anew:
            return True
        bounds = self._bounds.get(key)
        if bounds is None:
            points = np.asarray(self.patches[key].get_path().vertices)
            bounds = self._bounds[key] = (*points.min(axis=0).tolist(), *points.max(axis=0).tolist())
        left, low, right, high = window.shown
        return bounds[0] <= right and bounds[2] >= left and bounds[1] <= high and bounds[3] >= low


@dataclass(frozen=True, slots=True)
class Window:
    """Part of a view that is drawn anew: in the renderer's pixels, and what may be seen in it, mm: from and to."""

    clip: Bbox
    shown: tuple[float, float, float, float]


class _Note:
    """Stands for a renderer while one artist would be drawn, and notes with what."""

    def __init__(self, renderer: RendererBase) -> None:
        self._renderer = renderer
        self.pen: Any = None
        self.affine: Any = None
        self.face: Any = None
        self.clip: Any = None

    def draw_path(self, pen: Any, path: Any, affine: Any, face: Any = None) -> None:
        """Note pen, transform and fill."""
        del path
        self.pen, self.affine, self.face, self.clip = pen, affine, face, pen.get_clip_rectangle()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._renderer, name)


def _others(before: list[Stroke], now: list[Stroke]) -> list[Floats]:
    """Points of all strokes that are others than before, old and new; the same points are the same array."""
    found = []
    for one, other in zip_longest(before, now):
        if one is not None and other is not None and one.points is other.points and one.closed == other.closed:
            continue
        found += [stroke.points for stroke in (one, other) if stroke is not None]
    return found


def compound_path(strokes: Iterable[Stroke]) -> Path:
    """One path through many strokes, with a pen-up between them."""
    points, shapes = [], []
    for stroke in strokes:
        points.append(stroke.points)
        if stroke.closed:
            points.append(stroke.points[:1])
        shapes.append((len(stroke.points), stroke.closed))
    return Path(np.concatenate(points), _codes(tuple(shapes)))


@lru_cache(maxsize=512)
def _codes(shapes: tuple[tuple[int, bool], ...]) -> NDArray[np.uint8]:
    """Pen's moves for strokes of so many points each, open or closed."""
    codes = []
    for count, closed in shapes:
        code = np.full(count + closed, Path.LINETO, np.uint8)
        code[0] = Path.MOVETO
        if closed:
            code[-1] = Path.CLOSEPOLY
        codes.append(code)
    made = np.concatenate(codes)
    made.setflags(write=False)
    return made


def line_px(points: float) -> float:
    """Width of a line in page pixels."""
    return points * POINT_PX


def _rgba(theme: Theme, name: str | None, alpha: float) -> tuple[str, float] | str:
    return "none" if name is None else (getattr(theme, name), alpha)
