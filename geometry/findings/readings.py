"""Findings on the measurements themselves: do they agree, and can the gauge tell?"""

import numpy as np

from geometry.document import Build
from geometry.document.running_gear import LeafSuspension
from geometry.facts import Facts, finite
from geometry.findings import wants
from geometry.findings.make import found, missing, nearest_line
from geometry.frames import norm, slope_deg
from geometry.limits import LIMITS
from geometry.loads import tyre_radius_mm
from geometry.motion import homokinetic_of
from geometry.pose import is_front_axle, joints_of
from geometry.solution import Finding, Part
from geometry.uncertainty import COVERAGE, gauge_deg, tape_mm, taped_slope_standard_deg
from geometry.wording import degrees, length, rpm


def stick_slope(facts: Facts) -> list[Finding]:
    """Whether the slope read on the stick agrees with the joints laid out by tape."""
    row = LIMITS["stick_slope"]
    read = None if facts.build.readings is None else facts.build.readings.shaft_slope_deg
    pose = facts.measured.pose
    if read is None or pose.sections is None or pose.joint_centres_mm is None:
        return []
    computed = float(slope_deg(pose.sections[-1])[0])
    span = float(norm(pose.joint_centres_mm[-1, 0] - pose.joint_centres_mm[-2, 0]))
    gauge, taped = gauge_deg(facts.build), taped_slope_standard_deg(facts.build, span)
    if gauge is None or taped is None:
        return [missing(row.id, "readings", wants.for_gauge(facts.build))]
    band = float(COVERAGE * np.sqrt(gauge**2 / 3.0 + taped**2))
    off = abs(read - computed)
    verdict = row.judge(off, band)
    says = f"The stick reads {degrees(read)}, the joints as taped give {degrees(computed)}"
    says += (
        f"; {degrees(off, 2)} apart, which gauge and tape allow."
        if verdict == "clear"
        else f"; {degrees(off, 2)} apart, more than gauge and tape allow ({degrees(band, 2)}): measure both again."
    )
    return [
        found(
            row.id,
            "readings",
            verdict,
            says,
            "readings.shaft_slope_deg",
            value=off,
            limit=nearest_line(row.id, verdict, band),
        )
    ]


def tape_length(facts: Facts) -> list[Finding]:
    """Whether the length taped along the shaft agrees with the joints' positions."""
    row = LIMITS["tape_length"]
    read = None if facts.build.readings is None else facts.build.readings.shaft_length_mm
    centres = facts.measured.pose.joint_centres_mm
    if read is None or centres is None:
        return []
    computed = finite(norm(centres[-1, 0] - centres[-2, 0])) or 0.0
    tape = tape_mm(facts.build)
    if tape is None:
        return [missing(row.id, "readings", wants.for_gauge(facts.build))]
    return [_against(facts.build, row.id, "readings", "readings.shaft_length_mm", abs(read - computed), COVERAGE * tape, (
        f"The tape along the shaft reads {length(read, facts.build.display)}, the positions give {length(computed, facts.build.display)}"
    ))]  # fmt: skip


def axle_place(facts: Facts) -> list[Finding]:
    """Whether the axle lies where the wheelbase and the tyres say."""
    build = facts.build
    centre = None if build.axle is None else build.axle.centre_mm
    if centre is None or build.vehicle is None:
        return []
    tape = tape_mm(build)
    findings = []
    station = 0.0 if is_front_axle(build) else build.vehicle.wheelbase_mm
    radius = tyre_radius_mm(build.vehicle, build.axle)
    for limit_id, where, other, named in (
        ("axle_station", centre[0], station, "the wheelbase says"),
        ("axle_height", centre[2], radius, "the tyre's loaded radius says"),
    ):
        if other is None:
            continue
        if tape is None:
            findings.append(missing(limit_id, "axle", wants.for_gauge(build)))
            continue
        band = COVERAGE * tape * float(np.sqrt(2.0 / 3.0))
        says = f"The axle centre is taped at {length(where, build.display)}, {named} {length(other, build.display)}"
        findings.append(_against(build, limit_id, "axle", "axle.centre_mm", abs(where - other), band, says))
    return findings


