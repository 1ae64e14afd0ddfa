"""What the callouts say, as a welder would say it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Literal

from app.amounts import amount, limit_words, telling_places
from app.sketch.palette import VERDICT_SIGNS, VERDICT_WORDS
from app.sketch.primitives import Row
from app.units import LEVEL_DEG, leaning, show
from geometry.document import Build
from geometry.document.vehicle import Display
from geometry.words.solution import Finding, JointState, Remedy, Solution, Verdict

Torque = Literal["none", "cruise", "launch"]
_WORST_FIRST: dict[Verdict, int] = {"hold": 0, "caution": 1, "unknown": 2, "clear": 3}
ANGLE_FINDINGS = frozenset({"operating_angle_most", "operating_angle_least", "joint_bind"})
"""Findings whose verdict colours the operating angle itself."""
_OVER_THE_TRAVEL = frozenset({"slip", "gap", "joint", "windup", "travel", "lateral"})
"""First words of the findings that are about the whole travel or about torque, not about ride height."""
MOST_ROWS = 2
"""How many findings one part's flag tells at most; the rest are counted."""


def output_words(slope_deg: float) -> str:
    """Callout of the output line, e.g. output 4.2° tail down."""
    return f"output {leaning(slope_deg, down='tail down', up='tail up')}"


def pinion_words(slope_deg: float, *, axle_ahead: bool) -> str:
    """Callout of the pinion line, e.g. pinion 3.9° nose up; a front axle's pinion points rearward."""
    if axle_ahead:
        return f"pinion {leaning(slope_deg, down='nose down', up='nose up')}"
    return f"pinion {leaning(slope_deg, down='nose up', up='nose down')}"


def shaft_words(name: str, slope_deg: float | None, length_mm: float | None, display: Display) -> str:
    """Callout of a shaft section, e.g. shaft 10.5° · 51.00 in."""
    parts = []
    if slope_deg is not None:
        parts.append(f"{abs(slope_deg):.1f}°" + (" up to the rear" if slope_deg < -LEVEL_DEG else ""))
    if length_mm is not None:
        parts.append(show(length_mm, "mm", display))
    return f"{name} {' · '.join(parts)}" if parts else name


@lru_cache(maxsize=256)
def place_words(travel_mm: float, display: Display) -> str:
    """Where the axle is in its travel, e.g. 60 mm bump."""
    if travel_mm == 0.0:
        return "ride height"
    size = show(abs(travel_mm), "mm", display, places=0 if display.length == "millimetre" else None)
    return f"{size} {'bump' if travel_mm > 0.0 else 'droop'}"


def state_words(travel_mm: float, torque: Torque, display: Display) -> str:
    """Which state is drawn, e.g. at 60 mm bump, launch torque; nothing at ride height without torque."""
    if travel_mm == 0.0 and torque == "none":
        return ""
    return f"at {place_words(travel_mm, display)}" + ("" if torque == "none" else f", {torque} torque")


def frame_words(slope_deg: float) -> str:
    """Callout of the frame rail, e.g. frame rail 0.0°."""
    if abs(slope_deg) < LEVEL_DEG:
        return "frame rail 0.0°"
    return f"frame rail {leaning(slope_deg, down='tail down', up='nose down')}"


def offset_words(offset_mm: float, plan_deg: float | None, display: Display) -> str:
    """Callout of the top view, e.g. offset 2.09 in to the right · 2.4° in plan."""
    if abs(offset_mm) < 0.5:
        words = "no offset"
    else:
        words = f"offset {show(abs(offset_mm), 'mm', display)} to the {'right' if offset_mm > 0.0 else 'left'}"
    return words if plan_deg is None else f"{words} · {abs(plan_deg):.1f}° in plan"


def angle_row(joint: JointState, verdict: Verdict | None, display: Display) -> Row:
    """Callout of an operating angle, e.g. 6.3 ± 0.2° at the front joint."""
    angle = joint.operating_deg or 0.0
    with_spread = show(angle, "deg", display, uncertainty=joint.uncertainty_deg or None)
    return Row(f"{with_spread} at the {joint.name} joint", f"{show(angle, 'deg', display)} {joint.name}", verdict)


def whole_words(remedy: Remedy) -> str:
    """What a remedy makes of the whole build, e.g. whole build then: ▲ caution."""
    return f"whole build then: {VERDICT_SIGNS[remedy.verdict]} {remedy.verdict}"


def flag_rows(
    findings: list[Finding], display: Display, *, under: float | None = None, away: bool = False
) -> tuple[Row, ...]:
    """Rows of one part's flag, worst first; what is left over is counted in a last row.

    `under` is the value in whose callout the rows stand: it is not told twice. Where another state than ride height is
    drawn, `away`, rows about ride height say so.
    """
    rows = [
        _flag_row(finding, display, under, away=away and finding.id.partition("_")[0] not in _OVER_THE_TRAVEL)
        for finding in findings[:MOST_ROWS]
    ]
    left = len(findings) - MOST_ROWS
    if left > 0:
        counted = findings[MOST_ROWS]
        rows.append(
            Row(f"+{left} more in the list", f"+{left} more", None, counted.id, counted.part, small=True, more=left)
        )
    return tuple(rows)


