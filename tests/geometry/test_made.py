"""The length to order, what may be off of it, and what one tooth does: against the exact place, many times over."""

from dataclasses import fields

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.document.entries import range_of, variants
from geometry.judge import search
from geometry.judge import ways as ways_out
from geometry.judge.facts import Facts
from geometry.judge.made import tooth_out
from geometry.mechanics.vectors import number
from geometry.words.order import _length_short, _room_words, _tooth_verdict
from geometry.words.solution import Finding, ShaftOrder
from tests.geometry.strategies import WHOLE, sample
from tests.geometry.told_build import as_planned

NAMES = [build.title.partition(":")[0] for build in WHOLE]
SQUASHED = [edited(build, {"suspension.bump_squash_mm": 20.0}) for build in WHOLE]


def walked(build: Build) -> tuple[np.ndarray, np.ndarray]:
    """Travel (places,) and length of the section that slips (wind-ups, places): a thousand places from full droop on.

    Wound up by all that launch torque passes through on its way where that is settled, else at rest alone.
    """
    facts = Facts(variants(build), 1001)
    sweep = facts.sweep
    shares = np.linspace(0.0, 1.0, 31) if facts.launch_certain.all() else np.zeros(1)
    turns = shares[:, None, None] * np.nan_to_num(facts.launch_most_deg)
    poses = facts.posed_at(sweep.turn_deg + turns, sweep.shift, np.zeros((), np.bool_))
    return np.ravel(sweep.travel_mm), poses.lengths_mm[facts.kinds.beside_axle][..., 0]


@pytest.mark.parametrize("build", SQUASHED, ids=NAMES)
def test_least_and_most_are_those_of_a_thousand_places(build: Build) -> None:
    order = as_planned(build)
    with np.errstate(all="ignore"):
        travel, lengths = walked(build)
    assert np.isfinite(lengths).any()
    # The places of the travel lie 5 mm apart: between two of them a length of a metre bends by hundredths of one.
    assert order.least_mm == pytest.approx(np.nanmin(lengths), abs=0.05)
    assert order.most_mm == pytest.approx(np.nanmax(lengths), abs=0.05)
    step = np.max(np.diff(travel)) + np.ptp(travel) / 36.0
    assert order.most_at_mm is not None
    flat = np.nanmax(lengths, axis=0)
    assert flat[np.abs(travel - order.most_at_mm) <= step].max() == pytest.approx(np.nanmax(lengths), abs=0.05)
    assert order.slip_travel_mm == pytest.approx(np.nanmax(lengths) - np.nanmin(lengths), abs=0.1)


def test_the_longest_need_not_lie_at_full_droop() -> None:
    order = as_planned(sample("ranch_truck_swap"))
    assert order.most_mm is not None
    assert order.at_droop_mm is not None
    assert order.most_mm > order.at_droop_mm + 0.5
    assert order.most_at_mm == pytest.approx(-50.0, abs=15.0)  # two inches down, as taped on the picture of the order


def test_on_parallel_links_the_length_is_pythagoras() -> None:
    """Two links alike swing the axle without turning it: the joint goes on an arc, the shaft's end with it."""
    build = edited(
        sample("transfer_case_double_joint"),
        {
            "axle.centre_mm": (2640.0, 0.0, 410.0), "lateral_link": None, "plan": None,
                "readings": None, "axle.pinion_slope_deg": 0.0,
            "powertrain.output_joint_mm": (1560.0, 60.0, 655.0), "axle.pinion_length_mm": 310.0,
            "suspension": {
                "kind": "links", "rigid": True, "bump_mm": 80.0, "droop_mm": 100.0, "bump_squash_mm": 0.0,
                "lower_frame_mm": (1900.0, 410.0), "lower_axle_mm": (2600.0, 410.0),
                "upper_frame_mm": (1900.0, 560.0), "upper_axle_mm": (2600.0, 560.0),
            },
        },
    )  # fmt: skip
    order = as_planned(build)
    rise = np.linspace(-100.0, 80.0, 200_001)
    back = 2640.0 - 310.0 - (700.0 - np.sqrt(700.0**2 - rise**2)) - 1560.0
    lengths = np.hypot(back, 655.0 - 410.0 - rise)
    assert order.length_mm == pytest.approx(np.hypot(770.0, 245.0), abs=1e-9)
    assert order.least_mm == pytest.approx(lengths.min(), abs=0.01)
    assert order.most_mm == pytest.approx(lengths.max(), abs=0.01)
    assert order.at_droop_mm == pytest.approx(lengths[0], abs=1e-6)
    assert order.at_bump_mm == pytest.approx(lengths[-1], abs=1e-6)
    # Collapsed and extended from the slip alone: 130 mm of stroke, 75 mm engaged.
    assert order.collapsed_mm == pytest.approx(np.hypot(770.0, 245.0) - 55.0, abs=1e-9)
    assert order.extended_mm == pytest.approx(np.hypot(770.0, 245.0) + 75.0, abs=1e-9)