def _against(build: Build, limit_id: str, part: Part, entry: str, off_mm: float, band_mm: float, says: str) -> Finding:
    verdict = LIMITS[limit_id].judge(off_mm, band_mm)
    apart = length(off_mm, build.display, 1)
    says += (
        f"; {apart} apart, which the tape allows."
        if verdict == "clear"
        else f"; {apart} apart, more than the tape allows ({length(band_mm, build.display, 1)}): measure both again."
    )
    return found(limit_id, part, verdict, says, entry, value=off_mm, limit=nearest_line(limit_id, verdict, band_mm))


def gauge_resolution(facts: Facts) -> list[Finding]:
    """Whether the gauge can tell at all that the ends cancel: is the verdict the same all over its band?"""
    row = LIMITS["gauge_resolution"]
    motion = facts.planned.motion
    if motion is None or len(joints_of(facts.build)) != 2 or homokinetic_of(facts.build).any():
        return []
    band = facts.band_deg
    if band is None:
        return [missing(row.id, "readings", wants.for_gauge(facts.build))]
    difference = float(abs(motion.operating_deg[0, 0] - motion.operating_deg[1, 0]))
    residual, omega2 = facts.residual(), facts.speeds.omega2
    entry = "gauge.angle_uncertainty_deg"
    if residual is None or omega2 is None or facts.doubtful is None:
        known = f"The difference between the joint angles is known within {degrees(band, 2)}."
        if difference < band:
            known += f" The {degrees(difference, 2)} found is less: do not chase it further with this gauge."
        return [missing(row.id, "readings", wants.for_motion(facts.build), extra=known, entry=entry)]
    limit = LIMITS["pinion_residual"]
    known = limit.judge(residual)
    possible = [limit.judge(float(value)) for value in facts.doubtful.residual * omega2]
    others = [verdict for verdict in dict.fromkeys(possible) if verdict not in {known, "unknown"}]
    if others:
        says = (
            f"Your gauge and tape know the joints' difference only within {degrees(band, 2)}; at {rpm(facts.speeds.cruise_rpm or 0.0)} that alone could turn "
            f"{known} into {' or '.join(others)}: read each angle several times, or use a finer gauge."
        )
        return [found(row.id, "readings", "caution", says, entry, value=band, limit=difference)]
    says = f"Your gauge and tape know the joints' difference within {degrees(band, 2)}; the verdict is the same all over that band."
    return [found(row.id, "readings", "clear", says, entry, value=band, limit=difference)]


def perches(facts: Facts) -> list[Finding]:
    """Whether both perches are the same distance from their flanges."""
    build, row = facts.build, LIMITS["perches_equal"]
    axle = build.axle
    left = None if axle is None else axle.flange_to_perch_left_mm
    right = None if axle is None else axle.flange_to_perch_right_mm
    if left is None and right is None and not isinstance(build.suspension, LeafSuspension):
        return []
    if left is None or right is None:
        lacking = []
        if left is None:
            lacking.append(("axle.flange_to_perch_left_mm", "left flange to perch"))
        if right is None:
            lacking.append(("axle.flange_to_perch_right_mm", "right flange to perch"))
        return [missing(row.id, "perches", lacking)]
    off = abs(left - right)
    verdict = row.judge(off)
    says = f"Perches sit {length(left, build.display, 1)} and {length(right, build.display, 1)} from their flanges"
    says += (
        ": equal."
        if verdict == "clear"
        else f": {length(off, build.display, 1)} apart, so the axle would sit off to one side; move one perch by that much."
    )
    return [
        found(
            row.id,
            "perches",
            verdict,
            says,
            "axle.flange_to_perch_left_mm",
            value=off,
            limit=nearest_line(row.id, verdict),
        )
    ]
