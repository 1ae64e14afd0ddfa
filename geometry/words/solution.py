"""What `solve` returns: whole, frozen, in SI-mm, with None for what the build cannot give."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cached_property
from typing import Any, Final, Literal

import numpy as np

Verdict = Literal["clear", "caution", "hold", "unknown"]
BAD: Final = frozenset[Verdict | None]({"caution", "hold"})
"""Verdicts that something is wrong; what is not known is neither wrong nor right."""
Part = Literal[
    "vehicle", "powertrain", "shaft", "front_joint", "centre_joint", "rear_joint", "bearing", "axle", "suspension",
    "perches", "obstacles", "shocks", "torque_bars", "lateral_link", "flexible_lines", "readings",
]  # fmt: skip
"""What a finding is about: the part of the drawing that carries its flag."""
_OF_TWO: Final = "of two drivelines"
"""Marks what is said only where it is, so that the answer to a vehicle of one driveline has no more than that."""
Triple = tuple[float, float, float]
Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Angles:
    """Gauge angles of the lines after the plan, with the vehicle level on its tyres, degrees.

    The uncertainties are the half-widths within which the value lies nearly always (95 per cent), or None without a
    stated gauge or tape. The shaft's are the rear section's on a two-piece shaft.
    """

    output_slope_deg: float | None
    shaft_slope_deg: float | None
    pinion_slope_deg: float | None
    output_plan_deg: float | None
    shaft_plan_deg: float | None
    pinion_plan_deg: float | None
    front_shaft_slope_deg: float | None
    frame_slope_deg: float | None
    output_uncertainty_deg: float | None
    shaft_uncertainty_deg: float | None
    pinion_uncertainty_deg: float | None


@dataclass(frozen=True, slots=True)
class JointState:
    """One joint at ride height: the true angle in space, and how it looks from the side and from above."""

    name: Literal["front", "centre", "rear"]
    type: Literal["cardan", "double_cardan", "constant_velocity"]
    operating_deg: float | None
    side_deg: float | None
    plan_deg: float | None
    uncertainty_deg: float | None
    secondary_couple_nm: float | None
    relative_life: float | None
    life_hours: float | None
    allowed_rpm: float | None


@dataclass(frozen=True, slots=True)
class ShaftSection:
    """One tube between two joints."""

    name: Literal["front", "rear", "whole"]
    length_mm: float | None
    slope_deg: float | None
    critical_rpm: float | None
    shear_mpa: float | None
    twist_deg: float | None
    mass_kg: float | None


@dataclass(frozen=True, slots=True)
class ShaftState:
    """The shaft, its speeds and its loads. `length_mm` is the rear section's on a two-piece shaft, which slips."""

    length_mm: float | None
    length_uncertainty_mm: float | None
    cruise_rpm: float | None
    top_speed_rpm: float | None
    max_rpm: float | None
    critical_rpm: float | None
    torque_nm: float | None
    shock_torque_nm: float | None
    """Launch torque times the shock factor: what tube and joints are judged by."""
    low_gear_torque_nm: float | None
    wheel_slip_torque_nm: float | None
    shear_mpa: float | None
    twist_deg: float | None
    mass_kg: float | None
    sections: tuple[ShaftSection, ...]


@dataclass(frozen=True, slots=True)
class Motion:
    """What the joints do to the motion at cruising speed, exact, rad/s². `equivalent_angle_deg` needs no speed."""

    pinion_residual_rad_s2: float | None
    drive_inertia_rad_s2: float | None
    coast_inertia_rad_s2: float | None
    equivalent_angle_deg: float | None
    relative_phase_deg: tuple[float, ...] | None


@dataclass(frozen=True, slots=True)
class Travel:
    """Everything over the axle's travel, droop first; one list entry for each position of `axle_mm` (bump positive)."""

    axle_mm: tuple[float, ...]
    length_mm: tuple[float | None, ...] | None
    operating_deg: tuple[tuple[float | None, ...], ...] | None
    pinion_slope_deg: tuple[float | None, ...] | None
    pinion_residual_rad_s2: tuple[float | None, ...] | None
    slip_left_mm: tuple[float | None, ...] | None
    engaged_mm: tuple[float | None, ...] | None
    gap_mm: tuple[float | None, ...] | None