def slips(build: Build, longer_mm: float) -> dict[str, str]:
    """Verdicts on the slip of a shaft made so much longer, which pushes the spline as much farther in."""
    assert build.shaft is not None
    assert build.shaft.slip is not None
    engaged = build.shaft.slip.engaged_mm
    assert engaged is not None
    made = edited(build, {"shaft.slip.engaged_mm": engaged + longer_mm})
    found = {one.id: one.verdict for one in solve(made).findings}
    return {name: found[name] for name in ("slip_left", "slip_engaged")}


@pytest.mark.parametrize(
    "build", [SQUASHED[0], SQUASHED[3], SQUASHED[4]], ids=[NAMES[0], NAMES[3], NAMES[4]]
)  # the others hold whatever their length
def test_made_longer_or_shorter_by_what_is_told_it_still_is_clear_and_by_more_it_is_not(build: Build) -> None:
    order = as_planned(build)
    assert order.longer_mm is not None
    assert order.shorter_mm is not None
    assert slips(build, order.longer_mm - 0.01)["slip_left"] == "clear"
    assert slips(build, order.longer_mm + 0.01)["slip_left"] == "caution"
    assert slips(build, -order.shorter_mm + 0.01)["slip_engaged"] == "clear"
    assert slips(build, -order.shorter_mm - 0.01)["slip_engaged"] == "caution"


def said(build: Build) -> str:
    return " ".join(as_planned(build).says)


def test_how_far_off_it_may_be_is_rounded_to_the_safe_side() -> None:
    build = sample("ranch_truck_swap")
    order = as_planned(build)
    assert order.longer_mm is not None
    assert order.shorter_mm is not None
    whole = f"{np.floor(order.longer_mm):.0f} mm ({np.floor(order.longer_mm) / 25.4:.2f} in) longer"
    assert f"Works if made up to {whole}" in said(edited(build, {"display.length": "millimetre"}))
    inches = f"{np.floor(order.shorter_mm / 0.254) / 100.0:.2f} in"
    assert f"or {inches} (" in said(build)
    assert "Known within ± 0.09 in" in said(build)
    assert "with the axle hanging at full droop" in said(build)


def test_a_shaft_whose_slip_is_short_at_one_end_must_be_made_otherwise() -> None:
    short = sample("lifted_short_shaft")
    order = as_planned(short)
    assert order.shorter_mm is not None
    assert order.shorter_mm < 0.0
    assert "No length works" in said(short)  # it uses more than it has
    longer = edited(short, {"shaft.slip.stroke_mm": 200.0, "shaft.slip.engaged_mm": 60.0})
    assert "Must be made at least" in said(longer)
    assert "longer, or the slip is short" in said(longer)
    shorter = edited(short, {"shaft.slip.stroke_mm": 200.0, "shaft.slip.engaged_mm": 180.0})
    assert "shorter, or the slip is short" in said(shorter)
    off = as_planned(longer).shorter_mm
    assert off is not None
    assert slips(longer, -off + 0.02)["slip_engaged"] == "clear"


TEETH = [edited(build, {"shaft.slip.spline_teeth": 16.0}) for build in WHOLE]


