"""Both halves of each end of the shaft: which go together, what would do where they do not, what it does to lengths.

What goes together is common practice: a flange bolts to a flange, caps lie in a yoke, a slip yoke slides on a spline.
"""

from itertools import product
from typing import Any

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.document.entries import variants
from geometry.judge.codes import WORDS
from geometry.judge.judging import judge
from geometry.mechanics.trade_sizes import JOINT_SERIES
from geometry.words.sentences.ends import conversion
from geometry.words.solution import Finding
from tests.geometry.strategies import WHOLE, sample
from tests.geometry.told_build import as_planned
from tests.geometry.words_builds import told_of

RANCH, RIG = sample("ranch_truck_swap"), sample("front_axle_lift")
SIZES: dict[str, Any] = {
    "cap_mm": 30.2, "span_mm": 92.1, "clip": "outside", "pilot_mm": 60.3, "bolt_circle_mm": 79.4, "bolts": 4.0,
    "bolt_mm": 9.5, "spline_teeth": 27.0, "spline_diameter_mm": 33.0, "seal_mm": 38.0,
}  # fmt: skip
"""Every size that half a connection can have."""
OURS, THEIRS = ("flange", "caps", "spline"), ("flange", "straps", "u_bolts", "clips", "spline")
TOGETHER = {("flange", "flange"), ("caps", "straps"), ("caps", "u_bolts"), ("caps", "clips"), ("spline", "spline")}
PLACES = {
    "ranch gearbox": (RANCH, "shaft.front_end", "powertrain.output_end", "front_joint"),
    "ranch axle": (RANCH, "shaft.rear_end", "axle.pinion_end", "rear_joint"),
    "rig gearbox": (RIG, "shaft.rear_end", "powertrain.output_end", "rear_joint"),
    "rig axle": (RIG, "shaft.front_end", "axle.pinion_end", "front_joint"),
}
"""The ends of a rear axle's shaft, and of a front axle's."""


def bare(build: Build) -> Build:
    """A build of whose ends nothing is entered."""
    ends = ("shaft.front_end", "shaft.rear_end", "powertrain.output_end", "axle.pinion_end", "shaft.slip.sits")
    made = edited(build, dict.fromkeys(ends))
    return edited(made, {"shaft.centre_end": None}) if hasattr(made.shaft, "centre_end") else made


def halves(place: str, ours: dict[str, Any], theirs: dict[str, Any], **more: Any) -> Build:
    build, end, mate, _ = PLACES[place]
    changes = {end: ours, mate: theirs, **{path.replace("__", "."): value for path, value in more.items()}}
    return edited(bare(build), changes)


def found(build: Build, part: str, name: str = "end_fits") -> Finding:
    return next(one for one in solve(build).findings if (one.id, one.part) == (name, part))


def verdict(build: Build, part: str) -> str:
    one = judge(variants(build))["end_fits", part]
    return WORDS[int(one.verdict[0])]


@pytest.mark.parametrize(("ours", "theirs"), list(product(OURS, THEIRS)))
@pytest.mark.parametrize("place", PLACES)
def test_every_pair_of_types(place: str, ours: str, theirs: str) -> None:
    pilots = ({"pilot": "male"}, {"pilot": "female"})
    build = halves(place, SIZES | pilots[0] | {"type": ours}, SIZES | pilots[1] | {"type": theirs})
    part = PLACES[place][3]
    assert verdict(build, part) == ("clear" if (ours, theirs) in TOGETHER else "hold")
    if (ours, theirs) not in TOGETHER:
        says = conversion(told_of(build, 0), part)
        assert "would do" in says
        assert "the joint's place is measured again then, as the length hangs on it." in says
        assert ("slip yoke" in says) == ("spline" in {ours, theirs})


