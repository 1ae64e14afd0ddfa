"""Remedies and set-points: what is promised of the whole build is what `solve` then says of it.

Two things are judged here from solutions alone: how a finding stands, and whether it got worse. Nothing of the search
or of its ranking is used.
"""

from collections.abc import Iterator
from typing import Any

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from scipy.optimize import fsolve

from geometry import Build, edited, solve
from geometry.document.sides import swapped
from geometry.judge.codes import CAUTION, CLEAR
from geometry.judge.search import Tried
from geometry.words.brackets import brackets_of
from geometry.words.buying import buying_of
from geometry.words.flexible import lines_to_buy
from geometry.words.remedies import Ranking
from geometry.words.setpoints import setpoints_of
from geometry.words.solution import Finding, Remedy, Solution
from geometry.words.solve import Work
from geometry.words.told import Told
from tests.geometry.strategies import HURRY, builds, plausible, sample
from tests.geometry.told_build import as_planned, deeper

RANK = {"clear": 1, "unknown": 2, "caution": 3, "hold": 4}
"""Verdicts from good to bad; a finding that is not there at all stands before them."""
Key = tuple[str, str]
SAMPLES = (
    "front_axle_lift", "lifted_short_shaft", "long_van_two_piece", "ranch_truck_swap", "transfer_case_double_joint",
)  # fmt: skip
SETTLED = {
    "axle.pinion_plan_deg": 0.0, "powertrain.cruise_torque_share": 0.3, "powertrain.shock_factor": 1.0,
    "vehicle.mass_centre_height_mm": 500.0, "suspension.bump_squash_mm": 10.0, "shaft.slip.spline_diameter_mm": 35.0,
}  # fmt: skip
"""What the shared build leaves to be taken for granted."""


@pytest.fixture(scope="module")
def settled(one_piece: Build) -> Build:
    return edited(one_piece, SETTLED)


def by_key(answer: Solution) -> dict[Key, Finding]:
    return {(one.id, one.part): one for one in answer.findings}


def offered(finding: Finding) -> tuple[Remedy, ...]:
    return (() if finding.remedy is None else (finding.remedy,)) + finding.alternatives


def count(answer: Solution) -> tuple[int, int]:
    """How many findings hold, and how many caution."""
    verdicts = [one.verdict for one in answer.findings]
    return verdicts.count("hold"), verdicts.count("caution")


def beyond(finding: Finding) -> float:
    """How far a value lies beyond the line up to which it is clear."""
    if finding.value is None or finding.limit is None:
        return np.nan
    return max((finding.value - finding.limit) * (1.0 if finding.sense == "at most" else -1.0), 0.0)


def got_worse(before: Finding | None, after: Finding) -> bool:
    """Another verdict, or, where it is not clear, farther beyond its line; by more than the last digits."""
    then, now = (0 if before is None else RANK[before.verdict]), RANK[after.verdict]
    if after.verdict == "clear" or (before is None and after.verdict == "unknown"):
        return False
    if now != then or before is None or after.verdict == "unknown":
        return now > then
    return beyond(after) > beyond(before) * (1.0 + 1e-6) + 1e-6


def meets(answer: Solution) -> bool:
    """Whether a pair of single joints bends the same way twice, so that its ends meet rather than lie parallel."""
    if len(answer.joints) != 2 or any(joint.type != "cardan" for joint in answer.joints):
        return False
    first, second = (joint.side_deg for joint in answer.joints)
    return first is not None and second is not None and first * second > 0.0


def same(one: float | None, other: float | None) -> bool:
    return one == other if one is None or other is None else other == pytest.approx(one, rel=1e-6, abs=1e-6)