@pytest.mark.parametrize("build", TEETH, ids=NAMES)
def test_one_tooth_out_is_what_the_build_with_that_phase_gives(build: Build) -> None:
    order = as_planned(build)
    assert order.tooth_deg == 22.5
    path = "shaft.rear_phase_deg" if len(solve(build).joints) == 3 else "shaft.phase_deg"
    out = [solve(edited(build, {path: way * 22.5})).motion for way in (-1.0, 1.0)]
    residual = max(one.pinion_residual_rad_s2 or 0.0 for one in out)
    inertia = max(max(one.drive_inertia_rad_s2 or 0.0, one.coast_inertia_rad_s2 or 0.0) for one in out)
    assert order.tooth_residual_rad_s2 == pytest.approx(residual, rel=1e-9)
    assert order.tooth_inertia_rad_s2 == pytest.approx(inertia, rel=1e-9)
    worst = (
        "hold"
        if residual > 400.0 or inertia > 2000.0
        else "caution"
        if residual > 300.0 or inertia > 1000.0
        else "clear"
    )
    assert order.tooth_verdict == worst
    assert order.says[-1] == "Paint a mark across both halves of the slip before it comes apart."
    assert f"it would shake: {worst != 'clear'}" == f"it would shake: {'it would shake' in said(build)}"


def test_phase_in_teeth_and_none_of_it_where_nothing_is_known() -> None:
    turned = as_planned(edited(TEETH[0], {"shaft.phase_deg": -45.0}))
    assert (turned.phase_deg, turned.phase_teeth) == (-45.0, -2.0)
    unknown = as_planned(edited(TEETH[0], {"shaft.phase_deg": None}))
    assert (unknown.phase_deg, unknown.phase_teeth, unknown.tooth_deg) == (None, None, 22.5)
    inside = as_planned(edited(TEETH[0], {"shaft.slip.sits": "gearbox"}))  # it turns both yokes, and not one
    assert (inside.tooth_deg, inside.tooth_residual_rad_s2, inside.tooth_verdict) == (None, None, None)
    slow = as_planned(edited(TEETH[0], {"vehicle.cruise_speed_kmh": None}))
    assert (slow.tooth_deg, slow.tooth_residual_rad_s2, slow.tooth_verdict) == (22.5, None, None)
    assert "One tooth of 16 is 22.5°." in slow.says
    assert not any("worse way" in one for one in slow.says)


def test_with_nothing_measured_nothing_is_told() -> None:
    order = as_planned(Build())
    told = {"section", "ends", "in_states", "length_says", "length_short", "phase_says", "on_tubes"}
    numbers = [getattr(order, name) for name in (one.name for one in fields(ShaftOrder)) if name not in told]
    assert [one for one in numbers if one is not None] == [19.05]  # what is to be kept free
    assert order.largest_tubes_mm == (None,)
    assert order.says == ()
    assert {(one.cap_mm, one.span_mm, one.most_deg, one.from_memory) for one in order.ends} == {
        (None, None, None, False)
    }


def test_at_ride_height_alone_the_slip_still_tells_where_it_ends() -> None:
    order = as_planned(edited(sample("ranch_truck_swap"), {"suspension": None, "plan": None}))
    assert order.length_mm is not None
    assert order.extended_mm == pytest.approx(order.length_mm + 65.0)
    assert (order.least_mm, order.longer_mm, order.most_at_mm) == (None, None, None)


def test_by_stick_and_tape_what_is_engaged_is_as_entered() -> None:
    build = edited(sample("three_angles_and_a_length"), {"shaft.slip": {"stroke_mm": 110.0, "engaged_mm": 65.0}})
    order = as_planned(build)
    assert order.length_mm == 1346.2
    assert (order.collapsed_mm, order.extended_mm) == (pytest.approx(1301.2), pytest.approx(1411.2))
    assert order.known_within_mm is None


@pytest.mark.parametrize(
    ("residual", "inertia", "worst"),
    [(299.0, 999.0, "clear"), (301.0, 999.0, "caution"), (299.0, 1001.0, "caution"), (401.0, 999.0, "hold"),
     (299.0, 2001.0, "hold"), (301.0, 2001.0, "hold"), (401.0, 1001.0, "hold"), (np.nan, 1001.0, "caution"),
     (301.0, np.nan, "caution"), (np.nan, np.nan, None)],
)  # fmt: skip
def test_one_tooth_out_is_as_bad_as_the_worse_of_pinion_and_shaft(
    residual: float, inertia: float, worst: str | None
) -> None:
    """Over 300 and 400 rad/s² at the pinion, over 1,000 and 2,000 at the shaft, as the findings have it."""
    assert _tooth_verdict([number(residual), number(inertia)]) == worst


