"""How sure the answer is: against the linear law, against solving each draw, and how often the truth lies inside."""

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from geometry import Build, edited, solve
from geometry.document.entries import numeric_paths, unit_of, variants
from geometry.document.sides import swapped
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.judge.limits import LIMITS
from geometry.words.sure import TURN, Chance, Sure, _shares, drawn, in_turns, sure, told_by, tool_of
from tests.geometry.strategies import WHOLE, sample

BOTH = sample("wagon_both_shafts")

HURRY = edited(
    Build(),
    {
        "powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 10.8, "axle.pinion_slope_deg": 4.5,
        "gauge.angle_uncertainty_deg": 0.1,
    },
)  # fmt: skip
SAMPLES = Path(__file__).parents[2] / "sample_builds"
VAN = Build.model_validate_json((SAMPLES / "long_van_two_piece.json").read_text(encoding="utf-8"))
RANCH = Build.model_validate_json((SAMPLES / "ranch_truck_swap.json").read_text(encoding="utf-8"))
READINGS = (
    "stick_slope", "tape_length", "axle_station", "axle_height", "spring_station", "gauge_resolution", "perch_chain",
)  # fmt: skip


def half(found: Sure, name: str) -> float:
    one = next(one for one in found.intervals if one.name == name)
    return (one.high - one.low) / 2.0


def chance(found: Sure, name: str, part: str = "") -> Chance:
    return next(one for one in found.findings if one.id == name and (not part or one.part == part))


PLAIN = dict.fromkeys(("axle.pinion_drop_mm", "axle.pinion_offset_mm", "axle.pinion_plan_deg", "powertrain.plan_deg"))
"""What the linear law of `solve` leaves out: how far the pinion's joint is known to lie off the axle's centre."""
BARE = {**PLAIN, "obstacles": (), "flexible_lines": (), "shocks": (), "use": None,
        "state.rail_slope_deg": None, "perches": None, "clamp": None, "square": None}  # fmt: skip
"""Joints alone: what lies beside them has no part in the law and takes minutes to judge in so many draws. Nor does
the law know that the rail was read again with the angles, each reading with a band of its own."""


@pytest.mark.parametrize("build", [HURRY, edited(RANCH, BARE)], ids=["hurry", "ranch"])
def test_intervals_are_those_of_the_linear_law(build: Build) -> None:
    """JCGM 100's law, as `solve` tells it; its 1.96 is the normal's, and sums of few even bands are narrower."""
    whole, found = solve(build), sure(build, 8_000, travel=False)
    for joint in whole.joints:
        assert joint.uncertainty_deg is not None
        assert half(found, f"{joint.name} joint") == pytest.approx(0.965 * joint.uncertainty_deg, rel=0.04)
    for name in ("output", "pinion"):
        assert half(found, name) == pytest.approx(0.095, rel=0.02)  # 95 of 100 of a band of ± 0.1°


def test_the_truth_lies_inside_in_95_of_100_measurings() -> None:
    """4,000 measurings of one vehicle, each off within gauge and tape, each drawn about anew."""
    trials, draws, together = 4_000, 1_000, 16
    with np.errstate(all="ignore"):
        nominal = variants(VAN)
        truth = {name: float(value[0]) for name, value in told_by(Facts(nominal)).items()}
        measured, doubts = drawn(VAN, trials, seed=1), drawn(VAN, together * draws * 5, seed=2)
        rng, inside = np.random.default_rng(3), Counter[str]()
        for first in range(0, trials, together):
            some = rng.permutation(doubts.rows)[: together * draws]
            columns = {
                path: np.repeat(measured[path][first : first + together], draws)
                + doubts[path][some]
                - float(nominal[path])
                for path in measured.columns
            }
            for name, value in told_by(Facts(variants(VAN, columns))).items():
                low, high = np.quantile(value.reshape(together, draws), (0.025, 0.975), axis=1)
                inside[name] += int(((low <= truth[name]) & (truth[name] <= high)).sum())
    assert len(inside) == 7
    for name, count in inside.items():
        assert 0.94 <= count / trials <= 0.96, name


