"""One small plot: title, values, axes, limits with their words, curves, and the worst point, in page pixels, y down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from app.sketch.camera import Rect
from app.sketch.grid import Words, nice_step, ticks
from app.sketch.layout import Measure
from app.sketch.primitives import Colour
from app.travel_plots.curves import Curves, Floats, LimitLine, Panel, worst_of
from app.units import MINUS, scale, show

Style = Literal["grid", "axis", "ride", "hold", "caution", "quiet", "curve0", "curve1", "curve2", "mark"]
STYLES: tuple[Style, ...] = get_args(Style)
"""How a line looks; also the order in which they lie over each other. A quiet one clears the paper for words."""
CURVES: tuple[Style, ...] = ("curve0", "curve1", "curve2")
_REACH = 2.2  # a limit so many times as far as the curves goes into the plot; a farther one is told in words
_MARK_PX = 3.2
_CROSSED_SHARE = 0.3  # of a limit's words; more of them under a curve, and the words go


@dataclass(frozen=True, slots=True, eq=False)
class Line:
    """A line in page pixels, (n, 2)."""

    points: Floats
    style: Style
    closed: bool = False


@dataclass(frozen=True, slots=True, eq=False)
class Plot:
    """One panel's place: its box, where its values' words go, and the panel."""

    panel: Panel
    box: Rect
    values_at: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Drawn:
    """What the plots of a page have put on it so far."""

    lines: list[Line]
    words: list[Words]
    quiet: list[Rect]
    """Boxes of words that stand among the lines."""

    def add_among_lines(self, words: Words, width: float) -> None:
        """Add words that may stand on a line."""
        left = words.x - (width if words.align == "right" else 0.0)
        px = words.size_px
        self.words.append(words)
        box = Rect(left - 0.15 * px, words.baseline - 0.8 * px, left + width + 0.15 * px, words.baseline + 0.2 * px)
        self.quiet.append(box)
        corners = [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]
        self.lines.append(Line(np.array(corners), "quiet", closed=True))


class Cell:
    """One panel in its part of the page: title, values, plot with its numbers and words."""

    def __init__(
        self,
        curves: Curves,
        panel: Panel,
        cell: Rect,
        px: float,
        measure: Measure,
        numbered: bool,  # noqa: FBT001
    ) -> None:
        self.curves, self.panel, self.px, self.measure = curves, panel, px, measure
        self.numbered = numbered
        self.cell = self.box = cell
        self.factor = scale(panel.kind, curves.display)
        self.shown = _shown_limits(panel)
        self.low, self.high, self.marks = 0.0, 1.0, [0.0]
        self.numbers_px = self.names_px = 0.0
        if panel.series:
            self.low, self.high = self._range()
            step = nice_step((self.high - self.low) * self.factor / 3.2)
            self.marks = ticks(self.low * self.factor, self.high * self.factor, step)
            self.numbers_px = max(measure(_number(one), px, bold=False) for one in self.marks) + 0.7 * px
            self.names_px = max(measure(one.name, px, bold=False) for one in panel.series) + 0.6 * px
        widest = " · ".join(f"{one.name} {show(self.high, panel.kind, curves.display)}".strip() for one in panel.series)
        self.title_px = measure(panel.title, px, bold=True) + 0.8 * px
        self.head_px = self.title_px + measure(widest, px, bold=False)

    def made(
        self, drawn: Drawn, numbers_px: float, names_px: float, *, head_rows: int, under_numbers: bool
    ) -> Plot | None:
        """Add lines and words to the page; the plot's place, or None where there is nothing to plot.

        One `under_numbers` has the travel axis of the plot above over its head.
        """
        px, cell = self.px, self.cell
        if not self.panel.series and under_numbers:
            cell = Rect(cell.left, cell.top + 2.4 * px, cell.right, cell.bottom)
        lines, texts = drawn.lines, drawn.words
        texts.append(Words(cell.left, cell.top + 1.15 * px, self.panel.title, px, bold=True, colour="ink"))
        if not self.panel.series:
            rows = wrapped(self.panel.wants, cell.width, lambda text: self.measure(text, px, bold=False))
            most = max(int((cell.height - 2.2 * px) / (1.4 * px)), 1)
            for i, row in enumerate(rows[:most]):
                text = row if i < most - 1 or len(rows) <= most else f"{row} …"
                texts.append(Words(cell.left, cell.top + (2.7 + 1.4 * i) * px, text, px))
            return None
        box = self.box = Rect(
            cell.left + numbers_px,
            cell.top + (1.8 + 1.3 * (head_rows - 1)) * px,
            cell.right - names_px,
            cell.bottom - 1.3 * px,
        )
        for one in self.marks:
            y = self.y_of(one / self.factor)
            lines.append(_line([(box.left, y), (box.right, y)], "axis" if one == 0.0 else "grid"))
            texts.append(Words(box.left - 0.5 * px, y + 0.36 * px, _number(one), px, align="right"))
        values_at = (
            (cell.left, cell.top + 2.45 * px) if head_rows > 1 else (cell.left + self.title_px, cell.top + 1.15 * px)
        )
        plot = Plot(self.panel, box, values_at)
        if self.low < 0.0:
            lines.append(_line([(box.left, box.bottom), (box.right, box.bottom)], "grid"))
        self._travel_axis(lines, texts)
        self._limits(drawn)
        self._series(drawn)
        return plot

    def y_of(self, value: float) -> float:
        """Page pixel of a value."""
        return self.box.bottom - (value - self.low) / (self.high - self.low) * self.box.height

    def x_of(self, travel_mm: float) -> float:
        """Page pixel of a place of the travel."""
        low, high = self.curves.travel_mm[[0, -1]].tolist()
        return float(self.box.left + (travel_mm - low) / (high - low) * self.box.width)

    def _range(self) -> tuple[float, float]:
        """Values from nought, or below, to a little over curves and near limits."""
        values = np.concatenate([one.values for one in self.panel.series])
        most = max([float(np.nanmax(values)), *(one.value for one in self.shown)])
        least = min(float(np.nanmin(values)), 0.0)
        span = max(most - least, 1e-3 / self.factor)
        return (least - 0.1 * span if least < 0.0 else 0.0), least + 1.14 * span

    def _travel_axis(self, lines: list[Line], texts: list[Words]) -> None:
        box, px, curves = self.box, self.px, self.curves
        ride = self.x_of(0.0)
        lines.append(_line([(ride, box.top), (ride, box.bottom)], "ride"))
        if not self.numbered:
            return
        baseline = box.bottom + 1.45 * px
        low, high = curves.travel_mm[[0, -1]].tolist()
        unit = scale("mm", curves.display)
        step = nice_step((high - low) * unit / max(box.width / (3.4 * px), 2.0))
        for one in ticks(low * unit, high * unit, step):
            x = self.x_of(one / unit)
            text = _number(one)
            half = 0.5 * self.measure(text, px, bold=False)
            x_text = min(max(x, box.left + half - 0.3 * px), box.right - half + 0.3 * px)
            texts.append(Words(x_text, baseline, text, px, align="centre"))
            lines.append(_line([(x, box.bottom), (x, box.bottom + 3.0)], "axis"))
        sign = "in" if curves.display.length == "inch" else "mm"
        texts.append(Words(box.left, baseline + 1.3 * px, "droop", px))
        texts.append(Words(box.right, baseline + 1.3 * px, f"bump, {sign}", px, align="right"))

    def _limits(self, drawn: Drawn) -> None:
        """Limits in reach as thin lines with their word, the farther ones as one row of words at the top."""
        box, px = self.box, self.px
        for one in sorted(self.shown, key=lambda limit: limit.verdict != "hold"):
            y = self.y_of(one.value)
            if not box.top - 1.0 <= y <= box.bottom + 1.0:
                continue
            drawn.lines.append(_line([(box.left, y), (box.right, y)], one.verdict))
            text = f"{one.word} {_value(one.value, self.panel, self.curves)}"
            width = self.measure(text, px, bold=False)
            place = self._beside_line(y, width, drawn, firm=one.verdict == "hold")
            if place is not None:
                drawn.add_among_lines(Words(*place, text, px, colour=one.verdict), width)
        far = [one for one in self.panel.limits if one not in self.shown and one.verdict == "hold"]
        if far:
            told = ", ".join(f"{one.word} {_value(one.value, self.panel, self.curves)}" for one in far)
            text = f"{told} lies above"
            if self.measure(text, px, bold=False) > box.width:
                text = f"hold from {_value(min(one.value for one in far), self.panel, self.curves)}, above"
            words = Words(box.right - 0.3 * px, box.top + 0.9 * px, text, px, align="right")
            drawn.add_among_lines(words, self.measure(text, px, bold=False))

    def _beside_line(self, y: float, width: float, drawn: Drawn, *, firm: bool) -> tuple[float, float] | None:
        """Left end and base line of a limit's words: over or under an end of its line, where curves leave them free.

        None where other words stand, or, unless they are `firm`, where a curve would run through them.
        """
        px = self.px
        best: tuple[float, float, float] | None = None
        for baseline, less in ((y - 0.28 * px, 0.0), (y + 0.98 * px, 0.2)):
            for left in (self.box.left + 0.4 * px, self.box.right - 0.3 * px - width):
                box = Rect(left, baseline - 0.8 * px, left + width, baseline + 0.1 * px)
                if any(_overlap(box, other) for other in drawn.quiet) or box.bottom > self.box.bottom + 0.1 * px:
                    continue
                covered = self._covered(box)
                if covered <= _CROSSED_SHARE or firm:
                    cost = covered + less
                    best = (cost, left, baseline) if best is None or cost < best[0] else best
        return None if best is None else best[1:]

    def _series(self, drawn: Drawn) -> None:
        box, px = self.box, self.px
        xs = np.array([self.x_of(one) for one in self.curves.travel_mm.tolist()])
        ends: list[tuple[float, str]] = []
        for number, one in enumerate(self.panel.series):
            known = np.isfinite(one.values)
            ys = box.bottom - (one.values - self.low) / (self.high - self.low) * box.height
            points = np.column_stack((xs, ys))[known]
            drawn.lines.append(Line(points, CURVES[number % len(CURVES)]))
            if one.name:
                ends.append((float(points[-1, 1]), one.name))
        for y, name in _apart(ends, 1.15 * px, box):
            drawn.words.append(Words(box.right + 0.5 * px, y + 0.36 * px, name, px, colour="accent"))
        worst = [
            (series, place, value)
            for series in self.panel.series
            if (found := worst_of(self.curves, series)) is not None
            for place, value in (found,)
        ]
        pick = max(worst, key=lambda one: one[2] if one[0].worst == "most" else -one[2])
        self._mark(drawn, pick[1], pick[2])

    def _mark(self, drawn: Drawn, place: float, value: float) -> None:
        """Ring round the worst point, and its value where there is room beside it."""
        x, y, px = self.x_of(place), self.y_of(value), self.px
        turn = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
        ring = np.column_stack((x + _MARK_PX * np.cos(turn), y + _MARK_PX * np.sin(turn)))
        drawn.lines.append(Line(ring, "mark", closed=True))
        text = f"worst {show(value, self.panel.kind, self.curves.display)}"
        wide = self.measure(text, px, bold=False)
        best: tuple[float, float, float] | None = None
        for baseline in (y + down * px for down in (-0.7, 1.4, -1.9, 2.6, 0.35, -3.2, 3.9)):
            for left in (x - 0.5 * wide, x - wide - 0.7 * px, x + 0.7 * px, x - 1.5 * wide, x + 0.5 * wide):
                start = min(max(left, self.box.left + 0.3 * px), self.box.right - wide - 0.2 * px)
                box = Rect(start, baseline - 0.8 * px, start + wide, baseline + 0.2 * px)
                if box.top < self.box.top - 0.4 * px or box.bottom > self.box.bottom:
                    continue
                away = (abs(start + 0.5 * wide - x) - 0.5 * wide, abs(baseline - 0.3 * px - y))
                cost = self._crowded(box, drawn) + 0.02 * (max(away[0], 0.0) + away[1])
                if best is None or cost < best[0]:
                    best = (cost, start, baseline)
        if best is not None:
            drawn.add_among_lines(Words(best[1], best[2], text, px, colour="ink"), wide)

    def _crowded(self, box: Rect, drawn: Drawn) -> float:
        """How badly words would stand in a box: over curves, limits, other words, the worst point's ring."""
        limits = [self.y_of(one.value) for one in self.shown]
        cost = 6.0 * self._covered(box) + 3.0 * sum(box.top < limit < box.bottom for limit in limits)
        others = [one for one in drawn.quiet if _overlap(one, box)]
        ring, box = next(one.points for one in reversed(drawn.lines) if one.style == "mark"), box.inset(-0.3 * self.px)
        return cost + 6.0 * len(others) + 4.0 * any(box.holds(x, y) for x, y in ring.tolist())

    def _covered(self, box: Rect) -> float:
        """How much of the curves lies in a box, as the share of its width."""
        xs = np.array([self.x_of(one) for one in self.curves.travel_mm.tolist()])
        inside = (xs >= box.left) & (xs <= box.right)
        hits = 0.0
        for one in self.panel.series:
            ys = self.box.bottom - (one.values - self.low) / (self.high - self.low) * self.box.height
            hits += float((inside & (ys >= box.top - 1.0) & (ys <= box.bottom + 1.0)).sum())
        return hits / max(float(inside.sum()), 1.0)


