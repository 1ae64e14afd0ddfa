"""Findings on motion: how unevenly the pinion is driven, and how hard the shaft itself is jerked."""

from geometry.facts import Facts
from geometry.findings import wants
from geometry.findings.make import found, missing, nearest_line
from geometry.limits import LIMITS
from geometry.motion import ChainMotion
from geometry.pose import is_front_axle
from geometry.remedies import Judged, cancelling, flattening
from geometry.solution import Finding, Part
from geometry.wording import number, rpm


def pinion_residual(facts: Facts) -> list[Finding]:
    """How unevenly the pinion is driven at cruise, exact."""
    row = LIMITS["pinion_residual"]
    if facts.planned.motion is None:
        return [missing(row.id, "rear_joint", wants.for_lines(facts))]
    value = facts.residual()
    if value is None:
        return [missing(row.id, _pinion_part(facts), wants.for_motion(facts.build))]
    verdict = row.judge(value)
    says = f"At {rpm(facts.speeds.cruise_rpm or 0.0)} the pinion is jerked by {number(value)} rad/s² twice a turn"
    says += "; the joints cancel well enough." if verdict == "clear" else "; the joints do not cancel well enough."

    def judged(motion: ChainMotion, at: int) -> float | None:
        return facts.times_omega2(motion.residual[at])

    remedies = cancelling(facts, row.id, judged) if verdict in {"caution", "hold"} else []
    return [
        found(
            row.id,
            _pinion_part(facts),
            verdict,
            says,
            "axle.pinion_slope_deg",
            value=value,
            limit=nearest_line(row.id, verdict),
            remedies=remedies,
        )
    ]


def shaft_inertia(facts: Facts) -> list[Finding]:
    """How hard the shaft's own mass is jerked, driving and coasting."""
    findings = []
    for limit_id, doing in (("shaft_inertia_drive", "Driving"), ("shaft_inertia_coast", "Coasting")):
        row = LIMITS[limit_id]
        motion = facts.planned.motion
        if motion is None:
            findings.append(missing(limit_id, "shaft", wants.for_lines(facts)))
            continue

        judged = _inertia_of(facts, doing)
        value = judged(motion, 0)
        if value is None:
            findings.append(missing(limit_id, "shaft", wants.for_motion(facts.build)))
            continue
        verdict = row.judge(value)
        word = "within what shafts and mounts take" if verdict == "clear" else "more than shafts and mounts take"
        says = f"{doing} at {rpm(facts.speeds.cruise_rpm or 0.0)}, the shaft itself is jerked by {number(value)} rad/s²: {word}."
        remedies = []
        target = facts.angle_for_inertia_deg
        if verdict == "hold" and target is not None:
            remedies = flattening(facts, limit_id, target, judged, at_pinion=doing == "Coasting")
        findings.append(
            found(
                limit_id,
                "shaft",
                verdict,
                says,
                "powertrain.slope_deg",
                value=value,
                limit=nearest_line(limit_id, verdict),
                remedies=remedies,
            )
        )
    return findings


def _pinion_part(facts: Facts) -> Part:
    return "front_joint" if is_front_axle(facts.build) else "rear_joint"


def _inertia_of(facts: Facts, doing: str) -> Judged:
    def judged(motion: ChainMotion, row: int) -> float | None:
        return facts.times_omega2((motion.drive if doing == "Driving" else motion.coast)[:, row].max())

    return judged
