"""Findings of one row in words, in the order in which they are read, and the verdict over all of them."""

from collections import Counter
from collections.abc import Callable, Sequence

from geometry.document import Build
from geometry.judge import clamp as judged_clamp
from geometry.judge import perches as judged_perches
from geometry.judge import square as judged_square
from geometry.judge.carried import pairs_of
from geometry.judge.codes import Key, finding_id
from geometry.judge.limits import LIMITS
from geometry.judge.states import BETWEEN, MEASURED
from geometry.words.helps import help_for
from geometry.words.one import JOINT, One
from geometry.words.reasons import TOO_THICK, barred
from geometry.words.sentences import (
    both,
    brackets,
    ends,
    joints,
    motion,
    perches,
    plan,
    readings,
    shaft,
    square,
    travel,
)
from geometry.words.solution import BAD, Finding, Verdict
from geometry.words.told import Told
from geometry.words.wants import wants_of
from geometry.words.where import obstacle_of, place_of
from geometry.words.wording import capital, length, small

__all__ = ["ORDER", "WORST_FIRST", "findings_of", "help_for", "overall"]

SAYS: dict[str, Callable[[One], str]] = {
    "pinion_residual": motion.pinion_residual,
    "residual_at_top": motion.residual_at_top,
    "equivalent_angle": motion.equivalent_angle,
    "ends_parallel": joints.ends_parallel,
    "straight_end": joints.straight_end,
    "operating_angle_most": joints.angle_for_speed,
    "first_joint": joints.first_joint,
    "shaft_inertia_drive": motion.shaft_inertia,
    "shaft_inertia_coast": motion.shaft_inertia,
    "inertia_at_top": motion.inertia_at_top,
    "speeds_agree": motion.speeds_agree,
    "operating_angle_least": joints.needles,
    "joint_bind": joints.joint_bind,
    "shaft_slope": joints.shaft_slope,
    "critical_speed": shaft.critical_speed,
    "half_critical_speed": shaft.half_critical,
    "tube_shear": shaft.tube_shear,
    "joint_torque": shaft.joint_torque,
    "joint_life": shaft.joint_life,
    "lift": plan.lift,
    "front_block": plan.front_block,
    "block_room": plan.block_room,
    "shackle_lean": plan.shackle_lean,
    "shackle_lift": plan.shackle_lift,
    "bump_left": plan.bump_left,
    "travel_reach": travel.travel_reach,
    "slip_left": travel.slip_left,
    "slip_engaged": travel.slip_engaged,
    "end_fits": ends.end_fits,
    "cap_size": ends.cap_size,
    "seal_travel": ends.seal_travel,
    "bearing_square": ends.bearing_square,
    "bearing_centred": ends.bearing_centred,
    "gap": travel.gap,
    "pair_gap": travel.pair_gap,
    "line_slack": travel.line_slack,
    "windup_cruise": travel.windup_cruise,
    "windup_launch": travel.windup_launch,
    "shock_bump": brackets.shock_end,
    "shock_droop": brackets.shock_end,
    "shock_crossed": brackets.shock_crossed,
    "shock_place": brackets.shock_place,
    "shock_lean": brackets.shock_lean,
    "bar_bind": brackets.bar_bind,
    "bar_lever": brackets.bar_lever,
    "lateral_lift": plan.lateral_lift,
    "lateral_shift": travel.lateral_shift,
    "link_slope": brackets.link_slope,
    "drag_slope": brackets.drag_slope,
    "pinion_nose_up": plan.pinion_nose_up,
    "pinion_nose_down": plan.pinion_nose_down,
    "tail_down": plan.tail_down,
    "tail_up": plan.tail_up,
    "front_against_rear": both.front_against_rear,
    "wedge_size": plan.wedge_size,
    "caster": plan.caster,
    "stick_slope": readings.stick_slope,
    "tape_length": readings.tape_length,
    "axle_station": readings.axle_station,
    "axle_height": readings.axle_height,
    "spring_station": readings.spring_station,
    "gauge_resolution": readings.gauge_resolution,
    "perches_equal": readings.perches_equal,
    "pad_twist": perches.pad_twist,
    "perch_spacing": perches.perch_spacing,
    "perch_chain": perches.perch_chain,
    "perch_casting": perches.perch_casting,
    "ubolt_reserve": perches.ubolt_reserve,
    "thrust_angle": square.thrust_angle,
    "wheelbases_equal": square.wheelbases_equal,
    "axle_centred": square.axle_centred,
    "toe_before": square.toe_before,
    "camber_before": square.camber_before,
    "toe_welded": square.toe_welded,
    "camber_welded": square.camber_welded,
}
"""The sentence of every finding, in the order in which findings of one verdict are listed."""
ORDER = tuple(SAYS)
_RANK = {limit_id: rank for rank, limit_id in enumerate(ORDER)}
_BASIS = {limit_id: row.basis_text for limit_id, row in LIMITS.items()}
_NOT_JUDGED = "Not judged:"
_ENTRIES = {
    "pinion_residual": "axle.pinion_slope_deg",
    "residual_at_top": "vehicle.top_speed_kmh",
    "equivalent_angle": "axle.pinion_slope_deg",
    "ends_parallel": "axle.pinion_slope_deg",
    "straight_end": "axle.pinion_slope_deg",
    "shaft_inertia_drive": "powertrain.slope_deg",
    "shaft_inertia_coast": "powertrain.slope_deg",
    "inertia_at_top": "vehicle.top_speed_kmh",
    "speeds_agree": "vehicle.cruise_speed_kmh",
    "block_room": "suspension.seat_to_axle_mm",
    "shackle_lean": "suspension.shackle_length_mm",
    "bump_left": "suspension.bump_mm",
    "travel_reach": "suspension.bump_mm",
    "slip_left": "shaft.slip.engaged_mm",
    "slip_engaged": "shaft.slip.engaged_mm",
    "seal_travel": "shaft.slip.seal_travel_mm",
    "bearing_square": "shaft.bearing_slope_deg",
    "bearing_centred": "shaft.bearing_off_centre_mm",
    "windup_cruise": "powertrain.cruise_torque_share",
    "windup_launch": "suspension.rate_n_per_mm",
    "front_block": "plan.front_lift_by",
    "lateral_lift": "plan.lateral_link_longer_mm",
    "lateral_shift": "lateral_link.frame_point_mm",
    "link_slope": "lateral_link.frame_point_mm",
    "drag_slope": "lateral_link.drag_box_mm",
    "pinion_nose_up": "axle.pinion_slope_deg",
    "pinion_nose_down": "axle.pinion_slope_deg",
    "tail_down": "powertrain.slope_deg",
    "tail_up": "powertrain.slope_deg",
    "front_against_rear": "axle.ratio",
    "wedge_size": "plan.axle_shim_deg",
    "caster": "axle.caster_deg",
    "stick_slope": "readings.shaft_slope_deg",
    "tape_length": "readings.shaft_length_mm",
    "axle_station": "axle.centre_mm",
    "axle_height": "axle.centre_mm",
    "spring_station": "suspension.front_eye_mm",
    "gauge_resolution": "gauge.angle_uncertainty_deg",
    "perches_equal": "axle.flange_to_perch_left_mm",
    "toe_welded": "square.toe_front_after_mm",
    "camber_welded": "square.camber_left_after_deg",
    **{
        limit_id: needs[0]
        for of in (judged_perches, judged_clamp, judged_square)
        for limit_id, needs in of.NEEDS.items()
        if limit_id not in {"toe_welded", "camber_welded"}
    },
}
_OF_JOINT = {
    "operating_angle_most": "", "first_joint": "", "operating_angle_least": "", "joint_bind": ".max_angle_deg",
    "joint_torque": ".torque_limit_nm", "joint_life": ".life_rating_nm",
}  # fmt: skip
_OF_TUBE = {"critical_speed": "outer_diameter_mm", "half_critical_speed": "outer_diameter_mm", "tube_shear": "wall_mm"}
_OF_BRACKET = {
    "shock_bump": "compressed_mm", "shock_droop": "extended_mm", "shock_crossed": "extended_mm",
    "shock_place": "frame_point_mm", "shock_lean": "frame_point_mm", "bar_bind": "float_mm",
    "bar_lever": "frame_point_mm",
}  # fmt: skip
_ENDS = frozenset({"ends_parallel", "straight_end", "operating_angle_least"})
"""Findings that are unknown where a line is not measured, the last one on any chain: then nothing may be tacked."""
WORST_FIRST: tuple[Verdict, ...] = ("hold", "caution", "unknown", "clear")


