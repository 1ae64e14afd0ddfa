"""What is not measured decides nothing: no entry taken out turns a finding clear, or makes it one that is not asked.

Every build is judged once, with a row for each entry, and for some pairs of them, in which it is not entered.
"""

import re
from collections.abc import Iterator, Sequence

import numpy as np
import pytest

from geometry import Build, edited, solve, value_at
from geometry.document.entries import Variants, variants
from geometry.judge import judge
from geometry.judge.codes import CLEAR, NOT_ASKED, UNKNOWN, WORDS, Found, finding_id
from geometry.judge.facts import Facts
from geometry.words.tolerance import tolerances_of
from tests.geometry.strategies import SAMPLES, entries_of, parts_of, sample
from tests.geometry.test_no_entry_is_dead import pool

GRANTED = re.compile(
    # Left empty these are taken as usual, and what hangs on them says so.
    r"powertrain\.(shock_factor|efficiency|gear_ratios)|.*yield_mpa|use\.(front|rear)_settling_mm|use\.(driver|fuel)_(kg|x_mm)"
    r"|use\.(front|rear)_mount_settling_mm|perches\.weld_pull_deg"
    # In their stead another measurement counts: the rate, the springs on their perches.
    r"|use\.(front|rear)_sag_mm|suspension\.stop_spacing_mm"
    # Wishes; what is told of a load that nobody names; the same load for tape and gauge; what lies in the clamp.
    r"|plan\..*|.*\.(gap_mm|slack_mm)|axle\.caster_wanted_deg|state\.taped_load_kg|clamp\.(block|wedge)_mm"
    # On its tyres, as somebody says, it stands on a level floor unless the rail tells otherwise.
    r"|state\.rail_slope_deg"
)
OF_TWO = {
    "stick_slope": r"readings\.shaft_slope_deg|powertrain\..*|axle\..*|shaft\.bearing_mm",
    "tape_length": r"readings\.shaft_length_mm|powertrain\..*|axle\..*|shaft\.bearing_mm",
    "spring_station": r"suspension\..*|axle\.centre_mm",
    "axle_station": r"axle\.centre_mm|vehicle\.wheelbase_mm",
    "axle_height": r"axle\.centre_mm|vehicle\..*_tyre_radius_mm",
    "speeds_agree": r"vehicle\..*|powertrain\.redline_rpm|axle\.ratio",
    "cap_size": r".*\.(cap_mm|span_mm)",
    "end_fits": r".*_end\..*|shaft\.slip\..*",
}
"""Two readings of one thing that do not agree: with either of them gone there is nothing that could."""
OWN = {
    "joint_life": r"shaft\..*\.life_rating_nm", "seal_travel": r"shaft\.slip\.seal_travel_mm",
    "ubolt_reserve": r"clamp\.leg_mm", "ubolt_straddles": r"clamp\.spring_width_mm",
    "bearing_centred": r"shaft\.bearing_off_centre_mm", "bearing_square": r"shaft\.bearing_(slope|plan)_deg",
    "perch_spacing": r"perches\.springs_apart_mm", "perch_chain": r"perches\.flange_to_flange_mm",
    "perch_casting": r"perches\.casting_gap_mm",
}  # fmt: skip
"""Entries that a finding is about: asked only of who has measured them."""
ONE = {"pinion_nose_down": "pinion_nose_up", "tail_up": "tail_down"}
"""Two findings on one value, of which the second one tells that it is not known."""


def without(build: Build, sets: Sequence[tuple[str, ...]]) -> Variants:
    """A row for each set of entries, in which none of them is entered."""
    values, columns = dict(entries_of(build)), dict[str, np.ndarray]()
    for path in {path for some in sets for path in some}:
        lost = np.array([path in some for some in sets])
        for part, value in parts_of(path, values[path]).items():
            columns[part] = np.where(lost, np.nan, value)
    return variants(build, columns)


