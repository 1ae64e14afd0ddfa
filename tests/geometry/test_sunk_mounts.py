"""Mount rubber that settles: the engine goes down with it, by hand and by a build entered so; row by row; its words."""

import numpy as np
import pytest

from geometry import edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.judge.states import Moved
from geometry.mechanics.vectors import ZERO, number, slope_deg
from tests.geometry.words_builds import SETTLED

DOWN = {"use.front_mount_settling_mm": 8.0, "use.rear_mount_settling_mm": 8.0}
TIPPED = {"use.front_mount_settling_mm": 3.0, "use.rear_mount_settling_mm": 12.0}
BEAM = {"name": "beam", "outline_mm": ((1105.0, 450.0), (1160.0, 450.0), (1160.0, 485.0), (1105.0, 485.0))}
"""Under the output joint, so that a shaft that sinks comes nearer."""


@pytest.fixture(scope="module")
def settled(one_piece):
    return edited(one_piece, SETTLED | {"suspension.rate_n_per_mm": 200.0, "obstacles": (BEAM,)})


def sunk(build, front, rear):
    """Output joint and slope of the build with its mounts sunk."""
    with np.errstate(all="ignore"):
        facts = Facts(variants(build), 0, None, Moved(ZERO, ZERO, number(front), number(rear)))
        joint = np.ravel([float(part) for part in facts.powertrain.joint])
        return joint, float(slope_deg(facts.powertrain.line))


def lowered(build, joint, slope):
    """The build measured with its engine already so low."""
    low = edited(build, {"powertrain.output_joint_mm": tuple(joint), "powertrain.slope_deg": slope, "use": None})
    with np.errstate(all="ignore"):
        longer = [float(Facts(variants(one)).measured.lengths_mm[0]) for one in (low, build)]
    return edited(low, {"shaft.slip.engaged_mm": build.shaft.slip.engaged_mm - longer[0] + longer[1]})


def test_alike_mounts_let_it_straight_down(settled):
    joint, slope = sunk(settled, 8.0, 8.0)
    assert joint == pytest.approx((1100.0, 30.0, 552.0))
    assert slope == pytest.approx(3.5)


def test_a_rear_mount_that_sinks_more_tips_the_tail_down_by_hand(settled):
    """Mounts 820 apart, the rear one 120 lower: its elevation angle goes from asin(-120/r) to asin(-129/r)."""
    reach = np.hypot(820.0, 120.0)
    turn = np.arcsin(-120.0 / reach) - np.arcsin(-129.0 / reach)
    joint, slope = sunk(settled, 3.0, 12.0)
    assert slope == pytest.approx(3.5 + np.degrees(turn))
    x, z = 1100.0 - 80.0, 560.0 - 600.0
    c, s = np.cos(turn), np.sin(turn)
    assert joint == pytest.approx((80.0 + x * c + z * s, 30.0, 600.0 - 3.0 + z * c - x * s))


@pytest.mark.parametrize("sinks", [DOWN, TIPPED], ids=["down", "tipped"])
@pytest.mark.parametrize("plan", [{}, {"plan.mount_shim_mm": 6.0},
                                  {"plan.mounts": "loose", "plan.powertrain_slope_deg": 5.0,
                                   "plan.powertrain_shift_mm": (4.0, 9.0)}])  # fmt: skip
def test_all_is_judged_as_in_a_build_that_was_measured_so(settled, sinks, plan):
    """Every finding, at the worse of both: measured as it is, and with the engine measured where it settles to."""
    build = edited(settled, plan)
    joint, slope = sunk(build, *sinks.values())
    now = judge(variants(build), positions=41)
    low = judge(variants(lowered(edited(build, {"plan": None}), joint, slope)), positions=41)
    both = judge(variants(edited(build, {"state.springs": "settled", **sinks})), positions=41)
    for key in both:
        if key[0] in {"stick_slope", "tape_length", "mount_shim"}:
            continue
        verdicts = [one[key].verdict[0] for one in (now, low) if key in one]
        if key[0] not in {"tail_up", "tail_down"}:
            assert both[key].verdict[0] == max(verdicts), key
        values = [float(one[key].value[0]) for one in (now, low) if key in one]
        assert np.isnan(values).any() or any(
            np.isclose(float(both[key].value[0]), value, rtol=1e-6, atol=1e-6) for value in values
        ) or key[0] in {"operating_angle_least", "gauge_resolution"}, key  # fmt: skip


