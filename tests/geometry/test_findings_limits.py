"""Every limit from both sides: a build just inside and just outside each of its lines.

The builds are worked from the textbook's formula for the quantity, written out here, not from the program.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.judge.limits import LIMITS
from geometry.words.solution import Finding

TYRE_MM, RATIO = 350.0, 4.0
LINES = {"powertrain.slope_deg": 0.0, "readings.shaft_slope_deg": 5.0, "axle.pinion_slope_deg": 0.0}
TUBE = {"shaft.tube.outer_diameter_mm": 88.9, "shaft.tube.wall_mm": 2.11, "readings.shaft_length_mm": 1524.0}
CRITICAL_RPM = (
    30.0 * np.pi * np.sqrt(207e9 / 7850.0 * (88.9**2 + (88.9 - 4.22) ** 2) / 16.0 * 1e-6) / 1.524**2
)  # 60 (pi/2) sqrt(E I/(rho A))/L², with I/A = (D² + d²)/16
Case = dict[str, Any]


def at_cruise(rpm: float) -> Case:
    """Entries that make the shaft turn at this speed at cruise."""
    speed = rpm / 60.0 / RATIO * 2.0 * np.pi * TYRE_MM * 1e-3 * 3.6
    return {"vehicle.rear_tyre_radius_mm": TYRE_MM, "axle.ratio": RATIO, "vehicle.cruise_speed_kmh": speed}


ROLLED: Case = {"vehicle.tyre_turns_per_km": 1e6 / (2.0 * np.pi * TYRE_MM)}
"""Turns of the tyres counted, which makes that radius the one on which they roll."""


def peak(angle_deg: float) -> float:
    """Peak acceleration of one joint over omega squared, on a fine grid of the textbook's formula."""
    b, t = np.radians(angle_deg), np.linspace(0.0, np.pi / 2.0, 200_001)
    return float((np.sin(b) ** 2 * np.cos(b) * np.sin(2 * t) / (1 - np.sin(b) ** 2 * np.cos(t) ** 2) ** 2).max())


def rpm_for(acceleration: float, angle_deg: float) -> float:
    return float(np.sqrt(acceleration / peak(angle_deg)) * 30.0 / np.pi)


def up_to(rpm: float) -> Case:
    """Engine and gears that turn the shaft so fast at the most."""
    return {"powertrain.redline_rpm": rpm, "powertrain.gear_ratios": (2.0, 1.0)}


def lines(output: float, shaft: float, pinion: float) -> Case:
    return {"powertrain.slope_deg": output, "readings.shaft_slope_deg": shaft, "axle.pinion_slope_deg": pinion}


def one_cross(at: str, angle_deg: float) -> Case:
    """A double Cardan joint at one end, so that only the other one disturbs the motion."""
    other = "rear" if at == "front" else "front"
    return lines(0.0, angle_deg, 0.0) | {f"shaft.{other}_joint.type": "double_cardan", "shaft.phase_deg": 0.0}


def turned_down(torque_nm: float) -> Case:
    """Engine and gears that bring this torque to the shaft, through tyres that never slip and without shock."""
    return {
        "powertrain.peak_torque_nm": torque_nm / 2.0, "powertrain.gear_ratios": (2.0, 1.0), "powertrain.low_range": 1.0,
        "powertrain.converter_ratio": 1.0, "powertrain.shock_factor": 1.0, "vehicle.tyre_grip": 3.0,
        "vehicle.rear_axle_load_kg": 40_000.0, "vehicle.rear_tyre_radius_mm": TYRE_MM, "axle.ratio": RATIO,
        "axle.efficiency": 1.0, "vehicle.mass_centre_height_mm": 1.0, "vehicle.wheelbase_mm": 5000.0,
    }  # fmt: skip


def stress_torque(stress_mpa: float) -> float:
    outer, inner = 0.0889, 0.0889 - 2 * 0.00211
    return stress_mpa * 1e6 * np.pi * (outer**4 - inner**4) / 32.0 / (outer / 2.0)