@pytest.mark.parametrize(
    ("name", "tube", "obstacle"),
    [
        ("ranch_truck_swap", "tube", 1),
        ("transfer_case_double_joint", "tube", 0),
        ("long_van_two_piece", "rear_tube", 0),
    ],
)
def test_a_tube_of_the_largest_diameter_surely_keeps_the_gap_wanted(name: str, tube: str, obstacle: int) -> None:
    """Solved anew with that tube; of the van the tube is what is nearest, of the others a yoke, which does not grow."""
    build = sample(name)
    build = edited(build, {"obstacles": (build.obstacles[obstacle].model_dump(),)})
    largest = as_planned(build).largest_tubes_mm[-1]
    assert largest is not None

    def gap(more: float) -> Finding:
        made = solve(edited(build, {f"shaft.{tube}.outer_diameter_mm": largest + more}))
        return next(one for one in made.findings if one.id == "gap_1")

    assert gap(-0.5).verdict == "clear"
    if name == "long_van_two_piece":
        assert gap(1.0).verdict == "caution"
        assert (gap(-0.5).value, gap(1.0).value) == (pytest.approx(25.25, abs=0.1), pytest.approx(24.5, abs=0.1))


def test_with_nothing_in_the_way_or_no_tube_no_largest_diameter_is_told() -> None:
    build = sample("ranch_truck_swap")
    assert as_planned(edited(build, {"obstacles": ()})).largest_tubes_mm == (None,)
    assert as_planned(edited(build, {"shaft.tube": None})).largest_tubes_mm == (None,)
    assert as_planned(sample("long_van_two_piece")).largest_tubes_mm[0] is None  # nothing is near its front section


def test_rows_are_variants() -> None:
    columns = {
        "shaft.slip.engaged_mm": [60.0, 65.0, np.nan], "shaft.slip.spline_teeth": [16.0, np.nan, 24.0],
        "axle.pinion_slope_deg": [3.2, 5.0, 9.0],
    }  # fmt: skip
    with np.errstate(all="ignore"):
        facts = Facts(variants(SQUASHED[0], columns), 41)
        made, tooth = facts.made, tooth_out(facts)
        omega2 = facts.speeds.omega2
        for row, values in enumerate(zip(*columns.values(), strict=True)):
            changes = dict(zip(columns, values, strict=True))
            alone = edited(SQUASHED[0], {path: None if np.isnan(one) else one for path, one in changes.items()})
            order = as_planned(alone)
            for name, value in (("extended_mm", made.extended_mm), ("longer_mm", made.longer_mm)):
                told = getattr(order, name)
                assert np.broadcast_to(value, 3)[row] == pytest.approx(np.nan if told is None else told, nan_ok=True)
            peak = order.tooth_inertia_rad_s2
            inertia = np.broadcast_to(tooth.inertia * omega2, 3)[row]
            assert inertia == pytest.approx(np.nan if peak is None else peak, nan_ok=True)
            told = order.tooth_deg
            assert tooth.tooth_deg[row] == pytest.approx(np.nan if told is None else told, nan_ok=True)


def test_ends_tell_their_joint_and_its_cross() -> None:
    short = edited(sample("lifted_short_shaft"), {"shaft.front_end": None})
    rear, front = (as_planned(build).ends for build in (short, sample("front_axle_lift")))
    assert [(one.end, one.joint) for one in rear] == [("gearbox", "front"), ("axle", "rear")]
    assert [(one.end, one.joint) for one in front] == [("gearbox", "rear"), ("axle", "front")]
    assert rear[0].from_memory
    assert (rear[0].cap_mm, rear[0].span_mm) == (pytest.approx(1.062 * 25.4), pytest.approx(3.219 * 25.4))
    half = edited(short, {"shaft.front_end.cap_mm": 27.0})
    assert (as_planned(half).ends[0].cap_mm, as_planned(half).ends[0].from_memory) == (27.0, True)
    whole = edited(half, {"shaft.front_end.span_mm": 82.0, "shaft.front_end.clip": "inside"})
    assert not as_planned(whole).ends[0].from_memory
    assert as_planned(whole).ends[0].clip == "inside"
    other = edited(short, {"shaft.rear_end.other_series": "1330"})
    assert (as_planned(other).ends[1].series, as_planned(other).ends[1].span_mm) == ("1330", pytest.approx(92.075))


