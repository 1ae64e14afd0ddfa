"""Remedies do what they say: applied to the build, the solution comes to the value and verdict that they promised."""

from typing import Any

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import assume, given, settings

from geometry import Build, edited, solve
from geometry.limits import LIMITS
from geometry.solution import Finding, Solution

ORDER = ("clear", "caution", "hold")


def matching(answer: Solution, like: Finding) -> Finding:
    return next(one for one in answer.findings if (one.id, one.part) == (like.id, like.part))


def is_cut(value: float, length: str) -> bool:
    """Whether a shim is a whole number of sixteenths, or of millimetres."""
    steps = value / 25.4 * 16.0 if length == "inch" else value
    return abs(steps - round(steps)) < 1e-9


def hold_to_its_word(build: Build) -> int:
    """Apply every remedy of a build; how many there were."""
    answer, count = solve(build), 0
    for finding in answer.findings:
        offered = ([finding.remedy] if finding.remedy else []) + list(finding.alternatives)
        assert not offered or finding.verdict in {"caution", "hold"}
        for remedy in offered:
            count += 1
            after = matching(solve(edited(build, remedy.changes)), finding)
            assert after.verdict == remedy.after_verdict, remedy.says
            assert remedy.after is not None
            assert after.value == pytest.approx(remedy.after, rel=1e-6, abs=1e-6), remedy.says
            assert finding.value is not None
            # No remedy makes its finding worse.
            assert ORDER.index(after.verdict) <= ORDER.index(finding.verdict)
            if LIMITS[finding.id].sense == "most":
                assert after.value is not None
                assert after.value <= finding.value + 1e-9
            for entry, value in remedy.changes.items():
                if entry == "plan.axle_shim_deg":
                    assert (2.0 * value) == round(2.0 * value)
                elif entry == "plan.mount_shim_mm":
                    assert is_cut(value, build.display.length)
                elif entry.endswith("phase_deg"):
                    assert value == round(value)
    return count


@settings(max_examples=40)
@given(
    height=st.floats(380.0, 640.0),
    output=st.floats(-3.0, 12.0),
    pinion=st.floats(-6.0, 16.0),
    side=st.floats(-120.0, 120.0),
    cruise=st.floats(50.0, 130.0),
    units=st.sampled_from(["inch", "millimetre"]),
    types=st.sampled_from([("cardan", "cardan"), ("double_cardan", "cardan"), ("cardan", "constant_velocity")]),
    tube=st.sampled_from([(50.8, 1.65), (63.5, 1.65), (76.2, 2.11), (127.0, 3.0)]),
)
def test_every_remedy_keeps_its_word(
    one_piece: Build,
    height: float,
    output: float,
    pinion: float,
    side: float,
    cruise: float,
    units: str,
    types: tuple[str, str],
    tube: tuple[float, float],
) -> None:
    changes: dict[str, Any] = {
        "powertrain.output_joint_mm": (1100.0, side, height), "powertrain.slope_deg": output,
        "axle.pinion_slope_deg": pinion, "vehicle.cruise_speed_kmh": cruise, "display.length": units,
        "shaft.front_joint.type": types[0], "shaft.rear_joint.type": types[1],
        "shaft.tube.outer_diameter_mm": tube[0], "shaft.tube.wall_mm": tube[1], "suspension": None,
    }  # fmt: skip
    hold_to_its_word(edited(one_piece, changes))


@settings(max_examples=10)
@given(bearing=st.floats(400.0, 560.0), pinion=st.floats(-3.0, 9.0), cruise=st.floats(50.0, 120.0))
def test_every_remedy_of_a_two_piece_shaft_keeps_its_word(
    two_piece: Build, bearing: float, pinion: float, cruise: float
) -> None:
    build = edited(
        two_piece,
        {
            "shaft.bearing_mm": (2200.0, 20.0, bearing),
            "axle.pinion_slope_deg": pinion,
            "vehicle.cruise_speed_kmh": cruise,
        },
    )
    hold_to_its_word(build)


@settings(max_examples=10)
@given(pinion=st.floats(-9.0, 9.0), output=st.floats(-4.0, 4.0))
def test_every_remedy_of_a_front_shaft_keeps_its_word(one_piece: Build, pinion: float, output: float) -> None:
    build = edited(
        one_piece,
        {
            "axle.end": "front", "axle.centre_mm": (0.0, 0.0, 390.0), "axle.pinion_slope_deg": pinion,
            "powertrain.slope_deg": output, "suspension": None, "readings": None,
        },
    )  # fmt: skip
    hold_to_its_word(build)


