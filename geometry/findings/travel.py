"""Findings over the travel and under torque: reach, slip, wind-up, gaps, side shift."""

import numpy as np

from geometry.facts import Facts, finite
from geometry.findings import wants
from geometry.findings.make import found, missing, nearest_line
from geometry.frames import norm
from geometry.limits import LIMITS
from geometry.pose import is_front_axle
from geometry.remedies import Judged, cancelling, longer_or_shorter
from geometry.ride import Leaf, travel_wants
from geometry.solution import Finding, Verdict
from geometry.travel import beside_axle
from geometry.uncertainty import COVERAGE, tape_mm
from geometry.wording import degrees, length, listed, number, rpm, torque


def suspension_fits(facts: Facts) -> list[Finding]:
    """Whether springs or links can be as entered, can do the planned lift, and reach the stops."""
    at, display = facts.at, facts.build.display
    row = LIMITS["travel_reach"]
    findings = []
    if not np.isfinite(at.tilt_deg):
        findings.append(
            missing(
                row.id,
                "vehicle",
                [("vehicle.wheelbase_mm", "the wheelbase, so that the vehicle can be set level after the lift")],
            )
        )
    if at.trouble:
        verdict: Verdict = "hold" if at.trouble_entry.startswith("plan.") else "unknown"
        return [*findings, found(row.id, "suspension", verdict, at.trouble, at.trouble_entry)]
    if at.mechanism is None:
        return [*findings, missing(row.id, "suspension", list(at.wants))] if at.wants else findings
    lacking = travel_wants(facts.build)
    if lacking:
        return [*findings, missing(row.id, "suspension", list(lacking))]
    travel = facts.travel
    if travel is None:
        says = "The suspension as entered cannot move the axle from ride height: measure its points again."
        return [*findings, found(row.id, "suspension", "unknown", says, "suspension")]
    for cut, way, entry in (
        (travel.cut_bump_mm, "up", "suspension.bump_mm"),
        (travel.cut_droop_mm, "down", "suspension.droop_mm"),
    ):
        if cut is not None:
            asked = abs(facts.travel_asked_mm[1 if way == "up" else 0])
            says = (
                f"The suspension as entered goes only {length(abs(cut), display)} {way} of the {length(asked, display)} to the stop: "
                "beyond that it cannot follow; measure its points again or shorten the travel."
            )
            findings.append(
                found(row.id, "suspension", "caution", says, entry, value=abs(cut), limit=asked, suffix=f"_{way}")
            )
    if not findings:
        low, high = float(travel.axle_mm[0]), float(travel.axle_mm[-1])
        says = f"The axle reaches from {length(-low, display)} down to {length(high, display)} up."
        findings.append(
            found(row.id, "suspension", "clear", says, "suspension.bump_mm", value=high - low, limit=high - low)
        )
    return findings


def spring_station(facts: Facts) -> list[Finding]:
    """Whether the springs put the axle where the tape found it."""
    row, build = LIMITS["spring_station"], facts.build
    predicted = facts.at.predicted_x_mm
    if (
        predicted is None
        or not isinstance(facts.at.mechanism, Leaf)
        or build.axle is None
        or build.axle.centre_mm is None
    ):
        return []
    tape = tape_mm(build)
    if tape is None:
        return [missing(row.id, "suspension", wants.for_gauge(build))]
    band = COVERAGE * tape * float(np.sqrt(6.0 / 3.0))
    off = abs(predicted - build.axle.centre_mm[0])
    verdict = row.judge(off, band)
    says = f"The springs as entered put the axle at {length(predicted, build.display)}, the tape found it at {length(build.axle.centre_mm[0], build.display)}"
    says += (
        "; the tape allows that."
        if verdict == "clear"
        else f": {length(off, build.display, 1)} apart, so measure eyes, shackle and halves again. The taped place is kept, and the springs only move it."
    )
    return [
        found(
            row.id,
            "suspension",
            verdict,
            says,
            "suspension.front_eye_mm",
            value=off,
            limit=nearest_line(row.id, verdict, band),
        )
    ]


