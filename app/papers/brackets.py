"""Perches and brackets, one page: the axle from behind with every distance, bars and shocks, a table to read again.

Nothing is worked out here: what is printed is the build's own or the solution's. Parts that are not entered are drawn
as those of a usual vehicle and have no number.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from app.drawing.board import Board
from app.drawing.fonts import shortened
from app.drawing.items import Box, Point
from app.drawing.picture_files import pdf_bytes
from app.measuring.usual import kind_of_build, usual
from app.papers.behind import draw_behind
from app.papers.kit import INK, MUTED, TITLE_PT, double_arrow, hair, marked, page_of, text_box
from app.setpoints import on_links, recommended, variant_words
from app.sheet.flow import PAPER, SMALL_PT, line_height, lines, plain, rule
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import degrees, leaning, show
from geometry import solve
from geometry.document import Build, edited, is_front_axle, value_at

if TYPE_CHECKING:
    from pathlib import Path

    from app.drawing.items import Page
    from geometry.words.solution import BarState, Solution

_VIEW_HIGH: Final = (290.0, 430.0)
"""Height of the view from behind, at least and at most."""
_ROW: Final = (20.0, 30.0)
_BODY_PT, _BIG_PT = 9.0, 13.0
_CURVE: Final = (150.0, 96.0)
_OWN: Final = (
    "axle.tube_diameter_mm", "axle.perch_spacing_mm", "axle.flange_to_perch_left_mm", "vehicle.rear_tyre_radius_mm",
    "vehicle.front_tyre_radius_mm", "axle.centre_mm", "axle.pinion_offset_mm", "lateral_link", "shocks",
)  # fmt: skip
"""What of the build the view from behind is drawn with, where it is entered."""
_STAGES: Final = ("before", "tacked", "welded", "500 miles on")
_ASK: Final = (
    "A perch that meets a casting: ask first. Perches, bars, links and their brackets: a licensed engineer or local "
    "rules size them."
)
Row = tuple[str, str, bool]
"""A line of the table: what, what is planned, and whether left and right are read apart."""


def save_brackets(
    build: Build, solution: Solution, path: Path, *, paper: PaperName = "letter", source_name: str = ""
) -> None:
    """Write the page to a PDF file.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    pages = bracket_pages(build, solution, paper, source_name=source_name)
    path.write_bytes(pdf_bytes(pages, plain(build.title) or "Perches and brackets"))


def bracket_pages(
    build: Build,
    solution: Solution,
    paper: PaperName = "letter",
    *,
    source_name: str = "",
    printed_on: date | None = None,
) -> tuple[Page, ...]:
    """Return the one page."""
    remedy = recommended(build, solution)
    if remedy is not None:
        # Angles to set are with the first remedy: so are shocks, bars, stops and straps.
        solution = replace(solution, brackets=solve(edited(build, remedy.changes)).brackets)
    size = SIZES[paper]
    board, frame = Board(PAPER), frame_of(size)
    told = told_at_the_foot(build, "perches and brackets", source_name, printed_on)
    # What the rest leaves is the view's: it is laid out once to know.
    left = frame.bottom - 30.0 - _Made(Board(PAPER), frame, build, solution).draw(_VIEW_HIGH[0])
    _Made(board, frame, build, solution).draw(min(_VIEW_HIGH[0] + max(left, 0.0), _VIEW_HIGH[1]))
    rule(board, frame.left, frame.bottom - 18.0, frame.right, 1.0)
    foot = shortened(" · ".join(told), SMALL_PT, frame.room - 200.0)
    board.write(frame.left, frame.bottom - 4.0, foot, SMALL_PT, MUTED)
    words = "Perches and brackets · 1 of 1"
    board.write(frame.right, frame.bottom - 4.0, words, SMALL_PT, INK, bold=True, align="right")
    return (page_of(board, size),)


def rows_of(build: Build, solution: Solution) -> tuple[Row, ...]:
    """What is set and read again, in the order of the work; "" where nothing is planned of it."""
    display, points = build.display, solution.setpoints
    ahead = is_front_axle(build)
    low, high = ("nose down", "nose up") if ahead else ("nose up", "nose down")

    def length(value: float | None) -> str:
        return "" if value is None else show(value, "mm", display)

    def slope(value: float | None, down: str, up: str) -> str:
        return "" if value is None else leaning(value, down=down, up=up)

    rows: list[Row] = [("Pinion slope", slope(points.pinion_slope_deg, low, high), False)]
    if not on_links(build):
        spacing = points.perch_spacing_mm or value_at(build, "axle.perch_spacing_mm")
        flange = points.flange_to_perch_mm
        seat = points.tack_to_pinion_deg if points.tack_to_pinion_deg is not None else points.perch_to_pinion_deg
        rows += [
            ("Perch to perch", length(spacing), False),
            ("Flange to perch", length(flange), True),
            ("Seat to pinion", slope(seat, low, high), True),
        ]
    brackets = solution.brackets
    for one in () if brackets is None else brackets.torque_bars:
        rows.append((f"{one.name.capitalize()} slope", slope(one.slope_deg, "down", "up"), False))
    for shock in () if brackets is None else brackets.shocks[:2]:
        rows.append((f"{shock.name.capitalize()}, eye to eye", length(shock.ride_mm), False))
    if build.lateral_link is not None:
        rows.append(("Lateral link, bolt to bolt", length(points.link_centring_mm or points.lateral_link_mm), False))
    return tuple(rows)


