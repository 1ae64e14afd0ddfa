"""The lengths of a shaft order: what to order at ride height, and what the travel asks from collapsed to extended."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from app.amounts import amount
from app.drawing.board import Align, Board
from app.drawing.fonts import width
from app.drawing.items import Stroke
from app.papers.kit import INK, fitting, hatched, text_box, tick, tick_width
from app.setpoints import both_lengths
from app.sheet.flow import BODY_PT, PAPER, SMALL_PT, line_height, lines, rule

if TYPE_CHECKING:
    from app.papers.ordered import Ordered
    from app.sheet.paper import Frame

_LARGEST_PT: Final = 19.0
"""Of the length to order: nothing on the page is larger."""


class Lengths:
    """The lengths of a section, drawn in a frame."""

    def __init__(self, board: Board, frame: Frame, of: Ordered) -> None:
        self.board, self.frame, self.of = board, frame, of

    def draw(self, y: float) -> float:
        """Draw them from y down; return where they end."""
        board, (left, _, right, _) = self.board, self.frame
        end = board.write(left, y, "Lengths, joint centre to joint centre", 11.5, INK, bold=True)
        ways = self.of.state_ticks()
        x = right - sum(tick_width(words, BODY_PT, on=on) + 10.0 for words, on in ways) + 10.0
        if x - 8.0 - width("at ride height:", BODY_PT) > end + 6.0:  # it stands before the number too
            board.write(x - 8.0, y, "at ride height:", BODY_PT, INK, align="right")
        for words, on in ways:
            x = tick(board, x, y, words, BODY_PT, on=on) + 10.0
        rule(board, left, y + 6.0, right, 1.0)
        y = self._ruler(y + 27.0) if self.of.slips else self._fixed(y + 34.0)
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
            left,
            y + 3.0,
            "Shaft out: tape cap seat to cap seat, twice; the second time turn the tape round.",
            BODY_PT,
            INK,
        )
        board.write(right - 114.0, y + 3.0, "Face to face", BODY_PT, INK, align="right")
        face = self.of.mm("order.face_to_face_mm") if not self.of.two else ""
        if face:
            board.write(right, y + 3.0, face, 10.5, INK, bold=True, align="right")
        else:
            text_box(board, right - 106.0, y - 11.0, 106.0, 18.0, self.of.unit)
        return y + 8.0

    def _length_says(self) -> list[str]:
        if not self.of.slips:
            return ["This section does not slip: its length is the support bearing's place."]
        return list(self.of.order.length_says)

    def _fixed(self, y: float) -> float:
        """The length of a section that does not slip."""
        self._order_length(self.frame.left, y)
        return y + 22.0

    def _order_length(self, x: float, base: float, *, before: bool = False) -> None:
        """The length to order at ride height, in the page's largest type; `before` writes its words to the left."""
        board = self.board
        words, state = "order this at ride height:", (self.of.order.state if self.of.slips else None) or ""
        first, other = ("", "") if self.of.length_mm is None else both_lengths(self.of.length_mm, self.of.display)
        if before:
            wide = width(first, _LARGEST_PT, bold=True) + width(other, 10.0) if first else 120.0
            x = min(max(x, self.frame.left + width(words, 10.0) + 8.0), self.frame.right - wide - 18.0)
            with_state = f"{words.removesuffix(':')}, {state}:"
            if state and width(with_state, 10.0) <= x - self.frame.left - 8.0:
                words, state = with_state, ""
            board.write(x - 7.0, base - 1.0, words, 10.0, INK, align="right")
            x += 7.0
        else:
            x = board.write(x, base - 1.0, words, 10.0, INK) + 12.0
        if not first:
            text_box(board, x, base - 16.0, 120.0, 21.0, self.of.unit)
            return
        end = board.write(x, base, first, _LARGEST_PT, INK, bold=True)
        end = board.write(end + 8.0, base, other, 10.0, INK)
        pt, room = fitting(state, 10.0, self.frame.right - end - 12.0), self.frame.right - end - 12.0
        if width(state, pt, bold=True) <= room:  # a sentence below says it all the same
            board.write(end + 12.0, base, state, pt, INK, bold=True)

    def _ruler(self, y: float) -> float:
        """From collapsed to extended, what must be kept at both ends, and the band over the travel."""
        board, order, (left, _, right, _) = self.board, self.of.order, self.frame
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
                text_box(board, x + (wide - 96.0 if number > 1 else 0.0), low_y, 96.0, 19.0, self.of.unit)
            else:
                board.write(edge, low_y + 13.0, self.of.length(value), 10.5, INK, bold=True, align=align)
                if known:
                    self._leader(at(value), bar_low, edge + (-18.0 if number > 1 else 18.0), low_y + 2.0)
            board.write(edge, low_y + 29.0, words, SMALL_PT, INK, align=align)
        return low_y + 46.0

    def _leader(self, x: float, top: float, to: float, low: float) -> None:
        self.board.line(((x, top), (x, top + 3.0), (to, low - 3.0), (to, low)), INK, 0.8, z=6.0)

    def _bar(self, place: Callable[[float], float], top: float, low: float) -> None:
        board, order = self.board, self.of.order
        if order.collapsed_mm is None or order.extended_mm is None:
            return
        first, last = place(order.collapsed_mm), place(order.extended_mm)
        free = place(order.collapsed_mm + order.keep_free_mm)
        hatched(board, first, top, min(free, last), low)
        board.write(first, top - 5.0, f"keep {self.of.tape(order.keep_free_mm)} free", SMALL_PT, INK)
        if order.keep_engaged_mm is not None:
            hatched(board, max(place(order.extended_mm - order.keep_engaged_mm), first), top, last, low)
            words = f"keep {self.of.tape(order.keep_engaged_mm)} engaged"
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
        return f"{words}: {amount(abs(at_mm), 'mm', self.of.display)} of {'bump' if at_mm > 0.0 else 'droop'}"
