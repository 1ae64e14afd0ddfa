"""From a build to the whole answer."""

from collections.abc import Callable
from dataclasses import replace
from math import isfinite
from typing import Literal

import numpy as np

from geometry.document import Build
from geometry.facts import Facts, finite, gather, slopes_on_tyres
from geometry.findings import judged, overall
from geometry.findings.travel import length_change
from geometry.frames import Floats, norm, plan_deg, side_slope_deg, slope_deg
from geometry.limits import allowed_rpm
from geometry.loads import joint_life_hours, relative_life, secondary_couple_nm
from geometry.picture import picture
from geometry.pose import joints_of, turned
from geometry.ride import Swept, row_of, sweep
from geometry.solution import Angles, JointState, Motion, SetPoints, ShaftSection, ShaftState, Solution, Travel, Windup
from geometry.trials import known_lines, tried
from geometry.uncertainty import (
    COVERAGE,
    centre_joint_angle_deg,
    gauge_deg,
    joint_angle_deg,
    shaft_slope_standard_deg,
    tape_mm,
)


def solve(build: Build) -> Solution:
    """Work out the whole answer for a build: angles, joints, shaft, motion, set-points, findings, picture.

    Pure: the same build gives the same solution, and nothing else is read or changed. What the build cannot give is
    None, and the finding that wanted it names the measurement.

    Examples
    --------
    >>> from geometry.document import edited
    >>> readings = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 3.5}
    >>> [round(joint.operating_deg, 6) for joint in solve(edited(Build(), readings)).joints]
    [7.3, 7.3]
    """
    return solved(gather(build))


def solved(facts: Facts) -> Solution:
    """Put the whole answer together from the facts."""
    build = facts.build
    findings = judged(facts)
    verdict, says = overall(findings)
    return Solution(
        verdict=verdict,
        says=says,
        angles=_angles(facts),
        joints=_joints(facts),
        shaft=_shaft(facts),
        motion=_motion(facts),
        travel=_travel(facts),
        windup=_windup(facts),
        setpoints=_setpoints(facts),
        findings=findings,
        picture=picture(build, facts.at, facts.planned.pose, _ride_swept(facts)),
    )


def _angles(facts: Facts) -> Angles:
    pose = facts.planned.pose
    output, shaft, pinion = slopes_on_tyres(facts)
    gauge = gauge_deg(facts.build)
    shaft_standard = shaft_slope_standard_deg(facts.build, facts.length_mm, taped=facts.taped)
    vehicle = facts.build.vehicle
    read = None if vehicle is None else vehicle.frame_slope_deg
    frame = None if read is None else finite(read + facts.tilt_deg)
    two_piece = pose.sections is not None and len(pose.sections) == 2
    return Angles(
        output_slope_deg=output,
        shaft_slope_deg=shaft,
        pinion_slope_deg=pinion,
        output_plan_deg=None if pose.output is None else finite(plan_deg(pose.output)[0]),
        shaft_plan_deg=None if pose.sections is None else finite(plan_deg(pose.sections[-1])[0]),
        pinion_plan_deg=None if pose.pinion is None else finite(plan_deg(pose.pinion)[0]),
        front_shaft_slope_deg=finite(slope_deg(pose.sections[0])[0] + facts.tilt_deg)
        if two_piece and pose.sections is not None
        else None,
        frame_slope_deg=frame,
        output_uncertainty_deg=None if output is None else gauge,
        shaft_uncertainty_deg=_shaft_band(facts, shaft, shaft_standard, gauge),
        pinion_uncertainty_deg=None if pinion is None else gauge,
    )


def _shaft_band(facts: Facts, shaft: float | None, standard: float | None, gauge: float | None) -> float | None:
    if shaft is None or standard is None:
        return None
    return COVERAGE * standard if facts.taped else gauge


