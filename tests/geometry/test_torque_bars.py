"""Torque bars, lateral link and drag link: bind by scipy, force by statics, and what is left of the wind-up."""

from math import atan2, degrees, hypot, radians

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from geometry import edited, solve
from geometry.document.entries import variants
from geometry.judge.bracket_ways import bar_ways, bind_at_mm
from geometry.judge.brackets import play_lines_mm
from geometry.judge.codes import CAUTION, CLEAR, HOLD
from geometry.judge.facts import Facts
from geometry.judge.judging import judge
from geometry.mechanics import torque_bar
from geometry.mechanics.vectors import Vector
from tests.geometry.brackets_help import CENTRE, WAGON, axle_at, carried, dense
from tests.geometry.strategies import sample
from tests.geometry.test_judge_findings import HUNG

RANCH = sample("ranch_truck_swap")
RIG = sample("front_axle_lift")
BAR = {"axle_point_mm": (2600.0, -250.0, 260.0), "frame_point_mm": (1900.0, -260.0, 420.0), "float_mm": 20.0}
UNDER = {"axle_point_mm": (3200.0, -300.0, 230.0), "frame_point_mm": (2450.0, -300.0, 320.0), "float_mm": 10.0}
ROWS = 300


def of(build, name: str):
    return next(one for one in solve(build).findings if one.id == name)


def test_a_bar_whose_pivots_lie_over_each_other_has_no_line() -> None:
    """From the side both lie in one point: no lever is told, and nothing is divided by nought."""
    one, centre = Vector(*map(np.float64, (2000.0, 0.0, 300.0))), Vector(*map(np.float64, (2600.0, 0.0, 390.0)))
    other = one._replace(y=np.float64(400.0))
    assert np.isnan(torque_bar.lever_mm(one, other, centre))


def test_random_bars_against_brute_force_over_the_travel() -> None:
    """Of 300 bars the play asked for is that of 201 places; none whose float falls short is clear."""
    random = np.random.default_rng(11)
    axle = np.array([2600.0, 0.0, 300.0]) + random.uniform((-80.0, -400.0, -120.0), (80.0, 400.0, 200.0), (ROWS, 3))
    frame = axle + random.uniform((-1100.0, -60.0, -100.0), (-350.0, 60.0, 300.0), (ROWS, 3))
    play = random.uniform(0.0, 60.0, ROWS)
    columns = {
        f"torque_bars.0.{end}_point_mm.{axis}": at[:, axis]
        for end, at in (("axle", axle), ("frame", frame))
        for axis in range(3)
    }
    found = judge(
        variants(edited(WAGON, {"torque_bars": (BAR,)}), columns | {"torque_bars.0.float_mm": play}), positions=41
    )
    bind, (centre, turn) = found["bar_bind_1", "torque_bars"], axle_at(dense())
    wrong = 0
    for row in range(ROWS):
        apart = [np.linalg.norm(carried(axle[row], *at) - frame[row]) for at in zip(centre, turn, strict=True)]
        asked = max(apart) - min(apart)
        assert bind.value[row] == pytest.approx(asked, abs=0.05)
        if asked > max(play[row], 6.35) + 0.05:
            wrong += 1
            assert bind.verdict[row] == HOLD
        elif asked > max(0.8 * play[row], 3.2) + 0.05:
            assert bind.verdict[row] in {CAUTION, HOLD}
        elif asked < max(0.8 * play[row], 3.2) - 0.05:
            assert bind.verdict[row] == CLEAR
        lever = found["bar_lever_1", "torque_bars"].value[row]
        # Area of the triangle of both pivots and the axle's centre over the bar's half in side view.
        one, two, three = axle[row][[0, 2]], frame[row][[0, 2]], CENTRE[[0, 2]]
        area = abs(np.linalg.det(np.array([two - one, three - one]))) / 2.0
        assert lever == pytest.approx(2.0 * area / hypot(*(two - one)), abs=1e-6)
    assert wrong > 50


