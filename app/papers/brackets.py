"""Perches and brackets, one page: the axle from behind with every distance, bars and shocks, a table to read again.

Nothing is worked out here: what is printed is the build's own or the solution's. Parts that are not entered are drawn
as those of a usual vehicle and have no number.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Final

from app.drawing.board import Align, Board
from app.drawing.fonts import shortened, width
from app.drawing.items import Box, Point
from app.measuring.usual import kind_of_build, usual
from app.papers.behind import draw_behind
from app.papers.kit import INK, MUTED, double_arrow, foot, hair, head, marked, page_of, text_box
from app.setpoints import NONE, TACKED, as_told, flange_of, on_links, set_points, to_perches
from app.sheet.flow import PAPER, SMALL_PT, line_height, lines, rule
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import degrees, leaning, show
from geometry.document import Build, edited, is_front_axle, value_at
from geometry.words.wording import capital

if TYPE_CHECKING:
    from app.drawing.items import Page
    from geometry.document.again import ReadAgain
    from geometry.words.again import Stage
    from geometry.words.solution import BarState, ShockState, Solution

_VIEW_HIGH: Final = (180.0, 290.0, 430.0)
"""Height of the view from behind: at least, while the table's rows are no higher than they must be, and at most."""
_ROW: Final = (20.0, 30.0)
_BODY_PT, _BIG_PT = 9.0, 13.0
_CURVE: Final = (150.0, 96.0)
_BARS, _SHOCKS = 2, 3
"""So many have room on the page."""
_CLEAR: Final = 22.0
"""How far from what is bolted there the height of the tube is drawn."""
_LEVEL_DEG: Final = 0.05
"""A link that slopes by less lies level."""
_MIDDLE_MM: Final = 0.5
"""A pinion that lies off the middle by less lies in it."""
_OWN: Final = (
    "axle.tube_diameter_mm", "axle.perch_spacing_mm", "axle.flange_to_perch_left_mm", "vehicle.rear_tyre_radius_mm",
    "vehicle.front_tyre_radius_mm", "axle.centre_mm", "axle.pinion_offset_mm", "lateral_link", "shocks",
)  # fmt: skip
"""What of the build the view from behind is drawn with, where it is entered."""
_READ_AT: Final[tuple[Stage | None, ...]] = (None, "tacked", "welded", "driven")
_STAGES: Final = ("before", "tacked", "welded", "500 miles on")
_ASK: Final = (
    "A perch that meets a casting: ask first. Perches, bars, links and their brackets: a licensed engineer or local "
    "rules size them."
)
Row = tuple[str, str, bool]
"""A line of the table: what, what is planned, and whether left and right are read apart."""


def bracket_pages(
    build: Build,
    solution: Solution,
    paper: PaperName = "letter",
    *,
    source_name: str = "",
    printed_on: date | None = None,
) -> tuple[Page, ...]:
    """Return the one page."""
    size = SIZES[paper]
    board, frame = Board(PAPER), frame_of(size)
    told = told_at_the_foot(build, "perches and brackets", source_name, printed_on)
    # What the rest leaves is the view's: it is laid out once to know.
    least, usual_high, most = _VIEW_HIGH
    left = frame.bottom - 22.0 - _Made(Board(PAPER), frame, build, solution).draw(usual_high)
    _Made(board, frame, build, solution).draw(min(max(usual_high + left, least), most))
    foot(board, frame, "", told, "Perches and brackets · 1 of 1")
    return (page_of(board, size),)


def stocked_words(shocks: Sequence[ShockState]) -> list[str]:
    """Which of the shocks to be had fit, a line for those for which the same do."""
    by_fit: dict[tuple[str, ...], list[str]] = {}
    for one in shocks:
        if one.fit is not None:
            by_fit.setdefault(one.fit, []).append(one.name)
    return [
        f"To be had, fits {', '.join(names)}: {', '.join(fit) if fit else 'none'}." for fit, names in by_fit.items()
    ]


def read_of(build: Build, label: str, *, apart: bool) -> tuple[tuple[str, ...], ...]:
    """What was read of a row at each stage, left and right where they are apart; "" where it is still to be read."""
    last = {one.stage: one for one in build.measured_again}
    perches = apart and label == to_perches(build).removesuffix("es")
    low, high = ("nose up", "nose down") if is_front_axle(build) else ("nose down", "nose up")

    def side(one: ReadAgain, name: str) -> str:
        value = getattr(one, f"flange_to_perch_{name}_mm") if perches else None
        return "" if value is None else show(value, "mm", build.display)

    def cell(one: ReadAgain | None) -> tuple[str, ...]:
        if one is None:
            return ("", "") if apart else ("",)
        if apart:
            return side(one, "left"), side(one, "right")
        slope = one.pinion_slope_deg if label == "Pinion slope" else None
        return ("" if slope is None else leaning(slope, down=high, up=low),)

    return tuple(cell(None if stage is None else last.get(stage)) for stage in _READ_AT)