def findings_of(told: Told) -> list[Finding]:
    """Every finding that is asked in the row, in words, in the order of `ORDER`; without remedies."""
    asked = [key for key in told.found if told.verdict(key) is not None]
    asked.sort(key=lambda key: _RANK[finding_id(key)])
    return [_finding(One(told.worst(key), key)) for key in asked]


def _finding(one: One) -> Finding:
    row, (name, part) = one.row, one.key
    place = None if one.verdict == "unknown" else place_of(one)
    return Finding(
        id=name,
        title=title_of(one.told.build, one.key, bad=one.verdict in BAD),
        part=part,  # type: ignore[arg-type]
        verdict=one.verdict,
        value=None if one.verdict == "unknown" else one.value,
        limit=one.clear,
        hold_limit=one.hold,
        sense="at most" if row.sense == "most" else "at least",
        unit=row.unit,
        says=in_state(SAYS[one.id](one), _state_words(one.told)),
        remedy=None,
        alternatives=(),
        basis=_BASIS[one.id],
        entry=_entry(one),
        travel_mm=None if place is None else place.travel_mm,
        launch=place is not None and place.wound,
        state=one.told.state,
    )


def _state_words(told: Told) -> str | None:
    """A state as a sentence begins with it: between two it says how far from the measured one."""
    down = told.number(told.facts.moved.driven_mm)
    if told.state != BETWEEN or down is None:
        return told.state
    end, way = "front" if told.facts.kinds.ahead else "rear", "lower" if down > 0.0 else "higher"
    return f"{BETWEEN}, the {end} {length(abs(down), told.display)} {way} than measured"


