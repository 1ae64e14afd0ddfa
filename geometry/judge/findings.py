"""Every finding's value and lines, from the facts: no sentence, no remedy.

A finding is about a part; for one kind of build the keys are always the same, and a row that it is not about is not
asked. What a row lacks makes it unknown, that row alone.
"""

from collections.abc import Callable

import numpy as np

from geometry.judge.codes import CAUTION, CLEAR, HOLD, UNKNOWN, Codes
from geometry.judge.facts import Facts
from geometry.judge.kinds import point
from geometry.judge.limits import FAR_MM, LARGE_SPLINE_MM, LIMITS, SPEED_FOR_ANGLE, USUAL_SPLINE_MM, allowed_angle_deg
from geometry.judge.states import read_apart_mm
from geometry.judge.table import Table
from geometry.mechanics import links, spread, springs
from geometry.mechanics.loads import ROLLS_MORE, joint_life_hours
from geometry.mechanics.vectors import NAN, RADIAN, ZERO, Bools, Floats, number, side_slope_deg, slope_deg

PART = {"front": "front_joint", "centre": "centre_joint", "rear": "rear_joint"}
"""The part of the drawing that a joint is, by its name."""
_THICKEST_MM = 500.0
"""No axle's tube is thicker: the document takes none."""


def motion(f: Facts, table: Table) -> None:
    """How unevenly pinion and shaft are driven, at cruise and at the highest speed."""
    speeds, kinds = f.speeds, f.kinds
    omega2, part = speeds.omega2, PART[kinds.names[kinds.pinion_joint]]
    residual, drive, coast = f.residual * omega2, f.drive * omega2, f.coast * omega2
    fastest = speeds.highest_rpm * (np.pi / 30.0)
    faster2, beyond = fastest * fastest, ~(speeds.highest_rpm <= speeds.cruise_rpm)
    table.add("pinion_residual", part, residual)
    table.add("residual_at_top", part, f.residual * faster2, asked=beyond)
    table.add("shaft_inertia_drive", "shaft", drive)
    table.add("shaft_inertia_coast", "shaft", coast)
    table.add("inertia_at_top", "shaft", np.maximum(f.drive, f.coast) * faster2, asked=beyond)
    contradiction = speeds.highest_rpm < speeds.cruise_rpm
    table.add("speeds_agree", "vehicle", speeds.cruise_rpm, scale=speeds.highest_rpm, asked=contradiction)
    if kinds.pieces == 2:
        angle = np.sqrt(f.residual) / RADIAN
        table.add("equivalent_angle", part, angle, asked=np.isnan(omega2))


def joints(f: Facts, table: Table) -> None:
    """Whether ends cancel, needles roll, and each joint suits its speed."""
    kinds, angles, even = f.kinds, f.angles_deg, f.kinds.even
    if kinds.pieces == 1 and not all(even):
        if any(even):
            single = even.index(False)
            table.add("straight_end", PART[kinds.names[single]], angles[single])
        else:
            table.add("ends_parallel", "shaft", apart_deg(f))
    output = kinds.pieces if kinds.ahead else 0
    for joint, name in enumerate(kinds.names):
        if not even[joint]:
            table.add("operating_angle_least", PART[name], angles[joint])
            if kinds.pieces == 2 and joint == output:
                table.add("first_joint", PART[name], angles[joint])
        else:
            _for_speed(f, table, joint)


def apart_deg(f: Facts) -> Floats:
    """How far a pair of joints is from cancelling, degrees: √(b1² + b2² − 2 b1 b2 cos 2g), g the relative phase.

    The plain difference of the angles where the yokes are in phase, their sum where they are a quarter turn out.
    """
    first, last = f.angles_deg
    cosine, sine = f.rest_chain.phase_cosine[0], f.rest_chain.phase_sine[0]
    both = first * first + last * last - 2.0 * first * last * (cosine * cosine - sine * sine)
    apart: Floats = np.sqrt(np.maximum(both, 0.0))
    return apart


