"""Builds for property tests of the judge: plausible ones made from the samples, of all kinds, and wild ones.

A plausible build is a sample whose measurements are moved a little and whose words are drawn anew, so that most of its
findings are judged on numbers. Its readings agree with each other: the stick, the tape along the shaft and the seat's
gauge read what the measured places say. A wild build is whatever the document allows.
"""

import copy
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import hypothesis.strategies as st
import numpy as np
from pydantic import ValidationError

from geometry.document import Build, edited
from geometry.document.entries import variants
from geometry.document.sides import end_of, other_end, swapped
from geometry.judge.facts import Facts
from geometry.mechanics import springs
from geometry.mechanics.vectors import slope_deg

SAMPLES = Path(__file__).resolve().parents[2] / "sample_builds"
JOINTS = ("cardan", "double_cardan", "constant_velocity")
NAMES = {"one_piece": ("front", "rear"), "two_piece": ("front", "centre", "rear")}
HURRY = {"powertrain.slope_deg": 3.5, "axle.pinion_slope_deg": 3.5, "readings.shaft_slope_deg": 10.8,
         "readings.shaft_length_mm": 1524.0}  # fmt: skip
"""Three angles and a length, read on the shop floor."""
Point = tuple[float, ...]


def sample(name: str) -> Build:
    """A sample build by its name, in the one state in which it was measured."""
    whole = Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return edited(whole, {"state": None, "use": None})


WHOLE = tuple(sample(name) for name in (
    "ranch_truck_swap", "lifted_short_shaft", "front_axle_lift", "long_van_two_piece", "transfer_case_double_joint",
))  # fmt: skip
"""Samples with every section measured."""
LINKS = sample("transfer_case_double_joint").suspension


def entries_of(build: Build) -> Iterator[tuple[str, float | Point]]:
    """Dotted path and value of every number entered, points and lists of numbers whole, outlines left out."""

    def walk(tree: Any, prefix: str) -> Iterator[tuple[str, float | Point]]:
        for name, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
            path = f"{prefix}{name}"
            if isinstance(value, float) or (
                isinstance(value, tuple) and value and all(isinstance(part, float) for part in value)
            ):
                yield path, value
            elif isinstance(value, (dict, tuple)) and name not in {"outline_mm", "variants"}:
                yield from walk(value, f"{path}.")

    yield from walk(build.model_dump(), "")


def parts_of(path: str, value: float | Point) -> dict[str, float]:
    """The numbers of an entry by the paths of its parts."""
    if isinstance(value, float):
        return {path: value}
    return {f"{path}.{number}": part for number, part in enumerate(value)}


def agreed(build: Build) -> Build:
    """The build with its stick, its tape along the shaft and its seat's gauge reading what the measured places say."""
    with np.errstate(all="ignore"):
        facts = Facts(variants(edited(build, {"readings": None, "plan": None})))
        length = float(np.ravel(facts.measured.lengths_mm[-1])[0])
        slope = float(np.ravel(slope_deg(facts.measured.sections[-1]))[0])
        seat = float(np.ravel(springs.posture(facts.leaf, facts.curvature).seat_slope_deg)[0])
    readings = build.readings
    if readings is None:
        return build
    says = {"readings.shaft_slope_deg": slope, "readings.shaft_length_mm": length, "readings.seat_slope_deg": seat}
    most = {"readings.shaft_length_mm": (0.001, 6000.0)}
    changes = {}
    for path, value in says.items():
        low, high = most.get(path, (-60.0, 60.0))
        if getattr(readings, path.split(".")[1]) is not None and low <= value <= high:
            changes[path] = value
    return edited(build, changes)