@pytest.mark.parametrize("build", [HURRY, *WHOLE[:3]], ids=["hurry", "first", "second", "third"])
def test_chances_are_counted_on_whole_answers(build: Build) -> None:
    build = edited(build, {"gauge.angle_uncertainty_deg": 0.3, "gauge.tape_uncertainty_mm": 4.0})
    rows = drawn(build, 25)
    answers = [solve(rows.build_at(row)) for row in range(25)]
    found = sure(build, 25)
    assert found.draws == 25
    words = ("clear", "unknown", "caution", "hold")
    for one in found.findings:
        said = Counter(
            next((each.verdict for each in whole.findings if (each.id, each.part) == (one.id, one.part)), "clear")
            for whole in answers
        )
        assert [getattr(one, word) for word in words] == pytest.approx([said[word] / 25 for word in words]), one.id
    # Those about the readings themselves are left out, and can turn the whole in an answer but not here.
    assert all(one.id not in READINGS for one in found.findings)


def test_a_degree_apart_is_heads_or_tails_and_hangs_on_the_two_ends() -> None:
    """|10.8 − 3.5| − |10.8 − 4.5| = 1°, the line: the shaft's reading drops out, output and pinion count alike."""
    found = sure(HURRY, 4_000)
    one = chance(found, "ends_parallel")
    assert one.doubtful
    assert one.clear == pytest.approx(0.5, abs=0.03)
    assert one.caution == pytest.approx(0.5, abs=0.03)
    assert one.again in {"powertrain.slope_deg", "axle.pinion_slope_deg"}
    again = dict(found.again)
    assert again["powertrain.slope_deg"] == pytest.approx(0.5, abs=0.04)
    assert again["axle.pinion_slope_deg"] == pytest.approx(0.5, abs=0.04)
    assert "readings.shaft_slope_deg" not in again
    assert found.findings[0].id == "ends_parallel", "the doubtful stand first"
    for one in found.findings:  # its title names the trouble where that comes out at all
        assert one.bad == (one.caution > 0.0 or one.hold > 0.0)
        assert (one.title == LIMITS[one.id].trouble) == one.bad


def test_the_gauges_zero_drops_out_between_two_gauged_lines_and_counts_against_the_tape() -> None:
    zero = {"gauge.angle_uncertainty_deg": 0.0, "gauge.zero_uncertainty_deg": 0.4}
    stick = sure(edited(HURRY, zero), 500)
    assert half(stick, "front joint") == pytest.approx(0.0, abs=1e-9)
    assert half(stick, "output") == pytest.approx(0.38, rel=0.05)
    taped = sure(edited(RANCH, {**zero, "gauge.tape_uncertainty_mm": 0.0}), 2_000, travel=False)
    joint = next(one for one in solve(RANCH).joints if one.name == "front")
    # The pinion's share also swings its joint; seen from above the joint is bent too, so the cosine's share counts.
    swing = 335.0 / 1292.0
    assert joint.side_deg is not None
    assert joint.operating_deg is not None
    share = abs(joint.side_deg) / joint.operating_deg
    assert half(taped, "front joint") == pytest.approx(0.38 * (1.0 + swing) * share, rel=0.05)


def test_what_each_reading_has_in_the_doubt() -> None:
    """Of 3 a + 4 b, a and b alike, a has 9/25 and b 16/25 of the variance; draws that are not known are left out."""
    rng = np.random.default_rng(5)
    readings = rng.uniform(-1.0, 1.0, (3, 20_000))
    readings -= readings.mean(axis=1, keepdims=True)
    value = 3.0 * readings[0] + 4.0 * readings[1] + 7.0
    assert _shares(value, readings) == pytest.approx([9 / 25, 16 / 25, 0.0], abs=0.02)
    some = np.where(rng.uniform(size=value.size) < 0.5, np.nan, value)
    assert _shares(some, readings) == pytest.approx([9 / 25, 16 / 25, 0.0], abs=0.03)
    assert _shares(np.full(value.size, 7.0), readings).tolist() == [0.0] * 3
    assert _shares(np.where(np.arange(value.size) < 2, value, np.nan), readings).tolist() == [0.0] * 3


