"""A usual vehicle of each kind, invented, with every measurement that the card asks for.

Nothing is judged by it for anybody: the card is drawn of it, and counts with it which measurements buy which verdicts,
as that hangs on what is entered and on the kind of build, not on its size.
"""

from __future__ import annotations

from functools import cache
from typing import Any, Final, Literal, NamedTuple

from geometry.document import Build, edited, joints_of, value_at

JointType = Literal["cardan", "double_cardan", "constant_velocity"]


class BuildKind(NamedTuple):
    """What a build consists of; the card is the same for all builds of a kind."""

    axle: Literal["rear", "front"] = "rear"
    suspension: Literal["leaf", "links"] = "leaf"
    shaft: Literal["one_piece", "two_piece"] = "one_piece"
    joints: tuple[JointType, ...] = ("cardan", "cardan")


def kind_of_build(build: Build | None) -> BuildKind:
    """The kind of a build; a rear axle on leaf springs, a shaft of one piece where it does not say."""
    if build is None:
        return BuildKind()
    return BuildKind(
        value_at(build, "axle.end") or "rear",
        value_at(build, "suspension.kind") or "leaf",
        value_at(build, "shaft.kind") or "one_piece",
        tuple(joint.type for joint in joints_of(build)),
    )


_TRUCK: Final[dict[str, object]] = {
    "gauge.angle_uncertainty_deg": 0.1,
    "gauge.tape_uncertainty_mm": 1.5,
    "readings.seat_slope_deg": 0.5,
    "vehicle.wheelbase_mm": 3238.0,
    "vehicle.front_tyre_radius_mm": 405.0,
    "vehicle.rear_tyre_radius_mm": 410.0,
    "vehicle.frame_slope_deg": 0.0,
    "vehicle.frame_height_mm": 700.0,
    "vehicle.frame_depth_mm": 110.0,
    "vehicle.rear_axle_load_kg": 1250.0,
    "vehicle.tyre_grip": 0.85,
    "vehicle.mass_centre_height_mm": 720.0,
    "vehicle.tyre_turns_per_km": 377.0,
    "vehicle.other_axle_rate_n_per_mm": 40.0,
    "vehicle.cruise_speed_kmh": 98.0,
    "vehicle.top_speed_kmh": 125.0,
    "powertrain.output_joint_mm": (1632.0, 0.0, 645.0),
    "powertrain.slope_deg": 5.0,
    "powertrain.plan_deg": 0.0,
    "powertrain.front_mount_mm": (560.0, 640.0),
    "powertrain.rear_mount_mm": (1420.0, 575.0),
    "powertrain.peak_torque_nm": 310.0,
    "powertrain.redline_rpm": 3600.0,
    "powertrain.gear_ratios": (4.8, 2.6, 1.5, 1.0),
    "powertrain.low_range": 1.0,
    "powertrain.converter_ratio": 1.0,
    "powertrain.shock_factor": 1.5,
    "powertrain.engine_length_mm": 640.0,
    "powertrain.engine_height_mm": 680.0,
    "powertrain.gearbox_length_mm": 760.0,
    "powertrain.gearbox_height_mm": 250.0,
    "axle.end": "rear",
    "axle.centre_mm": (3239.0, 0.0, 410.0),
    "axle.ratio": 3.9,
    "axle.pinion_slope_deg": 5.0,
    "axle.pinion_plan_deg": 0.0,
    "axle.pinion_length_mm": 335.0,
    "axle.pinion_drop_mm": 0.0,
    "axle.pinion_offset_mm": 0.0,
    "axle.tube_diameter_mm": 82.0,
    "axle.perch_spacing_mm": 1010.0,
    "perches.seat_left_deg": 0.5,
    "perches.seat_right_deg": 0.5,
    "axle.flange_to_perch_left_mm": 208.0,
    "axle.flange_to_perch_right_mm": 208.0,
}
_VAN: Final[dict[str, object]] = {
    "vehicle.wheelbase_mm": 4012.0,
    "powertrain.output_joint_mm": (1450.0, 0.0, 600.0),
    "powertrain.front_mount_mm": (450.0, 600.0),
    "powertrain.rear_mount_mm": (1250.0, 530.0),
    "powertrain.slope_deg": 3.0,
    "axle.centre_mm": (4013.0, 0.0, 410.0),
    "axle.pinion_slope_deg": 3.6,
}
_RIG: Final[dict[str, object]] = {
    "vehicle.wheelbase_mm": 2640.0,
    "powertrain.output_joint_mm": (1350.0, -260.0, 520.0),
    "powertrain.front_mount_mm": (350.0, 640.0),
    "powertrain.rear_mount_mm": (1650.0, 560.0),
    "powertrain.slope_deg": 1.0,
    "axle.end": "front",
    "axle.centre_mm": (0.0, 0.0, 405.0),
    "axle.pinion_offset_mm": -260.0,
    "axle.pinion_slope_deg": 1.0,
    "axle.pinion_length_mm": 290.0,
    "vehicle.cruise_speed_kmh": 80.0,
    "vehicle.top_speed_kmh": 110.0,
    "axle.caster_deg": 5.0,
    "axle.caster_wanted_deg": 5.0,
}
_OF_PERCHES: Final = (
    "readings.seat_slope_deg", "axle.perch_spacing_mm", "axle.flange_to_perch_left_mm", "axle.flange_to_perch_right_mm",
    "perches.seat_left_deg", "perches.seat_right_deg",
)  # fmt: skip
"""What an axle on links has not."""
_JOINT: Final[dict[str, object]] = {
    "series": "1350", "swing_mm": 105.0, "max_angle_deg": 30.0, "torque_limit_nm": 4000.0, "life_rating_nm": 1500.0,
}  # fmt: skip
_TUBE: Final[dict[str, object]] = {"outer_diameter_mm": 76.2, "wall_mm": 3.05}
_SLIP: Final[dict[str, object]] = {
    "stroke_mm": 150.0,
    "engaged_mm": 90.0,
    "spline_diameter_mm": 34.9,
    "spline_teeth": 16.0,
}