def _moved(rng: np.random.Generator, tree: dict[str, Any]) -> None:
    """Every number of a section a little off: places by millimetres, angles by a degree, else by some per cent."""
    for name, value in tree.items():
        if isinstance(value, dict):
            _moved(rng, value)
        elif isinstance(value, float):
            if name.endswith("_deg") and name != "angle_uncertainty_deg":
                tree[name] = value + rng.normal(0.0, 1.0)
            elif name == "bump_squash_mm":  # a usual rubber squashes by an inch at the most
                tree[name] = min(value * rng.uniform(0.94, 1.06), 25.0)
            elif name == "efficiency":
                tree[name] = min(value * rng.uniform(0.95, 1.02), 1.0)
            else:
                tree[name] = value * rng.uniform(0.94, 1.06)
        elif isinstance(value, tuple) and value and all(isinstance(part, float) for part in value):
            if name == "gear_ratios":
                tree[name] = tuple(np.multiply(value, rng.uniform(0.9, 1.1)).tolist())
            else:
                tree[name] = tuple(np.add(value, rng.normal(0.0, 6.0, len(value))).tolist())


def _links_at(tree: dict[str, Any]) -> dict[str, Any]:
    """The links of the sample that has some, hung to this axle."""
    assert LINKS is not None
    links = LINKS.model_dump()
    x, _, z = tree["axle"]["centre_mm"]
    way = -1.0 if tree["axle"]["end"] == "front" else 1.0
    for name, value in links.items():
        if isinstance(value, tuple):
            links[name] = (x + way * (value[0] - 2640.0), z + value[1] - 410.0)
    return links


def _two_piece(shaft: dict[str, Any], tree: dict[str, Any], rng: np.random.Generator) -> dict[str, Any]:
    one, other = np.array(tree["powertrain"]["output_joint_mm"]), np.array(tree["axle"]["centre_mm"])
    bearing = one + rng.uniform(0.35, 0.6) * (other - one) + rng.normal(0.0, 10.0, 3)
    joints = {f"{name}_joint": copy.deepcopy(shaft["front_joint"]) for name in NAMES["two_piece"]}
    tubes = {f"{name}_tube": copy.deepcopy(shaft["tube"]) for name in ("front", "rear")}
    return {"kind": "two_piece", "bearing_mm": tuple(bearing.tolist()), **joints, **tubes, "slip": shaft["slip"],
            "front_phase_deg": float(rng.choice([0.0, 90.0])),
            "rear_phase_deg": float(rng.choice([0.0, 10.0]))}  # fmt: skip


def _obstacle(tree: dict[str, Any], rng: np.random.Generator, carries: str | None, view: str) -> dict[str, Any]:
    one, other = np.array(tree["powertrain"]["output_joint_mm"]), np.array(tree["axle"]["centre_mm"])
    centre = one + rng.uniform(0.1, 0.8) * (other - one)
    across = float(centre[2 if view == "side" else 1] + rng.choice([-1.0, 1.0]) * rng.uniform(60.0, 220.0))
    x, wide, high = float(centre[0]), float(rng.uniform(15.0, 120.0)), float(rng.uniform(10.0, 60.0))
    corners = (
        (x - wide, across - high),
        (x + wide, across - high),
        (x + wide, across + high),
        (x - wide, across + high),
    )
    carrier = str(rng.choice(["frame", "frame", "axle", "engine"])) if view == "side" else "frame"
    middle, half = float(one[1]), float(rng.uniform(0.0, 200.0))
    sides = {"left_mm": middle - half, "right_mm": middle + half} if carrier == "engine" else {}
    return {"name": "bracket", "carried_by": carrier, **sides, "view": view, "outline_mm": corners, "carries": carries,
            "gap_mm": float(rng.uniform(5.0, 40.0)) if rng.random() < 0.5 else None}  # fmt: skip


def _hose(tree: dict[str, Any], rng: np.random.Generator) -> dict[str, Any]:
    """A hose, cable or wire from somewhere at the frame to the axle, mostly of about the right length."""
    centre = np.array(tree["axle"]["centre_mm"])
    held = centre + rng.uniform((-80.0, -600.0, -40.0), (80.0, 600.0, 80.0))
    frame = held + rng.uniform((-300.0, -150.0, 80.0), (300.0, 150.0, 350.0))
    free = float(np.linalg.norm(frame - held) + rng.uniform(20.0, 250.0))
    return {"type": str(rng.choice(["brake_hose", "cable"])), "frame_point_mm": tuple(frame.tolist()),
            "axle_point_mm": tuple(held.tolist()), "free_length_mm": free if rng.random() < 0.9 else None,
            "slack_mm": 40.0 if rng.random() < 0.3 else None}  # fmt: skip


