"""Which measurements a finding that is not judged wants, and why it is not judged where none is lacking.

Only what is really not entered is named. A need is an entry, or several groups of them of which one will do.
"""

from collections.abc import Callable, Iterable
from typing import TypeAlias

import numpy as np

from geometry.document import Build, value_at
from geometry.document.sides import SECOND
from geometry.judge import clamp, perches, square
from geometry.judge.both import DRIVE, RATIOS, TURNS, apart_of
from geometry.judge.carried import pairs_of
from geometry.judge.codes import codes
from geometry.judge.ends import MATES, caps_in_series
from geometry.judge.findings import IN_STATES
from geometry.judge.judging import ASSUMED, IN_PLAN
from geometry.judge.limits import LARGE_SPLINE_MM, USUAL_SPLINE_MM
from geometry.judge.states import open_of, read_apart_mm
from geometry.mechanics.vectors import number as as_number
from geometry.words.names import name_of
from geometry.words.one import JOINT, One, Want
from geometry.words.reasons import barred, hung, reason
from geometry.words.told import Told
from geometry.words.where import OVER_TRAVEL, obstacle_of, over_travel
from geometry.words.wording import listed

Need: TypeAlias = str | tuple[tuple[str, ...], ...]
_ENGINE = ("powertrain.peak_torque_nm", "powertrain.gear_ratios")
_TORQUE = frozenset({"tube_shear", "joint_torque", "windup_launch"})
_TRAVEL = frozenset({
    "joint_bind", "slip_left", "slip_engaged", "seal_travel", "gap", "pair_gap", "lateral_shift", "shock_bump", "shock_droop",
    "shock_crossed", "bar_bind", "line_slack",
})  # fmt: skip
_AT_REST = frozenset({"lateral_shift", "shock_crossed", "bar_bind"})
"""Those of them that no wind-up turns."""
_TURNING = frozenset({
    "pinion_residual", "residual_at_top", "equivalent_angle", "ends_parallel", "windup_cruise", "gauge_resolution",
    "shaft_inertia_drive", "shaft_inertia_coast", "inertia_at_top", "shaft_slope",
})  # fmt: skip
"""Findings that the yokes' phase can turn."""
_PLACES = ("axle.pinion_offset_mm", "powertrain.output_joint_mm", "axle.centre_mm", "axle.pinion_length_mm")
"""What tells how a front shaft runs seen from above."""
_SHARE = frozenset({"windup_cruise", "joint_life"})
_NO_LINES = frozenset({
    "tube_shear", "joint_torque", "perches_equal", "axle_station", "axle_height", "spring_station",
    "windup_launch", "lift", "block_room", "bump_left", "end_fits", "cap_size", "bearing_centred", "bearing_square",
    "shackle_lean", "shackle_lift", "lateral_lift", "lateral_shift", "travel_reach", "shock_bump", "shock_droop", "shock_crossed",
    "shock_place", "shock_lean", "bar_bind", "bar_lever", "link_slope", "drag_slope", "line_slack", "pair_gap", "front_against_rear",
    *perches.NEEDS, *clamp.NEEDS, *square.NEEDS,
})  # fmt: skip
"""Findings that nothing turns of what is taken for granted about the lines."""
_ONE_LINE = {
    **dict.fromkeys(("pinion_nose_up", "pinion_nose_down"), "axle.pinion_plan_deg"),
    **dict.fromkeys(("tail_down", "tail_up"), "powertrain.plan_deg"),
}
"""Findings on the slope of one line, and what of it is taken for granted."""


def wants_of(one: One) -> list[Want]:
    """What a finding that is unknown wants, in the order in which it is measured; empty where nothing is lacking."""
    if one.wants is None and hung(one):
        one.wants = []
    if one.wants is None:
        build = one.told.build
        one.wants = lacking(build, needs_of(one)) or ([] if barred(one) else lacking(build, _open(one)))
    return one.wants


