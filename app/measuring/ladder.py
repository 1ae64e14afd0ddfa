"""What the first measurements, the next, and nearly all of them buy: counted with the judge."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from app.measuring.usual import BuildKind, kind_of_build, usual
from app.measuring.walk import FIRST, LEFT_OUT, SECOND, THIRD, stops_of
from geometry.document import Build, edited, value_at
from geometry.words.solution import Finding
from geometry.words.solve import Work, solved


class Rung(NamedTuple):
    """A step of measuring: how many values it is with those before it, and the findings that are then judged."""

    step: int
    values: int
    judged: frozenset[tuple[str, str]]
    """Id and part of each."""
    new: tuple[str, ...]
    """What the step before did not judge, each title once, as it is called while it is unknown."""


class Ladder(NamedTuple):
    """The steps of measuring a build, how many verdicts there are in all, and whether its own numbers were counted."""

    rungs: tuple[Rung, ...]
    of_all: int
    own: bool


def ladder_of(build: Build) -> Ladder:
    """The steps with the build's own numbers where it has them all, else with those of a usual vehicle of its kind."""
    wanted = [path for stop in stops_of(build) for line in stop.lines if line.step for path in line.paths]
    if all(value_at(build, path) is not None for path in wanted):
        return _counted(edited(build, {"obstacles": (), "flexible_lines": (), **dict.fromkeys(_SET_UP)}), own=True)
    return ladder(kind_of_build(build))


@cache
def ladder(kind: BuildKind) -> Ladder:
    """The steps of measuring a usual vehicle of a kind."""
    return _counted(usual(kind), own=False)


def _counted(whole: Build, *, own: bool) -> Ladder:
    """Fill in one step after another and judge each time."""
    lines = [line for stop in stops_of(whole) for line in stop.lines]
    titles = {(one.id, one.part): one.title for one in _findings(only(whole, set()))}
    rungs: list[Rung] = []
    before: frozenset[tuple[str, str]] = frozenset()
    for step in (FIRST, SECOND, THIRD):
        kept = {path for line in lines if 0 < line.step <= step for path in line.paths}
        found = _findings(only(whole, kept))
        judged = frozenset((one.id, one.part) for one in found if one.verdict != "unknown")
        new = [titles.get((one.id, one.part), one.title) for one in found if (one.id, one.part) in judged - before]
        rungs.append(Rung(step, len(kept), judged, tuple(dict.fromkeys(new))))
        before = judged
    every = {path for line in lines for path in line.paths}  # the ends of the shaft are the shaft order's to ask
    return Ladder(tuple(rungs), len(_findings(only(whole, every))), own)


def _findings(build: Build) -> tuple[Finding, ...]:
    """What is found, without the ways out, which take longest."""
    return solved(Work(build), with_ways=False).findings


_SET_UP = ("plan", "perches", "clamp", "square", "state", "use")
"""Sections of what is to be, of how the axle is set up, and of how it all is used."""
_NO_BRACKETS: dict[str, object] = {"shocks": (), "torque_bars": (), "lateral_link": None}


def only(build: Build, kept: set[str]) -> Build:
    """The same kind of build with some of its measurements alone, and no brackets."""
    paths = {path for stop in stops_of(build) for line in stop.lines if not line.choices for path in line.paths}
    paths |= {path for path in LEFT_OUT if "." in path}
    gone: dict[str, object] = {
        path: None for path in sorted(paths - kept)
        if not path.startswith(("shocks", "torque_bars", "lateral_link")) and value_at(build, path) is not None
    }  # fmt: skip
    for joint in ("front_joint", "centre_joint", "rear_joint"):
        if value_at(build, f"shaft.{joint}.series") is not None:
            gone[f"shaft.{joint}.series"] = None
    return edited(build, {**gone, **_NO_BRACKETS})
