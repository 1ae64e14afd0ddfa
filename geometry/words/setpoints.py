"""The numbers to set before tacking, of one variant, no finer than gauge, tape and saw can set them."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

import numpy as np

from geometry.document.state import Use
from geometry.judge import perches
from geometry.judge.findings import tail_down_deg
from geometry.judge.kinds import point, side
from geometry.judge.states import MEASURED, hangs, settles_by_usual
from geometry.judge.ways import WEDGES_DEG
from geometry.mechanics import lateral, perch
from geometry.mechanics.sag import DRIVER_KG, FUEL_KG, SETTLING_MM
from geometry.mechanics.vectors import Floats, apart_mm, slope_deg
from geometry.words.solution import SetPoints, TapeCheck, UsedState
from geometry.words.told import Told
from geometry.words.wording import length, listed, rounded, worded


def setpoints_of(told: Told) -> SetPoints:
    """Set-points of one row of the facts."""
    facts, v = told.facts, told.facts.v
    tilt = facts.ride.tilt_deg
    pinion = told.number(slope_deg(facts.axle.line) + tilt)
    # The seat has turned with the axle since it was read.
    seat = told.number(perches.seat_slope_deg(facts) + facts.axle_level_deg + tilt + facts.ride.turn_deg)
    output = _tenths(told.number(tail_down_deg(facts)))

    def planned(entry: str) -> bool:
        return told.number(v[entry]) is not None

    # A wedge lies between perch and spring: it turns the axle and its perches, and nothing from perch to pinion.
    # Where none so thick is sold, the perches are cut off and welded to the whole angle instead.
    wedge = told.number(facts.wedge_deg) or 0.0
    if facts.kinds.suspension == "links" or abs(wedge) > WEDGES_DEG[-1]:
        wedge = 0.0
    raised = -wedge if facts.kinds.ahead else wedge
    to_pinion = None if pinion is None or seat is None else pinion - seat - raised
    where = perches.place(facts)
    made = SetPoints(
        output_slope_deg=output,
        pinion_slope_deg=_tenths(pinion),
        axle_shim_deg=None
        if facts.kinds.loose_perches or not (pinion is not None or planned("plan.axle_shim_deg"))
        else told.number(facts.wedge_deg),
        mount_shim_mm=None
        if facts.kinds.loose_mounts or not (output is not None or planned("plan.mount_shim_mm"))
        else told.number(facts.mount_shim_mm),
        powertrain_rise_mm=told.number(v["plan.powertrain_shift_mm.1"]),
        powertrain_aft_mm=told.number(v["plan.powertrain_shift_mm.0"]),
        perch_to_pinion_deg=_tenths(to_pinion),
        shaft_slope_deg=told.number(slope_deg(facts.pose.sections[-1]) + tilt),
        shaft_length_mm=told.number(facts.lengths_mm[-1]),
        slip_engaged_mm=_engaged(told),
        slip_stroke_mm=told.number(v["shaft.slip.stroke_mm"]),
        shackle_length_mm=_shackle(told),
        lateral_link_mm=_link(told),
        link_centring_mm=_centring(told),
        bearing_height_mm=told.number(v["shaft.bearing_mm.2"]) if facts.kinds.pieces == 2 else None,
        tack_to_pinion_deg=None
        if to_pinion is None or v.word("perches.first_weld") is None
        else _tenths(to_pinion - (told.number(perches.weld_pull_deg(facts)) or 0.0)),
        perch_spacing_mm=told.number(where.spacing_mm),
        flange_to_perch_mm=told.number(where.from_flange_mm),
        # The axle stands on the same tyres whatever is planned: no lift takes it farther from the floor.
        tube_underside_mm=told.number(v["axle.centre_mm.2"] - v["axle.tube_diameter_mm"] / 2.0),
        pinion_aside_mm=told.number(facts.pose.joints[0 if facts.kinds.ahead else -1].y),
        checks=tuple(_checks(told)),
    )
    if hangs(v):  # nothing is set by readings that tell nothing of ride height
        return replace(made, pinion_slope_deg=None, perch_to_pinion_deg=None, shaft_slope_deg=None, shaft_length_mm=None,
                       slip_engaged_mm=None, tack_to_pinion_deg=None, tube_underside_mm=None, pinion_aside_mm=None,
                       checks=())  # fmt: skip
    return made


def _checks(told: Told) -> Iterator[TapeCheck]:
    """Heights over the floor by which angles are checked a second time, front to rear."""
    facts, tilt = told.facts, told.facts.ride.tilt_deg
    engine, hinge = facts.powertrain, side(facts.v, "powertrain.front_mount_mm")
    first, last = facts.pose.joints[-2:]
    arms: tuple[tuple[Literal["output", "shaft", "pinion"], Floats, Floats], ...] = (
        ("output", engine.joint.x - engine.shift.x - hinge[0], engine.joint.z - engine.shift.z - hinge[1]),
        ("shaft", last.x - first.x, last.z - first.z),
        ("pinion", facts.axle.arm.x, facts.axle.arm.z),
    )
    for of, along, up in arms:
        rise = told.number(perch.rise_mm(along, up, tilt))
        if rise is not None:
            yield TapeCheck(of, rise, told.number(perch.tenth_mm(along, up, tilt)) or 0.0)


def states_of(told: Told) -> tuple[UsedState, ...]:
    """What the set-points come to in each state, as measured first; none where there is but one."""
    if told.elsewhere is None:
        return ()
    others = (told.in_state(number) for number in range(1, len(told.elsewhere.names)))
    return tuple(_used(one) for one in (replace(told, state=MEASURED), *others))


def _used(told: Told) -> UsedState:
    facts, ride = told.facts, told.facts.ride
    moved = facts.moved
    return UsedState(
        name=told.state or MEASURED,
        driven_mm=told.number(moved.driven_mm),
        other_mm=told.number(moved.other_mm),
        output_slope_deg=_tenths(told.number(tail_down_deg(facts))),
        pinion_slope_deg=_tenths(told.number(slope_deg(facts.axle.line) + ride.tilt_deg)),
        shaft_slope_deg=told.number(slope_deg(facts.pose.sections[-1]) + ride.tilt_deg),
        shaft_length_mm=told.number(facts.lengths_mm[-1]),
        slip_engaged_mm=told.number(facts.engaged_at_ride_mm),
        taken=_taken(told),
    )


def _taken(told: Told) -> str:
    """Say what of a state is taken as usual: common practice, no source."""
    v, name, state = told.facts.v, told.state or "", told.build.state
    use = told.build.use or Use()
    said = []
    if "settled" in name and settles_by_usual(v):
        said.append(f"new springs to settle by {length(SETTLING_MM, told.display)}")
    if "load" in name or "laden" in name:
        if state is not None and state.driver_in is False and use.driver_kg is None:
            said.append(f"a driver of {worded(DRIVER_KG, 'kg', told.display)}")
        if state is not None and state.fuel_share is not None and use.fuel_kg is None:
            said.append(f"{worded(FUEL_KG, 'kg', told.display)} of fuel in a full tank")
    return f"taken as usual: {listed(said)}" if said else ""


def _tenths(angle_deg: float | None) -> float | None:
    """As fine as an angle can be set: common practice."""
    return None if angle_deg is None else rounded(angle_deg, 1)


def _engaged(told: Told) -> float | None:
    """Spline inside its sleeve at ride height; as entered where no change of length is known."""
    facts = told.facts
    engaged = told.number(facts.engaged_at_ride_mm)
    return told.number(facts.v["shaft.slip.engaged_mm"]) if engaged is None else engaged


def _shackle(told: Told) -> float | None:
    ride = told.facts.ride
    if told.facts.kinds.by != "shackle" or ride.leaf is None or not told.number(ride.lift_mm):
        return None
    return told.number(np.asarray(ride.leaf.shackle_mm) + 0.0 * ride.curvature)


def _link(told: Told) -> float | None:
    v = told.facts.v
    ends = point(v, "lateral_link.frame_point_mm"), point(v, "lateral_link.axle_point_mm")
    return told.number(apart_mm(*ends) + v.given("plan.lateral_link_longer_mm", 0.0))


def _centring(told: Told) -> float | None:
    """Length of the lateral link with which the axle stands at the planned height as central as it was measured."""
    v, shift = told.facts.v, told.facts.ride.shift
    ends = point(v, "lateral_link.frame_point_mm"), point(v, "lateral_link.axle_point_mm")
    return told.number(apart_mm(*ends) + lateral.centring_change_mm(*ends, shift.z, shift.x))