def not_judged(one: One, extra: str = "") -> str:
    """Say what an unknown finding wants, or why nothing can be said, and behind it what is known nevertheless."""
    wanted = list(dict.fromkeys(want.name for want in wants_of(one)))
    plain, either = list[str](), list[str]()
    for name in wanted:
        (either if name.startswith("either ") else plain).append(name)
    parts = [listed(plain)] if plain else []
    says = f"measure or enter {'; and '.join([*parts, *either])}" if wanted else reason(one)
    return f"Not judged: {says}.{f' {extra}' if extra and not hung(one) else ''}"


def lacking(build: Build, needs: Iterable[Need]) -> list[Want]:
    """The needs that are not met; of a choice nothing is said where what is asked otherwise is one of its answers."""
    found: list[Want] = []
    seen: set[str] = set()
    needs = tuple(needs)
    alone = {need for need in needs if isinstance(need, str)}
    for need in needs:
        groups = ((need,),) if isinstance(need, str) else need
        short = [tuple(path for path in group if value_at(build, path) is None) for group in groups]
        if not all(short) or (not isinstance(need, str) and any(alone.issuperset(group) for group in short)):
            continue
        short.sort(key=len)
        if isinstance(need, str) and need in seen:
            continue
        names = [listed([name_of(build, path) for path in group]) for group in short]
        name = names[0] if len(names) == 1 else f"either {', or '.join(names)}"
        found.append(Want(tuple(path for group in short for path in group), name))
        seen.update(short[0] if len(short) == 1 else ())
    return found


# ---------------------------------------------------------------------- what groups of findings need


def _there(told: Told, path: str) -> bool:
    return bool(np.isfinite(told.at(told.facts.v[path])))


def _tilt(told: Told) -> list[Need]:
    rear, front = (told.facts.v.given(f"plan.{end}_lift_mm", 0.0) for end in ("rear", "front"))
    driven, other = (told.at(part) for part in (told.facts.moved.driven_mm, told.facts.moved.other_mm))
    needs: list[Need] = []
    if told.at(rear != front) or driven != other:
        needs.append("vehicle.wheelbase_mm")
    for up, ahead in ((driven, told.facts.kinds.ahead), (other, not told.facts.kinds.ahead)):
        needs += _sag(told, "front" if ahead else "rear") if np.isnan(up) else []
    return needs


def _sag(told: Told, end: str) -> list[Need]:
    """What tells how far an end gives under a load."""
    driven = (end == "front") == told.facts.kinds.ahead
    rate = "suspension.rate_n_per_mm" if driven else "vehicle.other_axle_rate_n_per_mm"
    by_tape = (f"use.{end}_sag_mm", f"use.{end}_most_kg")
    loads = [f"use.{one}_{which}_kg" for one in ("front", "rear") for which in ("least", "most")]
    if any(_there(told, load) for load in loads) and not _there(told, f"use.{end}_most_kg"):
        return [f"use.{end}_most_kg"]
    places = any(_there(told, f"use.{what}_x_mm") for what in ("driver", "fuel"))
    return [((rate,), by_tape), *(["vehicle.wheelbase_mm"] if places else [])]


def _up(told: Told) -> list[Need]:
    """What the place of the driven axle in another state needs."""
    return [*_driven_sag(told), *_suspension(told)] if told.at(told.facts.moved.driven_mm) != 0.0 else []


def _driven_sag(told: Told) -> list[Need]:
    """What tells how far the driven axle's end gives in another state, where that is not known."""
    lost = np.isnan(told.at(told.facts.moved.driven_mm))
    return _sag(told, "front" if told.facts.kinds.ahead else "rear") if lost else []


def _level(told: Told) -> list[str]:
    """What readings need that were taken with the frame otherwise than on its tyres."""
    off = np.isnan(told.at(told.facts.level_deg))
    return ["state.rail_slope_deg", "vehicle.frame_slope_deg"] if off else []


def _axle_level(told: Told) -> list[Need]:
    """The same of what was read on the axle, with another load than when its place was taped."""
    apart = told.at(read_apart_mm(told.facts.v, ahead=told.facts.kinds.ahead))
    if apart == 0.0:
        return [*_level(told)]
    return [*_level(told), *(_sag(told, "front" if told.facts.kinds.ahead else "rear") if np.isnan(apart) else []),
            *_suspension(told)]  # fmt: skip


