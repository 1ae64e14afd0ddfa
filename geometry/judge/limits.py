"""Every limit that a finding judges by, in one table, each with its basis.

`clear` is the line up to which a value passes, `hold` the line beyond which it must not be tacked; between them lies
caution. `sense` says whether the value must stay below ("most") or above ("least") them. A limit that depends on the
build (a share of a critical speed, of the yield) is held here as the share.
"""

from enum import StrEnum
from typing import Literal, NamedTuple

import numpy as np

from geometry.mechanics.vectors import Floats


class Basis(StrEnum):
    """Where a limit comes from."""

    PUBLISHED = "published"
    HANDBOOK = "handbook, from memory"
    PRACTICE = "common practice"
    OWN_ENTRY = "your own entry"


class Limit(NamedTuple):
    """One row of the table; `title` names the good case, `trouble` what is wrong where something is."""

    id: str
    title: str
    trouble: str
    clear: float
    hold: float
    unit: str
    sense: Literal["most", "least"]
    basis: Basis
    source: str

    @property
    def basis_text(self) -> str:
        """The basis in words, for the finding."""
        return f"{self.basis.value}: {self.source}" if self.source else self.basis.value


NEVER = float("inf")
"""For a limit that warns but does not stop the work, or, negative, for one that has to be met from above."""

