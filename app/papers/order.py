"""The order for the shaft's builder, a page a section: what is known in bold, an empty box for what is not.

It is of the variant that the build sheet's set-points are of. Nothing is worked out here: lengths, angles, speeds and
loads are the solution's, sizes the build's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from app.amounts import amount
from app.cautions import CAUTIONS
from app.drawing.board import Align, Board
from app.drawing.fonts import application, width
from app.drawing.items import Stroke
from app.drawing.palette import VERDICT_WORDS
from app.drawing.picture_files import pdf_bytes
from app.papers.kit import (
    FROM_MEMORY,
    INK,
    MUTED,
    choice,
    field,
    fitting,
    foot,
    hatched,
    lettered,
    page_of,
    text_box,
    tick,
    write_line,
)  # fmt: skip
from app.papers.shaft_drawing import Drawn, MateType, ShaftDrawing, end_view
from app.setpoints import both_lengths, variant_words
from app.sheet.flow import BODY_PT, PAPER, SMALL_PT, line_height, lines, plain, rule
from app.sheet.order import open_torque
from app.sheet.pages import ordered_for
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import both, degrees, leaning, show, show_tape, shown_unit
from geometry.document import Build, is_front_axle, value_at
from geometry.document.running_gear import TwoPieceShaft

if TYPE_CHECKING:
    from pathlib import Path

    from app.drawing.items import Page
    from app.drawing.subject import JointType
    from geometry.words.solution import OrderedEnd, ShaftSection, Solution

_PITCH: Final = 20.2
_TALL, _LEAST_TALL, _MOST_TALL = 186.0, 136.0, 230.0
"""Height of the drawing."""
_LARGEST_PT: Final = 19.0
"""Of the length to order: nothing on the page is larger."""
_RUNOUT_MM: Final = (0.254, 0.127)
"""At the middle and at the welds: trade custom, from memory."""
_SQUARE_DEG: Final = 2.0
"""How far from square to the shaft a support bearing may sit: trade custom, from memory."""
_IN_LINE_DEG: Final = 0.05
_TYPES: Final = {"cardan": "single cross", "double_cardan": "double cross", "constant_velocity": "constant velocity"}
_SHAFT_ENDS: Final = (("flange", "flange"), ("caps", "bare caps"), ("spline", "slip yoke"))
_MATES: Final = (
    ("flange", "flange"),
    ("straps", "straps"),
    ("u_bolts", "U-bolts"),
    ("clips", "clips"),
    ("spline", "spline"),
)
_SITS: Final = (("output_end", "at gearbox"), ("pinion_end", "at axle"), ("gearbox", "slip yoke"))


@dataclass(frozen=True)
class Order:
    """Its pages, and what tests ask of it: where they may be printed on."""

    pages: tuple[Page, ...]
    frame: Frame


class _End(NamedTuple):
    """One end of a section: what it is called, the joint there, and the document's sections of both its halves."""

    title: str
    joint: str
    shaft: str
    mate: str
    adapter: str
    ordered: OrderedEnd | None
    """None at the joint between two sections."""


def save_order(
    build: Build, solution: Solution, path: Path, *, paper: PaperName = "letter", source_name: str = ""
) -> None:
    """Write the order to a PDF file.

    Raises
    ------
    OSError
        If the file cannot be written.
    """
    pages = order_pages(build, solution, paper, source_name=source_name)
    path.write_bytes(pdf_bytes(pages, plain(build.title) or "Shaft order"))


def order_pages(
    build: Build, solution: Solution, paper: PaperName = "letter", *, source_name: str = "",
    printed_on: date | None = None,
) -> tuple[Page, ...]:  # fmt: skip
    """The pages to be painted, on a printer, in its preview, in a file."""
    return order_of(build, solution, paper, source_name=source_name, printed_on=printed_on).pages


