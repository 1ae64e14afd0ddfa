"""Each sample build, whole, against values worked by other means; see the head of this directory's `conftest`."""

from itertools import pairwise

import numpy as np
import shapely
from scipy.spatial.transform import Rotation

HURRY = "three_angles_and_a_length"


def compare(rows, tolerance=1e-6, least=1e-6):
    """Rows of (quantity, expected, actual); the message names what is off and by how much."""
    off = []
    for quantity, expected, actual in rows:
        if actual is None or abs(actual - expected) > max(tolerance * abs(expected), least):
            share = np.nan if actual is None or expected == 0.0 else 100.0 * (actual - expected) / expected
            off.append(f"{quantity}: expected {expected:.9g}, actual {actual}, {share:+.4f} per cent")
    assert not off, "\n" + "\n".join(off)


def test_every_sample_loads_and_gets_an_answer(sample_path, by_hand):
    _, answer = by_hand.loaded(sample_path.stem)
    assert answer["verdict"] in {"clear", "caution", "hold", "unknown"}
    assert sample_path.stem in {*by_hand.whole, HURRY}  # a new sample wants its values here


def test_ride_height(case, by_hand):
    rig, answer = case
    shift, turn = rig.moved(0.0)
    lines, centres = rig.lines(shift, turn), rig.centres(shift, turn)
    rows = [
        (f"{joint['name']} joint, deg", by_hand.between(one, other), joint["operating_deg"])
        for joint, one, other in zip(answer["joints"], lines, lines[1:], strict=False)
    ]
    for joint, one, other in zip(answer["joints"], lines, lines[1:], strict=False):
        side, above = ([np.degrees(np.arctan2(line[axis], line[0])) for line in (one, other)] for axis in (2, 1))
        rows += [
            (f"{joint['name']} joint from the side, deg", side[0] - side[1], joint["side_deg"]),
            (f"{joint['name']} joint from above, deg", above[1] - above[0], joint["plan_deg"]),
        ]
    output, pinion = (lines[-1], lines[0]) if rig.ahead else (lines[0], lines[-1])
    rows += [
        ("output slope, deg", by_hand.gauge(output), answer["angles"]["output_slope_deg"]),
        ("pinion slope, deg", by_hand.gauge(pinion), answer["angles"]["pinion_slope_deg"]),
        ("shaft slope, deg", by_hand.gauge(lines[-2]), answer["angles"]["shaft_slope_deg"]),
        ("shaft length, mm", np.linalg.norm(centres[-1] - centres[-2]), answer["shaft"]["length_mm"]),
    ]  # fmt: skip
    omega2 = (rig.rpm(rig.raw["vehicle"]["cruise_speed_kmh"]) * np.pi / 30.0) ** 2
    motion = answer["motion"]
    rows += [
        ("residual, rad/s²", omega2 * rig.residual(lines), motion["pinion_residual_rad_s2"]),
        ("drive inertia, rad/s²", omega2 * rig.worst_section(lines, coasting=False), motion["drive_inertia_rad_s2"]),
        ("coast inertia, rad/s²", omega2 * rig.worst_section(lines, coasting=True), motion["coast_inertia_rad_s2"]),
    ]
    compare(rows, tolerance=3e-6)


def test_speeds_and_loads(case, by_hand):
    rig, answer = case
    vehicle, engine, shaft = rig.raw["vehicle"], rig.engine, answer["shaft"]
    centres = rig.centres(*rig.moved(0.0))
    lengths = [np.linalg.norm(b - a) for a, b in pairwise(centres)]
    low, slip, _ = rig.torques
    top = rig.rpm(vehicle["top_speed_kmh"])
    compare(
        [
            ("cruise, rpm", rig.rpm(vehicle["cruise_speed_kmh"]), shaft["cruise_rpm"]),
            ("top, rpm", min(top, engine["redline_rpm"] / engine["gear_ratios"][-1]), shaft["max_rpm"]),
            ("low-gear torque, N·m", low, shaft["low_gear_torque_nm"]),
            ("wheel-slip torque, N·m", slip, shaft["wheel_slip_torque_nm"]),
            ("torque, N·m", min(low, slip), shaft["torque_nm"]),
            ("critical speed, rpm", min(map(by_hand.whirl, rig.tubes(), lengths)), shaft["critical_rpm"]),
            ("torque of a rough start, N·m", by_hand.shock * min(low, slip), shaft["shock_torque_nm"]),
            (
                "shear, MPa",
                max(by_hand.shear(tube, by_hand.shock * min(low, slip)) for tube in rig.tubes()),
                shaft["shear_mpa"],
            ),
        ],
        tolerance=1e-9,
    )