@dataclass(frozen=True, slots=True)
class Windup:
    """How far torque winds the axle up: both springs' stiffness, and the nose's rise at cruise and at launch."""

    stiffness_nm_per_deg: float | None
    cruise_deg: float | None
    launch_deg: float | None
    cruise_torque_nm: float | None


@dataclass(frozen=True, slots=True)
class SetPoints:
    """The numbers to set by gauge and tape before tacking, all with the vehicle level on its tyres at ride height.

    They are of the state in which it was measured; `Solution.states` tells what they come to in the others.

    They are of one variant, and so are `states`, `buying`, `lines` and `brackets` of the solution: the one recommended,
    which is the first remedy of the first finding that has one, or else the plan. `perch_to_pinion_deg` is the angle from the spring seat's flat to the pinion line, the same on both
    perches; `powertrain_rise_mm` and `powertrain_aft_mm` are how far the engine moves from where it was measured, None
    where it is not planned to; `axle_shim_deg` is None with loose perches, which take no wedge; `shackle_length_mm` is the shackle to make
    for a lift by shackle, `lateral_link_mm` the lateral link's length, bolt to bolt. No finer than can be set.
    """

    output_slope_deg: float | None
    pinion_slope_deg: float | None
    axle_shim_deg: float | None
    mount_shim_mm: float | None
    powertrain_rise_mm: float | None
    powertrain_aft_mm: float | None
    perch_to_pinion_deg: float | None
    shaft_slope_deg: float | None
    shaft_length_mm: float | None
    slip_engaged_mm: float | None
    slip_stroke_mm: float | None
    shackle_length_mm: float | None
    lateral_link_mm: float | None
    link_centring_mm: float | None
    """Length of the lateral link with which the axle is central at the planned height."""
    bearing_height_mm: float | None
    tack_to_pinion_deg: float | None = None
    """Seat to pinion to tack at, so that the pull of the weld brings it right; None where no pull is reckoned with."""
    perch_spacing_mm: float | None = None
    flange_to_perch_mm: float | None = None
    """Where the perches belong: under their springs, the same from both flanges."""
    tube_underside_mm: float | None = None
    """From the floor up to the underside of the axle tube."""
    pinion_aside_mm: float | None = None
    """How far the pinion's joint lies from the vehicle's middle, to the right; less than nought: to the left."""
    checks: tuple["TapeCheck", ...] = ()


