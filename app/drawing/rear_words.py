"""What the view from behind says: lengths in a row over the floor, a number beside each part, each name once."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from functools import cached_property
from typing import TYPE_CHECKING, Final, NamedTuple

from app.drawing.fonts import PX_PER_PT, width
from app.drawing.names import Name, put_names
from app.drawing.places import boxed
from app.units import degrees, show
from geometry.document import value_at

if TYPE_CHECKING:
    from collections.abc import Sequence

    from app.drawing.board import Board
    from app.drawing.items import Box, Point
    from app.drawing.places import Pair, View
    from app.drawing.rear import Across
    from app.drawing.subject import Subject
    from geometry.words.solution import Triple, Verdict

WORD_PT, QUIET_PT = 11.0, 9.0
RAIL_MM, FACE_MM, EYE_MM = 60.0, 80.0, 25.0
"""How wide the rails' lips are, half of a wheel flange's height, half of the room that an eye or a bush takes."""
_ROW, _AIR, _MARK = 21.0, 9.0, 15.0
"""How far over the floor the row of lengths stands, words from their part, and room for a verdict's shape; pixels."""
_HUNG, _FOOT = 11.0, 20.0
"""How far under a housing in droop that row stands, and over the view's lower edge at the least; pixels."""
_NEARER: Final = 2.0
"""By how many pixels a number is nearer to its own part than to any other, at least."""
_SHARES: Final = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9, 0.0, 1.0, -0.15, 1.15)
_FAR: Final = (1.0, 1.25, 1.6, 2.0, 2.6)
"""Where along a part its words may stand, as shares, and how far from it, of what they need."""
Ends = tuple["Pair", "Pair"]


class Told(NamedTuple):
    """A number beside the part that it tells of, what it is called, and the finding that judges it."""

    part: Ends
    value: str
    name: str
    finding: str


def numbers_of(subject: Subject) -> list[Told]:
    """What is told of parts: how far shocks are off plumb, and how links slope; of ride height."""
    picture, behind = subject.picture, subject.here.behind
    moved = subject.travel_mm != 0.0 or subject.torque != "none"
    told = []

    def tell(ends: tuple[Triple, Triple] | None, angle: float | None, name: str, finding: str) -> None:
        if ends is not None and angle is not None:
            value = degrees(abs(angle))
            told.append(Told(seen(ends), f"ride {value}" if moved else value, name, finding))

    whole = [
        number
        for number, one in enumerate(subject.build.shocks)
        if one.frame_point_mm is not None and one.axle_point_mm is not None
    ]
    for number, ends in zip(whole, picture.shocks_mm, strict=False):
        tell(ends, behind.shocks_deg[number], "shock off plumb", f"shock_lean_{number + 1}")
    tell(picture.lateral_link_mm, behind.link_slope_deg, "lateral link", "link_slope")
    tell(picture.drag_link_mm, behind.drag_slope_deg, "drag link", "drag_slope")
    return told


def seen(ends: tuple[Triple, Triple]) -> Ends:
    """Two points as they are seen from behind."""
    one, two = ends
    return (one[1], one[2]), (two[1], two[2])