class Promises:
    """Every remedy of a build, each beside what `solve` says once it is applied."""

    def __init__(self, build: Build) -> None:
        self.build, self.answer = build, solve(build)
        self.before = by_key(self.answer)
        self._after: dict[str, Solution] = {}

    def after(self, remedy: Remedy) -> Solution:
        key = repr(remedy.changes)
        if key not in self._after:
            self._after[key] = solve(edited(self.build, remedy.changes))
        return self._after[key]

    def all(self) -> Iterator[tuple[Key, Finding, Remedy]]:
        return ((key, one, remedy) for key, one in self.before.items() for remedy in offered(one))

    def hold(self) -> int:
        """Hold every remedy to its word; how many there were."""
        told = 0
        for key, finding, remedy in self.all():
            told += 1
            assert finding.verdict in {"caution", "hold"}
            after = self.after(remedy)
            then = by_key(after)
            assert after.verdict == remedy.verdict, remedy.says
            verdicts = [one.verdict for one in after.findings]
            assert (verdicts.count("hold"), verdicts.count("caution")) == (remedy.holds, remedy.cautions), remedy.says
            self._own(key, finding, remedy, then.get(key))
            worse = {(one.id, one.part): one for one in remedy.worse}
            for other, one in worse.items():
                assert then[other].verdict == one.verdict, (other, remedy.says)
                assert same(one.value, then[other].value), (other, remedy.says)
            for other, one in then.items():
                assert other in worse or not got_worse(self.before.get(other), one), (other, remedy.says)
            held = {other for other, one in then.items() if one.verdict == "hold"}
            held_before = {other for other, one in self.before.items() if one.verdict == "hold"}
            assert held <= held_before, remedy.says
            self._to_be_had(remedy)
            self._said(remedy, after)
        for finding in self.before.values():
            self._ranked(finding)
        return told

    def _own(self, key: Key, finding: Finding, remedy: Remedy, after: Finding | None) -> None:
        """The finding that the remedy is for: as promised, and better than before."""
        if after is None:
            assert remedy.after_verdict == "clear", remedy.says
            return
        assert after.verdict == remedy.after_verdict, remedy.says
        if after.verdict == "unknown":  # the number is told as far as entered, though nothing is judged by it
            told = Work(edited(self.build, remedy.changes)).told
            assert same(remedy.after, told.value(key)), remedy.says
        else:
            assert same(remedy.after, after.value), remedy.says
        assert RANK[after.verdict] < RANK[finding.verdict] or beyond(after) < beyond(finding), (key, remedy.says)

    def _ranked(self, finding: Finding) -> None:
        """Fewest holds first, then fewest cautions, but for ends that meet: those come after parallel ones.

        What holds as before, but clearly farther beyond its line, is a hold more.
        """
        if finding.remedy is None:
            return
        first = self.after(finding.remedy)
        for remedy in finding.alternatives:
            other = self.after(remedy)
            ranks = [(count(one)[0] + deeper(one, self.answer), count(one)[1]) for one in (first, other)]
            if meets(other) and not meets(first):
                assert ranks[0][0] <= ranks[1][0], finding.remedy.says
            else:
                assert ranks[0] <= ranks[1], (finding.remedy.says, remedy.says)

    def _to_be_had(self, remedy: Remedy) -> None:
        """No finer than can be bought, cut or set."""
        inch = self.build.display.length == "inch"
        for path, value in remedy.changes.items():
            if path == "plan.axle_shim_deg":
                assert_whole(value * 2.0)
            elif path == "plan.pinion_slope_deg":
                assert_whole(value * 10.0)
            elif path == "plan.powertrain_slope_deg":
                assert_whole(value * 2.0)
            elif path in {"plan.mount_shim_mm", "plan.lateral_link_longer_mm"}:
                assert_whole(value / 25.4 * 16.0 if inch else value)
            elif path.endswith("phase_deg"):
                assert_whole(value)
            elif path == "shaft.bearing_mm":
                moved = value[2] - self.build.shaft.bearing_mm[2]
                assert value[:2] == self.build.shaft.bearing_mm[:2]
                own = self.build.shaft.bearing_step_mm  # the sleeves and shims that are there
                assert_whole(moved / own if own else moved / 25.4 * 8.0 if inch else moved / 3.0)
            elif path == "shaft.slip.stroke_mm":
                assert_whole(value / 12.7 if inch else value / 10.0)

    def _said(self, remedy: Remedy, after: Solution) -> None:
        """The words do what the changes do: a raise raises, a tube is for its section, slopes are those after."""
        orders, _, outcome = remedy.says.lower().partition(": ")
        for path, value in remedy.changes.items():
            assert self._order(path, value) in orders
        nose, tail = after.angles.pinion_slope_deg, after.angles.output_slope_deg
        if nose is not None and {"plan.axle_shim_deg", "plan.pinion_slope_deg"} & set(remedy.changes):
            nose = -nose if self.build.axle.end == "front" else nose
            lies = f"{abs(nose) + 1e-9:.1f}° {'up' if nose >= 0.0 else 'down'}"
            assert f"pinion {lies if abs(nose) > 0.05 else 'level'}" in outcome
        if tail is not None and {"plan.mount_shim_mm", "plan.powertrain_slope_deg"} & set(remedy.changes):
            lies = f"{abs(tail) + 1e-9:.1f}° tail {'down' if tail >= 0.0 else 'up'}"
            assert f"output {lies if abs(tail) > 0.05 else 'level'}" in outcome
        for one in remedy.worse:
            assert f"({one.verdict})" in outcome or (one.verdict == "unknown" and "; no longer known then: " in outcome)

    def _order(self, path: str, value: Any) -> str:
        """What has to be told to do for a change."""
        if path == "plan.axle_shim_deg":
            links = self.build.suspension is not None and self.build.suspension.kind == "links"
            none = "leave the axle turned as it was measured" if links else "take the wedges out"
            return f"{'raise' if value > 0.0 else 'lower'} the pinion's nose" if value else none
        if path == "plan.mount_shim_mm":
            way = "of shim under the rear mount" if value > 0.0 else "lower the rear mount"
            return way if value else "take the shims out"
        if path == "shaft.bearing_mm":
            return f"{'raise' if value[2] > self.build.shaft.bearing_mm[2] else 'lower'} the support bearing by"
        if path == "plan.lateral_link_longer_mm":
            return "longer" if value > 0.0 else "shorter"
        if path == "shaft.slip.engaged_mm":
            return "longer" if value > self.build.shaft.slip.engaged_mm else "shorter"
        return f"for the {path[6:].partition('_')[0]} section" if path.endswith("_tube.outer_diameter_mm") else ""


