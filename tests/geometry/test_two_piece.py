"""Two-piece shafts: three joints held to pins turned in space by scipy, whirl by beam theory, bearing height."""

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from geometry import edited, solve
from tests.geometry.strategies import sample


def line(slope, plan=0.0):
    return Rotation.from_euler("yz", [slope, plan], degrees=True).apply([1.0, 0.0, 0.0])


def between(one, other):
    return np.degrees(2.0 * np.arctan2(np.linalg.norm(one - other), np.linalg.norm(one + other)))


def centres_of(build):
    axle = build.axle
    lie = Rotation.from_euler("yz", [axle.pinion_slope_deg, axle.pinion_plan_deg or 0.0], degrees=True)
    across = Rotation.from_euler("z", axle.pinion_plan_deg or 0.0, degrees=True).apply(
        [0.0, axle.pinion_offset_mm, 0.0]
    )
    arm = lie.apply([-axle.pinion_length_mm, 0.0, -axle.pinion_drop_mm]) + across
    return np.array([build.powertrain.output_joint_mm, build.shaft.bearing_mm, np.array(axle.centre_mm) + arm])


def lines_of(build):
    """The four lines from output to pinion, unit vectors, own construction."""
    sections = np.diff(centres_of(build), axis=0)
    sections /= np.linalg.norm(sections, axis=1)[:, None]
    output = line(build.powertrain.slope_deg, build.powertrain.plan_deg or 0.0)
    pinion = line(build.axle.pinion_slope_deg, build.axle.pinion_plan_deg or 0.0)
    return [output, *sections, pinion]