def _for_speed(f: Facts, table: Table, joint: int) -> None:
    """The table over speed is for joints that run evenly: each half of a double Cardan joint takes half its angle."""
    each, cruise = judged_angle_deg(f, joint), f.speeds.cruise_rpm
    limit, last = LIMITS["operating_angle_most"], SPEED_FOR_ANGLE[-1]
    too_much = (cruise > last[0]) & (each > limit.hold * last[1])

    def beyond_the_table(code: Codes) -> Codes:
        return np.where(too_much, HOLD, code)

    part = PART[f.kinds.names[joint]]
    table.add("operating_angle_most", part, each, scale=allowed_angle_deg(cruise), turned=beyond_the_table)


def judged_angle_deg(f: Facts, joint: int) -> Floats:
    """The angle that wears one cross: half of a double Cardan joint's, else the joint's own, degrees."""
    angle = f.angles_deg[joint]
    return angle / 2.0 if f.kinds.types[joint] == "double_cardan" else angle


def shaft(f: Facts, table: Table) -> None:
    """Slope, whirl, shear, joint torque and life."""
    kinds, speeds, v = f.kinds, f.speeds, f.v
    if kinds.pieces == 1 and not any(kinds.even):
        clear = LIMITS["shaft_inertia_drive"].clear
        passes = np.maximum(f.drive, f.coast) * speeds.omega2 <= clear
        slope = np.abs(side_slope_deg(f.pose.sections[0]) + f.ride.tilt_deg)

        def where_joints_pass(code: Codes) -> Codes:
            return np.where(passes & (code != UNKNOWN), CLEAR, code)

        table.add("shaft_slope", "shaft", slope, turned=where_joints_pass)
    lowest = f.tubes[0].critical_rpm
    for tube in f.tubes[1:]:
        lowest = np.minimum(lowest, tube.critical_rpm)
    surely = np.where(speeds.cruise_rpm > LIMITS["critical_speed"].hold * lowest, speeds.cruise_rpm, NAN)
    highest = np.where(np.isnan(speeds.highest_rpm), surely, np.fmax(speeds.highest_rpm, speeds.cruise_rpm))
    table.add("critical_speed", "shaft", highest, scale=lowest)
    half = nearest_half_rpm(f)
    off, by_radius = np.abs(speeds.cruise_rpm - half), np.isnan(v["vehicle.tyre_turns_per_km"])
    # The loaded radius alone tells a cruise that is too fast by this.
    slower = tuple(np.where(by_radius, half * _off_half(f, 1.0 / (1.0 + more)), off) for more in ROLLS_MORE)
    table.add("half_critical_speed", "shaft", off, scale=half, others=slower)
    stress, shear_yield = _most_sheared(f)
    ends = speeds.torque_least_nm, speeds.torque_most_nm
    bounds = tuple(bound / speeds.torque_nm * stress for bound in ends)
    table.add("tube_shear", "shaft", stress, scale=shear_yield, others=bounds)
    shocked, shocks = speeds.torque_nm * speeds.shock, tuple(bound * speeds.shock for bound in ends)
    for joint, name in enumerate(kinds.names):
        limit, rating = v[f"shaft.{name}_joint.torque_limit_nm"], v[f"shaft.{name}_joint.life_rating_nm"]
        table.add("joint_torque", PART[name], shocked, scale=limit, others=shocks)
        hours = joint_life_hours(rating, speeds.cruise_nm, speeds.cruise_rpm, judged_angle_deg(f, joint))
        table.add("joint_life", PART[name], hours, asked=np.isfinite(rating))


def nearest_half_rpm(f: Facts) -> Floats:
    """Half the critical speed of the section that cruise is nearest to, as a share of it, rpm; nan with one unknown."""
    halves = [tube.critical_rpm / 2.0 for tube in f.tubes]
    if len(halves) == 1:
        return halves[0]
    one, two = halves
    cruise = f.speeds.cruise_rpm
    return np.where(np.abs(cruise / two - 1.0) < np.abs(cruise / one - 1.0), two, one) + 0.0 * (one + two)