def assert_whole(steps: float) -> None:
    assert steps == pytest.approx(round(steps), abs=1e-6)


# A whole build has some 150 entries: shrinking one would take minutes, and the failing build is short enough to read.
WHOLE = {
    "phases": [Phase.explicit, Phase.generate],
    "suppress_health_check": [HealthCheck.too_slow, HealthCheck.data_too_large],
}  # fmt: skip


@settings(max_examples=30, **WHOLE)
@given(build=plausible())
def test_every_remedy_keeps_its_word_for_the_whole_build(build: Build) -> None:
    Promises(build).hold()


@settings(max_examples=20, **WHOLE)
@given(build=builds())
def test_every_remedy_keeps_its_word_where_entries_are_missing(build: Build) -> None:
    Promises(build).hold()


@pytest.mark.parametrize("name", SAMPLES)
def test_every_remedy_of_a_sample_keeps_its_word(name: str) -> None:
    promised = Promises(sample(name))
    wrong = [one for one in promised.answer.findings if one.verdict in {"caution", "hold"}]
    told = promised.hold()
    assert told > 0 or not wrong, [one.id for one in wrong]


@settings(max_examples=10, **WHOLE)
@given(build=builds())
def test_a_hold_without_a_remedy_says_what_would_help(build: Build) -> None:
    helps = ("would help", "Measure again", "turn the axle without a wedge", "would do")
    for finding in solve(build).findings:
        if finding.verdict == "hold" and finding.remedy is None:
            assert any(words in finding.says for words in helps), finding.says


def test_the_short_hauler_is_not_jerked_for_its_inertia() -> None:
    """A half-degree wedge once took the residual from 170 to 611 rad/s², promised as clear."""
    short = sample("lifted_short_shaft")
    for finding in solve(short).findings:
        for remedy in offered(finding):
            residual = by_key(solve(edited(short, remedy.changes)))["pinion_residual", "rear_joint"]
            before = by_key(solve(short))["pinion_residual", "rear_joint"]
            told = {(one.id, one.part): one.value for one in remedy.worse}
            assert RANK[residual.verdict] <= RANK[before.verdict] or (
                told["pinion_residual", "rear_joint"] == pytest.approx(residual.value)
            )


def test_changes_of_two_kinds_together_leave_the_short_shaft_without_a_hold() -> None:
    """No wedge and no shim alone does, as tried here one by one."""
    short = sample("lifted_short_shaft")
    answer = solve(short)
    assert answer.verdict == "hold"
    first = next(one for one in answer.findings if one.remedy is not None)
    together = [one for one in offered(first) if count(solve(edited(short, one.changes)))[0] == 0]
    assert together
    assert len(together[0].changes) > 1
    for path, steps in (
        ("plan.axle_shim_deg", np.arange(-8.0, 8.1, 0.5)), ("plan.mount_shim_mm", np.arange(-32, 33, 4) / 16.0 * 25.4),
    ):  # fmt: skip
        assert all(count(solve(edited(short, {path: float(step)})))[0] > 0 for step in steps)


def overshoot(one: Finding) -> float:
    """How far a finding that holds lies beyond its clear line."""
    assert one.value is not None
    assert one.limit is not None
    return abs(one.value - one.limit)


@pytest.mark.parametrize("swap", [False, True])
@pytest.mark.parametrize("name", [*SAMPLES, "wagon_both_shafts"])
def test_no_way_out_drives_more_holds_farther_in_than_it_ends(name: str, swap: bool) -> None:
    """A wedge that raised a front pinion whose ends were 6.9° apart to 9.9°, as the first way out of a short spline."""
    build = sample(name)
    if swap and not build.drivelines:
        return
    build = swapped(build) if swap else build
    now = by_key(solve(build))
    for finding in now.values():
        for remedy in offered(finding):
            then = by_key(solve(edited(build, remedy.changes)))
            held = [key for key, one in now.items() if one.verdict == "hold"]
            left = [key for key in held if key in then and then[key].verdict == "hold"]
            deeper = [key for key in left if overshoot(then[key]) > 1.06 * overshoot(now[key])]
            assert len(deeper) <= len(held) - len(left), (finding.title, remedy.says)


