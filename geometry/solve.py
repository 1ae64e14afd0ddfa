"""From a build to the whole answer."""

from collections.abc import Callable

import numpy as np

from geometry.document import Build
from geometry.facts import Facts, finite, gather, slopes_on_tyres
from geometry.findings import judged, overall
from geometry.frames import plan_deg, side_slope_deg, slope_deg
from geometry.limits import allowed_rpm
from geometry.loads import joint_life_hours, relative_life, secondary_couple_nm
from geometry.motion import relative_phases
from geometry.picture import picture
from geometry.pose import joints_of
from geometry.solution import Angles, JointState, Motion, SetPoints, ShaftSection, ShaftState, Solution
from geometry.uncertainty import COVERAGE, gauge_deg, joint_angle_deg, shaft_slope_standard_deg, tape_mm


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
    facts = gather(build)
    findings = judged(facts)
    verdict, says = overall(findings)
    return Solution(
        verdict=verdict,
        says=says,
        angles=_angles(facts),
        joints=_joints(facts),
        shaft=_shaft(facts),
        motion=_motion(facts),
        travel=None,
        windup=None,
        setpoints=_setpoints(facts),
        findings=findings,
        picture=picture(facts),
    )


def _angles(facts: Facts) -> Angles:
    pose = facts.planned.pose
    output, shaft, pinion = slopes_on_tyres(facts)
    gauge = gauge_deg(facts.build)
    shaft_standard = shaft_slope_standard_deg(facts.build, facts.length_mm, taped=facts.taped)
    vehicle = facts.build.vehicle
    frame = None if vehicle is None or vehicle.frame_slope_deg is None else vehicle.frame_slope_deg + facts.tilt_deg
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
    band = joint_angle_deg(facts.build, facts.length_mm, taped=facts.taped)
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
                uncertainty_deg=None if angle is None else band,
                secondary_couple_nm=couple,
                relative_life=life,
                life_hours=hours,
                allowed_rpm=good_for,
            )
        )
    return tuple(states)


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
    motion, lines = facts.planned.motion, facts.planned.pose.lines
    if motion is None or lines is None:
        return Motion(None, None, None, None, None)
    return Motion(
        pinion_residual_rad_s2=facts.residual(),
        drive_inertia_rad_s2=facts.times_omega2(motion.drive[:, 0].max()),
        coast_inertia_rad_s2=facts.times_omega2(motion.coast[:, 0].max()),
        equivalent_angle_deg=finite(np.degrees(np.sqrt(np.maximum(motion.residual[0], 0.0)))),
        relative_phase_deg=tuple(float(phase) for phase in relative_phases(facts.build, lines)[:, 0]),
    )


def _setpoints(facts: Facts) -> SetPoints:
    build = facts.build
    output, shaft, _ = slopes_on_tyres(facts)
    pinion = None if facts.best is None else finite(facts.best.slope_deg + facts.tilt_deg)
    wedge = None if facts.best is None else round(facts.best.wedge_deg * 2.0) / 2.0 + 0.0
    seat = None if build.readings is None else build.readings.seat_slope_deg
    slip = None if build.shaft is None or build.shaft.slip is None else build.shaft.slip.engaged_mm
    return SetPoints(
        output_slope_deg=output,
        pinion_slope_deg=pinion,
        axle_shim_deg=wedge,
        mount_shim_mm=None if output is None else float(facts.ride.mount_shim_mm[0]),
        perch_to_pinion_deg=None if pinion is None or seat is None else pinion - seat - facts.tilt_deg,
        shaft_slope_deg=shaft,
        shaft_length_mm=facts.length_mm,
        slip_engaged_mm=slip,
    )
