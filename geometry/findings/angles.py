"""Findings on angles and motion: do the ends cancel, do the needles roll, is the angle fit for the speed."""

import numpy as np

from geometry.facts import Facts, finite, shaft_side_slope_deg, slopes_on_tyres
from geometry.findings import wants
from geometry.findings.make import found, missing, nearest_line
from geometry.findings.travel import worst_reach
from geometry.limits import LIMITS, allowed_rpm
from geometry.motion import ChainMotion, homokinetic_of
from geometry.pose import is_front_axle, joints_of
from geometry.remedies import (
    Judged,
    cancelling,
    flattening,
    output_words,
    pinion_words,
    raised_tail,
    shim_words,
    wedge_words,
)
from geometry.solution import Finding, Part, Remedy
from geometry.wording import degrees, length, listed, rpm

JOINT_PART: dict[str, Part] = {"front": "front_joint", "centre": "centre_joint", "rear": "rear_joint"}


def ends_cancel(facts: Facts) -> list[Finding]:
    """Whether the two joint angles of a one-piece shaft are equal, or the one left single-cross joint runs straight."""
    even = homokinetic_of(facts.build)
    if len(even) != 2 or even.all():
        return []
    limit_id = "straight_end" if even.any() else "ends_parallel"
    if facts.planned.motion is None:
        return [missing(limit_id, "shaft", wants.for_lines(facts))]
    if even.any():
        joint = int(np.argmin(even))
        return _judged_difference(
            facts,
            limit_id,
            _angle_of(joint),
            JOINT_PART[facts.joint_names[joint]],
        )
    return _judged_difference(facts, limit_id, _apart, "shaft")


def _apart(motion: ChainMotion, row: int) -> float | None:
    """How far the pair is from cancelling, degrees: √(b1² + b2² − 2 b1 b2 cos 2g), g the relative phase.

    The plain difference of the angles where the yokes are in phase, their sum where they are a quarter turn out.
    """
    first, last = motion.operating_deg[0, row], motion.operating_deg[1, row]
    turned = np.cos(2.0 * np.radians(motion.relative_phase_deg[-1, row]))
    return finite(np.sqrt(np.maximum(first**2 + last**2 - 2.0 * first * last * turned, 0.0)))


def _judged_difference(facts: Facts, limit_id: str, judged: Judged, part: Part) -> list[Finding]:
    motion = facts.planned.motion
    assert motion is not None  # noqa: S101  the caller asked first
    value = judged(motion, 0)
    assert value is not None  # noqa: S101  known lines have angles between them
    verdict = LIMITS[limit_id].judge(value)
    front, rear = (facts.operating(joint) or 0.0 for joint in (0, 1))
    if limit_id == "straight_end":
        says = f"The single joint opposite the even one runs at {degrees(value, 2)}; it wants to run nearly straight."
    else:
        slopes = slopes_on_tyres(facts)
        way = (
            ""
            if slopes[0] is None or slopes[2] is None
            else f" ({output_words(slopes[0])}, {pinion_words(facts, slopes[2])})"
        )
        word = (
            {"clear": "cancel", "caution": "nearly cancel", "hold": "do not cancel"}[verdict]
            if verdict != "unknown"
            else "are not known"
        )
        says = f"Joint angles {degrees(front)} and {degrees(rear)} {word}: they are {degrees(value, 2)} apart{way}"
        phase = float(abs(motion.relative_phase_deg[-1, 0]))
        says += f", with the yokes {degrees(phase)} out of phase for these lines." if phase >= 1.0 else "."
    remedies = cancelling(facts, limit_id, judged) if verdict in {"caution", "hold"} else []
    return [
        found(
            limit_id,
            part,
            verdict,
            says,
            "axle.pinion_slope_deg",
            value=value,
            limit=nearest_line(limit_id, verdict),
            remedies=remedies,
        )
    ]


def needles_roll(facts: Facts) -> list[Finding]:
    """Whether every single-cross joint turns enough to roll its needles."""
    even = homokinetic_of(facts.build)
    if facts.planned.motion is None:
        return [] if even.all() else [missing("operating_angle_least", "shaft", wants.for_lines(facts))]
    row = LIMITS["operating_angle_least"]
    findings = []
    for joint, name in enumerate(facts.joint_names):
        value = facts.operating(joint)
        if even[joint] or value is None:
            continue
        verdict = row.judge(value)
        says = (
            f"The {name} joint runs at {degrees(value, 2)}: its needles roll."
            if verdict == "clear"
            else f"The {name} joint runs at only {degrees(value, 2)}: its needles stand still and dent the cross."
        )
        remedies = [] if verdict == "clear" else _rolling(facts, joint)
        findings.append(
            found(
                row.id,
                JOINT_PART[name],
                verdict,
                says,
                _joint_entry(facts, joint),
                value=value,
                limit=row.clear,
                remedies=remedies,
            )
        )
    return findings


