"""The row of numbers above the view: one cell for each line and joint, in station order, a leader to each."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

from app.drawing.fonts import width
from app.drawing.items import Leader, Point, Stroke
from app.drawing.places import boxed
from app.drawing.rows import settled
from app.setpoints import as_told
from app.units import degrees, leaning
from geometry.words.solution import JointState, Part, Verdict

if TYPE_CHECKING:
    from app.drawing.axle import Housing
    from app.drawing.board import Board
    from app.drawing.places import Pair, View
    from app.drawing.subject import Subject

BIG_PT, SMALL_PT, NAME_PT, NOTE_PT = 22.0, 15.0, 11.0, 10.0
_GAP: Final = 16.0
_MARK: Final = 17.0
"""Room for a verdict's shape before a number."""
_ANGLE = frozenset({"operating_angle_most", "operating_angle_least", "straight_end", "first_joint", "joint_bind"})
"""Findings that are about the operating angle itself, here or at an end of the travel."""
_NEAR_DEG: Final = 3.0


@dataclass(frozen=True)
class Cell:
    """One number: runs of (text, pt, colour), its name, what stands under that, and a verdict's shape before it."""

    key: str
    part: Part
    runs: tuple[tuple[str, float, str], ...]
    name: str
    note: str
    verdict: Verdict | None = None

    def width(self, k: float) -> float:
        """Width that it takes."""
        return max(self.number_width(k), width(self.name, NAME_PT * k, bold=True), width(self.note, NOTE_PT * k))

    def number_width(self, k: float) -> float:
        """Width of the number with its shape."""
        mark = _MARK * k if self.verdict else 0.0
        return sum(width(text, pt * k, bold=text != ARROW) for text, pt, _ in self.runs) + mark

    @property
    def smaller(self) -> Cell:
        """With what is now in smaller type beside what is to be set."""
        if len(self.runs) == 1:
            return self
        first = self.runs[0]
        return replace(self, runs=((first[0], SMALL_PT, first[2]), *self.runs[1:]))


ARROW: Final = " → "


def cells_of(board: Board, subject: Subject) -> list[Cell]:
    """The cells, front to rear."""
    here, away = subject.here, subject.away
    set_here = not away and not subject.bare
    points, ride = as_told(subject.build, subject.whole), subject.whole.angles
    up, down = ("nose down", "nose up") if subject.ahead else ("nose up", "nose down")
    joints = [_joint(board, subject, place, joint, away=away) for place, joint in enumerate(here.joints)]
    output = _line(
        board, "output", "powertrain", here.angles.output_slope_deg, "tail down", "tail up",
        points.output_slope_deg if set_here else None,
    )  # fmt: skip
    pinion = _line(
        board, "pinion", "axle", here.angles.pinion_slope_deg, up, down,
        points.pinion_slope_deg if set_here else None,
    )  # fmt: skip
    if away and pinion is not None and ride.pinion_slope_deg is not None:
        value, _, lean = leaning(ride.pinion_slope_deg, down=up, up=down).partition(" ")
        before = value if lean == pinion.note else f"{value} {lean}"
        pinion = replace(pinion, note=f"{pinion.note} · ride {before}")
    ends = (pinion, output) if subject.ahead else (output, pinion)
    return [one for one in (ends[0], *joints, ends[1]) if one is not None]


def _line(
    board: Board, name: str, part: Part, slope: float | None, down: str, up: str, to_set: float | None
) -> Cell | None:
    if slope is None:
        return None
    ink = board.theme.ink
    value, _, lean = leaning(slope, down=down, up=up).partition(" ")
    drawn = Cell(name, part, ((value, BIG_PT, ink),), name, lean)
    if to_set is None:
        return drawn
    wanted, _, lean = leaning(to_set, down=down, up=up).partition(" ")
    if (wanted, lean) == (value, drawn.note):
        return drawn
    runs = ((value, BIG_PT, ink), (ARROW, SMALL_PT, board.theme.muted), (wanted, BIG_PT, ink))
    return Cell(name, part, runs, name, f"{lean} · set this")