def _off_half(f: Facts, slower: float) -> Floats:
    """How far a cruise slower by a factor lies off half the critical speed of the section nearest to it, as a share."""
    nearest, *others = (np.abs(2.0 * slower * f.speeds.cruise_rpm / tube.critical_rpm - 1.0) for tube in f.tubes)
    for other in others:
        nearest = np.minimum(nearest, other)
    return nearest


def _most_sheared(f: Facts) -> tuple[Floats, Floats]:
    if len(f.tubes) == 1:
        return f.tubes[0].shear_mpa, f.tubes[0].shear_yield_mpa
    one, two = f.tubes
    more = two.shear_mpa / two.shear_yield_mpa > one.shear_mpa / one.shear_yield_mpa
    stress = np.where(more, two.shear_mpa, one.shear_mpa) + 0.0 * (one.shear_mpa + two.shear_mpa)
    return stress, np.where(more, two.shear_yield_mpa, one.shear_yield_mpa)


def lubrication(f: Facts, table: Table) -> None:
    """Whether pinion or powertrain is tipped so far that oil may not reach where it should."""
    nose, tail = nose_up_deg(f), tail_down_deg(f)
    table.add("pinion_nose_up", "axle", nose, asked=~(nose < 0.0))
    table.add("pinion_nose_down", "axle", -nose, asked=nose < 0.0)
    table.add("tail_down", "powertrain", tail, asked=~(tail < 0.0))
    table.add("tail_up", "powertrain", -tail, asked=tail < 0.0)


def nose_up_deg(f: Facts) -> Floats:
    """How far the pinion's nose points up on the tyres, degrees."""
    slope = slope_deg(f.axle.line) + f.ride.tilt_deg
    nose: Floats = -slope if f.kinds.ahead else slope
    return nose


def tail_down_deg(f: Facts) -> Floats:
    """How far the powertrain's tail hangs down on the tyres, degrees."""
    tail: Floats = slope_deg(f.powertrain.line) + f.ride.tilt_deg
    return tail


def plan(f: Facts, table: Table) -> None:
    """What the plan itself asks for: wedges, lift, blocks, shackle."""
    v, kinds, ride = f.v, f.kinds, f.ride
    wedge = np.abs(f.wedge_deg)
    if kinds.suspension != "links":
        table.add("wedge_size", "perches", wedge, asked=wedge > 0.0)
    if kinds.ahead:
        # Loose perches turn the knuckles with the pinion as a wedge does.
        turned = np.where(f.pinion_set, np.abs(f.axle_turn_deg - ride.turn_deg), wedge)
        table.add("caster", "axle", turned, asked=~(turned <= 1e-9))
    rise, lifted = ride.lift_mm, ride.lift_mm != 0.0
    reached = np.isfinite(ride.shift.x + ride.shift.z + ride.turn_deg)
    under = kinds.by == "block" and not kinds.over
    never = ride.known | (np.asarray(under) & (rise > 0.0))
    table.add("lift", "suspension", np.abs(rise), clear=NAN, asked=lifted, turned=_told(reached, never))
    if v.word("plan.front_lift_by") == "block":
        block = np.abs(v.given("plan.front_lift_mm", 0.0))
        table.add("front_block", "suspension", block, asked=block > 0.0)
    if kinds.suspension is not None:
        lowered = rise < 0.0
        if kinds.by == "block" and kinds.over and kinds.suspension == "leaf":
            room, half = v["suspension.seat_to_axle_mm"] + rise, v["axle.tube_diameter_mm"] / 2.0
            thickest = (np.where(np.isnan(half), room - _THICKEST_MM / 2.0, room - half),)
            left = room - np.where(np.isnan(half), 0.0, half)
            table.add("block_room", "suspension", left, others=thickest, asked=lowered)
        bump = v["suspension.bump_mm"] - ride.up_mm
        # With a block it hangs on what the stop strikes: the axle, which comes nearer, or the spring, which does not.
        spring = (bump,) if kinds.by == "block" else ()
        table.add("bump_left", "suspension", bump + rise, others=spring, asked=lowered | ~(ride.up_mm <= 0.0))
        if kinds.by == "shackle" and ride.leaf is not None:
            lean = np.abs(springs.posture(ride.leaf, ride.curvature).lean_deg)
            table.add("shackle_lean", "suspension", lean, asked=lifted)
            table.add("shackle_lift", "suspension", rise, asked=rise > 0.0)
    if _has_lateral_link(f):
        moved = lifted | (v.given("plan.lateral_link_longer_mm", 0.0) != 0.0)
        table.add("lateral_lift", "lateral_link", np.abs(ride.shift.y), asked=moved)


