"""Whole answers as they were: nothing of one changes unless that is meant. A regression test, and no proof of anything.

`answers.txt` holds one line for each build: a short code for each part of the answer. The builds are those in which
every entry stands (`test_no_entry_is_dead`) and the samples with the states that they are used in, each several times
with some numbers moved, some left out and some words changed; the samples with all of their lines straight, or half a
degree off; and some of what is rare. Where a change is meant, see by
``python -m tests.geometry.test_answers_regression`` which builds and parts it turns, look at some of them, and write
the list down anew with ``… --write``.
"""

import random
import sys
import zlib
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_origin

import numpy as np
import pytest
from pydantic import BaseModel, ValidationError

from geometry import Build, Solution, edited, solve, value_at
from geometry.document.entries import variants
from geometry.document.sides import swapped
from geometry.judge import judge
from geometry.judge.codes import CAUTION, CLEAR, HOLD, NOT_ASKED, UNKNOWN
from geometry.words.again import read_again
from geometry.words.beside import beside
from geometry.words.both import solve_whole
from geometry.words.finding import findings_of
from geometry.words.place import Torque
from geometry.words.plans import choices_of, plan_words, plans
from geometry.words.solve import Work
from geometry.words.speeds import over_speed
from geometry.words.study import map_in_turns, over_range
from geometry.words.sure import sure
from geometry.words.templates import templates_of
from geometry.words.told import Told
from geometry.words.tolerance import tolerances_of
from geometry.words.tubes import tube_options
from geometry.words.vibration import Felt, diagnosis
from tests.geometry.strategies import HURRY, SAMPLES, WHOLE, agreed, entries_of, parts_of, sample
from tests.geometry.test_no_entry_is_dead import ENTRIES, READ, changed, on_carriers, paths_of, pool

LIST = Path(__file__).with_name("answers.txt")
OTHERWISE = ((4, 3), (2, 14))
"""How often each build is told otherwise: how many entries are left out at the most, and how many words changed."""
NEAR = {"output_slope_deg": 3.4, "pinion_slope_deg": 3.6, "shaft_slope_deg": 8.0}
"""Some of what is read again, near to what was to be set."""
OFF_DEG = (0.0, 0.5, -0.5)
"""By how much the lines of the samples that are set straight are off, where a sentence says up, down, left or right."""
POSES: tuple[tuple[float, Torque], ...] = ((0.0, "launch"), (40.0, "none"), (-35.0, "cruise"), (25.0, "launch"))
"""Places of the travel, mm, and torques at which each build is shown."""
FELT = (
    Felt(speed_kmh=80.0, frequency_hz=40.0, sounds="hum", under="pull"),
    Felt(speed_kmh=45.0, frequency_hz=11.0, sounds="shudder", under="coast", gear=2, cylinders=4),
    Felt(speed_kmh=120.0, sounds="growl", under="all", engine_rpm=2600.0, cylinders=6),
    Felt(frequency_hz=22.0, sounds="clunk", under="gear"),
)

CHANGED = (
    "plan.rear_lift_mm", "plan.front_lift_mm", "plan.axle_shim_deg", "plan.pinion_slope_deg", "plan.mount_shim_mm",
    "plan.powertrain_slope_deg", "plan.powertrain_shift_mm.1", "plan.lateral_link_longer_mm", "plan.output_adapter_mm",
    "shaft.bearing_mm.2", "shaft.phase_deg", "shaft.rear_phase_deg", "shaft.tube.outer_diameter_mm",
    "shaft.front_tube.outer_diameter_mm", "shaft.slip.engaged_mm", "shaft.slip.stroke_mm", "shocks.0.compressed_mm",
    "torque_bars.0.frame_point_mm.0", "torque_bars.0.frame_point_mm.2",
)  # fmt: skip
"""What a way out may change: told as an order, a little either way and to nought."""
FORCED = ((UNKNOWN, np.nan), *((code, at) for code in (UNKNOWN, CLEAR, CAUTION, HOLD) for at in (-0.5, 0.0, 0.5)))
"""Verdicts and values that each finding of a build is worded with, besides its own: about nought sentences turn."""


@cache
def bases() -> tuple[Build, ...]:
    both = sample("wagon_both_shafts")
    read = [
        edited(build, {"measured_again": tuple({**READ, **NEAR, "stage": stage} for stage in ("tacked", "welded"))})
        for build in (WHOLE[0], WHOLE[2])
    ]
    used = [Build.model_validate_json(path.read_text(encoding="utf-8")) for path in sorted(SAMPLES.glob("*.json"))]
    return (*WHOLE, *pool(), both, swapped(both), *read, *used)


