"""Strokes of the shaft, its joints and the lines through them, the same for both views."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.sketch.primitives import Layer, Role, Stroke, View
from app.sketch.shapes import Pair, along, capsule, circle, cross, heading, polyline, profile, sector
from geometry.document import Build
from geometry.document.running_gear import Joint, OnePieceShaft, Tube, TwoPieceShaft
from geometry.words.solution import Part, Verdict

JOINT_PARTS: tuple[Part, Part, Part] = ("front_joint", "centre_joint", "rear_joint")
_JOINT_DRAWN_MM = 27.0  # half size of a joint whose shaft's tube is not known
_WEDGE_SHARE = 0.36  # of the section's length: small angles want a long radius


@dataclass(frozen=True, slots=True)
class Chain:
    """Joints and lines of the shaft in one view's plane, front to rear; `lines` are unit directions rearward.

    There is one more line than joints: the one before the first joint, each section, the one behind the last joint.
    `diameters_mm` has None for a tube that was not measured.
    """

    view: View
    joints: tuple[Pair, ...]
    lines: tuple[Pair | None, ...]
    parts: tuple[Part, ...]
    types: tuple[str, ...]
    diameters_mm: tuple[float | None, ...]

    @property
    def joint_radius_mm(self) -> float:
        """Drawn half size of the joints: that of a cross which suits the tube."""
        known = [d for d in self.diameters_mm if d is not None]
        span = math.dist(self.joints[0], self.joints[-1]) if len(self.joints) > 1 else 1e9
        return min(max(0.3 * max(known), 12.0) if known else _JOINT_DRAWN_MM, 0.07 * span + 8.0)

    def section(self, number: int) -> tuple[Pair, Pair, Pair, float]:
        """Both ends of a section, its unit direction and its drawn length."""
        a, b = self.joints[number], self.joints[number + 1]
        direction, span = heading(a, b)
        return a, b, direction, span


def joint_parts(count: int) -> tuple[Part, ...]:
    """Parts of two or three joints, front to rear."""
    return JOINT_PARTS if count == 3 else (JOINT_PARTS[0], JOINT_PARTS[2])


def tube_diameters(build: Build) -> tuple[float | None, ...]:
    """Outside diameter of each tube, front to rear, None where not measured."""
    shaft = build.shaft
    tubes: tuple[Tube | None, ...] = (None,)
    if isinstance(shaft, TwoPieceShaft):
        tubes = (shaft.front_tube, shaft.rear_tube)
    elif isinstance(shaft, OnePieceShaft):
        tubes = (shaft.tube,)
    return tuple(None if tube is None else tube.outer_diameter_mm for tube in tubes)


def joint_types(build: Build) -> tuple[str, ...]:
    """Type of each joint, front to rear; single crosses where the build does not say."""
    shaft = build.shaft
    joints: tuple[Joint | None, ...] = (None, None)
    if isinstance(shaft, TwoPieceShaft):
        joints = (shaft.front_joint, shaft.centre_joint, shaft.rear_joint)
    elif isinstance(shaft, OnePieceShaft):
        joints = (shaft.front_joint, shaft.rear_joint)
    return tuple("cardan" if joint is None else joint.type for joint in joints)


def shaft_strokes(chain: Chain) -> list[Stroke]:
    """Tubes with their tapered yokes and centre lines, and the joints over them."""
    strokes: list[Stroke] = []
    r = chain.joint_radius_mm
    for number in range(len(chain.joints) - 1):
        a, b, d, span = chain.section(number)
        name = f"{chain.view} shaft {number}"
        diameter = chain.diameters_mm[min(number, len(chain.diameters_mm) - 1)]
        if diameter is None:
            strokes.append(Stroke(f"{name} line", chain.view, polyline(a, b), "shaft_line", "shaft", hard=True))
        elif span > 0.0:
            strokes += _tube(name, chain.view, a, d, span, 0.5 * diameter, r)
        ends = polyline(along(a, d, -1.9 * r), along(b, d, 1.9 * r))
        if diameter is not None:
            strokes.append(Stroke(f"{name} centre", chain.view, ends, "centre", "shaft"))
    for number, joint in enumerate(chain.joints):
        inner = number if number == 0 else number - 1
        d = chain.section(inner)[2] if len(chain.joints) > 1 else (1.0, 0.0)
        strokes += _joint(chain, number, joint, d, r)
    return strokes


def _tube(name: str, view: View, a: Pair, d: Pair, span: float, half: float, r: float) -> list[Stroke]:
    yoke = min(max(1.15 * half, 1.9 * r), 0.2 * span)
    weld = min(max(2.2 * half, 3.1 * r, yoke + 0.6 * half), 0.3 * span)
    ear = min(0.86 * r, half)
    outline = profile(
        a,
        d,
        ((0.45 * r, ear), (yoke, ear), (weld, half), (span - weld, half), (span - yoke, ear), (span - 0.45 * r, ear)),
    )
    welds = [
        Stroke(
            f"{name} weld {end}", view, polyline(along(a, d, at, half), along(a, d, at, -half)), "joint_mark", "shaft"
        )
        for end, at in (("front", weld), ("rear", span - weld))
    ]
    return [Stroke(f"{name} tube", view, outline, "shaft", "shaft", closed=True, hard=True), *welds]


def _joint(chain: Chain, number: int, at: Pair, d: Pair, r: float) -> list[Stroke]:
    part, view, key = chain.parts[number], chain.view, f"{chain.view} joint {number}"
    kind = chain.types[number] if number < len(chain.types) else "cardan"

    def made(name: str, points: object, role: Role, *, closed: bool = False, hard: bool = False) -> Stroke:
        return Stroke(f"{key} {name}", view, points, role, part, closed=closed, hard=hard)  # type: ignore[arg-type]

    if kind == "double_cardan":
        strokes = [made("housing", capsule(at, d, 1.05 * r, 1.12 * r), "joint", closed=True, hard=True)]
        for side in (-1.0, 1.0):
            centre = along(at, d, side * 0.98 * r)
            strokes += [made(f"arm {side} {i}", arm, "joint_mark") for i, arm in enumerate(cross(centre, d, 0.68 * r))]
        return strokes
    strokes = [made("body", circle(at, r), "joint", closed=True, hard=True)]
    if kind == "constant_velocity":
        strokes.append(made("race", circle(at, 0.52 * r, 24), "joint_mark", closed=True))
        for i in range(3):
            turn = 2.0 * math.pi * i / 3.0 + 0.5 * math.pi
            ball = along(at, (math.cos(turn), math.sin(turn)), 0.75 * r)
            strokes.append(made(f"ball {i}", circle(ball, 0.13 * r, 8), "joint_mark", closed=True))
    else:
        strokes += [made(f"arm {i}", arm, "joint_mark") for i, arm in enumerate(cross(at, d, 0.58 * r))]
    return strokes


@dataclass(frozen=True, slots=True)
class Wedge:
    """One operating angle as drawn: its number's anchor on the arc and the way the number would lie from it."""

    joint: int
    anchor: Pair
    away: Pair