class _Made:
    """The page in the making."""

    def __init__(self, board: Board, frame: Frame, build: Build, solution: Solution) -> None:
        self.board, self.frame, self.build, self.solution = board, frame, build, solution

    def draw(self, high: float) -> float:
        """Draw all of it, the view so high; return where it ends."""
        y = self.behind(self.head(), high)
        y = self.bars(y)
        return self.table(self.shocks(y))

    def _length(self, value: float | None) -> str:
        return "" if value is None else show(value, "mm", self.build.display)

    def head(self) -> float:
        board, frame = self.board, self.frame
        y = frame.top + 22.0
        board.write(frame.left, y, "Perches and brackets", TITLE_PT, INK, bold=True)
        board.write(frame.right, y, "seen from behind · left is left", 9.5, INK, align="right")
        title = plain(self.build.title) or "Untitled build"
        variant = plain(variant_words(self.build, self.solution))
        title = f"{title} · {variant}" if variant else title
        board.write(frame.left, y + 19.0, shortened(title, 9.5, frame.room), 9.5, INK)
        rule(board, frame.left, y + 28.0, frame.right, 1.4)
        return y + 36.0

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
        drawn = self._drawn()
        box = (frame.left, y, frame.right, y + high)
        places = draw_behind(board, box, drawn)
        floor = places["floor"][1]
        chain = floor + 44.0
        self._chain(places, chain)
        self._floor_to_tube(places, floor)
        self._offset(places)
        self._lean(places)
        return chain + 34.0

    def _chain(self, places: dict[str, Point], y: float) -> None:
        """Flange, perch, perch, flange under the floor, in the largest type."""
        build, points = self.build, self.solution.setpoints
        if on_links(build):
            return
        left, right, one, two = (
            places[name][0] for name in ("left flange", "right flange", "left perch", "right perch")
        )
        for name, x in (("left flange", left), ("right flange", right), ("left perch", one), ("right perch", two)):
            hair(self.board, (x, places[name][1]), (x, y + 6.0))
        spacing = points.perch_spacing_mm or value_at(build, "axle.perch_spacing_mm")
        if spacing is not None:
            marked(self.board, (one, y), (two, y), f"{self._length(spacing)} perch to perch", "", pt=_BIG_PT)
        else:
            self._empty((one, y), (two, y), "perch to perch")
        from_words = {"wheel_flange": "wheel flange", "housing_flange": "housing flange"}.get(
            value_at(build, "perches.measured_from") or "", "flange"
        )
        sides = ((left, one, "axle.flange_to_perch_left_mm"), (two, right, "axle.flange_to_perch_right_mm"))
        for start, end, path in sides:
            value = points.flange_to_perch_mm if points.flange_to_perch_mm is not None else value_at(build, path)
            middle = (start + end) / 2.0
            double_arrow(self.board, (start, y), (end, y))
            if value is not None:
                self.board.write(middle, y - 6.0, self._length(value), 10.0, INK, bold=True, align="middle")
            else:
                text_box(self.board, middle - 32.0, y - 24.0, 64.0, 18.0)
            self.board.write(middle, y + 17.0, from_words, SMALL_PT, INK, align="middle")

    def _empty(self, one: Point, two: Point, words: str) -> None:
        double_arrow(self.board, one, two)
        middle = (one[0] + two[0]) / 2.0
        text_box(self.board, middle - 60.0, one[1] - 24.0, 120.0, 19.0, words)

    def _floor_to_tube(self, places: dict[str, Point], floor: float) -> None:
        centre, tube = value_at(self.build, "axle.centre_mm"), value_at(self.build, "axle.tube_diameter_mm")
        if centre is None or tube is None:
            return
        x = places["left perch"][0] + 46.0
        scale = (floor - places["pinion"][1]) / centre[2]
        double_arrow(self.board, (x, floor - (centre[2] - tube / 2.0) * scale), (x, floor))
        base = floor - 0.5 * (centre[2] - tube / 2.0) * scale
        words = self._length(centre[2] - tube / 2.0)
        self.board.write(x + 8.0, base, words, 11.0, INK, bold=True)
        self.board.write(x + 8.0, base + 13.0, "floor to underside of tube", SMALL_PT, INK)

    def _offset(self, places: dict[str, Point]) -> None:
        centre = value_at(self.build, "axle.centre_mm")
        offset = None if centre is None else centre[1] + (value_at(self.build, "axle.pinion_offset_mm") or 0.0)
        if offset is None:
            return
        x, base = places["right perch"][0] - 12.0, places["floor"][1] - 14.0
        side = "right" if offset > 0.0 else "left"
        words = (
            "pinion in the middle" if abs(offset) < 0.5 else f"pinion {self._length(abs(offset))} {side} of the middle"
        )
        self.board.write(x, base, words, 9.5, INK, bold=True, align="right")

    def _lean(self, places: dict[str, Point]) -> None:
        brackets = self.solution.brackets
        if brackets is None or not brackets.shocks or "shock top" not in places:
            return
        lean = brackets.shocks[0].behind_deg
        if lean is None:
            return
        (x, top), (low_x, low) = places["shock top"], places["shock low"]
        x, y = min(x, low_x), (top + low) / 2.0 - 50.0
        self.board.write(x - 14.0, y + 46.0, degrees(abs(lean)), 11.0, PAPER.accent, bold=True, align="right")
        self.board.write(x - 14.0, y + 59.0, "shock off plumb, from behind", SMALL_PT, INK, align="right")

    # ---- bars and shocks

    def bars(self, y: float) -> float:
        brackets = self.solution.brackets
        if brackets is None or not brackets.torque_bars:
            return y
        frame = self.frame
        y = self._heading(y, "Torque bars", "from the left; the float lets the frame end come and go")
        for one in brackets.torque_bars[:2]:
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
            ("Float wanted", self._length(one.float_wanted_mm)),
            ("Passes below the axle", self._length(one.lever_mm)),
        ]
        board, left = self.board, self.frame.left
        board.write(left, y + 12.0, one.name.capitalize(), _BODY_PT, INK, bold=True)
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
        left, top, right, bottom = box
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
        for word, base in words:
            y = middle[1] if word == "ride" else base
            board.write(left + 34.0, y + 2.0, word, SMALL_PT, MUTED, align="right")

    def shocks(self, y: float) -> float:
        brackets = self.solution.brackets
        if brackets is None or not brackets.shocks:
            return y
        board, frame = self.board, self.frame
        y = self._heading(y, "Shocks", "eye to eye; what fits is at most so long closed and at least so long open")
        columns = ("", "at ride", "shortest", "longest", "closed, at most", "open, at least")
        at = [frame.left + share * frame.room for share in (0.0, 0.25, 0.39, 0.53, 0.67, 0.84)]
        for x, words in zip(at, columns, strict=True):
            board.write(x, y + 12.0, words, SMALL_PT, MUTED)
        for number, one in enumerate(brackets.shocks[:3]):
            base = y + 30.0 + 20.0 * number
            board.write(at[0], base, shortened(one.name.capitalize(), _BODY_PT, 170.0), _BODY_PT, INK)
            values = (one.ride_mm, one.least_mm, one.most_mm, one.closed_at_most_mm, one.open_at_least_mm)
            for x, value in zip(at[1:], values, strict=True):
                if value is None:
                    text_box(board, x, base - 13.0, 80.0, 18.0)
                else:
                    board.write(x, base, self._length(value), 10.0, INK, bold=True)
        y += 36.0 + 20.0 * min(len(brackets.shocks), 3)
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
        room = frame.bottom - 30.0 - line_height(_BODY_PT) * len(told) - y
        high = min(max(room / len(rows), _ROW[0]), _ROW[1])
        for number, (label, plan, apart) in enumerate(rows):
            top = y + number * high + 3.0
            base = top + 0.7 * high
            board.write(frame.left, base, shortened(label, _BODY_PT, 0.2 * frame.room - 6.0), _BODY_PT, INK)
            value = shortened(plan, 9.5, first - frame.left - 0.2 * frame.room - 4.0, bold=True)
            board.write(frame.left + 0.2 * frame.room, base, value, 9.5, INK, bold=True)
            for stage in range(len(_STAGES)):
                left = first + stage * wide + 2.0
                if apart:
                    half = (wide - 5.0) / 2.0
                    text_box(board, left, top, half, high - 4.0, "left")
                    text_box(board, left + half + 1.0, top, half, high - 4.0, "right")
                else:
                    text_box(board, left, top, wide - 4.0, high - 4.0)
        y += len(rows) * high + 8.0
        for number, line in enumerate(told):
            board.write(frame.left, y + 10.0 + number * line_height(_BODY_PT), line, _BODY_PT, INK, bold=True)
        return y + line_height(_BODY_PT) * len(told)
