"""The curves as small panels side by side: name, value at the slider, the worst of the travel and its place, lines."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from app.curves.curves import Curves, LimitLine, Panel, Series, at_travel, worst_of
from app.drawing.board import Board
from app.drawing.fonts import shortened, width, wrapped
from app.drawing.items import Box, Page, Stroke
from app.drawing.palette import Theme, mixed
from app.drawing.places import boxed
from app.drawing.wording import at_words
from app.units import show
from geometry.words.solution import Verdict

NAME_PT, VALUE_PT, SMALL_PT = 9.0, 10.0, 9.0
_GAP: Final = 18.0
_SIDE: Final = 12.0
_HEAD: Final = 49.0
_ROW: Final = 14.0
_UNLOADED: Final = "without torque"
_AT_RIDE: Final = (" · judged at ride height", " · judged at ride", "")
_NEAR: Final = 0.11
"""How far to either side of ride height lines and tints go that count there alone, of the panel's width."""
_DASHES: Final[tuple[tuple[float, ...], ...]] = ((), (7.0, 3.0), (2.0, 2.5))
"""How the curves of several joints differ, front to rear."""
_REACH: Final = 2.2
"""A line so many times as far off as the curves go lies in the panel; a farther one is left to the findings."""


@dataclass(frozen=True)
class Plot:
    """One panel's place; `low` and `high` are the values at its lower and upper edge, `lines` the limits between."""

    panel: Panel
    box: Box
    low: float
    high: float
    lines: tuple[LimitLine, ...] = ()


@dataclass(frozen=True)
class Panels(Page):
    """The panels on a page, as items; the slider's place is drawn over them."""

    plots: tuple[Plot, ...]
    curves: Curves
    words: tuple[tuple[Box, str], ...]

    def x_of(self, plot: Plot, travel_mm: float) -> float:
        """Page x of a place of the travel."""
        low, high = float(self.curves.travel_mm[0]), float(self.curves.travel_mm[-1])
        return plot.box[0] + (travel_mm - low) / (high - low) * (plot.box[2] - plot.box[0])

    def travel_in(self, plot: Plot, x: float) -> float:
        """The place of the travel at a page x, within its ends."""
        low, high = float(self.curves.travel_mm[0]), float(self.curves.travel_mm[-1])
        share = (x - plot.box[0]) / max(plot.box[2] - plot.box[0], 1.0)
        return low + min(max(share, 0.0), 1.0) * (high - low)


def backdrop(curves: Curves, size: tuple[float, float], theme: Theme) -> Panels:
    """What stands still on a page of `size` while the slider moves: names, curves, lines and tints."""
    board = Board(theme)
    count = len(curves.panels)
    wide = (size[0] - 2.0 * _SIDE - _GAP * (count - 1)) / count
    plots = []
    for place, panel in enumerate(curves.panels):
        left = _SIDE + place * (wide + _GAP)
        plots.append(_plot(panel, (left, 4.0 + _HEAD, left + wide, size[1] - 6.0)))
        _Painter(board, curves, plots[-1]).stand()
    board.finish()
    return Panels(size[0], size[1], theme, tuple(board.layers), tuple(plots), curves, tuple(board.words))


def panels(
    curves: Curves, size: tuple[float, float], theme: Theme, travel_mm: float, *, loaded: bool = False,
    behind: Panels | None = None,
) -> Panels:  # fmt: skip
    """Draw the panels on a page of `size`, with the slider at a place of the travel.

    The curves are those without torque; where the drawing beside them shows the axle `loaded`, each says so under its
    value. What lies `behind` the slider may have been drawn before.
    """
    behind = behind or backdrop(curves, size, theme)
    board = Board(theme)
    for plot in behind.plots:
        _Painter(board, curves, plot).move(travel_mm, loaded=loaded)
    board.finish()
    return replace(behind, layers=(*behind.layers, *board.layers), words=(*behind.words, *board.words))


def _plot(panel: Panel, box: Box) -> Plot:
    """A panel's place, with room for its curves and for the lines that lie near."""
    values = [float(one) for series in panel.series for one in series.values if one == one]  # noqa: PLR0124
    most = max(max(map(abs, values), default=1.0), 1e-9)
    lines = tuple(one for one in panel.limits if abs(one.value) <= _REACH * most)
    reach = [*values, *(one.value for one in lines)]
    low, high = min(reach, default=0.0), max(reach, default=1.0)
    room = 0.10 * (high - low) or 0.5 * max(abs(high), 1.0)
    return Plot(panel, box, low - room, high + room, lines)