def _joints(facts: Facts) -> tuple[JointState, ...]:
    speeds, lines = facts.speeds, facts.planned.pose.lines
    states = []
    for index, joint in enumerate(joints_of(facts.build)):
        angle = facts.operating(index)
        side = plan = couple = life = hours = good_for = None
        if lines is not None and angle is not None:
            side = finite(side_slope_deg(lines[index + 1])[0] - side_slope_deg(lines[index])[0])
            plan = finite(plan_deg(lines[index + 1])[0] - plan_deg(lines[index])[0])
            life = float(relative_life(angle))
            if joint.type != "constant_velocity":
                good_for = float(allowed_rpm(angle / 2.0 if joint.type == "double_cardan" else angle))
            if speeds.torque_nm is not None and joint.type == "cardan":
                couple = float(secondary_couple_nm(speeds.torque_nm, angle))
            if joint.life_rating_nm is not None and speeds.cruise_nm is not None and speeds.cruise_rpm is not None:
                hours = joint_life_hours(joint.life_rating_nm, speeds.cruise_nm, speeds.cruise_rpm, angle)
        states.append(
            JointState(
                name=facts.joint_names[index],  # type: ignore[arg-type]
                type=joint.type,
                operating_deg=angle,
                side_deg=side,
                plan_deg=plan,
                uncertainty_deg=None if angle is None else _joint_band(facts, index),
                secondary_couple_nm=couple,
                relative_life=life,
                life_hours=hours,
                allowed_rpm=good_for,
            )
        )
    return tuple(states)


def _joint_band(facts: Facts, joint: int) -> float | None:
    lengths = [tube.length_mm for tube in facts.tubes]
    if len(lengths) == 1:
        return joint_angle_deg(facts.build, facts.length_mm, taped=facts.taped)
    front, rear = lengths
    assert front is not None and rear is not None  # noqa: PT018, S101  the joint has an angle, so its ends are placed
    if joint == 1:
        return centre_joint_angle_deg(facts.build, front, rear)
    return joint_angle_deg(facts.build, lengths[0 if joint == 0 else 1], taped=True)


def _shaft(facts: Facts) -> ShaftState:
    speeds, sections = facts.speeds, facts.planned.pose.sections
    rows = []
    for index, tube in enumerate(facts.tubes):
        slope = None if sections is None else finite(slope_deg(sections[index])[0] + facts.tilt_deg)
        rows.append(
            ShaftSection(
                tube.name, tube.length_mm, slope, tube.critical_rpm, tube.shear_mpa, tube.twist_deg, tube.mass_kg
            )
        )
    return ShaftState(
        length_mm=facts.length_mm,
        length_uncertainty_mm=_length_band(facts),
        cruise_rpm=speeds.cruise_rpm,
        top_speed_rpm=speeds.top_speed_rpm,
        max_rpm=speeds.max_rpm,
        critical_rpm=_all_known(min, [tube.critical_rpm for tube in facts.tubes]),
        torque_nm=speeds.torque_nm,
        low_gear_torque_nm=speeds.low_gear_nm,
        wheel_slip_torque_nm=speeds.wheel_slip_nm,
        shear_mpa=_all_known(max, [tube.shear_mpa for tube in facts.tubes]),
        twist_deg=_all_known(sum, [tube.twist_deg for tube in facts.tubes]),
        mass_kg=_all_known(sum, [tube.mass_kg for tube in facts.tubes]),
        sections=tuple(rows),
    )


def _length_band(facts: Facts) -> float | None:
    tape = tape_mm(facts.build)
    if tape is None or facts.length_mm is None:
        return None
    return COVERAGE * tape * float(np.sqrt(2.0 / 3.0)) if facts.taped else tape


def _all_known(how: Callable[[list[float]], float], values: list[float | None]) -> float | None:
    known = [value for value in values if value is not None]
    return float(how(known)) if len(known) == len(values) else None


def _motion(facts: Facts) -> Motion:
    motion = facts.planned.motion
    if motion is None:
        return Motion(None, None, None, None, None)
    return Motion(
        pinion_residual_rad_s2=facts.residual(),
        drive_inertia_rad_s2=facts.times_omega2(motion.drive[:, 0].max()),
        coast_inertia_rad_s2=facts.times_omega2(motion.coast[:, 0].max()),
        equivalent_angle_deg=finite(np.degrees(np.sqrt(np.maximum(motion.residual[0], 0.0)))),
        relative_phase_deg=tuple(motion.relative_phase_deg[:: 1 if motion.rearward else -1, 0].tolist()),
    )


def _ride_swept(facts: Facts) -> Swept | None:
    return None if facts.travel is None else row_of(facts.travel.swept, facts.travel.ride_row)


def _numbers(values: Floats) -> tuple[float | None, ...]:
    if np.isfinite(values).all():
        return tuple(values.tolist())
    return tuple(value if isfinite(value) else None for value in values.tolist())