def _joint(board: Board, subject: Subject, place: int, joint: JointState, *, away: bool) -> Cell | None:
    if joint.operating_deg is None:
        return None
    verdict = joint_verdict(subject, place, joint, away=away)
    note = ""
    if away:
        ride = subject.whole.joints[place].operating_deg
        note = "" if ride is None else f"ride {degrees(ride)}"
    elif joint.uncertainty_deg:
        note = f"± {degrees(max(joint.uncertainty_deg, 0.1))}"
    colour = board.theme.colour(verdict) if verdict else board.theme.accent
    part: Part = ("front_joint", "centre_joint", "rear_joint")[("front", "centre", "rear").index(joint.name)]
    return Cell(part, part, ((degrees(joint.operating_deg), BIG_PT, colour),), f"{joint.name} joint", note, verdict)


def joint_verdict(subject: Subject, place: int, joint: JointState, *, away: bool) -> Verdict | None:
    """Verdict on the angle itself: of the findings at ride height, elsewhere by the joint's own greatest angle."""
    if away:
        most, angle = subject.greatest_deg(place), joint.operating_deg
        if most is None or angle is None or angle <= most - _NEAR_DEG:
            return None
        return "hold" if angle > most else "caution"
    worst: Verdict | None = None
    for finding in subject.whole.findings:
        if finding.part == f"{joint.name}_joint" and finding.id in _ANGLE and finding.bad:
            worst = "hold" if "hold" in (finding.verdict, worst) else "caution"
    return worst


@dataclass
class _Placed:
    cell: Cell
    span: tuple[float, float]
    at: Callable[[float], Point]
    weight: float
    seen: bool = True

    def target(self, x: float | None = None) -> float:
        low, high = self.span
        return min(max((low + high) / 2.0 if x is None else x, low), high)


