"""The answer's numbers of one row at a place of its travel; what is not known is None. No sentence, no remedy.

Call everything here under `np.errstate(all="ignore")`.
"""

from functools import reduce
from typing import Any, cast

import numpy as np

from geometry.judge.limits import LIMITS, allowed_rpm
from geometry.judge.shapes import TubeFacts
from geometry.mechanics import spread
from geometry.mechanics.chain import peaks, single_joint_peak
from geometry.mechanics.clearance import Places
from geometry.mechanics.loads import joint_life_hours, relative_life, secondary_couple_nm
from geometry.mechanics.vectors import NAN, RADIAN, Bools, Floats, Vector, plan_deg, side_slope_deg, slope_deg
from geometry.words.place import Place, known, lines_of, pose_of
from geometry.words.sentences.doubt import joint_band_deg
from geometry.words.solution import Angles, JointState, Motion, ShaftSection, ShaftState, Travel, Windup
from geometry.words.told import Told

Along = tuple[float | None, ...]


def angles(told: Told, place: Place) -> Angles:
    """Gauge angles of the lines at a place."""
    pose, tilt = place.pose, _tilt(told)
    output, shaft, pinion = (known(slope_deg(line) + tilt) for line in (pose.output, pose.sections[-1], pose.pinion))
    frame = known(told.at(told.facts.v["vehicle.frame_slope_deg"]) + tilt)
    gauge = _gauge(told)
    by_gauge = known(gauge)
    by_tape = known(
        spread.taped_shaft_deg(_gauge(told), _tape(told), place.lengths_mm[-1], told.at(told.facts.swing_share))
    )
    return Angles(
        output_slope_deg=output,
        shaft_slope_deg=shaft,
        pinion_slope_deg=pinion,
        output_plan_deg=known(plan_deg(pose.output)),
        shaft_plan_deg=known(plan_deg(pose.sections[-1])),
        pinion_plan_deg=known(plan_deg(pose.pinion)),
        front_shaft_slope_deg=known(slope_deg(pose.sections[0]) + tilt) if len(pose.sections) == 2 else None,
        frame_slope_deg=frame,
        output_uncertainty_deg=None if output is None else by_gauge,
        shaft_uncertainty_deg=None if shaft is None else by_tape if _taped(told) else by_gauge,
        pinion_uncertainty_deg=None if pinion is None else by_gauge,
    )


def joints(told: Told, place: Place) -> tuple[JointState, ...]:
    """Each joint at a place, front to rear."""
    kinds = told.facts.kinds
    bent = told.facts.operating_deg(place.chain)
    lines = lines_of(told, place.pose)
    return tuple(
        _joint(told, place, joint, bent[joint], (lines[joint], lines[joint + 1])) for joint in range(kinds.pieces + 1)
    )


def _joint(told: Told, place: Place, joint: int, angle: Floats, lines: tuple[Vector, Vector]) -> JointState:
    facts = told.facts
    kinds, speeds = facts.kinds, facts.speeds
    kind, name = kinds.types[joint], kinds.names[joint]
    ahead, behind = lines
    gap = 0.0 * angle  # of a joint whose angle is not known nothing is told
    cross = angle / 2.0 if kind == "double_cardan" else angle
    rating = told.at(facts.v[f"shaft.{name}_joint.life_rating_nm"])
    hours = joint_life_hours(rating, told.at(speeds.cruise_nm), told.at(speeds.cruise_rpm), cross)
    couple = secondary_couple_nm(told.at(speeds.torque_nm), angle)
    return JointState(
        name=cast("Any", name),
        type=cast("Any", kind),
        operating_deg=known(angle),
        side_deg=known(side_slope_deg(behind) - side_slope_deg(ahead) + gap),
        plan_deg=known(plan_deg(behind) - plan_deg(ahead) + gap),
        uncertainty_deg=known(joint_band_deg(told, place.lengths_mm, joint) + gap),
        secondary_couple_nm=known(couple) if kind == "cardan" else None,
        relative_life=known(relative_life(cross)),
        life_hours=known(hours),
        allowed_rpm=known(_good_for_rpm(cross) if kind == "cardan" else allowed_rpm(cross)),
    )