def _travel(facts: Facts) -> Travel | None:
    travel = facts.travel
    if travel is None:
        return None
    motion, pose = travel.trials.motion, travel.trials.pose
    omega2 = facts.speeds.omega2
    gaps = [gap.along_mm for gap in facts.gaps if gap is not None]
    return Travel(
        axle_mm=tuple(travel.axle_mm.tolist()),
        length_mm=None if travel.length_mm is None else _numbers(travel.length_mm[-1]),
        operating_deg=None if motion is None else tuple(_numbers(one) for one in motion.operating_deg),
        pinion_slope_deg=None if pose.pinion is None else _numbers(slope_deg(pose.pinion) + facts.tilt_deg),
        pinion_residual_rad_s2=None if motion is None or omega2 is None else _numbers(motion.residual * omega2),
        slip_left_mm=None if travel.slip_left_mm is None else _numbers(travel.slip_left_mm),
        engaged_mm=None if travel.engaged_mm is None else _numbers(travel.engaged_mm),
        gap_mm=_numbers(np.min(gaps, axis=0)) if gaps else None,
    )


def _windup(facts: Facts) -> Windup | None:
    wound = facts.windup
    if wound is None:
        return None
    return Windup(wound.stiffness_nm_per_deg, wound.cruise_deg, wound.launch_deg, facts.speeds.cruise_nm)


def moved(build: Build, travel_mm: float, torque: Literal["none", "cruise", "launch"] = "none") -> Solution | None:
    """Return the solution with its angles, joints, motion and picture at a place of the travel, under torque.

    Findings, set-points, plots and verdict stay those of the whole build. None where the axle cannot be moved there.
    """
    facts = gather(build)
    whole = solved(facts)
    return posed(facts, whole, travel_mm, torque)


def posed(
    facts: Facts, whole: Solution, travel_mm: float, torque: Literal["none", "cruise", "launch"]
) -> Solution | None:
    """Return a solution moved to a place of its travel, from facts and solution that are there already."""
    swept = sweep(facts.at, np.array([travel_mm]))
    wound = facts.windup
    turn = 0.0
    if torque != "none":
        found = None if wound is None else wound.cruise_deg if torque == "cruise" else wound.launch_deg
        if found is None:
            return None
        turn = found
    if swept is None:
        if travel_mm != 0.0:
            return None
        rows = facts.ride
    elif not swept.reachable.all():
        return None
    else:
        rows = replace(facts.ride, axle_shift_mm=swept.shift_mm, axle_turn_deg=swept.turn_deg)
    here = facts
    if travel_mm != 0.0 or torque != "none":
        there = known_lines(tried(facts.build, turned(rows, turn)))
        centres = there.pose.joint_centres_mm
        length, tubes = facts.length_mm, facts.tubes
        if centres is not None:
            lengths = norm(centres[1:, 0] - centres[:-1, 0])
            length = finite(lengths[-1])
            tubes = tuple(replace(tube, length_mm=finite(one)) for tube, one in zip(tubes, lengths, strict=True))
        here = replace(facts, planned=there, length_mm=length, tubes=tubes)
    return replace(
        whole,
        angles=_angles(here),
        joints=_joints(here),
        shaft=replace(_shaft(here), length_uncertainty_mm=whole.shaft.length_uncertainty_mm),
        motion=_motion(here),
        picture=picture(facts.build, facts.at, here.planned.pose, swept),
    )


def _setpoints(facts: Facts) -> SetPoints:
    build = facts.build
    output, shaft, _ = slopes_on_tyres(facts)
    pinion = None if facts.best is None else finite(facts.best.slope_deg + facts.tilt_deg)
    wedge = None if facts.best is None else facts.best.fitted_deg
    seat = None if build.readings is None else build.readings.seat_slope_deg
    slip = None if build.shaft is None or build.shaft.slip is None else build.shaft.slip.engaged_mm
    longer = length_change(facts)
    return SetPoints(
        output_slope_deg=output,
        pinion_slope_deg=pinion,
        axle_shim_deg=wedge,
        mount_shim_mm=None if output is None else float(facts.ride.mount_shim_mm[0]),
        # The seat has turned with the axle since it was read.
        perch_to_pinion_deg=None
        if pinion is None or seat is None
        else pinion - seat - facts.tilt_deg - float(facts.ride.axle_turn_deg[0]),
        shaft_slope_deg=shaft,
        shaft_length_mm=facts.length_mm,
        slip_engaged_mm=None if slip is None else slip - (longer or 0.0),
    )