def slip(facts: Facts) -> list[Finding]:
    """Whether the spline neither bottoms at full bump nor leaves its sleeve at full droop."""
    build = facts.build
    lacking = [
        want
        for want in (
            ("shaft.slip.engaged_mm", "the slip engaged at ride height"),
            ("shaft.slip.stroke_mm", "the slip stroke"),
        )
        if build.shaft is None
        or build.shaft.slip is None
        or getattr(build.shaft.slip, want[0].rsplit(".", 1)[1]) is None
    ]
    travel = facts.travel
    if travel is None or travel.length_mm is None:
        lacking = [*wants_for_travel(facts), *lacking]
    # With nothing lacking there are both lists.
    if lacking or travel is None or travel.engaged_mm is None or travel.slip_left_mm is None:
        return [missing(limit_id, "shaft", lacking) for limit_id in ("slip_left", "slip_engaged")]
    findings = []
    for limit_id, values, what, where in (
        ("slip_left", travel.slip_left_mm, "before the slip bottoms", "bump"),
        ("slip_engaged", travel.engaged_mm, "of spline still engaged", "droop"),
    ):
        row, worst = LIMITS[limit_id], int(np.argmin(values))
        value, place = float(values[worst]), float(travel.axle_mm[worst])
        verdict = row.judge(value)
        at = _place(facts, place)
        says = f"{_capital(at)} there {'are' if value != 1 else 'is'} {length(max(value, 0.0), build.display)} left {what}."
        if value <= 0.0:
            says = f"{_capital(at)} the slip {'bottoms: the shaft would push gearbox and pinion apart' if where == 'bump' else 'pulls out: the shaft would fall'}."
        elif verdict != "clear":
            says += f" At least {length(row.clear, build.display)} is wanted."
        findings.append(
            found(
                limit_id,
                "shaft",
                verdict,
                says,
                "shaft.slip.engaged_mm",
                value=value,
                limit=nearest_line(limit_id, verdict),
                remedies=[] if verdict == "clear" else longer_or_shorter(facts, limit_id, travel.engaged_mm),
            )
        )
    return findings


def wants_for_travel(facts: Facts) -> list[wants.Want]:
    """What the travel still wants."""
    entries = [*facts.at.wants, *travel_wants(facts.build)]
    if not entries and facts.planned.pose.joint_centres_mm is None:
        entries = wants.for_length(facts)
    return list(entries) or [("suspension", "springs or links that can be as entered")]


def wound_up(facts: Facts) -> list[Finding]:
    """How far torque turns the axle at cruise and at launch, and whether the joints then still cancel and reach."""
    wound, build = facts.windup, facts.build
    if wound is None or wound.rigid:
        return []
    findings = []
    if wound.cruise_deg is None:
        findings.append(missing("windup_cruise", "suspension", wants.for_windup(build)))
    else:
        findings += _cruise(facts, wound.cruise_deg)
    if wound.launch_deg is None:
        findings.append(missing("windup_launch", "suspension", wants.for_windup(build)))
    else:
        findings.append(_launch(facts, wound.launch_deg))
    return findings


def _cruise(facts: Facts, turn_deg: float) -> list[Finding]:
    row, speeds = LIMITS["windup_cruise"], facts.speeds
    value = None if facts.cruising is None else facts.residual(facts.cruising)
    share = " (0.3 of the engine's peak taken)" if speeds.cruise_share_assumed else ""
    turn = f"Cruise torque of {torque(speeds.cruise_nm or 0.0, facts.build.display)}{share} raises the {_nose(facts)} by {degrees(turn_deg)}"
    if value is None:
        lacking = wants.for_lines(facts) + wants.for_cruise(facts.build)
        return [missing(row.id, "suspension", lacking, extra=f"{turn}.")] if lacking else []
    verdict = row.judge(value)
    says = f"{turn}; the pinion is then jerked by {number(value)} rad/s² at {rpm(speeds.cruise_rpm or 0.0)}."
    remedies = [] if verdict == "clear" else cancelling(facts, row.id, _residual_of(facts), loaded=True)
    return [
        found(
            row.id,
            "suspension",
            verdict,
            says,
            "powertrain.cruise_torque_share",
            value=value,
            limit=nearest_line(row.id, verdict),
            remedies=remedies,
        )
    ]


def _residual_of(facts: Facts) -> Judged:
    return lambda motion, row: facts.times_omega2(float(motion.residual[row]))


def _launch(facts: Facts, turn_deg: float) -> Finding:
    row = LIMITS["windup_launch"]
    verdict = row.judge(turn_deg)
    says = f"Launch torque of {torque(facts.speeds.torque_nm or 0.0, facts.build.display)} raises the {_nose(facts)} by {degrees(turn_deg)}"
    motion = None if facts.launching is None else facts.launching.motion
    if motion is not None:
        angles = listed([degrees(float(angle)) for angle in motion.operating_deg[:, 0]])
        says += f", joint angles {angles}"
    says += "." if verdict == "clear" else "; the springs wrap up and may hop: a torque bar takes that up."
    return found(
        row.id,
        "suspension",
        verdict,
        says,
        "suspension.rate_n_per_mm",
        value=turn_deg,
        limit=nearest_line(row.id, verdict),
    )


def _nose(facts: Facts) -> str:
    return "axle's front" if is_front_axle(facts.build) else "pinion's nose"