def test_wind_up(case, by_hand):
    rig, answer = case
    wound = answer["windup"]
    if isinstance(rig.way, by_hand.links):
        assert (wound["stiffness_nm_per_deg"], wound["launch_deg"]) == (None, 0.0)
        return
    turn, cruise = rig.axle["ratio"] / rig.stiffness, rig.torques[2]
    compare(
        [
            ("stiffness, N·m/deg", rig.stiffness, wound["stiffness_nm_per_deg"]),
            ("wind-up at cruise, deg", cruise * turn, wound["cruise_deg"]),
            ("wind-up at launch, deg", rig.launch_turn, wound["launch_deg"]),
        ],
        tolerance=1e-9,
    )


def test_set_points_are_the_recommended_build_as_laid_out_by_hand(recommended, by_hand):
    rig, answer, _ = recommended
    shift, turn = rig.moved(0.0)
    lines, centres = rig.lines(shift, turn), rig.centres(shift, turn)
    lengths = np.linalg.norm(np.diff(centres, axis=0), axis=1)
    output, pinion = (lines[-1], lines[0]) if rig.ahead else (lines[0], lines[-1])
    setpoints, plan = answer["setpoints"], rig.raw["plan"] or {}
    compare([
        ("shaft length, mm", lengths[-1], setpoints["shaft_length_mm"]),
        ("shaft slope, deg", by_hand.gauge(lines[-2]), setpoints["shaft_slope_deg"]),
        ("slip engaged, mm", rig.engaged(lengths), setpoints["slip_engaged_mm"]),
        ("slip stroke, mm", rig.shaft["slip"]["stroke_mm"], setpoints["slip_stroke_mm"]),
    ])  # fmt: skip
    # Angles are set to a tenth of a degree, as the gauge reads.
    compare(
        [
            ("pinion, deg", by_hand.gauge(pinion), setpoints["pinion_slope_deg"]),
            ("output, deg", by_hand.gauge(output), setpoints["output_slope_deg"]),
        ],
        least=0.05 + 1e-6,
    )
    assert setpoints["axle_shim_deg"] == (plan.get("axle_shim_deg") or 0.0)
    assert setpoints["mount_shim_mm"] == (plan.get("mount_shim_mm") or 0.0)
    measured = rig.raw["readings"]["seat_slope_deg"] if rig.raw["readings"] else None
    if measured is not None:
        # The seat is welded to the axle and turns with it; a wedge over it changes nothing from it to the pinion.
        seat = measured + turn
        compare(
            [("perch to pinion, deg", by_hand.gauge(pinion) - seat, setpoints["perch_to_pinion_deg"])],
            least=0.05 + 1e-6,
        )


def test_the_recommended_build_runs_as_the_pins_say(recommended, by_hand):
    """Residual at rest and wound up by cruise torque, and the verdicts promised on them."""
    rig, answer, after = recommended
    omega2 = (rig.rpm(rig.raw["vehicle"]["cruise_speed_kmh"]) * np.pi / 30.0) ** 2
    found = {one["id"]: one for one in after["findings"]}
    for name, wound in (("pinion_residual", 0.0), ("windup_cruise", rig.cruise_turn)):
        if name not in found:
            continue
        residual = omega2 * rig.residual(rig.lines(*rig.moved(0.0, wound)))
        compare([(name, residual, found[name]["value"])], tolerance=3e-6)
        assert found[name]["verdict"] == verdict_of(residual, 300.0, 400.0)
    held = [{one["id"] for one in each["findings"] if one["verdict"] == "hold"} for each in (answer, after)]
    assert held[1] <= held[0]


def verdict_of(value, clear, hold, *, least=False):
    """Verdict of a value against two lines."""
    sign = -1.0 if least else 1.0
    return "clear" if sign * value <= sign * clear else "caution" if sign * value <= sign * hold else "hold"