@dataclass(frozen=True, slots=True)
class TapeCheck:
    """A second check by tape of an angle that is set: how much higher one point is over the floor than another one.

    `tenth_mm` is by how much that changes for each tenth of a degree.
    """

    of: Literal["output", "pinion", "shaft"]
    rise_mm: float
    tenth_mm: float


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of the buying list: a part, how many, its sizes as sold, mm, and what is said of it.

    `wants` are the entries without which a size is not known; `sizes` are those that are.
    """

    name: str
    count: int
    sizes: tuple[tuple[str, float], ...]
    says: str
    wants: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OrderedEnd:
    """One end of the shaft as it is ordered: the cross there, by caliper or by its series, and how far its joint turns.

    `cap_mm`, `span_mm` and `clip` are of the caps that go to gearbox or pinion. `from_memory` tells that a size is the
    series' and not measured; `most_deg` is the joint's largest angle over the travel.
    """

    end: Literal["gearbox", "axle", "bearing"]
    joint: Literal["front", "centre", "rear"]
    series: str | None
    cap_mm: float | None
    span_mm: float | None
    clip: str | None
    from_memory: bool
    operating_deg: float | None
    most_deg: float | None


@dataclass(frozen=True)
class ShaftOrder:
    """What a shaft is ordered by besides its entries: of the section that slips, joint centre to joint centre, mm.

    `length_mm` is at rest at ride height after the plan, in the state that it is driven in, which `state` names where
    there are several: its springs settled, with the least that it carries. `in_states` tells the length in each of them.
    The travel ends at the same stops in all of them: `least_mm` and `most_mm` are over the whole travel, at rest
    and wound up by launch torque where that is settled; `least_at_mm` and `most_at_mm` say where, bump positive, which
    need not be at its ends. `at_droop_mm` and `at_bump_mm` are
    what the tape reads with the axle hanging, and at the first touch of the bump stop. `collapsed_mm` and `extended_mm`
    are where the spline bottoms and where it leaves its sleeve, `keep_free_mm` and `keep_engaged_mm` what is wanted at
    either end. It works made up to `longer_mm` longer or `shorter_mm` shorter; less than nought: it must be that much the
    other way. `slip_travel_mm` is how far the slip, and its seal, moves over the travel.

    `phase_deg` is how far the yokes are out of line, `phase_teeth` the same in teeth of the spline, `tooth_deg` one
    tooth. The peaks with one tooth out are the worse of both ways, at cruise, `tooth_verdict` what they would be.
    """

    section: Literal["whole", "front", "rear"]
    length_mm: float | None
    state: str | None
    in_states: tuple[tuple[str, float | None], ...]
    known_within_mm: float | None
    least_mm: float | None
    most_mm: float | None
    least_at_mm: float | None
    most_at_mm: float | None
    at_droop_mm: float | None
    at_bump_mm: float | None
    collapsed_mm: float | None
    extended_mm: float | None
    keep_free_mm: float
    keep_engaged_mm: float | None
    longer_mm: float | None
    shorter_mm: float | None
    slip_travel_mm: float | None
    phase_deg: float | None
    phase_teeth: float | None
    tooth_deg: float | None
    tooth_residual_rad_s2: float | None
    tooth_inertia_rad_s2: float | None
    tooth_verdict: Verdict | None
    ends: tuple[OrderedEnd, OrderedEnd]
    """At the gearbox, at the axle."""
    centre: OrderedEnd | None
    """At the support bearing of a shaft of two sections."""
    length_says: tuple[str, ...]
    """How far off the length may be, how well it is known, what it is in other states, and a second check by tape."""
    length_short: tuple[str, ...]
    """How far off the length may be, and how well it is known, in a few letters each."""
    phase_says: tuple[str, ...]
    """What a tooth out does, and the yokes' marks."""
    on_tubes: Callable[[], tuple[float | None, ...]] = field(repr=False, compare=False)
    """Works out `largest_tubes_mm`."""

    @cached_property
    def largest_tubes_mm(self) -> tuple[float | None, ...]:
        """Of each section, front to rear: the outside diameter at which its tube surely still keeps the gaps wanted."""
        return self.on_tubes()

    @property
    def says(self) -> tuple[str, ...]:
        """All that is said beside the numbers."""
        return (*self.length_says, *self.phase_says)


@dataclass(frozen=True, slots=True)
class LineToBuy:
    """One hose, cable or wire: the farthest that its ends come apart, where, and the length to buy, mm.

    `apart_mm` is over the travel of both wheels together and with one of them hanging; `slack_mm` is what is wanted
    besides, `buy_mm` both together, rounded up to what is sold.
    """

    apart_mm: float | None
    where: str
    slack_mm: float | None
    buy_mm: float | None


@dataclass(frozen=True, slots=True)
class UsedState:
    """One state that the vehicle is used in, and what the set-points come to there, as gauge and tape then read.

    `driven_mm` and `other_mm` are how much lower the frame stands over the driven axle, and over the other one, than
    where the plan is set.
    """

    name: str
    driven_mm: float | None
    other_mm: float | None
    output_slope_deg: float | None
    pinion_slope_deg: float | None
    shaft_slope_deg: float | None
    shaft_length_mm: float | None
    slip_engaged_mm: float | None
    taken: str = ""
    """What was taken as usual for it, in words; nothing where all of it is entered."""