def test_the_force_by_statics() -> None:
    """Moments about the axle's centre of all that acts on its housing: the wheels' torque and the bar's pull.

    The textbook condition of balance, sum M = 0 (e.g. Meriam and Kraige, *Engineering Mechanics: Statics*, chapter 3),
    with the moment of the pull as the cross product of its arm and its direction.
    """
    build = edited(RANCH, {"torque_bars": (UNDER,)})
    facts = Facts(variants(build), 41)
    with np.errstate(all="ignore"):
        force = float(np.ravel(facts.fitted.bars[0].force_n)[0])
        torque = float(np.ravel(facts.speeds.torque_nm)[0]) * 3.9
    frame, pivot, centre = (
        np.array(at) for at in (UNDER["frame_point_mm"], UNDER["axle_point_mm"], build.axle.centre_mm)
    )
    along = (frame - pivot) * [1.0, 0.0, 1.0]
    moment = np.cross((pivot - centre) * [1.0, 0.0, 1.0] * 1e-3, force * along / np.linalg.norm(along))[1]
    assert abs(moment) == pytest.approx(torque, rel=1e-9)
    says = of(build, "bar_lever_1").says
    assert f"({force / 1e3:.1f} kN)" in says
    assert f"({force * 1.5 / 1e3:.1f} kN)" in says
    assert "licensed engineer, or the local rule" in says


def test_two_bars_share_the_torque_by_their_levers() -> None:
    """Both turn through one angle, so each pulls as its lever is long, and their moments add up to the torque."""
    short = UNDER | {"axle_point_mm": (3200.0, 300.0, 275.0), "frame_point_mm": (2450.0, 300.0, 365.0)}
    facts = Facts(variants(edited(RANCH, {"torque_bars": (UNDER, short)})))
    with np.errstate(all="ignore"):
        levers, forces = zip(
            *[[float(np.ravel(part)[0]) for part in (one.lever_mm, one.force_n)] for one in facts.fitted.bars],
            strict=True,
        )
        torque = float(np.ravel(facts.speeds.torque_nm)[0]) * 3.9
    assert sum(lever * force for lever, force in zip(levers, forces, strict=True)) == pytest.approx(torque * 1e3)
    assert forces[0] / forces[1] == pytest.approx(levers[0] / levers[1])


def test_a_bar_leaves_of_the_windup_what_its_float_leaves() -> None:
    """With the axle turned that far, the bar's pivots are as far apart as float and bushes let them, by scipy."""
    build = edited(RANCH, {"torque_bars": (UNDER,)})
    free, held = of(RANCH, "windup_launch"), of(build, "windup_launch")
    assert held.value < free.value
    assert "where the torque bar holds it" in held.says
    frame, pivot, centre = (
        np.array(at) for at in (UNDER["frame_point_mm"], UNDER["axle_point_mm"], RANCH.axle.centre_mm)
    )
    was = np.linalg.norm(pivot - frame)

    def missed(turn: float) -> float:
        c, s = np.cos(turn), np.sin(turn)
        x, y, z = pivot - centre
        there = centre + np.array([x * c + z * s, y, z * c - x * s])
        return (abs(np.linalg.norm(there - frame) - was) - 13.2) ** 2

    turn = minimize_scalar(missed, bounds=(0.0, radians(12.0)), method="bounded", options={"xatol": 1e-10}).x
    assert held.value == pytest.approx(degrees(turn), abs=0.12)  # arc over radius, for so small a turn
    stiff = of(edited(build, {"torque_bars.0.float_mm": 0.0}), "windup_launch")
    assert stiff.verdict == "clear"
    loose = of(edited(build, {"torque_bars.0.float_mm": 200.0}), "windup_launch")
    assert loose.value == free.value
    assert "less than its torque bar leaves free" in loose.says


