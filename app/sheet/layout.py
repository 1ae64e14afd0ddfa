"""One page from one build: panes on three columns, told as fully and as large as the page allows.

The first rung of the ladder that holds everything is taken. A hold or caution sentence and the cautions are on every
rung. What room is left goes to the drawing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Final

from pydantic import ValidationError

from app.setpoints import SetPoint, on_links, recommended, set_points, variant_words
from app.sheet import blocks, findings
from app.sheet.checks import Checks, checks_of
from app.sheet.entries import Entry, Letters, entries
from app.sheet.flow import cleaned
from app.sheet.ladder import Rung, first_fit, rungs
from app.sheet.order import Row, shaft_order
from app.sheet.page import EMPTY, GUTTER, PAPERS, Block, Item, Paper, PaperName, stacked
from app.sketch.camera import Rect
from geometry import Build, edited, solve
from geometry.words.solution import Solution, Verdict

GAP: Final = 9.0
_TALLEST_SHARE: Final = 0.62  # of the drawing's width: beyond, more height shows no more
_FINDINGS: Final = "Findings, worst first"
_WITHOUT_WAYS: Final = f"{_FINDINGS}; the program has the remedies"
_MORE_WAYS: Final = f"{_FINDINGS}; the program has other ways out"
_BASIS_GAP: Final = 4.0
_AS_SET: Final = "of the shaft with that remedy"
_ROOM_TO_WRITE: Final = 55.0
_STEP: Final = 3.0
_MOST_SPREAD: Final = 3.0  # more white between findings would look like a gap
_MOST_NOTES: Final = 12
_NOTES_COST: Final = 20.0  # of the drawing's height over its least
_NOTES_LINE: Final = 10.0  # of it that the last line may cost even so
_LEAST_DRAWING: Final = 135.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """The laid-out page: everything but the drawing, and the box that the drawing gets."""

    paper: Paper
    items: tuple[Item, ...]
    drawing: Rect
    rung: Rung


@dataclass(frozen=True, slots=True)
class Content:
    """What the page tells, as words."""

    title: str
    says: str
    verdict: Verdict
    notes: str
    source_name: str
    printed_on: date
    units: str
    points: tuple[SetPoint, ...]
    order: tuple[Row, ...]
    found: Mapping[Verdict, Sequence[Entry]]
    checks: Checks
    variant: str = ""
    """Whose the set-points and the order are where they are not the plan's."""
    more_ways: bool = False


def content_of(build: Build, solution: Solution, source_name: str, printed_on: date) -> Content:
    """Everything that the page says, cleaned for printing."""
    display = build.display
    return Content(
        cleaned(build.title) or "Untitled build",
        cleaned(solution.says),
        solution.verdict,
        cleaned(build.notes),
        cleaned(source_name),
        printed_on,
        f"{'in' if display.length == 'inch' else 'mm'} · {'lb·ft' if display.torque == 'pound_foot' else 'N·m'}",
        set_points(build, solution),
        shaft_order(*_ordered(build, solution)),
        entries(solution, display),
        checks_of(links=on_links(build)),
        cleaned(variant_words(build, solution)),
        any(finding.alternatives for finding in solution.findings),
    )


def _ordered(build: Build, solution: Solution) -> tuple[Build, Solution]:
    """The variant that the set-points are of, as the shaft is ordered for it."""
    remedy = recommended(build, solution)
    if remedy is None:
        return build, solution
    try:
        other = edited(build, remedy.changes)
    except ValidationError:
        return build, solution
    return other, solve(other)


def laid_out(content: Content, paper_name: PaperName) -> Sheet:
    """The page on the first rung that holds everything."""
    paper = PAPERS[paper_name]
    ladder = rungs(len(content.found["clear"]), len(content.found["unknown"]))

    def fit(rung: Rung) -> tuple[_Frame, float] | None:
        if _hopeless(content, paper, rung):
            return None
        frame = _frame(content, paper, rung)
        height = frame.most_drawing()
        return None if height is None else (frame, height)

    fitting = first_fit(ladder, fit)
    return _cut_short(content, paper, ladder[-1]) if fitting is None else _with_more_notes(content, *fitting)


def _with_more_notes(content: Content, frame: _Frame, height: float) -> Sheet:
    """The page with as many more lines of the notes as cost the drawing little."""
    least = max(_LEAST_DRAWING, min(height, frame.rung.drawing + _NOTES_COST) - _NOTES_LINE)
    for lines in range(_MOST_NOTES, frame.rung.notes, -1):
        notes = _notes(content, frame.paper, frame.rung, lines)
        if notes.height > frame.panes.notes.height:
            longer = replace(frame, panes=replace(frame.panes, notes=notes), rung=replace(frame.rung, drawing=least))
            drawing = longer.most_drawing()
            if drawing is not None:
                return longer.sheet(drawing)
    return frame.sheet(height)


