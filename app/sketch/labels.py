"""Callouts and flags of the drawing, anchored in millimetres; `callouts` finds room for them on a page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from app.sketch.primitives import Colour, Floats, Label, Role, Row, Stroke, View
from app.sketch.shaft_view import Chain, Wedge, joint_parts
from app.sketch.shapes import Pair, along
from app.sketch.side_view import obstacle_of
from app.sketch.words import (
    angle_row,
    angle_verdict,
    flag_rows,
    frame_words,
    offset_words,
    output_words,
    pinion_words,
    shaft_words,
    troubles,
)
from geometry.document import Build, is_front_axle
from geometry.words.solution import Finding, Part, Solution, Verdict

_NO_STAND = frozenset({
    "joint_mark", "centre", "wedge_clear", "wedge_caution", "wedge_hold", "arc_clear", "arc_caution", "arc_hold",
})  # fmt: skip
_UP, _DOWN = (0.0, 1.0), (0.0, -1.0)
_STAND_INS: dict[str, tuple[str, ...]] = {
    "readings": ("shaft", "front_joint"),
    "bearing": ("centre_joint", "shaft"),
    "centre_joint": ("shaft",),
    "front_joint": ("shaft", "powertrain"),
    "rear_joint": ("shaft", "axle"),
    "perches": ("axle", "suspension"),
    "suspension": ("axle", "vehicle"),
    "shocks": ("suspension", "axle"),
    "torque_bars": ("axle", "suspension"),
    "lateral_link": ("axle", "suspension"),
    "obstacles": ("shaft", "powertrain"),
    "vehicle": ("axle",),
    "shaft": ("front_joint", "powertrain", "axle"),
    "axle": ("rear_joint", "shaft"),
    "powertrain": ("front_joint", "shaft"),
}
"""Where a flag stands when its own part is not drawn, best first."""


def angle_labels(build: Build, solution: Solution, wedges: list[Wedge], *, judged: bool = True) -> list[Label]:
    """Operating angles, the numbers the person came for: large, never dropped, with the flags of their joints.

    Away from ride height they are not `judged`: the findings are about other angles.
    """
    found = []
    trouble = troubles(solution)
    for wedge in wedges:
        joint = solution.joints[wedge.joint]
        verdict = angle_verdict(solution, joint) if judged else None
        part = joint_parts(len(solution.joints))[wedge.joint]
        told = trouble.get(part, [])
        under = joint.operating_deg if judged else None
        flags = flag_rows(told, build.display, under=under, away=not judged)
        rows = (angle_row(joint, verdict, build.display), *flags)
        up = wedge.away[1] >= 0.0
        lean = (-0.35, 1.0) if up else (0.35, -1.0)
        found.append(
            Label(
                f"angle {joint.name}",
                "side",
                rows,
                (wedge.anchor,),
                (wedge.away, lean, (0.0, 1.0 if up else -1.0)),
                "big",
                _tone(verdict),
                bold=True,
                rank=0,
                kept=True,
                part=part,
            )
        )
    return found


def _tone(verdict: Verdict | None) -> Colour:
    return "accent" if verdict is None else verdict


def line_labels(build: Build, solution: Solution, chains: dict[View, Chain], *, judged: bool = True) -> list[Label]:
    """Callouts of the lines: output, pinion, shaft, frame rail, and the offset from above; `judged` at ride height."""
    angles, picture = solution.angles, solution.picture
    side, top = chains.get("side"), chains.get("top")
    ahead = is_front_axle(build)
    labels = []
    if angles.output_slope_deg is not None and picture.output_joint_mm and picture.output_direction:
        span = 700.0 if side is None else side.section(-2 + len(side.joints) if ahead else 0)[3]
        way = 1.0 if ahead else -1.0
        d = picture.output_direction
        joint = (picture.output_joint_mm[0], picture.output_joint_mm[2])
        at = tuple(along(joint, (way * d[0], way * d[2]), share * span) for share in (0.3, 0.2, 0.4))
        labels.append(
            _line("output", output_words(angles.output_slope_deg), at, (_UP, (-0.5, 1.0), (0.5, 1.0)), "powertrain", 10)
        )
    if angles.pinion_slope_deg is not None and picture.pinion_joint_mm and picture.axle_centre_mm:
        a, b = picture.pinion_joint_mm, picture.axle_centre_mm
        d3 = picture.pinion_direction or (1.0, 0.0, 0.0)
        at = tuple(along((a[0], a[2]), (d3[0], d3[2]), share * (b[0] - a[0])) for share in (0.55, 1.25))
        away = -0.6 if ahead else 0.6
        text = pinion_words(angles.pinion_slope_deg, axle_ahead=ahead)
        labels.append(_line("pinion", text, at, ((away, -1.0), (away, 1.0), _DOWN), "axle", 11))
    if side is not None:
        labels += _shaft_labels(build, solution, side, judged=judged)
    if angles.frame_slope_deg is not None and len(picture.frame_rail_mm) > 1 and side is not None:
        labels.append(_frame_label(angles.frame_slope_deg, solution, side, ahead=ahead))
    if top is not None:
        first, last = top.joints[0], top.joints[-1]
        text = offset_words(last[1] - first[1], angles.shaft_plan_deg, build.display)
        labels.append(
            Label(
                "offset",
                "top",
                (Row(text),),
                edges(top, 0, (0.5, 0.3, 0.7), (-1.0, 1.0)),
                (_DOWN, (-0.4, -1.0)),
                rank=13,
                part="shaft",
            )
        )
    return labels


def _line(key: str, text: str, at: tuple[Pair, ...], towards: tuple[Pair, ...], part: Part, rank: int) -> Label:
    return Label(key, "side", (Row(text),), at, towards, rank=rank, part=part)


def edges(chain: Chain, number: int, shares: tuple[float, ...], sides: tuple[float, ...]) -> tuple[Pair, ...]:
    """Points on a tube's edges, at shares of its length from its front joint, above (+1) or below (−1) its axis."""
    a, _, d, span = chain.section(number)
    diameter = chain.diameters_mm[min(number, len(chain.diameters_mm) - 1)] or 0.0
    return tuple(along(a, d, share * span, side * 0.5 * diameter) for side in sides for share in shares)