def test_a_bar_holds_cruise_torque_too() -> None:
    """Soft springs wind up by 5.3° in cruise, where the pinion runs unevenly; the bar ends it at its bushes' give."""
    soft = edited(RANCH, {"suspension.rate_n_per_mm": 8.0, "powertrain.cruise_torque_share": 0.6})
    held = edited(soft, {"torque_bars": (UNDER | {"float_mm": 0.0},)})
    assert of(soft, "windup_cruise").verdict == "hold"
    found = of(held, "windup_cruise")
    assert found.verdict == "clear"
    assert "where the torque bar holds it" in found.says
    lever = of(held, "bar_lever_1").value
    assert solve(held).windup.cruise_deg == pytest.approx(degrees(3.2 / lever))  # arc over radius
    free = edited(held, {"torque_bars.0.float_mm": None})
    found = of(free, "windup_cruise")
    assert (found.verdict, found.entry) == ("unknown", "torque_bars.0.float_mm")


def test_a_bar_that_is_not_entered_whole_may_hold_the_axle_where_it_runs_worst() -> None:
    """Uneven at rest, even wound up freely: a bar would hold it anywhere between."""
    low = edited(RANCH, {"powertrain.cruise_torque_share": 0.6, "suspension.rate_n_per_mm": 12.0})
    slopes = np.linspace(-2.0, 4.0, 13)
    builds = [edited(low, {"axle.pinion_slope_deg": float(slope)}) for slope in slopes]
    for build in builds:
        free, bar = (
            of(edited(build, {"torque_bars": bars}), "windup_cruise") for bars in ((), (UNDER | {"float_mm": None},))
        )
        at_rest = of(build, "pinion_residual").verdict
        expected = free.verdict if {free.verdict, at_rest} == {free.verdict} else "unknown"
        if free.verdict == "clear" or at_rest == "clear":
            assert bar.verdict in {expected, "unknown"}
        assert bar.verdict != "clear" or at_rest == "clear"


@pytest.mark.parametrize("turn", [0.0, 4.0])
def test_links_turn_with_the_axle(turn: float) -> None:
    """A wedge turns the link's end about the axle's centre: 200 mm ahead of it and 4° nose up, 14 mm by sine."""
    rig = edited(RIG, {"lateral_link": {
        "frame_point_mm": (-200.0, -420.0, 450.0),
        "axle_point_mm": tuple(np.add(RIG.axle.centre_mm, (-200.0, 430.0, 0.0)).tolist()),
    }, "plan": {"axle_shim_deg": turn}})  # fmt: skip
    rises = 200.0 * np.sin(radians(turn)) * (1.0 if Facts(variants(rig)).axle_turn_deg >= 0.0 else -1.0)
    across = 430.0 + RIG.axle.centre_mm[1] + 420.0
    slope = degrees(atan2(RIG.axle.centre_mm[2] + rises - 450.0, across))
    assert of(rig, "link_slope").value == pytest.approx(abs(slope), abs=0.01)


@pytest.mark.parametrize(
    "entry", ["torque_bars.0.float_mm", "torque_bars.0.frame_point_mm", "torque_bars.0.axle_point_mm"]
)
def test_a_bar_that_is_not_entered_whole_holds_nothing(entry: str) -> None:
    build = edited(RANCH, {"torque_bars": (UNDER,), entry: None})
    free, now = of(RANCH, "windup_launch"), of(build, "windup_launch")
    assert (now.value, now.verdict) == (free.value, free.verdict)
    assert "not counted" in now.says
    whole = edited(RANCH, {"torque_bars": (UNDER,)})
    was = {(one.id, one.part): one.verdict for one in solve(whole).findings}
    for one in solve(build).findings:
        assert one.verdict != "clear" or was[one.id, one.part] == "clear"


def test_what_only_the_bar_leaves_open_names_it() -> None:
    """A shock behind the axle that is too short only as the axle winds up freely."""
    shock = {
        "axle_point_mm": (3440.0, -440.0, 350.0),
        "frame_point_mm": (3400.0, -380.0, 800.0),
        "compressed_mm": 300.0,
    }
    tight = {"shocks": (shock | {"extended_mm": 700.0},), "torque_bars": (UNDER | {"float_mm": 0.0},)}
    whole = edited(RANCH, tight)
    held, free = (of(build, "shock_droop_1").value for build in (whole, edited(whole, {"torque_bars": ()})))
    assert free < held - 2.0
    build = edited(whole, {"shocks.0.extended_mm": 700.0 + 12.7 - (free + held) / 2.0})
    assert of(build, "shock_droop_1").verdict == "clear"
    found = of(edited(build, {"torque_bars.0.float_mm": None}), "shock_droop_1")
    assert (found.verdict, found.entry) == ("unknown", "torque_bars.0.float_mm")