def order_of(
    build: Build, solution: Solution, paper: PaperName = "letter", *, source_name: str = "",
    printed_on: date | None = None,
) -> Order:  # fmt: skip
    """The pages, laid out."""
    application()  # Qt measures words only with one
    told = told_at_the_foot(build, "shaft order", source_name, printed_on)
    variant = plain(variant_words(build, solution))
    build, solution = ordered_for(build, solution)
    size = SIZES[paper]
    count = len(solution.shaft.sections)
    pages = []
    for number, section in enumerate(solution.shaft.sections):
        tall = _TALL
        for _ in range(2):  # as high as what stands under the drawing lets it be
            board = Board(PAPER)
            made = _Page(board, build, solution, section, frame_of(size), (number, count), variant)
            tall = min(max(tall + made.draw(tall), _LEAST_TALL), _MOST_TALL)
        page = f"Shaft order · {number + 1} of {count}"
        foot(board, frame_of(size), CAUTIONS[4], told, page)
        pages.append(page_of(board, size))
    return Order(tuple(pages), frame_of(size))


class _Page:
    """The page of one section in the making."""

    def __init__(
        self, board: Board, build: Build, solution: Solution, section: ShaftSection, frame: Frame,
        which: tuple[int, int], variant: str,
    ) -> None:  # fmt: skip
        self.board, self.build, self.solution, self.section = board, build, solution, section
        self.frame, self.variant, self.display = frame, variant, build.display
        self.number, self.count = which
        self.two = isinstance(build.shaft, TwoPieceShaft)
        self.order = solution.order
        self.slips = self.order.section == section.name
        self.ahead = is_front_axle(build)
        self.ends = self._ends()
        tube = "tube" if not self.two else f"{section.name}_tube"
        self.tube = f"shaft.{tube}"

    # ---- what is known

    def _ends(self) -> tuple[_End, _End]:
        """Front and rear end of the section."""
        gearbox, axle = self.order.ends
        outer = {
            one.joint: _End(
                title, f"shaft.{one.joint}_joint", f"shaft.{one.joint}_end", mate, f"plan.{adapter}_adapter_mm", one
            )
            for one, title, mate, adapter in (
                (gearbox, "Gearbox end", "powertrain.output_end", "output"),
                (axle, "Axle end", "axle.pinion_end", "pinion"),
            )
        }  # fmt: skip
        front, rear = outer["front"], outer["rear"]
        if not self.two:
            return front, rear
        between = _End("Bearing end", "shaft.centre_joint", "", "", "", None)
        return (front, between) if self.section.name == "front" else (between, rear)

    def _value(self, path: str) -> Any:
        return value_at(self.build, path) if path else None

    def _mm(self, path: str, places: int | None = None) -> str:
        found = self._value(path)
        return "" if found is None else show(float(found), "mm", self.display, places=places)

    @property
    def _unit(self) -> str:
        return shown_unit("mm", self.display).symbol

    def _length(self, value: float | None) -> str:
        return "" if value is None else show(value, "mm", self.display)

    def _tape(self, value_mm: float) -> str:
        """A length as an inch's fraction where it is just one, as the tape has it."""
        fraction = show_tape(value_mm, self.display)
        return fraction if "/" in fraction and not fraction.startswith("≈") else amount(value_mm, "mm", self.display)

    def _caliper(self, value_mm: float) -> str:
        """A size as a caliper reads it: to a thousandth of an inch, or a hundredth of a millimetre."""
        return show(value_mm, "mm", self.display, places=3 if self.display.length == "inch" else 2)

    # ---- the page

    def draw(self, tall: float) -> float:
        """Draw all of it with a drawing so high; return how much room is left over the foot."""
        y = self._head()
        y = self._shaft(y + 8.0, tall)
        y = self._lengths(y + 23.0)
        y = self._both_ends(y + 25.0)
        y = self._details(y + 27.0)
        self._signing()
        return self.frame.bottom - 82.0 - y

    def _head(self) -> float:
        board, (left, top, right, _) = self.board, self.frame
        base = top + 22.0
        end = board.write(left, base, "SHAFT ORDER", 17.0, INK, bold=True)
        what = f"{self.section.name} section of two" if self.two else "one piece"
        what += " with slip" if self.slips and self._value("shaft.slip.sits") != "gearbox" else ""
        board.write(end + 12.0, base, f"{what} · make 1", 10.0, INK)
        wide = 262.0
        corners = ((right - wide, top), (right, top), (right, top + 54.0), (right - wide, top + 54.0))
        board.shape(corners, "", Stroke(INK, 2.4), z=10.0)
        tick(board, right - wide + 12.0, top + 22.0, "In doubt: call first.", 13.0, on=True)
        write_line(board, right - wide + 26.0, top + 45.0, "Phone", right - 12.0)
        room = frame_room = right - wide - 14.0 - left
        title = plain(self.build.title) or "Untitled build"
        size = fitting(title, 10.0, room)
        told = lines(title, size, room, bold=True)
        if len(told) > 2:
            told = [told[0], f"{told[1][: max(len(told[1]) - 2, 1)]}…"]
        y = base + 18.0
        for line in told:
            board.write(left, y, line, size, INK, bold=True)
            y += line_height(size)
        for words, colour in self._warned():
            for line in lines(words, BODY_PT, frame_room if y < top + 66.0 else self.frame.room, bold=True):
                board.write(left, y, line, BODY_PT, colour, bold=True)
                y += line_height(BODY_PT)
        y = max(y, top + 58.0) + 12.0
        share = self.frame.room / 20.0
        for at, to, words in (
            (0.0, 5.6, "Builder"),
            (6.0, 11.6, "For"),
            (12.0, 15.6, "Date"),
            (16.0, 20.0, "Wanted by"),
        ):
            write_line(board, left + at * share, y, words, left + to * share)
        rule(board, left, y + 11.0, right, 1.5)
        return y + 11.0

    def _warned(self) -> list[tuple[str, str]]:
        """What holds the plan up that the shaft would be made for, and whose shaft it is."""
        said = []
        verdict = self.solution.verdict
        if verdict == "hold":
            count = sum(one.verdict == "hold" for one in self.solution.findings)
            findings = "1 finding holds" if count == 1 else f"{count} findings hold"
            said.append(
                (
                    f"■ {VERDICT_WORDS[verdict]}: {findings} this plan up. Do not order before that is cleared.",
                    PAPER.hold,
                )
            )
        if self.variant:
            said.append((f"For the plan {self.variant}.", INK))
        return said

    # ---- drawing

    def _shaft(self, y: float, tall: float) -> float:
        board, (left, _, right, _) = self.board, self.frame
        sides: tuple[tuple[str, str, float, Align], ...] = (
            (self.ends[0].title, "front of vehicle ←", left, "left"),
            (self.ends[1].title, "→ rear", right, "right"),
        )
        for words, where, x, align in sides:
            board.write(x, y + 12.0, words.upper(), 11.0, PAPER.accent, bold=True, align=align)
            board.write(x, y + 26.0, where, SMALL_PT, MUTED, align=align)
        box = (left, y + 4.0, right, y + tall)
        ShaftDrawing(board, box, self._drawn()).draw()
        return box[3]

    def _drawn(self) -> Drawn:
        outer, tube = self._value(f"{self.tube}.outer_diameter_mm"), self._tube_words()
        first, other = (
            ("", "") if self.section.length_mm is None else both_lengths(self.section.length_mm, self.display)
        )
        stroke, engaged = self._value("shaft.slip.stroke_mm"), self._engaged_mm()
        slip = self._slip_at() if self.slips else None
        return Drawn(
            joints=(self._joint_type(self.ends[0]), self._joint_type(self.ends[1])),
            mates=(self._mate(self.ends[0]), self._mate(self.ends[1])),
            tube_mm=None if outer is None else float(outer),
            slip_at=slip,
            stroke_mm=None if stroke is None else float(stroke),
            engaged_mm=engaged,
            bearing=self._bearing_at(),
            told=(
                f"engaged {self._length(engaged)}" if engaged is not None and slip is not None else "",
                f"{first} joint centre to joint centre".strip(), other,
            ),
            tube_words=tube,
        )  # fmt: skip

    def _slip_at(self) -> int | None:
        """The end that the slip sits at in the drawing: as entered, else away from the axle; none in the gearbox."""
        sits = self._value("shaft.slip.sits")
        if sits == "gearbox":
            return None
        at_axle = 0 if self.ahead else 1
        return at_axle if sits == "pinion_end" else 1 - at_axle

    def _bearing_at(self) -> int | None:
        """The bearing sits on the section beside the gearbox, at its far end."""
        if not self.two or self.slips:
            return None
        return 0 if self.ahead else 1

    def _joint_type(self, end: _End) -> JointType:
        found: JointType = value_at(self.build, f"{end.joint}.type") or "cardan"
        return found

    def _mate(self, end: _End) -> MateType | None:
        if end.ordered is None:
            return "joint"
        found: MateType | None = value_at(self.build, f"{end.mate}.type")
        on_shaft = self._value(f"{end.shaft}.type")
        if found is None and on_shaft in ("flange", "spline"):
            return "flange" if on_shaft == "flange" else "spline"
        return found

    def _engaged_mm(self) -> float | None:
        """How much spline is inside at the ride height that the shaft is ordered for."""
        found = self._value("shaft.slip.engaged_mm")
        extended, length = self.order.extended_mm, self.order.length_mm
        if extended is not None and length is not None:
            return extended - length
        return None if found is None else float(found)

    def _tube_words(self) -> str:
        outer, wall = self._mm(f"{self.tube}.outer_diameter_mm"), self._mm(f"{self.tube}.wall_mm", self._fine)
        if not outer or not wall:
            return ""
        return f"{outer.removesuffix(self._unit).strip()} × {wall} {self._value(f'{self.tube}.material')}"

    @property
    def _fine(self) -> int | None:
        return 3 if self.display.length == "inch" else None

    # ---- lengths

    def _lengths(self, y: float) -> float:
        board, (left, _, right, _) = self.board, self.frame
        board.write(left, y, "Lengths, joint centre to joint centre", 11.5, INK, bold=True)
        ways = ("on its tyres", "springs settled", "loaded as used")
        x = right - sum(width(one, BODY_PT) + 25.0 for one in ways) + 11.0
        board.write(x - 8.0, y, "at ride height:", BODY_PT, INK, align="right")
        for words in ways:
            x = tick(board, x, y, words, BODY_PT) + 11.0
        rule(board, left, y + 6.0, right, 1.0)
        y = self._ruler(y + 27.0) if self.slips else self._fixed(y + 34.0)
        says = self._length_says()
        known = [one for one in says if one.startswith("Known")]
        for words in [one for one in says if one not in known]:
            bold = words.startswith(("Works", "Must", "No length"))
            beside = known.pop() if bold and known else ""
            room = self.frame.room - (width(beside, BODY_PT) + 12.0 if beside else 0.0)
            board.write(right, y, beside, BODY_PT, INK, align="right")
            for line in lines(words, BODY_PT, room, bold=bold):
                board.write(left, y, line, BODY_PT, INK, bold=bold)
                y += line_height(BODY_PT)
        for words in known:
            board.write(left, y, words, BODY_PT, INK)
            y += line_height(BODY_PT)
        board.write(
            left, y + 3.0, "Shaft out: tape cap seat to cap seat, then swap the ends of the tape.", BODY_PT, INK
        )
        board.write(right - 114.0, y + 3.0, "Face to face", BODY_PT, INK, align="right")
        text_box(board, right - 106.0, y - 11.0, 106.0, 18.0, self._unit)
        return y + 8.0

    def _length_says(self) -> list[str]:
        if not self.slips:
            return ["This section does not slip: its length is the support bearing's place."]
        return [one for one in self.order.says if not one.startswith(("One tooth", "Paint"))]

    def _fixed(self, y: float) -> float:
        """The length of a section that does not slip."""
        self._order_length(self.frame.left, y)
        return y + 22.0

    def _order_length(self, x: float, base: float, *, before: bool = False) -> None:
        """The length to order at ride height, in the page's largest type; `before` writes its words to the left."""
        board = self.board
        words = "order this at ride height:"
        first, other = (
            ("", "") if self.section.length_mm is None else both_lengths(self.section.length_mm, self.display)
        )
        if before:
            wide = width(first, _LARGEST_PT, bold=True) + width(other, 10.0) if first else 120.0
            x = min(max(x, self.frame.left + width(words, 10.0) + 8.0), self.frame.right - wide - 18.0)
            board.write(x - 7.0, base - 1.0, words, 10.0, INK, align="right")
            x += 7.0
        else:
            x = board.write(x, base - 1.0, words, 10.0, INK) + 12.0
        if not first:
            text_box(board, x, base - 16.0, 120.0, 21.0, self._unit)
            return
        end = board.write(x, base, first, _LARGEST_PT, INK, bold=True)
        board.write(end + 8.0, base, other, 10.0, INK)

    def _ruler(self, y: float) -> float:
        """From collapsed to extended, what must be kept at both ends, and the band over the travel."""
        board, order, (left, _, right, _) = self.board, self.order, self.frame
        ends = (order.collapsed_mm, order.least_mm, order.most_mm, order.extended_mm)
        spread = [one for one in (*ends, order.length_mm) if one is not None]
        first, last = left + 46.0, right - 46.0
        low, high = (min(spread), max(spread)) if spread else (0.0, 0.0)
        known = order.collapsed_mm is not None and order.extended_mm is not None and high > low

        def at(length_mm: float) -> float:
            return first + (length_mm - low) / (high - low) * (last - first)

        bar_top, bar_low = y + 29.0, y + 45.0
        if known:
            self._bar(at, bar_top, bar_low)
        middle = (first + last) / 2.0
        x = at(order.length_mm) if known and order.length_mm is not None else middle
        self._order_length(x, y + 8.0, before=True)
        if known:
            board.line(((x, y - 6.0), (x, bar_low)), INK, 2.8, z=8.0)
        told = (
            "collapsed: spline bottomed",
            self._where("shortest", order.least_at_mm),
            self._where("longest", order.most_at_mm),
            "extended: spline just out",
        )
        wide = self.frame.room / 4.0
        low_y = bar_low + (14.0 if known else -8.0)
        for number, (value, words) in enumerate(zip(ends, told, strict=True)):
            x = left + number * wide
            align: Align = "right" if number > 1 else "left"
            edge = x + wide if number > 1 else x
            if value is None:
                text_box(board, x + (wide - 96.0 if number > 1 else 0.0), low_y, 96.0, 19.0, self._unit)
            else:
                board.write(edge, low_y + 13.0, self._length(value), 10.5, INK, bold=True, align=align)
                if known:
                    self._leader(at(value), bar_low, edge + (-18.0 if number > 1 else 18.0), low_y + 2.0)
            board.write(edge, low_y + 29.0, words, SMALL_PT, INK, align=align)
        return low_y + 46.0

    def _leader(self, x: float, top: float, to: float, low: float) -> None:
        self.board.line(((x, top), (x, top + 3.0), (to, low - 3.0), (to, low)), INK, 0.8, z=6.0)

    def _bar(self, at: object, top: float, low: float) -> None:
        board, order = self.board, self.order
        place = at
        if not callable(place) or order.collapsed_mm is None or order.extended_mm is None:
            return
        first, last = place(order.collapsed_mm), place(order.extended_mm)
        free = place(order.collapsed_mm + order.keep_free_mm)
        hatched(board, first, top, min(free, last), low)
        board.write(first, top - 5.0, f"keep {self._tape(order.keep_free_mm)} free", SMALL_PT, INK)
        if order.keep_engaged_mm is not None:
            hatched(board, max(place(order.extended_mm - order.keep_engaged_mm), first), top, last, low)
            words = f"keep {self._tape(order.keep_engaged_mm)} engaged"
        else:
            words = "keep 1.5 × the spline's Ø engaged"
        board.write(last, top - 5.0, words, SMALL_PT, INK, align="right")
        board.shape(((first, top), (last, top), (last, low), (first, low)), "", Stroke(INK, 1.3), z=5.0)
        if order.least_mm is not None and order.most_mm is not None:
            one, two = place(order.least_mm), place(order.most_mm)
            band = ((one, top), (two, top), (two, low), (one, low))
            board.shape(band, board.shade(0.45), Stroke(PAPER.accent, 1.3), z=6.0)

    def _where(self, words: str, at_mm: float | None) -> str:
        """Where over the travel a length is."""
        if at_mm is None:
            return f"{words} over the travel"
        if abs(at_mm) < 0.5:
            return f"{words}: at ride height"
        return f"{words}: {amount(abs(at_mm), 'mm', self.display)} of {'bump' if at_mm > 0.0 else 'droop'}"

    # ---- both ends

    def _both_ends(self, y: float) -> float:
        left = self.frame.left
        half = (self.frame.room - 24.0) / 2.0
        lows = [
            self._one_end(end, left + number * (half + 24.0), y, half, "AB"[number])
            for number, end in enumerate(self.ends)
        ]
        return max(lows)

    def _one_end(self, end: _End, x: float, y: float, wide: float, letter: str) -> float:
        board = self.board
        said = [self._joint_words(end), self._turns(end)]
        lettered(board, x, y, letter, end.title, x + wide, " · ".join(one for one in said if one))
        y += 24.0
        if end.ordered is None:
            return self._at_bearing(end, x, y, wide)
        on_shaft, goes_to = self._value(f"{end.shaft}.type"), self._value(f"{end.mate}.type")
        choice(board, x, y, "On shaft", 58.0, [(words, on_shaft == name) for name, words in _SHAFT_ENDS])
        y += 16.0
        mates = _MATES if end.title == "Gearbox end" else _MATES[:-1]
        choice(board, x, y, "Bolts to", 58.0, [(words, goes_to == name) for name, words in mates])
        mate = self._mate(end)
        seen = "seen from the front" if letter == "A" else "seen from the rear"
        end_view(board, (x + 54.0, y + 84.0), 46.0, "flange" if mate == "flange" else None, seen)
        at, room = x + 132.0, wide - 132.0
        y += 21.0
        for label, value, inside in self._rows(end):
            if label == "Clips":
                clip = self._value(f"{end.shaft}.clip") or self._value(f"{end.mate}.clip")
                choice(board, at, y, label, 97.0, [(one, clip == one) for one in ("outside", "inside")])
            else:
                field(board, at, y, label, value, room, 97.0, inside)
            y += _PITCH
        return y - _PITCH

    def _turns(self, end: _End) -> str:
        ordered = end.ordered
        if ordered is None:
            found = [one for one in self.solution.joints if one.name == "centre"]
            return f"runs at {degrees(found[0].operating_deg)}" if found and found[0].operating_deg is not None else ""
        if ordered.operating_deg is None:
            return ""
        most = "" if ordered.most_deg is None else f", most {degrees(ordered.most_deg)}"
        return f"runs at {degrees(ordered.operating_deg)}{most}"

    def _rows(self, end: _End) -> list[tuple[str, str, str]]:
        """Label, value, and what stands in the box of one that is not known."""
        unit, ordered = self._unit, end.ordered
        if ordered is None:
            return []
        memory = ordered.from_memory
        sizes = [("Joint series", self._series(end), "number, or:")]
        for label, name, value, inside in (
            ("Cap diameter", "cap_mm", ordered.cap_mm, "caliper"),
            ("Span over caps", "span_mm", ordered.span_mm, "over caps"),
        ):
            mark = f" {FROM_MEMORY}" if memory and self._value(f"{end.shaft}.{name}") is None else ""
            sizes.append((label, f"{self._caliper(value)}{mark}" if value is not None else "", f"{unit} · {inside}"))
        sizes.append(("Clips", "", ""))
        if self._mate(end) in ("straps", "u_bolts", "clips") or self._value(f"{end.shaft}.type") == "caps":
            takes = self._value(f"{end.mate}.series")
            return [*sizes, ("Yoke takes", "" if takes is None else str(takes), "series, or its seats")]
        adapter = self._mm(end.adapter) or "none planned"
        if self._mate(end) == "spline":
            teeth = self._either(end, "spline_teeth")
            spline = "" if not teeth else f"{teeth} × {self._either(end, 'spline_diameter_mm')}"
            return [*sizes, ("Spline", spline, f"teeth × {unit}"), ("Seal Ø", self._either(end, "seal_mm"), unit),
                    ("Barrel", self._mm(f"{end.shaft}.barrel_mm"), f"{unit} long")]  # fmt: skip
        pilot = self._pilot(end)
        circle, bolts = self._either(end, "bolt_circle_mm"), self._either(end, "bolts")
        round_ = f"{circle} × {bolts}" if circle and bolts else ""
        size, thread = (
            self._either(end, "bolt_mm"),
            self._value(f"{end.shaft}.thread") or self._value(f"{end.mate}.thread"),
        )
        return [
            *sizes,
            ("Pilot, or seal Ø", pilot, unit),
            ("Bolt circle", round_, f"{unit} × holes"),
            ("Bolts", f"{size} {thread}" if size and thread else "", "size, thread"),
            ("Adapter", adapter, unit),
        ]

    def _joint_words(self, end: _End) -> str:
        return _TYPES[self._joint_type(end)] if self._value(end.joint) is not None else ""

    def _series(self, end: _End) -> str:
        series, other = self._value(f"{end.joint}.series"), self._value(f"{end.shaft}.other_series")
        if series is None:
            return ""
        return f"{series}, other caps {other}" if other is not None and other != series else str(series)

    def _either(self, end: _End, name: str) -> str:
        """A size of the shaft's half; of the other half where only that is known, as both are alike; both if not."""
        own, other = (value_at(self.build, f"{half}.{name}") for half in (end.shaft, end.mate))
        said = [self._caliper(one) if name.endswith("_mm") else f"{one:g}" for one in (own, other) if one is not None]
        if len(set(said)) < 2:
            return said[0] if said else ""
        return f"{said[0].removesuffix(self._unit).strip()} on {said[1]}"

    def _pilot(self, end: _End) -> str:
        size = self._either(end, "pilot_mm")
        own, other = (value_at(self.build, f"{half}.pilot") for half in (end.shaft, end.mate))
        if not size or " on " in size:
            return size
        if own is not None:
            return f"{size}, {own}"
        return size if other is None else f"{size}, mate {other}"

    def _at_bearing(self, end: _End, x: float, y: float, wide: float) -> float:
        """The joint between two sections, and on the bearing's section how that is hung."""
        unit, bearing = self._unit, value_at(self.build, "shaft.bearing_mm")
        height = self.solution.setpoints.bearing_height_mm
        up = height if height is not None else None if bearing is None else bearing[2]
        rows = [("Joint series", self._series(end), "number, or:"),
                ("Cap diameter", "", f"{unit} · caliper"), ("Span over caps", "", f"{unit} · over caps")]  # fmt: skip
        if not self.slips:
            off = None if bearing is None else bearing[1]
            side = (
                ""
                if off is None
                else "on the centreline"
                if abs(off) < 0.5
                else f"{self._length(abs(off))} {'right' if off > 0.0 else 'left'}"
            )
            slope = self._value("shaft.bearing_slope_deg")
            rows += [("Bearing, floor up", self._length(up), unit), ("Bearing, aside", side, unit),
                     ("Bolt spacing", self._mm("shaft.bearing_bolts_mm"), unit),
                     ("Housing's slope", "" if slope is None else leaning(slope, down="rear low", up="rear high"), "°"),
                     ("Square to shaft", f"within {_SQUARE_DEG:g}° {FROM_MEMORY}", "")]  # fmt: skip
        for label, value, inside in rows:
            field(self.board, x, y, label, value, wide, 118.0, inside)
            y += _PITCH
        return y - _PITCH

    # ---- slip, tube, load

    def _details(self, y: float) -> float:
        left, room = self.frame.left, self.frame.room
        wide = (room - 2.0 * 18.0) / 3.0
        self._slip(left, y, wide)
        self._tube(left + wide + 18.0, y, wide)
        self._load(left + 2.0 * (wide + 18.0), y, wide)
        y += 25.0 + 6.0 * _PITCH - 1.0
        for line in lines(" ".join(self._phase_says()), SMALL_PT, room):
            self.board.write(left, y, line, SMALL_PT, INK)
            y += line_height(SMALL_PT)
        return y - line_height(SMALL_PT)

    def _slip(self, x: float, y: float, wide: float) -> None:
        board = self.board
        lettered(board, x, y, "C", "Slip and phase" if self.slips else "Phase", x + wide)
        y += 25.0
        if self.slips:
            sits, seal = self._value("shaft.slip.sits"), self._value("shaft.slip.seal")
            choice(board, x, y, "Sits", 30.0, [(words, sits == name) for name, words in _SITS[:3]])
            y += _PITCH
            teeth, spline = (
                self._value("shaft.slip.spline_teeth"),
                value_at(self.build, "shaft.slip.spline_diameter_mm"),
            )
            spline = "" if spline is None else self._caliper(spline)
            said = f"{float(teeth):g} × {spline}" if teeth is not None and spline else ""
            if spline and not said:
                field(board, x, y, "Spline Ø", spline, wide * 0.56, 56.0, "")
                text_box(board, x + wide * 0.62, y - 14.0, wide * 0.38, 19.0, "teeth")
            else:
                field(board, x, y, "Spline", said, wide, 56.0, f"teeth × Ø {self._unit}")
            y += _PITCH
            stroke = self._mm("shaft.slip.stroke_mm")
            field(board, x, y, "Stroke", f"{stroke} at least" if stroke else "", wide, 56.0, self._unit)
            y += _PITCH
            choice(board, x, y, "Seal", 30.0, (("boot", seal == "boot"), ("lip", seal == "lip")))
            moves = self._length(self.order.slip_travel_mm)
            if moves:
                board.write(x + wide, y, f"moves {moves}", 9.5, INK, bold=True, align="right")
            y += _PITCH
        field(board, x, y, "Phase", self._phase(), wide, 56.0, "°, 0 = in line")

    def _phase(self) -> str:
        phase = self._value("shaft.phase_deg" if not self.two else f"shaft.{self.section.name}_phase_deg")
        if phase is None:
            return ""
        turned = float(phase)
        if abs(turned) < _IN_LINE_DEG:
            return "yokes in line: 0°"
        way = "clockwise" if turned > 0.0 else "anticlockwise"
        return f"rear yoke {degrees(abs(turned))} {way}, looking rearward"

    def _phase_says(self) -> list[str]:
        if not self.slips:
            return []
        told = [one for one in self.order.says if one.startswith(("One tooth", "Paint"))]
        return told or ["One tooth out is 360° ÷ teeth, and spoils it. Paint marks across both halves."]

    def _tube(self, x: float, y: float, wide: float) -> None:
        board, shaft, largest = self.board, self.solution.shaft, self.order.largest_tubes_mm[self.number]
        lettered(board, x, y, "D", "Tube and balance", x + wide)
        y += 25.0
        runout = [show(one, "mm", self.display, places=self._fine) for one in _RUNOUT_MM]
        if self.display.length == "millimetre":
            runout = [show(one, "mm", self.display, places=2) for one in _RUNOUT_MM]
        for label, value, inside in (
            ("Tube", self._tube_words(), f"Ø × wall {self._unit}"),
            (
                "Largest Ø",
                "" if largest is None else f"{self._length(largest)}, weights too",
                f"{self._unit} that clears",
            ),
            ("Balance at", "" if shaft.max_rpm is None else show(shaft.max_rpm, "rpm", self.display), "rpm"),
            ("Cruises at", "" if shaft.cruise_rpm is None else show(shaft.cruise_rpm, "rpm", self.display), "rpm"),
            ("Runout", f"{runout[0]} at mid {FROM_MEMORY}", ""),
            ("", f"{runout[1]} at welds {FROM_MEMORY}", ""),
        ):
            field(board, x, y, label, value, wide, 72.0, inside, 9.5)
            y += _PITCH

    def _load(self, x: float, y: float, wide: float) -> None:
        board, shaft = self.board, self.solution.shaft
        lettered(board, x, y, "E", "Load and finish", x + wide)
        y += 25.0
        most = ""
        if shaft.shock_torque_nm is not None and shaft.torque_nm is not None:
            most = both(shaft.shock_torque_nm, "N·m", self.display)
        unit = shown_unit("N·m", self.display).symbol
        field(board, x, y, "At most", most, wide, 58.0, unit, 9.5)
        if most and open_torque(self.build, self.solution):
            # Of a torque that is a bound alone nobody may order a shaft as if it were the whole.
            y += 13.0
            board.write(x + 58.0, y, "as far as entered: ask first", SMALL_PT, PAPER.hold, bold=True)
        y += _PITCH
        windup = self.solution.windup
        cruise = None if windup is None else windup.cruise_torque_nm
        said = "" if cruise is None else f"{show(cruise, 'N·m', self.display)} for hours"
        field(board, x, y, "Cruising", said, wide, 58.0, unit, 9.5)
        for label, ways in (
            ("Use", ("road", "tows", "rough")), ("Grease", ("fittings", "sealed")), ("Paint", ("tube only", "bare")),
            ("I bring", ("old shaft", "yokes")),
        ):  # fmt: skip
            y += _PITCH
            choice(board, x, y, label, 58.0, [(words, False) for words in ways])

    def _signing(self) -> None:
        board, (left, _, right, bottom) = self.board, self.frame
        base = bottom - 60.0
        rule(board, left, base - 15.0, right, 1.3)
        board.write(left, base, "Empty box: not known. Builder fills it in, or calls.", BODY_PT, INK, bold=True)
        board.write(
            right, base, f"{FROM_MEMORY} from memory: measure the part before ordering.", BODY_PT, INK, align="right"
        )
        base += 20.0
        share = self.frame.room / 20.0
        for at, to, words in ((0.0, 5.8, "Ordered by"), (6.2, 14.0, "Read back by builder"), (14.4, 20.0, "Price")):
            write_line(board, left + at * share, base, words, left + to * share)