def peak_of_chain(lines, phases_deg):
    """Peak acceleration of the last line over omega squared: the pins of each cross kept square, differentiated by FFT.

    The pin that the driving yoke carries and the one that the driven yoke carries stand square to each other and to
    their lines; a section's far yoke is its near one turned by the phase about the section.
    """
    count = 256
    theta = np.arange(count) * 2.0 * np.pi / count
    first = lines[0]
    start = np.cross(first, [0.0, 1.0, 0.2])
    pin = Rotation.from_rotvec(theta[:, None] * first).apply(start / np.linalg.norm(start))
    for index, along in enumerate(lines[1:]):
        pin = np.cross(along, pin)
        pin /= np.linalg.norm(pin, axis=1)[:, None]
        if index < len(phases_deg):
            pin = Rotation.from_rotvec(np.radians(phases_deg[index]) * along).apply(pin)
    square = np.cross(lines[-1], pin[0])
    swing = np.unwrap(np.arctan2(pin @ square, pin @ pin[0])) - theta
    waves = np.fft.rfft(swing)
    order = np.arange(len(waves))
    fine = np.zeros(16 * count // 2 + 1, complex)
    fine[: len(waves)] = -(order**2) * waves * 16.0
    return np.abs(np.fft.irfft(fine, 16 * count)).max()


def drawn(two_piece, output, pinion, bearing, front_phase, rear_phase):
    return edited(
        two_piece,
        {
            "powertrain.slope_deg": output[0],
            "powertrain.plan_deg": output[1],
            "axle.pinion_slope_deg": pinion[0],
            "axle.pinion_plan_deg": pinion[1],
            "shaft.bearing_mm": (2200.0, bearing[0], bearing[1]),
            "shaft.front_phase_deg": front_phase,
            "shaft.rear_phase_deg": rear_phase,
        },
    )


@settings(max_examples=60)
@given(
    output=st.tuples(st.floats(-3.0, 8.0), st.floats(-4.0, 4.0)),
    pinion=st.tuples(st.floats(-3.0, 9.0), st.floats(-4.0, 4.0)),
    bearing=st.tuples(st.floats(-40.0, 60.0), st.floats(420.0, 560.0)),
    front_phase=st.sampled_from([0.0, 90.0]) | st.floats(-90.0, 90.0),
    rear_phase=st.sampled_from([0.0, 90.0]) | st.floats(-90.0, 90.0),
)
def test_three_joints_against_pins_in_space(two_piece, output, pinion, bearing, front_phase, rear_phase):
    build = drawn(two_piece, output, pinion, bearing, front_phase, rear_phase)
    answer, lines = solve(build), lines_of(build)
    assert [joint.name for joint in answer.joints] == ["front", "centre", "rear"]
    for joint, one, other in zip(answer.joints, lines, lines[1:], strict=False):
        assert joint.operating_deg == pytest.approx(between(one, other), abs=1e-9)
    omega2 = (answer.shaft.cruise_rpm * np.pi / 30.0) ** 2
    residual = omega2 * peak_of_chain(lines, [front_phase, rear_phase])
    assert answer.motion.pinion_residual_rad_s2 == pytest.approx(residual, rel=2e-6, abs=1e-4)
    behind_centre = omega2 * peak_of_chain(lines[:3], [front_phase])
    behind_front = omega2 * peak_of_chain(lines[:2], [])
    assert answer.motion.drive_inertia_rad_s2 == pytest.approx(max(behind_front, behind_centre), rel=2e-6)
    back = [-one for one in lines[::-1]]
    coasting = max(peak_of_chain(back[:2], []), peak_of_chain(back[:3], [rear_phase]))
    assert answer.motion.coast_inertia_rad_s2 == pytest.approx(omega2 * coasting, rel=2e-6)


def test_the_pins_themselves_give_the_textbook_joint():
    # One joint at 20 degrees: peak 0.124966 omega², theory-of-machines textbooks, recomputed from the exact motion.
    assert peak_of_chain([line(0.0), line(20.0)], []) == pytest.approx(0.124966, abs=5e-7)


def test_sections_have_their_own_slopes_and_the_rear_one_is_the_shafts(two_piece):
    answer, centres = solve(two_piece), centres_of(two_piece)
    front, rear = np.diff(centres, axis=0)
    falls = [np.degrees(np.arcsin(-part[2] / np.linalg.norm(part))) for part in (front, rear)]
    assert answer.angles.front_shaft_slope_deg == pytest.approx(falls[0], abs=1e-9)
    assert answer.angles.shaft_slope_deg == pytest.approx(falls[1], abs=1e-9)
    assert answer.shaft.length_mm == pytest.approx(np.linalg.norm(rear), abs=1e-9)
    assert answer.picture.bearing_mm == pytest.approx((2200.0, 20.0, 500.0))


@pytest.mark.parametrize("bearing_x", [1900.0, 2200.0, 2900.0])
def test_each_section_whirls_at_its_own_length_and_the_longer_one_first(two_piece, bearing_x):
    # Thomson, Theory of Vibration with Applications, p. 283: pinned ends, (bL)² = 9.87 (pi²); EI/m by hand for a tube.
    build = edited(
        two_piece, {"shaft.bearing_mm": (bearing_x, 20.0, 500.0), "shaft.front_tube.outer_diameter_mm": 63.5}
    )
    answer = solve(build)
    critical = []
    for part, outer in zip(np.diff(centres_of(build), axis=0), (0.0635, 0.0762), strict=True):
        inner = outer - 2.0 * 0.00211
        gyration = np.sqrt(outer**2 + inner**2) / 4.0
        speed = np.sqrt(207e9 / 7850.0) * gyration * (np.pi / (np.linalg.norm(part) / 1e3)) ** 2
        critical.append(speed * 30.0 / np.pi)
    found = {section.name: section.critical_rpm for section in answer.shaft.sections}
    assert found == {"front": pytest.approx(critical[0], rel=1e-9), "rear": pytest.approx(critical[1], rel=1e-9)}
    assert answer.shaft.critical_rpm == pytest.approx(min(critical), rel=1e-9)


def test_without_a_bearing_nothing_about_the_shaft_is_guessed(two_piece):
    build = edited(two_piece, {"shaft.bearing_mm": None, "readings": {"shaft_slope_deg": 5.0}})
    answer = solve(build)
    assert [joint.operating_deg for joint in answer.joints] == [None] * 3
    wanted = {finding.id: finding for finding in answer.findings}["pinion_residual"]
    assert "the support bearing" in wanted.says
    assert not [f for f in answer.findings for one in (f.remedy, *f.alternatives) if one and "bearing" in one.says]


# --- remedies -------------------------------------------------------------------------------------------------------


def bearing_remedies(answer):
    return [
        (finding, one)
        for finding in answer.findings
        for one in (finding.remedy, *finding.alternatives)
        if one is not None and "support bearing" in one.says
    ]


@settings(max_examples=25)
@given(
    output=st.floats(-2.0, 5.0),
    pinion=st.floats(-2.0, 8.0),
    height=st.floats(440.0, 560.0),
    length=st.sampled_from(["inch", "millimetre"]),
)
def test_the_bearings_height_does_what_it_says_when_it_is_applied(two_piece, output, pinion, height, length):
    build = edited(drawn(two_piece, (output, 0.0), (pinion, 0.0), (10.0, height), 0.0, 0.0), {"display.length": length})
    for finding, remedy in bearing_remedies(solve(build)):
        after = {(one.id, one.part): one for one in solve(edited(build, remedy.changes)).findings}
        now = after[finding.id, finding.part]
        assert now.value == pytest.approx(remedy.after, rel=1e-6, abs=1e-6)
        assert now.verdict == remedy.after_verdict
        assert now.value < finding.value
        x, y, z = remedy.changes["shaft.bearing_mm"]
        assert (x, y) == (2200.0, 10.0)
        step = 25.4 / 16.0 if length == "inch" else 1.0
        assert (z - height) / step == pytest.approx(round((z - height) / step), abs=1e-6)
        assert f"{'raise' if z > height else 'lower'} the support bearing" in remedy.says.lower()


def test_a_bearing_that_is_off_gets_such_a_remedy(two_piece):
    found = bearing_remedies(solve(edited(two_piece, {"shaft.bearing_mm": (2200.0, 20.0, 540.0)})))
    assert {finding.id: remedy.after_verdict for finding, remedy in found}["pinion_residual"] == "clear"


def test_a_remedy_leaves_every_joint_its_half_degree(two_piece):
    build = edited(two_piece, {"shaft.bearing_mm": (2200.0, 20.0, 540.0)})
    for _, remedy in bearing_remedies(solve(build)):
        assert min(joint.operating_deg for joint in solve(edited(build, remedy.changes)).joints) >= 0.5


@pytest.mark.parametrize(("rise", "verdict"), [(0.0, "caution"), (20.0, "clear")])
def test_a_first_joint_that_runs_straight_is_cautioned(two_piece, rise, verdict):
    # Bearing set on the output's own line, 1100 mm back at 3.5 degrees: the first joint is straight.
    straight = (2200.0, 30.0, 560.0 - 1100.0 * np.tan(np.radians(3.5)) + rise)
    answer = solve(edited(two_piece, {"shaft.bearing_mm": straight}))
    found = {finding.part: finding for finding in answer.findings if finding.id == "operating_angle_least"}
    assert found["front_joint"].verdict == verdict
    assert found["front_joint"].value == pytest.approx(answer.joints[0].operating_deg)


def test_over_the_travel_only_the_rear_section_moves(two_piece, one_piece):
    springs = {
        **one_piece.suspension.model_dump(),
        "front_eye_mm": (3300.0, 480.0),
        "shackle_pivot_mm": (4520.0, 560.0),
    }
    build = edited(two_piece, {"suspension": springs, "shaft.slip": {"stroke_mm": 120.0, "engaged_mm": 70.0}})
    answer = solve(build)
    front, centre, rear = (np.array(one) for one in answer.travel.operating_deg)
    assert np.ptp(front) < 1e-12
    assert np.ptp(centre) > 1.0
    assert np.ptp(rear) > 1.0
    at = answer.travel.axle_mm.index(0.0)
    assert answer.travel.length_mm[at] == pytest.approx(np.linalg.norm(np.diff(centres_of(build), axis=0)[1]))
    assert np.ptp(answer.travel.length_mm) > 1.0  # of the rear section, which slips


@pytest.mark.parametrize(("most", "verdict"), [(20.0, "clear"), (3.4, "caution"), (1.2, "hold"), (None, "unknown")])
def test_the_joint_between_output_and_support_bearing_needs_no_travel(most, verdict):
    """Both stand in the frame: half a degree at ride height is half a degree wherever the axle is. The others move."""
    bare = edited(sample("long_van_two_piece"), {
        "suspension": None, "shocks": (), "torque_bars": (), "plan": None, "obstacles": (), "flexible_lines": (),
        "shaft.front_joint.max_angle_deg": most,
    })  # fmt: skip
    found = {one.part: one.verdict for one in solve(bare).findings if one.id == "joint_bind"}
    assert found["front_joint"] == verdict
    assert found["centre_joint"] == found["rear_joint"] == "unknown"


def test_the_stick_is_held_against_the_section_at_the_axle() -> None:
    """By hand from the bearing and the axle: the stick stands in for the rear section, whatever the front one does."""
    build = edited(sample("long_van_two_piece"), {"plan": None, "readings.shaft_slope_deg": -9.0})
    answer = solve(build)
    (_, _, bearing_z), pinion = build.shaft.bearing_mm, answer.picture.pinion_joint_mm
    along = math.dist(build.shaft.bearing_mm[:2], pinion[:2])
    by_hand = math.degrees(math.atan2(bearing_z - pinion[2], along))
    assert abs(by_hand - answer.angles.front_shaft_slope_deg) > 0.5
    says = next(one.says for one in answer.findings if one.id == "stick_slope")
    told = float(re.search(r"as taped give (−?[\d.]+)°", says)[1].replace("−", "-"))
    assert told == pytest.approx(by_hand, abs=0.06)