def _agreeing(tree: dict[str, Any], rng: np.random.Generator, *, ahead: bool) -> None:
    """Mostly the axle stands where wheelbase and tyres say, and its perches are equal."""
    x, _, z = tree["axle"]["centre_mm"]
    if rng.random() < 0.8:
        tree["vehicle"]["front_tyre_radius_mm" if ahead else "rear_tyre_radius_mm"] = z + float(rng.normal(0.0, 2.0))
        if not ahead:
            tree["vehicle"]["wheelbase_mm"] = x + float(rng.normal(0.0, 2.0))
    if tree["axle"]["flange_to_perch_left_mm"] is not None:
        tree["axle"]["flange_to_perch_right_mm"] = tree["axle"]["flange_to_perch_left_mm"] + float(rng.normal(0.0, 1.5))


LIFTS_MM = (0.0, 25.4, 50.8, 76.2, 110.0, -20.0, -45.0, -70.0)


@st.composite
def plausible(
    draw: st.DrawFn, *, holes: int = 0, with_plan: bool = True, obstacles: int = 2, among: tuple[Build, ...] = WHOLE
) -> Build:
    """A sample moved a little and put together otherwise; up to so many entries of it not entered."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    base = draw(st.sampled_from(among))
    tree = base.model_dump()
    tree["plan"], tree["obstacles"] = None, ()
    for section in ("gauge", "readings", "vehicle", "powertrain", "axle", "suspension", "shaft", "lateral_link"):
        if tree[section] is not None:
            _moved(rng, tree[section])
    ahead = tree["axle"]["end"] == "front"
    _agreeing(tree, rng, ahead=ahead)
    tree["readings"] = {"shaft_slope_deg": 0.0, "seat_slope_deg": 0.5, "shaft_length_mm": 1000.0}
    _put_together(draw, tree, rng)
    if rng.random() < 0.5:  # a vehicle built straight
        tree["powertrain"]["plan_deg"] = tree["axle"]["pinion_plan_deg"] = 0.0
    if with_plan:
        tree["plan"] = _plan(draw, rng, ahead=ahead)
    views = draw(st.lists(st.sampled_from(["side", "top"]), max_size=obstacles))
    kinds = st.sampled_from([None, None, "fuel", "brakes"])
    tree["obstacles"] = tuple(_obstacle(tree, rng, draw(kinds), view) for view in views)
    tree["flexible_lines"] = tuple(_hose(tree, rng) for _ in range(draw(st.sampled_from([0, 0, 1, 2]))))
    build = agreed(_whole(tree) or base)
    if holes:
        paths = [path for path, _ in entries_of(build) if not path.startswith(("plan.", "obstacles."))]
        left_out = draw(st.lists(st.sampled_from(paths), max_size=holes, unique=True))
        build = edited(build, dict.fromkeys(left_out))
    return build


def _put_together(draw: st.DrawFn, tree: dict[str, Any], rng: np.random.Generator) -> None:
    """Springs or links, one piece or two, joints of any type, with or without a lateral link."""
    suspension = draw(st.sampled_from(["same", "same", "links", None]))
    if suspension == "links":
        tree["suspension"] = _links_at(tree)
    elif suspension is None:
        tree["suspension"] = None
    if tree["suspension"] is not None and tree["suspension"]["kind"] == "links":
        tree["suspension"]["rigid"] = draw(st.booleans())
    if tree["shaft"]["kind"] == "one_piece" and draw(st.sampled_from([False, False, True])):
        tree["shaft"] = _two_piece(tree["shaft"], tree, rng)
    for name in NAMES[tree["shaft"]["kind"]]:
        tree["shaft"][f"{name}_joint"]["type"] = draw(st.sampled_from(["cardan", *JOINTS]))
    if draw(st.booleans()):
        x, y, z = tree["axle"]["centre_mm"]
        tree["lateral_link"] = {
            "frame_point_mm": (x + 60.0, y - 450.0, z + 120.0),
            "axle_point_mm": (x + 50.0, y + 430.0, z + float(rng.uniform(-20.0, 90.0))),
        }


def _plan(draw: st.DrawFn, rng: np.random.Generator, *, ahead: bool) -> dict[str, Any]:
    which, other = ("front", "rear") if ahead else ("rear", "front")
    plan: dict[str, Any] = {
        f"{which}_lift_mm": draw(st.sampled_from(LIFTS_MM)),
        f"{which}_lift_by": draw(st.sampled_from(["spring", "block", "shackle"])),
        f"{other}_lift_mm": draw(st.sampled_from([None, 0.0, 25.4, 76.2])),
        "perches": draw(st.sampled_from(["welded", "welded", "loose"])),
        "mounts": draw(st.sampled_from(["fixed", "fixed", "loose"])),
    }
    if plan["perches"] == "loose":
        plan["pinion_slope_deg"] = float(rng.normal(3.0, 3.0)) * (-1.0 if ahead else 1.0)
    else:
        plan["axle_shim_deg"] = draw(st.sampled_from([None, 0.0, 2.0, -3.5, 5.0]))
    if plan["mounts"] == "loose":
        plan["powertrain_slope_deg"] = draw(st.sampled_from([None, 1.5, 4.0]))
        plan["powertrain_shift_mm"] = draw(st.sampled_from([None, (0.0, 12.0), (-10.0, -15.0)]))
    else:
        plan["mount_shim_mm"] = draw(st.sampled_from([None, 0.0, 12.7, -20.0]))
    plan["lateral_link_longer_mm"] = draw(st.sampled_from([None, None, 4.0]))
    return plan


def _whole(tree: dict[str, Any]) -> Build | None:
    try:
        return Build.model_validate(tree)
    except ValidationError:
        return None


def joined(first: Build, second: Build) -> Build:
    """The first build with the second's driveline beside its own; what both share is the first's."""
    alone = edited(second, {"drivelines": ({"axle": {"end": other_end(end_of(second))}},)})
    (own,) = swapped(alone).drivelines
    turns = own.plan is not None and own.plan.powertrain_slope_deg is not None
    one_body = {"plan.powertrain_slope_deg": None} if turns and first.plan is not None else {}
    return edited(first, {**one_body, "drivelines": (own,)})


@st.composite
def fourfold(draw: st.DrawFn, *, holes: int = 0, obstacles: int = 1) -> Build:
    """A vehicle that drives both axles, either of them first, of two plausible ones."""
    ahead = draw(plausible(holes=holes, obstacles=obstacles, among=(WHOLE[2],)))
    behind = draw(plausible(holes=holes, obstacles=obstacles, among=(WHOLE[0], WHOLE[1], *WHOLE[3:])))
    ends = draw(st.permutations([ahead, behind]))
    drive = draw(st.sampled_from(["part_time", "full_time", None]))
    return edited(joined(*ends), {"drivelines.0.drive": drive})


@st.composite
def hurried(draw: st.DrawFn) -> Build:
    """Three angles and a length, with or without a little more."""
    more: dict[str, object] = {}
    for path, values in (
        ("axle.ratio", [None, 3.9]), ("vehicle.rear_tyre_radius_mm", [None, 400.0]),
        ("vehicle.cruise_speed_kmh", [None, 105.0]), ("powertrain.peak_torque_nm", [None, 300.0]),
        ("powertrain.gear_ratios", [None, (4.0, 1.0)]), ("shaft.tube.outer_diameter_mm", [None, 76.2]),
        ("shaft.tube.wall_mm", [None, 2.1]), ("plan.axle_shim_deg", [None, 2.0]),
        ("gauge.angle_uncertainty_deg", [None, 0.1]),
    ):  # fmt: skip
        value = draw(st.sampled_from(values))
        if value is not None:
            more[path] = value
    numbers = {path: value + draw(st.sampled_from([0.0, 0.4, -2.0])) for path, value in HURRY.items()}
    return edited(Build(), {**numbers, **more})


def wild() -> st.SearchStrategy[Build]:
    """Whatever the document allows, with the ends of its ranges."""
    return st.from_type(Build)


def builds(*, holes: int = 3) -> st.SearchStrategy[Build]:
    """Builds of all kinds, most of them plausible."""
    return st.one_of(plausible(), plausible(holes=holes), hurried(), wild())
