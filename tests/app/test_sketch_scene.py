"""What the drawing shows, and that it is to scale."""

import math
from pathlib import Path

import numpy as np
import pytest
from app.sketch.camera import fitted
from app.sketch.primitives import VIEWS, Scene, Stroke
from app.sketch.scene import scene
from app.sketch.words import leaning, output_words, pinion_words

from geometry import Build, edited, solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"


def sample(name: str) -> Build:
    return Build.model_validate_json((SAMPLES / f"{name}.json").read_bytes())


def measured() -> Build:
    """A usual rear-axle build; plain numbers of our own, so that the words can be checked by hand."""
    return edited(
        Build(),
        {
            "vehicle.wheelbase_mm": 3240.0,
            "vehicle.rear_tyre_radius_mm": 410.0,
            "vehicle.front_tyre_radius_mm": 410.0,
            "vehicle.frame_slope_deg": 0.0,
            "vehicle.frame_height_mm": 620.0,
            "powertrain.output_joint_mm": (1630.0, -35.0, 640.0),
            "powertrain.slope_deg": 4.2,
            "axle.centre_mm": (3240.0, 20.0, 410.0),
            "axle.pinion_slope_deg": 3.9,
            "axle.pinion_length_mm": 335.0,
            "axle.pinion_drop_mm": 28.0,
            "axle.tube_diameter_mm": 90.0,
            "shaft.tube.outer_diameter_mm": 88.9,
            "shaft.tube.wall_mm": 2.11,
        },
    )


def hurry() -> Build:
    return edited(
        Build(),
        {
            "powertrain.slope_deg": 3.5,
            "axle.pinion_slope_deg": 3.4,
            "readings.shaft_slope_deg": 10.8,
            "readings.shaft_length_mm": 1295.4,
        },
    )


def front_axle() -> Build:
    return edited(
        Build(),
        {
            "powertrain.output_joint_mm": (1250.0, 150.0, 600.0),
            "powertrain.slope_deg": -1.0,
            "axle.end": "front",
            "axle.centre_mm": (0.0, 160.0, 410.0),
            "axle.pinion_slope_deg": -8.0,
            "axle.pinion_length_mm": 300.0,
        },
    )


BUILDS = {
    "measured": measured(),
    "hurry": hurry(),
    "front axle": front_axle(),
    "millimetres": edited(measured(), {"display.length": "millimetre"}),
    "other joints": edited(
        measured(), {"shaft.front_joint.type": "constant_velocity", "shaft.rear_joint.type": "double_cardan"}
    ),
    "no tube": edited(measured(), {"shaft": None}),
    "no axle": edited(measured(), {"axle": None}),
    "one slope": edited(Build(), {"powertrain.slope_deg": 3.5}),
    "empty": Build(),
    **{path.stem: sample(path.stem) for path in sorted(SAMPLES.glob("*.json"))},
}


def shown(build: Build) -> Scene:
    return scene(build, solve(build))


def stroke(made: Scene, key: str) -> Stroke:
    return next(one for one in made.strokes if one.key == key)


def label(made: Scene, key: str) -> str:
    return next(one.text for one in made.labels if one.key == key)


@pytest.mark.parametrize("name", BUILDS)
def test_every_stroke_has_its_own_key_and_finite_points(name: str) -> None:
    made = shown(BUILDS[name])
    keys = [one.key for one in made.strokes]
    assert len(keys) == len(set(keys))
    assert all(one.points.ndim == 2 and one.points.shape[1] == 2 for one in made.strokes)
    assert all(np.isfinite(one.points).all() for one in made.strokes)


def test_joints_stand_where_the_picture_has_them() -> None:
    made, picture = shown(measured()), solve(measured()).picture
    for number, (x, y, z) in enumerate(picture.joint_centres_mm):
        assert stroke(made, f"side joint {number} body").points.mean(axis=0) == pytest.approx((x, z))
        assert stroke(made, f"top joint {number} body").points.mean(axis=0) == pytest.approx((x, y))


def test_tyre_and_tube_have_their_true_size() -> None:
    made = shown(measured())
    tyre = stroke(made, "side rear tyre").points
    # 410 mm to the hub: the tyre touches the floor and is twice as high.
    assert (tyre[:, 1].min(), tyre[:, 1].max()) == pytest.approx((0.0, 820.0), abs=1.0)
    tube = stroke(made, "side shaft 0 tube").points
    across = np.hypot(*(tube[2] - tube[-3]))
    assert across == pytest.approx(88.9)


def test_wedge_spans_the_angle_between_the_lines_in_side_view() -> None:
    build = hurry()  # all in one plane, so the side view shows the true angle: 10.8 − 3.5 and 10.8 − 3.4
    made = shown(build)
    for number, angle in ((0, 7.3), (1, 7.4)):
        fill = stroke(made, f"side wedge {number}").points
        first, last = fill[1] - fill[0], fill[-1] - fill[0]
        turn = math.degrees(math.atan2(abs(first[0] * last[1] - first[1] * last[0]), float(first @ last)))
        assert turn == pytest.approx(angle, abs=1e-6)


