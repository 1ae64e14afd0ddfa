"""The row of findings below the view: one cell for each part, numbered as in the list, a leader to each."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from copy import copy
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final, Literal, NamedTuple

from app.drawing.fonts import shortened, width, wrapped
from app.drawing.items import Leader, Stroke
from app.drawing.palette import Colour
from app.drawing.places import boxed
from app.drawing.rows import settled
from app.drawing.wording import numbered, short_name, value_words, where_worst
from geometry.words.solution import Finding, Verdict

if TYPE_CHECKING:
    from app.drawing.board import Board
    from app.drawing.items import Point
    from app.drawing.subject import Subject

WORD_PT: Final = 11.0
LINE: Final = 15.5
_INDENT, _BETWEEN, _COLUMN, _GAP, _INSET = 17.0, 7.0, 18.0, 18.0, 6.0
MOST_LINES: Final = 4
_AS_LONG: Final = 0.7
"""From this share of the longest stretch on another one is about as long."""
NOWHERE: Final = "nowhere"
"""Cell of the findings whose part is not in the drawing."""
UNKNOWN: Final = "unknown"
_DRAWN = frozenset({
    "powertrain", "front_joint", "shaft", "bearing", "centre_joint", "rear_joint", "axle", "perches", "suspension",
    "obstacles", "shocks", "torque_bars", "lateral_link", "flexible_lines",
})  # fmt: skip
_FILLED: Final = {"filled, four lines": 4, "filled, three lines": 3, "filled, two lines": 2}
"""Forms in which each cell tells as many findings as the row has room for, and names the others, or has marks alone."""
FILLED: Final = next(iter(_FILLED))
FORMS: Final = ("all", "all, nowhere as marks", *_FILLED, "marks")
"""How much a cell says, richest first."""


class Run(NamedTuple):
    """A piece of a line: words, a verdict's shape, or room."""

    kind: Literal["words", "mark", "indent", "gap"]
    text: str = ""
    colour: Colour = "ink"
    bold: bool = False
    verdict: Verdict = "clear"


Line = tuple[Run, ...]
Columns = tuple[tuple[Line, ...], ...]


@dataclass
class Flag:
    """A cell: its part, columns of lines, and its findings with their numbers."""

    key: str
    columns: Columns
    findings: list[tuple[int, Finding]] = field(default_factory=list)
    width: float = 0.0

    @property
    def lines(self) -> int:
        """How many lines it has."""
        return max(len(column) for column in self.columns)

    @property
    def worst(self) -> Verdict:
        """Worst verdict in it."""
        return self.findings[0][1].verdict if self.findings else "unknown"


@dataclass(frozen=True)
class Anchor:
    """Where a leader may end: stretches of x, and how low the part is at an x; all in page pixels."""

    spans: tuple[tuple[float, float], ...]
    height: Callable[[float], float]

    @property
    def middle(self) -> float:
        """Middle of its longest stretch, of those about as long the first: what changes little must not jump."""
        long = max(high - low for low, high in self.spans)
        low, high = next(one for one in self.spans if one[1] - one[0] >= _AS_LONG * long)
        return (low + high) / 2.0

    def nearest(self, x: float) -> float:
        """Nearest place of a stretch."""
        return min((min(max(x, low), high) for low, high in self.spans), key=lambda place: abs(place - x))


Placed = tuple[Flag, float, Anchor | None]
"""A flag, its left edge, and what it is tied to."""