def test_ends_that_cancel_are_not_set_apart_to_lessen_a_caution() -> None:
    """Common practice: with single joints at both ends the pinion is set parallel to the output, and stays so.

    At 55 mph on 31 in tyres and 4.10 the shaft turns at 2,445 rpm: 9° at both joints is a caution by (9° as rad)^2
    times the square of its speed, 1,618 rad/s^2; half a degree less at one of them leaves it one.
    """
    build = edited(Build(), {
        "powertrain.slope_deg": 2.5, "readings.shaft_slope_deg": 11.5, "axle.pinion_slope_deg": 4.5, "axle.ratio": 4.1,
        "vehicle.rear_tyre_radius_mm": 393.7, "vehicle.cruise_speed_kmh": 88.5,
    })  # fmt: skip
    first = recommended(solve(build))
    assert first is not None
    parallel = solve(edited(build, first.changes))
    assert parallel.setpoints.pinion_slope_deg == 2.5
    assert sum(one.id.startswith("shaft_inertia") for one in parallel.findings if one.verdict == "caution") == 2


# --- parallel first ---------------------------------------------------------------------------------------------------

STICK = {"powertrain.slope_deg": 3.0, "readings.shaft_slope_deg": 8.0, "axle.pinion_slope_deg": 9.0}
"""Output 3°, shaft 8°: the pair cancels where the pinion slopes 3° (parallel) and 13° (ends meeting)."""


@pytest.mark.parametrize("perches", ["welded", "loose"])
def test_parallel_ends_are_offered_before_ends_that_meet(perches: str) -> None:
    build = edited(Build(), STICK | {"plan.perches": perches})
    finding = by_key(solve(build))["ends_parallel", "shaft"]
    slopes = [solve(edited(build, one.changes)).angles.pinion_slope_deg for one in offered(finding)]
    assert slopes == pytest.approx([3.0, 13.0])
    parallel, meeting = offered(finding)
    assert parallel.after_verdict == meeting.after_verdict == "clear"
    assert "against it: pinion nose high 13.0° (caution)" in meeting.says
    against = "against it: wedge too thick 6.0° (caution)"
    assert (against in parallel.says) == (perches == "welded")
    setpoints = solve(build).setpoints
    assert setpoints.pinion_slope_deg == pytest.approx(3.0)
    assert setpoints.axle_shim_deg == (-6.0 if perches == "welded" else None)


def test_ends_that_meet_come_first_where_parallel_ones_are_forbidden() -> None:
    """Parallel would want a wedge of 6.5°, which holds; 13° is reached with 3.5°."""
    build = edited(Build(), STICK | {"axle.pinion_slope_deg": 9.5})
    first, *_ = offered(by_key(solve(build))["ends_parallel", "shaft"])
    slope = solve(edited(build, first.changes)).angles.pinion_slope_deg
    wedge = first.changes["plan.axle_shim_deg"]
    assert abs(wedge) <= 6.0
    assert slope == pytest.approx(9.5 + wedge)
    held = by_key(solve(edited(build, {"plan.axle_shim_deg": -6.5})))
    assert held["wedge_size", "perches"].verdict == "hold"


# --- set-points are one variant ---------------------------------------------------------------------------------------


def tenth(value: float | None) -> float | None:
    return value if value is None else pytest.approx(value, abs=0.05 + 1e-9)


def is_of(build: Build, answer: Solution, setpoints: Any) -> None:
    """Set-points are those of one build and its answer: angles to a tenth, all else as it is planned."""
    plan, shaft = build.plan, build.shaft
    assert setpoints.pinion_slope_deg == tenth(answer.angles.pinion_slope_deg)
    assert setpoints.output_slope_deg == tenth(answer.angles.output_slope_deg)
    for angle in (setpoints.pinion_slope_deg, setpoints.output_slope_deg, setpoints.perch_to_pinion_deg):
        if angle is not None:
            assert_whole(angle * 10.0)
    loose = plan is not None and plan.perches == "loose"
    if answer.angles.pinion_slope_deg is not None:
        wedge = 0.0 if plan is None else plan.axle_shim_deg or 0.0
        assert setpoints.axle_shim_deg == (None if loose else wedge)
    if answer.angles.output_slope_deg is not None:
        shim = 0.0 if plan is None else plan.mount_shim_mm or 0.0
        assert setpoints.mount_shim_mm == (None if plan is not None and plan.mounts == "loose" else shim)
    assert same(setpoints.shaft_length_mm, answer.shaft.length_mm)
    assert same(setpoints.shaft_slope_deg, answer.angles.shaft_slope_deg)
    stroke = None if shaft is None or shaft.slip is None else shaft.slip.stroke_mm
    assert same(setpoints.slip_stroke_mm, stroke)
    bearing = getattr(shaft, "bearing_mm", None)
    assert same(setpoints.bearing_height_mm, None if bearing is None else bearing[2])