@dataclass(frozen=True, slots=True)
class Worse:
    """A finding that gets worse by a remedy: another verdict, or farther beyond its line."""

    id: str
    part: str
    verdict: Verdict
    value: float | None
    end: Literal["front", "rear"] | None = field(default=None, metadata={_OF_TWO: True})
    """Whose it is, where it is the other driveline's; None where it is this one's."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """A way out that was computed on the exact model: what to do, the edits that do it, and what it then comes to.

    `after` and `after_verdict` are the finding's value and verdict with the remedy as rounded to what can be bought or
    cut, the value as far as entered where that is unknown; `verdict` that of the whole build; `worse` names each finding
    that does not gain by it; `holds` and `cautions` count the findings of the whole build that then hold, and that are
    a caution. With two drivelines those are of this one alone; `worse` names findings of the other one too.
    """

    says: str
    changes: Mapping[str, Any]
    after: float | None
    after_verdict: Verdict
    verdict: Verdict
    worse: tuple[Worse, ...]
    holds: int
    cautions: int


@dataclass(frozen=True, slots=True)
class Finding:
    """One judgement. `id` with `part` is unique.

    `limit` is the line up to which it is clear, `hold_limit` the one beyond which it holds the job up, whatever the
    verdict; None where there is no such line. `sense` says on which side of them the value must lie.
    """

    id: str
    title: str
    part: Part
    verdict: Verdict
    value: float | None
    limit: float | None
    hold_limit: float | None
    sense: Literal["at most", "at least"]
    unit: str
    says: str
    remedy: Remedy | None
    alternatives: tuple[Remedy, ...]
    basis: str
    entry: str
    """Dotted path of the entry in the build that this finding hangs on most, for bringing it forward."""
    travel_mm: float | None = None
    """Where over the travel the value is, mm of bump; None where no travel has a part in it or the place is not known."""
    launch: bool = False
    """Whether it is with the axle wound up by launch torque there."""
    state: str | None = None
    """In which of the states that the vehicle is used in it is worst; None where there is but one, or it turns nothing."""

    @property
    def bad(self) -> bool:
        """Whether it warns or holds, so that its title names the trouble."""
        return self.verdict in BAD


@dataclass(frozen=True, slots=True)
class Picture:
    """Every point that a drawing needs, after the plan, in the floor's axes; views draw these and compute nothing.

    Side-view outlines are (x, z) pairs, front to rear.
    """

    output_joint_mm: Triple | None
    pinion_joint_mm: Triple | None
    bearing_mm: Triple | None
    joint_centres_mm: tuple[Triple, ...]
    output_direction: Triple | None
    pinion_direction: Triple | None
    section_directions: tuple[Triple, ...]
    axle_centre_mm: Triple | None
    front_mount_mm: Pair | None
    rear_mount_mm: Pair | None
    powertrain_outline_mm: tuple[Pair, ...]
    engine_outline_mm: tuple[Pair, ...]
    housing_outline_mm: tuple[Pair, ...]
    spring_mm: tuple[Pair, ...]
    spring_eyes_mm: tuple[Pair, ...]
    shackle_mm: tuple[Pair, ...]
    links_mm: tuple[tuple[Pair, ...], ...]
    frame_rail_mm: tuple[Pair, ...]
    front_hub_mm: Pair | None
    rear_hub_mm: Pair | None
    perches_mm: tuple[Pair, ...]
    """Top view, (x, y): the two perches' centres on the axle tube."""
    shocks_mm: tuple[tuple[Triple, Triple], ...]
    torque_bars_mm: tuple[tuple[Triple, Triple], ...]
    lateral_link_mm: tuple[Triple, Triple] | None
    drag_link_mm: tuple[Triple, Triple] | None
    """Ends at frame and axle of each bracket whose place is known, gone with the axle; of the drag link its balls."""
    flexible_lines_mm: tuple[tuple[Triple, ...], ...]
    """How each flexible line hangs, from frame to axle, in the build's order; no points where its ends are not known."""
    obstacles_mm: tuple[tuple[Pair, ...], ...]
    """The build's obstacles in its order, each in its own view."""


@dataclass(frozen=True, slots=True)
class ShockState:
    """One shock after the plan, mm and degrees; None where not known.

    `least_mm` and `most_mm` are its lengths over the whole travel, rubber squashed, at rest, wound up and with the axle
    crossed; a shock that fits is at most `closed_at_most_mm` pushed in and at least `open_at_least_mm` pulled out.
    `to_push_in_share` is the share of its stroke that is left to push in at ride height. `lean_deg` is its angle from
    the way that its lower eye goes, `side_deg` and `behind_deg` are off plumb. A motion ratio is how far it moves for
    each millimetre of the axle, or of one wheel alone.
    """

    name: str
    ride_mm: float | None
    least_mm: float | None
    most_mm: float | None
    closed_at_most_mm: float | None
    open_at_least_mm: float | None
    to_push_in_share: float | None
    lean_deg: float | None
    side_deg: float | None
    behind_deg: float | None
    motion_ratio: float | None
    fit: tuple[str, ...] | None = None
    """Names of the shocks to be had that fit; None where none is entered, or what fits is not known."""


