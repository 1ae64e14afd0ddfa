"""The order for the shaft's builder, a page a section: what is known in bold, an empty box for what is not.

It is of the variant that the build sheet's set-points are of. Nothing is worked out here: lengths, angles, speeds and
loads are the solution's, sizes the build's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Final

from app.cautions import CAUTIONS
from app.drawing.board import Align, Board
from app.drawing.fonts import application
from app.drawing.items import Stroke
from app.drawing.palette import VERDICT_SIGNS, VERDICT_WORDS
from app.naming import shared_words
from app.papers.kit import (
    FROM_MEMORY,
    INK,
    MUTED,
    ROW,
    choice,
    field,
    fitting,
    foot,
    lettered,
    page_of,
    text_box,
    tick,
    write_line,
)
from app.papers.order_ends import Ends
from app.papers.order_lengths import Lengths
from app.papers.ordered import Ordered
from app.papers.shaft_drawing import Drawn, ShaftDrawing
from app.setpoints import both_lengths, ordered_for, variant_words
from app.sheet.flow import BODY_PT, PAPER, SMALL_PT, line_height, lines, plain, rule
from app.sheet.order import open_torque, stronger_mm
from app.sheet.paper import SIZES, Frame, PaperName, frame_of, told_at_the_foot
from app.units import both, degrees, show, shown_unit
from geometry.words.both import on_hold

if TYPE_CHECKING:
    from app.drawing.items import Page
    from geometry.document import Build
    from geometry.words.solution import Solution

_TALL, _LEAST_TALL, _MOST_TALL = 186.0, 136.0, 230.0
"""Height of the drawing."""
_RUNOUT_MM: Final = (0.254, 0.127)
"""At the middle and at the welds: trade custom, from memory."""
_IN_LINE_DEG: Final = 0.05
_AT_A_TOOTH: Final = 0.05
"""How far off a tooth, as a share of one, a phase in tenths of a degree may be and still be meant."""
_WISHES: Final[tuple[tuple[str, tuple[tuple[str, str, str | bool], ...]], ...]] = (
    ("Use", (("road", "order.on_road", True), ("tows", "order.tows", True), ("rough", "order.rough", True))),
    ("Grease", (("fittings", "order.grease", "fittings"), ("sealed", "order.grease", "sealed"))),
    ("Paint", (("tube only", "order.paint", "tube_only"), ("bare", "order.paint", "bare"))),
    ("I bring", (("old shaft", "order.old_shaft", True), ("yokes", "order.yokes", True))),
)
"""What is ticked: words, the entry, and what it is then."""
_SITS: Final = (("output_end", "at gearbox"), ("pinion_end", "at axle"), ("gearbox", "slip yoke"))


@dataclass(frozen=True)
class Order:
    """Its pages, and what tests ask of it: where they may be printed on."""

    pages: tuple[Page, ...]
    frame: Frame


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
    for number in range(count):
        of = Ordered(build, solution, number)
        tall = _TALL
        for _ in range(2):  # as high as what stands under the drawing lets it be
            board = Board(PAPER)
            made = _Page(board, frame_of(size), of, variant)
            tall = min(max(tall + made.draw(tall), _LEAST_TALL), _MOST_TALL)
        page = f"Shaft order · {number + 1} of {count}"
        foot(board, frame_of(size), CAUTIONS[4], told, page)
        pages.append(page_of(board, size))
    return Order(tuple(pages), frame_of(size))


def teeth_words(count: float) -> str:
    """How many teeth a turn is: whole ones, a half, or between which two it lies, where no spline lets it stand.

    >>> teeth_words(1.0), teeth_words(5.02), teeth_words(2.5), teeth_words(0.5), teeth_words(2.27), teeth_words(0.02)
    ('1 tooth', '5 teeth', '2½ teeth', '½ tooth', 'between 2 and 3 teeth', 'less than a tooth')
    """
    half = round(2.0 * count)
    if not half or (count < 1.0 and abs(count - half / 2.0) > _AT_A_TOOTH):
        return "less than a tooth"
    if abs(count - half / 2.0) > _AT_A_TOOTH:
        return f"between {int(count)} and {int(count) + 1} teeth"
    whole, rest = divmod(half, 2)
    return f"{whole or ''}{'½' if rest else ''} {'tooth' if half <= 2 else 'teeth'}"


class _Page:
    """The page of one section in the making."""

    def __init__(self, board: Board, frame: Frame, of: Ordered, variant: str) -> None:
        self.board, self.frame, self.of, self.variant = board, frame, of, variant

    def draw(self, tall: float) -> float:
        """Draw all of it with a drawing so high; return how much room is left over the foot."""
        y = self._head()
        y = self._shaft(y + 8.0, tall)
        y = Lengths(self.board, self.frame, self.of).draw(y + 23.0)
        y = Ends(self.board, self.frame, self.of).draw(y + 25.0)
        y = self._details(y + 27.0)
        self._signing()
        return self.frame.bottom - 82.0 - y

    def _head(self) -> float:
        board, (left, top, right, _) = self.board, self.frame
        base = top + 22.0
        end = board.write(left, base, "SHAFT ORDER", 17.0, INK, bold=True)
        what = f"{self.of.section.name} section of two" if self.of.two else "one piece"
        what += " with slip" if self.of.slips and self.of.value("shaft.slip.sits") != "gearbox" else ""
        board.write(end + 12.0, base, f"{what} · make 1", 10.0, INK)
        wide = 262.0
        corners = ((right - wide, top), (right, top), (right, top + 54.0), (right - wide, top + 54.0))
        board.shape(corners, "", Stroke(INK, 2.4), z=10.0)
        tick(board, right - wide + 12.0, top + 22.0, "In doubt: call first.", 13.0, on=True)
        write_line(board, right - wide + 26.0, top + 45.0, "Phone", right - 12.0)
        room = frame_room = right - wide - 14.0 - left
        title = plain(self.of.build.title) or "Untitled build"
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
        verdict = self.of.solution.verdict
        if verdict == "hold":
            count = sum(one.verdict == "hold" for one in self.of.solution.findings)
            findings = "1 finding holds" if count == 1 else f"{count} findings hold"
            head = f"{VERDICT_SIGNS[verdict]} {VERDICT_WORDS[verdict]}"
            said.append((f"{head}: {findings} this plan up. Do not order before that is cleared.", PAPER.hold))
        elif on_hold(self.of.solution):  # the other shaft, with which it shares lifts and mounts
            said.append((f"{VERDICT_SIGNS['hold']} {plain(self.of.solution.says)} Do not order before.", PAPER.hold))
        if self.variant:
            said.append((f"For the plan {self.variant}.", INK))
        if self.of.build.drivelines:
            said.append((shared_words(self.of.build), INK))
        return said

    # ---- drawing

    def _shaft(self, y: float, tall: float) -> float:
        board, (left, _, right, _) = self.board, self.frame
        sides: tuple[tuple[str, str, float, Align], ...] = (
            (self.of.ends[0].title, "front of vehicle ←", left, "left"),
            (self.of.ends[1].title, "→ rear", right, "right"),
        )
        for words, where, x, align in sides:
            board.write(x, y + 12.0, words.upper(), 11.0, PAPER.accent, bold=True, align=align)
            board.write(x, y + 26.0, where, SMALL_PT, MUTED, align=align)
        box = (left, y + 4.0, right, y + tall)
        ShaftDrawing(board, box, self._drawn()).draw()
        return box[3]

    def _drawn(self) -> Drawn:
        outer, tube = self.of.value(f"{self.of.tube}.outer_diameter_mm"), self.of.tube_words()
        first, other = ("", "") if self.of.length_mm is None else both_lengths(self.of.length_mm, self.of.display)
        stroke, engaged = self.of.value("shaft.slip.stroke_mm"), self.of.engaged_mm()
        slip = self.of.slip_at() if self.of.slips else None
        return Drawn(
            joints=(self.of.joint_type(self.of.ends[0]), self.of.joint_type(self.of.ends[1])),
            mates=(self.of.mate(self.of.ends[0]), self.of.mate(self.of.ends[1])),
            tube_mm=None if outer is None else float(outer),
            slip_at=slip,
            stroke_mm=None if stroke is None else float(stroke),
            engaged_mm=engaged,
            bearing=self.of.bearing_at(),
            told=(
                f"engaged {self.of.length(engaged)}" if engaged is not None and slip is not None else "",
                f"{first} joint centre to joint centre".strip(), other,
            ),
            tube_words=tube,
        )  # fmt: skip

    # ---- slip, tube, load

    def _details(self, y: float) -> float:
        left, room = self.frame.left, self.frame.room
        wide = (room - 2.0 * 18.0) / 3.0
        self._slip(left, y, wide)
        self._tube(left + wide + 18.0, y, wide)
        self._load(left + 2.0 * (wide + 18.0), y, wide)
        y += 25.0 + 6.0 * ROW - 1.0
        for line in lines(" ".join(self._phase_says()), SMALL_PT, room):
            self.board.write(left, y, line, SMALL_PT, INK)
            y += line_height(SMALL_PT)
        return y - line_height(SMALL_PT)

    def _slip(self, x: float, y: float, wide: float) -> None:
        board = self.board
        lettered(board, x, y, "C", "Slip and phase" if self.of.slips else "Phase", x + wide)
        y += 25.0
        if self.of.slips:
            sits, seal = self.of.value("shaft.slip.sits"), self.of.value("shaft.slip.seal")
            ways = [("at bearing" if self.of.two and name == "output_end" else words, name) for name, words in _SITS]
            choice(board, x, y, "Sits", 30.0, [(words, sits == name) for words, name in ways])
            y += ROW
            teeth, size = self.of.value("shaft.slip.spline_teeth"), self.of.value("shaft.slip.spline_diameter_mm")
            spline = "" if size is None else self.of.caliper(size)
            said = f"{float(teeth):g} × {spline}" if teeth is not None and spline else ""
            if spline and not said:
                field(board, x, y, "Spline Ø", spline, wide * 0.56, 56.0, "")
                text_box(board, x + wide * 0.62, y - 14.0, wide * 0.38, 19.0, "teeth")
            else:
                field(board, x, y, "Spline", said, wide, 56.0, f"teeth × Ø {self.of.unit}")
            y += ROW
            stroke = self.of.mm("shaft.slip.stroke_mm")
            field(board, x, y, "Stroke", f"{stroke} at least" if stroke else "", wide, 56.0, self.of.unit)
            y += ROW
            choice(board, x, y, "Seal", 30.0, (("boot", seal == "boot"), ("lip", seal == "lip")))
            moves = self.of.length(self.of.order.slip_travel_mm)
            if moves:
                board.write(x + wide, y, f"moves {moves}", 9.5, INK, bold=True, align="right")
            y += ROW
        field(board, x, y, "Phase", self._phase(), wide, 56.0, "°, 0 = in line")

    def _phase(self) -> str:
        phase = self.of.value("shaft.phase_deg" if not self.of.two else f"shaft.{self.of.section.name}_phase_deg")
        if phase is None:
            return ""
        turned, out = float(phase), self.of.order.phase_teeth
        if abs(turned) < _IN_LINE_DEG:
            return "0°: its two yokes in line"
        way = "clockwise" if turned > 0.0 else "anticlockwise"
        teeth = f" ({teeth_words(abs(out))})" if out is not None and self.of.slips else ""
        return f"rear yoke {degrees(abs(turned))}{teeth} {way}, looking rearward"

    def _phase_says(self) -> list[str]:
        if not self.of.slips:
            return []
        return list(self.of.order.phase_says) or [
            "One tooth out is 360° ÷ teeth, and spoils it. Paint marks across both halves."
        ]

    def _tube(self, x: float, y: float, wide: float) -> None:
        board, shaft, largest = self.board, self.of.solution.shaft, self.of.order.largest_tubes_mm[self.of.number]
        lettered(board, x, y, "D", "Tube and balance", x + wide)
        y += 25.0
        runout = [show(one, "mm", self.of.display, places=self.of.fine) for one in _RUNOUT_MM]
        if self.of.display.length == "millimetre":
            runout = [show(one, "mm", self.of.display, places=2) for one in _RUNOUT_MM]
        stronger = stronger_mm(self.of.solution, self.of.tube.removeprefix("shaft."))
        asked = "" if stronger is None else show(stronger, "mm", self.of.display)
        for label, value, inside in (
            ("Tube", self.of.tube_words(), f"Ø × wall {self.of.unit}"),
            *([("Stronger", f"{asked} Ø: see findings", "")] if asked else []),
            (
                "Largest Ø",
                "" if largest is None else f"{self.of.length(largest)}, weights too",
                f"{self.of.unit} that clears",
            ),
            ("Balance at", "" if shaft.max_rpm is None else show(shaft.max_rpm, "rpm", self.of.display), "rpm"),
            ("Cruises at", "" if shaft.cruise_rpm is None else show(shaft.cruise_rpm, "rpm", self.of.display), "rpm"),
            *(
                [("Runout", f"{runout[0].split()[0]}; welds {runout[1]} {FROM_MEMORY}", "")]
                if asked
                else [
                    ("Runout", f"{runout[0]} at mid {FROM_MEMORY}", ""),
                    ("", f"{runout[1]} at welds {FROM_MEMORY}", ""),
                ]
            ),
        ):
            field(board, x, y, label, value, wide, 72.0, inside, 9.5)
            y += ROW

    def _load(self, x: float, y: float, wide: float) -> None:
        board, shaft = self.board, self.of.solution.shaft
        lettered(board, x, y, "E", "Load and finish", x + wide)
        y += 25.0
        most = ""
        if shaft.shock_torque_nm is not None and shaft.torque_nm is not None:
            most = both(shaft.shock_torque_nm, "N·m", self.of.display)
        unit = shown_unit("N·m", self.of.display).symbol
        field(board, x, y, "At most", most, wide, 58.0, unit, 9.5)
        if most:
            y += 13.0
            self._whose_load(x + 58.0, y)
        y += ROW
        windup = self.of.solution.windup
        cruise = None if windup is None else windup.cruise_torque_nm
        known = cruise is not None and self.of.value("powertrain.cruise_torque_share") is not None
        said = f"{show(cruise, 'N·m', self.of.display)} for hours" if cruise is not None and known else ""
        field(board, x, y, "Cruising", said, wide, 58.0, unit, 9.5)
        y += 1.0
        for label, ways in _WISHES:
            y += 17.0
            choice(board, x, y, label, 58.0, [(words, self.of.value(path) == on) for words, path, on in ways])

    def _whose_load(self, x: float, base: float) -> None:
        """What the greatest load is; of a bound alone nobody may order a shaft as if it were the whole."""
        if open_torque(self.of.build, self.of.solution):
            self.board.write(x, base, "as far as entered: ask first", SMALL_PT, PAPER.hold, bold=True)
            return
        factor = self.of.value("powertrain.shock_factor")
        words = "at launch, shock included" if factor is not None else "at launch, shock 1.5 included"
        self.board.write(x, base, words, SMALL_PT, INK)

    def _signing(self) -> None:
        board, (left, _, right, bottom) = self.board, self.frame
        base = bottom - 60.0
        rule(board, left, base - 15.0, right, 1.3)
        board.write(
            left, base, "Empty write-in box: not known. Builder fills it in, or calls.", BODY_PT, INK, bold=True
        )
        board.write(
            right, base, f"{FROM_MEMORY} from memory: measure the part before ordering.", BODY_PT, INK, align="right"
        )
        base += 20.0
        share = self.frame.room / 20.0
        for at, to, words in ((0.0, 5.8, "Ordered by"), (6.2, 14.0, "Read back by builder"), (14.4, 20.0, "Price")):
            write_line(board, left + at * share, base, words, left + to * share)
