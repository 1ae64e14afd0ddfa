"""Builds that show a finding at a verdict, each beside its line, worked from the textbook's formula."""

from typing import Any

import numpy as np
import pytest

from geometry import Build
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.judging import judged_block
from geometry.words.finding import findings_of
from geometry.words.solution import Finding
from geometry.words.told import Told

Case = dict[str, Any]
POSITIONS = 41
TYRE_MM, RATIO = 350.0, 4.0
STRENGTH_MPA = 379.0 / 3.0**0.5


def told_of(build: Build, positions: int = POSITIONS) -> Told:
    with np.errstate(all="ignore"):
        facts = Facts(variants(build), positions)
        return Told(build, facts, judged_block(facts))


def found_in(build: Build) -> tuple[Told, dict[tuple[str, str], Finding]]:
    told = told_of(build)
    with np.errstate(all="ignore"):
        return told, {(one.id, one.part): one for one in findings_of(told)}


# --- builds ---------------------------------------------------------------------------------------------------------


def lines(output: float | None, shaft: float, pinion: float) -> Case:
    return {"powertrain.slope_deg": output, "readings.shaft_slope_deg": shaft, "axle.pinion_slope_deg": pinion}


def at_cruise(rpm: float) -> Case:
    """Entries that make the shaft turn at this speed at cruise."""
    speed = rpm / 60.0 / RATIO * 2.0 * np.pi * TYRE_MM * 1e-3 * 3.6
    return {"vehicle.rear_tyre_radius_mm": TYRE_MM, "axle.ratio": RATIO, "vehicle.cruise_speed_kmh": speed}


ROLLED: Case = {"vehicle.tyre_turns_per_km": 1e6 / (2.0 * np.pi * TYRE_MM)}
"""Turns of the tyres counted, which makes that radius the one on which they roll."""


def both_turn(front: float, rear: float, drive: str | None) -> Case:
    """Two drivelines of one ratio whose tyres make so many turns a kilometre."""
    second = {"axle": {"end": "front", "ratio": RATIO}, "wheels": {"tyre_turns_per_km": front}, "drive": drive}
    return {"vehicle.tyre_turns_per_km": rear, "axle.ratio": RATIO, "drivelines": (second,)}


def up_to(rpm: float) -> Case:
    return {"powertrain.redline_rpm": rpm, "powertrain.gear_ratios": (2.0, 1.0)}


def rpm_for(acceleration: float, angle_deg: float) -> float:
    """Speed at which one joint's textbook peak, ω²·sin²β·cosβ·sin2θ/(1 − sin²β·cos²θ)², is this, on a fine grid."""
    b, t = np.radians(angle_deg), np.linspace(0.0, np.pi / 2.0, 200_001)
    peak = (np.sin(b) ** 2 * np.cos(b) * np.sin(2 * t) / (1 - np.sin(b) ** 2 * np.cos(t) ** 2) ** 2).max()
    return float(np.sqrt(acceleration / peak) * 30.0 / np.pi)


def one_cross(at: str, acceleration: float, above: float | None = None) -> Case:
    """Only the joint at one end disturbs the motion, by this much at cruise; `above` is highest speed over cruise."""
    other = "rear" if at == "front" else "front"
    rpm = rpm_for(acceleration, 6.0)
    case = (
        lines(0.0, 6.0, 0.0) | {f"shaft.{other}_joint.type": "double_cardan", "shaft.phase_deg": 0.0} | at_cruise(rpm)
    )
    return case if above is None else case | up_to(above * rpm)


TUBE = {"shaft.tube.outer_diameter_mm": 88.9, "shaft.tube.wall_mm": 2.11, "readings.shaft_length_mm": 1524.0}
CRITICAL_RPM = float(30.0 * np.pi * np.sqrt(207e9 / 7850.0 * (88.9**2 + 84.68**2) / 16.0 * 1e-6) / 1.524**2)
POLAR_M4 = np.pi * (0.0889**4 - 0.08468**4) / 32.0


