"""What a remedy tells a person to do is what its changes do: way, size, section and joint, in both units.

The words are written out here by hand from the changes; the builds are made so that each kind of change is wanted.
"""

from typing import Any

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.words.finding import Finding
from geometry.words.helps import help_for
from geometry.words.remedies import change_words
from geometry.words.solution import Remedy, Solution
from geometry.words.solve import Work
from geometry.words.told import Told
from tests.geometry.strategies import HURRY, sample

LINK = {"frame_point_mm": (2700.0, -450.0, 430.0), "axle_point_mm": (2690.0, 450.0, 330.0)}


def said(build: Build, changes: dict[str, Any]) -> list[str]:
    """The orders for changes to a build, told from the row that has them."""
    with np.errstate(all="ignore"):
        return change_words(Told(build, Facts(variants(edited(build, changes))), {}), changes)


@pytest.mark.parametrize(
    ("of", "changes", "millimetres", "inches"),
    [
        ("one", {"plan.axle_shim_deg": 2.5}, "at both perches fit 2.5° wedges that raise the pinion's nose", None),
        ("one", {"plan.axle_shim_deg": -0.5}, "at both perches fit 0.5° wedges that lower the pinion's nose", None),
        ("one", {"plan.axle_shim_deg": 0.0}, "take the wedges out at both perches", None),
        ("links", {"plan.axle_shim_deg": 2.5},
         "set the links so that the axle turns 2.5° to raise the pinion's nose", None),
        ("links", {"plan.axle_shim_deg": 1.0},
         "set the links so that the axle turns 1° to raise the pinion's nose", None),
        ("links", {"plan.axle_shim_deg": -1.0},
         "set the links so that the axle turns 1° to lower the pinion's nose", None),
        ("links", {"plan.axle_shim_deg": 0.0}, "leave the axle turned as it was measured", None),
        ("loose links", {"plan.pinion_slope_deg": 4.2},
         "turn the axle in its loose link brackets until the pinion's nose points 4.2° up, then tack", None),
        ("one", {"plan.mount_shim_mm": 1.0}, "put 1 mm (0.04 in) of shim under the rear mount",
         "put 1/16 in (1.0 mm) of shim under the rear mount"),
        ("one", {"plan.mount_shim_mm": -1.0}, "lower the rear mount by 1 mm (0.04 in)",
         "lower the rear mount by 1/16 in (1.0 mm)"),
        ("one", {"plan.mount_shim_mm": -19.05}, "lower the rear mount by 19 mm (0.75 in)",
         "lower the rear mount by 3/4 in (19.1 mm)"),
        ("one", {"plan.mount_shim_mm": 0.0}, "take the shims out from under the rear mount", None),
        ("loose", {"plan.pinion_slope_deg": 4.2},
         "turn the axle on its loose perches until the pinion's nose points 4.2° up, then tack", None),
        ("loose", {"plan.pinion_slope_deg": -1.5},
         "turn the axle on its loose perches until the pinion's nose points 1.5° down, then tack", None),
        ("loose", {"plan.powertrain_slope_deg": 2.5}, "set the engine 2.5° tail down", None),
        ("loose", {"plan.powertrain_slope_deg": -1.0}, "set the engine 1.0° tail up", None),
        ("loose", {"plan.powertrain_shift_mm": (0.0, 20.0)}, "raise the whole engine by 20 mm (0.79 in)",
         "raise the whole engine by 13/16 in (20.0 mm)"),
        ("loose", {"plan.powertrain_shift_mm": (7.0, -10.0)}, "lower the whole engine by 10 mm (0.39 in)",
         "lower the whole engine by 3/8 in (10.0 mm)"),
        ("two", {"shaft.bearing_mm": (2200.0, 20.0, 503.0)}, "raise the support bearing by 3 mm (0.12 in)",
         "raise the support bearing by 1/8 in (3.0 mm)"),
        ("two", {"shaft.bearing_mm": (2200.0, 20.0, 490.475)}, "lower the support bearing by 10 mm (0.38 in)",
         "lower the support bearing by 3/8 in (9.5 mm)"),
        ("one", {"shaft.phase_deg": 0.0}, "have the shaft built with its rear yoke in line with the front one", None),
        ("one", {"shaft.phase_deg": 12.0},
         "have the shaft built with its rear yoke turned 12° clockwise from the front one, looking rearward", None),
        ("one", {"shaft.phase_deg": -12.0},
         "have the shaft built with its rear yoke turned 12° anticlockwise from the front one, looking rearward", None),
        ("one", {"shaft.tube.outer_diameter_mm": 88.9}, "order 88.9 mm (3.50 in) tube of the same wall",
         "order 3.50 in (88.9 mm) tube of the same wall"),
        ("two", {"shaft.front_tube.outer_diameter_mm": 88.9},
         "order for the front section 88.9 mm (3.50 in) tube of the same wall",
         "order for the front section 3.50 in (88.9 mm) tube of the same wall"),
        ("two", {"shaft.rear_tube.outer_diameter_mm": 101.6},
         "order for the rear section 101.6 mm (4.00 in) tube of the same wall",
         "order for the rear section 4.00 in (101.6 mm) tube of the same wall"),
        # 70 mm are engaged now: more engaged is a longer shaft.
        ("one", {"shaft.slip.engaged_mm": 82.7}, "have the shaft made 13 mm (0.50 in) longer",
         "have the shaft made 0.50 in (13 mm) longer"),
        ("one", {"shaft.slip.engaged_mm": 44.6}, "have the shaft made 25 mm (1.00 in) shorter",
         "have the shaft made 1.00 in (25 mm) shorter"),
        ("one", {"shaft.slip.stroke_mm": 150.0}, "order a slip of 150 mm (5.91 in) stroke",
         "order a slip of 5.91 in (150 mm) stroke"),
        ("one", {"plan.lateral_link_longer_mm": 3.0}, "make the lateral link 3 mm (0.12 in) longer than it is now",
         "make the lateral link 1/8 in (3.0 mm) longer than it is now"),
        ("one", {"plan.lateral_link_longer_mm": -6.0}, "make the lateral link 6 mm (0.24 in) shorter than it is now",
         "make the lateral link 1/4 in (6.0 mm) shorter than it is now"),
        ("one", {"plan.lateral_link_longer_mm": 0.0}, "leave the lateral link as long as it is now", None),
        ("one", {"plan.output_adapter_mm": 0.0},
         "leave out the plate between the shaft and the gearbox's output", None),
    ],
)  # fmt: skip
def test_what_to_do_is_what_is_changed(
    one_piece: Build, two_piece: Build, of: str, changes: dict[str, Any], millimetres: str, inches: str | None
) -> None:
    loose = {"plan.perches": "loose", "plan.mounts": "loose", "lateral_link": None}
    linked = edited(sample("transfer_case_double_joint"), {"plan": None, "display.length": "millimetre"})
    build = {
        "one": edited(one_piece, {"lateral_link": LINK}), "two": two_piece, "loose": edited(one_piece, loose),
        "links": linked, "loose links": edited(linked, {"plan.perches": "loose"}),
    }[of]  # fmt: skip
    assert said(build, changes) == [millimetres]
    assert said(edited(build, {"display.length": "inch"}), changes) == [inches or millimetres]