def turned(build: Build, pairs: int = 0) -> Iterator[str]:
    """What is clear, or not asked, with one or two entries taken out, and was neither before."""
    entries = [path for path, _ in entries_of(build) if not GRANTED.fullmatch(path)]
    rng = np.random.default_rng(len(entries))
    some = [tuple(str(one) for one in rng.choice(entries, 2, replace=False)) for _ in range(pairs)]
    sets = [(), *((path,) for path in entries), *some]
    found = judge(without(build, sets), positions=41)
    for key, one in found.items():
        name = finding_id(key)
        its = re.compile("|".join(rule for rule in (OF_TWO.get(name), OWN.get(name)) if rule) or r"(?!)")
        verdict = np.where(one.verdict == NOT_ASKED, _beside(found, key, name), one.verdict)
        for row in np.flatnonzero((verdict <= CLEAR) & (verdict[0] > CLEAR)):
            if not any(its.fullmatch(path) for path in sets[row]):
                was, now = WORDS[verdict[0]], WORDS[verdict[row]] or "not asked"
                yield f"{' and '.join(sets[row])} out: {key} {was}, now {now}"


def _beside(found: Found, key: tuple[str, str], name: str) -> np.ndarray:
    """Unknown where the finding on the same value is, which speaks for both."""
    other = found.get((ONE.get(name, ""), key[1]))
    return np.zeros(1, np.uint8) if other is None else np.where(other.verdict == UNKNOWN, UNKNOWN, NOT_ASKED)


def whole(name: str) -> Build:
    """A sample with its states; what is in the way is held to the same law one by one, in `test_judge_rows`."""
    build = Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return edited(build, {"obstacles": ()})


NAMES = sorted(path.stem for path in SAMPLES.glob("*.json"))
LIFTS = {"as it is": None, "lowered": ("spring", -45.0), "by a block": ("block", -45.0), "lifted": ("spring", 70.0)}


def lifted(build: Build, lift: str) -> Build:
    if LIFTS[lift] is None:
        return build
    by, rise = LIFTS[lift]
    end = "front" if value_at(build, "axle.end") == "front" else "rear"
    return edited(build, {f"plan.{end}_lift_by": by, f"plan.{end}_lift_mm": rise})


@pytest.mark.parametrize("lift", LIFTS)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_of_a_sample_is_decided_by_what_is_lost(name: str, lift: str) -> None:
    assert list(turned(lifted(whole(name), lift), pairs=15)) == []


@pytest.mark.parametrize("number", [2, 3, 8, 10, 11, 12])
def test_nothing_of_a_build_with_every_entry_is_decided_by_what_is_lost(number: int) -> None:
    assert list(turned(edited(pool()[number], {"obstacles": ()}))) == []


@pytest.mark.parametrize("name", [name for name in NAMES if not name.startswith("three")])
def test_a_tail_up_or_a_nose_down_is_not_cleared_by_what_is_lost(name: str) -> None:
    """Without the other axle's rate nobody knows how far the rail tips empty: a tail 0.8° up was clear then."""
    build = whole(name)
    way = -1.0 if value_at(build, "axle.end") == "front" else 1.0
    over = edited(build, {
        "powertrain.slope_deg": -0.8, "axle.pinion_slope_deg": way * -3.8, "vehicle.other_axle_rate_n_per_mm": 40.0,
        "state": {"springs": "settled", "front_load_kg": 300.0, "rear_load_kg": 300.0},
        "use": {"front_least_kg": 0.0, "front_most_kg": 300.0, "rear_least_kg": 0.0, "rear_most_kg": 300.0},
    })  # fmt: skip
    assert list(turned(over)) == []


# --- each as it was found ---------------------------------------------------------------------------------------------

RANCH, VAN = sample("ranch_truck_swap"), whole("long_van_two_piece")


def verdict(build: Build, name: str, part: str = "") -> str:
    """Verdict of a finding; "not asked" where there is none."""
    found = judge(variants(build), positions=41)
    return next((WORDS[one.verdict[0]] for key, one in found.items() if key[0] == name and part in key[1]), "") or (
        "not asked"
    )