@pytest.mark.parametrize(("ours", "theirs"), list(product(JOINT_SERIES, JOINT_SERIES)), ids=lambda one: one.name)
def test_every_pair_of_series(ours: Any, theirs: Any) -> None:
    """Caps of one series go into the yoke of the same alone; for any two others there is a cross with both sizes.

    The sizes of a series are from memory: they tell what does not go together, the caliper alone what does.
    """
    joint = {"shaft.rear_joint.series": ours.name}
    build = edited(halves("ranch axle", {"type": "caps"}, {"type": "straps", "series": theirs.name}), joint)
    alike = abs(ours.cap_mm - theirs.cap_mm) <= 0.25 and abs(ours.span_mm - theirs.span_mm) <= 0.5
    assert alike == (ours is theirs)
    assert verdict(build, "rear_joint") == ("unknown" if alike else "hold")
    read = {f"shaft.rear_end.{size}": getattr(ours, size) for size in ("cap_mm", "span_mm")}
    read |= {f"axle.pinion_end.{size}": getattr(theirs, size) for size in ("cap_mm", "span_mm")}
    assert verdict(edited(build, read), "rear_joint") == ("clear" if alike else "hold")
    if not alike:
        says = conversion(told_of(build, 0), "rear_joint")
        assert f"A cross with two sizes, {ours.name} to the shaft and {theirs.name} to the yoke," in says
        assert says.endswith("so the length stays.")
        crossed = edited(build, {"shaft.rear_end.other_series": theirs.name})
        assert verdict(crossed, "rear_joint") == "unknown"
        assert f"By name both are {theirs.name}." in found(crossed, "rear_joint").says
        assert solve(crossed).order.length_mm == solve(build).order.length_mm


LINES = [
    ("caps", "straps", "cap_mm", 0.25), ("caps", "clips", "span_mm", 0.5), ("flange", "flange", "pilot_mm", 0.25),
    ("flange", "flange", "bolt_circle_mm", 1.0), ("flange", "flange", "bolt_mm", 1.0),
    ("spline", "spline", "spline_diameter_mm", 0.5), ("spline", "spline", "seal_mm", 0.25),
]  # fmt: skip


@pytest.mark.parametrize(("ours", "theirs", "name", "may_be_off"), LINES)
@pytest.mark.parametrize("way", [-1.0, 1.0])
def test_just_inside_and_just_outside_what_a_size_may_be_off(
    ours: str, theirs: str, name: str, may_be_off: float, way: float
) -> None:
    build = halves(
        "ranch gearbox", SIZES | {"type": ours, "pilot": "female"}, SIZES | {"type": theirs, "pilot": "male"},
        shaft__front_joint__series=None,
    )  # fmt: skip
    column = np.array([0.0, 0.999, 1.001, 5.0, np.nan]) * may_be_off * way + SIZES[name]
    one = judge(variants(build, {f"shaft.front_end.{name}": column}))["end_fits", "front_joint"]
    assert [WORDS[code] for code in one.verdict] == ["clear", "clear", "hold", "hold", "unknown"]
    assert one.value[:4].tolist() == [0.0, 0.0, 1.0, 1.0]


@pytest.mark.parametrize(("kind", "name"), [("flange", "bolts"), ("spline", "spline_teeth")])
def test_what_is_counted_must_be_the_same_number(kind: str, name: str) -> None:
    build = halves("ranch gearbox", SIZES | {"type": kind, "pilot": "female"}, SIZES | {"type": kind, "pilot": "male"})
    one = judge(variants(build, {f"shaft.front_end.{name}": SIZES[name] + np.array([-1.0, 0.0, 1.0])}))
    assert [WORDS[code] for code in one["end_fits", "front_joint"].verdict] == ["hold", "clear", "hold"]


def flange(**sizes: Any) -> dict[str, Any]:
    return {
        "type": "flange",
        "pilot_mm": 60.3,
        "pilot": "male",
        "bolt_circle_mm": 79.4,
        "bolts": 4.0,
        "bolt_mm": 9.5,
    } | sizes


def test_two_pilots_alike_centre_nothing() -> None:
    build = halves("ranch axle", flange(), flange())
    assert "both flanges have the same pilot" in found(build, "rear_joint").says


