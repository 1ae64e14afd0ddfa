"""No entry of the document is dead: of each some build exists in which changing it changes what is judged.

What never changes a value, a verdict or a set-point is listed here by what it is good for, and the lists are exact: an
entry that starts to count has to leave its list, and one that stops counting is seen.
"""

from collections.abc import Iterator
from functools import cache
from types import UnionType
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin

import pytest
from pydantic import BaseModel, ValidationError

from geometry import Build, Solution, edited, solve, value_at
from geometry.document.again import ReadAgain
from geometry.document.shaft_ends import Wishes
from geometry.words.solve import Work, solved
from tests.geometry.strategies import WHOLE, agreed, sample

KEPT = {"title", "notes"}
"""Kept with the build, and told by nothing."""
ORDERED = {
    *(f"{end}_end.thread" for end in ("shaft.front", "shaft.rear", "powertrain.output", "axle.pinion")),
    "shaft.front_end.barrel_mm", "shaft.rear_end.barrel_mm", "shaft.slip.seal", "shaft.bearing_bolts_mm",
    "shaft.bearing_bore_mm", *(f"order.{name}" for name in Wishes.model_fields),
    "shock_stock.*.name",
    "tube_stock.*.outer_diameter_mm", "tube_stock.*.wall_mm", "tube_stock.*.material", "tube_stock.*.yield_mpa",
}  # fmt: skip
"""Told on the paper by which the shaft is ordered, by the choice of its tube, or by that of a shock."""
DRAWN = {"vehicle.frame_height_mm", "vehicle.frame_depth_mm"}
"""Only the picture changes by these."""
SAID = {
    "display.torque",
    "display.inches",
    "obstacles.*.name",
    "shocks.*.name",
    "torque_bars.*.name",
    "flexible_lines.*.name",
    "flexible_lines.*.type",
    "axle.caster_deg",
    "axle.caster_wanted_deg",
    "perches.measured_from",
}
"""Only sentences change by these."""
AGAIN = {f"measured_again.*.{name}" for name in ReadAgain.model_fields}
"""Held against what was to be set, by an answer of its own: tests/geometry/test_again.py."""
BESIDE = {"variants.*.name", "variants.*.changes"}
"""Held against the build, each with an answer of its own: tests/geometry/test_beside.py."""
DOUBTED = {"gauge.zero_uncertainty_deg"}
"""Only how sure the answer is changes by this."""
ALIKE = {"format", "suspension.kind", "shaft.kind"}
"""What kind of section or of file it is: another kind has other entries."""


class Entry(NamedTuple):
    """One entry: its path, ``*`` for any item of a list, its annotation, and the kinds of section it stands in."""

    path: str
    kind: Any
    among: tuple[tuple[str, str], ...]

    @property
    def name(self) -> str:
        return self.path + "".join(f" ({kind})" for _, kind in self.among)


def entries(model: type[BaseModel], prefix: str = "", among: tuple[tuple[str, str], ...] = ()) -> Iterator[Entry]:
    """Every entry of the document, in its order."""
    for name, field in model.model_fields.items():
        yield from _in(field.annotation, f"{prefix}{name}", among)


def _plain(kind: Any) -> list[Any]:
    """What an annotation may be besides None, with what only constrains it taken off."""
    if get_origin(kind) is Annotated:
        return _plain(get_args(kind)[0])
    if get_origin(kind) in {Union, UnionType}:
        return [one for part in get_args(kind) if part is not type(None) for one in _plain(part)]
    return [kind]


def _in(annotation: Any, path: str, among: tuple[tuple[str, str], ...]) -> Iterator[Entry]:
    kinds = _plain(annotation)
    for kind in kinds:
        if isinstance(kind, type) and issubclass(kind, BaseModel):
            here = among
            if len(kinds) > 1:
                (word,) = get_args(kind.model_fields["kind"].annotation)
                here = (*among, (path, word))
            yield from entries(kind, f"{path}.", here)
        elif get_origin(kind) is tuple and get_args(kind)[-1] is Ellipsis:
            (item,) = _plain(get_args(kind)[0])
            if isinstance(item, type) and issubclass(item, BaseModel):
                yield from entries(item, f"{path}.*.", among)
            else:
                yield Entry(path, kind, among)
        else:
            yield Entry(path, kind, among)