def _spring() -> list[Need]:
    names = (
        "front_eye_mm",
        "shackle_pivot_mm",
        "shackle_length_mm",
        "front_half_mm",
        "rear_half_mm",
        "seat_to_axle_mm",
    )
    return ["axle.centre_mm", *(f"suspension.{name}" for name in names)]


def _suspension(told: Told) -> list[Need]:
    if told.facts.kinds.suspension is None:
        return ["suspension"]
    if told.facts.kinds.suspension == "leaf":
        return _spring()
    names = ("lower_frame_mm", "lower_axle_mm", "upper_frame_mm", "upper_axle_mm")
    return ["axle.centre_mm", *(f"suspension.{name}" for name in names)]


def _moved(told: Told) -> list[Need]:
    """What the place of the axle after the plan needs."""
    needs = _turned(told)
    return [*needs, *_sideways(told)] if needs else needs


def _turned(told: Told) -> list[Need]:
    """What the turn of the axle by plan and state needs, and its place in side view."""
    kinds, up = told.facts.kinds, _up(told)
    if up or not told.at(told.facts.lift_mm != 0.0):
        return up
    apart = told.at(read_apart_mm(told.facts.v, ahead=kinds.ahead))
    if kinds.by != "block" or not kinds.over or kinds.suspension == "links" or apart != 0.0:
        return _suspension(told)  # read with another load than taped, the seat's slope wants the springs as well
    springs = tuple(need for need in _suspension(told) if isinstance(need, str))
    return [(("readings.seat_slope_deg", *_level(told)), springs)]


def _sideways(told: Told) -> list[Need]:
    ends = [f"lateral_link.{end}_point_mm" for end in ("frame", "axle")]
    return list[Need](ends) if any(told.facts.v.word(end) is not None for end in ends) else []


def _output(told: Told) -> list[Need]:
    front, rear = (told.at(part) for part in told.facts.moved[2:])
    tips = ["powertrain.front_mount_mm", "powertrain.rear_mount_mm"] if front != rear else []
    return [*_planned_output(told), *tips]


def _planned_output(told: Told) -> list[Need]:
    if told.at(told.facts.mount_shim_mm != 0.0):
        return ["powertrain.slope_deg", "powertrain.front_mount_mm", "powertrain.rear_mount_mm", *_level(told)]
    if told.facts.kinds.loose_mounts and _there(told, "plan.powertrain_slope_deg"):
        return ["powertrain.slope_deg", *_level(told), *_tilt(told)]
    if _turned_by_other(told):
        return ["powertrain.slope_deg", *_level(told), f"{SECOND}output.slope_deg", *_tilt(told)]
    return ["powertrain.slope_deg", *_level(told)]


def _turned_by_other(told: Told) -> bool:
    """Whether loose engine and gearbox are turned until the other driveline's output has its slope."""
    kinds = told.facts.kinds
    return kinds.both and kinds.loose_mounts and _there(told, f"{SECOND}plan.powertrain_slope_deg")


def _pinion(told: Told) -> list[Need]:
    if told.at(told.facts.pinion_set):
        return [*_tilt(told), *_up(told)]
    return ["axle.pinion_slope_deg", *_axle_level(told), *_turned(told)]


def _by_tape(told: Told) -> bool:
    return told.facts.kinds.pieces == 2 or not told.at(told.facts.by_stick)


def _along(told: Told) -> list[Need]:
    """What a shaft that is known along itself alone needs besides its reading: what tells where a block takes its end.

    Of the two ways to tell that it is the seat's slope: springs want the axle's place, and with it all the joints'.
    """
    if not told.at(told.facts.by_block):
        return []
    return ["readings.shaft_length_mm", "readings.seat_slope_deg", *_axle_level(told), *_sideways(told)]


def _joints(told: Told) -> list[Need]:
    """What the joints' places need."""
    needs = _output_joint(told)
    if told.facts.kinds.pieces == 2:
        needs.append("shaft.bearing_mm")
    return [*needs, "axle.centre_mm", *_pinion(told), "axle.pinion_length_mm", *_moved(told)]