def _rolling(facts: Facts, joint: int) -> list[Remedy]:
    """Smallest wedge or mount shim with which every needle rolls and the residual passes, or the least residual."""
    single = ~homokinetic_of(facts.build)
    made = []
    for choices, entry, setting in (
        (facts.wedges, "plan.axle_shim_deg", facts.wedges.at.axle_shim_deg),
        (facts.shims, "plan.mount_shim_mm", facts.shims.at.mount_shim_mm),
    ):
        motion = choices.motion
        assert motion is not None and choices.score is not None  # noqa: PT018, S101  the planned lines are known
        rolls = (motion.operating_deg[single] >= LIMITS["operating_angle_least"].clear).all(axis=0)
        good = rolls & (choices.score <= facts.allowance)
        if not rolls.any():
            continue
        now = facts.ride.axle_shim_deg[0] if entry == "plan.axle_shim_deg" else facts.ride.mount_shim_mm[0]
        rank = np.where(good, np.abs(setting - now), np.inf) if good.any() else np.where(rolls, choices.score, np.inf)
        row = int(np.argmin(rank))
        value, after = float(setting[row]), float(motion.operating_deg[joint, row])
        what = wedge_words(value) if entry == "plan.axle_shim_deg" else shim_words(facts, value)
        made.append(Remedy(f"{what}: the joint runs at {degrees(after, 2)}.", {entry: value}, after, "clear"))
    return made


def angle_for_speed(facts: Facts) -> list[Finding]:
    """Whether each joint's angle suits its cruising speed; each half of a double Cardan joint takes half the angle."""
    row = LIMITS["operating_angle_most"]
    joints = joints_of(facts.build)
    if all(joint.type == "constant_velocity" for joint in joints):
        return []
    if facts.planned.motion is None:
        return [missing(row.id, "shaft", wants.for_lines(facts))]
    speed = facts.speeds.cruise_rpm
    findings = []
    for index, (joint, name) in enumerate(zip(joints, facts.joint_names, strict=True)):
        value = facts.operating(index)
        if value is None or joint.type == "constant_velocity":
            continue
        each = value / 2.0 if joint.type == "double_cardan" else value
        good_for = float(allowed_rpm(each))
        allowed = facts.angle_for_life_deg
        if speed is None or allowed is None:
            extra = (
                f"The {name} joint at {degrees(value)} is good for shaft speeds up to about {rpm(round(good_for, -1))}."
            )
            findings.append(missing(row.id, JOINT_PART[name], wants.for_cruise(facts.build), extra=extra))
            continue
        verdict = row.judge(each, allowed)
        half = ", half of it in each cross" if joint.type == "double_cardan" else ""
        word = "suits" if verdict == "clear" else "is more than suits"
        says = f"The {name} joint's {degrees(value)}{half} {word} {rpm(speed)}, where {degrees(allowed)} gives 5,000 h; it is good for {rpm(round(good_for, -1))}."
        limit = allowed * (row.hold if verdict == "hold" else row.clear)
        remedies = []
        if verdict != "clear" and joint.type == "cardan":
            remedies = flattening(
                facts,
                row.id,
                allowed,
                _angle_of(index),
                at_pinion=index == _pinion_joint(facts),
            )
            remedies = [_rejudged(remedy, allowed) for remedy in remedies]
        findings.append(
            found(
                row.id,
                JOINT_PART[name],
                verdict,
                says,
                _joint_entry(facts, index),
                value=each,
                limit=limit,
                remedies=remedies,
            )
        )
    return findings


def _rejudged(remedy: Remedy, scale: float) -> Remedy:
    after = np.nan if remedy.after is None else remedy.after
    return Remedy(remedy.says, remedy.changes, remedy.after, LIMITS["operating_angle_most"].judge(after, scale))


def shaft_slope(facts: Facts) -> list[Finding]:
    """Whether a one-piece shaft with single joints lies too steep."""
    if len(joints_of(facts.build)) != 2 or homokinetic_of(facts.build).any():
        return []
    row, slope = LIMITS["shaft_slope"], shaft_side_slope_deg(facts)
    if slope is None:
        return [missing(row.id, "shaft", wants.for_lines(facts))]
    verdict = row.judge(abs(slope))
    word = {"clear": "usual", "caution": "steep, but tolerated on such a shaft", "hold": "too steep for single joints"}[
        verdict
    ]
    says = f"The shaft lies at {degrees(slope)}: {word}."
    return [
        found(
            row.id,
            "shaft",
            verdict,
            says,
            "powertrain.output_joint_mm",
            value=abs(slope),
            limit=nearest_line(row.id, verdict),
        )
    ]