def recommended(answer: Solution) -> Remedy | None:
    return next((one.remedy for one in answer.findings if one.remedy is not None), None)


@settings(max_examples=20, **WHOLE)
@given(build=plausible())
def test_set_points_are_those_of_the_first_remedy(build: Build) -> None:
    answer = solve(build)
    remedy = recommended(answer)
    then = build if remedy is None else edited(build, remedy.changes)
    after = answer if remedy is None else solve(then)
    is_of(then, after, answer.setpoints)
    # The engagement and the seat's angle are the changed build's own, as it is set when nothing else is recommended.
    for name in ("slip_engaged_mm", "perch_to_pinion_deg", "shackle_length_mm", "lateral_link_mm"):
        bare = edited(then, {})
        own = getattr(solve(bare).setpoints, name)
        if recommended(after) is None:
            assert same(getattr(answer.setpoints, name), own)


PLANS: dict[str, dict[str, Any]] = {
    "as it is": {},
    "bare": {"plan": None},
    "lifted by block": {"plan.rear_lift_mm": 76.2, "plan.rear_lift_by": "block"},
    "lifted by spring": {"plan.rear_lift_mm": 50.8, "plan.rear_lift_by": "spring"},
    "loose": {"plan.perches": "loose", "plan.mounts": "loose"},
}


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("name", [*SAMPLES, "three_angles_and_a_length"])
def test_set_points_shocks_bars_and_hoses_are_of_one_variant_to_the_last_bit(name: str, plan: str) -> None:
    """Of the build with the remedy applied, by its own plan: whatever it would recommend further."""
    build = edited(sample(name), PLANS[plan])
    answer = solve(build)
    remedy = recommended(answer)
    then = build if remedy is None else edited(build, remedy.changes)
    by_itself = Work(then)
    with np.errstate(all="ignore"):
        own = Told(then, by_itself.facts, {})
        assert answer.setpoints == setpoints_of(own)
        assert answer.buying == buying_of(own)
        assert answer.lines == lines_to_buy(own)
        assert answer.brackets == brackets_of(own)
    assert answer.order == as_planned(then)
    assert answer.order.largest_tubes_mm == as_planned(then).largest_tubes_mm
    after = solve(then)
    if recommended(after) is None:
        for one in ("setpoints", "buying", "lines", "brackets", "order", "states"):
            assert getattr(answer, one) == getattr(after, one)


def test_the_samples_shocks_are_others_with_the_remedy_than_without() -> None:
    """Or the test above would not tell."""
    build = sample("ranch_truck_swap")
    with np.errstate(all="ignore"):
        planned = brackets_of(Told(build, Work(build).facts, {}))
    assert solve(build).brackets != planned


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize("name", SAMPLES)
def test_what_only_lessens_a_finding_is_told_only_where_nothing_mends_it(name: str, plan: str) -> None:
    for finding in solve(edited(sample(name), PLANS[plan])).findings:
        mends = [RANK[one.after_verdict] < RANK[finding.verdict] for one in offered(finding)]
        assert all(mends) or not any(mends), (finding.id, [one.says for one in offered(finding)])


def test_what_nothing_mends_is_still_lessened() -> None:
    """Rows of one finding by hand: the second mends it, the third only lessens it by half."""

    def ranked(*rows: int, offered: bool = True, line: float = 300.0) -> tuple[int, ...]:
        ranking = object.__new__(Ranking)
        key: Key = ("pinion_residual", "shaft")
        ranking.keys = [key]
        ranking.codes = np.array([[CAUTION, CLEAR, CAUTION]])[:, [0, *rows]]
        ranking.before = ranking.codes[:, :1]
        ranking.beyond = np.array([[100.0, 0.0, 50.0]])[:, [0, *rows]]
        ranking.planned, ranking.line = ranking.beyond[:, :1], np.array([line])
        count = len(rows) + 1
        ranking.offered = np.full(count, offered)
        ranking.values = 300.0 + ranking.beyond
        ranking.holds = ranking.cautions = ranking.unknowns = np.zeros(count)
        ranking.margin = np.zeros(count)
        kinds = tuple((str(row),) for row in (0, *rows))
        nothing = np.zeros(count)
        ranking.tried = Tried(None, {}, ({},) * count, kinds, nothing, nothing > 0.0, None)  # type: ignore[arg-type]
        return ranking.ways_out(key)

    assert ranked(1, 2) == (1,)
    assert ranked(2) == (1,)
    assert ranked(1) == (1,)
    assert ranked(2, line=1_100.0) == ()  # of which 50 are less than a twentieth
    assert ranked(1, offered=False) == ranked(2, offered=False) == ()  # another finding would hold instead