def test_a_bar_through_the_axle_holds_nothing() -> None:
    through = {"axle_point_mm": (3200.0, -300.0, 400.0), "frame_point_mm": (2450.0, -300.0, 420.0), "float_mm": 0.0}
    build = edited(RANCH, {"torque_bars": (through,)})
    assert of(build, "bar_lever_1").verdict == "hold"
    assert "kN" not in of(build, "bar_lever_1").says
    assert of(build, "windup_launch").value == of(RANCH, "windup_launch").value
    assert "as without the torque bar" in of(build, "windup_launch").says


def test_the_bolt_with_the_least_bind_is_found_on_the_grid() -> None:
    """Against a plain loop over the same grid, with the axle moved by scipy."""
    build = edited(WAGON, {"torque_bars": (BAR | {"float_mm": 0.0},), "display.length": "millimetre"})
    centre, turn = axle_at(dense())
    pivots = np.array([carried(np.array(BAR["axle_point_mm"]), *at) for at in zip(centre, turn, strict=True)])
    facts = Facts(variants(build), 41)
    x, z = (grid.ravel() for grid in np.meshgrid(1900.0 + np.arange(-100, 101, 50), 420.0 + np.arange(-100, 101, 50)))
    with np.errstate(all="ignore"):
        binds = bind_at_mm(facts.fitted.bars[0], x, z)
    for bind, *at in zip(binds, x, z, strict=True):
        apart = np.linalg.norm(pivots - [at[0], -260.0, at[1]], axis=1)
        assert np.isnan(bind) or bind == pytest.approx(apart.max() - apart.min(), abs=0.05)
    finding = of(build, "bar_bind_1")
    assert finding.verdict == "hold"
    remedy = finding.remedy
    assert set(remedy.changes) == {"torque_bars.0.frame_point_mm"}
    after = of(edited(build, dict(remedy.changes)), "bar_bind_1")
    assert (after.value, after.verdict) == (pytest.approx(remedy.after), remedy.after_verdict)
    assert after.value < finding.value
    moved = np.subtract(remedy.changes["torque_bars.0.frame_point_mm"], BAR["frame_point_mm"])
    assert moved % 10.0 == pytest.approx([0.0, 0.0, 0.0])
    assert np.abs(moved).max() <= 100.0


@pytest.mark.parametrize("float_mm", [2.0, 6.0, 20.0])
def test_the_bolt_moves_to_the_nearest_place_where_the_bar_is_free_and_to_the_freest(float_mm: float) -> None:
    """Every place within four inches of it in steps of 10 mm, each looked at by itself."""
    facts = Facts(variants(edited(WAGON, {"torque_bars": (BAR | {"float_mm": float_mm},)})), 41)
    around = np.arange(-100.0, 100.1, 10.0)
    with np.errstate(all="ignore"):
        [way] = bar_ways(facts, 0)
        by = np.array([(aft, up) for aft in around for up in around])
        bar = facts.fitted.bars[0]
        bind, clear = bind_at_mm(bar, 1900.0 + by[:, 0], 420.0 + by[:, 1]), play_lines_mm(bar)[0]
    tried = np.column_stack([way.changes[f"torque_bars.0.frame_point_mm.{axis}"] for axis in (0, 2)]) - (1900.0, 420.0)
    free = np.hypot(*by.T)[bind <= clear]
    assert tried[-1].tolist() == by[np.nanargmin(bind)].tolist()
    if free.size:
        assert np.hypot(*tried[0]) == pytest.approx(free.min())


def test_a_bar_whose_lever_only_shrinks_is_not_moved() -> None:
    """With its pivot on the axle's own line there is no place of its bolt that keeps a lever."""
    bar = {"axle_point_mm": (2600.0, -250.0, 300.0), "frame_point_mm": None, "float_mm": 0.0}
    facts = Facts(variants(edited(WAGON, {"torque_bars": (bar,)})), 41)
    with np.errstate(all="ignore"):
        assert list(bar_ways(facts, 0)) == []