def test_how_much_bump_a_load_leaves_is_not_known_without_the_rate() -> None:
    """It bottoms laden by far: 350 kg on 45 N/mm let it down by 38 of its 40 mm, hand calculation."""
    loads = {"state": {"springs": "settled", "rear_load_kg": 0.0, "front_load_kg": 0.0},
             "use": {"rear_most_kg": 350.0, "front_most_kg": 0.0}, "suspension.bump_mm": 40.0}  # fmt: skip
    laden = edited(RANCH, loads)
    assert verdict(laden, "bump_left") == "hold"
    assert verdict(edited(laden, {"suspension.rate_n_per_mm": None}), "bump_left") == "unknown"


@pytest.mark.parametrize("lost", [
    "use.rear_most_kg", "state.springs", "state.driver_in", "state.fuel_share",
])  # fmt: skip
def test_what_is_not_said_of_a_state_clears_nothing(lost: str) -> None:
    """Each alone takes more of the bump than is left."""
    told: dict[str, object] = {
        "state": {"springs": "settled", "rear_load_kg": 0.0, "front_load_kg": 0.0},
        "use": {"rear_most_kg": 0.0, "front_most_kg": 0.0},
    }
    alone: dict[str, dict[str, object]] = {
        "use.rear_most_kg": {"use.rear_most_kg": 300.0},
        "state.springs": {"state.springs": "new"},
        "state.driver_in": {"state.driver_in": False, "use.driver_kg": 200.0},
        "state.fuel_share": {"state.fuel_share": 0.0, "use.fuel_kg": 200.0},
    }
    build = edited(RANCH, {**told, "suspension.bump_mm": 40.0 if lost == "use.rear_most_kg" else 30.0, **alone[lost]})
    was, now = (verdict(one, "bump_left") for one in (build, edited(build, {lost: None})))
    assert was in {"caution", "hold"}
    assert now != "clear"
    assert now != "not asked"


def test_an_axle_that_may_have_been_laden_when_it_was_measured_may_stand_higher_empty() -> None:
    """Measured with all of its load it stands 33 mm higher without; with nobody saying so, it may."""
    laden = {"state": {"springs": "settled", "rear_load_kg": 300.0, "front_load_kg": 0.0},
             "use": {"rear_most_kg": 300.0, "front_most_kg": 0.0}}  # fmt: skip
    turned_so = set()
    for slope in np.linspace(2.0, 12.0, 11):
        build = edited(RANCH, {**laden, "axle.pinion_slope_deg": float(slope)})
        lost = judge(variants(edited(build, {"state.rear_load_kg": None})), positions=41)
        for key, one in judge(variants(build), positions=41).items():
            assert one.verdict[0] <= CLEAR or lost[key].verdict[0] > CLEAR, key
            turned_so |= {key[0]} if one.verdict[0] > UNKNOWN and lost[key].verdict[0] == UNKNOWN else set()
    assert turned_so


def test_it_is_named_what_of_a_state_is_not_said() -> None:
    """Settled by 20 mm more the bump is used up, and nobody says whether the springs were new."""
    build = edited(RANCH, {
        "state": {"rear_load_kg": 0.0, "front_load_kg": 0.0}, "use": {"rear_most_kg": 60.0, "front_most_kg": 0.0},
        "suspension.bump_mm": 40.0, "vehicle.other_axle_rate_n_per_mm": 40.0,
    })  # fmt: skip
    found = next(one for one in solve(build).findings if one.id == "bump_left")
    assert (found.verdict, found.entry) == ("unknown", "state.springs")
    assert "whether the springs were new or settled" in found.says
    said = next(one for one in solve(edited(build, {"state.springs": "settled"})).findings if one.id == "bump_left")
    assert said.verdict == "clear"