@cache
def straight() -> tuple[Build, ...]:
    """The samples with every line level and straight ahead, and a little off that to one side or the other."""
    made = []
    for build in WHOLE:
        (x, _, z), (back, _, _) = build.powertrain.output_joint_mm, build.axle.centre_mm
        in_line = {"powertrain.output_joint_mm": (x, 0.0, z), "axle.centre_mm": (back, 0.0, z)}
        for off in OFF_DEG:
            lines = {
                path: off
                for path, _ in entries_of(build)
                if path.endswith(("slope_deg", "plan_deg", "shim_deg", "phase_deg")) and "frame" not in path
            }
            made.append(agreed(edited(build, {**in_line, **lines, "axle.pinion_offset_mm": 2.0 * off})))
    return tuple(made)


@cache
def rare() -> tuple[Build, ...]:
    """What none of the others is: little known, springs lifted by shackles, stands under the frame, drives locked."""
    ranch, _, rig, van, wagon = WHOLE
    both = sample("wagon_both_shafts")
    stick = edited(Build(), HURRY)
    fast = {"axle.ratio": 4.0, "vehicle.rear_tyre_radius_mm": 350.0, "vehicle.cruise_speed_kmh": 170.0}
    doubles = {"shaft": {"kind": "one_piece", "front_joint": {"type": "double_cardan"},
                         "rear_joint": {"type": "constant_velocity"}}}  # fmt: skip
    granted = dict.fromkeys((
        "powertrain.plan_deg", "axle.pinion_plan_deg", "axle.pinion_offset_mm", "axle.pinion_drop_mm",
        "powertrain.cruise_torque_share",
    ))  # fmt: skip
    levels = {"rail_slope_deg": 0.4, "seat_left_deg": 1.0, "seat_right_deg": 0.7, "pinion_slope_deg": 3.0}
    sides = {"flange_to_perch_left_mm": 240.0, "flange_to_perch_right_mm": 241.0, "wheelbase_left_mm": 3238.0}
    again = (
        {"stage": "tacked", "output_slope_deg": 3.0, "shaft_slope_deg": 8.0, **levels, **sides},
        {"stage": "welded", "output_slope_deg": 3.6, "shaft_slope_deg": 8.2, **levels, "wheelbase_right_mm": 3240.0},
        {"stage": "driven", "output_slope_deg": 4.4, "pinion_slope_deg": -3.0, "oil_right": False},
        {"stage": "driven", "pinion_slope_deg": 20.0, "diagonal_left_mm": 1600.0, "diagonal_right_mm": 1604.0},
    )
    used = {"use": {"rear_most_kg": 300.0, "front_most_kg": 100.0, "rear_mount_settling_mm": 5.0}}
    return (
        edited(Build(), {"powertrain.slope_deg": 0.0, "readings.shaft_slope_deg": 0.8, "axle.pinion_slope_deg": 0.0,
                         "shaft.phase_deg": 1.0}),
        stick, edited(stick, fast), edited(stick, fast | doubles), edited(stick, {"plan.axle_shim_deg": 4.5}),
        *(edited(ranch, {"plan.rear_lift_mm": rise, "plan.rear_lift_by": "shackle"}) for rise in (30.0, 60.0, -25.0)),
        *(edited(rig, {"plan.front_lift_mm": rise, "plan.front_lift_by": "shackle"}) for rise in (40.0, -20.0)),
        edited(ranch, {"plan.rear_lift_mm": 150.0}), edited(wagon, {"plan.rear_lift_mm": -60.0, "obstacles": ()}),
        edited(ranch, {"plan.rear_lift_by": "block", "plan.rear_lift_mm": 40.0, "suspension.seat": "under"}),
        edited(pool()[0], {"plan.output_adapter_mm": 0.5, "shaft.front_end.bolt_circle_mm": 90.0}),
        *(edited(build, {"obstacles": on_carriers(build), "powertrain.low_range": 1.0, "powertrain.crank_mm": None,
                         "powertrain.rock_deg": 3.0}) for build in (*WHOLE, both)),
        edited(pool()[0], {"shocks.0.compressed_mm": 480.0, "shock_stock": (
            {"name": "half", "compressed_mm": 300.0}, {"name": "other half", "extended_mm": 600.0},
            {"name": "whole", "compressed_mm": 280.0, "extended_mm": 560.0})}),
        edited(ranch, granted), edited(rig, granted), edited(ranch, {"axle.centre_mm": None}), edited(ranch, used),
        edited(ranch, used | {"suspension.rate_n_per_mm": None}), edited(wagon, used | {"state.springs": "new"}),
        edited(ranch, {"state.on": "frame_stands"}),
        edited(ranch, {"state.on": "axle_stands", "state.rail_slope_deg": 1.0}),
        *(edited(build, {"measured_again": again}) for build in (*WHOLE, both)),
        edited(van, {"vehicle.cruise_speed_kmh": None}), edited(van, {"shaft.bearing_mm": None}),
        edited(ranch, {"vehicle.cruise_speed_kmh": 150.0, "vehicle.top_speed_kmh": 140.0}),
        *(edited(both, {"drivelines.0.drive": drive, "vehicle.tyre_turns_per_km": turns,
                        "drivelines.0.wheels": {"tyre_turns_per_km": 420.0}})
          for drive, turns in (("part_time", 424.0), ("full_time", 430.0), ("part_time", None), (None, 425.0))),
    )  # fmt: skip