def rows_of(build: Build, solution: Solution) -> tuple[Row, ...]:
    """What is set and read again, in the order of the work; "" where nothing is planned of it."""
    told = {one.label: one for one in set_points(build, solution)}

    def row(label: str, *named: str, apart: bool = False) -> Row:
        """The first of the sheet's rows that is there."""
        point = next((told[name] for name in named if name in told), None)
        plan = "" if point is None else f"{point.value} {point.leans.removesuffix(' from seat')}".strip()
        return label, plan, apart

    rows = [row("Pinion slope", "Pinion slope")]
    if not on_links(build):
        label = to_perches(build)
        rows += [
            row("Perch to perch", "Perch to perch"),
            row(label.removesuffix("es"), label, apart=True),
            row("Seat to pinion", TACKED, "Seat to pinion", apart=True),
        ]
    brackets = solution.brackets
    if brackets is not None:
        rows += [(f"{capital(one.name)} slope", _slope(one), False) for one in brackets.torque_bars[:_BARS]]
        rows += [
            (f"{capital(one.name)}, eye to eye", _length(build, one.ride_mm), False)
            for one in brackets.shocks[:_SHOCKS]
        ]
    if build.lateral_link is not None:
        rows.append(row("Lateral link, bolt to bolt", "Link that centres", "Lateral link"))
    return tuple(rows)


def _align(way: float) -> Align:
    """How words stand that begin at a point and go that way from it."""
    return "left" if way > 0.0 else "right"


def _slope(bar: BarState) -> str:
    return "" if bar.slope_deg is None else leaning(bar.slope_deg, down="down", up="up")


def _length(build: Build, value_mm: float | None) -> str:
    return "" if value_mm is None else show(value_mm, "mm", build.display)


def _more(there: int, shown: int) -> str:
    """What is said of parts that have no room on the page."""
    return f"{there - shown} more: see the findings · " if there > shown else ""