def turned(torque_nm: float) -> Case:
    """Engine and gears that bring just this torque to the shaft, with tyres that never slip and no shock."""
    return {
        "powertrain.peak_torque_nm": torque_nm / 2.0, "powertrain.gear_ratios": (2.0, 1.0), "powertrain.low_range": 1.0,
        "powertrain.converter_ratio": 1.0, "powertrain.shock_factor": 1.0, "vehicle.tyre_grip": 3.0,
        "vehicle.rear_axle_load_kg": 40_000.0, "vehicle.rear_tyre_radius_mm": TYRE_MM, "axle.ratio": RATIO,
        "axle.efficiency": 1.0, "vehicle.mass_centre_height_mm": 1.0, "vehicle.wheelbase_mm": 5000.0,
    }  # fmt: skip


def sheared(share: float) -> Case:
    return TUBE | turned(share * STRENGTH_MPA * 1e6 * POLAR_M4 / 0.04445)


def lasting(hours: float) -> Case:
    """Rating for these hours at 2500 rpm, 5° and 0.3 of 300 N·m: C = T (L n b/1.5e6)^(3/10)."""
    return lines(0.0, 5.0, 0.0) | at_cruise(2500.0) | {
        "powertrain.peak_torque_nm": 300.0, "powertrain.gear_ratios": (1.0,), "powertrain.cruise_torque_share": 0.3,
        "shaft.rear_joint.life_rating_nm": 90.0 * (hours * 2500.0 * 5.0 / 1.5e6) ** 0.3, "shaft.phase_deg": 0.0,
    }  # fmt: skip


def double(angle_deg: float, rpm: float) -> Case:
    return lines(0.0, angle_deg, angle_deg - 1.0) | {"shaft.front_joint.type": "double_cardan"} | at_cruise(rpm)


GAUGE, TAPE, SPAN = 0.1, 1.5, 1000.0
LEVEL = {
    "gauge.angle_uncertainty_deg": GAUGE, "gauge.tape_uncertainty_mm": TAPE, "powertrain.slope_deg": 0.0,
    "powertrain.output_joint_mm": (1000.0, 0.0, 500.0), "axle.centre_mm": (2300.0, 0.0, 500.0),
    "axle.pinion_slope_deg": 0.0, "axle.pinion_length_mm": 300.0, "powertrain.plan_deg": 0.0,
    "axle.pinion_plan_deg": 0.0, "axle.pinion_offset_mm": 0.0, "axle.pinion_drop_mm": 0.0,
}  # fmt: skip
# The stick's own error, the pinion slope's on its arm of 300 over a span of 1000, and the tape's at both joints.
STICK_BAND = float(1.96 * np.sqrt(GAUGE**2 / 3.0 * (1.0 + 0.3**2) + (np.degrees(TAPE / SPAN)) ** 2 * 2.0 / 3.0))
PLACE_BAND = float(1.96 * TAPE * np.sqrt(2.0 / 3.0))
SETTLED = {
    "axle.pinion_plan_deg": 0.0, "powertrain.cruise_torque_share": 0.3, "powertrain.shock_factor": 1.0,
    "vehicle.mass_centre_height_mm": 500.0, "suspension.bump_squash_mm": 10.0, "suspension.rate_n_per_mm": 60.0,
    "shaft.slip.spline_diameter_mm": 35.0, "shaft.front_joint.series": "1350", "shaft.rear_joint.series": "1350",
    "powertrain.gearbox_length_mm": 500.0, "powertrain.gearbox_height_mm": 200.0, "powertrain.engine_length_mm": 300.0,
    "powertrain.engine_height_mm": 300.0,
}  # fmt: skip
"""What the shared build leaves to be taken for granted."""
LATERAL = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)}


def whole(**changes: Any) -> Case:
    return SETTLED | {path.replace("__", "."): value for path, value in changes.items()}