def test_verdicts_by_plain_arithmetic(case, by_hand):
    """Every line here is a plain number; the values beside them are laid out by hand."""
    rig, answer = case
    vehicle, slip = rig.raw["vehicle"], rig.shaft["slip"]
    found = {(one["id"], one["part"]): one for one in answer["findings"]}
    lines = rig.lines(*rig.moved(0.0))
    lengths = np.linalg.norm(np.diff(rig.centres(*rig.moved(0.0)), axis=0), axis=1)
    cruise = rig.rpm(vehicle["cruise_speed_kmh"])
    highest = min(rig.rpm(vehicle["top_speed_kmh"]), rig.engine["redline_rpm"] / rig.engine["gear_ratios"][-1])
    omega2, faster = (cruise * np.pi / 30.0) ** 2, (highest / cruise) ** 2
    residual = omega2 * rig.residual(lines)
    drive, coast = (omega2 * rig.worst_section(lines, coasting=back) for back in (False, True))
    rough = by_hand.shock * rig.launch
    shear = max(by_hand.shear(tube, rough) for tube in rig.tubes())
    whirl = min(map(by_hand.whirl, rig.tubes(), lengths))
    pinion = "front_joint" if rig.ahead else "rear_joint"
    output, nose = (lines[-1], lines[0]) if rig.ahead else (lines[0], lines[-1])
    up, down = by_hand.gauge(nose) * (-1.0 if rig.ahead else 1.0), by_hand.gauge(output)
    expected = {
        ("pinion_residual", pinion): (residual, 300.0, 400.0),
        ("shaft_inertia_drive", "shaft"): (drive, 1000.0, 2000.0),
        ("shaft_inertia_coast", "shaft"): (coast, 1000.0, 2000.0),
        ("critical_speed", "shaft"): (highest, 0.65 * whirl, 0.70 * whirl),
        ("tube_shear", "shaft"): (shear, 0.5 * 379.0 / 3.0**0.5, 0.8 * 379.0 / 3.0**0.5),
        ("pinion_nose_up", "axle") if up >= 0.0 else ("pinion_nose_down", "axle"):
            (abs(up), *((8.0, 20.0) if up >= 0.0 else (4.0, 10.0))),
        ("tail_down", "powertrain") if down >= 0.0 else ("tail_up", "powertrain"):
            (abs(down), *((5.0, 10.0) if down >= 0.0 else (1.0, 4.0))),
    }  # fmt: skip
    if highest > cruise:
        expected["residual_at_top", pinion] = (residual * faster, 600.0, np.inf)
        expected["inertia_at_top", "shaft"] = (max(drive, coast) * faster, 2000.0, np.inf)
    for joint, part in zip(rig.joints, rig.parts, strict=True):
        expected["joint_torque", part] = (rough, joint["torque_limit_nm"], joint["torque_limit_nm"])
    if isinstance(rig.way, by_hand.links):
        assert ("windup_launch", "suspension") not in found  # rigid ends: torque turns nothing
    else:
        expected["windup_launch", "suspension"] = (rig.launch_turn, 4.0, 8.0)
        wound = omega2 * rig.residual(rig.lines(*rig.moved(0.0, rig.cruise_turn)))
        expected["windup_cruise", "suspension"] = (wound, 300.0, 400.0)
    compare([(key, value, found[key]["value"]) for key, (value, *_) in expected.items()], tolerance=3e-6)
    assert {key: found[key]["verdict"] for key in expected} == {key: verdict_of(*row) for key, row in expected.items()}
    # Over the travel down to the rubber pressed flat, at rest, at launch, and on the way there.
    poses = [rig.moved(at, wound) for at in rig.places(81) for wound in np.linspace(0.0, rig.launch_turn, 6)]
    for index, (joint, part) in enumerate(zip(rig.joints, rig.parts, strict=True)):
        angles = [by_hand.between(*rig.lines(*pose)[index : index + 2]) for pose in poses]
        check_least(found["joint_bind", part], joint["max_angle_deg"] - max(angles), 3.0, 1.0, near=0.02)
    engaged = [rig.engaged(np.linalg.norm(np.diff(rig.centres(*pose), axis=0), axis=1)) for pose in poses]
    check_least(found["slip_left", "shaft"], slip["stroke_mm"] - max(engaged), 19.05, 12.7, near=0.1)
    spline = slip["spline_diameter_mm"]
    check_least(found["slip_engaged", "shaft"], min(engaged), 1.5 * spline, spline, near=0.1)


def check_least(finding, value, clear, hold, near):
    """A finding over the travel: both look at some places of it only."""
    compare([(finding["id"], value, finding["value"])], least=near)
    assert finding["verdict"] == verdict_of(value, clear, hold, least=True)