def _output_joint(told: Told) -> list[Need]:
    """What the place of the output's joint needs, which the plan may turn with the engine."""
    needs: list[Need] = [*_output(told)[1:], "powertrain.output_joint_mm"]
    if _turned_by_other(told) or (told.facts.kinds.loose_mounts and _there(told, "plan.powertrain_slope_deg")):
        needs += ["powertrain.slope_deg", "powertrain.front_mount_mm"]
    return needs


def _lines(told: Told) -> list[Need]:
    shaft: list[Need] = _joints(told) if _by_tape(told) else ["readings.shaft_slope_deg", *_along(told)]
    return [*_output(told), *shaft, *_pinion(told)]


def _length(told: Told) -> list[Need]:
    if _by_tape(told):
        return _joints(told)
    return ["readings.shaft_slope_deg", *_along(told)] if told.at(told.facts.by_block) else ["readings.shaft_length_mm"]


def _cruise(told: Told) -> list[Need]:
    end = "front" if told.facts.kinds.ahead else "rear"
    tyres = (("vehicle.tyre_turns_per_km",), (f"vehicle.{end}_tyre_radius_mm",))
    radius: Need = f"vehicle.{end}_tyre_radius_mm" if not _there(told, "vehicle.tyre_turns_per_km") else tyres
    return [radius, "axle.ratio", "vehicle.cruise_speed_kmh"]


def _highest(told: Told) -> list[Need]:
    top = tuple(need for need in _cruise(told)[:2] if isinstance(need, str))
    return [(("powertrain.redline_rpm", "powertrain.gear_ratios"), ("vehicle.top_speed_kmh", *top))]


def _tyres(told: Told) -> tuple[str, ...]:
    end = "front" if told.facts.kinds.ahead else "rear"
    return ("vehicle.rear_axle_load_kg", "vehicle.tyre_grip", f"vehicle.{end}_tyre_radius_mm", "axle.ratio")


def _torque(told: Told) -> list[Need]:
    return [(_ENGINE, _tyres(told))]


def _wound(told: Told) -> list[Need]:
    """What the turn of the axle under torque needs, but for the torque."""
    if told.facts.kinds.suspension != "leaf":
        return []
    return ["suspension.rate_n_per_mm", "suspension.front_half_mm", "suspension.rear_half_mm", "axle.ratio"]


def _tube(told: Told, *sizes: str) -> list[Need]:
    return [f"{entry}.{size}" for _, entry in told.facts.kinds.tubes for size in sizes]


def _tubes(told: Told) -> list[Need]:
    return [*_tube(told, "outer_diameter_mm", "wall_mm"), *_length(told)]


def _travel(told: Told) -> list[Need]:
    needs = _suspension(told)
    if needs != ["suspension"]:
        needs += ["suspension.bump_mm", "suspension.droop_mm"]
    return [*_moved(told), *_sideways(told), *needs]


def _motion(told: Told) -> list[Need]:
    return [*_lines(told), *_cruise(told)]


def _at_top(told: Told) -> list[Need]:
    return [*_lines(told), *_highest(told)]


def _resolution(told: Told) -> list[Need]:
    tape: list[Need] = ["gauge.tape_uncertainty_mm"] if _by_tape(told) else []
    return [*_lines(told), "gauge.angle_uncertainty_deg", *tape, *_cruise(told)]


def _nose(told: Told) -> list[Need]:
    return [*_pinion(told), *_tilt(told)]


def _tail(told: Told) -> list[Need]:
    return [*_output(told), *_tilt(told)]


def _joint(one: One, name: str) -> str:
    return f"shaft.{JOINT[one.key[1]]}_joint.{name}"


def _bind(one: One) -> list[Need]:
    told = one.told
    needs: list[Need] = [_joint(one, "max_angle_deg"), *_lines(told)]
    return [*needs, *_travel(told), *_joints(told)] if told.facts.positions else needs


def _slip(told: Told) -> list[Need]:
    slip: list[Need] = ["shaft.slip.engaged_mm", "shaft.slip.stroke_mm"]
    return [*slip, *_measured_turn(told), *_joints(told), *_travel(told)]