def test_a_build_of_slopes_and_a_length_invents_no_floor_and_no_tyre() -> None:
    made = shown(hurry())
    assert made.kind == "schematic"
    assert "positions not measured" in made.captions["side"]
    assert {one.view for one in made.strokes} == {"side"}
    assert not {one.role for one in made.strokes} & {"ground", "ground_fill", "faint", "shaft"}
    a, b = stroke(made, "side shaft 0 line").points
    assert np.hypot(*(b - a)) == pytest.approx(1295.4)
    assert math.degrees(math.atan2(a[1] - b[1], b[0] - a[0])) == pytest.approx(10.8)


def test_an_empty_build_says_what_to_measure_first() -> None:
    made = shown(Build())
    assert made.kind == "empty"
    assert made.strokes == ()
    assert made.hint.startswith("measure next: the output's slope")


def test_words_of_a_welder() -> None:
    made = shown(measured())
    assert label(made, "output") == "output 4.2° tail down"
    assert label(made, "pinion") == "pinion 3.9° nose up"
    assert label(made, "offset").startswith("offset 2.17 in to the right · ")
    assert label(made, "shaft 0").endswith(" in")
    assert label(made, "frame rail") == "frame rail 0.0°"
    assert label(made, "angle front").splitlines()[0].endswith("at the front joint")


def test_a_front_axle_points_its_pinion_rearward() -> None:
    # Followed rearward, a front pinion that points up rises: a negative slope is nose up.
    assert label(shown(front_axle()), "pinion") == "pinion 8.0° nose up"
    assert pinion_words(8.0, axle_ahead=True) == "pinion 8.0° nose down"
    assert pinion_words(8.0, axle_ahead=False) == "pinion 8.0° nose up"


def test_a_level_line_leans_nowhere() -> None:
    assert leaning(-0.04, down="down", up="up") == "0.0° level"
    assert output_words(-1.25) == "output 1.2° tail up"


def test_lengths_follow_the_display() -> None:
    metric = shown(BUILDS["millimetres"])
    assert not metric.inches
    assert label(metric, "shaft 0").endswith(" mm")


def test_joint_types_are_told_apart() -> None:
    made = shown(BUILDS["other joints"])
    front = {one.key for one in made.strokes if one.part == "front_joint"}
    rear = {one.key for one in made.strokes if one.part == "rear_joint"}
    assert "side joint 0 race" in front
    assert "side joint 1 housing" in rear
    assert sum("arm" in key and key.startswith("side") for key in rear) == 4  # two crosses


def test_a_tube_that_was_not_measured_is_a_line() -> None:
    made = shown(BUILDS["no tube"])
    assert stroke(made, "side shaft 0 line").role == "shaft_line"
    assert "tube" in made.hint


def test_selected_part_gets_a_halo_over_nothing_else() -> None:
    build = measured()
    plain, chosen = scene(build, solve(build)), scene(build, solve(build), selected="rear_joint")
    added = chosen.strokes[len(plain.strokes) :]
    assert added
    assert all(one.role == "selected" and "joint 1" in one.key for one in added)


@pytest.mark.parametrize("size", [(1400.0, 900.0), (700.0, 420.0), (900.0, 1200.0)])
@pytest.mark.parametrize("name", BUILDS)
def test_both_views_have_one_scale_and_one_station_axis(name: str, size: tuple[float, float]) -> None:
    made = shown(BUILDS[name])
    camera = fitted(made, *size)
    square = np.array([[2000.0, 0.0], [2100.0, 0.0], [2000.0, 100.0]])
    for view in VIEWS:
        if camera.box(view) is None:
            continue
        at = camera.to_px(view, square)
        assert at[1, 0] - at[0, 0] == pytest.approx(100.0 * camera.scale)
        assert at[0, 1] - at[2, 1] == pytest.approx(100.0 * camera.scale)
        assert camera.to_mm(view, *at[2]) == pytest.approx((2000.0, 100.0))
    if camera.top is not None:
        assert camera.to_px("side", square)[0, 0] == pytest.approx(camera.to_px("top", square)[0, 0])
    assert camera.shows(made.extents.subject)


def test_shaft_fills_the_page_well() -> None:
    made = shown(measured())
    camera = fitted(made, 1400.0, 900.0)
    assert 1295.0 * camera.scale > 0.38 * 1400.0


def test_a_value_just_off_its_limit_does_not_look_equal_to_it() -> None:
    from app.sketch.words import flag_rows
    from app.window.finding_list import value_words

    path = Path(__file__).parent.parent.parent / "sample_builds" / "long_van_two_piece.json"
    build = Build.model_validate_json(path.read_text(encoding="utf-8"))
    finding = next(
        one for one in solve(build).findings if one.id == "operating_angle_least" and one.verdict == "caution"
    )
    assert flag_rows([finding], build.display)[0].text == "CAUTION needles stand 0.48°, at least 0.50°"
    assert value_words(finding, build.display) == "0.48°"


def test_of_a_two_piece_shaft_the_length_says_which_section_it_is() -> None:
    from app.setpoints import set_points

    path = Path(__file__).parent.parent.parent / "sample_builds" / "long_van_two_piece.json"
    build = Build.model_validate_json(path.read_text(encoding="utf-8"))
    labels = [one.label for one in set_points(build, solve(build))]
    assert "Rear section" in labels
    assert "Joint to joint" not in labels