@dataclass(frozen=True, slots=True)
class BarState:
    """One torque bar after the plan, mm, degrees and N; None where not known.

    `lever_mm` is how far its line passes below the axle's centre. `apart_mm` is how much farther than at ride height its
    pivots are at each place of the travel, droop first; `nearer_mm` (nil or less) and `farther_mm` are its ends, and
    `float_wanted_mm` is the float that it asks for, with a quarter to spare; 0 where its bushes do. `force_n` is along it
    as launch torque reaches the axle.
    """

    name: str
    length_mm: float | None
    slope_deg: float | None
    lever_mm: float | None
    nearer_mm: float | None
    farther_mm: float | None
    float_wanted_mm: float | None
    apart_mm: tuple[float | None, ...]
    force_n: float | None


@dataclass(frozen=True, slots=True)
class TravelAllowed:
    """The travel that the parts can take from ride height after the plan, mm: to set stops and straps by.

    `bump_mm` is with the bump rubber pressed flat, `stop_mm` to its first touch. `bump_by` and `droop_by` name what
    holds beyond; None where nothing does within 150 mm of the stops as entered. `says` are two sentences.
    """

    bump_mm: float
    stop_mm: float
    bump_by: str | None
    droop_mm: float
    droop_by: str | None
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Brackets:
    """What is told of shocks and torque bars, in the build's order, and the travel that all parts can take."""

    shocks: tuple[ShockState, ...]
    torque_bars: tuple[BarState, ...]
    allowed: TravelAllowed | None


@dataclass(frozen=True, slots=True)
class Behind:
    """What a view from behind tells of brackets, at ride height after the plan, degrees; None where not known.

    `shocks_deg` is how far each shock is off plumb there, in the build's order. A link's slope is positive where its
    right end is higher.
    """

    shocks_deg: tuple[float | None, ...] = ()
    link_slope_deg: float | None = None
    drag_slope_deg: float | None = None


@dataclass(frozen=True)
class Solution:
    """The whole answer for one build; what of it is seldom looked at is worked out when it is."""

    verdict: Verdict
    says: str
    angles: Angles
    joints: tuple[JointState, ...]
    shaft: ShaftState
    motion: Motion
    travel: Travel | None
    windup: Windup | None
    setpoints: SetPoints
    measured: SetPoints
    """The same numbers as measured, without the plan: what gauge and tape show now."""
    findings: tuple[Finding, ...]
    picture: Picture
    on_order: Callable[[], ShaftOrder] = field(repr=False, compare=False)
    """Works out `order`, of the same facts as all the rest."""
    buying: tuple[Bought, ...] = ()
    """What the clamp of the springs takes; empty where nothing of it is entered."""
    lines: tuple[LineToBuy, ...] = ()
    """Of every flexible line, in the build's order; of the variant that the set-points are of."""
    behind: Behind = Behind()
    """What brackets look like from behind."""
    states: tuple[UsedState, ...] = ()
    """All states that the vehicle is used in, as measured first; empty where that is the only one."""
    beside: Verdict | None = field(default=None, metadata={_OF_TWO: True})
    """The other driveline's verdict, where the answer is told beside it."""
    on_brackets: Callable[[], Brackets | None] | None = field(default=None, repr=False, compare=False)
    """Works out `brackets`, of the same facts as all the rest; None of what is only compared."""

    @cached_property
    def order(self) -> ShaftOrder:
        """What the shaft is ordered by, of the variant that the set-points are of."""
        return self.on_order()

    @cached_property
    def brackets(self) -> Brackets | None:
        """Of shocks and torque bars, of the variant that the set-points are of; None without any."""
        return None if self.on_brackets is None else self.on_brackets()

    def model_dump(self) -> dict[str, Any]:
        """Return the solution as plain dictionaries, tuples and numbers."""
        told: dict[str, Any] = _plain(self)
        return told

    def model_dump_json(self, *, indent: int | None = None) -> str:
        """Return the solution as JSON text; numbers that are not known are null."""
        return json.dumps(self.model_dump(), indent=indent, ensure_ascii=False, allow_nan=False)


def _plain(value: Any) -> Any:
    """Plain dictionaries, tuples and numbers; what is worked out late is told after all the rest."""
    if is_dataclass(value):
        said = ((one, getattr(value, one.name)) for one in fields(value) if one.compare)
        told = {one.name: _plain(item) for one, item in said if item is not None or _OF_TWO not in one.metadata}
        late = (name for name, member in vars(type(value)).items() if isinstance(member, cached_property))
        return told | {name: _plain(getattr(value, name)) for name in late}
    if isinstance(value, tuple):
        return tuple(_plain(item) for item in value)
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, np.generic):
        return value.item()
    return value
