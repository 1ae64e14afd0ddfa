"""Why a finding is not judged although every measurement that it needs is there."""

from typing import Any

from geometry.judge import clamp, perches, square
from geometry.judge.carried import pairs_of
from geometry.judge.judging import HANG_ON_RIDE
from geometry.judge.limits import SPEED_FOR_ANGLE
from geometry.judge.states import MEASURED, hangs
from geometry.words.one import One
from geometry.words.told import Told
from geometry.words.where import obstacle_of, with_axle

_TURNS = frozenset({
    "windup_cruise", "windup_launch", "joint_bind", "slip_left", "slip_engaged", "seal_travel", "gap", "pair_gap",
    "line_slack", "shock_bump", "shock_droop",
})  # fmt: skip
_TRAVELS = _TURNS | {
    "travel_reach", "lateral_shift", "shock_crossed", "bar_bind",
}  # fmt: skip
_ON_ITS_WAY = frozenset({"shackle_lean", "shock_lean"})
"""Findings that want the suspension's path at ride height."""
_STANDING = frozenset({"tube_shear", "joint_torque", "tail_down", "tail_up", "spring_station", "perches_equal",
                       "end_fits", "cap_size", "bearing_centred"})  # fmt: skip
"""Findings that a suspension that does not fit together leaves alone."""
_APART = frozenset({*perches.NEEDS, *clamp.NEEDS, *square.NEEDS, "front_against_rear"})
"""Findings that hang on their own entries alone, on no line and no spring."""
_MISFIT = {
    "leaf": "the springs as entered cannot hold the axle at its height: measure the eye, the shackle, both halves of "
    "the spring and the axle centre again",
    "links": "the links as entered do not fit together: measure their bolts again",
}

HUNG = (
    "the vehicle was measured on stands under its frame, with the axle hanging: measure it again on its tyres, or on "
    "stands under both axles"
)
TOO_THICK = "the mounts as entered cannot take a shim so thick"


def reason(one: One) -> str:
    """Say in half a sentence what stands in the way; of a gap that is known of the gearbox alone, what of the shaft."""
    return (
        barred(one)
        or _lost(one)
        or "it cannot be worked out from these measurements, though none is lacking: measure again"
    )


def barred(one: One) -> str:
    """Say why a value cannot be known, whatever of the entries that count as usual is entered besides; else nothing."""
    if hung(one):
        return HUNG
    if one.id == "pair_gap" and not with_axle(one.told.build, pairs_of(one.told.build)[obstacle_of(one.key)]):
        return _lines(one.told)
    if one.id in _APART:
        return _clamp(one.told) if one.id == "ubolt_reserve" else ""
    kinds = one.told.facts.kinds
    on_rubber = kinds.suspension == "links" and not kinds.rigid and one.id in _TURNS
    if one.value is None or one.clear is None or on_rubber:
        return _lost(one)
    return ""


def _lost(one: One) -> str:
    return _suspension(one) or _lines(one.told) or _beyond_the_table(one)


def hung(one: One) -> bool:
    """Whether it cannot be judged as the axle hung when the vehicle was measured."""
    return hangs(one.told.facts.v) and one.id in HANG_ON_RIDE


def _clamp(told: Told) -> str:
    """What of the clamp contradicts the plan."""
    held = clamp.clamped(told.facts)
    if not _known(told, held.wedge_mm):
        return "the plan has a wedge, and the one at the clamp is entered as none: enter how thick it will be"
    return "" if _known(told, held.block_mm) else "the plan takes off more block than there is: measure it again"


def _known(told: Told, *values: Any) -> bool:
    return all(told.number(value) is not None for value in values)


def _suspension(one: One) -> str:
    told, facts = one.told, one.told.facts
    ride, kinds = facts.ride, facts.kinds
    moves = bool(told.at((ride.lift_mm != 0.0) | (ride.up_mm != 0.0))) or one.id in _TRAVELS | _ON_ITS_WAY
    if one.id in _STANDING or not moves or kinds.suspension is None:
        return ""
    stuck = short = False
    if facts.positions and one.id in _TRAVELS:
        reached = told.at(facts.sweep.reachable)
        stuck, short = not reached.any(), one.id == "shock_crossed" and not reached.all()
    for wrong, why in (
        (not told.at(ride.known), _MISFIT[kinds.suspension]),
        (
            not _known(told, ride.shift.x, ride.shift.z, ride.turn_deg),
            "the axle cannot get where the planned lift wants it"
            if told.state in {None, MEASURED}
            else f"springs or links as entered cannot hold the axle as high as it stands {told.state}",
        ),
        (
            not _known(told, ride.shift.y),
            "the lateral link as entered cannot reach where the planned lift takes the axle",
        ),
        (stuck, "springs or links as entered cannot move the axle from ride height: measure their points again"),
        (short, "springs or links as entered do not reach both stops, between which the axle stands crossed"),
        (
            kinds.suspension == "links" and not kinds.rigid and one.id in _TURNS,
            "how far torque turns the axle is not known on links with rubber in their ends",
        ),
    ):
        if wrong:
            return why
    return ""


def _lines(told: Told) -> str:
    facts = told.facts
    if _by_shim(told):
        return TOO_THICK
    lines = [part.x for part in facts.pose.sections]
    if told.at(facts.taped) and not _known(told, *facts.pose.lengths_mm, *lines):
        return "two joints lie in one point: measure their places again"
    if _known(told, *facts.angles_deg) and not _known(told, facts.residual, facts.drive, facts.coast):
        return "a joint stands at a right angle, where it cannot turn: measure the slopes again"
    return ""


def _by_shim(told: Told) -> bool:
    facts = told.facts
    if not told.at(facts.mount_shim_mm != 0.0):
        return False
    mounts = [facts.v[f"powertrain.{end}_mount_mm.{axis}"] for end in ("front", "rear") for axis in (0, 1)]
    return _known(told, *mounts) and not _known(told, facts.powertrain.line.x)


def _beyond_the_table(one: One) -> str:
    if one.id == "operating_angle_most" and one.told.at(one.told.facts.speeds.cruise_rpm > SPEED_FOR_ANGLE[-1][0]):
        return f"the table of angles over shaft speed ends at {one.other(SPEED_FOR_ANGLE[-1][0], 'rpm')}"
    return ""
