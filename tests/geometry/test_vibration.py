"""Suspects of a vibration: orders by plain arithmetic, and what each feeling, each finding and each test decides.

Order analysis: what turns n times a second shakes n times a second when it is heavy on one side, and a cross that runs
bent twice a turn (textbooks of machine vibration; the second order of a universal joint in any handbook, from memory).
"""

from dataclasses import replace
from math import pi
from pathlib import Path
from typing import Any, get_args

import pytest

from geometry import Build, Solution, edited, solve, value_at
from geometry.judge.codes import WORDS
from geometry.words.solve import Work, solved
from geometry.words.speeds import SMOOTH, over_speed
from geometry.words.study import study
from geometry.words.vibration import (
    _CAUSES,
    NEAR_CRITICAL,
    NEAR_HALF,
    Diagnosis,
    Felt,
    Sounds,
    Suspect,
    Under,
    _at_speed,
    _meaning,
    _test,
    diagnosis,
    turning_of,
)

SAMPLES = Path(__file__).parents[2] / "sample_builds"
RANCH, VAN, RIG, DOUBLE = (
    Build.model_validate_json((SAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    for name in ("ranch_truck_swap", "long_van_two_piece", "front_axle_lift", "transfer_case_double_joint")
)
BARE = edited(
    Build(), {"vehicle.tyre_turns_per_km": 450.0, "axle.ratio": 4.0, "powertrain.gear_ratios": (4.0, 2.0, 1.0)}
)
SOLVED = {id(one): solve(one) for one in (RANCH, VAN, RIG, BARE)}


def found(build: Build, felt: Felt) -> Diagnosis:
    return diagnosis(build, SOLVED.get(id(build)) or solve(build), felt)


def suspect(one: Diagnosis, key: str) -> Suspect:
    return next(each for each in (*one.suspects, *one.cleared) if each.key == key)


def whirling(whole: Solution, *critical_rpm: float) -> Solution:
    """The answer with other critical speeds of its shaft's sections."""
    sections = tuple(
        replace(one, critical_rpm=rpm) for one, rpm in zip(whole.shaft.sections, critical_rpm, strict=True)
    )
    return replace(whole, shaft=replace(whole.shaft, critical_rpm=min(critical_rpm), sections=sections))


def test_wheel_shaft_and_engine_turn_as_arithmetic_says() -> None:
    """80 km/h at 450 turns a kilometre: 10 a second; times 4 the shaft; times 2 the engine in second gear."""
    turning = turning_of(BARE, SOLVED[id(BARE)], Felt(speed_kmh=80.0, gear=2))
    assert turning.wheel_hz == pytest.approx(80.0 / 3600.0 * 450.0)
    assert turning.shaft_hz == pytest.approx(40.0)
    assert turning.engine_hz == pytest.approx(80.0)
    by_radius = edited(BARE, {"vehicle.tyre_turns_per_km": None, "vehicle.rear_tyre_radius_mm": 350.0})
    wheel = turning_of(by_radius, solve(by_radius), Felt(speed_kmh=80.0)).wheel_hz
    assert wheel == pytest.approx(80.0 / 3.6 / (2.0 * pi * 0.35))
    front = turning_of(RIG, SOLVED[id(RIG)], Felt(speed_kmh=50.0)).wheel_hz
    assert front == pytest.approx(50.0 / 3.6 / (2.0 * pi * RIG.vehicle.front_tyre_radius_mm / 1000.0))  # type: ignore[union-attr, operator]
    assert turning_of(BARE, SOLVED[id(BARE)], Felt(speed_kmh=80.0, gear=9)).engine_hz is None
    assert turning_of(BARE, SOLVED[id(BARE)], Felt(engine_rpm=1800.0)).engine_hz == 30.0


def test_the_shafts_speed_is_that_of_the_answer() -> None:
    """At cruise the shaft turns as the solution says, and so far below its critical speed."""
    whole = SOLVED[id(RANCH)]
    turning = turning_of(RANCH, whole, Felt(speed_kmh=RANCH.vehicle.cruise_speed_kmh))  # type: ignore[union-attr]
    assert turning.shaft_hz is not None
    assert turning.shaft_hz * 60.0 == pytest.approx(whole.shaft.cruise_rpm)
    assert turning.critical_share == pytest.approx(whole.shaft.cruise_rpm / whole.shaft.critical_rpm)  # type: ignore[operator]


@pytest.mark.parametrize("build", [RANCH, VAN, RIG, BARE], ids=["ranch", "van", "rig", "bare"])
@pytest.mark.parametrize("turns", [None, 430.0])
def test_speeds_are_those_of_the_judge_at_every_speed(build: Build, turns: float | None) -> None:
    """The same formulas, whichever of radius and turns tells them."""
    build = build if turns is None else edited(build, {"vehicle.tyre_turns_per_km": turns})
    ratio = value_at(build, "axle.ratio")
    for speed in (15.0, 140.0):
        at = edited(build, {"vehicle.cruise_speed_kmh": speed, "vehicle.top_speed_kmh": None})
        cruise, turning = solve(at).shaft.cruise_rpm, turning_of(at, SOLVED[id(BARE)], Felt(speed_kmh=speed))
        assert turning.shaft_hz is not None
        assert turning.wheel_hz is not None
        assert turning.shaft_hz * 60.0 == pytest.approx(cruise, rel=1e-12)
        assert turning.wheel_hz * ratio == pytest.approx(turning.shaft_hz, rel=1e-12)


def test_a_shaft_is_suspected_of_whirl_where_its_finding_is_not_clear() -> None:
    """At the lines of the limits table, 0.65 and 0.08 of half, with a speedometer off by 4 per cent: plain numbers."""
    assert pytest.approx(0.65 / 1.04) == NEAR_CRITICAL
    assert pytest.approx(0.08 + 0.04) == NEAR_HALF


@pytest.mark.parametrize(
    ("hz", "key"), [(10.0, "wheel"), (40.0, "balance"), (80.0, "joints"), (39.0, "balance"), (82.0, "joints")]
)
def test_the_frequency_names_what_turns_so_often(hz: float, key: str) -> None:
    told = found(BARE, Felt(speed_kmh=80.0, frequency_hz=hz))
    assert told.suspects[0].key == key
    assert told.suspects[0].agrees is True
    assert told.suspects[0].expected_hz == pytest.approx(hz, rel=0.04)


@pytest.mark.parametrize("hz", [25.0, 55.0, 120.0])
def test_what_is_of_no_order_agrees_with_nothing_known(hz: float) -> None:
    told = found(BARE, Felt(speed_kmh=80.0, frequency_hz=hz))
    assert not any(one.agrees for one in (*told.suspects, *told.cleared))
    assert any("would be" in reason for reason in suspect(told, "balance").reasons)
    assert suspect(told, "gears").agrees is None


@pytest.mark.parametrize("order", [0.5, 1.0, 1.5, 2.0, 3.0, 4.0])
def test_an_engine_shakes_at_half_orders_and_as_its_cylinders_fire(order: float) -> None:
    told = found(BARE, Felt(speed_kmh=80.0, engine_rpm=2940.0, frequency_hz=49.0 * order))
    assert suspect(told, "engine").agrees is True
    assert suspect(found(BARE, Felt(speed_kmh=80.0, engine_rpm=2940.0, frequency_hz=40.0)), "engine").agrees is False


@pytest.mark.parametrize("under", get_args(Under))
@pytest.mark.parametrize("sounds", get_args(Sounds))
def test_how_it_feels_counts_for_or_against_each_and_is_said(sounds: Sounds, under: Under) -> None:
    bare = found(BARE, Felt(speed_kmh=80.0))
    felt = found(BARE, Felt(speed_kmh=80.0, sounds=sounds, under=under))
    for one in (*felt.suspects, *felt.cleared):
        if one.key == "windup":
            continue
        before = suspect(bare, one.key)
        said = " ".join(reason for reason in one.reasons if reason not in before.reasons)
        like = 1 if f"a {sounds} is like it" in said else -2
        fits = 0 if "it may be felt" in said else -2 if "not to be expected" in said else 1
        assert one.points - before.points == like + fits
        assert "not like it" in said or "too fast" in said or like == 1
        assert fits == 0 or "to be expected" in said


def test_what_is_too_slow_is_not_heard_and_what_is_too_fast_is_not_felt() -> None:
    """The ear begins at 20 Hz (any text on hearing); a seat shakes up to some 50 (common practice)."""
    hum, shudder = found(BARE, Felt(speed_kmh=35.0, sounds="hum")), found(BARE, Felt(speed_kmh=80.0, sounds="shudder"))
    assert "18 Hz is too slow to be heard as a hum" in suspect(hum, "balance").reasons  # 35 km/h: 17.5 a second
    assert "a hum is like it" in suspect(hum, "joints").reasons
    assert "80 Hz is too fast to be felt as a shudder" in suspect(shudder, "joints").reasons
    assert "a shudder is like it" in suspect(shudder, "balance").reasons


def test_what_the_build_holds_or_clears_moves_its_suspect() -> None:
    whole = SOLVED[id(RANCH)]
    for verdict, points in (("hold", 2), ("caution", 1), ("clear", -1), ("unknown", 0)):
        findings = tuple(replace(one, verdict=verdict) for one in whole.findings)
        told = diagnosis(RANCH, replace(whole, findings=findings), Felt())
        assert suspect(told, "joints").points == suspect(told, "windup").points == points
        assert suspect(told, "dry_joint").points == 0  # a joint may be worn at any angle
        growls = diagnosis(RANCH, replace(whole, findings=findings), Felt(sounds="growl"))
        assert suspect(growls, "dry_joint").points == 1 + (points > 0)
        assert suspect(told, "balance").points == 0


def test_uneven_running_is_judged_at_the_speed_at_which_it_is_felt() -> None:
    """It grows with the square of the speed: 349 rad/s² at 98 km/h warn beyond 300, hold beyond 400 at 105 km/h."""
    verdicts = {speed: _at_speed(RANCH, speed)["pinion_residual", "rear_joint"] for speed in (85.0, 98.0, 107.0)}
    assert list(verdicts.values()) == ["clear", "caution", "hold"]
    for speed, verdict in verdicts.items():
        at = edited(RANCH, {"vehicle.cruise_speed_kmh": speed, "vehicle.top_speed_kmh": speed})
        assert next(one for one in solve(at).findings if one.id == "pinion_residual").verdict == verdict
        joints = suspect(found(RANCH, Felt(speed_kmh=speed)), "joints")
        assert ("“Uneven running at the pinion”" in " ".join(joints.reasons)) == (verdict != "clear")
    assert "“Uneven running at the pinion” holds at this speed" in joints.reasons
    assert joints.finding == ("pinion_residual", "rear_joint")


def test_a_shaft_whirls_only_near_its_critical_speed() -> None:
    whole = SOLVED[id(RANCH)]
    speed = 96.0
    rpm = 60.0 * (turning_of(RANCH, whole, Felt(speed_kmh=speed)).shaft_hz or 0.0)
    near, far = whirling(whole, rpm / (NEAR_CRITICAL + 0.02)), whirling(whole, rpm / (NEAR_CRITICAL - 0.02))
    felt = Felt(speed_kmh=speed)
    assert (
        suspect(diagnosis(RANCH, near, felt), "whirl").points - suspect(diagnosis(RANCH, far, felt), "whirl").points
        == 7
    )
    half = whirling(whole, 2.0 * rpm)
    assert (
        suspect(diagnosis(RANCH, half, felt), "half_whirl").points
        > suspect(diagnosis(RANCH, far, felt), "half_whirl").points
    )


def test_wind_up_is_of_pulling_away() -> None:
    slow, fast = (found(RANCH, Felt(speed_kmh=speed, sounds="shudder", under="pull")) for speed in (15.0, 96.0))
    assert slow.suspects[0].key == "windup"
    assert suspect(fast, "windup").cleared == "“Even under cruise torque” is clear"
    whole = SOLVED[id(RANCH)]
    warns = replace(whole, findings=tuple(replace(one, verdict="caution") for one in whole.findings))
    towing = suspect(diagnosis(RANCH, warns, Felt(speed_kmh=96.0, under="pull")), "windup")
    assert not towing.cleared
    assert towing.points == suspect(slow, "windup").points - 4  # no shudder told, and less at this speed
    for under in ("coast", "neutral", "all"):
        assert suspect(found(RANCH, Felt(speed_kmh=15.0, under=under)), "windup").cleared


MPH = 1.609344
HUM, SHUDDER, GROWL, CLUNK = ({"sounds": one} for one in get_args(Sounds))


@pytest.mark.parametrize(
    ("build", "mph", "felt", "keys"),
    [
        (RANCH, 62, HUM | {"under": "gear"}, ["joints", "engine", "gears"]),  # goes away in neutral
        (RANCH, 62, HUM | {"under": "neutral"}, ["balance", "joints"]),
        (RANCH, 12, SHUDDER | {"under": "pull"}, ["windup", "joints", "engine"]),  # pulling away
        (VAN, 12, SHUDDER | {"under": "pull"}, ["bearing", "windup"]),
        (RANCH, 45, GROWL | {"under": "coast"}, ["gears"]),
        (VAN, 40, GROWL | {"under": "all"}, ["dry_joint", "bearing"]),
        (RANCH, 60, SHUDDER | {"under": "all", "frequency_hz": 10.0}, ["wheel"]),  # the seat shakes
        (RANCH, 60, SHUDDER | {"frequency_hz": 20.8}, ["wheel"]),  # a tyre that is oval
        (RANCH, 55, HUM | {"under": "all"}, ["balance", "joints"]),
        (RANCH, 55, HUM | {"under": "all", "frequency_hz": 74.0}, ["joints"]),  # a boom in all gears
        (RANCH, 70, HUM | {"frequency_hz": 47.0}, ["balance"]),
        (RANCH, 5, CLUNK | {"under": "pull"}, ["dry_joint", "engine", "gears"]),  # when taking up
        (RANCH, 60, HUM | {"under": "pull", "gear": 3, "cylinders": 6, "frequency_hz": 183.0}, ["engine"]),
    ],
)
def test_complaints_that_a_shaft_builder_hears(build: Build, mph: float, felt: dict[str, Any], keys: list[str]) -> None:
    """What leads, by common practice; the frequencies by the orders at that speed."""
    told = found(build, Felt(speed_kmh=mph * MPH, **felt))
    assert [one.key for one in told.suspects[: len(keys)]] == keys


def test_a_support_bearing_is_suspected_only_where_there_is_one() -> None:
    felt = Felt(speed_kmh=60.0, sounds="growl", under="pull")
    assert any(one.key == "bearing" for one in found(VAN, felt).suspects)
    assert not any(one.key == "bearing" for one in found(RANCH, felt).suspects)


@pytest.mark.parametrize("under", [None, *get_args(Under)])
def test_the_next_test_tells_the_first_two_apart_whatever_they_are(under: Under | None) -> None:
    base = [suspect(found(VAN, Felt(speed_kmh=80.0)), one.key) for one in _CAUSES]
    for first in base:
        for second in base:
            if first.key != second.key:
                says = _test((first, replace(second, points=first.points)), Felt(speed_kmh=80.0, under=under))
                assert says
                assert under not in {"gear", "neutral", "all"} or "Coast in neutral" not in says  # it is answered
                if {first.key, second.key} == {"wheel", "balance"}:
                    assert f"about {first.expected_hz:.0f} Hz is" in says
                    assert f"about {second.expected_hz:.0f} Hz" in says
                    there = _test((first, second), Felt(speed_kmh=80.0, frequency_hz=55.0, under="all"))
                    assert there.startswith("Swap the wheels")


def test_a_test_confirms_what_leads_by_far_and_what_stands_alone() -> None:
    told = found(RANCH, Felt(60.0 * MPH, 10.0, "shudder", "all"))
    assert told.suspects[0].points - told.suspects[1].points >= 4
    assert told.test.startswith("Swap the wheels")
    assert _test(told.suspects[:1], Felt()).startswith("Swap the wheels")
    two = (replace(suspect(told, "joints"), points=9), replace(suspect(told, "half_whirl"), points=0))
    assert _test(two, Felt(under="pull")).startswith("Drive slower")


def test_no_phone_is_read_in_pulling_away_nor_where_two_are_as_fast() -> None:
    balance, joints = (suspect(found(RANCH, Felt(speed_kmh=96.0)), key) for key in ("balance", "joints"))
    assert "phone" in _test((balance, joints), Felt(96.0))
    assert "phone" not in _test((balance, joints), Felt(20.0))
    assert "phone" not in _test((balance, joints), Felt(96.0, 81.0))
    assert "phone" not in _test((balance, suspect(found(RANCH, Felt(96.0)), "whirl")), Felt(96.0))


def test_what_is_wanted_is_what_is_not_entered() -> None:
    assert found(RANCH, Felt(speed_kmh=80.0, gear=1)).wants == ()
    assert found(BARE, Felt(speed_kmh=80.0, gear=1)).wants == ("shaft.tube.outer_diameter_mm",)  # may it whirl?
    assert found(Build(), Felt(speed_kmh=80.0, gear=1)).wants == (
        "vehicle.rear_tyre_radius_mm", "axle.ratio", "powertrain.gear_ratios"
    )  # fmt: skip
    assert found(Build(), Felt()).wants == ()
    nothing = found(Build(), Felt(frequency_hz=30.0))
    assert all(one.agrees is None for one in nothing.suspects)


def test_the_order_that_agrees_is_the_frequency_that_is_told() -> None:
    """A four-stroke engine fires half as often a turn as it has cylinders: twice with four, three times with six."""
    felt = Felt(speed_kmh=96.0, engine_rpm=2436.0, frequency_hz=81.2)
    engine = suspect(found(RANCH, felt), "engine")
    assert engine.expected_hz == pytest.approx(81.2)
    assert "twice a turn of the engine, as felt: the beat of 4 cylinders" in engine.reasons
    four = suspect(found(RANCH, replace(felt, cylinders=4)), "engine")
    assert four.points == engine.points + 2
    six = suspect(found(RANCH, replace(felt, cylinders=6)), "engine")
    assert six.cleared == "three times a turn of the engine would be 122 Hz, not 81 Hz"
    misses = suspect(found(RANCH, replace(felt, cylinders=6, frequency_hz=20.3)), "engine")
    assert "once in two turns of the engine, as felt: a cylinder that misses" in misses.reasons
    oval = suspect(found(BARE, Felt(speed_kmh=80.0, frequency_hz=20.0)), "wheel")
    assert "twice a turn of the wheels, as felt: a tyre out of round" in oval.reasons


@pytest.mark.parametrize(
    ("order", "of", "cylinders", "means"),
    [
        (1.0, "wheel", None, ""), (2.0, "wheel", None, ": a tyre out of round"),
        (3.0, "wheel", 4, ": a tyre out of round"),
        (1.0, "shaft", None, ""), (2.0, "shaft", 4, ""),
        (0.5, "engine", None, ": a cylinder that misses"), (1.0, "engine", 4, ": flywheel, clutch or converter"),
        (1.0, "engine", 2, ": the beat of 2 cylinders"), (1.5, "engine", None, ": the beat of 3 cylinders"),
        (4.0, "engine", 8, ": the beat of 8 cylinders"), (2.0, "engine", 6, ": the beat of 4 cylinders"),
    ],
)  # fmt: skip
def test_an_order_means_a_tyre_a_cylinder_or_a_beat(order: float, of: str, cylinders: int | None, means: str) -> None:
    """A tyre out of round shakes more than once a turn, an engine of n cylinders fires n/2 times a turn."""
    assert _meaning(order, of, cylinders) == means


def test_what_the_readings_rule_out_is_no_suspect_and_says_by_which() -> None:
    """By its frequency, by the shaft's speed, by the road speed, by findings that tell all of it: and no other way."""
    for build in (RANCH, VAN, BARE):
        for hz in (None, 10.0, 40.0, 80.0, 55.0):
            for speed in (20.0, 96.0):
                told = found(build, Felt(speed, hz))
                keys = [one.key for one in (*told.suspects, *told.cleared)]
                assert len(set(keys)) == len(keys) == (10 if build is VAN else 9)
                for one in told.cleared:
                    assert one.cleared in one.reasons
                    assert any(
                        word in one.cleared for word in ("would be", "critical speed", "without pull", "is clear")
                    )
                for one in told.suspects:
                    assert not one.cleared
                    assert one.agrees is not False or one.key in {"bearing", "dry_joint"}
                assert {one.key for one in told.suspects} >= {"gears", "dry_joint"}


def test_findings_alone_rule_out_nothing() -> None:
    """A shaft may be put together a tooth out, and be felt at another speed than the finding is of."""
    whole = SOLVED[id(VAN)]
    for verdict in ("clear", "unknown"):
        findings = tuple(replace(one, verdict=verdict) for one in whole.findings)
        told = diagnosis(VAN, replace(whole, findings=findings), Felt(sounds="hum"))
        assert told.cleared == ()
        assert len(told.suspects) == 10


def test_near_a_critical_speed_a_finding_that_is_clear_at_cruise_clears_nothing() -> None:
    whole = SOLVED[id(RANCH)]
    rpm = 60.0 * (turning_of(RANCH, whole, Felt(speed_kmh=60.0)).shaft_hz or 0.0)
    for critical, key in ((2.0 * rpm, "half_whirl"), (rpm / 0.66, "whirl")):
        told = diagnosis(RANCH, whirling(whole, critical), Felt(speed_kmh=60.0))
        assert suspect(told, key).points == 2
        assert not suspect(told, key).cleared


def test_a_frequency_that_agrees_outweighs_clear_findings() -> None:
    """The readings may be right and the shaft put together a tooth out: what shakes twice a turn stays a suspect."""
    whole = SOLVED[id(RANCH)]
    clear = replace(whole, findings=tuple(replace(one, verdict="clear") for one in whole.findings))
    shaft = turning_of(RANCH, whole, Felt(speed_kmh=96.0)).shaft_hz or 0.0
    told = diagnosis(RANCH, clear, Felt(speed_kmh=96.0, frequency_hz=2.0 * shaft))
    assert told.suspects[0].key == "joints"


def test_of_a_finding_at_several_joints_the_worst_counts() -> None:
    whole = SOLVED[id(VAN)]
    felt = Felt(speed_kmh=96.0)
    of_reach = [number for number, one in enumerate(whole.findings) if one.id == "joint_bind"]
    assert len(of_reach) > 1
    for worst in of_reach:
        findings = tuple(
            replace(one, verdict="hold" if number == worst else "clear") for number, one in enumerate(whole.findings)
        )
        told = diagnosis(VAN, replace(whole, findings=findings), felt)
        assert "“Joint short of reach” holds" in suspect(told, "dry_joint").reasons
        assert suspect(told, "dry_joint").finding == ("joint_bind", whole.findings[worst].part)


def test_the_loaded_radius_reads_fast_and_rules_nothing_out_by_that() -> None:
    """A tyre rolls on 2 to 4 per cent more than its loaded radius (common practice): so it turns that much slower.

    By 4 per cent, a speedometer that reads 4 per cent fast and half a hertz of the phone besides; none of it upward.
    """
    radius = 1e9 / (2.0 * pi * 450.0 * 1e3)  # turns 450 times a kilometre, if it rolled on that
    by_radius = edited(BARE, {"vehicle.tyre_turns_per_km": None, "vehicle.rear_tyre_radius_mm": radius})
    for key, order in (("balance", 1.0), ("joints", 2.0)):
        for share, by_turns, by_loaded in (
            (1.0, True, True),
            (0.925, False, True),
            (1.06, False, False),
            (0.90, False, False),
        ):
            felt = Felt(speed_kmh=80.0, frequency_hz=40.0 * order * share)
            for build, agrees in ((BARE, by_turns), (by_radius, by_loaded)):
                one = suspect(found(build, felt), key)
                assert (one.agrees, bool(one.cleared)) == (agrees, not agrees)
    tachometer = Felt(speed_kmh=80.0, engine_rpm=2400.0, cylinders=6, frequency_hz=120.0 * 0.925)
    assert not suspect(found(by_radius, tachometer), "engine").agrees  # read, not reckoned by the radius
    assert suspect(found(by_radius, replace(tachometer, engine_rpm=None, gear=3)), "engine").agrees
    whole = solve(by_radius)
    for rpm, near in ((2400.0, True), (2400.0 / 1.15, True), (2400.0 / 1.18, False), (2400.0 / 0.87, False)):
        told = diagnosis(by_radius, whirling(whole, 2.0 * rpm), Felt(speed_kmh=80.0))
        assert bool(suspect(told, "half_whirl").cleared) != near


def test_each_section_of_a_shaft_has_its_own_half_critical_speed() -> None:
    """It looked at the softer section alone: the other one was stirred, and ruled out."""
    whole = SOLVED[id(VAN)]
    felt = Felt(speed_kmh=96.0)
    rpm = 60.0 * (turning_of(VAN, whole, felt).shaft_hz or 0.0)
    for critical, name in (((2.0 * rpm, 1.6 * rpm), "front"), ((1.6 * rpm, 2.05 * rpm), "rear")):
        told = suspect(diagnosis(VAN, whirling(whole, *critical), felt), "half_whirl")
        assert not told.cleared
        assert f"% of its {name} section's critical speed" in " ".join(told.reasons)
    for critical in ((1.6 * rpm, 2.5 * rpm), (2.5 * rpm, 3.5 * rpm)):
        assert suspect(diagnosis(VAN, whirling(whole, *critical), felt), "half_whirl").cleared
    softest = diagnosis(VAN, whirling(whole, 3.5 * rpm, 1.25 * rpm), felt)
    assert "the shaft turns at 80 % of its rear section's critical speed" in suspect(softest, "whirl").reasons
    assert softest.turning.critical_share == pytest.approx(0.8)


@pytest.mark.parametrize("build", [RANCH, VAN, RIG, DOUBLE], ids=["ranch", "van", "rig", "double"])
def test_the_same_speed_has_the_same_verdict_wherever_it_is_told(build: Build) -> None:
    """Over speed, of a vibration, over a range of the cruising speed, and in the answer itself."""
    most = 130.0
    over = over_speed(build, most)
    by_range = study(edited(build, {"vehicle.top_speed_kmh": None}), {"vehicle.cruise_speed_kmh": over.speeds_kmh})
    for row in range(20, over.speeds_kmh.size, 23):
        speed = float(over.speeds_kmh[row])
        told = {(one.id, one.part): WORDS[one.judged.verdict.item(row)] for one in over.findings}
        assert {key: verdict for key, verdict in told.items() if verdict} == _at_speed(build, speed)
        there = solved(
            Work(edited(build, {"vehicle.cruise_speed_kmh": speed, "vehicle.top_speed_kmh": speed})), with_ways=False
        )
        assert told.items() >= {(one.id, one.part): one.verdict for one in there.findings if one.id in SMOOTH}.items()
        of_range = {(one.id, one.part): WORDS[one.judged.verdict.item(row)] for one in by_range.findings}
        for key, verdict in told.items():
            if key[0] != "critical_speed":  # which is of the highest speed, there the engine's
                assert of_range[key] == verdict
