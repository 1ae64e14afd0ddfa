"""Of a two-piece shaft the worst section is judged, named and brought forward: critical speed, half of it, shear.

Critical speeds by hand: pinned ends, ω = π² √(EI/m)/L² (Thomson, Theory of Vibration with Applications, from memory),
of a tube √(E/ρ) · √(d² + i²)/4 · (π/L)². Shear by hand: T r/J of a hollow round bar (any strength of materials).
"""

import numpy as np
import pytest

from geometry import Build, Solution, edited, solve
from geometry.words.solution import Finding

STIFF, DENSE = 207e9, 7850.0
WALL = 0.00211


def of(answer: Solution, limit_id: str) -> Finding:
    return next(one for one in answer.findings if one.id == limit_id)


def lengths_m(build: Build) -> tuple[float, float]:
    """Both sections, joint to joint, from the entered places alone."""
    centre, slope = np.array(build.axle.centre_mm), np.radians(build.axle.pinion_slope_deg)
    along = np.array([np.cos(slope), 0.0, -np.sin(slope)])
    drop = np.array([-np.sin(slope), 0.0, -np.cos(slope)]) * build.axle.pinion_drop_mm
    pinion = centre - along * build.axle.pinion_length_mm + drop + (0.0, build.axle.pinion_offset_mm, 0.0)
    joints = np.array([build.powertrain.output_joint_mm, build.shaft.bearing_mm, pinion])
    front, rear = np.linalg.norm(np.diff(joints, axis=0), axis=1) / 1e3
    return float(front), float(rear)


def critical_rpm(outer_mm: float, length_m: float) -> float:
    outer = outer_mm / 1e3
    gyration = np.sqrt(outer**2 + (outer - 2.0 * WALL) ** 2) / 4.0
    return float(np.sqrt(STIFF / DENSE) * gyration * (np.pi / length_m) ** 2 * 30.0 / np.pi)


def drawn(two_piece: Build, front_mm: float, rear_mm: float, bearing_x: float = 2200.0) -> Build:
    return edited(
        two_piece,
        {
            "shaft.front_tube.outer_diameter_mm": front_mm, "shaft.rear_tube.outer_diameter_mm": rear_mm,
            "shaft.bearing_mm": (bearing_x, 20.0, 500.0), "axle.pinion_plan_deg": 0.0, "powertrain.shock_factor": 1.0,
            "vehicle.mass_centre_height_mm": 500.0, "vehicle.tyre_turns_per_km": 1e6 / (2.0 * np.pi * 390.0),
        },
    )  # fmt: skip


@pytest.mark.parametrize(
    ("front_mm", "rear_mm", "bearing_x", "slower"),
    [
        (76.2, 76.2, 2200.0, "rear"),  # 1.10 m against 1.35 m
        (76.2, 76.2, 2600.0, "front"),  # 1.50 m against 0.95 m
        (38.1, 76.2, 2200.0, "front"),
        (76.2, 50.8, 2200.0, "rear"),
        (101.6, 63.5, 2600.0, "front"),
    ],
)
def test_the_slower_section_is_judged_for_its_critical_speed(
    two_piece: Build, front_mm: float, rear_mm: float, bearing_x: float, slower: str
) -> None:
    build = drawn(two_piece, front_mm, rear_mm, bearing_x)
    front, rear = (critical_rpm(*one) for one in zip((front_mm, rear_mm), lengths_m(build), strict=True))
    assert (front < rear) == (slower == "front")
    lowest = min(front, rear)
    finding = of(solve(build), "critical_speed")
    assert finding.limit == pytest.approx(0.65 * lowest, rel=1e-9)
    assert finding.hold_limit == pytest.approx(0.70 * lowest, rel=1e-9)
    assert f"the critical speed of the {slower} section is {lowest:,.0f} rpm" in finding.says
    assert finding.entry == f"shaft.{slower}_tube.outer_diameter_mm"
    # And its verdict turns at shares of its own speed: 4,800 rpm of the engine in top gear of 1.
    for share, verdict in ((0.649, "clear"), (0.651, "caution"), (0.701, "hold")):
        fast = edited(build, {"powertrain.redline_rpm": share * lowest, "vehicle.top_speed_kmh": None,
                              "vehicle.cruise_speed_kmh": 20.0})  # fmt: skip
        assert of(solve(fast), "critical_speed").verdict == verdict