_RESIDUAL = "400: two-joint table citing SAE AE-7, 3.1.1; 300: tighter handbook practice, from memory"
_JERK = "1,000 rad/s² on the shaft itself, 2,000 the most; the same rule as the usual table of angle over shaft speed"
_LINEAR = "your gauge and tape uncertainty, combined by the linear law of JCGM 100"
_STRAIGHT = "both flanges parallel within 0.2°; beyond half a degree axle shafts, bearings and seals run askew"
_TAPE = "your tape uncertainty, combined by the linear law of JCGM 100"
LIMITS = {
    limit.id: limit
    for limit in (
        Limit("ends_parallel", "Ends cancel", "Ends apart", 1.0, 3.0, "deg", "most", Basis.PRACTICE, "joint angles equal within a degree"),
        Limit("straight_end", "Single joint runs straight", "Single joint bent", 2.0, 4.0, "deg", "most", Basis.PRACTICE, "the single joint opposite an even one within two degrees"),
        Limit("operating_angle_least", "Needles roll", "Needles stand", 0.5, -NEVER, "deg", "least", Basis.PRACTICE, "half a degree or more, so that the needles roll"),
        Limit("operating_angle_most", "Joint angle for its speed", "Joint angle too large for its speed", 1.0, 1.25, "deg", "most", Basis.HANDBOOK, "operating angle against shaft speed for 5,000 h, rows of 1,500 to 5,000 rpm; a quarter more is the end of the caution band"),
        Limit("first_joint", "First joint nearly straight", "First joint bent", 1.5, NEVER, "deg", "most", Basis.PRACTICE, "the first joint of a two-piece shaft at half a degree to one and a half"),
        Limit("equivalent_angle", "Joints cancel", "Joints do not cancel", 3.0, 3.0, "deg", "most", Basis.HANDBOOK, "an equivalent angle of three degrees at most where no speed is known"),
        Limit("joint_bind", "Joint within reach", "Joint short of reach", 3.0, 1.0, "deg", "least", Basis.OWN_ENTRY, "angle left to the joint's greatest angle; three degrees to spare and never less than one is common practice"),
        Limit("shaft_slope", "Shaft slope", "Shaft steep", 7.0, 15.0, "deg", "most", Basis.PRACTICE, "up to 7 usual, up to 15 tolerated on one-piece single-joint shafts; where its joints are judged and pass, the slope itself does no harm"),
        Limit("pinion_residual", "Even running at the pinion", "Uneven running at the pinion", 300.0, 400.0, "rad/s²", "most", Basis.PUBLISHED, _RESIDUAL),
        Limit("residual_at_top", "Even running at top speed", "Uneven running at top speed", 600.0, NEVER, "rad/s²", "most", Basis.PRACTICE, "twice what is asked at cruise, as it is driven there for minutes only"),
        Limit("shaft_inertia_drive", "Shaft even, driving", "Shaft uneven, driving", 1000.0, 2000.0, "rad/s²", "most", Basis.HANDBOOK, _JERK),
        Limit("shaft_inertia_coast", "Shaft even, coasting", "Shaft uneven, coasting", 1000.0, 2000.0, "rad/s²", "most", Basis.HANDBOOK, _JERK),
        Limit("inertia_at_top", "Shaft even, top speed", "Shaft uneven, top speed", 2000.0, NEVER, "rad/s²", "most", Basis.PRACTICE, "twice what is asked at cruise, as it is driven there for minutes only"),
        Limit("critical_speed", "Below critical speed", "Too near critical speed", 0.65, 0.70, "rpm", "most", Basis.PRACTICE, "0.65 of the pinned-beam value is clear, 0.70 the most; measured whirl of car shafts lies at 0.84 to 0.86 of it"),
        Limit("half_critical_speed", "Clear of half critical speed", "Cruise at half critical speed", 0.08, -NEVER, "rpm", "least", Basis.PRACTICE, "cruise at least 8 % away from half the critical speed, as joints excite twice a turn"),
        Limit("speeds_agree", "Speeds agree", "Cruise above the highest speed", 1.0, NEVER, "rpm", "most", Basis.OWN_ENTRY, "cruising speed against top speed, redline and gears"),
        Limit("tube_shear", "Tube strong enough", "Tube too weak", 0.5, 0.8, "MPa", "most", Basis.PRACTICE, "half the yield in shear (yield/√3, distortion energy) is usual, 0.8 the most; of aluminium the strength beside the weld"),
        Limit("joint_torque", "Joint strong enough", "Joint too weak", 1.0, 1.0, "N·m", "most", Basis.OWN_ENTRY, "the joint's own torque limit"),
        Limit("joint_life", "Joint lasts", "Joint wears early", 5000.0, -NEVER, "h", "least", Basis.PRACTICE, "5,000 h looked for on a road vehicle; life law of handbooks, from memory"),
        Limit("pinion_nose_up", "Pinion nose not high", "Pinion nose high", 8.0, 20.0, "deg", "most", Basis.PRACTICE, "beyond about 8° nose up the front pinion bearing may run dry unless the fill is raised"),
        Limit("pinion_nose_down", "Pinion nose not low", "Pinion nose low", 4.0, 10.0, "deg", "most", Basis.PRACTICE, "beyond about 4° nose down oil stands against the pinion seal and the fill plug misleads"),
        Limit("tail_down", "Powertrain tail not low", "Powertrain tail low", 5.0, 10.0, "deg", "most", Basis.PRACTICE, "3 to 5 degrees tail down is usual; beyond, oil pick-up and fill levels want checking"),
        Limit("tail_up", "Powertrain tail not high", "Powertrain tail high", 1.0, 4.0, "deg", "most", Basis.PRACTICE, "engines are made to sit level or tail down; tail up, oil runs from the pick-up and the float level is off"),
        Limit("perches_equal", "Perches equal", "Perches unequal", 1.6, 3.2, "mm", "most", Basis.PRACTICE, "both perches to the same measurement within 1/16 in"),
        Limit("pad_twist", "Perches in one plane", "Perches twisted against each other", 0.2, 0.5, "deg", "most", Basis.PRACTICE, "both seats in one plane within 0.2°; beyond half a degree the springs twist the tube and each other, and the bushes work all the time"),
        Limit("perch_spacing", "Perches as far apart as the springs", "Perches not as far apart as the springs", 1.6, 3.2, "mm", "most", Basis.PRACTICE, "perches as far apart as the springs' eyes within 1/16 in, else the eyes are pressed sideways"),
        Limit("perch_chain", "Perches and flanges add up", "Perches and flanges do not add up", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, _TAPE),
        Limit("perch_casting", "Perches on the tube alone", "Perch at the casting", 12.7, -NEVER, "mm", "least", Basis.PRACTICE, "half an inch of plain tube between perch and casting, so that weld and heat stay on the tube"),
        Limit("ubolt_reserve", "U-bolts long enough", "Legs of the U-bolts short", 6.35, 0.0, "mm", "least", Basis.PRACTICE, "a quarter of an inch of thread or more out of the nut, and never a nut that is not full"),
        Limit("wheelbases_equal", "Wheelbase alike left and right", "Wheelbase uneven left and right", 3.2, 6.4, "mm", "most", Basis.PRACTICE, "left and right alike within 1/8 in, twice that the most"),
        Limit("thrust_angle", "Axle square to the frame", "Axle not square to the frame", 0.2, 0.4, "deg", "most", Basis.PRACTICE, "thrust angle within 0.2°, diagonals that differ by about 1/8 in; beyond twice that the vehicle pulls to one side"),
        Limit("axle_centred", "Axle in the frame's middle", "Axle off the frame's middle", 6.35, 19.05, "mm", "most", Basis.PRACTICE, "centred within 1/4 in; beyond 3/4 in tyre and spring stand visibly off to one side"),
        Limit("toe_before", "Flanges parallel from above", "Flanges toe in or out", 0.2, 0.5, "deg", "most", Basis.PRACTICE, _STRAIGHT),
        Limit("camber_before", "Flanges parallel from behind", "Flanges lean in or out", 0.2, 0.5, "deg", "most", Basis.PRACTICE, _STRAIGHT),
        Limit("toe_welded", "Tube straight from above, welded", "Tube bent by welding, from above", 0.2, 0.5, "deg", "most", Basis.PRACTICE, _STRAIGHT),
        Limit("camber_welded", "Tube straight from behind, welded", "Tube bent by welding, from behind", 0.2, 0.5, "deg", "most", Basis.PRACTICE, _STRAIGHT),
        Limit("wedge_size", "Wedge of a safe size", "Wedge too thick", 4.0, 6.0, "deg", "most", Basis.PRACTICE, "steel wedges to 4°; to 6° only bolted to the spring; beyond, the perch is welded anew"),
        Limit("caster", "Caster kept", "Caster changed", 0.0, NEVER, "deg", "most", Basis.PRACTICE, "a wedge on a front axle turns the caster degree for degree"),
        Limit("stick_slope", "Stick slope and tape agree", "Stick slope and tape disagree", 1.0, 3.0, "deg", "most", Basis.OWN_ENTRY, _LINEAR),
        Limit("tape_length", "Length and positions agree", "Length and positions disagree", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, _TAPE),
        Limit("axle_station", "Axle and wheelbase agree", "Axle and wheelbase disagree", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, _TAPE),
        Limit("axle_height", "Axle and tyre agree", "Axle and tyre disagree", 1.0, 3.0, "mm", "most", Basis.OWN_ENTRY, _TAPE),
        Limit("spring_station", "Springs and tape agree", "Springs and tape disagree", 1.0, NEVER, "mm", "most", Basis.OWN_ENTRY, _TAPE),
        Limit("lift", "Lift can be had", "Lift out of reach", 0.0, 0.0, "mm", "most", Basis.OWN_ENTRY, "what springs or links, as you measured them, can do"),
        Limit("front_block", "No block in front", "Block under front spring", 0.0, 0.0, "mm", "most", Basis.PRACTICE, "a block under a front spring is unsafe, as braking and steering turn the axle on it, and unlawful in many places"),
        Limit("block_room", "Axle clears its spring", "Axle near its spring", 25.4, 0.0, "mm", "least", Basis.PRACTICE, "an inch between main leaf and axle tube, for the lower leaves and the perch"),
        Limit("bump_left", "Enough bump travel left", "Little bump travel left", 25.4, 6.35, "mm", "least", Basis.PRACTICE, "an inch of bump travel or more after lowering; on less than a quarter it rides on the stop"),
        Limit("shackle_lean", "Shackle upright enough", "Shackle leans too far", 45.0, 60.0, "deg", "most", Basis.PRACTICE, "up to 45° off plumb at ride height; farther over it binds or turns inside out"),
        Limit("shackle_lift", "Lift by shackles usual", "Much lift by shackles", 50.8, NEVER, "mm", "most", Basis.PRACTICE, "longer shackles lift by two inches at most; on longer ones the axle moves sideways"),
        Limit("travel_reach", "Travel reached", "Travel not reached", 0.0, NEVER, "mm", "most", Basis.OWN_ENTRY, "the stops that you entered"),
        Limit("slip_left", "Enough slip left", "Little slip left", 19.05, 12.7, "mm", "least", Basis.PRACTICE, "3/4 in before the slip bottoms, never less than 1/2 in"),
        Limit("slip_engaged", "Enough spline engaged", "Little spline engaged", 1.5, 1.0, "mm", "least", Basis.PRACTICE, "one and a half spline diameters engaged, never less than one"),
        Limit("seal_travel", "Seal follows the slip", "Seal too short for the slip", 1.0, NEVER, "mm", "most", Basis.OWN_ENTRY, "the travel of boot or lip that you entered"),
        Limit("end_fits", "End fits", "End does not fit", 0.0, 0.0, "apart", "most", Basis.PRACTICE, "by caliper: caps, pilots and seals alike within 0.25 mm, spans and splines within 0.5 mm, bolt circles and bolts within 1 mm; teeth and bolts the same number"),
        Limit("cap_size", "Caps are their series'", "Caps are not their series'", 0.5, NEVER, "mm", "most", Basis.PRACTICE, "within half a millimetre of the series, whose sizes are from memory; what was measured counts"),
        Limit("bearing_square", "Bearing square to its shaft", "Bearing not square to its shaft", 2.0, 5.0, "deg", "most", Basis.PRACTICE, "the housing square to the shaft within two degrees, from the side and from above together; beyond five the rubber works all the time"),
        Limit("bearing_centred", "Bearing in the middle of its rubber", "Bearing off its rubber's middle", 3.2, NEVER, "mm", "most", Basis.PRACTICE, "in the middle within 1/8 in at rest, so that the rubber has room both ways"),
        Limit("windup_cruise", "Even under cruise torque", "Uneven under cruise torque", 300.0, 400.0, "rad/s²", "most", Basis.PUBLISHED, _RESIDUAL),
        Limit("windup_launch", "Wind-up at launch", "Springs wind up at launch", 4.0, 8.0, "deg", "most", Basis.PRACTICE, "a few degrees are usual on plain leaf springs; much more wants a torque bar"),
        Limit("gap", "Gap", "Gap", 25.4, 12.7, "mm", "least", Basis.PRACTICE, "an inch of air to anything that moves, two to fuel and brake lines, unless you entered another gap; never less than half an inch"),
        Limit("pair_gap", "Gap of two outlines", "Gap of two outlines", 25.4, 12.7, "mm", "least", Basis.PRACTICE, "an inch of air between what axle, engine and frame carry, two to fuel and brake lines, unless you entered another gap; never less than half an inch"),
        Limit("line_slack", "Line long enough", "Line too short", 25.4, 6.35, "mm", "least", Basis.PRACTICE, "an inch of slack, or a twentieth of the distance, with its ends farthest apart, unless you entered another; with less than a quarter of an inch, tape and pressure leave none"),
        Limit("lateral_shift", "Side shift over the travel", "Axle drawn sideways over the travel", 13.0, 25.0, "mm", "most", Basis.PRACTICE, "half an inch over the travel goes unnoticed, an inch is the most"),
        Limit("link_slope", "Lateral link level enough", "Lateral link slopes", 5.0, NEVER, "deg", "most", Basis.PRACTICE, "level within 5° at ride height, seen from behind, so that it draws the axle to either side alike"),
        Limit("drag_slope", "Drag link like the lateral link", "Drag link unlike the lateral link", 2.0, 6.0, "deg", "most", Basis.PRACTICE, "both at one slope seen from the front, so that bumps do not steer"),
        Limit("shock_bump", "Shock short enough closed", "Shock too long closed", 12.7, 6.35, "mm", "least", Basis.PRACTICE, "half an inch of rod left with the bump rubber squashed, never less than a quarter; a shock that is the stop breaks its mounts"),
        Limit("shock_droop", "Shock long enough open", "Shock too short open", 12.7, 6.35, "mm", "least", Basis.PRACTICE, "half an inch of rod left in full droop, never less than a quarter; a shock that is the strap is pulled apart"),
        Limit("shock_crossed", "Shock free with the axle crossed", "Shock jams with the axle crossed", 6.35, 0.0, "mm", "least", Basis.PRACTICE, "a quarter of an inch left with one side on its stop and the other in full droop"),
        Limit("shock_place", "Shock at mid-stroke", "Shock off mid-stroke", 0.2, 0.5, "mm", "most", Basis.PRACTICE, "ride height in the middle of the stroke within a fifth of it either way"),
        Limit("shock_lean", "Shock upright enough", "Shock leans too far", 30.0, 60.0, "deg", "most", Basis.PRACTICE, "up to 30° from the way that its lower eye goes, where three quarters of its damping are left; at 60° a quarter is"),
        Limit("bar_bind", "Torque bar free", "Torque bar binds", 0.8, 1.0, "mm", "most", Basis.PRACTICE, "the float a quarter more than the travel asks for; without one, 1/8 in is taken by bushes, 1/4 in at the most"),
        Limit("bar_lever", "Torque bar has lever", "Torque bar short of lever", 127.0, 50.8, "mm", "least", Basis.PRACTICE, "five inches between the bar's line and the axle's centre; on less than two it holds nothing"),
        Limit("lateral_lift", "Axle centred after the lift", "Axle off centre after the lift", 6.35, 19.05, "mm", "most", Basis.PRACTICE, "centred within 1/4 in; beyond 3/4 in tyre and spring stand visibly off to one side"),
        Limit("front_against_rear", "Front against rear", "Front and rear turn apart", 1.0, NEVER, "%", "most", Basis.PRACTICE, "locked together, front and rear shaft within 1 % of each other over the same road; tyres roll on a radius 2 to 4 % more than the loaded one"),
        Limit("gauge_resolution", "Gauge fine enough", "Gauge too coarse", 1.0, NEVER, "deg", "most", Basis.OWN_ENTRY, _LINEAR),
    )
}  # fmt: skip