class NumbersRow:
    """The row, its baseline and the rule under it, for a width from `left` to `right`."""

    def __init__(self, board: Board, cells: list[Cell], left: float, right: float, top: float) -> None:
        self.board, self.cells, self.left, self.right = board, cells, left, right
        self.base = top + 26.0 * board.k
        self.rule = top + 65.0 * board.k

    def outer_widths(self, subject: Subject) -> tuple[float, float]:
        """Room that the first and the last cell want beside the outer joints, the same in every state.

        With it no joint's number is moved by more than half its width.
        """
        k, gap = self.board.k, _GAP * self.board.k
        still, gone = (
            cells_of(self.board, replace(subject, here=subject.whole, travel_mm=travel, torque="none"))
            for travel in (0.0, 1.0)
        )
        if not still:
            return gap, gap
        return (
            max(still[0].width(k), gone[0].width(k)) + gap,
            max(still[-1].width(k), gone[-1].width(k)) + gap,
        )

    def draw(self, view: View, subject: Subject, housing: Housing | None) -> None:
        """Place the cells over what they tell of and draw them with their leaders."""
        k, board = self.board.k, self.board
        placed = self._beside_what_is_seen([self._hang(cell, view, subject, housing) for cell in self.cells])
        if not placed:
            return
        gap = _GAP * k
        xs = self._settle(placed, gap)
        crowded = sum(one.cell.width(k) for one in placed) + gap * (len(placed) - 1) > self.right - self.left
        moved = any(
            one.weight > 1.0 and abs(x - one.target()) > one.cell.width(k) / 2.0
            for one, x in zip(placed, xs, strict=True)
        )
        if crowded or moved:
            for one in placed:
                one.cell = one.cell.smaller
            xs = self._settle(placed, 10.0 * k if crowded else gap)
        for one, x in zip(placed, xs, strict=True):
            self._draw(one, x, view)
        board.line(((self.left, self.rule), (self.right, self.rule)), board.tint(0.28), 0.8, z=11.0)

    def _beside_what_is_seen(self, placed: list[_Placed]) -> list[_Placed]:
        """In a view that the person chose: what lies outside it is told where that pushes no other number aside."""
        seen = [one for one in placed if one.seen]
        if not seen or len(seen) == len(placed):
            return placed
        k, muted, kept = self.board.k, self.board.theme.muted, list(seen)
        first, last = placed.index(seen[0]), placed.index(seen[-1])
        left = seen[0].target() - seen[0].cell.width(k) / 2.0 - self.left
        right = self.right - seen[-1].target() - seen[-1].cell.width(k) / 2.0
        for some, room in ((placed[:first][::-1], left), (placed[last + 1 :], right)):
            for one in some:
                room -= one.cell.width(k) + _GAP * k  # noqa: PLW2901
                if room < 0.0:
                    break
                one.cell = replace(one.cell, runs=tuple([(text, pt, muted) for text, pt, _ in one.cell.runs]))
                one.weight = 0.01
                kept.append(one)
        return [one for one in placed if one in kept]

    def _settle(self, placed: list[_Placed], gap: float) -> list[float]:
        """Lines slide along their interval until they stand straight under their cell, or as near as can be."""
        k = self.board.k
        wide = [one.cell.width(k) for one in placed]
        gaps = [(a + b) / 2.0 + gap for a, b in itertools.pairwise(wide)]
        xs = [one.target() for one in placed]
        for _ in range(4):
            xs = settled(
                [one.target(x) for one, x in zip(placed, xs, strict=True)], [one.weight for one in placed], gaps,
                self.left + wide[0] / 2.0, self.right - wide[-1] / 2.0,
            )  # fmt: skip
        return xs

    def _hang(self, cell: Cell, view: View, subject: Subject, housing: Housing | None) -> _Placed:
        names = [f"{name}_joint" for name in subject.joint_names]
        if cell.key in names:
            at = view.px(subject.side_joints[names.index(cell.key)])
            low, high = view.box[0], view.box[2]
            x = min(max(at[0], low), high)
            return _Placed(cell, (x, x), lambda _: at, 6.0, view.holds(at))
        output = cell.key == "output"
        joint = subject.output if output else subject.nose
        line = subject.output_line if output else subject.pinion_line
        direction = line if line is not None else (1.0, 0.0)
        way = (1.0 if output else -1.0) * (1.0 if subject.ahead else -1.0)
        near, far = self._interval(subject, housing, output=output)
        first, last = sorted(view.x(joint[0] + way * direction[0] * reach) for reach in (near, far))
        low = max(first, view.box[0] + 14.0 * self.board.k)
        high = min(max(last, low), view.box[2] - 14.0 * self.board.k)
        seen = last > view.box[0] + 14.0 * self.board.k and first < view.box[2] - 14.0 * self.board.k
        return _Placed(cell, (min(low, high), high), lambda x: self._on_line(view, joint, direction, x), 1.0, seen)

    def _interval(self, subject: Subject, housing: Housing | None, *, output: bool) -> tuple[float, float]:
        """From where to where along output or pinion the leader may end, mm from the joint."""
        long = subject.whole.shaft.length_mm or 1000.0
        if not subject.measured or housing is None:
            return 0.04 * long, 0.27 * long
        if not output:
            return 75.0, max(housing.reach - 1.4 * housing.tube_mm, 80.0)
        powertrain = subject.build.powertrain
        box = (powertrain.gearbox_length_mm if powertrain is not None else None) or 760.0
        return (95.0, 330.0) if subject.ahead else (100.0, 0.6 * box)

    def _on_line(self, view: View, joint: Pair, direction: Pair, x: float) -> Point:
        across = (x - view.x(joint[0])) / view.scale
        return x, view.y(joint[1] + across * direction[1] / (direction[0] or 1.0))

    def _draw(self, one: _Placed, x: float, view: View) -> None:
        board, cell, k = self.board, one.cell, self.board.k
        wide = cell.number_width(k)
        left = x - wide / 2.0
        if cell.verdict:
            board.mark(left + 6.0 * k, self.base - 8.0 * k, 6.2 * k, cell.verdict)
            left += _MARK * k
        for text, pt, colour in cell.runs:
            left = board.write(left, self.base, text, pt * k, colour, bold=text != ARROW)
        board.write(x, self.base + 17.0 * k, cell.name, NAME_PT * k, board.theme.ink, bold=True, align="middle")
        if cell.note:
            board.write(x, self.base + 33.0 * k, cell.note, NOTE_PT * k, board.theme.muted, align="middle")
        half = cell.width(k) / 2.0
        board.target(cell.part, boxed(x - half, self.base - 24.0 * k, x + half, self.rule))
        tip = one.at(one.target(x))
        if not (one.seen and view.holds(tip)):
            return
        colour = cell.runs[0][2]
        knee = self.rule + 18.0 * k
        line = ((x, self.rule), (x, self.rule + 5.0 * k), (tip[0], min(knee, tip[1])), tip)
        board.line(line, colour, k, z=11.5)
        board.disc(tip, 2.8 * k, colour, Stroke(board.theme.paper, 0.7), z=12.0)
        board.leaders.append(Leader(cell.key, line))
        board.edges.append(line)