def life_rating(hours: float) -> Case:
    """Rating for these hours at 2500 rpm, 5° and 0.3 of 300 N·m: C = T (L n b/1.5e6)^(3/10)."""
    rating = 90.0 * (hours * 2500.0 * 5.0 / 1.5e6) ** 0.3
    return lines(0.0, 5.0, 0.0) | at_cruise(2500.0) | {
        "powertrain.peak_torque_nm": 300.0,
        "powertrain.gear_ratios": (1.0,),
        "powertrain.cruise_torque_share": 0.3,
        "shaft.rear_joint.life_rating_nm": rating,
        "shaft.phase_deg": 0.0,
    }  # fmt: skip


GAUGE, TAPE, SPAN = 0.1, 1.5, 1000.0
POSITIONS = {
    "gauge.angle_uncertainty_deg": GAUGE, "gauge.tape_uncertainty_mm": TAPE, "powertrain.slope_deg": 0.0,
    "powertrain.output_joint_mm": (1000.0, 0.0, 500.0), "axle.centre_mm": (2300.0, 0.0, 500.0),
    "axle.pinion_slope_deg": 0.0, "axle.pinion_length_mm": 300.0, "powertrain.plan_deg": 0.0,
    "axle.pinion_plan_deg": 0.0, "axle.pinion_offset_mm": 0.0, "axle.pinion_drop_mm": 0.0,
}  # fmt: skip
"""Everything level: the joints lie SPAN apart."""
# The stick's own error, the pinion slope's on its arm of 300 over a span of 1000, and the tape's at both joints.
STICK_BAND = 1.96 * np.sqrt(GAUGE**2 / 3.0 * (1.0 + 0.3**2) + (np.degrees(TAPE / SPAN)) ** 2 * 2.0 / 3.0)
PLACE_BAND = 1.96 * TAPE * np.sqrt(2.0 / 3.0)


