"""The build document: what it refuses, how it is edited, and that every entry says what it is."""

import json
import math
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, given, settings
from pydantic import ValidationError

from geometry import Build, edited, value_at
from geometry.document.brackets import Shock
from geometry.document.quantity import Section

SLOPE = ("powertrain", "slope_deg")
FRONT_JOINT = ("shaft", "one_piece", "front_joint")
TRIANGLE = [[0, 0], [1, 1], [2, 0]]


def refused(entries: dict[str, Any]) -> tuple[Any, ...]:
    """Where the document says no, given as JSON text, which is how files come."""
    with pytest.raises(ValidationError) as caught:
        Build.model_validate_json(json.dumps(entries))
    return caught.value.errors()[0]["loc"]


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(build=st.from_type(Build))
def test_saved_and_read_again_it_is_the_same(build: Build) -> None:
    assert Build.model_validate_json(build.model_dump_json()) == build
    assert edited(build, {}) == build


@pytest.mark.parametrize("wrong", ["3.5", True, None, [3.5], {"deg": 3.5}], ids=repr)
def test_a_number_is_a_number(wrong: Any) -> None:
    if wrong is None:
        assert Build.model_validate_json('{"powertrain": {"slope_deg": null}}').powertrain is not None
    else:
        assert refused({"powertrain": {"slope_deg": wrong}}) == SLOPE


