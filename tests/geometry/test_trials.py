"""What is tried: wedges and shims as they are sold, what is chosen among them, and the sentence over all findings."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.spatial.transform import Rotation

from geometry import Build, Solution, edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.ways import STOCK_DIAMETERS_IN, WEDGES_DEG, coarse_pinion, effort, leaning_ways, steps, tube_ways
from geometry.words.finding import overall
from geometry.words.remedies import shim_words, wedge_words
from tests.geometry.strategies import sample

HURRY = {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 9.0, "axle.pinion_slope_deg": 1.0}
CRUISE = {"vehicle.rear_tyre_radius_mm": 400.0, "axle.ratio": 4.0, "vehicle.cruise_speed_kmh": 100.0}


def changes_in(answer: Solution) -> list[dict[str, Any]]:
    return [
        dict(one.changes)
        for finding in answer.findings
        for one in (finding.remedy, *finding.alternatives)
        if one is not None
    ]


def applied(build: Build) -> Build:
    """The build with the first remedy of the first finding that has one."""
    changes = changes_in(solve(build))
    return edited(build, changes[0]) if changes else build


def test_wedges_are_half_degrees_and_shims_can_be_cut() -> None:
    assert np.all(np.round(2.0 * WEDGES_DEG) == (2.0 * WEDGES_DEG))
    assert 0.0 in WEDGES_DEG
    inch, metric = Build(), edited(Build(), {"display.length": "millimetre"})
    assert steps(Facts(variants(inch)), 1.0, 1.0, 32) / 25.4 * 16.0 == pytest.approx(np.arange(-32.0, 33.0))
    assert steps(Facts(variants(metric)), 1.0, 1.0, 50) == pytest.approx(np.arange(-50.0, 51.0))
    # Sizes kept by stockists: common practice, no source.
    assert STOCK_DIAMETERS_IN == (2.0, 2.5, 2.75, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0)


def tubes(front_mm: float, rear_mm: float, *weak: str) -> list[dict[str, list[float]]]:
    """What is tried for these tubes of a two-piece shaft, inches to the thousandth."""
    tube = {"front_tube": {"outer_diameter_mm": front_mm}, "rear_tube": {"outer_diameter_mm": rear_mm}}
    facts = Facts(variants(edited(Build(), {"shaft": {"kind": "two_piece", **tube}})))
    return [
        {path: np.round(sizes / 25.4, 3).tolist() for path, sizes in way.changes.items()}
        for way in tube_ways(facts, [f"shaft.{name}_tube" for name in weak])
    ]


def test_the_next_four_stock_tubes_are_tried_and_no_tube_is_made_smaller() -> None:
    """Two weak tubes get one size: from the next above the smaller of them, while the larger stays until it is passed.

    Stock as the row above says it: 2, 2½, 2¾, 3, 3½, 4, 4½, 5 and 6 inches.
    """
    front, rear = "shaft.front_tube.outer_diameter_mm", "shaft.rear_tube.outer_diameter_mm"
    assert tubes(50.8, 76.2, "front") == [{front: [2.5, 2.75, 3.0, 3.5]}]
    assert tubes(50.7, 76.2, "front") == [{front: [2.0, 2.5, 2.75, 3.0]}]
    assert tubes(50.8, 76.2, "rear") == [{rear: [3.5, 4.0, 4.5, 5.0]}]
    both = {front: [2.5, 2.75, 3.0, 3.5], rear: [3.0, 3.0, 3.0, 3.5]}
    assert tubes(50.8, 76.2, "front", "rear") == [both]
    assert tubes(76.2, 50.8, "front", "rear") == [{front: both[rear], rear: both[front]}]
    assert tubes(127.0, 152.4, "front", "rear") == [{front: [6.0], rear: [6.0]}]
    assert tubes(152.4, 152.4, "front", "rear") == []
    assert tubes(50.8, 76.2) == []


def leaning(build: Build) -> dict[str, dict[str, list[float]]]:
    """What is tried of how things stand, each value once."""
    with np.errstate(all="ignore"):
        ways = list(leaning_ways(Facts(variants(build))))
    return {
        way.kind: {path: np.unique(np.round(values, 4)).tolist() for path, values in way.changes.items()}
        for way in ways
    }


def evenly(middle: float, step: float, most: int) -> Any:
    return pytest.approx([middle + step * count for count in range(-most, most + 1)], abs=1e-3)


@pytest.mark.parametrize(("unit", "shim", "shims", "rise", "bearing"), [
    ("inch", 25.4 / 16.0, 32, 6.0 * 25.4 / 16.0, 25.4 / 8.0), ("millimetre", 1.0, 50, 10.0, 3.0),
])  # fmt: skip
def test_what_is_tried_is_within_reach_of_the_workshop(
    one_piece: Build, two_piece: Build, unit: str, shim: float, shims: int, rise: float, bearing: float
) -> None:
    """Settled for the workshop, without a source: how far and how finely each is tried, and from where."""
    metric = edited(one_piece, {"display.length": unit, "shaft.phase_deg": 30.0})
    fixed = leaning(metric)
    assert fixed["pinion"] == {"plan.axle_shim_deg": evenly(0.0, 0.5, 16)}
    assert fixed["powertrain"] == {"plan.mount_shim_mm": evenly(0.0, shim, shims)}
    assert fixed["phase"] == {"shaft.phase_deg": [-1.0, 0.0, 1.0]}  # in one plane a pair cancels in phase
    loose = leaning(edited(metric, {"plan.mounts": "loose", "plan.powertrain_shift_mm": (4.0, 7.0)}))["powertrain"]
    assert loose["plan.powertrain_slope_deg"] == evenly(4.0, 0.5, 8)
    assert loose["plan.powertrain_shift_mm.0"] == [4.0]
    assert loose["plan.powertrain_shift_mm.1"] == evenly(7.0, rise, 5)
    longer = leaning(edited(two_piece, {"display.length": unit}))["bearing"]
    assert longer == {"shaft.bearing_mm.2": evenly(500.0, bearing, 16)}


@pytest.mark.parametrize(("step", "most"), [
    (0.5, 16), (3.0, 16), (3.175, 16), (3.2, 15), (5.0, 10), (25.4, 2), (25.5, 1), (50.8, 1), (60.0, 1), (100.0, 1),
])  # fmt: skip
def test_a_hangers_own_steps_are_tried_for_two_inches_but_sixteen_at_most_and_one_at_least(
    two_piece: Build, step: float, most: int
) -> None:
    tried = leaning(edited(two_piece, {"shaft.bearing_step_mm": step}))["bearing"]["shaft.bearing_mm.2"]
    assert tried == evenly(500.0, step, most)


@pytest.mark.parametrize("lost", [
    {"powertrain.front_mount_mm": None}, {"powertrain.slope_deg": None},
    {"vehicle.wheelbase_mm": None, "plan.rear_lift_mm": 50.0},
], ids=["front mount", "slope", "tilt"])  # fmt: skip
def test_a_loose_engine_is_tried_only_where_its_slope_on_the_tyres_can_be_told(
    one_piece: Build, lost: dict[str, Any]
) -> None:
    build = edited(one_piece, {"plan.mounts": "loose"})
    assert "powertrain" in leaning(build)
    assert "powertrain" not in leaning(edited(build, lost))


def test_loose_perches_are_tried_in_tenths_around_where_a_pair_cancels() -> None:
    """Output 3°, shaft 9°: parallel at 3°, opposite at 15°, straight at 9°; and around the pinion's own 1°."""
    tried = leaning(edited(Build(), HURRY | {"plan.perches": "loose"}))["pinion"]["plan.pinion_slope_deg"]
    tenths = {10 * slope + step for slope in (1, 3, 9, 15) for step in range(-12, 13)}
    assert tried == pytest.approx(sorted(tenth / 10.0 for tenth in tenths))
    steep = leaning(edited(Build(), HURRY | {"plan.perches": "loose", "readings.shaft_slope_deg": 31.5}))["pinion"]
    assert max(steep["plan.pinion_slope_deg"]) == 60.0  # no entry allows more