SECOND = "drivelines.*."
"""The second driveline's entries are the first's, seen from it: tests/geometry/test_both.py."""
ENTRIES = [one for one in entries(Build) if one.path not in ALIKE | BESIDE and not one.path.startswith(SECOND)]


def changed(entry: Entry, value: Any) -> list[Any]:
    """Other values for an entry, not all of them possible."""
    kind = entry.kind
    if get_origin(kind) is Literal:
        return [word for word in (*get_args(kind), None) if word != value]
    if kind is bool:
        return [not value]
    if kind is str:
        return [f"{value} or so"]
    if kind is float:
        return [value + 1.0, value * 1.07 + 0.3, value - 6.0, value * 1.6 + 1.0, value / 3.0]
    if all(isinstance(part, float) for part in value):
        shifts = [[(7.0 if at == place else 0.0) for at in range(len(value))] for place in range(len(value))]
        moved = [tuple(part + step for part, step in zip(value, one, strict=True)) for one in shifts]
        return [*moved, tuple(part * 1.1 for part in value)]
    return [tuple((x - 30.0, y - 30.0) for x, y in value)]


def paths_of(entry: Entry, build: Build) -> list[str]:
    """Paths of an entry in a build: one for each item of a list; none where it stands in another kind of section."""
    if any(getattr(value_at(build, path), "kind", None) != word for path, word in entry.among):
        return []
    head, star, rest = entry.path.partition(".*")
    if not star:
        return [entry.path]
    return [f"{head}.{number}{rest}" for number in range(len(value_at(build, head) or ()))]


# --- builds in which every entry stands -------------------------------------------------------------------------------