ROWS: dict[str, tuple[str, Callable[[float], Case], dict[float, str]]] = {
    "ends_parallel": (
        "shaft", lambda x: lines(0.0, 8.0, x), {0.99: "clear", 1.01: "caution", 2.99: "caution", 3.01: "hold"},
    ),
    "straight_end": (
        "rear_joint",
        lambda x: lines(0.0, 8.0, 8.0 - x) | {"shaft.front_joint.type": "double_cardan", "shaft.phase_deg": 0.0},
        {1.99: "clear", 2.01: "caution", 3.99: "caution", 4.01: "hold"},
    ),
    "operating_angle_least": ("front_joint", lambda x: lines(0.0, x, 0.0), {0.51: "clear", 0.49: "caution"}),
    "operating_angle_most": (
        # The table, 7° at 2,500 rpm, is for joints that run evenly.
        "rear_joint",
        lambda x: lines(0.0, x, 0.0) | {"shaft.rear_joint.type": "constant_velocity"} | at_cruise(2500.0),
        {6.99: "clear", 7.01: "caution", 8.74: "caution", 8.76: "hold"},
    ),
    "shaft_slope": (
        "shaft", lambda x: lines(0.0, -x, 0.0), {6.99: "clear", 7.01: "caution", 14.99: "caution", 15.01: "hold"},
    ),
    "pinion_residual": (
        "rear_joint", lambda x: one_cross("front", 6.0) | at_cruise(rpm_for(x, 6.0)),
        {299.9: "clear", 300.1: "caution", 399.9: "caution", 400.1: "hold"},
    ),
    "shaft_inertia_drive": (
        "shaft", lambda x: one_cross("front", 6.0) | at_cruise(rpm_for(x, 6.0)),
        {999.0: "clear", 1001.0: "caution", 1999.0: "caution", 2001.0: "hold"},
    ),
    "shaft_inertia_coast": (
        "shaft", lambda x: one_cross("rear", 6.0) | at_cruise(rpm_for(x, 6.0)),
        {999.0: "clear", 1001.0: "caution", 1999.0: "caution", 2001.0: "hold"},
    ),
    "inertia_at_top": (
        "shaft", lambda x: one_cross("front", 6.0) | at_cruise(rpm_for(x, 6.0) / 2.0) | up_to(rpm_for(x, 6.0)),
        {1999.0: "clear", 2001.0: "caution", 9000.0: "caution"},
    ),
    "residual_at_top": (
        "rear_joint", lambda x: one_cross("front", 6.0) | at_cruise(rpm_for(x, 6.0) / 2.0) | up_to(rpm_for(x, 6.0)),
        {599.0: "clear", 601.0: "caution", 9000.0: "caution"},
    ),
    "critical_speed": (
        "shaft",
        lambda x: TUBE | {"powertrain.redline_rpm": x * CRITICAL_RPM, "powertrain.gear_ratios": (2.0, 1.0)},
        {0.649: "clear", 0.651: "caution", 0.699: "caution", 0.701: "hold"},
    ),
    "half_critical_speed": (
        "shaft", lambda x: TUBE | ROLLED | at_cruise(CRITICAL_RPM / 2.0 * (1.0 + x)),
        {-0.081: "clear", -0.079: "caution", 0.0: "caution", 0.079: "caution", 0.081: "clear"},
    ),
    "tube_shear": (
        "shaft", lambda x: TUBE | turned_down(stress_torque(x * 379.0 / 3.0**0.5)),
        {0.499: "clear", 0.501: "caution", 0.799: "caution", 0.801: "hold"},
    ),
    "joint_torque": (
        "rear_joint", lambda x: turned_down(x) | {"shaft.rear_joint.torque_limit_nm": 1000.0},
        {999.0: "clear", 1001.0: "hold"},
    ),
    "joint_life": (
        "rear_joint", life_rating, {5001.0: "clear", 4999.0: "caution", 50.0: "caution"},
    ),
    "pinion_nose_up": (
        "axle", lambda x: {"axle.pinion_slope_deg": x},
        {7.99: "clear", 8.01: "caution", 19.99: "caution", 20.01: "hold"},
    ),
    "pinion_nose_down": (
        "axle", lambda x: {"axle.pinion_slope_deg": -x},
        {3.99: "clear", 4.01: "caution", 9.99: "caution", 10.01: "hold"},
    ),
    "tail_down": (
        "powertrain", lambda x: {"powertrain.slope_deg": x},
        {4.99: "clear", 5.01: "caution", 9.99: "caution", 10.01: "hold"},
    ),
    "tail_up": (
        "powertrain", lambda x: {"powertrain.slope_deg": -x},
        {0.99: "clear", 1.01: "caution", 3.99: "caution", 4.01: "hold"},
    ),
    "wedge_size": (
        "perches", lambda x: {"axle.pinion_slope_deg": 3.0, "plan.axle_shim_deg": x},
        {3.99: "clear", -4.01: "caution", 5.99: "caution", -6.01: "hold"},
    ),
    "perches_equal": (
        "perches", lambda x: {"axle.flange_to_perch_left_mm": 240.0, "axle.flange_to_perch_right_mm": 240.0 + x},
        {1.59: "clear", 1.61: "caution", -3.19: "caution", -3.21: "hold"},
    ),
    "stick_slope": (
        "readings", lambda x: POSITIONS | {"readings.shaft_slope_deg": x * STICK_BAND},
        {0.99: "clear", 1.01: "caution", 2.99: "caution", -3.01: "hold"},
    ),
    "tape_length": (
        "readings", lambda x: POSITIONS | {"readings.shaft_length_mm": SPAN + x * 1.96 * TAPE},
        {0.99: "clear", 1.01: "caution", -2.99: "caution", -3.01: "hold"},
    ),
    "axle_station": (
        "axle", lambda x: POSITIONS | {"vehicle.wheelbase_mm": 2300.0 + x * PLACE_BAND},
        {0.99: "clear", 1.01: "caution", 2.99: "caution", 3.01: "hold"},
    ),
    "axle_height": (
        "axle", lambda x: POSITIONS | {"vehicle.rear_tyre_radius_mm": 500.0 + x * PLACE_BAND},
        {0.99: "clear", 1.01: "caution", 2.99: "caution", 3.01: "hold"},
    ),
}  # fmt: skip
"""Limit, part, the build for a value (or a share of the line), and the verdicts on values beside each line."""
CASES = [(name, part, make, at, verdict) for name, (part, make, rows) in ROWS.items() for at, verdict in rows.items()]


