"""Lines of the curves as matplotlib artists, one a style, made once for a figure and given new paths from then on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from app.sketch.palette import Theme
from app.travel_plots.cell import STYLES, Line, Style, colour_of
from app.travel_plots.layout import CurvePage

if TYPE_CHECKING:
    from matplotlib.figure import Figure

_WIDTHS: Final[dict[Style, float]] = {
    "grid": 0.7, "axis": 0.8, "ride": 0.8, "hold": 0.9, "caution": 0.9, "quiet": 0.0,
    "curve0": 1.7, "curve1": 1.7, "curve2": 1.7, "mark": 1.3,
}  # fmt: skip
_DASHES: Final[dict[Style, tuple[float, tuple[float, ...]]]] = {
    "ride": (0.0, (11.0, 3.0, 1.8, 3.0)),
    "hold": (0.0, (7.0, 2.0)),
    "caution": (0.0, (2.0, 2.0)),
    "curve1": (0.0, (5.0, 2.2)),
    "curve2": (0.0, (1.4, 1.4)),
}
_NOTHING: Final = Path(np.empty((0, 2)))


class CurveArtists:
    """All lines of one page."""

    def __init__(self, figure: Figure, theme: Theme, *, blitted: bool = False) -> None:
        self._figure = figure
        self._transform = Affine2D()
        self.patches: dict[Style, PathPatch] = {}
        for order, style in enumerate(STYLES):
            patch = PathPatch(
                _NOTHING, facecolor="none", capstyle="butt", joinstyle="round", animated=blitted, zorder=2.0 + order
            )
            patch.set_transform(self._transform + figure.transSubfigure)
            figure.add_artist(patch)
            self.patches[style] = patch
        self.paint(theme)

    def paint(self, theme: Theme) -> None:
        """Take a theme's colours."""
        for style, patch in self.patches.items():
            name = colour_of(style)
            patch.set_edgecolor("none" if style == "quiet" else theme.grid if name == "grid" else theme.colour(name))
            patch.set_facecolor(theme.paper if style in {"mark", "quiet"} else "none")
            patch.set_linewidth(_WIDTHS[style])
            patch.set_linestyle(_DASHES.get(style, "solid"))

    def show(self, page: CurvePage) -> None:
        """Give the artists a page's paths."""
        self._transform.clear().scale(1.0 / page.width, -1.0 / page.height).translate(0.0, 1.0)
        for style, patch in self.patches.items():
            group = [line for line in page.lines if line.style == style and len(line.points) > 1]
            patch.set_visible(bool(group))
            patch.set_path(_compound(group) if group else _NOTHING)

    def draw(self, renderer: Any) -> None:
        """Draw all lines onto a renderer."""
        for patch in self.patches.values():
            if patch.get_visible():
                patch.draw(renderer)


def _compound(lines: list[Line]) -> Path:
    points, codes = [], []
    for line in lines:
        code = np.full(len(line.points) + line.closed, Path.LINETO, np.uint8)
        code[0] = Path.MOVETO
        points.append(line.points)
        if line.closed:
            points.append(line.points[:1])
            code[-1] = Path.CLOSEPOLY
        codes.append(code)
    return Path(np.concatenate(points), np.concatenate(codes))