READ: dict[str, object] = {
    name: 1.0 if "_deg" in name else True if field.annotation == (bool | None) else 1000.0
    for name, field in ReadAgain.model_fields.items()
    if name not in {"stage", "day"}
} | {"stage": "driven", "day": "12 May"}
SIZES: dict[str, object] = {
    "cap_mm": 27.0, "span_mm": 92.0, "clip": "outside", "pilot_mm": 60.0, "bolt_circle_mm": 79.0, "bolts": 4.0,
    "bolt_mm": 9.5, "thread": "fine", "spline_teeth": 27.0, "spline_diameter_mm": 33.0, "seal_mm": 38.0,
}  # fmt: skip
"""Every size that half a connection can have."""
MATES = ("powertrain.output_end", "axle.pinion_end")
JOINT = {"max_angle_deg": 20.0, "torque_limit_nm": 2000.0, "life_rating_nm": 400.0}
SET_UP: dict[str, object] = {
    "perches": {
        "seat_left_deg": 0.9, "seat_right_deg": 0.7, "measured_from": "wheel_flange", "flange_to_flange_mm": 1306.0,
        "springs_apart_mm": 901.0, "casting_gap_mm": 15.0, "first_weld": "front", "weld_pull_deg": 0.4,
    },
    "clamp": {
        "spring_width_mm": 60.0, "pack_height_mm": 50.0, "perch_height_mm": 20.0, "block_mm": 25.0, "wedge_mm": 4.0,
        "plate_mm": 10.0, "bend": "square", "rod_mm": 14.0, "leg_mm": 210.0, "pin_mm": 10.0,
    },
    "square": {
        "wheelbase_left_mm": 2640.0, "wheelbase_right_mm": 2642.0, "holes_apart_mm": 800.0, "ends_apart_mm": 1300.0,
        "diagonal_left_mm": 1601.0, "diagonal_right_mm": 1600.0, "holes_above_mm": 60.0, "offset_left_mm": 250.0,
        "offset_right_mm": 252.0, "toe_over_mm": 600.0, "toe_front_before_mm": 1400.0, "toe_rear_before_mm": 1401.0,
        "toe_front_after_mm": 1399.0, "toe_rear_after_mm": 1402.0, "camber_left_before_deg": 0.1,
        "camber_right_before_deg": 0.0, "camber_left_after_deg": -0.1, "camber_right_after_deg": -0.2,
    },
}  # fmt: skip
"""The axle as it is set up and welded."""
MORE: dict[str, object] = {
    "title": "job", "notes": "none",
    "order": {"on_road": True, "tows": False, "rough": True, "grease": "sealed", "paint": "bare", "old_shaft": True,
              "yokes": False, "face_to_face_mm": 1500.0},
     "readings.seat_slope_deg": 0.8, "readings.shaft_slope_deg": 9.0,
    "readings.shaft_length_mm": 1200.0, "vehicle.frame_depth_mm": 100.0, "powertrain.shock_factor": 1.2,
    "axle.tube_diameter_mm": 75.0, "axle.perch_spacing_mm": 900.0, "axle.flange_to_perch_left_mm": 200.0,
    "axle.flange_to_perch_right_mm": 204.0, "axle.caster_deg": 5.0, "axle.caster_wanted_deg": 4.0,
    "powertrain.engine_length_mm": 500.0, "powertrain.engine_height_mm": 600.0, "powertrain.gearbox_length_mm": 700.0,
    "powertrain.gearbox_height_mm": 250.0,
    "shocks": ({"name": "left", "axle_point_mm": (2500.0, 300.0, 400.0), "frame_point_mm": (2480.0, 250.0, 800.0),
                "compressed_mm": 350.0, "extended_mm": 520.0},),
    "flexible_lines": ({"name": "hose", "axle_point_mm": (2500.0, 600.0, 400.0), "free_length_mm": 300.0,
                        "frame_point_mm": (2480.0, 550.0, 700.0), "slack_mm": 30.0},),
    "shock_stock": ({"name": "long one", "compressed_mm": 300.0, "extended_mm": 520.0},),
    "tube_stock": ({"outer_diameter_mm": 88.9, "wall_mm": 2.1, "yield_mpa": 400.0},),
    "shaft.slip.spline_teeth": 16.0, "shaft.slip.sits": "pinion_end", "shaft.slip.seal": "lip",
    "shaft.slip.seal_travel_mm": 60.0, "plan.output_adapter_mm": 12.0, "plan.pinion_adapter_mm": 10.0,
    **SET_UP,
    "torque_bars": ({"name": "bar", "axle_point_mm": (2500.0, 0.0, 300.0), "frame_point_mm": (2000.0, 0.0, 500.0),
                     "float_mm": 10.0},),
}  # fmt: skip
WELDED: dict[str, object] = {"plan.axle_shim_deg": 1.0, "plan.mount_shim_mm": 3.0, "plan.perches": "welded"}
LOOSE: dict[str, object] = {
    "plan.axle_shim_deg": None, "plan.mount_shim_mm": None, "plan.perches": "loose", "plan.mounts": "loose",
    "plan.pinion_slope_deg": 4.0, "plan.powertrain_slope_deg": 3.0, "plan.powertrain_shift_mm": (5.0, 8.0),
}  # fmt: skip
IN_STATES: dict[str, object] = {
    "vehicle.frame_slope_deg": 0.5, "vehicle.tyre_turns_per_km": 400.0, "vehicle.other_axle_rate_n_per_mm": 35.0,
    "suspension.rate_n_per_mm": 30.0, "plan.rear_lift_mm": 0.0, "plan.front_lift_mm": 0.0,
    "state.on": "tyres", "state.front_load_kg": 10.0, "state.rear_load_kg": 40.0, "state.taped_load_kg": 20.0,
    "state.fuel_share": 0.5, "state.driver_in": False, "state.springs": "new", "state.rail_slope_deg": 0.8,
    "use.front_settling_mm": 12.0, "use.rear_settling_mm": 18.0, "use.front_least_kg": 5.0, "use.front_most_kg": 60.0,
    "use.rear_least_kg": 15.0, "use.rear_most_kg": 220.0, "use.driver_kg": 90.0, "use.driver_x_mm": 1300.0,
    "use.fuel_kg": 70.0, "use.fuel_x_mm": 2300.0,
}  # fmt: skip
"""The state that it was measured in, and those that it is used in."""
SAGGED: dict[str, object] = {"use.front_sag_mm": 9.0, "use.rear_sag_mm": 28.0}
BOTH: dict[str, object] = {
    "plan.pinion_slope_deg": 4.0, "plan.powertrain_slope_deg": 3.0, "plan.powertrain_shift_mm": (5.0, 8.0),
}  # fmt: skip
"""Entries of the loose case, kept beside the fixed one: what turns `perches` and `mounts` into something."""