def the_finding(build: Build, name: str, part: str) -> Finding:
    found = [one for one in solve(build).findings if (one.id, one.part) == (name, part)]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize(("name", "part", "make", "at", "verdict"), CASES, ids=[f"{c[0]}={c[3]}" for c in CASES])
def test_just_inside_and_just_outside(
    name: str, part: str, make: Callable[[float], Case], at: float, verdict: str
) -> None:
    finding = the_finding(edited(Build(), make(at)), name, part)
    assert finding.verdict == verdict
    row = LIMITS[name]
    assert finding.title == (row.trouble if verdict in {"caution", "hold"} else row.title)
    assert finding.unit == row.unit
    assert finding.basis == row.basis_text


UNIT_SIGNS = {"deg": "°", "N·m": "lb·ft", "mm": " in", "h": " h"}


@pytest.mark.parametrize(("name", "part", "make", "at", "verdict"), CASES, ids=[f"{c[0]}={c[3]}" for c in CASES])
def test_the_sentence_says_the_value_with_its_unit(
    name: str, part: str, make: Callable[[float], Case], at: float, verdict: str
) -> None:
    finding = the_finding(edited(Build(), make(at)), name, part)
    assert finding.value is not None
    factor = {"N·m": 1.0 / 1.3558179483314004, "mm": 1.0 / 25.4}.get(finding.unit, 1.0)
    shown = abs(finding.value) * factor
    words = {f"{shown:,.{digits}f}" for digits in (0, 1, 2)} | {f"{round(shown, -2):,.0f}"}
    assert any(word in finding.says for word in words), finding.says
    assert UNIT_SIGNS.get(finding.unit, finding.unit) in finding.says


@pytest.mark.parametrize("slope", [-2.0, -0.5, -1e-6, 0.0, 1e-6, 0.5, 2.0])
def test_a_line_is_up_or_down_and_never_both(slope: float) -> None:
    """A line whose rear end lies lower has its nose up and its tail down."""
    build = edited(Build(), {"powertrain.slope_deg": slope, "axle.pinion_slope_deg": slope})
    found = {finding.id: finding.value for finding in solve(build).findings}
    up = {"pinion_nose_up": slope, "tail_down": slope}
    down = {"pinion_nose_down": -slope, "tail_up": -slope}
    told = {limit_id: value for limit_id, value in found.items() if limit_id in up | down}
    assert told == pytest.approx(up if slope >= 0.0 else down, abs=1e-9)


def test_a_joint_near_its_reach_at_ride_height() -> None:
    """Three degrees to spare are wanted, one at the least; without a travel more than that is not known."""
    for spare, verdict in ((3.01, "unknown"), (2.99, "caution"), (1.01, "caution"), (0.99, "hold")):
        build = edited(Build(), POSITIONS | {
            "axle.centre_mm": (2300.0, 0.0, 400.0),
            "shaft.rear_joint.max_angle_deg": float(np.degrees(np.arctan2(100.0, SPAN))) + spare,
        })  # fmt: skip
        assert the_finding(build, "joint_bind", "rear_joint").verdict == verdict


