"""Templates at true scale, one a page, with bars to check the printing by; and the same as DXF for who cuts by machine.

A page is 96 pixels to the inch, and a PDF's page as large as the paper: a millimetre is a millimetre unless a printer
shrinks it, which the bars show.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from app.complaints import title_of
from app.drawing.board import Board
from app.drawing.fonts import width
from app.drawing.items import Stroke
from app.papers.kit import INK, MUTED, ROW_PT, TITLE_PT, foot, notes_of, page_of
from app.setpoints import as_told, variant_words
from app.sheet.flow import PAPER, SMALL_PT, line_height, lines, plain, rule
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import MILLIMETRES, show
from geometry.words.names import of_shaft
from geometry.words.templates import Pair, Template, flattened, templates_of
from geometry.words.wording import small

if TYPE_CHECKING:
    from app.drawing.items import Page
    from geometry.document import Build
    from geometry.words.solution import Solution

_PX: Final = 96.0 / 25.4
"""Pixels a millimetre."""
BARS_MM: Final = ((100.0, "100 mm"), (101.6, "4 in"))
_CUT: Final = Stroke(INK, 1.0)
_SCRIBE: Final = Stroke(INK, 0.8, (10.0, 3.0, 2.0, 3.0))
_CROSS_MM: Final = 4.0
_TITLE: Final = 20.0
_WORDS: Final = 44.0
_BETWEEN: Final = 2.0
_BARS: Final = 96.0
_FOOT: Final = 40.0
"""From the frame's top to the title and to the words; between paragraphs; from its bottom to the bars and the foot."""
_APART: Final = 20.0
_BAR_ROOM: Final = 101.6 * _PX + 120.0
"""Between a template and the words beside it, which are at least as wide as the bars with their own words."""
_USE: Final = (
    "Print it at its own size (100 %, no fitting to the page), and measure both bars before you cut anything: "
    "a bar that is off by more than half a millimetre spoils the template."
)
_AS_PLANNED: Final = "For the plan as it is entered, without any remedy."
_NOTHING: Final = "Links take no perches: there is nothing to cut a template for."
_CAUTION: Final = (
    "A template holds a shape, not a strength: plate, weld and bolts are for local rules and a licensed welder or "
    "engineer to say."
)


def template_pages(
    build: Build,
    solution: Solution,
    paper: PaperName = "letter",
    *,
    source_name: str = "",
    printed_on: date | None = None,
) -> tuple[Page, ...]:
    """Return the pages: one a template; what cannot be drawn yet, or is larger than the page, is named with why."""
    size = SIZES[paper]
    told = told_at_the_foot(build, "templates", source_name, printed_on)
    every, notes = _every(build, solution), _notes(build, solution)
    made: list[Page] = []
    count = max(len(every), 1)
    for number, template in enumerate(every, start=1):
        board, frame = Board(PAPER), frame_of(size)
        _Sheet(board, frame, notes).draw(template)
        foot(board, frame, "Cut along full lines; scribe broken ones.", told, f"{number} of {count}")
        made.append(page_of(board, size))
    if not made:
        board, frame = Board(PAPER), frame_of(size)
        board.write(frame.left, frame.top + 22.0, of_shaft(build, "Templates"), TITLE_PT, INK, bold=True)
        board.write(frame.left, frame.top + 56.0, _NOTHING, ROW_PT, INK)
        foot(board, frame, "", told, "1 of 1")
        made.append(page_of(board, size))
    return tuple(made)


def _notes(build: Build, solution: Solution) -> Notes:
    """What all of them own up to, first of all whose plan they are cut for."""
    notes = notes_of(build, solution)
    return notes if variant_words(build, solution) else ((_AS_PLANNED, INK), *notes)


def _every(build: Build, solution: Solution) -> tuple[Template, ...]:
    """All templates, of the numbers that the other papers show; with two drivelines each names its own."""
    made = templates_of(build, replace(solution, setpoints=as_told(build, solution)))
    return tuple(replace(one, title=of_shaft(build, one.title)) for one in made) if build.drivelines else made


Notes = tuple[tuple[str, str], ...]
"""Sentences with their colours."""


