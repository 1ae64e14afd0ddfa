"""One page of curves: small plots in rows and columns over one travel axis, in page pixels, y down."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from app.sketch.camera import POINT_PX, SIZES_PT, Rect
from app.sketch.grid import Words
from app.sketch.layout import Measure
from app.travel_plots.cell import Cell, Drawn, Line, Plot
from app.travel_plots.curves import Curves, at_travel
from app.units import show

_LEAST_COLUMN_PX = 184.0
_GAP_PX = 22.0


@dataclass(frozen=True, slots=True, eq=False)
class CurvePage:
    """Everything that is painted, but for the cursor and the values under it."""

    width: float
    height: float
    plots: tuple[Plot, ...]
    lines: tuple[Line, ...]
    words: tuple[Words, ...]
    curves: Curves
    letter_px: float

    def x_of(self, plot: Plot, travel_mm: float) -> float:
        """Page pixel of a place of the travel in a plot."""
        low, high = self.curves.travel_mm[[0, -1]].tolist()
        return float(plot.box.left + (travel_mm - low) / (high - low) * plot.box.width)

    def travel_at(self, x: float, y: float) -> float | None:
        """Travel under a page pixel, or None outside the plots; a little beside one is still in it."""
        low, high = self.curves.travel_mm[[0, -1]].tolist()
        for plot in self.plots:
            box = plot.box
            if box.inset(-10.0).holds(x, y):
                return float(low + min(max((x - box.left) / box.width, 0.0), 1.0) * (high - low))
        return None

    def travel_in(self, plot: Plot, x: float) -> float:
        """Travel under a page pixel's column in one plot, kept within the ends."""
        low, high = self.curves.travel_mm[[0, -1]].tolist()
        return float(low + min(max((x - plot.box.left) / plot.box.width, 0.0), 1.0) * (high - low))

    def values(self, travel_mm: float) -> tuple[Words, ...]:
        """Values at a place of the travel, with each plot's title."""
        found = []
        for plot in self.plots:
            parts = []
            for one in plot.panel.series:
                value = at_travel(self.curves, one, travel_mm)
                if value is not None:
                    parts.append(f"{one.name} {show(value, plot.panel.kind, self.curves.display)}".strip())
            if parts:
                x, baseline = plot.values_at
                found.append(Words(x, baseline, " · ".join(parts), self.letter_px, colour="accent"))
        return tuple(found)


def laid_out(
    curves: Curves,
    width: float,
    height: float,
    measure: Measure,
    *,
    words: float = 1.0,
    top: float = 0.0,
    most_columns: int = 5,
) -> CurvePage:
    """Page of curves of that size in pixels; `top` is kept free above, `words` scales the letters."""
    px = SIZES_PT["axis"] * POINT_PX * words
    fitting = max(int((width + _GAP_PX) / (_LEAST_COLUMN_PX * words + _GAP_PX)), 1)
    columns = min(fitting, most_columns, len(curves.panels))
    rows = ceil(len(curves.panels) / columns)
    columns = ceil(len(curves.panels) / rows)
    margin = 1.2 * px
    broad = (width - 2.0 * margin - (columns - 1) * _GAP_PX) / columns
    foot = 2.9 * px
    tall = (height - top - 0.4 * px - foot) / rows
    cells: list[Cell] = []
    for number, panel in enumerate(curves.panels):
        row, column = divmod(number, columns)
        left = margin + column * (broad + _GAP_PX)
        upper = top + 0.4 * px + row * tall
        below = curves.panels[number + columns :: columns]
        numbered = not any(one.series for one in below)
        cells.append(Cell(curves, panel, Rect(left, upper, left + broad, upper + tall), px, measure, numbered))
    drawn = Drawn([], [], [])
    head_rows = 1 if all(one.head_px <= broad for one in cells) else 2
    plots: list[Plot] = []
    for number, cell in enumerate(cells):
        beside = cells[number % columns :: columns]  # plots over each other have their axes over each other
        above = cells[number - columns] if number >= columns else None
        plot = cell.made(
            drawn,
            max(one.numbers_px for one in beside),
            max(one.names_px for one in beside),
            head_rows=head_rows,
            under_numbers=above is not None and above.numbered and bool(above.panel.series),
        )
        if plot is not None:
            plots.append(plot)
    return CurvePage(width, height, tuple(plots), tuple(drawn.lines), tuple(drawn.words), curves, px)