def over_the_output(build: Build, view: str) -> tuple[dict[str, object], ...]:
    """Obstacles over the output's joint and over the gearbox, or beside the shaft."""
    x, y, z = value_at(build, "powertrain.output_joint_mm")
    side = ((x - 20.0, z + 90.0), (x + 60.0, z + 90.0), (x + 60.0, z + 120.0))
    top = ((x - 20.0, y + 90.0), (x + 60.0, y + 90.0), (x + 60.0, y + 120.0))
    ahead = ((x - 500.0, z + 260.0), (x - 300.0, z + 260.0), (x - 300.0, z + 300.0))
    if hasattr(build.shaft, "bearing_mm"):
        x, _, z = value_at(build, "axle.centre_mm")
        ahead = ((x - 400.0, z + 150.0), (x - 320.0, z + 150.0), (x - 320.0, z + 200.0))
        x, y, z = value_at(build, "powertrain.output_joint_mm")
    over = ((x - 1100.0, z + 500.0), (x - 800.0, z + 500.0), (x - 800.0, z + 520.0))
    return (
        {"name": "one", "view": view, "outline_mm": side if view == "side" else top, "gap_mm": 40.0, "carries": "fuel"},
        {"name": "two", "outline_mm": ahead, "gap_mm": 40.0},
        {"name": "three", "outline_mm": over, "gap_mm": 60.0},
    )


def on_carriers(build: Build) -> tuple[dict[str, object], ...]:
    """What axle and engine carry, near to each other and to a crossmember."""
    x, _, z = value_at(build, "axle.centre_mm")
    pan = ((x - 60.0, z + 120.0), (x + 60.0, z + 120.0), (x + 60.0, z + 150.0))
    tube = ((x - 30.0, z - 30.0), (x + 30.0, z - 30.0), (x, z + 40.0))
    beam = ((x - 20.0, z + 190.0), (x + 20.0, z + 190.0), (x, z + 220.0))
    return (
        {"name": "pan", "carried_by": "engine", "outline_mm": pan, "left_mm": -150.0, "right_mm": 170.0},
        {"name": "tube", "carried_by": "axle", "outline_mm": tube, "gap_mm": 40.0},
        {"name": "beam", "outline_mm": beam},
    )