def test_a_joint_that_may_run_straight_in_a_state_that_is_lost_is_not_cleared_between_its_stops() -> None:
    """Empty it stands 44 mm higher and has passed 0°: with the rate that is seen, without it nobody knows."""
    loads = {"state": {"springs": "settled", "rear_load_kg": 400.0, "front_load_kg": 0.0},
             "use": {"rear_most_kg": 400.0, "front_most_kg": 0.0}}  # fmt: skip
    seen = []
    (x, _, z), (back, _, up) = RANCH.powertrain.output_joint_mm, RANCH.axle.centre_mm
    flat = {
        "powertrain.output_joint_mm": (x, 0.0, z), "axle.centre_mm": (back, 0.0, up), "powertrain.plan_deg": 0.0,
        "axle.pinion_plan_deg": 0.0, "axle.pinion_offset_mm": 0.0, "obstacles": (),
    }  # fmt: skip
    for slope in np.linspace(4.0, 14.0, 21):
        build = edited(RANCH, {**loads, **flat, "axle.pinion_slope_deg": float(slope)})
        was, now = (
            verdict(one, "operating_angle_least", "rear")
            for one in (build, edited(build, {"suspension.rate_n_per_mm": None}))
        )
        assert (was, now) != ("caution", "clear")
        seen.append(was)
    assert {"caution", "clear"} <= set(seen)


def test_the_caster_of_an_axle_that_is_turned_to_a_slope_wants_the_slope_it_had() -> None:
    rig = edited(sample("front_axle_lift"), {"plan.perches": "loose", "plan.pinion_slope_deg": -6.0})
    assert verdict(rig, "caster") == "caution"
    lost = edited(rig, {"axle.pinion_slope_deg": None})
    found = next(one for one in solve(lost).findings if one.id == "caster")
    assert (found.verdict, found.entry) == ("unknown", "axle.pinion_slope_deg")


def test_a_thick_tube_leaves_no_room_that_a_usual_one_would() -> None:
    """Tube of 180 mm, 110 mm from its spring less 15: 5 mm are left; nobody knows without it."""
    build = edited(RANCH, {
        "plan.rear_lift_mm": -15.0, "plan.rear_lift_by": "block", "suspension.seat_to_axle_mm": 110.0,
        "axle.tube_diameter_mm": 180.0,
    })  # fmt: skip
    assert verdict(build, "block_room") == "caution"
    assert verdict(edited(build, {"axle.tube_diameter_mm": None}), "block_room") == "unknown"


def test_a_seal_that_is_too_short_as_launch_winds_the_axle_up_is_not_cleared_by_a_torque_that_is_open() -> None:
    build = edited(RANCH, {"suspension.bump_squash_mm": 20.0, "suspension.rate_n_per_mm": 20.0})
    with np.errstate(all="ignore"):
        made = Facts(variants(build), 41).made
        still = Facts(variants(edited(build, {"powertrain.low_range": None, "suspension.rate_n_per_mm": 1e3})), 41).made
        wound, rest = (float(np.ravel(one.most_mm - one.least_mm)[0]) for one in (made, still))
    assert wound > rest + 1.0
    short = edited(build, {"shaft.slip.seal_travel_mm": (wound + rest) / 2.0})
    assert verdict(short, "seal_travel") == "caution"
    for lost in ("powertrain.low_range", "vehicle.mass_centre_height_mm", "axle.efficiency", "vehicle.tyre_grip"):
        assert verdict(edited(short, {lost: None}), "seal_travel") in {"unknown", "caution"}
    assert verdict(edited(short, {"suspension.rate_n_per_mm": None}), "seal_travel") == "unknown"


def test_an_engine_of_unknown_height_may_be_as_near_as_its_length_lets_it() -> None:
    """A shelf behind the engine's rear face, nearer than the gap that is wanted, and above a low gearbox."""
    x, _, z = RANCH.powertrain.output_joint_mm
    shelf = {"name": "shelf", "outline_mm": tuple((x - 690.0 + a, z + 250.0 + b) for a, b in
                                                 ((0.0, 0.0), (60.0, 0.0), (60.0, 10.0), (0.0, 10.0)))}  # fmt: skip
    build = edited(RANCH, {
        "obstacles": (shelf,), "powertrain.gearbox_length_mm": 700.0, "powertrain.gearbox_height_mm": 200.0,
        "powertrain.engine_length_mm": 500.0, "powertrain.engine_height_mm": 700.0, "powertrain.slope_deg": 0.0,
    })  # fmt: skip
    assert verdict(build, "gap_1") == "hold"
    lost = edited(build, {"powertrain.engine_height_mm": None})
    found = next(one for one in solve(lost).findings if one.id == "gap_1")
    assert (found.verdict, found.entry) == ("unknown", "powertrain.engine_height_mm")