class FlagsRow:
    """The flags of a subject in one form, and the height that they take."""

    def __init__(self, subject: Subject, k: float, form: str, wide: float, next_wanted: str) -> None:
        self.subject, self.k, self._wide, self._next = subject, k, wide, next_wanted
        self._groups: dict[str, list[tuple[int, Finding]]] = {}
        self._lines: dict[int, tuple[Line, Line]] = {}
        self._widths: dict[Line, float] = {}
        """How wide each line is, in whatever form."""
        for number, finding in numbered(subject.whole):
            drawn = finding.part in _DRAWN and subject.drawable
            self._groups.setdefault(finding.part if drawn else NOWHERE, []).append((number, finding))
            self._lines[number] = self._two_lines(number, finding)
        self._lay_out(form)

    def in_form(self, form: str) -> FlagsRow:
        """The same flags in another form."""
        other = copy(self)
        other._lay_out(form)
        return other

    def _lay_out(self, form: str) -> None:
        """Say as much as the form has room for."""
        self.form, wide, next_wanted = form, self._wide, self._next
        self.flags = [Flag(key, self._columns(key, some), some) for key, some in self._groups.items()]
        for flag in self.flags:
            flag.width = self._width(flag.columns)
        unknown = sum(one.verdict == "unknown" for one in self.subject.whole.findings)
        least = 0.4 * wide
        if unknown:
            beside = self.total + _GAP * self.k + _INDENT * self.k
            self._not_judged(unknown, next_wanted, least if form in _FILLED else max(least, wide - beside))
        if form in _FILLED:
            self._fill(wide)
            if unknown:
                beside = self.total - self.flags.pop().width + _INDENT * self.k
                self._not_judged(unknown, next_wanted, max(least, wide - beside))
        self._break_marks(wide)

    def _fill(self, wide: float) -> None:
        """Tell more findings, those of the worst cells first, as long as the row fits into the width."""
        growing = [(flag, 1) for flag in self.flags if flag.key not in {NOWHERE, UNKNOWN}]
        while growing:
            left = []
            for flag, many in growing:
                before = flag.columns, flag.width
                flag.columns, whole = self._filled(flag.findings, many)
                flag.width = self._width(flag.columns)
                if self.total > wide:
                    flag.columns, flag.width = before
                elif not whole:
                    left.append((flag, many + 1))
            growing = left

    def _break_marks(self, wide: float) -> None:
        """Put the marks of a cell on more lines, of the one that stays lowest, until the row fits into the width."""
        marks = [flag for flag in self.flags if flag.findings and flag.columns[0][0][-1].kind == "gap"]
        while self.total > wide and any(flag.lines < len(flag.findings) for flag in marks):
            narrower = [
                (self._marks(flag.findings, math.ceil(len(flag.findings) / flag.lines) - 1), flag)
                for flag in marks
                if flag.lines < len(flag.findings)
            ]
            lines, lowest = min(narrower, key=lambda one: len(one[0]))
            lowest.columns = (lines,)
            lowest.width = self._width(lowest.columns)

    @property
    def height(self) -> float:
        """Height that the row takes."""
        if not self.flags:
            return 0.0
        return max(flag.lines for flag in self.flags) * LINE * self.k + 8.0 * self.k

    @property
    def total(self) -> float:
        """Width that its cells take side by side."""
        return sum(flag.width for flag in self.flags) + _GAP * self.k * max(len(self.flags) - 1, 0)

    @property
    def told(self) -> int:
        """How many findings it tells with their value."""
        return sum(run.kind == "mark" and line[-1].kind != "gap" for flag in self.flags for column in flag.columns
                   for line in column for run in line)  # fmt: skip

    @property
    def cut(self) -> bool:
        """Whether any of its words is cut off."""
        return any(
            run.text.endswith("…") for flag in self.flags for column in flag.columns for one in column for run in one
        )

    # ---- what a cell says

    def _columns(self, key: str, some: list[tuple[int, Finding]]) -> Columns:
        if self.form == "all" or (self.form.startswith("all") and key != NOWHERE):
            lines = [line for number, _ in some for line in self._lines[number]]
            return tuple(tuple(lines[start : start + MOST_LINES]) for start in range(0, len(lines), MOST_LINES))
        return (self._marks(some, len(some)),)

    def _filled(self, some: list[tuple[int, Finding]], many: int) -> tuple[Columns, bool]:
        """So many findings, two lines each, and whether these are all; the others are named behind the last."""
        tall = _FILLED[self.form]
        each, told, others = tall // 2, some[:many], some[many:]
        lines = [line for number, _ in told for line in self._lines[number]]
        columns = [lines[start : start + 2 * each] for start in range(0, len(lines), 2 * each)]
        also = f"also {', '.join(str(number) for number, _ in others)}"
        if tall == 3:  # three lines hold one finding; the last has room for its limit
            for column in columns:
                words, _, limit = column[1][1].text.rpartition(", ")
                if words:
                    column[1:] = [(Run("indent"), Run("words", words)), (Run("indent"), Run("words", limit))]
        if others:
            columns[-1][-1] = (*columns[-1][-1], Run("words", f" · {also}", colour="muted"))
        return tuple(map(tuple, columns)), not others

    def _marks(self, some: list[tuple[int, Finding]], many: int) -> tuple[Line, ...]:
        """Shapes and numbers alone, so many in a line."""
        marks = [
            (Run("mark", verdict=finding.verdict), Run("words", str(number), finding.verdict, bold=True), Run("gap"))
            for number, finding in some
        ]
        return tuple(
            tuple(itertools.chain.from_iterable(marks[start : start + many])) for start in range(0, len(marks), many)
        )

    def _two_lines(self, number: int, finding: Finding) -> tuple[Line, Line]:
        name = Run("words", f"{number} {short_name(finding)}", finding.verdict, bold=True)
        names = [f"{name}_joint" for name in self.subject.joint_names]
        most = self.subject.greatest_deg(names.index(finding.part)) if finding.part in names else None
        display = self.subject.build.display
        at = where_worst(finding, self.subject.whole, display)
        value = value_words(finding, display, most, at)
        return (Run("mark", verdict=finding.verdict), name), (Run("indent"), Run("words", value))

    def _not_judged(self, count: int, wanted: str, room: float) -> None:
        """Add the cell of what is not judged, with what to measure next in as many lines as there may be."""
        head = (Run("mark", verdict="unknown"), Run("words", f"{count} not judged yet", "unknown", bold=True))
        k, most = self.k, _FILLED.get(self.form, MOST_LINES) - 1
        rows = wrapped(f"measure next: {wanted}", WORD_PT * k, room) if wanted else []
        if len(rows) > most:
            rows = [*rows[: most - 1], shortened(" ".join(rows[most - 1 :]), WORD_PT * k, room)]
        flag = Flag(UNKNOWN, ((head, *((Run("indent"), Run("words", row)) for row in rows)),))
        flag.width = self._width(flag.columns)
        self.flags.append(flag)

    def _width(self, columns: Columns) -> float:
        k = self.k
        return sum(max(self._line_width(line) for line in column) for column in columns) + _COLUMN * k * (
            len(columns) - 1
        )

    def _line_width(self, line: Line) -> float:
        if line not in self._widths:
            k = self.k
            wide = {"mark": _INDENT * k, "indent": _INDENT * k, "gap": _BETWEEN * k}
            self._widths[line] = sum(wide.get(run.kind) or width(run.text, WORD_PT * k, bold=run.bold) for run in line)
        return self._widths[line]

    # ---- where it stands

    def place(self, anchor: Callable[[str], Anchor | None], left: float, right: float) -> list[Placed]:
        """The flags from left to right, each with its left edge and what it is tied to."""
        k = self.k
        tied: list[tuple[Flag, Anchor | None]] = []
        loose: list[tuple[Flag, Anchor | None]] = []
        for flag in self.flags:
            to = anchor(flag.key) if flag.key not in {NOWHERE, UNKNOWN} else None
            (loose if to is None else tied).append((flag, to))
        tied.sort(key=lambda one: one[1].middle if one[1] else 0.0)
        placed = self._settle(tied + loose, left, right)
        for _ in tied:
            # Leaders cross where cells stand in another order than what they point at: then those two change places.
            ends = [to.nearest(x + _INSET * k) for _, x, to in placed if to]
            wrong = next((place for place, (one, two) in enumerate(itertools.pairwise(ends)) if one > two), None)
            if wrong is None:
                break
            tied[wrong : wrong + 2] = tied[wrong : wrong + 2][::-1]
            placed = self._settle(tied + loose, left, right)
        return placed

    def _settle(self, row: list[tuple[Flag, Anchor | None]], left: float, right: float) -> list[Placed]:
        """A row in its order: each cell as near to what it points at as the others let it."""
        if not row:
            return []
        gaps = [flag.width + _GAP * self.k for flag, _ in row[:-1]]
        inset = _INSET * self.k
        last = right - row[-1][0].width
        xs = [to.middle - inset if to else right - flag.width for flag, to in row]
        for _ in range(5):
            targets = [
                to.nearest(x + inset) - inset if to else right - flag.width
                for (flag, to), x in zip(row, xs, strict=True)
            ]
            xs = settled(targets, [1.0 if to else 0.05 for _, to in row], gaps, left, last)
        return [(flag, x, to) for (flag, to), x in zip(row, xs, strict=True)]

    def farthest(self, placed: list[Placed]) -> float:
        """How far sideways the longest leader runs."""
        inset = _INSET * self.k
        return max((abs(x + inset - to.nearest(x + inset)) for _, x, to in placed if to), default=0.0)

    def draw(self, board: Board, placed: list[Placed], view_bottom: float, top: float) -> None:
        """Draw the row; leaders come up through the view's lower edge."""
        k = self.k
        for flag, x, to in placed:
            colour = board.theme.colour(flag.worst)
            self._write(board, flag, x, top)
            if to is None:
                continue
            board.line(((x, top - k), (x + flag.width, top - k)), colour, k, z=11.0)
            inset = x + _INSET * k
            across = to.nearest(inset)
            tip = (across, min(to.height(across), view_bottom - 4.0))
            line = ((inset, top - k), (inset, top - 5.0 * k), (across, view_bottom + 2.0 * k), tip)
            board.line(line, colour, k, z=10.5)
            board.disc(tip, 2.5 * k, colour, Stroke(board.theme.paper, 0.7), z=12.0)
            board.lower.append(Leader(flag.key, line))
            board.edges.append(line)

    def _write(self, board: Board, flag: Flag, x: float, top: float) -> None:
        k = self.k
        left, at = x, 0
        for column in flag.columns:
            wide, base = 0.0, top + 14.0 * k
            for line in column:
                end = left
                for run in line:
                    if run.kind == "mark":
                        board.mark(end + 6.0 * k, base - 4.4 * k, 5.6 * k, run.verdict)
                        end += _INDENT * k
                    elif run.kind == "words":
                        colour = board.theme.colour(run.colour)
                        end = board.write(end, base, run.text, WORD_PT * k, colour, bold=run.bold)
                    else:
                        end += (_INDENT if run.kind == "indent" else _BETWEEN) * k
                wide, base = max(wide, end - left), base + LINE * k
            self._pressable(board, flag, column, left, wide, top, at)
            at += len(column) // 2
            left += wide + _COLUMN * k

    def _pressable(
        self, board: Board, flag: Flag, column: tuple[Line, ...], left: float, wide: float, top: float, at: int
    ) -> None:
        """Each finding's own lines or mark choose it; a cell that says only its worst chooses that."""
        if not flag.findings:
            return
        k = self.k
        if column[0][-1].kind == "gap":
            marks = [
                (row, line[start : start + 3]) for row, line in enumerate(column) for start in range(0, len(line), 3)
            ]
            before, end = 0, left
            for (row, mark), (_, finding) in zip(marks, flag.findings, strict=True):
                if row > before:
                    before, end = row, left
                upper, right = top + row * LINE * k, end + self._line_width(mark)
                board.target(finding.part, boxed(end, upper, right, upper + LINE * k), finding=finding.id)
                end = right
            return
        pairs = [flag.findings[at + place : at + place + 1] for place in range(len(column) // 2)]
        high = LINE * k * (3.0 if len(column) == 3 else 2.0)
        for place, pair in enumerate(pairs):
            for _, finding in pair:
                upper = top + place * high
                board.target(finding.part, boxed(left, upper, left + wide, upper + high), finding=finding.id)


def on_circle(centre: Point, radius: float) -> Callable[[float], float]:
    """Lower edge of a circle at an x."""
    return lambda x: centre[1] + math.sqrt(max(radius * radius - (x - centre[0]) ** 2, 0.0))
