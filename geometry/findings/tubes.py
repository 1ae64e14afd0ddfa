"""Findings on the shaft's tubes and the joints' loads."""

import numpy as np

from geometry.facts import Facts, TubeFacts
from geometry.findings import wants
from geometry.findings.angles import JOINT_PART
from geometry.findings.make import found, missing, nearest_line
from geometry.limits import LIMITS
from geometry.loads import joint_life_hours
from geometry.pose import joints_of
from geometry.remedies import larger_tubes, stronger_tubes
from geometry.solution import Finding
from geometry.wording import degrees, number, rpm, torque
from geometry.wording import stress as pressure


def whirl(facts: Facts) -> list[Finding]:
    """Whether the shaft stays clear of its critical speed, and cruise of half of it."""
    row = LIMITS["critical_speed"]
    lacking = [want for tube in facts.tubes if tube.critical_rpm is None for want in _for_critical(facts, tube)]
    if lacking:
        return [
            missing(row.id, "shaft", lacking),
            missing("half_critical_speed", "shaft", lacking + wants.for_cruise(facts.build)),
        ]
    tube = min(facts.tubes, key=lambda one: one.critical_rpm or np.inf)
    critical = tube.critical_rpm or 0.0
    which = "" if tube.name == "whole" else f" of the {tube.name} section"
    findings = []
    highest = facts.speeds.max_rpm
    if highest is None:
        extra = f"The shaft{which} is good for {rpm(round(row.clear * critical, -1))}, 0.70 of its critical {rpm(critical)}."
        findings.append(missing(row.id, "shaft", wants.for_highest_speed(facts.build), extra=extra))
    else:
        verdict = row.judge(highest, critical)
        says = f"The shaft turns up to {rpm(highest)}; its critical speed{which} is {rpm(critical)}"
        says += (
            f", of which {rpm(row.clear * critical)} may be used."
            if verdict == "clear"
            else f", of which only {rpm(row.clear * critical)} may be used: it may whirl and break."
        )
        remedies = larger_tubes(facts, highest / row.clear, highest) if verdict != "clear" else []
        if verdict != "clear" and len(facts.tubes) == 1:
            says += " Two shorter sections with a support bearing are the other way out."
        findings.append(
            found(
                row.id,
                "shaft",
                verdict,
                says,
                f"{tube.entry}.outer_diameter_mm",
                value=highest,
                limit=nearest_line(row.id, verdict, critical),
                remedies=remedies,
            )
        )
    return [*findings, _half(facts)]


def _half(facts: Facts) -> Finding:
    """Cruise against half the critical speed of the tube that it is nearest to, as a share of it."""
    row, cruise = LIMITS["half_critical_speed"], facts.speeds.cruise_rpm
    tube = min(facts.tubes, key=lambda one: abs((cruise or 0.0) / ((one.critical_rpm or np.inf) / 2.0) - 1.0))
    half = (tube.critical_rpm or np.inf) / 2.0
    if cruise is None:
        extra = f"Keep cruise away from {rpm(round(half, -1))}, half the critical speed."
        return missing(row.id, "shaft", wants.for_cruise(facts.build), extra=extra)
    verdict = row.judge(abs(cruise / half - 1.0))
    word = "well away from" if verdict == "clear" else "too near"
    which = "" if tube.name == "whole" else f" of the {tube.name} section"
    says = f"Cruise at {rpm(cruise)} is {word} {rpm(half)}, half the critical speed{which}, where the joints would shake the shaft."
    # The edge of the band on the side that the cruising speed is on.
    edge = half * (1.0 - row.clear if cruise < half else 1.0 + row.clear)
    return found(row.id, "shaft", verdict, says, f"{tube.entry}.outer_diameter_mm", value=cruise, limit=edge)


def _for_critical(facts: Facts, tube: TubeFacts) -> list[wants.Want]:
    return wants.for_tube(tube.entry, facts.build) + ([] if tube.length_mm is not None else wants.for_length(facts))