def test_the_highest_speed_is_judged_without_the_cruising_one() -> None:
    """Uneven by the square of the speed: by hand from cruise, and the same with nobody saying how fast it cruises."""
    truck = edited(RANCH, {"axle.pinion_slope_deg": 6.5})
    both, alone = (
        {one.id: one for one in solve(build).findings}
        for build in (truck, edited(truck, {"vehicle.cruise_speed_kmh": None}))
    )
    answer = solve(truck).shaft
    assert both["residual_at_top"].value == pytest.approx(
        both["pinion_residual"].value * (answer.max_rpm / answer.cruise_rpm) ** 2
    )
    assert alone["residual_at_top"].value == pytest.approx(both["residual_at_top"].value)
    assert alone["residual_at_top"].verdict == both["residual_at_top"].verdict


# --- how far off the middle a pinion lies, with nobody saying so ------------------------------------------------------


def _of_offsets(build: Build, offsets: np.ndarray) -> Iterator[tuple[tuple[str, str], np.ndarray, int]]:
    """Each finding with its verdicts over offsets that are entered, and its verdict with none."""
    lost = judge(variants(edited(build, {OFFSET: None})), positions=41)
    for key, one in judge(variants(build, {OFFSET: offsets}), positions=41).items():
        yield key, np.broadcast_to(one.verdict, offsets.shape), int(lost[key].verdict[0])


OFFSET = "axle.pinion_offset_mm"


@pytest.mark.parametrize("output_mm", [-420.0, -260.0, 0.0, 310.0])
def test_a_front_axles_offset_that_is_lost_decides_nothing_that_it_could_turn(output_mm: float) -> None:
    """Its pinion may lie anywhere along the tube: taken as nought, a shaft of 780 mm stood 18° aside."""
    rig = sample("front_axle_lift")
    x, _, z = rig.powertrain.output_joint_mm
    rig = edited(rig, {"powertrain.output_joint_mm": (x, output_mm, z)})
    turned_so = 0
    for key, told, lost in _of_offsets(rig, np.linspace(-600.0, 600.0, 61)):
        judged_as = {int(code) for code in told if code not in (NOT_ASKED, UNKNOWN)}
        if len(judged_as) > 1:
            turned_so += 1
            assert lost == UNKNOWN, (key, judged_as)
        elif judged_as:
            assert lost in {UNKNOWN, *judged_as}, key
    assert turned_so > 6
    found = [one for one in solve(edited(rig, {OFFSET: None})).findings if one.verdict == "unknown"]
    assert {one.entry for one in found} == {OFFSET}
    assert all("pinion offset" in one.says for one in found)
    told = solve(edited(rig, {OFFSET: None}))
    assert told.setpoints.shaft_length_mm is told.setpoints.shaft_slope_deg is told.order.length_mm is None
    assert [one.operating_deg for one in told.joints] == [None, None]
    # It is drawn in line with its output, as from the side it is the same wherever its pinion lies.
    whole, drawn = (solve(one).picture.pinion_joint_mm for one in (rig, edited(rig, {OFFSET: None})))
    assert whole is not None
    assert drawn == pytest.approx((whole[0], output_mm, whole[2]))


def test_an_output_off_the_middle_tells_of_a_pinion_that_may_be_as_far_off() -> None:
    """A rear axle whose pinion is 180 mm aside, in line with its output: in the middle its joints would bind."""
    x, _, z = RANCH.powertrain.output_joint_mm
    aside = edited(RANCH, {"powertrain.output_joint_mm": (x, 195.0, z), OFFSET: 180.0})
    in_line = {key: told[0] for key, told, _ in _of_offsets(aside, np.array([180.0, 0.0]))}
    for key, told, lost in _of_offsets(aside, np.array([180.0, 0.0])):
        if told[0] != told[1] and NOT_ASKED not in told:
            assert lost == UNKNOWN, key
    assert in_line["ends_parallel", "shaft"] == verdict_code(RANCH, "ends_parallel", "shaft")