def _measured_turn(told: Told) -> list[Need]:
    """What tells how the pinion lay when all the rest was measured, where the plan tells how it will lie."""
    return ["axle.pinion_slope_deg", *_axle_level(told)] if told.at(told.facts.pinion_set) else []


def _gap(one: One) -> list[Need]:
    told = one.told
    needs: list[Need] = [*_joints(told), *_tube(told, "outer_diameter_mm")]
    for name in told.facts.kinds.names:
        joint = f"shaft.{name}_joint"
        needs.append(((f"{joint}.swing_mm",), (f"{joint}.series",)))
    needs += _travel(told) if told.facts.positions else []
    outline = one.told.build.obstacles[obstacle_of(one.key)]
    if outline.carried_by == "axle":
        needs += ["axle.centre_mm", *_held_on_axle(told)]
    elif outline.carried_by == "engine":
        needs += _by_engine(told, obstacle_of(one.key))
    if outline.view == "side" and outline.carried_by != "engine" and not told.facts.kinds.ahead:
        by_box, by_engine = told.facts.in_the_way.may_reach(obstacle_of(one.key))
        needs += _output(told) if told.at(by_box | by_engine) else []
        needs += ["powertrain.gearbox_length_mm", "powertrain.gearbox_height_mm"] if told.at(by_box) else []
        needs += ["powertrain.engine_length_mm", "powertrain.engine_height_mm"] if told.at(by_engine) else []
    return needs


def _pair(one: One) -> list[Need]:
    """How the carriers of two outlines move."""
    told, needs = one.told, list[Need]()
    for index in pairs_of(told.build)[obstacle_of(one.key)]:
        carrier = told.build.obstacles[index].carried_by
        if carrier == "axle":
            needs += ["axle.centre_mm", *_held_on_axle(told), *_moved(told)]
            needs += _travel(told) if told.facts.positions else []
        elif carrier == "engine":
            needs += _by_engine(told, index)
    return needs


def _by_engine(told: Told, index: int) -> list[Need]:
    """What an outline on the engine needs: how the plan moves the engine, and how far its rock lifts the outline."""
    rock = told.at(told.facts.v["powertrain.rock_deg"])
    needs: list[Need] = []
    if told.at(told.facts.powertrain.turn_deg) != 0.0:  # or it is not known
        needs += [*_output(told), "powertrain.front_mount_mm"]
    if rock == 0.0:
        return needs
    kinds = told.facts.kinds
    in_line = not (kinds.ahead or kinds.both) and told.at(told.facts.v.given("powertrain.low_range", 1.0)) == 1.0
    by_output = ("powertrain.output_joint_mm", "powertrain.low_range")
    crank: Need = (("powertrain.crank_mm",), by_output) if in_line else "powertrain.crank_mm"
    sides = [f"obstacles.{index}.{end}_mm" for end in ("left", "right")]
    return [*needs, "powertrain.rock_deg", *sides, crank, "powertrain.slope_deg", *_level(told)]


def _line(one: One) -> list[Need]:
    """Both ends and the length of a flexible line, and how the axle moves and tilts."""
    told, line = one.told, f"flexible_lines.{obstacle_of(one.key)}"
    needs: list[Need] = [f"{line}.frame_point_mm", f"{line}.axle_point_mm", f"{line}.free_length_mm"]
    needs += ["axle.centre_mm", *_held_on_axle(told), *_travel(told)]
    return [*needs, _stops(told)] if told.facts.positions else needs


def _stops(told: Told) -> Need:
    """What tells how far apart the stops are that the axle rolls on."""
    if told.facts.kinds.suspension == "leaf":
        return (("axle.perch_spacing_mm",), ("suspension.stop_spacing_mm",))
    return "suspension.stop_spacing_mm"


def _held_on_axle(told: Told) -> list[Need]:
    """What the turn of the axle by the plan needs, from where things on it were measured."""
    turn = _measured_turn(told)
    return [*turn, *_pinion(told)] if turn else []


def _life(told: Told) -> list[Need]:
    return [*_motion(told), *_ENGINE]