def test_beside_another_change_loose_perches_are_tried_by_half_degrees_from_where_the_pinion_is(
    one_piece: Build,
) -> None:
    """As a gauge on the tyres reads it after the lift; where the plan wants what cannot be, as it was measured."""
    lifted = {"plan.perches": "loose", "plan.rear_lift_mm": 200.0, "plan.front_lift_mm": 0.0}
    build = edited(one_piece, {**lifted, "plan.rear_lift_by": "block"})
    tilt = -float(np.degrees(np.arctan(200.0 / 2600.0)))
    with np.errstate(all="ignore"):
        tried = coarse_pinion(Facts(variants(build))).changes["plan.pinion_slope_deg"]
        # Turned out of line by 40°, no turn of the axle brings the pinion to a slope of 60°.
        beyond = edited(build, {"axle.pinion_plan_deg": 40.0, "plan.pinion_slope_deg": 60.0})
        lost = coarse_pinion(Facts(variants(beyond))).changes["plan.pinion_slope_deg"]
    now = solve(build).angles.pinion_slope_deg
    assert now is not None
    assert tried == pytest.approx(round(now, 1) + WEDGES_DEG, abs=0.051)
    assert lost == pytest.approx(round(3.4 + tilt, 1) + WEDGES_DEG, abs=0.051)


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_beside_another_change_no_slope_is_tried_that_no_entry_takes(one_piece: Build, way: float) -> None:
    """A block that tips the vehicle by 16° brings a pinion that was measured at 55° past the 60° of its entry."""
    lifted = {"plan.perches": "loose", f"plan.{'front' if way > 0.0 else 'rear'}_lift_mm": 750.0}
    for slope in (50.0, 55.0):
        build = edited(one_piece, {**lifted, "axle.pinion_slope_deg": way * slope, "suspension": None})
        with np.errstate(all="ignore"):
            tried = coarse_pinion(Facts(variants(build))).changes["plan.pinion_slope_deg"]
        assert 1 < tried.size < WEDGES_DEG.size
        assert np.abs(tried).max() == 60.0
        edited(build, {"plan.pinion_slope_deg": float(tried[0])})