@pytest.mark.parametrize("name", SAMPLES)
def test_once_remedies_are_applied_the_set_points_are_those_of_the_plan(name: str) -> None:
    build = sample(name)
    for _ in range(8):
        remedy = recommended(solve(build))
        if remedy is None:
            break
        build = edited(build, remedy.changes)
    else:
        pytest.fail("it never stops recommending")
    answer = solve(build)
    is_of(build, answer, answer.setpoints)


def test_a_plan_that_is_clear_is_what_is_asked_for(one_piece: Build) -> None:
    """Nothing to mend: the wedge planned is the wedge asked for, be it odd."""
    for wedge in (0.0, 0.3, -0.2):
        build = edited(one_piece, {"plan.axle_shim_deg": wedge})
        assert not [one for one in solve(build).findings if offered(one)]
        assert solve(build).setpoints.axle_shim_deg == wedge
        assert solve(build).setpoints.pinion_slope_deg == pytest.approx(3.4 + wedge, abs=1e-9)


@pytest.mark.parametrize("pinion", [2.25, 2.35, 3.25, 3.75, 4.05])
def test_the_pinion_of_the_remedy_and_of_the_set_points_is_one_number(pinion: float) -> None:
    """A gauge that reads quarters: the sentence and the set-point round a half alike."""
    build = edited(Build(), STICK | {"powertrain.slope_deg": pinion, "axle.pinion_slope_deg": pinion + 2.0})
    answer = solve(build)
    remedy = recommended(answer)
    assert remedy is not None
    assert f"pinion {answer.setpoints.pinion_slope_deg:.1f}° up" in remedy.says


@pytest.mark.parametrize("wedge", [0.0, 1.0, -2.5])
def test_a_wedge_changes_nothing_from_the_perchs_flat_to_the_pinion(one_piece: Build, wedge: float) -> None:
    """Pinion 3.4° and seat 0.5° as read. A wedge turns perch and pinion alike: set besides it, it would count twice."""
    answer = solve(edited(one_piece, {"plan.axle_shim_deg": wedge}))
    assert answer.setpoints.perch_to_pinion_deg == pytest.approx(3.4 - 0.5)


def test_where_no_wedge_is_so_thick_the_perches_are_welded_to_the_whole_angle(one_piece: Build) -> None:
    work = Work(edited(one_piece, {"plan.axle_shim_deg": 9.0}))
    points = setpoints_of(Told(work.build, work.facts, {}))
    assert points.perch_to_pinion_deg == pytest.approx(3.4 + 9.0 - 0.5)


# --- loose perches and mounts -----------------------------------------------------------------------------------------


@settings(max_examples=10, **WHOLE)
@given(build=plausible(), slope=st.sampled_from([None, 2.5]))
def test_loose_perches_are_never_told_of_a_wedge(build: Build, slope: float | None) -> None:
    loose = {"plan.perches": "loose", "plan.axle_shim_deg": None, "plan.pinion_slope_deg": slope}
    answer = solve(edited(build, loose))
    assert answer.setpoints.axle_shim_deg is None
    for finding in answer.findings:
        assert finding.id != "wedge_size"
        for remedy in offered(finding):
            assert "plan.axle_shim_deg" not in remedy.changes
            assert "wedge" not in remedy.says
            if "plan.pinion_slope_deg" in remedy.changes:
                assert_whole(10.0 * remedy.changes["plan.pinion_slope_deg"])


def test_a_loose_perch_takes_the_pinion_to_its_slope_on_the_tyres(one_piece: Build) -> None:
    """After an uneven lift the gauge on the pinion reads what was asked for: 5.0°, and the seat's angle follows."""
    plan = {"perches": "loose", "pinion_slope_deg": 5.0, "rear_lift_mm": 40.0, "front_lift_mm": 10.0}
    lifted = solve(edited(one_piece, {"plan": plan}))
    assert lifted.angles.pinion_slope_deg == pytest.approx(5.0, abs=1e-9)


def test_a_loose_pinion_cancels_to_a_tenth() -> None:
    """Output 3.13°, stick 8°: parallel is 3.1° to the tenth, which a half-degree wedge could not meet."""
    build = edited(Build(), STICK | {"powertrain.slope_deg": 3.13, "plan.perches": "loose"})
    remedy = by_key(solve(build))["ends_parallel", "shaft"].remedy
    assert remedy is not None
    assert remedy.changes == {"plan.pinion_slope_deg": pytest.approx(3.1)}