def test_an_engine_that_is_only_turned_is_not_raised_too(one_piece: Build) -> None:
    """Turning it where it hangs: a shift of nought is no order, and where it hung higher already the step is told."""
    loose = edited(one_piece, {"plan.mounts": "loose"})
    both = {"plan.powertrain_slope_deg": 2.0, "plan.powertrain_shift_mm": (0.0, 0.0)}
    assert said(loose, both) == ["set the engine 2.0° tail down"]
    higher = edited(loose, {"plan.powertrain_shift_mm": (0.0, 30.0)})
    assert said(higher, {"plan.powertrain_shift_mm": (0.0, 10.0)}) == ["lower the whole engine by 20 mm (0.79 in)"]


# --- every kind of change is offered where it helps, and says for what it is ------------------------------------------

TWO_TUBES = {"powertrain.redline_rpm": 4300.0, "vehicle.top_speed_kmh": None, "powertrain.shock_factor": 1.0}
KINDS: dict[str, tuple[str, dict[str, Any], str, str, dict[str, object], str]] = {
    # what: sample or fixture, edits, finding, part, changes by path (None: any value), words.
    "wedge": ("stick", {"axle.pinion_slope_deg": 0.0}, "ends_parallel", "shaft", {"plan.axle_shim_deg": 3.5},
              "At both perches fit 3.5° wedges that raise the pinion's nose: pinion 3.5° up, ends cancel, 0.0°."),
    "wedge out": ("stick", {"plan.axle_shim_deg": -3.5}, "ends_parallel", "shaft", {"plan.axle_shim_deg": 0.0},
                  "Take the wedges out at both perches: pinion 3.5° up, ends cancel, 0.0°."),
    "lowering wedge": ("stick", {"axle.pinion_slope_deg": 6.0}, "ends_parallel", "shaft", {"plan.axle_shim_deg": -2.5},
                       "At both perches fit 2.5° wedges that lower the pinion's nose: pinion 3.5° up, ends cancel, "),
    "loose pinion": ("stick", {"axle.pinion_slope_deg": 0.0, "plan.perches": "loose"}, "ends_parallel", "shaft",
                     {"plan.pinion_slope_deg": 3.5},
                     "Turn the axle on its loose perches until the pinion's nose points 3.5° up, then tack: "),
    "front tube": ("two", TWO_TUBES | {"shaft.front_tube.outer_diameter_mm": 38.1}, "critical_speed", "shaft",
                   {"shaft.front_tube.outer_diameter_mm": 63.5},  # 2 in would do for its speed, but is sheared too much
                   "Order for the front section 63.5 mm (2.50 in) tube of the same wall: "),
    "rear tube": ("two", TWO_TUBES | {"shaft.rear_tube.outer_diameter_mm": 50.8}, "critical_speed", "shaft",
                  {"shaft.rear_tube.outer_diameter_mm": None}, "Order for the rear section "),
    "both tubes": ("two", TWO_TUBES | {"shaft.front_tube.outer_diameter_mm": 38.1,
                                       "shaft.rear_tube.outer_diameter_mm": 50.8}, "critical_speed", "shaft",
                   {"shaft.front_tube.outer_diameter_mm": None, "shaft.rear_tube.outer_diameter_mm": None},
                   "tube of the same wall and order for the rear section "),
    "weak front tube": ("two", {"shaft.front_tube.outer_diameter_mm": 38.1, "powertrain.shock_factor": 1.0},
                        "tube_shear", "shaft", {"shaft.front_tube.outer_diameter_mm": None},
                        "Order for the front section "),
    "whole tube": ("one", {"shaft.tube.outer_diameter_mm": 38.1, "suspension": None}, "tube_shear", "shaft",
                   {"shaft.tube.outer_diameter_mm": None}, "Order "),
    "bearing down": ("two", {"shaft.bearing_mm": (2200.0, 20.0, 540.0)}, "pinion_residual", "rear_joint",
                     {"shaft.bearing_mm": None}, "Lower the support bearing by "),
    "bearing up": ("two", {"shaft.bearing_mm": (2200.0, 20.0, 430.0)}, "pinion_residual", "rear_joint",
                   {"shaft.bearing_mm": None}, "Raise the support bearing by "),
    "phase": ("stick", {"shaft.phase_deg": 90.0}, "ends_parallel", "shaft", {"shaft.phase_deg": 0.0},
              "Have the shaft built with its rear yoke in line with the front one: ends cancel, 0.0°."),
    "mount": ("one", {"powertrain.slope_deg": 5.2, "suspension": None}, "tail_down", "powertrain",
              {"plan.mount_shim_mm": None}, " of shim under the rear mount"),
    "tail up": ("one", {"powertrain.slope_deg": -1.5, "suspension": None}, "tail_up", "powertrain",
                {"plan.mount_shim_mm": None}, "Lower the rear mount by "),
    "longer": ("slip", {"shaft.slip": {"stroke_mm": 160.0, "engaged_mm": 30.0, "spline_diameter_mm": 35.0}},
               "slip_engaged", "shaft", {"shaft.slip.engaged_mm": None}, " longer"),
    "shorter": ("slip", {"shaft.slip": {"stroke_mm": 160.0, "engaged_mm": 145.0, "spline_diameter_mm": 35.0}},
                "slip_left", "shaft", {"shaft.slip.engaged_mm": None}, " shorter"),
    "stroke": ("slip", {"shaft.slip": {"stroke_mm": 56.0, "engaged_mm": 50.0, "spline_diameter_mm": 35.0}},
               "slip_left", "shaft", {"shaft.slip.engaged_mm": None, "shaft.slip.stroke_mm": None},
               " and order a slip of "),
    "link": ("slip", {"lateral_link": LINK, "plan.rear_lift_mm": 90.0, "plan.front_lift_mm": 90.0}, "lateral_lift",
             "lateral_link", {"plan.lateral_link_longer_mm": None}, "Make the lateral link "),
}  # fmt: skip
"""Each kind of change, where it is what helps."""
SETTLED = {
    "axle.pinion_plan_deg": 0.0, "powertrain.cruise_torque_share": 0.3, "powertrain.shock_factor": 1.0,
    "vehicle.mass_centre_height_mm": 500.0, "suspension.bump_squash_mm": 10.0, "shaft.slip.spline_diameter_mm": 35.0,
}  # fmt: skip