def _good_for_rpm(angle_deg: Floats) -> Floats:
    """Speed at which one cross alone jerks what it drives just as much as passes, rpm; nan from a right angle on.

    >>> from geometry.mechanics.vectors import number
    >>> round(float(_good_for_rpm(number(7.3))))
    2367
    """
    angle = angle_deg * RADIAN
    peak = single_joint_peak(np.cos(angle), np.sin(angle))
    speed: Floats = np.sqrt(LIMITS["shaft_inertia_drive"].clear / peak) * (30.0 / np.pi)
    return np.where(angle_deg < 90.0, speed, np.nan)


def shaft(told: Told, place: Place) -> ShaftState:
    """The shaft at a place: its lengths and slopes there, its tubes as they are at ride height."""
    speeds, tubes, tilt = told.facts.speeds, told.facts.tubes, _tilt(told)
    length, tape = place.lengths_mm[-1], _tape(told)
    band = spread.COVERAGE * spread.TWO_ENDS * tape if _taped(told) else tape
    rows = zip(tubes, place.lengths_mm, place.pose.sections, strict=True)
    return ShaftState(
        length_mm=known(_positive(length)),
        length_uncertainty_mm=known(band + 0.0 * _positive(length)),
        cruise_rpm=told.number(speeds.cruise_rpm),
        top_speed_rpm=told.number(speeds.top_rpm),
        max_rpm=told.number(speeds.highest_rpm),
        critical_rpm=known(reduce(np.minimum, [told.at(tube.critical_rpm) for tube in tubes])),
        torque_nm=told.number(speeds.torque_nm),
        shock_torque_nm=told.number(speeds.torque_nm * speeds.shock),
        low_gear_torque_nm=told.number(speeds.low_gear_nm),
        wheel_slip_torque_nm=told.number(speeds.wheel_slip_nm),
        shear_mpa=known(reduce(np.maximum, [told.at(tube.shear_mpa) for tube in tubes])),
        twist_deg=known(sum(told.at(tube.twist_deg) for tube in tubes)),
        mass_kg=known(sum(told.at(tube.mass_kg) for tube in tubes)),
        sections=tuple(_section(told, tube, long, slope_deg(line) + tilt) for tube, long, line in rows),
    )


def _section(told: Told, tube: TubeFacts, length: Floats, slope: Floats) -> ShaftSection:
    return ShaftSection(
        name=cast("Any", tube.name),
        length_mm=known(_positive(length)),
        slope_deg=known(slope),
        critical_rpm=told.number(tube.critical_rpm),
        shear_mpa=told.number(tube.shear_mpa),
        twist_deg=told.number(tube.twist_deg),
        mass_kg=told.number(tube.mass_kg),
    )


def _positive(length: Floats) -> Floats:
    return np.where(length > 0.0, length, np.nan)


def motion(told: Told, place: Place) -> Motion:
    """What the joints do to the motion at a place."""
    facts, chain, omega2 = told.facts, place.chain, told.at(told.facts.speeds.omega2)
    driven, back = peaks(chain, facts.even), peaks(chain.backward().to_last_section(), facts.even[::-1])
    phases = chain.relative_phase_deg[:: -1 if facts.kinds.ahead else 1]
    told_phases = [known(phase + 0.0 * chain.cosine[0]) for phase in phases]
    return Motion(
        pinion_residual_rad_s2=known(driven[-1] * omega2),
        drive_inertia_rad_s2=known(reduce(np.maximum, driven[:-1]) * omega2),
        coast_inertia_rad_s2=known(reduce(np.maximum, back) * omega2),
        equivalent_angle_deg=known(np.sqrt(driven[-1]) / RADIAN),
        relative_phase_deg=None if None in told_phases else tuple(cast("list[float]", told_phases)),
    )