def _hopeless(content: Content, paper: Paper, rung: Rung) -> bool:
    """Whether a rung is not worth laying out, as the bare letters of its findings take more than the page."""
    page = paper.content * (paper.foot - paper.top) - paper.column * rung.drawing
    return findings.least_area(content.found, rung.telling) > page


def _cut_short(content: Content, paper: Paper, rung: Rung) -> Sheet:
    """The last rung with as many findings as go in, and words on how many more there are."""
    frame = _frame(content, paper, rung)
    found, column = frame.panes.found, paper.column
    low, high = 0, len(found) - 1
    while low < high:
        middle = (low + high + 1) // 2
        frame.panes = replace(frame.panes, found=(*found[:middle], findings.left_over(len(found) - middle, column)))
        low, high = (middle, high) if frame.most_drawing() is not None else (low, middle - 1)
    frame.panes = replace(frame.panes, found=(*found[:low], findings.left_over(len(found) - low, column)))
    return frame.sheet(frame.most_drawing() or frame.rung.drawing)


@dataclass(frozen=True, slots=True)
class _Panes:
    """Blocks of one rung, measured once."""

    points: Block
    order: Block
    basis: Block
    cautions: Block
    checks: Block
    found: tuple[Block, ...]
    head: Block
    more: Block
    notes: Block


def _frame(content: Content, paper: Paper, rung: Rung) -> _Frame:
    header = blocks.header(content.title, content.says, content.verdict, paper.content)
    strip = blocks.title_block(content.source_name, content.printed_on, content.units, paper.content)
    top, foot = paper.top + header.height + 4.0, paper.foot - strip.height - 6.0
    return _Frame(_panes(content, paper, rung), paper, rung, top, foot, header, strip)


def _panes(content: Content, paper: Paper, rung: Rung) -> _Panes:
    size, column = rung.telling.size, paper.column
    broad = 2.0 * column + GUTTER
    letters = Letters()
    found = findings.finding_blocks(content.found, rung.telling, column, letters)
    points = [point for point in content.points if rung.perches or not point.spare]
    left_out = not rung.telling.ways and any(entry.way for some in content.found.values() for entry in some)
    head = _WITHOUT_WAYS if left_out else _MORE_WAYS if content.more_ways else _FINDINGS
    return _Panes(
        points=blocks.set_point_table(points, broad, size, rung.row, content.variant),
        order=blocks.order_list(content.order, column, size, rung.telling.leading, _AS_SET if content.variant else ""),
        basis=findings.basis_block(letters, broad, min(size, 6.5)),
        cautions=blocks.caution_list(column, size, rung.telling.leading),
        checks=blocks.check_list(content.checks, column, size, rung.telling.leading),
        found=tuple(found) or (findings.nothing_measured(column, size),),
        head=blocks.heading(head, broad, size),
        more=blocks.heading("Findings, continued", column, size),
        notes=_notes(content, paper, rung, rung.notes),
    )


def _notes(content: Content, paper: Paper, rung: Rung, lines: int) -> Block:
    if not content.notes:
        return EMPTY
    return blocks.notes_block(content.notes, 2.0 * paper.column + GUTTER, rung.telling.size, lines)