def test_clips_count_only_where_they_hold() -> None:
    ours = {"type": "caps", "cap_mm": 30.2, "span_mm": 92.1, "clip": "inside"}
    for kind, expected in (("straps", "clear"), ("u_bolts", "clear"), ("clips", "hold")):
        build = halves("ranch axle", ours, ours | {"type": kind, "clip": "outside"})
        assert verdict(build, "rear_joint") == expected
        if expected == "hold":
            assert "clips sit outside on one half and inside on the other" in found(build, "rear_joint").says
            assert "A cross with its clips where the yoke has them would do" in found(build, "rear_joint").says
            for half in ("shaft.rear_end", "axle.pinion_end"):
                lacks = found(edited(build, {f"{half}.clip": None}), "rear_joint")
                assert (lacks.verdict, lacks.entry) == ("unknown", f"{half}.clip")


def test_nothing_would_do_for_an_end_that_nobody_entered() -> None:
    with pytest.raises(KeyError, match="nothing is entered at the gearbox"):
        conversion(told_of(bare(RANCH), 0), "front_joint")


# --- what is not entered ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("build", WHOLE, ids=lambda build: build.title.partition(":")[0])
def test_a_build_without_ends_is_not_asked_for_them(build: Build) -> None:
    solution = solve(bare(build))
    assert not {one.id for one in solution.findings} & {"end_fits", "cap_size"}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("half", [0, 1])
def test_half_an_end_is_unknown_and_wants_the_other(place: str, half: int) -> None:
    one, other = (flange(), {}) if half == 0 else ({}, flange())
    build = halves(place, one, other)
    finding = found(build, PLACES[place][3])
    assert (finding.verdict, finding.value) == ("unknown", None)
    assert finding.entry == f"{PLACES[place][2 - half]}.type"
    wanted = "what is on the " + ("shaft's" if half else "pinion" if "axle" in place else "gearbox's output")
    assert wanted in finding.says


REQUIRED = {
    "flange": ("pilot_mm", "pilot", "bolt_circle_mm", "bolts", "bolt_mm"),
    "caps": ("cap_mm", "span_mm"),
    "spline": ("spline_teeth", "spline_diameter_mm", "seal_mm"),
}


@pytest.mark.parametrize(("kind", "name"), [(kind, name) for kind, names in REQUIRED.items() for name in names])
@pytest.mark.parametrize("half", ["shaft.front_end", "powertrain.output_end"])
def test_each_size_that_lacks_is_unknown_and_is_named(kind: str, name: str, half: str) -> None:
    mate = "straps" if kind == "caps" else kind
    build = halves(
        "ranch gearbox", SIZES | {"type": kind, "pilot": "female"}, SIZES | {"type": mate, "pilot": "male"},
        shaft__front_joint__series=None,
    )  # fmt: skip
    assert verdict(build, "front_joint") == "clear"
    finding = found(edited(build, {f"{half}.{name}": None}), "front_joint")
    assert finding.verdict == "unknown"
    assert finding.entry == (f"{half}.{name}" if kind != "caps" else finding.entry)
    assert "output's" in finding.says if half.startswith("powertrain") else "shaft's front end's" in finding.says


def test_what_is_wrong_already_holds_though_something_lacks() -> None:
    build = halves("ranch gearbox", flange(bolts=6.0), flange(pilot="female", pilot_mm=None))
    finding = found(build, "front_joint")
    assert finding.verdict == "hold"
    assert "number of bolts 6 on the shaft and 4 on the gearbox's output" in finding.says
    assert "pilot" not in finding.says


def test_an_unknown_row_beside_a_known_one() -> None:
    build = halves("ranch axle", {"type": "caps", "cap_mm": 30.2, "span_mm": 92.1}, {"type": "straps"})
    columns = {"axle.pinion_end.cap_mm": [30.2, np.nan, 30.2], "axle.pinion_end.span_mm": [92.1, 92.1, 100.0]}
    one = judge(variants(build, columns))["end_fits", "rear_joint"]
    assert [WORDS[code] for code in one.verdict] == ["clear", "unknown", "hold"]
    begun = judge(variants(bare(RANCH), {"axle.pinion_end.cap_mm": [30.2, np.nan]}))["end_fits", "rear_joint"]
    assert [WORDS[code] for code in begun.verdict] == ["unknown", ""]  # with nothing entered it is not asked, as alone