def travel(told: Told) -> Travel | None:
    """Everything over the axle's travel at rest, at the places that are surely reached; None where that is not known."""
    facts, v = told.facts, told.facts.v
    ends = told.at(v["suspension.bump_mm"] + v["suspension.droop_mm"])
    if facts.kinds.suspension is None or not facts.positions or not np.isfinite(ends):
        return None
    moved, size = facts.travelled, facts.positions
    way = told.at(moved.sweep.travel_mm) + 0.0  # no nought with a minus sign
    places = _stretch(way, told.at(moved.certain) & told.at(moved.sweep.reachable))
    if places is None:
        return None
    at_ride, pose = way[places] == 0.0, pose_of(told, moved.rest)
    chain = facts.chain(pose, tuple(told.at(phase) for phase in facts.phases_deg))
    omega2, rests = told.at(facts.speeds.omega2), facts.angles_deg
    engaged = told.at(facts.travelled_engaged_mm[0])
    residual = peaks(chain, facts.even, last_only=True)[-1]
    # Each with what is known besides at ride height itself, as by a stick.
    several: list[tuple[Floats, Floats]] = [
        *((told.at(bent[0]), told.at(rest)) for bent, rest in zip(moved.bent_deg, rests, strict=True)),
        (_positive(pose.lengths_mm[-1]), NAN),
        (slope_deg(pose.pinion) + _tilt(told), NAN),
        (residual * omega2, told.at(facts.residual) * omega2),
        (told.at(v["shaft.slip.stroke_mm"]) - engaged, NAN),
        (engaged, NAN),
        (_gaps(told), NAN),
    ]
    whole = np.empty((len(several), size))
    for place, (values, _) in enumerate(several):
        whole[place] = values
    whole = whole[:, places]
    standing = np.array([one for _, one in several])[:, None]
    whole = np.where(at_ride & np.isnan(whole), standing, whole)
    *bent, length, pinion, residuals, left, inside, gaps = (_numbers(values) for values in whole)
    return Travel(
        axle_mm=tuple(way[places].tolist()),
        length_mm=length,
        operating_deg=None if None in bent else tuple(cast("list[Along]", bent)),
        pinion_slope_deg=pinion,
        pinion_residual_rad_s2=residuals,
        slip_left_mm=left,
        engaged_mm=inside,
        gap_mm=gaps,
    )


def _stretch(way: Floats, certain: Bools) -> Places | None:
    """Places around ride height that are surely reached without a break, each once; None where ride height is not."""
    ride = np.flatnonzero(way == 0.0)
    if not ride.size or not certain[ride[-1]]:
        return None
    middle, first, last = int(ride[-1]), 0, len(way)
    if not certain.all():
        bad = np.flatnonzero(~certain)
        first, last = int(bad[bad < middle].max(initial=-1)) + 1, int(bad[bad > middle].min(initial=last))
    apart = np.ones(last - first, np.bool_)
    apart[1:] = way[first + 1 : last] > way[first : last - 1]
    return first + np.flatnonzero(apart)


def _gaps(told: Told) -> Floats:
    """Least gap to any obstacle at each place of the travel at rest; an obstacle whose gap is not known is left out.

    Not known of another row than a block's first, whose course alone is measured at every place.
    """
    facts, least = told.facts, NAN
    if told.row:
        return least
    for index in range(facts.v.word("obstacles", 0)):
        near = [told.at(gap.along_mm)[: facts.positions] for _, gap in facts.gap(index).bodies]
        sections = np.minimum.reduce(near[: facts.kinds.pieces])
        for standing in near[facts.kinds.pieces :]:
            sections = np.fmin(sections, standing) + 0.0 * sections
        least = np.fmin(least, sections)
    return least


def _numbers(values: Floats) -> Along | None:
    """Plain numbers, None where one is not known; None for all where none is."""
    fine = np.isfinite(values)
    if fine.all():
        return tuple(values.tolist())
    return tuple(known(value) for value in values) if fine.any() else None


def windup(told: Told) -> Windup | None:
    """How far torque winds the axle up; None without springs or links."""
    facts = told.facts
    if facts.kinds.suspension is None:
        return None
    return Windup(
        stiffness_nm_per_deg=told.number(facts.stiffness_nm_per_deg),
        cruise_deg=told.number(facts.cruise_deg),
        launch_deg=told.number(facts.launch_deg),
        cruise_torque_nm=told.number(facts.speeds.cruise_nm),
    )


def _tilt(told: Told) -> Floats:
    return cast("Floats", told.at(told.facts.ride.tilt_deg))


def _taped(told: Told) -> bool:
    return bool(told.at(told.facts.taped))


def _gauge(told: Told) -> Floats:
    return cast("Floats", told.at(told.facts.v["gauge.angle_uncertainty_deg"]))


def _tape(told: Told) -> Floats:
    return cast("Floats", told.at(told.facts.v["gauge.tape_uncertainty_mm"]))
