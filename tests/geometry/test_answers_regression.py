"""Whole answers as they were: nothing of one changes unless that is meant. A regression test, and no proof of anything.

`answers.txt` holds one line for each build: a short code for each part of the answer. The builds are those in which
every entry stands (`test_no_entry_is_dead`), each several times with some numbers moved, some left out and some words
changed. Where a change is meant, see by ``python -m tests.geometry.test_answers_regression`` which builds and parts it
turns, look at some of them, and write the list down anew with ``… --write``.
"""

import random
import sys
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal, get_origin

import numpy as np
import pytest
from pydantic import BaseModel, ValidationError

from geometry import Build, Solution, edited, solve, value_at
from geometry.document.sides import swapped
from geometry.words.again import read_again
from geometry.words.beside import beside
from geometry.words.both import solve_whole
from geometry.words.plans import plans
from geometry.words.speeds import over_speed
from geometry.words.study import over_range
from geometry.words.templates import templates_of
from geometry.words.tolerance import tolerances_of
from geometry.words.tubes import tube_options
from geometry.words.vibration import Felt, diagnosis
from tests.geometry.strategies import WHOLE, entries_of, sample
from tests.geometry.test_no_entry_is_dead import ENTRIES, READ, changed, paths_of, pool

LIST = Path(__file__).with_name("answers.txt")
TIMES = 3
"""How often each build is told: as it is, and otherwise."""
LEFT_OUT, WORDS = 4, 3
NEAR = {"output_slope_deg": 3.4, "pinion_slope_deg": 3.6, "shaft_slope_deg": 8.0}
"""Some of what is read again, near to what was to be set."""


@cache
def bases() -> tuple[Build, ...]:
    both = sample("wagon_both_shafts")
    read = [
        edited(build, {"measured_again": tuple({**READ, **NEAR, "stage": stage} for stage in ("tacked", "welded"))})
        for build in (WHOLE[0], WHOLE[2])
    ]
    return (*WHOLE, *pool(), both, swapped(both), *read)


def some(rng: random.Random, among: list[Any], most: int) -> list[Any]:
    """A few of a list; by the one function of `random` whose numbers no version may change."""
    return [among[int(rng.random() * len(among))] for _ in range(int(rng.random() * (most + 1)))]


def otherwise(build: Build, rng: random.Random) -> Build:
    """The build with half of its numbers moved by some per cent, some entries left out, and some words changed."""
    moved: dict[str, Any] = {}
    for path, value in entries_of(build):
        if rng.random() < 0.5:
            by = 0.93 + 0.14 * rng.random()
            moved[path] = tuple(part * by for part in value) if isinstance(value, tuple) else value * by
    left_out = some(rng, [path for path, _ in entries_of(build)], LEFT_OUT)
    worded = [
        (path, other)
        for entry in ENTRIES
        if get_origin(entry.kind) is Literal or entry.kind is bool
        for path in paths_of(entry, build)
        if value_at(build, path) is not None
        for other in changed(entry, value_at(build, path))
    ]
    for path, value in (*moved.items(), *((path, None) for path in left_out), *some(rng, worded, WORDS)):
        try:
            build = edited(build, {path: value})
        except (ValidationError, KeyError):
            continue  # what cannot be so stays as it was
    return build


def builds(number: int) -> Iterator[tuple[str, Build]]:
    """One of the builds, as it is and otherwise, each with its name."""
    build = bases()[number]
    yield f"{number} as it is", build
    for time in range(1, TIMES):
        yield f"{number} otherwise {time}", otherwise(build, random.Random(1000 * number + time))


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


def parts(build: Build) -> dict[str, str]:
    """The parts of an answer, and what is worked out beside it, as text; what takes long of the samples alone."""
    answer = solve(build)
    told: dict[str, Any] = answer.model_dump()
    told["templates"], told["speeds"] = templates_of(build, answer), over_speed(build)
    told["again"], told["whole"] = read_again(build, answer), solve_whole(build) if build.drivelines else None
    told["beside"] = beside((build, answer), (WHOLE[0], first()))
    told["vibration"] = diagnosis(build, answer, Felt(speed_kmh=80.0, frequency_hz=40.0, sounds="hum", under="pull"))
    if build in WHOLE[:2]:
        told["tolerances"], told["tubes"] = tolerances_of(build), tube_options(build)
        told["range"] = over_range(build, "axle.pinion_slope_deg", -8.0, 12.0, steps=16)
        told["plans"] = plans(build, {"plan.axle_shim_deg": [-2.0, 2.0, 4.0], "plan.mount_shim_mm": [-20.0, 10.0]})
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


@pytest.mark.parametrize("number", range(len(bases())))
def test_every_answer_is_as_it_was(number: int) -> None:
    assert differing(number, kept()) == {}


def test_no_answer_is_missing() -> None:
    assert len(kept()) == TIMES * len(bases())


if __name__ == "__main__":
    for number in range(len(bases())):
        for name, otherwise_told in differing(number, kept()).items():
            print(name, *otherwise_told)
    if "--write" in sys.argv:
        lines = [f"{name} | {line_of(build)}" for number in range(len(bases())) for name, build in builds(number)]
        LIST.write_text("\n".join(lines) + "\n", encoding="utf-8")
