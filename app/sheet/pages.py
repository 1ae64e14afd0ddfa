"""The sheet's pages: the first is enough at the vehicle, the others have all that did not fit on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, NamedTuple

from app import bench
from app.drawing.board import Board
from app.drawing.drawing import Style, drawing
from app.drawing.fonts import PX_PER_PT, application, shortened, width
from app.drawing.items import Layer, Page
from app.drawing.palette import VERDICT_SIGNS, VERDICT_WORDS
from app.drawing.picture_files import pdf_bytes
from app.drawing.subject import Subject
from app.measuring.sections import is_begun
from app.naming import shared_words
from app.setpoints import SetPoint, on_links, ordered_for, set_points, states_words, variant_words
from app.sheet import blocks
from app.sheet.checks import checks_of
from app.sheet.findings import Findings
from app.sheet.flow import (
    AFTER,
    BODY_PT,
    GUTTER,
    PAPER,
    SMALL_PT,
    Block,
    Section,
    fill,
    heading,
    height,
    in_rows,
    line_height,
    lines,
    paragraph,
    plain,
    rule,
    section_height,
    stacked,
)  # fmt: skip
from app.sheet.order import shaft_order
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.sheet.planned import planned_words
from geometry import Build
from geometry.words.both import on_hold
from geometry.words.solution import Solution
from geometry.words.wording import capital

DRAWING_SHARE: Final = 1.0 / 3.0
"""The least part of the first page that the drawing has."""
_TALLEST: Final = 0.6
"""Of the drawing's width: beyond, more height shows no more."""
_K: Final = 0.92
_FEW: Final = 4
"""So many findings the drawing tells in words; of more it has the numbers alone, as the list stands under it."""
_EDGE: Final = 12.0
"""Margin that a drawing keeps by itself at its sides."""
_RIGHT: Final = 0.345
_GAP: Final = 12.0
_TITLE_PT, _LEAST_TITLE_PT, _VERDICT_PT = 15.0, 11.0, 17.0
_ROOM_TO_WRITE: Final = 75.0
_TOGETHER: Final = 8
_SET: Final = "Set these, level on its tyres"


class _Way(NamedTuple):
    """How the first page is filled: its columns, set-points that are over, and where the order is, or ""."""

    left: Block
    over: list[SetPoint]
    right: list[Section]
    order: str


@dataclass(frozen=True)
class Sheet:
    """Its pages, and what tests ask of it: where they may be printed on, and where the drawing stands on the first."""

    pages: tuple[Page, ...]
    frame: Frame
    drawing: Frame


def sheet_bytes(
    build: Build, solution: Solution, *, paper: PaperName = "letter", source_name: str = "",
    printed_on: date | None = None,
) -> bytes:  # fmt: skip
    """The build sheet as the bytes of a PDF file."""
    made = sheet_pages(build, solution, paper, source_name=source_name, printed_on=printed_on)
    return pdf_bytes(made, plain(build.title) or "Build sheet")


def sheet_pages(
    build: Build, solution: Solution, paper: PaperName = "letter", *, source_name: str = "",
    printed_on: date | None = None,
) -> tuple[Page, ...]:  # fmt: skip
    """The pages to be painted, on a printer, in its preview, in a file."""
    return sheet_of(build, solution, paper, source_name=source_name, printed_on=printed_on).pages


def sheet_of(
    build: Build, solution: Solution, paper: PaperName = "letter", *, source_name: str = "",
    printed_on: date | None = None,
) -> Sheet:  # fmt: skip
    """The pages, laid out."""
    application()  # Qt measures words only with one
    told = told_at_the_foot(build, "build sheet", source_name, printed_on)
    return _Making(build, solution, SIZES[paper], told).sheet()