_DRAG: dict[str, object] = {"drag_box_mm": (-250.0, -400.0, 500.0), "drag_axle_mm": (-150.0, 420.0, 420.0)}
"""Ends of a front axle's drag link."""


@cache
def usual(kind: BuildKind) -> Build:
    """The usual vehicle of a kind, every measurement entered."""
    entries = dict(_TRUCK)
    if kind.axle == "front":
        entries |= _RIG
    elif kind.shaft == "two_piece":
        entries |= _VAN
    at: Any = entries["axle.centre_mm"]
    way = 1.0 if kind.axle == "front" else -1.0
    output: Any = entries["powertrain.output_joint_mm"]
    entries |= _stick(kind)
    if kind.suspension == "links":
        entries = {path: value for path, value in entries.items() if path not in _OF_PERCHES}
    entries["suspension"] = _suspension(kind, at)
    aside: Any = entries["axle.pinion_offset_mm"]
    entries["shaft"] = _shaft(kind, output, (at[0] + way * 300.0, at[1] + aside, at[2] + 30.0))
    entries |= _brackets(at, way)
    return edited(Build(), entries)


def _stick(kind: BuildKind) -> dict[str, object]:
    """What a stick along the shaft, its rear section where there are two, reads of such a vehicle."""
    two, front = kind.shaft == "two_piece", kind.axle == "front"
    slope, length = ((-1.4, 441.0) if two else (-6.5, 1067.0)) if front else ((5.6, 1284.0) if two else (9.2, 1290.0))
    return {"readings.shaft_slope_deg": slope, "readings.shaft_length_mm": length}


def _suspension(kind: BuildKind, at: tuple[float, float, float]) -> dict[str, object]:
    x, _, z = at
    travel = {"bump_mm": 80.0, "bump_squash_mm": 20.0, "droop_mm": 90.0, "stop_spacing_mm": 900.0}
    if kind.suspension == "leaf":
        return {
            "kind": "leaf", "front_eye_mm": (x - 683.0, z + 130.0), "shackle_pivot_mm": (x + 666.0, z + 230.0),
            "shackle_length_mm": 110.0, "front_half_mm": 690.0, "rear_half_mm": 690.0, "seat_to_axle_mm": 75.0,
            "rate_n_per_mm": 90.0, **travel,
        }  # fmt: skip
    way = 1.0 if kind.axle == "front" else -1.0
    return {
        "kind": "links", "lower_frame_mm": (x + way * 790.0, z + 20.0), "lower_axle_mm": (x + way * 40.0, z - 60.0),
        "upper_frame_mm": (x + way * 590.0, z + 210.0), "upper_axle_mm": (x + way * 20.0, z + 140.0), "rigid": True,
        "rate_n_per_mm": 30.0,
        **travel,
    }  # fmt: skip


def _shaft(kind: BuildKind, output: tuple[float, float, float], nose: tuple[float, float, float]) -> dict[str, object]:
    joints = [{"type": one, **_JOINT} for one in kind.joints]
    made: dict[str, object] = {"kind": kind.shaft, "front_joint": joints[0], "rear_joint": joints[-1], "slip": _SLIP}
    if kind.shaft == "one_piece":
        return {**made, "tube": _TUBE, "phase_deg": 0.0}
    share = 0.42
    bearing = tuple(one + share * (two - one) for one, two in zip(output, nose, strict=True))
    return {
        **made, "centre_joint": joints[1], "front_tube": _TUBE, "rear_tube": _TUBE, "front_phase_deg": 0.0,
        "rear_phase_deg": 0.0, "bearing_slope_deg": 5.0, "bearing_plan_deg": 0.0, "bearing_off_centre_mm": 1.0,
        "bearing_step_mm": 3.0, "bearing_bolts_mm": 150.0, "bearing_mm": (bearing[0], bearing[1], bearing[2] + 25.0),
    }  # fmt: skip


def _brackets(at: tuple[float, float, float], way: float) -> dict[str, object]:
    """A shock, a torque bar and a lateral link."""
    x, y, z = at
    return {
        "shocks": (
            {
                "axle_point_mm": (x - way * 90.0, 400.0, z - 65.0),
                "frame_point_mm": (x - way * 150.0, 300.0, z + 330.0),
                "compressed_mm": 320.0, "extended_mm": 520.0,
            },
        ),
        "torque_bars": (
            {
                "frame_point_mm": (x + way * 900.0, y + 120.0, z + 90.0),
                "axle_point_mm": (x + way * 60.0, y + 120.0, z - 70.0),
                "float_mm": 20.0,
            },
        ),
        "lateral_link": {
            "frame_point_mm": (x - way * 120.0, -430.0, z + 150.0), "axle_point_mm": (x - way * 100.0, 400.0, z + 60.0),
            **(_DRAG if way > 0.0 else {}),
        },
    }  # fmt: skip
