"""Builds that the tests of `geometry` share: two whole ones, and a strategy for all that the document allows."""

import types
from typing import Annotated, Any, Literal, Union, get_args, get_origin

import annotated_types
import hypothesis.strategies as st
import pytest
from pydantic import ValidationError
from pydantic.fields import FieldInfo

from geometry import Build, edited
from geometry.document.quantity import Section

SMALLEST = 0.05
"""Where an entry only has to be more than nothing: finer than any tape, gauge or scale reads, in whatever unit."""


@pytest.fixture(scope="session")
def one_piece() -> Build:
    """An invented short-wheelbase vehicle with a one-piece shaft, everything about its ride height measured."""
    return Build.model_validate_json("""{
        "title": "one piece", "display": {"length": "millimetre", "torque": "newton_metre"},
        "gauge": {"angle_uncertainty_deg": 0.1, "tape_uncertainty_mm": 1.5},
        "readings": {"shaft_slope_deg": 7.6, "shaft_length_mm": 1153.0, "seat_slope_deg": 0.5},
        "vehicle": {"wheelbase_mm": 2600.0, "front_tyre_radius_mm": 390.0, "rear_tyre_radius_mm": 390.0,
            "frame_slope_deg": 0.5, "frame_height_mm": 600.0, "rear_axle_load_kg": 950.0, "tyre_grip": 0.9,
            "cruise_speed_kmh": 90.0, "top_speed_kmh": 140.0},
        "powertrain": {"output_joint_mm": [1100.0, 30.0, 560.0], "slope_deg": 3.5, "plan_deg": 0.0,
            "front_mount_mm": [80.0, 600.0], "rear_mount_mm": [900.0, 480.0], "peak_torque_nm": 300.0,
            "redline_rpm": 4800.0, "gear_ratios": [3.5, 2.0, 1.4, 1.0], "low_range": 2.5, "converter_ratio": 1.0,
            "efficiency": 0.94},
        "axle": {"centre_mm": [2600.0, 0.0, 390.0], "ratio": 3.9, "efficiency": 0.96, "pinion_slope_deg": 3.4,
            "pinion_length_mm": 350.0, "pinion_drop_mm": 8.0, "pinion_offset_mm": 25.0, "tube_diameter_mm": 76.0,
            "perch_spacing_mm": 1000.0, "flange_to_perch_left_mm": 240.0, "flange_to_perch_right_mm": 240.5},
        "suspension": {"kind": "leaf", "front_eye_mm": [2000.0, 480.0], "shackle_pivot_mm": [3220.0, 560.0],
            "shackle_length_mm": 110.0, "front_half_mm": 600.0, "rear_half_mm": 640.0, "seat": "over",
            "seat_to_axle_mm": 60.0, "rate_n_per_mm": 30.0, "bump_mm": 80.0, "droop_mm": 90.0},
        "shaft": {"kind": "one_piece", "front_joint": {"max_angle_deg": 25.0, "torque_limit_nm": 3000.0,
            "life_rating_nm": 700.0}, "rear_joint": {"max_angle_deg": 25.0, "torque_limit_nm": 3000.0},
            "tube": {"outer_diameter_mm": 76.2, "wall_mm": 2.11}, "slip": {"stroke_mm": 120.0, "engaged_mm": 70.0},
            "phase_deg": 0.0}
    }""")


@pytest.fixture(scope="session")
def two_piece(one_piece: Build) -> Build:
    """The same with a long wheelbase and a support bearing."""
    return edited(
        one_piece,
        {
            "title": "two piece",
            "vehicle.wheelbase_mm": 3900.0,
            "axle.centre_mm": (3900.0, 0.0, 390.0),
            "readings": None,
            "suspension": None,
            "shaft": {
                "kind": "two_piece",
                "bearing_mm": (2200.0, 20.0, 500.0),
                "front_joint": {"max_angle_deg": 25.0, "torque_limit_nm": 3000.0},
                "centre_joint": {"max_angle_deg": 25.0, "torque_limit_nm": 3000.0},
                "rear_joint": {"max_angle_deg": 25.0, "torque_limit_nm": 3000.0},
                "front_tube": {"outer_diameter_mm": 76.2, "wall_mm": 2.11},
                "rear_tube": {"outer_diameter_mm": 76.2, "wall_mm": 2.11},
                "front_phase_deg": 90.0,
                "rear_phase_deg": 0.0,
            },
        },
    )


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    inner = {value for value in (low, 0.0, low / 2.0 + high / 2.0, high) if low <= value <= high}
    return st.one_of(st.sampled_from(sorted(inner)), st.floats(low, high, allow_subnormal=False))