def _shaft_labels(build: Build, solution: Solution, chain: Chain, *, judged: bool) -> list[Label]:
    labels = []
    angles, shaft = solution.angles, solution.shaft
    count = len(chain.joints) - 1
    for number in range(count):
        # The angles and the last length go with a state of the travel; a section's own entries stay at ride height.
        slope = angles.shaft_slope_deg if number == count - 1 else angles.front_shaft_slope_deg
        length = shaft.length_mm
        if number < count - 1:
            moved = not judged and is_front_axle(build)
            length = None if moved or number >= len(shaft.sections) else shaft.sections[number].length_mm
        name = "shaft" if count == 1 else f"{('front', 'rear')[number]} shaft"
        text = shaft_words(name, slope, length, build.display)
        anchors = edges(chain, number, (0.44, 0.3, 0.56, 0.72), (-1.0, 1.0))
        labels.append(_line(f"shaft {number}", text, anchors, ((-0.6, -1.0), _DOWN, (0.6, -1.0)), "shaft", 12))
    return labels


def _frame_label(slope_deg: float, solution: Solution, chain: Chain, *, ahead: bool) -> Label:
    """Beside the top of the rail, toward the axle's end of the page."""
    rail = solution.picture.frame_rail_mm
    front, rear = min(rail), max(rail)
    top_front = max(z for x, z in rail if x - front[0] < 1.0)
    top_rear = max(z for x, z in rail if rear[0] - x < 1.0)
    axle = solution.picture.axle_centre_mm or (chain.joints[-1][0], 0.0, 0.0)
    at = []
    for x in (axle[0] + way * (-80.0 if ahead else 80.0) for way in (1.0, 3.5, -4.0)):
        share = min(max((x - front[0]) / max(rear[0] - front[0], 1.0), 0.0), 1.0)
        at.append((front[0] + share * (rear[0] - front[0]), top_front + share * (top_rear - top_front)))
    return Label(
        "frame rail",
        "side",
        (Row(frame_words(slope_deg)),),
        tuple(at),
        ((1.0, 1.0), _UP, (-1.0, 1.0)),
        colour="muted",
        rank=40,
        part="vehicle",
    )


def schematic_labels(
    build: Build, solution: Solution, chain: Chain | None, start: Pair, end: Pair,
    first: Pair | None, last: Pair | None, length_mm: float,
) -> list[Label]:  # fmt: skip
    """Callouts of a drawing that knows slopes and a length alone."""
    angles = solution.angles
    ahead = is_front_axle(build)
    labels = []
    words: dict[str, tuple[str, Part]] = {}
    if angles.output_slope_deg is not None:
        words["output"] = (output_words(angles.output_slope_deg), "powertrain")
    if angles.pinion_slope_deg is not None:
        words["pinion"] = (pinion_words(angles.pinion_slope_deg, axle_ahead=ahead), "axle")
    for name, at, line, way in (
        ("pinion" if ahead else "output", start, first, -1.0),
        ("output" if ahead else "pinion", end, last, 1.0),
    ):
        if line is not None and name in words:
            text, part = words[name]
            anchors = tuple(along(at, line, way * share * length_mm) for share in (0.22, 0.14, 0.3))
            labels.append(_line(name, text, anchors, (_UP, (way * 0.4, 1.0), _DOWN), part, 10))
    if chain is not None:
        known = solution.shaft.length_mm
        text = shaft_words("shaft", angles.shaft_slope_deg, known, build.display)
        text += "" if known is not None else " · length not measured"
        labels.append(
            _line(
                "shaft",
                text,
                edges(chain, 0, (0.44, 0.52), (-1.0, 1.0)),
                ((-0.5, -1.0), _DOWN, (0.5, -1.0)),
                "shaft",
                12,
            )
        )
    return labels