def lifted(rise: float, by: str = "spring", **changes: Any) -> Case:
    return whole(plan__rear_lift_mm=rise, plan__rear_lift_by=by, **changes)


def lateral(rise: float | None = None, low: float = 400.0, **changes: Any) -> Case:
    link = LATERAL | {"axle_point_mm": (2690.0, 450.0, low)}
    return whole(lateral_link=link, plan__rear_lift_mm=rise, **changes)


def beside(top_mm: float) -> Case:
    """A beam over the output joint, whose underside lies so high."""
    corners = ((1105.0, top_mm), (1160.0, top_mm), (1160.0, 900.0), (1105.0, 900.0))
    return whole(obstacles=({"name": "beam", "outline_mm": corners},))


def apart(gap_mm: float, rock_deg: float | None = 2.0) -> Case:
    """An oil pan so far over a crossmember, at most 200 mm to the right of the crankshaft, which sinks at launch."""
    sinks = 0.0 if rock_deg is None else 200.0 * float(np.sin(np.radians(rock_deg)))
    low = 330.0 - gap_mm - sinks
    pan = {"name": "pan", "carried_by": "engine", "left_mm": -150.0, "right_mm": 230.0,
           "outline_mm": ((500.0, 330.0), (700.0, 330.0), (700.0, 400.0))}  # fmt: skip
    beam = {"name": "beam", "outline_mm": ((560.0, low), (640.0, low), (600.0, low - 40.0))}
    return whole(obstacles=(pan, beam), powertrain__rock_deg=rock_deg, powertrain__low_range=1.0)


def hanging(free_mm: float | None) -> Case:
    """A hose from the frame to the axle of so much free length."""
    line = {"name": "hose", "frame_point_mm": (2380.0, -120.0, 640.0), "axle_point_mm": (2560.0, -330.0, 440.0)}
    return whole(flexible_lines=(line | {"free_length_mm": free_mm},), suspension__rate_n_per_mm=200.0)


def front(**changes: Any) -> Case:
    """The same build as a front axle, bare of all that its mirror would need."""
    return {"axle.end": "front", "axle.pinion_slope_deg": -3.4, "plan.axle_shim_deg": 3.0} | {
        path.replace("__", "."): value for path, value in changes.items()
    }


SHOCK = {
    "axle_point_mm": (2680.0, 400.0, 330.0), "frame_point_mm": (2640.0, 380.0, 760.0), "compressed_mm": 315.0,
    "extended_mm": 550.0,
}  # fmt: skip
BAR = {"axle_point_mm": (2560.0, 100.0, 240.0), "frame_point_mm": (2000.0, 100.0, 300.0), "float_mm": 30.0}


def shock(**changes: Any) -> Case:
    """A shock that fits, but for some of its entries."""
    return whole(shocks=(SHOCK | changes,))


def torque_bar(**changes: Any) -> Case:
    """A torque bar with room to swing, but for some of its entries."""
    return whole(torque_bars=(BAR | changes,))


def drag(box: tuple[float, float, float], arm: tuple[float, float, float] | None) -> Case:
    """A front axle with a level lateral link, and a drag link."""
    link = {"frame_point_mm": (2600.0, -450.0, 400.0), "axle_point_mm": (2600.0, 450.0, 400.0)}
    return front(lateral_link=link | {"drag_box_mm": box, "drag_axle_mm": arm})


FLANGE = {"type": "flange", "pilot_mm": 60.3, "pilot": "male", "bolt_circle_mm": 79.4, "bolts": 4.0, "bolt_mm": 9.5}


def flanges(**theirs: Any) -> Case:
    """A flange on the shaft's front end, and its mate on the gearbox, alike but for some sizes."""
    return {"shaft.front_end": FLANGE, "powertrain.output_end": FLANGE | {"pilot": "female"} | theirs}