@pytest.mark.parametrize("build", SQUASHED, ids=NAMES)
def test_the_largest_angle_is_the_travels(build: Build) -> None:
    solution = solve(build)
    assert solution.travel is not None
    assert solution.travel.operating_deg is not None
    names = [joint.name for joint in solution.joints]
    for end in as_planned(build).ends:
        at_rest = [one for one in solution.travel.operating_deg[names.index(end.joint)] if one is not None]
        assert end.most_deg is not None
        assert end.most_deg >= max(at_rest) - 1e-9


@pytest.mark.parametrize(("longer", "shorter", "says", "short"), [
    (4.7, 9.9, "Works if made up to 4 mm (0.16 in) longer or 9 mm (0.35 in) shorter.",
     "shaft works 4 mm longer or 9 mm shorter"),
    (0.0, 0.0, "Works if made up to 0 mm (0.00 in) longer or 0 mm (0.00 in) shorter.",
     "shaft works 0 mm longer or 0 mm shorter"),
    (0.04, 3.0, "Works if made up to 0 mm (0.00 in) longer or 3 mm", "shaft works 0 mm longer or 3 mm shorter"),
    (3.0, 0.04, "Works if made up to 3 mm (0.12 in) longer or 0 mm", "shaft works 3 mm longer or 0 mm shorter"),
    (-4.2, 9.9, "Must be made at least 5 mm (0.20 in) shorter", "shaft must be 5 mm shorter"),
    (9.9, -4.2, "Must be made at least 5 mm (0.20 in) longer", "shaft must be 5 mm longer"),
    (0.6, -0.4, "Must be made at least 1 mm (0.04 in) longer", "shaft must be 1 mm longer"),
    (-0.4, 0.6, "Must be made at least 1 mm (0.04 in) shorter", "shaft must be 1 mm shorter"),
    (-4.2, 4.1, "No length works", "no length works: order a longer slip"),
    (3.0, -4.0, "No length works", "no length works: order a longer slip"),
    (-1.0, -1.0, "No length works", "no length works: order a longer slip"),
])  # fmt: skip
def test_every_case_of_how_far_off_the_length_may_be(longer: float, shorter: float, says: str, short: str) -> None:
    """Rounded so that what is told still works: less room, and more that it must be changed by."""
    display = edited(Build(), {"display.length": "millimetre"}).display
    assert _room_words(longer, shorter, display).startswith(says)
    assert _length_short(display, {"longer_mm": longer, "shorter_mm": shorter}, None) == [short]


def test_no_way_out_asks_for_what_cannot_be_entered(monkeypatch: pytest.MonkeyPatch, one_piece: Build) -> None:
    """With every range made so narrow that values offered lie beyond it, none of those is offered."""
    flat = {f"{end}_point_mm": (2600.0, y, 390.0) for end, y in (("frame", 450.0), ("axle", -450.0))}
    linked = edited(one_piece, {"lateral_link": flat})
    high = {f"plan.{end}_lift_{name}": by for end in ("front", "rear") for name, by in (("mm", 850.0), ("by", "block"))}
    builds = [
        edited(sample("ranch_truck_swap"), {"shaft.slip.spline_diameter_mm": 100.0}),
        sample("lifted_short_shaft"),
        edited(linked, {"plan.front_lift_mm": 150.0, "plan.rear_lift_mm": 150.0}),
    ]

    def asked(build: Build) -> set[tuple[str, float]]:
        ways = [way for one in solve(build).findings for way in (one.remedy, *one.alternatives) if way is not None]
        for way in ways:
            edited(build, way.changes)
        return {(path, value) for way in ways for path, value in way.changes.items()}

    asked(edited(linked, high))  # 338 mm longer would centre the axle, where 300 can be entered
    offered = set().union(*map(asked, builds))
    within = {path: max(abs(value) for name, value in offered if name == path) / 2.0 for path, _ in offered}
    assert {"plan.axle_shim_deg", "plan.mount_shim_mm", "plan.lateral_link_longer_mm"} <= within.keys()
    assert within["shaft.slip.stroke_mm"] > 75.0
    for module in (ways_out, search):
        monkeypatch.setattr(
            module, "range_of", lambda path: (-within[path], within[path]) if path in within else range_of(path)
        )
    narrow = set().union(*map(asked, builds))
    assert {path for path, value in narrow if abs(value) > within.get(path, 1e9)} <= {"shaft.slip.engaged_mm"}
    assert narrow
