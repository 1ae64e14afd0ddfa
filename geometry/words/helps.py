"""What would help where a finding holds and no change of the plan was found to mend it."""

import numpy as np

from geometry.judge.codes import Key, finding_id
from geometry.mechanics.vectors import plan_deg, side_slope_deg
from geometry.words.one import One
from geometry.words.sentences.brackets import fitting
from geometry.words.sentences.ends import conversion
from geometry.words.solution import Verdict
from geometry.words.told import Told
from geometry.words.where import place_of

_DOUBLE = "A double Cardan joint at the output with the pinion turned to it, less lift, "
_ANGLES = f"{_DOUBLE}or another height of output or axle, would help."
_EVEN = f"{_DOUBLE}a longer shaft, or a slower cruise would help."
_AGAIN = "Measure again, one entry after the other, before anything is cut."
HELP = {
    "pinion_residual": "Loose perches turned until both angles are equal, or a double Cardan joint with the pinion turned to it, would help.",
    "ends_parallel": "Loose perches, turned until both angles are equal, would help.",
    "straight_end": "The output turned toward the shaft as far as its mounts allow, or the {even} put there instead, with the pinion turned until the single joint runs straight, would help.",
    "operating_angle_most": "Less lift, a longer shaft, or a slower cruise would help.",
    "equivalent_angle": "Another height of the support bearing, or the pinion turned, would help.",
    "shaft_inertia_drive": _EVEN,
    "shaft_inertia_coast": _EVEN,
    "joint_bind": "Joints that turn farther, less lift, or {sooner} would help.",
    "shaft_slope": _ANGLES,
    "critical_speed": "A larger tube, or two shorter sections with a support bearing, would help.",
    "tube_shear": "A larger tube, a thicker wall or a stronger steel would help.",
    "joint_torque": "A larger series of joints would help.",
    "lift": "Less lift, or another way to lift, would help.",
    "front_block": "A spring of another arch would do it without a block.",
    "block_room": "A thicker block, lowering the vehicle less, would help.",
    "bump_left": "Lowering it less, or a shorter bump stop, would help.",
    "shackle_lean": "A shackle nearer to the old length, or its pivot moved, would help.",
    "slip_left": "A shorter shaft, a slip with a longer stroke, or {sooner} would help.",
    "slip_engaged": "A longer shaft, a slip with a longer spline, or {sooner} would help.",
    "windup_cruise": "A torque bar, stiffer springs, or the pinion set lower at rest would help.",
    "windup_launch": "A torque bar, or stiffer springs, would help.",
    "gap": "Moving what is in the way, a thinner tube, or less travel would help.",
    "pair_gap": "Moving or reshaping one of them, stiffer mounts, or a bump stop that ends the travel sooner would help.",
    "line_slack": "A longer one, or its bracket on the frame moved nearer to the axle, would help.",
    "lateral_lift": "A lateral link made longer or shorter by that much, or its frame end moved, would help.",
    "lateral_shift": "A longer link that lies level at ride height would help.",
    "shock_bump": "Other places for its eyes, or a bump stop that ends the travel sooner, would help.",
    "shock_droop": "Other places for its eyes, or straps that end the droop sooner, would help.",
    "shock_crossed": "Eyes nearer to the middle of the vehicle, or straps that end the droop sooner, would help.",
    "shock_place": "Other places for its eyes would help.",
    "shock_lean": "Its upper eye moved until it stands more upright would help.",
    "bar_bind": "Its frame end moved to where it binds least would help too.",
    "bar_lever": "Its ends moved farther below or above the axle's centre would help.",
    "drag_slope": "One end of either link moved until both have one slope would help.",
    "pinion_nose_up": "Less lift, or the pinion turned lower together with the output, would help.",
    "pinion_nose_down": "Turning the pinion's nose up, with the output lowered to match, would help.",
    "tail_down": "A higher rear mount would help.",
    "tail_up": "A lower rear mount would help.",
    "wedge_size": "Perches cut loose and welded anew at the right slope would help.",
    "end_fits": "Correct where the slip sits, or what is on the shaft's end.",
    "bearing_square": "Shims under one side of the bracket, or slots in it, would help.",
    "perches_equal": "Moving one perch until both are at the same distance would help.",
    "pad_twist": "Turning one perch on the tube until both seats read the same would help.",
    "perch_spacing": "Moving both perches until they are as far apart as the springs would help.",
    "perch_chain": _AGAIN,
    "ubolt_reserve": "New U-bolts with longer legs would help.",
    "wheelbases_equal": "Measuring the other axle against the frame first, then shifting one end of this one on its springs, would help.",
    "thrust_angle": "Shifting that end of the axle on its springs, before the perches are tacked, would help.",
    "axle_centred": "Moving the perches along the tube, both by that much, would help.",
    "toe_before": "Straightening the tube, or another flange, would help.",
    "camber_before": "Straightening the tube, or another flange, would help.",
    "toe_welded": "Straightening the tube, by somebody who does that, would help.",
    "camber_welded": "Straightening the tube, by somebody who does that, would help.",
    "stick_slope": _AGAIN,
    "tape_length": _AGAIN,
    "axle_station": _AGAIN,
    "axle_height": _AGAIN,
}
"""By finding; every one that can hold."""
_REPLACED = frozenset({"end_fits", "shock_bump", "shock_droop", "shock_crossed", "shock_place"})
"""Findings that another part would mend, whose sizes can be told."""
_NEARER = (
    "The support bearing nearer to the straight line from output to pinion, less lift, or a slower cruise would help."
)
_TWO_PIECES = {
    "equivalent_angle": HELP["equivalent_angle"],
    "pinion_residual": HELP["equivalent_angle"],
    "shaft_inertia_drive": _NEARER,
    "shaft_inertia_coast": _NEARER,
    "critical_speed": "A larger tube, or the support bearing moved so that both sections whirl alike, would help.",
}
_SIDEWAYS = "The support bearing moved sideways, into line with output and pinion, would help."
_BY_THE_BEARING = frozenset({"equivalent_angle", "pinion_residual", "shaft_inertia_drive", "shaft_inertia_coast"})
"""Findings of two pieces that hang on where the support bearing lies."""
_EVEN_NAMES = {"double_cardan": "double Cardan joint", "constant_velocity": "constant-velocity joint"}
_PINION_UP = (
    "Perches cut loose, and welded anew with the pinion turned until its joint runs straight, would help.",
    "The pinion turned until its joint runs straight would help.",
)
"""What would help a single joint at the pinion that is not straight, with welded perches and with loose ones."""
_LESS_LOAD = "Stiffer springs, or less load, would help."
_BESIDE = {"critical_speed": "Two shorter sections with a support bearing would do more."}
"""What would help beside a way out that does not clear a finding of one piece, where that way is what helps else."""
_BY_THE_SINGLE = frozenset({
    "pinion_residual", "windup_cruise", "shaft_inertia_drive", "shaft_inertia_coast",
})  # fmt: skip
"""Findings of one piece that hang on its single joint alone, where the other one is even."""
_LINKS = {
    "pinion_residual": "Links that turn the axle until both angles are equal would help.",
    "ends_parallel": "Links that turn the axle until both angles are equal would help.",
    "straight_end": "Links that turn the axle until the single joint runs straight would help.",
    "windup_cruise": "Link ends without rubber would help.",
    "windup_launch": "Link ends without rubber would help.",
    "wedge_size": "Longer or shorter upper links turn the axle without a wedge.",
}