def offered(answer: Solution, limit_id: str, part: str) -> tuple[Finding, list[Remedy]]:
    finding = next(one for one in answer.findings if (one.id, one.part) == (limit_id, part))
    return finding, [one for one in (finding.remedy, *finding.alternatives) if one is not None]


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_of_change_is_offered_where_it_helps(one_piece: Build, two_piece: Build, kind: str) -> None:
    of, edits, limit_id, part, changes, words = KINDS[kind]
    bases = {
        "stick": edited(Build(), HURRY | {"shaft.phase_deg": 0.0}), "one": edited(one_piece, SETTLED),
        "slip": edited(one_piece, SETTLED | {"suspension.rate_n_per_mm": 60.0}),
        "two": edited(two_piece, {"axle.pinion_plan_deg": 0.0}),
    }  # fmt: skip
    build = edited(bases[of], edits)
    finding, ways = offered(solve(build), limit_id, part)
    assert finding.verdict in {"caution", "hold"}
    such = [one for one in ways if set(one.changes) == set(changes)]
    assert such, [one.says for one in ways]
    remedy = such[0]
    assert words in remedy.says
    for path, value in changes.items():
        assert value is None or remedy.changes[path] == pytest.approx(value, abs=1e-9)
    assert remedy.after_verdict == "clear"
    after = {(one.id, one.part): one for one in solve(edited(build, remedy.changes)).findings}
    mended = after.get((limit_id, part))
    assert mended is None or mended.verdict == "clear"