def joint_reach(facts: Facts) -> list[Finding]:
    """How far each joint is from its own greatest angle at ride height."""
    row = LIMITS["joint_bind"]
    joints = joints_of(facts.build)
    nameless = [name for joint, name in zip(joints, facts.joint_names, strict=True) if joint.max_angle_deg is None]
    findings = []
    if nameless:
        first = facts.joint_names.index(nameless[0])
        wanted = [
            (
                f"{_joint_entry(facts, first)}.max_angle_deg",
                f"the greatest angle of the {listed(nameless)} joint{'s' if len(nameless) > 1 else ''}",
            )
        ]
        findings.append(missing(row.id, JOINT_PART[nameless[0]], wanted))
    if not nameless and facts.planned.motion is None:
        findings.append(missing(row.id, "shaft", wants.for_lines(facts)))
    for index, (joint, name) in enumerate(zip(joints, facts.joint_names, strict=True)):
        value = facts.operating(index)
        if joint.max_angle_deg is None or value is None:
            continue
        where = "at ride height"
        worst = worst_reach(facts, index)
        if worst is not None:
            value, place = worst
            where = _place(facts, place)
        left = joint.max_angle_deg - value
        verdict = row.judge(left)
        says = f"The {name} joint runs at {degrees(value)} of its {degrees(joint.max_angle_deg)} {where}: {degrees(left)} to spare."
        if verdict == "hold":
            says = f"The {name} joint would bind {where}: {degrees(value)}, and it turns only {degrees(joint.max_angle_deg)}."
        if worst is None and verdict == "clear":
            verdict = "unknown"
            says += " Over the travel it is not known: enter springs or links and their travel."
        findings.append(
            found(
                row.id,
                JOINT_PART[name],
                verdict,
                says,
                f"{_joint_entry(facts, index)}.max_angle_deg",
                value=value,
                limit=joint.max_angle_deg - nearest_line(row.id, verdict),
            )
        )
    return findings


def lubrication(facts: Facts) -> list[Finding]:
    """Whether pinion or powertrain is tipped so far that oil may not reach where it should."""
    findings = []
    output, _, pinion = slopes_on_tyres(facts)
    if pinion is None:
        findings.append(missing("pinion_nose_up", "axle", [("axle.pinion_slope_deg", "the pinion slope")]))
    if output is None:
        findings.append(missing("tail_down", "powertrain", [("powertrain.slope_deg", "the output slope")]))
    if pinion is not None:
        row = LIMITS["pinion_nose_up"]
        nose = -pinion if is_front_axle(facts.build) else pinion
        verdict = row.judge(nose)
        says = f"The pinion's nose points {degrees(abs(nose))} {'up' if nose >= 0 else 'down'}"
        says += (
            "; its front bearing stays wet."
            if verdict == "clear"
            else "; its front bearing may run dry: raise the axle's fill level and check."
        )
        findings.append(
            found(
                row.id, "axle", verdict, says, "axle.pinion_slope_deg", value=nose, limit=nearest_line(row.id, verdict)
            )
        )
    if output is not None:
        row = LIMITS["tail_down"]
        verdict = row.judge(output)
        says = f"The powertrain's tail {'hangs' if output >= 0 else 'stands'} {degrees(abs(output))} {'down' if output >= 0 else 'up'}"
        usual = "that is usual" if output >= 0 else "it does not hang too low"
        says += f"; {usual}." if verdict == "clear" else "; check oil pick-up, fill levels and fan clearance."
        remedies = raised_tail(facts) if verdict in {"caution", "hold"} else []
        findings.append(
            found(
                row.id,
                "powertrain",
                verdict,
                says,
                "powertrain.slope_deg",
                value=output,
                limit=nearest_line(row.id, verdict),
                remedies=remedies,
            )
        )
    return findings


def _angle_of(joint: int) -> Judged:
    return lambda motion, row: finite(motion.operating_deg[joint, row])


def _pinion_joint(facts: Facts) -> int:
    return 0 if is_front_axle(facts.build) else len(facts.joint_names) - 1


def _place(facts: Facts, travel_mm: float) -> str:
    if travel_mm == 0.0:
        return "at ride height"
    return f"at {length(abs(travel_mm), facts.build.display)} of {'bump' if travel_mm > 0.0 else 'droop'}"


def _joint_entry(facts: Facts, index: int) -> str:
    return f"shaft.{facts.joint_names[index]}_joint"