def filled(build: Build, *more: dict[str, object]) -> Build:
    """A sample with every entry that its kinds have."""
    changes: dict[str, object] = dict(MORE)
    for joint in ("front", "centre", "rear"):
        if hasattr(build.shaft, f"{joint}_joint"):
            changes |= {f"shaft.{joint}_joint.{name}": value for name, value in JOINT.items()}
            changes |= {f"shaft.{joint}_joint.series": "1350"}
    for tube in ("tube", "front_tube", "rear_tube"):
        if hasattr(build.shaft, tube):
            changes |= {f"shaft.{tube}.yield_mpa": 350.0}
    if hasattr(build.shaft, "bearing_mm"):
        changes |= {"shaft.bearing_bore_mm": 40.0, "shaft.centre_joint.series": "1350",
                    "shaft.centre_end": {"cap_mm": 29.0, "span_mm": 92.0, "clip": "outside"},
                    "shaft.bearing_plan_deg": 1.0, "shaft.bearing_slope_deg": 1.0,
                    "shaft.bearing_off_centre_mm": 1.0, "shaft.bearing_step_mm": 6.0,
                    "shaft.bearing_bolts_mm": 190.0}  # fmt: skip
    # Of each type of end some builds have two, and none has a plate that would bridge its flanges.
    ours, theirs = (("flange", "flange"), ("caps", "clips"), ("spline", "spline"))[WHOLE.index(build) % 3]
    for end in ("front", "rear"):
        changes |= {f"shaft.{end}_end": {**SIZES, "type": ours, "pilot": "male", "barrel_mm": 90.0}}
        changes |= {f"shaft.{end}_end.other_series": "1330"}
    for mate in MATES:
        changes |= {mate: {**SIZES, "type": theirs, "pilot": "female", "series": "1330"}}
    if ours == "flange":
        changes |= {"plan.output_adapter_mm": None, "plan.pinion_adapter_mm": None}
    changes |= {"lateral_link": {
        "frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0),
        "drag_box_mm": (2300.0, -450.0, 480.0), "drag_axle_mm": (2400.0, 450.0, 410.0),
    }, "suspension.stop_spacing_mm": 800.0}  # fmt: skip
    end = "front" if value_at(build, "axle.end") == "front" else "rear"
    changes |= {f"plan.{end}_lift_mm": 30.0, "plan.lateral_link_longer_mm": 3.0, **WELDED, **BOTH}
    for one in more:
        changes |= one
    return agreed(edited(build, changes))


@cache
def pool() -> tuple[Build, ...]:
    """Builds among which each entry can be shown to count."""
    made = []
    for build, loose, by_block in zip(
        WHOLE, (True, False, False, True, False), (True, False, False, False, False), strict=True
    ):
        obstacles = {"obstacles": over_the_output(build, "side")}
        swings = {
            f"shaft.{joint}_joint.swing_mm": 100.0
            for joint in ("front", "centre", "rear")
            if hasattr(build.shaft, f"{joint}_joint")
        }
        made.append(filled(build, obstacles))
        if loose:
            made.append(filled(build, obstacles, swings, LOOSE, {"suspension.stop_spacing_mm": None}))
        if by_block:
            block = {"plan.rear_lift_by": "block", "plan.rear_lift_mm": -15.0, "plan.front_lift_mm": -15.0}
            inches = {"display.length": "inch", "display.inches": "sixteenths"}
            made.append(filled(build, {**block, "plan.front_lift_by": "block", **inches}))
    # A two-piece shaft with slip yokes at its ends, and one whose bearing is better moved.
    yokes = {f"{end}.type": "spline" for end in ("shaft.front_end", "shaft.rear_end", *MATES)}
    low = {"shaft.bearing_mm": (2520.0, 0.0, 400.0), "shaft.bearing_step_mm": 6.0}
    made += [filled(WHOLE[3], yokes), edited(WHOLE[3], low)]
    unsettled = {"use.front_settling_mm": None, "use.rear_settling_mm": None}
    made += [filled(WHOLE[0], IN_STATES, SAGGED), filled(WHOLE[4], IN_STATES), filled(WHOLE[0], IN_STATES, unsettled)]
    rock = {"powertrain.rock_deg": 3.0, "powertrain.crank_mm": (100.0, 0.0, 700.0)}
    sunk = {"use.front_mount_settling_mm": 6.0, "use.rear_mount_settling_mm": 9.0}
    made += [filled(WHOLE[0], rock, sunk, {"obstacles": on_carriers(WHOLE[0])})]
    made += [WHOLE[0], edited(sample("three_angles_and_a_length"), {"measured_again.0": READ})]
    return tuple(made)


# --- what a change changes --------------------------------------------------------------------------------------------