def _bounds(metadata: list[Any]) -> tuple[float, float]:
    low, high = -1e4, 1e4
    flat = [part for one in metadata for part in (one.metadata if isinstance(one, FieldInfo) else [one])]
    for part in flat:
        if isinstance(part, annotated_types.Ge):
            low = float(part.ge)  # type: ignore[arg-type]
        elif isinstance(part, annotated_types.Gt):
            low = max(float(part.gt), SMALLEST)  # type: ignore[arg-type]
        elif isinstance(part, annotated_types.Le):
            high = float(part.le)  # type: ignore[arg-type]
    return low, high


def _values(kind: Any, metadata: list[Any]) -> st.SearchStrategy[Any]:  # noqa: C901, PLR0911  one return a kind
    """Whatever an annotation of the document allows, in plain Python, with the ends of its range often among it."""
    if get_origin(kind) is Annotated:
        inner, *more = get_args(kind)
        return _values(inner, [*metadata, *more])
    if get_origin(kind) in (Union, types.UnionType):
        return st.one_of([_values(one, metadata) for one in get_args(kind) if one is not type(None)])
    if get_origin(kind) is Literal:
        return st.sampled_from(get_args(kind))
    if get_origin(kind) is tuple:
        parts = get_args(kind)
        if parts[-1] is not Ellipsis:
            return st.tuples(*(_values(one, []) for one in parts))
        least = 3 if any(getattr(one, "min_length", 0) == 3 for one in metadata) else 0
        return st.lists(_values(parts[0], []), min_size=least, max_size=least + 2).map(tuple)
    if get_origin(kind) is dict:  # what a kept plan changes
        return st.sampled_from([{}, {"plan.rear_lift_mm": 25.4}, {"axle.ratio": None, "notes": "or so"}])
    if kind is bool:
        return st.booleans()
    if kind is float and any(getattr(one, "multiple_of", None) == 1.0 for one in metadata):
        low, high = _bounds(metadata)
        return st.integers(int(low), int(high)).map(float)
    if kind is float:
        return _numbers(*_bounds(metadata))
    if kind is str:
        return st.sampled_from(["a", "bracket 3 1/2", "é°"])
    assert issubclass(kind, Section)
    return st.deferred(lambda: _sections(kind))  # whose name is short


def _sections(model: type[Section]) -> st.SearchStrategy[dict[str, Any]]:
    """Every entry of a section, but for up to three that were not measured, and a second driveline."""
    declared = {name: field for name, field in model.model_fields.items() if name != "drivelines"}
    fields = {name: _values(field.annotation, list(field.metadata)) for name, field in declared.items()}
    optional = [name for name, field in declared.items() if not field.is_required()]
    absent = st.sets(st.sampled_from(optional), max_size=min(3, len(optional))) if optional else st.just(set())
    return st.builds(
        lambda entries, left_out: _in_order({k: v for k, v in entries.items() if k not in left_out}),
        st.fixed_dictionaries(fields),
        absent,
    )


def _in_order(entries: dict[str, Any]) -> dict[str, Any]:
    """Bring entries that depend on each other into the order that the document asks for."""
    gears = entries.get("gear_ratios")
    if gears is not None:
        entries["gear_ratios"] = tuple(sorted(set(gears), reverse=True)) or None
    for smaller, larger, share in (
        ("wall_mm", "outer_diameter_mm", 0.4),
        ("engaged_mm", "stroke_mm", 1.0),
        ("compressed_mm", "extended_mm", 0.5),
        ("front_least_kg", "front_most_kg", 1.0),
        ("rear_least_kg", "rear_most_kg", 1.0),
    ):
        if entries.get(smaller) is not None and entries.get(larger) is not None:
            entries[smaller] = min(entries[smaller], share * entries[larger])
    if "variants" in entries:  # no two of them are called the same
        entries["variants"] = tuple({one["name"]: one for one in entries["variants"]}.values())
    for loose, shim in (("perches", "axle_shim_deg"), ("mounts", "mount_shim_mm")):
        if entries.get(loose) == "loose" and entries.get(shim) is not None:
            entries[shim] = 0.0
    return entries


def _whole(entries: dict[str, Any]) -> Build | None:
    try:
        return Build.model_validate(entries)
    except ValidationError:
        return None


_BUILDS = _sections(Build).map(_whole).filter(lambda build: build is not None)
st.register_type_strategy(Build, lambda _: _BUILDS)  # worked out once a test asks for it