def gaps(facts: Facts) -> list[Finding]:
    """Least gap of shaft and powertrain to every obstacle over the travel."""
    build = facts.build
    row, findings = LIMITS["gap"], []
    for index, obstacle in enumerate(build.obstacles):
        entry = f"obstacles.{index}.outline_mm"
        gap = facts.gaps[index]
        if gap is None:
            lacking: list[wants.Want] = []
            if facts.planned.pose.joint_centres_mm is None:
                lacking += wants.for_length(facts)
            lacking += [
                want for tube in facts.tubes if tube.section is None for want in wants.for_tube(tube.entry, build)
            ]
            findings.append(
                missing(
                    row.id,
                    "obstacles",
                    lacking or [("axle.centre_mm", "the joints' places")],
                    extra=f"This is for {obstacle.name}.",
                    entry=entry,
                    suffix=f"_{index + 1}",
                )
            )
            continue
        wanted = row.clear if obstacle.gap_mm is None else obstacle.gap_mm
        value = gap.least_mm
        verdict = _gap_verdict(value, wanted)
        place = "" if facts.travel is None else f" {_place(facts, gap.at_travel_mm)}"
        says = f"{_capital(gap.what)} comes within {length(max(value, 0.0), build.display)} of {obstacle.name}{place}"
        if value <= 0.0:
            says = f"{_capital(gap.what)} strikes {obstacle.name}{place}"
        says += "." if verdict == "clear" else f"; {length(wanted, build.display)} of air is wanted."
        if facts.travel is None:
            says += " This is at ride height only: enter springs or links and their travel."
            verdict = "unknown" if verdict == "clear" else verdict
        findings.append(
            found(
                row.id,
                "obstacles",
                verdict,
                says,
                entry,
                value=value,
                limit=wanted,
                title=f"Gap to {obstacle.name}",
                suffix=f"_{index + 1}",
            )
        )
    return findings


def _gap_verdict(value_mm: float, wanted_mm: float) -> Verdict:
    row = LIMITS["gap"]
    if value_mm <= 0.0:
        return "hold"
    return row.judge(value_mm, wanted_mm / row.clear)


def side_shift(facts: Facts) -> list[Finding]:
    """How far the lateral link draws the axle sideways over the travel."""
    row, build = LIMITS["lateral_shift"], facts.build
    link = build.lateral_link
    if link is None:
        return []
    lacking = [
        (f"lateral_link.{entry}", f"the lateral link's {name}")
        for entry, name in (("frame_point_mm", "frame end"), ("axle_point_mm", "axle end"))
        if getattr(link, entry) is None
    ]
    travel = facts.travel
    if lacking or travel is None:
        return [missing(row.id, "lateral_link", lacking or wants_for_travel(facts))]
    # Measured from where the axle stands after the lift, to which side and how far either way.
    shift = travel.swept.shift_mm[:, 1] - travel.swept.shift_mm[travel.ride_row, 1]
    worst = int(np.argmax(np.abs(shift)))
    value, place = float(abs(shift[worst])), float(travel.axle_mm[worst])
    verdict = row.judge(value)
    says = (
        f"The lateral link draws the axle {length(value, build.display, 1)} to the {'right' if shift[worst] >= 0 else 'left'} "
        f"{_place(facts, place)}"
    )
    says += "." if verdict == "clear" else "; a longer link that lies level at ride height draws it less."
    return [
        found(
            row.id,
            "lateral_link",
            verdict,
            says,
            "lateral_link.frame_point_mm",
            value=value,
            limit=nearest_line(row.id, verdict),
        )
    ]


def length_change(facts: Facts) -> float | None:
    """How much longer the section that slips is at ride height after the plan than as measured, mm, or None."""
    before, after = facts.measured.pose.joint_centres_mm, facts.planned.pose.joint_centres_mm
    if before is None or after is None:
        return None
    one = beside_axle(facts.build)
    return finite(norm(after[one + 1, 0] - after[one, 0]) - norm(before[one + 1, 0] - before[one, 0]))


def worst_reach(facts: Facts, joint: int) -> tuple[float, float] | None:
    """Largest operating angle of a joint over the travel and the travel where it is, degrees and mm, or None."""
    travel = facts.travel
    if travel is None or travel.trials.motion is None:
        return None
    angles = travel.trials.motion.operating_deg[joint]
    if not np.isfinite(angles).all():
        return None
    row = int(np.argmax(angles))
    return float(angles[row]), float(travel.axle_mm[row])


def _place(facts: Facts, travel_mm: float) -> str:
    if travel_mm == 0.0:
        return "at ride height"
    return f"at {length(abs(travel_mm), facts.build.display)} of {'bump' if travel_mm > 0.0 else 'droop'}"


def _capital(text: str) -> str:
    return text[0].upper() + text[1:]
