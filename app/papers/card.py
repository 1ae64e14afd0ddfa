"""The measuring card: what to measure in walking order, where the tool goes, and boxes to write into.

Two sides to carry round the vehicle; a build with many brackets has a third, with squared paper. Made for the build's
kind; what is filled is printed bold, what is wanted is an empty box. Without a build: leaf springs, one-piece shaft.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from app.cautions import CAUTIONS
from app.drawing.board import Board
from app.drawing.fonts import application, shortened, width
from app.drawing.items import Stroke
from app.measuring.ladder import Rung, ladder_of
from app.measuring.usual import kind_of_build
from app.measuring.walk import Line, Stop, stops_of
from app.papers.kit import (
    INK,
    MUTED,
    RING,
    ROW_PT,
    TITLE_PT,
    fitting,
    foot,
    page_of,
    ring,
    ring_radius,
    text_box,
    tick,
    tick_width,
    write_line,
)  # fmt: skip
from app.papers.values import as_written, unit_sign
from app.papers.views import Number, Views
from app.sheet.flow import BODY_PT, GUTTER, HEADING_PT, PAPER, SMALL_PT, line_height, lines, paragraph, plain, rule
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import leaning, show, shown_unit
from geometry.document import Build, value_at
from geometry.document.state import State
from geometry.document.vehicle import Display
from geometry.words.wording import small

if TYPE_CHECKING:
    from app.drawing.items import Box, Page

_PITCHES: Final = (25.2, 24.4, 23.6, 23.2, 23.0)
"""Height of a line: the largest with which two sides do; a box to write in is 14 pt at least."""
_SIDES: Final = 2
_HEADING: Final = 22.0
_FIELD = {1: 84.0, 2: 66.0, 3: 54.0}
"""How wide a box is, of so many on a line."""
_LONG: Final = 190.0
_BETWEEN: Final = 4.0
_WAYS_APART: Final = 7.0
"""Between two boxes to tick on one line."""
_SKETCH: Final = 200.0
"""Least height of a sketch."""
_SQUARE: Final = 18.9
"""Five millimetres, for the sketch."""
_STATES: Final = ("first set", "after lift", "settled")
_SIGNS: Final = (
    "First tick: + in the file. Rings: filled first, then grey, then plain; faint with its part. Verdicts counted on"
)


@dataclass(frozen=True)
class Card:
    """Its pages, and what tests ask of it: where they may be printed on, and where the views stand on each."""

    pages: tuple[Page, ...]
    frame: Frame
    views: tuple[tuple[Box, ...], ...]


def card_pages(
    build: Build | None, paper: PaperName = "letter", *, source_name: str = "", printed_on: date | None = None
) -> tuple[Page, ...]:
    """The pages to be painted, on a printer, in its preview, in a file."""
    return card_of(build, paper, source_name=source_name, printed_on=printed_on).pages


def blank_for(paper: PaperName) -> Build:
    """A build with nothing in it, in the units that go with a paper."""
    if paper == "letter":
        return Build()
    return Build.model_validate({"display": {"length": "millimetre", "torque": "newton_metre"}})


def card_of(
    build: Build | None, paper: PaperName = "letter", *, source_name: str = "", printed_on: date | None = None
) -> Card:
    """The pages, laid out."""
    application()  # Qt measures words only with one
    of = blank_for(paper) if build is None else build
    told = told_at_the_foot(of, "measuring card", source_name or ("blank" if build is None else ""), printed_on)
    for pitch in _PITCHES:
        made = _Card(of, SIZES[paper], told, pitch).made()
        if len(made.pages) <= _SIDES:
            break
    return made


class _Card:
    """A card in the making."""

    def __init__(self, build: Build, size: tuple[float, float], told: Sequence[str], pitch: float) -> None:
        self.build, self.size, self.told, self.pitch = build, size, told, pitch
        self.frame = frame_of(size)
        self.bottom = self.frame.bottom - 36.0
        self.stops = stops_of(build)
        self.kind, self.ladder = kind_of_build(build), ladder_of(build)
        every = (line for stop in self.stops for line in stop.lines)
        self.numbers = {
            path: Number(number, line) for number, line in enumerate(every, 1) for path in line.paths
        }  # fmt: skip
        self.wide = (self.frame.room - GUTTER) / 2.0
        self.rows = _Rows(build, self.numbers, self.wide, pitch)
        self.views = Views(self.kind, self.numbers)

    def made(self) -> Card:
        boards, views = [], []
        walked = _Column(self.stops, self.pitch)
        for draw in (self._first, self._second):
            board = Board(PAPER)
            top, boxes = draw(board)
            self._columns(board, walked, top)
            boards.append(board)
            views.append(boxes)
        while walked.left:  # more brackets than the two sides have room for: then there is room for a sketch as well
            boards.append(board := Board(PAPER))
            top = self.frame.top + 60.0
            end = self._columns(board, walked, top, min(top + walked.high / 2.0 + 2.0 * _HEADING, self.bottom))
            self._sketch(board, end + 8.0)
        pages = []
        signs = f"{_SIGNS} {'this build' if self.ladder.own else 'a usual vehicle'}."
        for number, one in enumerate(boards, 1):
            where = f"{number} of {len(boards)}"
            self._head(one, where)
            foot(one, self.frame, signs, self.told, f"Measuring card · {where}")
            pages.append(page_of(one, self.size))
        return Card(tuple(pages), self.frame, tuple(views))

    # ---- over the rows

    def _head(self, board: Board, where: str) -> None:
        left, top, right, _ = self.frame
        base = top + 22.0
        end = board.write(left, base, "MEASURING CARD", TITLE_PT, INK, bold=True)
        board.write(end + 8.0, base, where, 10.0, INK)
        inch = self.build.display.length == "inch"
        x = right - 330.0
        x = board.write(x, base, "Read in", 9.0, MUTED) + 8.0
        x = tick(board, x, base, "in", BODY_PT, on=inch) + 10.0
        x = tick(board, x, base, "mm", BODY_PT, on=not inch) + 12.0
        write_line(board, x, base, "By, date", right)
        rule(board, left, top + 30.0, right, 1.5)
        title = plain(self.build.title)
        if title:
            said = shortened(title, 10.0, self.frame.room, bold=True)
            board.write(left, top + 45.0, said or title[:1], 10.0, INK, bold=True)

    def _first(self, board: Board) -> tuple[float, tuple[Box, ...]]:
        left, top, right, _ = self.frame
        y = self._cautions(board, top + 50.0, CAUTIONS[:2])
        y = self._ladder(board, y + 4.0)
        y = self._state(board, y + 6.0)
        tall = (self.size[1] - 1056.0) * 0.25
        whole = (left, y + 8.0, right, y + 162.0 + tall)
        y = self.views.whole(board, whole)
        near = (left, y + 3.0, right, y + 167.0 + tall)
        self.views.driveline(board, near)
        return near[3] + 4.0, (whole, near)

    def _second(self, board: Board) -> tuple[float, tuple[Box, ...]]:
        left, top, right, _ = self.frame
        y = self._cautions(board, top + 50.0, CAUTIONS[5:])
        side = (left, y + 13.0, right, y + 186.0)
        self.views.axle(board, side)
        half = left + 0.54 * self.frame.room
        behind = (left, side[3] + 8.0, half - 10.0, side[3] + 148.0)
        apart = (half + 10.0, side[3] + 8.0, right, side[3] + 148.0)
        self.views.behind(board, behind)
        self.views.apart(board, apart)
        return behind[3] + 12.0, (side, behind, apart)

    def _cautions(self, board: Board, y: float, told: Sequence[str]) -> float:
        for words in told:
            y = paragraph(words, SMALL_PT, bold=True)(board, self.frame.left, y, self.frame.room)
        return y

    def _ladder(self, board: Board, y: float) -> float:
        """What each step of measuring buys, counted with the judge."""
        wide = (self.frame.room - 2.0 * 14.0) / 3.0
        ends = [
            self._rung(board, rung, before, self.frame.left + number * (wide + 14.0), y, wide)
            for number, (rung, before) in enumerate(_with_before(self.ladder.rungs))
        ]
        for number in (1, 2):
            x = self.frame.left + number * (wide + 14.0) - 7.0
            board.line(((x, y), (x, max(ends) - 2.0)), board.tint(0.25), 0.8, z=10.0)
        return max(ends)

    def _rung(self, board: Board, rung: Rung, before: int, x: float, y: float, wide: float) -> float:
        ring(board, (x + RING, y + 10.0), "n", rung.step)
        end = board.write(x + 26.0, y + 15.0, f"{rung.values} values", 13.0, INK, bold=True)
        which = "+ all plain rings" if rung.step == 3 else f"{'+ ' if before else ''}{self._which(rung.step)}"
        room = x + wide - end - 8.0
        y += 30.0
        if width(which, SMALL_PT) <= room:
            board.write(end + 8.0, y - 15.0, which, SMALL_PT, INK)
        else:
            for line in lines(which, SMALL_PT, wide):
                board.write(x, y, line, SMALL_PT, INK)
                y += line_height(SMALL_PT)
        if not self.rows.blank:
            there = sum(value_at(self.build, path) is not None for path, one in self.numbers.items()
                        if 0 < one.line.step <= rung.step)  # fmt: skip
            board.write(x, y, f"{there} of {rung.values} in this build", SMALL_PT, MUTED)
            y += line_height(SMALL_PT)
        verdicts = f"{len(rung.judged)} of {self.ladder.of_all} verdicts: "
        for line in _as_many(verdicts + ("and " if before else ""), rung.new, wide, 2 if before else 3):
            board.write(x, y, line, SMALL_PT, INK)
            y += line_height(SMALL_PT)
        return y - 4.0

    def _which(self, step: int) -> str:
        """Numbers of the lines of a step, runs of three and more as from–to."""
        numbers = sorted({one.number for one in self.numbers.values() if one.line.step == step})
        runs: list[list[int]] = []
        for number in numbers:
            if runs and number == runs[-1][-1] + 1:
                runs[-1].append(number)
            else:
                runs.append([number])
        said = [[f"{run[0]}–{run[-1]}"] if len(run) > 2 else [str(one) for one in run] for run in runs]
        return " ".join(one for some in said for one in some)

    def _state(self, board: Board, y: float) -> float:
        """In which state the vehicle stands: first, as it cannot be found out later."""
        left, _, right, _ = self.frame
        high = 92.0
        corners = ((left, y), (right, y), (right, y + high), (left, y + high))
        board.shape(corners, board.tint(0.035), Stroke(INK, 2.4), z=1.0)
        x = left + 10.0
        board.write(x, y + 20.0, "In which state?", 12.0, INK, bold=True)
        told = self.build.state or State()
        board.write(x, y + 36.0, "Level floor. Never mix two in one set.", SMALL_PT, INK, bold=True)
        if told.fuel_share is None:
            write_line(board, x, y + 57.0, "Fuel", x + 74.0)
        else:
            end = board.write(x, y + 57.0, "Fuel", BODY_PT, MUTED) + 6.0
            board.write(end, y + 57.0, f"{round(100.0 * told.fuel_share)} %", BODY_PT, INK, bold=True)
        self._either(
            board, x + 90.0, y + 57.0, "driver", (("in", told.driver_in is True), ("out", told.driver_in is False))
        )
        self._either(
            board, x, y + 79.0, "Springs", (("new", told.springs == "new"), ("settled", told.springs == "settled"))
        )
        first = left + 0.44 * self.frame.room
        wide = (right - 8.0 - first) / 3.0
        mass = shown_unit("kg", self.build.display).symbol
        for row, words in enumerate(("stands on", f"{mass} over empty", "rail slope")):
            board.write(first - 8.0, y + 37.0 + 22.0 * row, words, BODY_PT, INK, align="right")
        for number, words in enumerate(_STATES):
            at = first + number * wide
            board.write(at + (wide - 8.0) / 2.0, y + 16.0, words, BODY_PT, INK, bold=True, align="middle")
            self._set(board, at, y, wide, told if not number else State())
        return y + high

    def _either(self, board: Board, x: float, base: float, label: str, ways: Sequence[tuple[str, bool]]) -> None:
        x = board.write(x, base, label, BODY_PT, MUTED) + 8.0
        for words, on in ways:
            x = tick(board, x, base, words, on=on) + 8.0

    def _set(self, board: Board, x: float, y: float, wide: float, told: State) -> None:
        """How the vehicle stood for one set of readings: printed as far as the build tells, else boxes."""
        half = (wide - 12.0) / 2.0
        stands = {"axle_stands": "axle stands", "frame_stands": "frame stands"}.get(told.on or "", "stands")
        tick(board, x, y + 37.0, "tyres", on=told.on == "tyres")
        tick(board, x + (half + 4.0 if stands == "stands" else 52.0), y + 37.0, stands, on=stands != "stands")
        for side, (end_of, load) in enumerate((("front", told.front_load_kg), ("rear", told.rear_load_kg))):
            at = x + side * (half + 4.0)
            if load is None:
                text_box(board, at, y + 44.0, half, 19.0, end_of)
            else:
                said = show(load, "kg", self.build.display)
                end = board.write(at, y + 59.0, said.partition(" ")[0], ROW_PT, INK, bold=True)
                board.write(end + 4.0, y + 59.0, end_of, SMALL_PT, MUTED)
        if told.rail_slope_deg is None:
            text_box(board, x, y + 66.0, wide - 8.0, 19.0, "°")
        else:
            board.write(
                x, y + 81.0, leaning(told.rail_slope_deg, down="rear low", up="rear high"), ROW_PT, INK, bold=True
            )

    # ---- rows

    def _columns(self, board: Board, walked: _Column, top: float, bottom: float | None = None) -> float:
        lowest, bottom = top, self.bottom if bottom is None else bottom
        for x in (self.frame.left, self.frame.left + self.wide + GUTTER):
            y = top
            while walked.left:
                title, some = walked.next(y, bottom)
                if not some:
                    break
                y = self.rows.heading(board, x, y, title)
                for line in some:
                    self.rows.draw(board, x, y, line)
                    y += self.pitch
                y += 3.0
            lowest = max(lowest, y)
        return lowest

    def _sketch(self, board: Board, y: float) -> None:
        """Squared paper for what stands near the shaft, where there is room for some."""
        if self.bottom - y < _SKETCH:
            return
        left = self.frame.left
        y += 22.0
        board.write(left, y, "What could touch the shaft: sketch it", HEADING_PT, INK, bold=True)
        says = "Name it. Each corner: back from the front hub, up from the floor. Gap wanted beside it."
        board.write(left, y + 15.0, says, SMALL_PT, INK)
        self._squares(board, y + 24.0)

    def _squares(self, board: Board, top: float) -> None:
        left, _, right, _ = self.frame
        across, down = int((right - left) / _SQUARE), int((self.bottom - top) / _SQUARE)
        colour = board.tint(0.22)
        for number in range(across + 1):
            x = left + number * _SQUARE
            board.line(((x, top), (x, top + down * _SQUARE)), colour, 0.6, z=1.0)
        for number in range(down + 1):
            y = top + number * _SQUARE
            board.line(((left, y), (left + across * _SQUARE, y)), colour, 0.6, z=1.0)


class _Column:
    """The walk, taken from its beginning as columns have room."""

    def __init__(self, stops: Sequence[Stop], pitch: float) -> None:
        self.pitch = pitch
        self.left = [(stop.title, list(stop.lines)) for stop in stops]

    @property
    def high(self) -> float:
        """Height of what is left."""
        return sum(_HEADING + self.pitch * len(some) + 3.0 for _, some in self.left)

    def next(self, y: float, bottom: float) -> tuple[str, list[Line]]:
        """Title and lines of as much of the next stop as fits from y on; none where not two of its lines do."""
        title, some = self.left[0]
        room = int((bottom - y - _HEADING) / self.pitch)
        if room < min(2, len(some)):
            return title, []
        taken, rest = some[:room], some[room:]
        if rest:
            self.left[0] = (title if title.endswith(", on") else f"{title}, on", rest)
        else:
            del self.left[0]
        return title, taken


class _Rows:
    """Draws the card's lines in a width."""

    def __init__(self, build: Build, numbers: dict[str, Number], wide: float, pitch: float) -> None:
        self.build, self.numbers, self.wide, self.pitch = build, numbers, wide, pitch
        self.blank = build.shaft is None and build.suspension is None

    def heading(self, board: Board, x: float, y: float, title: str) -> float:
        """Bold words over a line."""
        board.write(x, y + 13.0, title, HEADING_PT, MUTED if title.endswith(", on") else INK, bold=True)
        rule(board, x, y + 18.0, x + self.wide, 1.1)
        return y + _HEADING

    def draw(self, board: Board, x: float, y: float, line: Line) -> None:
        """Ring, title, where the tool goes, and a box or a printed number for each value."""
        middle = y + self.pitch / 2.0
        number = self.numbers[line.paths[0]].number
        ring(board, (x + ring_radius(str(number)) + 0.5, middle), str(number), line.step)
        named = max(width(line.title, ROW_PT, bold=True), width(line.short, SMALL_PT))
        left = self._values(board, x + self.wide, y, line, x + 25.0 + named + 6.0)
        room = left - x - 25.0 - 5.0
        board.write(x + 25.0, middle - 1.0, line.title, fitting(line.title, ROW_PT, room), INK, bold=True)
        board.write(x + 25.0, middle + 10.5, line.short, SMALL_PT, MUTED)

    def _values(self, board: Board, right: float, y: float, line: Line, least: float) -> float:
        """Draw a line's values from the right end on; return where the leftmost begins.

        Which way it leans is ticked in boxes beside one another where they keep right of `least`, else in two rows.
        """
        if line.choices:
            return self._choices(board, right, y, line)
        cells = [(path, axis, words) for path, inside in line.entries for axis, words in enumerate(inside or ("",))]
        long = line.paths[0].endswith("gear_ratios")
        wide = _LONG if long else _FIELD[len(cells)]
        left = right - len(cells) * wide - (len(cells) - 1) * _BETWEEN
        for number, (path, axis, words) in enumerate(cells):
            at = left + number * (wide + _BETWEEN)
            part = axis if len(line.entries[0][1]) > 1 else None  # one of a point's
            self._value(board, (at, y, at + wide, y + self.pitch), path, part, words, ways=bool(line.ways[0]))
        if line.ways[0]:
            entered = value_at(self.build, line.paths[0])
            rooms = [tick_width(one, on=True) for one in line.ways]
            middle = y + self.pitch / 2.0
            beside = left - 7.0 - sum(rooms) - _WAYS_APART
            if beside >= least:
                left = beside
                places = [(left, middle + 4.0), (left + rooms[0] + _WAYS_APART, middle + 4.0)]
            else:
                left -= max(rooms) + 7.0
                places = [(left, middle - 1.8), (left, middle + 10.6)]
            for row, (words, place) in enumerate(zip(line.ways, places, strict=True)):
                on = entered is not None and entered != 0.0 and (entered > 0.0) == (row == 0)
                tick(board, *place, words, on=on)
        return left

    def _choices(self, board: Board, right: float, y: float, line: Line) -> float:
        """Boxes to tick beside one another; ticked as the build says, none of them on a blank card."""
        entered = None if self.blank else value_at(self.build, line.paths[0])
        left = right
        for choice, words in reversed(tuple(zip(line.choices, line.ways, strict=True))):
            left -= tick_width(words, BODY_PT, on=True)
            tick(board, left, y + self.pitch / 2.0 + 4.0, words, BODY_PT, on=entered == choice)
            left -= 12.0
        return left + 12.0

    def _value(self, board: Board, cell: Box, path: str, axis: int | None, words: str, *, ways: bool) -> None:
        left, top, right, bottom = cell
        entered = value_at(self.build, path)
        if axis is not None and entered is not None:
            entered = entered[axis]
        if entered is None:
            sign = unit_sign(path, self.build.display)
            inside = with_unit(words, path, self.build.display, right - left - 24.0) or sign
            text_box(board, left, top + 1.8, right - left, self.pitch - 4.6, inside)
            return
        said, words = as_written(entered, path, self.build.display, words, unsigned=ways, unit=not words)
        words = with_unit(words, path, self.build.display, right - left)
        room = right - left
        pt = fitting(said, 10.0 if not words else ROW_PT, room)
        if width(said, pt, bold=True) > room:
            said, _ = as_written(entered, path, self.build.display, "", unsigned=ways, unit=False)
            pt = fitting(said, ROW_PT, room)
        middle = (top + bottom) / 2.0
        if words:
            board.write(right, middle - 1.0, said, pt, INK, bold=True, align="right")
            board.write(right, middle + 10.5, shortened(words, SMALL_PT, room), SMALL_PT, MUTED, align="right")
        else:
            board.write(right, middle + 4.5, said, pt, INK, bold=True, align="right")


def with_unit(words: str, path: str, display: Display, room: float) -> str:
    """A side with its unit where that is no length, of which the head tells the unit: a side alone would not say so."""
    sign = unit_sign(path, display)
    mixed = not path.endswith("_mm") or path.startswith("gauge.")
    told = f"{sign} {words}"
    return told if words and sign and mixed and width(told, SMALL_PT) <= room else words


def _with_before(rungs: Sequence[Rung]) -> Iterator[tuple[Rung, int]]:
    before = 0
    for rung in rungs:
        yield rung, before
        before = rung.values


def _as_many(head: str, titles: Sequence[str], room: float, most: int) -> list[str]:
    """Titles in a sentence of at most so many lines; three dots where more are judged than it has room for."""
    names = [small(one) for one in titles]
    for count in range(len(names), 0, -1):
        told = lines(head + ", ".join(names[:count]) + (" …" if count < len(names) else ""), SMALL_PT, room)
        if len(told) <= most:
            return told
    return lines(head.rstrip(": "), SMALL_PT, room)[:most]