def caps(series: str | None, *, read: bool = False) -> Case:
    """Bare caps of a 1350 at the rear, and a yoke for a series on the pinion; or both read by caliper as a 1350."""
    sizes = {"cap_mm": 30.2, "span_mm": 92.1} if read else {}
    return {
        "shaft.rear_joint.series": "1350", "shaft.rear_end": {"type": "caps", **sizes},
        "axle.pinion_end": {"type": "straps", "series": series, **sizes},
    }  # fmt: skip


def seats(left: float | None, right: float | None) -> Case:
    return {"perches.seat_left_deg": left, "perches.seat_right_deg": right, "gauge.angle_uncertainty_deg": GAUGE}


def across(spacing: float | None, springs: float | None = None, flanges: float | None = None) -> Case:
    """Perches so far apart, 210 from either flange."""
    return {
        "axle.perch_spacing_mm": spacing, "perches.springs_apart_mm": springs, "perches.flange_to_flange_mm": flanges,
        "axle.flange_to_perch_left_mm": 210.0, "axle.flange_to_perch_right_mm": 210.0,
        "gauge.tape_uncertainty_mm": TAPE,
    }  # fmt: skip


def clamped(tube: float | None, spring: float, leg: float | None = None) -> Case:
    """On a tube of 76 the U-bolts reach round 156."""
    return {
        "axle.tube_diameter_mm": tube, "clamp.spring_width_mm": spring, "clamp.leg_mm": leg, "clamp.rod_mm": 14.0,
        "clamp.perch_height_mm": 20.0, "clamp.pack_height_mm": 50.0, "clamp.plate_mm": 10.0,
        "clamp.block_mm": 0.0, "clamp.wedge_mm": 0.0,
    }  # fmt: skip


def wheelbases(left: float | None, right: float | None) -> Case:
    return {
        "square.wheelbase_left_mm": left,
        "square.wheelbase_right_mm": right,
        "gauge.tape_uncertainty_mm": 1.0,
    }


def standing(yaw_deg: float) -> Case:
    """An axle of 1,400 in the middle, 1,300 behind frame holes 850 apart, its right end turned back."""
    turn = np.radians(yaw_deg)
    end = np.array([700.0 * np.sin(turn), 700.0 * np.cos(turn)])
    hole, middle = np.array([0.0, 425.0]), np.array([1300.0, 0.0])
    return {
        "square.holes_apart_mm": 850.0, "square.ends_apart_mm": 1400.0,
        "square.diagonal_left_mm": float(np.linalg.norm(middle + end + hole)),
        "square.diagonal_right_mm": float(np.linalg.norm(middle - end - hole)),
        "square.holes_above_mm": 0.0, "square.offset_left_mm": 300.0, "square.offset_right_mm": 300.0,
        "gauge.tape_uncertainty_mm": 0.5,
    }  # fmt: skip


def toed(before_deg: float, after_deg: float | None = None) -> Case:
    """Flanges that come together in front by so much, over 600."""
    case: Case = {"square.toe_over_mm": 600.0, "gauge.tape_uncertainty_mm": 0.5}
    for when, angle in (("before", before_deg), ("after", after_deg)):
        if angle is not None:
            case |= {
                f"square.toe_front_{when}_mm": 1500.0,
                f"square.toe_rear_{when}_mm": 1500.0 + 1200.0 * float(np.sin(np.radians(angle / 2.0))),
            }
    return case


def leaning(left: float | None, right: float | None, when: str = "before") -> Case:
    return {
        f"square.camber_left_{when}_deg": left, f"square.camber_right_{when}_deg": right,
        "gauge.angle_uncertainty_deg": 0.05, "axle.flange_to_perch_left_mm": 210.0,
    }  # fmt: skip


NOTHING: Case = {}


def base(name: str, request: pytest.FixtureRequest) -> Build:
    return Build() if name == "empty" else request.getfixturevalue(name)
