"""What a drag or a key makes of the measured entries, held to rotations by scipy and to the exact inch."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from app.window.canvas.drag_moves import FREE, changes_of, dragged, nudged, numbers_of, set_words, steps, words
from app.window.canvas.handles import Handle, handles_of
from geometry import Build, edited, value_at
from geometry.document.vehicle import Display
from geometry.words.solution import Picture
from geometry.words.solve import Work, solved

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
INCHES, MILLIMETRES = Display(), Display(length="millimetre", torque="newton_metre")
SHOCK = {"name": "left", "frame_point_mm": (3100.0, -300.0, 900.0), "axle_point_mm": (3250.0, -350.0, 420.0)}
BAR = {"name": "bar", "frame_point_mm": (2000.0, 0.0, 500.0), "axle_point_mm": (3100.0, 0.0, 480.0)}


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


@cache
def worked(build: Build) -> tuple[Work, Picture]:
    work = Work(build)
    return work, solved(work, with_ways=False).picture


def handles(build: Build) -> dict[str, Handle]:
    return {one.key: one for one in handles_of(*worked(build))}


TILTED = edited(
    sample("ranch_truck_swap"), {"plan.rear_lift_mm": 90.0, "plan.rear_lift_by": "block", "plan.mount_shim_mm": 12.0}
)
LOOSE = {
    "plan.perches": "loose", "plan.mounts": "loose", "plan.powertrain_slope_deg": 5.5, "plan.rear_lift_mm": 90.0,
}  # fmt: skip
LINKED = edited(sample("transfer_case_double_joint"), {"plan.rear_lift_mm": 60.0})
BUILDS = {
    "truck": edited(sample("ranch_truck_swap"), {"shocks.0": SHOCK, "torque_bars.0": BAR}),
    "tilted": TILTED,
    "tilted the other way": edited(TILTED, {"plan.rear_lift_mm": None, "plan.front_lift_mm": 60.0}),
    "two piece": sample("long_van_two_piece"),
    "front axle": sample("front_axle_lift"),
    "front axle, offset open": edited(sample("front_axle_lift"), {"axle.pinion_offset_mm": None}),
    "links": sample("transfer_case_double_joint"),
    "lifted links": LINKED,
    "wedged": edited(sample("ranch_truck_swap"), {"plan.axle_shim_deg": 2.0, "shocks.0": SHOCK}),
    "wedged front axle": edited(sample("front_axle_lift"), {"plan.axle_shim_deg": -1.5}),
    "loose": edited(sample("ranch_truck_swap"), LOOSE),
    "loose, set": edited(sample("ranch_truck_swap"), {**LOOSE, "plan.pinion_slope_deg": 4.0}),
    "loose links": edited(LINKED, {"plan.perches": "loose"}),
    "another lateral link": edited(
        sample("front_axle_lift"),
        {
            "lateral_link.frame_point_mm": (0.0, -450.0, 600.0),
            "lateral_link.axle_point_mm": (0.0, 400.0, 420.0),
            "lateral_link.drag_box_mm": (-250.0, -400.0, 620.0),
            "lateral_link.drag_axle_mm": (-150.0, 380.0, 430.0),
            "plan.lateral_link_longer_mm": 6.0,
        },
    ),
}
WORKED = {name: worked(build) for name, build in BUILDS.items()}
KNOWN = {name: {one.key: one for one in handles_of(*work)} for name, work in WORKED.items()}
EVERY = [(name, key) for name, known in KNOWN.items() for key in known]


def test_every_kind_of_place_can_be_taken() -> None:
    kinds = {one.path for known in KNOWN.values() for one in known.values()}
    plain = {"".join(" " if one.isdigit() else one for one in path) for path in kinds}
    assert plain == {
        "powertrain.output_joint_mm", "powertrain.front_mount_mm", "powertrain.rear_mount_mm", "axle.centre_mm",
        "axle.pinion_slope_deg", "axle.pinion_plan_deg", "shaft.bearing_mm", "suspension.front_eye_mm",
        "suspension.shackle_pivot_mm", "suspension.lower_frame_mm", "suspension.lower_axle_mm",
        "suspension.upper_frame_mm", "suspension.upper_axle_mm", "obstacles. .outline_mm", "shocks. .frame_point_mm",
        "shocks. .axle_point_mm", "torque_bars. .frame_point_mm", "torque_bars. .axle_point_mm",
        "lateral_link.frame_point_mm", "lateral_link.axle_point_mm", "plan.axle_shim_deg", "plan.pinion_slope_deg",
        "plan.powertrain_shift_mm", "flexible_lines. .frame_point_mm", "flexible_lines. .axle_point_mm",
        "lateral_link.drag_box_mm",
    }  # fmt: skip


def test_no_two_handles_go_by_one_name_whatever_a_person_calls_a_hose() -> None:
    hose = {"frame_point_mm": (2900.0, 100.0, 700.0), "axle_point_mm": (3200.0, 120.0, 450.0)}
    build = edited(BUILDS["truck"], {"flexible_lines": ({"name": "shock", **hose}, {"name": "torque bar", **hose})})
    work, picture = worked(build)
    found = handles_of(work, picture)
    assert len({one.key for one in found}) == len(found)
    lines = [one for one in found if one.part == "flexible_lines"]
    assert {one.view for one in lines} == {"rear"}
    assert [one.title for one in lines[::2]] == ["shock, line's fixed end", "torque bar, line's fixed end"]


@pytest.mark.parametrize(("name", "key"), EVERY)
def test_what_the_plan_decides_is_never_dragged_as_a_measurement(name: str, key: str) -> None:
    """A handle sets the plan, or what is drawn at it is what was measured, in the vehicle."""
    build = BUILDS[name]
    work, picture = WORKED[name]
    one = KNOWN[name][key]
    if one.path.startswith("plan."):
        return
    numbers = numbers_of(one, build)
    if one.path == "axle.pinion_slope_deg":
        assert picture.pinion_direction is not None
        assert np.degrees(np.arcsin(-picture.pinion_direction[2])) == pytest.approx(numbers[0], abs=0.01)
    elif one.view == "side":
        assert work.floor.side_in_frame((one.at,))[0] == pytest.approx(numbers, abs=0.02)
    elif one.view == "rear":
        point = work.floor.point(value_at(build, one.path))
        assert one.at == pytest.approx(point[1:], abs=0.02)
        assert numbers == value_at(build, one.path)[1:]
    elif one.about is None:
        assert one.at[1] == pytest.approx(numbers[1], abs=0.02)
    assert one.lifted == (bool(work.floor.tilt_deg or work.floor.raised_mm) and one.about is None) or one.view == "top"


@pytest.mark.parametrize(("name", "key"), EVERY)
def test_what_is_moved_after_a_lift_says_that_its_number_is_from_before(name: str, key: str) -> None:
    build = BUILDS[name]
    one = KNOWN[name][key]
    said = words(one, numbers_of(one, build), build.display)
    assert ("before the lift" in said) == one.lifted
    planned = one.path.startswith("plan.")
    assert set_words(one, numbers_of(one, build), build.display).startswith(
        "Set in the plan: " if planned else "Measurement changed: "
    )
    assert not (planned and one.lifted)


@pytest.mark.parametrize(("name", "key"), EVERY)
def test_every_handle_follows_the_hand(name: str, key: str) -> None:
    build = BUILDS[name]
    one = KNOWN[name][key]
    to = (one.at[0] + 17.0, one.at[1] + 9.0)
    after = edited(build, changes_of(one, build, dragged(one, numbers_of(one, build), to, FREE)))
    now = handles(after)[key].at
    if one.about is None:
        assert now == pytest.approx(to, abs=0.02)  # a hundredth is what an unsnapped entry is rounded to
        return
    # A nose turns about the axle: it comes to lie on the ray to the hand, as long as its plan stays nil.
    ray, nose = np.subtract(to, one.about), np.subtract(now, one.about)
    assert (ray[0] * nose[1] - ray[1] * nose[0]) / np.linalg.norm(ray) == pytest.approx(0.0, abs=0.1)
    assert ray @ nose > 0.0


@pytest.mark.parametrize("turned_deg", [-4.0, 0.0, 7.5])
def test_a_drag_in_side_view_is_turned_back_into_the_frame(turned_deg: float) -> None:
    one = Handle(
        "h", "side", (1000.0, 600.0), "powertrain.front_mount_mm", "Mount", "powertrain", turned_deg=turned_deg
    )
    moved = dragged(one, (50.0, 60.0), (1030.0, 580.0), FREE)
    # scipy's rotation about y, right-handed in our x, y, z: z' = z cos a - x sin a, so the slope of a line grows by a
    back = Rotation.from_euler("y", -turned_deg, degrees=True).apply((30.0, 0.0, -20.0))
    assert moved == pytest.approx((50.0 + back[0], 60.0 + back[2]), abs=0.0051)


def test_nose_up_is_a_greater_slope_and_right_of_a_nose_ahead_a_smaller_plan() -> None:
    # By the sign rules: followed rearward, a line whose nose points up has a rear end that is lower.
    build = BUILDS["truck"]
    assert build.axle is not None
    for key, arm in (("side pinion nose", 335.0), ("top pinion nose", 335.0)):
        one = KNOWN["truck"][key]
        start = numbers_of(one, build)
        up = dragged(one, start, (one.at[0], one.at[1] + 30.0), FREE)[0] - start[0]
        assert abs(up) == pytest.approx(np.degrees(np.arctan(30.0 / arm)), rel=0.02)
        assert up > 0.0 if one.view == "side" else up < 0.0
        assert np.sign(nudged(one, start, 0, 1, steps(INCHES))[0] - start[0]) == np.sign(up)


def test_a_front_axles_nose_points_the_other_way() -> None:
    build = edited(sample("front_axle_lift"), {"plan": None})
    one = handles(build)["side pinion nose"]
    start = numbers_of(one, build)
    assert dragged(one, start, (one.at[0], one.at[1] + 30.0), FREE)[0] < start[0]
    assert nudged(one, start, 0, 1, steps(INCHES))[0] < start[0]


@given(st.floats(-400.0, 400.0), st.floats(-400.0, 400.0), st.booleans(), st.booleans())
def test_what_is_moved_stands_on_halves_and_what_is_not_stays(dx: float, dz: float, fine: bool, inch: bool) -> None:
    display = INCHES if inch else MILLIMETRES
    step = {(True, False): 25.4 / 2, (True, True): 25.4 / 16, (False, False): 5.0, (False, True): 1.0}[inch, fine]
    one = Handle("h", "side", (0.0, 0.0), "axle.centre_mm", "Axle centre", "axle", (0, 2))
    start = (1632.3, 645.7)
    for was, way, now in zip(start, (dx, dz), dragged(one, start, (dx, dz), steps(display, fine=fine)), strict=True):
        if abs(way) < step / 2 * (1 - 1e-9):
            assert now == was
        elif abs(way) > step / 2 * (1 + 1e-9):
            assert now / step == pytest.approx(round(now / step), abs=1e-6)  # 1 in = 25.4 mm exactly
            assert abs(now - (was + way)) <= step / 2 + 1e-6


def test_angles_snap_to_half_degrees_and_finely_to_tenths() -> None:
    build = BUILDS["truck"]
    one = handles(build)["side pinion nose"]
    to = (one.at[0], one.at[1] + 30.0)
    start = numbers_of(one, build)
    assert dragged(one, start, to, steps(INCHES))[0] % 0.5 == 0.0
    fine = dragged(one, start, to, steps(INCHES, fine=True))[0]
    assert fine * 10.0 == pytest.approx(round(fine * 10.0), abs=1e-9)
    assert dragged(one, start, one.at, steps(INCHES)) == start


def test_a_key_goes_to_the_next_whole_step_that_way() -> None:
    one = Handle("h", "side", (0.0, 0.0), "axle.centre_mm", "Axle centre", "axle", (0, 2))
    by = steps(MILLIMETRES)
    assert nudged(one, (1632.3, 645.0), 1, 0, by) == (1635.0, 645.0)
    assert nudged(one, (1632.3, 645.0), -1, 0, by) == (1630.0, 645.0)
    assert nudged(one, (1632.3, 645.0), 0, 1, by) == (1632.3, 650.0)
    assert nudged(one, (-2.0, 0.0), 0, -1, by) == (-2.0, -5.0)
    assert nudged(one, (-2.0, 0.0), 1, 0, by) == (0.0, 0.0)


def test_a_corner_takes_its_place_in_the_outline_alone() -> None:
    build = BUILDS["truck"]
    one = handles(build)["side obstacle 1 corner 2"]
    before = build.obstacles[1].outline_mm
    after = edited(build, changes_of(one, build, (2200.0, 750.0))).obstacles[1].outline_mm
    assert after == (*before[:2], (2200.0, 750.0), before[3])


def test_the_view_from_above_keeps_the_height_that_the_tape_read() -> None:
    build = edited(sample("ranch_truck_swap"), {"plan.rear_lift_mm": 90.0})
    one = handles(build)["top output joint"]
    after = edited(build, changes_of(one, build, dragged(one, numbers_of(one, build), (one.at[0] + 80.0, 5.0), FREE)))
    assert build.powertrain is not None
    assert after.powertrain is not None
    assert after.powertrain.output_joint_mm is not None
    assert build.powertrain.output_joint_mm is not None
    assert after.powertrain.output_joint_mm[2] == build.powertrain.output_joint_mm[2]


def test_only_drawings_to_scale_have_handles() -> None:
    assert handles(sample("three_angles_and_a_length")) == {}
    assert handles(Build()) == {}


def test_words_say_what_gauge_and_tape_would_read() -> None:
    build = BUILDS["truck"]
    found = handles(build)
    assert words(found["side axle centre"], (3238.5, 406.4), INCHES) == "Axle centre: back 127.50 in, up 16.00 in"
    assert words(found["top axle centre"], (3238.5, -12.7), INCHES) == "Axle centre: back 127.50 in, right −0.50 in"
    assert words(found["side pinion nose"], (4.5,), INCHES) == "Pinion slope 4.5°"