def test_a_loose_engine_is_turned_and_shifted_where_that_helps() -> None:
    """The swap with both loose: some way out sets the engine, and never with a shim."""
    swap = sample("ranch_truck_swap")
    found = set()
    for output in (3.5, 8.0, -4.0):
        build = edited(swap, {
            "plan.mounts": "loose", "plan.mount_shim_mm": None, "plan.powertrain_slope_deg": output,
        })  # fmt: skip
        answer = solve(build)
        assert answer.angles.output_slope_deg == pytest.approx(output, abs=1e-9)
        assert answer.setpoints.mount_shim_mm is None
        for finding in answer.findings:
            for remedy in offered(finding):
                found |= set(remedy.changes)
                assert "shim" not in remedy.says
    assert "plan.powertrain_slope_deg" in found
    assert "plan.mount_shim_mm" not in found


def test_an_engine_that_is_shifted_is_judged_against_what_is_in_its_way(settled: Build) -> None:
    """A shelf 30 mm over the gearbox: raised by 25 mm nothing of the half inch that is needed is left."""
    level = {
        "powertrain.slope_deg": 0.0, "powertrain.gearbox_length_mm": 700.0, "powertrain.gearbox_height_mm": 240.0,
        "powertrain.engine_length_mm": 500.0, "powertrain.engine_height_mm": 200.0, "shaft.phase_deg": 0.0,
        "shaft.front_joint.swing_mm": 95.0, "shaft.rear_joint.swing_mm": 95.0, "plan.mounts": "loose",
        "suspension.bump_squash_mm": 10.0,
    }  # fmt: skip
    shelf = {"name": "shelf", "outline_mm": ((420.0, 900.0), (600.0, 900.0), (600.0, 910.0), (420.0, 910.0))}
    build = edited(settled, {**level, "obstacles": (shelf,)})
    high = by_key(solve(build))["gap_1", "obstacles"]
    assert high.value is not None
    lowered = {**shelf, "outline_mm": tuple((x, z - high.value + 30.0) for x, z in shelf["outline_mm"])}
    values = [
        by_key(solve(edited(build, {"obstacles": (lowered,), "plan.powertrain_shift_mm": (0.0, rise)})))[
            "gap_1", "obstacles"
        ]
        for rise in (0.0, 25.0)
    ]  # fmt: skip
    assert [one.verdict for one in values] == ["clear", "hold"]
    first, second = (one.value for one in values)
    assert first is not None
    assert second is not None
    assert 24.0 < first - second <= 25.0 + 1e-6  # the case's top falls a little toward the rear


# --- a lift by shackle ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lift", [15.0, 30.0, -20.0])
def test_the_shackle_to_make_against_an_arc_solved_by_scipy(one_piece: Build, lift: float) -> None:
    """The same leaf, bent as it is, with its shackle end where the axle comes down by the lift.

    Own construction: an arc of the leaf's length from the fixed eye; its curvature at ride height first, then, kept,
    the slope at the eye with which the axle's centre lies lower by the lift. The shackle is what is left to the pivot.
    """
    spring: Any = one_piece.suspension
    eye, pivot = np.array(spring.front_eye_mm), np.array(spring.shackle_pivot_mm)

    def along(arc: float, curvature: float, start: float) -> Any:
        end = start - curvature * arc
        return eye + np.array([np.sin(start) - np.sin(end), np.cos(start) - np.cos(end)]) / curvature

    def height(curvature: float, start: float) -> float:
        slope = start - curvature * 600.0
        return float(along(600.0, curvature, start)[1] - 60.0 * np.cos(slope))

    def shackle(curvature: float, start: float) -> float:
        return float(np.hypot(*(along(1240.0, curvature, start) - pivot)))

    curvature, start = fsolve(
        lambda u: [shackle(u[0] / 1e3, u[1]) - 110.0, height(u[0] / 1e3, u[1]) - 390.0], [0.3, 0.2], xtol=1e-13
    )  # fmt: skip
    curvature /= 1e3
    (tipped,) = fsolve(lambda u: [height(curvature, u[0]) - (390.0 - lift)], [start], xtol=1e-13)
    plan = {"rear_lift_mm": lift, "front_lift_mm": lift, "rear_lift_by": "shackle"}
    answer = solve(edited(one_piece, {"plan": plan}))
    assert answer.setpoints.shackle_length_mm == pytest.approx(shackle(curvature, tipped), abs=1e-6)
    end = along(1240.0, curvature, tipped)
    lean = float(np.degrees(np.arctan2(abs(end[0] - pivot[0]), abs(end[1] - pivot[1]))))
    leaning = by_key(answer)["shackle_lean", "suspension"]
    assert leaning.value == pytest.approx(lean, abs=1e-6)
    assert leaning.verdict == ("clear" if lean <= 45.0 else "caution" if lean <= 60.0 else "hold")