def _flag_row(finding: Finding, display: Display, under: float | None, *, away: bool) -> Row:
    word = VERDICT_WORDS[finding.verdict]
    title = finding.title[:1].lower() + finding.title[1:]
    if finding.value is None:
        return Row(f"{word} {title}", "", finding.verdict, finding.id, finding.part, small=True)
    places = telling_places(finding, display)
    value = "" if finding.value == under else " " + amount(finding.value, finding.unit, display, places)
    limit = limit_words(finding, display, bare=True)
    behind = " at ride height" if away else limit and f", {limit}"
    told = f"{word} {title}{value}"
    return Row(f"{told}{behind}", told, finding.verdict, finding.id, finding.part, small=True)


def troubles(solution: Solution) -> dict[str, list[Finding]]:
    """Findings that earn a flag, hold and caution, for each part and worst first."""
    found: dict[str, list[Finding]] = {}
    for finding in sorted(solution.findings, key=lambda one: _WORST_FIRST[one.verdict]):
        if finding.verdict in {"hold", "caution"}:
            found.setdefault(finding.part, []).append(finding)
    return found


def angle_verdict(solution: Solution, joint: JointState) -> Verdict | None:
    """Worst verdict on a joint's operating angle itself, or None where there is none to show."""
    part = f"{joint.name}_joint"
    worst: Verdict | None = None
    for finding in solution.findings:
        if finding.part == part and finding.id in ANGLE_FINDINGS and finding.verdict in {"hold", "caution"}:
            worst = finding.verdict if worst is None or finding.verdict == "hold" else worst
    return worst


_WANTED: tuple[tuple[str, str, str], ...] = (
    ("powertrain", "slope_deg", "the output's slope, gauge on the output flange"),
    ("axle", "pinion_slope_deg", "the pinion's slope, gauge on the pinion flange"),
    ("powertrain", "output_joint_mm", "where the joint at the output is: back, across, up from the floor"),
    ("axle", "centre_mm", "where the axle's centre is: back, across, up from the floor"),
    ("axle", "pinion_length_mm", "the pinion's length, axle tube to joint"),
)
_NICE: tuple[tuple[str, str, str], ...] = (
    ("vehicle", "rear_tyre_radius_mm", "the tyre's loaded radius, floor to hub"),
    ("vehicle", "wheelbase_mm", "the wheelbase, hub to hub"),
    ("axle", "tube_diameter_mm", "the axle tube's diameter"),
    ("vehicle", "frame_slope_deg", "the frame rail's slope"),
)


def next_measurement(build: Build) -> str:
    """One line on what to measure next for the drawing, or nothing where it is whole."""
    missing = _first_missing(build, _WANTED)
    readings = build.readings
    if missing and readings is None and build.powertrain and build.axle:
        missing = missing if "slope" in missing else f"a stick's slope and length between the yokes, or {missing}"
    if not missing and (build.shaft is None or "tube" not in _tube_known(build)):
        missing = "the shaft tube's outside diameter"
    missing = missing or _first_missing(build, _NICE)
    if not missing and build.suspension is None:
        missing = "the springs' eyes, or the links' bolts"
    return f"measure next: {missing}" if missing else ""


def _tube_known(build: Build) -> str:
    shaft = build.shaft
    tube = getattr(shaft, "tube", None) or getattr(shaft, "rear_tube", None)
    return "tube" if tube is not None and tube.outer_diameter_mm is not None else ""


def _first_missing(build: Build, wanted: tuple[tuple[str, str, str], ...]) -> str:
    for section, entry, words in wanted:
        if getattr(getattr(build, section), entry, None) is None:
            return words
    return ""


@lru_cache(maxsize=512)  # most words say the same at the next step of a hand
def row_variants(rows: tuple[Row, ...]) -> tuple[tuple[Row, ...], ...]:
    """Rows at full length, in shorter words where there are any, the worst with the rest counted, its word alone."""
    if not any(row.short for row in rows):
        return (rows,)
    short = tuple(replace(row, text=row.short) if row.short else row for row in rows)
    kept = 1 if rows[0].finding else 2
    hidden = sum(row.more or 1 for row in rows[kept:])
    first, last = short[: kept - 1], short[kept - 1 : kept]
    if not last or last[0].verdict is None:
        return rows, short
    more = f" · {hidden} more" if hidden else ""
    worst = (*first, replace(last[0], text=f"{last[0].text}{more}"))
    word = (*first, replace(last[0], text=f"{VERDICT_WORDS[last[0].verdict]}{more}"))
    return (rows, short, worst, word) if hidden else (rows, short, word)
