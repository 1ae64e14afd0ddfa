"""The numbers to set, each with what it is now: one column, in the order of the work."""

from __future__ import annotations

from typing import Final, NamedTuple

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.bench import checks_by_tape
from app.setpoints import later_words, set_points, states_words
from app.window.painted import Painted, frame, write
from app.window.plain import set_tip
from app.window.theme import sized, words_wide
from geometry.document import Build
from geometry.words.solution import Solution
from geometry.words.wording import capital, small

_TITLE: Final = "Set-points"
_HEAD: Final = 20.0
_HEAD_BASE: Final = 16.0
_LARGE_FROM: Final = 900
_SIZES: Final = ((15, 23.0), (11, 17.0), (10, 15.5))
"""Of the numbers to set, and how high a row is at least: lower, and they touch."""
_STAY: Final = 16.0
_LEFT, _RIGHT = 14.0, 12.0
_ARROW: Final = 21.0
_APART: Final = 5.0
_STAYS: Final = "stays"
_SHORT: Final = {"Wedge, each perch": "Wedge", "Rear mount": "Rear mount shim", "Spline engaged": "Engaged"}
_WAYS: Final = {
    "raises the nose": "raises nose",
    "lowers the nose": "lowers nose",
    "nose up from seat": "nose up",
    "nose down from seat": "nose down",
    "down to the rear": "down",
    "up to the rear": "up",
}
"""The sheet's words in fewer letters."""


class Point(NamedTuple):
    """A row: its name, what it is now, what to set, and which way; nothing to set where it stays."""

    name: str
    now: str
    set: str
    way: str


def points_of(build: Build, solution: Solution) -> list[Point]:
    """What is known of the set-points, with what each is now; what stays has nothing to set."""
    told = []
    for one in set_points(build, solution):
        if not one.value or one.spare:
            continue
        name, _, moved = one.label.partition(": ")
        way = "" if one.note.startswith("(") else _WAYS.get(one.note, one.note)
        now = one.now or one.value
        if moved:
            # What is moved says which way before how far: that is never cut.
            name = f"{capital(moved.removesuffix(' by'))} {small(name)}"
        told.append(Point(_SHORT.get(name, name), now, one.value if one.changes else "", way))
    return told


class _Row(NamedTuple):
    """A row on the page: what it was, where its number to set begins and may begin at most, and its lines."""

    point: Point
    now: str
    set_x: float
    most_x: float
    lines: int