class RearWords:
    """All words of one view from behind."""

    def __init__(
        self, board: Board, view: View, subject: Subject, across: Across, rail: tuple[float, float] | None
    ) -> None:
        self.board, self.view, self.subject, self.across, self.rail = board, view, subject, across, rail
        self.verdicts: dict[str, Verdict] = {one.id: one.verdict for one in subject.whole.findings}

    def write(self, *, names: bool) -> list[str]:
        """Write them, and return the names that found no place."""
        self._keep_ends_clear()
        self._lengths()
        numbers = numbers_of(self.subject)
        named: set[str] = set()
        for number in numbers:
            others = [one.part for one in numbers if one is not number]
            named.add(self._number(number, others, "" if number.name in named else number.name))
        return put_names(self.board, self.view, self._names(named)) if names else []

    def _keep_ends_clear(self) -> None:
        """No word on the eyes of what is bolted there."""
        picture, view = self.subject.picture, self.view
        links = [one for one in (picture.lateral_link_mm, picture.drag_link_mm) if one is not None]
        reach = EYE_MM * view.scale
        for ends in (*picture.shocks_mm, *picture.torque_bars_mm, *links):
            for x, y in view.all_px(seen(ends)):
                eye = boxed(x - reach, y - reach, x + reach, y + reach)
                self.board.edges.append((*eye, eye[0]))

    # ---- lengths

    def _lengths(self) -> None:
        """Perch to perch, and flange to perch, in a row over the floor; what is not measured has no number."""
        board, view, k, build = self.board, self.view, self.board.k, self.subject.build
        if not self.across.perched:
            return
        y = view.y(0.0) - _ROW * k
        left, right = (view.x(one) for one in self.across.perches)
        _, _, axle = self.subject.picture.axle_centre_mm or (0.0, 0.0, 0.0)
        if self.subject.travel_mm < 0.0:  # no floor is drawn there, and the housing hangs to where it was
            y = max(y, min(view.y(axle - self.subject.housing_mm) + _HUNG * k, view.box[3] - _FOOT * k))
        self._drop(left, axle - self.subject.axle_tube_mm / 2.0, y)
        self._drop(right, axle - self.subject.axle_tube_mm / 2.0, y)
        spacing = show(value_at(build, "axle.perch_spacing_mm"), "mm", build.display)
        self._span(y, left, right, spacing, "perch to perch", self.verdicts.get("perch_spacing"))
        named = False
        for flange, perch, side in zip(self.across.flanges, (left, right), ("left", "right"), strict=True):
            value = value_at(build, f"axle.flange_to_perch_{side}_mm")
            if value is None:
                continue
            x = view.x(flange)
            self._drop(x, axle - FACE_MM, y)
            middle = (x + perch) / 2.0
            for tip in (x, perch):
                board.arrow((middle, y), (tip, y), board.theme.ink, 0.9 * k, z=6.5, head=6.0 * k, half=2.2 * k)
            board.edges.append(((x, y), (perch, y)))
            words = show(value, "mm", build.display)
            for up in (4.0, 18.0):  # above the row's own words where it is narrow
                if self._put(middle, y - up * k, words, board.theme.ink, bold=True):
                    break
            named = named or self._put(middle, y + 13.0 * k, "flange", board.tint(0.78))

    def _drop(self, x: float, high_mm: float, y: float) -> None:
        """A line from what is measured down to the row."""
        k = self.board.k
        self.board.line(((x, self.view.y(high_mm)), (x, y + 4.0 * k)), self.board.tint(0.5), 0.8 * k, z=6.4)

    def _span(self, y: float, low: float, high: float, size: str, tail: str, verdict: Verdict | None) -> None:
        """A dimension line that its words break; what it measures stands under it where the line has no room."""
        board, k = self.board, self.board.k
        marked = verdict is not None and verdict in {"hold", "caution"}
        mark = _MARK * k if marked else 0.0
        whole = mark + width(size, WORD_PT * k, bold=True)
        wide = whole + width(f" {tail}", WORD_PT * k)
        beside = wide + 40.0 * k <= high - low
        wide = wide if beside else whole
        left, pad = (low + high - wide) / 2.0, 5.0 * k
        for start, tip in ((left - pad, low), (left + wide + pad, high)):
            if abs(start - tip) > 8.0 * k:
                board.arrow((start, y), (tip, y), board.theme.ink, 0.9 * k, z=6.5, head=8.0 * k, half=2.4 * k)
        if verdict is not None and marked:
            board.mark(left + 5.5 * k, y - 0.4 * k, 5.2 * k, verdict)
        colour = board.theme.colour(verdict) if verdict is not None and marked else board.theme.ink
        end = board.write(left + mark, y + 4.0 * k, size, WORD_PT * k, colour, bold=True)
        if beside:
            board.write(end, y + 4.0 * k, f" {tail}", WORD_PT * k, board.theme.ink)
        else:
            self._put((low + high) / 2.0, y + 17.0 * k, tail, board.tint(0.78))
        board.edges.append(((low, y), (high, y)))

    def _put(self, x: float, base: float, text: str, colour: str, *, bold: bool = False) -> bool:
        """Write small words about a middle where they lie on no others; return whether they do."""
        pt = QUIET_PT * self.board.k
        fits = self._fits(self.board.box_of(x, base, text, pt, bold=bold, align="middle"), strict=False)
        if fits:
            self.board.write(x, base, text, pt, colour, bold=bold, align="middle")
        return fits

    # ---- numbers

    def _number(self, number: Told, others: list[Ends], name: str) -> str:
        """Write a number beside its part, nearer to it than to any other that has one; return what name it told.

        The name stands under it, or else behind it, the number small rather than without it; or else it is left to
        another place. Of two links the name lies rather over what is drawn.
        """
        board, k = self.board, self.board.k
        verdict = self.verdicts.get(number.finding)
        marked = verdict is not None and verdict in {"hold", "caution"}
        mark = _MARK * k if marked else 0.0
        small = width(name, QUIET_PT * k)
        ways = [(True, True), (False, True), (True, False), (False, False)]
        if name and sum("link" in one.name for one in numbers_of(self.subject)) > 1:
            ways = [(True, True), (True, False), *ways]  # of two links side by side no number may be without its name
        for (called, strict), pt in itertools.product(ways, (WORD_PT * k, QUIET_PT * k)):
            whole = width(number.value, pt, bold=True) + mark
            under = (name, max(whole, small), 27.0 * k)
            behind = (name, whole + 5.0 * k + small, 15.0 * k)
            alone = ("", whole, 15.0 * k)
            for said, wide, high in () if called and not name else (under, behind) if called else (alone,):
                for x, y in self._beside(number.part, wide, high):
                    box = (x - wide / 2.0, y - high / 2.0, x + wide / 2.0, y + high / 2.0)
                    line = said and high < under[2]
                    start, base = (box[0] if line else x - whole / 2.0), box[1] + 12.0 * k
                    middle = (start + (mark + whole) / 2.0, base - 4.0 * k)
                    if not self._fits(box, strict=strict) or not self._own(middle, number.part, others):
                        continue
                    if not strict:  # what is drawn ends at the words
                        room = boxed(start - k, box[1], start + whole + k, base + 2.0 * k)
                        board.shape(room, board.theme.paper, z=19.0)
                    if verdict is not None and marked:
                        board.mark(start + 5.5 * k, base - 4.4 * k, 5.2 * k, verdict)
                    colour = board.theme.colour(verdict) if verdict is not None and marked else board.theme.ink
                    end = board.write(start + mark, base, number.value, pt, colour, bold=True)
                    if line:
                        board.write(end + 5.0 * k, base, said, QUIET_PT * k, board.tint(0.78))
                    elif said:
                        board.write(x, base + 12.0 * k, said, QUIET_PT * k, board.tint(0.78), align="middle")
                    return said
        return ""

    def _beside(self, part: Ends, wide: float, high: float) -> Iterator[Point]:
        """Middles of places beside a part, nearest first."""
        (ax, ay), (bx, by) = self.view.all_px(part)
        aside, over = wide / 2.0 + _AIR * self.board.k, high / 2.0 + _AIR * self.board.k
        upright = abs(by - ay) > abs(bx - ax)
        for far in _FAR:
            for share in _SHARES:
                x, y = ax + share * (bx - ax), ay + share * (by - ay)
                for beside in (upright, not upright):
                    for way in (1.0, -1.0):
                        yield (x + way * far * aside, y) if beside else (x, y - way * far * over)

    def _fits(self, box: Box, *, strict: bool) -> bool:
        """Whether words stand clear there: of all that is drawn, or else of other words alone."""
        left, top, right, bottom = self.view.box
        if box[0] < left + 2.0 or box[1] < top + 2.0 or box[2] > right - 2.0 or box[3] > bottom:
            return False
        if strict:
            return self.board.is_free(box, 2.0 * self.board.k, 6.0 * self.board.k)
        return not any(
            box[0] - 4.0 < one[2] and one[0] < box[2] + 4.0 and box[1] < one[3] and one[1] < box[3]
            for one, _ in self.board.words
        )

    def _own(self, middle: Point, part: Ends, others: list[Ends]) -> bool:
        """Whether a number about a middle is nearer to its part than to any other that has one."""
        mine = away(middle, self.view.all_px(part))
        clearly = mine + _NEARER * self.board.k
        return all(clearly < away(middle, self.view.all_px(one)) for one in others)

    # ---- names

    @cached_property
    def _parts(self) -> list[tuple[str, list[Pair]]]:
        """What is drawn of parts that have names, as lines: what it is called, and where it lies."""
        picture, across = self.subject.picture, self.across
        found = [("shock", list(seen(ends))) for ends in picture.shocks_mm]
        found += [("torque bar", list(seen(ends))) for ends in picture.torque_bars_mm]
        links = (("lateral link", picture.lateral_link_mm), ("drag link", picture.drag_link_mm))
        found += [(text, list(seen(ends))) for text, ends in links if ends is not None]
        lines = zip(self.subject.build.flexible_lines, picture.flexible_lines_mm, strict=True)
        found += [(one.name, [(y, z) for _, y, z in hung]) for one, hung in lines if hung]
        if self.rail is not None:
            found += [("frame rail", [(at, up) for up in self.rail]) for at in across.rails]
        return found

    def _told_from(self, at: Point, text: str) -> bool:
        """Whether a name there is clearly nearer to what it names than to anything that has another name."""
        mine = min(_from_line(at, self.view.all_px(line)) for name, line in self._parts if name == text)
        clearly = mine + _NEARER * self.board.k
        return all(clearly < _from_line(at, self.view.all_px(line)) for name, line in self._parts if name != text)

    def _names(self, named: set[str]) -> Iterator[Name]:
        """Each part by its name, once, where no number has told it."""
        k, told = self.board.k, named | {"frame rail"}
        if "shock off plumb" in named:
            told.add("shock")
        for text, line in self._parts:
            if text in told:
                continue
            told.add(text)
            beside = self._beside((line[0], line[-1]), width(text, QUIET_PT * k), QUIET_PT * k * PX_PER_PT)
            yield Name(text, [self.view.mm(at) for at in beside if self._told_from(at, text)])
        if self.rail is not None:
            under, over = self.rail
            aside = width("frame rail", QUIET_PT * k) / 2.0 / self.view.scale + RAIL_MM + 12.0
            ups = [under + share * (over - under) for share in (0.5, 0.3, 0.7)]
            ways = tuple(zip((-1.0, 1.0), self.across.rails, strict=True))
            yield Name("frame rail", [(at - way * aside, up) for up in ups for way, at in ways])


def away(at: Point, line: Sequence[Point]) -> float:
    """How far a page point is from a line between two, pixels.

    >>> away((3.0, 4.0), ((0.0, 0.0), (9.0, 0.0))), away((-3.0, 4.0), ((0.0, 0.0), (9.0, 0.0)))
    (4.0, 5.0)
    """
    (ax, ay), (bx, by) = line
    dx, dy = bx - ax, by - ay
    size = dx * dx + dy * dy
    share = min(max(((at[0] - ax) * dx + (at[1] - ay) * dy) / size, 0.0), 1.0) if size else 0.0
    x, y = at[0] - ax - share * dx, at[1] - ay - share * dy
    return float((x * x + y * y) ** 0.5)


def _from_line(at: Point, line: Sequence[Point]) -> float:
    """How far a page point is from a line of several points, pixels."""
    return min(away(at, two) for two in itertools.pairwise(line))