def _cruise_windup(told: Told) -> list[Need]:
    return [*_motion(told), *_wound(told), *_ENGINE]


_GAUGE: tuple[Need, ...] = ("gauge.angle_uncertainty_deg", "gauge.tape_uncertainty_mm")
_FIXED: dict[str, tuple[Need, ...]] = {
    "block_room": ("suspension.seat_to_axle_mm", "axle.tube_diameter_mm"),
    **dict.fromkeys(("axle_station", "axle_height", "spring_station"), _GAUGE[1:]),
    "perches_equal": ("axle.flange_to_perch_left_mm", "axle.flange_to_perch_right_mm"),
    **perches.NEEDS,
    **clamp.NEEDS,
    **square.NEEDS,
}


def _end(one: One) -> list[Need]:
    """What is on both halves of an end, and the sizes that their type has."""
    facts, name = one.told.facts, JOINT[one.key[1]]
    end = f"shaft.{name}_end"
    mate = MATES["gearbox" if (name == facts.kinds.names[0]) != facts.kinds.ahead else "axle"]
    needs: list[Need] = [f"{end}.type", f"{mate}.type"]
    ours = facts.v.word(f"{end}.type")
    if ours == "caps":
        needs += [f"{half}.{size}" for half in (end, mate) for size in ("cap_mm", "span_mm")]
        needs += [f"{half}.clip" for half in (end, mate) if facts.v.word(f"{mate}.type") == "clips"]
    sizes = {
        "flange": ("pilot_mm", "pilot", "bolt_circle_mm", "bolts", "bolt_mm"),
        "spline": ("spline_teeth", "spline_diameter_mm", "seal_mm"),
    }.get(ours or "", ())
    return [*needs, *(f"{half}.{size}" for size in sizes for half in (end, mate))]


def _bracket(one: One, *entries: str) -> list[Need]:
    """Ends of a shock or torque bar, what else of it is wanted, and where the axle is that carries it."""
    told, path = one.told, f"{one.key[1]}.{obstacle_of(one.key)}"
    needs: list[Need] = [f"{path}.{name}" for name in ("frame_point_mm", "axle_point_mm", *entries)]
    needs += [*_measured_turn(told), *_moved(told)]
    return [*needs, "axle.centre_mm"] if told.at(told.facts.axle_turn_deg) != 0.0 else needs


def _crossed(one: One) -> list[Need]:
    return [*_bracket(one, "compressed_mm", "extended_mm"), *_travel(one.told), _stops(one.told)]


def _link(told: Told) -> list[Need]:
    needs: list[Need] = [
        "lateral_link.frame_point_mm",
        "lateral_link.axle_point_mm",
        *_held_on_axle(told),
        *_moved(told),
    ]
    return [*needs, "axle.centre_mm"] if told.at(told.facts.axle_turn_deg) != 0.0 else needs


def _front_rear(one: One) -> list[Need]:
    """What tells how far front and rear shaft turn apart, how surely, and whether that matters."""
    told = one.told
    front, rear = TURNS if told.facts.kinds.ahead else TURNS[::-1]
    apart = apart_of(told.facts)
    if told.number(apart.percent) is None:
        by_radius = [
            ((turns,), (f"vehicle.{end}_tyre_radius_mm", "gauge.tape_uncertainty_mm"))
            for end, turns in (("front", front), ("rear", rear))
        ]
        return [*RATIOS, *by_radius]
    if one.clear is not None and (told.number(apart.sizes[0]) or 0.0) > one.clear:  # for certain
        return [DRIVE]
    return [front, rear, DRIVE]