class _Made:
    """The page in the making."""

    def __init__(self, board: Board, frame: Frame, build: Build, solution: Solution) -> None:
        self.board, self.frame, self.build, self.solution = board, frame, build, solution
        self.points = as_told(build, solution)

    def draw(self, high: float) -> float:
        """Draw all of it, the view so high; return where it ends."""
        y = head(self.board, self.frame, "Perches and brackets", "seen from behind · left is left", self.build,
                 self.solution)  # fmt: skip
        y = self.behind(y, high)
        y = self.bars(y)
        return self.table(self.shocks(y))

    def _length(self, value: float | None) -> str:
        return _length(self.build, value)

    # ---- from behind

    def _drawn(self) -> Build:
        """The build as it is drawn: a usual vehicle of its kind with what it has of its own."""
        whole = usual(kind_of_build(self.build))
        own = {path: value_at(self.build, path) for path in _OWN}
        changes: dict[str, object] = {path: value for path, value in own.items() if value is not None}
        changes["shocks"] = self.build.shocks
        changes["lateral_link"] = self.build.lateral_link
        return edited(whole, changes)

    def behind(self, y: float, high: float) -> float:
        board, frame = self.board, self.frame
        box = (frame.left, y, frame.right, y + high)
        places = draw_behind(board, box, self._drawn(), self.solution.picture)
        floor = places["floor"][1]
        chain = floor + 44.0
        self._chain(places, chain)
        self._floor_to_tube(places, floor)
        self._offset(places)
        self._lean(places)
        self._links(places)
        return floor + 24.0 if on_links(self.build) else chain + 34.0

    def _chain(self, places: dict[str, Point], y: float) -> None:
        """Flange, perch, perch, flange under the floor, in the largest type."""
        build, points = self.build, self.points
        if on_links(build):
            return
        left, right, one, two = (
            places[name][0] for name in ("left flange", "right flange", "left perch", "right perch")
        )
        for name, x in (("left flange", left), ("right flange", right), ("left perch", one), ("right perch", two)):
            hair(self.board, (x, places[name][1]), (x, y + 6.0))
        if points.perch_spacing_mm is not None:
            marked(
                self.board,
                (one, y),
                (two, y),
                f"{self._length(points.perch_spacing_mm)} perch to perch",
                "",
                pt=_BIG_PT,
            )
        else:
            self._empty((one, y), (two, y), "perch to perch")
        sides = ((left, one, "axle.flange_to_perch_left_mm"), (two, right, "axle.flange_to_perch_right_mm"))
        for start, end, path in sides:
            value = points.flange_to_perch_mm if points.flange_to_perch_mm is not None else value_at(build, path)
            middle = (start + end) / 2.0
            double_arrow(self.board, (start, y), (end, y))
            if value is not None:
                words = self._length(value)
                if width(words, 10.0, bold=True) + 6.0 <= end - start:
                    self.board.write(middle, y - 6.0, words, 10.0, INK, bold=True, align="middle")
                elif start == left:  # in a small view beside the flange
                    self.board.write(start - 5.0, y - 6.0, words, 10.0, INK, bold=True, align="right")
                else:
                    self.board.write(end + 5.0, y - 6.0, words, 10.0, INK, bold=True)
            else:
                text_box(self.board, middle - 32.0, y - 24.0, 64.0, 18.0)
            self.board.write(middle, y + 17.0, flange_of(build), SMALL_PT, INK, align="middle")

    def _empty(self, one: Point, two: Point, words: str) -> None:
        double_arrow(self.board, one, two)
        middle = (one[0] + two[0]) / 2.0
        text_box(self.board, middle - 60.0, one[1] - 24.0, 120.0, 19.0, words)

    @property
    def _right(self) -> bool:
        """Whether the height of the tube stands at the right, and the pinion's words at the left: off the housing."""
        return (self.points.pinion_aside_mm or 0.0) < 0.0

    def _floor_to_tube(self, places: dict[str, Point], floor: float) -> None:
        under_mm, under = self.points.tube_underside_mm, places["under tube"][1]
        if under_mm is None:
            return
        start, way = (places["right perch"][0], -1.0) if self._right else (places["left perch"][0], 1.0)
        bolted = [at for name, (at, _) in places.items() if name.startswith(("bar", "shock low", "link"))]
        aside = [start + way * (46.0 + 12.0 * step) for step in range(8)]
        x = next((one for one in aside if all(abs(one - at) > _CLEAR for at in bolted)), aside[0])
        double_arrow(self.board, (x, under), (x, floor))
        base = min((under + floor) / 2.0, floor - 42.0)  # over the pinion's words
        align = _align(way)
        self.board.write(x + way * 8.0, base, self._length(under_mm), 11.0, INK, bold=True, align=align)
        self.board.write(x + way * 8.0, base + 13.0, "floor to underside of tube", SMALL_PT, INK, align=align)

    def _offset(self, places: dict[str, Point]) -> None:
        aside_mm = self.points.pinion_aside_mm
        if aside_mm is None:
            return
        base = places["floor"][1] - 14.0
        words = "pinion in the middle"
        if abs(aside_mm) >= _MIDDLE_MM:
            words = f"pinion {self._length(abs(aside_mm))} {'right' if aside_mm > 0.0 else 'left'} of the middle"
        if self._right:
            self.board.write(places["left perch"][0] + 12.0, base, words, 9.5, INK, bold=True)
        else:
            self.board.write(places["right perch"][0] - 12.0, base, words, 9.5, INK, bold=True, align="right")

    def _lean(self, places: dict[str, Point]) -> None:
        """How far each shock that is drawn is off plumb, inward of it; of several on a side the first."""
        middle, sides = places["under tube"][0], set[bool]()
        entered = [one.frame_point_mm is not None and one.axle_point_mm is not None for one in self.build.shocks]
        whole = [number for number, there in enumerate(entered) if there]
        for place, number in enumerate(whole):
            state = None if self.solution.brackets is None else self.solution.brackets.shocks[number]
            upper, lower = places.get(f"shock top {place}"), places.get(f"shock low {place}")
            if state is None or state.behind_deg is None or upper is None or lower is None:
                continue
            (x, top), (low_x, low) = upper, lower
            left = low_x < middle
            if left in sides:
                continue
            sides.add(left)
            x, way = (max(x, low_x), 1.0) if left else (min(x, low_x), -1.0)
            y, align = (top + low) / 2.0 - 4.0, _align(way)
            for at, pt, words in ((y, 11.0, degrees(abs(state.behind_deg))), (y + 13.0, SMALL_PT, "shock off plumb")):
                large = pt > SMALL_PT
                colour = PAPER.accent if large else INK
                self.board.write(x + way * 14.0, at, words, pt, colour, bold=large, align=align)

    def _links(self, places: dict[str, Point]) -> None:
        """How lateral link and drag link slope after the plan, over the first of them."""
        behind, told = self.solution.behind, list[str]()
        if "link frame" not in places:
            return
        for name, slope in (("lateral link", behind.link_slope_deg), ("drag link", behind.drag_slope_deg)):
            if slope is not None:
                way = "" if abs(slope) < _LEVEL_DEG else f", {'right' if slope > 0.0 else 'left'} end higher"
                told.append(f"{name} {degrees(abs(slope))}{way}")
        (one, y), (two, other) = places["link frame"], places["link axle"]
        base = min(y - 20.0, other - 20.0, places["over housing"][1] - 8.0) - 13.0 * (len(told) - 1)
        for number, words in enumerate(told):
            self.board.write((one + two) / 2.0, base + 13.0 * number, words, _BODY_PT, INK, bold=True, align="middle")

    # ---- bars and shocks

    def bars(self, y: float) -> float:
        brackets = self.solution.brackets
        if brackets is None or not brackets.torque_bars:
            return y
        frame, more = self.frame, _more(len(brackets.torque_bars), _BARS)
        y = self._heading(y, "Torque bars", f"{more}from the left; the float lets the frame end come and go")
        for one in brackets.torque_bars[:_BARS]:
            high = self._bar_words(one, y)
            self._bind(one, (frame.right - _CURVE[0], y, frame.right, y + _CURVE[1]))
            y += max(high, _CURVE[1] + 8.0)
        return y

    def _bar_words(self, one: BarState, y: float) -> float:
        told = [
            ("Bolt to bolt", self._length(one.length_mm)),
            (
                "Slope",
                "" if one.slope_deg is None else leaning(one.slope_deg, down="down to the rear", up="up to the rear"),
            ),
            ("Comes nearer", "" if one.nearer_mm is None else self._length(abs(one.nearer_mm))),
            ("Goes farther", self._length(one.farther_mm)),
            ("Float wanted", NONE if one.float_wanted_mm == 0.0 else self._length(one.float_wanted_mm)),
            (
                f"Passes {'above' if (one.lever_mm or 0.0) < 0.0 else 'below'} the axle",
                "" if one.lever_mm is None else self._length(abs(one.lever_mm)),
            ),
        ]
        board, left = self.board, self.frame.left
        board.write(left, y + 12.0, capital(one.name), _BODY_PT, INK, bold=True)
        for number, (label, value) in enumerate(told):
            x, base = left + (number % 2) * 262.0, y + 32.0 + (number // 2) * 22.0
            board.write(x, base, label, _BODY_PT, INK)
            if value:
                board.write(x + 138.0, base, value, 10.0, INK, bold=True)
            else:
                text_box(board, x + 138.0, base - 13.0, 96.0, 18.0)
        return 32.0 + 22.0 * math.ceil(len(told) / 2.0)

    def _bind(self, one: BarState, box: Box) -> None:
        """How much nearer and farther its pivots come over the travel: sideways magnified, travel upright."""
        travel = self.solution.travel
        grown = [value for value in one.apart_mm if value is not None]
        if travel is None or len(grown) != len(travel.axle_mm) or not grown:
            return
        board = self.board
        left, top, right, bottom = box[0], box[1] + 14.0, box[2], box[3] - 14.0
        words = (("bump", top + 6.0), ("ride", 0.0), ("droop", bottom))
        axle = travel.axle_mm
        most = max(*map(abs, grown), 1.0)

        def at(travelled: float, apart: float) -> Point:
            share = (travelled - axle[0]) / (axle[-1] - axle[0])
            return (left + right + 40.0) / 2.0 + apart / most * ((right - left - 40.0) / 2.0 - 6.0), bottom - share * (
                bottom - top
            )

        middle = at(0.0, 0.0)
        board.line((at(axle[0], 0.0), at(axle[-1], 0.0)), INK, 1.0, z=6.0, dash=(4.0, 3.0))
        board.line([at(place, apart) for place, apart in zip(axle, grown, strict=True)], PAPER.accent, 2.0, z=6.1)
        for place, apart, base in ((axle[0], grown[0], bottom + 12.0), (axle[-1], grown[-1], top - 4.0)):
            said = f"{self._length(abs(apart))} {'farther' if apart >= 0.0 else 'nearer'}"
            half = width(said, SMALL_PT) / 2.0
            x = min(max(at(place, apart)[0], left + 36.0 + half), right - half)
            board.write(x, base, said, SMALL_PT, PAPER.accent, align="middle")
        for word, base in words:
            y = middle[1] if word == "ride" else base
            board.write(left + 34.0, y + 2.0, word, SMALL_PT, MUTED, align="right")

    def shocks(self, y: float) -> float:
        brackets = self.solution.brackets
        if brackets is None or not brackets.shocks:
            return y
        board, frame = self.board, self.frame
        more = _more(len(brackets.shocks), _SHOCKS)
        y = self._heading(
            y, "Shocks", f"{more}eye to eye; what fits is at most so long closed and at least so long open"
        )
        columns = ("", "at ride", "shortest", "longest", "closed, at most", "open, at least")
        at = [frame.left + share * frame.room for share in (0.0, 0.25, 0.39, 0.53, 0.67, 0.84)]
        for x, words in zip(at, columns, strict=True):
            board.write(x, y + 12.0, words, SMALL_PT, MUTED)
        for number, one in enumerate(brackets.shocks[:_SHOCKS]):
            base = y + 30.0 + 20.0 * number
            board.write(at[0], base, shortened(capital(one.name), _BODY_PT, 170.0), _BODY_PT, INK)
            values = (one.ride_mm, one.least_mm, one.most_mm, one.closed_at_most_mm, one.open_at_least_mm)
            for x, value in zip(at[1:], values, strict=True):
                if value is None:
                    text_box(board, x, base - 13.0, 80.0, 18.0)
                else:
                    board.write(x, base, self._length(value), 10.0, INK, bold=True)
        y += 36.0 + 20.0 * min(len(brackets.shocks), _SHOCKS)
        for text in stocked_words(brackets.shocks[:_SHOCKS]):
            board.write(frame.left, y + 6.0, shortened(text, _BODY_PT, frame.room), _BODY_PT, INK)
            y += line_height(_BODY_PT)
        for text in () if brackets.allowed is None else brackets.allowed.says:
            for line in lines(text, _BODY_PT, frame.room):
                board.write(frame.left, y + 6.0, line, _BODY_PT, INK)
                y += line_height(_BODY_PT)
        return y + 4.0

    def _heading(self, y: float, title: str, aside: str) -> float:
        board, frame = self.board, self.frame
        end = board.write(frame.left, y + 16.0, title, 11.0, INK, bold=True)
        room = frame.right - end - 14.0
        board.write(frame.right, y + 16.0, shortened(aside, SMALL_PT, room), SMALL_PT, INK, align="right")
        rule(board, frame.left, y + 22.0, frame.right, 0.9)
        return y + 24.0

    # ---- the table

    def table(self, y: float) -> float:
        board, frame = self.board, self.frame
        y = self._heading(y, "Set and read", "")
        first = frame.left + 0.36 * frame.room
        wide = (frame.right - first) / len(_STAGES)
        board.write(frame.left + 0.2 * frame.room, y - 8.0, "plan", SMALL_PT, MUTED)
        for number, words in enumerate(_STAGES):
            board.write(first + (number + 0.5) * wide, y - 8.0, words, SMALL_PT, MUTED, align="middle")
        rows = rows_of(self.build, self.solution)
        told = lines(_ASK, _BODY_PT, frame.room, bold=True)
        room = frame.bottom - 22.0 - 8.0 - line_height(_BODY_PT) * len(told) - y
        high = min(max(room / len(rows), _ROW[0]), _ROW[1])
        for number, (label, plan, apart) in enumerate(rows):
            top = y + number * high + 3.0
            base = top + 0.7 * high
            narrow = 0.2 * frame.room - 6.0
            pt = _BODY_PT if width(label, _BODY_PT) <= narrow else SMALL_PT
            board.write(frame.left, base, shortened(label, pt, narrow), pt, INK)
            value = shortened(plan, 9.5, first - frame.left - 0.2 * frame.room - 4.0, bold=True)
            board.write(frame.left + 0.2 * frame.room, base, value, 9.5, INK, bold=True)
            for stage, said in enumerate(read_of(self.build, label, apart=apart)):
                left = first + stage * wide + 2.0
                half = (wide - 5.0) / 2.0
                boxes = (
                    ((left, half, "left"), (left + half + 1.0, half, "right")) if apart else ((left, wide - 4.0, ""),)
                )
                for (x, room, hand), value in zip(boxes, said, strict=True):
                    text_box(board, x, top, room, high - 4.0, "" if value else hand)
                    board.write(x + room / 2.0, base, shortened(value, 9.5, room - 4.0), 9.5, INK, align="middle")
        y += len(rows) * high + 8.0
        for number, line in enumerate(told):
            board.write(frame.left, y + 10.0 + number * line_height(_BODY_PT), line, _BODY_PT, INK, bold=True)
        return y + line_height(_BODY_PT) * len(told)