@pytest.mark.parametrize(
    ("kind", "at_all", "each"),
    [("pinion", 2.0, 0.0), ("powertrain", 0.5, 0.6), ("bearing", 0.5, 0.4), ("phase", 10.0, 0.0), ("tube", 10.0, 0.5),
     ("length", 10.0, 0.05), ("link", 0.5, 0.5), ("shock", 2.0, 0.0), ("bar", 0.5, 0.02), ("plate", 12.0, 0.1)],
)  # fmt: skip
def test_work_is_so_much_at_all_and_so_much_for_every_degree_and_millimetre(
    kind: str, at_all: float, each: float
) -> None:
    """A wedge, whatever its size, is 2; the figures are the workshop's judgement, settled without a source."""
    changes = {"a": np.array([5.0, 5.0, 7.0, 4.0]), "b": np.array([-1.0, 1.0, 1.0, -2.0])}
    off = np.array([0.0, 2.0, 4.0, 2.0])
    expected = np.where(off > 0.0, at_all + each * off, 0.0)
    assert effort(kind, changes, {"a": 5.0, "b": -1.0}) == pytest.approx(expected)


def test_nothing_can_be_chosen_without_lines() -> None:
    assert changes_in(solve(Build())) == []
    assert solve(Build()).setpoints.pinion_slope_deg is None


def test_the_wedge_chosen_makes_the_ends_parallel() -> None:
    """Output 3°, shaft 9° by stick, pinion 1° and a wedge w: in one plane, nothing is left where 1 + w = 3."""
    answer = solve(edited(Build(), HURRY))
    assert answer.setpoints.axle_shim_deg == 2.0
    assert answer.setpoints.pinion_slope_deg == pytest.approx(3.0)


def skew(slope: float, plan: float = 0.0) -> Any:
    return Rotation.from_euler("yz", [slope, plan], degrees=True).apply([1.0, 0.0, 0.0])


def peak(lines: list[Any]) -> float:
    """Peak acceleration behind two crosses over omega squared: pins kept square, differentiated by FFT."""
    count = 256
    theta = np.arange(count) * 2.0 * np.pi / count
    start = np.cross(lines[0], [0.0, 1.0, 0.2])
    pin = Rotation.from_rotvec(theta[:, None] * lines[0]).apply(start / np.linalg.norm(start))
    for along in lines[1:]:
        pin = np.cross(along, pin)
        pin /= np.linalg.norm(pin, axis=1)[:, None]
    swing = np.unwrap(np.arctan2(pin @ np.cross(lines[-1], pin[0]), pin @ pin[0])) - theta
    waves = np.fft.rfft(swing)
    fine = np.zeros(8 * count + 1, complex)
    fine[: len(waves)] = -(np.arange(len(waves)) ** 2) * waves * 16.0
    return float(np.abs(np.fft.irfft(fine, 16 * count)).max())