@pytest.mark.parametrize("turned", [False, True], ids=["rear", "front"])
def test_what_a_doubt_hangs_on_moves_its_finding(turned: bool) -> None:
    """Each reading that is named, alone as far off as its tool may be, moves the finding whose doubt it is.

    The perches' difference may be either way, and the gauge's zero is one for all: neither is another reading's doubt.
    """
    gauge = {"gauge.angle_uncertainty_deg": 0.3, "gauge.zero_uncertainty_deg": 0.3, "gauge.tape_uncertainty_mm": 2.5}
    build = edited(swapped(BOTH) if turned else BOTH, gauge)
    doubtful = [one for one in sure(build, 1_000, travel=False).findings if one.doubtful]
    hangs = {one.id: one.again or "" for one in doubtful}
    assert "flange_to_perch" in hangs["perches_equal"]
    nominal = variants(build)
    for one in doubtful:
        tool = tool_of(one.again or "")
        if tool is None:
            assert one.again == "gauge.zero_uncertainty_deg"
            continue
        assert one.again is not None
        column = float(nominal[one.again]) + np.array([0.0, {"tape": 2.5, "gauge": 0.3}[tool]])
        value = judge(variants(build, {one.again: column}))[one.id, one.part].value
        assert np.ptp(np.broadcast_to(value, 2)) > 1e-9, (one.id, one.again)


def test_what_is_most_in_doubt_stands_first() -> None:
    """A tail that reads 5° is over its line in half the draws; ends 1.1° apart, ± 0.2°, are clear in an eighth."""
    found = sure(edited(HURRY, {"powertrain.slope_deg": 5.0, "axle.pinion_slope_deg": 6.1}), 500)
    doubtful = [one.doubtful for one in found.findings]
    assert doubtful == sorted(doubtful, reverse=True)
    names = [one.id for one in found.findings if one.doubtful]
    assert names.index("tail_down") < names.index("ends_parallel")
    assert chance(found, "tail_down").clear > 0.4
    assert chance(found, "ends_parallel").clear < 0.2


def test_with_nothing_said_of_gauge_and_tape_nothing_is_in_doubt() -> None:
    found = sure(edited(HURRY, {"gauge": None}), 50)
    assert not any(one.doubtful for one in (found.whole, *found.findings))
    assert found.again == ()
    assert all(one.low == one.high for one in found.intervals)
    assert drawn(Build(), 3).rows == 3
    assert sure(Build(), 3).intervals == ()


def test_turns_count_on_and_the_same_seed_gives_the_same() -> None:
    turns = list(in_turns(HURRY, 3 * TURN))
    assert [one.draws for one in turns] == [TURN, 2 * TURN, 3 * TURN]
    assert turns[-1] == sure(HURRY, 3 * TURN)
    assert turns[-1] != sure(HURRY, 3 * TURN, seed=7)


def test_readings_are_drawn_by_the_tool_that_takes_them() -> None:
    rows = drawn(RANCH, 500)
    gauge, tape = RANCH.gauge.angle_uncertainty_deg, RANCH.gauge.tape_uncertainty_mm  # type: ignore[union-attr]
    assert gauge is not None
    assert tape is not None
    nominal = variants(RANCH)
    for path in rows.columns:
        off = rows[path] - float(nominal[path])
        give = {"deg": gauge, "mm": tape}[unit_of(path)]
        assert np.abs(off).max() <= give
        assert np.abs(off).max() > 0.95 * give
        assert abs(off.mean()) < 0.2 * give
    assert {"powertrain.slope_deg", "axle.centre_mm.2", "suspension.front_half_mm"} <= set(rows.columns)
    assert not any(path.startswith(("plan.", "gauge.", "use.", "obstacles.")) for path in rows.columns)