@dataclass(slots=True)
class _Frame:
    """Where the panes of one rung go between header and title block."""

    panes: _Panes
    paper: Paper
    rung: Rung
    top: float
    foot: float
    header: Block
    strip: Block

    def sheet(self, drawing: float) -> Sheet:
        """The whole page with a drawing of that height."""
        paper = self.paper
        items = [
            *self.header.at(paper.left, paper.top),
            *self.items(drawing),
            *self.strip.at(paper.left, paper.foot - self.strip.height),
        ]
        box = Rect(paper.left, self.top, paper.left + self.broad, self.top + drawing)
        return Sheet(paper, tuple(items), box, self.rung)

    @property
    def broad(self) -> float:
        """Width of the drawing."""
        return self.paper.content if self.rung.wide else self.paper.content - self.paper.column - GUTTER

    @property
    def gap(self) -> float:
        """White between panes."""
        return GAP * self.rung.telling.size / 8.0

    def most_drawing(self) -> float | None:
        """Greatest height of the drawing with which everything goes in; None where not even the least does.

        Findings keep to their two columns where they can; only else they run on under the shaft order.
        """
        tallest = max(self.rung.drawing, _TALLEST_SHARE * self.broad)
        if self._right_spare(self.rung.drawing) < -self.gap:
            return None
        two = self._left_room(0.0) - _least_height(self._heights(), 2)
        if self.rung.wide:
            two = min(two, self._right_spare(0.0) + self.gap)
        if two >= self.rung.drawing:
            return min(two, tallest)
        height = min(tallest, self._left_room(0.0))
        while height >= self.rung.drawing:
            if _counts(self._heights(), self._columns(height)) is not None:
                return height
            height -= _STEP
        return None

    def items(self, drawing: float) -> list[Item]:
        """Everything in its place round a drawing of that height."""
        panes, left, right = self.panes, self.paper.left, self.paper.column_left(2)
        y = self.top + drawing + self.gap
        order_y = y if self.rung.wide else self.top
        head_y = y + panes.points.height + self.gap
        items = [*panes.points.at(left, y), *panes.order.at(right, order_y), *panes.head.at(left, head_y)]
        cautions_y = self.foot - panes.cautions.height
        items += panes.cautions.at(right, cautions_y)
        items += panes.checks.at(right, cautions_y - self.gap - panes.checks.height)
        found_y = head_y + panes.head.height
        more_y = order_y + panes.order.height + self.gap
        needed = _least_height(self._heights(), 2)
        room = self._left_room(drawing)
        if needed <= room + 0.5:
            columns = [needed + 0.5] * 2
            below = found_y + needed + (_BASIS_GAP if panes.basis.height else 0.0)
            items += panes.basis.at(left, below)
            rest_y = below + panes.basis.height + self.gap
            items += self._rest(rest_y)
            spare = self._right_spare(drawing)
            if spare > _ROOM_TO_WRITE > self._room_below(rest_y):
                items += blocks.writing_lines(self.paper.column, self.rung.telling.size, spare).at(right, more_y)
        else:
            columns = self._columns(drawing)
            notes_y = self.foot - panes.notes.height
            items += panes.notes.at(left, notes_y)
            items += panes.basis.at(left, notes_y - (self.gap if panes.notes.height else 0.0) - panes.basis.height)
        tops = (found_y, found_y, more_y + panes.more.height)
        counts = _counts(self._heights(), columns) or [len(panes.found)]
        if len(counts) > 2 and counts[2]:
            items += panes.more.at(right, more_y)
        rest = list(panes.found)
        for number, count in enumerate(counts):
            items += _spread(rest[:count], columns[number]).at(self.paper.column_left(number), tops[number])
            del rest[:count]
        return items

    def _heights(self) -> list[float]:
        return [block.height for block in self.panes.found]

    def _left_room(self, drawing: float) -> float:
        """Height that the findings have in the two left columns."""
        panes = self.panes
        foot = self.foot - panes.notes.height - (self.gap if panes.notes.height else 0.0)
        foot -= panes.basis.height + (_BASIS_GAP if panes.basis.height else 0.0)
        return foot - (self.top + drawing + self.gap + panes.points.height + self.gap + panes.head.height)

    def _right_spare(self, drawing: float) -> float:
        """Height that is left between the order and the check list."""
        panes = self.panes
        top = self.top + (drawing + self.gap if self.rung.wide else 0.0) + panes.order.height + self.gap
        return self.foot - panes.cautions.height - self.gap - panes.checks.height - self.gap - top

    def _columns(self, drawing: float) -> list[float]:
        room = self._left_room(drawing)
        return [room, room, self._right_spare(drawing) - self.panes.more.height]

    def _rest(self, y: float) -> list[Item]:
        """Notes under the findings, and lines to write on where there is room left."""
        notes = self.panes.notes
        items = list(notes.at(self.paper.left, y))
        y += notes.height + (self.gap if notes.height else 0.0)
        if self.foot - y < _ROOM_TO_WRITE:
            return items
        lines = blocks.writing_lines(2.0 * self.paper.column + GUTTER, self.rung.telling.size, self.foot - y)
        return [*items, *lines.at(self.paper.left, y)]

    def _room_below(self, y: float) -> float:
        """Height that the notes leave under the findings."""
        notes = self.panes.notes
        return self.foot - y - notes.height - (self.gap if notes.height else 0.0)


def _spread(column: Sequence[Block], room: float) -> Block:
    """Blocks one under the other, with a little of a column's spare room between them."""
    spare = room - sum(block.height for block in column)
    return stacked(column, min(_MOST_SPREAD, max(0.0, spare / max(1, len(column) - 1))))


def _counts(heights: Sequence[float], columns: Sequence[float]) -> list[int] | None:
    """How many blocks go down each column in turn, or None where they do not all go in."""
    counts = []
    at = 0
    for tall in columns:
        first, used = at, 0.0
        while at < len(heights) and used + heights[at] <= tall:
            used += heights[at]
            at += 1
        counts.append(at - first)
    return counts if at == len(heights) else None


def _least_height(heights: Sequence[float], count: int) -> float:
    """Least height in which the blocks go into that many columns of one height, to a quarter point."""
    low, high = max(heights), sum(heights)
    if _counts(heights, [low] * count) is not None:
        return low
    while high - low > 0.25:
        middle = 0.5 * (low + high)
        if _counts(heights, [middle] * count) is None:
            low = middle
        else:
            high = middle
    return high