@dataclass(frozen=True, slots=True)
class _Stand:
    """Where a part's flag is anchored."""

    view: View
    at: tuple[Pair, ...]
    towards: tuple[Pair, ...]
    part: str


def flag_labels(
    build: Build, solution: Solution, strokes: list[Stroke], told: set[str], *, judged: bool = True
) -> list[Label]:
    """Flags, one a part with its worst findings, at the part in trouble; none for the parts `told` already."""
    drawn: dict[str, Stroke] = {}
    for stroke in strokes:
        if stroke.part is None or stroke.role in _NO_STAND:
            continue
        drawn.setdefault(stroke.part, stroke)
        if stroke.role == "obstacle":
            drawn[f"obstacles.{obstacle_of(stroke.key)}"] = stroke
    grouped: dict[str, tuple[_Stand, list[Finding]]] = {}
    for part, findings in troubles(solution).items():
        if part in told:
            continue
        own = ".".join(findings[0].entry.split(".")[:2]) if part == "obstacles" else part  # at the worst one
        place = next((name for name in (own, part, *_STAND_INS.get(part, ())) if name in drawn), None)
        stand = _Stand("side", (), (_UP,), part) if place is None else _stand(drawn[place], place)
        grouped.setdefault(stand.part, (stand, []))[1].extend(findings)
    labels = []
    for stand, findings in grouped.values():
        findings.sort(key=lambda one: one.verdict != "hold")
        worst = findings[0].verdict
        labels.append(
            Label(
                f"flag {stand.part}",
                stand.view,
                flag_rows(findings, build.display, away=not judged),
                stand.at,
                stand.towards,
                "label",
                worst,
                bold=True,
                rank=1 if worst == "hold" else 2,
                kept=True,
                part=findings[0].part,
            )
        )
    return labels


def obstacle_labels(build: Build, strokes: list[Stroke], flags: set[str]) -> list[Label]:
    """Name of every obstacle that is drawn; one with a flag is named by that."""
    labels = []
    for stroke in strokes:
        number = obstacle_of(stroke.key) if stroke.role == "obstacle" else None
        if number is None or f"flag obstacles.{number}" in flags:
            continue
        stand = _stand(stroke)
        name = build.obstacles[number].name
        labels.append(
            Label(f"name obstacle {number}", stroke.view, (Row(name),), stand.at, stand.towards, "axis", "muted",
                  rank=61, part="obstacles")
        )  # fmt: skip
    return labels


def _stand(stroke: Stroke, part: str = "") -> _Stand:
    role, view = stroke.role, stroke.view
    return _stood(role, view, part or str(stroke.part), stroke.points.tobytes(), closed=stroke.closed)


@lru_cache(maxsize=256)  # what a hand leaves alone stands where it stood
def _stood(role: Role, view: View, part: str, flat: bytes, *, closed: bool) -> _Stand:
    points = np.frombuffer(flat).reshape(-1, 2)
    if role == "shaft":  # the tube's upper edge, behind its middle
        upper = [_between(points[2], points[3], share) for share in (0.58, 0.45, 0.72, 0.3)]
        lower = [_between(points[-3], points[-4], share) for share in (0.5, 0.3, 0.7)]
        return _Stand(view, (*upper, *lower), (_UP, (0.5, 1.0), (-0.5, 1.0), _DOWN), part)
    if role == "shaft_line":
        return _Stand(
            view, tuple(_between(points[0], points[1], s) for s in (0.58, 0.5)), (_UP, (0.5, 1.0), _DOWN), part
        )
    if role == "spring":
        some = tuple(_between(points[int(s * (len(points) - 1))], points[-1], 0.0) for s in (0.2, 0.8, 0.0))
        return _Stand(view, some, (_UP, (0.5, 1.0), (-0.5, 1.0), _DOWN), part)
    if role in {"joint", "pivot"}:
        at = points.mean(axis=0)
        towards = (_DOWN, (-0.6, -1.0), _UP) if part == "front_joint" else ((0.6, 1.0), _UP, (0.5, -1.0))
        return _Stand(view, (_between(at, at, 0.0),), towards, part)
    if role == "obstacle":  # the middles of its longest edges: the middle of a bent outline may lie beside it
        ends = np.roll(points, -1, axis=0)
        longest = np.argsort(-np.hypot(*(ends - points).T), kind="stable")[:4].tolist()
        return _Stand(view, tuple(_between(points[i], ends[i], 0.5) for i in longest), (_UP, _DOWN, (1.0, 1.0)), part)
    at = 0.5 * (points.min(axis=0) + points.max(axis=0)) if closed else points[len(points) // 2]
    return _Stand(view, (_between(at, at, 0.0),), (_DOWN, _UP, (1.0, 1.0), (-1.0, -1.0)), part)


def _between(one: Floats, other: Floats, share: float) -> Pair:
    x, y = (one + share * (other - one)).tolist()
    return x, y