def test_without_a_bar_there_is_no_finding() -> None:
    assert not [one for one in solve(WAGON).findings if one.part == "torque_bars"]


# --- links ------------------------------------------------------------------------------------------------------------

LINK = {"frame_point_mm": (120.0, -400.0, 520.0), "axle_point_mm": (100.0, 420.0, 480.0)}


def test_slope_of_the_link_goes_with_the_lift() -> None:
    plain = edited(
        RANCH, {"lateral_link": {"frame_point_mm": (3300.0, -450.0, 520.0), "axle_point_mm": (3290.0, 420.0, 500.0)}}
    )
    lifted = edited(plain, {"plan.rear_lift_mm": 60.0})
    for build, drop in ((plain, 20.0), (lifted, 80.0)):
        with np.errstate(all="ignore"):
            facts = Facts(variants(build))
            across = 870.0 + float(np.ravel(facts.ride.shift.y)[0])
            # The springs turn the axle, and with it the link's end, which stands behind and above its centre.
            turn = radians(float(np.ravel(facts.ride.turn_deg)[0]))
            ahead, above = (3290.0 - RANCH.axle.centre_mm[0], 500.0 - RANCH.axle.centre_mm[2])
            drop -= above * (np.cos(turn) - 1.0) - ahead * np.sin(turn)  # noqa: PLW2901
        found = of(build, "link_slope")
        assert found.value == pytest.approx(degrees(atan2(drop, across)), abs=1e-6)
    assert "left end higher" in of(lifted, "link_slope").says
    assert of(lifted, "link_slope").verdict == "caution"


def test_bump_steer_wants_both_links_alike() -> None:
    alike = {"drag_box_mm": (-300.0, -380.0, 500.0), "drag_axle_mm": (-200.0, 440.0, 460.0)}
    assert of(edited(RIG, {"lateral_link": LINK | alike, "plan": None}), "drag_slope").value == pytest.approx(
        0.0, abs=1e-9
    )
    level = edited(
        RIG,
        {
            "lateral_link": LINK | {"drag_box_mm": (-300.0, -380.0, 460.0), "drag_axle_mm": (-200.0, 440.0, 460.0)},
            "plan": None,
        },
    )
    apart = of(level, "drag_slope")
    assert apart.value == pytest.approx(degrees(atan2(40.0, 820.0)))
    assert apart.verdict == "caution"
    against = {"drag_box_mm": (-300.0, 440.0, 460.0), "drag_axle_mm": (-200.0, -380.0, 500.0)}
    found = of(edited(RIG, {"lateral_link": LINK | against, "plan": None}), "drag_slope")
    assert found.verdict == "caution"
    assert "opposite ways" in found.says
    half = of(edited(RIG, {"lateral_link": LINK | {"drag_box_mm": (-300.0, -380.0, 500.0)}}), "drag_slope")
    assert (half.verdict, half.entry) == ("unknown", "lateral_link.drag_axle_mm")


def test_a_rear_axle_has_no_bump_steer() -> None:
    link = {
        "frame_point_mm": (3300.0, -450.0, 560.0),
        "axle_point_mm": (3290.0, 420.0, 470.0),
        "drag_box_mm": (0.0, 0.0, 500.0),
    }
    assert not [one for one in solve(edited(RANCH, {"lateral_link": link})).findings if one.id == "drag_slope"]


def test_the_float_that_is_wanted_is_for_where_the_axle_surely_goes() -> None:
    """Left empty, nobody knows how far the rubber squashes: told is what bare metal asks for, the least of it."""
    bare, inch, empty = (
        solve(edited(HUNG, {"suspension.bump_squash_mm": squash, "torque_bars.0.frame_point_mm.2": 600.0}))
        for squash in (0.0, 25.0, None)
    )
    wanted = [one.brackets.torque_bars[0].float_wanted_mm for one in (bare, inch, empty) if one.brackets is not None]
    assert wanted[0] == wanted[2] < wanted[1]