def test_half_a_double_joint_each() -> None:
    """The table's 7° at 2,500 rpm is for each cross: 13° are 6.5° each, 15° are 7.5° each."""
    for angle, verdict in ((13.0, "clear"), (15.0, "caution")):
        build = edited(Build(), one_cross("rear", angle) | at_cruise(2500.0))
        finding = the_finding(build, "operating_angle_most", "front_joint")
        assert (finding.verdict, finding.value) == (verdict, pytest.approx(angle / 2.0))
        assert "operating_angle_most" not in {one.id for one in solve(build).findings if one.part == "rear_joint"}


def test_constant_velocity_joints_need_no_equal_angles_and_may_run_straight() -> None:
    build = edited(Build(), LINES | at_cruise(2500.0) | {
        "shaft.front_joint.type": "constant_velocity", "shaft.rear_joint.type": "constant_velocity",
    })  # fmt: skip
    ids = {finding.id for finding in solve(build).findings}
    assert not ids & {"operating_angle_least", "ends_parallel", "straight_end", "shaft_slope"}


def test_a_stated_yield_is_used_and_a_usual_one_is_said() -> None:
    load = TUBE | turned_down(stress_torque(100.0))
    usual = the_finding(edited(Build(), load), "tube_shear", "shaft")
    stated = the_finding(edited(Build(), load | {"shaft.tube.yield_mpa": 600.0}), "tube_shear", "shaft")
    assert "usual for the material" in usual.says
    assert "usual for the material" not in stated.says
    assert stated.limit == pytest.approx(0.5 * 600.0 / 3.0**0.5)


WANTED: dict[str, tuple[str, str]] = {
    "pinion_residual": ("output slope", "pinion slope"),
    "ends_parallel": ("output slope", "shaft slope"),
    "operating_angle_least": ("output slope", "shaft slope"),
    "shaft_inertia_drive": ("output slope", "shaft slope"),
    "shaft_inertia_coast": ("output slope", "shaft slope"),
    "shaft_slope": ("shaft slope", "shaft slope"),
    "joint_bind": ("joint's greatest angle", "output slope"),
    "critical_speed": ("outside diameter", "shaft length"),
    "half_critical_speed": ("outside diameter", "cruising speed"),
    "tube_shear": ("wall", "peak torque"),
    "joint_torque": ("peak torque", "gear ratios"),
}


@pytest.mark.parametrize(("name", "words"), WANTED.items())
def test_an_empty_build_names_what_is_missing(name: str, words: tuple[str, str]) -> None:
    found = [finding for finding in solve(Build()).findings if finding.id == name]
    assert found
    for finding in found:
        assert finding.verdict == "unknown"
        assert finding.value is None
        assert all(word in finding.says for word in words)


def test_an_empty_build_is_never_clear() -> None:
    answer = solve(Build())
    assert answer.verdict == "unknown"
    assert {finding.verdict for finding in answer.findings} == {"unknown"}


@pytest.mark.parametrize(
    ("given", "name", "word"),
    [
        (LINES, "pinion_residual", "cruising speed"),
        (LINES, "shaft_inertia_drive", "axle ratio"),
        (LINES | {"shaft.rear_joint.type": "constant_velocity"}, "operating_angle_most", "rear tyre radius"),
        (LINES | {"axle.end": "front"}, "pinion_residual", "front tyre radius"),
        (TUBE, "critical_speed", "highest engine speed"),
        (TUBE, "half_critical_speed", "cruising speed"),
        (TUBE, "tube_shear", "peak torque"),
        (turned_down(500.0), "joint_torque", "front joint's torque limit"),
        ({"shaft.front_joint.life_rating_nm": 700.0}, "joint_life", "output slope"),
        (LINES | {"axle.centre_mm": (2300.0, 0.0, 400.0)}, "critical_speed", "pinion length"),
        ({"shaft": {"kind": "two_piece"}, **LINES}, "pinion_residual", "support bearing"),
        ({"axle.flange_to_perch_left_mm": 240.0}, "perches_equal", "right flange"),
        ({"axle.flange_to_perch_right_mm": 240.0}, "perches_equal", "left flange"),
        ({"suspension": {"kind": "leaf"}}, "perches_equal", "left flange"),
        (LINES, "gauge_resolution", "the angle gauge's give or take"),
        (POSITIONS | {"gauge": None, "readings.shaft_slope_deg": 1.0}, "stick_slope", "gauge"),
        (POSITIONS | {"gauge": None, "readings.shaft_length_mm": 1.0}, "tape_length", "tape"),
        (POSITIONS | {"gauge": None, "vehicle.wheelbase_mm": 2300.0}, "axle_station", "tape"),
    ],
)
def test_a_partial_build_names_what_is_missing(given: Case, name: str, word: str) -> None:
    found = [finding for finding in solve(edited(Build(), given)).findings if finding.id == name]
    assert found
    assert {finding.verdict for finding in found} == {"unknown"}
    assert any(word in finding.says for finding in found), [finding.says for finding in found]