def test_a_wedge_is_offered_for_a_pinion_out_of_line(one_piece: Build) -> None:
    """Pinion 3.5° too low against a parallel pair: wedges that raise it by about as much are the first way out."""
    bad = edited(one_piece, {"axle.pinion_slope_deg": 0.0, "suspension": None, "vehicle.cruise_speed_kmh": 110.0})
    finding = next(one for one in solve(bad).findings if one.id == "pinion_residual")
    assert finding.verdict == "hold"
    assert finding.remedy is not None
    assert finding.remedy.after_verdict == "clear"
    assert finding.remedy.changes == {"plan.axle_shim_deg": 3.5}
    assert hold_to_its_word(bad) > 2


def test_a_larger_tube_is_offered_for_a_shaft_that_would_whirl(one_piece: Build) -> None:
    bad = edited(one_piece, {"shaft.tube.outer_diameter_mm": 50.8, "shaft.tube.wall_mm": 1.65, "suspension": None,
                             "powertrain.redline_rpm": 7000.0, "powertrain.gear_ratios": (3.0, 0.8),
                             "vehicle.top_speed_kmh": None})  # fmt: skip
    finding = next(one for one in solve(bad).findings if one.id == "critical_speed")
    assert finding.remedy is not None
    assert set(finding.remedy.changes) == {"shaft.tube.outer_diameter_mm"}
    assert hold_to_its_word(bad) > 0


def test_a_stronger_tube_is_offered_for_one_that_would_yield(one_piece: Build) -> None:
    bad = edited(one_piece, {"shaft.tube.outer_diameter_mm": 38.1, "shaft.tube.wall_mm": 1.65, "suspension": None})
    finding = next(one for one in solve(bad).findings if one.id == "tube_shear")
    assert finding.verdict == "hold"
    assert finding.remedy is not None
    assert finding.remedy.after_verdict == "clear"


def test_no_stock_tube_is_large_enough() -> None:
    """A shaft of 6 m whirls whatever the tube."""
    bad = edited(Build(), {
        "readings.shaft_length_mm": 6000.0, "shaft.tube.outer_diameter_mm": 76.2, "shaft.tube.wall_mm": 2.11,
        "powertrain.redline_rpm": 6000.0, "powertrain.gear_ratios": (1.0,), "powertrain.peak_torque_nm": 10_000.0,
    })  # fmt: skip
    found = {one.id: one for one in solve(bad).findings}
    assert found["critical_speed"].verdict == "hold"
    assert found["critical_speed"].remedy is None


@given(units=st.sampled_from(["inch", "millimetre"]), slope=st.floats(5.1, 8.0))
def test_a_hanging_tail_is_raised(one_piece: Build, units: str, slope: float) -> None:
    build = edited(one_piece, {"powertrain.slope_deg": slope, "display.length": units, "suspension": None})
    finding = next(one for one in solve(build).findings if one.id == "tail_down")
    assume(finding.remedy is not None)
    assert finding.remedy is not None
    after = matching(solve(edited(build, finding.remedy.changes)), finding)
    assert after.verdict == "clear"
    assert after.value == pytest.approx(finding.remedy.after, abs=1e-9)


def test_set_points_have_the_least_residual_near_the_pinion_as_it_is(one_piece: Build) -> None:
    """Against a plain search in steps of a hundredth of a degree."""
    build = edited(one_piece, {"axle.pinion_slope_deg": 5.2, "suspension": None})
    at = solve(build).setpoints.pinion_slope_deg
    assert at is not None

    def residual(pinion: float) -> float:
        left = solve(edited(build, {"axle.pinion_slope_deg": pinion})).motion.equivalent_angle_deg
        assert left is not None
        return left**2

    # A wedge turns the pinion's joint with the axle, an edited slope the same: both about the axle's centre.
    tried = np.arange(at - 0.3, at + 0.3, 0.02)
    values = [residual(float(pinion)) for pinion in tried]
    assert float(tried[int(np.argmin(values))]) == pytest.approx(at, abs=0.021)