# --- where the slip sits ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("place", ["ranch gearbox", "rig gearbox"])
def test_the_slip_sits_where_the_end_lets_it(place: str) -> None:
    part = PLACES[place][3]
    inside = halves(place, SIZES | {"type": "spline"}, SIZES | {"type": "spline"}, shaft__slip__sits="gearbox")
    assert verdict(inside, part) == "clear"
    twice = edited(inside, {"shaft.slip.sits": "output_end"})
    assert "it would slip twice" in found(twice, part).says
    assert found(twice, part).says.endswith("Correct where the slip sits, or what is on the shaft's end.")
    nowhere = halves(place, flange(), flange(pilot="female"), shaft__slip__sits="gearbox")
    assert "though its slip is entered as in the gearbox" in found(nowhere, part).says
    both = edited(nowhere, {"powertrain.output_end.type": "spline"})
    assert found(both, part).value == 2.0


# --- adapters ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("place", "plate"),
    [(name, "plan.output_adapter_mm" if "gearbox" in name else "plan.pinion_adapter_mm") for name in PLACES],
)
def test_a_plate_bridges_two_flanges_and_shortens_the_shaft(place: str, plate: str) -> None:
    part = PLACES[place][3]
    apart = halves(place, flange(), flange(pilot="female", pilot_mm=69.8, bolts=6.0))
    assert verdict(apart, part) == "hold"
    remedy = found(apart, part).remedy
    assert remedy is not None
    assert list(remedy.changes) == [plate]
    assert "drilled for both flanges" in remedy.says
    assert "a plate drilled for both would do" in conversion(told_of(apart, 0), part)
    bridged = edited(apart, {plate: 12.0})
    assert verdict(bridged, part) == "clear"
    assert "drilled for both" in found(bridged, part).says
    assert (
        verdict(edited(bridged, {"axle.pinion_end.bolts": None, "powertrain.output_end.bolts": None}), part)
        == "unknown"
    )
    joints, without, within = solve(apart).joints, as_planned(apart), as_planned(bridged)
    # The joint goes along the line that the plate lies square to: its component along the shaft is the cosine's.
    joint = next(one for one in joints if f"{one.name}_joint" == part)
    long = without.length_mm
    assert long is not None
    assert joint.operating_deg is not None
    bend = np.radians(joint.operating_deg)
    assert within.length_mm == pytest.approx(np.hypot(long - 12.0 * np.cos(bend), 12.0 * np.sin(bend)), abs=1e-6)


def test_a_shaft_shorter_by_a_plate_stands_farther_in_its_slip() -> None:
    plain = edited(bare(RANCH), {"plan": None})
    plated = edited(plain, {"plan.pinion_adapter_mm": 20.0})
    one, two = as_planned(plain), as_planned(plated)
    assert one.length_mm is not None
    assert two.length_mm is not None
    assert two.extended_mm is not None
    shorter = one.length_mm - two.length_mm
    assert 19.0 < shorter < 20.0
    assert two.extended_mm - two.length_mm == pytest.approx(65.0 + shorter)


def test_no_plate_bridges_yokes_or_a_slip_entered_twice() -> None:
    yokes = halves("ranch axle", {"type": "caps"}, {"type": "straps", "series": "1410"}, plan__pinion_adapter_mm=12.0)
    assert verdict(yokes, "rear_joint") == "hold"
    twice = halves(
        "ranch gearbox", flange(), flange(pilot="female"), plan__output_adapter_mm=12.0, shaft__slip__sits="gearbox"
    )
    assert verdict(twice, "front_joint") == "hold"


@pytest.mark.parametrize("plate", ["plan.output_adapter_mm", "plan.pinion_adapter_mm"])
def test_with_a_plate_the_stick_tells_no_more_than_before(plate: str) -> None:
    """Without the joints' places nobody knows how a plate turns the shaft's line, nor how long it leaves it."""
    solution = solve(edited(sample("three_angles_and_a_length"), {plate: 12.0}))
    assert solution.order.length_mm is None
    assert {joint.operating_deg for joint in solution.joints} == {None}


# --- words ------------------------------------------------------------------------------------------------------------