_OF_PART: dict[str, Callable[[One], list[Need]]] = {
    "joint_bind": _bind,
    "front_against_rear": _front_rear,
    "gap": _gap,
    "pair_gap": _pair,
    "line_slack": _line,
    "end_fits": _end,
    "cap_size": lambda one: [*caps_in_series(one.told.facts, JOINT[one.key[1]])],
    "shock_bump": lambda one: [*_bracket(one, "compressed_mm"), *_travel(one.told)],
    "shock_droop": lambda one: [*_bracket(one, "extended_mm"), *_travel(one.told)],
    "shock_crossed": _crossed,
    "shock_place": lambda one: _bracket(one, "compressed_mm", "extended_mm"),
    "shock_lean": lambda one: [*_bracket(one), *_sideways(one.told), *_suspension(one.told)],
    "bar_bind": lambda one: [*_bracket(one, "float_mm"), *_travel(one.told)],
    "bar_lever": lambda one: [*_bracket(one), "axle.centre_mm"],
    "joint_torque": lambda one: [_joint(one, "torque_limit_nm"), *_torque(one.told)],
}
_OF_BUILD: dict[str, Callable[[Told], list[Need]]] = {
    **dict.fromkeys(("pinion_residual", "shaft_inertia_drive", "shaft_inertia_coast", "operating_angle_most"), _motion),
    **dict.fromkeys(("residual_at_top", "inertia_at_top"), _at_top),
    **dict.fromkeys(
        ("equivalent_angle", "ends_parallel", "straight_end", "operating_angle_least", "first_joint"), _lines
    ),
    "bump_left": lambda told: ["suspension.bump_mm", *_driven_sag(told)],
    "stick_slope": lambda told: [*_GAUGE, *_axle_level(told), *_measured_turn(told)],
    "tape_length": lambda told: [*_GAUGE[1:], *_axle_level(told), *_measured_turn(told)],
    "shaft_slope": lambda told: [*_lines(told), *_tilt(told)],
    "critical_speed": lambda told: [*_tubes(told), *_highest(told)],
    "half_critical_speed": lambda told: [*_tubes(told), *_cruise(told)],
    "tube_shear": lambda told: [*_tube(told, "outer_diameter_mm", "wall_mm"), *_torque(told)],
    "joint_life": _life,
    "bearing_square": lambda told: [
        *_output_joint(told),
        "shaft.bearing_mm",
        "shaft.bearing_slope_deg",
        "shaft.bearing_plan_deg",
    ],
    "seal_travel": lambda told: [*_joints(told), *_travel(told)],
    "lift": _turned,
    "caster": lambda told: ["axle.pinion_slope_deg", *_axle_level(told), *_pinion(told), *_turned(told)],
    "shackle_lean": _suspension,
    "travel_reach": _travel,
    **dict.fromkeys(("slip_left", "slip_engaged"), _slip),
    "windup_cruise": _cruise_windup,
    "windup_launch": lambda told: [*_wound(told), *_torque(told)],
    "lateral_lift": lambda told: [*_sideways(told), *_moved(told)],
    "lateral_shift": lambda told: [*_sideways(told), *_travel(told)],
    **dict.fromkeys(("pinion_nose_up", "pinion_nose_down"), _nose),
    **dict.fromkeys(("tail_down", "tail_up"), _tail),
    "gauge_resolution": _resolution,
    "link_slope": _link,
    "drag_slope": lambda told: ["lateral_link.drag_box_mm", "lateral_link.drag_axle_mm", *_link(told)],
}


def needs_of(one: One) -> list[Need]:
    """What a finding needs to be judged at all."""
    if one.id in _OF_PART:
        return _OF_PART[one.id](one)
    return _OF_BUILD[one.id](one.told) if one.id in _OF_BUILD else list(_FIXED[one.id])


# ---------------------------------------------------------------------- what may turn a verdict where it is left empty


def _open(one: One) -> list[Need]:
    """What by itself turns the verdict, so that it is asked first; where that cannot be told, whatever may."""
    told = one.told
    turn = list[Need](path for path, rows in told.facts.turned_by.get(one.key, {}).items() if told.at(rows))
    if one.id in OVER_TRAVEL and one.value is not None and told.at(told.facts.travels):
        turn += _turning(one)
    return turn if lacking(told.build, turn) else _may_turn(one)