def test_of_a_long_chain_the_best_whole_degree_of_the_rear_yokes_is_told(two_piece: Build) -> None:
    """Of all 180 whole degrees the one with which the pinion runs most evenly, each judged as its own build."""
    build = edited(two_piece, {
        "axle.pinion_plan_deg": 0.0, "shaft.rear_phase_deg": 90.0, "axle.pinion_slope_deg": 0.0,
        "vehicle.cruise_speed_kmh": 90.0,
    })  # fmt: skip
    whole = np.arange(-90.0, 90.0)
    uneven = judge(variants(build, {"shaft.rear_phase_deg": whole}))["pinion_residual", "rear_joint"].value
    best = float(whole[np.argmin(uneven)])
    _, ways = offered(solve(build), "pinion_residual", "rear_joint")
    phased = [one for one in ways if set(one.changes) == {"shaft.rear_phase_deg"}]
    assert [one.changes["shaft.rear_phase_deg"] for one in phased] == [best]
    # Right-hand about the shaft's rearward direction is clockwise to who looks that way.
    way = "clockwise" if best > 0.0 else "anticlockwise"
    assert f"with its rear yoke turned {abs(best):.0f}° {way} from the front one, looking rearward" in phased[0].says
    assert phased[0].after == pytest.approx(uneven.min(), rel=1e-9)


def test_a_loose_engine_is_set_and_raised_where_that_helps() -> None:
    """Level with a pair that is not: the tail has to come down, and every way that sets it says to which slope."""
    build = edited(sample("ranch_truck_swap"), {
        "plan.mounts": "loose", "plan.mount_shim_mm": None, "plan.powertrain_slope_deg": -4.0,
    })  # fmt: skip
    answer = solve(build)
    ways = [one for found in answer.findings for one in (found.remedy, *found.alternatives) if one is not None]
    sets = [one for one in ways if "plan.powertrain_slope_deg" in one.changes]
    assert sets
    for remedy in sets:
        slope = remedy.changes["plan.powertrain_slope_deg"]
        assert f"et the engine {slope:.1f}° tail down" in remedy.says
        rise = remedy.changes.get("plan.powertrain_shift_mm", (0.0, 0.0))[1]
        assert ("the whole engine by" in remedy.says) == (rise != 0.0)
        assert ("raise the whole engine" in remedy.says) == (rise > 0.0)