SQUASH_MM = 25.0
"""How far a bump rubber may squash where that is not entered: common practice, no source."""
BAR_GIVE_MM = 3.2
"""What the bushes of a torque bar give before it holds: an eighth of an inch, common practice."""
BAR_GIVE_MOST_MM = 6.35
"""The most that they take over the travel: a quarter of an inch, common practice."""
GAP_NEAR_LINES_MM = 50.8
"""Air wanted to fuel and brake lines: two inches, common practice."""
FAR_MM = 500.0
"""Outlines that never come nearer than this are not told of as a pair: a judgement, no source."""
SLACK_SHARE = 0.05
"""Slack wanted of a flexible line as a share of the farthest that its ends come apart: common practice.

A hose under pressure grows up to 4 per cent shorter: SAE J517, from memory.
"""
USUAL_SPLINE_MM = 25.4
"""Least spline diameter that road shafts have, taken where none is entered: common practice."""
LARGE_SPLINE_MM = 50.8
"""Largest usual spline diameter: common practice."""

SPEED_FOR_ANGLE = (
    (1500.0, 11.5), (2000.0, 8.7), (2500.0, 7.0), (3000.0, 5.8), (3500.0, 5.0), (4000.0, 4.2), (4500.0, 3.7), (5000.0, 3.2),
)  # fmt: skip
"""Shaft speed, rpm, and operating angle, deg, for a joint life of 5,000 h: handbook table, from memory."""
_SPEEDS, _ANGLES = (np.array(column) for column in zip(*SPEED_FOR_ANGLE, strict=True))


def allowed_angle_deg(rpm: Floats) -> Floats:
    """Largest operating angle for shaft speeds, degrees: the table, straight between its rows.

    Below its first row the first row's angle holds, which is on the safe side; beyond its last row it says nothing: nan.

    >>> [float(allowed_angle_deg(np.array(speed))) for speed in (900.0, 2250.0, 2500.0, 5001.0)]
    [11.5, 7.85, 7.0, nan]
    """
    return np.where(rpm > _SPEEDS[-1], np.nan, np.interp(rpm, _SPEEDS, _ANGLES))


def allowed_rpm(operating_deg: Floats) -> Floats:
    """Highest shaft speed for operating angles, rpm: the same table read the other way.

    An angle smaller than its last row's is good for that row's speed, at least; one beyond its first row's for none: nan.

    >>> [float(allowed_rpm(np.array(angle))) for angle in (1.0, 7.0, 11.6)]
    [5000.0, 2500.0, nan]
    """
    return np.where(operating_deg > _ANGLES[0], np.nan, np.interp(operating_deg, _ANGLES[::-1], _SPEEDS[::-1]))
