"""Templates at true scale, one a page, with bars to check the printing by; and the same as DXF for who cuts by machine.

A page is 96 pixels to the inch, and a PDF's page as large as the paper: a millimetre is a millimetre unless a printer
shrinks it, which the bars show.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from app.complaints import title_of
from app.drawing.board import Board
from app.drawing.items import Stroke
from app.drawing.picture_files import pdf_bytes
from app.papers.kit import INK, MUTED, ROW_PT, TITLE_PT, foot, page_of
from app.setpoints import as_told
from app.sheet.flow import PAPER, SMALL_PT, line_height, lines, plain, rule
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import MILLIMETRES, show
from geometry.words.templates import Pair, Template, flattened, templates_of

if TYPE_CHECKING:
    from pathlib import Path

    from app.drawing.items import Page
    from geometry.document import Build
    from geometry.words.solution import Solution

_PX: Final = 96.0 / 25.4
"""Pixels a millimetre."""
BARS_MM: Final = ((100.0, "100 mm"), (101.6, "4 in"))
_CUT: Final = Stroke(INK, 1.0)
_SCRIBE: Final = Stroke(INK, 0.8, (10.0, 3.0, 2.0, 3.0))
_CROSS_MM: Final = 4.0
_USE: Final = (
    "Print it at its own size (100 %, no fitting to the page), and measure both bars before you cut anything: "
    "a bar that is off by more than half a millimetre spoils the template."
)
_CAUTION: Final = (
    "A template holds a shape, not a strength: plate, weld and bolts are for local rules and a licensed welder or "
    "engineer to say."
)


def save_templates(
    build: Build, solution: Solution, path: Path, *, paper: PaperName = "letter", source_name: str = ""
) -> None:
    """Write the templates to a PDF file, or to DXF where the name ends so.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    if path.suffix.lower() == ".dxf":
        path.write_text(dxf_text(build, solution), encoding="utf-8", newline="\n")
        return
    pages = template_pages(build, solution, paper, source_name=source_name)
    path.write_bytes(pdf_bytes(pages, plain(build.title) or "Templates"))


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
    every = _every(build, solution)
    made: list[Page] = []
    count = max(len(every), 1)
    for number, template in enumerate(every, start=1):
        board, frame = Board(PAPER), frame_of(size)
        _Sheet(board, frame, build).draw(template)
        foot(board, frame, "Cut along full lines; scribe broken ones.", told, f"{number} of {count}")
        made.append(page_of(board, size))
    if not made:
        board, frame = Board(PAPER), frame_of(size)
        board.write(frame.left, frame.top + 22.0, "Templates", TITLE_PT, INK, bold=True)
        board.write(
            frame.left, frame.top + 56.0, "Links take no perches: there is nothing to cut a template for.", ROW_PT, INK
        )
        foot(board, frame, "", told, "1 of 1")
        made.append(page_of(board, size))
    return tuple(made)


def _every(build: Build, solution: Solution) -> tuple[Template, ...]:
    """All templates, of the numbers that the other papers show."""
    return templates_of(build, replace(solution, setpoints=as_told(build, solution)))