def test_only_a_lift_by_shackle_asks_for_a_shackle(one_piece: Build) -> None:
    for by in ("spring", "block"):
        plan = {"rear_lift_mm": 20.0, "front_lift_mm": 20.0, "rear_lift_by": by}
        assert solve(edited(one_piece, {"plan": plan})).setpoints.shackle_length_mm is None
    assert solve(edited(one_piece, {"plan.rear_lift_by": "shackle"})).setpoints.shackle_length_mm is None


# --- single ways out --------------------------------------------------------------------------------------------------


def test_a_wedge_is_offered_for_a_pinion_out_of_line(settled: Build) -> None:
    """Pinion 3.5° too low against a parallel pair: wedges that raise it by about as much are the first way out."""
    bad = edited(settled, {"axle.pinion_slope_deg": 0.0, "suspension": None, "vehicle.cruise_speed_kmh": 110.0})
    finding = by_key(solve(bad))["pinion_residual", "rear_joint"]
    assert finding.verdict == "hold"
    assert finding.remedy is not None
    assert finding.remedy.after_verdict == "clear"
    assert finding.remedy.changes == {"plan.axle_shim_deg": 3.5}


def test_a_larger_tube_is_offered_for_a_shaft_that_would_whirl(settled: Build) -> None:
    bad = edited(settled, {"shaft.tube.outer_diameter_mm": 50.8, "shaft.tube.wall_mm": 1.65, "suspension": None,
                             "powertrain.redline_rpm": 7000.0, "powertrain.gear_ratios": (3.0, 0.8),
                             "vehicle.top_speed_kmh": None})  # fmt: skip
    finding = by_key(solve(bad))["critical_speed", "shaft"]
    assert finding.remedy is not None
    assert "shaft.tube.outer_diameter_mm" in finding.remedy.changes
    assert Promises(bad).hold() > 0


def test_a_stronger_tube_is_offered_for_one_that_would_yield(settled: Build) -> None:
    bad = edited(settled, {"shaft.tube.outer_diameter_mm": 38.1, "shaft.tube.wall_mm": 1.65, "suspension": None})
    finding = by_key(solve(bad))["tube_shear", "shaft"]
    assert finding.verdict == "hold"
    assert finding.remedy is not None
    assert finding.remedy.after_verdict == "clear"


def test_no_stock_tube_is_large_enough() -> None:
    """A shaft of 6 m whirls whatever the tube: what would help is said."""
    bad = edited(Build(), {
        "readings.shaft_length_mm": 6000.0, "shaft.tube.outer_diameter_mm": 76.2, "shaft.tube.wall_mm": 2.11,
        "powertrain.redline_rpm": 6000.0, "powertrain.gear_ratios": (1.0,), "powertrain.peak_torque_nm": 10_000.0,
    })  # fmt: skip
    found = by_key(solve(bad))["critical_speed", "shaft"]
    assert found.verdict == "hold"
    assert found.remedy is None
    assert "would help" in found.says


@settings(max_examples=15)
@given(units=st.sampled_from(["inch", "millimetre"]), slope=st.floats(5.1, 8.0))
def test_a_hanging_tail_is_raised(settled: Build, units: str, slope: float) -> None:
    build = edited(settled, {"powertrain.slope_deg": slope, "display.length": units, "suspension": None})
    finding = by_key(solve(build))["tail_down", "powertrain"]
    assert finding.remedy is not None
    after = by_key(solve(edited(build, finding.remedy.changes)))["tail_down", "powertrain"]
    assert after.verdict == "clear"
    assert after.value == pytest.approx(finding.remedy.after, abs=1e-9)


def test_the_hurried_build_is_told_nothing_that_it_cannot_judge() -> None:
    for finding in solve(edited(Build(), HURRY)).findings:
        assert finding.verdict != "unknown" or not offered(finding)


@pytest.mark.parametrize(("pinion", "meet"), [(3.5, False), (3.0, False), (12.0, True), (13.0, True)])
def test_ends_lie_parallel_where_the_pinion_has_the_outputs_slope(pinion: float, meet: bool) -> None:
    """Output 3.5°, shaft 8°: parallel at a pinion of 3.5°, meeting at one of 12.5°; what `_ranked` goes by."""
    lines = {"powertrain.slope_deg": 3.5, "readings.shaft_slope_deg": 8.0, "axle.pinion_slope_deg": pinion}
    assert meets(solve(edited(Build(), lines))) == meet