def _told(reached: Bools, never: Bools) -> Callable[[Codes], Codes]:
    """Clear where reached, hold where what is known says that it never is, else unknown."""
    return lambda code: np.where(reached, CLEAR, np.where(never, HOLD, code))


def _has_lateral_link(f: Facts) -> bool:
    return any(f.v.word(f"lateral_link.{end}_point_mm") is not None for end in ("frame", "axle"))


def readings(f: Facts, table: Table) -> None:
    """Whether the measurements agree with each other, and whether the gauge can tell."""
    v, kinds, was = f.v, f.kinds, f.measured
    gauge, tape = v["gauge.angle_uncertainty_deg"], v["gauge.tape_uncertainty_mm"]
    slope_read, length_read = v["readings.shaft_slope_deg"], v["readings.shaft_length_mm"]
    if not v.absent("readings.shaft_slope_deg"):
        band = spread.stick_against_tape_deg(gauge, tape, was.lengths_mm[-1], f.measured_swing_share)
        off = np.abs(slope_read + f.level_deg - slope_deg(was.sections[-1]))
        # With another load than the points the stick lay otherwise than they tell.
        asked = np.isfinite(slope_read) & f.taped & (read_apart_mm(v, ahead=kinds.ahead) == 0.0)
        table.add("stick_slope", "readings", off, scale=band, asked=asked)
    if not v.absent("readings.shaft_length_mm"):
        off = np.abs(length_read - was.lengths_mm[-1])
        asked = np.isfinite(length_read) & f.taped
        table.add("tape_length", "readings", off, scale=spread.COVERAGE * tape, asked=asked)
    centre = point(v, "axle.centre_mm")
    station = ZERO if kinds.ahead else v["vehicle.wheelbase_mm"]
    band = spread.COVERAGE * spread.TWO_ENDS * tape
    for limit_id, where, other in (("axle_station", centre.x, station), ("axle_height", centre.z, f.tyre_radius_mm)):
        asked = np.isfinite(where) & np.isfinite(other)
        if where.ndim or other.ndim or asked:
            table.add(limit_id, "axle", np.abs(where - other), scale=band, asked=asked)
    if kinds.suspension == "leaf":
        off = np.abs(f.ride.predicted_x_mm - centre.x)
        table.add("spring_station", "suspension", off, scale=spread.COVERAGE * 2.0**0.5 * tape, asked=f.ride.known)
    left, right = v["axle.flange_to_perch_left_mm"], v["axle.flange_to_perch_right_mm"]
    if kinds.suspension == "leaf" or not (
        v.absent("axle.flange_to_perch_left_mm") and v.absent("axle.flange_to_perch_right_mm")
    ):
        asked = np.isfinite(np.fmax(left, right)) | np.asarray(kinds.suspension == "leaf")
        table.add("perches_equal", "perches", np.abs(left - right), asked=asked)


def resolution(f: Facts, table: Table) -> None:
    """Whether gauge and tape can tell how the pinion runs."""
    if f.kinds.pieces == 1 and not any(f.kinds.even):
        doubtful = _doubtful(f)
        table.add("gauge_resolution", "readings", f.band_deg, clear=NAN, turned=lambda _: doubtful)