@pytest.mark.parametrize("perches", ["welded", "loose"])
def test_the_pinions_best_slope_against_a_search_by_scipy(perches: str) -> None:
    """A skew pair, so that nothing cancels wholly: output with plan, shaft read by stick, pinion with plan.

    Loose perches come to it within a tenth, the step of the gauge, and wedges within a quarter of a degree.
    """
    settled = {"axle.pinion_offset_mm": 0.0, "axle.pinion_drop_mm": 0.0, "plan.perches": perches}
    build = edited(Build(), HURRY | CRUISE | settled | {"powertrain.plan_deg": 0.3, "axle.pinion_plan_deg": -0.2})

    def left(turn: float) -> float:
        pinion = Rotation.from_euler("y", turn, degrees=True).apply(skew(1.0, -0.2))
        return peak([skew(3.0, 0.3), skew(9.0), pinion])

    best = minimize_scalar(left, bounds=(0.0, 5.0), method="bounded", options={"xatol": 1e-8}).x
    slope = float(np.degrees(np.arcsin(-Rotation.from_euler("y", best, degrees=True).apply(skew(1.0, -0.2))[2])))
    step = 0.1 if perches == "loose" else 0.26
    assert solve(build).setpoints.pinion_slope_deg == pytest.approx(slope, abs=step)


@pytest.mark.parametrize("end", ["rear", "front"])
def test_a_single_joint_opposite_an_even_one_is_straightened_and_its_needles_roll(end: str) -> None:
    """Common practice, no source: opposite a double joint the pinion points at it, half a degree off or more.

    It begins at more than 4°, a hold: on a front axle a wedge is a caution too, which no caution is traded for. From
    the side, that is: how far a front shaft runs aside nobody has measured here.
    """
    toward = 1.0 if end == "rear" else -1.0
    single, even = ("rear", "front") if end == "rear" else ("front", "rear")
    for shaft in np.arange(6.2, 9.1, 0.3):
        build = edited(Build(), {
            "axle.end": end, "powertrain.slope_deg": 2.0, "readings.shaft_slope_deg": toward * float(shaft),
            "axle.pinion_slope_deg": toward * 2.0, f"shaft.{even}_joint.type": "double_cardan",
            "shaft.phase_deg": 0.0,
        })  # fmt: skip
        fitted = solve(applied(build))
        found = {(one.id, one.part): one.verdict for one in fitted.findings}
        assert found["straight_end", f"{single}_joint"] == ("clear" if end == "rear" else "unknown")
        assert found["operating_angle_least", f"{single}_joint"] == "clear"
        (joint,) = [one for one in fitted.joints if one.name == single]
        assert joint.operating_deg is not None
        assert 0.5 - 1e-9 <= joint.operating_deg <= 2.0


def test_a_wedge_that_nobody_sells_is_no_remedy() -> None:
    """Parallel would want 17°: no wedge on offer is thicker than those sold, nor is a wedge asked for that holds."""
    answer = solve(edited(Build(), HURRY | {"axle.pinion_slope_deg": -14.0}))
    for changes in changes_in(answer):
        wedge = changes.get("plan.axle_shim_deg", 0.0)
        assert WEDGES_DEG[0] <= wedge <= WEDGES_DEG[-1]
        assert abs(wedge) <= 6.0
    assert abs(answer.setpoints.axle_shim_deg or 0.0) <= 6.0


@pytest.mark.parametrize("share", [0.1, 0.6, 1.0])
def test_on_a_front_axle_the_wedge_cancels_at_rest_and_under_torque(share: float) -> None:
    build = edited(
        sample("front_axle_lift"), {"powertrain.cruise_torque_share": share, "vehicle.cruise_speed_kmh": 100.0}
    )
    answer = solve(build)
    fitted = solve(applied(build))
    found = {one.id: one.verdict for one in fitted.findings}
    assert found["windup_cruise"] != "hold"
    if changes_in(answer):
        assert sum(one.verdict == "hold" for one in fitted.findings) <= sum(
            one.verdict == "hold" for one in answer.findings
        )


@pytest.mark.parametrize("height", np.arange(600.0, 720.0, 6.0).tolist())
def test_the_valley_of_one_single_joint_is_never_missed(height: float) -> None:
    """Wedges of half a degree: one within a quarter of a degree of straight is there."""
    build = edited(
        sample("transfer_case_double_joint"),
        {"powertrain.output_joint_mm": (1560.0, 60.0, height), "suspension.rigid": True},
    )
    off = {(one.id, one.part): one for one in solve(applied(build)).findings}["straight_end", "rear_joint"]
    assert off.verdict == "clear"