class SetpointTable(Painted):
    """Set-points in their zone; what does not fit is named in one line, what stays first."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.points: list[Point] = []
        self.made: list[str] = []
        """How far off the shaft's length may be, and how well it is known, a line each."""
        self.later: list[str] = []
        """What they come to in each of the other states, a line each."""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName("Set-points")

    def show_points(self, build: Build, solution: Solution) -> None:
        """Show other set-points."""
        known = solution.setpoints.pinion_slope_deg is not None or solution.setpoints.axle_shim_deg is not None
        self.points = points_of(build, solution) if known else []
        said = [
            f"{one.name} {one.now} to {one.set} {one.way}".strip() if one.set else f"{one.name} {one.now} stays"
            for one in self.points
        ]
        self.later = [later_words(build, one) for one in solution.states[1:]] if known else []
        self.made = list(solution.order.length_short) if self.points else []
        words = states_words(build, solution) if known else ()
        checks = [f"{name}, by tape: {how}" for name, how in checks_by_tape(build, solution)] if self.points else []
        order = solution.order.says if self.points else ()
        set_tip(self, "\n".join([*order, *checks, *words]))
        self.setAccessibleDescription("; ".join([*said, *self.made, *words]) or "Nothing to set yet.")
        self.update()

    def sizeHint(self) -> QSize:
        """Room for the fewest rows."""
        return QSize(240, self.needs())

    def needs(self, *, least: bool = False) -> int:
        """Height under which a row would be lost that is to be set: these never yield; at `least` in small letters."""
        size, high = _SIZES[2 if least else 1]
        rows = [row for row in self._laid_out(self.width(), size) if row.point.set]
        stay = len(rows) < len(self.points)
        return int(_HEAD + high * sum(row.lines for row in rows) + (_STAY if stay else 4.0) + self._later_high)

    @property
    def _later_lines(self) -> list[str]:
        return _in_lines(self.later, self.width() - _LEFT - _RIGHT)

    @property
    def _later_high(self) -> float:
        return _STAY * len(self._later_lines)

    def _made_shown(self) -> list[str]:
        """The lines on the shaft's length, where all rows leave them room whole; the tip has them always."""
        rows = self._laid_out(self.width(), _SIZES[1][0])
        room = self.height() - self._later_high - _HEAD - _SIZES[1][1] * sum(row.lines for row in rows) - 4.0
        told = _in_lines(self.made, self.width() - _LEFT - _RIGHT)
        return told if _STAY * len(told) <= room else []

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint heading and rows."""
        del event
        theme = self._theme
        with QPainter(self) as painter:
            write(painter, _LEFT, _HEAD_BASE, _TITLE, theme.ink, 11, bold=True)
            if self.points:
                self._table(painter)
            else:
                self._rows_of_words(painter, _LEFT, self.width() - _RIGHT)
            if self.hasFocus():
                frame(painter, QRectF(self.rect()).adjusted(2, 1, -2, -2), theme)

    def _table(self, painter: QPainter) -> None:
        theme, large = self._theme, self.window().height() >= _LARGE_FROM
        made, later = self._made_shown(), self._later_lines
        foot = self.height() - _STAY * len((*made, *later))  # where the rows end, and what stands behind them begins
        for size, least in _SIZES[0 if large else 1 :]:
            rows = self._laid_out(self.width(), size)
            shown, left_out = self._fitting(rows, foot)
            large = size > 11 and all(row.lines == 1 for row in rows)
            if self._high(shown, left_out, foot) >= least and (large or size <= 11):
                break
        head = max(row.set_x for row in rows)
        write(painter, head - _ARROW, _HEAD_BASE, "now", theme.muted, 9, right=True)
        write(painter, head, _HEAD_BASE, "set", theme.muted, 9)
        high = min(self._high(shown, left_out, foot), 28.0 if large else 22.0)
        base = _HEAD + high * 0.72
        for row in shown:
            one = row.point
            write(painter, _LEFT, base, one.name, theme.ink, 10)
            base += high * (row.lines - 1)
            if not one.set:
                write(painter, row.set_x - _ARROW, base, row.now, theme.muted, 10, right=True)
                write(painter, row.set_x, base, _STAYS, theme.muted, 9)
            else:
                write(painter, row.set_x - _ARROW, base, row.now, theme.ink, 10, right=True)
                write(painter, row.set_x - _ARROW + 4.0, base, "→", theme.ink, 10)
                end = row.set_x + write(painter, row.set_x, base, one.set, theme.ink, size, bold=True)
                write(painter, end + _APART, base, one.way, theme.muted, 9)
            base += high
        if left_out:
            write(painter, _LEFT, foot - 5.0, self.stay_words(left_out), theme.muted, 9)
        for number, words in enumerate([*made, *later], 1):
            write(painter, _LEFT, foot - 5.0 + number * _STAY, words, theme.ink, 9)

    def _high(self, shown: list[_Row], left_out: list[Point], foot: float) -> float:
        """How high a line may be."""
        room = foot - _HEAD - (_STAY if left_out else 4.0)
        return room / max(sum(row.lines for row in shown), 1)

    def stay_words(self, left_out: list[Point]) -> str:
        """What stays and has no row of its own, in one line; what has no room there is counted."""
        names = [small(one.name) for one in left_out]
        for count in range(len(names), 0, -1):
            more = f" and {len(names) - count} more" if count < len(names) else ""
            words = f"stay: {', '.join(names[:count])}{more}"
            if words_wide(words, 9) <= self.width() - _LEFT - _RIGHT:
                return words
        return f"{len(names)} more stay"

    def _laid_out(self, width: float, size: int) -> list[_Row]:
        """Where each row's number to set begins: all under one another where they fit, else each as its words ask."""
        right, rows = width - _RIGHT, []
        for one in self.points:
            now, name = one.now, _LEFT + words_wide(one.name, 10) + 8.0
            tail = words_wide(one.set, size, bold=True) + (_APART + words_wide(one.way, 9) if one.way else 0.0)
            tail = tail if one.set else words_wide(_STAYS, 9)
            if name + words_wide(now, 10) + _ARROW + tail > right:
                now = _bare(now, one.set)  # the unit stands behind the number to set
            least, lines = name + words_wide(now, 10) + _ARROW, 1
            if least + tail > right:  # the numbers stand under the name
                least, lines = _LEFT + words_wide(now, 10) + _ARROW, 2
            rows.append(_Row(one, now, least, right - tail, lines))
        column = max((row.set_x for row in rows if row.lines == 1), default=0.0)
        column = max(column, _LEFT + words_wide(_TITLE, 11, bold=True) + 8.0 + words_wide("now", 9) + _ARROW)
        return [row._replace(set_x=min(max(row.set_x, column), max(row.most_x, row.set_x))) for row in rows]

    def _fitting(self, rows: list[_Row], foot: float) -> tuple[list[_Row], list[Point]]:
        """Rows for which there is room, and those that yield: of what stays the last first; what changes never does."""
        room = foot - _HEAD
        shown = list(rows)
        while shown:
            left_out = len(shown) < len(rows)
            if _SIZES[1][1] * sum(row.lines for row in shown) + (_STAY if left_out else 4.0) <= room:
                break
            stays = [row for row in shown if not row.point.set]
            if not stays:
                break
            shown.remove(stays[-1])
        return shown, [row.point for row in rows if row not in shown]

    def _rows_of_words(self, painter: QPainter, left: float, right: float) -> None:
        painter.setFont(sized(10))
        painter.setPen(QColor(self._theme.muted))
        box = QRectF(left, _HEAD + 2.0, right - left, self.height() - _HEAD - 6.0)
        flags = int(Qt.TextFlag.TextWordWrap)
        painter.drawText(box, flags, "The numbers appear once the slopes of output, shaft and pinion are in.")


def _in_lines(texts: list[str], room: float) -> list[str]:
    """Texts in lines that fit a room, broken between words."""
    made: list[str] = []
    for text in texts:
        line = ""
        for word in text.split(" "):
            longer = f"{line} {word}".lstrip()
            if line and words_wide(longer, 9) > room:
                made.append(line)
                line = word
            else:
                line = longer
        made.append(line)
    return made


def _bare(now: str, to_set: str) -> str:
    """A number without the unit that stands behind the next one too.

    >>> _bare("50.85 in", "50.82 in"), _bare("none", "3.00 in"), _bare("2.5°", "6.1°")
    ('50.85', 'none', '2.5°')
    """
    unit = to_set.rpartition(" ")[2]
    return now.removesuffix(f" {unit}")