LEAF, LINKED, TWO = sample("ranch_truck_swap"), sample("transfer_case_double_joint"), sample("long_van_two_piece")
SINGLE = {f"shaft.{end}_joint.type": "cardan" for end in ("front", "rear")}
DOUBLE = {"shaft.front_joint.type": "double_cardan"}
EVEN_AT_PINION = {"shaft.rear_joint.type": "double_cardan"}
ASIDE = {"shaft.bearing_mm": (2520.0, 140.0, 455.0)}
"""The support bearing of the van 5.5 in beside the line from its output to its pinion."""
WHAT_HELPS = [
    (LEAF, {"plan.rear_lift_by": "spring"}, "lift", "Less lift, or another way to lift"),
    (LEAF, {"plan.rear_lift_by": "block", "suspension.seat": "under"}, "lift", "the spring laid over the axle"),
    (LEAF, {"plan.rear_lift_by": "block", "suspension.seat": "over"}, "lift", "Less lift, or another way to lift"),
    (LINKED, {"plan.rear_lift_by": "spring"}, "lift", "Less lift, or longer links"),
    (LINKED, {"plan.rear_lift_by": "block"}, "lift", "Other springs over the links"),
    (LEAF, SINGLE, "joint_bind", "a double Cardan joint"),
    (LEAF, DOUBLE, "joint_bind", "Joints that turn farther, less lift, or straps"),
    (LEAF, {}, "critical_speed", "two shorter sections with a support bearing"),
    (TWO, {}, "critical_speed", "the support bearing moved so that both sections whirl alike"),
    (LEAF, {}, "pinion_residual", "Loose perches turned until both angles are equal"),
    (TWO, {}, "pinion_residual", "Another height of the support bearing"),
    (LINKED, SINGLE, "pinion_residual", "Links that turn the axle until both angles are equal"),
    (LINKED, {}, "pinion_residual", "Links that turn the axle until the single joint runs straight"),
    (LEAF, DOUBLE, "pinion_residual", "Perches cut loose, and welded anew with the pinion turned until its joint"),
    (LEAF, {**DOUBLE, "plan.perches": "loose", "plan.axle_shim_deg": None}, "shaft_inertia_coast", "The pinion turned"),
    (LEAF, EVEN_AT_PINION, "windup_cruise", "far as its mounts allow, or the double Cardan joint put there instead"),
    (LINKED, SINGLE | EVEN_AT_PINION, "straight_end", "far as its mounts allow, or the double Cardan joint put there"),
    (
        LINKED,
        SINGLE | {"shaft.rear_joint.type": "constant_velocity"},
        "pinion_residual",
        "the constant-velocity joint",
    ),
    (LEAF, {}, "shaft_inertia_drive", "A double Cardan joint at the output with the pinion turned to it, less lift"),
    (LEAF, {}, "shaft_slope", "A double Cardan joint at the output with the pinion turned to it, less lift"),
    (TWO, {}, "shaft_inertia_drive", "The support bearing nearer to the straight line from output to pinion"),
    (TWO, ASIDE, "shaft_inertia_coast", "The support bearing moved sideways, into line"),
    (TWO, ASIDE, "pinion_residual", "The support bearing moved sideways, into line"),
    (LEAF, {"plan.rear_lift_mm": 0.0}, "bump_left", "Stiffer springs, or less load"),
    (LEAF, {"plan.rear_lift_mm": -50.0}, "bump_left", "Lowering it less, or a shorter bump stop"),
    (LINKED, {}, "windup_launch", "Link ends without rubber"),
    (LEAF, {}, "windup_launch", "A torque bar, or stiffer springs"),
]


@pytest.mark.parametrize(("build", "changes", "limit", "words"), WHAT_HELPS)
def test_what_would_help_is_of_the_vehicle_s_own_kind(build, changes, limit, words) -> None:
    """No perches are turned on links, no support bearing moved where there is none, no block blamed on springs."""
    with np.errstate(all="ignore"):
        told = Told(edited(build, changes), Work(edited(build, changes)).facts, {})
        assert words in help_for(told, (limit, "shaft"))


LOW = {"powertrain.output_joint_mm": (1632.0, -30.0, 400.0), "obstacles": (), "suspension.rate_n_per_mm": None}
"""An output below the pinion: the shaft's joints bend most in bump; without the rate no wind-up counts."""


@pytest.mark.parametrize(("changes", "words"), [
    ({}, "straps that end the droop sooner"), (LOW, "a bump stop that ends the travel sooner"),
    ({"suspension.rate_n_per_mm": 10.0}, "a torque bar"),
])  # fmt: skip
def test_what_helps_ends_the_travel_where_a_joint_binds(changes: dict[str, Any], words: str) -> None:
    """A strap helps no joint that binds in bump; wound up by launch torque a bar does."""
    build = edited(sample("ranch_truck_swap"), {"shaft.rear_joint.max_angle_deg": 3.0, **changes})
    told, key = Work(build).told, ("joint_bind", "rear_joint")
    says = next(one.says for one in solve(build).findings if (one.id, one.part) == key)
    with np.errstate(all="ignore"):
        assert f"less lift, or {words} would help." in help_for(told, key)
    assert ("wound up" in says) == (words == "a torque bar")
    assert "wound up" in says or (" of bump" in says) == words.startswith("a bump")