def test_sizes_from_memory_are_said_to_be_so() -> None:
    build = halves("ranch axle", {"type": "caps"}, {"type": "straps", "series": "1410"})
    assert "from memory, so measure the parts" in found(build, "rear_joint").says
    taped = {"cap_mm": 30.2, "span_mm": 92.1}
    measured = halves("ranch axle", {"type": "caps", **taped}, {"type": "straps", **taped})
    assert "from memory" not in found(measured, "rear_joint").says
    apart = edited(measured, {"axle.pinion_end.cap_mm": 27.0})
    assert found(apart, "rear_joint").verdict == "hold"
    assert "from memory" not in found(apart, "rear_joint").says


def test_sizes_off_each_other_but_not_too_far_are_both_told() -> None:
    says = found(halves("ranch axle", flange(), flange(pilot="female", pilot_mm=60.5)), "rear_joint").says
    assert "pilot 2.374 in (60.3 mm) and 2.382 in (60.5 mm)" in says
    assert "bolts 0.374 in (9.50 mm)" in says


def test_caps_off_both_series_tell_the_worse() -> None:
    build = halves(
        "ranch axle", {"type": "caps", "cap_mm": 31.0}, {"type": "straps", "series": "1350", "span_mm": 95.0}
    )
    worse = found(build, "rear_joint", "cap_size")
    assert worse.value == pytest.approx(95.0 - 3.625 * 25.4)
    assert worse.verdict == "caution"


# --- the hanger's own steps -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("step", [2.0, 6.0, 30.0, 80.0])
def test_the_bearing_is_moved_in_the_hangers_own_steps(step: float) -> None:
    build = edited(
        sample("long_van_two_piece"), {"shaft.bearing_mm": (2520.0, 0.0, 400.0), "shaft.bearing_step_mm": step}
    )
    moved = [
        remedy.changes["shaft.bearing_mm"][2]
        for finding in solve(build).findings
        for remedy in (finding.remedy, *finding.alternatives)
        if remedy is not None and "shaft.bearing_mm" in remedy.changes
    ]
    if step < 50.0:
        assert moved
    for height in moved:
        assert (height - 400.0) / step == pytest.approx(round((height - 400.0) / step), abs=1e-6)
        assert abs(height - 400.0) <= max(50.8, step)


def test_on_a_front_axle_the_bearing_carries_the_section_at_the_output() -> None:
    van = sample("long_van_two_piece")
    build = edited(van, {"axle.end": "front", "shaft.bearing_slope_deg": 10.0, "axle.centre_mm": (0.0, 0.0, 355.0),
                         "shaft.bearing_mm": (800.0, 0.0, 455.0)})  # fmt: skip
    solution = solve(build)
    square = next(one for one in solution.findings if one.id == "bearing_square")
    # From (800, 455) up to the output's joint at (1450, 520): it rises rearward.
    rising = -np.degrees(np.arctan2(520.0 - 455.0, 1450.0 - 800.0))
    assert square.value == pytest.approx(10.0 - rising)


@pytest.mark.parametrize("place", PLACES)
def test_flanges_that_do_not_meet_have_a_plate_as_a_way_out(place: str) -> None:
    """Applied, the end fits, the shaft is shorter by the plate, and the whole is judged as promised."""
    build = halves(place, flange(), flange(pilot="female", bolt_circle_mm=101.6))
    entry = "plan.output_adapter_mm" if place.endswith("gearbox") else "plan.pinion_adapter_mm"
    finding = found(build, PLACES[place][3])
    assert finding.verdict == "hold"
    assert finding.remedy is not None
    assert set(finding.remedy.changes) == {entry}
    assert "drilled for both flanges" in finding.remedy.says
    assert ": end fits." in finding.remedy.says or ": end fits;" in finding.remedy.says
    after = solve(edited(build, finding.remedy.changes))
    assert next(one for one in after.findings if (one.id, one.part) == (finding.id, finding.part)).verdict == "clear"
    assert sum(one.verdict == "hold" for one in after.findings) == finding.remedy.holds
    before = solve(build).shaft.sections[0].length_mm
    now = after.shaft.sections[0].length_mm
    assert before is not None
    assert now is not None
    assert before - now == pytest.approx(finding.remedy.changes[entry], rel=0.05)
    straps = halves(place, flange(), {"type": "clips", "series": "1350"})
    assert found(straps, PLACES[place][3]).remedy is None  # no plate joins a flange to a yoke