@pytest.mark.parametrize("wrong", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_only_finite_numbers(wrong: str) -> None:
    with pytest.raises(ValidationError) as caught:
        Build.model_validate_json(f'{{"powertrain": {{"slope_deg": {wrong}}}}}')
    assert caught.value.errors()[0]["loc"] in (SLOPE, ())


@pytest.mark.parametrize("wrong", [math.nan, math.inf, -math.inf])
def test_only_finite_numbers_by_edit(wrong: float) -> None:
    with pytest.raises(ValidationError) as caught:
        edited(Build(), {"powertrain.slope_deg": wrong})
    assert caught.value.errors()[0]["loc"] == SLOPE


@pytest.mark.parametrize(
    ("entries", "place"),
    [
        ({"powertrian": {}}, ("powertrian",)),
        ({"powertrain": {"slope": 3.5}}, ("powertrain", "slope")),
        ({"powertrain": {"slope_deg": 61}}, SLOPE),
        ({"powertrain": {"output_joint_mm": [1, 2]}}, ("powertrain", "output_joint_mm", 2)),
        ({"powertrain": {"output_joint_mm": [1, 2, 99999]}}, ("powertrain", "output_joint_mm", 2)),
        ({"axle": {"ratio": 0.5}}, ("axle", "ratio")),
        ({"axle": {"end": "middle"}}, ("axle", "end")),
        ({"vehicle": {"wheelbase_mm": 0}}, ("vehicle", "wheelbase_mm")),
        ({"vehicle": {"wheelbase_mm": -2600}}, ("vehicle", "wheelbase_mm")),
        ({"plan": {"axle_shim_deg": 30.5}}, ("plan", "axle_shim_deg")),
        ({"vehicle": {"mass_centre_height_mm": 3000.5}}, ("vehicle", "mass_centre_height_mm")),
        ({"vehicle": {"mass_centre_height_mm": 0}}, ("vehicle", "mass_centre_height_mm")),
        ({"powertrain": {"shock_factor": 0.99}}, ("powertrain", "shock_factor")),
        ({"powertrain": {"shock_factor": 5.01}}, ("powertrain", "shock_factor")),
        ({"axle": {"caster_deg": -30.5}}, ("axle", "caster_deg")),
        ({"axle": {"caster_wanted_deg": 30.5}}, ("axle", "caster_wanted_deg")),
        ({"suspension": {"kind": "leaf", "bump_squash_mm": 200.5}}, ("suspension", "leaf", "bump_squash_mm")),
        ({"suspension": {"kind": "links", "bump_squash_mm": -0.5}}, ("suspension", "links", "bump_squash_mm")),
        ({"suspension": {"kind": "links", "rigid": "yes"}}, ("suspension", "links", "rigid")),
        ({"suspension": {"kind": "leaf", "rigid": True}}, ("suspension", "leaf", "rigid")),
        ({"shaft": {"kind": "one_piece", "front_joint": {"series": "1320"}}}, (*FRONT_JOINT, "series")),
        ({"shaft": {"kind": "one_piece", "front_joint": {"series": 1310}}}, (*FRONT_JOINT, "series")),
        ({"shaft": {"kind": "one_piece", "front_joint": {"swing_mm": 400.5}}}, (*FRONT_JOINT, "swing_mm")),
        (
            {"shaft": {"kind": "one_piece", "slip": {"spline_diameter_mm": 200.5}}},
            ("shaft", "one_piece", "slip", "spline_diameter_mm"),
        ),
        ({"obstacles": [{"outline_mm": TRIANGLE, "carries": "water"}]}, ("obstacles", 0, "carries")),
        ({"plan": {"perches": "bolted"}}, ("plan", "perches")),
        ({"plan": {"perches": None}}, ("plan", "perches")),
        ({"plan": {"mounts": "welded"}}, ("plan", "mounts")),
        ({"plan": {"pinion_slope_deg": 60.5}}, ("plan", "pinion_slope_deg")),
        ({"plan": {"powertrain_slope_deg": -60.5}}, ("plan", "powertrain_slope_deg")),
        ({"plan": {"powertrain_shift_mm": [1, 2, 3]}}, ("plan", "powertrain_shift_mm")),
        ({"plan": {"lateral_link_longer_mm": -300.5}}, ("plan", "lateral_link_longer_mm")),
        ({"plan": {"output_adapter_mm": -0.5}}, ("plan", "output_adapter_mm")),
        ({"plan": {"pinion_adapter_mm": 200.5}}, ("plan", "pinion_adapter_mm")),
        ({"powertrain": {"output_end": {"type": "caps"}}}, ("powertrain", "output_end", "type")),
        ({"powertrain": {"output_end": {"bolts": 4.5}}}, ("powertrain", "output_end", "bolts")),
        ({"axle": {"pinion_end": {"spline_teeth": 3}}}, ("axle", "pinion_end", "spline_teeth")),
        ({"axle": {"pinion_end": {"other_series": "1310"}}}, ("axle", "pinion_end", "other_series")),
        (
            {"shaft": {"kind": "one_piece", "front_end": {"type": "straps"}}},
            ("shaft", "one_piece", "front_end", "type"),
        ),
        (
            {"shaft": {"kind": "two_piece", "slip": {"spline_teeth": 16.5}}},
            ("shaft", "two_piece", "slip", "spline_teeth"),
        ),
        (
            {"shaft": {"kind": "one_piece", "bearing_slope_deg": 1}},
            ("shaft", "one_piece", "bearing_slope_deg"),
        ),
        ({"tube_stock": [{"wall_mm": 50.5}]}, ("tube_stock", 0, "wall_mm")),
        ({"perches": {"measured_from": "drum"}}, ("perches", "measured_from")),
        ({"perches": {"weld_pull_deg": -0.1}}, ("perches", "weld_pull_deg")),
        ({"clamp": {"bend": "flat"}}, ("clamp", "bend")),
        ({"square": {"camber_left_after_deg": 20.5}}, ("square", "camber_left_after_deg")),
        ({"format": 2}, ("format",)),
        ({"title": "x" * 201}, ("title",)),
        ({"display": {"length": "furlong"}}, ("display", "length")),
        ({"obstacles": [{"outline_mm": [[0, 0], [1, 1]]}]}, ("obstacles", 0, "outline_mm")),
        ({"shocks": [{"name": ""}]}, ("shocks", 0, "name")),
        ({"shaft": {"kind": "one_piece", "bearing_mm": [0, 0, 0]}}, ("shaft", "one_piece", "bearing_mm")),
    ],
)
def test_refused_with_its_place(entries: dict[str, Any], place: tuple[Any, ...]) -> None:
    assert refused(entries) == place


@pytest.mark.parametrize(
    ("entries", "word"),
    [
        ({"powertrain": {"gear_ratios": []}}, "gear_ratios"),
        ({"powertrain": {"gear_ratios": [1.0, 2.0]}}, "gear_ratios"),
        ({"powertrain": {"front_mount_mm": [1, 2], "rear_mount_mm": [1, 2]}}, "rear_mount_mm"),
        ({"shaft": {"kind": "one_piece", "tube": {"outer_diameter_mm": 50, "wall_mm": 25}}}, "wall_mm"),
        ({"shaft": {"kind": "one_piece", "slip": {"stroke_mm": 50, "engaged_mm": 51}}}, "engaged_mm"),
        ({"shocks": [{"compressed_mm": 300, "extended_mm": 300}]}, "extended_mm"),
        ({"plan": {"perches": "loose", "axle_shim_deg": 2}}, "axle_shim_deg: must be 0 where the perches are loose"),
        ({"plan": {"perches": "loose", "axle_shim_deg": -0.5}}, "axle_shim_deg"),
        ({"plan": {"mounts": "loose", "mount_shim_mm": 6}}, "mount_shim_mm: must be 0 where the mounts are loose"),
        ({"plan": {"mounts": "loose", "mount_shim_mm": -6, "perches": "loose"}}, "mount_shim_mm"),
        ({"use": {"front_least_kg": 80, "front_most_kg": 79}}, "front_most_kg"),
        ({"use": {"rear_least_kg": 300, "rear_most_kg": 100}}, "rear_most_kg"),
    ],
)
def test_entries_that_cannot_both_be(entries: dict[str, Any], word: str) -> None:
    with pytest.raises(ValidationError, match=word):
        Build.model_validate_json(json.dumps(entries))


@pytest.mark.parametrize(
    "plan",
    [
        {"perches": "loose", "axle_shim_deg": 0, "mount_shim_mm": 6, "pinion_slope_deg": 3.5},
        {"perches": "loose", "axle_shim_deg": None},
        {
            "mounts": "loose",
            "mount_shim_mm": 0,
            "axle_shim_deg": 2,
            "powertrain_slope_deg": 3,
            "powertrain_shift_mm": [-5, 8],
        },
        {
            "axle_shim_deg": 2,
            "mount_shim_mm": 6,
            "pinion_slope_deg": 3.5,
            "powertrain_slope_deg": 3,
            "powertrain_shift_mm": [1, 2],
        },
    ],
)
def test_entries_of_the_plan_that_stand_beside_each_other(plan: dict[str, Any]) -> None:
    build = Build.model_validate_json(json.dumps({"plan": plan}))
    assert json.loads(build.model_dump_json())["plan"].items() >= plan.items()


def test_a_loose_perch_is_refused_by_edit_and_the_old_build_stays() -> None:
    old = edited(Build(), {"plan.axle_shim_deg": 2.0})
    with pytest.raises(ValidationError, match="axle_shim_deg"):
        edited(old, {"plan.perches": "loose"})
    new = edited(old, {"plan.perches": "loose", "plan.axle_shim_deg": None})
    assert (value_at(old, "plan.perches"), value_at(new, "plan.perches")) == ("welded", "loose")


@pytest.mark.parametrize("kind", ["leaf", "links"])
def test_a_file_without_the_later_entries_opens_with_none_of_them(kind: str) -> None:
    text = json.dumps({
        "format": 1, "vehicle": {}, "powertrain": {}, "axle": {}, "suspension": {"kind": kind}, "plan": {},
        "shaft": {"kind": "one_piece", "front_joint": {}, "slip": {}}, "obstacles": [{"outline_mm": TRIANGLE}],
    })  # fmt: skip
    build = Build.model_validate_json(text)
    for path in (
        "vehicle.mass_centre_height_mm", "powertrain.shock_factor", "axle.caster_deg", "axle.caster_wanted_deg",
        "suspension.bump_squash_mm", "shaft.front_joint.series", "shaft.front_joint.swing_mm",
        "shaft.slip.spline_diameter_mm", "obstacles.0.carries", "plan.pinion_slope_deg", "plan.powertrain_slope_deg",
        "plan.powertrain_shift_mm", "plan.lateral_link_longer_mm", "plan.output_adapter_mm", "plan.pinion_adapter_mm",
        "powertrain.output_end", "axle.pinion_end", "shaft.front_end", "shaft.rear_end", "shaft.slip.spline_teeth",
        "shaft.slip.sits", "shaft.slip.seal", "shaft.slip.seal_travel_mm",
    ):  # fmt: skip
        section, _, name = path.rpartition(".")
        assert name in type(value_at(build, section)).model_fields
        assert value_at(build, path) is None
    assert (value_at(build, "plan.perches"), value_at(build, "plan.mounts")) == ("welded", "fixed")
    assert value_at(build, "suspension.rigid") is (False if kind == "links" else None)


RANGES = """
-20000 20000: Axle.centre_mm LateralLink.frame_point_mm LateralLink.axle_point_mm LateralLink.drag_box_mm
    LateralLink.drag_axle_mm LeafSuspension.front_eye_mm
    LeafSuspension.shackle_pivot_mm LinkSuspension.lower_frame_mm LinkSuspension.lower_axle_mm
    LinkSuspension.upper_frame_mm LinkSuspension.upper_axle_mm Obstacle.outline_mm Plan.powertrain_shift_mm
    Powertrain.output_joint_mm Powertrain.front_mount_mm Powertrain.rear_mount_mm Shock.axle_point_mm
    Shock.frame_point_mm TorqueBar.frame_point_mm TorqueBar.axle_point_mm TwoPieceShaft.bearing_mm
    FlexibleLine.frame_point_mm FlexibleLine.axle_point_mm Powertrain.crank_mm
-2000 2000: Obstacle.left_mm Obstacle.right_mm
-1500 1500: Axle.pinion_offset_mm
-500 1000: Plan.rear_lift_mm Plan.front_lift_mm
-500 500: Axle.pinion_drop_mm
-300 300: Plan.mount_shim_mm Plan.lateral_link_longer_mm
-180 180: OnePieceShaft.phase_deg TwoPieceShaft.front_phase_deg TwoPieceShaft.rear_phase_deg
-60 60: Axle.pinion_slope_deg Axle.pinion_plan_deg Plan.pinion_slope_deg Plan.powertrain_slope_deg
    Powertrain.slope_deg Powertrain.plan_deg Readings.shaft_slope_deg Readings.seat_slope_deg
    TwoPieceShaft.bearing_slope_deg TwoPieceShaft.bearing_plan_deg
    ReadAgain.output_slope_deg ReadAgain.shaft_slope_deg ReadAgain.pinion_slope_deg ReadAgain.seat_left_deg
    ReadAgain.seat_right_deg
-30 30: Axle.caster_deg Axle.caster_wanted_deg Plan.axle_shim_deg
-20 20: Vehicle.frame_slope_deg State.rail_slope_deg
    ReadAgain.rail_slope_deg
-3000 15000: Use.driver_x_mm Use.fuel_x_mm
0 1: State.fuel_share
0 5: Gauge.angle_uncertainty_deg Gauge.zero_uncertainty_deg
0 20: Powertrain.rock_deg
0 50: Use.front_mount_settling_mm Use.rear_mount_settling_mm Gauge.tape_uncertainty_mm
0 100: TwoPieceShaft.bearing_off_centre_mm
0 200: Use.front_settling_mm Use.rear_settling_mm LeafSuspension.bump_squash_mm LinkSuspension.bump_squash_mm
    Plan.output_adapter_mm Plan.pinion_adapter_mm
0 500: Obstacle.gap_mm TorqueBar.float_mm
0 600: LeafSuspension.seat_to_axle_mm
0 1000: LeafSuspension.bump_mm LeafSuspension.droop_mm LinkSuspension.bump_mm LinkSuspension.droop_mm Slip.engaged_mm
    FlexibleLine.slack_mm
0 20000: State.front_load_kg State.rear_load_kg State.taped_load_kg Use.front_least_kg Use.front_most_kg
    Use.rear_least_kg Use.rear_most_kg
0 3000000: ReadAgain.odometer_km
0.001 1: Axle.efficiency Powertrain.efficiency Powertrain.cruise_torque_share
0.001 3: Vehicle.tyre_grip
0.001 50: Tube.wall_mm Mate.bolt_mm ShaftEnd.bolt_mm
0.001 90: Joint.max_angle_deg
0.001 100: TwoPieceShaft.bearing_step_mm
0.001 120: Mate.cap_mm ShaftEnd.cap_mm Caps.cap_mm
0.001 200: TwoPieceShaft.bearing_bore_mm Slip.spline_diameter_mm Mate.spline_diameter_mm Mate.seal_mm
    ShaftEnd.spline_diameter_mm ShaftEnd.seal_mm
0.001 400: Joint.swing_mm Tube.outer_diameter_mm Vehicle.cruise_speed_kmh Mate.span_mm Mate.pilot_mm ShaftEnd.span_mm
    ShaftEnd.pilot_mm Caps.span_mm
0.001 500: Use.front_sag_mm Use.rear_sag_mm Use.driver_kg Axle.tube_diameter_mm Vehicle.top_speed_kmh
    Mate.bolt_circle_mm ShaftEnd.bolt_circle_mm ShaftEnd.barrel_mm
0.001 600: LeafSuspension.shackle_length_mm Vehicle.frame_depth_mm TwoPieceShaft.bearing_bolts_mm
0.001 1000: Slip.stroke_mm Slip.seal_travel_mm
0.001 1500: Vehicle.front_tyre_radius_mm Vehicle.rear_tyre_radius_mm
0.001 2000: Axle.pinion_length_mm Axle.flange_to_perch_left_mm Axle.flange_to_perch_right_mm
    LeafSuspension.rate_n_per_mm LinkSuspension.rate_n_per_mm Vehicle.other_axle_rate_n_per_mm
    Powertrain.gearbox_height_mm Shock.compressed_mm StockedShock.compressed_mm
    ReadAgain.flange_to_perch_left_mm ReadAgain.flange_to_perch_right_mm
0.001 3000: Axle.perch_spacing_mm LeafSuspension.stop_spacing_mm LinkSuspension.stop_spacing_mm
    LeafSuspension.front_half_mm LeafSuspension.rear_half_mm Powertrain.engine_height_mm
    Use.fuel_kg Shock.extended_mm StockedShock.extended_mm Tube.yield_mpa Vehicle.frame_height_mm
    Vehicle.mass_centre_height_mm
0.001 4000: Powertrain.engine_length_mm Powertrain.gearbox_length_mm
0.001 5000: FlexibleLine.free_length_mm
0.001 6000: Readings.shaft_length_mm
0.001 10000: Powertrain.peak_torque_nm Wishes.face_to_face_mm
0.001 15000: Vehicle.wheelbase_mm
    ReadAgain.wheelbase_left_mm ReadAgain.wheelbase_right_mm
    ReadAgain.diagonal_left_mm ReadAgain.diagonal_right_mm
0.001 20000: Powertrain.redline_rpm
0.001 40000: Vehicle.rear_axle_load_kg
0.001 500000: Joint.torque_limit_nm Joint.life_rating_nm
>0.05 30: Powertrain.gear_ratios Powertrain.low_range Powertrain.converter_ratio
>0.5 30: Axle.ratio
>50 2000: Vehicle.tyre_turns_per_km
1 5: Powertrain.shock_factor
2 24: Mate.bolts ShaftEnd.bolts
4 100: Mate.spline_teeth ShaftEnd.spline_teeth Slip.spline_teeth
-60 60: Perches.seat_left_deg Perches.seat_right_deg
-2000 2000: AxleSquare.holes_above_mm
-20 20: AxleSquare.camber_left_before_deg AxleSquare.camber_right_before_deg AxleSquare.camber_left_after_deg
    AxleSquare.camber_right_after_deg
0 5: Perches.weld_pull_deg
0 100: Clamp.wedge_mm
0 400: Clamp.perch_height_mm
0 500: Clamp.block_mm
0 1000: Perches.casting_gap_mm
0.001 40: Clamp.pin_mm
0.001 60: Clamp.rod_mm
0.001 100: Clamp.plate_mm
0.001 300: Clamp.spring_width_mm
0.001 400: Clamp.pack_height_mm
0.001 1500: Clamp.leg_mm
0.001 2000: AxleSquare.offset_left_mm AxleSquare.offset_right_mm
0.001 3000: Perches.springs_apart_mm AxleSquare.toe_over_mm
0.001 4000: Perches.flange_to_flange_mm AxleSquare.holes_apart_mm AxleSquare.ends_apart_mm
0.001 5000: AxleSquare.toe_front_before_mm AxleSquare.toe_rear_before_mm AxleSquare.toe_front_after_mm
    AxleSquare.toe_rear_after_mm
0.001 15000: AxleSquare.wheelbase_left_mm AxleSquare.wheelbase_right_mm AxleSquare.diagonal_left_mm
    AxleSquare.diagonal_right_mm
"""
"""Least and most of every number in format 1, itself allowed but after >: narrower, and saved files would not open."""

SAME = {
    "Output": {"Powertrain": ("output_joint_mm", "slope_deg", "plan_deg")},
    "Wheels": {
        "Vehicle": ("tyre_turns_per_km", "rear_axle_load_kg", "other_axle_rate_n_per_mm"),
        "State": ("taped_load_kg",),
    },
    "OwnPlan": {
        "Plan": (
            "axle_shim_deg", "pinion_slope_deg", "powertrain_slope_deg", "lateral_link_longer_mm", "output_adapter_mm",
            "pinion_adapter_mm",
        )
    },
}  # fmt: skip


def ranges(schema: dict[str, Any]) -> set[tuple[str, float]]:
    """Least and most of the numbers that a part of the schema allows."""
    found: set[tuple[str, float]] = set()
    if schema.get("type") in {"number", "integer"}:
        least = f">{schema['exclusiveMinimum']:g}" if "exclusiveMinimum" in schema else f"{schema['minimum']:g}"
        found.add((least, schema["maximum"]))
    parts = [*schema.get("anyOf", []), *schema.get("prefixItems", []), schema.get("items")]
    return found.union(*(ranges(part) for part in parts if isinstance(part, dict)))


def test_every_number_has_its_range() -> None:
    told = {}
    for row in RANGES.replace("\n    ", " ").strip().splitlines():
        between, _, names = row.partition(": ")
        least, most = between.split()
        told |= {name: {(least, float(most))} for name in names.split()}
    for own, shared in SAME.items():  # what each driveline has for itself has the range that it has everywhere
        told |= {f"{own}.{name}": told[f"{of}.{name}"] for of, names in shared.items() for name in names}
    defined = Build.model_json_schema()["$defs"].items()
    found = {f"{part}.{name}": ranges(entry) for part, one in defined for name, entry in one["properties"].items()}
    assert {name: one for name, one in found.items() if one} == told


def test_lists_and_words_have_their_longest() -> None:
    schema = Build.model_json_schema()
    parts, whole = schema["$defs"], schema["properties"]
    items = {name: one["maxItems"] for name, one in whole.items() if "maxItems" in one}
    letters = {name: one["maxLength"] for name, one in whole.items() if "maxLength" in one}
    names = {
        parts[part]["properties"]["name"]["maxLength"]
        for part in ("Shock", "StockedShock", "TorqueBar", "FlexibleLine", "Obstacle", "Variant")
    }
    longest = {"shocks": 16, "torque_bars": 8, "flexible_lines": 16, "obstacles": 100, "tube_stock": 40}
    assert items == longest | {"measured_again": 12, "shock_stock": 40, "drivelines": 1, "variants": 12}
    second = {name: one["maxItems"] for name, one in parts["Driveline"]["properties"].items() if "maxItems" in one}
    assert second == {name: items[name] for name in second}
    assert (letters, names) == ({"title": 200, "notes": 20_000}, {80})
    outline, (ratios, _) = (
        parts["Obstacle"]["properties"]["outline_mm"],
        parts["Powertrain"]["properties"]["gear_ratios"]["anyOf"],
    )
    assert (outline["minItems"], outline["maxItems"], ratios["maxItems"]) == (3, 400, 30)


def test_a_build_is_frozen() -> None:
    build = Build()
    with pytest.raises(ValidationError):
        build.title = "new"  # type: ignore[misc]


def test_edits_make_sections_and_leave_the_old_build_alone() -> None:
    old = Build()
    new = edited(old, {"axle.pinion_slope_deg": 3.5, "suspension.rate_n_per_mm": 25.0, "shaft.phase_deg": 5.0})
    assert old == Build()
    assert value_at(new, "axle.pinion_slope_deg") == 3.5
    assert (value_at(new, "suspension.kind"), value_at(new, "shaft.kind")) == ("leaf", "one_piece")


def test_edits_of_lists() -> None:
    one = edited(Build(), {"shocks.0": Shock(name="left")})
    two = edited(one, {"shocks.1": {"name": "right"}})
    assert [shock.name for shock in two.shocks] == ["left", "right"]
    assert edited(two, {"shocks.1.name": "off side"}).shocks[1].name == "off side"
    assert edited(two, {"shocks.0": None}).shocks == (two.shocks[1],)
    assert edited(two, {"lateral_link": None, "axle": None}) == two
    moved = edited(Build(), {"powertrain.output_joint_mm": (1.0, 2.0, 3.0)})
    assert value_at(edited(moved, {"powertrain.output_joint_mm.2": 9.0}), "powertrain.output_joint_mm") == (1, 2, 9)


@pytest.mark.parametrize(
    "path", ["title.first", "shocks.1", "shocks.0.name", "shocks.-1", "powertrain.gear_ratios.0.low"]
)
def test_paths_that_lead_nowhere(path: str) -> None:
    build = edited(Build(), {"powertrain.gear_ratios": (3.0, 1.0), "title": "x"})
    with pytest.raises(KeyError):
        edited(build, {path: 1.0})


def test_value_at() -> None:
    build = edited(Build(), {"shocks": (Shock(name="left"),), "powertrain.gear_ratios": (3.0, 1.0)})
    assert value_at(build, "shocks.0.name") == "left"
    assert value_at(build, "powertrain.gear_ratios.1") == 1.0
    assert value_at(build, "shocks.7.name") is None
    assert value_at(build, "axle.centre_mm") is None


def test_wrong_edits_change_nothing() -> None:
    with pytest.raises(ValidationError) as caught:
        edited(Build(), {"axle.pinion_slope_deg": 75.0})
    assert caught.value.errors()[0]["loc"] == ("axle", "pinion_slope_deg")


def sections() -> list[type[Section]]:
    found: list[type[Section]] = []
    waiting = [Section]
    while waiting:
        for child in waiting.pop().__subclasses__():
            found.append(child)
            waiting.append(child)
    return sorted(found, key=lambda one: one.__name__)


@pytest.mark.parametrize("section", sections(), ids=lambda one: one.__name__)
def test_every_measured_entry_says_what_where_and_in_which_unit(section: type[Section]) -> None:
    assert section.__doc__
    for name, field in section.model_fields.items():
        words = repr(field.annotation)
        if name == "kind" or "geometry." in words:
            continue  # the discriminator, and whole sections, which their own fields describe
        assert field.title, name
        assert field.description, name
        if "float" in words:
            extra = field.json_schema_extra
            assert isinstance(extra, dict), name
            assert isinstance(extra["unit"], str), name


@pytest.mark.parametrize(
    ("path", "counts_as"),
    [
        ("Powertrain.plan_deg", 0), ("Powertrain.low_range", 1), ("Powertrain.converter_ratio", 1),
        ("Axle.pinion_plan_deg", 0), ("Axle.pinion_offset_mm", 0), ("OnePieceShaft.phase_deg", 0),
        ("TwoPieceShaft.front_phase_deg", 0), ("TwoPieceShaft.rear_phase_deg", 0),
    ],
)  # fmt: skip
def test_what_counts_as_nought_or_one_where_it_is_empty_says_so(path: str, counts_as: int) -> None:
    section, _, name = path.partition(".")
    words = Build.model_json_schema()["$defs"][section]["properties"][name]["description"]
    assert f"Enter {counts_as} where you have looked" in words
    assert f"left empty it counts as {counts_as}," in words


def test_the_schema_is_whole() -> None:
    schema = Build.model_json_schema()
    assert schema["additionalProperties"] is False
    assert set(schema["properties"]) >= {"format", "vehicle", "powertrain", "axle", "suspension", "shaft", "plan"}
    json.dumps(schema, allow_nan=False)