ECHOED = {"slip_stroke_mm", "axle_shim_deg", "mount_shim_mm", "bearing_height_mm"}
"""Set-points that repeat an entry where nothing is recommended."""


def parts_of(answer: Solution) -> tuple[str, str, str]:
    """What is judged, what is drawn, and what is said, each as text; what only repeats an entry is left out."""
    whole = answer.model_dump()
    picture = whole.pop("picture")
    said = [whole.pop("says")]
    said += [whole["order"].pop(f"{what}_says") for what in ("length", "phase")]
    said.append(whole["order"].pop("length_short"))
    said += [line.pop("where") for line in whole["lines"]]
    said += [one.pop("says") for one in whole["buying"]]
    if whole["brackets"] is not None:
        said += [one.pop("name") for one in (*whole["brackets"]["shocks"], *whole["brackets"]["torque_bars"])]
        allowed = whole["brackets"]["allowed"]
        said += [] if allowed is None else [allowed.pop(name) for name in ("says", "bump_by", "droop_by")]
    whole["angles"].pop("frame_slope_deg")
    for name in ECHOED:
        whole["setpoints"].pop(name)
    for finding in whole["findings"]:
        said += [finding.pop(name) for name in ("says", "title", "entry", "basis")]
        for remedy in ([] if finding["remedy"] is None else [finding["remedy"]]) + list(finding["alternatives"]):
            said.append(remedy.pop("says"))
    return repr(whole), repr(picture), repr(said)


@cache
def told(number: int) -> tuple[str, str, str]:
    return parts_of(solve(pool()[number]))


@cache
def judged(number: int) -> str:
    return parts_of(solved(Work(pool()[number]), with_ways=False))[0]


NOTHING, SENTENCE, PICTURE, COUNTS = range(4)


def counts_plainly(entry: Entry) -> bool:
    """Whether a change of it changes what is judged without any way out, which is told in a third of the time."""
    for number, build in enumerate(pool()):
        for path in paths_of(entry, build):
            value = value_at(build, path)
            for other in () if value is None else changed(entry, value):
                try:
                    another = edited(build, {path: other})
                except ValidationError:
                    continue
                if parts_of(solved(Work(another), with_ways=False))[0] != judged(number):
                    return True
    return False


def effect(entry: Entry, builds: int | None = None, values: int | None = None) -> int:
    """The most that a change of an entry changes, over all builds, or so many that have it, and values."""
    most, entered = NOTHING, False
    having = [
        (number, build)
        for number, build in enumerate(pool())
        if any(value_at(build, path) is not None for path in paths_of(entry, build))
    ]
    for number, build in having[:builds]:
        for path in paths_of(entry, build):
            value = value_at(build, path)
            if value is None:
                continue
            entered = True
            for other in changed(entry, value)[:values]:
                try:
                    another = edited(build, {path: other})
                except ValidationError:
                    continue
                whole, picture, said = (
                    one != two for one, two in zip(parts_of(solve(another)), told(number), strict=True)
                )
                if whole:
                    return COUNTS
                most = max(most, PICTURE if picture else SENTENCE if said else NOTHING)
    assert entered, f"no build of the pool has {entry.name}"
    return most


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry.name)
def test_each_entry_counts_or_stands_in_its_list(entry: Entry) -> None:
    listed = [
        kind
        for kind, some in ((NOTHING, KEPT | ORDERED | DOUBTED | AGAIN), (PICTURE, DRAWN), (SENTENCE, SAID))
        if entry.path in some
    ]
    if not listed and counts_plainly(entry):
        return
    if listed and effect(entry, 4, 2) == listed[0]:
        return
    assert effect(entry) == (listed[0] if listed else COUNTS)


def test_the_lists_name_entries_only() -> None:
    assert {entry.path for entry in ENTRIES} >= KEPT | ORDERED | DRAWN | SAID | DOUBTED | AGAIN
    assert sum(map(len, (KEPT, ORDERED, DRAWN, SAID, DOUBTED))) == len(KEPT | ORDERED | DRAWN | SAID | DOUBTED)