SEATS = {"perches.seat_left_deg": 0.5, "perches.seat_right_deg": 0.7, "gauge.angle_uncertainty_deg": 0.1}
WHEELS = {"square.wheelbase_left_mm": 3238.0, "square.wheelbase_right_mm": 3241.2, "gauge.tape_uncertainty_mm": 1.0}
LEG = {"clamp": {"pack_height_mm": 50.0, "perch_height_mm": 20.0, "block_mm": 25.0, "wedge_mm": 0.0, "plate_mm": 10.0,
                 "rod_mm": 14.0, "leg_mm": 76.0 + 105.0 + 3.2 + 14.0 + 6.35}, "axle.tube_diameter_mm": 76.0,
       "gauge.tape_uncertainty_mm": 1.0}  # fmt: skip


@pytest.mark.parametrize(("name", "entries", "paths"), [
    ("pad_twist", SEATS, {"perches.seat_left_deg", "perches.seat_right_deg"}),
    ("wheelbases_equal", WHEELS, {"square.wheelbase_left_mm", "square.wheelbase_right_mm"}),
    ("ubolt_reserve", LEG, {f"clamp.{part}_mm" for part in ("pack_height", "perch_height", "block", "leg")}),
])  # fmt: skip
def test_readings_of_the_set_up_on_their_line_are_heads_or_tails(
    name: str, entries: dict[str, object], paths: set[str]
) -> None:
    """A difference of even bands on its clear line: as often over it as under it, whichever reading is off."""
    found = sure(edited(Build(), entries), 2_000)
    one = chance(found, name)
    assert one.doubtful
    assert one.clear == pytest.approx(0.5, abs=0.04)
    assert set(dict(found.again)) == paths


def test_a_block_or_a_gap_of_nought_is_none_and_never_less() -> None:
    tape = {"gauge.tape_uncertainty_mm": 3.0}
    none = drawn(edited(Build(), tape | {"clamp.block_mm": 0.0, "perches.casting_gap_mm": 0.0}), 200)
    assert none.columns == ()
    thin = drawn(edited(Build(), tape | {"clamp.block_mm": 1.0, "perches.casting_gap_mm": 1.0}), 200)
    assert all(thin[path].min() == 0.0 for path in thin.columns)
    assert len(thin.columns) == 2


def test_every_section_is_drawn_or_said_why_not() -> None:
    """What gauge or tape read in a section is drawn, but in those that say how it is to be, or how it is used."""
    left_out = {"gauge", "plan", "use", "obstacles", "order", "tube_stock", "shock_stock", "measured_again"}
    for section in {path.split(".")[0] for path in numeric_paths()} - left_out:
        read = [path for path in numeric_paths() if path.startswith(f"{section}.") and unit_of(path) in {"deg", "mm"}]
        assert not read or any(tool_of(path) for path in read), section


def test_only_angles_and_lengths_are_read_by_gauge_and_tape() -> None:
    for path in numeric_paths():
        tool = tool_of(path)
        assert tool is None or unit_of(path) == {"gauge": "deg", "tape": "mm"}[tool]
    assert tool_of("axle.ratio") is None
    assert tool_of("plan.rear_lift_mm") is None
    assert tool_of("obstacles.0.gap_mm") is None
    with pytest.raises(KeyError):
        unit_of("axle.colour")


@pytest.mark.parametrize("name", ["ranch_truck_swap", "long_van_two_piece"])
def test_the_whole_is_as_bad_as_its_worst_finding_in_every_draw(name: str) -> None:
    """No more often clear than the least clear of its findings, and no less often at hold than the one most held."""
    found = sure(sample(name), 300, travel=False)
    assert len(found.findings) > 10
    assert found.whole.clear <= min(one.clear for one in found.findings)
    assert found.whole.hold >= max(one.hold for one in found.findings)
    assert found.whole.clear + found.whole.unknown + found.whole.caution + found.whole.hold == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["ranch_truck_swap", "lifted_short_shaft"])
def test_the_reading_that_most_doubt_hangs_on_is_taken_again_first(name: str) -> None:
    found = sure(sample(name), 300, travel=False)
    shares = [share for _, share in found.again]
    assert len(set(shares)) > 1
    assert shares == sorted(shares, reverse=True)
    assert 0.5 < sum(shares) <= 1.0 + 1e-9
