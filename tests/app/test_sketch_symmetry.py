"""Symmetry of what is drawn: parts about their own lines, and a vehicle in a mirror, whose side view stays as it is."""

import json
from pathlib import Path

import numpy as np
import pytest
from app.sketch.primitives import Floats, Stroke
from app.sketch.scene import scene

from geometry import Build, edited, solve

SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
TWIST = {"powertrain.plan_deg": 2.0, "axle.pinion_plan_deg": -1.5}
SIGNED = {"plan_deg", "pinion_plan_deg", "pinion_offset_mm", "phase_deg", "front_phase_deg", "rear_phase_deg"}


def drawn(build: Build) -> dict[str, Stroke]:
    return {stroke.key: stroke for stroke in scene(build, solve(build)).strokes}


def mirrored(build: Build) -> Build:
    """The same vehicle seen in a mirror: left is right; points in space have y in their middle."""

    def turned(name: str, value: object, *, above: bool) -> object:
        if isinstance(value, dict):
            return {key: turned(key, item, above=value.get("view") == "top") for key, item in value.items()}
        if name == "outline_mm" and above:
            return [[x, -y] for x, y in value]  # type: ignore[attr-defined]
        if isinstance(value, list):
            if len(value) == 3 and all(isinstance(one, float) for one in value) and name.endswith("_mm"):
                return [value[0], -value[1], value[2]]
            return [turned(name, item, above=above) for item in value]
        return -value if name in SIGNED and isinstance(value, float) else value

    return Build.model_validate_json(json.dumps(turned("", json.loads(build.model_dump_json()), above=False)))


def as_set(points: Floats) -> list[tuple[float, float]]:
    """Points in an order of their own, to a hundredth of a millimetre, so that the way round does not matter."""
    return sorted({(round(x, 2) + 0.0, round(y, 2) + 0.0) for x, y in np.asarray(points, float).tolist()})


def near(one: Floats, other: Floats) -> bool:
    """Whether two outlines have the same corners: each of one has one of the other within a hundredth."""
    apart = np.linalg.norm(np.asarray(one)[:, None] - np.asarray(other)[None], axis=2)
    return bool(apart.min(axis=0).max() < 0.01 and apart.min(axis=1).max() < 0.01)


def reflected(points: Floats, start: Floats, end: Floats) -> Floats:
    along = (end - start) / np.linalg.norm(end - start)
    off = points - start
    mirrored_points: Floats = start + 2.0 * np.outer(off @ along, along) - off
    return mirrored_points


def test_a_vehicle_in_a_mirror_is_drawn_in_the_mirror(sample_path: Path) -> None:
    build = Build.model_validate_json(sample_path.read_bytes())
    if build.powertrain is not None and build.axle is not None and build.axle.centre_mm is not None:
        build = edited(build, TWIST)
    other = mirrored(build)
    assert mirrored(other) == build
    one, two = drawn(build), drawn(other)
    perches = {f"top {name} {i}": f"top {name} {1 - i}" for name in ("perch", "spring") for i in (0, 1)}
    partners = {key: perches.get(key, key) for key in one}
    assert set(partners.values()) == two.keys()
    for key, stroke in one.items():
        partner = two[partners[key]]
        assert partner.role == stroke.role, key
        expected = stroke.points * np.array([1.0, -1.0 if stroke.view == "top" else 1.0])
        if "ball" in key:
            continue  # three balls of a round joint stand one way up
        assert near(partner.points, expected), key


@pytest.mark.parametrize("kind", ["cardan", "double_cardan", "constant_velocity"])
@pytest.mark.parametrize("sample", ["ranch_truck_swap", "long_van_two_piece", "front_axle_lift"])
def test_shaft_and_joints_are_alike_on_both_sides_of_their_lines(sample: str, kind: str) -> None:
    build = Build.model_validate_json((SAMPLES / f"{sample}.json").read_bytes())
    build = edited(build, {**TWIST, "shaft.front_joint.type": kind, "shaft.rear_joint.type": kind})
    strokes = drawn(build)
    seen = set()
    for key, stroke in strokes.items():
        view = stroke.view
        if stroke.role == "shaft":
            number = key.split()[2]
            line = strokes[f"{view} shaft {number} centre"].points
            assert near(reflected(stroke.points, line[0], line[-1]), stroke.points), key
            middle = 0.5 * (line[0] + line[-1])
            assert near(2.0 * middle - stroke.points, stroke.points), key  # and alike at both ends
            for end in ("front", "rear"):
                weld = strokes[f"{view} shaft {number} weld {end}"].points
                assert near(reflected(weld, line[0], line[-1]), weld), key
            welds = [strokes[f"{view} shaft {number} weld {end}"].points for end in ("front", "rear")]
            assert near(2.0 * middle - welds[0], welds[1])
            seen.add("tube")
        if key.startswith(f"{view} joint") and key.endswith(("body", "housing", "race")):
            centre = stroke.points.mean(axis=0)
            assert near(2.0 * centre - stroke.points, stroke.points), key
            joint = " ".join(key.split()[:3])
            arms = [one.points for name, one in strokes.items() if name.startswith(f"{joint} arm ")]
            marks = np.concatenate([centre[None], *arms])
            assert near(2.0 * centre - marks, marks), key
            seen.add(key.split()[-1])
        if key.endswith(" yoke"):
            line = strokes[key.replace("yoke", "line")].points
            assert near(reflected(stroke.points, line[0], line[-1]), stroke.points), key
            seen.add("yoke")
        if key.startswith(f"{view} joint") and " arm " in key:
            assert len(stroke.points) == 2
            seen.add("arm")
    assert {"tube", "yoke"} <= seen
    assert {"cardan": "arm", "double_cardan": "housing", "constant_velocity": "race"}[kind] in seen


def test_balls_of_a_round_joint_stand_a_third_of_a_turn_apart() -> None:
    build = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_bytes())
    strokes = drawn(edited(build, {"shaft.front_joint.type": "constant_velocity"}))
    centre = strokes["side joint 0 body"].points.mean(axis=0)
    balls = [strokes[f"side joint 0 ball {i}"].points.mean(axis=0) - centre for i in range(3)]
    assert np.linalg.norm(np.sum(balls, axis=0)) < 0.01
    lengths = [float(np.linalg.norm(ball)) for ball in balls]
    assert lengths == pytest.approx([lengths[0]] * 3)
    assert lengths[0] > 1.0
    assert abs(balls[0][0]) < 0.01
    assert balls[0][1] > 0.0


def test_axle_from_above_is_as_long_on_either_side(sample_path: Path) -> None:
    build = Build.model_validate_json(sample_path.read_bytes())
    strokes = drawn(build)
    centre = solve(build).picture.axle_centre_mm
    if centre is None:
        assert not [key for key in strokes if key.startswith("top axle")]
        return
    middle = np.array(centre[:2])
    edges = [
        stroke.points
        for key, stroke in strokes.items()
        if key.startswith("top axle ") and key.endswith(("edge", "axis"))
    ]
    assert edges
    both = np.concatenate(edges)
    assert as_set(2.0 * middle - both) == as_set(both)
    for key in ("snout", "bowl"):
        if f"top {key}" in strokes:
            points = strokes[f"top {key}"].points
            pinion = solve(build).picture.pinion_joint_mm
            assert pinion is not None
            assert near(points * [1.0, -1.0] + [0.0, 2.0 * pinion[1]], points), key