def test_nothing_entered_is_the_answer_of_before(settled):
    assert solve(settled) == solve(edited(settled, {"use": {}}))
    still = solve(edited(settled, {"use.front_mount_settling_mm": 0.0, "use.rear_mount_settling_mm": 0.0}))
    assert still == solve(settled)


def test_the_finding_that_gets_worse_names_the_state(settled):
    before = {one.id: one for one in solve(settled).findings}
    answer = solve(edited(settled, {"use.front_mount_settling_mm": 30.0, "use.rear_mount_settling_mm": 30.0}))
    after = {one.id: one for one in answer.findings}
    assert (before["gap_1"].state, after["gap_1"].state) == (None, "settled")
    assert after["gap_1"].value < before["gap_1"].value
    assert after["gap_1"].says.startswith("Settled, ")
    assert [one.name for one in answer.states] == ["as measured", "settled"]
    assert answer.states[1].shaft_slope_deg < answer.states[0].shaft_slope_deg
    assert answer.states[1].driven_mm == 0.0


def test_mounts_that_sink_otherwise_want_their_places(settled):
    lost = edited(settled, TIPPED | {"powertrain.rear_mount_mm": None})
    words = {one.id: one for one in solve(lost).findings if one.verdict == "unknown"}
    assert {"pinion_residual", "tail_down", "slip_left", "joint_bind"} <= set(words)
    assert all(
        "the rear mount" in words[one].says for one in ("pinion_residual", "tail_down", "slip_left", "joint_bind")
    )
    assert not [one for one in solve(edited(lost, DOWN)).findings if one.verdict == "unknown"]


def test_a_row_is_its_own_solve(settled):
    fronts, rears = np.array([0.0, 5.0, np.nan, 9.0, 20.0]), np.array([0.0, 9.0, 4.0, np.nan, 20.0])
    columns = {"use.front_mount_settling_mm": fronts, "use.rear_mount_settling_mm": rears}
    v = variants(edited(settled, {"use.rear_settling_mm": 10.0, "use.rear_most_kg": 150.0}), columns)
    rows = judge(v, positions=41)
    for row in range(len(fronts)):
        alone = judge(variants(v.build_at(row)), positions=41)
        for key, one in alone.items():
            assert rows[key].verdict[row] == one.verdict[0], (key, row)
            np.testing.assert_allclose(rows[key].value[row], one.value[0], rtol=1e-6, atol=1e-6, err_msg=str(key))


def test_an_axle_whose_place_is_lost_is_judged_between_its_stops_with_mounts_up_and_down(settled):
    lost = edited(settled, DOWN | {"use.rear_most_kg": 200.0, "suspension.rate_n_per_mm": None})
    verdicts = {one.id: one.verdict for one in solve(lost).findings}
    assert (verdicts["ends_parallel"], verdicts["pinion_residual"]) == ("clear", "clear")
    assert verdicts["operating_angle_least"] == "unknown"


def test_remedies_keep_their_word_with_sunk_mounts(settled):
    build = edited(settled, {"axle.pinion_slope_deg": 9.0, **TIPPED})
    for finding in solve(build).findings:
        if finding.remedy is not None:
            then = {(one.id, one.part): one for one in solve(edited(build, finding.remedy.changes)).findings}
            assert then[finding.id, finding.part].verdict == finding.remedy.after_verdict