def some(rng: random.Random, among: list[Any], most: int) -> list[Any]:
    """A few of a list; by the one function of `random` whose numbers no version may change."""
    return [among[int(rng.random() * len(among))] for _ in range(int(rng.random() * (most + 1)))]


def otherwise(build: Build, rng: random.Random, most_left_out: int, most_words: int) -> Build:
    """The build with half of its numbers moved by some per cent, some entries left out, and some words changed."""
    moved: dict[str, Any] = {}
    for path, value in entries_of(build):
        if rng.random() < 0.5:
            by = 0.93 + 0.14 * rng.random()
            moved[path] = tuple(part * by for part in value) if isinstance(value, tuple) else value * by
    left_out = some(rng, [path for path, _ in entries_of(build)], most_left_out)
    words = [
        (path, other)
        for entry in ENTRIES
        if get_origin(entry.kind) is Literal or entry.kind is bool
        for path in paths_of(entry, build)
        if value_at(build, path) is not None
        for other in changed(entry, value_at(build, path))
    ]
    for path, value in (*moved.items(), *((path, None) for path in left_out), *some(rng, words, most_words)):
        try:
            build = edited(build, {path: value})
        except (ValidationError, KeyError):
            continue  # what cannot be so stays as it was
    return build


def builds(number: int) -> Iterator[tuple[str, Build]]:
    """One of the builds, as it is and otherwise, each with its name."""
    if number >= len(bases()):
        yield f"{number} alone", (*straight(), *rare())[number - len(bases())]
        return
    build = bases()[number]
    yield f"{number} as it is", build
    for time, most in enumerate(OTHERWISE, 1):
        yield f"{number} otherwise {time}", otherwise(build, random.Random(1000 * number + time), *most)


def text(one: object) -> str:
    """Any part of an answer, numbers to four or five digits: moved a little, so that last bits do not count."""
    if isinstance(one, bool) or one is None or isinstance(one, str):
        return str(one)
    if isinstance(one, float | int | np.generic):
        value = float(one)
        return f"{value + 1.3e-6:.4f}" if abs(value) < 1.0 else f"{value * (1.0 + 3.1e-7):.5g}"
    if isinstance(one, tuple | list | np.ndarray):
        return f"({', '.join(map(text, one))})"
    if isinstance(one, BaseModel):
        one = one.model_dump()
    if is_dataclass(one):
        one = {field.name: getattr(one, field.name) for field in fields(one) if field.compare}
    assert isinstance(one, Mapping), f"nobody tells {type(one)} as text"
    return f"{{{', '.join(f'{key}: {text(item)}' for key, item in one.items())}}}"


def worded(told: Told) -> Iterator[tuple[str, str, str, str]]:
    """Every finding that is asked of a build at each verdict that it can have, with a value about nought."""
    for key, judged in told.found.items():
        for code, value in FORCED if judged.verdict[0] != NOT_ASKED else ():
            forced = judged._replace(value=np.full(1, value), verdict=np.full(1, code, np.uint8))
            with suppress(KeyError, IndexError, ValueError), np.errstate(all="ignore"):
                (one,) = findings_of(Told(told.build, told.facts, {key: forced}))
                yield one.title, one.says, one.entry, one.verdict