def shear(facts: Facts) -> list[Finding]:
    """Whether the tube stands the largest torque that can reach it."""
    row, load = LIMITS["tube_shear"], facts.speeds.torque_nm
    lacking = [want for tube in facts.tubes if tube.section is None for want in wants.for_tube(tube.entry, facts.build)]
    if load is None:
        lacking += wants.for_torque(facts.build)
    if lacking or load is None:
        return [missing(row.id, "shaft", lacking)]
    tube = max(facts.tubes, key=lambda one: (one.shear_mpa or 0.0) / one.shear_yield_mpa)
    shear_yield = tube.shear_yield_mpa
    stress = tube.shear_mpa or 0.0
    verdict = row.judge(stress, shear_yield)
    usual = "" if tube.tube is not None and tube.tube.yield_mpa is not None else " (a usual value for the material)"
    says = f"{torque(load, facts.build.display)} puts a shear of {pressure(stress, facts.build.display)} into the tube, which yields at {pressure(shear_yield, facts.build.display)}{usual}."
    remedies = stronger_tubes(facts, load) if verdict != "clear" else []
    return [
        found(
            row.id,
            "shaft",
            verdict,
            says,
            f"{tube.entry}.wall_mm",
            value=stress,
            limit=nearest_line(row.id, verdict, shear_yield),
            remedies=remedies,
        )
    ]


def joint_loads(facts: Facts) -> list[Finding]:
    """Whether each joint stands the largest torque, and lives long enough where its rating is entered."""
    row, load = LIMITS["joint_torque"], facts.speeds.torque_nm
    joints = list(zip(joints_of(facts.build), facts.joint_names, strict=True))
    findings = []
    nameless = [(joint, name) for joint, name in joints if joint.torque_limit_nm is None]
    if load is None:
        findings.append(missing(row.id, "front_joint", wants.for_torque(facts.build)))
    elif nameless:
        wanted = [(f"shaft.{name}_joint.torque_limit_nm", f"the {name} joint's torque limit") for _, name in nameless]
        findings.append(
            missing(
                row.id,
                JOINT_PART[nameless[0][1]],
                wanted,
                extra=f"It has to carry {torque(load, facts.build.display)}.",
            )
        )
    for index, (joint, name) in enumerate(joints):
        entry = f"shaft.{name}_joint"
        if joint.torque_limit_nm is not None and load is not None:
            verdict = row.judge(load, joint.torque_limit_nm)
            word = "within" if verdict == "clear" else "more than"
            says = f"The {name} joint may see {torque(load, facts.build.display)}: {word} its limit of {torque(joint.torque_limit_nm, facts.build.display)}."
            findings.append(
                found(
                    row.id,
                    JOINT_PART[name],
                    verdict,
                    says,
                    f"{entry}.torque_limit_nm",
                    value=load,
                    limit=joint.torque_limit_nm,
                )
            )
        if joint.life_rating_nm is not None:
            findings.append(_life(facts, index, name, joint.life_rating_nm))
    return findings


def _life(facts: Facts, index: int, name: str, rating_nm: float) -> Finding:
    row, angle = LIMITS["joint_life"], facts.operating(index)
    speed, load = facts.speeds.cruise_rpm, facts.speeds.cruise_nm
    part, entry = JOINT_PART[name], f"shaft.{name}_joint.life_rating_nm"
    if angle is None or speed is None or load is None:
        lacking = wants.for_lines(facts) + wants.for_cruise(facts.build) + wants.for_torque(facts.build)
        return missing(row.id, part, lacking)
    hours = joint_life_hours(rating_nm, load, speed, angle)
    verdict = row.judge(hours)
    taken = ", taking 0.3 of the engine's peak torque for cruising" if facts.speeds.cruise_share_assumed else ""
    says = f"The {name} joint lasts about {number(round(hours, -2))} h at cruise ({rpm(speed)}, {degrees(angle)}, {torque(load, facts.build.display)}){taken}."
    return found(row.id, part, verdict, says, entry, value=hours, limit=nearest_line(row.id, verdict))