def _doubtful(f: Facts) -> Codes:
    """Whether the verdict on the residual turns anywhere in the band."""
    limit, omega2, band = LIMITS["pinion_residual"], f.speeds.omega2, f.band_deg
    middle = f.residual * omega2
    known = np.isfinite(band + middle)
    if not known.any():
        return np.full(1, UNKNOWN)
    first, turns = slice(0, f.gauged), np.zeros(f.v.rows, np.bool_)
    doubted = f.doubted_residual * (omega2[first] if omega2.ndim else omega2)
    here = _level(middle[first] if middle.ndim else middle, limit.clear, limit.hold)
    turns[first] = ((_level(doubted, limit.clear, limit.hold) != here) & np.isfinite(doubted)).any(axis=0)
    return np.where(known, np.where(turns, CAUTION, CLEAR), UNKNOWN)


def _level(value: Floats, clear: float, hold: float) -> Codes:
    return (value > clear).astype(np.uint8) + (value > hold)


def torque(f: Facts, table: Table) -> None:
    """How far torque turns the axle, and how the pinion then runs."""
    if f.kinds.suspension is None or f.kinds.rigid:
        return
    omega2 = f.speeds.omega2
    held = tuple(residual * omega2 for residual in f.cruise_residuals)
    table.add("windup_cruise", "suspension", f.cruise_residual * omega2, others=held)
    ends = tuple(f.held_windup_deg(bound) for bound in (f.speeds.torque_least_nm, f.speeds.torque_most_nm))
    table.add("windup_launch", "suspension", f.launch_deg, others=ends)


def reach(f: Facts, table: Table) -> None:
    """Angle that each joint has left to its greatest, over the travel at rest and at launch where that is known."""
    for joint, name in enumerate(f.kinds.names):
        most = f.v[f"shaft.{name}_joint.max_angle_deg"]
        at_ride = most - f.angles_deg[joint]
        # No travel moves what stands between output and support bearing; of the others nothing is clear without one.
        stands = f.kinds.pieces == 2 and joint == (2 if f.kinds.ahead else 0)
        told = [NAN * at_ride]
        if f.travels.any():
            spare, others = f.worst_of(most - f.travelled.bent_deg[joint])
            told = [spare, *others]
        if stands:
            told = [np.where(f.travels, one, at_ride) for one in told]
        table.add("joint_bind", PART[name], np.where(np.isnan(told[0]), at_ride, told[0]), others=tuple(told))


def travel(f: Facts, table: Table) -> None:
    """Reach of the suspension, slip at both ends of it, side shift."""
    v, kinds = f.v, f.kinds
    if kinds.suspension is not None:
        short_up, short_down = shortfall_mm(f)
        table.add("travel_reach", "suspension", np.maximum(short_up, short_down))
    stroke, spline = v["shaft.slip.stroke_mm"], v["shaft.slip.spline_diameter_mm"]
    nowhere: tuple[Floats, tuple[Floats, ...]] = (NAN, ())
    left = held = nowhere
    if f.travels.any():
        engaged, missed = f.travelled_engaged_mm, f.missed_mm
        left, held = (
            (value, tuple(one - missed for one in others))
            for value, others in (f.worst_of(stroke - engaged), f.worst_of(engaged))
        )
    table.add("slip_left", "shaft", left[0], others=left[1])
    value, others = held
    larger = np.where(np.isnan(spline), value * (USUAL_SPLINE_MM / LARGE_SPLINE_MM), value)
    scale = np.where(np.isnan(spline), USUAL_SPLINE_MM, spline)
    table.add("slip_engaged", "shaft", value + 0.0 * stroke, scale=scale, others=(*others, larger))
    if _has_lateral_link(f):
        shift = np.abs(f.sweep.shift.y)
        certain = np.where(f.travelled.certain, shift, NAN)
        table.add("lateral_shift", "lateral_link", _most(certain), others=(_most(shift),))


def _least(values: Floats) -> Floats:
    least: Floats = np.fmin.reduce(values, axis=0)
    return least


def _most(values: Floats) -> Floats:
    most: Floats = np.fmax.reduce(values, axis=0)
    return most


