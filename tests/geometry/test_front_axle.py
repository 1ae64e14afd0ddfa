"""A front axle is a rear axle seen in a mirror: fore and aft reflected, everything that turns must come out alike."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry import Build, edited, solve
from geometry.words.solve import Work

TWO_PIECE = {
    "kind": "two_piece",
    "bearing_mm": (1650.0, 40.0, 490.0),
    "front_joint": {"max_angle_deg": 25.0, "torque_limit_nm": 3000.0, "life_rating_nm": 700.0, "swing_mm": 90.0},
    "centre_joint": {"max_angle_deg": 20.0, "torque_limit_nm": 3000.0, "swing_mm": 95.0},
    "rear_joint": {"max_angle_deg": 22.0, "torque_limit_nm": 2500.0, "swing_mm": 100.0},
    "front_tube": {"outer_diameter_mm": 63.5, "wall_mm": 2.11},
    "rear_tube": {"outer_diameter_mm": 76.2, "wall_mm": 2.11},
    "slip": {"stroke_mm": 120.0, "engaged_mm": 70.0},
    "front_phase_deg": 20.0,
    "rear_phase_deg": -35.0,
}


def reflected(build):
    """The same driveline with x turned round about the plane half way from the rear axle to x = 0.

    A line followed rearward is followed the other way round in the mirror, so slope and plan change sign. A yoke ahead
    of another is now behind it, and the mirror turns the hand round as well: a phase read from the other end in the
    other hand changes sign once.
    """
    far = build.axle.centre_mm[0]
    tree = build.model_dump()

    def side(point):
        return (far - point[0], *point[1:])

    vehicle, powertrain, axle, spring = tree["vehicle"], tree["powertrain"], tree["axle"], tree["suspension"]
    vehicle["frame_slope_deg"] = -vehicle["frame_slope_deg"]
    vehicle["front_tyre_radius_mm"] = vehicle["rear_tyre_radius_mm"]
    powertrain |= {
        "output_joint_mm": side(powertrain["output_joint_mm"]),
        "slope_deg": -powertrain["slope_deg"],
        "plan_deg": -powertrain["plan_deg"],
        "front_mount_mm": None,
        "rear_mount_mm": None,
    }
    axle |= {
        "end": "front",
        "centre_mm": side(axle["centre_mm"]),
        "pinion_slope_deg": -axle["pinion_slope_deg"],
        "pinion_plan_deg": -(axle["pinion_plan_deg"] or 0.0),
    }
    for name in ("front_eye_mm", "shackle_pivot_mm"):
        spring[name] = side(spring[name])
    tree["readings"] |= {
        "shaft_slope_deg": -tree["readings"]["shaft_slope_deg"] if tree["readings"]["shaft_slope_deg"] else None,
        "seat_slope_deg": -tree["readings"]["seat_slope_deg"],
    }
    if tree["lateral_link"] is not None:
        tree["lateral_link"] = {name: point and side(point) for name, point in tree["lateral_link"].items()}
    tree["obstacles"] = tuple(
        {**one, "outline_mm": tuple(side(corner) for corner in one["outline_mm"])} for one in tree["obstacles"]
    )
    shaft = tree["shaft"]
    shaft["front_joint"], shaft["rear_joint"] = shaft["rear_joint"], shaft["front_joint"]
    if shaft["kind"] == "two_piece":
        shaft["bearing_mm"] = side(shaft["bearing_mm"])
        shaft["front_tube"], shaft["rear_tube"] = shaft["rear_tube"], shaft["front_tube"]
        shaft["front_phase_deg"], shaft["rear_phase_deg"] = -shaft["rear_phase_deg"], -shaft["front_phase_deg"]
    else:
        shaft["phase_deg"] = -shaft["phase_deg"]
    if tree["plan"] is not None:
        plan = tree["plan"]
        plan["front_lift_mm"], plan["rear_lift_mm"] = plan["rear_lift_mm"], plan["front_lift_mm"]
        plan["front_lift_by"], plan["rear_lift_by"] = plan["rear_lift_by"], plan["front_lift_by"]
    return type(build).model_validate(tree)


STILL = {
    "powertrain.peak_torque_nm": None, "powertrain.gear_ratios": None, "powertrain.redline_rpm": None,
    "vehicle.tyre_grip": None,
}  # fmt: skip
"""Nothing that brings torque to the shaft."""


def prepared(one_piece, output, pinion, shaft, lift=None, by="spring", wedge=0.0):
    """A rear driveline that a mirror can show whole: no mounts, no torque, since torque turns one way only."""
    return edited(
        one_piece,
        {
            "powertrain.front_mount_mm": None,
            "powertrain.rear_mount_mm": None,
            "powertrain.slope_deg": output[0],
            "powertrain.plan_deg": output[1],
            "axle.pinion_slope_deg": pinion[0],
            "axle.pinion_plan_deg": pinion[1],
            "axle.pinion_drop_mm": 12.0,
            "suspension.rate_n_per_mm": 1e3,
            "suspension.bump_squash_mm": 10.0,
            "shaft": shaft,
            **STILL,
            # Along a two-piece shaft the stick lies on its rear section, which the mirror brings to the front.
            **({"readings.shaft_slope_deg": None, "readings.shaft_length_mm": None} if "bearing_mm" in shaft else {}),
            "lateral_link": {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 400.0)},
            "obstacles": (
                {"name": "crossmember", "outline_mm": ((1500.0, 590.0), (1600.0, 590.0), (1600.0, 700.0))},
                {"name": "exhaust", "view": "top", "outline_mm": ((1200.0, 130.0), (2300.0, 130.0), (2300.0, 180.0))},
            ),
            "plan": {"rear_lift_mm": lift, "front_lift_mm": lift, "rear_lift_by": by, "axle_shim_deg": wedge},
        },
    )


def verdicts_of(answer, *, swapped=False):
    """Verdict of each finding by what it is about, with the parts of the front and the rear changed round."""
    other = {"front_joint": "rear_joint", "rear_joint": "front_joint"} if swapped else {}
    # Tail and frame lean the other way in the mirror, and a front axle's wedge and block say more than a rear one's.
    own = {"tail_down", "tail_up", "caster", "front_block"}
    return {(f.id, other.get(f.part, f.part)): f.verdict for f in answer.findings if f.id not in own}


@settings(max_examples=30)
@given(
    output=st.tuples(st.floats(-4.0, 4.0), st.floats(-3.0, 3.0)),
    pinion=st.tuples(st.floats(-4.0, 8.0), st.floats(-3.0, 3.0)),
    two=st.booleans(),
    lift=st.sampled_from([None, 35.0]),
    by=st.sampled_from(["spring", "block", "shackle"]),
    wedge=st.sampled_from([0.0, 2.0]),
)
def test_everything_turns_alike_in_the_mirror(one_piece, output, pinion, two, lift, by, wedge):
    sized = {"shaft.front_joint.swing_mm": 90.0, "shaft.rear_joint.swing_mm": 100.0, "shaft.phase_deg": 15.0}
    shaft = TWO_PIECE if two else edited(one_piece, sized).shaft.model_dump()
    build = prepared(one_piece, output, pinion, shaft, lift, by, wedge)
    rear, front = solve(build), solve(reflected(build))
    for one, other in zip(rear.joints, front.joints[::-1], strict=True):
        assert one.operating_deg == pytest.approx(other.operating_deg, abs=1e-9)
        assert abs(one.side_deg) == pytest.approx(abs(other.side_deg), abs=1e-9)
    assert front.angles.pinion_slope_deg == pytest.approx(-rear.angles.pinion_slope_deg, abs=1e-9)
    for name in ("pinion_residual_rad_s2", "drive_inertia_rad_s2", "coast_inertia_rad_s2", "equivalent_angle_deg"):
        assert getattr(front.motion, name) == pytest.approx(getattr(rear.motion, name), rel=1e-6, abs=1e-6)
    assert front.travel.axle_mm == rear.travel.axle_mm
    np.testing.assert_allclose(front.travel.operating_deg[::-1], rear.travel.operating_deg, atol=1e-8)
    np.testing.assert_allclose(front.travel.engaged_mm, rear.travel.engaged_mm, atol=1e-8)
    np.testing.assert_allclose(front.travel.gap_mm, rear.travel.gap_mm, atol=1e-7)
    assert verdicts_of(front, swapped=True) == verdicts_of(rear)
    values = {(f.id, f.part): f.value for f in rear.findings}
    for finding in front.findings:
        if finding.id in {
            "gap_1",
            "gap_2",
            "slip_left",
            "slip_engaged",
            "lateral_shift",
            "lateral_lift",
            "pinion_nose_up",
        }:
            if values[finding.id, finding.part] is None:
                assert finding.value is None
                continue
            assert finding.value == pytest.approx(values[finding.id, finding.part], abs=1e-6)


def test_the_setpoint_and_its_wedge_are_mirrored_too(one_piece):
    build = prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump())
    rear, front = solve(build), solve(reflected(build))
    changes = [next(f.remedy for f in one.findings if f.id == "ends_parallel").changes for one in (rear, front)]
    assert changes[0] == changes[1]
    assert changes[0]["plan.axle_shim_deg"] < 0.0
    assert front.setpoints.pinion_slope_deg == pytest.approx(-rear.setpoints.pinion_slope_deg, abs=1e-6)
    assert front.setpoints.axle_shim_deg == rear.setpoints.axle_shim_deg
    assert front.setpoints.perch_to_pinion_deg == pytest.approx(-rear.setpoints.perch_to_pinion_deg, abs=1e-6)


@pytest.mark.parametrize("wedge", [0.5, -3.0])
def test_a_wedge_on_a_front_axle_turns_the_caster_and_says_so(one_piece, wedge):
    build = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump(), wedge=wedge))
    caster = next(f for f in solve(build).findings if f.id == "caster")
    assert (caster.verdict, caster.value) == ("caution", pytest.approx(abs(wedge)))
    assert f"{abs(wedge):.1f}°" in caster.says
    rear = solve(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump(), wedge=wedge))
    assert "caster" not in {f.id for f in rear.findings}


def test_the_knuckles_turn_by_what_the_wanted_caster_lacks(one_piece):
    """Caster 4° as it sits and 6° wanted; a wedge of 3° that raises the nose, on a front axle the rear end, leans the
    pivots forward by as much: 4 − 3 = 1°, so that the knuckles have to be turned back by 5°."""
    build = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump(), wedge=3.0))
    caster = next(
        f
        for f in solve(edited(build, {"axle.caster_deg": 4.0, "axle.caster_wanted_deg": 6.0})).findings
        if f.id == "caster"
    )
    assert "1.0°" in caster.says
    assert "5.0°" in caster.says


def test_a_block_under_a_front_spring_holds_and_no_remedy_keeps_it(one_piece):
    build = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump(), lift=30.0, by="block"))
    block = next(f for f in solve(build).findings if f.id == "front_block")
    assert block.verdict == "hold"
    assert "would do it without a block" in block.says


def test_a_wedge_that_raises_the_nose_lifts_the_joint_on_either_axle(one_piece):
    build = prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump())
    for one in (build, reflected(build)):
        flat, raised = solve(one), solve(edited(one, {"plan.axle_shim_deg": 3.0}))
        assert raised.picture.pinion_joint_mm[2] - flat.picture.pinion_joint_mm[2] > 15.0
        noses = [next(f.value for f in answer.findings if f.id == "pinion_nose_up") for answer in (flat, raised)]
        assert noses[1] - noses[0] == pytest.approx(3.0, abs=1e-9)


def test_front_speeds_and_stations_are_the_front_axles(one_piece):
    build = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump()))
    answer = solve(edited(build, {"vehicle.front_tyre_radius_mm": 300.0}))
    assert answer.shaft.cruise_rpm == pytest.approx(90.0 / 3.6 / 0.300 * 3.9 * 30.0 / np.pi, rel=1e-12)
    found = {finding.id: finding for finding in answer.findings}
    assert found["axle_station"].verdict == "clear"
    assert found["axle_height"].value == pytest.approx(90.0)


def test_only_the_front_lift_moves_a_front_axle(one_piece):
    build = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump()))
    lifted = solve(edited(build, {"plan": {"front_lift_mm": 30.0, "rear_lift_mm": 30.0}}))
    assert lifted.joints[0].operating_deg > solve(build).joints[0].operating_deg
    failing = solve(edited(build, {"plan": {"front_lift_mm": 900.0}}))
    found = {finding.id: finding for finding in failing.findings if finding.verdict == "hold"}
    assert found["lift"].entry == "plan.front_lift_mm"


def test_torque_does_not_turn_round_in_the_mirror(one_piece):
    # The housing's front rises whichever way the pinion points, so a front axle's nose goes down.
    build = edited(
        reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), one_piece.shaft.model_dump())),
        {
            "suspension.rate_n_per_mm": 30.0, "powertrain.peak_torque_nm": 300.0, "powertrain.gear_ratios": (3.5, 1.0),
            "powertrain.redline_rpm": 4800.0, "vehicle.tyre_grip": 0.9, "vehicle.mass_centre_height_mm": 500.0,
        },
    )  # fmt: skip
    standing = solve(build)
    launched = Work(build).posed(standing, 0.0, "launch")
    assert launched.picture.pinion_joint_mm[2] < standing.picture.pinion_joint_mm[2] - 10.0
    found = {finding.id: finding for finding in standing.findings}
    assert "raises the axle's front by" in found["windup_launch"].says


def test_the_section_beside_a_front_axle_is_the_one_that_slips(one_piece):
    build = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), TWO_PIECE, lift=35.0))
    answer = solve(build)
    assert np.ptp(answer.travel.engaged_mm) > 1.0
    still = reflected(prepared(one_piece, (2.0, 0.0), (5.0, 0.0), TWO_PIECE))
    front, rear = (
        np.linalg.norm(np.diff(solve(one).picture.joint_centres_mm, axis=0), axis=1) for one in (still, build)
    )
    assert front[1] == pytest.approx(rear[1], abs=1e-9)  # the section at the gearbox keeps its length
    at = answer.travel.axle_mm.index(0.0)
    assert answer.travel.engaged_mm[at] == pytest.approx(70.0 - (rear[0] - front[0]), abs=1e-9)


THREE = {
    "axle.end": "front", "powertrain.slope_deg": 2.0, "readings.shaft_slope_deg": -6.0, "axle.pinion_slope_deg": 2.0,
    "axle.ratio": 4.0, "vehicle.tyre_turns_per_km": 400.0,
}  # fmt: skip
"""Both joints at 8° from the side, both lines alongside each other."""


def verdicts_at(speed_kmh: float, **changes: object) -> dict[str, str]:
    build = edited(Build(), THREE | {"vehicle.cruise_speed_kmh": speed_kmh} | changes)
    return {one.id: one.verdict for one in solve(build).findings}


@pytest.mark.parametrize(
    ("asked", "front"), [(400.0, "clear"), (700.0, "unknown"), (1200.0, "unknown"), (2100.0, "hold")]
)
def test_a_front_shaft_of_three_angles_may_run_aside(asked: float, front: str) -> None:
    """It runs from an output at the side past the engine: up to some 8° in plan (common practice, no source).

    Uneven running of the shaft itself is ω²·β² (any textbook of a joint's motion), and β² from the side and above is
    the sum of both squares: 8° aside doubles what 8° from the side makes. A rear shaft runs straight.
    """
    per_s = np.sqrt(asked) / np.radians(8.0)
    speed = per_s * 30.0 / np.pi * 60.0 / 4.0 / 400.0
    rear = "clear" if asked < 1000.0 else "caution" if asked < 2000.0 else "hold"
    assert verdicts_at(speed)["shaft_inertia_drive"] == front
    behind = {"axle.end": "rear", "powertrain.slope_deg": -2.0, "axle.pinion_slope_deg": -2.0}
    behind |= {"readings.shaft_slope_deg": 6.0}
    assert verdicts_at(speed, **behind)["shaft_inertia_drive"] == rear
    # Lines that lie alongside each other cancel however the shaft runs; no slope hangs on it.
    slopes = ("pinion_nose_down", "tail_down", "shaft_slope")
    for name in ("pinion_residual", "ends_parallel", "operating_angle_least", *slopes):
        assert verdicts_at(speed)[name] == "clear"


def test_a_front_shaft_that_runs_aside_makes_more_of_ends_that_differ() -> None:
    """Ends 0.8° apart from the side: β₁² e^(2iφ) − β₂² e^(2iφ) is 0.8° · |16.8° + 2i·8°|, half as much again aside.

    3.1° apart stays at hold. What is wanted is where its joints lie; once they are taped it is judged.
    """
    build = edited(Build(), THREE | {"axle.pinion_slope_deg": 2.8, "vehicle.cruise_speed_kmh": 50.0})
    found = {one.id: one for one in solve(build).findings}
    assert found["ends_parallel"].verdict == "unknown"
    assert found["ends_parallel"].entry == "axle.pinion_offset_mm"
    assert (
        "pinion offset, the joint at the output, the axle centre and the pinion length" in found["ends_parallel"].says
    )
    assert verdicts_at(50.0, **{"axle.pinion_slope_deg": 5.1})["ends_parallel"] == "hold"
    straight = {"powertrain.slope_deg": -6.0, "axle.pinion_slope_deg": -6.0}
    assert verdicts_at(50.0, **straight)["operating_angle_least"] == "unknown"
    places = {
        "powertrain.output_joint_mm": (1100.0, 100.0, 480.0), "axle.centre_mm": (0.0, 0.0, 400.0),
        "axle.pinion_length_mm": 300.0, "axle.pinion_drop_mm": 0.0, "powertrain.plan_deg": 0.0,
        "axle.pinion_plan_deg": 0.0, "readings.shaft_slope_deg": None,
    }  # fmt: skip
    for offset, words in ((100.0, "clear"), (None, "unknown")):
        assert verdicts_at(50.0, **places, **{"axle.pinion_offset_mm": offset})["ends_parallel"] == words
