"""The whole drawing of a subject on a page of some size: head, numbers, side view, findings, view from above."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, cached_property
from typing import Final, NamedTuple

from app.drawing.above import draw_above, write_above
from app.drawing.anchors import anchor_of
from app.drawing.board import Board, cut_off
from app.drawing.flags import FILLED, FORMS, FlagsRow, Placed
from app.drawing.fonts import shortened, width, wrapped
from app.drawing.items import Box, Leader, Page, Point, Target
from app.drawing.names import write_names
from app.drawing.numbers import NumbersRow, cells_of
from app.drawing.palette import LIGHT, Theme
from app.drawing.places import View
from app.drawing.rear import LEAST_PX, draw_behind, shows_behind, view_of
from app.drawing.side import SideView
from app.drawing.subject import Subject
from app.drawing.wanting import beginning
from app.drawing.wording import state_words
from app.drawing.zones import REAR_GAP, STRIP, Look, Room, Top, Zones, with_rear, zones_of
from app.measuring.wanted import next_words
from geometry.words.solution import Part

HEAD: Final = 24.0
STATE_PT, WORD_PT, QUIET_PT = 15.0, 11.0, 9.0
_SIDE, _EDGE = 12.0, 6.0
_FLAGS_SHARE: Final = 0.132
"""Most of the height that the findings may take, but for 54 pixels."""
_FAR: Final = (180.0, 250.0)
"""How far sideways a leader may run; the more only where else nothing but marks would be told."""
_TALL: Final = 0.27
"""Below this share of the page the view from behind does not become lower for shorter leaders."""


@dataclass(frozen=True)
class Style:
    """How a drawing is made: colours, size of its words, how much its findings say at most, and with which zones.

    `marks` leaves of the findings their marks alone, as beside a list; `head` and `top` are the state's line and the
    view from above, which `both_views` keeps where a low page would leave it to words. A view from behind is drawn
    beside the others while a part that is read from there is `chosen`. `scale`, pixels a millimetre, is that of
    another drawing which wants more room, so that both have one.
    """

    theme: Theme = LIGHT
    k: float = 1.0
    marks: bool = False
    head: bool = True
    top: bool = True
    names: bool = True
    both_views: bool = False
    chosen: Part | None = None
    scale: float | None = None


@dataclass(frozen=True)
class Drawing(Page):
    """A page with a drawing, and what tests, mouse and keyboard ask of it; all in page pixels.

    `form` is how much the flags say, `left_out` names the parts whose names found no place, `says` is the drawing in
    words for a person who does not see it.
    """

    pressable: tuple[tuple[Box | None, tuple[Target, ...]], ...]
    words: tuple[tuple[Box, str], ...]
    leaders: tuple[Leader, ...]
    lower: tuple[Leader, ...]
    bodies: tuple[tuple[Point, ...], ...]
    zones: Zones | None
    form: str
    left_out: tuple[str, ...]
    says: str

    @cached_property
    def targets(self) -> tuple[Target, ...]:
        """What may be pressed, as far as its layer shows it; later ones lie over earlier ones."""
        found = []
        for box, targets in self.pressable:
            cut = targets if box is None else (one._replace(outline=cut_off(one.outline, box)) for one in targets)
            found += [one for one in cut if one.outline]
        return tuple(found)


def drawing(
    subject: Subject, size: tuple[float, float], style: Style | None = None, *, look: Look | View | Zones = "shaft",
    form: str | None = None,
) -> Drawing:  # fmt: skip
    """Draw a subject on a page of `size`, wide and high.

    `form` holds the flags to the form of an earlier drawing, so that nothing jumps; None takes the richest that fits,
    which is settled at ride height.
    """
    return _Page(subject, size, style or Style(), look).draw(form)


def at_one_scale(subjects: Sequence[Subject], size: tuple[float, float], style: Style) -> tuple[Drawing, ...]:
    """Draw several subjects on pages of one size, all at the scale of the one that is drawn smallest by itself."""
    alone = [drawing(one, size, style) for one in subjects]
    scales = [one.zones.side.scale for one in alone if one.zones is not None]
    if len(set(scales)) < 2:
        return tuple(alone)
    return tuple(drawing(one, size, replace(style, scale=min(scales))) for one in subjects)


def silhouette(subject: Subject, size: tuple[float, float], theme: Theme) -> Page:
    """The side view alone, without a word: a build at a glance."""
    board = Board(theme)
    if subject.drawable:
        room = Room((0.0, 0.0, size[0], size[1]), 0.0, 4.0, 4.0, 0.6, size[1])
        zones = zones_of(subject, room, top="never")
        SideView(board, zones.side, subject, ground=zones.ground, most_low=size[1]).draw()
        board.finish(zones.side.box)
    return Page(size[0], size[1], theme, tuple(board.layers))


class _Begun(NamedTuple):
    """A page with its head and side view: what the flags point at."""

    board: Board
    zones: Zones
    side: SideView
    numbers: NumbersRow


class _Page:
    """One page in the making."""

    def __init__(self, subject: Subject, size: tuple[float, float], style: Style, look: Look | View | Zones) -> None:
        self.subject, self.style, self.look = subject, style, look
        self.size, (self.width, self.height) = size, size
        self.left, self.right = _SIDE, size[0] - _SIDE
        self.wide = self.right - self.left
        self.top, self.bottom = _EDGE, size[1] - _EDGE
        self.next = next_words(subject.build, subject.whole)
        self._begun: dict[str, _Begun] = {}
        """By the flags' form."""

    def _richest(self) -> FlagsRow:
        """The flags that tell most findings, of the forms that fit; of equals those that are whole, and low."""
        first = self._row(FORMS[0])
        rows = [one for one in (first, *map(first.in_form, FORMS[1:])) if one.total <= self.wide]
        rows.sort(key=lambda one: (-one.told, one.cut, one.height))
        still = self._at_rest()
        reach = cache(still._reach)
        most = (max(far, 0.2 * self.width) for far in _FAR)
        found = (next((one for one in rows if reach(one) <= far), None) for far in most)
        return next((one for one in found if one is not None and one.form != FORMS[-1]), None) or self._kept(FORMS[-1])

    def _at_rest(self) -> _Page:
        """The page on which the flags' form is settled: of the shaft at ride height; this one where that is shown."""
        subject = self.subject
        still = subject.here is subject.whole and not (subject.away or subject.ends or subject.bare)
        if still and self.look == "shaft":
            return self
        return _Page(Subject(subject.build, subject.whole, subject.whole), self.size, self.style, "shaft")

    def _row(self, form: str) -> FlagsRow:
        return FlagsRow(self.subject, self.style.k, form, self.wide, self.next)

    def _marks(self) -> FlagsRow:
        """The flags beside a view from behind: marks alone, and how much is not judged."""
        return FlagsRow(self.subject, self.style.k, FORMS[-1], self.wide, "")

    def _kept(self, form: str) -> FlagsRow:
        """The flags in a form that is kept from before, which may have become too wide to say all."""
        row = self._row(form)
        return row if row.total <= self.wide else row.in_form(FILLED)

    def _reach(self, flags: FlagsRow) -> float:
        """How far sideways a leader of the flags would run; without end where they are too high."""
        if flags.height > max(_FLAGS_SHARE * self.height, 54.0 * self.style.k) + 1.0:
            return math.inf
        if not self.subject.drawable or not flags.flags:
            return 0.0
        return flags.farthest(self._place(flags, self._begin(flags).side))

    def _place(self, flags: FlagsRow, side: SideView | None, within: tuple[float, float] | None = None) -> list[Placed]:
        left, right = within or (self.left, self.right)
        return flags.place(lambda key: None if side is None else anchor_of(side, key), left, right)

    def _begin(self, flags: FlagsRow) -> _Begun:
        """Draw the head and the side view, over room for the flags; what was begun to try them is gone on with."""
        if flags.form not in self._begun:
            self._begun[flags.form] = self._beginning(flags)
        return self._begun[flags.form]

    def _beginning(self, flags: FlagsRow) -> _Begun:
        board, k = Board(self.style.theme, self.style.k), self.style.k
        if self.style.head:
            self._head(board)
            board.finish()
        head = HEAD * k if self.style.head else 0.0
        numbers = NumbersRow(board, cells_of(board, self.subject), self.left, self.right, self.top + head)
        held = isinstance(self.look, Zones)
        before, behind = (0.0, 0.0) if held else numbers.outer_widths(self.subject)
        band = self._band(flags)
        room = Room(
            (self.left, numbers.rule, self.right, self.bottom), flags.height + band, before, behind, k, self.height,
            self.style.scale,
        )  # fmt: skip
        top: Top = "never" if not self.style.top else "always" if self.style.both_views else "where it tells"
        zones = zones_of(self.subject, room, top=top, look=self.look)
        if not held and shows_behind(self.subject, self.style.chosen) and not self.style.both_views:
            rest = zones if self.look == "shaft" else zones_of(self.subject, room, top=top)
            rows = (band, self._marks().height)
            zones = with_rear(self.subject, room, zones, rest.side, rows, self.style.chosen)
        floor = zones.side.y(0.0) if zones.ground and self.subject.travel_mm == 0.0 else zones.side.box[3] + 2.0
        side = SideView(board, zones.side, self.subject, ground=zones.ground, most_low=floor)
        side.draw()
        side.dimension(beside_flag=any(flag.key == "shaft" for flag in flags.flags))
        return _Begun(board, zones, side, numbers)

    def _band(self, flags: FlagsRow) -> float:
        return (20.0 if flags.flags else 4.0) * self.style.k

    def draw(self, form: str | None) -> Drawing:
        """Draw everything, with the flags in a form or in the richest that fits."""
        k, form = self.style.k, FORMS[-1] if self.style.marks else form
        flags = self._kept(form) if form else self._richest()
        form = form or flags.form
        if not self.subject.drawable:
            return self._empty(flags, form)
        board, zones, side, numbers = self._begin(flags)
        board.finish(zones.side.box)
        numbers.draw(zones.side, self.subject, side.housing)
        bottom = zones.side.box[3]
        rule = board.tint(0.28)
        if not zones.ground or self.subject.travel_mm != 0.0:
            board.line(((self.left, bottom), (self.right, bottom)), rule, 0.8, z=6.0)
        flags_top = bottom + self._band(flags)
        zones, flags, row = self._with_marks(zones, flags, flags_top)
        beside = self._beside(zones)
        flags.draw(board, self._place(flags, side, row), bottom, flags_top)
        left_out = write_names(side) if self.style.names else []
        board.finish()
        if zones.top is not None:
            left, top, right, low = zones.top.box
            board.line(((left, top), (right, top)), rule, 0.8, z=6.0)
            write_above(board, self.subject, left, right, low + (STRIP - 3.0) * k, under_view=True)
            board.finish()
            draw_above(board, zones.top, self.subject, busy=zones.busy)
            board.finish(zones.top.box)
        elif self.style.top and self.subject.measured:
            write_above(board, self.subject, *beside, self.bottom - 3.0 * k, under_view=False)
            board.finish()
        if zones.rear is not None:
            left_out += self._behind(board, zones.rear)
        return self._made(board, zones, form, left_out)

    def _with_marks(self, zones: Zones, flags: FlagsRow, top: float) -> tuple[Zones, FlagsRow, tuple[float, float]]:
        """The flags where the view from behind leaves them room, as marks: beside it, or over it where that is too far.

        Return the views, of which that from behind may have become lower, the flags, and from where to where they are.
        """
        everywhere = self.left, self.right
        if zones.rear is None:
            return zones, flags, everywhere
        marks, beside = self._marks(), self._beside(zones)
        left, high, right, foot = zones.rear.box
        under = top + marks.height
        if high >= under - 1.0:
            return zones, marks, everywhere
        if foot - under < LEAST_PX * self.style.k or isinstance(self.look, Zones):
            return zones, marks, beside
        if marks.total <= beside[1] - beside[0] and (
            foot - under < _TALL * self.height or self._at_rest()._reach_beside(flags.form, beside) <= _FAR[0]
        ):
            return zones, marks, beside
        lower = view_of(self.subject, (left, under, right, foot), self.style.k)
        return replace(zones, rear=lower), marks, everywhere

    def _reach_beside(self, form: str, beside: tuple[float, float]) -> float:
        """How far sideways a leader would run to marks beside the view from behind."""
        marks = self._marks()
        return marks.farthest(self._place(marks, self._begin(self._kept(form)).side, beside)) / self.style.k

    def _beside(self, zones: Zones) -> tuple[float, float]:
        """From where to where the page is free below the side view: beside the view from behind, or all of it."""
        if zones.rear is None:
            return self.left, self.right
        left, _, right, _ = zones.rear.box
        gap = REAR_GAP * self.style.k
        return (self.left, left - gap) if self.subject.ahead else (right + gap, self.right)

    def _behind(self, board: Board, view: View) -> list[str]:
        """The view from behind, between hairlines, with what it is under it."""
        left, top, right, bottom = view.box
        k, rule = self.style.k, board.tint(0.28)
        beside = left - 0.5 * REAR_GAP * k if self.subject.ahead else right + 0.5 * REAR_GAP * k
        board.line(((left, top), (right, top)), rule, 0.8, z=6.0)
        board.line(((beside, top), (beside, self.bottom)), rule, 0.8, z=6.0)
        board.finish()
        caption = (left, right, bottom + (STRIP - 3.0) * k)
        return draw_behind(board, view, self.subject, caption, names=self.style.names)

    def _head(self, board: Board) -> None:
        k, theme = self.style.k, self.style.theme
        base = self.top + 17.0 * k
        state, more = state_words(self.subject)
        end = board.write(self.left, base, state, STATE_PT * k, theme.ink, bold=True)
        colour = theme.ink if self.subject.away else theme.muted
        room = self.right - end - 9.0 * k
        if more:
            end = board.write(end + 9.0 * k, base, shortened(more, WORD_PT * k, room), WORD_PT * k, colour)
        quiet = "side, front at left"
        if end + 16.0 * k + width(quiet, QUIET_PT * k) < self.right:
            board.write(self.right, base, quiet, QUIET_PT * k, theme.muted, align="right")

    def _empty(self, flags: FlagsRow, form: str) -> Drawing:
        """Nothing has a place yet: the page says what would begin the drawing, large and in the middle."""
        board, k, theme = Board(self.style.theme, self.style.k), self.style.k, self.style.theme
        if self.style.head:
            self._head(board)
        middle = (self.left + self.right) / 2.0
        heading, wanted = beginning(self.subject.build)
        rows = [(heading, 15.0, True)]
        rows += [(row, 13.0, False) for one in wanted for row in wrapped(one, 13.0 * k, self.wide)]
        base = self.height / 2.0 - 13.0 * len(rows) * k + 16.0 * k
        for line, (words, pt, bold) in enumerate(rows):
            board.write(middle, base + 26.0 * line * k, words, pt * k, theme.ink, bold=bold, align="middle")
        top = self.bottom - flags.height
        flags.draw(board, self._place(flags, None), top, top)
        board.finish()
        return self._made(board, None, form, [])

    def _made(self, board: Board, zones: Zones | None, form: str, left_out: list[str]) -> Drawing:
        says = ". ".join(dict.fromkeys(text.strip() for _, text in board.words))
        return Drawing(
            self.width, self.height, self.style.theme, tuple(board.layers), tuple(board.pressable), tuple(board.words),
            tuple(board.leaders), tuple(board.lower), tuple(board.bodies), zones, form, tuple(left_out), says,
        )  # fmt: skip