def wedges(chain: Chain, verdicts: dict[int, Verdict | None]) -> tuple[list[Stroke], list[Wedge]]:
    """Filled wedges between the centre lines at each joint, and the extended line that bounds each of them."""
    strokes: list[Stroke] = []
    found: list[Wedge] = []
    last = len(chain.joints) - 1
    for number, joint in enumerate(chain.joints):
        before, behind = chain.lines[number], chain.lines[number + 1]
        if before is None or behind is None or number not in verdicts:
            continue
        verdict = verdicts[number] or "clear"
        inner = number - 1 if number == last else number
        radius = _WEDGE_SHARE * chain.section(inner)[3]
        # The wedge lies where the shaft is: behind the joint, but ahead of the last one.
        way = -1.0 if number == last else 1.0
        line, other = (behind, before) if number == last else (before, behind)
        one, two = (way * line[0], way * line[1]), (way * other[0], way * other[1])
        fill, arc, middle = sector(joint, two, one, radius)
        key = f"{chain.view} wedge {number}"
        tone: tuple[Role, Role] = ("wedge_clear", "arc_clear")
        if verdict == "hold":
            tone = ("wedge_hold", "arc_hold")
        elif verdict == "caution":
            tone = ("wedge_caution", "arc_caution")
        part = chain.parts[number]
        strokes.append(Stroke(key, chain.view, fill, tone[0], part, closed=True))
        strokes.append(Stroke(f"{key} arc", chain.view, arc, tone[1], part))
        # Away from the shaft, on the side where the extended line lies; a straight joint's number goes up in front.
        turn = two[0] * one[1] - two[1] * one[0]
        side = math.copysign(1.0, turn) if abs(turn) > 1e-6 else way
        away = (-side * two[1], side * two[0])
        found.append(Wedge(number, along(joint, middle, 0.97 * radius), away))
    return strokes, found


def extended_line(
    key: str, view: View, joint: Pair, line: Pair, before: float, behind: float, part: Part, layer: Layer = "moving"
) -> Stroke:
    """Dash-dot centre line through a joint, so far ahead of it and so far behind it."""
    return Stroke(key, view, polyline(along(joint, line, -before), along(joint, line, behind)), "centre", part, layer)


def end_yoke(key: str, view: View, joint: Pair, outward: Pair, radius: float, part: Part) -> Stroke:
    """Yoke of output or pinion: from the joint's body out along its own line."""
    ear, hub = 0.86 * radius, 0.5 * radius
    stations = ((0.45 * radius, ear), (1.25 * radius, ear), (1.75 * radius, hub), (2.3 * radius, hub))
    return Stroke(key, view, profile(joint, outward, stations), "outline", part, closed=True)