def verdict_code(build: Build, *key: str) -> int:
    return int(judge(variants(build), positions=41)[key[0], key[1]].verdict[0])


# --- nought is a reading ----------------------------------------------------------------------------------------------

A_HAIR = 1e-7


def at_nought(build: Build) -> Iterator[tuple[str, Build, Build]]:
    """Each number of a build that may be nought: at nought, and a hair above it, finer than any gauge or tape reads."""
    for path, value in entries_of(build):
        for part in parts_of(path, value):
            place = part.removeprefix(path).lstrip(".")
            nil, hair = (
                tuple(at if number == int(place) else one for number, one in enumerate(value)) if place else at
                for at in (0.0, A_HAIR)
            )
            try:
                yield part, edited(build, {path: nil}), edited(build, {path: hair})
            except ValueError:  # which may not be nought
                continue


@pytest.mark.parametrize("name", NAMES)
def test_nought_is_a_reading(name: str) -> None:
    """What is known of a thing that reads a hair is known where it reads nought."""
    for path, *two in at_nought(whole(name)):
        nil, hair = (judge(variants(one)) for one in two)
        for key in nil.keys() & hair.keys():
            assert (nil[key].verdict[0] == UNKNOWN) == (hair[key].verdict[0] == UNKNOWN), (path, key)


@pytest.mark.parametrize("mounts", ["fixed", "loose"])
def test_a_front_mount_right_over_the_axle_is_measured(mounts: str) -> None:
    over = edited(RANCH, {"plan.mounts": mounts, "powertrain.front_mount_mm": (0.0, 640.0)})
    names = {one.name for one in tolerances_of(over)}
    assert {"fixed": "rear mount", "loose": "output slope"}[mounts] in names


@pytest.mark.parametrize("end", ["front_joint", "rear_joint"])
def test_a_joint_that_may_run_straight_at_some_load_when_it_was_measured_is_not_cleared(end: str) -> None:
    """Measured with all of its load, with half or with none: at each it may pass 0° on another way to its states."""
    x, _, z = RANCH.powertrain.output_joint_mm
    level = {"powertrain.output_joint_mm": (x, RANCH.axle.centre_mm[1] + (RANCH.axle.pinion_offset_mm or 0.0), z),
             "powertrain.plan_deg": 0.0, "axle.pinion_plan_deg": 0.0, "suspension.rate_n_per_mm": 30.0}  # fmt: skip
    build = edited(RANCH, level | {
        "state": {"springs": "settled", "front_load_kg": 0.0}, "use": {"rear_most_kg": 300.0, "front_most_kg": 0.0},
    })  # fmt: skip
    path = "axle.pinion_slope_deg" if end == "rear_joint" else "powertrain.slope_deg"
    slopes = np.linspace(-4.0, 18.0, 111)

    def judged(load: float | None) -> np.ndarray:
        laden = edited(build, {"state.rear_load_kg": load})
        return judge(variants(laden, {path: slopes}))["operating_angle_least", end].verdict

    told, lost = np.array([judged(load) for load in (0.0, 150.0, 300.0)]), judged(None)
    turned = (told > UNKNOWN).any(axis=0)
    assert 10 < turned.sum() < 100
    assert (lost[turned] > CLEAR).all()
    assert (lost == CLEAR).any()


@pytest.mark.parametrize(("load", "says"), [(0.0, "clear"), (300.0, "caution"), (None, "unknown")])
def test_a_front_that_may_have_been_laden_when_it_was_measured_may_stand_higher_empty(
    load: float | None, says: str
) -> None:
    """300 kg on two springs of 30 N/mm are 49 mm, which over a wheelbase of 3,238 tip the tail down by 0.87°."""
    build = edited(RANCH, {
        "state": {"springs": "settled", "rear_load_kg": 0.0, "front_load_kg": load},
        "use": {"front_most_kg": 300.0, "rear_most_kg": 0.0}, "vehicle.other_axle_rate_n_per_mm": 30.0,
        "powertrain.slope_deg": 4.5,
    })  # fmt: skip
    assert verdict(build, "tail_down") == says