def test_each_half_of_a_double_joint_takes_half_its_angle(case, by_hand):
    """The table of angle over speed (handbook, from memory: 5,000 h) is for each cross."""
    rig, answer = case
    lines = rig.lines(*rig.moved(0.0))
    speeds, angles = np.arange(1500.0, 5001.0, 500.0), (11.5, 8.7, 7.0, 5.8, 5.0, 4.2, 3.7, 3.2)
    allowed = np.interp(rig.rpm(rig.raw["vehicle"]["cruise_speed_kmh"]), speeds, angles)
    found = [one for one in answer["findings"] if one["id"] == "operating_angle_most"]
    doubles = [index for index, joint in enumerate(rig.joints) if joint["type"] == "double_cardan"]
    assert len(found) == len(doubles)
    for index, finding in zip(doubles, found, strict=True):
        half = by_hand.between(*lines[index : index + 2]) / 2.0
        compare([("half angle, deg", half, finding["value"]), ("allowed, deg", allowed, finding["limit"])])
        assert finding["verdict"] == verdict_of(half, allowed, 1.25 * allowed)


def test_travel(case, by_hand):
    rig, answer = case
    travel = answer["travel"]
    slip = rig.shaft["slip"]
    beside = 0 if rig.ahead else -1
    compare(
        [
            ("full bump, rubber pressed flat, mm", rig.places()[-1], travel["axle_mm"][-1]),
            ("full droop, mm", rig.places()[0], travel["axle_mm"][0]),
        ]
    )
    rows = []
    for row in (0, 14, 30, -1):
        at = travel["axle_mm"][row]
        shift, turn = rig.moved(at)
        lines = rig.lines(shift, turn)
        lengths = np.linalg.norm(np.diff(rig.centres(shift, turn), axis=0), axis=1)
        rows += [
            (f"joint {index} at {at:.1f} mm, deg", by_hand.between(lines[index], lines[index + 1]), angles[row])
            for index, angles in enumerate(travel["operating_deg"])
        ]
        engaged = rig.engaged(lengths)
        rows += [
            (f"shaft length at {at:.1f} mm", lengths[-1], travel["length_mm"][row]),
            (f"slip left at {at:.1f} mm", slip["stroke_mm"] - engaged, travel["slip_left_mm"][row]),
            (f"slip engaged at {at:.1f} mm", engaged, travel["engaged_mm"][row]),
            (f"pinion slope at {at:.1f} mm", by_hand.gauge(lines[beside]), travel["pinion_slope_deg"][row]),
        ]
    compare(rows, least=2e-6)


def test_shocks_and_bars(case):
    """Their ends on the axle carried by hand to 81 places, at rest and wound up."""
    rig, answer = case
    found = {one["id"]: one for one in answer["findings"]}
    centre = np.array(rig.axle["centre_mm"])

    def apart(one, wounds):
        """How far its ends are apart everywhere."""
        off = np.subtract(one["axle_point_mm"], centre)
        poses = [rig.moved(at, wound) for at in rig.places(81) for wound in wounds]
        return [
            np.linalg.norm(
                centre + shift + Rotation.from_euler("y", turn, degrees=True).apply(off) - one["frame_point_mm"]
            )
            for shift, turn in poses
        ]

    for number, shock in enumerate(rig.raw.get("shocks", []), 1):
        lengths = apart(shock, (0.0, rig.launch_turn))
        check_least(found[f"shock_bump_{number}"], min(lengths) - shock["compressed_mm"], 12.7, 6.35, near=0.02)
        check_least(found[f"shock_droop_{number}"], shock["extended_mm"] - max(lengths), 12.7, 6.35, near=0.02)
    shift, turn = rig.moved(0.0)
    spin = Rotation.from_euler("y", turn, degrees=True)
    for number, bar in enumerate(rig.raw.get("torque_bars", []), 1):
        lengths = apart(bar, (0.0,))
        # How far the line of both bolts passes from the axle's middle, both seen from the side after the plan.
        arm = spin.apply(np.subtract(bar["axle_point_mm"], centre))
        along = (centre + shift + arm - bar["frame_point_mm"])[[0, 2]]
        across = (centre + shift - bar["frame_point_mm"])[[0, 2]]
        lever = abs(along[0] * across[1] - along[1] * across[0]) / np.hypot(*along)
        compare([("lever, mm", lever, found[f"bar_lever_{number}"]["value"])])
        assert found[f"bar_lever_{number}"]["verdict"] == verdict_of(lever, 127.0, 50.8, least=True)
        finding = found[f"bar_bind_{number}"]
        compare([(finding["id"], max(lengths) - min(lengths), finding["value"])], least=0.02)
        assert finding["verdict"] == verdict_of(
            finding["value"], max(0.8 * bar["float_mm"], 3.2), max(bar["float_mm"], 6.35)
        )