class _Sheet:
    """One page in the making."""

    def __init__(self, board: Board, frame: Frame, build: Build) -> None:
        self.board, self.frame, self.build = board, frame, build

    def draw(self, template: Template) -> None:
        board, frame = self.board, self.frame
        board.write(frame.left, frame.top + 20.0, template.title, TITLE_PT, INK, bold=True)
        board.write(frame.right, frame.top + 20.0, "true scale, 1 : 1", ROW_PT, MUTED, align="right")
        y = self._paragraphs((*template.says, _USE, _CAUTION), frame.top + 44.0)
        rule(board, frame.left, y, frame.right, 0.8)
        bars = frame.bottom - 96.0
        self._bars(bars)
        room = (frame.room, bars - 26.0 - y - 12.0)
        if template.wants:
            wanted = ", ".join(title_of(path).lower() for path in template.wants)
            self._paragraphs((f"Cannot be drawn yet. Measure or enter: {wanted}.",), y + 30.0)
            return
        wide, high = (one * _PX for one in template.size_mm)
        if wide > room[0] or high > room[1]:
            size = " by ".join(show(one, "mm", MILLIMETRES) for one in template.size_mm)
            says = f"It is {size}, larger than this paper: have it as DXF."
            self._paragraphs((says,), y + 30.0)
            return
        left, _, _, top = template.bounds
        x0 = frame.left + (room[0] - wide) / 2.0 - left * _PX
        y0 = y + 12.0 + (room[1] - high) / 2.0 + top * _PX
        self._template(template, x0, y0)

    def _paragraphs(self, texts: tuple[str, ...], y: float) -> float:
        for text in texts:
            for line in lines(text, ROW_PT, self.frame.room):
                self.board.write(self.frame.left, y, line, ROW_PT, INK)
                y += line_height(ROW_PT)
            y += 2.0
        return y

    def _template(self, template: Template, x0: float, y0: float) -> None:
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
            left, base = at((x, y))
            board.write(left, base + 3.0, words, SMALL_PT, INK, align="middle")

    def _bars(self, y: float) -> None:
        """The two bars, one under the other."""
        for number, (size, words) in enumerate(BARS_MM):
            left, base = self.frame.left, y + 26.0 * number
            right = left + size * _PX
            self.board.line(((left, base), (right, base)), INK, 1.0, z=8.0)
            for x in (left, right):
                self.board.line(((x, base - 5.0), (x, base + 5.0)), INK, 1.0, z=8.0)
            self.board.write(right + 8.0, base + 3.5, f"{words}: measure it", ROW_PT, INK, bold=True)


def dxf_text(build: Build, solution: Solution) -> str:
    """Return the templates as DXF in millimetres, one beside the other: layers to cut, to scribe and to read."""
    import io

    import ezdxf
    from ezdxf import units
    from ezdxf.enums import TextEntityAlignment

    document = ezdxf.new("R2010", units=units.MM)  # type: ignore[attr-defined]
    for name, colour in (("CUT", 7), ("SCRIBE", 3), ("WORDS", 8)):
        document.layers.add(name, color=colour)
    space, left = document.modelspace(), 0.0

    def words(x: float, y: float, text: str, high: float = 3.0) -> None:
        entity = space.add_text(plain(text), height=high, dxfattribs={"layer": "WORDS"})
        entity.set_placement((x, y), align=TextEntityAlignment.LEFT)

    for template in _every(build, solution):
        if template.wants:
            continue
        low_x, low_y, _, high_y = template.bounds
        dx, dy = left - low_x, -low_y
        space.add_lwpolyline(
            [(x + dx, y + dy, bulge) for x, y, bulge in template.outline],
            format="xyb",
            close=True,
            dxfattribs={"layer": "CUT"},
        )
        for hole in template.holes:
            centre = (hole.x + dx, hole.y + dy)
            if hole.diameter_mm:
                space.add_circle(centre, hole.diameter_mm / 2.0, dxfattribs={"layer": "CUT"})
            else:
                space.add_point(centre, dxfattribs={"layer": "SCRIBE"})
        for one, two in template.scribed:
            ends = ((one[0] + dx, one[1] + dy), (two[0] + dx, two[1] + dy))
            space.add_line(*ends, dxfattribs={"layer": "SCRIBE"})
        for number, text in enumerate((template.title, *template.says)):
            words(left, high_y + dy + 8.0 + 5.0 * (len(template.says) - number), text)
        left += template.size_mm[0] + 40.0
    for number, (size, text) in enumerate(BARS_MM):
        y = -30.0 - 12.0 * number
        space.add_line((0.0, y), (size, y), dxfattribs={"layer": "SCRIBE"})
        words(size + 4.0, y - 1.5, f"{text}: measure it")
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()