def test_where_no_wedge_changes_anything_the_pinion_stays_as_planned() -> None:
    even = {"shaft.front_joint.type": "constant_velocity", "shaft.rear_joint.type": "constant_velocity"}
    for planned in (0.0, 3.0):
        build = edited(Build(), HURRY | even | {"axle.pinion_slope_deg": 2.0, "plan.axle_shim_deg": planned})
        assert solve(build).setpoints.axle_shim_deg == planned


def test_words_for_nothing_at_all() -> None:
    display = Build().display
    assert wedge_words(0.0) == "take the wedges out at both perches"
    assert shim_words(0.0, display) == "take the shims out from under the rear mount"
    assert wedge_words(-2.5).startswith("at both perches fit 2.5° wedges that lower")
    assert shim_words(12.7, display).startswith("put 1/2 in")
    assert shim_words(-12.7, display).startswith("lower the rear mount by 1/2 in")


# --- the sentence over all findings -----------------------------------------------------------------------------------


def test_the_sentence_over_all_findings(one_piece: Build) -> None:
    findings = solve(one_piece).findings
    clear = tuple(one for one in findings if one.verdict == "clear")
    open_one = solve(Build()).findings[:1]
    warning = (replace(clear[0], verdict="caution"),)
    assert overall(clear)[0] == "clear"
    assert overall(())[0] == "unknown"
    assert overall((*clear, replace(clear[0], verdict="unknown")))[0] == "unknown"
    assert open_one[0].verdict == "unknown"
    assert overall((*clear, *open_one, *warning))[0] == "caution"
    assert overall((*clear, replace(warning[0], verdict="hold")))[0] == "hold"


def test_nobody_is_told_to_tack_before_the_ends_can_be_judged() -> None:
    without = {entry: value for entry, value in HURRY.items() if entry != "axle.pinion_slope_deg"}
    answer = solve(edited(Build(), without | {"powertrain.slope_deg": 6.0}))
    assert answer.verdict == "caution"  # the tail hangs, the shaft is steep
    assert answer.says.startswith("Do not tack yet: whether the joints cancel is not known. 2 cautions.")
    assert "still want a measurement" in answer.says
    van = edited(sample("long_van_two_piece"), {"axle.pinion_slope_deg": None, "powertrain.slope_deg": 6.0})
    assert solve(van).says.startswith("Do not tack yet: whether the joints cancel is not known.")


def test_numbers_of_numpy_come_out_plain(one_piece: Build) -> None:
    answer = solve(one_piece)
    odd = replace(answer, motion=replace(answer.motion, equivalent_angle_deg=np.float64(1.5)))
    assert type(odd.model_dump()["motion"]["equivalent_angle_deg"]) is float


@pytest.mark.parametrize("slope_deg", [-60.0, -45.0, 45.0, 60.0])
@pytest.mark.parametrize("plan_deg", [0.0, 45.0, 60.0])
@pytest.mark.parametrize("tail_deg", [0.0, 20.0])
def test_loose_perches_set_to_a_slope_that_no_turn_gives_are_answered(
    slope_deg: float, plan_deg: float, tail_deg: float
) -> None:
    """Far out in plan the pinion cannot be turned to any slope; what hangs on it is unknown."""
    changes = {
        "plan.perches": "loose", "plan.pinion_slope_deg": slope_deg, "axle.pinion_plan_deg": plan_deg,
        "axle.pinion_slope_deg": 0.0, "powertrain.slope_deg": tail_deg,
    }  # fmt: skip
    answer = solve(edited(sample("lifted_short_shaft"), changes))
    out_of_reach = abs(slope_deg) > 90.0 - plan_deg
    assert (answer.angles.pinion_slope_deg is None) == out_of_reach


def test_yokes_are_turned_only_between_two_single_joints() -> None:
    """An even joint turns alike whatever the phase, so that of the single one beside it helps nothing."""
    for name, told in (("ranch_truck_swap", True), ("transfer_case_double_joint", False)):
        answer = solve(edited(sample(name), {"shaft.phase_deg": 45.0}))
        ways = [way for one in answer.findings if one.remedy for way in (one.remedy, *one.alternatives)]
        assert ways
        assert any("shaft.phase_deg" in way.changes for way in ways) is told