def ordered(build: Build) -> Iterator[dict[str, str]]:
    """What is told to do for each number that may be changed, to nought, and by a little either way."""
    for path in CHANGED:
        head, _, last = path.rpartition(".")
        with suppress(ValidationError, LookupError, TypeError):  # what this build has not, and what cannot be so
            whole = value_at(build, head if last.isdecimal() else path) or 0.0
            now = whole[int(last)] if isinstance(whole, tuple) else whole
            for value in (0.0, 0.5, -0.5, now + 0.5, now - 0.5):
                yield plan_words(build, {path: value})


NEARLY_NOTHING = (np.nan, 0.0, 0.5, -0.5)


def one_by_one(build: Build) -> Mapping[str, object]:
    """What is judged at ride height with each entry in turn, or each part of a point, lost, at nought and about it."""
    entered = [(path, value) for path, value in entries_of(build) if not path.endswith("gear_ratios")]
    numbers = [part for path, value in entered for part in parts_of(path, value).items()]
    columns = {path: np.full((len(numbers), len(NEARLY_NOTHING)), value) for path, value in numbers}
    for row, (path, _) in enumerate(numbers):
        columns[path][row] = NEARLY_NOTHING
    found = judge(variants(build, {path: column.ravel() for path, column in columns.items()}))
    return {" ".join(key): judged for key, judged in found.items()}


def parts(build: Build) -> dict[str, str]:
    """The parts of an answer, and what is worked out beside it, as text; what takes long of the samples alone."""
    answer = solve(build)
    told: dict[str, Any] = answer.model_dump()
    told["templates"], told["speeds"] = templates_of(build, answer), over_speed(build)
    told["again"], told["whole"] = read_again(build, answer), solve_whole(build) if build.drivelines else None
    told["beside"] = beside((build, answer), (WHOLE[0], first()))
    told["vibration"] = [diagnosis(build, answer, felt) for felt in FELT]
    work = Work(build)
    told["posed"] = [shown and shown.model_dump() for shown in (work.posed(answer, *pose) for pose in POSES)]
    if build in (*WHOLE, *pool(), *straight(), *rare()):
        told["worded"], told["orders"] = [*worded(work.told)], [*ordered(build)]
    if build in (*WHOLE, *pool()) and build.use is None:
        told["one_by_one"] = one_by_one(edited(build, {"obstacles": ()}))
    if build in bases():
        told["sure"], told["choices"] = sure(build, 40, travel=False), choices_of(build)
        told["regions"] = [work.shock_region(index) for index in range(len(build.shocks))]
    if build in WHOLE[:2]:
        told["tolerances"], told["tubes"] = tolerances_of(build), tube_options(build)
        told["range"] = over_range(build, "axle.pinion_slope_deg", -8.0, 12.0, steps=16)
        told["plans"] = plans(build, {"plan.axle_shim_deg": [-2.0, 2.0, 4.0], "plan.mount_shim_mm": [-20.0, 10.0]})
        up = "powertrain.slope_deg", -2.0, 6.0
        told["map"] = [*map_in_turns(build, ("axle.pinion_slope_deg", -4.0, 8.0), up, cells=9)]
    return {name: text(part) for name, part in told.items()}


@cache
def first() -> Solution:
    return solve(WHOLE[0])


def line_of(build: Build) -> str:
    return " ".join(f"{name}:{zlib.crc32(said.encode()):08x}" for name, said in parts(build).items())


def kept() -> dict[str, str]:
    return dict(line.split(" | ") for line in LIST.read_text(encoding="utf-8").splitlines())


def differing(number: int, was: dict[str, str]) -> dict[str, list[str]]:
    """The parts that are otherwise, of one of the builds."""
    now = {name: line_of(build).split() for name, build in builds(number)}
    differ = {name: [one for one in codes if one not in was.get(name, "").split()] for name, codes in now.items()}
    return {name: codes for name, codes in differ.items() if codes}


NUMBERS = range(len(bases()) + len(straight()) + len(rare()))


@pytest.mark.parametrize("number", NUMBERS)
def test_every_answer_is_as_it_was(number: int) -> None:
    assert differing(number, kept()) == {}


def test_no_answer_is_missing() -> None:
    assert len(kept()) == (1 + len(OTHERWISE)) * len(bases()) + len(straight()) + len(rare())


if __name__ == "__main__":
    for number in NUMBERS:
        for name, otherwise_told in differing(number, kept()).items():
            print(name, *otherwise_told)
    if "--write" in sys.argv:
        lines = [f"{name} | {line_of(build)}" for number in NUMBERS for name, build in builds(number)]
        LIST.write_text("\n".join(lines) + "\n", encoding="utf-8")