def test_links_seen_from_behind(case):
    """Slopes of lateral link and drag link after the plan, their ends on the axle carried by hand."""
    rig, answer = case
    link = rig.raw.get("lateral_link")
    found = {one["id"]: one for one in answer["findings"]}
    assert (link is not None) == ("link_slope" in found)
    if link is None:
        return
    shift, turn = rig.moved(0.0)
    centre = np.array(rig.axle["centre_mm"])

    def slope(frame, axle):
        end = centre + shift + Rotation.from_euler("y", turn, degrees=True).apply(np.subtract(link[axle], centre))
        _, across, up = end - link[frame]
        return float(np.degrees(np.arctan(up / across)))

    lateral = slope("frame_point_mm", "axle_point_mm")
    compare([("link, deg", abs(lateral), found["link_slope"]["value"])])
    assert found["link_slope"]["verdict"] == verdict_of(abs(lateral), 5.0, np.inf)
    assert ("drag_slope" in found) == rig.ahead
    if rig.ahead:
        apart = abs(slope("drag_box_mm", "drag_axle_mm") - lateral)
        compare([("links apart, deg", apart, found["drag_slope"]["value"])])
        assert found["drag_slope"]["verdict"] == verdict_of(apart, 2.0, 6.0)


def test_every_kind_of_bracket_stands_in_two_samples(by_hand):
    raws = [by_hand.loaded(name)[0] for name in by_hand.whole]
    for part in ("shocks", "torque_bars", "flexible_lines", "lateral_link"):
        assert sum(bool(raw.get(part)) for raw in raws) >= 2, part


def test_an_axle_stands_on_its_vehicles_centre_line(by_hand):
    """Its help says so: the pinion's offset, and not the axle, is what lies aside; within an inch, as measured."""
    for name in by_hand.whole:
        assert abs(by_hand.loaded(name)[0]["axle"]["centre_mm"][1]) <= 25.4, name


def test_gaps(case, by_hand):
    rig, answer = case
    centres = np.array([rig.centres(*rig.moved(at, wound)) for at in rig.places() for wound in (0.0, rig.launch_turn)])
    for index, obstacle in enumerate(rig.raw.get("obstacles", [])):
        if obstacle.get("carried_by", "frame") != "frame":
            continue  # what moves is worked out by brute force in tests/geometry
        view = [0, 2] if obstacle.get("view", "side") == "side" else [0, 1]
        fixed = shapely.Polygon(obstacle["outline_mm"])
        brute = min(
            shapely.distance(by_hand.shaft_body(pair, view, tube, rig.swing(section)), fixed)
            for section, tube in enumerate(rig.tubes())
            for pair in centres[:, section : section + 2]
        )
        finding = next(f for f in answer["findings"] if f["id"] == f"gap_{index + 1}")
        wanted = max(obstacle["gap_mm"] or 25.4, 12.7)
        if obstacle["carries"]:
            wanted = max(wanted, 50.8)
        assert (finding["limit"], finding["hold_limit"]) == (wanted, 12.7)
        assert finding["verdict"] == verdict_of(finding["value"], wanted, 12.7, least=True)
        assert finding["value"] <= brute + 1e-6, f"{obstacle['name']}: brute force {brute}, actual {finding['value']}"
        if "shaft" in finding["says"].split(obstacle["name"])[0]:
            # What the program gives away for safety between two of its places.
            assert finding["value"] >= brute - 1.0, f"{obstacle['name']}: {brute} against {finding['value']}"


def test_three_angles_and_a_length_by_head(by_hand):
    raw, answer = by_hand.loaded(HURRY)
    # 8.2 - 3.5 and 8.2 - 3.0; the ends are parallel within half a degree.
    joints = [joint["operating_deg"] for joint in answer["joints"]]
    chain = [by_hand.line(3.5), by_hand.line(8.2), by_hand.line(3.0)]
    equivalent = np.degrees(np.sqrt(by_hand.peak(chain, [False, False], [0.0])))
    compare([("front joint, deg", 4.7, joints[0]), ("rear joint, deg", 5.2, joints[1])], tolerance=1e-9)
    compare([("equivalent angle, deg", equivalent, answer["motion"]["equivalent_angle_deg"])], tolerance=3e-6)
    # The handbook rule of squares holds within one per cent.
    compare([("equivalent angle by the rule", np.sqrt(5.2**2 - 4.7**2), equivalent)], tolerance=0.01)
    compare([("length, mm", raw["readings"]["shaft_length_mm"], answer["shaft"]["length_mm"])])
    assert answer["motion"]["pinion_residual_rad_s2"] is None
    assert answer["travel"] is answer["windup"] is None