def shortfall_mm(f: Facts) -> tuple[Floats, Floats]:
    """How much of the travel up to the stop, and down, springs or links cannot follow, mm; nan where not known."""
    sweep, ride = f.sweep, f.ride
    there = np.where(sweep.reachable, sweep.travel_mm, NAN)
    lowest, highest = _least(there), _most(there)
    if not sweep.reachable.all():
        # What the lateral link stops is known to a place of the travel; what springs or links stop exactly.
        exact = np.array([np.broadcast_to(end, f.v.rows) for end in (lowest, highest)])
        short = np.flatnonzero(~np.broadcast_to(sweep.reachable.all(axis=0), f.v.rows))

        def of_short(part: Floats) -> Floats:
            return np.broadcast_to(part, f.v.rows)[short] if part.ndim else part

        if ride.leaf is not None:
            leaf = springs.Leaf._make((*map(of_short, ride.leaf[:-1]), ride.leaf.hangs))
            ends = springs.travel_reach_mm(leaf, of_short(ride.curvature))
        else:
            ends = links.travel_reach_mm(links.FourBar(*map(of_short, f.bar)))
            ends = ends[0] - of_short(ride.along_mm), ends[1] - of_short(ride.along_mm)
        exact[0, short], exact[1, short] = ends
        whole = np.isfinite(sweep.curvature + sweep.travel_mm) if ride.leaf is not None else sweep.reachable
        free = (whole == sweep.reachable).all(axis=0)
        lowest, highest = (
            np.where(free & np.isfinite(one), two, one) for one, two in zip((lowest, highest), exact, strict=True)
        )
    droop = f.v["suspension.droop_mm"] + ride.up_mm
    bump = np.maximum(f.v["suspension.bump_mm"] + ride.stop_gain_mm, 0.0)
    return np.maximum(bump - highest, 0.0), np.maximum(droop + lowest, 0.0)


def gaps(f: Facts, table: Table) -> None:
    """Least gap of shaft and powertrain to every obstacle."""
    hold = number(LIMITS["gap"].hold)
    for index in range(len(f.v.build.obstacles)):
        gap, suffix = f.gap(index), f"_{index + 1}"
        table.add("gap", "obstacles", gap.least_mm, clear=gap.wanted_mm, hold=hold, others=gap.others_mm, suffix=suffix)


def pair_gaps(f: Facts, table: Table) -> None:
    """Least gap of every two outlines that are fixed to different things; what surely stays far apart is not told."""
    if not any(one.carried_by != "frame" for one in f.v.build.obstacles):
        return
    hold = number(LIMITS["pair_gap"].hold)
    for place, gap in enumerate(f.carried.pairs, 1):
        near = ~(np.minimum.reduce((gap.least_mm, *gap.others_mm)) > FAR_MM)
        table.add(
            "pair_gap", "obstacles", gap.least_mm, clear=gap.wanted_mm, hold=hold, others=gap.others_mm,
            asked=near, suffix=f"_{place}",
        )  # fmt: skip


RIDE = (motion, joints, shaft, lubrication, plan, readings, resolution, torque, reach, gaps, pair_gaps)
TRAVEL = (travel,)
STATES = (motion, joints, shaft, lubrication, plan, resolution, torque)
"""What is judged in every state. The travel ends at the same stops in all of them, so what it tells is told once."""
IN_STATES = frozenset({
    "pinion_residual", "residual_at_top", "shaft_inertia_drive", "shaft_inertia_coast", "inertia_at_top",
    "equivalent_angle", "ends_parallel", "straight_end", "operating_angle_least", "operating_angle_most", "first_joint",
    "joint_bind", "shaft_slope", "critical_speed", "half_critical_speed", "joint_life", "pinion_nose_up",
    "pinion_nose_down", "tail_down", "tail_up", "shackle_lean", "bump_left", "lateral_lift", "windup_cruise",
    "gauge_resolution", "gap", "pair_gap",
})  # fmt: skip
"""Findings that the state may turn."""