@pytest.mark.parametrize("near", ["front", "rear"])
@pytest.mark.parametrize("bearing_x", [2200.0, 2600.0])
def test_the_section_whose_half_speed_cruise_is_nearest_to_is_named(
    two_piece: Build, near: str, bearing_x: float
) -> None:
    build = drawn(two_piece, 76.2, 63.5, bearing_x)
    halves = [critical_rpm(*one) / 2.0 for one in zip((76.2, 63.5), lengths_m(build), strict=True)]
    half = halves[near == "rear"]
    for share, verdict in ((1.079, "caution"), (1.081, "clear"), (0.921, "caution"), (0.919, "clear")):
        speed = share * half / 60.0 / 3.9 * 2.0 * np.pi * 0.39 * 3.6
        other = halves[near == "front"]
        if abs(share * half / other - 1.0) <= abs(share - 1.0):
            continue  # nearer to the other section's
        finding = of(solve(edited(build, {"vehicle.cruise_speed_kmh": speed})), "half_critical_speed")
        assert finding.verdict == verdict
        assert finding.value == pytest.approx(abs(share - 1.0) * half, rel=1e-6)
        assert f"half the critical speed of the {near} section" in finding.says
        assert finding.entry == f"shaft.{near}_tube.outer_diameter_mm"


@pytest.mark.parametrize("bearing_x", [2200.0, 2600.0])
def test_half_way_between_two_half_speeds_the_section_that_is_nearer_as_a_share_is_named(
    two_piece: Build, bearing_x: float
) -> None:
    """Shares of both are alike at 2/(1/a + 1/b), where cruise/a − 1 is 1 − cruise/b; just beside it one is nearer."""
    build = drawn(two_piece, 76.2, 63.5, bearing_x)
    front, rear = (critical_rpm(*one) / 2.0 for one in zip((76.2, 63.5), lengths_m(build), strict=True))
    alike = 2.0 / (1.0 / front + 1.0 / rear)
    for factor, nearest in ((0.999, min(front, rear)), (1.001, max(front, rear))):
        speed = factor * alike / 60.0 / 3.9 * 2.0 * np.pi * 0.39 * 3.6
        finding = of(solve(edited(build, {"vehicle.cruise_speed_kmh": speed})), "half_critical_speed")
        assert finding.value == pytest.approx(abs(factor * alike - nearest), rel=1e-6)
        assert f"half the critical speed of the {'front' if nearest == front else 'rear'} section" in finding.says
        assert finding.limit == pytest.approx(0.08 * nearest, rel=1e-9)


@pytest.mark.parametrize(
    ("front", "rear", "worst"),
    [((76.2, 350.0), (63.5, 350.0), "rear"), ((63.5, 350.0), (76.2, 350.0), "front"),
     ((76.2, 200.0), (63.5, 900.0), "front"), ((63.5, 900.0), (76.2, 200.0), "rear")],
)  # fmt: skip
def test_the_tube_nearest_to_its_own_yield_is_named(
    two_piece: Build, front: tuple[float, float], rear: tuple[float, float], worst: str
) -> None:
    """A thicker tube of a softer steel may be the worse one: shares of the yield in shear, yield/√3, are compared."""
    build = edited(drawn(two_piece, front[0], rear[0]), {
        "shaft.front_tube.yield_mpa": front[1], "shaft.rear_tube.yield_mpa": rear[1],
    })  # fmt: skip
    answer = solve(build)
    torque = answer.shaft.torque_nm
    stress = {}
    for name, (outer_mm, _) in (("front", front), ("rear", rear)):
        outer, inner = outer_mm / 1e3, outer_mm / 1e3 - 2.0 * WALL
        stress[name] = torque * outer / 2.0 / (np.pi * (outer**4 - inner**4) / 32.0) / 1e6
    strength = {"front": front[1] / np.sqrt(3.0), "rear": rear[1] / np.sqrt(3.0)}
    assert max(stress, key=lambda name: stress[name] / strength[name]) == worst
    finding = of(answer, "tube_shear")
    assert finding.limit == pytest.approx(0.5 * strength[worst], rel=1e-9)
    assert f"into the {worst} section's tube" in finding.says
    assert finding.entry == f"shaft.{worst}_tube.wall_mm"
    assert finding.value == pytest.approx(stress[worst], rel=1e-9)