class _Painter:
    """One panel in the making."""

    def __init__(self, board: Board, curves: Curves, plot: Plot) -> None:
        self.board, self.curves, self.panel, self.box = board, curves, plot.panel, plot.box
        self.low, self.high, self.lines = plot.low, plot.high, plot.lines
        self.top = self.box[1] - _HEAD
        """Page y at which the panel's own words begin."""

    def stand(self) -> None:
        """Draw what the slider leaves alone."""
        left, _, right, _ = self.box
        title = shortened(self.panel.title, NAME_PT, right - left)
        end = self.board.write(left, self.top + 12.0, title, NAME_PT, self.board.theme.ink)
        if self.panel.at_ride and self.panel.series:
            more = next(one for one in _AT_RIDE if not one or end + width(one, SMALL_PT) <= right)
            if more:
                self.board.write(end, self.top + 12.0, more, SMALL_PT, self.board.theme.muted)
        if not self.panel.series:
            self._wanted()
            return
        self._tints()
        self._frame()
        for place, series in enumerate(self.panel.series):
            self._curve(series, _DASHES[min(place, 2)])
        self._lines()

    def move(self, travel_mm: float, *, loaded: bool) -> None:
        """Draw the slider's place and what is said of it."""
        if not self.panel.series:
            return
        board, theme, (left, top, right, bottom) = self.board, self.board.theme, self.box
        self._values(left, right, travel_mm, loaded=loaded)
        x = self._x(travel_mm)
        board.line(((x, top), (x, bottom)), theme.ink, 1.0, z=6.0)
        for series in self.panel.series:
            value = at_travel(self.curves, series, travel_mm)
            if value is not None:
                board.disc((x, self._y(value)), 3.4, theme.paper, Stroke(theme.ink, 1.3), z=7.0)

    def _x(self, travel_mm: float) -> float:
        low, high = float(self.curves.travel_mm[0]), float(self.curves.travel_mm[-1])
        return self.box[0] + (travel_mm - low) / (high - low) * (self.box[2] - self.box[0])

    def _y(self, value: float) -> float:
        y = self.box[3] - (value - self.low) / (self.high - self.low) * (self.box[3] - self.box[1])
        return min(max(y, self.box[1]), self.box[3])

    def _counts(self) -> tuple[float, float]:
        """Between which page x the panel's lines count."""
        left, _, right, _ = self.box
        if not self.panel.at_ride:
            return left, right
        ride, near = self._x(0.0), _NEAR * (right - left)
        return max(left, ride - near), min(right, ride + near)

    def _frame(self) -> None:
        left, _, right, bottom = self.box
        self.board.line(((left, bottom), (right, bottom)), self.board.theme.muted, 1.0, z=3.0)

    def _curve(self, series: Series, dash: tuple[float, ...]) -> None:
        """The known stretches of a curve."""
        stretch: list[tuple[float, float]] = []
        for travel, value in zip(self.curves.travel_mm.tolist(), series.values.tolist(), strict=True):
            if value == value:  # noqa: PLR0124  (nan is no place)
                stretch.append((self._x(travel), self._y(value)))
                continue
            self._stretch(stretch, dash)
            stretch = []
        self._stretch(stretch, dash)

    def _stretch(self, points: list[tuple[float, float]], dash: tuple[float, ...]) -> None:
        if len(points) > 1:
            self.board.line(points, self.board.theme.accent, 1.8, z=5.0, dash=dash)

    def _tints(self) -> None:
        """Beyond its clear line a panel is tinted, more so beyond the one that holds."""
        theme, (_, top, _, bottom), (left, right) = self.board.theme, self.box, self._counts()
        bad_high = self.panel.series[0].worst == "most"
        for verdict, share in (("caution", 0.10), ("hold", 0.13)):
            found = [one.value for one in self.lines if one.verdict == verdict]
            if not found:
                continue
            edge = self._y(min(found) if bad_high else max(found))
            end = self._end_of_caution(bad_high=bad_high) if verdict == "caution" else (top if bad_high else bottom)
            upper, lower = sorted((edge, end))
            if lower - upper > 0.5:
                fill = mixed(theme.colour(verdict), theme.paper, share)  # type: ignore[arg-type]
                self.board.shape(boxed(left, upper, right, lower), fill, z=1.0)

    def _end_of_caution(self, *, bad_high: bool) -> float:
        holds = [one.value for one in self.lines if one.verdict == "hold"]
        if not holds:
            return self.box[1] if bad_high else self.box[3]
        return self._y(min(holds) if bad_high else max(holds))

    def _lines(self) -> None:
        left, right = self._counts()
        for one in self.lines:
            y, dash = self._y(one.value), () if one.verdict == "hold" else (5.0, 3.0)
            self.board.line(((left, y), (right, y)), self.board.theme.colour(one.verdict), 1.0, z=4.0, dash=dash)

    def _verdict(self, values: list[float], travel_mm: float) -> Verdict | None:
        """Worst side of its lines on which any value lies at a place, but no worse than its finding; else None.

        Joints of unlike reach have lines of their own, and no mark.
        """
        bad_high = self.panel.series[0].worst == "most"
        first, last = self._counts()
        if not first <= self._x(travel_mm) <= last:
            return None

        def beyond(line: LimitLine) -> bool:
            return any(one > line.value if bad_high else one < line.value for one in values)

        if sum(one.verdict == "hold" for one in self.panel.limits) > 1:  # each joint has lines of its own
            return None
        held = [one for one in self.panel.limits if beyond(one)]
        if not held or self.panel.judged == "clear":
            return None
        return "hold" if self.panel.judged == "hold" and any(one.verdict == "hold" for one in held) else "caution"

    def _values(self, left: float, right: float, travel_mm: float, *, loaded: bool) -> None:
        """The value at the slider; under it the worst over the travel with its place, where that is worse."""
        board, theme, base = self.board, self.board.theme, self.top + 28.0
        kind, display = self.panel.kind, self.curves.display
        here = [at_travel(self.curves, one, travel_mm) for one in self.panel.series]
        known = [one for one in here if one is not None]
        text = " / ".join("–" if one is None else show(one, kind, display) for one in here)
        verdict = self._verdict(known, travel_mm)
        start = left + (14.0 if verdict else 0.0)
        if verdict:
            board.mark(left + 5.0, base - 4.0, 4.6, verdict)
        board.write(start, base, shortened(text, VALUE_PT, right - start, bold=True), VALUE_PT, theme.ink, bold=True)
        most = self.panel.series[0].worst == "most"
        ends = [one for one in (worst_of(self.curves, series) for series in self.panel.series) if one is not None]
        place, worst = (max if most else min)(ends, key=lambda one: one[1]) if ends else (0.0, 0.0)
        said: list[str] = []
        if ends and not (known and abs(worst - (max(known) if most else min(known))) < 1e-9):
            value, at = show(worst, kind, display), self._at(place)
            bare = value.rsplit(" ", 1)[0]  # its unit stands above it
            way = "up to" if most else "down to"
            said = [f"{way} {value} {at}", f"{way} {bare} {at}", f"{bare} {at}", f"{way} {bare}"]
        judged = self._verdict([worst], place) if said else None
        inset = 14.0 if judged else 0.0
        if loaded:
            said = [f"{_UNLOADED}, {one}" for one in said]
        words = next((one for one in said if width(one, SMALL_PT) <= right - left - inset), "")
        if judged and words:
            board.mark(left + 5.0, base + 9.4, 4.2, judged)
        if words or loaded:
            board.write(left + inset * bool(words), base + 13.0, words or _UNLOADED, SMALL_PT, theme.muted)

    def _at(self, travel_mm: float) -> str:
        ends = float(self.curves.travel_mm[0]), float(self.curves.travel_mm[-1])
        return at_words(travel_mm, ends, self.curves.display)

    def _wanted(self) -> None:
        """What is missing, in rows."""
        board, theme, (left, _, right, _) = self.board, self.board.theme, self.box
        base = self.top + 28.0
        rows = wrapped(self.panel.wants, SMALL_PT, right - left)
        most = max(1, int((self.box[3] - 2.0 - base) // _ROW) + 1)
        if len(rows) > most:
            rows = [*rows[: most - 1], shortened(f"{rows[most - 1]} …", SMALL_PT, right - left)]
        for row in rows:
            board.write(left, base, row, SMALL_PT, theme.muted)
            base += _ROW