class _Placed(NamedTuple):
    """A template as it lies on the page, the room in the middle of which it lies, and what its words leave."""

    template: Template
    room: Frame
    words: Frame


def _placed(template: Template, said: tuple[str, ...], frame: Frame) -> _Placed | None:
    """Under its words or beside them, upright or turned by a quarter: the first that the page has room for."""
    bars = frame.bottom - _BARS
    under = frame._replace(top=frame.top + _WORDS + _high(said, frame) + 12.0, bottom=bars - 26.0)
    tall = frame._replace(top=frame.top + _TITLE + 10.0, bottom=frame.bottom - _FOOT)
    ways = (template, template.turned())
    for one in ways:
        if _fits(one, under):
            return _Placed(one, under, frame)
    for one in ways:
        left = frame.right - one.size_mm[0] * _PX
        words = frame._replace(right=left - _APART)
        if words.room >= _BAR_ROOM and _fits(one, tall) and frame.top + _WORDS + _high(said, words) < bars - 12.0:
            return _Placed(one, tall._replace(left=left), words)
    return None


def _fits(template: Template, room: Frame) -> bool:
    wide, high = (one * _PX for one in template.size_mm)
    return wide <= room.room and high <= room.bottom - room.top


def _high(texts: tuple[str, ...], frame: Frame) -> float:
    """How high paragraphs are in a frame."""
    return sum(len(lines(text, ROW_PT, frame.room, bold=True)) * line_height(ROW_PT) + _BETWEEN for text in texts)


def _lacks(template: Template) -> str:
    """Say what is to be entered before it can be drawn, or that all of it is and comes to nothing known."""
    if not template.wants:
        return "Cannot be drawn yet: how the axle stands is not known. The findings say why."
    wanted = ", ".join(small(title_of(path)) for path in template.wants)
    return f"Cannot be drawn yet. Measure or enter: {wanted}."


class _Sheet:
    """One page in the making."""

    def __init__(self, board: Board, frame: Frame, notes: Notes) -> None:
        self.board, self.frame, self.notes = board, frame, notes

    def draw(self, template: Template) -> None:
        board, frame = self.board, self.frame
        board.write(frame.left, frame.top + _TITLE, template.title, TITLE_PT, INK, bold=True)
        board.write(frame.right, frame.top + _TITLE, "true scale, 1 : 1", ROW_PT, MUTED, align="right")
        said = (*(words for words, _ in self.notes), *template.says, _USE, _CAUTION)
        placed = _placed(template, said, frame) if template.drawn else None
        words = frame if placed is None else placed.words
        y = self._paragraphs(said, words, frame.top + _WORDS)
        rule(board, words.left, y, words.right, 0.8)
        self._bars(frame.bottom - _BARS)
        if placed is not None:
            self._template(placed.template, placed.room)
        elif not template.drawn:
            self._paragraphs((_lacks(template),), frame, y + 30.0)
        else:
            size = " by ".join(show(one, "mm", MILLIMETRES) for one in template.size_mm)
            self._paragraphs((f"It is {size}, larger than this paper: have it as DXF.",), frame, y + 30.0)

    def _paragraphs(self, texts: tuple[str, ...], frame: Frame, y: float) -> float:
        for text in texts:
            colour = dict(self.notes).get(text)
            for line in lines(text, ROW_PT, frame.room, bold=colour is not None):
                self.board.write(frame.left, y, line, ROW_PT, colour or INK, bold=colour is not None)
                y += line_height(ROW_PT)
            y += _BETWEEN
        return y

    def _template(self, template: Template, room: Frame) -> None:
        left, low, right, top = template.bounds
        x0 = (room.left + room.right - (left + right) * _PX) / 2.0
        y0 = (room.top + room.bottom + (low + top) * _PX) / 2.0

        def at(point: Pair) -> Pair:
            return x0 + point[0] * _PX, y0 - point[1] * _PX

        board = self.board
        outline = tuple(at(point) for point in flattened(template.outline))
        board.shape(outline, "", _CUT, z=5.0)
        for one, two in template.scribed:
            board.line((at(one), at(two)), _SCRIBE.colour, _SCRIBE.width, dash=_SCRIBE.dash, z=6.0)
        for hole in template.holes:
            x, y = at((hole.x, hole.y))
            cross = _CROSS_MM * _PX
            board.line(((x - cross, y), (x + cross, y)), INK, 0.6, z=7.0)
            board.line(((x, y - cross), (x, y + cross)), INK, 0.6, z=7.0)
            if hole.diameter_mm:
                board.disc((x, y), hole.diameter_mm / 2.0 * _PX, "", _CUT, z=7.1)
        for x, y, words in template.labels:
            middle, base = at((x, y))
            half = width(words, SMALL_PT) / 2.0 + 3.0  # words stay inside of the outline as far as they can
            middle = max(min(middle, at((right, top))[0] - half), at((left, top))[0] + half)
            board.write(middle, base + 3.0, words, SMALL_PT, INK, align="middle")

    def _bars(self, y: float) -> None:
        """The two bars, one under the other."""
        for number, (size, words) in enumerate(BARS_MM):
            left, base = self.frame.left, y + 26.0 * number
            right = left + size * _PX
            self.board.line(((left, base), (right, base)), INK, 1.0, z=8.0)
            for x in (left, right):
                self.board.line(((x, base - 5.0), (x, base + 5.0)), INK, 1.0, z=8.0)
            self.board.write(right + 8.0, base + 3.5, f"{words}: measure it", ROW_PT, INK, bold=True)