def title_of(build: Build, key: Key, *, bad: bool) -> str:
    """What a finding is called: by its trouble where something is wrong, a gap by what it is to."""
    row = LIMITS[finding_id(key)]
    if row.id == "gap":
        return f"Gap to {build.obstacles[obstacle_of(key)].name}"
    if row.id == "pair_gap":
        one, two = (build.obstacles[place].name for place in pairs_of(build)[obstacle_of(key)])
        return f"Gap, {one} to {two}"
    title = row.trouble if bad else row.title
    if row.id == "line_slack":
        return title.replace("Line", capital(build.flexible_lines[obstacle_of(key)].name))
    return brackets.titled(build, key, title) if row.id in _OF_BRACKET else title


def in_state(says: str, state: str | None) -> str:
    """A sentence with the state that it is of in front.

    >>> in_state("The rear joint runs at 0.08°.", "settled"), in_state("Not judged: measure it.", "laden")
    ('Settled, the rear joint runs at 0.08°.', 'Not judged laden: measure it.')
    """
    if state is None or state == MEASURED:
        return says
    if says.startswith(_NOT_JUDGED):
        return f"Not judged {state}{says.removeprefix('Not judged')}"
    return f"{capital(state)}, {small(says)}"


def _entry(one: One) -> str:
    """Entry that the finding hangs on most: the first that is wanted, else what is judged."""
    if one.verdict == "unknown" and (wanted := wants_of(one)):
        return wanted[0].paths[0]
    if one.verdict == "unknown" and barred(one) == TOO_THICK:
        return "plan.mount_shim_mm"
    if one.id.startswith("windup") and one.told.facts.kinds.suspension == "links":
        return "suspension.rigid"
    if one.id in _OF_TUBE:
        return f"{shaft.judged_tube(one).entry}.{_OF_TUBE[one.id]}"
    if one.id in _OF_JOINT:
        return f"shaft.{JOINT[one.key[1]]}_joint{_OF_JOINT[one.id]}"
    return _ENTRIES[one.id] if one.id in _ENTRIES else _OF_BUILD[one.id](one)


def _end_of(one: One) -> str:
    name = JOINT[one.key[1]]
    return f"shaft.{name}_end.{'cap_mm' if name == 'centre' else 'type'}"


def _outline_of(one: One) -> str:
    return f"obstacles.{obstacle_of(one.key)}.outline_mm"


def _pair_of(one: One) -> str:
    pair = pairs_of(one.told.build)[obstacle_of(one.key)]
    return f"obstacles.{pair.one}.outline_mm"


def _free_of(one: One) -> str:
    return f"flexible_lines.{obstacle_of(one.key)}.free_length_mm"


def _line_of(one: One) -> str:
    """What tells the shaft's slope: the stick where no joint's place is entered."""
    return "readings.shaft_slope_deg" if one.told.at(one.told.facts.unplaced) else "powertrain.output_joint_mm"


def _lift_of(one: One) -> str:
    return f"plan.{'front' if one.told.facts.kinds.ahead else 'rear'}_lift_mm"


def _bracket_of(one: One) -> str:
    return f"{one.key[1]}.{obstacle_of(one.key)}.{_OF_BRACKET[one.id]}"


_OF_BUILD = {"gap": _outline_of, "pair_gap": _pair_of, "line_slack": _free_of, "lift": _lift_of, "shackle_lift": _lift_of, "shaft_slope": _line_of,
             "end_fits": _end_of, "cap_size": _end_of, **dict.fromkeys(_OF_BRACKET, _bracket_of)}  # fmt: skip


def overall(findings: Sequence[Finding]) -> tuple[Verdict, str]:
    """Verdict over all findings, and the sentence that goes with it."""
    counts = Counter(finding.verdict for finding in findings)
    if counts["hold"]:
        return "hold", f"Do not tack yet: {_so_many(counts['hold'], 'finding holds', 'findings hold')} the job up."
    open_ones = (
        f" {_so_many(counts['unknown'], 'finding still wants', 'findings still want')} a measurement."
        if counts["unknown"]
        else ""
    )
    if counts["caution"]:
        cautions = _so_many(counts["caution"], "caution", "cautions")
        if any(finding.id in _ENDS and finding.verdict == "unknown" for finding in findings):
            return "caution", f"Do not tack yet: whether the joints cancel is not known. {cautions}.{open_ones}"
        return "caution", f"Tack only once you have weighed {cautions}.{open_ones}"
    if counts["unknown"] or not findings:
        return "unknown", f"Nothing found against it so far, but{open_ones or ' nothing is measured yet.'}"
    return "clear", "Nothing found against it: tack, measure again, then weld."


def _so_many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"