def _shown_limits(panel: Panel) -> tuple[LimitLine, ...]:
    """Limits that lie in the plot without pressing the curves flat; hold and caution go together."""
    if not panel.series:
        return ()
    most = max(float(np.nanmax(np.abs(one.values))) for one in panel.series)
    pairs = [panel.limits[i : i + 2] for i in range(0, len(panel.limits), 2)]
    return tuple(one for pair in pairs if max(each.value for each in pair) <= _REACH * most for one in pair)


def _value(value: float, panel: Panel, curves: Curves) -> str:
    """A limit's number without its unit, but for degrees."""
    text = show(value, panel.kind, curves.display)
    return text if text.endswith("°") else text.rsplit(" ", 1)[0]


def _overlap(one: Rect, other: Rect) -> bool:
    return one.left < other.right and one.right > other.left and one.top < other.bottom and one.bottom > other.top


def _apart(ends: list[tuple[float, str]], least: float, box: Rect) -> list[tuple[float, str]]:
    """Names at the ends of their curves, moved so that none lies on another."""
    placed: list[tuple[float, str]] = []
    for y, name in sorted(ends):
        placed.append((max(y, placed[-1][0] + least) if placed else y, name))
    over = placed[-1][0] - (box.bottom + 0.4 * least) if placed else 0.0
    return [(y - max(over, 0.0), name) for y, name in placed]


def _line(points: list[tuple[float, float]], style: Style) -> Line:
    return Line(np.array(points), style)


def _number(value: float) -> str:
    text = f"{abs(value):,.0f}" if abs(value) >= 10 or value == round(value) else f"{abs(value):g}"
    return f"{MINUS}{text}" if value < 0 else text


def wrapped(text: str, width: float, measure: Callable[[str], float]) -> list[str]:
    """Words in rows of a width."""
    rows: list[str] = []
    for word in text.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and measure(longer) <= width:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def colour_of(style: Style) -> Colour | Literal["grid"]:
    """Theme colour of a line."""
    if style in {"hold", "caution"}:
        return style
    if style == "grid":
        return "grid"
    return "muted" if style in {"axis", "ride"} else "ink" if style == "mark" else "accent"