def _not_drawn(every: tuple[Template, ...]) -> list[str]:
    """Say what is not drawn, and why."""
    return [f"{one.title}. {_lacks(one)}" for one in every if not one.drawn] if every else [_NOTHING]


def dxf_text(build: Build, solution: Solution) -> str:
    """Return the templates as DXF in millimetres, one beside the other: layers to cut, to scribe and to read.

    What cannot be drawn yet is named below the bars, with what it wants.
    """
    import io

    import ezdxf
    from ezdxf import units

    document = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
    for name, colour in (("CUT", 7), ("SCRIBE", 3), ("WORDS", 8)):
        document.layers.add(name, color=colour)
    space, left = document.modelspace(), 0.0
    every = _every(build, solution)
    for template in every:
        if template.drawn:
            _dxf_template(space, template, left)
            left += template.size_mm[0] + 40.0
    for number, (size, text) in enumerate(BARS_MM):
        y = -30.0 - 12.0 * number
        space.add_line((0.0, y), (size, y), dxfattribs={"layer": "SCRIBE"})
        _dxf_words(space, (size + 4.0, y - 1.5), f"{text}: measure it")
    for number, text in enumerate((*(words for words, _ in _notes(build, solution)), *_not_drawn(every))):
        _dxf_words(space, (0.0, -60.0 - 8.0 * number), text)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def _dxf_words(space: Any, at: Pair, text: str, align: str = "LEFT") -> None:
    from ezdxf.enums import TextEntityAlignment

    entity = space.add_text(plain(text), height=3.0, dxfattribs={"layer": "WORDS"})
    entity.set_placement(at, align=TextEntityAlignment[align])


def _dxf_template(space: Any, template: Template, left: float) -> None:
    """One template with its left edge there and its lower one at nought."""
    low_x, low_y, _, high_y = template.bounds

    def at(point: Pair) -> Pair:
        return point[0] + left - low_x, point[1] - low_y

    corners = [(*at((x, y)), bulge) for x, y, bulge in template.outline]
    space.add_lwpolyline(corners, format="xyb", close=True, dxfattribs={"layer": "CUT"})
    for hole in template.holes:
        centre = at((hole.x, hole.y))
        if hole.diameter_mm:
            space.add_circle(centre, hole.diameter_mm / 2.0, dxfattribs={"layer": "CUT"})
        else:
            space.add_point(centre, dxfattribs={"layer": "SCRIBE"})
    for one, two in template.scribed:
        space.add_line(at(one), at(two), dxfattribs={"layer": "SCRIBE"})
    for x, y, text in template.labels:
        _dxf_words(space, at((x, y)), text, "MIDDLE_CENTER")
    for number, text in enumerate((template.title, *template.says)):
        _dxf_words(space, (left, high_y - low_y + 8.0 + 5.0 * (len(template.says) - number)), text)