def _turning(one: One) -> list[Need]:
    """What turns a verdict on a number over the travel: its last places, launch torque, or the spline's diameter."""
    told, needs = one.told, list[Need]()
    certain = told.at(told.facts.travelled.certain)
    ends = []
    for values in told.facts.over_windup(over_travel(one)):
        here = told.at(values)
        ends += [np.fmin.reduce(np.where(certain, here, np.nan)), np.fmin.reduce(here)]
    spline = one.id == "slip_engaged" and np.isnan(told.at(told.facts.v["shaft.slip.spline_diameter_mm"]))
    # A larger spline is as much as less of it engaged.
    shares = (1.0, USUAL_SPLINE_MM / LARGE_SPLINE_MM) if spline else (1.0,)
    line, hold = (as_number(np.nan if end is None else end) for end in (one.clear, one.hold))
    rest, last, wound, both = codes(as_number(-1.0), np.outer(ends, shares), line, hold)
    if (rest != last).any() or (wound != both).any():
        needs.append("suspension.bump_squash_mm")
    if (rest != wound).any() or (last != both).any():
        needs += _at_launch(told)
    if spline and (rest[0] != rest[1] or both[0] != both[1]):
        needs.append("shaft.slip.spline_diameter_mm")
    return needs


def _may_turn(one: One) -> list[Need]:
    told = one.told
    needs: list[Need] = []
    if one.id in _TORQUE:
        needs += open_torque(told)
    if one.id in _TRAVEL and told.facts.positions and _travels(one):
        needs += _open_travel(one)
    if one.id == "windup_cruise":
        needs += _bars(told)
    if one.id in IN_STATES:
        needs += [not_said.path for not_said in open_of(told.facts.v)]
    if one.id == "slip_engaged":
        needs.append("shaft.slip.spline_diameter_mm")
    if one.id == "half_critical_speed" and one.value is not None:
        needs.append("vehicle.tyre_turns_per_km")
    if one.id in _NO_LINES:
        return needs
    return [*needs, _ONE_LINE[one.id]] if one.id in _ONE_LINE else needs + _assumed(one)


def _travels(one: One) -> bool:
    """Whether the axle's travel has a part in a finding, as in a gap of what it carries."""
    if one.id != "pair_gap":
        return True
    build = one.told.build
    return any(build.obstacles[index].carried_by == "axle" for index in pairs_of(build)[obstacle_of(one.key)])


def _open_travel(one: One) -> list[Need]:
    told = one.told
    needs: list[Need] = ["suspension.bump_squash_mm"]
    return needs if one.id in _AT_REST else [*needs, *_at_launch(told)]


def _at_launch(told: Told) -> list[Need]:
    """What leaves open how far launch torque winds the axle up."""
    if told.at(told.facts.launch_settled):
        return []
    return [*_bars(told), *_wound(told), *_torque(told), *open_torque(told)]


def _bars(told: Told) -> list[Need]:
    """What is wanted of torque bars, which may hold the axle as it winds up."""
    bars = range(len(told.build.torque_bars))
    ends = ("frame_point_mm", "axle_point_mm", "float_mm")
    return (
        [f"torque_bars.{bar}.{name}" for bar in bars for name in ends] if told.at(told.facts.fitted.bars_open) else []
    )


def open_torque(told: Told) -> list[Need]:
    """Entries of the launch torque that leave it open where they are not there: only of the side that sets it."""
    speeds = told.facts.speeds
    low: list[Need] = [*_ENGINE, "powertrain.low_range", "powertrain.converter_ratio"]
    slip: list[Need] = [*_tyres(told), "vehicle.mass_centre_height_mm", "vehicle.wheelbase_mm", "axle.efficiency"]
    if told.at(speeds.torque_least_nm == speeds.torque_most_nm):
        return []
    if told.at(speeds.torque_most_nm <= speeds.low_gear_nm):
        return slip
    return [*low, *slip]


def _assumed(one: One) -> list[Need]:
    told = one.told
    needs: list[Need] = [*_PLACES] if told.at(told.facts.shaft_plan_open) else []
    for path, _ in ASSUMED:
        if not told.at(told.facts.flat) if path in IN_PLAN else one.id in _SHARE:
            needs.append(path)
    if one.id in _TURNING and told.facts.v.word("shaft.kind") is not None:
        needs += told.facts.kinds.phases
    return needs