class _Making:
    """A sheet in the making."""

    def __init__(self, build: Build, solution: Solution, size: tuple[float, float], told: Sequence[str]) -> None:
        self.build, self.solution, self.size, self.told = build, solution, size, told
        self.frame = frame_of(size)
        self.foot = self.frame.bottom - 24.0
        self.subject = Subject(build, solution, solution)
        self.findings = Findings(self.subject)
        self.brief, self.cut = False, 0
        self.title = plain(build.title) or "Untitled build"
        self.variant = plain(variant_words(build, solution))
        self.states = tuple(plain(one) for one in states_words(build, solution, brief=len(solution.states) > 2))
        self.room = self.frame.room
        self.right_room = _RIGHT * self.room
        self.left_room = self.room - self.right_room - GUTTER
        self.ordered = ordered_for(build, solution)
        order = self.ordered[1].order
        works = min(order.longer_mm or 0.0, order.shorter_mm or 0.0) >= 0.0  # else a finding on the slip says it
        made = "; ".join(order.length_short) if works else ""
        self.made = f"{capital(made)}." if made else ""
        rows = blocks.order_block(shaft_order(*self.ordered), SMALL_PT)
        self.order = Section("Shaft order", (rows,), "of the shaft with that remedy" if self.variant else "")

    def sheet(self) -> Sheet:
        short = tuple(plain(one) for one in states_words(self.build, self.solution, brief=True, at_ends=True))
        told = Section("In its states", tuple(paragraph(one) for one in self.states))
        found = []
        for states, made, later in (  # what does not fit yields; the shaft order tells the length all the same
            (self.states, self.made, ()), (self.states, "", ()), (short, "", ()), ((), "", (told,) if short else ()),
        ):  # fmt: skip
            self.states, self.made = states, made
            first, drawn, place, left_over = self._first()
            behind = self._behind([*left_over, *later])
            found.append((len(behind), self.cut, first, drawn, place, behind))
            if len(behind) <= 1 and not self.cut:
                break
        *_, first, drawn, place, behind = min(found, key=lambda one: one[:2])
        boards = [first, *behind]
        count = len(boards)
        pages = []
        for number, board in enumerate(boards, 1):
            page = f"{number} of {count}: enough at the vehicle" if number == 1 < count else f"{number} of {count}"
            frame = (self.frame.left, self.frame.right, self.frame.bottom - 3.0)
            blocks.foot(board, frame, self.told, page)
            board.finish()
            layers = (*(drawn if number == 1 else ()), *board.layers)
            pages.append(Page(*self.size, PAPER, layers))
        return Sheet(tuple(pages), self.frame, place)

    def _behind(self, left_over: list[Section]) -> list[Board]:
        """The other pages: in smaller type where that is fewer."""
        behind = self._others(left_over, BODY_PT)
        return min(behind, self._others(left_over, SMALL_PT), key=len) if len(behind) > 1 else behind

    # ---- the first page

    def _first(self) -> tuple[Board, tuple[Layer, ...], Frame, list[Section]]:
        board = Board(PAPER)
        frame, room = self.frame, self.room
        top = self._head(board)
        always = stacked(blocks.checks_block(checks_of(links=on_links(self.build))), blocks.cautions_block(), gap=4.0)
        bottom = self.foot - height(always, room)
        always(board, frame.left, bottom, room)
        bottom -= _GAP
        least = DRAWING_SHARE * self.size[0] * self.size[1] / room
        free = bottom - top - least - _GAP
        way = self._fitting(free)
        self.cut = len(way.over)
        needs_right = section_height(way.right, self.right_room)
        spare = max(0.0, free - max(height(way.left, self.left_room), needs_right))
        place = Frame(frame.left, top, frame.right, top + least + min(spare, max(0.0, _TALLEST * room - least)))
        y = place.bottom + _GAP
        self._to_write(board, frame.left, way.left(board, frame.left, y, self.left_room), bottom, self.left_room)
        x = frame.right - self.right_room
        end, over = self._right(board, way.right, Frame(x, y, frame.right, bottom))
        self._to_write(board, x, end, bottom, self.right_room)
        rest = [Section("", (self._table(way.over, f"{_SET}, continued"),))] if way.over else []
        rest += [in_rows(one) for one in over]
        return board, self._drawn(place), place, rest if way.order else [*rest, self.order]

    def _fitting(self, free: float) -> _Way:
        """The columns as they fit: with the order as long as it can be had, then with as much ease as there is room."""
        rows = sorted(set_points(self.build, self.solution), key=lambda one: (one.spare, not one.changes))
        found, order = self.findings, _headed(self.order)
        told = [found.not_clear(briefly=False), *(found.not_clear(briefly=True, closely=one) for one in (False, True))]
        lefts = [height(self._table(rows, low=low), self.left_room) for low in (False, True)]
        rights = [section_height(one, self.right_room) for one in told]
        rights[-1] = min(rights[-1], free)  # what is over goes to the next page
        more = {
            "left": (height(order, self.left_room) + _GAP, 0.0), "right": (0.0, height(order, self.right_room) + AFTER),
            "": (0.0, 0.0),
        }  # fmt: skip
        place, closely, low = next(
            (
                (place, closely, low)
                for places in (("left", "right"), ("",))
                for closely, right in enumerate(rights)
                for low, left in enumerate(lefts)
                for place in places
                if left + more[place][0] <= free and right + more[place][1] <= free
            ),
            ("", len(told) - 1, 1),
        )
        self.brief = closely > 0
        kept = len(rows)
        while kept > 1 and height(self._table(rows[:kept], low=low > 0), self.left_room) > free:
            kept -= 1
        table = self._table(rows[:kept], low=low > 0)
        left = stacked(table, order, gap=_GAP) if place == "left" else table
        return _Way(left, rows[kept:], [*told[closely], *[self.order] * (place == "right")], place)

    def _table(self, rows: Sequence[SetPoint], title: str = _SET, *, low: bool = False) -> Block:
        least = blocks.LOW_ROW if low else blocks.ROW
        told = (*self.states, *filter(None, (self.made,))) if title == _SET else ()
        return blocks.set_points_block(rows, title, self.variant, least, told)

    def _right(self, board: Board, sections: list[Section], frame: Frame) -> tuple[float, list[Section]]:
        """Findings that are not clear, as many as fit; a last line says where the others are."""
        if not fill(Board(PAPER), sections, frame)[1]:
            return fill(board, sections, frame)
        end, over = fill(board, sections, (*frame[:3], frame.bottom - line_height(BODY_PT)))
        count = sum(len(one.blocks) for one in over)
        return paragraph(f"… {count} more on page 2", bold=True)(board, frame.left, end, frame.room), over

    def _to_write(self, board: Board, x: float, y: float, bottom: float, room: float) -> None:
        if bottom - y >= _ROOM_TO_WRITE:
            blocks.writing_block(bottom - y - _GAP)(board, x, y + _GAP, room)

    def _drawn(self, place: Frame) -> tuple[Layer, ...]:
        size = (place.room + 2.0 * _EDGE, place.bottom - place.top)
        style = Style(PAPER, k=_K, marks=len(self.findings.numbered) > _FEW, head=False)
        made = drawing(self.subject, size, style)
        return tuple(layer.moved(place.left - _EDGE, place.top) for layer in made.layers)

    def _head(self, board: Board) -> float:
        """Title, verdict, its sentence and what is planned, over a strong rule."""
        left, top, right, _ = self.frame
        verdict = self.solution.verdict
        word, colour = VERDICT_WORDS[verdict], PAPER.colour(verdict)
        base = top + 0.8 * _VERDICT_PT * PX_PER_PT
        badge = right - width(word, _VERDICT_PT, bold=True)
        board.write(right, base, word, _VERDICT_PT, colour, bold=True, align="right")
        board.mark(badge - 15.0, base - 0.36 * _VERDICT_PT * PX_PER_PT, 9.5, verdict)
        room, pt = badge - 40.0 - left, _TITLE_PT
        while pt > _LEAST_TITLE_PT and width(self.title, pt, bold=True) > room:
            pt -= 0.5
        told = lines(self.title, pt, room, bold=True)
        if len(told) > 2:  # the next page has it whole
            told[1:] = [shortened(self.title[len(told[0]) :].lstrip(), pt, room, bold=True)]
        for number, line in enumerate(told):
            board.write(left, base + number * line_height(pt), line, pt, PAPER.ink, bold=True)
        y = base + (len(told) - 1) * line_height(pt) + 6.0
        says = self.solution.says
        if on_hold(self.solution) and verdict != "hold":  # the other shaft holds it up
            says, colour = f"{VERDICT_SIGNS['hold']} {says}", PAPER.hold
        y = paragraph(says, 10.0, bold=True, colour=colour)(board, left, y, self.room)
        planned = " ".join(filter(None, (planned_words(self.build), shared_words(self.build))))
        y = paragraph(planned)(board, left, y, self.room) + 3.0
        rule(board, left, y, right, 1.4)
        return y

    # ---- the pages behind it

    def _bench(self, pt: float) -> Iterator[Section]:
        """What stands beside the set-points, of the variant that they are of."""
        build, _ = self.ordered
        if not is_begun(build, "set_up"):
            return
        for title, rows in bench.sections_of(build, self.solution):
            yield Section(title, (blocks.order_block(rows, pt),))

    def _others(self, sections: list[Section], pt: float) -> list[Board]:
        found = self.findings
        left = [*sections, *found.clear(), *found.sentences(pt, with_way=self.brief)]
        if self.build.notes.strip():
            written = [plain(line) for line in self.build.notes.strip().splitlines()]
            left.append(Section("Notes", tuple(block for line in written for block in _note(line or " ", self.room))))
        left += self._bench(pt)
        boards = []
        while left:
            board = Board(PAPER)
            head = paragraph(self.title, 12.0, bold=True)(board, self.frame.left, self.frame.top, self.room) + 4.0
            rule(board, self.frame.left, head, self.frame.right, 1.4)
            frame = (self.frame.left, head + _GAP, self.frame.right, self.foot)
            _, left = fill(board, left, frame, whole_page=True, after=_GAP * pt / BODY_PT)
            boards.append(board)
        return boards


def _note(line: str, room: float) -> list[Block]:
    """A line of the notes: kept together on its page, or line by line where it is as long as that."""
    told = lines(line, BODY_PT, room)
    return [paragraph(part) for part in told] if len(told) > _TOGETHER else [paragraph(line)]


def _headed(section: Section) -> Block:
    return stacked(heading(section.title, section.aside), *section.blocks)