def help_for(told: Told, key: Key) -> str:
    """Say what would help a finding that holds.

    Raises
    ------
    KeyError
        Where the finding never holds.
    """
    limit = finding_id(key)
    if limit == "lift":
        return _other_lift(told)
    if limit in _REPLACED:
        return (conversion(told, key[1]) if limit == "end_fits" else fitting(told, key)) or HELP[limit]
    own = _of_its_kind(told, limit)
    if own:
        return own
    if limit == "joint_bind" and not any(told.facts.kinds.even):
        return f"Joints that turn farther, a double Cardan joint, less lift, or {_sooner(told, key)} would help."
    return HELP[limit].format(sooner=_sooner(told, key)) if "{" in HELP[limit] else HELP[limit]


def _of_its_kind(told: Told, limit: str) -> str:
    """Say what helps this kind of vehicle otherwise than most; nothing where there is no such thing."""
    kinds = told.facts.kinds
    if limit == "bump_left":
        return "" if (told.number(told.facts.lift_mm) or 0.0) < 0.0 else _LESS_LOAD
    if limit == "windup_cruise" and _at_rest_too(told):
        limit = "pinion_residual"
    if kinds.pieces == 2 and limit in _TWO_PIECES:
        return _SIDEWAYS if limit in _BY_THE_BEARING and _bent_sideways(told) else _TWO_PIECES[limit]
    if kinds.pieces == 1 and any(kinds.even) and limit in _BY_THE_SINGLE:
        limit = "straight_end"
    if limit == "straight_end" and kinds.even[kinds.pinion_joint]:  # no turn of the axle straightens the other end
        return HELP[limit].format(even=_EVEN_NAMES[kinds.types[kinds.pinion_joint]])
    if kinds.suspension == "links" and limit in _LINKS:
        return _LINKS[limit]
    if limit == "straight_end":
        return _PINION_UP[kinds.loose_perches]
    return HELP[limit] if limit == "pinion_residual" else ""


def help_beside(told: Told, key: Key, after: Verdict) -> str:
    """Say what would help beside a way out after which a finding has a verdict; nothing where that is enough."""
    limit = finding_id(key)
    if limit in _BESIDE and told.facts.kinds.pieces == 1:
        return "" if after == "clear" else _BESIDE[limit]
    return help_for(told, key) if after == "hold" else ""


def _at_rest_too(told: Told) -> bool:
    """Whether the pinion is driven too unevenly without any torque as well."""
    return any(told.verdict(key) == "hold" for key in told.found if key[0] == "pinion_residual")


def _bent_sideways(told: Told) -> bool:
    """Whether a shaft in two pieces bends more to the side than up or down at its support bearing."""
    front, rear = told.facts.pose.sections
    aside, up = (told.number(np.abs(slope(rear) - slope(front))) for slope in (plan_deg, side_slope_deg))
    return aside is not None and up is not None and aside > up


def _sooner(told: Told, key: Key) -> str:
    """Say what ends the travel, or the wind-up, short of where a finding is worst; where that is not known, the droop."""
    place = place_of(One(told.worst(key), key)) if key in told.found else None
    if place is not None and place.wound:
        return "a torque bar"
    up = place is not None and place.travel_mm > 0.0
    return "a bump stop that ends the travel sooner" if up else "straps that end the droop sooner"


def _other_lift(told: Told) -> str:
    kinds = told.facts.kinds
    if kinds.suspension == "links":
        return (
            "Other springs over the links would help."
            if kinds.by != "spring"
            else "Less lift, or longer links, would help."
        )
    if kinds.by == "block" and not kinds.over:
        return "More arch in the springs, or the spring laid over the axle, would help."
    return HELP["lift"]