def test_without_a_redline_the_road_speed_bounds_the_shaft() -> None:
    build = edited(Build(), TUBE | at_cruise(2000.0) | {"vehicle.top_speed_kmh": 200.0})
    assert the_finding(build, "critical_speed", "shaft").value == pytest.approx(
        200.0 / 3.6 / (2.0 * np.pi * TYRE_MM * 1e-3) * 60.0 * RATIO
    )


def test_the_gauge_can_or_cannot_tell() -> None:
    """A pair that differs by 0.5° at 3000 rpm: residual about omega² (b1² − b2²), 134 rad/s² for 7.0° and 6.5°."""
    pair = lines(0.0, 7.0, 0.5) | at_cruise(3000.0)
    fine, coarse = pair | {"gauge.angle_uncertainty_deg": 0.05}, pair | {"gauge.angle_uncertainty_deg": 1.0}
    assert the_finding(edited(Build(), fine), "gauge_resolution", "readings").verdict == "clear"
    finding = the_finding(edited(Build(), coarse), "gauge_resolution", "readings")
    assert finding.verdict == "caution"
    assert finding.value == pytest.approx(1.96 * (2.0 / 3.0) ** 0.5)  # the ends are parallel: the stick drops out


def test_without_a_speed_what_the_gauge_can_tell_is_not_known() -> None:
    build = edited(Build(), lines(0.0, 7.0, 0.1) | {"gauge.angle_uncertainty_deg": 0.2})
    finding = the_finding(build, "gauge_resolution", "readings")
    assert finding.verdict == "unknown"
    assert "the cruising speed" in finding.says
    # Parallel ends: the stick drops out, two readings are left.
    assert f"within {1.96 * 0.2 * (2.0 / 3.0) ** 0.5:.2f}°" in finding.says


def test_the_verdict_is_the_worst_and_the_worst_are_counted() -> None:
    answer = solve(edited(Build(), lines(11.0, 20.0, 0.0) | at_cruise(3000.0)))
    holds = sum(finding.verdict == "hold" for finding in answer.findings)
    assert holds > 1
    assert answer.verdict == "hold"
    assert answer.says.startswith(f"Do not tack yet: {holds} findings hold the job up")


def test_a_cruise_at_the_highest_speed_contradicts_nothing_and_a_faster_one_does() -> None:
    """What is asked at the top is asked only beyond the cruise: driven at its top speed, there is nothing beyond."""
    rpm = 2000.0
    beyond = {"inertia_at_top", "residual_at_top"}
    for top, ids in ((rpm, set()), (rpm * 1.001, beyond), (rpm * 0.999, {"speeds_agree"})):
        build = edited(Build(), one_cross("front", 6.0) | at_cruise(rpm))
        speed = build.vehicle.cruise_speed_kmh
        build = edited(build, {"vehicle.top_speed_kmh": speed * (top / rpm)})
        found = {finding.id for finding in solve(build).findings}
        assert found & {*beyond, "speeds_agree"} == ids
